//! The Bags: where is every bag, how old, and what does it hold up?

mod history;
pub(in crate::tui) use history::void_of;
mod view;

use chrono::TimeDelta;
use ratatui::layout::Position;

use super::ask::Ask;
use super::base::{Opens, Screen, joined};
use super::cursor::Cursor;
use super::keys::Act;
use super::page::Page;
use super::paint::Pen;
use super::survey::{Survey, WardFilter};
use super::world::World;
use crate::domain::board::{Gives, Room, Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::need::Need;
use crate::domain::shift::lost;
use crate::tui::age;
use history::Detail;

/// For how long a settled bag is still listed: a day, and the shift before it.
const SETTLED_LISTED: TimeDelta = TimeDelta::hours(36);

#[derive(Default)]
pub(super) struct BagsScreen {
    cursor: Cursor<Key>,
    ward: WardFilter,
    lines: Vec<Line>,
    keys: Vec<Key>,
    detail: Detail,
    /// Lines that there are for it.
    detail_lines: u16,
    /// Of the screen, when it was last laid out.
    width: u16,
}

/// The same tag may be in use in two rooms. A bag that is settled is another line: the cursor stays with those that are out.
type Key = (Code, Code, bool);

struct Line {
    tag: Code,
    room: Code,
    kind: Kind,
    /// How old it is, in words; of a settled one since when it is settled.
    age: String,
    /// Where it was last, or how it ended, in a narrow and in a wide column.
    short: String,
    long: String,
}

enum Kind {
    Out(Box<Out>),
    /// By this entry.
    Settled(Number),
}

struct Out {
    since: Time,
    overdue: bool,
    /// The entry that asks for it first.
    cause: Number,
    /// It was in the room while that was sprayed.
    treated: bool,
    /// By which entry nobody finds it.
    lost: Option<Number>,
    /// The last load of it, which did not do.
    failed: Option<Number>,
    gives: Gives,
}

impl Line {
    fn key(&self) -> Key {
        (self.tag, self.room, self.is_out())
    }

    fn is_out(&self) -> bool {
        matches!(self.kind, Kind::Out(_))
    }
}

impl BagsScreen {
    fn chosen(&self) -> Option<&Line> {
        self.cursor.key().and_then(|_| self.lines.get(self.cursor.at()))
    }

    /// The form in which the chosen bag ended otherwise than by the laundry. None: it is not out.
    pub(super) fn otherwise(&self, world: &World<'_>) -> Option<Ask> {
        let line = self.chosen().filter(|line| line.is_out())?;
        Some(Ask::of_bag(world.board, line.room, line.tag, "discard"))
    }
}

impl Screen for BagsScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, width: u16, lines: u16) {
        self.ward.settle(survey);
        self.lines = out(world, survey, &self.ward);
        let settled = settled(world, survey, &self.ward);
        self.lines.extend(settled);
        self.keys = self.lines.iter().map(Line::key).collect();
        self.cursor.settle(&self.keys, usize::from(lines.saturating_sub(view::detail_lines(lines) + 2)));
        self.detail_lines = view::detail_lines(lines).saturating_sub(1);
        self.width = width;
        self.look_closer(world, survey);
    }

    fn look_closer(&mut self, world: &World<'_>, _survey: &Survey) {
        self.detail = self.chosen().map(|line| Detail::of(line, world, self.width)).unwrap_or_default();
    }

    fn in_full(&self) -> Vec<(String, String)> {
        match self.detail.lines.len() > usize::from(self.detail_lines) {
            true => {
                let lines = self.detail.lines.iter().map(|(label, text)| (label.as_str(), text.as_str()));
                joined(&self.detail.title, lines)
            }
            false => vec![],
        }
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        if act == Act::Ward {
            self.ward.turn(survey);
            self.cursor.reset();
            return true;
        }
        self.cursor.walk(act, &self.keys);
        false
    }

    fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        self.draw(pen, survey)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        self.chosen().map(|line| line.room)
    }

    fn enter(&self, world: &World<'_>, _survey: &Survey) -> Opens {
        match self.chosen().map(|line| (line, &line.kind)) {
            None => Opens::Nothing,
            Some((line, Kind::Out(out))) => {
                Opens::Form(Ask::for_need(world.board, line.room, Need::Bag(line.tag), out.cause))
            }
            Some((_, Kind::Settled(number))) => {
                entry(world, *number).map_or(Opens::Nothing, |entry| Opens::Page(Page::entry(entry, world)))
            }
        }
    }

    fn choose(&mut self, room: Code, _survey: &Survey) {
        if let Some(line) = self.lines.iter().find(|line| line.room == room) {
            self.cursor.choose(&self.keys, line.key());
        }
    }
}

/// The bags that are out, oldest first: one a task.
fn out(world: &World<'_>, survey: &Survey, ward: &WardFilter) -> Vec<Line> {
    let mut lines: Vec<(Time, Line)> = vec![];
    for task in survey.tasks.iter().filter(|task| task.kind == TaskKind::Bag) {
        let listed = survey.room(task.room).is_some_and(|room| ward.lists(room, survey));
        let (Some(Need::Bag(tag)), Some(room), true) = (task.asked, world.board.room(task.room), listed) else {
            continue;
        };
        if let Some(line) = line(task, tag, room, world) {
            lines.push(line);
        }
    }
    lines.sort_by_key(|(since, line)| (*since, line.tag, line.room));
    lines.into_iter().map(|(_, line)| line).collect()
}

fn line(task: &Task, tag: Code, room: &Room, world: &World<'_>) -> Option<(Time, Line)> {
    let need = Need::Bag(tag);
    let asking = || room.unsettled().filter(|closer| closer.needs.contains(&need) && room.met(closer, need).is_none());
    let since = asking().map(|closer| closer.happened).min()?;
    let cause = asking().map(|closer| closer.number).min()?;
    let treated = asking().any(|closer| closer.cause.is_treatment());
    let failed: Vec<Number> =
        room.failed_loads.iter().filter(|it| it.1 == tag && it.0 > cause).map(|it| it.0).collect();
    let lost = lost(task, world.board, world.entries);
    let (short, long) = match lost {
        Some(entry) => history::lost_words(entry, world),
        None => history::whereabouts(tag, cause, &failed, treated, world),
    };
    let (lost, failed) = (lost.map(|entry| entry.number), failed.last().copied());
    let age = age::length(world.now - since);
    let age = if task.overdue { format!("out {age}, late") } else { format!("out {age}") };
    let out = Out { since, overdue: task.overdue, cause, treated, lost, failed, gives: task.gives.clone() };
    Some((since, Line { tag, room: task.room, kind: Kind::Out(Box::new(out)), age, short, long }))
}

/// The bags that were settled lately, newest first.
fn settled(world: &World<'_>, survey: &Survey, ward: &WardFilter) -> Vec<Line> {
    let mut lines: Vec<Line> = vec![];
    let late = |entry: &&Entry| world.now - entry.noted <= SETTLED_LISTED;
    for entry in world.entries.iter().rev().take_while(late) {
        let (Body::Laundered { bag: tag, .. } | Body::BagEnded { bag: tag, .. }) = &entry.body else { continue };
        for code in world.board.rooms_of(&entry.place) {
            let listed = survey.room(code).is_some_and(|room| ward.lists(room, survey));
            let (Some(room), true) = (world.board.room(code), listed) else { continue };
            let counts = room.knows_fact(entry.number).is_some_and(|fact| !fact.voided);
            let known = lines.iter().any(|line| (line.tag, line.room) == (*tag, code));
            if counts && !known && !is_out(room, *tag) {
                let (short, long) = history::ending(entry);
                let age = age::age(entry.happened, world.now);
                lines.push(Line { tag: *tag, room: code, kind: Kind::Settled(entry.number), age, short, long });
            }
        }
    }
    lines
}

fn is_out(room: &Room, tag: Code) -> bool {
    room.evidence().iter().any(|it| it.need == Need::Bag(tag) && it.met_by.is_none())
}

fn entry<'a>(world: &World<'a>, number: Number) -> Option<&'a Entry> {
    let at = world.entries.binary_search_by_key(&number, |entry| entry.number).ok()?;
    world.entries.get(at)
}

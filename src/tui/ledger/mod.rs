//! The Ledger: who noted what, when?

mod view;

use ratatui::layout::Position;

use super::base::{Opens, Screen};
use super::cursor::Cursor;
use super::keys::Act;
use super::page::Page;
use super::paint::Pen;
use super::survey::{Survey, WardFilter};
use super::world::World;
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Entry, Number, Place};
use crate::domain::shown::shown;
use crate::tui::age;

#[derive(Default)]
pub(super) struct LedgerScreen {
    cursor: Cursor<Number>,
    ward: WardFilter,
    numbers: Vec<Number>,
    /// Only those that are seen.
    lines: Vec<Line>,
    room: Option<Code>,
    height: usize,
}

struct Line {
    number: Number,
    when: String,
    by: String,
    text: String,
}

impl Screen for LedgerScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, _width: u16, lines: u16) {
        self.ward.settle(survey);
        let ward = self.ward.ward();
        let listed = |entry: &&Entry| ward.is_none_or(|ward| touches(entry, ward, world.board));
        self.numbers = world.entries.iter().rev().filter(listed).map(|entry| entry.number).collect();
        self.height = usize::from(lines.saturating_sub(1));
        self.cursor.settle(&self.numbers, self.height);
        self.see(world);
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        if act == Act::Ward {
            self.ward.turn(survey);
            self.cursor.reset();
        } else {
            self.cursor.walk(act, &self.numbers);
        }
        true
    }

    fn paint(&self, pen: &mut Pen<'_>, _survey: &Survey) -> Option<Position> {
        self.draw(pen)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        self.room
    }

    fn enter(&self, world: &World<'_>, _survey: &Survey) -> Opens {
        let entry = self.cursor.key().and_then(|number| entry(world, number));
        entry.map_or(Opens::Nothing, |entry| Opens::Page(Page::entry(entry, world)))
    }
}

impl LedgerScreen {
    /// Words only the entries that are on the screen.
    fn see(&mut self, world: &World<'_>) {
        let first = crate::tui::paint::first_seen(self.cursor.at(), self.numbers.len(), self.height);
        let seen = self.numbers.iter().skip(first).take(self.height);
        let zone = world.board.facility().time_zone;
        let line = |entry: &Entry| Line {
            number: entry.number,
            when: age::with_age(entry.happened, world.now, zone),
            by: entry.done_by.to_string(),
            text: shown(&describe::sentence(entry, world.board)),
        };
        self.lines = seen.filter_map(|number| entry(world, *number)).map(line).collect();
        let chosen = self.cursor.key().and_then(|number| entry(world, number));
        self.room = chosen.and_then(|entry| match &entry.place {
            Place::Rooms(rooms) => rooms.first().copied(),
            _ => None,
        });
    }
}

fn entry<'a>(world: &World<'a>, number: Number) -> Option<&'a Entry> {
    let at = world.entries.binary_search_by_key(&number, |entry| entry.number).ok()?;
    world.entries.get(at)
}

fn touches(entry: &Entry, ward: Code, board: &Board) -> bool {
    match &entry.place {
        Place::Ward(code) => *code == ward,
        Place::Rooms(rooms) => {
            rooms.iter().any(|room| board.facility().room(*room).is_some_and(|plan| plan.ward == ward))
        }
        Place::Hospital | Place::Unknown => true,
    }
}

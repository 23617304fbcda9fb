//! The Tasks: what is due, overdue, coming, whose, and which gives most beds back?

mod detail;
mod list;
mod view;
mod whose;
mod words;

use std::collections::{BTreeMap, BTreeSet};

use chrono_tz::Tz;
use ratatui::layout::Position;

use super::ask::Ask;
use super::base::{Opens, Screen};
use super::cursor::Cursor;
use super::keys::Act;
use super::paint::Pen;
use super::survey::{Survey, WardFilter};
use super::world::World;
use crate::domain::board::{Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::Time;
use crate::domain::hindrance::hindrances;
use crate::domain::people::Role;
use crate::domain::policy::Setting;
use crate::domain::shift::task_words;
use crate::domain::shown::shown;
use detail::Detail;
pub(super) use detail::gives_back;
use list::{Fold, Key, Row, Wanted};
use whose::Whose;
pub(super) use words::short_gives;

#[derive(Default)]
pub(super) struct TasksScreen {
    /// Of the bags that nobody finds, by the task's place: what is to be done.
    lost: BTreeMap<usize, String>,
    /// Why work could not be done, by the room, where that was noted.
    hindered: BTreeMap<Code, String>,
    cursor: Cursor<Key>,
    ward: WardFilter,
    whose: Whose,
    /// Folded lines that were opened up.
    opened: Vec<Fold>,
    rows: Vec<Row>,
    keys: Vec<Key>,
    detail: Detail,
    /// Lines that there are for it.
    detail_lines: u16,
    /// By which the times on the screen are worded.
    clock: Option<(Time, Tz)>,
}

impl TasksScreen {
    /// Who is at the keyboard, and what is offered to them.
    pub(super) fn sign_in(&mut self, me: Option<(Code, Role)>, offered: &BTreeSet<&'static str>) {
        self.whose.sign_in(me, offered);
    }

    fn chosen(&self) -> Option<&Row> {
        self.cursor.key().and_then(|_| self.rows.get(self.cursor.at()))
    }

    fn chosen_task<'s>(&self, survey: &'s Survey) -> Option<(&Row, &'s Task)> {
        let row = self.chosen()?;
        Some((row, survey.tasks.get(row.task)?))
    }

    /// Whether somebody is signed in who may not do the chosen task.
    pub(super) fn is_for_others(&self, survey: &Survey) -> bool {
        self.whose.me().is_some() && self.chosen_task(survey).is_some_and(|(_, task)| !self.whose.may(task))
    }

    /// The form in which the chosen task is taken; or why there is none.
    pub(super) fn take(&self, survey: &Survey) -> Result<Ask, &'static str> {
        match self.chosen_task(survey) {
            None => Err("There is no task here to take."),
            Some((row, task)) if row.count > 1 && task.kind == TaskKind::DailyLook => {
                Err("These are several rooms. Right opens the line up; then t takes one room's look.")
            }
            Some((_, task)) if self.whose.me().is_some_and(|me| task.not_for.contains(&me)) => {
                Err("It is second to what you noted or voided: somebody else takes it.")
            }
            Some(_) if self.is_for_others(survey) => Err("It is not yours to do: below stands whose it is."),
            Some((_, task)) => Ok(Ask::take(task)),
        }
    }

    /// Why what stands in this line could not be done: of one task, or of each room of a folded line.
    fn why_not(&self, row: &Row, survey: &Survey) -> Vec<String> {
        let of = |at: usize| {
            let task = survey.tasks.get(at).filter(|task| task.kind != TaskKind::Bag)?;
            Some((task.room, self.hindered.get(&task.room)?))
        };
        match row.folded.as_slice() {
            [] => of(row.task).map(|(_, why)| why.clone()).into_iter().collect(),
            _ if row.is_open => vec![],
            several => several.iter().filter_map(|at| of(*at)).map(|(room, why)| format!("{room}: {why}")).collect(),
        }
    }

    /// Opens a folded line up, or folds it again, from itself or from inside it.
    fn unfold(&mut self, survey: &Survey, open: bool) -> bool {
        let Some((row, task)) = self.chosen_task(survey) else { return false };
        let ward = survey.room(task.room).and_then(|room| survey.wards.get(room.ward)).map(|ward| ward.code);
        let fold = match (row.key, ward) {
            (Key::Fold(fold), _) => fold,
            (Key::Task(..), Some(ward)) if row.inside => Fold { section: row.section, kind: task.kind, ward },
            _ => return false,
        };
        let was_open = self.opened.contains(&fold);
        if open && !was_open {
            self.opened.push(fold);
        } else if !open {
            self.opened.retain(|it| *it != fold);
            self.cursor.choose(&self.keys, Key::Fold(fold));
        }
        was_open != open
    }
}

impl Screen for TasksScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, width: u16, lines: u16) {
        self.ward.settle(survey);
        let shift = world.board.policy().minutes(Setting::ShiftMinutes);
        let wanted = Wanted {
            ward: &self.ward,
            whose: &self.whose,
            opened: &self.opened,
            now: world.now,
            shift_ends: world.now.checked_add_signed(shift).unwrap_or(world.now),
        };
        self.rows = list::rows(survey, &wanted);
        self.keys = self.rows.iter().map(|row| row.key).collect();
        self.cursor.settle(&self.keys, usize::from(lines.saturating_sub(view::detail_lines(lines) + 3)));
        self.detail_lines = view::detail_lines(lines).saturating_sub(1);
        self.clock = Some((world.now, world.board.facility().time_zone));
        let bags = survey.tasks.iter().enumerate().filter(|(_, task)| task.kind == TaskKind::Bag);
        let words = bags.map(|(at, task)| (at, task, task_words(task, world.board, world.entries, world.now)));
        self.lost = words.filter(|(_, task, words)| *words != task.need).map(|(at, _, words)| (at, words)).collect();
        let zone = world.board.facility().time_zone;
        let hindered = hindrances(world.entries, world.now, zone).into_iter();
        self.hindered = hindered.map(|(room, why)| (room, shown(&why))).collect();
        self.detail = match self.chosen_task(survey) {
            Some((row, task)) => Detail::of(row, task, &self.whose, world, survey, width),
            None => Detail::default(),
        };
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        match act {
            Act::Ward => self.ward.turn(survey),
            Act::Filter => self.whose.turn(&survey.tasks),
            Act::Right | Act::Left => return self.unfold(survey, act == Act::Right),
            _ => {
                // What is said of the chosen line is worked out anew.
                let before = self.cursor.key();
                self.cursor.walk(act, &self.keys);
                return self.cursor.key() != before;
            }
        }
        self.cursor.reset();
        true
    }

    fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        self.draw(pen, survey)
    }

    fn in_full(&self) -> Vec<(String, String)> {
        self.detail.in_full(self.detail_lines)
    }

    fn room(&self, survey: &Survey) -> Option<Code> {
        self.chosen_task(survey).map(|(_, task)| task.room)
    }

    fn enter(&self, world: &World<'_>, survey: &Survey) -> Opens {
        let Some((row, task)) = self.chosen_task(survey) else { return Opens::Nothing };
        match row.key {
            Key::Fold(fold) if fold.kind == TaskKind::DailyLook => {
                Opens::Form(Ask { verb: "round", target: fold.ward.to_string(), known: vec![] })
            }
            // A form that this person cannot sign helps nobody.
            _ if self.is_for_others(survey) => Opens::Room(task.room),
            _ => Opens::Form(Ask::for_task(world.board, task)),
        }
    }

    fn choose(&mut self, room: Code, survey: &Survey) {
        let of_room = |row: &&Row| survey.tasks.get(row.task).is_some_and(|task| task.room == room);
        // A folded line is its ward's, and no one room's.
        let own = self.rows.iter().find(|row| of_room(row) && matches!(row.key, Key::Task(..)));
        if let Some(key) = own.map(|row| row.key) {
            self.cursor.choose(&self.keys, key);
        }
    }
}

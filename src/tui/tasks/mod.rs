//! The Tasks: what is due, overdue, coming, whose, and which gives most beds back?

mod view;

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
use crate::domain::entry::Number;
use crate::domain::people::Role;
use crate::domain::shown::shown;
use crate::tui::age;

#[derive(Default)]
pub(super) struct TasksScreen {
    cursor: Cursor<Key>,
    ward: WardFilter,
    /// Only this role's tasks. None: everybody's.
    role: Option<Role>,
    lines: Vec<Line>,
    keys: Vec<Key>,
}

/// A task's identity: its room, what is to be done, and the entry that asks for it.
type Key = (Code, TaskKind, Number, usize);

struct Line {
    room: Code,
    section: Section,
    due: String,
    need: String,
    who: String,
    ask: Ask,
    take: Ask,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Section {
    Overdue,
    Due,
    Waits,
}

impl Section {
    fn title(self) -> &'static str {
        match self {
            Self::Overdue => "Overdue",
            Self::Due => "Due",
            Self::Waits => "Waits for something else first",
        }
    }
}

impl TasksScreen {
    /// The form in which the chosen task is taken.
    pub(super) fn take(&self, _world: &World<'_>) -> Option<Ask> {
        self.lines.get(self.cursor.at()).map(|line| line.take.clone())
    }
}

impl Screen for TasksScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, _width: u16, lines: u16) {
        self.ward.settle(survey);
        let listed = |task: &&Task| {
            let here = survey.room(task.room).is_some_and(|room| self.ward.lists(room, survey));
            here && self.role.is_none_or(|role| role == task.role)
        };
        let tasks: Vec<&Task> = survey.tasks.iter().filter(listed).collect();
        self.lines = tasks.iter().map(|task| line(task, world)).collect();
        self.keys = tasks.iter().enumerate().map(|(at, task)| (task.room, task.kind, task.cause, at)).collect();
        self.cursor.settle(&self.keys, usize::from(lines.saturating_sub(6)));
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        match act {
            Act::Ward => self.ward.turn(survey),
            Act::Filter => {
                let at = self.role.and_then(|role| Role::ALL.iter().position(|it| *it == role));
                self.role = Role::ALL.get(at.map_or(0, |at| at + 1)).copied();
            }
            _ => {
                self.cursor.walk(act, &self.keys);
                return false;
            }
        }
        self.cursor.reset();
        true
    }

    fn paint(&self, pen: &mut Pen<'_>, _survey: &Survey) -> Option<Position> {
        self.draw(pen)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        self.lines.get(self.cursor.at()).map(|line| line.room)
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        self.lines.get(self.cursor.at()).map_or(Opens::Nothing, |line| Opens::Form(line.ask.clone()))
    }

    fn choose(&mut self, room: Code, _survey: &Survey) {
        if let Some(key) = self.keys.iter().find(|(code, ..)| *code == room) {
            self.cursor.choose(&self.keys, *key);
        }
    }
}

fn line(task: &Task, world: &World<'_>) -> Line {
    let (now, zone) = (world.now, world.board.facility().time_zone);
    let due = match task.due {
        Some(due) => age::due(due, now, zone),
        None => "waits".to_owned(),
    };
    let section = match (task.overdue, task.due) {
        (true, _) => Section::Overdue,
        (_, Some(_)) => Section::Due,
        (_, None) => Section::Waits,
    };
    let who = match task.accepted_by {
        Some(who) => format!("{who} has it"),
        None => task.role.title().to_owned(),
    };
    let evidence = world.board.evidence(task.room);
    let take = Ask {
        verb: "accept",
        target: task.room.to_string(),
        known: vec![("need", task.need.clone()), ("cause", task.cause.to_string())],
    };
    let ask = Ask::next(world.board, task.room, task.verb, &evidence);
    Line { room: task.room, section, due, need: shown(&task.need), who, ask, take }
}

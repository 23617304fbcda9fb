//! One line to type into: a room's code to jump to, what to look for in the Ledger, or a PIN.

use ratatui::layout::Position;
use tui_input::Input;

use super::ask::Ask;
use super::form::write;
use super::keys::Act;
use super::look::Part;
use super::paint::{Pen, first_seen, wrap};
use super::survey::{Survey, state_sign};
use crate::domain::code::Code;

pub struct TypedLine {
    pub purpose: Purpose,
    input: Input,
    found: Vec<usize>,
    chosen: usize,
    said: String,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    Find,
    /// An entry of the Ledger.
    Entry,
    Pin {
        person: Code,
        then: Option<Ask>,
    },
}

#[derive(Debug, PartialEq)]
pub enum Typed {
    /// A room, and the bed of it whose code was typed whole.
    Room(Code, Option<Code>),
    Entry(String),
    Pin(String),
}

impl TypedLine {
    pub fn new(purpose: Purpose) -> Self {
        Self { purpose, input: Input::default(), found: vec![], chosen: 0, said: String::new() }
    }

    pub fn act(&mut self, act: Act, survey: &Survey) -> Option<Typed> {
        let last = self.found.len().saturating_sub(1);
        match (act, &self.purpose) {
            (Act::Go, Purpose::Pin { .. }) => return Some(Typed::Pin(self.input.value().to_owned())),
            (Act::Go, Purpose::Entry) => return Some(Typed::Entry(self.input.value().to_owned())),
            (Act::Go, Purpose::Find) => {
                let found = self.found.get(self.chosen).and_then(|at| survey.rooms.get(*at));
                return found.map(|room| Typed::Room(room.code, room.bed_typed(self.input.value())));
            }
            (Act::Up, _) => self.chosen = self.chosen.saturating_sub(1),
            (Act::Down, _) => self.chosen = (self.chosen + 1).min(last),
            _ => {
                write(&mut self.input, act);
                self.look(survey);
            }
        }
        None
    }

    pub fn paste(&mut self, text: &str, survey: &Survey) {
        for c in text.chars().filter(|c| !c.is_control()) {
            write(&mut self.input, Act::Type(c));
        }
        self.look(survey);
    }

    fn look(&mut self, survey: &Survey) {
        self.said.clear();
        if self.purpose == Purpose::Find {
            self.found = survey.find(self.input.value());
            self.chosen = 0;
        }
    }

    /// The PIN was not taken: it is typed anew.
    pub fn wrong(&mut self, why: &str) {
        self.input.reset();
        why.clone_into(&mut self.said);
    }

    pub fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let lines = match self.purpose {
            Purpose::Find => 12,
            Purpose::Entry => 5,
            Purpose::Pin { .. } => 8,
        };
        let title = match &self.purpose {
            Purpose::Find => "Find a room: type its code, or a bed's".to_owned(),
            Purpose::Entry => "Find an entry: number, room, initials or word".to_owned(),
            Purpose::Pin { person, .. } => format!("PIN of {person}"),
        };
        let mut inner = pen.popup(64, lines, &title);
        let text = match &self.purpose {
            Purpose::Find | Purpose::Entry => self.input.value().to_owned(),
            Purpose::Pin { .. } => "*".repeat(self.input.value().chars().count()),
        };
        let x = inner.put(0, 0, "> ", Part::Strong);
        inner.put(x, 0, &text, Part::Plain);
        let before = match &self.purpose {
            Purpose::Find | Purpose::Entry => self.input.visual_cursor(),
            Purpose::Pin { .. } => self.input.cursor(),
        };
        let last = inner.width().saturating_sub(1);
        let cursor = inner.at(x.saturating_add(u16::try_from(before).unwrap_or(u16::MAX)).min(last), 0);
        let columns = inner.width();
        for (y, line) in (2..inner.height()).zip(wrap(&self.said, columns)) {
            inner.put(0, y, &line, Part::Plain);
        }
        if self.purpose == Purpose::Entry {
            inner.put(0, 1, "A number goes to that entry; #12 where a room is called 12.", Part::Plain);
            inner.put(0, 2, "Anything else lists what holds it; nothing typed lists all.", Part::Plain);
        }
        if self.purpose == Purpose::Find {
            let height = inner.height().saturating_sub(1);
            let first = first_seen(self.chosen, self.found.len(), usize::from(height));
            let found = self.found.iter().enumerate().skip(first);
            for (y, (at, room)) in (1..=height).zip(found) {
                let Some(room) = survey.rooms.get(*room) else { continue };
                let mark = if at == self.chosen { '>' } else { ' ' };
                let text =
                    format!("{mark}{} {}  {}  {}", state_sign(room.state), room.code, room.state.word(), room.name);
                inner.put(0, y, &text, Part::Plain);
                if at == self.chosen {
                    inner.mark_line(y, Part::Chosen);
                }
            }
            if self.found.is_empty() && !self.input.value().trim().is_empty() {
                inner.put(0, 1, "No room or bed with that code.", Part::Plain);
            }
        }
        cursor
    }
}

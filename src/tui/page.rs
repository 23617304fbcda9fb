//! Something to read: the help of a screen, an entry in full.

use super::keys::{Act, Context};
use super::look::Part;
use super::paint::{Pen, width, wrap};
use super::person::ALONE_MINUTES;
use super::survey::{BED_SIGNS, state_sign};
use super::world::World;
use crate::domain::board::State;
use crate::domain::code::Code;
use crate::domain::entry::Entry;
use crate::domain::shift::{BUG_FOUND, shift};
use crate::domain::shown::shown;

pub struct Page {
    title: String,
    /// A short word before a text, such as a key; empty for none.
    lines: Vec<(String, String)>,
    /// The rooms that it is about: Space opens one.
    pub rooms: Vec<Code>,
    top: usize,
}

impl Page {
    /// What the keys of this context do, and how the screen is read.
    pub fn help(context: Context) -> Self {
        let plain = |text: &str| (String::new(), text.to_owned());
        let mut lines: Vec<(String, String)> =
            context.bindings().map(|it| (it.shown.to_owned(), it.does.to_owned())).collect();
        lines.push(("Ctrl-C".to_owned(), "twice: leave at once".to_owned()));
        lines.push(plain(""));
        lines.push(plain("Signs of the states:"));
        lines.extend(State::ALL.map(|state| (state_sign(state).to_string(), state.headline().to_owned())));
        lines.push(plain("Signs of the beds:"));
        lines.extend(BED_SIGNS.map(|(sign, _, full)| (sign.to_string(), full.to_owned())));
        if context == Context::Ledger {
            lines.push(plain("Signs of the entries:"));
            lines.extend(super::ledger::signs().map(|(sign, text)| (sign.to_string(), text.to_owned())));
        }
        lines.push(plain(""));
        lines.push(plain(&format!("After {ALONE_MINUTES} minutes without a key whoever is signed in is signed out.")));
        lines.push(plain("This is a work board. It shows work, watches no patient, and raises no alarm."));
        lines.push(plain("A bed is open only as far as bed bugs are concerned. Check cleaning."));
        lines.push(plain("The product's label and local law rule over anything shown here."));
        lines.push(plain("Never type a patient's name or anything that tells who a patient is."));
        Self { title: format!("Keys: {}", context.name()), lines, rooms: vec![], top: 0 }
    }

    /// What a shift asks first, for whoever sits here.
    pub fn shift(world: &World<'_>, person: Option<Code>) -> Self {
        let person = person.and_then(|code| world.board.people().get(&code));
        let mut lines = vec![];
        let mut say = |title: &str, texts: &mut dyn Iterator<Item = String>| {
            let mut label = title.to_owned();
            for text in texts {
                lines.push((std::mem::replace(&mut label, " ".to_owned()), text));
            }
        };
        for question in shift(world.board, world.entries, person, world.now) {
            say(&question.title, &mut question.lines.into_iter());
        }
        say("A bug was found", &mut BUG_FOUND.into_iter().map(str::to_owned));
        let whose = person.map_or("anybody's".to_owned(), |it| format!("{}, {}", it.initials, it.role.title()));
        Self::labelled(format!("This shift: {whose}"), lines, vec![])
    }

    /// An entry in full.
    pub fn entry(entry: &Entry, world: &World<'_>) -> Self {
        super::ledger::page_of(entry, world)
    }

    /// Texts, each after a short word, about these rooms.
    pub fn labelled(title: String, lines: Vec<(String, String)>, rooms: Vec<Code>) -> Self {
        let lines = lines.into_iter().map(|(label, text)| (label, shown(&text))).collect();
        Self { title, lines, rooms, top: 0 }
    }

    pub fn text(title: String, lines: Vec<String>) -> Self {
        Self { title, lines: lines.iter().map(|line| (String::new(), shown(line))).collect(), rooms: vec![], top: 0 }
    }

    pub fn act(&mut self, act: Act) {
        let last = self.lines.len().saturating_sub(1);
        match act {
            Act::Up => self.top = self.top.saturating_sub(1),
            Act::Down => self.top = (self.top + 1).min(last),
            Act::PageUp => self.top = self.top.saturating_sub(10),
            Act::PageDown => self.top = (self.top + 10).min(last),
            _ => {}
        }
    }

    pub fn paint(&self, pen: &mut Pen<'_>) {
        let (columns, height) = (pen.width().min(96), pen.height());
        let mut inner = pen.popup(columns, height, &self.title);
        let key_columns = self.lines.iter().map(|(key, _)| width(key)).max().unwrap_or(0);
        let indent = if key_columns == 0 { 0 } else { key_columns + 2 };
        let mut y = 0;
        for (key, text) in self.lines.iter().skip(self.top) {
            inner.put(0, y, key, Part::Key);
            let x = if key.is_empty() { 0 } else { indent };
            for line in wrap(text, inner.width().saturating_sub(x)) {
                inner.put(x, y, &line, Part::Plain);
                y += 1;
            }
        }
        if y > inner.height() {
            let last = inner.height().saturating_sub(1);
            let below = y - inner.height();
            let lines = if below == 1 { "line" } else { "lines" };
            inner.put_right(last, &format!(" {below} more {lines}, Down "), Part::Key);
        }
    }
}

//! Which entries the Ledger lists. They are known by their places in the file, never by their numbers: in a damaged ledger
//! a number may stand twice or be missing.
//!
//! A ledger only grows, so what was read once is not read again: a key looks at nothing but what is new.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Body, CommandId, Depth, Entry, Number, Place};
use crate::tui::world::World;

/// Sentences are looked through for a word only so far back: wording a million entries would freeze the key.
pub(super) const WORDED: usize = 20_000;

#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(super) enum Which {
    #[default]
    All,
    /// Without the daily rounds, occupancy and settings.
    Matters,
    /// Noted by the person signed in.
    Own,
    /// What happened against the rules, and what is wrong in what is written.
    Troubled,
    Settings,
}

impl Which {
    pub(super) fn next(self) -> Self {
        match self {
            Self::All => Self::Matters,
            Self::Matters => Self::Own,
            Self::Own => Self::Troubled,
            Self::Troubled => Self::Settings,
            Self::Settings => Self::All,
        }
    }

    pub(super) fn words(self, person: Option<Code>) -> String {
        match (self, person) {
            (Self::All, _) => "all".to_owned(),
            (Self::Matters, _) => "without rounds, occupancy, settings".to_owned(),
            (Self::Own, Some(person)) => format!("noted by {person}"),
            (Self::Own, None) => "your own: nobody is signed in".to_owned(),
            (Self::Troubled, _) => "exceptions and problems".to_owned(),
            (Self::Settings, _) => "settings".to_owned(),
        }
    }
}

/// What was typed to look for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Sought {
    Room(Code),
    Person(Code),
    /// In small letters.
    Words(String),
}

#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Question {
    pub which: Which,
    pub ward: Option<Code>,
    pub person: Option<Code>,
    pub sought: Option<Sought>,
}

/// What else is to be said of a number.
#[derive(Default)]
pub(super) struct Marks {
    pub problems: Vec<String>,
    pub exceptions: Vec<String>,
}

#[derive(Default)]
pub(super) struct Listing {
    question: Question,
    /// Oldest first. None: every entry.
    listed: Option<Vec<usize>>,
    /// So many entries of the file were asked.
    asked: usize,
    /// The place from which on sentences were looked through, where that is not the beginning.
    pub worded_from: Option<usize>,
    /// So many were read for what they say of others, and the last of them.
    read: usize,
    last: Option<(Number, CommandId)>,
    /// The voids and amendments of a number, by place.
    about: BTreeMap<Number, Vec<usize>>,
    marks: BTreeMap<Number, Marks>,
    /// How many problems and exceptions the marks are made of.
    marked: (usize, usize),
}

impl Listing {
    /// Answers whether the file is still the one that was read.
    pub(super) fn bring_up_to_date(&mut self, question: Question, world: &World<'_>) -> bool {
        let entries = world.entries;
        let name = |entry: &Entry| (entry.number, entry.command);
        let same = self.read == 0 || self.read.checked_sub(1).and_then(|at| entries.get(at)).map(name) == self.last;
        if !same {
            *self = Self::default();
        }
        let new = entries.get(self.read..).unwrap_or_default();
        for (at, entry) in (self.read..).zip(new) {
            if let Body::Voided { entry: target, .. } | Body::Amended { entry: target, .. } = &entry.body {
                self.about.entry(*target).or_default().push(at);
            }
        }
        // A room may have come to another ward.
        let moved = question.ward.is_some() && new.iter().any(|entry| entry.body.is_setting());
        (self.read, self.last) = (entries.len(), entries.last().map(name));
        let marked = (world.board.problems().len(), world.board.exceptions().len());
        let marks_changed = std::mem::replace(&mut self.marked, marked) != marked;
        if marks_changed {
            self.mark(world.board);
        }
        if question != self.question || moved || (marks_changed && question.which == Which::Troubled) {
            (self.listed, self.asked, self.worded_from) = (None, 0, None);
        }
        self.question = question;
        self.ask(world);
        same
    }

    fn mark(&mut self, board: &Board) {
        self.marks.clear();
        for problem in board.problems() {
            self.marks.entry(problem.number).or_default().problems.push(problem.text.clone());
        }
        for exception in board.exceptions() {
            self.marks.entry(exception.number).or_default().exceptions.push(exception.kind.to_string());
        }
    }

    fn ask(&mut self, world: &World<'_>) {
        let question = &self.question;
        let asks_nothing = question.which == Which::All && question.ward.is_none() && question.sought.is_none();
        if asks_nothing {
            return;
        }
        let entries = world.entries;
        if self.asked == 0 && matches!(question.sought, Some(Sought::Words(_))) {
            self.asked = entries.len().saturating_sub(WORDED);
            self.worded_from = Some(self.asked).filter(|from| *from > 0);
        }
        let rooms = question.ward.and_then(|ward| world.board.facility().wards.get(&ward));
        let rooms: BTreeSet<Code> = rooms.into_iter().flat_map(|ward| &ward.rooms).copied().collect();
        let listed = self.listed.get_or_insert_default();
        for (at, entry) in (self.asked..).zip(entries.get(self.asked..).unwrap_or_default()) {
            let is_listed = is_of_kind(entry, question, &self.marks)
                && question.ward.is_none_or(|ward| touches(entry, ward, &rooms))
                && question.sought.as_ref().is_none_or(|sought| is_sought(entry, sought, world.board));
            if is_listed {
                listed.push(at);
            }
        }
        self.asked = entries.len();
    }

    pub(super) fn len(&self) -> usize {
        self.listed.as_ref().map_or(self.read, Vec::len)
    }

    /// The place in the file of the so-manieth entry, newest first.
    pub(super) fn place(&self, from_newest: usize) -> Option<usize> {
        let from_oldest = self.len().checked_sub(from_newest)?.checked_sub(1)?;
        match &self.listed {
            Some(listed) => listed.get(from_oldest).copied(),
            None => Some(from_oldest),
        }
    }

    /// How far from the newest the entry at this place is listed.
    pub(super) fn position(&self, place: usize) -> Option<usize> {
        let from_oldest = match &self.listed {
            Some(listed) => listed.binary_search(&place).ok()?,
            None => place,
        };
        self.len().checked_sub(from_oldest)?.checked_sub(1)
    }

    pub(super) fn marks(&self, number: Number) -> Option<&Marks> {
        self.marks.get(&number)
    }

    /// Voids and amendments of this number that count, oldest first.
    pub(super) fn about<'a>(&'a self, number: Number, entries: &'a [Entry]) -> impl Iterator<Item = &'a Entry> {
        let places = self.about.get(&number).into_iter().flatten();
        let counts = |entry: &&Entry| self.marks(entry.number).is_none_or(|marks| marks.problems.is_empty());
        places.filter_map(|at| entries.get(*at)).filter(counts)
    }
}

fn is_of_kind(entry: &Entry, question: &Question, marks: &BTreeMap<Number, Marks>) -> bool {
    match question.which {
        Which::All => true,
        Which::Matters => !is_routine(&entry.body),
        Which::Own => question.person == Some(entry.noted_by),
        Which::Troubled => marks.contains_key(&entry.number),
        Which::Settings => entry.body.is_setting(),
    }
}

/// What is noted every day, and says nothing of bed bugs.
fn is_routine(body: &Body) -> bool {
    match body {
        Body::Inspected { depth: Depth::Daily, looks, .. } => looks.iter().all(|look| look.seen.is_empty()),
        Body::RoundLooked { .. }
        | Body::Occupied { .. }
        | Body::Emptied { .. }
        | Body::OccupancyConfirmed { .. }
        | Body::SignedIn { .. } => true,
        body => body.is_setting(),
    }
}

fn touches(entry: &Entry, ward: Code, rooms: &BTreeSet<Code>) -> bool {
    match &entry.place {
        Place::Ward(code) => *code == ward,
        Place::Rooms(touched) => touched.iter().any(|room| rooms.contains(room)),
        Place::Hospital | Place::Unknown => true,
    }
}

fn is_sought(entry: &Entry, sought: &Sought, board: &Board) -> bool {
    match sought {
        Sought::Room(room) => matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(room)),
        Sought::Person(person) => [entry.done_by, entry.noted_by].contains(person),
        Sought::Words(words) => {
            let place = matches!(&entry.place, Place::Rooms(rooms)
                if rooms.iter().any(|room| room.as_str().to_lowercase().contains(words)));
            place || describe::sentence(entry, board).to_lowercase().contains(words)
        }
    }
}

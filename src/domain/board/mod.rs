//! The board: what the entries add up to.
//!
//! [`Board::apply`] folds one entry and may only report; it never fails and never reads the clock. Entries count in the
//! order of their numbers. Rooms are shared between copies of a board, so that a trial on a copy costs one room.

mod admission;
mod apply;
mod bags;
mod book;
mod called;
mod clocks;
mod closing;
mod drying;
mod earliest;
mod exception;
mod facts;
mod filled;
mod first_look;
mod former;
mod gap;
mod giving;
mod learned;
mod less;
mod linens;
mod lost;
mod makings;
mod marks;
mod next_step;
mod outside;
mod part;
mod patients;
mod people_rules;
mod really;
mod room;
mod setting;
mod sighting;
mod standing;
mod state;
mod stock;
mod tasks;
mod things;
mod treated;
mod two;
mod verdict;
mod wetness;
mod worked;

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::TimeDelta;

pub(crate) use crate::domain::surface::CLOCK_TOLERANCE;
pub use crate::domain::surface::Ready;
pub use admission::{Blocker, Occupancy};
pub use clocks::{ClockQuestion, span_slack};
pub use drying::{DryAbout, Drying};
pub use earliest::Earliest;
pub use exception::{Exception, ExceptionKind};
pub use filled::{Filled, LoadAt, Span};
pub use gap::Gap;
pub use giving::Gives;
pub use learned::{Found, Learned};
pub use marks::BedMark;
pub use next_step::{NextStep, usual_role};
pub use patients::Gone;
pub use people_rules::{is_noted_whoever_did_it, is_offered, is_taken_from_anyone, permitted, who_may};
pub use room::{BedUse, Cause, Closer, Fact, FullInspection, Promise, Proof, Room, SignatureKind, Stay};
pub use standing::{Dryness, Standing};
pub use state::State;
pub use tasks::{Task, TaskKind};
pub use things::Thing;
pub use verdict::{QuietDays, clear_lacks, negative_checks, quiet_days};
pub(crate) use wetness::check_of;

use super::code::Code;
use super::entry::{Body, Entry, Number, Place, Time};
use super::facility::Facility;
use super::measured::FileHash;
use super::need::Evidence;
use super::people::{Person, Product};
use super::policy::Policy;
use super::rule::Rule;
use super::surface::Surfaces;

/// Something wrong in what is already written: reported, never skipped.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    pub number: Number,
    pub rule: Rule,
    pub text: String,
    /// What a signature lacked.
    pub missing: Vec<Evidence>,
}

/// A line that closes the whole hospital until it is attested.
#[derive(Clone, Debug, PartialEq)]
pub struct EverywhereClosed {
    pub number: Number,
    pub through: Number,
    pub text: String,
    pub attested_by: Option<Number>,
    /// The second of the two who attested it.
    pub seconded_by: Option<Number>,
}

/// Everything that settings say, in force at the last entry.
#[derive(Clone, Debug)]
pub(crate) struct Settings {
    pub(crate) facility: Facility,
    pub(crate) people: BTreeMap<Code, Person>,
    pub(crate) products: BTreeMap<Code, Product>,
    pub(crate) policy: Policy,
    pub(crate) book: book::Book,
}

#[derive(Clone, Debug)]
pub struct Board {
    settings: Arc<Settings>,
    rooms: BTreeMap<Code, Arc<Room>>,
    /// The newest number, and the latest time at which anything was noted.
    last: Option<(Number, Time)>,
    everywhere: Arc<Vec<EverywhereClosed>>,
    /// The newest entry about the hospital as a whole that a signer must have been shown.
    newest_everywhere: Number,
    problems: Arc<Vec<Problem>>,
    exceptions: Arc<Vec<Exception>>,
    second_attests: Arc<Vec<two::SecondAttest>>,
    /// What one of two people said, while the other has not.
    halves: Arc<Vec<two::Half>>,
    /// Sprays of which two people said that they were less.
    lessened: Arc<Vec<less::Lessened>>,
    /// What nobody found, and two people gave up.
    written_off: Arc<Vec<lost::Off>>,
    /// The newest walk of each room that counted.
    walks: Arc<BTreeMap<Code, Number>>,
    things: Arc<Vec<Thing>>,
    patients: Arc<patients::Patients>,
    /// What is wet, and where.
    surfaces: Arc<Surfaces>,
    /// What is owed for what is in no room of the book.
    waiting: Arc<Vec<outside::Owed>>,
    /// From what each bed was made.
    makings: Arc<makings::Makings>,
    /// The rooms that ever asked for each bag.
    bags: Arc<bags::AskedIn>,
    /// The rooms that the entry which is being read changed.
    touched: Vec<Code>,
    /// What settings took off a room.
    former: Arc<Vec<former::Former>>,
    /// The longest of the labels' minimums that was ever on the list, or on a spray.
    longest_label: TimeDelta,
    /// What each number touched. Grows with the ledger; shared between copies.
    places: Arc<BTreeMap<Number, Stood>>,
    /// Which entry first kept each logger's file.
    files: Arc<BTreeMap<FileHash, filled::FirstKept>>,
    distrust: Option<String>,
    clocks: Arc<clocks::Clocks>,
    /// Files of the ledger's id that hold what this one does not.
    other_files: Arc<Vec<String>>,
    /// Files of the ledger's id of which the lead said that they are not the ledger.
    not_the_ledger: Arc<Vec<String>>,
    /// For estimates alone. No rule reads it.
    learned: learned::Kept,
}

impl Default for Board {
    fn default() -> Self {
        Self::new()
    }
}

/// Where an entry stood. Nearly all stand in one room, and there are as many as entries: so small, and copied at once.
#[derive(Clone, Debug)]
enum Stood {
    Room(Code),
    Elsewhere(Arc<Place>),
}

impl Stood {
    fn of(place: &Place) -> Self {
        match place {
            Place::Rooms(rooms) if rooms.len() == 1 => Self::Room(rooms[0]),
            other => Self::Elsewhere(Arc::new(other.clone())),
        }
    }

    fn place(&self) -> Place {
        match self {
            Self::Room(room) => Place::room(*room),
            Self::Elsewhere(place) => (**place).clone(),
        }
    }
}

impl Board {
    /// Empty, in UTC. Setting entries fill it.
    pub fn new() -> Self {
        let settings = Settings {
            facility: Facility::empty("", chrono_tz::UTC),
            people: BTreeMap::new(),
            products: BTreeMap::new(),
            policy: Policy::default(),
            book: book::Book::default(),
        };
        Self {
            settings: Arc::new(settings),
            rooms: BTreeMap::new(),
            last: None,
            everywhere: Arc::default(),
            newest_everywhere: Number::default(),
            problems: Arc::default(),
            exceptions: Arc::default(),
            second_attests: Arc::default(),
            halves: Arc::default(),
            lessened: Arc::default(),
            written_off: Arc::default(),
            walks: Arc::default(),
            things: Arc::default(),
            patients: Arc::default(),
            surfaces: Arc::default(),
            waiting: Arc::default(),
            makings: Arc::default(),
            bags: Arc::default(),
            touched: vec![],
            former: Arc::default(),
            longest_label: TimeDelta::zero(),
            places: Arc::default(),
            files: Arc::default(),
            distrust: None,
            clocks: Arc::default(),
            other_files: Arc::default(),
            not_the_ledger: Arc::default(),
            learned: learned::Kept::default(),
        }
    }

    /// Counts days and shows times in this zone.
    pub fn in_zone(mut self, zone: chrono_tz::Tz) -> Self {
        Arc::make_mut(&mut self.settings).facility.time_zone = zone;
        self
    }

    /// Folds entries given in any order: the number decides, and a missing or doubled number closes every room.
    pub fn fold<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> Self {
        let mut board = Self::new();
        board.extend(entries);
        board
    }

    /// Adds entries given in any order among themselves.
    pub fn extend<'a>(&mut self, entries: impl IntoIterator<Item = &'a Entry>) {
        let mut sorted: Vec<&Entry> = entries.into_iter().collect();
        if !sorted.is_sorted_by_key(|entry| entry.number) {
            sorted.sort_by_key(|entry| entry.number);
        }
        let doubled = |pair: &&[&Entry]| pair.first().map(|e| e.number) == pair.last().map(|e| e.number);
        let twice: std::collections::BTreeSet<Number> =
            sorted.windows(2).filter(doubled).filter_map(|pair| pair.first().map(|e| e.number)).collect();
        for entry in sorted {
            self.apply_entry(entry, twice.contains(&entry.number), true);
        }
    }

    /// Folds one more entry. A number at or below the last one is damage.
    pub fn apply(&mut self, entry: &Entry) {
        self.apply_entry(entry, false, true);
    }

    /// While this is set every bed reads closed for this reason: the file is damaged or cannot be followed.
    pub fn set_distrust(&mut self, why: Option<String>) {
        self.distrust = why;
    }

    pub fn distrust(&self) -> Option<&str> {
        self.distrust.as_deref()
    }

    /// Which files of the ledger's id hold what this one does not, as far as this terminal knows.
    pub fn set_other_files(&mut self, paths: Vec<String>) {
        self.other_files = Arc::new(paths);
    }

    /// As long as there are any, nobody knows which file is the ledger.
    pub fn other_files(&self) -> &[String] {
        &self.other_files
    }

    /// Whether the lead said that this file is the ledger, and not the one of that name.
    pub fn is_chosen_over(&self, other: &str) -> bool {
        self.not_the_ledger.iter().any(|path| path == other)
    }

    pub fn facility(&self) -> &Facility {
        &self.settings.facility
    }

    pub fn people(&self) -> &BTreeMap<Code, Person> {
        &self.settings.people
    }

    pub fn products(&self) -> &BTreeMap<Code, Product> {
        &self.settings.products
    }

    pub fn policy(&self) -> &Policy {
        &self.settings.policy
    }

    pub fn last(&self) -> Option<(Number, Time)> {
        self.last
    }

    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    pub fn everywhere(&self) -> impl Iterator<Item = &EverywhereClosed> {
        self.everywhere.iter().filter(|closed| closed.attested_by.is_none())
    }

    pub fn room(&self, room: Code) -> Option<&Room> {
        self.rooms.get(&room).map(Arc::as_ref)
    }

    /// The rooms of the facility, with what is open about them, in code order.
    pub fn rooms(&self) -> impl Iterator<Item = (Code, &Room)> {
        self.rooms.iter().map(|(code, room)| (*code, room.as_ref()))
    }

    /// What an entry touched. None: no such entry.
    pub fn place_of(&self, number: Number) -> Option<Place> {
        self.places.get(&number).map(Stood::place)
    }

    pub fn state(&self, room: Code) -> State {
        self.room(room).map_or(State::Suspect, Room::state)
    }

    /// Every need of every unsettled entry of the room, met or not.
    pub fn evidence(&self, room: Code) -> Vec<Evidence> {
        self.room(room).map(Room::evidence).unwrap_or_default()
    }

    /// The rooms that a place covers.
    pub fn rooms_of(&self, place: &Place) -> Vec<Code> {
        match place {
            // What is done in a room is done there once, however often it is named.
            Place::Rooms(rooms) => {
                let is_first = |(at, room): &(usize, &Code)| !rooms[..*at].contains(room);
                rooms.iter().enumerate().filter(is_first).map(|(_, room)| *room).collect()
            }
            Place::Ward(ward) => self.facility().wards.get(ward).map(|ward| ward.rooms.clone()).unwrap_or_default(),
            Place::Hospital | Place::Unknown => self.facility().rooms.keys().copied().collect(),
        }
    }

    /// The newest entry that touches this place: what a signer has been shown.
    pub fn newest_of(&self, place: &Place) -> Number {
        let rooms = match place {
            Place::Hospital | Place::Unknown => return self.last.map(|(number, _)| number).unwrap_or_default(),
            Place::Rooms(rooms) => rooms.as_slice(),
            Place::Ward(ward) => self.facility().wards.get(ward).map_or(&[][..], |ward| &ward.rooms),
        };
        let newest = rooms.iter().filter_map(|code| self.room(*code)).map(|room| room.newest).max();
        newest.unwrap_or_default().max(self.newest_everywhere)
    }
}

/// The entries that say that something may be missing here, and that some ward was not walked since.
pub fn gaps<'a>(board: &'a Board, entries: &'a [Entry]) -> impl Iterator<Item = &'a Entry> {
    let says = |entry: &&Entry| {
        let may_lack = matches!(
            entry.body,
            Body::WentBack { .. } | Body::EndLost { .. } | Body::Restored { .. } | Body::Downtime { .. }
        );
        may_lack && board.rooms().any(|(_, room)| room.unsettled_by_name(entry.number).is_some())
    };
    entries.iter().filter(says)
}

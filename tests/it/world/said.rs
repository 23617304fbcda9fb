//! What people say to the program, in their own words: no type of the library, and no notion of its rules.

use super::place::{Minute, ROOMS, Room, clock};
use super::program::PRODUCTS;

/// One note as it was typed.
#[derive(Clone, Debug)]
pub(super) struct Note {
    /// Its number in the program's book.
    pub(super) number: u64,
    /// By the clock of the terminal.
    pub(super) noted: Minute,
    /// When it is said to have happened: of what took time, its end; of a spray, its beginning.
    pub(super) happened: Minute,
    pub(super) terminal: usize,
    pub(super) say: Say,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Wet {
    Yes,
    No,
    Unknown,
}

#[derive(Clone, PartialEq, Debug)]
pub(super) enum Say {
    Spray {
        room: Room,
        until: Option<Minute>,
        product: &'static str,
        /// Not stated if there is none.
        zones: Option<Vec<String>>,
        bags: Option<Vec<String>>,
        inside: bool,
    },
    Complete {
        room: Room,
        spray: u64,
        zones: Option<Vec<String>>,
        until: Option<Minute>,
        label: Option<Minute>,
        bags: Option<Vec<String>>,
    },
    /// Less of a spray than was noted: two people say the same.
    Less {
        room: Room,
        spray: u64,
        zones: Option<Vec<String>>,
        until: Option<Minute>,
        label: Option<Minute>,
    },
    Check {
        room: Room,
        began: Minute,
        dry: Vec<String>,
        damp: Vec<String>,
    },
    /// Not stated what: everything that stood there.
    Wiped {
        room: Room,
        zones: Option<Vec<String>>,
    },
    Left {
        room: Room,
        tag: String,
        zones: Vec<String>,
        to: Option<Room>,
    },
    Arrived {
        room: Room,
        tag: String,
        from: Option<Room>,
        wet: Wet,
    },
    /// A thing, or a part of a bed, was seen here under its tag.
    Seen {
        room: Room,
        tag: String,
    },
    /// Nobody finds what bears this tag: two people give it up.
    GivenUp {
        tag: String,
    },
    /// What time it is by a clock on the wall, where this terminal's was wrong.
    Clock {
        wall: Minute,
        shown: Minute,
    },
    /// The book: these beds stand in this room.
    Beds {
        room: Room,
        beds: Vec<usize>,
    },
    Void {
        entry: u64,
        /// The rooms that the voided entry names.
        rooms: Vec<Room>,
        really: Option<Room>,
    },
    Look {
        room: Room,
        void: u64,
    },
    /// Something may be missing from the record of this ward.
    Gap {
        ward: usize,
    },
    Walk {
        ward: usize,
        /// Nobody was asked, or what was found wet.
        wet: Option<Vec<Room>>,
    },
    Inspect {
        room: Room,
        began: Minute,
    },
    Return {
        room: Room,
    },
    Made {
        room: Room,
        bed: usize,
    },
    Treat {
        room: Room,
        zones: Vec<String>,
    },
    Prepare {
        room: Room,
        bags: Vec<String>,
    },
    /// Hot enough, long enough, with detergent; or not.
    Launder {
        room: Room,
        bag: String,
        well: bool,
    },
    /// Looked through and given back.
    LookedThrough {
        room: Room,
        bag: String,
    },
    Occupied {
        bed: usize,
        room: Room,
    },
    Empty {
        bed: usize,
        room: Room,
    },
    /// The hospital's list.
    Product {
        product: usize,
        label: Minute,
    },
    PatientOut {
        bed: usize,
        room: Room,
    },
}

/// The label's minutes by the hospital's list as it stood when this entry was noted.
pub(super) fn on_the_list_at(notes: &[Note], number: u64, name: &str) -> Option<Minute> {
    let set = |note: &Note| match note.say {
        Say::Product { product, label } if PRODUCTS[product].0 == name => Some(label),
        _ => None,
    };
    let first = || PRODUCTS.iter().find(|(known, _)| *known == name).and_then(|(_, label)| *label);
    notes.iter().rev().filter(|note| note.number < number).find_map(set).or_else(first)
}

/// The longest that ever stood on the list.
pub(super) fn longest_label(notes: &[Note]) -> Minute {
    let set =
        notes.iter().filter_map(|note| if let Say::Product { label, .. } = note.say { Some(label) } else { None });
    PRODUCTS.iter().filter_map(|(_, label)| *label).chain(set).max().unwrap_or(0)
}

/// How a note reads in a story: rooms by their names, times as clocks show them.
pub(super) fn in_words(note: &Note) -> String {
    let text = format!("{:?}", note.say);
    let mut words = String::new();
    let mut rest = text.as_str();
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit() || c == '-') {
        let (before, from) = rest.split_at(at);
        let end = from.find(|c: char| !c.is_ascii_digit() && c != '-').unwrap_or(from.len());
        let (number, after) = from.split_at(end);
        words.push_str(before);
        let is = |keys: &[&str]| keys.iter().any(|key| before.ends_with(key));
        match number.parse::<Minute>() {
            Ok(at) if is(&["until: Some(", "began: "]) => words.push_str(&clock(at)),
            Ok(at) if is(&["room: ", "from: Some(", "to: Some(", "really: Some("]) => {
                words.push_str(usize::try_from(at).ok().and_then(|at| ROOMS.get(at)).unwrap_or(&number));
            }
            _ => words.push_str(number),
        }
        rest = after;
    }
    words.push_str(rest);
    words
}

//! The one table of every move that a person can note, from which the command line and the screen's forms are both made.
//!
//! A move has a verb, a target and fields; every answer is text, as typed. [`build`] reads a target and answers into the
//! place and body of an entry, or says for each wrong field what was wrong and what to type. It holds no rule: whether the
//! move is allowed is for `decide` alone. [`prefill`] gives what is known already; it never ticks a zone.

mod answers;
mod asked;
mod build;
mod file_words;
mod logger;
mod patients;
mod places;
mod prefill;
mod read;
mod settings;
mod spraying;
mod table;
#[cfg(test)]
pub(crate) mod tests;
mod time;

pub use answers::{Answers, FieldError};
pub use asked::{Asked, Circumstance, is_so_of_patients};
pub use build::{build, build_at};
pub use file_words::{LoggerZone, TimesAre};
pub use logger::{CLOCK_CHECKED, OTHER_TRACE, TRACE, TRACES, TraceAsked, TraceFrom, trace_asked};
pub use places::{beds_there, near_codes, room_of_target, rooms_of_bag};
pub use prefill::{prefill, zones_offered};
pub use table::MOVES;
pub use time::{Towards, read_celsius, read_time, sheets_tell_of, show_time_to_type};

/// Something that can be noted: `dryhold note VERB TARGET --field answer`, or a form with the same fields.
#[derive(Debug)]
pub struct Move {
    pub verb: &'static str,
    /// As it stands above a form.
    pub title: &'static str,
    /// What it is for, in one or two sentences.
    pub about: &'static str,
    pub kind: MoveKind,
    pub on: On,
    pub fields: &'static [Field],
}

/// How an entry works on the board.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MoveKind {
    /// Closes beds from the moment it is read.
    Closer,
    /// Meets a need.
    Fact,
    /// Settles closers by name, on what its signer was shown. Never noted late.
    Signature,
    /// Is about another entry or a task.
    About,
    Setting,
}

/// What the target names.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum On {
    /// A room; a bed's code stands for its room.
    Room,
    /// A bed; a room's code stands for its beds.
    Bed,
    /// A bag's tag. Its room is the one that it is outstanding from.
    Bag,
    Ward,
    /// A room, bed or ward code, or `hospital`.
    Place,
    /// No target.
    Hospital,
    /// A code that may be new, called by this word.
    Named(&'static str),
}

impl On {
    /// The word for the target in a usage line. None: the move takes none.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Room => Some("ROOM"),
            Self::Bed => Some("BED"),
            Self::Bag => Some("BAG"),
            Self::Ward => Some("WARD"),
            Self::Place => Some("PLACE"),
            Self::Hospital => None,
            Self::Named(word) => Some(word),
        }
    }

    pub fn help(self) -> &'static str {
        match self {
            Self::Room => "Code of the room (a bed's code stands for its room)",
            Self::Bed => "Code of the bed, or of the room for its beds",
            Self::Bag => "Tag of the bag",
            Self::Ward => "Code of the ward",
            Self::Place => "Code of the room, bed or ward, or `hospital`",
            Self::Hospital => "",
            Self::Named(_) => "Code, new or already in use",
        }
    }
}

/// One question of a move.
#[derive(Debug)]
pub struct Field {
    /// In the answers and, with `--` before it, on the command line.
    pub name: &'static str,
    pub label: &'static str,
    pub help: &'static str,
    /// What a form says instead, where the help speaks of what is typed on a command line. Empty: the same.
    pub on_screen: &'static str,
    pub kind: FieldKind,
    pub required: bool,
    /// Where it is asked it needs an answer, though the command line can do without one: the target may name the bed.
    pub needed_where_asked: bool,
    /// When a form asks it: all of these hold.
    pub asked: &'static [Asked],
}

impl Field {
    /// A field that may be left unstated.
    pub const fn may(name: &'static str, label: &'static str, kind: FieldKind, help: &'static str) -> Self {
        Self { name, label, help, on_screen: "", kind, required: false, needed_where_asked: false, asked: &[] }
    }

    /// A field without which there is nothing to note.
    pub const fn must(name: &'static str, label: &'static str, kind: FieldKind, help: &'static str) -> Self {
        Self { required: true, ..Self::may(name, label, kind, help) }
    }

    pub const fn asked(self, asked: &'static [Asked]) -> Self {
        Self { asked, ..self }
    }

    pub const fn needed_where_asked(self) -> Self {
        Self { needed_where_asked: true, ..self }
    }

    pub const fn on_screen(self, on_screen: &'static str) -> Self {
        Self { on_screen, ..self }
    }

    /// The help of a form's question.
    pub fn words(&self) -> &'static str {
        if self.on_screen.is_empty() { self.help } else { self.on_screen }
    }
}

/// What an answer may be. Every answer is text; kinds that hold several are lists of text.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FieldKind {
    /// One free text.
    Text,
    /// One of these words.
    Words(&'static [&'static str]),
    /// Several of these words, in this order in a form.
    Steps(&'static [&'static str]),
    /// yes, no or unknown. Not answered is unknown.
    Known,
    /// yes or no.
    YesNo,
    /// Zones of the room: `chair`, `BED/mattress`. In a form those that the filter names come first or alone.
    Zones(ZoneFilter),
    /// `ZONE=dry` or `ZONE=damp`, zone by zone. On the command line `--dry ZONE,…` and `--damp ZONE,…`.
    Feels,
    /// `ZONE=nothing` or `ZONE=SIGN`. On the command line `--looked ZONE,…|all` and `--seen ZONE=SIGN`.
    Looks,
    /// `SIGN` or `ZONE=SIGN`.
    Sightings,
    /// Beds of the room.
    Beds,
    /// `BED=occupied` or `BED=empty`. On the command line `--occupied BED,…` and `--empty BED,…`.
    BedStates,
    /// `BED=made` or `BED=not-made`, of the beds of a room. On the command line `--made BED,…` and `--not-made BED,…`.
    BedMakes,
    /// Bag tags; `none` says that there were none.
    Bags,
    /// The name of a file. It is read by the command line and the screens, never here.
    File,
    /// One tag or short code.
    Tag,
    Room,
    /// Rooms; `all` says every room of the ward.
    Rooms,
    Ward,
    /// A code of the hospital's list of products.
    Product,
    /// Initials of the roster.
    Person,
    /// Initials; the person signed in where not given.
    Oneself,
    /// The number of an entry.
    Entry,
    /// A time that is past or now.
    Time,
    /// A time to come.
    TimeAhead,
    Minutes,
    Millilitres,
    /// Millilitres of one stroke, with two decimals at most.
    PerStroke,
    /// Degrees Celsius with at most one decimal.
    Celsius,
    Percent,
    /// A floor's area, with two decimals at most.
    SquareMetres,
    Count,
    /// A whole number that may be negative.
    Whole,
    /// Parts of a zone set: codes.
    Parts,
    /// Beds to be: `CODE` or `CODE:tag;tag`.
    BedPlans,
    /// `left=ROOM`, `right=ROOM`, `opposite=ROOM`, `above=ROOM`, `below=ROOM`.
    Neighbours,
    /// `PART;name;group;treatment;tags;caution`, one zone each.
    ZonePlans,
}

/// Which zones a form offers. The command line takes every zone of the room: what happened can always be noted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ZoneFilter {
    All,
    /// Sprayed by plan: `ZoneTreatment::Spray`. The others follow, marked.
    Sprayable,
    /// Never sprayed: owed another method.
    OtherMethod,
    SoftSeats,
}

impl FieldKind {
    /// Whether an answer is a list. On the command line its parts are divided by commas.
    pub fn is_list(self) -> bool {
        matches!(
            self,
            Self::Steps(_)
                | Self::Zones(_)
                | Self::Feels
                | Self::Looks
                | Self::Sightings
                | Self::Beds
                | Self::BedStates
                | Self::BedMakes
                | Self::Bags
                | Self::Rooms
                | Self::Parts
                | Self::BedPlans
                | Self::Neighbours
                | Self::ZonePlans
        )
    }

    /// The options into which the command line takes such a field apart: option, help, and the value that it gives to each
    /// item (None: the item names its own value). Empty: one option with the field's own name.
    pub fn options(self) -> &'static [(&'static str, &'static str, Option<&'static str>)] {
        match self {
            Self::Feels => &[
                ("dry", "Zones found dry by touch, each by name", Some("dry")),
                ("damp", "Zones found damp", Some("damp")),
            ],
            Self::Looks => &[
                ("looked", "Zones looked at with nothing seen, or `all` for every other zone", Some("nothing")),
                ("seen", "A sign and where it was seen, ZONE=SIGN", None),
            ],
            Self::BedStates => {
                &[("occupied", "Beds seen occupied", Some("occupied")), ("empty", "Beds seen empty", Some("empty"))]
            }
            Self::BedMakes => &[
                ("made", "Beds found made with clean linens", Some("made")),
                ("not-made", "Beds found not made, or not with clean linens", Some("not-made")),
            ],
            _ => &[],
        }
    }

    /// What may be typed, short, for a usage line.
    pub fn hint(self) -> &'static str {
        match self {
            Self::Text => "TEXT",
            Self::Words(_) => "WORD",
            Self::Steps(_) => "WORD,…",
            Self::Known => "yes|no|unknown",
            Self::YesNo => "yes|no",
            Self::Zones(_) | Self::Feels | Self::Looks => "ZONE,…",
            Self::Sightings => "[ZONE=]SIGN,…",
            Self::Beds | Self::BedStates | Self::BedMakes => "BED,…",
            Self::Bags => "TAG,…|none",
            Self::File => "FILE",
            Self::Tag => "TAG",
            Self::Room => "ROOM",
            Self::Rooms => "ROOM,…",
            Self::Ward => "WARD",
            Self::Product => "PRODUCT",
            Self::Person | Self::Oneself => "INITIALS",
            Self::Entry => "NUMBER",
            Self::Time | Self::TimeAhead => "HH:MM",
            Self::Minutes => "MINUTES",
            Self::Millilitres | Self::PerStroke => "ML",
            Self::Celsius => "DEGREES",
            Self::Percent => "PERCENT",
            Self::SquareMetres => "M2",
            Self::Count | Self::Whole => "NUMBER",
            Self::Parts => "PART,…",
            Self::BedPlans => "BED[:TAG;TAG],…",
            Self::Neighbours => "SIDE=ROOM,…",
            Self::ZonePlans => "ZONE PLAN",
        }
    }
}

/// What a move was called before: still taken from whoever types it.
pub const OLDER_VERBS: [(&str, &str); 1] = [("patient-out", "move-patient")];

pub fn find(verb: &str) -> Option<&'static Move> {
    let older = OLDER_VERBS.iter().find(|(older, _)| older.eq_ignore_ascii_case(verb.trim()));
    let verb = older.map_or(verb, |(_, now)| now);
    MOVES.iter().find(|it| it.verb.eq_ignore_ascii_case(verb.trim()))
}

impl Move {
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.name == name)
    }
}

/// A command line begun, with what is still asked for as words to fill in: `… --began HH:MM --dry ZONE,…`.
pub fn usage(command: &str, verb: &str) -> String {
    let Some(mv) = find(verb) else { return command.to_owned() };
    let mut out = command.to_owned();
    for field in mv.fields.iter().filter(|field| field.required && field.kind != FieldKind::Oneself) {
        // Of an answer that the command line takes apart, the first part shows the way.
        let option = field.kind.options().first().map_or(field.name, |(name, ..)| name);
        let flag = format!(" --{option}");
        if !out.contains(&format!("{flag} ")) {
            let hint = match field.kind {
                FieldKind::Words(words) => words.join("|"),
                kind => kind.hint().to_owned(),
            };
            out.push_str(&format!("{flag} {hint}"));
        }
    }
    out
}

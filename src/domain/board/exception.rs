//! What happened against the rules, or outside them: noted without blame, marked for ever.

use std::fmt;

use super::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Lost, Number};
use crate::domain::facility::Zone;

/// So many wrong PINs in a row are kept as an exception; fewer are slips of the fingers.
pub(super) const MANY_WRONG_PINS: u32 = 4;

/// One event of one entry, in one room.
#[derive(Clone, Debug, PartialEq)]
pub struct Exception {
    pub number: Number,
    /// None: it is about the hospital.
    pub room: Option<Code>,
    pub kind: ExceptionKind,
}

#[derive(Clone, Debug, PartialEq)]
pub enum ExceptionKind {
    /// Sprayed by somebody who may not apply.
    SprayedByOther,
    /// Sprayed on powered equipment, or where the product's label does not allow it.
    SprayedWrongly(Vec<Zone>),
    SprayedOverPatient,
    /// Sprayed, or noted as sprayed, while somebody lay in this bed.
    OccupiedWet(Code),
    /// Somebody new lay in a bed that was closed.
    OccupiedClosed(Code),
    PatientStays,
    EnteredWet,
    WorkedWet,
    /// A thing left under this tag before it was found dry.
    LeftWet(String),
    /// Nobody finds this bag.
    BagLost(Code),
    /// The entry of this number, which had closed the room, was voided.
    CloserVoided(Number),
    /// Nobody found the thing or bag of this tag, and two people gave it up.
    WrittenOff(Lost, Code),
    /// Something else took the place of this part of a bed.
    PartReplaced(Zone),
    /// What was noted of the spray of this number was lowered by two people.
    SprayLess(Number),
    /// A terminal had seen a longer ledger than this one was.
    WentBack,
    /// The end of the ledger's file was cut or is unreadable.
    EndLost,
    /// A gap, or a copy that was taken as the ledger.
    Restored,
    /// Nothing could be noted for some time; sheets were entered afterwards.
    Downtime,
    /// Somebody said by a clock on the wall that this terminal's was wrong.
    ClockWrong(String),
    /// So many wrong PINs before the right one.
    WrongPins(u32),
}

impl fmt::Display for ExceptionKind {
    /// As it was when it happened. What came of it since is told by [`crate::domain::shift::exception_words`].
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SprayedByOther => f.write_str("sprayed by somebody who may not apply"),
            Self::SprayedWrongly(zones) => {
                let zones: Vec<String> = zones.iter().map(Zone::to_string).collect();
                write!(f, "sprayed where it must not be: {}", zones.join(", "))
            }
            Self::SprayedOverPatient => f.write_str("sprayed with a patient inside: move the patient now"),
            Self::OccupiedWet(bed) => write!(f, "bed {bed} is occupied and the room is WET: move the patient now"),
            Self::OccupiedClosed(bed) => write!(f, "bed {bed} was occupied while it was closed"),
            Self::PatientStays => f.write_str("the patient stays in the room"),
            Self::EnteredWet => f.write_str("someone entered the room while it was wet"),
            Self::WorkedWet => f.write_str("somebody worked in the room while it was wet"),
            Self::LeftWet(tag) => write!(f, "{tag} left the room before it was found dry"),
            Self::BagLost(tag) => write!(f, "bag {tag} cannot be found"),
            Self::CloserVoided(entry) => write!(f, "entry {entry}, which had closed the room, was voided"),
            Self::WrittenOff(what, tag) => write!(f, "{} {tag}, which nobody finds, was written off", what.title()),
            Self::PartReplaced(part) => write!(f, "{part} was replaced by another"),
            Self::SprayLess(spray) => {
                write!(f, "what was noted of the spray of entry {spray} was lowered by two people")
            }
            Self::WentBack => f.write_str("the ledger had gone back: entries may be missing"),
            Self::EndLost => f.write_str("the end of the ledger's file was lost: entries may be missing"),
            Self::Restored => f.write_str("a gap in the ledger was noted: entries may be missing"),
            Self::Downtime => f.write_str("nothing could be noted for some time"),
            Self::ClockWrong(terminal) => write!(f, "the clock of {terminal} was wrong"),
            Self::WrongPins(count) => write!(f, "{count} wrong PINs were typed before the right one"),
        }
    }
}

impl Board {
    pub(super) fn note_exception(&mut self, number: Number, room: Option<Code>, kind: ExceptionKind) {
        std::sync::Arc::make_mut(&mut self.exceptions).push(Exception { number, room, kind });
    }

    /// Oldest first.
    pub fn exceptions(&self) -> &[Exception] {
        &self.exceptions
    }
}

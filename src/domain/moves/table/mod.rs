//! Every move, in the order in which a room goes through them.

mod about;
mod closers;
mod facts;
mod settings;
mod signatures;

use super::{Asked, Circumstance, Field, FieldKind, Move};

pub static MOVES: &[Move] = &[
    closers::FINDING,
    closers::IDENTIFY,
    closers::INSPECT,
    facts::ROUND,
    closers::MOVE_PATIENT,
    closers::PATIENT_STAYS,
    closers::PREPARE,
    closers::SPRAY,
    closers::COMPLETE_SPRAY,
    facts::TREAT_ZONE,
    facts::DRY_CHECK,
    facts::THING_SEEN,
    closers::ENTERED_WET,
    facts::LAUNDER,
    facts::DISCARD,
    facts::VACUUM,
    facts::MAKE_BED,
    signatures::SECOND_CHECK,
    signatures::RETURN,
    signatures::CLEAR,
    signatures::NOTHING_APPLIED,
    closers::OUT_OF_SERVICE,
    signatures::IN_SERVICE,
    closers::OCCUPIED,
    facts::EMPTY,
    facts::OCCUPANCY,
    about::PROMISE,
    about::END_PROMISE,
    closers::THING_LEFT,
    closers::THING_ARRIVED,
    about::ACCEPT,
    about::COULD_NOT,
    about::HAND_OVER,
    about::WHICH_LEDGER,
    about::AMEND,
    about::VOID,
    about::CLOCK,
    about::WRONG_TIME,
    about::CORRECT_SPRAY,
    about::WRITE_OFF,
    about::REPLACE_PART,
    signatures::LOOK,
    signatures::SECOND_ATTEST,
    signatures::ATTEST,
    signatures::WARD_WALK,
    closers::DOWNTIME,
    closers::GAP,
    settings::SET_HOSPITAL,
    settings::SET_WARD,
    settings::SET_ROOM,
    settings::SET_ZONES,
    settings::SET_PERSON,
    settings::SET_PRODUCT,
    settings::SET_POLICY,
];

const fn may(name: &'static str, label: &'static str, kind: FieldKind, help: &'static str) -> Field {
    Field::may(name, label, kind, help)
}

const fn must(name: &'static str, label: &'static str, kind: FieldKind, help: &'static str) -> Field {
    Field::must(name, label, kind, help)
}

/// Where a target is a room with several beds.
const SEVERAL_BEDS: &[Asked] = &[Asked::Where(Circumstance::SeveralBeds)];
const BAG_UNKNOWN: &[Asked] = &[Asked::Where(Circumstance::BagUnknown)];
const SELDOM: &[Asked] = &[Asked::Seldom];
/// Of a logger's file, once one is named.
const OF_TRACE: &[Asked] = &[Asked::Given { field: "trace" }];
const OF_OTHER_TRACE: &[Asked] = &[Asked::Given { field: "trace" }, Asked::Given { field: "other-trace" }];
/// An older word for an answer that another question has: taken where it is given, and asked by no form.
const OLDER_WORD: &[Asked] = &[Asked::Given { field: "minutes" }];
const SELDOM_OF_TRACE: &[Asked] = &[Asked::Given { field: "trace" }, Asked::Seldom];
/// Of a drying of which a check has found something damp already.
const FELT_DAMP: &[Asked] = &[Asked::Where(Circumstance::FeltDamp)];
const WINDOW_OPEN: &[Asked] = &[Asked::If { field: "window", is: &["open"] }];

const NO_NAMES: &str = "Free text. Never name or describe a patient";

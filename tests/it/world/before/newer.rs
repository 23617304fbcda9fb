//! Stands in the place of `../newer.rs` for the library before a surface had its place (commit 467aa87): `.ci/world-control`
//! copies it there; no test of this tree compiles it. What differs:
//!
//! * A leaving has no place outside, what was supplied for a spray no amount and no patient inside, a count nobody gone.
//! * A patient's move is a `PatientOut`, which knows no bed rolled along and nowhere that the patient went.
//! * What it has no entry for is handed over in words, which no rule reads: a spray corrected to less, a thing seen or given
//!   up, what the wall clock says. It closes nothing by them and opens nothing.
//! * It asks for all at once, and more of a spray under the spray's own number, names no thing to look for, lists for a check
//!   what it asks for, and keeps no dryness to be printed.

use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, Known, Number, Place, Time};
use dryhold::domain::facility::Zone;
use dryhold::domain::need::Evidence;

fn in_words(text: String) -> Body {
    Body::HandedOver { text }
}

pub(super) fn counted(empty: Vec<Code>) -> Body {
    Body::OccupancyConfirmed { occupied: vec![], empty }
}

pub(super) fn completed(
    spray: Number,
    zones: Option<Vec<Zone>>,
    finished: Option<Time>,
    bags: Option<Vec<Code>>,
    label: Option<u32>,
) -> Body {
    let reentry_words = label.map(|_| "as the label says".to_owned());
    Body::SprayCompleted { spray, zones, finished, bags, reentry_words, reentry_minutes: label }
}

pub(super) fn corrected(spray: Number, _: Option<Vec<Zone>>, _: Option<Time>, _: Option<u32>, _: Number) -> Body {
    in_words(format!("less of spray {spray}"))
}

pub(super) fn left(thing: String, zones: Vec<Zone>, to: Option<Code>) -> Body {
    Body::ThingLeft { thing, zones, to }
}

pub(super) fn seen_here(thing: String) -> Body {
    in_words(format!("{thing} was seen here"))
}

pub(super) fn given_up(_: &Board, tag: Code, usual: Code) -> (Place, Body) {
    (Place::room(usual), in_words(format!("nobody finds {tag}")))
}

pub(super) fn clock_said(wall: Time, shown: Time) -> Body {
    in_words(format!("{shown} by this clock, {wall} by the wall"))
}

pub(super) fn patient_out(beds: Vec<Code>) -> Body {
    Body::PatientOut { beds, washed_and_changed: Known::Yes, receiving: None, receiving_bed: None }
}

pub(super) fn to_see(_: &Board, _: Code) -> Vec<(Code, Zone, Option<Code>)> {
    vec![]
}

pub(super) fn asked(board: &Board, room: Code, _: Time) -> Vec<Evidence> {
    board.evidence(room).into_iter().filter(|it| it.met_by.is_none()).collect()
}

pub(super) fn to_feel(_: &Board, _: Code) -> Option<Vec<Zone>> {
    None
}

pub(super) fn waited_for(_: &Board, _: Code) -> Option<Code> {
    None
}

pub(super) fn spray_of(_: &Board, _: Code, asking: Number) -> u64 {
    asking.0
}

pub(super) fn dryness(_: &Board, _: Code) -> String {
    String::new()
}

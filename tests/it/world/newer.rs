//! What the library has had only since a surface has its place: those entries, their fields, and what can be asked. All else
//! of the library is in `program`. For the library before that, `.ci/world-control` puts `before/newer.rs` in this one's place.

use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, Known, Lost, Number, Place, Time, Went, WhichClock};
use dryhold::domain::facility::Zone;
use dryhold::domain::need::Evidence;

pub(super) fn counted(empty: Vec<Code>) -> Body {
    Body::OccupancyConfirmed { occupied: vec![], empty, gone: vec![] }
}

pub(super) fn completed(
    spray: Number,
    zones: Option<Vec<Zone>>,
    finished: Option<Time>,
    bags: Option<Vec<Code>>,
    label: Option<u32>,
) -> Body {
    Body::SprayCompleted {
        spray,
        zones,
        finished,
        bags,
        reentry_words: label.map(|_| "as the label says".to_owned()),
        reentry_minutes: label,
        amount_ml: None,
        patient_inside: Known::Unknown,
    }
}

pub(super) fn corrected(
    spray: Number,
    zones: Option<Vec<Zone>>,
    finished: Option<Time>,
    reentry_minutes: Option<u32>,
    seen: Number,
) -> Body {
    Body::SprayCorrected { spray, zones, finished, reentry_minutes, words: "read off the label".into(), seen }
}

pub(super) fn left(thing: String, zones: Vec<Zone>, to: Option<Code>) -> Body {
    Body::ThingLeft { thing, zones, to, outside: String::new() }
}

pub(super) fn seen_here(thing: String) -> Body {
    Body::ThingSeen { thing }
}

/// `usual`: a thing of which no room is known.
pub(super) fn given_up(board: &Board, tag: Code, usual: Code) -> (Place, Body) {
    let rooms = board.rooms_of_lost(Lost::Thing, tag);
    let place = if rooms.is_empty() { Place::room(usual) } else { Place::Rooms(rooms) };
    let seen = board.newest_of(&place);
    (place, Body::WrittenOff { what: Lost::Thing, tag, reason: "looked for everywhere".into(), seen })
}

pub(super) fn clock_said(wall: Time, shown: Time) -> Body {
    Body::ClockSaid { wall, wrong: WhichClock::This, other: String::new(), shown: Some(shown) }
}

pub(super) fn patient_out(beds: Vec<Code>) -> Body {
    Body::PatientMoved {
        beds,
        went: Went::Home,
        receiving: None,
        receiving_bed: None,
        outside: String::new(),
        washed_and_changed: Known::Yes,
        own_bed: false,
        things: vec![],
        answers: None,
    }
}

/// What of which room is to be looked for, so that it is known which of several carries a tag; and the other tag that it goes by.
pub(super) fn to_see(board: &Board, room: Code) -> Vec<(Code, Zone, Option<Code>)> {
    board.sightings_wanted(room).into_iter().map(|it| (it.home, it.zone, it.also)).collect()
}

pub(super) fn asked(board: &Board, room: Code, now: Time) -> Vec<Evidence> {
    board.asked_now(room, now)
}

/// What the form of a check lists. None: it lists what the room asks for.
pub(super) fn to_feel(board: &Board, room: Code) -> Option<Vec<Zone>> {
    Some(board.room(room)?.dryness().to_feel())
}

/// The room whose spray is to be completed before anything here can be felt.
pub(super) fn waited_for(board: &Board, room: Code) -> Option<Code> {
    board.spray_waited_for(room).map(|(other, _)| other)
}

/// The spray that an entry asks more of: the form leads there from what was supplied for it.
pub(super) fn spray_of(board: &Board, room: Code, asking: Number) -> u64 {
    let unstated = board.room(room).map(|it| it.unstated()).unwrap_or_default();
    unstated.iter().find(|(it, _)| *it == asking).map_or(asking.0, |(_, spray)| spray.0)
}

pub(super) fn dryness(board: &Board, room: Code) -> String {
    board.room(room).map(|room| format!("{:?}", room.dryness())).unwrap_or_default()
}

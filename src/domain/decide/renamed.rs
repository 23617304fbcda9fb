//! A bed or a room that gets another code by the book would leave behind what is still to be done about it. So as long as anything
//! is, a code that is new is given to nothing that may be the old one.

use super::Refusal;
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number};
use crate::domain::facility::Bed;
use crate::domain::need::{About, Need};
use crate::domain::rule::Rule;

pub(super) fn renamed_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let (Body::RoomSet { beds, .. }, Some(room)) = (&entry.body, entry.place.first_room()) else { return Ok(()) };
    bed_renamed(board, room, beds)?;
    bed_dropped(board, room, beds)?;
    room_renamed(board, room, beds)
}

/// A bed that is new to the book, while one that the book has nowhere any more is still to be settled.
fn bed_renamed(board: &Board, room: Code, beds: &[Bed]) -> Result<(), Refusal> {
    let Some(new) = beds.iter().map(|bed| bed.code).find(|bed| !board.is_bed(*bed)) else { return Ok(()) };
    let booked = board.facility().rooms.keys().flat_map(|code| board.surfaces().beds_booked(*code));
    // Off the book already, or taken off by this entry.
    let is_off = |bed: &Code| {
        let at = board.facility().room_of_bed(*bed).map(|plan| plan.code);
        at.is_none_or(|at| at == room) && beds.iter().all(|kept| kept.code != *bed)
    };
    let waits = booked.filter(is_off).find_map(|bed| Some((bed, still_owed(board, bed)?)));
    match waits {
        Some((bed, need)) => {
            let text = format!(
                "bed {new} is new, and bed {bed}, which no room has any more, still waits: {need}. If it is the same bed, it keeps the \
                 code {bed} until that is done; if it is another one, put {bed} back into its room, or settle it, first; a bed that is gone \
                 for good is written off by the lead and infection prevention"
            );
            Err(Refusal::new(Rule::Place, text))
        }
        None => Ok(()),
    }
}

/// A bed that goes off the book while it is still to be settled, and one that came into the book since, or that nobody has walked
/// past, may be the same.
fn bed_dropped(board: &Board, room: Code, beds: &[Bed]) -> Result<(), Refusal> {
    let before = board.facility().room(room).map(|plan| plan.beds.as_slice()).unwrap_or_default();
    let dropped = before.iter().map(|bed| bed.code).filter(|bed| beds.iter().all(|kept| kept.code != *bed));
    for bed in dropped {
        let Some(need) = still_owed(board, bed) else { continue };
        let since = owed_since(board, bed);
        let is_new = |other: &Code| {
            let came = board.surfaces().came_into_the_book(*other);
            *other != bed
                && came
                    .is_some_and(|came| since.is_none_or(|since| came > since) || !board.is_walked_since(*other, came))
        };
        let all = board.facility().rooms.values().flat_map(|plan| plan.beds.iter().map(|bed| bed.code));
        if let Some(new) = all.into_iter().find(is_new) {
            let text = format!(
                "bed {bed} still waits: {need}, and bed {new} came into the book meanwhile. If it is the same bed, it keeps the code \
                 {bed} until that is done; if it is another one, settle {bed} first"
            );
            return Err(Refusal::new(Rule::Place, text));
        }
    }
    Ok(())
}

/// The first entry by which something of this bed is still to be settled.
fn owed_since(board: &Board, bed: Code) -> Option<Number> {
    let wet = board.parts_of_bed(bed).into_iter().filter_map(|part| board.surfaces().shown(part).wet);
    let wet = wet.flat_map(|wet| wet.by);
    let rooms = board.rooms_of_bed(bed).into_iter().chain(board.surfaces().booked_room(bed));
    let open = rooms.flat_map(|room| board.evidence(room)).filter(|it| it.met_by.is_none() && is_of_bed(it.need, bed));
    wet.chain(open.map(|it| it.cause)).min()
}

/// What is still to be done about this bed, wherever it may be.
fn still_owed(board: &Board, bed: Code) -> Option<Need> {
    // Looked for in every room, and given up by two, it is no bed that stands anywhere under another code.
    if board.is_given_up(bed) {
        return None;
    }
    if let Some(wet) = board.parts_of_bed(bed).into_iter().find(|part| board.surfaces().is_wet(*part)) {
        return Some(Need::Dry(wet.zone()));
    }
    if let Some(need) = board.owed_outside(bed) {
        return Some(need);
    }
    let rooms = board.rooms_of_bed(bed).into_iter().chain(board.surfaces().booked_room(bed));
    let open = rooms.flat_map(|room| board.evidence(room)).filter(|it| it.met_by.is_none());
    open.map(|it| it.need).find(|need| is_of_bed(*need, bed))
}

fn is_of_bed(need: Need, bed: Code) -> bool {
    match need.about() {
        Some(About::Part(zone)) => zone.bed == Some(bed) || zone.part == bed,
        Some(About::Bed(made)) => made == bed,
        None => false,
    }
}

/// A room that came into the book since, or in which no bed ever stood by the book of now, and that gets a bed of one in which
/// something is still to be settled. Not where somebody noted that the bed was rolled there.
fn room_renamed(board: &Board, room: Code, beds: &[Bed]) -> Result<(), Refusal> {
    let since = board.room(room).filter(|_| board.facility().room(room).is_some()).and_then(|it| it.set_up);
    let is_bare = board.facility().room(room).is_none_or(|plan| plan.beds.is_empty());
    for bed in beds.iter().map(|bed| bed.code).filter(|bed| board.surfaces().bed_rooms(*bed) != [room]) {
        let Some(before) = board.surfaces().booked_room(bed).filter(|before| *before != room) else { continue };
        let mut asks = board.room(before).into_iter().flat_map(|it| it.unsettled());
        let is_newer = |at| is_bare || since.is_none_or(|since| since >= at);
        let waits = asks.find(|closer| !closer.needs.contains(&Need::Walked) && is_newer(closer.happened));
        if let Some(closer) = waits {
            let text = format!(
                "room {room} had no bed before, and bed {bed} stood in {before}, where entry {} is not settled: if {before} is called \
                 {room} now, settle that in {before} first; if the bed was moved, note that it left {before} for {room}",
                closer.number
            );
            return Err(Refusal::new(Rule::Place, text));
        }
    }
    Ok(())
}

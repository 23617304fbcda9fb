//! A bed or a room that gets another code by the book would leave behind what is still to be done about it. So as long as anything
//! is, a code that is new is given to nothing that may be the old one.

use super::Refusal;
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry};
use crate::domain::facility::Bed;
use crate::domain::need::Need;
use crate::domain::rule::Rule;

pub(super) fn renamed_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let (Body::RoomSet { beds, .. }, Some(room)) = (&entry.body, entry.place.first_room()) else { return Ok(()) };
    bed_renamed(board, room, beds)?;
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
                 code {bed} until that is done; if it is another one, put {bed} back into its room, or settle it, first"
            );
            Err(Refusal::new(Rule::Place, text))
        }
        None => Ok(()),
    }
}

/// What is still to be done about this bed, wherever it may be.
fn still_owed(board: &Board, bed: Code) -> Option<Need> {
    if let Some(wet) = board.parts_of_bed(bed).into_iter().find(|part| board.surfaces().is_wet(*part)) {
        return Some(Need::Dry(wet.zone()));
    }
    let is_of_it = |need: &Need| match need {
        Need::Covered(zone) | Need::Dry(zone) | Need::Vacuumed(zone) => zone.bed == Some(bed) || zone.part == bed,
        Need::Made(made) => *made == bed,
        Need::ZonesNamed
        | Need::FinishNamed
        | Need::LabelNamed
        | Need::LinensNamed
        | Need::Bag(_)
        | Need::Inspected
        | Need::Returned
        | Need::InService(_)
        | Need::Attested(_)
        | Need::Looked(_)
        | Need::Walked => false,
    };
    let rooms = board.rooms_of_bed(bed).into_iter().chain(board.surfaces().booked_room(bed));
    let open = rooms.flat_map(|room| board.evidence(room)).filter(|it| it.met_by.is_none());
    open.map(|it| it.need).find(is_of_it)
}

/// A room that came into the book since, and gets a bed of one in which something is still to be settled.
fn room_renamed(board: &Board, room: Code, beds: &[Bed]) -> Result<(), Refusal> {
    let since = board.room(room).filter(|_| board.facility().room(room).is_some()).and_then(|it| it.set_up);
    for bed in beds.iter().map(|bed| bed.code) {
        let Some(before) = board.surfaces().booked_room(bed).filter(|before| *before != room) else { continue };
        let mut asks = board.room(before).into_iter().flat_map(|it| it.unsettled());
        let is_newer = |at| since.is_none_or(|since| since >= at);
        let waits = asks.find(|closer| !closer.needs.contains(&Need::Walked) && is_newer(closer.happened));
        if let Some(closer) = waits {
            let text = format!(
                "room {room} is new, and bed {bed} stood in {before}, where entry {} is not settled: if {before} is called {room} now, \
                 settle that in {before} first; if the bed was moved, put it into a room that is older",
                closer.number
            );
            return Err(Refusal::new(Rule::Place, text));
        }
    }
    Ok(())
}

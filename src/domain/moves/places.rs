//! Rooms, beds, wards and zones as people type them, found in the hospital or answered with what there is.

use super::read::once;
use super::time::quoted;
use crate::domain::board::{Board, Room};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Place};
use crate::domain::facility::{Bed, Facility, RoomPlan, Zone};
use crate::domain::need::Need;

pub(super) fn room<'a>(facility: &'a Facility, text: &str) -> Result<&'a RoomPlan, String> {
    let code = Code::new(text).map_err(|error| error.to_string())?;
    facility.room(code).or_else(|| facility.room_of_bed(code)).ok_or_else(|| {
        format!("there is no room or bed “{}”{}: `dryhold rooms` lists them", quoted(text), like(facility, code))
    })
}

pub(super) fn ward(facility: &Facility, text: &str) -> Result<Code, String> {
    let code = Code::new(text).map_err(|error| error.to_string())?;
    let known: Vec<&str> = facility.wards.keys().map(Code::as_str).collect();
    match facility.wards.get(&code) {
        Some(ward) => Ok(ward.code),
        None => Err(format!("there is no ward “{}”; the wards are {}", quoted(text), known.join(", "))),
    }
}

/// A room, bed or ward code, or `hospital`.
pub(super) fn anywhere(facility: &Facility, text: &str) -> Result<Place, String> {
    if text.trim().eq_ignore_ascii_case("hospital") {
        return Ok(Place::Hospital);
    }
    if let Ok(plan) = room(facility, text) {
        return Ok(Place::room(plan.code));
    }
    let known = |_| format!("there is no room, bed or ward “{}”: type its code, or `hospital`", quoted(text));
    ward(facility, text).map(Place::Ward).map_err(known)
}

/// A bed of the hospital by its whole code, or a bed of this room by what its code adds to the room's: `A` for `4N-12-A`.
pub(super) fn bed(plan: &RoomPlan, text: &str) -> Result<Code, String> {
    let wanted = text.trim();
    let whole = plan.beds.iter().find(|bed| bed.code.as_str().eq_ignore_ascii_case(wanted));
    let short =
        || plan.beds.iter().find(|bed| ending(plan, bed.code).is_some_and(|end| end.eq_ignore_ascii_case(wanted)));
    whole.or_else(short).map(|bed| bed.code).ok_or_else(|| match plan.beds.as_slice() {
        [] => format!("{} has no beds", plan.code),
        beds => {
            let known: Vec<&str> = beds.iter().map(|bed| bed.code.as_str()).collect();
            format!("{} has no bed “{}”; its beds are {}", plan.code, quoted(wanted), known.join(", "))
        }
    })
}

fn ending(plan: &RoomPlan, bed: Code) -> Option<String> {
    let (bed, room) = (bed.as_str(), plan.code.as_str());
    let starts = bed.len() > room.len() && bed.as_bytes()[..room.len()].eq_ignore_ascii_case(room.as_bytes());
    let end = starts.then(|| bed[room.len()..].trim_start_matches(['-', '.', '/', '_', ' ']).to_owned())?;
    (!end.is_empty()).then_some(end)
}

/// Zones that the room is waiting for, or that may stand there, and that it does not have by its plan: a movable thing, a bed
/// that was rolled in, a zone set changed since.
pub(super) fn zones_beyond_plan(board: &Board, plan: &RoomPlan) -> Vec<Zone> {
    let of_need = |need: Need| match need {
        Need::Covered(zone) | Need::Dry(zone) | Need::Vacuumed(zone) => Some(zone),
        _ => None,
    };
    let mut zones: Vec<Zone> = board.evidence(plan.code).iter().filter_map(|it| of_need(it.need)).collect();
    zones.extend(board.guests_named(plan.code));
    zones.retain(|zone| plan.zone(*zone).is_none());
    once(zones)
}

/// What else may be named of a room, since it may have stood there at the time of what is noted: whatever carries a tag, the
/// parts of beds, and zones that the room had once.
pub(super) fn zones_of_other_times(board: &Board, plan: &RoomPlan, typed: Zone) -> Option<Zone> {
    let surfaces = board.surfaces();
    if board.had_part(plan.code, typed) {
        return Some(typed);
    }
    match typed.bed {
        Some(bed) => {
            let was_here = surfaces.beds_rolled(plan.code).any(|it| it == bed) || surfaces.is_tag(bed);
            let has_part = board.parts_of_bed(bed).iter().any(|part| part.zone() == typed);
            (was_here && has_part).then_some(typed)
        }
        None => {
            let was_zone = surfaces.known_of(plan.code).any(|known| known.zone() == typed);
            (surfaces.is_tag(typed.part) || was_zone).then_some(typed)
        }
    }
}

/// The beds of the room by the book, and whichever else stands there and is to be made there.
pub fn beds_there(board: &Board, plan: &RoomPlan) -> Vec<Bed> {
    with_beds(plan, beds_asked(board, plan.code))
}

/// The beds of the room by the book, and whichever else a second person looks at there.
pub(super) fn beds_checked(board: &Board, plan: &RoomPlan) -> Vec<Bed> {
    with_beds(plan, board.to_check_again(plan.code).1)
}

fn with_beds(plan: &RoomPlan, others: impl IntoIterator<Item = Code>) -> Vec<Bed> {
    let mut beds = plan.beds.clone();
    for code in others {
        if !beds.iter().any(|bed| bed.code == code) {
            beds.push(Bed { code, features: vec![] });
        }
    }
    beds
}

fn beds_asked(board: &Board, room: Code) -> impl Iterator<Item = Code> {
    let open = board.evidence(room).into_iter().filter(|it| it.met_by.is_none());
    open.filter_map(|it| if let Need::Made(bed) = it.need { Some(bed) } else { None })
}

/// The room that a room's or bed's code means for this move: of a bed, where the book has it; to be made, where that is asked for; of a
/// spray, where it was.
pub fn room_of_target<'a>(board: &'a Board, verb: &str, code: Code) -> Option<&'a RoomPlan> {
    let facility = board.facility();
    // What stands there wet waits for more of another room's spray.
    let waited_for = board.spray_waited_for(code).filter(|_| verb == "complete-spray");
    let plan = waited_for.and_then(|(room, _)| facility.room(room)).or(facility.room(code));
    let booked = || facility.room_of_bed(code);
    let asks = |room: &Code| beds_asked(board, *room).any(|bed| bed == code);
    let asking = || board.rooms_of_bed(code).into_iter().find(asks).and_then(|room| facility.room(room));
    let is_made_elsewhere = verb == "make-bed" && booked().is_some_and(|plan| !asks(&plan.code));
    plan.or_else(|| if is_made_elsewhere { asking().or_else(booked) } else { booked() })
}

/// The room of the spray that is completed: the typed one, or the one whose spray is named and is waited for there.
pub(super) fn room_of_spray<'a>(board: &'a Board, typed: &'a RoomPlan, spray: Option<Number>) -> &'a RoomPlan {
    let waited_for = board.spray_waited_for(typed.code);
    let other =
        waited_for.filter(|(_, number)| spray == Some(*number)).and_then(|(room, _)| board.facility().room(room));
    other.unwrap_or(typed)
}

/// The rooms that wait for a bag; if none does any more, those that it came from.
pub fn rooms_of_bag(board: &Board, bag: Code) -> Vec<Code> {
    let asking = |met_too: bool| {
        let asks = move |room: &Room| {
            room.evidence().iter().any(|it| it.need == Need::Bag(bag) && (met_too || it.met_by.is_none()))
        };
        board.rooms().filter(move |(_, room)| asks(room)).map(|(code, _)| code).collect::<Vec<_>>()
    };
    let waiting = asking(false);
    if waiting.is_empty() { asking(true) } else { waiting }
}

/// A zone that this room has: `chair`, `4N-12-A/mattress`, `A/mattress`, or in a room with one bed `mattress`.
pub(super) fn zone(board: &Board, plan: &RoomPlan, beyond: &[Zone], text: &str) -> Result<Zone, String> {
    let read = Zone::parse(text.trim()).map_err(|error| error.to_string())?;
    let by_hand = || {
        let (named, part) = text.trim().rsplit_once('/')?;
        let bed = bed(plan, named).ok()?;
        Some(Zone { bed: Some(bed), part: Code::new(part).ok()? })
    };
    let of_only_bed = || match plan.beds.as_slice() {
        [bed] => Some(Zone { bed: Some(bed.code), part: read.part }),
        _ => None,
    };
    let mut candidates = [Some(read), by_hand(), read.bed.is_none().then(of_only_bed).flatten()].into_iter().flatten();
    // The room's own spelling of the code, since codes differ in case only by typing.
    let known = || plan.all_zones().chain(beyond.iter().copied());
    let found = candidates.find_map(|zone| known().find(|own| *own == zone));
    found.or_else(|| zones_of_other_times(board, plan, read)).ok_or_else(|| no_such_zone(plan, beyond, read, text))
}

fn no_such_zone(plan: &RoomPlan, beyond: &[Zone], read: Zone, text: &str) -> String {
    let of_beds: Vec<String> = plan
        .all_zones()
        .filter(|zone| zone.bed.is_some() && zone.part == read.part)
        .map(|zone| zone.to_string())
        .collect();
    if read.bed.is_none() && !of_beds.is_empty() {
        return format!("“{}” is a zone of each bed: type {}", quoted(text), of_beds.join(" or "));
    }
    let known: Vec<String> = plan.all_zones().chain(beyond.iter().copied()).map(|zone| zone.to_string()).collect();
    match known.as_slice() {
        [] => format!("{} has no zones", plan.code),
        zones => format!("{} has no zone “{}”; its zones are {}", plan.code, quoted(text), zones.join(", ")),
    }
}

/// What stands behind a code that nothing here has: the codes that were probably meant. Empty: none is near.
pub fn near_codes(facility: &Facility, typed: &str) -> String {
    Code::new(typed).map(|code| like(facility, code)).unwrap_or_default()
}

/// The codes that were probably meant; else a few that begin as the wrong one does.
fn like(facility: &Facility, wrong: Code) -> String {
    let wanted = plainly(wrong.as_str());
    let beds = facility.rooms.values().flat_map(|plan| plan.beds.iter().map(|bed| bed.code));
    let all = facility.rooms.keys().copied().chain(beds);
    let mut near: Vec<(usize, Code)> = all.map(|code| (apart(&wanted, &plainly(code.as_str())), code)).collect();
    near.sort_unstable();
    let least = near.first().map_or(usize::MAX, |(distance, _)| *distance);
    if least <= 1 {
        let meant = near.iter().take_while(|(distance, _)| *distance == least).take(6);
        let meant: Vec<String> = meant.map(|(_, code)| code.to_string()).collect();
        return format!(" (did you mean {}?)", meant.join(" or "));
    }
    let wanted = wrong.as_str().to_ascii_uppercase();
    let beginning = |length: usize| {
        let head: String = wanted.chars().take(length).collect();
        let starts = |code: &Code| code.as_str().to_ascii_uppercase().starts_with(&head);
        facility.rooms.keys().filter(|code| starts(code)).take(6).map(Code::to_string).collect::<Vec<_>>()
    };
    let near = (2..=wanted.len()).rev().map(beginning).find(|found| !found.is_empty());
    near.map(|codes| format!(" (there is {})", codes.join(", "))).unwrap_or_default()
}

/// Letters that are typed for figures, and marks that are left out.
fn plainly(code: &str) -> Vec<char> {
    let letter = |c: char| match c.to_ascii_uppercase() {
        'O' => '0',
        'I' | 'L' => '1',
        other => other,
    };
    code.chars().filter(char::is_ascii_alphanumeric).map(letter).collect()
}

/// How many letters have to be changed, added or left out to make one of the other.
fn apart(one: &[char], other: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (at, a) in one.iter().enumerate() {
        let mut before = std::mem::replace(&mut row[0], at + 1);
        for (to, b) in other.iter().enumerate() {
            let changed = before + usize::from(a != b);
            before = row[to + 1];
            row[to + 1] = changed.min(before + 1).min(row[to] + 1);
        }
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_that_was_mistyped_is_near_the_one_that_was_meant() {
        for (typed, meant, distance) in [("3N-O8-B", "3N-08-B", 0), ("3n08b", "3N-08-B", 0), ("3N-88-B", "3N-08-B", 1)]
        {
            assert_eq!(apart(&plainly(typed), &plainly(meant)), distance, "{typed}");
        }
        assert_eq!(apart(&plainly("4N-12"), &plainly("3N-08-B")), 4);
    }
}

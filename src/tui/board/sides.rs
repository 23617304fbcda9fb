//! Which rooms of a ward lie on which side of its corridor.
//!
//! The hospital says in which order people walk, and which rooms lie opposite. The rest follows from the walk: it goes up
//! the one side, turns, and comes back on the other. A place that the walk passes on the way back lies on that side, and
//! what lies at the turn goes around the end.

use crate::tui::survey::{RoomLine, Survey};

/// What lies across from each other, by their places in the survey.
pub(super) type Column = (Option<usize>, Option<usize>);

pub(super) fn of(survey: &Survey, ward: usize) -> Vec<Column> {
    let Some(line) = survey.wards.get(ward) else { return vec![] };
    let rooms = || line.rooms.clone().filter_map(|at| Some((at, survey.rooms.get(at)?)));
    let across = |room: &RoomLine| {
        let named = room.opposite.and_then(|code| survey.position(code));
        named.filter(|at| line.rooms.contains(at))
    };
    if rooms().all(|(_, room)| across(room).is_none()) {
        return around(&line.rooms.clone().collect::<Vec<_>>());
    }
    let mut columns: Vec<Column> = vec![];
    // Where the walk is on its way back. None: it goes up, or from side to side.
    let mut back: Option<usize> = None;
    for (at, room) in rooms() {
        let opposite = across(room);
        let met = opposite.and_then(|other| columns.iter().position(|it| *it == (Some(other), None)));
        if let Some(column) = met {
            let column = turn(&mut columns, column);
            if let Some(it) = columns.get_mut(column) {
                it.1 = Some(at);
            }
            back = (column + 1 < columns.len()).then_some(column);
        } else if let (Some(column), None) = (back, opposite) {
            // Passed on the way back: beside the room that was passed before, towards the beginning.
            match column.checked_sub(1) {
                Some(before)
                    if columns.get(before).is_some_and(|it| it.1.is_none() && waits_for_none(survey, it.0)) =>
                {
                    if let Some(it) = columns.get_mut(before) {
                        it.1 = Some(at);
                    }
                    back = Some(before);
                }
                _ => columns.insert(column, (None, Some(at))),
            }
        } else {
            columns.push((Some(at), None));
        }
    }
    columns
}

fn waits_for_none(survey: &Survey, near: Option<usize>) -> bool {
    near.and_then(|at| survey.rooms.get(at)).is_none_or(|room| room.opposite.is_none())
}

/// The walk turns where it comes back to this column for the first time: what lies beyond goes around the end.
fn turn(columns: &mut Vec<Column>, column: usize) -> usize {
    let beyond: Vec<usize> = columns.iter().skip(column + 1).filter_map(|it| it.0).collect();
    let bare = columns.iter().skip(column + 1).all(|(near, far)| near.is_some() && far.is_none());
    if bare && columns.iter().all(|(_, far)| far.is_none()) {
        columns.truncate(column + 1);
        columns.extend(around(&beyond));
    }
    column
}

/// Up the one side and back the other, as far as is known of rooms of which nobody said what lies opposite.
fn around(walk: &[usize]) -> Vec<Column> {
    let (up, back) = walk.split_at(walk.len().div_ceil(2));
    let mut back: Vec<Option<usize>> = back.iter().rev().copied().map(Some).collect();
    if back.len() < up.len() {
        // The walk turns at the far end; where one is missing it is at the near one.
        back.insert(0, None);
    }
    up.iter().copied().map(Some).zip(back).collect()
}

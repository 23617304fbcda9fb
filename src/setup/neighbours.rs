//! Neighbours that a room list does not give: worked out from the walk through a ward and from the ward above and below.
//!
//! What the list gives always wins. What one room says of another holds for both: if A has B on its left, B has A on its
//! right, unless B's own row says something else. A neighbour too many costs a look; one too few can cost a case.

use std::collections::HashMap;

use super::PlannedWard;
use super::assemble::{Draft, Given};
use crate::domain::code::Code;
use crate::domain::facility::{Neighbour, Side};

/// Fills in every room's neighbours, and answers how many sides were worked out.
pub(super) fn work_out(wards: &[PlannedWard], drafts: &mut [Draft]) -> usize {
    let at: HashMap<Code, usize> = drafts.iter().enumerate().map(|(at, draft)| (draft.room.code, at)).collect();
    let mut sides = Sides { rooms: drafts.iter().map(|_| Default::default()).collect(), worked_out: 0 };
    for (room, draft) in drafts.iter().enumerate() {
        for (side, given) in Side::ALL.into_iter().zip(&draft.sides) {
            match given {
                Given::Open => {}
                Given::Nobody => sides.close(room, side),
                Given::Rooms(codes) => {
                    sides.close(room, side);
                    codes.iter().filter_map(|code| at.get(code)).for_each(|other| sides.add(room, side, *other));
                }
            }
        }
    }
    sides.mirror_given(drafts, &at);
    let walks: Vec<Vec<usize>> = wards.iter().map(|ward| walk(drafts, ward.code)).collect();
    for pair in walks.iter().flat_map(|walk| walk.windows(2)) {
        if let [before, after] = pair {
            sides.join(*before, Side::Right, *after);
        }
    }
    for (ward, walk) in wards.iter().zip(&walks) {
        let on_floor = |floor: i32| wards.iter().zip(&walks).filter(move |(it, _)| i32::from(it.floor) == floor);
        let mut upper = on_floor(i32::from(ward.floor) + 1);
        // Two wings on a floor: nothing says which of them lies above.
        let is_single = on_floor(i32::from(ward.floor)).count() == 1;
        if let (true, Some((_, above)), None) = (is_single, upper.next(), upper.next()) {
            walk.iter().zip(above).for_each(|(lower, upper)| sides.join(*lower, Side::Above, *upper));
        }
    }
    let codes: Vec<Code> = drafts.iter().map(|draft| draft.room.code).collect();
    for (draft, room) in drafts.iter_mut().zip(&sides.rooms) {
        let all = Side::ALL.into_iter().zip(room);
        draft.room.neighbours = all
            .flat_map(|(side, it)| it.rooms.iter().map(move |other| (side, *other)))
            .filter_map(|(side, other)| Some(Neighbour { side, room: *codes.get(other)? }))
            .collect();
    }
    sides.worked_out
}

/// The rooms of a ward along its corridor. A shared space lies behind the rooms that it serves, not between them.
fn walk(drafts: &[Draft], ward: Code) -> Vec<usize> {
    let of_ward = drafts.iter().enumerate().filter(|(_, draft)| draft.room.ward == ward);
    of_ward.filter(|(_, draft)| draft.room.serves.is_empty()).map(|(at, _)| at).collect()
}

#[derive(Default)]
struct OneSide {
    rooms: Vec<usize>,
    /// Its row says who is there.
    closed: bool,
}

struct Sides {
    rooms: Vec<[OneSide; Side::ALL.len()]>,
    worked_out: usize,
}

impl Sides {
    fn side(&mut self, room: usize, side: Side) -> Option<&mut OneSide> {
        self.rooms.get_mut(room)?.get_mut(side as usize)
    }

    fn close(&mut self, room: usize, side: Side) {
        if let Some(it) = self.side(room, side) {
            it.closed = true;
        }
    }

    fn add(&mut self, room: usize, side: Side, other: usize) {
        if let Some(it) = self.side(room, side)
            && !it.rooms.contains(&other)
        {
            it.rooms.push(other);
        }
    }

    fn is_free(&mut self, room: usize, side: Side) -> bool {
        self.side(room, side).is_some_and(|it| !it.closed && it.rooms.is_empty())
    }

    /// If A's row names B, then B has A on the other side, unless B's row speaks of that side itself.
    fn mirror_given(&mut self, drafts: &[Draft], at: &HashMap<Code, usize>) {
        for (room, draft) in drafts.iter().enumerate() {
            for (side, given) in Side::ALL.into_iter().zip(&draft.sides) {
                let Given::Rooms(codes) = given else { continue };
                for other in codes.iter().filter_map(|code| at.get(code)) {
                    let across = mirrored(side);
                    if self.side(*other, across).is_some_and(|it| !it.closed) {
                        self.add(*other, across, room);
                        self.worked_out += 1;
                    }
                }
            }
        }
    }

    /// Joins two rooms if neither has anybody on that side yet.
    fn join(&mut self, room: usize, side: Side, other: usize) {
        let across = mirrored(side);
        if self.is_free(room, side) && self.is_free(other, across) {
            self.add(room, side, other);
            self.add(other, across, room);
            self.worked_out += 2;
        }
    }
}

fn mirrored(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Opposite => Side::Opposite,
        Side::Above => Side::Below,
        Side::Below => Side::Above,
    }
}

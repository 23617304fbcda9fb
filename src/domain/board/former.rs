//! What stood in a room by the book of its day, and does not by that of now: a part that went off the list, the parts of a room
//! that is one of another kind since. A spray of before that is told afterwards hit it all the same.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::{Board, CLOCK_TOLERANCE};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::surface::Surface;

/// A part that a setting took off a room.
#[derive(Clone, Debug)]
pub(super) struct Former {
    room: Code,
    part: Surface,
    /// Until then it stood there by the book, and the entry that says so.
    until: Time,
    by: Number,
}

impl Board {
    /// What the rooms that this setting may change have now, by the book.
    pub(super) fn listed(&self, entry: &Entry) -> Vec<(Code, Vec<Surface>)> {
        let mut rooms: Vec<Code> = vec![];
        if let Body::RoomSet { .. } = &entry.body {
            rooms.extend(entry.place.first_room());
        }
        if let Body::ZonesSet { kind, .. } = &entry.body {
            let of_kind = self.facility().rooms.values().filter(|plan| plan.kind == *kind);
            rooms.extend(of_kind.map(|plan| plan.code));
        }
        rooms.into_iter().filter_map(|code| Some((code, self.own_surfaces(self.facility().room(code)?)))).collect()
    }

    /// Remembers what of it is not there any more.
    pub(super) fn remember_former(&mut self, entry: &Entry, listed: Vec<(Code, Vec<Surface>)>) {
        for (room, before) in listed {
            let now = self.facility().room(room).map(|plan| self.own_surfaces(plan)).unwrap_or_default();
            // It may have stood there all the while: as long as the room is wet by a spray of everything, it is wet as well.
            let new: Vec<Surface> = now.iter().filter(|part| !before.contains(part)).copied().collect();
            let all = self.surfaces().sprays(room).iter().filter(|spray| spray.named.is_none());
            let wet = all.filter(|spray| self.surfaces().dry_since(room, spray).is_none());
            let wet: Vec<Number> = wet.map(|spray| spray.number).collect();
            for spray in wet {
                self.surfaces_mut().stood_too(room, spray, &new, entry.number);
            }
            let gone = before.into_iter().filter(|part| !now.contains(part));
            let former = gone.map(|part| Former { room, part, until: entry.noted, by: entry.number });
            let former: Vec<Former> = former.collect();
            if !former.is_empty() {
                Arc::make_mut(&mut self.former).extend(former);
            }
        }
    }

    /// What stood in the room at this time by the book of any day since.
    pub(super) fn own_surfaces_since(&self, plan: &RoomPlan, since: Time) -> Vec<Surface> {
        let former = self.former_since(plan.code, since);
        let mut own = self.own_surfaces(plan);
        // Of which the parts are known there is no need to take it for one.
        own.retain(|it| former.is_empty() || !self.is_for_want_of_parts(*it, plan.code, &former));
        own.extend(former);
        own.sort();
        own.dedup();
        own
    }

    /// Whether any room had a part of this name once.
    pub fn was_part_name(&self, name: Code) -> bool {
        self.former.iter().any(|it| it.part.zone().part == name)
    }

    /// Whether the room, or a bed of it, had such a part once: whoever tells of that time may name it.
    pub fn had_part(&self, room: Code, zone: Zone) -> bool {
        self.former.iter().any(|it| it.room == room && it.part.zone() == zone)
    }

    /// What stood there then, and does not by the book of now.
    pub(super) fn former_since(&self, room: Code, since: Time) -> Vec<Surface> {
        let stood = |it: &&Former| {
            let until = self.clocks.latest(it.by, it.until);
            it.room == room && since <= until.checked_add_signed(CLOCK_TOLERANCE).unwrap_or(until)
        };
        self.former.iter().filter(stood).map(|it| it.part).collect()
    }

    /// By the times that are left, sprays of these entries may have come sooner.
    pub(super) fn wet_former_again(&mut self, entry: &Entry, numbers: &BTreeSet<Number>) {
        if self.former.is_empty() {
            return;
        }
        let rooms: BTreeSet<Code> = self.former.iter().map(|it| it.room).collect();
        for room in rooms {
            let sprays = self.surfaces().sprays(room).iter().filter(|it| numbers.contains(&it.number));
            let sprays: Vec<(Number, Time)> = sprays.map(|it| (it.number, it.begun)).collect();
            for (spray, begun) in sprays {
                let former = self.former_since(room, begun);
                self.surfaces_mut().stood_too(room, spray, &former, entry.number);
            }
        }
    }
}

//! Which beds stood in a room while it was sprayed: what lay on them is treated, whatever of them the spray named, and wherever
//! they are by now.

use std::sync::Arc;

use super::place::Visit;
use super::spray::Spray;
use super::track::Track;
use super::{Span, Surface, Surfaces, place};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// A bed that comes to light as having stood by: of a spray of this room.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StoodBy {
    pub bed: Code,
    pub room: Code,
    pub spray: Number,
}

/// The linens of a bed lay in a wet room between these times, and came into another.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FromTheWet {
    pub bed: Code,
    pub from: Time,
    pub until: Time,
    /// When they may have been in the other.
    pub here: (Time, Time),
}

impl Surfaces {
    /// The beds that may have stood in the room at any moment between these times, or whose linens may have been there.
    pub fn beds_between(&self, room: Code, (from, until): (Time, Time)) -> Vec<Code> {
        let mut beds = self.beds_booked(room);
        beds.extend(self.beds_rolled(room));
        let visitors = self.visitors.get(&room).into_iter().flatten();
        beds.extend(visitors.filter_map(|it| it.zone().bed));
        beds.sort();
        beds.dedup();
        let was_here = |visit: &Visit| visit.room == room && visit.from <= until && visit.until >= from;
        beds.retain(|bed| self.bed_stood(*bed).iter().any(was_here));
        beds
    }

    /// The rooms in which it may have stood since, or its linens may have been.
    pub fn linens_since(&self, bed: Code, since: Time) -> Vec<Code> {
        let mut rooms: Vec<Code> =
            self.bed_stood(bed).iter().filter(|it| it.until >= since).map(|it| it.room).collect();
        rooms.sort();
        rooms.dedup();
        rooms
    }

    /// When linens of beds lay in another room while something was wet there by a spray that was noted since `first`, and when they
    /// may have been in this room after that.
    pub fn linens_from_the_wet(&self, room: Code, first: Time) -> Vec<FromTheWet> {
        let visitors = self.visitors.get(&room).into_iter().flatten();
        let mut beds: Vec<Code> = self.beds_rolled(room).chain(visitors.filter_map(|it| it.zone().bed)).collect();
        beds.sort();
        beds.dedup();
        let mut all = vec![];
        for bed in beds {
            let visits = self.bed_stood(bed);
            for there in visits.iter().filter(|it| it.room != room) {
                let sprays = self.sprays(there.room).iter().rev().take_while(|it| it.noted >= first);
                for spray in sprays.filter(|it| it.is_spray) {
                    let dry = self.dry_since(there.room, spray);
                    if spray.begun > there.until || dry.is_some_and(|dry| dry < there.from) {
                        continue;
                    }
                    let (from, until) =
                        (spray.begun.max(there.from), dry.map_or(there.until, |dry| dry.min(there.until)));
                    let here = visits.iter().filter(|it| it.room == room && it.until >= from);
                    all.extend(here.map(|it| FromTheWet { bed, from, until, here: (it.from.max(from), it.until) }));
                }
            }
        }
        all
    }

    /// Whether linens go along with this part: they are it, or it went under one tag with more of its bed.
    fn has_linens(&self, part: Surface) -> bool {
        let is_of_bed = |it: &&Surface| it.zone().bed.is_some() && it.zone().bed == part.zone().bed;
        let has_more = |tag: &Code| self.of_tag(*tag).iter().filter(is_of_bed).count() > 1;
        part.zone().is_bedding() || self.tags_of(part).iter().any(has_more)
    }

    /// Where it may have stood or its linens may have been, and until when. A leaving is believed as it is of a part of it.
    fn bed_stood(&self, bed: Code) -> Vec<Visit> {
        let Some(group) = self.groups.get(&bed) else { return vec![] };
        let home: Vec<Code> = group.home.map(|(room, _)| room).into_iter().collect();
        let nothing = Track::default();
        let believed = |room: Option<Code>, at: Time, number: Number| self.believed_back_to(room, at, number);
        let mut visits = place::visits(&home, &group.bed, &nothing, &believed).0;
        let moved = group.parts.iter().filter(|(part, record)| !record.track.is_empty() && self.has_linens(*part));
        visits.extend(moved.flat_map(|(part, _)| self.visits(*part).0));
        visits
    }

    /// What comes to light of a spray: which beds stood by.
    pub(super) fn stand_by(&mut self, room: Code, spray: Number) {
        let Some(it) = self.spray(room, spray).filter(|it| it.is_spray) else { return };
        // A bed that came into the book since is none of those that stood here.
        let is_older = |bed: Code| {
            let home = self.groups.get(&bed).and_then(|group| group.home);
            home.is_none_or(|(_, booked)| booked < spray)
        };
        let beds = self.beds_between(room, it.interval());
        let new: Vec<Code> = beds.into_iter().filter(|bed| !it.stood_by.contains(bed) && is_older(*bed)).collect();
        if let Some(it) = self.spray_mut(room, spray).filter(|_| !new.is_empty()) {
            it.stood_by.extend(&new);
        }
        self.changes.stood_by.extend(new.into_iter().map(|bed| StoodBy { bed, room, spray }));
    }

    /// The sprays by a clock that was wrong, each with its room.
    pub(super) fn retimed(&self, worst: &dyn Fn(Number) -> Option<Span>) -> Vec<(Code, Number)> {
        let of_room = |(room, all): (&Code, &Arc<Vec<Spray>>)| {
            all.iter().filter(|it| it.is_of(worst)).map(|it| (*room, it.number)).collect::<Vec<_>>()
        };
        self.sprays.iter().flat_map(of_room).collect()
    }

    /// The same for every spray of the rooms in which this bed ever stood: more is known of its way.
    pub(super) fn stood_where(&mut self, bed: Code) {
        let mut rooms: Vec<Code> = self.bed_stood(bed).into_iter().map(|visit| visit.room).collect();
        rooms.sort();
        rooms.dedup();
        for room in rooms {
            let lacks = self.sprays(room).iter().filter(|it| it.is_spray && !it.stood_by.contains(&bed));
            let lacks: Vec<Number> = lacks.map(|it| it.number).collect();
            lacks.into_iter().for_each(|spray| self.stand_by(room, spray));
        }
    }
}

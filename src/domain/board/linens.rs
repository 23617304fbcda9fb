//! What lay on the beds and in the bags of a room that was sprayed: who lay there, which beds are made anew, which bags are washed.
//!
//! A bed takes its linens along, so that what is asked for them is asked where the bed is; and what is in a bag is older than its
//! filling.

use std::collections::BTreeSet;

use super::Board;
use super::apply::closer;
use super::room::{BedUse, Cause, Closer, Room, Stay};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::surface::{StoodBy, Surface};

/// From the beginning of a spray to its end.
pub(super) type During = (Time, Time);

impl Board {
    /// The beds of the room by its plan, and whichever others may have stood in it then and may be there now.
    pub(super) fn beds_to_make(&self, room: Code, during: During) -> Vec<Code> {
        let mut beds: Vec<Code> =
            self.facility().room(room).into_iter().flat_map(|plan| plan.beds.iter().map(|bed| bed.code)).collect();
        let guests = self.surfaces().beds_between(room, during);
        let is_guest = |bed: &Code| !beds.contains(bed) && self.surfaces().bed_rooms(*bed).contains(&room);
        let guests: Vec<Code> = guests.into_iter().filter(is_guest).collect();
        beds.extend(guests);
        beds
    }

    /// What was noted of who lay in this bed, wherever the book had it.
    fn stays_of(&self, bed: Code) -> Vec<Stay> {
        let mut rooms = self.surfaces().bed_rooms_since(bed, BEFORE_ALL);
        rooms.extend(self.facility().room_of_bed(bed).map(|plan| plan.code));
        rooms.sort();
        rooms.dedup();
        let stays = rooms.into_iter().filter_map(|code| self.room(code)).flat_map(|room| room.stays.iter());
        stays.filter(|stay| stay.bed == bed).copied().collect()
    }

    /// Nobody was noted in the bed between these times: whoever lies in it came later.
    pub fn came_after(&self, bed: Code, (from, until): During) -> bool {
        let stays = self.stays_of(bed);
        let left = |came: &Stay| {
            let since = |it: &&Stay| (it.surely, it.number) > (came.surely, came.number) && it.at <= from;
            stays.iter().filter(|it| !it.occupied).any(|it| since(&it))
        };
        !stays.iter().any(|stay| stay.occupied && stay.at <= until && !left(stay))
    }

    /// Somebody lay in a bed that may have stood in the room then, or may have lain in it: the linens in use were sprayed.
    pub(super) fn was_in_use(&self, room: Code, during: During) -> bool {
        let may_have_lain = |bed: Code| self.bed_use(bed).is_some_and(BedUse::is_doubtful);
        let beds = self.surfaces().beds_between(room, during);
        beds.into_iter().any(|bed| !self.came_after(bed, during) || may_have_lain(bed))
    }

    /// Who comes to light to have lain there when the room was sprayed lay in linens that are treated: into which bags they went is
    /// asked for, and the bed is made anew where it went since.
    pub(super) fn lay_there_when_sprayed(&mut self, entry: &Entry, bed: Code) {
        let since = entry.happened;
        let stays = self.stays_of(bed);
        let is_after = |stay: &&Stay| !stay.occupied && (stay.surely, stay.number) > (since, entry.number);
        let left = stays.iter().filter(is_after).map(|stay| stay.at).min();
        for code in self.surfaces().linens_since(bed, since) {
            let Some(room) = self.room(code) else { continue };
            let sprays = self.surfaces().sprays(code).iter().filter(|it| it.is_spray && it.number < entry.number);
            let lay = sprays.filter(|it| it.interval().1 > since && left.is_none_or(|left| left > it.begun));
            let is_news = |number: &Number| says_nothing_of_linens(room, *number);
            let lay: Vec<(Number, During)> = lay.map(|it| (it.number, it.interval())).collect();
            let stood = |during: During| self.surfaces().beds_between(code, during).contains(&bed);
            let lay: Vec<(Number, During)> =
                lay.into_iter().filter(|(number, during)| is_news(number) && stood(*during)).collect();
            for (spray, during) in lay {
                if self.ask_which_bags(entry, code, spray) {
                    let elsewhere = self.surfaces().bed_rooms(bed).into_iter().filter(|room| *room != code);
                    elsewhere.collect::<Vec<_>>().into_iter().for_each(|room| {
                        self.ask_for_linens(entry, room, vec![Need::Made(bed)], (during.1, spray));
                    });
                }
            }
        }
    }

    /// The beds whose linens these names stand for, as parts of beds or by a tag.
    pub(super) fn linens_named(&self, room: Code, zones: &[Zone]) -> impl Iterator<Item = Code> {
        let surfaces = zones.iter().flat_map(move |zone| self.surfaces_named(room, *zone));
        surfaces.filter(|it| it.zone().is_bedding()).filter_map(|it| it.zone().bed)
    }

    /// The beds of which these names stand for the linens, or for the mattress under them.
    pub(super) fn beds_lain_on(&self, room: Code, zones: &[Zone]) -> Vec<Code> {
        let named = zones.iter().flat_map(|zone| self.surfaces_named(room, *zone));
        let is_lain_on = |it: &Surface| it.zone().is_bedding() || self.plan_of(*it).is_some_and(|plan| plan.mattress);
        let mut beds: Vec<Code> = named.filter(is_lain_on).filter_map(|it| it.zone().bed).collect();
        beds.sort();
        beds.dedup();
        beds
    }

    pub(super) fn names_linens(&self, room: Code, zones: &[Zone]) -> bool {
        self.linens_named(room, zones).next().is_some()
    }

    /// It comes to light that what a spray named by its tag was bedding.
    pub(super) fn linens_under_a_tag(&mut self, entry: &Entry, surface: Surface) {
        if !surface.zone().is_bedding() {
            return;
        }
        let is_it = |it: &Surface| matches!(it, Surface::Thing(tag) if self.surfaces().of_tag(*tag).contains(&surface));
        let mut asked = vec![];
        for code in self.surfaces().rooms_since(surface, BEFORE_ALL) {
            let Some(room) = self.room(code) else { continue };
            let sprays = self.surfaces().sprays(code).iter().filter(|it| it.is_spray);
            let sprays = sprays.filter(|it| it.all_named().any(is_it)).map(|it| it.number);
            let is_news = |spray: &Number| says_nothing_of_linens(room, *spray) && !self.has_bag_since(code, *spray);
            asked.extend(sprays.filter(is_news).map(|spray| (code, spray)));
        }
        for (code, spray) in asked {
            self.ask_which_bags(entry, code, spray);
        }
    }

    /// That a bag was filled is taken back: what was sprayed of beds and went into it is in no bag that anybody knows of.
    pub(super) fn bedding_without_its_bag(&mut self, entry: &Entry, code: Code, target: Number) {
        let Some(room) = self.room(code) else { return };
        if !room.closers_of(target).any(|it| it.needs.iter().any(|need| matches!(need, Need::Bag(_)))) {
            return;
        }
        let sprays = self.surfaces().sprays(code).iter();
        let sprays = sprays.filter(|it| it.is_spray && it.all_named().any(|it| it.zone().is_bedding()));
        let is_news = |spray: &Number| says_nothing_of_linens(room, *spray) && !self.has_bag_since(code, *spray);
        let sprays: Vec<Number> = sprays.map(|it| it.number).filter(is_news).collect();
        for spray in sprays {
            self.ask_which_bags(entry, code, spray);
        }
    }

    /// Into which bags the linens went that were in use at this spray, unless that was asked already. Says whether it asks now.
    fn ask_which_bags(&mut self, entry: &Entry, room: Code, spray: Number) -> bool {
        let asks = Cause::Supplied { spray };
        let is_asked = |c: &Closer| c.cause == asks && c.needs.contains(&Need::LinensNamed);
        let is_known = self.room(room).is_some_and(|room| room.closers().iter().any(is_asked));
        if !is_known {
            let room = self.room_mut(room);
            // Whoever signs there must have seen it.
            room.newest = room.newest.max(entry.number);
            room.close(closer(entry, asks, vec![Need::LinensNamed]));
        }
        !is_known
    }

    /// A clock was wrong: by the times that are left somebody may have lain in linens that were sprayed, or a bag may have stood there
    /// that was only looked through. Looked at are the sprays since this time, or since somebody may have come by these entries.
    pub(super) fn linens_by_the_times_left(
        &mut self,
        entry: &Entry,
        rooms: &[Code],
        (since, numbers): (Time, &BTreeSet<Number>),
    ) {
        // A bed may have gone on since, with whoever lay in it.
        let stays = rooms.iter().filter_map(|code| self.room(*code)).flat_map(|room| room.stays.iter());
        let stays: Vec<Stay> = stays.filter(|stay| numbers.contains(&stay.number)).copied().collect();
        let since = stays.iter().map(|stay| stay.at).fold(since, Time::min);
        let went = stays.iter().flat_map(|stay| self.surfaces().linens_since(stay.bed, since));
        let mut rooms: Vec<Code> = rooms.iter().copied().chain(went).collect();
        rooms.sort();
        rooms.dedup();
        for code in rooms {
            let sprays = self.surfaces().sprays(code).iter().filter(|it| it.is_spray && it.interval().1 >= since);
            let sprays: Vec<(Number, During)> = sprays.map(|it| (it.number, it.interval())).collect();
            for (spray, during) in sprays {
                let Some(room) = self.room(code) else { continue };
                let Some(noted) = room.knows_spray(spray).filter(|it| it.voided.is_none()).cloned() else { continue };
                let asks = Cause::Supplied { spray };
                let asked: Vec<Need> = room
                    .all_closers()
                    .filter(|c| c.number == spray || c.cause == asks)
                    .flat_map(|c| c.needs.iter().copied())
                    .collect();
                let mut needs = self.bags_to_wash(code, during.0);
                needs.retain(|need| !asked.contains(need));
                // That there were none was said by whoever knew of nobody who lay there.
                let is_asked = room.all_closers().any(|c| c.cause == asks && c.needs.contains(&Need::LinensNamed));
                let is_told = is_asked || noted.linens_in_use || self.has_bag_since(code, spray);
                if !is_told && self.was_in_use(code, during) {
                    needs.push(Need::LinensNamed);
                }
                if !needs.is_empty() {
                    let mut more = closer(entry, asks, needs);
                    more.happened = during.0.min(entry.noted);
                    let room = self.room_mut(code);
                    room.newest = room.newest.max(entry.number);
                    room.close(more);
                }
            }
        }
    }

    /// By this entry somebody left these beds, at these times.
    pub(super) fn left_by<'a>(&self, rooms: impl Iterator<Item = &'a Code>, entry: Number) -> Vec<(Code, Time)> {
        let stays = rooms.filter_map(|code| self.room(*code)).flat_map(|room| room.stays.iter());
        let left = stays.filter(|stay| stay.number == entry && !stay.occupied);
        left.map(|stay| (stay.bed, stay.surely.min(stay.as_at))).collect()
    }

    /// That somebody left is taken back: they lay there on, and in whatever was sprayed since.
    pub(super) fn lay_on(&mut self, entry: &Entry, left: &[(Code, Time)]) {
        for (bed, since) in left {
            let rooms = self.surfaces().linens_since(*bed, *since);
            self.linens_by_the_times_left(entry, &rooms, (*since, &BTreeSet::new()));
        }
    }

    /// What stood by at a spray is made anew where it may be now; what was bagged where it stood since, and not washed, is washed.
    pub(super) fn treats_what_stood_by(&mut self, entry: &Entry, it: StoodBy) {
        let Some((begun, ended)) = self.surfaces().spray(it.room, it.spray).map(|spray| spray.interval()) else {
            return;
        };
        // It comes to light that the bed stood there, and whoever lay in it lay there.
        let is_news =
            entry.number > it.spray && self.room(it.room).is_some_and(|room| says_nothing_of_linens(room, it.spray));
        if is_news && !self.came_after(it.bed, (begun, ended)) {
            self.ask_which_bags(entry, it.room, it.spray);
        }
        let now = self.surfaces().bed_rooms(it.bed);
        if now.is_empty() {
            self.ask_to_make(entry, it.bed, (ended, it.spray));
        }
        let mut rooms = self.surfaces().bed_rooms_since(it.bed, begun);
        rooms.extend(&now);
        rooms.sort();
        rooms.dedup();
        for code in rooms {
            let mut needs = vec![];
            needs.extend(now.contains(&code).then_some(Need::Made(it.bed)));
            if code != it.room {
                needs.extend(self.bags_to_wash(code, begun));
            }
            self.ask_for_linens(entry, code, needs, (ended, it.spray));
        }
    }

    /// Bags of the room that were ended since this time, and not as treated ones are: what is in them may have lain there then.
    pub(super) fn bags_to_wash(&self, room: Code, since: Time) -> Vec<Need> {
        self.room(room)
            .map(|room| room.bags_ended_untreated(since))
            .unwrap_or_default()
            .into_iter()
            .map(Need::Bag)
            .collect()
    }

    /// Closes a room for the linens of what is in it, unless this entry asks for them there already.
    pub(super) fn ask_for_linens(
        &mut self,
        entry: &Entry,
        code: Code,
        mut needs: Vec<Need>,
        (ended, by): (Time, Number),
    ) {
        if self.facility().room(code).is_none() {
            return;
        }
        let own = self.room(code).into_iter().flat_map(|room| room.unsettled()).filter(|c| c.number == entry.number);
        let asked: Vec<Need> = own.flat_map(|closer| closer.needs.iter().copied()).collect();
        needs.retain(|need| !asked.contains(need));
        if needs.is_empty() {
            return;
        }
        let mut closing = closer(entry, Cause::Brought { wet: false }, needs);
        closing.happened = entry.happened.min(entry.noted);
        (closing.finished, closing.finished_by) = (Some(ended), Some(by));
        let room = self.room_mut(code);
        room.newest = room.newest.max(entry.number);
        room.close(closing);
    }

    /// The book has the bed in another room: whoever lies in it, or may, lies in it there.
    pub(super) fn patient_goes_along(&mut self, bed: Code, from: Code, to: Code) {
        let used = self.room(from).and_then(|room| room.beds.get(&bed)).cloned();
        let is_used = |it: &BedUse| it.is_occupied() || it.is_doubtful();
        if let Some(used) = used.filter(is_used) {
            self.room_mut(to).beds.insert(bed, BedUse { promised: None, ..used });
        }
    }
}

/// Whoever noted this spray knew of nobody whose linens were in use.
fn says_nothing_of_linens(room: &Room, spray: Number) -> bool {
    room.knows_spray(spray).is_some_and(|it| !it.linens_in_use && it.voided.is_none())
}

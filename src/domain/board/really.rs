//! What was noted in the wrong room, and was really in another: whatever closed the one closes the other, until that is settled
//! there. What was done or signed in the wrong room opens nothing in the right one: it is noted there anew.

use super::Board;
use super::apply::{closer, later};
use super::closing::moved_finding;
use super::room::{Cause, Closer, Room};
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::need::Need;
use crate::domain::surface::{Move, Step};

impl Board {
    /// Whether a void could say that this entry was really in another room: it closed one, moved something, or is unknown.
    pub fn closed_or_moved(&self, target: Number) -> bool {
        let stood = self.place_of(target).map(|place| self.rooms_of(&place)).unwrap_or_default();
        let closed = |code: &Code| self.room(*code).is_some_and(|room| room.knows_closer(target).is_some());
        stood.iter().any(closed) || !self.surfaces().moved_by(target, &stood).is_empty() || self.is_patients_way(target)
    }

    pub(super) fn was_really_in(&mut self, entry: &Entry, really: Code, target: Number) {
        let stood = self.place_of(target).map(|place| self.rooms_of(&place)).unwrap_or_default();
        let all = stood.iter().filter_map(|code| self.room(*code));
        let noted: Vec<Closer> = all.flat_map(|room| room.closers_of(target)).cloned().collect();
        self.spray_was_really_in(entry, really, target);
        self.finding_was_really_in(entry, really, target);
        self.patient_really_in(entry, really, target);
        if stood.contains(&really) {
            return;
        }
        let Some(plan) = self.plan(really) else { return };
        let mut told: Vec<Cause> = vec![];
        for closed in noted {
            if !told.contains(&closed.cause) {
                told.push(closed.cause);
                self.closed_really(entry, &plan, &closed);
            }
        }
        self.moved_really(entry, really, target, &stood);
    }

    fn closed_really(&mut self, entry: &Entry, plan: &RoomPlan, noted: &Closer) {
        // It was then, and comes to light now.
        let then = Entry { happened: noted.happened.min(entry.noted), ..entry.clone() };
        let kept = |needs: &[Need]| -> Vec<Need> {
            needs.iter().filter(|need| matches!(need, Need::Bag(_) | Need::LinensNamed)).copied().collect()
        };
        let made = noted.needs.iter().any(|need| matches!(need, Need::Made(_)));
        let mut closing = match noted.cause {
            // These are noted there as what they are.
            Cause::Spray | Cause::Damage { .. } | Cause::Suspicion { .. } | Cause::Confirmed => return,
            // Where it came from, or went to, is asked of what moved.
            Cause::Brought { .. } | Cause::Left { .. } => return,
            Cause::Damp => {
                let zones = self.zones_really(plan, noted);
                if !zones.is_empty() {
                    self.wet_by_touch(&then, plan.code, &zones, Some(then.happened));
                }
                self.with_dry(closer(&then, Cause::Damp, vec![]), plan, &zones)
            }
            Cause::Wiped => {
                let zones = self.zones_really(plan, noted);
                self.wiped(&then, plan, &zones)
            }
            // More of a spray is a spray.
            Cause::Supplied { spray } => {
                let known = self.place_of(spray).map(|place| self.rooms_of(&place)).unwrap_or_default();
                let known = known.iter().find_map(|code| self.room(*code)?.knows_spray(spray).cloned());
                let begun = known.as_ref().map_or(then.happened, |it| it.begun.unwrap_or(it.happened));
                self.moved_spray(&then, plan, (begun, known.as_ref()))
            }
            Cause::Prepared => closer(&then, Cause::Prepared, vec![]),
            Cause::PatientsOut => closer(&then, Cause::PatientsOut, vec![]),
            Cause::Received => closer(&then, Cause::Received, vec![Need::Inspected]),
            Cause::OutOfService => {
                let mut closed = closer(&then, Cause::OutOfService, vec![Need::InService(entry.number)]);
                closed.words.clone_from(&noted.words);
                closed
            }
            Cause::Walk => {
                let mut closed = closer(&then, Cause::Walk, vec![Need::Walked]);
                closed.gap = noted.gap;
                closed
            }
        };
        let beds = plan.beds.iter().map(|bed| Need::Made(bed.code)).filter(|_| made);
        for need in kept(&noted.needs).into_iter().chain(beds) {
            if !closing.needs.contains(&need) {
                closing.needs.push(need);
            }
        }
        closing.by_void = true;
        let room = self.room_mut(plan.code);
        room.newest = room.newest.max(entry.number);
        room.close(closing);
    }

    /// What was wet there, by the names that it may have here: the same part of the room, of whichever of its beds; all of it
    /// where it has no such part.
    fn zones_really(&self, plan: &RoomPlan, noted: &Closer) -> Vec<Zone> {
        let wet = noted.needs.iter().filter_map(|need| if let Need::Dry(zone) = need { Some(*zone) } else { None });
        let mut zones: Vec<Zone> = vec![];
        for zone in wet {
            let stands = |bed: Code| self.surfaces().bed_rooms(bed).contains(&plan.code);
            let of_beds = plan.beds.iter().map(|bed| Zone { bed: Some(bed.code), part: zone.part });
            let mut here: Vec<Zone> = match zone.bed {
                Some(bed) if stands(bed) => vec![zone],
                Some(_) => of_beds.filter(|it| plan.zone(*it).is_some()).collect(),
                None if plan.zone(zone).is_some() || self.is_tag_in(plan.code, zone) => vec![zone],
                None => vec![],
            };
            if here.is_empty() {
                here = plan.all_zones().collect();
            }
            if here.is_empty() {
                here.push(Zone { bed: None, part: plan.code });
            }
            zones.extend(here);
        }
        zones.sort();
        zones.dedup();
        zones
    }

    /// What the entry moved may be in the other room, until somebody sees it.
    fn moved_really(&mut self, entry: &Entry, really: Code, target: Number, stood: &[Code]) {
        let at = entry.happened.min(entry.noted);
        for (surface, moved) in self.surfaces().moved_by(target, stood) {
            let step =
                Move { at: moved.min(at), number: entry.number, step: Step::Named { at: really }, in_doubt: false };
            match surface {
                Ok(surface) => self.surfaces_mut().moved(surface, step),
                Err(bed) => self.surfaces_mut().bed_moved(bed, step),
            }
        }
    }

    /// The spray happened, only elsewhere: there everything is wet, and nothing was stated. A line that nobody can read may
    /// have been one.
    fn spray_was_really_in(&mut self, entry: &Entry, really: Code, target: Number) {
        let may_be_spray = |c: &Closer| matches!(c.cause, Cause::Spray | Cause::Damage { .. });
        let stood = self.place_of(target).map(|place| self.rooms_of(&place)).unwrap_or_default();
        let is_other = |room: &Room| match room.knows_closer(target) {
            Some(closer) => !may_be_spray(closer),
            None => room.knows_fact(target).is_some(),
        };
        if stood.iter().filter_map(|code| self.room(*code)).any(is_other) || self.is_patients_way(target) {
            return;
        }
        let Some(plan) = self.plan(really) else { return };
        let noted = stood.iter().find_map(|code| self.room(*code)?.knows_closer(target).cloned());
        let begun = noted.as_ref().and_then(|spray| spray.begun).or(noted.as_ref().map(|it| it.happened));
        // All that was ever said of it, also after the room was opened.
        let said = stood.iter().find_map(|code| self.surfaces().spray(*code, target));
        let said = said.map(|spray| (spray.ended, spray.label));
        let noted = noted.map(|closer| match said {
            Some((ended, label)) => {
                Closer { finished: ended.or(closer.finished), label: label.or(closer.label), ..closer }
            }
            None => closer,
        });
        let spray = self.moved_spray(entry, &plan, (begun.unwrap_or(entry.happened), noted.as_ref()));
        let room = self.room_mut(really);
        room.newest = room.newest.max(entry.number);
        room.last_spray = later(room.last_spray, entry.happened);
        room.close(spray);
    }

    /// What was seen was seen, only elsewhere: there it closes as it did here, until that room is inspected or treated.
    fn finding_was_really_in(&mut self, entry: &Entry, really: Code, target: Number) {
        let is_finding = |c: &Closer| matches!(c.cause, Cause::Suspicion { .. } | Cause::Confirmed);
        let stood = self.place_of(target).map(|place| self.rooms_of(&place)).unwrap_or_default();
        let found = |code: &Code| self.room(*code)?.knows_closer(target).filter(|c| is_finding(c)).cloned();
        let Some(found) = stood.iter().filter(|code| **code != really).find_map(found) else { return };
        let is_noted = |room: &Room| {
            room.unsettled()
                .any(|c| is_finding(c) && c.number > target && c.number < entry.number && c.voided.is_none())
        };
        if self.room(really).is_some_and(is_noted) {
            return;
        }
        let Some(plan) = self.plan(really) else { return };
        moved_finding(self.room_mut(really), entry, &plan, &found);
    }
}

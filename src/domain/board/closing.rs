//! Entries that close: findings, preparation, spray, and whatever else takes a bed out of use.

use std::sync::Arc;

use chrono::TimeDelta;

use super::apply::{No, Reading, closer, later};
use super::gap::Gap;
use super::people_rules::permitted;
use super::room::{
    BedUse, Cause, Closer, Emptied, Fact, FullInspection, Promise, Room, Signature, SignatureKind, Stay, Supply,
};
use super::state::State;
use super::{Board, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Depth, Entry, Known, Number, Purpose, Sign, Specimen, Time};
use crate::domain::facility::{RoomPlan, Zone, ZoneTreatment};
use crate::domain::need::Need;
use crate::domain::rule::Rule;
use crate::domain::surface::Surface;

impl Board {
    pub(super) fn apply_closer(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        match &entry.body {
            Body::Finding { seen, wiped_before, .. } => {
                let signs: Vec<Sign> = seen.iter().map(|sighting| sighting.sign).collect();
                self.find(reading, &signs, *wiped_before);
            }
            Body::Identified { specimen: Specimen::BedBug, .. } => {
                for plan in self.plans(entry) {
                    confirm(self.room_mut(plan.code), entry, &plan);
                    self.case_follows(entry, plan.code);
                }
            }
            Body::Identified { specimen: Specimen::SomethingElse, finding, .. } => {
                self.signature_counts(reading)?;
                let Some(finding) = *finding else {
                    return Err(No::new(Rule::Target, "it does not say which finding's specimen this was"));
                };
                for plan in self.plans(entry) {
                    not_a_bed_bug(self.room_mut(plan.code), entry, finding);
                }
            }
            Body::PatientOut { beds, receiving, receiving_bed, .. } => {
                let empties = self.fact_counts(reading, false).is_ok();
                let left = entry.place.first_room();
                for plan in self.plans(entry).iter().filter(|plan| *receiving != Some(plan.code) || left == *receiving)
                {
                    let room = self.room_mut(plan.code);
                    room.close(closer(entry, Cause::PatientsOut, vec![]));
                    if empties {
                        beds.iter().filter(|bed| plan.has_bed(**bed)).for_each(|bed| empty(room, entry, *bed));
                    }
                }
                // The place may not name the room that receives; it is closed all the same.
                if let Some(code) =
                    receiving.filter(|code| left != Some(*code) && self.facility().room(*code).is_some())
                {
                    let room = self.room_mut(code);
                    room.newest = room.newest.max(entry.number);
                    room.close(closer(entry, Cause::Received, vec![Need::Inspected]));
                }
                if let Some(code) = *receiving {
                    self.receive_patient(entry, code, *receiving_bed);
                }
            }
            Body::PatientMoved { .. } => return self.patient_moved(reading),
            Body::Prepared { bags, .. } => {
                for plan in self.plans(entry) {
                    let made = plan.beds.iter().map(|bed| Need::Made(bed.code));
                    let needs = bags.iter().map(|tag| Need::Bag(*tag)).chain(made).collect();
                    self.room_mut(plan.code).close(closer(entry, Cause::Prepared, needs));
                }
            }
            Body::Sprayed { .. } => {
                let pays = self.counts(reading).is_ok();
                let doer = self.person(entry.done_by);
                let may = doer.is_some_and(|p| permitted(&entry.body, p, entry.happened, self.policy()).is_ok());
                for plan in self.plans(entry) {
                    if !may {
                        self.note_exception(entry.number, Some(plan.code), ExceptionKind::SprayedByOther);
                    }
                    self.spray(entry, &plan, pays);
                }
            }
            Body::OutOfService { reason } => {
                for plan in self.plans(entry) {
                    let mut closed = closer(entry, Cause::OutOfService, vec![Need::InService(entry.number)]);
                    closed.words.clone_from(reason);
                    self.room_mut(plan.code).close(closed);
                }
            }
            Body::Occupied { beds } => beds.iter().for_each(|bed| self.occupy(entry, *bed)),
            Body::EnteredWet { wiped, .. } => {
                for plan in self.plans(entry) {
                    self.note_exception(entry.number, Some(plan.code), ExceptionKind::EnteredWet);
                    if !wiped.is_empty() {
                        let wiped = self.wiped(entry, &plan, wiped);
                        self.room_mut(plan.code).close(wiped);
                    }
                }
            }
            Body::PatientStays { review, .. } => {
                for plan in self.plans(entry) {
                    self.note_exception(entry.number, Some(plan.code), ExceptionKind::PatientStays);
                    self.room_mut(plan.code).patient_stays = Some((entry.number, *review));
                }
            }
            Body::ThingLeft { .. } => return self.thing_left(reading),
            Body::ThingArrived { .. } => self.thing_arrived(entry),
            Body::Downtime { from, until, .. } => {
                // Whoever notes it, it closes. Only the lead's lets anything be noted late.
                let (after, label) = ((*from).min(*until), self.unknown_label());
                let gap = Gap { after, until: (*until).min(entry.noted), lost: None, on_sheets: true, label };
                let counts = self.counts(reading);
                let sheets = counts.is_ok().then_some((*from, *until)).filter(|_| *until <= entry.happened);
                for code in self.rooms_of(&entry.place) {
                    let mut closed = closer(entry, Cause::Walk, vec![Need::Walked]);
                    closed.sheets = sheets;
                    closed.gap = Some(gap);
                    self.room_mut(code).close(closed);
                    self.gap_follows(entry, code, gap.after);
                }
                self.note_exception(entry.number, None, ExceptionKind::Downtime);
                counts?;
            }
            Body::WentBack { .. } => self.may_lack_entries(reading, ExceptionKind::WentBack),
            Body::EndLost { .. } => self.may_lack_entries(reading, ExceptionKind::EndLost),
            Body::Restored { .. } => self.may_lack_entries(reading, ExceptionKind::Restored),
            // Nobody wrote what it closes.
            _ => self.close_everywhere(entry.number, entry.number, "nobody knows what it closes"),
        }
        Ok(())
    }

    fn may_lack_entries(&mut self, reading: &Reading<'_>, kind: ExceptionKind) {
        self.note_exception(reading.entry.number, None, kind);
        self.close_for_gap(reading.entry, reading.latest_before);
    }

    /// The plans of the rooms that the entry names, as they are now.
    pub(super) fn plans(&self, entry: &Entry) -> Vec<Arc<RoomPlan>> {
        self.rooms_of(&entry.place).into_iter().filter_map(|code| self.plan(code)).collect()
    }

    /// What was seen: confirms, suspects, or (in monitoring, on a place never wiped) only marks.
    fn find(&mut self, reading: &Reading<'_>, signs: &[Sign], wiped_before: Known) {
        let entry = reading.entry;
        let trained = self.person(entry.done_by).is_some_and(|p| p.trained_to_inspect && !p.left);
        let confirms = trained && signs.iter().any(|sign| sign.confirms());
        let old_marks = [Sign::DeadInsect, Sign::DarkSpots, Sign::BloodSpots];
        let may_be_old = !signs.is_empty() && signs.iter().all(|sign| old_marks.contains(sign));
        let physical = signs.is_empty() || signs.iter().any(|sign| sign.is_physical());
        for plan in self.plans(entry) {
            let room = self.room_mut(plan.code);
            if confirms {
                confirm(room, entry, &plan);
                self.case_follows(entry, plan.code);
                continue;
            }
            if may_be_old && wiped_before == Known::No && room.state() == State::Monitoring {
                room.marks.push((entry.number, entry.happened));
                continue;
            }
            if physical {
                room.last_evidence = later(room.last_evidence, by_now(entry));
            }
            let mut needs = vec![Need::Inspected];
            needs.extend(plan.treatable_zones().map(Need::Covered));
            let mut suspicion = closer(entry, Cause::Suspicion { physical }, needs);
            // Bites, and a live one or eggs that nobody trained has seen yet.
            suspicion.is_urgent = !physical || signs.iter().any(|sign| sign.confirms());
            room.close(suspicion);
            if physical {
                self.case_follows(entry, plan.code);
            }
        }
    }

    /// A room's whole inspection. Signs make it a finding; a clean, complete, full one by a trained person is a signature.
    pub(super) fn apply_inspection(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::Inspected { depth, method, began, looks, .. } = &entry.body else { return Ok(()) };
        let signs: Vec<Sign> = looks.iter().flat_map(|look| look.seen.iter().copied()).collect();
        if !signs.is_empty() {
            self.find(reading, &signs, Known::Unknown);
        }
        let counts = match depth {
            Depth::Full if signs.is_empty() => self.signature_counts(reading),
            _ => self.fact_counts(reading, false),
        };
        self.note_work_in_the_wet(entry);
        for plan in self.plans(entry) {
            // A room whose list has parts of beds alone, and no bed, has no zone: all that was full was all of it. Where the list is
            // missing or has nothing on it, nobody knows what there was to look at.
            let is_listed = self.facility().zone_sets.get(&plan.kind).is_some_and(|list| !list.is_empty());
            let room = self.room_mut(plan.code);
            // What stands elsewhere is looked at there.
            let is_left_out = |zone: &Zone| looks.iter().all(|look| look.zone != *zone);
            let left_out: Vec<Zone> = plan.all_zones().filter(is_left_out).collect();
            let complete = is_listed && left_out.iter().all(|zone| room.dryness().is_away(*zone));
            if counts.is_ok() {
                room.last_look = later(room.last_look, entry.happened);
            }
            if *depth != Depth::Full || !complete || counts.is_err() {
                continue;
            }
            let clean = signs.is_empty() && *began <= entry.happened;
            let inspection = FullInspection {
                number: entry.number,
                began: *began,
                as_began: *began,
                method: *method,
                clean,
                voided: false,
                left_out,
            };
            room.inspections.push(inspection);
            if clean {
                settle_by_inspection(room, entry, *began);
            }
        }
        // What was seen closes, however late it is noted.
        if signs.is_empty() { counts } else { Ok(()) }
    }

    /// The room is wet from this moment, however little was covered.
    fn spray(&mut self, entry: &Entry, plan: &RoomPlan, pays: bool) {
        let Body::Sprayed { purpose, zones, scope, finished, bags, patient_inside, product, .. } = &entry.body else {
            return;
        };
        let named = zones.as_ref().filter(|zones| !zones.is_empty());
        let label = self.label_noted(entry);
        let wet =
            self.wet_by_spray(entry, plan, (entry.happened, entry.number), *finished, label, named.map(Vec::as_slice));
        let mut spray = self.with_dry(closer(entry, Cause::Spray, vec![]), plan, &wet);
        spray.zones_may_follow = named.is_none() && pays;
        spray.begun = Some(entry.happened);
        spray.finished = *finished;
        spray.label = label;
        spray.product = Some(*product);
        if finished.is_none() {
            spray.needs.push(Need::FinishNamed);
        }
        if spray.label.is_none() {
            spray.needs.push(Need::LabelNamed);
        }
        if bags.is_none() || *patient_inside != Known::No {
            spray.needs.push(Need::LinensNamed);
        }
        spray.needs.extend(bags.iter().flatten().map(|tag| Need::Bag(*tag)));
        let until = finished.unwrap_or(entry.noted);
        let during = (entry.happened, until);
        add_made(&mut spray, plan, self.beds_to_make(plan.code, during).into_iter());
        // What lay there then and was only looked through is washed.
        let lay_there = self.bags_to_wash(plan.code, entry.happened);
        spray.needs.extend(lay_there.into_iter().filter(|bag| !spray.needs.contains(bag)).collect::<Vec<_>>());
        // Whoever may not apply has treated nothing: the zones stay owed.
        let paid = named.filter(|_| pays).into_iter().flatten().copied();
        let paid: Vec<Zone> = paid.filter(|zone| self.may_be_sprayed(plan, *zone)).collect();
        let was_in_use = self.was_in_use(plan.code, during);
        let still = self.surfaces().beds_between(plan.code, during);
        // Whoever lies in it does not lie where its linens went alone.
        let is_occupied = |bed: &Code| {
            self.surfaces().bed_rooms_since(*bed, during.0).contains(&plan.code)
                && self.bed_use(*bed).is_some_and(BedUse::is_occupied)
        };
        let still: Vec<Code> = still.into_iter().filter(is_occupied).collect();
        let bedding = self.names_linens(plan.code, named.map_or(&[], Vec::as_slice));
        let room = self.room_mut(plan.code);
        let open_finding = room.unsettled().find(|c| c.cause == Cause::Confirmed && c.voided.is_none());
        spray.works_on = open_finding.filter(|_| *purpose == Purpose::Infested).map(|c| (c.number, c.happened));
        let owed: Vec<Zone> = match purpose {
            Purpose::Preventive => plan.zones.iter().filter(|(_, z)| z.hiding_place).map(|(zone, _)| *zone).collect(),
            Purpose::Infested => plan.treatable_zones().collect(),
            Purpose::ReApplication => scope.clone(),
        };
        let inspect_only = |zone: &Zone| plan.zone(*zone).is_some_and(|z| z.treatment == ZoneTreatment::InspectOnly);
        spray.paid = owed.iter().copied().filter(|zone| paid.contains(zone) && !inspect_only(zone)).collect();
        let still_owed = owed.into_iter().filter(|zone| !paid.contains(zone) && !inspect_only(zone));
        spray.needs.extend(still_owed.map(Need::Covered));
        room.last_spray =
            later(room.last_spray, finished.unwrap_or(entry.happened).max(entry.happened).min(entry.noted));
        // Linens in use are treated, whatever was said of the patient, and so is bedding that was sprayed by name or tag.
        let in_use = was_in_use || bedding;
        spray.linens_in_use = in_use || *patient_inside == Known::Yes;
        spray.linens_stated = bags.is_some();
        if in_use && !spray.needs.contains(&Need::LinensNamed) {
            spray.needs.push(Need::LinensNamed);
        }
        room.close(spray);
        if !paid.is_empty() {
            let mut fact = fact(entry, paid.into_iter().map(Need::Covered).collect());
            fact.is_spray = true;
            room.add_fact(fact);
        }
        let forbidden = |zone: &&Zone| self.must_not_be_sprayed(plan, **zone, *product);
        let wrong: Vec<Zone> = named.into_iter().flatten().filter(forbidden).copied().collect();
        if !wrong.is_empty() {
            self.note_exception(entry.number, Some(plan.code), ExceptionKind::SprayedWrongly(wrong));
        }
        if *patient_inside == Known::Yes {
            self.note_exception(entry.number, Some(plan.code), ExceptionKind::SprayedOverPatient);
        }
        for bed in still {
            self.note_exception(entry.number, Some(plan.code), ExceptionKind::OccupiedWet(bed));
        }
    }

    /// By the room's plan, or by the product's label as it stands on the hospital's list.
    pub fn must_not_be_sprayed(&self, plan: &RoomPlan, zone: Zone, product: Code) -> bool {
        let off_label =
            |p: &crate::domain::people::Product| !p.allowed_on.is_empty() && !p.allowed_on.contains(&zone.part);
        plan.zone(zone).is_some_and(|z| z.treatment != ZoneTreatment::Spray)
            || self.products().get(&product).is_some_and(off_label)
    }

    /// The patient lies in this bed of the room; not stated in which, no bed of it is known to be empty any more.
    pub(super) fn receive_patient(&mut self, entry: &Entry, code: Code, bed: Option<Code>) {
        let Some(plan) = self.plan(code) else { return };
        match bed.filter(|bed| plan.has_bed(*bed)) {
            Some(bed) => self.occupy(entry, bed),
            None => {
                for bed in self.beds_standing(&plan) {
                    // Who is known to lie there still does. A guest's stays are kept with its own room.
                    let home = self.facility().room_of_bed(bed).map_or(code, |plan| plan.code);
                    let room = self.room_mut(home);
                    let used = room.beds.entry(bed).or_default();
                    if !used.is_occupied() {
                        used.doubted = used.doubted.max(Some((entry.number, entry.happened)));
                    }
                    used.emptied.clear();
                    room.stays.push(Stay::of(entry, bed, true, true));
                }
            }
        }
        self.remember_received(entry);
    }

    /// The beds of the room by its plan, and those of other rooms that may stand in it.
    fn beds_standing(&self, plan: &RoomPlan) -> Vec<Code> {
        let mut beds: Vec<Code> = plan.beds.iter().map(|bed| bed.code).collect();
        let is_here = |bed: &Code| self.surfaces().bed_rooms(*bed).contains(&plan.code);
        beds.extend(self.surfaces().beds_rolled(plan.code).filter(is_here));
        beds.sort();
        beds.dedup();
        beds
    }

    /// Somebody may have lain in any bed of the room since then.
    pub(super) fn lay_perhaps(&mut self, entry: &Entry, code: Code, at: Time) {
        let Some(plan) = self.plan(code) else { return };
        let then = Entry { happened: at, ..entry.clone() };
        for bed in self.beds_standing(&plan) {
            let home = self.facility().room_of_bed(bed).map_or(code, |plan| plan.code);
            self.room_mut(home).stays.push(Stay::of(&then, bed, true, true));
        }
    }

    /// Read by no rule about opening; a bed is promised once, until the patient came or the promise is taken back.
    pub(super) fn promise(&mut self, reading: &Reading<'_>, beds: &[Code], wanted: Option<Time>) -> Result<(), No> {
        self.counts(reading)?;
        let entry = reading.entry;
        let on_place = self.rooms_of(&entry.place);
        for bed in beds {
            let code = self.facility().room_of_bed(*bed).map(|room| room.code).filter(|code| on_place.contains(code));
            let Some(code) = code else {
                return Err(No::new(Rule::Place, format!("there is no bed {bed} here")));
            };
            let known = self.room(code).and_then(|room| room.beds.get(bed)).and_then(|used| used.promised);
            match (known, wanted) {
                (Some(promise), Some(_)) => {
                    let text = format!("bed {bed} is promised already, by {}: end that promise first", promise.by);
                    return Err(No::new(Rule::Promise, text));
                }
                (None, None) => return Err(No::new(Rule::Promise, format!("bed {bed} is not promised"))),
                _ => {}
            }
            let promised = wanted.map(|wanted| Promise { number: entry.number, wanted, by: entry.noted_by });
            self.room_mut(code).beds.entry(*bed).or_default().promised = promised;
        }
        Ok(())
    }

    pub(super) fn occupy(&mut self, entry: &Entry, bed: Code) {
        let Some(code) = self.facility().room_of_bed(bed).map(|room| room.code) else {
            self.report(entry.number, No::new(Rule::Place, format!("there is no bed {bed}")));
            return;
        };
        let room = self.room_mut(code);
        let used = room.beds.entry(bed).or_default();
        let was_there = used.is_occupied();
        used.occupy(entry);
        room.stays.push(Stay::of(entry, bed, true, false));
        // Somebody new in a closed bed. Who was there before, or came to be received, is no exception.
        let waits_only = |c: &Closer| matches!(c.cause, Cause::Walk | Cause::Received | Cause::Damage { .. });
        if !was_there && room.unsettled().any(|c| !waits_only(c)) {
            self.note_exception(entry.number, Some(code), ExceptionKind::OccupiedClosed(bed));
        }
        self.lay_there_when_sprayed(entry, bed);
    }
}

/// A time that was typed too far ahead never puts off the day from which quiet days are counted.
fn by_now(entry: &Entry) -> Time {
    entry.happened.min(entry.noted)
}

impl Board {
    /// What closes a room that was wiped while it was wet.
    pub(super) fn wiped(&mut self, entry: &Entry, plan: &RoomPlan, zones: &[Zone]) -> Closer {
        let wet = self.wipe(entry, plan, zones);
        let mut wiped = self.with_dry(closer(entry, Cause::Wiped, vec![]), plan, &wet);
        wiped.needs.extend(dry_zones(&wiped).map(Need::Covered).collect::<Vec<_>>());
        wiped
    }

    /// Adds the making of the beds whose mattress has to be found dry first, or whose linens are wet, under whatever name.
    pub(super) fn add_made_on(&self, closer: &mut Closer, plan: &RoomPlan) {
        let wet: Vec<Zone> = dry_zones(closer).collect();
        let linens: Vec<Code> = self.linens_named(plan.code, &wet).collect();
        for bed in plan.beds.iter().map(|bed| bed.code) {
            let is_mattress = |it: Surface| plan.mattresses(bed).any(|zone| zone == it.zone());
            let is_on_it = |zone: &Zone| self.surfaces_named(plan.code, *zone).into_iter().any(is_mattress);
            let first: Vec<Zone> = wet.iter().copied().filter(is_on_it).collect();
            if first.is_empty() && !linens.contains(&bed) {
                continue;
            }
            add_made(closer, plan, [bed].into_iter());
            let order: Vec<_> = first.into_iter().map(|zone| (Need::Made(bed), Need::Dry(zone))).collect();
            closer.order.extend(order.into_iter().filter(|it| !closer.order.contains(it)).collect::<Vec<_>>());
        }
    }

    /// Wiped while it was wet: what is named, and where all of the room is, whatever stood there.
    fn wipe(&mut self, entry: &Entry, plan: &RoomPlan, wiped: &[Zone]) -> Vec<Zone> {
        let is_all = plan.all_zones().all(|zone| wiped.contains(&zone));
        if is_all {
            let at = entry.happened.min(entry.noted);
            return self.wet_by_spray(entry, plan, (at, entry.number), Some(at), Some(TimeDelta::zero()), None);
        }
        self.wet_by_touch(entry, plan.code, wiped, None);
        wiped.to_vec()
    }

    /// Spray on a zone that must not be sprayed wets it, and pays nothing.
    fn may_be_sprayed(&self, plan: &RoomPlan, zone: Zone) -> bool {
        self.zone_plan(plan.code, zone).is_some_and(|z| z.treatment == ZoneTreatment::Spray)
    }

    /// A spray that was noted in another room, or of which nobody knows more than that it is wet: whatever was here is wet, and
    /// what that note did not say is to be supplied.
    pub(super) fn moved_spray(
        &mut self,
        entry: &Entry,
        plan: &RoomPlan,
        (begun, noted): (Time, Option<&Closer>),
    ) -> Closer {
        let (ended, label) = (noted.and_then(|spray| spray.finished), noted.and_then(|spray| spray.label));
        let first_told = noted.map_or(entry.number, |spray| spray.number);
        let wet = self.wet_by_spray(entry, plan, (begun, first_told), ended, label, None);
        let mut spray = self.with_dry(closer(entry, Cause::Spray, vec![]), plan, &wet);
        (spray.finished, spray.label) = (ended, label);
        spray.product = noted.and_then(|spray| spray.product);
        spray.by_void = true;
        spray.needs.push(Need::LinensNamed);
        spray.needs.extend(ended.is_none().then_some(Need::FinishNamed));
        spray.needs.extend(label.is_none().then_some(Need::LabelNamed));
        let during = self.surfaces().spray(plan.code, entry.number).map_or((begun, entry.noted), |it| it.interval());
        spray.linens_in_use = self.was_in_use(plan.code, during);
        add_made(&mut spray, plan, self.beds_to_make(plan.code, during).into_iter());
        spray.needs.extend(self.bags_to_wash(plan.code, during.0));
        spray
    }
}

/// Stands for a room that has no zones of its own, so that it can be treated and felt all the same.
fn whole(plan: &RoomPlan) -> Zone {
    Zone { bed: None, part: plan.code }
}

/// A finding that was noted in another room closes this one as it did that.
pub(super) fn moved_finding(room: &mut Room, entry: &Entry, plan: &RoomPlan, found: &Closer) {
    room.newest = room.newest.max(entry.number);
    let at = found.happened.min(entry.noted);
    let mut needs: Vec<Need> = plan.treatable_zones().map(Need::Covered).collect();
    match found.cause {
        Cause::Suspicion { .. } => needs.insert(0, Need::Inspected),
        _ if needs.is_empty() => needs.push(Need::Covered(whole(plan))),
        _ => {}
    }
    if found.cause != (Cause::Suspicion { physical: false }) {
        room.last_evidence = later(room.last_evidence, at);
    }
    if found.cause == Cause::Confirmed {
        room.last_confirmed = Some((entry.number, at));
    }
    let mut moved = closer(entry, found.cause, needs);
    (moved.by_void, moved.is_urgent) = (true, found.is_urgent);
    room.close(moved);
}

fn confirm(room: &mut Room, entry: &Entry, plan: &RoomPlan) {
    let mut needs: Vec<Need> = plan.treatable_zones().map(Need::Covered).collect();
    if needs.is_empty() {
        needs.push(Need::Covered(whole(plan)));
    }
    room.last_evidence = later(room.last_evidence, by_now(entry));
    room.last_confirmed = Some((entry.number, by_now(entry)));
    room.close(closer(entry, Cause::Confirmed, needs));
}

fn not_a_bed_bug(room: &mut Room, entry: &Entry, finding: Number) {
    let settled = |c: &&Closer| c.number == finding && c.cause == Cause::Confirmed && c.voided.is_none();
    let by_inspection = room.unsettled().find(settled).and_then(|c| room.clean_inspection_after(c));
    room.sign(Signature {
        number: entry.number,
        kind: SignatureKind::NotABedBug { finding },
        settles: by_inspection.map(|_| finding).into_iter().collect(),
        rests_on: by_inspection.into_iter().collect(),
        stands: true,
    });
}

/// Settles by name the findings from before the inspection began, and a confirmed one whose specimen was something else.
fn settle_by_inspection(room: &mut Room, entry: &Entry, began: Time) {
    let (mut settles, mut rests_on) = (vec![], vec![]);
    for c in room.unsettled().filter(|c| c.voided.is_none() && c.happened < began && c.number < entry.number) {
        match c.cause {
            Cause::Suspicion { .. } | Cause::Received => settles.push(c.number),
            Cause::Confirmed => {
                if let Some(identified) = room.is_not_a_bed_bug(c.number) {
                    settles.push(c.number);
                    rests_on.push(identified);
                }
            }
            _ => {}
        }
    }
    let kind = SignatureKind::CleanInspection;
    room.sign(Signature { number: entry.number, kind, settles, rests_on, stands: true });
}

/// A fact with the entry's own number, counting from the time it happened.
pub(super) fn fact(entry: &Entry, gives: Vec<Need>) -> Fact {
    Fact {
        number: entry.number,
        terminal: entry.terminal_name().into(),
        from: entry.happened,
        done: entry.happened,
        noted: entry.noted,
        noted_by: entry.noted_by,
        gives,
        rests_on: vec![],
        is_spray: false,
        only_looked: false,
        treated_too: false,
        gone: false,
        supplies: None::<Supply>,
        voided: false,
        as_noted: None,
    }
}

/// Adds dryness of these zones, and the vacuuming of soft seats once they are dry.
pub(super) fn with_dry(mut closer: Closer, plan: &RoomPlan, wet: &[Zone]) -> Closer {
    for zone in wet {
        let dry = Need::Dry(*zone);
        if closer.needs.contains(&dry) {
            continue;
        }
        closer.needs.push(dry);
        if plan.zone(*zone).is_some_and(|z| z.soft_seat) {
            closer.needs.push(Need::Vacuumed(*zone));
            closer.order.push((Need::Vacuumed(*zone), dry));
        }
    }
    closer
}

fn dry_zones(closer: &Closer) -> impl Iterator<Item = Zone> {
    closer.needs.iter().filter_map(|need| match need {
        Need::Dry(zone) => Some(*zone),
        _ => None,
    })
}

/// Adds the making of these beds, each after its wet mattress was found dry.
fn add_made(closer: &mut Closer, plan: &RoomPlan, beds: impl Iterator<Item = Code>) {
    for bed in beds.filter(|bed| !closer.needs.contains(&Need::Made(*bed))).collect::<Vec<_>>() {
        closer.needs.push(Need::Made(bed));
        let wet: Vec<Zone> = plan.mattresses(bed).filter(|z| closer.needs.contains(&Need::Dry(*z))).collect();
        closer.order.extend(wet.into_iter().map(|mattress| (Need::Made(bed), Need::Dry(mattress))));
    }
}

/// Notes a bed as empty, if that is later than the newest reason to think it occupied.
pub(super) fn empty(room: &mut Room, entry: &Entry, bed: Code) {
    room.beds.entry(bed).or_default().emptied.push(Emptied {
        number: entry.number,
        at: entry.happened,
        as_at: entry.happened,
    });
    room.stays.push(Stay::of(entry, bed, false, false));
}

impl Stay {
    fn of(entry: &Entry, bed: Code, occupied: bool, perhaps: bool) -> Self {
        Self {
            bed,
            number: entry.number,
            at: entry.happened,
            surely: entry.happened,
            as_at: entry.happened,
            occupied,
            perhaps,
        }
    }
}

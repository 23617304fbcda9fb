//! Facts: what was done about the needs, if it counts.

use std::sync::Arc;

use super::apply::{No, Reading, closer, later};
use super::closing::{empty, fact};
use super::filled::LoadAt;
use super::room::{Cause, Closer, Room, Supply};
use super::{Board, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{BagEnd, Body, Entry, Feel, Known, LinenSource, Number, OtherMethod, Time};
use crate::domain::facility::{RoomPlan, Zone, ZoneTreatment};
use crate::domain::laundry::{self, LoadVerdict};
use crate::domain::need::Need;
use crate::domain::people::Role;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::surface::{Statement, Surface};

impl Board {
    pub(super) fn apply_fact(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        match &entry.body {
            Body::DryChecked { .. } => self.dry_check(reading),
            Body::ThingSeen { .. } => self.thing_seen(reading),
            Body::TreatedOtherwise { zones, method } => {
                self.fact_counts(reading, false)?;
                self.note_work_in_the_wet(entry);
                self.worked_on(entry, zones);
                self.treat_otherwise(entry, zones, *method)
            }
            Body::Vacuumed { zones } => {
                self.fact_counts(reading, false)?;
                self.note_work_in_the_wet(entry);
                self.worked_on(entry, zones);
                for code in self.rooms_of(&entry.place) {
                    let zones = self.with_parts(code, zones);
                    self.room_mut(code).add_fact(fact(entry, zones.into_iter().map(Need::Vacuumed).collect()));
                }
                Ok(())
            }
            Body::Laundered { .. } => self.launder(reading),
            Body::BagEnded { .. } => self.end_bag(reading),
            Body::BedMade { .. } => self.make_bed(reading),
            Body::SprayCompleted { .. } => self.complete_spray(reading),
            Body::Emptied { beds } => {
                self.fact_counts(reading, false)?;
                self.empty_beds(entry, beds);
                Ok(())
            }
            Body::OccupancyConfirmed { occupied, empty, gone } => {
                gone.iter().for_each(|bed| self.ask_where(entry, *bed));
                occupied.iter().for_each(|bed| self.occupy(entry, *bed));
                if empty.is_empty() && !occupied.is_empty() {
                    return Ok(());
                }
                self.fact_counts(reading, false)?;
                self.empty_beds(entry, empty);
                Ok(())
            }
            Body::RoundLooked { rooms } => {
                self.fact_counts(reading, false)?;
                let on_the_ward = self.rooms_of(&entry.place);
                for code in rooms.iter().filter(|code| on_the_ward.contains(code)) {
                    let room = self.room_mut(*code);
                    room.last_look = later(room.last_look, entry.happened);
                }
                Ok(())
            }
            _ => Err(No::new(Rule::Target, "it is nothing that was done")),
        }
    }

    /// Who makes a bed, vacuums, inspects or treats a zone in a wet room was inside it.
    pub(super) fn note_work_in_the_wet(&mut self, entry: &Entry) {
        for code in self.rooms_of(&entry.place) {
            let was_wet = self.room(code).is_some_and(|room| room.was_wet_at(entry.happened));
            let by_applicator = matches!(entry.body, Body::TreatedOtherwise { .. }) && self.sprays(code, entry.done_by);
            if was_wet && !by_applicator {
                self.note_exception(entry.number, Some(code), ExceptionKind::WorkedWet);
            }
        }
    }

    /// What somebody worked on may be there, whatever was noted of its ways; nobody can work on what is elsewhere.
    fn worked_on(&mut self, entry: &Entry, zones: &[Zone]) {
        let at = entry.happened.min(entry.noted);
        for code in self.rooms_of(&entry.place) {
            for surface in zones.iter().flat_map(|zone| self.surfaces_named(code, *zone)).collect::<Vec<_>>() {
                if self.surfaces().is_moved(surface) {
                    self.surfaces_mut().named_in(surface, code, at, entry.number);
                }
            }
        }
    }

    /// Whether this person, trained to apply, sprayed what is wet here: whoever sprays may be inside.
    pub fn sprays(&self, code: Code, person: Code) -> bool {
        let trained = self.person(person).is_some_and(|p| p.trained_to_apply && !p.left);
        let by = |c: &Closer| c.cause == Cause::Spray && c.voided.is_none() && !c.by_void && c.done_by == person;
        trained && self.room(code).is_some_and(|room| room.unsettled().any(by))
    }

    /// To look at a zone closely does for what must not be sprayed; where spray, steam, heat or a vacuum can go it kills nothing.
    fn treat_otherwise(&mut self, entry: &Entry, zones: &[Zone], method: OtherMethod) -> Result<(), No> {
        let (mut only_seen, mut with_signs) = (vec![], vec![]);
        for plan in self.plans(entry) {
            let saw = |zone: &&Zone| self.sign_is_open(plan.code, **zone);
            if method == OtherMethod::Inspected {
                with_signs.extend(zones.iter().filter(saw).map(Zone::to_string));
            }
            let may_be_sprayed = |zone: &Zone| plan.zone(*zone).is_none_or(|it| it.treatment == ZoneTreatment::Spray);
            let (unpaid, paid): (Vec<Zone>, Vec<Zone>) =
                zones.iter().partition(|zone| method == OtherMethod::Inspected && may_be_sprayed(zone));
            let paid = self.with_parts(plan.code, &paid);
            let mut covered = fact(entry, paid.into_iter().map(Need::Covered).collect());
            covered.only_looked = method == OtherMethod::Inspected;
            self.room_mut(plan.code).add_fact(covered);
            only_seen.extend(unpaid.iter().map(Zone::to_string));
        }
        if only_seen.is_empty() && !with_signs.is_empty() {
            let text = format!(
                "something was seen on {}, and to look closely treats nothing there: vacuum, steam or heat it",
                with_signs.join(", ")
            );
            return Err(No::new(Rule::Coverage, text));
        }
        if only_seen.is_empty() {
            return Ok(());
        }
        let text = format!(
            "{} can be treated, and to inspect closely treats nothing: spray, steam, heat or vacuum it; what was only looked at \
             is an inspection",
            only_seen.join(", ")
        );
        Err(No::new(Rule::Coverage, text))
    }

    /// A sign was seen on it, and what closed the room for it is not settled.
    fn sign_is_open(&self, room: Code, zone: Zone) -> bool {
        let is_of = |c: &Closer| c.voided.is_none() && c.seen.contains(&zone);
        self.room(room).is_some_and(|room| room.unsettled().any(is_of))
    }

    fn empty_beds(&mut self, entry: &Entry, beds: &[Code]) {
        let on_place = self.rooms_of(&entry.place);
        for bed in beds {
            let code = self.facility().room_of_bed(*bed).map(|room| room.code).filter(|code| on_place.contains(code));
            match code {
                Some(code) => empty(self.room_mut(code), entry, *bed),
                None => self.report(entry.number, No::new(Rule::Place, format!("there is no bed {bed} here"))),
            }
        }
    }

    /// Damp closes whoever noted it; dry counts from the beginning of a check that was short enough.
    fn dry_check(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::DryChecked { began, zones, .. } = &entry.body else { return Ok(()) };
        let of = |feel: Feel| zones.iter().filter(move |(_, f)| *f == feel).map(|(zone, _)| *zone);
        let damp: Vec<Zone> = of(Feel::Damp).collect();
        let dry: Vec<Need> = of(Feel::Dry).filter(|zone| !damp.contains(zone)).map(Need::Dry).collect();
        for plan in self.plans(entry).iter().filter(|_| !damp.is_empty()) {
            self.wet_by_touch(entry, plan.code, &damp, Some(*began));
            let closing = self.with_dry(closer(entry, Cause::Damp, vec![]), plan, &damp);
            self.room_mut(plan.code).close(closing);
        }
        // What was damp closes, however late it is noted.
        if dry.is_empty() && !damp.is_empty() {
            return Ok(());
        }
        self.fact_counts(reading, false)?;
        self.tells_a_wait(entry)?;
        let longest = self.policy().minutes(Setting::DryCheckMinutes);
        if *began > entry.happened || entry.happened - *began > longest {
            let minutes = self.policy().get(Setting::DryCheckMinutes);
            return Err(No::new(
                Rule::CheckTooLong,
                format!("a dry check is done within {minutes} minutes, or starts again"),
            ));
        }
        if !dry.is_empty() {
            let felt: Vec<Zone> = of(Feel::Dry).filter(|zone| !damp.contains(zone)).collect();
            self.worked_on(entry, &felt);
            for code in self.rooms_of(&entry.place) {
                self.feel(entry, code, *began, &felt);
                let mut dry = fact(entry, dry.clone());
                dry.from = *began;
                self.room_mut(code).add_fact(dry);
            }
        }
        Ok(())
    }

    /// A load that fails is kept, and settles nothing.
    fn launder(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::Laundered { bag, cycle, slip } = &entry.body else { return Ok(()) };
        self.fact_counts(reading, !slip.trim().is_empty())?;
        let fits = self.load_fits(&LoadAt::of(entry, *bag, cycle));
        self.remember_files(entry, cycle);
        if let Err(no) = fits {
            for code in self.rooms_of(&entry.place) {
                self.room_mut(code).failed_loads.push((entry.number, *bag));
            }
            return Err(no);
        }
        let load = laundry::judge(cycle, laundry::criterion_of(self.policy()), false);
        let untreated = load.settles();
        let treated = LoadVerdict { treated: true, ..load }.settles();
        for code in self.rooms_of(&entry.place) {
            let room = self.room_mut(code);
            if !treated {
                room.failed_loads.push((entry.number, *bag));
            }
            if untreated || treated {
                let mut done = fact(entry, vec![Need::Bag(*bag)]);
                done.treated_too = treated;
                room.add_fact(done);
            }
        }
        Ok(())
    }

    fn end_bag(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::BagEnded { bag, end } = &entry.body else { return Ok(()) };
        self.fact_counts(reading, false)?;
        let destroyed = match end {
            BagEnd::Destroyed { witness } => {
                let on_roster = self.person(*witness).is_some_and(|p| !p.left && p.role != Role::Reader);
                if !on_roster || [entry.done_by, entry.noted_by].contains(witness) {
                    return Err(No::new(Rule::Witness, "the witness is somebody else, on the roster"));
                }
                true
            }
            BagEnd::Heated | BagEnd::Inspected => false,
            BagEnd::Lost => {
                for code in self.rooms_of(&entry.place) {
                    self.note_exception(entry.number, Some(code), ExceptionKind::BagLost(*bag));
                }
                return Ok(());
            }
        };
        for code in self.rooms_of(&entry.place) {
            let mut done = fact(entry, vec![Need::Bag(*bag)]);
            done.treated_too = destroyed;
            done.gone = true;
            self.room_mut(code).add_fact(done);
        }
        Ok(())
    }

    fn make_bed(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::BedMade { bed, linens } = &entry.body else { return Ok(()) };
        self.fact_counts(reading, false)?;
        self.note_work_in_the_wet(entry);
        for plan in self.plans(entry) {
            if !plan.has_bed(*bed) && !self.surfaces().bed_rooms(*bed).contains(&plan.code) {
                return Err(No::new(Rule::Place, format!("room {} has no bed {bed}", plan.code)));
            }
            let rests_on = match linens {
                LinenSource::Bags(tags) if tags.is_empty() => {
                    return Err(No::new(Rule::Linens, "name the bags that the linens came from, or the stock"));
                }
                LinenSource::Bags(tags) => {
                    let room = self.room_mut(plan.code);
                    let washed = tags.iter().map(|tag| laundered(room, *tag, entry.happened));
                    let washed = washed.collect::<Result<Vec<_>, _>>()?;
                    tags.iter().try_for_each(|tag| self.was_washed_since(*tag, entry))?;
                    washed
                }
                LinenSource::Stock(source) => {
                    self.stock_may_be_used(source, entry.happened)?;
                    vec![]
                }
            };
            self.remember_making(entry, *bed, linens);
            let mut made = fact(entry, vec![Need::Made(*bed)]);
            made.rests_on = rests_on;
            self.room_mut(plan.code).add_fact(made);
        }
        Ok(())
    }

    /// Supplies what a spray left unstated; bags and zones that it adds close the room like the spray's own.
    fn complete_spray(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::SprayCompleted { spray, zones, finished, bags, reentry_words, reentry_minutes, .. } = &entry.body
        else {
            return Ok(());
        };
        let Body::SprayCompleted { amount_ml, patient_inside, .. } = &entry.body else { return Ok(()) };
        let mut closes = false;
        // What it adds closes the room of the spray, whichever room the entry names.
        let stands = self.place_of(*spray).map(|place| self.rooms_of(&place)).unwrap_or_default();
        let plans: Vec<_> = stands.into_iter().filter_map(|code| self.plan(code)).collect();
        self.state_of_voided(reading, *spray);
        for plan in plans {
            let (new, is_news) = self.state_spray(reading, &plan);
            closes |= is_news;
            if self.sprayed(&plan, *spray).is_none() {
                continue;
            }
            let supplied = closer(entry, Cause::Supplied { spray: *spray }, vec![]);
            let mut more = self.with_dry(supplied, &plan, &new);
            more.needs.extend(bags.iter().flatten().map(|tag| Need::Bag(*tag)));
            // Bedding that was sprayed goes into a bag, also where that comes to light afterwards.
            let bedding = self.names_linens(plan.code, zones.as_deref().unwrap_or_default());
            let is_in_use = self.sprayed(&plan, *spray).is_some_and(|it| it.linens_in_use);
            let is_bagged = bags.as_ref().is_some_and(|bags| !bags.is_empty());
            if bedding && !is_in_use && !is_bagged && !self.has_bag_since(plan.code, *spray) {
                more.needs.push(Need::LinensNamed);
            }
            // By the end as it is known now somebody lay there after all.
            let during = self.surfaces().spray(plan.code, *spray).filter(|_| is_news).map(|it| it.interval());
            let lain_in = during.is_some_and(|during| self.was_in_use(plan.code, during));
            let asks_for_linens =
                |c: &Closer| c.cause == Cause::Supplied { spray: *spray } && c.needs.contains(&Need::LinensNamed);
            let is_asked = self.room(plan.code).is_some_and(|room| room.closers().iter().any(asks_for_linens));
            if lain_in && !is_in_use && !is_bagged && !is_asked && !more.needs.contains(&Need::LinensNamed) {
                more.needs.push(Need::LinensNamed);
            }
            // Whoever lay inside lay in linens: which bags they went into is asked for, whatever was said of them before.
            if *patient_inside == Known::Yes && !self.was_sprayed_over_patient(*spray) {
                more.needs
                    .extend(more.needs.iter().all(|need| !matches!(need, Need::Bag(_))).then_some(Need::LinensNamed));
                self.note_exception(entry.number, Some(plan.code), ExceptionKind::SprayedOverPatient);
            }
            if !more.needs.is_empty() {
                closes = true;
                self.room_mut(plan.code).close(more);
            }
        }
        // Of a spray that nobody knows here, what is said to have been sprayed is wet all the same.
        for plan in self.plans(entry) {
            if self.surfaces().spray(plan.code, *spray).is_some() {
                continue;
            }
            let zones = zones.as_deref().unwrap_or_default();
            self.wet_by_hearsay(entry, plan.code, zones);
            let mut hearsay = self.with_dry(closer(entry, Cause::Supplied { spray: *spray }, vec![]), &plan, zones);
            hearsay.needs.extend(bags.iter().flatten().map(|tag| Need::Bag(*tag)));
            if !hearsay.needs.is_empty() {
                self.room_mut(plan.code).close(hearsay);
            }
        }
        self.fact_counts(reading, false)?;
        // Also where more came to light of a spray that was settled.
        let asks_again =
            |c: &Closer| c.cause == Cause::Supplied { spray: *spray } && c.needs.contains(&Need::LinensNamed);
        let is_it = |c: &Closer| (c.number == *spray && c.cause == Cause::Spray) || asks_again(c);
        let waits = |plan: &Arc<RoomPlan>| self.room(plan.code).is_some_and(|room| room.unsettled().any(is_it));
        let is_open = self.plans(entry).iter().any(waits);
        let sprayed = self.plans(entry).into_iter().find_map(|plan| self.sprayed(&plan, *spray).cloned());
        // What is for the record alone can be supplied of a spray that is long over.
        let is_for_record = amount_ml.is_some() || *patient_inside != Known::Unknown;
        let Some(sprayed) = sprayed.filter(|_| closes || is_open || is_for_record) else {
            return Err(No::new(Rule::Target, format!("entry {spray} is no unsettled spray of this room")));
        };
        let came_to_light =
            |plan: &Arc<RoomPlan>| self.room(plan.code).is_some_and(|room| room.unsettled().any(asks_again));
        let in_use = sprayed.linens_in_use || self.plans(entry).iter().any(came_to_light);
        if in_use && bags.as_ref().is_some_and(Vec::is_empty) {
            let text = "a patient was in a bed, so the linens in use were sprayed: say the bags that they went into";
            return Err(No::new(Rule::Unstated, text));
        }
        let label = super::book::label(reentry_words.as_deref(), *reentry_minutes);
        let covered = zones.iter().flatten().filter(|_| sprayed.zones_may_follow && sprayed.voided.is_none());
        let mut gives: Vec<Need> = covered.copied().map(Need::Covered).collect();
        gives.extend(zones.as_ref().filter(|zones| !zones.is_empty()).map(|_| Need::ZonesNamed));
        gives.extend(finished.map(|_| Need::FinishNamed));
        gives.extend(label.map(|_| Need::LabelNamed));
        // That nobody was inside leaves the linens as the spray stated them.
        let stand_as_stated = *patient_inside == Known::No && sprayed.linens_stated && !in_use;
        gives.extend((bags.is_some() || stand_as_stated).then_some(Need::LinensNamed));
        let sprayed_at = self.clocks.earliest(*spray, sprayed.happened_as_noted());
        for code in self.rooms_of(&entry.place) {
            let mut supplied = fact(entry, gives.clone());
            supplied.supplies = Some(Supply { spray: *spray, sprayed_at, finished: *finished, label });
            self.room_mut(code).add_fact(supplied);
        }
        Ok(())
    }

    /// All statements about one spray count together: the latest end, the longest label, every zone. Gives the names of what
    /// comes to light as wet here, and whether anything changed.
    fn state_spray(&mut self, reading: &Reading<'_>, plan: &RoomPlan) -> (Vec<Zone>, bool) {
        let entry = reading.entry;
        let Body::SprayCompleted { spray, zones, finished, reentry_words, reentry_minutes, .. } = &entry.body else {
            return (vec![], false);
        };
        let Some(known) = self.surfaces().spray(plan.code, *spray) else { return (vec![], false) };
        let before = known.wetted.clone();
        let named: Vec<Surface> =
            zones.iter().flatten().flat_map(|zone| self.surfaces_named(plan.code, *zone)).collect();
        let statement = Statement {
            number: entry.number,
            noted: entry.noted,
            ended: *finished,
            label: super::book::label(reentry_words.as_deref(), *reentry_minutes),
            named,
            counts: self.fact_counts(reading, false).is_ok(),
        };
        let is_news = self.state_of_spray(plan.code, *spray, &statement);
        let Some(now) = self.surfaces().spray(plan.code, *spray).cloned() else { return (vec![], false) };
        self.longest_label = self.longest_label.max(now.label.unwrap_or_default());
        self.room_mut(plan.code).restate(*spray, now.ended, now.label);
        let new: Vec<Surface> = now.wetted.into_iter().filter(|it| !before.contains(it)).collect();
        (self.names_here(plan.code, new), is_news)
    }

    /// Whether a bag of the room was named with this spray or since.
    pub(super) fn has_bag_since(&self, code: Code, spray: Number) -> bool {
        let begun = |number: Number| self.surfaces().spray(code, number).map(|it| it.begun);
        let Some(since) = begun(spray) else { return false };
        // What was said later of an earlier spray went into its bag before, also where all of that was noted later.
        let is_since = |c: &Closer| c.spray() >= spray && begun(c.spray()).unwrap_or(c.happened) >= since;
        let asks =
            |c: &Closer| c.voided.is_none() && is_since(c) && c.needs.iter().any(|need| matches!(need, Need::Bag(_)));
        self.room(code).is_some_and(|room| room.closers().iter().any(asks))
    }

    /// What is said of a spray that was really elsewhere is said of what was noted here: the same spray, until somebody has looked.
    fn state_of_voided(&mut self, reading: &Reading<'_>, void: Number) {
        let Body::SprayCompleted { zones, finished, reentry_words, reentry_minutes, .. } = &reading.entry.body else {
            return;
        };
        let rooms = self.place_of(void).map(|place| self.rooms_of(&place)).unwrap_or_default();
        for room in rooms {
            let Some(target) = self.room(room).and_then(|room| room.target_of(void)) else { continue };
            let statement = Statement {
                number: reading.entry.number,
                noted: reading.entry.noted,
                ended: *finished,
                label: super::book::label(reentry_words.as_deref(), *reentry_minutes),
                named: zones.iter().flatten().flat_map(|zone| self.surfaces_named(room, *zone)).collect(),
                counts: false,
            };
            self.state_of_spray(room, target, &statement);
        }
    }

    /// Whether the spray itself says so. What is said again of it closes nothing again.
    pub(crate) fn was_sprayed_over_patient(&self, spray: Number) -> bool {
        self.exceptions().iter().any(|it| it.number == spray && it.kind == ExceptionKind::SprayedOverPatient)
    }

    fn sprayed(&self, plan: &RoomPlan, spray: Number) -> Option<&Closer> {
        // Also one that was returned to service since: what it left out closes the room again.
        self.room(plan.code)?.knows_spray(spray)
    }
}

/// The newest laundering of this bag, after everything that asks for it and before the bed was made.
fn laundered(room: &Room, tag: Code, made: Time) -> Result<Number, No> {
    let asks = room.unsettled().filter(|c| c.needs.contains(&Need::Bag(tag)));
    let met: Option<Vec<Number>> = asks.map(|c| room.met(c, Need::Bag(tag)).map(|(number, _)| number)).collect();
    match met.map(|numbers| numbers.into_iter().max()) {
        Some(Some(number)) if room.knows_fact(number).is_some_and(|fact| fact.gone) => {
            Err(No::new(Rule::Linens, format!("bag {tag} did not end in the laundry")))
        }
        Some(Some(number)) if room.knows_fact(number).is_some_and(|fact| fact.done > made) => {
            Err(No::new(Rule::Linens, format!("bag {tag} was laundered after the bed was made")))
        }
        Some(Some(number)) => Ok(number),
        Some(None) => Err(No::new(
            Rule::Linens,
            match room.had_bag(tag) {
                Some(number) => format!(
                    "bag {tag} was this room's (entry {number}), and was settled; nothing waits for it any more: name the stock \
                 that the linens came from"
                ),
                None => format!("this room has no bag {tag}"),
            },
        )),
        None => Err(No::new(Rule::Linens, format!("bag {tag} is not laundered yet"))),
    }
}

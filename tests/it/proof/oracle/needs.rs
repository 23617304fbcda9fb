//! What one closer asks for, and whether facts noted before a number meet it.

use chrono::TimeDelta;

use dryhold::domain::code::Code;
use dryhold::domain::entry::{
    BagEnd, Body, Cycle, Depth, Entry, Feel, Known, LinenSource, Lost, Number, OtherMethod, PrepStep, Purpose, Sign,
    Specimen, Time,
};
use dryhold::domain::facility::{Zone, ZoneTreatment};
use dryhold::domain::measured::{LoggerIn, Measured, SensorSeen};
use dryhold::domain::people::{Person, Role};
use dryhold::domain::policy::Setting;

use super::END;
use super::lines::Lines;
use crate::proof::hospital::{ROOMS, code};

/// Up to where one looks: facts are numbered before `facts`; voids are known if numbered before `voids`.
#[derive(Clone, Copy)]
pub(super) struct Until {
    pub(super) facts: Number,
    pub(super) voids: Number,
}

/// What a finding does to a room.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Suspicion {
    Confirms,
    Suspects,
}

impl<'a> Lines<'a> {
    /// What an entry says of bed bugs, if it says that there may be some.
    pub(super) fn suspicion(&self, entry: &Entry, room: Code) -> Option<Suspicion> {
        let trained = self.person(entry.done_by, entry.number).is_some_and(|person| person.trained_to_inspect);
        let of = |signs: Vec<Sign>| match trained && signs.into_iter().any(Sign::confirms) {
            true => Suspicion::Confirms,
            false => Suspicion::Suspects,
        };
        match &entry.body {
            Body::Finding { seen, wiped_before, .. } => {
                let weak = |sign: Sign| matches!(sign, Sign::DeadInsect | Sign::DarkSpots | Sign::BloodSpots);
                let not_wiped = *wiped_before == Known::No && !seen.is_empty() && seen.iter().all(|s| weak(s.sign));
                // Noted of it, or really seen in it.
                let is_of_it = |e: &Entry| {
                    let is_really = |void: &Entry| matches!(void.body, Body::Voided { entry, really_in: Some(really), .. } if entry == e.number && really == room);
                    self.touches(e, room) || self.before(entry.number).any(is_really)
                };
                let known_case = || self.before(entry.number).any(|e| is_of_it(e) && self.suspicion(e, room).is_some());
                if not_wiped && known_case() { None } else { Some(of(seen.iter().map(|s| s.sign).collect())) }
            }
            Body::Inspected { looks, .. } if looks.iter().any(|look| !look.seen.is_empty()) => {
                Some(of(looks.iter().flat_map(|look| look.seen.iter().copied()).collect()))
            }
            Body::Identified { specimen: Specimen::BedBug, identified_by, .. } => match identified_by.trim().is_empty()
            {
                true => Some(Suspicion::Suspects),
                false => Some(Suspicion::Confirms),
            },
            _ => None,
        }
    }

    /// What a closer still lacks, leaving its signature aside.
    pub(super) fn lacks(&self, closer: &Entry, room: Code, until: Until) -> Vec<String> {
        let mut lacks = vec![];
        match &closer.body {
            // Found wet on a walk: as a spray of which nothing was stated.
            Body::Sprayed { .. } | Body::WardWalked { .. } => self.spray_lacks(closer, room, until, &mut lacks),
            Body::DryChecked { zones, .. } => self.damp_lacks(closer, zones, room, until, &mut lacks),
            Body::SecondChecked { zones, not_made, .. } => {
                self.damp_lacks(closer, zones, room, until, &mut lacks);
                for bed in self.beds(room, closer.number).iter().filter(|bed| not_made.contains(bed)) {
                    if !self.is_bed_made(room, *bed, closer, &[], until) {
                        lacks.push(format!("bed {bed} was found not made"));
                    }
                }
            }
            Body::Prepared { steps, .. } if steps.contains(&PrepStep::LinensBagged) => {
                for bed in self.beds(room, closer.number) {
                    if !self.is_bed_made(room, bed, closer, &[], until) {
                        lacks.push(format!("bed {bed} was stripped and not made since"));
                    }
                }
            }
            _ if self.suspicion(closer, room).is_some() => {
                let negative = self.clean_inspection(closer, room, until);
                let excused = match self.suspicion(closer, room) {
                    Some(Suspicion::Confirms) => negative && self.is_something_else(closer, room, until),
                    _ => negative,
                };
                let zones = self.zones(room, closer.number);
                let owed = zones
                    .iter()
                    .filter(|(zone, plan)| {
                        plan.treatment != ZoneTreatment::InspectOnly && !self.is_elsewhere(room, *zone)
                    })
                    .map(|(zone, _)| *zone);
                let untreated: Vec<Zone> = owed.filter(|zone| !self.is_treated(room, *zone, closer, until)).collect();
                if !excused && !untreated.is_empty() {
                    lacks.push(format!("finding {}: not treated {untreated:?}, not inspected", closer.number));
                }
            }
            _ => {}
        }
        lacks
    }

    /// Whatever was damp then, as long as nobody has found it dry.
    fn damp_lacks(&self, closer: &Entry, felt: &[(Zone, Feel)], room: Code, until: Until, lacks: &mut Vec<String>) {
        let at = self.when_felt(closer, until);
        for (zone, _) in felt.iter().filter(|(zone, feel)| *feel == Feel::Damp && !self.is_elsewhere(room, *zone)) {
            let is_dry = !self.dry_by_any_name(room, *zone, closer.number, at, until).is_empty();
            if !is_dry && !self.is_felt_otherwise(closer, room, *zone, until) {
                lacks.push(format!("{zone} was damp"));
            }
        }
    }

    /// Nobody felt it after they noted so, whatever hour was typed.
    fn when_felt(&self, damp: &Entry, until: Until) -> Time {
        self.late(damp, damp.happened.min(damp.noted), until.voids)
    }

    /// A thing out of a room where a named spray of it was not found dry when it left is felt under its own tag, not before
    /// the label's time of that spray; never while that time is not on file and the thing's own spray was not stated.
    pub(super) fn is_thing_dry(&self, journey: &Entry, room: Code, until: Until) -> bool {
        let (tag, from, parts) = match &journey.body {
            Body::ThingLeft { thing, zones, .. } => (thing, journey.place.first_room(), zones.clone()),
            Body::ThingArrived { thing, from: Some(from), .. } => (thing, Some(*from), vec![]),
            _ => return true,
        };
        let tagged = self.parts_of_tag(tag, journey.number);
        let (Some(from), Ok(part)) = (from, Code::new(tag)) else { return true };
        // It went on, or was felt in another room: there it is, and is asked for.
        let is_tag = |other: &str| other.trim().eq_ignore_ascii_case(tag.trim());
        let went_on = self.between(journey.number, until.facts).any(|later| match &later.body {
            Body::ThingLeft { thing, to: Some(to), .. } => {
                is_tag(thing) && later.place.first_room() == Some(room) && *to != room
            }
            Body::DryChecked { zones, .. } => {
                zones.iter().any(|(zone, _)| *zone == Zone { bed: None, part }) && !self.touches(later, room)
            }
            _ => self.is_given_up_by(later, Lost::Thing, part, room, until),
        });
        if went_on {
            return true;
        }
        // To come wets nothing: it may be felt in the minute in which it came.
        let came = self.late(journey, journey.happened, until.voids) - TimeDelta::minutes(1);
        let felt = self.dry(room, Zone { bed: None, part }, journey.number, came, until);
        let before = Until { facts: journey.number, voids: until.voids };
        let wets = |spray: &&Entry| {
            matches!(spray.body, Body::Sprayed { .. })
                && self.touches(spray, from)
                && spray.happened <= journey.happened
                && self.void_of_closer(spray, END).is_none()
                && !self.is_settled(spray, from, journey.number)
                && !self.came_from_elsewhere_since(tag, from, spray, journey.number)
        };
        self.before(journey.number).filter(wets).all(|spray| {
            // What was said of it by then: where that is taken back, the spray ended by its noting, and its own room asks.
            let said = self.said_of(spray, from, Until { facts: journey.number, voids: journey.number });
            // Part of another room, as was said when it first left: a spray that names its zones names none of it.
            let named = said.zones.is_some();
            let is_hit = |zone: Zone| !named || tagged.iter().any(|(home, part)| *part == zone && (*home == from || zone.bed.is_some()));
            let zones = said.zones.unwrap_or_else(|| self.zones(from, spray.number).into_iter().map(|it| it.0).collect());
            let is_of_thing =
                |zone: &&Zone| if parts.is_empty() { tagged.is_empty() || is_hit(**zone) } else { parts.contains(zone) };
            let undried = zones.iter().filter(is_of_thing).any(|zone| {
                let checks = self.dry_by_any_name(from, *zone, spray.number, spray.happened, before);
                !checks.iter().any(|check| {
                    matches!(&check.body, Body::DryChecked { began, .. } if said.ready.is_some_and(|ready| *began >= ready))
                })
            });
            // It had been felt by its tag since, wherever that was: nothing wets it by going back.
            let by_tag = ROOMS.iter().any(|other| {
                let sprayed = self.late(spray, spray.happened, until.voids);
                let checks = self.dry(code(other), Zone { bed: None, part }, spray.number, sprayed, before);
                checks.iter().any(|check| match (&check.body, said.ready) {
                    (Body::DryChecked { began, .. }, Some(ready)) => self.early(check, *began, until.voids) >= ready,
                    _ => false,
                })
            });
            !undried || by_tag || felt.iter().any(|check| match (&check.body, said.ready) {
                (Body::DryChecked { began, .. }, Some(ready)) => *began >= ready,
                _ => true,
            })
        })
    }

    /// It came from another room after this spray, here or elsewhere, so that it was none of what that hit.
    fn came_from_elsewhere_since(&self, tag: &str, room: Code, spray: &Entry, until: Number) -> bool {
        self.before(until).any(|entry| match &entry.body {
            Body::ThingArrived { thing, from: Some(from), .. } => {
                let is_it = thing.trim().eq_ignore_ascii_case(tag.trim());
                let over = if entry.place.first_room() == Some(room) { spray.noted } else { spray.happened };
                is_it && *from != room && entry.happened > over
            }
            Body::ThingLeft { thing, .. } => {
                let is_it = thing.trim().eq_ignore_ascii_case(tag.trim());
                is_it && entry.place.first_room().is_some_and(|from| from != room) && entry.happened > spray.noted
            }
            _ => false,
        })
    }

    /// What carries a tag is felt under its parts' names, too, where they belong; and it is in one room: what was felt
    /// under its tag elsewhere was not here.
    fn is_felt_otherwise(&self, closer: &Entry, room: Code, zone: Zone, until: Until) -> bool {
        let happened = self.when_felt(closer, until);
        let is_dry = |room: Code, zone: Zone| !self.dry(room, zone, closer.number, happened, until).is_empty();
        let is_zone_here = self.zones(room, closer.number).iter().any(|(own, _)| *own == zone);
        let elsewhere = ROOMS.iter().any(|other| is_dry(code(other), zone));
        let parts = self.parts_of_tag(zone.part.as_str(), closer.number);
        (!parts.is_empty() && parts.iter().all(|(home, part)| *home == room && is_dry(room, *part)))
            || (zone.bed.is_none() && !is_zone_here && elsewhere)
    }

    /// The parts that a tag was said to be, each with the room that it left first.
    fn parts_of_tag(&self, tag: &str, until: Number) -> Vec<(Code, Zone)> {
        let of_it = |entry: &&Entry| matches!(&entry.body, Body::ThingLeft { thing, .. } if thing.trim().eq_ignore_ascii_case(tag.trim()));
        let parts = self.before(until).filter(of_it).filter_map(|left| {
            let Body::ThingLeft { zones, .. } = &left.body else { return None };
            let home = left.place.first_room()?;
            Some(zones.iter().map(move |zone| (home, *zone)))
        });
        parts.flatten().collect()
    }

    /// The tags under which it left this room, or, a bed's part having one name everywhere, any room: what is felt here under such a tag
    /// is here, wherever it was said to go.
    fn tags_looked_for(&self, room: Code, part: Zone, until: Until) -> Vec<Zone> {
        let tag = |entry: &Entry| match &entry.body {
            Body::ThingLeft { thing, zones, .. } => {
                let is_it = zones.contains(&part) && (entry.place.first_room() == Some(room) || part.bed.is_some());
                Code::new(thing).ok().filter(|_| is_it).map(|part| Zone { bed: None, part })
            }
            _ => None,
        };
        self.before(until.facts).filter_map(tag).collect()
    }

    /// It left under a tag for another room, or was felt in one under the tag that it left by: what is owed for it is asked there.
    fn is_elsewhere(&self, room: Code, zone: Zone) -> bool {
        self.all.iter().any(|entry| match &entry.body {
            Body::DryChecked { zones, .. } if !self.touches(entry, room) => {
                let before = Until { facts: entry.number, voids: END };
                let tags = self.tags_looked_for(room, zone, before);
                tags.iter().any(|tag| zones.iter().any(|(felt, _)| felt == tag)) && !self.is_voided(entry.number, END)
            }
            Body::ThingLeft { thing, zones, to: Some(to), .. } => {
                // By its tag, or as the part that it is.
                let is_it =
                    zones.contains(&zone) || Code::new(thing).is_ok_and(|part| zone == Zone { bed: None, part });
                is_it && *to != room && entry.place.first_room() == Some(room)
            }
            _ => false,
        })
    }

    fn spray_lacks(&self, spray: &Entry, room: Code, until: Until, lacks: &mut Vec<String>) {
        let said = self.said_of(spray, room, until);
        let plan = self.zones(room, spray.number);
        let zones = said.zones.unwrap_or_else(|| plan.iter().map(|(zone, _)| *zone).collect());
        let is = |zone: Zone, what: fn(&dryhold::domain::facility::ZonePlan) -> bool| {
            plan.iter().any(|(other, plan)| *other == zone && what(plan))
        };
        let Some(ready) = said.ready else {
            lacks.push(format!("spray {}: its finish or its label's words are not on file", spray.number));
            return;
        };
        let dry = |zone: Zone| -> Vec<&Entry> {
            let sprayed = self.late(spray, spray.happened, until.voids);
            let checks = self.dry_by_any_name(room, zone, spray.number, sprayed, until);
            let checks = checks.into_iter();
            let after_label = checks.filter(
                |check| matches!(&check.body, Body::DryChecked { began, .. } if self.early(check, *began, until.voids) >= ready),
            );
            after_label.filter(|check| !self.was_wiped_after(room, zone, spray, check, until)).collect()
        };
        let is_here = |zone: Zone| !self.is_elsewhere(room, zone) && !self.is_replaced(spray, room, zone, until);
        for zone in zones.iter().filter(|zone| is_here(**zone)) {
            let dry = dry(*zone);
            if dry.is_empty() {
                lacks.push(format!("spray {}: {zone} was not found dry", spray.number));
            } else if is(*zone, |plan| plan.soft_seat)
                && !std::iter::once(*zone)
                    .chain(self.tags_looked_for(room, *zone, until))
                    .any(|name| self.is_vacuumed(room, name, &dry, until))
            {
                lacks.push(format!("spray {}: {zone} was not vacuumed", spray.number));
            }
        }
        match said.bags {
            None => lacks.push(format!("spray {}: its linens are not stated", spray.number)),
            Some(bags) => {
                for bag in bags.iter().filter(|bag| self.laundered(room, **bag, Some(spray), until).is_empty()) {
                    lacks.push(format!("spray {}: bag {bag} is not laundered", spray.number));
                }
            }
        }
        for bed in self.beds(room, spray.number) {
            let of_bed = |zone: &&Zone| zone.bed == Some(bed) && is(**zone, |plan| plan.mattress);
            let mattresses = zones.iter().filter(of_bed).filter(|zone| is_here(**zone));
            let dry: Vec<Vec<&Entry>> = mattresses.map(|zone| dry(*zone)).collect();
            if !self.is_bed_made(room, bed, spray, &dry, until) {
                lacks.push(format!("spray {}: bed {bed} was not made", spray.number));
            }
        }
        let Body::Sprayed { purpose, scope, .. } = &spray.body else { return };
        for (zone, plan) in &plan {
            let owed = match purpose {
                Purpose::Preventive => plan.hiding_place && plan.treatment != ZoneTreatment::InspectOnly,
                Purpose::Infested => plan.treatment != ZoneTreatment::InspectOnly,
                Purpose::ReApplication => scope.contains(zone),
            };
            let since = match purpose {
                Purpose::Infested => self.open_findings(spray, room),
                _ => vec![],
            };
            let treated = |closer: &Entry| self.is_treated(room, *zone, closer, until);
            let paid = zones.contains(zone) && self.may_have_applied(spray);
            if owed && !self.is_elsewhere(room, *zone) && !paid && !treated(spray) && !since.into_iter().any(treated) {
                lacks.push(format!("spray {}: {zone} is owed", spray.number));
            }
        }
    }

    /// Whether whoever sprayed was trained, or a lead noted it for a contractor. Anybody else's spray covers nothing.
    fn may_have_applied(&self, spray: &Entry) -> bool {
        let required = self.policy(spray.number).is_on(Setting::CertificateRequired);
        let certified = |p: &Person| !required || p.certificate.is_some();
        let lead = |code| self.person(code, spray.number).is_some_and(|p| p.is_lead_at(spray.noted));
        lead(spray.noted_by) || lead(spray.done_by) || self.may(spray, |p| p.trained_to_apply && certified(p))
    }

    /// Confirming findings that nobody had settled when the room was sprayed: what was treated since them counts for the
    /// spray too, being of the same work. A confirmed room is settled by its return to service; that an inspection after the
    /// treatment saw nothing does not end the work.
    fn open_findings(&self, spray: &Entry, room: Code) -> Vec<&'a Entry> {
        let open = |finding: &&Entry| {
            self.touches(finding, room)
                && self.suspicion(finding, room) == Some(Suspicion::Confirms)
                && self.void_of_closer(finding, spray.number).is_none()
                && !self.is_returned(finding, room, spray.number)
        };
        self.before(spray.number).filter(open).collect()
    }

    /// A spray with what was supplied later for this room: of a spray over two rooms each has its own zones. Ready: when a
    /// dry check may begin; None while no clock runs.
    fn said_of(&self, spray: &Entry, room: Code, until: Until) -> Said {
        // An empty list of zones states none.
        let stated = |zones: &Option<Vec<Zone>>| zones.clone().filter(|zones| !zones.is_empty());
        let (mut said, mut finished, mut words, mut minutes) = match &spray.body {
            Body::Sprayed { zones, finished, bags, reentry_words, reentry_minutes, .. } => {
                let said = Said { zones: stated(zones), bags: bags.clone(), ready: None };
                let finished = finished.map(|end| self.late(spray, end, until.voids));
                (said, finished, reentry_words.clone(), *reentry_minutes)
            }
            Body::WardWalked { .. } => (Said::default(), None, None, None),
            _ => return Said::default(),
        };
        let mut clock_from = None;
        for later in self.between(spray.number, until.facts) {
            if let Some(less) = self.is_lowered_by(later, spray, room, until) {
                // What two people read off is so, whatever was said before; the list's minutes are the least.
                said.zones = less.zones.or(said.zones);
                finished = less.finished.map(|end| self.late(spray, end, until.voids)).or(finished);
                minutes = less.minutes.or(minutes);
                continue;
            }
            let Body::SprayCompleted { spray: of, zones, finished: end, bags, reentry_words, reentry_minutes, .. } =
                &later.body
            else {
                continue;
            };
            let applicator = later.done_by == spray.done_by;
            let allowed = |p: &Person| applicator || p.trained_to_apply || p.is_lead_at(later.noted);
            if *of != spray.number
                || !self.touches(later, room)
                || self.is_contested(later)
                || self.is_voided(later.number, until.voids)
                || !self.may(later, allowed)
            {
                continue;
            }
            said.zones = said.zones.or(stated(zones));
            // A patient lay in linens that were sprayed: none is no answer.
            let in_use = matches!(&spray.body, Body::Sprayed { patient_inside: Known::Yes, .. });
            said.bags = said.bags.or(bags.clone().filter(|bags| !in_use || !bags.is_empty()));
            if finished.is_none() && end.is_some() {
                (finished, clock_from) = (
                    end.map(|end| self.late(later, end, until.voids)),
                    Some(self.late(later, later.noted, until.voids)),
                );
            }
            if words.is_none() && reentry_words.is_some() {
                (words, minutes, clock_from) =
                    (reentry_words.clone(), *reentry_minutes, Some(self.late(later, later.noted, until.voids)));
            }
        }
        if let (Some(finished), Some(words)) = (finished, words)
            && !words.trim().is_empty()
        {
            let from = finished.max(self.late(spray, spray.happened, until.voids)).max(clock_from.unwrap_or(finished));
            said.ready = Some(from + TimeDelta::minutes(i64::from(minutes.unwrap_or(0))));
        }
        said
    }

    /// The lead has said since what took the place of that part of a bed.
    fn is_replaced(&self, spray: &Entry, room: Code, zone: Zone, until: Until) -> bool {
        self.between(spray.number, until.facts).any(|entry| {
            matches!(&entry.body, Body::PartReplaced { part, .. } if *part == zone)
                && entry.done_by == entry.noted_by
                && self.may(entry, |p| p.is_lead_at(entry.noted))
                && self.is_about(entry, room)
                && self.signature_counts(entry, room)
                && !self.is_voided(entry.number, until.voids)
        })
    }

    /// Whether with this entry the lead and infection prevention have both given up what nobody finds.
    fn is_given_up_by(&self, second: &Entry, lost: Lost, named: Code, room: Code, until: Until) -> bool {
        let says = |entry: &Entry| {
            matches!(&entry.body, Body::WrittenOff { what, tag, .. } if *what == lost && *tag == named)
                && entry.done_by == entry.noted_by
                && self.may(entry, |p| matches!(p.role, Role::Lead | Role::InfectionPrevention))
                && self.is_about(entry, room)
                && self.signature_counts(entry, room)
                && !self.is_voided(entry.number, until.voids)
        };
        let role = |entry: &Entry| self.person(entry.done_by, entry.number).map(|person| person.role);
        says(second) && self.before(second.number).any(|first| says(first) && role(first) != role(second))
    }

    /// What this entry lowers of a spray: somebody else had said the same, one of the two being a lead, and it was less.
    fn is_lowered_by(&self, second: &Entry, spray: &Entry, room: Code, until: Until) -> Option<Lowered> {
        let signed = |entry: &Entry| {
            entry.done_by == entry.noted_by
                && self.may(entry, |_| true)
                && self.is_about(entry, room)
                && self.signature_counts(entry, room)
                && !self.is_voided(entry.number, until.voids)
        };
        let read = |entry: &Entry| match &entry.body {
            Body::SprayCorrected { spray: of, zones, finished, reentry_minutes, .. } if *of == spray.number => {
                let mut zones = zones.clone();
                zones.iter_mut().for_each(|zones| zones.sort());
                Some(Lowered { zones, finished: *finished, minutes: *reentry_minutes })
            }
            _ => None,
        };
        let less = read(second).filter(|_| signed(second))?;
        let lead = |entry: &Entry| self.may(entry, |p| p.is_lead_at(entry.noted));
        // What was said of the spray between the two was not known to the first.
        let is_news =
            |entry: &Entry| matches!(&entry.body, Body::SprayCompleted { spray: of, .. } if *of == spray.number);
        let is_first = |first: &Entry| {
            read(first).as_ref() == Some(&less)
                && !self.between(first.number, second.number).any(is_news)
                && first.done_by != second.done_by
                && signed(first)
                && (lead(first) || lead(second))
        };
        if !self.between(spray.number, second.number).any(is_first) {
            return None;
        }
        let Body::Sprayed { product, .. } = &spray.body else { return None };
        let listed = self.before(second.number).rev().find_map(|entry| match &entry.body {
            Body::ProductSet(set) if set.code == *product && self.setting_counts(entry) => {
                Some(set.reentry_words.as_ref().map(|_| set.reentry_minutes.unwrap_or(0)))
            }
            _ => None,
        });
        // Where the list has no label for it, as long as nobody knows.
        let unknown = self.policy(second.number).get(Setting::UnknownLabelMinutes);
        let floor = listed.flatten().unwrap_or(u32::try_from(unknown).unwrap_or(u32::MAX));
        less.minutes.is_none_or(|minutes| minutes >= floor).then_some(less)
    }

    /// Dry checks of a zone of this room, or of what it left as for nobody knows where: that is felt by its tag, wherever it is seen.
    fn dry_by_any_name(&self, room: Code, zone: Zone, after: Number, happened: Time, until: Until) -> Vec<&'a Entry> {
        let tags = self.tags_looked_for(room, zone, until).into_iter();
        let tagged = tags.flat_map(|tag| ROOMS.into_iter().map(move |anywhere| (code(anywhere), tag)));
        let names = std::iter::once((room, zone)).chain(tagged);
        names.flat_map(|(room, name)| self.dry(room, name, after, happened, until)).collect()
    }

    /// Dry checks of a zone that come after something in both orders.
    fn dry(&self, room: Code, zone: Zone, after: Number, happened: Time, until: Until) -> Vec<&'a Entry> {
        let checks = self.between(after, until.facts).filter(|check| {
            let Body::DryChecked { began, zones, .. } = &check.body else { return false };
            let felt = |feel| zones.contains(&(zone, feel));
            let allowed = |p: &Person| {
                matches!(p.role, Role::Housekeeper | Role::Technician | Role::Lead) || p.is_lead_at(check.happened)
            };
            let longest = self.policy(check.number).minutes(Setting::DryCheckMinutes);
            felt(Feel::Dry)
                && !felt(Feel::Damp)
                && self.early(check, *began, until.voids) > happened
                && *began <= check.happened
                && check.happened - *began <= longest
                && self.is_fact_of(check, room, allowed, until)
        });
        checks.collect()
    }

    fn is_fact_of(&self, entry: &Entry, room: Code, allowed: impl Fn(&Person) -> bool, until: Until) -> bool {
        self.is_about(entry, room)
            && self.may(entry, allowed)
            && self.fact_counts(entry)
            && !self.is_voided(entry.number, until.voids)
    }

    /// Somebody wiped the zone in the wet room, and the check does not come after that in both orders.
    fn was_wiped_after(&self, room: Code, zone: Zone, spray: &Entry, check: &Entry, until: Until) -> bool {
        let Body::DryChecked { began, .. } = &check.body else { return false };
        self.between(spray.number, until.facts).any(|wet| {
            let wiped = matches!(&wet.body, Body::EnteredWet { wiped, .. } if wiped.contains(&zone));
            let undone = wet.number > check.number || wet.happened >= *began;
            wiped
                && self.is_about(wet, room)
                && wet.happened >= spray.happened
                && undone
                && !self.is_voided(wet.number, until.voids)
        })
    }

    fn is_vacuumed(&self, room: Code, zone: Zone, dry: &[&Entry], until: Until) -> bool {
        dry.iter().any(|check| {
            self.between(check.number, until.facts).any(|entry| {
                matches!(&entry.body, Body::Vacuumed { zones } if zones.contains(&zone))
                    && entry.happened >= check.happened
                    && self.is_fact_of(
                        entry,
                        room,
                        |p| p.role == Role::Housekeeper || p.is_lead_at(entry.happened),
                        until,
                    )
            })
        })
    }

    /// Recorded cycles or ends of a bag that settle it. Without a spray: at any time.
    fn laundered(&self, room: Code, bag: Code, spray: Option<&Entry>, until: Until) -> Vec<&'a Entry> {
        let after = spray.map_or(Number(0), |spray| spray.number);
        let settled = self.between(after, until.facts).filter(|entry| {
            if self.is_given_up_by(entry, Lost::Bag, bag, room, until) {
                return true;
            }
            let done = match &entry.body {
                Body::Laundered { bag: of, cycle, .. } => {
                    let criterion = self.policy(entry.number).word(Setting::HygieneCriterion);
                    *of == bag && is_hygienic(cycle, criterion) && kills_insects(cycle) && is_washed(cycle)
                }
                Body::BagEnded { bag: of, end: BagEnd::Destroyed { witness } } => {
                    *of == bag && self.is_second(Some(*witness), entry)
                }
                _ => false,
            };
            let allowed = |p: &Person| {
                matches!(p.role, Role::Laundry | Role::Housekeeper | Role::Lead) || p.is_lead_at(entry.happened)
            };
            // Its cycle began after the spray did.
            let took = match &entry.body {
                Body::Laundered { cycle, .. } => cycle.wash_minutes.unwrap_or(0) + cycle.dry_minutes.unwrap_or(0),
                _ => 0,
            };
            let began = entry.happened - TimeDelta::minutes(took.into());
            done && spray.is_none_or(|spray| {
                let logged = match &entry.body {
                    Body::Laundered { cycle, .. } => is_of_this_load(cycle, entry, spray.happened),
                    _ => true,
                };
                logged
                    && self.early(entry, entry.happened, until.voids) > self.late(spray, spray.happened, until.voids)
                    && began >= spray.happened
            }) && self.is_fact_of(entry, room, allowed, until)
        });
        settled.collect()
    }

    /// Made after the closer, after its mattresses were found dry, from laundered bags or named stock.
    fn is_bed_made(&self, room: Code, bed: Code, closer: &Entry, mattresses: &[Vec<&Entry>], until: Until) -> bool {
        self.between(closer.number, until.facts).any(|made| {
            let Body::BedMade { bed: of, linens } = &made.body else { return false };
            let after_dry =
                |checks: &Vec<&Entry>| checks.iter().any(|c| c.number < made.number && c.happened <= made.happened);
            let clean = match linens {
                LinenSource::Stock(name) => !name.trim().is_empty(),
                LinenSource::Bags(bags) => {
                    !bags.is_empty()
                        && bags.iter().all(|bag| {
                            let treated = match &closer.body {
                                Body::Sprayed { .. } => {
                                    self.said_of(closer, room, until).bags.unwrap_or_default().contains(bag)
                                }
                                _ => false,
                            };
                            let laundered = self.laundered(room, *bag, Some(closer).filter(|_| treated), until);
                            let before = |l: &&Entry| {
                                l.number < made.number && self.early(l, l.happened, until.voids) <= made.happened
                            };
                            laundered.iter().any(|l| before(l) && matches!(l.body, Body::Laundered { .. }))
                        })
                }
            };
            let allowed = |p: &Person| p.role == Role::Housekeeper || p.is_lead_at(made.happened);
            *of == bed
                && self.early(made, made.happened, until.voids) > self.late(closer, closer.happened, until.voids)
                && mattresses.iter().all(after_dry)
                && clean
                && self.is_fact_of(made, room, allowed, until)
        })
    }

    /// Sprayed or treated otherwise, after the closer in both orders.
    fn is_treated(&self, room: Code, zone: Zone, closer: &Entry, until: Until) -> bool {
        // What left for nobody knows where, and is seen here, is treated by its tag, too.
        let mut names = std::iter::once(zone).chain(self.tags_looked_for(room, zone, until));
        names.any(|name| self.is_treated_as(room, name, closer, until))
    }

    fn is_treated_as(&self, room: Code, zone: Zone, closer: &Entry, until: Until) -> bool {
        let by_other_method_only = self
            .zones(room, closer.number)
            .iter()
            .any(|(other, plan)| *other == zone && plan.treatment == ZoneTreatment::OtherMethod);
        self.between(closer.number, until.facts).any(|entry| match &entry.body {
            Body::Sprayed { .. } => {
                let zones = self.said_of(entry, room, until).zones.unwrap_or_default();
                zones.contains(&zone)
                    && !by_other_method_only
                    && self.early(entry, entry.happened, until.voids) > self.late(closer, closer.happened, until.voids)
                    && self.touches(entry, room)
                    && !self.is_contested(entry)
                    && !self.is_voided(entry.number, until.voids)
                    && self.may_have_applied(entry)
            }
            Body::TreatedOtherwise { zones, method } => {
                let plan = self.zones(room, entry.number);
                let may_be_sprayed =
                    plan.iter().all(|(other, it)| *other != zone || it.treatment == ZoneTreatment::Spray);
                let saw_it = match &closer.body {
                    Body::Finding { seen, .. } => seen.iter().any(|sighting| sighting.zone == Some(zone)),
                    Body::Inspected { looks, .. } => {
                        looks.iter().any(|look| look.zone == zone && !look.seen.is_empty())
                    }
                    _ => false,
                };
                if *method == OtherMethod::Inspected && (may_be_sprayed || saw_it) {
                    return false;
                }
                let allowed = |p: &Person| {
                    matches!(p.role, Role::Housekeeper | Role::Technician | Role::Lead) || p.is_lead_at(entry.happened)
                };
                zones.contains(&zone)
                    && self.early(entry, entry.happened, until.voids) > self.late(closer, closer.happened, until.voids)
                    && self.is_fact_of(entry, room, allowed, until)
            }
            _ => false,
        })
    }

    /// A complete negative full inspection by a trained inspector that began after the closer happened.
    pub(super) fn clean_inspection(&self, closer: &Entry, room: Code, until: Until) -> bool {
        self.between(closer.number, until.facts).any(|entry| {
            let Body::Inspected { depth: Depth::Full, began, looks, .. } = &entry.body else { return false };
            let zones = self.zones(room, entry.number);
            // What left under a tag is looked at where it is.
            let looked_at = |zone: Zone| looks.iter().any(|look| look.zone == zone) || self.is_elsewhere(room, zone);
            let complete = zones.iter().all(|(zone, _)| looked_at(*zone));
            complete
                && looks.iter().all(|look| look.seen.is_empty())
                && self.early(entry, *began, until.voids) > self.late(closer, closer.happened, until.voids)
                && *began <= entry.happened
                && self.may(entry, |p| p.trained_to_inspect)
                && self.signature_counts(entry, room)
                && !self.is_voided(entry.number, until.voids)
        })
    }

    /// The finding's specimen was identified as something else, by name.
    fn is_something_else(&self, closer: &Entry, room: Code, until: Until) -> bool {
        self.between(closer.number, until.facts).any(|entry| {
            let Body::Identified { finding, specimen: Specimen::SomethingElse, identified_by, .. } = &entry.body else {
                return false;
            };
            *finding == Some(closer.number)
                && !identified_by.trim().is_empty()
                && self.may(entry, |p| p.trained_to_inspect)
                && self.signature_counts(entry, room)
                && !self.is_voided(entry.number, until.voids)
        })
    }
}

/// What two people read off.
#[derive(PartialEq)]
struct Lowered {
    zones: Option<Vec<Zone>>,
    finished: Option<Time>,
    minutes: Option<u32>,
}

#[derive(Default)]
struct Said {
    zones: Option<Vec<Zone>>,
    bags: Option<Vec<Code>>,
    ready: Option<Time>,
}

/// Every sensor of a logger that was in this machine, and whose uncertainty is known, for at least the minutes at the tenths
/// of a degree: unbroken, or in all. None: no logger speaks of this machine, so that what was typed of it counts.
fn measured(cycle: &Cycle, machine: LoggerIn, tenths: i32, minutes: u32, in_all: bool) -> Option<bool> {
    let all = [&cycle.trace, &cycle.other_trace];
    if all.iter().any(|trace| trace.as_ref().is_some_and(|it| it.machine == LoggerIn::Unknown)) {
        return Some(false);
    }
    let of_it: Vec<_> = all.into_iter().flatten().filter(|trace| trace.machine == machine).collect();
    let trace = match of_it.as_slice() {
        [] => return None,
        [trace] => trace,
        // Nobody knows which of the two was in it.
        _ => return Some(false),
    };
    let long = |sensor: &SensorSeen| {
        sensor.held.iter().any(|held| {
            let seconds = if in_all { held.total_seconds } else { held.longest_seconds };
            held.decicelsius == tenths && seconds >= minutes * 60
        })
    };
    Some(trace.uncertainty_decikelvin.is_some() && !trace.sensors.is_empty() && trace.sensors.iter().all(long))
}

/// No trace of it ended before the bag was filled, is longer than the time since, or lies ahead; one that began before counts
/// only where the clock was checked.
fn is_of_this_load(cycle: &Cycle, entry: &Entry, filled: Time) -> bool {
    [&cycle.trace, &cycle.other_trace].into_iter().flatten().all(|trace| {
        let length = TimeDelta::seconds(trace.seconds.into());
        match trace.began {
            None => filled + length <= entry.happened,
            Some(began) => {
                let fits = began >= filled && began + length <= entry.noted + TimeDelta::minutes(2);
                let may_be_a_clock = began + length > filled && began <= entry.noted + TimeDelta::minutes(2);
                fits || (cycle.clock_checked && may_be_a_clock)
            }
        }
    })
}

fn is_washed(cycle: &Cycle) -> bool {
    let logged = |trace: &Option<Box<Measured>>| trace.as_ref().is_some_and(|it| it.machine == LoggerIn::Washer);
    logged(&cycle.trace) || logged(&cycle.other_trace) || cycle.wash_minutes.is_some()
}

/// At least the temperature, for at least the minutes.
fn washed(cycle: &Cycle, celsius: i32, minutes: u32) -> bool {
    if let Some(held) = measured(cycle, LoggerIn::Washer, celsius * 10, minutes, false) {
        return held;
    }
    cycle.wash_decicelsius.is_some_and(|held| held >= celsius * 10)
        && cycle.wash_minutes.is_some_and(|held| held >= minutes)
}

fn is_hygienic(cycle: &Cycle, criterion: &str) -> bool {
    match criterion {
        // 71 °C for 25 minutes with detergent. CDC, Guidelines for Environmental Infection Control in Health-Care
        // Facilities, MMWR 52(RR-10), 2003, read in a summary.
        "us-cdc" => washed(cycle, 71, 25) && cycle.detergent == Known::Yes,
        // 160 °F for 25 minutes. 77 Illinois Administrative Code 250.1740, read in a quotation.
        // A logger's minutes count in all there, and 160 °F are 71.1 °C.
        "us-il" => measured(cycle, LoggerIn::Washer, 711, 25, true).unwrap_or_else(|| washed(cycle, 71, 25)),
        // 65 °C for 10 minutes or 71 °C for 3, and mixing time. UK Health and Safety Executive, laundry treatments.
        "uk-65" => washed(cycle, 65, 10),
        "uk-71" => washed(cycle, 71, 3),
        // 90 °C for 10 minutes, read in a summary of the German institute's list.
        "de-rki" => washed(cycle, 90, 10),
        _ => false,
    }
}

/// Washed at 60 °C in a 30-minute cycle, or a small load dried hot (over 40 °C) for 30 minutes.
/// Naylor & Boase 2010, Journal of Economic Entomology 103:136–139; minutes and load read in a summary.
fn kills_insects(cycle: &Cycle) -> bool {
    let typed = cycle.dry_decicelsius.is_some_and(|held| held > 400) && cycle.dry_minutes.is_some_and(|m| m >= 30);
    let dried_hot = measured(cycle, LoggerIn::Dryer, 401, 30, false).unwrap_or(typed);
    washed(cycle, 60, 30) || (dried_hot && cycle.small_load == Known::Yes)
}

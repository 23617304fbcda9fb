//! When a bed is open: only if nothing here gives a blocker. Each blocker says one reason, and what would settle it.

use chrono::TimeDelta;

use super::room::{BedUse, Cause, Closer, Room};
use super::state::State;
use super::{Board, CLOCK_TOLERANCE};
use crate::domain::clock::dated;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::need::Need;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::surface::Surface;

/// One reason why a bed is not open.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Blocker {
    pub rule: Rule,
    pub text: String,
    /// The entries that it rests on.
    pub entries: Vec<Number>,
    /// The move that would settle it. None: it settles by other means.
    pub verb: Option<&'static str>,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Occupancy {
    Empty,
    Occupied,
    /// Never noted, or not confirmed for longer than a shift.
    Unknown,
}

impl Occupancy {
    pub fn word(self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::Occupied => "occupied",
            Self::Unknown => "unknown",
        }
    }
}

impl Board {
    pub fn occupancy(&self, bed: Code, now: Time) -> Occupancy {
        let Some(used) = self.bed_use(bed) else { return Occupancy::Unknown };
        match used.empty_since() {
            Some((_, at)) if now - at <= self.policy().minutes(Setting::ShiftMinutes) => Occupancy::Empty,
            Some(_) => Occupancy::Unknown,
            None if used.is_occupied() => Occupancy::Occupied,
            None => Occupancy::Unknown,
        }
    }

    pub fn bed_use(&self, bed: Code) -> Option<&BedUse> {
        let plan = self.facility().room_of_bed(bed)?;
        self.room(plan.code)?.beds.get(&bed)
    }

    /// Somebody lies in it, or may: nobody said in which bed of the room.
    pub fn may_be_occupied(&self, bed: Code) -> bool {
        self.bed_use(bed).is_some_and(|used| used.is_occupied() || used.is_doubtful())
    }

    /// Every reason why the bed is closed, gravest first. Empty: open, as far as bed bugs are concerned.
    pub fn admission(&self, bed: Code, now: Time) -> Vec<Blocker> {
        let Some(plan) = self.facility().room_of_bed(bed) else {
            return vec![Blocker {
                rule: Rule::Place,
                text: format!("there is no bed {bed}"),
                entries: vec![],
                verb: None,
            }];
        };
        let mut blockers = self.room_blockers(plan.code);
        blockers.extend(self.parts_blocker(bed, plan.code));
        blockers.sort_by_key(|blocker| blocker.rule);
        blockers.splice(..0, self.clock_blocker(now));
        if let Some(blocker) = self.occupancy_blocker(bed, now) {
            blockers.push(blocker);
        }
        blockers
    }

    /// A part of the bed that may stand elsewhere: nobody lies on a bed without its mattress.
    fn parts_blocker(&self, bed: Code, room: Code) -> Option<Blocker> {
        let (away, is_looked_for) = match self.bed_is_elsewhere(bed, room) {
            true => (format!("bed {bed}"), self.surfaces().is_bed_looked_for(bed)),
            false => {
                let part = self.part_elsewhere(bed, room)?;
                (part.zone().to_string(), self.surfaces().is_looked_for(part))
            }
        };
        let text = format!("not known to stand here: {away}");
        let verb = if is_looked_for { "thing-seen" } else { "thing-arrived" };
        Some(Blocker { rule: Rule::BedWhole, text, entries: vec![], verb: Some(verb) })
    }

    /// Whether the bed itself may stand elsewhere than in this room.
    pub(super) fn bed_is_elsewhere(&self, bed: Code, room: Code) -> bool {
        if self.surfaces().never_moved(bed) {
            return false;
        }
        let parts = self.parts_of_bed(bed);
        let is_gone = |part: &Surface| !self.surfaces().may_be_in(*part, room);
        // What left for nobody knows where counts as in its room for what is wet there; a patient cannot lie on it.
        let is_unseen = self.surfaces().is_bed_looked_for(bed) || self.surfaces().is_bed_lost(bed);
        is_unseen || self.surfaces().bed_rooms(bed) != [room] || (!parts.is_empty() && parts.iter().all(is_gone))
    }

    /// The first part of the bed that may stand elsewhere.
    pub(super) fn part_elsewhere(&self, bed: Code, room: Code) -> Option<Surface> {
        if self.surfaces().never_moved(bed) {
            return None;
        }
        let is_unseen = |part: &Surface| {
            let is_nowhere = self.surfaces().is_looked_for(*part) || self.surfaces().is_lost(*part);
            is_nowhere || self.surfaces().rooms_of(*part) != [room]
        };
        self.surfaces().known_of(bed).find(is_unseen)
    }

    fn occupancy_blocker(&self, bed: Code, now: Time) -> Option<Blocker> {
        let occupancy = self.occupancy(bed, now);
        let kept = self.policy().is_on(Setting::OccupancyKept);
        let used = self.bed_use(bed);
        let is_doubtful = used.is_some_and(BedUse::is_doubtful);
        let text = match occupancy {
            Occupancy::Empty => return None,
            Occupancy::Unknown if !kept && !is_doubtful => return None,
            Occupancy::Occupied => "a patient is in the bed",
            Occupancy::Unknown if is_doubtful => "somebody may lie in it: nobody said in which bed",
            Occupancy::Unknown => "not known to be empty",
        };
        let newest = used.and_then(|used| used.doubted.filter(|_| is_doubtful).or(used.occupied()));
        let entries = newest.map(|(number, _)| number).into_iter().collect();
        Some(Blocker { rule: Rule::Occupancy, text: text.to_owned(), entries, verb: Some("empty") })
    }

    /// What closes every bed of the room.
    pub fn room_blockers(&self, code: Code) -> Vec<Blocker> {
        let mut blockers = self.hospital_blockers();
        if let Some(room) = self.room(code) {
            blockers.extend(self.own_blockers(room));
        }
        for space in self.facility().spaces_serving(code) {
            let Some(room) = self.room(space.code) else { continue };
            let state = room.state();
            if self.closes_what_it_serves(space.code) {
                let entries = room.unsettled().map(|c| c.number).collect();
                let why = match room.evidence().into_iter().find(|e| e.met_by.is_none() && e.need.is_apart()) {
                    Some(evidence) if matches!(state, State::Clear | State::Monitoring) => evidence.need.to_string(),
                    _ => format!("is {state}"),
                };
                let name = if space.name.is_empty() { space.kind.as_str() } else { &space.name };
                let text = format!("shared space {} ({name}): {why}", space.code);
                blockers.push(Blocker { rule: Rule::SharedSpace, text, entries, verb: None });
            }
        }
        blockers.extend(self.clocks_blockers(code));
        blockers.sort_by_key(|blocker| blocker.rule);
        blockers
    }

    /// Whether this space, as things are in it, closes the beds that it serves.
    pub(super) fn closes_what_it_serves(&self, space: Code) -> bool {
        let open = |room: &Room| !room.has_unsettled() && matches!(room.state(), State::Clear | State::Monitoring);
        self.room(space).is_some_and(|room| !open(room))
    }

    /// An entry from a time that is still to come: one of two clocks is wrong, and no label's time can be told by it.
    pub fn is_ahead(&self, now: Time) -> Option<Time> {
        let latest = self.last()?.1;
        (latest > now.checked_add_signed(CLOCK_TOLERANCE).unwrap_or(now)).then_some(latest)
    }

    fn clock_blocker(&self, now: Time) -> Option<Blocker> {
        let latest = self.is_ahead(now)?;
        let text = format!(
            "noted at {}, which is still to come here: a clock is wrong",
            dated(latest, now, self.facility().time_zone)
        );
        Some(Blocker { rule: Rule::ClockBack, text, entries: vec![], verb: Some("clock") })
    }

    fn hospital_blockers(&self) -> Vec<Blocker> {
        let distrust = self.distrust().map(|why| Blocker {
            rule: Rule::LedgerWhole,
            text: why.to_owned(),
            entries: vec![],
            verb: None,
        });
        let damage = self.everywhere().map(|closed| {
            let lines = match closed.through == closed.number {
                true => format!("entry {}", closed.number),
                false => format!("entries {} to {}", closed.number, closed.through),
            };
            let text = format!("{lines}: {}; what it said may concern any room", closed.text);
            Blocker { rule: Rule::Damage, text, entries: vec![closed.number], verb: Some("attest") }
        });
        distrust.into_iter().chain(damage).collect()
    }

    /// One blocker a rule, naming everything that is missing under it.
    fn own_blockers(&self, room: &Room) -> Vec<Blocker> {
        let mut groups: Vec<(Rule, Vec<Need>, Vec<Number>)> = vec![];
        for evidence in room.evidence().into_iter().filter(|evidence| evidence.met_by.is_none()) {
            let cause = room.closer_of(&evidence);
            let rule = cause.map_or(evidence.need.rule(), |closer| rule_of(closer, evidence.need));
            match groups.iter_mut().find(|(r, _, _)| *r == rule) {
                Some((_, needs, entries)) => {
                    if !needs.contains(&evidence.need) {
                        needs.push(evidence.need);
                    }
                    if !entries.contains(&evidence.cause) {
                        entries.push(evidence.cause);
                    }
                }
                None => groups.push((rule, vec![evidence.need], vec![evidence.cause])),
            }
        }
        // Whatever may be wet here closes, whoever asks for it.
        if room.dryness().is_wet() && !groups.iter().any(|(rule, ..)| *rule == Rule::Wet) {
            let wet = || room.dryness().wet();
            let needs = wet().map(|it| Need::Dry(it.zone)).collect();
            let entries = wet().filter_map(|it| it.wet.as_ref()).flat_map(|wet| wet.by.iter().copied()).collect();
            groups.push((Rule::Wet, needs, entries));
        }
        // A suspicion whose whole room was treated instead waits for the return alone.
        for closer in room.unsettled().filter(|c| matches!(c.cause, Cause::Suspicion { .. })) {
            if groups.iter().any(|(_, _, entries)| entries.contains(&closer.number)) {
                continue;
            }
            match groups.iter_mut().find(|(rule, ..)| *rule == Rule::ReturnSigned) {
                Some((_, _, entries)) => entries.push(closer.number),
                None => groups.push((Rule::ReturnSigned, vec![Need::Returned], vec![closer.number])),
            }
        }
        let blocker = |(rule, needs, entries): (Rule, Vec<Need>, Vec<Number>)| {
            let text = self.blocker_text(room, rule, &needs, &entries);
            Blocker { rule, text, entries, verb: needs.first().map(|need| need.verb()) }
        };
        groups.into_iter().map(blocker).collect()
    }

    fn blocker_text(&self, room: &Room, rule: Rule, needs: &[Need], entries: &[Number]) -> String {
        let listed = || {
            let names: Vec<String> = needs.iter().map(|need| thing(*need)).collect();
            names.join(", ")
        };
        let first = room.closers().iter().find(|c| entries.contains(&c.number));
        let since = first.map(|c| self.clock(c.happened)).unwrap_or_default();
        match rule {
            Rule::Wet => format!("not found dry: {}", listed()),
            Rule::Coverage => {
                let by_clock = |number: &&Number| {
                    self.problems().iter().any(|it| it.number == **number && it.rule == Rule::ClockBack)
                };
                let why = entries
                    .iter()
                    .find(by_clock)
                    .map(|number| format!(" (what entry {number} sprayed does not count: its clock was in question)"));
                format!("not treated yet: {}{}", listed(), why.unwrap_or_default())
            }
            Rule::Bags => format!("not laundered yet: {}", listed()),
            Rule::BedsMade => format!("not made since: {}", listed()),
            Rule::Vacuum => format!("not vacuumed since it dried: {}", listed()),
            Rule::Unstated => listed(),
            Rule::ReturnSigned if first.is_some_and(|c| c.cause.is_treatment()) => {
                format!("treated {since}; return to service not signed")
            }
            Rule::ReturnSigned => "return to service not signed".to_owned(),
            Rule::Confirmed => format!("bed bugs confirmed {since}"),
            Rule::Suspect => format!("finding of {since}: no complete negative inspection since"),
            Rule::Prepared => self.preparation_words(room, entries),
            Rule::OutOfService => {
                let words = first.map(|c| c.words.clone()).unwrap_or_default();
                // The reason first: on a narrow screen the rest is cut.
                match words.is_empty() {
                    true => format!("out of service since {since}"),
                    false => format!("out of service: {words} (since {since})"),
                }
            }
            Rule::Receiving => format!("not inspected since a patient or a thing came from a case room, {since}"),
            Rule::WardWalk => "the lead has not walked the ward since its setup, a change or a gap".to_owned(),
            Rule::SecondLook => {
                let voids = needs.iter().filter_map(|need| match need {
                    Need::Looked(void) => Some(void.to_string()),
                    _ => None,
                });
                format!("second look owed after void {}", voids.collect::<Vec<_>>().join(", "))
            }
            Rule::Damage => format!("{}: nobody has said what it was", listed()),
            _ => listed(),
        }
    }

    /// Patients are moved out first, and the room is prepared after that: each with its own time.
    fn preparation_words(&self, room: &Room, entries: &[Number]) -> String {
        let first = |cause: Cause| {
            let of = room.closers().iter().filter(|c| entries.contains(&c.number) && c.cause == cause);
            of.map(|c| c.happened).min().map(|at| self.clock(at))
        };
        match (first(Cause::PatientsOut), first(Cause::Prepared)) {
            (Some(out), Some(begun)) => format!("patients out since {out}, preparation under way since {begun}"),
            (Some(out), None) => format!("patients out since {out}, for treatment"),
            (None, begun) => format!("preparation under way since {}", begun.unwrap_or_default()),
        }
    }

    /// Who may be inside a room, with what is to become of a patient who lies in it.
    pub fn who_may_enter(&self, code: Code, closed: bool, now: Time) -> String {
        let state = self.state(code);
        let may = state.who_may_enter_of(closed);
        let plan = self.facility().room(code);
        let lies = |bed: &crate::domain::facility::Bed| self.occupancy(bed.code, now) == Occupancy::Occupied;
        let is_occupied = plan.is_some_and(|plan| plan.beds.iter().any(lies));
        if state != State::Confirmed || !is_occupied {
            return may.to_owned();
        }
        match self.room(code).and_then(|room| room.patient_stays_until(now)) {
            Some(at) => format!("{may}; the patient stays until {}, then it is decided anew", self.clock(at)),
            None => format!("{may}; the patient is to be moved out"),
        }
    }

    /// A time as people read it off the hospital's clock and calendar: with its year if that is not the newest entry's.
    pub(crate) fn clock(&self, time: Time) -> String {
        let by = self.last().map_or(time, |(_, noted)| noted);
        dated(time, by, self.facility().time_zone)
    }

    /// When it was last noted whether somebody lies in this bed. None: never.
    pub fn occupancy_noted(&self, bed: Code) -> Option<Time> {
        let used = self.bed_use(bed)?;
        used.occupied().map(|(_, at)| at).max(used.empty_since().map(|(_, at)| at))
    }

    /// How long an empty bed stays known as empty.
    pub fn shift(&self) -> TimeDelta {
        self.policy().minutes(Setting::ShiftMinutes)
    }
}

/// The same need blocks under another rule, depending on what asks for it.
fn rule_of(closer: &Closer, need: Need) -> Rule {
    match (need, closer.cause) {
        (Need::Returned, Cause::Confirmed) => Rule::Confirmed,
        (Need::Returned, cause) if cause.is_preparation() => Rule::Prepared,
        (Need::Inspected, Cause::Received) => Rule::Receiving,
        _ => need.rule(),
    }
}

/// The thing that a need is about, without the complaint.
fn thing(need: Need) -> String {
    match need {
        Need::Covered(zone) | Need::Dry(zone) | Need::Vacuumed(zone) => zone.to_string(),
        Need::Bag(tag) => format!("bag {tag}"),
        Need::Made(bed) => format!("bed {bed}"),
        other => other.to_string(),
    }
}

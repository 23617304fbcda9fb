//! The earliest time at which a closed bed could open, if all goes well: the label's own minimum or the time at which the
//! room is probably dry, whichever is later, and the minutes that the policy gives for each step still to come. A plan for the charge nurse; it permits nothing.

use chrono::TimeDelta;

use super::Board;
use super::admission::Occupancy;
use super::drying::DryAbout;
use super::room::Promise;
use super::state::State;
use super::tasks::unmet;
use crate::domain::code::Code;
use crate::domain::entry::Time;
use crate::domain::need::Need;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;

/// When a bed may be ready at the earliest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Earliest {
    /// It is open now.
    Now,
    /// Not before this time, if every step is done without a pause.
    NotBefore(Time),
    /// Nobody can say: what it waits for has no time of its own.
    Unknown { waits_for: String },
}

impl Board {
    /// Beds that are promised, soonest wanted first.
    pub fn promises(&self) -> Vec<(Code, Promise)> {
        let of_room = |(_, room): (Code, &super::Room)| {
            let promised = room.beds.iter().filter_map(|(bed, used)| Some((*bed, used.promised?)));
            promised.collect::<Vec<_>>()
        };
        let mut promises: Vec<(Code, Promise)> = self.rooms().flat_map(of_room).collect();
        promises.sort_by_key(|(bed, promise)| (promise.wanted, *bed));
        promises
    }

    /// Label minimum and the policy's minutes, for the bed's room and the shared spaces that serve it.
    pub fn earliest(&self, bed: Code, now: Time) -> Earliest {
        let blockers = self.admission(bed, now);
        if blockers.is_empty() {
            return Earliest::Now;
        }
        let unknown = |waits_for: &str| Earliest::Unknown { waits_for: waits_for.to_owned() };
        let Some(plan) = self.facility().room_of_bed(bed) else { return unknown("a bed that is on the board") };
        if self.distrust().is_some() || self.everywhere().next().is_some() {
            return unknown("the ledger to be put right");
        }
        if self.is_ahead(now).is_some() {
            return unknown("the clocks to agree");
        }
        if self.occupancy(bed, now) == Occupancy::Occupied {
            return unknown("the patient in it");
        }
        if self.may_be_occupied(bed) {
            return unknown("a note of who lies where");
        }
        let rooms: Vec<Code> =
            std::iter::once(plan.code).chain(self.facility().spaces_serving(plan.code).map(|it| it.code)).collect();
        // No work has a time that begins with finding it.
        if blockers.iter().any(|it| it.rule == Rule::BedWhole) {
            return unknown("the bed and its parts to be here");
        }
        let mut latest = now;
        for code in rooms {
            match self.room_earliest(code, now) {
                Ok((at, _)) => latest = latest.max(at),
                Err(waits_for) => return Earliest::Unknown { waits_for },
            }
        }
        Earliest::NotBefore(latest)
    }

    /// When what is left to do for this bed has to begin so that it is open at a time that can still be kept. None: nothing is
    /// left, or nobody can say.
    pub fn begin_by(&self, bed: Code, wanted: Time, now: Time) -> Option<Time> {
        match self.earliest(bed, now) {
            Earliest::NotBefore(at) if at <= wanted => {}
            _ => return None,
        }
        let plan = self.facility().room_of_bed(bed)?;
        let rooms = std::iter::once(plan.code).chain(self.facility().spaces_serving(plan.code).map(|it| it.code));
        let work = rooms.filter_map(|code| self.room_earliest(code, now).ok()).map(|(_, work)| work).max()?;
        wanted.checked_sub_signed(work).filter(|_| work > TimeDelta::zero())
    }

    /// When everything that this room asks for could be done, and how much work that is. The error says what has no time.
    fn room_earliest(&self, code: Code, now: Time) -> Result<(Time, TimeDelta), String> {
        let Some(room) = self.room(code) else { return Ok((now, TimeDelta::zero())) };
        let needs = unmet(room);
        let minutes = |setting: Setting| self.policy().minutes(setting);
        let has = |wanted: fn(&Need) -> bool| needs.iter().any(|(_, need)| wanted(need));
        let (mut at, mut work) = (now, TimeDelta::zero());
        let about = self.dry_about(code);
        if let Some(DryAbout::Never(never)) = about {
            return Err(format!("its drying: {never}"));
        }
        // An estimate may make a plan later, never sooner.
        let likely = |not_before: Time| about.and_then(DryAbout::likely).unwrap_or(not_before);
        if room.state() == State::Confirmed {
            return Err("its treatment".to_owned());
        }
        for (closer, need) in &needs {
            match need {
                Need::Dry(_) => match room.ready(closer) {
                    Some(ready) => at = at.max(ready.not_before).max(likely(ready.not_before)),
                    None => return Err("what the spray left unstated".to_owned()),
                },
                need if need.is_unstated() => return Err("what the spray left unstated".to_owned()),
                Need::Bag(tag) => return Err(format!("bag {tag}")),
                Need::InService(_) => return Err(format!("out of service: {}", closer.words)),
                Need::Attested(number) => return Err(format!("entry {number} to be attested")),
                Need::Walked => return Err("a walk of its ward".to_owned()),
                Need::Looked(_) => return Err("a second look".to_owned()),
                _ => {}
            }
        }
        if has(|need| matches!(need, Need::Dry(_))) {
            work += minutes(Setting::DryCheckMinutes);
        }
        if has(|need| matches!(need, Need::Covered(_))) && room.state() != State::Suspect {
            work += minutes(Setting::TreatMinutes);
        }
        if has(|need| matches!(need, Need::Inspected)) || self.look_before_return(code).is_err() {
            work += minutes(Setting::InspectMinutes);
        }
        if has(|need| matches!(need, Need::Vacuumed(_) | Need::Made(_))) {
            work += minutes(Setting::MakeReadyMinutes);
        }
        at.checked_add_signed(work).map(|at| (at, work)).ok_or_else(|| "a time that nobody can reckon".to_owned())
    }
}

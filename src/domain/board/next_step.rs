//! The next step of a room: the one thing to do now, in the order in which the work is done.

use super::Board;
use super::admission::Occupancy;
use super::exception::ExceptionKind;
use super::room::{Cause, Closer, Room};
use super::sighting::Sighting;
use super::state::State;
use super::tasks::{TaskKind, unmet};
use super::verdict::clear_lacks;
use crate::domain::clock::clock;
use crate::domain::code::Code;
use crate::domain::entry::{Lost, Number, Time};
use crate::domain::need::{Evidence, Need};
use crate::domain::people::Role;
use crate::domain::policy::Setting;

/// The next thing to do in a room.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NextStep {
    pub verb: &'static str,
    pub text: String,
    /// Whose work it usually is.
    pub role: Role,
    /// Who may not do it whatever their role.
    pub not_for: Vec<Code>,
}

impl Board {
    /// What to do next in this room. None: nothing but the daily look.
    pub fn next_step(&self, code: Code, now: Time) -> Option<NextStep> {
        let room = self.room(code)?;
        let plan = self.facility().room(code)?;
        let is_waited_for = |(closer, need): &(&Closer, Need)| waits_until(room, closer, *need, now).is_some();
        let (ahead, needs): (Vec<_>, Vec<_>) = unmet(room).into_iter().partition(is_waited_for);
        // Noted as gone since, and before the hour at which that clock had them come.
        let left = plan.beds.iter().filter_map(|bed| room.beds.get(&bed.code)?.left_before_they_came(now));
        let left: Vec<(Time, Number)> = left.collect();
        let wait = || {
            let hours = ahead.iter().filter_map(|(closer, need)| waits_until(room, closer, *need, now));
            let first = hours.chain(left.clone()).min();
            let (at, number) = first.unwrap_or((now, Number::default()));
            format!(
                "wait until {}, the time that a wrong clock gave entry {number}; sooner only if the lead and a second person take \
                 that time out",
                clock(at, now, self.facility().time_zone)
            )
        };
        let has = |wanted: fn(&Need) -> bool| needs.iter().any(|(_, need)| wanted(need));
        let count = |wanted: fn(&Need) -> bool| {
            let mut things: Vec<Need> = needs.iter().map(|(_, need)| *need).filter(wanted).collect();
            things.sort();
            things.dedup();
            things.len()
        };
        let step =
            |verb: &'static str, text: String| Some(NextStep { verb, text, role: usual_role(verb), not_for: vec![] });
        let for_others = |step: NextStep, not_for: Vec<Code>| {
            let role = self.role_that_may(step.verb, step.role, &not_for, now);
            NextStep { role, not_for, ..step }
        };
        let lies = self.beds_to_leave(plan, now);
        let occupied = !lies.is_empty();
        let of_bed = if plan.beds.len() > 1 { format!(": bed {}", listed(&lies)) } else { String::new() };
        let prepared = room.unsettled().any(|c| c.cause == Cause::Prepared);
        if occupied && matches!(room.state(), State::TreatedWet | State::TreatedDry) {
            return step("move-patient", format!("move the patient out now, washed and changed{of_bed}"));
        }
        if self.everywhere().next().is_some() || has(|n| matches!(n, Need::Attested(_))) {
            let here = needs.iter().find_map(|(_, need)| if let Need::Attested(it) = need { Some(*it) } else { None });
            let line = here.or_else(|| self.everywhere().next().map(|closed| closed.number));
            let by_two = line.filter(|line| self.is_attested_by_two(*line));
            return match by_two.map(|line| self.second_attest(line)) {
                Some(None) => step("second-attest", "a second person says what the damaged entry was".to_owned()),
                Some(Some(by)) => step("attest", "the lead signs what the damaged entry was".to_owned())
                    .map(|step| for_others(step, vec![by])),
                None => step("attest", "say what the damaged entry was".to_owned()),
            };
        }
        if !self.clocks_blockers(code).is_empty() {
            return step("clock", "say what time it is by a clock on the wall, and which of two was wrong".to_owned());
        }
        if has(|n| matches!(n, Need::Walked)) && room.dryness().waits_for_walk() {
            return step("ward-walk", self.walk_words(room, plan.ward));
        }
        // Nobody looks in a room that other sprays keep wet: those come first.
        let wet = needs.iter().any(|(closer, need)| {
            let is_here = match need {
                Need::Dry(zone) => room.dryness().of(*zone).is_some_and(|it| !it.is_uncertain),
                _ => true,
            };
            closer.voided.is_none() && need.is_of_wetness() && is_here
        });
        // What is confirmed is treated in any case; the look can follow.
        let to_treat = room.state() == State::Confirmed
            && room.unsettled().any(|c| c.cause == Cause::Confirmed && c.voided.is_none());
        if has(|n| matches!(n, Need::Looked(_))) && !wet && !to_treat {
            let looks = needs.iter().filter(|(_, need)| matches!(need, Need::Looked(_)));
            // Whoever may take one of several looks has something to do here.
            let not_for = looks.map(|(closer, _)| closer.own_hands()).reduce(|mut all, one| {
                all.retain(|code| one.contains(code));
                all
            });
            let text = match room.state() {
                State::TreatedWet => "a second person looks after the void, gloved: a voided spray may still be wet",
                _ => "a second person looks in the room after the void",
            };
            let from = needs.iter().filter(|(_, need)| matches!(need, Need::Looked(_)));
            let from = from.filter_map(|(closer, _)| self.look_from(code, closer)).min().filter(|at| *at > now);
            let from = from.map(|at| format!(", not before {}", clock(at, now, self.facility().time_zone)));
            let look = step("look", format!("{text}{}", from.unwrap_or_default()));
            return look.map(|step| for_others(step, not_for.unwrap_or_default()));
        }
        if has(|n| matches!(n, Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed))
            && room.state() != State::Confirmed
        {
            return step("complete-spray", "supply what the spray left unstated".to_owned());
        }
        match room.state() {
            // What was given up is nowhere to be seen: the look after the void that takes it back has its hour by a wrong clock.
            State::TreatedWet
                if room.dryness().is_given_up() && ahead.iter().any(|(_, need)| matches!(need, Need::Looked(_))) =>
            {
                return step("wrong-time", wait());
            }
            State::TreatedWet if room.dryness().is_wet() && !room.dryness().is_anything_felt_now() => {
                let wet: Vec<String> = room.dryness().wet().map(|it| it.zone.to_string()).collect();
                return step("thing-seen", self.sightings_words(code, &wet.join(", ")));
            }
            State::TreatedWet if let Some((other, spray)) = self.spray_waited_for(code) => {
                let text = format!(
                    "supply what the spray in room {other} (entry {spray}) left unstated: what is wet here waits for it"
                );
                return step("complete-spray", text);
            }
            State::TreatedWet => {
                let zones = room.dryness().to_feel().len();
                return step(
                    "dry-check",
                    format!(
                        "check by touch, gloved: {} not found dry{}{}{}{}",
                        counted(zones, "zone"),
                        self.not_before(room, now),
                        self.half_said(code),
                        self.may_be_lost(code, &needs),
                        self.given_up(&needs)
                    ),
                );
            }
            State::Confirmed if occupied && room.patient_stays_until(now).is_some() => {
                let at = room.patient_stays_until(now).map(|at| self.clock(at)).unwrap_or_default();
                let text = format!("the patient stays: decide anew at {at}");
                return step("patient-stays", text).map(|step| NextStep { role: Role::ChargeNurse, ..step });
            }
            State::Confirmed if occupied => {
                return step("move-patient", format!("move the patient out, washed and changed{of_bed}"));
            }
            State::Confirmed if !prepared => {
                return step("prepare", "prepare the room: linens and clutter sealed in bags inside it".to_owned());
            }
            State::Confirmed => return step("spray", "treat the room".to_owned()),
            _ => {}
        }
        // Nothing is wet, and something asks for its touch still.
        if has(|n| matches!(n, Need::Dry(_))) {
            let zones = count(|n| matches!(n, Need::Dry(_)));
            return step("dry-check", format!("check by touch, gloved: {} not found dry", counted(zones, "zone")));
        }
        if has(|n| matches!(n, Need::Covered(_)))
            && !room.unsettled().all(|c| matches!(c.cause, Cause::Suspicion { .. }))
        {
            let zones = count(|n| matches!(n, Need::Covered(_)));
            let is_unsure = |need: &Need| match need {
                Need::Covered(zone) => room.dryness().of(*zone).is_some_and(|it| it.is_uncertain),
                _ => false,
            };
            let elsewhere = match needs.iter().any(|(_, need)| is_unsure(need)) {
                true => "; of what is not here, say where it was seen",
                false => "",
            };
            return step("treat-zone", format!("{} still to be treated{elsewhere}", counted(zones, "zone")));
        }
        if has(|n| matches!(n, Need::Vacuumed(_))) {
            return step("vacuum", "vacuum the soft seats that were sprayed".to_owned());
        }
        if has(|n| matches!(n, Need::Bag(_))) {
            let bags = count(|n| matches!(n, Need::Bag(_)));
            // A bag that is out for longer than a shift may be lost: it is the lead's to look for.
            let tasks = self.tasks_in(code, now);
            let late = tasks.iter().any(|task| task.kind == TaskKind::Bag && task.role == Role::Lead);
            let sent = step("launder", format!("{} not laundered{}", counted(bags, "bag"), self.given_up(&needs)));
            return sent.map(|step| if late { NextStep { role: Role::Lead, ..step } } else { step });
        }
        if has(|n| matches!(n, Need::Made(_))) {
            let mut made: Vec<Code> = needs
                .iter()
                .filter_map(|(_, need)| if let Need::Made(bed) = need { Some(*bed) } else { None })
                .collect();
            made.sort();
            made.dedup();
            // Another one may have to wait.
            let which = match ahead.iter().any(|(_, need)| matches!(need, Need::Made(_))) {
                true => format!(": {}", listed(&made)),
                false => String::new(),
            };
            return step("make-bed", format!("{} to make{which}", counted(made.len(), "bed")));
        }
        if room.waits_for_a_name().is_some() {
            return step("identify", "have the specimen identified, or a trained person inspects".to_owned());
        }
        if has(|n| matches!(n, Need::Inspected)) {
            return step("inspect", "inspect every zone of the room".to_owned());
        }
        if has(|n| matches!(n, Need::Returned)) {
            if !ahead.is_empty() {
                return step("wrong-time", wait());
            }
            if self.look_before_return(code).is_err() {
                return step("inspect", "a full inspection, nothing seen, before the return to service".to_owned());
            }
            if self.lacks_second_check(code) {
                let check = step("second-check", "a second person checks the room, then the lead signs".to_owned());
                return check.map(|step| for_others(step, room.hands_behind_return()));
            }
            let sign = step("return", "the lead signs the return to service".to_owned());
            let second = self.second_person_of(code);
            return sign.map(|step| for_others(step, second.into_iter().collect()));
        }
        if has(|n| matches!(n, Need::Walked)) {
            return step("ward-walk", self.walk_words(room, plan.ward));
        }
        if has(|n| matches!(n, Need::InService(_))) {
            return step("in-service", "end what holds the room out of service".to_owned());
        }
        if !ahead.is_empty() {
            return step("wrong-time", wait());
        }
        // Beds that wait for a space which serves the room do not wait for this room's calendar.
        let waits_for_space = self.facility().spaces_serving(code).any(|space| self.closes_what_it_serves(space.code));
        if room.state() == State::Monitoring {
            let is_ready = clear_lacks(self, code, now).is_empty();
            if is_ready {
                return step("clear", "sign the room clear".to_owned());
            }
            if !waits_for_space {
                return step("inspect", "follow-up inspection".to_owned());
            }
        }
        if let Some(bed) = plan.beds.iter().find(|bed| self.bed_is_elsewhere(bed.code, code)) {
            if self.surfaces().is_bed_looked_for(bed.code) {
                let text =
                    format!("look for bed {} and say where it was seen; found in no ward: write it off", bed.code);
                return step("thing-seen", text);
            }
            let rooms: Vec<String> = self.surfaces().bed_rooms(bed.code).iter().map(Code::to_string).collect();
            if rooms.is_empty() || self.surfaces().is_bed_lost(bed.code) {
                let text = format!("bed {} is in no room: say to which it comes, or take it off the book", bed.code);
                return step("thing-arrived", text);
            }
            let text = format!(
                "bed {} was rolled to {}: bring it back, or set it there in the book",
                bed.code,
                rooms.join(" or ")
            );
            return step("set-room", text);
        }
        if let Some(part) = plan.beds.iter().find_map(|bed| self.part_elsewhere(bed.code, code)) {
            let tag = self.surfaces().tag_of(part).map(|tag| format!(" (as {tag})")).unwrap_or_default();
            // Where it may be here as well, somebody looks.
            return match self.surfaces().may_be_in(part, code) {
                true => step("thing-seen", format!("say where {}{tag} was seen", part.zone())),
                false => {
                    let text = format!("{}{tag} is not here: bring it back, or say what took its place", part.zone());
                    step("thing-arrived", text)
                }
            };
        }
        if !left.is_empty() {
            return step("wrong-time", wait());
        }
        let unknown = plan.beds.iter().any(|bed| self.occupancy(bed.code, now) == Occupancy::Unknown);
        if unknown && self.policy().is_on(Setting::OccupancyKept) {
            return step("occupancy", "note which beds are empty".to_owned());
        }
        if waits_for_space {
            return None;
        }
        // It keeps no bed closed, and whoever gives one away should know of it.
        let looks = self.tasks_in(code, now);
        let near = looks.iter().find(|task| matches!(task.kind, TaskKind::Neighbour | TaskKind::Mark));
        near.and_then(|task| step("inspect", task.need.clone()))
    }

    /// What is not met, and waits for no hour that a wrong clock gave.
    pub fn asked_now(&self, code: Code, now: Time) -> Vec<Evidence> {
        let Some(room) = self.room(code) else { return vec![] };
        let waits =
            |it: &Evidence| room.closer_of(it).is_none_or(|closer| waits_until(room, closer, it.need, now).is_some());
        room.evidence().into_iter().filter(|it| it.met_by.is_none() && !waits(it)).collect()
    }

    /// What is to be looked for, so that something wet here can be felt.
    fn sightings_words(&self, code: Code, wet: &str) -> String {
        let wanted = self.sightings_wanted(code);
        if wanted.is_empty() {
            return format!("look for {wet} and say where it was seen; found in no ward: write it off");
        }
        let mut tags: Vec<Code> = wanted.iter().map(|it| it.tag).collect();
        tags.dedup();
        let either = |tag: &Code| {
            let parts: Vec<String> = wanted.iter().filter(|it| it.tag == *tag).map(Sighting::to_string).collect();
            format!("tag {tag} may be on {}", parts.join(" or "))
        };
        let either: Vec<String> = tags.iter().map(either).collect();
        format!(
            "{}: look what carries it, and say where each was seen; a note that names the wrong part is voided",
            either.join("; ")
        )
    }

    /// Which ward is to be walked: the room's own, or the one that something came from.
    fn walk_words(&self, room: &Room, own: Code) -> String {
        format!("the lead walks ward {} and signs", self.walk_of(room, own))
    }

    /// The ward that is to be walked for this room first.
    pub(super) fn walk_of(&self, room: &Room, own: Code) -> Code {
        let walks = || room.unsettled().filter(|closer| closer.cause == Cause::Walk);
        match walks().any(|closer| closer.walk_of.is_none()) {
            true => own,
            false => {
                let others = walks().filter_map(|closer| self.facility().room(closer.walk_of?));
                others.map(|plan| plan.ward).next().unwrap_or(own)
            }
        }
    }

    /// What one of two people said of a spray here changes nothing yet.
    fn half_said(&self, room: Code) -> String {
        let said = self.less_said_of(room);
        said.map(|(spray, by)| format!("; {by} says less of spray {spray}: a second person reads it off, too"))
            .unwrap_or_default()
    }

    /// A thing under its tag that may be elsewhere: whoever does not find it has a way on.
    fn may_be_lost(&self, room: Code, needs: &[(&Closer, Need)]) -> &'static str {
        let is_unsure = |need: &Need| match need {
            Need::Dry(zone) if self.is_tag_in(room, *zone) => self.rooms_of_lost(Lost::Thing, zone.part).len() > 1,
            Need::Dry(zone) => zone.bed.is_some_and(|bed| self.surfaces().is_bed_looked_for(bed)),
            _ => false,
        };
        match needs.iter().any(|(_, need)| is_unsure(need)) {
            true => "; what nobody finds in any ward is written off by the lead and infection prevention",
            false => "",
        }
    }

    /// What nobody finds has an end, too: by two people, of whom one may have said so already.
    fn given_up(&self, needs: &[(&Closer, Need)]) -> String {
        let of = |(_, need): &(&Closer, Need)| match need {
            Need::Bag(tag) => Some((Lost::Bag, *tag)),
            Need::Dry(zone) => Some((Lost::Thing, zone.bed.unwrap_or(zone.part))),
            _ => None,
        };
        let half =
            needs.iter().filter_map(of).find_map(|(what, tag)| Some((what, tag, self.half_given_up(what, tag)?)));
        if let Some((what, tag, (by, other))) = half {
            return format!("; {by} gives up {} {tag}: {other} says so, too", what.title());
        }
        let is_lost = |tag: Code| self.exceptions().iter().any(|it| it.kind == ExceptionKind::BagLost(tag));
        let mut bags = needs.iter().filter_map(of).filter(|(what, tag)| *what == Lost::Bag && is_lost(*tag));
        bags.next().map_or(String::new(), |(_, tag)| {
            format!("; bag {tag} is lost: what nobody finds the lead and infection prevention write off")
        })
    }

    /// When the label first allows a check, if that is still to come.
    fn not_before(&self, room: &Room, now: Time) -> String {
        let ready = room.dryness().wet().filter_map(|it| it.wet.as_ref()?.ready);
        let latest = ready.map(|ready| ready.not_before).max();
        match latest.filter(|at| *at > now) {
            Some(at) => {
                let wait = format!(", not before {}", clock(at, now, self.facility().time_zone));
                match at > self.far(now) {
                    true => format!("{wait}; if that is a slip, the lead and a second person correct the spray"),
                    false => wait,
                }
            }
            None => String::new(),
        }
    }

    /// So long hardly any label waits: further off a slip of the pen is likelier.
    pub(crate) fn far(&self, now: Time) -> Time {
        now.checked_add_signed(self.shift()).unwrap_or(now)
    }
}

/// What a wrong clock stamped with an hour still to come, and what waits for that, is met by nothing that is done before: that hour,
/// and the entry that it stands in.
fn waits_until(room: &Room, closer: &Closer, need: Need, now: Time) -> Option<(Time, Number)> {
    let (from, by) = room.counts_from(closer, need);
    let waits = !matches!(need, Need::Dry(_)) && !need.is_told_at_any_time();
    let is_wrong = closer.is_of_wrong_clock() || from > closer.happened;
    (waits && is_wrong && from > now).then_some((from, by))
}

/// `1 zone`, `2 zones`.
fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

/// Whose work a move usually is: what [`Need::role`] says of the need that it meets, and more.
pub fn usual_role(verb: &str) -> Role {
    match verb {
        "move-patient" | "occupancy" | "promise" | "end-promise" => Role::ChargeNurse,
        "spray" | "treat-zone" => Role::Technician,
        "launder" => Role::Laundry,
        "prepare" | "dry-check" | "second-check" | "second-attest" | "thing-left" | "thing-arrived" | "thing-seen"
        | "vacuum" | "make-bed" | "inspect" => Role::Housekeeper,
        _ => Role::Lead,
    }
}

fn listed(codes: &[Code]) -> String {
    codes.iter().map(Code::to_string).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::facility::Zone;

    #[test]
    fn a_step_is_the_work_of_whoever_meets_its_need() {
        let code = Code::new("x").unwrap();
        let zone = Zone { bed: None, part: code };
        let number = Number(1);
        let needs = [
            Need::Covered(zone),
            Need::Dry(zone),
            Need::ZonesNamed,
            Need::FinishNamed,
            Need::LabelNamed,
            Need::LinensNamed,
            Need::Bag(code),
            Need::Vacuumed(zone),
            Need::Made(code),
            Need::Inspected,
            Need::Returned,
            Need::InService(number),
            Need::Attested(number),
            Need::Looked(number),
            Need::Walked,
        ];
        for need in needs {
            assert_eq!(usual_role(need.verb()), need.role(), "{need}");
        }
    }
}

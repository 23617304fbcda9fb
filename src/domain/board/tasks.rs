//! What is due: derived from what is unsettled, never stored. A task's identity is its room, need and cause.

mod words;

use std::collections::{BTreeMap, BTreeSet};

use chrono::TimeDelta;

use super::admission::Occupancy;
use super::drying::DryAbout;
use super::giving::Gives;
use super::people_rules::is_offered;
use super::room::{BedUse, Cause, Closer, Room};
use super::state::State;
use super::verdict::clear_lacks;
use super::{Board, EverywhereClosed};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::facility::RoomPlan;
use crate::domain::need::Need;
use crate::domain::people::Role;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use words::{arguments, need_text, quoted};

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum TaskKind {
    /// A patient is in a room that was sprayed: before anything else.
    PatientInTheWet,
    /// A patient is in a room with confirmed bed bugs, and it was not decided that the patient stays.
    PatientOut,
    Attest,
    SecondLook,
    CompleteSpray,
    DryCheck,
    Treat,
    Bag,
    Vacuum,
    MakeBed,
    Inspect,
    /// A whole inspection saw a sign that does not confirm: its specimen gets a name, or somebody trained looks.
    Identify,
    /// Before the return, where the policy wants two people.
    SecondCheck,
    Return,
    /// The patient stays in a confirmed room: to be decided anew at the time that was named.
    Review,
    WardWalk,
    InService,
    Neighbour,
    FollowUp,
    /// After the day by which no egg should be unhatched: the check that tells most.
    AfterEggs,
    Clear,
    AfterClear,
    Mark,
    DailyLook,
    /// Nobody said for longer than a shift whether the beds are empty, and nothing else keeps them.
    Occupancy,
}

impl TaskKind {
    /// Asked for by what keeps beds closed, and not by the calendar.
    pub fn holds_beds(self) -> bool {
        !matches!(
            self,
            Self::PatientInTheWet
                | Self::PatientOut
                | Self::Review
                | Self::Neighbour
                | Self::FollowUp
                | Self::AfterEggs
                | Self::Clear
                | Self::AfterClear
                | Self::Mark
                | Self::DailyLook
                | Self::Occupancy
        )
    }

    /// One walk, one count does for its whole ward, and every room of it has a task for it.
    pub fn is_of_ward(self) -> bool {
        matches!(self, Self::WardWalk | Self::Occupancy)
    }

    /// One task a room, however many zones ask for it.
    fn is_in_one_go(self) -> bool {
        matches!(
            self,
            Self::DryCheck
                | Self::Treat
                | Self::Vacuum
                | Self::Inspect
                | Self::Identify
                | Self::CompleteSpray
                | Self::WardWalk
        )
    }
}

/// Something due.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Task {
    /// What concerns the whole hospital stands with the first room that one comes to.
    pub room: Code,
    pub kind: TaskKind,
    /// In words: what is to be done.
    pub need: String,
    /// What is missing, the first of several that are met in one go. None: the calendar asks.
    pub asked: Option<Need>,
    /// The entry that asks for it.
    pub cause: Number,
    /// None: it waits for something else first, or its clock does not run yet.
    pub due: Option<Time>,
    pub overdue: bool,
    /// Of a dry check: before this the rules refuse it, by a label's minimum. A later `due` is advice: an estimate, or an hour
    /// after a damp check.
    pub not_before: Option<Time>,
    /// Of a dry check: when the room is probably dry. An estimate.
    pub dry_about: Option<DryAbout>,
    pub role: Role,
    /// Who may not do it whatever their role: a second look is not for those whose doing it looks at.
    pub not_for: Vec<Code>,
    pub verb: &'static str,
    /// The one command line that does it.
    pub command: String,
    pub accepted_by: Option<Code>,
    /// The beds that wait for it.
    pub gives: Gives,
}

impl Task {
    /// The rule behind it. None: routine.
    pub fn rule(&self) -> Option<Rule> {
        match (self.asked, self.kind) {
            (Some(need), _) => Some(need.rule()),
            (None, TaskKind::FollowUp | TaskKind::AfterEggs | TaskKind::Clear) => Some(Rule::ClearChecks),
            (None, TaskKind::Review | TaskKind::PatientOut) => Some(Rule::Confirmed),
            (None, TaskKind::PatientInTheWet) => Some(Rule::PatientInside),
            (None, _) => None,
        }
    }

    /// It has a time, that has come where there is something to wait for, and whoever does it may be where it is done.
    /// `state`: its room's.
    pub fn can_be_done(&self, state: State, now: Time) -> bool {
        let waits = self.kind == TaskKind::DryCheck && self.due.is_some_and(|due| due > now);
        // Into a wet room goes only who checks it, after the label's time; a walk of the ward goes past its door.
        let stays_outside = matches!(
            self.kind,
            TaskKind::Attest
                | TaskKind::CompleteSpray
                | TaskKind::InService
                | TaskKind::Return
                | TaskKind::Bag
                | TaskKind::WardWalk
                | TaskKind::Occupancy
        );
        let may_go_in = state != State::TreatedWet || stays_outside || self.kind == TaskKind::DryCheck;
        self.due.is_some() && !waits && may_go_in
    }

    /// Whether doing it meets this need of its room.
    pub fn meets(&self, need: Need) -> bool {
        self.asked.is_some_and(|asked| asked == need || (self.kind.is_in_one_go() && asked.verb() == need.verb()))
    }
}

/// What a spray left unstated is supplied within the hour. Our assumption.
const SUPPLIED_WITHIN: TimeDelta = TimeDelta::minutes(60);
/// A patient is moved at once; it is late when nobody came for so long. Our assumption.
const MOVED_WITHIN: TimeDelta = TimeDelta::minutes(15);

impl Board {
    /// Everything due in the hospital: soonest first, what waits for something else last.
    pub fn tasks(&self, now: Time) -> Vec<Task> {
        let mut tasks: Vec<Task> =
            self.facility().in_walking_order().flat_map(|plan| self.room_tasks(plan, now)).collect();
        self.weigh(&mut tasks, now);
        self.name_rooms_of_bags(&mut tasks);
        let waits = |task: &Task| (task.kind != TaskKind::PatientInTheWet, task.due.is_none());
        tasks.sort_by_key(|task| (waits(task), task.due, task.kind));
        tasks
    }

    pub fn tasks_of(&self, code: Code, now: Time) -> Vec<Task> {
        let mut tasks = self.tasks_in(code, now);
        self.name_rooms_of_bags(&mut tasks);
        tasks
    }

    /// The same, for what asks nothing of other rooms: a bag's command names its tag alone.
    pub(super) fn tasks_in(&self, code: Code, now: Time) -> Vec<Task> {
        let mut tasks = self.facility().room(code).map(|plan| self.room_tasks(plan, now)).unwrap_or_default();
        self.weigh(&mut tasks, now);
        tasks
    }

    fn room_tasks(&self, plan: &RoomPlan, now: Time) -> Vec<Task> {
        let Some(room) = self.room(plan.code) else { return vec![] };
        let mut tasks = self.need_tasks(plan, room);
        if self.facility().in_walking_order().next().map(|first| first.code) == Some(plan.code) {
            tasks.extend(self.everywhere().map(|closed| self.hospital_task(plan, closed)));
        }
        tasks.extend(self.patient_task(plan, room, now));
        tasks.extend(self.calendar_tasks(plan, room, now));
        self.await_drying(&mut tasks);
        for task in &mut tasks {
            // A dry check falls due the moment the label allows it; it is late only when nobody came for a while.
            let grace = match task.kind {
                TaskKind::DryCheck => minutes_of(self, Setting::DryCheckMinutes),
                TaskKind::PatientOut | TaskKind::PatientInTheWet => MOVED_WITHIN,
                TaskKind::Occupancy => self.shift(),
                _ => TimeDelta::zero(),
            };
            task.overdue = task.due.and_then(|due| due.checked_add_signed(grace)).is_some_and(|late| late < now);
            // A bag that is out for longer than a shift may be lost: it is the lead's to look for.
            if task.kind == TaskKind::Bag && task.overdue {
                task.role = Role::Lead;
            }
            task.role = self.role_that_may(task.verb, task.role, &task.not_for, now);
            let taken = |(need, cause, _): &&(String, Number, Code)| *cause == task.cause && *need == task.need;
            task.accepted_by = room.accepted.iter().rev().find(taken).map(|(_, _, by)| *by);
        }
        tasks
    }

    /// The beds of a room in which somebody lies, or may: none that is waited for only by the hour of a wrong clock.
    pub(super) fn beds_to_leave(&self, plan: &RoomPlan, now: Time) -> Vec<Code> {
        let has_left = |bed: Code| self.bed_use(bed).is_some_and(|it| it.left_before_they_came(now).is_some());
        let lies = |bed: &Code| self.may_be_occupied(*bed) && !has_left(*bed);
        plan.beds.iter().map(|bed| bed.code).filter(lies).collect()
    }

    /// A patient where no patient should be: it is the charge nurse's to move them, at once.
    fn patient_task(&self, plan: &RoomPlan, room: &Room, now: Time) -> Option<Task> {
        let beds = self.beds_to_leave(plan, now);
        let since = |bed: &Code| room.beds.get(bed).and_then(BedUse::somebody_since);
        let lies = beds.iter().filter_map(since).min()?;
        let first =
            |wanted: &dyn Fn(&Closer) -> bool| room.unsettled().find(|c| wanted(c)).map(|c| (c.number, c.happened));
        let (kind, text, (cause, closed)) = match room.state() {
            State::TreatedWet | State::TreatedDry => {
                let text = "move the patient out now, washed and changed";
                (TaskKind::PatientInTheWet, text, first(&|c| c.cause.is_treatment())?)
            }
            State::Confirmed if room.patient_stays_until(now).is_none() => {
                let text = "move the patient out, washed and changed";
                (TaskKind::PatientOut, text, first(&|c| c.cause == Cause::Confirmed && c.voided.is_none())?)
            }
            _ => return None,
        };
        let due = Some(lies.max(closed).min(now));
        let verb = "move-patient";
        let task = self.task(plan, kind, text.to_owned(), cause, due, super::usual_role(verb), verb, None);
        let beds: Vec<String> = beds.into_iter().map(quoted).collect();
        let command = match beds.as_slice() {
            [bed] => format!("dryhold note {verb} {bed}"),
            several => format!("dryhold note {verb} {} --beds {}", quoted(plan.code), several.join(",")),
        };
        Some(Task { command, ..task })
    }

    /// The usual role, unless everybody who has it may not do this one: then a role that may.
    pub(super) fn role_that_may(&self, verb: &'static str, usual: Role, not_for: &[Code], now: Time) -> Role {
        if not_for.is_empty() {
            return usual;
        }
        let may = |role: Role| {
            self.people().values().any(|person| {
                let has = person.role == role || (role == Role::Lead && person.is_lead_at(now));
                has && !not_for.contains(&person.initials) && is_offered(verb, person, now, self.policy())
            })
        };
        let others = [
            Role::Lead,
            // On the ward, and first to be had.
            Role::Housekeeper,
            Role::InfectionPrevention,
            Role::Technician,
            Role::ChargeNurse,
            Role::Laundry,
        ];
        if may(usual) { usual } else { others.into_iter().find(|role| may(*role)).unwrap_or(usual) }
    }

    /// A dry check is worth while when the room is probably dry, and never before the label allows it.
    fn await_drying(&self, tasks: &mut [Task]) {
        for task in tasks.iter_mut().filter(|task| task.kind == TaskKind::DryCheck) {
            task.dry_about = task.due.and_then(|_| self.dry_about(task.room));
            let likely = task.dry_about.and_then(DryAbout::likely);
            task.due = task.due.map(|due| likely.map_or(due, |likely| due.max(likely)));
        }
    }

    /// What has to be done in the room before its beds open, one task for what is done in one go.
    pub(super) fn need_tasks(&self, plan: &RoomPlan, room: &Room) -> Vec<Task> {
        let mut tasks = vec![];
        for (closer, need) in unmet(room) {
            if let Some(task) = self.task_for(plan, room, closer, need) {
                merge(&mut tasks, task);
            }
        }
        tasks
    }

    /// A line that closes every room is attested once, for the hospital.
    fn hospital_task(&self, first: &RoomPlan, closed: &EverywhereClosed) -> Task {
        let number = closed.number;
        // Nobody knows when it was written; it is due at once.
        let due = self.last().map(|(_, noted)| noted);
        let need = Need::Attested(number);
        let task = self.task(
            first,
            TaskKind::Attest,
            need_text(TaskKind::Attest, need),
            number,
            due,
            need.role(),
            need.verb(),
            Some(need),
        );
        let task = self.by_two(task, number);
        let need = format!("{}: it closes every room", task.need);
        let command = format!("dryhold note {} hospital --entry {number}", task.verb);
        Task { command, need, ..task }
    }

    /// What two people attest is first the second one's to say, and then the first one's to sign.
    fn by_two(&self, task: Task, line: Number) -> Task {
        if !self.is_attested_by_two(line) {
            return task;
        }
        match self.second_attest(line) {
            Some(by) => Task { not_for: vec![by], ..task },
            None => {
                let verb = "second-attest";
                let command = format!("dryhold note {verb} {} --entry {line}", quoted(task.room));
                let need = format!("second person says what entry {line} was");
                Task { verb, command, need, role: super::usual_role(verb), ..task }
            }
        }
    }

    fn task_for(&self, plan: &RoomPlan, room: &Room, closer: &Closer, need: Need) -> Option<Task> {
        let minutes = |setting| self.policy().minutes(setting);
        let after = |delta: TimeDelta| closer.happened.checked_add_signed(delta);
        let shift = minutes(Setting::ShiftMinutes);
        // No bed is made and no seat is vacuumed while the room still waits for its spray or for its drying.
        let dry = !matches!(room.state(), State::Confirmed | State::TreatedWet);
        // Nothing that has to wait for a dry room was due while it was wet.
        let inside = |delta: TimeDelta| found_dry(room).max(Some(closer.happened))?.checked_add_signed(delta);
        let (kind, due) = match need {
            Need::Dry(_) if closer.cause == Cause::Damp => {
                let again = after(minutes(Setting::RecheckMinutes));
                (TaskKind::DryCheck, again.max(room.ready(closer).map(|ready| ready.not_before)))
            }
            Need::Dry(_) => (TaskKind::DryCheck, room.ready(closer).map(|ready| ready.not_before)),
            Need::Covered(_) => (TaskKind::Treat, inside(shift).filter(|_| room.state() != State::TreatedWet)),
            Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => {
                (TaskKind::CompleteSpray, after(SUPPLIED_WITHIN))
            }
            Need::Bag(_) => (TaskKind::Bag, after(minutes(Setting::BagEscalationMinutes))),
            Need::Vacuumed(_) => (TaskKind::Vacuum, inside(shift).filter(|_| dry)),
            Need::Made(_) => (TaskKind::MakeBed, inside(shift).filter(|_| dry)),
            Need::Inspected => {
                let usual = minutes(Setting::FindingInspectionMinutes);
                let within = match closer.is_urgent {
                    true => usual.min(minutes(Setting::BiteInspectionMinutes)),
                    false => usual,
                };
                let waits = room.waits_for_a_name().filter(|_| matches!(closer.cause, Cause::Suspicion { .. }));
                let kind = if waits.is_some() { TaskKind::Identify } else { TaskKind::Inspect };
                // A specimen waits since it was found, not since what it was looked for.
                let from = waits.map_or(closer.happened, |found| found.happened);
                let from = found_dry(room).map_or(from, |dry| dry.max(from));
                // The treatment does for a finding as well; nobody looks for bugs in a room that waits for it, or is wet.
                (kind, from.checked_add_signed(within).filter(|_| dry))
            }
            // One return a room, when nothing else is missing.
            Need::Returned => {
                // A suspicion ends by the return too, but does not ask for one.
                let mut asking = room.returnable().filter(|c| !matches!(c.cause, Cause::Suspicion { .. }));
                let first = asking.next().map(|c| c.number) == Some(closer.number);
                if !first || !room.return_lacks().0.is_empty() {
                    return None;
                }
                if self.look_before_return(plan.code).is_err() {
                    let (role, verb) = (Need::Inspected.role(), Need::Inspected.verb());
                    let text = "full inspection, nothing seen, before the return to service".to_owned();
                    return Some(self.task(
                        plan,
                        TaskKind::Inspect,
                        text,
                        closer.number,
                        after(shift),
                        role,
                        verb,
                        Some(Need::Inspected),
                    ));
                }
                let kind = if self.lacks_second_check(plan.code) { TaskKind::SecondCheck } else { TaskKind::Return };
                // It could not be done before the last thing that it rests on.
                let (_, rests_on) = room.return_lacks();
                let newest =
                    rests_on.into_iter().filter_map(|number| room.knows_fact(number)).map(|fact| fact.done).max();
                let ready = newest.map_or(closer.happened, |at| at.max(closer.happened));
                (kind, ready.checked_add_signed(shift))
            }
            Need::InService(_) => (TaskKind::InService, None),
            Need::Attested(_) => (TaskKind::Attest, after(shift)),
            Need::Looked(_) => (TaskKind::SecondLook, after(shift).max(self.look_from(plan.code, closer))),
            Need::Walked => (TaskKind::WardWalk, after(shift)),
        };
        let text = need_text(kind, need);
        let (role, verb) = match kind {
            TaskKind::SecondCheck => (super::usual_role("second-check"), "second-check"),
            TaskKind::Identify => (super::usual_role("identify"), "identify"),
            _ => (need.role(), need.verb()),
        };
        let task = self.task(plan, kind, text, closer.number, due, role, verb, Some(need));
        if kind == TaskKind::Attest {
            return Some(self.by_two(task, closer.number));
        }
        let label = || room.ready(closer).map(|ready| ready.not_before).filter(|at| *at > closer.happened);
        let not_before = if kind == TaskKind::DryCheck { label() } else { None };
        let not_for = match kind {
            TaskKind::SecondLook => closer.own_hands(),
            // Whoever noted what it checks; and the one who checked does not sign as well.
            TaskKind::SecondCheck => room.hands_behind_return(),
            TaskKind::Return => self.second_person_of(plan.code).into_iter().collect(),
            _ => vec![],
        };
        Some(Task { not_before, not_for, ..task })
    }

    /// One tag on the bags of several rooms: a load names the room of its own.
    fn name_rooms_of_bags(&self, tasks: &mut [Task]) {
        let bag_of = |task: &Task| if let Some(Need::Bag(tag)) = task.asked { Some(tag) } else { None };
        if !tasks.iter().any(|task| bag_of(task).is_some()) {
            return;
        }
        let mut out: BTreeMap<Code, usize> = BTreeMap::new();
        for (_, room) in self.rooms() {
            let asks = room.unsettled().flat_map(|c| c.needs.iter().map(move |need| (c, *need)));
            let waits = asks.filter_map(|(c, need)| match need {
                Need::Bag(tag) if room.met(c, need).is_none() => Some(tag),
                _ => None,
            });
            for tag in waits.collect::<BTreeSet<Code>>() {
                *out.entry(tag).or_default() += 1;
            }
        }
        for task in tasks {
            if let Some(tag) = bag_of(task).filter(|tag| out.get(tag).is_some_and(|rooms| *rooms > 1)) {
                task.command = format!("dryhold note {} {} --room {}", task.verb, quoted(tag), quoted(task.room));
            }
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one constructor for a record of as many fields")]
    fn task(
        &self,
        plan: &RoomPlan,
        kind: TaskKind,
        need: String,
        cause: Number,
        due: Option<Time>,
        role: Role,
        verb: &'static str,
        asked: Option<Need>,
    ) -> Task {
        let walked = self.room(plan.code).map_or(plan.ward, |room| self.walk_of(room, plan.ward));
        let (target, argument) = arguments(plan, walked, kind, asked, cause);
        let command = format!("dryhold note {verb} {}{argument}", quoted(target));
        Task {
            room: plan.code,
            kind,
            need,
            asked,
            cause,
            due,
            overdue: false,
            not_before: None,
            dry_about: None,
            role,
            not_for: vec![],
            verb,
            command,
            accepted_by: None,
            gives: Gives::default(),
        }
    }

    /// What the calendar asks for: daily looks, neighbours, follow-ups.
    fn calendar_tasks(&self, plan: &RoomPlan, room: &Room, now: Time) -> Vec<Task> {
        let mut tasks = vec![];
        let minutes = |setting| self.policy().minutes(setting);
        let add = |time: Time, delta: TimeDelta| time.checked_add_signed(delta);
        let mut push = |kind, text: &str, cause, due, role, verb| {
            tasks.push(self.task(plan, kind, text.to_owned(), cause, due, role, verb, None));
        };
        // One inspection does for every case around.
        let ring = self.facility().ring_around(plan.code).into_iter();
        let owed = ring.filter_map(|centre| Some((centre, room.owes_look_for(self.room(centre)?)?)));
        let owed: Vec<(Code, (Number, Time))> = owed.collect();
        if let Some((number, found)) = owed.iter().map(|(_, case)| *case).min_by_key(|(number, at)| (*at, *number)) {
            let centres: Vec<String> = owed.iter().map(|(centre, _)| centre.to_string()).collect();
            let due = add(found, minutes(Setting::NeighbourInspectionMinutes));
            let text = format!("inspect: next to {}, confirmed", centres.join(", "));
            push(TaskKind::Neighbour, &text, number, due, Role::Housekeeper, "inspect");
        }
        let last_full = room.last_full_inspection();
        if room.state() == State::Monitoring && !room.has_unsettled() && clear_lacks(self, plan.code, now).is_empty() {
            let cause = room.open_case().unwrap_or_default();
            push(TaskKind::Clear, "sign the room clear", cause, Some(now), Role::Lead, "clear");
        } else if let (Some(case), Some(treated)) = (room.open_case(), room.accountable_since())
            && matches!(room.state(), State::Monitoring | State::TreatedDry | State::TreatedWet)
        {
            // It counts from the treatment, whenever the room came back into service.
            let looked = last_full.filter(|at| *at > treated);
            let due = add(looked.unwrap_or(treated), minutes(Setting::FollowUpDays));
            push(TaskKind::FollowUp, "follow-up inspection", case, due, Role::Housekeeper, "inspect");
            let hatched = self.eggs_hatched(plan.code).filter(|at| last_full.is_none_or(|full| full < *at));
            if let Some(at) = hatched {
                let text = "inspection after the eggs' time";
                push(TaskKind::AfterEggs, text, case, Some(at), Role::Housekeeper, "inspect");
            }
        }
        if let Some(cleared) = room.cleared.filter(|_| room.state() == State::Clear)
            && last_full.is_none_or(|at| at < cleared)
        {
            let due = add(cleared, minutes(Setting::AfterClearDays));
            push(
                TaskKind::AfterClear,
                "one more inspection after clear",
                room.newest,
                due,
                Role::Housekeeper,
                "inspect",
            );
        }
        for (number, at) in room.spots_to_inspect() {
            let text = "inspect: a mark on a place never wiped";
            push(TaskKind::Mark, text, number, add(at, TimeDelta::days(1)), Role::Housekeeper, "inspect");
        }
        if let Some((number, review)) = room.patient_stays
            && room.state() == State::Confirmed
            && plan.beds.iter().any(|bed| room.beds.get(&bed.code).is_some_and(BedUse::is_occupied))
        {
            let text = "decide anew whether the patient stays";
            push(TaskKind::Review, text, number, Some(review), Role::ChargeNurse, "patient-stays");
        }
        let unknown = self.unknown_alone(plan, now);
        if !unknown.is_empty() {
            // It ran out a shift after the last count; where there was none, it was never known.
            let shift = self.shift();
            let since = unknown.iter().filter_map(|bed| self.occupancy_noted(*bed)).max();
            let due = since.and_then(|at| add(at, shift)).or(room.set_up);
            let text = "say whether the beds are empty";
            push(TaskKind::Occupancy, text, Number(0), due.min(Some(now)), Role::ChargeNurse, "occupancy");
        }
        if let Some(due) = self.daily_look_due(plan, room) {
            push(TaskKind::DailyLook, "daily look", Number(0), Some(due), Role::Housekeeper, "inspect");
        }
        tasks
    }

    /// Beds that would be open, but that nobody has said for longer than a shift whether they are empty.
    pub(super) fn unknown_alone(&self, plan: &RoomPlan, now: Time) -> Vec<Code> {
        if !self.policy().is_on(Setting::OccupancyKept) {
            return vec![];
        }
        let unknown = |bed: &Code| self.occupancy(*bed, now) == Occupancy::Unknown;
        let beds: Vec<Code> = plan.beds.iter().map(|bed| bed.code).filter(unknown).collect();
        if beds.is_empty() || !self.room_blockers(plan.code).is_empty() { vec![] } else { beds }
    }

    /// When somebody is to look at the room for this day. Where nobody ever did, it counts from the room's coming into the
    /// book. None: nobody goes in.
    pub(super) fn daily_look_due(&self, plan: &RoomPlan, room: &Room) -> Option<Time> {
        // Nobody is sent daily into a flooded room, unless somebody lies in it.
        let is_shut = room.unsettled().any(|c| c.cause == Cause::OutOfService && c.voided.is_none())
            && !plan.beds.iter().any(|bed| room.beds.get(&bed.code).is_some_and(BedUse::is_occupied));
        if room.state() == State::TreatedWet || is_shut {
            return None;
        }
        let since = room.last_look.max(room.set_up)?;
        since.checked_add_signed(self.policy().minutes(Setting::DailyLookMinutes))
    }
}

fn minutes_of(board: &Board, setting: Setting) -> TimeDelta {
    board.policy().minutes(setting)
}

/// When the newest of what the room's open business asks to be dry was found dry.
fn found_dry(room: &Room) -> Option<Time> {
    let dry = room.evidence().into_iter().filter(|it| matches!(it.need, Need::Dry(_))).filter_map(|it| it.met_by);
    dry.filter_map(|number| room.knows_fact(number)).map(|fact| fact.done).max()
}

/// What is unsettled and not met, each need with the entry that asks for it.
pub(super) fn unmet(room: &Room) -> Vec<(&Closer, Need)> {
    let with_closer = |evidence: crate::domain::need::Evidence| {
        let closer = room.closer_of(&evidence)?;
        evidence.met_by.is_none().then_some((closer, evidence.need))
    };
    room.evidence().into_iter().filter_map(with_closer).collect()
}

/// One dry check, one treatment, one inspection a room and cause: zones are listed inside it.
fn merge(tasks: &mut Vec<Task>, task: Task) {
    let whole_room = task.kind.is_in_one_go();
    let same = |t: &&mut Task| t.kind == task.kind && (whole_room || t.need == task.need);
    match tasks.iter_mut().find(same) {
        Some(known) => {
            // A dry check waits for the last clock; the rest is due with the first.
            let later = matches!(task.kind, TaskKind::DryCheck);
            known.not_before = known.not_before.max(task.not_before);
            known.due = match (known.due, task.due) {
                (Some(a), Some(b)) => Some(if later { a.max(b) } else { a.min(b) }),
                (a, b) if !later => a.or(b),
                _ => None,
            };
        }
        None => tasks.push(task),
    }
}

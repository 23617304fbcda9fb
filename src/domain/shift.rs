//! What a shift asks first: rooms not to enter, what changed in the last shift, what is carried over and what can be
//! worked on, the beds that will read unknown, who has what, and who may sign now. It is read from the board and the
//! entries; nothing of it is kept. At the end of a shift the same page is the hand-over.

mod gap;
mod past;
mod patients;
mod since;
mod when;

use std::collections::BTreeMap;

use chrono::{TimeDelta, Timelike};
use chrono_tz::Tz;

use super::board::{Board, Cause, Closer, Earliest, Occupancy, Promise, Room, State, Task, TaskKind};
use super::code::Code;
use super::describe::sentence;
use super::entry::{Body, Entry, Number, Time};
use super::facility::{Bed, RoomPlan};
use super::people::{Person, Role};
use super::policy::Setting;
use super::rule::Rule;
use super::shown::shown;
pub use gap::{Gap, missing};
pub use past::{exception_words, lost, task_words};
pub(super) use when::clock;
use when::length;

/// One question and its answers, a line each. The rooms that a line is about come first in its text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Question {
    pub title: String,
    pub lines: Vec<String>,
}

/// The question of the rooms that are known to be wet.
pub const DO_NOT_ENTER: &str = "Do not enter";

/// More lines than this are counted, where what is left out does no harm.
const MOST_LINES: usize = 12;

/// Beside the rooms that are known to be wet: which others nobody enters. None: all others may be.
pub fn unasked(board: &Board, gaps: &[Gap]) -> Option<&'static str> {
    match (board.distrust().is_some(), gaps.iter().any(Gap::is_of_entries)) {
        (true, _) => Some("without asking: what is wet cannot be known here"),
        (false, true) => Some("without asking that was not walked since entries are missing"),
        (false, false) => None,
    }
}

/// Whether a promise can be kept: against the present earliest time, in the same words on every page.
pub fn promise_stands(board: &Board, bed: Code, promise: &Promise, now: Time) -> String {
    let clock = |at: Time| clock(at, now, board.facility().time_zone);
    let stands = match board.earliest(bed, now) {
        Earliest::Now => "open".to_owned(),
        _ if board.occupancy(bed, now) == Occupancy::Occupied => "a patient is still in it".to_owned(),
        Earliest::NotBefore(at) if at <= now => "it could be open now".to_owned(),
        Earliest::NotBefore(at) if at > promise.wanted => format!("LATE: {} at the earliest", clock(at)),
        Earliest::NotBefore(at) => {
            let by = board.begin_by(bed, promise.wanted, now);
            let by = by.map(|by| format!(", LATE if not begun by {}", clock(by)));
            format!("{} at the earliest{}", clock(at), by.unwrap_or_default())
        }
        Earliest::Unknown { waits_for } => format!("no time: it waits for {waits_for}"),
    };
    match now - promise.wanted {
        late if late > TimeDelta::zero() => format!("{} late: still wanted?; {stands}", length(late)),
        _ => stands,
    }
}

/// The questions of one who looks, in the order in which their role asks them. Without a person: of everybody.
pub fn shift(board: &Board, entries: &[Entry], person: Option<&Person>, now: Time) -> Vec<Question> {
    let look = Look { board, entries, now, zone: board.facility().time_zone, tasks: board.tasks(now) };
    let since = look.since();
    let missing = missing(board, entries, now);
    let first = missing.iter().map(|gap| format!("{}. {}", gap.title, gap.whole));
    let record = Question { title: "First of all".to_owned(), lines: first.collect() };
    let unasked = unasked(board, &missing).map(|why| match look.not_to_enter().is_empty() {
        true => format!("any room {why}"),
        false => format!("nor any other room {why}"),
    });
    let not_to_enter: Vec<String> = look.not_to_enter().into_iter().chain(unasked).collect();
    let not_to_enter = question(DO_NOT_ENTER, not_to_enter, "no room is known to be wet");
    let changed = question(&format!("Since {}", look.clock(since)), look.changed(since), "nothing was noted");
    let changed = Question { lines: std::iter::once(SINCE.to_owned()).chain(changed.lines).collect(), ..changed };
    let closing = question("Beds that close", look.closing(), "none by the clock");
    let carried = question("Carried over", look.carried_over(), "nothing");
    let best = question("Opens most beds", look.best(), "no single task opens a bed now");
    let rooms = question("Can be worked on", counted(look.to_work_on()), "no room now");
    let bags = question("Oldest bags", look.oldest_bags(), "no bag is out");
    let taken = question("Who has what", counted(look.taken()), "nobody took a task");
    let signs = question("May sign now", look.may_sign(), "nobody: no lead is on the roster");
    let open = question("Open beds", look.open(), "no bed is open");
    let promised = question("Promised beds", look.promised(), "no bed is promised");
    let things = question("Things on their way", look.things(), "nothing left a room and has not arrived");
    let odd = question("Exceptions", look.exceptions(since), "none since then");
    let gone = question("Where patients went", look.gone(), "");
    let mut questions = match person.map(|person| person.role) {
        Some(Role::Lead | Role::Housekeeper | Role::Technician | Role::Laundry) => {
            vec![not_to_enter, gone, carried, best, rooms, bags, things, taken, changed, promised, closing, odd, signs]
        }
        Some(Role::InfectionPrevention) => vec![not_to_enter, gone, odd, changed, carried, rooms, taken, signs],
        Some(Role::ChargeNurse | Role::Reader) | None => {
            vec![not_to_enter, open, promised, gone, closing, signs, changed, best, odd, carried, things, taken]
        }
    };
    // Only what is asked of somebody.
    questions.retain(|it| it.lines.iter().any(|line| !line.is_empty()));
    let handed = look.handed_over();
    if !handed.is_empty() {
        questions.insert(1, question("Handed over", handed, ""));
    }
    if !record.lines.is_empty() {
        questions.insert(0, record);
    }
    questions
}

/// Where the time comes from.
const SINCE: &str = "(one shift back, to the full hour; findings first, then what closed or opened, the newest first)";

/// What to do first with a bug, in order: common practice, no source.
pub const BUG_FOUND: [&str; 5] = [
    "Keep it: in a closed jar or bag, or under clear tape, with the place and the time on it.",
    "Do not move the patient, the bed or the linens out of the room yet.",
    "Note it here: b. The beds of the room close at once.",
    "Tell the housekeeping lead, or whoever is named here as one who may sign.",
    "Touch and spray nothing: only people trained and licensed for it treat a room.",
];

struct Look<'a> {
    board: &'a Board,
    entries: &'a [Entry],
    now: Time,
    zone: Tz,
    tasks: Vec<Task>,
}

fn question(title: &str, mut lines: Vec<String>, none: &str) -> Question {
    if lines.is_empty() {
        lines.push(none.to_owned());
    }
    Question { title: title.to_owned(), lines }
}

/// What has no line is counted.
fn counted(mut lines: Vec<String>) -> Vec<String> {
    if lines.len() > MOST_LINES {
        let more = lines.len() - MOST_LINES + 1;
        lines.truncate(MOST_LINES - 1);
        lines.push(format!("and {more} more"));
    }
    lines
}

impl Look<'_> {
    /// The full hour at or before one shift back: whoever comes a little late loses nothing of the shift before.
    fn since(&self) -> Time {
        let back = self.now - self.board.shift();
        let there = back.with_timezone(&self.zone);
        back - TimeDelta::minutes(i64::from(there.minute())) - TimeDelta::seconds(i64::from(there.second()))
    }

    fn clock(&self, time: Time) -> String {
        clock(time, self.now, self.zone)
    }

    fn not_to_enter(&self) -> Vec<String> {
        let plans = self.board.facility().in_walking_order();
        let wet = plans.filter(|plan| self.board.state(plan.code) == State::TreatedWet);
        let line = |plan: &super::facility::RoomPlan| {
            let inside = plan.beds.iter().any(|bed| self.board.occupancy(bed.code, self.now) == Occupancy::Occupied);
            let next = self.board.next_step(plan.code, self.now).map(|step| step.text).unwrap_or_default();
            let inside = if inside { "PATIENT INSIDE; " } else { "" };
            format!("{}: {inside}wet, nobody goes in but who sprays or checks; {next}", plan.code)
        };
        wet.map(line).collect()
    }

    /// What people left for this shift, newest first.
    fn handed_over(&self) -> Vec<String> {
        let since = self.now - self.board.shift();
        let recent = self.entries.iter().rev().take_while(|entry| entry.noted >= since);
        let line = |entry: &Entry| match &entry.body {
            Body::HandedOver { text } => {
                Some(format!("{}: {text}, {} by {}", since::place(entry), self.clock(entry.noted), entry.noted_by))
            }
            _ => None,
        };
        recent.filter_map(line).collect()
    }

    fn exceptions(&self, since: Time) -> Vec<String> {
        let exceptions = self.board.exceptions().iter().rev();
        let noted = |number| self.entry(number).map(|entry| entry.noted);
        let new = exceptions.filter(|it| noted(it.number).is_some_and(|at| at >= since));
        new.map(|it| {
            let place = it.room.map_or("hospital".to_owned(), |room| room.to_string());
            let words = exception_words(self.board, self.entries, it, self.now);
            format!("{place}: {words} (entry {})", it.number)
        })
        .collect()
    }

    fn entry(&self, number: Number) -> Option<&Entry> {
        let at = self.entries.binary_search_by_key(&number, |entry| entry.number).ok()?;
        self.entries.get(at)
    }

    /// Of each ward how many and which, a line each, with what is promised of them.
    fn open(&self) -> Vec<String> {
        let mut wards: BTreeMap<Code, (Vec<String>, usize, usize)> = BTreeMap::new();
        for plan in self.board.facility().in_walking_order() {
            let counted = wards.entry(plan.ward).or_default();
            counted.2 += plan.beds.len();
            for bed in plan.beds.iter().filter(|bed| self.board.admission(bed.code, self.now).is_empty()) {
                let used = self.board.room(plan.code).and_then(|room| room.beds.get(&bed.code));
                counted.1 += usize::from(used.is_some_and(|used| used.promised.is_some()));
                counted.0.push(self.board.open_bed_in_words(bed.code, self.now));
            }
        }
        let line = |(ward, (open, kept, all)): (Code, (Vec<String>, usize, usize))| {
            let promised = if kept > 0 { format!(", {kept} of them promised") } else { String::new() };
            match open.is_empty() {
                true => format!("ward {ward}: 0 of {all} open"),
                false => format!("ward {ward}: {} of {all} open{promised}: {}", open.len(), open.join(", ")),
            }
        };
        wards.into_iter().filter(|(_, (_, _, all))| *all > 0).map(line).collect()
    }

    /// Soonest wanted first, against the present earliest time, with the one blocker and who has it.
    fn promised(&self) -> Vec<String> {
        let promises = self.board.promises();
        promises
            .into_iter()
            .map(|(bed, promise)| {
                let by = format!("{bed}: wanted {}, promised by {}", self.clock(promise.wanted), promise.by);
                let by = format!("{by}; {}", promise_stands(self.board, bed, &promise, self.now));
                let is_over = self.board.admission(bed, self.now).is_empty()
                    || self.board.occupancy(bed, self.now) == Occupancy::Occupied;
                if is_over {
                    return by;
                }
                let room = self.board.facility().room_of_bed(bed).map(|plan| plan.code);
                let step = room.and_then(|room| self.board.next_step(room, self.now));
                let next = step.map(|step| {
                    let taken = self.tasks.iter().find(|task| Some(task.room) == room && task.verb == step.verb);
                    let who = taken.and_then(|task| task.accepted_by);
                    let who = who.map_or(step.role.title().to_owned(), |by| format!("{by} has it"));
                    format!("; next: {}, {who}", step.text)
                });
                format!("{by}{}", next.unwrap_or_default())
            })
            .collect()
    }

    /// What left a room under a tag and did not arrive.
    fn things(&self) -> Vec<String> {
        let line = |thing: &super::board::Thing| {
            let to = match (thing.to, thing.outside.as_str()) {
                (Some(to), _) => format!("to {to}"),
                (None, "") => "nobody said where to".to_owned(),
                (None, outside) => format!("to {}, outside the list of rooms", shown(outside)),
            };
            let wet = if self.board.is_thing_wet(&thing.tag) { ", WET" } else { "" };
            format!("{}: {} left at {}, {to}{wet}", thing.from, thing.tag, self.clock(thing.left))
        };
        self.board.things_under_way().map(line).collect()
    }

    /// Beds that closed by the clock, and those that are open now and will not be known as empty any more before a shift is
    /// over. A line each for all wards.
    fn closing(&self) -> Vec<String> {
        if !self.board.policy().is_on(Setting::OccupancyKept) {
            return vec![];
        }
        const CONFIRM: &str = "confirm the wards' beds (charge nurse; 2, then c)";
        let shift = self.board.shift();
        let plans = || self.board.facility().in_walking_order();
        let beds = |count: usize| format!("{count} bed{}", if count == 1 { "" } else { "s" });
        let mut unknown: BTreeMap<Code, usize> = BTreeMap::new();
        let mut wards: BTreeMap<Code, (usize, Time)> = BTreeMap::new();
        for (plan, bed) in plans().flat_map(|plan| plan.beds.iter().map(move |bed| (plan, bed.code))) {
            let blockers = self.board.admission(bed, self.now);
            let ends = self.board.occupancy_noted(bed).and_then(|at| at.checked_add_signed(shift));
            if blockers.is_empty() {
                let Some(ends) = ends else { continue };
                let known = wards.entry(plan.ward).or_insert((0, ends));
                *known = (known.0 + 1, known.1.min(ends));
            } else if self.board.occupancy(bed, self.now) == Occupancy::Unknown
                && blockers.iter().all(|it| it.rule == Rule::Occupancy)
            {
                *unknown.entry(plan.ward).or_default() += 1;
            }
        }
        let mut lines = vec![];
        let all: usize = unknown.values().sum();
        if all > 0 {
            let wards: Vec<String> = unknown.iter().map(|(ward, count)| format!("{count} in {ward}")).collect();
            let (read, could) = if all == 1 { ("reads", "bed could") } else { ("read", "beds could") };
            lines.push(format!("{all} {could} be open and {read} unknown already ({}): {CONFIRM}", wards.join(", ")));
        }
        let mut soonest: Vec<(Time, Code, usize)> = wards.iter().map(|(ward, it)| (it.1, *ward, it.0)).collect();
        soonest.sort();
        if !soonest.is_empty() {
            let one = |(at, ward, count): &(Time, Code, usize)| {
                format!("{} in {ward} after {}", beds(*count), self.clock(*at))
            };
            let all = soonest.iter().map(one).collect::<Vec<_>>().join(", ");
            lines.push(format!("this shift, open beds read unknown: {all}, unless before that you {CONFIRM}"));
        }
        lines
    }

    fn task_line(&self, task: &Task) -> String {
        let when = match task.due {
            Some(due) if task.overdue => format!(", due since {}", self.clock(due)),
            Some(due) => format!(", due {}", self.clock(due)),
            None => String::new(),
        };
        let who = task.accepted_by.map_or(task.role.title().to_owned(), |by| format!("{by} has it"));
        let room = match (task.kind, self.board.facility().room(task.room)) {
            (kind, Some(plan)) if kind.is_of_ward() => format!("ward {}", plan.ward),
            _ => task.room.to_string(),
        };
        format!("{room}: {}{when}; {who}", self.words(task))
    }

    fn words(&self, task: &Task) -> String {
        task_words(task, self.board, self.entries, self.now)
    }

    /// What is open from before: every finding, every room out of service, lost bags, promises; then what is overdue.
    fn carried_over(&self) -> Vec<String> {
        let mut lines = self.open_findings();
        lines.extend(self.open_work());
        for (plan, room) in self.rooms() {
            let closed = room.unsettled().filter(|closer| closer.cause == Cause::OutOfService);
            lines.extend(closed.map(|closer| {
                let (since, why) = (self.clock(closer.happened), shown(&closer.words));
                format!("{}: out of service since {since}: {why} (entry {})", plan.code, closer.number)
            }));
        }
        let is_lost = |task: &Task| past::lost(task, self.board, self.entries).is_some();
        lines.extend(self.tasks.iter().filter(|task| is_lost(task)).map(|task| self.task_line(task)));
        let promises = self.board.promises();
        if !promises.is_empty() {
            let each = promises.iter().map(|(bed, promise)| format!("{bed} for {}", self.clock(promise.wanted)));
            lines.push(format!("promised beds: {}", each.collect::<Vec<_>>().join(", ")));
        }
        // Beds that nobody confirmed stand under what closes by the clock.
        let told = |kind: TaskKind| matches!(kind, TaskKind::DailyLook | TaskKind::Occupancy);
        let late = |task: &&Task| task.overdue && !told(task.kind) && !is_lost(task);
        let mut overdue: Vec<String> = vec![];
        for task in self.tasks.iter().filter(late) {
            let line = self.task_line(task);
            // One walk does for the ward.
            if !overdue.contains(&line) {
                overdue.push(line);
            }
        }
        lines.extend(overdue);
        let looks = self.tasks.iter().filter(|task| task.overdue && task.kind == TaskKind::DailyLook).count();
        if looks > 0 {
            lines.push(format!("daily looks of {looks} room{}", if looks == 1 { "" } else { "s" }));
        }
        lines
    }

    /// Rooms and shared spaces that were treated, or that received somebody or something, and are not done with.
    fn open_work(&self) -> Vec<String> {
        let finding = |c: &Closer| matches!(c.cause, Cause::Suspicion { .. } | Cause::Confirmed) && c.voided.is_none();
        let work = |c: &Closer| c.cause.is_treatment() || c.cause.is_preparation() || c.cause == Cause::Received;
        let mut lines = vec![];
        for (plan, room) in self.rooms() {
            let is_open = |wanted: &dyn Fn(&Closer) -> bool| room.unsettled().any(wanted);
            if is_open(&finding) || !is_open(&work) {
                continue;
            }
            let inside = if self.is_occupied(plan) { ", PATIENT INSIDE" } else { "" };
            let next = self.board.next_step(plan.code, self.now).map(|step| format!("; next: {}", step.text));
            let what = match room.state() {
                State::TreatedWet | State::TreatedDry => room.state().word(),
                _ if is_open(&|c: &Closer| c.cause.is_preparation()) => "prepared for treatment",
                _ => "received somebody or something from a case room",
            };
            lines.push(format!("{}: {what}{inside}{}", plan.code, next.unwrap_or_default()));
        }
        lines
    }

    fn rooms(&self) -> impl Iterator<Item = (&RoomPlan, &Room)> {
        let plans = self.board.facility().in_walking_order();
        plans.filter_map(|plan| Some((plan, self.board.room(plan.code)?)))
    }

    /// Rooms with a finding that nobody has settled, the newest finding first: what was found, and what comes next.
    fn open_findings(&self) -> Vec<String> {
        let finding = |closer: &&Closer| {
            matches!(closer.cause, Cause::Suspicion { .. } | Cause::Confirmed) && closer.voided.is_none()
        };
        let mut found: Vec<(Time, String)> = vec![];
        for (plan, room) in self.rooms() {
            let Some(newest) = room.unsettled().filter(finding).max_by_key(|closer| (closer.happened, closer.number))
            else {
                continue;
            };
            let what = self.entry(newest.number).map(|entry| sentence(entry, self.board));
            let more = room.unsettled().filter(finding).count() - 1;
            let more = if more > 0 { format!(" and {more} before") } else { String::new() };
            let inside = if self.is_occupied(plan) { ", PATIENT INSIDE" } else { "" };
            let next = self.board.next_step(plan.code, self.now).map(|step| format!("; next: {}", step.text));
            let line = format!(
                "{}: {}{inside}; {}, {} (entry {}{more}){}",
                plan.code,
                room.state(),
                what.unwrap_or_else(|| "a finding".to_owned()),
                self.clock(newest.happened),
                newest.number,
                next.unwrap_or_default()
            );
            found.push((newest.happened, line));
        }
        found.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
        found.into_iter().map(|(_, line)| line).collect()
    }

    fn is_occupied(&self, plan: &RoomPlan) -> bool {
        plan.beds.iter().any(|bed: &Bed| self.board.occupancy(bed.code, self.now) == Occupancy::Occupied)
    }

    fn best(&self) -> Vec<String> {
        let opening = self.tasks.iter().filter(|task| !task.gives.opens.is_empty() && self.can_be_done(task));
        let best = opening.max_by_key(|task| task.gives.worth());
        best.map(|task| format!("{}: {}; {}", task.room, self.words(task), task.gives.words())).into_iter().collect()
    }

    /// The rooms out of which a patient has to be moved before anything else is done in them.
    fn to_move_out(&self) -> Vec<Code> {
        let first = |code: &Code| {
            let step = self.board.next_step(*code, self.now);
            step.is_some_and(|step| step.verb == "move-patient")
        };
        self.rooms().map(|(plan, _)| plan.code).filter(first).collect()
    }

    fn can_be_done(&self, task: &Task) -> bool {
        task.can_be_done(self.board.state(task.room), self.now)
    }

    /// Rooms in which something that holds their beds can be done now; patients who are to be moved out before all else.
    fn to_work_on(&self) -> Vec<String> {
        let out = self.to_move_out();
        let mut rooms: Vec<(Code, Vec<String>)> = vec![];
        for task in self.tasks.iter().filter(|task| task.kind.holds_beds() && self.can_be_done(task)) {
            if out.contains(&task.room) {
                continue;
            }
            let wet = self.board.state(task.room) == State::TreatedWet;
            let words = match (wet, task.kind) {
                (true, TaskKind::Bag) => format!("{} if it is out of the room", self.words(task)),
                (true, TaskKind::DryCheck) => format!("{}, by touch, gloved", self.words(task)),
                _ => self.words(task),
            };
            match rooms.iter_mut().find(|(room, _)| *room == task.room) {
                Some((_, needs)) => needs.push(words),
                None => rooms.push((task.room, vec![words])),
            }
        }
        let moves = out.iter().filter_map(|code| {
            let step = self.board.next_step(*code, self.now)?;
            Some(format!("{code}: first {} ({})", step.text, step.role.title()))
        });
        moves.chain(rooms.into_iter().map(|(room, needs)| format!("{room}: {}", needs.join(", ")))).collect()
    }

    /// Those that nobody finds before those that are only old.
    fn oldest_bags(&self) -> Vec<String> {
        let bags = || self.tasks.iter().filter(|task| task.kind == TaskKind::Bag);
        let is_lost = |task: &&&Task| past::lost(task, self.board, self.entries).is_some();
        let lost = bags().filter(|task| is_lost(&task));
        lost.chain(bags().filter(|task| !is_lost(&task)).take(5)).map(|task| self.task_line(task)).collect()
    }

    fn taken(&self) -> Vec<String> {
        let mut taken: BTreeMap<Code, Vec<String>> = BTreeMap::new();
        for task in &self.tasks {
            if let Some(by) = task.accepted_by {
                taken.entry(by).or_default().push(format!("{} in {}", self.words(task), task.room));
            }
        }
        taken.into_iter().map(|(by, tasks)| format!("{by}: {}", tasks.join(", "))).collect()
    }

    /// Leads, whoever acts as one, and whoever will; and who helps where no lead is to be had.
    fn may_sign(&self) -> Vec<String> {
        let people = || self.board.people().values().filter(|person| !person.left);
        let leads = people().filter(|person| person.role == Role::Lead);
        let mut lines: Vec<String> =
            leads.map(|it| format!("{} {}, housekeeping lead", it.initials, it.name)).collect();
        for person in people().filter(|person| person.role != Role::Lead) {
            let Some((from, until)) = person.acting_lead.filter(|(_, until)| *until > self.now) else { continue };
            let when = match from <= self.now {
                true => format!("acts as lead until {}", self.clock(until)),
                false => format!("acts as lead from {} to {}: not yet", self.clock(from), self.clock(until)),
            };
            lines.push(format!("{} {}, {when}", person.initials, person.name));
        }
        let prevention = people().filter(|person| person.role == Role::InfectionPrevention);
        lines.extend(prevention.map(|it| {
            format!(
                "{} {}, infection prevention: no return, but voids, looks, attests, names an acting lead",
                it.initials, it.name
            )
        }));
        if !lines.is_empty() {
            lines.push("not known here: who of them is in the house".to_owned());
        }
        lines
    }
}

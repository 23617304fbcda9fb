//! What a shift asks first: rooms not to enter, what changed since one was last here, what is carried over and what can be
//! worked on, the beds that will read unknown, who has what, and who may sign now. It is read from the board and the
//! entries; nothing of it is kept.

use std::collections::BTreeMap;

use chrono::TimeDelta;
use chrono_tz::Tz;

use super::board::{Board, Earliest, Occupancy, State, Task, TaskKind};
use super::code::Code;
use super::describe::sentence;
use super::entry::{Body, Entry, Place, Time};
use super::people::{Person, Role};
use super::policy::Setting;
use super::rule::Rule;

/// One question and its answers, a line each. The rooms that a line is about come first in its text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Question {
    pub title: String,
    pub lines: Vec<String>,
}

/// Whoever noted something less long ago is taken to be still at it.
const STILL_HERE: TimeDelta = TimeDelta::hours(4);
/// More lines than this are counted.
const MOST_LINES: usize = 12;

/// The questions of one who looks, in the order in which their role asks them. Without a person: of everybody.
pub fn shift(board: &Board, entries: &[Entry], person: Option<&Person>, now: Time) -> Vec<Question> {
    let look = Look { board, entries, now, zone: board.facility().time_zone, tasks: board.tasks(now) };
    let since = look.since(person);
    let not_to_enter = look.question("Do not enter", look.not_to_enter(), "no room is wet");
    let changed =
        look.question(&format!("Since {}", look.clock(since)), look.changed(since), "nothing opened or closed");
    let closing = look.question("Beds that close today", look.closing(), "none by the clock");
    let carried = look.question("Carried over", look.carried_over(), "nothing is overdue");
    let best = look.question("Opens most beds", look.best(), "no single task opens a bed now");
    let rooms = look.question("Can be worked on", look.to_work_on(), "no room now");
    let bags = look.question("Oldest bags", look.oldest_bags(), "no bag is out");
    let taken = look.question("Who has what", look.taken(), "nobody took a task");
    let signs = look.question("May sign now", look.may_sign(), "nobody: no lead is on the roster");
    let open = look.question("Open beds", look.open(), "no bed is open");
    let promised = look.question("Promised beds", look.promised(), "no bed is promised");
    let things = look.question("Things on their way", look.things(), "nothing left a room and has not arrived");
    let odd = look.question("Exceptions", look.exceptions(since), "none since then");
    let handed = look.handed_over();
    let mut questions = match person.map(|person| person.role) {
        Some(Role::Lead | Role::Housekeeper | Role::Technician | Role::Laundry) => {
            vec![not_to_enter, carried, best, rooms, bags, things, taken, changed, promised, closing, odd, signs]
        }
        Some(Role::InfectionPrevention) => vec![not_to_enter, odd, changed, carried, rooms, taken, signs],
        Some(Role::ChargeNurse | Role::Reader) | None => {
            vec![not_to_enter, open, promised, closing, signs, changed, best, odd, carried, things, taken]
        }
    };
    if !handed.is_empty() {
        questions.insert(1, look.question("Handed over", handed, ""));
    }
    questions
}

/// What to do first with a bug, in order: common practice, no source.
pub const BUG_FOUND: [&str; 5] = [
    "Keep it: in a closed jar or bag, or under clear tape, with the place and the time on it.",
    "Do not move the patient, the bed or the linens out of the room yet.",
    "Note it here: b. The beds of the room close at once.",
    "Tell the housekeeping lead, or whoever is named above as one who may sign.",
    "Touch and spray nothing: only people trained and licensed for it treat a room.",
];

struct Look<'a> {
    board: &'a Board,
    entries: &'a [Entry],
    now: Time,
    zone: Tz,
    tasks: Vec<Task>,
}

impl Look<'_> {
    fn question(&self, title: &str, mut lines: Vec<String>, none: &str) -> Question {
        if lines.is_empty() {
            lines.push(none.to_owned());
        }
        if lines.len() > MOST_LINES {
            let more = lines.len() - MOST_LINES + 1;
            lines.truncate(MOST_LINES - 1);
            lines.push(format!("and {more} more"));
        }
        Question { title: title.to_owned(), lines }
    }

    /// When this person last noted something before this shift; else a shift ago.
    fn since(&self, person: Option<&Person>) -> Time {
        let before = self.now - STILL_HERE;
        let own = |entry: &&Entry| person.is_some_and(|it| it.initials == entry.noted_by) && entry.noted <= before;
        let last = self.entries.iter().rev().find(own).map(|entry| entry.noted);
        last.unwrap_or(self.now - self.board.shift())
    }

    fn clock(&self, time: Time) -> String {
        let (there, today) = (time.with_timezone(&self.zone), self.now.with_timezone(&self.zone));
        let same_day = there.date_naive() == today.date_naive();
        there.format(if same_day { "%H:%M" } else { "%a %-d %b %H:%M" }).to_string()
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

    /// What opened or closed a room, newest first.
    fn changed(&self, since: Time) -> Vec<String> {
        let tells = |entry: &&Entry| {
            matches!(
                entry.body,
                Body::Finding { .. }
                    | Body::Identified { .. }
                    | Body::PatientOut { .. }
                    | Body::Prepared { .. }
                    | Body::Sprayed { .. }
                    | Body::DryChecked { .. }
                    | Body::OutOfService { .. }
                    | Body::EnteredWet { .. }
                    | Body::ThingLeft { .. }
                    | Body::ThingArrived { .. }
                    | Body::SecondChecked { .. }
                    | Body::Downtime { .. }
                    | Body::Restored { .. }
                    | Body::WentBack { .. }
                    | Body::ReturnedToService { .. }
                    | Body::Cleared { .. }
                    | Body::InService { .. }
                    | Body::NothingApplied { .. }
                    | Body::WardWalked { .. }
                    | Body::Voided { .. }
            )
        };
        let newest = self.entries.iter().rev().take_while(|entry| entry.noted >= since);
        let line = |entry: &Entry| {
            format!(
                "{}: {}, {} by {}",
                place(entry),
                sentence(entry, self.board),
                self.clock(entry.happened),
                entry.done_by
            )
        };
        newest.filter(tells).map(line).collect()
    }

    /// What people left for this shift, newest first.
    fn handed_over(&self) -> Vec<String> {
        let since = self.now - self.board.shift();
        let recent = self.entries.iter().rev().take_while(|entry| entry.noted >= since);
        let line = |entry: &Entry| match &entry.body {
            Body::HandedOver { text } => {
                Some(format!("{}: {text}, {} by {}", place(entry), self.clock(entry.noted), entry.noted_by))
            }
            _ => None,
        };
        recent.filter_map(line).collect()
    }

    fn exceptions(&self, since: Time) -> Vec<String> {
        let exceptions = self.board.exceptions().iter().rev();
        let noted = |number| self.entries.iter().rev().find(|entry| entry.number == number).map(|entry| entry.noted);
        let new = exceptions.filter(|it| noted(it.number).is_some_and(|at| at >= since));
        new.map(|it| {
            format!(
                "{}: {} (entry {})",
                it.room.map_or("hospital".to_owned(), |room| room.to_string()),
                it.text,
                it.number
            )
        })
        .collect()
    }

    /// Of each ward how many and which, a line each.
    fn open(&self) -> Vec<String> {
        let mut wards: BTreeMap<Code, (Vec<String>, usize)> = BTreeMap::new();
        for plan in self.board.facility().in_walking_order() {
            let counted = wards.entry(plan.ward).or_default();
            counted.1 += plan.beds.len();
            for bed in plan.beds.iter().filter(|bed| self.board.admission(bed.code, self.now).is_empty()) {
                let used = self.board.room(plan.code).and_then(|room| room.beds.get(&bed.code));
                let kept = if used.is_some_and(|used| used.promised.is_some()) { " (promised)" } else { "" };
                counted.0.push(format!("{}{kept}", bed.code));
            }
        }
        let line = |(ward, (open, all)): (Code, (Vec<String>, usize))| match open.is_empty() {
            true => format!("ward {ward}: none of {all}"),
            false => format!("ward {ward}: {} of {all}: {}", open.len(), open.join(", ")),
        };
        wards.into_iter().filter(|(_, (_, all))| *all > 0).map(line).collect()
    }

    /// Soonest wanted first, against the present earliest time, with the one blocker and who has it.
    fn promised(&self) -> Vec<String> {
        let promises = self.board.promises();
        promises
            .into_iter()
            .map(|(bed, promise)| {
                let by = format!("{bed}: wanted {}, promised by {}", self.clock(promise.wanted), promise.by);
                let stands = match self.board.earliest(bed, self.now) {
                    Earliest::Now => return format!("{by}; open"),
                    _ if self.board.occupancy(bed, self.now) == Occupancy::Occupied => {
                        return format!("{by}; a patient is still in it");
                    }
                    Earliest::NotBefore(at) if at > promise.wanted => {
                        format!("LATE: {} at the earliest", self.clock(at))
                    }
                    Earliest::NotBefore(at) => format!("{} at the earliest", self.clock(at)),
                    Earliest::Unknown { waits_for } => format!("no time: it waits for {waits_for}"),
                };
                let room = self.board.facility().room_of_bed(bed).map(|plan| plan.code);
                let step = room.and_then(|room| self.board.next_step(room, self.now));
                let next = step.map(|step| {
                    let taken = self.tasks.iter().find(|task| Some(task.room) == room && task.verb == step.verb);
                    let who = taken.and_then(|task| task.accepted_by);
                    let who = who.map_or(step.role.title().to_owned(), |by| format!("{by} has it"));
                    format!("; next: {}, {who}", step.text)
                });
                format!("{by}; {stands}{}", next.unwrap_or_default())
            })
            .collect()
    }

    /// What left a room under a tag and did not arrive.
    fn things(&self) -> Vec<String> {
        let line = |thing: &super::board::Thing| {
            let to = thing.to.map_or("nobody said where to".to_owned(), |to| format!("to {to}"));
            let wet = if thing.wet { ", WET" } else { "" };
            format!("{}: {} left at {}, {to}{wet}", thing.from, thing.tag, self.clock(thing.left))
        };
        self.board.things_under_way().map(line).collect()
    }

    /// Beds that are open now, and will not be known as empty any more before a shift is over. A line a ward.
    fn closing(&self) -> Vec<String> {
        if !self.board.policy().is_on(Setting::OccupancyKept) {
            return vec![];
        }
        let shift = self.board.shift();
        let mut lines = self.unknown();
        let mut wards: BTreeMap<Code, (usize, Time)> = BTreeMap::new();
        for plan in self.board.facility().in_walking_order() {
            for bed in plan.beds.iter().filter(|bed| self.board.admission(bed.code, self.now).is_empty()) {
                let Some(ends) = self.board.occupancy_noted(bed.code).and_then(|at| at.checked_add_signed(shift))
                else {
                    continue;
                };
                let known = wards.entry(plan.ward).or_insert((0, ends));
                *known = (known.0 + 1, known.1.min(ends));
            }
        }
        let line = |(ward, (beds, first)): (Code, (usize, Time))| {
            let beds = if beds == 1 { "1 open bed reads".to_owned() } else { format!("{beds} open beds read") };
            format!("ward {ward}: {beds} unknown from {} on, unless the ward's beds are confirmed", self.clock(first))
        };
        lines.extend(wards.into_iter().map(line));
        lines
    }

    /// Beds that nothing closes but that nobody confirmed them for longer than a shift. A line a ward.
    fn unknown(&self) -> Vec<String> {
        let mut wards: BTreeMap<Code, usize> = BTreeMap::new();
        for plan in self.board.facility().in_walking_order() {
            let only_unknown = |bed: &&super::facility::Bed| {
                self.board.occupancy(bed.code, self.now) == Occupancy::Unknown
                    && self.board.admission(bed.code, self.now).iter().all(|it| it.rule == Rule::Occupancy)
            };
            *wards.entry(plan.ward).or_default() += plan.beds.iter().filter(only_unknown).count();
        }
        let line = |(ward, count): (Code, usize)| {
            let beds = if count == 1 { "1 bed reads" } else { &format!("{count} beds read") };
            format!("ward {ward}: {beds} unknown and could be open: confirm the ward's beds (charge nurse; 2, then c)")
        };
        wards.into_iter().filter(|(_, count)| *count > 0).map(line).collect()
    }

    fn task_line(&self, task: &Task) -> String {
        let when = match task.due {
            Some(due) if task.overdue => format!(", due since {}", self.clock(due)),
            Some(due) => format!(", due {}", self.clock(due)),
            None => String::new(),
        };
        let who = task.accepted_by.map_or(task.role.title().to_owned(), |by| format!("{by} has it"));
        format!("{}: {}{when}; {who}", task.room, task.need)
    }

    fn carried_over(&self) -> Vec<String> {
        let late = self.tasks.iter().filter(|task| task.overdue && task.kind != TaskKind::DailyLook);
        let mut lines: Vec<String> = late.map(|task| self.task_line(task)).collect();
        let looks = self.tasks.iter().filter(|task| task.overdue && task.kind == TaskKind::DailyLook).count();
        if looks > 0 {
            lines.push(format!("daily looks of {looks} room{}", if looks == 1 { "" } else { "s" }));
        }
        lines
    }

    fn best(&self) -> Vec<String> {
        let opening = self.tasks.iter().filter(|task| !task.gives.opens.is_empty() && task.due.is_some());
        let best = opening.max_by_key(|task| task.gives.worth());
        let mut lines: Vec<String> =
            best.map(|task| format!("{}: {}; {}", task.room, task.need, task.gives.words())).into_iter().collect();
        if self.board.policy().is_on(Setting::OccupancyKept) {
            lines.extend(self.unknown());
        }
        lines
    }

    /// Rooms in which something that holds their beds can be done now.
    fn to_work_on(&self) -> Vec<String> {
        let mut rooms: Vec<(Code, Vec<&str>)> = vec![];
        let ripe = |task: &&Task| {
            let waits = task.kind == TaskKind::DryCheck && task.due.is_some_and(|due| due > self.now);
            task.kind.holds_beds() && task.due.is_some() && !waits
        };
        for task in self.tasks.iter().filter(ripe) {
            match rooms.iter_mut().find(|(room, _)| *room == task.room) {
                Some((_, needs)) => needs.push(&task.need),
                None => rooms.push((task.room, vec![&task.need])),
            }
        }
        rooms.into_iter().map(|(room, needs)| format!("{room}: {}", needs.join(", "))).collect()
    }

    fn oldest_bags(&self) -> Vec<String> {
        let bags = self.tasks.iter().filter(|task| task.kind == TaskKind::Bag);
        bags.take(5).map(|task| self.task_line(task)).collect()
    }

    fn taken(&self) -> Vec<String> {
        let mut taken: BTreeMap<Code, Vec<String>> = BTreeMap::new();
        for task in &self.tasks {
            if let Some(by) = task.accepted_by {
                taken.entry(by).or_default().push(format!("{} in {}", task.need, task.room));
            }
        }
        taken.into_iter().map(|(by, tasks)| format!("{by}: {}", tasks.join(", "))).collect()
    }

    /// Leads, whoever acts as one, and whoever will.
    fn may_sign(&self) -> Vec<String> {
        let people = || self.board.people().values().filter(|person| !person.left);
        let leads = people().filter(|person| person.role == Role::Lead);
        let mut lines: Vec<String> =
            leads.map(|it| format!("{} {}, housekeeping lead", it.initials, it.name)).collect();
        for person in people().filter(|person| person.role != Role::Lead) {
            let Some((from, until)) = person.acting_lead.filter(|(_, until)| *until >= self.now) else { continue };
            let when = match from <= self.now {
                true => format!("acts as lead until {}", self.clock(until)),
                false => format!("acts as lead from {} to {}: not yet", self.clock(from), self.clock(until)),
            };
            lines.push(format!("{} {}, {when}", person.initials, person.name));
        }
        lines
    }
}

fn place(entry: &Entry) -> String {
    match &entry.place {
        Place::Hospital => "hospital".to_owned(),
        Place::Unknown => "place unknown".to_owned(),
        Place::Ward(ward) => format!("ward {ward}"),
        Place::Rooms(rooms) => rooms.iter().map(Code::to_string).collect::<Vec<_>>().join(", "),
    }
}

//! The whole hospital in short, worked out once when something changed, so that a key costs no more than its frame.

use std::collections::BTreeMap;
use std::ops::Range;

use chrono_tz::Tz;

use super::age;
use super::look::Part;
use super::paint::width;
use super::step::{self, StepLine};
use crate::domain::board::{BedMark, Board, Cause, Earliest, NextStep, Occupancy, State, Task};
use crate::domain::code::Code;
use crate::domain::entry::Time;
use crate::domain::facility::{Bed, RoomPlan, Side};
use crate::domain::rule::Rule;
use crate::domain::shown::shown;

#[derive(Default)]
pub struct Survey {
    pub hospital: String,
    pub wards: Vec<WardLine>,
    /// Ward by ward, in walking order.
    pub rooms: Vec<RoomLine>,
    index: BTreeMap<Code, usize>,
    /// All that is due, soonest first.
    pub tasks: Vec<Task>,
    /// By which it was worked out. None: it was not yet.
    pub clock: Option<(Time, Tz)>,
    /// How many rooms are in each state, in the order of [`State::ALL`].
    pub by_state: [usize; 6],
    pub beds: usize,
    /// Open and free; and open, but kept for somebody.
    pub open: usize,
    pub promised: usize,
    /// What is to be known of some open bed.
    pub marks: Vec<BedMark>,
    /// Columns of the longest code.
    pub longest_code: u16,
}

pub struct WardLine {
    pub code: Code,
    pub name: String,
    pub rooms: Range<usize>,
    pub beds: usize,
    pub open: usize,
    pub promised: usize,
    /// Rooms in which something can be done now.
    pub work: usize,
}

pub struct RoomLine {
    pub code: Code,
    /// The room's code without its ward's, where it begins with that: under the ward's name it says enough.
    pub short: String,
    pub name: String,
    /// Its place in [`Survey::wards`].
    pub ward: usize,
    pub state: State,
    /// All its beds are closed, for more than the patients in them.
    pub closed: bool,
    pub beds: Vec<BedLine>,
    pub opposite: Option<Code>,
    /// The next step in words, of a room that has one.
    pub next: Option<String>,
    /// The move that the next step is.
    pub next_verb: Option<&'static str>,
    /// Who may not take it whatever their role.
    pub next_not_for: Vec<Code>,
    pub step: Option<StepLine>,
    /// What is overdue in the room and is not its next step.
    pub overdue: Option<StepLine>,
    /// Of a room that nobody may enter: since when, with its age.
    pub wet_since: Option<String>,
    /// It is wet, and a patient lies in it.
    pub patient_inside: bool,
    /// A place without beds that serves these rooms: a bathroom between two.
    pub serves: Vec<Code>,
}

pub struct BedLine {
    pub code: Code,
    /// The bed's code without its room's, where it begins with that.
    pub short: String,
    /// The bed's code without its ward's, where it begins with that.
    pub label: String,
    pub features: Vec<String>,
    pub occupancy: Occupancy,
    pub blockers: Vec<BlockerLine>,
    /// What is to be known of it, if it is open.
    pub marks: Vec<BedMark>,
    /// Kept for somebody who is expected: when, and what the bed can keep of it.
    pub promised: Option<PromiseLine>,
    /// Of a closed bed that nobody lies in: when it could be open if all is done without a pause, or what has no time. A
    /// plan, no permission.
    pub earliest: Option<String>,
}

pub struct PromiseLine {
    pub at: Time,
    /// The hour it is wanted at, in the hospital's time.
    pub wanted: String,
    /// The hour is over: by so much.
    pub late_by: Option<String>,
    pub stands: Stands,
}

/// Whether a promise can be kept as things are now. An estimate of the order of work, and no permission.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Stands {
    Open,
    /// Open by then at the earliest, if all is done without a pause.
    InTime {
        earliest: String,
        /// When the work has to begin. None: there is none left.
        begin_by: Option<String>,
        /// It is late if the work waits until it falls due.
        late_when_due: bool,
    },
    Late(String),
    /// What nobody can put a time on.
    Waits(String),
    /// Somebody lies in it.
    Occupied,
}

pub struct BlockerLine {
    pub rule: &'static str,
    pub text: String,
    pub entries: Vec<u64>,
}

/// The signs of the beds, what each stands for in a word, and in full.
pub(super) const BED_SIGNS: [(char, &str, &str); 5] = [
    ('O', "open", "open"),
    ('k', "kept", "open, and kept for somebody to whom it is promised"),
    ('p', "patient", "with a patient"),
    ('x', "closed", "no patient noted, closed"),
    ('u', "unknown", "not known to be empty"),
];

/// What can be said of a bed in one word.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BedWord {
    Open,
    /// Nothing but its patient keeps it.
    Occupied,
    Closed,
}

impl BedLine {
    pub fn word(&self) -> BedWord {
        match self.blockers.as_slice() {
            [] => BedWord::Open,
            [only] if self.occupancy == Occupancy::Occupied && only.rule == Rule::Occupancy.code() => BedWord::Occupied,
            _ => BedWord::Closed,
        }
    }

    /// Open, and promised to nobody.
    pub fn is_free(&self) -> bool {
        self.word() == BedWord::Open && self.promised.is_none()
    }

    /// One sign for the tiles of the Board. None is the sign of a state.
    pub fn sign(&self) -> char {
        self.marked().0
    }

    fn marked(&self) -> (char, &'static str, &'static str) {
        match (self.word(), self.occupancy) {
            (BedWord::Open, _) if self.promised.is_none() => BED_SIGNS[0],
            (BedWord::Open, _) => BED_SIGNS[1],
            (_, Occupancy::Occupied) => BED_SIGNS[2],
            (_, Occupancy::Empty) => BED_SIGNS[3],
            // Closed for more than that nobody said whether it is empty.
            (_, Occupancy::Unknown) if self.blockers.iter().any(|it| it.rule != Rule::Occupancy.code()) => BED_SIGNS[3],
            (_, Occupancy::Unknown) => BED_SIGNS[4],
        }
    }

    /// What the sign stands for, in a word, with what is to be known of an open bed.
    pub fn sign_words(&self) -> String {
        let marks = self.marks.iter().map(|mark| format!(", {}", mark.words()));
        format!("{}{}", self.marked().1, marks.collect::<String>())
    }

    /// The word alone, with the signs of what is to be known.
    pub fn short_words(&self) -> String {
        format!("{}{}", self.marked().1, mark_signs(&self.marks))
    }
}

pub(super) fn mark_signs(marks: &[BedMark]) -> String {
    marks.iter().map(|mark| mark.sign()).collect()
}

/// The same for a line with little space.
pub(super) fn short_mark_legend(used: &[BedMark]) -> String {
    used.iter().map(|mark| format!("{} {}", mark.sign(), mark.short_words())).collect::<Vec<_>>().join("  ")
}

/// `+ next to a case, * daily check overdue`, of those that are used. Empty: none is.
pub(super) fn mark_legend(used: &[BedMark], between: &str) -> String {
    let one = |mark: &BedMark| format!("{} {}", mark.sign(), mark.words());
    used.iter().map(one).collect::<Vec<_>>().join(between)
}

/// Nobody in a hurry types the dash.
fn plain(text: &str) -> String {
    text.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_lowercase()).collect()
}

impl RoomLine {
    /// The bed whose code this is, as it is typed in a hurry. None: it is no bed's, or the room's too.
    pub fn bed_typed(&self, typed: &str) -> Option<Code> {
        let typed = plain(typed);
        let is_room = plain(self.code.as_str()) == typed;
        self.beds.iter().map(|bed| bed.code).find(|bed| !is_room && plain(bed.as_str()) == typed)
    }

    /// What is to be known of its open beds.
    pub fn marks(&self) -> Vec<BedMark> {
        let used = |mark: &BedMark| self.beds.iter().any(|bed| bed.marks.contains(mark));
        BedMark::ALL.into_iter().filter(used).collect()
    }
}

impl BedWord {
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Occupied => "occupied",
            Self::Closed => "closed",
        }
    }

    pub fn part(self) -> Part {
        match self {
            Self::Open => Part::Open,
            Self::Occupied | Self::Closed => Part::Plain,
        }
    }
}

/// The sign that stands for a state at a fixed place, the same in every look.
pub(super) fn state_sign(state: State) -> char {
    match state {
        State::Clear => '.',
        State::Suspect => '?',
        State::Confirmed => '#',
        State::TreatedWet => '~',
        State::TreatedDry => '=',
        State::Monitoring => ':',
    }
}

pub(super) fn state_part(state: State) -> Part {
    match state {
        State::Clear => Part::Plain,
        State::Suspect => Part::Suspect,
        State::Confirmed => Part::Confirmed,
        State::TreatedWet => Part::Wet,
        State::TreatedDry => Part::Dry,
        State::Monitoring => Part::Monitoring,
    }
}

/// The state in at most seven columns, for narrow tiles. Never one that could pass for "ready".
pub(super) fn state_short(state: State) -> &'static str {
    match state {
        State::Clear => "clear",
        State::Suspect => "suspect",
        State::Confirmed => "confirm",
        State::TreatedWet => "tr-wet",
        State::TreatedDry => "tr-dry",
        State::Monitoring => "monitor",
    }
}

impl Survey {
    pub fn of(board: &Board, now: Time) -> Self {
        let facility = board.facility();
        let tasks = board.tasks(now);
        let mut of_rooms: BTreeMap<Code, Vec<&Task>> = BTreeMap::new();
        for task in &tasks {
            of_rooms.entry(task.room).or_default().push(task);
        }
        let clock = Some((now, facility.time_zone));
        let mut survey = Self { hospital: shown(&facility.name), clock, ..Self::default() };
        for ward in facility.wards.values() {
            let first = survey.rooms.len();
            for plan in ward.rooms.iter().filter_map(|code| facility.room(*code)) {
                let line = room_line(
                    board,
                    plan,
                    survey.wards.len(),
                    of_rooms.get(&plan.code).map(Vec::as_slice).unwrap_or_default(),
                    now,
                );
                if let Some(count) = survey.by_state.get_mut(line.state as usize) {
                    *count += 1;
                }
                survey.index.insert(line.code, survey.rooms.len());
                survey.rooms.push(line);
            }
            let rooms = first..survey.rooms.len();
            let beds = || survey.rooms.get(rooms.clone()).unwrap_or_default().iter().flat_map(|room| &room.beds);
            let (all, open) = (beds().count(), beds().filter(|bed| bed.is_free()).count());
            let promised = beds().filter(|bed| bed.word() == BedWord::Open).count() - open;
            survey.beds += all;
            survey.open += open;
            survey.promised += promised;
            let to_do = |room: &&RoomLine| room.overdue.is_some() || room.step.as_ref().is_some_and(|step| step.ripe);
            let work = survey.rooms.get(rooms.clone()).unwrap_or_default().iter().filter(to_do).count();
            let name = shown(&ward.name);
            survey.wards.push(WardLine { code: ward.code, name, rooms, beds: all, open, promised, work });
        }
        let used =
            |mark: &BedMark| survey.rooms.iter().any(|room| room.beds.iter().any(|bed| bed.marks.contains(mark)));
        survey.marks = BedMark::ALL.into_iter().filter(used).collect();
        survey.longest_code = survey.rooms.iter().map(|room| width(room.code.as_str())).max().unwrap_or(0);
        survey.tasks = tasks;
        survey
    }

    /// `12 of 70`, and what is kept of them.
    pub fn open_words(&self, between: &str) -> String {
        open_words(self.open, self.promised, self.beds, between)
    }

    pub fn room(&self, code: Code) -> Option<&RoomLine> {
        self.rooms.get(*self.index.get(&code)?)
    }

    /// Its place along the walk.
    pub fn position(&self, code: Code) -> Option<usize> {
        self.index.get(&code).copied()
    }

    /// Rooms whose code, or whose bed's code, begins with what was typed; an exact code first.
    pub fn find(&self, typed: &str) -> Vec<usize> {
        let typed = plain(typed);
        if typed.is_empty() {
            return vec![];
        }
        let begins = |code: &Code| plain(code.as_str()).starts_with(&typed);
        let inside = |code: &Code| plain(code.as_str()).contains(&typed);
        let rank = |room: &RoomLine| {
            if plain(room.code.as_str()) == typed {
                Some(0)
            } else if begins(&room.code) {
                Some(1)
            } else if room.beds.iter().any(|bed| begins(&bed.code)) {
                Some(2)
            } else {
                inside(&room.code).then_some(3)
            }
        };
        let mut found: Vec<(u8, usize)> =
            self.rooms.iter().enumerate().filter_map(|(at, room)| Some((rank(room)?, at))).collect();
        found.sort_unstable();
        found.into_iter().map(|(_, at)| at).collect()
    }
}

/// `12 of 70 open, 1 of them promised`: what is promised is given to nobody else. `free`: the others.
pub(super) fn open_words(free: usize, promised: usize, beds: usize, between: &str) -> String {
    let kept = if promised > 0 { format!(", {promised} of them promised") } else { String::new() };
    format!("{} of {beds}{between}{kept}", free + promised)
}

/// The same for a line with little space: `12 of 70 open, 1 promised`.
pub(super) fn short_open_words(free: usize, promised: usize, beds: usize) -> String {
    let kept = if promised > 0 { format!(", {promised} promised") } else { String::new() };
    format!("{} of {beds} open{kept}", free + promised)
}

/// Only one ward's lines, or all.
#[derive(Default)]
pub(super) struct WardFilter(Option<Code>);

impl WardFilter {
    /// The ward may be gone.
    pub(super) fn settle(&mut self, survey: &Survey) {
        self.0 = self.0.filter(|code| survey.wards.iter().any(|ward| ward.code == *code));
    }

    /// The next ward, and after the last all of them.
    pub(super) fn turn(&mut self, survey: &Survey) {
        let at = self.0.and_then(|code| survey.wards.iter().position(|ward| ward.code == code));
        self.0 = survey.wards.get(at.map_or(0, |at| at + 1)).map(|ward| ward.code);
    }

    pub(super) fn lists(&self, room: &RoomLine, survey: &Survey) -> bool {
        self.0.is_none() || survey.wards.get(room.ward).map(|ward| ward.code) == self.0
    }

    pub(super) fn ward(&self) -> Option<Code> {
        self.0
    }

    /// Before a heading: `3N: `, or nothing.
    pub(super) fn shown(&self) -> String {
        self.0.map(|code| format!("{code}: ")).unwrap_or_default()
    }
}

fn room_line(board: &Board, plan: &RoomPlan, ward: usize, tasks: &[&Task], now: Time) -> RoomLine {
    let marks = board.marks_of_room(plan, now);
    let line = |bed: &Bed| {
        let blockers = board.admission(bed.code, now);
        BedLine {
            code: bed.code,
            short: short_code(bed.code, plan.code),
            label: short_code(bed.code, plan.ward),
            features: bed.features.iter().map(|feature| shown(feature)).collect(),
            occupancy: board.occupancy(bed.code, now),
            marks: if blockers.is_empty() { marks.clone() } else { vec![] },
            blockers: blockers
                .into_iter()
                .map(|blocker| BlockerLine {
                    rule: blocker.rule.code(),
                    text: shown(&blocker.text),
                    entries: blocker.entries.iter().map(|number| number.0).collect(),
                })
                .collect(),
            promised: promise(board, bed.code, tasks, now),
            earliest: earliest(board, bed.code, now),
        }
    };
    let beds: Vec<BedLine> = plan.beds.iter().map(line).collect();
    let closed = |bed: &BedLine| bed.blockers.iter().any(|blocker| blocker.rule != Rule::Occupancy.code());
    let zone = board.facility().time_zone;
    let step = board.next_step(plan.code, now);
    let next_verb = step.as_ref().map(|step| step.verb);
    let next_not_for = step.as_ref().map(|step| step.not_for.clone()).unwrap_or_default();
    let step = step.map(|step| StepLine::of(&step, tasks, now, zone));
    let step = step.or_else(|| step_of_space(board, plan.code, now));
    let next = step.as_ref().map(|step| match step.when.as_str() {
        "" => step.text.clone(),
        when => format!("{}, {when}", step.text),
    });
    let late = tasks.iter().find(|task| task.overdue && !next_verb.is_some_and(|verb| step::does(verb, task)));
    let state = board.state(plan.code);
    RoomLine {
        code: plan.code,
        short: short_code(plan.code, plan.ward),
        name: shown(&plan.name),
        ward,
        state,
        closed: !beds.is_empty() && beds.iter().all(closed),
        beds,
        opposite: plan.neighbours.iter().find(|it| it.side == Side::Opposite).map(|it| it.room),
        next,
        next_verb,
        next_not_for,
        step,
        overdue: late.map(|task| StepLine::of_task(task, now, zone)),
        wet_since: (state == State::TreatedWet).then(|| wet_since(board, plan.code, now)),
        patient_inside: state == State::TreatedWet
            && plan.beds.iter().any(|bed| board.occupancy(bed.code, now) == Occupancy::Occupied),
        serves: plan.serves.clone(),
    }
}

/// What a room waits for that asks for nothing itself: the next step in a space that serves it.
fn step_of_space(board: &Board, room: Code, now: Time) -> Option<StepLine> {
    let step = space_first(board, room, now)?.1;
    let zone = board.facility().time_zone;
    let line = StepLine::of(&step, &[], now, zone);
    // Whoever reads a tile must not treat the room for its bathroom.
    let in_space = match step.text.strip_prefix("shared space ").and_then(|text| text.split_once(": ")) {
        Some((space, _)) => format!("{space}: {}", line.short),
        None => line.short.clone(),
    };
    Some(StepLine { ripe: false, short: in_space, ..line })
}

/// The first space that serves the room and keeps its beds closed, with what comes next there, told from here.
pub(super) fn space_first(board: &Board, room: Code, now: Time) -> Option<(Code, NextStep)> {
    board.facility().spaces_serving(room).find_map(|space| {
        let open = board.room(space.code)?;
        let closes = open.has_unsettled() || !matches!(open.state(), State::Clear | State::Monitoring);
        let step = board.next_step(space.code, now).filter(|_| closes)?;
        let text = format!("shared space {}: {}", space.code, step.text);
        Some((space.code, NextStep { text, ..step }))
    })
}

/// The earliest time of an empty bed that is closed.
fn earliest(board: &Board, bed: Code, now: Time) -> Option<String> {
    if board.occupancy(bed, now) == Occupancy::Occupied {
        return None;
    }
    match board.earliest(bed, now) {
        Earliest::Now => None,
        Earliest::NotBefore(at) if at <= now => Some("earliest now".to_owned()),
        Earliest::NotBefore(at) => Some(format!("earliest {}", age::clock(at, now, board.facility().time_zone))),
        Earliest::Unknown { waits_for } => Some(format!("no time: waits for {}", shown(&waits_for))),
    }
}

/// A promise against the present earliest time.
fn promise(board: &Board, bed: Code, tasks: &[&Task], now: Time) -> Option<PromiseLine> {
    let zone = board.facility().time_zone;
    let room = board.facility().room_of_bed(bed).and_then(|plan| board.room(plan.code))?;
    let promise = room.beds.get(&bed)?.promised?;
    let stands = match board.earliest(bed, now) {
        Earliest::Now => Stands::Open,
        _ if board.occupancy(bed, now) == Occupancy::Occupied => Stands::Occupied,
        Earliest::NotBefore(at) if at > promise.wanted && at > now => Stands::Late(age::clock(at, now, zone)),
        Earliest::NotBefore(at) => Stands::InTime {
            earliest: if at <= now { "now".to_owned() } else { age::clock(at, now, zone) },
            begin_by: board.begin_by(bed, promise.wanted, now).map(|at| age::clock(at, now, zone)),
            late_when_due: tasks
                .iter()
                .any(|it| it.kind.holds_beds() && it.due.is_some_and(|due| due > promise.wanted)),
        },
        Earliest::Unknown { waits_for } => Stands::Waits(shown(&waits_for)),
    };
    let late_by = (promise.wanted < now).then(|| age::length(now - promise.wanted));
    Some(PromiseLine { at: promise.wanted, wanted: age::clock(promise.wanted, now, zone), late_by, stands })
}

/// Since when the room is wet, with its age.
fn wet_since(board: &Board, room: Code, now: Time) -> String {
    let wets = |cause: Cause| matches!(cause, Cause::Spray | Cause::Supplied { .. } | Cause::Damp | Cause::Wiped);
    let closers = || board.room(room).into_iter().flat_map(|room| room.unsettled()).filter(|it| wets(it.cause));
    // A spray that was noted wrongly tells the time only where nothing else does.
    let since = closers().filter(|it| it.voided.is_none()).map(|it| it.happened).min();
    let since = since.or_else(|| closers().map(|it| it.happened).min());
    since.map_or_else(
        || "wet".to_owned(),
        |since| format!("wet since {}", age::with_age(since, now, board.facility().time_zone)),
    )
}

/// `A` of bed `4N-12-A` in room `4N-12`, `12` of that room on ward `4N`.
pub(super) fn short_code(bed: Code, room: Code) -> String {
    let rest = bed.as_str().get(room.as_str().len()..).filter(|rest| !rest.is_empty());
    let begins = bed.as_str().get(..room.as_str().len()).is_some_and(|it| it.eq_ignore_ascii_case(room.as_str()));
    match rest {
        Some(rest) if begins => rest.trim_start_matches(['-', '/', '.', '_', ' ']).to_owned(),
        _ => bed.to_string(),
    }
}

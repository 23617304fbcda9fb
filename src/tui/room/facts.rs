//! What the Room screen says, worked out when something changed.

use super::needs::{NeedLine, needs, spaces};
use super::past::{EventLine, events};
use super::zones::{Group, groups, plain};
use crate::domain::board::{
    Board, Cause, Closer, NextStep, State, Task, TaskKind, is_offered, negative_checks, quiet_days,
};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::facility::RoomPlan;
use crate::domain::likely::likely;
use crate::domain::need::{Evidence, Need};
use crate::domain::people::Person;
use crate::domain::policy::Setting;
use crate::domain::shift::exception_words;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::ask::Ask;
use crate::tui::step;
use crate::tui::survey::{BedLine, BedWord, Survey, short_code, space_first};
use crate::tui::world::World;

#[derive(Default)]
pub(super) struct Facts {
    pub title: String,
    /// Who may be inside.
    pub inside: String,
    /// Since when the room is in its state and by which entry, in full and in short.
    pub since: [String; 2],
    pub next: Option<Next>,
    /// Why each bed is as it is.
    pub beds: Vec<String>,
    /// Some bed is closed for more than its patient.
    pub is_closed: bool,
    pub needs: Vec<NeedLine>,
    /// What is likely: estimates, in sentences.
    pub likely: Vec<String>,
    /// On the way from monitoring to clear.
    pub toward_clear: Vec<String>,
    pub due: Vec<Due>,
    pub zones: Vec<Group>,
    pub exceptions: Vec<String>,
    pub events: Vec<EventLine>,
    /// Entries that the events tell of.
    pub entries: usize,
}

pub(super) struct Next {
    pub text: String,
    /// Empty: it has no time.
    pub due: String,
    pub overdue: bool,
    /// Whose work it usually is, or who took it; and whether the person signed in may note it.
    pub who: String,
    pub ask: Ask,
}

/// What the calendar asks for, beside what keeps beds closed.
pub(super) struct Due {
    pub text: String,
    pub when: String,
    pub ask: Ask,
}

impl Facts {
    pub(super) fn of(room: Code, world: &World<'_>, survey: &Survey, person: Option<Code>) -> Self {
        let board = world.board;
        let Some(plan) = board.facility().room(room) else { return Self::default() };
        let evidence = board.evidence(room);
        let entries = (world.timeline)(room);
        let step = board.next_step(room, world.now);
        let next = match step {
            Some(step) => Some(next(plan, &step, &evidence, world, survey, person)),
            // A room that asks for nothing itself may wait for a space that serves it.
            None => space_first(board, room, world.now).and_then(|(space, step)| {
                let of = board.facility().room(space)?;
                Some(next(of, &step, &board.evidence(space), world, survey, person))
            }),
        };
        let exceptions = board.exceptions().iter().filter(|it| it.room == Some(room)).rev();
        let name = if plan.name.is_empty() { String::new() } else { format!(" {},", shown(&plan.name)) };
        let ward = board.facility().wards.get(&plan.ward).map(|ward| shown(&ward.name)).unwrap_or_default();
        let beds = survey.room(room).map(|line| line.beds.as_slice()).unwrap_or_default();
        let mut events = events(room, &entries, world);
        for event in &mut events {
            event.text = in_the_room(&event.text, plan);
        }
        Self {
            title: format!("{room}{name}  {}, ward {} {ward}", plain(plan.kind), plan.ward),
            inside: board.who_may_enter(plan.code, !board.room_blockers(plan.code).is_empty(), world.now),
            since: since(board, room, &entries, world.now),
            due: due(plan, next.as_ref(), world, survey),
            next,
            is_closed: beds.iter().any(|bed| bed.word() == BedWord::Closed),
            beds: beds.iter().map(|bed| why(bed, plan, world)).collect(),
            needs: spaces(board, room, world.now).into_iter().chain(needs(plan, &evidence, &entries, world)).collect(),
            likely: likely(board, room, &entries, world.now),
            toward_clear: toward_clear(board, room, world.now),
            zones: groups(plan, board, &evidence),
            exceptions: exceptions
                .map(|it| {
                    let words = exception_words(board, world.entries, it, world.now);
                    format!("Exception, entry {}: {words}", it.number)
                })
                .collect(),
            events,
            entries: entries.len(),
        }
    }
}

fn next(
    plan: &RoomPlan,
    step: &NextStep,
    evidence: &[Evidence],
    world: &World<'_>,
    survey: &Survey,
    person: Option<Code>,
) -> Next {
    let board = world.board;
    let same = survey.tasks.iter().filter(|task| task.room == plan.code && step::does(step.verb, task));
    let task = same.min_by_key(|task| (task.due.is_none(), task.due));
    let mut who = vec![];
    match task.map(|task| (task.accepted_by, task.role)) {
        Some((Some(who_has), _)) => who.push(format!("{who_has} has it")),
        Some((None, role)) => who.push(format!("{}'s work", role.title())),
        None => {}
    }
    let may = |person: &Person| is_offered(step.verb, person, world.now, board.policy());
    let own_hands = |person: &Person| step.not_for.contains(&person.initials);
    let yours = match person.and_then(|code| board.people().get(&code)) {
        None => "nobody is signed in: s".to_owned(),
        Some(person) if own_hands(person) => {
            who.clear();
            "not yours: for somebody who did not note or void it".to_owned()
        }
        Some(person) if may(person) => "yours to note".to_owned(),
        Some(_) => "not yours to note".to_owned(),
    };
    who.push(yours);
    let zone = board.facility().time_zone;
    Next {
        text: shown(&step.text),
        due: task.map(|task| step::when(task, world.now, zone)).unwrap_or_default(),
        overdue: task.is_some_and(|task| task.overdue),
        who: who.join("; "),
        ask: Ask::next(board, plan.code, step.verb, evidence),
    }
}

fn due(plan: &RoomPlan, next: Option<&Next>, world: &World<'_>, survey: &Survey) -> Vec<Due> {
    let (board, zone) = (world.board, world.board.facility().time_zone);
    let is_next = |task: &Task| {
        let kind = matches!(task.kind, TaskKind::FollowUp | TaskKind::Clear | TaskKind::Occupancy);
        kind && next.is_some_and(|next| next.ask.verb == task.verb)
    };
    let tasks = survey.tasks.iter().filter(|task| task.room == plan.code && !task.kind.holds_beds());
    let line = |task: &Task| {
        let mut ask = Ask::of_room(board, plan.code, task.verb);
        if task.verb == "inspect" {
            let depth = if task.kind == TaskKind::DailyLook { "daily" } else { "full" };
            ask.known.push(("depth", depth.to_owned()));
        }
        let when = task.due.map(|due| age::due(due, world.now, zone)).unwrap_or_default();
        Due { text: shown(&task.need), when: format!("{when}; {}", task.role.title()), ask }
    };
    tasks.filter(|task| !is_next(task)).map(line).collect()
}

/// Why the bed is open, or closed: the gravest reason, and how many more.
fn why(bed: &BedLine, plan: &RoomPlan, world: &World<'_>) -> String {
    let text = match bed.blockers.as_slice() {
        [] => {
            let used = world.board.room(plan.code).and_then(|room| room.beds.get(&bed.code)?.empty_since());
            let zone = world.board.facility().time_zone;
            let empty = used.map_or(String::new(), |(number, at)| {
                format!(", empty since {}, entry {number}", age::with_age(at, world.now, zone))
            });
            let features = bed.features.join(", ");
            let gap = if features.is_empty() { "" } else { "; " };
            let known: Vec<&str> = bed.marks.iter().map(|mark| mark.words()).collect();
            let known = if known.is_empty() { String::new() } else { format!("{}; ", known.join(", ")) };
            format!("{known}nothing is missing{empty}{gap}{features}")
        }
        [only] => only.text.clone(),
        [first, rest @ ..] => format!("{}, and {} more", first.text, rest.len()),
    };
    in_the_room(&text, plan)
}

/// `A mattress` for `3N-03-A/mattress`: which room it is, is clear here.
fn in_the_room(text: &str, plan: &RoomPlan) -> String {
    if !text.contains('/') {
        return text.to_owned();
    }
    plan.beds.iter().fold(text.to_owned(), |text, bed| {
        text.replace(&format!("{}/", bed.code), &format!("{} ", short_code(bed.code, plan.code)))
    })
}

/// Since when its state stands, by the entry that it stands on.
fn since(board: &Board, code: Code, entries: &[&Entry], now: Time) -> [String; 2] {
    let Some(room) = board.room(code) else { return <[String; 2]>::default() };
    let first = |wanted: fn(&Closer) -> bool| {
        room.unsettled().filter(|closer| wanted(closer)).map(|closer| (closer.happened, Some(closer.number))).min()
    };
    let found: Option<(Time, Option<Number>)> = match room.state() {
        State::Clear | State::Monitoring => {
            let ends = |entry: &&&Entry| {
                let kind = matches!(entry.body, Body::Cleared { .. } | Body::ReturnedToService { .. });
                kind && room.knows_signature(entry.number)
            };
            entries.iter().find(ends).map(|entry| (entry.happened, Some(entry.number)))
        }
        State::Suspect => first(|closer| matches!(closer.cause, Cause::Suspicion { .. })),
        State::Confirmed => first(|closer| closer.cause == Cause::Confirmed),
        // By what was not taken back, if there is any of it.
        State::TreatedWet => {
            first(|it| it.cause.is_treatment() && it.voided.is_none()).or_else(|| first(|it| it.cause.is_treatment()))
        }
        State::TreatedDry => {
            let dry = room.evidence().into_iter().filter(|it| matches!(it.need, Need::Dry(_)));
            let dry = dry.filter_map(|it| room.knows_fact(it.met_by?)).map(|fact| (fact.done, Some(fact.number)));
            dry.max().or_else(|| first(|it| it.cause.is_treatment() && it.voided.is_none()))
        }
    };
    let zone = board.facility().time_zone;
    match found {
        Some((at, number)) => {
            let entry = number.map(|number| format!(", entry {number}")).unwrap_or_default();
            [format!("since {}{entry}", age::with_age(at, now, zone)), format!("since {}", age::clock(at, now, zone))]
        }
        None => <[String; 2]>::default(),
    }
}

/// How far a room in monitoring has come: days and checks against what the policy wants.
fn toward_clear(board: &Board, code: Code, now: Time) -> Vec<String> {
    let Some(room) = board.room(code).filter(|room| room.state() == State::Monitoring) else { return vec![] };
    let wanted = |setting| board.policy().get(setting);
    let days = quiet_days(board, code, now);
    let (looks, traps) = negative_checks(room);
    let empty = match days.empty {
        0 => String::new(),
        days => format!("; {days} more stood empty, not counted"),
    };
    vec![
        format!(
            "days without activity {} of {}{empty} (whole days: neither that of the last activity nor today)",
            days.counted,
            wanted(Setting::ClearDays)
        ),
        format!(
            "negative inspections {looks} of {}, or trap periods {traps} of {}",
            wanted(Setting::ClearVisualChecks),
            wanted(Setting::ClearTrapPeriods)
        ),
    ]
}

//! What the Room screen says, worked out when something changed.

use super::needs::{NeedLine, needs};
use super::past::{EventLine, events};
use super::zones::{Group, groups, plain};
use crate::domain::board::{Board, Cause, Closer, State, negative_checks, quiet_days};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::policy::Setting;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::ask::Ask;
use crate::tui::survey::Survey;
use crate::tui::world::World;

#[derive(Default)]
pub(super) struct Facts {
    pub title: String,
    /// Since when the room is in its state and by which entry, in full and in short.
    pub since: [String; 2],
    pub next: Option<Next>,
    pub needs: Vec<NeedLine>,
    /// On the way from monitoring to clear.
    pub toward_clear: Vec<String>,
    pub zones: Vec<Group>,
    pub exceptions: Vec<String>,
    pub events: Vec<EventLine>,
    /// Entries that the events tell of.
    pub entries: usize,
}

pub(super) struct Next {
    pub text: String,
    /// Whose work it usually is, or who took it.
    pub who: String,
    pub ask: Ask,
}

impl Facts {
    pub(super) fn of(room: Code, world: &World<'_>, survey: &Survey) -> Self {
        let board = world.board;
        let Some(plan) = board.facility().room(room) else { return Self::default() };
        let evidence = board.evidence(room);
        let entries = (world.timeline)(room);
        let line = survey.room(room);
        let next = board.next_step(room, world.now).map(|step| Next {
            text: shown(&line.and_then(|line| line.next.clone()).unwrap_or(step.text)),
            who: whose(room, step.verb, survey),
            ask: Ask::next(board, room, step.verb, &evidence),
        });
        let exceptions = board.exceptions().iter().filter(|it| it.room == Some(room)).rev();
        let name = if plan.name.is_empty() { String::new() } else { format!(" {},", shown(&plan.name)) };
        let ward = board.facility().wards.get(&plan.ward).map(|ward| shown(&ward.name)).unwrap_or_default();
        Self {
            title: format!("{room}{name}  {}, ward {} {ward}", plain(plan.kind), plan.ward),
            since: since(board, room, world.now),
            next,
            needs: needs(plan, &evidence, &entries, world),
            toward_clear: toward_clear(board, room, world.now),
            zones: groups(plan, board, &evidence),
            exceptions: exceptions.map(|it| format!("Exception, entry {}: {}", it.number, shown(&it.text))).collect(),
            events: events(&entries, world),
            entries: entries.len(),
        }
    }
}

fn whose(room: Code, verb: &str, survey: &Survey) -> String {
    let task = survey.tasks.iter().find(|task| task.room == room && task.verb == verb);
    match task.map(|task| (task.accepted_by, task.role)) {
        Some((Some(who), _)) => format!("{who} has it"),
        Some((None, role)) => role.title().to_owned(),
        None => String::new(),
    }
}

/// Since when its state stands, by the entry that it stands on.
fn since(board: &Board, code: Code, now: Time) -> [String; 2] {
    let Some(room) = board.room(code) else { return <[String; 2]>::default() };
    let first = |wanted: fn(&Closer) -> bool| {
        room.unsettled().filter(|closer| wanted(closer)).map(|closer| (closer.happened, Some(closer.number))).min()
    };
    let found: Option<(Time, Option<Number>)> = match room.state() {
        State::Clear => room.cleared.map(|at| (at, None)),
        State::Monitoring => room.last_return.map(|at| (at, None)),
        State::Suspect => first(|closer| matches!(closer.cause, Cause::Suspicion { .. })),
        State::Confirmed => first(|closer| closer.cause == Cause::Confirmed),
        State::TreatedWet | State::TreatedDry => first(|closer| closer.cause.is_treatment()),
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
        days => format!("; empty on {days} more, which prove nothing"),
    };
    vec![
        format!("days without activity {} of {}{empty}", days.counted, wanted(Setting::ClearDays)),
        format!(
            "negative inspections {looks} of {}, or trap periods {traps} of {}",
            wanted(Setting::ClearVisualChecks),
            wanted(Setting::ClearTrapPeriods)
        ),
    ]
}

//! What is to be done next, in few words: the thing, whose it is, and when.

use chrono_tz::Tz;

use super::age;
use crate::domain::board::{NextStep, Task, TaskKind};
use crate::domain::entry::Time;
use crate::domain::people::Role;
use crate::domain::shown::shown;

/// Something to do in a room.
#[derive(Clone, Debug, PartialEq)]
pub struct StepLine {
    /// All of it.
    pub text: String,
    /// As short as it can be said.
    pub short: String,
    /// The role whose work it usually is, or who took it.
    pub who: String,
    pub who_short: String,
    pub due: Option<Time>,
    pub overdue: bool,
    /// When it is due, with how far off that is. Empty: not known.
    pub when: String,
    /// It can be done now: it waits for no label's time and for no day of the calendar.
    pub ripe: bool,
}

impl StepLine {
    /// The room's next step, with the time of the task that it does.
    pub(super) fn of(step: &NextStep, tasks: &[&Task], now: Time, zone: Tz) -> Self {
        let same = || tasks.iter().filter(|task| does(step.verb, task));
        let task = same().min_by_key(|task| (task.due.is_none(), task.due));
        Self {
            text: shown(&step.text),
            short: short(step, same().count()),
            who: who(step.role.title(), task.copied()),
            who_short: who(short_role(step.role), task.copied()),
            due: task.and_then(|task| task.due),
            overdue: task.is_some_and(|task| task.overdue),
            when: task.map(|task| when(task, now, zone)).unwrap_or_default(),
            ripe: task.is_none_or(|task| {
                let waits = matches!(
                    task.kind,
                    TaskKind::DryCheck | TaskKind::FollowUp | TaskKind::AfterEggs | TaskKind::AfterClear
                );
                !waits || task.due.is_none_or(|due| due <= now)
            }),
        }
    }

    pub(super) fn of_task(task: &Task, now: Time, zone: Tz) -> Self {
        let text = shown(&task.need);
        Self {
            short: text.clone(),
            text,
            who: who(task.role.title(), Some(task)),
            who_short: who(short_role(task.role), Some(task)),
            due: task.due,
            overdue: task.overdue,
            when: when(task, now, zone),
            ripe: true,
        }
    }

    /// How far off it is, without the time on the clock. It is the step's time, never the bed's: so it says "due".
    pub(super) fn off(&self) -> String {
        match self.when.rsplit_once(", ") {
            Some((_, off)) if off.starts_with("in ") => format!("due {off}"),
            Some((_, off)) => off.to_owned(),
            None => self.when.clone(),
        }
    }

    /// Thing, person and time, the fullest first.
    pub(super) fn ways_to_say(&self) -> [String; 5] {
        let join =
            |parts: &[&str]| parts.iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(", ");
        let off = self.off();
        [
            join(&[&self.text, &self.who, &self.when]),
            join(&[&self.short, &self.who, &self.when]),
            join(&[&self.short, &self.who_short, &self.when]),
            join(&[&self.short, &self.who_short, &off]),
            join(&[&self.short, &off]),
        ]
    }
}

/// Whether doing this step does the task. A room that is to be sprayed owes its zones; the daily look is an inspection too,
/// but none that a step asks for.
pub(super) fn does(verb: &str, task: &Task) -> bool {
    let verb = if verb == "spray" { "treat-zone" } else { verb };
    task.verb == verb && task.kind != TaskKind::DailyLook
}

fn short_role(role: Role) -> &'static str {
    match role {
        Role::ChargeNurse => "nurse",
        Role::Lead => "lead",
        Role::Technician => "technician",
        Role::InfectionPrevention => "prevention",
        Role::Housekeeper | Role::Laundry | Role::Reader => role.title(),
    }
}

fn who(role: &str, task: Option<&Task>) -> String {
    match task.and_then(|task| task.accepted_by) {
        Some(by) => format!("{by} has it"),
        None => role.to_owned(),
    }
}

/// What may wait a little is due before it is overdue.
pub(super) fn when(task: &Task, now: Time, zone: Tz) -> String {
    match task.due {
        Some(due) if due <= now && !task.overdue => format!("due since {}", age::with_age(due, now, zone)),
        Some(due) if task.kind == TaskKind::DryCheck && due > now => {
            format!("{}, in {}", before_its_time(task, due, now, zone), age::ahead(due - now))
        }
        Some(due) => age::due(due, now, zone),
        None => String::new(),
    }
}

/// A dry check that is still to come: the label forbids it earlier, or the room is hardly dry before.
pub(super) fn before_its_time(task: &Task, due: Time, now: Time, zone: Tz) -> String {
    let words = if task.not_before == Some(due) { "not before" } else { "look about" };
    format!("{words} {}", age::clock(due, now, zone))
}

fn short(step: &NextStep, count: usize) -> String {
    let words = match step.verb {
        "attest" => "attest the damaged line",
        "look" => "second look in the room",
        "complete-spray" => "supply the spray's facts",
        "dry-check" => "check by touch",
        "move-patient" => "move the patient out",
        "prepare" => "prepare the room",
        "spray" => "treat the room",
        "treat-zone" => "treat what is left",
        "vacuum" => "vacuum the seats",
        "launder" => return if count == 1 { "launder 1 bag".to_owned() } else { format!("launder {count} bags") },
        "make-bed" => return if count == 1 { "make 1 bed".to_owned() } else { format!("make {count} beds") },
        "return" => "sign the return",
        "ward-walk" => "walk the ward",
        "in-service" => "end out of service",
        "clear" => "sign it clear",
        "occupancy" => "note which are empty",
        "inspect" if step.text.starts_with("follow-up") => "follow-up inspection",
        "inspect" => "full inspection",
        _ => return shown(&step.text),
    };
    words.to_owned()
}

//! What a task is called, and the command that meets it.

use super::TaskKind;
use crate::domain::code::Code;
use crate::domain::entry::Number;
use crate::domain::facility::RoomPlan;
use crate::domain::need::Need;

pub(super) fn need_text(kind: TaskKind, need: Need) -> String {
    match (kind, need) {
        (TaskKind::DryCheck, _) => "dry check".to_owned(),
        (TaskKind::Treat, _) => "treat what is left to treat".to_owned(),
        (TaskKind::CompleteSpray, _) => "supply what the spray left unstated".to_owned(),
        (TaskKind::Vacuum, _) => "vacuum the sprayed soft seats".to_owned(),
        (TaskKind::Inspect, _) => "full inspection".to_owned(),
        (TaskKind::Identify, _) => "have the specimen identified, or a trained person inspects".to_owned(),
        (TaskKind::SecondCheck, _) => "second person checks the room again".to_owned(),
        (TaskKind::Return, _) => "sign the return to service".to_owned(),
        (TaskKind::WardWalk, _) => "walk the ward and sign".to_owned(),
        (_, Need::Bag(tag)) => format!("launder bag {tag}"),
        (_, Need::Made(bed)) => format!("make bed {bed}"),
        (_, Need::InService(number)) => format!("end out of service, entry {number}"),
        (_, Need::Attested(number)) => format!("attest entry {number}"),
        (_, Need::Looked(void)) => format!("second look after void {void}"),
        (_, other) => other.to_string(),
    }
}

/// The command line's target, and what is known of its options.
pub(super) fn arguments(
    plan: &RoomPlan,
    walked: Code,
    kind: TaskKind,
    asked: Option<Need>,
    cause: Number,
) -> (Code, String) {
    let here = |argument: String| (plan.code, argument);
    match (kind, asked) {
        (_, Some(Need::Bag(tag))) => (tag, String::new()),
        (_, Some(Need::Made(bed))) => (bed, String::new()),
        (_, Some(Need::Walked)) => (walked, String::new()),
        (_, Some(Need::InService(number))) => here(format!(" --closing {number}")),
        (_, Some(Need::Attested(number))) => here(format!(" --entry {number}")),
        (_, Some(Need::Looked(void))) => here(format!(" --void {void}")),
        (TaskKind::CompleteSpray, _) => here(format!(" --spray {cause}")),
        (TaskKind::DailyLook, _) => here(" --depth daily".to_owned()),
        (TaskKind::Occupancy, _) => (plan.ward, String::new()),
        (
            TaskKind::Inspect
            | TaskKind::Neighbour
            | TaskKind::FollowUp
            | TaskKind::AfterEggs
            | TaskKind::AfterClear
            | TaskKind::Mark,
            _,
        ) => here(" --depth full".to_owned()),
        _ => here(String::new()),
    }
}

pub(super) fn quoted(code: Code) -> String {
    if code.as_str().contains(|c: char| !(c.is_ascii_alphanumeric() || "-._/".contains(c))) {
        format!("'{}'", code.as_str().replace('\'', r"'\''"))
    } else {
        code.to_string()
    }
}

//! Tasks in words: short ones for a narrow line, and what is still missing after one.

use crate::domain::board::{Gives, Task, TaskKind};
use crate::domain::need::Need;
use crate::domain::people::Role;
use crate::domain::shown::shown;

/// What is to be done, in about twenty columns.
pub(super) fn short(task: &Task) -> String {
    match task.kind {
        TaskKind::Attest if task.verb == "second-attest" => format!("second on entry {}", task.cause),
        TaskKind::Attest => format!("attest entry {}", task.cause),
        TaskKind::SecondCheck => "second check".to_owned(),
        TaskKind::CompleteSpray => "complete the spray".to_owned(),
        TaskKind::Treat => "treat what is left".to_owned(),
        TaskKind::Vacuum => "vacuum soft seats".to_owned(),
        TaskKind::Return => "sign the return".to_owned(),
        TaskKind::Review => "review patient stay".to_owned(),
        TaskKind::PatientInTheWet => "patient out NOW".to_owned(),
        TaskKind::PatientOut => "move patient out".to_owned(),
        TaskKind::Identify => "name the specimen".to_owned(),
        TaskKind::WardWalk => "walk and sign".to_owned(),
        TaskKind::InService => format!("end closing {}", task.cause),
        TaskKind::SecondLook => "second look".to_owned(),
        TaskKind::AfterEggs => "look: eggs hatched".to_owned(),
        TaskKind::Occupancy => "which are empty?".to_owned(),
        TaskKind::AfterClear => "look after clear".to_owned(),
        TaskKind::Mark => "inspect a mark".to_owned(),
        TaskKind::Clear => "sign it clear".to_owned(),
        TaskKind::Neighbour => {
            shown(&task.need).replacen("inspect: next to ", "inspect: by ", 1).replace(", confirmed", "")
        }
        _ => shown(&task.need),
    }
}

/// What a folded line says.
pub(super) fn folded(kind: TaskKind, count: usize) -> String {
    match kind {
        TaskKind::WardWalk => "walk and sign".to_owned(),
        TaskKind::Occupancy => "which are empty?".to_owned(),
        _ => format!("daily look: {count} rooms"),
    }
}

/// Whose it is, in at most eleven columns.
pub(super) fn short_role(role: Role) -> &'static str {
    match role {
        Role::ChargeNurse => "nurse",
        Role::Lead => "lead",
        Role::Housekeeper => "housekeeper",
        Role::Laundry => "laundry",
        Role::Technician => "technician",
        Role::InfectionPrevention => "prevention",
        Role::Reader => "reader",
    }
}

/// What it gives back, in about seventeen columns: `opens 2 beds`, `1 of 7 to 2 beds`.
pub(in crate::tui) fn short_gives(gives: &Gives) -> String {
    gives.words().replace(" steps to ", " to ").split(',').next().unwrap_or_default().to_owned()
}

/// Needs in short, the same kind of thing once: `7 zones dry, bag B1 laundered`.
pub(super) fn missing(needs: &[Need]) -> Vec<String> {
    let mut groups: Vec<(&'static str, Vec<Need>)> = vec![];
    for need in needs {
        match groups.iter_mut().find(|(verb, _)| *verb == need.verb()) {
            Some((_, group)) if group.contains(need) => {}
            Some((_, group)) => group.push(*need),
            None => groups.push((need.verb(), vec![*need])),
        }
    }
    groups.iter().map(|(_, group)| group_in_words(group)).collect()
}

fn group_in_words(group: &[Need]) -> String {
    let zones = |done: &str| format!("{} zone{} {done}", group.len(), if group.len() == 1 { "" } else { "s" });
    let listed = |what: &str, done: &str| {
        let codes: Vec<String> = group
            .iter()
            .filter_map(|need| match need {
                Need::Bag(code) | Need::Made(code) => Some(code.to_string()),
                _ => None,
            })
            .collect();
        format!("{what}{} {} {done}", if codes.len() == 1 { "" } else { "s" }, codes.join(", "))
    };
    match group.first() {
        Some(Need::Dry(_)) => zones("found dry"),
        Some(Need::Covered(_)) => zones("treated"),
        Some(Need::Vacuumed(_)) => "the soft seats vacuumed".to_owned(),
        Some(Need::Bag(_)) => listed("bag", "laundered"),
        Some(Need::Made(_)) => listed("bed", "made"),
        Some(Need::Inspected) => "a full inspection".to_owned(),
        Some(Need::Returned) => "the return signed".to_owned(),
        Some(Need::Walked) => "the ward walked".to_owned(),
        Some(Need::InService(number)) => format!("closing {number} ended"),
        Some(Need::Attested(number)) => format!("entry {number} attested"),
        Some(Need::Looked(void)) => format!("a second look after void {void}"),
        Some(_) => "what the spray left unstated".to_owned(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::code::Code;
    use crate::domain::facility::Zone;

    #[test]
    fn what_a_task_gives_back_fits_its_column() {
        let bed = Code::new("101-A").unwrap();
        let gives = |opens: usize, nearer: usize, steps, more| Gives {
            opens: vec![bed; opens],
            nearer: vec![bed; nearer],
            steps,
            more,
        };
        assert_eq!(short_gives(&gives(0, 0, 0, false)), "");
        assert_eq!(short_gives(&gives(2, 1, 1, false)), "opens 2 beds");
        assert_eq!(short_gives(&gives(0, 1, 7, false)), "1 of 7 to 1 bed");
        assert_eq!(short_gives(&gives(0, 2, 2, true)), "1 of 2+ to 2 beds");
        assert!(short_gives(&gives(0, 9, 12, false)).len() <= 17);
    }

    #[test]
    fn what_is_missing_is_said_once_a_kind() {
        let code = |text| Code::new(text).unwrap();
        let dry = |part| Need::Dry(Zone { bed: None, part: code(part) });
        let needs =
            [dry("chair"), dry("frame"), dry("chair"), Need::Bag(code("B1")), Need::Bag(code("B2")), Need::Returned];
        assert_eq!(missing(&needs), ["2 zones found dry", "bags B1, B2 laundered", "the return signed"]);
    }
}

//! What is asked of a room: each requirement, met or not, by which entry, by whom, when.

use std::collections::BTreeSet;

use super::zones::plain;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::need::{Evidence, Need};
use crate::tui::age;
use crate::tui::ask::Ask;
use crate::tui::survey::short_code;
use crate::tui::world::World;

/// One kind of need, met or not. A room owes twenty zones at once, and they are one line.
pub(super) struct NeedLine {
    pub met: bool,
    pub text: String,
    /// What is missing, or by which entries it was met.
    pub detail: String,
    pub ask: Ask,
}

fn kind(need: Need) -> (u8, &'static str) {
    match need {
        Need::Walked => (0, "ward walked"),
        Need::Attested(_) => (1, "damaged line attested"),
        Need::Looked(_) => (2, "second look after a void"),
        Need::Inspected => (3, "clean full inspection"),
        Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => (4, "spray stated whole"),
        Need::Covered(_) => (5, "zones treated"),
        Need::Dry(_) => (6, "zones found dry"),
        Need::Bag(_) => (7, "bags laundered"),
        Need::Vacuumed(_) => (8, "soft seating vacuumed"),
        Need::Made(_) => (9, "beds made"),
        Need::Returned => (10, "return to service signed"),
        Need::InService(_) => (11, "other closing lifted"),
    }
}

/// The thing that a need is about, as it is called inside its room.
fn name(need: Need, plan: &RoomPlan) -> String {
    let of_zone = |zone: Zone| match zone.bed {
        Some(bed) => format!("{} {}", short_code(bed, plan.code), plain(zone.part)),
        None => plain(zone.part),
    };
    match need {
        Need::Covered(zone) | Need::Dry(zone) | Need::Vacuumed(zone) => of_zone(zone),
        Need::Bag(tag) => tag.to_string(),
        Need::Made(bed) => short_code(bed, plan.code),
        Need::InService(number) | Need::Attested(number) | Need::Looked(number) => format!("of entry {number}"),
        Need::ZonesNamed => "zones".to_owned(),
        Need::FinishNamed => "its end".to_owned(),
        Need::LabelNamed => "label words".to_owned(),
        Need::LinensNamed => "linens".to_owned(),
        Need::Inspected | Need::Returned | Need::Walked => String::new(),
    }
}

/// What is missing first, in the order of the work; then what is met.
pub(super) fn needs(plan: &RoomPlan, evidence: &[Evidence], entries: &[&Entry], world: &World<'_>) -> Vec<NeedLine> {
    let kinds: BTreeSet<(u8, &'static str)> = evidence.iter().map(|it| kind(it.need)).collect();
    let failed = |tag: Code| {
        let loads = world.board.room(plan.code).map(|room| room.failed_loads.as_slice()).unwrap_or_default();
        loads
            .iter()
            .rev()
            .find(|(_, bag)| *bag == tag)
            .map(|(number, _)| format!("{tag} (load failed, entry {number})"))
    };
    let lines = kinds.into_iter().map(|(rank, title)| {
        let of_kind = || evidence.iter().filter(|it| kind(it.need).0 == rank);
        let missing: Vec<&Evidence> = of_kind().filter(|it| it.met_by.is_none()).collect();
        let all: BTreeSet<Need> = of_kind().map(|it| it.need).collect();
        let lacking: BTreeSet<Need> = missing.iter().map(|it| it.need).collect();
        let mut names: Vec<String> = vec![];
        for need in of_kind().map(|it| it.need).filter(|need| lacking.contains(need)) {
            let text = match need {
                Need::Bag(tag) => failed(tag).unwrap_or_else(|| name(need, plan)),
                _ => name(need, plan),
            };
            if !text.is_empty() && !names.contains(&text) {
                names.push(text);
            }
        }
        let first = missing.first().copied().or_else(|| of_kind().next());
        let ask = first.map(|it| Ask::for_need(world.board, plan.code, it.need, it.cause)).unwrap_or_default();
        let text = match all.len() {
            0 | 1 => title.to_owned(),
            count => format!("{title} {} of {count}", count - lacking.len().min(count)),
        };
        let detail = match missing.is_empty() {
            true => met_by(of_kind().filter_map(|it| it.met_by).collect(), entries, world),
            false => names.join(", "),
        };
        NeedLine { met: missing.is_empty(), text, detail, ask }
    });
    let (open, met): (Vec<_>, Vec<_>) = lines.partition(|line| !line.met);
    open.into_iter().chain(met).collect()
}

/// Which entries met it, by whom, when.
fn met_by(numbers: BTreeSet<Number>, entries: &[&Entry], world: &World<'_>) -> String {
    let zone = world.board.facility().time_zone;
    let one = |number: &Number| {
        let entry = entries.iter().find(|entry| entry.number == *number);
        entry.map_or_else(
            || format!("by entry {number}"),
            |entry| format!("{}, {}, entry {number}", entry.done_by, age::with_age(entry.happened, world.now, zone)),
        )
    };
    let first = numbers.last().map(one).unwrap_or_default();
    if numbers.len() > 1 { format!("{first} and {} before", numbers.len() - 1) } else { first }
}

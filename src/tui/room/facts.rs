//! What the Room screen says, worked out when something changed: beds, needs and what met them, zones, what happened.

use std::collections::BTreeSet;

use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Entry, Number};
use crate::domain::facility::Zone;
use crate::domain::need::{Evidence, Need};
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::ask::Ask;
use crate::tui::survey::Survey;
use crate::tui::world::World;

#[derive(Default)]
pub(super) struct Facts {
    pub title: String,
    pub needs: Vec<NeedLine>,
    pub zones: Vec<ZoneGroup>,
    pub events: Vec<EventLine>,
    pub next: Option<(String, Ask)>,
    pub exceptions: Vec<String>,
}

/// One kind of need, met or not.
pub(super) struct NeedLine {
    pub met: bool,
    pub text: String,
    /// What is missing, or by which entries it was met.
    pub detail: String,
    pub ask: Ask,
}

/// Zones of which the same can be said.
pub(super) struct ZoneGroup {
    pub title: &'static str,
    pub zones: String,
}

pub(super) struct EventLine {
    pub number: Number,
    pub when: String,
    pub text: String,
}

impl Facts {
    pub(super) fn of(room: Code, world: &World<'_>, survey: &Survey) -> Self {
        let (board, now) = (world.board, world.now);
        let Some(plan) = board.facility().room(room) else { return Self::default() };
        let zone = board.facility().time_zone;
        let evidence = board.evidence(room);
        let entries = (world.timeline)(room);
        let line = survey.room(room);
        let next = board.next_step(room, now).map(|step| {
            let text = line.and_then(|line| line.next.clone()).unwrap_or(step.text);
            (shown(&text), Ask::next(board, room, step.verb, &evidence))
        });
        let events = entries.iter().map(|entry| EventLine {
            number: entry.number,
            when: age::with_age(entry.happened, now, zone),
            text: shown(&describe::sentence(entry, board)),
        });
        let exceptions = board.exceptions().iter().filter(|it| it.room == Some(room));
        let name = if plan.name.is_empty() { String::new() } else { format!(" {}", shown(&plan.name)) };
        Self {
            title: format!("{room}{name}, ward {}, {}", plan.ward, plan.kind),
            needs: needs(room, &evidence, &entries, world),
            zones: zones(plan.all_zones(), &evidence),
            events: events.collect(),
            next,
            exceptions: exceptions.map(|it| format!("Exception, entry {}: {}", it.number, shown(&it.text))).collect(),
        }
    }
}

/// Needs of one kind are one line: a room owes twenty zones at once.
fn kind(need: Need) -> (u8, &'static str) {
    match need {
        Need::Walked => (0, "ward walked"),
        Need::Attested(_) => (1, "damaged line attested"),
        Need::Looked(_) => (2, "second look after a void"),
        Need::Inspected => (3, "complete negative inspection"),
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

fn short(need: Need) -> String {
    match need {
        Need::Covered(zone) | Need::Dry(zone) | Need::Vacuumed(zone) => zone.to_string(),
        Need::Bag(code) | Need::Made(code) => code.to_string(),
        Need::InService(number) | Need::Attested(number) | Need::Looked(number) => format!("of {number}"),
        Need::ZonesNamed => "zones".to_owned(),
        Need::FinishNamed => "its end".to_owned(),
        Need::LabelNamed => "label words".to_owned(),
        Need::LinensNamed => "linens".to_owned(),
        Need::Inspected | Need::Returned | Need::Walked => String::new(),
    }
}

fn needs(room: Code, evidence: &[Evidence], entries: &[&Entry], world: &World<'_>) -> Vec<NeedLine> {
    let kinds: BTreeSet<(u8, &'static str)> = evidence.iter().map(|it| kind(it.need)).collect();
    let lines = kinds.into_iter().map(|(rank, title)| {
        let of_kind = || evidence.iter().filter(|it| kind(it.need).0 == rank);
        let missing: Vec<&Evidence> = of_kind().filter(|it| it.met_by.is_none()).collect();
        let all = of_kind().map(|it| short(it.need)).collect::<BTreeSet<_>>().len();
        let names: BTreeSet<String> = missing.iter().map(|it| short(it.need)).filter(|it| !it.is_empty()).collect();
        let first = missing.first().copied().or_else(|| of_kind().next());
        let ask = first.map(|it| Ask::for_need(world.board, room, it.need, it.cause)).unwrap_or_default();
        let text = if all > 1 { format!("{title}: {} of {all}", all - names.len().min(all)) } else { title.to_owned() };
        let detail = match (missing.is_empty(), names.is_empty()) {
            (true, _) => met_by(of_kind().filter_map(|it| it.met_by).collect(), entries, world),
            (false, true) => String::new(),
            (false, false) => names.into_iter().collect::<Vec<_>>().join(", "),
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
            |entry| format!("by entry {number}, {}, {}", entry.done_by, age::with_age(entry.happened, world.now, zone)),
        )
    };
    let first = numbers.last().map(one).unwrap_or_default();
    if numbers.len() > 1 { format!("{first}, and {} before", numbers.len() - 1) } else { first }
}

fn zones(all: impl Iterator<Item = Zone>, evidence: &[Evidence]) -> Vec<ZoneGroup> {
    let has = |need: Need, met: bool| evidence.iter().any(|it| it.need == need && it.met_by.is_some() == met);
    let unknown = evidence.iter().any(|it| it.need == Need::ZonesNamed && it.met_by.is_none());
    let mut groups: [(&'static str, Vec<String>); 5] = [
        ("not dry", vec![]),
        ("treatment owed", vec![]),
        ("to be vacuumed", vec![]),
        ("found dry", vec![]),
        ("nothing owed", vec![]),
    ];
    for zone in all {
        let at = if has(Need::Dry(zone), false) || unknown {
            0
        } else if has(Need::Covered(zone), false) {
            1
        } else if has(Need::Vacuumed(zone), false) {
            2
        } else if has(Need::Dry(zone), true) {
            3
        } else {
            4
        };
        if let Some((_, zones)) = groups.get_mut(at) {
            zones.push(zone.to_string());
        }
    }
    let some = groups.into_iter().filter(|(_, zones)| !zones.is_empty());
    some.map(|(title, zones)| ZoneGroup { title, zones: format!("{}: {}", zones.len(), zones.join(", ")) }).collect()
}

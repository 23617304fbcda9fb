//! What is asked of a room: each requirement, met or not, by which entry, by whom, when.

use std::collections::BTreeSet;

use super::zones::plain;
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{BagEnd, Body, Entry, Number, Time};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::need::{Evidence, Need};
use crate::tui::age;
use crate::tui::ask::Ask;
use crate::tui::survey::short_code;
use crate::tui::world::World;

/// One kind of need, met or not. A room owes twenty zones at once, and they are one line.
pub(super) struct NeedLine {
    /// Which kind of need, and which line of that kind.
    pub rank: u8,
    pub at: usize,
    /// The newest entry that meets it. None: it is missing.
    pub met_by: Option<Number>,
    pub text: String,
    /// What is missing, or by which entries it was met.
    pub detail: String,
    /// The entry that asks for it.
    pub asked_by: String,
    pub ask: Ask,
}

fn kind(need: Need) -> (u8, &'static str) {
    match need {
        Need::Walked => (0, "ward walked"),
        Need::Attested(_) => (1, "damaged line attested"),
        Need::Looked(_) => (2, "second look after a void"),
        Need::Inspected => (3, "clean full inspection"),
        Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => (4, "spray stated whole"),
        Need::Covered(_) => (5, "zones sprayed or done another way"),
        Need::Dry(_) => (6, "zones found dry"),
        Need::Bag(_) => (7, "bags laundered"),
        Need::Vacuumed(_) => (8, "soft seating vacuumed"),
        Need::Made(_) => (9, "beds made"),
        Need::Returned => (10, "return to service signed"),
        Need::InService(_) => (11, "out of service ended"),
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

/// What is missing first, in the order of the work; then what is met. Every bag that is missing has a line of its own.
pub(super) fn needs(plan: &RoomPlan, evidence: &[Evidence], entries: &[&Entry], world: &World<'_>) -> Vec<NeedLine> {
    let kinds: BTreeSet<(u8, &'static str)> = evidence.iter().map(|it| kind(it.need)).collect();
    let mut lines = vec![];
    for (rank, title) in kinds {
        let of_kind: Vec<&Evidence> = evidence.iter().filter(|it| kind(it.need).0 == rank).collect();
        let all: BTreeSet<Need> = of_kind.iter().map(|it| it.need).collect();
        let missing: Vec<&Evidence> = of_kind.iter().copied().filter(|it| it.met_by.is_none()).collect();
        let lacking: BTreeSet<Need> = missing.iter().map(|it| it.need).collect();
        let instead = of_kind.iter().any(|it| it.instead);
        let text = match all.len() {
            // The line says what was asked for; an entry that did something else must not read as if it had done that.
            0 | 1 if instead => "treated whole instead of inspected".to_owned(),
            0 | 1 => title.to_owned(),
            count => format!("{title} {} of {count}", count - lacking.len().min(count)),
        };
        let met = |of: &[&Evidence]| NeedLine {
            rank,
            at: 0,
            met_by: of.iter().filter_map(|it| it.met_by).max(),
            text: text.clone(),
            detail: met_by(of.iter().filter_map(|it| it.met_by).collect(), entries, world),
            asked_by: asked_by(of),
            ask: Ask::default(),
        };
        let Some(first) = missing.first() else {
            lines.push(met(&of_kind));
            continue;
        };
        let mut seen: BTreeSet<Need> = BTreeSet::new();
        let bags = missing.iter().filter(|it| matches!(it.need, Need::Bag(_)) && seen.insert(it.need));
        let bags: Vec<NeedLine> =
            bags.enumerate().map(|(at, it)| bag(plan.code, rank, at + 1, it, &missing, entries, world)).collect();
        if !bags.is_empty() {
            lines.extend(bags);
            let rest: Vec<&Evidence> = of_kind.iter().copied().filter(|it| !lacking.contains(&it.need)).collect();
            if !rest.is_empty() {
                // What is missing stands above, a line each: this one tells of the others alone.
                let others: BTreeSet<Need> = rest.iter().map(|it| it.need).collect();
                let text = match others.len() {
                    1 => "1 other bag laundered".to_owned(),
                    count => format!("{count} other bags laundered"),
                };
                lines.push(NeedLine { text, ..met(&rest) });
            }
            continue;
        }
        let mut names: Vec<String> = vec![];
        for it in of_kind.iter().filter(|it| lacking.contains(&it.need)) {
            let text = name(it.need, plan);
            if !text.is_empty() && !names.contains(&text) {
                names.push(text);
            }
        }
        lines.push(NeedLine {
            rank,
            at: 0,
            met_by: None,
            text,
            detail: names.join(", "),
            asked_by: asked_by(&missing),
            ask: Ask::for_need(world.board, plan.code, first.need, first.cause),
        });
    }
    let (open, met): (Vec<_>, Vec<_>) = lines.into_iter().partition(|line| line.met_by.is_none());
    open.into_iter().chain(met).collect()
}

/// What the room waits for in the spaces that serve it, such as a bathroom between two.
pub(super) fn spaces(board: &Board, room: Code, now: Time) -> Vec<NeedLine> {
    let closes = |space: &Code| board.room(*space).is_some_and(|it| it.has_unsettled());
    let served = board.facility().spaces_serving(room).map(|space| space.code).filter(closes);
    let line = |space: Code| {
        let step = board.next_step(space, now)?;
        let evidence = board.evidence(space);
        let missing: Vec<&Evidence> = evidence.iter().filter(|it| it.met_by.is_none()).collect();
        Some(NeedLine {
            rank: u8::MAX,
            at: 0,
            met_by: None,
            text: format!("shared space {space}"),
            detail: step.text.clone(),
            asked_by: asked_by(&missing),
            ask: Ask::next(board, space, step.verb, &evidence),
        })
    };
    let lines = served.filter_map(line).enumerate();
    lines.map(|(at, line)| NeedLine { at, ..line }).collect()
}

/// One bag that is out: since when, and which of its loads failed.
fn bag(
    room: Code,
    rank: u8,
    at: usize,
    it: &Evidence,
    missing: &[&Evidence],
    entries: &[&Entry],
    world: &World<'_>,
) -> NeedLine {
    let of_bag: Vec<&Evidence> = missing.iter().copied().filter(|other| other.need == it.need).collect();
    let tag = if let Need::Bag(tag) = it.need { tag } else { room };
    let asks = |entry: &&&Entry| of_bag.iter().any(|it| it.cause == entry.number);
    let since = entries.iter().filter(asks).map(|entry| entry.happened).min();
    let out = since.map(|at| format!("out since {}", age::with_age(at, world.now, world.board.facility().time_zone)));
    let loads = world.board.room(room).map(|room| room.failed_loads.as_slice()).unwrap_or_default();
    let failed =
        loads.iter().rev().find(|(_, bag)| *bag == tag).map(|(entry, _)| format!("load failed, entry {entry}"));
    let zone = world.board.facility().time_zone;
    let ends = |entry: &&&Entry| match &entry.body {
        Body::BagEnded { bag, .. } | Body::Laundered { bag, .. } => *bag == tag,
        _ => false,
    };
    // The newest of its entries says that nobody finds it.
    let lost = entries
        .iter()
        .filter(ends)
        .max_by_key(|entry| entry.number)
        .filter(|entry| matches!(entry.body, Body::BagEnded { end: BagEnd::Lost, .. }) && it.cause < entry.number);
    let lost = lost.map(|entry| format!("LOST {}: look for it", age::with_age(entry.happened, world.now, zone)));
    let parts: Vec<String> = lost.into_iter().chain(failed).chain(out).collect();
    NeedLine {
        rank,
        at,
        met_by: None,
        text: format!("bag {tag} laundered"),
        detail: parts.join("; "),
        asked_by: asked_by(&of_bag),
        ask: Ask::for_need(world.board, room, it.need, it.cause),
    }
}

fn asked_by(evidence: &[&Evidence]) -> String {
    let causes: BTreeSet<Number> = evidence.iter().map(|it| it.cause).collect();
    match (causes.first(), causes.len()) {
        (Some(first), 1) => format!("asked by {first}"),
        (Some(first), more) => format!("asked by {first} and {} more", more - 1),
        (None, _) => String::new(),
    }
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

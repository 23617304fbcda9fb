//! The board in lines that read well aloud: a fact each, `label: value`, no table, no drawing.

use crate::cli::text::{clock, when};
use crate::cli::view::View;
use crate::desk::{Desk, Standing};
use crate::domain::board::{Board, Occupancy, State, Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::describe::sentence;
use crate::domain::entry::Number;
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::hindrance::hindrance;
use crate::domain::need::Need;
use crate::domain::shown::shown;

/// Whose board, how many beds are open, and where nobody goes in.
pub(super) fn head(desk: &Desk) -> String {
    let (board, now) = (desk.board(), desk.now());
    let facility = board.facility();
    let mut out = vec![format!("{}, {}", shown(&facility.name), clock(now, now, facility.time_zone))];
    if let Standing::ReadOnly(why) | Standing::Untrusted(why) = desk.standing() {
        out.push(format!("ledger: {}", shown(why)));
    }
    if let Some(why) = board.distrust() {
        out.push(format!("every bed reads closed: {}", shown(why)));
    }
    let beds: Vec<Code> = facility.in_walking_order().flat_map(|plan| plan.beds.iter().map(|bed| bed.code)).collect();
    let open = beds.iter().filter(|bed| board.admission(**bed, now).is_empty()).count();
    out.push(format!("beds open: {open} of {}, as far as bed bugs are concerned; check cleaning", beds.len()));
    let wet = facility.in_walking_order().filter(|plan| board.state(plan.code) == State::TreatedWet);
    let wet: Vec<String> = wet.map(|plan| plan.code.to_string()).collect();
    out.push(format!("do not enter: {}", if wet.is_empty() { "no room".to_owned() } else { wet.join(", ") }));
    out.join("\n")
}

pub(super) fn beds(view: &View<'_>, ward: Option<Code>, open_only: bool) -> String {
    let mut out = vec![];
    for plan in view.rooms(ward) {
        for bed in &plan.beds {
            let blockers = view.board.admission(bed.code, view.now);
            let features =
                if bed.features.is_empty() { String::new() } else { format!(" ({})", shown(&bed.features.join(", "))) };
            let promised = view.board.room(plan.code).and_then(|room| room.beds.get(&bed.code)?.promised);
            let promised = promised.map(|it| {
                let zone = view.board.facility().time_zone;
                format!("; promised for {} by {}", clock(it.wanted, view.now, zone), it.by)
            });
            let promised = promised.unwrap_or_default();
            match blockers.first() {
                None => out.push(format!("{}{features}: open{promised}", bed.code)),
                Some(first) if !open_only => {
                    let patient = match view.board.occupancy(bed.code, view.now) {
                        Occupancy::Occupied => "a patient in it; ",
                        _ => "",
                    };
                    let more = if blockers.len() > 1 {
                        format!("; {} more reasons", blockers.len() - 1)
                    } else {
                        String::new()
                    };
                    out.push(format!(
                        "{}{features}: closed; {patient}room {}; {}{more}{promised}",
                        bed.code,
                        view.board.state(plan.code),
                        shown(&first.text)
                    ));
                }
                Some(_) => {}
            }
        }
    }
    if out.is_empty() {
        out.push("no bed is open".to_owned());
    }
    out.join("\n")
}

pub(super) fn rooms(view: &View<'_>, ward: Option<Code>) -> String {
    let line = |plan: &RoomPlan| {
        let closed = !view.board.room_blockers(plan.code).is_empty();
        let next = view.board.next_step(plan.code, view.now);
        let next = next.map(|step| format!("; next: {}, {}", shown(&step.text), step.role.title())).unwrap_or_default();
        format!("{}: {}{next}", plan.code, view.board.state(plan.code).headline_of(closed))
    };
    view.rooms(ward).map(line).collect::<Vec<_>>().join("\n")
}

pub(super) fn tasks(view: &View<'_>, tasks: &[Task]) -> String {
    let zone = view.board.facility().time_zone;
    let line = |(at, task): (usize, &Task)| {
        let due = match task.due {
            Some(due) if task.overdue => format!("overdue since {}", when(due, view.now, zone)),
            Some(due) => format!("due {}", when(due, view.now, zone)),
            None => "waits for something else".to_owned(),
        };
        let who = task.accepted_by.map_or(task.role.title().to_owned(), |by| format!("{by} has it"));
        let gives = task.gives.words();
        let gives = if gives.is_empty() { gives } else { format!("; {gives}") };
        let why = Some(task).filter(|task| task.kind != TaskKind::Bag);
        let why = why.and_then(|task| hindrance(view.entries, task.room, view.now, zone));
        let why = why.map(|why| format!("; {}", shown(&why))).unwrap_or_default();
        format!("{}: {}, {}; {who}; {due}{gives}{why}", at + 1, task.room, shown(&task.need))
    };
    let mut out: Vec<String> = tasks.iter().enumerate().map(line).collect();
    out.push(if out.is_empty() { "nothing is due".to_owned() } else { "do NUMBER notes one of them.".to_owned() });
    out.join("\n")
}

pub(super) fn bags(view: &View<'_>) -> String {
    let mut out = vec![];
    for plan in view.rooms(None) {
        let mut told: Vec<Code> = vec![];
        for it in view.board.evidence(plan.code).into_iter().filter(|it| it.met_by.is_none()) {
            if let Need::Bag(tag) = it.need
                && !told.contains(&tag)
            {
                told.push(tag);
                out.push(format!("bag {tag}: out, from room {}, by entry {}", plan.code, it.cause));
            }
        }
    }
    for thing in view.board.things_under_way() {
        let to = thing.to.map_or("nobody said where to".to_owned(), |to| format!("to {to}"));
        out.push(format!(
            "thing {}: left room {}, {to}, not arrived{}",
            thing.tag,
            thing.from,
            if thing.wet { ", WET" } else { "" }
        ));
    }
    if out.is_empty() { "no bag is out".to_owned() } else { out.join("\n") }
}

pub(super) fn ledger(view: &View<'_>, count: usize) -> String {
    let zone = view.board.facility().time_zone;
    let line = |entry: &crate::domain::entry::Entry| {
        format!(
            "entry {}: {}, {} by {}",
            entry.number,
            shown(&sentence(entry, view.board)),
            when(entry.happened, view.now, zone),
            entry.done_by
        )
    };
    view.entries.iter().rev().take(count).map(line).collect::<Vec<_>>().join("\n")
}

/// How much of what the room asks for is met, and what is missing, each thing once.
pub(super) fn requirements(board: &Board, room: Code) -> Vec<String> {
    let evidence = board.evidence(room);
    if evidence.is_empty() {
        return vec![];
    }
    let met = evidence.iter().filter(|it| it.met_by.is_some()).count();
    let mut out = vec![format!("requirements met: {met} of {}", evidence.len())];
    let mut told: Vec<Need> = vec![];
    // Zones of one kind are one line, in the order in which they were asked for.
    let mut zones: Vec<(&'static str, Vec<Zone>, Vec<Number>)> = vec![];
    for it in evidence.iter().filter(|it| it.met_by.is_none()) {
        let folded = match it.need {
            Need::Covered(zone) => Some((zone, "not treated")),
            Need::Dry(zone) => Some((zone, "not found dry")),
            Need::Vacuumed(zone) => Some((zone, "not vacuumed")),
            _ => None,
        };
        let Some((zone, what)) = folded else {
            if !told.contains(&it.need) {
                told.push(it.need);
                out.push(format!("missing: {}, asked by entry {}", it.need, it.cause));
            }
            continue;
        };
        let at = zones.iter().position(|(word, ..)| *word == what).unwrap_or_else(|| {
            zones.push((what, vec![], vec![]));
            zones.len() - 1
        });
        if let Some((_, zones, causes)) = zones.get_mut(at) {
            if !zones.contains(&zone) {
                zones.push(zone);
            }
            if !causes.contains(&it.cause) {
                causes.push(it.cause);
            }
        }
    }
    for (what, zones, causes) in zones {
        let count = if zones.len() == 1 { "1 zone".to_owned() } else { format!("{} zones", zones.len()) };
        let entries = if causes.len() == 1 { "entry" } else { "entries" };
        let causes: Vec<String> = causes.iter().map(Number::to_string).collect();
        let zones: Vec<String> = zones.iter().map(Zone::to_string).collect();
        out.push(format!("missing: {count} {what}, asked by {entries} {}: {}", causes.join(", "), zones.join(", ")));
    }
    out
}

pub(super) fn room(view: &View<'_>, plan: &RoomPlan) -> String {
    let (board, now) = (view.board, view.now);
    let state = board.state(plan.code);
    let closed = !board.room_blockers(plan.code).is_empty();
    let name = if plan.name.is_empty() { String::new() } else { format!(" {}", shown(&plan.name)) };
    let mut out = vec![format!("room: {}{name}, ward {}", plan.code, plan.ward)];
    out.push(format!("state: {}", state.headline_of(closed)));
    out.push(format!("who may be inside: {}", board.who_may_enter(plan.code, closed, now)));
    for bed in &plan.beds {
        let open = board.admission(bed.code, now).is_empty();
        let occupancy = board.occupancy(bed.code, now).word();
        out.push(format!("bed {}: {}, {occupancy}", bed.code, if open { "open" } else { "closed" }));
    }
    out.extend(board.room_blockers(plan.code).iter().map(|it| format!("closed by: {} ({})", shown(&it.text), it.rule)));
    if let Some(step) = board.next_step(plan.code, now) {
        out.push(format!("next step: {}; {}", shown(&step.text), step.role.title()));
    }
    out.extend(requirements(board, plan.code));
    let zone = board.facility().time_zone;
    let touches = |entry: &&crate::domain::entry::Entry| board.rooms_of(&entry.place).contains(&plan.code);
    for entry in view.entries.iter().rev().filter(touches).take(8) {
        out.push(format!(
            "entry {}: {}, {} by {}",
            entry.number,
            shown(&sentence(entry, board)),
            when(entry.happened, now, zone),
            entry.done_by
        ));
    }
    out.join("\n")
}

//! The board in lines that read well aloud: a fact each, `label: value`, no table, no drawing.

use crate::cli::json::timeline;
use crate::cli::show::{do_not_enter, warnings};
use crate::cli::text::{clock, when};
use crate::cli::view::View;
use crate::domain::board::{Board, Occupancy, Task};
use crate::domain::code::Code;
use crate::domain::describe::sentence;
use crate::domain::entry::{Entry, Number};
use crate::domain::facility::RoomPlan;
use crate::domain::need::Need;
use crate::domain::shift::promise_stands;
use crate::domain::shown::shown;

/// Whose board, how many beds are open, and where nobody goes in.
pub(super) fn head(view: &View<'_>) -> String {
    let (board, now) = (view.board, view.now);
    let facility = board.facility();
    let mut out = vec![format!("{}, {}", shown(&facility.name), clock(now, now, facility.time_zone))];
    out.extend(warnings(view));
    out.extend(view.gaps.iter().map(|gap| format!("{}: {}", gap.title, shown(&gap.whole))));
    out.push(count(view, None));
    out.push("open as far as bed bugs are concerned; check cleaning".to_owned());
    out.push(format!("do not enter: {}", do_not_enter(view)));
    out.join("\n")
}

/// What has to be known before an answer, in few words: the head said all of it.
pub(super) fn careful(view: &View<'_>) -> String {
    let gap = view.gaps.first().and_then(|gap| gap.short.get(1)).map(|text| shown(text));
    let lines: Vec<String> = warnings(view).into_iter().chain(gap).collect();
    lines.iter().map(|line| format!("{line}\n")).collect()
}

/// `beds open: 12 of 70, 1 of them promised`.
fn count(view: &View<'_>, ward: Option<Code>) -> String {
    match view.is_trusted() {
        true => format!("beds open: {}", view.count(view.rooms(ward)).words("")),
        false => "beds open: none that is known to be".to_owned(),
    }
}

pub(super) fn beds(view: &View<'_>, ward: Option<Code>, open_only: bool) -> String {
    let mut out = vec![count(view, ward)];
    for plan in view.rooms(ward) {
        for bed in &plan.beds {
            let blockers = view.board.admission(bed.code, view.now);
            let features =
                if bed.features.is_empty() { String::new() } else { format!(" ({})", shown(&bed.features.join(", "))) };
            let promised = view.promised(plan.code, bed.code);
            let promised = promised.map(|it| {
                let zone = view.board.facility().time_zone;
                let stands = shown(&promise_stands(view.board, bed.code, &it, view.now));
                format!("; promised for {} by {}: {stands}", clock(it.wanted, view.now, zone), it.by)
            });
            let promised = promised.unwrap_or_default();
            match blockers.first() {
                None => {
                    let marks =
                        view.board.marks(bed.code, view.now).into_iter().map(|mark| format!("; {}", mark.words()));
                    let marks: String = marks.collect();
                    out.push(format!("{}{features}: open{marks}{promised}", bed.code));
                }
                Some(first) if !open_only => {
                    let patient = match view.board.occupancy(bed.code, view.now) {
                        Occupancy::Occupied => "a patient in it; ",
                        _ => "",
                    };
                    let more = match blockers.len() {
                        0 | 1 => String::new(),
                        2 => "; 1 more reason".to_owned(),
                        many => format!("; {} more reasons", many - 1),
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
    if out.len() == 1 {
        out.push("no bed is open".to_owned());
    }
    out.join("\n")
}

pub(super) fn rooms(view: &View<'_>, ward: Option<Code>) -> String {
    let line = |plan: &RoomPlan| {
        let closed = !view.board.room_blockers(plan.code).is_empty();
        let next = view.board.next_step(plan.code, view.now);
        let next = next.map(|step| format!("; next: {}, {}", shown(&step.text), step.role.title())).unwrap_or_default();
        let beds = match plan.beds.len() {
            0 => String::new(),
            _ => {
                let marks = view.marks(plan).map(|marks| format!(", {marks}")).unwrap_or_default();
                format!("; beds open: {}{marks}", view.count([plan]).words(""))
            }
        };
        format!("{}: {}{beds}{next}", plan.code, view.board.state(plan.code).headline_of(closed))
    };
    let lines = view.rooms(ward).map(line);
    [count(view, ward)].into_iter().chain(lines).collect::<Vec<_>>().join("\n")
}

pub(super) fn tasks(view: &View<'_>, tasks: &[(String, Task)]) -> String {
    let zone = view.board.facility().time_zone;
    let line = |(at, (place, task)): (usize, &(String, Task))| {
        let due = match task.due {
            Some(due) if task.overdue => format!("overdue since {}", when(due, view.now, zone)),
            Some(due) => format!("due {}", when(due, view.now, zone)),
            None => "waits for something else".to_owned(),
        };
        let who = task.accepted_by.map_or(task.role.title().to_owned(), |by| format!("{by} has it"));
        let gives = task.gives.words();
        let gives = if gives.is_empty() { gives } else { format!("; {gives}") };
        let why = view.hindrance(task).map(|why| format!("; {}", shown(&why))).unwrap_or_default();
        format!("{}: {place}, {}; {who}; {due}{gives}{why}", at + 1, shown(&task.need))
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
            if view.board.is_thing_wet(&thing.tag) { ", WET" } else { "" }
        ));
    }
    if out.is_empty() { "no bag is out".to_owned() } else { out.join("\n") }
}

pub(super) fn ledger(view: &View<'_>, count: usize) -> String {
    view.entries.iter().rev().take(count).map(|entry| told(entry, view)).collect::<Vec<_>>().join("\n")
}

/// An entry in a line.
fn told(entry: &Entry, view: &View<'_>) -> String {
    let zone = view.board.facility().time_zone;
    let sheet = entry.sheet().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
    let (what, happened) = (shown(&sentence(entry, view.board)), when(entry.happened, view.now, zone));
    format!("entry {}: {what}, {happened} by {}{sheet}", entry.number, entry.done_by)
}

/// How much of what the room asks for is met, and what is missing: many things of a kind in one line, in the order in
/// which they were asked for.
pub(super) fn requirements(board: &Board, room: Code) -> Vec<String> {
    let evidence = board.evidence(room);
    if evidence.is_empty() {
        return vec![];
    }
    let met = evidence.iter().filter(|it| it.met_by.is_some()).count();
    let mut out = vec![format!("requirements met: {met} of {}", evidence.len())];
    let mut kinds: Vec<Missing> = vec![];
    for it in evidence.iter().filter(|it| it.met_by.is_none()) {
        let (kind, thing) = kind_of(it.need);
        let at = kinds.iter().position(|known| known.kind == kind).unwrap_or_else(|| {
            kinds.push(Missing { kind, first: it.need, things: vec![], causes: vec![] });
            kinds.len() - 1
        });
        if let Some(known) = kinds.get_mut(at) {
            if !known.things.contains(&thing) {
                known.things.push(thing);
            }
            if !known.causes.contains(&it.cause) {
                known.causes.push(it.cause);
            }
        }
    }
    out.extend(kinds.iter().map(Missing::words));
    out
}

/// What is missing of one kind.
struct Missing {
    kind: (&'static str, String),
    first: Need,
    things: Vec<String>,
    causes: Vec<Number>,
}

impl Missing {
    fn words(&self) -> String {
        let entries = if self.causes.len() == 1 { "entry" } else { "entries" };
        let causes: Vec<String> = self.causes.iter().map(Number::to_string).collect();
        let asked = format!("asked by {entries} {}", causes.join(", "));
        let ((what, done), count) = (&self.kind, self.things.len());
        match count {
            _ if what.is_empty() => format!("missing: {}, {asked}", self.first),
            1 => format!("missing: 1 {what} {done}, {asked}: {}", self.things.join(", ")),
            _ => format!("missing: {count} {what}s {done}, {asked}: {}", self.things.join(", ")),
        }
    }
}

/// What the need is counted with, and which of them it is.
fn kind_of(need: Need) -> ((&'static str, String), String) {
    let (what, done, thing) = match need {
        Need::Covered(zone) => ("zone", "not treated", zone.to_string()),
        Need::Dry(zone) => ("zone", "not found dry", zone.to_string()),
        Need::Vacuumed(zone) => ("zone", "not vacuumed", zone.to_string()),
        Need::Bag(tag) => ("bag", "not laundered", tag.to_string()),
        Need::Made(bed) => ("bed", "not made", bed.to_string()),
        other => return (("", other.to_string()), String::new()),
    };
    ((what, done.to_owned()), thing)
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
        let marks: String = board.marks(bed.code, now).into_iter().map(|mark| format!(", {}", mark.words())).collect();
        out.push(format!("bed {}: {}{marks}, {occupancy}", bed.code, if open { "open" } else { "closed" }));
    }
    out.extend(board.room_blockers(plan.code).iter().map(|it| format!("closed by: {} ({})", shown(&it.text), it.rule)));
    if let Some(step) = board.next_step(plan.code, now) {
        out.push(format!("next step: {}; {}", shown(&step.text), step.role.title()));
    }
    out.extend(requirements(board, plan.code));
    out.extend(timeline(view, plan).take(8).map(|entry| {
        let problem = view.mark(plan.code, entry).map(|mark| format!("; {}", shown(&mark)));
        format!("{}{}", told(entry, view), problem.unwrap_or_default())
    }));
    out.join("\n")
}

//! What happened in a room, newest first. Rounds and occupancy checks in a row are one line: they are proof of care, and
//! would hide everything else.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::board::{Board, Room};
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Body, Depth, Entry, Number, Time};
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::world::World;

pub(super) struct EventLine {
    /// Newest first; more than one for routine that is folded.
    pub numbers: Vec<Number>,
    pub when: String,
    /// The same in at most twenty-two columns.
    pub when_short: String,
    pub by: String,
    /// What it is in this room: `closes`, `fact`, `signed`, or nothing that a rule reads.
    pub kind: &'static str,
    /// Before the text: that it counts no more, or never did.
    pub remark: String,
    pub text: String,
}

/// Before a signature that stands no more.
const FALLEN: &str = "fell, what it rests on was voided: ";

pub(super) fn events(code: Code, entries: &[&Entry], world: &World<'_>) -> Vec<EventLine> {
    let problems: BTreeSet<Number> = world.board.problems().iter().map(|problem| problem.number).collect();
    let counts = |entry: &&&Entry| !problems.contains(&entry.number);
    let voids: BTreeMap<Number, Number> =
        entries.iter().filter(counts).filter_map(|entry| Some((voided(entry)?, entry.number))).collect();
    let room = world.board.room(code);
    let folds = |entry: &&Entry| {
        let plain = !voids.contains_key(&entry.number) && !problems.contains(&entry.number);
        plain && is_routine(entry) && room.is_none_or(|room| room.knows_closer(entry.number).is_none())
    };
    let mut lines = vec![];
    let mut rest = entries;
    while let Some((first, after)) = rest.split_first() {
        let routine = rest.iter().take_while(|entry| folds(entry)).count();
        if routine > 1 {
            let (run, after) = rest.split_at(routine);
            lines.push(folded(run, world));
            rest = after;
        } else {
            let remark = match voids.get(&first.number) {
                Some(void) => format!("voided by {void}: "),
                None if problems.contains(&first.number) => "does not count: ".to_owned(),
                None if room.is_some_and(|room| room.has_fallen(first.number)) => FALLEN.to_owned(),
                None => String::new(),
            };
            lines.push(single(first, world, room.map(|room| kind(room, first)).unwrap_or_default(), remark));
            rest = after;
        }
    }
    lines
}

fn voided(entry: &Entry) -> Option<Number> {
    if let Body::Voided { entry, .. } = &entry.body { Some(*entry) } else { None }
}

/// As the fold has sorted it. A spray closes, and is a fact too: the graver word stands.
fn kind(room: &Room, entry: &Entry) -> &'static str {
    if matches!(entry.body, Body::Voided { .. }) {
        "void"
    } else if room.knows_closer(entry.number).is_some() {
        "closes"
    } else if room.knows_signature(entry.number) {
        "signed"
    } else if room.knows_fact(entry.number).is_some() {
        "fact"
    } else {
        ""
    }
}

fn is_routine(entry: &Entry) -> bool {
    match &entry.body {
        Body::RoundLooked { .. } | Body::OccupancyConfirmed { .. } | Body::TaskAccepted { .. } => true,
        Body::Inspected { depth: Depth::Daily, looks, .. } => looks.iter().all(|look| look.seen.is_empty()),
        _ => false,
    }
}

fn single(entry: &Entry, world: &World<'_>, kind: &'static str, remark: String) -> EventLine {
    EventLine {
        numbers: vec![entry.number],
        when: when(entry.happened, world),
        when_short: when_short(entry.happened, world),
        by: by(entry),
        kind,
        remark,
        text: shown(&describe::sentence(entry, world.board)),
    }
}

fn folded(run: &[&Entry], world: &World<'_>) -> EventLine {
    let (newest, oldest) = (run.first(), run.last());
    let count = |wanted: fn(&Body) -> bool| run.iter().filter(|entry| wanted(&entry.body)).count();
    let looks = count(|body| matches!(body, Body::RoundLooked { .. } | Body::Inspected { .. }));
    let counts = count(|body| matches!(body, Body::OccupancyConfirmed { .. }));
    let taken = count(|body| matches!(body, Body::TaskAccepted { .. }));
    let zone = world.board.facility().time_zone;
    let day = |entry: &&Entry| entry.happened.with_timezone(&zone).format("%-d %b").to_string();
    let since = oldest.map(day).unwrap_or_default();
    let kinds = [(looks, "daily look"), (counts, "bed count"), (taken, "task")];
    let parts: Vec<String> = kinds
        .into_iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, thing)| format!("{number} {thing}{}", plural(number)))
        .collect();
    let seen = if looks > 0 { ", nothing seen" } else { "" };
    EventLine {
        numbers: run.iter().map(|entry| entry.number).collect(),
        when: newest.map(|entry| when(entry.happened, world)).unwrap_or_default(),
        when_short: newest.map(|entry| when_short(entry.happened, world)).unwrap_or_default(),
        by: String::new(),
        kind: "",
        remark: String::new(),
        text: format!("{}{seen}, since {since}", parts.join(", ")),
    }
}

fn plural(number: usize) -> &'static str {
    if number == 1 { "" } else { "s" }
}

fn when(time: Time, world: &World<'_>) -> String {
    age::with_age(time, world.now, world.board.facility().time_zone)
}

/// The clock for today, the day for other days; always the age.
fn when_short(time: Time, world: &World<'_>) -> String {
    let zone = world.board.facility().time_zone;
    let (there, today) = (time.with_timezone(&zone), world.now.with_timezone(&zone));
    let clock = if there.date_naive() == today.date_naive() { "%H:%M" } else { "%-d %b" };
    format!("{}, {}", there.format(clock), age::age(time, world.now))
}

/// Who did it, and who noted it where that is somebody else.
fn by(entry: &Entry) -> String {
    if entry.done_by == entry.noted_by {
        entry.done_by.to_string()
    } else {
        format!("{}, noted by {}", entry.done_by, entry.noted_by)
    }
}

/// The entries of a folded line, for reading.
pub(super) fn in_words(entries: &[&Entry], board: &Board, now: Time) -> Vec<String> {
    let zone = board.facility().time_zone;
    let line = |entry: &&Entry| {
        let sentence = describe::sentence(entry, board);
        format!("{}  {}  {}: {sentence}", entry.number, age::with_age(entry.happened, now, zone), by(entry))
    };
    entries.iter().map(line).collect()
}

//! What happened in a room, newest first. Rounds and occupancy checks in a row are one line: they are proof of care, and
//! would hide everything else.

use std::collections::BTreeMap;

use crate::domain::board::Board;
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
    pub text: String,
    /// It was voided by this entry, and counts no more.
    pub voided: Option<Number>,
}

pub(super) fn events(entries: &[&Entry], world: &World<'_>) -> Vec<EventLine> {
    let voids: BTreeMap<Number, Number> =
        entries.iter().filter_map(|entry| Some((voided(entry)?, entry.number))).collect();
    let mut lines = vec![];
    let mut rest = entries;
    while let Some((first, after)) = rest.split_first() {
        let routine = rest.iter().take_while(|entry| is_routine(entry)).count();
        if routine > 1 {
            let (run, after) = rest.split_at(routine);
            lines.push(folded(run, world));
            rest = after;
        } else {
            lines.push(single(first, world, voids.get(&first.number).copied()));
            rest = after;
        }
    }
    lines
}

fn voided(entry: &Entry) -> Option<Number> {
    if let Body::Voided { entry, .. } = &entry.body { Some(*entry) } else { None }
}

fn is_routine(entry: &Entry) -> bool {
    match &entry.body {
        Body::RoundLooked { .. } | Body::OccupancyConfirmed { .. } => true,
        Body::Inspected { depth: Depth::Daily, looks, .. } => looks.iter().all(|look| look.seen.is_empty()),
        _ => false,
    }
}

fn single(entry: &Entry, world: &World<'_>, voided: Option<Number>) -> EventLine {
    EventLine {
        numbers: vec![entry.number],
        when: when(entry.happened, world),
        when_short: when_short(entry.happened, world),
        by: by(entry),
        text: shown(&describe::sentence(entry, world.board)),
        voided,
    }
}

fn folded(run: &[&Entry], world: &World<'_>) -> EventLine {
    let (newest, oldest) = (run.first(), run.last());
    let looks = run.iter().filter(|entry| !matches!(entry.body, Body::OccupancyConfirmed { .. })).count();
    let counts = run.len() - looks;
    let zone = world.board.facility().time_zone;
    let day = |entry: &&Entry| entry.happened.with_timezone(&zone).format("%-d %b").to_string();
    let since = oldest.map(day).unwrap_or_default();
    let parts: Vec<String> = [(looks, "daily look"), (counts, "bed count")]
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
        text: format!("{}{seen}, since {since}", parts.join(" and ")),
        voided: None,
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

//! What is doubtful of a load's trace: a file that was used before, a clock that does not fit, a figure that disagrees. Each is
//! asked about once more or remarked on, and never refused: a logger's clock may be wrong, and one load may hold several bags.

use chrono::TimeDelta;

use super::board::{Board, CLOCK_TOLERANCE};
use super::code::Code;
use super::entry::{Body, Cycle, Entry, Number, Place, Time};
use super::measured::{LoggerIn, Measured};
use super::moves::show_time_to_type;
use super::need::Need;

/// A cycle is noted within a day: our assumption.
const LONG_AFTER: TimeDelta = TimeDelta::hours(24);
/// Where it was said when the load ended, its trace does not end so long before: a logger is taken out with the load, and a
/// dryer may follow. Our assumption.
const LONG_BEFORE: TimeDelta = TimeDelta::hours(3);
/// A machine's own thermometer and a logger in the load differ by so much, in tenths of a kelvin: common practice, no source.
const DIFFER_DECIKELVIN: i32 = 20;

/// A load as it is, or is to be, noted.
pub(super) struct Load<'a> {
    pub place: &'a Place,
    pub bag: Code,
    pub cycle: &'a Cycle,
    pub happened: Time,
    /// The entry's own number. None: it is not written yet.
    pub number: Option<Number>,
    /// It was said to be one load with that of another entry.
    pub same_load: bool,
}

impl<'a> Load<'a> {
    pub(super) fn of(entry: &'a Entry) -> Option<Self> {
        let Body::Laundered { bag, cycle, .. } = &entry.body else { return None };
        Some(Self {
            place: &entry.place,
            bag: *bag,
            cycle,
            happened: entry.happened,
            number: Some(entry.number),
            same_load: false,
        })
    }
}

/// Each doubt as a question. None for a load without a trace.
pub(super) fn doubts(load: &Load<'_>, board: &Board, entries: &[Entry], now: Time) -> Vec<String> {
    let mut found: Vec<String> = vec![];
    for trace in load.cycle.traces() {
        let of_one = doubts_of(trace, load, board, entries, now);
        found.extend(of_one.into_iter().filter(|doubt| !found.contains(doubt)).collect::<Vec<_>>());
    }
    found.extend(in_order(load.cycle, board));
    found
}

/// A load is washed, and then dried.
fn in_order(cycle: &Cycle, board: &Board) -> Option<String> {
    let of = |machine: LoggerIn| cycle.traces().find(|it| it.machine == machine);
    let (washed, dried) = (of(LoggerIn::Washer)?.ended()?, of(LoggerIn::Dryer)?.began?);
    let show = |time: Time| show_time_to_type(time, board.facility().time_zone);
    (dried < washed).then(|| {
        format!(
            "The dryer's trace begins at {}, before the washer's ends at {}. Is each of its machine?",
            show(dried),
            show(washed)
        )
    })
}

fn doubts_of(trace: &Measured, load: &Load<'_>, board: &Board, entries: &[Entry], now: Time) -> Vec<String> {
    let mut found: Vec<String> =
        if load.same_load { vec![] } else { used_before(load, trace, entries).into_iter().collect() };
    found.extend(clock(load, trace, board, now));
    found.extend(disagrees(load.cycle, trace));
    if trace.uncertainty_decikelvin == Some(0) {
        found.push("No logger is certain to 0 K. Is that what its certificate says?".to_owned());
    }
    found
}

/// The newest other load with the same file, if it counts still.
fn used_before(load: &Load<'_>, trace: &Measured, entries: &[Entry]) -> Option<String> {
    let before = |entry: &&Entry| load.number.is_none_or(|own| entry.number < own);
    let other = entries.iter().rev().filter(before).find_map(|entry| {
        let other = Load::of(entry)?;
        let same = other.cycle.traces().any(|it| it.file == trace.file);
        (same && !is_voided(entry.number, entries)).then_some((entry.number, other.bag))
    })?;
    let (number, bag) = other;
    Some(match bag == load.bag {
        true => format!(
            "Entry {number} has the trace of the same file already, for this bag. Was it laundered twice in one load?"
        ),
        false => format!(
            "Entry {number} has the trace of the same file, for bag {bag}. Did both go through the machine together?"
        ),
    })
}

fn is_voided(number: Number, entries: &[Entry]) -> bool {
    let from = entries.partition_point(|entry| entry.number <= number);
    let voids = |it: &Entry| matches!(it.body, Body::Voided { entry, .. } if entry == number);
    entries.get(from..).unwrap_or_default().iter().any(voids)
}

fn clock(load: &Load<'_>, trace: &Measured, board: &Board, now: Time) -> Option<String> {
    let (began, ended) = (trace.began?, trace.ended()?);
    let show = |time: Time| show_time_to_type(time, board.facility().time_zone);
    if ended > now + CLOCK_TOLERANCE {
        return Some(format!("The trace ends at {}, which lies ahead. Is the logger's clock right?", show(ended)));
    }
    if ended > load.happened + CLOCK_TOLERANCE {
        let (after, noted) = (span(ended - load.happened), show(load.happened));
        return Some(format!(
            "The trace ends at {}, {after} after {noted}, when the load is said to have ended. Are both times right?",
            show(ended)
        ));
    }
    let asks = board.rooms_of(load.place).into_iter().filter_map(|code| board.room(code));
    let filled = asks
        .flat_map(|room| room.closers())
        .filter(|closer| closer.voided.is_none() && closer.needs.contains(&Need::Bag(load.bag)))
        .map(|closer| (closer.happened, closer.number))
        .filter(|(at, _)| *at <= load.happened)
        .max();
    if let Some((at, number)) = filled.filter(|(at, _)| began < *at) {
        let (began, at) = (show(began), show(at));
        return Some(format!(
            "The trace began at {began}, before {at}, when entry {number} asked for bag {}. Was the bag in that load?",
            load.bag
        ));
    }
    let before = load.happened - ended;
    // Of a load for which no time was said the entry has that of its noting.
    let is_said = now - load.happened > CLOCK_TOLERANCE;
    (before > if is_said { LONG_BEFORE } else { LONG_AFTER }).then(|| {
        let what = if is_said { "when the load is said to have ended" } else { "when the load is noted" };
        format!(
            "The trace ends at {}, {} before {}, {what}. Is it of this load, and are both times right?",
            show(ended),
            span(before),
            show(load.happened)
        )
    })
}

/// `3 h`, `3 h 5 min`, `50 min`; in whole minutes.
fn span(time: TimeDelta) -> String {
    match (time.num_hours(), time.num_minutes() % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// Of a trace without dates: nothing shows that it is of this load.
pub(super) fn not_compared(trace: &Measured) -> Option<&'static str> {
    trace.began.is_none().then_some(
        "the logger's file has no dates, so its times could not be compared with the load's: see that it is of this load",
    )
}

/// A figure was typed that the logger did not see.
fn disagrees(cycle: &Cycle, trace: &Measured) -> Option<String> {
    let typed = match trace.machine {
        LoggerIn::Washer => cycle.wash_decicelsius,
        LoggerIn::Dryer => cycle.dry_decicelsius,
        LoggerIn::Unknown => None,
    }?;
    let saw = trace.hottest_decicelsius()?;
    (typed > saw.saturating_add(DIFFER_DECIKELVIN)).then(|| {
        let degrees = |tenths: i32| f64::from(tenths) / 10.0;
        format!(
            "{} °C was typed, and the logger saw {} °C at most: the logger counts. Is it of this load?",
            degrees(typed),
            degrees(saw)
        )
    })
}

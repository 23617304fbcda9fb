//! What is doubtful of a load's trace beside its times: a file that was used before, a figure that disagrees. Each is asked about
//! once more or remarked on, and never refused: one load may hold several bags. Times that do not fit are the board's to refuse.

use super::code::Code;
use super::entry::{Body, Cycle, Entry, Number};
use super::measured::{LoggerIn, Measured};

/// A machine's own thermometer and a logger in the load differ by so much, in tenths of a kelvin: common practice, no source.
const DIFFER_DECIKELVIN: i32 = 20;

/// A load as it is, or is to be, noted.
pub(super) struct Load<'a> {
    pub bag: Code,
    pub cycle: &'a Cycle,
    /// The entry's own number. None: it is not written yet.
    pub number: Option<Number>,
    /// It was said to be one load with that of another entry.
    pub same_load: bool,
}

impl<'a> Load<'a> {
    pub(super) fn of(entry: &'a Entry) -> Option<Self> {
        let Body::Laundered { bag, cycle, .. } = &entry.body else { return None };
        Some(Self { bag: *bag, cycle, number: Some(entry.number), same_load: false })
    }
}

/// Each doubt as a question. None for a load without a trace.
pub(super) fn doubts(load: &Load<'_>, entries: &[Entry]) -> Vec<String> {
    let mut found: Vec<String> = vec![];
    for trace in load.cycle.traces() {
        let of_one = doubts_of(trace, load, entries);
        found.extend(of_one.into_iter().filter(|doubt| !found.contains(doubt)).collect::<Vec<_>>());
    }
    found
}

fn doubts_of(trace: &Measured, load: &Load<'_>, entries: &[Entry]) -> Vec<String> {
    let mut found: Vec<String> =
        if load.same_load { vec![] } else { used_before(load, trace, entries).into_iter().collect() };
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

//! Cells: numbers with a point or a comma, and times in three ways.

use chrono::{DateTime, Datelike as _, NaiveDate, NaiveTime, TimeDelta};

use super::{Began, TraceFault, fault, quoted};

const DAY: f64 = 86_400.0;
/// A clock that goes back by nearly a day has passed midnight, if so little lies between.
const PAST_MIDNIGHT: f64 = 3600.0;

/// A finite number. A comma is decimal only where it does not divide columns.
pub(super) fn number(cell: &str, decimal_comma: bool) -> Option<f64> {
    // "nan" and "inf" are numbers to Rust, and to no thermometer.
    let starts = cell.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    let found = match decimal_comma && cell.contains(',') {
        true => cell.replacen(',', ".", 1).parse::<f64>(),
        false => cell.parse::<f64>(),
    };
    found.ok().filter(|it| starts && it.is_finite())
}

/// How times are written, which the first of them decides.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Minutes,
    TimeOfDay,
    DateTime,
}

/// Turns the time column into seconds that rise.
pub(super) struct Clock {
    way: Option<Way>,
    /// Seconds of the days that passed.
    days: f64,
    last: f64,
    /// The first time, from which seconds count.
    start: Option<f64>,
    /// The same as an instant, where it has a date.
    pub(super) began: Option<Began>,
}

impl Clock {
    pub(super) fn new(minutes: bool) -> Self {
        Self { way: minutes.then_some(Way::Minutes), days: 0.0, last: f64::NEG_INFINITY, start: None, began: None }
    }

    /// Seconds since the first row. They may stand still or go back: the caller refuses that.
    pub(super) fn seconds(&mut self, cell: &str, line: u64, decimal_comma: bool) -> Result<f64, TraceFault> {
        let way = match self.way {
            Some(way) => way,
            None if cell.contains('-') && cell.contains(':') => Way::DateTime,
            None if cell.contains(':') => Way::TimeOfDay,
            None if number(cell, decimal_comma).is_some() => {
                let what = format!("the time {} is a bare number", quoted(cell));
                return Err(fault(line, what, "say --minutes if it counts minutes"));
            }
            None => return Err(unread(cell, line)),
        };
        self.way = Some(way);
        let found = match way {
            Way::Minutes => number(cell, decimal_comma).map(|minutes| minutes * 60.0),
            Way::TimeOfDay => time_of_day(cell).map(|seconds| self.past_midnight(seconds)),
            Way::DateTime => date_time(cell),
        };
        let seconds = found.ok_or_else(|| unread(cell, line))?;
        if self.start.is_none() && way == Way::DateTime {
            self.began = began(cell);
        }
        let start = *self.start.get_or_insert(seconds);
        Ok(seconds - start)
    }

    fn past_midnight(&mut self, seconds: f64) -> f64 {
        if seconds < self.last && seconds + DAY - self.last <= PAST_MIDNIGHT {
            self.days += DAY;
        }
        self.last = seconds;
        self.days + seconds
    }
}

fn unread(cell: &str, line: u64) -> TraceFault {
    let fix = "write times as 2026-03-02 14:05:30, as 14:05:30, or as minutes with --minutes; the same way in each row";
    fault(line, format!("{} is no time", quoted(cell)), fix)
}

/// `14:05`, `14:05:30`, `14:05:30.5`.
fn time_of_day(cell: &str) -> Option<f64> {
    let mut parts = cell.split(':');
    let whole = |part: Option<&str>, below: u32| {
        let part = part.filter(|it| (1..=2).contains(&it.len()) && it.bytes().all(|b| b.is_ascii_digit()))?;
        part.parse::<u32>().ok().filter(|it| *it < below).map(f64::from)
    };
    let (hours, minutes) = (whole(parts.next(), 24)?, whole(parts.next(), 60)?);
    let seconds = match parts.next() {
        None => 0.0,
        Some(part) => number(part, false).filter(|it| (0.0..60.0).contains(it))?,
    };
    parts.next().is_none().then_some(hours * 3600.0 + minutes * 60.0 + seconds)
}

/// `2026-03-02 14:05:30`, with a `T` between, or with a zone as RFC 3339 has it.
fn date_time(cell: &str) -> Option<f64> {
    local(cell).or_else(|| {
        let time = DateTime::parse_from_rfc3339(cell).ok()?;
        Some(time.timestamp_millis() as f64 / 1000.0)
    })
}

/// The first time of a file: where the logger was if it has a zone, else by whatever clock its house goes by.
fn began(cell: &str) -> Option<Began> {
    let Some(seconds) = local(cell) else {
        return Some(Began::Instant(DateTime::parse_from_rfc3339(cell).ok()?.to_utc()));
    };
    let day = NaiveDate::from_num_days_from_ce_opt((seconds / DAY) as i32)?;
    Some(Began::Local(day.and_time(NaiveTime::MIN) + TimeDelta::seconds((seconds % DAY) as i64)))
}

/// By hand: a day of a reading a second is read in a tenth of one.
fn local(cell: &str) -> Option<f64> {
    let (date, time) = cell.split_once([' ', 'T'])?;
    let mut parts = date.splitn(3, '-');
    let mut digits = |length: usize| {
        let part = parts.next().filter(|it| it.len() == length && it.bytes().all(|b| b.is_ascii_digit()))?;
        part.parse::<u32>().ok()
    };
    let (year, month, day) = (digits(4)?, digits(2)?, digits(2)?);
    let date = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
    Some(f64::from(date.num_days_from_ce()) * DAY + time_of_day(time)?)
}

//! Cells: numbers with a point or a comma, and times as the header or somebody says that they are written.

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};

use super::header::TimesSaid;
use super::zone::Zones;
use super::{How, TraceFault, fault, quoted};
use crate::domain::moves::TimesAre;

const DAY: f64 = 86_400.0;
/// A clock that goes back by nearly a day has passed midnight, if so little lies between.
const PAST_MIDNIGHT: f64 = 3600.0;
/// From the first day of our calendar to that from which instants count.
const UNIX_DAYS: i32 = 719_163;

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
    As(TimesAre),
    /// With a date, and no zone.
    Local,
    /// With a date and a zone.
    Zoned,
}

/// Turns the time column into seconds that rise.
pub(super) struct Clock {
    /// What the header or somebody says of it, and which of the two.
    stated: Option<(TimesAre, &'static str)>,
    /// A unit in which no trace is read.
    other: Option<&'static str>,
    zones: Zones,
    way: Option<Way>,
    /// Seconds of the days that passed.
    days: f64,
    last: Option<f64>,
    /// The first time, from which seconds count.
    start: Option<f64>,
}

pub(super) const BY_HEADER: &str = "as its header says";
pub(super) const BY_OPTION: &str = "as was said";

impl Clock {
    pub(super) fn new(line: u64, header: Option<TimesSaid>, zones: Zones, how: How) -> Result<Self, TraceFault> {
        let differ = |stands: &str, said: TimesAre| {
            let what = format!("the header says that its times are {stands}, and you said {}", said.word());
            fault(line, what, "leave out what you said of them, or mend the header")
        };
        let stated = match (header, how.times) {
            (Some(TimesSaid::Are(stands)), Some(said)) if stands != said => return Err(differ(stands.word(), said)),
            (Some(TimesSaid::Other(stands)), Some(said @ (TimesAre::Minutes | TimesAre::Seconds))) => {
                return Err(differ(stands, said));
            }
            (Some(TimesSaid::Are(stands)), _) => Some((stands, BY_HEADER)),
            (_, said) => said.map(|said| (said, BY_OPTION)),
        };
        let other = if let Some(TimesSaid::Other(unit)) = header { Some(unit) } else { None };
        Ok(Self { stated, other, zones, way: None, days: 0.0, last: None, start: None })
    }

    /// Seconds since the first row. They may stand still or go back: the caller refuses that.
    pub(super) fn seconds(&mut self, cell: &str, line: u64, decimal_comma: bool) -> Result<f64, TraceFault> {
        let way = match self.way {
            Some(way) => way,
            None => self.decided(cell, line, decimal_comma)?,
        };
        self.way = Some(way);
        let found = match way {
            Way::As(TimesAre::Minutes) => number(cell, decimal_comma).map(|minutes| minutes * 60.0),
            Way::As(TimesAre::Seconds) => number(cell, decimal_comma),
            Way::As(TimesAre::MinutesSeconds) => minutes_seconds(cell, decimal_comma),
            Way::As(TimesAre::HoursMinutes) => time_of_day(cell, 2).map(|seconds| self.past_midnight(seconds)),
            Way::As(TimesAre::HoursMinutesSeconds) => time_of_day(cell, 3).map(|seconds| self.past_midnight(seconds)),
            Way::Local => match local(cell) {
                Some(local) => Some(self.zones.instant(local, self.last, cell, line)?),
                None => None,
            },
            Way::Zoned => zoned(cell),
        };
        let seconds = found.ok_or_else(|| self.unread(way, cell, line))?;
        self.last = Some(seconds);
        let start = *self.start.get_or_insert(seconds);
        Ok(seconds - start)
    }

    /// How the times are written, by what was stated and by the first of them. What may be two things is asked for.
    fn decided(&self, cell: &str, line: u64, decimal_comma: bool) -> Result<Way, TraceFault> {
        let dated = match (local(cell), zoned(cell)) {
            (Some(_), _) => Some(Way::Local),
            (None, Some(_)) => Some(Way::Zoned),
            (None, None) => None,
        };
        if dated == Some(Way::Zoned) && self.zones.is_said() {
            return Err(fault(
                line,
                format!("the time {} carries a zone of its own", quoted(cell)),
                "leave out --zone",
            ));
        }
        let is_of_day = |it| matches!(it, TimesAre::HoursMinutes | TimesAre::HoursMinutesSeconds);
        match (dated, self.stated) {
            (Some(way), None) => Ok(way),
            (Some(way), Some((stated, _))) if is_of_day(stated) => Ok(way),
            (Some(_), Some((stated, by))) => {
                let what = format!("the time {} has a date, and is no {} {by}", quoted(cell), stated.word());
                Err(fault(line, what, "leave out --time, or mend the header"))
            }
            (None, _) if self.zones.is_said() => {
                let what = format!("the time {} has no date, so that no zone is of use", quoted(cell));
                Err(fault(line, what, "leave out --zone, or export the times with their dates"))
            }
            (None, Some((stated, _))) => Ok(Way::As(stated)),
            (None, None) if time_of_day(cell, 3).is_some() => Ok(Way::As(TimesAre::HoursMinutesSeconds)),
            (None, None) if minutes_seconds(cell, decimal_comma).is_some() => Err(fault(
                line,
                format!("the time {} may be hours and minutes, or minutes and seconds", quoted(cell)),
                "say which: --time hh:mm or --time mm:ss",
            )),
            (None, None) if number(cell, decimal_comma).is_some() => Err(match self.other {
                Some(unit) => fault(
                    line,
                    format!("the header says that its times are {unit}"),
                    "export them as minutes, as seconds or as times of day",
                ),
                None => fault(
                    line,
                    format!("the time {} is a bare number, and the header does not say what it counts", quoted(cell)),
                    "say which: --time minutes or --time seconds",
                ),
            }),
            (None, None) => Err(unread(cell, line)),
        }
    }

    fn unread(&self, way: Way, cell: &str, line: u64) -> TraceFault {
        match (way, self.stated) {
            (Way::As(are), Some((stated, by))) if are == stated => {
                let what = format!("{} is no time in {}, {by}", quoted(cell), are.word());
                fault(line, what, "write each time so, or say with --time how they are written")
            }
            _ => unread(cell, line),
        }
    }

    fn past_midnight(&mut self, of_day: f64) -> f64 {
        let seconds = self.days + of_day;
        if self.last.is_some_and(|last| seconds < last && seconds + DAY - last <= PAST_MIDNIGHT) {
            self.days += DAY;
        }
        self.days + of_day
    }

    /// All rows were read. What only the last of them could have told is asked for.
    pub(super) fn end(&self) -> Result<(), TraceFault> {
        self.zones.end()
    }

    /// The first time as an instant, where it has a date and it is known by which clock.
    pub(super) fn began(&self) -> Option<DateTime<Utc>> {
        let is_instant = match self.way? {
            Way::Zoned => true,
            Way::Local => !self.zones.is_unknown(),
            Way::As(_) => false,
        };
        let start = self.start.filter(|_| is_instant)?;
        DateTime::from_timestamp_millis((start * 1000.0).round() as i64)
    }

    /// It shows a clock's own times, and no clock that is never changed.
    pub(super) fn may_have_been_put_back(&self) -> bool {
        match self.way {
            Some(Way::Local) => self.zones.is_unknown(),
            Some(Way::As(are)) => matches!(are, TimesAre::HoursMinutes | TimesAre::HoursMinutesSeconds),
            Some(Way::Zoned) | None => false,
        }
    }

    /// Its times have dates, and nobody knows by which clock.
    pub(super) fn is_by_an_unknown_clock(&self) -> bool {
        self.way == Some(Way::Local) && self.zones.is_unknown()
    }

    /// How the times were read, in words.
    pub(super) fn told(&self) -> String {
        match (self.way, self.stated) {
            (Some(Way::As(are)), Some((stated, by))) if are == stated => format!("times in {} {by}", are.word()),
            (Some(Way::As(are)), _) => format!("times in {}", are.word()),
            (Some(Way::Zoned), _) => "times with dates and a zone".to_owned(),
            (Some(Way::Local), _) => format!("times with dates, {}", self.zones.told()),
            (None, _) => String::new(),
        }
    }

    /// What was taken for granted of the times.
    pub(super) fn assumed(&self) -> Option<String> {
        (self.way == Some(Way::Local)).then(|| self.zones.assumed()).flatten()
    }
}

fn unread(cell: &str, line: u64) -> TraceFault {
    let fix = "write times as 2026-03-02 14:05:30 or as 14:05:30, or say with --time how they are written; the same way in \
               each row";
    fault(line, format!("{} is no time", quoted(cell)), fix)
}

/// Digits, one or two of them, below this.
fn whole(part: Option<&str>, below: u32) -> Option<f64> {
    let part = part.filter(|it| (1..=2).contains(&it.len()) && it.bytes().all(|b| b.is_ascii_digit()))?;
    part.parse::<u32>().ok().filter(|it| *it < below).map(f64::from)
}

/// `14:05` in two parts, `14:05:30` or `14:05:30.5` in three.
fn time_of_day(cell: &str, wanted: usize) -> Option<f64> {
    let mut parts = cell.split(':');
    let (hours, minutes) = (whole(parts.next(), 24)?, whole(parts.next(), 60)?);
    let (seconds, had) = match parts.next() {
        None => (0.0, 2),
        Some(part) => (number(part, false).filter(|it| (0.0..60.0).contains(it))?, 3),
    };
    (parts.next().is_none() && had == wanted).then_some(hours * 3600.0 + minutes * 60.0 + seconds)
}

/// `75:30`, `75:30.5`: minutes are as many as they are.
fn minutes_seconds(cell: &str, decimal_comma: bool) -> Option<f64> {
    let (minutes, seconds) = cell.split_once(':')?;
    let minutes = Some(minutes).filter(|it| (1..=4).contains(&it.len()) && it.bytes().all(|b| b.is_ascii_digit()))?;
    let seconds = number(seconds, decimal_comma).filter(|it| (0.0..60.0).contains(it))?;
    Some(minutes.parse::<f64>().ok()? * 60.0 + seconds)
}

/// `2026-03-02T14:05:30+01:00`, as RFC 3339 has it, in seconds of instants.
fn zoned(cell: &str) -> Option<f64> {
    let time = DateTime::parse_from_rfc3339(cell).ok()?;
    Some(time.timestamp_millis() as f64 / 1000.0)
}

/// `2026-03-02 14:05:30`, with a `T` between, in seconds by its own clock. By hand: a day of a reading a second is read in a
/// tenth of one.
fn local(cell: &str) -> Option<f64> {
    let (date, time) = cell.split_once([' ', 'T'])?;
    let mut parts = date.splitn(3, '-');
    let mut digits = |length: usize| {
        let part = parts.next().filter(|it| it.len() == length && it.bytes().all(|b| b.is_ascii_digit()))?;
        part.parse::<u32>().ok()
    };
    let (year, month, day) = (digits(4)?, digits(2)?, digits(2)?);
    let date = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
    let of_day = time_of_day(time, 3).or_else(|| time_of_day(time, 2))?;
    Some(f64::from(date.num_days_from_ce() - UNIX_DAYS) * DAY + of_day)
}

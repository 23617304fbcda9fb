//! A laundry logger's file, read: times, and degrees of one or more sensors. What they amount to is `science::trace`'s.
//!
//! Its own module: `science` reads no file, and `setup` is about room lists. It knows neither entries nor rooms, so that the
//! command line and the desk can both use it. Whatever can be read in two ways is refused with the line and what to do:
//! a trace that was misread could settle a bag.

mod cell;
mod header;
mod plot;
#[cfg(test)]
mod tests;

use std::fs;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use chrono::{DateTime, NaiveDateTime, Utc};
use csv::StringRecord;
use sha2::{Digest as _, Sha256};

use crate::domain::shown::shown;
use crate::science::trace::Reading;
use cell::Clock;
use header::Header;
pub use plot::{Mark, Plot, Signs};

/// A week at a reading a second. A wash takes an hour.
const MOST_ROWS: u64 = 604_800;
const MOST_BYTES: u64 = 100_000_000;
const MOST_SENSORS: usize = 64;
/// Water boils at 100 °C; the rest is for a sensor's error.
const LAUNDRY_CELSIUS: (f64, f64) = (-5.0, 105.0);

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unit {
    Celsius,
    Fahrenheit,
}

impl Unit {
    fn celsius(self, degrees: f64) -> f64 {
        match self {
            Self::Celsius => degrees,
            Self::Fahrenheit => (degrees - 32.0) / 1.8,
        }
    }

    fn sign(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }
}

/// What was said about the file besides its name.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct How {
    /// The first column counts minutes.
    pub minutes: bool,
    /// Else the header says it, or no other reading is possible.
    pub unit: Option<Unit>,
    /// A logger that is silent for longer, as a rule and not once, has no trace that can be judged.
    pub longest_step_seconds: f64,
}

#[derive(Clone, PartialEq, Debug)]
pub struct Sensor {
    pub name: String,
    /// In the order of time. An empty cell is no reading.
    pub readings: Vec<Reading>,
}

/// When the first reading was taken, by the logger's own clock.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Began {
    /// Without a zone: by the clock of the house.
    Local(NaiveDateTime),
    Instant(DateTime<Utc>),
}

#[derive(Clone, PartialEq, Debug)]
pub struct Trace {
    pub sensors: Vec<Sensor>,
    /// None: its times have no date.
    pub began: Option<Began>,
    /// From the first row to the last.
    pub seconds: f64,
    /// Of the whole file.
    pub sha256: String,
    pub rows: u64,
    /// The unit was not stated, and no other was possible.
    pub unit_inferred: bool,
}

#[derive(Debug, thiserror::Error)]
pub enum TraceError {
    #[error("{}: cannot be read: {source}", path.display())]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{}: {fault}", path.display())]
    Fault { path: PathBuf, fault: TraceFault },
}

/// What is wrong in the file, and how to mend it. Line 0: the file as a whole.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TraceFault {
    pub line: u64,
    pub what: String,
    pub fix: String,
}

impl std::fmt::Display for TraceFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.line > 0 {
            write!(f, "line {}: ", self.line)?;
        }
        write!(f, "{}; {}", self.what, self.fix)
    }
}

fn fault(line: u64, what: impl Into<String>, fix: impl Into<String>) -> TraceFault {
    TraceFault { line, what: what.into(), fix: fix.into() }
}

/// A cell as it may stand in a sentence: short, and harmless on a terminal.
fn quoted(cell: &str) -> String {
    let short: String = cell.chars().take(30).collect();
    let more = if cell.chars().nth(30).is_some() { "…" } else { "" };
    format!("“{}{more}”", shown(&short))
}

pub fn read(path: &Path, how: How) -> Result<Trace, TraceError> {
    let unreadable = |source| TraceError::Unreadable { path: path.to_owned(), source };
    let about = fs::metadata(path).map_err(unreadable)?;
    let size = about.len();
    let found = if !about.is_file() {
        // A pipe or a device might never end.
        Err(fault(0, "it is no file", "name the CSV file that the logger's program wrote"))
    } else if size > MOST_BYTES {
        Err(fault(0, format!("it has {size} bytes, more than a week of readings"), "cut it down to this one cycle"))
    } else {
        let mut bytes = vec![];
        let file = fs::File::open(path).map_err(unreadable)?;
        file.take(MOST_BYTES).read_to_end(&mut bytes).map_err(unreadable)?;
        parse(&bytes, how)
    };
    found.map_err(|fault| TraceError::Fault { path: path.to_owned(), fault })
}

/// Reads a trace from its bytes.
pub fn parse(bytes: &[u8], how: How) -> Result<Trace, TraceFault> {
    let text = text_of(bytes)?;
    let first = text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let first = first.ok_or_else(|| fault(0, "it is empty", "export the cycle from the logger again"))?;
    let delimiter = delimiter_of(first);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut columns: Option<Columns> = None;
    let mut record = StringRecord::new();
    let broken = |error: csv::Error| fault(0, format!("it is no table: {error}"), "export it as CSV again");
    while reader.read_record(&mut record).map_err(broken)? {
        let line = record.position().map_or(0, csv::Position::line);
        match &mut columns {
            None => columns = Some(Columns::begin(&record, line, delimiter != b',', how)?),
            Some(columns) => columns.row(&record, line)?,
        }
    }
    let columns = columns.ok_or_else(|| fault(0, "it is empty", "export the cycle from the logger again"))?;
    columns.finish(how, bytes)
}

/// Loggers write UTF-8, or their system's own letters for the degree sign; all that counts is ASCII.
fn text_of(bytes: &[u8]) -> Result<String, TraceFault> {
    if bytes.contains(&0) {
        return Err(fault(0, "it is no plain text", "export it as CSV in UTF-8, not as a workbook or in UTF-16"));
    }
    let text =
        std::str::from_utf8(bytes).map_or_else(|_| bytes.iter().map(|b| char::from(*b)).collect(), str::to_owned);
    Ok(text.trim_start_matches('\u{feff}').to_owned())
}

/// A semicolon or a tab wins over commas, which are then decimal.
fn delimiter_of(line: &str) -> u8 {
    match line {
        _ if line.contains(';') => b';',
        _ if line.contains('\t') => b'\t',
        _ => b',',
    }
}

/// The table as it grows, still in the degrees of the file.
struct Columns {
    header: Header,
    decimal_comma: bool,
    clock: Clock,
    sensors: Vec<Vec<Reading>>,
    /// Where each sensor's readings stand in the file, to name the line of the hottest and coldest.
    coldest: (f64, u64),
    hottest: (f64, u64),
    times: Vec<f64>,
}

impl Columns {
    fn begin(record: &StringRecord, line: u64, decimal_comma: bool, how: How) -> Result<Self, TraceFault> {
        let mut names = record.clone();
        names.trim();
        let header = Header::read(&names, line, decimal_comma)?;
        if header.names.len() > MOST_SENSORS {
            let what = format!("it has {} columns of temperatures", header.names.len());
            return Err(fault(line, what, format!("leave at most {MOST_SENSORS}")));
        }
        let clock = Clock::new(how.minutes || header.counts_minutes);
        let sensors = vec![vec![]; header.names.len()];
        let (coldest, hottest) = ((f64::INFINITY, 0), (f64::NEG_INFINITY, 0));
        let is_data = header.is_data;
        let mut it = Self { header, decimal_comma, clock, sensors, coldest, hottest, times: vec![] };
        if is_data {
            it.row(record, line)?;
        }
        Ok(it)
    }

    fn row(&mut self, record: &StringRecord, line: u64) -> Result<(), TraceFault> {
        // Cell by cell: trimmed by the reader, each row would be copied.
        let mut cells = record.iter().map(str::trim);
        if cells.clone().all(str::is_empty) {
            return Ok(());
        }
        let time = cells.next().unwrap_or_default();
        if self.times.len() as u64 >= MOST_ROWS {
            let what = format!("it has more than {MOST_ROWS} rows, a week at a reading a second");
            return Err(fault(line, what, "cut it down to this one cycle"));
        }
        let seconds = self.clock.seconds(time, line, self.decimal_comma)?;
        if let Some(before) = self.times.last().filter(|before| seconds <= **before) {
            let how = if seconds == *before { "the same as" } else { "before" };
            let what = format!("the time {} is {how} the one above it", quoted(time));
            return Err(fault(line, what, "put the rows in order of time, each time once"));
        }
        self.times.push(seconds);
        for (at, cell) in cells.enumerate() {
            if cell.is_empty() {
                continue;
            }
            let Some(readings) = self.sensors.get_mut(at) else {
                let what = format!("there is a cell {} beyond the last sensor", quoted(cell));
                let fix = "separate columns by semicolons where commas are decimal";
                return Err(fault(line, what, fix));
            };
            let degrees = cell::number(cell, self.decimal_comma).ok_or_else(|| {
                let name = self.header.names.get(at).map(String::as_str).unwrap_or_default();
                let what = format!("{} is no temperature, in the column {}", quoted(cell), quoted(name));
                fault(line, what, "type a number, or leave the cell empty where there was no reading")
            })?;
            if degrees < self.coldest.0 {
                self.coldest = (degrees, line);
            }
            if degrees > self.hottest.0 {
                self.hottest = (degrees, line);
            }
            readings.push(Reading { seconds, celsius: degrees });
        }
        Ok(())
    }

    fn finish(self, how: How, bytes: &[u8]) -> Result<Trace, TraceFault> {
        if self.times.len() < 2 || self.sensors.iter().all(|it| it.len() < 2) {
            return Err(fault(0, "it has fewer than two readings", "export the whole cycle from the logger"));
        }
        if let Some(silent) = self.sensors.iter().position(|it| it.len() < 2) {
            let name = self.header.names.get(silent).map(String::as_str).unwrap_or_default();
            let what = format!("the sensor {} has fewer than two readings", quoted(name));
            return Err(fault(0, what, "a silent sensor is not a met one: mend it, or take its column out"));
        }
        self.check_steps(how.longest_step_seconds)?;
        let (unit, unit_inferred) = self.unit(how.unit)?;
        self.check_degrees(unit)?;
        let rows = self.times.len() as u64;
        let sensors = self.header.names.into_iter().zip(self.sensors).map(|(name, mut readings)| {
            readings.iter_mut().for_each(|it| it.celsius = unit.celsius(it.celsius));
            Sensor { name, readings }
        });
        let seconds = self.times.last().copied().unwrap_or_default() - self.times.first().copied().unwrap_or_default();
        let sha256 = Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect();
        let began = self.clock.began;
        Ok(Trace { sensors: sensors.collect(), began, seconds, sha256, rows, unit_inferred })
    }

    /// A logger that writes too seldom as a rule. A gap here and there is for the judge to leave out.
    fn check_steps(&self, longest: f64) -> Result<(), TraceFault> {
        let mut steps: Vec<f64> = self.times.iter().zip(self.times.iter().skip(1)).map(|(a, b)| b - a).collect();
        steps.sort_by(f64::total_cmp);
        match steps.get(steps.len() / 2) {
            Some(middle) if *middle > longest => Err(fault(
                0,
                format!("its readings lie {middle:.0} s apart, and nothing is known between them"),
                format!("set the logger to {longest:.0} s or less"),
            )),
            _ => Ok(()),
        }
    }

    /// As said, as the header says, or as nothing else is possible: no water of a laundry is frozen, none is over 105 °C.
    fn unit(&self, said: Option<Unit>) -> Result<(Unit, bool), TraceFault> {
        match (said, self.header.unit) {
            (Some(said), Some(stands)) if said != stands => Err(fault(
                self.header.line,
                format!("the header says {}, and you said {}", stands.sign(), said.sign()),
                "leave out --unit, or mend the header",
            )),
            (Some(unit), _) | (None, Some(unit)) => Ok((unit, false)),
            (None, None) if self.coldest.0 < 32.0 && self.hottest.0 <= LAUNDRY_CELSIUS.1 => Ok((Unit::Celsius, true)),
            (None, None) => Err(fault(
                0,
                format!(
                    "it could be °C or °F: no unit stands in its header, and it reads {} to {}",
                    self.coldest.0, self.hottest.0
                ),
                "say --unit c or --unit f",
            )),
        }
    }

    fn check_degrees(&self, unit: Unit) -> Result<(), TraceFault> {
        let other = match unit {
            Unit::Celsius => "if the logger writes °F, say --unit f",
            Unit::Fahrenheit => "if the logger writes °C, say --unit c",
        };
        let odd = |(degrees, line): (f64, u64), kind| {
            let what = format!("{degrees} {} is too {kind} for laundry", unit.sign());
            fault(line, what, format!("{other}; a broken sensor's cell is left empty"))
        };
        if unit.celsius(self.hottest.0) > LAUNDRY_CELSIUS.1 {
            return Err(odd(self.hottest, "hot"));
        }
        if unit.celsius(self.coldest.0) < LAUNDRY_CELSIUS.0 {
            return Err(odd(self.coldest, "cold"));
        }
        Ok(())
    }
}

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
mod zone;

use std::fs;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use csv::StringRecord;
use sha2::{Digest as _, Sha256};

use crate::domain::moves::{LoggerZone, TimesAre};
use crate::domain::shown::shown;
use crate::science::trace::{Reading, Reserve};
use cell::{BY_HEADER, BY_OPTION, Clock};
use header::{Column, Header};
pub use plot::{Mark, Plot, Signs};
use zone::Zones;

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

    /// As it is typed.
    fn word(self) -> &'static str {
        match self {
            Self::Celsius => "c",
            Self::Fahrenheit => "f",
        }
    }

    fn other(self) -> Self {
        match self {
            Self::Celsius => Self::Fahrenheit,
            Self::Fahrenheit => Self::Celsius,
        }
    }
}

/// What was said about the file besides its name. What is neither said nor certain by its header is asked for, never guessed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct How {
    /// How its times are written.
    pub times: Option<TimesAre>,
    pub unit: Option<Unit>,
    /// By which clock its dates go, where they carry no zone.
    pub zone: Option<LoggerZone>,
    /// The clock of the hospital, by which they go where nothing is said.
    pub house: Option<Tz>,
    /// A logger that is silent for longer, as a rule and not once, has no trace that can be judged.
    pub longest_step_seconds: f64,
}

impl How {
    /// Nothing was said.
    pub fn unsaid(longest_step_seconds: f64) -> Self {
        Self { times: None, unit: None, zone: None, house: None, longest_step_seconds }
    }
}

#[derive(Clone, PartialEq, Debug)]
pub struct Sensor {
    pub name: String,
    /// In the order of time. An empty cell is no reading.
    pub readings: Vec<Reading>,
}

#[derive(Clone, PartialEq, Debug)]
pub struct Trace {
    pub sensors: Vec<Sensor>,
    /// When the first reading was taken, by the logger's own clock. None: its times have no date, or nobody knows by which clock.
    pub began: Option<DateTime<Utc>>,
    /// From the first row to the last.
    pub seconds: f64,
    /// Of the whole file.
    pub sha256: String,
    pub rows: u64,
    /// How it was read, in words: degrees, times, and what was left out.
    pub read_as: String,
    /// What of it was taken for granted, and what was left out.
    pub assumed: Vec<String>,
    /// Its times have dates, and nobody knows by which clock: an hour by which clocks are put forward looks like a gap.
    pub is_by_an_unknown_clock: bool,
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
    /// Of each column of a sensor, in their order.
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
        let count = header.sensors().count();
        if count > MOST_SENSORS {
            let what = format!("it has {count} columns of temperatures");
            return Err(fault(line, what, format!("leave at most {MOST_SENSORS}")));
        }
        let clock = Clock::new(line, header.times, zones(&header, how)?, how)?;
        let sensors = vec![vec![]; count];
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
            return Err(self.not_after(*before, seconds, time, line));
        }
        self.times.push(seconds);
        let mut sensors = self.sensors.iter_mut();
        for (at, cell) in cells.enumerate() {
            let Some(column) = self.header.columns.get(at) else {
                if cell.is_empty() {
                    continue;
                }
                let what = format!("there is a cell {} beyond the last sensor", quoted(cell));
                let fix = "separate columns by semicolons where commas are decimal";
                return Err(fault(line, what, fix));
            };
            let Column::Sensor { name, .. } = column else { continue };
            let Some(readings) = sensors.next().filter(|_| !cell.is_empty()) else { continue };
            let degrees = cell::number(cell, self.decimal_comma).ok_or_else(|| {
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

    /// A time that does not follow the one above it.
    fn not_after(&self, before: f64, seconds: f64, time: &str, line: u64) -> TraceFault {
        const HOUR: f64 = 3600.0;
        let by = before - seconds;
        let how = if by == 0.0 { "the same as" } else { "before" };
        let what = format!("the time {} is {how} the one above it", quoted(time));
        match by > 0.0 && by <= HOUR && self.clock.may_have_been_put_back() {
            true => fault(
                line,
                format!("{what}, as if the clock was put back there"),
                "if it was, say by which clock the logger went, as --zone Europe/Berlin, or export the times in UTC; else put \
                 the rows in order of time",
            ),
            false => fault(line, what, "put the rows in order of time, each time once"),
        }
    }

    fn finish(self, how: How, bytes: &[u8]) -> Result<Trace, TraceFault> {
        if self.times.len() < 2 || self.sensors.iter().all(|it| it.len() < 2) {
            return Err(fault(0, "it has fewer than two readings", "export the whole cycle from the logger"));
        }
        let silent = self.header.sensors().zip(&self.sensors).find(|(_, readings)| readings.len() < 2);
        if let Some(((name, _), _)) = silent {
            let what = format!("the sensor {} has fewer than two readings", quoted(name));
            return Err(fault(0, what, "a silent sensor is not a met one: mend it, or take its column out"));
        }
        self.clock.end()?;
        self.check_steps(how.longest_step_seconds)?;
        let (unit, by) = self.unit(how.unit)?;
        self.check_degrees(unit, by)?;
        let rows = self.times.len() as u64;
        let left_out: Vec<String> = self.header.left_out().map(quoted).collect();
        let left_out = (!left_out.is_empty()).then(|| format!("left out, as no thermometer: {}", left_out.join(", ")));
        let told = [Some(format!("{} {by}", unit.sign())), Some(self.clock.told()), left_out.clone()];
        let read_as = told.into_iter().flatten().collect::<Vec<_>>().join("; ");
        let assumed = self.clock.assumed().into_iter().chain(left_out).collect();
        let (began, is_by_an_unknown_clock) = (self.clock.began(), self.clock.is_by_an_unknown_clock());
        let sensors = self.header.sensors().zip(self.sensors).map(|((name, _), mut readings)| {
            readings.iter_mut().for_each(|it| it.celsius = unit.celsius(it.celsius));
            Sensor { name: name.to_owned(), readings }
        });
        let sensors = sensors.collect();
        let seconds = self.times.last().copied().unwrap_or_default() - self.times.first().copied().unwrap_or_default();
        let sha256 = Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Trace { sensors, began, seconds, sha256, rows, read_as, assumed, is_by_an_unknown_clock })
    }

    /// A logger that writes too seldom as a rule. A gap here and there is for the judge to leave out.
    fn check_steps(&self, longest: f64) -> Result<(), TraceFault> {
        let reserve = Reserve { uncertainty: 0.0, longest_step_seconds: longest };
        let mut steps: Vec<f64> = self.times.iter().zip(self.times.iter().skip(1)).map(|(a, b)| b - a).collect();
        steps.sort_by(f64::total_cmp);
        match steps.get(steps.len() / 2) {
            Some(middle) if !reserve.joins(*middle) => Err(fault(
                0,
                format!("its readings lie {middle:.0} s apart, and nothing is known between them"),
                format!("set the logger to {longest:.0} s or less"),
            )),
            _ => Ok(()),
        }
    }

    /// As every sensor's name certainly says, or as was said. How hot the readings are says nothing: a wash at 104 °F that was
    /// read in °C would meet every rule.
    fn unit(&self, said: Option<Unit>) -> Result<(Unit, &'static str), TraceFault> {
        let stands = self.header.sensors().find_map(|(_, unit)| unit);
        let unsaid = self.header.sensors().find(|(_, unit)| unit.is_none()).map(|(name, _)| name);
        match (stands, said, unsaid) {
            (Some(stands), Some(said), _) if said != stands => Err(fault(
                self.header.line,
                format!("the header says {}, and you said {}", stands.sign(), said.sign()),
                "leave out --unit, or mend the header",
            )),
            (Some(unit), _, None) => Ok((unit, BY_HEADER)),
            (_, Some(unit), _) => Ok((unit, BY_OPTION)),
            (Some(unit), None, Some(name)) => Err(fault(
                self.header.line,
                format!("the column {} could be °C or °F: only the others say {}", quoted(name), unit.sign()),
                format!("say --unit {} if all are, or mend the header", unit.word()),
            )),
            (None, None, _) => Err(fault(
                0,
                format!(
                    "it could be °C or °F: its header does not say it in a sign, in brackets or in a word, and it reads {} to {}",
                    self.coldest.0, self.hottest.0
                ),
                "say --unit c or --unit f",
            )),
        }
    }

    fn check_degrees(&self, unit: Unit, by: &str) -> Result<(), TraceFault> {
        let other = match by == BY_HEADER {
            true => format!("if the logger writes {}, mend the header", unit.other().sign()),
            false => format!("if the logger writes {}, say --unit {}", unit.other().sign(), unit.other().word()),
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

/// By which clock the dates go.
fn zones(header: &Header, how: How) -> Result<Zones, TraceFault> {
    let said = match (header.zone, how.zone) {
        (Some(stands), Some(said)) if stands != said => {
            let what = format!("the header says that its times are by {stands}, and you said {said}");
            return Err(fault(header.line, what, "leave out --zone, or mend the header"));
        }
        (_, Some(said)) => Some((said, BY_OPTION)),
        (Some(stands), None) => Some((stands, BY_HEADER)),
        (None, None) => None,
    };
    Ok(Zones::new(said, how))
}

//! The first row: what the columns are, in which degrees, and what the times are. Only what it certainly says counts: a degree
//! sign, a unit in brackets, a whole word. A bare letter names a column as often as a unit.

use csv::StringRecord;

use super::cell::number;
use super::{TraceFault, Unit, fault, quoted};
use crate::domain::moves::{LoggerZone, TimesAre};

pub(super) struct Header {
    pub line: u64,
    /// After the time, in the order of the file.
    pub columns: Vec<Column>,
    pub times: Option<TimesSaid>,
    /// By which clock they go.
    pub zone: Option<LoggerZone>,
    /// There was no header: the row is the first reading.
    pub is_data: bool,
}

pub(super) enum Column {
    /// In these degrees, if its name certainly says so.
    Sensor { name: String, unit: Option<Unit> },
    /// Humidity or a dew point: no thermometer of the load, and not judged as one.
    LeftOut { name: String },
}

/// What the name of the time column says of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum TimesSaid {
    Are(TimesAre),
    /// A unit in which no trace is read.
    Other(&'static str),
}

impl Header {
    pub(super) fn read(record: &StringRecord, line: u64, decimal_comma: bool) -> Result<Self, TraceFault> {
        let mut cells: Vec<&str> = record.iter().collect();
        // Some loggers end each row with a separator.
        while cells.len() > 1 && cells.last().is_some_and(|cell| cell.is_empty()) {
            cells.pop();
        }
        let Some((time, sensors)) = cells.split_first().filter(|(_, sensors)| !sensors.is_empty()) else {
            let fix = "the first column is the time, each further one a sensor, divided by commas or semicolons";
            return Err(fault(line, "it has one column", fix));
        };
        let is_data = sensors.iter().any(|cell| number(cell, decimal_comma).is_some());
        let column = |(at, cell): (usize, &&str)| match is_data || cell.is_empty() {
            true => Ok(Column::Sensor { name: format!("sensor {}", at + 1), unit: None }),
            false => Column::read(cell, line),
        };
        let columns = sensors.iter().enumerate().map(column).collect::<Result<Vec<_>, _>>()?;
        let mut units = columns.iter().filter_map(Column::unit);
        if let Some(unit) = units.next()
            && units.any(|other| other != unit)
        {
            return Err(fault(line, "some columns are in °C and some in °F", "export all sensors in one unit"));
        }
        if !columns.iter().any(|column| matches!(column, Column::Sensor { .. })) {
            return Err(fault(line, "it has no column of temperatures", "export the logger's temperatures as well"));
        }
        let (times, zone) = if is_data { (None, None) } else { (times_said(time), zone_said(time)) };
        Ok(Self { line, columns, times, zone, is_data })
    }

    pub(super) fn left_out(&self) -> impl Iterator<Item = &str> {
        self.columns.iter().filter_map(|column| match column {
            Column::LeftOut { name } => Some(name.as_str()),
            Column::Sensor { .. } => None,
        })
    }

    /// Of each sensor, without what is left out: its name and its unit.
    pub(super) fn sensors(&self) -> impl Iterator<Item = (&str, Option<Unit>)> {
        self.columns.iter().filter_map(|column| match column {
            Column::Sensor { name, unit } => Some((name.as_str(), *unit)),
            Column::LeftOut { .. } => None,
        })
    }
}

impl Column {
    fn unit(&self) -> Option<Unit> {
        match self {
            Self::Sensor { unit, .. } => *unit,
            Self::LeftOut { .. } => None,
        }
    }

    fn read(cell: &str, line: u64) -> Result<Self, TraceFault> {
        let name = cell.to_owned();
        let text = lowered(cell);
        let words = words_of(&text);
        let has = |word: &str| words.contains(&word);
        let unit = unit_said(&text, &words);
        let is_humidity = text.contains('%') || has("humidity");
        if has("dewpoint") || words.windows(2).any(|pair| matches!(pair, ["dew", "point"])) {
            return Ok(Self::LeftOut { name });
        }
        match (is_humidity, has("rh"), unit) {
            (true, _, Degrees::Unsaid) => Ok(Self::LeftOut { name }),
            // One that is left out by mistake could be the coldest.
            (true, ..) | (false, true, Degrees::Unsaid) => Err(fault(
                line,
                format!("the column {} may be a temperature or a humidity", quoted(cell)),
                "write °C or °F into its name, or % alone, or take the column out",
            )),
            (false, _, Degrees::Said(unit)) => Ok(Self::Sensor { name, unit: Some(unit) }),
            (false, _, Degrees::Both | Degrees::Unsaid) => Ok(Self::Sensor { name, unit: None }),
        }
    }
}

enum Degrees {
    Said(Unit),
    /// “°C/°F”: that it is one of the two says nothing.
    Both,
    Unsaid,
}

/// In small letters, with one sign for a degree.
fn lowered(cell: &str) -> String {
    cell.to_lowercase().replace('℃', "°c").replace('℉', "°f").replace(['º', '˚'], "°")
}

/// `x_c` is one word, and none of ours.
fn words_of(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|word| !word.is_empty()).collect()
}

/// What stands in brackets, and nothing else in them.
fn bracketed(text: &str) -> impl Iterator<Item = &str> {
    [('(', ')'), ('[', ']'), ('{', '}')].into_iter().flat_map(move |(open, close)| {
        text.split(open).skip(1).filter_map(move |rest| rest.split_once(close)).map(|(inside, _)| inside.trim())
    })
}

fn unit_said(text: &str, words: &[&str]) -> Degrees {
    let says = |word: &str, letter: &str| {
        let signed = text.split('°').skip(1).any(|rest| words_of(rest).first() == Some(&letter) && is_next(rest));
        let degrees =
            words.windows(2).any(|pair| matches!(pair, ["deg" | "degree" | "degrees", unit] if unit == &letter));
        signed
            || degrees
            || words.iter().any(|it| *it == word || it.strip_prefix("deg") == Some(letter))
            || bracketed(text).any(|inside| inside == letter)
    };
    // “°C/°F”, “Celsius/F”: one of the two, and nobody knows which.
    let bare: String = text.chars().filter(|c| !c.is_whitespace() && !"°()[]{}".contains(*c)).collect();
    if ["c/f", "f/c", "celsius/f", "fahrenheit/c"].iter().any(|either| bare.contains(either)) {
        return Degrees::Both;
    }
    match (says("celsius", "c"), says("fahrenheit", "f")) {
        (true, true) => Degrees::Both,
        (true, false) => Degrees::Said(Unit::Celsius),
        (false, true) => Degrees::Said(Unit::Fahrenheit),
        (false, false) => Degrees::Unsaid,
    }
}

/// What follows a degree sign belongs to it if nothing but blanks lies between.
fn is_next(rest: &str) -> bool {
    rest.trim_start().starts_with(char::is_alphanumeric)
}

/// One thing that it certainly says; two of them are none.
fn times_said(cell: &str) -> Option<TimesSaid> {
    let text = lowered(cell);
    let mut said: Vec<TimesSaid> = vec![];
    let mut plain = String::new();
    for part in text.split(|c: char| !c.is_alphanumeric() && c != ':' && c != '_') {
        match format_said(part) {
            Some(are) => said.push(TimesSaid::Are(are)),
            None => plain.extend([part, " "]),
        }
    }
    said.extend(words_of(&plain).into_iter().filter_map(counted));
    said.extend(bracketed(&text).filter_map(|inside| match inside {
        "s" => Some(TimesSaid::Are(TimesAre::Seconds)),
        "h" => Some(TimesSaid::Other("hours")),
        "d" => Some(TimesSaid::Other("days")),
        _ => None,
    }));
    let first = said.first().copied()?;
    // A bare letter says nothing, and takes from “min/s” what its word says.
    let letters = words_of(&plain).into_iter().filter_map(|word| match word {
        "s" => Some(TimesSaid::Are(TimesAre::Seconds)),
        "m" => Some(TimesSaid::Are(TimesAre::Minutes)),
        "h" => Some(TimesSaid::Other("hours")),
        "d" => Some(TimesSaid::Other("days")),
        _ => None,
    });
    said.iter().copied().chain(letters).all(|it| it == first).then_some(first)
}

fn counted(word: &str) -> Option<TimesSaid> {
    match word {
        "min" | "mins" | "minute" | "minutes" => Some(TimesSaid::Are(TimesAre::Minutes)),
        "sec" | "secs" | "second" | "seconds" => Some(TimesSaid::Are(TimesAre::Seconds)),
        "ms" | "msec" | "millisecond" | "milliseconds" => Some(TimesSaid::Other("milliseconds")),
        "hr" | "hrs" | "hour" | "hours" => Some(TimesSaid::Other("hours")),
        "day" | "days" => Some(TimesSaid::Other("days")),
        _ => None,
    }
}

/// `hh:mm:ss`, `min:sec`.
fn format_said(part: &str) -> Option<TimesAre> {
    let letter = |word: &str| match word {
        "h" | "hh" | "hr" | "hrs" | "hour" | "hours" => Some('h'),
        "m" | "mm" | "min" | "mins" | "minute" | "minutes" => Some('m'),
        "s" | "ss" | "sec" | "secs" | "second" | "seconds" => Some('s'),
        _ => None,
    };
    let letters: Option<String> = part.split(':').map(letter).collect();
    match letters.as_deref() {
        Some("hm") => Some(TimesAre::HoursMinutes),
        Some("hms") => Some(TimesAre::HoursMinutesSeconds),
        Some("ms") => Some(TimesAre::MinutesSeconds),
        _ => None,
    }
}

/// `Date and time (UTC)`, `Time, GMT+02:00`.
fn zone_said(cell: &str) -> Option<LoggerZone> {
    let text = lowered(cell);
    let is_whole = |at: usize| !text.get(..at).unwrap_or_default().ends_with(char::is_alphanumeric);
    let at = ["utc", "gmt"].into_iter().find_map(|word| text.find(word)).filter(|at| is_whole(*at))?;
    let (word, rest) = text.get(at..)?.split_at_checked(3)?;
    let rest = rest.trim_start();
    let offset = rest.get(..rest.find(|c: char| !c.is_ascii_digit() && !"+-:".contains(c)).unwrap_or(rest.len()))?;
    // Half a word says nothing: “utctime”.
    if offset.is_empty() && rest.starts_with(char::is_alphanumeric) {
        return None;
    }
    LoggerZone::read(&format!("{word}{offset}")).ok()
}

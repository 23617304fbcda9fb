//! The first row: what the columns are called, and in which degrees they are.

use csv::StringRecord;

use super::cell::number;
use super::{TraceFault, Unit, fault};

pub(super) struct Header {
    pub line: u64,
    /// Of the sensors, without the time.
    pub names: Vec<String>,
    pub unit: Option<Unit>,
    /// The time column is called minutes.
    pub counts_minutes: bool,
    /// There was no header: the row is the first reading.
    pub is_data: bool,
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
        let name = |(at, cell): (usize, &&str)| match is_data || cell.is_empty() {
            true => format!("sensor {}", at + 1),
            false => (**cell).to_owned(),
        };
        let names = sensors.iter().enumerate().map(name).collect();
        let mut units = sensors.iter().filter_map(|cell| unit_of(cell));
        let unit = units.next();
        if units.any(|other| Some(other) != unit) {
            return Err(fault(line, "some columns are in °C and some in °F", "export all sensors in one unit"));
        }
        let time = time.to_lowercase();
        let counts_minutes =
            !is_data && time.split(|c: char| !c.is_alphabetic()).any(|it| matches!(it, "min" | "mins" | "minutes"));
        Ok(Self { line, names, unit, counts_minutes, is_data })
    }
}

/// The unit that stands in a sensor's name. A bare letter is one only in brackets or behind a degree sign or underscore:
/// “sensor C” is the third sensor.
fn unit_of(cell: &str) -> Option<Unit> {
    let cell = cell.to_lowercase().replace('º', "°");
    let says = |word: &str, letter: char| {
        let spellings = [format!("°{letter}"), format!("° {letter}"), format!("({letter})"), format!("[{letter}]")];
        cell.contains(word)
            || spellings.iter().any(|it| cell.contains(it))
            || cell.ends_with(&format!("_{letter}"))
            || cell.ends_with(&format!("deg{letter}"))
            || cell.ends_with(&format!("deg {letter}"))
            || cell.trim() == letter.to_string()
    };
    match (says("celsius", 'c'), says("fahrenheit", 'f')) {
        (true, false) => Some(Unit::Celsius),
        (false, true) => Some(Unit::Fahrenheit),
        _ => None,
    }
}

//! The trace that was named for a load: its file read once, here at the edge, and told in the numbers that its entry keeps.

use std::fs;
use std::path::Path;

use chrono_tz::Tz;

use super::Desk;
use crate::domain::entry::{Body, Entry, Number};
use crate::domain::measured::{FileHash, LONGEST_READ_AS, LoggerIn, Measured, SensorSeen};
use crate::domain::moves::{OTHER_TRACE, TraceAsked, TraceFrom};
use crate::science::trace::{LONGEST_STEP_SECONDS, Reserve, Seen};
use crate::trace::{self, How, Trace, TraceError, Unit};

/// A trace as it was read.
#[derive(Clone, PartialEq, Debug)]
pub struct Logged {
    /// The machine is for whoever notes it to say.
    pub measured: Measured,
    /// What was drawn from. None: an entry kept the numbers, and not the trace.
    pub trace: Option<Trace>,
    pub reserve: Reserve,
    /// That it is what an entry kept; empty: it was read from its file.
    pub remark: String,
}

impl Desk {
    /// Reads the file that was named, or takes what an entry kept. What cannot be used is told in one sentence.
    pub fn logged(&self, asked: &TraceAsked) -> Result<Logged, String> {
        let zone = self.board().facility().time_zone;
        match &asked.from {
            TraceFrom::File(name) => read(name, asked, zone),
            TraceFrom::Entry(number) => kept(*number, asked, self.entries()),
        }
    }
}

fn reserve(uncertainty_decikelvin: Option<u32>) -> Reserve {
    let uncertainty = f64::from(uncertainty_decikelvin.unwrap_or_default()) / 10.0;
    Reserve { uncertainty, longest_step_seconds: LONGEST_STEP_SECONDS }
}

fn read(name: &str, asked: &TraceAsked, zone: Tz) -> Result<Logged, String> {
    let path = Path::new(name);
    let unit = asked.fahrenheit.map(|it| if it { Unit::Fahrenheit } else { Unit::Celsius });
    let how = How {
        times: asked.times,
        unit,
        zone: asked.zone,
        house: Some(zone),
        longest_step_seconds: LONGEST_STEP_SECONDS,
    };
    let trace = trace::read(path, how).map_err(|error| match error {
        TraceError::Unreadable { .. } => format!("{error}; {}", instead(path)),
        TraceError::Fault { .. } if path.is_dir() => format!("{error}; {}", instead(path)),
        TraceError::Fault { .. } => error.to_string(),
    })?;
    let reserve = reserve(asked.uncertainty_decikelvin);
    let sensor = |it: &trace::Sensor| SensorSeen::of(&it.name, &Seen::of(&it.readings, reserve));
    let measured = Measured {
        file: FileHash::from_hex(&trace.sha256).ok_or_else(|| format!("{name}: its hash could not be made"))?,
        machine: LoggerIn::Unknown,
        uncertainty_decikelvin: asked.uncertainty_decikelvin,
        longest_step_seconds: LONGEST_STEP_SECONDS as u32,
        began: trace.began,
        seconds: trace.seconds.round() as u32,
        sensors: trace.sensors.iter().map(sensor).collect(),
        read_as: trace.read_as.chars().filter(|c| !c.is_control()).take(LONGEST_READ_AS).collect(),
    };
    Ok(Logged { measured, trace: Some(trace), reserve, remark: String::new() })
}

/// The tables that lie where the file was looked for.
fn instead(path: &Path) -> String {
    const MOST: usize = 5;
    let folder = if path.is_dir() { path } else { path.parent().unwrap_or(path) };
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let is_table = |name: &String| name.to_ascii_lowercase().ends_with(".csv");
    let listed = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> =
        listed.map(|item| item.file_name().to_string_lossy().into_owned()).filter(is_table).collect();
    names.sort();
    match names.len() {
        0 => "type the file with its whole folder, as a copied path has it".to_owned(),
        many => {
            let more = if many > MOST { format!(" and {} more", many - MOST) } else { String::new() };
            names.truncate(MOST);
            format!("there are {}{more}", names.join(", "))
        }
    }
}

fn kept(number: Number, asked: &TraceAsked, entries: &[Entry]) -> Result<Logged, String> {
    let entry = entries.iter().rev().find(|entry| entry.number == number);
    let measured = match entry.map(|entry| &entry.body) {
        Some(Body::Laundered { cycle, .. }) if asked.field == OTHER_TRACE => cycle.other_trace.as_deref(),
        Some(Body::Laundered { cycle, .. }) => cycle.trace.as_deref(),
        _ => None,
    };
    let Some(measured) = measured else {
        let of = if asked.field == OTHER_TRACE { " of another machine" } else { "" };
        return Err(format!("entry {number} kept no logger's trace{of}"));
    };
    if entries.iter().any(|it| matches!(it.body, Body::Voided { entry, .. } if entry == number)) {
        return Err(format!("entry {number} was voided: name the logger's file"));
    }
    if asked.uncertainty_decikelvin.is_some() && asked.uncertainty_decikelvin != measured.uncertainty_decikelvin {
        let had = match measured.uncertainty_decikelvin {
            Some(tenths) => format!("±{} °C", f64::from(tenths) / 10.0),
            None => "no uncertainty stated".to_owned(),
        };
        return Err(format!("entry {number} was read with {had}: leave that as it was, or name the logger's file"));
    }
    let reserve = reserve(measured.uncertainty_decikelvin);
    let remark = format!("as entry {number} kept it");
    Ok(Logged { measured: measured.clone(), trace: None, reserve, remark })
}

//! Files of loggers that were not in the bag's load, were not as long as it looks, or not as hot: the linens are as they were.

use std::fmt::Write as _;
use std::fs;

use chrono::{NaiveDateTime, TimeDelta};

use super::super::cli::program::Program;

const BED: &str = "4N-01-A";
const FRAME: &str = "4N-01-A/bed-frame";

/// A bed that waits for its linens, and what was noted of their load.
struct Laundry(Program);

impl Laundry {
    /// Sprayed from 10:00 to 10:05 by the hospital's clock, an hour ahead of the program's; its linens are in bag B1.
    fn waits() -> Self {
        let mut it = Program::walked();
        it.at("2026-03-02T09:10:00Z");
        let spray = format!("spray 4N-01 --purpose re-application --scope {FRAME} --zones {FRAME} --product RS-A");
        it.note("TE", &format!("{spray} --patient-inside no --bags B1 --at 10:00 --finish 10:05"), &[]).done();
        Self(it)
    }

    /// A load with this file, noted at this time by the hospital's clock. Refused, or kept as one that settles nothing: what is
    /// said of it is told elsewhere.
    fn has(&mut self, clock: &str, file: &str, options: &str) -> &mut Self {
        fs::write(self.0.path("load.csv"), file).expect("a file");
        let (hour, minute) = clock.split_once(':').expect("a time");
        self.0.at(&format!("2026-03-02T{:02}:{minute}:00Z", hour.parse::<u32>().expect("an hour") - 1));
        let load = "launder B1 --trace load.csv --machine washer --uncertainty-c 0.5 --detergent yes";
        let said = self.0.note("LA", &format!("{load} {options}"), &[]);
        // Seen only where the story fails.
        println!("{}\n{said}", file.lines().take(2).collect::<Vec<_>>().join(" / "));
        self
    }

    /// All else is done at that minute after twelve, and done well.
    fn opens_at(&mut self, minute: u32) -> bool {
        self.0.at(&format!("2026-03-02T11:{minute}:00Z"));
        let check = format!("dry-check 4N-01 --began 12:{minute} --dry {FRAME} --ventilation window");
        self.0.note("HK", &check, &[]).done();
        self.0.note("HK", &format!("make-bed {BED} --stock store"), &[]).done();
        self.0.at(&format!("2026-03-02T11:{}:00Z", minute + 1));
        drop(self.0.note("AB", "return 4N-01", &[]));
        self.0.open().contains(&BED.to_owned())
    }

    /// By none of its loads the bed opens, and by the right one it does.
    #[track_caller]
    fn is_as_it_was(&mut self) {
        assert!(!self.opens_at(20));
        self.has("12:30", &washed("2026-03-02 10:30", 90), "");
        assert!(self.opens_at(40));
    }
}

/// A reading each half minute: cold for three minutes, hot until three before the end.
fn readings(minutes: u32, cold: u32, hot: u32) -> Vec<(u32, u32)> {
    let row = |half: u32| (half * 30, if half < 6 || half + 6 > minutes * 2 { cold } else { hot });
    (0..=minutes * 2).map(row).collect()
}

/// With dates, from this time on.
fn dated(header: &str, begin: &str, minutes: u32, (cold, hot): (u32, u32)) -> String {
    let begin = NaiveDateTime::parse_from_str(begin, "%Y-%m-%d %H:%M").expect("a time");
    let columns = header.split(',').count() - 1;
    readings(minutes, cold, hot).into_iter().fold(format!("{header}\n"), |mut text, (seconds, degrees)| {
        let at = begin + TimeDelta::seconds(i64::from(seconds));
        let cells = format!(",{degrees}").repeat(columns);
        writeln!(text, "{}{cells}", at.format("%Y-%m-%d %H:%M:%S")).expect("a row");
        text
    })
}

const HOT: (u32, u32) = (25, 75);
/// 40 °C, as a logger in degrees Fahrenheit writes it.
const WARM_IN_F: (u32, u32) = (68, 104);
const COLD_THEN_WARM_IN_F: (u32, u32) = (20, 104);

fn washed(begin: &str, minutes: u32) -> String {
    dated("time,drum (°C)", begin, minutes, HOT)
}

fn minutes(minutes: u32) -> String {
    readings(minutes, HOT.0, HOT.1).into_iter().fold(
        "minutes,drum (°C)\n".to_owned(),
        |mut text, (seconds, degrees)| {
            writeln!(text, "{},{degrees}", f64::from(seconds) / 60.0).expect("a row");
            text
        },
    )
}

/// So many rows, one after the other by this count.
fn counted(header: &str, rows: u32, cell: impl Fn(u32) -> String) -> String {
    (0..rows).fold(format!("{header}\n"), |text, row| text + &cell(row) + ",75\n")
}

/// The files below differ from these in one point each.
#[test]
fn the_file_of_the_load_opens_the_bed() {
    let with_unit = dated("time,Probe (F)", "2026-03-02 10:20", 90, (77, 167));
    for file in [washed("2026-03-02 10:20", 90), minutes(90), with_unit] {
        assert!(Laundry::waits().has("12:00", &file, "").opens_at(20));
    }
}

/// Ninety minutes do not fit into the eight since the bag was filled.
#[test]
fn a_trace_without_dates_that_is_longer_than_the_bags_time_is_of_another_load() {
    let mut laundry = Laundry::waits();
    laundry.has("10:13", &minutes(90), "");
    laundry.is_as_it_was();
}

#[test]
fn nor_does_somebodys_word_for_its_clock_make_it_fit() {
    let mut laundry = Laundry::waits();
    laundry.has("10:13", &minutes(90), "--clock-checked yes");
    laundry.has("11:20", &minutes(80), "--clock-checked yes");
    let seconds = counted("seconds,drum (°C)", 181, |row| (row * 30).to_string());
    laundry.has("10:13", &seconds, "--clock-checked yes");
    laundry.is_as_it_was();
}

/// The load of last week was hot. The bag was not in it.
#[test]
fn a_trace_of_days_before_the_spray_is_of_another_load() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &washed("2026-02-27 10:20", 90), "");
    laundry.is_as_it_was();
}

#[test]
fn a_trace_of_yesterday_or_of_the_year_before_is_of_another_load() {
    let mut laundry = Laundry::waits();
    for begin in ["2026-03-01 10:20", "2025-03-02 10:20", "2026-02-02 10:20"] {
        laundry.has("12:00", &washed(begin, 90), "");
        laundry.has("12:00", &washed(begin, 90), "--clock-checked yes");
    }
    laundry.is_as_it_was();
}

/// Nothing was washed yet at a time that is still to come.
#[test]
fn a_trace_of_a_week_ahead_is_of_no_load() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &washed("2026-03-09 10:20", 90), "");
    laundry.is_as_it_was();
}

#[test]
fn a_trace_that_ends_after_it_was_noted_is_of_no_load() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &washed("2026-03-02 10:50", 90), "");
    laundry.has("12:00", &washed("2026-03-02 12:05", 90), "--clock-checked yes");
    laundry.is_as_it_was();
}

/// The load of that morning was over before the bag was filled.
#[test]
fn a_trace_that_ended_before_the_bag_was_filled_is_of_another_load() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &washed("2026-03-02 08:20", 90), "");
    laundry.is_as_it_was();
}

#[test]
fn a_trace_that_began_before_the_bag_was_filled_is_of_another_load() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &washed("2026-03-02 09:55", 90), "");
    // By a clock of another time zone it would fit.
    laundry.has("12:00", &dated("time,drum (°C)", "2026-03-02 09:20", 90, HOT), "");
    laundry.has("12:00", &washed("2026-03-02 08:20", 90), "--clock-checked yes");
    laundry.is_as_it_was();
}

/// Sixty rows a second apart are one minute, however they are called.
#[test]
fn seconds_that_are_said_to_be_minutes_are_one_minute() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &counted("seconds,drum (°C)", 61, |row| row.to_string()), "--minutes yes");
    laundry.is_as_it_was();
}

#[test]
fn seconds_under_other_words_that_are_said_to_be_minutes_are_one_minute() {
    let mut laundry = Laundry::waits();
    for header in ["Elapsed seconds", "sec", "t in seconds", "secs"] {
        let file = counted(&format!("{header},drum (°C)"), 61, |row| row.to_string());
        laundry.has("12:00", &file, "--time minutes");
        laundry.has("12:00", &file, "");
    }
    laundry.is_as_it_was();
}

#[test]
fn seconds_in_brackets_that_are_said_to_be_minutes_are_one_minute() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &counted("Time (s),Probe (°C)", 61, |row| row.to_string()), "--minutes yes");
    laundry.is_as_it_was();
}

#[test]
fn seconds_in_other_brackets_that_are_said_to_be_minutes_are_one_minute() {
    let mut laundry = Laundry::waits();
    for header in ["t [s]", "Time (sec)", "time {S}", "Time(s)", "TIME [ s ]"] {
        let file = counted(&format!("{header},Probe (°C)"), 61, |row| row.to_string());
        laundry.has("12:00", &file, "--time minutes");
        laundry.has("12:00", &file, "--minutes yes");
    }
    laundry.is_as_it_was();
}

fn of_two(first: u32, second: u32) -> String {
    format!("{first:02}:{second:02}")
}

/// 01:59 is not two hours where the header says minutes and seconds.
#[test]
fn minutes_and_seconds_are_no_hours_and_minutes() {
    let mut laundry = Laundry::waits();
    laundry.has("12:05", &counted("mm:ss,Probe (°C)", 115, |row| of_two(row / 60, row % 60)), "");
    laundry.is_as_it_was();
}

#[test]
fn minutes_and_seconds_under_other_words_are_no_hours_and_minutes() {
    let mut laundry = Laundry::waits();
    for header in ["min:sec", "m:ss", "Time (mm:ss)", "Elapsed [min:s]", "time", "Elapsed"] {
        let file = counted(&format!("{header},Probe (°C)"), 115, |row| of_two(row / 60, row % 60));
        laundry.has("12:05", &file, "");
        if header.contains(':') {
            laundry.has("12:05", &file, "--time hh:mm");
        }
    }
    laundry.is_as_it_was();
}

/// 104 °F is 40 °C. That the logger was as cold as 20 at its start says nothing of its unit.
#[test]
fn degrees_without_a_unit_are_not_taken_for_celsius() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &dated("time,Probe", "2026-03-02 10:20", 90, COLD_THEN_WARM_IN_F), "");
    laundry.is_as_it_was();
}

#[test]
fn degrees_of_several_sensors_of_which_one_has_a_unit_are_not_taken_for_celsius() {
    let mut laundry = Laundry::waits();
    for header in ["time,Probe (°C),drum", "time,deg", "time,°", "time,Probe temp", "time,A (°C),B (°F)", "time,Cold"]
    {
        laundry.has("12:00", &dated(header, "2026-03-02 10:20", 90, COLD_THEN_WARM_IN_F), "");
        laundry.has("12:00", &dated(header, "2026-03-02 10:20", 90, WARM_IN_F), "");
    }
    laundry.is_as_it_was();
}

/// The third of three columns is called C, which is no unit.
#[test]
fn a_column_that_is_called_c_is_no_unit() {
    let mut laundry = Laundry::waits();
    laundry.has("12:00", &dated("time,A,B,C", "2026-03-02 10:20", 90, WARM_IN_F), "");
    laundry.is_as_it_was();
}

#[test]
fn a_letter_beside_a_name_is_no_unit() {
    let mut laundry = Laundry::waits();
    for header in ["time,Sensor C", "time,C", "time,probe_c", "time,Channel A,Channel C", "time,C1,C2", "time,F,C"] {
        laundry.has("12:00", &dated(header, "2026-03-02 10:20", 90, WARM_IN_F), "");
    }
    laundry.is_as_it_was();
}

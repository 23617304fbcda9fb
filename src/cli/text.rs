//! Text for a terminal or a pipe: aligned columns, times with their age, and nothing that a terminal would obey.

use std::fmt::Write as _;

use chrono::TimeDelta;
use chrono_tz::Tz;
use unicode_width::UnicodeWidthStr;

use crate::domain::clock::time_of_day;
use crate::domain::entry::Time;
use crate::domain::shown::shown;

/// Rows under a heading. Every cell is cleaned; the last column is as wide as it likes.
pub(super) struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    pub(super) fn new(heading: &[&str]) -> Self {
        Self { rows: vec![heading.iter().map(|it| (*it).to_owned()).collect()] }
    }

    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = impl AsRef<str>>) {
        self.rows.push(cells.into_iter().map(|cell| shown(cell.as_ref())).collect());
    }

    /// A line about the row above, across all columns.
    pub(super) fn remark(&mut self, text: &str) {
        self.rows.push(vec![shown(text)]);
    }

    pub(super) fn is_empty(&self) -> bool {
        self.rows.len() < 2
    }
}

impl std::fmt::Display for Table {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let rows = || self.rows.iter().filter(|row| row.len() > 1);
        let width = |column: usize| rows().filter_map(|row| row.get(column)).map(|cell| cell.width()).max();
        let widths: Vec<usize> = (0..columns).map(|column| width(column).unwrap_or(0)).collect();
        for row in &self.rows {
            if let [remark] = row.as_slice() {
                writeln!(f, "        {remark}")?;
                continue;
            }
            let mut line = String::new();
            for (cell, width) in row.iter().zip(&widths) {
                let gap = " ".repeat(width.saturating_sub(cell.width()) + 2);
                write!(line, "{cell}{gap}")?;
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}

/// How long ago, or in how long, in two units at most: `2 h 20 ago`, `3 d ago`, `in 40 min`.
pub(super) fn age(time: Time, now: Time) -> String {
    let lies = now - time;
    match lies {
        ahead if ahead < -TimeDelta::seconds(59) => format!("in {}", span(-lies)),
        past if past < TimeDelta::minutes(1) => "now".to_owned(),
        _ => format!("{} ago", span(lies)),
    }
}

/// A length of time in two units at most.
pub(super) fn span(length: TimeDelta) -> String {
    let minutes = length.num_minutes();
    match minutes {
        0..60 => format!("{minutes} min"),
        60..1440 if minutes % 60 == 0 => format!("{} h", minutes / 60),
        60..1440 => format!("{} h {:02}", minutes / 60, minutes % 60),
        _ if minutes / 60 % 24 == 0 || minutes >= 10 * 1440 => format!("{} d", minutes / 1440),
        _ => format!("{} d {} h", minutes / 1440, minutes / 60 % 24),
    }
}

/// A time as the hospital's clock shows it, with its date where that is another day's.
pub(super) fn clock(time: Time, now: Time, zone: Tz) -> String {
    let (there, today) = (time.with_timezone(&zone), now.with_timezone(&zone));
    match there.date_naive() == today.date_naive() {
        true => time_of_day(time, zone),
        false => there.format("%Y-%m-%d %H:%M").to_string(),
    }
}

/// A time with its age: `09:10, 2 h 20 ago`.
pub(super) fn when(time: Time, now: Time, zone: Tz) -> String {
    format!("{}, {}", clock(time, now, zone), age(time, now))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Time {
        chrono::DateTime::parse_from_rfc3339(text).unwrap().to_utc()
    }

    #[test]
    fn every_time_has_its_age() {
        let now = at("2026-06-10T09:30:00Z");
        let said = |text| when(at(text), now, chrono_tz::Europe::Paris);
        assert_eq!(said("2026-06-10T07:10:00Z"), "09:10, 2 h 20 ago");
        assert_eq!(said("2026-06-10T09:29:40Z"), "11:29, now");
        assert_eq!(said("2026-06-10T10:10:00Z"), "12:10, in 40 min");
        assert_eq!(said("2026-06-08T09:30:00Z"), "2026-06-08 11:30, 2 d ago");
        assert_eq!(said("2026-06-08T08:30:00Z"), "2026-06-08 10:30, 2 d 1 h ago");
        assert_eq!(said("2026-04-10T08:30:00Z"), "2026-04-10 10:30, 61 d ago");
    }

    #[test]
    fn columns_line_up_by_width_on_screen_and_hostile_cells_are_cleaned() {
        let mut table = Table::new(&["A", "B"]);
        table.row(["病房", "x\u{1b}[2J"]);
        table.row(["room", "y"]);
        table.remark("wider than any column");
        assert_eq!(table.to_string(), "A     B\n病房  x�[2J\nroom  y\n        wider than any column\n");
    }
}

//! Times and temperatures as people type them.

use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

use crate::domain::clock::clock;
use crate::domain::entry::{Body, Entry, Time};

/// Which way a bare `HH:MM` lies from now.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Towards {
    /// The latest such time that is not in the future, if it is not longer ago than a shift.
    Past,
    /// The same, where it is not now that it lies before.
    Before,
    /// The next such time.
    Future,
}

/// Reads `HH:MM` or `HHMM`, `YYYY-MM-DD HH:MM` (both in the hospital's zone) or an RFC 3339 time.
///
/// A local time that the clock change skipped or passed twice is refused, never guessed: a drying clock may hang on it.
pub fn read_time(text: &str, zone: Tz, now: Time, towards: Towards) -> Result<Time, String> {
    let text = text.trim();
    if let Ok(instant) = DateTime::parse_from_rfc3339(text) {
        return Ok(instant.with_timezone(&Utc));
    }
    if let Some(clock) = clock_time(text) {
        return bare(clock, text, zone, now, towards);
    }
    let dated = text.split_once(' ').or_else(|| text.split_once('T'));
    let read = dated.and_then(|(day, clock)| Some((day.parse::<NaiveDate>().ok()?, clock_time(clock.trim())?)));
    match read {
        Some((day, clock)) => local(day, clock, zone, text),
        None => Err(format!("“{}” is no time: type HH:MM, or YYYY-MM-DD HH:MM", quoted(text))),
    }
}

/// After midnight people note what was before it; half a day later nobody means yesterday without saying so.
const A_SHIFT: TimeDelta = TimeDelta::hours(12);

fn clock_time(text: &str) -> Option<NaiveTime> {
    // Four digits are written for a time on wards.
    let four = text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit());
    let (hours, minutes) = if four { text.split_at(2) } else { text.split_once(':')? };
    let digits =
        |part: &str, least: usize| (least..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    if !digits(hours, 1) || !digits(minutes, 2) {
        return None;
    }
    NaiveTime::from_hms_opt(hours.parse().ok()?, minutes.parse().ok()?, 0)
}

fn bare(clock: NaiveTime, text: &str, zone: Tz, now: Time, towards: Towards) -> Result<Time, String> {
    let today = now.with_timezone(&zone).date_naive();
    let (first, second) = match towards {
        Towards::Past | Towards::Before => (today, today - TimeDelta::days(1)),
        Towards::Future => (today, today + TimeDelta::days(1)),
    };
    // Today's is asked first; if the clock change makes it unclear it is refused, also where yesterday's would do.
    let of_today = local(first, clock, zone, text)?;
    let serves = match towards {
        Towards::Past | Towards::Before => of_today <= now,
        Towards::Future => of_today > now,
    };
    if serves {
        return Ok(of_today);
    }
    let other = local(second, clock, zone, text)?;
    // A start that was typed some minutes too late must not become yesterday's, with its label's time long over.
    let shown = quoted(text);
    match towards {
        Towards::Past if now - other > A_SHIFT => {
            Err(format!("“{shown}” is still to come today: if it was on another day, type {second} {shown}"))
        }
        Towards::Before if now - other > A_SHIFT => {
            let end = show_time_to_type(now, zone);
            Err(format!(
                "“{shown}” is later than {end}, when it happened: if it was on another day, type {second} {shown}"
            ))
        }
        Towards::Past | Towards::Before | Towards::Future => Ok(other),
    }
}

fn local(day: NaiveDate, clock: NaiveTime, zone: Tz, text: &str) -> Result<Time, String> {
    use chrono::offset::LocalResult;
    match zone.from_local_datetime(&day.and_time(clock)) {
        LocalResult::Single(instant) => Ok(instant.with_timezone(&Utc)),
        LocalResult::Ambiguous(first, second) => Err(format!(
            "“{}” came twice when the clocks went back on {day}: type {} or {}",
            quoted(text),
            first.to_rfc3339(),
            second.to_rfc3339()
        )),
        LocalResult::None => {
            Err(format!("“{}” did not exist on {day}, when the clocks went forward: type the time after", quoted(text)))
        }
    }
}

/// Of a time that is refused while paper sheets are being entered: what the sheets tell of. Empty: there are none of a day.
pub fn sheets_tell_of(entries: &[Entry], now: Time, zone: Tz) -> String {
    let recent = entries.iter().rev().take_while(|entry| now - entry.noted <= TimeDelta::days(1));
    let tells = |entry: &Entry| match &entry.body {
        Body::Downtime { from, until, .. } => Some(format!(
            "; the sheets of entry {} tell of {} to {}",
            entry.number,
            clock(*from, now, zone),
            clock(*until, now, zone)
        )),
        _ => None,
    };
    recent.filter_map(tells).next().unwrap_or_default()
}

/// A time in the form in which it can be typed again: never misread, whatever the day.
pub fn show_time_to_type(time: Time, zone: Tz) -> String {
    let there = time.with_timezone(&zone);
    let is_clear = zone.from_local_datetime(&there.naive_local()).single().is_some();
    if is_clear { there.format("%Y-%m-%d %H:%M").to_string() } else { there.to_rfc3339() }
}

/// Degrees Celsius with at most one decimal, as tenths of a degree: `60`, `60.5`, `60,5`.
pub fn read_celsius(text: &str) -> Result<i32, String> {
    let text = text.trim();
    let wrong = || format!("“{}” is no temperature: type degrees Celsius, for example 60 or 60.5", quoted(text));
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text),
    };
    let (whole, tenth) = digits.split_once(['.', ',']).unwrap_or((digits, "0"));
    let is_number =
        |part: &str, longest: usize| (1..=longest).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    if !is_number(whole, 3) || !is_number(tenth, 1) {
        return Err(wrong());
    }
    let tenths: i32 = format!("{whole}{tenth}").parse().map_err(|_| wrong())?;
    Ok(sign * tenths)
}

/// At most 40 characters of what was typed, without anything that a terminal would obey.
pub(super) fn quoted(text: &str) -> String {
    let cut: String = text.chars().take(40).collect();
    crate::domain::shown::shown(&cut)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Time {
        DateTime::parse_from_rfc3339(text).unwrap().with_timezone(&Utc)
    }

    const PARIS: Tz = chrono_tz::Europe::Paris;

    #[test]
    fn a_bare_time_is_the_latest_that_is_not_in_the_future() {
        let now = at("2026-06-10T08:30:00Z"); // 10:30 there
        let past = |text| read_time(text, PARIS, now, Towards::Past);
        assert_eq!(past("10:30"), Ok(at("2026-06-10T08:30:00Z")));
        assert_eq!(past("9:05"), Ok(at("2026-06-10T07:05:00Z")));
        assert_eq!(past("0905"), Ok(at("2026-06-10T07:05:00Z")), "as written on wards");
        assert_eq!(past("22:31"), Ok(at("2026-06-09T20:31:00Z")), "last evening's");
        // A few minutes too late is no time of yesterday: its drying clock would be long over.
        for ahead in ["10:31", "11:00", "22:29"] {
            let said = past(ahead).unwrap_err();
            assert!(said.contains("is still to come today") && said.contains("2026-06-09"), "{said}");
        }
        assert_eq!(read_time("10:30", PARIS, now, Towards::Future), Ok(at("2026-06-11T08:30:00Z")), "tomorrow's");
        assert_eq!(past("2026-06-01 07:00"), Ok(at("2026-06-01T05:00:00Z")));
        assert_eq!(past("2026-06-01T07:00:00+02:00"), Ok(at("2026-06-01T05:00:00Z")));
        for wrong in
            ["", "25:00", "10:60", "10", "10:5", "2500", "905", "10305", "1pm", "+1:00", "2026-02-30 10:00", "soon"]
        {
            assert!(past(wrong).unwrap_err().contains("type HH:MM"), "{wrong}");
        }
    }

    #[test]
    fn a_time_that_came_twice_or_never_is_asked_for_again() {
        // The European Union changes clocks at 01:00 UTC on the last Sundays of March and October (Directive 2000/84/EC).
        let now = at("2026-10-25T12:00:00Z");
        let twice = read_time("02:30", PARIS, now, Towards::Past).unwrap_err();
        assert!(twice.contains("+02:00") && twice.contains("+01:00"), "{twice}");
        assert!(read_time("2026-03-29 02:30", PARIS, now, Towards::Past).unwrap_err().contains("did not exist"));
    }

    #[test]
    fn a_shown_time_reads_back_as_itself() {
        for time in ["2026-10-25T00:30:00Z", "2026-10-25T01:30:00Z", "2026-06-10T08:30:00Z"] {
            let typed = show_time_to_type(at(time), PARIS);
            assert_eq!(read_time(&typed, PARIS, at("2027-01-01T00:00:00Z"), Towards::Past), Ok(at(time)), "{typed}");
        }
    }

    #[test]
    fn temperatures_are_kept_as_tenths() {
        for (text, tenths) in [("60", 600), ("60.5", 605), ("60,5", 605), ("-5.1", -51), ("0.0", 0), ("121", 1210)] {
            assert_eq!(read_celsius(text), Ok(tenths), "{text}");
        }
        for wrong in ["", "60.55", "60.", ".5", "hot", "6e1", "60 C", "1000", "--5"] {
            assert!(read_celsius(wrong).is_err(), "{wrong}");
        }
    }
}

//! Times as people at the board read them: by the hospital's clock, each with its age or how far it is off.

use chrono::{Datelike, TimeDelta};
use chrono_tz::Tz;

pub(super) use crate::domain::clock::clock;
use crate::domain::clock::time_of_day;
use crate::domain::entry::Time;

/// A length of time, in its two largest units.
pub(super) fn length(time: TimeDelta) -> String {
    let minutes = time.num_minutes().abs();
    match minutes {
        0 => "under 1 min".to_owned(),
        1..60 => format!("{minutes} min"),
        60..1440 if minutes % 60 == 0 => format!("{} h", minutes / 60),
        60..1440 => format!("{} h {:02}", minutes / 60, minutes % 60),
        1440..14_400 if minutes / 60 % 24 > 0 => format!("{} d {} h", minutes / 1440, minutes / 60 % 24),
        _ => format!("{} d", minutes / 1440),
    }
}

/// `09:10, 2 h 20 ago`, or `15:00, in 1 h`.
pub(super) fn with_age(time: Time, now: Time, zone: Tz) -> String {
    format!("{}, {}", clock(time, now, zone), age(time, now))
}

pub(super) fn age(time: Time, now: Time) -> String {
    if time <= now { format!("{} ago", length(now - time)) } else { format!("in {}", ahead(time - now)) }
}

/// A length of time that is still to come: a minute that has begun counts, so that twelve hours are twelve when they begin.
pub(super) fn ahead(time: TimeDelta) -> String {
    length(time + TimeDelta::seconds(59))
}

/// How old, in a column: `6 min`, `1 h 20`, `17 h`, `12 d`; of what lies ahead `in 2 h`.
pub(super) fn short(time: Time, now: Time) -> String {
    let minutes = (now - time).num_minutes();
    let ahead = if minutes < 0 { "in " } else { "" };
    match minutes.abs() {
        0 => "now".to_owned(),
        minutes @ 1..60 => format!("{ahead}{minutes} min"),
        minutes @ 60..600 if minutes % 60 > 0 && ahead.is_empty() => format!("{} h {:02}", minutes / 60, minutes % 60),
        minutes @ 60..1440 => format!("{ahead}{} h", minutes / 60),
        minutes => format!("{ahead}{} d", minutes / 1440),
    }
}

/// A day as a heading: `Wed 10 Jun, today`, `Mon 8 Jun, 2 days ago`, with the year if it is another.
pub(super) fn day(time: Time, now: Time, zone: Tz) -> String {
    let (there, today) = (time.with_timezone(&zone), now.with_timezone(&zone));
    let name = there.format(if there.year() == today.year() { "%a %-d %b" } else { "%a %-d %b %Y" });
    match (today.date_naive() - there.date_naive()).num_days() {
        0 => format!("{name}, today"),
        1 => format!("{name}, yesterday"),
        days @ 2.. => format!("{name}, {days} days ago"),
        _ => format!("{name}, still to come"),
    }
}

/// A due time: `due 15:00, in 1 h`, `overdue by 2 h 20`.
pub(super) fn due(time: Time, now: Time, zone: Tz) -> String {
    if (time - now).abs() < TimeDelta::minutes(1) {
        "due now".to_owned()
    } else if time < now {
        format!("overdue by {}", length(now - time))
    } else {
        format!("due {}, in {}", clock(time, now, zone), ahead(time - now))
    }
}

/// The same in at most 20 columns: on another day only that day, `due Thu 07:10` within the week, `due 24 Jun` after it.
pub(super) fn due_short(time: Time, now: Time, zone: Tz) -> String {
    let there = time.with_timezone(&zone);
    let days = there.date_naive().signed_duration_since(now.with_timezone(&zone).date_naive()).num_days();
    match days {
        ..=0 if time - now >= TimeDelta::hours(10) => {
            format!("due {}, in {} h", time_of_day(time, zone), (time - now).num_hours())
        }
        ..=0 => due(time, now, zone),
        1..=6 => there.format("due %a %H:%M").to_string(),
        7..=300 => there.format("due %-d %b").to_string(),
        _ => there.format("due %-d %b %Y").to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Time {
        text.parse().unwrap()
    }

    #[test]
    fn a_time_is_shown_by_the_hospitals_clock_and_with_its_age() {
        let (now, zone) = (at("2026-11-25T10:30:00Z"), chrono_tz::Europe::Paris);
        assert_eq!(with_age(at("2026-11-25T08:10:00Z"), now, zone), "09:10, 2 h 20 ago");
        assert_eq!(with_age(at("2026-11-23T08:10:00Z"), now, zone), "Mon 23 Nov 09:10, 2 d 2 h ago");
        assert_eq!(with_age(at("2025-11-23T08:10:00Z"), now, zone), "23 Nov 2025 09:10, 367 d ago");
        assert_eq!(due(at("2026-11-25T11:30:00Z"), now, zone), "due 12:30, in 1 h");
        assert_eq!(due(at("2026-11-25T10:25:00Z"), now, zone), "overdue by 5 min");
        assert_eq!(age(now, now), "under 1 min ago");
        assert_eq!(due(at("2026-11-25T22:29:01Z"), now, zone), "due 23:29, in 12 h");
        let soon = |text: &str| due_short(at(text), now, zone);
        assert_eq!(soon("2026-11-25T14:30:00Z"), "due 15:30, in 4 h");
        assert_eq!(soon("2026-11-25T22:10:00Z"), "due 23:10, in 11 h");
        assert_eq!(soon("2026-11-26T05:10:00Z"), "due Thu 06:10");
        assert_eq!(soon("2026-12-09T05:10:00Z"), "due 9 Dec");
        assert_eq!(soon("2028-02-09T05:10:00Z"), "due 9 Feb 2028");
        assert_eq!(soon("2026-11-12T05:10:00Z"), "overdue by 13 d");
        assert_eq!(short(at("2026-11-25T09:05:00Z"), now), "1 h 25");
        assert_eq!(short(at("2026-11-24T22:05:00Z"), now), "12 h");
        assert_eq!(short(at("2026-11-25T12:05:00Z"), now), "in 1 h");
        assert_eq!(short(at("2024-11-25T12:05:00Z"), now), "729 d");
        assert_eq!(day(now, now, zone), "Wed 25 Nov, today");
        assert_eq!(day(at("2026-11-24T23:05:00Z"), now, zone), "Wed 25 Nov, today", "by the hospital's clock");
        assert_eq!(day(at("2026-11-24T22:05:00Z"), now, zone), "Tue 24 Nov, yesterday");
        assert_eq!(day(at("2025-11-20T12:00:00Z"), now, zone), "Thu 20 Nov 2025, 370 days ago");
    }
}

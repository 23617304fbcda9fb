//! A time as people read it off the hospital's clock and calendar. Every sentence that prints a time gets it from here, so that
//! none leaves out the day of a time that is not today's.

use chrono::{DateTime, Datelike};
use chrono_tz::Tz;

use super::entry::Time;

/// Before every time that an entry can carry. What a label or a clock adds to it or takes away stays a time.
pub const BEFORE_ALL: Time = match DateTime::from_timestamp(-3_093_527_980_800, 0) {
    Some(time) => time,
    None => Time::UNIX_EPOCH,
};

/// After every time that an entry can carry (the year 9999) with the longest label: the year 100,000, and years to spare.
pub const AFTER_ALL: Time = match DateTime::from_timestamp(3_093_527_980_800, 0) {
    Some(time) => time,
    None => Time::UNIX_EPOCH,
};

/// `09:10` on the day of `by`, `Mon 23 Nov 09:10` on another one, with the year if it is another.
///
/// `by` is the moment that the reader has before them: now, or when the entry happened that the sentence is about.
pub fn clock(time: Time, by: Time, zone: Tz) -> String {
    let (there, day) = (time.with_timezone(&zone), by.with_timezone(&zone));
    if there.date_naive() == day.date_naive() { there.format("%H:%M").to_string() } else { dated(time, by, zone) }
}

/// The same with its day, also on the day of `by`: for what is read later as well.
pub fn dated(time: Time, by: Time, zone: Tz) -> String {
    let (there, day) = (time.with_timezone(&zone), by.with_timezone(&zone));
    there.format(if there.year() == day.year() { "%a %-d %b %H:%M" } else { "%-d %b %Y %H:%M" }).to_string()
}

/// The time of day alone, where its day stands beside it or it is now.
pub fn time_of_day(time: Time, zone: Tz) -> String {
    time.with_timezone(&zone).format("%H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Time {
        text.parse().unwrap()
    }

    #[test]
    fn the_ends_of_time_take_the_longest_label() {
        let longest = chrono::TimeDelta::minutes(u32::MAX.into());
        assert!(BEFORE_ALL + longest < at("0000-01-01T00:00:00Z") && AFTER_ALL - longest > at("9999-12-31T23:59:59Z"));
        assert!(
            AFTER_ALL.checked_add_signed(longest * 4).is_some() && BEFORE_ALL.checked_sub_signed(longest * 4).is_some()
        );
    }

    #[test]
    fn a_time_of_another_day_has_its_day_and_one_of_another_year_its_year() {
        let (by, zone) = (at("2026-11-25T10:30:00Z"), chrono_tz::Europe::Paris);
        assert_eq!(clock(at("2026-11-25T08:10:00Z"), by, zone), "09:10");
        assert_eq!(clock(at("2026-11-24T23:10:00Z"), by, zone), "00:10", "by the hospital's own midnight");
        assert_eq!(clock(at("2026-11-24T22:10:00Z"), by, zone), "Tue 24 Nov 23:10");
        assert_eq!(clock(at("2026-11-26T08:10:00Z"), by, zone), "Thu 26 Nov 09:10");
        assert_eq!(clock(at("2027-11-25T08:10:00Z"), by, zone), "25 Nov 2027 09:10");
        assert_eq!(clock(at("2026-12-31T23:10:00Z"), by, zone), "1 Jan 2027 00:10");
        assert_eq!(dated(at("2026-11-25T08:10:00Z"), by, zone), "Wed 25 Nov 09:10");
        assert_eq!(time_of_day(by, zone), "11:30");
    }
}

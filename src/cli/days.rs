//! From which day to which: the two options of whatever lists what happened.

use chrono::NaiveDate;
use chrono_tz::Tz;
use clap::ArgMatches;

use super::Stop;
use crate::domain::entry::Time;

/// Whole days of the hospital's calendar, both included. None: without an end on that side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Days {
    first: Option<NaiveDate>,
    last: Option<NaiveDate>,
}

impl Days {
    pub(super) fn asked(own: &ArgMatches) -> Result<Self, Stop> {
        let day = |name: &str| {
            let read = |text: &String| {
                let wrong = || Stop::Usage(format!("--{name}: “{text}” is no date: type YYYY-MM-DD"));
                text.parse::<NaiveDate>().map_err(|_| wrong())
            };
            own.get_one::<String>(name).map(read).transpose()
        };
        let days = Self { first: day("from")?, last: day("to")? };
        match (days.first, days.last) {
            (Some(first), Some(last)) if first > last => {
                Err(Stop::Usage(format!("--to: {last} is before --from, {first}: name the earlier day first")))
            }
            _ => Ok(days),
        }
    }

    pub(super) fn holds(self, time: Time, zone: Tz) -> bool {
        let day = time.with_timezone(&zone).date_naive();
        self.first.is_none_or(|first| day >= first) && self.last.is_none_or(|last| day <= last)
    }

    /// As a heading says it. Empty: all days.
    pub(super) fn words(self) -> String {
        let from = self.first.map(|day| format!(" from {day}")).unwrap_or_default();
        let to = self.last.map(|day| format!(" to {day}")).unwrap_or_default();
        format!("{from}{to}")
    }
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveTime, TimeDelta, TimeZone};

    use super::*;

    #[test]
    fn both_days_are_whole_days_of_the_hospital() {
        let day = |text: &str| text.parse::<NaiveDate>().ok();
        let days = Days { first: day("2026-06-10"), last: day("2026-06-11") };
        let zone = chrono_tz::Europe::Paris;
        let at = |days: i64, minutes: i64| {
            let midnight = day("2026-06-10").unwrap().and_time(NaiveTime::MIN);
            let there = midnight + TimeDelta::days(days) + TimeDelta::minutes(minutes);
            zone.from_local_datetime(&there).unwrap().to_utc()
        };
        assert!(days.holds(at(0, 0), zone) && days.holds(at(1, 1439), zone));
        assert!(!days.holds(at(0, -1), zone) && !days.holds(at(2, 0), zone));
        assert!(Days::default().holds(at(99, 0), zone));
        assert_eq!(days.words(), " from 2026-06-10 to 2026-06-11");
    }
}

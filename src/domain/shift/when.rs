//! Times in the sentences of a shift's page.

use chrono::TimeDelta;
use chrono_tz::Tz;

use crate::domain::entry::Time;

/// `09:10` today, `Mon 23 Nov 09:10` on another day.
pub(in crate::domain) fn clock(time: Time, now: Time, zone: Tz) -> String {
    let (there, today) = (time.with_timezone(&zone), now.with_timezone(&zone));
    let same_day = there.date_naive() == today.date_naive();
    there.format(if same_day { "%H:%M" } else { "%a %-d %b %H:%M" }).to_string()
}

/// `5 min`, `5 h 30`, `2 d`.
pub(super) fn length(time: TimeDelta) -> String {
    let minutes = time.num_minutes().abs();
    match minutes {
        0..60 => format!("{minutes} min"),
        60..2880 if minutes % 60 == 0 => format!("{} h", minutes / 60),
        60..2880 => format!("{} h {:02}", minutes / 60, minutes % 60),
        _ => format!("{} d", minutes / 1440),
    }
}

//! Times in the sentences of a shift's page.

use chrono::TimeDelta;

pub(in crate::domain) use crate::domain::clock::clock;

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

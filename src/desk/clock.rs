//! The one place that reads a clock.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicI64, Ordering};

use chrono::{DateTime, SubsecRound, Utc};

use crate::domain::entry::Time;

/// The system's clock, or one that was set for a rehearsal or a test.
#[derive(Debug)]
pub enum Clock {
    System,
    Set(Time),
    /// Read from a file again at each look; what was read last holds if the file cannot be read.
    File {
        path: PathBuf,
        last: AtomicI64,
    },
}

#[derive(Debug, thiserror::Error)]
pub enum ClockError {
    #[error("“{text}” is no time: write it like 2026-03-02T09:10:00Z")]
    Unreadable { text: String },
    #[error("the clock's file {path} cannot be read: {source}", path = path.display())]
    File { path: PathBuf, source: std::io::Error },
}

impl Clock {
    /// Reads what `--now` was given: a time, or `@FILE` for a file that holds one.
    pub fn set(text: &str) -> Result<Self, ClockError> {
        match text.strip_prefix('@') {
            None => read(text).map(Self::Set),
            Some(path) => {
                let path = PathBuf::from(path);
                let now = read_file(&path)?;
                Ok(Self::File { path, last: AtomicI64::new(now.timestamp_micros()) })
            }
        }
    }

    /// Anything but the system's clock.
    pub fn is_set(&self) -> bool {
        !matches!(self, Self::System)
    }

    /// Now, UTC, to the microsecond.
    #[expect(clippy::disallowed_methods, reason = "this is where the clock is read")]
    pub fn now(&self) -> Time {
        match self {
            Self::System => Utc::now().trunc_subsecs(6),
            Self::Set(time) => *time,
            Self::File { path, last } => {
                if let Ok(now) = read_file(path) {
                    last.store(now.timestamp_micros(), Ordering::Relaxed);
                }
                DateTime::from_timestamp_micros(last.load(Ordering::Relaxed)).unwrap_or_default()
            }
        }
    }
}

fn read(text: &str) -> Result<Time, ClockError> {
    let parsed = DateTime::parse_from_rfc3339(text.trim());
    parsed.map(|time| time.with_timezone(&Utc).trunc_subsecs(6)).map_err(|_| ClockError::Unreadable {
        text: text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect(),
    })
}

fn read_file(path: &Path) -> Result<Time, ClockError> {
    let text = std::fs::read_to_string(path).map_err(|source| ClockError::File { path: path.to_owned(), source })?;
    read(&text)
}

/// The computer's own time, by which files are stamped, also in a rehearsal.
#[expect(clippy::disallowed_methods, reason = "this is where the clock is read")]
pub(super) fn by_the_computer() -> std::time::SystemTime {
    std::time::SystemTime::now()
}

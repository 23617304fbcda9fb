//! An invented hospital with eight weeks of history, for looking at the program and for its tests.
//!
//! Nothing here has a back door. Every entry after the set-up is typed answers, read by the same table of moves and let
//! through by the same `decide` as in real use, at the time at which it was noted; a refusal ends the making of the demo.
//! Only then is the whole ledger written, once, with a header that says rehearsal. Hospital, people and product are
//! invented. All times hang on `now`, so that it looks alive whenever it is opened.

mod people;
mod play;
mod story;
#[cfg(test)]
mod tests;
mod today;
mod weeks;

use std::path::Path;

use chrono::{TimeDelta, Timelike};
use chrono_tz::Tz;

use crate::domain::entry::{Entry, Time};
use crate::ledger::{Header, LedgerError, create};
use crate::setup::{Fault, RoomList, SetupError, parse_lead, parse_rooms};

/// The demo's room list; it can be given to `dryhold setup` too.
pub const ROOMS: &str = include_str!("../../demo/rooms.csv");

/// The hospital's name. There is none of this name.
pub const HOSPITAL: &str = "Fernholt demonstration hospital";

/// The housekeeping lead, who sets the hospital up.
const LEAD: &str = "LD,L. Dorn";

/// How far back the history goes.
const HISTORY: TimeDelta = TimeDelta::weeks(8);

/// Why the demo could not be made.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    #[error("the demo's room list: {0:?}")]
    Rooms(Vec<Fault>),
    #[error(transparent)]
    Lead(#[from] SetupError),
    #[error("the demo's story stops at `{verb} {target}`, {minutes_ago} minutes ago: {why}")]
    Step { verb: &'static str, target: String, minutes_ago: i64, why: String },
    #[error(transparent)]
    Ledger(#[from] LedgerError),
}

/// Makes the demo's ledger at this path, where nothing may be yet: one file, written and synced once.
///
/// Its header says rehearsal, for ever: only in such a ledger may the clock be set.
pub fn make(path: &Path, now: Time, zone: Tz) -> Result<(), DemoError> {
    let entries = entries(now, zone)?;
    Ok(create(path, &Header::new(zone, true)?, &entries)?)
}

/// The demo's entries as they stand at `now`: the set-up, then everything that happened since.
pub fn entries(now: Time, zone: Tz) -> Result<Vec<Entry>, DemoError> {
    let now = whole_minute(now);
    let rooms: RoomList = parse_rooms(ROOMS.as_bytes(), false).map_err(DemoError::Rooms)?;
    let set_up = rooms.entries(HOSPITAL, parse_lead(LEAD)?);
    let mut story = story::Story::default();
    people::arrive(&mut story);
    weeks::pass(&mut story, &rooms);
    today::happens(&mut story);
    play::play(set_up, story, now, zone)
}

/// Entries a few seconds into a minute would read as if they lay in the future of their own minute.
fn whole_minute(time: Time) -> Time {
    time.with_second(0).and_then(|time| time.with_nanosecond(0)).unwrap_or(time)
}

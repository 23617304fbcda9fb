//! Why work in a room could not be done, for whoever comes next. Only what nobody has mended since: it refuses nothing.

use chrono::TimeDelta;
use chrono_tz::Tz;

use super::code::Code;
use super::entry::{Body, Entry, Place, Time};

/// After so long it says nothing of today any more.
const A_DAY: TimeDelta = TimeDelta::days(1);

/// `not possible 07:40: patient asleep; again 09:00`, of the newest such note of the room. None: there is none of the last
/// day, or somebody has looked in the room since.
pub fn hindrance(entries: &[Entry], room: Code, now: Time, zone: Tz) -> Option<String> {
    let clock = |at: Time| at.with_timezone(&zone).format("%H:%M").to_string();
    let recent = entries.iter().rev().take_while(|entry| entry.noted + A_DAY >= now);
    for entry in recent {
        match &entry.body {
            Body::NotPossible { why, again } if is_of(entry, room) => {
                let again = again.map(|at| format!("; again {}", clock(at))).unwrap_or_default();
                return Some(format!("not possible {}: {why}{again}", clock(entry.happened)));
            }
            Body::RoundLooked { rooms } if rooms.contains(&room) => return None,
            Body::Inspected { .. } | Body::DryChecked { .. } | Body::Sprayed { .. } | Body::Prepared { .. }
                if is_of(entry, room) =>
            {
                return None;
            }
            _ => {}
        }
    }
    None
}

fn is_of(entry: &Entry, room: Code) -> bool {
    matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(&room))
}

//! Why work in a room could not be done, for whoever comes next. Only what nobody has mended since: it refuses nothing.

use std::collections::{BTreeMap, BTreeSet};

use chrono::TimeDelta;
use chrono_tz::Tz;

use super::clock::clock;
use super::code::Code;
use super::entry::{Body, Entry, Place, Time};

/// After so long it says nothing of today any more.
const A_DAY: TimeDelta = TimeDelta::days(1);

/// `not possible 07:40: patient asleep; again 09:00`, of the newest such note of the room. None: there is none of the last
/// day, or somebody has looked in the room since.
pub fn hindrance(entries: &[Entry], room: Code, now: Time, zone: Tz) -> Option<String> {
    let clock = |at: Time| clock(at, now, zone);
    for entry in recent(entries, now) {
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

/// The same of every room that has one.
pub fn hindrances(entries: &[Entry], now: Time, zone: Tz) -> BTreeMap<Code, String> {
    // A walk through the entries for each room would be felt at each key; few rooms have such a note.
    let named = |entry: &Entry| match (&entry.body, &entry.place) {
        (Body::NotPossible { .. }, Place::Rooms(rooms)) => rooms.clone(),
        _ => vec![],
    };
    let rooms: BTreeSet<Code> = recent(entries, now).flat_map(named).collect();
    rooms.into_iter().filter_map(|room| Some((room, hindrance(entries, room, now, zone)?))).collect()
}

/// The newest first.
fn recent(entries: &[Entry], now: Time) -> impl Iterator<Item = &Entry> {
    entries.iter().rev().take_while(move |entry| entry.noted + A_DAY >= now)
}

fn is_of(entry: &Entry, room: Code) -> bool {
    matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(&room))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::moves::tests::sample::{code, entry, now};

    #[test]
    fn a_try_on_another_day_says_which() {
        let of = |again: &str| {
            let body = Body::NotPossible { why: "asleep".to_owned(), again: Some(again.parse().unwrap()) };
            let entries = [entry(9, Place::room(code("4N-12")), body)];
            hindrance(&entries, code("4N-12"), now(), chrono_tz::Europe::Paris).unwrap()
        };
        assert_eq!(of("2026-06-10T10:00:00Z"), "not possible 09:30: asleep; again 12:00");
        assert_eq!(of("2026-06-12T07:00:00Z"), "not possible 09:30: asleep; again Fri 12 Jun 09:00");
    }
}

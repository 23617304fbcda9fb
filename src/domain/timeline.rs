//! Which entries tell of a room: one answer for every page that tells what happened in it.

use super::entry::{Body, Entry, Place};
use super::facility::RoomPlan;

/// Its own, and what touched its whole ward or the hospital. Settings of those, and who signed in, are left out; a line of
/// which nobody knows the place is not.
pub fn tells_of(entry: &Entry, plan: &RoomPlan) -> bool {
    match &entry.place {
        Place::Rooms(rooms) => rooms.contains(&plan.code),
        Place::Ward(ward) => *ward == plan.ward && !entry.body.is_setting(),
        Place::Hospital => !entry.body.is_setting() && !matches!(entry.body, Body::SignedIn { .. }),
        Place::Unknown => true,
    }
}

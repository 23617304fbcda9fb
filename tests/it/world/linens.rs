//! What the judge knows of linens and bags.

use super::place::{Minute, Room};
use super::said::Note;

/// A room was wet from then until then.
pub(super) struct Span {
    pub(super) room: Room,
    pub(super) from: Minute,
    pub(super) until: Minute,
}

/// Point 7. "A bag holds what this world had on the bed; a load is as noted."
pub(super) fn treated_and_not_laundered(_notes: &[Note], _spans: &[Span]) -> Vec<(Room, String)> {
    vec![]
}

//! What a command that only looks is given: the board at a time, its entries, and how far the file can be trusted.

use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Time};
use crate::domain::facility::RoomPlan;

pub(super) struct View<'a> {
    pub(super) board: &'a Board,
    pub(super) entries: &'a [Entry],
    pub(super) now: Time,
    /// whole, read-only or damaged.
    pub(super) standing: &'static str,
    pub(super) reason: Option<String>,
}

impl View<'_> {
    /// The rooms of one ward, or of all, in walking order.
    pub(super) fn rooms(&self, ward: Option<Code>) -> impl Iterator<Item = &RoomPlan> {
        self.board.facility().in_walking_order().filter(move |plan| ward.is_none_or(|ward| plan.ward == ward))
    }
}

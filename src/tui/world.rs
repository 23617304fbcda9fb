//! What the screens may look at: the board, the time, and what happened in a room. Reading only.

use crate::domain::board::{Board, ClockQuestion};
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Time};

pub struct World<'a> {
    pub board: &'a Board,
    pub now: Time,
    /// All entries, in the order of the file.
    pub entries: &'a [Entry],
    /// The entries that touch a room, newest first.
    pub timeline: &'a dyn Fn(Code) -> Vec<&'a Entry>,
    /// What is wrong with the ledger, in one sentence. None: it is whole and can be written.
    pub trouble: Option<String>,
    /// Every bed reads closed, for that trouble.
    pub closed: bool,
    /// What this terminal asks before anything else is noted here: its clock and another's disagree.
    pub clock: Option<ClockQuestion>,
    /// What this terminal cannot remember, and why. None: it can.
    pub not_kept: Option<String>,
    /// A ledger for practice only.
    pub rehearsal: bool,
}

impl<'a> World<'a> {
    /// A ledger for practice that is whole, and can be written and remembered. What differs is said beside it.
    pub fn of(board: &'a Board, now: Time, entries: &'a [Entry], timeline: &'a dyn Fn(Code) -> Vec<&'a Entry>) -> Self {
        Self {
            board,
            now,
            entries,
            timeline,
            trouble: None,
            closed: false,
            clock: None,
            not_kept: None,
            rehearsal: true,
        }
    }
}

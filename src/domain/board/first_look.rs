//! Where the policy asks for it: one clean look between a treatment and the first admission after it. Off by default; that it
//! is worth a look is our assumption, since a treatment that missed a bug shows only later.

use super::Board;
use super::room::{Closer, FullInspection, Room};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::need::{Evidence, Need};
use crate::domain::policy::Setting;

impl Board {
    /// The clean full inspection, begun after all that was sprayed had been found dry, on which the return to service rests.
    /// `Ok(None)`: none is asked for. The error is what the return still lacks.
    pub(super) fn look_before_return(&self, code: Code) -> Result<Option<Number>, Evidence> {
        let sprayed = |c: &&Closer| c.cause.is_treatment() && c.voided.is_none();
        let room = self.room(code).filter(|_| self.policy().is_on(Setting::LookFirst));
        let Some((room, newest)) = room.and_then(|room| Some((room, room.returnable().filter(sprayed).last()?))) else {
            return Ok(None);
        };
        let lacks = Evidence { need: Need::Inspected, cause: newest.number, met_by: None, instead: false };
        let (dry_by, found) = found_dry(room, room.returnable().filter(sprayed)).ok_or(lacks)?;
        let is_after = |i: &&FullInspection| i.clean && !i.voided && i.began > dry_by && i.number > found;
        // What it left out is elsewhere still.
        let is_whole = |i: &&FullInspection| i.left_out.iter().all(|zone| room.dryness().is_away(*zone));
        let clean = room.inspections.iter().filter(is_after).find(is_whole);
        clean.map(|inspection| Some(inspection.number)).ok_or(lacks)
    }
}

/// When the last of it was found dry, wherever it was felt, and by which entry. None: something is not found dry yet. What stands
/// elsewhere is waited for there.
fn found_dry<'a>(room: &Room, sprayed: impl Iterator<Item = &'a Closer>) -> Option<(Time, Number)> {
    let mut last = (BEFORE_ALL, Number::default());
    for closer in sprayed {
        last = (last.0.max(closer.happened), last.1.max(closer.number));
        let asked = |need: &&Need| matches!(need, Need::Dry(_)) && !room.dryness().is_elsewhere(**need);
        for need in closer.needs.iter().filter(asked) {
            let (done, number) = room.met_at(closer, *need)?;
            last = (last.0.max(done), last.1.max(number));
        }
    }
    Some(last)
}

//! When linens that are put into a bag in a room are treated ones: whatever was in the room between a spray and the time when
//! all that it wetted was found dry, and whatever lay on a bed meanwhile that came from there.

use super::Board;
use super::room::Room;
use super::wetness::A_DAY;
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Time};
use crate::domain::need::Need;

/// What makes linens in a room treated ones: a spray, until everything that it wetted was found dry; or a bed that came from a wet
/// room, until it was made anew.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Treated {
    pub(super) begun: Time,
    /// None: not over yet.
    pub(super) over: Option<Time>,
    /// What was in a bag before this is not meant.
    pub(super) bagged_since: Time,
}

impl Board {
    /// What is asked since may be of a bag that was filled while something was wet, here or where a bed came from.
    pub(super) fn treated_by_now(&mut self, entry: &Entry) {
        let mut rooms = self.rooms_of(&entry.place);
        rooms.extend(self.touched.iter().copied());
        let beds = rooms.iter().flat_map(|code| self.surfaces().beds_rolled(*code));
        let went: Vec<Code> = beds.flat_map(|bed| self.surfaces().linens_since(bed, BEFORE_ALL)).collect();
        rooms.extend(went);
        rooms.sort();
        rooms.dedup();
        for code in rooms {
            let treated = self.treated_asked_for(code);
            if self.room(code).is_some_and(|room| room.dryness.treated != treated) {
                self.room_mut(code).dryness.treated = treated;
            }
        }
    }

    /// Only what ends a bag as one that was never sprayed asks when the room was wet.
    pub(super) fn treated_asked_for(&self, code: Code) -> Vec<Treated> {
        let asks = self.room(code).is_some_and(Room::has_bag_ended_untreated);
        if asks { self.treated_in(code) } else { vec![] }
    }

    /// Of the sprays that may concern what is open in the room: what was settled before is no bag's matter any more.
    pub(super) fn treated_in(&self, code: Code) -> Vec<Treated> {
        let first = self.room(code).and_then(|room| room.unsettled().map(|c| c.happened).min());
        let Some(first) = first.and_then(|at| at.checked_sub_signed(A_DAY)) else { return vec![] };
        let sprays = self.surfaces().sprays(code).iter().rev().take_while(|it| it.noted >= first);
        let own = sprays.filter(|it| it.is_spray).map(|it| Treated {
            begun: it.begun,
            over: self.surfaces().dry_since(code, it),
            bagged_since: BEFORE_ALL,
        });
        let brought = self.surfaces().linens_from_the_wet(code, first).into_iter().map(|it| {
            let made = self.made_since(it.bed, it.until);
            let left = Some(it.here.1).filter(|at| *at < AFTER_ALL);
            Treated { begun: it.from, over: made.into_iter().chain(left).min(), bagged_since: it.here.0 }
        });
        own.chain(brought).collect()
    }

    /// When this bed was first made after that, wherever it stood.
    fn made_since(&self, bed: Code, at: Time) -> Option<Time> {
        let rooms = self.surfaces().bed_rooms_since(bed, at);
        let facts = rooms.iter().filter_map(|code| self.room(*code)).flat_map(|room| room.facts_since(at));
        facts.filter(|fact| fact.done > at && fact.gives.contains(&Need::Made(bed))).map(|fact| fact.done).min()
    }
}

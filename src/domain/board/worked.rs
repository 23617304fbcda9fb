//! Work on what was not there: a bed that was made, a part that was treated or vacuumed in a room, of which it is told afterwards that
//! it had left, or may have. It was another bed, another part; what was owed for it is owed where it is.

use super::Board;
use super::outside::Owed;
use super::room::{Cause, Closer, Fact, Room};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::surface::Surface;

impl Board {
    /// More is known of the ways of this part since this time.
    pub(super) fn part_was_elsewhere(&mut self, entry: &Entry, surface: Surface, since: Time) {
        if since >= entry.noted {
            return;
        }
        let rooms = self.surfaces().rooms_since(surface, BEFORE_ALL);
        let is_it = |room: Code, zone: Zone| self.surfaces_named(room, zone).contains(&surface);
        let covers = |room: Code, need: Need| matches!(need, Need::Covered(zone) if is_it(room, zone));
        let vacuums = |room: Code, need: Need| matches!(need, Need::Vacuumed(zone) if is_it(room, zone));
        let stood = |at: Time, fact: &Fact| self.surfaces().rooms_at(surface, at, fact.number);
        let mut owed = vec![];
        if self.was_done_elsewhere(entry, &rooms, since, &covers, &stood).is_some() {
            owed.push(Owed::Covered(surface));
        }
        if self.was_done_elsewhere(entry, &rooms, since, &vacuums, &stood).is_some() {
            owed.push(Owed::Vacuumed(surface));
        }
        for owed in owed {
            let at = entry.happened.min(entry.noted);
            for room in self.surfaces().rooms_of(surface) {
                let need = owed.asked(self.asked_as(surface, room));
                self.ask_for_linens(entry, room, vec![need], at);
            }
            if self.surfaces().rooms_of(surface).is_empty() {
                self.put_by(owed);
            }
        }
    }

    /// More is known of the ways of this bed since this time.
    pub(super) fn bed_was_elsewhere(&mut self, entry: &Entry, bed: Code, since: Time) {
        if since >= entry.noted {
            return;
        }
        let mut rooms = self.surfaces().bed_rooms_since(bed, BEFORE_ALL);
        rooms.sort();
        rooms.dedup();
        let is_it = |_: Code, need: Need| need == Need::Made(bed);
        let stood = |at: Time, fact: &Fact| self.surfaces().bed_rooms_at(bed, at, fact.number);
        if let Some(done) = self.was_done_elsewhere(entry, &rooms, since, &is_it, &stood) {
            self.ask_to_make(entry, bed, done);
        }
    }

    /// The last time at which something that was owed was done in one of these rooms while it may have stood elsewhere, and that
    /// was not done since where it surely stood.
    fn was_done_elsewhere(
        &self,
        entry: &Entry,
        rooms: &[Code],
        since: Time,
        is_it: &dyn Fn(Code, Need) -> bool,
        stood: &dyn Fn(Time, &Fact) -> Vec<Code>,
    ) -> Option<Time> {
        let all = rooms.iter().filter_map(|code| Some((*code, self.room(*code)?)));
        // Whatever a spray names it hit, wherever that was.
        let gives = |room: Code, fact: &Fact| {
            let is_work = !fact.is_spray && fact.supplies.is_none() && fact.number < entry.number;
            is_work && fact.gives.iter().any(|need| is_it(room, *need))
        };
        let done: Vec<(Code, &Fact)> = all
            .flat_map(|(code, room)| room.facts_since(since).into_iter().map(move |fact| (code, fact)))
            .filter(|(code, fact)| gives(*code, fact))
            .collect();
        let is_sure = |code: Code, fact: &Fact| stood(fact.done, fact) == [code];
        // Whichever of the rooms asked for it: what is owed goes along.
        let asked = |fact: &Fact| {
            let asks = |code: Code, c: &Closer| {
                let is_owed = !matches!(c.cause, Cause::Suspicion { .. }) && c.voided.is_none();
                is_owed && c.number < fact.number && c.needs.iter().any(|need| is_it(code, *need))
            };
            let all = rooms.iter().filter_map(|code| Some((*code, self.room(*code)?)));
            let all = all.flat_map(|(code, room)| room.all_closers().map(move |closer| (code, closer)));
            all.filter(|(code, closer)| asks(*code, closer)).map(|(_, closer)| (closer.number, closer.happened)).max()
        };
        let lacks = done.iter().filter(|(code, fact)| !is_sure(*code, fact)).filter(|(_, fact)| {
            let Some((number, happened)) = asked(fact) else { return false };
            let does = |code: Code, fact: &Fact| {
                gives(code, fact) && is_sure(code, fact) && fact.number > number && fact.done > happened
            };
            let is_done = |(code, room): (Code, &Room)| room.facts_since(happened).into_iter().any(|it| does(code, it));
            !rooms.iter().filter_map(|code| Some((*code, self.room(*code)?))).any(is_done)
        });
        lacks.map(|(_, fact)| fact.done).max()
    }
}

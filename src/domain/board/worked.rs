//! Work on what was not there: a bed that was made, a part that was treated or vacuumed in a room, of which it is told afterwards that
//! it had left, or may have. It was another bed, another part; what was owed for it is owed where it is.

use super::Board;
use super::outside::Owed;
use super::room::{Cause, Closer, Fact, Room};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Time};
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
        owed.into_iter().for_each(|owed| self.ask_where_it_is(entry, owed));
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

    /// When something that was owed was last done in one of these rooms while it may have stood elsewhere, and was not done since
    /// where it surely stood; and the entry that says so.
    fn was_done_elsewhere(
        &self,
        entry: &Entry,
        rooms: &[Code],
        since: Time,
        is_it: &dyn Fn(Code, Need) -> bool,
        stood: &dyn Fn(Time, &Fact) -> Vec<Code>,
    ) -> Option<(Time, Number)> {
        let all = rooms.iter().filter_map(|code| Some((*code, self.room(*code)?)));
        let gives = |room: Code, fact: &Fact| {
            // Whatever a spray names it hit, wherever that was.
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
        let lacks = done
            .iter()
            .filter(|(code, fact)| !is_sure(*code, fact))
            .filter(|(_, fact)| asked(fact).is_some_and(|asked| !self.is_done_surely(rooms, asked, is_it, stood)));
        lacks.map(|(_, fact)| (fact.done, fact.number)).max()
    }

    /// Whether it was done in one of these rooms, after it was asked for, while it stood there and nowhere else.
    fn is_done_surely(
        &self,
        rooms: &[Code],
        (number, happened): (Number, Time),
        is_it: &dyn Fn(Code, Need) -> bool,
        stood: &dyn Fn(Time, &Fact) -> Vec<Code>,
    ) -> bool {
        // What it rests on may have been taken back.
        let rests = |room: &Room, fact: &Fact| {
            fact.rests_on.iter().all(|below| room.knows_fact(*below).is_some_and(|below| !below.voided))
        };
        let does = |(code, room): (Code, &Room), fact: &Fact| {
            let is_later = fact.number > number && fact.done > happened && rests(room, fact);
            is_later && fact.gives.iter().any(|need| is_it(code, *need)) && stood(fact.done, fact) == [code]
        };
        let is_done =
            |(code, room): (Code, &Room)| room.facts_since(happened).into_iter().any(|it| does((code, room), it));
        rooms.iter().filter_map(|code| Some((*code, self.room(*code)?))).any(is_done)
    }

    /// What was done is taken back in these rooms, of something that has left them since: it is owed where that is.
    pub(super) fn owed_again(&mut self, entry: &Entry, rooms: &[Code]) {
        let mut again: Vec<Owed> = vec![];
        for code in rooms.iter().copied() {
            let Some(room) = self.room(code) else { continue };
            let asking = room.unsettled().filter(|c| c.voided.is_none() && !matches!(c.cause, Cause::Suspicion { .. }));
            let needs = asking.flat_map(|closer| closer.needs.iter().map(move |need| (closer, *need)));
            let open = needs.filter(|(c, need)| room.dryness().is_elsewhere(*need) && room.met(c, *need).is_none());
            for (closer, need) in open {
                let asked = (closer.number, closer.happened);
                let gone = |surface: &Surface| !self.surfaces().may_be_in(*surface, code);
                for owed in self.owed_by_name(code, need, &gone) {
                    if !again.contains(&owed) && !self.is_owed_done(owed, asked) {
                        again.push(owed);
                    }
                }
            }
        }
        again.into_iter().for_each(|owed| self.ask_where_it_is(entry, owed));
    }

    fn is_owed_done(&self, owed: Owed, asked: (Number, Time)) -> bool {
        let named = |room: Code, zone: Zone, surface: Surface| self.surfaces_named(room, zone).contains(&surface);
        match owed {
            Owed::Made(bed) => {
                let rooms = self.surfaces().bed_rooms_since(bed, BEFORE_ALL);
                let is_it = |_: Code, need: Need| need == Need::Made(bed);
                let stood = |at: Time, fact: &Fact| self.surfaces().bed_rooms_at(bed, at, fact.number);
                self.is_done_surely(&rooms, asked, &is_it, &stood)
            }
            Owed::Covered(surface) | Owed::Vacuumed(surface) => {
                let rooms = self.surfaces().rooms_since(surface, BEFORE_ALL);
                let is_it = |room: Code, need: Need| {
                    let (Need::Covered(zone) | Need::Vacuumed(zone)) = need else { return false };
                    need == owed.asked(zone) && named(room, zone, surface)
                };
                let stood = |at: Time, fact: &Fact| self.surfaces().rooms_at(surface, at, fact.number);
                self.is_done_surely(&rooms, asked, &is_it, &stood)
            }
        }
    }

    /// Asks for it in each room where it may be; what is in none takes it along.
    fn ask_where_it_is(&mut self, entry: &Entry, owed: Owed) {
        let at = (entry.happened.min(entry.noted), entry.number);
        match owed {
            Owed::Made(bed) => self.ask_to_make(entry, bed, at),
            Owed::Covered(surface) | Owed::Vacuumed(surface) => {
                let rooms = self.surfaces().rooms_of(surface);
                for room in rooms.iter().copied() {
                    let need = owed.asked(self.asked_as(surface, room));
                    self.ask_for_linens(entry, room, vec![need], at);
                }
                if rooms.is_empty() {
                    self.put_by(owed);
                }
            }
        }
    }
}

//! A bag is what its tag says, in whichever room: when it was filled or stood at a spray, and whether it was laundered since.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Board;
use super::apply::No;
use super::filled::filled;
use super::room::{Closer, Fact, Room, is_end_of};
use crate::domain::clock::AFTER_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Time};
use crate::domain::need::Need;
use crate::domain::rule::Rule;

/// The rooms that ever asked for each bag.
pub(super) type AskedIn = BTreeMap<Code, BTreeSet<Code>>;

impl Board {
    /// The rooms that ever asked for this bag.
    pub(super) fn rooms_of_bag(&self, tag: Code) -> impl Iterator<Item = (Code, &Room)> {
        self.bags.get(&tag).into_iter().flatten().filter_map(|code| Some((*code, self.room(*code)?)))
    }

    /// Takes note of the bags that these rooms have something new to tell of, and of which time.
    pub(super) fn hear_of_bags(&mut self, rooms: &[Code]) -> Vec<(Code, Time)> {
        let mut news = vec![];
        for code in rooms {
            if !self.room(*code).is_some_and(Room::has_bag_news) {
                continue;
            }
            for (tag, since) in self.room_mut(*code).take_bag_news() {
                if !self.bags.get(&tag).is_some_and(|rooms| rooms.contains(code)) {
                    Arc::make_mut(&mut self.bags).entry(tag).or_default().insert(*code);
                }
                news.push((tag, since));
            }
        }
        news
    }

    /// No bed is made from a bag that was filled or sprayed anywhere since it was laundered.
    pub(super) fn was_washed_since(&self, tag: Code, made: &Entry) -> Result<(), No> {
        let Some((room, number)) = self.unwashed(tag, (made.happened, made.number)) else { return Ok(()) };
        let text = format!(
            "bag {tag} was filled or sprayed in room {room} (entry {number}), and is not laundered since: launder it, or name \
             another bag or the stock that the linens came from"
        );
        Err(No::new(Rule::Linens, text))
    }

    /// Laundered since it was last filled or sprayed anywhere, by all that is noted.
    pub fn is_bag_washed(&self, tag: Code) -> bool {
        self.unwashed(tag, (AFTER_ALL, Number(u64::MAX))).is_none()
    }

    /// The room and the entry by which this bag was filled, or stood at a spray, before a bed was made from it, and was not
    /// laundered in between.
    pub(super) fn unwashed(&self, tag: Code, (made, by): (Time, Number)) -> Option<(Code, Number)> {
        let is_before = |end: &Fact| end.number < by && end.done_as_noted() <= made;
        // Whatever it held before that was washed then, sprayed or not.
        let washed = self.rooms_of_bag(tag).filter_map(|(_, room)| room.last_wash(tag, &is_before)).max();
        let done = self.rooms_of_bag(tag).flat_map(|(_, room)| room.kept_since(washed)).flat_map(|(_, facts)| facts);
        let ends: Vec<&Fact> = done.filter(|fact| is_end_of(fact, tag) && is_before(fact)).collect();
        self.rooms_of_bag(tag).find_map(|(code, room)| {
            let is_unwashed = |c: &&Closer| {
                if !c.needs.contains(&Need::Bag(tag)) {
                    return false;
                }
                let until = self.bag_held_until(code, room, c);
                let is_taken_back = || c.voided.is_some() && room.unsettled_by_name(c.number).is_none();
                if washed.is_some_and(|at| at > until) || self.bag_held_from(code, c) > made || is_taken_back() {
                    return false;
                }
                let ended = ends.iter().filter(|end| {
                    end.from > until && (end.treated_too || !room.is_treated(c, end, &self.treated_in(code)))
                });
                let ended = ended.map(|end| end.from).min();
                let is_washed = |at: Time| ends.iter().any(|end| !end.gone && end.from >= at);
                !ended.is_some_and(is_washed)
            };
            let mut closers = room.kept_since(washed).flat_map(|(closers, _)| closers);
            closers.find(is_unwashed).map(|c| (code, c.number))
        })
    }

    /// Since when what is in the bag may have been in the room, as early as may be.
    fn bag_held_from(&self, code: Code, c: &Closer) -> Time {
        let begun = self.surfaces().spray(code, c.spray()).map(|spray| spray.interval().0);
        let noted = self.clocks.earliest(c.number, c.happened_as_noted()).min(c.happened);
        [c.begun, c.finished, begun].into_iter().flatten().fold(noted, Time::min)
    }

    /// Until when it was, as late as may be.
    fn bag_held_until(&self, code: Code, room: &Room, c: &Closer) -> Time {
        let ended = self.surfaces().spray(code, c.spray()).map(|spray| spray.interval().1);
        let until = filled(room, c).not_before;
        ended.map_or(until, |ended| ended.max(until))
    }
}

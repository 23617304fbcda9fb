//! From what each bed was made; and where it comes to light that this was not clean, the bed is made again.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, LinenSource, Number, Time};
use crate::domain::surface::Surface;

/// One making of a bed.
#[derive(Clone, Debug)]
struct Making {
    number: Number,
    at: Time,
    from: Kept,
    /// It came to light, and the bed is asked for.
    is_asked: bool,
}

/// Where the linens were kept.
#[derive(Clone, Debug)]
enum Kept {
    Bags(Box<[Code]>),
    Within(Box<Within>),
    /// A stock in no room, thing or bag.
    Elsewhere,
}

/// In these rooms, tagged things, or parts of a room.
#[derive(Clone, Debug)]
struct Within {
    rooms: Vec<Code>,
    things: Vec<Code>,
    parts: Vec<Surface>,
}

/// From what each bed was made.
#[derive(Clone, Debug, Default)]
pub(super) struct Makings {
    /// Oldest entry first, from the first one that was not from stock in no room, thing or bag.
    of_bed: BTreeMap<Code, Arc<Vec<Making>>>,
    /// The beds that were ever made from what each room, or bag, held.
    by_room: BTreeMap<Code, BTreeSet<Code>>,
    by_bag: BTreeMap<Code, BTreeSet<Code>>,
    /// The beds that were ever made from what a thing held.
    by_things: BTreeSet<Code>,
}

impl Board {
    pub(super) fn remember_making(&mut self, entry: &Entry, bed: Code, linens: &LinenSource) {
        let from = match linens {
            LinenSource::Bags(tags) => Kept::Bags(tags.as_slice().into()),
            LinenSource::Stock(source) => match (self.rooms_in(source), self.things_in(source)) {
                (rooms, things) if rooms.is_empty() && things.is_empty() => Kept::Elsewhere,
                (rooms, things) => Kept::Within(Box::new(Within { rooms, things, parts: self.parts_in(source) })),
            },
        };
        if matches!(from, Kept::Elsewhere) && !self.makings.of_bed.contains_key(&bed) {
            return;
        }
        let makings = Arc::make_mut(&mut self.makings);
        match &from {
            Kept::Bags(tags) => {
                for tag in tags {
                    makings.by_bag.entry(*tag).or_default().insert(bed);
                }
            }
            Kept::Within(within) => {
                for room in &within.rooms {
                    makings.by_room.entry(*room).or_default().insert(bed);
                }
                makings.by_things.extend(within.things.first().map(|_| bed));
            }
            Kept::Elsewhere => {}
        }
        let making = Making { number: entry.number, at: entry.happened, from, is_asked: false };
        Arc::make_mut(makings.of_bed.entry(bed).or_default()).push(making);
    }

    /// The bed was not made so, by this void: what it was made from before is on it.
    pub(super) fn void_made(&mut self, target: Number) {
        let is_it = |making: &Making| making.number == target;
        let made = self.makings.of_bed.iter().filter(|(_, all)| all.iter().any(is_it));
        let beds: Vec<Code> = made.map(|(bed, _)| *bed).collect();
        for bed in beds {
            if let Some(all) = Arc::make_mut(&mut self.makings).of_bed.get_mut(&bed) {
                Arc::make_mut(all).retain(|making| !is_it(making));
            }
        }
    }

    /// What the linens were taken from was not clear then, or not laundered, as is known now: what was made of them is made again.
    pub(super) fn make_again(&mut self, entry: &Entry) {
        let touched = std::mem::take(&mut self.touched);
        let news = self.hear_of_bags(&touched);
        for bed in self.beds_in_question(entry, &touched, &news) {
            let last = self.makings.of_bed.get(&bed).and_then(|all| all.last());
            let due = last.filter(|it| !it.is_asked && it.number < entry.number && self.was_unclean(it));
            let Some((at, number)) = due.map(|it| (it.at, it.number)) else { continue };
            if let Some(all) = Arc::make_mut(&mut self.makings).of_bed.get_mut(&bed) {
                Arc::make_mut(all).iter_mut().for_each(|it| it.is_asked |= it.number == number);
            }
            self.ask_to_make(entry, bed, (at, number));
        }
    }

    /// The beds whose linens this entry may tell something new of.
    fn beds_in_question(&self, entry: &Entry, touched: &[Code], news: &[(Code, Time)]) -> BTreeSet<Code> {
        let makings = &self.makings;
        // A void, and a clock, change what was noted of any time.
        let is_of_any_time =
            matches!(entry.body, Body::Voided { .. } | Body::ClockSaid { .. } | Body::TimeTakenOut { .. });
        if is_of_any_time || self.is_time_doubted(entry.number) {
            return makings.of_bed.keys().copied().collect();
        }
        let rooms = touched.iter().filter_map(|code| makings.by_room.get(code)).flatten();
        let is_made_since = |bed: &Code, since: Time| {
            let last = makings.of_bed.get(bed).and_then(|all| all.last());
            last.is_some_and(|it| self.clocks.latest(it.number, it.at) >= since)
        };
        let beds = |(tag, since): &(Code, Time)| {
            let since = *since;
            makings.by_bag.get(tag).into_iter().flatten().filter(move |bed| is_made_since(bed, since))
        };
        rooms.chain(news.iter().flat_map(beds)).chain(&makings.by_things).copied().collect()
    }

    /// What a bed was made from was not clear, or not laundered, at that time.
    fn was_unclean(&self, making: &Making) -> bool {
        let at = self.clocks.latest(making.number, making.at);
        match &making.from {
            Kept::Bags(tags) => tags.iter().any(|tag| self.unwashed(*tag, (at, making.number)).is_some()),
            Kept::Within(within) => {
                within.rooms.iter().any(|room| self.was_not_clear(*room, at))
                    || within.things.iter().any(|tag| self.was_kept_badly(*tag, (at, making.number)))
                    || within.parts.iter().any(|part| self.sprayed_and_not_bagged(*part, at).is_some())
            }
            Kept::Elsewhere => false,
        }
    }
}

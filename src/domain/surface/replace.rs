//! A part of a bed that something else took the place of: from then on the bed has that, and the old part is a thing of its own.

use super::place::{Move, Step};
use super::record::{Dried, Record};
use super::{Surface, Surfaces};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use chrono::TimeDelta;

/// What took the place of a part of a bed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Replaced {
    pub bed: Code,
    pub part: Code,
    /// Where the bed stands.
    pub room: Code,
    pub number: Number,
    pub at: Time,
    /// What took its place, until then under this tag. None: it is new.
    pub by: Option<Surface>,
    /// The tag under which the old part goes on. None: it is no more.
    pub old: Option<Code>,
    /// What turns up that nobody expects is felt no sooner than by this label.
    pub unknown: TimeDelta,
}

impl Surfaces {
    /// The bed has another part from now on.
    pub fn replaced(&mut self, it: &Replaced) {
        let own = Surface::Bed { bed: it.bed, part: it.part };
        let old = std::mem::take(self.record_mut(own));
        self.changes.rooms.insert(it.room);
        let before = self.rooms_before(&old, it);
        self.changes.rooms.extend(before);
        // Under its tag the old part is as wet as it was, where it was; what is no more, and turns up under it, was mistaken for that.
        let under = it.old.or(self.tags().filter(|(_, of)| *of == [own]).map(|(tag, _)| tag).last());
        let goes_on = under.map(Surface::Thing);
        self.was.extend(goes_on.map(|thing| (own, it.at, thing)));
        self.was.extend(it.by.map(|by| (by, it.at, own)));
        if let (Some(tag), Some(thing)) = (under, goes_on) {
            let mut kept = old;
            if kept.track.is_empty() {
                kept.track.add(Move {
                    at: it.at,
                    number: it.number,
                    step: Step::Seen { at: it.room },
                    in_doubt: false,
                });
            }
            kept.since = None;
            *self.record_mut(thing) = kept;
            self.call(tag, own, Some(thing));
        } else {
            let tags: Vec<Code> = self.tags().filter(|(_, of)| of.contains(&own)).map(|(tag, _)| tag).collect();
            tags.into_iter().for_each(|tag| self.call(tag, own, None));
        }
        if let Some(thing) = goes_on.filter(|_| it.old.is_none()) {
            self.lost(thing, it.at, it.number, it.unknown);
        }
        self.rename(own, goes_on);
        let mut new = match it.by {
            Some(by) => {
                let taken = std::mem::take(self.record_mut(by));
                self.changes.rooms.extend(self.rooms_of(by));
                self.rename(by, Some(own));
                // Where it was a part itself, that one is missing now.
                if let Surface::Bed { .. } = by {
                    self.lost(by, it.at, it.number, it.unknown);
                }
                taken
            }
            None => Record::default(),
        };
        let here = Move { at: it.at, number: it.number, step: Step::Seen { at: it.room }, in_doubt: false };
        new.track.add(here);
        new.since = Some((it.number, it.at, it.room));
        if new.wet.is_empty() {
            new.dried.push(Dried { by: it.number, done: it.at, check: None, looked: None, with: vec![], wet: vec![] });
        }
        *self.record_mut(own) = new;
        let tag = it.by.and_then(|by| self.tags().find(|(_, of)| of.contains(&by)).map(|(tag, _)| (tag, by)));
        if let Some((tag, by)) = tag {
            self.call(tag, by, Some(own));
            self.record_mut(own).carry(tag);
        }
        self.follow(own, vec![], here);
    }

    fn rooms_before(&self, old: &Record, it: &Replaced) -> Vec<Code> {
        old.track.rooms().into_iter().chain([it.room]).collect()
    }

    /// What a tag stands for has another name now, or is no more.
    fn call(&mut self, tag: Code, from: Surface, to: Option<Surface>) {
        self.doubtful.remove(&(tag, from));
        let of = self.tags.entry(tag).or_default();
        of.retain(|it| *it != from && Some(*it) != to);
        of.extend(to);
        if of.is_empty() {
            of.push(Surface::Thing(tag));
        }
        let places: Vec<Code> = to.map(|to| self.visits(to).0.iter().map(|it| it.room).collect()).unwrap_or_default();
        for room in places {
            self.visitors.entry(room).or_default().extend(to);
        }
    }

    /// The sprays speak of it by its new name.
    fn rename(&mut self, from: Surface, to: Option<Surface>) {
        for all in self.sprays.values_mut() {
            let is_it = |it: &Surface| *it == from;
            if !all.iter().any(|spray| spray.wetted.contains(&from) || spray.named.iter().flatten().any(is_it)) {
                continue;
            }
            for spray in std::sync::Arc::make_mut(all) {
                for list in [Some(&mut spray.wetted), spray.named.as_mut()].into_iter().flatten() {
                    if list.contains(&from) {
                        list.retain(|it| !is_it(it) && Some(*it) != to);
                        list.extend(to);
                    }
                }
            }
        }
    }

    /// A note that something took the place of a part is taken back: nobody knows which part the bed has, and the old one may be where
    /// it was, and wet. Says whether there was one.
    pub fn void_replaced(&mut self, target: Number, at: Time, by: Number, unknown: TimeDelta) -> bool {
        let all = self.groups.values().flat_map(|group| group.parts.iter());
        let told = all.filter_map(|(surface, record)| Some((*surface, record.since?)));
        let parts: Vec<(Surface, Code)> =
            told.filter(|(_, (number, ..))| *number == target).map(|(surface, (.., room))| (surface, room)).collect();
        for (part, room) in parts.iter().copied() {
            self.moved(part, Move { at, number: by, step: Step::Named { at: room }, in_doubt: false });
            self.touched(part, by, at, unknown);
        }
        !parts.is_empty()
    }
}

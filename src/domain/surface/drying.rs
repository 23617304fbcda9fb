//! What dries: a touch, a look after a void, and what falls when one of them is taken back.

use super::record::Felt;
use super::{Check, Dried, NotYet, Ready, Source, Spray, Surface, Surfaces, Wet};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

impl Surfaces {
    /// Why a touch of it would not count, before it is noted.
    pub fn not_yet(&self, surface: Surface, check: &Check) -> Option<NotYet> {
        let record = self.record(surface)?;
        if record.wet.is_empty() {
            return None;
        }
        // What was given up is seen first: a list may be ticked unseen.
        if record.lost.is_some() || !self.may_have_been_at(surface, check.room, check.began, check.number) {
            return Some(NotYet::NotHere);
        }
        let mut worst: Option<(Ready, Source)> = None;
        for wet in &record.wet {
            let Some((ready, terminal)) = self.ready_at(wet.source) else { return Some(NotYet::Unstated(wet.source)) };
            let ready = ready.seen_from(terminal, &check.terminal);
            if !ready.allows_at(check.began) && worst.is_none_or(|(latest, _)| ready.not_before > latest.not_before) {
                worst = Some((ready, wet.source));
            }
        }
        if let Some((ready, source)) = worst {
            return Some(NotYet::TooEarly(ready, source));
        }
        record.wet.iter().any(|wet| wet.since >= check.number).then_some(NotYet::NotedSince)
    }

    /// Whether the end of it was noted at another terminal.
    pub fn is_noted_elsewhere(&self, source: Source, here: &str) -> bool {
        self.terminal_of(source).is_some_and(|terminal| terminal != here)
    }

    pub(super) fn terminal_of(&self, source: Source) -> Option<&str> {
        match source {
            Source::Spray { room, number } => self.spray(room, number).map(Spray::terminal),
            Source::Touch { .. } => None,
        }
    }

    /// When what this wetted may be felt, and the terminal that noted it, where its clock may differ.
    fn ready_at(&self, source: Source) -> Option<(Ready, Option<&str>)> {
        match source {
            Source::Spray { room, number } => {
                let spray = self.spray(room, number)?;
                Some((spray.ready()?, Some(spray.terminal())))
            }
            Source::Touch { .. } => Some((self.ready_of(source)?, None)),
        }
    }

    /// A touch found it dry. Counts only if nothing speaks against it, and where it may be in several rooms, only with a check in
    /// each of them; says whether it was wet and is dry now.
    pub fn felt_dry(&mut self, surface: Surface, check: &Check) -> bool {
        if !self.is_wet(surface) || self.not_yet(surface, check).is_some() {
            return false;
        }
        let rooms = self.rooms_of(surface);
        let (by, done) = (check.number, check.done);
        if rooms != [check.room] {
            self.record_mut(surface).felt.push(check.short());
            if !rooms.iter().all(|room| self.is_half_felt(surface, *room)) {
                self.changed(surface);
                return false;
            }
        }
        let record = self.record_mut(surface);
        let with = std::mem::take(&mut record.felt).into_iter().map(|felt| felt.number).collect();
        let wet = std::mem::take(&mut record.wet);
        record.dried.push(Dried { by, done, check: Some(check.short()), looked: None, with, wet });
        self.changed(surface);
        true
    }

    /// A touch of what is dry already.
    pub fn felt_again(&mut self, surface: Surface, check: &Check) {
        let (by, done, check) = (check.number, check.done, Some(check.short()));
        self.record_mut(surface).dried.push(Dried { by, done, check, looked: None, with: vec![], wet: vec![] });
        self.changed(surface);
    }

    /// What may stand in several rooms was felt in this one since all that keeps it wet came to light.
    pub fn is_half_felt(&self, surface: Surface, room: Code) -> bool {
        let Some(record) = self.record(surface) else { return false };
        let Some(wet) = self.wet_now(record) else { return false };
        let is_it = |felt: &Felt| {
            felt.room == room && felt.number > wet.since && wet.ready.is_some_and(|it| it.allows_at(felt.began))
        };
        record.felt.iter().any(is_it)
    }

    /// A second person looked in the room after the void of `target`, and found nothing of it there.
    pub fn looked(&mut self, target: Number, rooms: &[Code], by: Number, done: Time) {
        // What is wet still is asked for by something else from now on.
        self.changes.rooms.extend(rooms);
        for room in rooms {
            let own = self.known_of(*room).chain(self.guests(*room));
            let mut wet: Vec<Surface> = own.collect();
            wet.extend(self.beds_booked(*room).into_iter().flat_map(|bed| self.known_of(bed)));
            for surface in wet {
                let places = self.rooms_of(surface);
                let of_it = |wet: &Wet| wet.source.number() == target;
                let concerns = self.record(surface).is_some_and(|record| record.wet.iter().any(of_it));
                // What is in no room of the book was looked at by nobody.
                if !concerns || places.is_empty() || places.iter().any(|place| !rooms.contains(place)) {
                    continue;
                }
                let record = self.record_mut(surface);
                let (gone, left) = std::mem::take(&mut record.wet).into_iter().partition(of_it);
                record.wet = left;
                record.dried.push(Dried {
                    by,
                    done,
                    check: None,
                    looked: Some(rooms.to_vec()),
                    with: vec![],
                    wet: gone,
                });
                self.changed(surface);
            }
        }
    }

    /// The check or look of this number is taken back: what it found dry is wet again, from the void on.
    pub fn void(&mut self, target: Number, rooms: &[Code], by: Number) {
        self.changes.rooms.extend(rooms);
        self.told_apart_in_vain(target, by);
        let mut concerned: Vec<Surface> = vec![];
        for room in rooms {
            concerned.extend(self.known_of(*room));
            concerned.extend(self.visitors.get(room).into_iter().flatten().copied());
            let beds = self.beds_booked(*room).into_iter().chain(self.rolled.get(room).into_iter().flatten().copied());
            concerned.extend(beds.flat_map(|bed| self.known_of(bed)));
        }
        concerned.sort();
        concerned.dedup();
        for surface in concerned {
            let Some(record) = self.record(surface) else { continue };
            if record.felt.iter().any(|it| it.number == target) {
                self.record_mut(surface).felt.retain(|it| it.number != target);
                self.changed(surface);
            }
            let Some(record) = self.record(surface) else { continue };
            let is_by = |it: &Dried| it.by == target || it.with.contains(&target);
            let Some(at) = record.dried.iter().position(is_by) else { continue };
            let taken_back = self.record_mut(surface).dried.remove(at);
            for wet in taken_back.wet {
                self.make_wet(surface, wet.source, by);
                if let Source::Spray { room, number } = wet.source {
                    self.wet_unnamed_again(room, number, by);
                }
            }
        }
    }
}

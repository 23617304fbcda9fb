//! What wets: sprays with all that was said of them, wiping, what was found damp, and what comes to light of each later.

use std::sync::Arc;

use chrono::TimeDelta;

use super::place::Visit;
use super::record::Record;
use super::{Dried, Move, Ready, Source, Spray, Sprayed, Statement, Step, Surface, Surfaces, Wet};
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

impl Surfaces {
    pub(super) fn changed(&mut self, surface: Surface) {
        let rooms = self.rooms_of(surface);
        self.changes.rooms.extend(rooms);
    }

    /// Wets a surface from this entry on, also one that the same source had wetted and somebody had found dry.
    pub(super) fn make_wet(&mut self, surface: Surface, source: Source, since: Number) {
        let record = self.record_mut(surface);
        match record.wet.iter_mut().find(|wet| wet.source == source) {
            Some(known) => known.since = known.since.max(since),
            None => record.wet.push(Wet { source, since }),
        }
        if let Source::Spray { room, number } = source
            && let Some(spray) = self.spray_mut(room, number)
            && !spray.wetted.contains(&surface)
        {
            spray.wetted.push(surface);
        }
        match self.unmoved(surface) {
            (home, true) => self.changes.rooms.extend(home),
            (_, false) => {
                self.changed(surface);
                self.guest_is_wet(surface, since);
            }
        }
    }

    /// Nobody said which part of which room it is.
    fn is_unknown(&self, surface: Surface) -> bool {
        matches!(surface, Surface::Thing(tag) if self.is_of_its_own(tag))
    }

    /// What nobody knows may be whatever wet thing stood in the room that it left, under another tag.
    pub(super) fn may_be_a_guest(&mut self, thing: Surface, by: Number) {
        if !self.is_unknown(thing) {
            return;
        }
        let mut wet: Vec<Source> = vec![];
        let mut lost: Option<TimeDelta> = None;
        // Where it left, by a note of that or of where it came from.
        let moves = self.record(thing).into_iter().flat_map(|record| record.track.moves());
        let told = moves.filter_map(|it| match it.step {
            Step::Arrived { from: Some(from), .. } | Step::Left { from, .. } | Step::Rolled { from, .. } => {
                Some((from, it.at))
            }
            Step::Arrived { from: None, .. } | Step::Seen { .. } | Step::Named { .. } | Step::Lost => None,
        });
        let left = self.visits(thing).0;
        let left = left.iter().filter(|it| it.until < AFTER_ALL).map(|it| (it.room, it.until));
        for (room, at) in left.chain(told) {
            // What was given up, and stood there last.
            let gone = self.visitors.get(&room).into_iter().flatten().filter_map(|it| self.record(*it));
            for record in gone.filter(|record| record.lost.is_some()) {
                lost = lost.max(record.lost);
                wet.extend(record.wet.iter().map(|it| it.source));
            }
            for guest in self.guests_since(room, at).into_iter().filter(|it| *it != thing) {
                if self.may_have_been(guest, room, (at, at)) {
                    let record = self.record(guest);
                    wet.extend(record.into_iter().flat_map(|record| record.wet.iter()).map(|it| it.source));
                }
            }
        }
        // Of which nobody says where it comes from: what is wet, and in no room that anybody knows of.
        if let Some(came) = self.came_from_anywhere(thing) {
            self.strays.insert(thing);
            let all = self.groups.values().flat_map(|group| group.parts.iter());
            let others = all.filter(|(surface, record)| *surface != thing && !record.wet.is_empty());
            for (surface, record) in others {
                let is_out = self.rooms_of(*surface).is_empty() || self.is_looked_for(*surface);
                // Or it is what moved before and nobody has seen since, where it is said to be: its tag may have been misread.
                let is_unseen = !record.track.is_empty() && !record.track.is_seen_since(came);
                let sources = record.wet.iter().map(|it| it.source);
                wet.extend(sources.filter(|it| is_out || (is_unseen && self.began(*it) <= came)));
            }
        }
        let first = self.record(thing).and_then(|record| record.track.moves().first());
        wet.extend(lost.zip(first).map(|(label, it)| Source::Touch { number: it.number, at: it.at, label }));
        let known = |source: &Source| self.record(thing).is_some_and(|record| record.was_wet_by(*source));
        let mut new: Vec<Source> = vec![];
        for source in wet.into_iter().filter(|source| !known(source)) {
            if !new.contains(&source) {
                new.push(source);
            }
        }
        new.into_iter().for_each(|source| self.make_wet(thing, source, by));
    }

    /// When it came, where nobody says from which room.
    fn came_from_anywhere(&self, thing: Surface) -> Option<Time> {
        let first = self.record(thing)?.track.moves().first()?;
        match first.step {
            Step::Arrived { from: None, .. } | Step::Seen { .. } => Some(first.at),
            Step::Arrived { from: Some(_), .. }
            | Step::Left { .. }
            | Step::Rolled { .. }
            | Step::Named { .. }
            | Step::Lost => None,
        }
    }

    /// It comes to light that something wet that was moved stood in a room: whatever left that room may be it, and whatever came
    /// from nobody knows where.
    pub(super) fn guest_is_wet(&mut self, guest: Surface, by: Number) {
        if self.is_unknown(guest) {
            return;
        }
        let rooms = self.rooms_since(guest, BEFORE_ALL);
        let here = rooms.iter().flat_map(|room| self.visitors.get(room)).flatten();
        let things: Vec<Surface> = here.chain(&self.strays).copied().collect();
        things.into_iter().for_each(|thing| self.may_be_a_guest(thing, by));
    }

    /// These, and what went by one of their names at that time.
    fn with_former(&self, named: Vec<Surface>, at: Time) -> Vec<Surface> {
        let mut all = named;
        for (before, until, now) in &self.was {
            if at <= *until && all.contains(before) && !all.contains(now) {
                all.push(*now);
            }
        }
        all
    }

    /// Notes a spray. Gives what it wetted.
    pub fn sprayed(&mut self, it: Sprayed) -> Vec<Surface> {
        let Sprayed { number, first_told, room, begun, noted, ended, label, named, own, terminal, is_spray } = it;
        let named = named.map(|named| self.with_former(named, begun.min(noted)));
        let mut spray = Spray::new(number, begun, noted, ended, label, named.clone(), terminal);
        let begun = spray.begun;
        (spray.first_told, spray.is_spray) = (first_told, is_spray);
        if first_told < number
            && let Some(first) = self.sprays.keys().find_map(|room| self.spray(*room, first_told))
        {
            spray.was_first(first);
        }
        let interval = spray.interval();
        // Of a spray that was noted elsewhere first, what was noted since of the ways of things is as late as that ended.
        let stood = if first_told < number { self.stand_now(&[room], first_told) } else { vec![] };
        let known = self.sprays.entry(room).or_default();
        let at = known.partition_point(|it| it.number < number);
        Arc::make_mut(known).insert(at, spray);
        self.stand_elsewhere(stood, number);
        // Also what of it is elsewhere by now is asked for, or not, by where it is.
        self.changes.rooms.insert(room);
        let mut wetted: Vec<Surface> = match &named {
            Some(named) => {
                for surface in named.iter().copied() {
                    self.named_in(surface, room, begun, number);
                }
                named.clone()
            }
            None => own,
        };
        let guests: Vec<Surface> = self.guests_since(room, interval.0);
        wetted.extend(
            guests.into_iter().chain(self.astray_at(room, number)).filter(|guest| self.is_hit(*guest, room, number)),
        );
        if named.is_none() {
            wetted
                .retain(|surface| self.may_have_been(*surface, room, interval) || self.was_astray(*surface, interval));
        }
        wetted.sort();
        wetted.dedup();
        for surface in &wetted {
            self.make_wet(*surface, Source::Spray { room, number }, number);
        }
        self.stand_by(room, number);
        wetted
    }

    /// These stood in the room as well when it was sprayed, as comes to light by this entry: wet, if nobody said which parts were.
    pub fn stood_too(&mut self, room: Code, spray: Number, parts: &[Surface], by: Number) {
        let Some(it) = self.spray(room, spray).filter(|it| it.named.is_none()).cloned() else { return };
        for part in parts {
            if !it.has_wetted(*part) && self.may_have_been(*part, room, it.interval()) {
                self.make_wet(*part, Source::Spray { room, number: spray }, by);
            }
        }
    }

    /// Whether a spray hit what may have been there: it names it, or names nothing, or it is not known which part it is.
    pub(super) fn is_hit(&self, surface: Surface, room: Code, spray: Number) -> bool {
        let Some(spray) = self.spray(room, spray) else { return false };
        let unknown = matches!(surface, Surface::Thing(_));
        let hits = match &spray.named {
            None => true,
            Some(named) => self.is_among(surface, named) || (unknown && self.may_be_one_of(surface, room, spray)),
        };
        let is_anywhere = spray.named.is_none() && self.was_astray(surface, spray.interval());
        hits && (is_anywhere || self.may_have_been(surface, room, spray.interval()))
    }

    /// Between which times nobody knew where it was: by its own leaving, or by that of its bed.
    fn astray_times(&self, surface: Surface) -> Vec<(Time, Time)> {
        let own = self.record(surface).into_iter().flat_map(|record| record.track.astray());
        let bed = surface.zone().bed.and_then(|bed| self.groups.get(&bed));
        let all = own.chain(bed.into_iter().flat_map(|group| group.bed.astray()));
        // Found where it came to, or left, no sooner than that is believed.
        let found = |it: Move| match it.step {
            Step::Left { from, .. } => self.believed_back_to(Some(from), it.at, it.number),
            Step::Arrived { from, .. } => self.believed_back_to(from, it.at, it.number),
            Step::Rolled { .. } | Step::Seen { .. } | Step::Named { .. } | Step::Lost => it.at,
        };
        all.map(|(left, by)| (left, by.map_or(AFTER_ALL, found))).collect()
    }

    fn was_astray(&self, surface: Surface, (from, until): (Time, Time)) -> bool {
        self.astray.contains(&surface)
            && self.astray_times(surface).iter().any(|(left, found)| *left <= until && *found >= from)
    }

    /// What a spray may have hit wherever it was: nothing, where any note of it names what it hit.
    fn astray_at(&self, room: Code, spray: Number) -> Vec<Surface> {
        let unnamed = self.spray(room, spray).filter(|it| it.named.is_none());
        let interval = unnamed.map(Spray::interval);
        let was = |it: &&Surface| interval.is_some_and(|interval| self.was_astray(**it, interval));
        self.astray.iter().filter(was).copied().collect()
    }

    /// It may have been anywhere: where a spray is noted that names nothing, that may have hit it.
    pub(super) fn went_astray(&mut self, surface: Surface, by: Number) {
        let Some(first) = self.astray_times(surface).into_iter().map(|(left, _)| left).min() else { return };
        self.astray.insert(surface);
        let of_room = |(room, all): (&Code, &Arc<Vec<Spray>>)| {
            let since = all.iter().rev().take_while(|it| it.noted >= first);
            since.filter(|it| it.named.is_none()).map(|it| (*room, it.number)).collect::<Vec<_>>()
        };
        let sprays: Vec<(Code, Number)> = self.sprays.iter().flat_map(of_room).collect();
        for (room, spray) in sprays {
            let is_new = self.spray(room, spray).is_some_and(|it| !it.wetted.contains(&surface));
            if is_new && self.is_hit(surface, room, spray) {
                self.make_wet(surface, Source::Spray { room, number: spray }, by);
            }
        }
    }

    /// Whether it is named, also by a tag that it was said to carry later.
    pub(super) fn is_among(&self, surface: Surface, named: &[Surface]) -> bool {
        let by_tag = |it: &Surface| matches!(it, Surface::Thing(tag) if self.of_tag(*tag).contains(&surface));
        named.contains(&surface) || named.iter().any(by_tag)
    }

    /// Whether what nobody said which part it is may be one that the spray named and nobody found dry before it left.
    pub(super) fn may_be_one_of(&self, thing: Surface, room: Code, spray: &Spray) -> bool {
        let source = Source::Spray { room, number: spray.number };
        // As early as it may have left: also where nobody noted that it did, and it was said to be elsewhere.
        let left = |it: &Visit| match it.room == room {
            true => Some(it.until).filter(|at| *at >= spray.begun),
            // That it was there before the spray is not sure: it may have been here as well.
            false => Some(it.from.max(spray.begun)).filter(|at| *at <= it.until),
        };
        let left = self.visits(thing).0.iter().filter_map(left).min().unwrap_or(AFTER_ALL);
        let is_wet = |record: &Record| record.wet.iter().any(|wet| wet.source == source);
        let too_late = |it: &Dried| {
            let elsewhere = match (it.check, &it.looked) {
                (Some(check), _) => check.began > left || check.room != room,
                (None, Some(looked)) => it.done > left || !looked.contains(&room),
                (None, None) => false,
            };
            elsewhere && it.wet.iter().any(|wet| wet.source == source)
        };
        let parts = spray.named.iter().flatten();
        spray.wetted.is_empty()
            || parts.filter_map(|it| self.record(*it)).any(|it| is_wet(it) || it.dried.iter().any(too_late))
    }

    /// What is said to have been in a room is there as well, until it is seen.
    pub fn named_in(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        if !self.may_have_been_at(surface, room, at, number) {
            self.moved(surface, Move { at, number, step: Step::Named { at: room }, in_doubt: false });
        }
    }

    /// Says more of a spray: its end, its label, further parts. The latest end and the longest label count; a clock that did
    /// not run begins at the noting. Says whether it changed anything.
    pub fn stated(&mut self, room: Code, spray: Number, statement: &Statement) -> bool {
        let source = Source::Spray { room, number: spray };
        let first = self.spray(room, spray).map_or(spray, |it| it.first_told);
        let stood = self.stand_now(&[room], first);
        let Some(known) = self.spray_mut(room, spray) else { return false };
        let is_changed = known.state(statement);
        let (ready, begun) = (known.ready(), known.begun);
        let wetted = known.wetted.clone();
        let named = self.with_former(statement.named.clone(), begun);
        let new: Vec<Surface> = named.iter().filter(|it| !wetted.contains(it)).copied().collect();
        self.stand_elsewhere(stood, statement.number);
        for surface in new.iter().copied() {
            self.named_in(surface, room, begun, statement.number);
            self.make_wet(surface, source, statement.number);
        }
        if is_changed {
            for surface in wetted {
                self.reckon_again(surface, source, ready, statement.number);
            }
            self.stand_by(room, spray);
        }
        if is_changed || !new.is_empty() {
            self.wet_unnamed_again(room, spray, statement.number);
        }
        is_changed || !new.is_empty()
    }

    /// A check that came too early by what is known now has found nothing dry.
    pub(super) fn reckon_again(&mut self, surface: Surface, source: Source, ready: Option<Ready>, by: Number) {
        let record = self.record_mut(surface);
        if let Some(wet) = record.wet.iter_mut().find(|wet| wet.source == source) {
            wet.since = wet.since.max(by);
            self.changed(surface);
            return;
        }
        let of_it = |it: &&Dried| it.wet.iter().any(|wet| wet.source == source);
        // A look after a void came too early as well, if the label is longer than it was known to be.
        let is_early = |it: &Dried| {
            let felt = it.check.map_or(it.done, |check| check.began);
            ready.is_none_or(|ready| !ready.allows_at(felt))
        };
        if record.dried_since(source.number()).find(of_it).is_some_and(is_early) {
            self.make_wet(surface, source, by);
        }
    }

    /// Things of which nobody said which part they are go with the parts that the spray named; and what came before it ended, as is
    /// known now, was sprayed.
    pub(super) fn wet_unnamed_again(&mut self, room: Code, spray: Number, by: Number) {
        let Some(interval) = self.spray(room, spray).map(Spray::interval) else { return };
        let source = Source::Spray { room, number: spray };
        let is_wetted = |it: &Self, guest: Surface| match guest {
            Surface::Thing(_) => it.record(guest).is_some_and(|record| record.was_wet_by(source)),
            Surface::Room { .. } | Surface::Bed { .. } => it.spray(room, spray).is_some_and(|it| it.has_wetted(guest)),
        };
        for guest in self.guests_since(room, interval.0).into_iter().chain(self.astray_at(room, spray)) {
            if self.is_hit(guest, room, spray) && !is_wetted(self, guest) {
                self.make_wet(guest, source, by);
            }
        }
    }

    /// Found damp, wiped, or come as wet: felt no sooner than after this time and the label's minutes.
    pub fn touched(&mut self, surface: Surface, number: Number, at: Time, label: TimeDelta) {
        self.make_wet(surface, Source::Touch { number, at, label }, number);
    }
}

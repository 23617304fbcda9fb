//! Movable things: beds, mattresses, recliners, wheelchairs. What leaves a room carries a tag, by which it is known wherever
//! it goes.
//!
//! Where it is and whether it is wet is the surfaces' to say. Here stands what people noted of its journeys, and that each room
//! that it comes to is inspected.

use std::sync::Arc;

use chrono::TimeDelta;

use super::apply::{No, Reading, closer};
use super::room::{Cause, Room};
use super::state::State;
use super::{Board, ExceptionKind};
use crate::domain::code::{Code, LONGEST_CODE};
use crate::domain::entry::{Body, Entry, Known, Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::rule::Rule;
use crate::domain::surface::{Destination, Move, Step, Surface};

/// A journey that was noted under a tag.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Thing {
    pub tag: String,
    /// The entry by which it left, and when.
    pub number: Number,
    pub left: Time,
    pub from: Code,
    /// The room that it was sent to. None: not stated.
    pub to: Option<Code>,
    /// A place outside the book, as it is called.
    pub outside: String,
    /// The zones of its room that it is. Empty: not stated.
    pub zones: Vec<Zone>,
    /// Its room was clear when it left.
    pub from_clear: bool,
    /// The entry by which it arrived, where, and when.
    pub arrived: Option<(Number, Code, Time)>,
}

/// A tag as a code. What is typed today is one; of what an old ledger holds, its letters.
pub(super) fn tag_code(text: &str) -> Option<Code> {
    let plain = |c: &char| c.is_ascii_alphanumeric() || matches!(c, '-' | '.' | '_' | '/' | ' ');
    Code::new(text).ok().or_else(|| {
        let kept: String = text.chars().filter(plain).take(LONGEST_CODE).collect();
        Code::new(&kept).ok()
    })
}

impl Board {
    /// Journeys under a tag, oldest first; a tag that was used again stands for its newest journey.
    pub fn things(&self) -> impl Iterator<Item = &Thing> {
        self.things.iter()
    }

    /// Things that left and did not arrive yet.
    pub fn things_under_way(&self) -> impl Iterator<Item = &Thing> {
        let is_lost = |thing: &&Thing| tag_code(&thing.tag).is_some_and(|tag| self.is_given_up(tag));
        self.things.iter().filter(|thing| thing.arrived.is_none()).filter(move |thing| !is_lost(thing))
    }

    pub fn thing(&self, tag: &str) -> Option<&Thing> {
        self.things.iter().rev().find(|thing| thing.tag.eq_ignore_ascii_case(tag.trim()))
    }

    /// Whether what carries this tag is wet, as far as is known.
    pub fn is_thing_wet(&self, tag: &str) -> bool {
        let surfaces = tag_code(tag).map(|tag| self.surfaces_tagged(tag)).unwrap_or_default();
        surfaces.into_iter().any(|surface| self.surfaces().is_wet(surface))
    }

    /// The rooms in which what carries this tag may be.
    pub fn rooms_of_thing(&self, tag: &str) -> Vec<Code> {
        let surfaces = tag_code(tag).map(|tag| self.surfaces_tagged(tag)).unwrap_or_default();
        let mut rooms: Vec<Code> = surfaces.into_iter().flat_map(|it| self.surfaces().rooms_of(it)).collect();
        rooms.sort();
        rooms.dedup();
        rooms
    }

    fn surfaces_tagged(&self, tag: Code) -> Vec<Surface> {
        match self.surfaces().of_tag(tag) {
            [] if self.is_bed(tag) => self.parts_of_bed(tag),
            known => known.to_vec(),
        }
    }

    /// Moves what carries this tag, or a bed with all its parts. `parts`: what of the room it is said to be.
    pub(super) fn move_thing(&mut self, tag: Code, parts: &[Surface], moved: Move) {
        let number = moved.number;
        if self.is_bed(tag) {
            // Its parts are known from now on, so that each of them goes along.
            let parts = self.parts_of_bed(tag);
            let surfaces = self.surfaces_mut();
            parts.into_iter().for_each(|part| surfaces.know(part));
            surfaces.bed_moved(tag, moved);
            return;
        }
        let surfaces = self.surfaces_mut();
        // What was given up under it may have turned up.
        surfaces.told_of(tag, number);
        let known: Vec<Surface> = surfaces.of_tag(tag).to_vec();
        let is_part = |surface: &Surface| !matches!(surface, Surface::Thing(_));
        let was_part = known.iter().any(is_part);
        let all = surfaces.named(tag, parts, number);
        // The tag was another part's: either may be meant, and the other one stayed where it was.
        let new: Vec<Surface> =
            all.iter().copied().filter(|it| was_part && is_part(it) && !known.contains(it)).collect();
        if !new.is_empty() {
            new.iter().chain(known.iter().filter(|it| is_part(it))).for_each(|it| surfaces.doubt(tag, *it, number));
        }
        // Said anew of the one part that it ever was said to be.
        let mut real = all.iter().filter(|it| is_part(it));
        if let (Some(only), None, true) = (real.next(), real.next(), !parts.is_empty()) {
            surfaces.sure(tag, *only);
            // And it is no thing of its own.
            surfaces.sure(tag, Surface::Thing(tag));
        }
        // What is all of a bed is that bed: whatever of it moves later goes with it.
        let beds = self.beds_of(tag, &all);
        let surfaces = self.surfaces_mut();
        for bed in beds.iter().copied() {
            surfaces.bed_moved(bed, moved);
        }
        let goes_along = |it: &Surface| matches!(it, Surface::Bed { bed, .. } if beds.contains(bed));
        for surface in all.iter().copied().filter(|it| !goes_along(it)) {
            let is_sure = surfaces.is_surely(tag, surface);
            surfaces.moved(surface, Move { in_doubt: moved.in_doubt || !is_sure, ..moved });
            if !is_sure {
                surfaces.may_be_home(surface, moved);
            }
        }
    }

    /// The beds of which these are all the parts, surely so, and none of which ever went without its bed.
    fn beds_of(&self, tag: Code, parts: &[Surface]) -> Vec<Code> {
        let mut beds: Vec<Code> =
            parts.iter().filter_map(|it| if let Surface::Bed { bed, .. } = it { Some(*bed) } else { None }).collect();
        beds.sort();
        beds.dedup();
        let goes_with_it = |part: &Surface| {
            let is_it = parts.contains(part) && self.surfaces().is_surely(tag, *part);
            is_it && !self.surfaces().is_carried(*part)
        };
        let is_whole = |bed: &Code| {
            // A mattress is no bed, where the list has nothing else of it.
            let all = self.parts_of_bed(*bed);
            all.len() > 1 && all.iter().all(goes_with_it)
        };
        beds.retain(is_whole);
        beds
    }

    pub(super) fn thing_left(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::ThingLeft { thing: tag, zones, to, outside } = &entry.body else { return Ok(()) };
        let code = tag_code(tag);
        let Some(from) = entry.place.first_room().filter(|code| self.facility().room(*code).is_some()) else {
            // Where it goes is closed all the same, as for the worst that it may come from.
            if let Some(to) = to.filter(|to| self.facility().room(*to).is_some()) {
                self.receive(entry, to, false);
                let (at, label) = (entry.happened.min(entry.noted), self.unknown_label());
                for surface in code.map(|tag| self.surfaces_mut().named(tag, &[], entry.number)).unwrap_or_default() {
                    let step = Step::Arrived { at: to, from: None };
                    self.surfaces_mut().moved(surface, Move { at, number: entry.number, step, in_doubt: false });
                    self.surfaces_mut().touched(surface, entry.number, at, label);
                }
            }
            return Err(No::new(Rule::Place, "it does not say which room it left"));
        };
        let was_clear = self.state(from) == State::Clear;
        if let Some(tag) = code {
            let parts: Vec<Surface> = zones.iter().flat_map(|zone| self.surfaces_named(from, *zone)).collect();
            let destination = match to {
                Some(to) if *to != from => Destination::Room(*to),
                Some(_) => Destination::Unknown,
                None if outside.trim().is_empty() => Destination::Unknown,
                None => Destination::Outside,
            };
            let (at, number) = (entry.happened.min(entry.noted), entry.number);
            let step = Step::Left { from, to: destination };
            self.move_thing(tag, &parts, Move { at, number, step, in_doubt: false });
        }
        if self.is_thing_wet(tag) || self.hides_something(from) {
            self.note_exception(entry.number, Some(from), ExceptionKind::LeftWet(tag.trim().to_owned()));
        }
        let thing = Thing {
            tag: tag.trim().to_owned(),
            number: entry.number,
            left: entry.happened,
            from,
            to: *to,
            outside: outside.trim().to_owned(),
            zones: zones.clone(),
            from_clear: was_clear,
            arrived: None,
        };
        let things = Arc::make_mut(&mut self.things);
        things.retain(|known| known.arrived.is_none() || !known.tag.eq_ignore_ascii_case(&thing.tag));
        things.push(thing);
        match to.filter(|to| *to != from) {
            Some(to) => self.receive(entry, to, was_clear),
            // No room that it comes to waits for it: should the note be taken back, somebody may have to look what carries that tag.
            None if !zones.is_empty() => {
                self.room_mut(from).close(closer(entry, Cause::Left { is_asked: false }, vec![]));
            }
            None => {}
        }
        Ok(())
    }

    /// Somebody saw it here: it is here and nowhere else. Whether it is dry only a touch says.
    pub(super) fn thing_seen(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::ThingSeen { thing } = &entry.body else { return Ok(()) };
        // It closes, however late it is noted.
        if let Some(bag) = tag_code(thing).filter(|tag| self.is_bag_written_off(*tag)) {
            self.bag_seen(entry, bag);
            return Ok(());
        }
        self.fact_counts(reading, false)?;
        let zone = Zone::parse(thing.trim()).map_err(|error| No::new(Rule::Target, error.to_string()))?;
        for code in self.rooms_of(&entry.place) {
            if !self.is_seen_as(code, zone) {
                let text = format!("nothing was ever noted under the tag {zone}, and room {code} has no such zone");
                return Err(No::new(Rule::Target, text));
            }
            self.see_named(code, zone, entry.happened.min(entry.noted), entry.number);
        }
        Ok(())
    }

    pub(super) fn thing_arrived(&mut self, entry: &Entry) {
        let Body::ThingArrived { thing: tag, from, wet } = &entry.body else { return };
        // By its tag the thing brings along what nobody said of it.
        let known = self.thing(tag).filter(|thing| thing.arrived.is_none()).cloned();
        let came_from = from.or(known.as_ref().map(|thing| thing.from));
        let is_clear = |code: Code| self.room(code).is_some() && self.state(code) == State::Clear;
        let clear = came_from.is_some_and(is_clear) && known.as_ref().is_none_or(|thing| thing.from_clear);
        // The first room is the one that it came to; the entry names the one that it came from besides. Where it names none, it may
        // be in any of them.
        let in_doubt = entry.place.first_room().is_none();
        let mut rooms: Vec<Code> = self.plans(entry).iter().map(|plan| plan.code).collect();
        rooms.truncate(if in_doubt { usize::MAX } else { 1 });
        if let Some(code) = tag_code(tag) {
            for here in &rooms {
                let (at, number) = (entry.happened.min(entry.noted), entry.number);
                let step = Step::Arrived { at: *here, from: *from };
                self.move_thing(code, &[], Move { at, number, step, in_doubt });
            }
            self.arrived_wet(entry, code, *wet, came_from);
        }
        for here in &rooms {
            self.receive(entry, *here, clear);
        }
        let arrived = entry.place.first_room().and(rooms.first()).map(|here| (entry.number, *here, entry.happened));
        match known {
            Some(known) => {
                let is_it = |thing: &&mut Thing| thing.number == known.number;
                Arc::make_mut(&mut self.things).iter_mut().filter(is_it).for_each(|thing| thing.arrived = arrived);
            }
            None => {
                if let (Some(from), Some(_)) = (from, arrived) {
                    let (number, left, tag) = (entry.number, entry.happened, tag.trim().to_owned());
                    let thing = Thing {
                        tag,
                        number,
                        left,
                        from: *from,
                        to: None,
                        outside: String::new(),
                        zones: vec![],
                        from_clear: clear,
                        arrived,
                    };
                    Arc::make_mut(&mut self.things).push(thing);
                }
            }
        }
    }

    /// Said to be wet, or not known to be dry, though by what is noted it is not: nobody knows when it was sprayed. So too what
    /// comes out of a room with a line that nobody can read.
    fn arrived_wet(&mut self, entry: &Entry, tag: Code, wet: Known, from: Option<Code>) {
        let is_hidden = from.is_some_and(|from| self.hides_something(from));
        if wet == Known::No && !is_hidden {
            return;
        }
        let at = entry.happened.min(entry.noted);
        for surface in self.surfaces_tagged(tag) {
            // What is noted says of what, and for how long, as long as it stands; that it came as wet is said besides.
            let is_explained = self.surfaces().is_wet(surface);
            let label = if is_explained { TimeDelta::zero() } else { self.unknown_label() };
            self.surfaces_mut().touched(surface, entry.number, at, label);
        }
    }

    /// Whether a thing with this tag, or out of this room, is wet by what is noted: what comes out of a wet room is wet until
    /// somebody has felt it, whatever is said of it.
    pub fn comes_wet(&self, tag: &str, from: Option<Code>) -> bool {
        let is_unknown = tag_code(tag).is_none_or(|tag| self.surfaces_tagged(tag).is_empty());
        let is_wet_there = |room: &Room| room.dryness().is_wet();
        let from_wet =
            |code: Code| self.hides_something(code) || (is_unknown && self.room(code).is_some_and(is_wet_there));
        let from = from.or(self.thing(tag).filter(|thing| thing.arrived.is_none()).map(|thing| thing.from));
        self.is_thing_wet(tag) || from.is_some_and(from_wet)
    }

    /// Closes the room that a thing comes to: it is inspected.
    pub(super) fn receive(&mut self, entry: &Entry, code: Code, clear: bool) {
        if self.facility().room(code).is_none() {
            return;
        }
        let cause = if clear { Cause::Received } else { Cause::Suspicion { physical: false } };
        let room = self.room_mut(code);
        room.newest = room.newest.max(entry.number);
        room.close(closer(entry, cause, vec![Need::Inspected]));
    }

    /// A journey that was taken back may have been one all the same: until the thing is seen it may be in either room. Says
    /// whether there was one of that number.
    pub(super) fn void_thing(&mut self, entry: &Entry, target: Number, rooms: &[Code]) -> bool {
        let is_it =
            |thing: &Thing| thing.number == target || thing.arrived.is_some_and(|(number, ..)| number == target);
        if self.things.iter().any(is_it) {
            let things = Arc::make_mut(&mut self.things);
            things.retain(|thing| thing.number != target);
            things.iter_mut().filter(|thing| is_it(thing)).for_each(|thing| thing.arrived = None);
        }
        let found = self.surfaces_mut().void_move(target, rooms, entry.number);
        self.surfaces().tags_said_by(target).into_iter().for_each(|tag| self.ask_which(tag));
        found
    }

    /// What carries the tag may be one of several parts, and a note that said so is taken back: somebody looks, where that note
    /// closed no room by itself.
    pub(super) fn ask_which(&mut self, tag: Code) {
        for (number, room) in self.surfaces().left_in_doubt(tag) {
            let room = self.room_mut(room);
            room.ask_after_leaving(number);
        }
    }
}

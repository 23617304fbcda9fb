//! Movable things: beds, mattresses, recliners, wheelchairs. What leaves a room carries its tag, and by the tag its wetness
//! and the room that it came from, until it arrives.
//!
//! What its own room still waits for (to be treated, to be found dry) stays asked there; the room that it goes to is closed
//! for it from the moment it leaves.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::TimeDelta;

use super::apply::{No, Reading, closer};
use super::room::{Cause, Closer, Room, Span};
use super::state::State;
use super::{Board, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Known, Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::rule::Rule;

/// A thing that left a room under a tag.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Thing {
    pub tag: String,
    /// The entry by which it left, and when.
    pub number: Number,
    pub left: Time,
    pub from: Code,
    /// The room that it was sent to. None: not stated.
    pub to: Option<Code>,
    /// The zones of its room that it is. Empty: not stated.
    pub zones: Vec<Zone>,
    /// Its room was clear when it left.
    pub from_clear: bool,
    /// It was sprayed and not found dry when it left. Not stated which zones it is: wet if anything there was.
    pub wet: bool,
    /// The entry by which it arrived, where, and when.
    pub arrived: Option<(Number, Code, Time)>,
}

/// When a thing that comes may be felt.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Wetness {
    Dry,
    /// Wet, and felt from then on: the label's minimum goes along.
    FeltFrom(Time),
    /// Wet from sprays of which the end or the label's words are not on file: no check of it counts before they are. What is
    /// known of them goes along: when the last began and ended, and the longest label.
    Unstated {
        begun: Option<Time>,
        finished: Option<Time>,
        label: Option<TimeDelta>,
    },
}

/// What wets a thing in the room that it left: by what was noted before it left, or what had happened by then. Where nobody
/// said which zones it is, all of them.
fn wetting<'a>(room: &'a Room, thing: &'a Thing) -> impl Iterator<Item = &'a Closer> {
    let of_thing = |need: &Need| match need {
        Need::Dry(zone) => thing.zones.is_empty() || thing.zones.contains(zone),
        _ => false,
    };
    let wets = move |c: &&Closer| c.needs.iter().any(|need| of_thing(need) && room.met(c, *need).is_none());
    room.unsettled().filter(|c| c.number < thing.number || c.earliest() <= thing.left).filter(wets)
}

impl Board {
    /// Things that left a room under a tag, oldest first; a tag that was used again stands for its newest journey.
    pub fn things(&self) -> impl Iterator<Item = &Thing> {
        self.things.iter()
    }

    /// Things that left and did not arrive yet.
    pub fn things_under_way(&self) -> impl Iterator<Item = &Thing> {
        self.things.iter().filter(|thing| thing.arrived.is_none())
    }

    pub fn thing(&self, tag: &str) -> Option<&Thing> {
        self.things.iter().rev().find(|thing| thing.tag.eq_ignore_ascii_case(tag.trim()))
    }

    pub(super) fn thing_left(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::ThingLeft { thing: tag, zones, to } = &entry.body else { return Ok(()) };
        let Some(from) = entry.place.first_room().filter(|code| self.facility().room(*code).is_some()) else {
            // Where it goes is closed all the same, as for the worst that it may come from.
            if let Some(to) = *to {
                self.receive(entry, to, tag, false, self.unknown_spray(entry.happened));
            }
            return Err(No::new(Rule::Place, "it does not say which room it left"));
        };
        let thing = Thing {
            tag: tag.trim().to_owned(),
            number: entry.number,
            left: entry.happened,
            from,
            to: *to,
            zones: zones.clone(),
            from_clear: self.state(from) == State::Clear,
            wet: self.is_wet(from, zones),
            arrived: None,
        };
        let clear = thing.from_clear;
        let wetness = if thing.wet { self.wetness(&thing, entry.happened) } else { Wetness::Dry };
        let things = Arc::make_mut(&mut self.things);
        things.retain(|known| known.arrived.is_none() || !known.tag.eq_ignore_ascii_case(&thing.tag));
        things.push(thing);
        if wetness != Wetness::Dry {
            self.note_exception(entry.number, Some(from), ExceptionKind::LeftWet(tag.trim().to_owned()));
        }
        if let Some(to) = to.filter(|to| *to != from) {
            self.receive(entry, to, tag, clear, wetness);
        }
        Ok(())
    }

    pub(super) fn thing_arrived(&mut self, entry: &Entry) {
        let Body::ThingArrived { thing: tag, from, wet } = &entry.body else { return };
        // By its tag the thing brings along what nobody said of it.
        let known = self.thing(tag).filter(|thing| thing.arrived.is_none()).cloned();
        let by_record = self.comes_wet(tag, *from);
        let said_wet = *wet != Known::No;
        let from = from.or(known.as_ref().map(|thing| thing.from));
        let is_clear = |code: Code| self.room(code).is_some() && self.state(code) == State::Clear;
        let clear = from.is_some_and(is_clear) && known.as_ref().is_none_or(|thing| thing.from_clear);
        let rooms: Vec<Code> = self.plans(entry).iter().map(|plan| plan.code).collect();
        let arrived = rooms.first().map(|here| (entry.number, *here, entry.happened));
        let known_number = known.as_ref().map(|thing| thing.number);
        let journey = known.filter(|thing| from == Some(thing.from)).or_else(|| {
            let (number, left, zones) = (entry.number, entry.happened, vec![]);
            let tag = tag.trim().to_owned();
            from.map(|from| Thing { tag, number, left, from, to: None, zones, from_clear: clear, wet: false, arrived })
        });
        let wetness = match &journey {
            Some(thing) if by_record => self.wetness(thing, entry.happened),
            // Nobody knows when it was sprayed.
            _ if said_wet || by_record => self.unknown_spray(entry.happened),
            _ => Wetness::Dry,
        };
        for code in &rooms {
            self.receive(entry, *code, tag, clear, wetness);
        }
        let things = Arc::make_mut(&mut self.things);
        for thing in things.iter_mut().filter(|thing| Some(thing.number) == known_number) {
            thing.arrived = arrived.or(thing.arrived);
        }
        if let (Some(journey), Some(_)) = (journey, arrived) {
            things.retain(|thing| thing.number != journey.number);
            things.push(Thing { arrived, wet: wetness != Wetness::Dry, ..journey });
            things.sort_by_key(|thing| thing.number);
        }
    }

    /// What comes to light of a room, by a late note or a void, is true of what had left it: there it is wet, too.
    pub(super) fn wet_what_left(&mut self, entry: &Entry, rooms: &[Code]) {
        let from_here = |thing: &&Thing| !thing.wet && rooms.contains(&thing.from) && thing.number < entry.number;
        let dry: Vec<Thing> = self.things.iter().filter(from_here).cloned().collect();
        for thing in dry {
            let here = thing.arrived.map(|(_, room, _)| room).or(thing.to).filter(|here| *here != thing.from);
            let is_wet = self.room(thing.from).is_some_and(|room| wetting(room, &thing).next().is_some());
            if !is_wet {
                continue;
            }
            let things = Arc::make_mut(&mut self.things).iter_mut().filter(|it| it.number == thing.number);
            things.for_each(|it| it.wet = true);
            if let Some(here) = here {
                let wetness = self.wetness(&thing, entry.happened);
                self.receive(entry, here, &thing.tag, thing.from_clear, wetness);
            }
        }
    }

    /// A clock was called wrong: a thing may have left later, and what wetted it may have ended later.
    pub(super) fn retime_things(&mut self, entry: &Entry, spans: &BTreeMap<Number, Span>, rooms: &[Code]) {
        for thing in Arc::make_mut(&mut self.things).iter_mut() {
            if let Some(span) = spans.get(&thing.number) {
                thing.left = thing.left.max(span.latest);
            }
        }
        let from_here = |thing: &&Thing| thing.wet && rooms.contains(&thing.from);
        let wet: Vec<Thing> = self.things.iter().filter(from_here).cloned().collect();
        for thing in wet {
            let here = thing.arrived.map(|(_, room, _)| room).or(thing.to).filter(|here| *here != thing.from);
            let is_late = |room: &Room| wetting(room, &thing).any(|closer| spans.contains_key(&closer.number));
            if let Some(here) = here.filter(|_| self.room(thing.from).is_some_and(is_late)) {
                let wetness = self.wetness(&thing, entry.happened);
                self.receive(entry, here, &thing.tag, thing.from_clear, wetness);
            }
        }
        self.wet_what_left(entry, rooms);
    }

    /// Whether a thing with this tag, or out of this room, is wet by what is noted: what comes out of a wet room is wet until
    /// somebody has felt it, whatever is said of it.
    pub fn comes_wet(&self, tag: &str, from: Option<Code>) -> bool {
        let known = self.thing(tag).filter(|thing| thing.arrived.is_none());
        let still_wet = known.is_some_and(|thing| thing.wet && self.is_wet(thing.from, &thing.zones));
        let from = from.or(known.map(|thing| thing.from));
        let from_wet = |room: Code| self.state(room) == State::TreatedWet || self.hides_something(room);
        still_wet || from.is_some_and(from_wet)
    }

    /// When a thing out of a wet room may be felt: by the slowest of what wets it.
    fn wetness(&self, thing: &Thing, now: Time) -> Wetness {
        let Some(room) = self.room(thing.from).filter(|_| !self.hides_something(thing.from)) else {
            return self.unknown_spray(now);
        };
        let ready = wetting(room, thing).map(|c| room.ready(c).map(|(ready, _)| ready.not_before));
        match ready.collect::<Option<Vec<Time>>>() {
            None => {
                let of = || wetting(room, thing);
                // One that is not known leaves the whole unknown.
                let all_known = |times: Option<Vec<Time>>| times.and_then(|times| times.into_iter().max());
                Wetness::Unstated {
                    begun: of().filter_map(|c| c.begun).max(),
                    finished: all_known(of().map(|c| c.finished).collect()),
                    label: of().map(|c| c.label).collect::<Option<Vec<_>>>().and_then(|all| all.into_iter().max()),
                }
            }
            Some(times) => Wetness::FeltFrom(times.into_iter().max().unwrap_or(now)),
        }
    }

    /// Of a spray that is not on file: the longest of the labels' minimums from now on.
    fn unknown_spray(&self, now: Time) -> Wetness {
        Wetness::FeltFrom(now.checked_add_signed(self.longest_label()).unwrap_or(Time::MAX_UTC))
    }

    /// Closes the room that a thing comes to: it is inspected, and what is wet is felt there under the thing's own tag.
    fn receive(&mut self, entry: &Entry, code: Code, tag: &str, clear: bool, wetness: Wetness) {
        if self.facility().room(code).is_none() {
            return;
        }
        let cause = if clear { Cause::Received } else { Cause::Suspicion { physical: false } };
        let room = self.room_mut(code);
        room.newest = room.newest.max(entry.number);
        room.close(closer(entry, cause, vec![Need::Inspected]));
        let felt = vec![Need::Dry(Zone { bed: None, part: Code::new(tag).unwrap_or(code) })];
        match wetness {
            Wetness::Dry => {}
            Wetness::FeltFrom(at) => {
                let mut wet = closer(entry, Cause::Damp, felt);
                wet.felt_from = Some(at);
                room.close(wet);
            }
            Wetness::Unstated { begun, finished, label } => {
                let mut wet = closer(entry, Cause::Spray, felt);
                (wet.begun, wet.finished, wet.label) = (begun, finished, label);
                wet.needs.extend(finished.is_none().then_some(Need::FinishNamed));
                wet.needs.extend(label.is_none().then_some(Need::LabelNamed));
                room.close(wet);
            }
        }
    }

    /// A line of the room that nobody can read, and nobody has attested, may have been a spray.
    fn hides_something(&self, code: Code) -> bool {
        let unread = |room: &Room| room.unsettled().any(|closer| matches!(closer.cause, Cause::Damage { .. }));
        self.everywhere().next().is_some() || self.room(code).is_some_and(unread)
    }

    /// Whether any of these zones was sprayed and not found dry; of none named, whether the room is wet at all.
    fn is_wet(&self, code: Code, zones: &[Zone]) -> bool {
        if self.hides_something(code) {
            return true;
        }
        // A voided spray may be wet all the same.
        let wets = |need: &Need| matches!(need, Need::Dry(zone) if zones.contains(zone)) || *need == Need::ZonesNamed;
        let waits = |room: &Room| {
            room.unsettled().any(|c| c.needs.iter().any(|need| wets(need) && room.met(c, *need).is_none()))
        };
        match zones.is_empty() {
            true => self.state(code) == State::TreatedWet,
            false => self.room(code).is_some_and(waits),
        }
    }

    /// Takes back a journey. Says whether there was one of that number.
    pub(super) fn void_thing(&mut self, target: Number) -> bool {
        let is_it =
            |thing: &Thing| thing.number == target || thing.arrived.is_some_and(|(number, ..)| number == target);
        if !self.things.iter().any(is_it) {
            return false;
        }
        let things = Arc::make_mut(&mut self.things);
        things.retain(|thing| thing.number != target);
        things.iter_mut().filter(|thing| is_it(thing)).for_each(|thing| thing.arrived = None);
        true
    }
}

//! What is wet, and where.
//!
//! Wetness belongs to a *surface*; a surface has a place at every time, which is a set of rooms; both are worked out from
//! all entries, in whatever order they come to light. Late news only adds: an entry about the past may add a wetting or a
//! place, and never undoes one that was counted. Only a touch, a look, or what two people correct takes wetness away.
//!
//! Nothing here knows people, roles or settings: [`crate::domain::board`] says which entries count, and asks what is wet.

mod less;
mod place;
mod record;
mod replace;
mod retime;
mod spray;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

use chrono::TimeDelta;

use super::code::Code;
use super::entry::{Number, Time};
use super::facility::Zone;
use crate::domain::clock::AFTER_ALL;
pub use less::Less;
pub use place::{Destination, Move, Step};
use place::{Track, Visit};
use record::Felt;
use record::Record;
pub use record::{Check, Dried, NotYet, Source, Wet, WetNow};
pub use replace::Replaced;
pub use retime::Span;
pub use spray::{CLOCK_TOLERANCE, Ready, Spray, Statement, span_slack};

/// Whatever can be wet.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// A fixed part of a room. Where one leaves under a tag, it is this surface still.
    Room { room: Code, part: Code },
    /// A part of a bed, which goes where its bed goes until it is taken out.
    Bed { bed: Code, part: Code },
    /// What carries this tag, and nobody said which part of which room or bed it is.
    Thing(Code),
}

impl Surface {
    /// The room, bed or tag that it is kept with.
    fn owner(self) -> Code {
        match self {
            Self::Room { room, .. } => room,
            Self::Bed { bed, .. } => bed,
            Self::Thing(tag) => tag,
        }
    }

    /// As it is named in its own room.
    pub fn zone(self) -> Zone {
        match self {
            Self::Room { part, .. } => Zone { bed: None, part },
            Self::Bed { bed, part } => Zone { bed: Some(bed), part },
            Self::Thing(tag) => Zone { bed: None, part: tag },
        }
    }
}

impl fmt::Debug for Surface {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Room { room, part } => write!(f, "{room}/{part}"),
            Self::Bed { bed, part } => write!(f, "{bed}/{part}"),
            Self::Thing(tag) => write!(f, "{tag}"),
        }
    }
}

/// The parts of one room or bed, or one thing, as far as anything is known of them; of a bed also where it was rolled.
#[derive(Clone, Debug, Default)]
struct Group {
    bed: Track,
    /// The room in which the book first had the bed.
    home: Option<Code>,
    parts: Vec<(Surface, Record)>,
}

/// What was changed by an entry, for the board to draw its conclusions from.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    /// The rooms in which something may be wet that was not, dry that was wet, here that was elsewhere, or gone.
    pub rooms: BTreeSet<Code>,
    /// What may be in a room now and was not before, with the rooms in which it may have been before.
    pub gained: Vec<(Surface, Code, Vec<Code>)>,
}

/// Every surface that was ever wet or moved, and every spray. What never moved and was never wet has no record.
#[derive(Clone, Debug, Default)]
pub struct Surfaces {
    groups: BTreeMap<Code, Arc<Group>>,
    sprays: BTreeMap<Code, Arc<Vec<Spray>>>,
    /// Which surfaces a tag stands for. Said to be two, it is both: which of them is meant is known of none that was said later.
    tags: BTreeMap<Code, Vec<Surface>>,
    doubtful: BTreeSet<(Code, Surface)>,
    /// Which surfaces with moves of their own ever were in a room, and which beds that were rolled.
    visitors: BTreeMap<Code, BTreeSet<Surface>>,
    rolled: BTreeMap<Code, BTreeSet<Code>>,
    /// The room that the book gave each bed last.
    booked: BTreeMap<Code, Code>,
    /// The same read the other way.
    booked_in: BTreeMap<Code, BTreeSet<Code>>,
    changes: Changes,
}

/// A spray as it was first noted, or wiping, or what was found wet.
#[derive(Clone, Debug)]
pub struct Sprayed {
    pub number: Number,
    pub room: Code,
    pub begun: Time,
    pub noted: Time,
    pub ended: Option<Time>,
    pub label: Option<TimeDelta>,
    /// None: everything that may have been there.
    pub named: Option<Vec<Surface>>,
    /// The room's own parts and those of its beds, at that time.
    pub own: Vec<Surface>,
    pub terminal: String,
    /// False: wiped, or found damp.
    pub is_spray: bool,
}

impl Surfaces {
    // Reading.

    fn record(&self, surface: Surface) -> Option<&Record> {
        let group = self.groups.get(&surface.owner())?;
        group.parts.iter().find(|(known, _)| *known == surface).map(|(_, record)| record)
    }

    fn record_mut(&mut self, surface: Surface) -> &mut Record {
        let group = Arc::make_mut(self.groups.entry(surface.owner()).or_default());
        let at = match group.parts.iter().position(|(known, _)| *known == surface) {
            Some(at) => at,
            None => {
                group.parts.push((surface, Record::default()));
                group.parts.len() - 1
            }
        };
        &mut group.parts[at].1
    }

    /// Every surface of this room, bed or tag of which anything is known.
    pub fn known_of(&self, owner: Code) -> impl Iterator<Item = Surface> + '_ {
        self.groups.get(&owner).into_iter().flat_map(|group| group.parts.iter().map(|(surface, _)| *surface))
    }

    /// Where it stood at every time, oldest first, and the rooms in which it may be now.
    fn visits(&self, surface: Surface) -> (Vec<Visit>, Vec<Code>) {
        let nothing = Track::default();
        let own = self.record(surface).map_or(&nothing, |record| &record.track);
        let believed = |room: Code, at: Time, number: Number| self.believed_back_to(room, at, number);
        match surface {
            Surface::Room { room, .. } => place::visits(&[room], &nothing, own, &believed),
            Surface::Thing(_) => place::visits(&own.origin(), &nothing, own, &believed),
            Surface::Bed { bed, .. } => {
                let group = self.groups.get(&bed);
                // What took a part's place goes with the bed from then on, and came from elsewhere.
                if let Some((number, at, room)) = self.record(surface).and_then(|record| record.since) {
                    let since = group.map(|it| it.bed.since(at, number)).unwrap_or_default();
                    return place::visits_of_new(&own.origin(), room, &since, own, &believed);
                }
                let home: Vec<Code> = group.and_then(|it| it.home).into_iter().collect();
                place::visits(&home, group.map_or(&nothing, |it| &it.bed), own, &believed)
            }
        }
    }

    /// A move's time is believed only back to the last spray that was noted before it: whoever notes a leaving afterwards may
    /// have its time wrong.
    fn believed_back_to(&self, room: Code, at: Time, number: Number) -> Time {
        let sprays = self.sprays.get(&room).into_iter().flat_map(|all| all.iter());
        sprays.filter(|it| it.number < number).map(|it| it.interval().1).fold(at, Time::max)
    }

    /// The rooms in which it may have stood at any time since.
    pub fn rooms_since(&self, surface: Surface, since: Time) -> Vec<Code> {
        let mut rooms: Vec<Code> =
            self.visits(surface).0.iter().filter(|it| it.until >= since).map(|it| it.room).collect();
        rooms.sort();
        rooms.dedup();
        rooms
    }

    /// The beds that the book had in this room last.
    pub fn beds_booked(&self, room: Code) -> Vec<Code> {
        self.booked_in.get(&room).into_iter().flatten().copied().collect()
    }

    /// It may have stayed where it belongs all the while.
    pub fn may_be_home(&mut self, surface: Surface, by: Move) {
        let home = match surface {
            Surface::Room { room, .. } => Some(room),
            Surface::Bed { bed, .. } => self.booked_room(bed),
            Surface::Thing(_) => None,
        };
        let last = self.record(surface).and_then(|record| record.track.last()).unwrap_or(by.at);
        let Some(home) = home else { return };
        // Also when something was seen under its tag: that may have been the other one.
        for seen in self.record(surface).map(|record| record.track.seen()).unwrap_or_default() {
            self.record_mut(surface).track.add(Move { step: Step::Named { at: home }, ..seen });
        }
        self.moved(surface, Move { at: last.max(by.at), step: Step::Named { at: home }, ..by });
        self.check_again(surface, by);
    }

    /// Whether any move of it was noted.
    pub fn is_moved(&self, surface: Surface) -> bool {
        self.has_moves(surface)
    }

    fn has_moves(&self, surface: Surface) -> bool {
        let own = self.record(surface).is_some_and(|record| !record.track.is_empty());
        let with_bed = match surface {
            Surface::Bed { bed, .. } => self.groups.get(&bed).is_some_and(|it| !it.bed.is_empty()),
            _ => false,
        };
        own || with_bed
    }

    /// The rooms in which it may be now. Empty: outside the hospital's book, or nobody ever said.
    pub fn rooms_of(&self, surface: Surface) -> Vec<Code> {
        if !self.has_moves(surface) {
            return match surface {
                Surface::Room { room, .. } => vec![room],
                Surface::Bed { bed, .. } => self.groups.get(&bed).and_then(|it| it.home).into_iter().collect(),
                Surface::Thing(_) => vec![],
            };
        }
        self.visits(surface).1
    }

    /// It may be elsewhere than in this room, and nobody saw it here last; or every note that it came was taken back.
    pub fn is_uncertain(&self, surface: Surface, room: Code) -> bool {
        if !self.has_moves(surface) {
            return false;
        }
        let track = self.record(surface).map(|record| &record.track);
        let is_seen_here = track.is_some_and(|it| it.seen().last().is_some_and(|seen| seen.step.rooms() == [room]));
        let is_nowhere = matches!(surface, Surface::Thing(_)) && track.is_some_and(Track::is_in_doubt);
        is_nowhere || (self.rooms_of(surface).len() > 1 && !is_seen_here)
    }

    /// The rooms in which it may have stood at this time, by what was noted before this entry.
    pub fn rooms_at(&self, surface: Surface, at: Time, number: Number) -> Vec<Code> {
        if !self.has_moves(surface) {
            return self.rooms_of(surface);
        }
        let (visits, _) = self.visits(surface);
        let mut rooms: Vec<Code> = visits.iter().filter(|it| it.holds(at, number)).map(|it| it.room).collect();
        rooms.sort();
        rooms.dedup();
        rooms
    }

    /// Whether it may have been in the room at any moment between these times.
    fn may_have_been(&self, surface: Surface, room: Code, (from, until): (Time, Time)) -> bool {
        if let (Surface::Room { room: home, .. }, false) = (surface, self.has_moves(surface)) {
            return home == room;
        }
        self.visits(surface).0.iter().any(|it| it.room == room && it.from <= until && it.until >= from)
    }

    /// What with moves of its own, or on a rolled bed, may be or may have been in the room since this time.
    pub fn guests_since(&self, room: Code, since: Time) -> Vec<Surface> {
        let mut guests: Vec<Surface> = self.visitors.get(&room).into_iter().flatten().copied().collect();
        for bed in self.rolled.get(&room).into_iter().flatten() {
            guests.extend(self.known_of(*bed));
        }
        guests.sort();
        guests.dedup();
        guests.retain(|guest| self.may_have_been(*guest, room, (since, AFTER_ALL)));
        guests
    }

    /// What with moves of its own, or on a rolled bed, may be in the room now.
    pub fn guests(&self, room: Code) -> Vec<Surface> {
        let mut guests = self.guests_since(room, AFTER_ALL);
        guests.retain(|guest| self.rooms_of(*guest).contains(&room));
        guests
    }

    /// The surfaces that a tag stands for. Empty: no thing was noted under it.
    pub fn of_tag(&self, tag: Code) -> &[Surface] {
        self.tags.get(&tag).map_or(&[], Vec::as_slice)
    }

    pub fn is_tag(&self, code: Code) -> bool {
        self.tags.contains_key(&code)
    }

    /// Every tag under which something left or came.
    pub fn tags(&self) -> impl Iterator<Item = (Code, &[Surface])> {
        self.tags.iter().map(|(tag, surfaces)| (*tag, surfaces.as_slice()))
    }

    /// Whether the tag stands for this surface and for no other that it might be meant for.
    pub fn is_surely(&self, tag: Code, surface: Surface) -> bool {
        !self.doubtful.contains(&(tag, surface))
    }

    /// It is said to be this surface now, and was said to be another before.
    pub fn doubt(&mut self, tag: Code, surface: Surface) {
        self.doubtful.insert((tag, surface));
    }

    /// It was seen under its own name: a tag that was said to be this or another stands for the other, and what wetted the one
    /// under that tag wetted the other.
    pub fn seen_as_itself(&mut self, surface: Surface, number: Number) {
        let tags: Vec<Code> = self.doubtful.iter().filter(|(_, it)| *it == surface).map(|(tag, _)| *tag).collect();
        for tag in tags {
            self.doubtful.remove(&(tag, surface));
            let others = self.tags.entry(tag).or_default();
            others.retain(|it| *it != surface);
            let others = others.clone();
            let mut parts = others.iter().filter(|it| !matches!(it, Surface::Thing(_)));
            if let (Some(only), None) = (parts.next(), parts.next()) {
                self.doubtful.remove(&(tag, *only));
            }
            self.record_mut(surface).tag.take_if(|known| *known == tag);
            let wet = self.record(surface).map(|record| record.wet.clone()).unwrap_or_default();
            for other in others {
                wet.iter().for_each(|it| self.make_wet(other, it.source, number));
            }
        }
    }

    /// The newest tag under which this surface goes, where it has one.
    pub fn tag_of(&self, surface: Surface) -> Option<Code> {
        if let Surface::Thing(tag) = surface {
            return Some(tag);
        }
        self.record(surface).and_then(|record| record.tag)
    }

    /// The room that the book gave this bed last.
    pub fn booked_room(&self, bed: Code) -> Option<Code> {
        self.booked.get(&bed).copied()
    }

    /// What keeps it wet, and when it may be felt. None: it is dry, as far as is known.
    pub fn wet(&self, surface: Surface) -> Option<WetNow> {
        let record = self.record(surface).filter(|record| !record.wet.is_empty())?;
        let ready: Option<Vec<Ready>> = record.wet.iter().map(|wet| self.ready_of(wet.source)).collect();
        Some(WetNow {
            by: record.wet.iter().map(|wet| wet.source.number()).collect(),
            since: record.wet.iter().map(|wet| wet.since).max().unwrap_or_default(),
            ready: ready.and_then(|all| all.into_iter().reduce(Ready::later)),
        })
    }

    pub fn is_wet(&self, surface: Surface) -> bool {
        self.record(surface).is_some_and(|record| !record.wet.is_empty())
    }

    /// The newest entry by which it was found dry, and when that was done.
    pub fn dried(&self, surface: Surface) -> Option<(Number, Time)> {
        self.record(surface)?.dried.last().map(|it| (it.by, it.done))
    }

    pub fn spray(&self, room: Code, number: Number) -> Option<&Spray> {
        let all = self.sprays.get(&room)?;
        all.binary_search_by_key(&number, |it| it.number).ok().and_then(|at| all.get(at))
    }

    fn spray_mut(&mut self, room: Code, number: Number) -> Option<&mut Spray> {
        let all = self.sprays.get_mut(&room)?;
        let at = all.binary_search_by_key(&number, |it| it.number).ok()?;
        Arc::make_mut(all).get_mut(at)
    }

    /// The sprays of a room, oldest entry first.
    pub fn sprays(&self, room: Code) -> &[Spray] {
        self.sprays.get(&room).map_or(&[], |all| all.as_slice())
    }

    fn ready_of(&self, source: Source) -> Option<Ready> {
        match source {
            Source::Spray { room, number } => self.spray(room, number)?.ready(),
            Source::Touch { at, label, .. } => Some(Ready::new(at, label)),
        }
    }

    /// Whether everything that this spray wetted was found dry; the end of the last check or look.
    pub fn dry_since(&self, room: Code, number: Number) -> Option<Time> {
        let spray = self.spray(room, number)?;
        let source = Source::Spray { room, number };
        let mut last = spray.begun;
        for record in spray.wetted.iter().filter_map(|surface| self.record(*surface)) {
            if record.wet.iter().any(|wet| wet.source == source) {
                return None;
            }
            let of_it = |it: &&Dried| it.wet.iter().any(|wet| wet.source == source);
            last = record.dried_since(number).filter(of_it).map(|it| it.done).fold(last, Time::max);
        }
        Some(last)
    }

    /// What an entry changed, once.
    pub fn take_changes(&mut self) -> Changes {
        std::mem::take(&mut self.changes)
    }

    /// The beds that were ever rolled into or out of this room.
    pub fn beds_rolled(&self, room: Code) -> impl Iterator<Item = Code> + '_ {
        self.rolled.get(&room).into_iter().flatten().copied()
    }

    pub fn has_changes(&self) -> bool {
        !self.changes.rooms.is_empty() || !self.changes.gained.is_empty()
    }

    // What wets.

    fn changed(&mut self, surface: Surface) {
        let rooms = self.rooms_of(surface);
        self.changes.rooms.extend(rooms);
    }

    /// Wets a surface from this entry on, also one that the same source had wetted and somebody had found dry.
    fn make_wet(&mut self, surface: Surface, source: Source, since: Number) {
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
        self.changed(surface);
    }

    /// Notes a spray. Gives what it wetted.
    pub fn sprayed(&mut self, it: Sprayed) -> Vec<Surface> {
        let Sprayed { number, room, begun, noted, ended, label, named, own, terminal, is_spray } = it;
        let begun = begun.min(noted);
        let known = self.sprays.entry(room).or_default();
        let at = known.partition_point(|it| it.number < number);
        let mut spray = Spray::new(number, begun, noted, ended, label, named.clone(), terminal);
        spray.is_spray = is_spray;
        let interval = spray.interval();
        Arc::make_mut(known).insert(at, spray);
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
        wetted.extend(guests.into_iter().filter(|guest| self.is_hit(*guest, room, number)));
        if named.is_none() {
            wetted.retain(|surface| self.may_have_been(*surface, room, interval));
        }
        wetted.sort();
        wetted.dedup();
        for surface in &wetted {
            self.make_wet(*surface, Source::Spray { room, number }, number);
        }
        wetted
    }

    /// Whether a spray hit what may have been there: it names it, or names nothing, or it is not known which part it is.
    fn is_hit(&self, surface: Surface, room: Code, spray: Number) -> bool {
        let Some(spray) = self.spray(room, spray) else { return false };
        let unknown = matches!(surface, Surface::Thing(_));
        let hits = match &spray.named {
            None => true,
            Some(named) => self.is_among(surface, named) || (unknown && self.may_be_one_of(surface, room, spray)),
        };
        hits && self.may_have_been(surface, room, spray.interval())
    }

    /// Whether it is named, also by a tag that it was said to carry later.
    fn is_among(&self, surface: Surface, named: &[Surface]) -> bool {
        let by_tag = |it: &Surface| matches!(it, Surface::Thing(tag) if self.of_tag(*tag).contains(&surface));
        named.contains(&surface) || named.iter().any(by_tag)
    }

    /// Whether what nobody said which part it is may be one that the spray named and nobody found dry before it left.
    fn may_be_one_of(&self, thing: Surface, room: Code, spray: &Spray) -> bool {
        let source = Source::Spray { room, number: spray.number };
        // As early as it may have left: also where nobody noted that it did, and it was said to be elsewhere.
        let left = |it: &Visit| if it.room == room { it.until } else { it.from };
        let visits = self.visits(thing).0;
        let left = visits.iter().map(left).filter(|at| *at >= spray.begun).min().unwrap_or(AFTER_ALL);
        let is_wet = |record: &Record| record.wet.iter().any(|wet| wet.source == source);
        let too_late = |it: &Dried| {
            let elsewhere = |check: Felt| check.began > left || check.room != room;
            it.wet.iter().any(|wet| wet.source == source) && it.check.is_some_and(elsewhere)
        };
        let parts = spray.named.iter().flatten();
        spray.wetted.is_empty()
            || parts.filter_map(|it| self.record(*it)).any(|it| is_wet(it) || it.dried.iter().any(too_late))
    }

    /// What is said to have been in a room is there as well, until it is seen.
    pub fn named_in(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        if !self.rooms_at(surface, at, number).contains(&room) {
            self.moved(surface, Move { at, number, step: Step::Named { at: room }, in_doubt: false });
        }
    }

    /// Says more of a spray: its end, its label, further parts. The latest end and the longest label count; a clock that did
    /// not run begins at the noting. Says whether it changed anything.
    pub fn stated(&mut self, room: Code, spray: Number, statement: &Statement) -> bool {
        let source = Source::Spray { room, number: spray };
        let Some(known) = self.spray_mut(room, spray) else { return false };
        let is_changed = known.state(statement);
        let ready = known.ready();
        let wetted = known.wetted.clone();
        let new: Vec<Surface> = statement.named.iter().filter(|it| !wetted.contains(it)).copied().collect();
        for surface in new.iter().copied() {
            self.make_wet(surface, source, statement.number);
        }
        if is_changed {
            for surface in wetted {
                self.reckon_again(surface, source, ready, statement.number);
            }
            self.wet_unnamed_again(room, spray, statement.number);
        }
        is_changed || !new.is_empty()
    }

    /// A check that came too early by what is known now has found nothing dry.
    fn reckon_again(&mut self, surface: Surface, source: Source, ready: Option<Ready>, by: Number) {
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

    /// Things of which nobody said which part they are go with the parts that the spray named.
    fn wet_unnamed_again(&mut self, room: Code, spray: Number, by: Number) {
        let Some(interval) = self.spray(room, spray).map(Spray::interval) else { return };
        let unknown = |it: &Surface| matches!(it, Surface::Thing(_));
        for guest in self.guests_since(room, interval.0).into_iter().filter(unknown) {
            if self.is_hit(guest, room, spray) && !self.is_wet(guest) {
                self.make_wet(guest, Source::Spray { room, number: spray }, by);
            }
        }
    }

    /// Found damp, wiped, or come as wet: felt no sooner than after this time and the label's minutes.
    pub fn touched(&mut self, surface: Surface, number: Number, at: Time, label: TimeDelta) {
        self.make_wet(surface, Source::Touch { number, at, label }, number);
    }

    // What moves.

    /// This tag stands for these parts; none stated, for a thing of its own. Gives what it stands for.
    pub fn named(&mut self, tag: Code, parts: &[Surface], by: Number) -> Vec<Surface> {
        let was_named = self.is_known(Surface::Thing(tag));
        let before = self.of_tag(tag).to_vec();
        let known = self.tags.entry(tag).or_default();
        if known.is_empty() && (parts.is_empty() || was_named) {
            known.push(Surface::Thing(tag));
        }
        for part in parts {
            if !known.contains(part) {
                known.push(*part);
            }
        }
        let known = known.clone();
        let is_first = known.iter().all(|it| parts.contains(it) || matches!(it, Surface::Thing(_)));
        for part in parts {
            let is_new = self.record(*part).is_none_or(|record| record.tag != Some(tag));
            self.record_mut(*part).tag = Some(tag);
            let of_tag = if was_named { Some(Surface::Thing(tag)) } else { before.first().copied() };
            match of_tag.filter(|it| is_new && it != part) {
                Some(of_tag) if is_first || !before.contains(part) => self.take_over(of_tag, *part, by, !is_first),
                Some(_) | None => {}
            }
        }
        known
    }

    /// What was told of a tag was told of this part: now it is said which one carries it. In doubt where it was said to be another.
    fn take_over(&mut self, thing: Surface, part: Surface, by: Number, in_doubt: bool) {
        let Some(told) = self.record(thing).cloned() else { return };
        let before = self.rooms_of(part);
        let record = self.record_mut(part);
        told.track.moves().iter().for_each(|it| record.track.add(Move { in_doubt: it.in_doubt || in_doubt, ..*it }));
        record.lost = record.lost.or(told.lost);
        for wet in &told.wet {
            self.make_wet(part, wet.source, by);
        }
        if let Some(first) = told.track.moves().first() {
            self.follow(part, before, Move { number: by, ..*first });
        }
    }

    /// A move of one surface, in the order in which moves happened, whenever it is noted.
    pub fn moved(&mut self, surface: Surface, step: Move) {
        let mut before = self.rooms_of(surface);
        let record = self.record_mut(surface);
        record.track.add(step);
        // What is told of before it was given up is no news of where it is.
        let given_up = record.track.moves().iter().rfind(|it| it.step == Step::Lost).map(|it| it.at);
        let turns_up = record.lost.take_if(|_| step.step != Step::Lost && given_up.is_none_or(|at| step.at > at));
        if before.is_empty() {
            // Where it was before anybody noted a move of it.
            before = self.record(surface).map(|record| record.track.origin()).unwrap_or_default();
        }
        self.follow(surface, before, step);
        if let Some(label) = turns_up {
            self.touched(surface, step.number, step.at, label);
        }
    }

    /// Nobody finds it: it is in no room any more, and wet wherever it turns up.
    pub fn lost(&mut self, surface: Surface, at: Time, number: Number, label: TimeDelta) {
        self.record_mut(surface).lost = Some(label);
        self.moved(surface, Move { at, number, step: Step::Lost, in_doubt: false });
    }

    /// That nobody finds it is taken back.
    pub fn found(&mut self, surface: Surface) {
        if let Some(label) = self.record_mut(surface).lost.take() {
            let by = self.last_told(surface);
            let at = self.record(surface).and_then(|record| record.track.last()).unwrap_or_default();
            self.touched(surface, by, at, label);
        }
    }

    pub fn is_lost(&self, surface: Surface) -> bool {
        self.record(surface).is_some_and(|record| record.lost.is_some())
    }

    /// The newest entry that told where it was, or felt it.
    pub fn last_told(&self, surface: Surface) -> Number {
        let Some(record) = self.record(surface) else { return Number::default() };
        let felt = record.dried.iter().map(|it| it.by).chain(record.felt.iter().map(|it| it.number)).max();
        record.track.newest().max(felt).unwrap_or_default()
    }

    /// Whether anything is kept of it.
    pub fn is_known(&self, surface: Surface) -> bool {
        self.record(surface).is_some()
    }

    /// Something is to be kept of this part.
    pub fn know(&mut self, part: Surface) {
        self.record_mut(part);
    }

    /// The same of a bed with all its parts that are on it.
    pub fn bed_moved(&mut self, bed: Code, step: Move) {
        let parts: Vec<(Surface, Vec<Code>)> = self.known_of(bed).map(|part| (part, self.rooms_of(part))).collect();
        Arc::make_mut(self.groups.entry(bed).or_default()).bed.add(step);
        for room in step.step.rooms() {
            self.rolled.entry(room).or_default().insert(bed);
        }
        for (part, before) in parts {
            self.follow(part, before, step);
        }
    }

    /// What follows from a move: where it may be now, what may have wetted it, and which check of it was made elsewhere.
    fn follow(&mut self, surface: Surface, before: Vec<Code>, step: Move) {
        let (visits, now) = self.visits(surface);
        let has_own = self.record(surface).is_some_and(|record| !record.track.is_empty());
        let mut rooms: Vec<Code> = visits.iter().map(|it| it.room).collect();
        rooms.sort();
        rooms.dedup();
        for room in &rooms {
            if has_own {
                self.visitors.entry(*room).or_default().insert(surface);
            }
            let hits: Vec<Number> = self.sprays(*room).iter().map(|it| it.number).collect();
            for spray in hits {
                let is_new = self.spray(*room, spray).is_some_and(|it| !it.wetted.contains(&surface));
                if is_new && self.is_hit(surface, *room, spray) {
                    self.make_wet(surface, Source::Spray { room: *room, number: spray }, step.number);
                }
            }
        }
        self.check_again(surface, step);
        self.changes.rooms.extend(before.iter().copied());
        self.changes.rooms.extend(now.iter().copied());
        for room in now.iter().filter(|room| !before.contains(room)) {
            self.changes.gained.push((surface, *room, before.clone()));
        }
    }

    /// A check or look counts only if it may have stood there and nowhere else: what may have left before was perhaps not felt.
    fn check_again(&mut self, surface: Surface, step: Move) {
        let mut undone: Vec<Wet> = vec![];
        for dried in self.record(surface).into_iter().flat_map(|record| record.dried.iter().rev()) {
            let (at, rooms) = match (&dried.check, &dried.looked) {
                (Some(check), _) => (check.began, std::slice::from_ref(&check.room)),
                (None, Some(looked)) => (dried.done, looked.as_slice()),
                (None, None) => continue,
            };
            let is_later = at > step.at && dried.by < step.number;
            let stood = || {
                let stood = self.rooms_at(surface, at, dried.by);
                stood.iter().all(|room| rooms.contains(room)) && (dried.check.is_none() || !stood.is_empty())
            };
            let holds = !is_later || stood();
            if !holds {
                undone.extend(&dried.wet);
            } else if dried.check.is_some() {
                // A touch finds all of it dry that came before.
                break;
            }
        }
        for wet in undone {
            self.make_wet(surface, wet.source, step.number);
        }
    }

    /// A move that was taken back: it may have happened, and may not. `rooms`: those of its entry. Says whether there was one.
    pub fn void_move(&mut self, target: Number, rooms: &[Code], by: Number) -> bool {
        let guests = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten().map(|guest| guest.owner());
        let beds = rooms.iter().flat_map(|room| self.beds_rolled(*room));
        let owners: BTreeSet<Code> = guests.chain(beds).collect();
        let mut found = false;
        for owner in owners {
            let is_moved = |group: &Arc<Group>| {
                group.bed.has(target) || group.parts.iter().any(|(_, record)| record.track.has(target))
            };
            if !self.groups.get(&owner).is_some_and(is_moved) {
                continue;
            }
            let before: Vec<(Surface, Vec<Code>)> =
                self.known_of(owner).map(|part| (part, self.rooms_of(part))).collect();
            let group = Arc::make_mut(self.groups.entry(owner).or_default());
            let of_parts = group.parts.iter_mut().map(|(_, record)| &mut record.track);
            let voided: Vec<Move> =
                std::iter::once(&mut group.bed).chain(of_parts).filter_map(|track| track.void(target)).collect();
            let Some(step) = voided.first() else { continue };
            found = true;
            for (part, before) in before {
                self.follow(part, before, Move { number: by, ..*step });
            }
        }
        for guest in self.things_that_came(rooms) {
            self.drop_phantom(guest);
        }
        found
    }

    /// What carries a tag and ever was in one of these rooms.
    fn things_that_came(&self, rooms: &[Code]) -> Vec<Surface> {
        let came = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten();
        came.copied().filter(|guest| matches!(guest, Surface::Thing(_))).collect()
    }

    /// A tag of which nothing is left but sightings that were taken back was never there.
    fn drop_phantom(&mut self, thing: Surface) {
        let Surface::Thing(tag) = thing else { return };
        if !self.record(thing).is_some_and(|record| record.track.is_nothing()) {
            return;
        }
        self.changed(thing);
        let record = self.record_mut(thing);
        record.wet.clear();
        record.track = Track::default();
        if self.of_tag(tag) == [thing] {
            self.tags.remove(&tag);
        }
    }

    /// A second person looked where a move that was taken back said that it went, and it was not so. What nothing else speaks of
    /// was never there.
    pub fn unmove(&mut self, target: Number, rooms: &[Code]) {
        let guests: Vec<Surface> = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten().copied().collect();
        for guest in guests {
            let has = |record: &Record| record.track.has(target) && record.track.is_taken_back(target);
            if !self.record(guest).is_some_and(has) {
                continue;
            }
            self.changed(guest);
            self.record_mut(guest).track.forget(target);
            self.changed(guest);
            self.unname(guest);
            self.drop_phantom(guest);
        }
    }

    /// What said that this part carries its tag may have been taken back: then it may be a thing of its own as well.
    fn unname(&mut self, part: Surface) {
        let Some(tag) = self.record(part).and_then(|record| record.tag) else { return };
        let thing = Surface::Thing(tag);
        if part == thing || self.of_tag(tag).contains(&thing) {
            return;
        }
        let Some(told) = self.record(part).cloned() else { return };
        self.tags.entry(tag).or_default().push(thing);
        let record = self.record_mut(thing);
        record.track = told.track;
        // What was found dry under the part's own name was perhaps not this.
        let dried = told.dried.iter().flat_map(|dried| dried.wet.iter());
        for wet in told.wet.iter().chain(dried) {
            self.make_wet(thing, wet.source, wet.since);
        }
        for room in self.visits(thing).0.iter().map(|it| it.room).collect::<Vec<_>>() {
            self.visitors.entry(room).or_default().insert(thing);
        }
        self.changed(thing);
    }

    /// The hospital's book has this bed in this room. `rolled`: when it was rolled there; not said, it may be in either room
    /// from `earliest` on until somebody has walked there.
    pub fn bed_booked(
        &mut self,
        bed: Code,
        room: Code,
        number: Number,
        rolled: Option<Time>,
        (earliest, noted): (Time, Time),
    ) {
        let before = self.booked.insert(bed, room);
        if let Some(beds) = before.and_then(|from| self.booked_in.get_mut(&from)) {
            beds.remove(&bed);
        }
        self.booked_in.entry(room).or_default().insert(bed);
        match before {
            None => Arc::make_mut(self.groups.entry(bed).or_default()).home = Some(room),
            Some(from) if from != room => {
                // A bed that was noted as having left is where that note says.
                let step = Step::Rolled { from, to: room, is_exact: rolled.is_some() };
                let at = rolled.unwrap_or(earliest);
                let parts = |group: &Arc<Group>| group.parts.iter().filter_map(|(_, record)| record.track.last()).max();
                let last = self.groups.get(&bed).and_then(|group| group.bed.last().max(parts(group)));
                self.bed_moved(bed, Move { at, number, step, in_doubt: false });
                // Where it, or a part of it, was seen or rolled since, it may have been rolled after that.
                if let Some(last) = last.filter(|last| *last > at) {
                    self.bed_moved(bed, Move { at: last, number, step, in_doubt: false });
                }
                // And whatever else comes to light of it, the book has it there now.
                if rolled.is_none() && last.is_none_or(|last| noted > last) {
                    self.bed_moved(bed, Move { at: noted, number, step, in_doubt: false });
                }
            }
            Some(_) => {}
        }
    }

    /// Whether the bed may be elsewhere than in this one room.
    pub fn bed_rooms(&self, bed: Code) -> Vec<Code> {
        let Some(group) = self.groups.get(&bed) else { return vec![] };
        let nothing = Track::default();
        let home: Vec<Code> = group.home.into_iter().collect();
        place::visits(&home, &group.bed, &nothing, &|_, at, _| at).1
    }

    /// Whether neither the bed nor a part of it was ever moved: it stands where the book first had it.
    pub fn never_moved(&self, bed: Code) -> bool {
        let is_still =
            |group: &Arc<Group>| group.bed.is_empty() && group.parts.iter().all(|(_, record)| record.track.is_empty());
        self.groups.get(&bed).is_some_and(is_still)
    }

    /// Whether any move of the bed itself was noted.
    pub fn is_bed_moved(&self, bed: Code) -> bool {
        self.groups.get(&bed).is_some_and(|group| !group.bed.is_empty())
    }

    /// Whether nothing but the book moved the bed.
    pub fn is_only_booked(&self, bed: Code) -> bool {
        self.groups.get(&bed).is_some_and(|group| group.bed.is_only_rolled())
    }

    /// Somebody saw the bed in the room.
    pub fn bed_seen(&mut self, bed: Code, room: Code, at: Time, number: Number) {
        if self.bed_rooms(bed) != [room] {
            let step = self.groups.get(&bed).map_or(Step::Seen { at: room }, |it| it.bed.sighting(room, number));
            self.bed_moved(bed, Move { at, number, step, in_doubt: false });
        }
    }

    /// Something was seen in the room under a tag that may be this one's: it is there, or where it belongs.
    pub fn perhaps_seen(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        let seen = Move { at, number, step: self.sighting(surface, room, number), in_doubt: false };
        self.moved(surface, seen);
        self.may_be_home(surface, seen);
    }

    fn sighting(&self, surface: Surface, room: Code, number: Number) -> Step {
        self.record(surface).map_or(Step::Seen { at: room }, |record| record.track.sighting(room, number))
    }

    /// Somebody saw it in the room: from then on it is there and nowhere else.
    pub fn seen(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        let step = self.sighting(surface, room, number);
        self.moved(surface, Move { at, number, step, in_doubt: false });
    }

    // What dries.

    /// Why a touch of it would not count, before it is noted.
    pub fn not_yet(&self, surface: Surface, check: &Check) -> Option<NotYet> {
        let record = self.record(surface)?;
        if record.wet.is_empty() {
            return None;
        }
        if !self.rooms_at(surface, check.began, check.number).contains(&check.room) {
            return Some(NotYet::NotHere);
        }
        let mut worst: Option<(Ready, Source)> = None;
        for wet in &record.wet {
            let Some(ready) = self.ready_of(wet.source) else { return Some(NotYet::Unstated(wet.source)) };
            let ready = ready.seen_from(self.terminal_of(wet.source), &check.terminal);
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

    fn terminal_of(&self, source: Source) -> Option<&str> {
        match source {
            Source::Spray { room, number } => self.spray(room, number).map(Spray::terminal),
            Source::Touch { .. } => None,
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
        let record = self.record_mut(surface);
        record.felt.push(check.short());
        let since = record.wet.iter().map(|wet| wet.since).max().unwrap_or_default();
        let felt: Vec<Felt> = record.felt.iter().filter(|felt| felt.number > since).copied().collect();
        let ready = self.wet(surface).and_then(|wet| wet.ready);
        let is_felt = |room: &Code| {
            felt.iter().any(|felt| felt.room == *room && ready.is_some_and(|ready| ready.allows_at(felt.began)))
        };
        if rooms != [check.room] && !rooms.iter().all(is_felt) {
            return false;
        }
        let record = self.record_mut(surface);
        record.felt.clear();
        let wet = std::mem::take(&mut record.wet);
        record.dried.push(Dried { by, done, check: Some(check.short()), looked: None, wet });
        self.changed(surface);
        true
    }

    /// A second person looked in the room after the void of `target`, and found nothing of it there.
    pub fn looked(&mut self, target: Number, rooms: &[Code], by: Number, done: Time) {
        for room in rooms {
            let own = self.known_of(*room).chain(self.guests(*room));
            let mut wet: Vec<Surface> = own.collect();
            wet.extend(self.beds_booked(*room).into_iter().flat_map(|bed| self.known_of(bed)));
            for surface in wet {
                let places = self.rooms_of(surface);
                let of_it = |wet: &Wet| wet.source.number() == target;
                let concerns = self.record(surface).is_some_and(|record| record.wet.iter().any(of_it));
                if !concerns || places.iter().any(|place| !rooms.contains(place)) {
                    continue;
                }
                let record = self.record_mut(surface);
                let (gone, left) = std::mem::take(&mut record.wet).into_iter().partition(of_it);
                record.wet = left;
                record.dried.push(Dried { by, done, check: None, looked: Some(rooms.to_vec()), wet: gone });
                self.changed(surface);
            }
        }
    }

    /// The check or look of this number is taken back: what it found dry is wet again, from the void on.
    pub fn void(&mut self, target: Number, rooms: &[Code], by: Number) {
        self.changes.rooms.extend(rooms);
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
            let Some(at) = record.dried.iter().position(|it| it.by == target) else { continue };
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

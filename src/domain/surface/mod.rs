//! What is wet, and where.
//!
//! Wetness belongs to a *surface*; a surface has a place at every time, which is a set of rooms; both are worked out from
//! all entries, in whatever order they come to light. Late news only adds: an entry about the past may add a wetting or a
//! place, and never undoes one that was counted. Only a touch, a look, or what two people correct takes wetness away.
//!
//! Nothing here knows people, roles or settings: [`crate::domain::board`] says which entries count, and asks what is wet.

mod drying;
mod less;
mod moving;
mod place;
mod record;
mod replace;
mod retime;
mod spray;
mod stood;
mod tags;
mod track;
mod wetting;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

use chrono::TimeDelta;

use super::code::Code;
use super::entry::{Number, Time};
use super::facility::Zone;
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
pub use less::Less;
use place::Visit;
pub use place::{Destination, Move, Step};
use record::Record;
pub use record::{Check, Dried, NotYet, Source, Wet, WetNow};
pub use replace::Replaced;
pub use retime::Span;
pub use spray::{CLOCK_TOLERANCE, Ready, Spray, Statement, span_slack};
pub use stood::{FromTheWet, StoodBy};
use track::Track;

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
    /// The room in which the book first had the bed, by which entry.
    home: Option<(Code, Number)>,
    parts: Vec<(Surface, Record)>,
}

impl Group {
    fn record(&self, surface: Surface) -> Option<&Record> {
        self.parts.iter().find(|(known, _)| *known == surface).map(|(_, record)| record)
    }

    /// Whether any move of it was noted, or of the bed that it is a part of.
    fn has_moves(&self, surface: Surface) -> bool {
        let with_bed = matches!(surface, Surface::Bed { .. }) && !self.bed.is_empty();
        with_bed || self.record(surface).is_some_and(|record| !record.track.is_empty())
    }
}

/// What a room shows of something that may be in it.
#[derive(Debug)]
pub struct Shown<'a> {
    pub is_moved: bool,
    /// What keeps it wet, and when it may be felt. None: it is dry, as far as is known.
    pub wet: Option<WetNow>,
    /// The newest entry by which it was found dry, and when that was done.
    pub dried: Option<(Number, Time)>,
    /// Every tag under which it is known, the newest last.
    pub tags: &'a [Code],
}

/// What was changed by an entry, for the board to draw its conclusions from.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    /// The rooms in which something may be wet that was not, dry that was wet, here that was elsewhere, or gone.
    pub rooms: BTreeSet<Code>,
    /// What may be in a room now and was not before, with the rooms in which it may have been before.
    pub gained: Vec<(Surface, Code, Vec<Code>)>,
    /// What is in no room any more, with the rooms in which it may have been before.
    pub left: Vec<(Surface, Vec<Code>)>,
    /// Of what more is known of its way than before, and since when.
    pub told: BTreeMap<Surface, Time>,
    /// The same of beds, whatever is known of their parts.
    pub told_beds: BTreeMap<Code, Time>,
    /// The beds that come to light as having stood in a room while it was sprayed.
    pub stood_by: Vec<StoodBy>,
    /// The tags of which less is known than before what carries them.
    pub doubted: BTreeSet<Code>,
}

/// Every surface that was ever wet or moved, and every spray. What never moved and was never wet has no record.
#[derive(Clone, Debug, Default)]
pub struct Surfaces {
    groups: BTreeMap<Code, Arc<Group>>,
    sprays: BTreeMap<Code, Arc<Vec<Spray>>>,
    /// Which surfaces a tag stands for. Said to be two, it is both: which of them is meant is known of none that was said later.
    tags: BTreeMap<Code, Vec<Surface>>,
    doubtful: BTreeSet<(Code, Surface)>,
    /// The entries that say which part carries a tag.
    said: BTreeMap<(Code, Surface), Vec<Number>>,
    /// The entries that tell of whatever carries a tag.
    told_under: BTreeMap<Code, Vec<Number>>,
    /// The entries by which what carries a tag was given up.
    given_up_under: BTreeMap<Code, Vec<Number>>,
    told_apart: Vec<tags::Apart>,
    /// The same of parts that were seen under another tag, so that this one is perhaps on something that nobody spoke of.
    of_neither: Vec<tags::Apart>,
    /// Which surfaces with moves of their own ever were in a room, and which beds that were rolled.
    visitors: BTreeMap<Code, BTreeSet<Surface>>,
    rolled: BTreeMap<Code, BTreeSet<Code>>,
    /// What had another name until then, since it took a part's place or another took its own.
    was: Vec<(Surface, Time, Surface)>,
    /// The room that the book gave each bed last.
    booked: BTreeMap<Code, Code>,
    /// The same read the other way.
    booked_in: BTreeMap<Code, BTreeSet<Code>>,
    /// Things of which nobody said from which room they came.
    strays: BTreeSet<Surface>,
    /// What came, by these entries, from a room that nobody named.
    unannounced: BTreeMap<Number, BTreeSet<Surface>>,
    /// What ever left for nobody knows where.
    astray: BTreeSet<Surface>,
    /// What made a thing wet that was never there, by its tag, and until when somebody looked for it.
    dropped: BTreeMap<Code, Vec<(Source, Time)>>,
    /// What was moved, and is in no room.
    outside: BTreeSet<Surface>,
    changes: Changes,
}

/// A spray as it was first noted, or wiping, or what was found wet.
#[derive(Clone, Debug)]
pub struct Sprayed {
    pub number: Number,
    /// The entry that first told of it: in the wrong room, where a void says that it was in another.
    pub first_told: Number,
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
    fn record(&self, surface: Surface) -> Option<&Record> {
        self.group(surface)?.record(surface)
    }

    fn group(&self, surface: Surface) -> Option<&Group> {
        self.groups.get(&surface.owner()).map(Arc::as_ref)
    }

    /// Where something stands of which no move was ever noted, as nearly everything does; and whether that is so.
    fn unmoved(&self, surface: Surface) -> (Option<Code>, bool) {
        let group = self.group(surface);
        let home = match surface {
            Surface::Room { room, .. } => Some(room),
            Surface::Bed { .. } => group.and_then(|it| it.home).map(|(room, _)| room),
            Surface::Thing(_) => None,
        };
        (home, !group.is_some_and(|it| it.has_moves(surface)))
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
        let believed = |room: Option<Code>, at: Time, number: Number| self.believed_back_to(room, at, number);
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
                let home: Vec<Code> = group.and_then(|it| it.home).map(|(room, _)| room).into_iter().collect();
                place::visits(&home, group.map_or(&nothing, |it| &it.bed), own, &believed)
            }
        }
    }

    /// A move's time is believed only back to the last spray that was noted before it: whoever notes a leaving afterwards may
    /// have its time wrong. Where nobody says which room it left, of any room.
    fn believed_back_to(&self, room: Option<Code>, at: Time, number: Number) -> Time {
        let rooms: Vec<&Arc<Vec<Spray>>> = match room {
            Some(room) => self.sprays.get(&room).into_iter().collect(),
            None => self.sprays.values().collect(),
        };
        let sprays = rooms.into_iter().flat_map(|all| all.iter());
        sprays.filter(|it| it.first_told < number).map(|it| it.interval().1).fold(at, Time::max)
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

    /// Whether any note has it carried by itself.
    pub fn is_carried(&self, surface: Surface) -> bool {
        self.record(surface).is_some_and(|record| record.track.is_carried())
    }

    fn has_moves(&self, surface: Surface) -> bool {
        self.group(surface).is_some_and(|it| it.has_moves(surface))
    }

    /// The rooms in which it may be now. Empty: outside the hospital's book, or nobody ever said.
    pub fn rooms_of(&self, surface: Surface) -> Vec<Code> {
        match self.unmoved(surface) {
            (home, true) => home.into_iter().collect(),
            (_, false) => self.visits(surface).1,
        }
    }

    /// Whether it may be in this room now.
    pub fn may_be_in(&self, surface: Surface, room: Code) -> bool {
        match self.unmoved(surface) {
            (home, true) => home == Some(room),
            (_, false) => self.visits(surface).1.contains(&room),
        }
    }

    /// It may be elsewhere than in this room, and nobody saw it here last; or every note that it came was taken back.
    pub fn is_uncertain(&self, surface: Surface, room: Code) -> bool {
        if !self.has_moves(surface) {
            return false;
        }
        let track = self.record(surface).map(|record| &record.track);
        let told = track.and_then(|it| it.told().next_back().map(|told| told.step));
        let is_seen_here = told == Some(Step::Seen { at: room });
        let is_nowhere = matches!(surface, Surface::Thing(_)) && track.is_some_and(Track::is_in_doubt);
        is_nowhere || self.is_lost(surface) || (self.rooms_of(surface).len() > 1 && !is_seen_here)
    }

    /// It left under a tag, nobody said where to, and nobody has seen it since.
    pub fn is_looked_for(&self, surface: Surface) -> bool {
        self.record(surface).is_some_and(|record| record.track.is_looked_for())
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

    /// Whether this room is one of those.
    pub fn may_have_been_at(&self, surface: Surface, room: Code, at: Time, number: Number) -> bool {
        match self.unmoved(surface) {
            (home, true) => home == Some(room),
            (_, false) => self.visits(surface).0.iter().any(|it| it.room == room && it.holds(at, number)),
        }
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
        guests.retain(|guest| self.may_be_in(*guest, room));
        guests
    }

    /// The room that the book gave this bed last.
    pub fn booked_room(&self, bed: Code) -> Option<Code> {
        self.booked.get(&bed).copied()
    }

    /// All of it that a room shows.
    pub fn shown(&self, surface: Surface) -> Shown<'_> {
        let record = self.record(surface);
        Shown {
            is_moved: self.has_moves(surface),
            wet: record.and_then(|it| self.wet_now(it)),
            dried: record.and_then(|it| it.dried.last()).map(|it| (it.by, it.done)),
            tags: record.map_or(&[], |it| it.tags.as_slice()),
        }
    }

    /// The sprays that ever hit it, as far as nobody said that it was not so: the room and the entry of each, the newest last.
    pub fn hit_by(&self, surface: Surface) -> Vec<(Code, Number)> {
        let Some(record) = self.record(surface) else { return vec![] };
        let felt = record.dried.iter().filter(|it| it.check.is_some()).flat_map(|it| it.wet.iter());
        let sprays = felt.chain(&record.wet).filter_map(|wet| match wet.source {
            Source::Spray { room, number } => Some((room, number)),
            Source::Touch { .. } => None,
        });
        let mut sprays: Vec<(Code, Number)> = sprays.collect();
        sprays.sort_by_key(|(_, number)| *number);
        sprays.dedup();
        sprays
    }

    fn wet_now(&self, record: &Record) -> Option<WetNow> {
        if record.wet.is_empty() {
            return None;
        }
        let ready = record.wet.iter().map(|wet| self.ready_of(wet.source));
        Some(WetNow {
            by: record.wet.iter().map(|wet| wet.source.number()).collect(),
            since: record.wet.iter().map(|wet| wet.since).max().unwrap_or_default(),
            from: record.wet.iter().map(|wet| self.began(wet.source)).min().unwrap_or(AFTER_ALL),
            ready: ready.reduce(|one, other| Some(one?.later(other?))).flatten(),
        })
    }

    pub fn is_wet(&self, surface: Surface) -> bool {
        self.record(surface).is_some_and(|record| !record.wet.is_empty())
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

    /// Where nobody knows of the spray any more, it may have been at any time.
    fn began(&self, source: Source) -> Time {
        match source {
            Source::Spray { room, number } => self.spray(room, number).map_or(BEFORE_ALL, |spray| spray.begun),
            Source::Touch { at, .. } => at,
        }
    }

    fn ready_of(&self, source: Source) -> Option<Ready> {
        match source {
            Source::Spray { room, number } => self.spray(room, number)?.ready(),
            Source::Touch { at, label, .. } => Some(Ready::new(at, label)),
        }
    }

    /// Whether everything that this spray of the room wetted was found dry; the end of the last check or look.
    pub fn dry_since(&self, room: Code, spray: &Spray) -> Option<Time> {
        let number = spray.number;
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
        !self.changes.rooms.is_empty()
            || !self.changes.doubted.is_empty()
            || !self.changes.told_beds.is_empty()
            || !self.changes.gained.is_empty()
            || !self.changes.stood_by.is_empty()
    }
}

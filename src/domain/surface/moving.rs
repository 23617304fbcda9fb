//! What moves: tags and what they stand for, journeys, sightings, beds that were rolled, and what is taken back of them.

use std::collections::BTreeSet;
use std::sync::Arc;

use chrono::TimeDelta;

use super::place::Visit;
use super::record::Record;
use super::track::Track;
use super::{Group, Move, Source, Step, Surface, Surfaces, Wet, place};
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// Where something may have been, and in which rooms it may be.
pub(super) struct Stood {
    pub(super) surface: Surface,
    visits: (Vec<Visit>, Vec<Code>),
}

impl Surfaces {
    /// A move of one surface, in the order in which moves happened, whenever it is noted.
    pub fn moved(&mut self, surface: Surface, step: Move) {
        self.moved_on(surface, step);
        self.was_named(surface);
    }

    fn moved_on(&mut self, surface: Surface, step: Move) {
        let mut before = self.rooms_of(surface);
        let record = self.record_mut(surface);
        record.track.add(step);
        let turns_up = record.turns_up(step);
        if before.is_empty() {
            // Where it was before anybody noted a move of it.
            before = self.record(surface).map(|record| record.track.origin()).unwrap_or_default();
        }
        self.follow(surface, before, step);
        if let Some(label) = turns_up {
            self.touched(surface, step.number, step.at, label);
        }
        self.was_there(surface, step);
    }

    /// What a spray named stood in its room then, though by the notes of its ways it had left before.
    fn was_named(&mut self, surface: Surface) {
        let Some(record) = self.record(surface) else { return };
        let wet = record.wet.iter().chain(record.dried.iter().flat_map(|dried| &dried.wet));
        let named = wet.filter_map(|wet| {
            let Source::Spray { room, number } = wet.source else { return None };
            let spray = self.spray(room, number).filter(|spray| spray.has_named(surface))?;
            (!record.track.is_told_in(room, spray.begun, number)).then_some((room, spray.begun, number))
        });
        for (room, at, number) in named.collect::<Vec<_>>() {
            let step = Move { at, number, step: Step::Named { at: room }, in_doubt: false };
            self.moved_on(surface, step);
        }
    }

    /// What was called a mistake under its tag, and looked for where it was not, is told of now as having been elsewhere by then.
    fn was_there(&mut self, surface: Surface, step: Move) {
        if self.dropped.is_empty() || step.step == Step::Lost {
            return;
        }
        let own = if let Surface::Thing(tag) = surface { Some(tag) } else { None };
        let tags: Vec<Code> = self.tags_of(surface).iter().copied().chain(own).collect();
        let kept = tags.iter().filter_map(|tag| self.dropped.get(tag)).flatten();
        let wet: Vec<Source> = kept.filter(|(_, looked)| step.at < *looked).map(|(source, _)| *source).collect();
        let is_news = |it: &Source| !self.record(surface).is_some_and(|record| record.was_wet_by(*it));
        let wet: Vec<Source> = wet.into_iter().filter(is_news).collect();
        wet.into_iter().for_each(|source| self.make_wet(surface, source, step.number));
    }

    /// Nobody finds it: it is in no room any more, and wet wherever it turns up.
    pub fn lost(&mut self, surface: Surface, at: Time, number: Number, label: TimeDelta) {
        self.record_mut(surface).lost = Some(label);
        self.moved(surface, Move { at, number, step: Step::Lost, in_doubt: false });
    }

    /// The same of a bed, with these parts of it. Whatever of it went by itself is where that went.
    pub fn bed_lost(&mut self, bed: Code, parts: &[Surface], at: Time, number: Number, label: TimeDelta) {
        self.bed_moved(bed, Move { at, number, step: Step::Lost, in_doubt: false });
        parts.iter().for_each(|part| self.lost(*part, at, number, label));
    }

    /// Whether the bed itself was given up, and nobody has seen it since.
    pub fn is_bed_lost(&self, bed: Code) -> bool {
        self.groups.get(&bed).is_some_and(|group| group.bed.is_given_up())
    }

    /// The newest entry that told where the bed itself was.
    pub fn bed_last_told(&self, bed: Code) -> Number {
        self.groups.get(&bed).and_then(|group| group.bed.newest()).unwrap_or_default()
    }

    /// That nobody finds it is taken back.
    pub fn found(&mut self, surface: Surface, by: Number) {
        if let Some(label) = self.record_mut(surface).lost.take() {
            let at = self.record(surface).and_then(|record| record.track.last()).unwrap_or_default();
            self.touched(surface, by, at, label);
        }
    }

    /// Whether it ever left or came by itself: of a part of a bed, that it was taken out.
    pub fn was_taken_out(&self, surface: Surface) -> bool {
        self.record(surface).is_some_and(|record| record.since.is_some() || record.track.is_carried())
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
        // The bed itself is asked for where it is, also where its parts are elsewhere.
        self.changes.rooms.extend(self.bed_rooms(bed));
        Arc::make_mut(self.groups.entry(bed).or_default()).bed.add(step);
        self.changes.rooms.extend(self.bed_rooms(bed));
        self.bed_told(bed, step.at);
        for room in step.step.rooms() {
            self.rolled.entry(room).or_default().insert(bed);
        }
        for (part, before) in parts {
            self.follow(part, before, step);
            // What was given up turns up with its bed, unless it went by itself.
            let is_with_it = step.step.rooms().iter().any(|room| self.may_be_in(part, *room));
            if is_with_it && let Some(label) = self.record_mut(part).turns_up(step) {
                self.touched(part, step.number, step.at, label);
            }
        }
        self.stood_where(bed);
    }

    pub(super) fn bed_told(&mut self, bed: Code, since: Time) {
        self.changes.told_beds.entry(bed).and_modify(|at| *at = since.min(*at)).or_insert(since);
    }

    /// What follows from a move: where it may be now, what may have wetted it, and which check of it was made elsewhere.
    pub(super) fn follow(&mut self, surface: Surface, before: Vec<Code>, step: Move) {
        // Where it says that it came from, it may have been before: since it was last told of.
        let (visits, now) = self.visits(surface);
        let came_from = visits.iter().filter(|it| it.is_told_by(step.number)).map(|it| it.from).min();
        let since = came_from.map_or(step.at, |from| from.min(step.at));
        self.follow_since(surface, (before, &visits, now), step, since);
    }

    /// `since`: from then on it may have been elsewhere than was known.
    fn follow_since(
        &mut self,
        surface: Surface,
        (before, visits, now): (Vec<Code>, &[Visit], Vec<Code>),
        step: Move,
        since: Time,
    ) {
        let has_own = self.record(surface).is_some_and(|record| !record.track.is_empty());
        let mut rooms: Vec<Code> = visits.iter().map(|it| it.room).collect();
        rooms.sort();
        rooms.dedup();
        for room in &rooms {
            if has_own {
                self.visitors.entry(*room).or_default().insert(surface);
            }
            // Every spray of a room in which it may have been then wets it, if that hit it.
            let hits: Vec<Number> = self.sprays(*room).iter().map(|it| it.number).collect();
            for spray in hits {
                let is_new = self.spray(*room, spray).is_some_and(|it| !it.wetted.contains(&surface));
                if is_new && self.is_hit(surface, *room, spray) {
                    self.make_wet(surface, Source::Spray { room: *room, number: spray }, step.number);
                }
            }
        }
        self.went_astray(surface, step.number);
        for number in self.came_unannounced(surface) {
            self.unannounced.entry(number).or_default().insert(surface);
        }
        if let Some(bed) = surface.zone().bed.filter(|_| has_own) {
            self.stood_where(bed);
        }
        self.check_again(surface, Move { at: since, ..step });
        self.may_be_a_guest(surface, step.number);
        if self.is_wet(surface) {
            self.guest_is_wet(surface, step.number);
        }
        self.changes.told.entry(surface).and_modify(|at| *at = step.at.min(*at)).or_insert(step.at);
        self.changes.rooms.extend(before.iter().copied());
        self.changes.rooms.extend(now.iter().copied());
        self.goes_in_or_out(surface, &before, &now);
        for room in now.iter().filter(|room| !before.contains(room)) {
            self.changes.gained.push((surface, *room, before.clone()));
        }
    }

    /// By which entries it came, or its bed did, from a room that nobody named.
    fn came_unannounced(&self, surface: Surface) -> Vec<Number> {
        let own = self.record(surface).into_iter().flat_map(|record| record.track.moves());
        let group = surface.zone().bed.and_then(|bed| self.groups.get(&bed));
        let moves = own.chain(group.into_iter().flat_map(|group| group.bed.moves()));
        moves.filter(|it| matches!(it.step, Step::Arrived { from: None, .. })).map(|it| it.number).collect()
    }

    fn goes_in_or_out(&mut self, surface: Surface, before: &[Code], now: &[Code]) {
        if !now.is_empty() {
            self.outside.remove(&surface);
            return;
        }
        self.outside.insert(surface);
        if !before.is_empty() {
            self.changes.left.push((surface, before.to_vec()));
        }
    }

    /// The same where a move was taken back: it may have been elsewhere at any time.
    pub(super) fn follow_anew(&mut self, surface: Surface, before: Vec<Code>, (at, by): (Time, Number)) {
        let step = Move { at, number: by, step: Step::Lost, in_doubt: false };
        let (visits, now) = self.visits(surface);
        self.follow_since(surface, (before, &visits, now), step, BEFORE_ALL);
    }

    /// What was ever noted in these rooms, each with where it may have been and may be. How far a leaving is believed back goes by
    /// the ends of a room's sprays, so that more or less of one may change that; how far an arrival from nobody knows where is, by the
    /// ends of every room's that was noted before it. `since`: when the spray was noted.
    pub(super) fn stand_now(&self, rooms: &[Code], since: Number) -> Vec<Stood> {
        let visitors = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten().copied();
        let rolled = rooms.iter().filter_map(|room| self.rolled.get(room)).flatten();
        let unannounced = self.unannounced.range(since..).flat_map(|(_, came)| came).copied();
        let mut all: Vec<Surface> =
            visitors.chain(rolled.flat_map(|bed| self.known_of(*bed))).chain(unannounced).collect();
        all.sort();
        all.dedup();
        all.into_iter().map(|surface| Stood { surface, visits: self.visits(surface) }).collect()
    }

    /// After such a change: what may be, or may have been, elsewhere than it was is followed anew.
    pub(super) fn stand_elsewhere(&mut self, stood: Vec<Stood>, by: Number) {
        for Stood { surface, visits } in stood {
            if self.visits(surface) != visits {
                self.follow_anew(surface, visits.1, (BEFORE_ALL, by));
            }
        }
    }

    /// A check or look counts only if it may have stood there and nowhere else: what may have left before was perhaps not felt.
    pub(super) fn check_again(&mut self, surface: Surface, step: Move) {
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
        let mut found = self.told_apart_in_vain(target, by);
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
            let Some(at) = voided.first().map(|it| it.at) else { continue };
            found = true;
            // What was given up as gone by this move is perhaps not gone.
            let is_of_bed = self.groups.get(&owner).is_some_and(|group| group.bed.is_moved_by(target));
            let is_gone = |part: &Surface| {
                self.record(*part).is_some_and(|record| {
                    let is_now = record.track.moves().iter().any(|it| it.step == Step::Lost && it.number == by);
                    record.lost.is_some() && (is_of_bed || record.track.is_moved_by(target)) && !is_now
                })
            };
            let gone: Vec<Surface> = before.iter().map(|(part, _)| *part).filter(is_gone).collect();
            if let Some(group) = self.groups.get_mut(&owner).filter(|_| is_of_bed) {
                Arc::make_mut(group).bed.doubt_lost();
            }
            for part in gone {
                let record = self.record_mut(part);
                record.track.doubt_lost();
                // It may be there, and may be gone: it is seen before it is felt.
                if let Some(label) = record.lost {
                    self.touched(part, by, at, label);
                }
            }
            if self.groups.get(&owner).is_some_and(|group| group.bed.has(target)) {
                self.bed_told(owner, at);
            }
            for (part, before) in before {
                self.follow_anew(part, before, (at, by));
            }
            self.stood_where(owner);
        }
        for guest in self.things_that_came(rooms) {
            self.drop_phantom(guest);
        }
        found
    }

    /// What this entry moved, and when: surfaces, and beds with all that is on them. `rooms`: those of its entry.
    pub fn moved_by(&self, number: Number, rooms: &[Code]) -> Vec<(Result<Surface, Code>, Time)> {
        let guests = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten().map(|guest| guest.owner());
        let owners: BTreeSet<Code> = guests.chain(rooms.iter().flat_map(|room| self.beds_rolled(*room))).collect();
        let at = |track: &Track| track.moves().iter().find(|it| it.number == number).map(|it| it.at);
        let mut moved = vec![];
        for owner in owners {
            let Some(group) = self.groups.get(&owner) else { continue };
            moved.extend(at(&group.bed).map(|at| (Err(owner), at)));
            moved.extend(group.parts.iter().filter_map(|(part, record)| Some((Ok(*part), at(&record.track)?))));
        }
        moved
    }

    /// What carries a tag and ever was in one of these rooms.
    pub(super) fn things_that_came(&self, rooms: &[Code]) -> Vec<Surface> {
        let came = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten();
        came.copied().filter(|guest| matches!(guest, Surface::Thing(_))).collect()
    }

    /// A tag of which nothing is left but sightings that were taken back was never there.
    pub(super) fn drop_phantom(&mut self, thing: Surface) {
        let Surface::Thing(tag) = thing else { return };
        if !self.record(thing).is_some_and(|record| record.track.is_nothing()) {
            return;
        }
        self.drop_thing(thing);
        if self.of_tag(tag) == [thing] {
            self.tags.remove(&tag);
        }
    }

    /// It was never there.
    pub(super) fn drop_thing(&mut self, thing: Surface) {
        self.changed(thing);
        let record = self.record_mut(thing);
        let wet = std::mem::take(&mut record.wet).into_iter().map(|it| (it.source, AFTER_ALL));
        let looked = record.dried.iter().filter(|it| it.looked.is_some());
        let looked = looked.flat_map(|it| it.wet.iter().map(|wet| (wet.source, it.done)));
        let dropped: Vec<(Source, Time)> =
            wet.chain(looked).filter(|(source, _)| matches!(source, Source::Touch { .. })).collect();
        record.track = Track::default();
        if let Surface::Thing(tag) = thing
            && !dropped.is_empty()
        {
            self.dropped.entry(tag).or_default().extend(dropped);
        }
        // Should it come after all, it is wet by whatever it stood under.
        for all in self.sprays.values_mut().filter(|all| all.iter().any(|it| it.wetted.contains(&thing))) {
            Arc::make_mut(all).iter_mut().for_each(|it| it.wetted.retain(|it| *it != thing));
        }
    }

    /// A second person looked where a move that was taken back said that it went, and it was not so. What nothing else speaks of
    /// was never there.
    pub fn unmove(&mut self, target: Number, rooms: &[Code], by: Number) {
        let guests: Vec<Surface> = rooms.iter().filter_map(|room| self.visitors.get(room)).flatten().copied().collect();
        for guest in guests {
            let has = |record: &Record| record.track.has(target) && record.track.is_taken_back(target);
            if !self.record(guest).is_some_and(has) {
                continue;
            }
            let before = self.rooms_of(guest);
            let moves = self.record(guest).map(|record| record.track.moves()).unwrap_or_default();
            let at = moves.iter().find(|it| it.number == target).map_or(BEFORE_ALL, |it| it.at);
            self.record_mut(guest).track.forget(target);
            self.lost_again(guest, target, by);
            self.follow_anew(guest, before, (at, by));
            self.unname(guest, target, by);
            self.drop_phantom(guest);
        }
    }

    /// It did not turn up by that: it is as lost as it was, or turned up by what was told since.
    fn lost_again(&mut self, surface: Surface, target: Number, by: Number) {
        let Some(record) = self.record(surface) else { return };
        let wet = record.wet.iter().chain(record.dried.iter().flat_map(|it| it.wet.iter()));
        let labels = wet.filter_map(|it| match it.source {
            Source::Touch { number, label, .. } if number == target => Some(label),
            Source::Touch { .. } | Source::Spray { .. } => None,
        });
        let moves = record.track.moves();
        // That what was given up was this may be in doubt by what is taken back, and turned up it has all the same.
        let given_up = moves.iter().rfind(|it| it.step == Step::Lost).map(|it| (it.at, it.in_doubt));
        let (Some(label), Some((given_up, in_doubt))) = (labels.max(), given_up) else { return };
        let since = moves.iter().find(|it| it.at > given_up && it.step != Step::Lost && !it.step.is_hearsay());
        match since.copied() {
            Some(it) => self.make_wet(surface, Source::Touch { number: it.number, at: it.at, label }, by),
            None if in_doubt => {}
            None => self.record_mut(surface).lost = Some(label),
        }
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
            None => Arc::make_mut(self.groups.entry(bed).or_default()).home = Some((room, number)),
            Some(from) if from != room => {
                // A bed that was noted as having left is where that note says.
                let step = Step::Rolled { from, to: room, is_exact: rolled.is_some() };
                let at = rolled.unwrap_or(earliest);
                let of_bed = self.groups.get(&bed).and_then(|group| group.bed.last_told());
                let parts = self.groups.get(&bed).into_iter().flat_map(|group| group.parts.iter());
                let parts: Vec<(Surface, Time)> =
                    parts.filter_map(|(part, record)| Some((*part, record.track.last_told()?))).collect();
                let last = parts.iter().map(|(_, last)| *last).max().max(of_bed);
                self.bed_moved(bed, Move { at, number, step, in_doubt: false });
                // Where it was seen or rolled since, it may have been rolled after that, and so may a part that was.
                let since = of_bed.filter(|last| *last > at);
                if let Some(last) = since {
                    self.bed_moved(bed, Move { at: last, number, step, in_doubt: false });
                }
                for (part, last) in parts.into_iter().filter(|(_, last)| *last > at) {
                    if self.rooms_of(part).contains(&from) {
                        self.moved(part, Move { at: last, number, step: Step::Named { at: room }, in_doubt: false });
                    }
                }
                // And whatever else comes to light of it, the book has it there now.
                if rolled.is_none() && last.is_none_or(|last| noted > last) {
                    self.bed_moved(bed, Move { at: noted, number, step, in_doubt: false });
                }
            }
            Some(_) => {}
        }
    }

    /// The rooms in which the bed may be.
    pub fn bed_rooms(&self, bed: Code) -> Vec<Code> {
        match self.groups.get(&bed) {
            Some(group) if group.bed.is_empty() => group.home.map(|(room, _)| room).into_iter().collect(),
            _ => self.bed_visits(bed).1,
        }
    }

    /// The rooms in which it may have stood at this time, by what was noted before this entry.
    pub fn bed_rooms_at(&self, bed: Code, at: Time, number: Number) -> Vec<Code> {
        let mut rooms: Vec<Code> =
            self.bed_visits(bed).0.iter().filter(|it| it.holds(at, number)).map(|it| it.room).collect();
        rooms.sort();
        rooms.dedup();
        rooms
    }

    /// The rooms in which it may have stood at any time since.
    pub fn bed_rooms_since(&self, bed: Code, since: Time) -> Vec<Code> {
        self.bed_visits(bed).0.iter().filter(|it| it.until >= since).map(|it| it.room).collect()
    }

    fn bed_visits(&self, bed: Code) -> (Vec<Visit>, Vec<Code>) {
        let Some(group) = self.groups.get(&bed) else { return (vec![], vec![]) };
        let nothing = Track::default();
        let home: Vec<Code> = group.home.map(|(room, _)| room).into_iter().collect();
        place::visits(&home, &nothing, &group.bed, &|_, at, _| at)
    }

    /// Whether neither the bed nor a part of it was ever moved: it stands where the book first had it.
    pub fn never_moved(&self, bed: Code) -> bool {
        let is_still =
            |group: &Arc<Group>| group.bed.is_empty() && group.parts.iter().all(|(_, record)| record.track.is_empty());
        self.groups.get(&bed).is_some_and(is_still)
    }

    /// Whether anything that was moved is in no room of the book.
    pub fn is_anything_outside(&self) -> bool {
        !self.outside.is_empty()
    }

    /// The entry by which the book first had this bed.
    pub fn came_into_the_book(&self, bed: Code) -> Option<Number> {
        self.groups.get(&bed)?.home.map(|(_, number)| number)
    }

    /// Whether any move of the bed itself was noted.
    pub fn is_bed_moved(&self, bed: Code) -> bool {
        self.groups.get(&bed).is_some_and(|group| !group.bed.is_empty())
    }

    /// The bed itself left for nobody knows where, and nobody has seen it since.
    pub fn is_bed_looked_for(&self, bed: Code) -> bool {
        self.groups.get(&bed).is_some_and(|group| group.bed.is_looked_for())
    }

    /// Whether nothing but the book moved the bed, and nobody saw a part of it in another room than this.
    pub fn is_only_booked(&self, bed: Code, room: Code) -> bool {
        self.groups.get(&bed).is_some_and(|group| group.bed.is_only_rolled(room))
    }

    /// Somebody saw the bed in the room.
    pub fn bed_seen(&mut self, bed: Code, room: Code, at: Time, number: Number) {
        if self.bed_rooms(bed) != [room] || self.is_bed_looked_for(bed) {
            let step = self.groups.get(&bed).map_or(Step::Seen { at: room }, |it| it.bed.sighting(room, number));
            self.bed_moved(bed, Move { at, number, step, in_doubt: false });
        }
    }

    /// Somebody walked a room in which the bed may be, as one of several.
    pub fn bed_walked(&mut self, bed: Code, at: Time, number: Number) {
        if self.bed_rooms(bed).len() > 1 {
            Arc::make_mut(self.groups.entry(bed).or_default()).bed.walked.push((number, at));
        }
    }

    /// Something was seen in the room under a tag that may be this one's: it is there, or where it belongs.
    pub fn perhaps_seen(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        // What was seen was perhaps the other: this one is there too, and wherever it was.
        let seen = Move { at, number, step: Step::Named { at: room }, in_doubt: false };
        self.moved(surface, seen);
        self.may_be_home(surface, seen);
    }

    pub(super) fn sighting(&self, surface: Surface, room: Code, number: Number) -> Step {
        self.record(surface).map_or(Step::Seen { at: room }, |record| record.track.sighting(room, number))
    }

    /// Somebody saw it in the room: from then on it is there and nowhere else.
    pub fn seen(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        let step = self.sighting(surface, room, number);
        self.moved(surface, Move { at, number, step, in_doubt: false });
    }

    /// The book has the bed in another room, nobody said when it was rolled, and nobody has walked there.
    fn rolling(&self, bed: Code) -> Option<(Code, Code)> {
        match self.groups.get(&bed)?.bed.moves().last()?.step {
            Step::Rolled { from, to, is_exact: false } if self.bed_rooms(bed).len() > 1 => Some((from, to)),
            Step::Rolled { .. }
            | Step::Left { .. }
            | Step::Arrived { .. }
            | Step::Seen { .. }
            | Step::Named { .. }
            | Step::Lost => None,
        }
    }

    pub fn is_rolling(&self, bed: Code) -> bool {
        self.rolling(bed).is_some()
    }
}

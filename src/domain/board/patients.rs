//! Where patients went. Who leaves a room with a case may carry it along: the room where they lie now is inspected. Who left
//! such a room for a place that nobody named is asked about until somebody says.
//!
//! From a room that is clear a move says who lies where, and closes nothing; where a finding from before it comes to light,
//! the case follows the patient as it follows a thing.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::apply::{No, Reading};
use super::closing::empty;
use super::room::Cause;
use super::state::State;
use super::things::{Thing, tag_code};
use super::{Board, CLOCK_TOLERANCE, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time, Went};
use crate::domain::rule::Rule;
use crate::domain::surface::{Destination, Move, Step};

/// A patient who left a room with a case, and nobody said where to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Gone {
    /// The entry by which the bed became empty, and when.
    pub number: Number,
    pub at: Time,
    pub bed: Code,
    pub room: Code,
    /// The entries that said where to, afterwards.
    answers: Vec<Number>,
}

/// A patient's way from bed to bed. It is kept though it is voided: it may have been one all the same.
#[derive(Clone, Debug)]
struct Way {
    /// The entry that says so.
    number: Number,
    at: Time,
    from: Vec<Code>,
    to: Code,
    /// None: not stated, so any bed of the room.
    bed: Option<Code>,
}

impl Way {
    /// The bed that was rolled along with its patient.
    fn own_bed(&self) -> Option<Code> {
        self.bed.filter(|bed| self.from.contains(bed))
    }
}

#[derive(Clone, Debug, Default)]
pub(super) struct Patients {
    gone: Vec<Gone>,
    ways: Vec<Way>,
    /// Entries by which somebody came to lie in a bed of another room.
    received: Vec<Number>,
}

impl Board {
    /// Whether who leaves this room, as it stands, may carry something along.
    pub fn carries(&self, code: Code) -> bool {
        let asks = |cause: Cause, is_gap: bool| match cause {
            // What came from a case has not been looked at yet; where entries are missing, a finding may be.
            Cause::Received => true,
            Cause::Walk => is_gap,
            Cause::Suspicion { .. }
            | Cause::Confirmed
            | Cause::PatientsOut
            | Cause::Prepared
            | Cause::Spray
            | Cause::Supplied { .. }
            | Cause::Damp
            | Cause::Brought { .. }
            | Cause::Wiped
            | Cause::Damage { .. } => true,
            Cause::OutOfService | Cause::Left { .. } => false,
        };
        let Some(room) = self.room(code) else { return self.hides_something(code) };
        let has_case = match room.state() {
            State::Clear => false,
            State::Suspect | State::Confirmed | State::TreatedWet | State::TreatedDry | State::Monitoring => true,
        };
        has_case || self.hides_something(code) || room.unsettled().any(|it| asks(it.cause, it.gap.is_some()))
    }

    /// The same of a time that is past: a case that was settled since counts.
    fn carried_at(&self, code: Code, at: Time) -> bool {
        let until = self.room(code).and_then(|room| room.carried_until);
        self.carries(code) || until.is_some_and(|until| at <= until + CLOCK_TOLERANCE)
    }

    /// Only a signature ends a case: what it finds there is remembered, for a move that is noted afterwards.
    pub(super) fn remember_carried(&mut self, entry: &Entry) {
        if entry.body.seen().is_none() {
            return;
        }
        for code in self.rooms_of(&entry.place) {
            if self.room(code).is_some() && self.carries(code) {
                let room = self.room_mut(code);
                room.carried_until = room.carried_until.max(Some(entry.noted));
            }
        }
    }

    /// The rooms in which this bed may stand, and the one that the book has it in.
    pub fn rooms_of_bed(&self, bed: Code) -> Vec<Code> {
        let mut rooms = self.surfaces().bed_rooms(bed);
        let booked = self.facility().room_of_bed(bed).map(|plan| plan.code);
        rooms.extend(booked.filter(|code| !rooms.contains(code)));
        rooms
    }

    /// Whether, when this bed is noted empty, it is asked where its patient went.
    pub fn asks_where(&self, bed: Code) -> bool {
        self.may_be_occupied(bed) && self.rooms_of_bed(bed).into_iter().any(|room| self.carries(room))
    }

    /// Patients of whom nobody has said yet where they went, oldest first.
    pub fn gone(&self) -> impl Iterator<Item = &Gone> {
        self.patients.gone.iter().filter(|it| it.answers.is_empty())
    }

    /// The newest such question about this bed.
    pub fn patient_gone_from(&self, bed: Code) -> Option<&Gone> {
        self.gone().filter(|it| it.bed == bed).last()
    }

    /// Asks where the patient of this bed went.
    pub(super) fn ask_where(&mut self, entry: &Entry, bed: Code) {
        let room = self.facility().room_of_bed(bed).map(|plan| plan.code).or(entry.place.first_room());
        // Nobody came to lie there since it was asked the last time.
        let is_asked = self.patient_gone_from(bed).is_some() && !self.may_be_occupied(bed);
        let Some(room) = room.filter(|_| !is_asked) else { return };
        let gone = Gone { number: entry.number, at: entry.happened, bed, room, answers: vec![] };
        Arc::make_mut(&mut self.patients).gone.push(gone);
    }

    pub(super) fn patient_moved(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::PatientMoved { beds, went, receiving, receiving_bed, outside, own_bed, things, answers, .. } =
            &entry.body
        else {
            return Ok(());
        };
        let at = entry.happened.min(entry.noted);
        let asked = |it: &Gone| Some(it.number) == *answers && beds.contains(&it.bed);
        let empty_since = self.patients.gone.iter().find(|it| asked(it)).map(|it| it.at);
        let was_asked = empty_since.is_some();
        let mut left: Vec<Code> = beds.iter().flat_map(|bed| self.rooms_of_bed(*bed)).collect();
        if left.is_empty() {
            left.extend(entry.place.first_room());
        }
        let carries = was_asked || left.iter().any(|room| self.carried_at(*room, at));
        let to = receiving.filter(|code| self.facility().room(*code).is_some());
        // However late it is noted, and by whom: only the bed that was left is not known to be empty then.
        let counts = self.fact_counts(reading, false).is_ok();
        // What went along went with the patient, whenever that is said: of an answer, at any time since the bed was empty.
        let rolled: Vec<Code> = beds.iter().copied().filter(|_| *own_bed).collect();
        let along: Vec<(String, Code)> = things
            .iter()
            .filter_map(|thing| Some((thing.trim().to_owned(), tag_code(thing)?)))
            .chain(rolled.iter().map(|bed| (bed.to_string(), *bed)))
            .collect();
        let since = empty_since.map_or(at, |empty| empty.min(at));
        for (tag, code) in along {
            self.goes_along(entry, (tag, code), left.first().copied(), (to, outside), (since, !carries));
        }
        if answers.is_none() && *went == Went::Unknown && to.is_none() && carries {
            let lay = |bed: &&Code| beds.len() == 1 || self.may_be_occupied(**bed);
            for bed in beds.iter().filter(lay).copied().collect::<Vec<_>>() {
                self.ask_where(entry, bed);
            }
        }
        // A bed that was noted empty, and that its patient lies in after all, is not.
        rolled.iter().for_each(|bed| self.occupy(entry, *bed));
        if counts && rolled.is_empty() && answers.is_none() {
            for bed in beds {
                let Some(code) = self.facility().room_of_bed(*bed).map(|plan| plan.code) else { continue };
                empty(self.room_mut(code), entry, *bed);
            }
        }
        if answers.is_some() && *went != Went::Unknown {
            let gone = Arc::make_mut(&mut self.patients).gone.iter_mut();
            gone.filter(|it| asked(it)).for_each(|it| it.answers.push(entry.number));
        }
        if let Some(to) = to {
            if !*own_bed {
                self.receive_patient(entry, to, *receiving_bed);
            }
            let bed = if *own_bed { beds.first().copied() } else { *receiving_bed };
            let ways = &mut Arc::make_mut(&mut self.patients).ways;
            let number = entry.number;
            ways.extend((since < at).then(|| Way { number, at: since, from: beds.clone(), to, bed }));
            ways.push(Way { number, at, from: beds.clone(), to, bed });
            if carries && !left.contains(&to) {
                // What came along may be from the case itself; a patient, washed or not, is less than that.
                self.receive(entry, to, !*own_bed && things.is_empty());
            }
        }
        match answers.filter(|_| !was_asked) {
            Some(number) => {
                let text = format!("nobody asks where the patient went that left by entry {number}");
                Err(No::new(Rule::Target, text))
            }
            None => Ok(()),
        }
    }

    /// A tagged thing, or the bed itself, that went along with its patient.
    fn goes_along(
        &mut self,
        entry: &Entry,
        (tag, code): (String, Code),
        from: Option<Code>,
        (to, outside): (Option<Code>, &str),
        (since, from_clear): (Time, bool),
    ) {
        let Some(from) = from.filter(|from| Some(*from) != to) else { return };
        let destination = match to {
            Some(to) => Destination::Room(to),
            None if outside.trim().is_empty() => Destination::Unknown,
            None => Destination::Outside,
        };
        let step = Step::Left { from, to: destination };
        // It may have gone as soon as its patient was gone, and may have stood here until it was said.
        let moved = Move { at: entry.happened.min(entry.noted), number: entry.number, step, in_doubt: false };
        if since < moved.at {
            self.move_thing(code, &[], Move { at: since, ..moved });
            self.may_have_stayed(code, from, (since, entry.number));
        }
        self.move_thing(code, &[], moved);
        if self.is_thing_wet(&tag) || self.hides_something(from) {
            self.note_exception(entry.number, Some(from), ExceptionKind::LeftWet(tag.clone()));
        }
        let (number, left) = (entry.number, entry.happened);
        let arrived = to.map(|to| (number, to, left));
        let outside = outside.trim().to_owned();
        let thing = Thing { tag, number, left, from, to, outside, zones: vec![], from_clear, arrived };
        let things = Arc::make_mut(&mut self.things);
        things.retain(|known| known.arrived.is_none() || !known.tag.eq_ignore_ascii_case(&thing.tag));
        things.push(thing);
    }

    fn may_have_stayed(&mut self, tag: Code, room: Code, (at, number): (Time, Number)) {
        let stayed = Move { at, number, step: Step::Named { at: room }, in_doubt: false };
        if self.is_bed(tag) {
            self.surfaces_mut().bed_moved(tag, stayed);
            return;
        }
        for surface in self.surfaces().of_tag(tag).to_vec() {
            self.surfaces_mut().moved(surface, stayed);
        }
    }

    /// Remembers that somebody came to lie in a bed of a room.
    pub(super) fn remember_received(&mut self, entry: &Entry) {
        Arc::make_mut(&mut self.patients).received.push(entry.number);
    }

    /// Whether somebody went to another room by this entry.
    pub(super) fn is_patients_way(&self, number: Number) -> bool {
        self.patients.received.contains(&number) || self.patients.ways.iter().any(|way| way.number == number)
    }

    /// Whoever came by this entry, or went, lies in that room: in which bed nobody said, and what they carry went along.
    pub(super) fn patient_really_in(&mut self, entry: &Entry, really: Code, target: Number) {
        let moved = self.patients.ways.iter().filter(|way| way.number == target);
        let moved: Vec<Way> = moved.map(|way| Way { to: really, bed: way.own_bed(), ..way.clone() }).collect();
        let since = moved.iter().map(|way| way.at).min();
        if self.patients.received.contains(&target) {
            self.receive_patient(entry, really, None);
            self.lay_perhaps(entry, really, since.map_or(entry.happened, |at| at.min(entry.happened)));
        }
        Arc::make_mut(&mut self.patients).ways.extend(moved);
    }

    /// The rooms to which patients went who lay in this room at that time or since, stop by stop.
    pub(super) fn rooms_of_patients_from(&self, room: Code, since: Time) -> Vec<Code> {
        let beds = self.facility().room(room).map(|plan| plan.beds.as_slice()).unwrap_or_default();
        let mut may_carry: BTreeMap<Code, Time> = beds.iter().map(|bed| (bed.code, since)).collect();
        let mut ways: Vec<&Way> = self.patients.ways.iter().filter(|way| way.at >= since).collect();
        ways.sort_by_key(|way| way.at);
        let mut rooms = vec![];
        for way in ways {
            if !way.from.iter().any(|bed| may_carry.get(bed).is_some_and(|from| *from <= way.at)) {
                continue;
            }
            let plan = self.facility().room(way.to);
            let all = || plan.map(|plan| plan.beds.iter().map(|bed| bed.code).collect()).unwrap_or_default();
            for bed in way.bed.map_or_else(all, |bed| vec![bed]) {
                may_carry.entry(bed).or_insert(way.at);
            }
            if way.to != room && !rooms.contains(&way.to) {
                rooms.push(way.to);
            }
        }
        rooms
    }

    /// A question falls with the entry that asked it, and stands again without the one that answered it.
    pub(super) fn void_patient(&mut self, target: Number) -> bool {
        let is_of = |it: &Gone| it.number == target || it.answers.contains(&target);
        if !self.patients.gone.iter().any(is_of) {
            return false;
        }
        let gone = &mut Arc::make_mut(&mut self.patients).gone;
        gone.retain(|it| it.number != target);
        gone.iter_mut().for_each(|it| it.answers.retain(|number| *number != target));
        true
    }
}

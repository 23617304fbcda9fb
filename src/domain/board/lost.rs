//! What nobody finds: a thing under its tag, or a bag. The lead and infection prevention give it up together, for a reason, as an
//! exception. No room waits for it any more; seen again, a thing is wet and a bag not laundered.

use std::sync::Arc;

use super::apply::{No, Reading, closer};
use super::closing::fact;
use super::room::{Cause, Room};
use super::two::{Joint, Pair};
use super::{Board, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Lost, Number};
use crate::domain::need::Need;
use crate::domain::rule::Rule;
use crate::domain::surface::Surface;

/// Something that was given up, by the entries of two.
#[derive(Clone, Debug)]
pub(super) struct Off {
    by: [Number; 2],
    what: Lost,
    tag: Code,
}

impl Board {
    pub(super) fn write_off(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::WrittenOff { what, tag, .. } = &entry.body else { return Ok(()) };
        let (what, tag) = (*what, *tag);
        let wanted = self.rooms_of_lost(what, tag);
        let named = self.rooms_of(&entry.place);
        if let Some(room) = wanted.iter().find(|room| !named.contains(room)) {
            return Err(No::new(Rule::Place, format!("the entry has to name room {room}, which waits for {tag}, too")));
        }
        match what {
            Lost::Bag if wanted.is_empty() => {
                return Err(No::new(Rule::Target, format!("no room waits for bag {tag}")));
            }
            Lost::Bag => {}
            Lost::Thing => self.may_be_given_up(tag)?,
        }
        let Some(other) = self.said_by_two(entry, Joint::Lost(what, tag), Pair::LeadAndPrevention)? else {
            return Ok(());
        };
        match what {
            Lost::Bag => {
                for code in &wanted {
                    let mut ended = fact(entry, vec![Need::Bag(tag)]);
                    (ended.treated_too, ended.gone) = (true, true);
                    self.room_mut(*code).add_fact(ended);
                }
            }
            Lost::Thing => {
                let (at, label) = (entry.happened.min(entry.noted), self.unknown_label());
                match self.bed_under(tag) {
                    Some(parts) => self.surfaces_mut().bed_lost(tag, &parts, at, entry.number, label),
                    None => self.surfaces_mut().given_up(tag, at, entry.number, label),
                }
            }
        }
        for code in named {
            self.note_exception(entry.number, Some(code), ExceptionKind::WrittenOff(what, tag));
        }
        Arc::make_mut(&mut self.written_off).push(Off { by: [other, entry.number], what, tag });
        Ok(())
    }

    /// The rooms that wait for it, or in which it may be.
    pub fn rooms_of_lost(&self, what: Lost, tag: Code) -> Vec<Code> {
        let waits = |room: &Room| room.evidence().iter().any(|it| it.need == Need::Bag(tag) && it.met_by.is_none());
        match what {
            Lost::Bag => self.rooms().filter(|(_, room)| waits(room)).map(|(code, _)| code).collect(),
            Lost::Thing => {
                let all = self.surfaces().of_tag(tag).iter().flat_map(|surface| self.surfaces().rooms_of(*surface));
                let bed = self.bed_under(tag).map(|_| self.surfaces().bed_rooms(tag));
                let mut rooms: Vec<Code> = all.chain(bed.into_iter().flatten()).collect();
                rooms.sort();
                rooms.dedup();
                rooms
            }
        }
    }

    /// Where a bed left or came under its own code: the parts of it that are where it is. What was taken out of it under a tag of its
    /// own is given up, or seen, under that.
    fn bed_under(&self, tag: Code) -> Option<Vec<Surface>> {
        if !self.is_bed(tag) || self.surfaces().is_tag(tag) || !self.surfaces().is_bed_moved(tag) {
            return None;
        }
        let rooms = self.surfaces().bed_rooms(tag);
        let is_on_it = |part: &Surface| {
            let is_by_itself = self.surfaces().is_carried(*part) && !self.surfaces().tags_of(*part).is_empty();
            !is_by_itself && self.surfaces().rooms_of(*part).iter().all(|room| rooms.contains(room))
        };
        let mut parts = self.parts_of_bed(tag);
        parts.retain(is_on_it);
        Some(parts)
    }

    /// Whether what carries this tag, or the bed of this code, was given up, and nobody has seen it since.
    pub fn is_given_up(&self, tag: Code) -> bool {
        let is_lost = |it: &Surface| self.surfaces().is_lost(*it);
        self.surfaces().is_bed_lost(tag) || self.surfaces().of_tag(tag).iter().any(is_lost)
    }

    /// It was looked for in every room since anybody last told of it.
    fn may_be_given_up(&self, tag: Code) -> Result<(), No> {
        let bed = self.bed_under(tag);
        let is_bed = bed.is_some();
        let surfaces = bed.unwrap_or_else(|| self.surfaces().of_tag(tag).to_vec());
        if surfaces.is_empty() && !is_bed {
            return Err(No::new(Rule::Target, format!("nothing was ever noted under the tag {tag}")));
        }
        let parts = surfaces.iter().filter(|it| !matches!(it, Surface::Thing(_)));
        let doubtful = parts.clone().any(|surface| !self.surfaces().is_surely(tag, *surface));
        if doubtful && parts.count() > 1 {
            let text =
                format!("{tag} was said to be two things, and nobody knows which is lost: say where each was seen");
            return Err(No::new(Rule::WrittenOff, text));
        }
        let is_gone = |it: &Surface| self.surfaces().is_lost(*it) && self.surfaces().rooms_of(*it).is_empty();
        if surfaces.iter().all(is_gone) && (!is_bed || self.surfaces().is_bed_lost(tag)) {
            return Err(No::new(Rule::Target, format!("{tag} was written off already")));
        }
        let told = surfaces.iter().map(|surface| self.surfaces().last_told(*surface));
        let told = told.chain(is_bed.then(|| self.surfaces().bed_last_told(tag))).max().unwrap_or_default();
        let is_walked = |room: &Code| self.walks.get(room).is_some_and(|walk| *walk > told);
        let left: Vec<String> = self
            .facility()
            .wards
            .values()
            .filter_map(|ward| {
                let rooms: Vec<String> =
                    ward.rooms.iter().filter(|room| !is_walked(room)).map(Code::to_string).collect();
                match rooms.len() {
                    0 => None,
                    all if all == ward.rooms.len() => Some(format!("ward {}", ward.code)),
                    _ => Some(format!("{} of ward {}", rooms.join(", "), ward.code)),
                }
            })
            .collect();
        match left.is_empty() {
            true => Ok(()),
            false => {
                let text = format!(
                    "{tag} was last told of in entry {told}, and {} was not walked since: it is looked for in every room first",
                    left.join(", ")
                );
                Err(No::new(Rule::WrittenOff, text))
            }
        }
    }

    /// The rooms that were walked are those that the place has then.
    pub(super) fn hear_walk(&mut self, entry: &Entry) {
        if let Body::WardWalked { .. } = &entry.body {
            let rooms = self.rooms_of(&entry.place);
            Arc::make_mut(&mut self.walks).extend(rooms.into_iter().map(|room| (room, entry.number)));
        }
    }

    /// Whether the room in which the book has this bed was walked after this entry.
    pub fn is_walked_since(&self, bed: Code, number: Number) -> bool {
        let room = self.facility().room_of_bed(bed).map(|plan| plan.code);
        room.and_then(|room| self.walks.get(&room)).is_some_and(|walk| *walk > number)
    }

    /// Whether a bag of this tag was given up.
    pub fn is_bag_written_off(&self, tag: Code) -> bool {
        self.written_off.iter().any(|off| off.what == Lost::Bag && off.tag == tag)
    }

    /// A bag that was given up turns up: it is not laundered, and the room where it is waits for that.
    pub(super) fn bag_seen(&mut self, entry: &Entry, tag: Code) {
        for code in self.rooms_of(&entry.place) {
            let waits = |room: &Room| room.evidence().iter().any(|it| it.need == Need::Bag(tag) && it.met_by.is_none());
            if self.facility().room(code).is_some() && !self.room(code).is_some_and(waits) {
                let closing = closer(entry, Cause::Brought { wet: false }, vec![Need::Bag(tag)]);
                self.room_mut(code).close(closing);
            }
        }
    }

    /// Of what two gave up, the entry by which it counts, whichever of the two is meant; and forgets that it was given up.
    pub(super) fn void_lost(&mut self, target: Number, by: Number) -> Number {
        let Some(off) = self.written_off.iter().find(|off| off.by.contains(&target)).cloned() else {
            let is_it = |walk: &Number| *walk == target;
            if self.walks.values().any(is_it) {
                Arc::make_mut(&mut self.walks).retain(|_, walk| !is_it(walk));
            }
            return target;
        };
        Arc::make_mut(&mut self.written_off).retain(|it| it.by != off.by);
        if off.what == Lost::Thing {
            let surfaces = self.bed_under(off.tag).unwrap_or_else(|| self.surfaces().of_tag(off.tag).to_vec());
            surfaces.into_iter().for_each(|surface| self.surfaces_mut().found(surface, by));
        }
        off.by[1]
    }
}

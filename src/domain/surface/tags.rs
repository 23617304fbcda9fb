//! Tags: what each of them stands for, and what becomes of that when more is said or seen.

use std::collections::BTreeSet;

use chrono::TimeDelta;

use super::{Dried, Move, Step, Surface, Surfaces, Wet};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// Somebody saw a surface without the tag that it was said to carry.
#[derive(Clone, Copy, Debug)]
pub(super) struct Apart {
    by: Number,
    tag: Code,
    surface: Surface,
    /// The tag that it carried instead. None: it was seen by its own name, or two people say so.
    under: Option<Code>,
}

impl Surfaces {
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

    /// It is said to be this surface now, and was said to be another before: what was felt under that tag was perhaps the other.
    pub fn doubt(&mut self, tag: Code, surface: Surface, by: Number) {
        self.perhaps(tag, surface, by);
        let is_under = |dried: &&Dried| dried.check.is_some_and(|check| check.under == Some(tag));
        let dried = self.record(surface).into_iter().flat_map(|record| record.dried.iter());
        let perhaps: Vec<Wet> = dried.filter(is_under).flat_map(|dried| dried.wet.iter().copied()).collect();
        perhaps.into_iter().for_each(|wet| self.make_wet(surface, wet.source, by));
        // And what was told of the tag alone was perhaps told of the other: it may be where that left it, and where it was.
        let before = self.rooms_of(surface);
        let said = self.said.get(&(tag, surface)).cloned().unwrap_or_default();
        let told = self.told_under.get(&tag).cloned().unwrap_or_default();
        let is_of_tag = |number: Number| told.contains(&number) && !said.contains(&number);
        let given_up = self.given_up_under.get(&tag).cloned().unwrap_or_default();
        let record = self.record_mut(surface);
        let doubted = record.track.doubt(&is_of_tag);
        let is_lost = record.track.doubt_lost_by(&given_up);
        // What was given up was perhaps the other: it may be there, and may be gone.
        if let Some((at, label)) = is_lost.zip(record.lost) {
            self.touched(surface, by, at, label);
        }
        if let Some(first) = doubted.into_iter().chain(is_lost).min() {
            self.follow_anew(surface, before, (first, by));
        }
    }

    /// This entry tells of whatever carries the tag.
    pub fn told_of(&mut self, tag: Code, by: Number) {
        let told = self.told_under.entry(tag).or_default();
        if told.last() != Some(&by) {
            told.push(by);
        }
        // Given up as what is to be found by another tag, and turned up: it may be on that after all.
        let lost = self.record(Surface::Thing(tag)).into_iter().flat_map(|record| record.track.moves());
        let lost: Vec<Number> = lost.filter(|it| it.step == Step::Lost).map(|it| it.number).collect();
        self.not_apart(&|it| it.tag == tag && lost.contains(&it.by), by);
    }

    /// The tag may stand for another: what was concluded from this one's being seen under it falls.
    fn perhaps(&mut self, tag: Code, surface: Surface, by: Number) {
        self.changes.doubted.insert(tag);
        if self.doubtful.insert((tag, surface)) {
            self.not_apart(&|it| it.surface == surface && it.under == Some(tag), by);
        }
    }

    /// It is said to be this one, and nothing else was ever said.
    pub fn sure(&mut self, tag: Code, surface: Surface) {
        self.doubtful.remove(&(tag, surface));
    }

    /// It was seen under its own name, or under another tag: a tag that was said to be this or another stands for the other, and
    /// what wetted the one under that tag wetted the other.
    pub fn seen_apart(&mut self, surface: Surface, under: Option<Code>, number: Number) {
        let tags: Vec<Code> = self.doubtful.iter().filter(|(_, it)| *it == surface).map(|(tag, _)| *tag).collect();
        // What was concluded of it by another sighting is told by this one, too.
        let is_given_up = |it: &Apart| self.given_up_under.get(&it.tag).is_some_and(|all| all.contains(&it.by));
        let is_same = |it: &&Apart| it.surface == surface && it.under == under && Some(it.tag) != under;
        let told = self.told_apart.iter().filter(is_same).filter(|it| it.by != number && !is_given_up(it));
        let told: BTreeSet<Code> = told.map(|it| it.tag).collect();
        self.told_apart.extend(told.into_iter().map(|tag| Apart { by: number, tag, surface, under }));
        tags.into_iter().for_each(|tag| self.tell_apart(Apart { by: number, tag, surface, under }));
        // A tag that was said to be another's, too, and is this one's for want of that: it is perhaps of neither.
        let is_left = |it: &&Apart| it.surface != surface && Some(it.tag) != under && self.is_only(it.tag, surface);
        let left: Vec<Code> = self.told_apart.iter().filter(is_left).map(|it| it.tag).collect();
        for tag in left.into_iter().filter(|_| under.is_some()) {
            self.of_neither.push(Apart { by: number, tag, surface, under });
            self.is_perhaps_not(tag, surface, number);
        }
    }

    /// Whether no other part is said to carry this tag.
    fn is_only(&self, tag: Code, part: Surface) -> bool {
        self.parts_of(tag).eq([&part])
    }

    /// What carries this tag is perhaps a thing that nobody spoke of: no note that counts says which part it is.
    pub(super) fn is_of_its_own(&self, tag: Code) -> bool {
        let is_neither = || self.of_neither.iter().any(|it| it.tag == tag);
        let mut parts = self.parts_of(tag);
        self.of_tag(tag).contains(&Surface::Thing(tag)) && (parts.all(|it| !self.is_said(tag, *it)) || is_neither())
    }

    fn is_said(&self, tag: Code, part: Surface) -> bool {
        self.said.get(&(tag, part)).is_some_and(|said| !said.is_empty())
    }

    /// The tag is not this one's.
    fn tell_apart(&mut self, it: Apart) {
        let Apart { by, tag, surface, .. } = it;
        if self.of_tag(tag) == [surface] {
            // Then it is on something that nobody spoke of.
            self.is_perhaps_not(tag, surface, by);
        }
        self.told_apart.push(it);
        self.doubtful.remove(&(tag, surface));
        let others = self.tags.entry(tag).or_default();
        others.retain(|it| *it != surface);
        let others = others.clone();
        let mut parts = others.iter().filter(|it| !matches!(it, Surface::Thing(_)));
        // Where a note says so, it is the one that is left, and no thing of its own.
        if let (Some(only), None) = (parts.next(), parts.next())
            && self.is_said(tag, *only)
        {
            self.doubtful.remove(&(tag, *only));
            self.doubtful.remove(&(tag, Surface::Thing(tag)));
        }
        self.record_mut(surface).tags.retain(|known| *known != tag);
        let wet = self.record(surface).map(|record| record.wet.clone()).unwrap_or_default();
        for other in others {
            wet.iter().for_each(|it| self.make_wet(other, it.source, by));
        }
    }

    fn parts_of(&self, tag: Code) -> impl Iterator<Item = &Surface> {
        self.of_tag(tag).iter().filter(|it| !matches!(it, Surface::Thing(_)))
    }

    /// Nobody finds anything that carries this tag. What goes under another tag as well is to be found by that.
    pub fn given_up(&mut self, tag: Code, at: Time, number: Number, label: TimeDelta) {
        self.given_up_under.entry(tag).or_default().push(number);
        let other = |it: Surface| {
            // A tag that is on more parts at once does not tell of the one that went by itself.
            let is_on = |tag: Code| self.parts_of(tag).filter(|part| self.is_surely(tag, **part)).count();
            let tells = |other: &&Code| **other != tag && is_on(**other) <= is_on(tag).max(1);
            let others = || self.tags_of(it).iter().filter(tells);
            others().find(|other| self.is_surely(**other, it)).or(others().next()).copied()
        };
        let goes_on =
            |it: &Surface| !self.is_surely(tag, *it) || self.is_said_in_doubt(tag, *it) || other(*it).is_some();
        let (elsewhere, mut lost): (Vec<Surface>, Vec<Surface>) = self.of_tag(tag).iter().partition(|it| goes_on(it));
        let elsewhere: Vec<(Surface, Option<Code>)> = elsewhere.into_iter().map(|it| (it, other(it))).collect();
        for (surface, under) in elsewhere {
            // What may be where it does not belong has no other name there.
            let home = |room: &Code| matches!(surface, Surface::Room { room: home, .. } if home == *room);
            if under.is_none() && matches!(surface, Surface::Room { .. }) && !self.rooms_of(surface).iter().all(home) {
                continue;
            }
            // What a note said that is taken back, and nobody has looked: it may be gone after all, and is seen before it is felt.
            if under.is_none() && self.is_said_in_doubt(tag, surface) {
                self.record_mut(surface).lost = Some(label);
                self.moved(surface, Move { at, number, step: Step::Lost, in_doubt: true });
            }
            self.told_apart.push(Apart { by: number, tag, surface, under });
            self.doubtful.remove(&(tag, surface));
            self.tags.entry(tag).or_default().retain(|it| *it != surface);
            self.record_mut(surface).tags.retain(|known| *known != tag);
            self.changed(surface);
        }
        if lost.is_empty() {
            lost.push(Surface::Thing(tag));
            self.tags.entry(tag).or_default().push(Surface::Thing(tag));
        }
        for surface in lost {
            self.lost(surface, at, number, label);
        }
    }

    /// The entry by which something was seen without a tag is taken back: it may carry it all the same, and went where that went.
    pub(super) fn told_apart_in_vain(&mut self, target: Number, by: Number) -> bool {
        self.not_apart(&|it| it.by == target, by)
    }

    fn not_apart(&mut self, is_it: &dyn Fn(&Apart) -> bool, by: Number) -> bool {
        let (vain, left): (Vec<Apart>, _) = std::mem::take(&mut self.of_neither).into_iter().partition(is_it);
        self.of_neither = left;
        for Apart { tag, surface, .. } in vain {
            if self.is_only(tag, surface) && self.is_said(tag, surface) {
                self.sure(tag, surface);
                self.sure(tag, Surface::Thing(tag));
                self.changed(surface);
            }
        }
        let (again, left): (Vec<Apart>, _) = std::mem::take(&mut self.told_apart).into_iter().partition(is_it);
        self.told_apart = left;
        for Apart { tag, surface, .. } in again.iter().copied() {
            // Something else tells the same.
            if self.told_apart.iter().any(|it| (it.tag, it.surface) == (tag, surface)) {
                continue;
            }
            let others: Vec<Surface> = self.of_tag(tag).iter().copied().filter(|other| *other != surface).collect();
            // It is that one as before, where a note says so, and none that it is another.
            let is_said = self.is_said(tag, surface);
            let in_doubt = !is_said || others.iter().any(|it| !matches!(it, Surface::Thing(_)));
            self.record_mut(surface).carry(tag);
            for other in others {
                if in_doubt {
                    self.perhaps(tag, other, by);
                }
                self.take_over(other, surface, (by, tag), in_doubt);
            }
            if in_doubt {
                self.perhaps(tag, surface, by);
            }
            let known = self.tags.entry(tag).or_default();
            if !known.contains(&surface) {
                known.push(surface);
            }
        }
        !again.is_empty()
    }

    /// The newest tag under which this surface goes, where it has one. A tag of its own tells more than one of a whole bed.
    pub fn tag_of(&self, surface: Surface) -> Option<Code> {
        if let Surface::Thing(tag) = surface {
            return Some(tag);
        }
        self.own_tag_of(surface).or(self.tags_of(surface).last().copied())
    }

    /// The newest tag that it carries and no other part.
    pub fn own_tag_of(&self, surface: Surface) -> Option<Code> {
        self.tags_of(surface).iter().rev().copied().find(|tag| self.is_only(*tag, surface))
    }

    /// Every tag under which it is known, the newest last.
    pub fn tags_of(&self, surface: Surface) -> &[Code] {
        self.record(surface).map_or(&[], |record| record.tags.as_slice())
    }

    /// This tag stands for these parts; none stated, for a thing of its own. Gives what it stands for.
    pub fn named(&mut self, tag: Code, parts: &[Surface], by: Number) -> Vec<Surface> {
        self.told_of(tag, by);
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
            self.said.entry((tag, *part)).or_default().push(by);
            let is_new = self.record(*part).is_none_or(|record| record.tags.last() != Some(&tag));
            self.record_mut(*part).carry(tag);
            let of_tag = if was_named { Some(Surface::Thing(tag)) } else { before.first().copied() };
            match of_tag.filter(|it| is_new && it != part) {
                Some(of_tag) if is_first || !before.contains(part) => {
                    self.take_over(of_tag, *part, (by, tag), !is_first)
                }
                Some(_) | None => {}
            }
        }
        known
    }

    /// What was told of a tag was told of this part: now it is said which one carries it. In doubt where it was said to be another.
    fn take_over(&mut self, thing: Surface, part: Surface, (by, tag): (Number, Code), in_doubt: bool) {
        let Some(told) = self.record(thing).cloned() else { return };
        let before = self.rooms_of(part);
        // What names another part by itself was told of that one, or of this by the name of that.
        let said = self.said.get(&(tag, thing)).cloned().unwrap_or_default();
        let under = self.told_under.get(&tag).cloned().unwrap_or_default();
        let record = self.record_mut(part);
        for it in told.track.moves().iter().filter(|it| under.contains(&it.number)) {
            let is_known = record.track.moves().iter().any(|known| (known.number, known.step) == (it.number, it.step));
            if !is_known {
                let in_doubt = it.in_doubt || in_doubt || said.contains(&it.number);
                record.track.add(Move { in_doubt, ..*it });
            }
        }
        record.track.retimed_as(&told.track);
        record.lost = record.lost.or(told.lost);
        // What was found dry by another name was perhaps not this.
        let is_other = |dried: &&Dried| dried.check.is_none_or(|check| check.under != Some(tag));
        let dried = told.dried.iter().filter(is_other).flat_map(|dried| dried.wet.iter());
        for wet in told.wet.iter().chain(dried) {
            self.make_wet(part, wet.source, by);
        }
        // What was felt under the tag was this: should that be taken back, it is wet again.
        let record = self.record_mut(part);
        for felt in told.dried.iter().filter(|dried| !is_other(dried)) {
            let at = record.dried.partition_point(|known| known.by <= felt.by);
            if !record.dried.iter().any(|known| known.by == felt.by) {
                record.dried.insert(at, felt.clone());
            }
        }
        if let Some(first) = told.track.moves().first() {
            // It may have been elsewhere at any time before.
            self.follow_anew(part, before, (first.at, by));
        }
    }

    /// Every note that says that this part carries the tag is taken back, and nobody has looked yet.
    pub fn is_said_in_doubt(&self, tag: Code, part: Surface) -> bool {
        let said = self.said.get(&(tag, part)).into_iter().flatten();
        let record = self.record(part);
        let mut taken_back = said.map(|number| record.is_some_and(|it| it.track.is_taken_back(*number))).peekable();
        taken_back.peek().is_some() && taken_back.all(|it| it)
    }

    /// The tags of which this entry says what carries them.
    pub fn tags_said_by(&self, number: Number) -> Vec<Code> {
        let said = self.said.iter().filter(|(_, said)| said.contains(&number));
        let mut tags: Vec<Code> = said.map(|((tag, _), _)| *tag).collect();
        tags.dedup();
        tags
    }

    /// Where the tag is said to be on several parts: the leavings that said so and are taken back, and the rooms that were left.
    pub fn left_in_doubt(&self, tag: Code) -> Vec<(Number, Code)> {
        let parts: Vec<Surface> = self.parts_of(tag).copied().collect();
        if parts.len() < 2 {
            return vec![];
        }
        let moves = parts.iter().filter_map(|part| self.record(*part)).flat_map(|record| record.track.moves());
        let left = moves.filter(|it| it.in_doubt).filter_map(|it| match it.step {
            Step::Left { from, .. } => Some((it.number, from)),
            Step::Arrived { .. } | Step::Seen { .. } | Step::Rolled { .. } | Step::Named { .. } | Step::Lost => None,
        });
        left.collect()
    }

    /// What said that this part carries its tag may have been taken back: then it may be a thing of its own as well.
    pub(super) fn unname(&mut self, part: Surface, target: Number, by: Number) {
        let mut tags = self.tags_of(part).to_vec();
        tags.retain(|tag| {
            let Some(said) = self.said.get_mut(&(*tag, part)) else { return false };
            let before = said.len();
            said.retain(|number| *number != target);
            said.is_empty() && before > 0
        });
        for tag in tags {
            // All that was told of the tag is taken back by two: there is no such tag.
            if self.told_under.get(&tag).into_iter().flatten().all(|it| *it == target) {
                self.is_no_tag(tag, by);
                continue;
            }
            // Seen under it, it was perhaps another: what was concluded from that falls.
            self.not_apart(&|it| it.surface == part && it.under == Some(tag), by);
            // What two took back was a mistake where another note says which part it is.
            match self.of_tag(tag).iter().any(|it| *it != part && self.is_said(tag, *it)) {
                true => self.was_never(tag, part, by),
                false => self.is_perhaps_not(tag, part, by),
            }
        }
    }

    /// Nothing carries this tag, and nothing ever did. That nobody found it says nothing of what was said to.
    fn is_no_tag(&mut self, tag: Code, by: Number) {
        self.not_apart(&|it| it.under == Some(tag), by);
        self.told_apart.retain(|it| it.tag != tag);
        self.of_neither.retain(|it| it.tag != tag);
        let given_up = self.given_up_under.remove(&tag).unwrap_or_default();
        self.told_under.remove(&tag);
        for surface in self.tags.remove(&tag).unwrap_or_default() {
            self.doubtful.remove(&(tag, surface));
            if surface == Surface::Thing(tag) {
                self.drop_thing(surface);
                continue;
            }
            let before = self.rooms_of(surface);
            let record = self.record_mut(surface);
            record.tags.retain(|known| *known != tag);
            given_up.iter().for_each(|number| record.track.forget(*number));
            record.lost = record.lost.filter(|_| record.track.moves().iter().any(|it| it.step == Step::Lost));
            self.follow_anew(surface, before, (BEFORE_ALL, by));
            self.changed(surface);
        }
    }

    /// By two people the tag never was this part's: what was told of the tag was told of another, that carries it.
    fn was_never(&mut self, tag: Code, part: Surface, by: Number) {
        let before = self.rooms_of(part);
        let told = self.told_under.get(&tag).into_iter().chain(self.given_up_under.get(&tag));
        for number in told.flatten().copied().collect::<Vec<_>>() {
            self.record_mut(part).track.forget(number);
        }
        let record = self.record_mut(part);
        record.lost = record.lost.filter(|_| record.track.moves().iter().any(|it| it.step == Step::Lost));
        self.tell_apart(Apart { by, tag, surface: part, under: None });
        self.follow_anew(part, before, (BEFORE_ALL, by));
    }

    /// Nothing says any more that this part carries the tag.
    fn is_perhaps_not(&mut self, tag: Code, part: Surface, by: Number) {
        let thing = Surface::Thing(tag);
        let Some(told) = self.record(part).cloned() else { return };
        // And the part, if it never was that, stayed where it belongs.
        self.doubt(tag, part, by);
        let first = told.track.moves().first().map_or(BEFORE_ALL, |it| it.at);
        self.may_be_home(part, Move { at: first, number: by, step: Step::Lost, in_doubt: false });
        if self.of_tag(tag).contains(&thing) {
            return;
        }
        self.tags.entry(tag).or_default().push(thing);
        let under = self.told_under.get(&tag).cloned().unwrap_or_default();
        let record = self.record_mut(thing);
        record.track = told.track.of(&|number| under.contains(&number));
        record.lost = told.lost;
        // What was found dry under the part's own name was perhaps not this.
        let dried = told.dried.iter().flat_map(|dried| dried.wet.iter());
        for wet in told.wet.iter().chain(dried) {
            self.make_wet(thing, wet.source, wet.since);
        }
        self.follow(thing, vec![], Move { at: first, number: by, step: Step::Lost, in_doubt: false });
        self.may_be_a_guest(thing, by);
    }
}

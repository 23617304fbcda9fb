//! A part of a bed that was destroyed, or stays elsewhere: the lead says what took its place. The bed is whole again, and open only
//! once its new part is dry and, a mattress, made.

use super::apply::{No, Reading, closer};
use super::room::Cause;
use super::{Board, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, OldPart};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::rule::Rule;
use crate::domain::surface::{Replaced, Surface};

impl Board {
    pub(super) fn replace_part(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::PartReplaced { part: zone, by, old, .. } = &entry.body else { return Ok(()) };
        let no = |text: String| Err(No::new(Rule::BedWhole, text));
        let Some(plan) = entry.place.first_room().and_then(|code| self.plan(code)) else {
            return Err(No::new(Rule::Place, "it does not say in which room the bed stands"));
        };
        let Some((bed, listed)) = zone.bed.zip(plan.zone(*zone)) else {
            return Err(No::new(Rule::Place, format!("{zone} is no part of a bed of room {}", plan.code)));
        };
        if self.surfaces().is_bed_moved(bed) && self.surfaces().bed_rooms(bed) != [plan.code] {
            return no(format!("bed {bed} is not known to stand here: say first where it was seen"));
        }
        let own = Surface::Bed { bed, part: zone.part };
        let tag = self.surfaces().tag_of(own);
        let goes_on = match old {
            OldPart::Destroyed => None,
            OldPart::Kept if tag.is_none() => {
                return no(format!("{zone} carries no tag: note first that it left, under a tag"));
            }
            OldPart::Kept => tag,
        };
        if goes_on.is_some_and(|tag| !self.surfaces().is_surely(tag, own)) {
            return no(format!("the tag of {zone} was said to be another thing's, too: say first where each was seen"));
        }
        // What is called destroyed is asked for nowhere any more: it stands in no room but this.
        let elsewhere = self.surfaces().rooms_of(own).into_iter().find(|room| *room != plan.code);
        if let Some(room) = elsewhere.filter(|_| *old == OldPart::Destroyed) {
            return no(format!("{zone} may stand in {room}: note first that it left there, or write it off"));
        }
        let taken = by.map(|tag| self.takes_the_place(tag, own, plan.code)).transpose()?;
        let mattress = listed.mattress;
        let replaced = Replaced {
            bed,
            part: zone.part,
            room: plan.code,
            number: entry.number,
            at: entry.happened.min(entry.noted),
            by: taken,
            old: goes_on,
            unknown: self.unknown_label(),
        };
        // All of the bed's parts are known from now on, so that each of them goes along.
        let parts = self.parts_of_bed(bed);
        // What waits with the old part goes on with it.
        let under = goes_on.or(tag.filter(|tag| self.surfaces().of_tag(*tag) == [own]));
        let surfaces = self.surfaces_mut();
        parts.into_iter().for_each(|part| surfaces.know(part));
        surfaces.replaced(&replaced);
        if let Some(tag) = under {
            self.waits_as(own, Surface::Thing(tag));
        }
        self.note_exception(entry.number, Some(plan.code), ExceptionKind::PartReplaced(*zone));
        if mattress {
            self.room_mut(plan.code).close(closer(entry, Cause::Brought { wet: false }, vec![Need::Made(bed)]));
        }
        Ok(())
    }

    /// What carries this tag stands here, and is one thing that can be a part of a bed.
    fn takes_the_place(&self, tag: Code, own: Surface, room: Code) -> Result<Surface, No> {
        let no = |text: String| Err(No::new(Rule::BedWhole, text));
        let taken = match self.surfaces().of_tag(tag) {
            [] => return Err(No::new(Rule::Target, format!("nothing was ever noted under the tag {tag}"))),
            [one] if self.surfaces().is_surely(tag, *one) => *one,
            _ => return no(format!("{tag} was said to be several things: say first where each was seen")),
        };
        if taken == own {
            return no(format!("{tag} is that part itself: say that it came back"));
        }
        if let Surface::Room { .. } = taken {
            return no(format!("{tag} is {}, and no part of a bed", Zone::to_string(&taken.zone())));
        }
        match self.surfaces().rooms_of(taken).as_slice() {
            [here] if *here == room => Ok(taken),
            _ => no(format!("{tag} is not known to stand here: note first that it came")),
        }
    }
}

//! What is in no room of the book, in a store or at a maker's: what was still to be done about it waits with it, and is asked for
//! where it comes in again, whatever was settled meanwhile in the room that it left.

use std::sync::Arc;

use super::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::surface::Surface;

/// What is still to be done about something, wherever it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Owed {
    Covered(Surface),
    Vacuumed(Surface),
    Made(Code),
}

impl Owed {
    /// As a room asks for it that knows it by this name.
    pub(super) fn asked(self, name: Zone) -> Need {
        match self {
            Self::Covered(_) => Need::Covered(name),
            Self::Vacuumed(_) => Need::Vacuumed(name),
            Self::Made(bed) => Need::Made(bed),
        }
    }

    /// Whether it goes where this does.
    fn goes_with(self, surface: Surface) -> bool {
        match self {
            Self::Covered(it) | Self::Vacuumed(it) => it == surface,
            Self::Made(made) => matches!(surface, Surface::Bed { bed, .. } if bed == made),
        }
    }
}

impl Board {
    pub(super) fn put_by(&mut self, owed: Owed) {
        if !self.waiting.contains(&owed) {
            Arc::make_mut(&mut self.waiting).push(owed);
        }
    }

    /// The bed itself, and not only a part of it, is in no room of the book.
    pub(super) fn is_bed_outside(&self, bed: Code) -> bool {
        self.surfaces().is_bed_moved(bed) && self.surfaces().bed_rooms(bed).is_empty()
    }

    /// It left for no room of the book: what was owed for it in these rooms goes along.
    pub(super) fn goes_outside(&mut self, surface: Surface, before: &[Code]) {
        for from in before {
            for owed in self.owed_of(surface, *from) {
                let goes = match owed {
                    Owed::Covered(_) | Owed::Vacuumed(_) => true,
                    Owed::Made(bed) => self.is_bed_outside(bed),
                };
                if goes {
                    self.put_by(owed);
                }
            }
        }
    }

    /// It came into a room: what waits for it, as this room asks for it.
    pub(super) fn waits_for(&self, surface: Surface, room: Code) -> Vec<Need> {
        let goes = |owed: &&Owed| match **owed {
            Owed::Made(bed) => self.surfaces().bed_rooms(bed).contains(&room),
            Owed::Covered(_) | Owed::Vacuumed(_) => true,
        };
        let waiting = self.waiting.iter().filter(|owed| owed.goes_with(surface)).filter(goes);
        let name = self.asked_as(surface, room);
        waiting.map(|owed| owed.asked(name)).collect()
    }

    /// What waits with this part has another name now.
    pub(super) fn waits_as(&mut self, from: Surface, to: Surface) {
        if self.waiting.iter().any(|owed| owed.goes_with(from)) {
            for owed in Arc::make_mut(&mut self.waiting) {
                *owed = match *owed {
                    Owed::Covered(it) if it == from => Owed::Covered(to),
                    Owed::Vacuumed(it) if it == from => Owed::Vacuumed(to),
                    Owed::Covered(_) | Owed::Vacuumed(_) | Owed::Made(_) => *owed,
                };
            }
        }
    }

    /// These rooms ask for it now.
    pub(super) fn waits_no_more(&mut self, surface: Surface) {
        let is_asked = |board: &Self, owed: &Owed| match owed {
            Owed::Made(bed) => owed.goes_with(surface) && !board.is_bed_outside(*bed),
            Owed::Covered(_) | Owed::Vacuumed(_) => owed.goes_with(surface),
        };
        if self.waiting.iter().any(|owed| is_asked(self, owed)) {
            let left = self.waiting.iter().filter(|owed| !is_asked(self, owed)).copied().collect();
            self.waiting = Arc::new(left);
        }
    }

    /// What waits with this bed, or a part of it, outside the book.
    pub fn owed_outside(&self, bed: Code) -> Option<Need> {
        let of_bed = |owed: &Owed| match owed {
            Owed::Covered(it) | Owed::Vacuumed(it) => {
                matches!(it, Surface::Bed { bed: of, .. } if *of == bed).then(|| owed.asked(it.zone()))
            }
            Owed::Made(made) => (*made == bed).then_some(Need::Made(bed)),
        };
        self.waiting.iter().find_map(of_bed)
    }

    /// What an entry asks for in a room, of something that stood there then and is in no room now.
    pub(super) fn ask_outside(&mut self, entry: &Entry) {
        if !self.surfaces().is_anything_outside() {
            return;
        }
        let by: Number = entry.number;
        let asked = self.rooms.iter().flat_map(|(code, room)| room.closers().iter().map(move |closer| (*code, closer)));
        let asked = asked.filter(|(_, closer)| closer.number == by);
        let mut owed = vec![];
        for (code, closer) in asked {
            let stood = |surface: &Surface| {
                self.surfaces().rooms_of(*surface).is_empty()
                    && self.surfaces().may_have_been_at(*surface, code, closer.happened, by)
            };
            let goes = |it: &Owed| match it {
                Owed::Made(bed) => {
                    self.is_bed_outside(*bed) && self.surfaces().bed_rooms_since(*bed, closer.happened).contains(&code)
                }
                Owed::Covered(_) | Owed::Vacuumed(_) => true,
            };
            let all = closer.needs.iter().flat_map(|need| self.owed_by_name(code, *need, &stood));
            owed.extend(all.filter(goes));
        }
        owed.into_iter().for_each(|owed| self.put_by(owed));
    }

    /// What this need of the room is about, of the surfaces that it may mean.
    pub(super) fn owed_by_name(&self, room: Code, need: Need, is_meant: &dyn Fn(&Surface) -> bool) -> Vec<Owed> {
        let named = |zone: Zone| self.surfaces_named(room, zone).into_iter().filter(|it| is_meant(it));
        match need {
            Need::Covered(zone) => named(zone).map(Owed::Covered).collect(),
            Need::Vacuumed(zone) => named(zone).map(Owed::Vacuumed).collect(),
            Need::Made(bed) => vec![Owed::Made(bed)],
            Need::Dry(_)
            | Need::ZonesNamed
            | Need::FinishNamed
            | Need::LabelNamed
            | Need::LinensNamed
            | Need::Bag(_)
            | Need::Inspected
            | Need::Returned
            | Need::InService(_)
            | Need::Attested(_)
            | Need::Looked(_)
            | Need::Walked => vec![],
        }
    }

    /// The bed is to be made after this time, wherever it may be.
    pub(super) fn ask_to_make(&mut self, entry: &Entry, bed: Code, after: (Time, Number)) {
        for room in self.surfaces().bed_rooms(bed) {
            self.ask_for_linens(entry, room, vec![Need::Made(bed)], after);
        }
        if self.is_bed_outside(bed) {
            self.put_by(Owed::Made(bed));
        }
    }
}

//! What is really so: where each surface is at every time, what was sprayed, and what somebody felt.

use super::place::{BEDS, Minute, Room, Spot, Surface, What, surfaces};

/// Names one thing that happened, so that notes can be about it.
pub(super) type Key = u32;

#[derive(Clone, Debug)]
pub(super) struct Spray {
    pub(super) key: Key,
    pub(super) room: Room,
    pub(super) from: Minute,
    pub(super) until: Minute,
    pub(super) label: Minute,
    pub(super) product: &'static str,
    pub(super) hit: Vec<Surface>,
}

#[derive(Clone, Debug)]
pub(super) struct Wiping {
    pub(super) key: Key,
    pub(super) room: Room,
    pub(super) at: Minute,
    pub(super) hit: Vec<Surface>,
}

#[derive(Clone, Debug)]
pub(super) struct Move {
    pub(super) key: Key,
    pub(super) tag: String,
    pub(super) surfaces: Vec<Surface>,
    pub(super) from: Spot,
    pub(super) to: Spot,
    pub(super) at: Minute,
    /// The bed that was rolled, if it was one.
    pub(super) bed: Option<usize>,
}

/// A patient lay down in a bed, or left it.
#[derive(Clone, Debug)]
pub(super) struct Lying {
    pub(super) key: Key,
    pub(super) bed: usize,
    pub(super) room: Room,
    pub(super) lies: bool,
    pub(super) at: Minute,
}

#[derive(Clone, Debug)]
pub(super) struct Filled {
    pub(super) key: Key,
    pub(super) bag: String,
    pub(super) room: Room,
    pub(super) at: Minute,
}

/// Somebody felt these damp.
#[derive(Clone, Debug)]
pub(super) struct Touch {
    pub(super) key: Key,
    pub(super) room: Room,
    pub(super) at: Minute,
    pub(super) damp: Vec<String>,
}

#[derive(Clone, Debug)]
pub(super) struct Truth {
    pub(super) what: Vec<What>,
    stays: Vec<Vec<(Minute, Spot)>>,
    /// Of each surface: until when it was being wetted, the label's minutes, and when it is dry by itself.
    wet: Vec<Vec<(Minute, Minute, Minute)>>,
    felt_dry: Vec<Vec<Minute>>,
    pub(super) tags: Vec<(String, Vec<Surface>)>,
    pub(super) sprays: Vec<Spray>,
    pub(super) wipings: Vec<Wiping>,
    pub(super) moves: Vec<Move>,
    pub(super) lies: Vec<bool>,
    pub(super) stays_in: Vec<Lying>,
    pub(super) bags: Vec<Filled>,
    pub(super) touches: Vec<Touch>,
}

impl Truth {
    pub(super) fn new() -> Self {
        let what = surfaces();
        let count = what.len();
        Self {
            stays: what.iter().map(|it| vec![(Minute::MIN, it.at_first())]).collect(),
            wet: vec![vec![]; count],
            felt_dry: vec![vec![]; count],
            tags: super::place::THINGS.iter().map(|tag| ((*tag).to_owned(), vec![count - 1])).collect(),
            sprays: vec![],
            wipings: vec![],
            moves: vec![],
            lies: vec![false; super::place::BEDS.len()],
            stays_in: vec![],
            bags: vec![],
            touches: vec![],
            what,
        }
    }

    pub(super) fn now(&self, surface: Surface) -> Spot {
        self.stays[surface].last().map_or(Spot::Outside, |(_, spot)| *spot)
    }

    pub(super) fn standing_in(&self, room: Room) -> Vec<Surface> {
        (0..self.what.len()).filter(|it| self.now(*it) == Spot::In(room)).collect()
    }

    pub(super) fn carry(&mut self, surfaces: &[Surface], to: Spot, at: Minute) {
        for surface in surfaces {
            self.stays[*surface].push((at, to));
        }
    }

    /// It is wet from now on, until somebody felt it dry once the label's time was over.
    pub(super) fn wet(&mut self, surface: Surface, until: Minute, label: Minute, dries: Minute) {
        self.wet[surface].push((until, label, dries));
    }

    /// Somebody touches it. Says whether it feels dry.
    pub(super) fn touch(&mut self, surface: Surface, at: Minute) -> bool {
        let dry = self.wet[surface].iter().all(|(_, _, dries)| *dries <= at);
        if dry {
            self.felt_dry[surface].push(at);
        }
        dry
    }

    pub(super) fn would_feel_dry(&self, surface: Surface, at: Minute) -> bool {
        self.wet[surface].iter().all(|(_, _, dries)| *dries <= at)
    }

    /// Wet, or nobody has felt that it is not.
    pub(super) fn is_unsafe(&self, surface: Surface) -> bool {
        let felt =
            |(until, label, _): &(Minute, Minute, Minute)| self.felt_dry[surface].iter().any(|at| *at >= until + label);
        !self.wet[surface].iter().all(felt)
    }

    pub(super) fn tag_of(&self, surface: Surface) -> Option<&str> {
        self.tags.iter().rev().find(|(_, all)| all.contains(&surface)).map(|(tag, _)| tag.as_str())
    }

    /// What people write when they mean this surface in this room.
    pub(super) fn name_in(&self, surface: Surface, room: Room) -> String {
        let what = &self.what[surface];
        match (what, self.tag_of(surface)) {
            (What::RoomPart { room: home, .. }, _) if *home == room => what.name(),
            (What::BedPart { .. }, None) => what.name(),
            (_, Some(tag)) => tag.to_owned(),
            _ => what.name(),
        }
    }

    /// What really stands in this room under this name. A whole-room list may name what is not there.
    pub(super) fn found_as(&self, name: &str, room: Room) -> Vec<Surface> {
        let here = |it: &Surface| self.now(*it) == Spot::In(room);
        if let Some(surface) = super::place::on_the_list(name, room).filter(here) {
            return vec![surface];
        }
        // A bed that the list calls by the tag it was noted under is known by its own name. It is where its frame stands: nobody
        // takes a mattress that was carried off for the bed.
        if let Some((bed, parts)) = bed_of(name).zip(self.parts_of_the_bed(name)) {
            let is_bed_here = self.room_of_bed(bed) == Some(room);
            return parts.into_iter().filter(here).filter(|_| is_bed_here).collect();
        }
        let tagged = self.tags.iter().find(|(tag, _)| tag == name);
        tagged.map(|(_, all)| all.iter().copied().filter(here).collect()).unwrap_or_default()
    }

    /// The parts of the bed that the list calls so.
    pub(super) fn parts_of_the_bed(&self, name: &str) -> Option<Vec<Surface>> {
        let bed = bed_of(name)?;
        let is_of_it = |at: &Surface| matches!(self.what[*at], What::BedPart { bed: of, .. } if of == bed);
        Some((0..self.what.len()).filter(is_of_it).collect())
    }

    /// The real bed's room: where its frame stands.
    pub(super) fn room_of_bed(&self, bed: usize) -> Option<Room> {
        let is_frame = |what: &What| *what == What::BedPart { bed, part: "frame" };
        let frame = self.what.iter().position(is_frame)?;
        match self.now(frame) {
            Spot::In(room) => Some(room),
            Spot::Outside => None,
        }
    }

    /// Somebody lay in a bed of this room at some time of this.
    pub(super) fn lay_in(&self, room: Room, from: Minute, until: Minute) -> bool {
        let came = |it: &&Lying| it.room == room && it.lies && it.at < until;
        self.stays_in.iter().filter(came).any(|it| {
            let left = |other: &&Lying| other.bed == it.bed && !other.lies && other.at >= it.at;
            self.stays_in.iter().filter(left).map(|it| it.at).min().is_none_or(|left| left > from)
        })
    }

    /// What makes this bed unsafe, if anything does.
    pub(super) fn danger_at(&self, bed: usize) -> Option<Surface> {
        let room = self.room_of_bed(bed)?;
        self.standing_in(room).into_iter().find(|surface| self.is_unsafe(*surface))
    }
}

/// The bed that is noted under this name when it is rolled.
fn bed_of(name: &str) -> Option<usize> {
    name.strip_prefix("BED-").and_then(|bed| BEDS.iter().position(|known| *known == bed))
}

//! What somebody has to look for, so that it is known which of several parts carries a tag.

use std::fmt;

use super::Board;
use crate::domain::code::Code;
use crate::domain::facility::Zone;
use crate::domain::surface::Surface;

/// A part of which nobody knows whether it carries a tag.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sighting {
    /// The tag that it may carry.
    pub tag: Code,
    /// The room that it is a part of, or that the book has its bed in.
    pub home: Code,
    pub zone: Zone,
    /// The other tag that it surely goes by.
    pub also: Option<Code>,
}

impl fmt::Display for Sighting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {}", self.zone, self.home)?;
        self.also.map_or(Ok(()), |tag| write!(f, " (also under tag {tag})"))
    }
}

impl Board {
    /// Where a tag on something wet here was said to be one of several parts: which part of which room is to be looked for, so that
    /// it is known which of them carries the tag.
    pub fn sightings_wanted(&self, code: Code) -> Vec<Sighting> {
        let wet = self.room(code).into_iter().flat_map(|room| room.dryness.wet()).filter(|it| it.is_uncertain);
        let tags = wet.flat_map(|it| it.names.iter().chain([&it.zone])).filter(|zone| zone.bed.is_none());
        let mut wanted: Vec<Sighting> = vec![];
        for tag in tags.map(|zone| zone.part) {
            let may_be =
                |it: &&Surface| !self.surfaces.is_surely(tag, **it) || self.surfaces.is_said_in_doubt(tag, **it);
            for surface in self.surfaces.of_tag(tag).iter().filter(may_be) {
                let other = |it: &&Code| **it != tag && self.surfaces.is_surely(**it, *surface);
                let also = self.surfaces.tags_of(*surface).iter().rfind(other).copied();
                let wants = self.home_of(*surface).map(|home| Sighting { tag, home, zone: surface.zone(), also });
                wanted.extend(wants.filter(|it| !wanted.contains(it)));
            }
        }
        wanted
    }
}

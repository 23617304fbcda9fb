//! What a zone's name, a tag or a bed's code stands for in a room, and what a surface is called there.

use super::Board;
use crate::domain::code::Code;
use crate::domain::facility::{RoomPlan, Zone, ZonePlan};
use crate::domain::surface::Surface;

/// What a bed is called where the list of its room's kind has no part of beds.
const WHOLE_BED: &str = "bed";

impl Board {
    /// What a zone's name stands for in this room. A room's own zone comes before a tag.
    pub fn surfaces_named(&self, room: Code, zone: Zone) -> Vec<Surface> {
        let Zone { bed, part } = zone;
        if let Some(bed) = bed {
            return vec![Surface::Bed { bed, part }];
        }
        let is_own = self.facility().room(room).is_some_and(|plan| plan.zone(zone).is_some());
        let tagged = self.surfaces.of_tag(part);
        let own = Surface::Room { room, part };
        match (is_own, tagged.is_empty()) {
            (false, false) => tagged.to_vec(),
            (false, true) if self.had_part(room, zone) => vec![own],
            (false, true) if self.is_bed(part) => self.parts_of_bed(part),
            // No zone of any room, and no tag yet: whoever notes later that it left or came says what it is.
            (false, true) if !self.surfaces.is_known(own) && !self.is_zone_of_any(part) => vec![Surface::Thing(part)],
            _ => vec![own],
        }
    }

    pub(super) fn is_zone_of_any(&self, part: Code) -> bool {
        self.facility().zone_sets.values().flatten().any(|zone| zone.part == part)
            || self.facility().room(part).is_some()
    }

    /// Whether a name in this room is a tag's, or a bed's that stands there as a thing.
    pub fn is_tag_in(&self, room: Code, zone: Zone) -> bool {
        let is_own = self.facility().room(room).is_some_and(|plan| plan.zone(zone).is_some());
        let is_thing = |it: &Surface| matches!(it, Surface::Thing(_));
        zone.bed.is_none()
            && !is_own
            && (self.surfaces.is_tag(zone.part)
                || self.is_bed(zone.part)
                || self.surfaces_named(room, zone).iter().any(is_thing))
    }

    /// Whether the hospital's book has, or ever had, such a bed.
    pub fn is_bed(&self, code: Code) -> bool {
        self.surfaces.booked_room(code).is_some()
    }

    /// The parts of a bed, by the zones of the kind of room that the book has it in, and what is known besides.
    pub fn parts_of_bed(&self, bed: Code) -> Vec<Surface> {
        let kind = self.surfaces.booked_room(bed).and_then(|room| self.facility().room(room)).map(|plan| plan.kind);
        let set = kind.and_then(|kind| self.facility().zone_sets.get(&kind));
        let listed = set.into_iter().flatten().filter(|zone| zone.per_bed);
        let mut parts: Vec<Surface> = listed.map(|zone| Surface::Bed { bed, part: zone.part }).collect();
        parts.extend(self.surfaces.known_of(bed));
        // Where the list has no part of beds, a bed is one all the same.
        if parts.is_empty() {
            parts.extend(Code::new(WHOLE_BED).map(|part| Surface::Bed { bed, part }));
        }
        parts.sort();
        parts.dedup();
        parts
    }

    /// What a surface is called in a room: its own zone where it belongs there, else its tag.
    pub fn name_in(&self, surface: Surface, room: Code) -> Zone {
        let tag = || self.surfaces.tag_of(surface).map(|part| Zone { bed: None, part });
        // Where it may be in several rooms, only its tag says which of them it is in.
        if self.surfaces.is_moved(surface)
            && (self.surfaces.rooms_of(surface).len() > 1 || self.surfaces.is_looked_for(surface))
            && let Some(tag) = self.surfaces.tag_of(surface).filter(|tag| self.surfaces.is_surely(*tag, surface))
        {
            return Zone { bed: None, part: tag };
        }
        let is_at_home = match surface {
            Surface::Room { room: home, .. } => home == room,
            Surface::Bed { bed, .. } => {
                self.surfaces.bed_rooms(bed).contains(&room) || self.surfaces.booked_room(bed) == Some(room)
            }
            Surface::Thing(_) => false,
        };
        if is_at_home { surface.zone() } else { tag().unwrap_or(surface.zone()) }
    }

    /// How the book has it treated. None: nobody said which part of which room it is.
    pub(super) fn plan_of(&self, surface: Surface) -> Option<&ZonePlan> {
        let room = match surface {
            Surface::Room { room, .. } => room,
            Surface::Bed { bed, .. } => self.surfaces.booked_room(bed)?,
            Surface::Thing(_) => return None,
        };
        self.facility().room(room)?.zone(surface.zone())
    }

    /// How the book has what is named so in this room treated.
    pub(super) fn zone_plan(&self, room: Code, zone: Zone) -> Option<&ZonePlan> {
        self.surfaces_named(room, zone).into_iter().find_map(|surface| self.plan_of(surface))
    }

    /// What may stand in the room and is none of its own zones, by its names there.
    pub fn guests_named(&self, room: Code) -> Vec<Zone> {
        self.names_here(room, self.surfaces.guests(room))
    }

    /// A bed, or a room, that is taken for one because the list has no part of it, while parts are known that it had.
    pub(super) fn is_for_want_of_parts(&self, it: Surface, room: Code, former: &[Surface]) -> bool {
        let is_stopgap = match it {
            Surface::Bed { part, .. } => part.as_str() == WHOLE_BED,
            Surface::Room { part, .. } => part == room,
            Surface::Thing(_) => false,
        };
        let is_of_same = |part: &Surface| match (it, *part) {
            (Surface::Bed { bed, .. }, Surface::Bed { bed: other, .. }) => bed == other,
            (Surface::Room { room, .. }, Surface::Room { room: other, .. }) => room == other,
            (Surface::Bed { .. }, Surface::Room { .. } | Surface::Thing(_))
            | (Surface::Room { .. }, Surface::Bed { .. } | Surface::Thing(_))
            | (Surface::Thing(_), _) => false,
        };
        is_stopgap && self.plan_of(it).is_none() && !self.surfaces.is_known(it) && former.iter().any(is_of_same)
    }

    pub(super) fn own_surfaces(&self, plan: &RoomPlan) -> Vec<Surface> {
        let mut own: Vec<Surface> = plan.all_zones().flat_map(|zone| self.surfaces_named(plan.code, zone)).collect();
        own.extend(plan.beds.iter().flat_map(|bed| self.parts_of_bed(bed.code)));
        // A bed that the book has nowhere stands where it was.
        own.extend(self.surfaces.beds_booked(plan.code).into_iter().flat_map(|bed| self.parts_of_bed(bed)));
        own.extend(self.surfaces.beds_rolled(plan.code).flat_map(|bed| self.parts_of_bed(bed)));
        if own.is_empty() {
            own.push(Surface::Room { room: plan.code, part: plan.code });
        }
        own
    }
}

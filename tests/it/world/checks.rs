//! Somebody goes in: to feel what stands there, or to walk a ward.

use super::place::{ROOMS, Room, Surface, rooms_of_ward};
use super::program::Program;
use super::said::Say;
use super::scene::Scene;
use super::slips::{Slip, wrong_room};
use super::truth::{Key, Touch};
use super::workers::Went;

/// What nothing puts right.
pub(super) const OVERLOOKED: &str = "a bed that a walk overlooked";

impl<P: Program> Scene<P> {
    /// Somebody goes in and touches what stands there.
    pub(super) fn check(&mut self, key: Key, room: Room, terminal: usize, slips: &[Slip]) {
        let began = self.now;
        let mut here = self.truth.standing_in(room);
        let list = self.program.zone_list(room);
        if slips.contains(&Slip::TagsLeftOut) {
            here.retain(|it| list.contains(&self.truth.name_in(*it, room)));
        }
        let (mut dry, mut damp) = (vec![], vec![]);
        for it in here {
            let name = self.truth.name_in(it, room);
            if self.truth.touch(it, began) { dry.push(name) } else { damp.push(name) }
        }
        if slips.contains(&Slip::TicksTheList) {
            let more: Vec<String> =
                list.into_iter().filter(|name| !dry.contains(name) && !damp.contains(name)).collect();
            dry.extend(more);
        }
        self.truth.touches.push(Touch { key, room, at: began, damp: damp.clone() });
        if slips.contains(&Slip::DampNotNoted) {
            damp.clear();
        }
        let noted = wrong_room(slips).unwrap_or(room);
        if noted != room || slips.contains(&Slip::TicksTheList) {
            self.false_checks.push(key);
        }
        self.log(|_| format!("in {} somebody feels dry: {}; damp: {}", ROOMS[room], dry.join(", "), damp.join(", ")));
        self.now += 3;
        let late = slips.iter().any(|slip| matches!(slip, Slip::Late { .. }));
        let done = self.now;
        self.now += if late { 40 } else { 0 };
        let say = Say::Check { room: noted, began, dry, damp: vec![] };
        let Say::Check { dry, .. } = &say else { return };
        // Damp is noted in the same breath, and as an entry of its own if the dry ones are refused.
        let both = Say::Check { room: noted, began, dry: dry.clone(), damp: damp.clone() };
        if self.tell(&["HK"], terminal, done, both, Some(key)).is_err() && !damp.is_empty() {
            let alone = Say::Check { room: noted, began, dry: vec![], damp };
            let _ = self.tell(&["HK"], terminal, done, alone, Some(key));
        }
    }

    /// Whoever walks sees what is wet and was not noted.
    pub(super) fn walk(&mut self, ward: usize) -> Went {
        let untold = |room: &Room| {
            let here = self.truth.standing_in(*room);
            let sprays = self.truth.sprays.iter().filter(|it| !self.told.contains_key(&it.key));
            let hit: Vec<Surface> = sprays.flat_map(|it| it.hit.iter().copied()).collect();
            here.iter().any(|it| hit.contains(it) && !self.truth.would_feel_dry(*it, self.now))
        };
        let wet: Vec<Room> = rooms_of_ward(ward).into_iter().filter(untold).collect();
        let asked = Say::Walk { ward, wet: Some(wet.clone()) };
        let is_dry = wet.is_empty();
        let bare = is_dry.then(|| self.tell(&["LD"], 0, self.now, Say::Walk { ward, wet: None }, None));
        let told = match bare {
            Some(Ok(number)) => Ok(number),
            Some(Err(_)) | None => self.tell(&["LD"], 0, self.now, asked, None),
        };
        // Whoever walks past the place of a bed that is gone says that it stands there, and nothing puts that right.
        let stands = |bed: &usize, room: Room| self.truth.room_of_bed(*bed) == Some(room);
        let is_told = self.notes.last().is_some_and(|note| matches!(note.say, Say::Walk { .. }));
        let rooms = rooms_of_ward(ward).into_iter();
        if is_told && rooms.into_iter().any(|room| self.program.book_beds(room).iter().any(|bed| !stands(bed, room))) {
            self.uncorrected.push(OVERLOOKED);
        }
        told.into()
    }
}

//! Plays a story to its end: its steps, then everything noted and corrected, then the people who follow the program.

use super::deeds::{Deed, More, Step};
use super::place::{BEDS, ROOMS, Room, Spot, Surface, WARDS, on_the_list};
use super::program::Program;
use super::said::{Note, Say, on_the_list_at};
use super::scene::{Failure, Scene};
use super::slips::Slip;
use super::story::Story;
use super::truth::Key;

pub(super) fn play<P: Program>(story: &Story, program: P, told: bool) -> Scene<P> {
    let mut scene = Scene::new(program, story.ahead, told);
    for step in &story.steps {
        scene.act(step);
        if scene.failure.is_some() {
            return scene;
        }
    }
    scene.put_right();
    if scene.failure.is_none() {
        scene.must_be_safe();
    }
    if scene.failure.is_none() {
        scene.live();
    }
    if scene.failure.is_none() {
        scene.must_be_safe();
    }
    scene
}

/// A story with all of it put right, and no judge who looks on.
pub(super) fn put_right<P: Program>(story: &Story, program: P) -> Scene<P> {
    let mut scene = Scene::new(program, story.ahead, true);
    scene.unseen = true;
    for step in &story.steps {
        scene.act(step);
    }
    scene.put_right();
    scene
}

/// Some days later, longer than any label was noted, each void is looked after, the wards are walked, everything is felt where it stands, and every bag is washed:
/// by notes alone, whatever a program would say.
pub(super) fn everything_is_done<P: Program>(scene: &mut Scene<P>) {
    let (at, notes) = (scene.now + 4 * 24 * 60, scene.notes.clone());
    let mut number = notes.last().map_or(1000, |note| note.number);
    let mut done = |scene: &mut Scene<P>, say: Say| {
        number += 1;
        scene.notes.push(Note { number, noted: at + 5, happened: at + 5, terminal: 0, say });
    };
    for note in &notes {
        if let Say::Void { .. } = note.say {
            (0..ROOMS.len()).for_each(|room| done(scene, Say::Look { room, void: note.number }));
        }
    }
    (0..WARDS.len()).for_each(|ward| done(scene, Say::Walk { ward, wet: Some(vec![]) }));
    // What was felt before the walk may have been ticked where a bed was not rolled to yet.
    for room in 0..ROOMS.len() {
        let here = scene.truth.standing_in(room);
        let mut dry: Vec<String> = here.iter().map(|it| scene.truth.name_in(*it, room)).collect();
        dry.extend(here.iter().filter_map(|it| scene.truth.tag_of(*it).map(str::to_owned)));
        done(scene, Say::Check { room, began: at + 10, dry, damp: vec![] });
    }
    let bags: Vec<(usize, String)> = notes
        .iter()
        .flat_map(|note| match &note.say {
            Say::Spray { room, bags: Some(bags), .. }
            | Say::Complete { room, bags: Some(bags), .. }
            | Say::Prepare { room, bags } => bags.iter().map(|bag| (*room, bag.clone())).collect(),
            _ => vec![],
        })
        .collect();
    for (room, bag) in bags {
        for bag in bag.split(';').map(str::to_owned) {
            done(scene, Say::Launder { room, bag, well: true });
        }
    }
}

impl<P: Program> Scene<P> {
    /// (b) "Once all is noted and corrected, only if the real world is safe."
    fn must_be_safe(&mut self) {
        // A wrong mark: somebody walked past the place of a bed that was gone.
        if self.uncorrected.contains(&super::checks::OVERLOOKED) {
            return;
        }
        // A clock is wrong, and no note is at odds with it: nobody could see.
        if self.ahead != [0, 0] && super::fits::clock_worlds(&self.notes) == [[0, 0]] {
            return;
        }
        for bed in self.open_beds() {
            let Some(surface) = self.truth.danger_at(bed) else { continue };
            let why =
                format!("all is noted, bed {} is open, and {} is wet", BEDS[bed], self.truth.what[surface].title());
            let refused: Vec<&str> = self.refused.iter().map(|(rule, _)| *rule).collect();
            let kind = match self.uncorrected.first() {
                Some(what) => format!("{what} cannot be noted"),
                None => "noted and corrected".to_owned(),
            };
            self.log(|_| format!("!! {why} (refused: {})", refused.join(", ")));
            self.failure = Some(Failure { part: 'b', kind, why, at: self.now });
            return;
        }
    }

    /// Everything that happened and was not noted is noted now, as it was; what was noted wrongly is put right.
    fn put_right(&mut self) {
        self.puts_right = true;
        self.note_what_was_not();
        self.puts_right = false;
    }

    fn note_what_was_not(&mut self) {
        self.log(|_| "now everything is noted and corrected".to_owned());
        let told = |scene: &Self, key: Key| scene.told.contains_key(&key);
        let step = |deed: Deed| Step { at: 0, deed, slips: vec![] };
        // What is outside comes back where it was, so that somebody can feel it.
        for surface in 0..self.truth.what.len() {
            let last = self.truth.moves.iter().rfind(|it| it.surfaces.contains(&surface)).cloned();
            if let Some(it) = last.filter(|it| it.to == Spot::Outside) {
                let key = 2000 + surface as Key;
                self.act(&step(Deed::Carry { key, tag: "", surfaces: vec![surface], to: it.from }));
            }
        }
        for it in self.truth.stays_in.clone() {
            if !told(self, it.key) {
                self.act(&step(Deed::TellLies { key: it.key }));
            }
        }
        for bed in 0..BEDS.len() {
            if self.truth.lies[bed] {
                let key = 1000 + bed as u32;
                self.act(&step(Deed::Lie { key, bed, lies: false }));
                self.act(&step(Deed::TellLies { key }));
            }
        }
        for it in self.truth.moves.clone() {
            // A bed by the book, a thing by both its notes.
            if let Some(bed) = it.bed {
                let stands_there = |scene: &Self| match it.to {
                    Spot::In(room) => scene.program.book_beds(room).contains(&bed),
                    Spot::Outside => false,
                };
                let is_only = self.truth.moves.iter().filter(|other| other.bed == Some(bed)).count() == 1;
                if !told(self, it.key) && is_only {
                    self.act(&step(Deed::TellBook { key: it.key }));
                }
                // What the book does not take goes as a thing, and so does what went on before the book followed.
                let is_in_the_book = is_only && stands_there(self);
                if !told(self, it.key) && !is_in_the_book {
                    self.act(&step(Deed::TellLeft { key: it.key }));
                    match told(self, it.key) {
                        true => self.act(&step(Deed::TellCame { key: it.key })),
                        false => self.uncorrected.push("a rolled bed"),
                    }
                }
                continue;
            }
            let is_noted = |scene: &Self, wanted: &dyn Fn(&Say) -> bool| {
                let entries = scene.told.get(&it.key).cloned().unwrap_or_default();
                let voided = |number: u64| {
                    scene.notes.iter().any(|n| matches!(n.say, Say::Void { entry, .. } if entry == number))
                };
                scene
                    .notes
                    .iter()
                    .any(|n| entries.iter().any(|(e, _)| *e == n.number) && !voided(n.number) && wanted(&n.say))
            };
            let (from, to) = (it.from, it.to);
            let parts = self.parts_to_name(&it);
            // A leg that names a part of the room where it stopped names the wrong one.
            let is_it =
                |zone: &String, room: Room| on_the_list(zone, room).is_some_and(|part| it.surfaces.contains(&part));
            let left_right = |say: &Say| match say {
                Say::Left { room, tag, to: noted, zones } => {
                    (parts.is_empty() || *zones == parts)
                        && zones.iter().all(|zone| is_it(zone, *room))
                        && Spot::In(*room) == from
                        && *tag == it.tag
                        && noted.map(Spot::In) == Some(to).filter(|to| *to != Spot::Outside)
                }
                _ => false,
            };
            let came_right = |say: &Say| match say {
                Say::Arrived { room, tag, .. } => Spot::In(*room) == to && *tag == it.tag,
                _ => false,
            };
            if from != Spot::Outside && !is_noted(self, &left_right) {
                self.void_wrong(it.key, |say| matches!(say, Say::Left { .. }));
                self.act(&step(Deed::TellLeft { key: it.key }));
                if !is_noted(self, &left_right) {
                    self.uncorrected.push("a leaving");
                }
            }
            if to != Spot::Outside && !is_noted(self, &came_right) {
                self.void_wrong(it.key, |say| matches!(say, Say::Arrived { .. }));
                self.act(&step(Deed::TellCame { key: it.key }));
                if !is_noted(self, &came_right) {
                    self.uncorrected.push("an arrival");
                }
            }
        }
        for it in self.truth.sprays.clone() {
            let entries = self.told.get(&it.key).cloned().unwrap_or_default();
            let void_of = |scene: &Self, number: u64| {
                scene.notes.iter().find_map(|n| match n.say {
                    Say::Void { entry, really, .. } if entry == number => Some(really),
                    _ => None,
                })
            };
            let mut stands = false;
            for (number, rooms) in &entries {
                let is_right_room = rooms.first() == Some(&it.room);
                match void_of(self, *number) {
                    // Where a void says that it was.
                    None if is_right_room => stands = true,
                    // A void is never voided.
                    None if self.notes.iter().any(|n| n.number == *number && matches!(n.say, Say::Void { .. })) => {}
                    None => {
                        let slips = vec![Slip::ReallyIn(it.room)];
                        self.act(&Step { at: 0, deed: Deed::Void { key: it.key }, slips });
                        stands |= void_of(self, *number).is_some();
                    }
                    Some(really) => stands |= really == Some(it.room),
                }
            }
            if !stands {
                self.act(&step(Deed::TellSpray { key: it.key }));
                if self.told.get(&it.key).map_or(0, Vec::len) == entries.len() {
                    self.uncorrected.push("a spray");
                }
            }
            // The list that stood there when it was noted may have had a shorter label.
            let entries = self.told.get(&it.key).cloned().unwrap_or_default();
            let is_as_it_was = self.notes.iter().any(|n| match &n.say {
                Say::Spray { until, product, zones, bags, .. } => {
                    *bags == Some(self.bags_at(&it))
                        && entries.iter().any(|(e, _)| *e == n.number)
                        && *until == Some(it.until)
                        && (*product == it.product)
                        && on_the_list_at(&self.notes, n.number, product) >= Some(it.label)
                        && zones.as_ref().is_some_and(|zones| zones.len() == it.hit.len())
                }
                _ => false,
            });
            if !is_as_it_was && told(self, it.key) {
                for more in [More::Zones, More::End, More::Label, More::Bags] {
                    let before = self.notes.len();
                    self.act(&step(Deed::TellMore { key: it.key, more }));
                    if self.notes.len() == before {
                        self.uncorrected.push("what a spray left out");
                    }
                }
            }
        }
        for it in self.truth.wipings.clone() {
            let right = self.told.get(&it.key).into_iter().flatten().any(|(number, rooms)| {
                let voided = self.notes.iter().any(|n| matches!(n.say, Say::Void { entry, .. } if entry == *number));
                let names = |surface: &Surface| self.truth.name_in(*surface, it.room);
                let is_all = self.notes.iter().any(|n| match &n.say {
                    Say::Wiped { zones, .. } if n.number == *number => {
                        zones.as_ref().is_none_or(|zones| it.hit.iter().all(|hit| zones.contains(&names(hit))))
                    }
                    _ => false,
                });
                rooms.first() == Some(&it.room) && !voided && is_all
            });
            if !right {
                let before = self.notes.len();
                self.act(&step(Deed::TellWiped { key: it.key }));
                if self.notes.len() == before {
                    self.uncorrected.push("a wiping");
                }
            }
        }
        for it in self.truth.touches.clone() {
            let has_damp = !it.damp.is_empty();
            let in_check = self.told.get(&it.key).into_iter().flatten().any(|(number, _)| {
                self.notes
                    .iter()
                    .any(|n| n.number == *number && matches!(&n.say, Say::Check { damp, .. } if !damp.is_empty()))
            });
            if has_damp && !in_check && !self.damp_told.iter().any(|(key, _)| *key == it.key) {
                self.act(&step(Deed::TellDamp { key: it.key }));
                if !self.damp_told.iter().any(|(key, _)| *key == it.key) {
                    self.uncorrected.push("what was damp");
                }
            }
        }
        for it in self.truth.bags.clone() {
            if !told(self, it.key) {
                self.act(&step(Deed::TellStripped { key: it.key }));
            }
        }
        // A check that was noted for a room that nobody felt, or of what was not there, is taken back.
        for key in self.false_checks.clone() {
            let is_voided = |scene: &Self, number: u64| {
                scene.notes.iter().any(|n| matches!(n.say, Say::Void { entry, .. } if entry == number))
            };
            if let Some((number, _)) = self.last_told(key)
                && !is_voided(self, number)
            {
                self.act(&step(Deed::Void { key }));
            }
        }
    }

    fn void_wrong(&mut self, key: Key, wanted: impl Fn(&Say) -> bool) {
        let entries = self.told.get(&key).cloned().unwrap_or_default();
        for (number, rooms) in entries {
            let voided = self.notes.iter().any(|n| matches!(n.say, Say::Void { entry, .. } if entry == number));
            let is_it = self.notes.iter().any(|n| n.number == number && wanted(&n.say));
            if is_it && !voided {
                let now = self.now;
                let _ = self.tell(&["LD"], 0, now, Say::Void { entry: number, rooms, really: None }, None);
            }
        }
    }
}

//! A step is done: what happens to surfaces and people, or which note is made.

use super::deeds::{Deed, Step};
use super::place::{BEDS, ROOMS, Spot, Surface, What};
use super::program::Program;
use super::said::Say;
use super::scene::Scene;
use super::slips::{Slip, wrong_room};
use super::truth::{Filled, Lying, Wiping};

impl<P: Program> Scene<P> {
    pub(super) fn act(&mut self, step: &Step) {
        self.now = self.now.max(step.at);
        let terminal = usize::from(step.slips.contains(&Slip::OtherTerminal));
        let has = |slip: &Slip| step.slips.contains(slip);
        match &step.deed {
            Deed::Spray { key, room, minutes, product, aim, dries } => {
                self.spray(*key, *room, *minutes, *product, aim.as_deref(), *dries);
            }
            Deed::TellSpray { key } => self.tell_spray(*key, terminal, &step.slips),
            Deed::TellMore { key, more } => self.tell_more(*key, *more, terminal, &step.slips),
            Deed::GiveUp { key } => {
                let noted = self.told.get(key).cloned().unwrap_or_default();
                let tags: Vec<String> = self
                    .notes
                    .iter()
                    .filter(|note| noted.iter().any(|(number, _)| *number == note.number))
                    .filter_map(|note| match &note.say {
                        Say::Left { tag, .. } | Say::Arrived { tag, .. } => Some(tag.clone()),
                        _ => None,
                    })
                    .collect();
                if let Some(tag) = tags.into_iter().find(|tag| self.bears_nothing(tag)) {
                    let _ = self.give_up(&tag);
                }
            }
            Deed::TellLess { key } => {
                let _ = self.tell_less(*key, terminal);
            }
            Deed::Carry { key, tag, surfaces, to } => self.carry(*key, tag, surfaces, *to, None),
            Deed::TellLeft { key } => self.tell_left(*key, terminal, &step.slips),
            Deed::TellCame { key } => self.tell_came(*key, terminal, &step.slips),
            Deed::Roll { key, bed, to } => {
                let of_bed = |what: &What| matches!(what, What::BedPart { bed: of, .. } if of == bed);
                let surfaces: Vec<Surface> =
                    (0..self.truth.what.len()).filter(|at| of_bed(&self.truth.what[*at])).collect();
                let from = self.truth.room_of_bed(*bed);
                // What was taken off it stays where it is.
                let on_it =
                    surfaces.into_iter().filter(|it| self.truth.now(*it) == from.map_or(Spot::Outside, Spot::In));
                let on_it: Vec<Surface> = on_it.collect();
                self.carry(*key, "", &on_it, Spot::In(*to), Some(*bed));
            }
            Deed::TellBook { key } => self.tell_book(*key, terminal),
            Deed::Wipe { key, room, surfaces } => {
                let here = |it: &Surface| self.truth.now(*it) == Spot::In(*room);
                let hit: Vec<Surface> = surfaces.iter().copied().filter(here).collect();
                if hit.is_empty() {
                    return;
                }
                for surface in &hit {
                    self.truth.wet(*surface, self.now, 0, self.now + 20);
                }
                self.log(|scene| {
                    let names: Vec<String> = hit.iter().map(|it| scene.truth.what[*it].title()).collect();
                    format!("in {} somebody wipes {}", ROOMS[*room], names.join(", "))
                });
                self.truth.wipings.push(Wiping { key: *key, room: *room, at: self.now, hit });
            }
            Deed::TellWiped { key } => {
                let Some(it) = self.truth.wipings.iter().find(|it| it.key == *key).cloned() else { return };
                let names = || it.hit.iter().map(|hit| self.truth.name_in(*hit, it.room)).collect();
                let zones = if has(&Slip::NoZones) { None } else { Some(names()) };
                let room = wrong_room(&step.slips).unwrap_or(it.room);
                let _ = self.tell(&["HK"], terminal, it.at, Say::Wiped { room, zones }, Some(*key));
            }
            Deed::Check { key, room } => self.check(*key, *room, terminal, &step.slips),
            Deed::TellDamp { key } => {
                let Some(it) = self.truth.touches.iter().find(|it| it.key == *key).cloned() else { return };
                if it.damp.is_empty() {
                    return;
                }
                let say = Say::Check { room: it.room, began: it.at, dry: vec![], damp: it.damp };
                let told = self.tell(&["H2"], terminal, it.at, say, None);
                if let Ok(number) = told {
                    self.damp_told.push((*key, number));
                }
            }
            Deed::Lie { key, bed, lies } => {
                let Some(room) = self.truth.room_of_bed(*bed) else { return };
                if self.truth.lies[*bed] == *lies {
                    return;
                }
                self.truth.lies[*bed] = *lies;
                self.log(|_| format!("a patient {} bed {}", if *lies { "lies in" } else { "leaves" }, BEDS[*bed]));
                self.truth.stays_in.push(Lying { key: *key, bed: *bed, room, lies: *lies, at: self.now });
            }
            Deed::TellLies { key } => {
                let Some(it) = self.truth.stays_in.iter().find(|it| it.key == *key).cloned() else { return };
                let (bed, room) = (it.bed, it.room);
                let say = if it.lies { Say::Occupied { bed, room } } else { Say::Empty { bed, room } };
                let told = self.tell(&["CN"], terminal, it.at, say, Some(*key));
                // What cannot be noted late as a fact can as what closes.
                if told.is_err() && !it.lies {
                    let _ = self.tell(&["CN"], terminal, it.at, Say::PatientOut { bed, room }, Some(*key));
                }
            }
            Deed::Strip { key, bed, bag } => {
                let Some(room) = self.truth.room_of_bed(*bed) else { return };
                self.log(|_| format!("the linens of {} go into bag {bag}", BEDS[*bed]));
                self.truth.bags.push(Filled { key: *key, bag: (*bag).to_owned(), room, at: self.now });
            }
            Deed::TellStripped { key } => {
                let Some(it) = self.truth.bags.iter().find(|it| it.key == *key).cloned() else { return };
                let bags = match has(&Slip::TwoBagsInOneTag) {
                    true => vec![format!("{};{}X", it.bag, it.bag)],
                    false => vec![it.bag],
                };
                let _ = self.tell(&["HK"], terminal, it.at, Say::Prepare { room: it.room, bags }, Some(*key));
            }
            Deed::SetLabel { product, label } => {
                let say = Say::Product { product: *product, label: *label };
                let _ = self.tell(&["LD"], terminal, self.now, say, None);
            }
            Deed::Void { key } => {
                let Some((entry, rooms)) = self.last_told(*key) else { return };
                let really = step.slips.iter().find_map(|slip| match slip {
                    Slip::ReallyIn(room) => Some(*room),
                    _ => None,
                });
                let really = really.filter(|room| rooms.first() != Some(room));
                let _ = self.tell(&["LD"], terminal, self.now, Say::Void { entry, rooms, really }, Some(*key));
            }
            Deed::VoidCheck { room } => {
                let is_check = |say: &Say| matches!(say, Say::Check { room: of, .. } if of == room);
                let last = self.notes.iter().rfind(|note| is_check(&note.say)).map(|note| note.number);
                let voided =
                    |entry: u64| self.notes.iter().any(|n| matches!(n.say, Say::Void { entry: of, .. } if of == entry));
                if let Some(entry) = last.filter(|entry| !voided(*entry)) {
                    let say = Say::Void { entry, rooms: vec![*room], really: None };
                    let _ = self.tell(&["LD"], terminal, self.now, say, None);
                }
            }
            Deed::Gap { ward } => {
                let _ = self.tell(&["CN"], terminal, self.now, Say::Gap { ward: *ward }, None);
            }
            Deed::Walk { ward } => drop(self.walk(*ward)),
            Deed::Rounds { rooms } => self.rounds(rooms, &step.slips),
        }
    }
}

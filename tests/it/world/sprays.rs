//! A spray, and what is noted, supplied and corrected of it.

use super::deeds::More;
use super::place::{BEDDING, BEDS, Minute, ROOMS, Room, Surface, What};
use super::program::{PRODUCTS, Program};
use super::said::{Say, on_the_list_at};
use super::scene::Scene;
use super::slips::Slip;
use super::truth::{Key, Spray};
use super::workers::Went;

impl<P: Program> Scene<P> {
    pub(super) fn spray(
        &mut self,
        key: Key,
        room: Room,
        minutes: Minute,
        product: usize,
        aim: Option<&[Surface]>,
        dries: Minute,
    ) {
        let standing = self.truth.standing_in(room);
        let hit: Vec<Surface> = standing.into_iter().filter(|it| aim.is_none_or(|aim| aim.contains(it))).collect();
        if hit.is_empty() {
            return;
        }
        let (name, label) = PRODUCTS[product];
        // What stands on no list has a label all the same.
        let label = label.unwrap_or(120);
        let (from, until) = (self.now, self.now + minutes);
        for surface in &hit {
            self.truth.wet(*surface, until, label, until + dries);
        }
        self.log(|scene| {
            let names: Vec<String> = hit.iter().map(|it| scene.truth.what[*it].title()).collect();
            format!("{} is sprayed with {name} until {}: {}", ROOMS[room], super::place::clock(until), names.join(", "))
        });
        self.truth.sprays.push(Spray { key, room, from, until, label, product: name, hit });
        self.now = until;
    }

    pub(super) fn tell_spray(&mut self, key: Key, terminal: usize, slips: &[Slip]) {
        let Some(it) = self.truth.sprays.iter().find(|it| it.key == key).cloned() else { return };
        let mut zones: Vec<String> = it.hit.iter().map(|hit| self.truth.name_in(*hit, it.room)).collect();
        let (mut until, mut product, mut room, mut by) = (Some(it.until), it.product, it.room, "TE");
        for slip in slips {
            match slip {
                Slip::ZoneLeftOut if zones.len() > 1 => {
                    zones.pop();
                }
                Slip::NoEnd => until = None,
                Slip::ShortEnd(by) => until = Some((it.until - by).max(it.from)),
                Slip::LongEnd(by) => until = Some((it.until + by).min(self.now)),
                Slip::NoLabel => product = "unlisted",
                Slip::LowLabel => product = "P0",
                Slip::WrongRoom(wrong) => {
                    room = *wrong;
                    // The list of that room has its own bed.
                    for zone in &mut zones {
                        if let Some((bed, part)) = zone.split_once('/')
                            && bed == BEDS[it.room]
                        {
                            *zone = format!("{}/{part}", BEDS[room]);
                        }
                    }
                }
                Slip::WrongPerson => by = "HK",
                _ => {}
            }
        }
        let bags = match (slips.contains(&Slip::BagsNotStated), slips.contains(&Slip::NoBags)) {
            (true, _) => None,
            (_, true) => Some(vec![]),
            _ => Some(self.bags_at(&it)),
        };
        let stated = |zones: Vec<String>| if slips.contains(&Slip::NoZones) { None } else { Some(zones) };
        let say = |zones, inside| Say::Spray { room, until, product, zones, bags: bags.clone(), inside };
        let told = self.tell(&[by], terminal, it.from, say(stated(zones.clone()), false), Some(key));
        let Err(no) = told else { return };
        // What the form does not take is left unstated, never left out.
        let zones = if no.rule == "place" { None } else { stated(zones) };
        let _ = self.tell(&[by], terminal, it.from, say(zones, no.rule == "patient-inside"), Some(key));
    }

    pub(super) fn tell_more(&mut self, key: Key, more: More, terminal: usize, slips: &[Slip]) {
        let Some(it) = self.truth.sprays.iter().find(|it| it.key == key).cloned() else { return };
        let Some((spray, rooms)) = self.last_told(key) else { return };
        let room = rooms.first().copied().unwrap_or(it.room);
        let (mut zones, mut until, mut label, mut bags) = (None, None, None, None);
        match more {
            More::Zones => zones = Some(it.hit.iter().map(|hit| self.truth.name_in(*hit, it.room)).collect()),
            More::End => until = Some(it.until),
            More::Label => label = Some(it.label),
            More::Bags => bags = Some(self.bags_at(&it)),
        }
        for slip in slips {
            match slip {
                Slip::ShortEnd(by) => until = until.map(|at: Minute| (at - by).max(it.from)),
                Slip::LongEnd(by) => until = until.map(|at: Minute| (at + by).min(self.now)),
                Slip::LowLabel => label = label.map(|_| 0),
                Slip::HighLabel => label = label.map(|label| label * 10 + 900),
                _ => {}
            }
        }
        let say = Say::Complete { room, spray, zones, until, label, bags };
        let told = self.tell(&["TE"], terminal, self.now, say, None);
        // Where the program says that somebody lay there, the linens of that bed go into a bag.
        if more == More::Bags && told.is_err_and(|no| no.rule == "unstated") {
            let bags = Some(vec![format!("L{key}")]);
            let say = Say::Complete { room, spray, zones: None, until: None, label: None, bags };
            let _ = self.tell(&["TE"], terminal, self.now, say, None);
        }
    }

    /// Two people read the same off the label and the slip, where more was noted than was. Says whether it was taken.
    pub(super) fn tell_less(&mut self, key: Key, terminal: usize) -> Option<Went> {
        let it = self.truth.sprays.iter().find(|it| it.key == key).cloned()?;
        let (spray, rooms) = self.last_told(key)?;
        let room = rooms.first().copied().unwrap_or(it.room);
        let (mut ends, mut labels) = (vec![], vec![]);
        for note in &self.notes {
            match &note.say {
                Say::Spray { until, product, .. } if note.number == spray => {
                    ends.extend(*until);
                    labels.extend(on_the_list_at(&self.notes, note.number, product));
                }
                Say::Complete { spray: of, until, label, .. } if *of == spray => {
                    ends.extend(*until);
                    labels.extend(*label);
                }
                _ => {}
            }
        }
        let until = Some(it.until).filter(|at| ends.iter().any(|noted| noted > at));
        let is_longer = |label: &Minute| labels.iter().any(|noted| noted > label);
        // Where the list has no label, no less than it has at all.
        let mut went = None;
        for label in [it.label, 240, 600].into_iter().filter(is_longer).map(Some).chain([None]) {
            if until.is_none() && label.is_none() {
                break;
            }
            let say = Say::Less { room, spray, zones: None, until, label };
            let first: Went = self.tell(&["LD"], terminal, self.now, say.clone(), None).into();
            if matches!(first, Went::Noted) {
                return Some(self.tell(&["CN"], terminal, self.now, say, None).into());
            }
            went = Some(first);
        }
        went
    }

    /// The linens that a spray reached: of whoever lay there, and what stood there in bags.
    pub(super) fn bags_at(&self, it: &Spray) -> Vec<String> {
        let mut bags: Vec<String> =
            self.truth.bags.iter().filter(|bag| bag.room == it.room).map(|bag| bag.bag.clone()).collect();
        let is_bedding = |hit: &Surface| matches!(self.truth.what[*hit], What::BedPart { part: BEDDING, .. });
        if self.truth.lay_in(it.room, it.from, it.until) || it.hit.iter().any(is_bedding) {
            bags.push(format!("L{}", it.key));
        }
        bags
    }
}

//! A seed becomes a story: who does what when, and what goes wrong with the notes. Written before it is played, so that what
//! is dropped leaves the rest as it is.

use super::chance::Chance;
use super::deeds::{Deed, More, Step, TAG_OF_THE_LIST};
use super::place::{BEDS, FIXED, Minute, ROOMS, Room, Spot, Surface, What, surfaces, ward_of};
use super::program::PRODUCTS;
use super::slips::Slip;
use super::truth::Key;

#[derive(Clone, Debug)]
pub(super) struct Story {
    pub(super) seed: u64,
    pub(super) ahead: [Minute; 2],
    pub(super) steps: Vec<Step>,
}

/// How late something is noted.
const LATE: [Minute; 6] = [15, 30, 45, 70, 120, 240];

struct Draft {
    chance: Chance,
    steps: Vec<Step>,
    key: Key,
    what: Vec<What>,
    spots: Vec<Spot>,
    tagged: Vec<Option<&'static str>>,
    two_desks: bool,
    /// What happened and was noted, for voids.
    told: Vec<(Key, &'static str, Minute)>,
    /// How many tags are out.
    tags: usize,
}

const TAGS: [&str; 6] = ["T1", "T2", "T3", "T4", "T5", "T6"];

impl Story {
    pub(super) fn of(seed: u64) -> Self {
        let mut chance = Chance(seed.wrapping_mul(0x5851_f42d_4c95_7f2d) ^ 0x0dd5_eed0);
        let what = surfaces();
        let spots = what.iter().map(What::at_first).collect();
        let two_desks = chance.percent(20);
        let ahead = match chance.below(20) {
            0 => [0, 240],
            1 => [0, -180],
            2 => [0, 45],
            _ => [0, 0],
        };
        let ahead = if two_desks { ahead } else { [0, 0] };
        let tagged = vec![None; what.len()];
        let mut draft = Draft { chance, steps: vec![], key: 0, what, spots, tagged, two_desks, told: vec![], tags: 0 };
        let mut at = 120;
        for _ in 0..2 + draft.chance.below(4) {
            at = draft.episode(at);
            at += draft.chance.pick(&[2, 5, 10, 20, 45]);
        }
        for _ in 0..1 + draft.chance.below(3) {
            draft.rounds(at);
            at += draft.chance.pick(&[20, 70, 130, 250]);
        }
        draft.steps.sort_by_key(|step| step.at);
        Self { seed, ahead, steps: draft.steps }
    }
}

impl Draft {
    fn key(&mut self) -> Key {
        self.key += 1;
        self.key
    }

    fn step(&mut self, at: Minute, deed: Deed, slips: Vec<Slip>) {
        let mut slips = slips;
        let is_note = deed.about().is_some() || matches!(deed, Deed::Check { .. });
        if self.two_desks && is_note && self.chance.percent(35) {
            slips.push(Slip::OtherTerminal);
        }
        self.steps.push(Step { at, deed, slips });
    }

    /// A note of something that ended then: soon, late, or never.
    fn note(&mut self, ended: Minute, deed: Deed, slips: Vec<Slip>) {
        let mut slips = slips;
        let prompt = ended + 1;
        match self.chance.below(20) {
            0 => {}
            1..=6 => {
                let late = self.chance.pick(&LATE);
                slips.push(Slip::Late { prompt });
                self.step(prompt + late, deed, slips);
            }
            _ => self.step(prompt, deed, slips),
        }
    }

    fn slip(&mut self, chance: usize, slip: Slip, slips: &mut Vec<Slip>) {
        if self.chance.percent(chance) {
            slips.push(slip);
        }
    }

    fn room(&mut self) -> Room {
        // Most of a story is about few rooms.
        self.chance.pick(&[0, 0, 0, 1, 1, 2, 3])
    }

    fn rounds(&mut self, at: Minute) {
        let mut slips = vec![];
        self.slip(15, Slip::TicksTheList, &mut slips);
        self.slip(12, Slip::LookedThrough, &mut slips);
        self.slip(6, Slip::BadLoad, &mut slips);
        self.step(at, Deed::Rounds { rooms: (0..ROOMS.len()).collect() }, slips);
    }

    /// Something that goes on for a while. Gives when it has ended.
    fn episode(&mut self, at: Minute) -> Minute {
        match self.chance.below(100) {
            0..=23 => self.spray(at),
            24..=45 => self.carry(at),
            46..=52 => self.trail(at),
            53..=59 => self.roll(at),
            60..=65 => self.wipe(at),
            66..=75 => self.check(at),
            76..=81 => self.void(at),
            82..=84 => self.gap(at),
            85..=89 => self.lie(at),
            90..=94 => self.strip(at),
            95 => self.list(at),
            _ => {
                self.rounds(at);
                at + 20
            }
        }
    }

    fn spray(&mut self, at: Minute) -> Minute {
        let (key, room) = (self.key(), self.room());
        let minutes = self.chance.pick(&[5, 5, 10, 30]);
        let product = self.chance.pick(&[0, 1, 1, 2, 2, 3]);
        let standing: Vec<Surface> = (0..self.what.len()).filter(|it| self.spots[*it] == Spot::In(room)).collect();
        let aim = match self.chance.percent(20) || standing.is_empty() {
            true => None,
            false => {
                let mut aim: Vec<Surface> = standing.iter().copied().filter(|_| self.chance.percent(40)).collect();
                if aim.is_empty() {
                    aim.push(self.chance.pick(&standing));
                }
                Some(aim)
            }
        };
        let label = PRODUCTS[product].1.unwrap_or(120);
        let dries = match self.chance.below(6) {
            0 => label + 90,
            1 => label.max(10),
            _ => label / 2,
        };
        self.step(at, Deed::Spray { key, room, minutes, product, aim: aim.clone(), dries }, vec![]);
        let ended = at + minutes;
        let mut slips = vec![];
        self.slip(7, Slip::NoZones, &mut slips);
        self.slip(7, Slip::ZoneLeftOut, &mut slips);
        self.slip(6, Slip::NoEnd, &mut slips);
        let by = self.chance.pick(&[10, 20, 60]);
        self.slip(6, Slip::ShortEnd(by), &mut slips);
        self.slip(3, Slip::LongEnd(by), &mut slips);
        self.slip(5, Slip::NoLabel, &mut slips);
        self.slip(4, Slip::LowLabel, &mut slips);
        let wrong = self.room();
        self.slip(if wrong == room { 0 } else { 8 }, Slip::WrongRoom(wrong), &mut slips);
        self.slip(4, Slip::WrongPerson, &mut slips);
        self.slip(6, Slip::BagsNotStated, &mut slips);
        self.slip(8, Slip::NoBags, &mut slips);
        let no_bags = slips.iter().any(|it| matches!(it, Slip::BagsNotStated | Slip::NoBags));
        let has = |wanted: fn(&Slip) -> bool| slips.iter().any(wanted);
        let (no_zones, bad_end, bad_label) = (
            has(|it| matches!(it, Slip::NoZones | Slip::ZoneLeftOut)),
            has(|it| matches!(it, Slip::NoEnd | Slip::ShortEnd(_) | Slip::LongEnd(_))),
            has(|it| matches!(it, Slip::NoLabel | Slip::LowLabel)),
        );
        let is_wrong_room = has(|it| matches!(it, Slip::WrongRoom(_)));
        self.note(ended, Deed::TellSpray { key }, slips);
        self.told.push((key, "spray", ended));
        for (more, is_wanted) in
            [(More::Zones, no_zones), (More::End, bad_end), (More::Label, bad_label), (More::Bags, no_bags)]
        {
            let times = if is_wanted { self.chance.below(3) } else { usize::from(self.chance.percent(4)) };
            for _ in 0..times {
                let mut slips = vec![];
                self.slip(20, Slip::ShortEnd(10), &mut slips);
                self.slip(20, Slip::LowLabel, &mut slips);
                self.slip(20, Slip::HighLabel, &mut slips);
                slips.retain(|slip| match more {
                    More::Zones | More::Bags => false,
                    More::End => matches!(slip, Slip::ShortEnd(_)),
                    More::Label => matches!(slip, Slip::LowLabel | Slip::HighLabel),
                });
                let later = self.chance.pick(&[3, 10, 40, 80, 150]);
                if slips.contains(&Slip::HighLabel) && self.chance.percent(50) {
                    self.step(ended + later + 5, Deed::TellLess { key }, vec![]);
                }
                self.step(ended + later, Deed::TellMore { key, more }, slips);
            }
        }
        if is_wrong_room && self.chance.percent(60) {
            let later = self.chance.pick(&[5, 30, 90]);
            let slips = if self.chance.percent(70) { vec![Slip::ReallyIn(room)] } else { vec![] };
            self.step(ended + later, Deed::Void { key }, slips);
        }
        ended
    }

    /// A thing goes once or more often, each leg noted or not.
    fn carry(&mut self, at: Minute) -> Minute {
        let is_movable = |what: &What| match what {
            What::RoomPart { part, .. } => *part != FIXED,
            What::BedPart { part, .. } => *part == "mattress",
            What::Thing { .. } => true,
        };
        let all: Vec<Surface> = (0..self.what.len()).filter(|it| is_movable(&self.what[*it])).collect();
        let out: Vec<Surface> = all.iter().copied().filter(|it| self.tagged[*it].is_some()).collect();
        let near: Vec<Surface> = all.iter().copied().filter(|it| self.spots[*it] == Spot::In(0)).collect();
        let surface = match self.chance.below(10) {
            0..=3 if !out.is_empty() => self.chance.pick(&out),
            4..=7 if !near.is_empty() => self.chance.pick(&near),
            _ => self.chance.pick(&all),
        };
        let is_word = self.tagged[surface].is_none() && self.chance.percent(4);
        if is_word && !self.tagged.contains(&Some(TAG_OF_THE_LIST)) {
            self.tagged[surface] = Some(TAG_OF_THE_LIST);
        }
        let tag = self.tag_for(surface);
        let mut at = at;
        for leg in 0..1 + self.chance.below(2) {
            let from = self.spots[surface];
            let mut to = Spot::In(self.room());
            if self.chance.percent(6) {
                to = Spot::Outside;
            }
            if from == to {
                to = Spot::In(if from == Spot::In(1) { 2 } else { 1 });
            }
            let key = self.key();
            self.step(at, Deed::Carry { key, tag, surfaces: vec![surface], to }, vec![]);
            self.spots[surface] = to;
            if let Spot::In(_) = from {
                let mut slips = vec![];
                self.slip(12, Slip::NoZones, &mut slips);
                self.slip(12, Slip::NoDestination, &mut slips);
                let wrong = self.room();
                self.slip(5, Slip::WrongDestination(wrong), &mut slips);
                self.slip(4, Slip::WrongTag, &mut slips);
                self.slip(if leg > 0 { 15 } else { 5 }, Slip::NamesZoneOfStop, &mut slips);
                if !self.chance.percent(10) {
                    if (slips.contains(&Slip::WrongTag) || to == Spot::Outside) && self.chance.percent(40) {
                        let later = self.chance.pick(&[30, 90]);
                        self.step(at + later, Deed::GiveUp { key }, vec![]);
                    }
                    self.note(at, Deed::TellLeft { key }, slips);
                    self.told.push((key, "move", at));
                }
            }
            if let Spot::In(_) = to {
                let mut slips = vec![];
                self.slip(15, Slip::NoOrigin, &mut slips);
                let wrong = self.room();
                self.slip(if Spot::In(wrong) == from { 0 } else { 6 }, Slip::WrongOrigin(wrong), &mut slips);
                self.slip(if Spot::In(wrong) == to { 0 } else { 4 }, Slip::WrongRoom(wrong), &mut slips);
                self.slip(4, Slip::WrongTag, &mut slips);
                self.slip(20, Slip::SaidDry, &mut slips);
                self.slip(8, Slip::WetNotKnown, &mut slips);
                if !self.chance.percent(15) {
                    self.note(at + 1, Deed::TellCame { key }, slips);
                }
            }
            at += self.chance.pick(&[3, 10, 30, 90]);
        }
        at
    }

    /// Something is sprayed, felt, and goes on; then something of it comes to light.
    fn trail(&mut self, at: Minute) -> Minute {
        let product = self.chance.pick(&[0, 1, 2]);
        let label = PRODUCTS[product].1.unwrap_or(120);
        let dries = label + self.chance.pick(&[0, 0, 120]);
        let bed = self.chance.percent(40);
        let room = self.chance.pick(&[0, 1]);
        let is_it = |what: &What| match what {
            What::BedPart { part, .. } => bed && *part == "frame",
            What::RoomPart { part, .. } => !bed && *part == "chair",
            What::Thing { .. } => false,
        };
        let here = |it: &Surface| self.spots[*it] == Spot::In(room) && is_it(&self.what[*it]);
        let Some(surface) = (0..self.what.len()).find(here) else { return at };
        let key = self.key();
        let aim = Some(vec![surface]);
        self.step(at, Deed::Spray { key, room, minutes: 5, product, aim: aim.clone(), dries }, vec![]);
        self.note(at + 5, Deed::TellSpray { key }, vec![]);
        let mut at = at + 10;
        let mut stands = room;
        if !bed {
            at = self.leg(surface, room, at);
            if let Spot::In(now) = self.spots[surface] {
                stands = now;
            }
        }
        let felt = at + label + 5;
        match self.chance.percent(60) {
            true => self.rounds(felt),
            false => {
                let key = self.key();
                let mut slips = vec![];
                self.slip(60, Slip::DampNotNoted, &mut slips);
                self.slip(20, Slip::TicksTheList, &mut slips);
                self.step(felt, Deed::Check { key, room: stands }, slips);
                let later = self.chance.pick(&[20, 60, 120]);
                let slips = vec![Slip::Late { prompt: felt + 4 }];
                self.step(felt + later, Deed::TellDamp { key }, slips);
                if self.chance.percent(30) {
                    self.step(felt + later + 5, Deed::Void { key }, vec![]);
                }
            }
        }
        let on = match bed {
            true => self.roll_bed(self.bed_of(surface), felt + 25),
            false => self.leg(surface, stands, felt + 25),
        };
        self.rounds(on + 12);
        let light = on + self.chance.pick(&[15, 30, 90]);
        match self.chance.below(5) {
            0 => self.step(light, Deed::VoidCheck { room: stands }, vec![]),
            1 => self.step(light, Deed::TellMore { key, more: More::Label }, vec![]),
            2 => self.step(light, Deed::Void { key }, vec![]),
            3 => {
                let key = self.key();
                self.step(at - 4, Deed::Wipe { key, room, surfaces: vec![surface] }, vec![]);
                self.step(light, Deed::TellWiped { key }, vec![Slip::Late { prompt: at }]);
            }
            _ => {}
        }
        light
    }

    fn bed_of(&self, surface: Surface) -> usize {
        if let What::BedPart { bed, .. } = self.what[surface] { bed } else { 0 }
    }

    /// One leg of a thing, rightly noted, to another room.
    fn leg(&mut self, surface: Surface, from: Room, at: Minute) -> Minute {
        let tag = self.tag_for(surface);
        let to = (from + 1 + self.chance.below(2)) % ROOMS.len();
        let key = self.key();
        self.step(at, Deed::Carry { key, tag, surfaces: vec![surface], to: Spot::In(to) }, vec![]);
        self.spots[surface] = Spot::In(to);
        self.step(at + 1, Deed::TellLeft { key }, vec![]);
        self.step(at + 2, Deed::TellCame { key }, vec![]);
        at + 3
    }

    fn tag_for(&mut self, surface: Surface) -> &'static str {
        let tag = match self.tagged[surface] {
            Some(tag) => tag,
            None => {
                self.tags += 1;
                TAGS[(self.tags - 1) % TAGS.len()]
            }
        };
        self.tagged[surface] = Some(tag);
        tag
    }

    fn roll(&mut self, at: Minute) -> Minute {
        let bed = self.chance.pick(&[0, 0, 1, 2]) % BEDS.len();
        self.roll_bed(bed, at)
    }

    fn roll_bed(&mut self, bed: usize, at: Minute) -> Minute {
        let key = self.key();
        let is_part = |what: &What| matches!(what, What::BedPart { bed: of, .. } if *of == bed);
        let parts: Vec<Surface> = (0..self.what.len()).filter(|it| is_part(&self.what[*it])).collect();
        let from = parts.last().map_or(Spot::Outside, |it| self.spots[*it]);
        let mut to = self.room();
        if from == Spot::In(to) {
            to = (to + 1) % ROOMS.len();
        }
        self.step(at, Deed::Roll { key, bed, to }, vec![]);
        for part in parts {
            if self.spots[part] == from {
                self.spots[part] = Spot::In(to);
            }
        }
        self.note(at, Deed::TellBook { key }, vec![]);
        for ward in [from, Spot::In(to)] {
            if let Spot::In(room) = ward
                && self.chance.percent(60)
            {
                let later = self.chance.pick(&[3, 20, 60]);
                self.step(at + later, Deed::Walk { ward: ward_of(room) }, vec![]);
            }
        }
        at + 1
    }

    fn wipe(&mut self, at: Minute) -> Minute {
        let (key, room) = (self.key(), self.room());
        let standing: Vec<Surface> = (0..self.what.len()).filter(|it| self.spots[*it] == Spot::In(room)).collect();
        if standing.is_empty() {
            return at;
        }
        let surfaces = vec![self.chance.pick(&standing)];
        self.step(at, Deed::Wipe { key, room, surfaces }, vec![]);
        let mut slips = vec![];
        self.slip(20, Slip::NoZones, &mut slips);
        let wrong = self.room();
        self.slip(if wrong == room { 0 } else { 5 }, Slip::WrongRoom(wrong), &mut slips);
        self.note(at, Deed::TellWiped { key }, slips);
        self.told.push((key, "wiping", at));
        at + 1
    }

    fn check(&mut self, at: Minute) -> Minute {
        let (key, room) = (self.key(), self.room());
        let later = self.chance.pick(&[0, 30, 62, 125, 245, 340]);
        let mut slips = vec![];
        self.slip(25, Slip::TicksTheList, &mut slips);
        self.slip(20, Slip::TagsLeftOut, &mut slips);
        let wrong = self.room();
        self.slip(if wrong == room { 0 } else { 10 }, Slip::WrongRoom(wrong), &mut slips);
        if self.chance.percent(15) {
            slips.push(Slip::Late { prompt: at + later });
        }
        self.slip(30, Slip::DampNotNoted, &mut slips);
        self.step(at + later, Deed::Check { key, room }, slips);
        let noted = self.chance.pick(&[10, 40, 120]);
        self.step(at + later + noted, Deed::TellDamp { key }, vec![Slip::Late { prompt: at + later + 4 }]);
        self.told.push((key, "check", at + later));
        at + 3
    }

    fn void(&mut self, at: Minute) -> Minute {
        if self.told.is_empty() {
            return at;
        }
        if self.chance.percent(35) {
            let (room, later) = (self.room(), self.chance.pick(&[60, 150, 300]));
            self.step(at + later, Deed::VoidCheck { room }, vec![]);
            return at;
        }
        let (key, what, told) = self.told[self.chance.below(self.told.len())];
        let mut slips = vec![];
        let room = self.room();
        self.slip(if what == "spray" { 40 } else { 0 }, Slip::ReallyIn(room), &mut slips);
        let later = self.chance.pick(&[5, 20, 60, 200]);
        self.step(at.max(told) + later, Deed::Void { key }, slips);
        at
    }

    fn gap(&mut self, at: Minute) -> Minute {
        self.step(at, Deed::Gap { ward: 0 }, vec![]);
        if self.chance.percent(40) {
            self.step(at + 241, Deed::Walk { ward: 0 }, vec![]);
        }
        at + 1
    }

    /// Somebody lies in a bed for a while.
    fn lie(&mut self, at: Minute) -> Minute {
        let bed = self.chance.pick(&[0, 0, 1, 2]);
        let long = self.chance.pick(&[30, 90, 200]);
        for (at, lies) in [(at - 60, true), (at - 60 + long, false)] {
            let key = self.key();
            let at = at.max(95);
            self.step(at, Deed::Lie { key, bed, lies }, vec![]);
            self.note(at, Deed::TellLies { key }, vec![]);
        }
        at
    }

    fn strip(&mut self, at: Minute) -> Minute {
        let (key, bed) = (self.key(), self.chance.pick(&[0, 0, 1, 2]));
        let bag = self.chance.pick(&["G1", "G2", "G3"]);
        self.step(at, Deed::Strip { key, bed, bag }, vec![]);
        let mut slips = vec![];
        self.slip(15, Slip::TwoBagsInOneTag, &mut slips);
        self.note(at, Deed::TellStripped { key }, slips);
        self.told.push((key, "bag", at));
        at + 1
    }

    fn list(&mut self, at: Minute) -> Minute {
        let (product, label) = (self.chance.pick(&[1, 2]), self.chance.pick(&[0, 30]));
        self.step(at, Deed::SetLabel { product, label }, vec![]);
        at + 1
    }
}

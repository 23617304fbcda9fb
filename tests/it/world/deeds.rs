//! What people do and what they note of it: one arm each. A new action is an arm of [`Deed`], a line in [`Deed::kind`], and
//! its doing in [`Scene::act`].

use super::place::{BEDDING, BEDS, Minute, ROOMS, Room, Spot, Surface, What, rooms_of_ward};
use super::program::{PRODUCTS, Program};
use super::said::{Say, Wet};
use super::scene::Scene;
use super::truth::{Filled, Key, Lying, Move, Spray, Touch, Wiping};

/// What can go wrong with a note, each with its name in the table of what was met.
macro_rules! slips {
    ($($(#[$doc:meta])* $slip:ident $({ $($field:ident: $kind:ty),+ })? $(($inner:ty))? => $name:literal;)+) => {
        #[derive(Clone, PartialEq, Debug)]
        pub(super) enum Slip { $($(#[$doc])* $slip $({ $($field: $kind),+ })? $(($inner))?),+ }

        impl Slip {
            pub(super) const NAMES: &'static [&'static str] = &[$($name),+];

            pub(super) fn name(&self) -> &'static str {
                // A pattern that fits every shape of a variant.
                match self { $(Self::$slip { .. } => $name),+ }
            }
        }
    };
}

slips! {
    /// Noted later than it could have been: then.
    Late { prompt: Minute } => "late";
    WrongRoom(Room) => "wrong room";
    NoZones => "zones not stated";
    /// One zone is forgotten.
    ZoneLeftOut => "a zone left out";
    NoEnd => "end not stated";
    ShortEnd(Minute) => "end too early";
    LongEnd(Minute) => "end too late";
    NoLabel => "label not known";
    LowLabel => "label too short";
    NoDestination => "destination not noted";
    WrongDestination(Room) => "wrong destination";
    NoOrigin => "origin not noted";
    WrongOrigin(Room) => "wrong origin";
    WrongTag => "wrong tag";
    /// A later leg names the zone of the room in which it only stood.
    NamesZoneOfStop => "a leg names a zone of its stop";
    SaidDry => "said not wet";
    WetNotKnown => "wet not known";
    WrongPerson => "wrong person";
    TicksTheList => "ticks what is not there";
    TagsLeftOut => "what bears a tag not felt";
    ReallyIn(Room) => "really in";
    OtherTerminal => "other terminal";
    BagsNotStated => "bags not stated";
    NoBags => "no bags, where somebody lay";
    TwoBagsInOneTag => "two bags in one tag";
    LookedThrough => "bag looked through";
    BadLoad => "a bad load";
    DampNotNoted => "damp not noted at once";
}

/// A tag that somebody took off the room list.
pub(super) const TAG_OF_THE_LIST: &str = "chair";
/// What is taken where that one is refused.
const ANOTHER: &str = "T9";

/// What is supplied or corrected of a spray.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum More {
    Zones,
    End,
    Label,
    Bags,
}

#[derive(Clone, PartialEq, Debug)]
pub(super) enum Deed {
    /// The whole room, or what stands there of these; dry so many minutes after its end.
    Spray {
        key: Key,
        room: Room,
        minutes: Minute,
        product: usize,
        aim: Option<Vec<Surface>>,
        dries: Minute,
    },
    TellSpray {
        key: Key,
    },
    TellMore {
        key: Key,
        more: More,
    },
    /// Things are brought elsewhere under a tag.
    Carry {
        key: Key,
        tag: &'static str,
        surfaces: Vec<Surface>,
        to: Spot,
    },
    TellLeft {
        key: Key,
    },
    TellCame {
        key: Key,
    },
    /// A bed is rolled with all its parts, and the book follows.
    Roll {
        key: Key,
        bed: usize,
        to: Room,
    },
    TellBook {
        key: Key,
    },
    Wipe {
        key: Key,
        room: Room,
        surfaces: Vec<Surface>,
    },
    TellWiped {
        key: Key,
    },
    /// Somebody feels what stands in the room, and notes it.
    Check {
        key: Key,
        room: Room,
    },
    /// What was felt damp then is noted now.
    TellDamp {
        key: Key,
    },
    /// Somebody lies in this bed from now on, or no longer.
    Lie {
        key: Key,
        bed: usize,
        lies: bool,
    },
    TellLies {
        key: Key,
    },
    /// The bed's linens go into a bag.
    Strip {
        key: Key,
        bed: usize,
        bag: &'static str,
    },
    TellStripped {
        key: Key,
    },
    /// The hospital's list gives a product other minutes.
    SetLabel {
        product: usize,
        label: Minute,
    },
    /// The last check of this room is voided.
    VoidCheck {
        room: Room,
    },
    /// The last note of this is voided.
    Void {
        key: Key,
    },
    Gap {
        ward: usize,
    },
    Walk {
        ward: usize,
    },
    /// Everybody does for a while what the program asks for in these rooms.
    Rounds {
        rooms: Vec<Room>,
    },
}

#[derive(Clone, Debug)]
pub(super) struct Step {
    pub(super) at: Minute,
    pub(super) deed: Deed,
    pub(super) slips: Vec<Slip>,
}

impl Deed {
    pub(super) const KINDS: [&'static str; 29] = [
        "spray of a room",
        "spray",
        "spray noted",
        "zones supplied",
        "end supplied",
        "label supplied",
        "thing moved under a zone's name",
        "thing taken out",
        "thing moved",
        "leaving noted",
        "arrival noted",
        "bed rolled",
        "book changed",
        "wiping",
        "wiping noted",
        "bags supplied",
        "check",
        "damp noted",
        "patient in",
        "patient out",
        "occupancy noted",
        "bag filled",
        "bag noted",
        "label on the list changed",
        "void",
        "check voided",
        "gap",
        "walk",
        "rounds",
    ];

    pub(super) fn kind(&self) -> &'static str {
        match self {
            Self::Spray { aim: None, .. } => "spray of a room",
            Self::Spray { .. } => "spray",
            Self::TellSpray { .. } => "spray noted",
            Self::TellMore { more: More::Zones, .. } => "zones supplied",
            Self::TellMore { more: More::End, .. } => "end supplied",
            Self::TellMore { more: More::Label, .. } => "label supplied",
            Self::Carry { tag: TAG_OF_THE_LIST, .. } => "thing moved under a zone's name",
            Self::Carry { to: Spot::Outside, .. } => "thing taken out",
            Self::Carry { .. } => "thing moved",
            Self::TellLeft { .. } => "leaving noted",
            Self::TellCame { .. } => "arrival noted",
            Self::Roll { .. } => "bed rolled",
            Self::TellBook { .. } => "book changed",
            Self::Wipe { .. } => "wiping",
            Self::TellWiped { .. } => "wiping noted",
            Self::TellMore { more: More::Bags, .. } => "bags supplied",
            Self::Check { .. } => "check",
            Self::TellDamp { .. } => "damp noted",
            Self::Lie { lies: true, .. } => "patient in",
            Self::Lie { .. } => "patient out",
            Self::TellLies { .. } => "occupancy noted",
            Self::Strip { .. } => "bag filled",
            Self::TellStripped { .. } => "bag noted",
            Self::SetLabel { .. } => "label on the list changed",
            Self::Void { .. } => "void",
            Self::VoidCheck { .. } => "check voided",
            Self::Gap { .. } => "gap",
            Self::Walk { .. } => "walk",
            Self::Rounds { .. } => "rounds",
        }
    }

    /// What this is, or is about.
    pub(super) fn key(&self) -> Option<Key> {
        match self {
            Self::Spray { key, .. }
            | Self::Carry { key, .. }
            | Self::Roll { key, .. }
            | Self::Wipe { key, .. }
            | Self::Check { key, .. }
            | Self::Lie { key, .. }
            | Self::Strip { key, .. } => Some(*key),
            _ => self.about(),
        }
    }

    /// A note that comes on top of the first one.
    pub(super) fn is_besides(&self) -> bool {
        matches!(self, Self::TellMore { .. } | Self::Void { .. } | Self::TellDamp { .. })
    }

    /// The thing that happened of which this is a note.
    pub(super) fn about(&self) -> Option<Key> {
        match self {
            Self::TellSpray { key }
            | Self::TellMore { key, .. }
            | Self::TellLeft { key }
            | Self::TellCame { key }
            | Self::TellBook { key }
            | Self::TellWiped { key }
            | Self::TellDamp { key }
            | Self::TellLies { key }
            | Self::TellStripped { key }
            | Self::Void { key } => Some(*key),
            _ => None,
        }
    }
}

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
                self.log(|_| format!("in {} somebody wipes {:?}", ROOMS[*room], hit));
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
            Deed::Walk { ward } => self.walk(*ward),
            Deed::Rounds { rooms } => self.rounds(rooms, &step.slips),
        }
    }

    fn spray(&mut self, key: Key, room: Room, minutes: Minute, product: usize, aim: Option<&[Surface]>, dries: Minute) {
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

    fn tell_spray(&mut self, key: Key, terminal: usize, slips: &[Slip]) {
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

    fn tell_more(&mut self, key: Key, more: More, terminal: usize, slips: &[Slip]) {
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

    fn carry(&mut self, key: Key, tag: &str, surfaces: &[Surface], to: Spot, bed: Option<usize>) {
        let Some(first) = surfaces.first() else { return };
        let from = self.truth.now(*first);
        let together: Vec<Surface> = surfaces.iter().copied().filter(|it| self.truth.now(*it) == from).collect();
        if from == to {
            return;
        }
        let tag = match self.truth.tag_of(*first) {
            Some(tag) => tag.to_owned(),
            None => {
                if bed.is_none() {
                    self.truth.tags.push((tag.to_owned(), together.clone()));
                }
                tag.to_owned()
            }
        };
        self.truth.carry(&together, to, self.now);
        self.log(|scene| {
            let names: Vec<String> = together.iter().map(|it| scene.truth.what[*it].title()).collect();
            let name = |spot: Spot| if let Spot::In(room) = spot { ROOMS[room] } else { "outside" };
            format!("{} ({tag}) goes from {} to {}", names.join(", "), name(from), name(to))
        });
        self.truth.moves.push(Move { key, tag, surfaces: together, from, to, at: self.now, bed });
        self.now += 1;
    }

    fn tell_left(&mut self, key: Key, terminal: usize, slips: &[Slip]) {
        let Some(it) = self.truth.moves.iter().find(|it| it.key == key).cloned() else { return };
        let Spot::In(room) = it.from else { return };
        let mut to = if let Spot::In(to) = it.to { Some(to) } else { None };
        let mut tag = it.tag.clone();
        let list = self.program.zone_list(room);
        let mut zones = self.parts_to_name(&it);
        for slip in slips {
            match slip {
                Slip::NoZones => zones.clear(),
                Slip::NoDestination => to = None,
                Slip::WrongDestination(wrong) if *wrong != room => to = Some(*wrong),
                Slip::WrongTag => tag = format!("{tag}-X"),
                Slip::NamesZoneOfStop => {
                    let part = it.surfaces.first().map(|at| self.truth.what[*at].name());
                    zones = part.into_iter().filter(|name| list.contains(name)).collect();
                }
                _ => {}
            }
        }
        let tag = if it.bed.is_some() { format!("BED-{}", BEDS[it.bed.unwrap_or(0)]) } else { tag };
        let say = Say::Left { room, tag, zones: zones.clone(), to };
        let Err(no) = self.tell(&["HK"], terminal, it.at, say, Some(key)) else { return };
        let (tag, zones) = match (no.rule == "place" && !zones.is_empty(), self.take_another_tag(&it.tag)) {
            // Where that room's list does not have it, the form takes no zone; a bed without its zones is no bed.
            (true, _) if it.bed.is_none() => (it.tag, vec![]),
            (_, true) => (ANOTHER.to_owned(), zones),
            _ => return,
        };
        let _ = self.tell(&["HK"], terminal, it.at, Say::Left { room, tag, zones, to }, Some(key));
    }

    /// Under a new tag, or of a bed, the form asks which zones it is.
    pub(super) fn parts_to_name(&self, it: &Move) -> Vec<String> {
        let first = self.truth.moves.iter().find(|other| other.tag == it.tag && other.bed.is_none());
        let is_new = it.bed.is_some() || first.map(|first| first.key) == Some(it.key);
        let part = |at: &Surface| match &self.truth.what[*at] {
            What::Thing { .. } => None,
            what => Some(what.name()).filter(|_| is_new),
        };
        it.surfaces.iter().filter_map(part).collect()
    }

    fn tell_came(&mut self, key: Key, terminal: usize, slips: &[Slip]) {
        let Some(it) = self.truth.moves.iter().find(|it| it.key == key).cloned() else { return };
        let Spot::In(mut room) = it.to else { return };
        let mut from = if let Spot::In(from) = it.from { Some(from) } else { None };
        let mut tag = if let Some(bed) = it.bed { format!("BED-{}", BEDS[bed]) } else { it.tag.clone() };
        let is_wet = it.surfaces.iter().any(|at| self.truth.is_unsafe(*at));
        let mut wet = if is_wet { Wet::Yes } else { Wet::No };
        for slip in slips {
            match slip {
                Slip::NoOrigin => from = None,
                Slip::WrongOrigin(wrong) => from = Some(*wrong),
                Slip::WrongTag => tag = format!("{tag}-X"),
                Slip::WrongRoom(wrong) => room = *wrong,
                Slip::SaidDry => wet = Wet::No,
                Slip::WetNotKnown => wet = Wet::Unknown,
                _ => {}
            }
        }
        let told = self.tell(&["HK"], terminal, it.at, Say::Arrived { room, tag, from, wet }, Some(key));
        if told.is_err() && self.take_another_tag(&it.tag) {
            let tag = ANOTHER.to_owned();
            let _ = self.tell(&["HK"], terminal, it.at, Say::Arrived { room, tag, from, wet }, Some(key));
        }
    }

    /// A tag that is a zone's name is refused: the thing gets another one, if nothing was noted under this.
    fn take_another_tag(&mut self, tag: &str) -> bool {
        let noted = self.notes.iter().any(|note| match &note.say {
            Say::Left { tag: of, .. } | Say::Arrived { tag: of, .. } => of == tag,
            _ => false,
        });
        if tag != TAG_OF_THE_LIST || noted {
            return false;
        }
        self.truth.tags.iter_mut().filter(|(known, _)| known == tag).for_each(|(known, _)| *known = ANOTHER.to_owned());
        self.truth.moves.iter_mut().filter(|it| it.tag == tag).for_each(|it| it.tag = ANOTHER.to_owned());
        true
    }

    fn tell_book(&mut self, key: Key, terminal: usize) {
        let Some(it) = self.truth.moves.iter().find(|it| it.key == key).cloned() else { return };
        let (Some(bed), Spot::In(to)) = (it.bed, it.to) else { return };
        let Some(from) = (0..ROOMS.len()).find(|room| self.program.book_beds(*room).contains(&bed)) else { return };
        if from == to {
            return;
        }
        let without: Vec<usize> = self.program.book_beds(from).into_iter().filter(|it| *it != bed).collect();
        let mut with = self.program.book_beds(to);
        with.push(bed);
        let now = self.now;
        if self.tell(&["LD"], terminal, now, Say::Beds { room: from, beds: without }, None).is_ok() {
            let _ = self.tell(&["LD"], terminal, self.now, Say::Beds { room: to, beds: with }, Some(key));
        }
    }

    /// Somebody goes in and touches what stands there.
    fn check(&mut self, key: Key, room: Room, terminal: usize, slips: &[Slip]) {
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

    pub(super) fn walk(&mut self, ward: usize) {
        // Whoever walks sees what is dripping, and nothing else.
        let _ = rooms_of_ward(ward);
        if self.tell(&["LD"], 0, self.now, Say::Walk { ward, wet: None }, None).is_err() {
            let _ = self.tell(&["LD"], 0, self.now, Say::Walk { ward, wet: Some(vec![]) }, None);
        }
    }
}

fn wrong_room(slips: &[Slip]) -> Option<Room> {
    slips.iter().find_map(|slip| match slip {
        Slip::WrongRoom(room) => Some(*room),
        _ => None,
    })
}

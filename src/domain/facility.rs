//! The hospital as its ledger describes it: wards, rooms in walking order, beds, zones, neighbours, shared spaces.
//!
//! Everything here comes from setting entries; nothing is derived from what happens in a room.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use chrono_tz::Tz;

use super::code::Code;

/// The whole hospital. Rooms are in `rooms` by code; a ward lists its rooms in walking order.
#[derive(Clone, Debug, PartialEq)]
pub struct Facility {
    pub name: String,
    /// The zone in which days are counted and times are shown. Elapsed time is always UTC.
    pub time_zone: Tz,
    pub wards: BTreeMap<Code, Ward>,
    /// Shared, because every entry about a room reads its plan. Changed by [`Facility::put_room`] alone.
    pub rooms: BTreeMap<Code, Arc<RoomPlan>>,
    /// Zones by kind of room (`patient-room`, `bathroom` …), as the hospital has set them.
    pub zone_sets: BTreeMap<Code, Vec<ZonePlan>>,
    /// In which room each bed stands, and which spaces serve each room: read off `rooms`, for quick questions.
    room_of_bed: BTreeMap<Code, Code>,
    spaces_of_room: BTreeMap<Code, Vec<Code>>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Ward {
    pub code: Code,
    pub name: String,
    /// Storeys above the entrance floor; basements are negative.
    pub floor: i16,
    /// In the order in which people walk it.
    pub rooms: Vec<Code>,
}

/// A room as it is built and furnished. A place without beds is a room with no beds.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomPlan {
    pub code: Code,
    pub name: String,
    pub ward: Code,
    /// Which zone set applies: `patient-room`, `bathroom`, `day-room`, `waiting-area`, `equipment`, or the hospital's own.
    pub kind: Code,
    /// Position along the walk through the ward, from 1.
    pub order: u32,
    pub beds: Vec<Bed>,
    /// All zones, the bed zones once for each bed, in the order in which one walks the room.
    pub zones: Vec<(Zone, ZonePlan)>,
    pub neighbours: Vec<Neighbour>,
    /// The rooms that this place serves, if it is a shared space (a bathroom between two rooms).
    pub serves: Vec<Code>,
    /// The floor's area in square decimetres, by the hospital's book. None: nobody said. Estimates alone read it.
    pub floor_dm2: Option<u32>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bed {
    pub code: Code,
    /// Free tags: `window`, `bariatric` …
    pub features: Vec<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Neighbour {
    pub side: Side,
    pub room: Code,
}

/// Where the neighbour lies, seen from the corridor, facing the door.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    Left,
    Right,
    Opposite,
    Above,
    Below,
}

impl Side {
    pub const ALL: [Self; 5] = [Self::Left, Self::Right, Self::Opposite, Self::Above, Self::Below];

    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Opposite => "opposite",
            Self::Above => "above",
            Self::Below => "below",
        }
    }
}

/// A part of one room that is inspected and treated as one. Bed zones name their bed.
///
/// In text: `chair` for a zone of the room, `4N-12-A/mattress` for a zone of a bed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Zone {
    pub bed: Option<Code>,
    pub part: Code,
}

impl Zone {
    /// Reads `part` or `BED/part`. Says nothing about whether the room has such a zone.
    pub fn parse(text: &str) -> Result<Self, super::code::CodeError> {
        match text.rsplit_once('/') {
            Some((bed, part)) => Ok(Self { bed: Some(Code::new(bed)?), part: Code::new(part)? }),
            None => Ok(Self { bed: None, part: Code::new(text)? }),
        }
    }

    /// The linens on a bed, where the hospital's zones have them as one.
    pub fn is_bedding(self) -> bool {
        let name: String = self.part.as_str().chars().filter(char::is_ascii_alphanumeric).collect();
        let name = name.to_ascii_lowercase();
        self.bed.is_some() && BEDDING.iter().any(|word| name.contains(word))
    }
}

/// What is washed of a bed, by the words that are likely in its name: our own, and what a hospital may say. A name too many asks for
/// bags where there are none; a name too few would ask for none.
const BEDDING: [&str; 14] = [
    "bedding",
    "linen",
    "bedclothes",
    "sheet",
    "blanket",
    "duvet",
    "quilt",
    "pillow",
    "spread",
    "coverlet",
    "comforter",
    "eiderdown",
    "cushion",
    "drape",
];

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.bed {
            Some(bed) => write!(f, "{bed}/{}", self.part),
            None => write!(f, "{}", self.part),
        }
    }
}
impl fmt::Debug for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

/// What a zone is and how it may be treated, the same for every room of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ZonePlan {
    pub part: Code,
    pub name: String,
    pub group: ZoneGroup,
    /// One for each bed of the room.
    pub per_bed: bool,
    pub treatment: ZoneTreatment,
    /// Soft seating: after spraying it is vacuumed once it is dry.
    pub soft_seat: bool,
    /// The bed cannot be made before this zone was found dry.
    pub mattress: bool,
    /// Part of the daily look at the linen change.
    pub daily: bool,
    /// A usual hiding place: a preventive spray covers it.
    pub hiding_place: bool,
    /// Looked at first: bugs are most often here.
    pub critical: bool,
    /// Said beside the zone in a form: `sprayed only while its heat is off`.
    pub caution: String,
}

/// The order of a checklist: one walks a room in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ZoneGroup {
    Bed,
    Seating,
    Storage,
    RoomEdges,
}

impl ZoneGroup {
    pub fn word(self) -> &'static str {
        match self {
            Self::Bed => "bed",
            Self::Seating => "seating",
            Self::Storage => "storage",
            Self::RoomEdges => "room edges",
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ZoneTreatment {
    /// By spray, if the product's label names such places.
    Spray,
    /// Never sprayed: vacuum, steam or careful inspection instead (powered beds, electronics, electric heaters).
    OtherMethod,
    /// Looked at, owed no treatment.
    InspectOnly,
}

impl Facility {
    pub fn empty(name: &str, time_zone: Tz) -> Self {
        Self {
            name: name.to_owned(),
            time_zone,
            wards: BTreeMap::new(),
            rooms: BTreeMap::new(),
            zone_sets: BTreeMap::new(),
            room_of_bed: BTreeMap::new(),
            spaces_of_room: BTreeMap::new(),
        }
    }

    pub fn room(&self, code: Code) -> Option<&RoomPlan> {
        self.rooms.get(&code).map(Arc::as_ref)
    }

    /// Adds a room, or takes this as its new plan; keeps its ward in walking order.
    pub fn put_room(&mut self, plan: RoomPlan) {
        let (code, ward, order) = (plan.code, plan.ward, plan.order);
        if let Some(old) = self.rooms.insert(code, Arc::new(plan)) {
            self.room_of_bed.retain(|_, room| *room != code);
            for room in &old.serves {
                self.spaces_of_room.entry(*room).or_default().retain(|space| *space != code);
            }
            if let Some(ward) = self.wards.get_mut(&old.ward) {
                ward.rooms.retain(|room| *room != code);
            }
        }
        let Some(plan) = self.rooms.get(&code) else { return };
        self.room_of_bed.extend(plan.beds.iter().map(|bed| (bed.code, code)));
        for room in &plan.serves {
            self.spaces_of_room.entry(*room).or_default().push(code);
        }
        let rooms = &self.rooms;
        if let Some(ward) = self.wards.get_mut(&ward) {
            let comes_first = |room: &Code| rooms.get(room).is_some_and(|other| (other.order, *room) < (order, code));
            let at = ward.rooms.partition_point(comes_first);
            ward.rooms.insert(at, code);
        }
    }

    /// The room in which the bed stands.
    pub fn room_of_bed(&self, bed: Code) -> Option<&RoomPlan> {
        self.room(*self.room_of_bed.get(&bed)?)
    }

    /// All rooms, ward by ward, in walking order.
    pub fn in_walking_order(&self) -> impl Iterator<Item = &RoomPlan> {
        self.wards.values().flat_map(|ward| ward.rooms.iter()).filter_map(|code| self.room(*code))
    }

    /// The shared spaces that serve this room.
    pub fn spaces_serving(&self, room: Code) -> impl Iterator<Item = &RoomPlan> {
        self.spaces_of_room.get(&room).into_iter().flatten().filter_map(|space| self.room(*space))
    }

    /// Rooms to inspect when this one is confirmed: its neighbours, and those that share a space with it. No doubles, not itself.
    pub fn ring_around(&self, room: Code) -> Vec<Code> {
        let Some(plan) = self.rooms.get(&room) else { return vec![] };
        let mut ring: Vec<Code> = plan.neighbours.iter().map(|n| n.room).chain(plan.serves.iter().copied()).collect();
        for space in self.spaces_serving(room) {
            ring.push(space.code);
            ring.extend(space.serves.iter().copied());
        }
        ring.retain(|code| *code != room && self.rooms.contains_key(code));
        ring.sort();
        ring.dedup();
        ring
    }

    /// The zones of a room of this kind with these beds, in walking order: each bed's zones, then the room's own.
    pub fn zones_for(&self, kind: Code, beds: &[Bed]) -> Vec<(Zone, ZonePlan)> {
        let Some(set) = self.zone_sets.get(&kind) else { return vec![] };
        let of_beds = beds.iter().flat_map(|bed| {
            let of_this = set.iter().filter(|plan| plan.per_bed);
            of_this.map(|plan| (Zone { bed: Some(bed.code), part: plan.part }, plan.clone()))
        });
        let of_room = set.iter().filter(|plan| !plan.per_bed);
        of_beds.chain(of_room.map(|plan| (Zone { bed: None, part: plan.part }, plan.clone()))).collect()
    }
}

impl RoomPlan {
    pub fn zone(&self, zone: Zone) -> Option<&ZonePlan> {
        self.zones.iter().find(|(z, _)| *z == zone).map(|(_, plan)| plan)
    }

    pub fn all_zones(&self) -> impl Iterator<Item = Zone> {
        self.zones.iter().map(|(zone, _)| *zone)
    }

    /// Every zone that is owed a treatment when the room is infested, by spray or by another method.
    pub fn treatable_zones(&self) -> impl Iterator<Item = Zone> {
        self.zones.iter().filter(|(_, plan)| plan.treatment != ZoneTreatment::InspectOnly).map(|(zone, _)| *zone)
    }

    pub fn sprayable_zones(&self) -> impl Iterator<Item = Zone> {
        self.zones.iter().filter(|(_, plan)| plan.treatment == ZoneTreatment::Spray).map(|(zone, _)| *zone)
    }

    /// The mattress zones of one bed.
    pub fn mattresses(&self, bed: Code) -> impl Iterator<Item = Zone> {
        self.zones.iter().filter(move |(zone, plan)| zone.bed == Some(bed) && plan.mattress).map(|(zone, _)| *zone)
    }

    /// Those of these zones that are this room's, each once.
    pub fn own_zones(&self, zones: &[Zone]) -> Vec<Zone> {
        let is_own = |zone: &Zone| self.zones.iter().any(|(known, _)| known == zone);
        let mut own: Vec<Zone> = zones.iter().copied().filter(is_own).collect();
        own.sort();
        own.dedup();
        own
    }

    pub fn has_bed(&self, bed: Code) -> bool {
        self.beds.iter().any(|b| b.code == bed)
    }
}

//! The hospital's rooms and what stands in them: surfaces and places, no people and no notes.

use std::sync::LazyLock;

/// Minutes since the hospital opened, 06:00 on its first day.
pub(super) type Minute = i64;
/// A room by its position in [`ROOMS`].
pub(super) type Room = usize;
/// A surface by its position in [`surfaces`].
pub(super) type Surface = usize;

pub(super) const ROOMS: [&str; 4] = ["A", "B", "C", "D"];
/// The bed that stands in the room of the same position at the start.
pub(super) const BEDS: [&str; 4] = ["A-1", "B-1", "C-1", "D-1"];
pub(super) const WARDS: [&str; 2] = ["W1", "W2"];
pub(super) const BED_PARTS: [&str; 3] = ["mattress", "frame", BEDDING];
/// It is washed, not wiped.
pub(super) const BEDDING: &str = "bedding";
pub(super) const ROOM_PARTS: [&str; 3] = ["chair", "table", "skirting"];
/// Where nothing moves away.
pub(super) const FIXED: &str = "skirting";
/// Things that are no part of a room: they come from a store or theatre.
pub(super) const THINGS: [&str; 1] = ["CH1"];

/// Where a surface is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Spot {
    In(Room),
    /// A store, theatre, the corridor: no room of the book.
    Outside,
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum What {
    BedPart { bed: usize, part: &'static str },
    RoomPart { room: Room, part: &'static str },
    Thing { tag: &'static str },
}

pub(super) fn ward_of(room: Room) -> usize {
    usize::from(room == 3)
}

pub(super) fn rooms_of_ward(ward: usize) -> Vec<Room> {
    (0..ROOMS.len()).filter(|room| ward_of(*room) == ward).collect()
}

pub(super) fn surfaces() -> Vec<What> {
    let mut all = vec![];
    for room in 0..ROOMS.len() {
        all.extend(BED_PARTS.map(|part| What::BedPart { bed: room, part }));
        all.extend(ROOM_PARTS.map(|part| What::RoomPart { room, part }));
    }
    all.extend(THINGS.map(|tag| What::Thing { tag }));
    all
}

impl What {
    pub(super) fn at_first(&self) -> Spot {
        match self {
            Self::BedPart { bed, .. } => Spot::In(*bed),
            Self::RoomPart { room, .. } => Spot::In(*room),
            Self::Thing { .. } => Spot::Outside,
        }
    }

    /// As people name it where it belongs.
    pub(super) fn name(&self) -> String {
        match self {
            Self::BedPart { bed, part } => format!("{}/{part}", BEDS[*bed]),
            Self::RoomPart { part, .. } => (*part).to_owned(),
            Self::Thing { tag } => (*tag).to_owned(),
        }
    }

    /// As a story names it.
    pub(super) fn title(&self) -> String {
        match self {
            Self::RoomPart { room, part } => format!("{}'s {part}", ROOMS[*room]),
            _ => self.name(),
        }
    }
}

static LIST: LazyLock<Vec<(String, What)>> =
    LazyLock::new(|| surfaces().into_iter().map(|what| (what.name(), what)).collect());

/// The surface that this name means in this room, by the room list: tags are not on it.
pub(super) fn on_the_list(name: &str, room: Room) -> Option<Surface> {
    LIST.iter().position(|(known, what)| match what {
        What::BedPart { .. } => known == name,
        What::RoomPart { room: home, .. } => *home == room && known == name,
        What::Thing { .. } => false,
    })
}

pub(super) fn clock(at: Minute) -> String {
    let at = at + 6 * 60;
    let (day, rest) = (at.div_euclid(24 * 60), at.rem_euclid(24 * 60));
    let day = if day == 0 { String::new() } else { format!("day {day} ") };
    format!("{day}{:02}:{:02}", rest / 60, rest % 60)
}

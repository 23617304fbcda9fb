//! Zones, tags, beds, rooms and bags share no names, whichever comes first: whoever reads one knows what is meant.
//!
//! Asked where a name is new. What an old ledger has under one name stays, and can still be noted.

use super::Refusal;
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry};
use crate::domain::rule::Rule;

/// What a name can be the name of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Named {
    Room,
    Ward,
    Bed,
    Zone,
    Thing,
    Bag,
}

impl Named {
    const ALL: [Self; 6] = [Self::Room, Self::Ward, Self::Bed, Self::Zone, Self::Thing, Self::Bag];

    fn title(self) -> &'static str {
        match self {
            Self::Room => "a room",
            Self::Ward => "a ward",
            Self::Bed => "a bed",
            Self::Zone => "a zone of rooms",
            Self::Thing => "a thing under its tag",
            Self::Bag => "a bag",
        }
    }

    /// Whether the book or the notes have such a one.
    fn is(self, board: &Board, code: Code) -> bool {
        let facility = board.facility();
        match self {
            Self::Room => facility.rooms.contains_key(&code),
            Self::Ward => facility.wards.contains_key(&code),
            Self::Bed => board.is_bed(code),
            Self::Zone => {
                facility.zone_sets.values().flatten().any(|zone| zone.part == code) || board.was_part_name(code)
            }
            Self::Thing => board.surfaces().is_tag(code),
            Self::Bag => board.rooms().any(|(_, room)| room.had_bag(code).is_some()),
        }
    }

    /// Whether something new of this kind may be called as what is known: a bed goes as a thing under its own name, and a ward is
    /// never meant where the others are.
    fn may_be_called_as(self, known: Self) -> bool {
        let is_place = |it: Self| matches!(it, Self::Room | Self::Bed | Self::Zone);
        match (self, known) {
            (Self::Thing, Self::Bed) => true,
            (Self::Ward, other) | (other, Self::Ward) if is_place(other) => true,
            _ => self == known,
        }
    }

    fn rule(self) -> Rule {
        match self {
            Self::Thing => Rule::Receiving,
            Self::Bag => Rule::Bags,
            Self::Room | Self::Ward | Self::Bed | Self::Zone => Rule::SettingValue,
        }
    }

    fn what_to_do(self) -> &'static str {
        match self {
            Self::Thing => "put a tag on it that nothing else is called by",
            Self::Bag => "put a tag on the bag that nothing else is called by",
            Self::Room | Self::Ward | Self::Bed | Self::Zone => "give it a name that nothing else has",
        }
    }
}

/// The names that an entry gives, and to what.
fn given(entry: &Entry) -> Vec<(Code, Named)> {
    let bags = |tags: &[Code]| tags.iter().map(|tag| (*tag, Named::Bag)).collect();
    match &entry.body {
        Body::ThingLeft { thing, .. } | Body::ThingArrived { thing, .. } => {
            Code::new(thing).ok().map(|tag| (tag, Named::Thing)).into_iter().collect()
        }
        Body::PatientMoved { things, .. } => {
            things.iter().filter_map(|thing| Code::new(thing).ok()).map(|tag| (tag, Named::Thing)).collect()
        }
        Body::Prepared { bags: tags, .. } => bags(tags),
        Body::Sprayed { bags: Some(tags), .. } | Body::SprayCompleted { bags: Some(tags), .. } => bags(tags),
        Body::RoomSet { beds, .. } => {
            let room = entry.place.first_room().map(|room| (room, Named::Room));
            room.into_iter().chain(beds.iter().map(|bed| (bed.code, Named::Bed))).collect()
        }
        Body::ZonesSet { zones, .. } => zones.iter().map(|zone| (zone.part, Named::Zone)).collect(),
        Body::WardSet { .. } => match &entry.place {
            crate::domain::entry::Place::Ward(ward) => vec![(*ward, Named::Ward)],
            _ => vec![],
        },
        _ => vec![],
    }
}

/// A name that something else has already, or that one entry gives twice.
pub(super) fn shared_name_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let names = given(entry);
    for (at, (code, kind)) in names.iter().enumerate() {
        let is_other = |other: &Named| !kind.may_be_called_as(*other);
        let in_entry = || names.iter().take(at).filter(|(known, _)| known == code).map(|(_, other)| *other);
        let known = || Named::ALL.into_iter().filter(|other| other.is(board, *code));
        let Some(other) = in_entry().find(is_other).or_else(|| known().find(is_other)) else { continue };
        if kind.is(board, *code) {
            continue;
        }
        let text = format!("“{code}” is the name of {}: {}", other.title(), kind.what_to_do());
        return Err(Refusal::new(kind.rule(), text));
    }
    Ok(())
}

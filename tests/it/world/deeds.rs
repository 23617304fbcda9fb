//! What people do and what they note of it. A new action is an arm of [`Deed`] with its kind, and its doing in `acts`; what it
//! says is an arm of `said::Say`, which `program` turns into a command, and `heard` hears.

use super::place::{Minute, Room, Spot, Surface};
use super::slips::Slip;
use super::truth::Key;

/// A tag that somebody took off the room list.
pub(super) const TAG_OF_THE_LIST: &str = "chair";

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
    /// Two people lower what was noted of it by mistake.
    TellLess {
        key: Key,
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
    /// What was noted under the tag of this and is in no room is given up.
    GiveUp {
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
    pub(super) const KINDS: [&'static str; 31] = [
        "spray of a room",
        "spray",
        "spray noted",
        "zones supplied",
        "end supplied",
        "label supplied",
        "lowered by two",
        "given up",
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
            Self::TellLess { .. } => "lowered by two",
            Self::GiveUp { .. } => "given up",
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
        matches!(
            self,
            Self::TellMore { .. }
                | Self::TellLess { .. }
                | Self::GiveUp { .. }
                | Self::Void { .. }
                | Self::TellDamp { .. }
        )
    }

    /// The thing that happened of which this is a note.
    pub(super) fn about(&self) -> Option<Key> {
        match self {
            Self::TellSpray { key }
            | Self::TellMore { key, .. }
            | Self::TellLess { key }
            | Self::GiveUp { key }
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

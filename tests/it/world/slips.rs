//! What goes wrong with a note. A new error is a line here, and an arm where the note is made.

use super::place::{Minute, Room};

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
    HighLabel => "label too long";
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

pub(super) fn wrong_room(slips: &[Slip]) -> Option<Room> {
    slips.iter().find_map(|slip| match slip {
        Slip::WrongRoom(room) => Some(*room),
        _ => None,
    })
}

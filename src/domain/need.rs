//! What a closing entry asks for. One vocabulary for refusals, blockers, tasks and "why".

use std::fmt;

use super::code::Code;
use super::entry::Number;
use super::facility::Zone;
use super::people::Role;
use super::rule::Rule;

/// One thing that has to happen before an unsettled entry closes nothing any more.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Need {
    /// The zone was treated, by spray or by another method.
    Covered(Zone),
    /// The zone was found dry by touch.
    Dry(Zone),
    ZonesNamed,
    FinishNamed,
    LabelNamed,
    LinensNamed,
    Bag(Code),
    Vacuumed(Zone),
    Made(Code),
    /// A complete negative inspection by a trained person.
    Inspected,
    /// The lead's return to service.
    Returned,
    /// The closing entry of this number is lifted by name.
    InService(Number),
    /// The damaged entry of this number is attested; through the last number of a gap.
    Attested(Number),
    /// A second person's look after the void of this number.
    Looked(Number),
    Walked,
}

/// A need of one unsettled entry, and the entry that meets it, if any does.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Evidence {
    pub need: Need,
    /// The entry that asks for it.
    pub cause: Number,
    pub met_by: Option<Number>,
    /// Met by what may stand in its place: the room was treated whole where an inspection was asked for.
    pub instead: bool,
}

/// What a need can be about, by the name that the asking room has for it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum About {
    Part(Zone),
    Bed(Code),
}

impl Need {
    pub fn rule(self) -> Rule {
        match self {
            Self::Covered(_) => Rule::Coverage,
            Self::Dry(_) => Rule::Wet,
            Self::ZonesNamed | Self::FinishNamed | Self::LabelNamed | Self::LinensNamed => Rule::Unstated,
            Self::Bag(_) => Rule::Bags,
            Self::Vacuumed(_) => Rule::Vacuum,
            Self::Made(_) => Rule::BedsMade,
            Self::Inspected => Rule::Suspect,
            Self::Returned => Rule::ReturnSigned,
            Self::InService(_) => Rule::OutOfService,
            Self::Attested(_) => Rule::Damage,
            Self::Looked(_) => Rule::SecondLook,
            Self::Walked => Rule::WardWalk,
        }
    }

    /// Something that a spray left unsaid: only what is supplied for that spray meets it.
    pub fn is_unstated(self) -> bool {
        self.rule() == Rule::Unstated
    }

    /// What was there is what it was, at whatever time somebody says so: a clock is not asked.
    pub fn is_told_at_any_time(self) -> bool {
        matches!(self, Self::ZonesNamed | Self::LinensNamed)
    }

    /// What it is about, of what can be somewhere else than in the room that asks for it.
    pub fn about(self) -> Option<About> {
        match self {
            Self::Covered(zone) | Self::Dry(zone) | Self::Vacuumed(zone) => Some(About::Part(zone)),
            Self::Made(bed) => Some(About::Bed(bed)),
            Self::ZonesNamed
            | Self::FinishNamed
            | Self::LabelNamed
            | Self::LinensNamed
            | Self::Bag(_)
            | Self::Inspected
            | Self::Returned
            | Self::InService(_)
            | Self::Attested(_)
            | Self::Looked(_)
            | Self::Walked => None,
        }
    }

    /// While it is not met its room is wet.
    pub fn is_of_wetness(self) -> bool {
        matches!(self, Self::Dry(_) | Self::ZonesNamed | Self::FinishNamed | Self::LabelNamed)
    }

    /// What is so once it is met.
    pub fn when_met(self) -> String {
        match self {
            Self::Covered(zone) => format!("{zone} treated"),
            Self::Dry(zone) => format!("{zone} found dry"),
            Self::ZonesNamed => "sprayed zones stated".to_owned(),
            Self::FinishNamed => "end of spraying stated".to_owned(),
            Self::LabelNamed => "label words stated".to_owned(),
            Self::LinensNamed => "linens stated".to_owned(),
            Self::Bag(tag) => format!("bag {tag} settled"),
            Self::Vacuumed(zone) => format!("{zone} vacuumed"),
            Self::Made(bed) => format!("bed {bed} made"),
            Self::Inspected => "inspected, nothing seen".to_owned(),
            Self::Returned => "return to service signed".to_owned(),
            Self::InService(number) => format!("out of service, entry {number}, ended"),
            Self::Attested(number) => format!("entry {number} attested"),
            Self::Looked(void) => format!("looked at after void {void}"),
            Self::Walked => "ward walked".to_owned(),
        }
    }

    /// The move that meets it.
    pub fn verb(self) -> &'static str {
        match self {
            Self::Covered(_) => "treat-zone",
            Self::Dry(_) => "dry-check",
            Self::ZonesNamed | Self::FinishNamed | Self::LabelNamed | Self::LinensNamed => "complete-spray",
            Self::Bag(_) => "launder",
            Self::Vacuumed(_) => "vacuum",
            Self::Made(_) => "make-bed",
            Self::Inspected => "inspect",
            Self::Returned => "return",
            Self::InService(_) => "in-service",
            Self::Attested(_) => "attest",
            Self::Looked(_) => "look",
            Self::Walked => "ward-walk",
        }
    }

    /// Whose work it usually is.
    pub fn role(self) -> Role {
        match self {
            Self::Covered(_) => Role::Technician,
            Self::Bag(_) => Role::Laundry,
            Self::Dry(_) | Self::Vacuumed(_) | Self::Made(_) | Self::Inspected => Role::Housekeeper,
            Self::ZonesNamed | Self::FinishNamed | Self::LabelNamed | Self::LinensNamed => Role::Lead,
            Self::Returned | Self::InService(_) | Self::Attested(_) | Self::Looked(_) | Self::Walked => Role::Lead,
        }
    }
}

impl fmt::Display for Need {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Covered(zone) => write!(f, "{zone} not treated"),
            Self::Dry(zone) => write!(f, "{zone} not found dry"),
            Self::ZonesNamed => f.write_str("the sprayed zones were not stated"),
            Self::FinishNamed => f.write_str("the end of spraying was not stated"),
            Self::LabelNamed => f.write_str("no label words on file for the product"),
            Self::LinensNamed => f.write_str("what became of the linens was not stated"),
            Self::Bag(tag) => write!(f, "bag {tag} not laundered"),
            Self::Vacuumed(zone) => write!(f, "{zone} not vacuumed since it dried"),
            Self::Made(bed) => write!(f, "bed {bed} not made"),
            Self::Inspected => f.write_str("no complete negative inspection"),
            Self::Returned => f.write_str("return to service not signed"),
            Self::InService(number) => write!(f, "out of service, entry {number}, not ended"),
            Self::Attested(number) => write!(f, "entry {number} not attested"),
            Self::Looked(void) => write!(f, "no second look since void {void}"),
            Self::Walked => f.write_str("ward not walked"),
        }
    }
}

//! What kind of entry one is, by sign and word. The kind says how such an entry works; whether this one counted is said
//! beside it.

use crate::domain::entry::{Body, Depth, Feel, Specimen};

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    Closes,
    Fact,
    Signature,
    Void,
    /// About another entry or a task, and read by no rule.
    Remark,
    Setting,
    Unreadable,
}

impl Kind {
    pub(super) const ALL: [Self; 7] =
        [Self::Closes, Self::Fact, Self::Signature, Self::Void, Self::Remark, Self::Setting, Self::Unreadable];

    pub(super) fn of(body: &Body) -> Self {
        match body {
            Body::Unreadable { .. } => Self::Unreadable,
            Body::Voided { .. } | Body::ClockSaid { .. } | Body::TimeTakenOut { .. } => Self::Void,
            body if body.is_setting() => Self::Setting,
            body if body.is_read_by_no_rule() => Self::Remark,
            Body::Identified { specimen: Specimen::SomethingElse, .. } => Self::Signature,
            Body::Inspected { looks, depth, .. } if looks.iter().all(|look| look.seen.is_empty()) => match depth {
                Depth::Daily => Self::Fact,
                Depth::Full => Self::Signature,
            },
            Body::DryChecked { zones, .. } if zones.iter().all(|(_, feel)| *feel == Feel::Dry) => Self::Fact,
            Body::RoundLooked { .. }
            | Body::SprayCompleted { .. }
            | Body::TreatedOtherwise { .. }
            | Body::Laundered { .. }
            | Body::BagEnded { .. }
            | Body::Vacuumed { .. }
            | Body::BedMade { .. }
            | Body::Emptied { .. }
            | Body::OccupancyConfirmed { .. } => Self::Fact,
            Body::NothingApplied { .. }
            | Body::ReturnedToService { .. }
            | Body::Cleared { .. }
            | Body::InService { .. }
            | Body::Looked { .. }
            | Body::Attested { .. }
            | Body::WardWalked { .. } => Self::Signature,
            _ => Self::Closes,
        }
    }

    pub(super) fn sign(self) -> char {
        match self {
            Self::Closes => 'x',
            Self::Fact => 'o',
            Self::Signature => '&',
            Self::Void => '/',
            Self::Remark => ',',
            Self::Setting => '%',
            Self::Unreadable => '?',
        }
    }

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Closes => "closes",
            Self::Fact => "fact",
            Self::Signature => "signature",
            Self::Void => "void",
            Self::Remark => "remark",
            Self::Setting => "setting",
            Self::Unreadable => "unreadable",
        }
    }

    pub(super) fn meaning(self) -> &'static str {
        match self {
            Self::Closes => "closes beds from when it is read",
            Self::Fact => "a fact: work that was done",
            Self::Signature => "a signature: settles what closed",
            Self::Void => "a void: says an entry was wrong",
            Self::Remark => "a remark: no rule reads it",
            Self::Setting => "a setting of the hospital",
            Self::Unreadable => "unreadable: closes its place",
        }
    }

    /// An entry of this kind does nothing where it does not count; one that closes does, whatever is wrong with it.
    pub(super) fn can_fail(self) -> bool {
        matches!(self, Self::Fact | Self::Signature | Self::Void)
    }
}

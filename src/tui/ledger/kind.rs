//! What kind of entry one is, by sign and word. The kind says how such an entry works; whether this one counted is said
//! beside it.

use crate::domain::entry::{Body, Depth, Feel, Specimen};
use crate::domain::facility::Zone;

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

    /// Without a wildcard: a new kind of entry says here how it works.
    pub(super) fn of(body: &Body) -> Self {
        let is_dry = |zones: &[(Zone, Feel)]| zones.iter().all(|(_, feel)| *feel == Feel::Dry);
        match body {
            Body::Unreadable { .. } => Self::Unreadable,
            Body::Voided { .. }
            | Body::ClockSaid { .. }
            | Body::TimeTakenOut { .. }
            | Body::SprayCorrected { .. }
            | Body::WrittenOff { .. }
            | Body::PartReplaced { .. }
            | Body::LedgerChosen { .. } => Self::Void,
            Body::HospitalSet { .. }
            | Body::ZonesSet { .. }
            | Body::WardSet { .. }
            | Body::RoomSet { .. }
            | Body::PersonSet(_)
            | Body::ProductSet(_)
            | Body::PolicySet { .. }
            | Body::PinSet { .. } => Self::Setting,
            Body::Amended { .. }
            | Body::Promised { .. }
            | Body::TaskAccepted { .. }
            | Body::NotPossible { .. }
            | Body::HandedOver { .. }
            | Body::SignedIn { .. }
            | Body::Reserved { .. } => Self::Remark,
            Body::Identified { specimen: Specimen::SomethingElse, .. } => Self::Signature,
            Body::Inspected { looks, depth, .. } if looks.iter().all(|look| look.seen.is_empty()) => match depth {
                Depth::Daily => Self::Fact,
                Depth::Full => Self::Signature,
            },
            Body::DryChecked { zones, .. } if is_dry(zones) => Self::Fact,
            Body::SecondChecked { zones, not_made, .. } if is_dry(zones) && not_made.is_empty() => Self::Signature,
            Body::RoundLooked { .. }
            | Body::SprayCompleted { .. }
            | Body::TreatedOtherwise { .. }
            | Body::Laundered { .. }
            | Body::BagEnded { .. }
            | Body::ThingSeen { .. }
            | Body::Vacuumed { .. }
            | Body::BedMade { .. }
            | Body::Emptied { .. }
            | Body::PatientMoved { receiving: None, .. }
            | Body::OccupancyConfirmed { .. } => Self::Fact,
            Body::NothingApplied { .. }
            | Body::ReturnedToService { .. }
            | Body::Cleared { .. }
            | Body::InService { .. }
            | Body::Looked { .. }
            | Body::Attested { .. }
            | Body::SecondAttested { .. }
            | Body::WardWalked { .. } => Self::Signature,
            Body::Finding { .. }
            | Body::Identified { .. }
            | Body::Inspected { .. }
            | Body::PatientOut { .. }
            | Body::PatientMoved { receiving: Some(_), .. }
            | Body::Prepared { .. }
            | Body::Sprayed { .. }
            | Body::OutOfService { .. }
            | Body::Occupied { .. }
            | Body::EnteredWet { .. }
            | Body::PatientStays { .. }
            | Body::ThingLeft { .. }
            | Body::ThingArrived { .. }
            | Body::WentBack { .. }
            | Body::EndLost { .. }
            | Body::Downtime { .. }
            | Body::Restored { .. }
            | Body::DryChecked { .. }
            | Body::SecondChecked { .. } => Self::Closes,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::code::Code;
    use crate::domain::entry::Number;

    #[test]
    fn a_second_check_is_a_signature_and_closes_only_by_what_it_found() {
        let zone = Zone { bed: None, part: Code::new("chair").unwrap() };
        let check = |feel, not_made: &[&str]| Body::SecondChecked {
            zones: vec![(zone, feel)],
            made: vec![],
            not_made: not_made.iter().map(|bed| Code::new(bed).unwrap()).collect(),
            note: String::new(),
            seen: Number(1),
        };
        assert_eq!(Kind::of(&check(Feel::Dry, &[])), Kind::Signature);
        assert_eq!(Kind::of(&check(Feel::Damp, &[])), Kind::Closes);
        assert_eq!(Kind::of(&check(Feel::Dry, &["A"])), Kind::Closes);
    }
}

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
        // No wildcard: a kind that nobody thought of here would be shown as something that it is not.
        match body {
            Body::Unreadable { .. } => Self::Unreadable,
            Body::Voided { .. } => Self::Void,
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
            Body::Identified { specimen, .. } => match specimen {
                Specimen::SomethingElse => Self::Signature,
                Specimen::BedBug => Self::Closes,
            },
            Body::Inspected { looks, depth, .. } => match (looks.iter().all(|look| look.seen.is_empty()), depth) {
                (false, _) => Self::Closes,
                (true, Depth::Daily) => Self::Fact,
                (true, Depth::Full) => Self::Signature,
            },
            Body::DryChecked { zones, .. } => match zones.iter().all(|(_, feel)| *feel == Feel::Dry) {
                true => Self::Fact,
                false => Self::Closes,
            },
            // What differed closes; all of it dry and made is a signature.
            Body::SecondChecked { zones, not_made, .. } => {
                match not_made.is_empty() && zones.iter().all(|(_, feel)| *feel == Feel::Dry) {
                    true => Self::Signature,
                    false => Self::Closes,
                }
            }
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
            | Body::SecondAttested { .. }
            | Body::Attested { .. } => Self::Signature,
            // A walk that found another room wet closes that one.
            Body::WardWalked { wet, .. } => match wet.as_ref().is_some_and(|rooms| !rooms.is_empty()) {
                true => Self::Closes,
                false => Self::Signature,
            },
            Body::Finding { .. }
            | Body::PatientOut { .. }
            | Body::Prepared { .. }
            | Body::Sprayed { .. }
            | Body::OutOfService { .. }
            | Body::Occupied { .. }
            | Body::EnteredWet { .. }
            | Body::PatientStays { .. }
            | Body::ThingLeft { .. }
            | Body::ThingArrived { .. }
            | Body::WentBack { .. }
            | Body::Restored { .. }
            | Body::Downtime { .. } => Self::Closes,
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
    use crate::domain::facility::Zone;

    #[test]
    fn a_second_check_is_a_signature_where_it_agrees_and_closes_where_it_differs() {
        let bed = || vec![Code::new("A").unwrap()];
        let checked = |feel, not_made| Body::SecondChecked {
            zones: vec![(Zone::parse("chair").unwrap(), feel)],
            made: bed(),
            not_made,
            note: String::new(),
            seen: Number(1),
        };
        assert_eq!(Kind::of(&checked(Feel::Dry, vec![])), Kind::Signature);
        assert_eq!(Kind::of(&checked(Feel::Damp, vec![])), Kind::Closes);
        assert_eq!(Kind::of(&checked(Feel::Dry, bed())), Kind::Closes);
        let said = Body::SecondAttested { line: Number(2), through: None, words: "x".to_owned(), seen: Number(1) };
        assert_eq!(Kind::of(&said), Kind::Signature);
    }
}

//! Who may do what: one table of rights, read by the fold for facts and signatures, by `decide` for everything, and by the
//! screens for what they offer.

use crate::domain::entry::{Body, Depth, Feel, Specimen, Time};
use crate::domain::people::{Person, Role};
use crate::domain::policy::{Policy, Setting};

/// A right, and by that who has it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Right {
    Note,
    Inspect,
    Identify,
    MovePatient,
    Prepare,
    Apply,
    CheckAndTreat,
    Launder,
    MakeReady,
    Occupancy,
    Lead,
    Clear,
    Look,
    OwnPin,
    Settings,
}

impl Right {
    fn of(body: &Body) -> Self {
        match body {
            Body::Inspected { depth: Depth::Full, looks, .. } if looks.iter().all(|look| look.seen.is_empty()) => {
                Self::Inspect
            }
            Body::Identified { specimen: Specimen::SomethingElse, .. } => Self::Identify,
            Body::PatientOut { .. } | Body::PatientMoved { .. } => Self::MovePatient,
            Body::Prepared { .. } | Body::NothingApplied { .. } => Self::Prepare,
            Body::Sprayed { .. } | Body::SprayCompleted { .. } => Self::Apply,
            Body::DryChecked { .. } | Body::TreatedOtherwise { .. } => Self::CheckAndTreat,
            Body::Laundered { .. } | Body::BagEnded { .. } => Self::Launder,
            Body::Vacuumed { .. } | Body::BedMade { .. } => Self::MakeReady,
            Body::Occupied { .. } | Body::Emptied { .. } | Body::OccupancyConfirmed { .. } | Body::Promised { .. } => {
                Self::Occupancy
            }
            Body::InService { .. }
            | Body::Downtime { .. }
            | Body::LedgerChosen { .. }
            | Body::ReturnedToService { .. }
            | Body::PartReplaced { .. }
            | Body::WardWalked { .. } => Self::Lead,
            Body::Cleared { .. } | Body::Attested { .. } | Body::WrittenOff { .. } => Self::Clear,
            Body::Looked { .. } => Self::Look,
            Body::PinSet { .. } => Self::OwnPin,
            Body::HospitalSet { .. }
            | Body::ZonesSet { .. }
            | Body::WardSet { .. }
            | Body::RoomSet { .. }
            | Body::PersonSet(_)
            | Body::ProductSet(_)
            | Body::PolicySet { .. } => Self::Settings,
            // No wildcard: a new kind says here who may note it.
            Body::Finding { .. }
            | Body::Identified { specimen: Specimen::BedBug, .. }
            | Body::Inspected { .. }
            | Body::RoundLooked { .. }
            | Body::OutOfService { .. }
            | Body::EnteredWet { .. }
            | Body::PatientStays { .. }
            | Body::ThingLeft { .. }
            | Body::ThingArrived { .. }
            | Body::ThingSeen { .. }
            | Body::WentBack { .. }
            | Body::EndLost { .. }
            | Body::Restored { .. }
            | Body::SecondChecked { .. }
            | Body::SecondAttested { .. }
            | Body::Amended { .. }
            | Body::Voided { .. }
            | Body::TaskAccepted { .. }
            | Body::NotPossible { .. }
            | Body::HandedOver { .. }
            | Body::SignedIn { .. }
            | Body::ClockSaid { .. }
            | Body::TimeTakenOut { .. }
            | Body::SprayCorrected { .. }
            | Body::Reserved { .. }
            | Body::Unreadable { .. } => Self::Note,
        }
    }

    /// The right that a move usually needs, before it is known what will be said in it.
    fn of_move(verb: &str) -> Self {
        match verb {
            "inspect" => Self::Inspect,
            "move-patient" => Self::MovePatient,
            "prepare" | "nothing-applied" => Self::Prepare,
            "spray" | "complete-spray" => Self::Apply,
            "dry-check" | "treat-zone" => Self::CheckAndTreat,
            "launder" | "discard" => Self::Launder,
            "vacuum" | "make-bed" => Self::MakeReady,
            "occupied" | "empty" | "occupancy" | "promise" | "end-promise" => Self::Occupancy,
            "in-service" | "return" | "replace-part" | "ward-walk" | "downtime" | "which-ledger" => Self::Lead,
            "clear" | "attest" | "write-off" => Self::Clear,
            "look" => Self::Look,
            verb if verb.starts_with("set-") => Self::Settings,
            _ => Self::Note,
        }
    }

    fn is_with(self, person: &Person, at: Time, policy: &Policy) -> bool {
        let is_lead = person.is_lead_at(at);
        let is = |roles: &[Role]| is_lead || roles.contains(&person.role);
        let lead_or_prevention = matches!(person.role, Role::Lead | Role::InfectionPrevention);
        match self {
            Self::Note => true,
            Self::Inspect => person.trained_to_inspect,
            Self::Identify | Self::Look => person.trained_to_inspect || lead_or_prevention,
            Self::MovePatient => is(&[Role::Housekeeper, Role::Technician, Role::ChargeNurse]),
            Self::Prepare | Self::CheckAndTreat => is(&[Role::Housekeeper, Role::Technician]),
            Self::Apply => {
                let certified = !policy.is_on(Setting::CertificateRequired) || person.certificate.is_some();
                is_lead || (person.trained_to_apply && certified)
            }
            Self::Launder => is(&[Role::Laundry, Role::Housekeeper]),
            Self::MakeReady => is(&[Role::Housekeeper]),
            Self::Occupancy => is(&[Role::ChargeNurse]),
            Self::Lead => is_lead,
            Self::Clear | Self::Settings | Self::OwnPin => lead_or_prevention,
        }
    }

    fn who(self) -> &'static str {
        match self {
            Self::Note => "anyone but a reader",
            Self::Inspect => "whoever is trained to inspect",
            Self::Identify | Self::Look => "whoever is trained to inspect, the lead or infection prevention",
            Self::MovePatient => "a charge nurse, housekeeper, technician or the lead",
            Self::Prepare | Self::CheckAndTreat => "a housekeeper, technician or the lead",
            Self::Apply => {
                "whoever is trained to apply (with a certificate on file if the policy asks for one), or the lead for a \
                 contractor"
            }
            Self::Launder => "the laundry, a housekeeper or the lead",
            Self::MakeReady => "a housekeeper or the lead",
            Self::Occupancy => "a charge nurse or the lead",
            Self::Lead => "the housekeeping lead or an acting lead",
            Self::Clear | Self::Settings => "the housekeeping lead or infection prevention",
            Self::OwnPin => "the person whose PIN it is, the lead or infection prevention",
        }
    }
}

/// Whether this person may do what the body says, at this time. The error says who may.
pub fn permitted(body: &Body, person: &Person, at: Time, policy: &Policy) -> Result<(), &'static str> {
    if person.left {
        return Err("somebody who is still on the roster");
    }
    if person.role == Role::Reader {
        return Err(Right::Note.who());
    }
    let own_pin = matches!(body, Body::PinSet { person: whose, .. } if *whose == person.initials);
    let right = Right::of(body);
    if own_pin || right.is_with(person, at, policy) { Ok(()) } else { Err(right.who()) }
}

/// What happened and closes: it can be noted whoever did it. It pays nothing that only the right person's work pays.
pub fn is_noted_whoever_did_it(body: &Body) -> bool {
    match body {
        Body::Finding { .. }
        | Body::Identified { specimen: Specimen::BedBug, .. }
        | Body::PatientOut { .. }
        | Body::PatientMoved { .. }
        | Body::Prepared { .. }
        | Body::Sprayed { .. }
        | Body::OutOfService { .. }
        | Body::Occupied { .. }
        | Body::EnteredWet { .. }
        | Body::PatientStays { .. }
        | Body::ThingLeft { .. }
        | Body::ThingArrived { .. }
        | Body::Restored { .. } => true,
        Body::Inspected { looks, .. } => looks.iter().any(|look| !look.seen.is_empty()),
        Body::DryChecked { zones, .. } => !zones.is_empty() && zones.iter().all(|(_, feel)| *feel == Feel::Damp),
        Body::OccupancyConfirmed { occupied, empty, .. } => empty.is_empty() && !occupied.is_empty(),
        // No wildcard: whether a new kind closes whoever notes it is said here.
        Body::Identified { specimen: Specimen::SomethingElse, .. }
        | Body::RoundLooked { .. }
        | Body::SprayCompleted { .. }
        | Body::TreatedOtherwise { .. }
        | Body::Laundered { .. }
        | Body::BagEnded { .. }
        | Body::ThingSeen { .. }
        | Body::Vacuumed { .. }
        | Body::BedMade { .. }
        | Body::Emptied { .. }
        | Body::NothingApplied { .. }
        | Body::ReturnedToService { .. }
        | Body::Cleared { .. }
        | Body::InService { .. }
        | Body::Looked { .. }
        | Body::SecondChecked { .. }
        | Body::SecondAttested { .. }
        | Body::Attested { .. }
        | Body::TimeTakenOut { .. }
        | Body::SprayCorrected { .. }
        | Body::WrittenOff { .. }
        | Body::PartReplaced { .. }
        | Body::WardWalked { .. }
        | Body::Voided { .. }
        | Body::LedgerChosen { .. }
        | Body::Promised { .. }
        | Body::TaskAccepted { .. }
        | Body::NotPossible { .. }
        | Body::HandedOver { .. }
        | Body::SignedIn { .. }
        | Body::ClockSaid { .. }
        | Body::Amended { .. }
        | Body::WentBack { .. }
        | Body::EndLost { .. }
        | Body::Downtime { .. }
        | Body::HospitalSet { .. }
        | Body::ZonesSet { .. }
        | Body::WardSet { .. }
        | Body::RoomSet { .. }
        | Body::PersonSet(_)
        | Body::ProductSet(_)
        | Body::PolicySet { .. }
        | Body::PinSet { .. }
        | Body::Reserved { .. }
        | Body::Unreadable { .. } => false,
    }
}

/// The moves that are always such.
pub fn is_taken_from_anyone(verb: &str) -> bool {
    matches!(verb, "spray" | "prepare" | "move-patient" | "occupied")
}

/// Whose a move usually is, in words.
pub fn who_may(verb: &str) -> &'static str {
    Right::of_move(verb).who()
}

/// Whether a move is offered to this person; what is said in it decides.
pub fn is_offered(verb: &str, person: &Person, at: Time, policy: &Policy) -> bool {
    !person.left && person.role != Role::Reader && Right::of_move(verb).is_with(person, at, policy)
}

//! Who may do what: one table, read by the fold for facts and signatures and by `decide` for everything.

use crate::domain::entry::{Body, Depth, Specimen, Time};
use crate::domain::people::{Person, Role};
use crate::domain::policy::{Policy, Setting};

/// Whether this person may do what the body says, at this time. The error says who may.
pub fn permitted(body: &Body, person: &Person, at: Time, policy: &Policy) -> Result<(), &'static str> {
    if person.left {
        return Err("somebody who is still on the roster");
    }
    if person.role == Role::Reader {
        return Err("anyone but a reader");
    }
    let is_lead = person.is_lead_at(at);
    let is = |roles: &[Role]| is_lead || roles.contains(&person.role);
    let lead_or_prevention = matches!(person.role, Role::Lead | Role::InfectionPrevention);
    let check = |allowed: bool, who: &'static str| if allowed { Ok(()) } else { Err(who) };
    match body {
        Body::Inspected { depth: Depth::Full, looks, .. } if looks.iter().all(|look| look.seen.is_empty()) => {
            check(person.trained_to_inspect, "whoever is trained to inspect")
        }
        Body::Identified { specimen: Specimen::SomethingElse, .. } => check(
            person.trained_to_inspect || lead_or_prevention,
            "whoever is trained to inspect, the lead or infection prevention",
        ),
        Body::PatientOut { .. } => check(
            is(&[Role::Housekeeper, Role::Technician, Role::ChargeNurse]),
            "a charge nurse, housekeeper, technician or the lead",
        ),
        Body::Prepared { .. } | Body::NothingApplied { .. } => {
            check(is(&[Role::Housekeeper, Role::Technician]), "a housekeeper, technician or the lead")
        }
        Body::Sprayed { .. } | Body::SprayCompleted { .. } => {
            let certified = !policy.is_on(Setting::CertificateRequired) || person.certificate.is_some();
            check(
                is_lead || (person.trained_to_apply && certified),
                "whoever is trained to apply (with a certificate on file if the policy asks for one), or the lead for a contractor",
            )
        }
        Body::DryChecked { .. } | Body::TreatedOtherwise { .. } => {
            check(is(&[Role::Housekeeper, Role::Technician]), "a housekeeper, technician or the lead")
        }
        Body::Laundered { .. } | Body::BagEnded { .. } => {
            check(is(&[Role::Laundry, Role::Housekeeper]), "the laundry, a housekeeper or the lead")
        }
        Body::Vacuumed { .. } | Body::BedMade { .. } => check(is(&[Role::Housekeeper]), "a housekeeper or the lead"),
        Body::Occupied { .. } | Body::Emptied { .. } | Body::OccupancyConfirmed { .. } => {
            check(is(&[Role::ChargeNurse]), "a charge nurse or the lead")
        }
        Body::OutOfService { .. }
        | Body::InService { .. }
        | Body::ReturnedToService { .. }
        | Body::WardWalked { .. } => check(is_lead, "the housekeeping lead or an acting lead"),
        Body::Cleared { .. } | Body::Attested { .. } => {
            check(lead_or_prevention, "the housekeeping lead or infection prevention")
        }
        Body::Looked { .. } => check(
            person.trained_to_inspect || lead_or_prevention,
            "whoever is trained to inspect, the lead or infection prevention",
        ),
        Body::PinSet { person: whose, .. } => check(
            *whose == person.initials || lead_or_prevention,
            "the person whose PIN it is, the lead or infection prevention",
        ),
        Body::HospitalSet { .. }
        | Body::ZonesSet { .. }
        | Body::WardSet { .. }
        | Body::RoomSet { .. }
        | Body::PersonSet(_)
        | Body::ProductSet(_)
        | Body::PolicySet { .. } => check(lead_or_prevention, "the housekeeping lead or infection prevention"),
        _ => Ok(()),
    }
}

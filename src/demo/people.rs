//! Who works in the demo hospital, and what it treats with. All invented; nobody has a PIN.

use super::story::{DAY, Story};

/// Housekeeping lead.
pub(super) const LEAD: &str = "LD";
/// Charge nurse.
pub(super) const NURSE: &str = "CN";
/// Housekeeper, trained to inspect.
pub(super) const KEEPER: &str = "HK";
/// Housekeeper, not trained to inspect.
pub(super) const HELPER: &str = "HM";
/// Pest technician with a certificate.
pub(super) const TECHNICIAN: &str = "PT";
/// Laundry.
pub(super) const LAUNDRY: &str = "LA";
/// Infection prevention.
pub(super) const PREVENTION: &str = "IP";

/// The product's code on the hospital's list.
pub(super) const PRODUCT: &str = "RSA";

const BEGINNING: i64 = 56 * DAY;

pub(super) fn arrive(story: &mut Story) {
    let mut person = |initials: &str, name: &str, role: &str, may_inspect: &str| {
        let step = story.note(BEGINNING, LEAD, "set-person", initials);
        step.say("name", name).say("role", role).say("trained-to-inspect", may_inspect);
    };
    person(NURSE, "C. Nadir", "charge-nurse", "no");
    person(KEEPER, "H. Keller", "housekeeper", "yes");
    person(HELPER, "H. Moss", "housekeeper", "no");
    person(LAUNDRY, "L. Arden", "laundry", "no");
    person(PREVENTION, "I. Prado", "infection-prevention", "yes");
    person("RD", "R. Dale", "reader", "no");
    let technician = story.note(BEGINNING, LEAD, "set-person", TECHNICIAN);
    technician.say("name", "P. Tomasz").say("role", "technician").say("trained-to-inspect", "yes");
    technician.say("trained-to-apply", "yes").say("certificate", "DEMO-CERT-7");
    let product = story.note(BEGINNING, LEAD, "set-product", PRODUCT);
    product.say("name", "Residual spray A").say("registration", "DEMO-0001");
    product.say("active-ingredient", "demonstration ingredient").say("percent", "0.5 %");
    product.say("label-words", "Nobody goes in before one hour has passed and the spray has dried.");
    product.say("label-minutes", "60");
    for ward in ["3N", "4N", "5N"] {
        story.note(BEGINNING, LEAD, "ward-walk", ward);
    }
}

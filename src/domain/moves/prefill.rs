//! What is known already when a form opens. Nothing that was to be looked at is ever filled in.

use super::settings::{show_bed, show_zone_plan};
use super::time::show_time_to_type;
use super::{Answers, Ground, Move};
use crate::domain::code::Code;
use crate::domain::policy::Setting;

/// Answers to start from. Zones, beds seen and signs stay open: they are looked at, not assumed.
pub fn prefill(mv: &Move, target: Code, ground: &Ground<'_>) -> Answers {
    match mv.verb {
        "spray" => {
            let mut answers = Answers::new();
            let mut offered = ground.products.values().filter(|product| !product.withdrawn);
            if let (Some(only), None) = (offered.next(), offered.next()) {
                answers.set("product", [only.code.as_str()]);
            }
            answers
        }
        _ => settings(mv, target, ground),
    }
}

/// A setting as it stands, in the words in which it would be typed.
pub(super) fn settings(mv: &Move, target: Code, ground: &Ground<'_>) -> Answers {
    let mut answers = Answers::new();
    let facility = ground.facility;
    match mv.verb {
        "set-hospital" => answers.set("name", [facility.name.as_str()]),
        "set-ward" => {
            if let Some(ward) = facility.wards.get(&target) {
                answers.set("name", [ward.name.as_str()]);
                answers.set("floor", [ward.floor.to_string()]);
            }
        }
        "set-room" => {
            if let Some(plan) = facility.room(target) {
                answers.set("name", [plan.name.as_str()]);
                answers.set("ward", [plan.ward.as_str()]);
                answers.set("kind", [plan.kind.as_str()]);
                answers.set("order", [plan.order.to_string()]);
                answers.set("beds", plan.beds.iter().map(show_bed));
                answers.set("neighbours", plan.neighbours.iter().map(|it| format!("{}={}", it.side.word(), it.room)));
                answers.set("serves", plan.serves.iter().map(Code::as_str));
            }
        }
        "set-zones" => {
            let plans = facility.zone_sets.get(&target).map(Vec::as_slice).unwrap_or_default();
            answers.set("zones", plans.iter().map(show_zone_plan));
        }
        "set-person" => person(&mut answers, target, ground),
        "set-product" => product(&mut answers, target, ground),
        "set-policy" => {
            if let Some(setting) = Setting::from_key(target.as_str()) {
                answers.set("value", [ground.policy.get(setting).to_string()]);
            }
        }
        _ => {}
    }
    answers
}

fn yes_no(is_so: bool) -> [&'static str; 1] {
    [if is_so { "yes" } else { "no" }]
}

fn person(answers: &mut Answers, target: Code, ground: &Ground<'_>) {
    let Some(person) = ground.people.get(&target) else { return };
    answers.set("name", [person.name.as_str()]);
    answers.set("role", [person.role.word()]);
    answers.set("trained-to-inspect", yes_no(person.trained_to_inspect));
    answers.set("trained-to-apply", yes_no(person.trained_to_apply));
    answers.set("certificate", person.certificate.as_deref());
    if let Some((from, until)) = person.acting_lead {
        let zone = ground.facility.time_zone;
        answers.set("acting-lead-from", [show_time_to_type(from, zone)]);
        answers.set("acting-lead-until", [show_time_to_type(until, zone)]);
    }
    answers.set("left", yes_no(person.left));
}

fn product(answers: &mut Answers, target: Code, ground: &Ground<'_>) {
    let Some(product) = ground.products.get(&target) else { return };
    answers.set("name", [product.name.as_str()]);
    answers.set("registration", product.registration.as_deref());
    answers.set("active-ingredient", product.active_ingredient.as_deref());
    answers.set("percent", product.percent.as_deref());
    answers.set("label-words", product.reentry_words.as_deref());
    answers.set("label-minutes", product.reentry_minutes.map(|minutes| minutes.to_string()));
    answers.set("allowed-on", product.allowed_on.iter().map(Code::as_str));
    answers.set("withdrawn", yes_no(product.withdrawn));
}

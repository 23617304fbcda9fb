//! Every rule, told as a short story: allowed, refused with the right code, and what makes it right.
#![expect(
    unreachable_pub,
    reason = "nothing reaches into a test binary; `pub` says which parts of a module are its own"
)]
#![expect(clippy::unwrap_used, reason = "a story that cannot be told is a failed test")]

pub mod world;

mod clearing;
pub mod clocks;
mod corners;
mod damage;
mod drying;
mod due;
mod exceptions;
mod giving;
mod lessened;
mod loads;
mod lost;
mod marks;
mod moving;
mod named;
mod next;
mod noted;
mod opening;
mod parts;
mod patients;
mod people;
mod record;
mod sceptic;
mod time;
mod treating;
mod voiding;

use dryhold::domain::rule::Rule;

/// A rule that no story tells could be broken without anybody noticing.
#[test]
fn every_rule_is_told_in_a_story() {
    let stories = [
        include_str!("clearing.rs"),
        include_str!("clocks.rs"),
        include_str!("corners.rs"),
        include_str!("damage.rs"),
        include_str!("exceptions.rs"),
        include_str!("giving.rs"),
        include_str!("lessened.rs"),
        include_str!("loads.rs"),
        include_str!("lost.rs"),
        include_str!("moving.rs"),
        include_str!("next.rs"),
        include_str!("noted.rs"),
        include_str!("opening.rs"),
        include_str!("parts.rs"),
        include_str!("people.rs"),
        include_str!("record.rs"),
        include_str!("sceptic.rs"),
        include_str!("time.rs"),
        include_str!("treating.rs"),
        include_str!("voiding.rs"),
    ]
    .concat();
    let untold: Vec<String> =
        Rule::ALL.iter().map(|rule| format!("Rule::{rule:?}")).filter(|name| !stories.contains(name)).collect();
    assert_eq!(untold, Vec::<String>::new());
}

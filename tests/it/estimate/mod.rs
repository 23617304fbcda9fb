//! `estimate` by its command line: the published numbers under the promised names, and a sentence for what cannot be.

mod air;
mod drying;
pub(crate) mod laundry;
mod learning;
mod outside;
mod shape;
mod short;

use dryhold::science::published::{METHODS, Published};
use serde_json::Value;

use super::cli::program::Program;

/// Asks in a folder without a ledger: no estimate needs one, and none makes one.
#[track_caller]
fn ask(words: &str) -> Value {
    let it = Program::new();
    let answer = it.json(&format!("estimate {words}"));
    assert!(!it.path("ledger.ron").exists(), "{words} made a ledger");
    assert!(answer["meaning"].as_str().is_some_and(|it| it.contains("permits nothing")), "{answer}");
    cited(&answer);
    answer
}

/// Every source that an answer names is one of the rulebook's methods.
#[track_caller]
fn cited(answer: &Value) {
    let known: Vec<&str> = METHODS.iter().flat_map(Published::citations).collect();
    let sources = answer["sources"].as_array().expect("sources");
    assert!(!sources.is_empty(), "{answer}");
    let strange: Vec<&Value> = sources.iter().filter(|it| !known.iter().any(|known| **it == *known)).collect();
    assert!(strange.is_empty(), "not in the rulebook: {strange:?}");
}

/// What is refused, in one sentence that says what and where.
#[track_caller]
fn refuses(words: &str, says: &[&str]) {
    let said = Program::new().run(&format!("estimate {words}"), &[]).fails(2, says);
    assert_eq!(said.trim_end().lines().count(), 1, "{words}: {said}");
}

#[track_caller]
fn close(found: &Value, wanted: f64, relative: f64) {
    let number = found.as_f64().unwrap_or_else(|| panic!("{found} is no number"));
    assert!((number - wanted).abs() <= relative * wanted.abs(), "{number} is not {wanted}");
}

//! `estimate`: the published methods asked by hand, each with its sources and with everything that was assumed.
//!
//! It reads no ledger and writes nothing. An estimate never permits anything, and says so each time.

mod air;
mod drying;
mod laundry;
mod options;
mod short;

use anyhow::Context as _;
use clap::ArgMatches;
use serde::Serialize;

use super::{Stop, json, print};
pub(super) use options::command;

/// Beneath every answer.
const MEANING: &str = "an estimate: it permits nothing and opens no bed; the product's label, local rules and a person's own check decide";

/// What one method says, for people and for programs.
struct Told<T> {
    answer: T,
    /// For people, a line each.
    lines: Vec<String>,
    /// What was not typed, and what was taken for it.
    assumed: Vec<String>,
    warnings: Vec<String>,
    sources: Vec<&'static str>,
}

#[derive(Serialize)]
struct Document<'a, T> {
    estimate: &'a str,
    #[serde(flatten)]
    answer: &'a T,
    assumed: &'a [String],
    warnings: &'a [String],
    sources: &'a [&'static str],
    meaning: &'static str,
}

pub(super) fn estimate(own: &ArgMatches) -> Result<u8, Stop> {
    let Some((name, own)) = own.subcommand() else {
        return Err(Stop::Usage("say what to estimate; `dryhold estimate --help` lists it".to_owned()));
    };
    let text = match name {
        "air" => told(name, own, &air::air(own)?)?,
        "drying" => told(name, own, &drying::drying(own)?)?,
        "laundry" => told(name, own, &laundry::laundry(own)?)?,
        "heat" => told(name, own, &short::heat(own)?)?,
        "eggs" => told(name, own, &short::eggs(own)?)?,
        "clearance" => told(name, own, &short::clearance(own)?)?,
        "mix" => told(name, own, &short::mix(own)?)?,
        other => return Err(Stop::Usage(format!("there is no estimate {other}"))),
    };
    print(&text)
}

fn told<T: Serialize>(name: &str, own: &ArgMatches, told: &Told<T>) -> Result<String, Stop> {
    let Told { answer, lines, assumed, warnings, sources } = told;
    if own.get_flag("json") {
        let document = Document { estimate: name, answer, assumed, warnings, sources, meaning: MEANING };
        return Ok(json::escaped(&serde_json::to_string_pretty(&document).context("writing JSON")?));
    }
    let mut out = String::new();
    let mut line = |begin: &str, text: &str| out.push_str(&format!("{begin}{}\n", crate::domain::shown::shown(text)));
    lines.iter().for_each(|text| line("", text));
    warnings.iter().for_each(|text| line("Warning: ", text));
    assumed.iter().for_each(|text| line("Assumed: ", text));
    sources.iter().for_each(|text| line("Source: ", text));
    let mut meaning = MEANING.chars();
    let begin: String = meaning.next().into_iter().flat_map(char::to_uppercase).collect();
    out.push_str(&format!("{begin}{}.\n", meaning.as_str()));
    Ok(out)
}

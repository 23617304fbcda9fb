//! `estimate heat`, `eggs`, `clearance` and `mix`: methods with a number or two.

use clap::ArgMatches;
use serde::Serialize;

use super::Told;
use super::options::{needed, outside, part, typed};
use crate::cli::Stop;
use crate::science::detection::{self, Method, percent};
use crate::science::eggs::{self, EggClock};
use crate::science::{heat as core, mixing};

#[derive(Serialize)]
pub(super) struct Heat {
    core_c: f64,
    minutes: f64,
    stages: Vec<StageRow>,
}

#[derive(Serialize)]
struct StageRow {
    stage: &'static str,
    verdict: &'static str,
    basis: &'static str,
    source: &'static str,
}

pub(super) fn heat(own: &ArgMatches) -> Result<Told<Heat>, Stop> {
    let (core_c, minutes) = (needed(own, "core-c")?, needed(own, "minutes")?);
    let judged = core::judge(core_c, minutes).map_err(outside)?;
    let stages: Vec<StageRow> = judged
        .iter()
        .map(|it| StageRow { stage: it.stage.word(), verdict: it.verdict.word(), basis: it.basis, source: it.source })
        .collect();
    let mut lines = vec![format!("Core at {core_c} °C for {minutes} min")];
    lines.extend(stages.iter().map(|it| format!("{}: {}. {}", it.stage, it.verdict.replace('-', " "), it.basis)));
    let mut sources: Vec<&'static str> = stages.iter().map(|it| it.source).collect();
    sources.dedup();
    let warnings = vec!["the clock starts when the core of the load is there, not the air around it".to_owned()];
    Ok(Told { answer: Heat { core_c, minutes, stages }, lines, assumed: vec![], warnings, sources })
}

#[derive(Serialize)]
pub(super) struct Eggs {
    temp_c: f64,
    days: Option<f64>,
    typical_days: Option<f64>,
    words: &'static str,
    checks_on_days: Vec<u32>,
}

pub(super) fn eggs(own: &ArgMatches) -> Result<Told<Eggs>, Stop> {
    let temp_c = needed(own, "temp-c")?;
    let clock = EggClock::at(temp_c).map_err(outside)?;
    let typical_days = match clock {
        EggClock::Hatched { typically, .. } => Some(typically),
        _ => None,
    };
    let checks_on_days = clock.checks_on_days();
    let listed: Vec<String> = checks_on_days.iter().map(u32::to_string).collect();
    let days = clock.days().map_or("—".to_owned(), |days| format!("{days:.1} days"));
    let lines = vec![
        format!("Eggs at {temp_c} °C: {days}; {}", clock.words()),
        format!("Checks after a treatment: by day {}, then every 14 days", listed.join(", again on day ")),
    ];
    let warnings = vec!["leaving a room empty is no treatment: bugs lived 155 days in a vacant flat".to_owned()];
    let assumed = vec![
        "then every 14 days: our own rule, no source; only the first check within 14 days is published".to_owned(),
    ];
    let answer = Eggs { temp_c, days: clock.days(), typical_days, words: clock.words(), checks_on_days };
    let sources = vec![eggs::SOURCE, eggs::FOLLOW_UP_SOURCE, eggs::EMPTY_ROOM_SOURCE];
    Ok(Told { answer, lines, assumed, warnings, sources })
}

#[derive(Serialize)]
pub(super) struct Clearance {
    prior: f64,
    method: &'static str,
    finds: f64,
    checks: u32,
    still_infested: f64,
}

pub(super) fn clearance(own: &ArgMatches) -> Result<Told<Clearance>, Stop> {
    let mut assumed = vec![];
    let prior = part(own, "prior")?.unwrap_or_else(|| {
        assumed.push("even odds before the checks (--prior)".to_owned());
        0.5
    });
    let word = own.get_one::<String>("method").map(String::as_str).unwrap_or_default();
    let method =
        Method::from_word(word).ok_or_else(|| Stop::Usage(format!("--method: there is no method “{word}”")))?;
    let checks = needed(own, "checks")?;
    if checks.fract() != 0.0 || !(0.0..=1000.0).contains(&checks) {
        return Err(Stop::Usage(format!(
            "--checks: {checks} is no number of checks; give a whole number from 0 to 1000"
        )));
    }
    let (own_figure, checks) = (part(own, "finds")?, checks as u32);
    if own_figure.is_some_and(|it| it > 0.999) {
        let text =
            "--finds: no check finds everything: give 99.9 % at most (1 or less is read as a part of 1: 0.72 is 72 %)";
        return Err(Stop::Usage(text.to_owned()));
    }
    let finds = own_figure.unwrap_or(method.finds());
    let still_infested = detection::still_infested(prior, finds, checks).map_err(outside)?;
    let lines = vec![format!(
        "From {} and {checks} clean check{} ({}, finding {}): still infested with {}",
        percent(prior, 1),
        if checks == 1 { "" } else { "s" },
        method.word(),
        percent(finds, 0),
        percent(still_infested, 2)
    )];
    let mut warnings: Vec<String> = match own_figure {
        Some(_) => vec!["the chance to find is your own figure, not a published one".to_owned()],
        None => method.warning().map(str::to_owned).into_iter().collect(),
    };
    warnings.extend(detection::WARNINGS.map(str::to_owned));
    let answer = Clearance { prior, method: method.word(), finds, checks, still_infested };
    Ok(Told { answer, lines, assumed, warnings, sources: vec![detection::BAYES, method.source()] })
}

#[derive(Serialize)]
pub(super) struct Mix {
    finished_litres: Option<f64>,
    finished_percent: Option<f64>,
    concentrate_litres: Option<f64>,
    water_litres: Option<f64>,
    parts_of_water: Option<f64>,
}

pub(super) fn mix(own: &ArgMatches) -> Result<Told<Mix>, Stop> {
    let rate = typed(own, "ml-per-m2")?;
    let (area, litres) = (typed(own, "area-m2")?, typed(own, "finished-litres")?);
    let (dose, percent) = (typed(own, "grams-per-m2")?, typed(own, "finished-percent")?);
    let concentrate = typed(own, "concentrate-percent")?;
    let together = |one, other| Stop::Usage(format!("{one} needs {other}: type the label's own"));
    if area.is_some() && litres.is_some() || dose.is_some() && percent.is_some() {
        let text = "give --finished-litres or --area-m2, and --finished-percent or --grams-per-m2, not both";
        return Err(Stop::Usage(text.to_owned()));
    }
    let finished_litres = match (area, rate) {
        (Some(area), Some(rate)) => Some(mixing::litres_for_area(area, rate).map_err(outside)?),
        (Some(_), None) => return Err(together("--area-m2", "--ml-per-m2")),
        (None, _) => litres,
    };
    let finished_percent = match (dose, rate) {
        (Some(dose), Some(rate)) => Some(mixing::percent_for_dose(dose, rate).map_err(outside)?),
        (Some(_), None) => return Err(together("--grams-per-m2", "--ml-per-m2")),
        (None, _) => percent,
    };
    let mixed = match (concentrate, finished_percent, finished_litres) {
        (Some(from), Some(to), Some(litres)) => Some(mixing::mix(from, to, litres).map_err(outside)?),
        (Some(_), ..) => return Err(together("--concentrate-percent", "a strength and a volume to finish with")),
        (None, ..) if area.is_none() && dose.is_none() => {
            let text = "type the label's numbers: --concentrate-percent --finished-percent --finished-litres, or --area-m2 --ml-per-m2";
            return Err(Stop::Usage(text.to_owned()));
        }
        (None, ..) => None,
    };
    let mut lines = vec![];
    if let Some(litres) = finished_litres {
        lines.push(format!("Finished spray: {litres:.3} L"));
    }
    if let Some(percent) = finished_percent {
        lines.push(format!("Strength of the finished spray: {percent:.4} %"));
    }
    if let Some(it) = mixed {
        let (product, water, parts) = (it.concentrate, it.water, it.parts_of_water);
        lines.push(format!("Product {product:.4} L (kg for a powder), water {water:.4} L: {parts:.2} parts to one"));
    }
    let answer = Mix {
        finished_litres,
        finished_percent,
        concentrate_litres: mixed.map(|it| it.concentrate),
        water_litres: mixed.map(|it| it.water),
        parts_of_water: mixed.map(|it| it.parts_of_water),
    };
    let warnings = vec![
        "every number is the label's, typed by you; a label in % by weight needs the density first".to_owned(),
        "add the product to part of the water and fill up to the volume, unless the label says otherwise".to_owned(),
    ];
    Ok(Told { answer, lines, assumed: vec![], warnings, sources: vec![mixing::SOURCE] })
}

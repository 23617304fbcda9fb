//! `estimate laundry`: a logger's file against every published criterion, apart.

use std::path::PathBuf;

use clap::ArgMatches;
use serde::Serialize;

use super::Told;
use super::options::{outside, typed};
use crate::cli::Stop;
use crate::cli::picture::picture;
use crate::domain::moves::{LoggerZone, TimesAre};
use crate::science::laundry::NAYLOR_BOASE;
use crate::science::trace::{
    A0_SOURCE, EGGS_DIE_CELSIUS, LONGEST_STEP_SECONDS, Machine, Outcome, Reserve, Seen, THRESHOLDS, judge,
};
use crate::science::{heat, within};
use crate::trace::{self, How, Trace, Unit};

#[derive(Serialize)]
pub(super) struct Answer {
    sha256: String,
    rows: u64,
    uncertainty_k: f64,
    max_gap_seconds: f64,
    /// The one that saw least decides.
    sensors: Vec<SensorRow>,
    criteria: Vec<CriterionRow>,
    /// Every sensor reached the temperature at which 99 % of eggs die.
    eggs_limit_reached: bool,
}

#[derive(Serialize)]
struct SensorRow {
    name: String,
    hottest_c: f64,
    a0: f64,
    thresholds: Vec<ThresholdRow>,
    gaps: Vec<GapRow>,
}

#[derive(Serialize)]
struct ThresholdRow {
    threshold_c: f64,
    longest_min: f64,
    total_min: f64,
}

#[derive(Serialize)]
struct GapRow {
    from_min: f64,
    to_min: f64,
}

#[derive(Serialize)]
struct CriterionRow {
    id: &'static str,
    met: bool,
    person_decides: bool,
    rule: &'static str,
    threshold_c: f64,
    needed_min: u32,
    sensor: String,
    why: String,
    source: &'static str,
}

pub(super) fn laundry(own: &ArgMatches) -> Result<Told<Answer>, Stop> {
    let path = own.get_one::<PathBuf>("trace").ok_or_else(|| Stop::Usage("name the logger's file".to_owned()))?;
    let mut assumed = vec![];
    let uncertainty = typed(own, "uncertainty-k")?.unwrap_or_else(|| {
        assumed.push("sensor uncertainty 0 K; take it from the logger's certificate (--uncertainty-k)".to_owned());
        0.0
    });
    let uncertainty = within("--uncertainty-k", uncertainty, (0.0, 10.0), " K").map_err(outside)?;
    let longest = typed(own, "max-gap-seconds")?.unwrap_or(LONGEST_STEP_SECONDS);
    let longest_step_seconds = within("--max-gap-seconds", longest, (1.0, 7200.0), " s").map_err(outside)?;
    let machine = machine(own, &mut assumed)?;
    let unit = own.get_one::<String>("unit").map(|it| if it == "f" { Unit::Fahrenheit } else { Unit::Celsius });
    let zone = own.get_one::<String>("zone").map(|text| LoggerZone::read(text)).transpose();
    let zone = zone.map_err(|why| Stop::Usage(format!("--zone: {why}")))?;
    let how = How { times: times(own)?, unit, zone, ..How::unsaid(longest_step_seconds) };
    let trace = trace::read(path, how)?;
    assumed.extend(trace.assumed.iter().cloned());
    let reserve = Reserve { uncertainty, longest_step_seconds };
    let seen: Vec<Seen> = trace.sensors.iter().map(|it| Seen::of(&it.readings, reserve)).collect();
    Ok(answer(&trace, &seen, machine, reserve, assumed, own.get_flag("ascii")))
}

/// `--minutes` is the older way to say it.
fn times(own: &ArgMatches) -> Result<Option<TimesAre>, Stop> {
    let said = own.get_one::<String>("time").and_then(|word| TimesAre::from_word(word));
    match (own.get_flag("minutes"), said) {
        (false, said) => Ok(said),
        (true, None | Some(TimesAre::Minutes)) => Ok(Some(TimesAre::Minutes)),
        (true, Some(other)) => Err(Stop::Usage(format!("--minutes and --time {}: say one of the two", other.word()))),
    }
}

fn machine(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<Machine, Stop> {
    if own.get_flag("dryer") {
        assumed.push("a small load, about 3.5 kg: the dryer was shown to kill for such a load alone".to_owned());
        return Ok(Machine::Dryer);
    }
    let mixing = typed(own, "mixing-minutes")?.map(|it| within("--mixing-minutes", it, (0.0, 240.0), " min"));
    let mixing = mixing.transpose().map_err(outside)?;
    match mixing {
        None => assumed.push("8 min of mixing, as of a heavy load, in uk-65 and uk-71 (--mixing-minutes)".to_owned()),
        Some(few) if few < 4.0 => {
            assumed.push("4 min of mixing, the shortest published, in place of what was typed".to_owned());
        }
        Some(_) => {}
    }
    Ok(Machine::Washer { mixing_minutes: mixing.map(|it| it.ceil() as u32) })
}

/// What the picture shows of the temperatures that criteria ask for: those that can be told apart on it.
const WASHER_ASKS: [f64; 4] = [60.0, 65.0, 71.0, 90.0];
const DRYER_ASKS: [f64; 1] = [40.1];

fn answer(
    trace: &Trace,
    seen: &[Seen],
    machine: Machine,
    reserve: Reserve,
    assumed: Vec<String>,
    ascii: bool,
) -> Told<Answer> {
    let name = |at: usize| trace.sensors.get(at).map_or(String::new(), |it| it.name.clone());
    let criteria: Vec<CriterionRow> = judge(seen, machine)
        .iter()
        .map(|it| CriterionRow {
            id: it.id,
            met: it.outcome == Outcome::Met,
            person_decides: it.outcome == Outcome::PersonDecides,
            rule: it.rule.word(),
            threshold_c: it.threshold_celsius,
            needed_min: it.needed_minutes,
            sensor: name(it.sensor),
            why: format!("{}: {it}", name(it.sensor)),
            source: it.source,
        })
        .collect();
    let sensors: Vec<SensorRow> = seen.iter().enumerate().map(|(at, it)| sensor_row(name(at), it)).collect();
    let mut warnings = vec![];
    for (sensor, gap) in sensors.iter().flat_map(|it| it.gaps.iter().map(move |gap| (it, gap))) {
        // What is left of it without an hour would be no gap.
        let is_an_hour = reserve.joins((gap.to_min - gap.from_min - 60.0) * 60.0);
        let clock = match trace.is_by_an_unknown_clock && is_an_hour {
            true => "; if the clocks were put forward then, say --zone",
            false => "",
        };
        warnings.push(format!(
            "{}: no reading from minute {:.1} to {:.1}, over {} s; nothing is counted there{clock}",
            sensor.name, gap.from_min, gap.to_min, reserve.longest_step_seconds
        ));
    }
    if reserve.longest_step_seconds > LONGEST_STEP_SECONDS {
        warnings.push(format!("readings over {LONGEST_STEP_SECONDS} s apart are joined by lines that nobody measured"));
    }
    if matches!(machine, Machine::Washer { .. }) {
        warnings.push("us-cdc asks for detergent besides, which no logger shows".to_owned());
    }
    let eggs_limit_reached =
        !seen.is_empty() && seen.iter().all(|it| it.hottest_celsius - reserve.uncertainty >= EGGS_DIE_CELSIUS);
    let mut sources: Vec<&'static str> = criteria.iter().map(|it| it.source).collect();
    sources.extend([A0_SOURCE, NAYLOR_BOASE, heat::KELLS_GOBLIRSCH]);
    let mut once = vec![];
    sources.retain(|it| {
        !once.contains(it) && {
            once.push(*it);
            true
        }
    });
    let mut lines = lines(&sensors, &criteria, eggs_limit_reached);
    let asked: &[f64] = if matches!(machine, Machine::Dryer) { &DRYER_ASKS } else { &WASHER_ASKS };
    lines.extend(picture(trace, reserve, asked, ascii));
    let answer = Answer {
        sha256: trace.sha256.clone(),
        rows: trace.rows,
        uncertainty_k: reserve.uncertainty,
        max_gap_seconds: reserve.longest_step_seconds,
        sensors,
        criteria,
        eggs_limit_reached,
    };
    Told { answer, lines, assumed, warnings, sources }
}

fn sensor_row(name: String, seen: &Seen) -> SensorRow {
    let thresholds = THRESHOLDS.iter().zip(&seen.held).map(|(threshold, held)| ThresholdRow {
        threshold_c: *threshold,
        longest_min: held.longest_seconds / 60.0,
        total_min: held.total_seconds / 60.0,
    });
    let gaps = seen.gaps.iter().map(|(from, to)| GapRow { from_min: from / 60.0, to_min: to / 60.0 });
    SensorRow {
        name,
        hottest_c: seen.hottest_celsius,
        a0: seen.a0,
        thresholds: thresholds.collect(),
        gaps: gaps.collect(),
    }
}

fn lines(sensors: &[SensorRow], criteria: &[CriterionRow], eggs_limit_reached: bool) -> Vec<String> {
    let mut lines = vec![];
    for it in criteria {
        let verdict = match (it.met, it.person_decides) {
            (true, _) => "met",
            (false, true) => "a person must decide",
            (false, false) => "NOT MET",
        };
        lines.push(format!("{}: {verdict}. {}", it.id, it.why));
    }
    for it in sensors {
        let at: Vec<String> = it
            .thresholds
            .iter()
            .filter(|at| at.total_min > 0.0)
            .map(|at| format!("{} °C {:.3} min ({:.3} in all)", at.threshold_c, at.longest_min, at.total_min))
            .collect();
        let at = if at.is_empty() { "no hold".to_owned() } else { at.join(", ") };
        lines.push(format!("{}: hottest {:.1} °C, A0 {:.3}; longest at {at}", it.name, it.hottest_c, it.a0));
    }
    let reached = if eggs_limit_reached { "reached" } else { "did not reach" };
    lines.push(format!("Every sensor taken together {reached} {EGGS_DIE_CELSIUS} °C, at which 99 % of eggs die"));
    lines
}

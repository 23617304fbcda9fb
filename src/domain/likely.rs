//! What is likely of a room, in sentences: when it is dry, how far its checks can be trusted, when its eggs have hatched.
//!
//! Estimates all of them. They say when to look and how to think of what was seen; no rule reads them.

use chrono::TimeDelta;

use super::airing::AirChange;
use super::board::{Board, DryAbout, Drying, State, TaskKind, quiet_days};
use super::code::Code;
use super::dried::learned_in_words;
use super::dry_time::{self, DryTime, Sprayed};
use super::entry::{Body, Entry, InspectionMethod, Time};
use super::facility::RoomPlan;
use crate::science::OutOfRange;
use crate::science::detection::{Method, percent, still_infested};
use crate::science::eggs::EggClock;

/// With every estimate on a screen.
pub const NO_PERMISSION: &str = "an estimate; it permits nothing";

/// `entries`: those that touch the room, in any order.
pub fn likely(board: &Board, code: Code, entries: &[&Entry], now: Time) -> Vec<String> {
    match board.state(code) {
        State::TreatedWet => drying(board, code, entries, now),
        State::Monitoring => [odds(board, code, now), eggs(board, code, now)].into_iter().flatten().collect(),
        _ => vec![],
    }
}

/// `dry about 12:40; 11:39 at the earliest, 17:34 for the last patch`, or why it does not dry. Days only where they are not
/// today's.
pub fn dry_in_words(about: DryAbout, board: &Board, now: Time) -> String {
    match about {
        DryAbout::Between { from, likely, until } => {
            let [from, likely, until] = [from, likely, until].map(|time| clock(time, board, now));
            format!("dry about {likely}; {from} at the earliest, {until} for the last patch")
        }
        DryAbout::Never(never) => format!("not dry within a day: {never}"),
    }
}

/// Of a spray that is being noted: what the estimate says, and from when, if it is known when it ended.
pub fn likely_of_spray(sprayed: &Sprayed<'_>, finished: Option<Time>, board: &Board, now: Time) -> Vec<String> {
    let told = match dry_time::estimate(sprayed) {
        Ok(told) => told,
        Err(outside) => return vec![format!("No estimate: {outside}")],
    };
    let from = finished.unwrap_or(now);
    let at = |hours: f64| from.checked_add_signed(TimeDelta::seconds((hours * 3600.0).round() as i64)).unwrap_or(from);
    let mut lines = vec![match told.hours {
        Ok(band) => {
            let band = board.as_learned(sprayed.plan.code, band);
            let between = DryAbout::Between { from: at(band.fast), likely: at(band.likely), until: at(band.slow) };
            let ended = if finished.is_some() { "" } else { ", if it ended now" };
            format!("{}{ended}", capital(&dry_in_words(between, board, now)))
        }
        Err(never) => {
            format!("{}; what helps: {}", capital(&dry_in_words(DryAbout::Never(never), board, now)), never.helps())
        }
    }];
    lines.extend(heavy(&told));
    let unsaid: Vec<&str> = [
        ("amount", sprayed.amount_ml.is_none()),
        ("room temperature", sprayed.aired.decicelsius.is_none()),
        ("humidity", sprayed.aired.humidity_percent.is_none()),
        ("ventilation", sprayed.aired.ventilation.is_none()),
        ("window", sprayed.aired.window.is_none()),
    ]
    .into_iter()
    .filter_map(|(name, is_unsaid)| is_unsaid.then_some(name))
    .collect();
    if !unsaid.is_empty() {
        lines.push(format!("Taken as usual, and better if you say it: {}", unsaid.join(", ")));
    }
    lines
}

fn heavy(told: &DryTime) -> Option<String> {
    told.is_heavy().then(|| {
        format!(
            "{:.0} mL on each m²: over 100 it runs off and gathers in seams, and dries later than this",
            told.ml_per_m2
        )
    })
}

fn of_method(told: &DryTime) -> Vec<String> {
    let mut lines: Vec<String> = heavy(told).into_iter().collect();
    if told.hours.is_ok() {
        lines.push(told.limited_by.words().to_owned());
    }
    lines.push(format!("Taken: {}", told.assumed.join("; ")));
    lines
}

fn drying(board: &Board, code: Code, entries: &[&Entry], now: Time) -> Vec<String> {
    let Some(about) = board.dry_about(code) else { return no_estimate(board, code, entries).into_iter().collect() };
    let mut lines = vec![match about {
        DryAbout::Between { .. } => capital(&dry_in_words(about, board, now)),
        DryAbout::Never(never) => {
            format!("{}; what helps: {}", capital(&dry_in_words(about, board, now)), never.helps())
        }
    }];
    let tasks = board.tasks_of(code, now);
    let label = tasks.iter().filter(|task| task.kind == TaskKind::DryCheck).filter_map(|task| task.not_before).max();
    lines.extend(
        label.filter(|at| *at > now).map(|at| format!("Not before {}: the label's own minimum", clock(at, board, now))),
    );
    lines.push(learned_in_words(board, code));
    let drying = board.room(code).and_then(|room| room.dryings.last());
    lines.extend(drying.and_then(|it| it.aired_since.last()).map(|since| {
        let reckons = match since.change {
            AirChange::FanBrought => "from then on this reckons with a fan",
            AirChange::WindowOpened => "from then on this reckons with the window open",
            AirChange::Unchanged | AirChange::Other => {
                "nobody said how, so this reckons with the air as it was noted before"
            }
        };
        format!("Entry {} says that it is aired otherwise since: {reckons}", since.check)
    }));
    lines.extend(drying.and_then(|it| again(board, code, it, entries)?.ok()).iter().flat_map(of_method));
    lines
}

/// Why nothing is said of a wet room's drying.
fn no_estimate(board: &Board, code: Code, entries: &[&Entry]) -> Option<String> {
    let drying = board.room(code)?.dryings.last().filter(|it| it.dry_by.is_none())?;
    let outside = again(board, code, drying, entries)?.err();
    let why = match (outside, drying.from) {
        (Some(outside), _) => outside.to_string(),
        (None, None) => "nobody said when the spraying ended".to_owned(),
        (None, Some(_)) => return None,
    };
    Some(format!("No estimate of when it is dry, by entry {}: {why}", drying.spray))
}

/// The estimate of this spray, with all that was assumed for it. None: its entry is not among these.
fn again(board: &Board, code: Code, drying: &Drying, entries: &[&Entry]) -> Option<Result<DryTime, OutOfRange>> {
    let plan = board.facility().room(code)?;
    let spray = entries.iter().find(|entry| entry.number == drying.spray)?;
    let Body::Sprayed { zones, amount_ml, .. } = &spray.body else { return None };
    let here = zones.as_ref().map(|zones| plan.own_zones(zones));
    let plan = RoomPlan { floor_dm2: drying.plan.floor_dm2, ..plan.clone() };
    Some(dry_time::estimate(&Sprayed {
        plan: &plan,
        zones: here.as_deref(),
        amount_ml: *amount_ml,
        aired: drying.aired_now(),
    }))
}

/// How likely bugs are still there after the clean checks since the last sign and the last spray.
pub fn odds(board: &Board, code: Code, now: Time) -> Option<String> {
    let room = board.room(code)?;
    let since = room.accountable_since()?;
    let clean = room.inspections.iter().filter(|it| it.clean && !it.voided && it.began > since);
    let (mut odds, mut counts) = (EVEN_ODDS, [0_u32; 3]);
    for check in clean {
        let (method, at) = match check.method {
            InspectionMethod::Visual => (Method::Staff, 0),
            InspectionMethod::Traps => (Method::Traps, 1),
            InspectionMethod::Dog => (Method::Dog, 2),
        };
        odds = still_infested(odds, method.finds(), 1).ok()?;
        if let Some(count) = counts.get_mut(at) {
            *count += 1;
        }
    }
    let [looks, traps, dogs] = counts;
    if looks + traps + dogs == 0 {
        return Some(
            "No clean check since the last sign or treatment: nothing says yet that the bugs are gone".to_owned(),
        );
    }
    let dogs = if dogs > 0 { format!(", by a dog {dogs}") } else { String::new() };
    let days = quiet_days(board, code, now);
    // Bugs come to a sleeper: what was looked for in an empty room was not looked for.
    if days.counted == 0 && days.empty > 0 {
        return Some(format!(
            "The room stood empty on all {} days since the last sign or treatment: its clean checks prove nothing (by eye {looks}, trap \
             periods {traps}{dogs}), since bugs come to a sleeper and lived 155 days in an empty flat",
            days.empty
        ));
    }
    let empty = match days.empty {
        0 => String::new(),
        empty => {
            format!(". It stood empty on {empty} of {} days, on which a check proves nothing", empty + days.counted)
        }
    };
    Some(format!(
        "Chance that bugs are still there: {}, from even odds, after clean checks: by eye {looks}, trap periods {traps}{dogs}. Figures from flats: none was published for hospital staff, and repeats are less sure than this{empty}",
        percent(odds, 0)
    ))
}

/// Before any check: nobody knows. Assumption.
const EVEN_ODDS: f64 = 0.5;

/// When eggs that survived the last treatment should have hatched.
fn eggs(board: &Board, code: Code, now: Time) -> Option<String> {
    board.room(code)?.last_spray?;
    let (celsius, measured) = board.warmth_at_spray(code);
    let taken = if measured { "as measured at the spray" } else { "nobody measured" };
    let hatch = EggClock::at(celsius).ok()?;
    let Some(by) = board.eggs_hatched(code) else {
        return Some(format!("Eggs at {celsius} °C ({taken}): {}", hatch.words()));
    };
    let day = by.with_timezone(&board.facility().time_zone).format("%a %-d %b");
    let more = match by > now {
        true => "a check after that day counts most",
        false => "a check since that day counts most",
    };
    Some(format!(
        "Eggs at {celsius} °C ({taken}): none should be unhatched after {day}; {more}. Sprays often do not stop eggs"
    ))
}

fn clock(time: Time, board: &Board, now: Time) -> String {
    super::clock::clock(time, now, board.facility().time_zone)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

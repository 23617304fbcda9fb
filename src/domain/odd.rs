//! Answers that are likely a slip of the pen: asked about once before they are noted, and never refused, since what
//! happened can always be noted.

use chrono::TimeDelta;

use super::board::Board;
use super::entry::{Body, Depth, Entry};
use crate::science::laundry::HOTTEST_WASH_DECICELSIUS;

/// Millilitres of finished mixture in one room. More is a lot even for a large one: common practice, no source.
const MUCH_ML: u32 = 2_000;
/// Less wets hardly one zone: common practice, no source.
const LITTLE_ML: u32 = 20;
/// One room takes 15 to 20 minutes to treat: common practice, no source. So long is likely a wrong hour.
const LONG_SPRAY_MINUTES: i64 = 180;
/// A full inspection takes 15 to 20 minutes: common practice, no source. So many zones in less than so many minutes were
/// likely marked in one go.
const MANY_ZONES: usize = 8;
const SHORT_INSPECTION_MINUTES: i64 = 4;
/// In tenths of a degree Celsius. Laundry dryers stay below it; above it the figure is likely in degrees Fahrenheit: common
/// practice, no source.
const HOT_DRYER_DECICELSIUS: i32 = 1_200;
/// What was forgotten is noted within days: our assumption.
const LONG_AGO_DAYS: i64 = 14;
/// No cycle takes longer: common practice, no source.
const LONG_CYCLE_MINUTES: u32 = 240;

/// A label that keeps everybody out for longer is likely a slip: our assumption.
const LONG_LABEL_MINUTES: u32 = 7 * 24 * 60;

/// What is so unlikely, and would open or shut so much, that it needs a yes: on the command line as well. None: nothing is.
pub fn unlikely(entry: &Entry, board: &Board) -> Option<String> {
    match &entry.body {
        // `1:40` for 13:40: the room could be felt at once, though it is wet.
        Body::Sprayed { finished, reentry_minutes: Some(minutes), .. } if *minutes > 0 => {
            let end = finished.unwrap_or(entry.happened).max(entry.happened);
            let over = end.checked_add_signed(TimeDelta::minutes((*minutes).into()))?;
            (over <= entry.noted).then(|| {
                format!(
                    "It began at {}, {} ago, so the label's {minutes} minutes are over already. Is that time right?",
                    board.clock(entry.happened),
                    ago(entry.noted - entry.happened)
                )
            })
        }
        Body::SprayCompleted { reentry_minutes: Some(minutes), .. } => long_label(*minutes),
        Body::ProductSet(product) => {
            let known = board.products().get(&product.code).and_then(|it| it.reentry_minutes);
            product.reentry_minutes.filter(|minutes| known != Some(*minutes)).and_then(long_label)
        }
        _ => None,
    }
}

/// `40 min`, `12 h 20`, `3 d`.
fn ago(length: TimeDelta) -> String {
    match length.num_minutes() {
        minutes @ ..60 => format!("{minutes} min"),
        minutes @ 60..2880 => format!("{} h {:02}", minutes / 60, minutes % 60),
        minutes => format!("{} d", minutes / 1440),
    }
}

fn long_label(minutes: u32) -> Option<String> {
    (minutes > LONG_LABEL_MINUTES).then(|| {
        format!("{minutes} minutes are {} days in which nobody may go in. Does the label say so?", minutes / (24 * 60))
    })
}

/// What is odd in it, as a question. None: nothing is.
pub fn odd(entry: &Entry) -> Option<String> {
    let days = (entry.noted - entry.happened).num_days();
    if days > LONG_AGO_DAYS {
        return Some(format!("That was {days} days ago. Is the date right?"));
    }
    match &entry.body {
        Body::Sprayed { amount_ml: Some(ml), .. } if *ml > MUCH_ML => {
            Some(format!("{ml} mL is much for one room. Is it so, and in millilitres?"))
        }
        Body::Sprayed { amount_ml: Some(ml), .. } if *ml < LITTLE_ML => {
            Some(format!("{ml} mL wets hardly one zone. Is it so, and in millilitres?"))
        }
        Body::Sprayed { finished: Some(end), .. } if (*end - entry.happened).num_minutes() > LONG_SPRAY_MINUTES => {
            Some(format!("The spraying took {} minutes. Are both times right?", (*end - entry.happened).num_minutes()))
        }
        Body::Inspected { depth: Depth::Full, began, looks, .. }
            if looks.len() >= MANY_ZONES && (entry.happened - *began).num_minutes() < SHORT_INSPECTION_MINUTES =>
        {
            let minutes = (entry.happened - *began).num_minutes().max(0);
            Some(format!(
                "{} zones were looked at in {minutes} minutes. Was each of them, and did it begin then?",
                looks.len()
            ))
        }
        Body::Laundered { cycle, .. } => {
            let hot = |degrees: Option<i32>, most: i32| degrees.filter(|it| *it > most).map(|it| it / 10);
            let wash = hot(cycle.wash_decicelsius, HOTTEST_WASH_DECICELSIUS);
            let dry = hot(cycle.dry_decicelsius, HOT_DRYER_DECICELSIUS);
            if let Some(degrees) = wash.or(dry) {
                return Some(format!(
                    "{degrees} °C is hotter than a laundry runs. Is it so, and not degrees Fahrenheit?"
                ));
            }
            let long =
                [cycle.wash_minutes, cycle.dry_minutes].into_iter().flatten().find(|it| *it > LONG_CYCLE_MINUTES);
            long.map(|minutes| format!("{minutes} minutes is long for one cycle. Is it so?"))
        }
        _ => None,
    }
}

//! Answers that are likely a slip of the pen: asked about once before they are noted, and never refused, since what
//! happened can always be noted.

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

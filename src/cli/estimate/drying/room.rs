//! The room that is asked about: its size, its air, and what comes in. What was not typed is assumed, and said.

use clap::ArgMatches;

use super::super::air::pressure;
use super::super::options::{outside, part, typed};
use crate::cli::Stop;
use crate::domain::surfaces::{CHANGES_OFF, CHANGES_ON, CHANGES_WINDOW, HEIGHT_M, USUAL_KIND, floor_m2};
use crate::science::air::Air;
use crate::science::drying::Room;
use crate::science::evaporation::Moved;
use crate::science::within;

/// The kind of room, as typed or as it mostly is.
pub(super) fn kind(own: &ArgMatches) -> &str {
    own.get_one::<String>("room-kind").map_or(USUAL_KIND, String::as_str)
}

pub(super) fn window_is_open(own: &ArgMatches) -> bool {
    own.get_one::<String>("window").is_some_and(|it| it == "open")
}

/// How the room's air moves.
pub(super) fn moved(own: &ArgMatches) -> Moved {
    match own.get_one::<String>("ventilation").map(String::as_str) {
        Some("off") => Moved::Still,
        Some("fan") => Moved::Fan,
        _ => Moved::Ventilated,
    }
}

pub(super) fn room(own: &ArgMatches, assumed: &mut Vec<String>, warnings: &mut Vec<String>) -> Result<Room, Stop> {
    let pressure = pressure(own, assumed)?;
    let celsius = typed(own, "temp-c")?.unwrap_or_else(|| {
        assumed.push("22 °C in the room (--temp-c)".to_owned());
        22.0
    });
    let humidity = part(own, "rh")?.unwrap_or_else(|| {
        assumed.push("45 % relative humidity in the room (--rh)".to_owned());
        0.45
    });
    let volume_m3 = volume(own, assumed)?;
    let air = Air::new(celsius, humidity, pressure).map_err(outside)?;
    let from_ventilation = ventilation(own, assumed)?;
    let brought = typed_air(own, ["supply-temp-c", "supply-rh"], pressure)?;
    if brought.is_none() && from_ventilation > 0.0 {
        assumed.push("the air brought in is as the room's (--supply-temp-c, --supply-rh)".to_owned());
    }
    let supply = brought.unwrap_or(air);
    if from_ventilation > 0.0 && supply.humidity_brought_to(celsius).map_err(outside)? >= 1.0 {
        warnings.push("the air that is brought in wets this room: opening a window is wrong today".to_owned());
    }
    let ventilated = Room { air, supply, air_changes_per_hour: from_ventilation, volume_m3 };
    let outdoors = typed_air(own, ["outdoor-temp-c", "outdoor-rh"], pressure)?;
    match window(own, outdoors.is_some(), assumed)? {
        None => Ok(ventilated),
        Some(changes) => {
            let outdoors = outdoors.unwrap_or_else(|| {
                assumed.push("the air outdoors is as the room's (--outdoor-temp-c, --outdoor-rh)".to_owned());
                warnings.push("nobody said how damp it is outdoors: damp air through a window wets a room".to_owned());
                air
            });
            if outdoors.humidity_brought_to(celsius).map_err(outside)? >= 1.0 {
                warnings.push("the air outdoors wets this room: close the window".to_owned());
            }
            ventilated.with_more(outdoors, changes).map_err(outside)
        }
    }
}

fn volume(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<f64, Stop> {
    let (volume, floor) = (typed(own, "volume-m3")?, typed(own, "floor-m2")?);
    let height = typed(own, "height-m")?;
    match (volume, floor, height) {
        (Some(volume), None, None) => return Ok(volume),
        (Some(_), ..) => {
            return Err(Stop::Usage("give --volume-m3, or --floor-m2 with --height-m, not both".to_owned()));
        }
        (None, ..) => {}
    }
    let floor = floor.map(|it| within("--floor-m2", it, (1.0, 10_000.0), " m²")).transpose().map_err(outside)?;
    let height = height.map(|it| within("--height-m", it, (1.5, 30.0), " m")).transpose().map_err(outside)?;
    let floor = floor.unwrap_or_else(|| {
        let of_kind = floor_m2(kind(own)).unwrap_or_default();
        assumed.push(format!("{of_kind} m² of floor in a {} (--floor-m2 or --volume-m3)", kind(own)));
        of_kind
    });
    let height = height.unwrap_or_else(|| {
        assumed.push(format!("{HEIGHT_M} m from floor to ceiling (--height-m)"));
        HEIGHT_M
    });
    Ok(floor * height)
}

/// Air changes that ventilation brings.
fn ventilation(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<f64, Stop> {
    if let Some(changes) = typed(own, "air-changes")? {
        return Ok(changes);
    }
    if !own.contains_id("ventilation") {
        assumed.push("ventilation on (--ventilation)".to_owned());
    }
    Ok(match moved(own) {
        Moved::Still => {
            assumed.push(format!("{CHANGES_OFF} air changes an hour with ventilation off (--air-changes)"));
            CHANGES_OFF
        }
        Moved::Ventilated | Moved::Fan => {
            let from = "the design minimum of outdoor air of a patient room, ASHRAE 170-2017 table 7.1";
            assumed.push(format!("{CHANGES_ON} air changes an hour, {from} (--air-changes)"));
            CHANGES_ON
        }
    })
}

/// Air changes that an open window adds.
fn window(own: &ArgMatches, outdoors_known: bool, assumed: &mut Vec<String>) -> Result<Option<f64>, Stop> {
    let changes = typed(own, "window-changes")?;
    if !window_is_open(own) {
        if outdoors_known || changes.is_some() {
            let text = "--outdoor-temp-c, --outdoor-rh and --window-changes belong to --window open; for what ventilation brings in there is --supply-temp-c with --supply-rh";
            return Err(Stop::Usage(text.to_owned()));
        }
        if !own.contains_id("window") {
            assumed.push("the window closed (--window)".to_owned());
        }
        return Ok(None);
    }
    let changes = changes.unwrap_or_else(|| {
        assumed.push(format!("{CHANGES_WINDOW} air changes an hour more through the open window (--window-changes)"));
        CHANGES_WINDOW
    });
    Ok(Some(within("--window-changes", changes, (0.0, 1000.0), " per hour").map_err(outside)?))
}

fn typed_air(own: &ArgMatches, [celsius, humidity]: [&str; 2], pressure: f64) -> Result<Option<Air>, Stop> {
    match (typed(own, celsius)?, part(own, humidity)?) {
        (None, None) => Ok(None),
        (Some(celsius), Some(humidity)) => Air::new(celsius, humidity, pressure).map(Some).map_err(outside),
        _ => Err(Stop::Usage(format!(
            "--{celsius} and --{humidity} belong together: humidity means nothing without its temperature"
        ))),
    }
}

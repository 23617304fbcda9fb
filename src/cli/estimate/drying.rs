//! `estimate drying`: by the model's own surfaces, or by what a housekeeper knows: litres, area, ventilation.

use clap::ArgMatches;
use serde::Serialize;

use super::Told;
use super::air::pressure;
use super::options::{outside, part, read, typed};
use crate::cli::Stop;
use crate::science::air::{self, Air};
use crate::science::drying::{self, Drying, HEAVY_ML_PER_M2, Room, Surface};
use crate::science::evaporation::{self, H_C_FAN, H_C_STILL, H_C_VENTILATED, U_SUB_BOARD, U_SUB_MASSIVE, U_SUB_SOFT};
use crate::science::within;

/// Leakage alone. Assumption.
const CHANGES_OFF: f64 = 0.2;
/// Design minimum of a patient room, outdoor air: ANSI/ASHRAE/ASHE 170-2017, table 7.1 (unofficial copy).
const CHANGES_ON: f64 = 2.0;

#[derive(Serialize)]
pub(super) struct Answer {
    temp_c: f64,
    relative_humidity: f64,
    air_changes: f64,
    volume_m3: f64,
    litres: f64,
    never: bool,
    /// Why, where it never dries.
    cause: Option<&'static str>,
    helps: Option<&'static str>,
    fast_hours: Option<f64>,
    likely_hours: Option<f64>,
    slow_hours: Option<f64>,
    /// The label's own minimum, or the likely time if that is later. An estimate never shortens a label.
    first_check_hours: Option<f64>,
    limited_by: &'static str,
    capacity_litres: Option<f64>,
    p_inf_pa: f64,
    surfaces: Vec<SurfaceRow>,
}

#[derive(Serialize)]
struct SurfaceRow {
    area_m2: f64,
    grams_per_m2: f64,
    h_c: f64,
    u_sub: f64,
    hours: Option<f64>,
    rh_at_end: f64,
    surface_factor: f64,
    grams_per_m2_left: f64,
}

pub(super) fn drying(own: &ArgMatches) -> Result<Told<Answer>, Stop> {
    let mut assumed = vec![];
    let surfaces = surfaces(own, &mut assumed)?;
    let room = room(own, &mut assumed)?;
    let drying = drying::dry(&room, &surfaces).map_err(outside)?;
    let mut warnings = vec![];
    for surface in surfaces.iter().filter(|it| it.grams_per_m2 > HEAVY_ML_PER_M2) {
        warnings.push(format!(
            "{:.0} mL on each m² is more than {HEAVY_ML_PER_M2}: liquid runs off and gathers in seams, and dries later than told here",
            surface.grams_per_m2
        ));
    }
    let brought = room.supply.humidity_brought_to(room.air.celsius()).map_err(outside)?;
    if room.air_changes_per_hour > 0.0 && brought >= 1.0 {
        warnings.push("the air that is brought in wets this room: opening a window is wrong today".to_owned());
    }
    warnings.push("never measured in a sprayed, furnished room; look and touch".to_owned());
    let band = drying.band();
    let label = typed(own, "label-minutes")?.map(|it| within("--label-minutes", it, (0.0, 43_200.0), " min"));
    let label_hours = label.transpose().map_err(outside)?.map(|minutes| minutes / 60.0);
    if label_hours.is_none() {
        assumed
            .push("no minimum on the label; if it has one, the first check waits for it (--label-minutes)".to_owned());
    }
    let first_check_hours = band.map(|it| it.likely.max(label_hours.unwrap_or_default()));
    let lines = lines(&drying, &surfaces, first_check_hours);
    let answer = Answer {
        temp_c: room.air.celsius(),
        relative_humidity: room.air.relative_humidity(),
        air_changes: room.air_changes_per_hour,
        volume_m3: room.volume_m3,
        litres: drying.litres,
        never: drying.never.is_some(),
        cause: drying.never.map(drying::Never::word),
        helps: drying.never.map(drying::Never::helps),
        fast_hours: band.map(|it| it.fast),
        likely_hours: band.map(|it| it.likely),
        slow_hours: band.map(|it| it.slow),
        first_check_hours,
        limited_by: drying.limited_by.word(),
        capacity_litres: drying.capacity_litres,
        p_inf_pa: drying.p_inf_pa,
        surfaces: surfaces.iter().zip(&drying.surfaces).map(|(of, dries)| row(of, dries)).collect(),
    };
    Ok(Told { answer, lines, assumed, warnings, sources: vec![drying::SOURCE, evaporation::SOURCE, air::SOURCE] })
}

fn row(of: &Surface, dries: &drying::Dries) -> SurfaceRow {
    SurfaceRow {
        area_m2: of.area_m2,
        grams_per_m2: of.grams_per_m2,
        h_c: of.h_c,
        u_sub: of.u_sub,
        hours: dries.hours,
        rh_at_end: dries.rh_at_end,
        surface_factor: dries.surface_factor,
        grams_per_m2_left: dries.grams_per_m2_left,
    }
}

fn lines(drying: &Drying, surfaces: &[Surface], first_check_hours: Option<f64>) -> Vec<String> {
    let mut lines = match (drying.band(), drying.never) {
        (Some(band), _) => vec![format!(
            "Dry after about {:.2} h; from {:.2} h (earliest plausible) to {:.2} h (last patch). First useful check: {:.2} h",
            band.likely,
            band.fast,
            band.slow,
            first_check_hours.unwrap_or(band.slow)
        )],
        (None, Some(never)) => {
            vec![format!("It will not dry like this: {never}."), format!("What would help: {}.", never.helps())]
        }
        (None, None) => vec![],
    };
    lines.push(match drying.limited_by {
        drying::Limit::Film => "The film limits it: a fan aimed at the surface helps most".to_owned(),
        drying::Limit::Ventilation => "The room's air limits it: drier air, or more of it, helps most".to_owned(),
    });
    if let Some(litres) = drying.capacity_litres {
        lines.push(format!("Sealed, the room's air takes up {litres:.4} L of {:.3} L", drying.litres));
    }
    for (of, dries) in surfaces.iter().zip(&drying.surfaces) {
        let when = dries.hours.map_or_else(
            || format!("never; {:.2} g/m² stay", dries.grams_per_m2_left),
            |hours| format!("{hours:.4} h, the room then at {:.1} % humidity", 100.0 * dries.rh_at_end),
        );
        lines.push(format!("{} m² with {:.1} mL/m²: {when}", of.area_m2, of.grams_per_m2));
    }
    lines
}

fn room(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<Room, Stop> {
    let pressure = pressure(own, assumed)?;
    let celsius = typed(own, "temp-c")?.unwrap_or_else(|| {
        assumed.push("22 °C in the room (--temp-c)".to_owned());
        22.0
    });
    let humidity = part(own, "rh")?.unwrap_or_else(|| {
        assumed.push("45 % relative humidity in the room (--rh)".to_owned());
        0.45
    });
    let volume_m3 = typed(own, "volume-m3")?.unwrap_or_else(|| {
        assumed.push("50 m³, a room of 18.5 m² and 2.7 m (--volume-m3)".to_owned());
        50.0
    });
    let air_changes_per_hour = match (typed(own, "air-changes")?, ventilation(own)) {
        (Some(changes), _) => changes,
        (None, "off") => {
            assumed.push(format!("{CHANGES_OFF} air changes an hour with ventilation off (--air-changes)"));
            CHANGES_OFF
        }
        (None, _) => {
            let from = "the design minimum of outdoor air, ASHRAE 170-2017 table 7.1";
            assumed.push(format!("{CHANGES_ON} air changes an hour, {from} (--air-changes)"));
            CHANGES_ON
        }
    };
    let air = Air::new(celsius, humidity, pressure).map_err(outside)?;
    let supply = match (typed(own, "supply-temp-c")?, part(own, "supply-rh")?) {
        (None, None) => {
            if air_changes_per_hour > 0.0 {
                assumed.push("the air brought in is as the room's (--supply-temp-c, --supply-rh)".to_owned());
            }
            air
        }
        (Some(celsius), Some(humidity)) => Air::new(celsius, humidity, pressure).map_err(outside)?,
        _ => {
            let text =
                "--supply-temp-c and --supply-rh belong together: humidity means nothing without its temperature";
            return Err(Stop::Usage(text.to_owned()));
        }
    };
    Ok(Room { air, supply, air_changes_per_hour, volume_m3 })
}

fn ventilation(own: &ArgMatches) -> &str {
    own.get_one::<String>("ventilation").map_or("on", String::as_str)
}

fn surfaces(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<Vec<Surface>, Stop> {
    let given: Vec<&String> = own.get_many::<String>("surface").into_iter().flatten().collect();
    let (litres, area) = (typed(own, "litres")?, typed(own, "area-m2")?);
    match (given.is_empty(), litres, area) {
        (false, None, None) => given.into_iter().map(|text| surface(text)).collect(),
        (false, ..) => Err(Stop::Usage("give --surface, or --litres with --area-m2, not both".to_owned())),
        (true, Some(litres), Some(area_m2)) => by_litres(own, litres, area_m2, assumed).map(|it| vec![it]),
        (true, ..) => Err(Stop::Usage(
            "say what was sprayed: --litres with --area-m2, or --surface AREA_M2,GRAMS_PER_M2,H_C,U_SUB".to_owned(),
        )),
    }
}

fn surface(text: &str) -> Result<Surface, Stop> {
    let place = format!("--surface {text}");
    let numbers: Vec<f64> = text.split(',').map(|part| read(&place, part)).collect::<Result<_, _>>()?;
    let [area_m2, grams_per_m2, h_c, u_sub] = numbers[..] else {
        return Err(Stop::Usage(format!("{place}: write four numbers, AREA_M2,GRAMS_PER_M2,H_C,U_SUB")));
    };
    Ok(Surface { area_m2, grams_per_m2, h_c, u_sub })
}

fn by_litres(own: &ArgMatches, litres: f64, area_m2: f64, assumed: &mut Vec<String>) -> Result<Surface, Stop> {
    let area = within("--area-m2", area_m2, (0.01, 100_000.0), " m²").map_err(outside)?;
    let litres = within("--litres", litres, (0.001, 1000.0), " L").map_err(outside)?;
    let (h_c, words) = match ventilation(own) {
        "off" => (H_C_STILL, "still air"),
        "fan" => (H_C_FAN, "a fan aimed at the surface"),
        _ => (H_C_VENTILATED, "ordinary ventilation"),
    };
    let (u_sub, kind) = match own.get_one::<String>("surface-class").map(String::as_str) {
        Some("massive") => (U_SUB_MASSIVE, "massive wall or floor"),
        Some("soft") => (U_SUB_SOFT, "mattress or upholstery"),
        Some(_) => (U_SUB_BOARD, "board, timber, metal frame"),
        None => {
            assumed.push("board, timber or metal frame as surface (--surface-class)".to_owned());
            (U_SUB_BOARD, "board, timber, metal frame")
        }
    };
    assumed.push(format!("h_c {h_c} W/(m² K) for {words}, U_sub {u_sub} W/(m² K) for {kind} (--surface)"));
    Ok(Surface { area_m2: area, grams_per_m2: 1000.0 * litres / area, h_c, u_sub })
}

//! `estimate air`.

use clap::ArgMatches;
use serde::Serialize;

use super::Told;
use super::options::{needed, outside, part, typed};
use crate::cli::Stop;
use crate::science::air::{self, Air, STANDARD_PRESSURE_PA};

#[derive(Serialize)]
pub(super) struct Answer {
    temp_c: f64,
    relative_humidity: f64,
    pressure_pa: f64,
    saturation_pa: f64,
    vapour_pa: f64,
    humidity_ratio: f64,
    dew_point_c: Option<f64>,
    wet_bulb_c: f64,
    vapour_density_g_m3: f64,
    /// The same air at the temperature of the room that it is brought into. None: nobody said one.
    indoors: Option<Indoors>,
}

#[derive(Serialize)]
struct Indoors {
    temp_c: f64,
    relative_humidity: f64,
}

pub(super) fn air(own: &ArgMatches) -> Result<Told<Answer>, Stop> {
    let humidity = part(own, "rh")?.unwrap_or_default();
    let mut assumed = vec![];
    let pressure = pressure(own, &mut assumed)?;
    let air = Air::new(needed(own, "temp-c")?, humidity, pressure).map_err(outside)?;
    let indoors = match typed(own, "indoors-c")? {
        Some(room) => {
            Some(Indoors { temp_c: room, relative_humidity: air.humidity_brought_to(room).map_err(outside)? })
        }
        None => None,
    };
    let answer = Answer {
        temp_c: air.celsius(),
        relative_humidity: humidity,
        pressure_pa: pressure,
        saturation_pa: air.saturation_pa(),
        vapour_pa: air.vapour_pa(),
        humidity_ratio: air.humidity_ratio(),
        dew_point_c: air.dew_point_celsius(),
        wet_bulb_c: air.wet_bulb_celsius(),
        vapour_density_g_m3: air.vapour_density_g_m3(),
        indoors,
    };
    let dew = answer.dew_point_c.map_or("—".to_owned(), |dew| format!("{dew:.2} °C"));
    let mut lines = vec![
        format!("Air at {} °C, {:.1} % relative humidity, {} Pa", answer.temp_c, 100.0 * humidity, pressure),
        format!("Saturation pressure {:.3} Pa, vapour pressure {:.3} Pa", answer.saturation_pa, answer.vapour_pa),
        format!("Humidity ratio {:.7} kg/kg, vapour {:.4} g/m³", answer.humidity_ratio, answer.vapour_density_g_m3),
        format!("Dew point {dew}, wet bulb {:.2} °C", answer.wet_bulb_c),
    ];
    let mut warnings = vec![];
    if let Some(Indoors { temp_c, relative_humidity }) = answer.indoors {
        lines.push(match relative_humidity < 1.0 {
            true => format!("Brought indoors at {temp_c} °C: {:.1} % relative humidity", 100.0 * relative_humidity),
            false => format!("Brought indoors at {temp_c} °C it wets the room: it holds more than saturated air"),
        });
    }
    if air.celsius() < 0.0 {
        warnings.push(
            "below freezing the humidity is read over ice; a weather service reports it over water, some 5 % more"
                .to_owned(),
        );
    }
    Ok(Told { answer, lines, assumed, warnings, sources: vec![air::SOURCE] })
}

/// The air pressure, or that of sea level as an assumption.
pub(super) fn pressure(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<f64, Stop> {
    Ok(typed(own, "pressure-pa")?.unwrap_or_else(|| {
        assumed.push(format!("air pressure {STANDARD_PRESSURE_PA} Pa, sea level (--pressure-pa)"));
        STANDARD_PRESSURE_PA
    }))
}

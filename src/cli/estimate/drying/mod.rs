//! `estimate drying`: by the model's own surfaces, or by what a housekeeper knows: litres or strokes, zones, ventilation.

mod room;
mod surfaces;

use clap::ArgMatches;
use serde::Serialize;

use super::Told;
use super::options::{outside, typed};
use crate::cli::Stop;
use crate::science::drying::{self, Drying, HEAVY_ML_PER_M2, Surface};
use crate::science::{air, evaporation, within};
use surfaces::Sprayed;

#[derive(Serialize)]
pub(super) struct Answer {
    temp_c: f64,
    relative_humidity: f64,
    /// As typed or assumed. Its size counts only where no other was typed.
    room_kind: String,
    window_open: bool,
    /// Of ventilation and window together.
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
    zone: Option<String>,
    class: Option<&'static str>,
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
    let sprayed = surfaces::sprayed(own, &mut assumed)?;
    let surfaces: Vec<Surface> = sprayed.iter().map(|it| it.surface).collect();
    let mut warnings = vec![];
    let room = room::room(own, &mut assumed, &mut warnings)?;
    let drying = drying::dry(&room, &surfaces).map_err(outside)?;
    let thickest = surfaces.iter().map(|it| it.grams_per_m2).fold(0.0, f64::max);
    if thickest > HEAVY_ML_PER_M2 {
        warnings.push(format!(
            "{thickest:.0} mL on each m² is more than {HEAVY_ML_PER_M2}: liquid runs off and gathers in seams, and dries later than told here"
        ));
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
    let lines = lines(&drying, &sprayed, first_check_hours);
    let answer = Answer {
        temp_c: room.air.celsius(),
        relative_humidity: room.air.relative_humidity(),
        room_kind: room::kind(own).to_owned(),
        window_open: room::window_is_open(own),
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
        surfaces: sprayed.iter().zip(&drying.surfaces).map(|(of, dries)| row(of, dries)).collect(),
    };
    Ok(Told { answer, lines, assumed, warnings, sources: vec![drying::SOURCE, evaporation::SOURCE, air::SOURCE] })
}

fn row(sprayed: &Sprayed, dries: &drying::Dries) -> SurfaceRow {
    let of = &sprayed.surface;
    SurfaceRow {
        zone: sprayed.zone.clone(),
        class: sprayed.behind.map(evaporation::Behind::word),
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

fn lines(drying: &Drying, sprayed: &[Sprayed], first_check_hours: Option<f64>) -> Vec<String> {
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
    lines.push(drying.limited_by.words().to_owned());
    if let Some(litres) = drying.capacity_litres {
        lines.push(format!("Sealed, the room's air takes up {litres:.4} L of {:.3} L", drying.litres));
    }
    for (it, dries) in sprayed.iter().zip(&drying.surfaces) {
        let of = &it.surface;
        let zone = it.zone.as_ref().map_or(String::new(), |zone| format!("{zone}, "));
        let when = dries.hours.map_or_else(
            || format!("never; {:.2} g/m² stay", dries.grams_per_m2_left),
            |hours| format!("{hours:.4} h, the room then at {:.1} % humidity", 100.0 * dries.rh_at_end),
        );
        lines.push(format!("{zone}{} m² with {:.1} mL/m²: {when}", of.area_m2, of.grams_per_m2));
    }
    lines
}

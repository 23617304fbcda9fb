//! What a sprayed zone and its room amount to for an estimate, where nobody measured: areas, materials, sizes, air.
//!
//! Assumptions, all of them, without a source but where one is named; they stand in this one file, and each can be replaced
//! by what somebody measured. Areas are on the small side: the same litres then lie thicker, and the estimate errs late.

use crate::science::evaporation::Behind;

/// From floor to ceiling, m.
pub const HEIGHT_M: f64 = 2.7;
/// Air changes an hour without ventilation: leakage alone.
pub const CHANGES_OFF: f64 = 0.2;
/// With it: the design minimum of outdoor air of a patient room, ANSI/ASHRAE/ASHE 170-2017, table 7.1 (read in an unofficial
/// copy). Taken for every kind of room.
pub const CHANGES_ON: f64 = 2.0;
/// What an open window adds to either.
pub const CHANGES_WINDOW: f64 = 2.0;

/// The floor of each kind of room that comes with the program, m². A single patient room: published room sheets have 15 to
/// 18 m² (read); the smallest is taken, since less air takes up less and the estimate then errs late.
pub const FLOORS_M2: [(&str, f64); 5] =
    [("patient-room", 15.0), ("bathroom", 4.5), ("day-room", 40.0), ("waiting-area", 30.0), ("equipment", 15.0)];

/// The kind of room that is taken where none was said.
pub const USUAL_KIND: &str = FLOORS_M2[0].0;

pub fn floor_m2(kind: &str) -> Option<f64> {
    FLOORS_M2.iter().find(|(it, _)| *it == kind).map(|(_, floor)| *floor)
}

/// A zone as the surface that is sprayed in it; for a zone of a bed, that of one bed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct ZoneSurface {
    pub part: &'static str,
    pub area_m2: f64,
    pub behind: Behind,
}

const fn zone(part: &'static str, area_m2: f64, behind: Behind) -> ZoneSurface {
    ZoneSurface { part, area_m2, behind }
}

const PATIENT_ROOM: [ZoneSurface; 12] = [
    zone("mattress", 2.0, Behind::Soft),
    zone("bed-frame", 1.5, Behind::Board),
    zone("headboard", 1.0, Behind::Board),
    zone("chair", 0.5, Behind::Board),
    zone("sleeper-chair", 1.5, Behind::Soft),
    zone("cabinet", 1.0, Behind::Board),
    zone("wardrobe", 2.0, Behind::Board),
    zone("table", 0.5, Behind::Board),
    zone("skirting", 2.0, Behind::Board),
    zone("curtain-rail", 0.5, Behind::Board),
    zone("pictures", 0.5, Behind::Board),
    zone("register", 0.5, Behind::Board),
];
const BATHROOM: [ZoneSurface; 4] = [
    zone("cabinet", 0.5, Behind::Board),
    zone("hamper", 0.5, Behind::Board),
    zone("skirting", 1.0, Behind::Board),
    zone("mirror", 0.5, Behind::Board),
];
const DAY_ROOM: [ZoneSurface; 9] = [
    zone("sofa", 2.0, Behind::Soft),
    zone("armchairs", 3.0, Behind::Soft),
    zone("chairs", 2.0, Behind::Board),
    zone("footrests", 0.5, Behind::Soft),
    zone("table", 2.0, Behind::Board),
    zone("skirting", 3.0, Behind::Board),
    zone("curtains", 0.5, Behind::Board),
    zone("pictures", 0.5, Behind::Board),
    zone("register", 0.5, Behind::Board),
];
const WAITING_AREA: [ZoneSurface; 6] = [
    zone("soft-seats", 4.0, Behind::Soft),
    zone("chairs", 3.0, Behind::Board),
    zone("table", 1.0, Behind::Board),
    zone("skirting", 2.5, Behind::Board),
    zone("pictures", 0.5, Behind::Board),
    zone("register", 0.5, Behind::Board),
];
const EQUIPMENT: [ZoneSurface; 5] = [
    zone("wheelchairs", 2.0, Behind::Soft),
    zone("recliners", 3.0, Behind::Soft),
    zone("stretchers", 2.0, Behind::Soft),
    zone("shelves", 3.0, Behind::Board),
    zone("skirting", 1.5, Behind::Board),
];

/// The zones of a kind of room that may be sprayed, as surfaces. None for a kind that the hospital made up.
pub fn zone_surfaces(kind: &str) -> &'static [ZoneSurface] {
    match kind {
        "patient-room" => &PATIENT_ROOM,
        "bathroom" => &BATHROOM,
        "day-room" => &DAY_ROOM,
        "waiting-area" => &WAITING_AREA,
        "equipment" => &EQUIPMENT,
        _ => &[],
    }
}

pub fn zone_surface(kind: &str, part: &str) -> Option<ZoneSurface> {
    zone_surfaces(kind).iter().find(|it| it.part == part).copied()
}

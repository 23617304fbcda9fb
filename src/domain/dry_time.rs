//! When a spray is probably dry, from what its record says and what is assumed of the rest. An estimate: it permits nothing.
//!
//! Works out of the method in [`crate::science::drying`] what a spray amounts to. Every assumption is told in words; what
//! somebody measured takes its place.

use super::airing::AirChange;
use super::entry::{TreatmentRecord, Ventilation, Window};
use super::facility::{RoomPlan, Zone, ZonePlan, ZoneTreatment};
use super::floor;
use super::surfaces::{
    CHANGES_OFF, CHANGES_ON, CHANGES_WINDOW, HEIGHT_M, USUAL_KIND, ZoneSurface, floor_m2, zone_surface,
};
use crate::science::OutOfRange;
use crate::science::air::{Air, STANDARD_PRESSURE_PA};
use crate::science::drying::{Band, HEAVY_ML_PER_M2, Limit, Never, Room, Surface, dry};
use crate::science::evaporation::{Behind, Moved};

/// Of a patient room, where nobody measured. Assumption within the design range of ASHRAE 170-2017, table 7.1.
pub const USUAL_DECICELSIUS: i32 = 220;
const USUAL_HUMIDITY_PERCENT: u32 = 45;
/// Where nobody said how much was sprayed: 40 mL/m², which stays on a wall without running off. WHO, Vector Control: Methods
/// for Use by Individuals and Communities, 1997, ch. 9 (read in a library's copy).
const USUAL_ML_PER_M2: f64 = 40.0;
/// Of a zone that the hospital made up. Assumption.
const UNKNOWN_ZONE_M2: f64 = 1.0;

/// A spray as far as the estimate needs it.
#[derive(Clone, Copy, Debug)]
pub struct Sprayed<'a> {
    pub plan: &'a RoomPlan,
    /// None: not stated, so every zone that may be sprayed.
    pub zones: Option<&'a [Zone]>,
    /// Finished mixture, mL. None: not stated.
    pub amount_ml: Option<u32>,
    pub aired: Aired,
}

/// The air while it dried, as far as the record of a spray says it. None: not stated.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Aired {
    pub decicelsius: Option<i32>,
    pub humidity_percent: Option<u32>,
    pub ventilation: Option<Ventilation>,
    pub window: Option<Window>,
    /// Both of the air outdoors.
    outdoors: (Option<i32>, Option<u32>),
}

impl Aired {
    pub fn of(record: &TreatmentRecord) -> Self {
        Self {
            decicelsius: record.decicelsius,
            humidity_percent: record.humidity_percent,
            ventilation: record.ventilation,
            window: record.window,
            outdoors: (record.outdoor_decicelsius, record.outdoor_humidity_percent),
        }
    }

    /// As it is aired since this was noted. None: nobody can tell from it how.
    pub fn since(self, change: AirChange) -> Option<Self> {
        match change {
            AirChange::FanBrought => Some(Self { ventilation: Some(Ventilation::Fan), ..self }),
            AirChange::WindowOpened => Some(Self { window: Some(Window::Open), ..self }),
            AirChange::Unchanged | AirChange::Other => None,
        }
    }
}

/// What the estimate says of a spray.
#[derive(Clone, PartialEq, Debug)]
pub struct DryTime {
    /// Hours from the end of the spraying, or why it does not dry.
    pub hours: Result<Band, Never>,
    pub limited_by: Limit,
    /// Water on each m², in mL.
    pub ml_per_m2: f64,
    /// In words, each one what was taken and where somebody can say otherwise.
    pub assumed: Vec<String>,
}

impl DryTime {
    /// So much liquid runs off and gathers in seams: the estimate does not hold, and is too early.
    pub fn is_heavy(&self) -> bool {
        self.ml_per_m2 > HEAVY_ML_PER_M2
    }
}

/// What was taken for granted, in words. Where nobody reads them, none are made.
struct Assumed(Option<Vec<String>>);

impl Assumed {
    fn say(&mut self, words: impl FnOnce() -> String) {
        if let Some(said) = &mut self.0 {
            said.push(words());
        }
    }
}

/// Estimates when the room is dry. Refused where a number that was typed is none the method was made for.
pub fn estimate(sprayed: &Sprayed<'_>) -> Result<DryTime, OutOfRange> {
    let mut assumed = Assumed(Some(vec![]));
    let told = worked_out(sprayed, &mut assumed)?;
    Ok(DryTime { assumed: assumed.0.unwrap_or_default(), ..told })
}

/// The hours alone, as [`estimate`] has them.
pub fn hours(sprayed: &Sprayed<'_>) -> Result<Result<Band, Never>, OutOfRange> {
    Ok(worked_out(sprayed, &mut Assumed(None))?.hours)
}

fn worked_out(sprayed: &Sprayed<'_>, assumed: &mut Assumed) -> Result<DryTime, OutOfRange> {
    let surfaces = surfaces(sprayed, assumed);
    let room = room(sprayed, assumed)?;
    let area: f64 = surfaces.iter().map(|it| it.area_m2).sum();
    let ml_per_m2 = match sprayed.amount_ml {
        Some(ml) if ml > 0 => f64::from(ml) / area,
        _ => {
            assumed.say(|| format!("{USUAL_ML_PER_M2} mL on each m²: nobody said how much was sprayed"));
            USUAL_ML_PER_M2
        }
    };
    assumed.say(|| format!("spread evenly over {:.1} m²", area));
    let moved = moved(sprayed.aired);
    let wet: Vec<Surface> = surfaces
        .iter()
        .map(|it| Surface {
            area_m2: it.area_m2,
            grams_per_m2: ml_per_m2,
            h_c: it.behind.moved(moved).h_c(),
            u_sub: it.behind.u_sub(),
        })
        .collect();
    let drying = dry(&room, &wet)?;
    let hours = match (drying.band(), drying.never) {
        (Some(band), _) => Ok(band),
        (None, why) => Err(why.unwrap_or(Never::TooSlow)),
    };
    Ok(DryTime { hours, limited_by: drying.limited_by, ml_per_m2, assumed: vec![] })
}

fn moved(aired: Aired) -> Moved {
    match aired.ventilation {
        Some(Ventilation::Off) => Moved::Still,
        Some(Ventilation::Fan) => Moved::Fan,
        Some(Ventilation::On) | None => Moved::Ventilated,
    }
}

fn surfaces(sprayed: &Sprayed<'_>, assumed: &mut Assumed) -> Vec<ZoneSurface> {
    let plan = sprayed.plan;
    let may_be_sprayed = |(_, it): &&(Zone, ZonePlan)| it.treatment == ZoneTreatment::Spray;
    let zones: Vec<Zone> = match sprayed.zones {
        Some(zones) if !zones.is_empty() => zones.to_vec(),
        _ => {
            assumed.say(|| "every zone that may be sprayed was: nobody said which".to_owned());
            plan.zones.iter().filter(may_be_sprayed).map(|(zone, _)| *zone).collect()
        }
    };
    let mut unknown = vec![];
    let surface = |zone: &Zone| {
        zone_surface(plan.kind.as_str(), zone.part.as_str()).unwrap_or_else(|| {
            let it = plan.zones.iter().find(|(known, _)| known == zone).map(|(_, it)| it);
            let is_soft = it.is_some_and(|it| it.soft_seat || it.mattress);
            unknown.push(*zone);
            ZoneSurface {
                part: "",
                area_m2: UNKNOWN_ZONE_M2,
                behind: if is_soft { Behind::Soft } else { Behind::Board },
            }
        })
    };
    let mut surfaces: Vec<ZoneSurface> = zones.iter().map(surface).collect();
    let is_whole = surfaces.is_empty();
    if is_whole {
        surfaces.push(ZoneSurface { part: "", area_m2: UNKNOWN_ZONE_M2, behind: Behind::Board });
    }
    assumed.say(|| match (is_whole, unknown.is_empty()) {
        (true, _) => format!("{UNKNOWN_ZONE_M2} m² each for the room"),
        (false, true) => "areas and materials usual for these zones".to_owned(),
        (false, false) => {
            let names: Vec<String> = unknown.iter().map(Zone::to_string).collect();
            format!("{UNKNOWN_ZONE_M2} m² each for {}", names.join(", "))
        }
    });
    surfaces
}

fn room(sprayed: &Sprayed<'_>, assumed: &mut Assumed) -> Result<Room, OutOfRange> {
    let aired = sprayed.aired;
    let decicelsius = aired.decicelsius.unwrap_or_else(|| {
        assumed.say(|| format!("{} °C in the room", USUAL_DECICELSIUS / 10));
        USUAL_DECICELSIUS
    });
    let humidity = aired.humidity_percent.unwrap_or_else(|| {
        assumed.say(|| format!("{USUAL_HUMIDITY_PERCENT} % relative humidity in the room"));
        USUAL_HUMIDITY_PERCENT
    });
    let air = air(decicelsius, humidity)?;
    let floor = floor(sprayed.plan, assumed);
    let air_changes_per_hour = match aired.ventilation {
        Some(Ventilation::Off) => CHANGES_OFF,
        Some(Ventilation::On | Ventilation::Fan) => CHANGES_ON,
        None => {
            assumed.say(|| format!("ventilation on, {CHANGES_ON} air changes an hour"));
            CHANGES_ON
        }
    };
    let ventilated = Room { air, supply: air, air_changes_per_hour, volume_m3: floor * HEIGHT_M };
    match aired.window {
        Some(Window::Open) => {
            let outdoors = match aired.outdoors {
                (Some(decicelsius), Some(humidity)) => self::air(decicelsius, humidity)?,
                _ => {
                    assumed.say(|| "the air outdoors as dry as the room's: damp air would wet it".to_owned());
                    air
                }
            };
            ventilated.with_more(outdoors, CHANGES_WINDOW)
        }
        Some(Window::Closed) => Ok(ventilated),
        None => {
            assumed.say(|| "the window closed".to_owned());
            Ok(ventilated)
        }
    }
}

/// In m²: what the hospital's book has, else what is usual for the kind of room.
fn floor(plan: &RoomPlan, assumed: &mut Assumed) -> f64 {
    let (floor, usual_for) = match plan.floor_dm2.and_then(floor::if_possible) {
        Some(dm2) => (floor::m2(dm2), None),
        None => match floor_m2(plan.kind.as_str()) {
            Some(usual) => (usual, Some(plan.kind.as_str())),
            None => (floor_m2(USUAL_KIND).unwrap_or_default(), Some(USUAL_KIND)),
        },
    };
    assumed.say(|| {
        let whose = usual_for
            .map_or_else(|| "as the hospital's book has it".to_owned(), |kind| format!("usual for the kind {kind}"));
        format!("{floor} m² of floor, {whose}; {HEIGHT_M} m high")
    });
    floor
}

fn air(decicelsius: i32, humidity_percent: u32) -> Result<Air, OutOfRange> {
    Air::new(f64::from(decicelsius) / 10.0, f64::from(humidity_percent) / 100.0, STANDARD_PRESSURE_PA)
}

#[cfg(test)]
mod tests;

//! What was sprayed: surfaces as the model has them, or litres (or strokes) over an area or over zones.

use clap::ArgMatches;

use super::super::options::{outside, read, typed};
use super::room::{kind, moved};
use crate::cli::Stop;
use crate::domain::facility::{ZonePlan, ZoneTreatment};
use crate::domain::surfaces::{zone_surface, zone_surfaces};
use crate::science::drying::Surface;
use crate::science::evaporation::Behind;
use crate::science::within;
use crate::setup::default_zone_sets;

/// A surface with what it is, as far as that was said.
pub(super) struct Sprayed {
    pub(super) zone: Option<String>,
    pub(super) behind: Option<Behind>,
    pub(super) surface: Surface,
}

pub(super) fn sprayed(own: &ArgMatches, assumed: &mut Vec<String>) -> Result<Vec<Sprayed>, Stop> {
    let given: Vec<&String> = own.get_many::<String>("surface").into_iter().flatten().collect();
    let (litres, area) = (litres(own)?, typed(own, "area-m2")?);
    let zones: Vec<&str> = own.get_many::<String>("zones").into_iter().flatten().flat_map(|it| it.split(',')).collect();
    match (given.is_empty(), litres, area, zones.is_empty()) {
        (false, None, None, true) => given.into_iter().map(|text| surface(text)).collect(),
        (false, ..) => {
            Err(Stop::Usage("give --surface, or --litres with --area-m2 or --zones, not both".to_owned()))
        }
        (true, Some(_), Some(_), false) => Err(Stop::Usage("give --area-m2 or --zones, not both".to_owned())),
        (true, Some(litres), Some(area_m2), true) => by_area(own, litres, area_m2, assumed).map(|it| vec![it]),
        (true, Some(litres), None, false) => by_zones(own, litres, &zones, assumed),
        (true, ..) => Err(Stop::Usage(
            "say what was sprayed: --litres (or --strokes with --ml-per-stroke) with --area-m2 or --zones, or --surface AREA_M2,GRAMS_PER_M2,H_C,U_SUB"
                .to_owned(),
        )),
    }
}

/// Litres, as typed or as counted at the pump.
fn litres(own: &ArgMatches) -> Result<Option<f64>, Stop> {
    let (strokes, each) = (typed(own, "strokes")?, typed(own, "ml-per-stroke")?);
    let litres = match (typed(own, "litres")?, strokes, each) {
        (litres, None, None) => litres,
        (Some(_), ..) => return Err(Stop::Usage("give --litres or --strokes, not both".to_owned())),
        (None, Some(strokes), Some(each)) => {
            let strokes = within("--strokes", strokes, (1.0, 100_000.0), "").map_err(outside)?;
            Some(strokes * within("--ml-per-stroke", each, (0.01, 1000.0), " mL").map_err(outside)? / 1000.0)
        }
        _ => {
            let text = "--strokes and --ml-per-stroke belong together: pump twenty strokes into a measuring jug, and divide by twenty";
            return Err(Stop::Usage(text.to_owned()));
        }
    };
    litres.map(|it| within("--litres", it, (0.001, 1000.0), " L")).transpose().map_err(outside)
}

fn surface(text: &str) -> Result<Sprayed, Stop> {
    let place = format!("--surface {text}");
    let numbers: Vec<f64> = text.split(',').map(|part| read(&place, part)).collect::<Result<_, _>>()?;
    let [area_m2, grams_per_m2, h_c, u_sub] = numbers[..] else {
        return Err(Stop::Usage(format!("{place}: write four numbers, AREA_M2,GRAMS_PER_M2,H_C,U_SUB")));
    };
    Ok(Sprayed { zone: None, behind: None, surface: Surface { area_m2, grams_per_m2, h_c, u_sub } })
}

/// What the class of a surface and the room's air make of it.
fn classed(own: &ArgMatches, behind: Behind, area_m2: f64, grams_per_m2: f64) -> Surface {
    Surface { area_m2, grams_per_m2, h_c: behind.moved(moved(own)).h_c(), u_sub: behind.u_sub() }
}

/// The coefficients of each class that is there.
fn tell_coefficients(own: &ArgMatches, sprayed: &[Sprayed], assumed: &mut Vec<String>) {
    for behind in Behind::ALL.into_iter().filter(|it| sprayed.iter().any(|of| of.behind == Some(*it))) {
        let moved = behind.moved(moved(own));
        let (h_c, air, u_sub, what) = (moved.h_c(), moved.words(), behind.u_sub(), behind.words());
        assumed.push(format!("h_c {h_c} W/(m² K) for {air}, U_sub {u_sub} W/(m² K) for {what} (--surface)"));
    }
}

fn by_area(own: &ArgMatches, litres: f64, area_m2: f64, assumed: &mut Vec<String>) -> Result<Sprayed, Stop> {
    let area = within("--area-m2", area_m2, (0.01, 100_000.0), " m²").map_err(outside)?;
    let typed = own.get_one::<String>("surface-class").and_then(|word| Behind::from_word(word));
    let behind = typed.unwrap_or_else(|| {
        assumed.push("board, timber or metal frame as surface (--surface-class)".to_owned());
        Behind::Board
    });
    let surface = classed(own, behind, area, 1000.0 * litres / area);
    let one = [Sprayed { zone: None, behind: Some(behind), surface }];
    tell_coefficients(own, &one, assumed);
    let [it] = one;
    Ok(it)
}

/// One zone as it was asked for: `PART`, `PART=AREA_M2`, `PART:CLASS` or `PART=AREA_M2:CLASS`.
struct Asked<'a> {
    part: &'a str,
    area_m2: Option<f64>,
    behind: Option<Behind>,
}

impl<'a> Asked<'a> {
    fn read(text: &'a str) -> Result<Self, Stop> {
        let place = format!("--zones {text}");
        let (rest, class) = text.split_once(':').map_or((text, None), |(rest, class)| (rest, Some(class.trim())));
        let (part, area) = rest.split_once('=').map_or((rest, None), |(part, area)| (part, Some(area)));
        let unknown = || Stop::Usage(format!("{place}: a class is massive, board or soft"));
        let behind = class.map(|word| Behind::from_word(word).ok_or_else(unknown)).transpose()?;
        let area = area.map(|it| read(&place, it)).transpose()?;
        let area_m2 = area.map(|it| within("area of a zone", it, (0.01, 10_000.0), " m²")).transpose();
        Ok(Self { part: part.trim(), area_m2: area_m2.map_err(outside)?, behind })
    }
}

fn by_zones(own: &ArgMatches, litres: f64, zones: &[&str], assumed: &mut Vec<String>) -> Result<Vec<Sprayed>, Stop> {
    let kind = kind(own);
    if !own.contains_id("room-kind") {
        assumed.push(format!("a {kind} (--room-kind)"));
    }
    if own.contains_id("surface-class") {
        let text = "--surface-class belongs to --area-m2; a zone has its own, --zones PART=AREA_M2:CLASS";
        return Err(Stop::Usage(text.to_owned()));
    }
    let plans = plans(kind)?;
    let asked: Vec<Asked<'_>> = match zones {
        ["all"] => zone_surfaces(kind).iter().map(|it| Asked { part: it.part, area_m2: None, behind: None }).collect(),
        _ => zones.iter().map(|text| Asked::read(text)).collect::<Result<_, _>>()?,
    };
    let beds = beds(own)?;
    let (mut found, mut of_beds) = (vec![], false);
    for (at, it) in asked.iter().enumerate() {
        if asked.iter().take(at).any(|before| before.part == it.part) {
            return Err(Stop::Usage(format!("--zones: “{}” is named twice", it.part)));
        }
        let plan = plans.iter().find(|plan| plan.part.as_str() == it.part);
        if let Some(plan) = plan.filter(|plan| plan.treatment != ZoneTreatment::Spray) {
            let why = if plan.treatment == ZoneTreatment::OtherMethod { &plan.caution } else { "it is not sprayed" };
            return Err(Stop::Usage(format!("--zones {}: {why}", it.part)));
        }
        let usual = zone_surface(kind, it.part);
        let (Some(area), Some(behind)) =
            (it.area_m2.or(usual.map(|it| it.area_m2)), it.behind.or(usual.map(|it| it.behind)))
        else {
            let parts: Vec<&str> = zone_surfaces(kind).iter().map(|it| it.part).collect();
            let all = parts.join(", ");
            return Err(Stop::Usage(format!(
                "--zones: a {kind} has no “{}” that may be sprayed; name {all}, or PART=AREA_M2:CLASS of your own",
                it.part
            )));
        };
        let count = match it.area_m2 {
            None if plan.is_some_and(|plan| plan.per_bed) => beds.unwrap_or(1.0),
            _ => 1.0,
        };
        of_beds |= plan.is_some_and(|plan| plan.per_bed) && it.area_m2.is_none();
        let (area, class) = (count * area, behind.word());
        if it.area_m2.is_none() || it.behind.is_none() {
            let what = match (it.area_m2, it.behind) {
                (None, None) => format!("{area} m², {class}"),
                (None, Some(_)) => format!("{area} m²"),
                _ => class.to_owned(),
            };
            assumed.push(format!("{}: {what} (--zones {}=AREA_M2:CLASS)", it.part, it.part));
        }
        found.push((it.part, area, behind));
    }
    if of_beds && beds.is_none() {
        assumed.push("one bed (--beds)".to_owned());
    }
    let all: f64 = found.iter().map(|(_, area, _)| area).sum();
    let each = 1000.0 * litres / all;
    let shown = (100.0 * all).round() / 100.0;
    assumed.push(format!("spread evenly over the zones' {shown} m²: {each:.1} mL on each"));
    let sprayed: Vec<Sprayed> = found
        .into_iter()
        .map(|(part, area, behind)| Sprayed {
            zone: Some(part.to_owned()),
            behind: Some(behind),
            surface: classed(own, behind, area, each),
        })
        .collect();
    tell_coefficients(own, &sprayed, assumed);
    Ok(sprayed)
}

fn beds(own: &ArgMatches) -> Result<Option<f64>, Stop> {
    let beds = typed(own, "beds")?.map(|it| within("--beds", it, (1.0, 20.0), "")).transpose().map_err(outside)?;
    match beds {
        Some(beds) if beds.fract() != 0.0 => Err(Stop::Usage(format!("--beds: {beds} is no number of beds"))),
        beds => Ok(beds),
    }
}

/// The zones of this kind of room as they come with the program.
fn plans(kind: &str) -> Result<Vec<ZonePlan>, Stop> {
    let sets = default_zone_sets().map_err(|fault| Stop::Usage(fault.to_string()))?;
    Ok(sets.into_iter().find(|set| set.kind.as_str() == kind).map(|set| set.zones).unwrap_or_default())
}

//! The zones of each kind of room, as they come with the program or as a hospital's own room list gives them.

use serde::Deserialize;

use crate::domain::code::Code;
use crate::domain::facility::{ZoneGroup, ZonePlan, ZoneTreatment};

/// The zones of one kind of room, in the order in which one walks it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ZoneSet {
    pub kind: Code,
    pub zones: Vec<ZonePlan>,
}

/// A fault in a list of zones: what is wrong, in one sentence.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct ZoneFault(String);

const DEFAULTS: &str = include_str!("../../assets/zones.ron");

#[derive(Deserialize, Clone)]
#[serde(deny_unknown_fields)]
pub(super) struct KindText {
    kind: String,
    zones: Vec<ZoneText>,
}

#[derive(Deserialize, Clone)]
#[serde(deny_unknown_fields)]
struct ZoneText {
    part: String,
    #[serde(default)]
    name: String,
    group: Group,
    treatment: Treatment,
    #[serde(default)]
    marks: Vec<Mark>,
    #[serde(default)]
    caution: String,
}

#[derive(Deserialize, Clone, Copy)]
enum Group {
    Bed,
    Seating,
    Storage,
    RoomEdges,
}

#[derive(Deserialize, Clone, Copy)]
enum Treatment {
    Spray,
    OtherMethod,
    InspectOnly,
}

#[derive(Deserialize, Clone, Copy, PartialEq)]
enum Mark {
    PerBed,
    Mattress,
    SoftSeat,
    Daily,
    Hiding,
    Critical,
}

/// The sets that come with the program: patient room, bathroom, day room, waiting area, equipment.
pub fn default_zone_sets() -> Result<Vec<ZoneSet>, ZoneFault> {
    let read: Vec<KindText> = ron::from_str(DEFAULTS).map_err(|error| ZoneFault(format!("zones.ron: {error}")))?;
    zone_sets(&read)
}

pub(super) fn zone_sets(kinds: &[KindText]) -> Result<Vec<ZoneSet>, ZoneFault> {
    let mut sets: Vec<ZoneSet> = vec![];
    for KindText { kind, zones } in kinds {
        let kind = Code::new(kind).map_err(|error| ZoneFault(format!("kind of room: {error}")))?;
        if sets.iter().any(|set| set.kind == kind) {
            return Err(ZoneFault(format!("the zones of “{kind}” are given twice")));
        }
        let mut plans: Vec<ZonePlan> = vec![];
        for zone in zones {
            let plan = zone_plan(zone).map_err(|error| ZoneFault(format!("kind {kind}: {error}")))?;
            if plans.iter().any(|it| it.part == plan.part) {
                return Err(ZoneFault(format!("kind {kind} has the zone “{}” twice", plan.part)));
            }
            plans.push(plan);
        }
        if plans.is_empty() {
            return Err(ZoneFault(format!("kind {kind} has no zones: a room without zones can never be inspected")));
        }
        sets.push(ZoneSet { kind, zones: plans });
    }
    Ok(sets)
}

fn zone_plan(zone: &ZoneText) -> Result<ZonePlan, String> {
    let part = Code::new(&zone.part).map_err(|error| error.to_string())?;
    if part.as_str().contains('/') {
        return Err(format!("the zone “{part}” holds “/”, which stands between a bed and its zone"));
    }
    let marked = |mark| zone.marks.contains(&mark);
    if marked(Mark::Mattress) && !marked(Mark::PerBed) {
        return Err(format!("the zone “{part}” is a mattress, so it is PerBed too"));
    }
    for text in [&zone.name, &zone.caution] {
        if let Some(what) = super::fault::unprintable(text) {
            return Err(format!("the text of the zone “{part}” holds {what}"));
        }
    }
    Ok(ZonePlan {
        part,
        name: if zone.name.trim().is_empty() { part.to_string() } else { zone.name.clone() },
        group: match zone.group {
            Group::Bed => ZoneGroup::Bed,
            Group::Seating => ZoneGroup::Seating,
            Group::Storage => ZoneGroup::Storage,
            Group::RoomEdges => ZoneGroup::RoomEdges,
        },
        per_bed: marked(Mark::PerBed),
        treatment: match zone.treatment {
            Treatment::Spray => ZoneTreatment::Spray,
            Treatment::OtherMethod => ZoneTreatment::OtherMethod,
            Treatment::InspectOnly => ZoneTreatment::InspectOnly,
        },
        soft_seat: marked(Mark::SoftSeat),
        mattress: marked(Mark::Mattress),
        daily: marked(Mark::Daily),
        hiding_place: marked(Mark::Hiding),
        critical: marked(Mark::Critical),
        caution: zone.caution.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(kind: &str) -> Vec<ZonePlan> {
        let sets = default_zone_sets().unwrap();
        sets.into_iter().find(|set| set.kind == Code::new(kind).unwrap()).unwrap().zones
    }

    #[test]
    fn the_sets_that_come_with_the_program_are_whole() {
        for kind in ["patient-room", "bathroom", "day-room", "waiting-area", "equipment"] {
            let zones = set(kind);
            assert!(zones.iter().any(|it| it.daily) && zones.iter().any(|it| it.critical), "{kind}");
            assert!(zones.iter().any(|it| it.hiding_place && it.treatment == ZoneTreatment::Spray), "{kind}");
            assert!(zones.is_sorted_by_key(|it| it.group), "{kind} is in walking order");
            assert!(zones.iter().all(|it| it.part.as_str().len() <= 14), "{kind} has short parts");
        }
    }

    #[test]
    fn a_room_with_one_bed_has_a_humane_number_of_zones() {
        assert!((14..=16).contains(&set("patient-room").len()));
        assert_eq!(set("patient-room").iter().filter(|it| it.mattress).count(), 1);
    }

    #[test]
    fn what_is_powered_electronic_or_an_electric_heater_is_never_sprayed() {
        for set in default_zone_sets().unwrap() {
            for zone in set.zones {
                let words = format!("{} {}", zone.name, zone.caution);
                if ["electronics", "powered: never", "electric heater: never"].iter().any(|it| words.contains(it)) {
                    assert_eq!(zone.treatment, ZoneTreatment::OtherMethod, "{}", zone.part);
                }
                assert!(zone.part.as_str() != "register" || zone.caution.contains("only while its heat is off"));
            }
        }
    }

    #[test]
    fn a_faulty_list_of_zones_is_refused_with_the_zone_named() {
        let read = |text: &str| zone_sets(&ron::from_str::<Vec<KindText>>(text).unwrap()).unwrap_err().to_string();
        let one = r#"(part: "p", group: Bed, treatment: Spray)"#;
        assert!(read(&format!(r#"[(kind: "lab", zones: [{one}, {one}])]"#)).contains("“p” twice"));
        assert!(read(r#"[(kind: "lab", zones: [])]"#).contains("no zones"));
        let slash = r#"[(kind: "lab", zones: [(part: "a/b", group: Bed, treatment: Spray)])]"#;
        assert!(read(slash).contains('/'));
        let mattress = r#"[(kind: "lab", zones: [(part: "m", group: Bed, treatment: Spray, marks: [Mattress])])]"#;
        assert!(read(mattress).contains("PerBed"));
    }
}

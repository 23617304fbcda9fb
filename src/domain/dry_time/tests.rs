//! A spray's own figures reach the method, and each assumption is told.

use super::*;
use crate::domain::code::Code;
use crate::domain::facility::{Bed, ZoneGroup};

/// A room of this kind with one bed and these parts, a part of the bed behind a stroke.
fn plan(kind: &str) -> RoomPlan {
    let code = |text: &str| Code::new(text).unwrap();
    let zone = |name: &str| {
        let zone = Zone::parse(name).unwrap();
        let plan = ZonePlan {
            part: zone.part,
            name: name.to_owned(),
            group: ZoneGroup::Bed,
            per_bed: zone.bed.is_some(),
            treatment: ZoneTreatment::Spray,
            soft_seat: false,
            mattress: name.ends_with("mattress"),
            daily: false,
            hiding_place: true,
            critical: false,
            caution: String::new(),
        };
        (zone, plan)
    };
    RoomPlan {
        code: code("101"),
        name: String::new(),
        ward: code("W"),
        kind: code(kind),
        order: 1,
        beds: vec![Bed { code: code("A"), features: vec![] }],
        zones: ["A/mattress", "skirting"].into_iter().map(zone).collect(),
        neighbours: vec![],
        serves: vec![],
        floor_dm2: None,
    }
}

fn zones(names: &[&str]) -> Vec<Zone> {
    names.iter().map(|name| Zone::parse(name).unwrap()).collect()
}

fn told(record: &TreatmentRecord, amount_ml: Option<u32>) -> DryTime {
    let (plan, zones) = (plan("patient-room"), zones(&["A/mattress", "skirting"]));
    estimate(&Sprayed { plan: &plan, zones: Some(&zones), amount_ml, aired: Aired::of(record) }).unwrap()
}

fn likely(record: &TreatmentRecord, amount_ml: Option<u32>) -> f64 {
    told(record, amount_ml).hours.unwrap().likely
}

#[test]
fn what_somebody_measured_takes_the_place_of_what_is_assumed() {
    let nothing = TreatmentRecord::default();
    let before = told(&nothing, None);
    assert!((before.ml_per_m2 - 40.0).abs() < 1e-9, "40 mL/m², WHO 1997");
    let all = TreatmentRecord {
        decicelsius: Some(220),
        humidity_percent: Some(45),
        ventilation: Some(Ventilation::On),
        window: Some(Window::Closed),
        ..TreatmentRecord::default()
    };
    // A mattress of 2 m² and 2 m² of skirting: 160 mL are 40 on each.
    let after = told(&all, Some(160));
    assert_eq!(after.hours, before.hours, "the usual figures, typed");
    let words = |of: &DryTime| of.assumed.join("; ");
    for word in ["mL on each m²", "°C", "humidity", "ventilation", "window"] {
        assert!(words(&before).contains(word) && !words(&after).contains(word), "{word}: {}", words(&after));
    }
    assert!(words(&after).contains("areas and materials usual for these zones"));
}

#[test]
fn more_liquid_and_damper_air_dry_later_and_a_fan_sooner() {
    let nothing = TreatmentRecord::default();
    let usual = likely(&nothing, Some(160));
    assert!(likely(&nothing, Some(320)) > usual);
    assert!(likely(&TreatmentRecord { humidity_percent: Some(70), ..nothing.clone() }, Some(160)) > usual);
    assert!(likely(&TreatmentRecord { decicelsius: Some(180), ..nothing.clone() }, Some(160)) > usual);
    assert!(likely(&TreatmentRecord { ventilation: Some(Ventilation::Off), ..nothing.clone() }, Some(160)) > usual);
    assert!(likely(&TreatmentRecord { ventilation: Some(Ventilation::Fan), ..nothing.clone() }, Some(160)) < usual);
    let open = |celsius, humidity| TreatmentRecord {
        window: Some(Window::Open),
        outdoor_decicelsius: Some(celsius),
        outdoor_humidity_percent: Some(humidity),
        ..nothing.clone()
    };
    assert!(likely(&open(50, 50), Some(160)) < usual, "cold air outdoors is dry air in a warm room");
    assert!(likely(&open(250, 90), Some(160)) > likely(&open(50, 50), Some(160)));
    assert!(told(&nothing, Some(1000)).is_heavy() && !told(&nothing, Some(160)).is_heavy());
}

#[test]
fn a_damp_closed_room_never_dries_and_no_number_is_taken_that_the_method_was_not_made_for() {
    let wet = TreatmentRecord {
        humidity_percent: Some(95),
        ventilation: Some(Ventilation::Off),
        ..TreatmentRecord::default()
    };
    assert!(told(&wet, Some(3000)).hours.is_err());
    let (plan, zones) = (plan("patient-room"), zones(&["skirting"]));
    let hot = TreatmentRecord { decicelsius: Some(720), ..TreatmentRecord::default() };
    let refused =
        estimate(&Sprayed { plan: &plan, zones: Some(&zones), amount_ml: None, aired: Aired::of(&hot) }).unwrap_err();
    assert!(refused.to_string().contains("72 °C is outside"), "{refused}");
}

#[test]
fn the_floor_is_the_hospitals_where_its_book_has_one_and_each_assumption_says_whose_it_is() {
    let record = TreatmentRecord { ventilation: Some(Ventilation::Off), ..TreatmentRecord::default() };
    let of = |floor_dm2: Option<u32>, kind: &str| {
        let plan = RoomPlan { floor_dm2, ..plan(kind) };
        let told =
            estimate(&Sprayed { plan: &plan, zones: None, amount_ml: Some(160), aired: Aired::of(&record) }).unwrap();
        let said = told.assumed.iter().find(|it| it.contains("of floor")).unwrap().clone();
        (told.hours.unwrap().likely, said)
    };
    let (usual, said) = of(None, "patient-room");
    assert_eq!(said, "15 m² of floor, usual for the kind patient-room; 2.7 m high");
    let (large, said) = of(Some(4000), "patient-room");
    assert_eq!(said, "40 m² of floor, as the hospital's book has it; 2.7 m high");
    let (small, _) = of(Some(900), "patient-room");
    assert!(large < usual && usual < small, "more air takes up more: {large} {usual} {small}");
    assert_eq!(of(Some(1500), "patient-room").0, usual);
    assert_eq!(of(None, "cellar").1, "15 m² of floor, usual for the kind patient-room; 2.7 m high");
    // A hand wrote it into the file: no room is like that, so nothing is taken from it.
    for impossible in [0, 99, 50_001, u32::MAX] {
        assert_eq!(of(Some(impossible), "patient-room").0, usual);
    }
}

#[test]
fn zones_that_nobody_named_are_all_of_them_and_one_of_the_hospitals_own_is_a_square_metre() {
    let plan = plan("patient-room");
    let record = TreatmentRecord::default();
    let of = |zones: Option<&[Zone]>| {
        estimate(&Sprayed { plan: &plan, zones, amount_ml: None, aired: Aired::of(&record) }).unwrap()
    };
    assert!(of(None).assumed.iter().any(|it| it.contains("nobody said which")));
    let own = zones(&["shelf"]);
    assert!(of(Some(&own)).assumed.contains(&"1 m² each for shelf".to_owned()));
}

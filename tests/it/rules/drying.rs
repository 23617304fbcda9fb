//! What is likely, and what was learned, plans a look and moves nothing.

use chrono::TimeDelta;
use dryhold::domain::airing::AirChange;
use dryhold::domain::board::{Board, DryAbout, State};
use dryhold::domain::entry::{Body, Number, Place, TreatmentRecord, Ventilation, Window};
use dryhold::domain::{dried, likely};
use dryhold::science::learning::ENOUGH_SEEN_DAMP;

use super::world::*;

fn about(world: &World) -> DryAbout {
    world.board.dry_about(code("101")).unwrap()
}

/// Sprayed at nine, damp at one time and dry at another; the room dries as long as the checks say.
fn drying(world: &mut World, damp: &str, dry: &str) {
    world.to("09:10");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    world.to(damp);
    world.ok("HK", world.dry_check("101", "", "A/mattress"));
    world.to(dry);
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.days(1);
    world.now = world.at("00:10");
}

#[test]
fn an_estimate_changes_no_state_and_opens_no_bed() {
    let mut world = World::returned();
    world.days(1);
    let told = |record: &TreatmentRecord, amount: Option<u32>| {
        let mut entries = world.entries.clone();
        for entry in &mut entries {
            if let Body::Sprayed { record: kept, amount_ml, .. } = &mut entry.body {
                *amount_ml = amount;
                **kept = record.clone();
            }
        }
        let mut board = Board::new();
        let mut seen = vec![];
        for entry in &entries {
            board.apply(entry);
            for room in ["101", "102", "201"] {
                seen.push((entry.number, board.state(code(room)).word(), board.evidence(code(room)).len()));
            }
            for bed in ["A", "B", "C", "D"] {
                seen.push((entry.number, "", board.admission(code(bed), entry.noted).len()));
            }
        }
        seen
    };
    let usual = told(&TreatmentRecord::default(), Some(800));
    let dry = TreatmentRecord {
        decicelsius: Some(300),
        humidity_percent: Some(5),
        ventilation: Some(Ventilation::Fan),
        ..TreatmentRecord::default()
    };
    let damp = TreatmentRecord {
        humidity_percent: Some(99),
        ventilation: Some(Ventilation::Off),
        window: Some(Window::Closed),
        ..TreatmentRecord::default()
    };
    assert_eq!(told(&dry, Some(1)), usual);
    assert_eq!(told(&damp, Some(90_000)), usual);
    assert_eq!(told(&damp, None), usual);
}

#[test]
fn a_room_that_is_likely_dry_before_the_label_allows_is_still_due_with_the_label() {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { amount_ml, .. } = &mut body {
        *amount_ml = Some(20);
    }
    world.ok("TECH", (place, body));
    let tasks = world.board.tasks_of(code("101"), world.now);
    let check = tasks.into_iter().find(|task| task.verb == "dry-check").unwrap();
    assert!(about(&world).likely() < check.not_before, "20 mL are dry in minutes");
    assert_eq!((check.due, check.not_before), (Some(world.at("11:10")), Some(world.at("11:10"))));
}

#[test]
fn where_nobody_said_when_the_spraying_ended_nothing_is_likely_until_it_is_supplied() {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = None;
    }
    let spray = world.ok("TECH", (place.clone(), body));
    assert!(world.board.dry_about(code("101")).is_none());
    let supply = Body::SprayCompleted {
        spray,
        zones: None,
        finished: Some(world.at("09:11")),
        bags: None,
        reentry_words: None,
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: dryhold::domain::entry::Known::Unknown,
    };
    world.ok("TECH", (place, supply));
    assert!(world.board.dry_about(code("101")).is_some());
}

#[test]
fn a_closed_damp_room_is_told_never_to_dry_and_a_dry_check_counts_all_the_same() {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { record, amount_ml, .. } = &mut body {
        record.humidity_percent = Some(98);
        record.ventilation = Some(Ventilation::Off);
        *amount_ml = Some(3000);
    }
    world.ok("TECH", (place, body));
    assert!(matches!(about(&world), DryAbout::Never(_)));
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(world.state("101"), State::TreatedDry);
}

#[test]
fn estimates_go_by_dry_checks_once_enough_rooms_were_seen_damp_and_then_dry() {
    let mut world = World::open();
    for done in 0..=ENOUGH_SEEN_DAMP {
        let is_learned = world.board.learned_for(code("101")).is_some();
        assert_eq!(is_learned, done == ENOUGH_SEEN_DAMP, "after {done} dryings");
        if done < ENOUGH_SEEN_DAMP {
            drying(&mut world, "16:00", "17:00");
        }
    }
    let found = dried::dryings(&world.board);
    assert_eq!(found.len(), ENOUGH_SEEN_DAMP);
    let [first, ..] = found.as_slice() else { panic!("a drying") };
    assert!(first.damp_hours > Some(6.8) && first.dry_hours < Some(7.9), "{first:?}");
    // About 7.3 hours, where the method said half of it.
    let (_, learned) = world.board.learned_for(code("101")).unwrap();
    let ratio = 7.3 / first.likely_hours;
    assert!(ratio > 1.5 && learned.likely > 1.2 && learned.likely < ratio, "{learned:?}, {ratio}");
    world.to("09:10");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    let by_method = world.at("09:10") + TimeDelta::seconds((first.likely_hours * 3600.0) as i64);
    assert!(about(&world).likely() > Some(by_method + TimeDelta::minutes(30)));
    // A check that was voided teaches nothing.
    let check = world.entries.iter().find(|it| matches!(it.body, Body::DryChecked { .. })).map(|it| it.number).unwrap();
    world.ok("LEAD", world.void("101", check));
    assert!(world.board.learned_for(code("101")).is_none());
    assert_eq!(dried::dryings(&world.board).len(), ENOUGH_SEEN_DAMP - 1);
}

#[test]
fn a_drying_that_was_aired_otherwise_meanwhile_teaches_nothing() {
    let after = |changed: Option<AirChange>| {
        let mut world = World::open();
        world.to("09:10");
        world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
        assert!(!world.board.was_felt_damp(code("101")));
        world.to("12:00");
        world.ok("HK", world.dry_check("101", "", "A/mattress"));
        assert!(world.board.was_felt_damp(code("101")));
        let estimate = about(&world);
        world.to("13:00");
        let (place, mut body) = world.dry_check("101", SPRAYED_101, "");
        if let Body::DryChecked { changed: said, .. } = &mut body {
            *said = changed;
        }
        world.ok("HK", (place, body));
        assert_eq!(world.state("101"), State::TreatedDry, "it counts as dry all the same");
        assert!(!world.board.was_felt_damp(code("101")));
        (dried::dryings(&world.board).len(), world.board.dryings_left_out(), estimate)
    };
    let (told, left_out, estimate) = after(None);
    assert_eq!((told, left_out), (1, 0));
    assert_eq!(after(Some(AirChange::Unchanged)), (1, 0, estimate));
    for changed in [AirChange::FanBrought, AirChange::WindowOpened, AirChange::Other] {
        assert_eq!(after(Some(changed)), (0, 1, estimate), "{changed:?}");
    }
}

#[test]
fn a_spray_with_air_that_the_method_was_not_made_for_has_no_estimate_and_says_why() {
    for (decicelsius, humidity, why) in [
        (Some(900), Some(45), "air temperature: 90 °C is outside"),
        (None, Some(140), "humidity"),
        (Some(-800), None, "-80 °C"),
    ] {
        let mut world = World::open();
        world.to("09:10");
        // One before it has an estimate: that is not taken for the new one.
        world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
        world.to("10:00");
        let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
        if let Body::Sprayed { record, .. } = &mut body {
            (record.decicelsius, record.humidity_percent) = (decicelsius, humidity);
        }
        let spray = world.ok("TECH", (place, body));
        assert!(world.board.dry_about(code("101")).is_none());
        let entries: Vec<_> = world.entries.iter().collect();
        let said = likely::likely(&world.board, code("101"), &entries, world.now);
        let [said] = said.as_slice() else { panic!("one sentence: {said:?}") };
        assert!(
            said.contains(&format!("No estimate of when it is dry, by entry {spray}: ")) && said.contains(why),
            "{said}"
        );
        world.to("12:30");
        world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
        assert_eq!((world.state("101"), dried::dryings(&world.board).len()), (State::TreatedDry, 0));
    }
}

/// The room's setting as it stands, with another floor.
fn floor_set(world: &World, floor_dm2: Option<u32>) -> (Place, Body) {
    let plan = world.board.facility().room(code("101")).unwrap();
    let body = Body::RoomSet {
        name: plan.name.clone(),
        ward: plan.ward,
        kind: plan.kind,
        order: plan.order,
        beds: plan.beds.clone(),
        neighbours: plan.neighbours.clone(),
        serves: plan.serves.clone(),
        floor_dm2,
    };
    (Place::of_room_setting(plan.code, &plan.serves), body)
}

#[test]
fn how_large_a_room_is_closes_nothing_opens_nothing_and_moves_the_estimate() {
    let mut world = World::open();
    world.ok("LEAD", floor_set(&world, Some(4000)));
    assert!(world.is_open("A"), "{:?}", world.closed_by("A"));
    let (place, Body::RoomSet { beds, .. }) = floor_set(&world, None) else { panic!("a room") };
    let (_, mut renamed) = floor_set(&world, Some(4000));
    if let Body::RoomSet { name, .. } = &mut renamed {
        *name = "Renamed".to_owned();
    }
    let mut other = world.clone();
    other.ok("LEAD", (place, renamed));
    assert!(!other.is_open("A"), "anything else that is set waits for a walk, with a floor or without: {beds:?}");
    // Nor does it do away with what is asked already.
    other.ok("LEAD", floor_set(&other, Some(2000)));
    assert!(!other.is_open("A"));

    let at = |floor: Option<u32>| {
        let mut world = World::open();
        world.ok("LEAD", floor_set(&world, floor));
        world.to("09:10");
        let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
        if let Body::Sprayed { record, .. } = &mut body {
            record.ventilation = Some(Ventilation::Off);
        }
        world.ok("TECH", (place, body));
        let closed: Vec<_> = world.closed_by("A");
        (about(&world).likely(), world.state("101"), closed)
    };
    let (small, large) = (at(Some(900)), at(Some(40_000)));
    assert!(large.0.is_some() && (small.0.is_none() || large.0 < small.0), "{small:?} {large:?}");
    assert_eq!((small.1, small.2), (large.1, large.2));

    // A floor that is set while a room is wet is for its next spray, and what is told of this one stays as it was.
    let mut world = World::open();
    world.to("09:10");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    let told = |world: &World| {
        let entries: Vec<_> = world.entries.iter().collect();
        likely::likely(&world.board, code("101"), &entries, world.now)
    };
    let before = told(&world);
    world.ok("LEAD", floor_set(&world, Some(4000)));
    assert_eq!(told(&world), before);
    assert!(before.iter().any(|line| line.contains("usual for the kind")), "{before:?}");
}

#[test]
fn a_room_that_was_wiped_or_sprayed_anew_while_wet_teaches_nothing() {
    let mut world = World::open();
    world.to("09:10");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    world.to("10:00");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    world.to("12:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let sprays = |world: &World| dried::dryings(&world.board).iter().map(|it| it.spray).collect::<Vec<Number>>();
    let last = world.entries.iter().filter(|it| matches!(it.body, Body::Sprayed { .. })).map(|it| it.number).max();
    assert_eq!(sprays(&world), [last.unwrap()]);
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    let wiped = Body::EnteredWet { wiped: zones("chair"), note: String::new() };
    world.ok("HK", (Place::room(code("101")), wiped));
    world.to("16:00");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(sprays(&world), [last.unwrap()]);
}

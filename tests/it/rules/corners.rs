//! Corners of time and of treating by other means: a bed made too early, a wrong key in a date, a way that leads nowhere.

use chrono::TimeDelta;
use dryhold::domain::board::State;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId, Known, OtherMethod, Place, Sign};
use dryhold::domain::need::Need;
use dryhold::domain::rule::Rule;

use super::world::*;

fn room(text: &str) -> Place {
    Place::room(code(text))
}

#[test]
pub(super) fn a_bed_made_before_the_spraying_ended_does_not_count_once_its_end_is_known() {
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("102", "chair", "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = None;
    }
    let spray = world.ok("TECH", (place.clone(), body));
    world.to("09:05");
    world.ok("HK", world.make("102", "C"));
    world.to("09:40");
    let supplied = Body::SprayCompleted {
        spray,
        zones: None,
        finished: Some(world.at("09:30")),
        bags: None,
        reentry_words: None,
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    world.ok("TECH", (place, supplied));
    assert!(world.closed_by("C").contains(&Rule::BedsMade), "{:?}", world.blockers("C"));
    world.ok("HK", world.make("102", "C"));
    assert!(!world.closed_by("C").contains(&Rule::BedsMade), "{:?}", world.blockers("C"));
}

#[test]
pub(super) fn a_suspect_room_treated_without_spray_still_waits_for_its_inspection() {
    let mut world = World::open();
    world.ok("HK", world.finding("102", &[Sign::DarkSpots]));
    world.ok("TECH", world.treat("102", ALL_102));
    assert_eq!(world.closed_by("C"), [Rule::Suspect], "{:?}", world.blockers("C"));
    assert!(world.board.tasks_of(code("102"), world.now).iter().any(|task| task.need == "full inspection"));
    world.ok("EYES", world.inspect("102", ALL_102));
    assert!(world.is_open("C"));
}

#[test]
pub(super) fn a_room_whose_sprayed_zones_were_named_afterwards_is_not_sent_to_be_sprayed_again() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("102", &[Sign::LiveAdult]));
    let (place, mut body) = world.spray("102", "", "");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    let spray = world.ok("TECH", (place.clone(), body));
    let supplied = Body::SprayCompleted {
        spray,
        zones: Some(zones(SPRAYED_102)),
        finished: None,
        bags: None,
        reentry_words: None,
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    world.ok("TECH", (place, supplied));
    world.to("11:30");
    world.ok("HK", world.dry_check("102", ALL_102, ""));
    assert_eq!(world.state("102"), State::TreatedDry);
}

#[test]
pub(super) fn a_date_typed_far_ahead_does_not_hold_off_the_end_of_a_later_case() {
    let mut world = World::open();
    let (place, body) = world.finding("102", &[Sign::DarkSpots]);
    let mut command = Command::new(CommandId(9001), place, body);
    command.happened = Some(world.now + TimeDelta::days(3650));
    command.future_is_meant = true;
    let wrong = world.note("HK", &command);
    let void = world.ok("LEAD", world.void("102", wrong));
    world.ok("EYES", world.look("102", void));
    assert!(world.is_open("C"));
    let evidence = world.board.room(code("102")).and_then(|room| room.last_evidence);
    assert!(evidence.is_some_and(|at| at <= world.now), "{evidence:?}");
}

#[test]
pub(super) fn a_bed_occupied_by_a_wrong_date_can_be_put_right() {
    let mut world = World::open();
    let (place, body) = world.occupied("102", "C");
    let mut command = Command::new(CommandId(9001), place, body);
    command.happened = Some(world.now + TimeDelta::days(3650));
    command.future_is_meant = true;
    let wrong = world.note("NURSE", &command);
    assert_eq!(world.closed_by("C"), [Rule::Occupancy]);
    world.ok("LEAD", world.void("102", wrong));
    assert_eq!(world.closed_by("C"), [Rule::Occupancy], "a void opens nothing");
    world.ok("NURSE", (room("102"), Body::Emptied { beds: vec![code("C")] }));
    assert!(world.is_open("C"), "{:?}", world.blockers("C"));
}

#[test]
pub(super) fn the_linens_of_an_occupied_bed_are_asked_for_whatever_was_said_of_the_patient() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("NURSE", world.occupied("102", "C"));
    let (place, body) = world.spray("102", SPRAYED_102, "");
    assert!(matches!(&body, Body::Sprayed { patient_inside: Known::No, .. }));
    // Written past the refusal, as by another version.
    world.raw("TECH", place, body);
    assert!(world.closed_by("C").contains(&Rule::Unstated), "{:?}", world.blockers("C"));
}

#[test]
pub(super) fn the_labels_minutes_are_those_on_the_hospitals_list() {
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("102", SPRAYED_102, "");
    if let Body::Sprayed { reentry_minutes, .. } = &mut body {
        *reentry_minutes = Some(0);
    }
    world.ok("TECH", (place, body));
    world.to("09:30");
    world.no("HK", world.dry_check("102", SPRAYED_102, ""), Rule::Label);
}

#[test]
pub(super) fn to_look_closely_treats_only_what_must_not_be_sprayed() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let seen = |zone_names: &str| {
        (Place::room(code("101")), Body::TreatedOtherwise { zones: zones(zone_names), method: OtherMethod::Inspected })
    };
    world.to("09:10");
    world.ok("HK", seen("monitor"));
    let refusal = world.no("HK", seen("chair A/mattress"), Rule::Coverage);
    assert!(refusal.to_string().contains("chair, A/mattress can be treated"), "{refusal}");
    world.raw("HK", Place::room(code("101")), seen(SPRAYED_101).1);
    assert_eq!(world.state("101"), State::Confirmed, "what stands in the ledger all the same pays nothing");
}

/// Under the powered base, which is never sprayed: whoever looks at it closely does nothing to what sits there.
#[test]
pub(super) fn where_a_sign_was_seen_to_look_closely_treats_nothing() {
    for (confirms, sign) in [(true, Sign::LiveAdult), (false, Sign::DarkSpots)] {
        let mut world = World::open();
        world.to("09:00");
        let (place, mut body) = world.finding("101", &[sign]);
        if let Body::Finding { seen, .. } = &mut body {
            seen[0].zone = Some(zones("monitor")[0]);
        }
        world.ok("TECH", (place.clone(), body));
        assert_eq!(world.state("101") == State::Confirmed, confirms);
        world.to("09:10");
        world.ok("TECH", world.spray("101", SPRAYED_101, ""));
        world.to("11:30");
        world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
        let treated = |method: OtherMethod| {
            (Place::room(code("101")), Body::TreatedOtherwise { zones: zones("monitor"), method })
        };
        let refusal = world.no("HK", treated(OtherMethod::Inspected), Rule::Coverage);
        assert!(refusal.to_string().contains("something was seen on monitor"), "{refusal}");
        world.raw("HK", place.clone(), treated(OtherMethod::Inspected).1);
        let lacks = |world: &World| {
            let (lacks, _) = world.board.room(code("101")).unwrap().return_lacks();
            lacks.iter().any(|it| matches!(it.need, Need::Covered(_) | Need::Inspected))
        };
        assert!(lacks(&world), "what stands in the ledger all the same pays nothing: {sign:?}");
        world.ok("HK", treated(OtherMethod::Vacuumed));
        assert!(!lacks(&world), "{sign:?}");
    }
    // Where nothing was seen, a close look is what can be done.
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let body = Body::TreatedOtherwise { zones: zones("monitor"), method: OtherMethod::Inspected };
    world.to("09:10");
    world.ok("HK", (Place::room(code("101")), body));
}

#[test]
pub(super) fn a_spray_does_not_end_before_it_began_whenever_its_end_is_told() {
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("102", SPRAYED_102, "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = None;
    }
    let spray = world.ok("TECH", (place.clone(), body));
    let ended = |world: &World, at: &str| {
        let (zones, bags, reentry_words, reentry_minutes) = (None, None, None, None);
        let finished = Some(world.at(at));
        (
            place.clone(),
            Body::SprayCompleted {
                spray,
                zones,
                finished,
                bags,
                reentry_words,
                reentry_minutes,
                amount_ml: None,
                patient_inside: Known::Unknown,
            },
        )
    };
    world.to("09:20");
    world.no("TECH", ended(&world, "08:55"), Rule::Future);
    world.ok("TECH", ended(&world, "09:10"));
}

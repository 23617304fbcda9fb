//! What happened can always be noted, whoever did it: it closes, pays nothing, and is asked once more.

use dryhold::domain::board::State;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId, Known, Place};
use dryhold::domain::need::Need;
use dryhold::domain::once_more::once_more;
use dryhold::domain::remarks::remarks;
use dryhold::domain::rule::Rule;

use super::world::*;

/// The question that is asked before this is noted.
pub(super) fn asked(world: &World, person: &str, (place, body): (Place, Body)) -> Option<String> {
    let command = Command::new(CommandId(900), place, body);
    once_more(&world.board, &world.entries, &command, code(person), world.now, false)
}

/// A slip of one line in a ward's count would open a bed with a patient in it.
#[test]
pub(super) fn a_count_that_differs_from_what_was_noted_is_asked_about_bed_by_bed() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    let count = |occupied: &str, empty: &str| {
        let beds = |text: &str| text.split_whitespace().map(code).collect();
        (
            Place::Ward(code("W1")),
            Body::OccupancyConfirmed { occupied: beds(occupied), empty: beds(empty), gone: vec![] },
        )
    };
    assert_eq!(asked(&world, "NURSE", count("A", "B C")), None);
    let question = asked(&world, "NURSE", count("B", "A C")).unwrap();
    assert!(question.contains("now empty, though a patient was noted in it: A (it opens A)"), "{question}");
    assert!(question.contains("now with a patient, though noted empty: B"), "{question}");
    let promised = Body::Promised { beds: vec![code("C")], wanted: Some(world.at("12:00")) };
    world.ok("NURSE", (Place::room(code("102")), promised));
    let question = asked(&world, "NURSE", count("A C", "B")).unwrap();
    assert!(question.contains("promised, which ends by it: C"), "{question}");
}

#[test]
pub(super) fn the_second_of_two_patients_is_received_without_being_called_an_exception() {
    let mut world = World::open();
    let out = |from: &str, beds: &str, bed: &str| {
        let (beds, receiving, receiving_bed) = (vec![code(beds)], Some(code("101")), Some(code(bed)));
        let body = Body::PatientOut { beds, washed_and_changed: Known::Yes, receiving, receiving_bed };
        (Place::Rooms(vec![code(from), code("101")]), body)
    };
    world.ok("NURSE", out("102", "C", "A"));
    assert_eq!(asked(&world, "NURSE", out("201", "D", "B")), None, "it waits for its inspection alone");
    world.ok("NURSE", out("201", "D", "B"));
    assert_eq!(world.exceptions(), Vec::<String>::new());
}

#[test]
pub(super) fn twenty_zones_in_no_time_are_asked_about_and_work_in_the_wet_is_kept() {
    let mut world = World::open();
    let quick = |world: &World| {
        let (place, mut body) = world.inspect("101", ALL_101);
        if let Body::Inspected { looks, .. } = &mut body {
            let more = looks.clone();
            looks.extend(more);
        }
        (place, body)
    };
    let question = asked(&world, "EYES", quick(&world)).unwrap();
    assert!(question.contains("zones were looked at in 0 minutes"), "{question}");
    world.to("09:00");
    world.ok("TECH", world.spray("101", SPRAYED_101, ""));
    assert!(asked(&world, "EYES", world.inspect("101", ALL_101)).unwrap().contains("DO NOT ENTER"));
    world.to("09:20");
    world.ok("EYES", world.inspect("101", ALL_101));
    assert_eq!(world.exceptions(), ["somebody worked in the room while it was wet"]);
    let round = Body::RoundLooked { rooms: vec![code("101")] };
    world.no("HK", (Place::Ward(code("W1")), round), Rule::Wet);
}

#[test]
pub(super) fn whoever_wets_a_place_is_told_who_has_to_leave_and_what_else_it_closes() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    let said = |world: &World| remarks(world.entries.last().unwrap(), &world.board, &world.entries);
    world.to("09:00");
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { patient_inside, .. } = &mut body {
        *patient_inside = Known::Yes;
    }
    world.ok("TECH", (place, body));
    assert_eq!(said(&world)[0], "MOVE THE PATIENT OUT of 101 now, washed and changed");
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("09:00");
    world.ok("TECH", world.spray("BATH", "skirting", ""));
    let said = said(&world);
    assert_eq!(
        said[0], "it closes the beds of 101, 102; the patients of 101 use another one, and its door stays shut",
        "{said:?}"
    );
}

#[test]
pub(super) fn a_spray_by_somebody_who_may_not_apply_closes_and_pays_nothing() {
    let mut world = World::open();
    world.to("09:00");
    let question = asked(&world, "HK", world.spray("102", SPRAYED_102, "")).unwrap();
    assert!(question.starts_with("Note a spray by somebody who may not apply? HK is housekeeper."), "{question}");
    assert_eq!(asked(&world, "TECH", world.spray("102", SPRAYED_102, "")), None);
    world.ok("HK", world.spray("102", SPRAYED_102, ""));
    assert_eq!(world.state("102"), State::TreatedWet);
    assert_eq!(world.exceptions(), ["sprayed by somebody who may not apply"]);
    let said = remarks(world.entries.last().unwrap(), &world.board, &world.entries);
    assert!(said.contains(&"noted as an exception: sprayed by somebody who may not apply".to_owned()), "{said:?}");
    world.to("11:30");
    world.ok("HK", world.dry_check("102", SPRAYED_102, ""));
    world.ok("HK", world.vacuum("102", "chair"));
    world.ok("HK", world.make("102", "C"));
    let owed = world.no("LEAD", world.give_back("102"), Rule::ReturnSigned);
    let owed: Vec<Need> = owed.missing().iter().map(|it| it.need).collect();
    let every = zones("C/frame C/mattress chair monitor").into_iter().map(Need::Covered);
    assert!(every.into_iter().all(|zone| owed.contains(&zone)), "{owed:?}");
    // Zones that are named afterwards were not treated by it either.
    let (place, mut body) = world.spray("102", "", "");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    let spray = world.ok("NURSE", (place.clone(), body));
    world.ok(
        "LEAD",
        (
            place,
            Body::SprayCompleted {
                spray,
                zones: Some(zones(SPRAYED_102)),
                finished: None,
                bags: None,
                reentry_words: None,
                reentry_minutes: None,
                amount_ml: None,
                patient_inside: Known::Unknown,
            },
        ),
    );
    assert!(world.board.evidence(code("102")).iter().all(|it| it.need.rule() != Rule::Coverage || it.met_by.is_none()));
}

/// It was sprayed by somebody who is not even at the terminal, or only reads.
#[test]
pub(super) fn a_spray_is_noted_for_whoever_did_it() {
    for doer in ["HK", "READ", "NURSE"] {
        let mut world = World::open();
        world.to("09:00");
        let (place, body) = world.spray("102", SPRAYED_102, "");
        let mut command = Command::new(CommandId(900), place, body);
        command.done_by = Some(code(doer));
        world.note("LEAD", &command);
        assert_eq!(world.state("102"), State::TreatedWet, "{doer}");
        assert_eq!(world.exceptions(), ["sprayed by somebody who may not apply"], "{doer}");
    }
}

#[test]
pub(super) fn what_closes_is_noted_by_anyone_and_what_opens_is_not() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("WASH", world.occupied("102", "C"));
    assert!(asked(&world, "WASH", world.prepare("101", "")).unwrap().contains("is for a housekeeper"));
    world.ok("NURSE", world.prepare("101", "BAG1"));
    assert_eq!(world.closed_by("A"), [Rule::Prepared, Rule::Bags, Rule::BedsMade]);
    // The laundry may say that the patient left the room, but not that the bed is empty.
    let moved = Body::PatientOut {
        beds: vec![code("C")],
        washed_and_changed: Known::Unknown,
        receiving: None,
        receiving_bed: None,
    };
    world.ok("WASH", (Place::room(code("102")), moved));
    assert!(world.closed_by("C").contains(&Rule::Occupancy));
    // Damp closes, dry would open.
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("NURSE", world.dry_check("101", "", "A/mattress"));
    world.no("NURSE", world.dry_check("101", "A/mattress", ""), Rule::Role);
}

/// One note moves one patient to one bed, and says why nobody goes in there before it says to whom the bed is promised.
#[test]
pub(super) fn two_patients_do_not_go_to_one_bed_and_a_promise_hides_no_wet_room() {
    let mut world = World::open();
    let out = |beds: &str, room: &str, bed: Option<&str>| {
        let beds = beds.split_whitespace().map(code).collect();
        let (receiving, receiving_bed) = (Some(code(room)), bed.map(code));
        let body = Body::PatientOut { beds, washed_and_changed: Known::Yes, receiving, receiving_bed };
        (Place::Rooms(vec![code("101"), code(room)]), body)
    };
    let promised = Body::Promised { beds: vec![code("D")], wanted: Some(world.at("12:00")) };
    world.ok("NURSE", (Place::room(code("201")), promised));
    world.to("09:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.ok("NURSE", world.occupied("101", "B"));
    world.ok("TECH", world.spray("201", "D/mattress", ""));
    world.to("09:10");
    world.no("NURSE", out("A B", "201", Some("D")), Rule::Place);
    let question = asked(&world, "NURSE", out("A", "201", Some("D"))).unwrap();
    assert!(question.contains("treated-wet, DO NOT ENTER") && question.contains("is promised"), "{question}");
    let question = asked(&world, "NURSE", out("A B", "102", None)).unwrap();
    assert!(question.contains("The patients of 2 beds, A, B, are out"), "{question}");
}

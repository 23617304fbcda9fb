//! When a bed is open, and what each state means.

use dryhold::domain::board::{Occupancy, State};
use dryhold::domain::entry::{Body, Known, Number, Place, Sign};
use dryhold::domain::rule::Rule;

use super::world::*;

#[test]
pub(super) fn the_whole_way_from_a_finding_to_a_bed_that_may_take_a_patient() {
    let mut world = World::open();
    assert!(world.is_open("A"), "{:?}", world.blockers("A"));
    world.to("09:00");
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    assert_eq!(world.state("101"), State::Suspect);
    assert_eq!(world.closed_by("A"), [Rule::Suspect]);
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    assert_eq!(world.state("101"), State::Confirmed);
    world.ok("HK", world.prepare("101", "BAG1"));
    world.to("09:10");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    assert_eq!(world.state("101"), State::TreatedWet);
    assert!(world.closed_by("B").contains(&Rule::Wet));
    world.to("11:20");
    world.ok("HK", world.dry_check("101", "A/mattress A/frame B/frame chair", "B/mattress"));
    assert_eq!(world.state("101"), State::TreatedWet);
    world.to("12:20");
    world.ok("HK", world.dry_check("101", "B/mattress", ""));
    assert_eq!(world.state("101"), State::TreatedDry);
    let refusal = world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    assert!(refusal.missing().len() >= 4, "{refusal}");
    world.ok("TECH", world.treat("101", "monitor"));
    world.ok("HK", world.vacuum("101", "chair"));
    world.ok("WASH", world.launder("101", "BAG1"));
    world.ok("HK", world.make("101", "A"));
    world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    world.ok("HK", world.make("101", "B"));
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(world.state("101"), State::Monitoring);
    assert!(world.is_open("A"), "{:?}", world.blockers("A"));
    assert!(world.is_open("B"), "{:?}", world.blockers("B"));
}

#[test]
pub(super) fn a_bed_in_a_room_that_nobody_walked_is_closed_until_the_lead_walks_the_ward() {
    let mut world = World::unwalked();
    assert!(world.closed_by("A").contains(&Rule::WardWalk));
    world.no("NURSE", world.walk("W1"), Rule::Role);
    world.ok("LEAD", world.walk("W1"));
    assert_eq!(world.closed_by("A"), [Rule::Occupancy]);
    assert!(world.closed_by("D").contains(&Rule::WardWalk), "the other ward still waits");
}

#[test]
pub(super) fn a_bed_is_open_only_while_it_is_known_to_be_empty() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    assert_eq!(world.closed_by("A"), [Rule::Occupancy]);
    assert!(world.is_open("B"), "the other bed of the room is not concerned");
    world.ok("NURSE", world.empty("W1", "A"));
    assert!(world.is_open("A"));
    // Unconfirmed for longer than a shift reads unknown, never empty.
    world.to("19:30");
    assert_eq!(world.board.occupancy(code("A"), world.now), Occupancy::Unknown);
    assert_eq!(world.closed_by("A"), [Rule::Occupancy]);
}

#[test]
pub(super) fn a_note_of_an_empty_bed_does_not_outlive_a_later_patient_noted_late() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("NURSE", world.empty("W1", "A"));
    // The patient came at 08:50, and is noted only now: the later number closes.
    world.ok_at("NURSE", "08:50", world.occupied("101", "A"));
    assert_eq!(world.closed_by("A"), [Rule::Occupancy]);
}

#[test]
pub(super) fn a_shared_bathroom_closes_the_rooms_that_it_serves_and_leaves_their_state_alone() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.spray("BATH", "skirting", ""));
    assert_eq!(world.state("BATH"), State::TreatedWet);
    for (room, bed) in [("101", "A"), ("102", "C")] {
        assert_eq!(world.state(room), State::Clear);
        assert_eq!(world.closed_by(bed), [Rule::SharedSpace]);
    }
    world.to("11:10");
    world.ok("HK", world.dry_check("BATH", "skirting", ""));
    assert_eq!(world.closed_by("A"), [Rule::SharedSpace], "dry is not yet returned");
    world.ok("LEAD", world.give_back("BATH"));
    assert!(world.is_open("A") && world.is_open("C"));
}

#[test]
pub(super) fn out_of_service_is_lifted_only_by_name_and_a_return_to_service_leaves_it() {
    let mut world = World::ready_to_return();
    let body = Body::OutOfService { reason: "the light is broken".to_owned() };
    let repair = world.ok("LEAD", (Place::room(code("101")), body));
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(world.state("101"), State::Monitoring);
    world.ok("NURSE", world.empty("W1", "A B"));
    assert_eq!(world.closed_by("A"), [Rule::OutOfService]);
    let lift =
        |world: &World, closing| (Place::room(code("101")), Body::InService { closing, seen: world.seen("101") });
    world.no("LEAD", lift(&world, Number(1)), Rule::Target);
    world.no("HK", lift(&world, repair), Rule::Role);
    world.ok("LEAD", lift(&world, repair));
    assert!(world.is_open("A"));
    world.no("LEAD", (Place::room(code("101")), Body::OutOfService { reason: " ".to_owned() }), Rule::OutOfService);
}

#[test]
pub(super) fn a_receiving_room_keeps_its_empty_beds_closed_until_it_was_inspected() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let body = Body::PatientOut {
        beds: vec![code("A")],
        washed_and_changed: Known::Yes,
        receiving: Some(code("201")),
        receiving_bed: None,
    };
    world.ok("NURSE", (Place::Rooms(vec![code("101"), code("201")]), body));
    // Nobody said in which bed the patient lies, so none of them is known to be empty.
    assert_eq!(world.closed_by("D"), [Rule::Receiving, Rule::Occupancy]);
    assert_eq!(world.state("201"), State::Clear);
    assert!(world.closed_by("A").contains(&Rule::Prepared));
    world.ok("EYES", world.inspect("201", "D/mattress D/frame chair monitor"));
    assert_eq!(world.closed_by("D"), [Rule::Occupancy], "a patient may lie in it");
    world.ok("NURSE", world.empty("W2", "D"));
    assert!(world.is_open("D"), "{:?}", world.blockers("D"));
}

#[test]
pub(super) fn a_patient_lies_in_the_bed_that_received_them_and_nowhere_twice() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let out = |from: &str, room: &str, bed: Option<&str>| {
        let body = Body::PatientOut {
            beds: vec![code(from)],
            washed_and_changed: Known::Yes,
            receiving: Some(code(room)),
            receiving_bed: bed.map(code),
        };
        (Place::Rooms(if room == "101" { vec![code(room)] } else { vec![code("101"), code(room)] }), body)
    };
    world.no("NURSE", out("A", "101", None), Rule::Place);
    world.no("NURSE", out("A", "101", Some("A")), Rule::Place);
    world.ok("NURSE", out("A", "201", Some("D")));
    world.ok("EYES", world.inspect("201", "D/mattress D/frame chair monitor"));
    assert_eq!(world.closed_by("D"), [Rule::Occupancy], "the patient lies in it");
    world.ok("NURSE", world.occupied("101", "B"));
    world.no("NURSE", out("B", "201", Some("D")), Rule::Occupancy);
}

#[test]
pub(super) fn preparation_closes_every_bed_until_return_or_until_nothing_was_applied() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.prepare("101", "BAG1"));
    assert!(world.closed_by("A").contains(&Rule::Prepared) && world.closed_by("B").contains(&Rule::Prepared));
    let nothing = |world: &World| {
        let body = Body::NothingApplied { reason: "the contractor did not come".to_owned(), seen: world.seen("101") };
        (Place::room(code("101")), body)
    };
    let refusal = world.no("HK", nothing(&world), Rule::NothingApplied);
    assert_eq!(refusal.missing().len(), 3, "a bag and two beds: {refusal}");
    world.to("09:45");
    world.ok("WASH", world.launder("101", "BAG1"));
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    world.ok("HK", nothing(&world));
    assert_eq!(world.state("101"), State::Clear);
    assert!(world.is_open("A"));
    world.no("HK", nothing(&world), Rule::Target);
}

#[test]
pub(super) fn nothing_applied_is_refused_after_a_spray() {
    let mut world = World::ready_to_return();
    let nothing = |world: &World| {
        let body = Body::NothingApplied { reason: "mistaken".to_owned(), seen: world.seen("101") };
        (Place::room(code("101")), body)
    };
    let refusal = world.no("HK", nothing(&world), Rule::NothingApplied);
    assert!(refusal.to_string().contains("the lead voids it first"), "{refusal}");
    // A spray that was voided is none any more, once somebody has looked.
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.prepare("102", ""));
    let spray = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    let void = world.ok("LEAD", world.void("102", spray));
    let nothing = |world: &World| {
        let body = Body::NothingApplied { reason: "mistaken".to_owned(), seen: world.seen("102") };
        (Place::room(code("102")), body)
    };
    let refusal = world.no("HK", nothing(&world), Rule::NothingApplied);
    assert_eq!(refusal.mend(), Some("look"), "{refusal}");
    world.to("11:10");
    world.ok("EYES", world.look("102", void));
    world.ok("HK", world.make("102", "C"));
    world.ok("HK", nothing(&world));
    assert!(world.is_open("C"));
}

#[test]
pub(super) fn a_ledger_that_cannot_be_read_whole_closes_every_bed() {
    let mut world = World::open();
    world.board.set_distrust(Some("line 12 does not verify".to_owned()));
    assert_eq!(world.closed_by("A"), [Rule::LedgerWhole]);
    world.board.set_distrust(None);
    assert!(world.is_open("A"));
}

#[test]
pub(super) fn a_thing_from_a_room_that_is_not_clear_makes_the_receiver_suspect() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let arrives = |from: &str| {
        let body = Body::ThingArrived { thing: "recliner-7".to_owned(), from: Some(code(from)), wet: Known::No };
        (Place::Rooms(vec![code("201"), code(from)]), body)
    };
    world.ok("HK", arrives("101"));
    assert_eq!(world.state("201"), State::Suspect);
    world.ok("EYES", world.inspect("201", "D/mattress D/frame chair monitor"));
    world.ok("HK", arrives("102"));
    assert_eq!(world.state("201"), State::Clear);
    assert_eq!(world.closed_by("D"), [Rule::Receiving]);
}

/// What an open bed rests on is told from the return that ended its last treatment, and is gone when that falls.
#[test]
pub(super) fn an_open_bed_names_the_entries_that_prove_it() {
    let mut world = World::returned();
    let proof = |world: &World| world.board.room(code("101")).and_then(|room| room.proof(code("A")));
    let known = proof(&world).expect("it was treated and returned");
    let kind = |number: Number| world.entries.iter().find(|entry| entry.number == number).map(|entry| &entry.body);
    assert!(matches!(kind(known.spray), Some(Body::Sprayed { .. })));
    assert!(matches!(kind(known.dry.expect("a check")), Some(Body::DryChecked { .. })));
    assert!(!known.bags.is_empty());
    assert!(known.bags.iter().all(|bag| matches!(kind(*bag), Some(Body::Laundered { .. }))));
    assert!(matches!(kind(known.made.expect("it was made")), Some(Body::BedMade { .. })));
    assert!(matches!(kind(known.returned), Some(Body::ReturnedToService { .. })));
    let never = world.board.room(code("102")).and_then(|room| room.proof(code("C")));
    assert_eq!(never, None, "that room was never sprayed");
    world.ok("LEAD", world.void("101", known.returned));
    assert_eq!(proof(&world), None);
}

#[test]
pub(super) fn it_is_known_when_a_bed_was_last_noted_empty_or_occupied() {
    let mut world = World::open();
    assert_eq!(world.board.occupancy_noted(code("A")), Some(world.at("07:05")));
    world.to("08:00");
    world.ok("NURSE", world.occupied("101", "A"));
    assert_eq!(world.board.occupancy_noted(code("A")), Some(world.at("08:00")));
    assert_eq!(World::unwalked().board.occupancy_noted(code("A")), None);
}

#[test]
pub(super) fn a_blocker_tells_its_time_as_a_calendar_does() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    let text = world.blockers("A").first().map(|it| it.text.clone()).unwrap_or_default();
    assert_eq!(text, "finding of Mon 2 Mar 09:00: no complete negative inspection since");
}

//! Who may do what, and who signs for whom.

use dryhold::domain::board::State;
use dryhold::domain::entry::{Body, Feel, Number, Place, Sign};
use dryhold::domain::people::{Person, Role};
use dryhold::domain::rule::Rule;

use super::world::*;

fn set_person(world: &World, initials: &str, change: fn(&mut Person)) -> (Place, Body) {
    let mut person = world.board.people()[&code(initials)].clone();
    change(&mut person);
    (Place::Hospital, Body::PersonSet(Box::new(person)))
}

#[test]
pub(super) fn nobody_who_is_not_on_the_roster_notes_anything_and_a_reader_only_reads() {
    let mut world = World::open();
    world.no("GHOST", world.finding("101", &[Sign::Eggs]), Rule::Roster);
    world.no("READ", world.finding("101", &[Sign::Eggs]), Rule::Role);
    world.ok("LEAD", set_person(&world, "HK", |p| p.left = true));
    world.no("HK", world.finding("101", &[Sign::Eggs]), Rule::Roster);
}

#[test]
pub(super) fn every_move_is_for_the_roles_that_are_trained_for_it() {
    type Story = (&'static str, fn(&World) -> (Place, Body), &'static [&'static str]);
    let anyone: &[&str] = &["LEAD", "NURSE", "HK", "EYES", "WASH", "TECH", "IP"];
    let stories: [Story; 8] = [
        // What happened and closes is noted whoever did it.
        ("prepare", |w| w.prepare("102", ""), anyone),
        ("spray", |w| w.spray("102", SPRAYED_102, ""), anyone),
        ("treat a zone", |w| w.treat("102", "monitor"), &["HK", "EYES", "TECH", "LEAD"]),
        ("vacuum", |w| w.vacuum("102", "chair"), &["HK", "EYES", "LEAD"]),
        ("make a bed", |w| w.make("102", "C"), &["HK", "EYES", "LEAD"]),
        ("inspect", |w| w.inspect("102", ALL_102), &["EYES", "TECH", "LEAD"]),
        ("walk a ward", |w| w.walk("W1"), &["LEAD"]),
        ("note a finding", |w| w.finding("102", &[Sign::Eggs]), anyone),
    ];
    for (what, story, may) in stories {
        for person in ["LEAD", "NURSE", "HK", "EYES", "WASH", "TECH", "IP", "READ"] {
            let world = World::open();
            let it = story(&world);
            let command = dryhold::domain::decide::Command::new(dryhold::domain::entry::CommandId(900), it.0, it.1);
            let answer = dryhold::domain::decide::decide(&world.board, &command, code(person), world.now);
            let refused_by = answer.err().map(|refusal| refusal.rule());
            assert_eq!(refused_by, (!may.contains(&person)).then_some(Rule::Role), "{what}, {person}");
        }
    }
}

#[test]
pub(super) fn an_acting_lead_signs_only_in_the_time_that_was_named() {
    let mut world = World::ready_to_return();
    world.no("HK", world.give_back("101"), Rule::Role);
    let (from, until) = (world.at("13:00"), world.at("14:00"));
    let mut person = world.board.people()[&code("HK")].clone();
    person.acting_lead = Some((from, until));
    world.ok("LEAD", (Place::Hospital, Body::PersonSet(Box::new(person))));
    world.no("HK", world.give_back("101"), Rule::Role);
    let mut until = world.clone();
    until.to("14:00");
    until.no("HK", until.give_back("101"), Rule::Role);
    world.to("13:59");
    world.ok("HK", world.give_back("101"));
}

#[test]
pub(super) fn a_person_signs_for_nobody_else() {
    let mut world = World::ready_to_return();
    let (place, body) = world.give_back("101");
    let mut command = dryhold::domain::decide::Command::new(dryhold::domain::entry::CommandId(900), place, body);
    command.done_by = Some(code("LEAD"));
    world.refused("HK", &command, Rule::OwnHand);
    command.done_by = None;
    world.note("LEAD", &command);
}

/// Everything that there is to check in room 101, as felt and seen by the second person.
fn second_check(world: &World, dry: &str, damp: &str, made: &str, not_made: &str) -> (Place, Body) {
    let felt = |text: &str, feel: Feel| zones(text).into_iter().map(move |zone| (zone, feel)).collect::<Vec<_>>();
    let beds = |text: &str| text.split_whitespace().map(code).collect();
    let zones = [felt(dry, Feel::Dry), felt(damp, Feel::Damp)].concat();
    let (made, not_made) = (beds(made), beds(not_made));
    (
        Place::room(code("101")),
        Body::SecondChecked { zones, made, not_made, note: String::new(), seen: world.seen("101") },
    )
}

fn two_sign() -> World {
    let mut world = World::ready_to_return();
    world.ok("LEAD", (Place::Hospital, Body::PolicySet { key: "second-signature".to_owned(), value: 1 }));
    world
}

#[test]
pub(super) fn where_two_sign_the_second_one_checks_first_and_by_own_hand() {
    let mut world = two_sign();
    assert_eq!(world.next_step("101"), "second-check");
    world.no("LEAD", world.give_back("101"), Rule::SecondSignature);
    // Initials that the lead types are nobody's check.
    let typed = Body::ReturnedToService { second: Some(code("NURSE")), seen: world.seen("101") };
    world.no("LEAD", (Place::room(code("101")), typed), Rule::SecondSignature);
    let whole = |world: &World| second_check(world, SPRAYED_101, "", "A B", "");
    world.no("READ", whole(&world), Rule::Role);
    world.no("HK", whole(&world), Rule::SecondSignature);
    world.no("NURSE", second_check(&world, "A/mattress", "", "A B", ""), Rule::SecondSignature);
    world.no("NURSE", second_check(&world, SPRAYED_101, "", "A", ""), Rule::SecondSignature);
    world.ok("NURSE", whole(&world));
    assert_eq!(world.next_step("101"), "return");
    world.ok("LEAD", world.give_back("101"));
    world.ok("NURSE", world.empty("W1", "A B C"));
    assert!(world.is_open("A"));
    // The check falls, and with it the return.
    let check = Number(world.entries.len() as u64 - 2);
    world.ok("LEAD", world.void("101", check));
    assert!(!world.is_open("A"));
}

#[test]
pub(super) fn a_second_check_that_differs_closes_what_it_found() {
    let mut world = two_sign();
    world.ok("NURSE", second_check(&world, "", "A/mattress", "", ""));
    assert_eq!(world.state("101"), State::TreatedWet);
    world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    let mut world = two_sign();
    world.ok("NURSE", second_check(&world, SPRAYED_101, "", "A", "B"));
    assert_eq!(world.next_step("101"), "make-bed");
    world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    world.ok("HK", world.make("101", "B"));
    world.no("LEAD", world.give_back("101"), Rule::SecondSignature);
    world.ok("NURSE", second_check(&world, SPRAYED_101, "", "A B", ""));
    world.ok("LEAD", world.give_back("101"));
}

#[test]
pub(super) fn a_second_check_stands_only_while_nothing_changes_and_never_for_its_own_signer() {
    let mut world = two_sign();
    world.ok("NURSE", second_check(&world, SPRAYED_101, "", "A B", ""));
    world.ok("TECH", world.treat("101", "monitor"));
    world.no("LEAD", world.give_back("101"), Rule::SecondSignature);
    world.ok("LEAD", second_check(&world, SPRAYED_101, "", "A B", ""));
    world.no("LEAD", world.give_back("101"), Rule::SecondSignature);
    world.ok("NURSE", second_check(&world, SPRAYED_101, "", "A B", ""));
    world.ok("LEAD", world.give_back("101"));
    // Without anything to return there is nothing to check.
    let mut world = World::open();
    world.no("NURSE", second_check(&world, SPRAYED_101, "", "A B", ""), Rule::NothingToReturn);
    // Before the room is ready the second check comes too early.
    world = World::sprayed();
    world.to("11:30");
    world.no("NURSE", second_check(&world, SPRAYED_101, "", "A B", ""), Rule::ReturnSigned);
}

#[test]
pub(super) fn the_policy_may_ask_for_a_certificate() {
    let mut world = World::open();
    world.ok("LEAD", (Place::Hospital, Body::PolicySet { key: "certificate-required".to_owned(), value: 1 }));
    world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    let exception = "sprayed by somebody who may not apply".to_owned();
    assert_eq!(world.exceptions(), std::slice::from_ref(&exception));
    assert!(world.board.evidence(code("102")).iter().any(|it| it.need.rule() == Rule::Coverage && it.met_by.is_none()));
    world.ok("LEAD", set_person(&world, "TECH", |p| p.certificate = Some("C-1".to_owned())));
    world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    assert_eq!(world.exceptions(), [exception]);
}

#[test]
pub(super) fn the_last_lead_cannot_leave_and_settings_are_for_the_lead_or_infection_prevention() {
    let mut world = World::open();
    world.no("LEAD", set_person(&world, "LEAD", |p| p.left = true), Rule::LastLead);
    world.no("LEAD", set_person(&world, "LEAD", |p| p.role = Role::Housekeeper), Rule::LastLead);
    world.no("NURSE", set_person(&world, "HK", |p| p.role = Role::Lead), Rule::Role);
    world.ok("IP", set_person(&world, "HK", |p| p.role = Role::Lead));
    world.ok("LEAD", set_person(&world, "LEAD", |p| p.left = true));
}

#[test]
pub(super) fn a_setting_stays_within_its_bounds_and_none_opens_a_bed_by_itself() {
    let mut world = World::open();
    let set = |key: &str, value| (Place::Hospital, Body::PolicySet { key: key.to_owned(), value });
    world.no("LEAD", set("clear-days", 0), Rule::SettingValue);
    world.no("LEAD", set("no-such-thing", 1), Rule::SettingValue);
    world.ok("NURSE", world.occupied("102", "C"));
    world.to("20:00");
    assert!(!world.is_open("A"), "nobody confirmed it since the morning");
    world.ok("LEAD", set("occupancy-kept", 0));
    assert_eq!(world.closed_by("A"), [Rule::SharedSpace, Rule::WardWalk]);
    world.ok("LEAD", world.walk("W1"));
    assert!(world.is_open("A"));
    assert_eq!(world.closed_by("C"), [Rule::Occupancy], "somebody is known to lie in it");
}

#[test]
pub(super) fn a_room_that_is_changed_waits_for_a_walk_of_its_ward() {
    let mut world = World::open();
    world.set_room("102", "W1", "patient-room", 2, "C E", "");
    for bed in ["C", "E"] {
        assert!(world.closed_by(bed).contains(&Rule::WardWalk), "{bed}");
    }
    assert!(world.is_open("A"));
}

#[test]
pub(super) fn a_move_names_a_place_that_exists() {
    let mut world = World::open();
    world.no("HK", world.finding("999", &[Sign::Eggs]), Rule::Place);
    world.no("LEAD", world.walk("W9"), Rule::Place);
    world.no("HK", (Place::Unknown, world.finding("101", &[Sign::Eggs]).1), Rule::Place);
    world.no("HK", (Place::Rooms(vec![]), world.finding("101", &[Sign::Eggs]).1), Rule::Place);
}

#[test]
pub(super) fn rooms_that_a_space_no_longer_serves_wait_for_a_walk_too() {
    let mut world = World::open();
    world.ok("TECH", world.spray("BATH", "skirting", ""));
    assert_eq!(world.closed_by("C"), [Rule::SharedSpace]);
    world.set_room("BATH", "W1", "bathroom", 3, "", "101");
    assert_eq!(world.closed_by("C"), [Rule::WardWalk], "a change of the book opens nothing by itself");
}

#[test]
pub(super) fn a_bed_that_is_still_to_be_made_is_not_taken_off_its_room() {
    let mut world = World::sprayed();
    let without = |kind: &str, ward: &str| Body::RoomSet {
        name: "Room 101".to_owned(),
        ward: code(ward),
        kind: code(kind),
        order: 1,
        beds: vec![dryhold::domain::facility::Bed { code: code("A"), features: vec![] }],
        neighbours: vec![],
        serves: vec![],
        floor_dm2: None,
    };
    world.no("LEAD", (Place::room(code("101")), without("patient-room", "W1")), Rule::BedsMade);
    world.no("LEAD", (Place::room(code("102")), without("no-such-kind", "W1")), Rule::Place);
    // Written all the same, by a hand or another version: nobody knows what it was to change.
    world.raw("LEAD", Place::room(code("102")), without("patient-room", "W9"));
    assert!(world.closed_by("D").contains(&Rule::Damage));
}

#[test]
pub(super) fn somebody_new_in_a_closed_bed_is_an_exception_and_a_patient_who_was_there_is_not() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    world.ok("HK", world.finding("101", &[Sign::ReportedBites]));
    world.ok("NURSE", world.occupied("101", "A"));
    assert_eq!(world.board.exceptions().len(), 0, "{:?}", world.board.exceptions());
    world.ok("NURSE", world.occupied("101", "B"));
    assert_eq!(world.board.exceptions().len(), 1);
}

#[test]
pub(super) fn the_lead_adds_a_room_and_its_beds_wait_for_a_walk() {
    let mut world = World::open();
    let body = |serves: &[&str]| Body::RoomSet {
        name: "A new room".to_owned(),
        ward: code("W2"),
        kind: code("patient-room"),
        order: 2,
        beds: vec![dryhold::domain::facility::Bed { code: code("E"), features: vec![] }],
        neighbours: vec![],
        serves: serves.iter().map(|room| code(room)).collect(),
        floor_dm2: None,
    };
    world.no("LEAD", (Place::room(code("202")), body(&["201"])), Rule::Place);
    world.no("LEAD", (Place::Rooms(vec![code("202"), code("909")]), body(&["909"])), Rule::Place);
    world.ok("LEAD", (Place::room(code("202")), body(&[])));
    assert!(world.closed_by("E").contains(&Rule::WardWalk));
    world.ok("LEAD", world.walk("W2"));
    world.ok("NURSE", world.empty("W2", "E"));
    assert!(world.is_open("E"));
}

#[test]
pub(super) fn moving_a_patient_names_the_receiving_room_so_that_an_unreadable_line_closes_it_too() {
    let mut world = World::open();
    let body = Body::PatientOut {
        beds: vec![],
        washed_and_changed: dryhold::domain::entry::Known::Yes,
        receiving: Some(code("201")),
        receiving_bed: None,
    };
    world.no("NURSE", (Place::room(code("101")), body.clone()), Rule::Place);
    world.ok("NURSE", (Place::Rooms(vec![code("101"), code("201")]), body));
}

#[test]
pub(super) fn beds_are_noted_as_occupied_or_empty_only_where_they_stand() {
    let mut world = World::open();
    world.no("NURSE", world.occupied("102", "A"), Rule::Place);
    world.no("NURSE", world.empty("W2", "A"), Rule::Place);
    world.ok("NURSE", world.occupied("101", "A"));
}

//! What was noted in the wrong room: whatever closed it closes the room where it really was, until that is settled there.

use dryhold::domain::entry::{BagEnd, Body, Known, Number, Place, Sign, Went};
use dryhold::domain::rule::Rule;

use super::super::rules::world::{ALL_102, World, code, left};
use super::{More, came, closed, completed, hospital, open, really_in, wiped};

fn with_c_dried() -> World {
    let mut world = hospital();
    world.to("09:10");
    world.sprays("102", "C/frame", "09:00", "09:05", "DRY");
    world.to("09:20");
    world.puts_right("102", "C/frame");
    open(&world, "C");
    world
}

/// The damp chair stands in 102.
#[test]
fn what_was_damp_is_damp_in_the_room_where_it_really_was() {
    for part in ["chair", "A/mattress"] {
        let mut world = hospital();
        world.to("10:10");
        let damp = world.ok("HK", world.dry_check("101", "", part));
        world.to("10:20");
        world.ok("LEAD", really_in("101", "102", damp));
        world.looks_through("102");
        closed(&world, "C");
        world.to("10:40");
        world.puts_right("102", if part == "chair" { "chair" } else { "C/mattress" });
        open(&world, "C");
    }
}

/// 102 was wiped in the wet.
#[test]
fn what_was_wiped_is_wet_and_untreated_where_it_really_was() {
    let mut world = with_c_dried();
    world.to("09:40");
    let wiped = world.ok("HK", wiped("101", "chair"));
    world.ok("LEAD", really_in("101", "102", wiped));
    closed(&world, "C");
    world.says("HK", world.dry_check("102", "chair", ""));
    world.says("HK", world.vacuum("102", "chair"));
    world.says("LEAD", world.give_back("102"));
    closed(&world, "C");
    world.puts_right("102", "chair");
    open(&world, "C");
}

/// The bag was filled in 102 while that was wet: what is in it was sprayed.
#[test]
fn a_bag_that_was_filled_elsewhere_is_waited_for_there() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("102", "C/frame", "10:00", "10:05", "HOUR");
    world.to("10:20");
    let prepared = world.ok("HK", world.prepare("101", "BAG7"));
    world.ok("LEAD", really_in("101", "102", prepared));
    world.to("11:20");
    world.puts_right("102", "C/frame");
    closed(&world, "C");
    let looked_through = Body::BagEnded { bag: code("BAG7"), end: BagEnd::Inspected };
    world.says("HK", (Place::room(code("102")), looked_through));
    world.says("LEAD", world.give_back("102"));
    closed(&world, "C");
    let destroyed = Body::BagEnded { bag: code("BAG7"), end: BagEnd::Destroyed { witness: code("TECH") } };
    world.ok("HK", (Place::room(code("102")), destroyed));
    world.puts_right("102", "C/frame");
    open(&world, "C");
}

/// The wet chair came to 102, not to 201.
#[test]
fn what_came_is_where_it_really_came() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "HOUR");
    world.ok("HK", left("CH1", "101", "chair", Some("201")));
    let wrong = world.ok("HK", came("CH1", "201", Some("101"), Known::Yes));
    let (_, what) = really_in("201", "102", wrong);
    world.ok("LEAD", (Place::Rooms(["201", "101", "102"].map(code).to_vec()), what));
    world.looks_through("102");
    closed(&world, "C");
    world.to("11:30");
    world.puts_right("102", "CH1");
    open(&world, "C");
}

/// More of a spray that was really in 102.
#[test]
fn what_was_said_of_a_spray_is_a_spray_where_it_really_was() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    let more = More { zones: Some("chair"), ..More::default() };
    let said = world.ok("TECH", completed(&world, "101", spray, more));
    let void = world.ok("LEAD", really_in("101", "102", said));
    world.to("12:30");
    world.puts_right("102", ALL_102);
    closed(&world, "C");
    world.says("TECH", completed(&world, "102", void, More { bags: Some(""), ..More::default() }));
    world.puts_right("102", ALL_102);
    open(&world, "C");
}

/// A check is no news of another room: it says so, and the one way is to check there.
#[test]
fn what_closed_nothing_is_really_in_no_other_room() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "DRY");
    let felt: Number = world.ok("HK", world.dry_check("101", "chair", ""));
    world.no("HK", really_in("101", "102", felt), Rule::Target);
}

fn patient_to(room: &str, bed: Option<&str>, own_bed: bool) -> (Place, Body) {
    let body = Body::PatientMoved {
        beds: vec![code("A")],
        went: Went::Bed,
        receiving: Some(code(room)),
        receiving_bed: bed.map(code),
        outside: String::new(),
        washed_and_changed: Known::Yes,
        own_bed,
        things: vec![],
        answers: None,
    };
    (Place::Rooms(vec![code("101"), code(room)]), body)
}

/// The patient of A went to 201, and not to 102: nobody knows which bed of 201 is empty before somebody has counted.
#[test]
fn a_patient_lies_in_the_room_where_they_really_went() {
    let mut opened = vec![];
    for (bed, was) in [(Some("C"), "moved"), (None, "moved"), (Some("C"), "out")] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("NURSE", world.occupied("101", "A"));
        world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
        let out = Body::PatientOut {
            beds: vec![code("A")],
            washed_and_changed: Known::Yes,
            receiving: Some(code("102")),
            receiving_bed: bed.map(code),
        };
        let went = match was {
            "moved" => patient_to("102", bed, false),
            _ => (Place::Rooms(vec![code("101"), code("102")]), out),
        };
        let wrong = world.ok("NURSE", went);
        world.to("10:20");
        let place = Place::Rooms(["101", "102", "201"].map(code).to_vec());
        let (_, void) = really_in("102", "201", wrong);
        let void = world.ok("LEAD", (place, void));
        world.looks_through("201");
        world.says("LEAD", world.give_back("201"));
        if world.is_open("D") {
            opened.push((bed, was));
        }
        // The count of the ward says where the patient lies; and where they do not, somebody looks after the void.
        world.ok("NURSE", world.occupied("201", "D"));
        world.ok("NURSE", world.empty("W2", "D"));
        open(&world, "D");
        world.ok("EYES", world.look("102", void));
        world.looks_through("102");
        world.counts("W1");
        open(&world, "C");
    }
    assert_eq!(opened, []);
}

/// Bugs are found in 101 afterwards: the patient carried them to 201, where they really went, and on.
#[test]
fn a_case_follows_a_patient_to_where_they_really_went() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.ok("TECH", world.finding("101", &[Sign::DarkSpots]));
    let wrong = world.ok("NURSE", patient_to("102", Some("C"), false));
    world.to("10:20");
    let place = Place::Rooms(["101", "102", "201"].map(code).to_vec());
    let (_, void) = really_in("102", "201", wrong);
    world.ok("LEAD", (place, void));
    world.looks_through("201");
    world.counts("W2");
    open(&world, "D");
    world.to("10:40");
    world.ok_at("TECH", "09:50", world.finding("101", &[Sign::LiveAdult]));
    closed(&world, "D");
    world.looks_through("201");
    open(&world, "D");
}

/// The same out of a room in which there was nothing: the move closed nothing, and said where somebody lies.
#[test]
fn a_patient_out_of_a_clear_room_lies_in_the_room_where_they_really_went() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("NURSE", world.occupied("101", "A"));
    let wrong = world.ok("NURSE", patient_to("102", None, false));
    open(&world, "D");
    world.to("10:20");
    let place = Place::Rooms(["101", "102", "201"].map(code).to_vec());
    let (_, void) = really_in("102", "201", wrong);
    world.ok("LEAD", (place, void));
    closed(&world, "C D");
    world.counts("W1");
    world.counts("W2");
    open(&world, "A B C D");
}

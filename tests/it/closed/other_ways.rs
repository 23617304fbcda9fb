//! The same by other ways: out of the book and in again, under another name, by the book after the thing was said, past a void.

use dryhold::domain::entry::{Body, Known, Number, Place, Went};
use dryhold::domain::facility::ZonePlan;

use super::super::rules::world::{World, code, left};
use super::{More, came, closed, completed, gap, hospital, open, really_in, typed, wiped};

/// Bed A to the other ward by the book at half past ten, both wards walked and counted.
fn a_goes_to_201(world: &mut World) {
    world.to("10:30");
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W1");
    world.walks("W2");
}

/// A bed that is in no room of the book for an hour dries no faster.
#[test]
fn a_wet_bed_that_was_out_of_the_book_is_wet_where_it_comes_in_again() {
    for damp in [false, true] {
        let mut world = hospital();
        world.to("10:10");
        if damp {
            world.ok("HK", world.dry_check("101", "", "A/mattress"));
        } else {
            world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
        }
        world.to("10:20");
        world.book(&[("101", "B")]);
        world.walks("W1");
        world.to("11:20");
        world.book(&[("201", "D A")]);
        world.walks("W2");
        closed(&world, "A");
        world.to("16:00");
        world.puts_right("201", "A/mattress");
        open(&world, "A");
    }
}

/// What the hospital no longer lists as a part of its rooms still stands there, wet.
#[test]
fn a_wet_part_that_is_taken_off_the_list_of_parts_is_wet_all_the_same() {
    for (part, gone) in [("chair", "chair"), ("A/frame", "frame")] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", part, "10:00", "10:05", "FOUR");
        let kind = code("patient-room");
        let plans: Vec<ZonePlan> = world.board.facility().zone_sets[&kind].clone();
        let zones = plans.into_iter().filter(|plan| plan.part != code(gone)).collect();
        world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones }));
        world.walks("W1");
        world.walks("W2");
        open(&world, "C D");
        world.puts_right("101", part);
        closed(&world, "A");
        world.to("14:10");
        world.puts_right("101", part);
        open(&world, "A");
    }
}

/// Bed A is called A2 from now on. Its mattress is the one that was sprayed.
#[test]
fn a_wet_bed_that_gets_another_name_is_wet_all_the_same() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress A/frame", "10:00", "10:05", "FOUR");
    world.to("10:20");
    world.book(&[("101", "B"), ("101", "B A2")]);
    world.walks("W1");
    world.puts_right("101", "A2/mattress A2/frame");
    closed(&world, "A2 B");
}

/// The bed that stood in 102 at ten stands in 201 now, and it was 102 that was sprayed.
#[test]
fn a_spray_that_was_really_elsewhere_finds_the_bed_that_left_there_meanwhile() {
    let mut world = hospital();
    world.to("10:20");
    let wrong = world.sprays("101", "B/mattress", "10:00", "10:15", "FOUR");
    world.to("10:30");
    world.book(&[("102", ""), ("201", "D C")]);
    world.walks("W1");
    world.walks("W2");
    open(&world, "C D");
    world.to("10:50");
    world.ok("LEAD", really_in("101", "102", wrong));
    world.looks_through("201");
    closed(&world, "C");
}

#[test]
fn a_spray_that_was_really_elsewhere_finds_the_chair_that_left_there_meanwhile() {
    let mut world = hospital();
    world.to("10:20");
    let wrong = world.sprays("101", "chair", "10:00", "10:15", "FOUR");
    world.to("10:30");
    world.ok("HK", left("CH1", "102", "chair", Some("201")));
    world.ok("HK", came("CH1", "201", Some("102"), Known::No));
    world.looks_through("201");
    open(&world, "D");
    world.to("10:50");
    world.ok("LEAD", really_in("101", "102", wrong));
    world.looks_through("201");
    closed(&world, "D");
    world.to("15:00");
    world.puts_right("201", "CH1");
    open(&world, "D");
}

/// The frame was sprayed with the chair, and stands in another ward by the book when somebody says so.
#[test]
fn a_part_that_is_named_of_a_spray_after_its_bed_went_by_the_book_is_wet_where_it_is() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    a_goes_to_201(&mut world);
    world.to("10:50");
    world.ok("TECH", completed(&world, "101", spray, More { zones: Some("A/frame"), ..More::default() }));
    world.puts_right("201", "A/frame");
    closed(&world, "A");
    world.to("14:20");
    world.puts_right("201", "A/frame");
    open(&world, "A");
}

#[test]
fn a_late_noted_spray_finds_the_bed_that_went_by_the_book() {
    for unstated in [false, true] {
        let mut world = hospital();
        a_goes_to_201(&mut world);
        open(&world, "A B D");
        world.to("10:55");
        let (place, mut body) = world.again("101", "A/frame", Some("10:05"), "FOUR");
        if let (true, Body::Sprayed { zones, .. }) = (unstated, &mut body) {
            *zones = None;
        }
        world.ok_at("TECH", "10:00", (place, body));
        world.puts_right("201", "A/frame");
        closed(&world, "A");
        world.to("14:20");
        world.puts_right("201", "A/frame A/mattress");
        open(&world, "A");
    }
}

#[test]
fn a_late_noted_wiping_finds_the_bed_that_went_by_the_book() {
    for unstated in [false, true] {
        let mut world = hospital();
        world.to("09:10");
        world.sprays("101", "A/frame", "09:00", "09:05", "DRY");
        world.to("09:20");
        world.puts_right("101", "A/frame");
        open(&world, "A");
        a_goes_to_201(&mut world);
        world.puts_right("201", "A/frame");
        open(&world, "A");
        world.to("10:55");
        let all = || typed(&world, "entered-wet", "101", &[("wiping", "yes")]);
        let wiping = if unstated { all() } else { wiped("101", "A/frame") };
        world.ok_at("HK", "09:40", wiping);
        world.looks_through("201");
        closed(&world, "A");
    }
}

/// It was voided while the chair stood elsewhere; whoever looks in 101 sees nothing of that chair.
#[test]
fn a_look_after_a_void_that_comes_before_the_label_finds_nothing_of_what_left() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/mattress chair", "10:00", "10:05", "HOUR");
    world.to("10:12");
    world.ok("HK", left("CH1", "101", "chair", Some("201")));
    world.ok("HK", came("CH1", "201", Some("101"), Known::No));
    let void = world.ok("LEAD", world.void("101", spray));
    world.looks_through("201");
    closed(&world, "D");
    world.to("10:40");
    world.says("EYES", world.look("101", void));
    closed(&world, "A D");
}

/// What is said of the end after the check counts, also where an earlier end was said before it.
#[test]
fn the_latest_of_two_ends_takes_a_check_back() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.ok_at("TECH", "10:00", world.again("101", "A/frame", None, "HOUR"));
    world.to("10:11");
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("10:05"), ..More::default() }));
    world.to("11:12");
    world.puts_right("101", "A/frame");
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("10:40"), ..More::default() }));
    closed(&world, "A");
    world.to("11:50");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// Nobody knows what was noted of the bed before the computer was down, and it goes with its patient.
#[test]
fn a_bed_that_is_rolled_out_of_a_ward_with_a_gap_waits_for_its_walk() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("10:30");
    world.ok("NURSE", gap());
    let body = Body::PatientMoved {
        beds: vec![code("A")],
        went: Went::Bed,
        receiving: Some(code("201")),
        receiving_bed: None,
        outside: String::new(),
        washed_and_changed: Known::Yes,
        own_bed: true,
        things: vec!["W-1".to_owned()],
        answers: None,
    };
    world.ok("NURSE", (Place::Rooms(vec![code("101"), code("201")]), body));
    world.looks_through("201");
    closed(&world, "D");
    world.to("10:40");
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W2");
    world.looks_through("201");
    closed(&world, "A D");
}

#[test]
fn a_thing_out_of_a_ward_with_a_gap_waits_for_its_walk_however_it_is_noted() {
    for (known, from) in [(false, Some("101")), (true, None), (true, Some("101")), (true, Some("BATH"))] {
        let mut world = hospital();
        world.to("10:20");
        if known {
            world.ok("HK", left("CH1", "101", "chair", None));
        }
        world.to("10:30");
        world.ok("NURSE", gap());
        world.ok("HK", came("CH1", "201", from, Known::No));
        world.looks_through("201");
        assert!(!world.is_open("D"), "{known} {from:?}");
    }
}

/// Of which nobody said what it is: it may be what is wet in the room that it comes from.
#[test]
fn an_unknown_thing_out_of_a_room_that_may_be_wet_is_wet() {
    let sprayed = |world: &mut World| world.sprays("102", "chair", "10:00", "10:05", "FOUR");
    let damp = |world: &mut World| world.ok("HK", world.dry_check("102", "", "C/frame"));
    let wiped_there = |world: &mut World| world.ok("HK", wiped("102", "chair"));
    let voided = |world: &mut World| {
        let spray = world.sprays("102", "chair", "10:00", "10:05", "FOUR");
        world.ok("LEAD", world.void("102", spray))
    };
    let wrong_room = |world: &mut World| {
        let spray = world.sprays("101", "chair", "10:00", "10:05", "FOUR");
        world.ok("LEAD", really_in("101", "102", spray))
    };
    let makes: [&dyn Fn(&mut World) -> Number; 5] = [&sprayed, &damp, &wiped_there, &voided, &wrong_room];
    for make in makes {
        for (leaves, comes) in [(true, false), (false, true), (true, true)] {
            let mut world = hospital();
            world.to("10:10");
            make(&mut world);
            if leaves {
                world.ok("HK", left("CH2", "102", "", Some("201")));
            }
            if comes {
                world.ok("HK", came("CH2", "201", Some("102"), Known::No));
            }
            world.looks_through("201");
            closed(&world, "D");
            world.to("16:30");
            world.puts_right("201", "CH2");
            open(&world, "D");
        }
    }
}

/// One chair, two tags; or two chairs, one tag: wherever the wet one may be, somebody has to feel it.
#[test]
fn a_wet_chair_under_two_tags_or_with_another_ones_tag_closes_wherever_it_may_be() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.says("HK", left("CH2", "101", "chair", Some("201")));
    world.says("HK", came("CH2", "201", Some("101"), Known::No));
    world.looks_through("102");
    world.looks_through("201");
    closed(&world, "C D");
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::No));
    world.says("HK", left("CH1", "201", "chair", Some("102")));
    world.to("10:40");
    world.puts_right("102", "CH1");
    closed(&world, "C");
}

/// The mattresses of two beds change places, and the sprayed one is on the other bed's frame.
#[test]
fn a_wet_mattress_that_is_exchanged_for_another_closes_both_beds() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", left("M2", "102", "C/mattress", Some("101")));
    world.ok("HK", came("M2", "101", Some("102"), Known::No));
    world.ok("HK", came("M1", "102", Some("101"), Known::No));
    world.to("10:40");
    world.puts_right("101", "M2");
    world.puts_right("102", "M1");
    closed(&world, "A C");
}

/// The bed is where the book has it, its wet mattress in a third room, and it comes after.
#[test]
fn a_wet_mattress_that_follows_its_bed_is_wet_where_it_comes_to() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    a_goes_to_201(&mut world);
    world.puts_right("201", "A/mattress");
    closed(&world, "A C");
    world.ok("HK", left("M1", "102", "", Some("201")));
    world.ok("HK", came("M1", "201", Some("102"), Known::No));
    world.puts_right("201", "M1");
    closed(&world, "A D");
    world.to("14:20");
    world.puts_right("201", "M1");
    world.puts_right("201", "A/mattress");
    open(&world, "A D");
}

//! Beds and things that go to another room or ward while something of the old one is owed.

use dryhold::domain::entry::{Body, Known, Number, Place};

use super::super::rules::world::{World, code, left};
use super::{came, closed, hospital, open, stored};

/// Bed A by the book, walked and counted as after any setting.
fn a_goes_to(world: &mut World, room: &str) {
    let other = if room == "102" { ("102", "C A") } else { ("201", "D A") };
    world.book(&[("101", "B"), other]);
    let ward = if room == "102" { "W1" } else { "W2" };
    world.walks(ward);
}

fn looked(world: &mut World, void: Number) {
    for room in ["101", "102", "201"] {
        world.says("EYES", world.look(room, void));
    }
}

/// What goes by the book without anything owed opens where it comes to: so the stories below can fail.
#[test]
fn a_bed_that_nothing_is_owed_for_opens_in_its_new_room() {
    for room in ["102", "201"] {
        let mut world = hospital();
        world.to("10:00");
        a_goes_to(&mut world, room);
        open(&world, "A");
    }
}

/// Whoever voided the spray may be wrong: the mattress and the frame are as wet in 102 as they were in 101.
#[test]
fn a_bed_that_goes_before_the_second_persons_look_keeps_its_wetness() {
    for room in ["102", "201"] {
        let mut world = hospital();
        world.to("10:10");
        let spray = world.sprays("101", "A/mattress A/frame", "10:00", "10:05", "FOUR");
        world.to("10:15");
        let void = world.ok("LEAD", world.void("101", spray));
        world.to("10:20");
        a_goes_to(&mut world, room);
        looked(&mut world, void);
        closed(&world, if room == "102" { "A C" } else { "A D" });
        world.to("14:16");
        looked(&mut world, void);
        world.puts_right(room, "A/mattress A/frame");
        open(&world, "A");
    }
}

/// The same where it is voided once the bed stands elsewhere.
#[test]
fn a_spray_that_is_voided_after_the_bed_went_keeps_it_wet() {
    for room in ["102", "201"] {
        let mut world = hospital();
        world.to("10:10");
        let spray = world.sprays("101", "A/frame", "10:00", "10:05", "FOUR");
        world.to("10:15");
        a_goes_to(&mut world, room);
        closed(&world, "A");
        world.to("10:20");
        let void = world.ok("LEAD", world.void("101", spray));
        world.walks(if room == "102" { "W1" } else { "W2" });
        looked(&mut world, void);
        closed(&world, "A");
        world.to("14:21");
        looked(&mut world, void);
        world.puts_right(room, "A/frame");
        open(&world, "A");
    }
}

/// A frame that somebody felt damp is damp in its new room.
#[test]
fn a_damp_bed_that_goes_by_the_book_is_damp_where_it_comes_to() {
    for (room, part) in [("102", "A/frame"), ("201", "A/frame"), ("102", "A/mattress")] {
        let mut world = hospital();
        world.to("11:20");
        world.ok("HK", world.dry_check("101", "", part));
        world.to("11:30");
        a_goes_to(&mut world, room);
        closed(&world, if room == "102" { "A C" } else { "A D" });
        world.to("16:00");
        world.puts_right(room, part);
        open(&world, "A");
    }
}

/// Two beds change places between two wards in one go.
#[test]
fn a_damp_bed_that_is_exchanged_for_another_is_damp_where_it_comes_to() {
    let mut world = hospital();
    world.to("11:20");
    world.ok("HK", world.dry_check("101", "", "A/mattress"));
    world.to("11:30");
    world.book(&[("101", "B"), ("201", "A"), ("101", "B D")]);
    world.walks("W1");
    world.walks("W2");
    closed(&world, "A");
    world.to("16:00");
    world.puts_right("201", "A/mattress");
    open(&world, "A");
    // And back again before anybody felt it.
    let mut world = hospital();
    world.to("11:20");
    world.ok("HK", world.dry_check("101", "", "A/mattress"));
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W2");
    world.book(&[("201", "D"), ("101", "B A")]);
    world.walks("W1");
    world.walks("W2");
    closed(&world, "A");
}

/// It was another room that was felt: the frame in 102 was felt by nobody.
#[test]
fn a_check_that_is_voided_after_the_bed_went_closes_where_it_is() {
    for room in ["102", "201"] {
        let mut world = hospital();
        let check = felt_and_returned(&mut world, "A/frame");
        world.to("10:50");
        // It may have gone before it was felt, since nobody said when.
        a_goes_to(&mut world, room);
        world.to("11:20");
        world.ok("LEAD", world.void("101", check));
        closed(&world, if room == "102" { "A C" } else { "A D" });
        world.to("11:30");
        world.puts_right(room, "A/frame");
        open(&world, "A");
    }
}

/// The same of its mattress alone, which went under a tag; the bed itself is not whole.
#[test]
fn a_check_that_is_voided_after_the_mattress_went_closes_where_that_is() {
    let mut world = hospital();
    let check = felt_and_returned(&mut world, "A/mattress");
    world.to("10:50");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", left("M1", "102", "", Some("201")));
    world.ok("HK", came("M1", "201", Some("102"), Known::No));
    world.looks_through("201");
    open(&world, "D");
    world.to("11:20");
    world.ok("LEAD", world.void("101", check));
    world.looks_through("201");
    closed(&world, "A D");
    world.puts_right("201", "M1");
    open(&world, "D");
}

#[track_caller]
fn felt_and_returned(world: &mut World, part: &str) -> Number {
    world.to("10:10");
    world.sprays("101", part, "10:00", "10:05", "DRY");
    world.to("10:40");
    let check = world.ok("HK", world.dry_check("101", part, ""));
    world.puts_right("101", part);
    open(world, "A");
    check
}

fn gap(ward: &str) -> (Place, Body) {
    (Place::Ward(code(ward)), Body::Restored { reason: "the computer was down".to_owned() })
}

fn downtime(world: &World, from: &str, until: &str) -> (Place, Body) {
    let (from, until) = (world.at(from), world.at(until));
    (Place::Ward(code("W1")), Body::Downtime { from, until, sheets: "1 to 4".to_owned() })
}

/// Once a spray of the gap may be entered, the lead asks and walks.
#[track_caller]
fn walked_at_last(world: &mut World, clock: &str, beds: &str) {
    world.to(clock);
    for ward in ["W1", "W2"] {
        if world.says("LEAD", world.walk_of_gap(ward, "")).is_none() {
            world.says("LEAD", world.walk(ward));
        }
        world.counts(ward);
    }
    world.looks_through("201");
    open(world, beds);
}

/// What was noted of bed A before the computer was down may be gone: nobody knows whether it is wet.
#[test]
fn a_bed_of_a_ward_with_a_gap_waits_for_its_walk_in_the_other_ward_too() {
    let mut world = hospital();
    world.to("10:30");
    world.ok("NURSE", gap("W1"));
    a_goes_to(&mut world, "201");
    world.counts("W2");
    closed(&world, "A");
    walked_at_last(&mut world, "14:50", "A D");
}

/// The same of a downtime on paper, and of a bed that goes by way of another room of its ward.
#[test]
fn a_bed_of_a_ward_with_a_downtime_waits_for_its_walk_in_the_other_ward_too() {
    let mut world = hospital();
    world.to("10:31");
    world.ok("LEAD", downtime(&world, "08:00", "10:30"));
    world.book(&[("101", "B"), ("102", "C A")]);
    world.walks("W1");
    world.book(&[("102", "C"), ("201", "D A")]);
    world.walks("W2");
    closed(&world, "A B C");
    walked_at_last(&mut world, "15:00", "A B C D");
}

/// Nobody knows what was noted of the chair: it may be wet, whatever whoever rolled it says.
#[test]
fn a_thing_of_a_ward_with_a_gap_waits_for_its_walk_in_the_other_ward_too() {
    let mut world = hospital();
    world.to("10:30");
    world.ok("NURSE", gap("W1"));
    world.ok("HK", left("CH1", "101", "chair", Some("201")));
    world.ok("HK", came("CH1", "201", Some("101"), Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.to("14:50");
    world.puts_right("201", "CH1");
    walked_at_last(&mut world, "15:00", "D");
}

/// By two rooms of that ward and a store, of a downtime on paper.
#[test]
fn a_thing_that_goes_round_a_ward_with_a_downtime_waits_for_its_walk_too() {
    let mut world = hospital();
    world.to("10:31");
    world.ok("LEAD", downtime(&world, "08:00", "10:30"));
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", came("M1", "102", Some("101"), Known::No));
    world.ok("HK", stored("M1", "102", ""));
    world.ok("HK", came("M1", "201", None, Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.to("14:50");
    world.puts_right("201", "M1");
    walked_at_last(&mut world, "15:00", "D");
}

//! What was noted in the wrong room: whatever closed it closes the room where it really was, until that is settled there.

use dryhold::domain::entry::{BagEnd, Body, Known, Number, Place};
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

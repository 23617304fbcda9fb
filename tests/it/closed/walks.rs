//! Walks that are due because something came out of a ward with a gap, while the wards themselves change.

use dryhold::domain::entry::{Body, Known, Place};

use super::super::rules::world::{World, code, left};
use super::{came, closed, hospital, open};

fn gap(ward: &str) -> (Place, Body) {
    (Place::Ward(code(ward)), Body::Restored { reason: "the computer was down".to_owned() })
}

/// The chair CH1 of 101 went to 201, and nobody knows what was noted of W1 before.
fn with_gap() -> World {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", left("CH1", "101", "chair", Some("201")));
    world.ok("HK", came("CH1", "201", Some("101"), Known::No));
    world.looks_through("201");
    open(&world, "D");
    world.to("10:30");
    world.ok("NURSE", gap("W1"));
    closed(&world, "A D");
    world
}

fn goes_to_w2(world: &mut World, rooms: &str) {
    for room in rooms.split_whitespace() {
        match room {
            "101" => world.set_room("101", "W2", "patient-room", 5, "A B", ""),
            "102" => world.set_room("102", "W2", "patient-room", 6, "C", ""),
            _ => world.set_room("BATH", "W2", "bathroom", 7, "", "101 102"),
        }
    }
}

/// W1 has no rooms any more: what came from there waits for the walk of the ward that has them now.
#[test]
fn a_ward_that_has_no_rooms_any_more_is_walked_where_its_rooms_are() {
    let mut world = with_gap();
    goes_to_w2(&mut world, "101 102 BATH");
    world.to("14:40");
    assert_eq!(world.next_step("201"), "ward-walk");
    world.ok("LEAD", world.walk_of_gap("W2", ""));
    world.counts("W2");
    open(&world, "A B C D");
}

/// Only 101 is another ward's: walking what is left of W1 tells nothing of it.
#[test]
fn the_walk_of_the_rest_of_a_ward_tells_nothing_of_a_room_that_went_to_another() {
    let mut world = with_gap();
    goes_to_w2(&mut world, "101");
    world.to("14:40");
    world.ok("LEAD", world.walk_of_gap("W1", ""));
    world.counts("W1");
    world.counts("W2");
    closed(&world, "A D");
    world.ok("LEAD", world.walk_of_gap("W2", ""));
    world.counts("W2");
    open(&world, "A B C D");
}

/// 102 and 101 were of one ward when the chair went from one to the other; the walk of 102's tells of 102.
#[test]
fn a_room_that_shared_the_gap_waits_for_the_other_rooms_walk_too() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::No));
    world.looks_through("102");
    world.to("10:30");
    world.ok("NURSE", gap("W1"));
    goes_to_w2(&mut world, "101");
    world.to("14:40");
    world.ok("LEAD", world.walk_of_gap("W1", ""));
    world.counts("W1");
    closed(&world, "A C");
    world.ok("LEAD", world.walk_of_gap("W2", ""));
    world.counts("W2");
    open(&world, "A B C D");
}

//! What the hospital's book had at the time of a spray, and has no more when that is told: it stood in the room all the same.

use dryhold::domain::board::State;
use dryhold::domain::entry::{Body, Place};
use dryhold::domain::facility::ZonePlan;
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code};
use super::{closed, hospital, open, stored, typed};

/// The list of parts of patient rooms without this one, every ward walked.
fn takes_off_the_list(world: &mut World, part: &str) {
    let kind = code("patient-room");
    let plans: Vec<ZonePlan> = world.board.facility().zone_sets[&kind].clone();
    let zones = plans.into_iter().filter(|plan| plan.part != code(part)).collect();
    world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones }));
    world.walks("W1");
    world.walks("W2");
}

/// 101 was sprayed, and nobody says where.
fn sprayed_somewhere(world: &mut World, from: &str, until: &str) {
    let (place, mut body) = world.again("101", "A/mattress", Some(until), "HOUR");
    if let Body::Sprayed { zones, scope, .. } = &mut body {
        *zones = None;
        scope.clear();
    }
    world.ok_at("TECH", from, (place, body));
}

/// What the list has now is dry; what it had then was not felt.
#[test]
fn a_part_that_went_off_the_list_is_wet_by_a_spray_of_before_that_is_told_afterwards() {
    let mut opened = vec![];
    for (part, gone) in [("chair", "chair"), ("A/frame B/frame", "frame")] {
        let mut world = hospital();
        world.to("10:30");
        takes_off_the_list(&mut world, gone);
        open(&world, "A B C D");
        world.to("10:55");
        sprayed_somewhere(&mut world, "10:00", "10:05");
        world.to("11:10");
        let listed = world.parts("101");
        world.puts_right("101", &listed);
        if world.is_open("A") {
            opened.push(gone);
        }
        world.puts_right("101", part);
        open(&world, "A B");
    }
    assert_eq!(opened, [] as [&str; 0]);
}

/// What came off the list before the room was sprayed was no part of it any more.
#[test]
fn a_part_that_went_off_the_list_before_is_not_asked_for() {
    let mut world = hospital();
    world.to("10:10");
    takes_off_the_list(&mut world, "chair");
    world.to("10:55");
    sprayed_somewhere(&mut world, "10:40", "10:45");
    world.to("11:50");
    let listed = world.parts("101");
    world.puts_right("101", &listed);
    open(&world, "A B");
}

/// The room is one of another kind since.
#[test]
fn what_a_room_had_as_one_of_another_kind_is_wet_by_a_spray_of_before() {
    let mut world = hospital();
    world.to("10:30");
    world.set_room("101", "W1", "bathroom", 1, "A B", "");
    world.walks("W1");
    open(&world, "A B");
    world.to("10:55");
    sprayed_somewhere(&mut world, "10:00", "10:05");
    world.to("11:10");
    world.puts_right("101", "skirting");
    closed(&world, "A B");
    world.puts_right("101", "chair monitor A/mattress A/frame B/mattress B/frame");
    open(&world, "A B");
}

/// Bed A stood in 101 at ten, is on no room's list at half past, and on 201's at twenty past eleven.
#[test]
fn a_bed_that_was_on_the_rooms_list_is_wet_by_a_spray_of_before() {
    for kind in ["patient-room", "bathroom"] {
        let mut world = hospital();
        world.to("10:30");
        world.set_room("101", "W1", kind, 1, "B", "");
        world.walks("W1");
        world.to("10:55");
        sprayed_somewhere(&mut world, "10:00", "10:05");
        world.to("11:20");
        world.book(&[("201", "D A")]);
        world.walks("W2");
        world.says("HK", world.make("201", "A"));
        world.looks_through("201");
        world.says("LEAD", world.give_back("201"));
        closed(&world, "A");
        world.puts_right("201", "A/mattress A/frame");
        open(&world, "A D");
    }
}

/// The old chair is no part of the room any more because it was carried out; that is what is to be said of it.
#[test]
fn a_part_that_went_off_the_list_can_be_said_to_have_left() {
    let mut world = hospital();
    world.to("10:30");
    takes_off_the_list(&mut world, "chair");
    world.to("10:55");
    sprayed_somewhere(&mut world, "10:00", "10:05");
    world.to("11:10");
    let listed = world.parts("101");
    world.puts_right("101", &listed);
    closed(&world, "A B");
    world.ok_at("HK", "10:30", stored("CH9", "101", "chair"));
    world.puts_right("101", &listed);
    open(&world, "A B");
}

/// The table stood there when the room was sprayed, and came on the list while the room was wet.
#[test]
fn a_part_that_comes_on_the_list_while_the_room_is_wet_is_felt_too() {
    for per_bed in [false, true] {
        let mut world = hospital();
        world.to("10:10");
        sprayed_somewhere(&mut world, "10:00", "10:05");
        let before = world.parts("101");
        let kind = code("patient-room");
        let mut zones = world.board.facility().zone_sets[&kind].clone();
        let like = zones.iter().find(|plan| plan.part == code("frame")).expect("a part of the story").clone();
        zones.push(ZonePlan { part: code("table"), name: "table".to_owned(), per_bed, ..like });
        world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones }));
        world.walks("W1");
        world.walks("W2");
        world.to("11:10");
        world.puts_right("101", &before);
        closed(&world, "A");
        world.puts_right("101", if per_bed { "A/table B/table" } else { "table" });
        open(&world, "A B");
    }
}

/// Chairs are on no list any more when it is told that those of two rooms were sprayed: one that is dry says nothing of the other.
#[test]
fn parts_of_two_rooms_that_went_off_the_list_are_two() {
    let mut world = hospital();
    world.to("10:30");
    takes_off_the_list(&mut world, "chair");
    world.to("10:55");
    world.sprays("102", "chair", "10:00", "10:05", "HOUR");
    world.sprays("201", "chair", "10:00", "10:05", "HOUR");
    closed(&world, "C D");
    world.to("11:20");
    world.puts_right("102", "chair");
    open(&world, "C");
    assert_eq!(world.state("201"), State::TreatedWet);
    closed(&world, "D");
    world.puts_right("201", "chair");
    open(&world, "D");
}

/// Whoever tells of the time before names the parts of that time.
#[test]
fn what_went_off_the_list_can_be_named_of_the_time_before() {
    for (typed_as, gone) in [("chair", "chair"), ("A/frame", "frame")] {
        let mut world = hospital();
        world.to("10:30");
        takes_off_the_list(&mut world, gone);
        world.to("10:55");
        let given = [
            ("zones", typed_as),
            ("product", "HOUR"),
            ("purpose", "preventive"),
            ("finish", "10:05"),
            ("bags", "none"),
            ("patient-inside", "no"),
        ];
        let spray = typed(&world, "spray", "101", &given);
        world.ok_at("TECH", "10:00", spray);
        closed(&world, "A");
        world.to("11:10");
        let parts = format!("{} {typed_as}", world.parts("101"));
        world.puts_right("101", &parts);
        open(&world, "A B");
    }
    let mut world = hospital();
    world.to("10:30");
    takes_off_the_list(&mut world, "chair");
    world.to("10:55");
    // And no tag is called as they were.
    world.no("HK", super::super::rules::world::left("chair", "102", "", Some("201")), Rule::Receiving);
    let given = [("thing", "CH1"), ("zones", "chair"), ("to", "201")];
    let gone = typed(&world, "thing-left", "101", &given);
    world.ok_at("HK", "10:20", gone);
}

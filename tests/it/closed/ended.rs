//! What is asked for can be done, and opens: nobody is sent to do the same again and again.

use dryhold::domain::entry::{Body, Known, Number, Place};
use dryhold::domain::need::Need;

use super::super::rules::world::{World, code, left, zone, zones};
use super::{came, hospital, wiped};

fn step(world: &World, room: &str) -> (&'static str, String) {
    world.board.next_step(code(room), world.now).map(|step| (step.verb, step.text)).expect("a step")
}

fn asks(world: &World, room: &str, need: Need) -> bool {
    world.board.evidence(code(room)).iter().any(|it| it.need == need && it.met_by.is_none())
}

fn seen_here(tag: &str, room: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::ThingSeen { thing: tag.to_owned() })
}

/// What a bed left in stands under the bed's tag, each part by itself: felt by that tag all of them are found dry.
#[test]
fn parts_that_share_a_tag_are_each_found_dry_by_it() {
    let mut world = hospital();
    world.sprays("102", "C/mattress C/frame", "07:00", "07:10", "DRY");
    world.to("08:00");
    world.ok("HK", left("BED-1", "102", "C/mattress C/frame", Some("101")));
    world.ok("HK", came("BED-1", "101", Some("102"), Known::Yes));
    world.ok("HK", world.dry_check("101", "", "C/mattress C/frame"));
    world.to("08:30");
    world.ok("HK", world.dry_check("101", "BED-1", ""));
    for part in ["C/mattress", "C/frame", "BED-1"] {
        assert!(!asks(&world, "101", Need::Dry(zone(part))), "{part}");
    }
    world.puts_right("101", "");
    world.counts("W1");
    super::open(&world, "A B");
}

/// A part that was taken out of a bed under a tag of its own goes by that, and not by the tag of the bed that was told of later:
/// whoever feels the one has not seen the other.
#[test]
fn a_part_goes_by_its_own_tag_and_not_by_its_beds() {
    let mut world = hospital();
    world.sprays("102", "C/mattress C/frame", "07:00", "07:10", "DRY");
    world.to("08:30");
    world.ok("HK", seen_here("C/frame", "101"));
    world.ok("HK", left("T1", "101", "C/mattress", Some("201")));
    world.ok_at("HK", "08:00", left("BED-1", "102", "C/mattress C/frame", Some("101")));
    world.ok_at("HK", "08:00", came("BED-1", "101", Some("102"), Known::Yes));
    world.ok("HK", came("T1", "201", Some("101"), Known::Yes));
    let to_feel = |room: &str| world.board.room(code(room)).unwrap().dryness().to_feel();
    assert_eq!(to_feel("201"), zones("T1"));
}

/// A thing's arrival and leaving were mistakes, and it is asked for again while all there is dry by a touch from before. Touched
/// again, it is dry.
#[test]
fn what_is_dry_already_and_asked_for_again_is_felt_again() {
    let mut world = hospital();
    world.to("08:20");
    world.ok("HK", wiped("101", "chair"));
    let arrival = world.ok("HK", came("T1X", "101", Some("102"), Known::No));
    let leaving = world.ok("HK", left("T1X", "101", "chair", Some("201")));
    world.ok("HK", seen_here("chair", "101"));
    world.to("12:30");
    world.ok("HK", world.dry_check("101", "chair", ""));
    let void = |world: &mut World, entry: Number, rooms: &[&str]| {
        let place = Place::Rooms(rooms.iter().map(|room| code(room)).collect());
        world.ok("LEAD", (place, Body::Voided { entry, why: "a wrong tag".to_owned(), really_in: None }))
    };
    let voids = [void(&mut world, arrival, &["101", "102"]), void(&mut world, leaving, &["101", "201"])];
    for (room, void) in [("101", voids[0]), ("102", voids[0]), ("201", voids[1])] {
        world.says("EYES", world.look(room, void));
    }
    assert!(asks(&world, "101", Need::Dry(zone("chair"))), "the story is one");
    assert_eq!(step(&world, "101").0, "dry-check");
    world.ok("HK", world.dry_check("101", "chair", ""));
    world.puts_right("101", "chair");
    world.counts("W1");
    super::open(&world, "A B");
}

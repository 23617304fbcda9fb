//! What comes to light after something moved, was replaced or was felt: it is wet wherever it is now.

use dryhold::domain::entry::{Body, Known, OldPart, Place};

use super::super::rules::world::{ALL_101, World, code, left, zone};
use super::{More, came, closed, completed, hospital, open, stored, wiped, write_off};

fn seen(tag: &str, room: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::ThingSeen { thing: tag.to_owned() })
}

fn replaced(world: &World, room: &str, part: &str, by: Option<&str>, old: OldPart) -> (Place, Body) {
    let body = Body::PartReplaced {
        part: zone(part),
        by: by.map(code),
        old,
        reason: "torn".to_owned(),
        seen: world.seen(room),
    };
    (Place::room(code(room)), body)
}

fn checks_and_returns(world: &mut World, room: &str, felt: &str) {
    world.says("HK", world.dry_check(room, felt, ""));
    world.says("TECH", world.treat(room, felt));
    for part in felt.split_whitespace().chain(["chair"]) {
        world.says("HK", world.vacuum(room, part));
    }
    world.looks_through(room);
    world.says("LEAD", world.give_back(room));
}

fn unstated(mut what: (Place, Body)) -> (Place, Body) {
    if let Body::Sprayed { zones, .. } = &mut what.1 {
        *zones = None;
    }
    what
}

fn on_bed_d(new_one: bool) -> World {
    let mut world = hospital();
    world.to("09:10");
    world.sprays("101", "A/mattress chair", "09:00", "09:05", "DRY");
    world.to("09:20");
    world.puts_right("101", "A/mattress chair");
    world.to("10:00");
    world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
    world.ok("HK", came("M1", "201", Some("101"), Known::No));
    world.ok("LEAD", replaced(&world, "201", "D/mattress", Some("M1"), OldPart::Destroyed));
    world.ok("HK", world.make("201", "D"));
    world.looks_through("201");
    world.says("LEAD", world.give_back("201"));
    if new_one {
        world.ok("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Destroyed));
        world.says("HK", world.make("101", "A"));
        world.says("LEAD", world.give_back("101"));
        world.counts("W1");
        open(&world, "A");
    }
    open(&world, "D");
    world.to("10:40");
    world
}

/// The tagged mattress took the old one's place; a spray that is voided may have been of it.
#[test]
fn a_void_of_a_spray_of_a_part_that_was_replaced_waits_for_what_took_its_place() {
    // M1 (of 101/A) is on bed D now; what 101 was sprayed with is noted late.
    for unstated_zones in [true, false] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
        world.ok("HK", came("M1", "201", Some("101"), Known::No));
        world.ok("LEAD", replaced(&world, "201", "D/mattress", Some("M1"), OldPart::Destroyed));
        world.ok("HK", world.make("201", "D"));
        world.looks_through("201");
        world.says("LEAD", world.give_back("201"));
        open(&world, "D");
        world.to("10:30");
        let what = world.again("101", "A/mattress", Some("09:45"), "FOUR");
        world.ok_at("TECH", "09:40", if unstated_zones { unstated(what) } else { what });
        assert!(!world.is_open("D"), "unstated {unstated_zones}");
    }
}

/// The mattress of A is D's by now; it was sprayed, wiped or felt damp by the name that it had then.
#[test]
fn what_comes_to_light_of_a_mattress_wets_it_on_the_bed_that_it_is_a_part_of_now() {
    let mut opened = vec![];
    for new_one in [false, true] {
        for what in ["damp", "wiped", "completed", "void", "sprayed", "unstated"] {
            let mut world = on_bed_d(new_one);
            let number = |wanted: &dyn Fn(&Body) -> bool| {
                world.entries.iter().find(|entry| wanted(&entry.body)).map(|entry| entry.number).unwrap()
            };
            let check = number(&|body| matches!(body, Body::DryChecked { .. }));
            let spray = number(&|body| matches!(body, Body::Sprayed { .. }));
            match what {
                "damp" => {
                    let mut damp = world.dry_check("101", "", "A/mattress");
                    if let Body::DryChecked { began, .. } = &mut damp.1 {
                        *began = world.at("09:39");
                    }
                    world.says_at("HK", "09:40", damp)
                }
                "wiped" => world.says_at("HK", "09:40", wiped("101", "A/mattress")),
                "completed" => {
                    let more = More { finished: Some("09:58"), ..More::default() };
                    world.says("TECH", completed(&world, "101", spray, more))
                }
                "void" => world.says("LEAD", world.void("101", check)),
                "sprayed" => {
                    let what = world.again("101", "A/mattress", Some("09:45"), "FOUR");
                    world.says_at("TECH", "09:40", what)
                }
                _ => {
                    let what = unstated(world.again("101", "A/mattress", Some("09:45"), "FOUR"));
                    world.says_at("TECH", "09:40", what)
                }
            };
            world.looks_through("201");
            if world.is_open("D") {
                opened.push((what, new_one));
            }
        }
    }
    assert_eq!(opened, [] as [(&str, bool); 0]);
}

/// The wet mattress was lost, not destroyed: under its tag it turns up, and nobody felt it.
#[test]
fn what_was_called_destroyed_and_is_seen_again_is_wet() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
    world.to("10:20");
    world.ok("HK", left("M1", "101", "A/mattress", None));
    world.to("10:30");
    for ward in ["W1", "W2"] {
        world.ok("LEAD", world.walk(ward));
    }
    for by in ["LEAD", "IP"] {
        world.ok(by, write_off(&world, "101", "M1"));
    }
    world.ok("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Destroyed));
    world.to("10:50");
    world.says("HK", seen("M1", "102"));
    world.looks_through("102");
    closed(&world, "C");
}

/// The wet mattress stands in another room: nobody may say that it is no more.
#[test]
fn what_may_stand_elsewhere_is_not_called_destroyed() {
    let mut opened = vec![];
    for arrives in [false, true] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
        world.to("10:20");
        world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
        world.ok("HK", came("M1", "201", Some("101"), Known::Yes));
        world.to("10:30");
        world.says("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Destroyed));
        if arrives {
            world.says("HK", came("M1", "102", Some("201"), Known::No));
        } else {
            world.says("HK", seen("M1", "102"));
        }
        world.looks_through("102");
        if world.is_open("C") {
            opened.push(arrives);
        }
    }
    assert_eq!(opened, [] as [bool; 0]);
}

/// It lies wet beside a bed there, whatever is said of the bed that it was taken from.
#[test]
fn a_part_that_is_called_destroyed_dries_nothing_in_another_room() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
    world.to("10:20");
    world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
    world.ok("HK", came("M1", "201", Some("101"), Known::Yes));
    world.to("10:30");
    world.says("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Destroyed));
    checks_and_returns(&mut world, "201", "D/mattress");
    closed(&world, "D");
}

/// The spraying went on after the chair had come: it stood in it.
#[test]
fn what_came_before_the_spraying_ended_as_is_told_later_was_sprayed() {
    let mut world = hospital();
    world.to("10:31");
    let spray = world.ok_at("TECH", "10:00", unstated(world.again("101", "A/frame", Some("10:30"), "HOUR")));
    world.to("10:40");
    world.ok("HK", left("CH1", "201", "chair", Some("101")));
    world.ok("HK", came("CH1", "101", Some("201"), Known::No));
    world.to("11:20");
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("11:15"), ..More::default() }));
    world.to("12:20");
    world.puts_right("101", ALL_101);
    closed(&world, "A B");
}

/// The same where nobody had said when it ended.
#[test]
fn what_came_before_the_spraying_ended_as_is_told_at_last_was_sprayed() {
    let mut world = hospital();
    world.to("10:31");
    let spray = world.ok_at("TECH", "10:00", unstated(world.again("101", "A/frame", None, "HOUR")));
    world.to("10:40");
    world.ok("HK", left("CH1", "201", "chair", Some("101")));
    world.ok("HK", came("CH1", "101", Some("201"), Known::No));
    world.to("11:20");
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("11:15"), ..More::default() }));
    world.to("12:30");
    world.puts_right("101", ALL_101);
    closed(&world, "A B");
}

/// It may have stood there since it was last told of.
#[test]
fn what_is_seen_where_nobody_noted_that_it_came_may_have_been_sprayed_there() {
    let mut opened = vec![];
    for how in ["seen", "check"] {
        let mut world = hospital();
        world.to("08:00");
        world.ok("HK", left("CH1", "101", "chair", Some("102")));
        world.ok("HK", came("CH1", "102", Some("101"), Known::No));
        world.looks_through("102");
        world.to("10:10");
        world.ok_at("TECH", "10:00", unstated(world.again("201", "D/frame", Some("10:05"), "HOUR")));
        world.to("10:20");
        match how {
            "seen" => world.says("HK", seen("CH1", "201")),
            _ => world.says("HK", world.dry_check("201", "CH1", "")),
        };
        world.to("11:10");
        world.puts_right("201", "D/mattress D/frame chair monitor");
        if world.is_open("D") {
            opened.push(how);
        }
    }
    assert_eq!(opened, [] as [&str; 0]);
}

/// The same of a bed with all its parts.
#[test]
fn a_bed_that_is_seen_where_nobody_noted_that_it_came_may_have_been_sprayed_there() {
    let mut world = hospital();
    world.to("10:10");
    world.ok_at("TECH", "10:00", unstated(world.again("201", "D/frame", Some("10:05"), "HOUR")));
    world.to("10:20");
    world.ok("HK", seen("A", "201"));
    world.to("11:10");
    world.puts_right("201", "D/mattress D/frame chair monitor");
    closed(&world, "D");
}

/// A wet chair went to a store, and a chair under another tag comes, nobody says from where.
#[test]
fn an_unknown_thing_from_nowhere_may_be_the_wet_one_that_is_in_no_room() {
    // CH1 (wet) goes to a store, and comes back under another tag.
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.ok("HK", stored("CH1", "101", "chair"));
    world.to("10:20");
    world.ok("HK", came("CH9", "201", None, Known::No));
    world.looks_through("201");
    closed(&world, "D");
}

//! Beds that nobody made since their linens were sprayed: beds that left, beds that stood by as guests, beds made on what was wet.

use dryhold::domain::entry::{Body, Known, Place, Sign, Went};
use dryhold::domain::facility::ZonePlan;

use super::super::rules::world::{World, code, left};
use super::{came, closed, hospital, open, stored};

pub(super) fn rolls(world: &mut World, bed: &str, from: &str, to: &str) {
    world.ok("HK", left(bed, from, "", Some(to)));
    world.ok("HK", came(bed, to, Some(from), Known::No));
}

pub(super) fn checks_and_returns(world: &mut World, room: &str, felt: &str) {
    world.says("HK", world.dry_check(room, felt, ""));
    world.says("TECH", world.treat(room, felt));
    for part in felt.split_whitespace().chain(["chair"]) {
        world.says("HK", world.vacuum(room, part));
    }
    world.looks_through(room);
    world.says("LEAD", world.give_back(room));
}

/// All that is left to do, by the program's word, is to make these beds.
#[track_caller]
fn ends_well(world: &mut World, room: &str, beds: &str) {
    assert_eq!(world.next_step(room), "make-bed");
    for bed in beds.split_whitespace() {
        world.ok("HK", world.make(room, bed));
    }
    assert_eq!(world.next_step(room), "return");
    world.ok("LEAD", world.give_back(room));
    world.counts("W1");
    world.counts("W2");
    open(world, beds);
}

fn unstated(mut what: (Place, Body)) -> (Place, Body) {
    if let Body::Sprayed { zones, .. } = &mut what.1 {
        *zones = None;
    }
    what
}

/// Its linens lay in the room while any part of it was sprayed, and went along.
#[test]
fn a_bed_that_went_by_the_book_is_made_after_a_spray_that_is_noted_late() {
    let mut opened = vec![];
    for part in ["chair", "A/frame", "B/frame"] {
        let mut world = hospital();
        world.to("10:30");
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.walks("W2");
        world.to("10:55");
        world.sprays("101", part, "10:00", "10:05", "HOUR");
        world.to("11:20");
        checks_and_returns(&mut world, "201", "A/frame");
        match world.is_open("A") {
            true => opened.push(part),
            false => ends_well(&mut world, "201", "A"),
        }
    }
    assert_eq!(opened, [] as [&str; 0]);
}

/// Its own mattress was sprayed where it stood as a guest.
#[test]
fn a_guest_that_was_sprayed_is_made() {
    let mut world = hospital();
    world.to("09:00");
    rolls(&mut world, "A", "101", "201");
    world.looks_through("201");
    world.to("10:10");
    world.sprays("201", "A/mattress A/frame D/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("201", "A/mattress A/frame D/frame");
    rolls(&mut world, "A", "201", "101");
    world.looks_through("101");
    world.counts("W1");
    closed(&world, "A");
    ends_well(&mut world, "101", "A");
}

/// Nobody said what was sprayed: the guest may have been.
#[test]
fn a_guest_is_made_after_a_spray_of_which_nobody_said_what_it_hit() {
    let mut world = hospital();
    world.to("09:00");
    rolls(&mut world, "A", "101", "201");
    world.looks_through("201");
    world.to("10:10");
    world.ok_at("TECH", "10:00", unstated(world.again("201", "D/frame", Some("10:05"), "HOUR")));
    world.to("11:10");
    world.puts_right("201", "A/mattress A/frame D/mattress D/frame chair monitor");
    rolls(&mut world, "A", "201", "101");
    world.looks_through("101");
    world.counts("W1");
    closed(&world, "A");
    ends_well(&mut world, "101", "A");
}

/// Only the other bed was sprayed, and the guest's linens lay beside it.
#[test]
fn a_guest_that_stood_by_is_made() {
    let mut world = hospital();
    world.to("09:00");
    rolls(&mut world, "A", "101", "201");
    world.looks_through("201");
    world.to("10:10");
    world.sprays("201", "D/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("201", "D/frame");
    rolls(&mut world, "A", "201", "101");
    world.looks_through("101");
    world.counts("W1");
    closed(&world, "A");
    ends_well(&mut world, "101", "A");
}

/// It was away when the spray was noted, and came home with the same linens.
#[test]
fn a_bed_that_left_and_came_back_is_made_after_a_spray_that_is_noted_late() {
    let mut world = hospital();
    world.to("10:30");
    rolls(&mut world, "A", "101", "201");
    world.looks_through("201");
    world.to("10:55");
    world.sprays("101", "A/mattress B/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    checks_and_returns(&mut world, "201", "A/mattress");
    world.says("HK", world.dry_check("101", "B/frame", ""));
    world.says("HK", world.make("101", "B"));
    checks_and_returns(&mut world, "101", "B/frame");
    rolls(&mut world, "A", "201", "101");
    world.looks_through("101");
    world.counts("W1");
    closed(&world, "A");
    ends_well(&mut world, "101", "A");
}

/// Fresh linens on a frame that is wet for another hour.
#[test]
fn a_bed_that_was_made_on_a_wet_frame_is_made_again() {
    let mut world = hospital();
    world.to("10:07");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.says("HK", world.make("101", "A"));
    world.says("HK", world.make("101", "B"));
    world.to("11:10");
    checks_and_returns(&mut world, "101", "A/frame");
    closed(&world, "A");
    ends_well(&mut world, "101", "A B");
}

/// Nothing of it but that it was put into a store before anybody made it; `first`: a journey before the spray.
#[track_caller]
fn out_of_the_store(first: bool, late: bool, comes_to: &str) {
    let mut world = hospital();
    world.to("09:00");
    if first {
        rolls(&mut world, "A", "101", "201");
        rolls(&mut world, "A", "201", "101");
        world.looks_through("101");
        world.looks_through("201");
    }
    world.to("10:10");
    if !late {
        world.sprays("101", "A/frame B/frame", "10:00", "10:05", "HOUR");
    }
    world.ok("HK", stored("A", "101", ""));
    world.to("10:30");
    if late {
        world.sprays("101", "A/frame B/frame", "10:00", "10:05", "HOUR");
    }
    world.to("11:10");
    // The other bed opens without it.
    world.ok("HK", world.dry_check("101", "B/frame", ""));
    world.ok("HK", world.make("101", "B"));
    checks_and_returns(&mut world, "101", "B/frame");
    open(&world, "B");
    assert_eq!(world.next_step("101"), "thing-arrived");
    world.to("11:30");
    world.ok("HK", came("A", comes_to, None, Known::No));
    world.looks_through(comes_to);
    if comes_to == "201" {
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.walks("W2");
    }
    world.counts("W1");
    world.ok("HK", world.dry_check(comes_to, "A/frame", ""));
    checks_and_returns(&mut world, comes_to, "A/frame");
    closed(&world, "A");
    ends_well(&mut world, comes_to, "A");
}

#[test]
fn a_bed_that_was_in_a_store_is_made_where_it_comes_to() {
    for first in [false, true] {
        for late in [false, true] {
            for comes_to in ["101", "201"] {
                println!("{first} {late} {comes_to}");
                out_of_the_store(first, late, comes_to);
            }
        }
    }
}

/// Its frame was to be treated, and nobody has.
#[test]
fn a_bed_that_was_in_a_store_is_treated_where_it_comes_to() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("TECH", world.spray("101", "B/mattress B/frame chair", ""));
    world.ok("HK", stored("A", "101", ""));
    world.to("12:30");
    world.says("TECH", world.treat("101", "monitor"));
    world.ok("HK", world.dry_check("101", "B/mattress B/frame chair", ""));
    world.ok("HK", world.make("101", "B"));
    checks_and_returns(&mut world, "101", "B/mattress");
    open(&world, "B");
    world.ok("HK", came("A", "101", None, Known::No));
    world.looks_through("101");
    world.says("HK", world.make("101", "A"));
    world.says("LEAD", world.give_back("101"));
    world.counts("W1");
    closed(&world, "A");
    world.puts_right("101", "A/mattress A/frame");
    world.counts("W1");
    open(&world, "A B");
}

/// The list has no parts of beds.
fn without_parts() -> World {
    let mut world = hospital();
    let kind = code("patient-room");
    let plans: Vec<ZonePlan> = world.board.facility().zone_sets[&kind].clone();
    let zones = plans.into_iter().filter(|plan| !plan.per_bed).collect();
    world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones }));
    world.walks("W1");
    world.walks("W2");
    world
}

/// A bed of which the list has no part is made where it went, whichever way that was noted.
#[test]
fn a_bed_without_parts_takes_along_that_it_is_to_be_made() {
    let mut opened = vec![];
    for way in ["thing", "book", "patient", "store"] {
        let mut world = without_parts();
        world.to("10:10");
        world.sprays("101", "chair", "10:00", "10:05", "DRY");
        world.to("10:20");
        match way {
            "thing" => rolls(&mut world, "A", "101", "201"),
            "book" => {}
            "patient" => {
                let body = Body::PatientMoved {
                    beds: vec![code("A")],
                    went: Went::Bed,
                    receiving: Some(code("201")),
                    receiving_bed: None,
                    outside: String::new(),
                    washed_and_changed: Known::Yes,
                    own_bed: true,
                    things: vec![],
                    answers: None,
                };
                world.ok("NURSE", (Place::Rooms(vec![code("101"), code("201")]), body));
            }
            _ => {
                world.ok("HK", stored("A", "101", ""));
                world.ok("HK", came("A", "201", None, Known::No));
            }
        }
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.walks("W2");
        world.says("HK", world.make("101", "B"));
        checks_and_returns(&mut world, "101", "chair");
        open(&world, "B");
        world.to("10:40");
        checks_and_returns(&mut world, "201", "A/bed");
        world.counts("W2");
        match world.is_open("A") {
            true => opened.push(way),
            false => ends_well(&mut world, "201", "A"),
        }
    }
    assert_eq!(opened, [] as [&str; 0]);
}

//! Checks and looks that dry nothing: half of them taken back, their clocks wrong, an end told that they did not wait for; and gaps that go along.

use dryhold::domain::entry::{Body, Known, Number, Place, WhichClock};

use super::super::rules::clocks::{House, hours};
use super::super::rules::world::{ALL_101, World, code, left};
use super::{More, came, closed, completed, hospital, on_the_list, stored, typed};

fn handed_over() -> (Place, Body) {
    (Place::Ward(code("W2")), Body::HandedOver { text: "all quiet".to_owned() })
}

fn rolls(world: &mut World, bed: &str, from: &str, to: &str) {
    world.ok("HK", left(bed, from, "", Some(to)));
    world.ok("HK", came(bed, to, Some(from), Known::No));
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

fn taken_out(world: &World, entry: Number) -> (Place, Body) {
    let place = Place::room(code("101"));
    let seen = world.board.newest_of(&place);
    (place, Body::TimeTakenOut { entry, words: "by the wall".to_owned(), seen })
}

fn fast_house() -> House {
    let mut house = House::open(&[("fast", hours(4))]);
    for (name, minutes) in [("DRY", 0), ("FOUR", 240)] {
        house.at("desk", "LEAD", |_| on_the_list(name, minutes));
    }
    house.to("10:05");
    house.at("desk", "TECH", |world| world.again("101", "A/frame", Some("10:05"), "FOUR"));
    house
}

fn all_at(house: &mut House, terminal: &str, felt: &str) {
    for (by, what) in [("HK", 0), ("TECH", 1), ("HK", 3), ("HK", 4), ("LEAD", 5), ("NURSE", 6)] {
        let done = house.try_at(terminal, by, |world| match what {
            0 => world.dry_check("101", felt, ""),
            1 => world.treat("101", felt),
            3 => world.make("101", "A"),
            4 => world.make("101", "B"),
            5 => world.give_back("101"),
            _ => world.empty("W1", "A B C"),
        });
        if let Err(no) = done {
            println!("{terminal} {by}: {} {no}", no.rule());
        }
    }
}

/// The spraying ended later than the check allows, whatever clock is called wrong afterwards.
#[test]
fn an_end_that_was_told_outlives_what_is_said_of_another_clock() {
    let mut house = House::open(&[("slow", hours(-3)), ("old", hours(-2))]);
    house.to("10:00");
    let spray = house.spray("slow");
    house.says("slow", "TECH", WhichClock::This);
    house.to("10:10");
    house.at("desk", "NURSE", |_| handed_over());
    house.to("11:20");
    house.at("desk", "TECH", |world| {
        completed(world, "101", spray, More { finished: Some("11:15"), ..More::default() })
    });
    house.at("old", "NURSE", |_| handed_over());
    house.says("old", "NURSE", WhichClock::This);
    house.to("12:30");
    for (by, what) in [("HK", 0), ("TECH", 1), ("HK", 2), ("HK", 3), ("HK", 4), ("LEAD", 5)] {
        let _ = house.try_at("desk", by, |world| match what {
            0 => world.dry_check("101", "A/mattress A/frame B/mattress B/frame chair", ""),
            1 => world.treat("101", ALL_101),
            2 => world.vacuum("101", "chair"),
            3 => world.make("101", "A"),
            4 => world.make("101", "B"),
            _ => world.give_back("101"),
        });
    }
    house.count("desk");
    assert!(!house.is_open("A"), "sprayed until a quarter past eleven, with two hours on its label");
}

/// The time of the spray's own entry is taken out; the end was told by another clock.
#[test]
fn an_end_that_was_told_outlives_the_time_that_is_taken_out() {
    let mut world = hospital();
    world.to("10:06");
    let spray = world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("10:10");
    world.ok("NURSE", handed_over());
    world.to("11:20");
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("11:15"), ..More::default() }));
    for by in ["LEAD", "IP"] {
        world.ok(by, taken_out(&world, spray));
    }
    world.to("11:30");
    world.puts_right("101", "A/frame");
    world.counts("W1");
    closed(&world, "A");
}

/// The frame was felt a quarter of an hour after the spray, by a clock four hours ahead.
#[test]
fn a_look_does_not_cover_an_early_check_of_a_wrong_clock() {
    let mut house = fast_house();
    house.to("10:20");
    house.at("fast", "HK", |world| world.dry_check("101", "A/frame", ""));
    let again = house.at("fast", "TECH", |world| {
        let now = world.now.format("%H:%M").to_string();
        world.again("101", "A/frame", Some(&now), "DRY")
    });
    let void = house.at("fast", "LEAD", |world| world.void("101", again));
    house.at("fast", "EYES", |world| world.look("101", void));
    house.to("10:40");
    house.at("desk", "NURSE", |_| handed_over());
    house.says("desk", "NURSE", WhichClock::Other);
    house.to("10:50");
    all_at(&mut house, "desk", "");
    all_at(&mut house, "desk", "A/frame");
    house.to("14:30");
    let _ = house.try_at("desk", "EYES", |world| world.look("101", void));
    all_at(&mut house, "desk", "");
    assert!(!house.is_open("A"), "its four hours began at five past ten");
}

/// The look came too early, and the bed is in another room by now.
#[test]
fn a_look_by_a_wrong_clock_dries_nothing_where_the_bed_went() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.at("desk", "LEAD", |_| on_the_list("FOUR", 240));
    house.to("10:05");
    let spray = house.at("desk", "TECH", |world| world.again("101", "A/frame", Some("10:05"), "FOUR"));
    let void = house.at("desk", "LEAD", |world| world.void("101", spray));
    house.to("10:20");
    house.at("fast", "EYES", |world| world.look("101", void));
    house.at("fast", "HK", |_| left("A", "101", "", Some("201")));
    house.at("fast", "HK", |_| came("A", "201", Some("101"), Known::No));
    house.at("fast", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.to("10:40");
    house.at("desk", "NURSE", |_| handed_over());
    house.says("desk", "NURSE", WhichClock::Other);
    house.to("10:50");
    let _ = house.try_at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("desk");
    house.to("14:30");
    let _ = house.try_at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("desk");
    assert!(!house.is_open("D"), "{:?}", house.closed_by("D"));
}

/// The bed may stand in two rooms, and one of the two checks was of another frame.
#[test]
fn half_of_a_check_that_is_voided_is_no_half() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.says("HK", world.make("101", "A"));
    world.to("10:30");
    world.book(&[("101", "B"), ("102", "C A")]);
    world.to("11:10");
    let first = world.ok("HK", world.dry_check("101", "A/frame", ""));
    world.ok("LEAD", world.void("101", first));
    world.ok("HK", world.dry_check("102", "A/frame", ""));
    world.walks("W1");
    for room in ["101", "102"] {
        checks_and_returns(&mut world, room, "chair");
    }
    for bed in ["A", "C"] {
        world.says("HK", world.make("102", bed));
    }
    world.says("LEAD", world.give_back("102"));
    closed(&world, "A");
}

/// Entries of that room alone are missing: a spray may be among them, and the chair or bed stands next door by now.
#[test]
fn a_gap_of_one_room_goes_along_within_its_ward() {
    let mut opened = vec![];
    for downtime in [false, true] {
        for bed in [false, true] {
            let mut world = hospital();
            world.to("10:30");
            let room = Place::room(code("101"));
            if downtime {
                let (from, until) = (world.at("08:00"), world.at("10:29"));
                world.ok("LEAD", (room, Body::Downtime { from, until, sheets: "1".to_owned() }));
            } else {
                world.ok("NURSE", (room, Body::Restored { reason: "the computer was down".to_owned() }));
            }
            if bed {
                rolls(&mut world, "A", "101", "102");
            } else {
                world.ok("HK", left("CH1", "101", "chair", Some("102")));
                world.ok("HK", came("CH1", "102", Some("101"), Known::No));
            }
            world.looks_through("102");
            if world.is_open("C") {
                opened.push((downtime, bed));
            }
        }
    }
    assert_eq!(opened, [] as [(bool, bool); 0]);
}

/// The same by the command line's own words.
#[test]
fn a_gap_that_is_typed_for_a_room_goes_along_within_its_ward() {
    for (verb, given) in [
        ("gap", vec![("reason", "the computer was down from eight to ten")]),
        ("downtime", vec![("from", "08:00"), ("until", "10:00"), ("sheets", "1")]),
    ] {
        let mut world = hospital();
        world.to("10:30");
        let what = typed(&world, verb, "101", &given);
        world.ok("LEAD", what);
        world.ok("HK", left("CH1", "101", "chair", Some("102")));
        world.ok("HK", came("CH1", "102", Some("101"), Known::No));
        world.looks_through("102");
        closed(&world, "C");
    }
}

/// Nobody could see it on the walk, and it may have been sprayed in the gap.
#[test]
fn what_was_in_a_store_when_its_ward_was_walked_is_wet_until_it_is_felt() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", stored("CH1", "101", "chair"));
    world.to("10:30");
    world.ok("NURSE", (Place::Ward(code("W1")), Body::Restored { reason: "the computer was down".to_owned() }));
    world.to("14:40");
    world.ok("LEAD", world.walk_of_gap("W1", ""));
    world.counts("W1");
    world.counts("W2");
    world.to("15:00");
    world.ok("HK", came("CH1", "201", None, Known::No));
    world.looks_through("201");
    closed(&world, "D");
}

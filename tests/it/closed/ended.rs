//! What is asked for can be done, and opens: nobody is sent to do the same again and again.

use chrono::TimeDelta;
use dryhold::domain::entry::{Body, Known, Number, Place, WhichClock};
use dryhold::domain::moves::{find, prefill};
use dryhold::domain::need::Need;

use super::super::rules::clocks::{House, hours};
use super::super::rules::world::{World, code, left, zone, zones};
use super::{asks, came, closed, hospital, seen_here, wiped};

fn step(world: &World, room: &str) -> (&'static str, String) {
    world.board.next_step(code(room), world.now).map(|step| (step.verb, step.text)).expect("a step")
}

fn taken_out(world: &mut World, entry: Number, room: &str) {
    for person in ["LEAD", "IP"] {
        let (place, words) = (Place::room(code(room)), "by the wall clock".to_owned());
        let seen = world.board.newest_of(&place);
        world.ok(person, (place, Body::TimeTakenOut { entry, words, seen }));
    }
}

fn unended(world: &World, room: &str, parts: &str, until: Option<TimeDelta>) -> (Place, Body) {
    let (place, mut body) = world.again(room, parts, None, "RSA");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = until.map(|ago| world.now - ago);
    }
    (place, body)
}

/// A clock four hours ahead noted the end of a spray. The bed that comes to light as having stood by is made after that hour, and no
/// sooner: whoever makes it before is told until when to wait, and by which entry.
#[test]
fn linens_that_wait_for_a_wrong_clock_are_waited_for_by_name() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.world.book(&[("102", ""), ("201", "D C")]);
    for ward in ["W1", "W2"] {
        house.world.walks(ward);
    }
    let half = TimeDelta::minutes(30);
    let spray = house.since("fast", "TECH", half, |world| unended(world, "102", "chair", Some(TimeDelta::zero())));
    house.says("desk", "NURSE", WhichClock::Other);
    house.at("desk", "HK", |world| world.make("201", "C"));
    assert!(asks(&house.world, "201", Need::Made(code("C"))));
    let (verb, text) = step(&house.world, "201");
    assert_eq!(verb, "wrong-time", "{text}");
    assert!(text.starts_with("wait until 13:0") && text.contains(&format!("gave entry {spray}")), "{text}");
    assert!(!house.is_open("C"));
    // Two people take that time out: it was made since.
    let mut sooner = house.world.clone();
    taken_out(&mut sooner, spray, "102");
    assert_eq!(step(&sooner, "201").0, "return");
    assert!(!asks(&sooner, "201", Need::Made(code("C"))));
    house.to("13:10");
    assert_eq!(step(&house.world, "201").0, "make-bed");
    house.at("desk", "HK", |world| world.make("201", "C"));
    house.at("desk", "LEAD", |world| world.give_back("201"));
    house.at("desk", "NURSE", |world| world.empty("W2", "C D"));
    assert!(house.is_open("C") && house.is_open("D"));
}

/// The bed was felt by the clock that was ahead: it is made after that hour, or after two people have taken it out.
#[test]
fn linens_that_wait_for_a_check_by_a_wrong_clock_are_waited_for_by_name() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.at("desk", "HK", |_| wiped("201", "D/mattress"));
    house.to("09:30");
    house.at("desk", "NURSE", |world| world.empty("W1", "A B C"));
    let check = house.at("fast", "HK", |world| world.dry_check("201", "D/mattress", ""));
    house.says("desk", "NURSE", WhichClock::Other);
    house.at("desk", "TECH", |world| world.treat("201", "D/mattress"));
    house.at("desk", "HK", |world| world.make("201", "D"));
    let (verb, text) = step(&house.world, "201");
    assert_eq!(verb, "wrong-time", "{text}");
    assert!(text.starts_with("wait until 13:3") && text.contains(&format!("gave entry {check}")), "{text}");
    let mut sooner = house.world.clone();
    taken_out(&mut sooner, check, "201");
    assert_eq!(step(&sooner, "201").0, "return");
    assert!(!asks(&sooner, "201", Need::Made(code("D"))));
    house.to("13:40");
    house.at("desk", "HK", |world| world.make("201", "D"));
    house.at("desk", "LEAD", |world| world.give_back("201"));
    house.count("desk");
    house.all_open();
}

/// Two beds are to be made, and one of them waits for the hour of a wrong clock: the step and its form name the other.
#[test]
fn of_two_beds_the_one_is_named_that_can_be_made_now() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.world.book(&[("102", ""), ("201", "C D")]);
    for ward in ["W1", "W2"] {
        house.world.walks(ward);
    }
    house
        .since("fast", "TECH", TimeDelta::minutes(30), |world| unended(world, "102", "chair", Some(TimeDelta::zero())));
    house.says("desk", "NURSE", WhichClock::Other);
    house.at("desk", "HK", |world| world.prepare("201", ""));
    house.at("desk", "HK", |world| world.make("201", "C"));
    let (verb, text) = step(&house.world, "201");
    assert_eq!((verb, text.as_str()), ("make-bed", "1 bed to make: D"));
    let form = prefill(find("make-bed").unwrap(), code("201"), &house.world.board, house.world.now);
    assert_eq!(form.get("bed"), Some("D"));
}

/// Of two sprays that left something unsaid one waits for the hour of a wrong clock: the form is about the other.
#[test]
fn of_two_sprays_the_one_is_filled_in_that_can_be_completed_now() {
    let mut house = House::open(&[("fast", hours(4))]);
    let first = house.at("desk", "TECH", |world| unended(world, "201", "chair", None));
    let ahead = house.at("fast", "TECH", |world| unended(world, "201", "D/frame", None));
    house.says("desk", "NURSE", WhichClock::Other);
    let spray = |house: &House| -> Option<String> {
        let form = prefill(find("complete-spray").unwrap(), code("201"), &house.world.board, house.world.now);
        form.get("spray").map(str::to_owned)
    };
    assert_eq!(step(&house.world, "201").0, "complete-spray");
    assert_eq!(spray(&house), Some(first.to_string()));
    house.to("13:10");
    assert_eq!(spray(&house), Some(ahead.to_string()));
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
    // All of a bed is that bed: it is made where it stands.
    closed(&world, "A B");
    world.ok("HK", world.make("101", "C"));
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
    let to_feel = |world: &World, room: &str| world.board.room(code(room)).unwrap().dryness().to_feel();
    assert_eq!(to_feel(&world, "201"), zones("T1"));
    world.ok("HK", world.dry_check("101", "BED-1", ""));
    assert_eq!(to_feel(&world, "201"), zones("T1"), "nobody has seen it in 101");
    world.ok("HK", world.dry_check("201", "T1", ""));
    for room in ["101", "201"] {
        assert!(!asks(&world, room, Need::Dry(zone("T1"))), "{room}");
    }
}

/// What was seen here under its tag, and went on under it, is not surely here: whoever does not find it is told what to look for.
#[test]
fn what_went_on_since_it_was_seen_is_looked_for_and_found_by_what_carries_another_tag() {
    let mut world = hospital();
    world.sprays("102", "chair", "07:00", "07:10", "DRY");
    world.to("08:00");
    world.ok("HK", came("T1", "101", Some("102"), Known::Yes));
    world.ok("HK", world.dry_check("101", "T1", ""));
    world.looks_through("101");
    world.ok("LEAD", world.give_back("101"));
    world.to("09:30");
    world.ok("HK", left("T1", "101", "chair", Some("201")));
    world.ok_at("HK", "07:59", left("T1", "102", "chair", Some("101")));
    world.ok("HK", came("T1", "201", Some("101"), Known::No));
    world.ok("HK", left("T2", "101", "chair", Some("102")));
    world.ok("HK", seen_here("T1", "201"));
    let (verb, text) = step(&world, "101");
    assert_eq!(verb, "thing-seen", "{text}");
    assert!(text.contains("tag T1 may be on chair of 101 (also under tag T2) or chair of 102"), "{text}");
    world.ok("HK", seen_here("T2", "102"));
    assert_eq!(step(&world, "101").0, "thing-seen");
    world.ok("HK", seen_here("T1", "201"));
    assert!(!asks(&world, "101", Need::Dry(zone("T1"))));
    assert!(asks(&world, "201", Need::Dry(zone("T1"))), "it is felt where it is");
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

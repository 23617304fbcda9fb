//! Linens of whoever lay in a bed when it was sprayed, whatever room the bed and the patient are in by the book, and what was
//! bagged of them.

use chrono::TimeDelta;
use dryhold::domain::entry::{BagEnd, Body, Known, Number, Place, WhichClock};
use dryhold::domain::need::Need;

use super::super::rules::clocks::House;
use super::super::rules::world::{ALL_102, World, code, left};
use super::made::rolls;
use super::{More, asks, closed, completed, hospital, on_the_list, open, really_in, seen_here, typed, wiped};

fn ended(room: &str, bag: &str, end: BagEnd) -> (Place, Body) {
    (Place::room(code(room)), Body::BagEnded { bag: code(bag), end })
}

/// The program asks for a bag of linens; it is named and washed, and all is well.
#[track_caller]
fn names_a_bag(world: &mut World, room: &str, of: Number, felt: &str) {
    assert_eq!(world.next_step(room), "complete-spray");
    world.ok("TECH", completed(world, room, of, More { bags: Some("BAG3"), ..More::default() }));
    assert_eq!(world.next_step(room), "launder");
    washes(world, room, "BAG3", felt);
}

#[track_caller]
fn washes(world: &mut World, room: &str, bag: &str, felt: &str) {
    world.ok("WASH", world.launder(room, bag));
    world.puts_right(room, felt);
    world.counts("W1");
    world.counts("W2");
}

/// It was only looked through, and its preparation was over: what is in it lay in the room at the spray.
#[test]
fn a_bag_that_was_settled_before_its_spray_was_noted_is_washed() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.ok("HK", ended("101", "BAG7", BagEnd::Inspected));
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    let body = Body::NothingApplied { reason: "put off".to_owned(), seen: world.seen("101") };
    world.ok("HK", (Place::room(code("101")), body));
    world.counts("W1");
    open(&world, "A B");
    world.to("10:40");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    assert_eq!(world.next_step("101"), "launder");
    washes(&mut world, "101", "BAG7", "A/frame");
    open(&world, "A B");
}

/// The bed was sprayed in 101, and stripped in 201.
#[test]
fn a_bag_that_was_filled_where_the_sprayed_bed_went_is_washed() {
    let mut world = hospital();
    world.to("10:10");
    let (place, mut body) = world.again("101", "A/frame A/mattress", Some("10:05"), "HOUR");
    if let Body::Sprayed { bags, .. } = &mut body {
        *bags = None;
    }
    world.ok_at("TECH", "10:00", (place, body));
    world.to("10:20");
    rolls(&mut world, "A", "101", "201");
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W1");
    world.walks("W2");
    world.to("10:40");
    world.ok("HK", world.prepare("201", "BAG9"));
    world.to("11:10");
    world.says("HK", ended("201", "BAG9", BagEnd::Inspected));
    world.puts_right("201", "A/frame A/mattress");
    closed(&world, "A D");
    washes(&mut world, "201", "BAG9", "A/frame A/mattress");
    open(&world, "A D");
}

/// What is in it lay in the room while it was sprayed.
#[test]
fn a_bag_that_was_filled_after_the_room_dried_is_washed() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.ok("HK", world.dry_check("101", "A/frame", ""));
    world.ok("HK", world.prepare("101", "BAG8"));
    world.ok("HK", ended("101", "BAG8", BagEnd::Inspected));
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    assert_eq!(world.next_step("101"), "launder");
    world.to("12:00");
    washes(&mut world, "101", "BAG8", "A/frame");
    open(&world, "A B");
}

/// The spray was in the room of a patient after all, by a void or by what a walk found.
#[test]
fn linens_in_use_where_a_spray_really_was_go_into_a_bag() {
    let mut opened = vec![];
    for when in ["void", "walk"] {
        let mut world = hospital();
        world.to("08:00");
        world.ok("NURSE", world.occupied("102", "C"));
        world.to("10:20");
        let by = if when == "void" {
            let spray = world.sprays("101", "B/frame", "10:00", "10:15", "HOUR");
            world.ok("LEAD", really_in("101", "102", spray))
        } else {
            let (place, mut body) = world.walk("W1");
            if let Body::WardWalked { words, wet, .. } = &mut body {
                *words = Some("told".to_owned());
                *wet = Some(vec![code("102")]);
            }
            world.ok("LEAD", (place, body))
        };
        world.to("10:30");
        world.counts("W1");
        let more = More { bags: Some(""), finished: Some("10:15"), minutes: Some(60), ..More::default() };
        world.says("TECH", completed(&world, "102", by, more));
        world.to("12:00");
        world.puts_right("102", ALL_102);
        if world.is_open("C") {
            opened.push(when);
            continue;
        }
        let more = More { bags: Some("BAG3"), finished: Some("10:15"), minutes: Some(60), ..More::default() };
        world.ok("TECH", completed(&world, "102", by, more));
        world.to("13:30");
        washes(&mut world, "102", "BAG3", ALL_102);
        open(&world, "C");
    }
    assert_eq!(opened, [] as [&str; 0]);
}

/// The bed went with its patient, and was sprayed over where it stands now.
#[test]
fn a_patient_in_a_bed_that_went_lies_in_its_new_room() {
    let mut opened = vec![];
    for how in ["book", "rolled"] {
        let mut world = hospital();
        world.to("08:00");
        world.ok("NURSE", world.occupied("101", "A"));
        world.to("09:00");
        if how == "rolled" {
            let what = typed(&world, "move-patient", "A", &[("went", "bed"), ("to", "201"), ("own-bed", "yes")]);
            world.ok("NURSE", what);
        }
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.says("LEAD", world.walk("W2"));
        world.to("10:10");
        let sprayed = world.says_at("TECH", "10:00", world.again("201", "D/frame", Some("10:05"), "HOUR"));
        world.to("11:10");
        world.counts("W2");
        world.puts_right("201", "D/frame");
        if sprayed.is_some() && world.is_open("A") {
            opened.push(how);
        }
        // It happened over the patient, and is said so.
        let (place, mut body) = world.again("201", "D/frame", Some("10:05"), "HOUR");
        if let Body::Sprayed { patient_inside, .. } = &mut body {
            *patient_inside = Known::Yes;
        }
        let spray = world.ok_at("TECH", "10:00", (place, body));
        world.ok("HK", world.dry_check("201", "D/frame", ""));
        world.ok("HK", world.make("201", "A"));
        names_a_bag(&mut world, "201", spray, "D/frame");
        open(&world, "A D");
    }
    assert_eq!(opened, [] as [&str; 0]);
}

/// Somebody came to lie in the room, and had left it before the spray was noted.
#[test]
fn a_patient_of_whom_nobody_said_in_which_bed_lay_in_linens() {
    let mut world = hospital();
    world.to("08:00");
    world.ok("NURSE", world.occupied("102", "C"));
    let what = typed(&world, "move-patient", "C", &[("went", "bed"), ("to", "101")]);
    world.ok_at("NURSE", "08:00", what);
    world.to("09:00");
    world.counts("W1");
    open(&world, "A B");
    world.to("09:30");
    let spray = world.sprays("101", "A/frame", "08:30", "08:35", "HOUR");
    world.to("09:40");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    names_a_bag(&mut world, "101", spray, "A/frame");
    open(&world, "A B");
}

/// The bed is another room's by the book when it is noted who lay in it.
#[test]
fn who_lay_there_is_noted_after_the_bed_went_by_the_book() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("101", "A/frame");
    open(&world, "A B");
    world.to("11:20");
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W1");
    world.walks("W2");
    world.to("11:30");
    world.puts_right("201", "A/frame");
    world.says("LEAD", world.give_back("101"));
    open(&world, "A");
    world.to("11:50");
    world.ok_at("NURSE", "09:30", world.occupied("201", "A"));
    world.counts("W2");
    closed(&world, "A B");
    names_a_bag(&mut world, "101", spray, "A/frame");
    open(&world, "B");
    assert_eq!(world.next_step("201"), "make-bed");
    world.puts_right("201", "A/frame");
    open(&world, "A D");
}

/// They came while it was still being sprayed, as it turns out.
#[test]
fn a_patient_who_came_before_the_end_that_is_told_later_lay_in_linens() {
    let mut opened = vec![];
    for told_first in [false, true] {
        let mut world = hospital();
        world.to("10:31");
        let spray = world.sprays("101", "A/frame", "10:00", "10:30", "HOUR");
        world.to("10:45");
        if !told_first {
            world.ok("NURSE", world.occupied("101", "A"));
        }
        world.to("11:20");
        world.ok("TECH", completed(&world, "101", spray, More { finished: Some("11:15"), ..More::default() }));
        if told_first {
            world.ok_at("NURSE", "10:45", world.occupied("101", "A"));
        }
        world.to("12:20");
        world.counts("W1");
        world.puts_right("101", "A/frame");
        match world.is_open("A") {
            true => opened.push(told_first),
            false => {
                names_a_bag(&mut world, "101", spray, "A/frame");
                open(&world, "A B");
            }
        }
    }
    assert_eq!(opened, [] as [bool; 0]);
}

/// That the mattress was sprayed, too, comes to light after the bed was made on it: it is made anew.
#[test]
fn a_bed_whose_mattress_is_named_of_a_spray_afterwards_is_made_anew() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "chair", "10:00", "10:05", "DRY");
    world.puts_right("101", "chair");
    open(&world, "A");
    world.ok("TECH", completed(&world, "101", spray, More { zones: Some("A/mattress"), ..More::default() }));
    world.ok("HK", world.dry_check("101", "A/mattress", ""));
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
    world.puts_right("101", "A/mattress");
    open(&world, "A B");
}

/// That A was empty is taken back: whoever lay in it lay there when the room was sprayed, whenever it was taken back.
#[test]
fn who_did_not_leave_after_all_lay_there_when_it_was_sprayed() {
    let mut world = hospital();
    world.to("09:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("09:30");
    let wrong = world.ok("NURSE", world.empty("W1", "A"));
    world.to("10:10");
    let spray = world.sprays("101", "chair", "10:00", "10:05", "DRY");
    world.to("10:20");
    world.ok("LEAD", (Place::Ward(code("W1")), world.void("101", wrong).1));
    world.to("10:30");
    world.ok("NURSE", world.empty("W1", "A"));
    world.puts_right("101", "chair");
    closed(&world, "A");
    names_a_bag(&mut world, "101", spray, "chair");
    open(&world, "A B");
}

/// The same where somebody came to lie in it since, so that nothing else rests on the wrong note.
#[test]
fn who_did_not_leave_lay_there_also_where_somebody_came_since() {
    let mut world = hospital();
    world.to("09:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("09:30");
    let wrong = world.ok("NURSE", world.empty("W1", "A"));
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "DRY");
    world.puts_right("101", "chair");
    open(&world, "A");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("10:30");
    world.ok("LEAD", (Place::Ward(code("W1")), world.void("101", wrong).1));
    assert!(asks(&world, "101", Need::LinensNamed), "{:?}", world.blockers("A"));
}

/// A made bed stands in 201, where its mattress is found damp, or is wiped: dry or not, it is made anew.
#[test]
fn a_bed_whose_mattress_got_damp_in_another_room_is_made_anew() {
    for is_wiped in [false, true] {
        let mut world = hospital();
        world.to("09:00");
        world.ok("HK", left("A", "101", "", Some("201")));
        world.ok("HK", seen_here("A", "201"));
        world.to("09:30");
        match is_wiped {
            true => world.ok("HK", wiped("201", "A/mattress")),
            false => world.ok("HK", world.dry_check("201", "", "A/mattress")),
        };
        world.to("14:00");
        world.puts_right("201", "A/mattress");
        world.ok("HK", left("A", "201", "", Some("101")));
        world.ok("HK", seen_here("A", "101"));
        world.puts_right("201", "A/mattress");
        world.looks_through("101");
        closed(&world, "A");
        world.ok("HK", world.make("101", "A"));
        world.says("LEAD", world.give_back("101"));
        open(&world, "A B D");
    }
}

/// The spray hit a chair, and the bed came afterwards: its linens were in a wet room. What was bagged before that, or since it was
/// made anew, was not.
#[test]
fn what_lay_on_a_bed_that_stood_in_a_wet_room_is_washed() {
    for (bagged, is_treated) in [("before", false), ("there", true), ("after", true), ("once made anew", false)] {
        let mut world = hospital();
        let bags = |world: &mut World, room: &str| {
            world.ok("HK", world.prepare(room, "BAG7"));
            world.ok("HK", ended(room, "BAG7", BagEnd::Inspected));
        };
        let goes = |world: &mut World, at: &str, from: &str, to: &str| {
            world.to(at);
            world.ok("HK", left("C", from, "", Some(to)));
            world.ok("HK", seen_here("C", to));
        };
        world.to("10:10");
        world.sprays("201", "chair", "10:00", "10:05", "HOUR");
        if bagged == "before" {
            bags(&mut world, "102");
        }
        goes(&mut world, "10:20", "102", "201");
        if bagged == "there" {
            bags(&mut world, "201");
        }
        goes(&mut world, "10:30", "201", "102");
        world.to("10:40");
        if bagged == "once made anew" {
            world.ok("HK", world.prepare("102", ""));
            world.ok("HK", world.make("102", "C"));
            world.to("10:50");
        }
        if ["after", "once made anew"].contains(&bagged) {
            bags(&mut world, "102");
        }
        world.says("HK", world.make("102", "C"));
        world.looks_through("102");
        let body = Body::NothingApplied { reason: "put off".to_owned(), seen: world.seen("102") };
        world.says("HK", (Place::room(code("102")), body));
        world.counts("W1");
        world.to("11:20");
        world.puts_right("201", "chair");
        let room = if bagged == "there" { "201" } else { "102" };
        let bed = if bagged == "there" { "D" } else { "C" };
        assert_eq!(world.is_open(bed), !is_treated, "{bagged}: {:?}", world.blockers(bed));
        if is_treated {
            assert_eq!(world.next_step(room), "launder", "{bagged}");
            washes(&mut world, room, "BAG7", "chair");
        }
        open(&world, "C D");
    }
}

/// The bed went on and was stripped, and all of that was settled, before the spray of its first room came to light.
#[test]
fn what_was_bagged_where_a_bed_went_before_its_spray_came_to_light_is_washed() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", left("A", "101", "", Some("201")));
    world.ok("HK", seen_here("A", "201"));
    world.ok("HK", world.prepare("201", "BAG7"));
    world.ok("HK", ended("201", "BAG7", BagEnd::Inspected));
    world.to("10:30");
    world.ok("HK", world.make("201", "D"));
    world.says("HK", world.make("201", "A"));
    world.looks_through("201");
    let body = Body::NothingApplied { reason: "put off".to_owned(), seen: world.seen("201") };
    world.ok("HK", (Place::room(code("201")), body));
    world.says("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
    world.to("11:00");
    world.sprays("101", "chair", "10:00", "10:05", "DRY");
    closed(&world, "D");
    assert!(asks(&world, "201", Need::Bag(code("BAG7"))));
    washes(&mut world, "201", "BAG7", "");
    world.says("HK", world.make("201", "A"));
    world.says("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
}

/// Everything was sprayed, and the bedding is named of it later, when a bag of another spray is known; that spray is voided, and its bag
/// with it.
#[test]
fn bedding_that_was_named_of_a_spray_of_everything_goes_into_a_bag() {
    let mut world = hospital();
    world.to("10:10");
    let (place, mut body) = world.again("102", "C/bedding", Some("10:05"), "DRY");
    if let Body::Sprayed { zones, scope, .. } = &mut body {
        (*zones, *scope) = (None, vec![]);
    }
    let first = world.ok_at("TECH", "10:00", (place, body));
    let (place, mut body) = world.again("102", "C/bedding", Some("10:09"), "DRY");
    if let Body::Sprayed { bags, .. } = &mut body {
        *bags = Some(vec![code("BAG2")]);
    }
    let wrong = world.ok_at("TECH", "10:08", (place, body));
    let named = More { zones: Some("C/bedding"), ..More::default() };
    let named = completed(&world, "102", first, named);
    world.ok("TECH", named);
    world.to("10:20");
    let void = world.ok("LEAD", world.void("102", wrong));
    world.ok("IP", world.look("102", void));
    assert!(asks(&world, "102", Need::LinensNamed));
    let parts = format!("{} C/bedding", world.parts("102"));
    world.puts_right("102", &parts);
    closed(&world, "C");
    world.to("12:00");
    names_a_bag(&mut world, "102", first, "");
    open(&world, "C");
}

/// Somebody lay in bed A by a clock that was called wrong since, and the bed may have been rolled into 201 before that was sprayed. That
/// no linens were in use was said by whoever knew of nobody.
#[test]
fn who_lay_by_the_times_left_in_a_bed_that_went_lay_where_it_went() {
    let mut house = House::open(&[("slow", TimeDelta::hours(-3))]);
    house.world.ok("LEAD", on_the_list("DRY", 0));
    house.to("09:30");
    house.at("slow", "NURSE", |world| world.occupied("101", "A"));
    house.to("10:10");
    let (place, mut body) = house.world.again("201", "chair", Some("10:05"), "DRY");
    if let Body::Sprayed { bags, .. } = &mut body {
        *bags = None;
    }
    let spray = house.world.ok_at("TECH", "10:00", (place, body));
    let none = completed(&house.world, "201", spray, More { bags: Some(""), ..More::default() });
    house.world.ok("TECH", none);
    house.to("10:20");
    house.world.book(&[("101", "B"), ("201", "D A")]);
    assert!(!asks(&house.world, "201", Need::LinensNamed));
    house.says("slow", "HK", WhichClock::This);
    assert!(asks(&house.world, "201", Need::LinensNamed), "of entry {spray}");
}

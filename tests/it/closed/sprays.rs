//! What was said of a spray afterwards, in another room, or not at all.

use dryhold::domain::entry::{Body, Known, Number, Sign};
use dryhold::domain::need::Need;

use super::super::rules::world::{ALL_101, ALL_102, World, left, zone, zones};
use super::{More, asks, came, closed, completed, hospital, on_the_list, open, really_in, typed};

fn ended(world: &World, spray: Number, clock: &str) -> (dryhold::domain::entry::Place, Body) {
    completed(world, "101", spray, More { finished: Some(clock), ..More::default() })
}

/// The frame was sprayed until 11:15, so that its hour is over at 12:15, whatever was noted first.
#[test]
fn an_end_that_is_told_afterwards_puts_off_the_check() {
    let mut world = hospital();
    world.to("10:40");
    let spray = world.sprays("101", "A/frame", "10:00", "10:30", "HOUR");
    world.to("11:20");
    world.ok("TECH", ended(&world, spray, "11:15"));
    world.to("11:31");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.to("12:16");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// It was felt fifteen minutes after the spraying really ended: wet under its label, though all was signed.
#[test]
fn an_end_that_is_told_after_the_return_closes_again() {
    let mut world = hospital();
    world.to("10:40");
    let spray = world.sprays("101", "A/frame", "10:00", "10:30", "HOUR");
    world.to("11:31");
    world.puts_right("101", "A/frame");
    open(&world, "A");
    world.ok("TECH", ended(&world, spray, "11:15"));
    closed(&world, "A");
    world.to("12:16");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// One of two labels is the can's. Until it is known which, the longer one keeps people out.
#[test]
fn of_two_labels_for_one_spray_the_longer_counts() {
    label_said(&[0, 240]);
}

#[test]
fn of_three_labels_the_longest_counts_wherever_it_stands() {
    label_said(&[240, 0, 60]);
    label_said(&[60, 240, 0]);
}

#[track_caller]
fn label_said(minutes: &[u32]) {
    let mut world = hospital();
    world.to("09:10");
    let spray = world.sprays("102", "C/frame", "09:00", "09:05", "NOWORDS");
    for minutes in minutes {
        let said = More { minutes: Some(*minutes), ..More::default() };
        world.ok("TECH", completed(&world, "102", spray, said));
    }
    world.to("10:20");
    world.puts_right("102", "C/frame");
    closed(&world, "C");
    world.to("13:30");
    world.puts_right("102", "C/frame");
    open(&world, "C");
}

/// The chair of 102 is wet from a spray that was noted next door. That its bed frame was sprayed later dries no chair.
#[test]
fn a_spray_that_was_really_elsewhere_is_not_swallowed_by_a_later_one_there() {
    let mut world = hospital();
    world.to("10:20");
    let wrong = world.sprays("101", "chair", "10:00", "10:15", "HOUR");
    world.to("10:40");
    world.sprays("102", "C/frame", "10:30", "10:35", "HOUR");
    world.to("10:50");
    let void = world.ok("LEAD", really_in("101", "102", wrong));
    world.to("11:40");
    world.puts_right("102", "C/frame");
    closed(&world, "C");
    // Nobody said which parts of 102 it was.
    without_linens(&mut world, void);
    world.to("11:52");
    world.puts_right("102", ALL_102);
    open(&world, "C");
}

/// The same where the room's own spray was over and signed before anybody knew.
#[test]
fn a_spray_that_was_really_elsewhere_closes_a_room_that_was_returned_meanwhile() {
    let mut world = hospital();
    world.to("10:20");
    let wrong = world.sprays("201", "D/mattress chair", "10:00", "10:15", "FOUR");
    world.to("10:40");
    world.sprays("102", "C/frame", "10:30", "10:35", "HOUR");
    world.to("11:40");
    world.puts_right("102", "C/frame");
    open(&world, "C");
    let void = world.ok("LEAD", really_in("201", "102", wrong));
    without_linens(&mut world, void);
    world.puts_right("102", "C/mattress chair");
    closed(&world, "C");
    world.to("16:00");
    world.puts_right("102", ALL_102);
    open(&world, "C");
}

fn without_linens(world: &mut World, spray: Number) {
    world.ok("TECH", completed(world, "102", spray, More { bags: Some(""), ..More::default() }));
}

/// What was sprayed for four hours stays so when the list says less the next minute.
#[test]
fn a_look_after_a_void_waits_for_the_label_of_the_spray_and_not_of_todays_list() {
    list_is_lowered("FOUR");
}

/// Nobody knows what was sprayed: it may have been the longest of all that was ever on the list.
#[test]
fn a_look_after_the_void_of_an_unknown_product_waits_for_the_longest_label_there_ever_was() {
    list_is_lowered("NOWORDS");
}

#[track_caller]
fn list_is_lowered(product: &str) {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.ok_at("TECH", "10:00", world.again("102", "C/mattress", None, product));
    let void = world.ok("LEAD", world.void("102", spray));
    world.says("EYES", world.look("102", void));
    for product in ["FOUR", "HOUR", "RSA"] {
        world.ok("LEAD", on_the_list(product, 0));
    }
    world.says("EYES", world.look("102", void));
    closed(&world, "C");
    world.to("14:10");
    world.says("EYES", world.look("102", void));
    closed(&world, "C");
    world.to("14:20");
    world.says("EYES", world.look("102", void));
    open(&world, "C");
}

/// 101 sprayed all over, nobody said where; what stands in it besides is wet with it.
fn sprayed_all_over(world: &mut World) {
    world.to("08:00");
    let (place, mut body) = world.again("101", "A/mattress chair", Some("08:00"), "FOUR");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    world.ok_at("TECH", "07:30", (place, body));
    world.to("12:01");
}

/// A chair of 201 stands in 101: the spray reached it, and it is no part of the room's list.
#[test]
fn a_spray_of_unstated_parts_wets_a_thing_of_another_room_that_stands_there() {
    let mut world = hospital();
    world.ok("HK", left("CH1", "201", "chair", Some("101")));
    world.ok("HK", came("CH1", "101", Some("201"), Known::No));
    world.looks_through("101");
    open(&world, "A B");
    sprayed_all_over(&mut world);
    world.puts_right("101", ALL_101);
    closed(&world, "A B");
    world.puts_right("101", "CH1");
    open(&world, "A B");
}

/// The same of something of which nobody said where it comes from, and of a mattress.
#[test]
fn a_spray_of_unstated_parts_wets_whatever_came_and_has_a_tag() {
    let mut world = hospital();
    world.ok("HK", came("TROLLEY-1", "101", None, Known::No));
    world.ok("HK", left("M1", "201", "D/mattress", Some("101")));
    world.looks_through("101");
    sprayed_all_over(&mut world);
    world.puts_right("101", ALL_101);
    closed(&world, "A B");
    world.puts_right("101", "M1");
    closed(&world, "A B");
    world.puts_right("101", "TROLLEY-1");
    open(&world, "A B");
}

/// Wiping spreads what is wet. Where nobody says over what, it is over everything that stands there.
#[test]
fn wiping_of_unstated_parts_wets_a_thing_of_another_room_that_stands_there() {
    thing_is_wiped("chair", "CH1", "yes");
}

/// Nobody knows whether anything was wiped: it was.
#[test]
fn wiping_that_nobody_knows_of_wets_a_mattress_of_another_room_that_stands_there() {
    thing_is_wiped("D/mattress", "M1", "unknown");
}

#[track_caller]
fn thing_is_wiped(part: &str, tag: &str, wiping: &str) {
    let mut world = hospital();
    world.to("09:10");
    world.sprays("201", part, "09:00", "09:05", "DRY");
    world.ok("HK", left(tag, "201", part, Some("101")));
    world.ok("HK", came(tag, "101", Some("201"), Known::Yes));
    world.to("09:40");
    world.puts_right("101", tag);
    open(&world, "A");
    world.to("09:50");
    world.ok("HK", typed(&world, "entered-wet", "101", &[("wiping", wiping)]));
    assert!(zones(tag).iter().all(|it| !ALL_101.contains(&it.to_string())), "{tag} is none of the room's own");
    world.to("10:10");
    world.puts_right("101", ALL_101);
    closed(&world, "A B");
    world.puts_right("101", tag);
    open(&world, "A B");
}

/// Somebody who may not void what closes takes back that it was sprayed: the spray stays wet, and treats nothing, whatever is named of it
/// afterwards.
#[test]
fn more_of_a_spray_that_anybody_took_back_treats_nothing() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("EYES", world.finding("101", &[Sign::CastSkin]));
    world.to("10:30");
    let (place, mut body) = world.spray("101", "", "");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    let spray = world.ok_at("TECH", "10:10", (place, body));
    let more = More { zones: Some(ALL_101), ..More::default() };
    world.ok("TECH", completed(&world, "101", spray, more));
    assert!(!asks(&world, "101", Need::Covered(zone("chair"))));
    let (place, void) = world.void("101", spray);
    world.raw("HK", place, void);
    assert!(asks(&world, "101", Need::Covered(zone("chair"))));
    let more = More { zones: Some(ALL_101), ..More::default() };
    world.says("LEAD", completed(&world, "101", spray, more));
    assert!(asks(&world, "101", Need::Covered(zone("chair"))));
    closed(&world, "A B");
}

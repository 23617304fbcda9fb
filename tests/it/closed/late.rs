//! What comes to light of a thing after it left: that it was sprayed again, sprayed at all, wiped, or not where it was felt.

use dryhold::domain::entry::{Body, Known, Place};

use super::super::rules::world::{ALL_101, World, left};
use super::{More, came, closed, completed, hospital, open, stored, typed, wiped};

/// A thing of 101 that was sprayed for an hour, left at 10:30, and was found dry in 102 at 11:10: C is open.
fn found_dry(part: &str, tag: &str) -> World {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", part, "10:00", "10:05", "HOUR");
    world.to("10:30");
    world.ok("HK", left(tag, "101", part, Some("102")));
    world.to("11:10");
    world.puts_right("102", tag);
    open(&world, "C");
    world
}

/// It was sprayed a second time before it left, and that label ran on when it was felt.
#[test]
fn a_second_spray_that_is_noted_late_takes_the_check_back_where_the_thing_went() {
    let mut world = found_dry("chair", "CH1");
    world.to("11:40");
    world.sprays("101", "chair", "10:15", "10:25", "FOUR");
    closed(&world, "C");
    world.puts_right("102", "CH1");
    closed(&world, "C");
    world.to("14:26");
    world.puts_right("102", "CH1");
    open(&world, "C");
}

/// The second spray was all over the room, and the thing is in its third room by now.
#[test]
fn a_second_spray_of_unstated_parts_takes_the_check_back_a_room_further_on() {
    for (part, tag) in [("chair", "CH1"), ("A/mattress", "M1")] {
        let mut world = found_dry(part, tag);
        world.ok("HK", left(tag, "102", "", Some("201")));
        world.ok("HK", came(tag, "201", Some("102"), Known::No));
        world.looks_through("201");
        open(&world, "D");
        world.to("11:40");
        let (place, mut body) = world.again("101", "B/mattress", Some("10:25"), "FOUR");
        if let Body::Sprayed { zones, .. } = &mut body {
            *zones = None;
        }
        world.ok_at("TECH", "10:15", (place, body));
        closed(&world, "A B D");
        world.puts_right("201", tag);
        closed(&world, "D");
        world.to("14:26");
        world.puts_right("201", tag);
        open(&world, "D");
    }
}

/// The chair was sprayed with the frame, and left before anybody said so.
#[test]
fn a_part_that_is_named_of_a_spray_after_it_left_is_wet_where_it_went() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/frame", "10:00", "10:05", "FOUR");
    world.to("10:30");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.to("10:50");
    world.ok("TECH", completed(&world, "101", spray, More { zones: Some("chair"), ..More::default() }));
    world.looks_through("102");
    closed(&world, "C");
    world.to("14:06");
    world.puts_right("102", "CH1");
    open(&world, "C");
}

/// The same of a mattress two rooms on, whose room was inspected before it was said.
#[test]
fn a_mattress_that_is_named_of_a_spray_two_rooms_later_is_wet_where_it_is() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "B/frame", "10:00", "10:05", "FOUR");
    world.to("10:30");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", left("M1", "102", "", Some("201")));
    world.ok("HK", came("M1", "201", Some("102"), Known::No));
    world.to("10:50");
    world.puts_right("201", "M1");
    world.ok("TECH", completed(&world, "101", spray, More { zones: Some("A/mattress"), ..More::default() }));
    world.puts_right("201", "M1");
    closed(&world, "D");
    world.to("14:06");
    world.puts_right("201", "M1");
    open(&world, "D");
}

/// Wiped at 11:15 while its room was wet, gone at 11:20: the check of 11:10 felt it before.
#[test]
fn a_wiping_that_is_noted_after_the_thing_left_wets_it_where_it_went() {
    wiped_before_it_left("chair", "CH1", Some("chair"));
}

/// Of a mattress, and where nobody said what was wiped.
#[test]
fn a_wiping_of_unstated_parts_wets_what_left_meanwhile() {
    wiped_before_it_left("A/mattress", "M1", Some("A/mattress"));
    wiped_before_it_left("A/mattress", "M1", None);
    wiped_before_it_left("chair", "CH1", None);
}

#[track_caller]
fn wiped_before_it_left(part: &str, tag: &str, said: Option<&str>) {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", part, "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.ok("HK", world.dry_check("101", part, ""));
    world.to("11:25");
    world.ok_at("HK", "11:20", left(tag, "101", part, Some("102")));
    world.puts_right("102", tag);
    open(&world, "C");
    world.to("11:45");
    let wiping = match said {
        Some(parts) => wiped("101", parts),
        None => typed(&world, "entered-wet", "101", &[("wiping", "yes")]),
    };
    world.ok_at("HK", "11:15", wiping);
    closed(&world, "C");
    world.looks_through("102");
    closed(&world, "C");
    world.to("15:50");
    world.puts_right("102", tag);
    open(&world, "C");
}

/// The chair was away when 101 was felt: nobody touched it, whatever stands on the list.
#[test]
fn a_check_of_what_was_away_dries_nothing_where_it_turns_up() {
    felt_while_away(|tag, part| left(tag, "101", part, Some("102")), "201", Some("101"));
}

/// Out of a store, and back in the room to which it was sent.
#[test]
fn a_check_of_what_was_in_a_store_dries_nothing_where_it_turns_up() {
    felt_while_away(|tag, part| stored(tag, "101", part), "201", None);
    felt_while_away(|tag, part| stored(tag, "101", part), "201", Some("101"));
    felt_while_away(|tag, part| left(tag, "101", part, Some("201")), "201", None);
}

#[track_caller]
fn felt_while_away(leaves: impl Fn(&str, &str) -> (Place, Body), turns_up: &str, from: Option<&str>) {
    for (part, tag) in [("chair", "CH1"), ("A/mattress", "M1")] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", part, "10:00", "10:05", "HOUR");
        world.to("10:30");
        world.ok("HK", leaves(tag, part));
        let was_to_102 = !world.is_open("C");
        world.to("11:10");
        world.puts_right("101", part);
        world.puts_right("101", ALL_101);
        world.to("11:40");
        world.ok("HK", came(tag, turns_up, from, Known::No));
        world.looks_through(turns_up);
        closed(&world, if was_to_102 { "C D" } else { "D" });
        world.to("15:30");
        world.puts_right(turns_up, tag);
        open(&world, "D");
    }
}

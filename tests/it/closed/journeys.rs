//! Wet things on their way through several rooms: where they are, and what they bring.

use dryhold::domain::entry::{Known, Place};
use dryhold::domain::need::Need;

use super::super::rules::world::{World, code, left, zone};
use super::{More, asks, came, closed, completed, gives_up, hospital, open, seen_here, stored, typed};

/// Felt in its last room at the right time, everything is well.
#[track_caller]
fn ends_well(world: &mut World, clock: &str, room: &str, tag: &str, bed: &str) {
    world.to(clock);
    world.puts_right(room, tag);
    open(world, bed);
}

/// The chair that stands in 201 was sprayed before it left 101, two rooms ago.
#[test]
fn a_late_noted_spray_finds_a_chair_two_rooms_on() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::No));
    world.to("10:20");
    world.looks_through("102");
    world.to("10:30");
    world.ok("HK", left("CH1", "102", "", Some("201")));
    world.ok("HK", came("CH1", "201", Some("102"), Known::No));
    world.to("10:50");
    world.looks_through("201");
    open(&world, "D");
    world.to("10:55");
    world.sprays("101", "chair", "09:40", "09:50", "FOUR");
    closed(&world, "D");
    world.looks_through("201");
    closed(&world, "D");
    ends_well(&mut world, "13:51", "201", "CH1", "D");
}

/// A mattress that stood in a store meanwhile, which is no room of the book.
#[test]
fn a_late_noted_spray_finds_a_mattress_behind_a_store() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", came("M1", "102", Some("101"), Known::No));
    world.ok("HK", stored("M1", "102", ""));
    world.to("10:20");
    world.looks_through("102");
    world.to("10:30");
    world.ok("HK", came("M1", "201", None, Known::No));
    world.to("10:50");
    world.looks_through("201");
    open(&world, "D");
    world.to("10:55");
    world.sprays("101", "A/mattress", "09:40", "09:50", "FOUR");
    closed(&world, "A D");
    world.looks_through("201");
    closed(&world, "A D");
    ends_well(&mut world, "13:51", "201", "M1", "D");
}

/// The wet chair went on to 201. That 102 has a chair of its own makes the tag no other chair.
#[test]
fn a_second_leg_that_names_a_part_of_its_room_takes_the_wet_thing_along() {
    goes_on_as("chair", "chair", "CH1", true);
}

/// The same of a mattress, and where nobody noted that it came to 102 at all.
#[test]
fn a_second_leg_that_names_another_beds_mattress_takes_the_wet_one_along() {
    goes_on_as("A/mattress", "C/mattress", "M1", true);
    goes_on_as("A/mattress", "C/mattress", "M1", false);
    goes_on_as("chair", "C/frame", "CH1", false);
}

#[track_caller]
fn goes_on_as(part: &str, named: &str, tag: &str, came_is_noted: bool) {
    // Noted without a part of that room, it is felt where it came to, and that is all.
    for named in [named, ""] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", part, "10:00", "10:05", "FOUR");
        world.to("10:30");
        world.ok("HK", left(tag, "101", part, Some("102")));
        if came_is_noted {
            world.ok("HK", came(tag, "102", Some("101"), Known::Yes));
        }
        world.to("10:40");
        world.ok("HK", left(tag, "102", named, Some("201")));
        world.to("11:00");
        world.looks_through("201");
        closed(&world, "D");
        world.puts_right("201", tag);
        closed(&world, "D");
        if named.is_empty() {
            ends_well(&mut world, "14:06", "201", tag, "D");
        }
    }
}

/// Nobody noted that the wet chair left 102; it is seen in 201, and is no drier there.
#[test]
fn a_wet_thing_that_turns_up_elsewhere_is_wet_there() {
    turns_up(None, Known::No);
}

/// Nor is it drier for the room that is typed in place of the one it comes from.
#[test]
fn a_wet_thing_that_turns_up_from_where_it_began_is_wet_there() {
    turns_up(Some("101"), Known::No);
    turns_up(Some("101"), Known::Unknown);
    turns_up(Some("102"), Known::No);
}

#[track_caller]
fn turns_up(from: Option<&str>, wet: Known) {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.to("10:30");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::Yes));
    world.to("10:45");
    world.ok("HK", came("CH1", "201", from, wet));
    world.to("11:00");
    world.puts_right("201", "CH1");
    closed(&world, "D");
    ends_well(&mut world, "14:06", "201", "CH1", "D");
}

/// It was sprayed with what asks for four hours; where it comes from by the arrival's word makes them no fewer.
#[test]
fn an_arrival_with_the_wrong_room_of_origin_forgets_no_label() {
    origin_is_wrong(Some("102"), Known::Yes);
}

#[test]
fn an_arrival_without_a_room_of_origin_forgets_no_label() {
    origin_is_wrong(None, Known::Yes);
    origin_is_wrong(None, Known::Unknown);
    origin_is_wrong(None, Known::No);
}

#[track_caller]
fn origin_is_wrong(from: Option<&str>, wet: Known) {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.to("10:30");
    world.ok("HK", left("CH1", "101", "chair", None));
    world.ok("HK", came("CH1", "201", from, wet));
    for clock in ["10:40", "11:45", "13:50"] {
        world.to(clock);
        world.puts_right("201", "CH1");
        closed(&world, "D");
    }
    // Four hours after it came at the latest, where that is later.
    ends_well(&mut world, "14:40", "201", "CH1", "D");
}

/// 102 has a chair of its own, which is dry. Under its name the wet one of 101 would be felt dry with it.
#[test]
fn a_tag_that_is_the_name_of_a_part_settles_nothing_by_that_part() {
    tagged(&["chair"]);
}

#[test]
fn a_tag_that_is_nearly_the_name_of_a_part_settles_nothing_by_that_part() {
    tagged(&["CHAIR", "Chair", "chair ", "skirting", "mattress", "C/chair", "C", "102", "102/chair", "chair-102"]);
}

#[track_caller]
fn tagged(tags: &[&str]) {
    for tag in tags {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "chair", "10:00", "10:05", "HOUR");
        world.to("10:20");
        if world.says("HK", left(tag, "101", "chair", Some("102"))).is_none() {
            continue;
        }
        world.says("HK", came(tag, "102", Some("101"), Known::Yes));
        world.to("11:10");
        world.puts_right("102", "chair");
        world.puts_right("102", "C/mattress C/frame chair monitor");
        assert!(!world.is_open("C"), "the tag “{tag}” was taken, and nobody felt that thing");
    }
}

/// The chair felt damp in 102 is the one that stands in 201 now.
#[test]
fn that_a_thing_was_felt_damp_is_noted_of_a_room_that_it_left() {
    damp_on_the_way("chair", "CH1", "102", "CH1", "10:45");
    damp_on_the_way("A/mattress", "M1", "102", "M1", "10:45");
}

/// The same under the name that it had in its own room, felt there before it left.
#[test]
fn that_a_part_was_felt_damp_before_it_left_is_noted_two_rooms_later() {
    damp_on_the_way("chair", "CH1", "101", "chair", "10:15");
    damp_on_the_way("A/mattress", "M1", "101", "A/mattress", "10:15");
}

/// Found dry at 10:10, from 101 to 102 at 10:20, on to 201 at eleven, and then this is noted.
#[track_caller]
fn damp_on_the_way(part: &str, tag: &str, room: &str, felt: &str, clock: &str) {
    let mut world = hospital();
    world.to("10:06");
    world.sprays("101", part, "10:00", "10:05", "DRY");
    world.to("10:10");
    world.puts_right("101", part);
    open(&world, "A B");
    world.to("10:20");
    world.ok("HK", left(tag, "101", part, Some("102")));
    world.ok("HK", came(tag, "102", Some("101"), Known::No));
    world.looks_through("102");
    world.to("11:01");
    world.ok("HK", left(tag, "102", "", Some("201")));
    world.ok("HK", came(tag, "201", Some("102"), Known::No));
    world.looks_through("201");
    open(&world, "D");
    world.to("11:20");
    let damp = format!("{felt}=damp");
    let told = [("zones", damp.as_str()), ("began", clock), ("ventilation", "window")];
    world.ok_at("TECH", clock, typed(&world, "dry-check", room, &told));
    closed(&world, "D");
    world.looks_through("201");
    closed(&world, "D");
    ends_well(&mut world, "15:30", "201", tag, "D");
}

/// It came, and the line does not say to which room: no form writes such a line. It may be in any of them.
#[test]
fn what_came_to_no_room_by_name_may_be_in_any() {
    let mut world = hospital();
    world.to("10:00");
    let (_, body) = came("CH1", "201", None, Known::No);
    world.raw("HK", Place::Hospital, body);
    closed(&world, "A B C D");
    for (clock, room) in [("10:20", "101"), ("10:40", "102"), ("11:00", "201"), ("11:20", "BATH")] {
        world.to(clock);
        world.looks_through(room);
    }
    open(&world, "A C D");
}

/// A spray named the chair of 101, and by notes that came late it was in 102 by then, under a tag that had been in 102 before: either it
/// is back, or the tag is on another chair.
#[test]
fn what_a_spray_named_after_it_had_left_may_stand_there_as_well() {
    for left_first in [false, true] {
        let mut world = hospital();
        let leaves = |world: &mut World| world.ok_at("HK", "09:33", left("T1", "101", "chair", None));
        world.to("09:40");
        if left_first {
            leaves(&mut world);
        }
        world.to("10:10");
        world.sprays("101", "chair", "10:00", "10:05", "HOUR");
        if !left_first {
            leaves(&mut world);
        }
        world.ok_at("HK", "09:30", left("T1", "102", "", Some("101")));
        world.ok_at("HK", "09:33", came("T1", "102", Some("101"), Known::No));
        world.to("11:30");
        world.looks_through("101");
        world.looks_through("102");
        world.puts_right("101", "");
        world.puts_right("102", "T1");
        closed(&world, "A B");
        world.ok("HK", seen_here("T1", "102"));
        world.ok("HK", seen_here("chair", "101"));
        world.puts_right("102", "T1");
        world.puts_right("101", "chair");
        open(&world, "A B C");
    }
}

/// T1 left 101 as its chair for nobody knows where, which closes no room; that is voided, and another note has it that T1 is the chair of
/// 201. Which it is, whoever looks where it left says, whichever of the two came first.
#[test]
fn whoever_looks_after_a_voided_leaving_says_what_carries_its_tag() {
    for voided_first in [false, true] {
        let mut world = hospital();
        world.to("08:40");
        let wrong = world.ok("HK", left("T1", "101", "chair", None));
        let voids = |world: &mut World| world.ok("LEAD", world.void("101", wrong));
        let mut void = voided_first.then(|| voids(&mut world));
        open(&world, if voided_first { "A" } else { "D" });
        world.ok_at("HK", "08:20", left("T1", "201", "chair", Some("101")));
        let void = *void.get_or_insert_with(|| voids(&mut world));
        world.ok("HK", seen_here("T1", "101"));
        world.looks_through("101");
        closed(&world, "A");
        assert!(asks(&world, "101", Need::Looked(void)));
        world.ok("IP", world.look("101", void));
        world.puts_right("101", "T1");
        open(&world, "A B D");
    }
}

/// Where a thing is that came from nobody knows where goes by the ends of every room's sprays. Once those are said it is in one room, and
/// the other one knows so.
#[test]
fn the_end_of_any_rooms_spray_tells_where_a_thing_from_nowhere_is() {
    let mut world = hospital();
    world.to("08:17");
    world.ok_at("HK", "08:16", left("CH1", "102", "", Some("201")));
    world.to("08:57");
    let spray = world.ok_at("TECH", "08:06", world.again("101", "chair", None, "HOUR"));
    world.ok_at("HK", "08:13", came("CH1", "102", None, Known::Unknown));
    world.ok_at("HK", "08:16", came("CH1", "201", Some("102"), Known::No));
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("08:11"), ..More::default() }));
    world.ok("HK", seen_here("CH1", "201"));
    assert!(!asks(&world, "102", Need::Dry(zone("CH1"))), "{:?}", world.blockers("C"));
    world.looks_through("102");
    world.to("13:00");
    world.puts_right("201", "CH1");
    world.says("LEAD", world.give_back("102"));
    open(&world, "C D");
}

/// By two people T1 never was the chair of 101, and by a sighting it is not that of 201 either: it may be on something else, and the chair
/// of 101 where it belongs.
#[test]
fn a_tag_that_is_on_no_other_part_is_none_the_more_on_the_one_that_is_left() {
    let mut world = hospital();
    world.to("08:10");
    let wrong = world.ok("HK", left("T1", "101", "chair", Some("201")));
    let (_, taken_back) = world.void("101", wrong);
    let void = world.ok("LEAD", (Place::Rooms(vec![code("101"), code("201")]), taken_back));
    world.to("11:55");
    world.sprays("101", "chair", "11:49", "11:54", "DRY");
    world.ok("HK", seen_here("T1", "102"));
    world.puts_right("101", "");
    world.ok("IP", world.look("201", void));
    world.to("13:31");
    world.ok_at("HK", "09:30", left("T1", "201", "chair", Some("101")));
    world.ok("HK", seen_here("chair", "201"));
    world.ok("HK", seen_here("T1", "102"));
    world.looks_through("101");
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
    world.ok("HK", seen_here("chair", "101"));
    world.puts_right("101", "chair");
    open(&world, "A");
}

/// T1 left as the chair of 201, which was voided, and was given up. Now it left 101 as the chair of that room: given up it may have been
/// as either, and somebody looks which it is.
#[test]
fn what_was_given_up_and_turns_up_may_be_what_it_was_said_to_be_then() {
    let mut world = hospital();
    world.to("08:10");
    let wrong = world.ok("HK", left("T1", "201", "chair", None));
    let void = world.ok("LEAD", world.void("201", wrong));
    world.ok("HK", seen_here("chair", "201"));
    gives_up(&mut world, "201", "T1");
    world.to("10:40");
    world.sprays("201", "chair", "10:30", "10:35", "DRY");
    world.puts_right("201", "chair");
    world.ok_at("HK", "08:05", left("T1", "101", "chair", Some("201")));
    world.looks_through("201");
    closed(&world, "D");
    assert!(asks(&world, "201", Need::Looked(void)));
    world.ok("HK", seen_here("T1", "201"));
    world.ok("IP", world.look("201", void));
    world.to("15:00");
    world.puts_right("201", "T1 chair");
    open(&world, "D");
}

//! Tags that were said to be the wrong thing, and what was concluded from them.

use dryhold::domain::entry::{Body, Known, Number, Place};

use super::super::rules::world::{World, code, left};
use super::{came, closed, hospital, open, seen_here, write_off};

/// Two people: one says that it was a mistake, and the other has looked in both rooms.
fn taken_back(world: &mut World, entry: Number, rooms: [&str; 2], at: &str) {
    let body = Body::Voided { entry, why: "the wrong chair".to_owned(), really_in: None };
    let void = world.ok("LEAD", (Place::Rooms(rooms.map(code).to_vec()), body));
    world.to(at);
    for room in rooms {
        world.says("IP", world.look(room, void));
    }
}

/// T1 came to 102 wet, and was said to be the chair of 201, which goes by T2 as well and was felt under that in 101. Then T1 is said
/// to be the chair of 102: nobody felt that.
#[test]
fn what_was_found_dry_under_another_tag_is_wet_as_the_part_that_the_tag_is_said_to_be_now() {
    let mut world = hospital();
    world.to("08:10");
    world.ok_at("HK", "08:02", left("T1", "201", "chair", Some("102")));
    world.ok_at("HK", "08:03", came("T1", "102", Some("201"), Known::Yes));
    world.ok("HK", left("T2", "201", "chair", Some("102")));
    world.ok("HK", seen_here("T2", "102"));
    world.ok("HK", left("T2", "102", "", Some("101")));
    world.to("12:30");
    world.puts_right("101", "T2");
    world.looks_through("102");
    world.says("LEAD", world.give_back("102"));
    open(&world, "A C");
    world.to("13:00");
    world.ok_at("HK", "08:00", left("T1", "102", "chair", Some("201")));
    world.looks_through("102");
    closed(&world, "C");
    world.to("17:20");
    world.ok("HK", seen_here("T2", "101"));
    world.ok("HK", seen_here("T1", "102"));
    world.puts_right("102", "T1");
    open(&world, "C");
}

/// T1 is the chair of 102, and one note says the chair of 101. Two people take that back: it is the chair of 102, and 101 is open.
#[test]
fn a_tag_of_two_parts_is_the_others_where_two_people_take_one_back() {
    let mut world = hospital();
    world.to("08:10");
    let wrong = world.ok("HK", left("T1", "101", "chair", Some("102")));
    world.ok_at("HK", "08:05", left("T1", "102", "chair", Some("101")));
    world.ok_at("HK", "08:05", came("T1", "101", Some("102"), Known::Yes));
    world.ok("HK", came("T1", "102", Some("101"), Known::Yes));
    world.to("08:30");
    world.ok("HK", seen_here("T1", "102"));
    taken_back(&mut world, wrong, ["101", "102"], "12:40");
    world.ok("HK", seen_here("T1", "102"));
    world.puts_right("101", "chair");
    open(&world, "A B");
    world.puts_right("102", "T1");
    open(&world, "C");
}

/// T2 was seen, which is the chair of 101: so T1 is no more that one, but the chair of 102. The note by which T2 is that chair is
/// taken back, and what was concluded from it falls: the damp T1 may be the chair of 101 all the same.
#[test]
fn what_was_concluded_from_a_tag_falls_with_it() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "101", "chair", Some("201")));
    world.ok("HK", left("T1", "102", "chair", Some("201")));
    let wrong = world.ok("HK", left("T2", "101", "chair", Some("201")));
    world.ok("HK", seen_here("T2", "201"));
    taken_back(&mut world, wrong, ["101", "201"], "12:40");
    world.ok("HK", world.dry_check("201", "", "T1"));
    world.looks_through("101");
    closed(&world, "A B");
    world.to("17:20");
    world.ok("HK", seen_here("chair", "101"));
    world.ok("HK", seen_here("T1", "201"));
    world.puts_right("101", "chair");
    open(&world, "A B");
}

/// T1 is said to be the chair of 101, and went on as T2. Two people take that back: T1 is a thing of its own, with its own moves
/// only, and wet where it came.
#[test]
fn a_thing_that_is_told_apart_has_only_its_own_moves() {
    let mut world = hospital();
    world.to("08:10");
    let wrong = world.ok("HK", left("T1", "101", "chair", Some("102")));
    world.ok("HK", came("T1", "102", Some("101"), Known::Yes));
    world.ok("HK", left("T2", "101", "chair", Some("201")));
    world.ok("HK", came("T2", "201", Some("102"), Known::No));
    world.ok("HK", seen_here("T2", "201"));
    taken_back(&mut world, wrong, ["101", "102"], "08:30");
    world.puts_right("102", "");
    closed(&world, "C");
    world.to("12:30");
    world.ok("HK", seen_here("T2", "201"));
    world.ok("HK", seen_here("T1", "102"));
    world.puts_right("102", "T1");
    open(&world, "C");
}

/// T1 was given up, and the chair of 101 went on as T2, so that it was not that one. The note by which it is T2 is taken back: it was
/// given up with T1, and felt under that where that turns up.
#[test]
fn that_something_was_not_given_up_falls_with_the_tag_by_which_it_went_on() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "chair", "08:00", "08:05", "FOUR");
    world.ok("HK", left("T1", "101", "chair", Some("102")));
    let wrong = world.ok("HK", left("T2", "101", "chair", Some("201")));
    for ward in ["W1", "W2"] {
        world.walks(ward);
    }
    for person in ["LEAD", "IP"] {
        world.ok(person, write_off(&world, "101 102 201", "T1"));
    }
    taken_back(&mut world, wrong, ["101", "201"], "12:40");
    world.ok("HK", came("T1", "102", None, Known::No));
    world.to("17:20");
    world.puts_right("102", "T1");
    world.puts_right("101", "");
    world.puts_right("201", "");
    open(&world, "A B C");
}

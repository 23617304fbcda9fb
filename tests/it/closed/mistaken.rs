//! Tags that were said to be the wrong thing, and what was concluded from them.

use dryhold::domain::entry::{Body, Known, Number, Place};

use super::super::rules::world::{World, code, left};
use super::{came, closed, gives_up, hospital, open, seen_here};

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
    gives_up(&mut world, "101 102 201", "T1");
    taken_back(&mut world, wrong, ["101", "201"], "12:40");
    world.ok("HK", came("T1", "102", None, Known::No));
    world.to("17:20");
    world.puts_right("102", "T1");
    world.puts_right("101", "");
    world.puts_right("201", "");
    open(&world, "A B C");
}

/// T1 is the chair of 101 or of 102, and the one of 102 was seen in its place. The chair of 101 was seen under T2, so that T1 is perhaps
/// on neither; then two people say that it is not T2. T1 is the chair of 101, and where it is seen it is.
#[test]
fn a_tag_of_neither_is_one_parts_again_when_the_others_tag_is_taken_back() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "101", "chair", Some("201")));
    world.ok("HK", left("T1", "102", "chair", Some("201")));
    world.ok("HK", seen_here("chair", "102"));
    let wrong = world.ok("HK", left("T2", "101", "chair", Some("201")));
    world.ok("HK", seen_here("T2", "201"));
    taken_back(&mut world, wrong, ["101", "201"], "12:40");
    world.ok("HK", world.dry_check("201", "", "T1"));
    world.ok("HK", seen_here("T1", "201"));
    world.puts_right("101", "");
    world.puts_right("102", "");
    open(&world, "A B C");
    world.to("17:20");
    world.puts_right("201", "T1 T2");
    open(&world, "D");
}

/// T1 is the chair of 101 or of 102, and both of them were seen elsewhere under other names: it is on something that nobody spoke of,
/// and wet where it came.
#[test]
fn a_tag_is_on_something_else_when_each_part_is_seen_without_it() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "101", "chair", Some("201")));
    world.ok("HK", left("T1", "102", "chair", Some("201")));
    world.ok("HK", came("T1", "201", None, Known::Yes));
    world.ok("HK", seen_here("chair", "102"));
    world.ok("HK", left("T2", "101", "chair", Some("102")));
    world.ok("HK", seen_here("T2", "102"));
    world.puts_right("201", "");
    closed(&world, "D");
    world.to("12:30");
    world.puts_right("102", "chair T2");
    world.ok("HK", seen_here("T1", "201"));
    world.puts_right("201", "T1");
    for room in ["101", "102"] {
        world.puts_right(room, "");
    }
    open(&world, "A B C D");
}

/// T1 is the chair of 101 or of 102, and the one of 102 was seen in its place, so that the damp T1 in 201 is the other. That sighting
/// was a mistake: it may be the chair of 102 all the same.
#[test]
fn what_was_concluded_from_a_sighting_falls_with_it() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "101", "chair", Some("201")));
    world.ok("HK", left("T1", "102", "chair", Some("201")));
    let wrong = world.ok("HK", seen_here("chair", "102"));
    world.ok("HK", world.dry_check("201", "", "T1"));
    world.looks_through("102");
    open(&world, "C");
    world.ok("LEAD", world.void("102", wrong));
    world.looks_through("102");
    closed(&world, "C");
    world.to("12:30");
    world.ok("HK", seen_here("chair", "102"));
    world.puts_right("102", "chair");
    open(&world, "C");
}

/// The only note that says that T1 is the chair of 101 is voided, and T1 is given up. The chair may stand in 101, and is felt there.
#[test]
fn what_was_perhaps_never_under_a_tag_is_not_given_up_with_it() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "chair", "08:00", "08:05", "HOUR");
    let wrong = world.ok("HK", left("T1", "101", "chair", Some("102")));
    let body = Body::Voided { entry: wrong, why: "the wrong chair".to_owned(), really_in: None };
    world.ok("LEAD", (Place::Rooms(["101", "102"].map(code).to_vec()), body));
    gives_up(&mut world, "101 102", "T1");
    world.to("09:20");
    world.puts_right("101", "");
    closed(&world, "A B");
    world.ok("HK", seen_here("chair", "101"));
    world.puts_right("101", "chair");
    open(&world, "A B");
}

/// The chair of 101 goes by T1 and by T2. T1 was given up, as what is to be found by T2; then it turns up in 201 and is sprayed there.
/// What comes home under T2 may be that.
#[test]
fn a_tag_that_was_given_up_as_what_goes_by_another_may_be_on_that_where_it_turns_up() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "101", "chair", Some("102")));
    world.ok("HK", left("T2", "101", "chair", Some("102")));
    world.ok("HK", seen_here("T2", "102"));
    gives_up(&mut world, "102", "T1");
    world.to("10:10");
    world.ok("HK", seen_here("T1", "201"));
    world.sprays("201", "T1", "10:00", "10:05", "FOUR");
    world.to("10:20");
    world.ok("HK", came("T2", "101", None, Known::No));
    world.looks_through("101");
    closed(&world, "A B");
    world.to("14:30");
    world.ok("HK", seen_here("T2", "101"));
    world.puts_right("101", "T2");
    open(&world, "A B");
}

/// T5, the chair of 101, was back from 102, sprayed in 101 and felt there. T1 went from 201 to 102 since, and is that chair, as is said
/// now: it may have stood in 201 at any time before, and whoever felt T5 in 101 perhaps felt another.
#[test]
fn what_a_tag_takes_over_is_judged_from_the_beginning() {
    let mut world = hospital();
    world.ok("HK", left("T5", "101", "chair", Some("102")));
    world.ok("HK", left("T5", "102", "", Some("101")));
    world.to("08:10");
    world.sprays("101", "T5", "08:00", "08:05", "HOUR");
    world.to("09:10");
    world.puts_right("101", "T5");
    for room in ["101", "102"] {
        world.looks_through(room);
    }
    open(&world, "A B C");
    world.to("09:40");
    world.ok("HK", left("T1", "201", "", Some("102")));
    world.ok("HK", left("T1", "101", "chair", Some("201")));
    world.looks_through("201");
    closed(&world, "D");
    world.ok("HK", seen_here("T1", "201"));
    world.puts_right("201", "T1");
    open(&world, "D");
}

/// T1 was said to be the chair of 102, which went to 201 as T9, and then the chair of 101. That the one of 102 is in 201 was not told
/// of T1: 201 asks nothing for the chair of 101.
#[test]
fn a_part_takes_over_what_was_told_of_its_tag_alone() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T9", "102", "chair", Some("201")));
    world.ok("HK", seen_here("T9", "201"));
    world.ok("HK", left("T1", "102", "chair", Some("101")));
    world.ok("HK", left("T1", "101", "chair", Some("102")));
    world.sprays("101", "chair", "08:00", "08:05", "FOUR");
    world.looks_through("201");
    open(&world, "D");
    world.to("12:20");
    world.ok("HK", seen_here("T9", "201"));
    world.ok("HK", seen_here("T1", "102"));
    world.puts_right("102", "T1");
    world.puts_right("101", "");
    world.puts_right("201", "T9");
    open(&world, "A B C D");
}

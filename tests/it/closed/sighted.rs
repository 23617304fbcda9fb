//! What a sighting says of where things were, and what is none.

use dryhold::domain::entry::{Known, Number, Place};

use super::super::rules::world::{ALL_102, code, left};
use super::{came, closed, gives_up, hospital, open, really_in, seen_here, wiped};

/// A part that is seen by itself speaks of its bed, also the second time, unless it was taken out of it.
#[test]
fn a_part_that_was_seen_by_itself_before_speaks_of_its_bed() {
    for taken_out in [false, true] {
        let mut world = hospital();
        world.to("08:10");
        world.sprays("101", "A/mattress", "08:00", "08:05", "HOUR");
        world.to("08:20");
        match taken_out {
            true => {
                world.ok("HK", left("F1", "101", "A/frame", Some("102")));
                world.ok("HK", came("F1", "102", Some("101"), Known::No))
            }
            // Nobody notes that the bed is rolled.
            false => world.ok("HK", seen_here("A/frame", "102")),
        };
        world.to("08:40");
        world.ok("HK", seen_here("A/frame", "201"));
        world.looks_through("201");
        assert_eq!(world.is_open("D"), taken_out);
        world.to("09:10");
        if !taken_out {
            world.ok("HK", seen_here("A/mattress", "201"));
            world.puts_right("201", "A/mattress");
            world.ok("HK", world.make("201", "A"));
            world.ok("LEAD", world.give_back("201"));
            open(&world, "D");
        }
    }
}

/// Whoever wipes a tag in another room may have misread it: it may still be where it was.
#[test]
fn wiping_what_carries_a_tag_is_no_sighting_of_it() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("HK", came("CH1", "102", Some("101"), Known::Yes));
    world.ok("HK", wiped("201", "CH1"));
    world.looks_through("102");
    world.says("LEAD", world.give_back("102"));
    closed(&world, "C D");
    world.to("10:20");
    world.ok("HK", seen_here("CH1", "201"));
    world.puts_right("102", "");
    open(&world, "C");
    world.to("14:20");
    world.puts_right("201", "CH1");
    open(&world, "D");
}

/// A leaving that is noted after a spray is not believed to come before it, also where the spray was first noted in a wrong room.
#[test]
fn a_spray_in_the_wrong_room_was_told_by_its_first_note() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.ok_at("HK", "09:50", left("CH1", "102", "chair", Some("201")));
    world.ok_at("HK", "09:50", came("CH1", "201", Some("102"), Known::No));
    world.ok("LEAD", really_in("101", "102", spray));
    world.looks_through("201");
    closed(&world, "D");
    world.to("14:20");
    world.puts_right("201", "CH1");
    open(&world, "D");
}

/// CH1 went from 102 to another room than was noted. That it came, and out of 102, is noted after the spray there: it may have
/// stood by.
#[test]
fn an_arrival_from_a_room_that_is_noted_after_a_spray_there_is_believed_from_its_end() {
    let mut world = hospital();
    world.to("08:50");
    world.ok("HK", left("CH1", "102", "", Some("101")));
    world.to("09:40");
    world.sprays("102", ALL_102, "09:00", "09:30", "FOUR");
    world.ok_at("HK", "08:52", came("CH1", "201", Some("102"), Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.to("13:50");
    world.puts_right("201", "CH1");
    open(&world, "D");
}

/// A spray in 201 names CH1, and then it leaves 102: nobody knows since when it was there, and that was sprayed before.
#[test]
fn a_note_that_names_a_thing_says_nothing_of_since_when_it_was_elsewhere() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("102", ALL_102, "08:00", "08:05", "FOUR");
    world.to("08:52");
    world.sprays("201", "chair CH1", "08:40", "08:50", "HOUR");
    world.to("09:10");
    world.ok("HK", left("CH1", "102", "", Some("201")));
    world.to("10:20");
    world.puts_right("201", "chair CH1");
    closed(&world, "D");
    world.to("13:20");
    world.puts_right("201", "chair CH1");
    open(&world, "D");
}

/// The book has bed A in 201 since this morning. That its frame was carried from there says that it stood there, and nobody
/// knows since when: whoever felt it in 101 at ten past eleven yesterday perhaps felt another.
#[test]
fn that_the_book_has_a_bed_in_a_room_says_nothing_of_since_when() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("101", "A/frame");
    open(&world, "A B");
    world.days(1);
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W1");
    world.ok("HK", left("F1", "201", "A/frame", Some("102")));
    world.ok("HK", came("F1", "102", Some("201"), Known::No));
    world.walks("W2");
    world.looks_through("102");
    closed(&world, "C");
    world.ok("HK", seen_here("F1", "102"));
    world.puts_right("102", "F1");
    open(&world, "C");
}

/// The mattress of bed A was given up. A spray that was noted in the wrong room names it, and is taken back: it is wet still where
/// it turns up, also where it was given up by mistake.
#[test]
fn what_was_given_up_is_not_back_because_a_spray_names_it() {
    for by_mistake in [false, true] {
        let mut world = hospital();
        world.to("08:10");
        world.sprays("201", "chair", "08:00", "08:05", "FOUR");
        world.to("08:20");
        world.ok("HK", left("M1", "101", "A/mattress", None));
        let given_up = gives_up(&mut world, "101", "M1");
        world.to("10:10");
        let spray = world.sprays("101", "A/mattress", "10:00", "10:05", "DRY");
        world.to("10:20");
        let mistakes = [Some(spray), Some(given_up).filter(|_| by_mistake)];
        let voids: Vec<Number> =
            mistakes.into_iter().flatten().map(|it| world.ok("LEAD", world.void("101", it))).collect();
        world.to("14:25");
        for void in voids {
            world.says("IP", world.look("101", void));
        }
        if !by_mistake {
            world.puts_right("101", "");
            open(&world, "B");
        }
        world.ok("HK", came("M1", "101", None, Known::No));
        world.puts_right("101", "");
        closed(&world, "A");
        world.to("18:50");
        world.puts_right("101", "A/mattress");
        open(&world, "A");
    }
}

/// The wet mattress was given up under a tag that nobody can read any more. What comes out of that room under a tag of which nobody
/// heard may be it, also where a spray that dries sooner wetted that.
#[test]
fn what_left_where_something_was_given_up_may_be_it_though_it_is_wet_by_something_else() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("201", "D/mattress", "08:00", "08:05", "FOUR");
    world.to("08:40");
    world.sprays("102", "C/mattress chair", "08:30", "08:35", "DRY");
    world.ok("HK", left("M1", "201", "D/mattress", Some("102")));
    gives_up(&mut world, "102", "M1");
    world.to("09:10");
    world.ok("HK", came("M2", "101", Some("102"), Known::Yes));
    world.to("09:30");
    world.puts_right("101", "M2");
    closed(&world, "A B");
    world.to("13:20");
    world.puts_right("101", "M2");
    open(&world, "A B");
}

/// CH2, of which nobody ever heard, left 201 and nobody says where to; then it leaves 102, where a wet chair stands: it may be that.
#[test]
fn what_left_for_nobody_knows_where_may_be_a_wet_guest_of_a_room_that_it_leaves() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "chair", "08:00", "08:05", "FOUR");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", left("CH2", "102", "", None));
    world.ok("HK", left("CH2", "101", "", Some("201")));
    world.looks_through("201");
    closed(&world, "D");
    world.to("12:20");
    world.puts_right("201", "CH2");
    open(&world, "D");
}

/// What 101 asks to be felt as its chair was the chair of 102, which went back: the chair of 101 never was wet, and is not waited
/// for.
#[test]
fn a_name_that_only_something_else_had_there_is_not_felt_when_that_is_gone() {
    let mut world = hospital();
    world.to("08:10");
    let wrong = world.ok("HK", left("CH1", "102", "chair", Some("101")));
    world.to("10:10");
    world.ok("HK", left("CH1", "101", "", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::Yes));
    let (_, body) = world.void("102", wrong);
    let void = world.ok("LEAD", (Place::Rooms(vec![code("102"), code("101")]), body));
    world.to("14:20");
    world.ok("IP", world.look("101", void));
    gives_up(&mut world, "101 102", "CH1");
    world.ok("HK", seen_here("chair", "101"));
    world.ok_at("HK", "08:10", left("CH1", "102", "chair", Some("101")));
    world.ok_at("HK", "08:10", came("CH1", "101", Some("102"), Known::No));
    world.ok("HK", came("CH1", "102", None, Known::No));
    world.ok("HK", seen_here("CH1", "102"));
    world.to("15:00");
    world.puts_right("101", "");
    open(&world, "A B");
    world.to("19:30");
    world.puts_right("102", "CH1");
    open(&world, "C");
}

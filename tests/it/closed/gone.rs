//! Beds, and parts of them, that left for nobody knows where.

use dryhold::domain::rule::Rule;

use super::super::rules::world::left;
use super::{closed, hospital, open, seen_here};

/// Nobody noted where to: it is not known to stand in its room.
#[test]
fn a_bed_that_left_for_nobody_knows_where_is_closed_until_it_is_seen() {
    for (tag, part, bed) in [("A", "", "A"), ("M1", "A/mattress", "A")] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("HK", left(tag, "101", part, None));
        closed(&world, bed);
        open(&world, "B C D");
        assert!(world.closed_by(bed).contains(&Rule::BedWhole));
        assert_eq!(world.next_step("101"), "thing-seen");
        // That it was walked past, counted or made says nothing of where it is.
        world.to("10:10");
        world.walks("W1");
        closed(&world, bed);
        world.to("10:20");
        world.ok("HK", seen_here(tag, "101"));
        open(&world, "A B C D");
    }
}

/// Seen elsewhere, it is there, as if that had been noted at once.
#[test]
fn a_bed_that_was_looked_for_is_where_it_was_seen() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("HK", left("A", "101", "", None));
    world.to("10:10");
    world.ok("HK", seen_here("A", "201"));
    closed(&world, "A");
    world.to("10:20");
    world.ok("HK", left("A", "201", "", Some("101")));
    world.ok("HK", seen_here("A", "101"));
    world.looks_through("101");
    open(&world, "A B");
}

/// Seen since, and that is taken back: it is looked for still.
#[test]
fn a_sighting_that_is_voided_brings_nothing_back() {
    for (tag, part) in [("A", ""), ("M1", "A/mattress")] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("HK", left(tag, "101", part, None));
        world.to("10:10");
        let seen = world.ok("HK", seen_here(tag, "101"));
        open(&world, "A");
        world.to("10:20");
        world.ok("LEAD", world.void("101", seen));
        closed(&world, "A");
        world.says("EYES", world.look("101", world.board.last().expect("the void").0));
        closed(&world, "A");
        world.to("10:30");
        world.ok("HK", seen_here(tag, "101"));
        world.puts_right("101", "");
        open(&world, "A B");
    }
}

//! Beds that were made, and parts that were treated, where they were not any more: it was another bed, another part.

use dryhold::domain::entry::{Body, Known, Place, Sign};

use super::super::rules::world::{code, left};
use super::made::checks_and_returns;
use super::{came, closed, hospital, open};

/// A was made in 101 by what was noted. It had left before, as is told afterwards: another bed was made.
#[test]
fn a_bed_that_had_left_before_it_was_made_is_made_where_it_is() {
    for way in ["thing", "mattress"] {
        let part = if way == "thing" { "A/frame" } else { "A/frame A/mattress" };
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", part, "10:00", "10:05", "HOUR");
        world.to("11:10");
        world.puts_right("101", part);
        open(&world, "A B");
        world.to("11:40");
        world.ok_at("HK", "10:50", left("A", "101", "", Some("201")));
        world.ok_at("HK", "10:55", came("A", "201", Some("101"), Known::No));
        world.looks_through("201");
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.walks("W2");
        checks_and_returns(&mut world, "201", part);
        closed(&world, "A");
        world.says("HK", world.make("201", "A"));
        world.says("LEAD", world.give_back("201"));
        world.counts("W2");
        open(&world, "A B D");
    }
}

/// The chair was treated and vacuumed in 101 by what was noted, and had left before.
#[test]
fn a_part_that_had_left_before_it_was_worked_on_is_worked_on_where_it_is() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("HK", world.prepare("101", "BAG1"));
    world.ok("TECH", world.spray("101", "A/mattress A/frame B/mattress B/frame", "BAG1"));
    world.to("12:20");
    world.ok("WASH", world.launder("101", "BAG1"));
    world.puts_right("101", "A/mattress A/frame B/mattress B/frame");
    world.ok("TECH", world.treat("101", "chair monitor"));
    world.ok("LEAD", world.give_back("101"));
    world.counts("W1");
    open(&world, "A B D");
    world.to("12:40");
    world.ok_at("HK", "12:00", left("CH1", "101", "chair", Some("201")));
    world.ok_at("HK", "12:05", came("CH1", "201", Some("101"), Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.ok("TECH", world.treat("201", "CH1"));
    world.says("LEAD", world.give_back("201"));
    open(&world, "D");
}

/// A was made in 201; it never came there, and stands in 101 as it lay under the spray.
#[test]
fn a_bed_whose_journey_is_taken_back_was_made_where_it_was_not() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "HOUR");
    let gone = world.ok("HK", left("A", "101", "", Some("201")));
    world.to("10:20");
    world.looks_through("201");
    world.ok("HK", world.make("201", "A"));
    world.ok("LEAD", world.give_back("201"));
    world.to("11:10");
    world.ok("HK", world.dry_check("101", "chair", ""));
    world.ok("HK", world.make("101", "B"));
    checks_and_returns(&mut world, "101", "chair");
    open(&world, "B D");
    world.to("11:20");
    let place = Place::Rooms(vec![code("101"), code("201")]);
    let void = world.ok("LEAD", (place, Body::Voided { entry: gone, why: "not there".to_owned(), really_in: None }));
    world.ok("HK", (Place::room(code("101")), Body::ThingSeen { thing: "A".to_owned() }));
    world.ok("EYES", world.look("201", void));
    world.looks_through("201");
    world.says("LEAD", world.give_back("201"));
    world.counts("W1");
    closed(&world, "A");
    world.ok("HK", world.make("101", "A"));
    world.ok("LEAD", world.give_back("101"));
    world.counts("W1");
    open(&world, "A B D");
}

/// It was made after its spray, and long since for no reason but fresh linens: that it may have been elsewhere then asks for nothing.
#[test]
fn what_nobody_was_asked_to_do_is_not_asked_for_again() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "B/frame", "08:00", "08:05", "DRY");
    world.to("08:20");
    world.puts_right("101", "B/frame");
    world.days(1);
    world.to("10:00");
    world.ok("HK", world.make("101", "A"));
    world.to("10:30");
    world.book(&[("101", "B"), ("201", "D A")]);
    world.walks("W1");
    world.walks("W2");
    open(&world, "A B D");
}

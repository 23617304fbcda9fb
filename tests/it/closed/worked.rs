//! Beds that were made, and parts that were treated, where they were not any more: it was another bed, another part.

use dryhold::domain::entry::{Body, Known, LinenSource, OldPart, Place, Sign};
use dryhold::domain::facility::Zone;

use super::super::rules::world::{code, left};
use super::made::checks_and_returns;
use super::{came, closed, hospital, open, stored};

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

/// All was done in 101, and then it went to 201. What was done is taken back: it is owed where the thing is now.
#[test]
fn what_is_taken_back_is_owed_where_the_thing_is_by_now() {
    let mut opened = vec![];
    for what in ["laundered", "made", "treated", "vacuumed"] {
        for way in ["thing", "store"] {
            let mut world = hospital();
            world.to("09:10");
            world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
            world.ok("HK", world.prepare("101", "BAG1"));
            world.ok("TECH", world.spray("101", "A/mattress A/frame B/mattress B/frame", "BAG1"));
            world.to("11:20");
            let washed = world.ok("WASH", world.launder("101", "BAG1"));
            world.ok("HK", world.dry_check("101", "A/mattress A/frame B/mattress B/frame", ""));
            let treated = world.ok("TECH", world.treat("101", "chair"));
            world.ok("TECH", world.treat("101", "monitor"));
            world.ok("HK", world.dry_check("101", "", "chair"));
            world.to("11:40");
            world.ok("HK", world.dry_check("101", "chair", ""));
            let vacuumed = world.ok("HK", world.vacuum("101", "chair"));
            let linens = LinenSource::Bags(vec![code("BAG1")]);
            let made = world.ok("HK", (Place::room(code("101")), Body::BedMade { bed: code("A"), linens }));
            world.ok("HK", world.make("101", "B"));
            world.ok("LEAD", world.give_back("101"));
            world.to("12:00");
            let is_bed = matches!(what, "laundered" | "made");
            let (tag, parts, felt) = if is_bed { ("A", "", "") } else { ("CH1", "chair", "CH1") };
            if way == "store" {
                world.ok("HK", stored(tag, "101", parts));
            } else if way == "thing" {
                world.ok("HK", left(tag, "101", parts, Some("201")));
                world.ok("HK", came(tag, "201", Some("101"), Known::No));
            }
            world.looks_through("201");
            world.counts("W2");
            if way != "store" {
                open(&world, "D");
            }
            world.to("12:30");
            let target = match what {
                "laundered" => washed,
                "made" => made,
                "treated" => treated,
                _ => vacuumed,
            };
            world.ok("LEAD", world.void("101", target));
            if way == "store" {
                world.ok("HK", came(tag, "201", None, Known::No));
                world.looks_through("201");
                world.counts("W2");
            }
            if world.is_open("D") {
                opened.push((what, way));
                continue;
            }
            match what {
                "laundered" | "made" => world.ok("HK", world.make("201", "A")),
                "treated" => world.ok("TECH", world.treat("201", felt)),
                _ => world.ok("HK", world.vacuum("201", felt)),
            };
            world.ok("LEAD", world.give_back("201"));
            open(&world, "D");
        }
    }
    assert_eq!(opened, []);
}

/// The untreated mattress M1 is in a store, and its bed has another one. Where M1 comes to it is treated.
#[test]
fn a_part_that_was_replaced_while_it_was_in_a_store_is_treated_where_it_comes_to() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("HK", world.prepare("101", "BAG1"));
    world.ok("TECH", world.spray("101", "A/frame B/mattress B/frame chair", "BAG1"));
    world.ok("HK", stored("M1", "101", "A/mattress"));
    let part = Zone { bed: Some(code("A")), part: code("mattress") };
    let (reason, seen) = ("stained".to_owned(), world.seen("101"));
    let body = Body::PartReplaced { part, by: None, old: OldPart::Kept, reason, seen };
    world.ok("LEAD", (Place::room(code("101")), body));
    world.to("12:30");
    world.ok("WASH", world.launder("101", "BAG1"));
    world.says("TECH", world.treat("101", "monitor A/mattress"));
    world.puts_right("101", "A/frame B/mattress B/frame chair");
    world.counts("W1");
    open(&world, "A B");
    world.ok("HK", came("M1", "201", None, Known::No));
    world.looks_through("201");
    // Nobody saw since which mattress it is: it may be wet.
    world.ok("HK", world.dry_check("201", "M1", ""));
    world.says("LEAD", world.give_back("201"));
    closed(&world, "D");
    world.ok("TECH", world.treat("201", "M1"));
    world.says("LEAD", world.give_back("201"));
    open(&world, "D");
}

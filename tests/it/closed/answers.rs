//! What the answer to “where did the patient go” says besides: the bed itself was rolled along, or tagged things went with it.

use dryhold::domain::entry::{Body, Place};
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code};
use super::{closed, hospital, open, typed};

/// A's frame and the chair are damp in 101. A is noted empty, and where its patient went is asked.
fn asked_where_a_went() -> World {
    let mut world = hospital();
    world.to("08:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("08:30");
    world.ok("HK", world.dry_check("101", "", "A/frame chair"));
    world.to("09:00");
    let body = Body::OccupancyConfirmed { occupied: vec![], empty: vec![code("A")], gone: vec![code("A")] };
    world.ok("NURSE", (Place::Ward(code("W1")), body));
    world.to("09:10");
    world
}

/// The wet bed stands in 201 with its patient in it.
#[test]
fn a_bed_that_an_answer_says_was_rolled_along_is_wet_where_it_went() {
    let mut world = asked_where_a_went();
    let what = typed(&world, "move-patient", "A", &[("went", "bed"), ("to", "201"), ("own-bed", "yes")]);
    assert!(matches!(what.1, Body::PatientMoved { answers: Some(_), .. }), "{what:?}");
    world.ok("NURSE", what);
    world.looks_through("201");
    world.counts("W2");
    closed(&world, "A D");
    assert_eq!(world.board.gone().count(), 0);
    world.ok("NURSE", world.empty("W1", "A"));
    world.puts_right("201", "A/frame");
    world.says("HK", world.make("201", "A"));
    world.says("LEAD", world.give_back("201"));
    open(&world, "D");
}

/// The wet chair stands there under its tag, or another one that nobody had noted before.
#[test]
fn a_thing_that_an_answer_says_went_along_is_wet_where_it_went() {
    let mut world = asked_where_a_went();
    let what = typed(&world, "move-patient", "A", &[("went", "bed"), ("to", "201"), ("things", "W-1")]);
    world.ok("NURSE", what);
    world.looks_through("201");
    world.counts("W2");
    closed(&world, "D");
    world.puts_right("201", "W-1");
    open(&world, "D");
}

/// It went at some time between the bed's emptying and the answer: what 201 was sprayed with meanwhile may have hit it.
#[test]
fn what_went_along_may_have_come_before_anybody_said_so() {
    for (given, felt) in [(("own-bed", "yes"), "A/frame"), (("things", "W-1"), "W-1")] {
        let mut world = asked_where_a_went();
        let (place, mut body) = world.again("201", "D/frame", Some("09:06"), "FOUR");
        if let Body::Sprayed { zones, .. } = &mut body {
            *zones = None;
        }
        world.ok_at("TECH", "09:05", (place, body));
        let what = typed(&world, "move-patient", "A", &[("went", "bed"), ("to", "201"), given]);
        world.ok("NURSE", what);
        world.to("11:00");
        world.no("HK", world.dry_check("201", felt, ""), Rule::Label);
        world.to("13:20");
        world.ok("HK", world.dry_check("201", felt, ""));
    }
}

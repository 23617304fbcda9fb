//! Less of a spray by two people: what one of them said before more came to light of it is no half any more.

use dryhold::domain::entry::{Body, Number, Place};

use super::super::rules::world::{World, code, zones};
use super::{More, closed, completed, hospital, open};

pub(super) fn less(
    world: &World,
    room: &str,
    spray: Number,
    ended: Option<&str>,
    minutes: Option<u32>,
    only: Option<&str>,
) -> (Place, Body) {
    let body = Body::SprayCorrected {
        spray,
        zones: only.map(zones),
        finished: ended.map(|clock| world.at(clock)),
        reentry_minutes: minutes,
        words: "off the can".to_owned(),
        seen: world.seen(room),
    };
    (Place::room(code(room)), body)
}

/// A second round of spraying ended at a quarter past eleven, as was said after the first of the two had spoken.
#[test]
fn a_half_from_before_a_later_end_was_told_counts_no_more() {
    let mut world = hospital();
    world.to("10:31");
    let spray = world.sprays("101", "A/frame", "10:00", "10:30", "HOUR");
    world.to("10:35");
    world.ok("LEAD", less(&world, "101", spray, Some("10:10"), None, None));
    world.to("11:20");
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("11:15"), ..More::default() }));
    assert_eq!(world.board.less_said_of(code("101")), None, "nobody waits for the other half of it");
    world.to("11:25");
    world.ok("IP", less(&world, "101", spray, Some("10:10"), None, None));
    world.to("11:30");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    // The first one reads it off again.
    world.ok("LEAD", less(&world, "101", spray, Some("10:10"), None, None));
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// The same end is said again by whoever sprayed: that speaks against the first of the two as well.
#[test]
fn a_half_from_before_the_end_was_confirmed_counts_no_more() {
    let mut world = hospital();
    world.to("10:31");
    let spray = world.sprays("101", "A/frame", "10:00", "10:30", "HOUR");
    world.ok("LEAD", less(&world, "101", spray, Some("10:10"), None, None));
    world.ok("TECH", completed(&world, "101", spray, More { finished: Some("10:30"), ..More::default() }));
    world.says("IP", less(&world, "101", spray, Some("10:10"), None, None));
    world.to("11:15");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.to("11:35");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// The chair was sprayed as well, as was said between the two.
#[test]
fn a_half_from_before_a_zone_was_told_counts_no_more() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/frame chair", "10:00", "10:05", "DRY");
    world.ok("LEAD", less(&world, "101", spray, None, None, Some("A/frame")));
    world.ok("TECH", completed(&world, "101", spray, More { zones: Some("chair"), ..More::default() }));
    world.says("IP", less(&world, "101", spray, None, None, Some("A/frame")));
    world.to("10:30");
    world.puts_right("101", "A/frame");
    world.says("TECH", world.treat("101", "chair"));
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
    world.puts_right("101", "chair");
    open(&world, "A");
}

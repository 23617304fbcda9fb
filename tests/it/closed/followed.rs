//! How far a leaving is believed back goes by the ends of sprays: where one of them changes, things may have been elsewhere.

use chrono::TimeDelta;
use dryhold::domain::entry::{Body, Number, Place, WhichClock};
use dryhold::domain::need::Need;

use super::super::rules::clocks::House;
use super::super::rules::world::{World, code, left, zone};
use super::{More, asks, closed, completed, hospital, on_the_list, open};

fn ended_sooner(world: &World, room: &str, spray: Number, clock: &str) -> (Place, Body) {
    let words = "read off the slip".to_owned();
    let finished = Some(world.at(clock));
    let body =
        Body::SprayCorrected { spray, zones: None, finished, reentry_minutes: None, words, seen: world.seen(room) };
    (Place::room(code(room)), body)
}

/// A spray in 102 is noted with an end two hours too late, so that CH1 may have gone from there to 201 only after it had left 201.
/// Two people say when the spray ended: CH1 went on to 101, and 201 asks nothing for it.
#[test]
fn where_things_may_be_is_followed_anew_when_a_sprays_end_is_lowered() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("HK", left("CH1", "201", "", Some("101")));
    world.to("11:05");
    let spray = world.sprays("102", "chair", "09:00", "11:00", "HOUR");
    world.ok_at("HK", "09:30", left("CH1", "102", "", Some("201")));
    assert!(asks(&world, "201", Need::Dry(zone("CH1"))), "the story is one");
    closed(&world, "D");
    for person in ["LEAD", "TECH"] {
        world.ok(person, ended_sooner(&world, "102", spray, "09:10"));
    }
    assert!(!asks(&world, "201", Need::Dry(zone("CH1"))));
    world.puts_right("201", "");
    open(&world, "D");
    closed(&world, "A B C");
    world.to("12:30");
    world.puts_right("102", "chair");
    world.puts_right("101", "CH1");
    open(&world, "A B C");
}

/// CH1 went from 102 to 201 and from there to 101, and 201 was sprayed after that. The clock that noted the end of a spray in 102 is called
/// wrong when CH1 was felt: it may have gone to 201 as late as that spray ended, and stood there at the other one.
#[test]
fn where_things_may_have_been_is_followed_anew_when_a_sprays_clock_was_wrong() {
    let mut house = House::open(&[("slow", TimeDelta::minutes(-2))]);
    for (name, minutes) in [("HOUR", 60), ("FOUR", 240)] {
        house.world.ok("LEAD", on_the_list(name, minutes));
    }
    house.to("10:00");
    house.world.ok("HK", left("CH1", "201", "", Some("101")));
    house.to("10:40");
    house.world.sprays("201", "chair", "10:30", "10:35", "FOUR");
    house.to("10:50");
    let ago = TimeDelta::minutes(100);
    house.since("slow", "TECH", ago, |world| world.again("102", "chair", Some("09:10"), "HOUR"));
    house.world.ok_at("HK", "09:30", left("CH1", "102", "", Some("201")));
    house.to("12:00");
    house.world.puts_right("101", "CH1");
    house.world.counts("W1");
    open(&house.world, "A B");
    house.says("slow", "TECH", WhichClock::This);
    closed(&house.world, "A B");
    house.to("13:10");
    house.world.puts_right("101", "CH1");
    closed(&house.world, "A B");
    house.to("14:40");
    house.world.puts_right("101", "CH1");
    house.world.counts("W1");
    open(&house.world, "A B");
}

/// T1 came from 102 to 201 and went on to 101; 201 was sprayed after that. It was felt in 101, and the beds are open. Then the spray of
/// 102 is said to have ended later: T1 may have gone to 201 as late as that, and have stood there while it was sprayed.
#[test]
fn where_something_may_have_been_is_followed_anew_when_a_spray_ended_later() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("HK", left("T1", "201", "", Some("101")));
    world.to("10:40");
    world.sprays("201", "chair", "10:30", "10:35", "FOUR");
    world.to("10:50");
    let spray = world.sprays("102", "chair", "09:00", "09:10", "HOUR");
    world.ok_at("HK", "09:30", left("T1", "102", "", Some("201")));
    world.to("12:00");
    world.puts_right("101", "T1");
    world.counts("W1");
    open(&world, "A B");
    world.ok("TECH", completed(&world, "102", spray, More { finished: Some("10:49"), ..More::default() }));
    closed(&world, "A B");
    world.to("14:45");
    world.puts_right("101", "T1");
    open(&world, "A B");
}

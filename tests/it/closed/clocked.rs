//! What one terminal noted, and another one's clock says of it: whichever is called wrong, all that it told is as late as it may be.

use chrono::TimeDelta;
use dryhold::domain::entry::{Known, WhichClock};
use dryhold::domain::need::Need;

use super::super::rules::clocks::{House, hours};
use super::super::rules::world::{left, zone};
use super::{More, asks, came, closed, completed, open};

const BEHIND: TimeDelta = TimeDelta::minutes(-2);

/// The chair of 101 is sprayed until nine o'clock, and 101 opens again.
fn sprayed(house: &mut House, end: Option<&str>, more: More<'_>) {
    let spray = house.world.ok_at("TECH", "08:50", house.world.again("101", "chair", end, "RSA"));
    house.at("slow", "TECH", |world| completed(world, "101", spray, more));
    house.to("11:14");
    house.world.puts_right("101", "chair");
    house.world.counts("W1");
    open(&house.world, "A B");
}

/// 101 is closed, and opens when its chair was felt at this time.
fn felt_at(mut house: House, clock: &str) {
    closed(&house.world, "A B");
    assert!(asks(&house.world, "101", Need::Dry(zone("chair"))));
    house.to("13:10");
    house.world.says("HK", house.world.dry_check("101", "chair", ""));
    assert!(asks(&house.world, "101", Need::Dry(zone("chair"))), "its label may run still");
    house.to(clock);
    house.world.puts_right("101", "chair");
    house.world.counts("W1");
    open(&house.world, "A B");
}

/// The end of a spray is supplied at a terminal whose clock is found to be wrong in the afternoon: it was noted before the check of a
/// quarter past eleven, and that is all that anybody knows. From then on the label runs, and the check was too early.
#[test]
fn an_end_that_was_supplied_by_a_clock_called_wrong_since_is_as_late_as_it_may_have_been() {
    let mut house = House::open(&[("slow", BEHIND)]);
    sprayed(&mut house, None, More { finished: Some("08:58"), ..More::default() });
    house.to("12:50").says("slow", "TECH", WhichClock::This);
    felt_at(house, "13:20");
}

/// The same where the end had been stated, and that terminal told of a later one.
#[test]
fn a_later_end_by_a_clock_called_wrong_since_is_as_late_as_it_may_have_been() {
    let mut house = House::open(&[("slow", BEHIND)]);
    sprayed(&mut house, Some("08:57"), More { finished: Some("08:58"), ..More::default() });
    house.to("12:50").says("slow", "TECH", WhichClock::This);
    felt_at(house, "13:20");
}

/// Two notes have somebody in bed D, both by a clock four hours ahead, and the lead voids the newer one. They are gone since: the hour
/// of the older one is waited for as well.
#[test]
fn an_older_note_of_somebody_in_a_bed_is_waited_for_when_the_newer_is_voided() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.at("fast", "NURSE", |world| world.occupied("201", "D"));
    let newer = house.at("fast", "NURSE", |world| world.occupied("201", "D"));
    house.says("desk", "NURSE", WhichClock::Other);
    house.at("desk", "LEAD", |world| world.void("201", newer));
    house.at("desk", "NURSE", |world| world.empty("W2", "D"));
    assert!(!house.is_open("D"));
    house.to("13:10");
    house.count("desk");
    house.all_open();
}

/// What came out of 101 was felt long after the spray there. That the clock of the spray is called wrong in the afternoon makes it no
/// later than the next note of that morning: it is dry as it was.
#[test]
fn what_was_felt_late_enough_is_dry_by_whatever_clock_its_spray_was_noted() {
    let mut house = House::open(&[("slow", BEHIND)]);
    house.at("slow", "TECH", |world| world.again("101", "chair", Some("08:58"), "RSA"));
    house.world.ok("HK", left("CH1", "101", "", Some("201")));
    house.world.ok("HK", came("CH1", "201", Some("101"), Known::No));
    assert!(asks(&house.world, "201", Need::Dry(zone("CH1"))), "it may be the chair");
    house.to("12:30");
    house.world.puts_right("201", "CH1");
    house.world.counts("W2");
    open(&house.world, "D");
    house.says("slow", "TECH", WhichClock::This);
    assert!(!asks(&house.world, "201", Need::Dry(zone("CH1"))));
    open(&house.world, "D");
}

/// Somebody is noted in bed A at a terminal three hours behind, and the bed is sprayed. Once that clock is called wrong they lay there while it
/// was: their linens are asked for.
#[test]
fn who_was_noted_by_a_slow_clock_lay_there_when_it_was_sprayed() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.to("09:30").at("slow", "NURSE", |world| world.occupied("101", "A"));
    house
        .to("10:10")
        .since("desk", "TECH", TimeDelta::minutes(10), |world| world.again("101", "A/mattress", Some("10:05"), "RSA"));
    assert!(!asks(&house.world, "101", Need::LinensNamed));
    house.to("10:25").says("slow", "TECH", WhichClock::This);
    assert!(asks(&house.world, "101", Need::LinensNamed));
}

/// The desk is three hours ahead, and had noted the bed as empty before somebody came to lie in it by the right clock. Once the desk is
/// called wrong, that it was empty was before they came.
#[test]
fn who_came_after_an_empty_bed_by_a_fast_clock_lay_there_when_it_was_sprayed() {
    let mut house = House::open(&[("fast", hours(3))]);
    house.at("fast", "NURSE", |world| world.empty("W1", "A"));
    house.to("09:30").at("desk", "NURSE", |world| world.occupied("101", "A"));
    house.says("desk", "TECH", WhichClock::Other);
    house.to("10:08").at("desk", "NURSE", |world| world.empty("W1", "A"));
    house
        .to("10:10")
        .since("desk", "TECH", TimeDelta::minutes(10), |world| world.again("101", "A/mattress", Some("10:06"), "RSA"));
    assert!(asks(&house.world, "101", Need::LinensNamed));
}

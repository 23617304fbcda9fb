//! Less of a spray than was noted: by two people who read the same off the label or the slip.

use dryhold::domain::board::{ExceptionKind, State};
use dryhold::domain::entry::{Body, Known, Number, Place, Time};
use dryhold::domain::need::Need;
use dryhold::domain::people::Product;
use dryhold::domain::rule::Rule;

use super::world::*;

#[derive(Clone, Copy, Default)]
struct Read<'a> {
    finished: Option<&'a str>,
    minutes: Option<u32>,
    zones: Option<&'a str>,
}

fn less(world: &World, room: &str, spray: Number, read: Read<'_>) -> (Place, Body) {
    let finished: Option<Time> = read.finished.map(|clock| world.at(clock));
    let (zones, words) = (read.zones.map(zones), "read off the can".to_owned());
    let body =
        Body::SprayCorrected { spray, zones, finished, reentry_minutes: read.minutes, words, seen: world.seen(room) };
    (Place::room(code(room)), body)
}

fn minutes(minutes: u32) -> Read<'static> {
    Read { minutes: Some(minutes), ..Read::default() }
}

/// Sprayed at 9 for half an hour, and the label typed with a nought too many.
fn label_of_80_hours() -> (World, Number) {
    let mut world = World::open();
    world.to("09:30");
    let spray = world.ok_at("TECH", "09:00", world.spray("101", SPRAYED_101, ""));
    world.ok("TECH", completed(&world, spray, None, Some(4800)));
    (world, spray)
}

fn completed(world: &World, spray: Number, finished: Option<&str>, minutes: Option<u32>) -> (Place, Body) {
    let body = Body::SprayCompleted {
        spray,
        zones: None,
        finished: finished.map(|clock| world.at(clock)),
        bags: None,
        reentry_words: minutes.map(|_| "Keep out.".to_owned()),
        reentry_minutes: minutes,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    (Place::room(code("101")), body)
}

#[track_caller]
fn check_counts(world: &mut World, clock: &str) {
    world.to(clock);
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_ne!(world.state("101"), State::TreatedWet);
}

#[test]
pub(super) fn a_label_with_a_nought_too_many_is_lowered_by_the_lead_and_a_second_person() {
    let (mut world, spray) = label_of_80_hours();
    world.to("12:30");
    world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    world.ok("LEAD", less(&world, "101", spray, minutes(180)));
    world.to("13:00");
    world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    world.no("LEAD", less(&world, "101", spray, minutes(180)), Rule::SecondSignature);
    world.no("NURSE", less(&world, "101", spray, minutes(200)), Rule::SecondSignature);
    let second = world.ok("NURSE", less(&world, "101", spray, minutes(180)));
    let marked =
        world.board.exceptions().iter().any(|it| it.number == second && it.kind == ExceptionKind::SprayLess(spray));
    assert!(marked, "it is marked for ever");
    check_counts(&mut world, "13:10");
}

#[test]
pub(super) fn one_of_the_two_is_the_lead_and_each_says_off_what_it_was_read() {
    let (mut world, spray) = label_of_80_hours();
    world.ok("HK", less(&world, "101", spray, minutes(180)));
    world.no("NURSE", less(&world, "101", spray, minutes(180)), Rule::SecondSignature);
    let (place, mut body) = less(&world, "101", spray, minutes(180));
    if let Body::SprayCorrected { words, .. } = &mut body {
        words.clear();
    }
    world.no("LEAD", (place, body), Rule::SprayLess);
    world.ok("LEAD", less(&world, "101", spray, minutes(180)));
    check_counts(&mut world, "12:40");
}

#[test]
pub(super) fn no_label_falls_below_the_minutes_of_the_list() {
    let (mut world, spray) = label_of_80_hours();
    world.no("LEAD", less(&world, "101", spray, minutes(119)), Rule::SprayLess);
    world.no("LEAD", less(&world, "101", spray, minutes(4800)), Rule::SprayLess);
    // The list itself was typed wrong: it is put right first.
    let product = |minutes| Product { reentry_minutes: Some(minutes), ..world.board.products()[&code("RSA")].clone() };
    let (wrong, right) = (product(6000), product(600));
    let set = |product| (Place::Hospital, Body::ProductSet(Box::new(product)));
    world.ok("LEAD", set(wrong));
    world.ok("TECH", world.prepare("102", ""));
    let other = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    world.no("LEAD", less(&world, "102", other, minutes(600)), Rule::SprayLess);
    world.ok("LEAD", set(right));
    assert_eq!(world.board.unknown_label().num_minutes(), 6000);
    for by in ["LEAD", "NURSE"] {
        world.ok(by, less(&world, "102", other, minutes(600)));
        world.ok(by, less(&world, "101", spray, minutes(4000)));
    }
    assert_eq!(world.board.unknown_label().num_minutes(), 4000, "what was a mistake is not waited for anywhere");
}

#[test]
pub(super) fn what_is_stated_after_a_correction_only_adds_again() {
    let (mut world, spray) = label_of_80_hours();
    for by in ["LEAD", "NURSE"] {
        world.ok(by, less(&world, "101", spray, minutes(130)));
    }
    world.ok("TECH", completed(&world, spray, Some("10:00"), Some(200)));
    world.to("12:30");
    world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    check_counts(&mut world, "13:30");
    // Nor does it open anything again to take back what two people said.
    let (mut world, spray) = label_of_80_hours();
    let first = world.ok("LEAD", less(&world, "101", spray, minutes(130)));
    world.ok("NURSE", less(&world, "101", spray, minutes(130)));
    check_counts(&mut world, "12:30");
    world.ok("LEAD", world.void("101", first));
    assert_eq!(world.state("101"), State::TreatedWet, "a check that came too early by what is left dried nothing");
}

#[test]
pub(super) fn a_first_statement_that_is_taken_back_is_no_half_of_two() {
    let (mut world, spray) = label_of_80_hours();
    let first = world.ok("LEAD", less(&world, "101", spray, minutes(130)));
    world.ok("LEAD", world.void("101", first));
    world.ok("NURSE", less(&world, "101", spray, minutes(130)));
    world.to("12:30");
    world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Label);
}

#[test]
pub(super) fn an_end_that_was_typed_too_late_is_lowered_and_never_before_the_beginning() {
    let mut world = World::open();
    world.to("12:00");
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = Some(world.at("12:00"));
    }
    let spray = world.ok_at("TECH", "09:00", (place, body));
    let end = |finished| Read { finished: Some(finished), ..Read::default() };
    world.no("LEAD", less(&world, "101", spray, end("08:30")), Rule::SprayLess);
    world.no("LEAD", less(&world, "101", spray, end("12:00")), Rule::SprayLess);
    for by in ["LEAD", "TECH"] {
        world.ok(by, less(&world, "101", spray, end("09:20")));
    }
    check_counts(&mut world, "12:10");
}

#[test]
pub(super) fn a_zone_that_nobody_sprayed_is_no_longer_wet_and_is_still_to_be_treated() {
    let mut world = World::open();
    world.to("08:00");
    world.ok("EYES", world.finding("101", &[dryhold::domain::entry::Sign::LiveAdult]));
    world.to("09:30");
    let spray = world.ok_at("TECH", "09:00", world.spray("101", SPRAYED_101, ""));
    let but_chair = "A/mattress A/frame B/mattress B/frame";
    let only = |zones| Read { zones: Some(zones), ..Read::default() };
    world.no("LEAD", less(&world, "101", spray, only(SPRAYED_101)), Rule::SprayLess);
    world.no("LEAD", less(&world, "101", spray, only("chair monitor")), Rule::SprayLess);
    for by in ["LEAD", "TECH"] {
        world.ok(by, less(&world, "101", spray, only(but_chair)));
    }
    world.to("12:00");
    world.ok("HK", world.dry_check("101", but_chair, ""));
    assert_ne!(world.state("101"), State::TreatedWet);
    let owed = world.board.evidence(code("101"));
    assert!(owed.iter().any(|it| it.need == Need::Covered(zone("chair")) && it.met_by.is_none()), "{owed:?}");
    world.ok("TECH", world.treat("101", "chair monitor"));
    for bed in ["A", "B"] {
        world.ok("HK", world.make("101", bed));
    }
    world.ok("LEAD", world.give_back("101"));
    assert!(world.is_open("A"));
}

/// An end that is told later lowers nothing, whoever tells it: the latest counts.
#[test]
fn an_earlier_end_that_one_person_tells_afterwards_changes_nothing() {
    let mut world = World::open();
    world.to("09:30");
    let spray = world.ok_at("TECH", "09:00", world.spray("101", SPRAYED_101, ""));
    world.ok("TECH", completed(&world, spray, Some("09:30"), Some(120)));
    world.raw("TECH", Place::room(code("101")), completed(&world, spray, Some("09:05"), None).1);
    world.to("11:20");
    world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    check_counts(&mut world, "11:31");
}

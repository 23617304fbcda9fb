//! Terminals whose clock is wrong: no check is later than its spray for it.

use dryhold::domain::entry::{Body, Known, Place, Sign, WhichClock};
use dryhold::domain::rule::Rule;

use super::super::rules::clocks::{House, hours};
use super::super::rules::world::{SPRAYED_101, World, code, left};
use super::{came, gap};

fn found_in_201(world: &World) -> (Place, Body) {
    world.finding("201", &[Sign::CastSkin])
}

fn handed_over(_: &World) -> (Place, Body) {
    (Place::Ward(code("W2")), Body::HandedOver { text: "all quiet".to_owned() })
}

fn done_again(house: &mut House) {
    house.to("13:30");
    house.put_right("desk");
    house.at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("desk");
    house.all_open();
}

/// The beds were felt minutes after they were sprayed. Four hours passed on one terminal's clock alone.
#[test]
fn a_check_by_a_clock_that_is_ahead_opens_at_no_terminal() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.spray("desk");
    house.put_right("fast");
    assert!(!house.closed_by("A").is_empty(), "by the desk's clock its label runs");
    house.at("desk", "NURSE", found_in_201);
    assert!(!house.is_open("A") && !house.is_open("B"));
    house.says("desk", "NURSE", WhichClock::Other);
    assert!(!house.is_open("A") && !house.is_open("B"));
    done_again(&mut house);
}

/// The same where a third terminal notes something that no rule reads, and the fast one is ahead by little more than the label.
#[test]
fn a_check_by_a_clock_that_is_little_more_than_the_label_ahead_opens_at_no_terminal() {
    let mut house = House::open(&[("fast", chrono::TimeDelta::minutes(125)), ("ward", hours(0))]);
    house.spray("desk");
    house.put_right("fast");
    assert!(!house.closed_by("A").is_empty(), "by the desk's clock its label runs");
    house.at("ward", "NURSE", handed_over);
    assert!(!house.is_open("A") && !house.is_open("B"));
    house.says("ward", "NURSE", WhichClock::Other);
    assert!(!house.is_open("A") && !house.is_open("B"));
    house.to("13:30");
    house.put_right("desk");
    house.count("desk");
    house.all_open();
}

/// A clock four hours ahead prepared the room: what it asks for is met by nothing that is done before that hour. Nobody is sent to do
/// the same again and again: the next step says until when to wait, and what comes after it.
#[test]
fn what_a_wrong_clock_stamped_ahead_is_waited_for_by_name() {
    let mut house = House::open(&[("fast", hours(4))]);
    house.count("desk");
    house.at("fast", "HK", |world| world.prepare("201", ""));
    house.says("desk", "NURSE", WhichClock::Other);
    let step = |house: &House| house.world.board.next_step(code("201"), house.world.now).expect("a step");
    house.at("desk", "HK", |world| world.make("201", "D"));
    let wait = step(&house);
    assert_eq!(wait.verb, "wrong-time", "{}", wait.text);
    assert!(wait.text.starts_with("wait until 13:0"), "{}", wait.text);
    assert!(!house.is_open("D"));
    house.to("13:10");
    assert_ne!(step(&house).verb, "wrong-time");
    house.at("desk", "HK", |world| world.make("201", "D"));
    house.at("desk", "LEAD", |world| world.give_back("201"));
    house.count("desk");
    house.all_open();
}

/// It was sprayed just now. That its terminal says seven in the morning makes its label no older.
#[test]
fn a_spray_by_a_clock_that_is_behind_is_felt_no_sooner_for_it() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.count("desk");
    house.to("10:00");
    house.spray("slow");
    let _ = house.try_at("desk", "HK", |world| world.dry_check("101", SPRAYED_101, ""));
    house.put_right("desk");
    assert!(!house.is_open("A") && !house.is_open("B"));
    house.says("slow", "TECH", WhichClock::This);
    assert!(!house.is_open("A") && !house.is_open("B"));
    house.to("12:20");
    house.put_right("desk");
    house.count("desk");
    house.all_open();
}

/// The same of the chair that was sprayed by that clock and rolled to another ward at once.
#[test]
fn a_thing_sprayed_by_a_clock_that_is_behind_is_felt_no_sooner_where_it_went() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.count("desk");
    house.to("10:00");
    house.spray("slow");
    house.at("desk", "HK", |_| left("CH1", "101", "chair", Some("201")));
    house.at("desk", "HK", |_| came("CH1", "201", Some("101"), Known::Yes));
    let check = |world: &World| world.dry_check("201", "CH1", "");
    let look = |world: &World| world.inspect("201", "D/mattress D/frame chair monitor");
    let give_back = |world: &World| world.give_back("201");
    for _ in 0..2 {
        let _ = house.try_at("desk", "HK", check);
        let _ = house.try_at("desk", "EYES", look);
        let _ = house.try_at("desk", "LEAD", give_back);
        assert!(!house.is_open("D"));
        let wall = house.world.now;
        let said = Body::ClockSaid { wall, wrong: WhichClock::This, other: String::new(), shown: None };
        let _ = house.try_at("slow", "TECH", |_| (Place::Hospital, said));
        assert!(!house.is_open("D"));
    }
    house.to("12:20");
    house.at("desk", "HK", check);
    house.at("desk", "TECH", |world| world.treat("201", "CH1"));
    house.at("desk", "HK", |world| world.vacuum("201", "CH1"));
    let _ = house.try_at("desk", "EYES", look);
    let _ = house.try_at("desk", "LEAD", give_back);
    house.count("desk");
    assert!(house.is_open("D"), "{:?}", house.closed_by("D"));
}

/// Two clocks disagree, and nobody has said which was wrong: what either of them notes since is in question with them.
#[test]
fn what_is_noted_while_two_clocks_disagree_rests_on_them() {
    let mut house = House::open(&[("slow", hours(-3)), ("ward", hours(0))]);
    house.to("10:00");
    house.at("desk", "NURSE", handed_over);
    house.at("slow", "NURSE", handed_over);
    assert!(house.is_open("D"));
    house.at("ward", "NURSE", |world| world.empty("W2", "D"));
    assert!(house.is_open("D"));
    house.at("desk", "NURSE", |world| world.empty("W2", "D"));
    assert!(house.closed_by("D").contains(&Rule::Clocks));
}

/// It was said that a clock is behind, and by how much; then its computer's clock is set right, and every time there is as much too late.
#[test]
fn a_clock_that_was_behind_and_is_set_right_dries_nothing() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.to("10:00");
    house.spray("desk");
    house.says("slow", "HK", WhichClock::This);
    house.set_right("slow");
    house.to("10:10");
    let check = |world: &World| world.dry_check("101", SPRAYED_101, "");
    let refusal = house.no("slow", "HK", check, Rule::ClockBack);
    assert!(refusal.to_string().contains("180 minutes behind at Mon 2 Mar 10:01"), "{refusal}");
    assert_eq!(refusal.mend(), Some("clock"));
    // What closes is noted all the same.
    house.at("slow", "HK", |world| world.finding("102", &[Sign::CastSkin]));
    house.says("slow", "HK", WhichClock::This);
    house.to("10:20");
    house.no("slow", "HK", check, Rule::Label);
    assert!(!house.is_open("A"));
    house.to("12:30");
    house.put_right("slow");
    house.count("desk");
    assert!(house.is_open("A"), "{:?}", house.closed_by("A"));
}

/// It is as far behind as it was said to be: whoever is asked says so again, and nothing that was noted there since falls.
#[test]
fn a_clock_that_is_still_behind_is_asked_for_again_and_takes_nothing_back() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.to("10:00");
    house.spray("desk");
    house.says("slow", "HK", WhichClock::This);
    house.to("12:30");
    let (zones, rest) = SPRAYED_101.split_once(' ').expect("several zones");
    house.at("slow", "HK", |world| world.dry_check("101", zones, ""));
    house.to("13:10");
    let check = |world: &World| world.dry_check("101", rest, "");
    house.no("slow", "HK", check, Rule::ClockBack);
    house.says("slow", "HK", WhichClock::This);
    house.at("slow", "HK", check);
    house.at("slow", "HK", |world| world.treat("101", &format!("{SPRAYED_101} monitor")));
    house.at("slow", "HK", |world| world.vacuum("101", "chair"));
    for bed in ["A", "B"] {
        house.at("slow", "HK", |world| world.make("101", bed));
    }
    house.at("slow", "LEAD", |world| world.give_back("101"));
    house.count("desk");
    assert!(house.is_open("A"), "{:?}", house.closed_by("A"));
}

/// Nor does it tell that a room may be looked through after a void, or that a ward may be walked after a gap.
#[test]
fn a_clock_that_was_behind_and_is_set_right_tells_no_look_and_no_walk() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.to("10:00");
    let spray = house.spray("desk");
    let void = house.at("desk", "LEAD", |world| world.void("101", spray));
    house.at("desk", "NURSE", |_| gap());
    house.says("slow", "HK", WhichClock::This);
    house.set_right("slow");
    house.to("11:45");
    house.no("slow", "IP", |world| world.look("101", void), Rule::ClockBack);
    house.no("slow", "LEAD", |world| world.walk_of_gap("W1", ""), Rule::ClockBack);
    house.says("slow", "HK", WhichClock::This);
    house.no("slow", "IP", |world| world.look("101", void), Rule::Label);
    house.no("slow", "LEAD", |world| world.walk_of_gap("W1", ""), Rule::Label);
}

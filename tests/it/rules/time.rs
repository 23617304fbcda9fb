//! Both orders, late notes, the future, and clocks that go wrong.

use chrono::TimeDelta;
use dryhold::domain::board::State;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId, Place, Sign};
use dryhold::domain::rule::Rule;

use super::world::*;

#[test]
pub(super) fn a_fact_is_noted_late_only_by_the_person_who_did_it_and_within_the_hour() {
    let mut world = World::sprayed();
    world.to("13:00");
    world.no_at("HK", "11:45", world.launder("101", "BAG1"), Rule::LateFact);
    let (place, body) = world.launder("101", "BAG1");
    let mut command = Command::new(CommandId(900), place, body);
    command.happened = Some(world.at("12:30"));
    command.done_by = Some(code("WASH"));
    world.refused("HK", &command, Rule::LateFact);
    world.note("WASH", &command);
    assert!(!world.closed_by("A").contains(&Rule::Bags));
}

#[test]
pub(super) fn a_numbered_slip_may_be_noted_later() {
    let mut world = World::sprayed();
    world.to("15:00");
    let (place, mut body) = world.launder("101", "BAG1");
    if let Body::Laundered { slip, .. } = &mut body {
        "slip 4711".clone_into(slip);
    }
    world.ok_at("HK", "11:45", (place, body));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
}

#[test]
pub(super) fn what_stands_on_a_downtimes_sheets_is_noted_late_until_the_ward_is_walked() {
    let mut world = World::open();
    world.to("15:00");
    let until = world.at("14:30");
    let downtime = |from: &str| {
        let from = World::open().at(from);
        (Place::Ward(code("W1")), Body::Downtime { from, until, sheets: "7 to 9".to_owned() })
    };
    world.no("HK", downtime("09:00"), Rule::Role);
    world.no("LEAD", downtime("14:40"), Rule::Future);
    world.ok("LEAD", downtime("09:00"));
    assert!(world.closed_by("A").contains(&Rule::WardWalk) && world.closed_by("C").contains(&Rule::WardWalk));
    // A sheet is entered by whoever may do the work, in the order in which it happened.
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = Some(world.at("09:30"));
    }
    world.ok_at("TECH", "09:10", (place, body));
    let sheet = |world: &World, (place, body): (Place, Body), at: &str| {
        let mut command = Command::new(CommandId(900 + world.board.last().unwrap().0.0), place, body);
        command.happened = Some(world.at(at));
        command.done_by = Some(code("HK"));
        command
    };
    let (place, mut body) = world.dry_check("101", SPRAYED_101, "");
    if let Body::DryChecked { began, .. } = &mut body {
        *began = world.at("12:00");
    }
    let dry = sheet(&world, (place, body), "12:10");
    world.note("LEAD", &dry);
    assert_eq!(world.state("101"), State::TreatedDry);
    // Not of a time that no sheet tells of, nor where nobody said that there was a downtime.
    let early = sheet(&world, world.launder("101", "BAG1"), "08:50");
    world.refused("LEAD", &early, Rule::LateFact);
    let elsewhere = sheet(&world, world.make("201", "D"), "12:20");
    world.refused("LEAD", &elsewhere, Rule::LateFact);
    // The walk says what was asked and what was wet, once a room that was sprayed at its end may be entered.
    world.no("LEAD", world.walk("W1"), Rule::WardWalk);
    world.no("LEAD", world.walk_of_gap("W1", ""), Rule::Label);
    world.to("16:30");
    world.ok("LEAD", world.walk_of_gap("W1", ""));
    let late = sheet(&world, world.launder("101", "BAG1"), "12:30");
    world.refused("LEAD", &late, Rule::LateFact);
    let mut late = late;
    late.happened = None;
    late.done_by = None;
    world.note("WASH", &late);
}

#[test]
pub(super) fn a_check_noted_before_a_late_noted_spray_does_not_dry_it() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    world.to("12:00");
    world.ok("HK", world.dry_check("102", SPRAYED_102, ""));
    // A second spray of 09:30 comes to light at 12:30.
    world.to("12:30");
    let (place, mut body) = world.spray("102", "chair", "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = Some(world.at("09:40"));
    }
    world.ok_at("TECH", "09:30", (place, body));
    assert_eq!(world.state("102"), State::TreatedWet);
    // The person who checked notes it again within the hour, from the check that began at 12:00.
    let (place, mut body) = world.dry_check("102", SPRAYED_102, "");
    if let Body::DryChecked { began, .. } = &mut body {
        *began = world.at("11:59");
    }
    world.ok_at("HK", "12:05", (place, body));
    assert_eq!(world.state("102"), State::TreatedDry);
}

#[test]
pub(super) fn facts_and_signatures_never_lie_in_the_future_and_a_closing_entry_is_asked_about_once() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.no_at("HK", "12:00", world.dry_check("101", SPRAYED_101, ""), Rule::Future);
    world.no_at("LEAD", "12:00", world.give_back("101"), Rule::Future);
    let (place, body) = world.finding("102", &[Sign::Eggs]);
    let mut command = Command::new(CommandId(901), place, body);
    command.happened = Some(world.at("23:00"));
    world.refused("HK", &command, Rule::Future);
    command.future_is_meant = true;
    world.note("HK", &command);
    assert_eq!(world.state("102"), State::Suspect, "it counts at once");
}

#[test]
pub(super) fn a_spray_does_not_end_before_it_began_nor_in_the_future() {
    let mut world = World::open();
    world.to("09:00");
    for (end, ahead) in [("08:00", false), ("10:00", true)] {
        let (place, mut body) = world.spray("102", SPRAYED_102, "");
        if let Body::Sprayed { finished, .. } = &mut body {
            *finished = Some(world.at(end));
        }
        let refusal = world.no("TECH", (place, body), Rule::Future);
        assert_eq!(refusal.to_string().contains("in the future"), ahead, "{refusal}");
    }
}

#[test]
pub(super) fn signatures_are_never_noted_late_and_cover_only_what_was_shown() {
    let mut world = World::ready_to_return();
    world.to("12:30");
    world.no_at("LEAD", "12:20", world.give_back("101"), Rule::SignedNow);
    let shown = world.give_back("101");
    world.ok("HK", world.finding("101", &[Sign::CastSkin]));
    world.no("LEAD", shown, Rule::Seen);
    world.ok("EYES", world.inspect("101", ALL_101));
    world.ok("LEAD", world.give_back("101"));
}

#[test]
pub(super) fn settings_are_never_back_dated() {
    let mut world = World::open();
    world.to("09:00");
    let set = (Place::Hospital, Body::PolicySet { key: "clear-days".to_owned(), value: 90 });
    world.no_at("LEAD", "08:00", set.clone(), Rule::SignedNow);
    world.ok("LEAD", set);
}

#[test]
pub(super) fn a_fact_noted_before_what_is_already_noted_does_not_count() {
    let mut world = World::sprayed();
    world.to("11:40");
    world.ok("HK", world.finding("102", &[Sign::ReportedBites]));
    // This terminal's clock is ten minutes slow.
    world.now = world.at("11:30");
    world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::ClockBack);
    // What closes still counts, whatever the clock says.
    world.ok("HK", world.finding("201", &[Sign::Eggs]));
    assert_eq!(world.state("201"), State::Suspect);
    world.now += TimeDelta::minutes(11);
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
}

#[test]
pub(super) fn what_was_seen_or_felt_damp_can_always_be_noted_however_late() {
    let mut world = World::sprayed();
    world.to("16:00");
    world.ok_at("HK", "11:30", world.dry_check("101", "", "A/mattress"));
    let (place, mut body) = world.inspect("102", ALL_102);
    if let Body::Inspected { looks, began, .. } = &mut body {
        looks[0].seen = vec![Sign::LiveAdult];
        *began = world.at("09:00");
    }
    world.ok_at("TECH", "09:20", (place, body));
    assert_eq!(world.state("102"), State::Confirmed);
    let late = Body::OccupancyConfirmed { occupied: vec![code("D")], empty: vec![], gone: vec![] };
    world.ok_at("NURSE", "10:00", (Place::Ward(code("W2")), late));
    assert_eq!(world.closed_by("D"), [Rule::Occupancy]);
}

#[test]
pub(super) fn a_load_from_before_the_spray_does_not_do_for_what_the_spray_reached() {
    let mut world = World::open();
    world.to("08:20");
    world.ok("HK", world.prepare("101", "BAG1"));
    world.to("09:10");
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    world.to("09:45");
    world.ok_at("WASH", "09:05", world.launder("101", "BAG1"));
    assert!(world.closed_by("A").contains(&Rule::Bags), "it was noted after the spray, and happened before it");
    world.ok("WASH", world.launder("101", "BAG1"));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
}

#[test]
pub(super) fn a_dry_check_before_the_labels_minutes_counts_for_nothing_whoever_wrote_it() {
    let mut world = World::sprayed();
    world.to("10:30");
    let (place, body) = world.dry_check("101", SPRAYED_101, "");
    world.raw("HK", place, body);
    assert_eq!(
        world.state("101"),
        State::TreatedWet,
        "120 minutes stand on the label, and no decision was asked about it"
    );
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(world.state("101"), State::TreatedDry);
}

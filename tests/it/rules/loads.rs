//! Bags and their loads: what a logger's trace must be to settle one, one tag for one bag, and a bag that was settled.

use chrono::TimeDelta;
use dryhold::domain::describe::sentence;
use dryhold::domain::entry::{Body, Cycle, Known, LinenSource, Place};
use dryhold::domain::measured::{FileHash, HeldFor, LoggerIn, Measured, SensorSeen};
use dryhold::domain::rule::Rule;

use super::world::*;

fn room(text: &str) -> Place {
    Place::room(code(text))
}

/// A wash that meets every rule but the hottest, of this file, from this time of the day on or without one.
fn washed(world: &World, file: u8, began: Option<&str>, minutes: u32) -> Measured {
    let held = [401, 548, 600, 650, 710, 711];
    let long = |decicelsius: &i32| HeldFor { decicelsius: *decicelsius, longest_seconds: 1800, total_seconds: 1800 };
    let sensor = SensorSeen {
        name: "drum".to_owned(),
        hottest_decicelsius: 760,
        held: held.iter().map(long).collect(),
        a0_seconds: 700,
        gaps: 0,
        gap_seconds: 0,
    };
    Measured {
        file: FileHash([file; 32]),
        machine: LoggerIn::Washer,
        uncertainty_decikelvin: Some(5),
        longest_step_seconds: 60,
        began: began.map(|clock| world.at(clock)),
        seconds: minutes * 60,
        sensors: vec![sensor],
        read_as: "°C as its header says".to_owned(),
    }
}

fn load(bag: &str, trace: Measured, clock_checked: bool) -> (Place, Body) {
    let trace = Some(Box::new(trace));
    let cycle = Cycle { detergent: Known::Yes, trace, clock_checked, ..Cycle::default() };
    (room("101"), Body::Laundered { bag: code(bag), cycle, slip: String::new() })
}

fn waits(world: &World) -> bool {
    world.closed_by("A").contains(&Rule::Bags)
}

/// Filled at 09:10, noted at 11:30: refused by hand, and of an entry from before this rule nothing is settled.
#[test]
pub(super) fn a_trace_that_cannot_be_the_bags_settles_nothing_however_it_came_into_the_ledger() {
    let impossible = [(Some("08:00"), 60), (Some("08:10"), 60), (Some("06:59"), 150), (None, 141), (None, 1440)];
    for (began, minutes) in impossible {
        for checked in [false, true] {
            let mut world = World::sprayed();
            world.to("11:30");
            let it = load("BAG1", washed(&world, 1, began, minutes), checked);
            let refusal = world.no("WASH", it.clone(), Rule::LaundryCriteria).to_string();
            assert!(refusal.contains("BAG1 was filled"), "{refusal}");
            let number = world.raw("WASH", it.0, it.1);
            assert!(waits(&world), "{began:?} {minutes}");
            assert!(world.board.problems().iter().any(|it| it.number == number && it.rule == Rule::LaundryCriteria));
            assert!(sentence(world.entries.last().unwrap(), &world.board).starts_with("failed: bag BAG1 laundered"));
        }
    }
    let mut ahead = World::sprayed();
    ahead.to("11:30");
    let mut trace = washed(&ahead, 1, Some("11:30"), 40);
    trace.began = trace.began.map(|at| at + TimeDelta::days(7));
    ahead.no("WASH", load("BAG1", trace.clone(), true), Rule::LaundryCriteria);
    let it = load("BAG1", trace, true);
    ahead.raw("WASH", it.0, it.1);
    assert!(waits(&ahead));
}

/// What may be a wrong clock counts once somebody said that it was checked, and never before.
#[test]
pub(super) fn a_doubtful_trace_counts_only_with_a_word_of_its_own() {
    let doubtful = [(Some("09:09"), 60), (Some("07:10"), 121), (Some("11:00"), 60)];
    for (began, minutes) in doubtful {
        let mut world = World::sprayed();
        world.to("11:30");
        let it = |world: &World, checked| load("BAG1", washed(world, 1, began, minutes), checked);
        let refusal = world.no("WASH", it(&world, false), Rule::LaundryCriteria).to_string();
        assert!(refusal.contains("clock-checked: yes"), "{refusal}");
        let old = it(&world, false);
        world.raw("WASH", old.0, old.1);
        assert!(waits(&world), "{began:?}");
        world.ok("WASH", it(&world, true));
        assert!(!waits(&world), "{began:?}");
        assert!(sentence(world.entries.last().unwrap(), &world.board).contains("logger's clock checked"));
    }
    for (began, minutes) in [(Some("09:10"), 60), (Some("10:29"), 60), (None, 140)] {
        let mut world = World::sprayed();
        world.to("11:30");
        world.ok("WASH", load("BAG1", washed(&world, 1, began, minutes), false));
        assert!(!waits(&world), "{began:?}");
    }
}

/// While nobody said when the spraying ended, no date shows that the bag was filled by then.
#[test]
pub(super) fn a_dated_trace_waits_for_the_end_of_the_spray() {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = None;
    }
    let spray = world.ok("TECH", (place, body));
    world.to("11:30");
    let it = |world: &World| load("BAG1", washed(world, 1, Some("09:20"), 60), false);
    let refusal = world.no("WASH", it(&world), Rule::LaundryCriteria).to_string();
    assert!(refusal.contains("nobody said yet when the spraying"), "{refusal}");
    let finished = Some(world.at("09:25"));
    let (zones, bags, reentry_words, reentry_minutes) = (None, None, None, None);
    world.ok(
        "TECH",
        (
            room("101"),
            Body::SprayCompleted {
                spray,
                zones,
                finished,
                bags,
                reentry_words,
                reentry_minutes,
                amount_ml: None,
                patient_inside: dryhold::domain::entry::Known::Unknown,
            },
        ),
    );
    let refusal = world.no("WASH", it(&world), Rule::LaundryCriteria).to_string();
    assert!(refusal.contains("begins at 2026-") && refusal.contains("was filled"), "{refusal}");
    world.ok("WASH", load("BAG1", washed(&world, 2, Some("09:30"), 60), false));
}

/// One file is one load: a bag that was filled after it was first kept was not in it.
#[test]
pub(super) fn a_file_that_was_kept_before_the_bag_was_filled_is_of_no_load_of_it() {
    for voided in [false, true] {
        let mut world = World::sprayed();
        world.to("10:30");
        let first = world.ok("WASH", load("BAG1", washed(&world, 1, None, 60), false));
        if voided {
            world.ok("WASH", world.void("101", first));
        }
        world.to("10:40");
        world.ok("HK", world.prepare("101", "BAG7"));
        world.to("12:40");
        for checked in [false, true] {
            let refusal = world.no("WASH", load("BAG7", washed(&world, 1, None, 60), checked), Rule::LaundryCriteria);
            assert!(refusal.to_string().contains("kept this trace at"), "{refusal}");
        }
        world.ok("WASH", load("BAG7", washed(&world, 2, None, 60), false));
    }
    // It was said of that load that it had ended before: one of the two times may be wrong.
    let mut world = World::sprayed();
    world.to("09:30");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.to("10:05");
    let first = load("BAG1", washed(&world, 1, None, 5), false);
    world.ok_at("WASH", "09:20", first);
    world.no("WASH", load("BAG7", washed(&world, 1, None, 5), false), Rule::LaundryCriteria);
    world.ok("WASH", load("BAG7", washed(&world, 1, None, 5), true));
}

/// Two bags under one tag would be settled by the load of one, and so would all those that nobody could name.
#[test]
pub(super) fn one_tag_is_one_tag_in_every_entry_that_names_one() {
    for tag in ["BAG1;BAG2", "BAG1 BAG2", "BAG1; BAG2", "BAG1+BAG2", "none", "N/A", "-", "unknown", "?", "no"] {
        let tag = code(tag);
        let mut world = World::sprayed();
        world.to("11:30");
        let laundered = match world.launder("101", "BAG1") {
            (place, Body::Laundered { cycle, slip, .. }) => (place, Body::Laundered { bag: tag, cycle, slip }),
            other => panic!("{other:?}"),
        };
        let (place, mut spray) = world.spray("101", SPRAYED_101, "");
        if let Body::Sprayed { bags, .. } = &mut spray {
            *bags = Some(vec![code("BAG1"), tag]);
        }
        let number = world.entries.iter().find(|it| matches!(it.body, Body::Sprayed { .. })).unwrap().number;
        let completed = Body::SprayCompleted {
            spray: number,
            zones: None,
            finished: None,
            bags: Some(vec![tag]),
            reentry_words: None,
            reentry_minutes: None,
            amount_ml: None,
            patient_inside: dryhold::domain::entry::Known::Unknown,
        };
        let prepared = Body::Prepared { steps: vec![], bags: vec![code("BAG9"), tag], note: String::new() };
        let made = Body::BedMade { bed: code("A"), linens: LinenSource::Bags(vec![code("BAG1"), tag]) };
        for (who, it) in [
            ("WASH", laundered),
            ("TECH", (place, spray)),
            ("TECH", (room("101"), completed)),
            ("HK", (room("101"), prepared)),
            ("HK", (room("101"), made)),
        ] {
            let refusal = world.no(who, it, Rule::Bags).to_string();
            assert!(refusal.contains("by its own tag"), "{refusal}");
        }
    }
}

#[test]
pub(super) fn a_bag_that_was_settled_is_told_as_settled_and_not_as_one_that_never_was() {
    let mut world = World::returned();
    let made = |tag: &str| {
        let linens = LinenSource::Bags(vec![code(tag)]);
        (room("101"), Body::BedMade { bed: code("A"), linens })
    };
    let refusal = world.no("HK", made("BAG1"), Rule::Linens).to_string();
    assert!(refusal.contains("bag BAG1 was this room's") && refusal.contains("was settled"), "{refusal}");
    let refusal = world.no("HK", made("BAG8"), Rule::Linens).to_string();
    assert!(refusal.contains("this room has no bag BAG8"), "{refusal}");
}

/// The verdict comes first, so that no list cuts it off.
#[test]
pub(super) fn a_failed_load_says_so_first() {
    let mut world = World::sprayed();
    world.to("11:30");
    let cycle = |celsius| Cycle {
        wash_decicelsius: Some(celsius),
        wash_minutes: Some(30),
        detergent: Known::Yes,
        ..Cycle::default()
    };
    let mut said = |celsius| {
        let body = Body::Laundered { bag: code("BAG1"), cycle: cycle(celsius), slip: String::new() };
        world.ok("WASH", (room("101"), body));
        sentence(world.entries.last().unwrap(), &world.board)
    };
    assert!(said(400).starts_with("failed: bag BAG1 laundered: wash 40 °C"), "{}", said(400));
    assert!(said(720).starts_with("bag BAG1 laundered: wash 72 °C"));
}

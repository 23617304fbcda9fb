//! Monitoring to clear: days without activity and negative checks, counted in the hospital's own calendar.

use chrono::{TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;
use dryhold::domain::board::{Board, State, clear_lacks, quiet_days};
use dryhold::domain::entry::{Body, InspectionMethod, Known, Place, Sign};
use dryhold::domain::rule::Rule;

use super::world::*;

fn clear(world: &World) -> (Place, Body) {
    (Place::room(code("101")), Body::Cleared { seen: world.seen("101") })
}

/// Both beds of room 101 occupied from the day of the return on.
fn lived_in() -> World {
    let mut world = World::returned();
    world.ok("NURSE", world.occupied("101", "A"));
    world
}

fn follow_up(world: &mut World, days: i64) {
    world.days(days);
    world.ok("EYES", world.inspect("101", ALL_101));
}

#[test]
pub(super) fn sixty_days_and_three_negative_inspections_make_a_room_clear() {
    // 60 days with no activity, inspected within 14 days and again: StopPests in Housing, Northeastern IPM Center.
    let mut world = lived_in();
    for _ in 0..4 {
        follow_up(&mut world, 14);
    }
    world.no("LEAD", clear(&world), Rule::ClearDays);
    follow_up(&mut world, 5);
    world.no("NURSE", clear(&world), Rule::Role);
    world.ok("LEAD", clear(&world));
    assert_eq!(world.state("101"), State::Clear);
}

#[test]
pub(super) fn days_alone_do_not_make_a_room_clear() {
    let mut world = lived_in();
    follow_up(&mut world, 30);
    follow_up(&mut world, 35);
    world.no("LEAD", clear(&world), Rule::ClearChecks);
    let (place, mut body) = world.inspect("101", ALL_101);
    if let Body::Inspected { method, .. } = &mut body {
        *method = InspectionMethod::Traps;
    }
    world.ok("EYES", (place.clone(), body));
    world.no("LEAD", clear(&world), Rule::ClearChecks);
    follow_up(&mut world, 1);
    world.ok("LEAD", clear(&world));
}

#[test]
pub(super) fn no_room_turns_clear_by_standing_empty() {
    // Cooper, Wang & Singh 2015, PLoS ONE 10:e0136462: live bugs after 155 days in a vacant flat.
    let mut world = World::returned();
    for _ in 0..11 {
        follow_up(&mut world, 15);
    }
    world.no("LEAD", clear(&world), Rule::ClearDays);
    let days = quiet_days(&world.board, code("101"), world.now);
    assert_eq!((days.counted, days.empty), (0, 164));
}

#[test]
pub(super) fn any_live_find_starts_the_count_again() {
    // StopPests in Housing: any live find, treat again, count starts again.
    let mut world = lived_in();
    for _ in 0..4 {
        follow_up(&mut world, 15);
    }
    world.days(1);
    world.ok("TECH", world.finding("101", &[Sign::LiveNymph]));
    assert_eq!(world.state("101"), State::Confirmed);
    world.no("LEAD", clear(&world), Rule::ClearState);
    assert_eq!(quiet_days(&world.board, code("101"), world.now).counted, 0);
}

#[test]
pub(super) fn an_old_mark_in_monitoring_asks_for_an_inspection_and_suspects_nothing() {
    for (wiped, state) in
        [(Known::No, State::Monitoring), (Known::Yes, State::Suspect), (Known::Unknown, State::Suspect)]
    {
        let mut world = World::returned();
        let (place, mut body) = world.finding("101", &[Sign::DarkSpots]);
        if let Body::Finding { wiped_before, .. } = &mut body {
            *wiped_before = wiped;
        }
        world.ok("HK", (place, body));
        assert_eq!(world.state("101"), state, "{wiped:?}");
        let asked = world
            .board
            .tasks(world.now)
            .iter()
            .any(|t| t.room == code("101") && t.verb == "inspect" && t.need.contains("mark"));
        assert_eq!(asked, wiped == Known::No);
    }
}

#[test]
pub(super) fn days_of_23_and_25_hours_count_as_one_day_each() {
    // Europe/Berlin changes its clocks on 29 March and 25 October 2026 (IANA time zone database).
    let zone: Tz = chrono_tz::Europe::Berlin;
    for (from, hours) in [("2026-03-28", 23), ("2026-10-24", 25)] {
        let mut world = lived_in();
        let date: chrono::NaiveDate = from.parse().unwrap();
        let local = |days: i64, hour: u32| {
            let at = (date + TimeDelta::days(days)).and_hms_opt(hour, 30, 0).unwrap();
            zone.from_local_datetime(&at).unwrap().with_timezone(&Utc)
        };
        assert_eq!((local(2, 0) - local(1, 0)).num_hours(), hours);
        world.now = local(0, 12);
        world.ok("HK", world.finding("101", &[Sign::CastSkin]));
        world.now = local(1, 0);
        world.ok("EYES", world.inspect("101", ALL_101));
        let board = Board::new().in_zone(zone);
        let board = world.entries.iter().fold(board, |mut board, entry| {
            board.apply(entry);
            board
        });
        let counted = |days, hour| quiet_days(&board, code("101"), local(days, hour)).counted;
        assert_eq!((counted(1, 23), counted(2, 0), counted(2, 23), counted(3, 0)), (0, 1, 1, 2), "{from}");
        assert!(!clear_lacks(&board, code("101"), local(3, 0)).is_empty());
    }
}

#[test]
pub(super) fn a_confirmed_room_asks_its_neighbours_and_those_that_share_a_space() {
    let mut world = World::open();
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let asked = |world: &World| -> Vec<String> {
        let tasks = world.board.tasks(world.now);
        let next_to = tasks.iter().filter(|t| t.need.contains("next to"));
        next_to.map(|t| t.room.to_string()).collect()
    };
    assert_eq!(asked(&world), ["102", "BATH"]);
    world.ok("EYES", world.inspect("102", ALL_102));
    assert_eq!(asked(&world), ["BATH"]);
}

#[test]
pub(super) fn a_clear_falls_with_the_return_that_it_came_after() {
    let mut world = World::ready_to_return();
    let signed = world.ok("LEAD", world.give_back("101"));
    world.ok("NURSE", world.occupied("101", "A"));
    for _ in 0..4 {
        follow_up(&mut world, 16);
    }
    world.ok("LEAD", clear(&world));
    assert_eq!(world.state("101"), State::Clear);
    world.ok("LEAD", world.void("101", signed));
    assert_eq!(world.state("101"), State::TreatedDry);
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(world.state("101"), State::Monitoring, "its case is open again");
}

#[test]
fn checks_of_an_empty_room_prove_nothing_and_say_so() {
    let said = |world: &World| dryhold::domain::likely::odds(&world.board, code("101"), world.now).unwrap();
    // Cooper, Wang & Singh 2015, PLoS ONE 10:e0136462: live bugs after 155 days in a vacant flat.
    let mut empty = World::returned();
    follow_up(&mut empty, 10);
    assert!(
        said(&empty).contains("stood empty on all 9 days") && said(&empty).contains("prove nothing"),
        "{}",
        said(&empty)
    );
    assert!(!said(&empty).contains('%'), "no chance comes out of checks that prove nothing: {}", said(&empty));
    let mut slept_in = lived_in();
    follow_up(&mut slept_in, 10);
    assert!(
        said(&slept_in).contains(" %, from even odds") && !said(&slept_in).contains("empty on"),
        "{}",
        said(&slept_in)
    );
    slept_in.ok("NURSE", slept_in.empty("W1", "A"));
    follow_up(&mut slept_in, 4);
    assert!(said(&slept_in).contains("It stood empty on "), "{}", said(&slept_in));
    for _ in 0..6 {
        follow_up(&mut slept_in, 1);
    }
    assert!(said(&slept_in).contains("under 1 %"), "never nothing: {}", said(&slept_in));
}

//! When work falls due: from when it was asked for and could first be done, and the follow-up from the treatment.

use chrono::{Datelike, TimeDelta};
use dryhold::domain::airing::AirChange;
use dryhold::domain::board::{DryAbout, Task, TaskKind, quiet_days};
use dryhold::domain::entry::{Body, Number, Place, Sign, Ventilation};
use dryhold::domain::remarks::remarks;

use super::world::*;

fn task(world: &World, room: &str, kind: TaskKind) -> Option<Task> {
    world.board.tasks_of(code(room), world.now).into_iter().find(|task| task.kind == kind)
}

fn follow_up(world: &World) -> i64 {
    let due = task(world, "101", TaskKind::FollowUp).and_then(|task| task.due).unwrap();
    let treated = world.board.room(code("101")).unwrap().last_spray.unwrap();
    (due - treated).num_days()
}

#[test]
pub(super) fn a_follow_up_counts_from_the_treatment_and_is_due_before_the_return_too() {
    let mut world = World::sprayed();
    assert_eq!(follow_up(&world), 14, "the room is still wet, and its day stands already");
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(follow_up(&world), 14);
    let mut world = World::ready_to_return();
    world.days(5);
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(follow_up(&world), 14, "five days until the return change nothing");
    // The check after the eggs' time is one of its own: at 22 °C after twelve days.
    let eggs = task(&world, "101", TaskKind::AfterEggs).unwrap();
    let treated = world.board.room(code("101")).unwrap().last_spray.unwrap();
    assert_eq!(eggs.due.map(|due| (due - treated).num_days()), Some(12));
    assert_eq!(eggs.due, world.board.eggs_hatched(code("101")));
    world.days(3);
    world.ok("EYES", world.inspect("101", ALL_101));
    assert_eq!(follow_up(&world), 14 + 8, "the next one counts from a look");
    assert!(task(&world, "101", TaskKind::AfterEggs).is_some(), "a look before that day does not do for it");
    world.days(6);
    world.ok("EYES", world.inspect("101", ALL_101));
    assert_eq!(task(&world, "101", TaskKind::AfterEggs), None);
}

/// The sixtieth whole day after 1 March is 30 April; when that is over, on 1 May, sixty have passed.
#[test]
pub(super) fn sixty_days_from_the_first_of_march_are_over_with_the_thirtieth_of_april() {
    let mut world = World::returned();
    assert_eq!((world.now.month(), world.now.day()), (3, 2));
    world.ok("NURSE", world.occupied("101", "A"));
    let counted = |world: &World| quiet_days(&world.board, code("101"), world.now).counted;
    // The activity was on 2 March: whole days are those from 3 March on.
    let day = |month: u32, day: u32| {
        world.now + (chrono::NaiveDate::from_ymd_opt(2026, month, day).unwrap() - world.now.date_naive())
    };
    let days = [(3, 3), (3, 4), (4, 30), (5, 1), (5, 2)].map(|(month, of)| day(month, of));
    let counts = days.map(|at| {
        world.now = at;
        counted(&world)
    });
    assert_eq!(counts, [0, 1, 58, 59, 60], "neither the day itself nor today counts");
}

#[test]
pub(super) fn nothing_inside_a_wet_room_is_due_before_it_is_dry() {
    let mut world = World::sprayed();
    world.days(1);
    for kind in [TaskKind::Treat, TaskKind::Vacuum, TaskKind::MakeBed] {
        let it = task(&world, "101", kind).unwrap();
        assert_eq!((it.due, it.overdue), (None, false), "{kind:?} waits");
        assert!(!it.can_be_done(world.state("101"), world.now));
    }
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    for kind in [TaskKind::Treat, TaskKind::Vacuum, TaskKind::MakeBed] {
        let it = task(&world, "101", kind).unwrap();
        assert!(it.due.is_some_and(|due| due > world.now) && !it.overdue, "{kind:?} counts from the dry check");
    }
}

#[test]
pub(super) fn a_patient_is_moved_at_once_and_late_only_when_nobody_came() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let it = |world: &World| task(world, "101", TaskKind::PatientOut).unwrap();
    assert!(it(&world).due.is_some_and(|due| due <= world.now) && !it(&world).overdue);
    world.to("09:30");
    assert!(it(&world).overdue);
}

#[test]
pub(super) fn a_look_that_nobody_ever_took_turns_overdue_as_one_taken_once_does() {
    let mut world = World::open();
    assert!(!task(&world, "102", TaskKind::DailyLook).unwrap().overdue);
    world.days(2);
    assert!(task(&world, "102", TaskKind::DailyLook).unwrap().overdue);
}

#[test]
pub(super) fn one_inspection_does_for_every_case_around_and_is_asked_once() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("TECH", world.finding("102", &[Sign::LiveAdult]));
    let of = world.board.tasks_of(code("BATH"), world.now).into_iter().filter(|task| task.kind == TaskKind::Neighbour);
    let said: Vec<String> = of.map(|task| task.need).collect();
    assert_eq!(said, ["inspect: next to 101, 102, confirmed"]);
}

#[test]
pub(super) fn beds_that_nobody_confirmed_are_a_task_of_the_charge_nurse() {
    let mut world = World::open();
    assert_eq!(task(&world, "102", TaskKind::Occupancy), None);
    world.to("20:00");
    let it = task(&world, "102", TaskKind::Occupancy).unwrap();
    assert_eq!((it.role, it.verb, it.overdue), (dryhold::domain::people::Role::ChargeNurse, "occupancy", false));
    assert_eq!(it.command, "dryhold note occupancy W1", "one count does for the ward");
    assert_eq!(world.next_step("102"), "occupancy");
}

#[test]
pub(super) fn after_a_damp_check_the_forecast_is_no_moment_and_its_times_differ() {
    let mut world = World::sprayed();
    world.to("13:00");
    world.ok("HK", world.dry_check("101", "A/mattress A/frame B/frame chair", "B/mattress"));
    let Some(DryAbout::Between { from, likely, until }) = world.board.dry_about(code("101")) else {
        panic!("a forecast")
    };
    let damp = world.now - TimeDelta::minutes(1);
    assert!(damp < from && from < likely && likely < until, "{damp} {from} {likely} {until}");
}

#[test]
pub(super) fn the_same_touch_noted_twice_is_said() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let number = world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let said = remarks(&world.entries[number.0 as usize - 1], &world.board, &world.entries).join("; ");
    assert!(said.contains("one check noted twice"), "{said}");
    world.to("12:30");
    let number = world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let said = remarks(&world.entries[number.0 as usize - 1], &world.board, &world.entries).join("; ");
    assert!(!said.contains("noted twice"), "{said}");
}

#[test]
pub(super) fn beds_that_wait_for_their_bathroom_do_not_wait_for_an_inspection_of_their_room() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    assert_eq!(world.next_step("102"), "inspect", "next to a case");
    let (place, body) = world.spray("BATH", "skirting", "");
    world.ok("TECH", (place, body));
    assert!(!world.is_open("C"));
    assert_eq!(world.next_step("102"), "", "what comes first is in the bathroom");
}

#[test]
pub(super) fn a_return_that_fell_and_zones_of_a_voided_spray_are_known() {
    let mut world = World::ready_to_return();
    let check = world.entries.iter().find(|it| matches!(it.body, Body::DryChecked { .. })).unwrap().number;
    let signed = world.ok("LEAD", world.give_back("101"));
    let room = |world: &World| world.board.room(code("101")).unwrap().clone();
    assert!(!room(&world).has_fallen(signed));
    world.ok("LEAD", world.void("101", check));
    assert!(room(&world).has_fallen(signed));

    let mut world = World::open();
    world.to("09:00");
    let spray = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    assert!(world.board.may_be_wet(code("102")).is_empty(), "its own spray says it");
    let void = world.ok("LEAD", world.void("102", spray));
    assert_eq!(world.board.may_be_wet(code("102")).into_iter().collect::<Vec<_>>(), {
        let mut all = zones(SPRAYED_102);
        all.sort();
        all
    });
    world.to("12:00");
    world.ok("EYES", world.look("102", void));
    assert!(world.board.may_be_wet(code("102")).is_empty());
}

#[test]
pub(super) fn a_promise_says_by_when_the_work_has_to_begin() {
    let mut world = World::ready_to_return();
    let wanted = world.now + TimeDelta::hours(3);
    let place = Place::room(code("102"));
    world.ok("HK", world.finding("102", &[Sign::DarkSpots]));
    world.ok("NURSE", (place, Body::Promised { beds: vec![code("C")], wanted: Some(wanted) }));
    let by = world.board.begin_by(code("C"), wanted, world.now).unwrap();
    assert_eq!((wanted - by).num_minutes(), 20, "an inspection takes as long");
    assert_eq!(world.board.begin_by(code("C"), world.now, world.now), None, "it is late already");
}

/// Sprayed with the ventilation off, and felt damp at 11:15, when the room was aired so since.
fn felt_damp(change: Option<AirChange>) -> (World, Number) {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { record, .. } = &mut body {
        record.ventilation = Some(Ventilation::Off);
    }
    world.ok("TECH", (place, body));
    world.to("11:15");
    let (place, mut body) = world.dry_check("101", "A/mattress A/frame B/frame chair", "B/mattress");
    if let Body::DryChecked { changed, .. } = &mut body {
        *changed = change;
    }
    let check = world.ok("HK", (place, body));
    (world, check)
}

#[test]
pub(super) fn a_fan_that_was_noted_after_the_spray_changes_the_forecast_from_then_on() {
    let about = |world: &World| match world.board.dry_about(code("101")) {
        Some(DryAbout::Between { likely, until, .. }) => (likely, until),
        other => panic!("a forecast: {other:?}"),
    };
    let told = |world: &World| {
        let entries: Vec<_> = world.entries.iter().collect();
        dryhold::domain::likely::likely(&world.board, code("101"), &entries, world.now).join("\n")
    };
    let (as_before, _) = felt_damp(Some(AirChange::Unchanged));
    let before = about(&as_before);
    assert!(!told(&as_before).contains("aired otherwise"));
    for (change, reckons) in [(AirChange::FanBrought, "with a fan"), (AirChange::WindowOpened, "with the window open")]
    {
        let (mut world, check) = felt_damp(Some(change));
        let since = about(&world);
        assert!(since.0 < before.0 && since.1 < before.1, "{change:?}: {since:?} {before:?}");
        assert!(since.0 > world.now, "it was damp then");
        let said = told(&world);
        let wanted =
            format!("Entry {check} says that it is aired otherwise since: from then on this reckons {reckons}");
        assert!(said.contains(&wanted), "{said}");
        // With the check goes what it said.
        world.ok("LEAD", world.void("101", check));
        assert!(!told(&world).contains("reckons"), "{}", told(&world));
    }
    let (world, check) = felt_damp(Some(AirChange::Other));
    assert_eq!(about(&world), before, "nobody said how");
    assert!(told(&world).contains(&format!("Entry {check} says that it is aired otherwise since: nobody said how")));
}

#[test]
pub(super) fn a_time_of_another_day_is_told_with_its_day() {
    let mut world = World::open();
    world.to("09:00");
    let again = Some(world.now + TimeDelta::days(1));
    let body = Body::NotPossible { why: "patient asleep".to_owned(), again };
    world.ok("HK", (Place::room(code("101")), body));
    let said = dryhold::domain::hindrance::hindrance(&world.entries, code("101"), world.now, chrono_tz::UTC);
    assert_eq!(said.as_deref(), Some("not possible 09:00: patient asleep; again Tue 3 Mar 09:00"));
}

#[test]
pub(super) fn every_page_tells_of_the_same_entries() {
    let world = World::returned();
    let plan = world.board.facility().room(code("101")).unwrap();
    let told = |of: &dyn Fn(&Body) -> bool| {
        world.entries.iter().filter(|it| of(&it.body)).all(|it| dryhold::domain::timeline::tells_of(it, plan))
    };
    assert!(told(&|body| matches!(body, Body::Sprayed { .. } | Body::ReturnedToService { .. })));
    assert!(
        !told(&|body| matches!(body, Body::WardSet { .. } | Body::HospitalSet { .. })),
        "a setting is no event of a room"
    );
}

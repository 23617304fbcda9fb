//! What is kept as an exception for ever, what it says while it lasts, and what it says once it is over.

use dryhold::domain::board::{ExceptionKind, TaskKind};
use dryhold::domain::entry::{Body, Known, Number, Place};
use dryhold::domain::rule::Rule;
use dryhold::domain::shift::exception_words;

use super::noted::asked;
use super::world::*;

/// What the newest exception says now.
fn says(world: &World) -> String {
    let newest = world.board.exceptions().last().unwrap();
    exception_words(&world.board, &world.entries, newest, world.now)
}

#[test]
pub(super) fn a_void_of_what_closed_a_room_is_an_exception_until_and_after_its_look() {
    let mut world = World::sprayed();
    let spray = Number(world.entries.len() as u64);
    let void = world.ok("LEAD", world.void("101", spray));
    let newest = world.board.exceptions().last().unwrap();
    assert_eq!((newest.number, &newest.kind), (void, &ExceptionKind::CloserVoided(spray)));
    let told = says(&world);
    assert!(told.ends_with("which had closed the room, was voided; a second person has not looked yet"), "{told}");
    world.to("11:10");
    let look = world.ok("IP", world.look("101", void));
    assert!(says(&world).ends_with(&format!(
        "was voided; looked at by a second person 11:10, entry {look}: “dry, no sign of spraying”"
    )));
    // A void of what closed nothing is none.
    let mut world = World::ready_to_return();
    let bed_made = Number(world.entries.len() as u64);
    world.ok("LEAD", world.void("101", bed_made));
    assert_eq!(world.exceptions(), Vec::<String>::new());
}

#[test]
pub(super) fn a_gap_is_an_exception_and_says_when_it_was_walked() {
    let mut world = World::open();
    world.to("08:00");
    world.raw("LEAD", Place::Hospital, Body::WentBack { had_seen: Number(900), kept: None, since: None });
    assert_eq!(says(&world), "the ledger had gone back: entries may be missing; rooms are still to be walked");
    world.to("12:00");
    for ward in ["W1", "W2"] {
        world.ok("LEAD", world.walk_of_gap(ward, ""));
    }
    assert_eq!(says(&world), "the ledger had gone back: entries may be missing; walked since");
    assert_eq!(world.exceptions().len(), 1);
}

#[test]
pub(super) fn a_downtime_and_a_noted_gap_are_exceptions() {
    let mut world = World::open();
    world.to("09:00");
    let (from, until) = (world.at("08:00"), world.at("08:40"));
    let body = Body::Downtime { from, until, sheets: "1 to 3".to_owned() };
    world.ok("LEAD", (Place::Hospital, body));
    assert_eq!(world.board.exceptions().last().unwrap().kind, ExceptionKind::Downtime);
    assert!(says(&world).contains("1 to 3"), "{}", says(&world));
    world.ok("NURSE", (Place::Hospital, Body::Restored { reason: "a page of the book is torn".to_owned() }));
    assert_eq!(world.board.exceptions().last().unwrap().kind, ExceptionKind::Restored);
    assert!(says(&world).contains("torn"), "{}", says(&world));
}

#[test]
pub(super) fn many_wrong_pins_are_an_exception_and_a_slip_of_the_fingers_is_none() {
    let mut world = World::open();
    world.raw("NURSE", Place::Hospital, Body::SignedIn { failed_before: 3 });
    assert_eq!(world.exceptions(), Vec::<String>::new());
    world.raw("NURSE", Place::Hospital, Body::SignedIn { failed_before: 4 });
    assert_eq!(says(&world), "4 wrong PINs were typed before the right one, of NURSE");
    assert!(world.is_open("A"), "it closes nothing");
}

#[test]
pub(super) fn a_thing_out_of_a_dry_room_is_asked_about_before_it_wets_another() {
    let arrives = |wet| {
        let body = Body::ThingArrived { thing: "W-7".to_owned(), from: Some(code("101")), wet };
        (Place::Rooms(vec![code("201"), code("101")]), body)
    };
    let mut world = World::open();
    assert!(asked(&world, "HK", arrives(Known::Unknown)).unwrap().contains("nothing in 101"));
    assert_eq!(asked(&world, "HK", arrives(Known::No)), None);
    world.to("09:00");
    world.ok("TECH", world.spray("101", SPRAYED_101, ""));
    assert_eq!(asked(&world, "HK", arrives(Known::Unknown)), None, "it may well be wet");
}

#[test]
pub(super) fn a_room_out_of_service_asks_for_no_daily_look_unless_somebody_lies_in_it() {
    let mut world = World::open();
    let looks = |world: &World| {
        let tasks = world.board.tasks_of(code("101"), world.now);
        tasks.iter().filter(|task| task.kind == TaskKind::DailyLook).count()
    };
    world.days(3);
    assert_eq!(looks(&world), 1);
    world.ok("HK", (Place::room(code("101")), Body::OutOfService { reason: "the ceiling drips".to_owned() }));
    assert_eq!(looks(&world), 0);
    world.ok("NURSE", world.occupied("101", "A"));
    assert_eq!(looks(&world), 1);
}

#[test]
pub(super) fn the_time_of_a_preparation_is_not_that_of_the_move() {
    let mut world = World::open();
    let why = |world: &World| {
        let blockers = world.blockers("A");
        blockers.into_iter().find(|it| it.rule == Rule::Prepared).unwrap().text
    };
    world.to("08:20");
    let out = Body::PatientOut {
        beds: vec![code("A")],
        washed_and_changed: Known::Yes,
        receiving: None,
        receiving_bed: None,
    };
    world.ok("NURSE", (Place::room(code("101")), out));
    assert_eq!(why(&world), "patients out since Mon 2 Mar 08:20, for treatment");
    world.to("08:35");
    world.ok("HK", world.prepare("101", "BAG1"));
    assert_eq!(why(&world), "patients out since Mon 2 Mar 08:20, preparation under way since Mon 2 Mar 08:35");
}

/// One of two clocks is wrong, and by neither of them can a label's time be told.
#[test]
pub(super) fn while_an_entry_comes_from_a_time_to_come_every_bed_reads_closed() {
    let mut world = World::open();
    world.to("10:05");
    world.ok("HK", (Place::room(code("201")), Body::OutOfService { reason: "a tap drips".to_owned() }));
    assert!(world.is_open("A"));
    world.now -= chrono::TimeDelta::hours(1);
    assert_eq!(world.closed_by("A"), [Rule::ClockBack]);
    let first = dryhold::domain::shift::missing(&world.board, &world.entries, world.now);
    assert_eq!(first.first().map(|gap| gap.title), Some("A CLOCK IS WRONG"));
    world.now += chrono::TimeDelta::minutes(58);
    assert!(world.is_open("A"), "clocks may differ by two minutes");
}

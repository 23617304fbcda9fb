//! Which task gives most beds back: what waits for it, whether it is the last step, and that a last step does open.

use chrono::TimeDelta;
use dryhold::domain::board::{Task, TaskKind};
use dryhold::domain::entry::{Body, Place, Sign};

use super::world::*;

fn in_room(room: &str, body: Body) -> (Place, Body) {
    (Place::room(code(room)), body)
}

fn tasks(world: &World) -> Vec<Task> {
    world.board.tasks(world.now)
}

/// What the tasks of this room say that they give back, the same words once.
fn words(world: &World, room: &str) -> Vec<String> {
    let of_room = tasks(world).into_iter().filter(|task| task.room == code(room));
    let mut said: Vec<String> = of_room.map(|task| task.gives.words()).filter(|words| !words.is_empty()).collect();
    said.sort();
    said.dedup();
    said
}

/// Every task that says it opens a bed names one that is closed; every bed that one blocker with a task keeps is named.
#[track_caller]
fn check(world: &World, room: &str, expected: &[&str]) {
    for task in tasks(world) {
        for bed in task.gives.opens.iter().chain(&task.gives.nearer) {
            assert!(!world.is_open(bed.as_str()), "{bed} is open already: {task:?}");
        }
        assert_eq!(task.gives.is_nothing(), task.gives.words().is_empty(), "{task:?}");
    }
    assert_eq!(words(world, room), expected);
}

#[test]
pub(super) fn an_inspection_opens_the_empty_beds_of_its_room_and_no_others() {
    let mut world = World::open();
    check(&world, "101", &[]);
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    check(&world, "101", &["opens 2 beds"]);
    check(&world, "102", &[]);
    world.ok("NURSE", world.occupied("101", "A"));
    check(&world, "101", &["opens 1 bed"]);
    world.ok("NURSE", world.occupied("101", "B"));
    check(&world, "101", &[]);
}

#[test]
pub(super) fn every_step_of_a_treatment_counts_once_and_the_last_one_opens() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    check(&world, "101", &["1 of 2+ steps to 2 beds"]);
    world.to("09:10");
    world.ok("HK", world.prepare("101", "BAG1"));
    world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
    // Drying, the monitor, the chair, the bag, two beds, the return.
    check(&world, "101", &["1 of 7 steps to 2 beds"]);
    world.to("11:30");
    world.ok("HK", world.dry_check("101", "A/mattress A/frame B/mattress B/frame", ""));
    check(&world, "101", &["1 of 7 steps to 2 beds"]);
    world.ok("HK", world.dry_check("101", "chair", ""));
    check(&world, "101", &["1 of 6 steps to 2 beds"]);
    world.ok("TECH", world.treat("101", "monitor"));
    world.ok("HK", world.vacuum("101", "chair"));
    world.ok("WASH", world.launder("101", "BAG1"));
    world.ok("HK", world.make("101", "A"));
    check(&world, "101", &["1 of 2 steps to 2 beds"]);
    world.ok("HK", world.make("101", "B"));
    check(&world, "101", &["opens 2 beds"]);
    let opening = tasks(&world).into_iter().find(|task| !task.gives.opens.is_empty()).unwrap();
    assert_eq!(opening.kind, TaskKind::Return);
    world.ok("LEAD", world.give_back("101"));
    assert!(opening.gives.opens.iter().all(|bed| world.is_open(bed.as_str())), "{:?}", world.blockers("A"));
    check(&world, "101", &[]);
}

#[test]
pub(super) fn what_a_spray_left_unstated_is_a_step_after_which_more_may_follow() {
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { bags, .. } = &mut body {
        *bags = None;
    }
    world.ok("TECH", (place, body));
    let said = words(&world, "101");
    assert!(said.iter().all(|words| words.contains("+ steps")) && !said.is_empty(), "{said:?}");
}

#[test]
pub(super) fn a_shared_space_gives_back_the_beds_of_the_rooms_that_it_serves() {
    let mut world = World::open();
    world.ok("HK", world.finding("BATH", &[Sign::DarkSpots]));
    check(&world, "BATH", &["opens 3 beds"]);
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    check(&world, "BATH", &["opens 1 bed, 2 more nearer"]);
    check(&world, "101", &["1 of 2 steps to 2 beds"]);
    world.ok("EYES", world.inspect("BATH", "skirting"));
    assert!(world.is_open("C"));
    check(&world, "101", &["opens 2 beds"]);
}

#[test]
pub(super) fn one_walk_gives_its_ward_back_and_counts_as_one_step() {
    let mut world = World::unwalked();
    world.ok("NURSE", world.empty("W1", "A B C"));
    check(&world, "101", &["opens 3 beds"]);
    check(&world, "BATH", &["opens 3 beds"]);
    check(&world, "201", &[]);
    world.ok("HK", world.finding("102", &[Sign::DarkSpots]));
    check(&world, "101", &["opens 2 beds, 1 more nearer"]);
    world.ok("LEAD", world.walk("W1"));
    assert!(world.is_open("A") && world.is_open("B"));
    check(&world, "102", &["opens 1 bed"]);
}

#[test]
pub(super) fn a_line_that_closes_the_hospital_is_one_task_that_gives_everything_back() {
    let mut world = World::open();
    let unreadable = || Body::Unreadable { raw: "(…)".to_owned(), why: "a torn line".to_owned() };
    let line = world.raw("LEAD", Place::Unknown, unreadable());
    let attests: Vec<Task> = tasks(&world).into_iter().filter(|task| task.kind == TaskKind::Attest).collect();
    let [attest] = attests.as_slice() else { panic!("{attests:?}") };
    assert_eq!(attest.command, format!("dryhold note second-attest hospital --entry {line}"));
    assert_eq!((attest.cause, attest.gives.words().as_str()), (line, "opens 4 beds"));
    let words = || "read again from the paper sheet".to_owned();
    let seen = world.board.newest_of(&Place::Hospital);
    world.ok("IP", (Place::Hospital, Body::SecondAttested { line, through: None, words: words(), seen }));
    let attest = tasks(&world).into_iter().find(|task| task.kind == TaskKind::Attest).unwrap();
    assert_eq!(attest.command, format!("dryhold note attest hospital --entry {line}"));
    assert_eq!(attest.not_for, [code("IP")]);
    let seen = world.board.newest_of(&Place::Hospital);
    world.ok("LEAD", (Place::Hospital, Body::Attested { line, through: None, words: words(), second: None, seen }));
    assert!(world.is_open("A"), "{:?}", world.blockers("A"));
    assert!(tasks(&world).iter().all(|task| task.kind != TaskKind::Attest));
}

#[test]
pub(super) fn while_the_file_is_not_trusted_no_task_says_that_it_opens_a_bed() {
    let mut world = World::open();
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    world.board.set_distrust(Some("the file cannot be followed".to_owned()));
    check(&world, "101", &["1 of 1+ steps to 2 beds"]);
}

#[test]
pub(super) fn when_a_patient_stays_it_is_decided_anew_at_the_time_that_was_named() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let reviews = |world: &World| -> Vec<(bool, &'static str)> {
        let reviews = tasks(world).into_iter().filter(|task| task.kind == TaskKind::Review);
        reviews.map(|task| (task.overdue, task.verb)).collect()
    };
    assert_eq!(reviews(&world), []);
    let stays = |world: &World| {
        in_room(
            "101",
            Body::PatientStays { reason: "cannot be moved".to_owned(), review: world.now + TimeDelta::hours(4) },
        )
    };
    world.ok("NURSE", stays(&world));
    assert_eq!(reviews(&world), [(false, "patient-stays")]);
    world.to("14:00");
    assert_eq!(reviews(&world), [(true, "patient-stays")]);
    world.ok("NURSE", stays(&world));
    assert_eq!(reviews(&world), [(false, "patient-stays")], "decided, with a new time");
    world.ok("NURSE", world.empty("W1", "A"));
    assert_eq!(reviews(&world), [], "nobody stays any more");
}

//! What a record needs and is said later, the book of another day, and times that are planned.

use chrono::TimeDelta;
use dryhold::domain::board::State;
use dryhold::domain::entry::{Body, Known, Number, Place};
use dryhold::domain::moves::{self, Answers};
use dryhold::domain::odd::unlikely;
use dryhold::domain::rule::Rule;

use super::world::*;

fn supplied(spray: Number, bags: Option<&str>, amount_ml: Option<u32>, patient_inside: Known) -> (Place, Body) {
    let body = Body::SprayCompleted {
        spray,
        zones: None,
        finished: None,
        bags: bags.map(|tags| tags.split_whitespace().map(code).collect()),
        reentry_words: None,
        reentry_minutes: None,
        amount_ml,
        patient_inside,
    };
    (Place::room(code("101")), body)
}

/// As [`World::sprayed`], where nobody said whether a patient was inside, nor how much was sprayed.
fn unstated(bags: Option<&str>) -> (World, Number) {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, bags.unwrap_or_default());
    if let Body::Sprayed { amount_ml, patient_inside, bags: said, .. } = &mut body {
        (*amount_ml, *patient_inside) = (None, Known::Unknown);
        if bags.is_none() {
            *said = None;
        }
    }
    let spray = world.ok("TECH", (place, body));
    world.to("09:30");
    (world, spray)
}

#[test]
fn that_nobody_was_inside_leaves_the_linens_as_they_were_stated() {
    for (bags, is_stated) in [(Some(""), true), (Some("BAG1"), true), (None, false)] {
        let (mut world, spray) = unstated(bags);
        assert!(world.closed_by("A").contains(&Rule::Unstated));
        world.ok("TECH", supplied(spray, None, None, Known::No));
        assert_eq!(!world.closed_by("A").contains(&Rule::Unstated), is_stated, "{bags:?}: {:?}", world.blockers("A"));
    }
}

#[test]
fn that_somebody_was_inside_is_an_exception_and_asks_for_the_linens() {
    let (mut world, spray) = unstated(Some(""));
    world.ok("TECH", supplied(spray, Some(""), None, Known::Unknown));
    assert!(!world.closed_by("A").contains(&Rule::Unstated), "no bags, as far as anybody knew");
    let said = world.ok("TECH", supplied(spray, None, None, Known::Yes));
    assert!(world.board.exceptions().iter().any(|it| it.number == said), "{:?}", world.exceptions());
    assert!(world.closed_by("A").contains(&Rule::Unstated), "{:?}", world.blockers("A"));
    // That there were none is no answer any more, and that nobody was inside takes nothing back.
    world.no("TECH", supplied(spray, Some(""), None, Known::Unknown), Rule::Unstated);
    world.ok("TECH", supplied(spray, None, None, Known::No));
    assert!(world.closed_by("A").contains(&Rule::Unstated));
    world.to("09:40");
    world.ok("TECH", supplied(spray, Some("BAG7"), None, Known::Unknown));
    let closed = world.closed_by("A");
    assert!(!closed.contains(&Rule::Unstated) && closed.contains(&Rule::Bags), "{:?}", world.blockers("A"));
}

#[test]
fn what_comes_to_light_after_the_return_closes_the_room_again() {
    let mut world = World::returned();
    let spray = world.entries.iter().rfind(|it| matches!(it.body, Body::Sprayed { .. })).unwrap().number;
    assert!(world.is_open("A"));
    world.to("12:00");
    world.ok("TECH", supplied(spray, None, Some(900), Known::Unknown));
    assert!(world.is_open("A"), "how much it was is for the record alone: {:?}", world.blockers("A"));
    world.ok("TECH", supplied(spray, None, None, Known::Yes));
    assert!(!world.is_open("A"));
    // The task, and the number of the entry that asks, lead to the spray.
    let task = world.board.tasks_of(code("101"), world.now).into_iter().find(|it| it.verb == "complete-spray").unwrap();
    let answers = Answers::new().with("spray", &task.cause.to_string()).with("bags", "BAG8");
    let built = moves::build(moves::find("complete-spray").unwrap(), "101", &answers, &world.board, world.now);
    let (place, body) = built.unwrap();
    assert!(matches!(body, Body::SprayCompleted { spray: of, .. } if of == spray));
    world.to("12:10");
    world.ok("TECH", (place, body));
    assert!(!world.closed_by("A").contains(&Rule::Unstated), "{:?}", world.blockers("A"));
    assert!(world.closed_by("A").contains(&Rule::Bags));
}

#[test]
fn a_spray_that_says_it_is_not_contradicted() {
    let mut world = World::open();
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { patient_inside, .. } = &mut body {
        *patient_inside = Known::Yes;
    }
    let spray = world.ok("TECH", (place, body));
    world.to("09:30");
    world.no("TECH", supplied(spray, None, None, Known::No), Rule::PatientInside);
    let before = world.exceptions().len();
    world.ok("TECH", supplied(spray, None, None, Known::Yes));
    assert_eq!(world.exceptions().len(), before, "said twice it is one exception");
}

#[test]
fn a_treatment_waits_for_a_clean_look_where_the_policy_asks_for_one() {
    let mut world = World::ready_to_return();
    world.ok("LEAD", (Place::Hospital, Body::PolicySet { key: "clean-look-first".to_owned(), value: 1 }));
    assert_eq!(world.next_step("101"), "inspect");
    let refusal = world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    assert_eq!(refusal.mend(), Some("inspect"), "{refusal}");
    let asks = world.board.tasks_of(code("101"), world.now);
    assert!(asks.iter().any(|it| it.verb == "inspect") && asks.iter().all(|it| it.verb != "return"), "{asks:#?}");
    // An inspection that began before the last zone was felt says nothing of the room as it is now.
    world.to("11:45");
    let (place, mut body) = world.inspect("101", ALL_101);
    if let Body::Inspected { began, .. } = &mut body {
        *began = world.at("11:29");
    }
    world.ok("TECH", (place, body));
    world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    world.to("11:50");
    let look = world.ok("TECH", world.inspect("101", ALL_101));
    assert_eq!(world.next_step("101"), "return");
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(world.state("101"), State::Monitoring);
    // The return rests on it.
    world.ok("LEAD", world.void("101", look));
    assert_ne!(world.state("101"), State::Monitoring);
}

#[test]
fn without_that_policy_nothing_more_is_asked() {
    let mut world = World::ready_to_return();
    assert_eq!(world.next_step("101"), "return");
    world.ok("LEAD", world.give_back("101"));
}

#[test]
fn a_setting_of_an_older_version_closes_nothing() {
    let mut world = World::open();
    world.raw("LEAD", Place::Hospital, Body::PolicySet { key: "prepare-minutes".to_owned(), value: 30 });
    assert!(world.is_open("A"), "{:?}", world.blockers("A"));
}

#[test]
fn what_is_planned_lies_ahead_and_within_a_month() {
    let mut world = World::open();
    let at = |world: &World, ahead: TimeDelta| world.now + ahead;
    let promise = |at| (Place::room(code("101")), Body::Promised { beds: vec![code("A")], wanted: Some(at) });
    let again = |at| (Place::room(code("101")), Body::NotPossible { why: "asleep".to_owned(), again: Some(at) });
    for ahead in [TimeDelta::minutes(-10), TimeDelta::zero(), TimeDelta::days(31), TimeDelta::days(2_900_000)] {
        world.no("NURSE", promise(at(&world, ahead)), Rule::Promise);
        world.no("NURSE", again(at(&world, ahead)), Rule::Future);
    }
    world.ok("NURSE", promise(at(&world, TimeDelta::days(29))));
    world.ok("NURSE", again(at(&world, TimeDelta::minutes(10))));
    world.ok("TECH", world.finding("102", &[dryhold::domain::entry::Sign::LiveAdult]));
    let stays = |review| (Place::room(code("102")), Body::PatientStays { reason: "too ill".to_owned(), review });
    world.no("NURSE", stays(at(&world, TimeDelta::minutes(-1))), Rule::Future);
    world.ok("NURSE", stays(at(&world, TimeDelta::hours(20))));
}

#[test]
fn a_spray_whose_label_is_over_by_now_needs_a_yes() {
    let world = World::open();
    let asked = |happened: TimeDelta| {
        let (place, mut body) = world.spray("101", SPRAYED_101, "");
        if let Body::Sprayed { finished, .. } = &mut body {
            *finished = None;
        }
        let mut command = dryhold::domain::decide::Command::new(dryhold::domain::entry::CommandId(1), place, body);
        command.happened = Some(world.now - happened);
        let entry = dryhold::domain::decide::decide(&world.board, &command, code("TECH"), world.now).unwrap();
        unlikely(&entry, &world.board)
    };
    // Its label has 120 minutes.
    assert_eq!(asked(TimeDelta::minutes(119)), None);
    let question = asked(TimeDelta::minutes(120)).unwrap();
    assert!(question.contains("2 h 00 ago") && question.contains("120 minutes are over already"), "{question}");
}

//! What a room asks for next, of whom and when: nobody is sent to do again what was done, or what they may not do.

use chrono::TimeDelta;
use dryhold::domain::board::{State, Task, TaskKind};
use dryhold::domain::entry::{Body, Depth, InspectionMethod, Known, Number, Place, Sign, Specimen, Went, ZoneLook};
use dryhold::domain::people::Role;
use dryhold::domain::remarks::remarks;
use dryhold::domain::rule::Rule;

use super::noted::asked;
use super::world::*;

fn tasks(world: &World, room: &str) -> Vec<Task> {
    world.board.tasks_of(code(room), world.now)
}

fn kinds(world: &World, room: &str) -> Vec<TaskKind> {
    tasks(world, room).into_iter().map(|task| task.kind).filter(|kind| *kind != TaskKind::DailyLook).collect()
}

fn identified(world: &World, room: &str, finding: Option<Number>, specimen: Specimen) -> (Place, Body) {
    let identified_by = "a specialist".to_owned();
    (Place::room(code(room)), Body::Identified { finding, specimen, identified_by, seen: world.seen(room) })
}

fn inspected(world: &World, room: &str, looked: &str, sign: Sign) -> (Place, Body) {
    let mut looks: Vec<ZoneLook> = zones(looked).into_iter().map(|zone| ZoneLook { zone, seen: vec![] }).collect();
    looks[0].seen.push(sign);
    let (depth, method) = (Depth::Full, InspectionMethod::Visual);
    let began = world.now - TimeDelta::seconds(30);
    let body = Body::Inspected { depth, method, began, looks, note: String::new(), seen: world.seen(room) };
    (Place::room(code(room)), body)
}

fn stays(world: &World, room: &str) -> (Place, Body) {
    let review = world.now + TimeDelta::hours(4);
    (Place::room(code(room)), Body::PatientStays { reason: "cannot be moved".to_owned(), review })
}

/// Whose patient was noted late to have left is not known to be empty: of two beds the step names the one.
#[test]
fn the_bed_is_named_whose_patient_is_to_be_moved_out() {
    let mut world = World::open();
    let out = |bed: &str| {
        let body = Body::PatientMoved {
            beds: vec![code(bed)],
            went: Went::Home,
            receiving: None,
            receiving_bed: None,
            outside: String::new(),
            washed_and_changed: Known::Yes,
            own_bed: false,
            things: vec![],
            answers: None,
        };
        (Place::room(code("101")), body)
    };
    world.to("07:30");
    world.ok("NURSE", world.occupied("101", "A"));
    world.ok("NURSE", world.occupied("101", "B"));
    world.to("09:00");
    world.ok_at("NURSE", "07:40", out("A"));
    world.ok("NURSE", out("B"));
    let wiped = Body::EnteredWet { wiped: zones("chair"), note: String::new() };
    world.ok("HK", (Place::room(code("101")), wiped));
    let text = |world: &World| world.board.next_step(code("101"), world.now).map(|step| step.text).unwrap_or_default();
    assert_eq!(text(&world), "move the patient out now, washed and changed: bed A");
    world.ok("NURSE", out("A"));
    assert_ne!(world.next_step("101"), "move-patient");
}

#[test]
pub(super) fn after_an_inspection_that_saw_a_sign_somebody_names_it() {
    let mut world = World::open();
    world.to("08:00");
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    assert_eq!(kinds(&world, "101"), [TaskKind::Inspect]);
    let seen = world.ok("HK", inspected(&world, "101", ALL_101, Sign::CastSkin));
    assert_eq!(kinds(&world, "101"), [TaskKind::Identify], "the same person is not sent to look again");
    assert_eq!(world.next_step("101"), "identify");
    let task = tasks(&world, "101").into_iter().find(|task| task.kind == TaskKind::Identify).unwrap();
    assert_eq!(
        (task.role, task.need.as_str()),
        (Role::Lead, "have the specimen identified, or a trained person inspects")
    );
    // A trained person who looks and sees nothing settles it too, and so does the name.
    let mut other = world.clone();
    other.ok("EYES", other.inspect("101", ALL_101));
    assert_eq!(other.state("101"), State::Monitoring);
    world.ok("LEAD", identified(&world, "101", Some(seen), Specimen::SomethingElse));
    assert_eq!(world.next_step("101"), "inspect", "it has a name, and now somebody trained looks");
    // What is found after it is looked for again.
    let mut world = World::open();
    world.ok("HK", inspected(&world, "101", ALL_101, Sign::CastSkin));
    world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    assert_eq!(world.next_step("101"), "inspect");
    let mut world = World::open();
    world.ok("HK", inspected(&world, "101", ALL_101, Sign::CastSkin));
    world.ok("LEAD", identified(&world, "101", None, Specimen::BedBug));
    let waits = tasks(&world, "101").into_iter().find(|task| task.kind == TaskKind::Identify);
    assert_eq!(waits.and_then(|task| task.due), None, "in a confirmed room the treatment does for it");
}

#[test]
pub(super) fn a_specimen_is_one_of_the_rooms_own_findings() {
    let mut world = World::open();
    world.to("08:00");
    let other = world.ok("HK", world.finding("102", &[Sign::DarkSpots]));
    for specimen in [Specimen::BedBug, Specimen::SomethingElse] {
        let refusal = world.no("LEAD", identified(&world, "101", Some(Number(3)), specimen), Rule::Target);
        assert_eq!(
            refusal.to_string(),
            "entry 3 is no finding of room 101, which has none: note what was found first."
        );
        assert_eq!(refusal.mend(), Some("finding"));
    }
    let first = world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    let second = world.ok("HK", inspected(&world, "101", ALL_101, Sign::CastSkin));
    let refusal = world.no("LEAD", identified(&world, "101", Some(other), Specimen::BedBug), Rule::Target);
    let text = format!("entry {other} is no finding of room 101: its findings are {second}, {first}.");
    assert_eq!(refusal.to_string(), text);
    world.ok("LEAD", identified(&world, "101", Some(first), Specimen::BedBug));
    assert_eq!(world.state("101"), State::Confirmed);
}

#[test]
pub(super) fn a_live_one_that_nobody_trained_saw_is_looked_for_as_soon_as_bites() {
    let due = |sign: Sign| {
        let mut world = World::open();
        world.to("08:00");
        world.ok("HK", world.finding("101", &[sign]));
        tasks(&world, "101").into_iter().find(|task| task.kind == TaskKind::Inspect).and_then(|task| task.due)
    };
    let bites = due(Sign::ReportedBites);
    assert!(bites.is_some());
    for sign in [Sign::LiveAdult, Sign::LiveNymph, Sign::Eggs] {
        assert_eq!(due(sign), bites, "{}", sign.title());
    }
    assert!(due(Sign::DarkSpots) > bites);
}

#[test]
pub(super) fn while_the_patient_stays_nobody_is_sent_to_move_them() {
    let mut world = World::open();
    world.to("08:00");
    world.ok("NURSE", world.occupied("101", "A"));
    let refusal = world.no("NURSE", stays(&world, "101"), Rule::Confirmed);
    assert!(refusal.to_string().starts_with("room 101 is clear:"), "{refusal}");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    let inside = |world: &World| world.board.who_may_enter(code("101"), true, world.now);
    assert_eq!(inside(&world), "response staff; the patient is to be moved out");
    let out: Vec<Task> = tasks(&world, "101").into_iter().filter(|task| task.kind == TaskKind::PatientOut).collect();
    let [out] = out.as_slice() else { panic!("{out:?}") };
    assert_eq!((out.role, out.verb), (Role::ChargeNurse, "move-patient"));
    assert!(out.due.is_some_and(|due| due <= world.now));
    world.ok("NURSE", stays(&world, "101"));
    let step = world.board.next_step(code("101"), world.now).unwrap();
    assert_eq!((step.verb, step.role), ("patient-stays", Role::ChargeNurse));
    assert!(step.text.starts_with("the patient stays: decide anew at "), "{}", step.text);
    assert!(!kinds(&world, "101").contains(&TaskKind::PatientOut));
    assert!(inside(&world).starts_with("response staff; the patient stays until "), "{}", inside(&world));
    world.to("12:30");
    assert_eq!(world.next_step("101"), "move-patient", "the time to decide is over");
    assert!(kinds(&world, "101").contains(&TaskKind::PatientOut));
    world.ok("NURSE", world.empty("W1", "A"));
    assert_eq!(inside(&world), "response staff");
    assert!(!kinds(&world, "101").contains(&TaskKind::PatientOut));
}

#[test]
pub(super) fn a_patient_in_a_wet_room_is_the_first_task_of_all() {
    let mut world = World::open();
    world.to("08:00");
    world.ok("HK", world.finding("201", &[Sign::ReportedBites]));
    world.to("12:00");
    world.ok("NURSE", world.occupied("101", "A"));
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { patient_inside, .. } = &mut body {
        *patient_inside = Known::Yes;
    }
    world.ok("TECH", (place, body));
    let said = remarks(world.entries.last().unwrap(), &world.board, &world.entries);
    assert!(said.iter().any(|line| line.contains("linens in use were sprayed")), "{said:?}");
    let first = world.board.tasks(world.now).into_iter().next().unwrap();
    assert_eq!((first.kind, first.room, first.role), (TaskKind::PatientInTheWet, code("101"), Role::ChargeNurse));
}

/// The linens that a patient lay in went somewhere: none is no answer.
#[test]
pub(super) fn the_linens_of_a_sprayed_patient_are_in_some_bag() {
    let mut world = World::open();
    world.to("08:00");
    world.ok("NURSE", world.occupied("101", "A"));
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { patient_inside, .. } = &mut body {
        *patient_inside = Known::Yes;
    }
    let spray = world.ok("TECH", (place.clone(), body));
    let supply = |bags: &str| {
        let bags = Some(bags.split_whitespace().map(code).collect());
        let (zones, finished, reentry_words, reentry_minutes) = (None, None, None, None);
        (
            place.clone(),
            Body::SprayCompleted {
                spray,
                zones,
                finished,
                bags,
                reentry_words,
                reentry_minutes,
                amount_ml: None,
                patient_inside: Known::Unknown,
            },
        )
    };
    world.no("TECH", supply(""), Rule::Unstated);
    world.ok("TECH", supply("BAG1"));
    assert!(world.closed_by("A").contains(&Rule::Bags));
    assert!(!world.closed_by("A").contains(&Rule::Unstated));
}

#[test]
pub(super) fn a_task_is_for_a_role_that_may_do_it() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.prepare("102", ""));
    let spray = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    let void = world.ok("LEAD", world.void("102", spray));
    // The only lead voided it: the look is not the lead's.
    let look = tasks(&world, "102").into_iter().find(|task| task.kind == TaskKind::SecondLook).unwrap();
    assert_eq!(look.role, Role::Housekeeper, "who is trained, and on the ward");
    let step = world.board.next_step(code("102"), world.now).unwrap();
    assert_eq!((step.verb, step.role), ("look", Role::Housekeeper));
    world.to("11:10");
    world.ok("IP", world.look("102", void));
    let refusal = world.no("EYES", world.look("102", void), Rule::Target);
    assert!(refusal.to_string().contains("none is owed any more"), "{refusal}");
}

#[test]
pub(super) fn a_zone_that_is_treated_in_a_wet_room_is_an_exception() {
    let mut world = World::sprayed();
    assert!(asked(&world, "HK", world.treat("101", "monitor")).unwrap().contains("DO NOT ENTER"));
    world.ok_at("HK", "09:05", world.treat("101", "monitor"));
    assert_eq!(world.exceptions(), Vec::<String>::new(), "it was done before the spray");
    // Whoever sprays may be inside.
    assert_eq!(asked(&world, "TECH", world.treat("101", "monitor")), None);
    world.ok("TECH", world.treat("101", "monitor"));
    assert_eq!(world.exceptions(), Vec::<String>::new());
    world.ok("HK", world.treat("101", "monitor"));
    assert_eq!(world.exceptions(), ["somebody worked in the room while it was wet"]);
}

#[test]
pub(super) fn no_load_began_before_its_bag_was_filled() {
    let mut world = World::sprayed();
    world.to("09:30");
    let refusal = world.no("WASH", world.launder("101", "BAG1"), Rule::LaundryCriteria);
    let text = refusal.to_string();
    assert!(
        text.starts_with("30 minutes of washing and drying do not fit between Mon 2 Mar 09:10, when bag BAG1"),
        "{text}"
    );
    world.to("09:45");
    assert_eq!(asked(&world, "WASH", world.launder("101", "BAG1")), None);
    world.ok("WASH", world.launder("101", "BAG1"));
    let question = asked(&world, "WASH", world.launder("101", "BAG1")).unwrap();
    assert!(question.starts_with("Bag BAG1 was settled at Mon 2 Mar 09:45 already"), "{question}");
    // Nobody knows this tag.
    let refusal = world.no("WASH", world.launder("102", "X9"), Rule::Bags);
    assert_eq!(refusal.mend(), Some("prepare"));
    world.ok("HK", world.prepare("102", "X9"));
    world.to("10:30");
    world.ok("WASH", world.launder("102", "X9"));
    assert!(!world.closed_by("C").contains(&Rule::Bags));
}

#[test]
pub(super) fn what_is_likely_another_bed_or_another_reason_is_asked_once_more() {
    let mut world = World::open();
    world.to("08:00");
    let out = |bed: &str| {
        let receiving = Some(code("102")).filter(|_| bed == "C").or(Some(code("201")));
        let rooms = vec![code("101"), receiving.unwrap()];
        let (beds, washed_and_changed) = (vec![code("A")], Known::Yes);
        (Place::Rooms(rooms), Body::PatientOut { beds, washed_and_changed, receiving, receiving_bed: Some(code(bed)) })
    };
    let wanted = Some(world.now + TimeDelta::minutes(30));
    let promise = |room: &str, bed: &str| (Place::room(code(room)), Body::Promised { beds: vec![code(bed)], wanted });
    assert_eq!(asked(&world, "NURSE", promise("102", "C")), None);
    world.ok("NURSE", promise("102", "C"));
    let question = asked(&world, "NURSE", out("C")).unwrap();
    assert!(question.starts_with("Bed C is promised for Mon 2 Mar 08:30 (by NURSE)."), "{question}");
    assert_eq!(asked(&world, "NURSE", out("D")), None);
    world.ok("NURSE", world.occupied("201", "D"));
    assert!(asked(&world, "NURSE", promise("201", "D")).unwrap().starts_with("A patient is in bed D since "));
    let closed = |reason: &str| (Place::room(code("102")), Body::OutOfService { reason: reason.to_owned() });
    assert_eq!(asked(&world, "NURSE", closed("a tap drips")), None);
    let first = world.ok("NURSE", closed("a tap drips"));
    let question = asked(&world, "LEAD", closed("a tap drips")).unwrap();
    assert!(question.contains(&format!("(entry {first}: a tap drips)")), "{question}");
}

/// Sprayed as infested, and nobody noted that anything was seen: there is no case to follow up, and it is said.
#[test]
pub(super) fn an_infested_rooms_spray_without_a_finding_says_that_nothing_is_followed_up() {
    let mut world = World::open();
    world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    let said = remarks(world.entries.last().unwrap(), &world.board, &world.entries);
    assert!(said.iter().any(|line| line.starts_with("no bug or sign is on record for 102")), "{said:?}");
    let world = World::sprayed();
    let said = remarks(world.entries.last().unwrap(), &world.board, &world.entries);
    assert!(said.iter().all(|line| !line.contains("no bug or sign")), "{said:?}");
}

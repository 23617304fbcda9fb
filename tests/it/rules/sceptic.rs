//! Corners in which a bed could read open too early, or in which what really happened could not be noted.

use chrono::TimeDelta;
use dryhold::domain::board::{ExceptionKind, State};
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId, Known, LinenSource, Number, Place, Sign};
use dryhold::domain::moves::{Answers, build, find, prefill};
use dryhold::domain::rule::Rule;

use super::world::*;

fn room(text: &str) -> Place {
    Place::room(code(text))
}

fn arrives(thing: &str, from: &str, wet: Known) -> (Place, Body) {
    let place = Place::Rooms(vec![code("102"), code(from)]);
    (place, Body::ThingArrived { thing: thing.to_owned(), from: Some(code(from)), wet })
}

/// What a person types for this move, on top of what the form knows already.
#[track_caller]
pub(super) fn typed(world: &World, verb: &str, target: &str, given: &[(&str, &[&str])]) -> (Place, Body) {
    let mv = find(verb).unwrap_or_else(|| panic!("there is no move {verb}"));
    let mut answers: Answers = prefill(mv, code(target), &world.board, world.now);
    for (name, values) in given {
        answers.set(name, values.iter().copied());
    }
    build(mv, target, &answers, &world.board, world.now).unwrap_or_else(|errors| panic!("{verb}: {errors:?}"))
}

#[test]
pub(super) fn an_inspection_does_not_dry_a_wet_thing_that_came_with_the_suspicion() {
    for from in ["101", "201"] {
        let mut world = World::sprayed();
        world.ok("HK", arrives("WHEELCHAIR-7", from, Known::Unknown));
        assert_eq!(world.state("102"), State::TreatedWet);
        world.to("12:00");
        world.ok("EYES", world.inspect("102", ALL_102));
        assert_eq!(world.state("102"), State::TreatedWet, "from {from}: nobody felt it yet");
        assert!(world.closed_by("C").contains(&Rule::Wet), "from {from}: {:?}", world.closed_by("C"));
        let check = typed(
            &world,
            "dry-check",
            "102",
            &[("zones", &["WHEELCHAIR-7=dry"]), ("began", &["12:01"]), ("ventilation", &["window open"])],
        );
        world.to("12:05");
        world.ok("HK", check);
        world.ok("LEAD", world.give_back("102"));
        assert_eq!(world.state("102"), State::Clear, "from {from}");
    }
}

#[test]
pub(super) fn what_comes_out_of_a_wet_room_is_wet_whatever_was_said_of_it() {
    let mut world = World::sprayed();
    world.ok("HK", arrives("WHEELCHAIR-7", "101", Known::No));
    assert_eq!(world.state("102"), State::TreatedWet);
    let mut world = World::open();
    world.ok("HK", arrives("WHEELCHAIR-7", "201", Known::No));
    assert_eq!(world.closed_by("C"), [Rule::Receiving]);
}

#[test]
pub(super) fn a_room_without_zones_is_treated_felt_and_returned_as_a_whole() {
    let mut world = World::unwalked();
    world.raw("LEAD", Place::Hospital, Body::ZonesSet { kind: code("store"), zones: vec![] });
    world.set_room("STORE", "W1", "store", 9, "", "101");
    world.to("07:00");
    world.ok("LEAD", world.walk("W1"));
    world.ok("NURSE", world.empty("W1", "A B C"));
    world.to("09:00");
    world.ok("TECH", world.finding("STORE", &[Sign::LiveAdult]));
    assert_eq!(world.state("STORE"), State::Confirmed);
    assert_eq!(world.closed_by("A"), [Rule::SharedSpace]);
    world.no("LEAD", world.give_back("STORE"), Rule::ReturnSigned);
    let (place, mut body) = world.spray("STORE", "", "");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    world.ok("TECH", (place, body));
    assert_eq!(world.state("STORE"), State::TreatedWet);
    world.to("11:30");
    let began = [("began", &["11:29"] as &[&str]), ("ventilation", &["fan on"])];
    let check = typed(&world, "dry-check", "STORE", &[&began[..], &[("zones", &["STORE=dry"])]].concat());
    world.ok("HK", check);
    let treated = typed(&world, "treat-zone", "STORE", &[("zones", &["STORE"]), ("method", &["steamed"])]);
    world.ok("TECH", treated);
    world.ok("LEAD", world.give_back("STORE"));
    assert!(world.is_open("A"), "{:?}", world.blockers("A"));
}

#[test]
pub(super) fn a_line_that_closes_nowhere_that_exists_closes_everywhere() {
    for place in [Place::Rooms(vec![]), Place::Ward(code("W9"))] {
        let mut world = World::open();
        let (_, body) = world.spray("101", "chair", "");
        world.raw("TECH", place.clone(), body);
        for bed in ["A", "C", "D"] {
            assert_eq!(world.closed_by(bed), [Rule::Damage], "{place:?}");
        }
    }
}

#[test]
pub(super) fn a_bed_is_not_made_from_a_bag_that_was_still_in_the_laundry() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.to("12:00");
    world.ok("WASH", world.launder("101", "BAG1"));
    world.to("12:20");
    let made = (room("101"), Body::BedMade { bed: code("A"), linens: LinenSource::Bags(vec![code("BAG1")]) });
    world.no_at("HK", "11:50", made.clone(), Rule::Linens);
    world.ok("HK", made);
}

#[test]
pub(super) fn a_spray_noted_late_is_not_refused_for_a_patient_who_came_afterwards() {
    let mut world = World::open();
    world.to("10:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("11:00");
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    let (began, ended) = (world.at("08:00"), world.at("08:20"));
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = Some(ended);
    }
    let mut command = Command::new(CommandId(9001), place.clone(), body.clone());
    command.happened = Some(began);
    world.note("TECH", &command);
    assert_eq!(world.state("101"), State::TreatedWet);
    let told = world.board.exceptions().last().expect("an exception is noted");
    assert!(told.kind == ExceptionKind::OccupiedWet(code("A")), "{}", told.kind);
    // Who lay there while it was sprayed still counts, though the bed was confirmed again later.
    let mut world = World::open();
    world.to("07:30");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("10:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("11:00");
    let mut command = Command::new(CommandId(9001), place, body);
    command.happened = Some(began);
    world.refused("TECH", &command, Rule::PatientInside);
}

#[test]
pub(super) fn a_bed_whose_mattress_was_wiped_while_wet_is_made_again() {
    let mut world = World::ready_to_return();
    let wiped = Body::EnteredWet { wiped: zones("A/mattress"), note: String::new() };
    world.ok("HK", (room("101"), wiped));
    world.ok("HK", world.dry_check("101", "A/mattress", ""));
    world.ok("TECH", world.treat("101", "A/mattress"));
    let refusal = world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    assert!(refusal.to_string().contains("bed A not made"), "{refusal}");
    world.ok("HK", world.make("101", "A"));
    world.ok("LEAD", world.give_back("101"));
}

#[test]
pub(super) fn a_patient_out_that_names_two_rooms_can_be_voided_and_looked_at_from_either() {
    for target in ["101", "102"] {
        let mut world = World::open();
        world.ok("NURSE", world.occupied("101", "A"));
        // As earlier versions noted it: it closed both rooms, clear or not.
        let (receiving, receiving_bed) = (Some(code("102")), None);
        let body = Body::PatientOut { beds: vec![code("A")], washed_and_changed: Known::Yes, receiving, receiving_bed };
        let out = (Place::Rooms(vec![code("101"), code("102")]), body);
        let out = world.ok("NURSE", out);
        assert!(world.closed_by("C").contains(&Rule::Receiving));
        let number = out.to_string();
        let void =
            typed(&world, "void", target, &[("entry", &[number.as_str()]), ("why", &["that was another patient"])]);
        world.ok("LEAD", void);
        for (looked, bed) in [("101", "B"), ("102", "C")] {
            assert!(world.closed_by(bed).contains(&Rule::SecondLook), "{bed}");
            let look = typed(&world, "look", looked, &[("found", &["nothing"]), ("note", &["nobody was moved"])]);
            world.ok("EYES", look);
            if bed == "C" {
                // Whoever noted the patient there took away what was known of the bed.
                assert_eq!(world.closed_by(bed), [Rule::Occupancy]);
                world.ok("NURSE", world.empty("W1", "C"));
            }
            assert!(world.is_open(bed), "{bed}: {:?}", world.blockers(bed));
        }
    }
}

#[test]
pub(super) fn voiding_a_spray_closes_the_room_in_which_it_really_happened() {
    let void_to = |world: &World, spray: Number| {
        let number = spray.to_string();
        let given: &[(&str, &[&str])] =
            &[("entry", &[number.as_str()]), ("why", &["the room next door"]), ("really-in", &["102"])];
        typed(world, "void", "101", given)
    };
    let mut world = World::sprayed();
    let spray = Number(world.entries.len() as u64);
    world.ok("LEAD", void_to(&world, spray));
    assert_eq!((world.state("101"), world.state("102")), (State::TreatedWet, State::TreatedWet));
    assert!(world.closed_by("C").contains(&Rule::Wet));
    next_steps_open(world, "102", "C");
    // Another spray that was noted there swallows nothing of it.
    let mut world = World::sprayed();
    world.ok("TECH", world.spray("102", "C/frame", ""));
    let wet = |world: &World| world.board.room(code("102")).unwrap().dryness().wet().count();
    assert_eq!(wet(&world), 1);
    world.ok("LEAD", void_to(&world, spray));
    assert_eq!(wet(&world), 4);
}

#[test]
pub(super) fn a_void_reaches_back_over_three_settled_chapters() {
    let mut world = World::ready_to_return();
    let signed = world.ok("LEAD", world.give_back("101"));
    for _ in 0..3 {
        world.days(1);
        world.ok("NURSE", world.finding("101", &[Sign::ReportedBites]));
        world.ok("EYES", world.inspect("101", ALL_101));
    }
    assert_eq!(world.state("101"), State::Monitoring);
    world.ok("LEAD", world.void("101", signed));
    assert_eq!(world.state("101"), State::TreatedDry);
    assert!(world.closed_by("A").contains(&Rule::ReturnSigned));
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(world.state("101"), State::Monitoring, "its case is still open");
}

#[test]
pub(super) fn what_a_settled_spray_left_out_closes_the_room_again() {
    let mut world = World::returned();
    let is_spray = |entry: &&dryhold::domain::entry::Entry| matches!(entry.body, Body::Sprayed { .. });
    let spray = world.entries.iter().find(is_spray).map(|entry| entry.number).expect("it was sprayed");
    let number = spray.to_string();
    world.ok("NURSE", world.empty("W1", "A B"));
    let more = typed(&world, "complete-spray", "101", &[("spray", &[number.as_str()]), ("bags", &["BAG9"])]);
    world.ok("TECH", more);
    assert_eq!(world.closed_by("A"), [Rule::Bags, Rule::ReturnSigned]);
    world.ok("WASH", world.launder("101", "BAG9"));
    let more = typed(&world, "complete-spray", "101", &[("spray", &[number.as_str()]), ("zones", &["monitor"])]);
    world.ok("TECH", more);
    assert_eq!(world.state("101"), State::TreatedWet);
    world.ok("HK", world.dry_check("101", "monitor", ""));
    world.ok("LEAD", world.give_back("101"));
    assert!(world.is_open("A"), "{:?}", world.blockers("A"));
}

/// One step as the form offers it: what only a person can know is typed, the rest is as it was filled in.
fn follow(world: &mut World, room_code: &str, verb: &str) {
    let plan = world.board.facility().room(code(room_code)).expect("the room exists").clone();
    let all: Vec<String> = plan.all_zones().map(|zone| zone.to_string()).collect();
    let now = world.now.format("%H:%M").to_string();
    let now = [now.as_str()];
    let needs: Vec<_> = world.board.evidence(plan.code).into_iter().filter(|it| it.met_by.is_none()).collect();
    let unmet = |wanted: &dyn Fn(dryhold::domain::need::Need) -> Option<String>| -> Vec<String> {
        let mut found: Vec<String> = needs.iter().filter_map(|it| wanted(it.need)).collect();
        found.sort();
        found.dedup();
        found
    };
    use dryhold::domain::need::Need;
    let (person, target, given): (&str, Code, Vec<(&str, Vec<String>)>) = match verb {
        "move-patient" => {
            let beds = plan.beds.iter().map(|bed| bed.code.to_string()).collect();
            let given = vec![("beds", beds), ("washed", vec!["yes".to_owned()]), ("went", vec!["home".to_owned()])];
            ("NURSE", plan.code, given)
        }
        "prepare" => (
            "HK",
            plan.code,
            vec![("steps", vec!["linens-bagged".to_owned()]), ("bags", vec![format!("BAG-{room_code}")])],
        ),
        "spray" => (
            "TECH",
            plan.code,
            vec![
                ("purpose", vec!["infested".to_owned()]),
                ("product", vec!["RSA".to_owned()]),
                ("zones", plan.sprayable_zones().map(|zone| zone.to_string()).collect()),
            ],
        ),
        "complete-spray" => (
            "TECH",
            plan.code,
            vec![("finish", now.map(str::to_owned).to_vec()), ("bags", vec![format!("BAG-{room_code}")])],
        ),
        "dry-check" => {
            world.now += TimeDelta::minutes(125);
            let began = world.now.format("%H:%M").to_string();
            world.now += TimeDelta::minutes(1);
            let dry = unmet(&|need| if let Need::Dry(zone) = need { Some(format!("{zone}=dry")) } else { None });
            let given = vec![("zones", dry), ("began", vec![began]), ("ventilation", vec!["window open".to_owned()])];
            ("HK", plan.code, given)
        }
        "treat-zone" => {
            let zones = unmet(&|need| if let Need::Covered(zone) = need { Some(zone.to_string()) } else { None });
            ("TECH", plan.code, vec![("zones", zones), ("method", vec!["steamed".to_owned()])])
        }
        "vacuum" => {
            let zones = unmet(&|need| if let Need::Vacuumed(zone) = need { Some(zone.to_string()) } else { None });
            ("HK", plan.code, vec![("zones", zones)])
        }
        "launder" => {
            let tags = unmet(&|need| if let Need::Bag(tag) = need { Some(tag.to_string()) } else { None });
            // The whole cycle after the bag was filled.
            world.now += TimeDelta::minutes(40);
            let wash = [("wash-celsius", "72"), ("wash-minutes", "30"), ("detergent", "yes")];
            let given = wash.into_iter().map(|(name, value)| (name, vec![value.to_owned()])).collect();
            ("WASH", code(&tags[0]), given)
        }
        "make-bed" => {
            let beds = unmet(&|need| if let Need::Made(bed) = need { Some(bed.to_string()) } else { None });
            ("HK", plan.code, vec![("bed", vec![beds[0].clone()])])
        }
        "inspect" => {
            let began = now.map(str::to_owned).to_vec();
            world.now += TimeDelta::minutes(1);
            let looks = all.iter().map(|zone| format!("{zone}=nothing")).collect();
            let given = vec![("depth", vec!["full".to_owned()]), ("began", began), ("looks", looks)];
            ("EYES", plan.code, given)
        }
        "attest" => {
            let words = vec!["read again from the paper sheet".to_owned()];
            ("LEAD", plan.code, vec![("words", words)])
        }
        "second-attest" => ("IP", plan.code, vec![("words", vec!["a daily look, I noted it".to_owned()])]),
        "second-check" => {
            let (zones, beds) = world.board.to_check_again(plan.code);
            let zones = zones.iter().map(|zone| format!("{zone}=dry")).collect();
            let beds = beds.iter().map(|bed| format!("{bed}=made")).collect();
            ("NURSE", plan.code, vec![("zones", zones), ("beds", beds)])
        }
        "return" => ("LEAD", plan.code, vec![]),
        "look" => ("EYES", plan.code, {
            // A voided spray may be wet: nobody goes in before the label's time.
            world.now += TimeDelta::minutes(125);
            let words = |text: &str| vec![text.to_owned()];
            vec![("found", words("nothing")), ("note", words("nothing to be seen"))]
        }),
        "ward-walk" => ("LEAD", plan.ward, vec![]),
        "in-service" => ("LEAD", plan.code, vec![]),
        "occupancy" => {
            let states = plan.beds.iter().map(|bed| format!("{}=empty", bed.code)).collect();
            ("NURSE", plan.ward, vec![("beds", states)])
        }
        other => panic!("the next step {other} leads nowhere"),
    };
    let mv = find(verb).unwrap_or_else(|| panic!("there is no move {verb}"));
    let mut answers = prefill(mv, target, &world.board, world.now);
    for (name, values) in given {
        answers.set(name, values);
    }
    let built = build(mv, target.as_str(), &answers, &world.board, world.now);
    let built = built.unwrap_or_else(|errors| panic!("{verb}: {errors:?}"));
    world.ok(person, built);
}

/// What is missing is somebody's work, by a move that exists. The return's task comes when nothing else is missing.
#[track_caller]
fn every_need_has_a_task(world: &World, room_code: &str) {
    let tasks = world.board.tasks_of(code(room_code), world.now);
    for evidence in world.board.evidence(code(room_code)).into_iter().filter(|it| it.met_by.is_none()) {
        let verb = evidence.need.verb();
        assert!(find(verb).is_some(), "{verb}");
        assert!(verb == "return" || tasks.iter().any(|task| task.verb == verb), "{}: {tasks:?}", evidence.need);
    }
    for task in tasks {
        assert!(find(task.verb).is_some() && task.command.starts_with("dryhold note "), "{task:?}");
    }
}

#[track_caller]
fn next_steps_open(mut world: World, room_code: &str, bed: &str) {
    let mut walked: Vec<&str> = vec![];
    while !world.is_open(bed) {
        let step = world.board.next_step(code(room_code), world.now);
        let step = step.unwrap_or_else(|| panic!("after {walked:?} nothing is next: {:?}", world.blockers(bed)));
        assert!(walked.len() < 20, "it goes in circles: {walked:?}");
        walked.push(step.verb);
        every_need_has_a_task(&world, room_code);
        follow(&mut world, room_code, step.verb);
    }
}

#[test]
pub(super) fn whoever_follows_the_next_step_alone_comes_from_any_state_to_an_open_bed() {
    let mut suspect = World::open();
    suspect.to("09:00");
    suspect.ok("NURSE", suspect.finding("101", &[Sign::DarkSpots]));
    let mut confirmed = World::open();
    confirmed.to("09:00");
    confirmed.ok("NURSE", confirmed.occupied("101", "A"));
    confirmed.ok("TECH", confirmed.finding("101", &[Sign::LiveAdult]));
    let mut found_while_wet = World::sprayed();
    found_while_wet.ok("TECH", found_while_wet.finding("101", &[Sign::LiveAdult]));
    let mut spotted_when_dry = World::ready_to_return();
    spotted_when_dry.ok("NURSE", spotted_when_dry.finding("101", &[Sign::BloodSpots]));
    let mut voided = World::sprayed();
    voided.ok("LEAD", voided.void("101", Number(voided.entries.len() as u64)));
    let mut out_of_service = World::open();
    out_of_service.ok("LEAD", (room("101"), Body::OutOfService { reason: "a leak".to_owned() }));
    let mut prepared = World::open();
    prepared.ok("HK", prepared.prepare("101", "BAG1"));
    let mut patient_inside = World::open();
    patient_inside.to("09:00");
    patient_inside.ok("NURSE", patient_inside.occupied("101", "A"));
    let (place, mut body) = patient_inside.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { patient_inside, .. } = &mut body {
        *patient_inside = Known::Yes;
    }
    patient_inside.ok("TECH", (place, body));
    let mut gap = World::open();
    let mut lost = gap.entries.last().expect("it was set up").clone();
    lost.number = Number(lost.number.0 + 2);
    gap.append(lost);
    let states = [
        gap,
        World::unwalked(),
        suspect,
        confirmed,
        World::sprayed(),
        found_while_wet,
        World::ready_to_return(),
        spotted_when_dry,
        voided,
        out_of_service,
        prepared,
        patient_inside,
    ];
    for world in states {
        next_steps_open(world, "101", "A");
    }
}

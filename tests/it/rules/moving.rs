//! Beds that are promised, and things that move from room to room.

use chrono::TimeDelta;
use dryhold::domain::board::{DryAbout, Earliest, Occupancy, State, TaskKind};
use dryhold::domain::entry::{Body, Known, Number, Place, Sign};
use dryhold::domain::facility::{Bed, ZonePlan};
use dryhold::domain::need::Need;
use dryhold::domain::rule::Rule;

use super::world::*;

fn promise(world: &World, bed: &str) -> (Place, Body) {
    let room = world.board.facility().room_of_bed(code(bed)).unwrap().code;
    (Place::room(room), Body::Promised { beds: vec![code(bed)], wanted: Some(world.now + TimeDelta::hours(3)) })
}

fn end_promise(bed: &str) -> (Place, Body) {
    (Place::room(code("101")), Body::Promised { beds: vec![code(bed)], wanted: None })
}

#[test]
pub(super) fn a_bed_is_promised_to_one_patient_and_the_promise_opens_nothing() {
    let mut world = World::sprayed();
    world.no("HK", promise(&world, "A"), Rule::Role);
    world.ok("NURSE", promise(&world, "A"));
    assert!(!world.is_open("A"));
    world.no("NURSE", promise(&world, "A"), Rule::Promise);
    world.no("NURSE", end_promise("B"), Rule::Promise);
    world.ok("NURSE", end_promise("A"));
    world.ok("NURSE", promise(&world, "A"));
    // The patient came, to a bed that was closed: the promise is kept, and the exception is noted.
    world.ok("NURSE", world.occupied("101", "A"));
    assert!(world.board.room(code("101")).unwrap().beds[&code("A")].promised.is_none());
    world.ok("NURSE", promise(&world, "B"));
    let last = Number(world.entries.len() as u64);
    world.ok("NURSE", world.void("101", last));
    world.ok("NURSE", promise(&world, "B"));
}

#[test]
pub(super) fn the_earliest_time_is_the_labels_and_the_policys_and_unknown_where_nothing_gives_one() {
    let mut world = World::sprayed();
    let waits = |world: &World, bed: &str| world.board.earliest(code(bed), world.now);
    // A bag that is out has no time of its own.
    assert_eq!(waits(&world, "A"), Earliest::Unknown { waits_for: "bag BAG1".to_owned() });
    world.to("09:45");
    world.ok("WASH", world.launder("101", "BAG1"));
    // Sprayed until 09:10 and 120 minutes on the label, but hardly dry then; after that 30 minutes for the check, 20 for what
    // is left to treat, 15 to make ready.
    let likely = world.board.dry_about(code("101")).and_then(DryAbout::likely).unwrap();
    assert!(likely > world.at("11:10"));
    assert_eq!(waits(&world, "A"), Earliest::NotBefore(likely + TimeDelta::minutes(65)));
    assert_eq!(waits(&world, "C"), Earliest::Now);
    world.ok("LEAD", (Place::room(code("101")), Body::OutOfService { reason: "a tap drips".to_owned() }));
    assert_eq!(waits(&world, "A"), Earliest::Unknown { waits_for: "out of service: a tap drips".to_owned() });
    let mut world = World::open();
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    assert_eq!(waits(&world, "A"), Earliest::Unknown { waits_for: "its treatment".to_owned() });
}

#[test]
pub(super) fn a_thing_that_leaves_closes_the_room_where_it_goes_and_brings_its_wetness() {
    let mut world = World::sprayed();
    assert!(world.is_open("D"));
    world.no("HK", left("", "101", "chair", Some("201")), Rule::Receiving);
    world.no("HK", left("W-1", "101", "chair", Some("101")), Rule::Place);
    world.no("HK", left("W-1", "101", "nowhere", Some("201")), Rule::Place);
    // The entry names every room that it closes, so that an unreadable line closes them all.
    let (_, unnamed) = left("W-1", "101", "chair", Some("201"));
    world.no("HK", (Place::room(code("101")), unnamed), Rule::Place);
    world.ok("HK", left("W-1", "101", "chair", Some("201")));
    assert_eq!(world.state("201"), State::TreatedWet, "the chair is wet, and a live bug was in its room");
    assert!(!world.is_open("D"));
    assert!(world.exceptions().iter().any(|text| text.contains("W-1 left the room before it was found dry")));
    // Its tag says where it came from and that it is wet, whatever is said of it.
    world.ok("HK", arrived("W-1", "201"));
    assert!(world.board.things_under_way().next().is_none());
    assert_eq!(world.state("101"), State::TreatedWet, "its own room still asks for it");
    world.to("11:30");
    world.ok("HK", world.dry_check("201", "W-1", ""));
    assert_eq!(
        world.state("201"),
        State::TreatedDry,
        "what was wet here is returned by the lead, what is suspected is inspected"
    );
}

/// A wet chair is no drier for having been rolled next door.
#[test]
pub(super) fn a_wet_thing_takes_the_labels_time_along_and_what_its_spray_left_unstated() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.spray("101", SPRAYED_101, ""));
    world.to("09:05");
    world.ok("HK", left("R-2", "101", "chair", Some("201")));
    world.to("09:20");
    let refusal = world.no("HK", world.dry_check("201", "R-2", ""), Rule::Label);
    assert!(refusal.to_string().contains("before Mon 2 Mar 11:00, the label's own minimum"), "{refusal}");
    let task = world.board.tasks_of(code("201"), world.now).into_iter().find(|it| it.kind == TaskKind::DryCheck);
    assert_eq!(task.and_then(|it| it.not_before), Some(world.at("11:00")));
    world.to("11:01");
    world.ok("HK", world.dry_check("201", "R-2", ""));
    assert_ne!(world.state("201"), State::TreatedWet);
    // Of a spray whose end nobody stated no check counts, here no more than there.
    let mut world = World::open();
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = None;
    }
    let spray = world.ok("TECH", (place, body));
    world.ok("HK", left("R-2", "101", "chair", Some("201")));
    world.to("12:00");
    world.no("HK", world.dry_check("201", "R-2", ""), Rule::Unstated);
    // What is known of the spray goes along: when it began, and its label, which nobody makes shorter.
    let supply = |finished: &str| {
        let body = Body::SprayCompleted {
            spray,
            zones: None,
            finished: Some(World::open().at(finished)),
            bags: None,
            reentry_words: Some("Keep out until dry.".to_owned()),
            reentry_minutes: Some(1),
            amount_ml: None,
            patient_inside: Known::Unknown,
        };
        (Place::room(code("101")), body)
    };
    world.no("TECH", supply("06:00"), Rule::Future);
    world.ok("TECH", supply("07:10"));
    world.to("13:05");
    world.no("HK", world.dry_check("201", "R-2", ""), Rule::Label);
    world.to("14:05");
    world.ok("HK", world.dry_check("201", "R-2", ""));
    assert_ne!(world.state("201"), State::TreatedWet);
    // What is only said to be wet waits for the longest of the labels.
    let mut world = World::open();
    let came = Body::ThingArrived { thing: "W-9".to_owned(), from: None, wet: Known::Unknown };
    world.ok("HK", (Place::room(code("201")), came));
    world.to("08:30");
    world.no("HK", world.dry_check("201", "W-9", ""), Rule::Label);
    world.to("09:08");
    world.ok("HK", world.dry_check("201", "W-9", ""));
}

#[test]
pub(super) fn a_thing_from_a_room_with_a_line_that_nobody_can_read_is_wet() {
    let unread = || Body::Unreadable { raw: "Body(?".to_owned(), why: "unknown kind".to_owned() };
    let mut world = World::open();
    world.raw("HK", Place::room(code("101")), unread());
    world.ok("HK", arrived("W-1", "201"));
    assert_eq!(world.state("201"), State::Suspect, "it may come from anywhere, and somebody said that it is dry");
    let from = |tag: &str| {
        let place = Place::Rooms(vec![code("201"), code("101")]);
        (place, Body::ThingArrived { thing: tag.to_owned(), from: Some(code("101")), wet: Known::No })
    };
    world.ok("HK", from("W-2"));
    assert_eq!(world.state("201"), State::TreatedWet, "the line may have been a spray");
    let mut world = World::open();
    world.raw("HK", Place::room(code("101")), unread());
    world.ok("HK", left("W-1", "101", "chair", Some("201")));
    assert_eq!(world.state("201"), State::TreatedWet);
}

#[test]
pub(super) fn a_thing_from_a_clear_room_asks_only_for_an_inspection() {
    let mut world = World::open();
    world.ok("HK", left("W-2", "101", "chair", None));
    assert!(world.is_open("A") && world.is_open("D"), "nobody said where it goes");
    world.ok("HK", arrived("W-2", "201"));
    assert_eq!((world.state("201"), world.closed_by("D")), (State::Clear, vec![Rule::Receiving]));
}

#[test]
pub(super) fn a_patient_in_a_bed_that_nobody_named_closes_every_bed_of_the_room_and_is_noted_in_none() {
    let mut world = World::open();
    let out = |bed: Option<&str>| {
        let (receiving, receiving_bed) = (Some(code("101")), bed.map(code));
        let body = Body::PatientOut { beds: vec![code("C")], washed_and_changed: Known::Yes, receiving, receiving_bed };
        (Place::Rooms(vec![code("102"), code("101")]), body)
    };
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("08:00");
    world.ok("NURSE", world.empty("W1", "A B C"));
    world.to("09:00");
    world.ok("NURSE", out(None));
    let noted = |world: &World, bed: &str| world.board.occupancy(code(bed), world.now);
    for bed in ["A", "B"] {
        assert_eq!(noted(&world, bed), Occupancy::Unknown, "{bed}: nobody saw somebody in it");
        let why = world.blockers(bed).into_iter().find(|it| it.rule == Rule::Occupancy).unwrap();
        assert_eq!(why.text, "somebody may lie in it: nobody said in which bed");
    }
    // Also where the hospital does not keep who lies where.
    world.ok("LEAD", (Place::Hospital, Body::PolicySet { key: "occupancy-kept".to_owned(), value: 0 }));
    assert!(world.closed_by("B").contains(&Rule::Occupancy));
    world.no("TECH", world.spray("101", SPRAYED_101, ""), Rule::PatientInside);
    // The second of them can be received, in a bed by its name.
    world.ok("NURSE", out(Some("B")));
    assert_eq!((noted(&world, "A"), noted(&world, "B")), (Occupancy::Unknown, Occupancy::Occupied));
    world.to("09:30");
    world.ok("NURSE", world.empty("W1", "A"));
    assert_eq!(noted(&world, "A"), Occupancy::Empty);
    assert!(!world.closed_by("A").contains(&Rule::Occupancy));
}

#[test]
pub(super) fn a_journey_that_is_voided_is_taken_back_and_its_closing_needs_a_look() {
    let mut world = World::sprayed();
    world.ok("HK", left("W-1", "101", "chair", Some("201")));
    let journey = Number(world.entries.len() as u64);
    let void = Body::Voided { entry: journey, why: "it stayed".to_owned(), really_in: None };
    world.ok("LEAD", (Place::Rooms(vec![code("101"), code("201")]), void));
    assert!(world.board.things_under_way().next().is_none());
    // It may be in either room, wet as it is, until somebody sees it.
    assert_eq!(world.board.rooms_of_thing("W-1"), [code("101"), code("201")]);
    assert_eq!(world.closed_by("D"), [Rule::Wet, Rule::SecondLook]);
    world.to("11:30");
    world.ok("HK", world.dry_check("101", "W-1", ""));
    assert_eq!(world.board.rooms_of_thing("W-1"), [code("101")]);
    assert_eq!(world.closed_by("D"), [Rule::SecondLook]);
}

#[test]
pub(super) fn no_earliest_time_is_told_of_a_bed_that_waits_for_a_patient_or_a_walk() {
    let mut world = World::open();
    let waits = |world: &World, bed: &str| world.board.earliest(code(bed), world.now);
    world.ok("NURSE", world.occupied("101", "A"));
    assert_eq!(waits(&world, "A"), Earliest::Unknown { waits_for: "the patient in it".to_owned() });
    let world = World::unwalked();
    assert_eq!(waits(&world, "C"), Earliest::Unknown { waits_for: "a walk of its ward".to_owned() });
}

/// What comes to light afterwards is true of what had left meanwhile.
#[test]
pub(super) fn a_chair_that_left_as_dry_is_wet_when_its_check_is_voided_or_its_spray_noted_late() {
    let mut world = World::sprayed();
    world.to("11:30");
    let check = world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.to("11:40");
    world.ok("HK", left("R-2", "101", "chair", Some("201")));
    assert_ne!(world.state("201"), State::TreatedWet);
    world.ok("LEAD", world.void("101", check));
    assert_eq!(world.state("201"), State::TreatedWet, "nobody has found that chair dry");
    let mut world = World::open();
    world.to("09:30");
    world.ok("HK", left("R-2", "101", "chair", Some("201")));
    world.to("10:00");
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = Some(world.at("09:20"));
    }
    world.ok_at("TECH", "09:10", (place, body));
    assert_eq!(world.state("201"), State::TreatedWet, "it was sprayed before it left");
}

/// A void opens nothing, here nor where a thing went to meanwhile.
#[test]
pub(super) fn a_chair_that_leaves_after_its_spray_was_voided_may_be_wet_all_the_same() {
    let mut world = World::open();
    world.to("09:00");
    let spray = world.ok("TECH", world.spray("101", SPRAYED_101, ""));
    world.ok("LEAD", world.void("101", spray));
    world.to("09:05");
    world.ok("HK", left("R-2", "101", "chair", Some("201")));
    assert_eq!(world.state("201"), State::TreatedWet);
    world.to("09:30");
    world.no("HK", world.dry_check("201", "R-2", ""), Rule::Label);
    // Where nobody said when the spraying ended, it ended at the latest when it was voided.
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("102", SPRAYED_102, "");
    if let Body::Sprayed { finished, .. } = &mut body {
        *finished = None;
    }
    let spray = world.ok("TECH", (place, body));
    world.to("10:00");
    let void = world.ok("LEAD", world.void("102", spray));
    world.to("11:30");
    world.no("EYES", world.look("102", void), Rule::Label);
    world.to("12:00");
    world.ok("EYES", world.look("102", void));
}

/// What is owed for a mattress goes where the mattress goes; the bed waits until it is back.
#[test]
pub(super) fn a_bed_whose_mattress_is_elsewhere_is_closed_and_asks_no_more_for_it() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.spray("101", SPRAYED_101, ""));
    world.to("09:05");
    world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
    world.to("11:30");
    let refusal = world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Place);
    assert!(refusal.to_string().contains("as M1 it left 101 for 201 at Mon 2 Mar 09:05: feel it in 201"), "{refusal}");
    world.ok("HK", world.dry_check("101", "A/frame B/mattress B/frame chair", ""));
    assert_ne!(world.state("101"), State::TreatedWet, "what is wet is in 201");
    assert_eq!(world.state("201"), State::TreatedWet);
    world.ok("TECH", world.treat("101", "monitor"));
    world.ok("HK", world.vacuum("101", "chair"));
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    world.ok("LEAD", world.give_back("101"));
    assert_eq!(world.closed_by("A"), [Rule::BedWhole]);
    assert!(world.is_open("B"));
    world.ok("HK", world.dry_check("201", "M1", ""));
    assert_ne!(world.state("201"), State::TreatedWet);
    world.ok("HK", left("M1", "201", "", Some("101")));
    world.ok("HK", arrived("M1", "101"));
    assert!(!world.closed_by("A").contains(&Rule::BedWhole));
}

/// Zones, tags, beds, rooms and bags: each pair, whichever comes first.
#[test]
pub(super) fn no_name_is_shared_by_two_kinds_of_things_whichever_comes_first() {
    const KINDS: [(&str, Rule); 5] = [
        ("zone", Rule::SettingValue),
        ("tag", Rule::Receiving),
        ("bed", Rule::SettingValue),
        ("room", Rule::SettingValue),
        ("bag", Rule::Bags),
    ];
    let call = |world: &World, kind: &str| -> (Place, Body) {
        let facility = world.board.facility();
        match kind {
            "zone" => {
                let mut zones = facility.zone_sets[&code("patient-room")].clone();
                zones.push(ZonePlan { part: code("X1"), ..zones[2].clone() });
                (Place::Hospital, Body::ZonesSet { kind: code("patient-room"), zones })
            }
            "tag" => left("X1", "101", "chair", Some("201")),
            "bag" => world.prepare("102", "X1"),
            kind => {
                let room = code(if kind == "bed" { "201" } else { "X1" });
                let mut beds = if kind == "bed" { facility.room(room).unwrap().beds.clone() } else { vec![] };
                beds.extend((kind == "bed").then(|| Bed { code: code("X1"), features: vec![] }));
                let body = Body::RoomSet {
                    name: String::new(),
                    ward: code("W2"),
                    kind: code("patient-room"),
                    order: 9,
                    beds,
                    neighbours: vec![],
                    serves: vec![],
                    floor_dm2: None,
                };
                (Place::room(room), body)
            }
        }
    };
    for (first, _) in KINDS {
        let mut world = World::open();
        world.ok("LEAD", call(&world, first));
        for (then, rule) in KINDS {
            match (first, then) {
                // A bed goes as a thing under its own name.
                ("bed", "tag") => {}
                _ if first == then => {}
                _ => {
                    let refusal = world.no("LEAD", call(&world, then), rule);
                    assert!(refusal.to_string().contains("is the name of"), "{first}, then {then}: {refusal}");
                }
            }
        }
    }
}

/// A store is no room of the book: nothing is closed for what stands there, and what it was is known when it comes back.
#[test]
pub(super) fn a_thing_at_a_place_outside_the_book_is_in_no_room_and_comes_back_as_it_was() {
    let outside = |to: Option<&str>| {
        let (place, mut body) = left("W-1", "101", "chair", to);
        if let Body::ThingLeft { outside, .. } = &mut body {
            *outside = "store".to_owned();
        }
        (place, body)
    };
    let mut world = World::sprayed();
    world.no("HK", outside(Some("201")), Rule::Place);
    world.ok("HK", outside(None));
    assert!(world.board.rooms_of_thing("W-1").is_empty());
    assert!(world.is_open("D"));
    world.ok("HK", arrived("W-1", "201"));
    assert_eq!(world.state("201"), State::TreatedWet, "nobody has felt it dry");
}

/// Whoever saw it knew nothing of a journey that somebody notes afterwards: the two do not agree, and it may be in either room.
#[test]
fn a_journey_that_comes_to_light_after_a_sighting_leaves_the_thing_in_both_rooms() {
    let mut world = World::sprayed();
    let is_asked = |world: &World, room: &str| {
        let chair = Need::Dry(zone("W-1"));
        world.board.evidence(code(room)).iter().any(|it| it.need == chair && it.met_by.is_none())
    };
    world.ok("HK", left("W-1", "101", "chair", Some("201")));
    world.to("09:35");
    world.ok("HK", (Place::room(code("201")), Body::ThingSeen { thing: "W-1".to_owned() }));
    assert!(is_asked(&world, "201") && !is_asked(&world, "102"));
    world.to("09:40");
    world.ok_at("HK", "09:30", left("W-1", "201", "", Some("102")));
    assert!(is_asked(&world, "201"), "seen there");
    assert!(is_asked(&world, "102"), "said to have gone there before");
}

/// Its linens lay on it while the room was sprayed, whenever that comes to light, and wherever it stands by then.
#[test]
fn a_bed_that_comes_to_light_as_having_stood_by_is_made_anew() {
    let mut world = World::open();
    let is_asked = |world: &World| {
        let rooms = ["101", "201"].into_iter();
        rooms.flat_map(|room| world.board.evidence(code(room))).any(|it| it.need == Need::Made(code("A")))
    };
    world.to("09:30");
    world.ok_at("TECH", "09:00", world.spray("201", "chair", ""));
    assert!(!is_asked(&world));
    world.ok_at("HK", "08:50", left("A", "101", "", Some("201")));
    world.ok_at("HK", "08:51", arrived("A", "201"));
    assert!(is_asked(&world));
    world.ok_at("HK", "09:25", left("A", "201", "", Some("101")));
    world.ok("HK", arrived("A", "101"));
    assert!(is_asked(&world));
}

/// Whoever notes a leaving after the spray may have its time wrong: it is not believed to have come before.
#[test]
fn what_is_said_after_a_spray_to_have_left_before_it_was_sprayed() {
    let mut world = World::open();
    world.to("09:30");
    world.ok_at("TECH", "09:00", world.spray("101", SPRAYED_101, ""));
    world.to("09:40");
    world.ok_at("HK", "08:50", left("T-9", "101", "", Some("201")));
    assert!(world.board.evidence(code("201")).iter().any(|it| it.need == Need::Dry(zone("T-9"))));
}

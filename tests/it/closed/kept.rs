//! What a note says of where things were, and what it leaves unsaid: it may have been so, until somebody sees it.

use dryhold::domain::entry::{Body, Known, OldPart, Place};
use dryhold::domain::facility::ZonePlan;
use dryhold::domain::need::Need;

use super::super::rules::world::{World, code, left, zone};
use super::{More, asks, came, closed, completed, gives_up, hospital, open, seen_here};

/// CH1, the chair of 201, never was in 101 by any note. Somebody completes a spray there and names it: it may be there, until
/// somebody sees it where it belongs.
#[test]
fn what_a_completion_names_may_be_where_it_was_sprayed() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("CH1", "201", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("201"), Known::No));
    world.ok("HK", seen_here("CH1", "102"));
    let spray = world.sprays("101", "chair", "08:00", "08:05", "HOUR");
    world.ok("TECH", completed(&world, "101", spray, More { zones: Some("chair CH1"), ..More::default() }));
    world.to("09:20");
    world.puts_right("101", "chair");
    closed(&world, "A B");
    world.ok("HK", seen_here("CH1", "102"));
    world.puts_right("101", "");
    open(&world, "A B");
    world.puts_right("102", "CH1");
    open(&world, "C");
}

/// T2 is the chair of 101, and went from 201 to 102. That it came to 201 was told of T1, which is that chair or the one of 102: it may
/// have come sooner, and stood there while all of 201 was sprayed.
#[test]
fn what_was_perhaps_told_of_another_says_nothing_of_since_when_it_was_there() {
    let mut world = hospital();
    world.to("07:40");
    world.ok("HK", left("T2", "101", "chair", Some("102")));
    world.ok("HK", left("T1", "101", "chair", Some("102")));
    world.ok("HK", left("T1", "102", "chair", Some("101")));
    world.to("08:10");
    let (place, mut body) = world.again("201", "chair", Some("08:05"), "HOUR");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    world.ok_at("TECH", "08:00", (place, body));
    world.ok("HK", came("T1", "201", None, Known::No));
    world.to("08:20");
    world.ok("HK", left("T2", "201", "", Some("102")));
    world.looks_through("102");
    world.puts_right("102", "");
    closed(&world, "C");
    world.to("09:20");
    for tag in ["T2", "T1"] {
        world.ok("HK", seen_here(tag, "102"));
    }
    world.puts_right("102", "T2 T1");
    open(&world, "C");
}

/// Patient rooms with one more part, of which the list asks what it asks of this one.
fn with_another(part: &str, like: &str) -> World {
    let mut world = hospital();
    let kind = code("patient-room");
    // Of the room with one bed.
    let plan = world.board.facility().room(code("201")).expect("a room of the story");
    let mut zones: Vec<ZonePlan> = plan.zones.iter().map(|(_, plan)| plan.clone()).collect();
    let like = plan.zone(zone(like)).expect("a zone of the story").clone();
    zones.push(ZonePlan { part: code(part), name: part.to_owned(), ..like });
    world.raw("LEAD", Place::Hospital, Body::ZonesSet { kind, zones });
    for ward in ["W1", "W2"] {
        world.walks(ward);
    }
    open(&world, "A B C D");
    world
}

/// These parts of 201 went under one tag, were sprayed by it, and felt.
fn under_one_tag(parts: &str) -> World {
    let mut world = with_another("sofa", "chair");
    world.to("08:10");
    world.ok("HK", left("T1", "201", parts, None));
    world.sprays("201", "T1", "08:00", "08:05", "HOUR");
    world.to("09:20");
    world.ok("HK", world.dry_check("201", "T1", ""));
    world.ok("HK", world.make("201", "D"));
    world.looks_through("201");
    world
}

/// The seat under the tag is vacuumed, and whoever vacuums something hard that goes by it too has not done that.
#[test]
fn of_what_goes_by_one_tag_the_seat_is_vacuumed() {
    for hard in ["D/frame", "monitor"] {
        let mut world = under_one_tag(&format!("chair {hard}"));
        world.says("HK", world.vacuum("201", hard));
        world.says("LEAD", world.give_back("201"));
        closed(&world, "D");
        world.ok("HK", world.vacuum("201", "chair"));
        world.ok("LEAD", world.give_back("201"));
        open(&world, "D");
    }
}

/// Of two seats under one tag each is vacuumed, in whatever note.
#[test]
fn of_two_seats_that_go_by_one_tag_each_is_vacuumed() {
    for [first, second] in [["chair", "sofa"], ["sofa", "chair"]] {
        let mut world = under_one_tag("chair sofa");
        world.ok("HK", world.vacuum("201", first));
        world.says("LEAD", world.give_back("201"));
        closed(&world, "D");
        world.ok("HK", world.vacuum("201", second));
        world.ok("LEAD", world.give_back("201"));
        open(&world, "D");
    }
}

/// What was sprayed of bed D by name went into a bag that was filled since, so that nobody is asked. That the bag was filled is taken
/// back: its linens are in none that anybody knows of.
#[test]
fn bedding_whose_bag_is_taken_back_is_asked_for() {
    let mut world = with_another("bedding", "D/frame");
    world.to("08:10");
    let spray = world.sprays("201", "D/frame", "08:00", "08:05", "HOUR");
    let bag = world.ok("HK", world.prepare("201", "BAG1"));
    world.ok("TECH", completed(&world, "201", spray, More { zones: Some("D/bedding"), ..More::default() }));
    assert!(!asks(&world, "201", Need::LinensNamed));
    let void = world.ok("LEAD", world.void("201", bag));
    world.to("09:20");
    world.ok("IP", world.look("201", void));
    world.puts_right("201", "D/frame D/bedding");
    closed(&world, "D");
    assert_eq!(world.next_step("201"), "complete-spray");
    world.ok("TECH", completed(&world, "201", spray, More { bags: Some("BAG2"), ..More::default() }));
    world.ok("WASH", world.launder("201", "BAG2"));
    world.puts_right("201", "");
    open(&world, "D");
}

/// The book has bed A in 201, and nobody says when it was rolled there. Its damp mattress was carried back to 101 meanwhile: it may
/// have been rolled along, until somebody sees it.
#[test]
fn what_is_put_where_its_bed_may_be_yet_may_be_rolled_along() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "A/mattress", "08:00", "08:05", "FOUR");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", came("M1", "102", Some("101"), Known::Yes));
    world.ok("HK", seen_here("M1", "102"));
    world.to("08:30");
    world.book(&[("101", "B"), ("201", "D A")]);
    world.ok("HK", left("M1", "102", "", Some("101")));
    world.ok("HK", came("M1", "101", Some("102"), Known::Yes));
    for ward in ["W1", "W2"] {
        world.walks(ward);
    }
    world.puts_right("201", "");
    closed(&world, "D");
    world.to("12:30");
    world.ok("HK", seen_here("M1", "101"));
    world.puts_right("101", "M1");
    world.puts_right("201", "");
    world.counts("W1");
    world.counts("W2");
    open(&world, "B D");
}

/// T1 was given up, and came to 201 by a note that two people take back. Where it turns up in the afternoon it is wet from then on,
/// whatever label ran since that note.
#[test]
fn what_did_not_turn_up_after_all_is_as_lost_as_it_was() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "chair", "08:00", "08:05", "FOUR");
    world.ok("HK", left("T1", "101", "chair", Some("102")));
    gives_up(&mut world, "102", "T1");
    world.to("08:40");
    let wrong = world.ok("HK", came("T1", "201", None, Known::No));
    let void = world.ok("LEAD", world.void("201", wrong));
    world.to("12:50");
    world.ok("IP", world.look("201", void));
    world.puts_right("201", "");
    open(&world, "D");
    world.to("13:30");
    world.ok("HK", came("T1", "102", None, Known::No));
    world.to("13:50");
    world.puts_right("102", "T1");
    closed(&world, "C");
    world.to("17:40");
    world.puts_right("102", "T1");
    open(&world, "C");
}

/// T1 was given up, and that it left 101 at all is voided: perhaps it is there, and perhaps it is gone. It is looked for, and nobody
/// is sent to feel it.
#[test]
fn what_perhaps_is_not_gone_is_seen_before_it_is_felt() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "chair", "08:00", "08:05", "HOUR");
    let wrong = world.ok("HK", left("T1", "101", "chair", Some("102")));
    gives_up(&mut world, "102", "T1");
    let (_, body) = world.void("101", wrong);
    world.ok("LEAD", (Place::Rooms(vec![code("101"), code("102")]), body));
    closed(&world, "A B");
    let to_feel = |world: &World| world.board.room(code("101")).expect("a room of the story").dryness().to_feel();
    assert_eq!((world.next_step("101"), to_feel(&world)), ("thing-seen", vec![]));
    world.ok("HK", seen_here("chair", "101"));
    assert_eq!(to_feel(&world), [zone("chair")]);
    world.to("12:30");
    world.puts_right("101", "chair");
    open(&world, "A B");
}

/// The mattress of bed A is wet, and somebody notes that a new one took its place; that is voided. Nobody knows which one is there: the
/// wet one may be, and bed B beside it is closed as well until it is felt.
#[test]
fn what_was_not_replaced_after_all_is_where_it_was_and_wet() {
    let mut world = hospital();
    world.to("08:10");
    world.sprays("101", "A/mattress", "08:00", "08:05", "FOUR");
    let body = Body::PartReplaced {
        part: zone("A/mattress"),
        by: None,
        old: OldPart::Destroyed,
        reason: "torn".to_owned(),
        seen: world.seen("101"),
    };
    let said = world.ok("LEAD", (Place::room(code("101")), body));
    world.to("08:30");
    let void = world.ok("LEAD", world.void("101", said));
    world.says("IP", world.look("101", void));
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A B");
    world.to("12:45");
    world.puts_right("101", "A/mattress");
    open(&world, "A B");
}

/// Bed A went to 201 under a tag that all of its parts carried, and was rolled back by the book: whatever the tag was, it is that bed, and
/// its parts are where it is.
#[test]
fn a_tag_that_all_of_a_bed_carries_is_that_bed() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "101", "A/mattress A/frame", Some("201")));
    assert_eq!(world.board.surfaces().bed_rooms(code("A")), [code("201")]);
    world.to("08:40");
    world.sprays("201", "A/frame", "08:30", "08:35", "HOUR");
    open(&world, "C");
    world.book(&[("101", "B"), ("102", "C A")]);
    closed(&world, "C");
}

/// A tag that was the chair of 201 is said to be all of bed A: either may be meant, and the bed is not surely gone from 101.
#[test]
fn a_tag_in_doubt_is_no_bed() {
    let mut world = hospital();
    world.to("08:10");
    world.ok("HK", left("T1", "201", "chair", Some("102")));
    world.ok("HK", left("T1", "101", "A/mattress A/frame", Some("201")));
    assert!(world.board.surfaces().bed_rooms(code("A")).contains(&code("101")));
}

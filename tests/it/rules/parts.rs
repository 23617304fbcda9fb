//! A part of a bed that was destroyed, or stays elsewhere, and what took its place.

use dryhold::domain::board::{ExceptionKind, State};
use dryhold::domain::entry::{Body, OldPart, Place};
use dryhold::domain::need::Need;
use dryhold::domain::rule::Rule;

use super::world::*;

fn replaced(world: &World, room: &str, part: &str, by: Option<&str>, old: OldPart) -> (Place, Body) {
    let (by, reason) = (by.map(code), "torn".to_owned());
    let body = Body::PartReplaced { part: zone(part), by, old, reason, seen: world.seen(room) };
    (Place::room(code(room)), body)
}

fn owes(world: &World, room: &str, need: Need) -> bool {
    world.board.evidence(code(room)).iter().any(|it| it.need == need && it.met_by.is_none())
}

#[test]
pub(super) fn a_bed_whose_mattress_was_destroyed_has_its_new_one_once_the_lead_says_so_and_it_is_made() {
    let mut world = World::open();
    world.ok("HK", left("M1", "102", "C/mattress", None));
    world.to("08:00");
    for ward in ["W1", "W2"] {
        world.ok("LEAD", world.walk(ward));
    }
    let off = |world: &World| {
        let seen = world.seen("102");
        let body = Body::WrittenOff {
            what: dryhold::domain::entry::Lost::Thing,
            tag: code("M1"),
            reason: "burnt in the yard".to_owned(),
            seen,
        };
        (Place::room(code("102")), body)
    };
    for by in ["LEAD", "IP"] {
        world.ok(by, off(&world));
    }
    world.ok("NURSE", world.empty("W1", "A B C"));
    assert_eq!(world.closed_by("C"), [Rule::BedWhole]);
    let step = world.board.next_step(code("102"), world.now).unwrap();
    assert!(step.text.contains("what took its place"), "{}", step.text);
    world.no("HK", replaced(&world, "102", "C/mattress", None, OldPart::Destroyed), Rule::Role);
    world.no("LEAD", replaced(&world, "102", "chair", None, OldPart::Destroyed), Rule::Place);
    let said = world.ok("LEAD", replaced(&world, "102", "C/mattress", None, OldPart::Destroyed));
    let kind = ExceptionKind::PartReplaced(zone("C/mattress"));
    assert!(world.board.exceptions().iter().any(|it| it.number == said && it.kind == kind), "marked for ever");
    assert!(!world.is_open("C"), "it is made first");
    world.ok("HK", world.make("102", "C"));
    world.ok("LEAD", world.give_back("102"));
    assert!(world.is_open("C"));
}

#[test]
pub(super) fn a_wet_mattress_that_is_destroyed_is_felt_no_more_and_one_that_is_kept_stays_wet() {
    let mut world = World::sprayed();
    world.ok("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Destroyed));
    world.to("12:30");
    world.ok("HK", world.dry_check("101", "A/frame B/mattress B/frame chair", ""));
    assert!(!owes(&world, "101", Need::Dry(zone("A/mattress"))));
    assert_ne!(world.state("101"), State::TreatedWet);
    // A spray of the room since then is the new one's matter.
    world.ok("TECH", world.spray("101", SPRAYED_101, ""));
    assert!(owes(&world, "101", Need::Dry(zone("A/mattress"))));
    // Kept under its tag it is as wet as it was, where it is.
    let mut world = World::sprayed();
    world.no("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Kept), Rule::BedWhole);
    world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
    world.ok("HK", arrived("M1", "201"));
    world.ok("LEAD", replaced(&world, "101", "A/mattress", None, OldPart::Kept));
    assert!(owes(&world, "201", Need::Dry(zone("M1"))));
    assert!(!world.is_open("D"));
    world.to("12:30");
    world.ok("HK", world.dry_check("201", "M1", ""));
    assert!(!owes(&world, "201", Need::Dry(zone("M1"))));
}

#[test]
pub(super) fn what_took_the_place_of_a_part_brings_its_own_wetness_and_is_missed_where_it_was() {
    let mut world = World::sprayed();
    world.no("LEAD", replaced(&world, "201", "D/mattress", Some("M1"), OldPart::Destroyed), Rule::Target);
    world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
    world.no("LEAD", replaced(&world, "102", "C/mattress", Some("M1"), OldPart::Destroyed), Rule::BedWhole);
    world.ok("HK", arrived("M1", "201"));
    world.ok("LEAD", replaced(&world, "201", "D/mattress", Some("M1"), OldPart::Destroyed));
    assert!(owes(&world, "201", Need::Dry(zone("D/mattress"))) || owes(&world, "201", Need::Dry(zone("M1"))));
    assert_eq!(world.state("201"), State::TreatedWet);
    assert!(
        world.closed_by("A").contains(&Rule::BedWhole),
        "bed A has no mattress any more: {:?}",
        world.closed_by("A")
    );
    world.to("12:30");
    world.ok("HK", world.dry_check("201", "D/mattress", ""));
    assert_ne!(world.state("201"), State::TreatedWet);
    // It goes with its new bed.
    world.ok("HK", left("D", "201", "", Some("102")));
    world.ok("HK", arrived("D", "102"));
    world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    assert_eq!(world.state("102"), State::TreatedWet);
}

#[test]
pub(super) fn a_replacement_that_is_taken_back_leaves_a_bed_of_which_nobody_knows_what_it_has() {
    let mut world = World::open();
    let said = world.ok("LEAD", replaced(&world, "102", "C/mattress", None, OldPart::Destroyed));
    world.ok("LEAD", world.void("102", said));
    // The old one may be where it was, and as wet as anything may be.
    assert!(world.closed_by("C").contains(&Rule::Wet), "{:?}", world.closed_by("C"));
    assert!(owes(&world, "102", Need::Dry(zone("C/mattress"))));
    world.ok("HK", (Place::room(code("102")), Body::ThingSeen { thing: "C/mattress".to_owned() }));
    assert!(owes(&world, "102", Need::Dry(zone("C/mattress"))));
}

//! Linens, or a whole bed, that went under a tag: what is asked of them is asked of what the tag stands for.

use dryhold::domain::entry::Number;
use dryhold::domain::need::Need;

use super::super::rules::world::{World, code, left};
use super::linens::with_linens;
use super::{More, asks, closed, completed, hospital, open, seen_here};

/// It came back before the spray, and lies on its bed.
fn goes_and_comes_back(world: &mut World, tag: &str, parts: &str) {
    world.ok("HK", left(tag, "101", parts, Some("102")));
    world.ok("HK", left(tag, "102", "", Some("101")));
    world.ok("HK", seen_here(tag, "101"));
    world.looks_through("102");
}

/// The bag is named and laundered, and the beds are made from the store: all is well.
fn ends_well(world: &mut World, spray: Number, parts: &str) {
    world.ok("TECH", completed(world, "101", spray, More { bags: Some("BAG3"), ..More::default() }));
    world.puts_right("101", parts);
    closed(world, "A");
    world.ok("WASH", world.launder("101", "BAG3"));
    world.puts_right("101", parts);
    open(world, "A B");
}

#[test]
fn bedding_that_was_sprayed_under_its_tag_is_washed() {
    for is_named_at_once in [true, false] {
        let mut world = with_linens("bedding");
        world.to("09:00");
        goes_and_comes_back(&mut world, "BD", "A/bedding");
        world.to("10:10");
        let parts = if is_named_at_once { "BD A/frame" } else { "A/frame" };
        let spray = world.sprays("101", parts, "10:00", "10:05", "HOUR");
        world.to("11:10");
        if !is_named_at_once {
            world.ok("TECH", completed(&world, "101", spray, More { zones: Some("BD"), ..More::default() }));
        }
        world.puts_right("101", "BD A/frame");
        closed(&world, "A");
        ends_well(&mut world, spray, "BD A/frame");
    }
}

/// What carried the tag is said only after the spray that named it.
#[test]
fn what_comes_to_light_as_bedding_that_was_sprayed_is_washed() {
    let mut world = with_linens("bedding");
    world.to("09:00");
    goes_and_comes_back(&mut world, "BD", "");
    world.to("10:10");
    let spray = world.sprays("101", "BD A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("101", "BD A/frame");
    world.ok_at("HK", "09:00", left("BD", "101", "A/bedding", Some("102")));
    world.ok("HK", seen_here("BD", "101"));
    world.puts_right("101", "BD A/frame");
    closed(&world, "A");
    world.looks_through("102");
    ends_well(&mut world, spray, "BD A/frame");
}

/// What stood in 102 while that was sprayed is back, dry, and looked at: only its linens are as they were.
fn stood_by(parts: &str, is_said_late: bool, mut world: World) {
    world.to("09:00");
    world.ok("HK", left("T9", "101", if is_said_late { "" } else { parts }, Some("102")));
    world.to("10:10");
    world.sprays("102", "chair", "10:00", "10:05", "HOUR");
    world.ok("HK", left("T9", "102", "", Some("101")));
    if is_said_late {
        world.ok_at("HK", "09:00", left("T9", "101", parts, Some("102")));
    }
    world.ok("HK", seen_here("T9", "101"));
    world.to("11:30");
    world.says("HK", world.dry_check("101", "T9", ""));
    world.looks_through("101");
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
    assert!(asks(&world, "101", Need::Made(code("A"))));
    world.puts_right("101", "T9");
    world.puts_right("102", "chair");
    open(&world, "A B C");
}

#[test]
fn a_bed_whose_linens_stood_in_a_sprayed_room_is_made_anew() {
    for is_said_late in [false, true] {
        stood_by("A/bedding", is_said_late, with_linens("bedding"));
    }
}

#[test]
fn a_bed_that_stood_in_a_sprayed_room_under_one_tag_is_made_anew() {
    for is_said_late in [false, true] {
        stood_by("A/mattress A/frame", is_said_late, hospital());
        stood_by("A/mattress A/frame A/bedding", is_said_late, with_linens("bedding"));
    }
}

/// A mattress alone is no bed that has linens.
#[test]
fn a_mattress_that_went_alone_asks_for_no_linens() {
    let mut world = hospital();
    world.to("09:00");
    world.ok("HK", left("M9", "101", "A/mattress", Some("102")));
    world.to("10:10");
    world.sprays("102", "chair", "10:00", "10:05", "HOUR");
    world.ok("HK", left("M9", "102", "", Some("101")));
    world.ok("HK", seen_here("M9", "101"));
    world.looks_through("101");
    world.says("LEAD", world.give_back("101"));
    open(&world, "A B");
}

/// Whoever lay in the bed lay in linens that were sprayed, where that is noted afterwards. Noted before, nobody sprays there without
/// saying so: the bed stands in that room.
#[test]
fn the_linens_of_whoever_lay_in_a_bed_under_one_tag_are_asked_for() {
    let mut world = hospital();
    world.to("08:00");
    world.ok("HK", left("T9", "101", "A/mattress A/frame", Some("102")));
    world.to("10:10");
    let spray = world.sprays("102", "chair", "10:00", "10:05", "HOUR");
    world.ok("HK", left("T9", "102", "", Some("101")));
    world.ok("HK", seen_here("T9", "101"));
    world.ok_at("NURSE", "08:00", world.occupied("101", "A"));
    world.ok("NURSE", world.empty("W1", "A"));
    world.to("11:30");
    assert!(asks(&world, "102", Need::LinensNamed));
    assert!(asks(&world, "101", Need::Made(code("A"))));
    world.ok("TECH", completed(&world, "102", spray, More { bags: Some("BAG3"), ..More::default() }));
    world.ok("WASH", world.launder("102", "BAG3"));
    world.puts_right("101", "T9");
    world.puts_right("102", "chair");
    open(&world, "A B C");
}

/// Fresh linens, as after a damp mattress; under a tag, too.
#[test]
fn a_bed_whose_linens_or_mattress_are_found_damp_is_made_anew() {
    for (parts, tagged) in [("A/bedding", None), ("BD", Some("A/bedding")), ("MT", Some("A/mattress"))] {
        let mut world = with_linens("bedding");
        world.to("09:00");
        if let Some(tagged) = tagged {
            goes_and_comes_back(&mut world, parts, tagged);
            world.puts_right("101", "");
            open(&world, "A B");
        }
        world.to("10:10");
        world.ok("HK", world.dry_check("101", "", parts));
        world.to("14:10");
        world.ok("HK", world.dry_check("101", parts, ""));
        world.says("LEAD", world.give_back("101"));
        closed(&world, "A");
        assert!(asks(&world, "101", Need::Made(code("A"))) && !asks(&world, "101", Need::Made(code("B"))));
        world.puts_right("101", parts);
        open(&world, "A B");
    }
}

/// Damp in another room, and dry before they are back.
#[test]
fn a_bed_whose_linens_were_damp_elsewhere_is_made_anew() {
    let mut world = with_linens("bedding");
    world.to("09:00");
    world.ok("HK", left("BD", "101", "A/bedding", Some("102")));
    world.to("10:10");
    world.ok("HK", world.dry_check("102", "", "BD"));
    world.to("14:10");
    world.ok("HK", world.dry_check("102", "BD", ""));
    world.ok("HK", left("BD", "102", "", Some("101")));
    world.ok("HK", seen_here("BD", "101"));
    world.looks_through("101");
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
    world.puts_right("101", "");
    open(&world, "A B");
}

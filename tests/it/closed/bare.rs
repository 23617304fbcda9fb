//! Beds of a kind of room whose list has no part of beds: a bed is something all the same, that gets wet, leaves and is felt.

use dryhold::domain::entry::{Body, Known, Place};
use dryhold::domain::facility::ZonePlan;

use super::super::rules::world::{World, code, left};
use super::{came, closed, hospital, open, typed};

/// 201 lists a chair and a monitor, and nothing of its bed D.
fn with_a_bay() -> World {
    let mut world = hospital();
    let plans: Vec<ZonePlan> = world.board.facility().zone_sets[&code("patient-room")].clone();
    let zones = plans.into_iter().filter(|plan| !plan.per_bed).collect();
    world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind: code("bay"), zones }));
    world.set_room("201", "W2", "bay", 1, "D", "");
    world.walks("W2");
    open(&world, "D C");
    world
}

fn sprayed_all_over(world: &mut World) {
    world.to("10:10");
    let (place, mut body) = world.again("201", "chair", Some("10:05"), "FOUR");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    world.ok_at("TECH", "10:00", (place, body));
}

/// The wet bed stands in 102.
#[test]
fn a_bed_without_parts_leaves_a_wet_room_wet() {
    let mut world = with_a_bay();
    sprayed_all_over(&mut world);
    world.to("10:20");
    world.ok("HK", left("D", "201", "", Some("102")));
    world.ok("HK", came("D", "102", Some("201"), Known::No));
    world.looks_through("102");
    closed(&world, "C D");
    world.to("14:30");
    let what = typed(
        &world,
        "dry-check",
        "102",
        &[("began", "14:28"), ("ventilation", "window open"), ("zones", "D/bed=dry")],
    );
    world.ok("HK", what);
    world.puts_right("102", "D/bed");
    world.says("HK", world.make("102", "D"));
    world.looks_through("102");
    world.says("LEAD", world.give_back("102"));
    open(&world, "C");
}

#[test]
fn a_bed_without_parts_is_felt_where_it_stands() {
    let mut world = with_a_bay();
    sprayed_all_over(&mut world);
    world.to("14:30");
    world.puts_right("201", "chair monitor");
    closed(&world, "D");
    let what = typed(
        &world,
        "dry-check",
        "201",
        &[("began", "14:36"), ("ventilation", "window open"), ("zones", "D/bed=dry")],
    );
    world.ok("HK", what);
    world.puts_right("201", "D/bed chair monitor");
    open(&world, "D");
}

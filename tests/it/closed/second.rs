//! What somebody does once more before the lead signs, where the policy asks for it. What stands in another room by then is checked there,
//! and what came here is checked here.

use dryhold::domain::entry::{Body, Place};
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, left};
use super::{closed, hospital, open, seen_here};

fn policy(world: &mut World, key: &str) {
    world.ok("LEAD", (Place::Hospital, Body::PolicySet { key: key.to_owned(), value: 1 }));
}

/// The chair and the frame of bed A are sprayed in 101, and the chair goes to 102 as CH1, or somewhere that nobody noted.
fn chair_leaves(world: &mut World, to: Option<&str>) {
    world.to("10:10");
    world.sprays("101", "chair A/frame", "10:00", "10:05", "HOUR");
    world.ok("HK", left("CH1", "101", "chair", to));
    if let Some(to) = to {
        world.ok("HK", seen_here("CH1", to));
    }
}

/// All in the room but the chair, which stands elsewhere.
fn looks_without_chair(world: &mut World, room: &str) {
    let parts: Vec<String> = world.parts(room).split(' ').filter(|part| *part != "chair").map(str::to_owned).collect();
    world.ok("EYES", world.inspect(room, &parts.join(" ")));
}

fn makes_both(world: &mut World) {
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
}

/// Everything was dry before somebody looked: 101 and its look wait for nothing that stands in 102.
#[test]
fn a_clean_look_waits_for_nothing_that_went_elsewhere() {
    for is_felt_first in [true, false] {
        let mut world = hospital();
        policy(&mut world, "clean-look-first");
        chair_leaves(&mut world, Some("102"));
        world.to("11:10");
        world.ok("HK", world.dry_check("101", "A/frame", ""));
        if is_felt_first {
            world.ok("HK", world.dry_check("102", "CH1", ""));
        }
        makes_both(&mut world);
        world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
        closed(&world, "A B C");
        looks_without_chair(&mut world, "101");
        world.ok("LEAD", world.give_back("101"));
        open(&world, "A B");
        closed(&world, "C");
        if !is_felt_first {
            world.ok("HK", world.dry_check("102", "CH1", ""));
        }
        world.ok("HK", world.vacuum("102", "CH1"));
        world.looks_through("102");
        world.ok("LEAD", world.give_back("102"));
        open(&world, "A B C");
    }
}

/// Whoever looked while it was in 102 has not looked at it: it is seen here again.
#[test]
fn a_clean_look_is_one_at_what_came_back_too() {
    let mut world = hospital();
    policy(&mut world, "clean-look-first");
    chair_leaves(&mut world, Some("102"));
    world.to("11:10");
    world.ok("HK", world.dry_check("101", "A/frame", ""));
    world.ok("HK", world.dry_check("102", "CH1", ""));
    makes_both(&mut world);
    looks_without_chair(&mut world, "101");
    assert_eq!(world.next_step("101"), "return");
    world.ok("HK", seen_here("CH1", "101"));
    world.says("HK", world.vacuum("101", "chair"));
    assert_eq!(world.next_step("101"), "inspect");
    world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    closed(&world, "A B");
    world.looks_through("101");
    world.ok("LEAD", world.give_back("101"));
    open(&world, "A B");
}

/// It was found dry in 102 and is back: whoever looks after that has looked.
#[test]
fn a_clean_look_counts_once_what_came_back_is_dry() {
    let mut world = hospital();
    policy(&mut world, "clean-look-first");
    chair_leaves(&mut world, Some("102"));
    world.to("11:10");
    world.ok("HK", world.dry_check("101", "A/frame", ""));
    makes_both(&mut world);
    looks_without_chair(&mut world, "101");
    world.ok("HK", world.dry_check("102", "CH1", ""));
    world.ok("HK", left("CH1", "102", "", Some("101")));
    world.ok("HK", seen_here("CH1", "101"));
    world.ok("HK", world.vacuum("101", "chair"));
    // The look came before it was dry.
    world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    closed(&world, "A B");
    world.looks_through("101");
    world.ok("LEAD", world.give_back("101"));
    open(&world, "A B");
}

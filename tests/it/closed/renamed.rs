//! A bed or a room that is called otherwise from now on: what was wet under the old code is wet under the new one.

use dryhold::domain::entry::{Body, Place};
use dryhold::domain::facility::Bed;
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code};
use super::{hospital, open};

fn room_set(room: &str, ward: &str, beds: &str) -> (Place, Body) {
    let body = Body::RoomSet {
        name: format!("Room {room}"),
        ward: code(ward),
        kind: code("patient-room"),
        order: 5,
        beds: beds.split_whitespace().map(|bed| Bed { code: code(bed), features: vec![] }).collect(),
        neighbours: vec![],
        serves: vec![],
        floor_dm2: None,
    };
    (Place::room(code(room)), body)
}

fn set(world: &mut World, room: &str, ward: &str, beds: &str) {
    world.ok("LEAD", room_set(room, ward, beds));
}

/// The damp bed A was rolled to 201, and the book calls it E there.
#[test]
fn a_damp_bed_gets_no_new_code() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("HK", world.dry_check("101", "", "A/frame"));
    world.no("LEAD", room_set("101", "W1", "E B"), Rule::Place);
    set(&mut world, "101", "W1", "B");
    world.no("LEAD", room_set("201", "W2", "D E"), Rule::Place);
    // Under its own code it may go anywhere, and once it is settled it may be called anything.
    set(&mut world, "201", "W2", "D A");
    world.walks("W1");
    world.walks("W2");
    world.to("10:40");
    world.puts_right("201", "A/frame");
    world.puts_right("101", "");
    open(&world, "A B D");
    set(&mut world, "201", "W2", "D E");
    world.walks("W2");
    open(&world, "E D");
}

/// 101 becomes 105 with its beds, and its damp chair stays on the books of 101.
#[test]
fn a_room_with_something_damp_gets_no_new_number() {
    for is_first in [false, true] {
        let mut world = hospital();
        world.to("10:10");
        world.ok("HK", world.dry_check("101", "", "chair"));
        if is_first {
            set(&mut world, "105", "W1", "");
        }
        set(&mut world, "101", "W1", "");
        world.no("LEAD", room_set("105", "W1", "A B"), Rule::Place);
        // A room that was there before is another one.
        set(&mut world, "201", "W2", "D A B");
        set(&mut world, "201", "W2", "D");
        set(&mut world, "101", "W1", "A B");
        world.walks("W1");
        world.walks("W2");
        world.to("10:40");
        world.puts_right("101", "chair");
        world.puts_right("201", "");
        world.walks("W1");
        open(&world, "A B D");
        set(&mut world, "101", "W1", "");
        set(&mut world, "105", "W1", "A B");
        world.walks("W1");
        open(&world, "A B");
    }
}

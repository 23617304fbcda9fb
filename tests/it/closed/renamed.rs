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

/// The new code comes first, in whichever room, and the damp bed's own goes off the book after that.
#[test]
fn a_damp_bed_does_not_go_off_the_book_once_there_is_a_new_code() {
    let mut taken = vec![];
    for (room, ward, beds, early) in
        [("101", "W1", "A B E", false), ("201", "W2", "D E", false), ("101", "W1", "A B E", true)]
    {
        let mut world = hospital();
        if early {
            // On the book, and nobody has walked there since.
            set(&mut world, room, ward, beds);
        }
        world.to("10:10");
        world.ok("HK", world.dry_check("101", "", "A/frame"));
        if !early {
            set(&mut world, room, ward, beds);
            world.walks(ward);
        }
        let without = if room == "101" { "B E" } else { "B" };
        if world.says("LEAD", room_set("101", "W1", without)).is_some() {
            taken.push((room, early));
            continue;
        }
        world.walks("W1");
        world.walks("W2");
        world.to("10:40");
        world.puts_right("101", "A/frame");
        world.counts("W1");
        open(&world, "A B E");
        set(&mut world, "101", "W1", without);
        world.walks("W1");
        open(&world, "B E");
    }
    assert_eq!(taken, []);
}

/// A bed of which everybody knew before is none of those that went off the book.
#[test]
fn a_damp_bed_goes_off_the_book_where_no_other_came_since() {
    let mut world = hospital();
    set(&mut world, "201", "W2", "D E");
    world.walks("W2");
    world.to("10:10");
    world.ok("HK", world.dry_check("101", "", "A/frame"));
    set(&mut world, "101", "W1", "B");
    set(&mut world, "101", "W1", "A B");
    world.walks("W1");
    world.to("10:40");
    world.puts_right("101", "A/frame");
    open(&world, "A B D E");
}

/// 105 was on the book all the while, and nothing ever stood in it: it may be what 101 is called now.
#[test]
fn a_room_with_something_damp_does_not_become_one_that_stood_empty() {
    let mut world = hospital();
    set(&mut world, "105", "W1", "");
    world.walks("W1");
    world.to("10:10");
    world.ok("HK", world.dry_check("101", "", "chair"));
    set(&mut world, "101", "W1", "B");
    world.no("LEAD", room_set("105", "W1", "A"), Rule::Place);
    // It was rolled there: whoever says so says what is true of the bed alone.
    set(&mut world, "101", "W1", "A B");
    super::made::rolls(&mut world, "A", "101", "105");
    set(&mut world, "101", "W1", "B");
    set(&mut world, "105", "W1", "A");
    world.walks("W1");
    world.looks_through("105");
    open(&world, "A");
    world.to("10:40");
    world.puts_right("101", "chair");
    world.counts("W1");
    open(&world, "A B");
}

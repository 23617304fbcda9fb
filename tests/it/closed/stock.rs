//! Beds made from linens that lay in a wet room, by whatever words it was said where they lay, and whenever it comes to light.

use dryhold::domain::entry::{BagEnd, Body, LinenSource, Number, Place, Sign};
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code, left};
use super::{closed, hospital, open, really_in, seen_here};

fn made_from(room: &str, bed: &str, stock: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::BedMade { bed: code(bed), linens: LinenSource::Stock(stock.to_owned()) })
}

/// 101 is wet, and C is made from what lay there.
#[test]
fn words_that_name_a_wet_room_or_its_bed_name_no_clean_stock() {
    let words = [
        "101",
        "101's cupboard",
        "cupboard of room 101",
        "Linens in 101, top shelf",
        "room 101",
        "the trolley (101)",
        "bed A",
        "from Bed A",
        "drawer of beds B and A",
        "BAG7",
        "what was in bag7",
    ];
    let mut taken = vec![];
    for stock in words {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "chair", "10:00", "10:05", "FOUR");
        world.ok("HK", world.prepare("101", "BAG7"));
        world.sprays("102", "C/frame", "10:00", "10:05", "DRY");
        world.to("10:20");
        world.ok("HK", world.dry_check("102", "C/frame", ""));
        world.says("HK", made_from("102", "C", stock));
        world.says("LEAD", world.give_back("102"));
        if world.is_open("C") {
            taken.push(stock);
        }
        world.puts_right("102", "C/frame");
        open(&world, "C");
    }
    assert_eq!(taken, [] as [&str; 0]);
}

/// Words that only look like a room's or a bed's are none.
#[test]
fn words_that_name_no_wet_room_name_clean_stock() {
    for stock in ["linen room", "a shelf", "store 1010", "store 5101", "cart B", "cupboard of 201", "bed D", "BAG77"] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "A/frame chair", "10:00", "10:05", "FOUR");
        world.ok("HK", world.prepare("101", "BAG7"));
        world.to("10:20");
        world.ok("HK", made_from("102", "C", stock));
    }
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.no("HK", made_from("102", "C", "101's cupboard"), Rule::Linens);
}

/// D was sprayed, felt and made again from what lay in 102, which nobody knew to be anything but clear.
fn made_from_102() -> World {
    let mut world = hospital();
    world.to("10:06");
    world.sprays("201", "D/frame", "10:00", "10:05", "DRY");
    world.to("10:20");
    world.ok("HK", world.dry_check("201", "D/frame", ""));
    world.ok("HK", made_from("201", "D", "cupboard of 102"));
    world.ok("LEAD", world.give_back("201"));
    open(&world, "D");
    world.to("10:40");
    world
}

type Tell<'a> = (&'static str, &'a dyn Fn(&mut World) -> Number);

/// Then it comes to light that 102 was wet at that time, or had bugs.
#[test]
fn a_bed_that_was_made_from_a_room_which_was_not_clear_then_is_made_again() {
    let sprayed = |world: &mut World| world.sprays("102", "chair", "10:00", "10:05", "DRY");
    let damp = |world: &mut World| {
        let mut check = world.dry_check("102", "", "chair");
        if let Body::DryChecked { began, .. } = &mut check.1 {
            *began = world.at("10:10");
        }
        world.ok_at("HK", "10:10", check)
    };
    let wiped = |world: &mut World| world.ok_at("HK", "10:10", super::wiped("102", "chair"));
    let found = |world: &mut World| world.ok_at("HK", "10:10", world.finding("102", &[Sign::LiveAdult]));
    let really = |world: &mut World| {
        let wrong = world.sprays("101", "chair", "10:00", "10:05", "DRY");
        world.ok("LEAD", really_in("101", "102", wrong))
    };
    let came = |world: &mut World| {
        let known = dryhold::domain::entry::Known::Yes;
        world.ok_at("HK", "10:10", super::came("CH7", "102", None, known))
    };
    let tells: [Tell<'_>; 6] = [
        ("sprayed", &sprayed),
        ("damp", &damp),
        ("wiped", &wiped),
        ("found", &found),
        ("really", &really),
        ("came", &came),
    ];
    let mut opened = vec![];
    for (name, tell) in tells {
        let mut world = made_from_102();
        tell(&mut world);
        if world.is_open("D") {
            opened.push(name);
            continue;
        }
        assert_eq!(world.next_step("201"), "make-bed", "{name}");
        // From the same shelf again is no way on.
        world.no("HK", made_from("201", "D", "cupboard of 102"), Rule::Linens);
        world.ok("HK", world.make("201", "D"));
        assert_eq!(world.next_step("201"), "return", "{name}");
        world.ok("LEAD", world.give_back("201"));
        open(&world, "D");
    }
    assert_eq!(opened, [] as [&str; 0]);
}

/// The check by which 102 was dry is taken back: it was wet when the linens were taken.
#[test]
fn a_bed_that_was_made_from_a_room_whose_check_is_taken_back_is_made_again() {
    let mut world = hospital();
    world.to("09:10");
    world.sprays("102", "C/frame", "09:00", "09:05", "DRY");
    world.to("09:20");
    let check = world.ok("HK", world.dry_check("102", "C/frame", ""));
    world.puts_right("102", "C/frame");
    open(&world, "C");
    world.to("10:00");
    world.ok("HK", made_from("201", "D", "room 102"));
    open(&world, "D");
    world.ok("LEAD", world.void("102", check));
    closed(&world, "C D");
    world.ok("HK", world.make("201", "D"));
    world.ok("LEAD", world.give_back("201"));
    open(&world, "D");
    world.puts_right("102", "C/frame");
    open(&world, "C");
}

/// A spray that came later reached none of the linens that were taken before; and a bed that was made anew since is made.
#[test]
fn a_bed_is_not_made_again_for_what_came_after() {
    let mut world = made_from_102();
    world.sprays("102", "chair", "10:30", "10:35", "DRY");
    open(&world, "D");
    let mut world = made_from_102();
    world.ok("HK", world.make("201", "D"));
    world.to("10:50");
    world.sprays("102", "chair", "10:00", "10:05", "DRY");
    open(&world, "D");
}

/// What was on the bed is no stock, however it is said.
#[test]
fn the_same_linens_again_are_no_stock() {
    let mut taken = vec![];
    for stock in
        ["none", "unknown", "the same", "same linens", "its own linens", "unchanged", "old ones", "n/a", "not changed"]
    {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "chair", "10:00", "10:05", "DRY");
        if world.says("HK", made_from("101", "A", stock)).is_some() {
            taken.push(stock);
        }
        world.ok("HK", made_from("101", "A", "same store as always"));
    }
    assert_eq!(taken, [] as [&str; 0]);
}

/// Nobody knows what a line of 102 said: no bed is made from there, and one that was made the day before is made again.
#[test]
fn a_room_with_a_line_that_nobody_can_read_has_no_clean_stock() {
    let unread = || Body::Unreadable { raw: "(?".to_owned(), why: "a torn line".to_owned() };
    let mut world = made_from_102();
    world.raw("HK", Place::room(code("102")), unread());
    world.no("HK", made_from("201", "D", "cupboard of 102"), Rule::Linens);
    closed(&world, "D");
    world.ok("HK", world.make("201", "D"));
    world.ok("LEAD", world.give_back("201"));
    open(&world, "D");
}

/// The bag was only looked through, or the cart is wet: what is in them is no stock.
#[test]
fn a_bag_that_was_not_laundered_and_a_wet_cart_are_no_stock() {
    let mut taken = vec![];
    for stock in ["BAG7", "out of bag7, folded", "CART1", "the top of cart1"] {
        let mut world = hospital();
        world.to("10:10");
        world.ok("HK", world.prepare("102", "BAG7"));
        let end = BagEnd::Inspected;
        world.ok("HK", (Place::room(code("102")), Body::BagEnded { bag: code("BAG7"), end }));
        world.says("HK", world.make("102", "C"));
        world.says("LEAD", world.give_back("102"));
        world.sprays("101", "chair", "10:00", "10:05", "FOUR");
        world.ok("HK", left("CART1", "101", "chair", Some("102")));
        if world.says("HK", made_from("201", "D", stock)).is_some() {
            taken.push(stock);
        }
        world.to("14:10");
        world.puts_right("102", "CART1");
        // What lay on it when it was sprayed lies there still.
        world.no("HK", made_from("201", "D", stock), Rule::Linens);
        world.to("14:20");
        world.ok("HK", world.prepare("102", "BAG8"));
        world.to("16:00");
        world.ok("WASH", world.launder("102", "BAG8"));
        world.ok("HK", world.make("102", "C"));
        world.ok("LEAD", world.give_back("102"));
        world.ok("HK", made_from("201", "D", "cart1"));
    }
    assert_eq!(taken, [] as [&str; 0]);
}

/// A cupboard of 201 stands in 102 under its tag; in 101 only the beds are to be made.
fn cupboard_in_102() -> World {
    let mut world = hospital();
    world.to("09:10");
    world.ok("HK", left("CUP", "201", "chair", Some("102")));
    world.ok("HK", seen_here("CUP", "102"));
    world.looks_through("102");
    world.sprays("101", "A/frame", "09:00", "09:05", "DRY");
    open(&world, "C D");
    world.to("09:30");
    world.ok("HK", world.dry_check("101", "A/frame", ""));
    world.ok("HK", world.make("101", "B"));
    world
}

/// What is kept in it lies in the room where it stands, by whatever words it is named.
#[test]
fn a_tagged_thing_that_stands_in_a_wet_room_keeps_no_clean_stock() {
    let mut taken = vec![];
    for stock in ["CUP", "cup", "top shelf of CUP", "linens (cup)"] {
        let mut world = cupboard_in_102();
        world.ok("HK", made_from("101", "A", stock));
        world.sprays("102", "C/frame", "09:25", "09:29", "FOUR");
        if world.says("HK", made_from("101", "A", stock)).is_some() {
            taken.push(stock);
        }
        world.ok("HK", world.make("101", "A"));
        world.ok("LEAD", world.give_back("101"));
        open(&world, "A B");
    }
    assert_eq!(taken, [] as [&str; 0]);
}

/// It comes to light that it, or the room where it stood, was sprayed before a bed was made from it.
#[test]
fn a_bed_that_was_made_from_a_tagged_thing_which_was_not_clear_then_is_made_again() {
    let mut opened = vec![];
    // A cupboard that went on before is wet only where it was sprayed itself.
    for (stock, moves, sprays) in [
        ("CUP", false, vec!["CUP", "C/frame"]),
        ("shelf in cup", false, vec!["CUP", "C/frame"]),
        ("CUP", true, vec!["CUP"]),
    ] {
        for sprayed in sprays {
            let mut world = cupboard_in_102();
            world.to("09:40");
            if moves {
                world.ok("HK", left("CUP", "102", "", Some("201")));
                world.ok("HK", seen_here("CUP", "201"));
                world.looks_through("201");
            }
            world.to("09:45");
            world.ok("HK", made_from("101", "A", stock));
            world.ok("LEAD", world.give_back("101"));
            open(&world, "A B");
            world.to("10:00");
            world.sprays("102", sprayed, "09:30", "09:35", "DRY");
            if world.is_open("A") {
                opened.push((stock, sprayed, moves));
                continue;
            }
            assert_eq!(world.next_step("101"), "make-bed");
            world.no("HK", made_from("101", "A", stock), Rule::Linens);
            world.ok("HK", world.make("101", "A"));
            world.ok("LEAD", world.give_back("101"));
            open(&world, "A B");
        }
    }
    assert_eq!(opened, []);
}

/// A cupboard of the room was sprayed by its name: what was kept in it is treated linen, until it was put into a bag and laundered.
#[test]
fn what_is_kept_in_a_part_of_a_room_that_was_sprayed_is_no_stock_until_it_was_laundered() {
    for sprayed in ["chair", "table"] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("102", sprayed, "10:00", "10:05", "DRY");
        world.to("10:20");
        world.puts_right("102", sprayed);
        world.ok("HK", world.prepare("201", ""));
        let made = made_from("201", "D", "chair of 102");
        if sprayed == "table" {
            world.ok("HK", made);
            continue;
        }
        world.no("HK", made.clone(), Rule::Linens);
        world.to("10:30");
        let bagged = world.ok("HK", world.prepare("102", "BAG8"));
        world.to("16:00");
        world.ok("WASH", world.launder("102", "BAG8"));
        world.ok("HK", world.make("102", "C"));
        world.ok("LEAD", world.give_back("102"));
        world.ok("HK", made);
        world.ok("LEAD", world.give_back("201"));
        open(&world, "C D");
        // That it was bagged is taken back: the bed is made again.
        world.to("16:30");
        world.ok("LEAD", world.void("102", bagged));
        closed(&world, "D");
        world.ok("HK", world.make("201", "D"));
        world.says("LEAD", world.give_back("201"));
        open(&world, "D");
    }
}

//! What somebody tried who wanted an open bed, with every action that is permitted: the list of parts changed, one clock called wrong
//! twice, sheets in the wrong order, a lost thing's tag on another, journeys taken back, parts kept elsewhere.

use dryhold::domain::entry::{Body, Feel, Known, Lost, OldPart, Place, Sign, WhichClock};
use dryhold::domain::facility::{ZonePlan, ZoneTreatment};

use super::super::rules::clocks::{House, hours};
use super::super::rules::world::{ALL_101, World, code, left, zone, zones};
use super::{More, came, closed, completed, hospital, on_the_list, open, stored};

fn seen(tag: &str, room: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::ThingSeen { thing: tag.to_owned() })
}

fn rolls(world: &mut World, bed: &str, from: &str, to: &str) {
    world.ok("HK", left(bed, from, "", Some(to)));
    world.ok("HK", came(bed, to, Some(from), Known::No));
}

/// All that is to be done once these are dry, but for the beds: nobody makes them.
fn all_but_made(world: &mut World, room: &str, felt: &str) {
    world.says("HK", world.dry_check(room, felt, ""));
    world.says("TECH", world.treat(room, felt));
    for part in felt.split_whitespace().chain(["chair"]) {
        world.says("HK", world.vacuum(room, part));
    }
    world.looks_through(room);
    world.says("LEAD", world.give_back(room));
}

/// The hospital calls the chair a part of each bed from now on, or the frame one of the room: what was sprayed is what it was.
#[test]
fn a_wet_part_that_the_list_gives_to_the_beds_or_to_the_room_is_wet_all_the_same() {
    for (part, wet) in [("chair", "chair"), ("frame", "A/frame")] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", wet, "10:00", "10:05", "FOUR");
        let kind = code("patient-room");
        let mut plans: Vec<ZonePlan> = world.board.facility().zone_sets[&kind].clone();
        for plan in plans.iter_mut().filter(|plan| plan.part == code(part)) {
            (plan.per_bed, plan.treatment) = (!plan.per_bed, ZoneTreatment::InspectOnly);
        }
        world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones: plans }));
        world.walks("W1");
        world.walks("W2");
        world.to("14:10");
        let listed = world.parts("101");
        world.puts_right("101", &listed);
        closed(&world, "A B");
        world.puts_right("101", wet);
        open(&world, "A B");
    }
}

/// A room of another kind, and out of service between: it is the same room, and wet.
#[test]
fn a_wet_room_that_becomes_one_of_another_kind_is_wet_all_the_same() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair B/frame", "10:00", "10:05", "FOUR");
    world.set_room("101", "W1", "bathroom", 1, "A B", "");
    world.walks("W1");
    let reason = "painted".to_owned();
    let out = world.ok("NURSE", (Place::room(code("101")), Body::OutOfService { reason }));
    let back = Body::InService { closing: out, seen: world.seen("101") };
    world.ok("LEAD", (Place::room(code("101")), back));
    for clock in ["10:30", "14:10"] {
        world.to(clock);
        world.puts_right("101", "skirting");
        closed(&world, "A B");
    }
    world.puts_right("101", "chair B/frame");
    open(&world, "A B");
}

/// Sprayed before midnight on the last of a month: the label's minutes are minutes, and the last of them counts.
#[test]
fn a_label_runs_over_midnight_and_the_end_of_the_month_to_its_last_minute() {
    let mut world = hospital();
    world.days(29);
    world.to("23:31");
    world.sprays("101", "A/frame", "23:00", "23:30", "HOUR");
    world.days(1);
    for (clock, is_over) in [("00:20", false), ("00:29", false), ("00:30", true)] {
        world.now = world.at(clock);
        let is_taken = world.says("HK", world.dry_check("101", "A/frame", "")).is_some();
        assert!(!is_taken, "a check that began half a minute before {clock}");
        let mut check = world.dry_check("101", "A/frame", "");
        if let Body::DryChecked { began, .. } = &mut check.1 {
            *began = world.now;
        }
        assert_eq!(world.says("HK", check).is_some(), is_over, "{clock}");
    }
}

/// The sheet of a check was entered before the sheet of the spray that came before it.
#[test]
fn a_sheets_check_that_is_entered_before_its_spray_dries_nothing() {
    let mut world = hospital();
    world.to("10:31");
    let (from, until) = (world.at("08:00"), world.at("10:30"));
    world.ok("LEAD", (Place::Ward(code("W1")), Body::Downtime { from, until, sheets: "1 to 4".to_owned() }));
    let mut check = world.dry_check("101", "A/frame", "");
    if let Body::DryChecked { began, .. } = &mut check.1 {
        *began = world.at("09:30");
    }
    world.says_at("HK", "09:31", check);
    world.ok_at("TECH", "08:10", world.again("101", "A/frame", Some("08:15"), "HOUR"));
    world.says("HK", world.make("101", "A"));
    world.says("HK", world.make("101", "B"));
    world.to("14:50");
    world.says("LEAD", world.walk_of_gap("W1", ""));
    world.counts("W1");
    world.says("TECH", world.treat("101", "A/frame"));
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// Two people gave the wet chair up, and its tag was put on another one. The lost one turns up with a tag like it.
#[test]
fn a_lost_things_tag_on_another_thing_does_not_make_it_dry() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "FOUR");
    world.ok("HK", left("CH1", "101", "chair", None));
    world.to("10:30");
    for ward in ["W1", "W2"] {
        world.ok("LEAD", world.walk(ward));
    }
    for by in ["LEAD", "IP"] {
        let (reason, seen) = ("looked for on every ward".to_owned(), world.seen("101"));
        let body = Body::WrittenOff { what: Lost::Thing, tag: code("CH1"), reason, seen };
        world.ok(by, (Place::room(code("101")), body));
    }
    world.says("HK", left("CH1", "201", "chair", Some("101")));
    world.says("HK", came("CH1", "101", Some("201"), Known::No));
    world.to("10:40");
    world.says("HK", seen("CH1", "102"));
    world.looks_through("102");
    closed(&world, "C");
    world.puts_right("102", "CH1");
    closed(&world, "C");
}

fn quiet() -> (Place, Body) {
    (Place::Ward(code("W2")), Body::HandedOver { text: "all quiet".to_owned() })
}

/// The beds were felt minutes after they were sprayed, by the fast clock, and each terminal calls the other one wrong.
#[test]
fn two_terminals_that_call_each_other_wrong_open_nothing() {
    for fast_first in [true, false] {
        let mut house = House::open(&[("fast", hours(4))]);
        house.spray("desk");
        house.put_right("fast");
        house.at("desk", "NURSE", |_| quiet());
        let wall = house.world.now;
        let calls = |house: &mut House, me: &str, other: &str| {
            let wall = if me == "fast" { wall + hours(4) } else { wall };
            let body = Body::ClockSaid { wall, wrong: WhichClock::Other, other: other.to_owned(), shown: None };
            let _ = house.try_at(me, "NURSE", |_| (Place::Hospital, body));
        };
        let order =
            if fast_first { [("fast", "desk"), ("desk", "fast")] } else { [("desk", "fast"), ("fast", "desk")] };
        for (me, other) in order {
            calls(&mut house, me, other);
        }
        house.to("10:00");
        let _ = house.try_at("desk", "NURSE", |world| world.empty("W1", "A B C"));
        assert!(!house.world.is_open("A") && !house.world.is_open("B"));
    }
}

/// Felt too early by the fast clock, sprayed again, and felt once more by that clock: neither check stands.
#[test]
fn a_second_spray_and_check_by_a_wrong_clock_do_not_cover_the_first() {
    let mut house = House::open(&[("fast", hours(4))]);
    for (name, minutes) in [("DRY", 0), ("FOUR", 240)] {
        house.at("desk", "LEAD", |_| on_the_list(name, minutes));
    }
    house.to("10:05");
    house.at("desk", "TECH", |world| world.again("101", "A/frame", Some("10:05"), "FOUR"));
    house.to("10:20");
    house.at("fast", "HK", |world| world.dry_check("101", "A/frame", ""));
    house.at("fast", "TECH", |world| {
        let now = world.now.format("%H:%M").to_string();
        world.again("101", "A/frame", Some(&now), "DRY")
    });
    house.to("10:30");
    house.at("fast", "HK", |world| world.dry_check("101", "A/frame", ""));
    house.to("10:40");
    house.at("desk", "NURSE", |_| quiet());
    house.says("desk", "NURSE", WhichClock::Other);
    for clock in ["10:50", "14:30"] {
        house.to(clock);
        assert!(!house.is_open("A"), "at {clock} nobody has felt it but within the hour");
        let _ = house.try_at("desk", "TECH", |world| world.treat("101", "A/frame"));
        for bed in ["A", "B"] {
            let _ = house.try_at("desk", "HK", |world| world.make("101", bed));
        }
        let _ = house.try_at("desk", "LEAD", |world| world.give_back("101"));
        let _ = house.try_at("desk", "NURSE", |world| world.empty("W1", "A B C"));
        assert!(!house.is_open("A"), "at {clock} nobody has felt it but within the hour");
    }
}

/// All that settles something, in a hurry, in a wet room.
#[test]
fn nothing_that_settles_something_else_settles_what_is_wet() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "FOUR");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("HK", world.prepare("101", "BAG1"));
    world.says("WASH", world.launder("101", "BAG1"));
    world.looks_through("101");
    world.says("TECH", world.treat("101", ALL_101));
    world.says("HK", world.make("101", "A"));
    world.says("HK", world.make("101", "B"));
    let nothing = Body::NothingApplied { reason: "put off".to_owned(), seen: world.seen("101") };
    world.says("HK", (Place::room(code("101")), nothing));
    let check = Body::SecondChecked {
        zones: zones(ALL_101).into_iter().map(|zone| (zone, Feel::Dry)).collect(),
        made: vec![code("A"), code("B")],
        not_made: vec![],
        note: String::new(),
        seen: world.seen("101"),
    };
    world.says("EYES", (Place::room(code("101")), check));
    world.says("LEAD", world.give_back("101"));
    world.says("LEAD", (Place::room(code("101")), Body::Cleared { seen: world.seen("101") }));
    world.walks("W1");
    closed(&world, "A B");
}

/// Its linens were on it when it was sprayed; that it stood in a store for twenty minutes makes no bed.
#[test]
fn a_bed_that_comes_out_of_a_store_is_still_to_be_made() {
    for from in [None, Some("101")] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "A/frame A/mattress", "10:00", "10:05", "HOUR");
        world.to("11:10");
        world.ok("HK", world.dry_check("101", "A/frame A/mattress", ""));
        world.ok("HK", stored("A", "101", ""));
        world.to("11:30");
        world.ok("HK", came("A", "201", from, Known::No));
        world.looks_through("201");
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.walks("W2");
        all_but_made(&mut world, "201", "A/frame A/mattress");
        closed(&world, "A");
        world.puts_right("201", "A/frame A/mattress");
        open(&world, "A");
    }
}

/// The way by which the bed went is taken back, and it goes another one: it is no better made for that.
#[test]
fn a_bed_whose_journey_is_taken_back_is_still_to_be_made() {
    let mut world = hospital();
    world.to("10:06");
    world.sprays("101", "A/mattress", "10:00", "10:05", "DRY");
    world.to("10:20");
    let gone = world.ok("HK", left("A", "101", "", Some("201")));
    world.says("HK", world.make("101", "B"));
    all_but_made(&mut world, "101", "B/frame");
    world.to("10:40");
    let place = Place::Rooms(vec![code("101"), code("201")]);
    let void = world.ok("LEAD", (place, Body::Voided { entry: gone, why: "not there".to_owned(), really_in: None }));
    world.says("EYES", world.look("201", void));
    rolls(&mut world, "A", "101", "102");
    world.ok("HK", seen("A", "102"));
    world.to("10:50");
    world.looks_through("102");
    world.looks_through("201");
    world.book(&[("101", "B"), ("102", "C A")]);
    world.walks("W1");
    all_but_made(&mut world, "102", "A/mattress");
    closed(&world, "A");
    world.puts_right("102", "A/mattress");
    open(&world, "A");
}

/// The mattress M1 of bed A is kept in 201, and A has a new one. What is noted of "A/mattress" of a time before that is M1's.
#[test]
fn what_comes_to_light_of_a_part_that_is_kept_elsewhere_is_true_of_it_there() {
    for what in ["damp", "named", "void"] {
        let mut world = hospital();
        world.to("09:10");
        let spray = world.sprays("101", "A/mattress chair", "09:00", "09:05", "DRY");
        world.to("09:20");
        let check = world.ok("HK", world.dry_check("101", "A/mattress chair", ""));
        world.puts_right("101", "A/mattress chair");
        world.to("10:00");
        world.ok("HK", left("M1", "101", "A/mattress", Some("201")));
        world.ok("HK", came("M1", "201", Some("101"), Known::No));
        let (part, reason, seen) = (zone("A/mattress"), "torn".to_owned(), world.seen("101"));
        let body = Body::PartReplaced { part, by: None, old: OldPart::Kept, reason, seen };
        world.ok("LEAD", (Place::room(code("101")), body));
        world.looks_through("201");
        open(&world, "D");
        world.to("10:30");
        match what {
            "damp" => {
                let mut damp = world.dry_check("101", "", "A/mattress");
                if let Body::DryChecked { began, .. } = &mut damp.1 {
                    *began = world.at("09:39");
                }
                world.ok_at("HK", "09:40", damp)
            }
            "named" => {
                let late = world.sprays("101", "chair", "09:40", "09:45", "HOUR");
                world.ok("TECH", completed(&world, "101", late, More { zones: Some("A/mattress"), ..More::default() }))
            }
            _ => world.ok("LEAD", world.void("101", check)),
        };
        world.looks_through("201");
        assert!(!world.is_open("D"), "{what} of what entry {spray} sprayed");
        world.to("11:30");
        world.puts_right("201", "M1");
        open(&world, "D");
    }
}

/// A bed whose frame is damp leaves as a thing that nobody knows, under a tag of its own.
#[test]
fn a_damp_bed_that_leaves_under_a_tag_that_nobody_knows_is_damp_where_it_comes_to() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("HK", world.dry_check("101", "", "A/frame"));
    world.ok("HK", left("BED-7", "101", "", Some("201")));
    world.ok("HK", came("BED-7", "201", Some("101"), Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.puts_right("201", "BED-7");
    open(&world, "D");
}

/// By the book it may stand in either room. Felt in one of them, it may be the other one's frame that was felt.
#[test]
fn one_check_of_a_bed_that_may_be_in_two_rooms_dries_it_in_neither() {
    for felt in ["101", "102"] {
        let mut world = hospital();
        world.to("10:10");
        world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
        world.says("HK", world.make("101", "A"));
        world.says("HK", world.make("101", "B"));
        world.to("10:30");
        world.book(&[("101", "B"), ("102", "C A")]);
        world.to("11:10");
        world.ok("HK", world.dry_check(felt, "A/frame", ""));
        world.walks("W1");
        for room in ["101", "102"] {
            all_but_made(&mut world, room, "chair");
        }
        closed(&world, "A");
        world.puts_right("102", "A/frame");
        open(&world, "A");
    }
}

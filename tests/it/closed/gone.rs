//! Beds, and parts of them, that left for nobody knows where, that are given up, or that went for good; a room that has no zone of
//! its own; and a label that is set right on the list.

use dryhold::domain::board::Earliest;
use dryhold::domain::entry::{Body, Place};
use dryhold::domain::facility::ZonePlan;
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, arrived, code, left};
use super::{closed, gives_up, hospital, on_the_list, open, seen_here, stored, typed, write_off};

/// Nobody noted where to: it is not known to stand in its room.
#[test]
fn a_bed_that_left_for_nobody_knows_where_is_closed_until_it_is_seen() {
    for (tag, part, bed) in [("A", "", "A"), ("M1", "A/mattress", "A")] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("HK", left(tag, "101", part, None));
        closed(&world, bed);
        open(&world, "B C D");
        assert!(world.closed_by(bed).contains(&Rule::BedWhole));
        assert!(matches!(world.board.earliest(code(bed), world.now), Earliest::Unknown { .. }));
        assert_eq!(world.next_step("101"), "thing-seen");
        // That it was walked past, counted or made says nothing of where it is.
        world.to("10:10");
        world.walks("W1");
        closed(&world, bed);
        world.to("10:20");
        world.ok("HK", seen_here(tag, "101"));
        open(&world, "A B C D");
    }
}

/// Seen elsewhere, it is there, as if that had been noted at once.
#[test]
fn a_bed_that_was_looked_for_is_where_it_was_seen() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("HK", left("A", "101", "", None));
    world.to("10:10");
    world.ok("HK", seen_here("A", "201"));
    closed(&world, "A");
    world.to("10:20");
    world.ok("HK", left("A", "201", "", Some("101")));
    world.ok("HK", seen_here("A", "101"));
    world.looks_through("101");
    open(&world, "A B");
}

/// Seen since, and that is taken back: it is looked for still.
#[test]
fn a_sighting_that_is_voided_brings_nothing_back() {
    for (tag, part) in [("A", ""), ("M1", "A/mattress")] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("HK", left(tag, "101", part, None));
        world.to("10:10");
        let seen = world.ok("HK", seen_here(tag, "101"));
        open(&world, "A");
        world.to("10:20");
        world.ok("LEAD", world.void("101", seen));
        closed(&world, "A");
        world.says("EYES", world.look("101", world.board.last().expect("the void").0));
        closed(&world, "A");
        world.to("10:30");
        world.ok("HK", seen_here(tag, "101"));
        world.puts_right("101", "");
        open(&world, "A B");
    }
}

/// Bed A wet, with all its parts, and gone.
fn leaves_wet(is_scrapped: bool) -> World {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress chair", "10:00", "10:05", "HOUR");
    world.to("10:20");
    world.ok("HK", if is_scrapped { stored("A", "101", "") } else { left("A", "101", "", None) });
    world.to("11:10");
    world.puts_right("101", "chair");
    closed(&world, "A");
    world
}

/// Its old room waits for it no more, it opens nowhere, and the lead takes it off the book; a new one comes in its place.
#[test]
fn a_whole_bed_is_given_up() {
    for is_scrapped in [false, true] {
        let mut world = leaves_wet(is_scrapped);
        let rooms = "101";
        let refused = world.no("LEAD", write_off(&world, rooms, "A"), Rule::WrittenOff);
        assert!(refused.to_string().contains("looked for in every room first"), "{refused}");
        gives_up(&mut world, rooms, "A");
        world.puts_right("101", "");
        closed(&world, "A");
        open(&world, "B");
        world.no("LEAD", write_off(&world, rooms, "A"), Rule::Target);
        world.to("11:30");
        // Booked elsewhere it may stand there, and was still not seen: then it is looked for again.
        world.book(&[("101", "B"), ("201", "D A")]);
        world.walks("W1");
        world.walks("W2");
        closed(&world, "A D");
        gives_up(&mut world, "201", "A");
        world.puts_right("201", "");
        closed(&world, "A");
        open(&world, "D");
        world.ok("LEAD", typed(&world, "set-room", "201", &[("beds", "D")]));
        world.walks("W2");
        world.ok("LEAD", typed(&world, "set-room", "101", &[("beds", "E")]));
        world.walks("W1");
        open(&world, "C D E");
    }
}

/// Whatever it was before, it is wet until it is felt.
#[test]
fn a_bed_that_was_given_up_and_turns_up_is_wet() {
    for comes in [seen_here("A", "102"), arrived("A", "102"), seen_here("A", "101"), arrived("A", "101")] {
        let mut world = hospital();
        world.to("10:00");
        world.ok("HK", left("A", "101", "", None));
        gives_up(&mut world, "101", "A");
        closed(&world, "A");
        world.to("11:00");
        let room = if comes.0.first_room() == Some(code("101")) { "101" } else { "102" };
        world.ok("HK", comes);
        closed(&world, "A");
        closed(&world, if room == "101" { "A B" } else { "A C" });
        if room == "102" {
            world.ok("HK", left("A", "102", "", Some("101")));
        }
        world.ok("HK", seen_here("A", "101"));
        world.looks_through("102");
        world.looks_through("101");
        closed(&world, "A");
        world.to("15:10");
        world.puts_right("101", "A/mattress A/frame");
        world.puts_right("102", "");
        open(&world, "A B C");
    }
}

/// A mattress that was taken out of the bed, and put by, was not given up with it.
#[test]
fn what_was_taken_out_of_a_bed_is_not_given_up_with_it() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "HOUR");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.ok("HK", left("A", "101", "", None));
    gives_up(&mut world, "101", "A");
    closed(&world, "A C");
    world.to("11:10");
    world.looks_through("102");
    closed(&world, "C");
    world.ok("HK", world.dry_check("102", "M1", ""));
    world.puts_right("102", "M1");
    open(&world, "C");
}

/// Taken back, it is where it was, and wet.
#[test]
fn a_bed_whose_giving_up_is_voided_is_asked_for_again() {
    let mut world = leaves_wet(false);
    let by = gives_up(&mut world, "101", "A");
    world.to("11:30");
    world.ok("LEAD", world.void("101", by));
    world.puts_right("101", "");
    closed(&world, "A B");
    world.to("16:00");
    world.says("EYES", world.look("101", world.board.last().expect("an entry").0));
    world.ok("HK", seen_here("A", "101"));
    closed(&world, "A B");
}

/// A bay that serves 101, where no bed stands, and whose list has only the parts that `is_listed` says; a chair comes to it, and
/// is looked at in full.
fn bay(is_listed: fn(&ZonePlan) -> bool) -> World {
    let mut world = hospital();
    world.to("08:00");
    let all = &world.board.facility().zone_sets[&code("patient-room")];
    let zones = all.iter().filter(|plan| is_listed(plan)).cloned().collect();
    world.raw("LEAD", Place::Hospital, Body::ZonesSet { kind: code("bay"), zones });
    world.set_room("BAY", "W1", "bay", 4, "", "101");
    world.walks("W1");
    open(&world, "A B");
    world.to("10:00");
    world.ok("HK", left("CH1", "102", "", Some("BAY")));
    closed(&world, "A B");
    world.to("10:10");
    world.ok("EYES", world.inspect("BAY", "CH1"));
    world
}

/// It has parts of beds alone: all that was looked at is all of the room.
#[test]
fn a_room_without_a_zone_of_its_own_is_inspected_whole() {
    open(&bay(|plan| plan.per_bed), "A B");
}

/// Where the list has nothing on it, nobody knows what there was to look at.
#[test]
fn a_room_whose_list_is_empty_is_not_inspected_whole() {
    closed(&bay(|_| false), "A B");
}

/// Longer than the list had it: what was felt before that is over was not dry.
#[test]
fn a_label_that_is_set_right_on_the_list_counts_for_what_is_wet() {
    for is_felt_before in [false, true] {
        let mut world = hospital();
        world.to("10:06");
        world.sprays("101", "chair", "10:00", "10:05", "HOUR");
        if is_felt_before {
            world.to("11:06");
            world.ok("HK", world.dry_check("101", "chair", ""));
        }
        world.to(if is_felt_before { "11:10" } else { "10:10" });
        world.ok("LEAD", on_the_list("HOUR", 240));
        world.to("11:20");
        world.puts_right("101", "chair");
        closed(&world, "A B");
        // A shorter one changes nothing, nor does the same again.
        world.ok("LEAD", on_the_list("HOUR", 30));
        world.to("12:30");
        world.puts_right("101", "chair");
        closed(&world, "A B");
        world.to("14:06");
        world.puts_right("101", "chair");
        open(&world, "A B");
        // What is settled stays so.
        world.ok("LEAD", on_the_list("HOUR", 600));
        open(&world, "A B");
    }
}

/// What was carried on is as wet as what stayed.
#[test]
fn a_label_that_is_set_right_on_the_list_counts_for_what_was_carried_on() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "HOUR");
    world.ok("HK", left("M1", "101", "A/mattress", Some("102")));
    world.puts_right("101", "");
    world.ok("LEAD", on_the_list("HOUR", 240));
    world.to("11:20");
    world.puts_right("102", "M1");
    closed(&world, "C");
    world.to("14:06");
    world.puts_right("102", "M1");
    open(&world, "C");
}

/// Nobody knows where it was meanwhile: a spray that names nothing may have hit it in any room, whichever was noted first.
#[test]
fn what_was_nobody_knows_where_may_have_been_hit_by_any_spray_that_names_nothing() {
    for (tag, part, bed) in [("M1", "A/mattress", "A"), ("A", "", "A")] {
        for (sprayed, until, is_late, is_hit) in [
            (None, "10:05", false, true),
            (None, "10:05", true, true),
            (Some("D/frame"), "10:05", false, false),
            (Some("D/frame"), "10:05", true, false),
            // Over before it left, or begun after it was found.
            (None, "09:39", false, false),
            (None, "10:45", true, false),
        ] {
            let mut world = hospital();
            let sprays = |world: &mut World, now: &str| {
                world.to(now);
                let (place, mut body) = world.again("201", sprayed.unwrap_or("D/frame"), Some(until), "DRY");
                if let (Body::Sprayed { zones, scope, .. }, None) = (&mut body, sprayed) {
                    (*zones, *scope) = (None, vec![]);
                }
                let begun = if until == "10:45" { "10:40" } else { "09:38" };
                world.ok_at("TECH", if until == "10:05" { "10:00" } else { begun }, (place, body));
            };
            world.to("09:40");
            world.ok("HK", left(tag, "101", part, None));
            closed(&world, bed);
            if !is_late {
                sprays(&mut world, "10:10");
            }
            world.to("10:30");
            world.ok("HK", seen_here(tag, "101"));
            world.looks_through("101");
            if is_late {
                sprays(&mut world, "10:50");
            }
            let case = format!("{tag} {sprayed:?} {until} late: {is_late}");
            assert_eq!(world.is_open(bed), !is_hit, "{case}: {:?}", world.blockers(bed));
            if is_hit {
                world.to("11:00");
                world.puts_right("101", if part.is_empty() { "A/mattress A/frame A/bedding" } else { "M1" });
                world.counts("W1");
                open(&world, bed);
            }
        }
    }
}

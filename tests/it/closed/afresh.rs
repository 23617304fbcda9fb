//! What opened to whoever combined what is late, what is taken back, what stands outside the book, wards that change and clocks.

use chrono::TimeDelta;
use dryhold::domain::decide::{Command, decide};
use dryhold::domain::entry::{
    BagEnd, Body, CommandId, Entry, Known, LinenSource, Number, OldPart, Place, Sign, Went, WhichClock,
};
use dryhold::domain::facility::Zone;
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code, left};
use super::{came, closed, gap, hospital, open, stored};

/// The sprayed mattress is in a store when its spray is taken back. Whoever looks in 101 looks at no mattress.
#[test]
fn a_look_after_a_void_finds_nothing_of_what_is_in_a_store() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/mattress A/frame", "10:00", "10:05", "HOUR");
    world.ok("HK", stored("M1", "101", "A/mattress"));
    let void = world.ok("LEAD", world.void("101", spray));
    world.to("11:10");
    world.ok("EYES", world.look("101", void));
    open(&world, "B");
    world.to("11:20");
    world.ok("HK", came("M1", "201", None, Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.puts_right("201", "M1");
    open(&world, "D");
}

fn void_of_ward(ward: &str, entry: Number) -> (Place, Body) {
    let why = "nobody walked".to_owned();
    (Place::Ward(code(ward)), Body::Voided { entry, why, really_in: None })
}

/// Nobody walked W1 after all: what came from there waits again, and so does a room that is of another ward by now.
#[test]
fn a_walk_that_is_taken_back_settles_nothing_in_rooms_of_other_wards() {
    for moved in [false, true] {
        let mut world = hospital();
        world.to("10:20");
        world.ok("HK", left("CH1", "101", "chair", Some("201")));
        world.ok("HK", came("CH1", "201", Some("101"), Known::No));
        world.looks_through("201");
        world.to("10:30");
        world.ok("NURSE", gap());
        world.to("14:40");
        let walk = world.ok("LEAD", world.walk_of_gap("W1", ""));
        if moved {
            world.set_room("101", "W2", "patient-room", 5, "A B", "");
            world.walks("W2");
        }
        world.counts("W1");
        world.counts("W2");
        open(&world, "A B C D");
        world.ok("LEAD", void_of_ward("W1", walk));
        closed(&world, "A B C D");
        world.ok("LEAD", world.walk_of_gap("W1", ""));
        if moved {
            closed(&world, "A B D");
            world.ok("LEAD", world.walk_of_gap("W2", ""));
        }
        world.counts("W1");
        world.counts("W2");
        open(&world, "A B C D");
    }
}

/// Somebody lies in A. The count by which it was empty is taken back when 101 is of another ward.
#[test]
fn a_count_that_is_taken_back_empties_no_bed_of_a_room_that_went_to_another_ward() {
    let mut world = hospital();
    world.to("10:00");
    world.ok("NURSE", world.occupied("101", "A"));
    let count = world.ok("NURSE", world.empty("W1", "A B C"));
    world.set_room("101", "W2", "patient-room", 5, "A B", "");
    world.ok("LEAD", world.walk("W2"));
    open(&world, "A B C");
    world.ok("NURSE", void_of_ward("W1", count));
    closed(&world, "A");
    world.counts("W2");
    open(&world, "A");
}

/// Noted at this terminal, whose clock is off by so many minutes, of a time by that clock. Without a decision, as a script does.
fn by_clock(world: &mut World, (terminal, off): (&str, i64), person: &str, ago: i64, (place, body): (Place, Body)) {
    let noted = world.now + TimeDelta::minutes(off);
    world.append(Entry {
        number: Number(world.entries.len() as u64 + 1),
        noted,
        happened: noted - TimeDelta::minutes(ago),
        done_by: code(person),
        noted_by: code(person),
        terminal: terminal.to_owned(),
        command: CommandId(90_000 + world.entries.len() as u64),
        place,
        body,
    });
}

fn calls_wrong(world: &mut World, other: &str) {
    let body = Body::ClockSaid { wall: world.now, wrong: WhichClock::Other, other: other.to_owned(), shown: None };
    let mut command = Command::new(CommandId(80_000), Place::Hospital, body);
    command.terminal = "test".to_owned();
    let said = decide(&world.board, &command, code("NURSE"), world.now).unwrap_or_else(|no| panic!("{no}"));
    world.append(said);
}

/// 102 was sprayed until then, and nobody said where; with the label that no decision adds to a script's line.
fn sprayed_102(world: &World, finished: chrono::DateTime<chrono::Utc>) -> (Place, Body) {
    let (place, mut body) = world.again("102", "C/frame", None, "HOUR");
    if let Body::Sprayed { zones, finished: ended, reentry_words, reentry_minutes, .. } = &mut body {
        (*zones, *ended) = (None, Some(finished));
        (*reentry_words, *reentry_minutes) = (Some("Keep out.".to_owned()), Some(60));
    }
    (place, body)
}

/// By the fast clock 102 was sprayed after its chair had left; by the wall before.
#[test]
fn a_spray_by_a_fast_clock_wets_what_had_not_left_yet() {
    let mut world = hospital();
    world.to("09:30");
    world.ok("HK", left("CH1", "102", "chair", Some("201")));
    world.ok("HK", came("CH1", "201", Some("102"), Known::No));
    world.looks_through("201");
    open(&world, "D");
    world.to("09:40");
    let finished = world.now + TimeDelta::minutes(60 - 15);
    let spray = sprayed_102(&world, finished);
    by_clock(&mut world, ("fast", 60), "TECH", 20, spray);
    world.to("09:45");
    calls_wrong(&mut world, "fast");
    world.looks_through("201");
    world.counts("W2");
    closed(&world, "D");
    world.to("11:50");
    world.puts_right("201", "CH1");
    world.counts("W2");
    open(&world, "D");
}

/// By the slow clock the chair had left 102 long before it was sprayed; by the wall perhaps not.
#[test]
fn what_left_by_a_slow_clock_is_wet_by_a_spray_that_it_may_have_been_there_for() {
    let mut world = hospital();
    world.to("09:30");
    by_clock(&mut world, ("slow", -60), "HK", 0, left("CH1", "102", "chair", Some("201")));
    world.to("09:36");
    let spray = sprayed_102(&world, world.at("09:25"));
    by_clock(&mut world, ("test", 0), "TECH", 16, spray);
    world.to("09:40");
    calls_wrong(&mut world, "slow");
    world.ok("HK", came("CH1", "201", Some("102"), Known::No));
    world.looks_through("201");
    world.counts("W2");
    closed(&world, "D");
    world.to("11:50");
    world.puts_right("201", "CH1");
    world.counts("W2");
    open(&world, "D");
}

/// The list of parts was changed before the spray by the fast clock, and after it by the wall.
#[test]
fn a_spray_by_a_fast_clock_wets_what_was_on_the_list_yet() {
    let mut world = hospital();
    world.to("09:30");
    let kind = code("patient-room");
    let plans = world.board.facility().zone_sets[&kind].clone();
    let zones = plans.into_iter().filter(|plan| plan.part != code("chair")).collect();
    world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones }));
    world.walks("W1");
    world.walks("W2");
    world.to("09:40");
    let finished = world.now + TimeDelta::minutes(60 - 15);
    let spray = sprayed_102(&world, finished);
    by_clock(&mut world, ("fast", 60), "TECH", 20, spray);
    world.to("09:45");
    calls_wrong(&mut world, "fast");
    world.to("11:50");
    let listed = world.parts("102");
    world.puts_right("102", &listed);
    world.counts("W1");
    closed(&world, "C");
    world.puts_right("102", "chair");
    world.counts("W1");
    open(&world, "C");
}

/// The bag was only looked through, before 102 was sprayed by the fast clock, and after it by the wall; so with whoever lay there.
#[test]
fn a_spray_by_a_fast_clock_reached_the_linens_that_were_still_there() {
    for lay in [false, true] {
        let mut world = hospital();
        world.to("09:00");
        if lay {
            world.ok("NURSE", world.occupied("102", "C"));
        } else {
            world.ok("HK", world.prepare("102", "BAG7"));
        }
        world.to("09:30");
        if lay {
            world.ok("NURSE", world.empty("W1", "C"));
        } else {
            let end = BagEnd::Inspected;
            world.ok("HK", (Place::room(code("102")), Body::BagEnded { bag: code("BAG7"), end }));
            world.says("HK", world.make("102", "C"));
            world.says("LEAD", world.give_back("102"));
        }
        world.to("09:40");
        let finished = world.now + TimeDelta::minutes(60 - 15);
        let spray = sprayed_102(&world, finished);
        by_clock(&mut world, ("fast", 60), "TECH", 20, spray);
        let number = Number(world.entries.len() as u64);
        world.to("09:45");
        calls_wrong(&mut world, "fast");
        world.to("11:50");
        let listed = world.parts("102");
        world.puts_right("102", &listed);
        world.counts("W1");
        closed(&world, "C");
        if lay {
            let more = super::More { bags: Some("BAG7"), ..super::More::default() };
            world.ok("TECH", super::completed(&world, "102", number, more));
        }
        world.ok("WASH", world.launder("102", "BAG7"));
        world.puts_right("102", &listed);
        world.counts("W1");
        open(&world, "C");
    }
}

/// A stands in 201 as a guest. A patient of 102 went to 201, and nobody said to which bed: it may be that one.
#[test]
fn a_patient_may_lie_in_a_bed_that_stands_there_as_a_guest() {
    for named in [None, Some("A")] {
        let mut world = hospital();
        world.to("10:00");
        super::made::rolls(&mut world, "A", "101", "201");
        world.looks_through("201");
        world.ok("NURSE", world.occupied("102", "C"));
        let body = Body::PatientMoved {
            beds: vec![code("C")],
            went: Went::Bed,
            receiving: Some(code("201")),
            receiving_bed: named.map(code),
            outside: String::new(),
            washed_and_changed: Known::Yes,
            own_bed: false,
            things: vec![],
            answers: None,
        };
        world.ok("NURSE", (Place::Rooms(vec![code("102"), code("201")]), body));
        world.to("10:20");
        super::made::rolls(&mut world, "A", "201", "101");
        world.looks_through("101");
        closed(&world, "A");
        world.counts("W1");
        world.counts("W2");
        open(&world, "A B C D");
    }
}

/// By the fast clock bed A got its new mattress after 101 was sprayed; by the wall before.
#[test]
fn a_part_that_took_anothers_place_by_a_fast_clock_may_have_been_there_for_a_spray() {
    let mut world = hospital();
    world.to("09:30");
    let (part, reason) = (Zone { bed: Some(code("A")), part: code("mattress") }, "torn".to_owned());
    // By its script, which was shown all that there is.
    let seen = world.seen("101");
    let body = Body::PartReplaced { part, by: None, old: OldPart::Destroyed, reason, seen };
    by_clock(&mut world, ("fast", 60), "LEAD", 0, (Place::room(code("101")), body));
    world.to("09:50");
    let (place, mut body) = world.again("101", "B/frame", Some("09:48"), "HOUR");
    if let Body::Sprayed { zones, reentry_words, reentry_minutes, .. } = &mut body {
        (*zones, *reentry_words, *reentry_minutes) = (None, Some("Keep out.".to_owned()), Some(60));
    }
    by_clock(&mut world, ("test", 0), "TECH", 5, (place, body));
    world.to("09:55");
    calls_wrong(&mut world, "fast");
    world.to("12:00");
    world.puts_right("101", "A/frame B/mattress B/frame chair monitor");
    world.counts("W1");
    closed(&world, "A");
    world.puts_right("101", "A/mattress");
    world.counts("W1");
    open(&world, "A B");
}

/// By the fast clock the untreated chair was seen in 102 after it had come to 201; by the wall before.
#[test]
fn what_may_have_come_by_the_times_that_are_left_takes_along_what_is_owed() {
    let mut world = hospital();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::No));
    world.looks_through("102");
    closed(&world, "C");
    world.to("09:30");
    let seen = Body::ThingSeen { thing: "CH1".to_owned() };
    by_clock(&mut world, ("fast", 60), "HK", 0, (Place::room(code("102")), seen));
    world.to("09:35");
    let (place, body) = came("CH1", "201", Some("102"), Known::No);
    by_clock(&mut world, ("test", 0), "HK", 0, (place, body));
    world.to("09:40");
    calls_wrong(&mut world, "fast");
    world.looks_through("201");
    world.counts("W2");
    closed(&world, "D");
    world.ok("TECH", world.treat("201", "CH1"));
    world.says("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
}

/// By the slow clock D was made before 102 was sprayed, from what lay there; by the wall after.
#[test]
fn a_bed_that_was_made_by_a_slow_clock_may_be_made_of_what_was_sprayed() {
    let mut world = hospital();
    world.to("10:20");
    let linens = LinenSource::Stock("cupboard of 102".to_owned());
    let made = (Place::room(code("201")), Body::BedMade { bed: code("D"), linens });
    by_clock(&mut world, ("slow", -60), "HK", 0, made);
    open(&world, "D");
    world.to("10:40");
    world.sprays("102", "chair", "10:00", "10:05", "HOUR");
    world.to("10:45");
    calls_wrong(&mut world, "slow");
    world.counts("W2");
    closed(&world, "D");
    world.ok("HK", world.make("201", "D"));
    world.ok("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
}

/// Bed A goes to 102 by the book, and on to 201 by the book.
#[test]
fn what_came_on_a_bed_by_the_book_is_wet_where_the_bed_goes_by_another_book() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "FOUR");
    world.to("10:20");
    world.book(&[("101", "B"), ("102", "C A")]);
    world.walks("W1");
    world.book(&[("102", "C"), ("201", "D A")]);
    world.walks("W1");
    world.walks("W2");
    closed(&world, "A D");
    for room in ["101", "102"] {
        world.puts_right(room, "");
    }
    world.to("14:20");
    world.puts_right("201", "A/mattress");
    world.counts("W1");
    open(&world, "A B C D");
}

/// The check by its tag is taken back after the chair went on, and the chair was seen since: it is wet where it was seen.
#[test]
fn a_check_that_is_taken_back_leaves_a_thing_wet_where_it_was_seen_since() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "chair", "10:00", "10:05", "HOUR");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.to("11:10");
    let check = world.ok("HK", world.dry_check("102", "CH1", ""));
    world.puts_right("102", "CH1");
    open(&world, "C");
    world.ok("HK", left("CH1", "102", "", Some("201")));
    world.ok("HK", came("CH1", "201", Some("102"), Known::No));
    world.ok("HK", (Place::room(code("201")), Body::ThingSeen { thing: "CH1".to_owned() }));
    world.looks_through("201");
    open(&world, "D");
    world.to("11:30");
    world.ok("LEAD", world.void("102", check));
    world.looks_through("201");
    closed(&world, "D");
    world.puts_right("201", "CH1");
    world.puts_right("102", "");
    open(&world, "C D");
}

/// The wet chair goes to the ward that is walked, between the walk's two wards: 101 and 201 are of one ward by then.
#[test]
fn a_gap_follows_a_thing_that_moves_on_while_the_wards_are_made_one() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", left("CH1", "101", "chair", Some("102")));
    world.ok("HK", came("CH1", "102", Some("101"), Known::No));
    world.looks_through("102");
    world.to("10:30");
    world.ok("NURSE", gap());
    world.ok("HK", left("CH1", "102", "", Some("201")));
    world.ok("HK", came("CH1", "201", Some("102"), Known::No));
    world.looks_through("201");
    closed(&world, "D");
    world.set_room("201", "W1", "patient-room", 9, "D", "");
    world.set_room("101", "W2", "patient-room", 9, "A B", "");
    world.to("14:45");
    world.ok("LEAD", world.walk_of_gap("W1", ""));
    world.counts("W1");
    // 101 is W2's, and nobody has walked there.
    closed(&world, "A D");
    world.ok("LEAD", world.walk_of_gap("W2", ""));
    world.counts("W2");
    world.looks_through("201");
    open(&world, "A B C D");
}

/// Bed A's mattress is replaced by the mattress M2 that is wet in 101, under a tag of 102; then its journey is taken back.
#[test]
fn a_part_that_took_anothers_place_and_never_came_is_not_whole() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("102", "C/mattress", "10:00", "10:05", "HOUR");
    let gone = world.ok("HK", left("M2", "102", "C/mattress", Some("101")));
    world.ok("HK", came("M2", "101", Some("102"), Known::No));
    let part = Zone { bed: Some(code("A")), part: code("mattress") };
    let (reason, seen) = ("torn".to_owned(), world.seen("101"));
    let by = Some(code("M2"));
    let body = Body::PartReplaced { part, by, old: OldPart::Destroyed, reason, seen };
    world.says("LEAD", (Place::room(code("101")), body));
    world.to("10:40");
    world.puts_right("101", "A/mattress");
    closed(&world, "A");
    world.to("11:10");
    world.puts_right("101", "A/mattress");
    world.counts("W1");
    open(&world, "A");
    closed(&world, "C");
    let place = Place::Rooms(vec![code("102"), code("101")]);
    let taken_back = Body::Voided { entry: gone, why: "not that one".to_owned(), really_in: None };
    let void = world.ok("LEAD", (place, taken_back));
    world.puts_right("101", "A/mattress");
    closed(&world, "A C");
    // It is on A after all, and C gets another one.
    world.ok("HK", (Place::room(code("101")), Body::ThingSeen { thing: "M2".to_owned() }));
    world.looks_through("101");
    world.puts_right("101", "A/mattress");
    let part = Zone { bed: Some(code("C")), part: code("mattress") };
    let (reason, seen) = ("went to A".to_owned(), world.seen("102"));
    let body = Body::PartReplaced { part, by: None, old: OldPart::Destroyed, reason, seen };
    world.ok("LEAD", (Place::room(code("102")), body));
    world.puts_right("102", "");
    world.counts("W1");
    assert_eq!(world.next_step("101"), "look");
    world.ok("EYES", world.look("101", void));
    open(&world, "A C");
}

/// Sprayed somewhere, and the room's other bed went by the book while the label ran; then the end is told to be later, by another's clock.
#[test]
fn what_a_later_end_reaches_is_made_and_felt_where_it_went() {
    let mut world = hospital();
    world.to("10:10");
    let (place, mut body) = world.again("101", "A/frame", Some("10:05"), "HOUR");
    if let Body::Sprayed { zones, scope, .. } = &mut body {
        (*zones, *scope) = (None, vec![]);
    }
    let spray = world.ok_at("TECH", "10:00", (place, body));
    world.to("10:20");
    // C stood in 101 as a guest from a quarter past ten, after the spray as it was noted.
    world.ok_at("HK", "10:15", left("C", "102", "", Some("101")));
    world.ok_at("HK", "10:15", came("C", "101", Some("102"), Known::No));
    world.ok("HK", left("C", "101", "", Some("102")));
    world.ok("HK", came("C", "102", Some("101"), Known::No));
    world.looks_through("102");
    world.counts("W1");
    open(&world, "C");
    world.to("10:40");
    let more = super::More { finished: Some("10:18"), ..super::More::default() };
    world.ok("TECH", super::completed(&world, "101", spray, more));
    world.looks_through("102");
    closed(&world, "C");
    world.to("11:25");
    world.puts_right("102", "C/mattress C/frame");
    world.counts("W1");
    open(&world, "C");
}

/// That A was made is taken back while it stands in a store: B waits for nothing of it, and where it comes to it is made.
#[test]
fn what_is_taken_back_of_a_bed_in_a_store_waits_with_it() {
    let mut world = hospital();
    world.to("10:06");
    world.sprays("101", "A/frame chair", "10:00", "10:05", "DRY");
    world.to("10:20");
    world.ok("HK", world.dry_check("101", "A/frame chair", ""));
    world.ok("HK", world.vacuum("101", "chair"));
    let made = world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    world.ok("LEAD", world.give_back("101"));
    open(&world, "A B");
    world.to("10:40");
    world.ok("HK", stored("A", "101", ""));
    world.ok("LEAD", world.void("101", made));
    // B waits for nothing of A's.
    world.says("LEAD", world.give_back("101"));
    open(&world, "B");
    world.ok("HK", came("A", "102", None, Known::No));
    world.looks_through("102");
    world.counts("W1");
    closed(&world, "C");
    world.ok("HK", world.make("102", "A"));
    world.ok("LEAD", world.give_back("102"));
    open(&world, "C");
}

/// The hospital's own figure is lowered while a gap waits for its walk: it waits as long as it did when it was noted.
#[test]
fn a_setting_that_is_lowered_shortens_no_wait_of_a_gap() {
    let mut world = hospital();
    let set = |value| {
        let key = "unknown-label-minutes".to_owned();
        (Place::Hospital, Body::PolicySet { key, value })
    };
    world.ok("LEAD", set(480));
    world.to("10:00");
    world.ok("NURSE", gap());
    world.ok("LEAD", set(240));
    world.to("15:00");
    world.no("LEAD", world.walk_of_gap("W1", ""), Rule::Label);
    world.to("18:01");
    world.ok("LEAD", world.walk_of_gap("W1", ""));
}

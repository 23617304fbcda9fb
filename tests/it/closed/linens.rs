//! Linens that a spray reached, and that nobody washed.

use dryhold::domain::code::Code;
use dryhold::domain::entry::{BagEnd, Body, LinenSource, Place};
use dryhold::domain::facility::ZonePlan;
use dryhold::domain::need::Need;
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code};
use super::{More, asks, closed, completed, hospital, open};

fn looked_through(bag: &str) -> (Place, Body) {
    (Place::room(code("101")), Body::BagEnded { bag: code(bag), end: BagEnd::Inspected })
}

/// Bag by bag through the laundry, and the beds of 101 made from the store: all is well.
#[track_caller]
fn ends_well(world: &mut World, part: &str, bags: &str) {
    for bag in bags.split_whitespace() {
        world.ok("WASH", world.launder("101", bag));
    }
    world.puts_right("101", part);
    open(world, "A B");
}

/// What lay in a sprayed room is in the bag. Whoever looks at it for insects takes no spray out of it.
#[test]
fn a_bag_that_was_filled_in_a_wet_room_is_settled_by_no_look() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("10:20");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.to("11:10");
    world.says("HK", looked_through("BAG7"));
    world.puts_right("101", "A/frame");
    closed(&world, "A B");
    ends_well(&mut world, "A/frame", "BAG7");
}

/// The same where the spray is noted after its bag was filled, or was voided and may be true.
#[test]
fn a_bag_that_was_filled_before_its_spray_was_noted_is_settled_by_no_look() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.to("10:30");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.says("HK", looked_through("BAG7"));
    world.puts_right("101", "A/frame");
    closed(&world, "A B");
    ends_well(&mut world, "A/frame", "BAG7");
}

/// It was looked through before anybody knew of the spray that it stood under.
#[test]
fn a_bag_that_was_looked_through_before_its_spray_was_noted_is_not_settled() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.ok("HK", looked_through("BAG7"));
    world.to("10:40");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("101", "A/frame");
    closed(&world, "A B");
    ends_well(&mut world, "A/frame", "BAG7");
}

/// One bag, filled twice: its load of before did not wash what it holds now.
#[test]
fn a_bag_that_was_filled_again_in_a_wet_room_is_laundered_again() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("10:20");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.to("10:55");
    world.ok("WASH", world.launder("101", "BAG7"));
    world.to("10:57");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.to("11:10");
    world.says("HK", looked_through("BAG7"));
    world.puts_right("101", "A/frame");
    closed(&world, "A B");
    world.to("11:40");
    ends_well(&mut world, "A/frame", "BAG7");
}

/// Two rooms, two bags, one tag: one of them was not in the load.
#[test]
fn one_tag_on_the_bags_of_two_rooms_is_not_settled_by_one_load() {
    let mut world = hospital();
    world.to("10:10");
    let mut noted = vec![];
    for (room, part) in [("101", "A/frame"), ("102", "C/frame")] {
        let (place, mut body) = world.again(room, part, Some("10:05"), "HOUR");
        if let Body::Sprayed { bags, .. } = &mut body {
            *bags = Some(vec![code("BAG1")]);
        }
        noted.push(world.says_at("TECH", "10:00", (place, body)).is_some());
    }
    world.to("11:10");
    world.ok("WASH", world.launder("101", "BAG1"));
    world.puts_right("101", "A/frame");
    world.puts_right("102", "C/frame");
    if noted == [true, true] {
        assert!(!world.is_open("A") || !world.is_open("C"), "one load, two bags");
    } else {
        // The second room's bag was refused under that tag.
        assert_eq!(noted, [true, false]);
        open(&world, "A");
    }
}

/// The bed was in use while it was sprayed: its linens are somewhere, and nobody said in which bag.
#[test]
fn the_linens_of_a_bed_that_was_in_use_while_it_was_sprayed_are_asked_for() {
    let mut world = hospital();
    world.to("08:00");
    world.ok("NURSE", world.occupied("101", "A"));
    world.to("11:00");
    world.ok("NURSE", world.empty("W1", "A"));
    world.to("11:30");
    let spray = world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.ok("TECH", completed(&world, "101", spray, More { bags: Some("BAG3"), ..More::default() }));
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    ends_well(&mut world, "A/frame", "BAG3");
}

/// That somebody lay in it comes to light after the spray was noted, or after the room was returned.
#[test]
fn the_linens_of_a_bed_that_is_noted_as_in_use_afterwards_are_asked_for() {
    for returned in [false, true] {
        let mut world = hospital();
        world.to("10:10");
        let spray = world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
        world.to("11:10");
        if returned {
            world.puts_right("101", "A/frame");
            open(&world, "A");
        }
        world.to("11:30");
        world.ok_at("NURSE", "09:30", world.occupied("101", "A"));
        world.ok("NURSE", world.empty("W1", "A"));
        world.puts_right("101", "A/frame");
        closed(&world, "A");
        world.ok("TECH", completed(&world, "101", spray, More { bags: Some("BAG3"), ..More::default() }));
        ends_well(&mut world, "A/frame", "BAG3");
    }
}

/// A hospital whose beds have their linens as a part with this name.
pub(super) fn with_linens(name: &str) -> World {
    let mut world = hospital();
    let kind = code("patient-room");
    let mut plans = world.board.facility().zone_sets[&kind].clone();
    let linens = ZonePlan {
        part: code(name),
        name: name.to_owned(),
        mattress: false,
        daily: false,
        hiding_place: false,
        critical: false,
        ..plans[0].clone()
    };
    plans.push(linens);
    world.ok("LEAD", (Place::Hospital, Body::ZonesSet { kind, zones: plans }));
    world.walks("W1");
    world.walks("W2");
    open(&world, "A B C D");
    world
}

/// The bedding itself was sprayed: dry or not, it is washed before anybody lies in it.
#[test]
fn bedding_that_was_sprayed_by_name_is_washed() {
    let mut world = with_linens("bedding");
    world.to("10:10");
    let spray = world.sprays("101", "A/bedding A/frame", "10:00", "10:05", "HOUR");
    world.to("11:10");
    world.puts_right("101", "A/bedding A/frame");
    closed(&world, "A");
    world.ok("TECH", completed(&world, "101", spray, More { bags: Some("BAG3"), ..More::default() }));
    world.puts_right("101", "A/bedding A/frame");
    closed(&world, "A");
    ends_well(&mut world, "A/bedding A/frame", "BAG3");
}

/// What an earlier spray hit is in its bag, whenever that was noted; the bedding that a later one hit lay on the bed after that.
#[test]
fn bedding_is_in_no_bag_that_was_filled_before_it_was_sprayed() {
    let mut world = with_linens("bedding");
    world.to("10:30");
    let later = world.sprays("101", "A/frame", "10:15", "10:20", "HOUR");
    let (place, mut body) = world.again("101", "A/frame", Some("10:05"), "HOUR");
    if let Body::Sprayed { bags, .. } = &mut body {
        *bags = Some(vec![code("BAG1")]);
    }
    world.ok_at("TECH", "10:00", (place, body));
    world.ok("TECH", completed(&world, "101", later, More { zones: Some("A/bedding"), ..More::default() }));
    assert!(asks(&world, "101", Need::LinensNamed), "{:?}", world.blockers("A"));
}

/// By another word for it, and named of the spray only afterwards.
#[test]
fn linens_that_are_named_of_a_spray_afterwards_are_washed() {
    for name in ["Linens", "bedclothes", "LINEN", "Bedding"] {
        let mut world = with_linens(name);
        world.to("10:10");
        let spray = world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
        world.to("11:10");
        let parts = format!("A/{name}");
        world.ok("TECH", completed(&world, "101", spray, More { zones: Some(&parts), ..More::default() }));
        let parts = format!("A/frame {parts}");
        world.puts_right("101", &parts);
        assert!(!world.is_open("A"), "{name} was sprayed, and is on the bed");
        world.ok("TECH", completed(&world, "101", spray, More { bags: Some("BAG3"), ..More::default() }));
        ends_well(&mut world, &parts, "BAG3");
    }
}

/// Two bags, one of which went through the laundry.
#[test]
fn two_bags_under_one_tag_are_not_settled_by_one_load() {
    two_in_one(&["BAG1;BAG2"]);
}

#[test]
fn two_bags_are_not_one_however_they_are_typed_together() {
    two_in_one(&["BAG1;BAG2;BAG3", "BAG1 and BAG2", "2 bags", "BAG1+BAG2", "BAG1&BAG2", "BAG1:BAG2"]);
}

#[track_caller]
fn two_in_one(tags: &[&str]) {
    for tag in tags {
        // What is no code at all is refused before anything else.
        let Ok(tag) = Code::new(tag) else { continue };
        let mut world = hospital();
        world.to("10:10");
        let (place, mut body) = world.again("101", "chair", Some("10:05"), "HOUR");
        if let Body::Sprayed { bags, .. } = &mut body {
            *bags = Some(vec![tag]);
        }
        if world.says_at("TECH", "10:00", (place, body)).is_none() {
            continue;
        }
        world.to("11:10");
        world.says("WASH", world.launder_tag(tag));
        world.puts_right("101", "chair");
        assert!(!world.is_open("A"), "“{tag}” was taken for one bag");
    }
}

impl World {
    pub(super) fn launder_tag(&self, bag: Code) -> (Place, Body) {
        match self.launder("101", "BAG1") {
            (place, Body::Laundered { cycle, slip, .. }) => (place, Body::Laundered { bag, cycle, slip }),
            other => other,
        }
    }
}

/// No bed is made from a bag that holds what was sprayed, under either story.
#[test]
fn no_bed_is_made_from_a_bag_that_was_only_looked_through() {
    let mut world = hospital();
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "HOUR");
    world.to("10:20");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.to("11:10");
    world.says("HK", looked_through("BAG7"));
    world.says("HK", world.dry_check("101", "A/frame", ""));
    let linens = LinenSource::Bags(vec![code("BAG7")]);
    world.says("HK", (Place::room(code("101")), Body::BedMade { bed: code("A"), linens }));
    world.says("LEAD", world.give_back("101"));
    closed(&world, "A");
}

fn from_bag(bed: &str, bag: &str) -> (Place, Body) {
    (Place::room(code("101")), Body::BedMade { bed: code(bed), linens: LinenSource::Bags(vec![code(bag)]) })
}

/// 101 was sprayed, felt, and its bag laundered at 09:45; only its beds are to be made.
fn washed_for_101() -> World {
    let mut world = hospital();
    world.to("09:10");
    world.ok("HK", world.prepare("101", "BAG7"));
    world.sprays("101", "A/frame", "09:00", "09:05", "DRY");
    world.to("09:45");
    world.ok("WASH", world.launder("101", "BAG7"));
    world.ok("HK", world.dry_check("101", "A/frame", ""));
    world.ok("HK", world.make("101", "B"));
    world
}

/// 102 was sprayed at 09:50, and its bag was this one.
fn sprayed_in_102(world: &mut World) {
    let (place, mut body) = world.again("102", "C/frame", Some("09:55"), "DRY");
    if let Body::Sprayed { bags, .. } = &mut body {
        *bags = Some(vec![code("BAG7")]);
    }
    world.ok_at("TECH", "09:50", (place, body));
}

/// Since it was laundered for 101 it was filled, or sprayed, in 102: no bed of 101 is made from it, until it is laundered again.
#[test]
fn no_bed_is_made_from_a_bag_that_was_filled_or_sprayed_in_another_room_since() {
    let filled: &dyn Fn(&mut World) = &|world| {
        world.ok("HK", world.prepare("102", "BAG7"));
    };
    for used in [filled, &sprayed_in_102] {
        let mut world = washed_for_101();
        world.to("10:00");
        used(&mut world);
        world.to("10:10");
        let said = world.no("HK", from_bag("A", "BAG7"), Rule::Linens).to_string();
        assert!(
            said.contains("in room 102") && said.contains("launder it, or name another bag or the stock"),
            "{said}"
        );
        world.to("10:40");
        world.ok("WASH", world.launder("102", "BAG7"));
        world.ok("HK", from_bag("A", "BAG7"));
        world.ok("LEAD", world.give_back("101"));
        open(&world, "A B");
    }
}

/// The same where its bag was only looked through in 102, which is open again.
#[test]
fn no_bed_is_made_from_a_bag_that_another_room_has_only_looked_through() {
    let mut world = washed_for_101();
    world.to("10:00");
    world.ok("HK", world.prepare("102", "BAG7"));
    world.to("10:10");
    world.ok("HK", (Place::room(code("102")), Body::BagEnded { bag: code("BAG7"), end: BagEnd::Inspected }));
    world.puts_right("102", "C/frame");
    open(&world, "C");
    world.no("HK", from_bag("A", "BAG7"), Rule::Linens);
    world.to("10:50");
    world.ok("WASH", world.launder("101", "BAG7"));
    world.ok("HK", from_bag("A", "BAG7"));
    world.ok("LEAD", world.give_back("101"));
    open(&world, "A B");
}

/// It comes to light that the bag was filled or sprayed in 102 before the bed was made from it: the bed is made again.
#[test]
fn a_bed_that_was_made_from_a_bag_which_was_used_elsewhere_since_is_made_again() {
    let filled: &dyn Fn(&mut World) = &|world| {
        world.ok_at("HK", "09:50", world.prepare("102", "BAG7"));
    };
    let supplied: &dyn Fn(&mut World) = &|world| {
        let spray = world.sprays("102", "C/frame", "09:50", "09:55", "DRY");
        let more = More { bags: Some("BAG7"), ..More::default() };
        world.says("TECH", completed(world, "102", spray, more));
    };
    for tell in [filled, supplied, &sprayed_in_102] {
        let mut world = washed_for_101();
        world.to("10:00");
        world.ok("HK", from_bag("A", "BAG7"));
        world.ok("LEAD", world.give_back("101"));
        open(&world, "A B");
        world.to("10:10");
        tell(&mut world);
        closed(&world, "A");
        assert_eq!(world.next_step("101"), "make-bed");
        world.ok("HK", world.make("101", "A"));
        world.ok("LEAD", world.give_back("101"));
        open(&world, "A B");
    }
}

/// What the bag held later, or before it was laundered, is not on the bed.
#[test]
fn a_bed_is_not_made_again_for_what_its_bag_held_before_or_after() {
    let mut world = washed_for_101();
    world.to("10:00");
    world.ok("HK", from_bag("A", "BAG7"));
    world.ok("LEAD", world.give_back("101"));
    world.to("10:10");
    world.ok("HK", world.prepare("102", "BAG7"));
    open(&world, "A B");
    let mut world = washed_for_101();
    world.to("10:00");
    world.ok("HK", from_bag("A", "BAG7"));
    world.ok("LEAD", world.give_back("101"));
    world.ok_at("HK", "09:30", world.prepare("102", "BAG7"));
    open(&world, "A B");
}

/// A load that began before the bag was filled in another room was not that bag's, whichever room it is noted for.
#[test]
fn a_load_fits_since_its_bag_was_filled_in_any_room() {
    let mut world = washed_for_101();
    world.to("10:00");
    world.ok("HK", world.prepare("102", "BAG7"));
    world.to("10:15");
    world.no("WASH", world.launder("101", "BAG7"), Rule::LaundryCriteria);
    world.to("10:35");
    world.ok("WASH", world.launder("101", "BAG7"));
    world.ok("HK", from_bag("A", "BAG7"));
    world.ok("LEAD", world.give_back("101"));
    open(&world, "A B");
}

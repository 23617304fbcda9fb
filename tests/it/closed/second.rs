//! What somebody does once more before the lead signs, where the policy asks for it: the second person's check, and the clean look. What
//! stands in another room by then is checked there, and what came here is checked here.

use dryhold::domain::entry::{Body, Place};
use dryhold::domain::moves::{Answers, build, find};
use dryhold::domain::need::Need;
use dryhold::domain::rule::Rule;

use super::super::rules::world::{World, code, left, zone};
use super::made::rolls;
use super::{asks, closed, gives_up, hospital, open, seen_here};

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

/// As it is typed.
#[track_caller]
fn second_check(world: &World, room: &str, zones: &[&str], beds: &[&str]) -> (Place, Body) {
    let mut answers = Answers::new();
    answers.set("zones", zones.iter().copied());
    answers.set("beds", beds.iter().copied());
    let wanted = find("second-check").expect("a move");
    build(wanted, room, &answers, &world.board, world.now).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// The second person feels what stands in 101: the chair is in 102, or nobody found it and two gave it up.
#[test]
fn a_second_check_leaves_out_what_is_not_there() {
    for is_lost in [false, true] {
        let mut world = hospital();
        policy(&mut world, "second-signature");
        chair_leaves(&mut world, Some("102").filter(|_| !is_lost));
        world.to("11:10");
        if is_lost {
            gives_up(&mut world, "101", "CH1");
        } else {
            world.ok("HK", world.dry_check("102", "CH1", ""));
        }
        world.ok("HK", world.dry_check("101", "A/frame", ""));
        makes_both(&mut world);
        assert_eq!(world.next_step("101"), "second-check");
        world.no("NURSE", second_check(&world, "101", &["chair=dry"], &["A=made", "B=made"]), Rule::SecondSignature);
        assert_eq!(world.board.to_check_again(code("101")), (vec![zone("A/frame")], vec![code("A"), code("B")]));
        world.ok("NURSE", second_check(&world, "101", &["A/frame=dry"], &["A=made", "B=made"]));
        closed(&world, "A B");
        world.ok("LEAD", world.give_back("101"));
        world.counts("W1");
        open(&world, "A B");
    }
}

/// The second person checked 101 without the frame of bed A, and it is seen there again, dry, before the lead
/// signs: two have to find it so.
#[test]
fn a_second_check_does_not_stand_for_what_came_back() {
    let mut world = hospital();
    policy(&mut world, "second-signature");
    world.to("10:10");
    world.sprays("101", "A/frame B/frame", "10:00", "10:05", "HOUR");
    world.ok("HK", left("FR1", "101", "A/frame", Some("102")));
    world.ok("HK", seen_here("FR1", "102"));
    world.to("11:10");
    world.ok("HK", world.dry_check("102", "FR1", ""));
    world.looks_through("102");
    world.ok("NURSE", second_check(&world, "102", &["FR1=dry"], &[]));
    world.ok("LEAD", world.give_back("102"));
    open(&world, "C");
    world.ok("HK", world.dry_check("101", "B/frame", ""));
    makes_both(&mut world);
    world.ok("NURSE", second_check(&world, "101", &["B/frame=dry"], &["A=made", "B=made"]));
    assert_eq!(world.next_step("101"), "return");
    world.ok("HK", seen_here("FR1", "101"));
    assert_eq!(world.next_step("101"), "second-check");
    world.no("LEAD", world.give_back("101"), Rule::SecondSignature);
    closed(&world, "A B");
    let without = second_check(&world, "101", &["B/frame=dry"], &["A=made", "B=made"]);
    world.no("NURSE", without, Rule::SecondSignature);
    world.ok("NURSE", second_check(&world, "101", &["B/frame=dry", "A/frame=dry"], &["A=made", "B=made"]));
    world.ok("LEAD", world.give_back("101"));
    open(&world, "A B");
}

/// Bed A came to 201 wet, was felt and made there: the second person finds it made there, too.
fn bed_is_made_in_201() -> World {
    let mut world = hospital();
    policy(&mut world, "second-signature");
    world.to("10:10");
    world.sprays("101", "A/mattress", "10:00", "10:05", "HOUR");
    rolls(&mut world, "A", "101", "201");
    world.ok("HK", seen_here("A", "201"));
    world.to("11:10");
    world.ok("HK", world.dry_check("201", "A/mattress", ""));
    world.says("HK", world.make("201", "A"));
    world.looks_through("201");
    world
}

#[test]
fn a_second_check_names_a_bed_that_came() {
    let mut world = bed_is_made_in_201();
    assert_eq!(world.next_step("201"), "second-check");
    world.no("NURSE", second_check(&world, "201", &["A/mattress=dry"], &[]), Rule::SecondSignature);
    closed(&world, "D");
    world.ok("NURSE", second_check(&world, "201", &["A/mattress=dry"], &["A=made"]));
    world.ok("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
}

/// The second person finds it not made, and it is made anew.
#[test]
fn a_bed_that_came_and_is_not_made_closes() {
    let mut world = bed_is_made_in_201();
    world.ok("NURSE", second_check(&world, "201", &["A/mattress=dry"], &["A=not-made"]));
    assert!(asks(&world, "201", Need::Made(code("A"))));
    world.no("LEAD", world.give_back("201"), Rule::ReturnSigned);
    closed(&world, "D");
    world.ok("HK", world.make("201", "A"));
    world.ok("NURSE", second_check(&world, "201", &["A/mattress=dry"], &["A=made"]));
    world.ok("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
}

/// Back in 101 it is no matter of 201 any more.
#[test]
fn a_bed_that_left_again_is_not_checked_where_it_stood() {
    let mut world = bed_is_made_in_201();
    rolls(&mut world, "A", "201", "101");
    world.ok("HK", seen_here("A", "101"));
    closed(&world, "A B D");
    assert_eq!(world.board.to_check_again(code("201")), (vec![], vec![]));
    world.ok("NURSE", second_check(&world, "201", &["mattress=dry"], &["D=made"]));
    world.ok("LEAD", world.give_back("201"));
    world.counts("W2");
    open(&world, "D");
    // Here it is checked as what stands here.
    let (zones, beds) = world.board.to_check_again(code("101"));
    assert_eq!(zones, [zone("A/mattress")]);
    assert!(beds.contains(&code("A")));
}

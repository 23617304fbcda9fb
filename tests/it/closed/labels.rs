//! How long a label keeps a room closed: of the can that was used, and not of today's; and never nought for want of a number.

use dryhold::domain::entry::{Body, Known};
use dryhold::domain::rule::Rule;

use super::halves::less;
use super::{More, came, closed, completed, hospital, on_the_list, open};

/// Sprayed at ten with the can of four hours. At twenty past the list gets a new formulation, which is dry at once.
#[test]
fn a_late_noted_spray_has_the_label_of_its_own_time() {
    let mut world = hospital();
    world.to("10:20");
    world.ok("LEAD", on_the_list("FOUR", 0));
    world.to("10:30");
    world.sprays("101", "A/frame", "10:00", "10:05", "FOUR");
    world.to("10:40");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.to("14:10");
    world.puts_right("101", "A/frame");
    open(&world, "A");
    // What is sprayed from now on is of the new can.
    world.to("14:30");
    world.sprays("101", "A/frame", "14:20", "14:25", "FOUR");
    world.to("14:40");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// The list was shortened, and put back after the note: nothing of that helps.
#[test]
fn a_list_that_is_changed_for_a_moment_shortens_no_late_spray() {
    let mut world = hospital();
    world.to("10:10");
    world.ok("LEAD", on_the_list("FOUR", 240));
    world.ok("LEAD", on_the_list("FOUR", 0));
    world.sprays("101", "A/frame", "10:09", "10:11", "FOUR");
    world.ok("LEAD", on_the_list("FOUR", 240));
    world.to("10:40");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.to("14:20");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// “Keep out for four hours”, and nobody wrote the number down.
#[test]
fn label_words_without_minutes_start_no_clock() {
    let mut world = hospital();
    world.to("10:10");
    let spray = world.sprays("101", "A/frame", "10:00", "10:05", "NOWORDS");
    let (place, mut body) = completed(&world, "101", spray, More { minutes: Some(0), ..More::default() });
    if let Body::SprayCompleted { reentry_words, reentry_minutes, .. } = &mut body {
        *reentry_words = Some("Keep out for four hours.".to_owned());
        *reentry_minutes = None;
    }
    world.no("TECH", (place.clone(), body.clone()), Rule::Label);
    // As an older version noted it.
    world.raw("TECH", place, body);
    world.to("10:20");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.ok("TECH", completed(&world, "101", spray, More { minutes: Some(240), ..More::default() }));
    world.to("14:20");
    world.puts_right("101", "A/frame");
    closed(&world, "A");
    world.to("14:40");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// The list's “until dry” without a number means none, as it always did.
#[test]
fn the_lists_words_without_minutes_mean_until_dry() {
    let mut world = hospital();
    let (place, mut body) = on_the_list("UNTIL", 0);
    if let Body::ProductSet(product) = &mut body {
        product.reentry_minutes = None;
    }
    world.ok("LEAD", (place, body));
    world.to("10:10");
    world.sprays("101", "A/frame", "10:00", "10:05", "UNTIL");
    world.to("10:20");
    world.puts_right("101", "A/frame");
    open(&world, "A");
}

/// The list truly had four hours for the old cans; a spray with the new one was typed as four hours by mistake.
#[test]
fn an_old_label_of_the_list_is_no_mistake_of_a_later_spray() {
    let mut world = hospital();
    world.to("08:00");
    world.ok("LEAD", on_the_list("FOUR", 60));
    world.to("09:10");
    let spray = world.sprays("102", "chair", "09:00", "09:05", "FOUR");
    world.ok("TECH", completed(&world, "102", spray, More { minutes: Some(240), ..More::default() }));
    for by in ["LEAD", "IP"] {
        world.ok(by, less(&world, "102", spray, None, Some(60), None));
    }
    world.to("09:30");
    world.ok("HK", came("X-1", "201", None, Known::Yes));
    world.to("11:40");
    world.puts_right("201", "X-1");
    closed(&world, "D");
    world.to("13:40");
    world.puts_right("201", "X-1");
    open(&world, "D");
}

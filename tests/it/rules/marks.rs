//! What is to be known of an open bed: next to a case, not looked at for a day, a spot to inspect.

use dryhold::domain::board::BedMark;
use dryhold::domain::entry::{Body, Place, Sign};
use dryhold::domain::remarks::remarks;

use super::world::*;

fn marks(world: &World, bed: &str) -> Vec<BedMark> {
    world.board.marks(code(bed), world.now)
}

fn promised(world: &World, bed: &str) -> (Place, Body) {
    let wanted = Some(world.now + chrono::TimeDelta::hours(2));
    (Place::room(code("102")), Body::Promised { beds: vec![code(bed)], wanted })
}

#[test]
pub(super) fn an_open_bed_beside_a_case_is_marked_until_the_case_is_back_and_the_look_was_taken() {
    let mut world = World::open();
    world.to("09:00");
    assert_eq!(marks(&world, "C"), []);
    world.ok("HK", world.finding("101", &[Sign::LiveAdult]));
    assert!(world.is_open("C"));
    assert_eq!(marks(&world, "C"), [BedMark::NextToCase], "a case begins with what was seen, confirmed or not");
    assert_eq!(marks(&world, "A"), [], "that it is closed says more");
    assert_eq!(marks(&world, "D"), [], "another ward");

    let mut world = World::returned();
    assert_eq!(
        marks(&world, "C"),
        [BedMark::NextToCase],
        "the case is back in service, and 102 was never inspected for it"
    );
    world.ok("EYES", world.inspect("102", ALL_102));
    assert_eq!(marks(&world, "C"), []);
    // What is inspected while the case goes on is next to it all the same.
    let mut world = World::sprayed();
    world.ok("EYES", world.inspect("102", ALL_102));
    assert!(world.board.tasks_of(code("102"), world.now).iter().all(|task| task.kind != BedMark::NextToCase.task()));
    assert_eq!(marks(&world, "C"), [BedMark::NextToCase]);
}

#[test]
pub(super) fn an_open_bed_whose_room_was_not_looked_at_for_a_day_is_marked() {
    let mut world = World::open();
    world.to("09:00");
    let look = (Place::Ward(code("W1")), Body::RoundLooked { rooms: vec![code("102")] });
    world.ok("HK", look);
    assert_eq!(marks(&world, "C"), []);
    world.days(1).to("09:30");
    world.ok("NURSE", world.empty("W1", "A B C"));
    assert_eq!(marks(&world, "C"), [BedMark::LookOverdue]);
    // A room that nobody ever looked at counts from its coming into the book, and not anew each minute.
    assert_eq!(marks(&world, "A"), [BedMark::LookOverdue]);
}

#[test]
pub(super) fn who_promises_such_a_bed_or_lays_somebody_in_it_is_told() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.finding("101", &[Sign::LiveAdult]));
    let number = world.ok("NURSE", promised(&world, "C"));
    let said = |world: &World, number: u64| {
        remarks(&world.entries[number as usize - 1], &world.board, &world.entries).join("; ")
    };
    assert_eq!(said(&world, number.0), "know of C: next to a case");
    assert_eq!(world.board.open_bed_in_words(code("C"), world.now), "C (promised, next to a case)");
    let number = world.ok("NURSE", world.occupied("102", "C"));
    assert_eq!(said(&world, number.0), "know of C: next to a case");
}

#[test]
fn each_mark_has_a_sign_and_words_of_its_own() {
    for of in [
        |mark: BedMark| mark.sign().to_string(),
        |mark: BedMark| mark.words().to_owned(),
        |mark: BedMark| mark.key().to_owned(),
    ] {
        let said: std::collections::BTreeSet<String> = BedMark::ALL.into_iter().map(of).collect();
        assert_eq!(said.len(), BedMark::ALL.len());
    }
    assert!(BedMark::ALL.iter().all(|mark| !"Okpxu.?#~=:".contains(mark.sign())), "no sign of a bed or of a state");
}

//! Where a patient went: from a clear room nothing closes, from a case the room where they lie now.

use dryhold::domain::board::{Occupancy, State};
use dryhold::domain::entry::{Body, Known, Number, Place, Sign, Went};
use dryhold::domain::moves::{Answers, build, find};
use dryhold::domain::rule::Rule;

use super::sceptic::typed;
use super::world::*;

fn lies(world: &World, bed: &str) -> Occupancy {
    world.board.occupancy(code(bed), world.now)
}

fn asked(world: &World) -> Vec<String> {
    world.board.gone().map(|it| it.bed.to_string()).collect()
}

/// A in 101 has a patient, D in 201 is empty; 101 is as the story makes it.
fn with_patient(make: impl Fn(&mut World)) -> World {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    make(&mut world);
    world
}

fn bites(world: &mut World) {
    world.ok("HK", world.finding("101", &[Sign::ReportedBites]));
}

fn to_d(world: &mut World) -> Number {
    let moved = typed(world, "move-patient", "A", &[("went", &["bed"]), ("to", &["D"])]);
    world.ok("NURSE", moved)
}

#[test]
pub(super) fn a_patient_from_a_clear_room_closes_nothing_but_the_bed_where_they_lie() {
    let mut world = with_patient(|_| {});
    let before = world.entries.len();
    to_d(&mut world);
    assert_eq!(world.entries.len(), before + 1);
    assert_eq!((lies(&world, "A"), lies(&world, "D")), (Occupancy::Empty, Occupancy::Occupied));
    assert!(world.is_open("A") && world.is_open("B"));
    assert_eq!((world.state("101"), world.state("201")), (State::Clear, State::Clear));
    assert_eq!(world.closed_by("D"), [Rule::Occupancy]);
    // Of a room with several beds it is said which: nobody is moved out of a bed that was not named.
    let several = build(find("move-patient").unwrap(), "101", &Answers::new(), &world.board, world.now);
    assert_eq!(several.unwrap_err()[0].field, "beds");
    // In their own room as well.
    let mut world = with_patient(|_| {});
    let moved = typed(&world, "move-patient", "A", &[("to", &["B"])]);
    world.ok("NURSE", moved);
    assert!(world.is_open("A"));
    assert_eq!(world.closed_by("B"), [Rule::Occupancy]);
}

#[test]
pub(super) fn a_patient_from_a_room_with_a_case_closes_the_room_where_they_lie_until_it_is_inspected() {
    let suspect = |world: &mut World| {
        world.ok("HK", world.finding("101", &[Sign::ReportedBites]));
    };
    let confirmed = |world: &mut World| {
        world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    };
    let treated = |world: &mut World| {
        world.to("09:00");
        let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
        if let Body::Sprayed { patient_inside, .. } = &mut body {
            *patient_inside = Known::Yes;
        }
        world.ok("TECH", (place, body));
    };
    let received = |world: &mut World| {
        let left = Body::ThingLeft {
            thing: "W-1".to_owned(),
            zones: zones("chair"),
            to: Some(code("101")),
            outside: String::new(),
        };
        world.ok("HK", (Place::Rooms(vec![code("102"), code("101")]), left));
        assert_eq!(world.state("101"), State::Clear, "and yet it waits for its inspection");
    };
    let makes: [&dyn Fn(&mut World); 4] = [&suspect, &confirmed, &treated, &received];
    for make in makes {
        let mut world = with_patient(make);
        to_d(&mut world);
        assert_eq!(lies(&world, "A"), Occupancy::Empty);
        assert_eq!(world.closed_by("D"), [Rule::Receiving, Rule::Occupancy]);
        world.ok("NURSE", world.empty("W2", "D"));
        assert_eq!(world.closed_by("D"), [Rule::Receiving], "the patient went on, and what they carried did not");
        world.to("09:30");
        world.ok("EYES", world.inspect("201", "D/mattress D/frame chair monitor"));
        assert!(world.is_open("D"), "{:?}", world.blockers("D"));
    }
}

/// The room is what it was when the patient left it, however late that is noted.
#[test]
pub(super) fn a_move_that_is_noted_after_the_case_ended_closes_all_the_same() {
    let mut world = with_patient(bites);
    world.to("08:30");
    world.ok("EYES", world.inspect("101", "A/mattress A/frame B/mattress B/frame chair monitor"));
    assert_eq!(world.state("101"), State::Clear);
    world.to("09:00");
    let moved = typed(&world, "move-patient", "A", &[("to", &["D"])]);
    let mut before = world;
    let mut after = with_patient(|_| {});
    after.to("09:00");
    before.ok_at("NURSE", "08:15", moved.clone());
    assert_eq!(before.closed_by("D"), [Rule::Receiving, Rule::Occupancy]);
    // And a finding from before the move, that comes to light after it, follows the patient, stop by stop.
    after.ok_at("NURSE", "08:15", moved);
    let on = typed(&after, "move-patient", "D", &[("to", &["C"])]);
    after.ok_at("NURSE", "08:20", on);
    assert!(after.is_open("D") && after.is_open("B"));
    after.ok_at("TECH", "08:10", after.finding("101", &[Sign::LiveAdult]));
    assert!(after.closed_by("D").contains(&Rule::Receiving));
    assert!(after.closed_by("C").contains(&Rule::Receiving));
}

#[test]
pub(super) fn a_bed_that_is_rolled_along_is_where_its_patient_is_with_all_its_parts() {
    // Of a clear room: the bed is away, and nothing closes but it.
    let mut world = with_patient(|_| {});
    let rolled = typed(&world, "move-patient", "A", &[("to", &["201"]), ("own-bed", &["yes"])]);
    world.ok("NURSE", rolled);
    assert_eq!(lies(&world, "A"), Occupancy::Occupied);
    assert_eq!(world.closed_by("A"), [Rule::BedWhole, Rule::Occupancy]);
    assert!(world.is_open("D") && world.is_open("B"));
    // Back again, and it is whole.
    let back = typed(&world, "move-patient", "A", &[("to", &["101"]), ("own-bed", &["yes"])]);
    assert_eq!(back.0, Place::Rooms(vec![code("201"), code("101")]), "the room where the bed stands comes first");
    world.ok("NURSE", back);
    assert_eq!(world.closed_by("A"), [Rule::Occupancy]);
    // Of a wet room its wet parts close where it goes.
    let mut world = World::sprayed();
    let rolled = typed(&world, "move-patient", "A", &[("to", &["201"]), ("own-bed", &["yes"]), ("things", &["W-1"])]);
    world.ok("NURSE", rolled);
    assert_eq!(world.state("201"), State::TreatedWet);
    assert!(world.exceptions().iter().any(|text| text.contains("W-1 left the room before it was found dry")));
    assert!(!world.is_open("D"));
    assert_eq!(world.board.rooms_of_thing("W-1"), [code("201")]);
    world.to("11:30");
    world.ok("HK", world.dry_check("201", "A/mattress A/frame W-1", ""));
    assert_ne!(world.state("201"), State::TreatedWet);
    assert!(world.closed_by("D").contains(&Rule::Receiving) || world.state("201") == State::TreatedDry);
}

#[test]
pub(super) fn a_bed_noted_empty_in_a_room_with_a_case_asks_where_its_patient_went_until_somebody_says() {
    // Of a clear room nothing is asked.
    let mut world = with_patient(|_| {});
    world.to("08:00");
    let empty = typed(&world, "empty", "A", &[]);
    assert_eq!(empty.1, Body::Emptied { beds: vec![code("A")] });
    world.ok("NURSE", empty);
    assert!(asked(&world).is_empty());
    // Of a case it is: home closes nothing, a bed closes it, nothing said stays asked.
    let mut world = with_patient(bites);
    world.to("08:00");
    let home = typed(&world, "empty", "A", &[("went", &["home"])]);
    world.ok("NURSE", home);
    assert_eq!(lies(&world, "A"), Occupancy::Empty);
    assert!(asked(&world).is_empty() && world.is_open("D"));
    let mut world = with_patient(bites);
    world.to("08:00");
    let to_d = typed(&world, "empty", "A", &[("went", &["bed"]), ("to", &["D"])]);
    world.ok("NURSE", to_d);
    assert!(asked(&world).is_empty());
    assert_eq!(world.closed_by("D"), [Rule::Receiving, Rule::Occupancy]);
    let mut world = with_patient(bites);
    world.to("08:00");
    let unsaid = typed(&world, "empty", "A", &[]);
    let number = world.ok("NURSE", unsaid);
    assert_eq!(asked(&world), ["A"]);
    // Somebody lies in D, and somebody new in A: neither says who they are.
    world.to("08:30");
    world.ok("NURSE", world.occupied("201", "D"));
    assert_eq!(world.closed_by("D"), [Rule::Occupancy]);
    let answer = typed(&world, "move-patient", "A", &[("to", &["D"])]);
    let Body::PatientMoved { answers, .. } = &answer.1 else { panic!("{answer:?}") };
    assert_eq!(*answers, Some(number), "nobody lies in A: it is that patient");
    world.ok("NURSE", world.occupied("101", "A"));
    let answer = typed(&world, "move-patient", "A", &[("to", &["D"]), ("answers", &[&number.to_string()])]);
    let said = world.ok("NURSE", answer);
    assert!(asked(&world).is_empty());
    assert_eq!(lies(&world, "A"), Occupancy::Occupied, "who came after stays there");
    assert_eq!(world.closed_by("D"), [Rule::Receiving, Rule::Occupancy]);
    // It was not so: it is asked again.
    let void = |world: &World, entry: Number| {
        typed(world, "void", "101", &[("entry", &[&entry.to_string()]), ("why", &["another patient"])])
    };
    let taken_back = void(&world, said);
    world.ok("LEAD", taken_back);
    assert_eq!(asked(&world), ["A"]);
    let taken_back = void(&world, number);
    world.ok("LEAD", taken_back);
    assert!(asked(&world).is_empty());
}

#[test]
pub(super) fn the_wards_count_asks_too_and_who_is_found_in_a_bed_may_be_the_answer() {
    let mut world = with_patient(bites);
    world.to("08:00");
    let count = typed(&world, "occupancy", "W1", &[("beds", &["A=empty", "B=empty", "C=empty"])]);
    let Body::OccupancyConfirmed { gone, .. } = &count.1 else { panic!("{count:?}") };
    assert_eq!(gone, &[code("A")], "in B nobody was noted");
    world.ok("NURSE", count);
    assert_eq!(asked(&world), ["A"]);
    let here = typed(&world, "occupied", "C", &[("from", &["A"])]);
    world.ok("NURSE", here);
    assert!(asked(&world).is_empty());
    assert_eq!(world.closed_by("C"), [Rule::Receiving, Rule::Occupancy]);
    assert_eq!(lies(&world, "A"), Occupancy::Empty);
}

#[test]
pub(super) fn a_move_says_once_where_to_and_names_each_room_that_it_closes() {
    let mut world = with_patient(|_| {});
    let moved = |went: Went, to: Option<&str>, bed: Option<&str>, outside: &str, own_bed: bool, rooms: &[&str]| {
        let body = Body::PatientMoved {
            beds: vec![code("A")],
            went,
            receiving: to.map(code),
            receiving_bed: bed.map(code),
            outside: outside.to_owned(),
            washed_and_changed: Known::Unknown,
            own_bed,
            things: vec![],
            answers: None,
        };
        (Place::Rooms(rooms.iter().map(|room| code(room)).collect()), body)
    };
    let both = &["101", "201"][..];
    for wrong in [
        moved(Went::Bed, None, None, "", false, &["101"]),
        moved(Went::Home, Some("201"), None, "", false, both),
        moved(Went::Elsewhere, None, None, "", false, &["101"]),
        moved(Went::Home, None, None, "theatre", false, &["101"]),
        moved(Went::Bed, Some("201"), Some("D"), "", false, &["101"]),
        moved(Went::Bed, Some("201"), Some("D"), "", false, &["201"]),
        moved(Went::Bed, Some("201"), Some("D"), "", true, both),
        moved(Went::Home, None, None, "", true, &["101"]),
        moved(Went::Bed, Some("101"), None, "", false, &["101"]),
        moved(Went::Bed, Some("101"), None, "", true, &["101"]),
    ] {
        world.no("NURSE", wrong, Rule::Place);
    }
    world.ok("NURSE", moved(Went::Elsewhere, None, None, "theatre 2", true, &["101"]));
    assert_eq!(world.closed_by("A"), [Rule::BedWhole, Rule::Occupancy], "it is in no room of the book");
    assert!(world.is_open("B"));
}

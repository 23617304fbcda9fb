//! A void takes away what stood on an entry, and never opens a bed by itself.

use dryhold::domain::board::State;
use dryhold::domain::entry::{Body, Place, Sign};
use dryhold::domain::rule::Rule;

use super::world::*;

#[test]
pub(super) fn voiding_a_dry_check_fells_the_return_that_rests_on_it_and_nothing_revives_it() {
    let mut world = World::sprayed();
    world.to("11:30");
    let check = world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.ok("TECH", world.treat("101", "monitor"));
    world.ok("HK", world.vacuum("101", "chair"));
    world.ok("WASH", world.launder("101", "BAG1"));
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    world.ok("LEAD", world.give_back("101"));
    world.ok("NURSE", world.empty("W1", "A B"));
    assert!(world.is_open("A"));
    world.ok("HK", world.void("101", check));
    assert_eq!(world.state("101"), State::TreatedWet);
    assert!(world.closed_by("A").contains(&Rule::Wet));
    // A new check dries it again; the beds were made before it, and the return is not back.
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let rules = world.closed_by("A");
    assert!(rules.contains(&Rule::BedsMade) && rules.contains(&Rule::ReturnSigned), "{rules:?}");
}

#[test]
pub(super) fn voiding_a_laundering_unmakes_the_beds_that_were_made_from_it() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let load = world.ok("WASH", world.launder("101", "BAG1"));
    for bed in ["A", "B"] {
        let linens = dryhold::domain::entry::LinenSource::Bags(vec![code("BAG1")]);
        world.ok("HK", (Place::room(code("101")), Body::BedMade { bed: code(bed), linens }));
    }
    assert!(!world.closed_by("A").contains(&Rule::BedsMade));
    world.ok("WASH", world.void("101", load));
    let rules = world.closed_by("A");
    assert!(rules.contains(&Rule::BedsMade) && rules.contains(&Rule::Bags), "{rules:?}");
}

#[test]
pub(super) fn voiding_a_spray_opens_nothing_until_a_second_person_has_looked() {
    let mut world = World::open();
    world.to("09:00");
    let spray = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    world.no("TECH", world.void("102", spray), Rule::VoidReach);
    let void = world.ok("LEAD", world.void("102", spray));
    assert_eq!(world.state("102"), State::TreatedWet, "until then it reads as it did");
    assert_eq!(world.closed_by("C"), [Rule::Wet, Rule::SecondLook]);
    world.no("LEAD", world.look("102", void), Rule::SecondLook);
    world.no("TECH", world.look("102", void), Rule::SecondLook);
    world.no("HK", world.look("102", void), Rule::Role);
    world.no("EYES", world.look("102", spray), Rule::Target);
    // It may be wet all the same: nobody goes in before the label's time.
    world.no("EYES", world.look("102", void), Rule::Label);
    world.to("11:00");
    world.ok("EYES", world.look("102", void));
    assert_eq!(world.state("102"), State::Clear);
    assert!(world.is_open("C"));
}

#[test]
pub(super) fn a_look_that_is_voided_closes_again() {
    let mut world = World::open();
    let finding = world.ok("HK", world.finding("102", &[Sign::DarkSpots]));
    let void = world.ok("LEAD", world.void("102", finding));
    let look = world.ok("EYES", world.look("102", void));
    assert!(world.is_open("C"));
    world.ok("LEAD", world.void("102", look));
    assert_eq!(world.closed_by("C"), [Rule::SecondLook]);
}

#[test]
pub(super) fn a_voided_finding_keeps_its_case_until_somebody_has_looked() {
    let mut world = World::open();
    let finding = world.ok("HK", world.finding("102", &[Sign::CastSkin]));
    world.ok("EYES", world.inspect("102", ALL_102));
    assert_eq!(world.state("102"), State::Monitoring);
    let void = world.ok("LEAD", world.void("102", finding));
    assert_eq!(world.state("102"), State::Monitoring);
    assert_eq!(world.closed_by("C"), [Rule::SecondLook]);
    world.ok("TECH", world.look("102", void));
    assert_eq!(world.state("102"), State::Clear);
}

#[test]
pub(super) fn voiding_a_return_closes_the_room_at_once() {
    let mut world = World::ready_to_return();
    let signed = world.ok("LEAD", world.give_back("101"));
    world.ok("NURSE", world.empty("W1", "A B"));
    assert!(world.is_open("A"));
    world.no("HK", world.void("101", signed), Rule::VoidReach);
    world.ok("LEAD", world.void("101", signed));
    assert_eq!(world.closed_by("A"), [Rule::Confirmed, Rule::Prepared, Rule::ReturnSigned]);
}

#[test]
pub(super) fn voids_settings_strangers_entries_and_other_places_are_not_voided() {
    let mut world = World::sprayed();
    world.to("11:30");
    let load = world.ok("WASH", world.launder("101", "BAG1"));
    world.no("HK", world.void("101", load), Rule::VoidReach);
    world.no("LEAD", world.void("102", load), Rule::Target);
    world.no("LEAD", world.void("101", dryhold::domain::entry::Number(9999)), Rule::Target);
    let void = world.ok("WASH", world.void("101", load));
    world.no("LEAD", world.void("101", void), Rule::Target);
    let setting = world.ok("LEAD", (Place::Hospital, Body::PolicySet { key: "clear-days".to_owned(), value: 90 }));
    let body = Body::Voided { entry: setting, why: "wrong".to_owned(), really_in: None };
    world.no("LEAD", (Place::Hospital, body), Rule::Target);
    let occupied = world.ok("NURSE", world.occupied("102", "C"));
    let refusal = world.no("NURSE", world.void("102", occupied), Rule::VoidReach);
    assert_eq!(refusal.mend(), Some("empty"));
}

#[test]
pub(super) fn only_fields_that_no_rule_reads_are_amended() {
    let mut world = World::sprayed();
    let spray = dryhold::domain::entry::Number(world.entries.len() as u64);
    let amend = |entry, field: &str| {
        let body = Body::Amended { entry, field: field.to_owned(), value: "C-77".to_owned() };
        (Place::room(code("101")), body)
    };
    world.no("TECH", amend(spray, "finished"), Rule::AmendField);
    world.no("TECH", amend(dryhold::domain::entry::Number(999), "certificate"), Rule::Target);
    world.ok("TECH", amend(spray, "certificate"));
    assert_eq!(world.state("101"), State::TreatedWet);
}

#[test]
pub(super) fn what_was_supplied_for_a_spray_falls_with_the_spray() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("102", &[Sign::LiveAdult]));
    let (place, mut body) = world.spray("102", "", "");
    if let Body::Sprayed { zones, .. } = &mut body {
        *zones = None;
    }
    let spray = world.ok("TECH", (place.clone(), body));
    let supply = Body::SprayCompleted {
        spray,
        zones: Some(zones(SPRAYED_102)),
        finished: None,
        bags: None,
        reentry_words: None,
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: dryhold::domain::entry::Known::Unknown,
    };
    world.ok("TECH", (place, supply));
    world.ok("TECH", world.treat("102", "monitor"));
    let void = world.ok("LEAD", world.void("102", spray));
    world.to("11:01");
    world.ok("EYES", world.look("102", void));
    assert_eq!(world.state("102"), State::Confirmed);
    world.no("LEAD", world.give_back("102"), Rule::ReturnSigned);
}

#[test]
pub(super) fn a_spray_noted_in_the_wrong_room_closes_the_right_one() {
    let mut world = World::open();
    world.to("09:00");
    let spray = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    let body = Body::Voided { entry: spray, why: "it was next door".to_owned(), really_in: Some(code("101")) };
    let void = world.ok("LEAD", (Place::Rooms(vec![code("102"), code("101")]), body));
    assert_eq!(world.state("101"), State::TreatedWet);
    assert!(world.closed_by("A").contains(&Rule::Wet));
    assert_eq!(world.closed_by("C"), [Rule::Wet, Rule::SecondLook]);
    world.to("11:00");
    world.ok("EYES", world.look("102", void));
    assert!(world.is_open("C"));
}

#[test]
pub(super) fn a_void_falls_where_its_target_stands_and_a_fact_without_a_room_counts_nowhere() {
    let mut world = World::sprayed();
    world.to("11:30");
    let check = world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.raw("HK", Place::room(code("102")), world.void("101", check).1);
    assert_eq!(world.state("101"), State::TreatedWet);
    world.raw("HK", Place::Hospital, world.dry_check("101", SPRAYED_101, "").1);
    assert_eq!(world.state("101"), State::TreatedWet);
}

#[test]
pub(super) fn the_second_look_is_not_for_whoever_did_what_was_voided() {
    let mut world = World::open();
    let (place, body) = world.finding("102", &[Sign::DarkSpots]);
    let mut command = dryhold::domain::decide::Command::new(dryhold::domain::entry::CommandId(900), place, body);
    command.done_by = Some(code("EYES"));
    let finding = world.note("NURSE", &command);
    let void = world.ok("LEAD", world.void("102", finding));
    world.no("EYES", world.look("102", void), Rule::SecondLook);
    // Nor is it offered to them, nor may they take it on.
    let step = world.board.next_step(code("102"), world.now).unwrap();
    let task = world.board.tasks_of(code("102"), world.now).into_iter().find(|task| task.verb == "look").unwrap();
    for person in ["NURSE", "EYES", "LEAD"] {
        assert!(step.not_for.contains(&code(person)) && task.not_for.contains(&code(person)), "{person}");
    }
    let takes = |by: &str| {
        let body = Body::TaskAccepted { room: code("102"), need: task.need.clone(), cause: task.cause, by: code(by) };
        (Place::room(code("102")), body)
    };
    world.no("LEAD", takes("LEAD"), Rule::SecondLook);
    world.ok("TECH", takes("TECH"));
    world.ok("TECH", world.look("102", void));
}

#[test]
pub(super) fn a_void_takes_away_neither_a_walk_that_is_owed_nor_a_damaged_line() {
    let mut world = World::open();
    let line = world.raw(
        "HK",
        Place::room(code("102")),
        Body::Unreadable { raw: "(…)".to_owned(), why: "a kind from a newer version".to_owned() },
    );
    let restored = world.raw("LEAD", Place::room(code("201")), Body::Restored { reason: "a copy".to_owned() });
    for (room, bed, number) in [("102", "C", line), ("201", "D", restored)] {
        world.no("LEAD", world.void(room, number), Rule::VoidReach);
        // Written all the same, and looked after: it still closes.
        let void = world.raw("LEAD", Place::room(code(room)), world.void(room, number).1);
        world.raw("EYES", Place::room(code(room)), world.look(room, void).1);
        assert!(!world.is_open(bed), "{room}");
    }
}

/// A million histories found it: the void of a void left the spray hanging for a look, and the look opened a bed that nobody
/// had found dry.
#[test]
pub(super) fn a_void_is_never_voided_so_the_room_where_the_spray_really_was_stays_wet() {
    let mut world = World::open();
    world.to("09:00");
    let spray = world.ok("TECH", world.spray("102", SPRAYED_102, ""));
    let both = || Place::Rooms(vec![code("102"), code("101")]);
    let void = Body::Voided { entry: spray, why: "it was next door".to_owned(), really_in: Some(code("101")) };
    let void = world.ok("LEAD", (both(), void));
    assert_eq!(world.state("101"), State::TreatedWet);
    let again = |place| (place, Body::Voided { entry: void, why: "it was not".to_owned(), really_in: None });
    world.no("IP", again(both()), Rule::VoidReach);
    // A line like that which stands in the file all the same takes nothing away.
    for place in [both(), Place::room(code("101")), Place::room(code("102"))] {
        let (place, body) = again(place);
        let number = world.raw("IP", place, body);
        world.no("EYES", world.look("101", number), Rule::Target);
        assert_eq!(world.state("101"), State::TreatedWet);
        assert!(world.closed_by("A").contains(&Rule::Wet), "{:?}", world.closed_by("A"));
    }
}

/// A void stands where the voided entry stood. One that names only a room of it would take the rest of the ward with it, if
/// its line became unreadable.
#[test]
pub(super) fn the_void_of_a_ward_walk_names_the_ward() {
    let mut world = World::unwalked();
    let walk = world.ok("LEAD", world.walk("W1"));
    for place in [Place::room(code("101")), Place::Rooms(vec![code("101"), code("102")]), Place::Hospital] {
        let void = Body::Voided { entry: walk, why: "not walked".to_owned(), really_in: None };
        world.no("LEAD", (place, void), Rule::Target);
    }
    let void = Body::Voided { entry: walk, why: "not walked".to_owned(), really_in: None };
    world.ok("LEAD", (Place::Ward(code("W1")), void));
}

/// It was seen, only elsewhere: that room closes as this one did.
#[test]
pub(super) fn voiding_a_finding_closes_the_room_in_which_it_really_was() {
    for (person, sign, state) in [
        ("HK", Sign::DarkSpots, State::Suspect),
        ("TECH", Sign::LiveAdult, State::Confirmed),
        ("HK", Sign::ReportedBites, State::Suspect),
    ] {
        let mut world = World::open();
        world.to("09:00");
        let finding = world.ok(person, world.finding("101", &[sign]));
        let place = Place::Rooms(vec![code("101"), code("102")]);
        let body = Body::Voided { entry: finding, why: "the wrong room".to_owned(), really_in: Some(code("102")) };
        let void = world.ok("LEAD", (place, body));
        assert_eq!(world.state("102"), state, "{}", sign.title());
        assert!(!world.is_open("C"));
        let again = Body::Voided { entry: void, why: "a wrong key".to_owned(), really_in: None };
        world.no("LEAD", (Place::Rooms(vec![code("101"), code("102")]), again), Rule::VoidReach);
        if state == State::Suspect {
            world.ok("EYES", world.inspect("102", ALL_102));
            assert!(world.is_open("C"));
            let expected = if sign == Sign::ReportedBites { State::Clear } else { State::Monitoring };
            assert_eq!(world.state("102"), expected);
        }
        // The room in which it was not still waits for its look.
        assert!(world.closed_by("A").contains(&Rule::SecondLook));
    }
    // It has been noted there since: that entry says more.
    let mut world = World::open();
    world.to("09:00");
    let wrong = world.ok("HK", world.finding("101", &[Sign::DarkSpots]));
    world.ok("HK", world.finding("102", &[Sign::DarkSpots]));
    let closers = world.board.room(code("102")).unwrap().closers().len();
    let body = Body::Voided { entry: wrong, why: "the wrong room".to_owned(), really_in: Some(code("102")) };
    world.ok("LEAD", (Place::Rooms(vec![code("101"), code("102")]), body));
    assert_eq!(world.board.room(code("102")).unwrap().closers().len(), closers);
}

//! Lines that are missing, doubled or unreadable: each closes its place until somebody attests it.

use dryhold::domain::board::{Board, State};
use dryhold::domain::entry::{Body, Number, Place};
use dryhold::domain::rule::Rule;

use super::world::*;

fn attest(world: &World, place: Place, line: Number) -> (Place, Body) {
    let seen = world.board.newest_of(&place);
    (place, Body::Attested { line, through: None, words: "a daily look".to_owned(), second: None, seen })
}

fn second_attest(world: &World, place: Place, line: Number) -> (Place, Body) {
    let seen = world.board.newest_of(&place);
    (place, Body::SecondAttested { line, through: None, words: "I was there: a daily look".to_owned(), seen })
}

fn unreadable() -> Body {
    Body::Unreadable { raw: "(…)".to_owned(), why: "a kind from a newer version".to_owned() }
}

#[test]
pub(super) fn an_unreadable_line_closes_its_room_until_it_is_attested() {
    let mut world = World::open();
    let line = world.raw("HK", Place::room(code("101")), unreadable());
    assert_eq!(world.closed_by("A"), [Rule::Damage]);
    assert!(world.is_open("C"), "another room is not concerned");
    let place = Place::room(code("101"));
    world.no("NURSE", attest(&world, place.clone(), line), Rule::Role);
    world.no("LEAD", attest(&world, place.clone(), Number(2)), Rule::Target);
    let (_, mut wordless) = attest(&world, place.clone(), line);
    if let Body::Attested { words, .. } = &mut wordless {
        words.clear();
    }
    world.no("LEAD", (place.clone(), wordless), Rule::Damage);
    world.ok("LEAD", attest(&world, place, line));
    assert!(world.is_open("A"));
}

#[test]
pub(super) fn an_unreadable_line_of_a_ward_closes_the_ward_and_needs_two_signatures() {
    let mut world = World::open();
    let ward = Place::Ward(code("W1"));
    let line = world.raw("HK", ward.clone(), unreadable());
    assert_eq!(world.closed_by("A"), [Rule::Damage, Rule::SharedSpace], "the bathroom lies on the ward too");
    assert!(world.closed_by("C").contains(&Rule::Damage));
    assert!(world.is_open("D"));
    world.no("LEAD", attest(&world, ward.clone(), line), Rule::SecondSignature);
    world.ok("NURSE", second_attest(&world, ward.clone(), line));
    assert!(!world.is_open("A"), "one of the two is not enough");
    world.no("LEAD", attest(&world, Place::room(code("101")), line), Rule::Seen);
    world.ok("LEAD", attest(&world, ward, line));
    assert!(world.is_open("A") && world.is_open("C"));
}

#[test]
pub(super) fn the_two_who_attest_are_two_and_each_speaks_for_one() {
    let mut world = World::open();
    let ward = Place::Ward(code("W1"));
    let line = world.raw("HK", ward.clone(), unreadable());
    world.no("READ", second_attest(&world, ward.clone(), line), Rule::Role);
    world.no("NURSE", second_attest(&world, ward.clone(), Number(2)), Rule::Target);
    world.ok("IP", second_attest(&world, ward.clone(), line));
    // Whoever spoke as the second one does not sign as the first.
    world.no("IP", attest(&world, ward.clone(), line), Rule::SecondSignature);
    world.ok("LEAD", attest(&world, ward.clone(), line));
    assert!(world.is_open("A"));
    // What the second one said was wrong: what rests on it falls.
    let said = Number(world.entries.len() as u64 - 1);
    world.ok("IP", (ward, Body::Voided { entry: said, why: "another sheet".to_owned(), really_in: None }));
    assert_eq!(world.closed_by("C"), [Rule::Damage, Rule::SharedSpace]);
}

#[test]
pub(super) fn what_is_one_rooms_is_attested_by_one() {
    let mut world = World::open();
    let line = world.raw("HK", Place::room(code("101")), unreadable());
    world.no("NURSE", second_attest(&world, Place::room(code("101")), line), Rule::Target);
    world.ok("LEAD", attest(&world, Place::room(code("101")), line));
}

#[test]
pub(super) fn a_line_whose_place_is_unknown_closes_everything() {
    let mut world = World::open();
    let line = world.raw("HK", Place::Unknown, unreadable());
    assert_eq!((world.closed_by("A"), world.closed_by("D")), (vec![Rule::Damage], vec![Rule::Damage]));
    world.ok("IP", second_attest(&world, Place::Hospital, line));
    world.ok("LEAD", attest(&world, Place::Hospital, line));
    assert!(world.is_open("A"));
}

#[test]
pub(super) fn a_missing_number_closes_every_room() {
    let world = World::open();
    for gone in 0..world.entries.len() - 1 {
        let mut entries = world.entries.clone();
        entries.remove(gone);
        let board = Board::fold(&entries);
        for bed in ["A", "C", "D"] {
            assert!(!board.admission(code(bed), world.now).is_empty(), "without entry {}", gone + 1);
        }
    }
}

#[test]
pub(super) fn a_gap_of_several_is_attested_once_and_whole() {
    let mut world = World::open();
    let mut entries = world.entries.clone();
    let last = entries.len();
    entries.drain(last - 4..last - 2);
    world.board = Board::fold(&entries);
    assert!(world.closed_by("A").contains(&Rule::Damage));
    let first = Number(last as u64 - 3);
    let through_the_last = |(place, mut body): (Place, Body)| {
        if let Body::Attested { through, .. } | Body::SecondAttested { through, .. } = &mut body {
            *through = Some(Number(first.0 + 1));
        }
        (place, body)
    };
    world.no("LEAD", attest(&world, Place::Hospital, first), Rule::Target);
    // What the second one said of the first of them says nothing of the next.
    world.ok("IP", second_attest(&world, Place::Hospital, first));
    world.no("LEAD", through_the_last(attest(&world, Place::Hospital, first)), Rule::SecondSignature);
    world.ok("IP", through_the_last(second_attest(&world, Place::Hospital, first)));
    world.ok("LEAD", through_the_last(attest(&world, Place::Hospital, first)));
    assert!(!world.closed_by("A").contains(&Rule::Damage));
}

/// Whoever attested one unreadable line knew nothing of the next one, which was lost later together with it.
#[test]
pub(super) fn an_attest_of_one_line_covers_no_gap_that_came_after_it() {
    let mut world = World::open();
    let line = world.raw("HK", Place::room(code("101")), unreadable());
    world.ok("HK", world.finding("201", &[dryhold::domain::entry::Sign::DarkSpots]));
    world.ok("LEAD", attest(&world, Place::Hospital, line));
    assert!(world.is_open("A"));
    let lost = |entry: &dryhold::domain::entry::Entry| entry.number == line || entry.number.0 == line.0 + 1;
    let entries: Vec<_> = world.entries.iter().filter(|entry| !lost(entry)).cloned().collect();
    let board = Board::fold(&entries);
    for bed in ["A", "C", "D"] {
        assert!(!board.admission(code(bed), world.now).is_empty(), "{bed}");
    }
}

#[test]
pub(super) fn a_doubled_number_closes_every_room_whatever_order_the_lines_stand_in() {
    let world = World::open();
    for twice in 0..world.entries.len() {
        let mut entries = world.entries.clone();
        let copy = entries[twice].clone();
        entries.push(copy);
        assert!(!Board::fold(&entries).admission(code("A"), world.now).is_empty(), "entry {} twice", twice + 1);
    }
}

#[test]
pub(super) fn the_order_of_the_lines_does_not_matter_the_numbers_do() {
    let world = World::returned();
    let mut entries = world.entries.clone();
    entries.reverse();
    let board = Board::fold(&entries);
    assert_eq!(board.admission(code("A"), world.now), world.blockers("A"));
    assert_eq!(board.evidence(code("101")), world.board.evidence(code("101")));
}

#[test]
pub(super) fn a_restored_or_shortened_ledger_closes_every_bed_until_its_ward_is_walked() {
    for body in [
        Body::Restored { reason: "Monday's copy".to_owned() },
        Body::WentBack { had_seen: Number(900), kept: None, since: None },
        Body::EndLost { bytes: 40, begins: "(9,".to_owned(), had_seen: None },
    ] {
        let mut world = World::open();
        world.raw("LEAD", Place::Hospital, body);
        assert_eq!(world.closed_by("A"), [Rule::SharedSpace, Rule::WardWalk]);
        world.no("LEAD", world.walk("W1"), Rule::WardWalk);
        world.to("09:09");
        world.ok("LEAD", world.walk_of_gap("W1", ""));
        assert!(world.is_open("A"));
        assert_eq!(world.closed_by("D"), [Rule::WardWalk]);
    }
}

/// Others may have written on before anybody noticed. What is gone was noted where the two files part, not just now.
#[test]
pub(super) fn a_gap_reaches_back_to_where_the_files_part() {
    let mut world = World::open();
    let kept = world.entries.last().unwrap().clone();
    world.to("10:30");
    world.ok("NURSE", world.finding("201", &[]));
    world.to("10:40");
    let body = Body::WentBack { had_seen: Number(kept.number.0 + 2), kept: Some(kept.number), since: Some(kept.noted) };
    world.raw("terminal", Place::Hospital, body);
    let gap = world.board.gaps_of(&Place::Ward(code("W1")))[0];
    assert_eq!((gap.after, gap.until), (kept.noted, world.at("10:40")));
    assert_eq!(gap.lost, Some((Number(kept.number.0 + 1), Number(kept.number.0 + 2))));
    let told = dryhold::domain::shift::missing(&world.board, &world.entries, world.now).remove(0).whole;
    assert!(told.contains("went back to Mon 2 Mar 07:06") || told.contains("went back to 07:06"), "{told}");
    assert!(told.contains("2 entries, ") && !told.contains("10:30"), "{told}");
}

/// What the program knows of the gap is put before whoever walks, and asked.
#[test]
pub(super) fn a_walk_after_a_gap_says_what_was_asked_and_what_was_wet() {
    let mut world = World::open();
    world.to("08:00");
    let kept = world.entries.len() as u64;
    world.raw("LEAD", Place::Hospital, Body::WentBack { had_seen: Number(kept + 8), kept: None, since: None });
    let gap = world.board.gaps_of(&Place::Ward(code("W1")));
    assert_eq!(gap.len(), 1);
    let words = format!(
        "8 entries ({} to {}), noted between Mon 2 Mar 07:06 and Mon 2 Mar 08:00, are missing",
        kept + 1,
        kept + 8
    );
    assert_eq!(world.board.gap_words(gap[0]), words);
    // A label on the list asks for two hours: no room that was sprayed at eight is entered and felt before ten.
    let refusal = world.no("LEAD", world.walk_of_gap("W1", ""), Rule::Label);
    assert!(refusal.to_string().contains("before Mon 2 Mar 10:00"), "{refusal}");
    world.to("10:00");
    let refusal = world.no("LEAD", world.walk("W1"), Rule::WardWalk);
    assert!(refusal.to_string().starts_with(&words), "{refusal}");
    for (spoken, felt) in [(Some("HK was on duty"), None), (Some(" "), Some(vec![])), (None, Some(vec![]))] {
        let (place, _) = world.walk("W1");
        let (words, seen) = (spoken.map(str::to_owned), world.board.newest_of(&place));
        world.no("LEAD", (place, Body::WardWalked { words, wet: felt, seen }), Rule::WardWalk);
    }
    world.no("LEAD", world.walk_of_gap("W1", "201"), Rule::Place);
    let question = super::noted::asked(&world, "LEAD", world.walk_of_gap("W1", "")).unwrap();
    assert!(question.starts_with(&words), "{question}");
    // The bathroom was found wet: it closes as a spray of which nothing was stated.
    let walk = world.ok("LEAD", world.walk_of_gap("W1", "BATH"));
    assert_eq!(world.state("BATH"), State::TreatedWet);
    assert_eq!(world.closed_by("A"), [Rule::SharedSpace]);
    world.no("HK", world.dry_check("BATH", "skirting", ""), Rule::Unstated);
    let supplied = Body::SprayCompleted {
        spray: walk,
        zones: None,
        finished: Some(world.at("07:50")),
        bags: Some(vec![]),
        reentry_words: Some("Keep out until dry.".to_owned()),
        reentry_minutes: Some(60),
        amount_ml: None,
        patient_inside: dryhold::domain::entry::Known::Unknown,
    };
    world.ok("LEAD", (Place::room(code("BATH")), supplied));
    world.to("11:30");
    world.ok("HK", world.dry_check("BATH", "skirting", ""));
    world.ok("LEAD", world.give_back("BATH"));
    assert!(world.is_open("A"));
    // A plain walk settles nothing else of the kind, and asks nothing where nothing is missing.
    assert!(world.board.gaps_of(&Place::Ward(code("W1"))).is_empty());
    assert_eq!(world.board.gaps_of(&Place::Ward(code("W2"))).len(), 1);
}

/// A line that another version or a hand wrote: the bare walk settles no gap, and what it found wet closes whoever wrote it.
#[test]
pub(super) fn a_bare_walk_opens_nothing_after_a_gap_and_wet_closes_whoever_found_it() {
    let mut world = World::open();
    world.raw("LEAD", Place::Hospital, Body::Restored { reason: "Monday's copy".to_owned() });
    world.to("12:00");
    let (place, body) = world.walk("W1");
    world.raw("LEAD", place, body);
    assert!(world.closed_by("C").contains(&Rule::WardWalk));
    let (place, body) = world.walk_of_gap("W2", "201");
    world.raw("NURSE", place, body);
    assert_eq!(world.state("201"), State::TreatedWet);
    assert!(world.closed_by("D").contains(&Rule::WardWalk));
}

#[test]
pub(super) fn nobody_notes_an_unreadable_line_by_hand() {
    let mut world = World::open();
    world.no("LEAD", (Place::room(code("101")), unreadable()), Rule::Unreadable);
}

#[test]
pub(super) fn an_entry_about_a_room_that_does_not_exist_waits_to_be_attested() {
    let mut world = World::open();
    let line = world.raw("HK", Place::room(code("777")), world.finding("777", &[]).1);
    assert!(world.board.problems().iter().any(|p| p.rule == Rule::Place));
    // It may have been about any room, and more so if it cannot be read.
    assert!(world.closed_by("A").contains(&Rule::Damage) && world.closed_by("D").contains(&Rule::Damage));
    let mut other = World::open();
    other.raw("HK", Place::Rooms(vec![code("101"), code("777")]), unreadable());
    assert!(other.closed_by("D").contains(&Rule::Damage));
    let said = world.ok("NURSE", second_attest(&world, Place::Hospital, line));
    assert!(said > line && world.closed_by("D").contains(&Rule::Damage));
    world.ok("LEAD", attest(&world, Place::Hospital, line));
    assert!(!world.closed_by("A").contains(&Rule::Damage) && world.is_open("D"));
    world.set_room("777", "W2", "patient-room", 9, "Z", "");
    world.ok("LEAD", world.walk("W2"));
    assert!(!world.closed_by("Z").contains(&Rule::Damage), "what it said was attested");
}

/// A number of the hospital that were noted for one room could close more than its unreadable line would.
#[test]
pub(super) fn a_number_of_the_hospital_is_not_one_rooms() {
    let keeper = World::open().board.people()[&code("HK")].clone();
    let left = dryhold::domain::people::Person { left: true, ..keeper };
    for body in [Body::PolicySet { key: "shift-minutes".to_owned(), value: 1440 }, Body::PersonSet(Box::new(left))] {
        let mut world = World::open();
        world.no("LEAD", (Place::room(code("101")), body.clone()), Rule::Place);
        world.raw("LEAD", Place::room(code("101")), body);
        for bed in ["A", "B", "C", "D"] {
            assert!(!world.is_open(bed), "a setting that cannot be followed closes everything: {bed}");
        }
    }
}

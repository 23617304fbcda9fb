//! The demo shows every state and every turn of its story, whenever it is opened, and nothing in it came by a back door.

use std::collections::BTreeSet;

use super::*;
use crate::domain::board::{Board, ExceptionKind, Occupancy, State, TaskKind};
use crate::domain::code::Code;
use crate::domain::decide::{Command, decide};
use crate::domain::entry::{Body, CommandId, Number, Place};
use crate::domain::moves::{self, Answers};
use crate::domain::need::Need;
use crate::domain::people::Role;
use crate::domain::rule::Rule;
use crate::ledger::{Ledger, Standing};

const ZONE: Tz = chrono_tz::Europe::Paris;

fn at(text: &str) -> Time {
    text.parse().unwrap()
}

fn now() -> Time {
    at("2026-06-10T10:30:20Z")
}

fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

fn board() -> Board {
    let mut board = Board::new().in_zone(ZONE);
    board.extend(&entries(now(), ZONE).unwrap());
    board
}

#[track_caller]
fn check_state(board: &Board, room: &str, expected: State) {
    assert_eq!(board.state(code(room)), expected, "room {room}");
}

#[test]
fn three_wards_forty_eight_rooms_and_seventy_beds() {
    let list = parse_rooms(ROOMS.as_bytes(), false).unwrap();
    assert_eq!((list.wards.len(), list.rooms.len(), list.beds()), (3, 48, 70));
    assert!(list.warnings.is_empty(), "{:?}", list.warnings);
}

#[test]
fn every_role_is_there_and_nobody_has_a_pin() {
    let board = board();
    let roles: BTreeSet<Role> = board.people().values().map(|person| person.role).collect();
    assert_eq!(roles, BTreeSet::from(Role::ALL));
    assert!(board.people().values().all(|person| person.pin_hash.is_none()));
    let product = board.products().get(&code("RSA")).unwrap();
    assert_eq!((product.name.as_str(), product.registration.as_deref()), ("Residual spray A", Some("DEMO-0001")));
}

#[test]
fn there_is_a_room_in_every_state() {
    let board = board();
    check_state(&board, "3N-01", State::Clear);
    check_state(&board, "3N-12", State::Suspect);
    check_state(&board, "3N-03", State::Confirmed);
    check_state(&board, "3N-07", State::TreatedWet);
    check_state(&board, "3N-10", State::TreatedDry);
    check_state(&board, "4N-05", State::Monitoring);
}

#[test]
fn nothing_in_it_is_a_problem_and_one_finding_was_voided() {
    let board = board();
    assert!(board.problems().is_empty(), "{:?}", board.problems());
    let kinds: Vec<&ExceptionKind> = board.exceptions().iter().map(|it| &it.kind).collect();
    assert!(matches!(kinds.as_slice(), [ExceptionKind::CloserVoided(_)]), "{kinds:?}");
}

#[test]
fn beds_are_occupied_empty_and_open() {
    let (board, now) = (board(), now());
    let beds: Vec<Code> =
        board.facility().rooms.values().flat_map(|room| room.beds.iter().map(|bed| bed.code)).collect();
    let of = |wanted| beds.iter().filter(|bed| board.occupancy(**bed, now) == wanted).count();
    let open = beds.iter().filter(|bed| board.admission(**bed, now).is_empty()).count();
    assert!(of(Occupancy::Occupied) > 35 && of(Occupancy::Empty) > 15, "{}", of(Occupancy::Occupied));
    assert!((5..=20).contains(&open), "{open}");
}

#[test]
fn a_mattress_is_damp_two_hours_after_spraying() {
    let board = board();
    let unmet = |need| board.evidence(code("3N-07")).iter().any(|it| it.need == need && it.met_by.is_none());
    let mattress =
        |bed: &str| Need::Dry(crate::domain::facility::Zone { bed: Some(code(bed)), part: code("mattress") });
    assert!(unmet(mattress("3N-07-A")));
    assert!(!unmet(mattress("3N-07-B")));
    let all = entries(now(), ZONE).unwrap();
    let finished = all.iter().rev().find_map(|entry| match &entry.body {
        Body::Sprayed { finished, .. } if entry.place == Place::room(code("3N-07")) => *finished,
        _ => None,
    });
    let check = all.iter().rev().find(|entry| matches!(entry.body, Body::DryChecked { .. })).unwrap();
    assert_eq!((check.happened - finished.unwrap()).num_minutes(), 124);
}

#[test]
fn a_return_is_refused_for_a_load_that_was_not_hot_enough_and_the_bed_that_waits_for_it() {
    let (board, now) = (board(), now());
    let room = board.room(code("3N-10")).unwrap();
    assert_eq!(room.failed_loads.iter().map(|(_, bag)| *bag).collect::<Vec<_>>(), [code("3N10-C")]);
    let mv = moves::find("return").unwrap();
    let (place, body) = moves::build(mv, "3N-10", &Answers::new(), &board, now).unwrap();
    let refusal = decide(&board, &Command::new(CommandId(1), place, body), code("LD"), now).unwrap_err();
    let missing: BTreeSet<Need> = refusal.missing().iter().map(|evidence| evidence.need).collect();
    assert_eq!(refusal.rule(), Rule::ReturnSigned);
    assert_eq!(missing, BTreeSet::from([Need::Bag(code("3N10-C")), Need::Made(code("3N-10-B"))]));
}

#[test]
fn one_case_came_back_and_another_waits_for_an_overdue_follow_up() {
    let (board, now) = (board(), now());
    let all = entries(now, ZONE).unwrap();
    let confirmed = |room: &str| {
        let finds = all.iter().filter(|entry| matches!(entry.body, Body::Finding { .. }));
        finds.filter(|entry| entry.place == Place::room(code(room))).count()
    };
    assert_eq!(confirmed("4N-05"), 2);
    let tasks = board.tasks(now);
    let follow_ups: Vec<_> = tasks.iter().filter(|task| task.kind == TaskKind::FollowUp).collect();
    let overdue: Vec<Code> = follow_ups.iter().filter(|task| task.overdue).map(|task| task.room).collect();
    assert_eq!(overdue, [code("4N-08")]);
    assert!(follow_ups.len() > 2);
}

#[test]
fn the_ring_around_the_newest_find_is_partly_inspected() {
    let (board, now) = (board(), now());
    let tasks = board.tasks(now);
    let due: BTreeSet<Code> =
        tasks.iter().filter(|task| task.kind == TaskKind::Neighbour).map(|task| task.room).collect();
    assert_eq!(due, BTreeSet::from(["3N-04", "3N-11", "4N-03"].map(code)));
    let ring: BTreeSet<Code> = board.facility().ring_around(code("3N-03")).into_iter().collect();
    assert_eq!(ring, BTreeSet::from(["3N-02", "3N-04", "3N-11", "4N-03"].map(code)));
    assert!(
        tasks.iter().any(|task| task.room == code("3N-13") && task.kind == TaskKind::Inspect),
        "the receiving room"
    );
}

#[test]
fn a_voided_entry_waits_for_a_second_look() {
    let board = board();
    let voids = entries(now(), ZONE).unwrap().iter().filter(|it| matches!(it.body, Body::Voided { .. })).count();
    assert_eq!(voids, 1);
    assert!(board.evidence(code("4N-12")).iter().any(|it| matches!(it.need, Need::Looked(_)) && it.met_by.is_none()));
    assert!(board.admission(code("4N-12-A"), now()).iter().any(|blocker| blocker.rule == Rule::SecondLook));
}

#[test]
fn a_preventive_round_followed_a_carpet_cleaning() {
    let (board, now) = (board(), now());
    for room in ["5N-09", "5N-10", "5N-11"] {
        check_state(&board, room, State::Clear);
        assert!(board.room(code(room)).unwrap().last_spray.is_some());
    }
    assert!(board.admission(code("5N-10-A"), now).is_empty());
    let rules: Vec<Rule> = board.admission(code("5N-11-A"), now).iter().map(|blocker| blocker.rule).collect();
    assert_eq!(rules, [Rule::OutOfService]);
}

#[test]
fn every_entry_after_the_set_up_passes_decide_as_it_was_noted() {
    let all = entries(now(), ZONE).unwrap();
    let mut board = Board::new().in_zone(ZONE);
    let mut decided = 0;
    for entry in &all {
        if entry.terminal != "setup" {
            let mut command = Command::new(entry.command, entry.place.clone(), entry.body.clone());
            (command.happened, command.done_by) = (Some(entry.happened), Some(entry.done_by));
            command.terminal.clone_from(&entry.terminal);
            assert_eq!(decide(&board, &command, entry.noted_by, entry.noted).as_ref(), Ok(entry));
            decided += 1;
        }
        board.apply(entry);
    }
    assert!(decided > 600 && all.len() - decided < 70, "{decided} of {}", all.len());
}

#[test]
fn numbers_and_times_run_on_and_end_by_now() {
    let all = entries(now(), ZONE).unwrap();
    assert!(all.iter().enumerate().all(|(at, entry)| entry.number == Number(at as u64 + 1)));
    assert!(all.is_sorted_by_key(|entry| entry.noted));
    assert!(all.last().unwrap().noted <= now());
    let commands: BTreeSet<CommandId> = all.iter().map(|entry| entry.command).collect();
    assert_eq!(commands.len(), all.len());
}

#[test]
fn it_looks_the_same_on_any_day() {
    let expected: Vec<State> = board().rooms().map(|(_, room)| room.state()).collect();
    // Clocks change on 2026-03-08 and 2026-11-01 in the United States, on 2026-03-29 and 2026-10-25 in Europe: on such days,
    // and where the eight weeks before hold one. A leap day; the turn of a year.
    let days = ["2026-03-08T10:00:00Z", "2026-03-29T01:30:00Z", "2026-10-25T01:30:00Z", "2026-11-01T06:30:00Z"];
    let others = ["2026-12-20T08:00:00Z", "2028-02-29T23:59:59Z", "2027-01-01T00:00:00Z", "2026-04-20T12:00:00Z"];
    for day in days.into_iter().chain(others) {
        for zone in [chrono_tz::Europe::Paris, chrono_tz::America::New_York, chrono_tz::Asia::Kolkata] {
            let all = entries(at(day), zone).unwrap_or_else(|error| panic!("{day} {zone}: {error}"));
            let mut board = Board::new().in_zone(zone);
            board.extend(&all);
            let states: Vec<State> = board.rooms().map(|(_, room)| room.state()).collect();
            assert_eq!(states, expected, "{day} {zone}");
        }
    }
}

#[test]
fn its_ledger_is_whole_for_rehearsal_only_and_never_written_over_another() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("demo.ron");
    make(&path, now(), ZONE).unwrap();
    let (ledger, read) = Ledger::open(&path).unwrap();
    assert!(ledger.header().rehearsal);
    assert_eq!(ledger.header().time_zone, ZONE);
    assert_eq!(ledger.standing(), &Standing::Whole);
    assert!(read == entries(now(), ZONE).unwrap());
    let before = std::fs::read(&path).unwrap();
    assert!(matches!(make(&path, now(), ZONE), Err(DemoError::Ledger(LedgerError::Exists { .. }))));
    assert!(std::fs::read(&path).unwrap() == before);
}

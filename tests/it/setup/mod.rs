//! From a room list to beds that may be opened: nothing opens by setting up alone, and no file brings the reader down.

use std::fs;
use std::path::Path;

use chrono::{TimeDelta, TimeZone, Utc};
use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::decide::{Command, decide};
use dryhold::domain::entry::{Body, CommandId, Entry, Number, Place, Time};
use dryhold::domain::rule::Rule;
use dryhold::setup::{RoomList, SAMPLE, parse_lead, parse_rooms, read_rooms, unprintable};
use proptest::prelude::*;

fn beginning() -> Time {
    Utc.with_ymd_and_hms(2026, 3, 2, 8, 0, 0).single().expect("a time that exists")
}

fn code(text: &str) -> Code {
    Code::new(text).expect("a code")
}

fn demo_list() -> RoomList {
    read_rooms(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/rooms.csv")).expect("the demo's room list is whole")
}

/// The board right after setting up.
fn set_up(list: &RoomList) -> Board {
    let mut board = Board::new();
    let settings = list.entries("Invented hospital", parse_lead("LD,L. Dorn").expect("a lead"));
    for (at, (place, body)) in settings.into_iter().enumerate() {
        board.apply(&Entry {
            number: Number(at as u64 + 1),
            noted: beginning(),
            happened: beginning(),
            done_by: code("LD"),
            noted_by: code("LD"),
            terminal: "setup".to_owned(),
            command: CommandId(at as u64 + 1),
            place,
            body,
        });
    }
    board
}

fn all_beds(board: &Board) -> Vec<Code> {
    board.facility().rooms.values().flat_map(|room| room.beds.iter().map(|bed| bed.code)).collect()
}

fn note(board: &mut Board, place: Place, body: Body, minutes: i64) {
    let number = board.last().map_or(0, |(number, _)| number.0) + 1;
    let command = Command::new(CommandId(number), place, body);
    let entry =
        decide(board, &command, code("LD"), beginning() + TimeDelta::minutes(minutes)).expect("the lead may note it");
    board.apply(&entry);
}

#[test]
fn a_new_hospital_has_no_problems_and_no_open_bed() {
    for list in [demo_list(), parse_rooms(SAMPLE.as_bytes(), false).unwrap()] {
        let board = set_up(&list);
        assert!(board.problems().is_empty(), "{:?}", board.problems());
        assert_eq!(all_beds(&board).len(), list.beds());
        for bed in all_beds(&board) {
            let rules: Vec<Rule> = board.admission(bed, beginning()).iter().map(|it| it.rule).collect();
            assert!(rules.contains(&Rule::WardWalk), "{bed}: {rules:?}");
        }
    }
}

#[test]
fn every_room_has_zones_and_stands_where_the_list_has_it() {
    let list = demo_list();
    let board = set_up(&list);
    for ward in &list.wards {
        let walked: Vec<Code> = board.facility().wards.get(&ward.code).unwrap().rooms.clone();
        let listed: Vec<Code> = list.rooms.iter().filter(|it| it.ward == ward.code).map(|it| it.code).collect();
        assert_eq!(walked, listed);
    }
    for room in &list.rooms {
        let plan = board.facility().room(room.code).unwrap();
        assert!(plan.sprayable_zones().next().is_some(), "{}", room.code);
        assert!(room.beds.iter().all(|bed| plan.mattresses(bed.code).count() == 1), "{}", room.code);
    }
}

#[test]
fn a_walk_opens_the_empty_beds_of_its_own_ward_alone() {
    let mut board = set_up(&demo_list());
    let of_ward = |board: &Board, ward: &str| -> Vec<Code> {
        all_beds(board).into_iter().filter(|bed| bed.as_str().starts_with(ward)).collect()
    };
    let seen = board.newest_of(&Place::Ward(code("3N")));
    note(&mut board, Place::Ward(code("3N")), Body::WardWalked { words: None, wet: None, seen }, 5);
    for (minutes, ward) in [(6, "3N"), (7, "4N")] {
        let empty = of_ward(&board, ward);
        let confirmed = Body::OccupancyConfirmed { occupied: vec![], empty, gone: vec![] };
        note(&mut board, Place::Ward(code(ward)), confirmed, minutes);
    }
    let later = beginning() + TimeDelta::minutes(8);
    let open = |ward| of_ward(&board, ward).iter().filter(|bed| board.admission(**bed, later).is_empty()).count();
    assert_eq!((open("3N"), open("4N")), (24, 0));
}

#[test]
fn files_are_read_from_disk_by_their_ending() {
    let folder = tempfile::tempdir().unwrap();
    let ron = folder.path().join("rooms.RON");
    fs::write(&ron, r#"(wards: [(code: "A", rooms: [(code: "1", beds: ["1-A"])])])"#).unwrap();
    assert_eq!(read_rooms(&ron).unwrap().beds(), 1);
    let csv = folder.path().join("rooms.csv");
    fs::write(&csv, "ward,room,beds\nA,1,1-A\nA,1,1-B\n").unwrap();
    let said = read_rooms(&csv).unwrap_err().to_string();
    assert!(said.contains("rooms.csv: one fault, nothing was made") && said.contains("line 3, column room"), "{said}");
    let empty = folder.path().join("empty.csv");
    fs::write(&empty, "").unwrap();
    assert!(read_rooms(&empty).unwrap_err().to_string().contains("the file is empty"));
    assert!(read_rooms(folder.path()).unwrap_err().to_string().contains("cannot be read"));
}

/// The sample with some of its bytes put out of order.
fn mangled() -> impl Strategy<Value = Vec<u8>> {
    // Rarely more than ASCII: what is no text at all is refused at once, and tests nothing else.
    let byte = prop_oneof![9 => b' '..=b'~', 1 => any::<u8>(), 2 => Just(b'"'), 2 => Just(b'\n'), 2 => Just(b',')];
    let change = (0..SAMPLE.len(), byte);
    prop::collection::vec(change, 1..4).prop_map(|changes| {
        let mut bytes = SAMPLE.as_bytes().to_vec();
        for (at, byte) in changes {
            if let Some(place) = bytes.get_mut(at) {
                *place = byte;
            }
        }
        bytes
    })
}

proptest! {
    #[test]
    fn whatever_is_in_a_file_it_is_read_or_refused_in_printable_words(
        bytes in prop_oneof![mangled(), prop::collection::vec(any::<u8>(), 0..200)],
        is_ron in prop::bool::weighted(0.1),
    ) {
        match parse_rooms(&bytes, is_ron) {
            Ok(list) => {
                let board = set_up(&list);
                prop_assert!(board.problems().is_empty(), "{:?}", board.problems());
                prop_assert!(list.rooms.iter().all(|room| unprintable(&room.name).is_none()));
            }
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(fault.line >= 1, "{fault}");
                    prop_assert!(unprintable(&fault.to_string()).is_none(), "{:?}", fault.to_string());
                }
            }
        }
    }
}

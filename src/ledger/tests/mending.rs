//! Check, repair, restore, and the mark of what was seen.

use super::*;
use crate::ledger::{check, repair, restore};

/// Damages a ledger of five, repairs it, and compares what closes everything with what should.
#[track_caller]
fn check_repair(damage: impl Fn(Vec<Vec<u8>>) -> Vec<u8>, closed: &[u64]) -> Vec<Entry> {
    let folder = Folder::new(5);
    let bad = damage(lines(&folder.bytes()));
    folder.put(&bad);
    assert!(check(&folder.path).map_or(true, |report| !report.faults.is_empty()));
    let new = folder.folder.path().join("new.ron");
    let made = repair(&folder.path, &new, Some(Tz::Europe__Berlin), None).unwrap();
    assert_eq!(folder.bytes(), bad, "the damaged one stays");
    assert_eq!(made.to_attest.iter().map(|number| number.0).collect::<Vec<_>>(), closed);
    assert!(check(&new).unwrap().faults.is_empty());
    let (mut ledger, found) = Ledger::open(&new).unwrap();
    assert_eq!(closers(&found), closed);
    assert_ne!(ledger.header().id, header().id);
    assert_eq!(ledger.header().time_zone, Tz::Europe__Berlin);
    assert!(!ledger.header().rehearsal);
    for kept in found.iter().filter(|kept| !closed.contains(&kept.number.0)) {
        assert_eq!(*kept, entries(5)[kept.number.0 as usize - 1]);
    }
    assert_eq!(made.kept as usize + closed.len(), found.len());
    add(&mut ledger, "goes on").unwrap();
    found
}

fn edited(lines: &mut [Vec<u8>], at: usize, from: &str, to: &str) {
    lines[at] = String::from_utf8(lines[at].clone()).unwrap().replacen(from, to, 1).into_bytes();
}

#[test]
fn an_edited_line_is_kept_raw_under_its_number() {
    let found = check_repair(
        |mut lines| {
            edited(&mut lines, 2, "note 2", "nothing");
            lines.concat()
        },
        &[2],
    );
    let Body::Unreadable { raw, .. } = &found[1].body else { panic!() };
    assert!(raw.starts_with("(2,\"2026") && raw.contains("nothing"));
}

#[test]
fn a_line_whose_number_was_damaged_stays_in_its_place() {
    check_repair(
        |mut lines| {
            edited(&mut lines, 3, "(3,", "(\u{fffd},");
            lines.concat()
        },
        &[3],
    );
    check_repair(
        |mut lines| {
            edited(&mut lines, 3, "(3,", "(987654321987,");
            lines.concat()
        },
        &[3],
    );
}

#[test]
fn missing_doubled_and_moved_lines() {
    check_repair(
        |mut lines| {
            lines.drain(2..4);
            lines.concat()
        },
        &[2, 3, 4],
    );
    check_repair(
        |mut lines| {
            lines.insert(5, lines[1].clone());
            lines.concat()
        },
        &[],
    );
    check_repair(
        |mut lines| {
            lines.swap(2, 5);
            lines.concat()
        },
        &[],
    );
}

#[test]
fn a_line_that_fits_nowhere_closes_everything_at_the_end() {
    check_repair(
        |mut lines| {
            lines.insert(3, lines[2].clone());
            edited(&mut lines, 3, "note 2", "note X");
            lines.concat()
        },
        &[6],
    );
}

#[test]
fn a_damaged_tail_of_a_damaged_file_is_kept_too() {
    check_repair(
        |mut lines| {
            edited(&mut lines, 2, "note 2", "nothing");
            lines.pop();
            [lines.concat(), b"(6,\"20".to_vec()].concat()
        },
        &[2, 6],
    );
}

#[test]
fn bytes_that_are_no_text_are_kept_as_well_as_they_can_be() {
    let found = check_repair(
        |mut lines| {
            lines[4] = [&lines[4][..30], b"\xff\x00\x1b[2J\r", &lines[4][30..]].concat();
            lines.concat()
        },
        &[4],
    );
    assert!(format!("{:?}", found[3].body).contains("[2J"));
}

#[test]
fn a_damaged_line_longer_than_a_line_may_be_is_cut_and_said_to_be() {
    let found = check_repair(
        |mut lines| {
            let long = "\u{1b}".repeat(20_000);
            edited(&mut lines, 4, "note 4", &long);
            lines.concat()
        },
        &[4],
    );
    assert!(format!("{:?}", found[3].body).contains("longer than is kept here"));
}

#[test]
fn a_damaged_first_line_costs_no_entry() {
    for (from, to) in [
        ("id:0x0", "id:0x1"),
        ("Berlin", "Berlan"),
        ("rehearsal:false", "rehearsal:fa"),
        ("sum:0x", "sum:0y"),
        ("sum:", "zum:"),
    ] {
        let found = check_repair(
            |mut lines| {
                edited(&mut lines, 0, from, to);
                lines.concat()
            },
            &[],
        );
        assert_eq!(found, entries(5), "{from}");
    }
}

#[test]
fn a_time_zone_that_is_no_longer_certain_is_asked_for() {
    let folder = Folder::new(2);
    let text = String::from_utf8(folder.bytes()).unwrap();
    let new = folder.folder.path().join("new.ron");
    folder.put(text.replacen("Berlin", "Dublin", 1).as_bytes());
    assert!(matches!(repair(&folder.path, &new, None, None), Err(LedgerError::TimeZoneLost { .. })));
    // Only the printed sum is wrong: the rest of the line is proved by the first entry.
    folder.put(text.replacen("sum:0x", "sum:0z", 1).as_bytes());
    assert!(repair(&folder.path, &new, None, None).is_ok());
}

#[test]
fn what_an_editor_did_to_every_line_is_taken_back() {
    check_repair(|lines| [b"\xef\xbb\xbf".to_vec(), lines.concat()].concat(), &[]);
    check_repair(|lines| String::from_utf8(lines.concat()).unwrap().replace('\n', "\r\n").into_bytes(), &[]);
}

#[test]
fn a_whole_ledger_is_not_repaired_and_nothing_is_overwritten() {
    let folder = Folder::new(2);
    let new = folder.folder.path().join("new.ron");
    assert!(matches!(repair(&folder.path, &new, None, None), Err(LedgerError::NothingDamaged { .. })));
    let mut text = lines(&folder.bytes());
    edited(&mut text, 1, "note 1", "nothing");
    folder.put(&text.concat());
    fs::write(&new, "mine").unwrap();
    assert!(matches!(repair(&folder.path, &new, None, None), Err(LedgerError::Exists { .. })));
    assert_eq!(fs::read(&new).unwrap(), b"mine");
}

#[test]
fn entries_that_this_terminal_had_seen_and_that_are_gone_count_as_missing() {
    let folder = Folder::new(4);
    let marks = folder.folder.path().join("marks");
    let (ledger, _) = folder.open();
    ledger.write_mark(&marks).unwrap();
    assert_eq!(ledger.read_mark(&marks), Some(ledger.mark()));
    let mut text = lines(&folder.bytes());
    edited(&mut text, 1, "note 1", "nothing");
    text.truncate(3);
    folder.put(&text.concat());
    let new = folder.folder.path().join("new.ron");
    let made = repair(&folder.path, &new, None, Some(&marks)).unwrap();
    assert_eq!(made.to_attest, [Number(1), Number(3), Number(4)]);
}

#[test]
fn a_mark_that_cannot_be_read_is_none() {
    let folder = Folder::new(1);
    let (ledger, _) = folder.open();
    assert_eq!(ledger.read_mark(folder.folder.path()), None);
    fs::write(folder.folder.path().join("seen-0000000000000007"), "nonsense").unwrap();
    assert_eq!(ledger.read_mark(folder.folder.path()), None);
}

#[test]
fn a_restored_copy_ends_in_an_entry_that_closes_the_hospital() {
    let folder = Folder::new(3);
    let there = folder.folder.path().join("there.ron");
    let made = restore(&folder.path, &there, at(99), code("HL"), "desk", CommandId(5)).unwrap();
    let (ledger, found) = Ledger::open(&there).unwrap();
    assert_eq!((found.len(), &found[3], ledger.header()), (4, &made, &header()));
    assert_eq!(made.place, Place::Hospital);
    assert!(matches!(made.body, Body::Restored { .. }));
    assert_eq!(lines(&fs::read(&there).unwrap())[..4], lines(&folder.bytes())[..4]);
    let again = restore(&folder.path, &there, at(99), code("HL"), "desk", CommandId(5));
    assert!(matches!(again, Err(LedgerError::Exists { .. })));
}

#[test]
fn a_copy_taken_during_an_append_is_good_and_a_damaged_one_is_refused() {
    let folder = Folder::new(3);
    let there = folder.folder.path().join("there.ron");
    let whole = folder.bytes();
    folder.put(&whole[..whole.len() - 40]);
    restore(&folder.path, &there, at(99), code("HL"), "desk", CommandId(5)).unwrap();
    assert_eq!(Ledger::open(&there).unwrap().1.len(), 3);
    let mut bad = whole;
    bad[300] ^= 1;
    folder.put(&bad);
    let refused = restore(&folder.path, &folder.folder.path().join("x"), at(99), code("HL"), "desk", CommandId(5));
    assert!(matches!(refused, Err(LedgerError::Damaged { .. })));
}

#[test]
fn a_check_names_the_line_of_what_it_does_not_understand() {
    let mut texts = covered(&entries(3));
    let start = texts[1].find("Finding").unwrap();
    texts[1] = format!("{}Teleported(to:\"4N-13\"),", &texts[1][..start]);
    let folder = Folder::new(0);
    folder.put(text_of(&header(), &texts).as_bytes());
    let report = check(&folder.path).unwrap();
    assert_eq!(
        report.faults.iter().map(|fault| (fault.line, fault.number)).collect::<Vec<_>>(),
        [(Some(3), Some(Number(2)))]
    );
    assert!(report.faults[0].what.contains("Teleported"), "{:?}", report.faults);
    let (mut ledger, found) = folder.open();
    assert_eq!(found[1].place, Place::room(code("4N-12")));
    add(&mut ledger, "one may still write").unwrap();
}

#[test]
fn a_check_writes_nothing_even_if_an_append_was_interrupted() {
    let folder = Folder::new(3);
    let cut = &folder.bytes()[..folder.bytes().len() - 20];
    folder.put(cut);
    let report = check(&folder.path).unwrap();
    assert_eq!((report.entries, report.faults.len(), report.faults[0].line), (2, 1, Some(4)));
    assert_eq!((folder.bytes(), folder.names().len()), (cut.to_vec(), 1));
}

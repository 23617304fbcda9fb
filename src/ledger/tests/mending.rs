//! Check, repair, restore, and the mark of what was seen.

use super::*;
use crate::ledger::Memory;
use crate::ledger::open::Standing;
use crate::ledger::repair::Repairing;
use crate::ledger::{check, copy, repair, restore};

fn how(marks: Option<&std::path::Path>, time_zone: Option<Tz>) -> Repairing<'_> {
    Repairing { time_zone, marks, now: at(500), by: code("HL"), terminal: "desk", command: CommandId(0x99) }
}

/// Damages a ledger of five, repairs it, and compares what closes everything with what should.
#[track_caller]
fn check_repair(damage: impl Fn(Vec<Vec<u8>>) -> Vec<u8>, closed: &[u64]) -> Vec<Entry> {
    let folder = Folder::new(5);
    let bad = damage(lines(&folder.bytes()));
    folder.put(&bad);
    assert!(check(&folder.path, None).map_or(true, |report| !report.faults.is_empty()));
    let new = folder.folder.path().join("new.ron");
    let made = repair(&folder.path, &new, &how(None, Some(Tz::Europe__Berlin))).unwrap();
    assert_eq!(folder.bytes(), bad, "the damaged one stays");
    assert_eq!(made.to_attest.iter().map(|number| number.0).collect::<Vec<_>>(), closed);
    assert!(check(&new, None).unwrap().faults.is_empty());
    let (mut ledger, mut found) = Ledger::open(&new).unwrap();
    // Nobody knows what else stood there: it ends as a restored one does.
    let last = found.pop().unwrap();
    assert_eq!((last.number, &last.place), (made.closes, &Place::Hospital));
    assert!(matches!(last.body, Body::Restored { .. }));
    assert_eq!(closers(&found), closed);
    assert_eq!(ledger.header().id, header().id, "it is the same ledger");
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
    for (from, to) in
        [("Berlin", "Berlan"), ("rehearsal:false", "rehearsal:fa"), ("sum:0x", "sum:0y"), ("sum:", "zum:")]
    {
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

/// An id that nothing proves may be another ledger's.
#[test]
fn a_damaged_id_is_not_taken_for_one() {
    let folder = Folder::new(3);
    let mut text = lines(&folder.bytes());
    edited(&mut text, 0, "id:0x0", "id:0x1");
    folder.put(&text.concat());
    let new = folder.folder.path().join("new.ron");
    let made = repair(&folder.path, &new, &how(None, Some(Tz::Europe__Berlin))).unwrap();
    assert!(made.header.id != 0x1000_0000_0000_0007 && made.header.id != header().id);
    assert_eq!(made.to_attest, []);
}

#[test]
fn a_time_zone_that_is_no_longer_certain_is_asked_for() {
    let folder = Folder::new(2);
    let text = String::from_utf8(folder.bytes()).unwrap();
    let new = folder.folder.path().join("new.ron");
    folder.put(text.replacen("Berlin", "Dublin", 1).as_bytes());
    assert!(matches!(repair(&folder.path, &new, &how(None, None)), Err(LedgerError::TimeZoneLost { .. })));
    // Only the printed sum is wrong: the rest of the line is proved by the first entry.
    folder.put(text.replacen("sum:0x", "sum:0z", 1).as_bytes());
    assert!(repair(&folder.path, &new, &how(None, None)).is_ok());
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
    assert!(matches!(repair(&folder.path, &new, &how(None, None)), Err(LedgerError::NothingDamaged { .. })));
    let mut text = lines(&folder.bytes());
    edited(&mut text, 1, "note 1", "nothing");
    folder.put(&text.concat());
    fs::write(&new, "mine").unwrap();
    assert!(matches!(repair(&folder.path, &new, &how(None, None)), Err(LedgerError::Exists { .. })));
    assert_eq!(fs::read(&new).unwrap(), b"mine");
}

#[test]
fn entries_that_this_terminal_had_seen_and_that_are_gone_count_as_missing() {
    let folder = Folder::new(4);
    let marks = folder.folder.path().join("marks");
    let (ledger, _) = folder.open();
    ledger.write_mark(&marks).unwrap();
    assert_eq!(ledger.remembered(&marks).mark, Some(ledger.mark()));
    let mut text = lines(&folder.bytes());
    edited(&mut text, 1, "note 1", "nothing");
    text.truncate(3);
    folder.put(&text.concat());
    let new = folder.folder.path().join("new.ron");
    let made = repair(&folder.path, &new, &how(Some(&marks), None)).unwrap();
    assert_eq!(made.to_attest, [Number(1), Number(3), Number(4)]);
}

#[test]
fn a_mark_that_cannot_be_read_is_none_and_one_from_when_there_were_no_paths_counts() {
    let folder = Folder::new(1);
    let (ledger, _) = folder.open();
    let marks = folder.folder.path();
    assert_eq!(ledger.remembered(marks), Memory::default());
    let old = marks.join("seen-0000000000000007");
    fs::write(&old, "nonsense").unwrap();
    assert_eq!(ledger.remembered(marks).mark, None);
    fs::write(&old, "9 0x0123456789abcdef\n").unwrap();
    let mark = ledger.remembered(marks).mark.unwrap();
    assert_eq!((mark.number, ledger.holds(&mark), ledger.kept_of(&mark)), (Number(9), false, None));
    ledger.write_mark(marks).unwrap();
    assert!(!old.exists(), "the new one takes its place");
    assert_eq!(ledger.remembered(marks).mark, Some(ledger.mark()));
}

/// A copy that goes on takes nothing from the file that it was made of: each file has a mark of its own.
#[test]
fn a_copy_that_went_further_is_known_and_the_other_is_not_behind_itself() {
    let folder = Folder::new(200);
    let marks = folder.folder.path().join("marks");
    let (mut ledger, _) = folder.open();
    ledger.write_mark(&marks).unwrap();
    let there = folder.folder.path().join("copy.ron");
    fs::copy(&folder.path, &there).unwrap();
    let (mut other, _) = Ledger::open(&there).unwrap();
    assert_eq!(other.further(&other.remembered(&marks)), []);
    add(&mut other, "in the copy").unwrap();
    other.write_mark(&marks).unwrap();
    let memory = ledger.remembered(&marks);
    assert!(ledger.holds(memory.mark.as_ref().unwrap()));
    let further = ledger.further(&memory);
    assert_eq!((further.len(), further[0].number), (1, Number(201)));
    assert!(further[0].path.ends_with("copy.ron"));
    // Where the two went different ways, how far they go along is known to the entry.
    for note in ["one", "two", "three"] {
        add(&mut ledger, note).unwrap();
    }
    let mark = other.mark();
    assert_eq!((ledger.holds(&mark), ledger.kept_of(&mark)), (false, Some(Number(200))));
    // Far back it is known to be within one of ever fewer.
    for note in 0..99 {
        add(&mut other, &format!("{note}")).unwrap();
    }
    let kept = ledger.kept_of(&other.mark()).unwrap().0;
    assert!((100..=200).contains(&kept), "{kept}");
}

#[test]
fn a_practice_copy_has_the_whole_history_and_an_id_of_its_own() {
    let folder = Folder::new(5);
    let there = folder.folder.path().join("practice.ron");
    let made = copy(&folder.path, &there).unwrap();
    let (ledger, found) = Ledger::open(&there).unwrap();
    assert_eq!((found, ledger.header(), ledger.standing()), (entries(5), &made, &Standing::Whole));
    assert!(made.rehearsal && made.id != header().id && made.time_zone == header().time_zone);
    assert!(matches!(copy(&folder.path, &there), Err(LedgerError::Exists { .. })));
    let whole = folder.bytes();
    folder.put(&whole[..whole.len() - 30]);
    let elsewhere = folder.folder.path().join("none.ron");
    assert!(matches!(copy(&folder.path, &elsewhere), Err(LedgerError::EndLost { .. })));
    assert!(!elsewhere.exists());
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
    let report = check(&folder.path, None).unwrap();
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
fn a_check_says_what_was_lost_and_writes_nothing() {
    let folder = Folder::new(3);
    let cut = &folder.bytes()[..folder.bytes().len() - 20];
    folder.put(cut);
    let report = check(&folder.path, None).unwrap();
    assert_eq!((report.entries, report.faults.len(), report.faults[0].line), (2, 1, Some(4)));
    let told = &report.faults[0].what;
    assert!(told.contains("behind entry 2") && told.contains("(3,"), "{told}");
    assert_eq!((folder.bytes(), folder.names().len()), (cut.to_vec(), 1));
}

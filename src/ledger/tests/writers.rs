//! Several writers, and files that change under an open ledger.

use std::sync::Arc;
use std::time::Duration;

use super::*;
use crate::ledger::lock;
use crate::ledger::{Standing, check};

#[test]
fn writers_at_once_lose_nothing_and_number_without_gaps() {
    let folder = Folder::new(1);
    std::thread::scope(|scope| {
        for writer in 0..4 {
            let path = &folder.path;
            scope.spawn(move || {
                let (mut ledger, _) = Ledger::open(path).unwrap();
                for turn in 0..15 {
                    add(&mut ledger, &format!("{writer}/{turn}")).unwrap();
                }
            });
        }
    });
    let (_, found) = folder.open();
    assert_eq!(found.iter().map(|entry| entry.number.0).collect::<Vec<_>>(), (1..=61).collect::<Vec<_>>());
    let mut notes: Vec<_> = found[1..].iter().map(|entry| format!("{:?}", entry.body)).collect();
    notes.sort();
    notes.dedup();
    assert_eq!(notes.len(), 60);
    assert!(check(&folder.path, None).unwrap().faults.is_empty());
}

#[test]
fn a_decision_is_taken_on_what_others_wrote_meanwhile() {
    let folder = Folder::new(1);
    let ((mut one, _), (mut two, _)) = (folder.open(), folder.open());
    add(&mut one, "first").unwrap();
    let refused = two.append(|news| {
        assert_eq!((news.from_start, news.entries.len()), (false, 1));
        Err::<Entry, _>("somebody was faster")
    });
    assert!(matches!(refused, Ok(Appended::Refused("somebody was faster"))));
    assert_eq!(add(&mut two, "second").unwrap().number, Number(3));
    let news = one.follow().unwrap();
    assert_eq!((news.from_start, news.entries), (false, vec![entry(3, "second")]));
    assert!(one.follow().unwrap().is_empty());
}

#[test]
fn an_entry_with_a_number_that_is_taken_is_not_written() {
    let folder = Folder::new(2);
    let before = folder.bytes();
    let (mut ledger, _) = folder.open();
    let told = ledger.append(|_| Ok::<_, ()>(entry(2, "again"))).unwrap_err();
    assert!(matches!(told, LedgerError::Unwritable { .. }));
    assert_eq!(folder.bytes(), before);
}

#[test]
fn a_lock_that_is_held_is_waited_for_and_then_said() {
    let folder = Folder::new(1);
    let file = Arc::new(fs::File::open(&folder.path).unwrap());
    let held = lock::lock(&file, &folder.path, Duration::ZERO).unwrap();
    let other = Arc::new(fs::File::open(&folder.path).unwrap());
    assert!(matches!(lock::lock(&other, &folder.path, Duration::ZERO), Err(LedgerError::Busy { .. })));
    drop(held);
    assert!(lock::lock(&other, &folder.path, Duration::ZERO).is_ok());
}

#[test]
fn a_file_put_in_its_place_is_read_anew() {
    let folder = Folder::new(2);
    let (mut ledger, _) = folder.open();
    let next = folder.folder.path().join("next.ron");
    create(&next, &header(), &entries(4)).unwrap();
    fs::rename(&next, &folder.path).unwrap();
    let news = ledger.follow().unwrap();
    assert_eq!((news.from_start, news.entries.len()), (true, 4));
    assert_eq!(add(&mut ledger, "goes on").unwrap().number, Number(5));

    create(&next, &header(), &entries(3)).unwrap();
    fs::rename(&next, &folder.path).unwrap();
    assert_eq!(add(&mut ledger, "in the newest file").unwrap().number, Number(4));
    assert_eq!(folder.open().1.len(), 4);
}

#[test]
fn another_ledger_in_its_place_is_not_taken_for_it() {
    let folder = Folder::new(2);
    let (mut ledger, _) = folder.open();
    let next = folder.folder.path().join("next.ron");
    create(&next, &Header { id: 8, ..header() }, &entries(2)).unwrap();
    fs::rename(&next, &folder.path).unwrap();
    let before = folder.bytes();
    assert!(matches!(ledger.follow(), Err(LedgerError::Replaced { .. })));
    assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Replaced { .. })));
    assert_eq!(folder.bytes(), before);
}

#[test]
fn a_file_that_is_gone_is_said_and_followed_again_when_it_is_back() {
    let folder = Folder::new(2);
    let (mut ledger, _) = folder.open();
    let aside = folder.folder.path().join("aside.ron");
    fs::rename(&folder.path, &aside).unwrap();
    assert!(matches!(ledger.follow(), Err(LedgerError::Missing { .. })));
    assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Missing { .. })));
    fs::rename(&aside, &folder.path).unwrap();
    assert!(ledger.follow().unwrap().is_empty());
    add(&mut ledger, "back").unwrap();
}

#[test]
fn an_older_copy_put_into_the_same_file_is_noticed() {
    let folder = Folder::new(3);
    let older = folder.bytes();
    let (mut ledger, _) = folder.open();
    add(&mut ledger, "later").unwrap();
    let mark = ledger.mark();
    assert!(ledger.holds(&mark));
    folder.put(&older);
    let news = ledger.follow().unwrap();
    assert_eq!((news.from_start, news.entries.len()), (true, 3));
    assert!(!ledger.holds(&mark));
    // A longer one on which other entries follow is no better.
    folder.put(text_of(&header(), &covered(&(1..=9).map(|n| entry(n, "other")).collect::<Vec<_>>())).as_bytes());
    assert!(ledger.follow().unwrap().from_start);
    assert!(!ledger.holds(&mark));
}

#[test]
fn damage_that_comes_while_it_is_open_stops_all_writing() {
    let folder = Folder::new(3);
    let (mut ledger, _) = folder.open();
    let whole = folder.bytes();
    folder.put(&[&whole[..whole.len() - 3], b"garbage of an editor\n])\n"].concat());
    assert!(ledger.follow().unwrap().is_empty(), "somebody may just be writing");
    let news = ledger.follow_with(Duration::ZERO).unwrap();
    assert!(news.from_start && matches!(ledger.standing(), Standing::Damaged { line: 5, .. }));
    assert_eq!(closers(&news.entries), [4]);
    assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Damaged { .. })));
    assert!(ledger.follow().unwrap().is_empty());
    // Mended by hand, it is the ledger again.
    folder.put(&whole);
    let fresh = folder.folder.path().join("fresh");
    fs::write(&fresh, &whole).unwrap();
    fs::rename(&fresh, &folder.path).unwrap();
    assert!(ledger.follow().unwrap().from_start);
    assert_eq!(*ledger.standing(), Standing::Whole);
}

#[test]
fn an_append_meets_damage_that_nobody_had_seen() {
    let folder = Folder::new(3);
    let (mut ledger, _) = folder.open();
    let whole = folder.bytes();
    let bad = [&whole[..whole.len() - 3], b"garbage of an editor\n])\n"].concat();
    folder.put(&bad);
    assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Damaged { line: 5, .. })));
    assert_eq!(folder.bytes(), bad);
    assert!(ledger.follow().unwrap().from_start);
}

#[test]
fn the_lost_end_of_another_is_closed_before_anything_is_noted() {
    let folder = Folder::new(3);
    let (mut ledger, _) = folder.open();
    let whole = folder.bytes();
    folder.put(&[&whole[..whole.len() - 3], b"(4,\"2026-"].concat());
    assert!(ledger.follow().unwrap().is_empty(), "somebody may just be writing");
    assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::EndLost { .. })));
    assert_eq!(ledger.close_lost_end(&end_lost).unwrap().map(|entry| entry.number), Some(Number(4)));
    assert_eq!(add(&mut ledger, "next").unwrap().number, Number(5));
    assert_eq!((folder.open().1.len(), folder.names().len()), (5, 2));
}

#[test]
fn a_lost_end_that_stays_is_seen_by_whoever_looks_and_closed_once() {
    let folder = Folder::new(3);
    let ((mut one, _), (mut other, _)) = (folder.open(), folder.open());
    let whole = folder.bytes();
    folder.put(&[&whole[..whole.len() - 3], b"(4,\"2026-"].concat());
    for ledger in [&mut one, &mut other] {
        assert!(ledger.follow_with(Duration::ZERO).unwrap().from_start);
        assert!(matches!(ledger.standing(), Standing::Broken(_)));
        assert!(ledger.follow_with(Duration::ZERO).unwrap().is_empty(), "it is the same as before");
    }
    assert!(one.close_lost_end(&end_lost).unwrap().is_some());
    assert!(other.close_lost_end(&end_lost).unwrap().is_none(), "somebody else was first");
    assert_eq!(other.follow().unwrap().entries.len(), 4);
    assert_eq!(*other.standing(), Standing::Whole);
    add(&mut other, "next").unwrap();
    assert_eq!(one.follow().unwrap().entries.len(), 2, "its own, and the next");
}

/// Looking never waits for a lock, and never writes.
#[test]
fn whoever_only_looks_waits_for_no_lock_and_writes_nothing() {
    let folder = Folder::new(3);
    let whole = folder.bytes();
    let broken = [&whole[..whole.len() - 3], b"(4,\"2026-"].concat();
    for bytes in [whole, broken] {
        folder.put(&bytes);
        let file = Arc::new(fs::File::open(&folder.path).unwrap());
        let held = lock::lock(&file, &folder.path, Duration::ZERO).unwrap();
        let access = Access { only_looks: true, marks: None };
        let began = std::time::Instant::now();
        let (mut ledger, found) = Ledger::open_for(&folder.path, access).unwrap();
        assert!(began.elapsed() < Duration::from_secs(5), "{:?}", began.elapsed());
        assert_eq!(found.len(), 3);
        assert!(ledger.close_lost_end(&end_lost).unwrap().is_none());
        assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::ReadOnly { .. })));
        drop(held);
        assert!(ledger.follow_with(Duration::ZERO).unwrap().is_empty());
        assert_eq!((folder.bytes(), folder.names().len()), (bytes, 1));
    }
}

/// As an editor or a bad disk does it: the file is written, and keeps its length.
fn with_a_flipped_bit(folder: &Folder, at: usize) -> Vec<u8> {
    let mut bytes = folder.bytes();
    bytes[at] ^= 1;
    bytes
}

#[test]
fn a_line_that_changes_under_an_open_ledger_is_noticed_wherever_it_stands() {
    let length = Folder::new(12).bytes().len();
    for at in (0..length - 60).step_by(97) {
        for at_once in [1, 150, 1 << 20] {
            let folder = Folder::new(12);
            let (mut ledger, _) = folder.open();
            folder.put(&with_a_flipped_bit(&folder, at));
            // A file's times are coarse: two writings within one tick have the same.
            let file = fs::File::options().write(true).open(&folder.path).unwrap();
            file.set_modified(std::time::SystemTime::UNIX_EPOCH + Duration::from_secs(at as u64)).unwrap();
            let mut looks = 0;
            let news = loop {
                looks += 1;
                assert!(looks < 40, "byte {at}, {at_once} at once");
                match ledger.look_again_at(at_once) {
                    Ok(()) if ledger.pending.from_start => break Some(ledger.follow().unwrap()),
                    Ok(()) => {}
                    // The header is no ledger's any more.
                    Err(error) => {
                        assert!(error.is_damage(), "{error}");
                        break None;
                    }
                }
            };
            if news.is_some() {
                assert!(matches!(ledger.standing(), Standing::Damaged { .. }), "byte {at}");
                assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Damaged { .. })));
            }
        }
    }
}

#[test]
fn what_others_add_is_no_change_and_is_read_once() {
    let folder = Folder::new(3);
    let ((mut one, _), (mut other, _)) = (folder.open(), folder.open());
    for turn in 0..20 {
        add(&mut other, &format!("{turn}, and more than one look reads: {}", "long ".repeat(50))).unwrap();
        for _ in 0..3 {
            one.look_again_at(64).unwrap();
            assert!(!one.pending.from_start);
        }
        let news = one.follow().unwrap();
        assert_eq!((news.from_start, news.entries.len()), (false, 1));
    }
    assert_eq!(*one.standing(), Standing::Whole);
}

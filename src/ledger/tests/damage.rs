//! What a power cut leaves behind is closed and nothing that was said to be done is lost; what anything else does to the
//! file is noticed, and nothing is written or cut.

use super::*;
use crate::ledger::Standing;
use crate::ledger::check;
use crate::ledger::scan::{Verdict, classify};

/// Wherever a file is cut, what is whole is kept, and everything is closed before anything else is noted: whole lines may
/// have stood behind.
#[test]
fn cut_at_every_byte_it_keeps_what_is_whole_closes_everything_and_goes_on() {
    let whole = Folder::new(4);
    let bytes = whole.bytes();
    let ends: Vec<usize> = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at + 1).collect();
    let folder = Folder::new(0);
    for cut in 0..bytes.len() {
        folder.put(&bytes[..cut]);
        for name in folder.names().iter().filter(|name| name.contains(".torn-")) {
            fs::remove_file(folder.folder.path().join(name)).unwrap();
        }
        let Ok((mut ledger, found)) = Ledger::open(&folder.path) else {
            assert!(cut < ends[0], "cut at {cut} was refused");
            assert_eq!(folder.bytes(), &bytes[..cut], "a file that is refused is left alone");
            continue;
        };
        // A line that lacks no more than its last signs is whole.
        let kept = ends[1..=4].iter().filter(|end| **end <= cut + 3).count() as u64;
        assert_eq!(found, entries(kept), "cut at {cut}");
        let Standing::Broken(lost) = ledger.standing().clone() else { panic!("cut at {cut}: {:?}", ledger.standing()) };
        assert_eq!(lost.after, Number(kept), "cut at {cut}");
        assert_eq!(folder.bytes(), &bytes[..cut], "opening changes nothing");
        // Each line's end, and some of what lies between: writing is several syncs each time.
        if cut % 11 > 0 && !ends.iter().any(|end| cut.abs_diff(*end) < 6) {
            continue;
        }
        assert!(matches!(ledger.append(|_| Ok::<_, ()>(entry(kept + 1, "x"))), Err(LedgerError::EndLost { .. })));
        assert_eq!(ledger.close_lost_end(&end_lost).unwrap().unwrap().number, Number(kept + 1), "cut at {cut}");
        let torn: Vec<_> = folder.names().into_iter().filter(|name| name.contains(".torn-")).collect();
        let before = ends[1..=4].iter().filter(|end| **end <= cut).count();
        let rest = &bytes[ends[before]..cut];
        if b"])\n".starts_with(rest) {
            assert!(torn.is_empty(), "{torn:?}");
        } else {
            assert_eq!(fs::read(folder.folder.path().join(&torn[0])).unwrap(), rest);
        }
        assert_eq!(add(&mut ledger, "next").unwrap().number, Number(kept + 2));
        assert!(check(&folder.path, None).unwrap().faults.is_empty(), "cut at {cut}");
        assert_eq!(folder.open().1[kept as usize], end_lost(Number(kept + 1)));
    }
}

/// An append of this terminal that was interrupted anywhere is finished: nothing is lost, and nothing more is closed.
#[test]
fn its_own_append_that_stops_at_any_byte_is_finished_as_if_it_had_gone_well() {
    let (before, after) = (Folder::new(3).bytes(), Folder::new(4).bytes());
    let start = before.len() - 3;
    let folder = Folder::new(3);
    let access = remembers(&folder);
    // Each third byte: every case is several openings and syncs.
    for reached in (start + 3..after.len()).step_by(3) {
        for holes in [false, true] {
            folder.put(&before);
            let ledger = Ledger::open_for(&folder.path, access.clone()).unwrap().0;
            ledger.begin(std::str::from_utf8(&after[start..after.len() - 3]).unwrap());
            let mut state = after[..reached].to_vec();
            if holes {
                // A block of it never arrived.
                let middle = (start + (reached - start) / 2).max(start + 3);
                state[start + 3..middle].fill(0);
            }
            folder.put(&state);
            // Another terminal cannot know.
            assert!(matches!(folder.open().0.standing(), Standing::Broken(_)), "{reached}");
            let (mut ledger, found) = Ledger::open_for(&folder.path, access.clone()).unwrap();
            assert_eq!((found, ledger.standing()), (entries(4), &Standing::Whole), "{reached}");
            assert_eq!(folder.bytes(), state, "opening changes nothing");
            if !(reached - start).is_multiple_of(9) {
                continue;
            }
            assert_eq!(add(&mut ledger, "next").unwrap().number, Number(5));
            assert_eq!(folder.open().1[..4], entries(4), "{reached}");
            assert!(check(&folder.path, None).unwrap().faults.is_empty());
        }
    }
}

/// What it had begun says nothing of another end: not of one that was cut behind what it had kept.
#[test]
fn what_a_terminal_had_begun_excuses_nothing_else() {
    let folder = Folder::new(3);
    let access = remembers(&folder);
    let (mut ledger, _) = Ledger::open_for(&folder.path, access.clone()).unwrap();
    add(&mut ledger, "kept").unwrap();
    let whole = folder.bytes();
    for cut in [4, 20, 100] {
        folder.put(&whole[..whole.len() - cut]);
        let opened = Ledger::open_for(&folder.path, access.clone()).unwrap().0;
        assert!(matches!(opened.standing(), Standing::Broken(_)), "cut by {cut}");
    }
    // Begun on another history, or other bytes than were begun.
    ledger.begin("(5,\"of another history\",0x0000000000000000),\n");
    folder.put(&[&whole[..whole.len() - 3], b"(5,\"of ano"].concat());
    assert!(matches!(Ledger::open_for(&folder.path, access).unwrap().0.standing(), Standing::Broken(_)));
}

/// Whole blocks at the end that read as nothing, as after a crash of the disk's own.
#[test]
fn zeroed_ends_close_everything_and_keep_what_is_whole() {
    for zeroed in [4, 300, 700, 4096, 60_000] {
        let folder = Folder::new(600);
        let mut bytes = folder.bytes();
        let from = bytes.len() - zeroed;
        bytes[from..].fill(0);
        folder.put(&bytes);
        let (mut ledger, found) = folder.open();
        assert!(matches!(ledger.standing(), Standing::Broken(_)), "{zeroed}: {:?}", ledger.standing());
        assert_eq!(found, entries(found.len() as u64));
        assert!(!check(&folder.path, None).unwrap().faults.is_empty());
        ledger.close_lost_end(&end_lost).unwrap().unwrap();
        add(&mut ledger, "next").unwrap();
        assert!(check(&folder.path, None).unwrap().faults.is_empty());
    }
}

/// The new bytes of an append reach the disk one by one in this test, the old tail still behind them.
#[test]
fn an_append_that_stops_at_any_byte_is_never_damage() {
    let before = Folder::new(3).bytes();
    let after = Folder::new(4).bytes();
    let value = Folder::new(3).open().0.chain_at(3).unwrap();
    let start = before.len() - 3;
    for reached in start..after.len() {
        let mut state = after[..reached].to_vec();
        state.extend(before.get(reached..).unwrap_or_default());
        let rest = &state[start..];
        let expected = if reached == start { Verdict::Clean } else { Verdict::Broken };
        let verdict = classify(rest, value);
        // With its last line feed there the line is whole: it then counts, and only the tail is missing.
        let is_whole = reached >= after.len() - 3;
        assert!(is_whole || verdict == expected, "{reached}: {verdict:?}");
    }
}

#[test]
fn every_flipped_bit_of_the_last_lines_is_noticed() {
    let folder = Folder::new(3);
    let bytes = folder.bytes();
    let second = lines(&bytes)[..2].concat().len();
    for bit in second * 8..bytes.len() * 8 {
        let mut flipped = bytes.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        folder.put(&flipped);
        assert_ne!(check(&folder.path, None).unwrap().faults, [], "bit {bit} was taken");
        let (mut ledger, found) = folder.open();
        if bit / 8 >= bytes.len() - 3 {
            assert_eq!(found, entries(3));
            assert!(matches!(ledger.standing(), Standing::Broken(_)), "bit {bit}: {:?}", ledger.standing());
            continue;
        }
        assert!(matches!(ledger.standing(), Standing::Damaged { .. }), "bit {bit}: {:?}", ledger.standing());
        assert!(!closers(&found).is_empty(), "bit {bit}");
        assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Damaged { .. })));
        assert_eq!(folder.bytes(), flipped, "a damaged file is left alone");
    }
}

#[track_caller]
fn check_damage(mend: impl Fn(&mut Vec<Vec<u8>>), line: u64, closed: &[u64]) {
    let folder = Folder::new(5);
    let mut text = lines(&folder.bytes());
    mend(&mut text);
    folder.put(&text.concat());
    let (mut ledger, found) = folder.open();
    let Standing::Damaged { line: told, .. } = ledger.standing() else { panic!("{:?}", ledger.standing()) };
    assert_eq!(*told, line);
    assert_eq!(closers(&found), closed);
    for kept in found.iter().filter(|kept| !closed.contains(&kept.number.0)) {
        assert_eq!(*kept, entries(5)[kept.number.0 as usize - 1]);
    }
    assert!(matches!(add(&mut ledger, "x"), Err(LedgerError::Damaged { .. })));
    assert_eq!(folder.bytes(), text.concat());
    assert!(!folder.names().iter().any(|name| name.contains("torn")));
}

#[test]
fn a_line_edited_by_hand_closes_everything_and_the_others_are_read() {
    check_damage(
        |lines| lines[3] = String::from_utf8(lines[3].clone()).unwrap().replace("note 3", "note!").into(),
        4,
        &[3],
    );
}

#[test]
fn a_line_taken_out_is_missed_and_the_one_after_it_not_believed() {
    check_damage(|lines| drop(lines.remove(3)), 4, &[3, 4]);
}

#[test]
fn a_line_written_twice_or_in_another_place_is_damage_of_the_order_alone() {
    check_damage(|lines| lines.insert(3, lines[2].clone()), 4, &[]);
    check_damage(|lines| lines.swap(3, 4), 4, &[]);
}

#[test]
fn a_line_from_another_ledger_is_not_believed() {
    let other = text_of(&Header { id: 8, ..header() }, &covered(&entries(5)));
    let foreign = lines(other.as_bytes());
    check_damage(|lines| lines[3] = foreign[3].clone(), 4, &[3, 4]);
    check_damage(|lines| lines.insert(6, foreign[1].clone()), 7, &[6]);
}

#[test]
fn numbers_that_jump_are_damage_even_if_the_chain_was_worked_out_anew() {
    let mut texts = covered(&entries(5));
    texts.remove(2);
    let folder = Folder::new(0);
    folder.put(text_of(&header(), &texts).as_bytes());
    let (ledger, found) = folder.open();
    assert!(matches!(ledger.standing(), Standing::Damaged { line: 4, .. }));
    assert_eq!(closers(&found), [3], "the one that is missing closes everything");
}

#[test]
fn what_follows_a_closed_document_is_put_aside() {
    let folder = Folder::new(2);
    let whole = folder.bytes();
    folder.put(&[&whole[..], b"stray"].concat());
    let (mut ledger, found) = folder.open();
    assert!(matches!(ledger.standing(), Standing::Broken(_)), "{:?}", ledger.standing());
    assert_eq!(found.len(), 2);
    ledger.close_lost_end(&end_lost).unwrap().unwrap();
    assert_eq!(folder.open().1.len(), 3);
    assert_eq!(folder.names().len(), 2);
}

#[test]
fn padding_behind_the_document_is_fine() {
    let folder = Folder::new(2);
    folder.put(&[&folder.bytes()[..], &[b'\t'; 900]].concat());
    let (mut ledger, _) = folder.open();
    assert_eq!(*ledger.standing(), Standing::Whole);
    add(&mut ledger, "over the padding").unwrap();
    assert_eq!(folder.open().1.len(), 3);
}

#[test]
fn one_broken_line_of_many_megabytes_is_damage_and_read_in_bounds() {
    let folder = Folder::new(1);
    let mut bytes = folder.bytes();
    bytes.truncate(bytes.len() - 3);
    bytes.resize(3_000_000, b'x');
    folder.put(&bytes);
    let (ledger, found) = folder.open();
    assert!(matches!(ledger.standing(), Standing::Damaged { line: 3, .. }));
    assert_eq!(closers(&found), [2]);
}

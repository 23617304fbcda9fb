//! A disk that fails: nothing is said to be done that is not, and nothing that was done is lost.

use std::cell::{Cell, RefCell};
use std::io;

use super::*;
use crate::ledger::check;
use crate::ledger::header::TAIL;
use crate::ledger::medium::{Medium, Source, Written, add_line, put_tail};
use crate::ledger::planned::{FAILS, WORKS, are_unsaved, plan};
use crate::ledger::scan::{Point, Verdict, classify, walk};

/// A file in memory that fails where it is told to.
#[derive(Default)]
struct Failing {
    bytes: RefCell<Vec<u8>>,
    /// Bytes that may still be written.
    space: Cell<usize>,
    /// At most so many bytes a write.
    at_once: Cell<usize>,
    /// How many syncs fail from now on.
    bad_syncs: Cell<usize>,
    /// A write that says more than it did.
    lies: Cell<bool>,
}

impl Failing {
    fn new(bytes: &[u8]) -> Self {
        let failing = Self { bytes: RefCell::new(bytes.to_vec()), ..Self::default() };
        failing.space.set(usize::MAX);
        failing.at_once.set(usize::MAX);
        failing
    }
}

impl Source for Failing {
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<usize> {
        self.bytes.borrow().read_at(buffer, offset)
    }
}

impl Medium for Failing {
    fn write_at(&self, bytes: &[u8], offset: u64) -> io::Result<usize> {
        let length = bytes.len().min(self.space.get()).min(self.at_once.get());
        if length == 0 {
            return Err(io::ErrorKind::StorageFull.into());
        }
        self.space.set(self.space.get() - length);
        let mut file = self.bytes.borrow_mut();
        let start = offset as usize;
        let end = start + length;
        if file.len() < end {
            file.resize(end, 0);
        }
        file[start..end].copy_from_slice(&bytes[..length]);
        if self.lies.take() {
            file[start] ^= 1;
        }
        Ok(length)
    }
    fn set_len(&self, length: u64) -> io::Result<()> {
        self.bytes.borrow_mut().resize(length as usize, 0);
        Ok(())
    }
    fn sync_data(&self) -> io::Result<()> {
        match self.bad_syncs.get() {
            0 => Ok(()),
            left => {
                self.bad_syncs.set(left - 1);
                Err(io::Error::other("the disk is gone"))
            }
        }
    }
}

/// Three entries, where they begin and end, and the line of a fourth.
fn state() -> (Vec<u8>, Point, Point, String) {
    let bytes = text_of(&header(), &covered(&entries(3))).into_bytes();
    let start = Point { offset: header().line().len() as u64, number: 0, chain: header().sum() };
    let end = walk(&bytes, start, at(0)).unwrap().end;
    let (line, _) = line::write(&entry(4, "the fourth"), end.chain).unwrap();
    (bytes, start, end, line)
}

/// Reads the disk as a new opening would, and says how many entries stand there.
#[track_caller]
fn check_whole(disk: &Failing, start: Point) -> u64 {
    let bytes = disk.bytes.borrow().clone();
    let found = walk(&bytes, start, at(0)).unwrap();
    assert!(!matches!(classify(&found.rest, found.end.chain), Verdict::Damaged(_)));
    found.end.number
}

#[test]
fn a_disk_that_is_full_at_any_byte_leaves_the_file_as_it_was() {
    let (bytes, start, end, line) = state();
    for space in 0..line.len() + TAIL.len() {
        let disk = Failing::new(&bytes);
        disk.space.set(space);
        // Space enough to write what stood there again, once the new bytes are given up.
        let outcome = add_line(&disk, end, end, &line);
        let is_undone = space == 0;
        assert!(matches!(outcome, Written::Not(_)) == is_undone, "space for {space}");
        assert_eq!(check_whole(&disk, start), if space >= line.len() { 4 } else { 3 }, "space for {space}");
        disk.space.set(usize::MAX);
        put_tail(&disk, end, end).unwrap();
        assert_eq!(*disk.bytes.borrow(), bytes, "space for {space}");
    }
}

#[test]
fn short_writes_are_gone_on_with() {
    let (bytes, start, end, line) = state();
    let disk = Failing::new(&bytes);
    disk.at_once.set(7);
    assert!(matches!(add_line(&disk, end, end, &line), Written::Kept));
    assert_eq!(check_whole(&disk, start), 4);
    assert!(disk.bytes.borrow().ends_with(b"),\n])\n"));
}

#[test]
fn a_failed_sync_is_undone_and_not_said_to_be_done() {
    let (bytes, start, end, line) = state();
    let disk = Failing::new(&bytes);
    disk.bad_syncs.set(1);
    assert!(matches!(add_line(&disk, start, end, &line), Written::Not(_)));
    assert_eq!(*disk.bytes.borrow(), bytes);
}

#[test]
fn if_the_undoing_fails_too_the_outcome_is_unknown() {
    let (bytes, start, end, line) = state();
    let disk = Failing::new(&bytes);
    disk.bad_syncs.set(2);
    assert!(matches!(add_line(&disk, start, end, &line), Written::Unknown(_)));
}

#[test]
fn a_write_that_lied_is_noticed_before_anything_is_said() {
    let (bytes, start, end, line) = state();
    let disk = Failing::new(&bytes);
    disk.lies.set(true);
    assert!(matches!(add_line(&disk, start, end, &line), Written::Not(_)));
    assert_eq!(*disk.bytes.borrow(), bytes);
}

#[test]
fn nothing_is_closed_behind_lines_that_have_changed() {
    let (mut bytes, start, end, _) = state();
    bytes[start.offset as usize + 20] ^= 1;
    let disk = Failing::new(&bytes);
    assert!(put_tail(&disk, start, end).is_err());
    assert_eq!(*disk.bytes.borrow(), bytes);
}

/// Opened, and what stands in it made durable by a first append.
fn settled(folder: &Folder) -> Ledger {
    let (mut ledger, _) = folder.open();
    add(&mut ledger, "first").unwrap();
    ledger
}

#[test]
fn an_open_ledger_goes_on_after_a_sync_that_failed_once() {
    let folder = Folder::new(3);
    let mut ledger = settled(&folder);
    let before = folder.bytes();
    plan(&[], &[FAILS]);
    let told = add(&mut ledger, "x").unwrap_err();
    assert!(
        matches!(&told, LedgerError::NotRecorded { .. }) && told.to_string().contains("nothing was noted"),
        "{told}"
    );
    assert_eq!(folder.bytes(), before);
    assert_eq!(add(&mut ledger, "again").unwrap().number, Number(5));
    assert!(!are_unsaved());
    assert!(check(&folder.path, None).unwrap().faults.is_empty());
}

/// The line is in the file, and neither its sync nor its undoing worked.
#[track_caller]
fn end_unsure(ledger: &mut Ledger) {
    plan(&[WORKS, FAILS], &[FAILS]);
    let number = ledger.last().0 + 1;
    let ended = ledger.append(|_| Ok::<_, ()>(entry(number, "in doubt"))).unwrap();
    let Appended::Unsure(told) = ended else { panic!("{ended:?}") };
    assert!(told.to_string().contains("it is not known"), "{told}");
    assert!(are_unsaved(), "the system takes it for saved, and the disk does not have it");
}

/// After a failed sync the system calls those bytes saved: another sync alone saves nothing, and says that all is well. So
/// they are written again before anything is said of them, in this process and in the next.
#[test]
fn after_an_append_in_doubt_what_stands_there_is_written_again_before_anything_is_said_of_it() {
    let folder = Folder::new(3);
    let mut ledger = settled(&folder);
    end_unsure(&mut ledger);
    let news = ledger.follow().unwrap();
    assert_eq!((news.from_start, news.entries.len()), (true, 5), "it is shown");
    let found = ledger.append(|_| Err::<Entry, _>("it is there already")).unwrap();
    assert!(matches!(found, Appended::Refused(_)));
    assert!(!are_unsaved(), "and by the time at which anything is said, it is saved");
    end_unsure(&mut ledger);
    assert_eq!(add(&mut ledger, "next").unwrap().number, Number(7));
    assert!(!are_unsaved());
    // Another process finds it in the system's memory.
    end_unsure(&mut ledger);
    drop(ledger);
    let (mut other, found) = folder.open();
    assert_eq!(found.len(), 8);
    assert_eq!(add(&mut other, "of the other").unwrap().number, Number(9));
    assert!(!are_unsaved());
}

/// As long as it cannot be written again, nothing is said to be done.
#[test]
fn a_disk_that_goes_on_failing_takes_nothing() {
    let folder = Folder::new(3);
    let mut ledger = settled(&folder);
    end_unsure(&mut ledger);
    for (writes, syncs) in [(&[FAILS][..], &[][..]), (&[], &[FAILS])] {
        plan(writes, syncs);
        let told = ledger.append(|_| Err::<Entry, _>("it would be decided on what is not saved")).unwrap_err();
        assert!(matches!(told, LedgerError::NotRecorded { .. }), "{told}");
    }
    assert_eq!(add(&mut ledger, "mended").unwrap().number, Number(6));
    assert!(!are_unsaved());
    assert_eq!(folder.open().1.len(), 6);
}

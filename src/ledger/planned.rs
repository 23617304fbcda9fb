//! A disk that fails when told to, for tests of what lies above it: no real one can be asked to.
//!
//! It also keeps what Linux keeps of a file: after a sync that failed, the bytes that were to be saved count as saved, and
//! only writing them again brings them to the disk.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeSet, VecDeque};
use std::io;

pub(crate) const WORKS: bool = true;
pub(crate) const FAILS: bool = false;

thread_local! {
    static WRITES: RefCell<VecDeque<bool>> = const { RefCell::new(VecDeque::new()) };
    static SYNCS: RefCell<VecDeque<bool>> = const { RefCell::new(VecDeque::new()) };
    /// Bytes that were written and not saved yet, by where they stand.
    static DIRTY: RefCell<BTreeSet<u64>> = const { RefCell::new(BTreeSet::new()) };
    /// Bytes that count as saved and are not.
    static LOST: RefCell<BTreeSet<u64>> = const { RefCell::new(BTreeSet::new()) };
    static WATCHES: Cell<bool> = const { Cell::new(false) };
}

/// How this thread's next writes and syncs of a ledger end, each in its order. All that follow work.
pub(crate) fn plan(writes: &[bool], syncs: &[bool]) {
    WRITES.set(writes.iter().copied().collect());
    SYNCS.set(syncs.iter().copied().collect());
    WATCHES.set(true);
}

/// Whether this thread's ledger holds bytes that count as saved and are not: a power cut would take them.
pub(crate) fn are_unsaved() -> bool {
    LOST.with_borrow(|lost| !lost.is_empty())
}

pub(super) fn before_write(bytes: &[u8], offset: u64) -> io::Result<()> {
    next(WRITES.with_borrow_mut(VecDeque::pop_front))?;
    if WATCHES.get() {
        let range = offset..offset + bytes.len() as u64;
        LOST.with_borrow_mut(|lost| range.clone().for_each(|at| _ = lost.remove(&at)));
        DIRTY.with_borrow_mut(|dirty| dirty.extend(range));
    }
    Ok(())
}

/// What is cut is lost to nobody.
pub(super) fn before_cut(length: u64) {
    LOST.with_borrow_mut(|lost| drop(lost.split_off(&length)));
    DIRTY.with_borrow_mut(|dirty| drop(dirty.split_off(&length)));
}

pub(super) fn before_sync() -> io::Result<()> {
    let done = next(SYNCS.with_borrow_mut(VecDeque::pop_front));
    let dirty = DIRTY.take();
    if done.is_err() {
        LOST.with_borrow_mut(|lost| lost.extend(dirty));
    }
    done
}

fn next(works: Option<bool>) -> io::Result<()> {
    match works {
        Some(FAILS) => Err(io::Error::other("the disk is gone")),
        _ => Ok(()),
    }
}

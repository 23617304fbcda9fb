//! A disk that fails when told to, for tests of what lies above it: no real one can be asked to.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::io;

pub(crate) const WORKS: bool = true;
pub(crate) const FAILS: bool = false;

thread_local! {
    static WRITES: RefCell<VecDeque<bool>> = const { RefCell::new(VecDeque::new()) };
    static SYNCS: RefCell<VecDeque<bool>> = const { RefCell::new(VecDeque::new()) };
}

/// How this thread's next writes and syncs of a ledger end, each in its order. All that follow work.
pub(crate) fn plan(writes: &[bool], syncs: &[bool]) {
    WRITES.set(writes.iter().copied().collect());
    SYNCS.set(syncs.iter().copied().collect());
}

pub(super) fn before_write() -> io::Result<()> {
    next(WRITES.with_borrow_mut(VecDeque::pop_front))
}

pub(super) fn before_sync() -> io::Result<()> {
    next(SYNCS.with_borrow_mut(VecDeque::pop_front))
}

fn next(works: Option<bool>) -> io::Result<()> {
    match works {
        Some(FAILS) => Err(io::Error::other("the disk is gone")),
        _ => Ok(()),
    }
}

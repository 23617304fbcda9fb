//! Adding one entry: lock, read what others wrote, decide on the newest, write, sync, and only then say done.

use std::fs;
use std::io;

use super::error::LedgerError;
use super::line;
use super::lock::{Held, PATIENCE, lock};
use super::medium::{Written, add_line, read_up_to};
use super::open::{Identity, Ledger, News, Standing};
use super::scan::{Point, Verdict, classify, walk};
use crate::domain::entry::Entry;

/// How an append ended, if the ledger could be written at all.
#[derive(Debug)]
#[expect(clippy::large_enum_variant, reason = "one is made for each append and taken apart at once")]
pub enum Appended<R> {
    /// It is on disk.
    Done(Entry),
    /// Decided against, on the newest entries.
    Refused(R),
    /// The disk failed in a way that leaves it open whether the entry was kept. Trying again under the same command id
    /// finds out.
    Unsure(LedgerError),
}

impl Ledger {
    /// Adds the entry that `decide` makes of the newest entries, given what was written since one last looked. An error
    /// means that nothing was noted.
    pub fn append<R>(&mut self, decide: impl FnOnce(News) -> Result<Entry, R>) -> Result<Appended<R>, LedgerError> {
        let held = self.lock_newest()?;
        let entry = match decide(std::mem::take(&mut self.pending)) {
            Ok(entry) => entry,
            Err(no) => return Ok(Appended::Refused(no)),
        };
        let number = self.end.number + 1;
        if entry.number.0 != number {
            return Err(LedgerError::Unwritable { why: format!("it is numbered {}, not {number}", entry.number) });
        }
        let (text, value) = line::write(&entry, self.end.chain)?;
        let written = add_line(&*self.file, self.synced, self.end, &text);
        drop(held);
        match written {
            Written::Kept => {
                self.end = Point { offset: self.end.offset + text.len() as u64, number, chain: value };
                self.synced = self.end;
                self.chains.push(value);
                self.noted = entry.noted;
                Ok(Appended::Done(entry))
            }
            Written::Not(source) => Err(LedgerError::NotRecorded { path: self.path.clone(), source }),
            Written::Unknown(source) => {
                self.poisoned = true;
                Ok(Appended::Unsure(LedgerError::Unsure { path: self.path.clone(), source }))
            }
        }
    }

    /// Takes the lock and reads to the end of the file that the path names now.
    fn lock_newest(&mut self) -> Result<Held, LedgerError> {
        for _ in 0..100 {
            // A disk that failed on opening may be well by now.
            if self.poisoned || self.unsettled {
                self.reload()?;
            }
            self.may_write()?;
            let held = lock(&self.file, &self.path, PATIENCE)?;
            if !self.is_in_place()? {
                drop(held);
                self.reload()?;
                continue;
            }
            match self.catch_up(&held) {
                Ok(()) => return Ok(held),
                Err(error @ LedgerError::Damaged { .. }) => {
                    drop(held);
                    self.reload()?;
                    return Err(error);
                }
                Err(error) => return Err(error),
            }
        }
        Err(LedgerError::Replaced { path: self.path.clone() })
    }

    fn may_write(&self) -> Result<(), LedgerError> {
        let path = self.path.clone();
        match &self.standing {
            Standing::Whole => Ok(()),
            Standing::ReadOnly(why) => Err(LedgerError::ReadOnly { path, why: why.clone() }),
            Standing::Damaged { line, why } => Err(LedgerError::Damaged { path, line: *line, why: why.clone() }),
        }
    }

    /// Whether the path still names this file, and the last good line is still where it was.
    pub(super) fn is_in_place(&self) -> Result<bool, LedgerError> {
        let there = fs::symlink_metadata(&self.path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => LedgerError::Missing { path: self.path.clone() },
            _ => LedgerError::Io { doing: "looking at", path: self.path.clone(), source },
        })?;
        if Identity::of(&there) != self.identity {
            return Ok(false);
        }
        let last = self.last_bytes();
        let at = self.end.offset - last.len() as u64;
        let found = read_up_to(&*self.file, last.len(), at).map_err(LedgerError::io("reading", &self.path))?;
        Ok(found == last)
    }

    /// Reads what others have added, and closes an unfinished append. On damage nothing is taken in: the caller lets go
    /// of the lock and reads the file anew.
    pub(super) fn catch_up(&mut self, _held: &Held) -> Result<(), LedgerError> {
        let found = walk(&*self.file, self.end, self.noted).map_err(LedgerError::io("reading", &self.path))?;
        let verdict = classify(&found.rest, found.end.chain);
        if let Verdict::Damaged(why) = verdict {
            let (path, why) = (self.path.clone(), why.to_owned());
            return Err(LedgerError::Damaged { path, line: found.end.number + 2, why });
        }
        self.take_in(found.entries, found.chains, found.end);
        if verdict == Verdict::Torn {
            self.close_torn(&found.rest)
                .map_err(|source| LedgerError::NotRecorded { path: self.path.clone(), source })?;
            self.synced = self.end;
        }
        Ok(())
    }

    /// Remembers entries for the next hand-over.
    pub(super) fn take_in(&mut self, entries: Vec<Entry>, chains: Vec<u64>, end: Point) {
        if let Some(last) = entries.last() {
            self.noted = last.noted;
        }
        self.chains.extend(chains);
        self.pending.entries.extend(entries);
        self.end = end;
    }

    /// Opens the path anew and reads it all. Another ledger under that name is not taken for this one.
    pub(super) fn reload(&mut self) -> Result<(), LedgerError> {
        let (fresh, entries) = Self::open(&self.path)?;
        if fresh.header != self.header {
            return Err(LedgerError::Replaced { path: self.path.clone() });
        }
        *self = fresh;
        self.pending = News { from_start: true, entries };
        Ok(())
    }
}

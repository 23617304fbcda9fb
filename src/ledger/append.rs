//! Adding one entry: lock, read what others wrote, decide on the newest, write, sync, and only then say done.

use std::fs;
use std::io;

use super::error::LedgerError;
use super::line;
use super::lock::{Held, PATIENCE, lock};
use super::medium::{Written, add_line, put_end, read_up_to};
use super::open::{Access, Identity, Ledger, News, Standing};
use super::scan::{Point, Verdict, Walk, classify, walk};
use crate::domain::entry::{Entry, Number};

/// Makes the entry of this number. It reads nothing of the ledger.
pub type NextEntry<'a> = &'a dyn Fn(Number) -> Entry;

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
        self.begin(&text);
        let written = add_line(&*self.file, self.synced, self.end, &text);
        if !matches!(written, Written::Unknown(_)) {
            self.is_over();
        }
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

    /// Takes the lock, reads to the end of the file that the path names now, and makes durable what it will stand on.
    fn lock_newest(&mut self) -> Result<Held, LedgerError> {
        for _ in 0..100 {
            if self.poisoned {
                self.reload()?;
            }
            self.may_write()?;
            let held = lock(&self.file, &self.path, PATIENCE)?;
            if !self.is_in_place()? || !self.is_the_end_known()? {
                drop(held);
                self.reload()?;
                continue;
            }
            match self.catch_up() {
                Ok(()) => {}
                Err(error @ LedgerError::Damaged { .. }) => {
                    drop(held);
                    self.reload()?;
                    return Err(error);
                }
                Err(error) => return Err(error),
            }
            self.settle()?;
            return Ok(held);
        }
        Err(LedgerError::Replaced { path: self.path.clone() })
    }

    /// Under the lock: an end that is not as it should be is the one that was judged on opening.
    fn is_the_end_known(&self) -> Result<bool, LedgerError> {
        let found = walk(&*self.file, self.end, self.noted).map_err(LedgerError::reading(&self.path))?;
        Ok(match (&self.odd, classify(&found.rest, found.end.chain)) {
            (Some(odd), _) => found.entries.is_empty() && found.rest == *odd,
            (None, Verdict::Broken) => false,
            (None, _) => true,
        })
    }

    /// Under the lock: finishes an append of this terminal, and writes the newest lines again. A writer that was killed may
    /// have left them in the system's memory, and one whose disk failed may have left them marked as saved when they are
    /// not: then a sync alone would save nothing, and say that all is well.
    fn settle(&mut self) -> Result<(), LedgerError> {
        if self.settled {
            return Ok(());
        }
        let owed = self.owed.as_ref().map_or("", |owed| owed.line.as_str());
        if let Err(source) = put_end(&*self.file, self.synced, self.end, owed) {
            // A fresh opening reads what became of it.
            self.poisoned = true;
            return Err(LedgerError::NotRecorded { path: self.path.clone(), source });
        }
        if let Some(owed) = self.owed.take() {
            self.end = self.after(&owed);
        }
        (self.odd, self.synced, self.settled) = (None, self.end, true);
        self.is_over();
        Ok(())
    }

    fn may_write(&self) -> Result<(), LedgerError> {
        let path = self.path.clone();
        if self.only_looks {
            return Err(LedgerError::ReadOnly { path, why: "it was opened only to look at it".to_owned() });
        }
        match &self.standing {
            Standing::Whole => Ok(()),
            Standing::Broken(_) => Err(LedgerError::EndLost { path }),
            Standing::ReadOnly(why) => Err(LedgerError::ReadOnly { path, why: why.clone() }),
            Standing::Damaged { line, why } => Err(LedgerError::Damaged { path, line: *line, why: why.clone() }),
        }
    }

    /// Whether the path still names this file, and the last good line is still where it was.
    pub(super) fn is_in_place(&self) -> Result<bool, LedgerError> {
        let there = fs::symlink_metadata(&self.path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => LedgerError::Missing { path: self.path.clone() },
            _ => LedgerError::Unreadable { path: self.path.clone(), source },
        })?;
        if Identity::of(&there) != self.identity {
            return Ok(false);
        }
        let last = self.last_bytes();
        let at = self.end.offset - last.len() as u64;
        let found = read_up_to(&*self.file, last.len(), at).map_err(LedgerError::reading(&self.path))?;
        Ok(found == last)
    }

    /// Reads what others have added. On damage nothing is taken in: the caller lets go of the lock and reads the file anew.
    fn catch_up(&mut self) -> Result<(), LedgerError> {
        if self.odd.is_some() {
            return Ok(());
        }
        let found = walk(&*self.file, self.end, self.noted).map_err(LedgerError::reading(&self.path))?;
        if let Verdict::Damaged(why) = classify(&found.rest, found.end.chain) {
            let (path, why) = (self.path.clone(), why.to_owned());
            return Err(LedgerError::Damaged { path, line: found.end.number + 2, why });
        }
        self.take_in(found);
        Ok(())
    }

    /// Remembers entries for the next hand-over.
    pub(super) fn take_in(&mut self, found: Walk) {
        if let Some(last) = found.entries.last() {
            self.noted = last.noted;
            // Whoever wrote them said that they were kept; whether they are, that disk knows.
            self.settled = false;
        }
        self.chains.extend(found.chains);
        self.pending.entries.extend(found.entries);
        self.end = found.end;
    }

    /// Opens the path anew and reads it all. Another ledger under that name is not taken for this one.
    pub(super) fn reload(&mut self) -> Result<(), LedgerError> {
        let access = Access { only_looks: self.only_looks, marks: self.marks.clone() };
        let (fresh, entries) = Self::open_for(&self.path, access)?;
        if fresh.header != self.header {
            return Err(LedgerError::Replaced { path: self.path.clone() });
        }
        *self = fresh;
        self.pending = News { from_start: true, entries };
        Ok(())
    }
}

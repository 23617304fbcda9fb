//! Whether what was read is still what stands in the file: looked at again, a little at each look, once the file was touched.
//!
//! An editor, a bad disk or another program may change a line that everybody has read already. Nobody would notice it before
//! the next start, and go on below it.

use std::fs::Metadata;
use std::os::unix::fs::MetadataExt;

use super::error::LedgerError;
use super::header::{Header, LONGEST_HEADER};
use super::line;
use super::medium::read_up_to;
use super::open::Ledger;
use super::scan::Point;

/// Bytes that one look reads again. At four looks a second a ledger of some megabytes is through within seconds.
const AT_ONCE: usize = 256 * 1024;

/// How far the lines were looked at again.
#[derive(Clone, Copy, Debug)]
pub(super) struct Recheck {
    /// Just behind the header.
    start: Point,
    /// When the file was last written as the last round began, in seconds and nanoseconds.
    seen: (i64, i64),
    /// The next line to look at. None: no round is under way.
    next: Option<Point>,
}

impl Recheck {
    /// All of it was just read.
    pub(super) fn read(start: Point, file: &Metadata) -> Self {
        Self { start, seen: stamp(file), next: None }
    }
}

fn stamp(file: &Metadata) -> (i64, i64) {
    (file.mtime(), file.mtime_nsec())
}

impl Ledger {
    /// Looks at the next lines again, if the file was written since. What has changed is read anew, as on opening.
    pub(super) fn look_again(&mut self) -> Result<(), LedgerError> {
        self.look_again_at(AT_ONCE)
    }

    pub(super) fn look_again_at(&mut self, at_once: usize) -> Result<(), LedgerError> {
        let from = match self.recheck.next {
            Some(from) => from,
            None => {
                let now = stamp(&self.file.metadata().map_err(LedgerError::reading(&self.path))?);
                if now == self.recheck.seen {
                    return Ok(());
                }
                self.recheck.seen = now;
                let length = usize::try_from(self.recheck.start.offset).unwrap_or(LONGEST_HEADER);
                let found = read_up_to(&*self.file, length, 0).map_err(LedgerError::reading(&self.path))?;
                if !Header::read(&self.path, &found).is_ok_and(|(header, _)| header == self.header) {
                    return self.reload();
                }
                self.recheck.start
            }
        };
        match self.stands(from, at_once)? {
            Some(next) => {
                self.recheck.next = (next.offset < self.end.offset).then_some(next);
                Ok(())
            }
            None => self.reload(),
        }
    }

    /// The point behind the whole lines within so many bytes, one line at least. None: one of them has changed.
    fn stands(&self, from: Point, at_once: usize) -> Result<Option<Point>, LedgerError> {
        let left = usize::try_from(self.end.offset.saturating_sub(from.offset)).unwrap_or(usize::MAX);
        let mut most = at_once.min(left);
        loop {
            let bytes = read_up_to(&*self.file, most, from.offset).map_err(LedgerError::reading(&self.path))?;
            let mut at = from;
            for whole in bytes.split_inclusive(|byte| *byte == b'\n').filter(|line| line.ends_with(b"\n")) {
                let number = at.number + 1;
                let Some(chain) = line::verify(whole, number, at.chain) else { return Ok(None) };
                at = Point { offset: at.offset + whole.len() as u64, number, chain };
            }
            if at.offset > from.offset || left == 0 {
                return Ok(Some(at));
            }
            // One line is longer than that, or its end is gone.
            if most == left || bytes.len() < most {
                return Ok(None);
            }
            most = most.saturating_mul(2).min(left);
        }
    }
}

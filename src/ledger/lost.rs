//! A file whose end is not as an append leaves it: cut, or interrupted.
//!
//! Whole lines may have stood behind a torn one, and nobody can read that off the file. Only the terminal that was
//! interrupted can tell the two apart: while it appends, the line stands in a small file of its own. Where the end of the
//! ledger is a part of that line, the line is finished, as if the append had gone well. Everywhere else whoever may write
//! closes the hospital with an entry, in place of what cannot be read, which is kept beside the ledger.

use std::fmt;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::append::NextEntry;
use super::create::{folder_of, sync_folder};
use super::error::LedgerError;
use super::header::TAIL;
use super::line;
use super::lock::{PATIENCE, lock};
use super::medium::put_end;
use super::open::{Ledger, Standing};
use super::scan::{self, Point, walk};
use super::seen::own_file;
use crate::domain::entry::{Entry, Number};
use crate::domain::shown::shown;

/// So much of what cannot be read is shown.
const SHOWN: usize = 300;

/// An end that was lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LostEnd {
    /// The last entry that stands whole before it.
    pub after: Number,
    /// How many bytes stand there that no line is made of.
    pub bytes: u32,
    /// Their beginning, as text.
    pub begins: String,
}

impl fmt::Display for LostEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { after, bytes, begins } = self;
        let (bytes, stand) =
            if *bytes == 1 { ("1 byte".to_owned(), "stands") } else { (format!("{bytes} bytes"), "stand") };
        write!(f, "the end of the file was lost behind entry {after}: ")?;
        match begins.as_str() {
            "" => write!(f, "it breaks off")?,
            begins => write!(f, "{bytes} {stand} there that are no whole line, and begin “{begins}”")?,
        }
        f.write_str("; nobody can read what else stood there")
    }
}

impl LostEnd {
    /// Behind that entry this stands, which is no line.
    pub(super) fn of(after: u64, rest: &[u8]) -> Self {
        // Bytes that were never written read as nothing.
        let told: Vec<u8> = rest.iter().copied().filter(|byte| *byte != 0).take(SHOWN).collect();
        let told = if TAIL.starts_with(rest) { String::new() } else { String::from_utf8_lossy(&told).into_owned() };
        Self {
            after: Number(after),
            bytes: u32::try_from(rest.len()).unwrap_or(u32::MAX),
            begins: shown(told.trim_end()),
        }
    }
}

/// A line that is not whole in the file, and is known all the same.
#[derive(Clone, Debug)]
pub(super) struct Owed {
    pub(super) line: String,
    pub(super) value: u64,
}

/// What stands behind the last whole line, if it is not what closes a document.
pub(super) enum End {
    /// This terminal's own append was interrupted, and nothing is lost: the line that is to be finished, if it is not whole.
    Own(Option<Owed>),
    /// Whole lines may have stood there. The one that still is whole, but for a sign at its end.
    Lost(Option<Owed>),
}

/// Judges a rest behind `end`. `begun` is the line that this terminal was about to append.
pub(super) fn judge(begun: Option<&str>, end: Point, rest: &[u8]) -> End {
    let finished = scan::finished(rest, end.number + 1, end.chain).map(|(line, value)| Owed { line, value });
    let Some(begun) = begun else { return End::Lost(finished) };
    if let Some(value) = line::verify(begun.as_bytes(), end.number + 1, end.chain)
        && is_part_of(rest, begun.as_bytes())
    {
        return End::Own(Some(Owed { line: begun.to_owned(), value }));
    }
    let is_last = super::chain::split(begun.as_bytes()).is_some_and(|(_, value)| value == end.chain);
    match is_last && rest.len() < TAIL.len() && TAIL.starts_with(rest) {
        true => End::Own(None),
        false => End::Lost(finished),
    }
}

/// Whether an append of that line may have left this: of every byte the new one, the one that stood there before, or none.
/// An append begins by writing over what closes the document, so nothing shorter is left by one.
fn is_part_of(rest: &[u8], line: &[u8]) -> bool {
    let new = [line, TAIL].concat();
    let before = |at: usize| TAIL.get(at).copied().unwrap_or(b'\t');
    let fits = |(at, byte): (usize, &u8)| *byte == 0 || *byte == before(at) || new.get(at) == Some(byte);
    (TAIL.len()..=new.len()).contains(&rest.len()) && rest.iter().enumerate().all(fits)
}

impl Ledger {
    fn begun_file(&self) -> Option<PathBuf> {
        Some(begun_file(self.marks.as_deref()?, self.header.id, &self.path))
    }

    /// Remembers the line that is about to be written. If it cannot, the append goes on: an interruption then closes more.
    pub(super) fn begin(&self, line: &str) {
        if let Some(path) = self.begun_file() {
            let _ = fs::write(path, line);
        }
    }

    /// The append is over, one way or the other.
    pub(super) fn is_over(&self) {
        if let Some(path) = self.begun_file() {
            let _ = fs::remove_file(path);
        }
    }

    /// Writes an entry in place of an end that was lost, which is kept beside the ledger. It is handed over with what was
    /// written since one last looked. Ok(None): by now it is no longer lost.
    pub fn close_lost_end(&mut self, make: NextEntry<'_>) -> Result<Option<Entry>, LedgerError> {
        let (Standing::Broken(_), Some(rest), false) = (&self.standing, self.odd.clone(), self.only_looks) else {
            return Ok(None);
        };
        let held = lock(&self.file, &self.path, PATIENCE)?;
        let is_as_it_was = self.is_in_place()? && {
            let found = walk(&*self.file, self.end, self.noted).map_err(LedgerError::reading(&self.path))?;
            found.entries.is_empty() && found.rest == rest
        };
        if !is_as_it_was {
            drop(held);
            self.reload()?;
            return Ok(None);
        }
        let last = self.owed.as_ref().map_or(self.end, |owed| self.after(owed));
        let entry = make(Number(last.number + 1));
        let (text, value) = line::write(&entry, last.chain)?;
        let owed = self.owed.as_ref().map_or("", |owed| owed.line.as_str());
        let not_recorded = |source| LedgerError::NotRecorded { path: self.path.clone(), source };
        if !TAIL.starts_with(&rest) {
            keep_torn(&self.path, self.end.number + 1, &rest).map_err(not_recorded)?;
        }
        let done = put_end(&*self.file, self.synced, self.end, &format!("{owed}{text}"));
        drop(held);
        if let Err(error) = done {
            // Half of it is an end that was lost as well.
            self.poisoned = true;
            return Err(not_recorded(error));
        }
        self.chains.push(value);
        self.end = Point { offset: last.offset + text.len() as u64, number: entry.number.0, chain: value };
        (self.owed, self.odd, self.standing) = (None, None, Standing::Whole);
        (self.synced, self.settled, self.noted) = (self.end, true, entry.noted);
        self.pending.entries.push(entry.clone());
        Ok(Some(entry))
    }

    /// The point behind a line that is not whole in the file yet.
    pub(super) fn after(&self, owed: &Owed) -> Point {
        Point { offset: self.end.offset + owed.line.len() as u64, number: self.end.number + 1, chain: owed.value }
    }
}

fn begun_file(folder: &Path, id: u64, path: &Path) -> PathBuf {
    own_file(folder, "begun", id, path)
}

/// The line that this terminal was about to append to the ledger with this id at this path, when it was interrupted.
pub(super) fn begun(folder: &Path, id: u64, path: &Path) -> Option<String> {
    fs::read_to_string(begun_file(folder, id, path)).ok().filter(|line| line.len() <= line::LONGEST_LINE)
}

/// Saves bytes that no line is made of beside the ledger, under a name that no file has yet.
fn keep_torn(path: &Path, number: u64, rest: &[u8]) -> io::Result<()> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let keep = || {
        let mut kept = tempfile::Builder::new()
            .prefix(&format!("{name}.torn-{number}-"))
            .rand_bytes(6)
            .tempfile_in(folder_of(path))?;
        kept.write_all(rest)?;
        kept.as_file().sync_all()?;
        let (_, _): (File, PathBuf) = kept.keep().map_err(|failed| failed.error)?;
        sync_folder(&folder_of(path))
    };
    keep().map_err(|error: io::Error| {
        let what = "the unreadable end of the file could not be kept in a file beside it";
        io::Error::new(error.kind(), format!("{what}: {error}"))
    })
}

//! Taking a copy as the ledger again.
//!
//! Nobody knows what happened after the copy was made, so its last entry closes every room until its ward is walked.

use std::path::Path;

use super::check::read_file;
use super::create::create_from_texts;
use super::error::LedgerError;
use super::header::Header;
use super::line;
use super::scan::{Point, Verdict, classify, walk};
use crate::domain::code::Code;
use crate::domain::entry::{Body, CommandId, Entry, Number, Place, Time};

/// Makes the ledger `path` out of `copy`, and says in its last entry that it did so. Never overwrites.
pub fn restore(
    copy: &Path,
    path: &Path,
    now: Time,
    person: Code,
    terminal: &str,
    command: CommandId,
) -> Result<Entry, LedgerError> {
    let bytes = read_file(copy)?;
    let (header, length) = Header::read(copy, &bytes)?;
    let from = Point { offset: length as u64, number: 0, chain: header.sum() };
    let found = walk(&bytes, from, Time::UNIX_EPOCH).map_err(LedgerError::reading(copy))?;
    // A copy that was taken during an append has no whole end, and what it may lack closes every room anyway.
    if let Verdict::Damaged(why) = classify(&found.rest, found.end.chain) {
        let (path, line) = (copy.to_owned(), found.end.number + 2);
        return Err(LedgerError::Damaged { path, line, why: why.to_owned() });
    }
    let reason = format!("taken from a copy that ends with entry {}", found.end.number);
    let entry = Entry {
        number: Number(found.end.number + 1),
        noted: now,
        happened: now,
        done_by: person,
        noted_by: person,
        terminal: terminal.to_owned(),
        command,
        place: Place::Hospital,
        body: Body::Restored { reason },
    };
    let end = usize::try_from(found.end.offset).unwrap_or(length);
    let kept = String::from_utf8_lossy(bytes.get(length..end).unwrap_or_default()).into_owned();
    let last = line::covered(&entry)?;
    create_from_texts(path, &header, super::chain::texts(&kept).chain([last.as_str()]))?;
    Ok(entry)
}

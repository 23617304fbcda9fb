//! A copy for practice: the whole history under an id of its own, marked for ever.
//!
//! A file that is copied by other means keeps its id, and two files of one id are two claims to be the ledger.

use std::path::Path;

use super::check::read_file;
use super::create::create_from_texts;
use super::error::LedgerError;
use super::header::Header;
use super::scan::{Point, Verdict, classify, walk};
use crate::domain::entry::Time;

/// Makes a practice ledger `new` with everything that stands in the one at `path`. Never overwrites.
pub fn copy(path: &Path, new: &Path) -> Result<Header, LedgerError> {
    let bytes = read_file(path)?;
    let (was, length) = Header::read(path, &bytes)?;
    let from = Point { offset: length as u64, number: 0, chain: was.sum() };
    let found = walk(&bytes, from, Time::UNIX_EPOCH).map_err(LedgerError::reading(path))?;
    let line = found.end.number + 2;
    match classify(&found.rest, found.end.chain) {
        Verdict::Clean => {}
        Verdict::Broken => return Err(LedgerError::EndLost { path: path.to_owned() }),
        Verdict::Damaged(why) => return Err(LedgerError::Damaged { path: path.to_owned(), line, why: why.to_owned() }),
    }
    let header = Header { rehearsal: true, ..Header::new(was.time_zone, true)? };
    let end = usize::try_from(found.end.offset).unwrap_or(length);
    let kept = String::from_utf8_lossy(bytes.get(length..end).unwrap_or_default()).into_owned();
    create_from_texts(new, &header, super::chain::texts(&kept))?;
    Ok(header)
}

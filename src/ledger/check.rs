//! Reads a whole ledger and lists what is wrong with its file. Writes nothing, and takes no lock.

use std::fs::{self, File};
use std::path::Path;

use super::error::LedgerError;
use super::header::Header;
use super::line;
use super::lost::{self, End, LostEnd};
use super::salvage::salvage;
use super::scan::{self, Point, Verdict, classify, walk};
use crate::domain::entry::{Body, Number, Time};

pub use super::salvage::Fault;

/// What a check found.
#[derive(Debug)]
pub struct Report {
    pub header: Header,
    /// How many entries can be read.
    pub entries: u64,
    /// Empty: nothing is wrong with the file.
    pub faults: Vec<Fault>,
}

/// An error: it is no ledger that this version could read at all.
pub fn check(path: &Path, marks: Option<&Path>) -> Result<Report, LedgerError> {
    let bytes = read_file(path)?;
    let (header, length) = Header::read(path, &bytes)?;
    let from = Point { offset: length as u64, number: 0, chain: header.sum() };
    let walked = walk(&bytes, from, Time::UNIX_EPOCH).map_err(LedgerError::reading(path))?;
    let is_broken = classify(&walked.rest, walked.end.chain) == Verdict::Broken;
    let end = if is_broken { usize::try_from(walked.end.offset).unwrap_or(length) } else { bytes.len() };
    let mut found = salvage(&[header.sum()], bytes.get(length..end).unwrap_or_default(), 0);
    let mut owed = None;
    if is_broken {
        let begun = marks.and_then(|folder| {
            let real = path.canonicalize().unwrap_or_else(|_| path.to_owned());
            lost::begun(folder, header.id, &real)
        });
        let (number, what);
        (owed, number, what) = match lost::judge(begun.as_deref(), walked.end, &walked.rest) {
            End::Own(owed) => {
                let what = "an append of this terminal was interrupted here, and never said to be done; its next entry finishes it";
                (owed, walked.end.number + 1, what.to_owned())
            }
            End::Lost(owed) => {
                let after = walked.end.number + u64::from(owed.is_some());
                let told = if owed.is_some() { &[] } else { walked.rest.as_slice() };
                (owed, after + 1, LostEnd::of(after, told).to_string())
            }
        };
        found.faults.push(Fault { line: Some(number + 1), number: Some(Number(number)), what });
    }
    let mut entries = u64::from(owed.is_some());
    for line in &found.lines {
        let Some(text) = &line.text else { continue };
        entries += 1;
        // A body that was kept as unreadable reads back as itself; one that is unreadable only here does not.
        if let Body::Unreadable { why, .. } = &line.entry.body
            && line::covered(&line.entry).ok().as_ref() != Some(text)
        {
            let number = line.entry.number;
            let what = format!("this version does not understand it ({why}), so it closes its place");
            found.faults.push(Fault { line: Some(number.0 + 1), number: Some(number), what });
        }
    }
    Ok(Report { header, entries, faults: found.faults })
}

/// All bytes of a regular file.
pub(super) fn read_file(path: &Path) -> Result<Vec<u8>, LedgerError> {
    let reading = || LedgerError::reading(path);
    match fs::metadata(path) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            Err(LedgerError::Missing { path: path.to_owned() })
        }
        Err(error) => Err(reading()(error)),
        Ok(metadata) if !metadata.is_file() => Err(LedgerError::NotAFile { path: path.to_owned() }),
        Ok(_) => scan::read_all(&File::open(path).map_err(reading())?).map_err(reading()),
    }
}

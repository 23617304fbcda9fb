//! A new ledger beside a damaged one.
//!
//! Every line that can be believed is kept under its number, word for word. Every other line is kept raw under its
//! number, as an entry that closes everything until somebody who knows what it said attests it. Nobody knows what stood
//! behind what is gone, so the last entry closes every room until its ward is walked, as after a restore. The damaged file
//! stays, and the new one is the same ledger: it keeps the id.

use std::path::Path;

use chrono_tz::Tz;

use super::chain;
use super::check::read_file;
use super::create::create_from_texts;
use super::error::LedgerError;
use super::header::Header;
use super::line;
use super::salvage::{Fault, MOST_MISSING, salvage};
use super::scan::{Point, Verdict, classify, walk};
use super::seen;
use crate::domain::code::Code;
use crate::domain::entry::{Body, CommandId, Entry, Number, Place, Time};

/// What a repair made.
#[derive(Debug)]
pub struct Repaired {
    pub header: Header,
    /// How many entries were kept word for word.
    pub kept: u64,
    /// The numbers that now close everything until they are attested.
    pub to_attest: Vec<Number>,
    pub faults: Vec<Fault>,
    /// The entry that closes every room.
    pub closes: Number,
}

/// When a repair is made, and at which terminal.
#[derive(Clone, Debug)]
pub struct Repairing<'a> {
    /// Used if the first line no longer says it.
    pub time_zone: Option<Tz>,
    /// The folder of this terminal's marks: entries that it had seen and that are gone count as missing.
    pub marks: Option<&'a Path>,
    pub now: Time,
    pub by: Code,
    pub terminal: &'a str,
    pub command: CommandId,
}

/// Writes a good ledger at `new` out of the damaged one at `old`.
pub fn repair(old: &Path, new: &Path, how: &Repairing<'_>) -> Result<Repaired, LedgerError> {
    let bytes = without_editor(read_file(old)?);
    let (was, firsts, length) = match Header::read(old, &bytes) {
        Ok((header, length)) => {
            let from = Point { offset: length as u64, number: 0, chain: header.sum() };
            let walked = walk(&bytes, from, Time::UNIX_EPOCH).map_err(LedgerError::reading(old))?;
            let is_edited = bytes.len() as u64 != std::fs::metadata(old).map_or(0, |file| file.len());
            if classify(&walked.rest, walked.end.chain) == Verdict::Clean && !is_edited {
                return Err(LedgerError::NothingDamaged { path: old.to_owned() });
            }
            (header, vec![header.sum()], length)
        }
        Err(LedgerError::HeaderDamaged { .. }) => damaged_header(old, &bytes, how.time_zone)?,
        Err(error) => return Err(error),
    };
    let real = old.canonicalize().unwrap_or_else(|_| old.to_owned());
    let seen = how.marks.and_then(|folder| seen::read(folder, was.id, &real)).map_or(0, |mark| mark.number.0);
    let found = salvage(&firsts, bytes.get(length..).unwrap_or_default(), seen);
    if found.missing > MOST_MISSING {
        return Err(LedgerError::TooMuchLost { path: old.to_owned(), most: MOST_MISSING });
    }
    let header = match was.id {
        0 => Header::new(was.time_zone, was.rehearsal)?,
        _ => was,
    };
    let mut texts = vec![];
    let mut to_attest = vec![];
    for line in &found.lines {
        match &line.text {
            Some(text) => texts.push(text.clone()),
            None => {
                to_attest.push(line.entry.number);
                texts.push(line::covered(&line.entry)?);
            }
        }
    }
    let kept = (texts.len() - to_attest.len()) as u64;
    let last = found.lines.last().map(|line| &line.entry);
    let closes = Number(last.map_or(0, |entry| entry.number.0) + 1);
    let reason = "mended from a damaged file: nobody knows what else stood in it".to_owned();
    texts.push(line::covered(&Entry {
        number: closes,
        noted: how.now,
        happened: how.now,
        done_by: how.by,
        noted_by: how.by,
        terminal: how.terminal.to_owned(),
        command: how.command,
        place: Place::Hospital,
        body: Body::Restored { reason },
    })?);
    create_from_texts(new, &header, texts.iter().map(String::as_str))?;
    Ok(Repaired { header, kept, to_attest, faults: found.faults, closes })
}

/// Takes back what a text editor does to every line: a byte order mark, and line ends as on Windows.
fn without_editor(mut bytes: Vec<u8>) -> Vec<u8> {
    if bytes.starts_with(b"\xef\xbb\xbf") {
        bytes.drain(..3);
    }
    let first_end = bytes.iter().position(|byte| *byte == b'\n').unwrap_or(0);
    if first_end > 0 && bytes.get(first_end - 1) == Some(&b'\r') {
        // No good line holds one, so every one of them is the editor's.
        bytes.retain(|byte| *byte != b'\r');
    }
    bytes
}

/// What a damaged first line still says, and the values on which entry 1 may follow: the one that it prints, and the one
/// that fits the rest of it.
fn damaged_header(old: &Path, bytes: &[u8], zone: Option<Tz>) -> Result<(Header, Vec<u64>, usize), LedgerError> {
    let length = bytes.iter().position(|byte| *byte == b'\n').map_or(bytes.len(), |at| at + 1);
    let line = String::from_utf8_lossy(bytes.get(..length).unwrap_or_default()).into_owned();
    let printed = line.split_once("sum:").and_then(|(_, rest)| chain::read_hex(rest.as_bytes().get(..18)?));
    // The time zone may be what is damaged, and read as another good one: what the caller names comes first.
    let guessed = Header::guess(&line);
    let time_zone = match (zone, guessed) {
        (Some(zone), _) => zone,
        (None, Some(header))
            if printed.is_none_or(|sum| sum != header.sum()) && follows(header.sum(), bytes, length) =>
        {
            header.time_zone
        }
        _ => return Err(LedgerError::TimeZoneLost { path: old.to_owned() }),
    };
    // In doubt it is a real hospital's.
    let rehearsal = line.contains(",rehearsal:true,");
    // The id is that of the line where everything else fits it; else nobody knows it, and it gets a new one.
    let id = line.split_once(",id:").and_then(|(_, rest)| chain::read_hex(rest.as_bytes().get(..18)?)).unwrap_or(0);
    let is_proved = [true, false].into_iter().any(|rehearsal| {
        let sum = Header { id, time_zone, rehearsal }.sum();
        printed == Some(sum) || follows(sum, bytes, length)
    });
    let header = Header { id: if is_proved { id } else { 0 }, time_zone, rehearsal };
    let firsts = printed.into_iter().chain(guessed.map(|header| header.sum())).collect();
    Ok((header, firsts, length))
}

/// Whether the first entry follows on this value, so that the header that it was worked out from is right.
fn follows(sum: u64, bytes: &[u8], length: usize) -> bool {
    let rest = bytes.get(length..).unwrap_or_default();
    rest.split_inclusive(|byte| *byte == b'\n').next().is_some_and(|first| line::verify(first, 1, sum).is_some())
}

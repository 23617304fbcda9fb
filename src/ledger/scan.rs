//! Walks the lines of a ledger and judges what follows the last good one.
//!
//! An append is one line, synced before the next begins. So what a power cut or a kill can leave behind is one unfinished
//! line, and nothing good after it. A cut file ends alike, and whole lines may have stood behind: which of the two it was,
//! only the terminal that was interrupted can tell. Anything else at the end is damage.

use std::io;

use super::chain;
use super::header::TAIL;
use super::line::{self, LONGEST_LINE};
use super::medium::Source;
use crate::domain::entry::{Entry, Number, Time};

/// A point in the file just after a good line (or after the header), with what the next line follows on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Point {
    pub(super) offset: u64,
    /// The number of the entry before it; 0 after the header.
    pub(super) number: u64,
    pub(super) chain: u64,
}

/// How much of what follows the last good line is looked at: more than that is no unfinished append.
const LONGEST_REST: usize = LONGEST_LINE + 4096;
const READ_AT_ONCE: usize = 256 * 1024;

/// What a walk found.
pub(super) struct Walk {
    pub(super) entries: Vec<Entry>,
    /// The chain's value of each of those entries.
    pub(super) chains: Vec<u64>,
    pub(super) end: Point,
    /// A point between the last lines: what stands from there on may not have reached the disk.
    pub(super) anchor: Point,
    /// What follows `end`, at most a little more than [`LONGEST_REST`] of it.
    pub(super) rest: Vec<u8>,
}

/// Reads all good lines from a point on. `noted` is the time of the entry before it.
pub(super) fn walk(medium: &dyn Source, from: Point, mut noted: Time) -> io::Result<Walk> {
    let mut walk = Walk { entries: vec![], chains: vec![], end: from, anchor: from, rest: vec![] };
    let mut next_anchor = from;
    let mut buffer: Vec<u8> = Vec::new();
    let mut offset = from.offset;
    let mut stopped = false;
    loop {
        let mut used = 0;
        while !stopped {
            let unread = buffer.get(used..).unwrap_or_default();
            let Some(length) = unread.iter().position(|byte| *byte == b'\n').map(|at| at + 1) else {
                stopped = unread.len() > LONGEST_LINE;
                break;
            };
            let whole = unread.get(..length).unwrap_or_default();
            let number = walk.end.number + 1;
            let (Some(value), Ok(text)) = (line::verify(whole, number, walk.end.chain), std::str::from_utf8(whole))
            else {
                stopped = true;
                break;
            };
            let entry = line::read(text, Number(number), noted);
            noted = entry.noted;
            walk.entries.push(entry);
            walk.chains.push(value);
            walk.end = Point { offset: walk.end.offset + length as u64, number, chain: value };
            if walk.end.offset - next_anchor.offset > LONGEST_LINE as u64 {
                walk.anchor = std::mem::replace(&mut next_anchor, walk.end);
            }
            used += length;
        }
        buffer.drain(..used);
        if stopped && buffer.len() > LONGEST_REST {
            break;
        }
        let read = read_more(medium, &mut buffer, offset)?;
        if read == 0 {
            break;
        }
        offset += read as u64;
    }
    walk.rest = buffer;
    Ok(walk)
}

/// Adds what stands at `offset` to the buffer, at most [`READ_AT_ONCE`]. 0: the file ends here.
fn read_more(medium: &dyn Source, buffer: &mut Vec<u8>, offset: u64) -> io::Result<usize> {
    let before = buffer.len();
    buffer.resize(before + READ_AT_ONCE, 0);
    let read = medium.read_at(buffer.get_mut(before..).unwrap_or_default(), offset);
    buffer.truncate(before + read.as_ref().map_or(0, |read| *read));
    read
}

/// Everything that the file holds.
pub(super) fn read_all(medium: &dyn Source) -> io::Result<Vec<u8>> {
    let mut all = Vec::new();
    loop {
        let offset = all.len() as u64;
        if read_more(medium, &mut all, offset)? == 0 {
            return Ok(all);
        }
    }
}

/// A judgement on what follows the last good line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    Clean,
    /// The document is not closed, or its last line not whole: an append was interrupted, or the end was lost.
    Broken,
    Damaged(&'static str),
}

/// Judges what follows the last good line, whose value is `before`.
pub(super) fn classify(rest: &[u8], before: u64) -> Verdict {
    if rest.strip_prefix(TAIL).is_some_and(|padding| padding.iter().all(|byte| *byte == b'\t')) {
        return Verdict::Clean;
    }
    if rest.len() > LONGEST_REST {
        return Verdict::Damaged("more follows than one append can leave behind");
    }
    if a_later_line_follows(rest, before) {
        return Verdict::Damaged("a good line stands behind it");
    }
    let lacks_a_block =
        [0, b'\t'].iter().any(|filler| rest.windows(4).any(|four| four.iter().all(|byte| byte == filler)));
    if rest.len() <= TAIL.len() || lacks_a_block || rest.starts_with(TAIL) {
        return Verdict::Broken;
    }
    if rest.contains(&b'\n') {
        return Verdict::Damaged("the line is complete, but it is not what was written");
    }
    Verdict::Broken
}

/// Whether a line in there follows on the value printed at the end of the line before it.
fn a_later_line_follows(rest: &[u8], mut before: u64) -> bool {
    for whole in rest.split_inclusive(|byte| *byte == b'\n') {
        if let Some((text, value)) = chain::split(whole) {
            if chain::value(before, text) == value {
                return true;
            }
            before = value;
        }
    }
    false
}

/// The whole line that a rest begins with, and its value, where nothing is lost of it but a sign or two of its end.
pub(super) fn finished(rest: &[u8], number: u64, before: u64) -> Option<(String, u64)> {
    let link = &chain::link(0)[2 + 16..];
    let value_at = rest.windows(2).rposition(|two| two == b"0x")?;
    let (text, printed) = rest.split_at_checked(value_at)?;
    let (digits, end) = printed.split_at_checked(2 + 16)?;
    let value = chain::read_hex(digits).filter(|_| link.as_bytes().starts_with(end))?;
    let whole = format!("{}{}", std::str::from_utf8(text).ok()?, chain::link(value));
    (line::verify(whole.as_bytes(), number, before) == Some(value)).then_some((whole, value))
}

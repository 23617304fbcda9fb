//! What can still be read of a damaged ledger, and what is wrong with the rest.
//!
//! A line is believed if its value follows on a value printed on a line of the number before it, wherever those two
//! stand. Nothing of any other line is believed, and no line is dropped: what is not believed is kept raw, as an entry
//! that closes everything.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::chain;
use super::header::TAIL;
use super::line;
use crate::domain::entry::{Entry, Number, Time};

/// More missing lines than this are no longer filled in.
pub(super) const MOST_MISSING: u64 = 10_000;

/// One thing wrong with a ledger's file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The line of the file, from 1. None: a line that is not there.
    pub line: Option<u64>,
    pub number: Option<Number>,
    pub what: String,
}

/// One entry that was read, or made to stand for what could not be.
pub(super) struct Salvaged {
    pub(super) entry: Entry,
    /// What the chain covers of it, if its line is believed.
    pub(super) text: Option<String>,
}

pub(super) struct Salvage {
    /// By number, without gaps unless too much is missing.
    pub(super) lines: Vec<Salvaged>,
    pub(super) faults: Vec<Fault>,
    pub(super) missing: u64,
}

impl Salvage {
    pub(super) fn into_entries(self) -> Vec<Entry> {
        self.lines.into_iter().map(|line| line.entry).collect()
    }
}

/// A line of the file after the first.
struct Piece<'a> {
    /// The line of the file, from 1.
    at: u64,
    bytes: &'a [u8],
    claims: Option<u64>,
}

/// Reads what follows the first line. `firsts` are the values on which entry 1 may follow (one, if the first line is
/// whole). `seen` is the highest number that is known to have existed.
pub(super) fn salvage(firsts: &[u64], body: &[u8], seen: u64) -> Salvage {
    let mut faults = vec![];
    let pieces = pieces(body, &mut faults);
    let believed = believed(firsts, &pieces, &mut faults);
    let top = believed.keys().next_back().copied().unwrap_or(0);
    let (bad, homeless) = number_the_rest(&pieces, &believed, top);
    let last = bad.keys().next_back().copied().unwrap_or(0).max(top).max(seen);

    let mut lines: Vec<Salvaged> = vec![];
    let noted = |lines: &[Salvaged]| lines.last().map_or(Time::UNIX_EPOCH, |line| line.entry.noted);
    let found: BTreeMap<u64, &Piece<'_>> =
        believed.iter().chain(&bad).map(|(number, piece)| (*number, *piece)).collect();
    let missing = last.saturating_sub(found.len() as u64);
    if missing <= MOST_MISSING {
        for number in (1..=last).filter(|number| !found.contains_key(number)) {
            faults.push(Fault { line: None, number: Some(Number(number)), what: "its line is missing".to_owned() });
        }
    } else {
        faults.push(Fault { line: None, number: None, what: format!("{missing} lines are missing") });
    }
    let filled: Box<dyn Iterator<Item = u64>> =
        if missing <= MOST_MISSING { Box::new(1..=last) } else { Box::new(found.keys().copied()) };
    for number in filled {
        let before = noted(&lines);
        let salvaged = match found.get(&number) {
            Some(piece) if believed.contains_key(&number) => read(piece, number, before),
            Some(piece) => {
                faults.push(fault(piece, Some(number), "it is not what was written"));
                closer(&raw(piece), "its line was damaged", number, before)
            }
            None => closer("", "its line was missing", number, before),
        };
        lines.push(salvaged);
    }
    for (number, piece) in (last + 1..).zip(homeless) {
        let before = noted(&lines);
        faults.push(fault(piece, None, "it belongs to no entry, or to one that is already there"));
        lines.push(closer(&raw(piece), "its line was damaged, and its number is not known", number, before));
    }
    faults.sort_by_key(|fault| fault.line.unwrap_or(u64::MAX));
    Salvage { lines, faults, missing }
}

fn fault(piece: &Piece<'_>, number: Option<u64>, what: &str) -> Fault {
    Fault { line: Some(piece.at), number: number.map(Number), what: what.to_owned() }
}

fn raw(piece: &Piece<'_>) -> String {
    String::from_utf8_lossy(piece.bytes).trim_end_matches('\n').to_owned()
}

fn closer(raw: &str, why: &str, number: u64, before: Time) -> Salvaged {
    Salvaged { entry: line::closer_of_all(raw, why, Number(number), before), text: None }
}

fn read(piece: &Piece<'_>, number: u64, before: Time) -> Salvaged {
    let text = chain::split(piece.bytes).map(|(text, _)| String::from_utf8_lossy(text).into_owned());
    Salvaged { entry: line::read(&raw(piece), Number(number), before), text }
}

/// The lines, without what closes the document.
fn pieces<'a>(body: &'a [u8], faults: &mut Vec<Fault>) -> Vec<Piece<'a>> {
    let mut pieces = vec![];
    let mut rest = body;
    while rest.last() == Some(&b'\t') {
        rest = rest.get(..rest.len() - 1).unwrap_or_default();
    }
    let count = rest.split_inclusive(|byte| *byte == b'\n').count() as u64;
    for (at, bytes) in (2..).zip(rest.split_inclusive(|byte| *byte == b'\n')) {
        let piece = Piece { at, bytes, claims: line::claimed_number(bytes) };
        let is_last = at == count + 1;
        if bytes == TAIL {
            if !is_last {
                faults.push(fault(&piece, None, "the document is closed here, and goes on"));
            }
        } else if is_last && TAIL.starts_with(bytes) {
            faults.push(fault(&piece, None, "the document is not closed"));
        } else {
            pieces.push(piece);
        }
    }
    pieces
}

/// The lines whose value follows on a line of the number before, one for each number. Where two differ, the one on which
/// a further line follows.
fn believed<'a>(firsts: &[u64], pieces: &'a [Piece<'a>], faults: &mut Vec<Fault>) -> Numbered<'a> {
    let mut printed: HashMap<u64, Vec<u64>> = HashMap::new();
    printed.insert(0, firsts.to_vec());
    for piece in pieces {
        if let (Some(number), Some((_, value))) = (piece.claims, chain::split(piece.bytes)) {
            printed.entry(number).or_default().push(value);
        }
    }
    // What each whole line follows on; a value that is followed marks its own line as the one that was built upon.
    let mut whole: Vec<(u64, &Piece<'_>, u64)> = vec![];
    let mut followed: HashSet<(u64, u64)> = HashSet::new();
    let mut above = None;
    for piece in pieces {
        // The line above may have lost its number and still end in the right value.
        let above = std::mem::replace(&mut above, chain::split(piece.bytes).map(|(_, value)| value));
        let Some(number) = piece.claims else { continue };
        let mut before = printed.get(&(number - 1)).into_iter().flatten().copied().chain(above);
        if let Some((before, value)) =
            before.find_map(|before| Some((before, line::verify(piece.bytes, number, before)?)))
        {
            followed.insert((number - 1, before));
            whole.push((number, piece, value));
        }
    }
    let mut believed: BTreeMap<u64, (&Piece<'_>, bool)> = BTreeMap::new();
    for (number, piece, value) in whole {
        let is_followed = followed.contains(&(number, value));
        match believed.get(&number) {
            Some((other, _)) if other.bytes == piece.bytes => {
                faults.push(fault(piece, Some(number), "it stands in the file twice; it is kept once"));
            }
            Some((_, true)) => {}
            Some(_) if !is_followed => {}
            _ => {
                believed.insert(number, (piece, is_followed));
            }
        }
    }
    let believed: Numbered<'_> = believed.into_iter().map(|(number, (piece, _))| (number, piece)).collect();
    let mut highest = 0;
    for (number, piece) in &believed {
        if piece.at < highest {
            faults.push(fault(piece, Some(*number), "it stands behind later ones"));
        }
        highest = highest.max(piece.at);
    }
    believed
}

type Numbered<'a> = BTreeMap<u64, &'a Piece<'a>>;

/// Gives every line that is not believed the number that it claims, or that its neighbours leave free. The others have
/// none.
fn number_the_rest<'a>(
    pieces: &'a [Piece<'a>],
    believed: &Numbered<'a>,
    top: u64,
) -> (Numbered<'a>, Vec<&'a Piece<'a>>) {
    let is_believed = |piece: &Piece<'_>| {
        piece.claims.and_then(|number| believed.get(&number)).is_some_and(|kept| kept.bytes == piece.bytes)
    };
    let rest: Vec<&Piece<'_>> = pieces.iter().filter(|piece| !is_believed(piece)).collect();
    // A damaged number may be any number; one far beyond all others is not taken.
    let most = top + rest.len() as u64;
    let by_line: HashMap<u64, u64> = believed.iter().map(|(number, piece)| (piece.at, *number)).collect();
    let mut numbered: Numbered<'_> = BTreeMap::new();
    let mut lines: HashMap<u64, u64> = by_line;
    let mut unclaimed = vec![];
    for piece in rest {
        match piece.claims {
            Some(number) if number <= most && !believed.contains_key(&number) && !numbered.contains_key(&number) => {
                numbered.insert(number, piece);
                lines.insert(piece.at, number);
            }
            _ => unclaimed.push(piece),
        }
    }
    let mut homeless = vec![];
    for piece in unclaimed {
        let next = lines.get(&(piece.at - 1)).map_or(1, |before| before + 1);
        let is_free = !believed.contains_key(&next) && !numbered.contains_key(&next);
        let stands_after_one = piece.at == 2 || lines.contains_key(&(piece.at - 1));
        if is_free && stands_after_one {
            numbered.insert(next, piece);
            lines.insert(piece.at, next);
        } else {
            homeless.push(piece);
        }
    }
    (numbered, homeless)
}

//! What must hold after any fault, judged from the file alone and from what the writers said.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use dryhold::desk::{Clock, Desk, Standing};
use dryhold::domain::entry::Body;
use dryhold::ledger::check;

use super::child::{Orders, Writer};
use super::{NOW, Place};

/// An entry of which a writer said that it is kept.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Kept {
    pub number: u64,
    pub id: u64,
    /// Of its note.
    pub length: usize,
}

impl Kept {
    pub(super) fn line(&self) -> String {
        format!("kept {} {} {} .\n", self.number, self.id, self.length)
    }

    /// The stop at its end tells a whole line from one whose writer was killed.
    pub(super) fn read(line: &str) -> Option<Self> {
        match line.split(' ').collect::<Vec<_>>()[..] {
            ["kept", number, id, length, "."] => {
                Some(Self { number: number.parse().ok()?, id: id.parse().ok()?, length: length.parse().ok()? })
            }
            _ => None,
        }
    }
}

/// Everything that is wrong with the ledger once it was opened again. `unsaid` is how many entries may be there of which
/// nobody said so: one for each writer that was killed.
pub(super) fn wrongs(ledger: &Path, kept: &[Kept], unsaid: usize) -> Vec<String> {
    let mut wrongs = vec![];
    let clock = Clock::set(NOW).expect("a time");
    let desk = match Desk::open_with(ledger, clock, "judge".to_owned(), None) {
        Ok(desk) => desk,
        Err(error) => return vec![format!("it cannot be opened: {error}")],
    };
    if *desk.standing() != Standing::Whole {
        wrongs.push(format!("it is not whole: {:?}", desk.standing()));
    }
    wrongs.extend(document_wrong(ledger));
    match check(ledger, None) {
        Ok(report) => wrongs.extend(report.faults.iter().map(|fault| format!("{fault:?}"))),
        Err(error) => wrongs.push(error.to_string()),
    }
    let numbers: BTreeSet<u64> = kept.iter().map(|kept| kept.number).collect();
    if numbers.len() < kept.len() {
        wrongs.push("a number was given twice".to_owned());
    }
    let ids: BTreeSet<_> = desk.entries().iter().map(|entry| entry.command).collect();
    if ids.len() < desk.entries().len() {
        wrongs.push("a command was noted twice".to_owned());
    }
    for (at, entry) in desk.entries().iter().enumerate() {
        if entry.number.0 != at as u64 + 1 {
            wrongs.push(format!("entry {} stands in place {}", entry.number, at + 1));
        }
    }
    for kept in kept {
        let there = usize::try_from(kept.number - 1).ok().and_then(|at| desk.entries().get(at));
        let is_it = there.is_some_and(|entry| {
            let note = match &entry.body {
                Body::Finding { note, .. } => note.len(),
                _ => usize::MAX,
            };
            (entry.command.0, note) == (kept.id, kept.length)
        });
        if !is_it {
            wrongs.push(format!("lost: {kept:?}"));
        }
    }
    let written = desk
        .entries()
        .iter()
        .filter(|entry| entry.terminal.starts_with("writer ") && entry.noted_by.as_str() != "terminal")
        .count();
    if written > kept.len() + unsaid {
        wrongs.push(format!("{written} entries are there, {} were said to be", kept.len()));
    }
    wrongs
}

/// The whole file, read by a parser that knows nothing of lines and chains.
pub(super) fn document_wrong(ledger: &Path) -> Option<String> {
    let text = fs::read(ledger)
        .map_err(|error| error.to_string())
        .and_then(|bytes| String::from_utf8(bytes).map_err(|error| error.to_string()));
    match text {
        Ok(text) => ron::from_str::<ron::Value>(&text).err().map(|error| format!("it is no document: {error}")),
        Err(error) => Some(error),
    }
}

/// The judge against wrongs that were made on purpose: one that finds nothing proves nothing.
#[test]
fn what_is_lost_doubled_or_not_closed_is_noticed() {
    let place = Place::new();
    let orders = Orders { seed: 11, count: 4, too_early: false };
    let kept = Writer::start(&place.path(), orders).finish();
    assert_eq!(wrongs(&place.path(), &kept, 0), [""; 0]);
    let whole = place.bytes();
    let said = |kept: &[Kept], unsaid| wrongs(&place.path(), kept, unsaid).join("\n");

    // Two writers were given one number: what a lock that does not hold would do.
    let mut doubled = kept.clone();
    doubled.push(Kept { id: 5, ..kept[3].clone() });
    assert!(said(&doubled, 0).contains("given twice") && said(&doubled, 0).contains("lost"));
    // Another entry than the one that was said, a longer note, and one that nobody said.
    assert!(said(&[Kept { id: 5, ..kept[2].clone() }], 3).contains("lost"));
    assert!(said(&[Kept { length: 20_000, ..kept[2].clone() }], 3).contains("lost"));
    assert!(said(&kept[..3], 0).contains("were said to be"));
    assert_eq!(said(&kept[..3], 1), "");

    // The last line is gone, and what is left is a whole ledger.
    let last = whole[..whole.len() - 4].iter().rposition(|byte| *byte == b'\n').expect("lines") + 1;
    fs::write(place.path(), [&whole[..last], b"])\n"].concat()).expect("a ledger");
    assert!(said(&kept, 0).contains("lost"));
    // The document is not closed. Whole lines may have stood behind: whoever opens it closes everything by an entry.
    fs::write(place.path(), &whole[..whole.len() - 2]).expect("a ledger");
    assert!(document_wrong(&place.path()).is_some());
    assert_eq!(said(&kept, 0), "");
    assert_eq!(document_wrong(&place.path()), None);
    let now = place.bytes();
    assert!(now.starts_with(&whole[..whole.len() - 3]), "nothing of it is changed");
    assert!(String::from_utf8_lossy(&now[whole.len() - 3..]).contains("EndLost("), "and it is said");
}

//! The ledger against everything that happens to files: cuts, flips, edits, other writers, failing disks.

mod damage;
mod disk;
mod mending;
mod opening;
mod round_trip;
mod writers;

use std::fs;
use std::path::PathBuf;

use chrono::TimeDelta;
use chrono_tz::Tz;
use tempfile::TempDir;

use super::chain;
use super::header::Header;
use super::line;
use super::open::{Access, Ledger, News};
use super::{Appended, LedgerError, create};
use crate::domain::code::Code;
use crate::domain::entry::{Body, CommandId, Entry, Known, Number, Place, Sighting, Sign, Time};

fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

/// 2026-03-02 08:00 UTC and so many minutes.
fn at(minutes: i64) -> Time {
    "2026-03-02T08:00:00Z".parse::<Time>().unwrap() + TimeDelta::minutes(minutes)
}

fn entry(number: u64, note: &str) -> Entry {
    let seen = vec![Sighting { sign: Sign::Eggs, zone: None }];
    Entry {
        number: Number(number),
        noted: at(number as i64),
        happened: at(number as i64 - 1),
        done_by: code("AB"),
        noted_by: code("CD"),
        terminal: "desk 4N".to_owned(),
        command: CommandId(0x1000 + number),
        place: Place::room(code("4N-12")),
        body: Body::Finding { seen, wiped_before: Known::Unknown, note: note.to_owned() },
    }
}

fn entries(count: u64) -> Vec<Entry> {
    (1..=count).map(|number| entry(number, &format!("note {number}"))).collect()
}

fn header() -> Header {
    Header { id: 7, time_zone: Tz::Europe__Berlin, rehearsal: false }
}

/// A folder with a ledger of so many entries in it.
struct Folder {
    folder: TempDir,
    path: PathBuf,
}

impl Folder {
    fn new(count: u64) -> Self {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("ledger.ron");
        create(&path, &header(), &entries(count)).unwrap();
        Self { folder, path }
    }

    fn bytes(&self) -> Vec<u8> {
        fs::read(&self.path).unwrap()
    }

    /// Puts other bytes into the same file.
    fn put(&self, bytes: &[u8]) {
        fs::write(&self.path, bytes).unwrap();
    }

    fn open(&self) -> (Ledger, Vec<Entry>) {
        Ledger::open(&self.path).unwrap()
    }

    /// The names of all files in the folder.
    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .unwrap()
            .map(|file| file.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

/// What closes everything where the end of a file was lost.
fn end_lost(number: Number) -> Entry {
    let body = Body::EndLost { bytes: 0, begins: String::new(), had_seen: None };
    Entry { place: Place::Hospital, body, command: CommandId(number.0), ..entry(number.0, "") }
}

/// Where this terminal keeps what it remembers.
fn remembers(folder: &Folder) -> Access {
    let marks = folder.folder.path().join("marks");
    fs::create_dir_all(&marks).unwrap();
    Access { only_looks: false, marks: Some(marks) }
}

/// Adds one entry, numbered after whatever is there.
fn add(ledger: &mut Ledger, note: &str) -> Result<Entry, LedgerError> {
    let next = |last: Number, news: &News| news.entries.last().map_or(last, |entry| entry.number).0 + 1;
    let last = ledger.last();
    match ledger.append(|news| Ok::<_, ()>(entry(next(last, &news), note)))? {
        Appended::Done(entry) => Ok(entry),
        other => panic!("{other:?}"),
    }
}

/// The text of a ledger with these lines, each what the chain covers of one.
fn text_of(header: &Header, covered: &[String]) -> String {
    let mut before = header.sum();
    let mut text = header.line();
    for one in covered {
        let (whole, value) = line::chained(one, before).unwrap();
        text.push_str(&whole);
        before = value;
    }
    text + "])\n"
}

fn covered(entries: &[Entry]) -> Vec<String> {
    entries.iter().map(|entry| line::covered(entry).unwrap()).collect()
}

/// The lines of a file, line feeds included.
fn lines(bytes: &[u8]) -> Vec<Vec<u8>> {
    bytes.split_inclusive(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect()
}

/// The numbers of the entries that close everything because their lines could not be believed.
fn closers(entries: &[Entry]) -> Vec<u64> {
    let unreadable = entries.iter().filter(|entry| matches!(entry.body, Body::Unreadable { .. }));
    unreadable.inspect(|entry| assert_eq!(entry.place, Place::Unknown)).map(|entry| entry.number.0).collect()
}

#[test]
fn the_chain_links_are_those_of_the_lines() {
    let place = Folder::new(2);
    let (ledger, _) = place.open();
    let first = &lines(&place.bytes())[1];
    assert_eq!(chain::split(first).map(|(_, value)| value), ledger.chain_at(1));
    assert_eq!(ledger.chain_at(0), None);
    assert_eq!(ledger.chain_at(3), None);
}

//! A mark of the newest entry that this terminal has seen in each file, kept apart from the ledger.
//!
//! A ledger that was cut between two lines, or brought back from an old copy, looks whole. Only a memory elsewhere can
//! tell. The mark is such a memory and nothing more: it can be deleted, and it never repairs anything. There is one for a
//! ledger and path, since a copy that goes on takes nothing from the file that it was made of.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::chain;
use super::open::Ledger;
use super::place::project;
use crate::domain::entry::Number;
use crate::domain::shown::shown;

/// So many of the newest entries are remembered one by one, and of those before them one in ever more.
const ONE_BY_ONE: u64 = 64;

/// The newest entry that was seen, and some before it, newest first: they tell how far an older copy goes along.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub number: Number,
    chain: u64,
    before: Vec<(u64, u64)>,
}

/// What this terminal remembers of one ledger.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Memory {
    /// Of the file at this path.
    pub mark: Option<Mark>,
    /// Of files elsewhere that have the ledger's id.
    pub others: Vec<(String, Mark)>,
}

/// Another file of this ledger's id, which holds what this one does not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Further {
    pub path: String,
    /// Its newest entry, as far as it was seen here.
    pub number: Number,
}

/// Where this user's marks lie. None: nowhere, so nothing is remembered.
pub fn mark_folder() -> Option<PathBuf> {
    let project = project()?;
    Some(project.state_dir().unwrap_or_else(|| project.cache_dir()).to_owned())
}

impl Ledger {
    /// The mark of the newest entry that was read.
    pub fn mark(&self) -> Mark {
        let newest = self.end.number;
        let one_by_one = (1..ONE_BY_ONE).map(|back| newest.checked_sub(back));
        let fewer = (6..64).map(|power| newest.checked_sub(1 << power));
        let at = |number: u64| Some((number, self.chain_at(number)?));
        let before = one_by_one.chain(fewer).map_while(|number| number.filter(|it| *it > 0)).filter_map(at).collect();
        Mark { number: Number(newest), chain: self.end.chain, before }
    }

    /// Whether the ledger still holds what was marked.
    pub fn holds(&self, mark: &Mark) -> bool {
        mark.number == Number(0) || self.chain_at(mark.number.0) == Some(mark.chain)
    }

    /// The newest entry that was marked and is still there. None: that cannot be told.
    pub fn kept_of(&self, mark: &Mark) -> Option<Number> {
        let is_there = |(number, chain): &&(u64, u64)| self.chain_at(*number) == Some(*chain);
        mark.before.iter().find(is_there).map(|(number, _)| Number(*number))
    }

    /// What this terminal has seen of this ledger. What cannot be read is not remembered.
    pub fn remembered(&self, folder: &Path) -> Memory {
        Memory { mark: read(folder, self.header.id, &self.path), others: others(folder, self.header.id, &self.path) }
    }

    /// The files that hold what this one does not.
    pub fn further(&self, memory: &Memory) -> Vec<Further> {
        let lacks = memory.others.iter().filter(|(_, mark)| !self.holds(mark));
        lacks.map(|(path, mark)| Further { path: path.clone(), number: mark.number }).collect()
    }

    /// Remembers the newest entry. Not synced: after a power cut an older mark is as good as none.
    pub fn write_mark(&self, folder: &Path) -> std::io::Result<()> {
        fs::create_dir_all(folder)?;
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        let Mark { number, chain, before } = self.mark();
        let line = |number: u64, value: u64| format!("{number} {}\n", chain::hex(value));
        let mut text = format!("{}{}\n", line(number.0, chain), named(&self.path));
        before.iter().for_each(|(number, value)| text.push_str(&line(*number, *value)));
        file.write_all(text.as_bytes())?;
        file.persist(own_file(folder, "seen", self.header.id, &self.path)).map_err(|failed| failed.error)?;
        // From when a mark had no path: this one takes its place.
        match fs::remove_file(folder.join(format!("seen-{:016x}", self.header.id))) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }
}

/// A path as it is told and compared.
pub(super) fn named(path: &Path) -> String {
    shown(&path.to_string_lossy())
}

/// This terminal's own file of a kind, for the ledger with this id at this path.
pub(super) fn own_file(folder: &Path, kind: &str, id: u64, path: &Path) -> PathBuf {
    let place = chain::value(0, path.as_os_str().as_encoded_bytes());
    folder.join(format!("{kind}-{id:016x}-{place:016x}"))
}

/// What was seen of the ledger with this id at this path.
pub(super) fn read(folder: &Path, id: u64, path: &Path) -> Option<Mark> {
    let own = fs::read_to_string(own_file(folder, "seen", id, path));
    let text = own.or_else(|_| fs::read_to_string(folder.join(format!("seen-{id:016x}")))).ok()?;
    understood(&text).map(|(_, mark)| mark)
}

fn others(folder: &Path, id: u64, path: &Path) -> Vec<(String, Mark)> {
    let (own, prefix) = (own_file(folder, "seen", id, path), format!("seen-{id:016x}-"));
    let files = fs::read_dir(folder).into_iter().flatten().filter_map(|file| Some(file.ok()?.path()));
    let is_other = |file: &PathBuf| {
        *file != own && file.file_name().is_some_and(|name| name.to_string_lossy().starts_with(&prefix))
    };
    let mut found: Vec<_> =
        files.filter(is_other).filter_map(|file| understood(&fs::read_to_string(file).ok()?)).collect();
    found.sort_by(|(one, _), (two, _)| one.cmp(two));
    found
}

/// The path in a mark, empty in one from when there was none, and the mark.
fn understood(text: &str) -> Option<(String, Mark)> {
    let point = |line: &str| {
        let (number, value) = line.split_once(' ')?;
        Some((number.parse().ok()?, chain::read_hex(value.as_bytes())?))
    };
    let mut lines = text.lines();
    let (number, chain): (u64, u64) = point(lines.next()?)?;
    let path = lines.next().unwrap_or_default().to_owned();
    Some((path, Mark { number: Number(number), chain, before: lines.filter_map(point).collect() }))
}

//! A mark of the newest entry that this terminal has seen, kept apart from the ledger.
//!
//! A ledger that was cut between two lines, or brought back from an old copy, looks whole. Only a memory elsewhere can
//! tell. The mark is such a memory and nothing more: it can be deleted, and it never repairs anything.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::chain;
use super::open::Ledger;
use super::place::project;
use crate::domain::entry::Number;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    pub number: Number,
    chain: u64,
}

/// Where this user's marks lie. None: nowhere, so nothing is remembered.
pub fn mark_folder() -> Option<PathBuf> {
    let project = project()?;
    Some(project.state_dir().unwrap_or_else(|| project.cache_dir()).to_owned())
}

impl Ledger {
    /// The mark of the newest entry that was read.
    pub fn mark(&self) -> Mark {
        Mark { number: self.last(), chain: self.end.chain }
    }

    /// Whether the ledger still holds what was marked.
    pub fn holds(&self, mark: Mark) -> bool {
        mark.number == Number(0) || self.chain_at(mark.number.0) == Some(mark.chain)
    }

    /// What this terminal has seen of this ledger. A mark that cannot be read is none.
    pub fn read_mark(&self, folder: &Path) -> Option<Mark> {
        read(folder, self.header.id)
    }

    /// Remembers the newest entry. Not synced: after a power cut an older mark is as good as none.
    pub fn write_mark(&self, folder: &Path) -> std::io::Result<()> {
        fs::create_dir_all(folder)?;
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        writeln!(file, "{} {}", self.end.number, chain::hex(self.end.chain))?;
        file.persist(mark_path(folder, self.header.id)).map_err(|failed| failed.error)?;
        Ok(())
    }
}

fn mark_path(folder: &Path, id: u64) -> PathBuf {
    folder.join(format!("seen-{id:016x}"))
}

/// What was seen of the ledger with this id.
pub(super) fn read(folder: &Path, id: u64) -> Option<Mark> {
    let text = fs::read_to_string(mark_path(folder, id)).ok()?;
    let (number, value) = text.trim_end().split_once(' ')?;
    Some(Mark { number: Number(number.parse().ok()?), chain: chain::read_hex(value.as_bytes())? })
}

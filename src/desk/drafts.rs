//! What a person had begun to type when the program ended: one small file a ledger and person, in this user's own folder.
//!
//! Never in the ledger: nothing happened yet. Whoever signs in as that person at this terminal finds it again; nobody else
//! is shown it. Only this user of the computer can read the file.

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use super::Desk;
use crate::domain::code::Code;

/// More than all forms at once hold; a file that is longer was not written here.
const LONGEST: u64 = 1 << 20;

impl Desk {
    /// What is begun outlives the program. Not so in the demo, whose ledger does not either.
    pub fn keeps_drafts(&self) -> bool {
        self.marks.is_some()
    }

    /// Keeps this text in place of what was kept before. Empty: nothing is kept any more.
    pub fn keep_drafts(&mut self, person: Code, text: &str) -> io::Result<()> {
        let (Some(folder), Some(path)) = (self.marks.as_deref(), self.drafts_file(person)) else { return Ok(()) };
        let done = keep(folder, &path, text);
        self.has_kept(&done);
        done
    }

    /// What this person had begun. None: nothing, or it cannot be read.
    pub fn drafts(&self, person: Code) -> Option<String> {
        let mut text = String::new();
        let file = fs::File::open(self.drafts_file(person)?).ok()?;
        file.take(LONGEST).read_to_string(&mut text).ok()?;
        Some(text)
    }

    fn drafts_file(&self, person: Code) -> Option<PathBuf> {
        Some(self.marks.as_deref()?.join(format!("drafts-{:016x}-{}", self.header().id, super::in_hex(person))))
    }
}

fn keep(folder: &Path, path: &Path, text: &str) -> io::Result<()> {
    if text.is_empty() {
        return match fs::remove_file(path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
            done => done,
        };
    }
    fs::create_dir_all(folder)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.persist(path).map_err(|failed| failed.error)?;
    Ok(())
}

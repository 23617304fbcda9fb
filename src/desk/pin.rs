//! PINs: they tell who is at the keyboard, no more. Hashed with a memory-hard function. Whoever types wrong ones waits a
//! little longer each time; nobody is locked out.
//!
//! Wrong attempts are counted in a file beside the mark, so that those of a program that ended are noted too. Like the
//! mark it is a help, not truth: it can be deleted.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};

use super::clock::by_the_computer;
use super::{Desk, Outcome, new_command_id};
use crate::domain::code::Code;
use crate::domain::decide::Command;
use crate::domain::entry::{Body, Place};

/// So many wrong PINs cost nothing but the typing.
const FREE_TRIES: u32 = 3;
/// Seconds. Guessing is slow then, and whoever comes next still gets in within a minute.
const LONGEST_WAIT: u64 = 60;

#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum PinError {
    #[error("{0} is not on the roster")]
    NotOnRoster(Code),
    #[error("{0} has set a PIN: type it")]
    Wanted(Code),
    #[error("that is not the PIN of {0}")]
    Wrong(Code),
    /// After several wrong ones: seconds until the next is looked at.
    #[error("after several wrong PINs the next is looked at in {0} s: wait, then type it again")]
    TooSoon(u64),
    #[error("a PIN has 4 to 64 characters")]
    Length,
    #[error("the PIN could not be hashed: {0}")]
    Hash(String),
}

/// The hash of a new PIN, with a salt of its own, in its standard text form.
pub fn hash_pin(pin: &str) -> Result<String, PinError> {
    if !(4..=64).contains(&pin.chars().count()) {
        return Err(PinError::Length);
    }
    let hash = Argon2::default().hash_password(pin.as_bytes()).map_err(|error| PinError::Hash(error.to_string()))?;
    Ok(hash.to_string())
}

impl Desk {
    /// Whether this person has to type a PIN, by the ledger as it is now: it may have been set at another terminal just now.
    pub fn wants_pin(&mut self, person: Code) -> bool {
        self.follow();
        self.board().people().get(&person).is_some_and(|p| p.pin_hash.is_some())
    }

    /// Checks who is at the keyboard, by the ledger as it is now. Wrong attempts are noted with the next success.
    pub fn check_pin(&mut self, person: Code, pin: Option<&str>) -> Result<(), PinError> {
        self.follow();
        let known = self.board().people().get(&person).filter(|p| !p.left).ok_or(PinError::NotOnRoster(person))?;
        let Some(hash) = known.pin_hash.clone() else { return Ok(()) };
        let pin = pin.ok_or(PinError::Wanted(person))?;
        if let Some(seconds) = self.waits(person) {
            return Err(PinError::TooSoon(seconds));
        }
        let parsed = PasswordHash::new(&hash).map_err(|error| PinError::Hash(error.to_string()))?;
        if Argon2::default().verify_password(pin.as_bytes(), &parsed).is_err() {
            self.count_failed(person);
            return Err(PinError::Wrong(person));
        }
        let failed_before = self.failed(person);
        if failed_before > 0
            && let Ok(id) = new_command_id()
        {
            let command = Command::new(id, Place::Hospital, Body::SignedIn { failed_before });
            if matches!(self.note(&command, person), Outcome::Done(_)) {
                self.forget_failed(person);
            }
        }
        Ok(())
    }

    /// Seconds until another PIN of this person is looked at. A clock that was set back makes nobody wait.
    fn waits(&self, person: Code) -> Option<u64> {
        let over = self.failed(person).checked_sub(FREE_TRIES).filter(|over| *over > 0)?;
        let wait = 1_u64.checked_shl(over).unwrap_or(u64::MAX).min(LONGEST_WAIT);
        let in_file = self.failed_file(person).and_then(|path| fs::metadata(path).ok()?.modified().ok());
        let last = in_file.max(self.last_failed.get(&person).copied())?;
        let gone = by_the_computer().duration_since(last).ok()?.as_secs();
        (gone < wait).then(|| wait - gone)
    }

    fn count_failed(&mut self, person: Code) {
        self.last_failed.insert(person, by_the_computer());
        let counted = self.failed_file(person).is_some_and(|path| add_one(&path).is_ok());
        if !counted {
            *self.failed_pins.entry(person).or_default() += 1;
        }
    }

    /// Wrong attempts that are not noted yet, here and in programs that ended.
    fn failed(&self, person: Code) -> u32 {
        let here = self.failed_pins.get(&person).copied().unwrap_or(0);
        let file = self.failed_file(person).and_then(|path| fs::metadata(path).ok());
        here.saturating_add(file.map_or(0, |file| u32::try_from(file.len()).unwrap_or(u32::MAX)))
    }

    fn forget_failed(&mut self, person: Code) {
        self.failed_pins.remove(&person);
        if let Some(path) = self.failed_file(person) {
            // If it stays, the same attempts are noted once more, which is better than never.
            let _ = fs::remove_file(path);
        }
    }

    /// One file a ledger and person.
    fn failed_file(&self, person: Code) -> Option<PathBuf> {
        Some(self.marks.as_deref()?.join(format!("failed-pins-{:016x}-{}", self.header().id, super::in_hex(person))))
    }
}

/// The file's length is the count: adding a byte loses nothing when two programs do it at once.
fn add_one(path: &Path) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    fs::OpenOptions::new().create(true).append(true).open(path)?.write_all(b"x")
}

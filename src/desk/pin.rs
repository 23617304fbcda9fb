//! PINs: they tell who is at the keyboard, no more. Hashed with a memory-hard function; a wrong one locks nobody out.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};

use super::{Desk, Outcome, new_command_id};
use crate::domain::code::Code;
use crate::domain::decide::Command;
use crate::domain::entry::{Body, Place};

#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum PinError {
    #[error("{0} is not on the roster")]
    NotOnRoster(Code),
    #[error("{0} has set a PIN: type it")]
    Wanted(Code),
    #[error("that is not the PIN of {0}")]
    Wrong(Code),
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
    /// Whether this person has to type a PIN.
    pub fn wants_pin(&self, person: Code) -> bool {
        self.board().people().get(&person).is_some_and(|p| p.pin_hash.is_some())
    }

    /// Checks who is at the keyboard. Wrong attempts are noted with the next success.
    pub fn check_pin(&mut self, person: Code, pin: Option<&str>) -> Result<(), PinError> {
        let known = self.board().people().get(&person).filter(|p| !p.left).ok_or(PinError::NotOnRoster(person))?;
        let Some(hash) = known.pin_hash.clone() else { return Ok(()) };
        let pin = pin.ok_or(PinError::Wanted(person))?;
        let parsed = PasswordHash::new(&hash).map_err(|error| PinError::Hash(error.to_string()))?;
        if Argon2::default().verify_password(pin.as_bytes(), &parsed).is_err() {
            *self.failed_pins.entry(person).or_default() += 1;
            return Err(PinError::Wrong(person));
        }
        if let Some(failed_before) = self.failed_pins.remove(&person)
            && let Ok(id) = new_command_id()
        {
            let command = Command::new(id, Place::Hospital, Body::SignedIn { failed_before });
            if !matches!(self.note(&command, person), Outcome::Done(_)) {
                self.failed_pins.insert(person, failed_before);
            }
        }
        Ok(())
    }
}

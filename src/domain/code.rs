//! Codes: the short names by which the ledger speaks of a ward, a room, a bed, a zone, a bag or a person.
//!
//! A code is printable ASCII, 1 to 20 characters, without `| ^ ~ \ &` (they separate fields in hospital messages),
//! without `, = "` (they separate answers on our own command line), and without a space at either end.
//! Two codes are the same if they differ only in upper and lower case; what was typed first is what is shown.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::str::FromStr;

/// The longest code, in characters (which are bytes: codes are ASCII).
pub const LONGEST_CODE: usize = 20;

/// A location's, zone's, bag's or person's short name. Cheap to copy; equal without regard to case.
#[derive(Clone, Copy)]
pub struct Code {
    length: u8,
    text: [u8; LONGEST_CODE],
}

/// Why a text is no code. One sentence says what to change.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    #[error("a code cannot be empty")]
    Empty,
    #[error("“{0}” is longer than {LONGEST_CODE} characters: shorten it")]
    TooLong(String),
    #[error("“{text}” holds {found}, which a code cannot: use ASCII letters, digits, - . / _ and spaces inside")]
    Character { text: String, found: String },
}

impl Code {
    /// Reads a code. Spaces at the ends are dropped.
    pub fn new(text: &str) -> Result<Self, CodeError> {
        let trimmed = text.trim_matches(' ');
        if trimmed.is_empty() {
            return Err(CodeError::Empty);
        }
        if let Some(wrong) = trimmed.chars().find(|c| !Self::allows(*c)) {
            let found = format!("“{}”", wrong.escape_default());
            return Err(CodeError::Character { text: shortened(trimmed), found });
        }
        if trimmed.len() > LONGEST_CODE {
            return Err(CodeError::TooLong(shortened(trimmed)));
        }
        let mut bytes = [0; LONGEST_CODE];
        bytes[..trimmed.len()].copy_from_slice(trimmed.as_bytes());
        Ok(Self { length: trimmed.len() as u8, text: bytes })
    }

    fn allows(c: char) -> bool {
        matches!(c, ' '..='~') && !matches!(c, '|' | '^' | '~' | '\\' | '&' | ',' | '=' | '"')
    }

    pub fn as_str(&self) -> &str {
        std::str::from_utf8(&self.text[..usize::from(self.length)]).expect("a code is ASCII")
    }
}

/// At most 24 characters of a wrong code, cleaned for an error message.
fn shortened(text: &str) -> String {
    super::shown::shown(&text.chars().take(24).collect::<String>())
}

impl PartialEq for Code {
    fn eq(&self, other: &Self) -> bool {
        self.length == other.length && self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Code {}
impl Hash for Code {
    fn hash<H: Hasher>(&self, state: &mut H) {
        for byte in self.as_str().bytes() {
            state.write_u8(byte.to_ascii_uppercase());
        }
        state.write_u8(0xff);
    }
}
impl Ord for Code {
    fn cmp(&self, other: &Self) -> Ordering {
        // Letter by letter, and only where they differ without regard to case: this is asked more often than anything else.
        for (one, other) in self.text.iter().zip(&other.text) {
            let (one, other) = (one.to_ascii_uppercase(), other.to_ascii_uppercase());
            if one != other {
                return one.cmp(&other);
            }
        }
        Ordering::Equal
    }
}
impl PartialOrd for Code {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}
impl fmt::Debug for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}
impl FromStr for Code {
    type Err = CodeError;
    fn from_str(text: &str) -> Result<Self, CodeError> {
        Self::new(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_does_not_make_two_codes() {
        let (a, b) = (Code::new("4n-12A").unwrap(), Code::new("4N-12a").unwrap());
        assert_eq!(a, b);
        assert_eq!(a.cmp(&b), Ordering::Equal);
        assert_eq!(a.as_str(), "4n-12A");
    }

    #[test]
    fn what_separates_fields_elsewhere_is_refused() {
        for text in ["a|b", "a^b", "a~b", "a\\b", "a&b", "a,b", "a=b", "a\"b", "é", "a\nb", "\u{1b}[31m"] {
            assert!(matches!(Code::new(text), Err(CodeError::Character { .. })), "{text:?}");
        }
        assert!(Code::new("12345678901234567890").is_ok());
        assert!(matches!(Code::new("123456789012345678901"), Err(CodeError::TooLong(_))));
        assert_eq!(Code::new("  "), Err(CodeError::Empty));
        assert!(!Code::new("a\u{1b}").unwrap_err().to_string().contains('\u{1b}'));
    }
}

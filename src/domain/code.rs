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

/// Eight bytes of a code. Three of them hold one, so that comparing, which is asked more often than anything else, is three steps.
type Word = [u8; 8];
const WORDS: usize = 3;

/// A location's, zone's, bag's or person's short name. Cheap to copy; equal without regard to case.
#[derive(Clone, Copy)]
pub struct Code {
    /// The text, zeros, and in the last byte its length.
    words: [Word; WORDS],
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
        let mut words = [Word::default(); WORDS];
        let bytes = words.as_flattened_mut();
        bytes[..trimmed.len()].copy_from_slice(trimmed.as_bytes());
        if let Some(last) = bytes.last_mut() {
            *last = trimmed.len() as u8;
        }
        Ok(Self { words })
    }

    fn allows(c: char) -> bool {
        matches!(c, ' '..='~') && !matches!(c, '|' | '^' | '~' | '\\' | '&' | ',' | '=' | '"')
    }

    pub fn as_str(&self) -> &str {
        let bytes = self.words.as_flattened();
        let length = bytes.last().map_or(0, |length| usize::from(*length));
        std::str::from_utf8(&bytes[..length]).expect("a code is ASCII")
    }
}

/// Without regard to case.
#[inline]
fn same(one: Word, other: Word) -> bool {
    one == other || upper(u64::from_be_bytes(one)) == upper(u64::from_be_bytes(other))
}

/// In the order of the letters, without regard to case.
#[inline]
fn compare(one: Word, other: Word) -> Ordering {
    match one == other {
        true => Ordering::Equal,
        false => upper(u64::from_be_bytes(one)).cmp(&upper(u64::from_be_bytes(other))),
    }
}

/// Eight ASCII letters at once, the small ones made large.
#[inline]
fn upper(word: u64) -> u64 {
    const EACH: u64 = u64::from_be_bytes([1; 8]);
    // The top bit of a byte tells whether it comes after `z`, and whether from `a` on.
    let after_z = word + EACH * u64::from(0x7f - b'z');
    let from_a = word + EACH * u64::from(0x80 - b'a');
    word ^ (((from_a ^ after_z) & (EACH << 7)) >> 2)
}

/// At most 24 characters of a wrong code, cleaned for an error message.
fn shortened(text: &str) -> String {
    super::shown::shown(&text.chars().take(24).collect::<String>())
}

impl PartialEq for Code {
    #[inline]
    fn eq(&self, other: &Self) -> bool {
        let ([a, b, c], [x, y, z]) = (self.words, other.words);
        same(a, x) && same(b, y) && same(c, z)
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
    #[inline]
    fn cmp(&self, other: &Self) -> Ordering {
        let ([a, b, c], [x, y, z]) = (self.words, other.words);
        match compare(a, x) {
            Ordering::Equal => match compare(b, y) {
                Ordering::Equal => compare(c, z),
                decided => decided,
            },
            decided => decided,
        }
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
    fn codes_stand_in_the_order_of_their_letters_without_regard_to_case() {
        let allowed: Vec<char> = (' '..='~').filter(|c| Code::allows(*c) && *c != ' ').collect();
        for one in &allowed {
            for other in &allowed {
                for place in [0, 6, 7, 8, 19] {
                    let text = |c: &char| format!("{}{c}", &"ABCDEFGHIJKLMNOPQRS"[..place]);
                    let (a, b) = (text(one), text(other));
                    let wanted = a.to_ascii_uppercase().cmp(&b.to_ascii_uppercase());
                    let (a, b) = (Code::new(&a).unwrap(), Code::new(&b).unwrap());
                    assert_eq!((a.cmp(&b), a == b), (wanted, wanted == Ordering::Equal), "{a} {b}");
                }
            }
        }
        assert!(Code::new("A").unwrap() < Code::new("A-1").unwrap());
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

//! What can be wrong with a room list, said so that it can be mended: file, line, column, what, and how to fix it.

use std::fmt;
use std::io;
use std::path::PathBuf;

use crate::domain::shown::not_shown;

/// How many faults are shown. One wrong column can give thousands.
const SHOWN: usize = 20;

/// One thing that is wrong in a room list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// From 1, as an editor counts.
    pub line: u64,
    /// The column's name, or its position in a line of RON. Empty: the whole line.
    pub column: String,
    pub what: String,
    pub fix: String,
}

impl Fault {
    pub fn new(line: u64, column: &str, what: impl Into<String>, fix: impl Into<String>) -> Self {
        Self { line, column: column.to_owned(), what: what.into(), fix: fix.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if !self.column.is_empty() {
            write!(f, ", column {}", self.column)?;
        }
        write!(f, ": {}. {}.", self.what, self.fix)
    }
}

/// Why no hospital was made of a room list.
#[derive(Debug, thiserror::Error)]
pub enum SetupError {
    #[error("{}: cannot be read: {source}", path.display())]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{}: {}", path.display(), listed(faults))]
    Faults { path: PathBuf, faults: Vec<Fault> },
    #[error("“{0}” names no lead: write initials, a comma and a name, such as LD,\"L. Dorn\" ({1})")]
    Lead(String, String),
    #[error("the hospital's name holds {0}: leave that out")]
    Name(String),
}

fn listed(faults: &[Fault]) -> String {
    let mut text = match faults.len() {
        1 => "one fault, nothing was made".to_owned(),
        many => format!("{many} faults, nothing was made"),
    };
    for fault in faults.iter().take(SHOWN) {
        text.push_str(&format!("\n  {fault}"));
    }
    if faults.len() > SHOWN {
        text.push_str(&format!("\n  and {} more", faults.len() - SHOWN));
    }
    text
}

/// The first character that may not stand in a name, in words. Right-to-left text and emoji may.
pub fn unprintable(text: &str) -> Option<String> {
    let is_break = |c: char| matches!(c, '\n' | '\r' | '\t');
    let c = text.chars().find(|c| is_break(*c)).or_else(|| not_shown(text))?;
    Some(match c {
        '\n' | '\r' | '\u{2028}' | '\u{2029}' => "a line break".to_owned(),
        '\t' => "a tab".to_owned(),
        c if c.is_control() => format!("the control character {}", c.escape_unicode()),
        // These turn the direction of everything that follows on the screen.
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            format!("the hidden direction mark {}", c.escape_unicode())
        }
        c => format!("the hidden mark {}", c.escape_unicode()),
    })
}

/// A cell as it may be shown in an error: short, with nothing in it that moves a terminal.
pub(super) fn quoted(text: &str) -> String {
    let clean: String =
        text.chars().take(30).map(|c| if unprintable(&c.to_string()).is_some() { '?' } else { c }).collect();
    let more = if text.chars().nth(30).is_some() { "…" } else { "" };
    format!("“{clean}{more}”")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_twenty_faults_are_shown_and_the_rest_counted() {
        let faults = (1..=25).map(|line| Fault::new(line, "room", "no code", "Type one")).collect();
        let text = SetupError::Faults { path: PathBuf::from("rooms.csv"), faults }.to_string();
        assert!(
            text.starts_with("rooms.csv: 25 faults, nothing was made\n  line 1, column room: no code. Type one."),
            "{text}"
        );
        assert!(text.contains("line 20,") && !text.contains("line 21,") && text.ends_with("and 5 more"), "{text}");
    }

    #[test]
    fn names_may_hold_any_script_and_emoji_but_nothing_that_moves_a_terminal() {
        for name in ["חדר 12", "غرفة", "Room 👩‍🚀 7", "Zimmer „Süd“, 2", "O'Hara \"east\""] {
            assert_eq!(unprintable(name), None, "{name}");
        }
        for name in
            ["a\u{1b}[2J", "a\u{7}", "a\nb", "a\u{202e}b", "a\u{9b}31m", "a\0", "a\u{200d}b", "\u{200b}", "\u{feff}a"]
        {
            assert!(unprintable(name).is_some(), "{name:?}");
            assert!(unprintable(&quoted(name)).is_none(), "{name:?}");
        }
    }
}

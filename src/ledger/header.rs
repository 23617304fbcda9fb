//! The first line: which ledger this is. Written once, never changed.

use chrono_tz::Tz;

use super::chain;
use super::error::LedgerError;
use std::path::Path;

/// The format that this version writes, and the newest that it reads.
pub const FORMAT: u64 = 1;

/// The longest first line that is looked at.
pub(super) const LONGEST_HEADER: usize = 4096;

const NAME: &str = "Ledger(format:";
const OPENING: &str = ",entries:[\n";

/// What closes the document, and what every append writes over.
pub(super) const TAIL: &[u8] = b"])\n";

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Header {
    /// Tells one ledger from another, also when files are renamed.
    pub id: u64,
    pub time_zone: Tz,
    /// This ledger is for practice only. Cannot be changed.
    pub rehearsal: bool,
}

impl Header {
    /// A header for a new ledger, with an id that no other has.
    pub fn new(time_zone: Tz, rehearsal: bool) -> Result<Self, LedgerError> {
        let id =
            getrandom::u64().map_err(|error| LedgerError::Unwritable { why: format!("no random number: {error}") })?;
        Ok(Self { id, time_zone, rehearsal })
    }

    fn text(&self) -> String {
        let Self { id, time_zone, rehearsal } = self;
        format!("{NAME}{FORMAT},id:{},time_zone:\"{time_zone}\",rehearsal:{rehearsal},sum:", chain::hex(*id))
    }

    /// The value on which the first entry's line follows.
    pub(super) fn sum(&self) -> u64 {
        chain::value(0, self.text().as_bytes())
    }

    /// The first line, line feed included.
    pub(super) fn line(&self) -> String {
        format!("{}{}{OPENING}", self.text(), chain::hex(self.sum()))
    }

    /// Reads the first line out of the beginning of a file. Also says how many bytes it is.
    pub(super) fn read(path: &Path, start: &[u8]) -> Result<(Self, usize), LedgerError> {
        let path = path.to_owned();
        if start.is_empty() {
            return Err(LedgerError::Empty { path });
        }
        if start.starts_with(b"\xef\xbb\xbf") {
            return Err(LedgerError::Edited { path, how: "a byte order mark stands before its first line" });
        }
        if start.starts_with(b"\xff\xfe") || start.starts_with(b"\xfe\xff") {
            return Err(LedgerError::NotALedger { path, why: "its text is UTF-16".to_owned() });
        }
        let Some(after_name) = start.strip_prefix(NAME.as_bytes()) else {
            let why =
                if NAME.as_bytes().starts_with(start) { "it breaks off at once" } else { "its first line is another" };
            return Err(LedgerError::NotALedger { path, why: why.to_owned() });
        };
        let digits: Vec<u8> = after_name.iter().copied().take_while(u8::is_ascii_digit).take(18).collect();
        let format = String::from_utf8_lossy(&digits).parse::<u64>().unwrap_or(0);
        if format > FORMAT {
            return Err(LedgerError::NewerFormat { path, found: format });
        }
        let damaged = |why: &str| LedgerError::HeaderDamaged { path: path.clone(), why: why.to_owned() };
        let length = start.iter().position(|byte| *byte == b'\n').ok_or_else(|| damaged("it does not end"))? + 1;
        let line = start.get(..length).and_then(|line| std::str::from_utf8(line).ok());
        let line = line.ok_or_else(|| damaged("it is not text"))?;
        if line.ends_with("\r\n") {
            return Err(LedgerError::Edited { path, how: "its lines end as on Windows" });
        }
        let header = Self::guess(line).ok_or_else(|| damaged("a part of it is missing"))?;
        // The line must be, byte by byte, what this program writes for what it says.
        if header.line() == line { Ok((header, length)) } else { Err(damaged("its check sum does not fit")) }
    }

    /// What a first line seems to say, whether or not it is whole. None: not even that.
    pub(super) fn guess(line: &str) -> Option<Self> {
        let between = |from: &str, to: &str| line.split_once(from)?.1.split_once(to).map(|(value, _)| value);
        let id = chain::read_hex(between(",id:", ",")?.as_bytes())?;
        let time_zone = between("time_zone:\"", "\"")?.parse().ok()?;
        let rehearsal = between("rehearsal:", ",")?.parse().ok()?;
        Some(Self { id, time_zone, rehearsal })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn header() -> Header {
        Header { id: 0x1234_5678_9abc_def0, time_zone: Tz::Europe__Berlin, rehearsal: false }
    }

    #[test]
    fn a_header_reads_back() {
        let line = header().line();
        assert!(
            line.starts_with(
                "Ledger(format:1,id:0x123456789abcdef0,time_zone:\"Europe/Berlin\",rehearsal:false,sum:0x"
            )
        );
        assert_eq!(Header::read(Path::new("x"), line.as_bytes()).unwrap(), (header(), line.len()));
    }

    #[test]
    fn no_flipped_bit_of_a_header_is_taken() {
        let line = header().line().into_bytes();
        for bit in 0..line.len() * 8 {
            let mut flipped = line.clone();
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert!(Header::read(Path::new("x"), &flipped).is_err(), "bit {bit}");
        }
    }

    #[test]
    fn what_is_no_ledger_is_said_for_what_it_is() {
        let said = |bytes: &[u8]| Header::read(Path::new("x"), bytes).unwrap_err();
        assert!(matches!(said(b""), LedgerError::Empty { .. }));
        assert!(matches!(said(b"SQLite format 3\0"), LedgerError::NotALedger { .. }));
        assert!(matches!(said(b"Ledg"), LedgerError::NotALedger { .. }));
        assert!(matches!(said(b"Ledger(format:2,whatever"), LedgerError::NewerFormat { found: 2, .. }));
        assert!(matches!(said(&[b"\xef\xbb\xbf", header().line().as_bytes()].concat()), LedgerError::Edited { .. }));
        assert!(matches!(said(header().line().replace('\n', "\r\n").as_bytes()), LedgerError::Edited { .. }));
        assert!(matches!(said(&header().line().as_bytes()[..40]), LedgerError::HeaderDamaged { .. }));
    }
}

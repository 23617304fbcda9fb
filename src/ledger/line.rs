//! One entry as one line, both ways.
//!
//! `(number,"noted","happened","done by","noted by","terminal",0xcommand,Place,Body(…),0xchain),` and a line feed. The
//! tuple is fixed for ever; only the body can grow. A verified line is always an entry: what cannot be read of it
//! becomes an unreadable body, which closes its place.

use ron::value::RawValue;

use super::chain;
use super::error::LedgerError;
use super::wire::{self, AsText, RESERVED_KINDS, Text, Wire, read_time, time_text};
use crate::domain::code::Code;
use crate::domain::entry::{Body, CommandId, Entry, Number, Place, Time};

/// The longest line, line feed included.
pub(super) const LONGEST_LINE: usize = 64 * 1024;

/// The whole line of an entry that follows on the value `before`, and its own value. Checked to read back the same.
pub(super) fn write(entry: &Entry, before: u64) -> Result<(String, u64), LedgerError> {
    let (line, value) = chained(&covered(entry)?, before)?;
    if verify(line.as_bytes(), entry.number.0, before) != Some(value) {
        return Err(LedgerError::Unwritable { why: "its line does not verify".to_owned() });
    }
    if read(&line, entry.number, entry.noted) != *entry {
        return Err(LedgerError::Unwritable { why: "a value of it has no spelling of its own in the file".to_owned() });
    }
    Ok((line, value))
}

/// What the chain covers of an entry's line: from `(` up to and with the last comma.
pub(super) fn covered(entry: &Entry) -> Result<String, LedgerError> {
    let unwritable = |error: ron::Error| LedgerError::Unwritable { why: error.to_string() };
    let place = ron::to_string(&wire::Place::of(&entry.place)).map_err(unwritable)?;
    let body = ron::to_string(&wire::Body::of(&entry.body)).map_err(unwritable)?;
    let terminal = ron::to_string(&entry.terminal).map_err(unwritable)?;
    Ok(format!(
        "({},\"{}\",\"{}\",\"{}\",\"{}\",{terminal},{},{place},{body},",
        entry.number,
        time_text(entry.noted),
        time_text(entry.happened),
        entry.done_by,
        entry.noted_by,
        chain::hex(entry.command.0),
    ))
}

/// The line for a text that the chain covers, from `(` up to the last comma.
pub(super) fn chained(text: &str, before: u64) -> Result<(String, u64), LedgerError> {
    let value = chain::value(before, text.as_bytes());
    let line = format!("{text}{}", chain::link(value));
    if line.len() > LONGEST_LINE {
        return Err(LedgerError::TooLong { bytes: line.len(), most: LONGEST_LINE });
    }
    Ok((line, value))
}

/// The line's value, if the line is whole, has this number, and follows on the value `before`.
pub(super) fn verify(line: &[u8], number: u64, before: u64) -> Option<u64> {
    let (text, value) = chain::split(line)?;
    let is_whole = line.len() <= LONGEST_LINE
        && text.starts_with(format!("({number},").as_bytes())
        && text.iter().all(|byte| *byte >= b' ' && *byte != 0x7f)
        && std::str::from_utf8(text).is_ok()
        && chain::value(before, text) == value;
    is_whole.then_some(value)
}

/// The number that a line claims, whether or not it is whole.
pub(super) fn claimed_number(line: &[u8]) -> Option<u64> {
    let digits = line.strip_prefix(b"(")?;
    let length = digits.iter().position(|byte| *byte == b',')?;
    let digits = std::str::from_utf8(digits.get(..length)?).ok()?;
    let is_plain = digits.bytes().all(|byte| byte.is_ascii_digit()) && !digits.starts_with('0');
    digits.parse().ok().filter(|_| is_plain)
}

type Whole = (u64, Text<Time>, Text<Time>, Text<Code>, Text<Code>, String, u64, wire::Place, wire::Body, u64);
type Envelope<'a> = (u64, String, String, String, String, String, u64, &'a RawValue, &'a RawValue, u64);

/// Reads a line as an entry, whatever it says. `before` is the time of the entry before it, used if its own is unreadable.
pub(super) fn read(line: &str, number: Number, before: Time) -> Entry {
    let line = line.trim_end_matches('\n');
    let tuple = line.strip_suffix(',').unwrap_or(line);
    let why = match ron::from_str::<Whole>(tuple) {
        Ok((_, noted, happened, done_by, noted_by, terminal, command, place, body, _)) => {
            if !place.names_nothing() {
                return Entry {
                    number,
                    noted: noted.0,
                    happened: happened.0,
                    done_by: done_by.0,
                    noted_by: noted_by.0,
                    terminal,
                    command: CommandId(command),
                    place: place.back(),
                    body: body.back(),
                };
            }
            "it names no room".to_owned()
        }
        Err(error) => error.code.to_string(),
    };
    from_envelope(line, &why, number, before)
}

/// An entry of which nothing is known but its line: it closes everything. Nothing of the line is believed, because a
/// damaged place would close the wrong room, and a damaged time would stop the clock.
pub(super) fn closer_of_all(raw: &str, why: &str, number: Number, before: Time) -> Entry {
    // A code that stands for nobody, for a line that does not say who.
    let nobody = Code::new("?").expect("a question mark is a code");
    let (kept, is_cut) = fitting(raw);
    let why = if is_cut { format!("{why}; its text is longer than is kept here") } else { why.to_owned() };
    Entry {
        number,
        noted: before,
        happened: before,
        done_by: nobody,
        noted_by: nobody,
        terminal: String::new(),
        command: CommandId(0),
        place: Place::Unknown,
        body: Body::Unreadable { raw: kept.to_owned(), why },
    }
}

/// As much of a text as fits into a line once it is written as a text inside it.
fn fitting(raw: &str) -> (&str, bool) {
    let mut kept = raw;
    while ron::to_string(kept).map_or(0, |written| written.len()) > LONGEST_LINE - 1024 {
        let half = kept.floor_char_boundary(kept.len() / 2);
        kept = kept.get(..half).unwrap_or_default();
    }
    (kept, kept.len() < raw.len())
}

/// What can be said of a good line whose body, or more, is not understood. Every part is taken that can be.
fn from_envelope(line: &str, why: &str, number: Number, before: Time) -> Entry {
    let tuple = line.strip_suffix(',').unwrap_or(line);
    let mut entry = closer_of_all(line, why, number, before);
    let Ok(envelope) = ron::from_str::<Envelope<'_>>(tuple) else { return entry };
    let (_, noted, happened, done_by, noted_by, terminal, command, place, body, _) = envelope;
    let times = read_time(&noted).and_then(|noted| Ok((noted, read_time(&happened)?)));
    let people = Code::read(&done_by).and_then(|done_by| Ok((done_by, Code::read(&noted_by)?)));
    let place = ron::from_str::<wire::Place>(place.get_ron()).map(Wire::back);
    let raw = body.get_ron().trim();
    let kind = raw.split_once('(').map_or(raw, |(kind, _)| kind);
    if let (Ok(_), Ok(_), Ok(_)) = (&times, &people, &place)
        && RESERVED_KINDS.contains(&kind)
    {
        entry.body = Body::Reserved { kind: kind.to_owned(), raw: raw.to_owned() };
    }
    if let Ok((noted, happened)) = times {
        (entry.noted, entry.happened) = (noted, happened);
    }
    if let Ok((done_by, noted_by)) = people {
        (entry.done_by, entry.noted_by) = (done_by, noted_by);
    }
    if let Ok(place) = place {
        entry.place = place;
    }
    entry.terminal = terminal;
    entry.command = CommandId(command);
    entry
}

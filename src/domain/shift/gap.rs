//! What is said first where the record may lack entries: whether anything was sprayed, nobody can read here.

use super::when::clock;
use crate::domain::board::{Board, gaps};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::sheet::sheets as sheets_of_all;
use crate::domain::shown::shown;

/// Something that may be missing, for as long as a ward was not walked since.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Gap {
    pub number: Number,
    /// What happened, in few words and capitals.
    pub title: &'static str,
    /// All of it; and what whoever stands before a room has to know, the fullest first.
    pub whole: String,
    pub short: Vec<String>,
}

impl Gap {
    /// Entries may be missing, as against a clock that is wrong.
    pub fn is_of_entries(&self) -> bool {
        self.title != CLOCK
    }
}

const CLOCK: &str = "A CLOCK IS WRONG";

/// The gaps that some ward still waits for: first the one that reaches back furthest, since nothing later says less.
pub fn missing(board: &Board, entries: &[Entry], now: Time) -> Vec<Gap> {
    let mut found: Vec<(Time, Gap)> = gaps(board, entries).map(|entry| gap(board, entries, entry, now)).collect();
    found.sort_by_key(|(since, gap)| (*since, std::cmp::Reverse(gap.number)));
    let ahead = entries.iter().rev().find(|entry| board.is_ahead(now) == Some(entry.noted));
    let clock = ahead.map(|entry| ahead_of(entry, board, now));
    let open = board.open_clocks().map(|(number, text)| disagreement(number, &text));
    clock.into_iter().chain(open).chain(found.into_iter().map(|(_, gap)| gap)).collect()
}

/// Another terminal, or this one, tells a wrong time.
fn ahead_of(entry: &Entry, board: &Board, now: Time) -> Gap {
    let zone = board.facility().time_zone;
    let number = entry.number;
    let (there, here) = (clock(entry.noted, now, zone), clock(now, now, zone));
    let at = shown(&entry.terminal);
    let whole = format!(
        "A clock is wrong: entry {number} was noted at {there} at terminal {at}, and here it is {here}. Every bed is closed here \
         until somebody says what time it is by a clock on the wall, and which of the two was wrong (clock)."
    );
    let short = vec![
        whole.clone(),
        format!(
            "entry {number} says {there}, here it is {here}: beds are closed until somebody says which is right (clock)"
        ),
        format!("entry {number} says {there}, here it is {here}"),
    ];
    Gap { number, title: CLOCK, whole, short }
}

/// Two clocks, of which nobody has said which was wrong.
fn disagreement(number: Number, text: &str) -> Gap {
    let mut capital = text.chars();
    let text: String = capital.next().into_iter().flat_map(char::to_uppercase).chain(capital).collect();
    let text = shown(&text);
    let whole = format!(
        "{text}. What rests on either is closed until somebody says what time it is by a clock on the wall, and which of the two \
         was wrong (clock)."
    );
    let short = vec![whole.clone(), format!("{text}: say which (clock)"), text];
    Gap { number, title: "A CLOCK IS WRONG", whole, short }
}

fn gap(board: &Board, entries: &[Entry], entry: &Entry, now: Time) -> (Time, Gap) {
    let zone = board.facility().time_zone;
    let wards = wards(board, entry.number);
    let number = entry.number;
    // As every room that waits for it has it.
    let known = board.rooms().find_map(|(_, room)| room.unsettled_by_name(number)?.gap);
    let from = match &entry.body {
        Body::Downtime { from, .. } => *from,
        _ => known.map_or(entry.noted, |gap| gap.after),
    };
    let has_begun = entries.first().is_some_and(|first| first.number < number);
    let since = has_begun.then(|| clock(from, now, zone));
    let lost = known.and_then(|gap| gap.lost);
    let walk = format!("the lead walks {wards} and signs");
    let (title, since, whole) = match &entry.body {
        Body::WentBack { .. } => {
            let lacks = lacks(lost, ": ");
            let since = since.unwrap_or_else(|| "its beginning".to_owned());
            let whole = format!("The record went back to {since} (entry {number}){lacks}");
            ("RECORD WENT BACK", since, whole)
        }
        Body::EndLost { begins, .. } => {
            let since = since.unwrap_or_else(|| "its beginning".to_owned());
            let begins = if begins.is_empty() { String::new() } else { format!(", “{}”", shown(begins)) };
            let lacks = lacks(lost, "; ");
            let whole = format!("What stood last in the file is gone (entry {number}){begins}{lacks}");
            ("END OF THE RECORD LOST", since, whole)
        }
        Body::Downtime { from, until, sheets } => {
            let (from, until) = (clock(*from, now, zone), clock(*until, now, zone));
            let sheets_of = sheets_of_all(board, entries).into_iter().find(|it| it.downtime == number);
            let nothing =
                sheets_of.and_then(|it| it.nothing_words()).map(|text| format!(" ({text})")).unwrap_or_default();
            let whole =
                format!("Nothing was noted here from {from} to {until} (entry {number}); sheets {sheets}{nothing}");
            ("DOWNTIME", from, whole)
        }
        Body::Restored { reason } => {
            let since = since.unwrap_or_else(|| clock(entry.noted, now, zone));
            let reason = shown(reason);
            ("RECORD MAY LACK ENTRIES", since, format!("Entries may be missing (entry {number}): {reason}"))
        }
        _ => ("RECORD MAY LACK ENTRIES", clock(entry.noted, now, zone), format!("Entries may be missing ({number})")),
    };
    let enter = match entry.body {
        Body::Downtime { .. } => {
            format!("sprays of that time may not be shown: ask before you enter a room of {wards}")
        }
        _ => format!("rooms sprayed since {since} are not shown: enter no room of {wards} without asking"),
    };
    let who = match entry.body {
        Body::Downtime { .. } => format!("Everybody notes what the sheets say; then {walk}"),
        _ => format!("Everybody notes again what was noted since then; then {walk}"),
    };
    let whole = format!("{whole}; {enter}. {who}.");
    let short = vec![
        whole.clone(),
        format!("{enter}; {walk}"),
        format!("sprays since {since} not shown: ask before entering {wards}; {walk}"),
        format!("since {since}: ask before entering {wards}; lead walks"),
        format!("since {since}: ask before you enter; lead walks"),
    ];
    (from, Gap { number, title, whole, short })
}

/// Which entries are missing, where that is known.
fn lacks(lost: Option<(Number, Number)>, before: &str) -> String {
    let Some((first, last)) = lost else { return String::new() };
    match last.0 - first.0 + 1 {
        1 => format!("{before}1 entry, {last}, is missing"),
        count => format!("{before}{count} entries, {first} to {last}, are missing"),
    }
}

/// The wards of which some room waits for its walk after this entry.
fn wards(board: &Board, number: Number) -> String {
    let waits = |code: &Code| board.room(*code).is_some_and(|room| room.unsettled_by_name(number).is_some());
    let wards = board.facility().wards.values().filter(|ward| ward.rooms.iter().any(waits));
    wards.map(|ward| ward.code.to_string()).collect::<Vec<_>>().join(", ")
}

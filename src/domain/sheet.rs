//! From which sheet of paper an entry was taken, and which sheets of a downtime nobody has entered yet.
//!
//! The envelope of an entry is fixed for ever, so the sheet stands behind the terminal's name, `desk 4N (sheet 4)`, where a
//! version that knows nothing of sheets reads it as part of that name. It is said by whoever notes it, and no rule reads it.

use super::board::{Board, gaps};
use super::code::Code;
use super::entry::{Body, Entry, Number, Time};
use super::shown::shown;

/// Before the sheet in the terminal's text, and behind it.
const OPENS: &str = " (sheet ";
const CLOSES: char = ')';

/// More sheets than this are no downtime's.
const MOST: u32 = 500;

impl Entry {
    /// The sheet that it was taken from: `4`, or `4.2` for the second box of sheet 4. None: no sheet, or none stated.
    pub fn sheet(&self) -> Option<&str> {
        Some(self.terminal.strip_suffix(CLOSES)?.rsplit_once(OPENS)?.1).filter(|sheet| Code::new(sheet).is_ok())
    }

    /// The terminal's own name.
    pub fn terminal_name(&self) -> &str {
        match self.sheet() {
            Some(_) => self.terminal.rsplit_once(OPENS).map_or("", |(name, _)| name),
            None => &self.terminal,
        }
    }
}

/// The text that says both.
pub fn with_sheet(terminal: &str, sheet: Option<Code>) -> String {
    match sheet {
        Some(sheet) => format!("{terminal}{OPENS}{sheet}{CLOSES}"),
        // A name that reads as if it had a sheet must not.
        None if terminal.ends_with(CLOSES) && terminal.contains(OPENS) => terminal.replace(OPENS, " [sheet "),
        None => terminal.to_owned(),
    }
}

/// The downtimes of which sheets may still be entered, the newest last: some ward was not walked since.
pub fn being_entered<'a>(board: &'a Board, entries: &'a [Entry]) -> Vec<&'a Entry> {
    gaps(board, entries).filter(|entry| matches!(entry.body, Body::Downtime { .. })).collect()
}

/// The sheet that was typed, if it is one of those that are being entered; else what is wrong, in a sentence.
pub fn read_sheet(text: &str, board: &Board, entries: &[Entry]) -> Result<Code, String> {
    let sheet = Code::new(text).map_err(|error| error.to_string())?;
    let open = being_entered(board, entries);
    if open.is_empty() {
        return Err(
            "no downtime's sheets are being entered: the lead notes the downtime first, or leave the sheet out"
                .to_owned(),
        );
    }
    let stated: Vec<(Number, &str)> = open
        .iter()
        .filter_map(|entry| match &entry.body {
            Body::Downtime { sheets, .. } => Some((entry.number, sheets.as_str())),
            _ => None,
        })
        .collect();
    let names = |(_, sheets): &(Number, &str)| numbers(sheets).is_none_or(|all| all.iter().any(|it| it == of(text)));
    if stated.iter().any(names) {
        return Ok(sheet);
    }
    let all: Vec<String> =
        stated.iter().map(|(number, sheets)| format!("entry {number} states {}", shown(sheets))).collect();
    Err(format!("sheet “{}” is none of those that are being entered: {}", shown(text.trim()), all.join("; ")))
}

/// The sheet of a box: `4` of `4.2`.
fn of(sheet: &str) -> &str {
    let sheet = sheet.trim();
    sheet.split_once('.').map_or(sheet, |(sheet, _)| sheet)
}

/// The numbers that a text such as `1-3, 5` states, in its order. None: it is not only numbers.
fn numbers(text: &str) -> Option<Vec<String>> {
    let mut all = vec![];
    let text = text.replace([',', ';'], " ").replace(['–', '—'], "-").replace(" - ", "-").replace(" to ", "-");
    for word in text.split_whitespace() {
        let word = word.trim_end_matches('.');
        if ["sheet", "sheets", "and", "no", "nos"].iter().any(|it| it.eq_ignore_ascii_case(word)) {
            continue;
        }
        let (first, last) = word.split_once('-').unwrap_or((word, word));
        let (first, last) = (first.parse::<u32>().ok()?, last.parse::<u32>().ok()?);
        if first > last || last - first > MOST {
            return None;
        }
        all.extend((first..=last).map(|number| number.to_string()));
    }
    Some(all).filter(|all| !all.is_empty())
}

/// What was entered of one downtime's sheets.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sheets {
    pub downtime: Number,
    pub from: Time,
    pub until: Time,
    /// The numbers as the lead stated them.
    pub stated: String,
    /// Each sheet that entries name, with those.
    pub entered: Vec<(String, Vec<Number>)>,
    /// Stated, and named by no entry.
    pub nothing: Vec<String>,
    /// Some ward was not walked since: they may still be entered.
    pub is_open: bool,
}

/// Of each downtime, oldest first.
pub fn sheets(board: &Board, entries: &[Entry]) -> Vec<Sheets> {
    let open: Vec<Number> = being_entered(board, entries).iter().map(|entry| entry.number).collect();
    let of_one = |entry: &Entry| {
        let Body::Downtime { from, until, sheets } = &entry.body else { return None };
        let mut entered: Vec<(String, Vec<Number>)> = vec![];
        let later = entries.iter().filter(|it| it.number > entry.number && (*from..=*until).contains(&it.happened));
        for (sheet, number) in later.filter_map(|it| Some((of(it.sheet()?), it.number))) {
            match entered.iter_mut().find(|(known, _)| known == sheet) {
                Some((_, numbers)) => numbers.push(number),
                None => entered.push((sheet.to_owned(), vec![number])),
            }
        }
        let stated = numbers(sheets).unwrap_or_default();
        let nothing = stated.iter().filter(|sheet| entered.iter().all(|(known, _)| known != *sheet)).cloned().collect();
        entered.sort_by_key(|(sheet, _)| stated.iter().position(|it| it == sheet));
        Some(Sheets {
            downtime: entry.number,
            from: *from,
            until: *until,
            stated: sheets.clone(),
            entered,
            nothing,
            is_open: open.contains(&entry.number),
        })
    };
    entries.iter().filter_map(of_one).collect()
}

impl Sheets {
    /// `sheets 4, 5: nothing entered`. None: each has an entry, or nobody stated any, or of an old downtime no entry says
    /// from which sheet it is.
    pub fn nothing_words(&self) -> Option<String> {
        let says = !self.nothing.is_empty() && (self.is_open || !self.entered.is_empty());
        let plural = if self.nothing.len() == 1 { "" } else { "s" };
        says.then(|| format!("sheet{plural} {}: nothing entered", self.nothing.join(", ")))
    }

    /// A line for each sheet that has entries, then what has none.
    pub fn words(&self) -> Vec<String> {
        let one = |(sheet, numbers): &(String, Vec<Number>)| {
            let plural = if numbers.len() == 1 { "entry" } else { "entries" };
            let numbers: Vec<String> = numbers.iter().map(Number::to_string).collect();
            format!("sheet {}: {plural} {}", shown(sheet), numbers.join(", "))
        };
        let mut lines: Vec<String> = self.entered.iter().map(one).collect();
        lines.extend(self.nothing_words());
        if lines.is_empty() {
            lines.push("no entry says from which sheet it is".to_owned());
        }
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stated_numbers_are_read_and_free_words_are_not_guessed_at() {
        let read = |text| numbers(text).map(|all| all.join(" "));
        for (text, all) in [
            ("1-5", "1 2 3 4 5"),
            ("4, 5", "4 5"),
            ("sheets 1 to 3 and 7", "1 2 3 7"),
            ("12", "12"),
            ("1 – 2; 9.", "1 2 9"),
        ] {
            assert_eq!(read(text).as_deref(), Some(all), "{text}");
        }
        for text in ["", "the blue pad", "5-1", "1-100000", "A1"] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn the_sheet_stands_behind_the_terminals_name_and_comes_back() {
        let sheet = Code::new("4.2").ok();
        let mut entry = crate::domain::moves::tests::sample::entry(
            1,
            crate::domain::entry::Place::Hospital,
            Body::Restored { reason: String::new() },
        );
        entry.terminal = with_sheet("desk 4N", sheet);
        assert_eq!(entry.terminal, "desk 4N (sheet 4.2)");
        assert_eq!((entry.sheet(), entry.terminal_name()), (Some("4.2"), "desk 4N"));
        for name in ["desk 4N", "desk (left)", "", "a (sheet 3) b"] {
            entry.terminal = with_sheet(name, None);
            assert_eq!((entry.sheet(), entry.terminal_name()), (None, name));
        }
        entry.terminal = with_sheet("desk (sheet 3)", None);
        assert_eq!(entry.sheet(), None, "a name is no sheet");
    }
}

//! What was typed about a logger's trace: which file, and how it is to be read. Nothing is read here.

use super::time::{quoted, read_celsius};
use super::{Answers, FieldError};
use crate::domain::entry::{Known, Number};

/// The field that names the trace.
pub const TRACE: &str = "trace";
/// The field that names that of the load's other machine.
pub const OTHER_TRACE: &str = "other-trace";
/// Every field that names one, in the order in which an entry keeps them.
pub const TRACES: [&str; 2] = [TRACE, OTHER_TRACE];

const UNCERTAINTY: &str = "uncertainty-c";
const OTHER_UNCERTAINTY: &str = "other-uncertainty-c";

/// Fields that say how a trace is read: another answer to one of them is another reading.
const HOW: [&str; 3] = [UNCERTAINTY, "unit", "minutes"];

/// More is no measurement. Loggers state a tenth of it: common practice, no source.
const MOST_UNCERTAIN_DECIKELVIN: i32 = 100;

/// Where a trace is to be had from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum TraceFrom {
    File(String),
    /// Of the same load: as that entry kept it.
    Entry(Number),
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TraceAsked {
    /// The field that named it, one of [`TRACES`].
    pub field: &'static str,
    pub from: TraceFrom,
    /// In tenths of a kelvin. None: not stated.
    pub uncertainty_decikelvin: Option<u32>,
    /// None: as its header says, or where no other is possible.
    pub fahrenheit: Option<bool>,
    /// The time column counts minutes.
    pub minutes: bool,
}

/// Which trace these answers ask for in this field, one of [`TRACES`]. None: no trace was named.
pub fn trace_asked(answers: &Answers, field: &'static str) -> Result<Option<TraceAsked>, FieldError> {
    let is_other = field == OTHER_TRACE;
    let Some(typed) = answers.get(field) else {
        let about: &[&str] =
            if is_other { &[OTHER_UNCERTAINTY] } else { &["machine", HOW[0], HOW[1], HOW[2], OTHER_TRACE] };
        return match about.iter().any(|name| answers.get(name).is_some()) {
            true => Err(wrong(field, "is missing: the other answers are about a logger's file".to_owned())),
            false => Ok(None),
        };
    };
    let from = match typed.split_once(' ') {
        Some((word, number)) if word.eq_ignore_ascii_case("entry") => {
            let number = number.trim().trim_start_matches('#').parse().ok().filter(|number| *number > 0);
            let no_number = || format!("“{}” is no entry: type `entry` and its number, or a file", quoted(typed));
            TraceFrom::Entry(Number(number.ok_or_else(|| wrong(field, no_number()))?))
        }
        _ => TraceFrom::File(unquoted(typed).to_owned()),
    };
    let of = if is_other { OTHER_UNCERTAINTY } else { UNCERTAINTY };
    let uncertainty = answers.get(of).map(|text| uncertainty(of, text)).transpose();
    let fahrenheit = match answers.get("unit").map(str::to_ascii_lowercase).as_deref() {
        None => None,
        Some("c") => Some(false),
        Some("f") => Some(true),
        Some(other) => return Err(wrong("unit", format!("“{}” is not one of c, f", quoted(other)))),
    };
    let minutes = match answers.get("minutes").map(Known::from_word) {
        None | Some(Some(Known::No)) => false,
        Some(Some(Known::Yes)) => true,
        Some(_) => return Err(wrong("minutes", "type yes or no".to_owned())),
    };
    Ok(Some(TraceAsked { field, from, uncertainty_decikelvin: uncertainty?, fahrenheit, minutes }))
}

fn wrong(field: &'static str, message: String) -> FieldError {
    FieldError { field, message }
}

fn uncertainty(field: &'static str, text: &str) -> Result<u32, FieldError> {
    let read = read_celsius(text.trim().trim_start_matches(['±', '+'])).ok();
    let read = read.filter(|it| (0..=MOST_UNCERTAIN_DECIKELVIN).contains(it)).and_then(|it| u32::try_from(it).ok());
    read.ok_or_else(|| {
        let why = "type the plus or minus in °C of the logger's certificate, 0 to 10 with one decimal, as 0.5";
        wrong(field, format!("“{}” cannot be used: {why}", quoted(text)))
    })
}

/// Terminals paste a file that was dropped on them in quotes.
fn unquoted(path: &str) -> &str {
    let path = path.trim();
    let inside = |quote: char| path.strip_prefix(quote)?.strip_suffix(quote);
    inside('\'').or_else(|| inside('"')).unwrap_or(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(pairs: &[(&str, &str)]) -> Result<Option<TraceAsked>, FieldError> {
        asked_of(TRACE, pairs)
    }

    fn asked_of(field: &'static str, pairs: &[(&str, &str)]) -> Result<Option<TraceAsked>, FieldError> {
        trace_asked(&pairs.iter().fold(Answers::new(), |answers, (name, value)| answers.with(name, value)), field)
    }

    #[test]
    fn the_other_machines_trace_has_an_uncertainty_of_its_own() {
        let both = [(TRACE, "a.csv"), ("uncertainty-c", "0.5"), (OTHER_TRACE, "b.csv"), (OTHER_UNCERTAINTY, "1")];
        let read = |field| asked_of(field, &both).unwrap().unwrap();
        let (first, other) = (read(TRACE), read(OTHER_TRACE));
        assert_eq!((first.from, first.uncertainty_decikelvin), (TraceFrom::File("a.csv".to_owned()), Some(5)));
        assert_eq!((other.from, other.uncertainty_decikelvin), (TraceFrom::File("b.csv".to_owned()), Some(10)));
        assert_eq!(asked_of(TRACE, &both[2..]).unwrap_err().field, TRACE, "the other one of which?");
        assert_eq!(asked_of(OTHER_TRACE, &both[3..]).unwrap_err().field, OTHER_TRACE);
        assert_eq!(asked_of(OTHER_TRACE, &both[..2]), Ok(None));
        let wrong = asked_of(OTHER_TRACE, &[(OTHER_TRACE, "b.csv"), (OTHER_UNCERTAINTY, "much")]).unwrap_err();
        assert_eq!(wrong.field, OTHER_UNCERTAINTY);
    }

    #[test]
    fn a_trace_is_a_file_or_what_an_entry_kept() {
        let from = |text| asked(&[(TRACE, text)]).unwrap().unwrap().from;
        assert_eq!(from("a b.csv"), TraceFrom::File("a b.csv".to_owned()));
        assert_eq!(from("'/tmp/a b.csv'"), TraceFrom::File("/tmp/a b.csv".to_owned()));
        assert_eq!(from("Entry 12"), TraceFrom::Entry(Number(12)));
        assert_eq!(from("entry #12"), TraceFrom::Entry(Number(12)));
        assert_eq!(from("entry.csv"), TraceFrom::File("entry.csv".to_owned()));
        assert_eq!(asked(&[(TRACE, "entry twelve")]).unwrap_err().field, TRACE);
        assert_eq!(asked(&[]), Ok(None));
    }

    #[test]
    fn how_it_is_read_is_typed_in_words_and_tenths() {
        let it =
            asked(&[(TRACE, "x.csv"), ("uncertainty-c", "±0,5"), ("unit", "F"), ("minutes", "yes")]).unwrap().unwrap();
        assert_eq!((it.uncertainty_decikelvin, it.fahrenheit, it.minutes), (Some(5), Some(true), true));
        let it = asked(&[(TRACE, "x.csv")]).unwrap().unwrap();
        assert_eq!((it.uncertainty_decikelvin, it.fahrenheit, it.minutes), (None, None, false));
        for (field, text) in [
            ("uncertainty-c", "-1"),
            ("uncertainty-c", "11"),
            ("uncertainty-c", "small"),
            ("unit", "k"),
            ("minutes", "5"),
        ] {
            assert_eq!(asked(&[(TRACE, "x.csv"), (field, text)]).unwrap_err().field, field);
        }
        assert_eq!(asked(&[("machine", "washer")]).unwrap_err().field, TRACE);
    }
}

//! What was typed about a logger's trace: which file, and how it is to be read. Nothing is read here.

use super::time::{quoted, read_celsius};
use super::{Answers, FieldError};
use crate::domain::entry::{Known, Number};

/// The field that names the trace.
pub const TRACE: &str = "trace";

/// Fields that say how a trace is read: another answer to one of them is another reading.
const HOW: [&str; 3] = ["uncertainty-c", "unit", "minutes"];

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
    pub from: TraceFrom,
    /// In tenths of a kelvin. None: not stated.
    pub uncertainty_decikelvin: Option<u32>,
    /// None: as its header says, or where no other is possible.
    pub fahrenheit: Option<bool>,
    /// The time column counts minutes.
    pub minutes: bool,
}

/// Which trace these answers ask for. None: no trace was named.
pub fn trace_asked(answers: &Answers) -> Result<Option<TraceAsked>, FieldError> {
    let Some(typed) = answers.get(TRACE) else {
        return match ["machine"].iter().chain(&HOW).find(|name| answers.get(name).is_some()) {
            Some(_) => Err(wrong(TRACE, "is missing: the other answers are about a logger's file".to_owned())),
            None => Ok(None),
        };
    };
    let from = match typed.split_once(' ') {
        Some((word, number)) if word.eq_ignore_ascii_case("entry") => {
            let number = number.trim().trim_start_matches('#').parse().ok().filter(|number| *number > 0);
            let no_number = || format!("“{}” is no entry: type `entry` and its number, or a file", quoted(typed));
            TraceFrom::Entry(Number(number.ok_or_else(|| wrong(TRACE, no_number()))?))
        }
        _ => TraceFrom::File(unquoted(typed).to_owned()),
    };
    let uncertainty = answers.get("uncertainty-c").map(uncertainty).transpose();
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
    Ok(Some(TraceAsked { from, uncertainty_decikelvin: uncertainty?, fahrenheit, minutes }))
}

fn wrong(field: &'static str, message: String) -> FieldError {
    FieldError { field, message }
}

fn uncertainty(text: &str) -> Result<u32, FieldError> {
    let read = read_celsius(text.trim().trim_start_matches(['±', '+'])).ok();
    let read = read.filter(|it| (0..=MOST_UNCERTAIN_DECIKELVIN).contains(it)).and_then(|it| u32::try_from(it).ok());
    read.ok_or_else(|| {
        let why = "type the plus or minus in °C of the logger's certificate, 0 to 10 with one decimal, as 0.5";
        wrong("uncertainty-c", format!("“{}” cannot be used: {why}", quoted(text)))
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
        trace_asked(&pairs.iter().fold(Answers::new(), |answers, (name, value)| answers.with(name, value)))
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

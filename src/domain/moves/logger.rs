//! What was typed about a logger's trace: which file, and how it is to be read. Nothing is read here.

use super::time::{quoted, read_celsius};
use super::{Answers, FieldError, LoggerZone, TimesAre};
use crate::domain::entry::{Known, Number};

/// The field that names the trace.
pub const TRACE: &str = "trace";
/// The field that names that of the load's other machine.
pub const OTHER_TRACE: &str = "other-trace";
/// Every field that names one, in the order in which an entry keeps them.
pub const TRACES: [&str; 2] = [TRACE, OTHER_TRACE];

const UNCERTAINTY: &str = "uncertainty-c";
const OTHER_UNCERTAINTY: &str = "other-uncertainty-c";

/// Fields that say how a file is read: another answer to one of them is another reading.
const HOW: [&str; 4] = ["unit", "time", "minutes", "zone"];
/// Whoever notes the load held the logger's clock against the wall's.
pub const CLOCK_CHECKED: &str = "clock-checked";

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
    /// None: as its header says.
    pub fahrenheit: Option<bool>,
    /// How its times are written. None: as its header or they themselves say.
    pub times: Option<TimesAre>,
    /// By which clock its dates go. None: by the hospital's, where they do not say.
    pub zone: Option<LoggerZone>,
}

/// Which trace these answers ask for in this field, one of [`TRACES`]. None: no trace was named.
pub fn trace_asked(answers: &Answers, field: &'static str) -> Result<Option<TraceAsked>, FieldError> {
    let is_other = field == OTHER_TRACE;
    let Some(typed) = answers.get(field) else {
        let about: &[&str] =
            if is_other { &[OTHER_UNCERTAINTY] } else { &["machine", UNCERTAINTY, OTHER_TRACE, CLOCK_CHECKED] };
        let how: &[&str] = if is_other { &[] } else { &HOW };
        return match about.iter().chain(how).any(|name| answers.get(name).is_some()) {
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
    let times = times(answers)?;
    let zone = answers.get("zone").map(LoggerZone::read).transpose().map_err(|why| wrong("zone", why))?;
    if let (TraceFrom::Entry(number), Some(said)) = (&from, HOW.into_iter().find(|name| answers.get(name).is_some())) {
        let why =
            format!("entry {number} keeps its trace as it was read then: leave this out, or name the logger's file");
        return Err(wrong(said, why));
    }
    Ok(Some(TraceAsked { field, from, uncertainty_decikelvin: uncertainty?, fahrenheit, times, zone }))
}

/// `minutes` is the older word for one of the ways in which times are written.
fn times(answers: &Answers) -> Result<Option<TimesAre>, FieldError> {
    let said = answers.get("time").map(|text| {
        let unread = || format!("“{}” is not one of {}", quoted(text), TimesAre::WORDS.join(", "));
        TimesAre::from_word(text).ok_or_else(|| wrong("time", unread()))
    });
    let said = said.transpose()?;
    match (answers.get("minutes").map(Known::from_word), said) {
        (None | Some(Some(Known::No)), said) => Ok(said),
        (Some(Some(Known::Yes)), None | Some(TimesAre::Minutes)) => Ok(Some(TimesAre::Minutes)),
        (Some(Some(Known::Yes)), Some(other)) => {
            Err(wrong("minutes", format!("the times are said to be {} as well: say one of the two", other.word())))
        }
        (Some(_), _) => Err(wrong("minutes", "type yes or no".to_owned())),
    }
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
        assert_eq!(from("'logs/a b.csv'"), TraceFrom::File("logs/a b.csv".to_owned()));
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
        let minutes = Some(TimesAre::Minutes);
        assert_eq!((it.uncertainty_decikelvin, it.fahrenheit, it.times, it.zone), (Some(5), Some(true), minutes, None));
        let it = asked(&[(TRACE, "x.csv")]).unwrap().unwrap();
        assert_eq!((it.uncertainty_decikelvin, it.fahrenheit, it.times, it.zone), (None, None, None, None));
        let it = asked(&[(TRACE, "x.csv"), ("time", "MM:SS"), ("minutes", "no"), ("zone", "utc")]).unwrap().unwrap();
        assert_eq!((it.times, it.zone), (Some(TimesAre::MinutesSeconds), LoggerZone::read("UTC").ok()));
        let two = asked(&[(TRACE, "x.csv"), ("time", "seconds"), ("minutes", "yes")]).unwrap_err();
        assert!(two.message.contains("seconds as well"), "{two}");
        for (field, text) in [
            ("uncertainty-c", "-1"),
            ("uncertainty-c", "11"),
            ("uncertainty-c", "small"),
            ("unit", "k"),
            ("minutes", "5"),
            ("time", "hours"),
            ("zone", "summer"),
        ] {
            assert_eq!(asked(&[(TRACE, "x.csv"), (field, text)]).unwrap_err().field, field);
        }
        for lonely in ["machine", "uncertainty-c", "unit", "time", "minutes", "zone", CLOCK_CHECKED] {
            assert_eq!(asked(&[(lonely, "yes")]).unwrap_err().field, TRACE, "{lonely}");
        }
        for said in ["unit", "time", "minutes", "zone"] {
            let value = match said {
                "unit" => "c",
                "time" => "seconds",
                "minutes" => "yes",
                _ => "UTC",
            };
            assert_eq!(asked(&[(TRACE, "entry 5"), (said, value)]).unwrap_err().field, said);
        }
    }
}

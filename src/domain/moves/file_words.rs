//! The words in which somebody says how a logger's file is written, where the file does not say so itself.

use std::fmt;

use chrono::FixedOffset;
use chrono_tz::Tz;

use super::time::quoted;

/// How the times of a file are written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum TimesAre {
    Minutes,
    Seconds,
    HoursMinutes,
    HoursMinutesSeconds,
    MinutesSeconds,
}

impl TimesAre {
    pub const ALL: [Self; 5] =
        [Self::Minutes, Self::Seconds, Self::HoursMinutes, Self::HoursMinutesSeconds, Self::MinutesSeconds];

    /// As they are typed, in the order of [`Self::ALL`].
    pub const WORDS: [&'static str; 5] = {
        let mut words = [""; 5];
        let mut at = 0;
        while at < words.len() {
            words[at] = Self::ALL[at].word();
            at += 1;
        }
        words
    };

    pub const fn word(self) -> &'static str {
        match self {
            Self::Minutes => "minutes",
            Self::Seconds => "seconds",
            Self::HoursMinutes => "hh:mm",
            Self::HoursMinutesSeconds => "hh:mm:ss",
            Self::MinutesSeconds => "mm:ss",
        }
    }

    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.word().eq_ignore_ascii_case(word.trim()))
    }
}

/// By which clock a logger went whose times carry no zone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LoggerZone {
    Named(Tz),
    Offset(FixedOffset),
}

impl LoggerZone {
    /// `UTC`, `+02:00`, `Europe/Berlin`.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        if let Some(offset) = offset(text) {
            return Ok(Self::Offset(offset));
        }
        text.parse().map(Self::Named).map_err(|_| {
            let why = "type UTC, the distance from it as +02:00, or a zone's name as Europe/Berlin";
            format!("“{}” is no time zone: {why}", quoted(text))
        })
    }
}

impl fmt::Display for LoggerZone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Named(zone) => f.write_str(zone.name()),
            Self::Offset(offset) if offset.local_minus_utc() == 0 => f.write_str("UTC"),
            Self::Offset(offset) => write!(f, "UTC{offset}"),
        }
    }
}

/// `Z`, `UTC`, `+2`, `+02:00`, `UTC-0530`.
fn offset(text: &str) -> Option<FixedOffset> {
    const MOST_HOURS: i32 = 14;
    let small = text.to_ascii_lowercase();
    let from_utc = ["utc", "gmt"].iter().find_map(|word| small.strip_prefix(word));
    let rest = from_utc.unwrap_or(&small).trim();
    if rest == "z" && from_utc.is_none() || rest.is_empty() && from_utc.is_some() {
        return FixedOffset::east_opt(0);
    }
    let (sign, digits) = match rest.split_at_checked(1)? {
        ("+", digits) => (1, digits),
        ("-", digits) => (-1, digits),
        _ => return None,
    };
    let (hours, minutes) = match (digits.split_once(':'), digits.len()) {
        (Some(parts), _) => parts,
        (None, 1 | 2) => (digits, "00"),
        (None, 4) => digits.split_at_checked(2)?,
        (None, _) => return None,
    };
    let whole = |text: &str, most: i32| {
        let is_read = (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        text.parse::<i32>().ok().filter(|it| is_read && *it <= most)
    };
    FixedOffset::east_opt(sign * (whole(hours, MOST_HOURS)? * 3600 + whole(minutes, 59)? * 60))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_of_writing_times_is_read_by_its_own_word() {
        for (are, word) in TimesAre::ALL.into_iter().zip(TimesAre::WORDS) {
            assert_eq!((are.word(), TimesAre::from_word(&format!(" {} ", word.to_uppercase()))), (word, Some(are)));
        }
        assert_eq!(TimesAre::from_word("hours"), None);
    }

    #[test]
    fn a_zone_is_read_by_its_name_or_its_distance_from_utc() {
        let offset = |seconds| Ok(LoggerZone::Offset(FixedOffset::east_opt(seconds).unwrap()));
        for (text, seconds) in
            [("UTC", 0), ("z", 0), ("+2", 7200), ("+02:00", 7200), ("gmt-0530", -19800), (" utc + 1".trim(), 3600)]
        {
            let text = text.replace(" + ", "+");
            assert_eq!(LoggerZone::read(&text), offset(seconds), "{text}");
        }
        assert_eq!(LoggerZone::read("Europe/Berlin"), Ok(LoggerZone::Named(chrono_tz::Europe::Berlin)));
        for wrong in ["", "+", "+15", "+1:60", "+123", "summer", "+-2", "C"] {
            assert!(LoggerZone::read(wrong).unwrap_err().contains("as +02:00"), "{wrong}");
        }
        let shown = |text: &str| LoggerZone::read(text).unwrap().to_string();
        assert_eq!((shown("Z"), shown("+2"), shown("Etc/UTC")), ("UTC".into(), "UTC+02:00".into(), "Etc/UTC".into()));
    }
}

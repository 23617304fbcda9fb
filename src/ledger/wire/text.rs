//! Values that stand in the file as a text: codes, zones, times, and the words of the domain's choices.
//!
//! A text is read only if it is exactly what this program would write for the value: no second spelling, no other
//! case, no spaces at an end.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use chrono::{DateTime, SecondsFormat};
use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Wire;
use crate::domain::airing::AirChange;
use crate::domain::code::Code;
use crate::domain::entry::{
    Depth, Feel, InspectionMethod, Known, Lost, Number, OldPart, OtherMethod, PrepStep, Purpose, Sign, Specimen, Time,
    Ventilation, Went, WhichClock, Window,
};
use crate::domain::facility::{Side, Zone, ZoneGroup, ZoneTreatment};
use crate::domain::measured::{FileHash, LoggerIn};
use crate::domain::people::Role;

/// A value that is one text in the file.
#[derive(Clone, PartialEq, Default)]
pub(in crate::ledger) struct Text<T>(pub(in crate::ledger) T);

/// How a value reads and writes as a text. `read` fails with a sentence.
pub(in crate::ledger) trait AsText: Sized {
    fn write(&self) -> Cow<'_, str>;
    fn read(text: &str) -> Result<Self, String>;
}

impl<T: Clone> Wire<T> for Text<T> {
    fn of(value: &T) -> Self {
        Self(value.clone())
    }
    fn back(self) -> T {
        self.0
    }
}

impl Wire<Number> for u64 {
    fn of(value: &Number) -> Self {
        value.0
    }
    fn back(self) -> Number {
        Number(self)
    }
}

impl<T: AsText> Serialize for Text<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.write())
    }
}

impl<'de, T: AsText> Deserialize<'de> for Text<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reading<T>(PhantomData<T>);
        impl<T: AsText> Visitor<'_> for Reading<T> {
            type Value = Text<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Text<T>, E> {
                T::read(text).map(Text).map_err(E::custom)
            }
        }
        deserializer.deserialize_str(Reading(PhantomData))
    }
}

impl AsText for Code {
    fn write(&self) -> Cow<'_, str> {
        Cow::Borrowed(self.as_str())
    }
    fn read(text: &str) -> Result<Self, String> {
        let code = Self::new(text).map_err(|error| error.to_string())?;
        if code.as_str() == text { Ok(code) } else { Err(format!("“{text}” has a space at an end")) }
    }
}

impl AsText for Zone {
    fn write(&self) -> Cow<'_, str> {
        Cow::Owned(self.to_string())
    }
    fn read(text: &str) -> Result<Self, String> {
        match text.rsplit_once('/') {
            Some((bed, part)) => Ok(Self { bed: Some(Code::read(bed)?), part: Code::read(part)? }),
            None => Ok(Self { bed: None, part: Code::read(text)? }),
        }
    }
}

impl AsText for Time {
    fn write(&self) -> Cow<'_, str> {
        Cow::Owned(time_text(*self))
    }
    fn read(text: &str) -> Result<Self, String> {
        read_time(text)
    }
}

/// An instant as the file writes it: UTC, always six places of a second, always 27 characters.
pub(in crate::ledger) fn time_text(time: Time) -> String {
    time.to_rfc3339_opts(SecondsFormat::Micros, true)
}

/// Reads what [`time_text`] wrote, and nothing else.
pub(in crate::ledger) fn read_time(text: &str) -> Result<Time, String> {
    let wrong = || format!("“{}” is no time as this file writes it", text.chars().take(40).collect::<String>());
    let time = DateTime::parse_from_rfc3339(text).map_err(|_| wrong())?.to_utc();
    if text.len() == 27 && text.ends_with('Z') && text.as_bytes().get(10) == Some(&b'T') {
        Ok(time)
    } else {
        Err(wrong())
    }
}

impl AsText for FileHash {
    fn write(&self) -> Cow<'_, str> {
        Cow::Owned(self.to_string())
    }
    fn read(text: &str) -> Result<Self, String> {
        Self::from_hex(text)
            .ok_or_else(|| format!("“{}” is no SHA-256 in hexadecimal", text.chars().take(70).collect::<String>()))
    }
}

/// Choices whose words are the domain's own.
macro_rules! by_word {
    ($($type:ident),+) => {$(
        impl AsText for $type {
            fn write(&self) -> Cow<'_, str> {
                Cow::Borrowed(self.word())
            }
            fn read(text: &str) -> Result<Self, String> {
                choice(Self::ALL.iter(), |it| it.word(), text)
            }
        }
    )+};
}
by_word!(
    Sign,
    Known,
    Depth,
    InspectionMethod,
    Specimen,
    Purpose,
    Feel,
    PrepStep,
    OtherMethod,
    Ventilation,
    Window,
    AirChange,
    Side,
    Role,
    LoggerIn,
    WhichClock,
    Went,
    Lost,
    OldPart
);

fn choice<'a, T: Copy + 'a>(
    all: impl IntoIterator<Item = &'a T>,
    word: impl Fn(T) -> &'static str,
    text: &str,
) -> Result<T, String> {
    all.into_iter().copied().find(|it| word(*it) == text).ok_or_else(|| {
        format!("“{}” is not a word that this version knows here", text.chars().take(40).collect::<String>())
    })
}

const GROUPS: [ZoneGroup; 4] = [ZoneGroup::Bed, ZoneGroup::Seating, ZoneGroup::Storage, ZoneGroup::RoomEdges];

impl AsText for ZoneGroup {
    fn write(&self) -> Cow<'_, str> {
        Cow::Borrowed(group_word(*self))
    }
    fn read(text: &str) -> Result<Self, String> {
        choice(&GROUPS, group_word, text)
    }
}

fn group_word(group: ZoneGroup) -> &'static str {
    match group {
        ZoneGroup::Bed => "bed",
        ZoneGroup::Seating => "seating",
        ZoneGroup::Storage => "storage",
        ZoneGroup::RoomEdges => "room-edges",
    }
}

const TREATMENTS: [ZoneTreatment; 3] = [ZoneTreatment::Spray, ZoneTreatment::OtherMethod, ZoneTreatment::InspectOnly];

impl AsText for ZoneTreatment {
    fn write(&self) -> Cow<'_, str> {
        Cow::Borrowed(treatment_word(*self))
    }
    fn read(text: &str) -> Result<Self, String> {
        choice(&TREATMENTS, treatment_word, text)
    }
}

fn treatment_word(treatment: ZoneTreatment) -> &'static str {
    match treatment {
        ZoneTreatment::Spray => "spray",
        ZoneTreatment::OtherMethod => "other-method",
        ZoneTreatment::InspectOnly => "inspect-only",
    }
}

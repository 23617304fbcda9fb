//! Who works with the board, what each may do, and the products on the hospital's list.

use chrono::{DateTime, Utc};

use super::code::Code;

/// One person of the roster. Initials are a claim; a PIN makes it better, never a proof.
#[derive(Clone, Debug, PartialEq)]
pub struct Person {
    pub initials: Code,
    pub name: String,
    pub role: Role,
    /// Trained to recognise bed bugs and their signs.
    pub trained_to_inspect: bool,
    /// Trained to apply a pesticide.
    pub trained_to_apply: bool,
    /// The applicator's certificate number, as the authority wrote it.
    pub certificate: Option<String>,
    /// Acts as housekeeping lead in this time, both ends included.
    pub acting_lead: Option<(DateTime<Utc>, DateTime<Utc>)>,
    /// A memory-hard hash in its own standard text form, never the PIN.
    pub pin_hash: Option<String>,
    /// Off the roster: kept for the record, may note nothing.
    pub left: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    ChargeNurse,
    Lead,
    Housekeeper,
    Laundry,
    Technician,
    InfectionPrevention,
    Reader,
}

impl Role {
    pub const ALL: [Self; 7] = [
        Self::ChargeNurse,
        Self::Lead,
        Self::Housekeeper,
        Self::Laundry,
        Self::Technician,
        Self::InfectionPrevention,
        Self::Reader,
    ];

    /// As it stands on screen.
    pub fn title(self) -> &'static str {
        match self {
            Self::ChargeNurse => "charge nurse",
            Self::Lead => "housekeeping lead",
            Self::Housekeeper => "housekeeper",
            Self::Laundry => "laundry",
            Self::Technician => "pest technician",
            Self::InfectionPrevention => "infection prevention",
            Self::Reader => "reader",
        }
    }

    /// As it is typed and filed.
    pub fn word(self) -> &'static str {
        match self {
            Self::ChargeNurse => "charge-nurse",
            Self::Lead => "lead",
            Self::Housekeeper => "housekeeper",
            Self::Laundry => "laundry",
            Self::Technician => "technician",
            Self::InfectionPrevention => "infection-prevention",
            Self::Reader => "reader",
        }
    }

    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word().eq_ignore_ascii_case(word))
    }
}

impl Person {
    /// The housekeeping lead, or whoever stands in for the lead at this time.
    pub fn is_lead_at(&self, time: DateTime<Utc>) -> bool {
        !self.left
            && (self.role == Role::Lead || self.acting_lead.is_some_and(|(from, until)| from <= time && time < until))
    }
}

/// A pesticide product on the hospital's list. The words and minutes are the label's own; the tool supplies none.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    pub code: Code,
    pub name: String,
    /// The authority's registration number, as printed.
    pub registration: Option<String>,
    pub active_ingredient: Option<String>,
    /// As printed, for example `0.5 %`.
    pub percent: Option<String>,
    /// What the label says of re-entry, in its own words. None: no words on file, so no dry check counts.
    pub reentry_words: Option<String>,
    /// The label's minutes before re-entry, if it gives any. None with words on file means 0.
    pub reentry_minutes: Option<u32>,
    /// Zone parts on which the label allows it. Empty: not stated.
    pub allowed_on: Vec<Code>,
    /// No longer used: offered in no form, kept for the record.
    pub withdrawn: bool,
}

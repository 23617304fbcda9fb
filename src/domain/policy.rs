//! The numbers that a hospital may set, each with its default, where that default comes from, and how sure it is.

use std::fmt;

/// How well a number is founded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Read in the publication itself.
    Printed,
    /// Read in somebody else's summary of it.
    Summary,
    /// Worked out from published numbers.
    Derived,
    /// Our assumption.
    Assumed,
    /// Common practice of the trade, no source.
    Common,
}

impl Mark {
    pub fn word(self) -> &'static str {
        match self {
            Self::Printed => "published",
            Self::Summary => "published, read in a summary",
            Self::Derived => "derived from published numbers",
            Self::Assumed => "assumed",
            Self::Common => "common practice, no source",
        }
    }
}

/// One setting: its name in the file and on the command line, its unit, bounds, default and the default's source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PolicyItem {
    pub key: &'static str,
    pub meaning: &'static str,
    pub unit: Unit,
    pub default: i64,
    pub least: i64,
    pub most: i64,
    pub mark: Mark,
    pub source: &'static str,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    Minutes,
    Days,
    Count,
    YesNo,
    /// One of these words; the value is its position.
    Choice(&'static [&'static str]),
}

/// Names the settings. The order is the order of [`ITEMS`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Setting {
    OccupancyKept,
    ShiftMinutes,
    LateFactMinutes,
    UnknownLabelMinutes,
    DryCheckMinutes,
    RecheckMinutes,
    BiteInspectionMinutes,
    FindingInspectionMinutes,
    NeighbourInspectionMinutes,
    DailyLookMinutes,
    FollowUpDays,
    ClearDays,
    ClearVisualChecks,
    ClearTrapPeriods,
    AfterClearDays,
    BagEscalationMinutes,
    CertificateRequired,
    SecondSignature,
    RecordRule,
    HygieneCriterion,
    TreatMinutes,
    InspectMinutes,
    MakeReadyMinutes,
    LookFirst,
}

/// Every setting. A value outside `least..=most` is refused.
pub const ITEMS: [(Setting, PolicyItem); 24] = {
    const fn item(
        key: &'static str,
        meaning: &'static str,
        unit: Unit,
        [default, least, most]: [i64; 3],
        mark: Mark,
        source: &'static str,
    ) -> PolicyItem {
        PolicyItem { key, meaning, unit, default, least, most, mark, source }
    }
    const STOP: &str = "StopPests in Housing, Northeastern IPM Center";
    const OURS: &str = "our assumption";
    const TRADE: &str = "common practice, no source";
    [
        (
            Setting::OccupancyKept,
            item(
                "occupancy-kept",
                "beds are noted here as occupied or empty",
                Unit::YesNo,
                [1, 0, 1],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::ShiftMinutes,
            item(
                "shift-minutes",
                "an empty bed unconfirmed for longer reads unknown",
                Unit::Minutes,
                [720, 60, 1440],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::LateFactMinutes,
            item(
                "late-fact-minutes",
                "how late the person who did a thing may note it",
                Unit::Minutes,
                [60, 0, 240],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::UnknownLabelMinutes,
            item(
                "unknown-label-minutes",
                "how long nobody feels what was sprayed with nobody knows what; the longest label ever known counts if it is longer",
                Unit::Minutes,
                [240, 0, 1440],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::DryCheckMinutes,
            item(
                "dry-check-minutes",
                "a dry check that takes longer starts again",
                Unit::Minutes,
                [30, 5, 120],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::RecheckMinutes,
            item(
                "recheck-minutes",
                "after a damp check, looking again is suggested",
                Unit::Minutes,
                [60, 10, 1440],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::BiteInspectionMinutes,
            item(
                "bite-inspection-minutes",
                "reported bites ask for an inspection within",
                Unit::Minutes,
                [120, 15, 1440],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::FindingInspectionMinutes,
            item(
                "finding-inspection-minutes",
                "other findings ask for an inspection within",
                Unit::Minutes,
                [1440, 15, 4320],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::NeighbourInspectionMinutes,
            item(
                "neighbour-inspection-minutes",
                "neighbours of a confirmed room are inspected within",
                Unit::Minutes,
                [1440, 60, 4320],
                Mark::Assumed,
                "our assumption; HUD notices give 3 days",
            ),
        ),
        (
            Setting::DailyLookMinutes,
            item(
                "daily-look-minutes",
                "each room gets a daily look within",
                Unit::Minutes,
                [1440, 480, 10080],
                Mark::Common,
                TRADE,
            ),
        ),
        (
            Setting::FollowUpDays,
            item(
                "follow-up-days",
                "a follow-up inspection at least every",
                Unit::Days,
                [14, 1, 14],
                Mark::Derived,
                "StopPests in Housing: the first within 14 days of the treatment; that it is repeated as often is our assumption",
            ),
        ),
        (
            Setting::ClearDays,
            item(
                "clear-days",
                "days without activity before a room is clear",
                Unit::Days,
                [60, 14, 365],
                Mark::Printed,
                STOP,
            ),
        ),
        (
            Setting::ClearVisualChecks,
            item(
                "clear-visual-checks",
                "negative full inspections by eye before clear",
                Unit::Count,
                [3, 1, 12],
                Mark::Derived,
                "under 5 % from even odds, with 72 % found a check (Wang, Singh, Zha & Cooper 2016)",
            ),
        ),
        (
            Setting::ClearTrapPeriods,
            item(
                "clear-trap-periods",
                "negative trap periods that do instead",
                Unit::Count,
                [2, 1, 12],
                Mark::Derived,
                "under 5 % from even odds, with 89 % found a period (Wang, Singh, Zha & Cooper 2016)",
            ),
        ),
        (
            Setting::AfterClearDays,
            item(
                "after-clear-days",
                "one more look after a room turned clear",
                Unit::Days,
                [90, 14, 365],
                Mark::Derived,
                "the quarterly routine of StopPests in Housing",
            ),
        ),
        (
            Setting::BagEscalationMinutes,
            item(
                "bag-escalation-minutes",
                "a bag outstanding for longer is looked for",
                Unit::Minutes,
                [720, 60, 4320],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::CertificateRequired,
            item(
                "certificate-required",
                "whoever applies needs a certificate on file",
                Unit::YesNo,
                [0, 0, 1],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::SecondSignature,
            item(
                "second-signature",
                "return to service needs a second person",
                Unit::YesNo,
                [0, 0, 1],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::RecordRule,
            item(
                "record-rule",
                "which rule a treatment record must satisfy",
                Unit::Choice(&["none", "7-cfr-110.3", "40-cfr-171.303"]),
                [0, 0, 2],
                Mark::Assumed,
                "the hospital's own law decides",
            ),
        ),
        (
            Setting::HygieneCriterion,
            item(
                "hygiene-criterion",
                "what makes a laundry cycle hygienic",
                Unit::Choice(&["us-cdc", "us-il", "uk-65", "uk-71", "de-rki"]),
                [0, 0, 4],
                Mark::Summary,
                "CDC guidelines for environmental infection control, MMWR 52(RR-10), 2003",
            ),
        ),
        (
            Setting::TreatMinutes,
            item("treat-minutes", "treating a room takes about", Unit::Minutes, [20, 5, 240], Mark::Common, TRADE),
        ),
        (
            Setting::InspectMinutes,
            item("inspect-minutes", "inspecting a room takes about", Unit::Minutes, [20, 5, 240], Mark::Common, TRADE),
        ),
        (
            Setting::MakeReadyMinutes,
            item(
                "make-ready-minutes",
                "vacuuming, dressing and checking a room takes about",
                Unit::Minutes,
                [15, 5, 240],
                Mark::Assumed,
                OURS,
            ),
        ),
        (
            Setting::LookFirst,
            item(
                "clean-look-first",
                "after a spray, a clean full inspection comes before the return to service",
                Unit::YesNo,
                [0, 0, 1],
                Mark::Assumed,
                OURS,
            ),
        ),
    ]
};

/// Settings of versions before this one. A ledger may hold them; nothing reads them, and nobody sets them any more.
pub const RETIRED_KEYS: [&str; 1] = ["prepare-minutes"];

/// The settings in force. Starts at the defaults.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Policy {
    values: [i64; ITEMS.len()],
}

/// Why a setting was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PolicyError {
    #[error("there is no setting “{0}”; `dryhold rules --settings` lists them")]
    UnknownKey(String),
    #[error("{key} must be {least} to {most}, not {value}")]
    OutOfRange { key: &'static str, least: i64, most: i64, value: i64 },
    #[error("{key} cannot be “{text}”: {wanted}")]
    Unreadable { key: &'static str, text: String, wanted: String },
}

impl Default for Policy {
    fn default() -> Self {
        Self { values: ITEMS.map(|(_, item)| item.default) }
    }
}

impl Setting {
    pub fn item(self) -> &'static PolicyItem {
        &ITEMS[self as usize].1
    }

    pub fn from_key(key: &str) -> Option<Self> {
        ITEMS.iter().find(|(_, item)| item.key.eq_ignore_ascii_case(key)).map(|(setting, _)| *setting)
    }
}

impl Policy {
    pub fn get(&self, setting: Setting) -> i64 {
        self.values[setting as usize]
    }

    pub fn is_on(&self, setting: Setting) -> bool {
        self.get(setting) != 0
    }

    /// The chosen word of a [`Unit::Choice`] setting; empty for any other.
    pub fn word(&self, setting: Setting) -> &'static str {
        match setting.item().unit {
            Unit::Choice(words) => words.get(self.get(setting) as usize).copied().unwrap_or(""),
            _ => "",
        }
    }

    pub fn minutes(&self, setting: Setting) -> chrono::TimeDelta {
        match setting.item().unit {
            Unit::Days => chrono::TimeDelta::days(self.get(setting)),
            _ => chrono::TimeDelta::minutes(self.get(setting)),
        }
    }

    pub fn set(&mut self, setting: Setting, value: i64) -> Result<(), PolicyError> {
        let PolicyItem { key, least, most, .. } = *setting.item();
        if !(least..=most).contains(&value) {
            return Err(PolicyError::OutOfRange { key, least, most, value });
        }
        self.values[setting as usize] = value;
        Ok(())
    }
}

impl PolicyItem {
    /// Reads a typed value: a number, yes or no, or one of the words.
    pub fn read(&self, text: &str) -> Result<i64, PolicyError> {
        let text = text.trim();
        let read = match self.unit {
            Unit::YesNo => match text.to_ascii_lowercase().as_str() {
                "yes" | "1" => Some(1),
                "no" | "0" => Some(0),
                _ => None,
            },
            Unit::Choice(words) => words.iter().position(|word| word.eq_ignore_ascii_case(text)).map(|at| at as i64),
            Unit::Minutes | Unit::Days | Unit::Count => text.parse().ok(),
        };
        read.ok_or_else(|| PolicyError::Unreadable {
            key: self.key,
            text: text.chars().take(24).collect(),
            wanted: self.wanted(),
        })
    }

    /// What may be typed, in words.
    pub fn wanted(&self) -> String {
        match self.unit {
            Unit::YesNo => "type yes or no".to_owned(),
            Unit::Choice(words) => format!("type one of {}", words.join(", ")),
            Unit::Minutes | Unit::Days | Unit::Count => {
                format!("type a whole number from {} to {}", self.least, self.most)
            }
        }
    }

    /// A value as a person reads it.
    pub fn show(&self, value: i64) -> String {
        match self.unit {
            Unit::YesNo => if value == 0 { "no" } else { "yes" }.to_owned(),
            Unit::Choice(words) => words.get(value as usize).copied().unwrap_or("?").to_owned(),
            Unit::Minutes => format!("{value} min"),
            Unit::Days => format!("{value} d"),
            Unit::Count => value.to_string(),
        }
    }
}

impl fmt::Display for Setting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.item().key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_names_and_defaults_are_in_bounds() {
        for (at, (setting, item)) in ITEMS.iter().enumerate() {
            assert_eq!(*setting as usize, at, "{}", item.key);
            assert!((item.least..=item.most).contains(&item.default), "{}", item.key);
            assert_eq!(Setting::from_key(item.key), Some(*setting));
            assert_eq!(item.read(&item.show(item.default).replace(" min", "").replace(" d", "")), Ok(item.default));
        }
    }

    #[test]
    fn a_retired_key_is_no_setting() {
        assert!(RETIRED_KEYS.iter().all(|key| Setting::from_key(key).is_none()));
    }

    #[test]
    fn sixty_days_and_fourteen_days_are_the_published_ones() {
        // StopPests in Housing, Northeastern IPM Center: 60 days with no activity; follow-up within 14 days.
        assert_eq!(Setting::ClearDays.item().default, 60);
        assert_eq!(Setting::FollowUpDays.item().default, 14);
        assert_eq!(Setting::FollowUpDays.item().most, 14);
    }
}

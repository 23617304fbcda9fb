//! The chance that a room is still infested after checks that found nothing.
//!
//! Bayes' rule: after n clean checks that each find what is there with chance s, prior p becomes
//! p (1 − s)^n / (p (1 − s)^n + 1 − p). Chances: brief visual check by a trained team 72 ± 3 % and pitfall traps under the
//! furniture's legs 89 ± 1 % of infested units (Wang, Singh, Zha & Cooper, J. Med. Entomol. 53, 2016, read); a trained dog 44 %
//! (10 to 100), with 15 % false alarms (Cooper, Wang & Singh, J. Econ. Entomol. 107:2171-2181, 2014, read).
//!
//! Limits: these are flats, not hospital rooms; no figure for hospital staff was found. Repeats are taken as independent,
//! which is optimistic, above all after a treatment. An empty room hides its bugs: they come to a sleeper.

use super::{OutOfRange, within};

pub const BAYES: &str = "Bayes' rule";
pub const WANG_2016: &str = "Wang, Singh, Zha & Cooper, J. Med. Entomol. 53, 2016";
pub const COOPER_2014: &str = "Cooper, Wang & Singh, J. Econ. Entomol. 107:2171-2181, 2014";

/// With every figure: what it does not know.
pub const WARNINGS: [&str; 2] = [
    "repeated checks are taken as independent, which is optimistic after a treatment",
    "a check of an empty room counts for less: bugs come to a sleeper; say how many of the days it stood empty",
];

/// How a room is looked at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Method {
    Visual,
    Traps,
    Dog,
    /// By the hospital's own people: no figure was published.
    Staff,
}

impl Method {
    pub const ALL: [Self; 4] = [Self::Visual, Self::Traps, Self::Dog, Self::Staff];

    pub fn word(self) -> &'static str {
        match self {
            Self::Visual => "visual",
            Self::Traps => "traps",
            Self::Dog => "dog",
            Self::Staff => "staff",
        }
    }

    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.word().eq_ignore_ascii_case(word.trim()))
    }

    /// The part of infested units that one check finds.
    pub fn finds(self) -> f64 {
        match self {
            Self::Visual | Self::Staff => 0.72,
            Self::Traps => 0.89,
            Self::Dog => 0.44,
        }
    }

    pub fn warning(self) -> Option<&'static str> {
        match self {
            Self::Visual => Some("72 % is a trained team's figure, in flats"),
            Self::Traps => Some("89 % is a figure from flats, of traps set by trained people"),
            Self::Dog => Some("dogs found from 10 to 100 %, and alarmed at 15 % of clean rooms (0 to 57 %)"),
            Self::Staff => {
                Some("no figure was published for hospital staff: 72 % is a trained team's; enter your own (--finds)")
            }
        }
    }

    pub fn source(self) -> &'static str {
        match self {
            Self::Dog => COOPER_2014,
            _ => WANG_2016,
        }
    }
}

/// The chance that it is still infested. `prior` and `finds` from 0 to 1.
pub fn still_infested(prior: f64, finds: f64, clean_checks: u32) -> Result<f64, OutOfRange> {
    let prior = within("prior chance as a part of 1", prior, (0.0, 1.0), "")?;
    // No check finds everything, so that certainty never comes out of one.
    let finds = within("chance to find as a part of 1", finds, (0.0, 0.999), "")?;
    let checks = within("number of checks", f64::from(clean_checks), (0.0, 1000.0), "")?;
    let missed = prior * (1.0 - finds).powf(checks);
    Ok(if missed == 0.0 { 0.0 } else { missed / (missed + (1.0 - prior)) })
}

/// A chance in percent with so many decimals. What is neither impossible nor certain never reads 0 or 100 %.
pub fn percent(chance: f64, decimals: usize) -> String {
    let shown = format!("{:.decimals$}", 100.0 * chance);
    let smallest = 0.1_f64.powi(i32::try_from(decimals).unwrap_or(0));
    match shown.parse::<f64>() {
        Ok(read) if read <= 0.0 && chance > 0.0 => format!("under {smallest:.decimals$} %"),
        Ok(read) if read >= 100.0 && chance < 1.0 => format!("over {:.decimals$} %", 100.0 - smallest),
        _ => format!("{shown} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn from_even_odds_visual_checks_and_traps_leave_what_the_table_says() {
        // Worked out by Bayes' rule from the published 72 and 89 %, in percent after 1, 2 and 3 checks.
        for (method, percents) in [(Method::Visual, [21.9, 7.3, 2.1]), (Method::Traps, [9.9, 1.2, 0.1])] {
            for (checks, percent) in (1..).zip(percents) {
                let found = 100.0 * still_infested(0.5, method.finds(), checks).unwrap();
                assert!((found - percent).abs() <= 0.051, "{method:?} {checks}: {found} is not {percent}");
            }
        }
    }

    #[test]
    fn nothing_is_learned_without_a_check_and_nothing_from_certainty() {
        assert!((still_infested(0.3, 0.72, 0).unwrap() - 0.3).abs() < 1e-12);
        assert_eq!(still_infested(1.0, 0.89, 5), Ok(1.0));
        assert_eq!(still_infested(0.0, 0.89, 5), Ok(0.0));
        for (prior, finds) in [(1.1, 0.5), (-0.1, 0.5), (f64::NAN, 0.5), (0.5, 1.0), (0.5, f64::NAN), (0.5, -0.1)] {
            assert!(still_infested(prior, finds, 1).is_err(), "{prior} {finds}");
        }
        assert!(still_infested(0.5, 0.5, 1001).is_err());
    }

    #[test]
    fn a_chance_reads_as_certain_only_where_it_is() {
        let said = |chance| (percent(chance, 0), percent(chance, 2));
        assert_eq!(said(0.0), ("0 %".to_owned(), "0.00 %".to_owned()));
        assert_eq!(said(0.00001), ("under 1 %".to_owned(), "under 0.01 %".to_owned()));
        assert_eq!(said(0.004), ("under 1 %".to_owned(), "0.40 %".to_owned()));
        assert_eq!(said(0.073), ("7 %".to_owned(), "7.30 %".to_owned()));
        assert_eq!(said(0.999999), ("over 99 %".to_owned(), "over 99.99 %".to_owned()));
        assert_eq!(said(1.0), ("100 %".to_owned(), "100.00 %".to_owned()));
    }

    #[test]
    fn every_method_is_found_by_its_word_and_staff_are_warned_of() {
        assert!(Method::ALL.iter().all(|it| Method::from_word(it.word()) == Some(*it)));
        assert_eq!(Method::from_word("smell"), None);
        assert!(Method::Staff.warning().is_some_and(|it| it.contains("no figure")));
    }

    proptest! {
        #[test]
        fn each_clean_check_lowers_the_chance_and_never_to_nothing(prior in 0.01..0.99, finds in 0.01..0.98, n in 0_u32..20) {
            let now = still_infested(prior, finds, n).unwrap();
            let then = still_infested(prior, finds, n + 1).unwrap();
            prop_assert!(then < now && then > 0.0 && now <= prior + 1e-12);
        }
    }
}

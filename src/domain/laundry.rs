//! Judges a laundry cycle as it was typed: hygienic by the hospital's criterion, and safe from bed bugs. Two verdicts, apart.
//!
//! What was not typed is unknown, and unknown is not met; the reason says what to type. A cycle that fails is kept: this
//! module only says what it amounts to.

use crate::science::laundry as published;
pub use crate::science::laundry::HygieneCriterion;

use super::entry::{Cycle, Known};
use super::policy::{Policy, Setting};

/// One question's answer, with a plain reason and the publication that it rests on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Verdict {
    pub met: bool,
    pub reason: String,
    pub source: &'static str,
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LoadVerdict {
    pub hygiene: Verdict,
    pub insects: Verdict,
    /// There was a wash, not a dryer alone.
    pub washed: bool,
    /// The load held things that were present at a spray.
    pub treated: bool,
}

impl LoadVerdict {
    /// Whether the bag is settled by this cycle. Treated things need a wash besides: a dryer removes no residue.
    pub fn settles(&self) -> bool {
        self.hygiene.met && self.insects.met && (self.washed || !self.treated)
    }

    /// Why it does not settle the bag: one sentence for each thing that failed. Empty if it does.
    pub fn failures(&self) -> Vec<String> {
        let mut failures = vec![];
        if !self.hygiene.met {
            failures.push(format!("hygiene not met: {} ({})", self.hygiene.reason, self.hygiene.source));
        }
        if !self.insects.met {
            failures.push(format!("insects not shown dead: {} ({})", self.insects.reason, self.insects.source));
        }
        if self.treated && !self.washed {
            failures.push("treated things need a wash, not a dryer alone".to_owned());
        }
        failures
    }
}

/// The criterion that the hospital chose. A choice that is none of ours reads as the hottest.
pub fn criterion_of(policy: &Policy) -> HygieneCriterion {
    HygieneCriterion::from_word(policy.word(Setting::HygieneCriterion)).unwrap_or(HygieneCriterion::DeRki)
}

pub fn judge(cycle: &Cycle, criterion: HygieneCriterion, treated: bool) -> LoadVerdict {
    LoadVerdict {
        hygiene: hygiene(cycle, criterion),
        insects: insects(cycle),
        washed: cycle.wash_decicelsius.is_some() && cycle.wash_minutes.is_some_and(|minutes| minutes > 0),
        treated,
    }
}

/// What the hospital asks of a load, in words: the hygiene criterion that it chose, and what kills the insects.
pub fn wanted(policy: &Policy) -> String {
    format!(
        "wash {}; for the insects wash 60 °C for 30 min, or dryer over 40 °C for 30 min with a small load; treated things are washed",
        rule_in_words(criterion_of(policy), None)
    )
}

fn hygiene(cycle: &Cycle, criterion: HygieneCriterion) -> Verdict {
    let wanted = criterion.decicelsius();
    let needed = criterion.minutes(cycle.mixing_minutes);
    let rule = rule_in_words(criterion, cycle.mixing_minutes);
    let verdict = |met, reason| Verdict { met, reason, source: criterion.source() };
    let (decicelsius, minutes) = match wash_of(cycle) {
        Ok(wash) => wash,
        Err(why) => return verdict(false, why),
    };
    let had = held(decicelsius, minutes);
    if decicelsius < wanted {
        return verdict(
            false,
            format!("{had} is not hot enough: this hospital's rule ({}) asks for {rule}", criterion.word()),
        );
    }
    if minutes < needed {
        return verdict(
            false,
            format!("{had} is too short: this hospital's rule ({}) asks for {rule}", criterion.word()),
        );
    }
    if criterion.needs_detergent() && cycle.detergent != Known::Yes {
        let what = match cycle.detergent {
            Known::No => "there was no detergent",
            _ => "say whether there was detergent",
        };
        return verdict(false, format!("{what}: this hospital's rule ({}) asks for {rule}", criterion.word()));
    }
    verdict(true, format!("{had} meets {}: {rule}", criterion.word()))
}

/// One of the two ways is enough. The reason tells of the way that worked, else of both.
fn insects(cycle: &Cycle) -> Verdict {
    let verdict = |met, reason| Verdict { met, reason, source: published::NAYLOR_BOASE };
    match insects_by_wash(cycle) {
        Ok(reason) => verdict(true, reason),
        Err(wash) => match insects_by_dryer(cycle) {
            Ok(reason) => verdict(true, reason),
            Err(dryer) => verdict(false, format!("{wash}; {dryer}")),
        },
    }
}

fn insects_by_wash(cycle: &Cycle) -> Result<String, String> {
    let (decicelsius, minutes) = wash_of(cycle)?;
    let had = held(decicelsius, minutes);
    if published::wash_kills_all_stages(decicelsius, minutes) {
        return Ok(format!("{had} in the wash: all stages die at 60 °C in 30 min"));
    }
    Err(if decicelsius < published::INSECT_WASH_DECICELSIUS {
        format!("{had} in the wash is under 60 °C: eggs live (at 40 °C only 25 % of them died)")
    } else {
        format!("{had} in the wash is shorter than the 30 min that were shown to kill eggs")
    })
}

fn insects_by_dryer(cycle: &Cycle) -> Result<String, String> {
    let (decicelsius, minutes) = match (cycle.dry_decicelsius, cycle.dry_minutes) {
        (Some(decicelsius), Some(minutes)) => (decicelsius, minutes),
        (None, None) => return Err("no hot dryer is stated: type its temperature and minutes".to_owned()),
        (None, Some(_)) => return Err("the dryer's temperature is not stated: type it".to_owned()),
        (Some(_), None) => return Err("the dryer's minutes are not stated: type them".to_owned()),
    };
    let had = held(decicelsius, minutes);
    if published::dryer_kills_all_stages(decicelsius, minutes, cycle.small_load == Known::Yes) {
        return Ok(format!("{had} in the dryer, small load: all stages die over 40 °C in 30 min"));
    }
    Err(if decicelsius <= published::INSECT_DRY_OVER_DECICELSIUS {
        format!("{had} in the dryer is not over 40 °C")
    } else if minutes < published::INSECT_DRY_MINUTES {
        format!("{had} in the dryer is too short, 30 min are needed: some bugs survive (after 10 min some did)")
    } else if cycle.small_load == Known::No {
        format!("{had} in the dryer was shown for a small load only, about 3.5 kg")
    } else {
        format!("{had} in the dryer counts for a small load, about 3.5 kg: say whether it was one")
    })
}

/// The wash as typed, or what to type.
fn wash_of(cycle: &Cycle) -> Result<(i32, u32), String> {
    match (cycle.wash_decicelsius, cycle.wash_minutes) {
        (None, None) => Err("no wash is stated: type its temperature and minutes".to_owned()),
        (None, Some(_)) => Err("the wash temperature is not stated: type it".to_owned()),
        (Some(_), None) => Err("the minutes at the wash temperature are not stated: type them".to_owned()),
        (Some(decicelsius), Some(_)) if decicelsius > published::HOTTEST_WASH_DECICELSIUS => {
            Err(format!("no wash reaches {}: type it in degrees Celsius", celsius(decicelsius)))
        }
        (Some(decicelsius), Some(minutes)) => Ok((decicelsius, minutes)),
    }
}

fn rule_in_words(criterion: HygieneCriterion, mixing: Option<u32>) -> String {
    let mut rule = format!("{} for {} min", celsius(criterion.decicelsius()), criterion.minutes(mixing));
    if criterion.adds_mixing() {
        rule.push_str(" with mixing time");
    }
    if criterion.needs_detergent() {
        rule.push_str(" with detergent");
    }
    rule
}

fn held(decicelsius: i32, minutes: u32) -> String {
    format!("{} for {minutes} min", celsius(decicelsius))
}

/// `71 °C`, `71.1 °C`, `−4.5 °C`.
fn celsius(decicelsius: i32) -> String {
    let sign = if decicelsius < 0 { "−" } else { "" };
    match (decicelsius.unsigned_abs() / 10, decicelsius.unsigned_abs() % 10) {
        (whole, 0) => format!("{sign}{whole} °C"),
        (whole, tenth) => format!("{sign}{whole}.{tenth} °C"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wash(decicelsius: i32, minutes: u32) -> Cycle {
        Cycle {
            wash_decicelsius: Some(decicelsius),
            wash_minutes: Some(minutes),
            detergent: Known::Yes,
            ..Cycle::default()
        }
    }

    fn dryer(decicelsius: i32, minutes: u32) -> Cycle {
        Cycle {
            dry_decicelsius: Some(decicelsius),
            dry_minutes: Some(minutes),
            small_load: Known::Yes,
            ..Cycle::default()
        }
    }

    #[track_caller]
    fn check(cycle: &Cycle, criterion: HygieneCriterion, hygiene: bool, insects: bool) {
        let verdict = judge(cycle, criterion, false);
        assert_eq!((verdict.hygiene.met, verdict.insects.met), (hygiene, insects), "{verdict:?}");
        assert_eq!(verdict.settles(), hygiene && insects);
        assert_eq!(verdict.failures().is_empty(), verdict.settles());
    }

    #[test]
    fn a_cdc_wash_meets_hygiene_at_its_limits_and_not_below() {
        // CDC, MMWR 52(RR-10), 2003: 71 °C (160 °F) for 25 minutes with detergent.
        // Naylor & Boase 2010 showed 60 °C for 30 minutes, so 25 minutes are not shown for insects.
        check(&wash(710, 25), HygieneCriterion::UsCdc, true, false);
        check(&wash(709, 30), HygieneCriterion::UsCdc, false, true);
        check(&wash(710, 24), HygieneCriterion::UsCdc, false, false);
        check(&wash(710, 30), HygieneCriterion::UsCdc, true, true);
        check(&Cycle { detergent: Known::Unknown, ..wash(710, 30) }, HygieneCriterion::UsCdc, false, true);
        check(&Cycle { detergent: Known::No, ..wash(710, 30) }, HygieneCriterion::UsCdc, false, true);
        // Illinois 77 Adm. Code 250.1740 prints 160 °F, 71.1 °C, and asks for no detergent there.
        check(&wash(710, 30), HygieneCriterion::UsIl, false, true);
        check(&Cycle { detergent: Known::No, ..wash(711, 30) }, HygieneCriterion::UsIl, true, true);
    }

    #[test]
    fn the_uk_rules_add_mixing_time_and_take_the_longer_when_it_is_not_stated() {
        // HSE, laundry treatments: 65 °C for 10 minutes, 71 °C for 3 minutes, plus mixing time (4 to 8 minutes, from memory).
        check(&wash(650, 17), HygieneCriterion::Uk65, false, false);
        check(&wash(650, 18), HygieneCriterion::Uk65, true, false);
        check(&Cycle { mixing_minutes: Some(4), ..wash(650, 14) }, HygieneCriterion::Uk65, true, false);
        check(&wash(649, 30), HygieneCriterion::Uk65, false, true);
        check(&wash(710, 10), HygieneCriterion::Uk71, false, false);
        check(&wash(710, 11), HygieneCriterion::Uk71, true, false);
        // RKI: 90 °C for 10 minutes.
        check(&wash(900, 10), HygieneCriterion::DeRki, true, false);
        check(&wash(899, 60), HygieneCriterion::DeRki, false, true);
    }

    #[test]
    fn insects_need_sixty_degrees_for_thirty_minutes_or_a_hot_dryer() {
        // Naylor & Boase 2010 for every line.
        check(&wash(600, 30), HygieneCriterion::UsCdc, false, true);
        check(&wash(599, 30), HygieneCriterion::UsCdc, false, false);
        check(&wash(499, 60), HygieneCriterion::UsCdc, false, false);
        check(&dryer(401, 30), HygieneCriterion::UsCdc, false, true);
        check(&dryer(600, 10), HygieneCriterion::UsCdc, false, false);
        check(&dryer(400, 60), HygieneCriterion::UsCdc, false, false);
        check(&Cycle { small_load: Known::Unknown, ..dryer(600, 60) }, HygieneCriterion::UsCdc, false, false);
        let forty = judge(&wash(400, 30), HygieneCriterion::UsCdc, false);
        assert!(!forty.insects.met && forty.insects.reason.contains("25 %"), "{forty:?}");
    }

    #[test]
    fn a_hygienic_wash_and_a_hot_dryer_together_settle_a_load() {
        let both = Cycle { dry_decicelsius: Some(600), dry_minutes: Some(30), small_load: Known::Yes, ..wash(710, 25) };
        assert!(judge(&both, HygieneCriterion::UsCdc, true).settles());
    }

    #[test]
    fn a_dryer_alone_never_settles_treated_things() {
        let dried = judge(&dryer(600, 60), HygieneCriterion::UsCdc, true);
        assert!(dried.insects.met && !dried.washed && !dried.settles());
        assert!(dried.failures().iter().any(|why| why.contains("need a wash")), "{:?}", dried.failures());
    }

    #[test]
    fn what_was_not_typed_is_not_met_and_the_reason_says_what_to_type() {
        let nothing = judge(&Cycle::default(), HygieneCriterion::Uk65, true);
        assert!(!nothing.settles() && !nothing.hygiene.met && !nothing.insects.met && !nothing.washed);
        assert!(nothing.hygiene.reason.contains("type its temperature and minutes"), "{nothing:?}");
        let half = judge(&Cycle { wash_minutes: None, ..wash(710, 0) }, HygieneCriterion::Uk71, false);
        assert!(half.hygiene.reason.contains("minutes"), "{half:?}");
    }

    #[test]
    fn degrees_fahrenheit_typed_as_celsius_are_not_believed() {
        let slip = judge(&wash(1600, 30), HygieneCriterion::UsCdc, true);
        assert!(!slip.hygiene.met && !slip.insects.met);
        assert!(slip.hygiene.reason.contains("Celsius"), "{slip:?}");
    }

    #[test]
    fn hotter_and_longer_never_makes_a_met_verdict_unmet() {
        for criterion in HygieneCriterion::ALL {
            for decicelsius in (0..=1000).step_by(5) {
                for minutes in 0..45 {
                    let now = judge(&wash(decicelsius, minutes), criterion, true);
                    let more = judge(&wash((decicelsius + 5).min(1000), minutes + 1), criterion, true);
                    assert!(more.hygiene.met || !now.hygiene.met);
                    assert!(more.insects.met || !now.insects.met);
                }
            }
        }
    }

    #[test]
    fn every_word_of_the_setting_is_a_criterion() {
        let super::super::policy::Unit::Choice(words) = Setting::HygieneCriterion.item().unit else {
            panic!("the hygiene criterion is a choice")
        };
        let ours: Vec<&str> = HygieneCriterion::ALL.iter().map(|it| it.word()).collect();
        assert_eq!(words, ours.as_slice());
        assert_eq!(criterion_of(&Policy::default()), HygieneCriterion::UsCdc);
    }
}

//! Judges a laundry cycle: hygienic by the hospital's criterion, and safe from bed bugs. Two verdicts, apart.
//!
//! It is judged as it was typed, or where a logger was in the machine by what that measured, as its entry keeps it. Of that
//! machine nothing typed counts then: a figure from a slip passes nothing that a trace fails. What no logger shows is typed
//! all the same: detergent, a small load, which machine it was.
//!
//! What was not typed is unknown, and unknown is not met; the reason says what to type. A cycle that fails is kept: this
//! module only says what it amounts to.

use crate::science::laundry as published;
pub use crate::science::laundry::HygieneCriterion;

use super::doubts::not_compared;
use super::entry::{Cycle, Known};
use super::measured::{LoggerIn, Measured};
use super::policy::{Policy, Setting};
use super::shown::shown;
use crate::science::trace::{Finding, Machine, Outcome, judge_figures};

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
        washed: match cycle.traces().find(|it| it.machine == LoggerIn::Washer) {
            Some(trace) => trace.seconds > 0,
            None => cycle.wash_decicelsius.is_some() && cycle.wash_minutes.is_some_and(|minutes| minutes > 0),
        },
        treated,
    }
}

/// What one machine's part of a cycle is judged by.
enum Source<'a> {
    Typed,
    Logger(&'a Measured),
    /// There is a trace, and it shows nothing for certain: what to type.
    Nothing(&'static str),
}

fn source_of(cycle: &Cycle, machine: LoggerIn) -> Source<'_> {
    // It may have been this one: then what was typed of it must not count against the trace.
    if cycle.traces().any(|it| it.machine == LoggerIn::Unknown) {
        return Source::Nothing("say whether the logger was in the washer or in the dryer");
    }
    let mut of_machine = cycle.traces().filter(|it| it.machine == machine);
    match (of_machine.next(), of_machine.next()) {
        (None, _) => Source::Typed,
        (Some(_), Some(_)) => Source::Nothing("two traces are said to be of one machine: say which was of which"),
        (Some(trace), None) if trace.uncertainty_decikelvin.is_none() => {
            Source::Nothing("say how uncertain the logger is: its certificate tells it")
        }
        (Some(trace), None) => Source::Logger(trace),
    }
}

/// One criterion by the sensor that did worst, in a sentence. Met only cumulatively where that is for a person to decide
/// is not met: nobody decides it here.
fn measured(trace: &Measured, id: &str, mixing: Option<u32>) -> Result<String, String> {
    let machine = match trace.machine {
        LoggerIn::Dryer => Machine::Dryer,
        _ => Machine::Washer { mixing_minutes: mixing },
    };
    let found = judge_figures(&trace.figures(), machine).into_iter().find(|it| it.id == id);
    let Some(finding) = found else { return Err("the logger has no sensor for it".to_owned()) };
    let reason = format!("by the logger ({}), {finding}", sensor_name(trace, &finding));
    if finding.outcome == Outcome::Met { Ok(reason) } else { Err(reason) }
}

fn sensor_name(trace: &Measured, finding: &Finding) -> String {
    trace.sensors.get(finding.sensor).map_or_else(String::new, |sensor| shown(&sensor.name))
}

/// Every criterion for the machine that the logger was in, apart: its name, whether the trace meets it, and why. What no
/// logger shows is not among them.
pub fn measured_criteria(trace: &Measured, mixing: Option<u32>) -> Vec<(&'static str, Outcome, String)> {
    let machine = match trace.machine {
        LoggerIn::Dryer => Machine::Dryer,
        LoggerIn::Washer => Machine::Washer { mixing_minutes: mixing },
        LoggerIn::Unknown => return vec![],
    };
    let told = |it: Finding| (it.id, it.outcome, format!("{}: {it}", sensor_name(trace, &it)));
    judge_figures(&trace.figures(), machine).into_iter().map(told).collect()
}

/// What the hospital asks of a load, in words: the hygiene criterion that it chose, and what kills the insects.
pub fn wanted(policy: &Policy) -> String {
    format!(
        "wash {}; for the insects wash 60 °C for 30 min, or dryer over 40 °C for 30 min with a small load; treated things are washed",
        rule_in_words(criterion_of(policy), None)
    )
}

/// How the files of its loggers were read, in words: what was stated of them, and what was taken for granted.
pub fn read_as(cycle: &Cycle) -> Option<String> {
    let mut all: Vec<&str> = cycle.traces().map(|it| it.read_as.as_str()).filter(|it| !it.is_empty()).collect();
    all.dedup();
    (!all.is_empty()).then(|| all.join("; the other machine's: "))
}

/// What a load's trace shows, a line each for whoever is about to note it: met or not, and why. First what this hospital asks.
pub fn trace_told(cycle: &Cycle, criterion: HygieneCriterion) -> Vec<(Option<bool>, String)> {
    if cycle.traces().any(|it| it.machine == LoggerIn::Unknown) {
        return vec![(Some(false), "say whether the logger was in the washer or in the dryer".to_owned())];
    }
    let has_both = cycle.traces().count() > 1;
    let read = read_as(cycle).map(|words| (None, format!("the logger's file was read so: {words}")));
    let of_one = |trace: &Measured| {
        let begin = if has_both { format!("{}, ", trace.machine.word()) } else { String::new() };
        let told = one_trace_told(trace, cycle.mixing_minutes, criterion, has_both).into_iter();
        told.map(move |(met, why)| (met, format!("{begin}{why}"))).collect::<Vec<_>>()
    };
    cycle.traces().flat_map(of_one).chain(read).collect()
}

fn one_trace_told(
    trace: &Measured,
    mixing: Option<u32>,
    criterion: HygieneCriterion,
    has_both: bool,
) -> Vec<(Option<bool>, String)> {
    let mut told = vec![];
    if trace.uncertainty_decikelvin.is_none() {
        told.push((Some(false), "say how uncertain the logger is: its certificate tells it".to_owned()));
        return told;
    }
    let mut others = vec![];
    for (id, outcome, why) in measured_criteria(trace, mixing) {
        let own = id == criterion.word();
        let insects = HygieneCriterion::from_word(id).is_none();
        let met = outcome == Outcome::Met;
        match (own, insects, outcome) {
            (true, ..) => told.push((Some(met), format!("{id}, this hospital's rule: {why}"))),
            (_, true, _) => told.push((Some(met), format!("{id}: {why}"))),
            (.., Outcome::Met) => others.push(format!("{id} met")),
            (.., Outcome::PersonDecides) => others.push(format!("{id} for a person to decide")),
            (.., Outcome::NotMet) => others.push(format!("{id} NOT met")),
        }
    }
    match trace.machine {
        LoggerIn::Dryer if has_both => {}
        LoggerIn::Dryer => {
            told.push((None, "a dryer's trace says nothing of hygiene: the wash as typed counts".to_owned()))
        }
        _ => told.push((None, format!("other rules: {}", others.join(", ")))),
    }
    told.extend(not_compared(trace).map(|why| (None, why.to_owned())));
    told
}

/// The temperatures that matter for a trace of this machine under the hospital's rule, in °C.
pub fn trace_asks(machine: LoggerIn, criterion: HygieneCriterion) -> Vec<f64> {
    let celsius = |decicelsius: i32| f64::from(decicelsius) / 10.0;
    let insects = celsius(published::INSECT_WASH_DECICELSIUS);
    match machine {
        // Over 40 °C, to the tenth to which it is logged.
        LoggerIn::Dryer => vec![celsius(published::INSECT_DRY_OVER_DECICELSIUS + 1)],
        _ => vec![insects, celsius(criterion.decicelsius())],
    }
}

fn hygiene(cycle: &Cycle, criterion: HygieneCriterion) -> Verdict {
    let wanted = criterion.decicelsius();
    let needed = criterion.minutes(cycle.mixing_minutes);
    let rule = rule_in_words(criterion, cycle.mixing_minutes);
    let verdict = |met, reason| Verdict { met, reason, source: criterion.source() };
    let detergent = || {
        let what = match cycle.detergent {
            Known::Yes => return None,
            _ if !criterion.needs_detergent() => return None,
            Known::No => "there was no detergent",
            Known::Unknown => "say whether there was detergent",
        };
        Some(format!("{what}: this hospital's rule ({}) asks for {rule}", criterion.word()))
    };
    match source_of(cycle, LoggerIn::Washer) {
        Source::Typed => {}
        Source::Nothing(what) => return verdict(false, what.to_owned()),
        Source::Logger(trace) => {
            return match (measured(trace, criterion.word(), cycle.mixing_minutes), detergent()) {
                (Err(why), _) => {
                    verdict(false, format!("{why}: this hospital's rule ({}) asks for {rule}", criterion.word()))
                }
                (Ok(_), Some(why)) => verdict(false, why),
                (Ok(reason), None) => verdict(true, format!("{reason}, as {} asks: {rule}", criterion.word())),
            };
        }
    }
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
    if let Some(why) = detergent() {
        return verdict(false, why);
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
            Err(dryer) if dryer == wash => verdict(false, wash),
            Err(dryer) => verdict(false, format!("{wash}; {dryer}")),
        },
    }
}

fn insects_by_wash(cycle: &Cycle) -> Result<String, String> {
    match source_of(cycle, LoggerIn::Washer) {
        Source::Typed => {}
        Source::Nothing(what) => return Err(what.to_owned()),
        Source::Logger(trace) => {
            return measured(trace, "insects-wash", None).map(in_the("wash")).map_err(in_the("wash"));
        }
    }
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

fn in_the(machine: &'static str) -> impl Fn(String) -> String {
    move |reason| format!("{reason}, in the {machine}")
}

fn insects_by_dryer(cycle: &Cycle) -> Result<String, String> {
    match source_of(cycle, LoggerIn::Dryer) {
        Source::Typed => {}
        // The wash has said so already.
        Source::Nothing(what) => return Err(what.to_owned()),
        Source::Logger(trace) => {
            let reason = measured(trace, "insects-dryer", None).map(in_the("dryer")).map_err(in_the("dryer"))?;
            return match cycle.small_load {
                Known::Yes => Ok(format!("{reason}, small load")),
                Known::No => Err(format!("{reason}, but that was shown for a small load only, about 3.5 kg")),
                Known::Unknown => Err(format!("{reason}, but for a small load, about 3.5 kg: say whether it was one")),
            };
        }
    }
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

    /// A trace of one sensor a list, in the washer and certain to half a kelvin, read as a file is.
    fn logged(sensors: &[&[(f64, f64)]]) -> Cycle {
        use crate::domain::measured::{FileHash, Measured, SensorSeen};
        use crate::science::trace::{Reading, Reserve, Seen};
        let reserve = Reserve { uncertainty: 0.5, longest_step_seconds: 60.0 };
        let of = |stretches: &[(f64, f64)]| {
            let mut readings = vec![];
            let mut second = 0.0;
            for (minutes, celsius) in stretches {
                for _ in 0..=(minutes * 2.0) as u32 {
                    readings.push(Reading { seconds: second, celsius: *celsius });
                    second += 30.0;
                }
            }
            SensorSeen::of("drum", &Seen::of(&readings, reserve))
        };
        let trace = Measured {
            file: FileHash([7; 32]),
            machine: LoggerIn::Washer,
            uncertainty_decikelvin: Some(5),
            longest_step_seconds: 60,
            began: None,
            seconds: 3600,
            sensors: sensors.iter().map(|it| of(it)).collect(),
            read_as: String::new(),
        };
        Cycle { detergent: Known::Yes, trace: Some(Box::new(trace)), ..Cycle::default() }
    }

    fn of_machine(mut cycle: Cycle, machine: LoggerIn) -> Cycle {
        cycle.trace.as_mut().unwrap().machine = machine;
        cycle
    }

    #[test]
    fn a_measured_wash_meets_what_a_typed_one_would_less_its_uncertainty() {
        check(&logged(&[&[(30.0, 71.5)]]), HygieneCriterion::UsCdc, true, true);
        check(&logged(&[&[(25.0, 71.5)]]), HygieneCriterion::UsCdc, true, false);
        check(&logged(&[&[(24.5, 71.5)]]), HygieneCriterion::UsCdc, false, false);
        check(&logged(&[&[(30.0, 71.4)]]), HygieneCriterion::UsCdc, false, true);
        check(&logged(&[&[(18.0, 65.5)]]), HygieneCriterion::Uk65, true, false);
        check(&logged(&[&[(17.0, 65.5)]]), HygieneCriterion::Uk65, false, false);
        check(&logged(&[&[(10.0, 90.5)]]), HygieneCriterion::DeRki, true, false);
        check(&Cycle { detergent: Known::Unknown, ..logged(&[&[(30.0, 75.0)]]) }, HygieneCriterion::UsCdc, false, true);
        // The worst sensor decides.
        check(&logged(&[&[(30.0, 75.0)], &[(30.0, 60.5)]]), HygieneCriterion::UsCdc, false, true);
        check(&logged(&[]), HygieneCriterion::UsCdc, false, false);
    }

    #[test]
    fn pieces_of_time_meet_only_the_rule_that_says_in_all() {
        let pieces: &[(f64, f64)] = &[(15.0, 72.0), (5.0, 65.0), (15.0, 72.0)];
        check(&logged(&[pieces]), HygieneCriterion::UsIl, true, true);
        check(&logged(&[pieces]), HygieneCriterion::UsCdc, false, true);
        let why = judge(&logged(&[pieces]), HygieneCriterion::UsCdc, true).hygiene.reason;
        assert!(why.contains("a person must decide"), "{why}");
        check(&logged(&[&[(15.0, 62.0), (5.0, 50.0), (20.0, 62.0)]]), HygieneCriterion::UsCdc, false, false);
    }

    #[test]
    fn a_typed_figure_passes_nothing_that_the_trace_of_its_machine_fails() {
        let typed = |cycle: Cycle| Cycle { wash_decicelsius: Some(750), wash_minutes: Some(60), ..cycle };
        check(&typed(logged(&[&[(30.0, 55.0)]])), HygieneCriterion::UsCdc, false, false);
        check(&typed(of_machine(logged(&[&[(30.0, 55.0)]]), LoggerIn::Unknown)), HygieneCriterion::UsCdc, false, false);
        // A dryer's trace is no wash and speaks of none.
        let dried = of_machine(logged(&[&[(30.0, 45.0)]]), LoggerIn::Dryer);
        check(&Cycle { small_load: Known::Yes, ..dried.clone() }, HygieneCriterion::UsCdc, false, true);
        check(&dried, HygieneCriterion::UsCdc, false, false);
        check(&Cycle { wash_minutes: Some(25), ..typed(dried) }, HygieneCriterion::UsCdc, true, false);
        let cold = of_machine(logged(&[&[(30.0, 30.0)]]), LoggerIn::Dryer);
        let hot = Cycle { dry_decicelsius: Some(700), dry_minutes: Some(60), small_load: Known::Yes, ..cold };
        check(&hot, HygieneCriterion::UsCdc, false, false);
        assert!(!judge(&hot, HygieneCriterion::UsCdc, true).washed);
        assert!(judge(&logged(&[&[(30.0, 75.0)]]), HygieneCriterion::UsCdc, true).settles());
    }

    #[test]
    fn a_trace_whose_certainty_was_not_said_shows_nothing() {
        let mut cycle = Cycle { wash_decicelsius: Some(750), wash_minutes: Some(60), ..logged(&[&[(60.0, 80.0)]]) };
        cycle.trace.as_mut().unwrap().uncertainty_decikelvin = None;
        check(&cycle, HygieneCriterion::UsCdc, false, false);
        assert!(judge(&cycle, HygieneCriterion::UsCdc, true).hygiene.reason.contains("how uncertain the logger is"));
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

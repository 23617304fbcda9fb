//! A logger's temperatures over time, judged by published criteria: the longest hold, the time in all, and A0. Never mixed.
//!
//! Hold, and A0 as its alternative for washer-disinfectors: ISO 15883-1, 4.3.1 and annex B (read in a copy): the temperature
//! "shall be continuously maintained"; A0 = Σ 10^((T − 80)/10) Δt, equivalent seconds at 80 °C, counted from 65 °C up (EFHSS
//! answer Q00473, read). Every sensor is judged and the worst decides (the same standard). The criteria are those of
//! [`super::laundry`]; which of them asks for a hold and which for time in all is in [`Rule`].
//!
//! Between two readings the temperature is taken as a straight line. Assumptions, all on the strict side: the sensor's stated
//! uncertainty comes off every reading, and nothing is counted between readings that lie too far apart (60 s where not said, and a
//! tenth of it).
//! A0 is no criterion for linen: it is a further figure. Not for what happens in a dryer, which is not moist heat.

use std::fmt;

use super::laundry::{
    HygieneCriterion, INSECT_DRY_MINUTES, INSECT_WASH_DECICELSIUS, INSECT_WASH_MINUTES, NAYLOR_BOASE,
};

pub const A0_SOURCE: &str = "A0: ISO 15883-1, annex B (read in a copy); from 65 °C up: EFHSS answer Q00473";

/// A straight line is believed over no longer time. Assumption.
pub const LONGEST_STEP_SECONDS: f64 = 60.0;
/// A step may be longer by this part of it: a logger of one minute slips a second, or writes minutes in tenths. Ours, no source.
pub const STEP_TOLERANCE: f64 = 0.1;
/// Nothing below it counts towards A0.
pub(super) const A0_FLOOR_CELSIUS: f64 = 65.0;
/// A0's z is 10 K: ln 10 / 10.
const A0_RATE: f64 = std::f64::consts::LN_10 / 10.0;
/// Over 40 °C, to the tenth to which it is logged.
const HOT_DRYER_CELSIUS: f64 = 40.1;
/// 99 % of eggs die on reaching it: Kells & Goblirsch, Insects 2:412-422, 2011.
pub const EGGS_DIE_CELSIUS: f64 = 54.8;

/// What holds are measured at: all that a criterion here asks for.
pub const THRESHOLDS: [f64; 7] = [HOT_DRYER_CELSIUS, EGGS_DIE_CELSIUS, 60.0, 65.0, 71.0, 71.1, 90.0];

/// One reading of one sensor. Of a sensor they follow each other in time.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Reading {
    pub seconds: f64,
    pub celsius: f64,
}

/// How strictly readings are read.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Reserve {
    /// Comes off each reading, K.
    pub uncertainty: f64,
    /// Nothing counts between readings that lie further apart, by more than [`STEP_TOLERANCE`].
    pub longest_step_seconds: f64,
}

impl Reserve {
    /// Whether a straight line over so many seconds is believed.
    pub fn joins(self, seconds: f64) -> bool {
        seconds > 0.0 && seconds <= self.longest_step_seconds * (1.0 + STEP_TOLERANCE)
    }
}

/// Time at or above one threshold.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Held {
    pub longest_seconds: f64,
    pub total_seconds: f64,
}

/// What one sensor saw.
#[derive(Clone, PartialEq, Debug)]
pub struct Seen {
    /// In the order of [`THRESHOLDS`].
    pub held: [Held; THRESHOLDS.len()],
    pub a0: f64,
    /// Start and end of each stretch without readings, in seconds.
    pub gaps: Vec<(f64, f64)>,
    /// Before the uncertainty comes off.
    pub hottest_celsius: f64,
}

impl Seen {
    pub fn of(readings: &[Reading], reserve: Reserve) -> Self {
        Self {
            held: THRESHOLDS.map(|threshold| held(readings, threshold, reserve)),
            a0: a0(readings, reserve),
            gaps: steps(readings)
                .filter(|(a, b)| !joined(a, b, reserve))
                .map(|(a, b)| (a.seconds, b.seconds))
                .collect(),
            hottest_celsius: readings.iter().map(|it| it.celsius).fold(f64::NEG_INFINITY, f64::max),
        }
    }
}

/// What a criterion asks of one sensor. Times that were kept in whole seconds are judged as a whole trace is.
#[derive(Clone, PartialEq, Debug)]
pub struct Figures {
    /// In the order of [`THRESHOLDS`].
    pub held: [Held; THRESHOLDS.len()],
    /// Stretches without readings.
    pub gaps: usize,
}

impl Seen {
    pub fn figures(&self) -> Figures {
        Figures { held: self.held, gaps: self.gaps.len() }
    }
}

fn steps(readings: &[Reading]) -> impl Iterator<Item = (&Reading, &Reading)> {
    readings.iter().zip(readings.iter().skip(1))
}

/// Whether a straight line between the two is believed. Times that do not rise, and what is no number, are a gap.
fn joined(a: &Reading, b: &Reading, reserve: Reserve) -> bool {
    reserve.joins(b.seconds - a.seconds) && a.celsius.is_finite() && b.celsius.is_finite()
}

/// Time at or above a threshold, its ends found on the straight line between readings.
pub fn held(readings: &[Reading], threshold: f64, reserve: Reserve) -> Held {
    let mut found = Held::default();
    let mut since: Option<f64> = None;
    let mut last = 0.0;
    let mut close = |since: &mut Option<f64>, end: f64| {
        if let Some(start) = since.take() {
            found.longest_seconds = found.longest_seconds.max(end - start);
            found.total_seconds += end - start;
        }
    };
    let least = threshold + reserve.uncertainty;
    for (a, b) in steps(readings) {
        last = b.seconds;
        if !joined(a, b, reserve) {
            close(&mut since, a.seconds);
            continue;
        }
        let crossed = || a.seconds + (b.seconds - a.seconds) * (least - a.celsius) / (b.celsius - a.celsius);
        match (a.celsius >= least, b.celsius >= least) {
            (true, true) => {
                since.get_or_insert(a.seconds);
            }
            (true, false) => {
                since.get_or_insert(a.seconds);
                close(&mut since, crossed());
            }
            (false, true) => since = Some(crossed()),
            (false, false) => {}
        }
    }
    close(&mut since, last);
    found
}

/// Equivalent seconds at 80 °C, exact for straight lines between readings.
pub fn a0(readings: &[Reading], reserve: Reserve) -> f64 {
    let floor = A0_FLOOR_CELSIUS + reserve.uncertainty;
    let mut sum = 0.0;
    for (a, b) in steps(readings).filter(|(a, b)| joined(a, b, reserve)) {
        let (low, high) = if a.celsius < b.celsius { (a.celsius, b.celsius) } else { (b.celsius, a.celsius) };
        if high < floor {
            continue;
        }
        // The part of the line that lies at 65 °C or above.
        let from = low.max(floor);
        let seconds =
            if high > low { (b.seconds - a.seconds) * (high - from) / (high - low) } else { b.seconds - a.seconds };
        let rise = A0_RATE * (high - from);
        // (e^x − 1)/x, which is 1 where the line is level.
        let shape = if rise > 1e-9 { rise.exp_m1() / rise } else { 1.0 };
        sum += seconds * (A0_RATE * (from - reserve.uncertainty - 80.0)).exp() * shape;
    }
    sum
}

/// What kind of time a criterion asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Rule {
    /// Unbroken.
    Hold,
    /// Its text is silent: unbroken meets it, and the same time in pieces is for a person to decide.
    HoldOrAsk,
    /// In pieces too: its text says cumulative.
    Total,
}

impl Rule {
    pub fn of(criterion: HygieneCriterion) -> Self {
        match criterion {
            HygieneCriterion::UsCdc => Self::HoldOrAsk,
            HygieneCriterion::UsIl => Self::Total,
            HygieneCriterion::Uk65 | HygieneCriterion::Uk71 | HygieneCriterion::DeRki => Self::Hold,
        }
    }

    pub fn word(self) -> &'static str {
        match self {
            Self::Hold => "hold",
            Self::HoldOrAsk => "hold, or a person decides",
            Self::Total => "total",
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Outcome {
    Met,
    /// The time is there in pieces alone.
    PersonDecides,
    NotMet,
}

/// One criterion, judged by the sensor that did worst.
#[derive(Clone, PartialEq, Debug)]
pub struct Finding {
    pub id: &'static str,
    pub rule: Rule,
    pub threshold_celsius: f64,
    pub needed_minutes: u32,
    pub outcome: Outcome,
    /// Which sensor decided, by its place in the list.
    pub sensor: usize,
    pub held: Held,
    /// The sensor was silent for a while, and nothing was counted there.
    pub gaps: usize,
    pub source: &'static str,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { threshold_celsius: at, needed_minutes: needed, held, rule, .. } = self;
        let (longest, total) = (held.longest_seconds / 60.0, held.total_seconds / 60.0);
        match (self.outcome, rule) {
            (Outcome::Met, Rule::Total) => write!(f, "{total:.3} min in all at {at} °C, {needed} are needed")?,
            (Outcome::Met, _) => write!(f, "held {longest:.3} min at {at} °C, {needed} are needed")?,
            (Outcome::PersonDecides, _) => write!(
                f,
                "met only cumulatively: a person must decide; {total:.3} min in all at {at} °C, the longest hold is \
                 {longest:.3} of {needed} min"
            )?,
            (Outcome::NotMet, Rule::Total) => {
                write!(f, "{total:.3} min in all at {at} °C, {needed} are needed: too short")?
            }
            (Outcome::NotMet, _) => {
                write!(f, "longest hold at {at} °C is {longest:.3} min, {needed} are needed: too short")?
            }
        }
        match self.gaps {
            0 => Ok(()),
            1 => f.write_str("; nothing is counted in a gap of its readings"),
            many => write!(f, "; nothing is counted in {many} gaps of its readings"),
        }
    }
}

/// What machine the logger was in: a dryer is no moist heat and meets no rule of hygiene here.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Machine {
    Washer { mixing_minutes: Option<u32> },
    Dryer,
}

/// Every criterion for that machine, apart. None without a sensor.
pub fn judge(sensors: &[Seen], machine: Machine) -> Vec<Finding> {
    judge_figures(&sensors.iter().map(Seen::figures).collect::<Vec<_>>(), machine)
}

/// The same of what was kept of a trace.
pub fn judge_figures(sensors: &[Figures], machine: Machine) -> Vec<Finding> {
    let insects = |id, threshold, minutes| judged(sensors, id, Rule::Hold, threshold, minutes, NAYLOR_BOASE);
    let found: Vec<Option<Finding>> = match machine {
        Machine::Dryer => vec![insects("insects-dryer", HOT_DRYER_CELSIUS, INSECT_DRY_MINUTES)],
        Machine::Washer { mixing_minutes } => HygieneCriterion::ALL
            .into_iter()
            .map(|it| {
                let minutes = it.minutes(mixing_minutes);
                judged(sensors, it.word(), Rule::of(it), f64::from(it.decicelsius()) / 10.0, minutes, it.source())
            })
            .chain([insects("insects-wash", f64::from(INSECT_WASH_DECICELSIUS) / 10.0, INSECT_WASH_MINUTES)])
            .collect(),
    };
    found.into_iter().flatten().collect()
}

fn judged(
    sensors: &[Figures],
    id: &'static str,
    rule: Rule,
    threshold: f64,
    minutes: u32,
    source: &'static str,
) -> Option<Finding> {
    let place = THRESHOLDS.iter().position(|it| *it == threshold)?;
    let needed = f64::from(minutes) * 60.0;
    // A millionth of a second is rounding, not time.
    let enough = |seconds: f64| seconds >= needed - 1e-6;
    let held_by = |seen: &Figures| seen.held.get(place).copied().unwrap_or_default();
    let counted = |seen: &Figures| match rule {
        Rule::Total => held_by(seen).total_seconds,
        Rule::Hold | Rule::HoldOrAsk => held_by(seen).longest_seconds,
    };
    // The worst is the one that counts least; where it counts in pieces too, those break the tie.
    let rank = |seen: &Figures| (enough(held_by(seen).total_seconds), counted(seen));
    let (sensor, seen) = sensors.iter().enumerate().min_by(|(_, one), (_, other)| {
        let ((one_total, one), (other_total, other)) = (rank(one), rank(other));
        one_total.cmp(&other_total).then(one.total_cmp(&other))
    })?;
    let held = held_by(seen);
    let outcome = match rule {
        _ if enough(counted(seen)) => Outcome::Met,
        Rule::HoldOrAsk if enough(held.total_seconds) => Outcome::PersonDecides,
        _ => Outcome::NotMet,
    };
    let gaps = seen.gaps;
    Some(Finding {
        id,
        rule,
        threshold_celsius: threshold,
        needed_minutes: minutes,
        outcome,
        sensor,
        held,
        gaps,
        source,
    })
}

#[cfg(test)]
mod tests;

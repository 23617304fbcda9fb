//! What a logger measured in a load, as its entry keeps it: not the trace, but all that a criterion asks of it.
//!
//! Whole units, each rounded to the strict side, so that the verdict of an entry is worked out from the entry alone, for
//! ever and without the file. Which file it was is told by its hash. How times are told apart is `science::trace`'s.

use std::fmt;

use super::entry::{Cycle, Time};
use crate::science::trace::{Figures, Held, Seen, THRESHOLDS};

/// SHA-256 of a whole file.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct FileHash(pub [u8; 32]);

impl fmt::Display for FileHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl FileHash {
    /// 64 small hexadecimal digits, and nothing else.
    pub fn from_hex(text: &str) -> Option<Self> {
        let digit = |byte: u8| match byte {
            b'0'..=b'9' => Some(byte - b'0'),
            b'a'..=b'f' => Some(byte - b'a' + 10),
            _ => None,
        };
        let (pairs, rest) = text.as_bytes().as_chunks::<2>();
        if !rest.is_empty() {
            return None;
        }
        let bytes: Option<Vec<u8>> = pairs.iter().map(|[high, low]| Some(digit(*high)? << 4 | digit(*low)?)).collect();
        Some(Self(bytes?.try_into().ok()?))
    }
}

/// Which machine the logger was in. A dryer is no wash, and a wash is no dryer; not said counts as neither.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum LoggerIn {
    Washer,
    Dryer,
    #[default]
    Unknown,
}

impl LoggerIn {
    pub const ALL: &'static [Self] = &[Self::Washer, Self::Dryer, Self::Unknown];

    /// As it is typed and filed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Washer => "washer",
            Self::Dryer => "dryer",
            Self::Unknown => "unknown",
        }
    }

    /// Where the second logger of a load was.
    pub fn other(self) -> Self {
        match self {
            Self::Washer => Self::Dryer,
            Self::Dryer => Self::Washer,
            Self::Unknown => Self::Unknown,
        }
    }

    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|it| it.word().eq_ignore_ascii_case(word.trim()))
    }
}

/// Time at or above one temperature, in whole seconds rounded down.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct HeldFor {
    /// Tenths of a degree Celsius.
    pub decicelsius: i32,
    /// Unbroken.
    pub longest_seconds: u32,
    /// In pieces too.
    pub total_seconds: u32,
}

/// What one sensor saw, its uncertainty taken off already.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SensorSeen {
    /// As its column was called.
    pub name: String,
    /// Before the uncertainty came off; rounded down.
    pub hottest_decicelsius: i32,
    pub held: Vec<HeldFor>,
    /// Equivalent seconds at 80 °C, counted from 65 °C up; rounded down.
    pub a0_seconds: u32,
    /// Stretches without readings, in which nothing was counted.
    pub gaps: u32,
    /// How long they are together; rounded up.
    pub gap_seconds: u32,
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Measured {
    pub file: FileHash,
    pub machine: LoggerIn,
    /// What came off every reading, in tenths of a kelvin. None: not stated, so that the trace shows nothing for certain.
    pub uncertainty_decikelvin: Option<u32>,
    /// Nothing was counted between readings that lay further apart.
    pub longest_step_seconds: u32,
    /// Its first reading by the logger's own clock, where the file has dates.
    pub began: Option<Time>,
    /// From the first reading to the last.
    pub seconds: u32,
    /// In the order of the file's columns.
    pub sensors: Vec<SensorSeen>,
    /// How its file was read, in words: degrees, times, what was left out. Empty: kept before that was noted.
    pub read_as: String,
}

/// Longer names are cut: they tell columns apart, and are nothing that is judged.
const LONGEST_NAME: usize = 40;

/// Longer words about how a file was read are cut: many columns may have been left out.
pub const LONGEST_READ_AS: usize = 300;

/// A millionth of a second is rounding, not time: the judge of a whole trace says so too.
const ROUNDING: f64 = 1e-6;

fn whole(seconds: f64) -> u32 {
    (seconds + ROUNDING).floor() as u32
}

fn tenths(celsius: f64) -> i32 {
    (celsius * 10.0).round() as i32
}

impl SensorSeen {
    pub fn of(name: &str, seen: &Seen) -> Self {
        let held = THRESHOLDS.iter().zip(&seen.held).map(|(threshold, held)| HeldFor {
            decicelsius: tenths(*threshold),
            longest_seconds: whole(held.longest_seconds),
            total_seconds: whole(held.total_seconds),
        });
        Self {
            name: name.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect(),
            hottest_decicelsius: (seen.hottest_celsius * 10.0 + ROUNDING).floor() as i32,
            held: held.collect(),
            a0_seconds: whole(seen.a0),
            gaps: u32::try_from(seen.gaps.len()).unwrap_or(u32::MAX),
            gap_seconds: seen.gaps.iter().map(|(from, to)| to - from).sum::<f64>().ceil() as u32,
        }
    }

    /// What was not kept of a temperature was not held.
    pub fn held_at(&self, decicelsius: i32) -> HeldFor {
        let nothing = HeldFor { decicelsius, longest_seconds: 0, total_seconds: 0 };
        self.held.iter().copied().find(|it| it.decicelsius == decicelsius).unwrap_or(nothing)
    }

    fn figures(&self) -> Figures {
        let held = THRESHOLDS.map(|threshold| {
            let kept = self.held_at(tenths(threshold));
            Held { longest_seconds: f64::from(kept.longest_seconds), total_seconds: f64::from(kept.total_seconds) }
        });
        Figures { held, gaps: self.gaps as usize }
    }
}

impl Cycle {
    /// What loggers measured: of one machine, of both, or nothing.
    pub fn traces(&self) -> impl Iterator<Item = &Measured> {
        [&self.trace, &self.other_trace].into_iter().flatten().map(Box::as_ref)
    }
}

impl Measured {
    /// What the judge of traces asks of each sensor.
    pub fn figures(&self) -> Vec<Figures> {
        self.sensors.iter().map(SensorSeen::figures).collect()
    }

    pub fn ended(&self) -> Option<Time> {
        self.began?.checked_add_signed(chrono::TimeDelta::seconds(i64::from(self.seconds)))
    }

    /// The least that any sensor held: each figure by itself. None without a sensor.
    pub fn least_at(&self, decicelsius: i32) -> Option<HeldFor> {
        let held = || self.sensors.iter().map(|sensor| sensor.held_at(decicelsius));
        Some(HeldFor {
            decicelsius,
            longest_seconds: held().map(|it| it.longest_seconds).min()?,
            total_seconds: held().map(|it| it.total_seconds).min()?,
        })
    }

    /// What the hottest sensor read.
    pub fn hottest_decicelsius(&self) -> Option<i32> {
        self.sensors.iter().map(|it| it.hottest_decicelsius).max()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::trace::{LONGEST_STEP_SECONDS, Machine, Reading, Reserve, judge, judge_figures};

    #[test]
    fn a_hash_is_read_only_as_it_is_written() {
        let hash = FileHash(std::array::from_fn(|at| at as u8 * 7));
        assert_eq!(FileHash::from_hex(&hash.to_string()), Some(hash));
        let text = hash.to_string();
        for wrong in [text.to_uppercase(), format!("{text}0"), format!("{text}00"), text[1..].to_owned(), String::new()]
        {
            assert_eq!(FileHash::from_hex(&wrong), None, "{wrong}");
        }
    }

    /// What is kept decides as the whole trace does, at the second on which it turns too.
    #[test]
    fn the_kept_numbers_give_the_verdict_of_the_trace() {
        let mut seed = 7_u64;
        let mut random = move |below: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % below
        };
        for round in 0..400 {
            let reserve = Reserve { uncertainty: random(12) as f64 / 10.0, longest_step_seconds: LONGEST_STEP_SECONDS };
            let trace = |random: &mut dyn FnMut(u64) -> u64| {
                let mut seconds = 0.0;
                let readings = (0..120).map(|_| {
                    seconds += if random(60) == 0 { 90.0 } else { 1.0 + random(59) as f64 };
                    let celsius = if random(9) == 0 { 40.0 } else { 58.0 } + random(340) as f64 / 10.0;
                    Reading { seconds, celsius }
                });
                readings.collect::<Vec<_>>()
            };
            let seen: Vec<Seen> = (0..1 + round % 3).map(|_| Seen::of(&trace(&mut random), reserve)).collect();
            let kept: Vec<Figures> = seen.iter().map(|it| SensorSeen::of("x", it).figures()).collect();
            for machine in [Machine::Dryer, Machine::Washer { mixing_minutes: None }] {
                let whole: Vec<_> = judge(&seen, machine).into_iter().map(|it| (it.id, it.outcome)).collect();
                let again: Vec<_> = judge_figures(&kept, machine).into_iter().map(|it| (it.id, it.outcome)).collect();
                assert_eq!(whole, again);
            }
        }
        // Exactly 30 minutes, by sums that are not exact.
        let third = 1800.0 / 3.0 / 7.0;
        let level: Vec<Reading> =
            (0..=21).map(|at| Reading { seconds: f64::from(at) * third, celsius: 60.0 }).collect();
        let reserve = Reserve { uncertainty: 0.0, longest_step_seconds: 100.0 };
        let kept = SensorSeen::of("x", &Seen::of(&level, reserve));
        assert_eq!(kept.held_at(600).longest_seconds, 1800);
    }

    #[test]
    fn a_temperature_that_was_not_kept_was_not_held() {
        let seen = Seen::of(
            &[Reading { seconds: 0.0, celsius: 95.0 }, Reading { seconds: 50.0, celsius: 95.0 }],
            Reserve { uncertainty: 0.0, longest_step_seconds: 60.0 },
        );
        let mut kept = SensorSeen::of("x", &seen);
        assert_eq!(kept.held_at(900).longest_seconds, 50);
        kept.held.retain(|it| it.decicelsius != 900);
        assert_eq!(kept.held_at(900).longest_seconds, 0);
        assert_eq!(kept.held_at(123).total_seconds, 0);
    }
}

//! How long eggs of the bed bug may take to hatch, by the temperature of the room, and the checks that follow from it.
//!
//! Johnson, Parasitology 32, 1940 (abstract read, pages from memory): no hatching below 13 °C, and a rate that rises about
//! linearly from 18 to 30 °C. University of Illinois, bed bug control (read): quarantine of 7 days at 25 °C, 21 days at 18 °C.
//! From these, worked out here: 105 degree-days above 13 °C until no egg should be left unhatched (the largest of four
//! published points), 96 typically. First check after a treatment within 14 days: StopPests in Housing, Northeastern IPM
//! Center (read).
//!
//! Range: 18 to 30 °C. Outside there are words and no number. Sprays often do not stop eggs: 13 to 95 % of sprayed ones
//! still hatched in a resistant strain (Hinson et al., J. Econ. Entomol., 2016).

use super::{OutOfRange, within};

pub const SOURCE: &str = "Johnson, Parasitology 32, 1940 (abstract; hatching from 13 °C, linear 18 to 30 °C); University of \
                          Illinois, bed bug control (25 °C 7 days, 18 °C 21 days); 105 degree-days derived from them";
pub const FOLLOW_UP_SOURCE: &str =
    "StopPests in Housing, Northeastern IPM Center: first check within 14 days of a treatment";
pub const EMPTY_ROOM_SOURCE: &str = "Cooper, Wang & Singh, PLoS ONE 10:e0136462, 2015 (155 days)";

/// Until no egg should be left unhatched: the largest of four published points. Derived.
const DEGREE_DAYS: f64 = 105.0;
const DEGREE_DAYS_TYPICAL: f64 = 96.0;
/// No egg hatches at or below it.
const HATCH_OVER_CELSIUS: f64 = 13.0;
pub(super) const LINEAR_CELSIUS: (f64, f64) = (18.0, 30.0);
/// What a room can be. Beyond it a number is a slip.
const ROOM_CELSIUS: (f64, f64) = (-30.0, 50.0);
/// The first check after a treatment is no later.
pub const FIRST_CHECK_DAYS: u32 = 14;

/// What the temperature of a room says about eggs in it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum EggClock {
    /// Days until no egg should be left unhatched, and typically.
    Hatched { days: f64, typically: f64 },
    /// 13 to 18 °C.
    SlowUnknown,
    /// At or below 13 °C.
    Dormant,
    /// Above 30 °C.
    TooWarm,
}

impl EggClock {
    pub fn at(celsius: f64) -> Result<Self, OutOfRange> {
        let celsius = within("room temperature", celsius, ROOM_CELSIUS, " °C")?;
        Ok(if celsius <= HATCH_OVER_CELSIUS {
            Self::Dormant
        } else if celsius < LINEAR_CELSIUS.0 {
            Self::SlowUnknown
        } else if celsius <= LINEAR_CELSIUS.1 {
            let above = celsius - HATCH_OVER_CELSIUS;
            Self::Hatched { days: DEGREE_DAYS / above, typically: DEGREE_DAYS_TYPICAL / above }
        } else {
            Self::TooWarm
        })
    }

    /// None where no number is known.
    pub fn days(self) -> Option<f64> {
        match self {
            Self::Hatched { days, .. } => Some(days),
            _ => None,
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::Hatched { .. } => "no egg should be left unhatched by then; sprays often do not stop eggs",
            Self::SlowUnknown => "slow, unknown: eggs hatch, and no published figure says by when",
            Self::Dormant => "will not hatch, not proved dead: the clock starts when the room is warm again",
            Self::TooWarm => "outside the published range of 18 to 30 °C: no figure",
        }
    }

    /// Days after a treatment on which to check: by day 14, and again once the eggs have hatched if that is later. Without
    /// a number the eggs cannot be dated, and checks go on.
    pub fn checks_on_days(self) -> Vec<u32> {
        let hatched = self.days().map(|days| days.ceil() as u32);
        [Some(FIRST_CHECK_DAYS), hatched.filter(|day| *day > FIRST_CHECK_DAYS)].into_iter().flatten().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn days_are_those_worked_out_from_the_published_points() {
        // University of Illinois: 25 °C 7 days, 18 °C 21 days; 105/(T − 13), printed to a tenth of a day.
        let table = [
            (18.0, 21.0),
            (20.0, 15.0),
            (21.0, 13.1),
            (22.0, 11.7),
            (23.0, 10.5),
            (24.0, 9.5),
            (25.0, 8.8),
            (27.0, 7.5),
            (30.0, 6.2),
        ];
        for (celsius, days) in table {
            let found = EggClock::at(celsius).unwrap().days().unwrap();
            assert!((found - days).abs() <= 0.051, "{celsius}: {found} is not {days}");
        }
        // Never earlier than the published rule at the same temperature.
        assert!(EggClock::at(25.0).unwrap().days().unwrap() >= 7.0);
        assert!(EggClock::at(18.0).unwrap().days().unwrap() >= 21.0);
    }

    #[test]
    fn outside_there_are_words_and_no_number() {
        for (celsius, clock) in [
            (17.99, EggClock::SlowUnknown),
            (13.01, EggClock::SlowUnknown),
            (13.0, EggClock::Dormant),
            (-20.0, EggClock::Dormant),
            (30.01, EggClock::TooWarm),
        ] {
            let found = EggClock::at(celsius).unwrap();
            assert_eq!((found, found.days()), (clock, None), "{celsius}");
        }
        assert!(EggClock::Dormant.words().contains("not proved dead"));
        for absurd in [72.0, -300.0, f64::NAN, f64::INFINITY] {
            assert!(EggClock::at(absurd).is_err(), "{absurd}");
        }
    }

    #[test]
    fn a_check_is_due_by_day_14_and_again_when_eggs_take_longer() {
        let on = |celsius| EggClock::at(celsius).unwrap().checks_on_days();
        assert_eq!(on(22.0), [14]);
        assert_eq!(on(20.0), [14, 15]);
        assert_eq!(on(18.0), [14, 21]);
        assert_eq!(on(15.0), [14]);
    }

    proptest! {
        #[test]
        fn warmer_rooms_hatch_sooner(celsius in 18.0..29.0) {
            let days = |celsius| EggClock::at(celsius).unwrap().days().unwrap();
            prop_assert!(days(celsius + 1.0) < days(celsius));
        }
    }
}

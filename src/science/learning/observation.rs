//! What the checks of one drying say about how long it took.

use std::fmt;

use super::super::{OutOfRange, within};

/// From ten seconds of a drying of a day to four weeks of one of four minutes. Beyond it a number is a slip.
pub const RATIOS: (f64, f64) = (1e-4, 1e4);

/// No two checks of a room are nearer to each other: a tenth of a second of a day.
const NEAREST: f64 = 1e-6;

/// One drying, in hours after the end of spraying over the likely hours told beforehand. At least one bound is there.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Observation {
    damp_at: Option<f64>,
    dry_by: Option<f64>,
}

/// Why two numbers are no observation of a drying.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum NotObserved {
    Neither,
    /// In the order given: damp at, dry by.
    Disordered(f64, f64),
    Beyond(OutOfRange),
}

impl fmt::Display for NotObserved {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Neither => {
                f.write_str("a drying without a check says nothing; give when it was still damp, or by when it was dry")
            }
            Self::Disordered(damp, dry) => write!(
                f,
                "still damp at {damp} and dry by {dry} times the estimate: damp has to come first; give the last damp check \
                 before the first dry one"
            ),
            Self::Beyond(range) => range.fmt(f),
        }
    }
}

impl std::error::Error for NotObserved {}

impl Observation {
    /// `damp_at`: the last check that found it damp, if any did. `dry_by`: the first after it that found it dry, if any did.
    pub fn new(damp_at: Option<f64>, dry_by: Option<f64>) -> Result<Self, NotObserved> {
        let bound = |what, ratio: Option<f64>| {
            ratio.map(|it| within(what, it, RATIOS, " times the estimate").map_err(NotObserved::Beyond)).transpose()
        };
        let (damp_at, dry_by) = (bound("still damp at", damp_at)?, bound("dry by", dry_by)?);
        match (damp_at, dry_by) {
            (None, None) => Err(NotObserved::Neither),
            (Some(damp), Some(dry)) if dry < damp * (1.0 + NEAREST) => Err(NotObserved::Disordered(damp, dry)),
            _ => Ok(Self { damp_at, dry_by }),
        }
    }

    pub fn damp_at(&self) -> Option<f64> {
        self.damp_at
    }

    pub fn dry_by(&self) -> Option<f64> {
        self.dry_by
    }

    /// Both bounds as logarithms, and the width between them: the difference of two near logarithms would lose it. Infinite
    /// where there is no bound.
    pub(super) fn logs(&self) -> (f64, f64, f64) {
        let (low, high) = (self.damp_at.map_or(f64::NEG_INFINITY, f64::ln), self.dry_by.map_or(f64::INFINITY, f64::ln));
        let width = |(damp, dry): (f64, f64)| ((dry - damp) / damp).ln_1p();
        (low, high, self.damp_at.zip(self.dry_by).map_or(f64::INFINITY, width))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_observation_is_refused_with_a_sentence() {
        let said = |damp, dry| Observation::new(damp, dry).unwrap_err().to_string();
        assert_eq!(
            said(None, None),
            "a drying without a check says nothing; give when it was still damp, or by when it was dry"
        );
        assert_eq!(
            said(Some(1.5), Some(1.25)),
            "still damp at 1.5 and dry by 1.25 times the estimate: damp has to come first; give the last damp check before \
             the first dry one"
        );
        assert_eq!(Observation::new(Some(1.0), Some(1.0)), Err(NotObserved::Disordered(1.0, 1.0)));
        // So near that no two checks were it, and that the sums could not tell them apart.
        assert!(Observation::new(Some(9000.0), Some(9000.0_f64.next_up())).is_err());
        assert!(Observation::new(Some(9000.0), Some(9000.1)).is_ok());
        assert_eq!(
            said(Some(0.0), Some(1.0)),
            "still damp at: 0 times the estimate is outside 0.0001 to 10000 times the estimate; give a number within these \
             bounds"
        );
        for wrong in [0.0, -1.0, 2e4, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MIN_POSITIVE] {
            assert!(Observation::new(Some(wrong), None).is_err(), "{wrong}");
            assert!(Observation::new(None, Some(wrong)).is_err(), "{wrong}");
            assert!(Observation::new(Some(0.5), Some(wrong)).is_err(), "{wrong}");
        }
    }

    #[test]
    fn one_bound_is_enough() {
        let it = Observation::new(None, Some(1.5)).unwrap();
        assert_eq!((it.damp_at(), it.dry_by(), it.logs().0), (None, Some(1.5), f64::NEG_INFINITY));
        let it = Observation::new(Some(1.5), None).unwrap();
        assert_eq!((it.damp_at(), it.dry_by(), it.logs().1), (Some(1.5), None, f64::INFINITY));
        assert!(Observation::new(Some(1e-4), Some(1e4)).is_ok());
    }
}

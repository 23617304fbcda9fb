//! What is thought of a hospital's rooms before it has checked any. All of it assumption.

use super::super::drying::BAND;
use super::{Multiplier, Z_95};

/// Nine in ten hospitals are taken to have a multiplier between half and double, and a spread between half and double of
/// the estimate's own. Assumption: an estimate that were off by more on the whole would have been noticed without a sum.
pub const NINE_IN_TEN_WITHIN: f64 = 2.0;

/// Normal in mu = log m and in log sigma, independent of each other. The value that is called likely is the highest point
/// of likelihood times prior over these two.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Prior {
    mu: f64,
    log_sigma: f64,
}

impl Prior {
    /// Before any check: m about 1, and sigma about that of the estimate's own band, whose ends are its 5 and 95 %.
    pub fn of_the_estimate() -> Self {
        let sigma = (BAND.1 / BAND.0).ln() / (2.0 * Z_95);
        Self { mu: 0.0, log_sigma: sigma.ln() }
    }

    /// For a part of what was fitted: about the whole's m and sigma, as widely as before any check.
    pub fn around(whole: &Multiplier) -> Self {
        Self { mu: whole.likely.ln(), log_sigma: whole.sigma.ln() }
    }

    /// (mu, log sigma).
    pub(super) fn middle(&self) -> (f64, f64) {
        (self.mu, self.log_sigma)
    }

    /// One standard deviation, of both.
    pub(super) fn spread() -> f64 {
        NINE_IN_TEN_WITHIN.ln() / Z_95
    }
}

impl Default for Prior {
    fn default() -> Self {
        Self::of_the_estimate()
    }
}

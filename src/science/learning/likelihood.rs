//! The logarithm of likelihood times prior over (mu, log sigma), with both derivatives.
//!
//! With z = (log t − mu)/sigma at either bound of an interval, P its chance, and e_k = (z_b^k φ(z_b) − z_a^k φ(z_a))/P, each
//! drying adds log P. Its derivatives, worked out here and compared with differences: by mu −e0/sigma, by log sigma −e1; twice
//! by mu −e1/sigma² − (e0/sigma)², by both −(e2 − e0 + e0 e1)/sigma, twice by log sigma e1 − e3 − e1².

use super::normal::Between;
use super::{NoFit, Observation, Prior};

/// Dryings with the same bounds, as logarithms.
struct Row {
    low: f64,
    high: f64,
    width: f64,
    times: f64,
}

/// All dryings, the same ones together.
pub(super) struct Tally {
    rows: Vec<Row>,
    pub(super) dryings: usize,
    pub(super) checks: usize,
    pub(super) seen_damp: usize,
}

impl Tally {
    pub(super) fn of(observations: &[Observation]) -> Self {
        let mut all: Vec<(f64, f64, f64)> = observations.iter().map(Observation::logs).collect();
        let checks =
            all.iter().map(|(low, high, _)| usize::from(low.is_finite()) + usize::from(high.is_finite())).sum();
        let seen_damp = all.iter().filter(|(.., width)| width.is_finite()).count();
        all.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
        let alike = all.chunk_by(|one, other| one == other);
        let row = |(low, high, width): (f64, f64, f64), times| Row { low, high, width, times };
        let rows = alike.filter_map(|alike| alike.first().map(|it| row(*it, alike.len() as f64))).collect();
        Self { rows, dryings: observations.len(), checks, seen_damp }
    }

    /// Where to begin: mean and spread of the middles, an open end being taken as half a unit long. None without a drying.
    pub(super) fn start(&self) -> Option<(f64, f64)> {
        let middle = |row: &Row| match (row.low.is_finite(), row.high.is_finite()) {
            (true, true) => 0.5 * (row.low + row.high),
            (true, false) => row.low + 0.5,
            _ => row.high - 0.5,
        };
        let all: f64 = self.rows.iter().map(|row| row.times).sum();
        let mean = self.rows.iter().map(|row| row.times * middle(row)).sum::<f64>() / all;
        let square = self.rows.iter().map(|row| row.times * (middle(row) - mean).powi(2)).sum::<f64>() / all;
        (all > 0.0).then(|| (mean, square.sqrt().clamp(0.05, 5.0).ln()))
    }

    /// Whether the likelihood alone has a maximum. As it is concave in (mu/sigma, 1/sigma), that can be read from the bounds:
    /// one drying has to be over before another one is, and if no interval is closed, later looks have to find more dry.
    pub(super) fn has_maximum(&self) -> Result<(), NoFit> {
        let latest_damp = self.rows.iter().map(|row| row.low).fold(f64::NEG_INFINITY, f64::max);
        let earliest_dry = self.rows.iter().map(|row| row.high).fold(f64::INFINITY, f64::min);
        if self.rows.is_empty() {
            return Err(NoFit::Nothing);
        }
        if latest_damp == f64::NEG_INFINITY {
            return Err(NoFit::NeverDamp);
        }
        if earliest_dry == f64::INFINITY {
            return Err(NoFit::NeverDry);
        }
        if latest_damp <= earliest_dry {
            return Err(NoFit::NoSpread);
        }
        if self.rows.iter().any(|row| row.low.is_finite() && row.high.is_finite()) {
            return Ok(());
        }
        let mean = |bound: fn(&Row) -> f64| {
            let these = self.rows.iter().filter(|row| bound(row).is_finite());
            let (sum, all) = these.fold((0.0, 0.0), |(sum, all), row| (sum + row.times * bound(row), all + row.times));
            sum / all
        };
        if mean(|row| row.high) > mean(|row| row.low) { Ok(()) } else { Err(NoFit::NoOrder) }
    }

    /// How many different moments bound the dryings.
    #[cfg(test)]
    pub(super) fn rows(&self) -> usize {
        self.rows.len()
    }
}

/// A value with its first and second derivatives; `s` stands for log sigma.
#[derive(Clone, Copy, Default, Debug)]
pub(super) struct Slopes {
    pub(super) value: f64,
    pub(super) mu: f64,
    pub(super) s: f64,
    pub(super) mu_mu: f64,
    pub(super) mu_s: f64,
    pub(super) s_s: f64,
}

/// What is climbed: the dryings, and the prior if there is one.
pub(super) struct Hill<'a> {
    pub(super) tally: &'a Tally,
    pub(super) prior: Option<&'a Prior>,
}

impl Hill<'_> {
    pub(super) fn at(&self, mu: f64, log_sigma: f64) -> Slopes {
        let per = (-log_sigma).exp();
        let mut sum = Slopes::default();
        for Row { low, high, width, times } in &self.tally.rows {
            let Between { log_chance, edges: [e0, e1, e2, e3] } = if low.is_finite() {
                Between::new((low - mu) * per, width * per)
            } else {
                Between::below((high - mu) * per)
            };
            sum.value += times * log_chance;
            sum.mu -= times * e0 * per;
            sum.s -= times * e1;
            sum.mu_mu -= times * (e1 + e0 * e0) * per * per;
            sum.mu_s -= times * (e2 - e0 + e0 * e1) * per;
            sum.s_s += times * (e1 - e3 - e1 * e1);
        }
        if let Some(prior) = self.prior {
            let weight = Prior::spread().powi(-2);
            let (off_mu, off_s) = (mu - prior.middle().0, log_sigma - prior.middle().1);
            sum.value -= 0.5 * weight * (off_mu * off_mu + off_s * off_s);
            sum.mu -= weight * off_mu;
            sum.s -= weight * off_s;
            sum.mu_mu -= weight;
            sum.s_s -= weight;
        }
        sum
    }
}

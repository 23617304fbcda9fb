//! The highest point of likelihood times prior, and how far from it mu may be.
//!
//! Newton's steps on (mu, log sigma), shortened until they climb; where the hill is not curved downwards, its curvature is
//! made so. The interval: at each mu the best log sigma is found, and mu is moved until the hill has fallen by what was asked.

use super::likelihood::{Hill, Slopes};

/// No step is longer: a factor of e in m or sigma.
const LONGEST: f64 = 1.0;
/// Beyond it from the top there is no end: a factor of e^30.
const ENDLESS: f64 = 30.0;
/// A step that promises less than this, of a height of about 1, ends the climb.
const STILL: f64 = 1e-13;

/// The highest point.
pub(super) struct Top {
    pub(super) mu: f64,
    pub(super) log_sigma: f64,
    pub(super) slopes: Slopes,
    /// Whether the climb came to rest: what a further step promises is a hundred-millionth of a unit of log-likelihood.
    pub(super) settled: bool,
}

/// What a height cannot tell apart.
fn still(height: f64) -> f64 {
    STILL + 8.0 * f64::EPSILON * height.abs()
}

/// The step to the top of the parabola, and what it promises. Curvature that does not fall is replaced by one that does.
fn newton(at: &Slopes) -> (f64, f64, f64) {
    let (a, b, c) = (-at.mu_mu, -at.mu_s, -at.s_s);
    let (middle, half) = (0.5 * (a + c), (0.5 * (a - c)).hypot(b));
    let least = 1e-8 * (middle.abs() + half).max(1e-8);
    let lift = (least + half - middle).max(0.0);
    let (a, c) = (a + lift, c + lift);
    let det = a * c - b * b;
    let (mu, s) = ((c * at.mu - b * at.s) / det, (a * at.s - b * at.mu) / det);
    let shorter = (LONGEST / mu.abs().max(s.abs())).min(1.0);
    (mu * shorter, s * shorter, (mu * at.mu + s * at.s) * shorter)
}

/// The first of ever shorter steps that climbs, with its slopes.
fn climbs(from: &Slopes, promise: f64, at: impl Fn(f64) -> Slopes) -> Option<(f64, Slopes)> {
    let mut part = 1.0;
    for _ in 0..50 {
        let slopes = at(part);
        if slopes.value >= from.value + 1e-4 * part * promise {
            return Some((part, slopes));
        }
        part *= 0.5;
    }
    None
}

pub(super) fn top(hill: &Hill<'_>, (mut mu, mut log_sigma): (f64, f64)) -> Top {
    let mut slopes = hill.at(mu, log_sigma);
    for _ in 0..200 {
        let (by_mu, by_s, promise) = newton(&slopes);
        if promise <= still(slopes.value) {
            // What is left is too small to be seen in the height, and still gains digits.
            (mu, log_sigma) = (mu + by_mu, log_sigma + by_s);
            break;
        }
        let at = |part: f64| hill.at(mu + part * by_mu, log_sigma + part * by_s);
        let Some((part, found)) = climbs(&slopes, promise, at) else { break };
        (mu, log_sigma, slopes) = (mu + part * by_mu, log_sigma + part * by_s, found);
    }
    Top { mu, log_sigma, slopes, settled: newton(&slopes).2 <= 1e-8 }
}

/// The best log sigma for this mu, from a near one.
fn ridge(hill: &Hill<'_>, mu: f64, mut log_sigma: f64) -> (f64, Slopes) {
    let mut slopes = hill.at(mu, log_sigma);
    for _ in 0..100 {
        let curved = if slopes.s_s < -1e-8 { -slopes.s_s } else { slopes.s.abs().max(1e-8) };
        let step = (slopes.s / curved).clamp(-LONGEST, LONGEST);
        let promise = step * slopes.s;
        // The end moves by no more than this over its slope.
        if promise <= 1e-10 + still(slopes.value) || log_sigma.abs() > ENDLESS {
            break;
        }
        let Some((part, found)) = climbs(&slopes, promise, |part| hill.at(mu, log_sigma + part * step)) else { break };
        (log_sigma, slopes) = (log_sigma + part * step, found);
    }
    (log_sigma, slopes)
}

/// Where the hill, at its best log sigma, has fallen by `fall`; `side` is −1 below the top, 1 above. Infinite if it never does.
pub(super) fn profile_end(hill: &Hill<'_>, top: &Top, side: f64, fall: f64) -> f64 {
    let wanted = (2.0 * fall).sqrt();
    let (a, b, c) = (-top.slopes.mu_mu, -top.slopes.mu_s, -top.slopes.s_s);
    let variance = c / (a * c - b * b);
    let reach = if variance > 0.0 { wanted * variance.sqrt() } else { 1.0 };
    let (mut near, mut far) = (0.0, f64::INFINITY);
    let (mut away, mut log_sigma) = (reach.min(ENDLESS), top.log_sigma);
    for _ in 0..80 {
        let (best, slopes) = ridge(hill, top.mu + side * away, log_sigma);
        log_sigma = best;
        // The signed root of the fall is nearly straight in mu.
        let fallen = (2.0 * (top.slopes.value - slopes.value)).max(0.0).sqrt();
        if (fallen - wanted).abs() <= 1e-9 || far - near <= 1e-12 * (1.0 + away) {
            break;
        }
        if fallen < wanted {
            near = away;
        } else {
            far = away;
        }
        if near >= ENDLESS {
            return side * f64::INFINITY;
        }
        let next = away + (wanted - fallen) * fallen / (-side * slopes.mu);
        let bracket = if far.is_finite() { (near, far) } else { (near, 3.0 * near + 1e-3) };
        away = if next > bracket.0 && next < bracket.1 { next } else { 0.5 * (bracket.0 + bracket.1) };
    }
    top.mu + side * away
}

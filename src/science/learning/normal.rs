//! The standard normal distribution between two bounds, with what its derivatives need, exact to the far tails.
//!
//! With Q the upper tail and φ the density, M(x) = Q(x)/φ(x) falls slowly where both vanish, so that chances are worked out
//! as multiples of φ at the nearer bound. M is from erfc (the crate `libm`) below 20; above, the asymptotic series of
//! Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.12 (from memory; compared with scipy's `log_ndtr`).

use std::f64::consts::FRAC_1_SQRT_2;

const LN_SQRT_2_PI: f64 = 0.918_938_533_204_672_7;
const SQRT_HALF_PI: f64 = 1.253_314_137_315_500_3;
/// From here on eight terms of the series are exact to the last digits.
const FAR: f64 = 20.0;
/// Narrower than this, and than a part of how steep the density is there, the difference of two tails loses digits, and the
/// mean over the interval is worked out instead.
const NARROW: f64 = 0.25;
/// Five points of Gauss and Legendre between −1 and 1, each with its weight; the weights add up to 1.
const POINTS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.118_463_442_528_094_54),
    (-0.538_469_310_105_683_1, 0.239_314_335_249_683_24),
    (0.0, 0.284_444_444_444_444_44),
    (0.538_469_310_105_683_1, 0.239_314_335_249_683_24),
    (0.906_179_845_938_664, 0.118_463_442_528_094_54),
];

/// The chance P of a standard normal between a and b, and (b^k φ(b) − a^k φ(a))/P for k from 0 to 3.
#[derive(Clone, Copy, Debug)]
pub(super) struct Between {
    pub(super) log_chance: f64,
    pub(super) edges: [f64; 4],
}

impl Between {
    /// From `a` up for `width`, which may be infinite.
    pub(super) fn new(a: f64, width: f64) -> Self {
        let b = a + width;
        if a + b < 0.0 { Self::right(-b, -a, width).mirrored() } else { Self::right(a, b, width) }
    }

    /// All that lies below `b`.
    pub(super) fn below(b: f64) -> Self {
        Self::new(-b, f64::INFINITY).mirrored()
    }

    /// What is odd in the bounds changes its sign.
    fn mirrored(self) -> Self {
        let [e0, e1, e2, e3] = self.edges;
        Self { edges: [-e0, e1, -e2, e3], ..self }
    }

    /// For bounds of which the upper one is the farther from 0.
    fn right(a: f64, b: f64, width: f64) -> Self {
        if width * b.max(1.0) < NARROW {
            return Self::narrow(0.5 * (a + b), width);
        }
        let (log_chance, at_a, at_b) = if a >= 0.0 {
            let falls = (-0.5 * width * (a + b)).exp();
            let chance = mills(a) - falls * mills(b);
            (chance.ln() - 0.5 * a * a - LN_SQRT_2_PI, 1.0 / chance, falls / chance)
        } else {
            let outside = 0.5 * (libm::erfc(-a * FRAC_1_SQRT_2) + libm::erfc(b * FRAC_1_SQRT_2));
            let density = |x: f64| (-0.5 * x * x - LN_SQRT_2_PI).exp() / (1.0 - outside);
            ((-outside).ln_1p(), density(a), density(b))
        };
        // At infinity nothing is left of it, whatever the power.
        let b = if b.is_finite() { b } else { 0.0 };
        let edge = |power: i32| b.powi(power) * at_b - a.powi(power) * at_a;
        Self { log_chance, edges: [edge(0), edge(1), edge(2), edge(3)] }
    }

    /// By the means of z to z⁴ over it: the derivative of z^k φ is (k z^(k−1) − z^(k+1)) φ.
    fn narrow(c: f64, width: f64) -> Self {
        let mut sum = 0.0;
        let mut means = [0.0; 4];
        for (point, weight) in POINTS {
            let off = 0.5 * width * point;
            let (z, part) = (c + off, weight * (-off * (c + 0.5 * off)).exp());
            sum += part;
            let mut power = part;
            for mean in &mut means {
                power *= z;
                *mean += power;
            }
        }
        let [z1, z2, z3, z4] = means.map(|it| it / sum);
        let log_chance = width.ln() + sum.ln() - 0.5 * c * c - LN_SQRT_2_PI;
        Self { log_chance, edges: [-z1, 1.0 - z2, 2.0 * z1 - z3, 3.0 * z2 - z4] }
    }
}

/// Q(x)/φ(x) for x from 0.
fn mills(x: f64) -> f64 {
    if x < FAR {
        return SQRT_HALF_PI * (0.5 * x * x).exp() * libm::erfc(x * FRAC_1_SQRT_2);
    }
    // 1/x (1 − 1/x² (1 − 3/x² (1 − 5/x² …)))
    let square = 1.0 / (x * x);
    [15.0, 13.0, 11.0, 9.0, 7.0, 5.0, 3.0, 1.0].iter().fold(1.0, |sum, odd| 1.0 - odd * square * sum) / x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tails_are_those_of_scipy() {
        // scipy 1.17.1, special.log_ndtr.
        let table = [
            (0.0, -std::f64::consts::LN_2),
            (-1.0, -1.8410216450092634),
            (1.5, -0.06914345561223399),
            (-5.0, -15.064998393988727),
            (6.0, -9.86587645524372e-10),
            (-19.9, -201.91716770733265),
            (-20.1, -205.92711840194826),
            (-38.5, -745.6952702904113),
            (-300.0, -45006.62273211866),
            (-1e5, -5000000012.431865),
        ];
        for (x, wanted) in table {
            for found in [Between::below(x), Between::new(-x, f64::INFINITY)] {
                let off = (found.log_chance - wanted).abs();
                assert!(off <= 1e-13 * wanted.abs(), "{x}: {found:?} is not {wanted:e}");
            }
        }
    }

    #[test]
    fn both_sides_of_every_switch_agree() {
        // Far from near, narrow from wide, and about 0: a step of a billionth changes nothing more than it should.
        let pairs = [
            (FAR, f64::INFINITY),
            (FAR, 0.02),
            (0.0, 1.0),
            (-0.5, 1.0),
            (0.3, NARROW),
            (0.5, NARROW),
            (7.0, NARROW / (7.0 + NARROW / 7.0)),
            (40.0, NARROW / (40.0 + NARROW / 40.0)),
            (-0.1, NARROW),
        ];
        for (a, width) in pairs {
            let step = 1e-9 / (1.0 + a.abs());
            let [one, other] = [-step, step].map(|by| Between::new(a + by, width + by));
            let near = |one: f64, other: f64| (one - other).abs() <= 1e-7 * one.abs().max(1.0);
            assert!(near(one.log_chance, other.log_chance), "{a} {width}: {one:?} {other:?}");
            assert!(one.edges.iter().zip(other.edges).all(|(one, other)| near(*one, other)), "{one:?} {other:?}");
        }
    }

    #[test]
    fn an_interval_and_its_mirror_are_alike() {
        for (a, width) in [(0.3, 1e-5), (0.3, 0.2), (-0.4, 2.0), (5.0, 0.5), (-30.0, 1.0), (12.0, 1e-3)] {
            let (one, other) = (Between::new(a, width), Between::new(-a - width, width).mirrored());
            let near = |one: f64, other: f64| (one - other).abs() <= 1e-11 * one.abs().max(1.0);
            assert!(near(one.log_chance, other.log_chance), "{one:?} {other:?}");
            assert!(one.edges.iter().zip(other.edges).all(|(one, other)| near(*one, other)), "{one:?} {other:?}");
        }
    }

    #[test]
    fn nothing_overflows() {
        for a in [-1e12, -1e3, -40.0, -1.0, -1e-300, 0.0, 1e-12, 1.0, 30.0, 1e3, 1e12] {
            for width in [1e-12, 1e-6, 1e-3, 1.0, 1e6, 1e13, f64::INFINITY] {
                for it in [Between::new(a, width), Between::below(a)] {
                    assert!(it.log_chance <= 0.0 && it.log_chance.is_finite(), "{a} {width}: {it:?}");
                    assert!(it.edges.iter().all(|edge| edge.is_finite()), "{a} {width}: {it:?}");
                }
            }
        }
    }
}

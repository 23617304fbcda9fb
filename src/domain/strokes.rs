//! What was sprayed, counted in strokes of a hand pump. What one stroke gives is typed by whoever measured it: nothing is
//! supplied here.

use std::fmt;

use super::decimals::hundredths;

/// More strokes are no one room's: our assumption, as in `estimate drying`.
const MOST: u32 = 100_000;
/// 0.01 to 1000 mL, in microlitres: our assumption, as in `estimate drying`.
const EACH_MICROLITRES: (u32, u32) = (10, 1_000_000);

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Strokes {
    pub count: u32,
    /// What one of them gives.
    pub microlitres: u32,
}

impl Strokes {
    /// None: no room takes so many, or no stroke at all.
    pub fn new(count: u32, microlitres: u32) -> Option<Self> {
        let is_possible =
            (1..=MOST).contains(&count) && (EACH_MICROLITRES.0..=EACH_MICROLITRES.1).contains(&microlitres);
        is_possible.then_some(Self { count, microlitres })
    }

    /// Whole millilitres, rounded; at least one, since something was sprayed.
    pub fn ml(self) -> u32 {
        let microlitres = u64::from(self.count) * u64::from(self.microlitres);
        u32::try_from((microlitres + 500) / 1000).unwrap_or(u32::MAX).max(1)
    }

    pub fn ml_each(self) -> f64 {
        f64::from(self.microlitres) / 1000.0
    }
}

impl fmt::Display for Strokes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let strokes = if self.count == 1 { "stroke" } else { "strokes" };
        write!(f, "{} {strokes} of {} mL", self.count, self.ml_each())
    }
}

/// Reads `1.2` mL as microlitres. None: it is nothing that a stroke gives.
pub fn read_each(text: &str) -> Option<u32> {
    let microlitres = hundredths(text.trim().trim_end_matches("mL").trim_end_matches("ml").trim())?.checked_mul(10)?;
    (EACH_MICROLITRES.0..=EACH_MICROLITRES.1).contains(&microlitres).then_some(microlitres)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strokes_are_millilitres() {
        let of = |count, text| Strokes::new(count, read_each(text)?);
        assert_eq!(of(400, "1.2").map(Strokes::ml), Some(480));
        assert_eq!(of(3, "0,15 mL").map(Strokes::ml), Some(1), "0.45 mL is not nothing");
        assert_eq!(of(100_000, "1000").map(Strokes::ml), Some(100_000_000));
        assert_eq!(of(400, "1.2").unwrap().to_string(), "400 strokes of 1.2 mL");
        for (count, text) in [(0, "1.2"), (100_001, "1.2"), (4, "0"), (4, "1000.01"), (4, "-1"), (4, "NaN"), (4, "")] {
            assert_eq!(of(count, text), None, "{count} {text}");
        }
    }
}

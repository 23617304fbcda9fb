//! Mixing and coverage: from the label's own numbers, how much concentrate, water and spray. Nothing here supplies a rate.
//!
//! Concentrate for a finished volume: X = A · B / C (A wanted, C concentrate, both % of the same basis; B finished volume).
//! World Health Organization, "Vector Control: Methods for Use by Individuals and Communities", 1997, chapter 9, and UNHCR,
//! "Vector and Pest Control in Refugee Situations", 1997, annexes 5 to 7 (both read in a digital library's copy). Annex 6
//! adds the concentrate to the whole volume of water; that gives 2.38 % and not 2.5 %, and is not followed here.
//!
//! Range: percent weight in volume. A label in % weight in weight needs the density first. The label rules over all of it.

use super::{OutOfRange, within};

pub const SOURCE: &str = "WHO, Vector Control: Methods for Use by Individuals and Communities, 1997, ch. 9; UNHCR, Vector and Pest \
                          Control in Refugee Situations, 1997, annexes 5 to 7";

pub(super) const PERCENT: (f64, f64) = (0.0001, 100.0);
const LITRES: (f64, f64) = (0.001, 100_000.0);
const AREA_M2: (f64, f64) = (0.01, 100_000.0);
pub(super) const ML_PER_M2: (f64, f64) = (0.1, 5_000.0);
const GRAMS_PER_M2: (f64, f64) = (0.0001, 100.0);

/// One mix, in litres, or in kilograms for a powder.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Mix {
    pub concentrate: f64,
    pub water: f64,
    /// Parts of water to one of concentrate.
    pub parts_of_water: f64,
}

/// What to mix for a finished volume. A finish as strong as the concentrate needs no water; a stronger one is refused.
pub fn mix(concentrate_percent: f64, finished_percent: f64, finished_litres: f64) -> Result<Mix, OutOfRange> {
    let from = within("strength of the concentrate", concentrate_percent, PERCENT, " %")?;
    let to = within("strength wanted, at most the concentrate's", finished_percent, (PERCENT.0, from), " %")?;
    let litres = within("finished volume", finished_litres, LITRES, " L")?;
    let concentrate = to * litres / from;
    Ok(Mix { concentrate, water: litres - concentrate, parts_of_water: from / to - 1.0 })
}

/// Litres of finished spray for an area.
pub fn litres_for_area(area_m2: f64, ml_per_m2: f64) -> Result<f64, OutOfRange> {
    let area = within("area", area_m2, AREA_M2, " m²")?;
    Ok(area * within("volume on each m²", ml_per_m2, ML_PER_M2, " mL/m²")? / 1000.0)
}

/// Strength in percent (g in 100 mL) that puts so many grams of active ingredient on a square metre.
pub fn percent_for_dose(grams_per_m2: f64, ml_per_m2: f64) -> Result<f64, OutOfRange> {
    let dose = within("dose on each m²", grams_per_m2, GRAMS_PER_M2, " g/m²")?;
    Ok(100.0 * dose / within("volume on each m²", ml_per_m2, ML_PER_M2, " mL/m²")?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn close(found: f64, wanted: f64, relative: f64) {
        assert!((found - wanted).abs() <= relative * wanted.abs(), "{found} is not {wanted}");
    }

    /// Product for each litre of finished spray, in g or mL.
    fn per_litre(concentrate: f64, dose: f64, rate: f64) -> f64 {
        1000.0 * mix(concentrate, percent_for_dose(dose, rate).unwrap(), 1.0).unwrap().concentrate
    }

    #[test]
    fn worked_examples_of_the_manuals() {
        // WHO 1997, ch. 9: 75 % powder, 2 g/m² at 40 mL/m²: 66.6 g a litre, 533.3 g a tank of 8 L.
        close(per_litre(75.0, 2.0, 40.0), 66.6, 2e-3);
        close(8.0 * per_litre(75.0, 2.0, 40.0), 533.3, 1e-3);
        // The same: 25 % liquid, 1 g/m² at 40 mL/m²: 100 mL and 900 mL of water.
        close(per_litre(25.0, 1.0, 40.0), 100.0, 1e-12);
        // UNHCR 1997, annex 5: 1 g/m² at 40 mL/m² is 2.5 %; 0.025 g/m² is 0.0625 %.
        close(percent_for_dose(1.0, 40.0).unwrap(), 2.5, 1e-12);
        close(percent_for_dose(0.025, 40.0).unwrap(), 0.0625, 1e-12);
        // The same, annexes 6 and 7: 100 L of 2.5 % from 50 % take 5 L, and 19 parts of water to one.
        let hundred = mix(50.0, 2.5, 100.0).unwrap();
        close(hundred.concentrate, 5.0, 1e-12);
        close(hundred.water, 95.0, 1e-12);
        close(hundred.parts_of_water, 19.0, 1e-12);
        // US Army subcourse MD0173: 55 gallons of 1 % from 48 % take 1.146 gallons.
        close(mix(48.0, 1.0, 55.0).unwrap().concentrate, 1.146, 1e-3);
        // WHO 1997, ch. 9: 1 L covers 25 m² at 40 mL/m².
        close(litres_for_area(25.0, 40.0).unwrap(), 1.0, 1e-12);
    }

    #[test]
    fn what_cannot_be_mixed_is_refused() {
        assert!(mix(2.5, 50.0, 10.0).is_err());
        assert!(mix(0.0, 0.0, 10.0).is_err());
        assert!(mix(50.0, 2.5, 0.0).is_err());
        assert!(mix(150.0, 2.5, 1.0).is_err());
        assert!(mix(f64::NAN, 2.5, 1.0).is_err());
        assert!(litres_for_area(0.0, 40.0).is_err());
        assert!(litres_for_area(10.0, f64::INFINITY).is_err());
        assert!(percent_for_dose(-1.0, 40.0).is_err());
    }

    proptest! {
        #[test]
        fn what_was_put_in_is_what_is_in_it(from in 1.0..100.0_f64, part in 0.001..1.0_f64, litres in 0.1..500.0_f64) {
            let mixed = mix(from, from * part, litres).unwrap();
            prop_assert!(mixed.water >= -1e-9);
            prop_assert!((mixed.concentrate * from - litres * from * part).abs() < 1e-9 * litres * from);
            prop_assert!((mixed.concentrate + mixed.water - litres).abs() < 1e-9 * litres);
        }
    }
}

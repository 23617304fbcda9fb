//! How large a room's floor is, as somebody measured it or read it off a plan: read, kept and shown.
//!
//! Kept in whole square decimetres: 1 m² is 100. It is for estimates alone; no rule reads it.

use super::decimals::hundredths;

/// The smallest and the largest floor that is taken, in square decimetres: 1 to 500 m². A larger one is a hall, or a slip of
/// the pen: our assumption.
const BOUNDS_DM2: (u32, u32) = (100, 50_000);

/// What is wanted, for whoever typed something else.
pub const WANTED: &str = "type the floor in m², 1 to 500 with two decimals at most, for example 18.5";

/// Reads `18`, `18.5`, `18,25` or `18.5 m²` as square decimetres. None: it is no floor of a room.
pub fn read_floor(text: &str) -> Option<u32> {
    let number = text.trim().trim_end_matches("m²").trim_end_matches("m2").trim();
    if_possible(hundredths(number)?)
}

/// A floor that a room can have. None: what stands there is no such floor, and nothing is taken from it.
pub fn if_possible(dm2: u32) -> Option<u32> {
    (BOUNDS_DM2.0..=BOUNDS_DM2.1).contains(&dm2).then_some(dm2)
}

/// In m².
pub fn m2(dm2: u32) -> f64 {
    f64::from(dm2) / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_floor_is_typed_in_square_metres() {
        for (text, dm2) in
            [("18", 1800), ("18.5", 1850), (" 18,25 ", 1825), ("18.5 m²", 1850), ("20m2", 2000), ("500", 50_000)]
        {
            assert_eq!(read_floor(text), Some(dm2), "{text}");
            assert_eq!(read_floor(&m2(dm2).to_string()), Some(dm2), "as it is shown");
        }
    }

    #[test]
    fn what_is_no_floor_of_a_room_is_not_taken() {
        for text in ["", "0", "-3", "0.99", "500.01", "9999999", "NaN", "inf", "1e2", "1,850", "big", ".5", "12 ft"] {
            assert_eq!(read_floor(text), None, "{text}");
        }
    }
}

//! The ranges for which methods hold, and the one way to refuse a number outside of them.

use std::fmt;

/// A number that a method was not made for, with the range in which it works.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct OutOfRange {
    pub what: &'static str,
    pub value: f64,
    pub least: f64,
    pub most: f64,
    /// As it is printed behind a number, with its space: ` °C`. Empty for a bare number.
    pub unit: &'static str,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { what, value, least, most, unit } = self;
        write!(f, "{what}: {value}{unit} is outside {least} to {most}{unit}")?;
        match *unit {
            " °C" => f.write_str("; give it in degrees Celsius, within these bounds"),
            _ => f.write_str("; give a number within these bounds"),
        }
    }
}

impl std::error::Error for OutOfRange {}

/// The number, if it lies within both bounds. What is no number lies nowhere.
pub fn within(
    what: &'static str,
    value: f64,
    (least, most): (f64, f64),
    unit: &'static str,
) -> Result<f64, OutOfRange> {
    if value >= least && value <= most { Ok(value) } else { Err(OutOfRange { what, value, least, most, unit }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_outside_every_range() {
        assert_eq!(within("x", 2.0, (1.0, 2.0), ""), Ok(2.0));
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.999, 2.001] {
            assert!(within("x", value, (1.0, 2.0), "").is_err(), "{value}");
        }
        let said = within("the room", 72.0, (-60.0, 60.0), " °C").unwrap_err().to_string();
        assert_eq!(said, "the room: 72 °C is outside -60 to 60 °C; give it in degrees Celsius, within these bounds");
    }
}

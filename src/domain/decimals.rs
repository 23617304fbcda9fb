//! Numbers as people type them, with two decimals at most, kept as whole hundredths.

/// `18`, `18.5` or `18,25` as hundredths. None: anything else, a sign, an exponent, and a third decimal too: in `1,850` nobody
/// knows what the comma means.
pub(super) fn hundredths(text: &str) -> Option<u32> {
    let (whole, decimals) = text.split_once(['.', ',']).unwrap_or((text, "0"));
    let is_number =
        |part: &str, longest: usize| (1..=longest).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    if !is_number(whole, 6) || !is_number(decimals, 2) {
        return None;
    }
    format!("{whole}{decimals:0<2}").parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_decimals_are_kept_and_nothing_else_is_a_number() {
        for (text, number) in [("0", 0), ("18", 1800), ("18.5", 1850), ("18,25", 1825), ("1.05", 105)] {
            assert_eq!(hundredths(text), Some(number), "{text}");
        }
        for text in ["", ".", ".5", "5.", "-1", "+1", "1e2", "NaN", "inf", "1,850", "1 000", "9999999", "1.2.3"] {
            assert_eq!(hundredths(text), None, "{text}");
        }
    }
}

//! The chain: every line ends in a value worked out from the line and from the value before it.
//!
//! Eight bytes of SHA-256. It notices every accident: a changed bit, a lost, doubled, moved or foreign line. It is no
//! signature: whoever may write the file can work the values out anew.

use sha2::{Digest, Sha256};

/// What an entry's line ends in, after its last comma: `0x` and 16 digits, then `),` and a line feed.
pub(super) const LINK: usize = 2 + 16 + 3;

/// The value for `text`, which follows on a line with the value `before`.
pub(super) fn value(before: u64, text: &[u8]) -> u64 {
    let mut hash = Sha256::new();
    hash.update(before.to_le_bytes());
    hash.update(text);
    hash.finalize().iter().take(8).fold(0, |value, byte| value << 8 | u64::from(*byte))
}

pub(super) fn hex(value: u64) -> String {
    format!("0x{value:016x}")
}

/// Reads `0x` and 16 lower-case digits, nothing else.
pub(super) fn read_hex(text: &[u8]) -> Option<u64> {
    let digits = text.strip_prefix(b"0x")?;
    if digits.len() != 16 {
        return None;
    }
    digits.iter().try_fold(0u64, |value, digit| {
        let digit = match digit {
            b'0'..=b'9' => digit - b'0',
            b'a'..=b'f' => digit - b'a' + 10,
            _ => return None,
        };
        Some(value << 4 | u64::from(digit))
    })
}

/// What the line of an entry with this value ends in.
pub(super) fn link(value: u64) -> String {
    format!("{}),\n", hex(value))
}

/// Splits a whole line, line feed included, into what the chain covers and the value printed at its end.
pub(super) fn split(line: &[u8]) -> Option<(&[u8], u64)> {
    let (text, link) = line.split_at_checked(line.len().checked_sub(LINK)?)?;
    let value = read_hex(link.strip_suffix(b"),\n")?)?;
    Some((text, value))
}

/// What the chain covers of each of these whole lines.
pub(super) fn texts(lines: &str) -> impl Iterator<Item = &str> {
    lines
        .split_inclusive('\n')
        .filter_map(|whole| split(whole.as_bytes()).and_then(|(text, _)| std::str::from_utf8(text).ok()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_the_first_eight_bytes_of_the_hash_in_the_order_in_which_they_are_printed() {
        // FIPS 180-4's hash of eight zero bytes and nothing else, worked out with sha256sum: af5570f5a1810b7a…
        assert_eq!(hex(value(0, b"")), "0xaf5570f5a1810b7a");
    }

    #[test]
    fn a_line_comes_apart_where_its_value_begins() {
        let line = format!("(1,\"x\",{}", link(0xab));
        assert_eq!(split(line.as_bytes()), Some((&b"(1,\"x\","[..], 0xab)));
        for wrong in [line.replace("0x0", "0x"), line.to_uppercase(), line.replace('\n', "\r"), "x\n".to_owned()] {
            assert_eq!(split(wrong.as_bytes()), None, "{wrong:?}");
        }
    }
}

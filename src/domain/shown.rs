//! Text that people or files supplied, made fit to stand on a terminal.
//!
//! Control and escape characters could move the cursor, hide a line or answer for the keyboard; marks that turn the
//! direction of writing could make one bed read as another. None of them ever reaches the terminal as itself.

/// What marks a ledger that is for practice, on every face.
pub const PRACTICE: &str = "REHEARSAL";

/// The text on one line, with every character that a terminal or the direction of writing would obey replaced by `�`.
/// Tabs and line breaks become a space.
pub fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut after_return = false;
    for c in text.chars() {
        match c {
            '\n' if after_return => {}
            '\t' | '\n' | '\r' => out.push(' '),
            _ if is_obeyed(c) => out.push('\u{fffd}'),
            _ => out.push(c),
        }
        after_return = c == '\r';
    }
    out
}

/// The same with its line breaks kept: for a note shown over several lines.
pub fn shown_lines(text: &str) -> impl Iterator<Item = String> {
    text.lines().map(shown)
}

/// Whether the environment's locale writes UTF-8: by the first of these variables that is set.
pub fn is_utf8_locale(variable: &dyn Fn(&str) -> Option<String>) -> bool {
    let locale =
        ["LC_ALL", "LC_CTYPE", "LANG"].iter().find_map(|name| variable(name).filter(|value| !value.is_empty()));
    locale.unwrap_or_default().to_ascii_lowercase().replace('-', "").contains("utf8")
}

fn is_obeyed(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{061c}' // Arabic letter mark
            | '\u{200b}'..='\u{200f}' // zero widths, joiners apart from emoji are not needed on a work board; direction marks
            | '\u{2028}' | '\u{2029}' // line and paragraph separators
            | '\u{202a}'..='\u{202e}' // embeddings and overrides
            | '\u{2060}'..='\u{206f}' // invisible operators, isolates
            | '\u{fe00}'..='\u{fe0e}' // variation selectors but for the emoji one
            | '\u{feff}' // byte order mark
            | '\u{fff9}'..='\u{fffb}' // annotations
            | '\u{e0000}'..='\u{e0fff}') // tags
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_a_terminal_obeys_comes_through() {
        let hostile = "a\u{1b}[2Jb\u{7}c\u{9b}31md\u{202e}e\u{2066}f\u{200f}g\u{0}h";
        let clean = shown(hostile);
        assert!(!clean.chars().any(is_obeyed), "{clean:?}");
        assert_eq!(clean, "a�[2Jb�c�31md�e�f�g�h");
    }

    #[test]
    fn ordinary_text_of_any_script_stays_as_it_is() {
        for text in ["Room 12, “north”", "غرفة ١٢", "病房", "Zimmer für Gäste", "🛏 ok", ""] {
            assert_eq!(shown(text), text);
        }
        assert_eq!(shown("one\r\ntwo\tthree\rfour"), "one two three four");
        assert_eq!(shown_lines("one\r\ntwo").collect::<Vec<_>>(), ["one", "two"]);
    }

    #[test]
    fn every_control_character_is_replaced() {
        for c in (0..=0x9f_u32).filter_map(char::from_u32).filter(|c| c.is_control()) {
            let out = shown(&c.to_string());
            assert!(out.chars().all(|c| !c.is_control()), "{c:?}");
        }
    }
}

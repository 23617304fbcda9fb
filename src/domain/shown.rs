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
    let mut before = None;
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        match c {
            '\n' if before == Some('\r') => {}
            '\t' | '\n' | '\r' => out.push(' '),
            _ if is_obeyed(c) && !is_joined(before, c, rest.peek().copied()) => out.push('\u{fffd}'),
            _ => out.push(c),
        }
        before = Some(c);
    }
    out
}

/// The first character that is never shown as itself, line breaks and tabs apart.
pub fn not_shown(text: &str) -> Option<char> {
    let mut before = None;
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        if is_obeyed(c) && !matches!(c, '\t' | '\n' | '\r') && !is_joined(before, c, rest.peek().copied()) {
            return Some(c);
        }
        before = Some(c);
    }
    None
}

/// A pasted text as one line of a field: its lines and tabs become blanks, and what is never shown as itself is left out.
/// Gives how many characters that were, too.
pub fn one_line(text: &str) -> (String, usize) {
    let text = text.replace("\r\n", "\n").replace(['\r', '\t'], "\n");
    let lines: Vec<&str> = text.trim_matches('\n').split('\n').collect();
    let joined = lines.join(" ");
    let clean = shown(&joined);
    let left_out = clean.chars().zip(joined.chars()).filter(|(shown, typed)| shown != typed).count();
    let kept = clean.chars().zip(joined.chars()).filter(|(shown, typed)| shown == typed).map(|(c, _)| c).collect();
    (kept, left_out)
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

/// A joiner between two signs of a script that writes with them (Persian, Hindi), or of a picture made of several: it moves
/// nothing. Between Latin letters, or beside a blank, it would only make two texts look alike.
fn is_joined(before: Option<char>, c: char, after: Option<char>) -> bool {
    let joins =
        |c: Option<char>| c.is_some_and(|c| c >= '\u{300}' && !is_obeyed(c) && !('\u{2000}'..='\u{206f}').contains(&c));
    matches!(c, '\u{200c}' | '\u{200d}') && joins(before) && joins(after)
}

fn is_obeyed(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{061c}' // Arabic letter mark
            | '\u{200b}'..='\u{200f}' // zero widths, joiners where they join nothing, direction marks
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
        for text in ["Room 12, “north”", "غرفة ١٢", "病房", "Zimmer für Gäste", "🛏 ok", "", "می‌شود", "क्‍ष", "👩‍🚀"]
        {
            assert_eq!((shown(text), not_shown(text)), (text.to_owned(), None));
        }
        assert_eq!(shown("one\r\ntwo\tthree\rfour"), "one two three four");
        assert_eq!(shown_lines("one\r\ntwo").collect::<Vec<_>>(), ["one", "two"]);
    }

    #[test]
    fn a_joiner_that_joins_nothing_is_replaced() {
        for text in [
            "4N\u{200d}-01",
            "a\u{200c}b",
            "\u{200d}می",
            "می\u{200c}",
            "م\u{200c} م",
            "م\u{200c}\u{200d}م",
            "म\u{200b}म",
        ] {
            assert!(shown(text).contains('\u{fffd}') && not_shown(text).is_some(), "{text:?}");
        }
    }

    #[test]
    fn pasted_lines_become_one_and_no_word_runs_into_the_next() {
        assert_eq!(
            one_line("first line\nsecond\tline\r\nthird\rlast\n"),
            ("first line second line third last".to_owned(), 0)
        );
        assert_eq!(one_line("a\u{1b}[2Jb\u{7}\u{202e}c می‌شود"), ("a[2Jbc می‌شود".to_owned(), 3));
        assert_eq!(one_line("\r\n"), (String::new(), 0));
    }

    #[test]
    fn every_control_character_is_replaced() {
        for c in (0..=0x9f_u32).filter_map(char::from_u32).filter(|c| c.is_control()) {
            let out = shown(&c.to_string());
            assert!(out.chars().all(|c| !c.is_control()), "{c:?}");
        }
    }
}

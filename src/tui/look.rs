//! How things look, by what they mean: never a colour alone, and never coloured text on a background that is not ours.
//!
//! Text is in the terminal's own colours, so that it can be read on light and on dark. What has a meaning is a chip:
//! a word with its foreground and its background set together. Without colour the same words stand there.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier, Style};

use crate::domain::shown::is_utf8_locale;

/// Which colours the terminal is trusted with.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Palette {
    /// None: bold, underlined and reversed text only.
    Mono,
    /// The sixteen that every terminal has.
    #[default]
    Sixteen,
    /// From the table of 256, for a light background.
    Light,
    /// From the table of 256, for a dark background.
    Dark,
}

impl Palette {
    /// As it is asked for: `never`, `16`, `light`, `dark`. Anything else: not asked for.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "never" => Some(Self::Mono),
            "16" => Some(Self::Sixteen),
            "light" => Some(Self::Light),
            "dark" => Some(Self::Dark),
            _ => None,
        }
    }
}

/// What a piece of text means.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Part {
    Plain,
    /// Headings and the line on top.
    Strong,
    /// Names of keys, and what can be pressed.
    Key,
    /// Where the keys go.
    Chosen,
    Suspect,
    Confirmed,
    Wet,
    Dry,
    Monitoring,
    /// A bed that is open.
    Open,
    /// A no: a refusal, a wrong answer, do not enter.
    No,
    /// Said once, after something was done.
    Said,
    Overdue,
}

impl Part {
    pub const CHIPS: [Self; 9] = [
        Self::Suspect,
        Self::Confirmed,
        Self::Wet,
        Self::Dry,
        Self::Monitoring,
        Self::Open,
        Self::No,
        Self::Said,
        Self::Overdue,
    ];
}

/// The look of one terminal.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Look {
    pub palette: Palette,
    /// Nothing but ASCII reaches the terminal.
    pub ascii: bool,
}

/// Foreground and background of a chip.
pub fn chip_colours(palette: Palette, part: Part) -> Option<(Color, Color)> {
    let pair = match palette {
        Palette::Mono => return None,
        Palette::Sixteen => match part {
            Part::Suspect => (Color::Black, Color::Yellow),
            Part::Confirmed => (Color::White, Color::Magenta),
            Part::Wet => (Color::White, Color::Blue),
            // What was said may fill its line: not in a colour that means something.
            Part::Dry | Part::Overdue | Part::Said => (Color::Black, Color::Gray),
            Part::Monitoring => (Color::Black, Color::Cyan),
            Part::Open => (Color::Black, Color::Green),
            Part::No => (Color::White, Color::Red),
            Part::Plain | Part::Strong | Part::Key | Part::Chosen => return None,
        },
        // Hues that people with either common colour blindness tell apart: Okabe & Ito, jfly.uni-koeln.de/color/,
        // in the nearest entries of the table of 256.
        Palette::Light | Palette::Dark => {
            let light = palette == Palette::Light;
            let (black, white) = (Color::Indexed(16), Color::Indexed(231));
            match part {
                Part::Suspect => (black, Color::Indexed(if light { 214 } else { 178 })),
                Part::Confirmed => (white, Color::Indexed(if light { 90 } else { 127 })),
                Part::Wet => (white, Color::Indexed(25)),
                Part::Dry | Part::Overdue | Part::Said => (black, Color::Indexed(if light { 250 } else { 252 })),
                Part::Monitoring => (black, Color::Indexed(74)),
                Part::Open => (black, Color::Indexed(36)),
                Part::No => (white, Color::Indexed(124)),
                Part::Plain | Part::Strong | Part::Key | Part::Chosen => return None,
            }
        }
    };
    Some(pair)
}

impl Look {
    /// The look for this terminal: what was asked for, else what the environment says. The terminal itself is not asked.
    pub fn choose(asked: Option<Palette>, ascii: bool, variable: &dyn Fn(&str) -> Option<String>) -> Self {
        let set = |name: &str| variable(name).filter(|value| !value.is_empty());
        let term = set("TERM").unwrap_or_default();
        let palette = asked.unwrap_or(match () {
            () if set("NO_COLOR").is_some() || term.starts_with("vt") => Palette::Mono,
            () => Palette::Sixteen,
        });
        let unicode = is_utf8_locale(variable);
        let plain_terminal = term == "linux" || term.starts_with("vt");
        Self { palette, ascii: ascii || !unicode || plain_terminal }
    }

    pub fn style(self, part: Part) -> Style {
        if let Some((foreground, background)) = chip_colours(self.palette, part) {
            return Style::new().fg(foreground).bg(background);
        }
        let plain = Style::new();
        match part {
            Part::Plain => plain,
            Part::Chosen => plain.add_modifier(Modifier::REVERSED),
            Part::Wet | Part::No => plain.add_modifier(Modifier::BOLD | Modifier::UNDERLINED),
            Part::Dry => plain.add_modifier(Modifier::UNDERLINED),
            Part::Strong
            | Part::Key
            | Part::Suspect
            | Part::Confirmed
            | Part::Monitoring
            | Part::Open
            | Part::Said
            | Part::Overdue => plain.add_modifier(Modifier::BOLD),
        }
    }

    /// Makes a drawn picture ASCII where the terminal wants that. Wide and unknown signs become a question mark.
    pub fn settle(self, buffer: &mut Buffer, area: Rect) {
        if !self.ascii {
            return;
        }
        for position in area.intersection(buffer.area).positions() {
            if let Some(cell) = buffer.cell_mut(position)
                && !cell.symbol().is_ascii()
            {
                let plain = cell.symbol().chars().next().map_or('?', plain_sign);
                cell.set_char(plain);
            }
        }
    }
}

fn plain_sign(sign: char) -> char {
    match sign {
        '─' | '━' | '═' | '—' | '–' | '−' | '‐' => '-',
        '│' | '┃' | '║' => '|',
        '┌' | '┐' | '└' | '┘' | '├' | '┤' | '┬' | '┴' | '┼' => '+',
        // What is cut off; the mark of a wet room is another.
        '…' => '.',
        '“' | '”' => '"',
        '‘' | '’' => '\'',
        '·' | '•' => '.',
        '×' => 'x',
        '→' | '►' | '›' => '>',
        '←' | '‹' => '<',
        '↑' => '^',
        '↓' => 'v',
        '✓' => 'v',
        '✗' => 'x',
        '°' => 'o',
        '\u{a0}' => ' ',
        _ => '?',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_look_follows_what_was_asked_for_then_the_environment() {
        let look = |asked, pairs: &[(&str, &str)]| {
            let owned: Vec<(String, String)> = pairs.iter().map(|(n, v)| (n.to_string(), v.to_string())).collect();
            Look::choose(asked, false, &move |name| owned.iter().find(|(n, _)| n == name).map(|(_, v)| v.clone()))
        };
        let utf8 = ("LANG", "en_GB.UTF-8");
        assert_eq!(look(None, &[utf8]), Look { palette: Palette::Sixteen, ascii: false });
        assert_eq!(look(None, &[utf8, ("NO_COLOR", "1")]).palette, Palette::Mono);
        assert_eq!(look(None, &[utf8, ("NO_COLOR", "")]).palette, Palette::Sixteen);
        assert_eq!(look(Some(Palette::Dark), &[utf8, ("NO_COLOR", "1")]).palette, Palette::Dark);
        assert!(look(None, &[("LANG", "C")]).ascii);
        assert!(look(None, &[("LANG", "en_GB.UTF-8"), ("LC_ALL", "POSIX")]).ascii);
        assert_eq!(look(None, &[utf8, ("TERM", "vt220")]), Look { palette: Palette::Mono, ascii: true });
    }

    /// Contrast of two colours, by WCAG 2.2, www.w3.org/TR/WCAG22/#dfn-contrast-ratio.
    fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
        let luminance = |rgb: [u8; 3]| {
            let [r, g, b] = rgb.map(|channel| {
                let c = f64::from(channel) / 255.0;
                if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
            });
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        let (a, b) = (luminance(one), luminance(other));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// The defaults of two terminals in wide use: xterm's (XTerm-col.ad) and the newer Windows console's.
    fn rgb(colour: Color, windows: bool) -> [u8; 3] {
        let pick = |xterm, console| if windows { console } else { xterm };
        match colour {
            Color::Black => pick([0, 0, 0], [12, 12, 12]),
            Color::Red => pick([205, 0, 0], [197, 15, 31]),
            Color::Green => pick([0, 205, 0], [19, 161, 14]),
            Color::Yellow => pick([205, 205, 0], [193, 156, 0]),
            Color::Blue => pick([0, 0, 238], [0, 55, 218]),
            Color::Magenta => pick([205, 0, 205], [136, 23, 152]),
            Color::Cyan => pick([0, 205, 205], [58, 150, 221]),
            Color::Gray => pick([229, 229, 229], [204, 204, 204]),
            Color::White => pick([255, 255, 255], [242, 242, 242]),
            // xterm's cube of 216: levels 0, 95, 135, 175, 215, 255; then 24 greys from 8 in steps of 10.
            Color::Indexed(n @ 16..=231) => {
                let level = |step: u8| if step == 0 { 0 } else { 55 + 40 * step };
                let at = n - 16;
                [level(at / 36), level(at / 6 % 6), level(at % 6)]
            }
            Color::Indexed(n @ 232..) => [8 + 10 * (n - 232); 3],
            other => panic!("{other:?} has no fixed value"),
        }
    }

    #[test]
    fn every_chip_can_be_read() {
        // 4.5:1, WCAG 2.2 success criterion 1.4.3.
        for palette in [Palette::Sixteen, Palette::Light, Palette::Dark] {
            for part in Part::CHIPS {
                let (foreground, background) = chip_colours(palette, part).expect("a chip sets both colours");
                for windows in [false, true] {
                    let ratio = contrast(rgb(foreground, windows), rgb(background, windows));
                    assert!(ratio >= 4.5, "{palette:?} {part:?} windows {windows}: {ratio:.2}");
                }
            }
        }
    }

    #[test]
    fn without_colour_there_is_no_colour_and_the_chosen_is_reversed() {
        let look = Look { palette: Palette::Mono, ascii: false };
        for part in Part::CHIPS.into_iter().chain([Part::Plain, Part::Strong, Part::Key, Part::Chosen]) {
            let style = look.style(part);
            assert_eq!((style.fg, style.bg), (None, None), "{part:?}");
            assert_eq!(style.add_modifier.contains(Modifier::REVERSED), part == Part::Chosen, "{part:?}");
        }
    }

    #[test]
    fn nothing_blinks() {
        for palette in [Palette::Mono, Palette::Sixteen, Palette::Light, Palette::Dark] {
            let look = Look { palette, ascii: false };
            for part in Part::CHIPS {
                let modifiers = look.style(part).add_modifier;
                assert!(!modifiers.intersects(Modifier::SLOW_BLINK | Modifier::RAPID_BLINK | Modifier::DIM));
            }
        }
    }

    #[test]
    fn an_ascii_terminal_gets_only_ascii() {
        let area = Rect::new(0, 0, 30, 1);
        let mut buffer = Buffer::empty(area);
        buffer.set_string(0, 0, "“été” — 21 °C … 病 ✓", Style::new());
        Look { palette: Palette::Sixteen, ascii: true }.settle(&mut buffer, area);
        assert!(buffer.content.iter().all(|cell| cell.symbol().is_ascii()));
    }
}

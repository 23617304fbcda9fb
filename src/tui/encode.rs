//! Cells into the control sequences that draw them, in few bytes: over a slow connection a byte is time.
//!
//! ECMA-48: CUP and CUF move, SGR gives a style. The sixteen colours are sent by their own numbers, which terminals know that
//! know no table (xterm, "Control Sequences", SGR 30 to 37 and 90 to 97). A style that follows another begins from none.

use std::io::{self, Write};

use ratatui::buffer::Cell;
use ratatui::style::{Color, Modifier};

type Style = (Color, Color, Modifier);

const PLAIN: Style = (Color::Reset, Color::Reset, Modifier::empty());

/// Writes the cells. It begins without knowing where the cursor stands, and leaves no style behind.
pub(super) fn encode<'a>(cells: impl Iterator<Item = (u16, u16, &'a Cell)>, out: &mut impl Write) -> io::Result<()> {
    let mut style = PLAIN;
    // Where the next sign goes by itself, and whether that is certain: terminals differ in how wide some signs are.
    let (mut next, mut certain) = (None, false);
    for (x, y, cell) in cells {
        match next {
            Some(place) if place == (x, y) => {}
            Some((column, line)) if certain && line == y && column < x => match x - column {
                1 => out.write_all(b"\x1b[C")?,
                columns => write!(out, "\x1b[{columns}C")?,
            },
            _ => {
                write!(out, "\x1b[{};{}H", y.saturating_add(1), x.saturating_add(1))?;
                certain = true;
            }
        }
        let wanted = (cell.fg, cell.bg, cell.modifier);
        if wanted != style {
            write_style(style, wanted, out)?;
            style = wanted;
        }
        out.write_all(cell.symbol().as_bytes())?;
        next = Some((x.saturating_add(1), y));
        certain &= cell.symbol().is_ascii();
    }
    if style != PLAIN { out.write_all(b"\x1b[m") } else { Ok(()) }
}

fn write_style(before: Style, (foreground, background, modifier): Style, out: &mut impl Write) -> io::Result<()> {
    let mut codes: Vec<String> = vec![];
    for (flag, code) in [(Modifier::BOLD, "1"), (Modifier::UNDERLINED, "4"), (Modifier::REVERSED, "7")] {
        if modifier.contains(flag) {
            codes.push(code.to_owned());
        }
    }
    codes.extend(colour(foreground, 30));
    codes.extend(colour(background, 40));
    if before != PLAIN {
        // An empty number is a nought: none of what was before.
        codes.insert(0, String::new());
    }
    write!(out, "\x1b[{}m", codes.join(";"))
}

/// `first` is the number of black: 30 for what is written, 40 for what is behind it.
fn colour(colour: Color, first: u8) -> Option<String> {
    let of_sixteen = match colour {
        Color::Reset => return None,
        Color::Indexed(n) => return Some(format!("{};5;{n}", first + 8)),
        Color::Rgb(r, g, b) => return Some(format!("{};2;{r};{g};{b}", first + 8)),
        Color::Black => 0,
        Color::Red => 1,
        Color::Green => 2,
        Color::Yellow => 3,
        Color::Blue => 4,
        Color::Magenta => 5,
        Color::Cyan => 6,
        Color::Gray => 7,
        Color::DarkGray => 60,
        Color::LightRed => 61,
        Color::LightGreen => 62,
        Color::LightYellow => 63,
        Color::LightBlue => 64,
        Color::LightMagenta => 65,
        Color::LightCyan => 66,
        Color::White => 67,
    };
    Some((first + of_sixteen).to_string())
}

#[cfg(test)]
mod tests {
    use std::num::NonZeroU16;

    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    use super::*;

    fn emulator(columns: u16, lines: u16) -> vt100::Parser {
        let count = |number| NonZeroU16::new(number).unwrap();
        vt100::Parser::new(count(lines), count(columns), 0)
    }

    /// What an emulator shows after the differences were sent is what was drawn, sign by sign and style by style.
    #[test]
    fn an_emulator_shows_what_was_drawn() {
        let area = Rect::new(0, 0, 30, 4);
        let chip = Style::new().fg(Color::White).bg(Color::Magenta);
        let table = Style::new().fg(Color::Indexed(16)).bg(Color::Indexed(178)).add_modifier(Modifier::BOLD);
        let chosen = Style::new().add_modifier(Modifier::REVERSED | Modifier::UNDERLINED);
        let mut first = Buffer::empty(area);
        first.set_string(0, 0, "[1 Board] ────────────────────", Style::new());
        first.set_string(3, 1, "病房 12 closed", chip);
        first.set_string(0, 3, "Enter the room", Style::new().add_modifier(Modifier::BOLD));
        let mut second = first.clone();
        second.set_string(4, 0, "B…ard", table);
        second.set_string(12, 0, "open", chip);
        second.set_string(3, 1, ">12", chosen);
        second.set_string(20, 1, "x y", chosen);
        let mut emulator = emulator(area.width, area.height);
        let mut before = Buffer::empty(area);
        for picture in [first, second] {
            let mut sent = vec![];
            encode(before.diff(&picture).into_iter(), &mut sent).unwrap();
            emulator.process(&sent);
            for (x, y) in area.positions().map(|it| (it.x, it.y)) {
                let (shown, drawn) = (emulator.screen().cell(y, x).unwrap(), &picture[(x, y)]);
                let text = if shown.has_contents() { shown.contents() } else { " " };
                if !shown.is_wide_continuation() {
                    assert_eq!(text, drawn.symbol(), "{x} {y}");
                    let styles = (shown.bold(), shown.underline(), shown.inverse());
                    let [bold, underlined, reversed] = [Modifier::BOLD, Modifier::UNDERLINED, Modifier::REVERSED]
                        .map(|modifier| drawn.modifier.contains(modifier));
                    assert_eq!(styles, (bold, underlined, reversed), "{x} {y}");
                    assert_eq!((shown.fgcolor(), shown.bgcolor()), (seen(drawn.fg), seen(drawn.bg)), "{x} {y}");
                }
            }
            before = picture;
        }
    }

    fn seen(colour: Color) -> vt100::Color {
        match colour {
            Color::White => vt100::Color::Idx(15),
            Color::Magenta => vt100::Color::Idx(5),
            Color::Indexed(n) => vt100::Color::Idx(n),
            _ => vt100::Color::Default,
        }
    }

    #[test]
    fn what_stands_after_a_sign_of_uncertain_width_has_its_place_named() {
        let area = Rect::new(0, 0, 10, 1);
        let mut picture = Buffer::empty(area);
        picture.set_string(0, 0, "…", Style::new());
        picture.set_string(5, 0, "x", Style::new());
        let mut sent = vec![];
        encode(Buffer::empty(area).diff(&picture).into_iter(), &mut sent).unwrap();
        assert_eq!(String::from_utf8(sent).unwrap(), "\u{1b}[1;1H…\u{1b}[1;6Hx");
    }
}

//! Writing into the picture: text cut by its width on screen, never outside its field, never as the terminal's own orders.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::look::{Look, Part};
use crate::domain::shown::shown;

/// A field of the picture and the look to write in it. Places are counted from the field's upper left corner.
pub struct Pen<'a> {
    pub buffer: &'a mut Buffer,
    pub area: Rect,
    pub look: Look,
}

/// Behind a text that has no space for its rest: the help of the screen has it.
pub(super) const GOES_ON: &str = " … ? tells all";

/// How many columns the text takes.
pub(super) fn width(text: &str) -> u16 {
    u16::try_from(text.width()).unwrap_or(u16::MAX)
}

/// The text in at most so many columns; what was cut is marked.
pub(super) fn fit(text: &str, columns: u16) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let Some(room) = columns.checked_sub(1) else { return String::new() };
    let (mut out, mut taken) = (String::new(), 0);
    for c in text.chars() {
        let wide = u16::try_from(c.width().unwrap_or(0)).unwrap_or(0);
        if taken + wide > room {
            break;
        }
        taken += wide;
        out.push(c);
    }
    out.push('…');
    out
}

/// The text in lines of at most so many columns, broken at spaces; a longer word is cut in pieces.
pub(super) fn wrap(text: &str, columns: u16) -> Vec<String> {
    let columns = columns.max(1);
    let mut lines = vec![];
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let mut word = word.to_owned();
        if !line.is_empty() && width(&line) + 1 + width(&word) > columns {
            lines.push(std::mem::take(&mut line));
        }
        while width(&word) > columns {
            let at = word.char_indices().scan(0, |taken, (at, c)| {
                *taken += c.width().unwrap_or(0);
                Some((at, *taken))
            });
            let cut = at.skip(1).find(|(_, taken)| *taken > usize::from(columns)).map_or(word.len(), |(at, _)| at);
            let rest = word.split_off(cut);
            lines.push(std::mem::replace(&mut word, rest));
            if word.is_empty() {
                break;
            }
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// The first line to draw, of `length` in a field of `height`, so that the chosen one is seen.
pub(super) fn first_seen(chosen: usize, length: usize, height: usize) -> usize {
    chosen.saturating_sub(height / 2).min(length.saturating_sub(height))
}

impl Pen<'_> {
    pub fn width(&self) -> u16 {
        self.area.width
    }

    pub fn height(&self) -> u16 {
        self.area.height
    }

    /// A smaller field inside this one.
    pub fn field(&mut self, x: u16, y: u16, width: u16, height: u16) -> Pen<'_> {
        let wanted = Rect::new(self.area.x.saturating_add(x), self.area.y.saturating_add(y), width, height);
        Pen { area: wanted.intersection(self.area), buffer: self.buffer, look: self.look }
    }

    /// Writes text, cut at the field's edge, and answers the column after it.
    pub fn put(&mut self, x: u16, y: u16, text: &str, part: Part) -> u16 {
        let style = self.look.style(part);
        self.put_styled(x, y, text, style)
    }

    /// The same in at most so many columns.
    pub fn put_in(&mut self, x: u16, y: u16, columns: u16, text: &str, part: Part) -> u16 {
        self.put(x, y, &fit(&shown(text), columns), part)
    }

    fn put_styled(&mut self, x: u16, y: u16, text: &str, style: Style) -> u16 {
        if x >= self.area.width || y >= self.area.height {
            return x;
        }
        let text = fit(&shown(text), self.area.width - x);
        self.buffer.set_string(self.area.x + x, self.area.y + y, &text, style);
        x + width(&text)
    }

    /// Writes text so that it ends at the field's right edge.
    pub fn put_right(&mut self, y: u16, text: &str, part: Part) -> u16 {
        let text = fit(&shown(text), self.area.width);
        let x = self.area.width.saturating_sub(width(&text));
        self.put(x, y, &text, part);
        x
    }

    /// A chip: a word in its own colours, with a space at either side.
    pub fn chip(&mut self, x: u16, y: u16, word: &str, part: Part) -> u16 {
        self.put(x, y, &format!(" {word} "), part)
    }

    /// Gives a whole line a style, keeping its text.
    pub fn mark_line(&mut self, y: u16, part: Part) {
        if y < self.area.height {
            let line = Rect::new(self.area.x, self.area.y + y, self.area.width, 1);
            self.buffer.set_style(line, self.look.style(part));
        }
    }

    /// Gives part of a line a style, keeping its text.
    pub fn mark(&mut self, x: u16, y: u16, columns: u16, part: Part) {
        let wanted = Rect::new(self.area.x.saturating_add(x), self.area.y.saturating_add(y), columns, 1);
        self.buffer.set_style(wanted.intersection(self.area), self.look.style(part));
    }

    /// A horizontal rule with a title in it.
    pub fn rule(&mut self, y: u16, title: &str) {
        let end = if title.is_empty() { 0 } else { self.put(0, y, &format!("{title} "), Part::Strong) };
        let rest = self.area.width.saturating_sub(end);
        self.put(end, y, &"─".repeat(usize::from(rest)), Part::Plain);
    }

    /// Empties the field.
    pub fn wipe(&mut self) {
        let area = self.area.intersection(self.buffer.area);
        for position in area.positions() {
            if let Some(cell) = self.buffer.cell_mut(position) {
                cell.reset();
            }
        }
    }

    /// A box in the middle of the field, emptied, with a title on its edge. Answers the field inside.
    pub fn popup(&mut self, columns: u16, lines: u16, title: &str) -> Pen<'_> {
        let (columns, lines) = (columns.min(self.area.width), lines.min(self.area.height));
        let (x, y) = ((self.area.width - columns) / 2, (self.area.height - lines) / 2);
        let mut frame = self.field(x, y, columns, lines);
        frame.wipe();
        let (inner_columns, across) = (columns.saturating_sub(2), usize::from(columns.saturating_sub(2)));
        frame.put(0, 0, &format!("┌{}┐", "─".repeat(across)), Part::Plain);
        frame.put(0, lines.saturating_sub(1), &format!("└{}┘", "─".repeat(across)), Part::Plain);
        for line in 1..lines.saturating_sub(1) {
            frame.put(0, line, "│", Part::Plain);
            frame.put(columns.saturating_sub(1), line, "│", Part::Plain);
        }
        frame.put_in(2, 0, columns.saturating_sub(4), &format!(" {title} "), Part::Strong);
        let inner = frame.field(1, 1, inner_columns, lines.saturating_sub(2)).area;
        Pen { area: inner, buffer: self.buffer, look: self.look }
    }

    /// Where a place of this field is on the screen, if it is inside.
    pub fn at(&self, x: u16, y: u16) -> Option<Position> {
        (x < self.area.width && y < self.area.height).then(|| Position::new(self.area.x + x, self.area.y + y))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_cut_by_its_width_on_screen() {
        assert_eq!(fit("mattress", 8), "mattress");
        assert_eq!(fit("mattress", 5), "matt…");
        assert_eq!(fit("病房十二", 5), "病房…");
        assert_eq!(fit("病房十二", 0), "");
        assert_eq!(wrap("A bed is never shown open", 10), ["A bed is", "never", "shown open"]);
        assert_eq!(wrap("unbreakable", 4), ["unbr", "eaka", "ble"]);
        assert_eq!(wrap("", 4), [""]);
    }

    #[test]
    fn nothing_is_written_outside_and_nothing_that_a_terminal_obeys() {
        let area = Rect::new(0, 0, 10, 3);
        let mut buffer = Buffer::empty(area);
        let mut pen = Pen { buffer: &mut buffer, area, look: Look::default() };
        let mut inner = pen.field(8, 1, 40, 40);
        inner.put(0, 0, "\u{1b}[2Jabc", Part::Plain);
        inner.put(50, 50, "x", Part::Plain);
        pen.popup(4, 2, "t").put(0, 0, "no room", Part::Plain);
        let text: String = buffer.content.iter().map(|cell| cell.symbol()).collect();
        assert!(!text.contains('\u{1b}') && !text.contains('x'), "{text:?}");
    }

    #[test]
    fn the_chosen_line_is_always_seen() {
        for length in [1, 5, 30] {
            for height in [1, 3, 40] {
                for chosen in 0..length {
                    let first = first_seen(chosen, length, height);
                    assert!(first <= chosen && chosen < first + height, "{chosen} of {length} in {height}");
                }
            }
        }
    }
}

//! Drawing the Ledger: the list by days, and below it the chosen entry in full words.

use ratatui::layout::Position;

use super::kind::Kind;
use super::{LedgerScreen, Line, Row, Told, WIDE};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, width, wrap};

/// Lines for the chosen entry, of a screen with so many.
pub(super) fn pane_lines(lines: u16) -> u16 {
    if lines >= 36 { 12 } else { 8 }
}

impl LedgerScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let heading = self.heading();
        pen.rule(0, &heading);
        // The signs of the column, where the kinds do not stand in words beside them.
        let legend = [Kind::Closes, Kind::Fact, Kind::Signature].map(|kind| format!("{} {}", kind.sign(), kind.word()));
        let legend = format!(" {} ", legend.join("  "));
        if width(&heading) + 2 + width(&legend) <= pen.width() {
            pen.put_right(0, &legend, Part::Plain);
        }
        let mut cursor = None;
        let number = self.rows.iter().filter_map(Row::line).map(|line| line.number.0.to_string().len()).max();
        let number_columns = u16::try_from(number.unwrap_or(0)).unwrap_or(u16::MAX).max(4);
        for (y, row) in (1..pen.height()).zip(&self.rows) {
            match row {
                Row::Day(day) => {
                    pen.put(1, y, day, Part::Strong);
                }
                Row::Entry(line) => {
                    let chosen = self.chosen == Some(line.place);
                    let mark = if chosen { '>' } else { ' ' };
                    let number = format!("{mark}{:>1$}", line.number.0, usize::from(number_columns));
                    let x = pen.put(0, y, &number, Part::Plain);
                    draw_line(line, x + 1, y, pen);
                    if chosen {
                        pen.mark(0, y, x, Part::Chosen);
                        cursor = pen.at(0, y);
                    }
                }
            }
        }
        let first = u16::try_from(self.height).unwrap_or(u16::MAX).saturating_add(1);
        if self.rows.is_empty() {
            pen.put(1, 1, "No such entry. f and w list others; g finds one.", Part::Plain);
        }
        if let Some(told) = &self.told {
            let (columns, lines) = (pen.width(), pen.height().saturating_sub(first));
            draw_chosen(told, &mut pen.field(0, first, columns, lines));
        }
        cursor
    }

    fn heading(&self) -> String {
        let count = self.listing.len();
        let entries = if count == 1 { "1 entry".to_owned() } else { format!("{count} entries") };
        let mut heading = format!("{}{entries}, newest first: {}", self.ward.shown(), self.which.words(self.person));
        if !self.typed.is_empty() {
            heading.push_str(&format!("; found by “{}”", self.typed));
        }
        if let Some(from) = self.listing.worded_from {
            heading.push_str(&format!(" (the {from} oldest not looked through)"));
        }
        heading
    }
}

impl Row {
    fn line(&self) -> Option<&Line> {
        match self {
            Self::Entry(line) => Some(line),
            Self::Day(_) => None,
        }
    }
}

fn draw_line(line: &Line, x: u16, y: u16, pen: &mut Pen<'_>) {
    let wide = pen.width() >= WIDE;
    let (by, place) = if wide { (14, 14) } else { (5, 8) };
    let mut x = x;
    let mut column = |pen: &mut Pen<'_>, columns: u16, text: &str| {
        pen.put_in(x, y, columns, text, Part::Plain);
        x += columns + 1;
    };
    column(pen, 6, &line.clock);
    column(pen, 7, &format!("{:>7}", line.age));
    column(pen, by, &line.by);
    column(pen, place, &line.room);
    let kind = format!("{} {}", line.kind.sign(), if wide { line.kind.word() } else { "" });
    column(pen, if wide { 12 } else { 1 }, kind.trim_end());
    for flag in &line.flags {
        x = pen.chip(x, y, flag, Part::Overdue) + 1;
    }
    pen.put_in(x, y, pen.width().saturating_sub(x), &line.text, Part::Plain);
}

/// As much as has space; the rest is a key away.
fn draw_chosen(told: &Told, pen: &mut Pen<'_>) {
    pen.rule(0, &told.title);
    let columns = pen.width();
    let indent = told.marks.iter().chain(&told.facts).map(|(label, _)| width(label)).max().unwrap_or(0) + 2;
    let mut rows: Vec<(&str, String)> = wrap(&told.sentence, columns).into_iter().map(|line| ("", line)).collect();
    let sentence = rows.len();
    for (label, text) in told.marks.iter().chain(&told.facts) {
        let lines = wrap(text, columns.saturating_sub(indent)).into_iter();
        rows.extend(lines.enumerate().map(|(at, line)| if at == 0 { (*label, line) } else { ("", line) }));
    }
    let height = usize::from(pen.height().saturating_sub(1));
    let fitting = if rows.len() > height { height.saturating_sub(1) } else { height };
    for (y, (at, (label, line))) in (1..).zip(rows.iter().enumerate().take(fitting)) {
        pen.put(0, y, label, Part::Strong);
        pen.put(if at < sentence { 0 } else { indent }, y, line, Part::Plain);
    }
    if rows.len() > height {
        let y = u16::try_from(height).unwrap_or(u16::MAX);
        let left = rows.len() - fitting;
        pen.put(0, y, &format!("{left} more lines: Enter shows the entry in full"), Part::Plain);
    }
}

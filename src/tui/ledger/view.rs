//! Drawing the Ledger.

use ratatui::layout::Position;

use super::LedgerScreen;
use crate::tui::look::Part;
use crate::tui::paint::Pen;

impl LedgerScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>) -> Option<Position> {
        pen.rule(0, &format!("{}{} entries, newest first", self.ward.shown(), self.numbers.len()));
        let mut cursor = None;
        for (y, line) in (1..pen.height()).zip(&self.lines) {
            let chosen = self.cursor.key() == Some(line.number);
            let mark = if chosen { '>' } else { ' ' };
            let x = pen.put(0, y, &format!("{mark}{:>5}", line.number.0), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            pen.put_in(x + 1, y, 28, &line.when, Part::Plain);
            pen.put_in(x + 30, y, 6, &line.by, Part::Plain);
            pen.put_in(x + 37, y, pen.width().saturating_sub(x + 37), &line.text, Part::Plain);
        }
        cursor
    }
}

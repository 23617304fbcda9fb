//! Drawing the Bags.

use ratatui::layout::Position;

use super::BagsScreen;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen};

impl BagsScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>) -> Option<Position> {
        pen.rule(0, &format!("{}Bags not laundered: {}, oldest first", self.ward.shown(), self.lines.len()));
        let height = pen.height().saturating_sub(1);
        let first = first_seen(self.cursor.at(), self.lines.len(), usize::from(height));
        let mut cursor = None;
        for (y, (at, line)) in (1..=height).zip(self.lines.iter().enumerate().skip(first)) {
            let chosen = at == self.cursor.at();
            let mark = if chosen { '>' } else { ' ' };
            let x = pen.put_in(0, y, 16, &format!("{mark}{}", line.tag), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            pen.put_in(17, y, 14, &format!("room {}", line.room), Part::Plain);
            pen.put_in(32, y, 30, &line.since, Part::Plain);
            let failed = if line.failed > 0 { format!("{} failed loads, ", line.failed) } else { String::new() };
            let x = 63;
            pen.put_in(x, y, pen.width().saturating_sub(x), &format!("{failed}holds {} beds", line.holds), Part::Plain);
        }
        cursor
    }
}

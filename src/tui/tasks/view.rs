//! Drawing the Tasks.

use ratatui::layout::Position;

use super::TasksScreen;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen};

impl TasksScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let whose = self.role.map_or("everybody's", |role| role.title());
        pen.rule(0, &format!("{}{} tasks, {whose}", self.ward.shown(), self.lines.len()));
        let height = pen.height().saturating_sub(1);
        let first = first_seen(self.cursor.at(), self.lines.len(), usize::from(height));
        let mut cursor = None;
        for (y, (at, line)) in (1..=height).zip(self.lines.iter().enumerate().skip(first)) {
            let chosen = at == self.cursor.at();
            let mark = if chosen { '>' } else { ' ' };
            let x = pen.put_in(0, y, 14, &format!("{mark}{}", line.room), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            pen.put_in(15, y, 8, line.section.title(), Part::Strong);
            pen.put_in(24, y, 20, &line.due, Part::Plain);
            let wide = pen.width().saturating_sub(64);
            pen.put_in(45, y, wide, &line.need, Part::Plain);
            pen.put_right(y, &line.who, Part::Plain);
        }
        cursor
    }
}

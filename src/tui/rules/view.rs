//! Drawing the Rules.

use ratatui::layout::Position;

use super::RulesScreen;
use crate::domain::rule::Rule;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen};

impl RulesScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>) -> Option<Position> {
        pen.rule(0, &format!("{} rules", Rule::ALL.len()));
        let height = pen.height().saturating_sub(1);
        let first = first_seen(self.cursor.at(), Rule::ALL.len(), usize::from(height));
        let mut cursor = None;
        for (y, (at, rule)) in (1..=height).zip(Rule::ALL.iter().enumerate().skip(first)) {
            let chosen = at == self.cursor.at();
            let mark = if chosen { '>' } else { ' ' };
            let x = pen.put_in(0, y, 22, &format!("{mark}{}", rule.code()), Part::Strong);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            pen.put_in(23, y, pen.width().saturating_sub(23), rule.sentence(), Part::Plain);
        }
        cursor
    }
}

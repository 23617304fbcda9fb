//! The Rules: what are they, and where do they come from?

mod view;

use ratatui::layout::Position;

use super::base::{Opens, Screen};
use super::cursor::Cursor;
use super::keys::Act;
use super::page::Page;
use super::paint::Pen;
use super::survey::Survey;
use super::world::World;
use crate::domain::code::Code;
use crate::domain::rule::Rule;

#[derive(Default)]
pub(super) struct RulesScreen {
    cursor: Cursor<Rule>,
}

impl Screen for RulesScreen {
    fn refresh(&mut self, _world: &World<'_>, _survey: &Survey, _width: u16, lines: u16) {
        self.cursor.settle(Rule::ALL, usize::from(lines.saturating_sub(3)));
    }

    fn walk(&mut self, act: Act, _survey: &Survey) -> bool {
        self.cursor.walk(act, Rule::ALL);
        false
    }

    fn paint(&self, pen: &mut Pen<'_>, _survey: &Survey) -> Option<Position> {
        self.draw(pen)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        None
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        let page = |rule: Rule| {
            let source = format!("Source: {}", rule.source().unwrap_or("a rule of this tool's own"));
            Page::text(format!("Rule {}", rule.code()), vec![rule.sentence().to_owned(), String::new(), source])
        };
        self.cursor.key().map_or(Opens::Nothing, |rule| Opens::Page(page(rule)))
    }
}

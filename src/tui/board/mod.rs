//! The Board: what state is every room in?

mod plan;
mod view;

pub(super) use plan::Style;

use super::keys::Act;
use super::survey::Survey;
use crate::domain::code::Code;
use plan::{Plan, Way};

/// Lines of the screen that are not for rooms: the top, the counts, the chosen room, what was said, the keys.
const LINES_AROUND: u16 = 5;

#[derive(Default)]
pub struct BoardScreen {
    pub chosen: Option<Code>,
    style: Style,
    plan: Plan,
}

impl BoardScreen {
    /// Lays the rooms out anew, after a change of the hospital or of the screen.
    pub fn refresh(&mut self, survey: &Survey, width: u16, height: u16) {
        self.plan = Plan::lay(survey, width, height.saturating_sub(LINES_AROUND), self.style);
        if self.chosen.is_none_or(|code| survey.position(code).is_none()) {
            self.chosen = survey.rooms.first().map(|room| room.code);
        }
    }

    pub fn turn_rows(&mut self) {
        self.style = match self.style {
            Style::Corridor => Style::Rows,
            Style::Rows => Style::Corridor,
        };
    }

    /// Moves the choice.
    pub fn walk(&mut self, act: Act, survey: &Survey) {
        let Some(at) = self.chosen.and_then(|code| survey.position(code)) else { return };
        let page = self.plan.page_of(at);
        let to = match act {
            Act::Up => self.plan.beside(at, Way::Up),
            Act::Down => self.plan.beside(at, Way::Down),
            Act::Left => self.plan.beside(at, Way::Left),
            Act::Right => self.plan.beside(at, Way::Right),
            Act::PageUp => page.checked_sub(1).and_then(|page| self.plan.first_on(page)),
            Act::PageDown => self.plan.first_on(page + 1),
            Act::First => (!survey.rooms.is_empty()).then_some(0),
            Act::Last => survey.rooms.len().checked_sub(1),
            Act::Ward => next_ward(survey, at),
            _ => None,
        };
        if let Some(room) = to.and_then(|to| survey.rooms.get(to)) {
            self.chosen = Some(room.code);
        }
    }
}

fn next_ward(survey: &Survey, at: usize) -> Option<usize> {
    let ward = survey.rooms.get(at)?.ward;
    let later = survey.wards.iter().skip(ward + 1).chain(survey.wards.iter());
    later.filter(|ward| !ward.rooms.is_empty()).map(|ward| ward.rooms.start).next()
}

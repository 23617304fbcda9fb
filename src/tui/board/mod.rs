//! The Board: what state is every room in?

mod plan;
mod sides;
mod strip;
pub(in crate::tui) use strip::next_steps;
mod tile;
mod view;

pub(super) use plan::Style;

use ratatui::layout::Position;

use super::base::{Opens, Screen};
use super::keys::Act;
use super::paint::Pen;
use super::survey::Survey;
use super::world::World;
use crate::domain::code::Code;
use plan::{Plan, Way};
use strip::Strip;

/// Lines that are not for rooms: the counts, and two about the chosen room.
const LINES_AROUND: u16 = 3;

#[derive(Default)]
pub(super) struct BoardScreen {
    chosen: Option<Code>,
    style: Style,
    plan: Plan,
    /// Under the rooms, where there is space: what a shift asks first.
    strip: Option<Strip>,
    /// Rooms that nobody may enter, where the strip does not tell of them.
    wet: Vec<strip::Wet>,
}

impl BoardScreen {
    /// Whoever comes next begins at the first room.
    pub(super) fn forget(&mut self) {
        self.chosen = None;
    }

    fn turn_rows(&mut self) {
        self.style = match self.style {
            Style::Corridor => Style::Rows,
            Style::Rows => Style::Corridor,
        };
    }
}

impl Screen for BoardScreen {
    /// Lays the rooms out anew, after a change of the hospital or of the screen.
    fn refresh(&mut self, _world: &World<'_>, survey: &Survey, width: u16, lines: u16) {
        let lines = lines.saturating_sub(LINES_AROUND);
        self.wet = strip::not_to_enter(survey);
        let plan = Plan::lay(survey, width, lines.saturating_sub(strip::LEAST_LINES), self.style);
        let alone = u16::from(!self.wet.is_empty());
        self.strip = None;
        if strip::fits(width, lines, self.style)
            && plan.pages.len() == Plan::least_pages(survey, width, lines, self.style)
        {
            let left = lines.saturating_sub(plan.used).min(strip::MOST_LINES);
            self.strip = Some(Strip::of(survey, &std::mem::take(&mut self.wet), left));
            self.plan = plan;
        } else {
            self.plan = Plan::lay(survey, width, lines.saturating_sub(alone), self.style);
        }
        if self.chosen.is_none_or(|code| survey.position(code).is_none()) {
            self.chosen = survey.rooms.first().map(|room| room.code);
        }
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        if act == Act::Rows {
            self.turn_rows();
            return true;
        }
        let Some(at) = self.chosen.and_then(|code| survey.position(code)) else { return false };
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
        false
    }

    fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        self.draw(pen, survey)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        self.chosen
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        self.chosen.map_or(Opens::Nothing, Opens::NextStep)
    }

    fn choose(&mut self, room: Code, _survey: &Survey) {
        self.chosen = Some(room);
    }
}

fn next_ward(survey: &Survey, at: usize) -> Option<usize> {
    let ward = survey.rooms.get(at)?.ward;
    let later = survey.wards.iter().skip(ward + 1).chain(survey.wards.iter());
    later.filter(|ward| !ward.rooms.is_empty()).map(|ward| ward.rooms.start).next()
}

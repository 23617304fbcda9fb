//! The Room: why is it as it is, and what is the next step?

mod facts;
mod view;

use super::ask::Ask;
use super::keys::Act;
use super::survey::Survey;
use super::world::World;
use crate::domain::code::Code;
use crate::domain::entry::Number;
use facts::Facts;

pub struct RoomScreen {
    pub code: Code,
    chosen: usize,
    facts: Facts,
    lines_of_page: usize,
}

/// What the chosen line is.
pub enum Chosen<'a> {
    Next(&'a Ask),
    Bed(usize),
    Need(&'a Ask),
    Event(Number),
}

impl RoomScreen {
    pub fn new(code: Code, world: &World<'_>, survey: &Survey, height: u16) -> Self {
        let mut screen = Self { code, chosen: 0, facts: Facts::default(), lines_of_page: 1 };
        screen.refresh(world, survey, height);
        screen
    }

    pub fn refresh(&mut self, world: &World<'_>, survey: &Survey, height: u16) {
        self.facts = Facts::of(self.code, world, survey);
        self.lines_of_page = usize::from(height / 3).max(1);
        self.chosen = self.chosen.min(self.count(survey).saturating_sub(1));
    }

    fn beds(&self, survey: &Survey) -> usize {
        survey.room(self.code).map_or(0, |room| room.beds.len())
    }

    /// The next step, the beds, the needs, what happened: one walk through all of them.
    fn count(&self, survey: &Survey) -> usize {
        1 + self.beds(survey) + self.facts.needs.len() + self.facts.events.len()
    }

    pub fn chosen(&self, survey: &Survey) -> Option<Chosen<'_>> {
        if self.chosen == 0 {
            return self.facts.next.as_ref().map(|(_, ask)| Chosen::Next(ask));
        }
        let at = self.chosen - 1;
        let beds = self.beds(survey);
        if at < beds {
            return Some(Chosen::Bed(at));
        }
        let at = at - beds;
        if let Some(need) = self.facts.needs.get(at) {
            return Some(Chosen::Need(&need.ask));
        }
        self.facts.events.get(at - self.facts.needs.len()).map(|event| Chosen::Event(event.number))
    }

    pub fn next(&self) -> Option<&Ask> {
        self.facts.next.as_ref().map(|(_, ask)| ask)
    }

    pub fn walk(&mut self, act: Act, world: &World<'_>, survey: &Survey, height: u16) {
        let last = self.count(survey).saturating_sub(1);
        match act {
            Act::Up => self.chosen = self.chosen.saturating_sub(1),
            Act::Down => self.chosen = (self.chosen + 1).min(last),
            Act::PageUp => self.chosen = self.chosen.saturating_sub(self.lines_of_page),
            Act::PageDown => self.chosen = (self.chosen + self.lines_of_page).min(last),
            Act::First => self.chosen = 0,
            Act::Last => self.chosen = last,
            Act::Left | Act::Right => {
                let at = survey.position(self.code);
                let to = at.and_then(|at| if act == Act::Left { at.checked_sub(1) } else { Some(at + 1) });
                if let Some(room) = to.and_then(|to| survey.rooms.get(to)) {
                    *self = Self::new(room.code, world, survey, height);
                }
            }
            _ => {}
        }
    }
}

//! The Room: why is it as it is, and what is the next step?
//!
//! Its head stands still; below it one list is walked: beds, what is asked of the room, what happened.

mod facts;
mod needs;
mod past;
mod view;
mod zones;

use super::ask::Ask;
use super::keys::Act;
use super::page::Page;
use super::survey::Survey;
use super::world::World;
use crate::domain::code::Code;
use facts::Facts;

pub struct RoomScreen {
    pub code: Code,
    /// 0 is the next step; then the beds, the needs, what happened.
    chosen: usize,
    beds: usize,
    facts: Facts,
    lines_of_page: usize,
}

/// What the chosen line is.
pub enum Chosen<'a> {
    Next(&'a Ask),
    Bed(usize),
    Need(&'a Ask),
    Event(Page),
}

impl RoomScreen {
    pub fn new(code: Code, world: &World<'_>, survey: &Survey, height: u16) -> Self {
        let mut screen = Self { code, chosen: 0, beds: 0, facts: Facts::default(), lines_of_page: 1 };
        screen.refresh(world, survey, height);
        screen
    }

    pub fn refresh(&mut self, world: &World<'_>, survey: &Survey, height: u16) {
        self.facts = Facts::of(self.code, world, survey);
        self.beds = survey.room(self.code).map_or(0, |room| room.beds.len());
        self.lines_of_page = usize::from(height.saturating_sub(view::HEAD_LINES + 2)).max(1);
        self.chosen = self.chosen.min(self.count().saturating_sub(1));
    }

    fn count(&self) -> usize {
        1 + self.beds + self.facts.needs.len() + self.facts.events.len()
    }

    /// After something was noted: the keys are on the next step again.
    pub fn choose_next(&mut self) {
        self.chosen = 0;
    }

    pub fn chosen(&self, world: &World<'_>) -> Option<Chosen<'_>> {
        let Some(at) = self.chosen.checked_sub(1) else {
            return self.facts.next.as_ref().map(|next| Chosen::Next(&next.ask));
        };
        if at < self.beds {
            return Some(Chosen::Bed(at));
        }
        let at = at - self.beds;
        if let Some(need) = self.facts.needs.get(at) {
            return Some(Chosen::Need(&need.ask));
        }
        let event = self.facts.events.get(at - self.facts.needs.len())?;
        let entries = (world.timeline)(self.code);
        let told: Vec<_> = entries.into_iter().filter(|entry| event.numbers.contains(&entry.number)).collect();
        let page = match told.as_slice() {
            [only] => Page::entry(only, world),
            all => Page::text(format!("{} entries", all.len()), past::in_words(all, world.board, world.now)),
        };
        Some(Chosen::Event(page))
    }

    pub fn walk(&mut self, act: Act, world: &World<'_>, survey: &Survey, height: u16) {
        let last = self.count().saturating_sub(1);
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

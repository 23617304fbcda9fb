//! The Room: why is it as it is, and what is the next step?
//!
//! Its head stands still; below it one list is walked: beds, what is asked of the room, zones, what happened.

mod facts;
mod needs;
mod past;
mod table;
mod view;
mod zones;

use super::ask::Ask;
use super::cursor::Cursor;
use super::keys::Act;
use super::page::Page;
use super::survey::Survey;
use super::world::World;
use crate::domain::code::Code;
use crate::domain::entry::Number;
use facts::Facts;
use view::Row;
use zones::Stand;

pub struct RoomScreen {
    pub code: Code,
    facts: Facts,
    /// The lines of the list, for the width that they were worked out for.
    rows: Vec<Row>,
    stops: Vec<Stop>,
    cursor: Cursor<Stop>,
}

/// A line that can be chosen.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stop {
    Next,
    Bed(usize),
    /// A need by its kind, and which of that kind.
    Need(u8, usize),
    Due(usize),
    /// A group of zones.
    Zones(usize),
    Event(Number),
}

/// What the chosen line asks for.
pub enum Chosen {
    Form(Ask),
    Bed(usize),
    Page(Page),
}

impl RoomScreen {
    /// Shows nothing before it was worked out.
    pub fn new(code: Code) -> Self {
        Self { code, facts: Facts::default(), rows: vec![], stops: vec![Stop::Next], cursor: Cursor::default() }
    }

    pub fn refresh(&mut self, world: &World<'_>, survey: &Survey, person: Option<Code>, (width, lines): (u16, u16)) {
        self.facts = Facts::of(self.code, world, survey, person);
        let beds = survey.room(self.code).map_or(0, |room| room.beds.len());
        self.rows = view::rows(&self.facts, beds, width);
        self.stops = vec![Stop::Next];
        self.stops.extend(self.rows.iter().filter_map(|row| row.stop(&self.facts)));
        if view::is_wide(width) {
            // They stand beside the list. They are walked to after all that is asked, as on a narrow screen.
            let at = self.stops.iter().position(|stop| matches!(stop, Stop::Event(_))).unwrap_or(self.stops.len());
            let groups = (0..self.facts.zones.len()).map(Stop::Zones);
            self.stops.splice(at..at, groups);
        }
        self.cursor.settle(&self.stops, usize::from(lines.saturating_sub(view::HEAD_LINES + 2)));
    }

    /// After something was noted: the keys are on the next step again.
    pub fn choose_next(&mut self) {
        self.cursor.reset();
    }

    /// The line of this bed.
    pub fn choose_bed(&mut self, bed: Code, survey: &Survey) {
        let at = survey.room(self.code).and_then(|room| room.beds.iter().position(|it| it.code == bed));
        if let Some(at) = at {
            self.cursor.choose(&self.stops, Stop::Bed(at));
        }
    }

    /// The bed on whose line the keys are.
    pub fn bed(&self, survey: &Survey) -> Option<Code> {
        let Some(Stop::Bed(at)) = self.cursor.key() else { return None };
        survey.room(self.code)?.beds.get(at).map(|bed| bed.code)
    }

    fn is_chosen(&self, stop: Stop) -> bool {
        self.cursor.key().unwrap_or(Stop::Next) == stop
    }

    /// None: nothing is asked for.
    pub fn chosen(&self, world: &World<'_>) -> Option<Chosen> {
        let next = || self.facts.next.as_ref().map(|next| next.ask.clone());
        match self.cursor.key().unwrap_or(Stop::Next) {
            Stop::Next => next().map(Chosen::Form),
            Stop::Bed(at) => Some(Chosen::Bed(at)),
            Stop::Need(rank, at) => {
                let need = self.facts.needs.iter().find(|need| (need.rank, need.at) == (rank, at))?;
                match need.met_by {
                    Some(number) => self.pages(&[number], world),
                    None => Some(Chosen::Form(need.ask.clone())),
                }
            }
            Stop::Due(at) => self.facts.due.get(at).map(|due| Chosen::Form(due.ask.clone())),
            Stop::Zones(at) => {
                let group = self.facts.zones.get(at)?;
                let of = |verb| Some(Chosen::Form(Ask::of_room(world.board, self.code, verb)));
                // Before the spray a zone is paid by the spray; what was left unstated is supplied first.
                let first = next().filter(|ask| matches!(ask.verb, "complete-spray" | "move-patient"));
                let work = next().filter(|ask| matches!(ask.verb, "move-patient" | "prepare" | "spray"));
                match group.gravest() {
                    Stand::Damp | Stand::Wet => first.map_or_else(|| of("dry-check"), |ask| Some(Chosen::Form(ask))),
                    Stand::Owed => work.map_or_else(|| of("treat-zone"), |ask| Some(Chosen::Form(ask))),
                    Stand::ToVacuum => of("vacuum"),
                    Stand::Dry | Stand::Nothing => {
                        Some(Chosen::Page(Page::text(group.title(self.code), group.in_words())))
                    }
                }
            }
            Stop::Event(number) => {
                let event = self.facts.events.iter().find(|event| event.numbers.first() == Some(&number))?;
                self.pages(&event.numbers, world)
            }
        }
    }

    /// One entry in full, or several in a sentence each.
    fn pages(&self, numbers: &[Number], world: &World<'_>) -> Option<Chosen> {
        let entries = (world.timeline)(self.code);
        let told: Vec<_> = entries.into_iter().filter(|entry| numbers.contains(&entry.number)).collect();
        match told.as_slice() {
            [] => None,
            [only] => Some(Chosen::Page(Page::entry(only, world))),
            all => {
                let words = past::in_words(all, world.board, world.now);
                Some(Chosen::Page(Page::text(format!("{} entries", all.len()), words)))
            }
        }
    }

    /// True: it is another room now, and is to be worked out.
    pub fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        if !matches!(act, Act::Left | Act::Right) {
            self.cursor.walk(act, &self.stops);
            return false;
        }
        let at = survey.position(self.code);
        let to = at.and_then(|at| if act == Act::Left { at.checked_sub(1) } else { Some(at + 1) });
        let room = to.and_then(|to| survey.rooms.get(to));
        if let Some(room) = room {
            *self = Self::new(room.code);
        }
        room.is_some()
    }
}

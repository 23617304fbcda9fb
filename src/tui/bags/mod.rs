//! The Bags: where is every bag, how old, and what does it hold up?

mod view;

use std::collections::BTreeMap;

use ratatui::layout::Position;

use super::ask::Ask;
use super::base::{Opens, Screen};
use super::cursor::Cursor;
use super::keys::Act;
use super::paint::Pen;
use super::survey::{Survey, WardFilter};
use super::world::World;
use crate::domain::code::Code;
use crate::domain::need::Need;
use crate::tui::age;

#[derive(Default)]
pub(super) struct BagsScreen {
    cursor: Cursor<Code>,
    ward: WardFilter,
    lines: Vec<Line>,
    tags: Vec<Code>,
}

struct Line {
    tag: Code,
    room: Code,
    /// Since when it is out.
    since: String,
    failed: usize,
    /// Empty beds that wait for it.
    holds: usize,
}

impl Screen for BagsScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, _width: u16, lines: u16) {
        self.ward.settle(survey);
        self.lines = bags(world, survey, &self.ward);
        self.tags = self.lines.iter().map(|line| line.tag).collect();
        self.cursor.settle(&self.tags, usize::from(lines.saturating_sub(6)));
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        if act == Act::Ward {
            self.ward.turn(survey);
            self.cursor.reset();
            return true;
        }
        self.cursor.walk(act, &self.tags);
        false
    }

    fn paint(&self, pen: &mut Pen<'_>, _survey: &Survey) -> Option<Position> {
        self.draw(pen)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        self.lines.get(self.cursor.at()).map(|line| line.room)
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        let ask = |tag: Code| Ask { verb: "launder", target: tag.to_string(), known: vec![] };
        self.cursor.key().map_or(Opens::Nothing, |tag| Opens::Form(ask(tag)))
    }

    fn choose(&mut self, room: Code, _survey: &Survey) {
        if let Some(line) = self.lines.iter().find(|line| line.room == room) {
            self.cursor.choose(&self.tags, line.tag);
        }
    }
}

/// The bags that are outstanding, oldest first.
fn bags(world: &World<'_>, survey: &Survey, ward: &WardFilter) -> Vec<Line> {
    let (board, now, zone) = (world.board, world.now, world.board.facility().time_zone);
    let mut lines = vec![];
    for line in survey.rooms.iter().filter(|line| ward.lists(line, survey)) {
        let Some(room) = board.room(line.code) else { continue };
        let mut out: BTreeMap<Code, crate::domain::entry::Time> = BTreeMap::new();
        for closer in room.unsettled() {
            for need in &closer.needs {
                if let Need::Bag(tag) = need
                    && room.met(closer, *need).is_none()
                {
                    let since = out.entry(*tag).or_insert(closer.happened);
                    *since = (*since).min(closer.happened);
                }
            }
        }
        let holds = line.beds.iter().filter(|bed| bed.sign() == '-').count();
        for (tag, since) in out {
            let failed = room.failed_loads.iter().filter(|(_, bag)| *bag == tag).count();
            lines.push((since, Line { tag, room: line.code, since: age::with_age(since, now, zone), failed, holds }));
        }
    }
    lines.sort_by_key(|(since, line)| (*since, line.tag));
    lines.into_iter().map(|(_, line)| line).collect()
}

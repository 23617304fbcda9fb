//! The Beds: which bed can I give away now, which is next, and why not this one?
//!
//! Open beds stand together on top, a ward a line. Under them those that nobody lies in, nearest to opening first, each
//! with the one thing that comes first; then patients in rooms that are not clear. Other beds with a patient are only
//! counted, until somebody asks for them. Of the chosen bed the screen says all that opens it or keeps it closed.

mod list;
mod view;
mod why;

use std::collections::BTreeSet;

use ratatui::layout::Position;

use super::age;
use super::base::{Opens, Screen};
use super::cursor::Cursor;
use super::keys::Act;
use super::paint::Pen;
use super::survey::{Survey, WardFilter};
use super::world::World;
use crate::domain::board::Occupancy;
use crate::domain::code::Code;
use crate::domain::policy::Setting;
use list::{Key, List};
pub(super) use list::{first_things, next_to_open};
use view::Fields;

#[derive(Default)]
pub(super) struct BedsScreen {
    cursor: Cursor<Key>,
    /// Only this ward's beds. None: all.
    filter: WardFilter,
    /// Wards whose beds with a patient are listed.
    unfolded: BTreeSet<Code>,
    list: List,
    fields: Fields,
    /// Wards whose beds nobody confirmed for longer than a shift, the fullest way to say it first. Empty: none.
    unconfirmed: Vec<String>,
    why: Vec<String>,
    title: String,
    width: u16,
}

impl Screen for BedsScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, width: u16, height: u16) {
        self.filter.settle(survey);
        self.width = width;
        let mut listed = unconfirmed(world, survey);
        listed.retain(|(ward, _)| self.filter.ward().is_none_or(|only| only == *ward));
        self.unconfirmed = match listed.is_empty() {
            true => vec![],
            false => vec![
                listed.iter().map(|(_, text)| text.clone()).collect::<Vec<_>>().join("; "),
                // `3N since 02:00` without how long ago that is; then the wards alone.
                listed
                    .iter()
                    .map(|(_, text)| text.split(", ").next().unwrap_or_default())
                    .collect::<Vec<_>>()
                    .join("; "),
                listed.iter().map(|(ward, _)| ward.to_string()).collect::<Vec<_>>().join(", "),
                format!("{} wards; c on a bed says since when", listed.len()),
            ],
        };
        self.list = List::of(survey, &self.filter, &self.unfolded, width);
        self.fields = Fields::of(&self.list, height, !self.unconfirmed.is_empty());
        self.cursor.settle(&self.list.keys, usize::from(self.fields.below.max(2)) - 1);
        self.look_closer(world, survey);
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        match act {
            Act::Ward => {
                self.filter.turn(survey);
                self.cursor.reset();
            }
            Act::Filter => {
                let wards = || survey.wards.iter().map(|ward| ward.code);
                self.unfolded = if self.unfolded.is_empty() { wards().collect() } else { BTreeSet::new() };
            }
            Act::Go => {
                let Some(Key::Fold(ward)) = self.cursor.key() else { return false };
                if !self.unfolded.remove(&ward) {
                    self.unfolded.insert(ward);
                }
            }
            Act::Up | Act::Down | Act::Left | Act::Right => {
                if let Some(key) = self.list.beside(self.cursor.at(), act) {
                    self.cursor.choose(&self.list.keys, key);
                }
                return false;
            }
            _ => {
                self.cursor.walk(act, &self.list.keys);
                return false;
            }
        }
        true
    }

    fn look_closer(&mut self, world: &World<'_>, survey: &Survey) {
        (self.title, self.why) = match self.cursor.key() {
            Some(Key::Bed(bed)) => why::of(bed, world, survey),
            Some(Key::Fold(ward)) => why::of_ward(ward, survey),
            None => (String::new(), vec![]),
        };
    }

    fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        self.draw(pen, survey)
    }

    fn room(&self, survey: &Survey) -> Option<Code> {
        let line = self.list.lines.get(self.cursor.at())?;
        line.bed.and_then(|(room, _)| survey.rooms.get(room)).map(|room| room.code)
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        match self.cursor.key() {
            Some(Key::Bed(bed)) => Opens::Bed(bed),
            Some(Key::Fold(_)) => Opens::Folds,
            None => Opens::Nothing,
        }
    }

    fn choose(&mut self, room: Code, survey: &Survey) {
        let of_room = |at: usize| survey.rooms.get(at).is_some_and(|it| it.code == room);
        if let Some(line) = self.list.lines.iter().find(|line| line.bed.is_some_and(|(at, _)| of_room(at))) {
            self.cursor.choose(&self.list.keys, line.key);
        }
    }
}

impl BedsScreen {
    /// The ward of the chosen line.
    pub(super) fn ward(&self, survey: &Survey) -> Option<Code> {
        let of_line = self.list.lines.get(self.cursor.at()).map(|line| line.ward);
        let ward = of_line.and_then(|ward| survey.wards.get(ward)).map(|ward| ward.code);
        ward.or(self.filter.ward()).or_else(|| survey.wards.first().map(|ward| ward.code))
    }
}

/// Wards of which some bed was last noted longer than a shift ago, or never, each with words: `3N since 18:30, 17 h ago`.
pub(super) fn unconfirmed(world: &World<'_>, survey: &Survey) -> Vec<(Code, String)> {
    let board = world.board;
    if !board.policy().is_on(Setting::OccupancyKept) {
        return vec![];
    }
    let zone = board.facility().time_zone;
    let late = survey.wards.iter().filter_map(|ward| {
        let rooms = survey.rooms.get(ward.rooms.clone()).unwrap_or_default();
        // A patient's bed stays a patient's until somebody says otherwise.
        let empty = rooms.iter().flat_map(|room| &room.beds).filter(|bed| bed.occupancy != Occupancy::Occupied);
        let oldest = empty.map(|bed| board.occupancy_noted(bed.code)).min()?;
        let words = match oldest {
            None => format!("{} never", ward.code),
            Some(at) if world.now - at > board.shift() => {
                format!("{} since {}", ward.code, age::with_age(at, world.now, zone))
            }
            Some(_) => return None,
        };
        Some((ward.code, words))
    });
    late.collect()
}

//! The Beds: which bed can be given away now, and which is next?
//!
//! Open beds first. Then those that nobody lies in, nearest to opening first: by how much is still missing, then by when
//! it is due. Then beds with a patient. Of the chosen bed the screen says all that keeps it closed.

mod view;

use std::cmp::Reverse;

use ratatui::layout::Position;

use super::base::{Opens, Screen};
use super::choice::ChoiceList;
use super::cursor::Cursor;
use super::keys::Act;
use super::paint::Pen;
use super::survey::{BedLine, BedWord, RoomLine, Survey, WardFilter};
use super::world::World;
use crate::domain::board::{Occupancy, State};
use crate::domain::code::Code;

#[derive(Default)]
pub(super) struct BedsScreen {
    cursor: Cursor<Code>,
    /// Only this ward's beds. None: all.
    ward: WardFilter,
    lines: Vec<Line>,
    codes: Vec<Code>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Line {
    /// Place in the survey's rooms, and the bed's place in its room.
    room: usize,
    bed: usize,
    code: Code,
    section: Section,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Section {
    Open,
    Next,
    Occupied,
}

impl Section {
    fn title(self) -> &'static str {
        match self {
            Self::Open => "Open as far as bed bugs are concerned; check cleaning",
            Self::Next => "Empty, not open: what is missing",
            Self::Occupied => "With a patient",
        }
    }
}

/// Within its section: the fewest things missing first, then the state nearest to open, then what is due first.
type Rank = (usize, Reverse<State>, i64);

impl Screen for BedsScreen {
    fn refresh(&mut self, _world: &World<'_>, survey: &Survey, _width: u16, height: u16) {
        self.ward.settle(survey);
        let mut lines: Vec<(Line, Rank)> = vec![];
        for (room, line) in survey.rooms.iter().enumerate().filter(|(_, line)| self.ward.lists(line, survey)) {
            for (at, bed) in line.beds.iter().enumerate() {
                let section = section(bed);
                let missing = if section == Section::Next { bed.blockers.len() } else { 0 };
                let due = line.due.map_or(i64::MAX, |due| due.timestamp());
                let rank = if section == Section::Next {
                    (missing, Reverse(line.state), due)
                } else {
                    (0, Reverse(State::Clear), 0)
                };
                lines.push((Line { room, bed: at, code: bed.code, section }, rank));
            }
        }
        lines.sort_by_key(|(line, rank)| (line.section, *rank, line.room, line.bed));
        self.lines = lines.into_iter().map(|(line, _)| line).collect();
        self.codes = self.lines.iter().map(|line| line.code).collect();
        self.cursor.settle(&self.codes, usize::from(height.saturating_sub(10)));
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        if act == Act::Ward {
            self.ward.turn(survey);
            self.cursor.reset();
            return true;
        }
        self.cursor.walk(act, &self.codes);
        false
    }

    fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        self.draw(pen, survey)
    }

    fn room(&self, survey: &Survey) -> Option<Code> {
        let line = self.lines.get(self.cursor.at())?;
        survey.rooms.get(line.room).map(|room| room.code)
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        self.cursor.key().map_or(Opens::Nothing, |bed| Opens::Choice(ChoiceList::of_bed(bed)))
    }

    fn choose(&mut self, room: Code, survey: &Survey) {
        let of_room = |line: &&Line| survey.rooms.get(line.room).is_some_and(|it| it.code == room);
        if let Some(line) = self.lines.iter().find(of_room) {
            self.cursor.choose(&self.codes, line.code);
        }
    }
}

fn section(bed: &BedLine) -> Section {
    match (bed.word(), bed.occupancy) {
        (BedWord::Open, _) => Section::Open,
        (_, Occupancy::Occupied) => Section::Occupied,
        _ => Section::Next,
    }
}

/// What keeps the bed closed, in a few words.
fn reason(bed: &BedLine, room: &RoomLine) -> String {
    match bed.blockers.as_slice() {
        [] => bed.features.join(", "),
        [only] => only.text.clone(),
        [first, rest @ ..] => {
            let next = room.next.as_ref().map(|next| format!("; next: {next}")).unwrap_or_default();
            format!("{}, and {} more{next}", first.text, rest.len())
        }
    }
}

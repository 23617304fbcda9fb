//! The Beds: which bed can be given away now, and which is next?
//!
//! Open beds first. Then those that nobody lies in, nearest to opening first: by how much is still missing, then by when
//! it is due. Then beds with a patient. Of the chosen bed the screen says all that keeps it closed.

mod view;

use std::cmp::Reverse;

use super::keys::Act;
use super::survey::{BedLine, BedWord, RoomLine, Survey};
use crate::domain::board::{Occupancy, State};
use crate::domain::code::Code;

#[derive(Default)]
pub struct BedsScreen {
    pub chosen: Option<Code>,
    /// Only this ward's beds. None: all.
    ward: Option<Code>,
    lines: Vec<Line>,
    lines_of_page: usize,
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

impl BedsScreen {
    pub fn refresh(&mut self, survey: &Survey, height: u16) {
        if self.ward.is_some_and(|code| survey.wards.iter().all(|ward| ward.code != code)) {
            self.ward = None;
        }
        let mut lines: Vec<(Line, Rank)> = vec![];
        for (room, line) in survey.rooms.iter().enumerate() {
            let ward = survey.wards.get(line.ward).map(|ward| ward.code);
            if self.ward.is_some() && self.ward != ward {
                continue;
            }
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
        self.lines_of_page = usize::from(height.saturating_sub(10)).max(1);
        if self.position().is_none() {
            self.chosen = self.lines.first().map(|line| line.code);
        }
    }

    fn position(&self) -> Option<usize> {
        self.chosen.and_then(|code| self.lines.iter().position(|line| line.code == code))
    }

    /// The chosen bed's room.
    pub fn room(&self, survey: &Survey) -> Option<Code> {
        let line = self.lines.get(self.position()?)?;
        survey.rooms.get(line.room).map(|room| room.code)
    }

    pub fn walk(&mut self, act: Act, survey: &Survey) {
        if act == Act::Ward {
            self.turn_ward(survey);
            return;
        }
        let Some(at) = self.position() else { return };
        let last = self.lines.len().saturating_sub(1);
        let to = match act {
            Act::Up => at.saturating_sub(1),
            Act::Down => at + 1,
            Act::PageUp => at.saturating_sub(self.lines_of_page),
            Act::PageDown => at + self.lines_of_page,
            Act::First => 0,
            Act::Last => last,
            _ => at,
        };
        self.chosen = self.lines.get(to.min(last)).map(|line| line.code);
    }

    /// The next ward, and after the last all of them.
    fn turn_ward(&mut self, survey: &Survey) {
        let at = self.ward.and_then(|code| survey.wards.iter().position(|ward| ward.code == code));
        let next = at.map_or(0, |at| at + 1);
        self.ward = survey.wards.get(next).map(|ward| ward.code);
        self.chosen = None;
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

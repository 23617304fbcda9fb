//! Where every room is drawn: along its corridor where there is space, in rows where there is not, page by page.
//!
//! Worked out from the survey and the size of the screen alone, when either changed; keys and drawing both read it.

use super::sides::{self, Column};
use crate::tui::survey::{RoomLine, Survey};

/// The narrowest tile: the longest short word of a state after the column of the mark, and one to the next tile.
const NARROWEST: u16 = 9;
const WIDEST: u16 = 24;
/// Code and state; and with all that a tile can say.
const LOWEST: u16 = 2;
const HIGHEST: u16 = 6;
/// Longer codes than this are not cut to fit tiles; such hospitals get rows.
const LONGEST_CODE_IN_TILE: usize = 14;

#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(crate) enum Style {
    #[default]
    Corridor,
    Rows,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Plan {
    pub style: Style,
    pub pages: Vec<Vec<Block>>,
    pub tile_width: u16,
    pub tile_height: u16,
    /// Lines of the fullest page.
    pub used: u16,
    /// Where each room of the survey is: page, line and column of the tiles, for the arrow keys.
    seats: Vec<Seat>,
}

/// A stretch of one ward's corridor, or some of its rows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Block {
    pub ward: usize,
    /// The ward began further up.
    pub continued: bool,
    /// Its first line on the page.
    pub top: u16,
    /// Rooms on the one side, by their place in the survey; in rows, all of them.
    pub near: Vec<Option<usize>>,
    pub far: Vec<Option<usize>>,
}

impl Block {
    pub(super) fn has_two_sides(&self) -> bool {
        self.far.iter().any(Option::is_some)
    }

    fn end_of_rows(&self) -> u16 {
        let rows = u16::try_from(self.near.len()).unwrap_or(u16::MAX);
        self.top.saturating_add(1).saturating_add(rows)
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Seat {
    page: usize,
    line: u16,
    column: u16,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Way {
    Up,
    Down,
    Left,
    Right,
}

impl Plan {
    /// Lays the hospital out for a field of this size.
    pub(super) fn lay(survey: &Survey, width: u16, height: u16, wanted: Style) -> Self {
        let longest = survey.rooms.iter().map(|room| room.short.len()).max().unwrap_or(0);
        let narrowest = tile_for(survey);
        if wanted == Style::Rows || longest > LONGEST_CODE_IN_TILE || width < narrowest * 2 || height < 6 {
            return Self::rows(survey, height);
        }
        let wards: Vec<Vec<Column>> = (0..survey.wards.len()).map(|ward| sides::of(survey, ward)).collect();
        let most = wards.iter().map(Vec::len).max().unwrap_or(1).max(1);
        // The last tile of a line has none to keep away from.
        let whole = u16::try_from((usize::from(width) + 1) / most).unwrap_or(0);
        let tile_width = whole.clamp(narrowest, WIDEST.max(narrowest));
        let lay = |tile_height| Self::corridors(&wards, width, height, tile_width, tile_height);
        let low = lay(LOWEST);
        let high = (LOWEST + 1..=HIGHEST).rev().map(lay).find(|it| it.pages.len() <= low.pages.len());
        high.unwrap_or(low).seated(survey.rooms.len())
    }

    /// Lines that are taken on this page.
    pub(super) fn used_of(&self, page: usize) -> u16 {
        let end = |block: &Block| match self.style {
            Style::Rows => block.end_of_rows(),
            Style::Corridor if block.has_two_sides() => block.top.saturating_add(2 * self.tile_height + 1),
            Style::Corridor => block.top.saturating_add(self.tile_height + 1),
        };
        self.pages.get(page).into_iter().flatten().map(end).max().unwrap_or(0)
    }

    /// How many pages the hospital takes at the least.
    pub(super) fn least_pages(survey: &Survey, width: u16, height: u16, wanted: Style) -> usize {
        Self::lay(survey, width, height, wanted).pages.len()
    }

    fn corridors(wards: &[Vec<Column>], width: u16, height: u16, tile_width: u16, tile_height: u16) -> Self {
        let across = usize::from((width + 1) / tile_width.max(1)).max(1);
        let mut pages: Vec<Vec<Block>> = vec![vec![]];
        let (mut top, mut used) = (0, 0);
        for (ward, columns) in wards.iter().enumerate() {
            let blocks: Vec<Block> = columns
                .chunks(across)
                .enumerate()
                .map(|(part, stretch)| Block {
                    ward,
                    continued: part > 0,
                    top: 0,
                    near: stretch.iter().map(|(near, _)| *near).collect(),
                    far: stretch.iter().map(|(_, far)| *far).collect(),
                })
                .collect();
            let lines_of = |block: &Block| if block.has_two_sides() { 2 * tile_height + 1 } else { tile_height + 1 };
            // Between two stretches a line is left free.
            let whole = blocks.iter().map(|block| lines_of(block) + 1).fold(0, u16::saturating_add).saturating_sub(1);
            let mut fits_whole = whole <= height;
            for mut block in blocks {
                let lines = lines_of(&block);
                let wanted = if std::mem::take(&mut fits_whole) { whole } else { lines };
                if top > 0 && top + wanted > height {
                    pages.push(vec![]);
                    top = 0;
                }
                block.top = top;
                if let Some(page) = pages.last_mut() {
                    page.push(block);
                }
                used = used.max(top + lines);
                top += lines + 1;
            }
        }
        Self { style: Style::Corridor, pages, tile_width, tile_height, used, seats: vec![] }
    }

    fn rows(survey: &Survey, height: u16) -> Self {
        let mut pages: Vec<Vec<Block>> = vec![vec![]];
        let mut top = 0;
        for (ward, line) in survey.wards.iter().enumerate() {
            let mut continued = false;
            let mut rooms = line.rooms.clone().peekable();
            while rooms.peek().is_some() {
                // A heading with no room under it would be lost at the end of a page.
                if top + 2 > height && top > 0 {
                    pages.push(vec![]);
                    top = 0;
                }
                let fit = usize::from(height.saturating_sub(top + 1)).max(1);
                let near: Vec<Option<usize>> = rooms.by_ref().take(fit).map(Some).collect();
                let lines = u16::try_from(near.len()).unwrap_or(u16::MAX).saturating_add(1);
                if let Some(page) = pages.last_mut() {
                    page.push(Block { ward, continued, top, near, far: vec![] });
                }
                top = top.saturating_add(lines);
                continued = true;
            }
        }
        let used = pages.iter().filter_map(|page| page.last()).map(Block::end_of_rows).max().unwrap_or(0);
        let plan = Self { style: Style::Rows, pages, tile_width: 0, tile_height: 1, used, seats: vec![] };
        plan.seated(survey.rooms.len())
    }

    fn seated(mut self, rooms: usize) -> Self {
        let mut seats = vec![Seat::default(); rooms];
        for (page, blocks) in self.pages.iter().enumerate() {
            for block in blocks {
                let sides = match self.style {
                    Style::Corridor => [(&block.near, 0), (&block.far, 1 + self.tile_height)],
                    Style::Rows => [(&block.near, 1), (&block.far, 1)],
                };
                for (side, below) in sides {
                    for (at, room) in side.iter().enumerate() {
                        let at = u16::try_from(at).unwrap_or(u16::MAX);
                        let (line, column) = match self.style {
                            Style::Corridor => (block.top + below, at),
                            Style::Rows => (block.top.saturating_add(below).saturating_add(at), 0),
                        };
                        if let Some(seat) = room.and_then(|room| seats.get_mut(room)) {
                            *seat = Seat { page, line, column };
                        }
                    }
                }
            }
        }
        self.seats = seats;
        self
    }

    /// The page on which the room is.
    pub(super) fn page_of(&self, room: usize) -> usize {
        self.seats.get(room).map_or(0, |seat| seat.page)
    }

    /// The room next to this one on the screen. None: there is none that way.
    pub(super) fn beside(&self, room: usize, way: Way) -> Option<usize> {
        let from = *self.seats.get(room)?;
        let place = |seat: &Seat| (seat.page, seat.line);
        let candidates = self.seats.iter().enumerate();
        match way {
            Way::Left | Way::Right if self.style == Style::Rows => {
                let to = if way == Way::Left { room.checked_sub(1)? } else { room + 1 };
                (to < self.seats.len()).then_some(to)
            }
            Way::Left => candidates
                .filter(|(_, seat)| place(seat) == place(&from) && seat.column < from.column)
                .max_by_key(|(_, seat)| seat.column)
                .map(|(at, _)| at),
            Way::Right => candidates
                .filter(|(_, seat)| place(seat) == place(&from) && seat.column > from.column)
                .min_by_key(|(_, seat)| seat.column)
                .map(|(at, _)| at),
            Way::Up => {
                let line = self.seats.iter().map(place).filter(|it| *it < place(&from)).max()?;
                self.nearest(line, from.column)
            }
            Way::Down => {
                let line = self.seats.iter().map(place).filter(|it| *it > place(&from)).min()?;
                self.nearest(line, from.column)
            }
        }
    }

    fn nearest(&self, line: (usize, u16), column: u16) -> Option<usize> {
        let on_it = self.seats.iter().enumerate().filter(|(_, seat)| (seat.page, seat.line) == line);
        on_it.min_by_key(|(_, seat)| seat.column.abs_diff(column)).map(|(at, _)| at)
    }

    /// The first room of a page.
    pub(super) fn first_on(&self, page: usize) -> Option<usize> {
        let on_it = self.seats.iter().enumerate().filter(|(_, seat)| seat.page == page);
        on_it.min_by_key(|(_, seat)| (seat.line, seat.column)).map(|(at, _)| at)
    }
}

/// The narrowest tile that shows the longest code apart from the signs of its beds.
fn tile_for(survey: &Survey) -> u16 {
    let needed = |room: &RoomLine| room.short.len() + room.beds.len().min(4) + 4;
    let widest = survey.rooms.iter().map(needed).max().unwrap_or(0);
    u16::try_from(widest).unwrap_or(u16::MAX).max(NARROWEST)
}

//! Drawing the Board. Only what is on the page is looked at.

use ratatui::layout::Position;

use super::BoardScreen;
use super::plan::{Block, Style};
use crate::domain::board::State;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, fit, width};
use crate::tui::survey::{BedWord, RoomLine, Survey, state_part, state_short, state_sign};

impl BoardScreen {
    /// Draws between the top line and the keys. Answers where the chosen room is.
    pub(super) fn draw(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        counts(pen, survey);
        let chosen = self.chosen.and_then(|code| survey.position(code));
        let page = chosen.map_or(0, |at| self.plan.page_of(at));
        let lines = pen.height().saturating_sub(2);
        let mut cursor = None;
        {
            let mut body = pen.field(0, 1, pen.width(), lines);
            for block in self.plan.pages.get(page).into_iter().flatten() {
                let found = match self.plan.style {
                    Style::Corridor => self.corridor(&mut body, survey, block, chosen),
                    Style::Rows => rows(&mut body, survey, block, chosen),
                };
                cursor = cursor.or(found);
            }
        }
        let last = pen.height().saturating_sub(1);
        let pages = self.plan.pages.len();
        let mut end = pen.width();
        if pages > 1 {
            end = pen.put_right(last, &format!("page {} of {pages}, PgDn", page + 1), Part::Plain).saturating_sub(2);
        }
        if let Some(room) = chosen.and_then(|at| survey.rooms.get(at)) {
            about(&mut pen.field(0, last, end, 1), room);
        }
        cursor
    }

    fn corridor(&self, pen: &mut Pen<'_>, survey: &Survey, block: &Block, chosen: Option<usize>) -> Option<Position> {
        heading(pen, survey, block);
        let (tile_width, tile_height) = (self.plan.tile_width, self.plan.tile_height);
        let mut cursor = None;
        let sides = [(&block.near, block.top + 1), (&block.far, block.top + 2 + tile_height)];
        for (side, top) in sides {
            for (column, at) in side.iter().enumerate() {
                let Some((at, room)) = at.and_then(|at| Some((at, survey.rooms.get(at)?))) else { continue };
                let left = u16::try_from(column).unwrap_or(u16::MAX).saturating_mul(tile_width);
                let mut field = pen.field(left, top, tile_width.saturating_sub(1), tile_height);
                let here = tile(&mut field, room, chosen == Some(at));
                cursor = cursor.or(here);
            }
        }
        let columns = u16::try_from(block.near.len()).unwrap_or(u16::MAX);
        let length = columns.saturating_mul(tile_width).saturating_sub(1).min(pen.width());
        let middle = block.top + 1 + tile_height;
        if block.far.iter().any(Option::is_some) {
            pen.put(0, middle, &"─".repeat(usize::from(length)), Part::Plain);
        }
        cursor
    }
}

/// How many rooms are in each state, and how many beds are open. It is the legend of the signs as well.
fn counts(pen: &mut Pen<'_>, survey: &Survey) {
    let mut x = 0;
    let roomy = pen.width() >= 110;
    for (state, count) in State::ALL.into_iter().zip(survey.by_state) {
        let text = if roomy {
            format!(" {} {count} {} ", state_sign(state), state.word())
        } else {
            format!("{} {count} {}", state_sign(state), short_of_counts(state))
        };
        x = pen.put(x, 0, &text, state_part(state)) + 1;
    }
    let beds = format!("open beds {} of {}", survey.open, survey.beds);
    if x + width(&beds) <= pen.width() {
        pen.put_right(0, &beds, Part::Strong);
    }
}

fn short_of_counts(state: State) -> &'static str {
    match state {
        State::Monitoring => "monitor",
        State::TreatedWet => "wet",
        State::TreatedDry => "tr-dry",
        _ => state_short(state),
    }
}

fn heading(pen: &mut Pen<'_>, survey: &Survey, block: &Block) {
    let Some(ward) = survey.wards.get(block.ward) else { return };
    let more = if block.continued { ", further along" } else { "" };
    let x = pen.put(0, block.top, &format!("{} {}{more}", ward.code, ward.name), Part::Strong);
    pen.put(x, block.top, &format!("  open {} of {}", ward.open, ward.beds), Part::Plain);
}

/// One room along the corridor. Answers where it is, if it is the chosen one.
fn tile(pen: &mut Pen<'_>, room: &RoomLine, chosen: bool) -> Option<Position> {
    let signs: String = room.beds.iter().take(4).map(|bed| bed.sign()).collect();
    let columns = pen.width();
    let mark = if chosen { '>' } else { ' ' };
    let for_code = columns.saturating_sub(width(&signs) + u16::from(!signs.is_empty()));
    pen.put_in(0, 0, for_code, &format!("{mark}{}{}", state_sign(room.state), room.short), Part::Plain);
    pen.put_right(0, &signs, Part::Plain);
    if chosen {
        pen.mark_line(0, Part::Chosen);
    }
    let word = if columns >= 14 { room.state.word() } else { state_short(room.state) };
    let inside = columns.saturating_sub(2);
    pen.put(1, 1, &format!("{:^1$}", fit(word, inside), usize::from(inside)), state_part(room.state));
    if pen.height() > 2 {
        let third = match (room.overdue, &room.next) {
            (true, _) => "overdue".to_owned(),
            (_, Some(next)) => next.clone(),
            _ => {
                room.beds.iter().map(|bed| format!("{} {}", bed.short, bed.word().word())).collect::<Vec<_>>().join(" ")
            }
        };
        pen.put_in(1, 2, inside, &third, Part::Plain);
    }
    if chosen { pen.at(0, 0) } else { None }
}

fn rows(pen: &mut Pen<'_>, survey: &Survey, block: &Block, chosen: Option<usize>) -> Option<Position> {
    heading(pen, survey, block);
    let code_columns = survey.rooms.iter().map(|room| width(room.code.as_str())).max().unwrap_or(0).min(20);
    let mut cursor = None;
    for (line, at) in block.near.iter().enumerate() {
        let Some((at, room)) = at.and_then(|at| Some((at, survey.rooms.get(at)?))) else { continue };
        let y = block.top.saturating_add(1).saturating_add(u16::try_from(line).unwrap_or(u16::MAX));
        let mark = if chosen == Some(at) { '>' } else { ' ' };
        pen.put_in(0, y, 3 + code_columns, &format!("{mark}{} {}", state_sign(room.state), room.code), Part::Plain);
        if chosen == Some(at) {
            pen.mark(0, y, 3 + code_columns, Part::Chosen);
            cursor = pen.at(0, y);
        }
        pen.put(4 + code_columns, y, &format!(" {:<11} ", room.state.word()), state_part(room.state));
        let beds: Vec<String> = room.beds.iter().map(|bed| format!("{} {}", bed.short, bed.word().word())).collect();
        let beds = beds.join(", ");
        let x = 18 + code_columns;
        let for_beds = if pen.width() >= 110 { 36 } else { 20 };
        pen.put_in(x, y, for_beds, &beds, Part::Plain);
        if let Some(next) = &room.next {
            let x = x + for_beds + 1;
            pen.put_in(x, y, pen.width().saturating_sub(x), next, Part::Plain);
        }
    }
    cursor
}

/// The chosen room in a line.
fn about(pen: &mut Pen<'_>, room: &RoomLine) {
    let mut x = pen.put(0, 0, room.code.as_str(), Part::Strong) + 1;
    x = pen.chip(x, 0, room.state.headline(), state_part(room.state)) + 1;
    let beds = room.beds.iter().map(|bed| format!("{} {}", bed.short, bed.word().word()));
    let mut facts: Vec<String> = beds.collect();
    if let Some(next) = &room.next {
        facts.push(format!("next: {next}"));
    } else if room.beds.iter().all(|bed| bed.word() == BedWord::Open) && !room.name.is_empty() {
        facts.push(room.name.clone());
    }
    let rest = pen.width().saturating_sub(x);
    pen.put_in(x, 0, rest, &facts.join(", "), Part::Plain);
}

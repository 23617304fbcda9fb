//! Drawing the Bags: those that are out, those that were settled lately, and the chosen one's history.

use ratatui::layout::Position;

use super::history::LABEL;
use super::{BagsScreen, Kind, Line};
use crate::tui::look::Part;
use crate::tui::paint::{GOES_ON, Pen, first_seen, width, wrap};
use crate::tui::survey::{Survey, state_part, state_sign};
use crate::tui::tasks::short_gives;

/// Lines below the list.
pub(super) fn detail_lines(lines: u16) -> u16 {
    if lines >= 30 { 14 } else { 9 }
}

/// From this width on whole sentences have space.
const WIDE: u16 = 130;

/// One line of the list.
enum Row {
    Heading(String),
    Said(&'static str),
    Bag(usize),
}

/// Where the columns begin.
struct Columns {
    room: u16,
    sign: u16,
    age: u16,
    place: u16,
    gives: u16,
    is_wide: bool,
}

impl BagsScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let below = detail_lines(pen.height());
        let list_lines = pen.height().saturating_sub(below);
        let rows = self.rows();
        let chosen = self.cursor.key().map(|_| self.cursor.at());
        let at = rows.iter().position(|row| matches!(row, Row::Bag(bag) if Some(*bag) == chosen)).unwrap_or(0);
        let first = if at <= 1 { 0 } else { first_seen(at, rows.len(), usize::from(list_lines)) };
        let (columns, wide) = (self.columns(pen.width()), pen.width());
        let mut cursor = None;
        let mut list = pen.field(0, 0, wide, list_lines);
        for (y, row) in (0..list_lines).zip(rows.iter().skip(first)) {
            match row {
                Row::Heading(title) => list.rule(y, title),
                Row::Said(sentence) => {
                    list.put(1, y, sentence, Part::Plain);
                }
                Row::Bag(bag) => {
                    if let Some(line) = self.lines.get(*bag) {
                        let here = row_of(&mut list, survey, y, line, &columns, Some(*bag) == chosen);
                        cursor = cursor.or(here);
                    }
                }
            }
        }
        let hidden = rows.len().saturating_sub(first + usize::from(list_lines));
        self.detail(&mut pen.field(0, list_lines, wide, below), hidden);
        cursor
    }

    fn rows(&self) -> Vec<Row> {
        let out = self.lines.iter().filter(|line| line.is_out()).count();
        let overdue = self.lines.iter().filter(|line| matches!(&line.kind, Kind::Out(it) if it.overdue)).count();
        let ward = self.ward.shown();
        let mut rows = vec![Row::Heading(format!("{ward}Not laundered: {out}, oldest first, {overdue} overdue"))];
        if out == 0 {
            rows.push(Row::Said("No bag is out: every one that was filled is laundered, or ended otherwise."));
        }
        rows.extend((0..out).map(Row::Bag));
        rows.push(Row::Heading(format!("{ward}Settled in the last day and a half: {}", self.lines.len() - out)));
        if self.lines.len() == out {
            rows.push(Row::Said("None."));
        }
        rows.extend((out..self.lines.len()).map(Row::Bag));
        rows
    }

    fn columns(&self, width_of_screen: u16) -> Columns {
        let is_wide = width_of_screen >= WIDE;
        let longest = |text: fn(&Line) -> &str| self.lines.iter().map(|line| width(text(line))).max().unwrap_or(0);
        let most = if is_wide { 18 } else { 10 };
        let room = longest(|line| line.tag.as_str()).clamp(6, most) + 2;
        let sign = room + longest(|line| line.room.as_str()).clamp(5, most) + 1;
        let age = sign + if is_wide { 15 } else { 2 };
        let place = age + 19;
        let gives = width_of_screen.saturating_sub(if is_wide { 24 } else { 17 });
        Columns { room, sign, age, place, gives, is_wide }
    }

    fn detail(&self, pen: &mut Pen<'_>, hidden: usize) {
        if self.lines.is_empty() {
            return;
        }
        let lines = if hidden == 1 { "line" } else { "lines" };
        let more = if hidden > 0 { format!("  ({hidden} more {lines} below)") } else { String::new() };
        pen.rule(0, &format!("{}{more}", self.detail.title));
        let is_cut = self.detail.lines.len() >= usize::from(pen.height());
        let last = pen.height().saturating_sub(1);
        for (y, (label, text)) in (1..pen.height()).zip(&self.detail.lines) {
            pen.put(0, y, label, Part::Strong);
            if is_cut && y == last {
                let columns = pen.width().saturating_sub(LABEL + width(GOES_ON));
                let begins = wrap(text, columns).into_iter().next().unwrap_or_default();
                let x = pen.put(LABEL, y, &begins, Part::Plain);
                pen.put(x, y, GOES_ON, Part::Key);
            } else {
                pen.put(LABEL, y, text, Part::Plain);
            }
        }
    }
}

fn row_of(
    pen: &mut Pen<'_>,
    survey: &Survey,
    y: u16,
    line: &Line,
    columns: &Columns,
    chosen: bool,
) -> Option<Position> {
    let mark = if chosen { '>' } else { ' ' };
    pen.put_in(0, y, columns.room.saturating_sub(1), &format!("{mark}{}", line.tag), Part::Plain);
    if chosen {
        pen.mark(0, y, columns.room.saturating_sub(1), Part::Chosen);
    }
    pen.put_in(columns.room, y, columns.sign.saturating_sub(columns.room + 1), line.room.as_str(), Part::Plain);
    if let Some(room) = survey.room(line.room) {
        let sign = state_sign(room.state);
        let text = if columns.is_wide { format!("{sign} {:<11}", room.state.word()) } else { sign.to_string() };
        pen.put(columns.sign, y, &text, state_part(room.state));
    }
    let strong = matches!(&line.kind, Kind::Out(out) if out.overdue);
    let space = columns.place.saturating_sub(columns.age + 1);
    pen.put_in(columns.age, y, space, &line.age, if strong { Part::Strong } else { Part::Plain });
    let place = if columns.is_wide { &line.long } else { &line.short };
    pen.put_in(columns.place, y, columns.gives.saturating_sub(columns.place + 1), place, Part::Plain);
    if let Kind::Out(out) = &line.kind {
        let words = if columns.is_wide { out.gives.words() } else { short_gives(&out.gives) };
        let part = if out.gives.opens.is_empty() { Part::Plain } else { Part::Strong };
        pen.put_in(columns.gives, y, pen.width().saturating_sub(columns.gives), &words, part);
    }
    if chosen { pen.at(0, y) } else { None }
}

//! Drawing the Beds: the list, and under it why the chosen bed is as it is.

use ratatui::layout::Position;

use super::{BedsScreen, Section, reason};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen, width};
use crate::tui::survey::{BedLine, RoomLine, Survey, state_part, state_sign};

enum Row {
    Heading(Section, usize),
    Bed(usize),
}

impl BedsScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let chosen = self.cursor.key().map(|_| self.cursor.at());
        let detail_lines = if pen.height() >= 30 { 9 } else { 6 };
        let list_lines = pen.height().saturating_sub(detail_lines);
        let rows = self.rows();
        let at = rows.iter().position(|row| matches!(row, Row::Bed(bed) if Some(*bed) == chosen)).unwrap_or(0);
        let first = if at <= 1 { 0 } else { first_seen(at, rows.len(), usize::from(list_lines)) };
        let mut cursor = None;
        {
            let mut list = pen.field(0, 0, pen.width(), list_lines);
            for (y, row) in (0..list_lines).zip(rows.iter().skip(first)) {
                match row {
                    Row::Heading(section, count) => {
                        let ward = self.ward.shown();
                        list.rule(y, &format!("{ward}{}: {count}", section.title()));
                    }
                    Row::Bed(bed) => {
                        let here = self.bed_row(&mut list, survey, y, *bed, Some(*bed) == chosen);
                        cursor = cursor.or(here);
                    }
                }
            }
            if rows.is_empty() {
                list.put(0, 0, "No beds here.", Part::Plain);
            }
        }
        let below = rows.len().saturating_sub(first + usize::from(list_lines));
        let mut detail = pen.field(0, list_lines, pen.width(), detail_lines);
        if let Some((room, bed)) = chosen.and_then(|at| self.at(survey, at)) {
            why(&mut detail, room, bed, below);
        }
        cursor
    }

    fn rows(&self) -> Vec<Row> {
        let mut rows = vec![];
        let mut section = None;
        if self.lines.first().is_some_and(|line| line.section != Section::Open) {
            rows.push(Row::Heading(Section::Open, 0));
        }
        for (at, line) in self.lines.iter().enumerate() {
            if section != Some(line.section) {
                section = Some(line.section);
                let count = self.lines.iter().filter(|it| it.section == line.section).count();
                rows.push(Row::Heading(line.section, count));
            }
            rows.push(Row::Bed(at));
        }
        rows
    }

    fn at<'s>(&self, survey: &'s Survey, at: usize) -> Option<(&'s RoomLine, &'s BedLine)> {
        let line = self.lines.get(at)?;
        let room = survey.rooms.get(line.room)?;
        Some((room, room.beds.get(line.bed)?))
    }

    fn bed_row(&self, pen: &mut Pen<'_>, survey: &Survey, y: u16, at: usize, chosen: bool) -> Option<Position> {
        let (room, bed) = self.at(survey, at)?;
        let mark = if chosen { '>' } else { ' ' };
        let for_code = if pen.width() >= 110 { 22 } else { 14 };
        pen.put_in(0, y, for_code, &format!("{mark}{}", bed.code), Part::Plain);
        if chosen {
            pen.mark(0, y, for_code, Part::Chosen);
        }
        let word = bed.word();
        pen.put(for_code + 1, y, &format!(" {:<8} ", word.word()), word.part());
        pen.put(
            for_code + 12,
            y,
            &format!("{} {:<11}", state_sign(room.state), room.state.word()),
            state_part(room.state),
        );
        let x = for_code + 26;
        let text = match (word, bed.blockers.is_empty()) {
            (_, true) if room.name.is_empty() => reason(bed, room),
            (_, true) => [room.name.clone(), reason(bed, room)]
                .into_iter()
                .filter(|it| !it.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
            _ => reason(bed, room),
        };
        pen.put_in(x, y, pen.width().saturating_sub(x), &text, Part::Plain);
        if chosen { pen.at(0, y) } else { None }
    }
}

/// All that keeps the bed closed, each reason with its rule.
fn why(pen: &mut Pen<'_>, room: &RoomLine, bed: &BedLine, below: usize) {
    let more = if below > 0 { format!("  ({below} more lines below)") } else { String::new() };
    let question = if bed.blockers.is_empty() { "Why open" } else { "Why not open" };
    pen.rule(0, &format!("{question}: {}, room {}{more}", bed.code, room.code));
    if bed.blockers.is_empty() {
        pen.put(0, 1, "Nothing sprayed is undried, no bag is out, it is made, and known to be empty.", Part::Plain);
        pen.put(0, 2, "Space shows the room and the entries that prove it. Check cleaning.", Part::Plain);
        return;
    }
    let lines = pen.height().saturating_sub(2);
    let columns = pen.width();
    let shown =
        if bed.blockers.len() > usize::from(lines) { usize::from(lines).saturating_sub(1) } else { bed.blockers.len() };
    let mut y = 1;
    for blocker in bed.blockers.iter().take(shown) {
        let rule = format!("[{}]", blocker.rule);
        pen.put_in(0, y, columns.saturating_sub(width(&rule) + 1), &blocker.text, Part::Plain);
        pen.put_right(y, &rule, Part::Plain);
        y += 1;
    }
    if shown < bed.blockers.len() {
        pen.put(0, y, &format!("and {} more: Space shows the room", bed.blockers.len() - shown), Part::Plain);
        y += 1;
    }
    if let Some(next) = &room.next {
        let x = pen.put(0, y, "Next: ", Part::Strong);
        pen.put_in(x, y, columns.saturating_sub(x), next, Part::Plain);
    }
}

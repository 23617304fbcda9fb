//! Drawing the Room: the head, then one list that scrolls; on a wide screen the zones stand beside it.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::facts::Facts;
use super::zones::Stand;
use super::{RoomScreen, Stop};
use crate::domain::board::Occupancy;
use crate::domain::likely::NO_PERMISSION;
use crate::domain::shown::shown;
use crate::tui::look::{Look, Part};
use crate::tui::paint::{Pen, first_seen, width, wrap};
use crate::tui::survey::{BedLine, BedWord, RoomLine, Survey, state_part, state_sign};

/// The title, the state, the next step, and by when and by whom.
pub(super) const HEAD_LINES: u16 = 4;
/// From this width on the zones stand beside the list.
const WIDE: u16 = 120;

pub(super) fn is_wide(columns: u16) -> bool {
    columns >= WIDE
}

/// What stands beside the next step in its line: its heading, and the key that does it.
const BESIDE_NEXT: u16 = 13;

/// One line of the list.
pub(super) enum Row {
    Heading(String),
    Bed(usize),
    Need(usize),
    Due(usize),
    /// A group of zones, with the signs of its zones.
    Zones(usize, String),
    /// More of what stands above it.
    More(String),
    Words(String),
    /// A line of a sentence.
    Told(String),
    Event(usize),
}

impl Row {
    pub(super) fn stop(&self, facts: &Facts) -> Option<Stop> {
        match self {
            Self::Bed(at) => Some(Stop::Bed(*at)),
            Self::Need(at) => facts.needs.get(*at).map(|need| Stop::Need(need.rank, need.at)),
            Self::Due(at) => Some(Stop::Due(*at)),
            Self::Zones(at, _) => Some(Stop::Zones(*at)),
            Self::Event(at) => facts.events.get(*at)?.numbers.first().map(|number| Stop::Event(*number)),
            Self::Heading(_) | Self::More(_) | Self::Words(_) | Self::Told(_) => None,
        }
    }
}

/// Columns of the zones' table beside the list. None: it stands in the list.
fn beside(columns: u16) -> u16 {
    if is_wide(columns) { (columns * 2 / 5).max(50) } else { 0 }
}

/// Columns of the list.
fn list_columns(columns: u16) -> u16 {
    let beside = beside(columns);
    columns.saturating_sub(if beside > 0 { beside + 2 } else { 0 })
}

pub(super) fn rows(facts: &Facts, beds: usize, columns: u16) -> Vec<Row> {
    let told = |text: &str| wrap(text, list_columns(columns).saturating_sub(2)).into_iter().map(Row::Told);
    // A next step that its own line cuts off is read whole below it.
    let long = facts.next.as_ref().filter(|next| width(&next.text) + BESIDE_NEXT > columns);
    let mut rows: Vec<Row> = long.into_iter().flat_map(|next| told(&format!("In full: {}", next.text))).collect();
    rows.extend((0..beds).map(Row::Bed));
    let missing = facts.needs.iter().filter(|need| need.met_by.is_none()).count();
    rows.push(Row::Heading(match (facts.needs.len(), missing) {
        (0, _) if facts.is_closed => "The room asks for nothing; why a bed is closed stands in its line".to_owned(),
        (0, _) => "Nothing is missing for its beds".to_owned(),
        (all, 0) => format!("Asked for: all {all} met"),
        (all, missing) => format!("Asked for: {missing} of {all} missing"),
    }));
    rows.extend((0..facts.needs.len()).map(Row::Need));
    if !facts.likely.is_empty() {
        rows.push(Row::Heading(format!("Likely ({NO_PERMISSION})")));
        rows.extend(facts.likely.iter().flat_map(|text| told(&shown(text))));
    }
    if !facts.toward_clear.is_empty() {
        rows.push(Row::Heading("Toward clear".to_owned()));
        rows.extend(facts.toward_clear.iter().cloned().map(Row::Words));
    }
    if !facts.due.is_empty() {
        rows.push(Row::Heading("Due by the calendar".to_owned()));
        rows.extend((0..facts.due.len()).map(Row::Due));
    }
    let zones = || facts.zones.iter().flat_map(|group| &group.zones);
    if !is_wide(columns) && zones().any(|zone| zone.stand != Stand::Nothing) {
        rows.push(Row::Heading(format!("Zones: {}", legend(facts))));
        rows.extend(zone_rows(facts, columns));
    } else if !is_wide(columns) && zones().next().is_some() {
        rows.push(Row::Words(format!("{} zones, nothing owed to any of them", zones().count())));
    }
    rows.push(Row::Heading(format!("What happened, newest first: {} entries", facts.entries)));
    rows.extend(facts.exceptions.iter().cloned().map(Row::Words));
    rows.extend((0..facts.events.len()).map(Row::Event));
    rows
}

/// The signs that are used here, in words.
pub(super) fn legend(facts: &Facts) -> String {
    let used = |stand: &Stand| facts.zones.iter().flat_map(|group| &group.zones).any(|it| it.stand == *stand);
    let words = Stand::ALL.into_iter().filter(used).map(|stand| format!("{} {}", stand.sign(), stand.short()));
    words.collect::<Vec<_>>().join("  ")
}

/// A group in one line, or as many as it takes.
fn zone_rows(facts: &Facts, columns: u16) -> Vec<Row> {
    let name_columns = facts.zones.iter().map(|group| width(&group.name)).max().unwrap_or(0).min(16);
    let mut rows = vec![];
    for (at, group) in facts.zones.iter().enumerate() {
        let mut lines = vec![];
        let mut line = format!(" {:<1$}", group.name, usize::from(name_columns));
        for zone in &group.zones {
            let text = format!("  {} {}", zone.stand.sign(), zone.name);
            if width(&line) + width(&text) > columns {
                lines.push(std::mem::replace(&mut line, " ".repeat(usize::from(name_columns) + 1)));
            }
            line.push_str(&text);
        }
        lines.push(line);
        let mut lines = lines.into_iter();
        rows.extend(lines.next().map(|line| Row::Zones(at, line)));
        rows.extend(lines.map(Row::More));
    }
    rows
}

impl RoomScreen {
    pub fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let room = survey.room(self.code)?;
        self.head(pen, room);
        let mut cursor = self.next_lines(pen);
        let columns = pen.width();
        let height = pen.height().saturating_sub(HEAD_LINES);
        let (beside, left) = (beside(columns), list_columns(columns));
        // What does not fit is said in a line of its own, and hides nothing.
        let seen = height.saturating_sub(u16::from(self.rows.len() > usize::from(height)));
        let at = self.rows.iter().position(|row| row.stop(&self.facts).is_some_and(|stop| self.is_chosen(stop)));
        let at = at.unwrap_or(0);
        // The chosen line is read whole, in as many lines as it takes.
        let taken = self.rows.get(at).map_or(1, |row| self.lines_of(row, room, left));
        let height_for_rows = usize::from(seen).saturating_sub(taken - 1).max(1);
        // From the top on as long as the chosen line is seen there: the head and what is missing belong together.
        let first = if at < height_for_rows { 0 } else { first_seen(at, self.rows.len(), height_for_rows) };
        let mut list = pen.field(0, HEAD_LINES, left, seen);
        let (mut y, mut shown) = (0, 0);
        for row in self.rows.iter().skip(first) {
            if y >= seen {
                break;
            }
            let (here, lines) = self.row(&mut list, y, row, room);
            cursor = cursor.or(here);
            y = y.saturating_add(lines);
            shown += 1;
        }
        let mut list = pen.field(0, HEAD_LINES, left, height);
        if seen < height {
            let below = self.rows.len().saturating_sub(first + shown);
            let text = match (first, below) {
                (0, below) => format!("{below} more lines below: PgDn, End"),
                (above, 0) => format!("{above} more lines above: PgUp, Home"),
                (above, below) => format!("{below} more lines below: PgDn   {above} above: PgUp"),
            };
            list.put_right(seen, &text, Part::Key);
        }
        if beside > 0 {
            let here = self.zone_table(&mut pen.field(left + 2, HEAD_LINES, beside, height));
            cursor = cursor.or(here);
        }
        cursor
    }

    fn head(&self, pen: &mut Pen<'_>, room: &RoomLine) {
        pen.put_in(0, 0, pen.width(), &self.facts.title, Part::Strong);
        let state = format!("{} {}", state_sign(room.state), room.state.headline_of(room.closed));
        let x = pen.chip(0, 1, &state, state_part(room.state)) + 1;
        let inside = format!("inside: {}", self.facts.inside);
        let rest = pen.width().saturating_sub(x);
        let [long, short] = self.facts.since.each_ref().map(|since| format!("{inside}   {since}"));
        // Until when a patient stays is read whole; what happens then stands in the next step.
        let briefly =
            inside.split(", then ").next().unwrap_or_default().replace("the patient stays until", "patient until");
        let ways = [&long, &short, &inside, &briefly];
        let fitting = ways.into_iter().find(|text| width(text) <= rest).unwrap_or(&briefly);
        pen.put_in(x, 1, rest, fitting, Part::Plain);
    }

    /// The next step; below it by when, whose work, and whether whoever sits here may note it.
    fn next_lines(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let chosen = self.is_chosen(Stop::Next);
        let mark = if chosen { '>' } else { ' ' };
        let x = pen.put(0, 2, &format!("{mark}Next: "), Part::Strong);
        let (text, key) = match &self.facts.next {
            Some(next) => (next.text.as_str(), "Enter"),
            None => ("nothing is asked for now", "m moves"),
        };
        let end = if chosen { pen.put_right(2, key, Part::Key) } else { pen.width() };
        pen.put_in(x, 2, end.saturating_sub(x + 1), text, Part::Strong);
        if self.facts.next.is_none() {
            pen.put(x, 3, "m lists what can be noted of this room", Part::Plain);
        }
        if let Some(next) = &self.facts.next {
            let after = match next.due.as_str() {
                "" => x,
                due if next.overdue => pen.chip(x, 3, due, Part::Overdue) + 1,
                due => pen.put(x, 3, due, Part::Plain) + 2,
            };
            pen.put_in(after, 3, pen.width().saturating_sub(after), &next.who, Part::Plain);
        }
        if chosen {
            pen.mark(0, 2, x.saturating_sub(1), Part::Chosen);
            return pen.at(0, 2);
        }
        None
    }

    /// Lines that the row takes if it is chosen.
    fn lines_of(&self, row: &Row, room: &RoomLine, columns: u16) -> usize {
        let area = Rect::new(0, 0, columns, 1);
        let mut aside = Buffer::empty(area);
        let mut pen = Pen { buffer: &mut aside, area, look: Look::default() };
        usize::from(self.row(&mut pen, 0, row, room).1).max(1)
    }

    /// Draws the row, and answers where the cursor belongs and how many lines it took.
    fn row(&self, pen: &mut Pen<'_>, y: u16, row: &Row, room: &RoomLine) -> (Option<Position>, u16) {
        let mut lines = 1;
        let chosen = row.stop(&self.facts).is_some_and(|stop| self.is_chosen(stop));
        match row {
            Row::Heading(text) => pen.rule(y, text),
            Row::Words(text) => {
                pen.put_in(1, y, pen.width().saturating_sub(1), text, Part::Strong);
            }
            Row::Told(text) => {
                pen.put_in(1, y, pen.width().saturating_sub(1), text, Part::Plain);
            }
            Row::More(text) => {
                pen.put_in(0, y, pen.width(), text, Part::Plain);
            }
            Row::Zones(at, text) => {
                pen.put_in(0, y, pen.width(), text, Part::Plain);
                let name = self.facts.zones.get(*at).map(|group| group.name.as_str()).unwrap_or_default();
                put_mark(pen, y, name, Part::Plain, chosen);
            }
            Row::Bed(at) => {
                if let Some(bed) = room.beds.get(*at) {
                    lines = self.bed_line(pen, y, bed, *at, chosen);
                }
            }
            Row::Need(at) => lines = self.need_line(pen, y, *at, chosen),
            Row::Due(at) => {
                if let Some(due) = self.facts.due.get(*at) {
                    let x = put_mark(pen, y, &due.text, Part::Plain, chosen) + 2;
                    lines = put_whole(pen, x, y, pen.width(), &due.when, chosen);
                }
            }
            Row::Event(at) => lines = self.event_line(pen, y, *at, chosen),
        }
        (if chosen { pen.at(0, y) } else { None }, lines)
    }

    fn need_line(&self, pen: &mut Pen<'_>, y: u16, at: usize, chosen: bool) -> u16 {
        let Some(need) = self.facts.needs.get(at) else { return 1 };
        let met = need.met_by.is_some();
        let (sign, part) = if met { ("met    ", Part::Plain) } else { ("missing", Part::Strong) };
        let x = put_mark(pen, y, sign, part, chosen);
        let mut x = pen.put(x + 1, y, &need.text, part);
        let colon = if met || need.detail.is_empty() { "" } else { ":" };
        x = pen.put(x, y, colon, Part::Plain) + if met { 2 } else { 1 };
        let mut end = pen.width();
        if pen.width() >= ROOMY && !need.asked_by.is_empty() {
            end = pen.put_right(y, &need.asked_by, Part::Plain).saturating_sub(1);
        }
        put_whole(pen, x, y, end, &need.detail, chosen)
    }

    fn event_line(&self, pen: &mut Pen<'_>, y: u16, at: usize, chosen: bool) -> u16 {
        let Some(event) = self.facts.events.get(at) else { return 1 };
        let roomy = pen.width() >= ROOMY;
        let number = event.numbers.first().map(|number| number.to_string()).unwrap_or_default();
        let x = put_mark(pen, y, &format!("{number:>5}"), Part::Plain, chosen) + 1;
        let (when, wide) = if roomy { (&event.when, 29) } else { (&event.when_short, 22) };
        pen.put_in(x, y, wide, when, Part::Plain);
        let mut x = x + wide + 1;
        if roomy {
            pen.put_in(x, y, 5, &event.by, Part::Plain);
            x += 6;
        }
        pen.put_in(x, y, 6, event.kind, Part::Plain);
        x += 7;
        x = pen.put(x, y, &event.remark, Part::Strong);
        put_whole(pen, x, y, pen.width(), &event.text, chosen)
    }

    fn bed_line(&self, pen: &mut Pen<'_>, y: u16, bed: &BedLine, at: usize, chosen: bool) -> u16 {
        let x = put_mark(pen, y, &format!("bed {:<4}", bed.short), Part::Plain, chosen);
        let word = bed.word();
        let x = pen.put(x + 1, y, &format!(" {:<8} ", word.word()), word.part()) + 1;
        let rule = bed.blockers.first().map(|blocker| format!("[{}]", blocker.rule)).unwrap_or_default();
        // A closed bed hides nobody: whoever moves the patient out has to know which one it is.
        let lies = match (word, bed.occupancy) {
            (BedWord::Closed, Occupancy::Occupied) => "PATIENT IN IT; ",
            _ => "",
        };
        let why = self.facts.beds.get(at).map(String::as_str).unwrap_or_default();
        let x = pen.put(x, y, lies, Part::Strong);
        pen.put_right(y, &rule, Part::Plain);
        put_whole(pen, x, y, pen.width().saturating_sub(width(&rule) + 1), why, chosen)
    }
}

/// The text from this column to that; of a chosen line all of it, in lines below each other. Answers how many.
fn put_whole(pen: &mut Pen<'_>, x: u16, y: u16, end: u16, text: &str, chosen: bool) -> u16 {
    let columns = end.saturating_sub(x);
    if !chosen || width(text) <= columns {
        pen.put_in(x, y, columns, text, Part::Plain);
        return 1;
    }
    let pieces = wrap(text, columns);
    let (first, rest) =
        pieces.split_first().map_or(("", String::new()), |(first, rest)| (first.as_str(), rest.join(" ")));
    pen.put(x, y, first, Part::Plain);
    let mut line = 1;
    for piece in wrap(&rest, end.saturating_sub(INDENT)) {
        pen.put(INDENT, y.saturating_add(line), &piece, Part::Plain);
        line += 1;
    }
    line
}

/// Where a text goes on below its line.
const INDENT: u16 = 9;

/// From this width of the list on each line says all that it knows.
const ROOMY: u16 = 90;

/// The mark and the first word of a line that can be chosen. Answers the column after it.
pub(super) fn put_mark(pen: &mut Pen<'_>, y: u16, word: &str, part: Part, chosen: bool) -> u16 {
    let mark = if chosen { '>' } else { ' ' };
    let x = pen.put(0, y, &format!("{mark}{word}"), part);
    if chosen {
        pen.mark(0, y, x, Part::Chosen);
    }
    x
}

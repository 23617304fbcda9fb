//! Drawing the Room: the head, then one list that scrolls; on a wide screen the zones stand beside it.

use ratatui::layout::Position;

use super::RoomScreen;
use super::facts::Next;
use super::zones::Stand;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen, width};
use crate::tui::survey::{BedLine, RoomLine, Survey, state_part, state_sign};

/// The title, the state, the next step.
pub(super) const HEAD_LINES: u16 = 3;
/// From this width on the zones stand beside the list.
const WIDE: u16 = 120;
const ZONE_COLUMNS: u16 = 50;

/// One line of the list. Those with a number can be chosen.
enum Row {
    Heading(String),
    Bed(usize),
    Need(usize),
    Zones(String),
    Words(String),
    Event(usize),
}

impl RoomScreen {
    pub fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let room = survey.room(self.code)?;
        self.head(pen, room);
        let mut cursor = self.next_line(pen);
        let columns = pen.width();
        let height = pen.height().saturating_sub(HEAD_LINES);
        let left = if columns >= WIDE { columns - ZONE_COLUMNS - 2 } else { columns };
        let rows = self.rows(columns);
        let at = rows.iter().position(|row| self.is_chosen(row)).unwrap_or(0);
        // From the top on as long as the chosen line is seen there: the head and what is missing belong together.
        let first = if at + 1 < usize::from(height) { 0 } else { first_seen(at, rows.len(), usize::from(height)) };
        let mut list = pen.field(0, HEAD_LINES, left, height);
        for (y, row) in (0..height).zip(rows.iter().skip(first)) {
            let here = self.row(&mut list, y, row, room);
            cursor = cursor.or(here);
        }
        let below = rows.len().saturating_sub(first + usize::from(height));
        if below > 0 {
            let text = format!(" {below} more lines, PgDn ");
            pen.field(0, HEAD_LINES, left, height).put_right(height.saturating_sub(1), &text, Part::Key);
        }
        if columns > left {
            self.zone_table(&mut pen.field(left + 2, HEAD_LINES, columns - left - 2, height));
        }
        cursor
    }

    fn head(&self, pen: &mut Pen<'_>, room: &RoomLine) {
        pen.put_in(0, 0, pen.width(), &self.facts.title, Part::Strong);
        let state = format!("{} {}", state_sign(room.state), room.state.headline());
        let x = pen.chip(0, 1, &state, state_part(room.state)) + 1;
        let inside = format!("inside: {}", room.state.who_may_enter());
        let rest = pen.width().saturating_sub(x);
        let [long, short] = self.facts.since.each_ref().map(|since| format!("{inside}   {since}"));
        let fitting = [&long, &short].into_iter().find(|text| width(text) <= rest).unwrap_or(&inside);
        pen.put_in(x, 1, rest, fitting, Part::Plain);
    }

    fn next_line(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let chosen = self.chosen == 0;
        let mark = if chosen { '>' } else { ' ' };
        let (text, right) = match &self.facts.next {
            Some(Next { text, who, .. }) if chosen => {
                (text.as_str(), format!("{who}{}Enter", if who.is_empty() { "" } else { "  " }))
            }
            Some(Next { text, who, .. }) => (text.as_str(), who.clone()),
            None => ("nothing is asked for now", if chosen { "m moves".to_owned() } else { String::new() }),
        };
        let x = pen.put(0, 2, &format!("{mark}Next: "), Part::Strong);
        let end = pen.put_right(2, &right, Part::Key);
        pen.put_in(x, 2, end.saturating_sub(x + 1), text, Part::Strong);
        if chosen {
            pen.mark(0, 2, x.saturating_sub(1), Part::Chosen);
            return pen.at(0, 2);
        }
        None
    }

    fn is_chosen(&self, row: &Row) -> bool {
        let Some(at) = self.chosen.checked_sub(1) else { return false };
        let needs = self.beds;
        let events = needs + self.facts.needs.len();
        match row {
            Row::Bed(bed) => at == *bed,
            Row::Need(need) => at == needs + need,
            Row::Event(event) => at == events + event,
            Row::Heading(_) | Row::Zones(_) | Row::Words(_) => false,
        }
    }

    fn rows(&self, columns: u16) -> Vec<Row> {
        let facts = &self.facts;
        let mut rows: Vec<Row> = (0..self.beds).map(Row::Bed).collect();
        let missing = facts.needs.iter().filter(|need| !need.met).count();
        rows.push(Row::Heading(match (facts.needs.len(), missing) {
            (0, _) => "Nothing is asked of this room".to_owned(),
            (all, 0) => format!("Asked for: all {all} met"),
            (all, missing) => format!("Asked for: {missing} of {all} missing"),
        }));
        rows.extend((0..facts.needs.len()).map(Row::Need));
        if !facts.toward_clear.is_empty() {
            rows.push(Row::Heading("Toward clear".to_owned()));
            rows.extend(facts.toward_clear.iter().cloned().map(Row::Words));
        }
        if columns < WIDE && self.has_open_zones() {
            rows.push(Row::Heading(format!("Zones: {}", self.legend())));
            rows.extend(self.zone_rows(columns));
        }
        rows.push(Row::Heading(format!("What happened, newest first: {} entries", facts.entries)));
        rows.extend(facts.exceptions.iter().cloned().map(Row::Words));
        rows.extend((0..facts.events.len()).map(Row::Event));
        if columns < WIDE && !self.has_open_zones() && !facts.zones.is_empty() {
            // Before what happened long ago, and after what is asked now: nothing waits for a zone.
            let before = rows.iter().position(|row| matches!(row, Row::Event(_))).unwrap_or(rows.len());
            let count: usize = facts.zones.iter().map(|group| group.zones.len()).sum();
            rows.insert(before.saturating_sub(1), Row::Words(format!("{count} zones, nothing owed to any of them")));
        }
        rows
    }

    fn has_open_zones(&self) -> bool {
        self.facts.zones.iter().flat_map(|group| &group.zones).any(|zone| zone.stand != Stand::Nothing)
    }

    /// The signs that are used here, in words.
    fn legend(&self) -> String {
        let used = |stand: &Stand| self.facts.zones.iter().flat_map(|group| &group.zones).any(|it| it.stand == *stand);
        let words = Stand::ALL.into_iter().filter(used).map(|stand| format!("{} {}", stand.sign(), stand.short()));
        words.collect::<Vec<_>>().join("  ")
    }

    /// A group in one line, or as many as it takes.
    fn zone_rows(&self, columns: u16) -> Vec<Row> {
        let name_columns = self.facts.zones.iter().map(|group| width(&group.name)).max().unwrap_or(0).min(16);
        let mut rows = vec![];
        for group in &self.facts.zones {
            let mut line = format!(" {:<1$}", group.name, usize::from(name_columns));
            for zone in &group.zones {
                let text = format!("  {} {}", zone.stand.sign(), zone.name);
                if width(&line) + width(&text) > columns {
                    rows.push(Row::Zones(std::mem::replace(&mut line, " ".repeat(usize::from(name_columns) + 1))));
                }
                line.push_str(&text);
            }
            rows.push(Row::Zones(line));
        }
        rows
    }

    fn row(&self, pen: &mut Pen<'_>, y: u16, row: &Row, room: &RoomLine) -> Option<Position> {
        let chosen = self.is_chosen(row);
        match row {
            Row::Heading(text) => {
                pen.rule(y, text);
                return None;
            }
            Row::Words(text) => {
                pen.put_in(1, y, pen.width().saturating_sub(1), text, Part::Strong);
                return None;
            }
            Row::Zones(text) => {
                pen.put_in(0, y, pen.width(), text, Part::Plain);
                return None;
            }
            Row::Bed(at) => bed_line(pen, y, room.beds.get(*at)?, chosen),
            Row::Need(at) => self.need_line(pen, y, *at, chosen),
            Row::Event(at) => self.event_line(pen, y, *at, chosen),
        }
        if chosen { pen.at(0, y) } else { None }
    }

    fn need_line(&self, pen: &mut Pen<'_>, y: u16, at: usize, chosen: bool) {
        let Some(need) = self.facts.needs.get(at) else { return };
        let (sign, part) = if need.met { ("met    ", Part::Plain) } else { ("missing", Part::Strong) };
        let x = put_mark(pen, y, sign, part, chosen);
        let x = pen.put(x + 1, y, &need.text, part);
        let detail =
            if need.met || need.detail.is_empty() { need.detail.clone() } else { format!(": {}", need.detail) };
        let gap = if need.met { 2 } else { 0 };
        pen.put_in(x + gap, y, pen.width().saturating_sub(x + gap), &detail, Part::Plain);
    }

    fn event_line(&self, pen: &mut Pen<'_>, y: u16, at: usize, chosen: bool) {
        let Some(event) = self.facts.events.get(at) else { return };
        let roomy = pen.width() >= 100;
        let number = event.numbers.first().map(|number| number.to_string()).unwrap_or_default();
        let x = put_mark(pen, y, &format!("{number:>5}"), Part::Plain, chosen);
        let (when, wide) = if roomy { (&event.when, 31) } else { (&event.when_short, 22) };
        pen.put_in(x + 1, y, wide, when, Part::Plain);
        let mut x = x + 2 + wide;
        if roomy {
            pen.put_in(x, y, 8, &event.by, Part::Plain);
            x += 9;
        }
        if let Some(void) = event.voided {
            x = pen.put(x, y, &format!("voided by {void}: "), Part::Strong);
        }
        pen.put_in(x, y, pen.width().saturating_sub(x), &event.text, Part::Plain);
    }

    /// One zone a line, on a wide screen.
    fn zone_table(&self, pen: &mut Pen<'_>) {
        pen.rule(0, "Zones, as one walks");
        let mut y = 1;
        let all: usize = self.facts.zones.iter().map(|group| group.zones.len() + 1).sum();
        if all == 0 {
            pen.put(0, 1, "No zones are set for this kind of room.", Part::Plain);
        }
        for group in &self.facts.zones {
            pen.put(0, y, &group.name, Part::Strong);
            y += 1;
            for zone in &group.zones {
                if y >= pen.height() {
                    let last = pen.height().saturating_sub(1);
                    pen.put_right(last, " more zones: a higher screen ", Part::Key);
                    return;
                }
                let part = if zone.stand.is_open() { Part::Strong } else { Part::Plain };
                pen.put(1, y, &format!("{} ", zone.stand.sign()), part);
                pen.put_in(3, y, 18, &zone.name, part);
                let mut words = zone.stand.word().to_owned();
                if let Some(by) = zone.by {
                    words.push_str(&format!(", entry {by}"));
                }
                if zone.otherwise && zone.stand == Stand::Owed {
                    words.push_str(", never sprayed");
                }
                pen.put_in(22, y, pen.width().saturating_sub(22), &words, part);
                y += 1;
            }
        }
    }
}

/// The mark and the first word of a line that can be chosen. Answers the column after it.
fn put_mark(pen: &mut Pen<'_>, y: u16, word: &str, part: Part, chosen: bool) -> u16 {
    let mark = if chosen { '>' } else { ' ' };
    let x = pen.put(0, y, &format!("{mark}{word}"), part);
    if chosen {
        pen.mark(0, y, x, Part::Chosen);
    }
    x
}

fn bed_line(pen: &mut Pen<'_>, y: u16, bed: &BedLine, chosen: bool) {
    let x = put_mark(pen, y, &format!("bed {:<4}", bed.short), Part::Plain, chosen);
    let word = bed.word();
    let x = pen.put(x + 1, y, &format!(" {:<8} ", word.word()), word.part()) + 1;
    let rule = bed.blockers.first().map(|blocker| format!("[{}]", blocker.rule)).unwrap_or_default();
    let why = match bed.blockers.as_slice() {
        [] => {
            let features = bed.features.join(", ");
            let gap = if features.is_empty() { "" } else { "; " };
            format!("everything asked for is met, known to be empty{gap}{features}")
        }
        [only] => only.text.clone(),
        [first, rest @ ..] => format!("{}, and {} more", first.text, rest.len()),
    };
    let columns = pen.width().saturating_sub(x + width(&rule) + 1);
    pen.put_in(x, y, columns, &why, Part::Plain);
    pen.put_right(y, &rule, Part::Plain);
}

//! Drawing the Beds: open ones, the rest, and under them why the chosen bed is as it is.

use ratatui::layout::Position;

use super::BedsScreen;
use super::list::{List, Row, Section, at, cell, first_things, promise_stands, ward_label};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen, width, wrap};
use crate::tui::survey::{
    BedWord, PromiseLine, Stands, Survey, mark_legend, open_words, short_mark_legend, state_part, state_sign,
};

/// Lines of what is said of the chosen bed, its title among them.
const LEAST_WHY: u16 = 6;
const MOST_WHY: u16 = 14;

/// How many lines each part of the screen has.
#[derive(Default)]
pub(super) struct Fields {
    /// The heading, and the wards that were not confirmed.
    pub top: u16,
    pub open: u16,
    pub below: u16,
    pub why: u16,
}

impl Fields {
    pub(super) fn of(list: &List, height: u16, has_unconfirmed: bool) -> Self {
        let count = |rows: usize| u16::try_from(rows).unwrap_or(u16::MAX);
        let top = 1 + u16::from(has_unconfirmed);
        let (wanted_open, wanted_below) = (count(list.open.len()).max(1), count(list.below.len()));
        let lists = height.saturating_sub(top + LEAST_WHY.min(height / 3));
        // Neither list pushes the other off the screen.
        let open = wanted_open.min((lists / 2).max(lists.saturating_sub(wanted_below)));
        let below = wanted_below.min(lists.saturating_sub(open));
        let why = height.saturating_sub(top + open + below).min(MOST_WHY);
        let below = height.saturating_sub(top + open + why);
        Self { top, open, below, why }
    }
}

impl BedsScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let (columns, list) = (pen.width(), &self.list);
        let chosen = self.cursor.key().map(|_| self.cursor.at());
        let ward = self.filter.shown();
        let more = rows_below(&list.open, chosen, self.fields.open);
        let open = open_words(list.open_beds, list.open_promised, list.beds, "");
        let titles = [format!("{ward}Open now: {open}{more}"), format!("{ward}Open: {open}"), format!("{ward}Open")];
        let cleaning = "as far as bed bugs are concerned; check cleaning";
        let legends = [mark_legend(&list.marks, ", "), short_mark_legend(&list.marks)];
        let abouts = match list.marks.is_empty() {
            true => vec![format!(" {cleaning} "), String::new()],
            // The signs are always explained, if need be in place of what else the line says.
            false => [format!("{}; {cleaning}", legends[0]), legends[0].clone(), legends[1].clone()]
                .map(|legend| format!(" {legend} "))
                .to_vec(),
        };
        let ways = titles.iter().flat_map(|title| abouts.iter().map(move |about| (title, about)));
        let fits = |(title, about): &(&String, &String)| width(title) + width(about) + 4 <= columns;
        let (title, about) = ways.clone().find(fits).or(ways.last()).unwrap_or((&titles[0], &abouts[0]));
        pen.rule(0, title);
        pen.put_right(0, about, Part::Plain);
        if self.fields.top > 1 {
            let x = pen.put(0, 1, "Beds not confirmed: ", Part::Strong);
            let space = columns.saturating_sub(x);
            let text = self.unconfirmed.iter().find(|text| width(text) <= space).or(self.unconfirmed.last());
            pen.put_in(x, 1, space, text.map_or("", String::as_str), Part::Plain);
        }
        let mut cursor = None;
        let (top, open, below) = (self.fields.top, self.fields.open, self.fields.below);
        if list.open.is_empty() {
            let text = match (list.beds, list.open_promised) {
                (0, _) => "No beds here.",
                (_, 0) => "No bed is open.",
                _ => "No bed is open but what is promised, below.",
            };
            pen.put(1, top, text, Part::Plain);
        }
        for (y, row) in (top..top + open).zip(list.open.iter().skip(first_row(&list.open, chosen, open))) {
            if let Row::Kept(ward) = row
                && let Some(ward) = survey.wards.get(*ward)
            {
                let text = format!("{}, below", ward_label(survey, ward.code));
                pen.put_in(1, y, columns.saturating_sub(1), &text, Part::Strong);
            }
            let here = self.open_row(pen, survey, y, row, chosen);
            cursor = cursor.or(here);
        }
        let (mut first, mut top, mut below) = (first_row(&list.below, chosen, below), top + open, below);
        let end = top + below;
        if first > 0 && below > 1 {
            // What is scrolled away is said in a line of its own: nothing stands under the open beds as if it were one.
            below -= 1;
            first = first_row(&list.below, chosen, below);
            pen.rule(top, &rows_above(&list.below, first));
            top += 1;
        }
        for (y, row) in (top..top + below).zip(list.below.iter().skip(first)) {
            let here = self.row(pen, survey, y, row, chosen);
            cursor = cursor.or(here);
        }
        let hidden = list.below.len().saturating_sub(first + usize::from(below));
        self.why(&mut pen.field(0, end, columns, self.fields.why), hidden);
        cursor
    }

    fn open_row(
        &self,
        pen: &mut Pen<'_>,
        survey: &Survey,
        y: u16,
        row: &Row,
        chosen: Option<usize>,
    ) -> Option<Position> {
        let Row::Open { ward, first, lines } = row else { return None };
        if let Some(ward) = survey.wards.get(*ward).filter(|_| *first) {
            pen.put_in(1, y, self.list.ward_columns.saturating_sub(2), &ward_label(survey, ward.code), Part::Strong);
        }
        let mut cursor = None;
        for (column, line) in (0..).zip(lines.clone()) {
            let bed = self.list.lines.get(line).and_then(|line| line.bed);
            let Some((room, bed)) = bed.and_then(|(room, bed)| at(survey, room, bed)) else { continue };
            let x = self.list.ward_columns + column * self.list.cell_columns;
            let mark = if chosen == Some(line) { '>' } else { ' ' };
            let text = format!("{mark}{}", cell(room, bed));
            let code = 2 + width(&bed.label);
            let columns = self.list.cell_columns.saturating_sub(1);
            let end = pen.put_in(x, y, columns, &text, Part::Plain);
            pen.mark(x + 1, y, (code - 1).min(columns.saturating_sub(1)), BedWord::Open.part());
            if chosen == Some(line) {
                pen.mark(x, y, end - x, Part::Chosen);
                cursor = pen.at(x, y);
            }
        }
        cursor
    }

    fn row(&self, pen: &mut Pen<'_>, survey: &Survey, y: u16, row: &Row, chosen: Option<usize>) -> Option<Position> {
        let columns = pen.width();
        let line = match row {
            Row::Heading(section, count) => {
                pen.rule(y, &format!("{}: {count}", section.title()));
                return None;
            }
            Row::Fold(line, _) | Row::Line(line) => *line,
            Row::Open { .. } | Row::Kept(_) => return None,
        };
        let here = chosen == Some(line);
        let mark = if here { '>' } else { ' ' };
        let line = self.list.lines.get(line)?;
        let for_code = self.list.code_columns;
        let (text, Some((room, bed))) = (mark.to_string(), line.bed.and_then(|(room, bed)| at(survey, room, bed)))
        else {
            let ward = survey.wards.get(line.ward)?;
            let count = if let Row::Fold(_, count) = row { *count } else { 0 };
            let verb = if self.unfolded.contains(&ward.code) { "Enter hides them" } else { "Enter lists them" };
            let text = format!("{mark}{} {}: {count} with a patient", ward.code, ward.name);
            let end = pen.put_in(0, y, columns.saturating_sub(18), &text, Part::Plain);
            if here {
                pen.mark(0, y, end, Part::Chosen);
                pen.put(end + 2, y, verb, Part::Key);
            }
            return if here { pen.at(0, y) } else { None };
        };
        let end = pen.put_in(0, y, for_code, &format!("{text}{}", bed.code), Part::Plain);
        if here {
            pen.mark(0, y, end, Part::Chosen);
        }
        pen.put(
            for_code + 1,
            y,
            &format!("{} {:<11}", state_sign(room.state), room.state.word()),
            state_part(room.state),
        );
        let x = for_code + 15;
        let for_text = columns.saturating_sub(x);
        let ways = match (bed.word(), &bed.promised) {
            (_, Some(promise)) => promise_stands(room, bed, promise),
            (BedWord::Occupied, _) => vec![bed.features.join(", ")],
            _ => first_things(room, bed),
        };
        let is_late = |promise: &PromiseLine| {
            matches!(promise.stands, Stands::Late(_) | Stands::InTime { late_when_due: true, .. })
        };
        let part = if bed.promised.as_ref().is_some_and(is_late) { Part::Strong } else { Part::Plain };
        if let Some(text) = ways.iter().find(|text| width(text) <= for_text).or(ways.last()) {
            pen.put_in(x, y, for_text, text, part);
        }
        if here { pen.at(0, y) } else { None }
    }

    fn why(&self, pen: &mut Pen<'_>, hidden: usize) {
        if self.title.is_empty() {
            return;
        }
        pen.rule(0, &self.title);
        let more = format!(" list: {hidden} more below ");
        if hidden > 0 && width(&self.title) + width(&more) + 3 < pen.width() {
            pen.put_right(0, &more, Part::Plain);
        }
        let lines: Vec<String> = self.why.iter().flat_map(|text| wrap(text, pen.width().saturating_sub(1))).collect();
        let room = usize::from(pen.height().saturating_sub(1));
        let whole = lines.len() <= room;
        let shown = if whole { lines.len() } else { room.saturating_sub(1) };
        for (y, text) in (1..).zip(lines.iter().take(shown)) {
            pen.put(0, y, text, Part::Plain);
        }
        if !whole {
            pen.put_in(0, pen.height().saturating_sub(1), pen.width(), "and more: Space shows the room", Part::Key);
        }
    }
}

impl Section {
    fn short(self) -> &'static str {
        match self {
            Self::Open => "Open now",
            Self::Promised => "Promised",
            Self::Next => "Not open",
            Self::Staying => "With a patient, and the room closed for more",
            Self::Patients => "Other beds with a patient",
        }
    }

    fn title(self) -> &'static str {
        match self {
            Self::Open => "Open now",
            Self::Promised => "Promised, and whether it can be kept (a plan, no permission)",
            Self::Next => "Not open, with the earliest time (a plan, no permission)",
            Self::Staying => "With a patient, and the room closed for more",
            Self::Patients => "Other beds with a patient",
        }
    }
}

/// The first row to draw in so many lines, so that the chosen one is seen, with the heading over it.
fn first_row(rows: &[Row], chosen: Option<usize>, height: u16) -> usize {
    let holds = |row: &Row| row.lines().is_some_and(|lines| chosen.is_some_and(|at| lines.contains(&at)));
    match rows.iter().position(holds) {
        None | Some(0 | 1) => 0,
        Some(at) => first_seen(at, rows.len(), usize::from(height)),
    }
}

/// How many lines are above, and under which heading the first one that is seen stands.
fn rows_above(rows: &[Row], first: usize) -> String {
    let heading = |row: &Row| if let Row::Heading(section, _) = row { Some(section.short()) } else { None };
    let above = rows.iter().take(first).filter_map(Row::lines).count();
    match rows.get(first).and_then(heading) {
        Some(_) => format!("{above} more above"),
        None => {
            let section = rows.iter().take(first).rev().find_map(heading).unwrap_or_default();
            format!("{section}, going on: {above} more above")
        }
    }
}

fn rows_below(rows: &[Row], chosen: Option<usize>, height: u16) -> String {
    let seen = first_row(rows, chosen, height) + usize::from(height);
    let beds = rows.iter().skip(seen).filter_map(Row::lines).map(|lines| lines.len()).sum::<usize>();
    if beds > 0 { format!(", {beds} of them further down") } else { String::new() }
}

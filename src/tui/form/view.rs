//! Drawing a form: its questions in a list that follows the keys, and under it help for the one that has them.

use ratatui::layout::Position;
use unicode_width::UnicodeWidthStr;

use super::checklist::{Checklist, Mark, Row};
use super::end::STILL_OPEN;
use super::question::{Answer, Placed, Question};
use super::shows::ShownLine;
use super::{Form, Spot};
use crate::trace::{Mark as TraceMark, Plot, Signs};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen, width, wrap};

/// Columns of a text field where there is more space: a line of twice that is hard to read.
const LONGEST_FIELD: u16 = 72;

/// Columns of the chip before what is wrong.
const WRONG: u16 = 8;

/// Columns of the word before what a signature or a load rests on.
const SIGNED: u16 = 11;

/// One line of the form on screen.
enum Line<'f> {
    Heading(String),
    Field(usize, &'f Question),
    Item(usize, usize, &'f Checklist, &'f Row),
    Wrong(String),
    /// Where it goes on.
    WrongOn(String),
    /// A line of a picture: what stands before it, and its places.
    Picture(String, Vec<TraceMark>),
    Changed(String),
    Refused(String),
    Note(String),
    /// Of what is signed: met or not, and what.
    Signed(Option<bool>, String),
    SignedOn(String),
    End(String),
    Mend(usize, &'f str),
    /// Behind which row of the end the seldom questions stand, and what they are.
    More(usize, String),
}

impl Line<'_> {
    fn spot(&self, end: usize) -> Option<Spot> {
        match self {
            Self::Field(question, _) => Some(Spot { question: *question, row: 0 }),
            Self::Item(question, row, ..) => Some(Spot { question: *question, row: *row }),
            Self::End(_) => Some(Spot { question: end, row: 0 }),
            Self::Mend(at, _) => Some(Spot { question: end, row: at + 1 }),
            Self::More(row, _) => Some(Spot { question: end, row: *row }),
            _ => None,
        }
    }
}

impl Form {
    pub fn paint(&self, pen: &mut Pen<'_>) -> Option<Position> {
        pen.rule(0, &self.title);
        let columns = pen.width();
        let roomy = pen.height() >= 14;
        let about = if roomy {
            whole_sentences(self.mv.about, columns, if pen.height() >= 30 { 4 } else { 2 })
        } else {
            vec![]
        };
        let mut top = 1;
        for line in &about {
            pen.put(0, top, line, Part::Plain);
            top += 1;
        }
        let help = wrap(&self.help(), columns);
        // Help is read whole; only a very low screen leaves the rest of it to the help page.
        let most = if roomy { pen.height() / 2 } else { 1 };
        let help_lines = u16::try_from(help.len()).unwrap_or(u16::MAX).min(most);
        let bottom = pen.height().saturating_sub(help_lines + 1);
        let lines = self.lines(columns, pen.height());
        let at = lines.iter().position(|line| line.spot(self.questions.len()) == Some(self.at)).unwrap_or(0);
        let height = bottom.saturating_sub(top);
        let first = first_seen(at, lines.len(), usize::from(height));
        let mut cursor = None;
        let label_columns = self.label_columns(columns);
        let mut body = pen.field(0, top, columns, height);
        for (y, line) in (0..height).zip(lines.iter().skip(first)) {
            let chosen = line.spot(self.questions.len()) == Some(self.at);
            let here = paint_line(&mut body, y, line, chosen, label_columns);
            cursor = cursor.or(here);
        }
        let below = lines.len().saturating_sub(first + usize::from(height));
        pen.rule(bottom, &if below > 0 { format!("{below} more lines below") } else { String::new() });
        for (y, line) in (bottom + 1..pen.height()).zip(&help) {
            pen.put(0, y, line, Part::Plain);
        }
        cursor
    }

    fn label_columns(&self, columns: u16) -> u16 {
        let fields = self.questions.iter().filter(|it| it.is_asked() && !matches!(it.answer, Answer::List(_)));
        let widest = fields.map(|it| width(it.label)).max();
        widest.unwrap_or(0).min(columns / 3) + 4
    }

    fn lines(&self, columns: u16, height: u16) -> Vec<Line<'_>> {
        let mut lines = vec![];
        if !self.not_yours.is_empty() {
            lines.extend(wrap(&self.not_yours, columns.saturating_sub(2)).into_iter().map(Line::Note));
        }
        for (at, question) in self.questions.iter().enumerate().filter(|(_, question)| question.is_asked()) {
            match &question.answer {
                Answer::List(list) => {
                    lines.push(Line::Heading(heading(question, list)));
                    let mut group = "";
                    for (row, item) in list.rows.iter().enumerate() {
                        if item.group != group {
                            group = &item.group;
                            lines.push(Line::Note(format!("  {group}")));
                        }
                        lines.push(Line::Item(at, row, list, item));
                    }
                }
                Answer::Text(_) | Answer::Choice { .. } => lines.push(Line::Field(at, question)),
            }
            let wrong = self.errors.iter().filter(|(field, _)| field == question.name);
            lines.extend(wrong.flat_map(|(_, message)| self.wrong(message, columns)));
            if let Some(words) = self.read_words(question.name) {
                let indent = usize::from(self.label_columns(columns)) + 1;
                lines.push(Line::Note(format!("{:indent$}{words}", "")));
            }
        }
        lines.push(Line::Note(String::new()));
        for (field, message) in &self.errors {
            if !self.questions.iter().any(|question| question.is_asked() && question.name == field) {
                lines.extend(self.wrong(message, columns));
            }
        }
        if !self.changed.is_empty() {
            lines.push(Line::Refused("The room changed while this form was open".to_owned()));
            for text in &self.changed {
                lines.extend(wrap(text, columns.saturating_sub(4)).into_iter().map(Line::Changed));
            }
            let ask = if self.changed_read {
                "Enter notes yours now."
            } else {
                "Read it. The first Enter below only says that you did."
            };
            lines.push(Line::Changed(ask.to_owned()));
        }
        if let Some(no) = &self.no {
            let rule = no.rule.map(|rule| format!("Not noted [{}]", rule.code()));
            lines.push(Line::Refused(rule.unwrap_or_else(|| "Not noted".to_owned())));
            lines.extend(wrap(&no.text, columns.saturating_sub(4)).into_iter().map(Line::Changed));
        }
        lines.extend(self.picture(columns, height));
        if !self.shows.heading.is_empty() {
            lines.push(Line::Heading(self.shows.heading.clone()));
            for line in &self.shows.lines {
                match line.met {
                    Some(_) => lines.extend(signed(line, columns)),
                    None => lines.extend(wrap(&line.text, columns.saturating_sub(4)).into_iter().map(Line::Changed)),
                }
            }
        } else {
            lines.extend(self.shows.lines.iter().flat_map(|line| signed(line, columns)));
        }
        for question in self.questions.iter().filter(|question| question.is_asked()) {
            if let Answer::List(list) = &question.answer
                && list.marked() > 0
            {
                lines.push(Line::Note(format!("  {}: {} of {}", question.label, list.marked(), list.rows.len())));
            }
        }
        lines.push(Line::End(self.end_words()));
        lines.extend(self.mends().iter().enumerate().map(|(at, (title, _))| Line::Mend(at, title)));
        if self.folded() > 0 {
            lines.push(Line::More(1 + self.mends().len(), self.more_words()));
        }
        lines
    }
}

impl Form {
    /// What is wrong, in as many lines as it takes.
    fn wrong<'f>(&self, message: &str, columns: u16) -> Vec<Line<'f>> {
        let parts = wrap(message, columns.saturating_sub(self.label_columns(columns) + WRONG));
        let line = |(at, text): (usize, String)| if at == 0 { Line::Wrong(text) } else { Line::WrongOn(text) };
        parts.into_iter().enumerate().map(line).collect()
    }

    /// The trace that was read.
    fn picture<'f>(&self, columns: u16, height: u16) -> Vec<Line<'f>> {
        let Some((at, logged)) = self.drawn() else { return vec![] };
        let Some(trace) = &logged.trace else { return vec![] };
        let asks = self.shows.asks.get(at).map(Vec::as_slice).unwrap_or_default();
        let lines = if height >= 36 { 18 } else { 8 };
        let plot = Plot::of(trace, logged.reserve, asks, usize::from(columns.min(100)), lines + 1);
        let mut drawn: Vec<Line<'f>> =
            plot.rows.into_iter().map(|(label, places)| Line::Picture(label, places)).collect();
        drawn.push(Line::Note(format!("      {}", plot.scale)));
        drawn
    }

    /// The end line: what Enter does there, as of when and by whom.
    fn end_words(&self) -> String {
        let does = if self.is_signature() { "[ Sign it ]" } else { "[ Note it ]" };
        let folded = |name: &str| self.questions.iter().any(|it| it.name == name && it.shown == Placed::Folded);
        let when = if folded("at") { "  as of now" } else { "" };
        let by = match self.owner {
            Some(owner) if folded("done-by") => format!(", done by {owner}"),
            Some(owner) if self.is_signature() => format!("  as {owner}"),
            _ => String::new(),
        };
        format!("{does}{}", if when.is_empty() { by.replacen(',', " ", 1) } else { format!("{when}{by}") })
    }

    fn more_words(&self) -> String {
        let folded: Vec<&str> =
            self.questions.iter().filter(|it| it.shown == Placed::Folded).map(|it| it.label).collect();
        let names = folded.iter().take(3).copied().collect::<Vec<_>>().join(", ");
        let rest = if folded.len() > 3 { format!(" and {} more", folded.len() - 3) } else { String::new() };
        format!("[ More: {names}{rest} ]")
    }
}

/// A verdict, read whole.
fn signed<'f>(line: &ShownLine, columns: u16) -> Vec<Line<'f>> {
    let mut parts = wrap(&line.text, columns.saturating_sub(SIGNED)).into_iter();
    let first = Line::Signed(line.met, parts.next().unwrap_or_default());
    [first].into_iter().chain(parts.map(Line::SignedOn)).collect()
}

fn heading(question: &Question, list: &Checklist) -> String {
    let needed = if question.required { "" } else { " (may be left blank)" };
    format!("{}{needed}: {} of {}", question.label, list.marked(), list.rows.len())
}

fn paint_line(pen: &mut Pen<'_>, y: u16, line: &Line<'_>, chosen: bool, label_columns: u16) -> Option<Position> {
    let mark = if chosen { '>' } else { ' ' };
    let columns = pen.width();
    match line {
        Line::Heading(text) => {
            pen.put(1, y, text, Part::Strong);
            None
        }
        Line::Note(text) => {
            pen.put(0, y, text, Part::Plain);
            None
        }
        Line::Picture(label, places) => {
            picture(pen, y, label, places);
            None
        }
        Line::WrongOn(text) => {
            pen.put(label_columns + WRONG, y, text, Part::Plain);
            None
        }
        Line::SignedOn(text) => {
            pen.put(SIGNED, y, text, Part::Plain);
            None
        }
        Line::Wrong(text) => {
            let word = if text == STILL_OPEN { "needed" } else { "check" };
            let x = pen.chip(label_columns, y, word, Part::No) + 1;
            pen.put_in(x, y, columns.saturating_sub(x), text, Part::Plain);
            None
        }
        Line::Refused(text) => {
            pen.chip(1, y, text, Part::No);
            None
        }
        Line::Changed(text) => {
            pen.put(3, y, text, Part::Plain);
            None
        }
        Line::Field(_, question) => field(pen, y, question, chosen, label_columns),
        Line::Item(_, _, list, row) => {
            let value = list.shown(row);
            let inside = usize::from(list.columns().max(width(&value)));
            let x = pen.put(
                0,
                y,
                &format!("{mark}[{value:^inside$}] "),
                if row.mark == Mark::Open { Part::Plain } else { Part::Strong },
            );
            let end = pen.put(x, y, &row.label, Part::Plain);
            if chosen {
                pen.mark(0, y, end, Part::Chosen);
            }
            pen.put_in(end + 2, y, columns.saturating_sub(end + 2), &row.remark, Part::Plain);
            if chosen { pen.at(0, y) } else { None }
        }
        Line::Signed(met, text) => {
            let word = match met {
                Some(true) => "yes      ",
                Some(false) => "MISSING  ",
                None => "",
            };
            let x = pen.put(2, y, word, if *met == Some(false) { Part::Strong } else { Part::Plain });
            pen.put_in(x, y, columns.saturating_sub(x), text, Part::Plain);
            None
        }
        Line::More(_, text) => {
            let x = pen.put_in(0, y, columns, &format!("{mark}{text}"), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
            }
            if chosen { pen.at(0, y) } else { None }
        }
        Line::End(text) => {
            let x = pen.put(0, y, &format!("{mark}{text}"), Part::Strong);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
            }
            if chosen { pen.at(0, y) } else { None }
        }
        Line::Mend(at, title) => {
            let x = pen.put(0, y, &format!("{mark}[ {} First: {title} ]", at + 1), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
            }
            if chosen { pen.at(0, y) } else { None }
        }
    }
}

/// A line of a trace's picture. Where nothing but ASCII may be drawn its own signs are taken.
fn picture(pen: &mut Pen<'_>, y: u16, label: &str, places: &[TraceMark]) {
    let signs = if pen.look.ascii { Signs::ASCII } else { Signs::UNICODE };
    let mut x = pen.put(0, y, &format!("{label}{}", signs.axis), Part::Plain);
    for run in places.chunk_by(|one, other| one == other) {
        let text: String = run.iter().map(|mark| signs.of(*mark)).collect();
        let part = match run.first() {
            Some(TraceMark::Coldest) => Part::Strong,
            Some(TraceMark::Gap) => Part::No,
            _ => Part::Plain,
        };
        x = pen.put(x, y, &text, part);
    }
}

fn field(pen: &mut Pen<'_>, y: u16, question: &Question, chosen: bool, label_columns: u16) -> Option<Position> {
    let mark = if chosen { '>' } else { ' ' };
    let needed = if question.required { '*' } else { ' ' };
    pen.put_in(0, y, label_columns.saturating_sub(1), &format!("{mark}{needed}{}", question.label), Part::Plain);
    if chosen {
        pen.mark(0, y, label_columns.saturating_sub(1), Part::Chosen);
    }
    let columns = pen.width().saturating_sub(label_columns);
    match &question.answer {
        Answer::Text(input) => {
            // The last column is for the cursor behind the text.
            let room = columns.saturating_sub(3).clamp(1, LONGEST_FIELD);
            let scroll = input.visual_scroll(usize::from(room));
            let seen = from_column(input.value(), scroll);
            pen.put(label_columns, y, "[", Part::Plain);
            let mut inner = pen.field(label_columns + 1, y, room, 1);
            inner.put(0, 0, seen, Part::Plain);
            pen.put(label_columns + 1 + room, y, "]", Part::Plain);
            let x = u16::try_from(input.visual_cursor().saturating_sub(scroll)).unwrap_or(u16::MAX).min(room);
            if chosen { pen.at(label_columns + 1 + x, y) } else { None }
        }
        Answer::Choice { options, at } => {
            let all: usize = options.iter().map(|option| option.label.width() + 6).sum();
            if all <= usize::from(columns) {
                let mut x = label_columns;
                for (index, option) in options.iter().enumerate() {
                    let taken = *at == Some(index);
                    // Where the keys are, each answer has its own.
                    let key = if chosen && index < 9 { format!("{} ", index + 1) } else { String::new() };
                    let text =
                        if taken { format!("({key}{})", option.label) } else { format!(" {key}{} ", option.label) };
                    x = pen.put(x, y, &text, if taken { Part::Strong } else { Part::Plain }) + 2;
                }
            } else {
                let text = match at.and_then(|at| Some((at, options.get(at)?))) {
                    Some((at, option)) => format!("({})  {} of {}", option.label, at + 1, options.len()),
                    None => format!("(not said)  {} to choose from, Right", options.len()),
                };
                pen.put_in(label_columns, y, columns, &text, if at.is_some() { Part::Strong } else { Part::Plain });
            }
            if chosen { pen.at(0, y) } else { None }
        }
        Answer::List(_) => None,
    }
}

/// As many of the first sentences as these lines hold.
fn whole_sentences(text: &str, columns: u16, lines: usize) -> Vec<String> {
    let ends = text.match_indices(". ").map(|(at, _)| at + 1).chain([text.len()]);
    let fits = |end: usize| Some(wrap(text.get(..end)?, columns)).filter(|it| it.len() <= lines);
    ends.filter_map(fits).last().unwrap_or_default()
}

/// The text from this column on.
fn from_column(text: &str, column: usize) -> &str {
    let mut taken = 0;
    for (at, c) in text.char_indices() {
        if taken >= column {
            return text.get(at..).unwrap_or("");
        }
        taken += unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
    }
    ""
}

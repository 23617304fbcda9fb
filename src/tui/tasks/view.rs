//! Drawing the Tasks: the list in its sections, and under it the chosen task in full.

use ratatui::layout::Position;

use super::TasksScreen;
use super::detail::LABEL;
use super::list::{Key, Row, Section};
use super::words;
use crate::domain::board::{Task, TaskKind};
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::look::Part;
use crate::tui::paint::{GOES_ON, Pen, first_seen, width, wrap};
use crate::tui::step;
use crate::tui::survey::{RoomLine, Survey, state_part, state_sign};

/// Lines below the list.
pub(super) fn detail_lines(lines: u16) -> u16 {
    if lines >= 30 { 11 } else { 8 }
}

/// From this width on whole words have space.
pub(super) const WIDE: u16 = 130;

/// Where a reason stands below its line.
const WHY_NOT: u16 = 8;

/// One line of the list.
enum Line {
    /// Of how many lines, and whether the line above is one of them too.
    Heading(Section, usize, bool),
    /// Of a section without lines.
    None(&'static str),
    Row(usize),
    /// Why the line above could not be done.
    WhyNot(String),
}

/// Where the columns begin.
struct Columns {
    sign: u16,
    due: u16,
    what: u16,
    whose: u16,
    gives: u16,
    is_wide: bool,
}

impl Columns {
    fn of(width: u16, code: u16) -> Self {
        let is_wide = width >= WIDE;
        let code = code.clamp(5, if is_wide { 16 } else { 10 });
        let sign = code + 2;
        let due = sign + if is_wide { 15 } else { 2 };
        let what = due + if is_wide { 34 } else { 21 };
        let gives = width.saturating_sub(if is_wide { 31 } else { 17 });
        let whose = gives.saturating_sub(if is_wide { 24 } else { 12 });
        Self { sign, due, what, whose, gives, is_wide }
    }
}

impl TasksScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let below = detail_lines(pen.height());
        let list_lines = pen.height().saturating_sub(below + 1);
        let lines = self.lines(survey, pen.width());
        let chosen = self.cursor.key().map(|_| self.cursor.at());
        let at = lines.iter().position(|line| matches!(line, Line::Row(row) if Some(*row) == chosen)).unwrap_or(0);
        // The heading above the first line is seen with it.
        let first = if at <= 2 { 0 } else { first_seen(at, lines.len(), usize::from(list_lines)) };
        self.summary(pen, survey, first);
        let code = self.rows.iter().filter_map(|row| survey.tasks.get(row.task)).map(|task| width(task.room.as_str()));
        let columns = Columns::of(pen.width(), code.max().unwrap_or(0));
        let mut cursor = None;
        let wide = pen.width();
        let mut list = pen.field(0, 1, wide, list_lines);
        for (y, line) in (0..list_lines).zip(lines.iter().skip(first)) {
            match line {
                Line::Heading(section, count, more) => list.rule(y, &heading(*section, *count, *more)),
                Line::None(sentence) => {
                    list.put(0, y, sentence, Part::Strong);
                }
                Line::WhyNot(text) => {
                    list.put(WHY_NOT, y, text, Part::Plain);
                }
                Line::Row(row) => {
                    let here = self.row(&mut list, survey, y, *row, &columns, Some(*row) == chosen);
                    cursor = cursor.or(here);
                }
            }
        }
        if self.rows.is_empty() {
            list.put(1, 0, "No tasks here. f lists everybody's, w all wards.", Part::Plain);
        }
        let hidden = lines.len().saturating_sub(first + usize::from(list_lines));
        self.detail(&mut pen.field(0, list_lines + 1, wide, below), hidden);
        cursor
    }

    /// What is listed, in numbers.
    fn summary(&self, pen: &mut Pen<'_>, survey: &Survey, above: usize) {
        let count = |wanted: &dyn Fn(&Row) -> bool| -> usize {
            self.rows.iter().filter(|row| !row.inside && wanted(row)).map(Row::tasks).sum()
        };
        let overdue = count(&|row| survey.tasks.get(row.task).is_some_and(|task| task.overdue));
        let (ward, all) = (self.ward.shown(), count(&|_| true));
        let above = match above {
            0 => String::new(),
            1 => "  (1 more line above)".to_owned(),
            several => format!("  ({several} more lines above)"),
        };
        pen.rule(0, &format!("{ward}{all} tasks, {overdue} overdue: {}{above}", self.whose.shown()));
    }

    fn lines(&self, survey: &Survey, columns: u16) -> Vec<Line> {
        let mut lines = vec![];
        if self.rows.is_empty() {
            return lines;
        }
        let is_late = |row: &Row| survey.tasks.get(row.task).is_some_and(|task| task.overdue);
        let before = |row: &Row| matches!(row.section, Section::Given | Section::People | Section::Best);
        let best_is_late = self.rows.iter().any(|row| before(row) && is_late(row));
        for section in Section::ALL {
            let more = section == Section::Overdue && best_is_late;
            let of_section = || self.rows.iter().enumerate().filter(move |(_, row)| row.section == section);
            let count = of_section().filter(|(_, row)| !row.inside).map(|(_, row)| row.tasks()).sum();
            match section.none() {
                Some(_) if count == 0 && more => lines.push(Line::None("Nothing else is overdue.")),
                Some(sentence) if count == 0 => lines.push(Line::None(sentence)),
                None if count == 0 => {}
                _ => lines.push(Line::Heading(section, count, more)),
            }
            for (at, row) in of_section() {
                lines.push(Line::Row(at));
                for why in self.why_not(row, survey) {
                    let broken = wrap(&why, columns.saturating_sub(WHY_NOT + 1));
                    lines.extend(broken.into_iter().map(Line::WhyNot));
                }
            }
        }
        lines
    }

    fn row(
        &self,
        pen: &mut Pen<'_>,
        survey: &Survey,
        y: u16,
        at: usize,
        columns: &Columns,
        chosen: bool,
    ) -> Option<Position> {
        let row = self.rows.get(at)?;
        let task = survey.tasks.get(row.task)?;
        let room = survey.room(task.room)?;
        let mark = if chosen { '>' } else { ' ' };
        let of_ward = matches!(row.key, Key::Fold(_));
        let place = match survey.wards.get(room.ward) {
            Some(ward) if of_ward => format!("{mark}{}", ward.code),
            _ if row.inside => format!("{mark} {}", task.room),
            _ => format!("{mark}{}", task.room),
        };
        pen.put_in(0, y, columns.sign.saturating_sub(1), &place, Part::Plain);
        if chosen {
            pen.mark(0, y, columns.sign.saturating_sub(1), Part::Chosen);
        }
        if of_ward {
            pen.put(columns.sign, y, if columns.is_wide { "ward" } else { "" }, Part::Plain);
        } else {
            state(pen, y, room, columns);
        }
        self.due(pen, y, task, columns);
        let what = match (of_ward, columns.is_wide) {
            (true, _) => words::folded(task.kind, row.count) + if row.is_open { ":" } else { "" },
            _ if self.lost.contains_key(&row.task) => {
                self.lost.get(&row.task).map(|text| shown(text)).unwrap_or_default()
            }
            (false, true) => shown(&task.need),
            (false, false) => words::short(task),
        };
        pen.put_in(columns.what, y, columns.whose.saturating_sub(columns.what + 1), &what, Part::Plain);
        let whose = self.whose_words(task, columns.is_wide);
        pen.put_in(columns.whose, y, columns.gives.saturating_sub(columns.whose + 1), &whose, Part::Plain);
        let gives = if columns.is_wide { task.gives.words() } else { words::short_gives(&task.gives) };
        let part = if task.gives.opens.is_empty() { Part::Plain } else { Part::Strong };
        pen.put_in(columns.gives, y, pen.width().saturating_sub(columns.gives), &gives, part);
        if chosen { pen.at(0, y) } else { None }
    }

    fn due(&self, pen: &mut Pen<'_>, y: u16, task: &Task, columns: &Columns) {
        let Some((now, zone)) = self.clock else { return };
        let space = columns.what.saturating_sub(columns.due + 1);
        let text = match task.due {
            None => "waits".to_owned(),
            // Its time has come, and its grace is not over.
            Some(due) if due < now && !task.overdue => format!("now, since {}", age::clock(due, now, zone)),
            Some(due) if task.kind == TaskKind::DryCheck && due > now => step::before_its_time(task, due, now, zone),
            Some(due) if columns.is_wide => age::due(due, now, zone),
            Some(due) => age::due_short(due, now, zone),
        };
        pen.put_in(columns.due, y, space, &text, if task.overdue { Part::Strong } else { Part::Plain });
    }

    /// Who has it, else whose it is.
    fn whose_words(&self, task: &Task, is_wide: bool) -> String {
        match task.accepted_by {
            Some(who) if self.whose.me() == Some(who) => "you have it".to_owned(),
            Some(who) => format!("{who} has it"),
            None if !is_wide => words::short_role(task.role).to_owned(),
            None => task.role.title().to_owned(),
        }
    }

    fn detail(&self, pen: &mut Pen<'_>, hidden: usize) {
        let more = if hidden > 0 {
            format!("  ({hidden} more line{} below)", if hidden == 1 { "" } else { "s" })
        } else {
            String::new()
        };
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

/// `more`: the line above is one of them too.
fn heading(section: Section, count: usize, more: bool) -> String {
    let more = if more { " more" } else { "" };
    let order = match section {
        Section::Best => return section.title().to_owned(),
        Section::Overdue if count > 1 => ", longest first, then the wards' looks",
        _ => "",
    };
    format!("{}: {count}{more}{order}", section.title())
}

fn state(pen: &mut Pen<'_>, y: u16, room: &RoomLine, columns: &Columns) {
    let sign = state_sign(room.state);
    let text = if columns.is_wide { format!("{sign} {:<11}", room.state.word()) } else { sign.to_string() };
    pen.put(columns.sign, y, &text, state_part(room.state));
}

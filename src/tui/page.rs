//! Something to read: the help of a screen, an entry in full.

use ratatui::layout::Position;

use super::keys::{Act, Context};
use super::look::Part;
use super::paint::{Pen, width, wrap};
use super::person::ALONE_MINUTES;
use super::survey::{BED_SIGNS, state_sign};
use super::world::World;
use crate::domain::board::{BedMark, State};
use crate::domain::code::Code;
use crate::domain::entry::Entry;
use crate::domain::people::Role;
use crate::domain::shift::{BUG_FOUND, DO_NOT_ENTER, shift};
use crate::domain::shown::shown;

/// Columns of a page where there are more: a longer line is hard to read.
const COLUMNS: u16 = 96;

const BUG: &str = "A bug was found";

pub struct Page {
    kind: Kind,
    title: String,
    lines: Vec<PageLine>,
    /// The rooms that it is about: Space opens one.
    pub rooms: Vec<Code>,
    /// The line that the keys act on, of a page whose lines are about rooms.
    at: Option<usize>,
    top: usize,
}

#[derive(Clone, Copy, PartialEq, Eq, Default)]
enum Kind {
    /// The keys of a screen.
    Help,
    /// What a shift asks first.
    Shift,
    #[default]
    Other,
}

/// One line as it is painted.
struct Row<'p> {
    line: usize,
    label: &'p str,
    x: u16,
    text: String,
}

struct PageLine {
    /// A short word before a text, such as a key; empty for none.
    label: String,
    text: String,
    /// The room that it is about, which Enter opens.
    room: Option<Code>,
}

impl Page {
    /// What the keys of this context do, and how the screen is read. Before them what is said of this place alone: a short
    /// word and a text each.
    pub fn help(context: Context, about: Vec<(String, String)>) -> Self {
        let plain = |text: &str| (String::new(), text.to_owned());
        // What the screen is for comes before how one walks on it.
        let walks = |act: Act| {
            use Act::{Down, First, Last, Left, PageDown, PageUp, Right, Up};
            matches!(act, Up | Down | Left | Right | PageUp | PageDown | First | Last)
        };
        let mut bindings: Vec<_> = context.bindings().collect();
        bindings.sort_by_key(|binding| walks(binding.act));
        let mut lines = about;
        if !lines.is_empty() {
            lines.push(plain(""));
        }
        lines.extend(bindings.into_iter().map(|it| (it.shown.to_owned(), it.does.to_owned())));
        lines.push(("Ctrl-C".to_owned(), "twice: leave at once".to_owned()));
        lines.push(plain(""));
        lines.push(plain("Signs of the states:"));
        lines.extend(State::ALL.map(|state| (state_sign(state).to_string(), state.headline().to_owned())));
        lines.push(plain("Signs of the beds:"));
        lines.extend(BED_SIGNS.map(|(sign, _, full)| (sign.to_string(), full.to_owned())));
        lines.extend(BedMark::ALL.map(|mark| (mark.sign().to_string(), format!("open, and {}", mark.words()))));
        if context == Context::Ledger {
            lines.push(plain("Signs of the entries:"));
            lines.extend(super::ledger::signs().map(|(sign, text)| (sign.to_string(), text.to_owned())));
        }
        lines.push(plain(""));
        lines.push(plain(&format!("After {ALONE_MINUTES} minutes without a key whoever is signed in is signed out.")));
        lines.push(plain("This is a work board. It shows work, watches no patient, and raises no alarm."));
        lines.push(plain("A bed is open only as far as bed bugs are concerned. Check cleaning."));
        lines.push(plain("The product's label and local law rule over anything shown here."));
        lines.push(plain("Never type a patient's name or anything that tells who a patient is."));
        Self { kind: Kind::Help, ..Self::labelled(format!("Keys: {}", context.name()), lines, vec![]) }
    }

    /// What a shift asks first, for whoever sits here.
    pub fn shift(world: &World<'_>, person: Option<Code>) -> Self {
        let person = person.and_then(|code| world.board.people().get(&code));
        let mut lines = vec![];
        let mut say = |title: &str, texts: &mut dyn Iterator<Item = String>| {
            let mut label = title.to_owned();
            for text in texts {
                lines.push((std::mem::replace(&mut label, " ".to_owned()), text));
            }
        };
        // Whoever opens it with a bug before them is most often the nurse.
        let first = person.is_none_or(|it| matches!(it.role, Role::ChargeNurse | Role::Reader));
        let bug = || BUG_FOUND.into_iter().map(str::to_owned);
        for question in shift(world.board, world.entries, person, world.now) {
            let then_bug = first && question.title == DO_NOT_ENTER;
            say(&question.title, &mut question.lines.into_iter());
            if then_bug {
                say(BUG, &mut bug());
            }
        }
        if !first {
            say(BUG, &mut bug());
        }
        let whose = person.map_or("anybody's".to_owned(), |it| format!("{}, {}", it.initials, it.role.title()));
        let mut page = Self::labelled(format!("This shift: {whose}"), lines, vec![]);
        for line in &mut page.lines {
            let code = line.text.split(':').next().and_then(|code| Code::new(code).ok());
            let facility = world.board.facility();
            line.room =
                code.and_then(|code| facility.room(code).or_else(|| facility.room_of_bed(code))).map(|it| it.code);
        }
        page.at = page.lines.iter().position(|line| line.room.is_some());
        page.kind = Kind::Shift;
        page
    }

    pub(super) fn is_shift(&self) -> bool {
        self.kind == Kind::Shift
    }

    pub(super) fn context(&self) -> Context {
        if self.kind == Kind::Help { Context::Help } else { Context::Page }
    }

    /// The board, or who sits here, changed: what a shift asks first is told anew, from the line that was read.
    pub(super) fn refresh(&mut self, world: &World<'_>, person: Option<Code>) {
        if self.is_shift() {
            let (at, top) = (self.at, self.top);
            *self = Self::shift(world, person);
            let last = self.lines.len().saturating_sub(1);
            (self.at, self.top) = (at.map(|at| at.min(last)).or(self.at), top);
        }
    }

    /// An entry in full.
    pub fn entry(entry: &Entry, world: &World<'_>) -> Self {
        super::ledger::page_of(entry, world)
    }

    /// Texts, each after a short word, about these rooms.
    pub fn labelled(title: String, lines: Vec<(String, String)>, rooms: Vec<Code>) -> Self {
        let line = |(label, text): (String, String)| PageLine { label, text: shown(&text), room: None };
        Self { kind: Kind::default(), title, lines: lines.into_iter().map(line).collect(), rooms, at: None, top: 0 }
    }

    pub fn text(title: String, lines: Vec<String>) -> Self {
        Self::labelled(title, lines.into_iter().map(|line| (String::new(), line)).collect(), vec![])
    }

    /// The room of the line that the keys act on; else the only one that the page is about.
    pub fn room(&self) -> Option<Code> {
        let of_line = self.at.and_then(|at| self.lines.get(at)).and_then(|line| line.room);
        of_line.or_else(|| self.rooms.first().copied())
    }

    /// `size`: columns and lines of the field that it is painted in. Up and Down go by one line, the page keys by as many
    /// as are seen; the last line is always reached.
    pub fn act(&mut self, act: Act, size: (u16, u16)) {
        // Which line each row is of.
        let rows: Vec<usize> = self.rows(size.0.min(COLUMNS).saturating_sub(2)).iter().map(|row| row.line).collect();
        let height = seen(rows.len(), usize::from(size.1.saturating_sub(2)));
        let last = rows.len().saturating_sub(height);
        let (steps, down) = match act {
            Act::Up => (1, false),
            Act::Down => (1, true),
            Act::PageUp => (height, false),
            Act::PageDown => (height, true),
            Act::First => (rows.len().max(2), false),
            Act::Last => (rows.len().max(2), true),
            _ => return,
        };
        let moved = |top: usize| if down { (top + steps).min(last) } else { top.saturating_sub(steps) };
        let Some(at) = self.at else {
            self.top = moved(self.top);
            return;
        };
        let first_row = |line: usize| rows.iter().position(|of| *of == line).unwrap_or(0);
        let last_row = |line: usize| rows.iter().rposition(|of| *of == line).unwrap_or(0);
        if steps == 1 {
            let to = if down { (at + 1).min(self.lines.len().saturating_sub(1)) } else { at.saturating_sub(1) };
            self.at = Some(to);
            // The whole of the line is seen, and of a line longer than the screen its beginning.
            self.top = self.top.max((last_row(to) + 1).saturating_sub(height)).min(first_row(to)).min(last);
            return;
        }
        let top = moved(self.top);
        let to = if top == self.top {
            // There is no page more: the end, or the beginning.
            if down { rows.last() } else { rows.first() }
        } else {
            // The first line that begins on this page.
            rows.iter().skip(top).find(|line| first_row(**line) >= top)
        };
        self.at = to.copied().or(Some(at));
        self.top = top;
    }

    /// The lines as they are broken for so many columns.
    fn rows(&self, columns: u16) -> Vec<Row<'_>> {
        let label_columns = self.lines.iter().map(|line| width(&line.label)).max().unwrap_or(0);
        let indent = if label_columns == 0 { 0 } else { label_columns + 2 };
        let mut rows = vec![];
        for (line, PageLine { label, text, .. }) in self.lines.iter().enumerate() {
            let x = if label.is_empty() { 0 } else { indent };
            for (nth, text) in wrap(text, columns.saturating_sub(x)).into_iter().enumerate() {
                rows.push(Row { line, label: if nth == 0 { label } else { "" }, x, text });
            }
        }
        rows
    }

    pub fn paint(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let (columns, height) = (pen.width().min(COLUMNS), pen.height());
        let mut inner = pen.popup(columns, height, &self.title);
        let rows = self.rows(inner.width());
        // What does not fit is said in a line of its own, and hides nothing.
        let height = seen(rows.len(), usize::from(inner.height()));
        let first = self.top.min(rows.len().saturating_sub(height));
        let mut cursor = None;
        for (y, row) in (0..inner.height()).zip(rows.iter().skip(first).take(height)) {
            inner.put(0, y, row.label, Part::Key);
            let end = inner.put(row.x, y, &row.text, Part::Plain);
            if self.at == Some(row.line) {
                inner.mark(row.x, y, end.saturating_sub(row.x), Part::Chosen);
                cursor = cursor.or(inner.at(row.x, y));
            }
        }
        if height < rows.len() {
            let lines = |count: usize| format!("{count} more line{}", if count == 1 { "" } else { "s" });
            let below = rows.len().saturating_sub(first + height);
            let text = match (first, below) {
                (0, below) => format!("{}, PgDn", lines(below)),
                (above, 0) => format!("{} above, PgUp", lines(above)),
                (above, below) => format!("{}, PgDn   {above} above, PgUp", lines(below)),
            };
            inner.put_right(inner.height().saturating_sub(1), &format!(" {text} "), Part::Key);
        }
        cursor
    }
}

/// Rows that are seen of so many, in so many lines: one line says what is not.
fn seen(rows: usize, height: usize) -> usize {
    if rows > height { height.saturating_sub(1).max(1) } else { height }
}

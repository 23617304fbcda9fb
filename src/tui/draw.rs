//! Drawing: the line on top, the screen or the layers that cover it, what was said, the keys. Never changes, never fails.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::widgets::Widget;

use super::app::{App, Confirm, LEAST_COLUMNS, LEAST_LINES, Layer, Yes};
use super::base::Base;
use super::hints::hints;
use super::look::Part;
use super::paint::{Pen, width, wrap};
use super::survey::{state_part, state_sign};
use crate::domain::board::State;
use crate::domain::shown::PRACTICE;

impl Widget for &App {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        paint(self, area, buffer);
    }
}

/// Draws everything, and answers where the terminal's cursor belongs: on whatever the keys act on.
pub fn paint(app: &App, area: Rect, buffer: &mut Buffer) -> Option<Position> {
    let area = area.intersection(buffer.area);
    let mut pen = Pen { buffer, area, look: app.look };
    let cursor = if area.width < LEAST_COLUMNS || area.height < LEAST_LINES {
        too_small(app, &mut pen);
        None
    } else {
        whole(app, &mut pen)
    };
    app.look.settle(buffer, area);
    cursor
}

fn too_small(app: &App, pen: &mut Pen<'_>) {
    let (columns, lines) = (pen.width(), pen.height());
    let sentence = format!(
        "Dryhold needs {LEAST_COLUMNS} columns and {LEAST_LINES} lines; this screen has {columns} and {lines}."
    );
    let mut y = 0;
    for line in wrap(&sentence, columns) {
        pen.put(0, y, &line, Part::Plain);
        y += 1;
    }
    pen.put(0, y, &format!("open beds {}", app.survey.open_words("")), Part::Plain);
    for (state, count) in State::ALL.into_iter().zip(app.survey.by_state) {
        y += 1;
        pen.put(0, y, &format!("{} {} {count}", state_sign(state), state.word()), state_part(state));
    }
    pen.put(0, y + 1, "q leaves", Part::Plain);
}

fn whole(app: &App, pen: &mut Pen<'_>) -> Option<Position> {
    let (columns, lines) = (pen.width(), pen.height());
    if let Some(Layer::Wall(wall)) = app.layers.last() {
        let first = banners(app, pen, 0);
        wall.paint(&mut pen.field(0, first, columns, lines.saturating_sub(first)), &app.survey);
        if app.top.rehearsal {
            // The clock ends that line, and the hospital's name begins it.
            let x = columns.saturating_sub(width(PRACTICE) + 4) / 2;
            pen.chip(x, first, PRACTICE, Part::Overdue);
        }
        said(app, pen, lines);
        return None;
    }
    top_line(app, &mut pen.field(0, 0, columns, 1));
    let first = banners(app, pen, 1);
    let body = app.body_lines();
    let mut cursor = None;
    // What a layer covers wholly is not drawn.
    let covered = app.layers.iter().rposition(|layer| matches!(layer, Layer::Room(_) | Layer::Form(_)));
    if covered.is_none() {
        let mut field = pen.field(0, first, columns, body);
        cursor = app.screen().paint(&mut field, &app.survey);
    }
    for layer in app.layers.iter().skip(covered.unwrap_or(0)) {
        let mut field = pen.field(0, first, columns, body);
        cursor = match layer {
            Layer::Room(room) => room.paint(&mut field, &app.survey),
            Layer::Form(form) => form.paint(&mut field),
            Layer::Choice(list) => list.paint(&mut field),
            Layer::Line(line) => line.paint(&mut field, &app.survey),
            Layer::Confirm(confirm) => ask(confirm, &mut field),
            Layer::Page(page) => page.paint(&mut field),
            // It is drawn alone, above.
            Layer::Wall(_) => None,
        };
    }
    said(app, pen, lines.saturating_sub(1));
    hint_bar(app, &mut pen.field(0, lines.saturating_sub(1), columns, 1));
    cursor
}

/// What was done last, or why nothing was, above this line. What does not fit in one line takes the lines above it: nothing
/// that is said is cut.
fn said(app: &App, pen: &mut Pen<'_>, below: u16) {
    if app.said.is_empty() {
        return;
    }
    let columns = pen.width();
    let said = wrap(&app.said, columns.saturating_sub(2));
    let wanted = u16::try_from(said.len()).unwrap_or(u16::MAX).min(below / 2);
    for (y, line) in (below.saturating_sub(wanted)..below).zip(&said) {
        // Nothing of what stood there runs into what is said.
        pen.field(0, y, columns, 1).wipe();
        pen.chip(0, y, line, Part::Said);
    }
}

/// What has to be known on every page, from this line on. The line after it.
fn banners(app: &App, pen: &mut Pen<'_>, y: u16) -> u16 {
    let next = y + u16::from(trouble(app, pen, y));
    let Some(why) = &app.top.not_kept else { return next };
    let x = pen.chip(0, next, "not kept", Part::Overdue) + 1;
    pen.put_in(x, next, pen.width().saturating_sub(x), why, Part::Strong);
    next + 1
}

/// What is wrong with the ledger, if anything is.
fn trouble(app: &App, pen: &mut Pen<'_>, y: u16) -> bool {
    if let Some(trouble) = &app.top.trouble {
        let words = if app.top.closed { "every bed reads closed" } else { "only to look at" };
        let x = pen.chip(0, y, words, Part::No) + 1;
        pen.put_in(x, y, pen.width().saturating_sub(x), trouble, Part::Strong);
        return true;
    }
    let Some(gap) = &app.top.gap else { return false };
    let x = pen.chip(0, y, gap.title, Part::No) + 1;
    let space = pen.width().saturating_sub(x);
    let text = gap.short.iter().find(|text| width(text) <= space).or(gap.short.last());
    pen.put_in(x, y, space, text.map_or("", String::as_str), Part::Strong);
    true
}

/// The screens by their numbers, and who sits here. What has no space is left out, the hospital's name first.
fn top_line(app: &App, pen: &mut Pen<'_>) {
    let mut x = u16::from(app.base != Base::Board);
    for (number, base) in (1..).zip(Base::ALL) {
        let here = base == app.base;
        let text = format!("{}{number} {}{}", if here { "[" } else { "" }, base.name(), if here { "]" } else { " " });
        // The bracket takes the place of the space before.
        x = pen.put(x.saturating_sub(u16::from(here && x > 0)), 0, &text, Part::Strong);
    }
    if app.top.rehearsal {
        x = pen.chip(x, 0, PRACTICE, Part::Overdue);
    }
    let right = [
        format!("{}  {}  {}", app.survey.hospital, app.top.person, app.top.clock),
        format!("{}  {}", app.top.person, app.top.clock),
        format!("{} {}", app.top.initials, app.top.clock),
        // Whoever acts as the lead is told so where only the hour has space.
        format!("{} {}", app.top.initials, app.top.clock.split(' ').next_back().unwrap_or_default()),
        app.top.clock.clone(),
    ];
    let room = pen.width().saturating_sub(x + 1);
    let fitting = right.iter().find(|text| width(text) <= room).or(right.last());
    if let Some(text) = fitting {
        pen.field(x + 1, 0, room, 1).put_right(0, text, Part::Strong);
    }
}

fn ask(confirm: &Confirm, pen: &mut Pen<'_>) -> Option<Position> {
    let columns = pen.width().min(70);
    let text = wrap(&confirm.question, columns.saturating_sub(4));
    let lines = u16::try_from(text.len()).unwrap_or(u16::MAX).saturating_add(4);
    let mut inner = pen.popup(columns, lines, "Once more");
    for (y, line) in (0..inner.height()).zip(&text) {
        inner.put(1, y, line, Part::Plain);
    }
    let last = inner.height().saturating_sub(1);
    let (no, yes) = match confirm.yes {
        Yes::Leave => (">n  no, stay", "q  yes, leave"),
        Yes::Note(_) | Yes::Discard => (">n  no, back", "y  yes"),
        Yes::Open(_) => (">n  later", "y  now"),
    };
    let x = inner.put(1, last, no, Part::Plain);
    inner.mark(1, last, x.saturating_sub(1), Part::Chosen);
    inner.put(x + 4, last, yes, Part::Plain);
    inner.at(1, last)
}

/// Whole items only, as many as fit; help always.
fn hint_bar(app: &App, pen: &mut Pen<'_>) {
    let items = hints(app);
    let wide = |(key, does): &(&str, &str)| width(key) + 1 + width(does) + 2;
    let help = items.iter().find(|(_, does)| *does == "help").copied();
    let room = pen.width().saturating_sub(help.as_ref().map_or(0, wide));
    let mut x = 0;
    let others = items.iter().filter(|item| Some(**item) != help);
    for (key, does) in others {
        if x + wide(&(key, does)) > room {
            break;
        }
        let after = pen.put(x, 0, key, Part::Key);
        x = pen.put(after + 1, 0, does, Part::Plain) + 2;
    }
    if let Some((key, does)) = help {
        let after = pen.put(x, 0, key, Part::Key);
        pen.put(after + 1, 0, does, Part::Plain);
    }
}

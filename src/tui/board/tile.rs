//! One room along its corridor: its sign, code and beds, its state, and as much in words as its tile has lines for.

use ratatui::layout::Position;

use super::view::least_of_state;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, fit, width, wrap};
use crate::tui::step::StepLine;
use crate::tui::survey::{RoomLine, mark_signs, state_part, state_short, state_sign};

/// Answers where the tile is, if it is the chosen one.
pub(super) fn tile(pen: &mut Pen<'_>, room: &RoomLine, chosen: bool) -> Option<Position> {
    let signs: String = room.beds.iter().take(4).map(|bed| bed.sign()).collect();
    let columns = pen.width();
    let mark = if chosen { '>' } else { ' ' };
    let for_code = columns.saturating_sub(width(&signs) + u16::from(!signs.is_empty()));
    pen.put_in(0, 0, for_code, &format!("{mark}{}{}", state_sign(room.state), room.short), Part::Plain);
    pen.put_right(0, &signs, Part::Plain);
    if chosen {
        pen.mark_line(0, Part::Chosen);
    }
    let inside = columns.saturating_sub(1);
    // What is to be known of an open bed is its room's: it stands once, behind the state.
    let marks = mark_signs(&room.marks());
    let ways = [room.state.word(), state_short(room.state), least_of_state(room.state)];
    let ways = ways.map(|word| format!("{word}{marks}"));
    let word = ways.iter().find(|word| width(word) <= inside).or(ways.last()).map_or("", String::as_str);
    pen.put(1, 1, &format!("{:^1$}", fit(word, inside), usize::from(inside)), state_part(room.state));
    let lines = usize::from(pen.height().saturating_sub(2));
    for (y, line) in (2..).zip(words(room, inside, lines)) {
        pen.put_in(1, y, inside, &line, Part::Plain);
    }
    if chosen { pen.at(0, 0) } else { None }
}

/// The most that can be said in so many lines without cutting a word: beds, what is next and when, what else is overdue.
fn words(room: &RoomLine, columns: u16, lines: usize) -> Vec<String> {
    let beds = room.beds.iter().map(|bed| format!("{} {}", bed.short, bed.short_words()));
    let what = if room.beds.is_empty() { unbroken(&room.name, columns) } else { pack(beds, columns) };
    let thing = |step: &StepLine| {
        let overdue = if step.overdue { "overdue: " } else { "" };
        unbroken(&format!("{overdue}{}", step.short), columns)
    };
    let off = |step: &StepLine| if step.overdue { vec![] } else { unbroken(&step.off(), columns) };
    // Without a next step what is overdue is what is to be done.
    let (main, also) = match &room.step {
        Some(step) => (Some(step), room.overdue.as_ref()),
        None => (room.overdue.as_ref(), None),
    };
    let plain = main.map(thing).unwrap_or_default();
    let when = main.map(off).unwrap_or_default();
    let also = also.map(thing).unwrap_or_default();
    // A time alone would not say of what.
    let late: Vec<String> = main.filter(|step| step.overdue).map(|_| "overdue".to_owned()).into_iter().collect();
    let ways: [&[&Vec<String>]; 8] = [
        &[&what, &plain, &when, &also],
        &[&what, &plain, &when],
        &[&what, &plain],
        &[&plain, &when],
        &[&plain],
        &[&late],
        &[&what],
        &[],
    ];
    let lines_of =
        |parts: &[&Vec<String>]| parts.iter().flat_map(|part| part.iter()).filter(|line| !line.is_empty()).count();
    let is_whole =
        |parts: &[&Vec<String>]| parts.iter().flat_map(|part| part.iter()).all(|line| width(line) <= columns);
    let fitting = ways.into_iter().find(|parts| lines_of(parts) <= lines && is_whole(parts)).unwrap_or_default();
    fitting.iter().flat_map(|part| part.iter()).filter(|line| !line.is_empty()).cloned().collect()
}

/// In lines of so many columns; in one that is too wide, where a word of it would have to be cut.
fn unbroken(text: &str, columns: u16) -> Vec<String> {
    match text.split(' ').all(|word| width(word) <= columns) {
        true => wrap(text, columns),
        false => vec![text.to_owned()],
    }
}

/// Whole items, as many to a line as fit.
fn pack(items: impl Iterator<Item = String>, columns: u16) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for item in items {
        match lines.last_mut() {
            Some(line) if width(line) + 2 + width(&item) <= columns => *line = format!("{line}  {item}"),
            _ => lines.push(item),
        }
    }
    lines
}

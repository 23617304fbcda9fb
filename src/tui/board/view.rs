//! Drawing the Board. Only what is on the page is looked at.

use ratatui::layout::Position;

use super::BoardScreen;
use super::plan::{Block, Style};
use super::strip::Wet;
use super::tile::tile;
use crate::domain::board::{BedMark, State};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, width};
use crate::tui::survey::{
    BED_SIGNS, RoomLine, Survey, mark_legend, open_words, short_mark_legend, short_open_words, state_part, state_short,
    state_sign,
};

/// From here on the line of counts explains the signs of the beds.
const ROOMY: u16 = 130;

impl BoardScreen {
    /// Draws between the top line and the keys. Answers where the chosen room is.
    pub(super) fn draw(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        counts(pen, survey);
        let mut top = 1;
        if !self.wet.is_empty() {
            do_not_enter(&mut pen.field(0, 1, pen.width(), 1), &self.wet);
            top = 2;
        }
        let chosen = self.chosen.and_then(|code| survey.position(code));
        let page = chosen.map_or(0, |at| self.plan.page_of(at));
        let strip = self.strip.as_ref().map_or(0, |strip| strip.lines);
        let lines = pen.height().saturating_sub(top + 2 + strip);
        let mut cursor = None;
        {
            let mut body = pen.field(0, top, pen.width(), lines);
            for block in self.plan.pages.get(page).into_iter().flatten() {
                let found = match self.plan.style {
                    Style::Corridor => self.corridor(&mut body, survey, block, chosen),
                    Style::Rows => rows(&mut body, survey, block, chosen),
                };
                cursor = cursor.or(found);
            }
            if survey.rooms.is_empty() {
                body.put(
                    0,
                    0,
                    "This hospital has no rooms yet: dryhold setup makes a ledger from a room list.",
                    Part::Plain,
                );
            }
        }
        if let Some(strip) = &self.strip {
            strip.paint(&mut pen.field(0, top + lines, pen.width(), strip.lines));
        }
        let first = pen.height().saturating_sub(2);
        let pages = self.plan.pages.len();
        let mut end = pen.width();
        if pages > 1 {
            let others = self.wards_elsewhere(page);
            let free = lines.saturating_sub(self.plan.used_of(page));
            elsewhere(&mut pen.field(0, top + lines - free, pen.width(), free), survey, &others);
            let codes: Vec<String> =
                others.iter().filter_map(|ward| survey.wards.get(*ward)).map(|ward| ward.code.to_string()).collect();
            let others = if codes.len() <= 4 { format!(": {}", codes.join(", ")) } else { String::new() };
            let key = if page + 1 < pages { "PgDn" } else { "PgUp" };
            let text = format!("page {} of {pages}, {key}{others}", page + 1);
            end = pen.put_right(first, &text, Part::Plain).saturating_sub(2);
        }
        if let Some(room) = chosen.and_then(|at| survey.rooms.get(at)) {
            about(&mut pen.field(0, first, end, 1), room, &survey.marks);
            about_work(&mut pen.field(0, first + 1, pen.width(), 1), room);
        }
        cursor
    }

    /// Wards of which nothing is on this page.
    fn wards_elsewhere(&self, page: usize) -> Vec<usize> {
        let of = |page: &Vec<Block>| page.iter().map(|block| block.ward).collect::<Vec<usize>>();
        let here = self.plan.pages.get(page).map(of).unwrap_or_default();
        let mut others: Vec<usize> = self.plan.pages.iter().flat_map(of).filter(|ward| !here.contains(ward)).collect();
        others.sort_unstable();
        others.dedup();
        others
    }

    fn corridor(&self, pen: &mut Pen<'_>, survey: &Survey, block: &Block, chosen: Option<usize>) -> Option<Position> {
        let (tile_width, tile_height) = (self.plan.tile_width, self.plan.tile_height);
        let columns = u16::try_from(block.near.len()).unwrap_or(u16::MAX);
        let length = columns.saturating_mul(tile_width).saturating_sub(1).min(pen.width());
        heading(&mut pen.field(0, block.top + tile_height, pen.width(), 1), survey, block, length);
        let mut cursor = None;
        let sides = [(&block.near, block.top), (&block.far, block.top + 1 + tile_height)];
        for (side, top) in sides {
            for (column, at) in side.iter().enumerate() {
                let Some((at, room)) = at.and_then(|at| Some((at, survey.rooms.get(at)?))) else { continue };
                let left = u16::try_from(column).unwrap_or(u16::MAX).saturating_mul(tile_width);
                let mut field = pen.field(left, top, tile_width.saturating_sub(1), tile_height);
                let here = tile(&mut field, room, chosen == Some(at));
                cursor = cursor.or(here);
            }
        }
        cursor
    }
}

/// How many rooms are in each state, and how many beds are open. It is the legend of the signs as well, in the longest
/// words that fit.
fn counts(pen: &mut Pen<'_>, survey: &Survey) {
    let states = || State::ALL.into_iter().zip(survey.by_state);
    let chip = |words: fn(State) -> &'static str, pad: &'static str| -> Vec<(String, Part)> {
        let one = |(state, count)| format!("{pad}{} {count} {}{pad}", state_sign(state), words(state));
        states().map(|it| (one(it), state_part(it.0))).collect()
    };
    let kept = |word: &str| match survey.promised {
        0 => String::new(),
        count => format!(", k {count}{word}"),
    };
    let open = survey.open + survey.promised;
    let whole = format!("O {open} of {} beds open{}", survey.beds, kept(" of them promised"));
    let beds = [
        format!("{whole}, p patient, x closed, u unknown"),
        format!("O {open}/{} open{}, p patient, x closed, u unknown", survey.beds, kept(" promised")),
        whole,
        format!("O {open}/{} open{}", survey.beds, kept(" promised")),
        format!("O {open}/{} open{}", survey.beds, kept("")),
        format!("O {open} open{}", kept("")),
    ];
    let [legend, short_legend, whole, short, shorter, least] = &beds;
    let wordings = [
        (chip(State::word, " "), legend),
        (chip(State::word, " "), short_legend),
        (chip(State::word, " "), whole),
        (chip(State::word, ""), whole),
        (chip(short_of_counts, ""), whole),
        (chip(short_of_counts, ""), short),
        (chip(short_of_counts, ""), shorter),
        (chip(least_of_state, ""), short),
        (chip(least_of_state, ""), shorter),
        (chip(least_of_state, ""), least),
    ];
    let taken = |chips: &[(String, Part)]| chips.iter().map(|(text, _)| width(text) + 1).fold(0, u16::saturating_add);
    let fits = |(chips, beds): &&(Vec<(String, Part)>, &String)| taken(chips) + width(beds) <= pen.width();
    let Some((chips, beds)) = wordings.iter().find(fits).or(wordings.last()) else { return };
    let mut x = 0;
    for (text, part) in chips {
        x = pen.put(x, 0, text, *part) + 1;
    }
    pen.put_right(0, beds, Part::Strong);
}

/// For the narrow line of counts. "Dry" alone could pass for ready.
fn short_of_counts(state: State) -> &'static str {
    match state {
        State::Monitoring => "monitor",
        State::TreatedWet => "wet",
        State::TreatedDry => "tr-dry",
        _ => state_short(state),
    }
}

pub(super) fn least_of_state(state: State) -> &'static str {
    match state {
        State::Clear => "clr",
        State::Suspect => "sus",
        State::Confirmed => "conf",
        State::TreatedWet => "wet",
        State::TreatedDry => "tr-dry",
        State::Monitoring => "mon",
    }
}

/// Every room by name before any says since when. Where the names alone are too many, the counts above say how many are
/// wet, and the rooms themselves carry it.
fn do_not_enter(pen: &mut Pen<'_>, rooms: &[Wet]) {
    let x = pen.chip(0, 0, "Do not enter", Part::No) + 1;
    let space = pen.width().saturating_sub(x);
    let said = |tell: &dyn Fn(&Wet) -> String| rooms.iter().map(tell).collect::<Vec<_>>().join(", ");
    let ways = [said(&Wet::whole), said(&Wet::short), said(&|wet| wet.code.to_string())];
    if let Some(text) = ways.iter().find(|text| width(text) <= space) {
        pen.put(x, 0, text, Part::Plain);
        return;
    }
    let more = |shown: usize| format!(", and {} more", rooms.len() - shown);
    let mut text = String::new();
    for (at, wet) in rooms.iter().enumerate() {
        let comma = if at == 0 { "" } else { ", " };
        let longer = format!("{text}{comma}{}", wet.code);
        if at > 0 && width(&longer) + width(&more(at + 1)) > space {
            text.push_str(&more(at));
            break;
        }
        text = longer;
    }
    pen.put_in(x, 0, space, &text, Part::Plain);
}

/// The ward's name along its corridor, with what it has open and to do.
fn heading(pen: &mut Pen<'_>, survey: &Survey, block: &Block, length: u16) {
    let Some(ward) = survey.wards.get(block.ward) else { return };
    let name = format!("{} {}{}", ward.code, ward.name, if block.continued { ", further along" } else { "" });
    let roomy = pen.width() >= 110;
    let beds = match (ward.beds, roomy) {
        (0, _) => String::new(),
        (all, true) => format!("  {}", open_words(ward.open, ward.promised, all, " beds open")),
        (all, false) => format!("  {}", short_open_words(ward.open, ward.promised, all)),
    };
    let now = if roomy { " now" } else { "" };
    let work = match ward.work {
        0 => String::new(),
        1 => format!(", 1 room with work{now}"),
        rooms => format!(", {rooms} rooms with work{now}"),
    };
    let x = pen.put(0, 0, "── ", Part::Plain);
    let space = pen.width().saturating_sub(x);
    let name_columns = space.saturating_sub(width(&beds) + width(&work) + 1).max(space / 2);
    let x = pen.put_in(x, 0, name_columns, &name, Part::Strong);
    let x = pen.put(x, 0, &format!("{beds}{work} "), Part::Plain);
    pen.put(x, 0, &"─".repeat(usize::from(length.saturating_sub(x))), Part::Plain);
}

/// What is on other pages, a ward a line: open beds, and how many rooms are not clear.
fn elsewhere(pen: &mut Pen<'_>, survey: &Survey, wards: &[usize]) {
    let lines = usize::from(pen.height());
    let told = if wards.len() > lines { lines.saturating_sub(1) } else { wards.len() };
    let first = pen.height().saturating_sub(u16::try_from(told + usize::from(told < wards.len())).unwrap_or(0));
    let mut y = first;
    for at in wards.iter().take(told) {
        let Some(ward) = survey.wards.get(*at) else { continue };
        let count = |state: State| survey.rooms.iter().filter(|room| room.ward == *at && room.state == state).count();
        let states = State::ALL.into_iter().filter(|state| *state != State::Clear).map(|state| (state, count(state)));
        let states: Vec<String> = states
            .filter(|(_, rooms)| *rooms > 0)
            .map(|(state, rooms)| format!("{} {rooms} {}", state_sign(state), state_short(state)))
            .collect();
        let beds = match ward.beds {
            0 => String::new(),
            all => format!("  {}", short_open_words(ward.open, ward.promised, all)),
        };
        let states = if states.is_empty() { "every room clear".to_owned() } else { states.join("  ") };
        let x = pen.put(0, y, &format!("{} ", ward.code), Part::Strong);
        let rest = format!("{}{beds}   {states}", if pen.width() >= ROOMY { ward.name.as_str() } else { "" });
        let text = if width(&rest) <= pen.width().saturating_sub(x) { rest } else { format!("{beds}   {states}") };
        pen.put_in(x, y, pen.width().saturating_sub(x), text.trim_start(), Part::Plain);
        y += 1;
    }
    if told < wards.len() {
        pen.put(0, y, &format!("and {} more wards on other pages", wards.len() - told), Part::Plain);
    }
}

fn rows(pen: &mut Pen<'_>, survey: &Survey, block: &Block, chosen: Option<usize>) -> Option<Position> {
    let columns = pen.width();
    heading(&mut pen.field(0, block.top, columns, 1), survey, block, columns);
    let code_columns = survey.longest_code.min(20);
    let mut cursor = None;
    for (line, at) in block.near.iter().enumerate() {
        let Some((at, room)) = at.and_then(|at| Some((at, survey.rooms.get(at)?))) else { continue };
        let y = block.top.saturating_add(1).saturating_add(u16::try_from(line).unwrap_or(u16::MAX));
        let mark = if chosen == Some(at) { '>' } else { ' ' };
        pen.put_in(0, y, 3 + code_columns, &format!("{mark}{} {}", state_sign(room.state), room.code), Part::Plain);
        if chosen == Some(at) {
            pen.mark(0, y, 3 + code_columns, Part::Chosen);
            cursor = pen.at(0, y);
        }
        pen.put(4 + code_columns, y, &format!(" {:<11} ", room.state.word()), state_part(room.state));
        let x = 18 + code_columns;
        let for_beds = if pen.width() >= 110 { 36 } else { 21 };
        let beds = beds_in_short(room);
        pen.put_in(x, y, for_beds, if beds.is_empty() { &room.name } else { &beds }, Part::Plain);
        let x = x + for_beds + 1;
        let space = pen.width().saturating_sub(x);
        let ways = work_in_words(room);
        if let Some(text) = ways.iter().find(|text| width(text) <= space).or(ways.last()) {
            pen.put_in(x, y, space, text, Part::Plain);
        }
    }
    cursor
}

/// `A open, B patient`, with the signs of what is to be known.
fn beds_in_short(room: &RoomLine) -> String {
    let beds = room.beds.iter().map(|bed| format!("{} {}", bed.short, bed.short_words()));
    beds.collect::<Vec<_>>().join(", ")
}

/// What is next and what else is overdue, the fullest way to say it first.
fn work_in_words(room: &RoomLine) -> Vec<String> {
    let next: Vec<String> = room.step.iter().flat_map(|step| step.ways_to_say()).collect();
    let late: Vec<String> = room.overdue.iter().flat_map(|step| step.ways_to_say()).collect();
    match (next.is_empty(), late.is_empty()) {
        (_, true) => next,
        (true, false) => late,
        (false, false) => {
            let mut ways: Vec<String> =
                next.iter().zip(&late).map(|(next, late)| format!("{next}; also {late}")).collect();
            ways.extend(next);
            ways
        }
    }
}

/// The chosen room in a line: what it is, and its beds.
fn about(pen: &mut Pen<'_>, room: &RoomLine, marks: &[BedMark]) {
    let x = pen.put(0, 0, room.code.as_str(), Part::Strong) + 1;
    let x = pen.chip(x, 0, room.state.headline_of(room.closed), state_part(room.state)) + 1;
    let mut facts = vec![room.name.clone(), beds_in_short(room)];
    facts.extend(room.wet_since.clone());
    let serves: Vec<String> = room.serves.iter().map(ToString::to_string).collect();
    facts.extend((!serves.is_empty()).then(|| format!("serves {}", serves.join(", "))));
    facts.retain(|fact| !fact.is_empty());
    let facts = facts.join("; ");
    // The signs beside open beds are always explained, whatever else has to give way.
    let all = pen.width();
    let space = |legend: &str| all.saturating_sub(if legend.is_empty() { 0 } else { width(legend) + 2 });
    let ways = [mark_legend(marks, "  "), short_mark_legend(marks)];
    let marks = ways.iter().find(|legend| x + width(&facts) <= space(legend)).or(ways.last());
    let marks = marks.map_or("", String::as_str);
    pen.put_right(0, marks, Part::Plain);
    let columns = space(marks);
    let end = pen.put_in(x, 0, columns.saturating_sub(x), &facts, Part::Plain);
    // Small tiles show signs alone. On a roomy screen the line of counts explains them.
    let signs = BED_SIGNS.map(|(sign, word, _)| format!("{sign} {word}"));
    let fits = |legend: &String| pen.width() < ROOMY && marks.is_empty() && end + 2 + width(legend) <= columns;
    if let Some(legend) = [signs.join("  "), signs.join(" ")].into_iter().find(fits) {
        pen.put_right(0, &legend, Part::Plain);
    }
}

/// What is to be done in it, by whom and when.
fn about_work(pen: &mut Pen<'_>, room: &RoomLine) {
    let ways = work_in_words(room);
    let title = if room.step.is_none() && !ways.is_empty() { "To do: " } else { "Next: " };
    let x = pen.put(0, 0, title, Part::Strong);
    let space = pen.width().saturating_sub(x);
    let text = ways.iter().find(|text| width(text) <= space).or(ways.last());
    pen.put_in(x, 0, space, text.map_or("nothing but the daily look", String::as_str), Part::Plain);
}

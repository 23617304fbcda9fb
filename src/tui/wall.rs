//! A page for a screen on the wall, read from three metres and touched by nobody: counts, rooms not to enter, open beds,
//! what is next for the closed ones, and what has waited longest, on pages that turn. It says how old its newest entry is.
//!
//! Letters are readable from 3 m on a 55-inch screen if at most 23 lines are on it: character height 1/200 of the distance
//! (FAA Human Factors, Visual Displays). So a page is never fuller than that, however large the terminal is.

use super::age;
use super::board::next_steps;
use super::look::Part;
use super::paint::{Pen, width, wrap};
use super::survey::{BedWord, Survey, mark_legend, mark_signs, state_part, state_short, state_sign};
use super::world::World;
use crate::domain::board::State;
use crate::domain::clock::time_of_day;
use crate::domain::entry::Time;
use crate::domain::shift::missing;

/// Lines of a page, its two heads and its foot among them.
const MOST_LINES: u16 = 23;
const MOST_COLUMNS: u16 = 83;
const HEAD: u16 = 4;
const OPEN: &str = "Open beds";
const RECORD: &str = "The record";
/// Rooms that have waited longest.
const MOST_WAITS: usize = 15;

#[derive(Default)]
pub struct Wall {
    page: usize,
    pages: Vec<Vec<Line>>,
    /// `newest entry 14:10, 22 min ago`.
    newest: String,
    clock: String,
    /// The terminal has more lines than can be read from afar.
    is_small_print: bool,
}

enum Line {
    Heading(String),
    /// Nobody may go there.
    No(String),
    Strong(String),
    Text(String),
}

struct Section {
    title: &'static str,
    none: &'static str,
    lines: Vec<Line>,
    /// What the signs in its lines stand for, on each page.
    legend: String,
}

impl Wall {
    pub(super) fn refresh(&mut self, world: &World<'_>, survey: &Survey, columns: u16, lines: u16) {
        let zone = world.board.facility().time_zone;
        self.is_small_print = lines > MOST_LINES + 4;
        self.clock = time_of_day(world.now, zone);
        self.newest = match world.board.last() {
            Some((number, noted)) => format!("newest entry {number}, {}", age::with_age(noted, world.now, zone)),
            None => "nothing was noted yet".to_owned(),
        };
        let columns = usize::from(columns.min(MOST_COLUMNS)).saturating_sub(2);
        let sections =
            [record(world, columns), not_to_enter(survey), open(survey, columns), next(survey), waits(world, survey)];
        let room = usize::from(lines.min(MOST_LINES).saturating_sub(HEAD + 2)).max(2);
        self.pages = pages(sections, room);
        self.page = self.page.min(self.pages.len().saturating_sub(1));
    }

    pub(super) fn turn(&mut self, back: bool) {
        let count = self.pages.len().max(1);
        self.page = (self.page + if back { count - 1 } else { 1 }) % count;
    }

    pub(super) fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) {
        let (columns, lines) = (pen.width().min(MOST_COLUMNS), pen.height().min(MOST_LINES));
        let mut pen = pen.field(0, 0, columns, lines);
        pen.put_in(0, 0, columns.saturating_sub(width(&self.clock) + 1), &survey.hospital, Part::Strong);
        pen.put_right(0, &self.clock, Part::Strong);
        let mut x = 0;
        for (state, count) in State::ALL.into_iter().zip(survey.by_state) {
            x = pen.chip(x, 1, &format!("{} {count} {}", state_sign(state), state_short(state)), state_part(state)) + 1;
        }
        let open = survey.open_words(" beds open");
        let ways = [
            format!("{open}, as far as bed bugs are concerned; check cleaning"),
            format!("{open}, for bed bugs; check cleaning"),
        ];
        let open = ways.iter().find(|text| width(text) <= columns).or(ways.last());
        pen.put_in(0, 2, columns, open.map_or("", String::as_str), Part::Strong);
        let page = self.pages.get(self.page).map(Vec::as_slice).unwrap_or_default();
        for (y, line) in (HEAD..lines.saturating_sub(1)).zip(page) {
            match line {
                Line::Heading(text) => pen.rule(y, text),
                Line::No(text) => {
                    let x = pen.chip(1, y, "Do not enter", Part::No) + 1;
                    pen.put_in(x, y, columns.saturating_sub(x), text, Part::Strong);
                }
                Line::Strong(text) => {
                    pen.put_in(1, y, columns.saturating_sub(1), text, Part::Strong);
                }
                Line::Text(text) => {
                    pen.put_in(1, y, columns.saturating_sub(1), text, Part::Plain);
                }
            }
        }
        let small = if self.is_small_print { "; make the letters larger to read it from afar" } else { "" };
        let foot = format!("page {} of {}; {}{small}", self.page + 1, self.pages.len().max(1), self.newest);
        pen.put_in(0, lines.saturating_sub(1), columns, &foot, Part::Plain);
    }
}

/// Sections on pages; one that goes on says so.
fn pages(sections: [Section; 5], room: usize) -> Vec<Vec<Line>> {
    let mut pages: Vec<Vec<Line>> = vec![vec![]];
    for section in sections {
        let count = section.lines.len();
        if count == 0 && section.title == RECORD {
            continue;
        }
        // Open beds share lines, and are counted above.
        let title = match (count, section.title) {
            (0, title) => format!("{title}: none"),
            (_, OPEN | RECORD) => section.title.to_owned(),
            (count, title) => format!("{title}: {count}"),
        };
        let legend = if section.legend.is_empty() { String::new() } else { format!("; {}", section.legend) };
        let title = format!("{title}{legend}");
        let lines = if count == 0 { vec![Line::Text(section.none.to_owned())] } else { section.lines };
        let mut heading = Some(Line::Heading(title));
        for line in lines {
            // A heading is never alone at the foot of a page.
            let wanted = if heading.is_some() { 2 } else { 1 };
            if pages.last().is_some_and(|page| page.len() + wanted > room) {
                pages.push(vec![]);
                heading = heading.or_else(|| Some(Line::Heading(format!("{}, going on{legend}", section.title))));
            }
            if let Some(page) = pages.last_mut() {
                page.extend(heading.take());
                page.push(line);
            }
        }
    }
    pages
}

/// What may be missing in the record stands before everything that is read from it.
fn record(world: &World<'_>, columns: usize) -> Section {
    let columns = u16::try_from(columns).unwrap_or(u16::MAX);
    let gaps = missing(world.board, world.entries, world.now);
    let texts = gaps.iter().flat_map(|gap| wrap(&format!("{}. {}", gap.title, gap.whole), columns));
    Section { title: RECORD, none: "", lines: texts.map(Line::Strong).collect(), legend: String::new() }
}

fn not_to_enter(survey: &Survey) -> Section {
    let mut wet: Vec<_> = survey.rooms.iter().filter(|room| room.wet_since.is_some()).collect();
    wet.sort_by_key(|room| !room.patient_inside);
    let line = |room: &&super::survey::RoomLine| {
        // What is to be done is never what is cut.
        let inside = if room.patient_inside { "PATIENT INSIDE: move the patient out now; " } else { "" };
        Line::No(format!("{}  {inside}{}", room.code, room.wet_since.as_deref().unwrap_or_default()))
    };
    Section {
        title: "Rooms not to enter",
        none: "No room is known to be wet.",
        lines: wet.iter().map(line).collect(),
        legend: String::new(),
    }
}

/// A ward's open beds, as many on a line as fit.
fn open(survey: &Survey, columns: usize) -> Section {
    let mut lines = vec![];
    for (at, ward) in survey.wards.iter().enumerate() {
        let rooms = survey.rooms.iter().filter(|room| room.ward == at);
        let beds = rooms.flat_map(|room| &room.beds).filter(|bed| bed.word() == BedWord::Open);
        let start = format!("{}:", ward.code);
        let mut text = start.clone();
        for bed in beds {
            let kept = if bed.promised.is_some() { " (promised)" } else { "" };
            let code = format!("{}{}{kept}", bed.code, mark_signs(&bed.marks));
            if usize::from(width(&text) + width(&code)) + 2 > columns {
                lines.push(Line::Text(std::mem::replace(&mut text, " ".repeat(usize::from(width(&start))))));
            }
            text = format!("{text}  {code}");
        }
        if text != start {
            lines.push(Line::Text(text));
        }
    }
    Section { title: OPEN, none: "No bed is open.", lines, legend: mark_legend(&survey.marks, ", ") }
}

fn next(survey: &Survey) -> Section {
    let space = MOST_COLUMNS.saturating_sub(4);
    let fitting = |ways: Vec<String>| ways.iter().find(|text| width(text) <= space).or(ways.last()).cloned();
    Section {
        title: "Not open, earliest time (a plan, no permission) and next step",
        none: "Every closed bed waits for its patient.",
        lines: next_steps(survey).into_iter().filter_map(fitting).map(Line::Text).collect(),
        legend: String::new(),
    }
}

/// Rooms whose oldest trouble is unsettled for longest.
fn waits(world: &World<'_>, survey: &Survey) -> Section {
    let board = world.board;
    let oldest = |room: &super::survey::RoomLine| -> Option<Time> {
        board.room(room.code)?.unsettled().map(|closer| closer.happened).min()
    };
    let mut rooms: Vec<(Time, &super::survey::RoomLine)> =
        survey.rooms.iter().filter_map(|room| Some((oldest(room)?, room))).collect();
    rooms.sort_by_key(|(since, _)| *since);
    let line = |(since, room): (Time, &super::survey::RoomLine)| {
        let step = room.step.as_ref().map(|step| format!("  {}", step.short)).unwrap_or_default();
        let state = room.state.headline_of(room.closed);
        Line::Text(format!("{}  {}  {state}{step}", room.code, age::length(world.now - since)))
    };
    let lines = rooms.into_iter().take(MOST_WAITS).map(line).collect();
    Section { title: "Waits longest", none: "Nothing waits.", lines, legend: String::new() }
}

//! Under the rooms of a large screen: which rooms not to enter, which beds open next, what is overdue.

use chrono_tz::Tz;

use super::plan::Style;
use crate::domain::board::{Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::Time;
use crate::tui::beds::{first_things, next_to_open};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, width};
use crate::tui::step::StepLine;
use crate::tui::survey::{RoomLine, Survey};

pub(super) const LEAST_LINES: u16 = 7;
pub(super) const MOST_LINES: u16 = 14;
/// Three columns of sentences need this much.
const LEAST_COLUMNS: u16 = 130;
/// Less for the rooms would cost more than the strip gives.
const LEAST_FOR_ROOMS: u16 = 20;

pub(super) fn fits(columns: u16, lines: u16, style: Style) -> bool {
    style == Style::Corridor && columns >= LEAST_COLUMNS && lines >= LEAST_FOR_ROOMS + LEAST_LINES
}

pub(super) struct Strip {
    columns: [Column; 3],
    pub lines: u16,
}

struct Column {
    title: String,
    part: Part,
    /// Each the fullest way to say it first.
    items: Vec<Vec<String>>,
    more: usize,
}

/// A room that nobody may enter.
#[derive(Clone, PartialEq, Eq)]
pub(super) struct Wet {
    pub code: Code,
    since: String,
    patient_inside: bool,
}

impl Wet {
    pub(super) fn whole(&self) -> String {
        let inside = if self.patient_inside { "PATIENT INSIDE, " } else { "" };
        format!("{} ({inside}{})", self.code, self.since)
    }

    pub(super) fn short(&self) -> String {
        if self.patient_inside { format!("{} (PATIENT INSIDE)", self.code) } else { self.code.to_string() }
    }
}

/// Those with a patient inside first.
pub(super) fn not_to_enter(survey: &Survey) -> Vec<Wet> {
    let wet = |room: &RoomLine| {
        let since = room.wet_since.clone()?;
        Some(Wet { code: room.code, since, patient_inside: room.patient_inside })
    };
    let mut rooms: Vec<Wet> = survey.rooms.iter().filter_map(wet).collect();
    rooms.sort_by_key(|wet| !wet.patient_inside);
    rooms
}

impl Strip {
    pub(super) fn of(survey: &Survey, wet: &[Wet], lines: u16) -> Self {
        let room = usize::from(lines.saturating_sub(1));
        // Each line with how many things it tells of.
        let column = |title: &str, part, all: Vec<(usize, Vec<String>)>| {
            let count: usize = all.iter().map(|(things, _)| things).sum();
            // What has no line is counted, and the count takes one.
            let kept = if all.len() > room { room.saturating_sub(1) } else { all.len() };
            let title = format!("{title}: {}", if count == 0 { "none".to_owned() } else { count.to_string() });
            let more = all.iter().skip(kept).map(|(things, _)| things).sum();
            Column { title, part, items: all.into_iter().take(kept).map(|(_, ways)| ways).collect(), more }
        };
        let one = |ways: Vec<String>| (1, ways);
        let part = if wet.is_empty() { Part::Strong } else { Part::No };
        Self {
            columns: [
                column("Do not enter", part, wet.iter().map(|wet| one(vec![wet.whole(), wet.short()])).collect()),
                column("Not open, next step", Part::Strong, next_steps_counted(survey)),
                column("Overdue", Part::Strong, overdue(survey, survey.clock)),
            ],
            lines,
        }
    }

    pub(super) fn paint(&self, pen: &mut Pen<'_>) {
        // Rooms not to enter are few words; the others are sentences.
        let (quarter, more) = (pen.width() / 4, pen.width() * 3 / 8);
        let places = [(0, quarter), (quarter, more), (quarter + more, more)];
        for ((x, columns), column) in places.into_iter().zip(&self.columns) {
            let mut field = pen.field(x, 0, columns.saturating_sub(2), self.lines);
            if column.part == Part::No {
                field.chip(0, 0, &column.title, column.part);
            } else {
                field.put(0, 0, &column.title, column.part);
            }
            let mut y = 1;
            for ways in &column.items {
                let text = ways.iter().find(|text| width(text) < field.width()).or(ways.last());
                field.put_in(1, y, field.width().saturating_sub(1), text.map_or("", String::as_str), Part::Plain);
                y += 1;
            }
            if column.more > 0 {
                field.put(1, y, &format!("and {} more", column.more), Part::Plain);
            }
        }
    }
}

pub(in crate::tui) fn next_steps(survey: &Survey) -> Vec<Vec<String>> {
    next_steps_counted(survey).into_iter().map(|(_, ways)| ways).collect()
}

/// Beds of one room that wait for the same are one line: how many, and what is said of them.
fn next_steps_counted(survey: &Survey) -> Vec<(usize, Vec<String>)> {
    let mut lines: Vec<(usize, String, Vec<String>, usize)> = vec![];
    for (room_at, bed_at) in next_to_open(survey) {
        let room = survey.rooms.get(room_at);
        let Some((room, bed)) = room.and_then(|room| Some((room, room.beds.get(bed_at)?))) else { continue };
        let things = first_things(room, bed);
        match lines.last_mut() {
            Some((same, beds, known, count)) if *same == room_at && *known == things => {
                beds.push_str(" and ");
                beds.push_str(&bed.short);
                *count += 1;
            }
            _ => lines.push((room_at, bed.code.to_string(), things, 1)),
        }
    }
    let said = |(_, beds, things, count): (usize, String, Vec<String>, usize)| {
        (count, things.iter().map(|thing| format!("{beds}  {thing}")).collect())
    };
    lines.into_iter().map(said).collect()
}

/// A line a task; the looks of a ward are one line, and so is its walk or its count. How many tasks each line is.
fn overdue(survey: &Survey, now: Option<(Time, Tz)>) -> Vec<(usize, Vec<String>)> {
    let Some((now, zone)) = now else { return vec![] };
    let mut late: Vec<(Option<usize>, &Task, usize)> = vec![];
    for task in survey.tasks.iter().filter(|task| task.overdue) {
        let is_folded = task.kind.is_of_ward() || task.kind == TaskKind::DailyLook;
        let ward = survey.room(task.room).map(|room| room.ward).filter(|_| is_folded);
        let same = |(of, known, _): &&mut (Option<usize>, &Task, usize)| {
            of.is_some() && *of == ward && known.kind == task.kind
        };
        match late.iter_mut().find(same) {
            Some((_, _, count)) if task.kind == TaskKind::DailyLook => *count += 1,
            Some(_) => {}
            None => late.push((ward, task, 1)),
        }
    }
    let line = |(ward, task, count): (Option<usize>, &Task, usize)| {
        let place = ward.and_then(|at| survey.wards.get(at)).map_or(task.room, |ward| ward.code);
        let mut step = StepLine::of_task(task, now, zone);
        if count > 1 {
            step.text = format!("daily looks of {count} rooms");
            step.short.clone_from(&step.text);
        }
        (count, step.ways_to_say().map(|text| format!("{place}  {text}")).to_vec())
    };
    late.into_iter().map(line).collect()
}

//! Under the rooms of a large screen: which rooms not to enter, which beds open next, what is overdue.

use super::plan::Style;
use crate::domain::code::Code;
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
        let column = |title: &str, part, all: Vec<Vec<String>>| {
            let count = all.len();
            // What has no line is counted, and the count takes one.
            let kept = if count > room { room.saturating_sub(1) } else { count };
            let title = format!("{title}: {}", if count == 0 { "none".to_owned() } else { count.to_string() });
            Column { title, part, items: all.into_iter().take(kept).collect(), more: count - kept }
        };
        let part = if wet.is_empty() { Part::Strong } else { Part::No };
        Self {
            columns: [
                column("Do not enter", part, wet.iter().map(|wet| vec![wet.whole(), wet.short()]).collect()),
                column("Not open, next step", Part::Strong, next_steps(survey)),
                column("Overdue", Part::Strong, overdue(survey)),
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

/// Beds of one room that wait for the same are one line.
pub(in crate::tui) fn next_steps(survey: &Survey) -> Vec<Vec<String>> {
    let mut lines: Vec<(usize, String, Vec<String>)> = vec![];
    for (room_at, bed_at) in next_to_open(survey) {
        let room = survey.rooms.get(room_at);
        let Some((room, bed)) = room.and_then(|room| Some((room, room.beds.get(bed_at)?))) else { continue };
        let things = first_things(room, bed);
        match lines.last_mut() {
            Some((same, beds, known)) if *same == room_at && *known == things => {
                beds.push_str(" and ");
                beds.push_str(&bed.short);
            }
            _ => lines.push((room_at, bed.code.to_string(), things)),
        }
    }
    lines.into_iter().map(|(_, beds, things)| things.iter().map(|thing| format!("{beds}  {thing}")).collect()).collect()
}

fn overdue(survey: &Survey) -> Vec<Vec<String>> {
    let say = |code: &str, step: &StepLine| step.ways_to_say().map(|text| format!("{code}  {text}")).to_vec();
    let mut late: Vec<(&str, &StepLine)> = vec![];
    for room in &survey.rooms {
        late.extend(room.step.iter().filter(|step| step.overdue).map(|step| (room.code.as_str(), step)));
        late.extend(room.overdue.iter().map(|step| (room.code.as_str(), step)));
    }
    late.sort_by_key(|(_, step)| step.due);
    late.into_iter().map(|(code, step)| say(code, step)).collect()
}

//! The chosen task in full: when, whose, why, what the room is, and what is still missing after it.

use super::list::Row;
use super::view::WIDE;
use super::whose::Whose;
use super::words;
use crate::domain::board::{Gives, Task, TaskKind, who_may};
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::hindrance::hindrance;
use crate::domain::likely::{NO_PERMISSION, dry_in_words};
use crate::domain::need::Need;
use crate::domain::shift::task_words;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::base::joined;
use crate::tui::paint::wrap;
use crate::tui::step;
use crate::tui::survey::Survey;
use crate::tui::world::World;

#[derive(Default)]
pub(super) struct Detail {
    pub title: String,
    /// Label and text, one screen line each; a text that goes on has an empty label.
    pub lines: Vec<(&'static str, String)>,
}

/// Columns of the labels.
pub(super) const LABEL: u16 = 12;

impl Detail {
    /// All of it, where that is more than these lines hold.
    pub(super) fn in_full(&self, lines: u16) -> Vec<(String, String)> {
        if self.lines.len() <= usize::from(lines) {
            return vec![];
        }
        joined(&self.title, self.lines.iter().map(|(label, text)| (*label, text.as_str())))
    }

    pub(super) fn of(row: &Row, task: &Task, whose: &Whose, world: &World<'_>, survey: &Survey, columns: u16) -> Self {
        let folded = row.count > 1;
        let ward = survey.room(task.room).and_then(|room| survey.wards.get(room.ward));
        let title = match (folded, ward) {
            (true, Some(ward)) if task.kind == TaskKind::DailyLook => {
                format!("Ward {} {}: daily looks of {} rooms", ward.code, ward.name, row.count)
            }
            (_, Some(ward)) if task.kind.is_of_ward() => {
                format!("Ward {} {}: {}", ward.code, ward.name, shown(&task.need))
            }
            _ => format!("Room {}: {}", task.room, shown(&task_words(task, world.board, world.entries, world.now))),
        };
        let code = task.rule().map(|rule| format!(" [{}]", rule.code())).unwrap_or_default();
        let title = format!("{title}{code}");
        let mut told: Vec<(&'static str, String)> = vec![("Gives back", gives(task, world))];
        told.push(("Who", who(task, whose)));
        // A narrow screen has it in the line above.
        if columns >= WIDE {
            told.push(("When", when(task, folded, world)));
        }
        if let Some(about) = task.dry_about {
            told.push(("Likely", format!("{} ({NO_PERMISSION})", dry_in_words(about, world.board, world.now))));
        }
        if folded {
            let does = match task.kind {
                TaskKind::DailyLook => "Enter notes the ward's round; Right shows its rooms, Left folds them again",
                TaskKind::Occupancy => "one count does for the ward; Right shows its rooms, Left folds them again",
                _ => "one signature does for the ward; Right shows its rooms, Left folds them again",
            };
            told.push(("One line", does.to_owned()));
        }
        if task.kind != TaskKind::Bag {
            let zone = world.board.facility().time_zone;
            let why = hindrance(world.entries, task.room, world.now, zone);
            told.extend(why.map(|text| ("Tried", shown(&text))));
        }
        told.extend(asked_by(task, world).map(|text| ("Asked by", text)));
        if !folded {
            told.push(("Room", room(task, survey)));
        }
        told.extend(task.rule().map(|rule| ("Rule", rule.sentence().to_owned())));
        let mut lines = vec![];
        for (label, text) in told {
            let mut label = label;
            for line in wrap(&text, columns.saturating_sub(LABEL)) {
                lines.push((std::mem::take(&mut label), line));
            }
        }
        Self { title, lines }
    }
}

fn when(task: &Task, folded: bool, world: &World<'_>) -> String {
    let (now, zone) = (world.now, world.board.facility().time_zone);
    let first = if folded { ", the first of them" } else { "" };
    match task.due {
        None => "not before what it waits for, or its clock does not run yet".to_owned(),
        Some(due) if task.overdue => {
            format!("{} (was due {}){first}", age::due(due, now, zone), age::clock(due, now, zone))
        }
        Some(due) if task.kind == TaskKind::DryCheck && due > now => {
            let allowed = match task.not_before {
                Some(label) if label == due => "the label's time".to_owned(),
                Some(label) if label > now => {
                    format!("an estimate; the label allows it from {}", age::clock(label, now, zone))
                }
                _ => "an estimate, or an hour after a damp check; it may be done now".to_owned(),
            };
            format!("{}, in {}: {allowed}", step::before_its_time(task, due, now, zone), age::ahead(due - now))
        }
        Some(due) if due < now => format!("now: possible since {}", age::with_age(due, now, zone)),
        Some(due) => format!("{}{first}", age::due(due, now, zone)),
    }
}

fn who(task: &Task, whose: &Whose) -> String {
    let role = task.role.title();
    let may = if task.kind == TaskKind::DailyLook { who_may("round") } else { who_may(task.verb) };
    let own_hands = whose.me().is_some_and(|me| task.not_for.contains(&me));
    let taken = match task.accepted_by {
        Some(who) if whose.me() == Some(who) => format!("you have it ({who}); "),
        Some(who) => format!("{who} has it; "),
        None => String::new(),
    };
    match (whose.me(), whose.may(task)) {
        (None, _) => format!("{taken}{role}; for {may}"),
        (Some(_), true) => format!("{taken}{role}; you may do it"),
        (Some(_), false) if own_hands => {
            format!("{taken}{role}; not for you: for somebody who did not note or void it")
        }
        (Some(_), false) => format!("{taken}{role}; not for you, for {may}"),
    }
}

fn gives(task: &Task, world: &World<'_>) -> String {
    if task.kind == TaskKind::Occupancy {
        return "each bed that is seen empty opens: nothing else keeps it".to_owned();
    }
    if task.asked.is_none() {
        return "no bed waits for it".to_owned();
    }
    gives_back(task.room, &task.gives, &|need| task.meets(need), world)
}

/// The beds that wait for a task, and what is still missing in its room after it.
pub(in crate::tui) fn gives_back(room: Code, gives: &Gives, meets: &dyn Fn(Need) -> bool, world: &World<'_>) -> String {
    if gives.is_nothing() {
        return "no empty bed waits for it now".to_owned();
    }
    let beds: Vec<String> = gives.opens.iter().chain(&gives.nearer).map(ToString::to_string).collect();
    let beds = match beds.as_slice() {
        many if many.len() > 6 => {
            format!("{} and {} more", many.get(..5).unwrap_or_default().join(", "), many.len() - 5)
        }
        few => few.join(", "),
    };
    let own = world.board.evidence(room).into_iter();
    let after: Vec<Need> = own.filter(|it| it.met_by.is_none() && !meets(it.need)).map(|it| it.need).collect();
    let missing = words::missing(&after);
    let then = match (missing.is_empty(), gives.opens.is_empty()) {
        (_, false) => "nothing else is missing".to_owned(),
        (true, true) => "then something elsewhere is still missing".to_owned(),
        (false, true) => format!("then still missing: {}", missing.join("; ")),
    };
    let more = if gives.more { "; more steps will follow" } else { "" };
    format!("{}: {beds}; {then}{more}", gives.words())
}

/// The entry behind it, in words.
fn asked_by(task: &Task, world: &World<'_>) -> Option<String> {
    if task.cause.0 == 0 {
        return None;
    }
    let at = world.entries.binary_search_by_key(&task.cause, |entry| entry.number).ok();
    let Some(entry) = at.and_then(|at| world.entries.get(at)) else {
        return Some(format!("entry {}, which cannot be read", task.cause));
    };
    let zone = world.board.facility().time_zone;
    let (number, by) = (entry.number, entry.done_by);
    let happened = age::with_age(entry.happened, world.now, zone);
    Some(format!("entry {number}, {happened}, by {by}: {}", shown(&describe::sentence(entry, world.board))))
}

fn room(task: &Task, survey: &Survey) -> String {
    let Some(room) = survey.room(task.room) else { return task.room.to_string() };
    let beds: Vec<String> = room.beds.iter().map(|bed| format!("{} {}", bed.short, bed.occupancy.word())).collect();
    let beds = if beds.is_empty() { "no beds".to_owned() } else { format!("beds {}", beds.join(", ")) };
    let name = if room.name.is_empty() { String::new() } else { format!(" ({})", room.name) };
    format!("{}{name}, {}; {beds}", room.code, room.state.headline())
}

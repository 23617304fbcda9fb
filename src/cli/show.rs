//! Beds, rooms, tasks and one room as text.

use std::fmt::Write as _;

use super::days::Days;
use super::json::{self, MEANING};
use super::note::command_of;
use super::text::{Table, clock, when};
use super::view::View;
use crate::domain::board::{BedMark, Blocker, Earliest, Exception, Occupancy, State, Task, TaskKind, quiet_days};
use crate::domain::code::Code;
use crate::domain::describe::sentence;
use crate::domain::dried;
use crate::domain::entry::Entry;
use crate::domain::facility::RoomPlan;
use crate::domain::likely::{NO_PERMISSION, likely};
use crate::domain::moves;
use crate::domain::policy::Setting;
use crate::domain::shift::{exception_words, promise_stands, shift, task_words, unasked};
use crate::domain::shown::{PRACTICE, shown};

/// The head of every page: whose board, as of when, and what cannot be trusted.
pub(super) fn head(view: &View<'_>) -> String {
    head_without_gaps(view) + &gaps(view)
}

/// All that has to be known before anything is read, a line each: for pages with a heading of their own.
pub(super) fn above(view: &View<'_>) -> String {
    warnings(view).iter().map(|line| format!("{line}\n")).collect::<String>() + &gaps(view)
}

fn gaps(view: &View<'_>) -> String {
    view.gaps.iter().map(|gap| format!("{}: {}\n", gap.title, shown(&gap.whole))).collect()
}

/// The same where what may be missing stands elsewhere on the page.
fn head_without_gaps(view: &View<'_>) -> String {
    let facility = view.board.facility();
    let now = view.now.with_timezone(&facility.time_zone).format("%Y-%m-%d %H:%M");
    let mut out = format!("{}, {now} ({})\n", shown(&facility.name), facility.time_zone);
    warnings(view).iter().for_each(|line| _ = writeln!(out, "{line}"));
    out
}

/// What has to be known before anything of this ledger is read, but for what may be missing.
pub(super) fn warnings(view: &View<'_>) -> Vec<String> {
    let practice = view.practice.then(|| format!("{PRACTICE}: this ledger is for practice, and no hospital's"));
    // What may be missing is said by its gaps.
    let is_told = view.standing == "whole" || (view.standing == "incomplete" && view.is_trusted());
    let ledger = view.reason.as_ref().filter(|_| !is_told);
    let ledger = ledger.map(|reason| format!("ledger {}: {}", view.standing, shown(reason)));
    let closed =
        (!view.is_trusted()).then(|| "every bed reads closed, and what is wet cannot be known here".to_owned());
    let kept = view.not_kept.as_ref().map(|why| format!("not kept: {}", shown(why)));
    practice.into_iter().chain(ledger).chain(closed).chain(kept).collect()
}

/// Which rooms nobody enters, and which others nobody enters without asking.
pub(super) fn do_not_enter(view: &View<'_>) -> String {
    let rooms = view.board.facility().in_walking_order();
    let wet = rooms.filter(|plan| view.board.state(plan.code) == State::TreatedWet);
    let wet: Vec<String> = wet.map(|plan| plan.code.to_string()).collect();
    let wet = wet.join(", ");
    match (unasked(view.board, &view.gaps), wet.is_empty()) {
        (None, true) => "no room".to_owned(),
        (None, false) => wet,
        (Some(why), true) => format!("any room {why}"),
        (Some(why), false) => format!("{wet}; nor any other room {why}"),
    }
}

pub(super) fn beds(view: &View<'_>, ward: Option<Code>, open_only: bool) -> String {
    let mut table = Table::new(&["WARD", "BED", "ADMISSION", "STATE", "OCCUPANCY", "WHY CLOSED"]);
    for plan in view.rooms(ward) {
        beds_of(view, plan, open_only, &mut table);
    }
    let mut out = head(view);
    let _ = writeln!(out, "{} ({MEANING})\n", view.count(view.rooms(ward)).words(" beds open"));
    if table.is_empty() {
        let _ = writeln!(out, "{}", if open_only { "no bed is open" } else { "no beds" });
    } else {
        let _ = write!(out, "{table}");
    }
    out
}

/// The beds of a room. What closes several of them alike is said once, in a line of the room before them.
fn beds_of(view: &View<'_>, plan: &RoomPlan, open_only: bool, table: &mut Table) {
    let (board, zone) = (view.board, view.board.facility().time_zone);
    let (state, ward) = (board.state(plan.code).word(), plan.ward.as_str());
    let said = |bed: Code| -> Vec<String> {
        plan_of(view, bed).into_iter().chain(board.admission(bed, view.now).iter().map(why)).collect()
    };
    let listed: Vec<(Code, Vec<String>)> = plan
        .beds
        .iter()
        .map(|bed| (bed.code, said(bed.code)))
        .filter(|(_, why)| !open_only || why.is_empty())
        .collect();
    let of_room: Vec<String> = board.room_blockers(plan.code).iter().map(why).collect();
    let mut alike: Vec<String> = match listed.as_slice() {
        [(_, first), _, ..] if !of_room.is_empty() => first.clone(),
        _ => vec![],
    };
    // A time is told of empty beds alone; what closes the room is the room's.
    alike.retain(|text| of_room.contains(text) && listed.iter().all(|(_, why)| why.contains(text)));
    for (at, text) in alike.iter().enumerate() {
        let head = if at == 0 { [ward, plan.code.as_str(), "closed", state] } else { [""; 4] };
        table.row(head.into_iter().chain(["", text]));
    }
    for (bed, why) in &listed {
        let kept = view.promised(plan.code, *bed);
        let kept = kept.map(|it| {
            let stands = shown(&promise_stands(board, *bed, &it, view.now));
            format!("promised for {}: {stands}", clock(it.wanted, view.now, zone))
        });
        let marks: Vec<&str> = board.marks(*bed, view.now).into_iter().map(BedMark::words).collect();
        let marks = (!marks.is_empty()).then(|| marks.join(", "));
        let own = why.iter().filter(|text| !alike.contains(text)).cloned();
        let rest = if alike.is_empty() { None } else { Some(format!("as room {} above", plan.code)) };
        let lines: Vec<String> = kept.into_iter().chain(marks).chain(own).chain(rest).collect();
        let admission = if board.admission(*bed, view.now).is_empty() { "open" } else { "closed" };
        let occupancy = board.occupancy(*bed, view.now).word();
        let first = lines.first().map_or("", String::as_str);
        table.row([ward, bed.as_str(), admission, state, occupancy, first]);
        for other in lines.iter().skip(1) {
            table.row(["", "", "", "", "", other]);
        }
    }
}

/// When an empty bed could be open at the earliest, in words. It permits nothing.
fn plan_of(view: &View<'_>, bed: Code) -> Option<String> {
    if view.board.occupancy(bed, view.now) == Occupancy::Occupied {
        return None;
    }
    let zone = view.board.facility().time_zone;
    match view.board.earliest(bed, view.now) {
        Earliest::Now => None,
        Earliest::NotBefore(at) if at <= view.now => None,
        Earliest::NotBefore(at) => {
            Some(format!("earliest {}, if all is done without a pause", clock(at, view.now, zone)))
        }
        Earliest::Unknown { waits_for } => Some(format!("no time: waits for {}", shown(&waits_for))),
    }
}

fn why(blocker: &Blocker) -> String {
    let entries: Vec<String> = blocker.entries.iter().map(|number| number.to_string()).collect();
    let resting = match entries.as_slice() {
        [] => String::new(),
        [only] => format!(" (entry {only})"),
        several => format!(" (entries {})", several.join(", ")),
    };
    format!("{}: {}{resting}", blocker.rule, blocker.text)
}

/// What dry checks taught: the numbers, the picture, and each drying, newest first.
pub(super) fn dryings(view: &View<'_>) -> String {
    let mut out = head(view);
    let found = dried::dryings(view.board);
    let _ = writeln!(out);
    dried::hospital_in_words(view.board).iter().for_each(|line| _ = writeln!(out, "{line}"));
    let picture = dried::picture(&found, 78, 18);
    if !picture.is_empty() {
        let _ = writeln!(out);
        picture.iter().for_each(|line| _ = writeln!(out, "{line}"));
        let _ = writeln!(out, "{}", dried::LEGEND);
    }
    let mut table = Table::new(&["ENDED", "ROOM", "SPRAY", "FOUND"]);
    for it in found.iter().rev() {
        let ended = when(it.ended, view.now, view.board.facility().time_zone);
        table.row([&ended, it.room.as_str(), &format!("entry {}", it.spray), &dried::drying_in_words(it)]);
    }
    section(&mut out, "dryings, newest first", table);
    out
}

/// What happened against the rules, newest first: kept for ever, without blame.
pub(super) fn exceptions(view: &View<'_>, days: Days) -> String {
    let zone = view.board.facility().time_zone;
    let mut out = head(view);
    let by_number = |number| view.entries.iter().rev().find(|entry| entry.number == number);
    let holds = |it: &&Exception| {
        days == Days::default() || by_number(it.number).is_some_and(|entry| days.holds(entry.happened, zone))
    };
    let exceptions: Vec<&Exception> = view.board.exceptions().iter().rev().filter(holds).collect();
    let plural = if exceptions.len() == 1 { "" } else { "s" };
    let entries: std::collections::BTreeSet<_> = exceptions.iter().map(|it| it.number).collect();
    let of = match entries.len() {
        count if count == exceptions.len() => String::new(),
        1 => " in 1 entry".to_owned(),
        count => format!(" in {count} entries"),
    };
    let of_days = days.words();
    let _ = writeln!(out, "\n{} exception{plural}{of}{of_days}, noted without blame, newest first", exceptions.len());
    for it in exceptions {
        let entry = by_number(it.number);
        let when = entry.map(|entry| when(entry.happened, view.now, zone)).unwrap_or_default();
        let by = entry.map(|entry| format!(", noted by {}", entry.noted_by)).unwrap_or_default();
        let place = it.room.map_or("hospital".to_owned(), |room| room.to_string());
        let words = exception_words(view.board, view.entries, it, view.now);
        let _ = writeln!(out, "{place}: {words}; {when}{by}, entry {}", it.number);
    }
    let told = super::sheets::entered(view, days);
    if !told.is_empty() {
        let _ = write!(out, "\nsheets of downtimes\n{told}");
    }
    out
}

/// The page for a wall, as lines: what may be missing in the record, counts, rooms not to enter, open beds, what waits.
pub(super) fn wall(view: &View<'_>) -> String {
    let (board, facility) = (view.board, view.board.facility());
    let mut out = String::new();
    view.gaps.iter().for_each(|gap| _ = writeln!(out, "{}: {}", gap.title, shown(&gap.whole)));
    out.push_str(&head_without_gaps(view));
    let rooms: Vec<&RoomPlan> = facility.in_walking_order().collect();
    for state in State::ALL {
        let count = rooms.iter().filter(|plan| board.state(plan.code) == state).count();
        let _ = writeln!(out, "{}: {count}", state.word());
    }
    let _ = writeln!(out, "DO NOT ENTER: {}", do_not_enter(view));
    for plan in &rooms {
        let step = board.next_step(plan.code, view.now).filter(|step| step.verb == "move-patient");
        if let Some(step) = step {
            let _ = writeln!(out, "first of all: {}, {}, {}", plan.code, step.text, step.role.title());
        }
    }
    let beds = || rooms.iter().flat_map(|plan| plan.beds.iter().map(|bed| (*plan, bed.code)));
    let is_open = |(_, bed): &(&RoomPlan, Code)| board.admission(*bed, view.now).is_empty();
    let open: Vec<String> = beds().filter(is_open).map(|(_, bed)| board.open_bed_in_words(bed, view.now)).collect();
    let _ = writeln!(out, "open beds ({MEANING}): {}", view.count(view.rooms(None)).words(""));
    let _ = writeln!(out, "open: {}", if open.is_empty() { "no bed".to_owned() } else { open.join(", ") });
    // A walk holds its whole ward, and is not late before a shift is over.
    let waits = |task: &Task| task.kind == TaskKind::WardWalk || (task.overdue && task.kind.holds_beds());
    let mut late = one_walk_a_ward(view, board.tasks(view.now));
    late.retain(|(_, task)| waits(task));
    late.sort_by_key(|(_, task)| task.kind != TaskKind::WardWalk);
    for (place, task) in late.into_iter().take(15) {
        let due = task.due.map(|due| when(due, view.now, facility.time_zone)).unwrap_or_default();
        let need = task_words(&task, board, view.entries, view.now);
        let _ = writeln!(out, "waits: {place}, {need}, {}, due {due}", task.role.title());
    }
    let newest = view.entries.last().map(|entry| when(entry.noted, view.now, facility.time_zone));
    let _ = writeln!(out, "newest entry: {}", newest.unwrap_or_else(|| "none".to_owned()));
    out
}

/// Each task with the place that it is about: the walk or count of a ward is one task, however many rooms wait for it.
pub(super) fn one_walk_a_ward(view: &View<'_>, tasks: Vec<Task>) -> Vec<(String, Task)> {
    let mut out: Vec<(String, Task)> = vec![];
    for task in tasks {
        let ward = view.board.facility().room(task.room).map(|plan| plan.ward);
        let place = match (task.kind, ward) {
            (kind, Some(ward)) if kind.is_of_ward() => format!("ward {ward}"),
            _ => task.room.to_string(),
        };
        if task.kind.is_of_ward() && out.iter().any(|(known, it)| it.kind == task.kind && *known == place) {
            continue;
        }
        out.push((place, task));
    }
    out
}

/// What a shift asks first, each question with its answers below.
pub(super) fn shift_questions(view: &View<'_>, person: Option<Code>) -> String {
    let person = person.and_then(|code| view.board.people().get(&code));
    let mut out = head_without_gaps(view);
    for question in shift(view.board, view.entries, person, view.now) {
        let _ = writeln!(out, "\n{}", question.title);
        for line in question.lines {
            let _ = writeln!(out, "  {}", shown(&line));
        }
    }
    out
}

pub(super) fn rooms(view: &View<'_>, ward: Option<Code>) -> String {
    let mut table = Table::new(&["WARD", "ROOM", "STATE", "BEDS OPEN", "NEXT STEP"]);
    for plan in view.rooms(ward) {
        let row = json::room_row(view, plan);
        let beds = if row.beds == 0 { "no beds".to_owned() } else { view.count([plan]).words("") };
        let beds = [beds].into_iter().chain(view.marks(plan)).collect::<Vec<_>>().join("; ");
        let step = row.next_step.map(|step| step.text).unwrap_or_default();
        table.row([plan.ward.as_str(), plan.code.as_str(), row.headline, &beds, &step]);
    }
    format!("{}\n{table}", head(view))
}

/// `dryhold` where nothing can be drawn: the beds, then what is to be done.
pub(super) fn overview(view: &View<'_>) -> String {
    let tasks = tasks(view, None);
    let tasks = tasks.strip_prefix(&head(view)).unwrap_or(&tasks).to_owned();
    format!("{}{tasks}", beds(view, None, false))
}

pub(super) fn tasks(view: &View<'_>, ward: Option<Code>) -> String {
    let tasks = one_walk_a_ward(view, tasks_of(view, ward));
    let overdue = tasks.iter().filter(|(_, task)| task.overdue).count();
    let mut out = head(view);
    let plural = if tasks.len() == 1 { "" } else { "s" };
    let _ = writeln!(out, "\n{} task{plural}, {overdue} overdue\n", tasks.len());
    let _ = write!(out, "{}", task_table(view, &tasks));
    out
}

/// What is due in one ward, or everywhere.
pub(super) fn tasks_of(view: &View<'_>, ward: Option<Code>) -> Vec<Task> {
    let of_ward = |task: &Task| {
        let plan = view.board.facility().room(task.room);
        ward.is_none() || plan.map(|plan| plan.ward) == ward
    };
    view.board.tasks(view.now).into_iter().filter(of_ward).collect()
}

fn task_table(view: &View<'_>, tasks: &[(String, Task)]) -> Table {
    let zone = view.board.facility().time_zone;
    let mut table = Table::new(&["DUE", "ROOM", "TASK", "WHO", "GIVES BACK", "COMMAND"]);
    for (place, task) in tasks {
        let due = match task.due {
            Some(due) if task.overdue => format!("OVERDUE {}", when(due, view.now, zone)),
            Some(due) => when(due, view.now, zone),
            None => "waits".to_owned(),
        };
        let who = match task.accepted_by {
            Some(who) => format!("{} ({who})", task.role.title()),
            None => task.role.title().to_owned(),
        };
        let (gives, command) = (task.gives.words(), moves::usage(&view.typed(&task.command), task.verb));
        let need = task_words(task, view.board, view.entries, view.now);
        table.row([&due, place, &need, &who, &gives, &command]);
        if let Some(why) = view.hindrance(task) {
            table.remark(&why);
        }
    }
    table
}

/// Entries of a room's timeline that are told where nobody asks for all of it.
const NEWEST: usize = 30;

pub(super) fn room(view: &View<'_>, plan: &RoomPlan, all: bool) -> String {
    let zone = view.board.facility().time_zone;
    let shown_room = json::room_view(view, plan);
    let row = &shown_room.row;
    let mut out = head(view);
    let name = if row.name.is_empty() { String::new() } else { format!(" ({})", shown(&row.name)) };
    let _ = writeln!(out, "\nroom: {}{name}, ward {}, {}", row.room, row.ward, row.kind);
    let _ = writeln!(out, "state: {}", row.headline);
    let _ = writeln!(out, "who may be inside: {}", row.who_may_enter);
    for bed in &shown_room.bed_rows {
        let marks: String = bed.marks.iter().map(|mark| format!(", {}", mark.words())).collect();
        let _ = writeln!(out, "bed {}: {}{marks}, {}", bed.code, bed.admission, bed.occupancy);
        for blocker in &bed.blockers {
            let _ = writeln!(out, "  {}: {}", blocker.rule, shown(&blocker.text));
        }
    }
    if let Some(step) = &row.next_step {
        let command = view.typed(&command_of(view.board, step.verb, &[plan.code], view.now));
        let _ = writeln!(out, "next step: {} ({command})", shown(&step.text));
    }
    let entries: Vec<&Entry> = json::timeline(view, plan).collect();
    let likely = likely(view.board, plan.code, &entries, view.now);
    if !likely.is_empty() {
        let _ = writeln!(out, "\nlikely ({NO_PERMISSION})");
        likely.iter().for_each(|line| _ = writeln!(out, "  {}", shown(line)));
    }
    if view.board.state(plan.code) == State::Monitoring {
        let days = quiet_days(view.board, plan.code, view.now);
        let wanted = view.board.policy().get(Setting::ClearDays);
        let _ = writeln!(
            out,
            "\ntoward clear: {} of {wanted} days without activity (whole days: neither that of the last activity nor today); it \
             stood empty on {} more, not counted",
            days.counted, days.empty
        );
    }
    section(&mut out, "evidence", evidence_table(&shown_room));
    section(&mut out, "zones", zone_table(&shown_room));
    section(&mut out, "bags", bag_table(&shown_room));
    let tasks = one_walk_a_ward(view, view.board.tasks_of(plan.code, view.now));
    section(&mut out, "tasks", task_table(view, &tasks));
    section(&mut out, "treatment records, newest first", record_table(&shown_room));
    let mut timeline = Table::new(&["ENTRY", "HAPPENED", "BY", "WHAT"]);
    let told = if all { entries.len() } else { entries.len().min(NEWEST) };
    for entry in entries.iter().take(told) {
        let late = entry.noted - entry.happened;
        let noted = match late > chrono::TimeDelta::minutes(2) {
            true => format!(" [noted {}]", clock(entry.noted, view.now, zone)),
            false => String::new(),
        };
        let by = match entry.done_by == entry.noted_by {
            true => entry.done_by.to_string(),
            false => format!("{}, noted by {}", entry.done_by, entry.noted_by),
        };
        let counts = view.mark(plan.code, entry).map(|mark| format!(" [{}]", shown(&mark)));
        let what = format!("{}{noted}{}", sentence(entry, view.board), counts.unwrap_or_default());
        table_row(&mut timeline, [entry.number.to_string(), when(entry.happened, view.now, zone), by, what]);
    }
    section(&mut out, "timeline, newest first", timeline);
    if told < entries.len() {
        let _ = writeln!(out, "{} older entries: --all tells them", entries.len() - told);
    }
    out
}

fn table_row(table: &mut Table, cells: [String; 4]) {
    table.row(cells);
}

fn section(out: &mut String, title: &str, table: Table) {
    if !table.is_empty() {
        let _ = write!(out, "\n{title}\n{table}");
    }
}

fn evidence_table(room: &json::RoomView) -> Table {
    let mut table = Table::new(&["RULE", "ASKED BY", "MET BY", "NEED"]);
    for it in &room.evidence {
        let instead = if it.instead { ", treated instead" } else { "" };
        let met = it.met_by.map_or("open".to_owned(), |number| format!("entry {number}{instead}"));
        let words = if it.met_by.is_some() { it.when_met.clone() } else { it.need.clone() };
        table_row(&mut table, [it.rule.to_owned(), format!("entry {}", it.cause), met, words]);
    }
    table
}

fn zone_table(room: &json::RoomView) -> Table {
    let mut table = Table::new(&["ZONE", "STANDS", "TREATED BY", "NAME"]);
    for it in &room.zones {
        let stands = match (it.stands, it.met_by) {
            (Some("dry"), Some(number)) => format!("dry (entry {number})"),
            (Some(stands), _) => stands.to_owned(),
            (None, _) => "—".to_owned(),
        };
        table_row(&mut table, [it.zone.clone(), stands, it.treatment.to_owned(), it.name.clone()]);
    }
    table
}

fn bag_table(room: &json::RoomView) -> Table {
    let mut table = Table::new(&["BAG", "STANDS", "FILLED BY", "LOADS THAT FAILED"]);
    for it in &room.bags {
        let stands = match (it.settled, it.met_by) {
            (true, Some(number)) => format!("settled (entry {number})"),
            (true, None) => "settled".to_owned(),
            (false, _) => "outstanding".to_owned(),
        };
        let failed: Vec<String> = it.failed_loads.iter().map(|number| format!("entry {number}")).collect();
        table_row(&mut table, [it.bag.clone(), stands, format!("entry {}", it.cause), failed.join(", ")]);
    }
    table
}

fn record_table(room: &json::RoomView) -> Table {
    let mut table = Table::new(&["SPRAY", "PRODUCT", "RULE", "RECORD"]);
    for it in &room.records {
        let missing: Vec<String> =
            it.missing.iter().map(|field| format!("{} ({})", field.title, field.asked_by)).collect();
        let voided = if it.voided { "voided; " } else { "" };
        let record = match it.complete {
            None => format!("{voided}no rule on records was chosen"),
            Some(true) => format!("{voided}complete"),
            Some(false) => format!("{voided}INCOMPLETE, lacks: {}", missing.join(", ")),
        };
        table_row(&mut table, [format!("entry {}", it.spray), it.product.clone(), it.rule.clone(), record]);
    }
    table
}

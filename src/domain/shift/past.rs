//! What stays on file for ever and is over, told as over.

use super::when::clock;
use crate::domain::board::{Board, Exception, Occupancy, State, Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::{BagEnd, Body, Entry, Number, Time};
use crate::domain::need::Need;
use crate::domain::shown::shown;

/// What is over is not told as if it were so still.
pub fn exception_words(board: &Board, entries: &[Entry], it: &Exception, now: Time) -> String {
    let zone = board.facility().time_zone;
    let after = |ends: &dyn Fn(&Body) -> bool| {
        let from = entries.partition_point(|entry| entry.number <= it.number);
        let later = entries.get(from..).unwrap_or_default().iter();
        later.filter(|entry| ends(&entry.body)).map(|entry| (clock(entry.happened, now, zone), entry.number)).next()
    };
    let is_in = |room: Code| {
        let plan = board.facility().room(room);
        plan.is_some_and(|plan| plan.beds.iter().any(|bed| board.occupancy(bed.code, now) == Occupancy::Occupied))
    };
    let Some(room) = it.room else { return shown(&it.text) };
    let out_of = |beds: &dyn Fn(&Code) -> bool| {
        after(&|body: &Body| match body {
            Body::PatientOut { beds: left, .. } | Body::Emptied { beds: left } => left.iter().any(beds),
            Body::OccupancyConfirmed { empty, .. } => empty.iter().any(beds),
            _ => false,
        })
    };
    let ended = |end: Option<(String, Number)>, words: &str| {
        end.map(|(at, number)| format!("; {words} {at}, entry {number}")).unwrap_or_default()
    };
    let wet = board.state(room) == State::TreatedWet;
    if let Some(bed) = it.text.strip_prefix("bed ").and_then(|text| text.split_once(" is occupied and the room is WET"))
        && let Ok(bed) = Code::new(bed.0)
    {
        let out = out_of(&|left| *left == bed);
        // A patient who is noted in it lies in it, whatever was noted in between.
        if wet && (out.is_none() || board.occupancy(bed, now) == Occupancy::Occupied) {
            return shown(&it.text);
        }
        return format!("bed {bed} was occupied while the room was wet{}", ended(out, "patient out"));
    }
    if it.text.starts_with("sprayed with a patient inside") {
        let own = |left: &Code| board.facility().room_of_bed(*left).is_some_and(|plan| plan.code == room);
        let out = out_of(&own);
        if wet && (out.is_none() || is_in(room)) {
            return shown(&it.text);
        }
        return format!("it was sprayed with a patient inside{}", ended(out, "patient out"));
    }
    if it.text == "the patient stays in the room" {
        let own = |left: &Code| board.facility().room_of_bed(*left).is_some_and(|plan| plan.code == room);
        return match out_of(&own) {
            Some(out) => format!("the patient stayed in the room{}", ended(Some(out), "patient out")),
            None => shown(&it.text),
        };
    }
    if let Some(tag) = it.text.strip_prefix("bag ").and_then(|text| text.strip_suffix(" cannot be found")) {
        let end = after(&|body: &Body| match body {
            Body::Laundered { bag, .. } => bag.as_str() == tag,
            Body::BagEnded { bag, end } => bag.as_str() == tag && *end != BagEnd::Lost,
            _ => false,
        });
        return match end {
            Some(end) => format!("bag {tag} could not be found{}", ended(Some(end), "turned up by")),
            None => shown(&it.text),
        };
    }
    shown(&it.text)
}

/// What is to be done, in words: a bag that nobody finds is looked for, before anybody launders it.
pub fn task_words(task: &Task, board: &Board, entries: &[Entry], now: Time) -> String {
    let lost = lost(task, board, entries).map(|entry| (entry, clock(entry.happened, now, board.facility().time_zone)));
    match (lost, task.asked) {
        (Some((entry, at)), Some(Need::Bag(tag))) => format!("look for bag {tag}, lost {at} ({})", entry.done_by),
        _ => task.need.clone(),
    }
}

/// The entry that says that nobody finds the bag of this task.
pub fn lost<'a>(task: &Task, board: &Board, entries: &'a [Entry]) -> Option<&'a Entry> {
    let Some(Need::Bag(tag)) = task.asked.filter(|_| task.kind == TaskKind::Bag) else { return None };
    // Every loss is an exception, and there are few of those: most bags are known not to be lost without a look at the entries.
    let tells = |text: &str| text.strip_prefix("bag ").is_some_and(|rest| rest.starts_with(tag.as_str()));
    if !board.exceptions().iter().any(|it| it.number > task.cause && tells(&it.text)) {
        return None;
    }
    let from = entries.partition_point(|entry| entry.number <= task.cause);
    let later = entries.get(from..).unwrap_or_default();
    let voided =
        |number: Number| later.iter().any(|it| matches!(it.body, Body::Voided { entry, .. } if entry == number));
    let of_bag = |entry: &&Entry| match entry.body {
        Body::BagEnded { bag, .. } | Body::Laundered { bag, .. } => bag == tag && !voided(entry.number),
        _ => false,
    };
    // A load after it, that failed, was of a bag that somebody had found.
    later.iter().rev().find(of_bag).filter(|entry| matches!(entry.body, Body::BagEnded { end: BagEnd::Lost, .. }))
}

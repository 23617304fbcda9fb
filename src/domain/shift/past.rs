//! What stays on file for ever and is over, told as over.

use super::when::clock;
use crate::domain::board::{Board, Exception, ExceptionKind, Occupancy, Room, State, Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::describe::sentence;
use crate::domain::entry::{BagEnd, Body, Entry, Lost, Number, Time};
use crate::domain::need::Need;
use crate::domain::shown::shown;

/// What is over is not told as if it were so still.
pub fn exception_words(board: &Board, entries: &[Entry], it: &Exception, now: Time) -> String {
    let past = Past { board, entries, it, now };
    let voided = past.after(&|body: &Body| matches!(body, Body::Voided { entry, .. } if *entry == it.number));
    let words = match (&voided, past.words()) {
        (_, Some(words)) => words,
        (Some(_), None) if past.is_over_once_voided() => format!("over: it was noted as {}", it.kind),
        (_, None) => it.kind.to_string(),
    };
    let voided = voided.map(|(at, number)| format!("; that entry was voided {at}, entry {number}"));
    shown(&format!("{words}{}", voided.unwrap_or_default()))
}

struct Past<'a> {
    board: &'a Board,
    entries: &'a [Entry],
    it: &'a Exception,
    now: Time,
}

impl Past<'_> {
    /// Said of a note that was withdrawn, it is so no more. A patient who may lie in the wet stays as grave as before.
    fn is_over_once_voided(&self) -> bool {
        match self.it.kind {
            ExceptionKind::SprayedByOther
            | ExceptionKind::SprayedWrongly(_)
            | ExceptionKind::EnteredWet
            | ExceptionKind::WorkedWet
            | ExceptionKind::LeftWet(_)
            | ExceptionKind::PatientStays
            | ExceptionKind::OccupiedClosed(_)
            | ExceptionKind::BagLost(_)
            | ExceptionKind::WrittenOff(..)
            | ExceptionKind::PartReplaced(_) => true,
            ExceptionKind::SprayedOverPatient | ExceptionKind::OccupiedWet(_) => !self.is_wet(),
            ExceptionKind::CloserVoided(_)
            | ExceptionKind::WentBack
            | ExceptionKind::EndLost
            | ExceptionKind::Restored
            | ExceptionKind::Downtime
            | ExceptionKind::SprayLess(_)
            | ExceptionKind::ClockWrong(_)
            | ExceptionKind::WrongPins(_) => false,
        }
    }

    /// None: it is as it was.
    fn words(&self) -> Option<String> {
        match &self.it.kind {
            ExceptionKind::OccupiedWet(bed) => {
                let out = self.out_of(&|left| left == bed);
                // A patient who is noted in it lies in it, whatever was noted in between.
                if self.is_wet() && (out.is_none() || self.is_occupied(*bed)) {
                    return None;
                }
                Some(format!("bed {bed} was occupied while the room was wet{}", ended(out, "patient out")))
            }
            ExceptionKind::OccupiedClosed(bed) => {
                let out = self.out_of(&|left| left == bed);
                Some(format!("{}{}", self.it.kind, ended(out, "noted empty")))
            }
            ExceptionKind::SprayedOverPatient => {
                let out = self.out_of_room();
                // What comes to light later says nothing of who lies there since.
                let came_to_light = entry_of(self.entries, self.it.number)
                    .is_some_and(|entry| matches!(entry.body, Body::SprayCompleted { .. }));
                if self.is_wet() && (self.is_room_occupied() || (out.is_none() && !came_to_light)) {
                    return None;
                }
                Some(format!("it was sprayed with a patient inside{}", ended(out, "patient out")))
            }
            ExceptionKind::PatientStays => {
                let out = self.out_of_room()?;
                Some(format!("the patient stayed in the room{}", ended(Some(out), "patient out")))
            }
            ExceptionKind::BagLost(tag) => {
                let is_off = |it: &&Exception| {
                    it.number > self.it.number && it.kind == ExceptionKind::WrittenOff(Lost::Bag, *tag)
                };
                let off = self.board.exceptions().iter().find(is_off);
                if let Some(entry) = off.and_then(|off| entry_of(self.entries, off.number)) {
                    let at = clock(entry.happened, self.now, self.board.facility().time_zone);
                    return Some(format!(
                        "bag {tag} could not be found{}",
                        ended(Some((at, entry.number)), "written off")
                    ));
                }
                let end = self.after(&|body: &Body| match body {
                    Body::Laundered { bag, .. } => bag == tag,
                    Body::BagEnded { bag, end } => bag == tag && *end != BagEnd::Lost,
                    _ => false,
                })?;
                Some(format!("bag {tag} could not be found{}", ended(Some(end), "turned up by")))
            }
            ExceptionKind::CloserVoided(closer) => {
                let look =
                    self.after(&|body: &Body| matches!(body, Body::Looked { void, .. } if *void == self.it.number));
                let owed = self.it.room.and_then(|room| self.board.room(room)?.voided_by(self.it.number)).is_some();
                let then = match look {
                    Some(look) => {
                        let note = match entry_of(self.entries, look.1).map(|entry| &entry.body) {
                            Some(Body::Looked { note, .. }) if !note.trim().is_empty() => {
                                format!(": “{}”", note.trim())
                            }
                            _ => String::new(),
                        };
                        format!("{}{note}", ended(Some(look), "looked at by a second person"))
                    }
                    None if owed => "; a second person has not looked yet".to_owned(),
                    None => String::new(),
                };
                let what = entry_of(self.entries, *closer).map(|entry| format!(" ({})", sentence(entry, self.board)));
                Some(format!("entry {closer}{}, which had closed the room, was voided{then}", what.unwrap_or_default()))
            }
            ExceptionKind::WentBack | ExceptionKind::EndLost | ExceptionKind::Restored | ExceptionKind::Downtime => {
                let what = match (&self.it.kind, entry_of(self.entries, self.it.number)) {
                    (ExceptionKind::WentBack, _) | (_, None) => self.it.kind.to_string(),
                    (_, Some(entry)) => sentence(entry, self.board),
                };
                let waits = |(_, room): (Code, &Room)| room.unsettled_by_name(self.it.number).is_some();
                let walked =
                    if self.board.rooms().any(waits) { "rooms are still to be walked" } else { "walked since" };
                Some(format!("{what}; {walked}"))
            }
            ExceptionKind::WrongPins(_) => {
                let entry = entry_of(self.entries, self.it.number)?;
                Some(format!("{}, of {}", self.it.kind, entry.done_by))
            }
            _ => None,
        }
    }

    /// The first entry after it that ends it: when, and its number.
    fn after(&self, ends: &dyn Fn(&Body) -> bool) -> Option<(String, Number)> {
        let from = self.entries.partition_point(|entry| entry.number <= self.it.number);
        let end = self.entries.get(from..).unwrap_or_default().iter().find(|entry| ends(&entry.body))?;
        Some((clock(end.happened, self.now, self.board.facility().time_zone), end.number))
    }

    fn out_of(&self, beds: &dyn Fn(&Code) -> bool) -> Option<(String, Number)> {
        self.after(&|body: &Body| match body {
            Body::PatientOut { beds: left, .. }
            | Body::PatientMoved { beds: left, own_bed: false, answers: None, .. }
            | Body::Emptied { beds: left } => left.iter().any(beds),
            Body::OccupancyConfirmed { empty, .. } => empty.iter().any(beds),
            _ => false,
        })
    }

    fn out_of_room(&self) -> Option<(String, Number)> {
        let facility = self.board.facility();
        self.out_of(&|left| facility.room_of_bed(*left).is_some_and(|plan| Some(plan.code) == self.it.room))
    }

    fn is_wet(&self) -> bool {
        self.it.room.is_some_and(|room| self.board.state(room) == State::TreatedWet)
    }

    fn is_occupied(&self, bed: Code) -> bool {
        self.board.occupancy(bed, self.now) == Occupancy::Occupied
    }

    fn is_room_occupied(&self) -> bool {
        let plan = self.it.room.and_then(|room| self.board.facility().room(room));
        plan.is_some_and(|plan| plan.beds.iter().any(|bed| self.is_occupied(bed.code)))
    }
}

fn ended(end: Option<(String, Number)>, words: &str) -> String {
    end.map(|(at, number)| format!("; {words} {at}, entry {number}")).unwrap_or_default()
}

fn entry_of(entries: &[Entry], number: Number) -> Option<&Entry> {
    entries.get(entries.binary_search_by_key(&number, |entry| entry.number).ok()?)
}

/// What is to be done, in words: a bag that nobody finds is looked for, before anybody launders it.
pub fn task_words(task: &Task, board: &Board, entries: &[Entry], now: Time) -> String {
    let lost = lost(task, board, entries).map(|entry| (entry, clock(entry.happened, now, board.facility().time_zone)));
    match (lost, task.asked) {
        (Some((entry, at)), Some(Need::Bag(tag))) => {
            let given_up = board.half_given_up(Lost::Bag, tag);
            let given_up = given_up.map(|(by, other)| format!("; {by} gives it up: {other} says so, too"));
            format!("look for bag {tag}, lost {at} ({}){}", entry.done_by, given_up.unwrap_or_default())
        }
        _ => task.need.clone(),
    }
}

/// The entry that says that nobody finds the bag of this task.
pub fn lost<'a>(task: &Task, board: &Board, entries: &'a [Entry]) -> Option<&'a Entry> {
    let Some(Need::Bag(tag)) = task.asked.filter(|_| task.kind == TaskKind::Bag) else { return None };
    // Every loss is an exception, and there are few of those: most bags are known not to be lost without a look at the entries.
    let tells = |kind: &ExceptionKind| matches!(kind, ExceptionKind::BagLost(lost) if *lost == tag);
    if !board.exceptions().iter().any(|it| it.number > task.cause && tells(&it.kind)) {
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

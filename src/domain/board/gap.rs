//! What may be missing from the record, and what a walk of the ward has to say of it before it settles anything.
//!
//! Nobody knows what stood on lines that are gone: a spray may have been among them. So the walk waits for the longest of the
//! labels' minimums, after which every room may be entered and felt, and it says what the people told and what was wet.

use chrono::TimeDelta;

use super::Board;
use super::apply::{No, closer, later};
use super::room::Room;
use crate::domain::clock::AFTER_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Place, Time};
use crate::domain::rule::Rule;

/// A time from which entries are missing, or may be.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Gap {
    /// When the last entry was noted that is still there.
    pub after: Time,
    /// When it was noted that some are missing; of a downtime, its end.
    pub until: Time,
    /// The numbers that are gone, the first and the last, where they are known.
    pub lost: Option<(Number, Number)>,
    /// What happened in it stands on paper.
    pub on_sheets: bool,
    /// The longest of the labels' minimums, as it was when the gap was noted: a setting that is lowered since shortens no wait.
    pub(super) label: TimeDelta,
}

impl Gap {
    /// `after`: when the entry before it was noted.
    pub(super) fn told_by(entry: &Entry, after: Time, label: TimeDelta) -> Self {
        let (lost, since) = match &entry.body {
            // What is gone begins where the terminal's memory and the file part; others may have written on since.
            Body::WentBack { had_seen, kept: Some(kept), since } if had_seen > kept => {
                (Some((Number(kept.0 + 1), *had_seen)), *since)
            }
            // It took the first number that is missing.
            Body::WentBack { had_seen, since, .. } if *had_seen >= entry.number => {
                (Some((entry.number, *had_seen)), *since)
            }
            Body::WentBack { since, .. } => (None, *since),
            Body::EndLost { had_seen: Some(had_seen), .. } if *had_seen >= entry.number => {
                (Some((entry.number, *had_seen)), None)
            }
            _ => (None, None),
        };
        let after = since.map_or(after, |since| since.min(after)).min(entry.noted);
        Self { after, until: entry.noted, lost, on_sheets: false, label }
    }
}

impl Room {
    /// Gaps that no walk has settled.
    pub fn gaps(&self) -> impl Iterator<Item = Gap> {
        self.unsettled().filter_map(|closer| closer.gap)
    }
}

impl Board {
    /// Gaps of the rooms of this place that no walk has settled, each once.
    pub fn gaps_of(&self, place: &Place) -> Vec<Gap> {
        let mut gaps: Vec<Gap> = vec![];
        for gap in self.rooms_of(place).iter().filter_map(|code| self.room(*code)).flat_map(Room::gaps) {
            if !gaps.contains(&gap) {
                gaps.push(gap);
            }
        }
        gaps
    }

    /// How many entries are missing, and from when to when.
    pub fn gap_words(&self, gap: Gap) -> String {
        let (after, until) = (self.clock(gap.after), self.clock(gap.until));
        match gap.lost {
            _ if gap.on_sheets => format!("from {after} to {until} nothing was noted but on sheets"),
            Some((first, last)) if first == last => {
                format!("1 entry ({first}), noted between {after} and {until}, is missing")
            }
            Some((first, last)) => {
                let many = last.0 - first.0 + 1;
                format!("{many} entries ({first} to {last}), noted between {after} and {until}, are missing")
            }
            None => format!("entries noted between {after} and {until} may be missing"),
        }
    }

    /// When every room that may have been sprayed in the gap can be entered and felt: the longest of the labels' minimums.
    pub fn walked_from(&self, gap: Gap) -> Time {
        gap.until.checked_add_signed(self.unknown_label().max(gap.label)).unwrap_or(AFTER_ALL)
    }

    /// What a walk lacks that is to settle the gaps of this room.
    pub(super) fn walk_lacks(&self, room: &Room, entry: &Entry) -> Option<No> {
        self.walk_lacks_of(room, entry, None)
    }

    /// The same of the gaps of another room that something came from.
    pub(super) fn walk_lacks_of(&self, room: &Room, entry: &Entry, from: Option<Code>) -> Option<No> {
        let Body::WardWalked { words, wet, .. } = &entry.body else { return None };
        let of_room = room.unsettled().filter(|closer| closer.walk_of == from);
        let gap = of_room.filter_map(|closer| closer.gap).max_by_key(|gap| gap.until)?;
        let is_told = words.as_ref().is_some_and(|words| !words.trim().is_empty());
        if !is_told || wet.is_none() {
            let anew = if gap.on_sheets { "note what every sheet says" } else { "note anew what happened" };
            let text = format!(
                "{}: say who was on duty then and what they told you, {anew}, and say which rooms were found wet beside \
                 those that the board shows as treated-wet, or that none was",
                self.gap_words(gap)
            );
            return Some(No::new(Rule::WardWalk, text));
        }
        if let Err(no) = self.tells_a_wait(entry) {
            return Some(no);
        }
        let noted_at = room.unsettled().filter(|closer| closer.gap.is_some()).map(|closer| &closer.terminal);
        let slack = noted_at.map(|at| super::span_slack(at, entry.terminal_name())).max().unwrap_or_default();
        let from = self.walked_from(gap).checked_add_signed(slack).unwrap_or(AFTER_ALL);
        (entry.happened < from).then(|| {
            let text = format!(
                "a room that was sprayed shortly before {} is not entered and felt before {}, the longest of the labels' \
                 minimums: walk the ward then",
                self.clock(gap.until),
                self.clock(from)
            );
            No::new(Rule::Label, text)
        })
    }

    /// Found wet on the walk, and nobody knows since when, from what, or how much: as a spray of which nothing was stated.
    pub(super) fn found_wet(&mut self, entry: &Entry, rooms: &[Code]) {
        for code in rooms {
            let Some(plan) = self.plan(*code) else {
                self.report(entry.number, No::new(Rule::Place, format!("there is no room {code}")));
                continue;
            };
            let gaps = self.room(*code).into_iter().flat_map(Room::gaps).map(|gap| gap.after);
            let since = gaps.min().unwrap_or(entry.happened).checked_sub_signed(TimeDelta::days(1));
            let mut wet = self.moved_spray(entry, &plan, (since.unwrap_or(entry.happened), None));
            wet.by_void = false;
            let room = self.room_mut(*code);
            room.newest = room.newest.max(entry.number);
            room.last_spray = later(room.last_spray, entry.happened.min(entry.noted));
            room.close(wet);
        }
    }

    /// A walk that may be missing something closes, with its gap.
    pub(super) fn close_for_gap(&mut self, entry: &Entry, after: Time) {
        // Where the newest entry before it says the same, what is missing is missing since before that one.
        let same = self.gaps_of(&entry.place).into_iter().filter(|gap| !gap.on_sheets && gap.until >= after);
        let after = same.map(|gap| gap.after).fold(after, Time::min);
        for code in self.rooms_of(&entry.place) {
            let mut closed = closer(entry, super::Cause::Walk, vec![crate::domain::need::Need::Walked]);
            closed.gap = Some(Gap::told_by(entry, after, self.unknown_label()));
            self.room_mut(code).close(closed);
            self.gap_follows(entry, code, after);
        }
    }
}

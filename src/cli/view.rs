//! What a command that only looks is given: the board at a time, its entries, and how far the file can be trusted.

use crate::domain::board::{BedMark, Board, Promise, Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Time};
use crate::domain::facility::RoomPlan;
use crate::domain::hindrance::hindrance;
use crate::domain::shift::Gap;

pub(super) struct View<'a> {
    pub(super) board: &'a Board,
    pub(super) entries: &'a [Entry],
    pub(super) now: Time,
    /// whole, incomplete, read-only or damaged.
    pub(super) standing: &'static str,
    pub(super) reason: Option<String>,
    /// What may be missing, the furthest back first.
    pub(super) gaps: Vec<Gap>,
    /// A ledger for practice only.
    pub(super) practice: bool,
    /// What this terminal cannot remember, and why.
    pub(super) not_kept: Option<String>,
    /// How the program is called for this ledger, wherever it is typed.
    pub(super) program: String,
}

/// Beds, counted as everywhere: what is open and promised is given to nobody else, and counted apart.
#[derive(Clone, Copy, Default)]
pub(super) struct Count {
    pub(super) beds: usize,
    /// Open, and promised to nobody.
    pub(super) free: usize,
    /// Open, and promised.
    pub(super) promised: usize,
}

impl Count {
    /// `12 of 70 open, 1 of them promised`.
    pub(super) fn words(self, between: &str) -> String {
        let kept = if self.promised > 0 { format!(", {} of them promised", self.promised) } else { String::new() };
        format!("{} of {}{between}{kept}", self.free + self.promised, self.beds)
    }
}

impl View<'_> {
    /// Whether it can be known here what is wet and which beds are open.
    pub(super) fn is_trusted(&self) -> bool {
        self.board.distrust().is_none()
    }

    /// A command line that begins with `dryhold`, as it is typed for this ledger.
    pub(super) fn typed(&self, command: &str) -> String {
        command.replacen("dryhold", &self.program, 1)
    }

    pub(super) fn count<'p>(&self, rooms: impl IntoIterator<Item = &'p RoomPlan>) -> Count {
        let mut count = Count::default();
        for (room, bed) in rooms.into_iter().flat_map(|plan| plan.beds.iter().map(|bed| (plan.code, bed.code))) {
            let is_open = self.board.admission(bed, self.now).is_empty();
            let is_kept = self.promised(room, bed).is_some();
            count.beds += 1;
            count.free += usize::from(is_open && !is_kept);
            count.promised += usize::from(is_open && is_kept);
        }
        count
    }

    pub(super) fn promised(&self, room: Code, bed: Code) -> Option<Promise> {
        self.board.room(room)?.beds.get(&bed)?.promised
    }

    /// Why an entry does not count in this room, or counts no more.
    pub(super) fn problem(&self, room: Code, entry: &Entry) -> Option<String> {
        let fell = || {
            let fell = self.board.room(room).is_some_and(|room| room.has_fallen(entry.number));
            fell.then(|| "what it rests on was voided, and it is to be done again".to_owned())
        };
        self.never_counted(entry).or_else(|| self.voided(entry)).or_else(fell)
    }

    /// The same with what it means, to stand beside the entry.
    pub(super) fn mark(&self, room: Code, entry: &Entry) -> Option<String> {
        let void = self.never_counted(entry).is_none().then(|| self.voided(entry)).flatten();
        void.or_else(|| self.problem(room, entry).map(|why| format!("does not count: {why}")))
    }

    fn never_counted(&self, entry: &Entry) -> Option<String> {
        let problem = self.board.problems().iter().find(|problem| problem.number == entry.number);
        problem.map(|problem| format!("{} (rule {})", problem.text, problem.rule))
    }

    /// By which entry, where one that counts voids it.
    fn voided(&self, entry: &Entry) -> Option<String> {
        let is_void = |it: &&Entry| matches!(it.body, Body::Voided { entry: of, .. } if of == entry.number);
        let void = self.entries.iter().filter(is_void).find(|it| self.never_counted(it).is_none())?;
        Some(format!("voided by entry {}", void.number))
    }

    /// Why the task could not be done, and when again, where that was noted.
    pub(super) fn hindrance(&self, task: &Task) -> Option<String> {
        let zone = self.board.facility().time_zone;
        let is_inside = task.kind != TaskKind::Bag;
        is_inside.then(|| hindrance(self.entries, task.room, self.now, zone)).flatten()
    }

    /// What is to be known of the open beds of a room, in words. None: nothing, or no bed of it is open.
    pub(super) fn marks(&self, plan: &RoomPlan) -> Option<String> {
        let used = |mark: &BedMark| plan.beds.iter().any(|bed| self.board.marks(bed.code, self.now).contains(mark));
        let words: Vec<&str> = BedMark::ALL.into_iter().filter(used).map(BedMark::words).collect();
        (!words.is_empty()).then(|| words.join(", "))
    }

    /// The rooms of one ward, or of all, in walking order.
    pub(super) fn rooms(&self, ward: Option<Code>) -> impl Iterator<Item = &RoomPlan> {
        self.board.facility().in_walking_order().filter(move |plan| ward.is_none_or(|ward| plan.ward == ward))
    }
}

//! What is to be known of an open bed before it is given to anybody. It closes nothing: the bed is open, and every face of
//! the board says this beside it, in these words or by these signs with their legend.

use super::Board;
use super::room::Room;
use super::state::State;
use super::tasks::TaskKind;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::facility::RoomPlan;

/// One thing to be known of an open bed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum BedMark {
    /// A room around it is a case that is not back in service, or its own inspection for one is still owed.
    NextToCase,
    /// The daily look at its room is overdue.
    LookOverdue,
    /// A mark was seen in its room, on a place that was never wiped, and nobody has inspected it since.
    SpotToInspect,
}

impl BedMark {
    pub const ALL: [Self; 3] = [Self::NextToCase, Self::LookOverdue, Self::SpotToInspect];

    /// As people read it.
    pub fn words(self) -> &'static str {
        match self {
            Self::NextToCase => "next to a case",
            Self::LookOverdue => "daily check overdue",
            Self::SpotToInspect => "a spot to inspect",
        }
    }

    /// The same for a legend with little space.
    pub fn short_words(self) -> &'static str {
        match self {
            Self::NextToCase => "by a case",
            Self::LookOverdue => "look late",
            Self::SpotToInspect => "a spot",
        }
    }

    /// Where there is no space for words. None of them is the sign of a bed or of a state.
    pub fn sign(self) -> char {
        match self {
            Self::NextToCase => '+',
            Self::LookOverdue => '*',
            Self::SpotToInspect => '^',
        }
    }

    /// For programs that read the board.
    pub fn key(self) -> &'static str {
        match self {
            Self::NextToCase => "next-to-case",
            Self::LookOverdue => "daily-check-overdue",
            Self::SpotToInspect => "spot-to-inspect",
        }
    }

    /// The task that it goes with.
    pub fn task(self) -> TaskKind {
        match self {
            Self::NextToCase => TaskKind::Neighbour,
            Self::LookOverdue => TaskKind::DailyLook,
            Self::SpotToInspect => TaskKind::Mark,
        }
    }
}

impl Board {
    /// What is to be known of this bed. Nothing of a closed one: that it is closed says more.
    pub fn marks(&self, bed: Code, now: Time) -> Vec<BedMark> {
        let Some(plan) = self.facility().room_of_bed(bed) else { return vec![] };
        let marks = self.marks_of_room(plan, now);
        if marks.is_empty() || !self.admission(bed, now).is_empty() { vec![] } else { marks }
    }

    /// What is to be known of each bed of the room that is open.
    pub fn marks_of_room(&self, plan: &RoomPlan, now: Time) -> Vec<BedMark> {
        let Some(room) = self.room(plan.code) else { return vec![] };
        let holds = |mark: &BedMark| match mark {
            BedMark::NextToCase => !self.cases_beside(plan, room).is_empty(),
            BedMark::LookOverdue => self.daily_look_due(plan, room).is_some_and(|due| due < now),
            BedMark::SpotToInspect => room.spots_to_inspect().next().is_some(),
        };
        BedMark::ALL.into_iter().filter(holds).collect()
    }

    /// The bed as an open one is listed: `3N-05-B`, `3N-05-B (promised, next to a case)`.
    pub fn open_bed_in_words(&self, bed: Code, now: Time) -> String {
        let promised = self.bed_use(bed).is_some_and(|used| used.promised.is_some());
        let promised = promised.then_some("promised");
        let notes: Vec<&str> =
            promised.into_iter().chain(self.marks(bed, now).into_iter().map(BedMark::words)).collect();
        if notes.is_empty() { bed.to_string() } else { format!("{bed} ({})", notes.join(", ")) }
    }

    /// The rooms around this one with an open case, as long as they are not back in service, or this one owes its inspection.
    fn cases_beside(&self, plan: &RoomPlan, room: &Room) -> Vec<Code> {
        let beside = |centre: &Code| {
            let Some(other) = self.room(*centre).filter(|other| other.open_case().is_some()) else { return false };
            other.state() != State::Monitoring || room.owes_look_for(other).is_some()
        };
        self.facility().ring_around(plan.code).into_iter().filter(beside).collect()
    }
}

impl Room {
    /// The finding in a neighbour for which this room is still to be inspected: its number and time.
    pub(super) fn owes_look_for(&self, neighbour: &Self) -> Option<(Number, Time)> {
        let (number, found) = neighbour.last_confirmed.filter(|_| neighbour.open_case().is_some())?;
        let inspected = self.inspections.iter().any(|i| !i.voided && i.began > found && i.number > number);
        (!inspected).then_some((number, found))
    }

    /// Marks on places that were never wiped, with nobody having inspected the room since.
    pub(super) fn spots_to_inspect(&self) -> impl Iterator<Item = (Number, Time)> {
        let last = self.last_full_inspection();
        self.marks.iter().copied().filter(move |(_, at)| last.is_none_or(|full| full < *at))
    }

    pub(super) fn last_full_inspection(&self) -> Option<Time> {
        self.inspections.iter().filter(|i| !i.voided).map(|i| i.began).max()
    }
}

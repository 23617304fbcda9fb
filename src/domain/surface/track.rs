//! What was noted of where one thing went: its moves, in the order in which they happened.

use super::Span;
use super::place::{Destination, Move, Step};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// The moves of one thing, in the order in which they happened.
#[derive(Clone, Debug, Default)]
pub(super) struct Track {
    pub(super) moves: Vec<Move>,
    /// Until when it may have lingered by a clock that was wrong; and the moves by it.
    pub(super) lingers: Option<Time>,
    pub(super) retimed: Vec<Retimed>,
    /// Of a bed that may be in several rooms: the walks of one of them.
    pub(super) walked: Vec<(Number, Time)>,
}

/// A move by a clock that was wrong: when it was noted to have been, and between which times it was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Retimed {
    pub(super) number: Number,
    pub(super) step: Step,
    noted: Time,
    from: Time,
    pub(super) until: Time,
}

impl Retimed {
    /// Whether it is of this move, as that was retimed.
    pub(super) fn is_of(&self, it: &Move) -> bool {
        (self.number, self.step, self.from) == (it.number, it.step, it.at)
    }
}

impl Track {
    pub(super) fn is_empty(&self) -> bool {
        self.moves.is_empty()
    }

    pub(super) fn add(&mut self, step: Move) {
        let at = self.moves.partition_point(|known| (known.at, known.number) <= (step.at, step.number));
        self.moves.insert(at, step);
        self.doubt_order();
    }

    pub(super) fn has(&self, number: Number) -> bool {
        self.moves.iter().any(|it| it.number == number)
    }

    /// Whether this entry says where it went, and not only that it stood there.
    pub(super) fn is_moved_by(&self, number: Number) -> bool {
        self.moves.iter().any(|it| it.number == number && !matches!(it.step, Step::Named { .. }))
    }

    pub(super) fn is_only_rolled(&self, room: Code) -> bool {
        self.moves.iter().all(|it| match it.step {
            Step::Rolled { .. } | Step::Seen { .. } => true,
            Step::Named { at } => at == room,
            Step::Left { .. } | Step::Arrived { .. } | Step::Lost => false,
        })
    }

    /// Whether any note has it carried from one room to another.
    pub(super) fn is_carried(&self) -> bool {
        self.moves.iter().any(|it| match it.step {
            Step::Left { .. } | Step::Arrived { .. } | Step::Lost => true,
            Step::Rolled { .. } | Step::Seen { .. } | Step::Named { .. } => false,
        })
    }

    /// When it was seen, or perhaps seen, by the entries that say so.
    pub(super) fn told(&self) -> impl DoubleEndedIterator<Item = &Move> {
        self.moves.iter().filter(|it| matches!(it.step, Step::Seen { .. } | Step::Named { .. }))
    }

    /// When it was seen, by the entries that say so.
    pub(super) fn seen(&self) -> Vec<Move> {
        self.moves.iter().filter(|it| matches!(it.step, Step::Seen { .. })).copied().collect()
    }

    /// Whether somebody saw it at that time or since.
    pub(super) fn is_seen_since(&self, at: Time) -> bool {
        self.moves.iter().any(|it| it.at >= at && !it.in_doubt && matches!(it.step, Step::Seen { .. }))
    }

    /// Seen in the room by this entry. Where one entry names several rooms, it was seen in one of them, and nobody can tell which.
    pub(super) fn sighting(&self, room: Code, number: Number) -> Step {
        let is_there_too = |it: &Move| it.number == number && matches!(it.step, Step::Seen { at } if at != room);
        if self.moves.iter().any(is_there_too) { Step::Named { at: room } } else { Step::Seen { at: room } }
    }

    /// Whether the last note of its ways until then has it in this room, or this entry does.
    pub(super) fn is_told_in(&self, room: Code, at: Time, number: Number) -> bool {
        if self.moves.iter().any(|it| it.number == number && it.step == Step::Named { at: room }) {
            return true;
        }
        let before = self.moves.iter().rev().find(|it| it.at <= at);
        before.is_none_or(|it| match it.step {
            Step::Left { to: Destination::Room(to), .. } | Step::Rolled { to, .. } => to == room,
            Step::Left { to: Destination::Unknown | Destination::Outside, .. } | Step::Lost => false,
            Step::Arrived { at, .. } | Step::Seen { at } | Step::Named { at } => at == room,
        })
    }

    /// The moves after this one.
    pub(super) fn since(&self, at: Time, number: Number) -> Self {
        let moves = self.moves.iter().filter(|it| (it.at, it.number) > (at, number)).copied().collect();
        Self { moves, ..self.clone() }
    }

    /// What these entries tell of it, and that it was given up.
    pub(super) fn of(&self, is_it: &dyn Fn(Number) -> bool) -> Self {
        let moves = self.moves.iter().filter(|it| it.step == Step::Lost || is_it(it.number)).copied().collect();
        Self { moves, ..self.clone() }
    }

    /// Every room that it tells of.
    pub(super) fn rooms(&self) -> Vec<Code> {
        self.moves.iter().flat_map(|it| it.step.rooms()).collect()
    }

    /// The newest entry that tells of a move.
    pub(super) fn newest(&self) -> Option<Number> {
        self.moves.iter().map(|it| it.number).max()
    }

    pub(super) fn last(&self) -> Option<Time> {
        self.moves.last().map(|it| it.at)
    }

    /// When it was last told of, not by the book: that says nothing of since when.
    pub(super) fn last_told(&self) -> Option<Time> {
        self.moves.iter().rfind(|it| !matches!(it.step, Step::Rolled { is_exact: false, .. })).map(|it| it.at)
    }

    /// Marks the move of this number as taken back.
    pub(super) fn void(&mut self, number: Number) -> Option<Move> {
        let mut first = None;
        for it in self.moves.iter_mut().filter(|it| it.number == number) {
            it.in_doubt = true;
            first = first.or(Some(*it));
        }
        first
    }

    /// These moves are perhaps another's. Gives the time of the first of them that was sure.
    pub(super) fn doubt(&mut self, is_it: &dyn Fn(Number) -> bool) -> Option<Time> {
        let mut first = None;
        for it in self.moves.iter_mut().filter(|it| !it.in_doubt && it.step != Step::Lost && is_it(it.number)) {
            it.in_doubt = true;
            first = first.or(Some(it.at));
        }
        first
    }

    /// That it was given up is perhaps not so.
    pub(super) fn doubt_lost(&mut self) {
        self.moves.iter_mut().filter(|it| it.step == Step::Lost).for_each(|it| it.in_doubt = true);
    }

    /// The same of that which these entries say. Gives the time of the first of them that was sure.
    pub(super) fn doubt_lost_by(&mut self, numbers: &[Number]) -> Option<Time> {
        let is_it = |it: &&mut Move| it.step == Step::Lost && !it.in_doubt && numbers.contains(&it.number);
        let doubt = |it: &mut Move| {
            it.in_doubt = true;
            it.at
        };
        self.moves.iter_mut().filter(is_it).map(doubt).min()
    }

    /// What was surely told of it last. That the book has it somewhere, or that a note speaks of it, finds nothing.
    fn last_sure(&self) -> Option<Step> {
        self.moves.iter().rfind(|it| !it.in_doubt && !it.step.is_hearsay()).map(|it| it.step)
    }

    /// It left, nobody said where to, and nobody has seen it since.
    pub(super) fn is_looked_for(&self) -> bool {
        matches!(self.last_sure(), Some(Step::Left { to: Destination::Unknown, .. }))
    }

    /// Since when it had left for nobody knows where, and what found it.
    pub(super) fn astray(&self) -> Vec<(Time, Option<Move>)> {
        let is_left = |it: &Move| matches!(it.step, Step::Left { to: Destination::Unknown, .. });
        let left = self.moves.iter().enumerate().filter(|(_, it)| is_left(it));
        let found = |it: &&Move| !it.in_doubt && !it.step.is_hearsay();
        left.map(|(i, it)| (it.at, self.moves[i + 1..].iter().find(found).copied())).collect()
    }

    /// It was given up, and nobody has seen it since.
    pub(super) fn is_given_up(&self) -> bool {
        self.last_sure() == Some(Step::Lost)
    }

    /// Nothing but sightings that were taken back.
    pub(super) fn is_nothing(&self) -> bool {
        self.moves.iter().all(|it| it.in_doubt && matches!(it.step, Step::Seen { .. } | Step::Named { .. }))
    }

    pub(super) fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// No move of it is sure.
    pub(super) fn is_in_doubt(&self) -> bool {
        self.moves.iter().all(|it| it.in_doubt)
    }

    pub(super) fn is_taken_back(&self, number: Number) -> bool {
        self.moves.iter().filter(|it| it.number == number).all(|it| it.in_doubt)
    }

    pub(super) fn forget(&mut self, number: Number) {
        self.moves.retain(|it| it.number != number);
    }

    pub(super) fn is_of(&self, is_it: &dyn Fn(Number) -> bool) -> bool {
        self.moves.iter().any(|it| is_it(it.number))
    }

    /// A move by a clock that was wrong: it came as early as it may have, and what it left it may have left as late. What another
    /// move came before that may have come after it, too, is in doubt with it.
    pub(super) fn retime(&mut self, worst: &dyn Fn(Number) -> Option<Span>) {
        // One entry may tell of several, each of its time.
        let mut before = std::mem::take(&mut self.retimed);
        for it in &mut self.moves {
            let Some(span) = worst(it.number) else { continue };
            let (number, step) = (it.number, it.step);
            let at = before.iter().position(|by| by.is_of(it));
            let noted = at.map_or(it.at, |at| before.swap_remove(at).noted);
            let (from, until) = span.bounds_of(noted);
            self.retimed.push(Retimed { number, step, noted, from, until });
            self.lingers = self.lingers.max(Some(span.latest_of(noted)));
            it.at = from;
        }
        self.retimed.append(&mut before);
        self.moves.sort_by_key(|it| (it.at, it.number));
        self.doubt_order();
    }

    /// What came to it from another, whose moves were by a clock that was wrong.
    pub(super) fn retimed_as(&mut self, other: &Self) {
        let is_here = |by: &&Retimed| self.moves.iter().any(|it| by.is_of(it));
        let more: Vec<Retimed> = other.retimed.iter().filter(is_here).copied().collect();
        let is_new = |by: &Retimed| {
            !self.retimed.iter().any(|it| (it.number, it.step, it.from) == (by.number, by.step, by.from))
        };
        let more: Vec<Retimed> = more.into_iter().filter(is_new).collect();
        if !more.is_empty() {
            self.lingers = self.lingers.max(other.lingers);
            self.retimed.extend(more);
            self.doubt_order();
        }
    }

    /// What tells of it by a clock that was wrong, perhaps after it was given up; as late as that may have been.
    pub(super) fn turned_up(&self) -> Option<(Number, Time)> {
        let given_up = self.moves.iter().rfind(|it| it.step == Step::Lost && !it.in_doubt)?.at;
        let tells = |it: &&Retimed| it.step != Step::Lost && !it.step.is_hearsay() && it.until > given_up;
        self.retimed.iter().filter(tells).map(|it| (it.number, it.until)).max()
    }

    /// What may have come before another move, or after it. Of what one clock stamped that clock tells the order.
    fn doubt_order(&mut self) {
        if self.retimed.is_empty() {
            return;
        }
        let is_retimed = |number: Number| self.retimed.iter().any(|it| it.number == number);
        let others: Vec<Time> = self.moves.iter().filter(|it| !is_retimed(it.number)).map(|it| it.at).collect();
        let crosses = |it: &&Retimed| others.iter().any(|at| *at > it.from && *at < it.until);
        let doubted: Vec<Number> = self.retimed.iter().filter(crosses).map(|it| it.number).collect();
        self.moves.iter_mut().filter(|it| doubted.contains(&it.number)).for_each(|it| it.in_doubt = true);
    }

    /// Where a thing was before its first move, as far as that says.
    pub(super) fn origin(&self) -> Vec<Code> {
        match self.moves.first().map(|it| it.step) {
            Some(Step::Left { from, .. } | Step::Rolled { from, .. } | Step::Arrived { from: Some(from), .. }) => {
                vec![from]
            }
            Some(Step::Arrived { from: None, .. } | Step::Seen { .. } | Step::Named { .. } | Step::Lost) | None => {
                vec![]
            }
        }
    }
}

//! What becomes of a room's entries when the clock that stamped them is found to have been wrong: a closer happened as late as
//! it may have, a fact as early as it may have, and a signature that does not hold by that falls.

use std::collections::BTreeMap;

use chrono::TimeDelta;

use super::{Closer, Fact, Room, Signature, SignatureKind};
use crate::domain::clock::AFTER_ALL;
use crate::domain::entry::{Number, Time};
use crate::domain::need::Need;
use crate::domain::surface::Span;

/// A closer's times as they were noted, before a clock was called wrong.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::domain::board) struct AsNoted {
    happened: Time,
    begun: Option<Time>,
    finished: Option<Time>,
}

impl Closer {
    /// When it happened by the clock that stamped it, whatever was said of that clock since.
    pub(in crate::domain::board) fn happened_as_noted(&self) -> Time {
        self.as_noted.as_ref().map_or(self.happened, |noted| noted.happened)
    }

    fn retime(&mut self, span: Span) {
        let as_noted = AsNoted { happened: self.happened, begun: self.begun, finished: self.finished };
        let AsNoted { happened, begun, finished } = **self.as_noted.get_or_insert_with(|| Box::new(as_noted));
        self.happened = span.latest_of(happened);
        self.begun = begun.map(|at| span.earliest_of(at));
        self.finished = finished.map(|at| span.latest_of(at));
    }
}

impl Fact {
    pub(in crate::domain::board) fn done_as_noted(&self) -> Time {
        self.as_noted.as_ref().map_or(self.done, |noted| noted.1)
    }

    fn retime(&mut self, span: Span) {
        let as_noted = (self.from, self.done, self.noted);
        let (from, done, noted) = **self.as_noted.get_or_insert_with(|| Box::new(as_noted));
        (self.from, self.done) = (span.earliest_of(from), span.earliest_of(done));
        // What it supplied of a spray runs from its noting.
        if let Some(supply) = &mut self.supplies {
            self.noted = span.latest_of(noted);
            supply.finished = supply.finished.map(|at| span.latest_of(at));
        }
    }
}

impl Room {
    /// Whether anything here, put away or not, is of such an entry.
    pub(in crate::domain::board) fn holds_any(&self, is_it: &dyn Fn(Number) -> bool) -> bool {
        let chapters = || self.past.iter();
        let mut closers = self.closers.iter().chain(chapters().flat_map(|it| it.closers.iter()));
        let mut facts = self.facts.iter().chain(chapters().flat_map(|it| it.facts.iter()));
        let mut signatures = self.signatures.iter().chain(chapters().flat_map(|it| it.signatures.iter()));
        let is_of = |it: &Closer| {
            let said = [it.finished_by, it.voided.map(|void| void.number)];
            said.into_iter().flatten().chain([it.number]).any(is_it)
        };
        closers.any(is_of)
            || facts.any(|it| is_it(it.number))
            || signatures.any(|it| is_it(it.number))
            || self.inspections.iter().any(|it| is_it(it.number))
            || self.stays.iter().any(|it| is_it(it.number))
            || self.beds.values().any(|bed| {
                let told = bed.came.iter().chain(&bed.doubted).map(|(number, _)| *number);
                told.chain(bed.emptied.iter().map(|it| it.number)).any(is_it)
            })
    }

    pub(in crate::domain::board) fn retime(&mut self, spans: &BTreeMap<Number, Span>) {
        for number in spans.keys() {
            self.bring_back(*number);
        }
        self.is_told_anew = true;
        let mut newest: Option<Time> = None;
        for closer in &mut self.closers {
            if let Some(span) = spans.get(&closer.number) {
                closer.retime(*span);
                newest = newest.max(Some(closer.happened));
            }
            if let Some(span) = closer.finished_by.and_then(|number| spans.get(&number)) {
                closer.finished = closer.finished.map(|at| span.latest_of(at));
            }
            if let Some((void, span)) = closer.voided.as_mut().and_then(|void| Some((spans.get(&void.number)?, void))) {
                span.noted = void.latest_of(span.noted);
            }
            if let Some(gap) = closer.gap.as_mut()
                && let Some(span) = spans.get(&closer.number)
            {
                gap.until = span.latest_of(gap.until);
            }
            if let Some((number, at)) = closer.works_on.as_mut()
                && let Some(span) = spans.get(number)
            {
                *at = span.latest_of(*at);
            }
        }
        for fact in &mut self.facts {
            if let Some(span) = spans.get(&fact.number) {
                fact.retime(*span);
            }
            if let Some(supply) = fact.supplies.as_mut()
                && let Some(span) = spans.get(&supply.spray)
            {
                supply.sprayed_at = span.earliest_of(supply.sprayed_at);
            }
        }
        for inspection in &mut self.inspections {
            if let Some(span) = spans.get(&inspection.number) {
                inspection.began = span.earliest_of(inspection.as_began);
            }
        }
        // Whoever came may have come as early, and whoever left as late, and neither before what was noted before.
        for stay in &mut self.stays {
            if let Some(span) = spans.get(&stay.number) {
                let (earliest, latest) = span.bounds_of(stay.as_at);
                (stay.at, stay.surely) = if stay.occupied { (earliest, latest) } else { (latest, earliest) };
            }
        }
        self.retime_beds(spans);
        // Days without activity are counted from the last that there may have been.
        self.last_spray = self.last_spray.map(|at| newest.map_or(at, |newest| newest.max(at)));
        self.last_evidence = self.last_evidence.map(|at| newest.map_or(at, |newest| newest.max(at)));
        if let Some((number, at)) = self.last_confirmed.as_mut()
            && let Some(span) = spans.get(number)
        {
            *at = span.latest_of(*at);
        }
    }

    fn retime_beds(&mut self, spans: &BTreeMap<Number, Span>) {
        for bed in self.beds.values_mut() {
            for (number, at) in bed.came.iter_mut().chain(bed.doubted.iter_mut()) {
                if let Some(span) = spans.get(number) {
                    *at = span.latest_of(*at);
                }
            }
            for it in &mut bed.emptied {
                if let Some(span) = spans.get(&it.number) {
                    it.at = it.at.min(span.earliest_of(it.as_at));
                }
            }
        }
    }

    /// Signatures from this entry on that stand, of what is not put away.
    pub(in crate::domain::board) fn standing_since(&self, first: Number) -> impl Iterator<Item = &Signature> {
        self.signatures.iter().filter(move |it| it.stands && it.number >= first)
    }

    /// Whether a signature holds by the times that are left: all that it settles was met by what had been noted before it.
    pub(in crate::domain::board) fn still_holds(
        &self,
        it: &Signature,
        spans: &BTreeMap<Number, Span>,
        at: &dyn Fn(Number) -> Option<Time>,
        look_from: &dyn Fn(&Closer) -> Option<Time>,
        longest_label: TimeDelta,
    ) -> bool {
        let mut settled = self.closers.iter().filter(|c| it.settles.contains(&c.number) && it.kind.may_settle(c));
        let not_before = |from: Option<Time>| match (from, at(it.number)) {
            (Some(from), Some(at)) => at >= from,
            (None, _) => true,
            (Some(_), None) => false,
        };
        match it.kind {
            SignatureKind::Returned | SignatureKind::NothingApplied => settled.all(|closer| {
                let here = |need: &Need| *need != Need::Returned && !self.dryness.is_elsewhere(*need);
                let needs = closer.own_needs().into_iter().filter(here);
                needs.into_iter().all(|need| {
                    self.met(closer, need)
                        .is_some_and(|(met, below)| below.iter().chain([&met]).all(|n| *n < it.number))
                })
            }),
            SignatureKind::CleanInspection | SignatureKind::NotABedBug { .. } => {
                let by = |i: &&super::FullInspection| {
                    i.clean && !i.voided && (i.number == it.number || it.rests_on.contains(&i.number))
                };
                settled.all(|closer| self.inspections.iter().filter(by).any(|i| i.began > closer.happened))
            }
            SignatureKind::Looked => settled.all(|closer| not_before(look_from(closer))),
            SignatureKind::Walked { .. } => settled.all(|closer| {
                not_before(closer.gap.map(|gap| gap.until.checked_add_signed(longest_label).unwrap_or(AFTER_ALL)))
            }),
            // Days are counted to the day on which it was signed.
            SignatureKind::Cleared => !spans.contains_key(&it.number),
            SignatureKind::InService | SignatureKind::SecondChecked { .. } | SignatureKind::Attested => true,
        }
    }

    pub(in crate::domain::board) fn fell_by_clock(&mut self, fallen: Vec<Number>) {
        self.fell_all(fallen);
        self.put_away();
    }
}

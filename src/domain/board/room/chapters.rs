//! Putting settled business away, and what a void does: it alone brings a chapter back.

use std::sync::Arc;

use super::{Cause, Chapter, Fact, Room, Signature, SignatureKind, Void, bags_in};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::entry::Number;

impl Room {
    pub(super) fn put_away(&mut self) {
        if self.closers.is_empty() || self.has_unsettled() {
            return;
        }
        let case = self.open_case();
        let before = self.past.last().map_or(BEFORE_ALL, |chapter| chapter.last);
        let last = Chapter::last_of(&self.closers, &self.facts).max(before);
        let chapter = Chapter {
            last,
            closers: std::mem::take(&mut self.closers),
            facts: std::mem::take(&mut self.facts),
            signatures: std::mem::take(&mut self.signatures),
            case_before: self.case,
        };
        self.past.push(Arc::new(chapter));
        self.case = case;
    }

    pub(super) fn bring_back(&mut self, target: Number) {
        let holds = |chapter: &Arc<Chapter>| {
            chapter.closers.iter().any(|c| c.number == target)
                || chapter.facts.iter().any(|f| f.number == target)
                || chapter.signatures.iter().any(|s| s.number == target)
        };
        let Some(from) = self.past.iter().position(holds) else { return };
        let (mut closers, mut facts, mut signatures) = (vec![], vec![], vec![]);
        for (at, chapter) in self.past.split_off(from).into_iter().enumerate() {
            let chapter = Arc::unwrap_or_clone(chapter);
            if at == 0 {
                self.case = chapter.case_before;
            }
            closers.extend(chapter.closers);
            facts.extend(chapter.facts);
            signatures.extend(chapter.signatures);
        }
        closers.append(&mut self.closers);
        facts.append(&mut self.facts);
        signatures.append(&mut self.signatures);
        (self.closers, self.facts, self.signatures) = (closers, facts, signatures);
    }

    /// Takes away a fact or a signature, and fells what rests on it; leaves a closer hanging until somebody has looked.
    /// Says whether this room had anything of that number.
    pub(in crate::domain::board) fn void(&mut self, target: Number, void: Void, may_void_closers: bool) -> bool {
        self.bring_back(target);
        let mut found = false;
        let mut fallen = vec![target];
        // What was supplied for a spray falls with the spray.
        let of_target = |f: &Fact| f.number == target || f.supplies.is_some_and(|supply| supply.spray == target);
        for fact in self.facts.iter_mut().filter(|f| of_target(f)) {
            fact.voided = true;
            found = true;
            self.bag_news.extend(bags_in(&fact.gives).map(|bag| (bag, BEFORE_ALL)));
            fallen.push(fact.number);
        }
        for inspection in self.inspections.iter_mut().filter(|i| i.number == target) {
            inspection.voided = true;
            found = true;
        }
        let before = self.failed_loads.len();
        self.failed_loads.retain(|(number, _)| *number != target);
        found |= self.failed_loads.len() < before;
        for bed in self.beds.values_mut() {
            let before = bed.emptied.len();
            if bed.promised.is_some_and(|promise| promise.number == target) {
                bed.promised = None;
                found = true;
            }
            bed.emptied.retain(|it| it.number != target);
            found |= bed.emptied.len() < before;
            // A wrong note that somebody lies in it empties nothing: from the void on, a note that it is empty counts again.
            let is_newest = bed.came.last().into_iter().chain(&bed.doubted).any(|(number, _)| *number == target);
            found |= is_newest || bed.claims_of(target).next().is_some();
            bed.came.retain(|(number, _)| *number != target);
            if is_newest {
                bed.emptied.clear();
                bed.doubted = Some((void.number, void.noted));
            }
        }
        // Whoever lay there did not leave by it.
        let before = self.stays.len();
        self.stays.retain(|stay| stay.number != target || stay.occupied);
        found |= self.stays.len() < before;
        found |= self.fell_all(fallen);
        if self.closers.iter().any(|c| c.number == target && c.voided.is_some()) {
            self.voided_again.push((void.number, target));
        }
        for closer in self.closers.iter_mut().filter(|c| c.number == target && c.voided.is_none()) {
            found = true;
            // Whoever takes it back: what is named of it later treats nothing.
            closer.zones_may_follow = false;
            // What closed nothing is taken back by whoever may void any note.
            let may = may_void_closers || matches!(closer.cause, Cause::Left { .. });
            if may && closer.may_be_voided() {
                closer.voided = Some(void);
            }
        }
        self.put_away();
        found
    }

    /// Whether a signature of this room, put away or not, rests on this entry.
    pub(in crate::domain::board) fn rests_on(&self, number: Number) -> bool {
        let past = self.past.iter().flat_map(|chapter| chapter.signatures.iter());
        self.signatures.iter().chain(past).any(|s| s.rests_on.contains(&number))
    }

    /// Fells every signature that rests on an entry which is none of this room's own.
    pub(in crate::domain::board) fn fell(&mut self, number: Number) {
        let past = self.past.iter().flat_map(|chapter| chapter.signatures.iter());
        let on = self.signatures.iter().chain(past).filter(|s| s.rests_on.contains(&number));
        let felled: Vec<Number> = on.map(|s| s.number).collect();
        for signature in felled {
            self.bring_back(signature);
        }
        self.fell_all(vec![number]);
        self.put_away();
    }

    /// Fells the signatures of these numbers and what rests on them. Says whether any fell.
    pub(super) fn fell_all(&mut self, mut fallen: Vec<Number>) -> bool {
        let mut found = false;
        while let Some(below) = fallen.pop() {
            let stands_on = |s: &Signature| s.stands && (s.number == below || s.rests_on.contains(&below));
            let mut ended = None;
            for signature in self.signatures.iter_mut().filter(|s| stands_on(s)) {
                signature.stands = false;
                found = true;
                fallen.push(signature.number);
                ended = ended.max(Some(signature.number));
            }
            // The end of a case rests on every signature of that case.
            if ended.is_some() {
                let end = |s: &&mut Signature| s.stands && s.kind == SignatureKind::Cleared && Some(s.number) > ended;
                if let Some(clear) = self.signatures.iter_mut().find(end) {
                    clear.stands = false;
                    fallen.push(clear.number);
                }
            }
        }
        found
    }
}

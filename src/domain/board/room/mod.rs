//! One room's open business: what closes it, what was done about it, and who signed.
//!
//! A *closer* counts from the moment it is read and names its needs once. A *fact* meets a need only if it comes after the
//! closer in both orders: it happened after it, and it was noted after it. A *signature* settles closers by name; its
//! verdict was taken once, and it may fall later but never revives. What is settled is put away in a chapter, so that the
//! open business stays small; only a void brings a chapter back.
//!
//! Nothing here knows roles, policy or the hospital: [`super::apply`] decides what may become a fact or a signature.

mod chapters;
mod kept;
mod meeting;
mod proof;
mod retimed;

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::TimeDelta;

use super::drying::Drying;
use super::standing::Dryness;
use super::state::State;
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::{Evidence, Need};
use kept::Chapter;
pub use kept::{BedUse, Cause, Closer, Fact, FullInspection, Promise, SignatureKind, Stay};
pub(super) use kept::{Emptied, Signature, Supply, Void};
pub(super) use meeting::is_end_of;
pub use proof::Proof;

#[derive(Clone, Debug, Default)]
pub struct Room {
    /// The newest entry that touches the room: what a signer must have been shown.
    pub newest: Number,
    closers: Vec<Closer>,
    facts: Vec<Fact>,
    signatures: Vec<Signature>,
    case: Option<Number>,
    past: Vec<Arc<Chapter>>,
    /// Voids of what had been voided before, each with what it was about.
    voided_again: Vec<(Number, Number)>,
    pub beds: BTreeMap<Code, BedUse>,
    pub stays: Vec<Stay>,
    pub inspections: Vec<FullInspection>,
    /// When it came into the book: from then on it is looked at daily.
    pub set_up: Option<Time>,
    /// The last daily look or full inspection.
    pub last_look: Option<Time>,
    /// The newest sign of activity, and the newest spray. Voids do not take them back.
    pub last_evidence: Option<Time>,
    pub last_spray: Option<Time>,
    /// The newest confirming finding: its number and time. Asks the neighbours to be inspected.
    pub last_confirmed: Option<(Number, Time)>,
    /// Until when a patient who left it may have carried something, as the last signature found it.
    pub(super) carried_until: Option<Time>,
    pub last_return: Option<Time>,
    pub cleared: Option<Time>,
    /// In monitoring, a mark on a place that had not been wiped: asks for an inspection, suspects nothing.
    pub marks: Vec<(Number, Time)>,
    /// Loads that did not meet the criteria: entry and bag.
    pub failed_loads: Vec<(Number, Code)>,
    /// The patient stays, reviewed at this time.
    pub patient_stays: Option<(Number, Time)>,
    /// Tasks that somebody took: need in words, cause, who.
    pub accepted: Vec<(String, Number, Code)>,
    /// For estimates alone. No rule reads it.
    pub dryings: Vec<Drying>,
    /// What the surfaces say of this room.
    pub(super) dryness: Dryness,
    /// Bags that were asked for, or whose end was taken back or stated anew, since the board last looked; and since when that may
    /// have been so.
    bag_news: Vec<(Code, Time)>,
    /// The end of a spray was stated anew, or a clock called wrong: what was put away may have happened later than it says.
    is_told_anew: bool,
}

fn bags_in(needs: &[Need]) -> impl Iterator<Item = Code> {
    needs.iter().filter_map(|need| if let Need::Bag(tag) = need { Some(*tag) } else { None })
}

impl Room {
    pub fn closers(&self) -> &[Closer] {
        &self.closers
    }

    pub(super) fn close(&mut self, closer: Closer) {
        // What was supplied afterwards stood there at the spray.
        let is_supplied = matches!(closer.cause, Cause::Supplied { .. });
        let since = [closer.begun, closer.finished].into_iter().flatten().fold(closer.happened, Time::min);
        let since = if is_supplied { BEFORE_ALL } else { since };
        self.bag_news.extend(bags_in(&closer.needs).map(|bag| (bag, since)));
        self.closers.push(closer);
    }

    /// The bags of which this room has something new to tell, and of which time.
    pub(super) fn take_bag_news(&mut self) -> Vec<(Code, Time)> {
        std::mem::take(&mut self.bag_news)
    }

    pub(super) fn has_bag_news(&self) -> bool {
        !self.bag_news.is_empty()
    }

    /// The latest end and the longest label of an open spray, as they are known now.
    pub(super) fn restate(&mut self, spray: Number, ended: Option<Time>, label: Option<TimeDelta>) {
        for closer in self.closers.iter_mut().filter(|c| c.number == spray && c.cause == Cause::Spray) {
            (closer.finished, closer.label) = (ended, label);
        }
        self.tell_anew(spray);
    }

    /// What a spray treated may have ended later, also where it is settled.
    pub(super) fn tell_anew(&mut self, spray: Number) {
        self.is_told_anew = true;
        let of_it = self.all_closers().filter(|c| c.spray() == spray);
        let bags: Vec<Code> = of_it.flat_map(|c| bags_in(&c.needs)).collect();
        self.bag_news.extend(bags.into_iter().map(|bag| (bag, BEFORE_ALL)));
    }

    /// Of what a spray treated, these zones were not: they are owed as if it had left them out.
    pub(super) fn unpay(&mut self, spray: Number, zones: &[Zone]) {
        let is_out = |need: &Need| matches!(need, Need::Covered(zone) if zones.contains(zone));
        for fact in &mut self.facts {
            if fact.number == spray || fact.supplies.is_some_and(|supply| supply.spray == spray) {
                fact.gives.retain(|need| !is_out(need));
            }
        }
        let is_asked = |need: &Need| matches!(need, Need::Dry(zone) | Need::Vacuumed(zone) if zones.contains(zone));
        let of_it = |c: &Closer| c.number == spray || c.cause == Cause::Supplied { spray };
        for closer in self.closers.iter_mut().filter(|c| of_it(c)) {
            // Where another thing keeps it wet, that asks for it.
            closer.needs.retain(|need| !is_asked(need));
            closer.order.retain(|(need, first)| !is_asked(need) && !is_asked(first));
        }
        for closer in self.closers.iter_mut().filter(|c| c.number == spray && c.cause == Cause::Spray) {
            let owed: Vec<Need> = closer.paid.iter().copied().map(Need::Covered).filter(is_out).collect();
            closer.paid.retain(|zone| !zones.contains(zone));
            closer.needs.extend(owed);
        }
    }

    pub(super) fn add_fact(&mut self, fact: Fact) {
        self.facts.push(fact);
    }

    pub(super) fn sign(&mut self, signature: Signature) {
        self.signatures.push(signature);
        self.put_away();
    }

    /// One entry may close for two causes; a signature settles only the causes that are its kind's to settle.
    fn is_settled(&self, closer: &Closer) -> bool {
        let settles = |s: &Signature| s.stands && s.kind.may_settle(closer) && s.settles.contains(&closer.number);
        matches!(closer.cause, Cause::Left { .. }) || self.signatures.iter().any(settles)
    }

    /// Asks for the look after the leaving of this number, once that is taken back.
    pub(super) fn ask_after_leaving(&mut self, number: Number) {
        self.bring_back(number);
        for closer in
            self.closers.iter_mut().filter(|c| c.number == number && c.cause == Cause::Left { is_asked: false })
        {
            closer.cause = Cause::Left { is_asked: true };
        }
        self.put_away();
    }

    fn is_looked_at(&self, number: Number) -> bool {
        let looked = |s: &Signature| s.stands && s.kind == SignatureKind::Looked && s.settles.contains(&number);
        self.signatures.iter().any(looked)
    }

    /// Closers that nobody has settled. A voided one is unsettled until somebody has looked, whatever was signed before.
    pub fn unsettled(&self) -> impl Iterator<Item = &Closer> {
        self.closers.iter().filter(|c| match c.voided {
            Some(_) => c.cause != Cause::Left { is_asked: false } && !self.is_looked_at(c.number),
            None => !self.is_settled(c),
        })
    }

    pub fn has_unsettled(&self) -> bool {
        self.unsettled().next().is_some()
    }

    pub fn unsettled_by_name(&self, number: Number) -> Option<&Closer> {
        self.unsettled().find(|c| c.number == number)
    }

    /// Whether somebody found out that this finding was something else.
    pub fn is_not_a_bed_bug(&self, finding: Number) -> Option<Number> {
        let says = |s: &&Signature| s.stands && s.kind == SignatureKind::NotABedBug { finding };
        self.signatures.iter().find(says).map(|s| s.number)
    }

    /// A clean inspection that began after this closer and was noted after it.
    pub fn clean_inspection_after(&self, closer: &Closer) -> Option<Number> {
        let after = |i: &&FullInspection| !i.voided && i.clean && i.number > closer.number && i.began > closer.happened;
        self.inspections.iter().find(after).map(|i| i.number)
    }

    pub fn state(&self) -> State {
        if self.is_treated_wet() {
            return State::TreatedWet;
        }
        let open: Vec<&Closer> = self.closers.iter().filter(|c| !self.is_settled(c)).collect();
        let waits_for_spray = |c: &&&Closer| c.cause == Cause::Confirmed && !self.is_being_treated(c);
        if open.iter().any(|c| waits_for_spray(&c)) {
            State::Confirmed
        } else if open.iter().any(|c| c.cause.is_treatment() || c.cause == Cause::Confirmed) {
            State::TreatedDry
        } else if open.iter().any(|c| matches!(c.cause, Cause::Suspicion { .. })) {
            State::Suspect
        } else if self.open_case().is_some() {
            State::Monitoring
        } else {
            State::Clear
        }
    }

    /// Something is wet, or nobody has said enough of a spray to know when it is dry.
    fn is_treated_wet(&self) -> bool {
        let is_unstated = |need: &&Need| matches!(need, Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed);
        let lacks = |c: &Closer| {
            c.needs.iter().filter(is_unstated).any(|need| !self.is_settled(c) && self.met(c, *need).is_none())
        };
        self.dryness.is_wet() || self.closers.iter().any(lacks)
    }

    pub fn dryness(&self) -> &Dryness {
        &self.dryness
    }

    /// Wet now, and already wet then: what is noted late may have been done before.
    pub fn was_wet_at(&self, at: Time) -> bool {
        let wets = |c: &Closer| {
            let here = c.needs.iter().filter(|need| need.is_of_wetness() && !self.dryness.is_elsewhere(**need));
            here.into_iter().any(|need| self.met(c, *need).is_none())
        };
        self.is_treated_wet() && self.unsettled().any(|c| c.happened <= at && wets(c))
    }

    /// What somebody found here and nobody took back, oldest first: entries whose specimen can be identified.
    pub fn findings(&self) -> Vec<Number> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        let found = |c: &&Closer| c.voided.is_none() && matches!(c.cause, Cause::Suspicion { .. } | Cause::Confirmed);
        let marks = self.marks.iter().map(|(number, _)| *number);
        let mut found: Vec<Number> =
            past.chain(self.closers.iter()).filter(found).map(|c| c.number).chain(marks).collect();
        found.sort();
        found.dedup();
        found
    }

    /// A finding that a whole inspection saw, and that waits for its specimen or for a trained eye: to look again tells no more.
    pub fn waits_for_a_name(&self) -> Option<&Closer> {
        let seen = |c: &&Closer| {
            c.voided.is_none()
                && matches!(c.cause, Cause::Suspicion { physical: true })
                && self.inspections.iter().any(|i| i.number == c.number && !i.clean && !i.voided)
                && self.is_not_a_bed_bug(c.number).is_none()
                && self.met(c, Need::Inspected).is_none()
        };
        // What was found after that inspection asks for another.
        let suspicions = self.unsettled().filter(|c| matches!(c.cause, Cause::Suspicion { .. }));
        suspicions.max_by_key(|c| c.number).filter(seen)
    }

    /// Until when the patient stays, decided and not yet to be decided anew.
    pub fn patient_stays_until(&self, now: Time) -> Option<Time> {
        self.patient_stays.map(|(_, review)| review).filter(|review| *review > now)
    }

    /// Sprayed since it was confirmed, or treated throughout by other methods.
    fn is_being_treated(&self, confirmed: &Closer) -> bool {
        let after = |c: &Closer| {
            c.cause == Cause::Spray
                && c.voided.is_none()
                && c.number > confirmed.number
                && c.happened > confirmed.happened
        };
        let sprays: Vec<Number> = self.closers.iter().filter(|c| after(c)).map(|c| c.number).collect();
        // Its own zones, or those that were named for it afterwards.
        let named = |f: &Fact| f.gives.iter().any(|need| matches!(need, Need::Covered(_)));
        let sprayed = |f: &Fact| {
            let own = f.is_spray && sprays.contains(&f.number);
            !f.voided && (own || f.supplies.is_some_and(|s| sprays.contains(&s.spray) && named(f)))
        };
        let owed = || confirmed.needs.iter();
        self.facts.iter().any(sprayed)
            || (owed().next().is_some()
                && owed().all(|need| self.dryness.is_elsewhere(*need) || self.met(confirmed, *need).is_some()))
    }

    /// The case that is open, named by the entry that opened it.
    pub fn open_case(&self) -> Option<Number> {
        let ended =
            self.signatures.iter().filter(|s| s.stands && s.kind == SignatureKind::Cleared).map(|s| s.number).max();
        let opens = |c: &&Closer| match c.cause {
            Cause::Confirmed => true,
            Cause::Suspicion { physical } => {
                physical && !(self.is_settled(c) && self.is_not_a_bed_bug(c.number).is_some())
            }
            _ => false,
        };
        let before = self.case.filter(|_| ended.is_none());
        before.or_else(|| {
            let since = self.closers.iter().filter(|c| Some(c.number) > ended);
            since.filter(opens).find(|c| c.voided.is_none() || !self.is_looked_at(c.number)).map(|c| c.number)
        })
    }

    /// The closer that asks for this: one entry can close twice, for an inspection and for what is wet.
    pub fn closer_of(&self, it: &Evidence) -> Option<&Closer> {
        let of_entry = || self.closers.iter().filter(|c| c.number == it.cause);
        of_entry().find(|c| c.needs.contains(&it.need)).or_else(|| of_entry().next())
    }

    /// The spray of this number, settled or not.
    pub fn knows_spray(&self, number: Number) -> Option<&Closer> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        self.closers.iter().chain(past).find(|c| c.number == number && c.cause == Cause::Spray)
    }

    pub fn knows_closer(&self, number: Number) -> Option<&Closer> {
        self.all_closers().find(|c| c.number == number && c.cause != Cause::Left { is_asked: false })
    }

    /// All that ever closed the room.
    pub(super) fn all_closers(&self) -> impl Iterator<Item = &Closer> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        self.closers.iter().chain(past)
    }

    /// What was done since this time and not taken back, put away or not.
    pub(super) fn facts_since(&self, since: Time) -> Vec<&Fact> {
        let is_since = |fact: &&Fact| fact.done >= since && !fact.voided;
        let mut found: Vec<&Fact> = self.facts.iter().filter(is_since).collect();
        for chapter in self.past.iter().rev() {
            // Whatever was put away before that was noted before that.
            if !chapter.facts.is_empty() && chapter.facts.iter().all(|fact| fact.noted < since) {
                break;
            }
            found.extend(chapter.facts.iter().filter(is_since));
        }
        found
    }

    /// All that this entry closed the room for.
    pub fn closers_of(&self, number: Number) -> impl Iterator<Item = &Closer> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        self.closers.iter().chain(past).filter(move |c| c.number == number)
    }

    /// The newest entry that asked for this bag and is settled: nothing waits for it any more.
    pub fn had_bag(&self, tag: Code) -> Option<Number> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        let asked = |c: &&Closer| c.needs.contains(&Need::Bag(tag));
        self.closers.iter().chain(past).filter(asked).map(|c| c.number).max()
    }

    /// Who noted the fact or signature of this number, if this room has one that can be voided.
    pub fn knows_fact(&self, number: Number) -> Option<&Fact> {
        let past = self.past.iter().flat_map(|chapter| chapter.facts.iter());
        self.facts.iter().chain(past).find(|f| f.number == number)
    }

    /// A signature that counted once, and does not any more: something that it rests on was taken back.
    pub fn has_fallen(&self, number: Number) -> bool {
        let past = self.past.iter().flat_map(|chapter| chapter.signatures.iter());
        let mut of_number = self.signatures.iter().chain(past).filter(|s| s.number == number).peekable();
        of_number.peek().is_some() && of_number.all(|s| !s.stands)
    }

    pub fn knows_signature(&self, number: Number) -> bool {
        let past = self.past.iter().flat_map(|chapter| chapter.signatures.iter());
        self.signatures.iter().chain(past).any(|s| s.number == number)
    }

    /// The second person's check, if nothing was noted in the room's open business since, and nothing came that it does not rest on:
    /// its entry, and who it was.
    pub fn second_check(&self) -> Option<(Number, Code)> {
        let closed = self.unsettled().map(|closer| closer.number).max();
        let newest = self.facts.iter().filter(|fact| !fact.voided).map(|fact| fact.number).max().max(closed);
        let covers = |s: &Signature| self.return_lacks().1.iter().all(|number| s.rests_on.contains(number));
        let checks = self.signatures.iter().rev().filter(|s| s.stands && Some(s.number) > newest && covers(s));
        checks.into_iter().find_map(|s| match s.kind {
            SignatureKind::SecondChecked { by } => Some((s.number, by)),
            _ => None,
        })
    }

    /// Whoever looked in the room after this void: the entry.
    pub fn look_after(&self, closer: Number) -> Option<Number> {
        let looked = |s: &&Signature| s.stands && s.kind == SignatureKind::Looked && s.settles.contains(&closer);
        self.signatures.iter().find(looked).map(|s| s.number)
    }

    /// What this void was about, also where it was settled since.
    pub(super) fn target_of(&self, void: Number) -> Option<Number> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        let first = self.closers.iter().chain(past).find(|c| c.voided.is_some_and(|v| v.number == void));
        let again = || self.voided_again.iter().find(|(by, _)| *by == void).map(|(_, target)| *target);
        first.map(|c| c.number).or_else(again)
    }

    /// The closer that this void has left hanging.
    pub fn voided_by(&self, void: Number) -> Option<&Closer> {
        self.closers.iter().find(|c| c.voided.is_some_and(|v| v.number == void))
    }
}

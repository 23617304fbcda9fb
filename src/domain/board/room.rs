//! One room's open business: what closes it, what was done about it, and who signed.
//!
//! A *closer* counts from the moment it is read and names its needs once. A *fact* meets a need only if it comes after the
//! closer in both orders: it happened after it, and it was noted after it. A *signature* settles closers by name; its
//! verdict was taken once, and it may fall later but never revives. What is settled is put away in a chapter, so that the
//! open business stays small; only a void brings a chapter back.
//!
//! Nothing here knows roles, policy or the hospital: [`super::apply`] decides what may become a fact or a signature.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::TimeDelta;

use super::state::State;
use crate::domain::code::Code;
use crate::domain::entry::{InspectionMethod, Number, Time};
use crate::domain::need::{Evidence, Need};

/// What kind of entry closes the room.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Cause {
    /// A finding that does not confirm. `physical`: something was there to be seen, which opens a case.
    Suspicion {
        physical: bool,
    },
    Confirmed,
    Prepared,
    Spray,
    /// Zones or bags that were supplied after the spray of this number.
    Supplied {
        spray: Number,
    },
    Damp,
    /// Sprayed surfaces were wiped or mopped while wet.
    Wiped,
    OutOfService,
    /// A line that is missing, doubled or unreadable. The last number, of a gap of several.
    Damage {
        through: Number,
    },
    /// The ward has to be walked: after setup, a changed room, a restore, a gap.
    Walk,
    /// A patient or a movable thing came from a case room.
    Received,
}

/// An entry that closes. It keeps its number for ever, and its needs as they were named under the settings of its day.
#[derive(Clone, Debug)]
pub struct Closer {
    pub number: Number,
    pub happened: Time,
    pub noted_by: Code,
    pub done_by: Code,
    pub cause: Cause,
    pub needs: Vec<Need>,
    /// `(need, first)`: a fact meets `need` only after one has met `first`.
    pub order: Vec<(Need, Need)>,
    /// Of a spray: its end, and the label's minutes where the label's words are on file.
    pub finished: Option<Time>,
    pub label: Option<TimeDelta>,
    /// Of a spray: zones that are supplied later were treated by it. Not if it named its own, nor if whoever sprayed may not.
    pub zones_may_follow: bool,
    /// Of an infested room's spray: the open finding since which what was treated counts for the spray too.
    pub works_on: Option<(Number, Time)>,
    pub voided: Option<Void>,
    /// A suspicion by bites alone asks for its inspection sooner.
    pub bites_only: bool,
    /// Why the room is out of service, in the words of whoever closed it.
    pub words: String,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Void {
    pub number: Number,
    /// Who noted it, and whose doing it was.
    pub by: [Code; 2],
    pub noted: Time,
}

#[derive(Clone, Debug)]
pub struct Fact {
    pub number: Number,
    /// The time from which it counts: the beginning of a dry check, the moment of anything else.
    pub from: Time,
    /// When it was done: what needs it first comes after this.
    pub done: Time,
    pub noted: Time,
    pub noted_by: Code,
    pub gives: Vec<Need>,
    /// Facts that this one stands on: the launderings behind a made bed.
    pub rests_on: Vec<Number>,
    pub is_spray: bool,
    /// Of a bag: its end also does for things that were sprayed.
    pub treated_too: bool,
    /// Of a bag: it ended otherwise than by the laundry, so no bed is made from it.
    pub gone: bool,
    /// Supplies what this spray left unstated: its end, the label's minutes.
    pub supplies: Option<Supply>,
    pub voided: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Supply {
    pub spray: Number,
    /// When that spray happened: the zones that are supplied were treated then.
    pub sprayed_at: Time,
    pub finished: Option<Time>,
    pub label: Option<TimeDelta>,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SignatureKind {
    CleanInspection,
    /// The specimen of this finding is something else.
    NotABedBug {
        finding: Number,
    },
    NothingApplied,
    Returned,
    Cleared,
    InService,
    Looked,
    Attested,
    Walked,
}

impl SignatureKind {
    fn may_settle(self, closer: &Closer) -> bool {
        match self {
            Self::CleanInspection => {
                matches!(closer.cause, Cause::Suspicion { .. } | Cause::Received | Cause::Confirmed)
            }
            Self::NotABedBug { .. } => closer.cause == Cause::Confirmed,
            Self::NothingApplied => closer.cause == Cause::Prepared,
            Self::Returned => closer.cause.ends_by_return(),
            Self::InService => closer.cause == Cause::OutOfService,
            Self::Looked => closer.voided.is_some(),
            Self::Attested => matches!(closer.cause, Cause::Damage { .. }),
            Self::Walked => closer.cause == Cause::Walk,
            Self::Cleared => false,
        }
    }
}

#[derive(Clone, Debug)]
pub(super) struct Signature {
    pub number: Number,
    pub kind: SignatureKind,
    pub settles: Vec<Number>,
    pub rests_on: Vec<Number>,
    pub stands: bool,
}

/// Settled and put away. By the rule of both orders nothing in it can meet a later closer.
#[derive(Clone, Debug)]
pub(super) struct Chapter {
    closers: Vec<Closer>,
    facts: Vec<Fact>,
    signatures: Vec<Signature>,
    case_before: Option<Number>,
}

/// A complete full inspection, clean or not.
#[derive(Clone, Copy, Debug)]
pub struct FullInspection {
    pub number: Number,
    pub began: Time,
    pub method: InspectionMethod,
    /// Nothing seen, by a trained person, signed on what was shown.
    pub clean: bool,
    pub voided: bool,
}

/// Who lies in a bed, as far as it was noted.
#[derive(Clone, Debug, Default)]
pub struct BedUse {
    /// The newest reason to think that somebody lies in it: its number and the latest time claimed.
    pub occupied: Option<(Number, Time)>,
    /// Notes that it is empty, made since.
    pub emptied: Vec<(Number, Time)>,
}

impl BedUse {
    /// Somebody lies in it, as far as is known.
    pub fn is_occupied(&self) -> bool {
        self.occupied.is_some() && self.empty_since().is_none()
    }

    /// The newest note that it is empty which came after, in both orders, the newest reason to think otherwise.
    pub fn empty_since(&self) -> Option<(Number, Time)> {
        let after = |(_, at): &&(Number, Time)| self.occupied.is_none_or(|(_, since)| *at > since);
        self.emptied.iter().filter(after).max_by_key(|(_, at)| *at).copied()
    }
}

/// A stay, for counting the days on which somebody slept in the room.
#[derive(Clone, Copy, Debug)]
pub struct Stay {
    pub bed: Code,
    pub at: Time,
    pub occupied: bool,
}

#[derive(Clone, Debug, Default)]
pub struct Room {
    /// The newest entry that touches the room: what a signer must have been shown.
    pub newest: Number,
    closers: Vec<Closer>,
    facts: Vec<Fact>,
    signatures: Vec<Signature>,
    case: Option<Number>,
    past: Vec<Arc<Chapter>>,
    pub beds: BTreeMap<Code, BedUse>,
    pub stays: Vec<Stay>,
    pub inspections: Vec<FullInspection>,
    /// The last daily look or full inspection.
    pub last_look: Option<Time>,
    /// The newest sign of activity, and the newest spray. Voids do not take them back.
    pub last_evidence: Option<Time>,
    pub last_spray: Option<Time>,
    /// The newest confirming finding: its number and time. Asks the neighbours to be inspected.
    pub last_confirmed: Option<(Number, Time)>,
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
}

impl Room {
    pub fn closers(&self) -> &[Closer] {
        &self.closers
    }

    pub(super) fn close(&mut self, closer: Closer) {
        self.closers.push(closer);
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
        self.signatures.iter().any(settles)
    }

    fn is_looked_at(&self, number: Number) -> bool {
        let looked = |s: &Signature| s.stands && s.kind == SignatureKind::Looked && s.settles.contains(&number);
        self.signatures.iter().any(looked)
    }

    /// Closers that nobody has settled. A voided one is unsettled until somebody has looked, whatever was signed before.
    pub fn unsettled(&self) -> impl Iterator<Item = &Closer> {
        self.closers.iter().filter(|c| match c.voided {
            Some(_) => !self.is_looked_at(c.number),
            None => !self.is_settled(c),
        })
    }

    pub fn has_unsettled(&self) -> bool {
        self.unsettled().next().is_some()
    }

    /// When the wetness that a closer tells of may first be checked: the end of spraying and the label's minutes.
    /// None: no clock runs yet. Also gives the entries that supplied it.
    pub fn ready(&self, closer: &Closer) -> Option<(Ready, Vec<Number>)> {
        match closer.cause {
            Cause::Spray => self.spray_ready(closer),
            Cause::Supplied { spray } => {
                // What is supplied after the return finds its spray put away.
                let spray = self.knows_closer(spray)?;
                self.spray_ready(spray)
            }
            _ => Some((Ready { after: closer.happened, not_before: closer.happened }, vec![])),
        }
    }

    fn spray_ready(&self, spray: &Closer) -> Option<(Ready, Vec<Number>)> {
        let supplies = || {
            let of_this = |f: &&Fact| !f.voided && f.supplies.is_some_and(|s| s.spray == spray.number);
            self.facts.iter().chain(self.past.iter().flat_map(|chapter| chapter.facts.iter())).filter(of_this)
        };
        let mut by = vec![];
        let mut from = spray.happened;
        let finished = match spray.finished {
            Some(at) => at,
            None => {
                let (fact, at) = supplies().find_map(|f| Some((f, f.supplies?.finished?)))?;
                by.push(fact.number);
                from = from.max(fact.noted);
                at
            }
        };
        let label = match spray.label {
            Some(minutes) => minutes,
            None => {
                let (fact, minutes) = supplies().find_map(|f| Some((f, f.supplies?.label?)))?;
                by.push(fact.number);
                from = from.max(fact.noted);
                minutes
            }
        };
        let after = from.max(finished);
        let not_before = after.checked_add_signed(label).unwrap_or(Time::MAX_UTC);
        Some((Ready { after, not_before }, by))
    }

    /// When the spraying ended, as far as it is known, and the entry that supplied it afterwards.
    fn ended(&self, closer: &Closer) -> (Option<Time>, Option<Number>) {
        if closer.finished.is_some() || closer.cause != Cause::Spray {
            return (closer.finished, None);
        }
        let of_this = |f: &&Fact| !f.voided && f.supplies.is_some_and(|s| s.spray == closer.number);
        let supplied = self.facts.iter().filter(of_this).find_map(|f| Some((f.supplies?.finished?, f.number)));
        (supplied.map(|(at, _)| at), supplied.map(|(_, by)| by))
    }

    /// The facts that meet this need of this closer, each with all that it stands on.
    fn meeting(&self, closer: &Closer, need: Need) -> Vec<(&Fact, Vec<Number>)> {
        let (mut earliest, mut newer_than, mut support) = (None, closer.number, vec![]);
        let mut strictly_after = closer.happened;
        if matches!(need, Need::Dry(_)) {
            let Some((ready, by)) = self.ready(closer) else { return vec![] };
            strictly_after = strictly_after.max(ready.after);
            earliest = Some(ready.not_before);
            newer_than = by.iter().copied().max().unwrap_or(newer_than).max(newer_than);
            support = by;
        }
        if let (Need::Covered(_), Some((finding, found_at))) = (need, closer.works_on) {
            (newer_than, strictly_after) = (finding, found_at);
        }
        if matches!(need, Need::Bag(_) | Need::Made(_)) {
            let (ended, by) = self.ended(closer);
            strictly_after = strictly_after.max(ended.unwrap_or(strictly_after));
            support.extend(by);
        }
        for (_, first) in closer.order.iter().filter(|(later, _)| *later == need) {
            let Some((fact, below)) = self.meeting(closer, *first).into_iter().next() else { return vec![] };
            earliest = Some(earliest.map_or(fact.done, |at| at.max(fact.done)));
            newer_than = newer_than.max(fact.number);
            support.push(fact.number);
            support.extend(below);
        }
        let sprayed = matches!(closer.cause, Cause::Spray | Cause::Supplied { .. });
        let meets = |fact: &&Fact| {
            // Zones that were named later were treated when the spray was.
            let (number, from) = match (need, fact.supplies) {
                (Need::Covered(_), Some(supply)) if supply.spray != closer.number => (supply.spray, supply.sprayed_at),
                _ => (fact.number, fact.from),
            };
            !fact.voided
                && number > newer_than
                && from > strictly_after
                && earliest.is_none_or(|at| fact.from >= at)
                && fact.gives.contains(&need)
                && (!need.is_unstated() || fact.supplies.is_some_and(|supply| supply.spray == closer.number))
                && (fact.treated_too || !sprayed || !matches!(need, Need::Bag(_)))
                && fact.rests_on.iter().all(|below| self.facts.iter().any(|f| f.number == *below && !f.voided))
        };
        let mut found: Vec<_> = self.facts.iter().filter(meets).collect();
        found.sort_by_key(|fact| fact.number);
        let with_support = |fact: &'_ Fact| support.iter().chain(&fact.rests_on).copied().collect();
        found.into_iter().map(|fact| (fact, with_support(fact))).collect()
    }

    /// The first entry that meets the need, and everything that this rests on, itself included.
    pub fn met(&self, closer: &Closer, need: Need) -> Option<(Number, Vec<Number>)> {
        if let Some((fact, mut below)) = self.meeting(closer, need).into_iter().next() {
            below.push(fact.number);
            return Some((fact.number, below));
        }
        // A suspicion is settled by an inspection; when the whole room was treated instead, the return settles it.
        let treated_instead = need == Need::Inspected && matches!(closer.cause, Cause::Suspicion { .. });
        let zones = closer.needs.iter().filter(|n| matches!(n, Need::Covered(_)));
        if !treated_instead || zones.clone().next().is_none() {
            return None;
        }
        let mut rests_on = vec![];
        let mut newest = Number::default();
        for zone in zones {
            let (number, below) = self.met(closer, *zone)?;
            newest = newest.max(number);
            rests_on.extend(below);
        }
        // Without a spray there is no return that could settle it: the inspection is still owed.
        let sprayed = |f: &Fact| (f.is_spray || f.supplies.is_some()) && rests_on.contains(&f.number);
        self.facts.iter().any(sprayed).then_some((newest, rests_on))
    }

    /// Every need of every unsettled closer, met or not, with what a met one rests on.
    fn needs(&self) -> impl Iterator<Item = (&Closer, Need, Option<(Number, Vec<Number>)>)> {
        self.unsettled().flat_map(move |closer| {
            let mut needs = closer.own_needs();
            if let Some(void) = closer.voided {
                needs = vec![Need::Looked(void.number)];
            }
            needs.into_iter().map(move |need| (closer, need, self.met(closer, need)))
        })
    }

    /// "Why": the same view for open and for closed.
    pub fn evidence(&self) -> Vec<Evidence> {
        let line = |(closer, need, met): (&Closer, Need, Option<(Number, Vec<Number>)>)| Evidence {
            need,
            cause: closer.number,
            met_by: met.map(|(number, _)| number),
        };
        self.needs().map(line).collect()
    }

    /// What a return to service would still lack, and what it would rest on.
    pub fn return_lacks(&self) -> (Vec<Evidence>, Vec<Number>) {
        let (mut lacks, mut rests_on) = (vec![], vec![]);
        for (closer, need, met) in self.needs() {
            let apart = matches!(closer.cause, Cause::OutOfService | Cause::Walk | Cause::Received);
            let voided = closer.voided.is_some();
            if need == Need::Returned || (apart && !voided) {
                continue;
            }
            match met {
                Some((_, below)) => rests_on.extend(below),
                None => lacks.push(Evidence { need, cause: closer.number, met_by: None }),
            }
        }
        rests_on.sort();
        rests_on.dedup();
        (lacks, rests_on)
    }

    /// The closers that a return to service settles.
    pub fn returnable(&self) -> impl Iterator<Item = &Closer> {
        self.unsettled().filter(|c| c.voided.is_none() && c.cause.ends_by_return())
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
        let open: Vec<&Closer> = self.closers.iter().filter(|c| !self.is_settled(c)).collect();
        let lacks = |wanted: fn(&Need) -> bool| {
            open.iter().any(|c| c.needs.iter().any(|need| wanted(need) && self.met(c, *need).is_none()))
        };
        let is_wet =
            |need: &Need| matches!(need, Need::Dry(_) | Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed);
        let waits_for_spray = |c: &&&Closer| c.cause == Cause::Confirmed && !self.is_being_treated(c);
        if lacks(is_wet) {
            State::TreatedWet
        } else if open.iter().any(|c| waits_for_spray(&c)) {
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
            || (owed().next().is_some() && owed().all(|need| self.met(confirmed, *need).is_some()))
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

    pub fn knows_closer(&self, number: Number) -> Option<&Closer> {
        let past = self.past.iter().flat_map(|chapter| chapter.closers.iter());
        self.closers.iter().chain(past).find(|c| c.number == number)
    }

    /// Who noted the fact or signature of this number, if this room has one that can be voided.
    pub fn knows_fact(&self, number: Number) -> Option<&Fact> {
        let past = self.past.iter().flat_map(|chapter| chapter.facts.iter());
        self.facts.iter().chain(past).find(|f| f.number == number)
    }

    pub fn knows_signature(&self, number: Number) -> bool {
        let past = self.past.iter().flat_map(|chapter| chapter.signatures.iter());
        self.signatures.iter().chain(past).any(|s| s.number == number)
    }

    /// The unsettled closer that this void has left hanging.
    pub fn voided_by(&self, void: Number) -> Option<&Closer> {
        self.closers.iter().find(|c| c.voided.is_some_and(|v| v.number == void))
    }

    fn put_away(&mut self) {
        if self.closers.is_empty() || self.has_unsettled() {
            return;
        }
        let case = self.open_case();
        let chapter = Chapter {
            closers: std::mem::take(&mut self.closers),
            facts: std::mem::take(&mut self.facts),
            signatures: std::mem::take(&mut self.signatures),
            case_before: self.case,
        };
        self.past.push(Arc::new(chapter));
        self.case = case;
    }

    fn bring_back(&mut self, target: Number) {
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
    pub(super) fn void(&mut self, target: Number, void: Void, may_void_closers: bool) -> bool {
        self.bring_back(target);
        let mut found = false;
        let mut fallen = vec![target];
        // What was supplied for a spray falls with the spray.
        let of_target = |f: &Fact| f.number == target || f.supplies.is_some_and(|supply| supply.spray == target);
        for fact in self.facts.iter_mut().filter(|f| of_target(f)) {
            fact.voided = true;
            found = true;
            fallen.push(fact.number);
        }
        for inspection in self.inspections.iter_mut().filter(|i| i.number == target) {
            inspection.voided = true;
            found = true;
        }
        for bed in self.beds.values_mut() {
            let before = bed.emptied.len();
            bed.emptied.retain(|(number, _)| *number != target);
            found |= bed.emptied.len() < before;
            // A wrong note that somebody lies in it empties nothing: from the void on, a note that it is empty counts again.
            if bed.occupied.is_some_and(|(number, _)| number == target) {
                *bed = BedUse { occupied: Some((void.number, void.noted)), emptied: vec![] };
                found = true;
            }
        }
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
        for closer in self.closers.iter_mut().filter(|c| c.number == target && c.voided.is_none()) {
            found = true;
            if may_void_closers && !matches!(closer.cause, Cause::Damage { .. } | Cause::Walk) {
                closer.voided = Some(void);
            }
        }
        self.put_away();
        found
    }
}

/// The two bounds on a dry check: it begins strictly after the spraying, and not before the label's minimum.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Ready {
    pub after: Time,
    pub not_before: Time,
}

impl Closer {
    /// Its needs, and the signature that settles it.
    fn own_needs(&self) -> Vec<Need> {
        let mut needs = self.needs.clone();
        match self.cause {
            Cause::Suspicion { .. } => {
                // The zones are only another way to meet the inspection.
                needs.retain(|need| !matches!(need, Need::Covered(_)));
            }
            cause if cause.ends_by_return() => needs.push(Need::Returned),
            _ => {}
        }
        needs
    }
}

impl Cause {
    /// Spraying and what followed from it.
    pub fn is_treatment(self) -> bool {
        matches!(self, Self::Spray | Self::Supplied { .. } | Self::Damp | Self::Wiped)
    }

    /// Settled by the lead's return to service.
    pub fn ends_by_return(self) -> bool {
        self.is_treatment() || matches!(self, Self::Suspicion { .. } | Self::Confirmed | Self::Prepared)
    }
}

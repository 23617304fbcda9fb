//! Which facts meet which needs: the rule of both orders, and what a return to service would still lack.
//!
//! That something is dry is no fact of the room's: it is asked of the surfaces, wherever they were felt.

use super::{Cause, Closer, Fact, Room};
use crate::domain::board::treated::Treated;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::need::{Evidence, Need};
use crate::domain::surface::Ready;

/// The first entry that meets a need, when that was done, and what it stands on.
struct Met {
    number: Number,
    done: Time,
    below: Vec<Number>,
}

impl Room {
    /// When what a closer asks to be found dry may first be checked. None: no clock runs yet.
    pub fn ready(&self, closer: &Closer) -> Option<Ready> {
        let at_once = Ready { after: closer.happened, not_before: closer.happened };
        let zones = closer.needs.iter().filter_map(|need| if let Need::Dry(zone) = need { Some(*zone) } else { None });
        let wet = zones.filter_map(|zone| self.dryness.of(zone)?.wet.as_ref());
        wet.map(|wet| wet.ready).try_fold(at_once, |latest, ready| Some(latest.later(ready?)))
    }

    /// The entries that supplied what this spray had left unstated.
    fn supplied_by(&self, closer: &Closer) -> Vec<Number> {
        let supplies = |f: &&Fact| !f.voided && f.supplies.is_some_and(|s| s.spray == closer.number);
        self.facts.iter().filter(supplies).map(|f| f.number).collect()
    }

    /// The surface was found dry since this closer came, and is dry.
    fn found_dry(&self, closer: &Closer, need: Need) -> Option<Met> {
        let Need::Dry(zone) = need else { return None };
        let standing = self.dryness.of(zone).filter(|it| it.wet.is_none())?;
        let (number, done) = standing.dried.filter(|(number, _)| *number > closer.number)?;
        Some(Met { number, done, below: self.supplied_by(closer) })
    }

    /// When what is done for it first counts, and the entry in which that hour stands: that which asks, or by which what comes first
    /// was done.
    pub(in crate::domain::board) fn counts_from(&self, closer: &Closer, need: Need) -> (Time, Number) {
        let own = closer.counts_after(need);
        let by = closer.finished_by.filter(|_| own > closer.happened).unwrap_or(closer.number);
        let first = closer.order.iter().filter(|(later, first)| *later == need && !self.dryness.is_elsewhere(*first));
        let first = first.filter_map(|(_, first)| self.met_at(closer, *first));
        let parts = match need {
            Need::Made(bed) => self.dryness.of_bed(bed).filter_map(|part| part.dried).collect(),
            _ => vec![],
        };
        let parts =
            parts.into_iter().filter(|(number, _)| *number > closer.number).map(|(number, done)| (done, number));
        first.chain(parts).fold((own, by), std::cmp::max)
    }

    /// When what first meets this need was done, and by which entry.
    pub(in crate::domain::board) fn met_at(&self, closer: &Closer, need: Need) -> Option<(Time, Number)> {
        self.first(closer, need).map(|met| (met.done, met.number))
    }

    /// The first fact that meets this need of this closer, with all that it stands on.
    fn first(&self, closer: &Closer, need: Need) -> Option<Met> {
        if matches!(need, Need::Dry(_)) {
            return self.found_dry(closer, need);
        }
        let (mut earliest, mut newer_than, mut support) = (None, closer.number, vec![]);
        let mut strictly_after = closer.counts_after(need);
        if let (Need::Covered(_), Some((finding, found_at))) = (need, closer.works_on) {
            (newer_than, strictly_after) = (finding, found_at);
        }
        if matches!(need, Need::Bag(_) | Need::Made(_)) {
            support.extend(self.supplied_by(closer));
        }
        for (_, first) in closer.order.iter().filter(|(later, _)| *later == need) {
            // What stands elsewhere is waited for there.
            if self.dryness.is_elsewhere(*first) {
                continue;
            }
            let before = self.first(closer, *first)?;
            earliest = Some(earliest.map_or(before.done, |at: Time| at.max(before.done)));
            newer_than = newer_than.max(before.number);
            support.push(before.number);
            support.extend(before.below);
        }
        if let Need::Made(bed) = need {
            for part in self.dryness.of_bed(bed) {
                // Fresh linens on what is wet are no fresh linens.
                if part.wet.is_some() {
                    return None;
                }
                if let Some((number, done)) = part.dried.filter(|(number, _)| *number > closer.number) {
                    earliest = Some(earliest.map_or(done, |at: Time| at.max(done)));
                    newer_than = newer_than.max(number);
                    support.push(number);
                }
            }
        }
        let of_spray = closer.spray();
        // Where something was seen it is still: nobody did anything to it.
        let was_seen = matches!(need, Need::Covered(zone) if closer.seen.contains(&zone));
        let does_it = |fact: &Fact| !was_seen || !fact.only_looked;
        let meets = |fact: &&Fact| {
            // Zones that were named later were treated when the spray was.
            let (number, from) = match (need, fact.supplies) {
                (Need::Covered(_), Some(supply)) if supply.spray != closer.number => (supply.spray, supply.sprayed_at),
                _ => (fact.number, fact.from),
            };
            !fact.voided
                && does_it(fact)
                && number > newer_than
                && (from > strictly_after || need.is_told_at_any_time())
                && earliest.is_none_or(|at| fact.from >= at)
                && (!need.is_unstated() || fact.supplies.is_some_and(|supply| supply.spray == of_spray))
                && (fact.treated_too
                    || !matches!(need, Need::Bag(_))
                    || !self.is_treated(closer, fact, &self.dryness.treated))
        };
        // What was done meets it by the name by which it was asked for, or by those that it has now, each of them.
        let giving = |given: Need| {
            let facts = self.facts.iter().filter(|fact| fact.gives.contains(&given)).filter(meets);
            facts.min_by_key(|fact| fact.number)
        };
        let by_name = giving(need).map(|fact| vec![fact]);
        let now = self.dryness.names_now(need);
        let by_now: Option<Vec<&Fact>> = now.into_iter().map(giving).collect();
        let newest = |facts: &Vec<&Fact>| facts.iter().map(|fact| fact.number).max();
        let facts = by_name.into_iter().chain(by_now.filter(|all| !all.is_empty())).min_by_key(newest)?;
        let last = facts.iter().max_by_key(|fact| fact.number)?;
        support.extend(facts.iter().flat_map(|fact| &fact.rests_on));
        support.extend(facts.iter().map(|fact| fact.number).filter(|number| *number != last.number));
        let done = facts.iter().map(|fact| fact.done).max()?;
        Some(Met { number: last.number, done, below: support })
    }

    /// Whether what is in this bag may have been in the room, or on a bed that came since, at a spray or while anything was wet:
    /// whatever entry it was noted by, and whichever came to light first. What is in a bag is older than its filling.
    pub(in crate::domain::board) fn is_treated(&self, closer: &Closer, laundered: &Fact, treated: &[Treated]) -> bool {
        // What nobody had found was perhaps sprayed since.
        let sprayed = matches!(closer.cause, Cause::Spray | Cause::Supplied { .. } | Cause::Brought { .. });
        let treats = |c: &Closer| {
            let is_of_linens =
                matches!(c.cause, Cause::Brought { .. }) && c.needs.iter().any(|n| matches!(n, Need::Made(_)));
            c.happened <= laundered.from && (c.cause.is_treatment() || is_of_linens)
        };
        let was_meanwhile = |it: &Treated| {
            it.begun <= laundered.from
                && it.over.is_none_or(|over| closer.happened <= over)
                && closer.happened >= it.bagged_since
        };
        sprayed || self.unsettled().any(treats) || treated.iter().any(was_meanwhile)
    }

    /// The newest of this bag's launderings that these count and that does for sprayed things.
    pub(in crate::domain::board) fn last_wash(&self, tag: Code, counts: &dyn Fn(&Fact) -> bool) -> Option<Time> {
        let is_wash = |fact: &&Fact| fact.treated_too && !fact.gone && is_end_of(fact, tag) && counts(fact);
        let newest = |facts: &[Fact]| facts.iter().filter(is_wash).map(|fact| fact.from).max();
        let mut last = newest(&self.facts);
        for chapter in self.past.iter().rev() {
            if last.is_some_and(|at| chapter.last < at) {
                break;
            }
            last = last.max(newest(&chapter.facts));
        }
        last
    }

    /// What closed the room and what was done in it, but for what was put away and surely was over by then.
    pub(in crate::domain::board) fn kept_since(&self, at: Option<Time>) -> impl Iterator<Item = (&[Closer], &[Fact])> {
        let is_over = move |last: Time| !self.is_told_anew && at.is_some_and(|at| last < at);
        let past = self.past.iter().rev().take_while(move |chapter| !is_over(chapter.last));
        let past = past.map(|chapter| (chapter.closers.as_slice(), chapter.facts.as_slice()));
        std::iter::once((self.closers.as_slice(), self.facts.as_slice())).chain(past)
    }

    /// Whether what is open has a bag that was ended as one that was never sprayed.
    pub(in crate::domain::board) fn has_bag_ended_untreated(&self) -> bool {
        let is_bag = |fact: &Fact| fact.gives.iter().any(|need| matches!(need, Need::Bag(_)));
        self.facts.iter().any(|fact| !fact.treated_too && is_bag(fact))
    }

    /// Bags that were ended since this time, and never as treated ones are.
    pub(in crate::domain::board) fn bags_ended_untreated(&self, since: Time) -> Vec<Code> {
        let past = || self.past.iter().flat_map(|chapter| chapter.facts.iter());
        let ended = || past().chain(&self.facts).filter(|fact| !fact.voided && fact.from > since);
        let bags = |fact: &Fact| {
            fact.gives
                .iter()
                .filter_map(|need| if let Need::Bag(tag) = need { Some(*tag) } else { None })
                .collect::<Vec<_>>()
        };
        let mut untreated: Vec<Code> = ended().filter(|fact| !fact.treated_too).flat_map(bags).collect();
        untreated.sort();
        untreated.dedup();
        untreated.retain(|tag| !ended().any(|fact| fact.treated_too && fact.gives.contains(&Need::Bag(*tag))));
        untreated
    }

    /// The first entry that meets the need, and everything that this rests on, itself included.
    pub fn met(&self, closer: &Closer, need: Need) -> Option<(Number, Vec<Number>)> {
        if let Some(Met { number, mut below, .. }) = self.first(closer, need) {
            below.push(number);
            return Some((number, below));
        }
        // A second person has looked since: of a spray that never was here nothing is left to state.
        let looked = self.look_after(closer.spray()).filter(|look| need.is_unstated() && *look > closer.number);
        if let Some(look) = looked {
            return Some((look, vec![look]));
        }
        // A suspicion is settled by an inspection; when the whole room was treated instead, the return settles it.
        let treated_instead = need == Need::Inspected && matches!(closer.cause, Cause::Suspicion { .. });
        let zones = closer.needs.iter().filter(|n| matches!(n, Need::Covered(_)) && !self.dryness.is_elsewhere(**n));
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

    /// Every need of every unsettled closer, met or not, with what a met one rests on. What stands elsewhere is asked there.
    fn needs(&self) -> impl Iterator<Item = (&Closer, Need, Option<(Number, Vec<Number>)>)> {
        self.unsettled().flat_map(move |closer| {
            let mut needs = closer.own_needs();
            if let Some(void) = closer.voided {
                needs = vec![Need::Looked(void.number)];
            }
            needs.retain(|need| !self.dryness.is_elsewhere(*need));
            needs.into_iter().map(move |need| (closer, need, self.met(closer, need)))
        })
    }

    /// What is still unstated: which entry asks for it, and of which spray. One entry may ask of several.
    pub fn unstated(&self) -> Vec<(Number, Number)> {
        let open = self.needs().filter(|(_, need, met)| need.is_unstated() && met.is_none());
        let mut sprays: Vec<(Number, Number)> = open.map(|(closer, ..)| (closer.number, closer.spray())).collect();
        sprays.dedup();
        sprays
    }

    /// An unmet need by the name that it has now: of several parts, one to which nothing was done yet.
    fn lacking(&self, closer: &Closer, need: Need) -> Need {
        let is_done = |given: &Need| {
            self.facts.iter().any(|fact| !fact.voided && fact.number > closer.number && fact.gives.contains(given))
        };
        let now = self.dryness.names_now(need);
        let open = now.iter().find(|name| now.len() > 1 && !is_done(name));
        open.copied().unwrap_or_else(|| self.dryness.renamed(need))
    }

    /// "Why": the same view for open and for closed.
    pub fn evidence(&self) -> Vec<Evidence> {
        let line = |(closer, need, met): (&Closer, Need, Option<(Number, Vec<Number>)>)| Evidence {
            need: if met.is_some() { self.dryness.renamed(need) } else { self.lacking(closer, need) },
            cause: closer.number,
            // Nothing else is met by anything but its own fact.
            instead: need == Need::Inspected && met.is_some() && self.first(closer, need).is_none(),
            met_by: met.map(|(number, _)| number),
        };
        self.needs().map(line).collect()
    }

    /// Whether anything still asks for this, by the name that it has now.
    pub(in crate::domain::board) fn asks(&self, need: Need) -> bool {
        self.needs().any(|(closer, it, met)| met.is_none() && self.lacking(closer, it) == need)
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
                None => lacks.push(Evidence {
                    need: self.lacking(closer, need),
                    cause: closer.number,
                    met_by: None,
                    instead: false,
                }),
            }
        }
        rests_on.sort();
        rests_on.dedup();
        (lacks, rests_on)
    }

    /// Whoever noted what a return to service would rest on: none of them is the second person.
    pub fn hands_behind_return(&self) -> Vec<crate::domain::code::Code> {
        let (_, rests_on) = self.return_lacks();
        let mut hands: Vec<_> =
            rests_on.iter().filter_map(|number| self.knows_fact(*number)).map(|fact| fact.noted_by).collect();
        hands.sort();
        hands.dedup();
        hands
    }

    /// The closers that a return to service settles.
    pub fn returnable(&self) -> impl Iterator<Item = &Closer> {
        self.unsettled().filter(|c| c.voided.is_none() && c.cause.ends_by_return())
    }
}

/// A laundering, or other end, of this bag that was not taken back.
pub(in crate::domain::board) fn is_end_of(fact: &Fact, bag: Code) -> bool {
    !fact.voided && fact.gives.contains(&Need::Bag(bag))
}

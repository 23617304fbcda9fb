//! Which facts meet which needs: the rule of both orders, and what a return to service would still lack.

use super::{Cause, Closer, Fact, Ready, Room};
use crate::domain::entry::{Number, Time};
use crate::domain::need::{Evidence, Need};

impl Room {
    /// When the wetness that a closer tells of may first be checked: the end of spraying and the label's minutes.
    /// None: no clock runs yet. Also gives the entries that supplied it.
    pub fn ready(&self, closer: &Closer) -> Option<(Ready, Vec<Number>)> {
        match closer.cause {
            Cause::Spray => self.spray_ready(closer),
            Cause::Supplied { spray } => {
                // What is supplied after the return finds its spray put away.
                let spray = self.knows_spray(spray)?;
                self.spray_ready(spray)
            }
            _ => {
                let not_before = closer.felt_from.map_or(closer.happened, |at| at.max(closer.happened));
                Some((Ready { after: closer.happened, not_before }, vec![]))
            }
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
        let of_spray = if let Cause::Supplied { spray } = closer.cause { spray } else { closer.number };
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
                && (!need.is_unstated() || fact.supplies.is_some_and(|supply| supply.spray == of_spray))
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
            instead: met.is_some() && self.meeting(closer, need).is_empty(),
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
                None => lacks.push(Evidence { need, cause: closer.number, met_by: None, instead: false }),
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

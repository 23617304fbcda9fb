//! Clocks that were called wrong, read off the lines alone: whose stamps tell no time, and the worst time that is left for them.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, TimeDelta, Utc};

use dryhold::domain::entry::{Body, Entry, Number, WhichClock};

use super::lines::{CLOCKS_DIFFER, Lines};

type Time = DateTime<Utc>;

impl Lines<'_> {
    /// Answers that count, before a number: each with the terminals that it calls wrong.
    fn answers(&self, until: Number) -> Vec<(&Entry, Time, Vec<&str>)> {
        let (mut answers, mut offsets, mut asked) = (vec![], BTreeMap::new(), BTreeSet::new());
        for said in self.before(until) {
            let Body::ClockSaid { wrong, other, wall, shown } = &said.body else { continue };
            // Of a terminal that has noted nothing nobody can say that it was wrong.
            let is_known = |terminal: &str| self.before(said.number).any(|it| it.terminal_name() == terminal);
            let is_of_one = *wrong != WhichClock::Other || is_known(other);
            if !self.may(said, |_| true) || self.is_contested(said) || !is_of_one {
                continue;
            }
            // A terminal of which it was said how far its clock is off stamps by the wall since.
            let own = said.terminal_name();
            let offset = offsets.get(own).copied().unwrap_or_default();
            let is_off = shown.is_some_and(|shown| (*wall - shown - offset).abs() > CLOCKS_DIFFER);
            // As far off as it was said to be, and nobody has called it wrong since: what it noted since was right.
            let is_as_said = !is_off && offset != TimeDelta::zero() && !asked.contains(own);
            let mut called = vec![];
            called.extend(((*wrong == WhichClock::This && !is_as_said) || is_off).then_some(own));
            called.extend((*wrong == WhichClock::Other).then_some(other.as_str()));
            asked.remove(own);
            asked.extend(called.iter().copied().filter(|terminal| *terminal != own));
            if let Some(shown) = shown {
                let off = *wall - *shown;
                offsets.insert(own, if off.abs() > CLOCKS_DIFFER { off } else { TimeDelta::zero() });
            }
            answers.push((said, *wall, called));
        }
        answers
    }

    /// It was called wrong, and nobody has said there what time it is since.
    pub(super) fn is_to_answer(&self, terminal: &str, until: Number) -> bool {
        let mut asked = false;
        for (said, _, called) in self.answers(until) {
            match said.terminal_name() == terminal {
                true => asked = false,
                false if called.contains(&terminal) => asked = true,
                false => {}
            }
        }
        asked
    }

    /// Its stamp tells no time, by what was said before a number.
    pub(super) fn is_of_wrong_clock(&self, stamped: &Entry, until: Number) -> bool {
        self.is_to_answer(stamped.terminal_name(), stamped.number) || self.is_called_wrong_after(stamped, until)
    }

    fn is_called_wrong_after(&self, stamped: &Entry, until: Number) -> bool {
        let at = stamped.terminal_name();
        self.answers(until).iter().any(|(said, _, called)| said.number > stamped.number && called.contains(&at))
    }

    /// Between which two stamps that stand it was noted, by what was said before a number. None: its own is good, or nobody said
    /// of which part of a terminal's day it is not.
    fn noted_between(&self, stamped: &Entry, until: Number) -> Option<(Time, Time)> {
        let at = stamped.terminal_name();
        let is_meant = |said: &Entry, wall: Time| {
            let is_twofold = matches!(&said.body, Body::ClockSaid { other, .. } if other == said.terminal_name());
            !is_twofold && (stamped.noted - wall).abs() <= TimeDelta::hours(24)
        };
        let called = self
            .answers(until)
            .iter()
            .any(|(said, wall, called)| said.number > stamped.number && called.contains(&at) && is_meant(said, *wall));
        if !called {
            return None;
        }
        // An answer tells the time, unless a later one says that this clock was wrong all the same.
        let stands = |other: &&&Entry| match other.body {
            Body::ClockSaid { .. } => !self.is_called_wrong_after(other, until),
            _ => !self.is_of_wrong_clock(other, until),
        };
        let before = self.all.iter().rev().filter(|it| it.number < stamped.number).find(stands);
        let after = self.all.iter().filter(|it| it.number > stamped.number && it.number < until).find(stands);
        let (before, after) = (before?.noted, after?.noted);
        Some((before.min(after), after.max(before)))
    }

    /// What closes happened as late as it may have. A clock is called wrong as an entry is voided: what was signed before was
    /// signed by what was known then.
    pub(super) fn late(&self, entry: &Entry, time: Time, until: Number) -> Time {
        self.noted_between(entry, until).map_or(time, |(_, latest)| latest)
    }

    /// What was done was done as early as it may have been.
    pub(super) fn early(&self, entry: &Entry, time: Time, until: Number) -> Time {
        let before = (entry.noted - time).max(TimeDelta::zero());
        self.noted_between(entry, until).map_or(time, |(earliest, _)| time.min(earliest - before))
    }
}

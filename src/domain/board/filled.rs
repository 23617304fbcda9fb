//! When a bag was filled, and whether a load can have been its own: by the minutes that were typed of it, and by the span of
//! what its loggers measured.
//!
//! What cannot be is refused, and settles nothing in an entry from before it was. What is doubtful may be a logger's clock that
//! is wrong, and counts only where somebody said that the clock was checked.

use std::sync::Arc;

use chrono::TimeDelta;

use super::Board;
use super::CLOCK_TOLERANCE;
use super::apply::No;
use super::room::{Cause, Closer, Room};
use crate::domain::code::Code;
use crate::domain::entry::{Cycle, Entry, Number, Time};
use crate::domain::laundry;
use crate::domain::measured::{LoggerIn, Measured};
use crate::domain::moves::show_time_to_type;
use crate::domain::need::Need;
use crate::domain::rule::Rule;

/// A load is noted within a day of its end: ours, no source.
const LONG_AFTER: TimeDelta = TimeDelta::hours(24);
/// Where it was said when the load ended, its trace does not end so long before: a logger is taken out with the load, and a
/// dryer may follow. Ours, no source.
const LONG_BEFORE: TimeDelta = TimeDelta::hours(3);
/// A logger is started so long before its bag is filled at most, or its clock was not put forward: ours, no source.
const SHORTLY: TimeDelta = TimeDelta::hours(2);

/// A load as it is, or is to be, noted.
#[derive(Clone, Copy)]
pub struct LoadAt<'a> {
    pub bag: Code,
    pub cycle: &'a Cycle,
    /// When it ended, as was said.
    pub happened: Time,
    pub noted: Time,
    /// The entry's own number. None: it is not written yet.
    pub number: Option<Number>,
}

impl<'a> LoadAt<'a> {
    pub fn of(entry: &'a Entry, bag: Code, cycle: &'a Cycle) -> Self {
        let Entry { happened, noted, number, .. } = entry;
        Self { bag, cycle, happened: *happened, noted: *noted, number: Some(*number) }
    }
}

/// When a bag was filled, by the newest entry that asks for it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Filled {
    pub number: Number,
    pub not_before: Time,
    /// Of a spray it is known when it ended.
    pub is_known: bool,
}

/// The entry that first kept a logger's file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct FirstKept {
    number: Number,
    noted: Time,
    happened: Time,
}

/// What speaks against the traces of a load, a sentence each.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Span {
    pub impossible: Vec<String>,
    pub doubtful: Vec<String>,
}

impl Board {
    /// In whichever room: a bag is what its tag says. None: nothing asks for it that happened before.
    pub fn filled(&self, bag: Code, before: Time) -> Option<Filled> {
        let asks = |c: &&Closer| c.voided.is_none() && c.needs.contains(&Need::Bag(bag)) && c.happened < before;
        let rooms = self.rooms_of_bag(bag).map(|(_, room)| room);
        let all = rooms.flat_map(|room| room.closers().iter().filter(asks).map(|c| filled(room, c)));
        all.max_by_key(|it| (it.not_before, it.number))
    }

    /// Why this load cannot have been the bag's, or is too doubtful to count: the refusal.
    pub(super) fn load_fits(&self, load: &LoadAt<'_>) -> Result<(), No> {
        match self.load_misfits(load).into_iter().next() {
            Some(why) => Err(No::new(Rule::LaundryCriteria, why)),
            None => Ok(()),
        }
    }

    /// The same for whoever is about to note it; empty: it fits.
    pub fn load_misfits(&self, load: &LoadAt<'_>) -> Vec<String> {
        let Span { impossible, doubtful } = self.span_of(load);
        let typed = self.typed_too_long(load);
        if !impossible.is_empty() || load.cycle.clock_checked || doubtful.is_empty() {
            return typed.into_iter().chain(impossible).collect();
        }
        let ask = "hold the logger's clock against the wall's: if that explains it and the bag was in this load, note it with the \
                   logger's clock checked (clock-checked: yes)";
        typed.into_iter().chain([format!("{}; {ask}", doubtful.join("; "))]).collect()
    }

    /// Why this load does not settle its bag, if that holds sprayed things; empty: it does.
    pub fn load_failures(&self, load: &LoadAt<'_>) -> Vec<String> {
        let criterion = laundry::criterion_of(self.policy());
        self.load_misfits(load).into_iter().chain(laundry::judge(load.cycle, criterion, true).failures()).collect()
    }

    /// No cycle began before its bag was filled: one that is longer than the time since then was not this bag's.
    fn typed_too_long(&self, load: &LoadAt<'_>) -> Option<String> {
        let minutes = typed_minutes(load.cycle);
        let filled = self.filled(load.bag, load.happened)?;
        (load.happened - filled.not_before < TimeDelta::minutes(minutes.into())).then(|| {
            format!(
                "{minutes} minutes of washing and drying do not fit between {}, when bag {} was filled (entry {}), and {}: \
                 note the load when it has ended, or correct its times",
                self.clock(filled.not_before),
                load.bag,
                filled.number,
                self.clock(load.happened)
            )
        })
    }

    /// What the traces' own times say. Empty for a load without a trace.
    pub fn span_of(&self, load: &LoadAt<'_>) -> Span {
        let mut span = Span::default();
        let filled = self.filled(load.bag, load.happened);
        for trace in load.cycle.traces() {
            self.known_before(trace, load, filled, &mut span);
            match (trace.began, trace.ended()) {
                (Some(began), Some(ended)) => self.dated(trace, (began, ended), load, filled, &mut span),
                // It begins or ends where no calendar goes.
                (Some(_), None) => span.impossible.push("the trace ends at no time that there is".to_owned()),
                (None, _) => self.undated(trace, load, filled, &mut span),
            }
        }
        self.together(load, filled, &mut span);
        span
    }

    /// A voided entry shows as well that its file was there.
    pub(super) fn remember_files(&mut self, entry: &Entry, cycle: &Cycle) {
        let Entry { number, noted, happened, .. } = *entry;
        for trace in cycle.traces() {
            Arc::make_mut(&mut self.files).entry(trace.file).or_insert(FirstKept { number, noted, happened });
        }
    }

    fn show(&self, time: Time) -> String {
        show_time_to_type(time, self.facility().time_zone)
    }

    /// A file that was read before the bag was filled holds no load of it.
    fn known_before(&self, trace: &Measured, load: &LoadAt<'_>, filled: Option<Filled>, span: &mut Span) {
        let Some(filled) = filled else { return };
        let Some(first) = self.files.get(&trace.file).filter(|it| load.number.is_none_or(|own| it.number < own)) else {
            return;
        };
        let (number, bag, at) = (first.number, load.bag, self.show(filled.not_before));
        if first.noted <= filled.not_before {
            span.impossible.push(format!(
                "entry {number} kept this trace at {} already, before {at}, when bag {bag} was filled (entry {}): name the \
                 file of this load",
                self.show(first.noted),
                filled.number
            ));
        } else if first.happened <= filled.not_before {
            span.doubtful.push(format!(
                "by entry {number} the load of this trace ended at {}, before {at}, when bag {bag} was filled (entry {})",
                self.show(first.happened),
                filled.number
            ));
        }
    }

    fn dated(
        &self,
        trace: &Measured,
        (began, ended): (Time, Time),
        load: &LoadAt<'_>,
        filled: Option<Filled>,
        span: &mut Span,
    ) {
        let Span { impossible, doubtful } = span;
        let (from, until) = (self.show(began), self.show(ended));
        let said = self.show(load.happened);
        let other = "name the file of this load; if the logger went by another clock, say which (its time zone)";
        if began > load.noted + CLOCK_TOLERANCE {
            impossible.push(format!("the trace begins at {from}, which lies ahead: {other}"));
            return;
        }
        if began > load.happened + CLOCK_TOLERANCE {
            impossible.push(format!(
                "the trace begins at {from}, after {said}, when the load is said to have ended: correct that, or {other}"
            ));
            return;
        }
        if ended > load.noted + CLOCK_TOLERANCE {
            doubtful.push(format!("the trace ends at {until}, which lies ahead"));
        } else if ended > load.happened + CLOCK_TOLERANCE {
            let after = span_words(ended - load.happened);
            doubtful
                .push(format!("the trace ends at {until}, {after} after {said}, when the load is said to have ended"));
        }
        if let Some(Filled { number, not_before, is_known }) = filled {
            let (at, bag) = (self.show(not_before), load.bag);
            if ended <= not_before {
                impossible.push(format!(
                    "the trace ends at {until}, and bag {bag} was filled only at {at} (entry {number}): {other}"
                ));
                return;
            }
            if began < not_before - SHORTLY {
                impossible.push(format!(
                    "the trace begins at {from}, {} before {at}, when bag {bag} was filled (entry {number}): cut it down to \
                     this one load, or {other}",
                    span_words(not_before - began)
                ));
                return;
            }
            if longer(trace, load.noted - not_before) {
                impossible.push(self.too_long(trace, load, filled, load.noted));
                return;
            }
            if began < not_before {
                doubtful.push(format!(
                    "the trace begins at {from}, before {at}, when bag {bag} was filled (entry {number})"
                ));
            } else if !is_known {
                doubtful.push(format!(
                    "nobody said yet when the spraying of entry {number} ended, so that nothing shows that bag {bag} was \
                     filled by {from}, when the trace begins"
                ));
            }
        }
        let before = load.happened - ended;
        // Of a load for which no time was said the entry has that of its noting.
        let is_said = load.noted - load.happened > CLOCK_TOLERANCE;
        if before > if is_said { LONG_BEFORE } else { LONG_AFTER } {
            let what = if is_said { "when the load is said to have ended" } else { "when the load is noted" };
            doubtful.push(format!("the trace ends at {until}, {} before {said}, {what}", span_words(before)));
        }
    }

    /// Of a trace without dates only its length can be held against anything.
    fn undated(&self, trace: &Measured, load: &LoadAt<'_>, filled: Option<Filled>, span: &mut Span) {
        if filled.is_some_and(|it| longer(trace, load.happened - it.not_before)) {
            span.impossible.push(self.too_long(trace, load, filled, load.happened));
        }
    }

    fn too_long(&self, trace: &Measured, load: &LoadAt<'_>, filled: Option<Filled>, until: Time) -> String {
        let minutes = trace.seconds.div_ceil(60);
        let filled = filled
            .map(|it| format!("{}, when bag {} was filled (entry {})", self.show(it.not_before), load.bag, it.number));
        format!(
            "a trace of {minutes} min does not fit between {}, and {}: name the file of this load, or cut it down to this one \
             load",
            filled.unwrap_or_default(),
            self.show(until)
        )
    }

    /// Washed, and then dried, since the bag was filled.
    fn together(&self, load: &LoadAt<'_>, filled: Option<Filled>, span: &mut Span) {
        let of = |machine: LoggerIn| load.cycle.traces().find(|it| it.machine == machine);
        let (washed, dried) = (of(LoggerIn::Washer), of(LoggerIn::Dryer));
        let ends = (washed.and_then(Measured::ended), dried.and_then(|it| it.began));
        if let (Some(washed), Some(dried)) = ends
            && dried < washed
        {
            span.doubtful.push(format!(
                "the dryer's trace begins at {}, before the washer's ends at {}",
                self.show(dried),
                self.show(washed)
            ));
        }
        let typed = |minutes: Option<u32>| u64::from(minutes.unwrap_or(0)) * 60;
        let logged = |trace: Option<&Measured>, minutes| trace.map_or(typed(minutes), |it| it.seconds.into());
        let all = logged(washed, load.cycle.wash_minutes) + logged(dried, load.cycle.dry_minutes);
        let is_logged = washed.or(dried).is_some();
        if let Some(filled) = filled.filter(|_| is_logged && span.impossible.is_empty())
            && i64::try_from(all).unwrap_or(i64::MAX) > (load.happened - filled.not_before).num_seconds()
        {
            span.doubtful.push(format!(
                "{} min of washing and drying in all, by the loggers and as typed, do not fit between {}, when bag {} was \
                 filled (entry {}), and {}",
                all.div_ceil(60),
                self.show(filled.not_before),
                load.bag,
                filled.number,
                self.show(load.happened)
            ));
        }
    }
}

/// What was supplied afterwards was in the room at the spray.
pub(super) fn filled(room: &Room, closer: &Closer) -> Filled {
    let of = if let Cause::Supplied { spray } = closer.cause { room.knows_spray(spray) } else { None };
    let of = of.unwrap_or(closer);
    let ended = of.finished;
    let not_before = ended.map_or(of.happened, |at| at.max(of.happened));
    Filled { number: closer.number, not_before, is_known: ended.is_some() || of.cause != Cause::Spray }
}

fn typed_minutes(cycle: &Cycle) -> u32 {
    cycle.wash_minutes.unwrap_or(0).saturating_add(cycle.dry_minutes.unwrap_or(0))
}

fn longer(trace: &Measured, than: TimeDelta) -> bool {
    i64::from(trace.seconds) > than.num_seconds()
}

/// `3 h`, `3 h 5 min`, `50 min`; in whole minutes.
fn span_words(time: TimeDelta) -> String {
    match (time.num_hours(), time.num_minutes() % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

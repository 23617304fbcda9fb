//! One spray, with all that was ever said of it.

use chrono::TimeDelta;

use super::{Span, Surface};
use crate::domain::clock::AFTER_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// How far the clocks of two terminals may differ.
pub const CLOCK_TOLERANCE: TimeDelta = TimeDelta::minutes(2);

/// How much longer a span is waited for, whose ends were noted at these terminals.
pub fn span_slack(one: &str, other: &str) -> TimeDelta {
    if one == other { TimeDelta::zero() } else { CLOCK_TOLERANCE }
}

/// The two bounds on a dry check: it begins strictly after the spraying, and not before the label's minimum.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Ready {
    pub after: Time,
    pub not_before: Time,
}

impl Ready {
    pub fn new(after: Time, label: TimeDelta) -> Self {
        Self { after, not_before: after.checked_add_signed(label).unwrap_or(AFTER_ALL) }
    }

    pub fn later(self, other: Self) -> Self {
        Self { after: self.after.max(other.after), not_before: self.not_before.max(other.not_before) }
    }

    pub fn allows_at(self, began: Time) -> bool {
        began > self.after && began >= self.not_before
    }

    /// A span from one terminal's clock to another's waits longer.
    pub(super) fn seen_from(self, from: Option<&str>, here: &str) -> Self {
        let slack = from.map_or(TimeDelta::zero(), |from| span_slack(from, here));
        Self { not_before: self.not_before.checked_add_signed(slack).unwrap_or(AFTER_ALL), ..self }
    }
}

/// More that is said of a spray.
#[derive(Clone, Debug, Default)]
pub struct Statement {
    pub number: Number,
    /// When it was noted: a clock that did not run begins then.
    pub noted: Time,
    pub ended: Option<Time>,
    pub label: Option<TimeDelta>,
    pub named: Vec<Surface>,
    /// It may start a clock. What lengthens one needs nobody's right.
    pub counts: bool,
}

#[derive(Clone, Debug)]
pub struct Spray {
    pub number: Number,
    pub begun: Time,
    pub noted: Time,
    /// The latest end, and the longest label's minutes, that anybody stated.
    pub ended: Option<Time>,
    pub label: Option<TimeDelta>,
    /// The noting that supplied what a clock waited for, and the entries that did.
    started: Option<Time>,
    pub supplied_by: Vec<Number>,
    /// The entry that first told of it, in whatever room.
    pub(super) first_told: Number,
    /// The newest entry that said anything of it.
    pub told: Number,
    /// A spray, and not what was wiped or found damp: what was in the room with it is treated.
    pub is_spray: bool,
    /// What any statement named. None: none did.
    pub named: Option<Vec<Surface>>,
    /// What was named besides, where the first note named nothing.
    besides: Vec<Surface>,
    /// What it wetted, as far as has come to light.
    pub wetted: Vec<Surface>,
    /// The beds that stood in the room with it, as far as has come to light.
    pub stood_by: Vec<Code>,
    terminal: String,
    /// The latest end and the longest label of those who may start no clock: they lengthen one that somebody else starts.
    unheard: (Option<Time>, Option<TimeDelta>),
    /// The ends that were stated, each by its entry, as they were noted.
    ends: Vec<(Number, Time)>,
    /// Its clock was called wrong: when it began as it was noted.
    as_begun: Option<Time>,
}

impl Spray {
    pub(super) fn new(
        number: Number,
        begun: Time,
        noted: Time,
        ended: Option<Time>,
        label: Option<TimeDelta>,
        named: Option<Vec<Surface>>,
        terminal: String,
    ) -> Self {
        let (started, supplied_by, wetted) = (None, vec![], vec![]);
        // Nobody sprays after they noted it; an hour that was typed ahead of that is perhaps the end.
        let ahead = Some(begun).filter(|begun| *begun > noted);
        let (begun, ended) = (begun.min(noted), ended.map(|at| ahead.map_or(at, |ahead| ahead.max(at))));
        let ends = ended.map(|at| (number, at)).into_iter().collect();
        Self {
            number,
            begun,
            noted,
            ended,
            label,
            started,
            supplied_by,
            first_told: number,
            told: number,
            is_spray: true,
            named,
            besides: vec![],
            wetted,
            stood_by: vec![],
            terminal,
            unheard: (ahead, None),
            ends,
            as_begun: None,
        }
    }

    pub(super) fn terminal(&self) -> &str {
        &self.terminal
    }

    /// From its beginning to its end; nobody said when it ended, to its noting.
    pub fn interval(&self) -> (Time, Time) {
        (self.begun, self.ended.unwrap_or(self.noted).max(self.begun))
    }

    /// What any note of it names.
    pub fn all_named(&self) -> impl Iterator<Item = &Surface> {
        self.named.iter().flatten().chain(&self.besides)
    }

    /// Whether this came to light as wetted by it.
    pub fn has_wetted(&self, surface: Surface) -> bool {
        self.wetted.contains(&surface)
    }

    pub fn has_named(&self, surface: Surface) -> bool {
        self.named.as_ref().is_some_and(|named| named.contains(&surface))
    }

    /// When what it wetted may be felt. None: its end or its label is not stated, so no clock runs.
    pub fn ready(&self) -> Option<Ready> {
        let (ended, label) = (self.ended?, self.label?);
        let after = self.started.map_or(ended, |at| at.max(ended)).max(self.begun);
        Some(Ready::new(after, label))
    }

    pub(super) fn is_of(&self, worst: &dyn Fn(Number) -> Option<Span>) -> bool {
        let ends = self.ends.iter().map(|(number, _)| number);
        [&self.number, &self.first_told]
            .into_iter()
            .chain(&self.supplied_by)
            .chain(ends)
            .any(|number| worst(*number).is_some())
    }

    pub(super) fn retime(&mut self, worst: &dyn Fn(Number) -> Option<Span>) {
        // What is said to have been in another room was when its first note says.
        if let Some(span) = worst(self.first_told) {
            self.begun = span.earliest_of(*self.as_begun.get_or_insert(self.begun));
        }
        if let Some(span) = worst(self.number) {
            self.noted = span.latest_of(span.noted);
        }
        for span in self.supplied_by.iter().filter_map(|number| worst(*number)) {
            self.started = self.started.map(|at| span.latest_of(at));
        }
        // Whichever clock told it, each end as late as it may have been.
        if self.ended.is_some() {
            let latest = |(number, at): &(Number, Time)| worst(*number).map_or(*at, |span| span.latest_of(*at));
            self.ended = self.ends.iter().map(latest).max().max(self.unheard.0);
        }
    }

    /// It is this one, which was noted of another room first: whoever told its times told them by their own clock.
    pub(super) fn was_first(&mut self, first: &Self) {
        self.first_told = first.first_told;
        self.as_begun = first.as_begun;
        self.ends.retain(|(_, at)| first.ends.iter().all(|(_, known)| known != at));
        self.ends.extend(&first.ends);
        self.terminal.clone_from(&first.terminal);
    }

    /// Two people called what was stated a mistake: this is what is left of it.
    pub(super) fn lessen(&mut self, ended: Option<Time>, label: Option<TimeDelta>, by: Number) {
        if let Some(ended) = ended {
            (self.ended, self.unheard.0) = (Some(ended), None);
            self.ends = vec![(by, ended)];
        }
        self.label = label.or(self.label);
    }

    /// Takes in what is said. Says whether it makes a clock start, or run longer.
    pub(super) fn state(&mut self, it: &Statement) -> bool {
        self.told = self.told.max(it.number);
        let before = self.ready();
        let is_open = before.is_none();
        let mut supplies = false;
        if let Some(ended) = it.ended {
            if self.ended.is_some() || it.counts {
                self.ends.push((it.number, ended));
            }
            match self.ended {
                Some(known) => self.ended = Some(known.max(ended)),
                None if it.counts => {
                    self.ended = self.unheard.0.max(Some(ended));
                    supplies = true;
                }
                None => self.unheard.0 = self.unheard.0.max(Some(ended)),
            }
        }
        if let Some(label) = it.label {
            match self.label {
                Some(known) => self.label = Some(known.max(label)),
                None if it.counts => {
                    self.label = self.unheard.1.max(Some(label));
                    supplies = true;
                }
                None => self.unheard.1 = self.unheard.1.max(Some(label)),
            }
        }
        if supplies && is_open {
            self.started = Some(self.started.map_or(it.noted, |at| at.max(it.noted)));
            self.supplied_by.push(it.number);
        }
        // What was named besides narrows nothing where all of it was wet.
        match &mut self.named {
            Some(named) => named.extend(it.named.iter().filter(|new| !self.wetted.contains(new))),
            None => self.besides.extend(&it.named),
        }
        self.ready() != before
    }
}

//! What is kept of one surface: what keeps it wet, what found it dry, where it went.

use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use chrono::TimeDelta;

use super::place::{Move, Step};
use super::spray::Ready;
use super::track::Track;

/// Something that wets.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Source {
    /// A spray of this room, by its entry.
    Spray { room: Code, number: Number },
    /// Found damp, wiped, or come as wet, at this time; felt no sooner than these minutes later.
    Touch { number: Number, at: Time, label: TimeDelta },
}

impl Source {
    /// The entry that first told of it.
    pub fn number(self) -> Number {
        match self {
            Self::Spray { number, .. } | Self::Touch { number, .. } => number,
        }
    }
}

/// A source that keeps a surface wet, since the entry by which it came to light.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Wet {
    pub source: Source,
    pub since: Number,
}

/// What keeps a surface wet.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WetNow {
    /// The entries that wetted it.
    pub by: Vec<Number>,
    /// The newest entry by which any of it came to light: a check that dries it is noted later.
    pub since: Number,
    /// When the first of them began.
    pub from: Time,
    /// When it may be felt. None: no clock runs, since something was left unstated.
    pub ready: Option<Ready>,
}

/// A touch check, before it is known what it counts for.
#[derive(Clone, Debug)]
pub struct Check {
    pub number: Number,
    pub room: Code,
    pub began: Time,
    pub done: Time,
    pub terminal: String,
    /// The tag by which it was named. None: by the name of its own room.
    pub under: Option<Code>,
}

/// What is kept of a check that counted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Felt {
    pub number: Number,
    pub room: Code,
    pub began: Time,
    /// As it was noted.
    pub as_began: Time,
    /// The tag by which it was named.
    pub under: Option<Code>,
}

impl Check {
    pub(super) fn short(&self) -> Felt {
        Felt { number: self.number, room: self.room, began: self.began, as_began: self.began, under: self.under }
    }
}

/// Why a touch does not count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NotYet {
    /// By what is noted it was not in that room then.
    NotHere,
    /// No clock runs for what wetted it.
    Unstated(Source),
    TooEarly(Ready, Source),
    /// What wetted it was noted after the check.
    NotedSince,
}

/// It was found dry, or nothing was found of what was voided: by which entry, and of what.
#[derive(Clone, Debug)]
pub struct Dried {
    pub by: Number,
    pub done: Time,
    /// None: it was a look after a void, or two people said that it never was wet by that.
    pub check: Option<Felt>,
    /// The rooms of a look.
    pub looked: Option<Vec<Code>>,
    /// Where it may have stood in several rooms: the checks in the others.
    pub with: Vec<Number>,
    pub wet: Vec<Wet>,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Record {
    pub(super) wet: Vec<Wet>,
    /// In the order of the entries by which it was.
    pub(super) dried: Vec<Dried>,
    /// Checks that named it in one of several rooms in which it may have stood: each room of them wants one.
    pub(super) felt: Vec<Felt>,
    pub(super) track: Track,
    /// It took the place of a part of a bed: by which entry, when, in which room.
    pub(super) since: Option<(Number, Time, Code)>,
    /// Nobody finds it. Where it turns up it is felt no sooner than by this label.
    pub(super) lost: Option<TimeDelta>,
    /// The tags under which it is known, the newest last.
    pub(super) tags: Vec<Code>,
}

impl Record {
    /// It goes under this tag from now on.
    pub(super) fn carry(&mut self, tag: Code) {
        self.tags.retain(|known| *known != tag);
        self.tags.push(tag);
    }

    /// Given up, and told of by this move: then by this label it is wet. What is told of before it was given up is no news.
    pub(super) fn turns_up(&mut self, step: Move) -> Option<TimeDelta> {
        let given_up = self.track.moves().iter().rfind(|it| it.step == Step::Lost).map(|it| it.at);
        let is_told = step.step != Step::Lost && !step.step.is_hearsay();
        self.lost.take_if(|_| is_told && given_up.is_none_or(|at| step.at > at))
    }

    /// Whether it is wet by this, or was found dry of it.
    pub(super) fn was_wet_by(&self, source: Source) -> bool {
        let dried = self.dried.iter().flat_map(|it| it.wet.iter());
        self.wet.iter().chain(dried).any(|it| it.source == source)
    }

    /// The newest first, and none from before this entry: nothing is found dry of what was not noted yet.
    pub(super) fn dried_since(&self, number: Number) -> impl Iterator<Item = &Dried> {
        self.dried.iter().rev().take_while(move |it| it.by >= number)
    }
}

//! What a room keeps of its entries: closers, facts and signatures, chapters of settled ones, and who lay in its beds.

use std::sync::Arc;

use chrono::TimeDelta;

use super::retimed::AsNoted;
use crate::domain::board::gap::Gap;
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
use crate::domain::code::Code;
use crate::domain::entry::{Entry, InspectionMethod, Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;

/// What kind of entry closes the room.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Cause {
    /// A finding that does not confirm. `physical`: something was there to be seen, which opens a case.
    Suspicion {
        physical: bool,
    },
    Confirmed,
    /// Patients were moved out for the work.
    PatientsOut,
    Prepared,
    Spray,
    /// Zones or bags that were supplied after the spray of this number.
    Supplied {
        spray: Number,
    },
    Damp,
    /// Something that may be wet, or is still to be treated, came here, or that it may be came to light.
    Brought {
        wet: bool,
    },
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
    /// Something that was named left for nobody knows where. It asks for nothing. `is_asked`: it was taken back, and nobody knows
    /// what carries its tag, so that somebody looks as after whatever closes.
    Left {
        is_asked: bool,
    },
}

/// An entry that closes. It keeps its number for ever, and its needs as they were named under the settings of its day.
#[derive(Clone, Debug)]
pub struct Closer {
    pub number: Number,
    /// Where it was noted.
    pub terminal: Arc<str>,
    pub happened: Time,
    pub noted_by: Code,
    pub done_by: Code,
    pub cause: Cause,
    pub needs: Vec<Need>,
    /// `(need, first)`: a fact meets `need` only after one has met `first`.
    pub order: Vec<(Need, Need)>,
    /// Of a spray that was noted as one: when it began.
    pub begun: Option<Time>,
    /// Of a spray: its end, and the label's minutes where the label's words are on file.
    pub finished: Option<Time>,
    pub label: Option<TimeDelta>,
    /// Of linens that are asked for afterwards: the entry that says when what treated them ended.
    pub finished_by: Option<Number>,
    /// Of a spray: zones that are supplied later were treated by it. Not if it named its own, nor if whoever sprayed may not.
    pub zones_may_follow: bool,
    /// Of a spray: what was sprayed, by the list's code. None: nobody knows.
    pub product: Option<Code>,
    /// Of a spray: the zones that it owed, and treated itself.
    pub paid: Vec<Zone>,
    /// Of a finding: where a sign was seen. To look closely there treats nothing.
    pub seen: Vec<Zone>,
    /// Of an infested room's spray: the open finding since which what was treated counts for the spray too.
    pub works_on: Option<(Number, Time)>,
    pub voided: Option<Void>,
    /// A spray that a void says was really here. A void is never voided: nothing but its own needs settles it.
    pub by_void: bool,
    /// A suspicion by bites alone, or by a live one that nobody trained saw, asks for its inspection sooner.
    pub is_urgent: bool,
    /// Of a spray: somebody was in a bed, so there is at least one bag of linens that it reached.
    pub linens_in_use: bool,
    /// Of a spray: which washable things were there was said with it, be it none.
    pub linens_stated: bool,
    /// Why the room is out of service, in the words of whoever closed it.
    pub words: String,
    /// Of a downtime that the lead noted: what happened between these times may be noted late, from its sheets.
    pub sheets: Option<(Time, Time)>,
    /// Entries are missing, or may be: the walk says what was asked.
    pub gap: Option<Gap>,
    /// Of a walk that is due because something came from this room: it is the walk of the ward that has that room. None: its own.
    pub walk_of: Option<Code>,
    /// Its clock was called wrong: its times as they were noted.
    pub(in crate::domain::board) as_noted: Option<Box<AsNoted>>,
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
    /// Where it was noted.
    pub terminal: Arc<str>,
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
    /// What it covers was looked at closely, and nothing more was done to it.
    pub only_looked: bool,
    /// Of a bag: its end also does for things that were sprayed.
    pub treated_too: bool,
    /// Of a bag: it ended otherwise than by the laundry, so no bed is made from it.
    pub gone: bool,
    /// Supplies what this spray left unstated: its end, the label's minutes.
    pub supplies: Option<Supply>,
    pub voided: bool,
    /// Its clock was called wrong: from when, done and noted, as they were noted.
    pub(in crate::domain::board) as_noted: Option<Box<(Time, Time, Time)>>,
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
    /// As the second of two, for the return that the lead signs.
    SecondChecked {
        by: Code,
    },
    Attested,
    /// None: the walk of the room's own ward; else of the ward of a room that something came from.
    Walked {
        of: Option<Code>,
    },
}

impl SignatureKind {
    pub(super) fn may_settle(self, closer: &Closer) -> bool {
        match self {
            Self::CleanInspection => {
                matches!(closer.cause, Cause::Suspicion { .. } | Cause::Received | Cause::Confirmed)
            }
            Self::NotABedBug { .. } => closer.cause == Cause::Confirmed,
            Self::NothingApplied => closer.cause.is_preparation(),
            Self::Returned => closer.cause.ends_by_return(),
            Self::InService => closer.cause == Cause::OutOfService,
            Self::Looked => closer.voided.is_some(),
            Self::Attested => matches!(closer.cause, Cause::Damage { .. }),
            Self::Walked { of } => closer.cause == Cause::Walk && closer.walk_of == of,
            Self::Cleared | Self::SecondChecked { .. } => false,
        }
    }
}

#[derive(Clone, Debug)]
pub(in crate::domain::board) struct Signature {
    pub number: Number,
    pub kind: SignatureKind,
    pub settles: Vec<Number>,
    pub rests_on: Vec<Number>,
    pub stands: bool,
}

/// Settled and put away. By the rule of both orders nothing in it can meet a later closer.
#[derive(Clone, Debug)]
pub(in crate::domain::board) struct Chapter {
    pub(super) closers: Vec<Closer>,
    pub(super) facts: Vec<Fact>,
    pub(super) signatures: Vec<Signature>,
    pub(super) case_before: Option<Number>,
    /// What is in it, and in those before it, happened no later, as it was known when it was put away.
    pub(super) last: Time,
}

impl Chapter {
    /// The latest time in these.
    pub(super) fn last_of(closers: &[Closer], facts: &[Fact]) -> Time {
        let closed = closers.iter().flat_map(|it| [Some(it.happened), it.begun, it.finished]).flatten();
        let done = facts.iter().flat_map(|it| [it.from, it.done, it.noted]);
        closed.chain(done).max().unwrap_or(AFTER_ALL)
    }
}

/// A complete full inspection, clean or not.
#[derive(Clone, Debug)]
pub struct FullInspection {
    pub number: Number,
    pub began: Time,
    /// As it was noted.
    pub(in crate::domain::board) as_began: Time,
    pub method: InspectionMethod,
    /// Nothing seen, by a trained person, signed on what was shown.
    pub clean: bool,
    pub voided: bool,
    /// What stood elsewhere, and was not looked at.
    pub(in crate::domain::board) left_out: Vec<Zone>,
}

/// Who lies in a bed, as far as it was noted.
#[derive(Clone, Debug, Default)]
pub struct BedUse {
    /// Notes that somebody lies in it, oldest first: each with its number and its time. An older one is kept while its time may
    /// still lie ahead.
    pub(in crate::domain::board) came: Vec<(Number, Time)>,
    /// Notes that it is empty, made since.
    pub(in crate::domain::board) emptied: Vec<Emptied>,
    /// Since then somebody may lie in it, and nobody said in which bed of the room; or a note of somebody was voided.
    pub doubted: Option<(Number, Time)>,
    /// Promised to somebody who is expected at this time.
    pub promised: Option<Promise>,
}

/// That a bed is empty, as an entry says.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::domain::board) struct Emptied {
    pub(in crate::domain::board) number: Number,
    pub(in crate::domain::board) at: Time,
    /// As it was noted.
    pub(in crate::domain::board) as_at: Time,
}

/// A bed that the charge nurse promised. It permits nothing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Promise {
    pub number: Number,
    pub wanted: Time,
    pub by: Code,
}

/// So far back of what is noted now the time of an older note may be found to have been ahead of it, by a clock that was wrong.
const CLAIMS_KEPT: TimeDelta = TimeDelta::days(1);

impl BedUse {
    /// Somebody lies in it from now on, whatever was noted of it before; what was claimed of a time ahead is waited for still.
    pub(in crate::domain::board) fn occupy(&mut self, entry: &Entry) {
        let came = (entry.number, entry.happened);
        // Somebody new is who the bed was promised to, or has taken that bed.
        let promised = self.promised.filter(|_| self.is_occupied());
        let since = came.1.min(entry.noted).checked_sub_signed(CLAIMS_KEPT).unwrap_or(BEFORE_ALL);
        let mut all = std::mem::take(&mut self.came);
        all.retain(|(_, at)| *at > since);
        all.push(came);
        *self = Self { came: all, promised, ..Self::default() };
    }

    /// The times that this entry claims for somebody in it.
    pub(crate) fn claims_of(&self, entry: Number) -> impl Iterator<Item = Time> {
        self.came.iter().filter(move |(number, _)| *number == entry).map(|(_, at)| *at)
    }

    /// The newest reason to think that somebody lies in it: its number, and the latest time that is claimed.
    pub fn occupied(&self) -> Option<(Number, Time)> {
        Some((self.came.last()?.0, self.came.iter().map(|(_, at)| *at).max()?))
    }

    /// Somebody lies in it, as far as is known.
    pub fn is_occupied(&self) -> bool {
        !self.came.is_empty() && self.empty_since().is_none() && self.doubted.is_none()
    }

    /// The latest time at which somebody lay, or may have lain, in it.
    pub fn somebody_since(&self) -> Option<Time> {
        self.occupied().map(|(_, at)| at).max(self.doubted.map(|(_, at)| at))
    }

    /// A clock that was wrong had them come at an hour still to come, and they were noted as gone since: that hour, and the entry that
    /// stands there. Until then the bed counts as occupied.
    pub fn left_before_they_came(&self, now: Time) -> Option<(Time, Number)> {
        let told = || self.came.iter().copied().chain(self.doubted);
        let (number, at) = told().max_by_key(|(_, at)| *at)?;
        let newest = told().map(|(number, _)| number).max()?;
        let is_gone = self.emptied.iter().any(|emptied| emptied.number > newest);
        (at > now && is_gone).then_some((at, number))
    }

    /// Nobody has noted it empty since somebody may lie in it.
    pub fn is_doubtful(&self) -> bool {
        self.doubted.is_some() && self.empty_since().is_none()
    }

    /// The newest note that it is empty which came after, in both orders, the newest reason to think otherwise.
    pub fn empty_since(&self) -> Option<(Number, Time)> {
        let newest = self.somebody_since();
        let after = |it: &&Emptied| newest.is_none_or(|since| it.at > since);
        self.emptied.iter().filter(after).max_by_key(|it| it.at).map(|it| (it.number, it.at))
    }
}

/// A stay, for counting the days on which somebody slept in the room.
#[derive(Clone, Copy, Debug)]
pub struct Stay {
    pub bed: Code,
    /// The entry that says so.
    pub number: Number,
    /// Where its clock was called wrong: when they came at the earliest, or left at the latest.
    pub at: Time,
    /// And when they came at the latest, or left at the earliest.
    pub(in crate::domain::board) surely: Time,
    /// As it was noted.
    pub(in crate::domain::board) as_at: Time,
    pub occupied: bool,
    /// Somebody came to lie in a bed of the room, and nobody said in which.
    pub perhaps: bool,
}

impl Closer {
    /// Whoever noted it, did it or voided it: a second look is for none of them.
    pub fn own_hands(&self) -> Vec<Code> {
        let voided_by = self.voided.iter().flat_map(|void| void.by);
        [self.noted_by, self.done_by].into_iter().chain(voided_by).collect()
    }

    /// The spray that it is about: of what was supplied later, the one that it was supplied for.
    pub fn spray(&self) -> Number {
        if let Cause::Supplied { spray } = self.cause { spray } else { self.number }
    }

    /// What is done sooner does not meet it: no linens are fresh before the end of what treated them.
    pub fn counts_after(&self, need: Need) -> Time {
        let ended = self.finished.filter(|_| matches!(need, Need::Bag(_) | Need::Made(_)));
        ended.map_or(self.happened, |ended| ended.max(self.happened))
    }

    /// Its clock was called wrong.
    pub fn is_of_wrong_clock(&self) -> bool {
        self.as_noted.is_some()
    }

    /// Whether a void leaves it hanging for a look. A damaged line, a gap and what a void itself says are not voided.
    pub fn may_be_voided(&self) -> bool {
        !self.by_void && !matches!(self.cause, Cause::Damage { .. } | Cause::Walk)
    }

    /// Its needs, and the signature that settles it.
    pub(super) fn own_needs(&self) -> Vec<Need> {
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
        match self {
            Self::Spray | Self::Supplied { .. } | Self::Damp | Self::Wiped | Self::Brought { wet: true } => true,
            Self::Suspicion { .. }
            | Self::Confirmed
            | Self::PatientsOut
            | Self::Prepared
            | Self::Brought { wet: false }
            | Self::OutOfService
            | Self::Damage { .. }
            | Self::Walk
            | Self::Received
            | Self::Left { .. } => false,
        }
    }

    /// Settled by the lead's return to service.
    pub fn ends_by_return(self) -> bool {
        self.is_treatment()
            || matches!(self, Self::Suspicion { .. } | Self::Confirmed | Self::Brought { .. })
            || self.is_preparation()
    }

    /// Before anything is sprayed: the patients out, the linens stripped.
    pub fn is_preparation(self) -> bool {
        matches!(self, Self::PatientsOut | Self::Prepared)
    }
}

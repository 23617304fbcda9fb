//! What stands in a room by what the surfaces say of it: its names, whether it is wet, and what of the room stands elsewhere.

use std::cmp::Ordering;

use super::treated::Treated;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::facility::Zone;
use crate::domain::need::{About, Need};
use crate::domain::surface::WetNow;

/// What may be in a room, by the name that it has there.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Standing {
    pub zone: Zone,
    /// Whatever else it is called here: its own zone's name, its tags.
    pub(super) names: Vec<Zone>,
    /// What the list asks of it. None: no part of the list, as far as anybody said.
    pub(super) plan: Option<Asked>,
    /// On a bed that the book has in another room since, and nobody said when it was rolled: until the walk it is in either.
    pub(super) is_rolled: bool,
    /// It may stand in another room as well, or nobody can say that it was ever here.
    pub is_uncertain: bool,
    /// It was felt dry here, and waits to be felt wherever else it may stand.
    pub is_felt: bool,
    /// It was given up, and perhaps is not gone: it is seen before it is felt.
    pub(super) is_lost: bool,
    /// What keeps it wet. None: it was found dry.
    pub wet: Option<WetNow>,
    /// The newest entry by which it was found dry, and when that was done.
    pub dried: Option<(Number, Time)>,
}

/// What the list asks of a part besides that it is dry.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Asked {
    Treated,
    /// Vacuumed as well, once it is dry.
    TreatedAndVacuumed,
}

/// What the surfaces say of one room. The board writes it anew after each entry that changes them, and nothing else does.
#[derive(Clone, Debug, Default)]
pub struct Dryness {
    pub(super) here: Vec<Standing>,
    /// Zones and beds of the room that stand elsewhere.
    pub(super) away: Vec<Zone>,
    pub(super) beds_away: Vec<Code>,
    /// What was asked to be felt by a name that something else had here, which is gone: what has that name now never was wet.
    pub(super) never_wet: Vec<Zone>,
    /// When what is put into a bag here is treated. Empty where nothing asks for it.
    pub(super) treated: Vec<Treated>,
}

impl Dryness {
    pub fn of(&self, zone: Zone) -> Option<&Standing> {
        Self::foremost(zone, self.named(zone))
    }

    /// One name may stand for several parts: what is wet of them comes first, and of these what goes by that name now.
    fn foremost<'a>(zone: Zone, mut named: impl Iterator<Item = &'a Standing>) -> Option<&'a Standing> {
        let order = |it: &&Standing| (it.wet.is_some(), it.wet.is_some() && it.zone == zone);
        let first = named.next()?;
        Some(named.fold(first, |best, it| {
            let is_better = match order(&it).cmp(&order(&best)) {
                Ordering::Equal => it.wet.is_none() && it.dried >= best.dried,
                unequal => unequal.is_gt(),
            };
            if is_better { it } else { best }
        }))
    }

    /// Whether anything here goes, or ever went, by this name.
    pub(super) fn is_here(&self, zone: Zone) -> bool {
        self.named(zone).next().is_some()
    }

    /// Whatever goes, or ever went, by this name here.
    fn named(&self, zone: Zone) -> impl Iterator<Item = &Standing> {
        self.here.iter().filter(move |it| it.zone == zone || it.names.contains(&zone))
    }

    /// Of what goes, or ever went, by this name, that of which the list asks at least this; all of it, where it asks it of none.
    fn asking(&self, zone: Zone, least: Asked) -> Vec<&Standing> {
        let (asking, others): (Vec<&Standing>, Vec<&Standing>) =
            self.named(zone).partition(|it| it.plan.is_some_and(|plan| plan >= least));
        if asking.is_empty() { others } else { asking }
    }

    /// A need by the name that the thing goes by now.
    pub fn renamed(&self, need: Need) -> Need {
        let now = |zone: Zone, least: Asked| {
            Self::foremost(zone, self.asking(zone, least).into_iter()).map_or(zone, |it| it.zone)
        };
        match need {
            Need::Dry(zone) => Need::Dry(self.of(zone).map_or(zone, |it| it.zone)),
            Need::Covered(zone) => Need::Covered(now(zone, Asked::Treated)),
            Need::Vacuumed(zone) => Need::Vacuumed(now(zone, Asked::TreatedAndVacuumed)),
            other => other,
        }
    }

    /// Whatever was asked to be found dry by one name, each by the name that it goes by now.
    pub(super) fn called_now(&self, zone: Zone) -> Vec<Zone> {
        let mut all: Vec<Zone> = self.named(zone).map(|it| it.zone).collect();
        if all.is_empty() {
            all.push(zone);
        }
        all
    }

    /// What was asked for by one name, each by the name that it goes by now: it may be several parts since. None: as it was asked.
    pub(super) fn names_now(&self, need: Need) -> Vec<Need> {
        let now = |zone: Zone, least: Asked| self.asking(zone, least).into_iter().map(|it| it.zone);
        let mut all: Vec<Need> = match need {
            Need::Covered(zone) => now(zone, Asked::Treated).map(Need::Covered).collect(),
            Need::Vacuumed(zone) => now(zone, Asked::TreatedAndVacuumed).map(Need::Vacuumed).collect(),
            _ => vec![],
        };
        all.sort();
        all.dedup();
        all
    }

    /// The parts of this bed that may be here.
    pub fn of_bed(&self, bed: Code) -> impl Iterator<Item = &Standing> {
        let is_of_it = move |zone: &Zone| zone.bed == Some(bed);
        self.here.iter().filter(move |it| is_of_it(&it.zone) || it.names.iter().any(is_of_it))
    }

    pub fn wet(&self) -> impl Iterator<Item = &Standing> {
        self.here.iter().filter(|it| it.wet.is_some())
    }

    /// What is wet may stand elsewhere as well, and nobody can see which: the walk tells.
    pub fn waits_for_walk(&self) -> bool {
        self.wet().any(|it| it.is_rolled)
    }

    /// What is still to be felt here.
    pub fn to_feel(&self) -> Vec<Zone> {
        self.wet().filter(|it| !it.is_felt && !it.is_lost).map(|it| it.zone).collect()
    }

    pub fn is_wet(&self) -> bool {
        self.wet().next().is_some()
    }

    /// All that is wet here was given up.
    pub(super) fn is_given_up(&self) -> bool {
        self.is_wet() && self.wet().all(|it| it.is_lost)
    }

    /// Whether anything that surely is here is to be felt now: what was given up is seen first.
    pub fn is_anything_felt_now(&self) -> bool {
        self.wet().any(|it| !it.is_uncertain && !it.is_felt && !it.is_lost)
    }

    /// Whether a need is about something that stands elsewhere: there it is asked.
    pub fn is_elsewhere(&self, need: Need) -> bool {
        if matches!(need, Need::Dry(zone) if self.never_wet.contains(&zone)) {
            return true;
        }
        match need.about() {
            Some(About::Part(zone)) => self.is_away(zone),
            Some(About::Bed(bed)) => self.beds_away.contains(&bed),
            None => false,
        }
    }

    /// Whether a zone of the room stands elsewhere.
    pub fn is_away(&self, zone: Zone) -> bool {
        self.away.contains(&zone)
    }
}

impl Standing {
    /// One tag for several parts: wet if any is, dry by the last.
    pub(super) fn add(
        &mut self,
        wet: Option<WetNow>,
        dried: Option<(Number, Time)>,
        (is_uncertain, is_felt, is_lost): (bool, bool, bool),
        names: Vec<Zone>,
        plan: Option<Asked>,
    ) {
        self.names.extend(names);
        self.plan = self.plan.max(plan);
        self.is_uncertain &= is_uncertain || wet.is_none();
        self.is_felt &= is_felt || wet.is_none();
        self.is_lost &= is_lost || wet.is_none();
        self.dried = self.dried.max(dried);
        self.wet = match (self.wet.take(), wet) {
            (Some(one), Some(other)) => Some(WetNow {
                by: one.by.into_iter().chain(other.by).collect(),
                since: one.since.max(other.since),
                from: one.from.min(other.from),
                ready: one.ready.zip(other.ready).map(|(a, b)| a.later(b)),
            }),
            (one, other) => one.or(other),
        };
    }
}

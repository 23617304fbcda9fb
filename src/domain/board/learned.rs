//! What the hospital's own dry checks say about the drying estimate. Worked out when it is asked for, and kept until a drying
//! says something new.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::Board;
use super::drying::Drying;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::science::drying::Band;
use crate::science::learning::{Multiplier, Observation, Prior, Whose, learn, ward_or_hospital};

/// Shared between copies of a board. A new one is empty.
pub(super) type Kept = Arc<OnceLock<Learned>>;

#[derive(Clone, Debug)]
pub struct Learned {
    pub hospital: Multiplier,
    wards: BTreeMap<Code, (Whose, Multiplier)>,
}

/// A drying with what was said of it before and what was found.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Found {
    pub room: Code,
    pub spray: Number,
    pub ended: Time,
    /// Likely hours, by the method alone.
    pub likely_hours: f64,
    /// Hours after which it was last found damp, and found dry.
    pub damp_hours: Option<f64>,
    pub dry_hours: Option<f64>,
}

impl Found {
    fn of(room: Code, drying: &Drying) -> Option<Self> {
        let ended = drying.from?;
        let hours = |at: Time| (at - ended).as_seconds_f64() / 3600.0;
        let damp_hours = drying.damp.map(|(began, _)| hours(began)).filter(|hours| *hours > 0.0);
        let dry_hours = drying.dry_by.map(hours);
        let says_something = !drying.spoiled && (damp_hours.is_some() || dry_hours.is_some());
        if !says_something {
            return None;
        }
        let likely_hours = drying.hours()?.ok()?.likely;
        Some(Self { room, spray: drying.spray, ended, likely_hours, damp_hours, dry_hours })
    }

    fn observation(&self) -> Option<Observation> {
        let ratio = |hours: f64| hours / self.likely_hours;
        Observation::new(self.damp_hours.map(ratio), self.dry_hours.map(ratio)).ok()
    }
}

impl Board {
    /// It is worked out anew when it is asked for. What a copy of the board shares stays the copy's.
    pub(super) fn forget_learned(&mut self) {
        match Arc::get_mut(&mut self.learned) {
            Some(own) => *own = OnceLock::new(),
            None => self.learned = Kept::default(),
        }
    }

    /// Dryings that teach something, by room, oldest first.
    pub fn dryings_found(&self) -> impl Iterator<Item = Found> {
        self.rooms().flat_map(|(code, room)| room.dryings.iter().filter_map(move |it| Found::of(code, it)))
    }

    /// Dryings that were felt, and teach nothing: the estimate's conditions did not hold for all of them.
    pub fn dryings_left_out(&self) -> usize {
        let is_felt = |it: &&Drying| it.spoiled && (it.damp.is_some() || it.dry_by.is_some());
        self.rooms().map(|(_, room)| room.dryings.iter().filter(is_felt).count()).sum()
    }

    pub fn learned(&self) -> &Learned {
        self.learned.get_or_init(|| {
            let mut of_wards: BTreeMap<Code, Vec<Observation>> = BTreeMap::new();
            for found in self.dryings_found() {
                if let (Some(plan), Some(seen)) = (self.facility().room(found.room), found.observation()) {
                    of_wards.entry(plan.ward).or_default().push(seen);
                }
            }
            let all: Vec<Observation> = of_wards.values().flatten().copied().collect();
            let hospital = learn(&all, &Prior::of_the_estimate());
            let wards = of_wards.iter().map(|(ward, own)| (*ward, ward_or_hospital(own, &hospital))).collect();
            Learned { hospital, wards }
        })
    }

    /// By whose dryings the estimates of a room go, and how. None: too few were seen damp and then dry.
    pub fn learned_for(&self, room: Code) -> Option<(Whose, Multiplier)> {
        let learned = self.learned();
        let of_ward = self.facility().room(room).and_then(|plan| learned.wards.get(&plan.ward)).copied();
        of_ward.or(Some((Whose::Hospital, learned.hospital))).filter(|(_, it)| it.is_grounded())
    }

    /// The estimate's times as this hospital's rooms have really kept them.
    pub fn as_learned(&self, room: Code, band: Band) -> Band {
        let Some((_, learned)) = self.learned_for(room) else { return band };
        let (fast, slow) = learned.next_drying();
        Band { fast: fast * band.likely, likely: learned.likely * band.likely, slow: slow * band.likely }
    }
}

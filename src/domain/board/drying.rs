//! How the sprays of a room dry: the estimate of each, and what the dry checks said of it afterwards.
//!
//! Kept beside the rules and read by none of them: it only says when it is worth looking again. What is learned from it
//! never shortens a label's minimum.

use std::sync::{Arc, OnceLock};

use chrono::TimeDelta;

use super::Board;
use super::state::State;
use crate::domain::airing::AirChange;
use crate::domain::code::Code;
use crate::domain::dry_time::{self, Aired, Sprayed};
use crate::domain::entry::{Body, Entry, Feel, Number, Time};
use crate::domain::facility::{RoomPlan, Zone, ZoneTreatment};
use crate::domain::policy::Setting;
use crate::science::drying::{Band, Never};
use crate::science::eggs::EggClock;

/// One drying of one room.
#[derive(Clone, Debug)]
pub struct Drying {
    pub spray: Number,
    /// The end of the spraying. None: not stated.
    pub from: Option<Time>,
    /// The room by the book of that day.
    pub plan: Arc<RoomPlan>,
    amount_ml: Option<u32>,
    aired: Aired,
    /// Worked out when it is asked for.
    hours: OnceLock<Option<Result<Band, Never>>>,
    zones: Vec<Zone>,
    /// Not found dry since.
    left: Vec<Zone>,
    checks: Vec<Number>,
    /// The newest check that found anything of it damp: its beginning and its end.
    pub damp: Option<(Time, Time)>,
    /// The end of the check by which all of it was dry.
    pub dry_by: Option<Time>,
    /// The checks that noted that the room is aired otherwise than before, in the order of their times.
    pub aired_since: Vec<AiredSince>,
    /// Wiped, aired otherwise than its spray says, sprayed anew before it was dry, or a check of it voided: it teaches nothing.
    pub spoiled: bool,
}

/// From a check on, at the latest, the room was aired otherwise.
#[derive(Clone, Debug)]
pub struct AiredSince {
    pub check: Number,
    pub at: Time,
    pub change: AirChange,
    /// How long the whole drying takes so. None: nobody can tell.
    hours: OnceLock<Option<Result<Band, Never>>>,
}

/// When a wet room is probably dry. An estimate: it permits nothing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum DryAbout {
    Between {
        /// The earliest plausible time.
        from: Time,
        likely: Time,
        /// The last patch.
        until: Time,
    },
    /// As it is aired it does not dry, or not within a day.
    Never(Never),
}

impl DryAbout {
    pub fn likely(self) -> Option<Time> {
        match self {
            Self::Between { likely, .. } => Some(likely),
            Self::Never(_) => None,
        }
    }
}

impl Board {
    /// When the room is probably dry. None: it is not wet, or nobody said when its spraying ended.
    pub fn dry_about(&self, code: Code) -> Option<DryAbout> {
        let room = self.room(code).filter(|room| room.state() == State::TreatedWet)?;
        let drying = room.dryings.last().filter(|it| it.dry_by.is_none())?;
        let from = drying.from?;
        let band = match self.hours_as_aired(code, drying, from)? {
            Ok(band) => band,
            Err(never) => return Some(DryAbout::Never(never)),
        };
        let at = |hours: f64| from.checked_add_signed(TimeDelta::seconds((hours * 3600.0).round() as i64));
        let (mut early, mut likely, mut until) = (at(band.fast)?, at(band.likely)?, at(band.slow)?);
        if let Some((_, damp)) = drying.damp {
            // It was damp then, so it is not dry at that moment; the slowest patch takes half as long again as the likely one.
            // Our assumption.
            likely = likely.max(damp.checked_add_signed(self.policy().minutes(Setting::RecheckMinutes))?);
            early = early.max(damp + (likely - damp) / 2);
            until = until.max(likely.checked_add_signed((likely - from) / 2)?);
        }
        Some(DryAbout::Between { from: early, likely, until })
    }

    /// Hours from the end of the spraying. What was left when the air was changed takes as much longer or shorter as the whole
    /// drying would: near the truth where the film limits it. Our assumption.
    fn hours_as_aired(&self, code: Code, drying: &Drying, from: Time) -> Option<Result<Band, Never>> {
        let mut whole = drying.hours()?;
        let mut told = whole.map(|band| self.as_learned(code, band));
        for (at, since) in drying.aired_since.iter().enumerate() {
            let Some(next) = drying.hours_since(at) else { continue };
            let changed = (since.at - from).num_seconds() as f64 / 3600.0;
            told = match (told, whole, next) {
                (Ok(band), Ok(before), Ok(after)) => {
                    let by = after.likely / before.likely;
                    let rest = |hours: f64| if hours > changed { changed + (hours - changed) * by } else { hours };
                    Ok(Band { fast: rest(band.fast), likely: rest(band.likely), slow: rest(band.slow) })
                }
                // Until then it dried not at all, as far as is known.
                (_, _, Ok(after)) => {
                    let after = self.as_learned(code, after);
                    Ok(Band { fast: changed + after.fast, likely: changed + after.likely, slow: changed + after.slow })
                }
                (_, _, Err(never)) => Err(never),
            };
            whole = next;
        }
        Some(told)
    }

    /// From when on no egg that was there at the last spray should be unhatched. An estimate. None: no spray, or no published
    /// figure for how warm it was.
    pub fn eggs_hatched(&self, code: Code) -> Option<Time> {
        let days = EggClock::at(self.warmth_at_spray(code).0).ok()?.days()?;
        self.room(code)?.last_spray?.checked_add_signed(TimeDelta::days(days.ceil() as i64))
    }

    /// How warm it was at the newest spray for which that was measured, in °C; and whether it was.
    pub fn warmth_at_spray(&self, code: Code) -> (f64, bool) {
        let room = self.room(code);
        let measured = room.and_then(|room| room.dryings.iter().rev().find_map(|it| it.aired.decicelsius));
        (f64::from(measured.unwrap_or(dry_time::USUAL_DECICELSIUS)) / 10.0, measured.is_some())
    }

    /// Some of what dries there now was felt, and damp.
    pub fn was_felt_damp(&self, code: Code) -> bool {
        let drying = self.room(code).and_then(|room| room.dryings.last());
        drying.is_some_and(|it| it.dry_by.is_none() && it.damp.is_some())
    }

    /// What an entry says of how its rooms dry. `counted`: it holds for the rules.
    pub(super) fn hear_of_drying(&mut self, entry: &Entry, counted: bool) {
        let teaches = matches!(
            entry.body,
            Body::Sprayed { .. }
                | Body::SprayCompleted { .. }
                | Body::SprayCorrected { .. }
                | Body::DryChecked { .. }
                | Body::EnteredWet { .. }
                | Body::SecondChecked { .. }
                | Body::Voided { .. }
        );
        if teaches {
            self.forget_learned();
        }
        match &entry.body {
            Body::Sprayed { zones, finished, amount_ml, record, .. } => {
                for plan in self.plans(entry) {
                    let here = zones.as_ref().map(|zones| plan.own_zones(zones));
                    if here.as_ref().is_some_and(Vec::is_empty) {
                        continue;
                    }
                    let room = self.room_mut(plan.code);
                    if let Some(last) = room.dryings.last_mut().filter(|it| it.dry_by.is_none()) {
                        last.spoiled = true;
                    }
                    let zones = here.unwrap_or_else(|| sprayable(&plan));
                    room.dryings.push(Drying {
                        spray: entry.number,
                        from: *finished,
                        plan,
                        amount_ml: *amount_ml,
                        aired: Aired::of(record),
                        hours: OnceLock::new(),
                        left: zones.clone(),
                        zones,
                        checks: vec![],
                        damp: None,
                        dry_by: None,
                        aired_since: vec![],
                        spoiled: false,
                    });
                }
            }
            Body::SprayCompleted { spray, zones, finished, .. } if counted => {
                for plan in self.plans(entry) {
                    let zones = zones.as_ref().map(|zones| plan.own_zones(zones)).filter(|zones| !zones.is_empty());
                    let room = self.room_mut(plan.code);
                    let Some(drying) = room.dryings.iter_mut().rev().find(|it| it.spray == *spray) else { continue };
                    drying.from = drying.from.or(*finished);
                    if let Some(zones) = zones {
                        // The estimate is of what was noted with the spray.
                        drying.hours();
                        drying.left.clone_from(&zones);
                        drying.zones = zones;
                    }
                }
            }
            // What was taken for its end may have been felt by.
            Body::SprayCorrected { spray, .. } if self.is_lessened_by(entry.number) => {
                for code in self.rooms_of(&entry.place) {
                    let room = self.room_mut(code);
                    room.dryings.iter_mut().filter(|it| it.spray == *spray).for_each(|it| it.spoiled = true);
                }
            }
            Body::DryChecked { began, zones, changed, .. } => {
                let is_aired_otherwise = changed.is_some_and(|it| it != AirChange::Unchanged);
                for code in self.rooms_of(&entry.place) {
                    let room = self.room_mut(code);
                    if let Some(drying) = room.dryings.last_mut().filter(|it| it.dry_by.is_none()) {
                        drying.checked(entry, *began, zones, counted);
                        drying.spoiled |= is_aired_otherwise;
                        if let Some(change) = changed.filter(|_| is_aired_otherwise) {
                            drying.aired_otherwise(entry.number, *began, change);
                        }
                    }
                }
            }
            Body::EnteredWet { wiped, .. } if !wiped.is_empty() => self.spoil_drying(entry),
            Body::SecondChecked { zones, .. } if zones.iter().any(|(_, feel)| *feel == Feel::Damp) => {
                self.spoil_drying(entry);
            }
            Body::Voided { entry: target, .. } => {
                let mut rooms = self.rooms_of(&entry.place);
                rooms.extend(self.place_of(*target).map(|place| self.rooms_of(&place)).unwrap_or_default());
                for code in rooms {
                    let concerns = |it: &Drying| {
                        let is_check = it.aired_since.iter().any(|since| since.check == *target);
                        is_check || it.spray == *target || it.checks.contains(target)
                    };
                    if self.room(code).is_some_and(|room| room.dryings.iter().any(concerns)) {
                        self.room_mut(code).dryings.retain_mut(|it| it.survives(*target));
                    }
                }
            }
            _ => {}
        }
    }

    fn spoil_drying(&mut self, entry: &Entry) {
        for code in self.rooms_of(&entry.place) {
            if let Some(drying) = self.room_mut(code).dryings.last_mut() {
                drying.spoiled = true;
            }
        }
    }
}

impl Drying {
    /// By the method alone, before what the hospital learned. None: a number that was typed is none it was made for.
    pub fn hours(&self) -> Option<Result<Band, Never>> {
        let Self { plan, zones, amount_ml, aired, .. } = self;
        let sprayed = Sprayed { plan, zones: Some(zones), amount_ml: *amount_ml, aired: *aired };
        *self.hours.get_or_init(|| dry_time::hours(&sprayed).ok())
    }

    fn aired_otherwise(&mut self, check: Number, at: Time, change: AirChange) {
        self.aired_since.push(AiredSince { check, at, change, hours: OnceLock::new() });
        self.aired_since.sort_by_key(|since| since.at);
        self.forget_hours_since();
    }

    /// Each of them rests on those before it.
    fn forget_hours_since(&mut self) {
        self.aired_since.iter_mut().for_each(|since| since.hours = OnceLock::new());
    }

    /// As it is aired now, as far as somebody said it.
    pub fn aired_now(&self) -> Aired {
        self.aired_by(self.aired_since.len())
    }

    fn aired_by(&self, changes: usize) -> Aired {
        let changes = self.aired_since.iter().take(changes);
        changes.fold(self.aired, |aired, since| aired.since(since.change).unwrap_or(aired))
    }

    /// The whole drying, aired as from this change on. None: nobody can tell.
    fn hours_since(&self, at: usize) -> Option<Result<Band, Never>> {
        let since = self.aired_since.get(at)?;
        let aired = self.aired_by(at).since(since.change)?;
        let Self { plan, zones, amount_ml, .. } = self;
        let sprayed = Sprayed { plan, zones: Some(zones), amount_ml: *amount_ml, aired };
        *since.hours.get_or_init(|| dry_time::hours(&sprayed).ok())
    }

    fn checked(&mut self, check: &Entry, began: Time, felt: &[(Zone, Feel)], counted: bool) {
        let of = |feel: Feel| felt.iter().filter(move |(_, it)| *it == feel).map(|(zone, _)| *zone);
        let damp: Vec<Zone> = of(Feel::Damp).filter(|zone| self.zones.contains(zone)).collect();
        if self.from.is_none_or(|from| began <= from) || (damp.is_empty() && !counted) {
            return;
        }
        self.checks.push(check.number);
        if counted {
            let dry: Vec<Zone> = of(Feel::Dry).collect();
            self.left.retain(|zone| !dry.contains(zone));
        }
        if damp.is_empty() && self.left.is_empty() {
            self.dry_by = Some(check.happened);
            self.left = vec![];
        } else if !damp.is_empty() {
            self.damp = self.damp.max(Some((began, check.happened)));
            self.left.extend(damp);
            self.left.sort();
            self.left.dedup();
        }
    }

    /// Without the entry of this number. False: nothing of it is left.
    fn survives(&mut self, voided: Number) -> bool {
        self.aired_since.retain(|since| since.check != voided);
        self.forget_hours_since();
        if self.checks.contains(&voided) {
            self.spoiled = true;
            self.damp = None;
            self.dry_by = None;
            self.left.clone_from(&self.zones);
        }
        self.spray != voided
    }
}

fn sprayable(plan: &RoomPlan) -> Vec<Zone> {
    plan.zones.iter().filter(|(_, it)| it.treatment == ZoneTreatment::Spray).map(|(zone, _)| *zone).collect()
}

//! When the sprayed surfaces of a room are dry: the balance of its moisture, in closed form.
//!
//! One well-mixed room at constant temperature: dp/dt = N (p_o − p) + (Rv T / V) Σ A E, with E from [`super::evaporation`].
//! It is linear, so that between two moments at which a surface dries it has the closed form used here:
//! ∫(p_s − p) dt = (p_s − p_inf) t + (p_inf − p_0)(1 − e^(−λt))/λ. Every surface sees the same air; its film is gone when
//! this integral reaches m/(β s). The balance is the standard one of a ventilated space (ASHRAE Fundamentals, ch. 16, from
//! memory); the closed form is worked out here and was compared with a general integrator.
//!
//! Range: 10 to 35 °C, films up to 100 mL/m². N counts only air that arrives drier: outdoor air, or air over a coil that
//! condenses. The surface that sets the check is late and never early, by no more than [`super::evaporation`] says of one
//! film; where the room's own moisture slows it, by less (`tests/outside` has such rooms). Left out: vapour that walls and textiles take up, which makes the estimate late. Never measured on a sprayed, furnished room: an estimate
//! says when to look, not that a room is dry.

use std::fmt;

use super::air::{Air, VAPOUR_GAS_CONSTANT, ZERO_CELSIUS};
use super::evaporation::Transfer;
use super::{OutOfRange, within};

pub const SOURCE: &str =
    "Moisture balance of a ventilated room in closed form, worked out and checked here; not measured in a sprayed room";

/// Earliest plausible, mean film gone, last patch (95 %): parts of the likely time, from 4000 random draws of the inputs
/// over seven worked examples (5 % at 0.66 to 0.72, 95 % of the last patch at 2.41 to 2.70).
pub const BAND: (f64, f64) = (0.7, 2.4);
/// What takes longer is told as never: within a day the air of no room stays as it was typed. Assumption.
pub const LONGEST_HOURS: f64 = 24.0;
/// Above it, liquid runs off and gathers in seams, where nothing here holds.
pub const HEAVY_ML_PER_M2: f64 = 100.0;

const SECONDS: f64 = 3600.0;

/// The air of a room and what exchanges it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Room {
    pub air: Air,
    /// Where it comes from, at its own temperature. Does not matter without air changes.
    pub supply: Air,
    pub air_changes_per_hour: f64,
    pub volume_m3: f64,
}

impl Room {
    /// With a second source of air, as through a window. What counts is their vapour: its pressure is the mean of both, by
    /// air changes, at the warmer of their temperatures, where it can be no more than saturated.
    pub fn with_more(self, other: Air, air_changes_per_hour: f64) -> Result<Self, OutOfRange> {
        let more = within("air changes", air_changes_per_hour, (0.0, 10_000.0), " per hour")?;
        let all = self.air_changes_per_hour + more;
        if all <= 0.0 {
            return Ok(self);
        }
        let own = self.supply;
        let vapour = (self.air_changes_per_hour * own.vapour_pa() + more * other.vapour_pa()) / all;
        let warmer = if own.celsius() > other.celsius() { own } else { other };
        let humidity = (vapour / warmer.saturation_pa()).clamp(0.0, 1.0);
        let supply = Air::new(warmer.celsius(), humidity, self.air.pressure_pa())?;
        Ok(Self { supply, air_changes_per_hour: all, ..self })
    }
}

/// One sprayed surface.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Surface {
    pub area_m2: f64,
    /// Water on it, which is mL/m² as well.
    pub grams_per_m2: f64,
    pub h_c: f64,
    pub u_sub: f64,
}

/// When one surface is dry.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Dries {
    /// None: never, or not within a day.
    pub hours: Option<f64>,
    /// Relative humidity of the room at that moment, from 0 to 1.
    pub rh_at_end: f64,
    pub surface_factor: f64,
    /// What stays on it. 0 if it dries.
    pub grams_per_m2_left: f64,
}

/// Why a surface does not dry.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Never {
    /// No air changes, and more water than the air can take up.
    Sealed,
    /// The air that comes in holds more than this room's air can.
    WetSupply,
    /// The air that comes in is as wet as can be.
    Saturated,
    /// It would dry, but not within a day.
    TooSlow,
}

impl Never {
    pub fn word(self) -> &'static str {
        match self {
            Self::Sealed => "sealed",
            Self::WetSupply => "wet-supply",
            Self::Saturated => "saturated",
            Self::TooSlow => "too-slow",
        }
    }

    /// What would help.
    pub fn helps(self) -> &'static str {
        match self {
            Self::Sealed => "turn ventilation on, or open a window to drier air, or run a dehumidifier",
            Self::WetSupply | Self::Saturated => {
                "close the window, run a dehumidifier or cooled air, or warm the room; more of this air makes it worse"
            }
            Self::TooSlow => "more ventilation, a warmer room, a dehumidifier, or a fan aimed at the surface",
        }
    }
}

impl fmt::Display for Never {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Sealed => "the room is sealed, and its air cannot take up this much water",
            Self::WetSupply => "the air brought in holds more water than this room's air can: it wets the room",
            Self::Saturated => "the air brought in is saturated and takes up nothing",
            Self::TooSlow => "it would take more than a day",
        })
    }
}

/// What holds the drying up most.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Limit {
    /// How fast water leaves the surface: a fan helps.
    Film,
    /// How fast the room is rid of it: fresh, dry air helps.
    Ventilation,
}

impl Limit {
    pub fn word(self) -> &'static str {
        match self {
            Self::Film => "film",
            Self::Ventilation => "ventilation",
        }
    }

    /// What helps most.
    pub fn words(self) -> &'static str {
        match self {
            Self::Film => "The film limits it: a fan aimed at the surface helps most",
            Self::Ventilation => "The room's air limits it: drier air, or more of it, helps most",
        }
    }
}

#[derive(Clone, PartialEq, Debug)]
pub struct Drying {
    /// In the order of the surfaces given.
    pub surfaces: Vec<Dries>,
    /// Why the slowest does not dry, if it does not.
    pub never: Option<Never>,
    pub limited_by: Limit,
    /// Where the room's vapour pressure tends while all surfaces are wet.
    pub p_inf_pa: f64,
    /// What the room's own air can take up. Without air changes alone: with them there is no such number.
    pub capacity_litres: Option<f64>,
    pub litres: f64,
}

/// The three times to show, in hours.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Band {
    pub fast: f64,
    pub likely: f64,
    pub slow: f64,
}

impl Drying {
    /// The slowest surface sets the check. None if one never dries.
    pub fn band(&self) -> Option<Band> {
        let hours: Option<Vec<f64>> = self.surfaces.iter().map(|it| it.hours).collect();
        let likely = hours?.into_iter().reduce(f64::max)?;
        Some(Band { fast: BAND.0 * likely, likely, slow: BAND.1 * likely })
    }
}

/// The room's air while a certain set of surfaces is wet.
struct Stage {
    p_s: f64,
    p_0: f64,
    p_inf: f64,
    /// 1/s
    lambda: f64,
    /// `p_s − p_inf`, from its own formula: the difference of two near numbers would lose it.
    drive: f64,
}

impl Stage {
    /// `a`: what the wet surfaces add, 1/s; `n`: air changes, 1/s.
    fn new(p_s: f64, p_o: f64, p_0: f64, n: f64, a: f64) -> Self {
        let lambda = n + a;
        let drive = n * (p_s - p_o) / lambda;
        Self { p_s, p_0, p_inf: p_s - drive, lambda, drive }
    }

    /// ∫(p_s − p) dt, Pa s.
    fn dried(&self, seconds: f64) -> f64 {
        self.drive * seconds - (self.p_inf - self.p_0) * (-self.lambda * seconds).exp_m1() / self.lambda
    }

    fn pressure(&self, seconds: f64) -> f64 {
        self.p_inf + (self.p_0 - self.p_inf) * (-self.lambda * seconds).exp()
    }

    /// When the air is saturated and evaporation turns into condensation, if it does.
    fn turns(&self) -> Option<f64> {
        (self.drive < 0.0).then(|| {
            let (from, to) = (self.p_inf - self.p_0, -self.drive);
            ((from / to).ln() / self.lambda).max(0.0)
        })
    }

    /// When the integral reaches `needed`, within `limit` seconds; else why not and what it reaches.
    fn reaches(&self, needed: f64, limit: f64) -> Result<f64, (Option<Never>, f64)> {
        let end = self.turns().map_or(limit, |turns| turns.min(limit));
        let most = self.dried(end);
        if most < needed {
            let at_last = (self.p_s - self.p_0).max(0.0) / self.lambda;
            return Err(if self.drive < 0.0 && end < limit {
                (Some(Never::WetSupply), most)
            } else if self.drive == 0.0 && at_last <= needed {
                (Some(Never::Saturated), at_last)
            } else {
                (None, most)
            });
        }
        let (mut low, mut high) = (0.0, end);
        // Halving gains a digit in 3.3 steps; sixty are all that a number has.
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.dried(middle) < needed { low = middle } else { high = middle }
        }
        Ok(high)
    }
}

/// A surface on its way, with what it was worked out to need.
struct Wet {
    at: usize,
    transfer: Transfer,
    /// Film over effective transfer, Pa s: what the integral has to reach.
    needed: f64,
    /// What it adds to the room's rate, 1/s.
    a: f64,
}

/// Works out when each surface dries, from one drying to the next.
pub fn dry(room: &Room, surfaces: &[Surface]) -> Result<Drying, OutOfRange> {
    within("number of surfaces", surfaces.len() as f64, (1.0, 1000.0), "")?;
    let n = within("air changes", room.air_changes_per_hour, (0.0, 10_000.0), " per hour")? / SECONDS;
    let volume = within("room volume", room.volume_m3, (1.0, 100_000.0), " m³")?;
    // By how much one kilogram of vapour raises the pressure of it in this room.
    let pa_per_kg = VAPOUR_GAS_CONSTANT * (room.air.celsius() + ZERO_CELSIUS) / volume;
    let mut wet = vec![];
    for (at, surface) in surfaces.iter().enumerate() {
        let area = within("surface area", surface.area_m2, (0.01, 100_000.0), " m²")?;
        let film = within("water on a surface", surface.grams_per_m2, (0.01, 5_000.0), " g/m²")? / 1000.0;
        let transfer = Transfer::new(&room.air, surface.h_c, surface.u_sub)?;
        let a = area * pa_per_kg * transfer.effective();
        wet.push(Wet { at, transfer, needed: film / transfer.effective(), a });
    }
    wet.sort_by(|one, other| one.needed.total_cmp(&other.needed));
    Ok(stepped(room, surfaces, &wet, n, pa_per_kg))
}

fn stepped(room: &Room, surfaces: &[Surface], wet: &[Wet], n: f64, pa_per_kg: f64) -> Drying {
    let (p_s, p_start, p_o) = (room.air.saturation_pa(), room.air.vapour_pa(), room.supply.vapour_pa());
    let (mut now, mut reached, mut pressure) = (0.0, 0.0, p_start);
    let mut never = None;
    let mut found: Vec<(usize, Dries)> = vec![];
    let all: f64 = wet.iter().map(|it| it.a).sum();
    let mut most = 0.0;
    for (step, it) in wet.iter().enumerate() {
        let dries = |hours, rh_at_end, grams_per_m2_left| {
            let surface_factor = it.transfer.surface_factor;
            (it.at, Dries { hours, rh_at_end, surface_factor, grams_per_m2_left })
        };
        if never.is_none() {
            let a = wet.iter().skip(step).map(|it| it.a).sum();
            let stage = Stage::new(p_s, p_o, pressure, n, a);
            match stage.reaches(it.needed - reached, LONGEST_HOURS * SECONDS - now) {
                Ok(seconds) => {
                    now += seconds;
                    reached = it.needed;
                    pressure = stage.pressure(seconds);
                    found.push(dries(Some(now / SECONDS), pressure / p_s, 0.0));
                    continue;
                }
                Err((why, gained)) => {
                    most = reached + gained;
                    pressure = match why {
                        Some(_) => p_s,
                        None => stage.pressure(LONGEST_HOURS * SECONDS - now),
                    };
                    never = Some(why.map_or(Never::TooSlow, |why| if n > 0.0 { why } else { Never::Sealed }));
                }
            }
        }
        let left = surfaces.get(it.at).map_or(0.0, |surface| surface.grams_per_m2) * (1.0 - most / it.needed);
        found.push(dries(None, pressure / p_s, left));
    }
    found.sort_by_key(|(at, _)| *at);
    let litres = surfaces.iter().map(|it| it.area_m2 * it.grams_per_m2 / 1000.0).sum();
    Drying {
        surfaces: found.into_iter().map(|(_, it)| it).collect(),
        never,
        limited_by: limit(n, p_s - p_o, wet.last().map_or(0.0, |it| it.needed), litres * pa_per_kg),
        p_inf_pa: Stage::new(p_s, p_o, p_start, n, all).p_inf,
        capacity_litres: (n == 0.0).then_some((p_s - p_start) / pa_per_kg),
        litres,
    }
}

/// The two parts of the hand bound, of which the sum is never exceeded: t ≤ m/(β s (p_s − p_o)) + L Rv T/(N V (p_s − p_o)).
fn limit(n: f64, drive: f64, film: f64, load: f64) -> Limit {
    if n > 0.0 && drive > 0.0 && film >= load / n { Limit::Film } else { Limit::Ventilation }
}

#[cfg(test)]
mod tests;

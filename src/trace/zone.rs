//! By which clock a file's dates go. A night on which the clocks were changed is never guessed over: an hour came twice, or
//! not at all, and a trace that was read an hour wrong could be of another load.

use chrono::{DateTime, MappedLocalTime, Offset as _, TimeZone as _};
use chrono_tz::Tz;

use super::{How, TraceFault, fault, quoted};
use crate::domain::moves::LoggerZone;

const HOUR: i64 = 3600;

pub(super) struct Zones {
    said: Option<(LoggerZone, &'static str)>,
    /// By the hospital's clock, where nothing is said.
    house: Option<Tz>,
    /// An hour of local time without a change in it, and its distance from UTC.
    known: Option<(i64, f64)>,
    /// Its times went back an hour, so that it is the second time.
    is_second: bool,
    /// The line of a first time that came twice, until the file itself shows which of the two it was.
    unsure: Option<(u64, String)>,
}

impl Zones {
    pub(super) fn new(said: Option<(LoggerZone, &'static str)>, how: How) -> Self {
        Self { said, house: how.house, known: None, is_second: false, unsure: None }
    }

    /// Somebody said it for this file; the header's own word is no order.
    pub(super) fn is_said(&self) -> bool {
        self.said.is_some_and(|(_, by)| by == super::cell::BY_OPTION)
    }

    pub(super) fn is_unknown(&self) -> bool {
        self.said.is_none() && self.house.is_none()
    }

    pub(super) fn told(&self) -> String {
        match (self.said, self.house) {
            (Some((zone, by)), _) => format!("by {zone} {by}"),
            (None, Some(house)) => format!("by the hospital's clock, {}", house.name()),
            (None, None) => "by a clock that was not said".to_owned(),
        }
    }

    pub(super) fn assumed(&self) -> Option<String> {
        let house = self.house.filter(|_| self.said.is_none())?;
        Some(format!("its times are by the hospital's clock, {} (else say --zone)", house.name()))
    }

    /// Local seconds as an instant's; as they are where no clock is known. `before`: the instant of the row above.
    pub(super) fn instant(
        &mut self,
        local: f64,
        before: Option<f64>,
        cell: &str,
        line: u64,
    ) -> Result<f64, TraceFault> {
        let zone = match (self.said, self.house) {
            (Some((LoggerZone::Offset(offset), _)), _) => return Ok(local - f64::from(offset.local_minus_utc())),
            (Some((LoggerZone::Named(zone), _)), _) | (None, Some(zone)) => zone,
            (None, None) => return Ok(local),
        };
        let second = local.floor() as i64;
        let hour = second.div_euclid(HOUR);
        if let Some((_, offset)) = self.known.filter(|(known, _)| *known == hour) {
            return Ok(local - offset);
        }
        let offsets = |second: i64| {
            let at = DateTime::from_timestamp(second, 0)?;
            let found = zone.offset_from_local_datetime(&at.naive_utc());
            Some(found.map(|it| f64::from(it.fix().local_minus_utc())))
        };
        let fix = "say by which clock the logger went: --zone and its distance from UTC, as --zone +02:00; or export the times \
                   in UTC";
        match offsets(second) {
            Some(MappedLocalTime::Single(offset)) => {
                let same = |second| offsets(second).is_some_and(|it| it.single() == Some(offset));
                if same(hour * HOUR) && same(hour * HOUR + HOUR - 1) {
                    self.known = Some((hour, offset));
                }
                Ok(local - offset)
            }
            Some(MappedLocalTime::Ambiguous(one, other)) => {
                let what = format!(
                    "the clocks were put back in {} at that time, so that {} came twice",
                    zone.name(),
                    quoted(cell)
                );
                if self.said.is_none() {
                    return Err(fault(line, what, fix));
                }
                let (first, again) = (local - one.max(other), local - one.min(other));
                if before.is_none() {
                    self.unsure = Some((line, what));
                }
                if self.is_second || before.is_some_and(|before| first <= before) {
                    (self.is_second, self.unsure) = (true, None);
                    return Ok(again);
                }
                Ok(first)
            }
            Some(MappedLocalTime::None) | None => Err(fault(
                line,
                format!(
                    "the clocks were put forward in {} at that time, so that {} never was",
                    zone.name(),
                    quoted(cell)
                ),
                fix,
            )),
        }
    }

    /// A file that begins in an hour that came twice shows which of the two it was only where it goes back.
    pub(super) fn end(&self) -> Result<(), TraceFault> {
        match &self.unsure {
            None => Ok(()),
            Some((line, what)) => Err(fault(
                *line,
                what.clone(),
                "say which of the two: --zone and the distance from UTC, as --zone +02:00",
            )),
        }
    }
}

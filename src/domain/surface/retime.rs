//! What becomes of wetness and places when the clock that stamped them is found to have been wrong: what wets ended as late as it
//! may have, a check began as early as it may have, and something left as late and came as early as it may have.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::TimeDelta;

use super::record::Record;
use super::{Group, Source, Surface, Surfaces, Wet};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// Between which notings an entry of a wrong clock happened.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Span {
    pub earliest: Time,
    pub latest: Time,
    /// What its clock said.
    pub noted: Time,
    /// Two people took that time out: it is not waited for.
    pub out: bool,
}

impl Span {
    /// By the wrong clock itself a span is right: what it told to be so long before its noting was.
    pub(crate) fn earliest_of(self, time: Time) -> Time {
        let before = (self.noted - time).max(TimeDelta::zero());
        time.min(self.earliest.checked_sub_signed(before).unwrap_or(BEFORE_ALL))
    }

    /// As early and as late as it may have been, in the same way, whatever hour its clock said.
    pub(crate) fn bounds_of(self, time: Time) -> (Time, Time) {
        let before = (self.noted - time).max(TimeDelta::zero());
        let back = |at: Time| at.checked_sub_signed(before).unwrap_or(BEFORE_ALL);
        (back(self.earliest), back(self.latest))
    }

    pub(crate) fn latest_of(self, time: Time) -> Time {
        if self.out { self.latest } else { self.latest.max(time) }
    }
}

impl Surfaces {
    /// Gives every entry in doubt the worst time that it may have had. `rooms`: those that are looked over again in any case.
    pub fn retime(&mut self, worst: &dyn Fn(Number) -> Option<Span>, rooms: &[Code], by: Number) {
        let sprays = self.retimed(worst);
        let is_rolled = |(bed, group): (&Code, &Arc<Group>)| {
            group.bed.is_of(&|number: Number| worst(number).is_some()).then_some(*bed)
        };
        let rolled: Vec<Code> = self.groups.iter().filter_map(is_rolled).collect();
        let is_of = |number: Number| worst(number).is_some();
        let is_moved = |(surface, record): &(Surface, Record)| {
            let is_on_it = matches!(surface, Surface::Bed { bed, .. } if rolled.contains(bed));
            is_on_it || record.track.is_of(&is_of)
        };
        let all = self.groups.values().flat_map(|group| group.parts.iter());
        let moved: Vec<Surface> = all.filter(|it| is_moved(it)).map(|(surface, _)| *surface).collect();
        let mut before: BTreeMap<Surface, Vec<Code>> = moved.into_iter().map(|it| (it, self.rooms_of(it))).collect();
        let sprayed: Vec<Code> = sprays.iter().map(|(room, _)| *room).collect();
        let mut stood = self.stand_now(&sprayed, Number::default());
        stood.retain(|it| !before.contains_key(&it.surface));
        for all in self.sprays.values_mut() {
            if all.iter().any(|it| it.is_of(worst)) {
                Arc::make_mut(all).iter_mut().for_each(|it| it.retime(worst));
            }
        }
        for bed in &rolled {
            if let Some(group) = self.groups.get_mut(bed) {
                Arc::make_mut(group).bed.retime(worst);
            }
        }
        let surfaces: Vec<Surface> =
            self.groups.values().flat_map(|group| group.parts.iter().map(|(surface, _)| *surface)).collect();
        for surface in surfaces {
            let Some(record) = self.record(surface) else { continue };
            // By its own number, or by one that said when its clock began.
            let is_of_source = |wet: &Wet| match wet.source {
                Source::Spray { room, number } => sprays.contains(&(room, number)),
                Source::Touch { number, .. } => is_of(number),
            };
            let is_wet_by = record.wet.iter().any(is_of_source);
            let is_dried = record.dried.iter().any(|it| is_of(it.by) || it.wet.iter().any(is_of_source));
            let before = before.remove(&surface);
            if !is_wet_by && !is_dried && before.is_none() {
                continue;
            }
            let record = self.record_mut(surface);
            let all = record.wet.iter_mut().chain(record.dried.iter_mut().flat_map(|it| it.wet.iter_mut()));
            for wet in all {
                if let Source::Touch { number, at, .. } = &mut wet.source
                    && let Some(span) = worst(*number)
                {
                    *at = span.latest_of(*at);
                }
            }
            record.track.retime(worst);
            for it in record.dried.iter_mut().filter(|it| it.looked.is_some()) {
                if let Some(span) = worst(it.by) {
                    it.done = it.done.min(span.earliest_of(it.done));
                }
            }
            // It was felt before the next noting that stands; where its hour is not taken out, linens wait for that.
            for it in record.dried.iter_mut().filter(|it| it.check.is_some()) {
                if let Some(span) = worst(it.by).filter(|span| span.out) {
                    it.done = it.done.min(span.latest);
                }
            }
            let felt = record.dried.iter_mut().filter_map(|it| it.check.as_mut()).chain(record.felt.iter_mut());
            for check in felt {
                if let Some(span) = worst(check.number) {
                    check.began = check.began.min(span.earliest_of(check.as_began));
                }
            }
            self.hold_again(surface, by);
            let record = self.record_mut(surface);
            let turned_up = record.track.turned_up().and_then(|it| Some((it, record.lost.take()?)));
            if let Some(((number, at), label)) = turned_up {
                self.touched(surface, number, at, label);
            }
            if let Some(before) = before {
                // It may have been there yet, or not any more, for what was noted of these rooms.
                self.follow_anew(surface, before, (BEFORE_ALL, by));
            }
            self.changed(surface);
        }
        self.stand_elsewhere(stood, by);
        for bed in rolled {
            self.bed_told(bed, BEFORE_ALL);
            self.stood_where(bed);
        }
        for (room, spray) in sprays {
            self.wet_unnamed_again(room, spray, by);
            self.stand_by(room, spray);
        }
        self.changes.rooms.extend(rooms.iter().copied());
    }

    /// A check that does not hold by the times that are left has found nothing dry.
    fn hold_again(&mut self, surface: Surface, by: Number) {
        let dried = self.record(surface).into_iter().flat_map(|it| it.dried.iter().rev());
        let mut undone: Vec<Wet> = vec![];
        for it in dried {
            let felt = it.check.map_or(it.done, |check| check.began);
            // That it never was wet by that is said by two, at no hour.
            let is_hour = it.check.is_some() || it.looked.is_some();
            let is_too_early = |source: Source| self.ready_of(source).is_none_or(|ready| !ready.allows_at(felt));
            if is_hour && it.wet.iter().any(|wet| is_too_early(wet.source)) {
                undone.extend(&it.wet);
            } else if it.check.is_some() {
                // A touch finds all of it dry that came before.
                break;
            }
        }
        undone.into_iter().for_each(|wet| self.make_wet(surface, wet.source, by));
    }
}

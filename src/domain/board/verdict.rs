//! Signatures: whether one counts, what it settles by name, and what it rests on. The verdict is taken once.

use std::collections::{BTreeMap, BTreeSet};

use super::Board;
use super::apply::{No, Reading};
use super::room::{Cause, Room, Signature, SignatureKind};
use super::state::State;
use crate::domain::clock::AFTER_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, InspectionMethod, Number, Place, Time};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use chrono::{NaiveDate, TimeDelta};

impl Board {
    pub(super) fn apply_signature(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        if let Body::WardWalked { wet: Some(rooms), .. } = &entry.body {
            self.found_wet(entry, rooms);
        }
        match &entry.body {
            Body::SecondChecked { .. } => return self.second_check(reading),
            Body::SecondAttested { .. } => return self.attest_second(reading),
            _ => self.signature_counts(reading)?,
        }
        if let Body::Attested { line, through, .. } = &entry.body {
            return self.attest(reading, *line, through.unwrap_or(*line));
        }
        if let Body::TimeTakenOut { entry: target, .. } = &entry.body {
            return self.take_time_out(reading, *target);
        }
        if let Body::SprayCorrected { .. } = &entry.body {
            return self.correct_spray(reading);
        }
        if let Body::WrittenOff { .. } = &entry.body {
            return self.write_off(reading);
        }
        if let Body::PartReplaced { .. } = &entry.body {
            return self.replace_part(reading);
        }
        let rooms = self.rooms_of(&entry.place);
        if rooms.is_empty() {
            return Err(No::new(Rule::Place, "it names no room that exists"));
        }
        let mut refused = None;
        for code in rooms {
            // Each room by itself: what one lacks takes nothing from another.
            let (kind, settles, rests_on) = match self.verdict(reading, code) {
                Ok(verdict) => verdict,
                Err(no) => {
                    refused = refused.or(Some(no));
                    continue;
                }
            };
            let room = self.room_mut(code);
            match kind {
                SignatureKind::Returned => room.last_return = Some(entry.happened),
                SignatureKind::Cleared => room.cleared = Some(entry.happened),
                _ => {}
            }
            if matches!(kind, SignatureKind::Walked { .. }) && settles.is_empty() {
                continue;
            }
            room.sign(Signature { number: entry.number, kind, settles, rests_on, stands: true });
        }
        if refused.is_none() {
            self.hear_walk(entry);
        }
        self.signed(entry);
        refused.map_or(Ok(()), Err)
    }

    /// What a look or a walk says of more than the closers that it settles.
    fn signed(&mut self, entry: &Entry) {
        let rooms = self.rooms_of(&entry.place);
        if let Body::Looked { void, .. } = &entry.body {
            let counted: Vec<Code> = rooms
                .iter()
                .copied()
                .filter(|code| self.room(*code).is_some_and(|room| room.knows_signature(entry.number)))
                .collect();
            let of_void = |code: &Code| self.room(*code)?.voided_by(*void).map(|closer| closer.number);
            if let Some(target) = counted.iter().find_map(of_void).or(self.voided_target(*void)) {
                self.surfaces_mut().looked(target, &counted, entry.number, entry.happened);
                self.surfaces_mut().unmove(target, &counted, entry.number);
            }
        }
        if let (Body::WardWalked { .. }, Place::Ward(ward)) = (&entry.body, &entry.place) {
            self.walked_for_others(entry, *ward);
            self.see_beds(entry, &rooms);
        }
    }

    /// The closer that this void left hanging, wherever it was put away since.
    fn voided_target(&self, void: Number) -> Option<Number> {
        let rooms = self.place_of(void).map(|place| self.rooms_of(&place)).unwrap_or_default();
        rooms.into_iter().find_map(|code| self.room(code)?.target_of(void))
    }

    /// The walk of a ward settles what waits for it where something is that came out of one of its rooms.
    fn walked_for_others(&mut self, entry: &Entry, ward: Code) {
        let is_walked = |of: Code| self.facility().room(of).is_some_and(|plan| plan.ward == ward);
        let mut waiting: BTreeMap<(Code, Code), Vec<Number>> = BTreeMap::new();
        for (code, room) in self.rooms() {
            for closer in room.unsettled().filter(|c| c.cause == Cause::Walk && c.voided.is_none()) {
                if let Some(from) = closer.walk_of.filter(|from| is_walked(*from)) {
                    waiting.entry((code, from)).or_default().push(closer.number);
                }
            }
        }
        for ((code, from), settles) in waiting {
            let lacks = self.room(code).is_some_and(|room| self.walk_lacks_of(room, entry, Some(from)).is_some());
            if !lacks {
                let kind = SignatureKind::Walked { of: Some(from) };
                let room = self.room_mut(code);
                room.sign(Signature { number: entry.number, kind, settles, rests_on: vec![], stands: true });
            }
        }
    }

    /// On the walk the beds were seen where the book has them.
    fn see_beds(&mut self, entry: &Entry, rooms: &[Code]) {
        for code in rooms {
            let is_walked = self
                .room(*code)
                .is_some_and(|room| !room.unsettled().any(|c| c.cause == Cause::Walk && c.walk_of.is_none()));
            let Some(plan) = self.plan(*code).filter(|_| is_walked) else { continue };
            for bed in self.surfaces().beds_rolled(*code).collect::<Vec<_>>() {
                self.surfaces_mut().bed_walked(bed, entry.happened.min(entry.noted), entry.number);
            }
            for bed in plan.beds.iter().map(|bed| bed.code) {
                let places = self.surfaces().bed_rooms(bed);
                if places.len() > 1 && places.contains(code) && self.surfaces().is_only_booked(bed, *code) {
                    self.surfaces_mut().bed_seen(bed, *code, entry.happened.min(entry.noted), entry.number);
                }
            }
        }
    }

    /// What the signature settles in this room, and what it rests on; or what it lacks.
    fn verdict(&self, reading: &Reading<'_>, code: Code) -> Result<(SignatureKind, Vec<Number>, Vec<Number>), No> {
        let entry = reading.entry;
        let nothing = Room::default();
        let room = self.room(code).unwrap_or(&nothing);
        let numbers = |wanted: &dyn Fn(&super::Closer) -> bool| -> Vec<Number> {
            room.unsettled().filter(|c| wanted(c)).map(|c| c.number).collect()
        };
        match &entry.body {
            Body::ReturnedToService { .. } => {
                let treated = |c: &super::Closer| !matches!(c.cause, Cause::Suspicion { .. });
                if !room.returnable().any(treated) {
                    return Err(No::new(
                        Rule::NothingToReturn,
                        format!("room {code} was neither prepared nor treated"),
                    ));
                }
                let (mut missing, mut rests_on) = room.return_lacks();
                match self.look_before_return(code) {
                    Ok(look) => rests_on.extend(look),
                    Err(lacks) => missing.push(lacks),
                }
                if !missing.is_empty() {
                    let things: BTreeSet<Need> = missing.iter().map(|evidence| evidence.need).collect();
                    let text = match things.len() {
                        1 => "one thing that return to service requires is still missing".to_owned(),
                        several => format!("{several} things that return to service requires are still missing"),
                    };
                    return Err(No { rule: Rule::ReturnSigned, text, missing });
                }
                rests_on.extend(self.second_for_return(code, entry.noted_by)?);
                Ok((SignatureKind::Returned, room.returnable().map(|c| c.number).collect(), rests_on))
            }
            Body::NothingApplied { .. } => {
                let prepared = numbers(&|c| c.cause.is_preparation() && c.voided.is_none());
                let Some(first) = prepared.iter().min() else {
                    return Err(No::new(Rule::Target, format!("no preparation is under way in room {code}")));
                };
                let sprayed = |c: &super::Closer| c.cause.is_treatment() && c.number > *first;
                let by_name = |c: &super::Closer| sprayed(c) && c.voided.is_none();
                if let Some(spray) = room.unsettled().find(|c| by_name(c)) {
                    let text = format!(
                        "entry {} says that something was sprayed or wet since the preparation began: if that is wrong, the \
                         lead voids it first, and a second person looks",
                        spray.number
                    );
                    return Err(No::new(Rule::NothingApplied, text));
                }
                let looks: Vec<_> = room
                    .evidence()
                    .into_iter()
                    .filter(|it| it.met_by.is_none() && matches!(it.need, Need::Looked(_)))
                    .filter(|it| room.unsettled_by_name(it.cause).is_some_and(sprayed))
                    .collect();
                if !looks.is_empty() {
                    let text = "a spray since then was voided, and nobody has looked in the room since".to_owned();
                    return Err(No { rule: Rule::NothingApplied, text, missing: looks });
                }
                let (missing, rests_on) = room.return_lacks();
                let of_these = |e: &crate::domain::need::Evidence| prepared.contains(&e.cause);
                let missing: Vec<_> = missing.into_iter().filter(of_these).collect();
                if !missing.is_empty() {
                    let text = "what was stripped is not put right yet".to_owned();
                    return Err(No { rule: Rule::NothingApplied, text, missing });
                }
                Ok((SignatureKind::NothingApplied, prepared, rests_on))
            }
            Body::Cleared { .. } => {
                let lacks = clear_lacks(self, code, entry.noted);
                if let Some((rule, text)) = lacks.into_iter().next() {
                    return Err(No { rule, text, missing: room.evidence() });
                }
                let counted = room.inspections.iter().filter(|i| i.clean && !i.voided).map(|i| i.number);
                Ok((SignatureKind::Cleared, vec![], counted.collect()))
            }
            Body::InService { closing, .. } => {
                let settles =
                    numbers(&|c| c.number == *closing && c.cause == Cause::OutOfService && c.voided.is_none());
                if settles.is_empty() {
                    return Err(No::new(
                        Rule::Target,
                        format!("entry {closing} does not hold room {code} out of service"),
                    ));
                }
                Ok((SignatureKind::InService, settles, vec![]))
            }
            Body::Looked { void, .. } => {
                let Some(closer) = room.voided_by(*void) else {
                    return Err(No::new(Rule::Target, format!("entry {void} voided nothing that closes room {code}")));
                };
                if let Some(look) = room.look_after(closer.number) {
                    let text = format!("entry {look} is the look after void {void}: none is owed any more");
                    return Err(No::new(Rule::Target, text));
                }
                if closer.own_hands().contains(&entry.noted_by) {
                    let text = "the look is for a second person: neither who noted it nor who voided it";
                    return Err(No::new(Rule::SecondLook, text));
                }
                self.tells_a_wait(entry)?;
                let of_void = room.unsettled().filter(|c| c.voided.is_some_and(|v| v.number == *void));
                let slack = |c: &super::Closer| super::span_slack(&c.terminal, entry.terminal_name());
                let from = of_void.filter_map(|c| Some(self.look_from(code, c)? + slack(c))).max();
                if let Some(at) = from.filter(|at| entry.happened < *at) {
                    let text = format!(
                        "a voided spray may still be wet: nobody goes in to look before {}, the label's own minimum",
                        self.clock(at)
                    );
                    return Err(No::new(Rule::Label, text));
                }
                Ok((SignatureKind::Looked, vec![closer.number], vec![]))
            }
            Body::WardWalked { .. } => {
                if let Some(no) = self.walk_lacks(room, entry) {
                    return Err(no);
                }
                let walks = numbers(&|c| c.cause == Cause::Walk && c.walk_of.is_none());
                Ok((SignatureKind::Walked { of: None }, walks, vec![]))
            }
            _ => Err(No::new(Rule::Target, "it is no signature")),
        }
    }
}

impl Board {
    /// When somebody may go in to look after this void: what was wet by it may be felt then. None: it wetted nothing.
    pub fn look_from(&self, code: Code, voided: &super::room::Closer) -> Option<Time> {
        let room = self.room(code)?;
        let is_of_it = |wet: &crate::domain::surface::WetNow| wet.by.contains(&voided.number);
        let zones = voided.needs.iter().filter_map(|need| if let Need::Dry(zone) = need { Some(*zone) } else { None });
        let wet = zones.filter_map(|zone| room.dryness().of(zone)?.wet.as_ref()).filter(|wet| is_of_it(wet));
        // Nobody said when it ended: the void has set that time, and the label's.
        let late = |wet: &crate::domain::surface::WetNow| wet.ready.map_or(AFTER_ALL, |ready| ready.not_before);
        let of_spray = self.surfaces().spray(code, voided.number).and_then(|spray| spray.ready());
        // Also where what it wetted has left by now, and may be seen to come back.
        of_spray.map(|ready| ready.not_before).or_else(|| wet.map(late).max())
    }
}

impl Board {
    /// The zones that a voided spray may have wetted, as long as nobody has looked.
    pub fn may_be_wet(&self, code: Code) -> BTreeSet<Zone> {
        let Some(room) = self.room(code) else { return BTreeSet::new() };
        let voided = room.unsettled().filter(|closer| closer.voided.is_some());
        let open = voided.flat_map(|closer| closer.needs.iter().filter(|need| room.met(closer, **need).is_none()));
        open.filter_map(|need| if let Need::Dry(zone) = need { Some(*zone) } else { None }).collect()
    }
}

/// What a room in monitoring still lacks before it may turn clear. Empty: it may.
pub fn clear_lacks(board: &Board, code: Code, now: Time) -> Vec<(Rule, String)> {
    let Some(room) = board.room(code) else { return vec![(Rule::Place, format!("there is no room {code}"))] };
    let mut lacks = vec![];
    if room.state() != State::Monitoring {
        lacks.push((Rule::ClearState, format!("room {code} is {}, not in monitoring", room.state())));
    }
    let apart = |c: &super::Closer| c.voided.is_none() && matches!(c.cause, Cause::OutOfService);
    if room.unsettled().any(|c| !apart(c)) {
        lacks.push((Rule::ClearState, "something in the room is unsettled".to_owned()));
    }
    if room.accountable_since().is_none() {
        lacks.push((Rule::ClearDays, "no day of last activity is on record".to_owned()));
        return lacks;
    }
    let days = quiet_days(board, code, now);
    let wanted = board.policy().get(Setting::ClearDays);
    if days.counted < wanted {
        let (counted, empty) = (days.counted, days.empty);
        let text =
            format!("{counted} of {wanted} days without activity; it stood empty on {empty} more, which do not count");
        lacks.push((Rule::ClearDays, text));
    }
    let (looks, traps) = negative_checks(room);
    let (wanted_looks, wanted_traps) =
        (board.policy().get(Setting::ClearVisualChecks), board.policy().get(Setting::ClearTrapPeriods));
    if looks < wanted_looks && traps < wanted_traps {
        let text = format!("{looks} of {wanted_looks} negative inspections, or {traps} of {wanted_traps} trap periods");
        lacks.push((Rule::ClearChecks, text));
    }
    lacks
}

/// Negative full inspections and trap periods since the last evidence and the last spray. A dog counts as an inspection.
pub fn negative_checks(room: &Room) -> (i64, i64) {
    let Some(since) = room.accountable_since() else { return (0, 0) };
    let counts = |i: &&super::FullInspection| i.clean && !i.voided && i.began > since;
    let of = |traps: bool| {
        let of_kind = |i: &&super::FullInspection| (i.method == InspectionMethod::Traps) == traps;
        room.inspections.iter().filter(counts).filter(of_kind).count() as i64
    };
    (of(false), of(true))
}

/// Days in the hospital's own calendar since the last activity.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct QuietDays {
    /// Somebody slept in the room (or the room has no beds, or the hospital keeps no occupancy here).
    pub counted: i64,
    pub empty: i64,
}

/// Whole days after the day of the last evidence or spray, up to and without today.
pub fn quiet_days(board: &Board, code: Code, now: Time) -> QuietDays {
    let Some(room) = board.room(code) else { return QuietDays::default() };
    let Some(since) = room.accountable_since() else { return QuietDays::default() };
    let zone = board.facility().time_zone;
    let day = |time: Time| time.with_timezone(&zone).date_naive();
    let (first, today) = (day(since), day(now));
    let all = (today - first).num_days() - 1;
    if all <= 0 {
        return QuietDays::default();
    }
    let has_beds = board.facility().room(code).is_some_and(|plan| !plan.beds.is_empty());
    if !has_beds || !board.policy().is_on(Setting::OccupancyKept) {
        return QuietDays { counted: all, empty: 0 };
    }
    let counted = slept_in(room, &day, first, today).len() as i64;
    QuietDays { counted, empty: all - counted }
}

/// The days strictly between the two on which a bed of the room was noted as occupied.
fn slept_in(room: &Room, day: &dyn Fn(Time) -> NaiveDate, first: NaiveDate, today: NaiveDate) -> BTreeSet<NaiveDate> {
    let mut days = BTreeSet::new();
    let beds: BTreeSet<Code> = room.stays.iter().map(|stay| stay.bed).collect();
    for bed in beds {
        let mut stays: Vec<_> = room.stays.iter().filter(|stay| stay.bed == bed && !stay.perhaps).collect();
        stays.sort_by_key(|stay| stay.at);
        let mut from: Option<NaiveDate> = None;
        for stay in stays {
            match (stay.occupied, from) {
                (true, None) => from = Some(day(stay.at)),
                (false, Some(began)) => {
                    days.extend(between(
                        began.max(first + TimeDelta::days(1)),
                        day(stay.at).min(today - TimeDelta::days(1)),
                    ));
                    from = None;
                }
                _ => {}
            }
        }
        if let Some(began) = from {
            days.extend(between(began.max(first + TimeDelta::days(1)), today - TimeDelta::days(1)));
        }
    }
    days
}

fn between(from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    from.iter_days().take_while(move |date| *date <= to)
}

impl Room {
    /// The last sign of activity or the last spray, whichever came later.
    pub fn accountable_since(&self) -> Option<Time> {
        self.last_evidence.max(self.last_spray)
    }
}

impl Need {
    /// Blocks the bed without being anything that a return to service could settle.
    pub fn is_apart(self) -> bool {
        matches!(self, Self::InService(_) | Self::Walked | Self::Attested(_) | Self::Looked(_))
    }
}

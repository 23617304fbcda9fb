//! Folding one entry: what kind of thing it is, and whether a fact or a signature in it counts.
//!
//! A closer always counts. A fact or a signature that does not count is reported as a [`Problem`], with the rule; the same
//! report is what `decide` turns into a refusal, so that the two cannot drift apart.

use std::sync::Arc;

use super::exception::MANY_WRONG_PINS;
use super::people_rules::permitted;
use super::room::{Cause, Closer, Room};
use super::{Board, EverywhereClosed, ExceptionKind, Problem, Stood};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Place, Time};
use crate::domain::facility::RoomPlan;
use crate::domain::need::{Evidence, Need};
use crate::domain::people::{Person, Role};
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::surface::{CLOCK_TOLERANCE, Statement};

/// Why a fact or a signature does not count.
pub(super) struct No {
    pub(super) rule: Rule,
    pub(super) text: String,
    pub(super) missing: Vec<Evidence>,
}

impl No {
    pub(super) fn new(rule: Rule, text: impl Into<String>) -> Self {
        Self { rule, text: text.into(), missing: vec![] }
    }
}

/// What the fold knows of one entry before it looks at the body.
pub(super) struct Reading<'a> {
    pub(super) entry: &'a Entry,
    /// Neither doubled nor noted before what is already noted.
    sound: Result<(), Rule>,
    /// The newest entry of each place before this one.
    pub(super) newest_before: Number,
    /// When the newest entry before this one was noted.
    pub(super) latest_before: Time,
}

impl Board {
    /// `keep_place`: remember what the number touched; a trial need not.
    pub(crate) fn apply_entry(&mut self, entry: &Entry, contested: bool, keep_place: bool) {
        let number = entry.number;
        let last = self.last.map_or(0, |(number, _)| number.0);
        if number.0 <= last && !contested {
            self.close_everywhere(number, number, "this number stands twice");
            return;
        }
        if number.0 > last + 1 {
            self.close_everywhere(Number(last + 1), Number(number.0 - 1), "missing");
        }
        if contested && !self.everywhere.iter().any(|closed| closed.number == number) {
            self.close_everywhere(number, number, "this number stands twice");
        }
        let latest = self.last.map_or(entry.noted, |(_, latest)| latest);
        if matches!(entry.body, Body::ClockSaid { .. }) {
            if keep_place {
                Arc::make_mut(&mut self.places).insert(number, Stood::of(&entry.place));
            }
            self.hear_clock(entry, contested);
            return;
        }
        let doubt = self.clock_doubt(entry, latest);
        let sound = match (contested, doubt) {
            (true, _) => Err(Rule::Damage),
            (_, Some(_)) => Err(Rule::ClockBack),
            _ => Ok(()),
        };
        let newest_before = self.newest_of(&entry.place);
        self.last = Some((Number(last.max(number.0)), self.take_down(entry, latest, doubt, keep_place)));
        self.remember_hands(entry);
        if keep_place {
            Arc::make_mut(&mut self.places).insert(number, Stood::of(&entry.place));
        }
        let reading = Reading { entry, sound, newest_before, latest_before: latest };
        if entry.body.is_setting() {
            self.forget_learned();
            self.apply_setting(&reading);
            self.spread(entry);
            self.make_again(entry);
            return;
        }
        if !entry.body.is_read_by_no_rule() {
            self.touch(entry);
            self.find_place(entry);
        }
        if doubt.is_some() && keep_place && !self.problems.iter().any(|p| p.number == number) {
            self.report(number, self.clock_no(entry));
        }
        self.remember_carried(entry);
        let read = self.apply_body(&reading);
        self.spread(entry);
        if let Body::Voided { entry: target, .. } = &entry.body {
            self.owed_again(entry, &self.rooms_holding(*target));
        }
        self.make_again(entry);
        self.ask_outside(entry);
        self.rest_on_open_clocks(entry);
        self.hear_of_drying(entry, read.is_ok());
        if let Err(no) = read {
            self.report(number, no);
        }
    }

    pub(super) fn report(&mut self, number: Number, no: No) {
        let No { rule, text, missing } = no;
        Arc::make_mut(&mut self.problems).push(Problem { number, rule, text, missing });
    }

    pub(super) fn close_everywhere(&mut self, number: Number, through: Number, text: &str) {
        self.report(number, No::new(Rule::Damage, text));
        let closed = EverywhereClosed { number, through, text: text.to_owned(), attested_by: None, seconded_by: None };
        Arc::make_mut(&mut self.everywhere).push(closed);
        self.newest_everywhere = self.newest_everywhere.max(through);
    }

    /// Marks every room of the place as changed.
    fn touch(&mut self, entry: &Entry) {
        for code in self.rooms_of(&entry.place) {
            if self.plan(code).is_some() {
                let room = self.room_mut(code);
                room.newest = room.newest.max(entry.number);
            }
        }
    }

    /// A line that is about a place which does not exist may be about any.
    fn find_place(&mut self, entry: &Entry) {
        let Some(text) = self.place_that_is_not(&entry.place) else { return };
        if !matches!(entry.body, Body::Unreadable { .. }) {
            self.report(entry.number, No::new(Rule::Place, text.clone()));
            self.close_everywhere(entry.number, entry.number, &text);
        }
    }

    /// What a place names that does not exist.
    fn place_that_is_not(&self, place: &Place) -> Option<String> {
        match place {
            Place::Rooms(rooms) if rooms.is_empty() => Some("it names no place that exists".to_owned()),
            Place::Rooms(rooms) => {
                let unknown = rooms.iter().find(|code| self.plan(**code).is_none());
                unknown.map(|code| format!("it names room {code}, which does not exist"))
            }
            Place::Ward(ward) if self.facility().wards.contains_key(ward) => None,
            Place::Ward(ward) => Some(format!("it names ward {ward}, which does not exist")),
            Place::Hospital | Place::Unknown => None,
        }
    }

    pub(super) fn room_mut(&mut self, code: Code) -> &mut Room {
        if self.touched.last() != Some(&code) {
            self.touched.push(code);
        }
        Arc::make_mut(self.rooms.entry(code).or_default())
    }

    pub(super) fn plan(&self, code: Code) -> Option<Arc<RoomPlan>> {
        self.facility().rooms.get(&code).cloned()
    }

    pub(super) fn person(&self, initials: Code) -> Option<&Person> {
        self.people().get(&initials)
    }

    fn apply_body(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        match &entry.body {
            Body::Unreadable { why, .. } => {
                self.close_unreadable(entry, why);
                Ok(())
            }
            Body::Finding { .. }
            | Body::Identified { .. }
            | Body::PatientOut { .. }
            | Body::PatientMoved { .. }
            | Body::Prepared { .. }
            | Body::Sprayed { .. }
            | Body::OutOfService { .. }
            | Body::Occupied { .. }
            | Body::EnteredWet { .. }
            | Body::PatientStays { .. }
            | Body::ThingLeft { .. }
            | Body::ThingArrived { .. }
            | Body::WentBack { .. }
            | Body::EndLost { .. }
            | Body::Downtime { .. }
            | Body::Restored { .. } => self.apply_closer(reading),
            Body::Inspected { .. } => self.apply_inspection(reading),
            Body::RoundLooked { .. }
            | Body::SprayCompleted { .. }
            | Body::DryChecked { .. }
            | Body::TreatedOtherwise { .. }
            | Body::Laundered { .. }
            | Body::BagEnded { .. }
            | Body::ThingSeen { .. }
            | Body::Vacuumed { .. }
            | Body::BedMade { .. }
            | Body::Emptied { .. }
            | Body::OccupancyConfirmed { .. } => self.apply_fact(reading),
            Body::NothingApplied { .. }
            | Body::ReturnedToService { .. }
            | Body::Cleared { .. }
            | Body::InService { .. }
            | Body::Looked { .. }
            | Body::SecondChecked { .. }
            | Body::SecondAttested { .. }
            | Body::Attested { .. }
            | Body::TimeTakenOut { .. }
            | Body::SprayCorrected { .. }
            | Body::WrittenOff { .. }
            | Body::PartReplaced { .. }
            | Body::WardWalked { .. } => self.apply_signature(reading),
            Body::Voided { entry: target, .. } => self.apply_void(reading, *target),
            Body::LedgerChosen { others, .. } => {
                self.counts(reading)?;
                Arc::make_mut(&mut self.not_the_ledger).extend(others.iter().cloned());
                Ok(())
            }
            Body::Promised { beds, wanted } => self.promise(reading, beds, *wanted),
            Body::TaskAccepted { room, need, cause, by } => {
                self.room_mut(*room).accepted.push((need.clone(), *cause, *by));
                Ok(())
            }
            Body::SignedIn { failed_before } if *failed_before >= MANY_WRONG_PINS => {
                self.note_exception(entry.number, None, ExceptionKind::WrongPins(*failed_before));
                Ok(())
            }
            // No wildcard: a new kind says here what it does. What these say is no rule's, or was read before this.
            Body::SignedIn { .. }
            | Body::Amended { .. }
            | Body::NotPossible { .. }
            | Body::HandedOver { .. }
            | Body::Reserved { .. }
            | Body::ClockSaid { .. }
            | Body::HospitalSet { .. }
            | Body::ZonesSet { .. }
            | Body::WardSet { .. }
            | Body::RoomSet { .. }
            | Body::PersonSet(_)
            | Body::ProductSet(_)
            | Body::PolicySet { .. }
            | Body::PinSet { .. } => Ok(()),
        }
    }

    fn close_unreadable(&mut self, entry: &Entry, why: &str) {
        let rooms = match &entry.place {
            Place::Hospital | Place::Unknown => vec![],
            place if self.place_that_is_not(place).is_some() => vec![],
            place => self.rooms_of(place),
        };
        if rooms.is_empty() {
            self.close_everywhere(entry.number, entry.number, why);
            return;
        }
        self.report(entry.number, No::new(Rule::Damage, why));
        for code in rooms {
            close_as_damage(self.room_mut(code), entry, entry.number);
            self.wets_what_left(entry, code, entry.happened.min(entry.noted));
        }
    }

    /// What a voided check or look found dry is wet again; a voided spray stays wet, and waits for its label where nobody said
    /// how long that is.
    fn void_wetness(&mut self, entry: &Entry, target: Number, rooms: &[Code]) {
        self.surfaces_mut().void(target, rooms, entry.number);
        let unknown = self.unknown_label();
        for code in rooms {
            let Some((ended, label)) = self.surfaces().spray(*code, target).map(|it| (it.ended, it.label)) else {
                continue;
            };
            let statement = Statement {
                number: entry.number,
                noted: entry.noted,
                ended: ended.is_none().then_some(entry.noted),
                label: label.is_none().then_some(unknown),
                named: vec![],
                counts: true,
            };
            self.state_of_spray(*code, target, &statement);
        }
    }

    fn apply_void(&mut self, reading: &Reading<'_>, target: Number) -> Result<(), No> {
        let entry = reading.entry;
        // A clock that is wrong takes nothing from a void: it only asks for a look.
        let may = |p: &Person| !p.left && matches!(p.role, Role::Lead | Role::InfectionPrevention);
        let notes = |p: &Person| !p.left && p.role != Role::Reader;
        let may_void_closers = reading.sound != Err(Rule::Damage)
            && self.person(entry.done_by).is_some_and(may)
            && self.person(entry.noted_by).is_some_and(notes);
        let void = super::room::Void { number: entry.number, by: [entry.noted_by, entry.done_by], noted: entry.noted };
        let mut found = self.walks.values().any(|walk| *walk == target);
        let target = self.void_lost(target, entry.number);
        // What is voided falls where it stands, whichever room the void names.
        let mut rooms = self.rooms_of(&entry.place);
        let stood = self.place_of(target).map(|place| self.rooms_of(&place)).unwrap_or_default();
        rooms.extend(stood.iter().copied());
        rooms.sort();
        rooms.dedup();
        let mut elsewhere = self.rooms_holding(target);
        elsewhere.retain(|code| !rooms.contains(code));
        let left = self.left_by(rooms.iter().chain(&elsewhere), target);
        for code in rooms.iter().copied() {
            let room = self.room_mut(code);
            if room.void(target, void, may_void_closers) {
                found = true;
                room.newest = room.newest.max(entry.number);
                if room.voided_by(entry.number).is_some_and(|closer| closer.number == target) {
                    self.note_exception(entry.number, Some(code), ExceptionKind::CloserVoided(target));
                }
                self.bedding_without_its_bag(entry, code, target);
            }
        }
        // What it settled or said in other rooms, or in rooms that are of another ward by now, falls as well.
        for code in elsewhere.iter().copied() {
            let room = self.room_mut(code);
            if room.void(target, void, false) {
                found = true;
                room.newest = room.newest.max(entry.number);
            }
        }
        for closed in Arc::make_mut(&mut self.everywhere).iter_mut().filter(|c| c.attested_by == Some(target)) {
            (closed.attested_by, closed.seconded_by) = (None, None);
            found = true;
        }
        found |= self.void_second_attest(target);
        let (at, unknown) = (entry.happened.min(entry.noted), self.unknown_label());
        found |= self.surfaces_mut().void_replaced(target, at, entry.number, unknown);
        found |= self.void_half(target);
        found |= self.void_lessened(target, (entry.number, entry.noted));
        let stood: Vec<Code> = stood.into_iter().chain(elsewhere).collect();
        found |= self.void_thing(entry, target, &stood);
        found |= self.void_patient(target);
        self.void_made(target);
        self.void_wetness(entry, target, &stood);
        self.lay_on(entry, &left);
        if let Body::Voided { really_in: Some(really), .. } = &entry.body {
            self.was_really_in(entry, *really, target);
        }
        if found {
            Ok(())
        } else {
            Err(No::new(Rule::Target, format!("entry {target} is a note that nothing rests on: it stays as it is")))
        }
    }

    /// The rooms in which something of this entry is kept.
    fn rooms_holding(&self, target: Number) -> Vec<Code> {
        let holds = |room: &Room| room.holds_any(&|number| number == target);
        self.rooms().filter(|(_, room)| holds(room)).map(|(code, _)| code).collect()
    }

    /// Whether what the entry says may count at all: its number, its clock, its people.
    pub(super) fn counts(&self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        match reading.sound {
            Err(Rule::ClockBack) => return Err(self.clock_no(entry)),
            Err(rule) => return Err(No::new(rule, "its number stands twice")),
            Ok(()) => {}
        }
        let Some(noter) = self.person(entry.noted_by) else {
            return Err(No::new(Rule::Roster, format!("{} is not on the roster", entry.noted_by)));
        };
        if noter.left || noter.role == Role::Reader {
            return Err(No::new(Rule::Role, format!("{} may only read", entry.noted_by)));
        }
        let Some(doer) = self.person(entry.done_by) else {
            return Err(No::new(Rule::Roster, format!("{} is not on the roster", entry.done_by)));
        };
        if entry.happened > entry.noted {
            return Err(No::new(Rule::Future, "it lies in the future"));
        }
        if !place_fits(entry) {
            return Err(No::new(Rule::Place, "it does not say in which room"));
        }
        permitted(&entry.body, doer, entry.happened, self.policy())
            .map_err(|who| No::new(Rule::Role, format!("this is for {who}")))
    }

    /// As [`Self::counts`], and not noted too late. A numbered slip may be noted at any time.
    pub(super) fn fact_counts(&self, reading: &Reading<'_>, has_slip: bool) -> Result<(), No> {
        self.counts(reading)?;
        let entry = reading.entry;
        let late_by = entry.noted - entry.happened;
        if has_slip || late_by <= CLOCK_TOLERANCE || self.is_on_a_sheet(entry) {
            return Ok(());
        }
        if late_by > self.policy().minutes(Setting::LateFactMinutes) {
            let minutes = self.policy().get(Setting::LateFactMinutes);
            return Err(No::new(
                Rule::LateFact,
                format!(
                    "it was noted more than {minutes} minutes after it happened: do it again. What happened while nothing could be \
                     noted comes from the sheets of a downtime, which the lead notes; until then anybody notes a gap"
                ),
            ));
        }
        if entry.done_by != entry.noted_by {
            return Err(No::new(Rule::LateFact, "only the person who did it may note it late"));
        }
        Ok(())
    }

    /// Whether it happened while nothing could be noted in any of its rooms, and the lead has not walked there since.
    fn is_on_a_sheet(&self, entry: &Entry) -> bool {
        let covers = |c: &Closer| c.sheets.is_some_and(|(from, until)| (from..=until).contains(&entry.happened));
        let in_room = |room: &Room| room.unsettled().any(|c| c.voided.is_none() && covers(c));
        let rooms = self.rooms_of(&entry.place);
        !rooms.is_empty() && rooms.iter().all(|code| self.room(*code).is_some_and(in_room))
    }

    /// As [`Self::counts`], signed by the signer's own hand, now, on what the signer was shown.
    pub(super) fn signature_counts(&self, reading: &Reading<'_>) -> Result<(), No> {
        self.counts(reading)?;
        let entry = reading.entry;
        if entry.done_by != entry.noted_by {
            return Err(No::new(Rule::OwnHand, "a person signs for nobody else"));
        }
        if entry.noted - entry.happened > CLOCK_TOLERANCE {
            return Err(No::new(Rule::SignedNow, "a signature is never noted late"));
        }
        let seen = entry.body.seen().unwrap_or_default();
        if reading.newest_before > seen || seen >= entry.number {
            let newest = reading.newest_before;
            return Err(No::new(Rule::Seen, format!("entry {newest} came while you were looking: read it, then sign")));
        }
        Ok(())
    }
}

/// What was done or signed is about the rooms that it names; only a round, a walk and what is about other entries is wider.
fn place_fits(entry: &Entry) -> bool {
    match (&entry.body, &entry.place) {
        (Body::Attested { .. } | Body::SecondAttested { .. } | Body::TimeTakenOut { .. } | Body::Voided { .. }, _) => {
            true
        }
        (body, _) if body.is_setting() => true,
        (_, Place::Rooms(rooms)) => !rooms.is_empty(),
        (
            Body::WardWalked { .. }
            | Body::OccupancyConfirmed { .. }
            | Body::RoundLooked { .. }
            | Body::Downtime { .. }
            | Body::LedgerChosen { .. },
            place,
        ) => *place != Place::Unknown,
        _ => false,
    }
}

/// Closes a room for a line that nobody can read.
pub(super) fn close_as_damage(room: &mut Room, entry: &Entry, through: Number) {
    room.close(closer(entry, Cause::Damage { through }, vec![Need::Attested(entry.number)]));
}

/// A closer with the entry's own number and time.
pub(super) fn closer(entry: &Entry, cause: Cause, needs: Vec<Need>) -> Closer {
    Closer {
        number: entry.number,
        terminal: entry.terminal_name().into(),
        happened: entry.happened,
        noted_by: entry.noted_by,
        done_by: entry.done_by,
        cause,
        needs,
        order: vec![],
        begun: None,
        finished: None,
        finished_by: None,
        label: None,
        zones_may_follow: false,
        product: None,
        paid: vec![],
        seen: entry.body.seen_on(),
        works_on: None,
        voided: None,
        by_void: false,
        is_urgent: false,
        linens_in_use: false,
        linens_stated: false,
        words: String::new(),
        sheets: None,
        gap: None,
        walk_of: None,
        as_noted: None,
    }
}

/// The later of two times of which one may be unknown.
pub(super) fn later(known: Option<Time>, time: Time) -> Option<Time> {
    Some(known.map_or(time, |at| at.max(time)))
}

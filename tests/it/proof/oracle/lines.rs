//! The raw lines of a ledger and what can be said of one line alone: whose it is, when it counts, whether it was voided.

use std::cell::RefCell;
use std::collections::BTreeMap;

use chrono::TimeDelta;

use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, Entry, Number, Place};
use dryhold::domain::facility::{Bed, Zone, ZonePlan};
use dryhold::domain::people::{Person, Role};
use dryhold::domain::policy::{Policy, Setting};

/// How far the clocks of two terminals may differ: less is neither late nor gone back.
pub(super) const CLOCKS_DIFFER: TimeDelta = TimeDelta::minutes(2);

/// One time that a room was set.
pub(super) struct RoomSetting<'a> {
    pub(super) number: Number,
    pub(super) ward: Code,
    pub(super) kind: Code,
    pub(super) beds: &'a [Bed],
    pub(super) serves: &'a [Code],
}

/// What a return to service settled when it was signed. None: it did not count.
pub(super) type Verdict = Option<Vec<Number>>;

pub(super) struct Lines<'a> {
    /// By number; a number that stands on several lines is here several times.
    pub(super) all: Vec<&'a Entry>,
    pub(super) missing: Vec<Number>,
    pub(super) doubled: Vec<Number>,
    people: Vec<(Number, &'a Person)>,
    /// The verdict on a return to service, taken once: does it count, and what does it settle?
    pub(super) verdicts: RefCell<BTreeMap<(Number, Code), Verdict>>,
    /// The answer on a patient who came to a room, taken once: from a case?
    pub(super) cases: RefCell<BTreeMap<(Number, Code), bool>>,
}

impl<'a> Lines<'a> {
    pub(super) fn new(entries: &'a [Entry]) -> Self {
        let mut all: Vec<&Entry> = entries.iter().collect();
        all.sort_by_key(|entry| entry.number);
        let newest = all.last().map_or(0, |entry| entry.number.0);
        let has = |number: &u64| all.binary_search_by_key(number, |entry| entry.number.0).is_ok();
        let missing = (1..=newest).filter(|number| !has(number)).map(Number).collect();
        let mut doubled: Vec<Number> =
            all.windows(2).filter(|pair| pair[0].number == pair[1].number).map(|pair| pair[0].number).collect();
        doubled.dedup();
        let mut lines =
            Self { all, missing, doubled, people: vec![], verdicts: RefCell::default(), cases: RefCell::default() };
        for at in 0..lines.all.len() {
            let entry = lines.all[at];
            if let Body::PersonSet(person) = &entry.body
                && lines.setting_counts(entry)
            {
                lines.people.push((entry.number, person));
            }
        }
        lines
    }

    pub(super) fn before(&self, until: Number) -> impl DoubleEndedIterator<Item = &'a Entry> {
        self.all.iter().copied().filter(move |entry| entry.number < until)
    }

    /// Entries numbered after one and before the other.
    pub(super) fn between(&self, after: Number, until: Number) -> impl DoubleEndedIterator<Item = &'a Entry> {
        self.all.iter().copied().filter(move |entry| after < entry.number && entry.number < until)
    }

    pub(super) fn get(&self, number: Number) -> Option<&'a Entry> {
        self.all.iter().copied().find(|entry| entry.number == number)
    }

    pub(super) fn is_contested(&self, entry: &Entry) -> bool {
        self.doubled.contains(&entry.number)
    }

    // People.

    pub(super) fn person(&self, initials: Code, at: Number) -> Option<&'a Person> {
        let known = self.people.iter().rev().find(|(number, person)| *number < at && person.initials == initials);
        known.map(|(_, person)| *person).filter(|person| !person.left)
    }

    /// A setting counts if the lead or infection prevention made it; the first ones are made before there is a lead.
    pub(super) fn setting_counts(&self, entry: &Entry) -> bool {
        let leads = |(number, p): &(Number, &Person)| *number < entry.number && p.role == Role::Lead && !p.left;
        let nobody_yet = !self.people.iter().any(leads);
        let by = self.person(entry.done_by, entry.number);
        let permitted = by
            .is_some_and(|p| p.is_lead_at(entry.noted) || p.role == Role::InfectionPrevention || p.role == Role::Lead);
        let of_a_place = matches!(entry.body, Body::WardSet { .. } | Body::RoomSet { .. });
        let in_its_place = of_a_place || matches!(entry.place, Place::Hospital | Place::Unknown);
        !self.is_contested(entry) && in_its_place && (nobody_yet || permitted)
    }

    /// Whether whoever did this was allowed to, and whoever noted it is on the roster and no reader.
    pub(super) fn may(&self, entry: &Entry, allowed: impl Fn(&Person) -> bool) -> bool {
        let noted = self.person(entry.noted_by, entry.number).is_some_and(|person| person.role != Role::Reader);
        noted
            && self
                .person(entry.done_by, entry.number)
                .is_some_and(|person| person.role != Role::Reader && allowed(person))
    }

    /// Someone else than the signer, on the roster and no reader.
    pub(super) fn is_second(&self, second: Option<Code>, entry: &Entry) -> bool {
        second.is_some_and(|second| {
            second != entry.done_by
                && second != entry.noted_by
                && self.person(second, entry.number).is_some_and(|person| person.role != Role::Reader)
        })
    }

    // Settings.

    pub(super) fn policy(&self, at: Number) -> Policy {
        let mut policy = Policy::default();
        for entry in self.before(at) {
            if let Body::PolicySet { key, value } = &entry.body
                && let Some(setting) = Setting::from_key(key)
                && self.setting_counts(entry)
            {
                // A value out of bounds is no setting.
                let _ = policy.set(setting, *value);
            }
        }
        policy
    }

    /// Every time that a room was set, oldest first.
    pub(super) fn room_sets(&self, room: Code, until: Number) -> Vec<RoomSetting<'a>> {
        let sets =
            self.before(until).filter(|entry| entry.place.first_room() == Some(room) && self.setting_counts(entry));
        sets.filter_map(|entry| match &entry.body {
            Body::RoomSet { ward, kind, beds, serves, .. } => {
                Some(RoomSetting { number: entry.number, ward: *ward, kind: *kind, beds, serves })
            }
            _ => None,
        })
        .collect()
    }

    pub(super) fn ward(&self, room: Code) -> Option<Code> {
        self.room_sets(room, Number(u64::MAX)).last().map(|set| set.ward)
    }

    pub(super) fn beds(&self, room: Code, at: Number) -> Vec<Code> {
        self.room_sets(room, at).last().map_or(vec![], |set| set.beds.iter().map(|bed| bed.code).collect())
    }

    /// The zones of a room under the settings in force at a number, bed zones once a bed.
    pub(super) fn zones(&self, room: Code, at: Number) -> Vec<(Zone, &'a ZonePlan)> {
        let sets = self.room_sets(room, at);
        let Some(set) = sets.last() else { return vec![] };
        let plans =
            self.before(at).rev().filter(|entry| self.setting_counts(entry)).find_map(|entry| match &entry.body {
                Body::ZonesSet { kind, zones } if *kind == set.kind => Some(zones),
                _ => None,
            });
        let mut zones = vec![];
        for plan in plans.into_iter().flatten() {
            match plan.per_bed {
                true => zones.extend(set.beds.iter().map(|bed| (Zone { bed: Some(bed.code), part: plan.part }, plan))),
                false => zones.push((Zone { bed: None, part: plan.part }, plan)),
            }
        }
        zones
    }

    // Places.

    /// Whether the entry's place takes the room in. The whole hospital is what the book had by then: what a moved line says of rooms
    /// that are set after it is part of what went missing, which closes every ward until it was walked.
    pub(super) fn touches(&self, entry: &Entry, room: Code) -> bool {
        match &entry.place {
            Place::Hospital | Place::Unknown => {
                let is_unreadable = matches!(entry.body, Body::Unreadable { .. });
                is_unreadable || !self.room_sets(room, entry.number).is_empty()
            }
            Place::Ward(ward) => self.ward(room) == Some(*ward),
            Place::Rooms(rooms) => rooms.contains(&room),
        }
    }

    /// A fact or a signature is about the rooms that it names, never about a whole ward.
    pub(super) fn is_about(&self, entry: &Entry, room: Code) -> bool {
        matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(&room))
    }

    // Times.

    /// Noted more than 2 minutes before something that has a smaller number.
    fn is_clock_back(&self, entry: &Entry) -> bool {
        let earlier = self.before(entry.number).filter(|other| !matches!(other.body, Body::Unreadable { .. }));
        let told = earlier.filter(|other| !self.is_contested(other) && !self.is_of_wrong_clock(other, entry.number));
        told.into_iter().any(|other| other.noted - CLOCKS_DIFFER > entry.noted)
    }

    /// A fact: not from the future, not late beyond what is allowed, by a clock that did not go back.
    pub(super) fn fact_counts(&self, entry: &Entry) -> bool {
        let late = entry.noted - entry.happened;
        let by_slip = matches!(&entry.body, Body::Laundered { slip, .. } if !slip.trim().is_empty());
        let limit = self.policy(entry.number).minutes(Setting::LateFactMinutes);
        let own_hand = entry.done_by == entry.noted_by && late <= limit;
        let in_time = late <= CLOCKS_DIFFER || by_slip || own_hand || self.is_on_a_sheet(entry);
        let asked = self.is_to_answer(entry.terminal_name(), entry.number);
        late >= TimeDelta::zero() && in_time && !asked && !self.is_contested(entry) && !self.is_clock_back(entry)
    }

    /// It happened in a downtime that a lead noted for all of its rooms, none of which a lead has walked since.
    fn is_on_a_sheet(&self, entry: &Entry) -> bool {
        let Place::Rooms(rooms) = &entry.place else { return false };
        let tells = |downtime: &&Entry, room: Code| {
            let Body::Downtime { from, until, .. } = &downtime.body else { return false };
            let was_walked = self.between(downtime.number, entry.number).any(|walk| {
                self.tells_of(downtime.number, walk)
                    && self.may(walk, |p| p.is_lead_at(walk.noted))
                    && self.signature_counts(walk, room)
                    && !self.is_voided(walk.number, entry.number)
            });
            *from <= entry.happened
                && entry.happened <= *until
                && *until <= downtime.happened
                && downtime.happened <= downtime.noted
                && self.touches(downtime, room)
                && !matches!(downtime.place, Place::Unknown)
                && self.may(downtime, |p| p.is_lead_at(downtime.happened))
                && !self.is_contested(downtime)
                && !self.is_clock_back(downtime)
                && self.void_of_closer(downtime, entry.number).is_none()
                && !was_walked
        };
        !rooms.is_empty() && rooms.iter().all(|room| self.before(entry.number).any(|downtime| tells(&downtime, *room)))
    }

    /// A signature on a room: never late, by a clock that did not go back, on the newest that the room has.
    pub(super) fn signature_counts(&self, entry: &Entry, room: Code) -> bool {
        let Some(seen) = entry.body.seen() else { return false };
        let newest = self.before(entry.number).rev().find(|other| self.is_news(other, room)).map(|other| other.number);
        let late = entry.noted - entry.happened;
        (TimeDelta::zero()..=CLOCKS_DIFFER).contains(&late)
            && self.touches(entry, room)
            && seen < entry.number
            && newest.is_none_or(|newest| newest <= seen)
            && !self.is_to_answer(entry.terminal_name(), entry.number)
            && !self.is_contested(entry)
            && !self.is_clock_back(entry)
    }

    /// Something of the room that a signer must have been shown.
    fn is_news(&self, entry: &Entry, room: Code) -> bool {
        match &entry.body {
            Body::TaskAccepted { .. }
            | Body::NotPossible { .. }
            | Body::HandedOver { .. }
            | Body::LedgerChosen { .. }
            | Body::SignedIn { .. }
            | Body::Amended { .. }
            | Body::ClockSaid { .. }
            | Body::Promised { .. } => false,
            body if body.is_setting() => false,
            Body::Unreadable { .. }
            | Body::Restored { .. }
            | Body::WentBack { .. }
            | Body::EndLost { .. }
            | Body::Downtime { .. } => self.touches(entry, room),
            _ => self.is_about(entry, room),
        }
    }

    // Voids.

    /// Voids of an entry that were noted before a number. Anybody's void takes a fact or a signature away.
    pub(super) fn voids(&self, voided: Number, until: Number) -> impl Iterator<Item = &'a Entry> {
        self.between(voided, until)
            .filter(move |void| matches!(&void.body, Body::Voided { entry, .. } if *entry == voided))
    }

    pub(super) fn is_voided(&self, entry: Number, until: Number) -> bool {
        self.voids(entry, until).next().is_some()
    }

    /// A closer loses its work only by the lead's or infection prevention's void.
    pub(super) fn void_of_closer(&self, closer: &Entry, until: Number) -> Option<&'a Entry> {
        self.voids(closer.number, until).find(|void| {
            let lead = |p: &Person| matches!(p.role, Role::Lead | Role::InfectionPrevention);
            !self.is_contested(void) && self.may(void, lead)
        })
    }
}

//! Settings: the hospital changes its own book. A change never opens a bed by itself.

use std::sync::Arc;

use chrono::TimeDelta;

use super::apply::{No, Reading, closer};
use super::people_rules::permitted;
use super::room::Cause;
use super::{Board, Settings};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Place};
use crate::domain::facility::{RoomPlan, Ward};
use crate::domain::need::Need;
use crate::domain::people::Role;
use crate::domain::policy::{RETIRED_KEYS, Setting};
use crate::domain::rule::Rule;

impl Board {
    pub(super) fn apply_setting(&mut self, reading: &Reading<'_>) {
        let entry = reading.entry;
        let listed = self.listed(entry);
        let wanted = self.setting_is_permitted(reading).and_then(|()| self.set(entry));
        match wanted {
            Ok(walks) => {
                self.follow_book(entry);
                self.remember_former(entry, listed);
                for code in walks {
                    let room = self.room_mut(code);
                    room.newest = room.newest.max(entry.number);
                    room.set_up.get_or_insert(entry.happened);
                    room.close(closer(entry, Cause::Walk, vec![Need::Walked]));
                }
            }
            Err(no) => {
                // Nobody knows which rooms it was to change: every one is closed, and none is changed.
                self.report(entry.number, no);
                self.close_everywhere(entry.number, entry.number, "a setting that cannot be followed");
            }
        }
    }

    /// What a change of the book says of beds that were rolled, and of the longest label.
    fn follow_book(&mut self, entry: &Entry) {
        if let Body::ProductSet(product) = &entry.body {
            let minutes = TimeDelta::minutes(product.reentry_minutes.unwrap_or(0).into());
            self.longest_label = self.longest_label.max(minutes);
            if product.reentry_words.is_some() {
                self.label_on_the_list(entry, product.code, minutes);
            }
        }
        if let Body::RoomSet { beds, .. } = &entry.body {
            let Some(room) = entry.place.first_room() else { return };
            let shift = self.policy().minutes(Setting::ShiftMinutes);
            let earliest = entry.noted.checked_sub_signed(shift).unwrap_or(entry.noted);
            for bed in beds.iter().map(|bed| bed.code) {
                if let Some(before) = self.surfaces().booked_room(bed).filter(|before| *before != room) {
                    self.patient_goes_along(bed, before, room);
                }
                let parts = match self.surfaces().booked_room(bed) {
                    Some(before) if before != room => self.parts_of_bed(bed),
                    _ => vec![],
                };
                let surfaces = self.surfaces_mut();
                parts.into_iter().for_each(|part| surfaces.know(part));
                surfaces.bed_booked(bed, room, entry.number, None, (earliest, entry.noted));
            }
        }
    }

    /// Before the first lead is on the roster anybody may set things up.
    fn setting_is_permitted(&self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        if !self.people().values().any(|person| person.role == Role::Lead && !person.left) {
            return Ok(());
        }
        self.counts(reading)?;
        match self.person(entry.noted_by) {
            Some(noter) => permitted(&entry.body, noter, entry.noted, self.policy())
                .map_err(|who| No::new(Rule::Role, format!("this is for {who}"))),
            None => Err(No::new(Rule::Roster, format!("{} is not on the roster", entry.noted_by))),
        }
    }

    /// Follows the setting. Gives the rooms whose beds it could open: they wait for a walk of their ward.
    fn set(&mut self, entry: &Entry) -> Result<Vec<Code>, No> {
        // It may close every room, and its unreadable line would close only its place.
        let of_a_place = matches!(entry.body, Body::WardSet { .. } | Body::RoomSet { .. });
        if !of_a_place && matches!(entry.place, Place::Ward(_) | Place::Rooms(_)) {
            return Err(No::new(Rule::Place, "this setting is the whole hospital's, not one place's"));
        }
        let settings = Arc::make_mut(&mut self.settings);
        match &entry.body {
            Body::HospitalSet { name } => settings.facility.name.clone_from(name),
            Body::ZonesSet { kind, zones } => {
                settings.facility.zone_sets.insert(*kind, zones.clone());
                settings.furnish_again(*kind);
            }
            Body::WardSet { name, floor } => {
                let Place::Ward(code) = entry.place else {
                    return Err(No::new(Rule::Place, "it names no ward"));
                };
                let ward = settings.facility.wards.entry(code).or_insert_with(|| Ward {
                    code,
                    name: String::new(),
                    floor: 0,
                    rooms: vec![],
                });
                (ward.name, ward.floor) = (name.clone(), *floor);
            }
            Body::RoomSet { .. } => return settings.set_room(entry),
            Body::PersonSet(person) => {
                let mut person = person.as_ref().clone();
                if person.pin_hash.is_none() {
                    person.pin_hash = settings.people.get(&person.initials).and_then(|p| p.pin_hash.clone());
                }
                let stays_lead = person.role == Role::Lead && !person.left;
                let mut leads = settings.people.values().filter(|p| p.role == Role::Lead && !p.left);
                let only_lead = leads.next().is_some_and(|p| p.initials == person.initials) && leads.next().is_none();
                if only_lead && !stays_lead {
                    return Err(No::new(Rule::LastLead, format!("{} is the last housekeeping lead", person.initials)));
                }
                settings.book.keep_person(entry, &person);
                settings.people.insert(person.initials, person);
            }
            Body::ProductSet(product) => {
                settings.book.keep_product(entry, product);
                settings.products.insert(product.code, product.as_ref().clone());
            }
            Body::PinSet { person, hash } => match settings.people.get_mut(person) {
                Some(person) => person.pin_hash.clone_from(hash),
                None => return Err(No::new(Rule::Roster, format!("{person} is not on the roster"))),
            },
            // Of an older version, and read by nothing: it changes nothing and closes nothing.
            Body::PolicySet { key, .. } if RETIRED_KEYS.contains(&key.as_str()) => {}
            Body::PolicySet { key, value } => {
                let setting = Setting::from_key(key)
                    .ok_or_else(|| No::new(Rule::SettingValue, format!("there is no setting {key}")))?;
                let before = settings.policy.get(setting);
                settings.policy.set(setting, *value).map_err(|why| No::new(Rule::SettingValue, why.to_string()))?;
                let opens = match setting {
                    Setting::OccupancyKept => before != 0 && *value == 0,
                    Setting::ShiftMinutes => *value > before,
                    _ => false,
                };
                if opens {
                    return Ok(settings.facility.rooms.keys().copied().collect());
                }
            }
            _ => return Err(No::new(Rule::SettingValue, "nobody knows what it sets")),
        }
        Ok(vec![])
    }
}

impl Settings {
    /// Gives the room, and those that it served before or serves now.
    fn set_room(&mut self, entry: &Entry) -> Result<Vec<Code>, No> {
        let (Some(code), Body::RoomSet { name, ward, kind, order, beds, neighbours, serves, floor_dm2 }) =
            (entry.place.first_room(), &entry.body)
        else {
            return Err(No::new(Rule::Place, "it names no room"));
        };
        if let Place::Rooms(named) = &entry.place
            && let Some(room) = serves.iter().find(|room| !named.contains(room))
        {
            return Err(No::new(Rule::Place, format!("its place does not name room {room}, which it serves")));
        }
        let facility = &mut self.facility;
        if !facility.wards.contains_key(ward) {
            return Err(No::new(Rule::Place, format!("there is no ward {ward}")));
        }
        if !facility.zone_sets.contains_key(kind) {
            return Err(No::new(Rule::Place, format!("no zones are on file for rooms of the kind {kind}")));
        }
        let elsewhere = |bed: &Code| facility.room_of_bed(*bed).is_some_and(|room| room.code != code);
        if let Some(bed) = beds.iter().map(|bed| bed.code).find(elsewhere) {
            return Err(No::new(Rule::Place, format!("bed {bed} stands in another room already")));
        }
        let plan = RoomPlan {
            code,
            name: name.clone(),
            ward: *ward,
            kind: *kind,
            order: *order,
            beds: beds.clone(),
            zones: facility.zones_for(*kind, beds),
            neighbours: neighbours.clone(),
            serves: serves.clone(),
            floor_dm2: *floor_dm2,
        };
        // How large a room is opens nothing, whatever was said of it before.
        let is_as_it_was = |old: &RoomPlan| RoomPlan { floor_dm2: *floor_dm2, ..old.clone() } == plan;
        if facility.room(code).is_some_and(is_as_it_was) {
            facility.put_room(plan);
            return Ok(vec![]);
        }
        let mut walks = vec![code];
        let before = facility.room(code).map(|old| old.serves.clone()).unwrap_or_default();
        walks.extend(before.into_iter().filter(|room| !serves.contains(room) && facility.rooms.contains_key(room)));
        facility.put_room(plan);
        Ok(walks)
    }

    /// The rooms of this kind get the kind's zones as they are now.
    fn furnish_again(&mut self, kind: Code) {
        let of_kind: Vec<Arc<RoomPlan>> =
            self.facility.rooms.values().filter(|plan| plan.kind == kind).cloned().collect();
        for plan in of_kind {
            let zones = self.facility.zones_for(kind, &plan.beds);
            self.facility.put_room(RoomPlan { zones, ..Arc::unwrap_or_clone(plan) });
        }
    }
}

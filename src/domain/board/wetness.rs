//! What the surfaces say of the rooms: what is wet here, and what goes along with what moves.
//!
//! [`crate::domain::surface`] knows what is wet and where. Here each entry's consequences are
//! drawn: a room in which something may be wet is closed for it, under the entry that brought it, and asks for
//! what that thing still has to have done. What is asked of something that is elsewhere is asked where it is.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::TimeDelta;

use super::Board;
use super::apply::closer;
use super::closing::with_dry;
use super::outside::Owed;
use super::room::{Cause, Closer, Room};
use super::standing::{Asked, Dryness, Standing};
use crate::domain::clock::BEFORE_ALL;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Time};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::need::Need;
use crate::domain::policy::Setting;
use crate::domain::surface::{Check, Move, Shown, Sprayed, Statement, Step, Surface, Surfaces};

/// What nobody can date may have happened a day before.
pub(super) const A_DAY: TimeDelta = TimeDelta::days(1);

impl Board {
    pub fn surfaces(&self) -> &Surfaces {
        &self.surfaces
    }

    pub(super) fn surfaces_mut(&mut self) -> &mut Surfaces {
        Arc::make_mut(&mut self.surfaces)
    }

    /// What is stated of a spray: whether that is news.
    pub(super) fn state_of_spray(&mut self, room: Code, spray: Number, statement: &Statement) -> bool {
        self.room_mut(room).tell_anew(spray);
        self.surfaces_mut().stated(room, spray, statement)
    }

    /// The longest of the labels' minimums that this ledger ever knew, and no less than the hospital's own figure: what counts
    /// where nobody knows what was sprayed.
    pub fn unknown_label(&self) -> TimeDelta {
        self.longest_label.max(self.policy().minutes(Setting::UnknownLabelMinutes))
    }

    /// Notes a spray of this room, of which that entry told first, and gives the names of what it wetted and may be here now.
    pub(super) fn wet_by_spray(
        &mut self,
        entry: &Entry,
        plan: &RoomPlan,
        (begun, first_told): (Time, Number),
        ended: Option<Time>,
        label: Option<TimeDelta>,
        zones: Option<&[Zone]>,
    ) -> Vec<Zone> {
        let named =
            zones.map(|zones| zones.iter().flat_map(|zone| self.surfaces_named(plan.code, *zone)).collect::<Vec<_>>());
        self.longest_label = self.longest_label.max(label.unwrap_or_default());
        let sprayed = Sprayed {
            number: entry.number,
            first_told,
            room: plan.code,
            begun,
            noted: entry.noted,
            ended,
            label,
            named,
            own: if zones.is_some() { vec![] } else { self.own_surfaces_since(plan, begun) },
            terminal: terminal_of(entry),
            is_spray: true,
        };
        let wetted = self.surfaces_mut().sprayed(sprayed);
        self.names_here(plan.code, wetted)
    }

    pub(super) fn names_here(&self, room: Code, surfaces: Vec<Surface>) -> Vec<Zone> {
        let mut names: Vec<Zone> = vec![];
        for surface in surfaces.into_iter().filter(|it| self.surfaces.may_be_in(*it, room)) {
            let name = self.name_in(surface, room);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    /// Found damp, or wiped: wet from this moment. `felt`: when they began to feel what is damp, and saw it here under its tag.
    pub(super) fn wet_by_touch(&mut self, entry: &Entry, room: Code, zones: &[Zone], felt: Option<Time>) {
        let at = entry.happened.min(entry.noted);
        let named: Vec<Surface> = zones.iter().flat_map(|zone| self.surfaces_named(room, *zone)).collect();
        if named.is_empty() {
            return;
        }
        let wiped = Sprayed {
            number: entry.number,
            first_told: entry.number,
            room,
            begun: at,
            noted: entry.noted,
            ended: Some(at),
            label: Some(TimeDelta::zero()),
            named: Some(named),
            own: vec![],
            terminal: terminal_of(entry),
            is_spray: false,
        };
        self.surfaces_mut().sprayed(wiped);
        // What was wetted in another room of a bed that one lies on: that is made anew where it is.
        let is_own = |bed: &Code| self.facility().room(room).is_some_and(|plan| plan.has_bed(*bed));
        let elsewhere: Vec<Code> = self.beds_lain_on(room, zones).into_iter().filter(|bed| !is_own(bed)).collect();
        elsewhere.into_iter().for_each(|bed| self.ask_to_make(entry, bed, (at, entry.number)));
        let Some(began) = felt else { return };
        let tagged: Vec<Zone> = zones.iter().copied().filter(|zone| self.is_tag_in(room, *zone)).collect();
        for zone in &tagged {
            self.see_tag(room, *zone, began.min(at), entry.number);
        }
    }

    /// Whether a name is one that something can be seen under: a tag, a bed, a part of a bed, a zone of the room.
    pub(super) fn is_seen_as(&self, room: Code, zone: Zone) -> bool {
        let is_part = |bed: Code| self.parts_of_bed(bed).iter().any(|part| part.zone() == zone);
        let is_own = self.facility().room(room).is_some_and(|plan| plan.zone(zone).is_some());
        self.is_noted_tag(room, zone) || is_own || zone.bed.is_some_and(is_part)
    }

    /// A tag under which something was noted, or a bed.
    fn is_noted_tag(&self, room: Code, zone: Zone) -> bool {
        let is_known = |it: &Surface| self.surfaces.is_known(*it);
        self.is_tag_in(room, zone)
            && (self.is_bed(zone.part)
                || self.surfaces.is_tag(zone.part)
                || self.surfaces_named(room, zone).iter().any(is_known))
    }

    /// Seen under its tag; a bed with all its parts; a part of a bed under its own name.
    pub(super) fn see_named(&mut self, room: Code, zone: Zone, at: Time, number: Number) {
        if zone.bed.is_none() && self.is_bed(zone.part) && !self.surfaces.is_tag(zone.part) {
            // Its parts are known from now on, so that each of them came along.
            for part in self.parts_of_bed(zone.part) {
                self.surfaces_mut().know(part);
            }
            self.surfaces_mut().bed_seen(zone.part, room, at, number);
        }
        // Seen under its own name where it belongs, it is none of what a tag was said to be besides.
        if !self.is_tag_in(room, zone) {
            for surface in self.surfaces_named(room, zone) {
                self.surfaces_mut().seen_apart(surface, None, number);
            }
        }
        self.see_tag(room, zone, at, number);
    }

    /// The spray of another room for which no clock runs, where nothing that surely stands here wet can be felt before that is mended.
    pub fn spray_waited_for(&self, room: Code) -> Option<(Code, Number)> {
        let unstated = |number: &Number| {
            let rooms = self.place_of(*number).map(|place| self.rooms_of(&place)).unwrap_or_default();
            let is_unstated = |other: &Code| {
                *other != room && self.surfaces().spray(*other, *number).is_some_and(|spray| spray.ready().is_none())
            };
            rooms.into_iter().find(is_unstated).map(|other| (other, *number))
        };
        // What its own sprays left unstated is supplied first.
        let here = self.room(room).filter(|here| here.unstated().is_empty())?;
        let wet = here.dryness().wet().filter(|it| !it.is_uncertain && !it.is_felt);
        let waits = wet.map(|it| it.wet.iter().flat_map(|wet| &wet.by).find_map(unstated));
        waits.collect::<Option<Vec<_>>>()?.into_iter().next()
    }

    /// Said to be wet, and nobody knows by which spray: felt no sooner than by the longest of the labels.
    pub(super) fn wet_by_hearsay(&mut self, entry: &Entry, room: Code, zones: &[Zone]) {
        let (at, label) = (entry.happened.min(entry.noted), self.unknown_label());
        for surface in zones.iter().flat_map(|zone| self.surfaces_named(room, *zone)).collect::<Vec<_>>() {
            self.surfaces_mut().named_in(surface, room, at, entry.number);
            self.surfaces_mut().touched(surface, entry.number, at, label);
        }
    }

    /// What carries a tag was seen. Where it was said to be two parts, the one that it is not stayed where it belongs.
    fn see_tag(&mut self, room: Code, zone: Zone, at: Time, number: Number) {
        let is_whole_bed = zone.bed.is_none() && self.is_bed(zone.part) && !self.surfaces.is_tag(zone.part);
        if self.is_tag_in(room, zone) {
            self.surfaces_mut().told_of(zone.part, number);
        }
        let parts = self.surfaces.of_tag(zone.part).iter().filter(|it| !matches!(it, Surface::Thing(_)));
        let is_of_several = zone.bed.is_none() && parts.count() > 1;
        for surface in self.surfaces_named(room, zone) {
            // Whoever sees a bed says nothing of a part that was taken out of it, or goes by a tag of its own.
            let is_out = is_whole_bed && !self.surfaces.rooms_of(surface).contains(&room);
            if is_out || (is_of_several && self.surfaces.own_tag_of(surface).is_some()) {
                continue;
            }
            // Nobody noted that it came: where a line cannot be read, it may have come out of that line's room.
            if self.hides_anything() && !self.surfaces.may_be_in(surface, room) {
                let label = self.unknown_label();
                self.surfaces_mut().touched(surface, number, at, label);
            }
            // What surely carries this tag is none of what another tag was said to be besides.
            if self.surfaces.is_surely(zone.part, surface) {
                self.surfaces_mut().seen_apart(surface, Some(zone.part), number);
            }
            // A tag of one part says nothing of the bed: it may have been taken out.
            let mut parts = self.surfaces.of_tag(zone.part).iter().filter(|it| !matches!(it, Surface::Thing(_)));
            let is_alone = zone.bed.is_none() && parts.next() == Some(&surface) && parts.next().is_none();
            match self.surfaces.is_surely(zone.part, surface) {
                true if is_alone => self.surfaces_mut().seen(surface, room, at, number),
                true => self.see(surface, room, at, number),
                false => self.surfaces_mut().perhaps_seen(surface, room, at, number),
            }
        }
    }

    /// The room that it is a part of, or that the book has its bed in.
    pub(super) fn home_of(&self, surface: Surface) -> Option<Code> {
        match surface {
            Surface::Room { room, .. } => Some(room),
            Surface::Bed { bed, .. } => self.surfaces.booked_room(bed),
            Surface::Thing(_) => None,
        }
    }

    /// Seen in the room: it is there and nowhere else.
    pub(super) fn see(&mut self, surface: Surface, room: Code, at: Time, number: Number) {
        // Seen by itself before, it says as much of its bed, as long as nobody took it out.
        let is_on_its_bed = |bed: Code| {
            self.surfaces.rooms_of(surface) == self.surfaces.bed_rooms(bed) || !self.surfaces.was_taken_out(surface)
        };
        match surface {
            Surface::Bed { bed, .. } if is_on_its_bed(bed) && self.is_bed_in(bed, room) => {
                self.surfaces_mut().bed_seen(bed, room, at, number);
                let is_news = self.surfaces.is_lost(surface) || self.surfaces.is_looked_for(surface);
                if is_news || self.surfaces.rooms_of(surface) != [room] {
                    self.surfaces_mut().seen(surface, room, at, number);
                }
            }
            // Either it was taken out, or nobody noted that its bed was rolled.
            Surface::Bed { bed, .. } if is_on_its_bed(bed) => {
                let step = Step::Named { at: room };
                self.surfaces_mut().bed_moved(bed, Move { at, number, step, in_doubt: false });
                self.surfaces_mut().seen(surface, room, at, number);
            }
            _ => self.surfaces_mut().seen(surface, room, at, number),
        }
    }

    /// A touch check of this room that counts.
    pub(super) fn feel(&mut self, entry: &Entry, room: Code, began: Time, dry: &[Zone]) {
        for zone in dry {
            let under = Some(zone.part).filter(|_| self.is_tag_in(room, *zone));
            let check = Check { under, ..check_of(entry, room, began) };
            // Where another part may be meant, it is seen first which of them it is.
            let is_only = |tag: Code, it: Surface| {
                !self.surfaces.of_tag(tag).iter().any(|other| *other != it && self.surfaces.may_be_in(*other, room))
            };
            // Where it belongs, what may carry a tag or not is felt by its own name.
            let is_meant = |it: &Surface| match under {
                Some(tag) => {
                    self.surfaces.is_surely(tag, *it) || (self.home_of(*it) != Some(room) && is_only(tag, *it))
                }
                // What left, and nobody knows where to, is felt by its tag.
                None => !self.surfaces.is_looked_for(*it),
            };
            let possible =
                |it: &Surface| is_meant(it) && self.surfaces.may_have_been_at(*it, room, began, entry.number);
            let named: Vec<Surface> = self.surfaces_named(room, *zone).into_iter().filter(possible).collect();
            // Under its tag it was seen: it is here and nowhere else.
            if under.is_some() {
                self.see_tag(room, *zone, began, entry.number);
            }
            // What is dry already is asked for still where something took its wetness away that was no touch.
            let is_asked = self.room(room).is_some_and(|it| it.asks(Need::Dry(*zone)));
            for surface in named {
                match is_asked && !self.surfaces.is_wet(surface) {
                    true => self.surfaces_mut().felt_again(surface, &check),
                    false => drop(self.surfaces_mut().felt_dry(surface, &check)),
                }
            }
        }
    }

    // What follows.

    /// Draws the consequences of what an entry changed on the surfaces.
    pub(super) fn spread(&mut self, entry: &Entry) {
        while self.surfaces.has_changes() {
            let changes = self.surfaces_mut().take_changes();
            let mut brought: BTreeMap<Code, Vec<Need>> = BTreeMap::new();
            for (surface, before) in changes.left {
                self.goes_outside(surface, &before);
            }
            let gained: Vec<Surface> = changes.gained.iter().map(|(surface, ..)| *surface).collect();
            for (surface, room, before) in changes.gained {
                let waiting = self.waits_for(surface, room);
                brought.entry(room).or_default().extend(waiting);
                for from in before.into_iter().filter(|from| *from != room) {
                    for need in self.owed_along(surface, from, room) {
                        let needs = brought.entry(room).or_default();
                        if !needs.contains(&need) {
                            needs.push(need);
                        }
                    }
                    // A line that nobody has read yet may have been a spray.
                    if self.hides_something(from) && !self.surfaces.is_wet(surface) {
                        let (at, label) = (entry.happened.min(entry.noted), self.unknown_label());
                        self.surfaces_mut().touched(surface, entry.number, at, label);
                    }
                }
            }
            for surface in gained {
                self.waits_no_more(surface);
            }
            for (surface, since) in changes.told {
                self.bring_gaps(entry, surface);
                self.part_was_elsewhere(entry, surface, since);
                self.linens_under_a_tag(entry, surface);
            }
            for (bed, since) in changes.told_beds {
                self.bed_was_elsewhere(entry, bed, since);
            }
            changes.doubted.into_iter().for_each(|tag| self.ask_which(tag));
            for stood_by in changes.stood_by {
                self.treats_what_stood_by(entry, stood_by);
            }
            let rooms = changes.rooms.into_iter().chain(brought.keys().copied()).collect::<Vec<_>>();
            for code in rooms {
                if self.facility().room(code).is_some() || self.rooms.contains_key(&code) {
                    self.look_over(code);
                    self.close_for_wet(entry, code, brought.remove(&code).unwrap_or_default());
                }
            }
        }
        // What is asked since may be of a bag that was filled while something was wet here.
        self.treated_by_now(entry);
    }

    /// What is still asked of a surface in a room that it may have left, by the name that it has in another.
    fn owed_along(&self, surface: Surface, from: Code, to: Code) -> Vec<Need> {
        let name = self.asked_as(surface, to);
        let goes = |owed: &Owed| match owed {
            Owed::Made(bed) => self.is_bed_in(*bed, to),
            Owed::Covered(_) | Owed::Vacuumed(_) => true,
        };
        self.owed_of(surface, from).into_iter().filter(goes).map(|owed| owed.asked(name)).collect()
    }

    /// What is still asked of a surface in a room that it may have left.
    pub(super) fn owed_of(&self, surface: Surface, from: Code) -> Vec<Owed> {
        let Some(room) = self.room(from) else { return vec![] };
        let here = self.name_in(surface, from);
        let mut owed = vec![];
        for asking in room.unsettled().filter(|c| c.voided.is_none() && !matches!(c.cause, Cause::Suspicion { .. })) {
            for need in &asking.needs {
                let moved = match (*need, surface) {
                    (Need::Covered(zone), _) if zone == here => Owed::Covered(surface),
                    (Need::Vacuumed(zone), _) if zone == here => Owed::Vacuumed(surface),
                    (Need::Made(made), Surface::Bed { bed, .. }) if made == bed => Owed::Made(bed),
                    _ => continue,
                };
                if room.met(asking, *need).is_none() {
                    owed.push(moved);
                }
            }
        }
        owed
    }

    /// The name by which something is asked for. A tag that a whole bed carries says of no part which it is.
    pub(super) fn asked_as(&self, surface: Surface, room: Code) -> Zone {
        let name = self.name_in(surface, room);
        let is_of_several = name.bed.is_none() && self.surfaces_named(room, name).len() > 1;
        if is_of_several && matches!(surface, Surface::Bed { .. }) { surface.zone() } else { name }
    }

    /// These names, and those of the parts that a bed's tag among them stands for.
    pub(super) fn with_parts(&self, room: Code, zones: &[Zone]) -> Vec<Zone> {
        let is_part = |surface: &Surface| matches!(surface, Surface::Bed { .. });
        let tagged = zones.iter().filter(|zone| zone.bed.is_none());
        let parts = tagged.flat_map(|zone| self.surfaces_named(room, *zone)).filter(is_part).map(Surface::zone);
        zones.iter().copied().chain(parts).collect()
    }

    pub(super) fn is_bed_in(&self, bed: Code, room: Code) -> bool {
        self.surfaces.bed_rooms(bed).contains(&room)
    }

    /// Where entries may be missing of a room in which it may have stood since, each room where it may be now waits for that walk.
    fn bring_gaps(&mut self, entry: &Entry, surface: Surface) {
        if !self.rooms.values().any(|room| room.gaps().next().is_some()) {
            return;
        }
        for from in self.surfaces.rooms_since(surface, BEFORE_ALL) {
            let after = self.room(from).into_iter().flat_map(Room::gaps).map(|gap| gap.after).min();
            let Some(since) = after.map(|after| after.checked_sub_signed(A_DAY).unwrap_or(after)) else { continue };
            if !self.surfaces.rooms_since(surface, since).contains(&from) {
                continue;
            }
            for to in self.surfaces.rooms_of(surface).into_iter().filter(|to| *to != from) {
                self.bring_gap(from, to);
            }
            self.wets_what_is_out(entry, surface);
        }
    }

    /// What stands in no room of the book is seen on no walk: where something may be missing of a room that it was in, it is wet
    /// until it is felt.
    fn wets_what_is_out(&mut self, entry: &Entry, surface: Surface) {
        if self.surfaces.rooms_of(surface).is_empty() && !self.surfaces.is_wet(surface) {
            let (at, label) = (entry.happened.min(entry.noted), self.unknown_label());
            self.surfaces_mut().touched(surface, entry.number, at, label);
        }
    }

    /// Where entries may be missing in the room that something left, its new room waits for that room's walk, too, whichever ward
    /// it is of by then.
    fn bring_gap(&mut self, from: Code, to: Code) {
        let is_owed = |c: &&Closer| c.cause == Cause::Walk && c.gap.is_some();
        let owed: Vec<Closer> =
            self.room(from).into_iter().flat_map(Room::unsettled).filter(is_owed).cloned().collect();
        for mut owed in owed {
            let of = owed.walk_of.unwrap_or(from);
            owed.walk_of = Some(of);
            let is_same = |c: &Closer| c.walk_of.unwrap_or(to) == of;
            let is_known =
                |room: &Room| room.unsettled().any(|c| c.cause == Cause::Walk && c.number == owed.number && is_same(c));
            if of != to && self.facility().room(to).is_some() && !self.room(to).is_some_and(is_known) {
                self.room_mut(to).close(owed);
            }
        }
    }

    /// What left the room since a day before this time goes on under what was just noted of the room.
    pub(super) fn wets_what_left(&mut self, entry: &Entry, room: Code, since: Time) {
        let since = since.checked_sub_signed(A_DAY).unwrap_or(since);
        let (at, label) = (entry.happened.min(entry.noted), self.unknown_label());
        for guest in self.surfaces.guests_since(room, since) {
            if self.surfaces.rooms_of(guest).iter().any(|place| *place != room) {
                self.surfaces_mut().touched(guest, entry.number, at, label);
            }
        }
    }

    /// The rooms where something may be now that was in this room since a day before this time wait for its walk.
    pub(super) fn gap_follows(&mut self, entry: &Entry, room: Code, since: Time) {
        let since = since.checked_sub_signed(A_DAY).unwrap_or(since);
        for guest in self.surfaces.guests_since(room, since) {
            for place in self.surfaces.rooms_of(guest).into_iter().filter(|place| *place != room) {
                self.bring_gap(room, place);
            }
            self.wets_what_is_out(entry, guest);
        }
        // A bed of which nothing was ever wet or moved by itself.
        for bed in self.surfaces.beds_rolled(room).collect::<Vec<_>>() {
            if self.surfaces.bed_rooms_since(bed, since).contains(&room) {
                for place in self.surfaces.bed_rooms(bed).into_iter().filter(|place| *place != room) {
                    self.bring_gap(room, place);
                }
            }
        }
    }

    /// The rooms where something stood since, that was in this room when bugs were found there.
    pub(super) fn case_follows(&mut self, entry: &Entry, room: Code) {
        let at = entry.happened.min(entry.noted);
        let mut rooms: Vec<Code> = self
            .surfaces
            .guests_since(room, at)
            .into_iter()
            .flat_map(|guest| self.surfaces.rooms_since(guest, at))
            .filter(|place| *place != room)
            .collect();
        rooms.sort();
        rooms.dedup();
        for place in self.rooms_of_patients_from(room, at).into_iter().filter(|place| !rooms.contains(place)) {
            self.receive(entry, place, true);
        }
        for place in rooms {
            self.receive(entry, place, false);
        }
    }

    /// A line of the room that nobody can read, and nobody has attested, may have been a spray.
    pub(super) fn hides_something(&self, code: Code) -> bool {
        self.everywhere().next().is_some() || self.room(code).is_some_and(is_unread)
    }

    fn hides_anything(&self) -> bool {
        self.everywhere().next().is_some() || self.rooms().any(|(_, room)| is_unread(room))
    }

    /// Writes anew what the surfaces say of this room.
    pub(super) fn look_over(&mut self, code: Code) {
        let beds: Vec<Code> =
            self.facility().room(code).map(|plan| plan.beds.iter().map(|bed| bed.code).collect()).unwrap_or_default();
        let mut owners = self.surfaces.beds_booked(code);
        owners.extend(beds.iter().chain([&code]));
        owners.sort();
        owners.dedup();
        let mut own: Vec<Surface> = owners.into_iter().flat_map(|owner| self.surfaces.known_of(owner)).collect();
        // A bed that the book has nowhere stands where it was.
        own.extend(self.surfaces.guests(code));
        own.sort();
        own.dedup();
        let mut dryness = Dryness::default();
        for surface in own {
            if !self.surfaces.may_be_in(surface, code) {
                if !self.is_foreign(surface, code, &beds) {
                    dryness.away.push(surface.zone());
                }
                continue;
            }
            let Shown { is_moved, wet, dried, tags } = self.surfaces.shown(surface);
            if wet.is_none() && dried.is_none() {
                continue;
            }
            let name = self.name_in(surface, code);
            let is_one_of_several = is_moved && self.surfaces.rooms_of(surface).len() > 1;
            let is_uncertain = is_moved && self.surfaces.is_uncertain(surface, code);
            let is_felt = is_one_of_several && self.surfaces.is_half_felt(surface, code);
            let is_lost = self.surfaces.is_lost(surface);
            let plan = self.plan_of(surface).map(|it| match it.soft_seat {
                true => Asked::TreatedAndVacuumed,
                false => Asked::Treated,
            });
            let own = Some(surface.zone()).filter(|_| !matches!(surface, Surface::Room { room, .. } if room != code));
            let names = own.into_iter().chain(tags.iter().map(|part| Zone { bed: None, part: *part })).collect();
            match dryness.here.iter_mut().find(|it| it.zone == name) {
                Some(known) => known.add(wet, dried, (is_uncertain, is_felt, is_lost), names, plan),
                None => {
                    let is_rolling = matches!(surface, Surface::Bed { bed, .. } if self.surfaces.is_rolling(bed));
                    let is_rolled = is_one_of_several && (name.bed.is_some() || is_rolling);
                    let zone = name;
                    let here = Standing { zone, names, plan, is_rolled, is_uncertain, is_felt, is_lost, wet, dried };
                    dryness.here.push(here);
                }
            }
        }
        dryness.away.extend(self.gone_from(code, &dryness));
        dryness.never_wet = self.never_wet_here(code, &dryness);
        let gone = |bed: &Code| {
            let rooms = self.surfaces.bed_rooms(*bed);
            (!rooms.is_empty() && !rooms.contains(&code)) || self.is_bed_outside(*bed)
        };
        // A bed that was rolled on is made where it is.
        let to_make = self.room(code).into_iter().flat_map(Room::unsettled).flat_map(|closer| closer.needs.iter());
        let to_make = to_make.filter_map(|need| if let Need::Made(bed) = need { Some(*bed) } else { None });
        dryness.beds_away = beds.iter().copied().chain(to_make).collect();
        dryness.beds_away.sort();
        dryness.beds_away.dedup();
        dryness.beds_away.retain(gone);
        let treated = self.treated_asked_for(code);
        let room = self.room_mut(code);
        if room.closers().is_empty() && !dryness.is_wet() {
            dryness.here.clear();
        }
        dryness.treated = treated;
        room.dryness = dryness;
    }

    /// What this room still asks for and what is not here any more, by the names under which it is asked for.
    fn gone_from(&self, code: Code, dryness: &Dryness) -> Vec<Zone> {
        let Some(room) = self.room(code) else { return vec![] };
        let mut gone = vec![];
        let needs = room.unsettled().flat_map(|closer| closer.needs.iter());
        let zones = needs.filter_map(|need| match need {
            Need::Covered(zone) | Need::Vacuumed(zone) => Some((*zone, false)),
            Need::Dry(zone) => Some((*zone, true)),
            _ => None,
        });
        for (zone, of_dryness) in zones {
            if gone.contains(&zone) || dryness.is_here(zone) || dryness.is_away(zone) {
                continue;
            }
            let named = self.surfaces_named(code, zone);
            // A thing of which nothing is left that says that it was ever here is nowhere.
            let can_be_away = |it: &Surface| matches!(it, Surface::Thing(_)) || self.surfaces.is_moved(*it);
            let is_elsewhere = |it: &Surface| can_be_away(it) && !self.surfaces.may_be_in(*it, code);
            // One tag for several parts: what is here of them was never wet.
            let is_moot = |it: &Surface| is_elsewhere(it) || (of_dryness && !self.surfaces.is_wet(*it));
            if named.iter().any(is_elsewhere) && named.iter().all(is_moot) {
                gone.push(zone);
            }
        }
        gone
    }

    /// What this room still asks to be felt, and nothing of that name was ever wet here.
    fn never_wet_here(&self, code: Code, dryness: &Dryness) -> Vec<Zone> {
        let needs = self.room(code).into_iter().flat_map(Room::unsettled).flat_map(|closer| closer.needs.iter());
        let asked = needs.filter_map(|need| if let Need::Dry(zone) = need { Some(*zone) } else { None });
        let is_wet = |zone: &Zone| self.surfaces_named(code, *zone).iter().any(|it| self.surfaces.is_wet(*it));
        asked.filter(|zone| !dryness.is_here(*zone) && !dryness.is_away(*zone) && !is_wet(zone)).collect()
    }

    fn is_foreign(&self, surface: Surface, code: Code, beds: &[Code]) -> bool {
        match surface {
            Surface::Room { room, .. } => room != code,
            Surface::Bed { bed, .. } => !beds.contains(&bed) && self.surfaces.booked_room(bed) != Some(code),
            Surface::Thing(_) => true,
        }
    }

    /// Whatever may be wet here is asked for by something that closes; what came to light closes under its own entry.
    fn close_for_wet(&mut self, entry: &Entry, code: Code, brought: Vec<Need>) {
        let Some(room) = self.room(code) else { return };
        let asks = |need: Need| room.unsettled().any(|c| c.needs.contains(&need));
        let wet: Vec<&Standing> = room.dryness.wet().collect();
        let is_news = room.dryness.wet().any(|it| it.wet.as_ref().is_some_and(|wet| wet.since >= entry.number));
        let is_asked = |it: &Standing| it.names.iter().chain([&it.zone]).any(|name| asks(Need::Dry(*name)));
        let unasked: Vec<Zone> = wet.into_iter().filter(|it| !is_asked(it)).map(|it| it.zone).collect();
        let owed: Vec<Need> = brought.into_iter().filter(|need| !asks(*need)).collect();
        if is_news {
            let room = self.room_mut(code);
            room.newest = room.newest.max(entry.number);
        }
        if unasked.is_empty() && owed.is_empty() {
            return;
        }
        let mut closing = closer(entry, Cause::Brought { wet: !unasked.is_empty() }, owed);
        closing.happened = entry.happened.min(entry.noted);
        if let Some(plan) = self.plan(code) {
            closing = self.with_dry(closing, &plan, &unasked);
        }
        let room = self.room_mut(code);
        room.newest = room.newest.max(entry.number);
        room.close(closing);
    }

    /// As [`with_dry`], of things too: a soft seat is vacuumed wherever it stands.
    pub(super) fn with_dry(&self, closing: Closer, plan: &RoomPlan, wet: &[Zone]) -> Closer {
        let mut closing = with_dry(closing, plan, wet);
        for zone in wet.iter().filter(|zone| plan.zone(**zone).is_none()) {
            let vacuum = Need::Vacuumed(*zone);
            // One tag may be on several parts.
            let named = self.surfaces_named(plan.code, *zone);
            let is_soft = named.into_iter().any(|surface| self.plan_of(surface).is_some_and(|it| it.soft_seat));
            if is_soft && !closing.needs.contains(&vacuum) {
                closing.needs.push(vacuum);
                closing.order.push((vacuum, Need::Dry(*zone)));
            }
        }
        self.add_made_on(&mut closing, plan);
        closing
    }
}

fn is_unread(room: &Room) -> bool {
    room.unsettled().any(|closer| matches!(closer.cause, Cause::Damage { .. }))
}

fn terminal_of(entry: &Entry) -> String {
    entry.terminal_name().to_owned()
}

pub(crate) fn check_of(entry: &Entry, room: Code, began: Time) -> Check {
    Check { number: entry.number, room, began, done: entry.happened, terminal: terminal_of(entry), under: None }
}

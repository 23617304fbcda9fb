//! When is a bed open? Answered from the raw entries alone, in the slowest and plainest way.
//!
//! It was written from the rules in words, without a look at the fold, and shares none of its code. It keeps no state:
//! every question scans the entries again. Where the words are silent it may allow more than the fold does; where they are
//! clear it does not. So the property is one-sided: what the fold calls open, this must call open too.

mod clocks;
mod lines;
mod needs;

use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, Depth, Entry, Feel, Known, Number, Place, Time};
use dryhold::domain::people::{Person, Role};
use dryhold::domain::policy::{Policy, Setting};

use lines::{Lines, Verdict};
use needs::{Suspicion, Until};

pub(super) const END: Number = Number(u64::MAX);
const WHOLE: Until = Until { facts: END, voids: END };

/// Why the bed is not open. Empty: it may be open.
pub(super) fn closed_reasons(entries: &[Entry], bed: Code, now: Time) -> Vec<String> {
    let lines = Lines::new(entries);
    let mut rooms: Vec<Code> = vec![];
    for entry in &lines.all {
        if let (Body::RoomSet { .. }, Some(room)) = (&entry.body, entry.place.first_room())
            && !rooms.contains(&room)
        {
            rooms.push(room);
        }
    }
    let Some(room) = rooms.iter().copied().find(|room| lines.beds(*room, END).contains(&bed)) else {
        return vec!["there is no such bed".to_owned()];
    };
    let mut reasons = vec![];
    lines.occupancy_reasons(bed, room, now, &mut reasons);
    lines.walk_reasons(bed, room, &mut reasons);
    lines.room_reasons(room, &mut reasons);
    for space in rooms.into_iter().filter(|space| lines.has_served(*space, room)) {
        lines.room_reasons(space, &mut reasons);
    }
    reasons
}

impl<'a> Lines<'a> {
    fn room_reasons(&self, room: Code, reasons: &mut Vec<String>) {
        self.damage_reasons(room, reasons);
        for entry in &self.all {
            if self.touches(entry, room) && !self.is_settled(entry, room, END) {
                reasons.push(format!("{room}: entry {} is unsettled: {}", entry.number, self.why(entry, room)));
            }
            self.other_room_reasons(entry, room, reasons);
        }
    }

    fn why(&self, entry: &Entry, room: Code) -> String {
        match self.void_of_closer(entry, END) {
            Some(void) => format!("void {} needs a second person's look", void.number),
            None => match self.lacks(entry, room, WHOLE) {
                lacks if lacks.is_empty() => "unsigned".to_owned(),
                lacks => lacks.join(", "),
            },
        }
    }

    /// Whether an entry closes the room until somebody signs for it.
    fn is_closer(&self, entry: &Entry, room: Code) -> bool {
        match &entry.body {
            Body::Sprayed { .. } | Body::Prepared { .. } | Body::OutOfService { .. } => true,
            // It names the room that it came from, too: that one goes on as before.
            Body::ThingArrived { .. } => entry.place.first_room() == Some(room),
            Body::PatientOut { .. } => true,
            // From a clear room it closes nothing.
            Body::PatientMoved { receiving, .. } => *receiving == Some(room) && self.came_from_a_case(entry, room),
            Body::DryChecked { zones, .. } => zones.iter().any(|(_, feel)| *feel == Feel::Damp),
            Body::SecondChecked { zones, not_made, .. } => {
                let beds = self.beds(room, entry.number);
                zones.iter().any(|(_, feel)| *feel == Feel::Damp) || not_made.iter().any(|bed| beds.contains(bed))
            }
            Body::WardWalked { wet: Some(wet), .. } => wet.contains(&room),
            // The room that it left goes on as before; where it goes is closed for it.
            Body::ThingLeft { to, .. } => *to == Some(room) && entry.place.first_room() != Some(room),
            _ => self.suspicion(entry, room).is_some(),
        }
    }

    /// Whether the patient left another room in which, as the ledger stood then, something was unsettled that may be bed bugs
    /// or came of treating them.
    fn came_from_a_case(&self, moved: &Entry, to: Code) -> bool {
        let key = (moved.number, to);
        if let Some(known) = self.cases.borrow().get(&key) {
            return *known;
        }
        let Body::PatientMoved { beds, .. } = &moved.body else { return false };
        let rooms = self.rooms_at(moved.number).into_iter();
        let left: Vec<Code> =
            rooms.filter(|room| self.beds(*room, moved.number).iter().any(|bed| beds.contains(bed))).collect();
        let is_case = !left.contains(&to)
            && left.iter().any(|room| {
                self.before(moved.number).filter(|entry| self.touches(entry, *room)).any(|entry| {
                    let of_case = match &entry.body {
                        Body::Sprayed { .. } | Body::DryChecked { .. } | Body::PatientMoved { .. } => true,
                        Body::ThingLeft { .. } | Body::ThingArrived { .. } => true,
                        _ => self.suspicion(entry, *room).is_some(),
                    };
                    of_case && self.is_closer(entry, *room) && !self.is_settled(entry, *room, moved.number)
                })
            });
        self.cases.borrow_mut().insert(key, is_case);
        is_case
    }

    /// The rooms that were set by then.
    fn rooms_at(&self, until: Number) -> Vec<Code> {
        let mut rooms: Vec<Code> = self
            .before(until)
            .filter(|entry| matches!(entry.body, Body::RoomSet { .. }))
            .filter_map(|entry| entry.place.first_room())
            .collect();
        rooms.sort();
        rooms.dedup();
        rooms
    }

    /// Whether nothing of this entry holds the room closed, as the ledger stood before `until`.
    pub(super) fn is_settled(&self, closer: &Entry, room: Code, until: Number) -> bool {
        if !self.is_closer(closer, room) {
            return true;
        }
        let all = Until { facts: until, voids: until };
        if let Some(void) = self.void_of_closer(closer, until) {
            return self.is_settled_otherwise(closer, room, void.number)
                || self.was_looked_at(closer, void, room, until);
        }
        let stripped_only = matches!(closer.body, Body::Prepared { .. }) && !self.lacks(closer, room, all).is_empty();
        !stripped_only && self.is_settled_otherwise(closer, room, until)
    }

    /// By the signature that its kind asks for.
    fn is_settled_otherwise(&self, closer: &Entry, room: Code, until: Number) -> bool {
        let all = Until { facts: until, voids: until };
        let returned = || self.is_returned(closer, room, until);
        match &closer.body {
            Body::OutOfService { .. } => self.has_signature(closer, room, until, |entry| {
                let lead = |p: &Person| p.is_lead_at(entry.noted);
                matches!(&entry.body, Body::InService { closing, .. } if *closing == closer.number)
                    && self.may(entry, lead)
            }),
            Body::PatientOut { receiving, .. }
                if *receiving == Some(room) && closer.place.first_room() != Some(room) =>
            {
                self.clean_inspection(closer, room, all) || returned()
            }
            Body::PatientMoved { .. } => self.clean_inspection(closer, room, all) || returned(),
            Body::ThingLeft { .. } | Body::ThingArrived { .. } => {
                (self.clean_inspection(closer, room, all) || returned()) && self.is_thing_dry(closer, room, all)
            }
            Body::Prepared { .. } | Body::PatientOut { .. } => {
                let nothing_applied = self.has_signature(closer, room, until, |entry| {
                    matches!(entry.body, Body::NothingApplied { .. }) && self.may(entry, |_| true)
                });
                nothing_applied || returned()
            }
            Body::Sprayed { .. } | Body::DryChecked { .. } | Body::SecondChecked { .. } | Body::WardWalked { .. } => {
                returned()
            }
            _ => match self.suspicion(closer, room) {
                Some(Suspicion::Suspects) if self.clean_inspection(closer, room, all) => true,
                Some(_) if self.lacks(closer, room, all).is_empty() && self.clean_inspection(closer, room, all) => true,
                _ => returned(),
            },
        }
    }

    fn has_signature(&self, closer: &Entry, room: Code, until: Number, is: impl Fn(&Entry) -> bool) -> bool {
        self.between(closer.number, until)
            .any(|entry| is(entry) && self.signature_counts(entry, room) && !self.is_voided(entry.number, until))
    }

    /// A second person looked in the room, neither the one who voided nor one who noted or did the voided thing.
    fn was_looked_at(&self, closer: &Entry, void: &Entry, room: Code, until: Number) -> bool {
        self.between(void.number, until).any(|look| {
            let involved = [void.done_by, void.noted_by, closer.done_by, closer.noted_by];
            let allowed =
                |p: &Person| p.trained_to_inspect || p.role == Role::InfectionPrevention || p.is_lead_at(look.noted);
            matches!(&look.body, Body::Looked { void: of, .. } if *of == void.number)
                && !involved.contains(&look.done_by)
                && self.may(look, allowed)
                && self.signature_counts(look, room)
                && !self.is_voided(look.number, until)
        })
    }

    // Return to service.

    /// A return that stands and at which the closer lacked nothing.
    pub(super) fn is_returned(&self, closer: &Entry, room: Code, until: Number) -> bool {
        self.between(closer.number, until).any(|entry| {
            matches!(entry.body, Body::ReturnedToService { .. })
                && self.return_stands(entry, room, until)
                && self.lacks(closer, room, Until { facts: entry.number, voids: until }).is_empty()
        })
    }

    /// The return counted when it was signed, and nothing that it rests on was voided since.
    fn return_stands(&self, signed: &Entry, room: Code, until: Number) -> bool {
        let Some(settled) = self.verdict(signed, room) else { return false };
        let newest = settled.iter().copied().max().unwrap_or_default();
        !self.is_voided(signed.number, until)
            && self.was_checked_by_two(signed, room, newest, until)
            && settled.iter().filter_map(|number| self.get(*number)).all(|closer| {
                let voids = match self.void_of_closer(closer, until) {
                    Some(_) => signed.number,
                    None => until,
                };
                self.lacks(closer, room, Until { facts: signed.number, voids }).is_empty()
            })
    }

    /// Where the policy wants two people: somebody else found all of it dry and made, after everything that the return
    /// settles was noted, and has not taken that back.
    fn was_checked_by_two(&self, signed: &Entry, room: Code, newest: Number, until: Number) -> bool {
        let is_owed = self.policy(signed.number).is_on(Setting::SecondSignature);
        !is_owed
            || self.between(newest, signed.number).any(|check| {
                matches!(check.body, Body::SecondChecked { .. })
                    && !self.is_closer(check, room)
                    && self.is_second(Some(check.done_by), signed)
                    && check.done_by == check.noted_by
                    && self.may(check, |_| true)
                    && self.signature_counts(check, room)
                    && !self.is_voided(check.number, until)
            })
    }

    /// Taken on the entries before the return, with the voids known then. None: it does not count.
    fn verdict(&self, signed: &Entry, room: Code) -> Verdict {
        let known = self.verdicts.borrow().get(&(signed.number, room)).cloned();
        if let Some(known) = known {
            return known;
        }
        let verdict = self.take_verdict(signed, room);
        self.verdicts.borrow_mut().insert((signed.number, room), verdict.clone());
        verdict
    }

    fn take_verdict(&self, signed: &Entry, room: Code) -> Verdict {
        let Body::ReturnedToService { .. } = &signed.body else { return None };
        if !self.is_about(signed, room)
            || !self.signature_counts(signed, room)
            || signed.done_by != signed.noted_by
            || !self.may(signed, |p| p.is_lead_at(signed.noted))
        {
            return None;
        }
        let then = Until { facts: signed.number, voids: signed.number };
        let mut settled = vec![];
        for closer in self.before(signed.number).filter(|entry| self.touches(entry, room)) {
            let of_return =
                !matches!(closer.body, Body::OutOfService { .. } | Body::ThingLeft { .. } | Body::ThingArrived { .. })
                    && self.is_closer(closer, room)
                    && self.void_of_closer(closer, signed.number).is_none();
            if !of_return || self.is_settled(closer, room, signed.number) {
                continue;
            }
            if !self.lacks(closer, room, then).is_empty() {
                return None;
            }
            settled.push(closer.number);
        }
        let newest = settled.iter().copied().max().unwrap_or_default();
        if !self.was_checked_by_two(signed, room, newest, signed.number) {
            return None;
        }
        Some(settled)
    }

    // What closes without being about treatment.

    fn other_room_reasons(&self, entry: &Entry, room: Code, reasons: &mut Vec<String>) {
        match &entry.body {
            Body::PatientOut { receiving: Some(receiving), .. } if *receiving == room && !self.touches(entry, room) => {
                let counts = self.clean_inspection(entry, room, WHOLE) || self.is_returned(entry, room, END);
                if !counts && self.void_of_closer(entry, END).is_none() {
                    reasons.push(format!("{room}: it received a patient by entry {}", entry.number));
                }
            }
            Body::PatientMoved { receiving: Some(receiving), .. }
                if *receiving == room && !self.touches(entry, room) && self.came_from_a_case(entry, room) =>
            {
                let counts = self.clean_inspection(entry, room, WHOLE) || self.is_returned(entry, room, END);
                if !counts && self.void_of_closer(entry, END).is_none() {
                    reasons.push(format!("{room}: it received a patient of a case by entry {}", entry.number));
                }
            }
            Body::Voided { entry: voided, really_in: Some(really), .. } if *really == room => {
                let of_spray = self.get(*voided).is_some_and(|e| matches!(e.body, Body::Sprayed { .. }));
                let looked = self.between(entry.number, END).any(|later| {
                    let settles = matches!(&later.body, Body::Looked { void, .. } if *void == entry.number)
                        || (matches!(later.body, Body::ReturnedToService { .. })
                            && self.return_stands(later, room, END));
                    settles && self.signature_counts(later, room) && !self.is_voided(later.number, END)
                });
                if of_spray && *voided < entry.number && !looked {
                    reasons.push(format!("{room}: spray {voided} was really here, says {}", entry.number));
                }
                let of_finding = self.get(*voided).is_some_and(|found| {
                    let elsewhere = matches!(&found.place, Place::Rooms(rooms) if !rooms.contains(&room));
                    elsewhere && self.suspicion(found, room).is_some() && !self.is_contested(found)
                });
                let noted_here = self
                    .between(*voided, entry.number)
                    .any(|later| self.touches(later, room) && self.suspicion(later, room).is_some());
                let settled = looked || self.clean_inspection(entry, room, WHOLE);
                if of_finding && *voided < entry.number && !noted_here && !settled {
                    reasons.push(format!("{room}: finding {voided} was really here, says {}", entry.number));
                }
            }
            _ => {}
        }
    }

    /// Lines that are missing, stand twice, or cannot be read, and that nobody attested.
    fn damage_reasons(&self, room: Code, reasons: &mut Vec<String>) {
        let attested = |line: Number, one_room: bool| {
            self.all.iter().any(|entry| {
                let Body::Attested { line: of, through, .. } = &entry.body else { return false };
                let said = |second: &Entry| {
                    matches!(&second.body, Body::SecondAttested { line, .. } if line == of)
                        && second.number > *of
                        && self.is_second(Some(second.done_by), entry)
                        && second.done_by == second.noted_by
                        && self.may(second, |_| true)
                        && !self.is_voided(second.number, END)
                };
                let allowed = |p: &Person| p.role == Role::InfectionPrevention || p.is_lead_at(entry.noted);
                (*of..=through.unwrap_or(*of)).contains(&line)
                    && entry.number > line
                    && self.may(entry, allowed)
                    && (one_room || self.before(entry.number).any(said))
                    && self.signature_counts(entry, room)
                    && !self.is_voided(entry.number, END)
            })
        };
        for line in self.missing.iter().filter(|line| !attested(**line, false)) {
            reasons.push(format!("{room}: line {line} is missing"));
        }
        for line in self.doubled.iter().filter(|line| !attested(**line, false)) {
            reasons.push(format!("{room}: line {line} is there twice"));
        }
        // A line about a room or ward that there was not may have been about any.
        let names_nothing = |entry: &&&Entry| match &entry.place {
            Place::Rooms(rooms) => rooms.iter().any(|other| self.room_sets(*other, entry.number).is_empty()),
            Place::Ward(ward) => !self
                .before(entry.number)
                .any(|set| matches!(&set.body, Body::WardSet { .. }) && set.place == Place::Ward(*ward)),
            Place::Hospital | Place::Unknown => false,
        };
        // What a clock shows is said of a terminal, wherever that stands.
        let counts = |entry: &&&Entry| {
            let is_of_a_place = !matches!(entry.body, Body::ClockSaid { .. }) && !entry.body.is_setting();
            is_of_a_place && !entry.body.is_read_by_no_rule()
        };
        for entry in self.all.iter().filter(counts).filter(names_nothing) {
            if !attested(entry.number, false) {
                reasons.push(format!("{room}: line {} is about a place that there is not", entry.number));
            }
        }
        for entry in self.all.iter().filter(|entry| self.touches(entry, room)) {
            // However often it is named.
            let one_room = matches!(&entry.place, Place::Rooms(rooms) if rooms.iter().all(|other| *other == room));
            if matches!(entry.body, Body::Unreadable { .. }) && !attested(entry.number, one_room) {
                reasons.push(format!("{room}: line {} is unreadable", entry.number));
            }
        }
    }

    /// Where entries may be missing, the walk says what was asked and what was wet, once the longest label's time was over.
    pub(super) fn tells_of(&self, after: Number, walk: &Entry) -> bool {
        let Body::WardWalked { words, wet, .. } = &walk.body else { return false };
        let Some(gap) = self.get(after) else { return true };
        let until = match gap.body {
            Body::Restored { .. } | Body::WentBack { .. } | Body::EndLost { .. } => gap.noted,
            Body::Downtime { until, .. } => until.min(gap.noted),
            _ => return true,
        };
        let minutes = |entry: &Entry| match &entry.body {
            Body::ProductSet(product) if self.setting_counts(entry) => product.reentry_minutes,
            _ => None,
        };
        let mut longest = std::collections::BTreeMap::new();
        for entry in self.before(walk.number) {
            if let (Body::ProductSet(product), true) = (&entry.body, self.setting_counts(entry)) {
                longest.insert(product.code, minutes(entry).unwrap_or(0));
            }
        }
        let longest = longest.into_values().max().unwrap_or(0);
        words.as_ref().is_some_and(|words| !words.trim().is_empty())
            && wet.is_some()
            && walk.happened >= until + chrono::TimeDelta::minutes(longest.into())
    }

    /// A lead's walk of the ward after an entry.
    fn was_walked_since(&self, after: Number, room: Code) -> bool {
        self.between(after, END).any(|walk| {
            self.tells_of(after, walk)
                && self.may(walk, |p| p.is_lead_at(walk.noted))
                && self.signature_counts(walk, room)
                && !self.is_voided(walk.number, END)
        })
    }

    /// Setup, restore, a ledger gone back: closed until the ward is walked.
    fn walk_reasons(&self, bed: Code, room: Code, reasons: &mut Vec<String>) {
        let with_bed = self.room_sets(room, END).into_iter().find(|set| set.beds.iter().any(|b| b.code == bed));
        let again = self.all.iter().filter(|entry| {
            let may_lack = matches!(
                entry.body,
                Body::Restored { .. } | Body::WentBack { .. } | Body::EndLost { .. } | Body::Downtime { .. }
            );
            may_lack && self.touches(entry, room)
        });
        let since = with_bed.map(|set| set.number).into_iter().chain(again.map(|entry| entry.number));
        for number in since.filter(|number| !self.was_walked_since(*number, room)) {
            reasons.push(format!("{room}: its ward was not walked since entry {number}"));
        }
    }

    /// Whether the space serves the room, or served it until a setting that nobody walked the ward for.
    fn has_served(&self, space: Code, room: Code) -> bool {
        let sets = self.room_sets(space, END);
        let newest = sets.len().saturating_sub(1);
        sets.iter().enumerate().any(|(at, set)| {
            let superseded = sets.get(at + 1).map(|next| next.number);
            set.serves.contains(&room)
                && (at == newest || superseded.is_some_and(|by| !self.was_walked_since(by, room)))
        })
    }

    // Occupancy.

    fn occupancy_reasons(&self, bed: Code, room: Code, now: Time, reasons: &mut Vec<String>) {
        let empty = |shift: Setting, policy: &Policy| {
            self.all.iter().any(|entry| {
                let says_empty = match &entry.body {
                    Body::Emptied { beds }
                    | Body::PatientOut { beds, .. }
                    | Body::PatientMoved { beds, own_bed: false, answers: None, .. } => beds.contains(&bed),
                    Body::OccupancyConfirmed { empty, occupied, .. } => {
                        empty.contains(&bed) && !occupied.contains(&bed)
                    }
                    _ => false,
                };
                let preparing = matches!(entry.body, Body::PatientOut { .. } | Body::PatientMoved { .. });
                let allowed = |p: &Person| {
                    let prepares = matches!(p.role, Role::Housekeeper | Role::Technician);
                    p.role == Role::ChargeNurse || p.is_lead_at(entry.happened) || (preparing && prepares)
                };
                says_empty
                    && now - entry.happened <= policy.minutes(shift)
                    && self.may(entry, allowed)
                    && self.fact_counts(entry)
                    && !self.is_voided(entry.number, END)
                    && !self.was_occupied_after(bed, entry)
            })
        };
        // A setting that would open a bed holds only once the ward was walked.
        let mut in_force = vec![self.policy(END)];
        for entry in &self.all {
            let key = match &entry.body {
                Body::PolicySet { key, .. } => Setting::from_key(key),
                _ => None,
            };
            if matches!(key, Some(Setting::OccupancyKept | Setting::ShiftMinutes))
                && !self.was_walked_since(entry.number, room)
            {
                in_force.push(self.policy(entry.number));
            }
        }
        for policy in in_force.iter().filter(|policy| policy.is_on(Setting::OccupancyKept)) {
            if !empty(Setting::ShiftMinutes, policy) {
                reasons.push(format!("{bed} is not known to be empty"));
                return;
            }
        }
    }

    /// Occupied by an entry that the empty one does not come after in both orders.
    fn was_occupied_after(&self, bed: Code, empty: &Entry) -> bool {
        self.all.iter().any(|entry| {
            let says_occupied = match &entry.body {
                Body::Occupied { beds } => beds.contains(&bed),
                Body::OccupancyConfirmed { occupied, .. } => occupied.contains(&bed),
                // A patient lies in one of the beds there: in this one, unless another was named.
                Body::PatientMoved { beds, own_bed: true, answers: None, .. } => beds.contains(&bed),
                Body::PatientOut { receiving: Some(room), receiving_bed, .. }
                | Body::PatientMoved { receiving: Some(room), receiving_bed, .. } => {
                    let beds = self.beds(*room, END);
                    let named = receiving_bed.filter(|named| beds.contains(named));
                    beds.contains(&bed) && (named == Some(bed) || (named.is_none() && entry.number > empty.number))
                }
                _ => false,
            };
            let told = (self.late(entry, entry.happened, END), self.early(empty, empty.happened, END));
            let before = entry.number < empty.number && told.0 < told.1;
            says_occupied && !before && !self.is_voided(entry.number, END)
        })
    }
}

/// What the oracle itself answers in the plainest cases, so that it cannot be vacuous unnoticed.
mod tests {
    use super::super::hospital::{self, code, minutes, start};
    use super::*;
    use dryhold::domain::entry::{Sighting, Sign};

    #[test]
    fn a_walked_and_empty_hospital_is_open_and_one_only_set_up_is_not() {
        let later = start() + minutes(60);
        for bed in hospital::BEDS {
            assert_eq!(closed_reasons(&hospital::opened(), code(bed), later), Vec::<String>::new());
            assert!(!closed_reasons(&hospital::settings(), code(bed), later).is_empty());
            let next_day = start() + minutes(24 * 60);
            assert!(!closed_reasons(&hospital::opened(), code(bed), next_day).is_empty());
        }
    }

    #[test]
    fn a_finding_closes_its_room_and_a_shared_bathroom_both_of_its_rooms() {
        let seen = vec![Sighting { sign: Sign::DarkSpots, zone: None }];
        let finding = Body::Finding { seen, wiped_before: Known::Unknown, note: String::new() };
        for (room, closed) in [("103", &["103-A"][..]), ("BATH", &["101-A", "101-B", "102-A"])] {
            let mut entries = hospital::opened();
            let number = entries.len() as u64 + 1;
            let noted = start() + minutes(40);
            entries.push(hospital::entry(number, noted, "HK", Place::room(code(room)), finding.clone()));
            for bed in hospital::BEDS {
                let reasons = closed_reasons(&entries, code(bed), start() + minutes(60));
                assert_eq!(!reasons.is_empty(), closed.contains(&bed), "{bed}: {reasons:?}");
            }
        }
    }

    #[test]
    fn a_daily_look_is_no_full_inspection() {
        let mut entries = hospital::opened();
        let room = code("103");
        let number = entries.len() as u64 + 1;
        let at = |offset: i64| start() + minutes(offset);
        let bites = Body::Finding {
            seen: vec![Sighting { sign: Sign::ReportedBites, zone: None }],
            wiped_before: Known::Unknown,
            note: String::new(),
        };
        entries.push(hospital::entry(number, at(40), "HK", Place::room(room), bites));
        let lines = Lines::new(&entries);
        let looks = lines.zones(room, END).into_iter();
        let looks: Vec<_> = looks.map(|(zone, _)| dryhold::domain::entry::ZoneLook { zone, seen: vec![] }).collect();
        for (depth, open) in [(Depth::Daily, false), (Depth::Full, true)] {
            let mut entries = entries.clone();
            let body = Body::Inspected {
                depth,
                method: dryhold::domain::entry::InspectionMethod::Visual,
                began: at(45),
                looks: looks.clone(),
                note: String::new(),
                seen: Number(number),
            };
            entries.push(hospital::entry(number + 1, at(60), "HT", Place::room(room), body));
            let reasons = closed_reasons(&entries, code("103-A"), at(61));
            assert_eq!(reasons.is_empty(), open, "{depth:?}: {reasons:?}");
        }
    }
}

//! Less of a spray than was noted of it: a wrong end, a label with a nought too many, a zone that nobody sprayed.
//!
//! Whatever is stated only adds, so that one person's mistake would keep a room closed for days. Two people who read the same
//! off the label or the slip lower it. Nothing changes before the second one, and no label falls below the hospital's list.

use std::sync::Arc;

use chrono::TimeDelta;

use super::apply::{No, Reading};
use super::book::Listed;
use super::room::{Cause, Closer};
use super::two::{Joint, Pair};
use super::{Board, ExceptionKind};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::facility::Zone;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::surface::{Less, Statement, Surface};

/// What one of two people says of a spray.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct LessSaid {
    pub(super) spray: Number,
    pub(super) rooms: Vec<Code>,
    ended: Option<Time>,
    label: Option<TimeDelta>,
    /// In no order.
    zones: Option<Vec<Zone>>,
}

/// A correction that counts, and what it took away.
#[derive(Clone, Debug)]
pub(super) struct Lessened {
    /// The entries of the two.
    by: [Number; 2],
    spray: Number,
    room: Code,
    /// The list's code of what was sprayed, and the minutes that are left of its label.
    label: Option<(Option<Code>, TimeDelta)>,
    before: Less,
}

impl Board {
    /// The list has a longer label for what was sprayed: it counts for every spray of it that is not settled yet, and starts no
    /// clock. A shorter one says nothing of what was sprayed before.
    pub(super) fn label_on_the_list(&mut self, entry: &Entry, product: Code, label: TimeDelta) {
        let is_of_it = |closer: &&Closer| closer.cause == Cause::Spray && closer.product == Some(product);
        let mut longer: Vec<(Code, Number)> = vec![];
        for (code, room) in self.rooms() {
            for number in room.all_closers().filter(is_of_it).map(|closer| closer.number) {
                let Some(spray) = self.surfaces().spray(code, number) else { continue };
                // Of what was settled in its own room, something that was carried on may be wet.
                let is_open = room.unsettled().any(|closer| closer.number == number)
                    || self.surfaces().dry_since(code, spray).is_none();
                if is_open && spray.label.is_none_or(|known| known < label) {
                    longer.push((code, number));
                }
            }
        }
        for (code, spray) in longer {
            let statement =
                Statement { number: entry.number, noted: entry.noted, label: Some(label), ..Statement::default() };
            self.state_of_spray(code, spray, &statement);
            let now = self.surfaces().spray(code, spray).map(|it| (it.ended, it.label)).unwrap_or_default();
            let room = self.room_mut(code);
            room.restate(spray, now.0, now.1);
            room.newest = room.newest.max(entry.number);
        }
    }

    pub(super) fn correct_spray(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::SprayCorrected { spray, zones, finished, reentry_minutes, .. } = &entry.body else { return Ok(()) };
        let knows = |code: &Code| self.room(*code).is_some_and(|room| room.knows_spray(*spray).is_some());
        let rooms: Vec<Code> = self.rooms_of(&entry.place).into_iter().filter(knows).collect();
        if rooms.is_empty() {
            return Err(No::new(Rule::Target, format!("entry {spray} is no spray of this room")));
        }
        let label = reentry_minutes.map(|minutes| TimeDelta::minutes(minutes.into()));
        let mut said = LessSaid { spray: *spray, rooms, ended: *finished, label, zones: zones.clone() };
        if let Some(zones) = &mut said.zones {
            zones.sort();
            zones.dedup();
        }
        for room in &said.rooms {
            self.is_less(*room, &said)?;
        }
        let Some(other) = self.said_by_two(entry, Joint::Less(said.clone()), Pair::LeadAndAnother)? else {
            return Ok(());
        };
        let unknown = self.unknown_label();
        for room in said.rooms.clone() {
            self.lessen(room, &said, [other, entry.number], entry.happened);
        }
        self.longest_label = self.longest_label_left();
        let left = self.unknown_label();
        if left < unknown {
            self.surfaces_mut().unknown_lowered(unknown, left);
        }
        Ok(())
    }

    /// Why this is not less than is known of the spray, or less than it may be.
    fn is_less(&self, code: Code, said: &LessSaid) -> Result<(), No> {
        let LessSaid { spray, ended, label, zones, .. } = said;
        let no = |text: String| Err(No::new(Rule::SprayLess, text));
        let (Some(known), Some(closer)) =
            (self.surfaces().spray(code, *spray), self.room(code).and_then(|room| room.knows_spray(*spray)))
        else {
            return Ok(());
        };
        if ended.is_none() && label.is_none() && zones.is_none() {
            return no("say what of the spray was less: its end, the label's minutes or its zones".to_owned());
        }
        if let Some(ended) = *ended {
            if ended < known.begun {
                let begun = self.clock(known.begun);
                return no(format!("the spraying began at {begun}, and cannot have ended before that"));
            }
            match known.ended {
                None => return no(format!("nobody said when the spraying of entry {spray} ended: complete it")),
                Some(at) if at <= ended => {
                    let at = self.clock(at);
                    return no(format!(
                        "the spraying ended at {at} by what is noted, and that is no later: complete it"
                    ));
                }
                Some(_) => {}
            }
        }
        if let Some(label) = *label {
            match known.label {
                None => return no(format!("no label words are on file for the spray of entry {spray}: complete it")),
                Some(minutes) if minutes <= label => {
                    let minutes = minutes.num_minutes();
                    return no(format!(
                        "its label has {minutes} minutes by what is noted, and that is no more: complete it"
                    ));
                }
                Some(_) => {}
            }
            self.is_on_the_list(closer, code, label)?;
        }
        let Some(zones) = zones else { return Ok(()) };
        let is_open = self.room(code).is_some_and(|room| room.unsettled().any(|c| c.number == *spray));
        if closer.voided.is_some() || !is_open {
            return no(format!("nothing waits for the zones of the spray of entry {spray} any more"));
        }
        let named: Vec<Surface> = zones.iter().flat_map(|zone| self.surfaces_named(code, *zone)).collect();
        if let Some(zone) = zones.iter().find(|zone| {
            let of_it = self.surfaces_named(code, **zone);
            of_it.is_empty() || !of_it.iter().any(|it| known.wetted.contains(it))
        }) {
            return no(format!(
                "{zone} was not sprayed by what is noted: what was sprayed besides completes the spray"
            ));
        }
        match named.is_empty() || known.wetted.iter().all(|it| named.contains(it)) {
            true => no("those are all the zones that are noted as sprayed: leave the zones out".to_owned()),
            false => Ok(()),
        }
    }

    /// The label never falls below the minutes that the list has for what was sprayed; where it has none, below what counts where
    /// nobody knows what was sprayed.
    fn is_on_the_list(&self, closer: &Closer, room: Code, label: TimeDelta) -> Result<(), No> {
        let listed = closer.product.and_then(|code| self.products().get(&code)).filter(|it| it.reentry_words.is_some());
        let (floor, what) = match listed {
            Some(it) => {
                (TimeDelta::minutes(it.reentry_minutes.unwrap_or(0).into()), format!("the list has for {}", it.code))
            }
            None => {
                let others = self.labels_left(Some((room, closer.number)));
                let unknown = others.max(self.policy().minutes(Setting::UnknownLabelMinutes));
                (unknown, "count where no label is on the list".to_owned())
            }
        };
        if label >= floor {
            return Ok(());
        }
        let minutes = floor.num_minutes();
        let text = format!(
            "the label of a spray never falls below the {minutes} minutes that {what}: if the list is wrong, it is put right first"
        );
        Err(No::new(Rule::SprayLess, text))
    }

    fn lessen(&mut self, code: Code, said: &LessSaid, by: [Number; 2], done: Time) {
        let Some(known) = self.surfaces().spray(code, said.spray).cloned() else { return };
        let named: Option<Vec<Surface>> =
            said.zones.as_ref().map(|zones| zones.iter().flat_map(|zone| self.surfaces_named(code, *zone)).collect());
        let to = Less { ended: said.ended, label: said.label, named };
        let out = self.surfaces_mut().lessened(code, said.spray, &to, (by[1], done));
        let zones: Vec<Zone> =
            out.iter().map(|surface| self.name_in(*surface, code)).chain(out.iter().map(|it| it.zone())).collect();
        let now = self.surfaces().spray(code, said.spray).map(|it| (it.ended, it.label)).unwrap_or_default();
        let product = self.room(code).and_then(|room| room.knows_spray(said.spray)).and_then(|closer| closer.product);
        let room = self.room_mut(code);
        room.restate(said.spray, now.0, now.1);
        room.unpay(said.spray, &zones);
        let lessened = Lessened {
            by,
            spray: said.spray,
            room: code,
            label: said.label.map(|label| (product, label)),
            before: Less { ended: known.ended, label: known.label, named: Some(out) },
        };
        Arc::make_mut(&mut self.lessened).push(lessened);
        self.note_exception(by[1], Some(code), ExceptionKind::SprayLess(said.spray));
    }

    /// The longest of the labels' minimums on the list, as it ever was, and of the sprays, without those that two people called a
    /// mistake.
    fn longest_label_left(&self) -> TimeDelta {
        self.labels_left(None)
    }

    /// `but`: a spray that is left out, with what the list had for the product then and has no more.
    fn labels_left(&self, but: Option<(Code, Number)>) -> TimeDelta {
        // What the list had when that spray was noted. What it had before was of other cans.
        let is_mistake = |listed: &Listed| {
            self.lessened.iter().any(|it| {
                let was_listed = listed.set < it.spray && listed.replaced.is_none_or(|by| by > it.spray);
                was_listed && it.label.is_some_and(|(of, label)| of == Some(listed.product) && listed.minutes > label)
            })
        };
        let listed = self.settings.book.labels().filter(|it| it.replaced.is_none() || !is_mistake(it));
        let listed = listed.map(|it| it.minutes).max().unwrap_or_default();
        listed.max(self.surfaces().longest_label(but))
    }

    /// Whether a record may be read off this entry: of a correction by two only off the second one that counts.
    pub fn tells_of_spray(&self, entry: &Entry) -> bool {
        !matches!(entry.body, Body::SprayCorrected { .. }) || self.is_lessened_by(entry.number)
    }

    /// Whether this entry was the second of two that lowered what was said of a spray.
    pub fn is_lessened_by(&self, number: Number) -> bool {
        self.lessened.iter().any(|it| it.by[1] == number)
    }

    /// Who said of a spray of this room that it was less, while the other of the two has not: the spray and the person.
    pub fn less_said_of(&self, room: Code) -> Option<(Number, Code)> {
        self.halves().find_map(|half| match &half.says {
            Joint::Less(said) if said.rooms.contains(&room) => Some((said.spray, half.by)),
            Joint::Less(_) | Joint::TimeOut(_) | Joint::Lost(..) => None,
        })
    }

    /// What two people said and one of them takes back is as it was before. Says whether there was anything of that number.
    pub(super) fn void_lessened(&mut self, target: Number, (by, noted): (Number, Time)) -> bool {
        let (undone, left): (Vec<Lessened>, Vec<Lessened>) =
            self.lessened.iter().cloned().partition(|it| it.by.contains(&target));
        if undone.is_empty() {
            return false;
        }
        self.lessened = Arc::new(left);
        for it in &undone {
            let Less { ended, label, named } = it.before.clone();
            let statement =
                Statement { number: by, noted, ended, label, named: named.unwrap_or_default(), counts: false };
            self.state_of_spray(it.room, it.spray, &statement);
            let now = self.surfaces().spray(it.room, it.spray).map(|it| (it.ended, it.label)).unwrap_or_default();
            self.longest_label = self.longest_label.max(now.1.unwrap_or_default());
            let room = self.room_mut(it.room);
            room.restate(it.spray, now.0, now.1);
            room.newest = room.newest.max(by);
        }
        self.longest_label = self.longest_label.max(self.longest_label_left());
        true
    }
}

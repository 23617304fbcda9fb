//! Linens that are kept in a room: no bed is made from them unless that room is clear, by whatever words it is named; and where it
//! comes to light that it was not, the bed is made again.

use super::Board;
use super::apply::No;
use super::room::{Cause, Closer};
use super::state::State;
use super::wetness::A_DAY;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::need::Need;
use crate::domain::rule::Rule;
use crate::domain::surface::Surface;

/// Words by themselves that name no stock: not knowing, or what was on the bed before.
const NO_STOCK: [&str; 32] = [
    "none",
    "unknown",
    "no",
    "na",
    "n",
    "a",
    "nil",
    "not",
    "known",
    "nothing",
    "any",
    "some",
    "yes",
    "the",
    "its",
    "same",
    "own",
    "old",
    "as",
    "before",
    "again",
    "unchanged",
    "changed",
    "linen",
    "linens",
    "ones",
    "sheets",
    "bedding",
    "was",
    "were",
    "it",
    "bed",
];

impl Board {
    /// Stock is named; stock from a room counts only while that room is clear.
    pub(super) fn stock_may_be_used(&self, source: &str, at: Time) -> Result<(), No> {
        let all = words(source);
        if all.iter().all(|word| NO_STOCK.contains(&word.as_str())) {
            return Err(No::new(Rule::Linens, "name where the stock is kept"));
        }
        if let Some(room) = self.rooms_in(source).into_iter().find(|room| self.state(*room) != State::Clear) {
            let text = format!("stock kept in room {room} does not count: it is {}", self.state(room));
            return Err(No::new(Rule::Linens, text));
        }
        if let Some(room) = self.rooms_in(source).into_iter().find(|room| self.hides_something(*room)) {
            let text = format!("stock kept in room {room} does not count: nobody can read what was noted there");
            return Err(No::new(Rule::Linens, text));
        }
        if let Some(bag) = self.bag_in(source) {
            let text = format!("bag {bag} is not laundered yet: name the stock that the linens came from");
            return Err(No::new(Rule::Linens, text));
        }
        let tags = source.split_whitespace().map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
        for tag in tags.filter_map(|tag| Code::new(tag).ok()) {
            if self.rooms().any(|(_, room)| room.had_bag(tag).is_some()) {
                let text =
                    format!("{tag} is a bag's tag, and no stock: name the bag as such, or where the stock is kept");
                return Err(No::new(Rule::Linens, text));
            }
        }
        if let Some(tag) = self.things_in(source).into_iter().find(|tag| self.is_thing_wet(tag.as_str())) {
            let text = format!("{tag} is wet, as far as is noted: what is kept on it is no clean stock");
            return Err(No::new(Rule::Linens, text));
        }
        let kept_on = self.things_in(source).into_iter().flat_map(|tag| self.surfaces().of_tag(tag).to_vec());
        let kept_on = kept_on.chain(self.parts_in(source));
        if let Some(spray) = kept_on.into_iter().find_map(|surface| self.sprayed_and_not_bagged(surface, at)) {
            let text = format!(
                "what it is kept on was sprayed (entry {spray}), and none of it was put into a bag since: bag and launder it, or name other stock"
            );
            return Err(No::new(Rule::Linens, text));
        }
        Ok(())
    }

    /// A spray that hit this by then, as far as what was kept on it went into no bag between.
    pub(super) fn sprayed_and_not_bagged(&self, surface: Surface, at: Time) -> Option<Number> {
        let is_left = |(room, number): &(Code, Number)| {
            let Some(spray) = self.surfaces().spray(*room, *number).filter(|it| it.is_spray && it.begun <= at) else {
                return false;
            };
            let stood = |code: Code, c: &Closer| self.surfaces().rooms_at(surface, c.happened, c.number) == [code];
            let is_since = |code: Code, c: &Closer| {
                c.spray() == *number || (c.happened >= spray.begun && c.happened <= at && stood(code, c))
            };
            let is_bag = |code: Code, c: &Closer| {
                c.voided.is_none() && is_since(code, c) && c.needs.iter().any(|need| matches!(need, Need::Bag(_)))
            };
            let has_bag = |code: Code| self.room(code).is_some_and(|it| it.all_closers().any(|c| is_bag(code, c)));
            !self.surfaces().rooms_of(surface).into_iter().chain([*room]).any(has_bag)
        };
        self.surfaces().hit_by(surface).into_iter().rfind(is_left).map(|(_, number)| number)
    }

    /// The parts of rooms that these words name with their room.
    pub(super) fn parts_in(&self, text: &str) -> Vec<Surface> {
        let words = words(text);
        let rooms = self.rooms_in(text);
        let plans = rooms.iter().filter_map(|code| self.facility().room(*code));
        let zones = plans.flat_map(|plan| plan.all_zones().map(move |zone| (plan.code, zone)));
        let named = zones.filter(|(_, zone)| zone.bed.is_none() && speaks_of(&words, zone.part.as_str()));
        named.flat_map(|(room, zone)| self.surfaces_named(room, zone)).collect()
    }

    /// The tags of things that these words may name.
    pub(super) fn things_in(&self, text: &str) -> Vec<Code> {
        let words = words(text);
        let tags = self.surfaces().tags().map(|(tag, _)| tag);
        tags.filter(|tag| speaks_of(&words, tag.as_str())).collect()
    }

    /// The rooms that these words may name, or in which a bed or a thing may stand that they name.
    pub(super) fn rooms_in(&self, text: &str) -> Vec<Code> {
        let words = words(text);
        let facility = self.facility();
        let is_named = |name: &str| speaks_of(&words, name);
        let named = facility.rooms.values().filter(|plan| is_named(plan.code.as_str()) || is_named(&plan.name));
        let mut rooms: Vec<Code> = named.map(|plan| plan.code).collect();
        // Whose code may be a word of any text is a bed only where a bed is spoken of.
        let after = words.iter().position(|word| word == "bed" || word == "beds").map(|at| &words[at + 1..]);
        for bed in after.into_iter().flat_map(|_| facility.rooms.values()).flat_map(|plan| &plan.beds) {
            if after.is_some_and(|words| speaks_of(words, bed.code.as_str())) {
                rooms.extend(self.rooms_of_bed(bed.code));
            }
        }
        rooms.extend(self.things_in(text).iter().flat_map(|tag| self.rooms_of_thing(tag.as_str())));
        rooms.sort();
        rooms.dedup();
        rooms
    }

    /// A bag in these words that nobody has laundered.
    fn bag_in(&self, text: &str) -> Option<Code> {
        let words = words(text);
        let open = self.rooms.values().flat_map(|room| room.evidence()).filter(|it| it.met_by.is_none());
        let bags = open.filter_map(|it| if let Need::Bag(tag) = it.need { Some(tag) } else { None });
        bags.into_iter().find(|tag| speaks_of(&words, tag.as_str()))
    }

    /// The thing was wet at this time, or may have stood in a room that was not clear.
    pub(super) fn was_kept_badly(&self, tag: Code, (at, number): (Time, Number)) -> bool {
        self.surfaces().of_tag(tag).iter().any(|thing| {
            let rooms = self.surfaces().rooms_at(*thing, at, number);
            self.surfaces().shown(*thing).wet.is_some_and(|wet| wet.from <= at)
                || self.sprayed_and_not_bagged(*thing, at).is_some()
                || rooms.into_iter().any(|room| self.was_not_clear(room, at))
        })
    }

    /// Something that nobody has settled was so in the room at this time, or before.
    pub(super) fn was_not_clear(&self, code: Code, at: Time) -> bool {
        let Some(room) = self.room(code) else { return false };
        let since = |c: &Closer| {
            let sprayed = self.surfaces().spray(code, c.number).map(|spray| spray.begun);
            // What nobody can read may tell of something that was so the day before.
            let unread =
                matches!(c.cause, Cause::Damage { .. }).then(|| c.happened.checked_sub_signed(A_DAY)).flatten();
            [c.begun, sprayed, unread].into_iter().flatten().fold(c.happened, Time::min)
        };
        let is_wet_since = room.dryness().wet().filter_map(|it| it.wet.as_ref()).any(|wet| wet.from <= at);
        is_wet_since || room.unsettled().any(|c| is_unclear(c.cause) && since(c) <= at)
    }
}

/// Whether a room is not clear while this is unsettled.
fn is_unclear(cause: Cause) -> bool {
    match cause {
        Cause::Suspicion { .. }
        | Cause::Confirmed
        | Cause::Spray
        | Cause::Supplied { .. }
        | Cause::Damp
        | Cause::Wiped
        | Cause::Damage { .. }
        | Cause::Brought { wet: true } => true,
        Cause::Brought { wet: false }
        | Cause::PatientsOut
        | Cause::Prepared
        | Cause::OutOfService
        | Cause::Walk
        | Cause::Received
        | Cause::Left { .. } => false,
    }
}

/// The words of a text, in small letters, without what stands between them.
fn words(text: &str) -> Vec<String> {
    let all = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    all.map(str::to_lowercase).collect()
}

/// Whether these words name it, however it is written there: `3N-07`, `3n 07`, `3N07`.
fn speaks_of(said: &[String], name: &str) -> bool {
    let name = words(name).concat();
    let from = |at: usize| {
        let mut rest = name.as_str();
        for word in &said[at..] {
            match rest.strip_prefix(word.as_str()) {
                Some("") => return true,
                Some(left) => rest = left,
                None => return false,
            }
        }
        false
    };
    !name.is_empty() && (0..said.len()).any(from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_room_is_named_by_whole_words_however_they_are_joined() {
        let is_named = |text: &str| speaks_of(&words(text), "3N-07");
        for text in ["3N-07", "3n07's cupboard", "shelf of 3N 07", "3n_07-A", "in (3N.07)"] {
            assert!(is_named(text), "{text}");
        }
        for text in ["", "3N-070", "13N-07", "3N", "07", "3N-1 07", "store 3N 1"] {
            assert!(!is_named(text), "{text}");
        }
    }
}

//! What two people sign: the second one's own findings, given before the first one signs and without the first one's answers.
//!
//! The second person is no name that the first one types. It is an entry of that person's own: what was felt and seen in
//! the room, or what a damaged entry said. What differs closes; what agrees is what the first one's signature rests on.

use std::sync::Arc;

use super::apply::{No, Reading, closer};
use super::room::{Cause, Room, Signature, SignatureKind};
use super::{Board, EverywhereClosed};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Feel, Lost, Number};
use crate::domain::facility::Zone;
use crate::domain::need::Need;
use crate::domain::people::Role;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::surface::Surface;

/// What somebody said of a damaged entry as the second of two.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct SecondAttest {
    pub(super) number: Number,
    line: Number,
    through: Number,
    by: Code,
}

/// What two people say of another entry, an entry each, who have to say the same.
#[derive(Clone, PartialEq, Debug)]
pub(super) enum Joint {
    /// The time of this entry is that of a wrong clock.
    TimeOut(Number),
    /// A spray was less than was noted of it.
    Less(super::less::LessSaid),
    /// Nobody finds the thing or bag of this tag.
    Lost(Lost, Code),
}

impl Joint {
    /// Whether it is said of the same.
    fn is_about(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::TimeOut(one), Self::TimeOut(two)) => one == two,
            (Self::Less(one), Self::Less(two)) => one.spray == two.spray,
            (Self::Lost(..), Self::Lost(..)) => self == other,
            (Self::TimeOut(_) | Self::Less(_) | Self::Lost(..), _) => false,
        }
    }
}

/// Who the two have to be.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Pair {
    LeadAndAnother,
    LeadAndPrevention,
}

/// What one of the two said, while the other has not.
#[derive(Clone, Debug)]
pub(super) struct Half {
    number: Number,
    pub(super) by: Code,
    is_lead: bool,
    is_prevention: bool,
    pub(super) says: Joint,
    /// What was known of it then. Once more is known, each of the two reads it off again.
    knew: Known,
}

/// What is known of whatever two people speak of.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
struct Known {
    /// The newest entry that told of it.
    told: Number,
    /// What came to light as wetted by it.
    wetted: Vec<(Code, Surface)>,
}

impl Pair {
    /// Whether these two may say it together. The error says who has to be among them.
    fn is_of(self, one: &Half, other: &Half) -> Result<(), &'static str> {
        match self {
            Self::LeadAndAnother if one.is_lead || other.is_lead => Ok(()),
            Self::LeadAndAnother => Err("one of the two is the lead"),
            Self::LeadAndPrevention if one.is_lead && other.is_prevention => Ok(()),
            Self::LeadAndPrevention if one.is_prevention && other.is_lead => Ok(()),
            Self::LeadAndPrevention => Err("the two are the lead and infection prevention"),
        }
    }
}

impl Board {
    /// What one of two people says. Gives the other one's entry, if this is the second that says the same; until then it is kept,
    /// and changes nothing. Whoever says it anew says it in place of what that person had said before.
    pub(super) fn said_by_two(&mut self, entry: &Entry, says: Joint, pair: Pair) -> Result<Option<Number>, No> {
        let no = |text: String| Err(No::new(Rule::SecondSignature, text));
        let by = entry.noted_by;
        let person = self.person(by);
        let is_lead = person.is_some_and(|person| person.is_lead_at(entry.noted));
        let is_prevention = person.is_some_and(|person| person.role == Role::InfectionPrevention);
        let knew = self.known_of_joint(&says);
        let half = Half { number: entry.number, by, is_lead, is_prevention, says, knew };
        // What was said before more came to light is no half of it any more.
        let is_stale = |it: &Half| it.says.is_about(&half.says) && it.knew != half.knew;
        if self.halves.iter().any(is_stale) {
            Arc::make_mut(&mut self.halves).retain(|it| !is_stale(it));
        }
        if self.halves.iter().any(|it| it.by == by && it.says == half.says) {
            return no("you have said so already: the other of the two is somebody else".to_owned());
        }
        let others: Vec<&Half> = self.halves.iter().filter(|it| it.by != by && it.says.is_about(&half.says)).collect();
        let mut why = None;
        let mut other = None;
        for it in &others {
            match pair.is_of(&half, it) {
                _ if it.says != half.says => {
                    let text = format!(
                        "{} said otherwise in entry {}: each reads it off again, and whoever was wrong says it anew",
                        it.by, it.number
                    );
                    why = why.or(Some(text));
                }
                Ok(()) => other = Some(it.number),
                Err(who) => why = why.or(Some(who.to_owned())),
            }
        }
        let halves = Arc::make_mut(&mut self.halves);
        match (other, why) {
            (Some(_), _) => halves.retain(|it| !it.says.is_about(&half.says)),
            (None, Some(why)) => return no(why),
            (None, None) => {
                halves.retain(|it| it.by != by || !it.says.is_about(&half.says));
                halves.push(half);
            }
        }
        Ok(other)
    }

    fn known_of_joint(&self, says: &Joint) -> Known {
        match says {
            // An entry's time is its own: nothing that is said later says more of it.
            Joint::TimeOut(_) => Known::default(),
            Joint::Less(less) => {
                let sprays =
                    || less.rooms.iter().filter_map(|room| Some((*room, self.surfaces().spray(*room, less.spray)?)));
                let told = sprays().map(|(_, spray)| spray.told).max().unwrap_or_default();
                let wetted = sprays().flat_map(|(room, spray)| spray.wetted.iter().map(move |it| (room, *it)));
                Known { told, wetted: wetted.collect() }
            }
            Joint::Lost(Lost::Thing, tag) => {
                let told = self.surfaces().of_tag(*tag).iter().map(|it| self.surfaces().last_told(*it)).max();
                Known { told: told.unwrap_or_default(), wetted: vec![] }
            }
            Joint::Lost(Lost::Bag, tag) => {
                let asks = self.rooms().flat_map(|(_, room)| room.unsettled());
                let told = asks.filter(|c| c.needs.contains(&Need::Bag(*tag))).map(|c| c.number).max();
                Known { told: told.unwrap_or_default(), wetted: vec![] }
            }
        }
    }

    /// What one of two said, and nothing came to light since.
    pub(super) fn halves(&self) -> impl Iterator<Item = &Half> {
        self.halves.iter().filter(|half| half.knew == self.known_of_joint(&half.says))
    }

    /// Who has to say the same by an entry of their own, before what this entry says counts. None: it waits for nobody.
    pub fn waits_for_the_other(&self, number: Number) -> Option<&'static str> {
        let half = self.halves().find(|half| half.number == number)?;
        Some(match (&half.says, half.is_lead) {
            (Joint::Lost(..), true) => "infection prevention",
            (Joint::Lost(..), false) | (Joint::TimeOut(_) | Joint::Less(_), false) => "the housekeeping lead",
            (Joint::TimeOut(_) | Joint::Less(_), true) => "a second person",
        })
    }

    /// Who gives up this thing or bag, while the other of the two has not; and who that is.
    pub fn half_given_up(&self, what: Lost, tag: Code) -> Option<(Code, &'static str)> {
        let half = self.halves().find(|half| half.says == Joint::Lost(what, tag))?;
        Some((half.by, self.waits_for_the_other(half.number)?))
    }

    /// Takes back what one of two had said. Says whether there was anything of that number.
    pub(super) fn void_half(&mut self, target: Number) -> bool {
        let is_it = |half: &Half| half.number == target;
        let found = self.halves.iter().any(is_it);
        if found {
            Arc::make_mut(&mut self.halves).retain(|half| !is_it(half));
        }
        found
    }

    /// Whether the policy wants two people for a return, and the second has not found the room as it should be since
    /// anything changed in it.
    pub fn lacks_second_check(&self, room: Code) -> bool {
        self.policy().is_on(Setting::SecondSignature) && self.room(room).is_some_and(|it| it.second_check().is_none())
    }

    /// Where the policy wants two people: who checked the room as the second one, if that stands.
    pub fn second_person_of(&self, room: Code) -> Option<Code> {
        let check = self.room(room).and_then(Room::second_check).map(|(_, by)| by);
        check.filter(|_| self.policy().is_on(Setting::SecondSignature))
    }

    /// What a second person would check in this room, zone by zone and bed by bed, each by the name that it has now. What stands
    /// elsewhere is checked there.
    pub fn to_check_again(&self, room: Code) -> (Vec<Zone>, Vec<Code>) {
        let (mut zones, mut beds) = (vec![], vec![]);
        let Some(room) = self.room(room) else { return (zones, beds) };
        let asked = room.returnable().flat_map(|closer| closer.needs.iter());
        for need in asked.filter(|need| !room.dryness().is_elsewhere(**need)) {
            match need {
                Need::Dry(zone) => {
                    for it in room.dryness().called_now(*zone) {
                        if !zones.contains(&it) {
                            zones.push(it);
                        }
                    }
                }
                Need::Made(bed) if !beds.contains(bed) => beds.push(*bed),
                _ => {}
            }
        }
        (zones, beds)
    }

    /// What was damp, or not made, closes whoever noted it. All dry and made is kept for the lead's signature.
    pub(super) fn second_check(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        let entry = reading.entry;
        let Body::SecondChecked { zones, made, not_made, .. } = &entry.body else { return Ok(()) };
        let damp: Vec<Zone> = zones.iter().filter(|(_, feel)| *feel == Feel::Damp).map(|(zone, _)| *zone).collect();
        if !damp.is_empty() || !not_made.is_empty() {
            for plan in self.plans(entry) {
                self.wet_by_touch(entry, plan.code, &damp, Some(entry.happened));
                let mut closing = self.with_dry(closer(entry, Cause::Damp, vec![]), &plan, &damp);
                for bed in not_made.iter().filter(|bed| plan.has_bed(**bed) || self.is_bed_in(**bed, plan.code)) {
                    if !closing.needs.contains(&Need::Made(*bed)) {
                        closing.needs.push(Need::Made(*bed));
                    }
                }
                if !closing.needs.is_empty() {
                    self.room_mut(plan.code).close(closing);
                }
            }
            return Ok(());
        }
        self.signature_counts(reading)?;
        let mut refused = None;
        for code in self.rooms_of(&entry.place) {
            match self.second_check_of(code, entry.noted_by, zones, made) {
                Ok(rests_on) => {
                    let kind = SignatureKind::SecondChecked { by: entry.noted_by };
                    let signature = Signature { number: entry.number, kind, settles: vec![], rests_on, stands: true };
                    self.room_mut(code).sign(signature);
                }
                Err(no) => refused = refused.or(Some(no)),
            }
        }
        refused.map_or(Ok(()), Err)
    }

    /// What the second person's check rests on; or what it lacks.
    fn second_check_of(&self, code: Code, by: Code, zones: &[(Zone, Feel)], made: &[Code]) -> Result<Vec<Number>, No> {
        let nothing = Room::default();
        let room = self.room(code).unwrap_or(&nothing);
        if room.returnable().next().is_none() {
            return Err(No::new(Rule::NothingToReturn, format!("room {code} was neither prepared nor treated")));
        }
        let (mut missing, rests_on) = room.return_lacks();
        missing.extend(self.look_before_return(code).err());
        if !missing.is_empty() {
            let text = "the second check comes last, just before the lead signs; still missing".to_owned();
            return Err(No { rule: Rule::ReturnSigned, text, missing });
        }
        if room.hands_behind_return().contains(&by) {
            let text = "you noted some of what is checked here: the second check is for somebody else";
            return Err(No::new(Rule::SecondSignature, text));
        }
        let (all_zones, all_beds) = self.to_check_again(code);
        let zones_left = all_zones.iter().filter(|zone| zones.iter().all(|(felt, _)| felt != *zone));
        let beds_left = all_beds.iter().filter(|bed| !made.contains(bed));
        let left: Vec<String> =
            zones_left.map(ToString::to_string).chain(beds_left.map(|bed| format!("bed {bed}"))).collect();
        if !left.is_empty() {
            let text = format!("the second check leaves out {}: say each by itself", left.join(", "));
            return Err(No::new(Rule::SecondSignature, text));
        }
        Ok(rests_on)
    }

    /// Who checked the room as the second person, for a return that this person signs.
    pub(super) fn second_for_return(&self, code: Code, first: Code) -> Result<Option<Number>, No> {
        if !self.policy().is_on(Setting::SecondSignature) {
            return Ok(None);
        }
        match self.room(code).and_then(Room::second_check) {
            Some((_, by)) if by == first => {
                let text = "you checked it as the second person: another lead signs";
                Err(No::new(Rule::SecondSignature, text))
            }
            Some((number, _)) => Ok(Some(number)),
            None => {
                let text = "a second person checks the room first, by hand and without the first one's answers";
                Err(No::new(Rule::SecondSignature, text))
            }
        }
    }

    /// Whether the entry that nobody can read is more than one room's, so that two people say what it was.
    pub fn is_attested_by_two(&self, line: Number) -> bool {
        self.everywhere().any(|closed| closed.number == line) || self.damaged_by(line).len() > 1
    }

    /// Who said first, as the second of two, what this entry was. None: nobody did yet.
    pub fn second_attest(&self, line: Number) -> Option<Code> {
        self.second_attests.iter().rev().find(|it| it.line == line).map(|it| it.by)
    }

    /// The rooms that this entry closes for its damage.
    pub(super) fn damaged_by(&self, line: Number) -> Vec<Code> {
        let of_line = |c: &super::Closer| c.number == line && matches!(c.cause, Cause::Damage { .. });
        self.rooms().filter(|(_, room)| room.unsettled().any(of_line)).map(|(code, _)| code).collect()
    }

    /// Kept for the first one's signature; settles nothing.
    pub(super) fn attest_second(&mut self, reading: &Reading<'_>) -> Result<(), No> {
        self.signature_counts(reading)?;
        let entry = reading.entry;
        let Body::SecondAttested { line, through, .. } = &entry.body else { return Ok(()) };
        if !self.is_attested_by_two(*line) {
            let text = match self.damaged_by(*line).is_empty() {
                true => format!("entry {line} needs no attesting"),
                false => format!("entry {line} is one room's: the lead or infection prevention attests it alone"),
            };
            return Err(No::new(Rule::Target, text));
        }
        let said =
            SecondAttest { number: entry.number, line: *line, through: through.unwrap_or(*line), by: entry.noted_by };
        Arc::make_mut(&mut self.second_attests).push(said);
        Ok(())
    }

    /// Settles a damaged entry, in its room or for the whole hospital. More than one room needs two people.
    pub(super) fn attest(&mut self, reading: &Reading<'_>, line: Number, through: Number) -> Result<(), No> {
        use crate::domain::entry::Place;
        let entry = reading.entry;
        let rooms = self.damaged_by(line);
        let covers = |closed: &EverywhereClosed| closed.number == line && closed.through <= through;
        if let Some(gap) = self.everywhere().find(|closed| closed.number == line && !covers(closed)) {
            let text = format!("entries {line} to {} are missing: attest all of them", gap.through);
            return Err(No::new(Rule::Target, text));
        }
        let everywhere = self.everywhere().any(covers);
        if rooms.is_empty() && !everywhere {
            return Err(No::new(Rule::Target, format!("entry {line} needs no attesting")));
        }
        let mut second = None;
        if everywhere || rooms.len() > 1 {
            let fits = |it: &&SecondAttest| it.line == line && it.through >= through && it.by != entry.noted_by;
            let Some(found) = self.second_attests.iter().rev().find(fits) else {
                let text = "a second person says first, in own words, what it was";
                return Err(No::new(Rule::SecondSignature, text));
            };
            second = Some(found.number);
        }
        let covered = self.rooms_of(&entry.place);
        let shown =
            matches!(entry.place, Place::Hospital) || (!everywhere && rooms.iter().all(|r| covered.contains(r)));
        if !shown {
            return Err(No::new(Rule::Seen, "attest it for the whole place that it closes"));
        }
        for closed in Arc::make_mut(&mut self.everywhere).iter_mut().filter(|c| covers(c)) {
            closed.attested_by = Some(entry.number);
            closed.seconded_by = second;
        }
        for code in rooms {
            let kind = SignatureKind::Attested;
            let rests_on = second.into_iter().collect();
            let signature = Signature { number: entry.number, kind, settles: vec![line], rests_on, stands: true };
            self.room_mut(code).sign(signature);
        }
        Ok(())
    }

    /// Takes back what the second of two said, and what rests on it. Says whether there was anything of that number.
    pub(super) fn void_second_attest(&mut self, target: Number) -> bool {
        let Some(at) = self.second_attests.iter().position(|it| it.number == target) else { return false };
        Arc::make_mut(&mut self.second_attests).remove(at);
        for closed in Arc::make_mut(&mut self.everywhere).iter_mut().filter(|c| c.seconded_by == Some(target)) {
            (closed.attested_by, closed.seconded_by) = (None, None);
        }
        let codes: Vec<Code> = self.rooms.keys().copied().collect();
        for code in codes {
            if self.room(code).is_some_and(|room| room.rests_on(target)) {
                self.room_mut(code).fell(target);
            }
        }
        true
    }
}

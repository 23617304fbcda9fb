//! People who do what the program names next, honestly: they feel what is really there, they tick only what they felt, and
//! they wait for the label.

use super::place::{BEDS, ROOMS, Room, Spot, What, ward_of};
use super::program::{Ask, No, Program};
use super::said::Say;
use super::scene::{Failure, Scene};
use super::slips::Slip;
use super::truth::Key;

/// How one attempt went.
#[derive(Debug)]
pub(super) enum Went {
    Noted,
    Refused(No),
    /// Nothing that an honest person could note.
    Nothing(String),
}

impl From<Result<u64, No>> for Went {
    fn from(told: Result<u64, No>) -> Self {
        match told {
            Ok(_) => Self::Noted,
            Err(no) => Self::Refused(no),
        }
    }
}

/// (c) "People who follow only what the program names as next step open every bed within 40 entries a room."
const ENTRIES_A_ROOM: usize = 40;

impl<P: Program> Scene<P> {
    /// Everybody works for a while; nobody waits.
    pub(super) fn rounds(&mut self, rooms: &[Room], slips: &[Slip]) {
        for room in rooms {
            let mut last = "";
            for _ in 0..14 {
                if self.failure.is_some() || self.room_is_open(*room) {
                    break;
                }
                let Some(verb) = self.next_verb(*room) else { break };
                match self.work(verb, *room, slips) {
                    Went::Noted => last = "",
                    Went::Refused(no) => {
                        let Some(mend) = no.mend.filter(|mend| *mend != verb && *mend != last) else { break };
                        last = mend;
                        if !matches!(self.work(mend, *room, slips), Went::Noted) {
                            break;
                        }
                    }
                    Went::Nothing(_) => break,
                }
            }
        }
    }

    fn room_is_open(&self, room: Room) -> bool {
        self.program.book_beds(room).iter().all(|bed| self.program.is_open(*bed, self.now))
    }

    fn next_verb(&self, room: Room) -> Option<&'static str> {
        let step = self.program.next_step(room, self.now);
        step.or_else(|| self.program.tasks(room, self.now).first().copied())
    }

    /// (c) Then people follow what the program names until every bed is open; a story that cannot be ended is a failure.
    pub(super) fn live(&mut self) {
        let mut used = [0; ROOMS.len()];
        let mut stuck: [Option<(String, String)>; ROOMS.len()] = Default::default();
        let began = self.now;
        let mut idle = 0;
        while self.failure.is_none() {
            let closed: Vec<Room> = (0..ROOMS.len()).filter(|room| !self.room_is_open(*room)).collect();
            if closed.is_empty() {
                return;
            }
            let mut moved = false;
            // Where no bed stands the work goes on as well: something of a bed may wait for it.
            let is_bedless = |room: &Room| self.program.book_beds(*room).is_empty() && self.next_verb(*room).is_some();
            let bedless: Vec<Room> = (0..ROOMS.len()).filter(is_bedless).collect();
            for room in closed.into_iter().chain(bedless.iter().copied()) {
                let is_bedless = bedless.contains(&room);
                if self.failure.is_some() || (self.room_is_open(room) && !is_bedless) {
                    continue;
                }
                if is_bedless && (used[room] >= ENTRIES_A_ROOM || self.next_verb(room).is_none()) {
                    continue;
                }
                if used[room] >= ENTRIES_A_ROOM {
                    return self.cannot_end(room, "more than 40 entries", stuck[room].take());
                }
                let before = self.notes.len();
                let went = self.one_step(room);
                used[room] += self.notes.len() - before;
                match went {
                    // To say again that a bed is empty brings nobody on.
                    Went::Noted => {
                        let last = self.notes.last().map(|note| &note.say);
                        if !matches!(last, Some(Say::Empty { .. })) {
                            moved = true;
                            idle = 0;
                        }
                    }
                    Went::Refused(no) => stuck[room] = Some((no.rule.to_owned(), no.text)),
                    Went::Nothing(why) => stuck[room] = Some(("nothing to note".to_owned(), why)),
                }
            }
            if !moved {
                idle += 1;
                self.now += 60;
            }
            // Long enough for every label and every drying of a story.
            if idle > 72 || self.now - began > 6 * 24 * 60 {
                let closed = |room: &Room| !self.room_is_open(*room);
                let by_itself = |room: &Room| self.next_verb(*room) != Some("occupancy");
                let first = (0..ROOMS.len()).filter(closed).find(by_itself);
                let room = first.or_else(|| (0..ROOMS.len()).find(closed)).unwrap_or(0);
                return self.cannot_end(room, "stuck", stuck[room].take());
            }
        }
    }

    fn cannot_end(&mut self, room: Room, how: &str, why: Option<(String, String)>) {
        let verb = self.next_verb(room).unwrap_or("nothing");
        let (rule, text) = why.unwrap_or_default();
        let why = format!("room {} cannot be opened ({how}): next step {verb}; {rule}: {text}", ROOMS[room]);
        let known = self.program.why(room);
        self.log(|_| format!("!! {why}\n     {known}"));
        self.failure = Some(Failure { part: 'c', kind: format!("{how} at {verb}, {rule}"), why, at: self.now });
    }

    fn one_step(&mut self, room: Room) -> Went {
        let Some(verb) = self.next_verb(room) else {
            // Whoever has gone home is noted by the ward in any case.
            return match self.work("empty", room, &[]) {
                Went::Refused(no) if no.mend == Some("clock") => self.work("clock", room, &[]),
                went => went,
            };
        };
        match self.work(verb, room, &[]) {
            Went::Refused(no) => match no.mend.filter(|mend| *mend != verb) {
                Some(mend) => match self.work(mend, room, &[]) {
                    Went::Noted => Went::Noted,
                    _ => Went::Refused(no),
                },
                None => Went::Refused(no),
            },
            went => went,
        }
    }

    /// Does what this verb says in this room.
    fn work(&mut self, verb: &str, room: Room, slips: &[Slip]) -> Went {
        let others = |people: &[&'static str]| -> Vec<&'static str> {
            let not_for = self.program.not_for(room, self.now);
            people.iter().copied().filter(|by| !not_for.iter().any(|no| no == by)).collect()
        };
        let now = self.now;
        match verb {
            "dry-check" => self.feel_what_is_asked(room, slips),
            "complete-spray" => self.supply(room),
            "correct-spray" => {
                let keys: Vec<Key> = self.truth.sprays.iter().map(|it| it.key).collect();
                let went = keys.into_iter().rev().filter_map(|key| self.tell_less(key, 0));
                went.reduce(|best, next| if matches!(best, Went::Noted) { best } else { next })
                    .unwrap_or_else(|| Went::Nothing("no more was noted of a spray than was".to_owned()))
            }
            "look" => {
                let mut last = Went::Nothing("no look is asked for".to_owned());
                let by = others(&["IP", "TE", "H2", "LD", "L2"]);
                for ask in self.program.asks(room, self.now) {
                    if let Ask::Look(void) = ask {
                        last = self.tell(&by, 0, self.now, Say::Look { room, void }, None).into();
                        if matches!(last, Went::Noted) {
                            break;
                        }
                    }
                }
                last
            }
            "treat-zone" => {
                let asked = self.program.asks(room, self.now).into_iter();
                let zones: Vec<String> =
                    asked.filter_map(|it| if let Ask::Treat(zone) = it { Some(zone) } else { None }).collect();
                let there: Vec<String> =
                    zones.iter().filter(|it| !self.truth.found_as(it, room).is_empty()).cloned().collect();
                match there.is_empty() {
                    // What is not there is noted where it stands.
                    true => match self.look_for(room, &zones) {
                        Went::Nothing(_) => Went::Nothing("what is to be treated is not there".to_owned()),
                        went => went,
                    },
                    false => self.tell(&["TE"], 0, now, Say::Treat { room, zones: there }, None).into(),
                }
            }
            "make-bed" => {
                let asked = self.program.asks(room, self.now).into_iter();
                let bed = asked.filter_map(|it| if let Ask::Make(bed) = it { Some(bed) } else { None }).next();
                match bed.and_then(|bed| BEDS.iter().position(|known| *known == bed)) {
                    Some(bed) => self.tell(&["HK"], 0, now, Say::Made { room, bed }, None).into(),
                    None => Went::Nothing("no bed is asked for".to_owned()),
                }
            }
            "launder" => {
                let asked = self.program.asks(room, self.now).into_iter();
                let bag = asked.filter_map(|it| if let Ask::Bag(bag) = it { Some(bag) } else { None }).next();
                match bag {
                    Some(bag) if slips.contains(&Slip::LookedThrough) => {
                        self.tell(&["LA"], 0, now, Say::LookedThrough { room, bag }, None).into()
                    }
                    Some(bag) => {
                        self.now += 60;
                        let say = Say::Launder { room, bag, well: !slips.contains(&Slip::BadLoad) };
                        self.tell(&["LA"], 0, self.now, say, None).into()
                    }
                    None => Went::Nothing("no bag is asked for".to_owned()),
                }
            }
            "inspect" => {
                self.now += 10;
                let say = Say::Inspect { room, began: now + 1 };
                self.tell(&["TE"], 0, self.now, say, None).into()
            }
            "return" => {
                let by = others(&["LD", "L2"]);
                self.tell(&by, 0, now, Say::Return { room }, None).into()
            }
            "ward-walk" => {
                let before = self.notes.len();
                let _ = self.walk(self.program.ward_to_walk(room, self.now).unwrap_or(ward_of(room)));
                match self.notes.len() > before {
                    true => Went::Noted,
                    false => Went::Nothing("the walk was refused".to_owned()),
                }
            }
            "occupancy" | "empty" => {
                let mut went = Went::Nothing("no bed to note".to_owned());
                for bed in self.program.book_beds(room) {
                    if !self.program.is_open(bed, self.now) {
                        went = self.tell(&["CN"], 0, self.now, Say::Empty { bed, room }, None).into();
                    }
                }
                went
            }
            "move-patient" => match self.program.bed_to_leave(room, now) {
                Some(bed) => self.tell(&["CN"], 0, now, Say::PatientOut { bed, room }, None).into(),
                None => Went::Nothing("no bed there".to_owned()),
            },
            "thing-arrived" => match self.bring_back(room) {
                Went::Nothing(_) => self.say_that_it_came(room),
                went => went,
            },
            "thing-seen" => self.see_the_parts(room),
            "set-room" => self.set_the_beds(room),
            "clock" => self.answer_for_the_clock(),
            "wrong-time" => Went::Nothing("it is waited for".to_owned()),
            other => Went::Nothing(format!("nobody here knows how to do {other}")),
        }
    }

    /// Feels what the list asks for, as far as it stands there.
    fn feel_what_is_asked(&mut self, room: Room, slips: &[Slip]) -> Went {
        let began = self.now;
        let mut asked: Vec<String> = vec![];
        for ask in self.program.asks(room, self.now) {
            if let Ask::Dry(zone) = ask
                && !asked.contains(&zone)
            {
                asked.push(zone);
            }
        }
        let listed = self.program.to_feel(room).unwrap_or_else(|| asked.clone());
        if asked.iter().any(|name| listed.contains(name)) {
            asked.retain(|name| listed.contains(name));
        } else if !listed.is_empty() {
            // What is asked for by a bed's tag is felt part by part.
            asked = listed;
        }
        let (mut dry, mut damp, mut still) = (vec![], vec![], vec![]);
        let (mut is_away, mut is_false) = (vec![], false);
        for name in asked {
            let found = self.truth.found_as(&name, room);
            match found.is_empty() {
                true if slips.contains(&Slip::TicksTheList) => {
                    is_false = true;
                    dry.push(name);
                }
                true => is_away.push(name),
                false if found.iter().all(|it| self.truth.would_feel_dry(*it, began)) => dry.push(name),
                // What is damp is noted once, and felt again.
                false if found.iter().all(|it| self.damp_noted.contains(it)) => still.push(name),
                false => damp.push(name),
            }
        }
        if dry.is_empty() && damp.is_empty() && still.is_empty() {
            // What is not there is noted where it stands.
            let told = self.look_for(room, &is_away);
            if matches!(told, Went::Noted) {
                return told;
            }
        }
        if dry.is_empty() && damp.is_empty() {
            if let Some(tag) = is_away.iter().find(|name| self.bears_nothing(name)).cloned() {
                return self.give_up(&tag);
            }
            return match still.is_empty() {
                true => Went::Nothing(format!("{} is not there to be felt", is_away.join(", "))),
                false => Went::Nothing(format!("{} is still damp", still.join(", "))),
            };
        }
        self.now += 2;
        let say = Say::Check { room, began, dry: dry.clone(), damp: damp.clone() };
        let key = 3000 + self.notes.len() as Key;
        let told = self.tell(&["HK", "H2"], 0, self.now, say, Some(key).filter(|_| is_false));
        if is_false && told.is_ok() {
            self.false_checks.push(key);
        }
        if told.is_ok() {
            for name in &damp {
                let found = self.truth.found_as(name, room);
                self.damp_noted.extend(found);
            }
            for name in &dry {
                for surface in self.truth.found_as(name, room) {
                    self.truth.touch(surface, began);
                }
            }
        }
        told.into()
    }

    /// A tag that nothing in any room bears: somebody misread it, or what it was on is out of the house.
    pub(super) fn bears_nothing(&self, tag: &str) -> bool {
        // A bed that was rolled is looked for by its parts.
        let is_bed = tag.starts_with("BED-");
        let is_tag = !is_bed && (0..ROOMS.len()).all(|room| super::place::on_the_list(tag, room).is_none());
        is_tag && (0..ROOMS.len()).all(|room| self.truth.found_as(tag, room).is_empty())
    }

    /// Every ward is walked for it, and then two people give it up.
    pub(super) fn give_up(&mut self, tag: &str) -> Went {
        // Nobody looks through the house again for what was given up within the hour.
        let is_same = |it: &super::said::Note| matches!(&it.say, Say::GivenUp { tag: of } if of == tag);
        if self.notes.iter().filter(|it| is_same(it) && it.noted > self.now - 60).count() > 1 {
            return Went::Nothing(format!("{tag} was given up just now"));
        }
        // A ward that cannot be walked yet is waited for, before anybody walks the others again.
        for ward in 0..super::place::WARDS.len() {
            let walked = self.walk(ward);
            if !matches!(walked, Went::Noted) {
                return walked;
            }
        }
        let say = Say::GivenUp { tag: tag.to_owned() };
        match self.tell(&["LD"], 0, self.now, say.clone(), None) {
            Ok(_) => self.tell(&["IP"], 0, self.now, say, None).into(),
            Err(no) => Went::Refused(no),
        }
    }

    /// Says of a spray what it left out, as it was.
    fn supply(&mut self, room: Room) -> Went {
        let asked = self.program.asks(room, self.now);
        let Some(spray) = asked.iter().find_map(|ask| if let Ask::Unstated(it) = ask { Some(*it) } else { None })
        else {
            return match self.program.waited_for(room) {
                Some(other) => self.supply(other),
                None => Went::Nothing("nothing is unstated".to_owned()),
            };
        };
        let key =
            self.told.iter().find(|(_, told)| told.iter().any(|(number, _)| *number == spray)).map(|(key, _)| *key);
        let of_key = self.truth.sprays.iter().find(|it| Some(it.key) == key).cloned();
        // Of a thing that came: what it was sprayed with last, wherever that was.
        let felt: Vec<usize> = asked
            .iter()
            .filter_map(|ask| if let Ask::Dry(name) = ask { Some(name) } else { None })
            .flat_map(|name| self.truth.found_as(name, room))
            .collect();
        let of_thing =
            || self.truth.sprays.iter().rev().find(|it| it.hit.iter().any(|hit| felt.contains(hit))).cloned();
        // Of what was found wet on a walk: the last spray of the room.
        let of_room = || self.truth.sprays.iter().rfind(|it| it.room == room).cloned();
        let now = self.now;
        let say = match of_key.or_else(of_thing).or_else(of_room) {
            Some(it) => Say::Complete {
                room,
                spray,
                zones: Some(it.hit.iter().map(|hit| self.truth.name_in(*hit, it.room)).collect()),
                until: Some(it.until),
                label: Some(it.label),
                bags: Some(self.bags_at(&it)),
            },
            None => Say::Complete { room, spray, zones: None, until: Some(now), label: Some(240), bags: Some(vec![]) },
        };
        let told = self.tell(&["TE"], 0, now, say.clone(), None);
        // Where the program says that somebody lay there, the linens of that bed go into a bag.
        match (told, say) {
            (Err(no), Say::Complete { room, spray, zones, until, label, .. }) if no.rule == "unstated" => {
                let bags = Some(vec![format!("L{spray}")]);
                let say = Say::Complete { room, spray, zones, until, label, bags };
                self.tell(&["TE"], 0, self.now, say, None).into()
            }
            // By a clock that was wrong it began after that: its end stands as it was noted.
            (Err(no), Say::Complete { room, spray, zones, label, bags, .. }) if no.rule == "future" => {
                let say = Say::Complete { room, spray, zones, until: None, label, bags };
                let told: Went = self.tell(&["TE"], 0, self.now, say, None).into();
                // Where it never was noted, it ended by now.
                let still = self.program.asks(room, self.now);
                if !still.iter().any(|ask| matches!(ask, Ask::Unstated(it) if *it == spray)) {
                    return told;
                }
                let until = Some(self.now);
                let say = Say::Complete { room, spray, zones: None, until, label: None, bags: None };
                self.tell(&["TE"], 0, self.now, say, None).into()
            }
            // It was in another room: of this one nothing is named.
            (Err(no), Say::Complete { room, spray, until, label, bags, .. }) if no.rule == "place" => {
                let say = Say::Complete { room, spray, zones: None, until, label, bags };
                match self.tell(&["TE"], 0, self.now, say, None) {
                    Err(no) if no.rule == "unstated" => {
                        let bags = Some(vec![format!("L{spray}")]);
                        let say = Say::Complete { room, spray, zones: None, until, label, bags };
                        self.tell(&["TE"], 0, self.now, say, None).into()
                    }
                    told => told.into(),
                }
            }
            (told, _) => told.into(),
        }
    }

    /// A thing stands there, and nobody noted that it came.
    /// The beds that the book has here.
    fn parts_of_beds(&self, room: Room) -> Vec<super::place::Surface> {
        let beds = self.program.book_beds(room);
        let is_part = |what: &What| matches!(what, What::BedPart { bed, .. } if beds.contains(bed));
        (0..self.truth.what.len()).filter(|at| is_part(&self.truth.what[*at])).collect()
    }

    /// Rolls a bed's part back to where its bed is, and says so.
    fn bring_back(&mut self, room: Room) -> Went {
        let here = Spot::In(room);
        let Some(part) = self.parts_of_beds(room).into_iter().find(|at| self.truth.now(*at) != here) else {
            return Went::Nothing("every part is here".to_owned());
        };
        let key = 5000 + self.notes.len() as Key;
        let before = self.notes.len();
        let tag = self.truth.tag_of(part).map_or_else(|| format!("P{part}"), str::to_owned);
        self.carry(key, &tag, &[part], here, None);
        self.tell_left(key, 0, &[]);
        self.tell_came(key, 0, &[]);
        if self.notes.len() > before { Went::Noted } else { Went::Nothing("its way back is refused".to_owned()) }
    }

    /// Looks for each part of the beds, and says where it was seen: first what is not here.
    fn see_the_parts(&mut self, room: Room) -> Went {
        let mut went = Went::Nothing("nothing that is looked for is in any room".to_owned());
        let mut asked: Vec<String> = self
            .program
            .asks(room, self.now)
            .into_iter()
            .filter_map(|ask| if let Ask::Dry(name) = ask { Some(name) } else { None })
            .collect();
        // The list names what stands there by the name that it has now.
        asked.extend(self.program.to_feel(room).unwrap_or_default());
        asked.sort();
        asked.dedup();
        if !asked.is_empty() {
            return self.look_for(room, &asked);
        }
        let mut parts = self.parts_of_beds(room);
        parts.sort_by_key(|at| self.truth.now(*at) == Spot::In(room));
        for part in parts {
            let Spot::In(there) = self.truth.now(part) else { continue };
            let own = self.truth.what[part].name();
            let tag = self.truth.tag_of(part).map_or(own, str::to_owned);
            went = self.tell(&["HK"], 0, self.now, Say::Seen { room: there, tag }, None).into();
        }
        went
    }

    /// Looks for what the list names, by its tag wherever it is, and says whether the room's own is here.
    fn look_for(&mut self, room: Room, asked: &[String]) -> Went {
        let mut went = Went::Nothing(format!("{} is nowhere", asked.join(", ")));
        for (home, name, also) in self.program.to_see(room) {
            let Some(part) = super::place::on_the_list(&name, home) else { continue };
            let Spot::In(there) = self.truth.now(part) else { continue };
            // Which of them carries no such tag: the one that stands where it belongs without any, or carries another.
            let tag = match self.truth.tag_of(part) {
                None if there == home => name,
                Some(other) if also.as_deref() == Some(other) => other.to_owned(),
                _ => continue,
            };
            let is_same = |it: &super::said::Note| {
                matches!(&it.say, Say::Seen { room: at, tag: of } if *at == there && *of == tag)
                    && it.noted > self.now - 60
            };
            if !self.notes.iter().any(is_same) {
                went = self.tell(&["HK"], 0, self.now, Say::Seen { room: there, tag }, None).into();
            }
        }
        // Where each was said, and it is asked for still, a note named the wrong one.
        let was_said = |it: &super::said::Note| matches!(&it.say, Say::Seen { tag, .. } if asked.contains(tag));
        let is_doubtful =
            !self.program.to_see(room).is_empty() && self.notes.iter().filter(|it| was_said(it)).count() > 1;
        if let Some((entry, rooms)) = self.names_the_wrong_part().filter(|_| is_doubtful) {
            return self.tell(&["LD"], 0, self.now, Say::Void { entry, rooms, really: None }, None).into();
        }
        for name in asked {
            if self.bears_nothing(name) && self.noted_as(name).is_none() {
                return self.give_up(name);
            }
            let own = super::place::on_the_list(name, room);
            let tagged = self.truth.tags.iter().find(|(tag, _)| tag == name).map(|(_, all)| all.clone());
            let tagged = tagged.or_else(|| self.noted_as(name)).or_else(|| self.truth.parts_of_the_bed(name));
            for part in own.into_iter().chain(tagged.into_iter().flatten()).collect::<Vec<_>>() {
                let Spot::In(there) = self.truth.now(part) else { continue };
                let title = self.truth.what[part].name();
                // What carries a tag is told by that; the room's own chair is the room's own chair.
                let tag = match there == room && own == Some(part) && self.truth.tag_of(part).is_none() {
                    true => title,
                    // A bed is where its frame stands; a part that was left behind has a name of its own.
                    false if name.starts_with("BED-") && self.truth.found_as(name, there).contains(&part) => {
                        name.clone()
                    }
                    false => self
                        .truth
                        .tag_of(part)
                        .filter(|tag| !tag.starts_with("BED-"))
                        .map_or_else(|| title, str::to_owned),
                };
                // Nobody says the same of it twice within the hour.
                let is_same = |it: &super::said::Note| {
                    matches!(&it.say, Say::Seen { room: at, tag: of } if *at == there && *of == tag)
                        && it.noted > self.now - 60
                };
                // What carries nothing, and is not where it belongs, has no name there.
                let is_called_so = self.truth.found_as(&tag, there).contains(&part);
                if !is_called_so || self.notes.iter().any(is_same) {
                    continue;
                }
                went = self.tell(&["HK"], 0, self.now, Say::Seen { room: there, tag }, None).into();
            }
        }
        // Everything that it might be was told of, and nothing carries it.
        let is_of = |name: &str, note: &super::said::Note| matches!(&note.say, Say::GivenUp { tag } if tag == name);
        let given_up = |name: &str| self.notes.iter().filter(|note| is_of(name, note)).count() > 6;
        match asked.iter().find(|name| self.bears_nothing(name) && !given_up(name)) {
            Some(name) if matches!(went, Went::Nothing(_)) => self.give_up(name),
            _ => went,
        }
    }

    /// A note by which something left as a part that never carried its tag.
    fn names_the_wrong_part(&self) -> Option<(u64, Vec<Room>)> {
        self.notes.iter().find_map(|note| {
            let Say::Left { room, tag, zones, to } = &note.say else { return None };
            let (_, carried) = self.truth.tags.iter().find(|(known, _)| known == tag)?;
            let mut named = zones.iter().filter_map(|zone| super::place::on_the_list(zone, *room));
            let is_wrong = named.any(|part| !carried.contains(&part));
            let is_void = |it: &super::said::Note| matches!(it.say, Say::Void { entry, .. } if entry == note.number);
            let rooms = std::iter::once(*room).chain(*to).collect();
            (is_wrong && !self.notes.iter().any(is_void)).then_some((note.number, rooms))
        })
    }

    /// What was noted to have left under this name, and was not taken back.
    fn noted_as(&self, name: &str) -> Option<Vec<super::place::Surface>> {
        let is_voided = |of: u64| {
            self.notes.iter().any(|it| matches!(it.say, Say::Void { entry, really: None, .. } if entry == of))
        };
        self.notes.iter().find_map(|note| match &note.say {
            Say::Left { room, tag, zones, .. } if tag == name && !is_voided(note.number) => {
                Some(zones.iter().filter_map(|zone| super::place::on_the_list(zone, *room)).collect())
            }
            _ => None,
        })
    }

    /// The lead sets the beds where they really stand.
    fn set_the_beds(&mut self, room: Room) -> Went {
        let away = self.program.book_beds(room).into_iter().find_map(|bed| {
            let to = self.truth.room_of_bed(bed).filter(|to| *to != room)?;
            Some((bed, to))
        });
        let Some((bed, to)) = away else {
            let here = self.program.book_beds(room).into_iter().filter(|bed| !self.program.is_open(*bed, self.now));
            for bed in here.collect::<Vec<_>>() {
                let _ = self.tell(&["HK"], 0, self.now, Say::Seen { room, tag: BEDS[bed].to_owned() }, None);
            }
            // That was all that was asked.
            if self.program.next_step(room, self.now) != Some("set-room") {
                return Went::Noted;
            }
            return self.see_the_parts(room);
        };
        let without: Vec<usize> = self.program.book_beds(room).into_iter().filter(|it| *it != bed).collect();
        let mut with = self.program.book_beds(to);
        with.push(bed);
        if let Err(no) = self.tell(&["LD"], 0, self.now, Say::Beds { room, beds: without }, None) {
            return Went::Refused(no);
        }
        self.tell(&["LD"], 0, self.now, Say::Beds { room: to, beds: with }, None).into()
    }

    /// Somebody at the terminal whose clock is wrong reads the wall's.
    pub(super) fn answer_for_the_clock(&mut self) -> Went {
        let is_wrong = |terminal: &usize| self.ahead[*terminal] != 0 || self.added[*terminal] != 0;
        let Some(terminal) = (0..2).find(is_wrong) else {
            return Went::Nothing("no clock is wrong".to_owned());
        };
        let say = Say::Clock { wall: self.now, shown: self.now + self.ahead[terminal] - self.added[terminal] };
        let told = self.tell(&["HK"], terminal, self.now, say, None);
        if told.is_ok() {
            // It stamps by the wall's from then on.
            self.added[terminal] -= self.ahead[terminal];
            self.ahead[terminal] = 0;
        }
        told.into()
    }

    fn say_that_it_came(&mut self, room: Room) -> Went {
        let untold = self.truth.moves.iter().rev().find(|it| it.to == super::place::Spot::In(room)).cloned();
        match untold {
            Some(it) if it.bed.is_some() => {
                let before = self.notes.len();
                self.tell_left(it.key, 0, &[]);
                self.tell_came(it.key, 0, &[]);
                if self.notes.len() > before {
                    Went::Noted
                } else {
                    Went::Nothing("that it came is refused".to_owned())
                }
            }
            Some(it) => {
                let from = if let super::place::Spot::In(from) = it.from { Some(from) } else { None };
                let wet = if it.surfaces.iter().any(|at| self.truth.is_unsafe(*at)) {
                    super::said::Wet::Yes
                } else {
                    super::said::Wet::No
                };
                let say = Say::Arrived { room, tag: it.tag, from, wet };
                self.tell(&["HK"], 0, self.now, say, Some(it.key)).into()
            }
            None => Went::Nothing("nothing came".to_owned()),
        }
    }
}

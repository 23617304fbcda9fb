//! Things and beds that go from room to room, and what is noted of it.

use super::deeds::TAG_OF_THE_LIST;
use super::place::{BEDS, ROOMS, Spot, Surface, What};
use super::program::Program;
use super::said::{Say, Wet};
use super::scene::Scene;
use super::slips::Slip;
use super::truth::{Key, Move};

/// What is taken where the tag off the list is refused.
const ANOTHER: &str = "T9";

impl<P: Program> Scene<P> {
    pub(super) fn carry(&mut self, key: Key, tag: &str, surfaces: &[Surface], to: Spot, bed: Option<usize>) {
        let Some(first) = surfaces.first() else { return };
        let from = self.truth.now(*first);
        let together: Vec<Surface> = surfaces.iter().copied().filter(|it| self.truth.now(*it) == from).collect();
        if from == to {
            return;
        }
        let tag = match self.truth.tag_of(*first) {
            Some(tag) => tag.to_owned(),
            None => {
                if bed.is_none() {
                    self.truth.tags.push((tag.to_owned(), together.clone()));
                }
                tag.to_owned()
            }
        };
        self.truth.carry(&together, to, self.now);
        self.log(|scene| {
            let names: Vec<String> = together.iter().map(|it| scene.truth.what[*it].title()).collect();
            let name = |spot: Spot| if let Spot::In(room) = spot { ROOMS[room] } else { "outside" };
            format!("{} ({tag}) goes from {} to {}", names.join(", "), name(from), name(to))
        });
        self.truth.moves.push(Move { key, tag, surfaces: together, from, to, at: self.now, bed });
        self.now += 1;
    }

    pub(super) fn tell_left(&mut self, key: Key, terminal: usize, slips: &[Slip]) {
        let Some(it) = self.truth.moves.iter().find(|it| it.key == key).cloned() else { return };
        let Spot::In(room) = it.from else { return };
        let mut to = if let Spot::In(to) = it.to { Some(to) } else { None };
        let mut tag = it.tag.clone();
        let list = self.program.zone_list(room);
        let mut zones = self.parts_to_name(&it);
        for slip in slips {
            match slip {
                Slip::NoZones => zones.clear(),
                Slip::NoDestination => to = None,
                Slip::WrongDestination(wrong) if *wrong != room => to = Some(*wrong),
                Slip::WrongTag => tag = format!("{tag}-X"),
                Slip::NamesZoneOfStop => {
                    let part = it.surfaces.first().map(|at| self.truth.what[*at].name());
                    zones = part.into_iter().filter(|name| list.contains(name)).collect();
                }
                _ => {}
            }
        }
        let tag = if it.bed.is_some() { format!("BED-{}", BEDS[it.bed.unwrap_or(0)]) } else { tag };
        let say = Say::Left { room, tag, zones: zones.clone(), to };
        let Err(no) = self.tell(&["HK"], terminal, it.at, say, Some(key)) else { return };
        let (tag, zones) = match (no.rule == "place" && !zones.is_empty(), self.take_another_tag(&it.tag)) {
            // Where that room's list does not have it, the form takes no zone; a bed without its zones is no bed.
            (true, _) if it.bed.is_none() => (it.tag, vec![]),
            (_, true) => (ANOTHER.to_owned(), zones),
            _ => return,
        };
        if self.tell(&["HK"], terminal, it.at, Say::Left { room, tag, zones, to }, Some(key)).is_ok() {
            self.say_what_bore_the_name();
        }
    }

    /// What was noted under a zone's name before that was refused was about something else: a spray hit what goes by another tag
    /// now, and what was seen there was not the zone's own.
    fn say_what_bore_the_name(&mut self) {
        let Some((_, bore)) = self.truth.tags.iter().find(|(tag, _)| tag == ANOTHER).cloned() else { return };
        let hit = |key: Key| {
            self.truth.sprays.iter().any(|it| it.key == key && it.hit.iter().any(|surface| bore.contains(surface)))
        };
        let is_of_it =
            |number: u64| self.told.iter().any(|(key, told)| hit(*key) && told.iter().any(|(of, _)| *of == number));
        let mut said: Vec<(&str, Say)> = vec![];
        for note in &self.notes {
            match &note.say {
                Say::Spray { room, zones: Some(zones), .. }
                    if zones.iter().any(|zone| zone == TAG_OF_THE_LIST) && is_of_it(note.number) =>
                {
                    let zones = Some(vec![ANOTHER.to_owned()]);
                    let (room, spray) = (*room, note.number);
                    said.push(("TE", Say::Complete { room, spray, zones, until: None, label: None, bags: None }));
                }
                Say::Seen { room, tag } if tag == TAG_OF_THE_LIST => {
                    let own = super::place::on_the_list(tag, *room);
                    if own.is_some_and(|own| self.truth.now(own) != Spot::In(*room)) {
                        said.push(("LD", Say::Void { entry: note.number, rooms: vec![*room], really: None }));
                    }
                }
                _ => {}
            }
        }
        for (who, say) in said {
            let _ = self.tell(&[who], 0, self.now, say, None);
        }
    }

    /// Under a new tag, or of a bed, the form asks which zones it is.
    pub(super) fn parts_to_name(&self, it: &Move) -> Vec<String> {
        let first = self.truth.moves.iter().find(|other| other.tag == it.tag && other.bed.is_none());
        let is_new = it.bed.is_some() || first.map(|first| first.key) == Some(it.key);
        let part = |at: &Surface| match &self.truth.what[*at] {
            What::Thing { .. } => None,
            what => Some(what.name()).filter(|_| is_new),
        };
        it.surfaces.iter().filter_map(part).collect()
    }

    pub(super) fn tell_came(&mut self, key: Key, terminal: usize, slips: &[Slip]) {
        let Some(it) = self.truth.moves.iter().find(|it| it.key == key).cloned() else { return };
        let Spot::In(mut room) = it.to else { return };
        let mut from = if let Spot::In(from) = it.from { Some(from) } else { None };
        let mut tag = if let Some(bed) = it.bed { format!("BED-{}", BEDS[bed]) } else { it.tag.clone() };
        let is_wet = it.surfaces.iter().any(|at| self.truth.is_unsafe(*at));
        let mut wet = if is_wet { Wet::Yes } else { Wet::No };
        for slip in slips {
            match slip {
                Slip::NoOrigin => from = None,
                Slip::WrongOrigin(wrong) => from = Some(*wrong),
                Slip::WrongTag => tag = format!("{tag}-X"),
                Slip::WrongRoom(wrong) => room = *wrong,
                Slip::SaidDry => wet = Wet::No,
                Slip::WetNotKnown => wet = Wet::Unknown,
                _ => {}
            }
        }
        let told = self.tell(&["HK"], terminal, it.at, Say::Arrived { room, tag, from, wet }, Some(key));
        if told.is_err() && self.take_another_tag(&it.tag) {
            let tag = ANOTHER.to_owned();
            if self.tell(&["HK"], terminal, it.at, Say::Arrived { room, tag, from, wet }, Some(key)).is_ok() {
                self.say_what_bore_the_name();
            }
        }
    }

    /// A tag that is a zone's name is refused: the thing gets another one, if nothing was noted under this.
    pub(super) fn take_another_tag(&mut self, tag: &str) -> bool {
        let noted = self.notes.iter().any(|note| match &note.say {
            Say::Left { tag: of, .. } | Say::Arrived { tag: of, .. } => of == tag,
            _ => false,
        });
        if tag != TAG_OF_THE_LIST || noted {
            return false;
        }
        self.truth.tags.iter_mut().filter(|(known, _)| known == tag).for_each(|(known, _)| *known = ANOTHER.to_owned());
        self.truth.moves.iter_mut().filter(|it| it.tag == tag).for_each(|it| it.tag = ANOTHER.to_owned());
        true
    }

    pub(super) fn tell_book(&mut self, key: Key, terminal: usize) {
        let Some(it) = self.truth.moves.iter().find(|it| it.key == key).cloned() else { return };
        let (Some(bed), Spot::In(to)) = (it.bed, it.to) else { return };
        let Some(from) = (0..ROOMS.len()).find(|room| self.program.book_beds(*room).contains(&bed)) else { return };
        if from == to {
            return;
        }
        let without: Vec<usize> = self.program.book_beds(from).into_iter().filter(|it| *it != bed).collect();
        let mut with = self.program.book_beds(to);
        with.push(bed);
        let now = self.now;
        if self.tell(&["LD"], terminal, now, Say::Beds { room: from, beds: without }, None).is_ok() {
            let _ = self.tell(&["LD"], terminal, self.now, Say::Beds { room: to, beds: with }, Some(key));
        }
    }
}

//! The judge. A world *fits* the notes so far; a bed that reads open is a hole if it is unsafe in some fitting world.
//!
//! Stories are small, so the worlds are enumerated: which clock was wrong, then of each surface by itself each way that it
//! can have gone, then each room that a spray can have been in. What makes a bed unsafe is one surface and one wetting, so
//! that nothing has to be enumerated together.

use super::place::{BEDS, Minute, ROOMS, Room, Spot, What, on_the_list, surfaces, ward_of};
use super::program::PRODUCTS;
use super::said::{Note, Say, Wet};
use super::ways::{self, Claim, Claimed, Sprayed, Way, spot, was_in};

/// Why a bed must not be open.
#[derive(Clone, Debug)]
pub(super) struct Hole {
    pub(super) bed: usize,
    /// What wets: the same word for the same class.
    pub(super) kind: String,
    pub(super) why: String,
}

/// The longest label of the hospital's list.
fn longest_label() -> Minute {
    PRODUCTS.iter().filter_map(|(_, label)| *label).max().unwrap_or(0)
}

const DAY: Minute = 24 * 60;
/// How far two clocks may differ without being called wrong.
const CLOCKS_DIFFER: Minute = 2;

/// Something that wets.
#[derive(Clone, Debug)]
struct Wetting {
    number: u64,
    noted: Minute,
    from: Minute,
    until: Minute,
    label: Minute,
    /// What notes of it name, each with the room for which it was written. None: none names anything.
    names: Option<Vec<(String, Room)>>,
    room: Room,
    /// Where else a void says that it was.
    elsewhere: Vec<Room>,
    voided: bool,
    /// Looks after its void: where and when.
    looks: Vec<(Room, Minute)>,
    title: &'static str,
}

/// A touch check.
struct Feeling {
    room: Room,
    began: Minute,
    dry: Vec<String>,
}

/// A surface as the notes speak of it.
#[derive(Clone, PartialEq, Debug)]
enum Subject {
    Known(What),
    /// A tag of which nobody said which part of its first room it is: in this world it is that one, or a surface of its own.
    Tag(String, Option<What>),
}

/// The first bed of these that is unsafe in a world that fits.
pub(super) fn hole(notes: &[Note], open: &[usize]) -> Option<Hole> {
    if open.is_empty() {
        return None;
    }
    for shift in clock_worlds(notes) {
        let mut heard: Vec<Note> = notes.to_vec();
        for note in &mut heard {
            let by = shift[note.terminal];
            note.noted -= by;
            note.happened -= by;
            match &mut note.say {
                Say::Spray { until: Some(at), .. } | Say::Complete { until: Some(at), .. } => *at -= by,
                Say::Check { began, .. } => *began -= by,
                _ => {}
            }
        }
        if let Some(hole) = Fitting::of(&heard).hole(open) {
            let clocks =
                if shift == [0, 0] { String::new() } else { format!(" (a clock {} min wrong)", shift[0] + shift[1]) };
            return Some(Hole { why: format!("{}{clocks}", hole.why), ..hole });
        }
    }
    None
}

/// Point 6. "Entries happened in the order of their numbers; a clock may be wrong only where two disagree and no answer says
/// which; answers are true."
fn clock_worlds(notes: &[Note]) -> Vec<[Minute; 2]> {
    let mut worlds = vec![];
    for wrong in [0, 1] {
        // By how much the wrong one may be ahead, so that its notes stand between the others around them.
        let (mut least, mut most) = (Minute::MIN / 4, Minute::MAX / 4);
        for (i, a) in notes.iter().enumerate() {
            for b in notes.iter().skip(i + 1).filter(|b| b.terminal != a.terminal) {
                match a.terminal == wrong {
                    true => least = least.max(a.noted - b.noted),
                    false => most = most.min(b.noted - a.noted),
                }
            }
        }
        if least <= CLOCKS_DIFFER && most >= -CLOCKS_DIFFER {
            return vec![[0, 0]];
        }
        let mut shifts: Vec<Minute> = [least, most].into_iter().filter(|by| by.abs() < DAY * 400).collect();
        shifts.dedup();
        worlds.extend(shifts.into_iter().map(|by| if wrong == 0 { [by, 0] } else { [0, by] }));
    }
    worlds
}

struct Fitting {
    wettings: Vec<Wetting>,
    feelings: Vec<Feeling>,
    subjects: Vec<(Subject, Vec<Claimed>)>,
    /// Each tag, and what it is said to be.
    tags: Vec<(String, Vec<Subject>)>,
    /// What may be treated and is not laundered, and from which room.
    linens: Vec<(Room, String)>,
    all: Vec<What>,
}

impl Fitting {
    fn of(notes: &[Note]) -> Self {
        let mut it = Self {
            wettings: vec![],
            feelings: vec![],
            subjects: vec![],
            tags: vec![],
            linens: vec![],
            all: surfaces(),
        };
        it.hear_wettings(notes);
        it.hear_feelings(notes);
        it.hear_tags(notes);
        it.hear_moves(notes);
        it.linens = super::linens::treated_and_not_laundered(notes);
        it
    }

    /// Point 1. "It holds the sprays, wipings and arrivals noted, those voided and not looked at, and one spray of everything
    /// for each line unread; no others."
    fn hear_wettings(&mut self, notes: &[Note]) {
        for note in notes {
            let blank = Wetting {
                number: note.number,
                noted: note.noted,
                from: note.happened,
                until: note.happened,
                label: 0,
                names: None,
                room: 0,
                elsewhere: vec![],
                voided: false,
                looks: vec![],
                title: "",
            };
            match &note.say {
                Say::Spray { room, until, product, zones, .. } => {
                    self.wettings.push(self.spray(notes, note, *room, *until, product, zones.as_ref()));
                }
                Say::Wiped { room, zones } if !zones.is_empty() => {
                    self.wettings.push(Wetting {
                        names: Some(in_room(zones, *room)),
                        room: *room,
                        title: "wiping",
                        ..blank.clone()
                    });
                }
                Say::Check { room, damp, .. } if !damp.is_empty() => {
                    self.wettings.push(Wetting {
                        names: Some(in_room(damp, *room)),
                        room: *room,
                        title: "damp",
                        ..blank.clone()
                    });
                }
                Say::Arrived { room, tag, wet, .. } if *wet != Wet::No => {
                    let names = Some(vec![(tag.clone(), *room)]);
                    self.wettings.push(Wetting { names, room: *room, title: "arrived wet", ..blank.clone() });
                }
                // What nobody can date: from a day before the gap until the walk, after which there is no such spray.
                Say::Gap { ward } => {
                    let walked =
                        |n: &&Note| n.number > note.number && matches!(n.say, Say::Walk { ward: w, .. } if w == *ward);
                    if notes.iter().any(|n| walked(&n)) {
                        continue;
                    }
                    for room in (0..ROOMS.len()).filter(|room| ward_of(*room) == *ward) {
                        let from = note.noted - DAY;
                        let until = Minute::MAX / 8;
                        self.wettings.push(Wetting { room, from, until, title: "gap", ..blank.clone() });
                    }
                }
                _ => {}
            }
            if let Say::Walk { wet: Some(rooms), .. } = &note.say {
                for room in rooms {
                    let label = longest_label();
                    let from = note.noted - DAY;
                    let it = Wetting { room: *room, from, label, title: "found wet on a walk", ..blank.clone() };
                    self.wettings.push(it);
                }
            }
        }
        for wetting in &mut self.wettings {
            for note in notes {
                let Say::Void { entry, really, .. } = &note.say else { continue };
                if *entry != wetting.number {
                    continue;
                }
                wetting.voided = true;
                wetting.elsewhere.extend(*really);
                for look in notes {
                    if let Say::Look { room, void } = &look.say
                        && *void == note.number
                    {
                        wetting.looks.push((*room, look.happened));
                    }
                }
            }
        }
    }

    /// Point 2. "Each spray was in any one room that a note of it gives; it ended at the latest end noted (none: at its
    /// noting), its label is the longest noted (none: the longest known); it hit what any note names, or, none naming, all
    /// that this world had there."
    fn spray(
        &self,
        notes: &[Note],
        note: &Note,
        room: Room,
        until: Option<Minute>,
        product: &str,
        zones: Option<&Vec<String>>,
    ) -> Wetting {
        let mut ends: Vec<Minute> = until.into_iter().collect();
        let listed = PRODUCTS.iter().find(|(name, _)| *name == product).and_then(|(_, label)| *label);
        let mut labels: Vec<Minute> = listed.into_iter().collect();
        let mut names = zones.map(|zones| in_room(zones, room)).unwrap_or_default();
        for more in notes {
            if let Say::Complete { room, spray, zones, until, label, .. } = &more.say
                && (*spray == note.number || is_void_of(notes, *spray, note.number))
            {
                ends.extend(*until);
                labels.extend(*label);
                names.extend(zones.as_ref().map(|zones| in_room(zones, *room)).unwrap_or_default());
            }
        }
        Wetting {
            number: note.number,
            noted: note.noted,
            from: note.happened,
            until: ends.into_iter().max().unwrap_or(note.noted).max(note.happened),
            label: labels.into_iter().max().unwrap_or_else(longest_label),
            names: if names.is_empty() { None } else { Some(names) },
            room,
            elsewhere: vec![],
            voided: false,
            looks: vec![],
            title: "spray",
        }
    }

    /// Point 4. "A check felt exactly what stood in its room in this world; it is true of that, and says nothing of what did
    /// not."
    fn hear_feelings(&mut self, notes: &[Note]) {
        for note in notes {
            let Say::Check { room, began, dry, .. } = &note.say else { continue };
            if is_voided(notes, note.number) {
                continue;
            }
            self.feelings.push(Feeling { room: *room, began: *began, dry: dry.clone() });
        }
    }

    /// What each tag is: the parts that a note says left under it; else a surface of its own. Said to be two, it is both.
    fn hear_tags(&mut self, notes: &[Note]) {
        for thing in super::place::THINGS {
            self.tags.push((thing.to_owned(), vec![Subject::Known(What::Thing { tag: thing })]));
        }
        let all = surfaces();
        for note in notes.iter().filter(|note| !is_taken_back(notes, note.number)) {
            let (tag, room, zones) = match &note.say {
                Say::Left { room, tag, zones, .. } => (tag, *room, zones.as_slice()),
                Say::Arrived { room, tag, .. } => (tag, *room, [].as_slice()),
                _ => continue,
            };
            let parts =
                zones.iter().filter_map(|name| on_the_list(name, room)).map(|at| Subject::Known(all[at].clone()));
            let at = self.tags.iter().position(|(known, _)| known == tag).unwrap_or_else(|| {
                self.tags.push((tag.clone(), vec![]));
                self.tags.len() - 1
            });
            for part in parts {
                if !self.tags[at].1.contains(&part) {
                    self.tags[at].1.push(part);
                }
            }
        }
        for (tag, of) in self.tags.iter_mut().filter(|(_, of)| of.is_empty()) {
            of.push(Subject::Tag(tag.clone(), None));
            let from = |note: &Note| match &note.say {
                Say::Left { room, tag: of, .. } if of == tag => Some((note.happened, 0, Some(*room))),
                Say::Arrived { from, tag: of, .. } if of == tag => Some((note.happened, 1, *from)),
                _ => None,
            };
            let told = notes.iter().filter(|note| !is_taken_back(notes, note.number));
            let first = told.filter_map(from).min().and_then(|(_, _, room)| room);
            for part in all.iter().filter(|what| first.is_some_and(|room| what.at_first() == Spot::In(room))) {
                of.push(Subject::Tag(tag.clone(), Some(part.clone())));
            }
        }
        for what in all.iter().filter(|what| !matches!(what, What::Thing { .. })) {
            self.subjects.push((Subject::Known(what.clone()), vec![]));
        }
        for (_, known) in &self.tags {
            for subject in known {
                if !self.subjects.iter().any(|(it, _)| it == subject) {
                    self.subjects.push((subject.clone(), vec![]));
                }
            }
        }
    }

    fn hear_moves(&mut self, notes: &[Note]) {
        let all = surfaces();
        let mut book: Vec<Room> = (0..BEDS.len()).collect();
        for note in notes.iter().filter(|note| !is_taken_back(notes, note.number)) {
            let claimed = |claim: Claim| Claimed {
                at: note.happened,
                noted: note.noted,
                number: note.number,
                voided: is_voided(notes, note.number),
                claim,
            };
            match &note.say {
                Say::Left { room, tag, zones, to } => {
                    let named: Vec<Subject> = zones
                        .iter()
                        .filter_map(|z| on_the_list(z, *room))
                        .map(|at| Subject::Known(all[at].clone()))
                        .collect();
                    self.claim(tag, &named, claimed(Claim::Left { from: *room, to: *to }));
                }
                Say::Arrived { room, tag, from, .. } => {
                    self.claim(tag, &[], claimed(Claim::Arrived { at: *room, from: *from }));
                }
                // To feel what bears a tag is to see it there. A part on a room's list may be ticked unseen.
                Say::Check { room, began, dry, damp } if !is_voided(notes, note.number) => {
                    let tags: Vec<String> = self.tags.iter().map(|(tag, _)| tag.clone()).collect();
                    for tag in tags {
                        let ticked = dry.contains(&tag) || damp.contains(&tag);
                        if ticked && on_the_list(&tag, *room).is_none() {
                            let seen = Claimed { at: *began, ..claimed(Claim::Seen { at: *room }) };
                            self.claim(&tag, &[], seen);
                        }
                    }
                }
                Say::Beds { room, beds } => {
                    for bed in beds.iter().filter(|bed| book[**bed] != *room) {
                        let walk = |n: &&Note| {
                            n.number > note.number && matches!(n.say, Say::Walk { ward, .. } if ward == ward_of(*room))
                        };
                        let walked = notes.iter().find(walk).map(|n| n.happened);
                        for (subject, claims) in &mut self.subjects {
                            if matches!(subject, Subject::Known(What::BedPart { bed: of, .. }) if of == bed) {
                                claims.push(claimed(Claim::Rolled { to: *room, walked }));
                            }
                        }
                    }
                    beds.iter().for_each(|bed| book[*bed] = *room);
                }
                _ => {}
            }
        }
        for (_, claims) in &mut self.subjects {
            claims.sort_by_key(|claim| (claim.at, claim.number));
        }
    }

    /// A note about a tag is about all that the tag is.
    fn claim(&mut self, tag: &str, named: &[Subject], claimed: Claimed) {
        let of = self.tags.iter().find(|(known, _)| known == tag).map(|(_, of)| of.clone()).unwrap_or_default();
        for subject in &of {
            let Some((_, claims)) = self.subjects.iter_mut().find(|(it, _)| it == subject) else { continue };
            // A leg that calls it by another name is about that one.
            if named.is_empty() || named.contains(subject) {
                claims.push(claimed.clone());
            }
        }
    }

    fn ways(&self, subject: &Subject, claims: &[Claimed]) -> Vec<Way> {
        let first = match subject {
            Subject::Known(what) => what.at_first(),
            Subject::Tag(..) => match claims.first().map(|it| &it.claim) {
                Some(Claim::Left { from, .. } | Claim::Arrived { from: Some(from), .. }) => Spot::In(*from),
                _ => Spot::Outside,
            },
        };
        if claims.is_empty() {
            return vec![vec![(Minute::MIN / 4, first)]];
        }
        let sprays = self.wettings.iter().filter(|it| it.title == "spray").map(|it| Sprayed {
            number: it.number,
            until: it.until,
            rooms: [it.room].into_iter().chain(it.elsewhere.iter().copied()).collect(),
        });
        ways::ways(first, claims, &sprays.collect::<Vec<_>>())
    }

    /// Whether a name, written of this room, means the subject.
    fn means(&self, name: &str, room: Room, subject: &Subject) -> bool {
        if let Some(at) = on_the_list(name, room) {
            return match subject {
                Subject::Known(what) | Subject::Tag(_, Some(what)) => *what == self.all[at],
                Subject::Tag(_, None) => false,
            };
        }
        self.tags.iter().any(|(tag, of)| tag == name && of.contains(subject))
    }

    /// Whether it is wet by this, if it was in that room.
    fn names(&self, wetting: &Wetting, room: Room, subject: &Subject) -> bool {
        let Some(names) = &wetting.names else { return true };
        if names.iter().any(|(name, of)| self.means(name, *of, subject)) {
            return true;
        }
        // Written for another room than it was in: the same parts of this one.
        names.iter().filter(|(_, of)| *of != room).any(|(name, _)| {
            let part = name.rsplit('/').next().unwrap_or(name);
            match subject {
                Subject::Known(What::BedPart { part: own, .. }) => *own == part && name.contains('/'),
                Subject::Known(What::RoomPart { room: home, part: own }) => *own == part && *home == room,
                _ => false,
            }
        })
    }

    /// Point 5. "Felt dry means dry from then on, once label time is over in this world; unfelt means wet, for ever."
    fn is_felt(&self, wetting: &Wetting, subject: &Subject, way: &Way) -> bool {
        self.feelings.iter().any(|it| {
            let named = it.dry.iter().any(|name| self.means(name, it.room, subject));
            named && spot(way, it.began) == Spot::In(it.room) && it.began >= wetting.until + wetting.label
        })
    }

    /// A second person's look is true of what stood there, once the label's time was over.
    fn is_looked_at(&self, wetting: &Wetting, way: &Way) -> bool {
        let seen =
            |(room, at): &(Room, Minute)| spot(way, *at) == Spot::In(*room) && *at >= wetting.until + wetting.label;
        wetting.looks.iter().any(seen)
    }

    /// What keeps it wet in this world, if anything.
    fn wet_by(&self, subject: &Subject, way: &Way) -> Option<&Wetting> {
        self.wettings.iter().find(|wetting| {
            let in_room =
                |room: Room| was_in(way, room, wetting.from, wetting.until) && self.names(wetting, room, subject);
            let noted_here = in_room(wetting.room) && !(wetting.voided && self.is_looked_at(wetting, way));
            let really = wetting.elsewhere.iter().any(|room| in_room(*room));
            (noted_here || really) && !self.is_felt(wetting, subject, way)
        })
    }

    fn hole(&self, open: &[usize]) -> Option<Hole> {
        let all: Vec<(&Subject, Vec<Way>)> =
            self.subjects.iter().map(|(subject, claims)| (subject, self.ways(subject, claims))).collect();
        let now = Minute::MAX / 8 - 1;
        let mut wet: Vec<(&Subject, Spot, &Wetting)> = vec![];
        for (subject, ways) in &all {
            for way in ways {
                if let Some(by) = self.wet_by(subject, way) {
                    wet.push((subject, spot(way, now), by));
                }
            }
        }
        for bed in open {
            let parts = all
                .iter()
                .filter(|(subject, _)| matches!(subject, Subject::Known(What::BedPart { bed: of, .. }) if of == bed));
            let rooms: Vec<Spot> = parts
                .clone()
                .filter(|(subject, _)| matches!(subject, Subject::Known(What::BedPart { part: "frame", .. })))
                .flat_map(|(_, ways)| ways.iter().map(|way| spot(way, now)))
                .collect();
            let own = |subject: &Subject| matches!(subject, Subject::Known(What::BedPart { bed: of, .. }) if of == bed);
            let there = wet.iter().find(|(_, at, _)| rooms.contains(at));
            let away = wet.iter().find(|(subject, _, _)| own(subject));
            if let Some((subject, at, by)) = there.or(away) {
                let title = match subject {
                    Subject::Known(what) => what.title(),
                    Subject::Tag(tag, _) => tag.clone(),
                };
                let place = match at {
                    Spot::In(room) => ROOMS[*room],
                    Spot::Outside => "outside",
                };
                let why = format!("{title} in {place} may be wet by {} (entry {})", by.title, by.number);
                return Some(Hole {
                    bed: *bed,
                    kind: format!("{}{}", by.title, if there.is_none() { " of its own part, away" } else { "" }),
                    why,
                });
            }
            if let Some((_, why)) = self.linens.iter().find(|(room, _)| rooms.contains(&Spot::In(*room))) {
                return Some(Hole {
                    bed: *bed,
                    kind: why
                        .split(' ')
                        .next()
                        .map(|first| if first == "bag" { "a bag" } else { "linens" })
                        .unwrap_or_default()
                        .to_owned(),
                    why: why.clone(),
                });
            }
        }
        None
    }
}

fn in_room(names: &[String], room: Room) -> Vec<(String, Room)> {
    names.iter().map(|name| (name.clone(), room)).collect()
}

/// Whether this entry is a void of that one.
fn is_void_of(notes: &[Note], void: u64, target: u64) -> bool {
    notes.iter().any(|note| note.number == void && matches!(note.say, Say::Void { entry, .. } if entry == target))
}

/// Voided, and a second person has looked: it was not so.
fn is_taken_back(notes: &[Note], number: u64) -> bool {
    notes.iter().any(|note| {
        let is_looked_at =
            |void: u64| notes.iter().any(|look| matches!(look.say, Say::Look { void: of, .. } if of == void));
        matches!(note.say, Say::Void { entry, .. } if entry == number) && is_looked_at(note.number)
    })
}

fn is_voided(notes: &[Note], number: u64) -> bool {
    notes.iter().any(|note| matches!(note.say, Say::Void { entry, .. } if entry == number))
}

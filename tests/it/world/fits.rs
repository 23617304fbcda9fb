//! The judge. A world *fits* the notes so far; a bed that reads open is a hole if it is unsafe in some fitting world.
//!
//! Stories are small, so the worlds are enumerated: which clock was wrong, then of each surface by itself each way that it
//! can have gone, then each room that a spray can have been in. What makes a bed unsafe is one surface and one wetting, so
//! that nothing has to be enumerated together.

use super::heard::{Heard, Subject, Wetting};
use super::place::{Minute, ROOMS, Room, Spot, What, on_the_list};
use super::said::{Note, Say};
use super::ways::{self, Claim, Claimed, Sprayed, Way, spot, was_in};

/// Why a bed must not be open.
#[derive(Clone, Debug)]
pub(super) struct Hole {
    pub(super) bed: usize,
    /// What wets: the same word for the same class.
    pub(super) kind: String,
    pub(super) why: String,
}

const DAY: Minute = 24 * 60;
/// How far two clocks may differ without being called wrong.
const CLOCKS_DIFFER: Minute = 2;

/// The first bed of these that is unsafe in a world that fits.
pub(super) fn hole(notes: &[Note], open: &[usize]) -> Option<Hole> {
    if open.is_empty() {
        return None;
    }
    let answer = answer(notes);
    let worlds = answer.map_or_else(|| clock_worlds(notes), |(_, shift)| vec![shift]);
    for shift in worlds {
        let mut heard: Vec<Note> = notes.to_vec();
        // Since it was said by how much it is wrong, a terminal stamps by the clock on the wall.
        for note in heard.iter_mut().filter(|note| answer.is_none_or(|(number, _)| note.number <= number)) {
            let by = shift[note.terminal];
            note.noted -= by;
            note.happened -= by;
            match &mut note.say {
                Say::Spray { until: Some(at), .. }
                | Say::Complete { until: Some(at), .. }
                | Say::Less { until: Some(at), .. } => *at -= by,
                Say::Check { began, .. } => *began -= by,
                _ => {}
            }
        }
        if let Some(hole) = Heard::all_of(&heard).iter().find_map(|heard| heard.hole(open)) {
            let clocks =
                if shift == [0, 0] { String::new() } else { format!(" (a clock {} min wrong)", shift[0] + shift[1]) };
            return Some(Hole { why: format!("{}{clocks}", hole.why), ..hole });
        }
    }
    None
}

/// "Answers are true": the entry that says by how much a clock is wrong, and that.
fn answer(notes: &[Note]) -> Option<(u64, [Minute; 2])> {
    notes.iter().find_map(|note| {
        let Say::Clock { wall, shown } = note.say else { return None };
        let mut shift = [0, 0];
        shift[note.terminal] = shown - wall;
        Some((note.number, shift))
    })
}

/// Point 6. "Entries happened in the order of their numbers; a clock may be wrong only where two disagree and no answer says
/// which; answers are true."
pub(super) fn clock_worlds(notes: &[Note]) -> Vec<[Minute; 2]> {
    // The hospital was opened at the first terminal.
    let opened = (0, 60);
    let all: Vec<(usize, Minute)> =
        [opened].into_iter().chain(notes.iter().map(|note| (note.terminal, note.noted))).collect();
    let mut worlds = vec![];
    for wrong in [0, 1] {
        // By how much the wrong one may be ahead, so that its notes stand between the others around them.
        let (mut least, mut most) = (Minute::MIN / 4, Minute::MAX / 4);
        for (i, (desk, first)) in all.iter().enumerate() {
            for (_, then) in all.iter().skip(i + 1).filter(|(other, _)| other != desk) {
                match *desk == wrong {
                    true => least = least.max(first - then),
                    false => most = most.min(then - first),
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

impl Heard {
    pub(super) fn ways(&self, subject: &Subject, claims: &[Claimed]) -> Vec<Way> {
        self.paths(subject, claims).1
    }

    /// How many notes of where things went do not hold, by whatever way they went.
    pub(super) fn broken(&self) -> usize {
        self.subjects.iter().map(|(subject, claims)| self.paths(subject, claims).0).sum()
    }

    /// How often the notes break off at least, and by which ways they do so no more often.
    fn paths(&self, subject: &Subject, claims: &[Claimed]) -> (usize, Vec<Way>) {
        let first = match subject {
            Subject::Known(what) => what.at_first(),
            Subject::Tag(..) => match claims.first().map(|it| &it.claim) {
                Some(Claim::Left { from, .. } | Claim::Arrived { from: Some(from), .. }) => Spot::In(*from),
                _ => Spot::Outside,
            },
        };
        if claims.is_empty() {
            return (0, vec![vec![(Minute::MIN / 4, first)]]);
        }
        let sprays = self.wettings.iter().filter(|it| it.title == "spray").map(|it| Sprayed {
            number: it.number,
            from: it.from,
            until: it.until,
            // What nobody can date is said of what stood in a room, and not of what went by way of it.
            is_unnamed: it.names.is_none()
                && !self.wettings.iter().any(|gap| gap.title == "gap" && gap.room == it.room),
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
        // Written for another room than it was in: the same parts of this one. What was written for the room in which it really was
        // says nothing of the first one.
        names.iter().filter(|(_, of)| *of != room && *of == wetting.room).any(|(name, _)| {
            let part = name.rsplit('/').next().unwrap_or(name);
            match subject {
                Subject::Known(What::BedPart { bed, part: own }) => {
                    *own == part && name.contains('/') && self.beds.contains(&(*bed, room))
                }
                Subject::Known(What::RoomPart { room: home, part: own }) => *own == part && *home == room,
                _ => false,
            }
        })
    }

    /// Point 5. "Felt dry means dry from then on, once label time is over in this world; unfelt means wet, for ever."
    fn is_felt(&self, wetting: &Wetting, subject: &Subject, way: &Way) -> bool {
        self.feelings.iter().any(|it| {
            // Under whatever tag it was known before.
            let before =
                if let Subject::Tag(_, Some(what)) = subject { Some(Subject::Known(what.clone())) } else { None };
            let means = |name: &String, subject: &Subject| self.means(name, it.room, subject);
            let named = it.dry.iter().any(|name| means(name, subject) || before.iter().any(|it| means(name, it)));
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
                if std::env::var("TRACE").is_ok() {
                    for (s, ways) in &all {
                        if s == subject {
                            eprintln!("{s:?} {:?}", ways);
                        }
                    }
                    for (s, c) in &self.subjects {
                        if s == *subject {
                            for c in c {
                                eprintln!("   {c:?}");
                            }
                        }
                    }
                }
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

//! The same histories, and then something happens to the file: lines lost, doubled, moved, unreadable, edited.

use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, Entry, Feel, Number, Place, Time};
use dryhold::domain::facility::Zone;

use super::acts::Chance;
use super::histories::{Beginning, Tally, agree};
use super::hospital::{BEDS, PEOPLE, ROOMS, code, minutes, ward_of};

#[derive(Clone, Copy, PartialEq, Eq)]
enum Damage {
    Lost,
    Doubled,
    DoubledDifferently,
    Unreadable,
    Moved,
    Edited,
}

impl Damage {
    const ALL: [Self; 6] =
        [Self::Lost, Self::Doubled, Self::DoubledDifferently, Self::Unreadable, Self::Moved, Self::Edited];

    fn word(self) -> &'static str {
        match self {
            Self::Lost => "lost",
            Self::Doubled => "doubled",
            Self::DoubledDifferently => "doubled differently",
            Self::Unreadable => "unreadable",
            Self::Moved => "moved",
            Self::Edited => "edited",
        }
    }

    /// A well-forged line cannot be told from a true one: of those, only the oracle is asked.
    fn must_close(self) -> bool {
        !matches!(self, Self::Edited | Self::Moved)
    }
}

/// Damages the ledger in one way, and compares what is open then with the oracle and with the whole ledger.
pub(super) fn check(
    beginning: &Beginning,
    whole: &Board,
    entries: &[Entry],
    now: Time,
    chance: &mut Chance,
    tally: &mut Tally,
) -> Result<(), String> {
    let damage = chance.pick(&Damage::ALL);
    let settings = beginning.entries.len();
    // Mostly in what happened, at times in the settings; never the last line, whose loss nobody can see.
    let at = match chance.percent(85) && entries.len() > settings + 1 {
        true => settings + chance.below(entries.len() - settings - 1),
        false => chance.below(entries.len() - 1),
    };
    let mut damaged = entries.to_vec();
    let line = damaged[at].number;
    let mut other_line = None;
    match damage {
        Damage::Lost => {
            let lines = (1 + chance.below(3)).min(entries.len() - 1 - at);
            damaged.drain(at..at + lines);
        }
        Damage::Doubled => damaged.push(entries[at].clone()),
        Damage::DoubledDifferently => {
            let mut other = entries[chance.below(entries.len())].clone();
            other.number = line;
            damaged.push(other);
        }
        Damage::Unreadable => {
            damaged[at].body = Body::Unreadable { raw: "Body(?".into(), why: "cut".into() };
            if chance.percent(20) {
                damaged[at].place = Place::Unknown;
            }
        }
        Damage::Moved => {
            let other = chance.below(entries.len());
            (damaged[at].number, damaged[other].number) = (damaged[other].number, damaged[at].number);
            other_line = Some(entries[other].number);
        }
        Damage::Edited => edit(&mut damaged[at], now, chance),
    }
    let mut how = format!(" though line {line} is {}", damage.word());
    if let Some(other) = other_line {
        how.push_str(&format!(" with line {other}"));
    }
    if damage == Damage::Edited {
        how.push_str(&format!(" from {:?} to {:?}", entries[at], damaged[at]));
    }
    // An attest that already names the line settles it beforehand.
    let attested =
        entries.iter().any(|e| matches!(&e.body, Body::Attested { line: of, .. } if of.0.abs_diff(line.0) < 4));
    let board = Board::fold(&damaged);
    for bed in BEDS {
        let open = board.admission(code(bed), now).is_empty();
        tally.damaged.entry(damage.word()).or_default()[usize::from(open)] += 1;
        if !open {
            continue;
        }
        agree(&damaged, bed, now, &how)?;
        // What was carried out of there before is not known to be of that line any more: it is told by the stories of things.
        let is_of_it = || is_about(&entries[at].place, bed) && names_all_it_touches(&entries[at], entries);
        let readable_place = damage != Damage::Unreadable || is_of_it();
        if damage.must_close() && readable_place && !attested && !whole.admission(code(bed), now).is_empty() {
            return Err(format!(
                "bed {bed} is open{how}, and was closed before: {:?}",
                whole.admission(code(bed), now)
            ));
        }
    }
    Ok(())
}

/// Whether a place takes in the bed's room, or the bathroom, which is of the ward of the rooms that it serves.
fn is_about(place: &Place, bed: &str) -> bool {
    let room = bed.split('-').next().unwrap_or_default();
    match place {
        Place::Rooms(rooms) => rooms.contains(&code(room)) || rooms.contains(&code("BATH")),
        Place::Ward(ward) => ward_of(bed) == ward.as_str(),
        Place::Hospital | Place::Unknown => true,
    }
}

/// A line names every room that it closes, or `decide` would not have written it. One forged otherwise takes the room
/// that it leaves out with it when it becomes unreadable; a forged line is not what this proof is about.
fn names_all_it_touches(line: &Entry, entries: &[Entry]) -> bool {
    // A setting of the whole hospital that names a room is refused, and closes everything.
    let of_a_place = matches!(line.body, Body::WardSet { .. } | Body::RoomSet { .. });
    if line.body.is_setting() && !of_a_place && matches!(line.place, Place::Ward(_) | Place::Rooms(_)) {
        return false;
    }
    let beds: &[Code] = match &line.body {
        Body::Occupied { beds } => beds,
        Body::OccupancyConfirmed { occupied, .. } => occupied,
        _ => &[],
    };
    let room_of = |bed: &Code| code(bed.as_str().split('-').next().unwrap_or_default());
    let names_its_bed = |bed: &Code| match &line.place {
        Place::Rooms(rooms) => rooms.contains(&room_of(bed)),
        Place::Ward(ward) => ward_of(bed.as_str()) == ward.as_str(),
        Place::Hospital | Place::Unknown => true,
    };
    if !beds.iter().all(names_its_bed) {
        return false;
    }
    // `decide` takes no walk that found a room wet which was not walked.
    if let Body::WardWalked { wet: Some(wet), .. } = &line.body {
        let is_walked = |room: &Code| match &line.place {
            Place::Rooms(rooms) => rooms.contains(room),
            Place::Ward(ward) => ward_of(room.as_str()) == ward.as_str(),
            Place::Hospital | Place::Unknown => true,
        };
        if !wet.iter().all(is_walked) {
            return false;
        }
    }
    // `decide` takes no part of a bed that never stood in a room of the place; beds of this hospital are not rolled.
    let parts: Vec<Zone> = match &line.body {
        Body::Sprayed { zones, .. } | Body::SprayCompleted { zones, .. } => zones.iter().flatten().copied().collect(),
        Body::EnteredWet { wiped, .. } => wiped.clone(),
        Body::DryChecked { zones, .. } | Body::SecondChecked { zones, .. } => {
            zones.iter().map(|(zone, _)| *zone).collect()
        }
        _ => vec![],
    };
    let is_left_out = |zone: &Zone| zone.bed.is_some_and(|bed| !names_its_bed(&bed));
    if parts.iter().any(is_left_out) {
        return false;
    }
    let other = match &line.body {
        Body::PatientOut { receiving, .. } | Body::PatientMoved { receiving, .. } => *receiving,
        Body::ThingLeft { to, .. } => *to,
        Body::ThingArrived { from, .. } => *from,
        Body::Voided { really_in, entry, .. } => {
            // Of a void `decide` takes no other place than the voided entry's: a ward's for a walk of the ward.
            let names = |room: &Code| matches!(&line.place, Place::Rooms(rooms) if rooms.contains(room));
            let named = match entries.iter().find(|e| e.number == *entry).map(|e| &e.place) {
                Some(Place::Rooms(rooms)) => rooms.iter().all(names),
                Some(other) => line.place == *other,
                None => true,
            };
            if !named {
                return false;
            }
            *really_in
        }
        Body::SprayCompleted { spray, .. } => {
            entries.iter().find(|e| e.number == *spray).and_then(|e| e.place.first_room())
        }
        _ => None,
    };
    other.is_none_or(|room| matches!(&line.place, Place::Rooms(rooms) if rooms.contains(&room)))
}

/// One field becomes another one that could stand there.
fn edit(entry: &mut Entry, now: Time, chance: &mut Chance) {
    match chance.below(7) {
        0 => entry.happened -= minutes(chance.below(600) as i64 - 200),
        1 => entry.noted = now - minutes(chance.below(600) as i64),
        2 => entry.done_by = code(chance.pick(&PEOPLE)),
        3 => entry.noted_by = code(chance.pick(&PEOPLE)),
        4 => entry.place = Place::room(code(chance.pick(&ROOMS))),
        _ => match &mut entry.body {
            Body::DryChecked { began, zones, .. } => {
                *began -= minutes(chance.below(200) as i64);
                for (_, feel) in zones.iter_mut() {
                    *feel = chance.pick(Feel::ALL);
                }
            }
            Body::Sprayed { zones, finished, bags, reentry_words, .. } => match chance.below(4) {
                0 => *zones = None,
                1 => *finished = None,
                2 => *bags = None,
                _ => *reentry_words = None,
            },
            Body::Laundered { cycle, .. } => cycle.wash_minutes = Some(chance.below(40) as u32),
            Body::ReturnedToService { seen, .. } | Body::WardWalked { seen, .. } => {
                *seen = Number(chance.below(60) as u64)
            }
            Body::Voided { entry, .. } => *entry = Number(chance.below(60) as u64),
            _ => {}
        },
    }
}

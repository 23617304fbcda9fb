//! What the judge knows of linens: beds that were slept in, bags that were filled, loads.

use super::heard::is_taken_back;
use super::place::{BEDDING, BEDS, Minute, ROOMS, Room};
use super::said::{Note, Say, longest_label, on_the_list_at};

/// What was sprayed lay in this room from then until then.
struct Span {
    number: u64,
    room: Room,
    from: Minute,
    sprayed_until: Minute,
    until: Minute,
    /// The bedding itself was sprayed.
    bedding: bool,
    /// What became of the linens was not stated.
    unstated: bool,
    voided: bool,
}

/// Point 7. "A bag holds what this world had on the bed; a load is as noted."
///
/// `stood`: whether a bed may have stood in a room at some time between two.
pub(super) fn treated_and_not_laundered(
    notes: &[Note],
    stood: &dyn Fn(usize, Room, Minute, Minute) -> bool,
) -> Vec<(Room, String)> {
    let mut holes = vec![];
    let bags = filled(notes);
    for span in spans(notes).iter().filter(|span| !span.voided) {
        if span.unstated {
            holes.push((span.room, format!("nobody said what became of the linens of spray {}", span.number)));
        }
        // What was in a load before that, or looked through and emptied, was not there.
        let was_away = |bag: &Bag| {
            bag.at < span.from && (is_laundered_by(notes, bag, bag.at, span.from) || is_emptied(notes, bag, span.from))
        };
        let here = |bag: &&Bag| bag.room == span.room && bag.at <= span.until && !was_away(bag);
        for bag in bags.iter().filter(here) {
            if !is_laundered(notes, bag, span.from) {
                holes.push((
                    span.room,
                    format!("bag {} may be treated by spray {}, and is not laundered", bag.tag, span.number),
                ));
            }
        }
        // Whoever lay there lay in linens, and these, as sprayed bedding, go into a bag.
        let lain_in = span.bedding
            || (0..BEDS.len()).any(|bed| {
                let (from, until) = (span.from, span.sprayed_until);
                was_occupied(notes, bed, span.room, from, until) && stood(bed, span.room, from, until)
            });
        let after = |bag: &&Bag| bag.room == span.room && bag.at >= span.from;
        if lain_in && !bags.iter().any(|bag| after(&bag)) {
            holes.push((
                span.room,
                format!("the linens of whoever lay in {} at spray {} are in no bag", ROOMS[span.room], span.number),
            ));
        }
    }
    holes
}

struct Bag {
    tag: String,
    room: Room,
    at: Minute,
}

fn filled(notes: &[Note]) -> Vec<Bag> {
    let mut all = vec![];
    for note in notes.iter().filter(|note| !is_taken_back(notes, note.number)) {
        let (room, bags, at) = match &note.say {
            Say::Spray { room, bags: Some(bags), .. } => (*room, bags, note.happened),
            Say::Prepare { room, bags } => (*room, bags, note.happened),
            Say::Complete { room, spray, bags: Some(bags), .. } => {
                let of = notes.iter().find(|it| it.number == *spray).map_or(note.happened, |it| it.happened);
                (*room, bags, of)
            }
            _ => continue,
        };
        // Two bags that were typed as one are two.
        for tag in bags.iter().flat_map(|tag| tag.split(';')) {
            all.push(Bag { tag: tag.trim().to_owned(), room, at });
        }
    }
    all
}

fn is_laundered(notes: &[Note], bag: &Bag, treated: Minute) -> bool {
    is_laundered_by(notes, bag, treated, Minute::MAX)
}

/// Looked through before this time: nothing was found, and it is a bag no more.
fn is_emptied(notes: &[Note], bag: &Bag, before: Minute) -> bool {
    let is_it = |note: &Note| matches!(&note.say, Say::LookedThrough { bag: tag, .. } if *tag == bag.tag);
    notes.iter().any(|note| {
        is_it(note) && note.happened > bag.at && note.happened < before && !super::heard::is_voided(notes, note.number)
    })
}

/// Between these times.
fn is_laundered_by(notes: &[Note], bag: &Bag, treated: Minute, before: Minute) -> bool {
    notes.iter().any(|note| {
        let voided = notes.iter().any(|it| matches!(it.say, Say::Void { entry, .. } if entry == note.number));
        matches!(&note.say, Say::Launder { bag: tag, well: true, .. } if *tag == bag.tag)
            && note.happened > treated.max(bag.at)
            && note.happened < before
            && !voided
    })
}

/// By the notes somebody lay in the bed at some time of this, and the book had the bed in this room when they came or when they left.
fn was_occupied(notes: &[Note], bed: usize, in_room: Room, from: Minute, until: Minute) -> bool {
    let mut lies: Option<(Minute, Room)> = None;
    let mut stays: Vec<(Minute, Minute, [Room; 2])> = vec![];
    let mut told: Vec<(&Note, Room, bool)> = vec![];
    for note in notes {
        match &note.say {
            Say::Occupied { bed: of, room } if *of == bed => told.push((note, *room, true)),
            Say::Empty { bed: of, room } | Say::PatientOut { bed: of, room } if *of == bed => {
                told.push((note, *room, false));
            }
            _ => {}
        }
    }
    told.sort_by_key(|(note, ..)| (note.happened, note.number));
    for (note, room, lay) in told {
        match (lay, lies) {
            (true, None) => lies = Some((note.happened, room)),
            (false, Some((since, came_in))) => {
                stays.push((since, note.happened, [came_in, room]));
                lies = None;
            }
            _ => {}
        }
    }
    stays.extend(lies.map(|(since, room)| (since, Minute::MAX, [room; 2])));
    stays.iter().any(|(since, to, rooms)| rooms.contains(&in_room) && *since < until && *to > from)
}

/// From each spray's beginning until somebody felt that something there was dry, the label's time over.
fn spans(notes: &[Note]) -> Vec<Span> {
    let longest = longest_label(notes);
    let mut all = vec![];
    for note in notes {
        let Say::Spray { room, until, product, bags, zones, .. } = &note.say else { continue };
        let mut ends: Vec<Minute> = until.iter().copied().collect();
        let mut labels: Vec<Minute> = on_the_list_at(notes, note.number, product).into_iter().collect();
        let mut unstated = bags.is_none();
        let names = |zones: &Option<Vec<String>>| zones.iter().flatten().any(|name| name.ends_with(BEDDING));
        let mut bedding = names(zones);
        for more in notes {
            // Two people read the same off it: what was said before was a mistake.
            if let Say::Less { spray, until, label, .. } = &more.say
                && *spray == note.number
                && super::heard::is_second(notes, more)
            {
                ends = until.map_or(ends, |until| vec![until]);
                labels = label.map_or(labels, |label| vec![label]);
            }
            if let Say::Complete { spray, zones, until, label, bags, .. } = &more.say
                && *spray == note.number
            {
                ends.extend(*until);
                labels.extend(*label);
                unstated &= bags.is_none();
                bedding |= names(zones);
            }
        }
        let sprayed_until = ends.into_iter().max().unwrap_or(note.noted);
        let end = sprayed_until + labels.into_iter().max().unwrap_or(longest);
        // Here, or wherever something went that left under its tag.
        let left = |tag: &String| {
            notes.iter().any(|it| matches!(&it.say, Say::Left { room: from, tag: of, .. } if from == room && of == tag))
        };
        let dry = notes.iter().filter_map(|it| match &it.say {
            Say::Check { room: of, began, dry, .. } if *began >= end => {
                let is_of_it = if of == room { !dry.is_empty() } else { dry.iter().any(left) };
                is_of_it.then_some(*began)
            }
            _ => None,
        });
        all.push(Span {
            number: note.number,
            room: *room,
            from: note.happened,
            sprayed_until,
            until: dry.min().unwrap_or(Minute::MAX),
            unstated,
            bedding,
            voided: notes.iter().any(|it| matches!(it.say, Say::Void { entry, .. } if entry == note.number)),
        });
    }
    all
}

//! Where a surface can have been, by what was noted of its moves.

use super::place::{Minute, Room, Spot};

/// A shift: how long before its note a bed may have been rolled.
const SHIFT: Minute = 12 * 60;
/// Long before every story.
const EVER: Minute = Minute::MIN / 4;

#[derive(Clone, Debug)]
pub(super) enum Claim {
    Left {
        from: Room,
        to: Option<Room>,
    },
    Arrived {
        at: Room,
        from: Option<Room>,
    },
    Seen {
        at: Room,
    },
    /// Another part of its bed was seen there: so was this one, unless it was taken out.
    BedSeen {
        at: Room,
    },
    /// Nobody finds it.
    GivenUp,
    /// By the book, of a bed: between a shift before the note and the walk. `from`: where the book had it.
    Rolled {
        from: Room,
        to: Room,
        /// It was walked where the book had it before.
        since: Minute,
        walked: Option<Minute>,
    },
}

#[derive(Clone, Debug)]
pub(super) struct Claimed {
    pub(super) at: Minute,
    pub(super) noted: Minute,
    pub(super) number: u64,
    pub(super) voided: bool,
    /// Said of this one by itself: of a part of a bed, that it was taken out.
    pub(super) alone: bool,
    pub(super) claim: Claim,
}

/// A spray, as far as it tells how late a move can have been: its number, its end, the rooms that a note of it gives.
pub(super) struct Sprayed {
    pub(super) number: u64,
    pub(super) from: Minute,
    pub(super) until: Minute,
    pub(super) rooms: Vec<Room>,
    /// No note of it names what it hit.
    pub(super) is_unnamed: bool,
}

/// One way that a surface can have gone: from when it was where.
pub(super) type Way = Vec<(Minute, Spot)>;

pub(super) fn spot(way: &[(Minute, Spot)], at: Minute) -> Spot {
    way.iter().rev().find(|(from, _)| *from <= at).map_or(Spot::Outside, |(_, spot)| *spot)
}

pub(super) fn was_in(way: &[(Minute, Spot)], room: Room, from: Minute, until: Minute) -> bool {
    way.iter().enumerate().any(|(i, (since, spot))| {
        let to = way.get(i + 1).map_or(Minute::MAX, |(next, _)| *next);
        *spot == Spot::In(room) && *since <= until && to > from
    })
}

/// A way so far, how often the notes break off on it, and whether it has left for nobody knows where.
#[derive(Clone, PartialEq)]
struct Path {
    way: Way,
    broken: usize,
    adrift: bool,
    /// When a note last placed it where this way has it: it has not left before.
    placed: Minute,
    /// Taken out of its bed: it goes along only from where the bed is.
    out: bool,
}

impl Path {
    fn gone(&self, at: Minute, to: Spot, broken: usize) -> Self {
        let mut way = self.way.clone();
        way.push((at, to));
        Self { way, broken: self.broken + broken, adrift: false, out: self.out, placed: self.placed.max(at) }
    }

    fn stays(&self, broken: usize) -> Self {
        Self { broken: self.broken + broken, ..self.clone() }
    }
}

/// Point 3. "Each surface was always in one room; every noted move is true, save where another contradicts it; its time is
/// believed only back to the last spray noted before it; unnoted moves only where the notes break off."
pub(super) fn ways(first: Spot, claims: &[Claimed], sprays: &[Sprayed]) -> (usize, Vec<Way>) {
    let mut all: Vec<Path> = vec![];
    for (turned, told) in orders(claims, sprays) {
        let mut paths =
            vec![Path { way: vec![(EVER, first)], broken: turned, adrift: false, out: false, placed: EVER }];
        for claimed in &told {
            paths = paths.iter().flat_map(|path| follow(path, claimed, (&told, sprays))).collect();
            paths.sort_by(|a, b| {
                (a.broken, a.adrift, a.out, a.placed, &a.way).cmp(&(b.broken, b.adrift, b.out, b.placed, &b.way))
            });
            paths.dedup();
            paths.truncate(96);
        }
        all.extend(paths);
    }
    // "Save where another contradicts it": no world breaks with more of the notes than it has to.
    let least = all.iter().map(|path| path.broken).min().unwrap_or(0);
    let mut ways: Vec<Way> = all.into_iter().filter(|path| path.broken == least).map(|path| path.way).collect();
    ways.sort();
    ways.dedup();
    (least, ways)
}

/// Each noted move at its time, or after the last spray that was noted before it, as far as it was noted by then. With how often
/// that turns round what was said to come first: how long ago it was is not believed, and what came before what is.
fn orders(claims: &[Claimed], sprays: &[Sprayed]) -> Vec<(usize, Vec<Claimed>)> {
    let mut orders: Vec<Vec<(Minute, Claimed)>> = vec![vec![]];
    for claimed in claims {
        let late = believed_from(claimed, sprays).filter(|late| *late > claimed.at);
        let late = late.map(|at| (claimed.at, Claimed { at, ..claimed.clone() }));
        let all = [(claimed.at, claimed.clone())].into_iter().chain(late).chain(rolled_before(claimed, claims));
        let all: Vec<(Minute, Claimed)> = all.collect();
        let mut next = vec![];
        for order in &orders {
            next.extend(all.iter().map(|it| order.iter().chain([it]).cloned().collect()));
        }
        next.truncate(64);
        orders = next;
    }
    let in_order = |mut order: Vec<(Minute, Claimed)>| {
        // What leaves and arrives in the same minute leaves first.
        order.sort_by_key(|(said, it)| (it.at, *said, !matches!(it.claim, Claim::Left { .. }), it.number));
        let turned = order.windows(2).filter(|pair| pair[0].0 > pair[1].0).count();
        (turned, order.into_iter().map(|(_, claimed)| claimed).collect())
    };
    orders.into_iter().map(in_order).collect()
}

/// A bed was rolled as the book has it before it is said to have left that room again, in the shift before the book was changed.
fn rolled_before(rolled: &Claimed, claims: &[Claimed]) -> Option<(Minute, Claimed)> {
    let Claim::Rolled { from, to, since, .. } = rolled.claim else { return None };
    // What the book said before that came before.
    let booked = claims.iter().filter(|it| matches!(it.claim, Claim::Rolled { .. }) && it.number < rolled.number);
    let booked = booked.map(|it| it.at).max().unwrap_or(EVER);
    let since = since.max(rolled.noted - SHIFT).max(booked);
    let leaves = |it: &&Claimed| !it.alone && matches!(it.claim, Claim::Left { from, .. } if from == to);
    let left = claims.iter().filter(leaves).map(|it| it.at).filter(|at| *at > since && *at < rolled.at).min()?;
    let claim = Claim::Rolled { from, to, since, walked: Some(left - 1) };
    Some((left - 1, Claimed { at: left - 1, noted: left - 1, claim, ..rolled.clone() }))
}

/// "Its time is believed only back to the last spray noted before it."
fn believed_from(claimed: &Claimed, sprays: &[Sprayed]) -> Option<Minute> {
    let stays = match claimed.claim {
        Claim::Left { from, .. } => Some(from),
        Claim::Arrived { from, .. } => from,
        Claim::Seen { .. } | Claim::BedSeen { .. } | Claim::Rolled { .. } | Claim::GivenUp => return None,
    };
    let before = |w: &&Sprayed| w.number < claimed.number && stays.is_none_or(|room| w.rooms.contains(&room));
    let last = sprays.iter().filter(before).map(|w| w.until + 1).max();
    last.map(|late| late.min(claimed.noted))
}

/// Whether the bed itself was last noted in another room than this.
fn bed_left(told: &[Claimed], rolled: &Claimed, from: Room) -> bool {
    let of_bed = told.iter().filter(|it| !it.alone && it.at <= rolled.at && !it.voided);
    let mut stood = of_bed.filter_map(|it| match it.claim {
        Claim::Left { to: Some(room), .. } | Claim::Arrived { at: room, .. } | Claim::BedSeen { at: room } => {
            Some(room)
        }
        Claim::Left { to: None, .. } | Claim::Seen { .. } | Claim::GivenUp | Claim::Rolled { .. } => None,
    });
    stood.next_back().is_some_and(|room| room != from)
}

/// The ways on from here by which this claim is true, or contradicted.
fn follow(path: &Path, claimed: &Claimed, (told, sprays): (&[Claimed], &[Sprayed])) -> Vec<Path> {
    let (since, here) = path.way.last().copied().unwrap_or((EVER, Spot::Outside));
    let at = claimed.at.max(since);
    // Between two times nobody knows when: what counts is which sprays of the two rooms it stood through.
    let between = |from: Minute, until: Minute| {
        let ends = sprays.iter().map(|spray| spray.until + 1).filter(|at| *at > from && *at < until);
        let mut times: Vec<Minute> = [from, until].into_iter().chain(ends).collect();
        times.sort_unstable();
        times.dedup();
        times
    };
    // Nobody noted that it went over there before.
    let over = |room: Room, to: Option<Spot>| -> Vec<Path> {
        let leave = |when: Minute| {
            // Of what left for nobody knows where that is no wonder, nor of a thing of which nothing was ever told before.
            let is_news = path.way.len() == 1 && here == Spot::Outside;
            let mut path = path.gone(when, Spot::In(room), usize::from(!path.adrift && !is_news));
            path.way.extend(to.map(|to| (at.max(when), to)));
            path.adrift = to.is_none();
            path
        };
        let left = since.max(path.placed) + 1;
        between(left, at.max(left)).into_iter().map(leave).collect()
    };
    let mut paths: Vec<Path> = vec![];
    // Nobody notes what has not happened yet.
    let is_ahead = since > claimed.noted && matches!(claimed.claim, Claim::Left { .. } | Claim::Arrived { .. });
    match &claimed.claim {
        _ if is_ahead => paths.push(path.stays(1)),
        // By then it had gone on, by this way: it was there at the time, or this is no such world.
        Claim::BedSeen { .. } if path.out => paths.push(path.stays(0)),
        Claim::Seen { at: room } | Claim::BedSeen { at: room } if since > claimed.at => {
            paths.push(path.stays(usize::from(spot(&path.way, claimed.at) != Spot::In(*room))));
        }
        Claim::Seen { at: room } | Claim::BedSeen { at: room } => match here == Spot::In(*room) {
            true => paths.push(Path { placed: path.placed.max(at), ..path.stays(0) }),
            false => paths.push(path.gone(at, Spot::In(*room), usize::from(!path.adrift))),
        },
        Claim::Left { from, to } => match (here == Spot::In(*from), to) {
            (true, Some(to)) => paths.push(path.gone(at, Spot::In(*to), 0)),
            // Where to was not noted: looked for in the room that it left, until it is seen.
            (true, None) => {
                let stays = Path { adrift: true, placed: path.placed.max(at), ..path.stays(0) };
                // Nobody knows where it was meanwhile: it may have gone by way of a room in which whatever stood there was sprayed.
                let is_next = |it: &&Claimed| (it.at, it.number) > (claimed.at, claimed.number);
                let found = told.iter().filter(is_next).map(|it| it.at.max(at)).min().unwrap_or(Minute::MAX / 8);
                for spray in sprays.iter().filter(|it| it.is_unnamed && it.until >= at && it.from < found) {
                    for room in &spray.rooms {
                        let mut path = stays.clone();
                        path.way.push((at.max(spray.from), Spot::In(*room)));
                        path.way.push((found.min(spray.until + 1).max(at.max(spray.from)), here));
                        paths.push(path);
                    }
                }
                paths.push(stays);
            }
            (false, to) => {
                // The notes break off: it was in that room before, nobody noted since when; or this note is wrong.
                paths.extend(over(*from, to.map(Spot::In)));
                paths.push(path.stays(1));
            }
        },
        Claim::Arrived { at: room, from } => {
            let target = Spot::In(*room);
            let from_here = from.is_none_or(|from| here == Spot::In(from));
            // Where it names the room that it was in, and no leaving there was noted since it came, nothing is missing between.
            let is_its_leaving = |it: &Claimed| {
                let is_there = |left: Room, to: Option<Room>| Some(left) == *from && to.is_none_or(|to| to == *room);
                it.at >= since && matches!(it.claim, Claim::Left { from: left, to } if is_there(left, to))
            };
            let says_all = from.is_some() && !told.iter().any(is_its_leaving);
            let unnoted = usize::from(!path.adrift && here != Spot::Outside && !says_all);
            match (here == target, from_here, from) {
                (true, ..) => paths.push(Path { placed: path.placed.max(at), ..path.stays(0) }),
                (_, true, _) | (_, _, None) => paths.push(path.gone(at, target, unnoted)),
                (_, false, Some(from)) => {
                    // Nobody noted that it went there first; or it came from elsewhere; or it did not come.
                    paths.extend(over(*from, Some(target)));
                    paths.push(path.gone(at, target, 1));
                    if here != Spot::Outside {
                        paths.push(path.stays(1));
                    }
                }
            }
        }
        Claim::GivenUp => paths.push(Path { adrift: true, ..path.gone(at, Spot::Outside, 0) }),
        // What was taken out goes along only from where the bed is.
        Claim::Rolled { from, .. } if path.out && (here != Spot::In(*from) || bed_left(told, claimed, *from)) => {
            paths.push(path.stays(0));
        }
        // The bed was seen there before this was put where it had been.
        Claim::Rolled { to, .. }
            if path.out
                && told.iter().any(|it| {
                    matches!(it.claim, Claim::BedSeen { at } if at == *to) && it.at < path.placed && it.at <= claimed.at
                }) =>
        {
            paths.push(path.stays(0));
        }
        Claim::Rolled { to, walked, since: bound, .. } => {
            let target = Spot::In(*to);
            let early = (claimed.noted - SHIFT).max(since + 1).max(path.placed + 1).max(*bound);
            let seen_by = walked.unwrap_or(claimed.noted).max(claimed.noted);
            // What was taken out and put back on it was rolled along by when the bed was seen there.
            let bed_seen =
                told.iter().filter(|it| matches!(it.claim, Claim::BedSeen { at } if at == *to)).map(|it| it.at);
            let bed_seen = bed_seen.filter(|at| path.out && *at >= early).min();
            // Nor did it wait where it was until after it was seen in another room.
            let is_away = |it: &&Claimed| matches!(it.claim, Claim::Seen { at } if Spot::In(at) != here);
            let seen_away = told.iter().filter(is_away).map(|it| it.at).filter(|at| *at >= early).min();
            let late = bed_seen.into_iter().chain(seen_away).fold(seen_by, Minute::min).max(early);
            // No later than it was seen there on the walk; else the book is wrong.
            match early > seen_by {
                true => paths.push(path.stays(1)),
                false => paths.extend(between(early, late).into_iter().map(|at| path.gone(at, target, 0))),
            }
            // What was taken out did not go along where a note has it leave that room afterwards; and that a bed left it for the room
            // in which the book has it is how it was rolled.
            let leaves_later = |it: &Claimed| match it.claim {
                Claim::Left { from, to: went } => {
                    here == Spot::In(from) && it.at > claimed.at && (path.out || (!it.alone && went == Some(*to)))
                }
                _ => false,
            };
            if walked.is_none() || told.iter().any(leaves_later) {
                paths.push(path.stays(0));
            }
        }
    }
    if claimed.alone {
        paths.iter_mut().for_each(|path| path.out = true);
    }
    if claimed.voided {
        paths.push(path.stays(0));
    }
    paths
}

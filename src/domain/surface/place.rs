//! Where something stood, from what was noted of its moves.
//!
//! A place is a set of rooms. Notes that cannot both be true leave it in all of them, until somebody sees it.

use super::track::{Retimed, Track};
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// Where something went.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Destination {
    Room(Code),
    /// Nobody said: it counts as in the room that it left, until it is seen.
    Unknown,
    /// A store, a theatre: no room of the hospital's book.
    Outside,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Step {
    Left {
        from: Code,
        to: Destination,
    },
    Arrived {
        at: Code,
        from: Option<Code>,
    },
    /// Felt or seen there under its tag.
    Seen {
        at: Code,
    },
    /// The book has the bed in another room. Not exact: it may be in either.
    Rolled {
        from: Code,
        to: Code,
        is_exact: bool,
    },
    /// Nobody finds it: it is in no room that anybody knew of by then.
    Lost,
    /// A note speaks of it as standing there, though by its moves it was elsewhere.
    Named {
        at: Code,
    },
}

impl Step {
    /// That the book has it there, or that a note speaks of it, says nothing of since when; nor does it bring anything back.
    pub(super) fn is_hearsay(self) -> bool {
        match self {
            Self::Rolled { is_exact, .. } => !is_exact,
            Self::Named { .. } => true,
            Self::Left { .. } | Self::Arrived { .. } | Self::Seen { .. } | Self::Lost => false,
        }
    }

    pub fn rooms(self) -> Vec<Code> {
        match self {
            Self::Left { from, to: Destination::Room(to) } | Self::Rolled { from, to, .. } => vec![from, to],
            Self::Left { from, to: Destination::Unknown | Destination::Outside } => vec![from],
            Self::Arrived { at, from } => std::iter::once(at).chain(from).collect(),
            Self::Seen { at } | Self::Named { at } => vec![at],
            Self::Lost => vec![],
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Move {
    /// When it happened.
    pub at: Time,
    /// The entry that says so.
    pub number: Number,
    pub step: Step,
    /// Taken back, or perhaps said of something else: it may have happened, and may not.
    pub in_doubt: bool,
}

/// Something may have been in a room between these times. The numbers are of the entries that say so.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Visit {
    pub(super) room: Code,
    pub(super) from: Time,
    pub(super) until: Time,
    came: Number,
    went: Number,
}

impl Visit {
    /// Nobody noted that it came: this entry says that it had been there.
    pub(super) fn is_told_by(&self, number: Number) -> bool {
        self.went == number && self.came == Number::default()
    }

    /// Whether it was there at this time, for whoever notes this number: within one minute the numbers give the order.
    pub(super) fn holds(&self, at: Time, number: Number) -> bool {
        let came = (self.from, self.came) <= (at, number);
        let left = (self.until, self.went) < (at, number);
        came && !left
    }
}

/// A walk along the moves.
struct Walk<'a> {
    here: Vec<(Code, Time, Number)>,
    visits: Vec<Visit>,
    /// It left for nobody knows where: an arrival from that room says where.
    looked_for: Option<Code>,
    last: Time,
    /// The last time before that one: within one minute nobody knows which came first.
    earlier: Time,
    /// The last sighting.
    seen: Option<(Code, Time, Number)>,
    /// The entries by which the book had its bed rolled, and nobody said when.
    by_book: Vec<Number>,
    /// A move was taken back, and nobody has seen it since: it may be wherever it is said to have been.
    in_doubt: bool,
    /// Arrivals that were noted, also where it was by record already.
    came: Vec<(Code, Time, Number)>,
    /// The rooms that notes spoke of so far, by which entry.
    told: Vec<(Code, Number)>,
    /// Where it went at a time that is not believed: what was noted before that, and happened before this, may have come first.
    late: Vec<(Code, Time, Number)>,
    /// The moves by a clock that was wrong: whatever happened before such a one may have been may have come first.
    retimed: [&'a [Retimed]; 2],
    believed: &'a dyn Fn(Option<Code>, Time, Number) -> Time,
}

impl Walk<'_> {
    fn rooms(&self) -> Vec<Code> {
        let mut rooms: Vec<Code> = self.here.iter().map(|(room, ..)| *room).collect();
        rooms.sort();
        rooms
    }

    fn is_in(&self, room: Code) -> bool {
        self.here.iter().any(|(here, ..)| *here == room)
    }

    /// The entry of the last sighting.
    fn seen_by(&self) -> Option<Number> {
        self.seen.map(|(_, _, by)| by)
    }

    /// Where nobody noted since when it was there, it may have been since its last move before this time.
    fn since(&self, at: Time) -> Time {
        if self.last < at { self.last } else { self.earlier }
    }

    /// It was there then, and nobody noted that it came: it may have stood there since it was last told of.
    fn may_have_been_in(&mut self, room: Code, it: &Move, until: Time) {
        // That the book has it there says nothing of since when.
        let is_told = |(here, _, by): &(Code, Time, Number)| *here == room && !self.by_book.contains(by);
        if !self.here.iter().any(is_told) {
            let (from, came) = (self.since(it.at), Number::default());
            self.visits.push(Visit { room, from, until, came, went: it.number });
        }
    }

    fn is_only_in(&self, room: Code) -> bool {
        matches!(self.here.as_slice(), [(here, ..)] if *here == room)
    }

    fn add(&mut self, room: Code, it: &Move) {
        if !self.is_in(room) {
            self.here.push((room, it.at, it.number));
        }
    }

    fn remove(&mut self, room: Code, it: &Move, until: Time) {
        if self.late.iter().any(|(to, until, by)| *to == room && it.at < *until && it.number < *by) {
            return;
        }
        let is_it = |(here, ..): &(Code, Time, Number)| *here == room;
        if let Some(at) = self.here.iter().position(is_it) {
            let (room, from, came) = self.here.remove(at);
            self.visits.push(Visit { room, from, until, came, went: it.number });
        }
    }

    fn take(&mut self, it: &Move) {
        // What was perhaps told of another says nothing of since when this one was there.
        self.by_book.extend(it.in_doubt.then_some(it.number));
        // A note of what nobody knew of says nothing of since when it was elsewhere.
        let is_surprise = matches!(it.step, Step::Left { from, .. } if !self.is_in(from));
        // Whatever is told of its being there before it left is no news of it afterwards.
        if let Step::Left { from, .. } = it.step
            && !(it.in_doubt || self.in_doubt)
        {
            self.told.retain(|(room, _)| *room != from);
        }
        // Where the book has a bed says nothing of a part of it that nobody finds.
        if !matches!(it.step, Step::Rolled { .. }) {
            self.told.extend(it.step.rooms().into_iter().map(|room| (room, it.number)));
        }
        match it.step {
            Step::Left { from, to } => {
                let to = match to {
                    Destination::Room(to) => Some(to),
                    Destination::Unknown => Some(from),
                    Destination::Outside => None,
                };
                let until = (self.believed)(Some(from), it.at, it.number);
                self.late.extend(to.filter(|_| until > it.at).map(|to| (to, until, it.number)));
                // It was there, and nobody noted since when.
                self.may_have_been_in(from, it, until);
                // Within one minute nobody knows which came first: that it came here, or that it left.
                let came_then =
                    self.came.iter().any(|(room, at, by)| *room == from && *at == it.at && *by != it.number);
                self.in_doubt |= it.in_doubt;
                if self.in_doubt || came_then {
                    self.add(from, it);
                } else if to != Some(from) {
                    self.remove(from, it, until);
                }
                if let Some(to) = to {
                    self.add(to, it);
                }
                self.looked_for = (to == Some(from)).then_some(from);
            }
            Step::Arrived { at, from } => {
                self.came.push((at, it.at, it.number));
                let until = (self.believed)(from, it.at, it.number);
                self.late.extend((until > it.at).then_some((at, until, it.number)));
                let said = self.looked_for.filter(|room| self.is_only_in(*room) && from.is_none_or(|it| it == *room));
                match said {
                    Some(room) if !it.in_doubt && !self.in_doubt && room != at => {
                        // Of which nobody says where it came from it counts as late as after the last spray of any room.
                        self.remove(room, it, (self.believed)(from, it.at, it.number));
                    }
                    // It came from a room that nobody noted it in.
                    _ => {
                        if let Some(room) = from {
                            self.may_have_been_in(room, it, (self.believed)(Some(room), it.at, it.number));
                        }
                    }
                }
                self.add(at, it);
                self.looked_for = None;
                self.in_doubt |= it.in_doubt;
            }
            Step::Seen { at } if it.in_doubt => {
                self.may_have_been_in(at, it, it.at);
                self.add(at, it);
            }
            // Within one minute nobody knows which came first: it was in either.
            Step::Seen { at }
                if self.seen.is_some_and(|(room, then, by)| room != at && then == it.at && by != it.number) =>
            {
                self.add(at, it);
            }
            Step::Seen { at } => {
                self.may_have_been_in(at, it, it.at);
                self.seen = Some((at, it.at, it.number));
                // What comes to light afterwards does not agree with it: it is in both.
                let is_news = |room: Code| self.told.iter().any(|(of, by)| *of == room && *by > it.number);
                let gone: Vec<Code> = self.rooms().into_iter().filter(|room| *room != at && !is_news(*room)).collect();
                for room in gone {
                    self.remove(room, it, it.at);
                }
                self.add(at, it);
                self.looked_for = None;
                self.in_doubt = false;
            }
            Step::Rolled { from, to, is_exact } => {
                self.by_book.extend((!is_exact).then_some(it.number));
                let was_there = self.is_in(from);
                if was_there && is_exact && !it.in_doubt {
                    self.remove(from, it, (self.believed)(Some(from), it.at, it.number));
                }
                // Wherever it was: the book has it there now.
                self.add(to, it);
            }
            Step::Named { at } => {
                self.may_have_been_in(at, it, it.at);
                self.add(at, it);
            }
            Step::Lost if it.in_doubt => {}
            Step::Lost => {
                // What came to light afterwards was not given up.
                let is_news = |room: Code| self.told.iter().any(|(of, by)| *of == room && *by > it.number);
                let given_up: Vec<Code> = self.rooms().into_iter().filter(|room| !is_news(*room)).collect();
                for room in given_up {
                    self.remove(room, it, it.at);
                }
                self.looked_for = None;
                self.in_doubt = false;
            }
        }
        let until = self.retimed.into_iter().flatten().filter(|by| by.is_of(it)).map(|by| by.until).max();
        if let Some(until) = until {
            let came = it.step.rooms().into_iter().filter(|room| self.is_in(*room)).collect::<Vec<_>>();
            self.late.extend(came.into_iter().map(|room| (room, until, Number(u64::MAX))));
        }
        if !it.in_doubt && !is_surprise && !it.step.is_hearsay() {
            if it.at > self.last {
                self.earlier = self.last;
            }
            self.last = it.at;
        }
    }
}

/// The visits of something that began in these rooms, and the rooms in which it may be now. `bed`: the moves of the bed that it
/// is a part of, which it shares as long as it is where the bed is.
pub(super) fn visits(
    home: &[Code],
    bed: &Track,
    own: &Track,
    believed: &dyn Fn(Option<Code>, Time, Number) -> Time,
) -> (Vec<Visit>, Vec<Code>) {
    visits_from((home, home), bed, own, believed)
}

/// The same of what took the place of a part of a bed, in this room, and was elsewhere before.
pub(super) fn visits_of_new(
    home: &[Code],
    room: Code,
    bed: &Track,
    own: &Track,
    believed: &dyn Fn(Option<Code>, Time, Number) -> Time,
) -> (Vec<Visit>, Vec<Code>) {
    visits_from((home, &[room]), bed, own, believed)
}

/// Where the part began, and where the bed did.
fn visits_from(
    (home, bed_home): (&[Code], &[Code]),
    bed: &Track,
    own: &Track,
    believed: &dyn Fn(Option<Code>, Time, Number) -> Time,
) -> (Vec<Visit>, Vec<Code>) {
    // By a clock that was wrong it may have left as late as this.
    let lingers = bed.lingers.max(own.lingers);
    let believed = |room: Option<Code>, at: Time, number: Number| believed(room, at, number).max(lingers.unwrap_or(at));
    let believed: &dyn Fn(Option<Code>, Time, Number) -> Time = &believed;
    let begin = |home: &[Code], retimed| Walk {
        here: home.iter().map(|room| (*room, BEFORE_ALL, Number::default())).collect(),
        visits: vec![],
        looked_for: None,
        last: BEFORE_ALL,
        earlier: BEFORE_ALL,
        seen: None,
        by_book: vec![],
        in_doubt: false,
        came: vec![],
        told: vec![],
        late: vec![],
        retimed,
        believed,
    };
    let (mut part, mut whole) = (begin(home, [&own.retimed, &bed.retimed]), begin(bed_home, [&bed.retimed, &[]]));
    // Whoever told of the bed after the book did, or walked there, knew where it was by then.
    let is_told_since = |rolled: Number, at: Time| {
        let told = bed.moves.iter().filter(|it| !it.step.is_hearsay()).map(|it| (it.number, it.at));
        told.chain(bed.walked.iter().copied()).any(|(number, then)| number > rolled && then <= at)
    };
    let mut bed = bed.moves.iter().peekable();
    let mut own = own.moves.iter().peekable();
    // When it may have been rolled as the book has it, at the earliest; and where the part was carried last.
    let mut rolled: Option<Move> = None;
    let mut carried: Option<Code> = None;
    loop {
        let is_beds = match (bed.peek(), own.peek()) {
            (Some(of_bed), Some(of_part)) => (of_bed.at, of_bed.number) <= (of_part.at, of_part.number),
            (Some(_), None) => true,
            (None, Some(_)) => false,
            (None, None) => break,
        };
        if is_beds {
            let Some(step) = bed.next() else { break };
            // Where nobody knows when the bed was rolled, what was put back on it may have been rolled along.
            let is_inexact = matches!(step.step, Step::Rolled { is_exact: false, .. });
            let overlaps = part.rooms().iter().any(|room| whole.is_in(*room));
            let may_be_on_it = is_inexact && overlaps;
            let is_with_bed = part.rooms() == whole.rooms() || may_be_on_it;
            let is_perhaps_with_bed =
                !is_with_bed && !whole.here.is_empty() && whole.rooms().iter().all(|room| part.is_in(*room));
            if is_inexact && rolled.is_none_or(|it| it.number != step.number) {
                rolled = Some(*step);
            }
            // Seen by itself, or carried, since the bed may have been rolled, it may have stayed behind.
            let is_own = part.seen_by() != whole.seen_by();
            let is_since = |at: Time| rolled.is_some_and(|since| at > since.at);
            let behind = part.seen.filter(|(_, at, _)| is_own && is_since(*at)).map(|(room, ..)| room);
            // What comes to light of it afterwards was not seen with the bed.
            let is_news = |room: &Code| part.told.iter().any(|(of, by)| of == room && *by > step.number);
            let mut kept: Vec<Code> = part.rooms().into_iter().filter(is_news).collect();
            kept.extend(behind.into_iter().chain(carried));
            // What ever went by itself may be wherever that has it, bed or no bed.
            if carried.is_some() {
                kept.extend(part.rooms());
            }
            whole.take(step);
            if step.step == Step::Lost {
                // A part that is given up with it was given up by itself as well; what was taken out is where it was.
            } else if is_with_bed {
                part.take(step);
                if matches!(step.step, Step::Seen { .. }) {
                    kept.into_iter().for_each(|room| part.add(room, step));
                }
            } else if is_perhaps_with_bed || (overlaps && carried.is_none()) {
                // On the bed, or where else it may be; or seen by itself where the bed may have been, and not taken out: it may have gone
                // along.
                match step.step {
                    Step::Left { to: Destination::Room(to), .. }
                    | Step::Arrived { at: to, .. }
                    | Step::Rolled { to, .. }
                    | Step::Seen { at: to }
                    | Step::Named { at: to } => part.add(to, step),
                    Step::Left { to: Destination::Unknown | Destination::Outside, .. } | Step::Lost => {}
                }
            }
        } else if let Some(step) = own.next() {
            part.take(step);
            let went = match step.step {
                Step::Left { to: Destination::Room(to), .. } | Step::Arrived { at: to, .. } => Some(to),
                Step::Left { from, to: Destination::Unknown } => Some(from),
                Step::Left { to: Destination::Outside, .. }
                | Step::Seen { .. }
                | Step::Rolled { .. }
                | Step::Lost
                | Step::Named { .. } => None,
            };
            carried = went.or(carried);
            // What is put, or seen, where its bed may be yet, may be rolled along.
            let seen = if let Step::Seen { at } = step.step { Some(at) } else { None };
            let seen = seen.filter(|_| rolled.is_some_and(|rolled| !is_told_since(rolled.number, step.at)));
            if let (Some(here), Some(Move { number, step: Step::Rolled { from, to, .. }, .. })) =
                (went.or(seen), rolled)
                && here == from
                && whole.is_in(from)
                && whole.is_in(to)
            {
                part.by_book.push(number);
                part.add(to, &Move { number, ..*step });
            }
        }
    }
    let now = part.rooms();
    let open = part.here.iter().map(|(room, from, came)| Visit {
        room: *room,
        from: *from,
        until: AFTER_ALL,
        came: *came,
        went: Number(u64::MAX),
    });
    let mut all = part.visits;
    all.extend(open);
    (all, now)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{TimeZone, Utc};

    fn code(text: &str) -> Code {
        Code::new(text).unwrap()
    }

    fn at(minute: u32) -> Time {
        Utc.with_ymd_and_hms(2026, 3, 2, 10, minute, 0).unwrap()
    }

    /// `A>B` left A for B, `A>?` for nobody knows where, `A>-` out of the book, `+B` arrived, `+B<A` from A, `!B` seen, `~A>B`
    /// taken back.
    fn track(text: &str) -> Track {
        let mut track = Track::default();
        for (minute, word) in text.split_whitespace().enumerate() {
            let (word, in_doubt) = word.strip_prefix('~').map_or((word, false), |word| (word, true));
            let step = match word.split_at(1) {
                ("+", rest) => match rest.split_once('<') {
                    Some((at, from)) => Step::Arrived { at: code(at), from: Some(code(from)) },
                    None => Step::Arrived { at: code(rest), from: None },
                },
                ("!", rest) => Step::Seen { at: code(rest) },
                _ => {
                    let (from, to) = word.split_once('>').unwrap();
                    let to = match to {
                        "?" => Destination::Unknown,
                        "-" => Destination::Outside,
                        room => Destination::Room(code(room)),
                    };
                    Step::Left { from: code(from), to }
                }
            };
            let number = Number(minute as u64 + 1);
            track.add(Move { at: at(minute as u32), number, step, in_doubt });
        }
        track
    }

    #[test]
    fn what_cannot_be_true_together_leaves_it_in_every_room_until_it_is_seen() {
        let ends = [
            ("", "A"),
            ("A>B", "B"),
            ("A>?", "A"),
            ("A>-", ""),
            ("A>- +C", "C"),
            ("A>B +B", "B"),
            ("A>B +B B>C +C", "C"),
            // Nobody noted that it left.
            ("+C", "A C"),
            ("A>B +B +C", "B C"),
            // Sent to B, come to C.
            ("A>B +C", "B C"),
            ("A>B +C<A", "B C"),
            // Nobody said where to: the arrival does.
            ("A>? +B", "B"),
            ("A>? +B<A", "B"),
            ("A>? +B<C", "A B"),
            // It left where it was not.
            ("B>C", "A C"),
            ("A>B C>D", "B D"),
            ("~A>B", "A B"),
            ("~A>B !A", "A"),
            ("A>B +C !C", "C"),
            ("+C !B", "B"),
            ("A>B ~+C", "B C"),
        ];
        for (moves, wanted) in ends {
            let believed = |_: Option<Code>, at: Time, _: Number| at;
            let (_, now) = visits(&[code("A")], &Track::default(), &track(moves), &believed);
            let now: Vec<String> = now.iter().map(Code::to_string).collect();
            assert_eq!(now.join(" "), wanted, "{moves}");
        }
    }

    #[test]
    fn a_part_goes_where_its_bed_goes_unless_it_was_taken_out() {
        let believed = |_: Option<Code>, at: Time, _: Number| at;
        let rooms = |bed: &str, own: &str| {
            let mut mattress = track(own);
            // The part's moves come first.
            mattress.moves.iter_mut().for_each(|it| it.at -= chrono::TimeDelta::hours(1));
            let (_, now) = visits(&[code("A")], &track(bed), &mattress, &believed);
            now.iter().map(Code::to_string).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(rooms("A>B", ""), "B");
        assert_eq!(rooms("A>B", "A>D"), "D");
        assert_eq!(rooms("A>B", "A>D D>A"), "B");
    }

    #[test]
    fn a_leaving_that_was_noted_after_a_spray_is_not_believed_before_it() {
        let believed = |_: Option<Code>, it: Time, _: Number| it.max(at(40));
        let (visits, now) = visits(&[code("A")], &Track::default(), &track("A>B"), &believed);
        assert_eq!(now, [code("B")]);
        let in_a = visits.iter().find(|it| it.room == code("A")).unwrap();
        assert_eq!((in_a.from, in_a.until), (BEFORE_ALL, at(40)));
    }
}

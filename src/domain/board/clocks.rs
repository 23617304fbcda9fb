//! Clocks that disagree. The numbers give the order of the entries; a clock only gives spans.
//!
//! Each terminal stamps by its own clock. A span between two of them waits a little longer. Where one writes behind what
//! another has written, one of the two is wrong, and nobody can tell which by the entries: somebody says so by a clock on
//! the wall. Until then every bed that rests on an entry of either is closed, and nothing falls. The answer takes nothing
//! back: an entry of the wrong clock happened between the entries around it that stand, a closer at the latest, a fact at
//! the earliest, and what does not hold so falls. What a clock that is far ahead stamped is taken out by two people.
//!
//! What was said of a slow clock is added to what it shows from then on. Somebody may set it right and not say so: as soon as it
//! shows that as much time has passed as it was behind, it ends no wait of a label until somebody has said anew what time it is.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::Arc;

use chrono::TimeDelta;

use super::apply::{No, Reading};
use super::room::Room;
use super::two::{Joint, Pair};
use super::{Blocker, Board, CLOCK_TOLERANCE, ExceptionKind};
use crate::domain::clock::{AFTER_ALL, BEFORE_ALL};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time, WhichClock};
use crate::domain::people::Role;
use crate::domain::rule::Rule;
use crate::domain::surface::Span;

/// So far back an entry may be of a clock that is found wrong now; the longest of the labels' minimums comes on top.
const REACHES_BACK: TimeDelta = TimeDelta::hours(24);

/// No more than this passes between two entries, as far as it is counted here: a clock that jumps ahead, or a quiet day, puts
/// nothing out of sight.
const LONGEST_STEP: TimeDelta = TimeDelta::hours(1);

/// So many entries are put away at once.
const AT_ONCE: usize = 64;

pub use crate::domain::surface::span_slack;

/// A terminal, by the name that stands in its entries.
pub(super) type Terminal = Arc<str>;

/// When and where one entry was noted.
#[derive(Clone, Debug)]
struct Stamp {
    number: Number,
    terminal: Terminal,
    noted: Time,
    /// How much had passed by then since the ledger began.
    passed: TimeDelta,
    /// Two people took its time out.
    out: bool,
}

/// What was said of a terminal's clock.
#[derive(Clone, Debug, Default)]
struct Said {
    /// What is added to what it shows, and since when.
    offset: TimeDelta,
    at: Time,
    /// The entry that called it wrong. None: nobody did, or somebody has said there what time it is since.
    called: Option<Number>,
}

/// Two terminals of which one is wrong, and nobody has said which.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Disagreement {
    /// The entry that was noted behind another, or by a clock that had been called wrong.
    number: Number,
    noted: Time,
    behind: Terminal,
    /// The other terminal, its newest entry and that one's time. None: this one alone is in question.
    ahead: Option<(Terminal, Number, Time)>,
    /// Rooms in which something rests on an entry of either.
    rooms: BTreeSet<Code>,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Clocks {
    /// Of the last day and the longest label, oldest first.
    stamps: VecDeque<Stamp>,
    /// Those of them whose clock was called wrong: they tell no time.
    doubted: BTreeSet<Number>,
    passed: TimeDelta,
    /// The latest noting of those that were put away and were in no doubt.
    before: Option<Time>,
    said: BTreeMap<Terminal, Said>,
    open: Vec<Disagreement>,
}

impl Clocks {
    fn called(&self, terminal: &str) -> Option<Number> {
        self.said.get(terminal)?.called
    }

    /// The newest noting that is in no doubt.
    fn newest(&self) -> Option<&Stamp> {
        self.stamps.iter().filter(|stamp| self.stands(stamp)).max_by_key(|stamp| (stamp.noted, stamp.number))
    }

    fn stands(&self, stamp: &Stamp) -> bool {
        !self.is_doubted(stamp.number)
    }

    fn take_down(&mut self, entry: &Entry, latest: Time, doubted: bool, reach: TimeDelta) {
        // Most of them stand at the terminal of the one before.
        let name = entry.terminal_name();
        let same = self.stamps.back().filter(|stamp| &*stamp.terminal == name);
        let terminal = same.map_or_else(|| Terminal::from(name), |stamp| stamp.terminal.clone());
        let step = if doubted { TimeDelta::zero() } else { entry.noted - latest };
        self.passed += step.clamp(TimeDelta::zero(), LONGEST_STEP);
        let (number, noted, passed) = (entry.number, entry.noted, self.passed);
        self.stamps.push_back(Stamp { number, terminal, noted, passed, out: false });
        if doubted {
            self.doubted.insert(number);
        }
        // What is in question is kept until somebody has answered.
        if self.open.is_empty() {
            let since = self.passed - reach;
            let is_old = |stamp: &Stamp| stamp.passed < since;
            if self.stamps.get(AT_ONCE - 1).is_some_and(is_old) {
                let old = self.stamps.partition_point(is_old);
                for stamp in self.stamps.drain(..old) {
                    if !self.doubted.remove(&stamp.number) {
                        self.before = self.before.max(Some(stamp.noted));
                    }
                }
            }
        }
    }

    /// Entries of these terminals that one of these times is near to.
    fn of(&self, terminals: &[&str], near: &[Time], reach: TimeDelta) -> BTreeSet<Number> {
        let is_near = |stamp: &&Stamp| near.iter().any(|time| (stamp.noted - *time).abs() <= reach);
        let of_one = |stamp: &&Stamp| terminals.contains(&&*stamp.terminal);
        self.stamps.iter().filter(of_one).filter(is_near).map(|stamp| stamp.number).collect()
    }

    /// As early as what was done may have been done, where its clock was called wrong.
    pub(super) fn earliest(&self, number: Number, at: Time) -> Time {
        if self.is_doubted(number) { self.spans().get(&number).map_or(at, |span| span.earliest_of(at)) } else { at }
    }

    /// As late as what was done may have been done, where its clock was called wrong.
    pub(super) fn latest(&self, number: Number, at: Time) -> Time {
        if self.is_doubted(number) { self.spans().get(&number).map_or(at, |span| span.latest_of(at)) } else { at }
    }

    fn is_doubted(&self, number: Number) -> bool {
        self.doubted.contains(&number)
    }

    /// Between which notings each entry in doubt happened: the one before it and the one after it that stand.
    fn spans(&self) -> BTreeMap<Number, Span> {
        let mut spans = BTreeMap::new();
        let mut earliest = self.before.unwrap_or(BEFORE_ALL);
        for (at, stamp) in self.stamps.iter().enumerate() {
            if self.stands(stamp) {
                earliest = stamp.noted;
                continue;
            }
            let next = self.stamps.iter().skip(at).find(|next| self.stands(next));
            // Where the next one stands before the last, nobody knows which of the two is right: the earlier counts for the earliest.
            let soonest = next.map_or(earliest, |next| next.noted.min(earliest));
            let latest = next.map_or(AFTER_ALL, |next| next.noted).max(earliest);
            let noted = stamp.noted;
            spans.insert(stamp.number, Span { earliest: soonest.min(latest), latest, noted, out: stamp.out });
        }
        spans
    }
}

/// Why nothing that an entry says can be relied on before somebody has answered.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum ClockDoubt {
    Behind,
    Called(Number),
}

/// What a terminal asks before it notes anything else.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ClockQuestion {
    /// The other terminal, if there is one: its name may be this one's own.
    pub other: Option<String>,
    pub text: String,
}

impl Board {
    fn clock_reach(&self) -> TimeDelta {
        REACHES_BACK + self.unknown_label()
    }

    /// Whether this entry's clock is in doubt, by what was noted before it.
    pub(super) fn clock_doubt(&self, entry: &Entry, latest: Time) -> Option<ClockDoubt> {
        match self.clocks.called(entry.terminal_name()) {
            Some(by) => Some(ClockDoubt::Called(by)),
            None if is_behind(entry.noted, latest) => Some(ClockDoubt::Behind),
            None => None,
        }
    }

    /// Takes down when and where the entry was noted; a trial need not. Gives the latest noting after it that is in no doubt.
    pub(super) fn take_down(&mut self, entry: &Entry, latest: Time, doubt: Option<ClockDoubt>, keep: bool) -> Time {
        if let Some(doubt) = doubt {
            self.disagree(entry, doubt);
        }
        let is_called = matches!(doubt, Some(ClockDoubt::Called(_)));
        if keep {
            let reach = self.clock_reach();
            Arc::make_mut(&mut self.clocks).take_down(entry, latest, is_called, reach);
        }
        if is_called { latest } else { latest.max(entry.noted) }
    }

    fn disagree(&mut self, entry: &Entry, doubt: ClockDoubt) {
        let behind = entry.terminal_name();
        let newest = self.clocks.newest().filter(|_| doubt == ClockDoubt::Behind);
        let ahead = newest.map(|stamp| (stamp.terminal.clone(), stamp.number, stamp.noted));
        let other = ahead.as_ref().map(|(terminal, ..)| &**terminal);
        let same =
            |it: &Disagreement| &*it.behind == behind && it.ahead.as_ref().map(|(terminal, ..)| &**terminal) == other;
        if self.clocks.open.iter().any(same) {
            return;
        }
        let latest = ahead.as_ref().map_or(entry.noted, |(_, _, noted)| *noted);
        let terminals: Vec<&str> = [behind].into_iter().chain(other).collect();
        let rooms = self.resting_on(&self.clocks.of(&terminals, &[entry.noted, latest], self.clock_reach()));
        let behind = Terminal::from(behind);
        let found = Disagreement { number: entry.number, noted: entry.noted, behind, ahead, rooms };
        Arc::make_mut(&mut self.clocks).open.push(found);
    }

    /// Rooms that hold something of these entries.
    fn resting_on(&self, numbers: &BTreeSet<Number>) -> BTreeSet<Code> {
        // Also in rooms that the entry does not name.
        let rests = |room: &Room| room.holds_any(&|number| numbers.contains(&number));
        self.rooms().filter(|(_, room)| rests(room)).map(|(code, _)| code).collect()
    }

    /// After an entry was read: what it left in a room is in question with its terminal.
    pub(super) fn rest_on_open_clocks(&mut self, entry: &Entry) {
        let of = |it: &Disagreement| {
            let name = entry.terminal_name();
            &*it.behind == name || it.ahead.as_ref().is_some_and(|(terminal, ..)| &**terminal == name)
        };
        if !self.clocks.open.iter().any(of) {
            return;
        }
        let rooms = self.resting_on(&BTreeSet::from([entry.number]));
        for it in Arc::make_mut(&mut self.clocks).open.iter_mut().filter(|it| of(it)) {
            it.rooms.extend(rooms.iter().copied());
        }
    }

    /// The latest noting that is in no doubt, and the terminal that noted it.
    pub fn latest_noted(&self) -> Option<(Time, &str)> {
        self.clocks.newest().map(|stamp| (stamp.noted, &*stamp.terminal))
    }

    /// What is added to what this terminal's clock shows.
    pub fn clock_offset(&self, terminal: &str) -> TimeDelta {
        self.clocks.said.get(terminal).map_or(TimeDelta::zero(), |said| said.offset)
    }

    /// What this terminal has to be told before it notes anything else at this time by its clock.
    pub fn clock_question(&self, terminal: &str, now: Time) -> Option<ClockQuestion> {
        let shows = self.clock(now);
        if let Some(by) = self.clocks.called(terminal) {
            let other = self.clocks.stamps.iter().find(|stamp| stamp.number == by).map(|it| it.terminal.to_string());
            let by_whom = other.as_ref().map(|name| format!(", noted at {name}")).unwrap_or_default();
            let text = format!(
                "the clock of this terminal ({terminal}) was called wrong by entry {by}{by_whom}; it shows {shows}"
            );
            return Some(ClockQuestion { other, text });
        }
        let newest = self.clocks.newest().filter(|stamp| is_behind(now, stamp.noted))?;
        let (number, noted, name) = (newest.number, self.clock(newest.noted), &newest.terminal);
        let text = match &**name == terminal {
            true => format!(
                "the clock of this terminal ({terminal}) shows {shows}, and it has noted entry {number} at {noted}: it was wrong then, \
                 or is now"
            ),
            false => format!(
                "the clock of this terminal ({terminal}) shows {shows}, and entry {number} was noted at {noted} at {name}: one of the \
                 two clocks is wrong"
            ),
        };
        Some(ClockQuestion { other: Some(name.to_string()), text })
    }

    /// That a label's minimum is over is told by no clock that was behind and may have been set right unsaid: one that shows now that
    /// as much time has passed since it was called so. Then every time is too late there.
    pub(super) fn tells_a_wait(&self, entry: &Entry) -> Result<(), No> {
        let terminal = entry.terminal_name();
        let may_be_right =
            |said: &&Said| said.offset > TimeDelta::zero() && entry.noted - said.at >= said.offset - CLOCK_TOLERANCE;
        let Some(said) = self.clocks.said.get(terminal).filter(may_be_right) else { return Ok(()) };
        let (late, at, shows) = (said.offset.num_minutes(), self.clock(said.at), self.clock(entry.noted));
        let text = format!(
            "the clock of this terminal ({terminal}) was {late} minutes behind at {at}, and so much is added since: if somebody has set it \
             right by now, {shows} is {late} minutes too late. Once it is right, and that was said, nothing more is asked. {WHAT_TO_SAY}"
        );
        Err(No::new(Rule::ClockBack, text))
    }

    /// Why a fact or a signature of this entry does not count.
    pub(super) fn clock_no(&self, entry: &Entry) -> No {
        // By then the entry itself may be on the list; it is never ahead of itself.
        let question = self.clock_question(entry.terminal_name(), entry.noted);
        let why = question.map_or_else(|| "it was noted before what was already noted".to_owned(), |it| it.text);
        No::new(Rule::ClockBack, format!("{why}. {WHAT_TO_SAY}"))
    }

    /// Clocks that disagree while nobody has said which was wrong: the entry that showed it, and what to say.
    pub fn open_clocks(&self) -> impl Iterator<Item = (Number, String)> {
        self.clocks.open.iter().map(|it| (it.number, self.disagreement(it).0))
    }

    fn disagreement(&self, it: &Disagreement) -> (String, Vec<Number>) {
        let (number, noted, behind) = (it.number, self.clock(it.noted), &it.behind);
        match &it.ahead {
            Some((ahead, other, at)) => {
                let at = self.clock(*at);
                let text = match ahead == behind {
                    true => {
                        format!(
                            "a clock is wrong: {behind} noted entry {other} at {at}, and then entry {number} at {noted}"
                        )
                    }
                    false => format!(
                        "a clock is wrong: entry {number} was noted at {noted} at {behind}, after entry {other} at {at} at {ahead}"
                    ),
                };
                (text, vec![number, *other])
            }
            None => (format!("entry {number} was noted at {behind}, whose clock was called wrong"), vec![number]),
        }
    }

    /// What closes the room while nobody has said which of two clocks was wrong.
    pub(super) fn clocks_blockers(&self, room: Code) -> Vec<Blocker> {
        if self.clocks.open.is_empty() {
            return vec![];
        }
        let spaces: Vec<Code> = self.facility().spaces_serving(room).map(|space| space.code).collect();
        let rests = |it: &&Disagreement| it.rooms.contains(&room) || spaces.iter().any(|code| it.rooms.contains(code));
        let blocker = |it: &Disagreement| {
            let (text, entries) = self.disagreement(it);
            Blocker { rule: Rule::Clocks, text: format!("{text}. {WHAT_TO_SAY}"), entries, verb: Some("clock") }
        };
        self.clocks.open.iter().filter(rests).map(blocker).collect()
    }
}

const WHAT_TO_SAY: &str = "Say what time it is by a clock on the wall, and which of the two was wrong";

fn is_behind(noted: Time, latest: Time) -> bool {
    latest - noted > CLOCK_TOLERANCE
}

impl Board {
    /// Somebody says what time it is, and which clock was wrong.
    pub(super) fn hear_clock(&mut self, entry: &Entry, contested: bool) {
        let latest = self.last.map_or(entry.noted, |(_, latest)| latest);
        let said = self.may_answer(entry, contested).and_then(|()| self.called_wrong(entry));
        let last = Number(self.last.map_or(0, |(number, _)| number.0).max(entry.number.0));
        let wrong = match said {
            Ok(wrong) => wrong,
            Err(no) => {
                self.report(entry.number, no);
                let doubt = self.clock_doubt(entry, latest);
                self.last = Some((last, self.take_down(entry, latest, doubt, true)));
                return;
            }
        };
        self.answer(entry, &wrong);
        let newest = self.trusted_latest(entry.noted);
        let behind = is_behind(entry.noted, newest).then_some(ClockDoubt::Behind);
        self.last = Some((last, self.take_down(entry, newest, behind, true)));
        self.retime(entry);
        for (terminal, _) in wrong {
            self.note_exception(entry.number, None, ExceptionKind::ClockWrong(terminal.to_string()));
        }
    }

    fn may_answer(&self, entry: &Entry, contested: bool) -> Result<(), No> {
        if contested {
            return Err(No::new(Rule::Damage, "its number stands twice"));
        }
        for who in [entry.noted_by, entry.done_by] {
            let Some(person) = self.person(who) else {
                return Err(No::new(Rule::Roster, format!("{who} is not on the roster")));
            };
            if person.left || person.role == Role::Reader {
                return Err(No::new(Rule::Role, format!("{who} may only read")));
            }
        }
        Ok(())
    }

    /// The terminals that an answer calls wrong, each with its entries that are in doubt by that.
    fn called_wrong(&self, entry: &Entry) -> Result<Vec<(Terminal, BTreeSet<Number>)>, No> {
        let Body::ClockSaid { wall, wrong, other, shown } = &entry.body else { return Ok(vec![]) };
        let me = entry.terminal_name();
        // A computer whose clock was set is two: what it noted before, and what it notes since.
        let is_same = other == me && !other.is_empty();
        let mine = || self.clocks.stamps.iter().filter(|stamp| &*stamp.terminal == me);
        let ahead = mine().filter(|stamp| self.clocks.stands(stamp)).max_by_key(|stamp| (stamp.noted, stamp.number));
        let split = ahead.map(|stamp| stamp.number).unwrap_or_default();
        let offset = self.clock_offset(me);
        let is_off = shown.is_some_and(|shown| !agree(*wall, shown + offset));
        // As wrong as it was said to be, and no more than asked again: what it noted since was right.
        let is_known = !is_off && offset != TimeDelta::zero() && self.clock_question(me, entry.noted).is_none();
        let mut found = vec![];
        if (*wrong == WhichClock::This && !is_known) || (is_off && !is_same) {
            let is_of = |number: Number| !is_same || number > split;
            found.push((Terminal::from(me), self.in_doubt(me, *wall, &is_of)));
        }
        if *wrong == WhichClock::Other {
            if !self.clocks.stamps.iter().any(|stamp| &*stamp.terminal == other) {
                let text = match other.is_empty() {
                    true => "say which other terminal was wrong".to_owned(),
                    false => format!("no terminal {other} has noted anything of late"),
                };
                return Err(No::new(Rule::Target, text));
            }
            let is_of = |number: Number| !is_same || number <= split;
            found.push((Terminal::from(other.as_str()), self.in_doubt(other, *wall, &is_of)));
        }
        Ok(found)
    }

    fn in_doubt(&self, terminal: &str, wall: Time, is_of: &dyn Fn(Number) -> bool) -> BTreeSet<Number> {
        let clocks = &self.clocks;
        let newest = clocks.stamps.iter().rev().find(|it| &*it.terminal == terminal && is_of(it.number));
        let before = newest.and_then(|newest| {
            let stands = |it: &&Stamp| clocks.stands(it) && it.number < newest.number && &*it.terminal != terminal;
            clocks.stamps.iter().rev().find(stands)
        });
        let near: Vec<Time> = [newest, before].into_iter().flatten().map(|it| it.noted).chain([wall]).collect();
        clocks.of(&[terminal], &near, self.clock_reach()).into_iter().filter(|number| is_of(*number)).collect()
    }

    fn answer(&mut self, entry: &Entry, wrong: &[(Terminal, BTreeSet<Number>)]) {
        let Body::ClockSaid { wall, shown, .. } = &entry.body else { return };
        let me = entry.terminal_name();
        let clocks = Arc::make_mut(&mut self.clocks);
        for (terminal, numbers) in wrong {
            clocks.doubted.extend(clocks.stamps.iter().map(|it| it.number).filter(|number| numbers.contains(number)));
            if &**terminal != me {
                clocks.said.entry(terminal.clone()).or_default().called = Some(entry.number);
            }
        }
        let said = clocks.said.entry(Terminal::from(me)).or_default();
        said.called = None;
        if let Some(shown) = shown {
            said.at = *wall;
            said.offset = if agree(*wall, *shown) { TimeDelta::zero() } else { *wall - *shown };
        }
        let is_wrong = |name: &Terminal| wrong.iter().any(|(terminal, _)| terminal == name);
        let is_answered = |it: &Disagreement| {
            let ahead = it.ahead.as_ref();
            is_wrong(&it.behind)
                || ahead.is_some_and(|(terminal, ..)| is_wrong(terminal))
                || (ahead.is_none() && &*it.behind == me)
        };
        clocks.open.retain(|it| !is_answered(it));
    }

    /// The latest noting that is in no doubt; this, where there is none.
    fn trusted_latest(&self, otherwise: Time) -> Time {
        self.clocks.newest().map(|stamp| stamp.noted).max(self.clocks.before).unwrap_or(otherwise)
    }

    /// One of two people takes the time of an entry out: with the second one it counts.
    pub(super) fn take_time_out(&mut self, reading: &Reading<'_>, target: Number) -> Result<(), No> {
        self.signature_counts(reading)?;
        let entry = reading.entry;
        if self.clocks.stamps.iter().any(|stamp| stamp.number == target && stamp.out) {
            return Err(No::new(Rule::Target, format!("the time of entry {target} is taken out already")));
        }
        if !self.clocks.stamps.iter().any(|stamp| stamp.number == target && target < entry.number) {
            let text = format!("entry {target} is none of the last day: its time is not taken out any more");
            return Err(No::new(Rule::Target, text));
        }
        if self.said_by_two(entry, Joint::TimeOut(target), Pair::LeadAndAnother)?.is_none() {
            return Ok(());
        }
        let clocks = Arc::make_mut(&mut self.clocks);
        for stamp in clocks.stamps.iter_mut().filter(|stamp| stamp.number == target) {
            stamp.out = true;
        }
        clocks.doubted.insert(target);
        if let Some((number, _)) = self.last {
            self.last = Some((number, self.trusted_latest(entry.noted)));
        }
        self.retime(entry);
        Ok(())
    }

    /// Who said that this entry's time is that of a wrong clock, while the other of the two has not.
    pub fn time_doubted_by(&self, entry: Number) -> Option<Code> {
        self.halves().find(|half| half.says == Joint::TimeOut(entry)).map(|half| half.by)
    }

    /// Whether this entry's clock was called wrong.
    pub fn is_time_doubted(&self, entry: Number) -> bool {
        self.clocks.is_doubted(entry)
    }

    /// Gives every entry in doubt the worst time that it may have had, and fells what does not hold so.
    fn retime(&mut self, entry: &Entry) {
        let spans = self.clocks.spans();
        let Some(first) = spans.keys().next().copied() else { return };
        let numbers: BTreeSet<Number> = spans.keys().copied().collect();
        let rooms: Vec<Code> = self.resting_on(&numbers).into_iter().collect();
        for code in &rooms {
            let room = self.room_mut(*code);
            room.retime(&spans);
            room.newest = room.newest.max(entry.number);
        }
        let worst = |number: Number| spans.get(&number).copied();
        self.surfaces_mut().retime(&worst, &rooms, entry.number);
        self.wet_former_again(entry, &numbers);
        let since = spans.values().map(|span| span.earliest).min().unwrap_or(BEFORE_ALL);
        self.linens_by_the_times_left(entry, &rooms, (since, &numbers));
        self.spread(entry);
        for code in rooms.iter().copied() {
            self.fell_by_clock(entry, code, first, &spans);
            // What is asked again may stand elsewhere by now.
            self.look_over(code);
        }
        self.owed_again(entry, &rooms);
        self.make_again(entry);
    }

    fn fell_by_clock(&mut self, entry: &Entry, code: Code, first: Number, spans: &BTreeMap<Number, Span>) {
        let at = |number: Number| {
            let noted = || Some(self.clocks.stamps.iter().find(|stamp| stamp.number == number)?.noted);
            spans.get(&number).map(|span| span.earliest).or_else(noted)
        };
        let Some(room) = self.room(code) else { return };
        let fallen: Vec<Number> = room
            .standing_since(first)
            .filter(|it| {
                !room.still_holds(it, spans, &at, &|closer| self.look_from(code, closer), self.unknown_label())
            })
            .map(|it| it.number)
            .collect();
        for number in &fallen {
            let text =
                format!("a clock was wrong, says entry {}: by the times that are left it does not hold", entry.number);
            self.report(*number, No::new(Rule::ClockBack, text));
        }
        self.room_mut(code).fell_by_clock(fallen);
    }
}

/// The same time, as far as a clock on the wall can be read.
fn agree(wall: Time, shown: Time) -> bool {
    (wall - shown).abs() <= CLOCK_TOLERANCE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_between_two_terminals_waits_as_long_as_their_clocks_may_differ() {
        assert_eq!(span_slack("desk 4N", "desk 4N"), TimeDelta::zero());
        assert_eq!(span_slack("desk 4N", "desk 2A"), CLOCK_TOLERANCE);
        assert_eq!(span_slack("", "desk 2A"), CLOCK_TOLERANCE, "a terminal without a name is another one");
    }
}

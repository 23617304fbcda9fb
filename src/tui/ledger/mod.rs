//! The Ledger: who noted what, when?
//!
//! Newest first, a day at a time, with the chosen entry in full words below the list. A line is worded only while it is
//! seen, and a key reads only what is new in the file, so that years of entries stay quick.

mod kind;
mod listing;
#[cfg(test)]
mod tests;
mod told;
mod view;

use ratatui::layout::Position;

use self::kind::Kind;
use self::listing::{Listing, Question, Sought, Which};
use self::told::Told;
use super::base::{Opens, Screen};
use super::keys::Act;
use super::page::Page;
use super::paint::{Pen, first_seen};
use super::survey::{Survey, WardFilter};
use super::world::World;
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Body, Entry, Number, Place};
use crate::domain::shown::shown;
use crate::tui::age;

/// From this width on a line has space for its kind as a word, and for both names.
const WIDE: u16 = 120;

#[derive(Default)]
pub(super) struct LedgerScreen {
    ward: WardFilter,
    which: Which,
    sought: Option<Sought>,
    /// What was typed, as it was typed.
    typed: String,
    person: Option<Code>,
    listing: Listing,
    /// How far from the newest the chosen entry is listed, and where in the file it stands.
    at: usize,
    chosen: Option<usize>,
    rows: Vec<Row>,
    told: Option<Told>,
    room: Option<Code>,
    height: usize,
}

/// One line of what is seen.
enum Row {
    Day(String),
    Entry(Line),
}

struct Line {
    place: usize,
    number: Number,
    kind: Kind,
    clock: String,
    age: String,
    by: String,
    room: String,
    /// Short words before the sentence: voided, does not count, exception.
    flags: Vec<String>,
    text: String,
}

impl Screen for LedgerScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, width: u16, lines: u16) {
        self.ward.settle(survey);
        self.height = usize::from(lines.saturating_sub(1 + view::pane_lines(lines)));
        self.look(world);
        self.see(world, width);
    }

    fn walk(&mut self, act: Act, survey: &Survey) -> bool {
        let to = match act {
            Act::Ward => {
                self.ward.turn(survey);
                return self.start_over();
            }
            Act::Filter => {
                self.which = self.which.next();
                return self.start_over();
            }
            Act::Up => self.at.saturating_sub(1),
            Act::Down => self.at.saturating_add(1),
            Act::PageUp => self.at.saturating_sub(self.height.max(1)),
            Act::PageDown => self.at.saturating_add(self.height.max(1)),
            Act::First => 0,
            Act::Last => usize::MAX,
            _ => return false,
        };
        self.go(to);
        true
    }

    fn paint(&self, pen: &mut Pen<'_>, _survey: &Survey) -> Option<Position> {
        self.draw(pen)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        self.room
    }

    fn enter(&self, world: &World<'_>, _survey: &Survey) -> Opens {
        let entry = self.chosen.and_then(|place| world.entries.get(place));
        entry.map_or(Opens::Nothing, |entry| {
            let about = self.listing.about(entry.number, world.entries);
            Opens::Page(page(entry, &Told::of(entry, world, about), world))
        })
    }
}

impl LedgerScreen {
    /// Whose own entries are listed.
    pub(super) fn read_by(&mut self, person: Option<Code>) {
        if self.person.is_some() && person.is_none() {
            // Whoever comes next finds all of it.
            (self.which, self.ward, self.sought, self.typed) =
                (Which::default(), WardFilter::default(), None, String::new());
            self.start_over();
        }
        self.person = person;
    }

    /// What was typed to look for: the number of an entry is gone to, anything else narrows the list. Answers what to say.
    pub(super) fn find(&mut self, typed: &str, world: &World<'_>, survey: &Survey) -> String {
        let typed = typed.trim();
        let (digits, marked) = (typed.trim_start_matches('#'), typed.starts_with('#'));
        let room = survey.find(typed).first().and_then(|at| survey.rooms.get(*at)).map(|line| line.code);
        let room = room.filter(|room| room.as_str().eq_ignore_ascii_case(typed) && !marked);
        self.start_over();
        (self.sought, self.typed) = (None, String::new());
        if typed.is_empty() {
            return "All entries again.".to_owned();
        }
        if let Ok(number) = digits.parse::<u64>()
            && room.is_none()
        {
            return self.go_to(Number(number), world);
        }
        let person = Code::new(typed).ok().and_then(|code| world.board.people().get(&code));
        self.typed = typed.to_owned();
        self.sought = Some(match (room, person) {
            (Some(room), _) => Sought::Room(room),
            (None, Some(person)) => Sought::Person(person.initials),
            (None, None) => Sought::Words(typed.to_lowercase()),
        });
        "g and Enter, with nothing typed, lists all again.".to_owned()
    }

    /// The newest entry of this number, whatever is listed.
    fn go_to(&mut self, number: Number, world: &World<'_>) -> String {
        let Some(place) = world.entries.iter().rposition(|entry| entry.number == number) else {
            return format!("There is no entry {number} here.");
        };
        self.look(world);
        if self.listing.position(place).is_none() {
            (self.which, self.ward) = (Which::All, WardFilter::default());
            self.look(world);
        }
        self.go(self.listing.position(place).unwrap_or(0));
        let twice = world.entries.iter().filter(|entry| entry.number == number).count();
        if twice > 1 { format!("The number {number} stands {twice} times; this is the last.") } else { String::new() }
    }

    /// The form that voids the chosen entry.
    pub(super) fn void<'w>(&self, world: &World<'w>) -> Result<&'w Entry, String> {
        let Some(entry) = self.chosen.and_then(|place| world.entries.get(place)) else {
            return Err("No entry is chosen.".to_owned());
        };
        if matches!(entry.body, Body::Voided { .. }) || entry.body.is_setting() {
            return Err("A void or a setting is never voided: note it again as it should be.".to_owned());
        }
        if world.entries.iter().filter(|other| other.number == entry.number).take(2).count() > 1 {
            return Err(format!("The number {} stands twice; such a line is attested, not voided.", entry.number));
        }
        let mut about = self.listing.about(entry.number, world.entries);
        match about.find(|other| matches!(other.body, Body::Voided { .. })) {
            Some(void) => Err(format!("Entry {} is voided already, by entry {}.", entry.number, void.number)),
            None => Ok(entry),
        }
    }

    fn start_over(&mut self) -> bool {
        (self.at, self.chosen) = (0, None);
        true
    }

    fn go(&mut self, to: usize) {
        self.at = to.min(self.listing.len().saturating_sub(1));
        self.chosen = self.listing.place(self.at);
    }

    /// Brings the list up to date; the choice follows its entry.
    fn look(&mut self, world: &World<'_>) {
        let question = Question {
            which: self.which,
            ward: self.ward.ward(),
            person: self.person.filter(|_| self.which == Which::Own),
            sought: self.sought.clone(),
        };
        if !self.listing.bring_up_to_date(question, world) {
            self.chosen = None;
        }
        let same = self.chosen.and_then(|place| self.listing.position(place));
        self.go(same.unwrap_or(self.at));
    }

    /// Words only the entries that are on the screen.
    fn see(&mut self, world: &World<'_>, width: u16) {
        let mut first = first_seen(self.at, self.listing.len(), self.height);
        // A heading takes a line, and may push the chosen entry out.
        let seen = loop {
            let seen = self.window(first, world);
            let is_seen = seen.iter().any(|(_, place)| *place == self.chosen);
            if is_seen || first >= self.at {
                break seen;
            }
            first += 1;
        };
        let row = |(day, place): (Option<String>, Option<usize>)| match (day, place) {
            (Some(day), _) => Some(Row::Day(day)),
            (None, Some(place)) => {
                world.entries.get(place).map(|entry| Row::Entry(self.line(place, entry, world, width)))
            }
            (None, None) => None,
        };
        self.rows = seen.into_iter().filter_map(row).collect();
        let chosen = self.chosen.and_then(|place| world.entries.get(place));
        self.room = chosen.and_then(|entry| entry.place.first_room());
        let about = |entry: &Entry| self.listing.about(entry.number, world.entries);
        self.told = chosen.map(|entry| Told::of(entry, world, about(entry)));
    }

    /// Headings and places in the file, from the so-manieth entry on, as many as there are lines.
    fn window(&self, first: usize, world: &World<'_>) -> Vec<(Option<String>, Option<usize>)> {
        let zone = world.board.facility().time_zone;
        let mut out = vec![];
        let mut day_before = None;
        for at in first.. {
            let Some((place, entry)) =
                self.listing.place(at).and_then(|place| Some((place, world.entries.get(place)?)))
            else {
                break;
            };
            let day = entry.noted.with_timezone(&zone).date_naive();
            if day_before != Some(day) {
                out.push((Some(age::day(entry.noted, world.now, zone)), None));
                day_before = Some(day);
            }
            out.push((None, Some(place)));
            if out.len() >= self.height {
                break;
            }
        }
        out.truncate(self.height);
        out
    }

    fn line(&self, place: usize, entry: &Entry, world: &World<'_>, width: u16) -> Line {
        let zone = world.board.facility().time_zone;
        let (kind, number) = (Kind::of(&entry.body), entry.number);
        let happened = entry.happened.with_timezone(&zone);
        let same_day = happened.date_naive() == entry.noted.with_timezone(&zone).date_naive();
        let mut flags = vec![];
        let voids = |other: &&Entry| matches!(other.body, Body::Voided { .. });
        if let Some(void) = self.listing.about(number, world.entries).find(voids) {
            flags.push(format!("voided by {}", void.number));
        }
        if let Some(marks) = self.listing.marks(number) {
            if !marks.problems.is_empty() {
                flags.push(if kind.can_fail() { "does not count" } else { "problem" }.to_owned());
            }
            if !marks.exceptions.is_empty() {
                flags.push("exception".to_owned());
            }
        }
        flags.extend(entry.sheet().map(|sheet| format!("sheet {sheet}")));
        let by = match (entry.done_by == entry.noted_by, width >= WIDE) {
            (true, _) => entry.done_by.to_string(),
            (false, true) => format!("{}, by {}", entry.done_by, entry.noted_by),
            (false, false) => format!("{}/{}", entry.done_by, entry.noted_by),
        };
        Line {
            place,
            number,
            kind,
            // A thing of another day than the one that it was noted on.
            clock: happened.format(if same_day { "%H:%M" } else { "%-d %b" }).to_string(),
            age: age::short(entry.happened, world.now),
            by,
            room: match &entry.place {
                Place::Hospital => "hospital".to_owned(),
                Place::Unknown => "anywhere".to_owned(),
                Place::Ward(ward) => ward.to_string(),
                Place::Rooms(rooms) => match rooms.as_slice() {
                    [] => "no place".to_owned(),
                    [room] => room.to_string(),
                    [room, rest @ ..] => format!("{room} +{}", rest.len()),
                },
            },
            flags,
            text: shown(&describe::sentence(entry, world.board)),
        }
    }
}

/// The signs of the kinds of entries, with what they mean.
pub(super) fn signs() -> impl Iterator<Item = (char, &'static str)> {
    Kind::ALL.into_iter().map(|kind| (kind.sign(), kind.meaning()))
}

/// The entry in full, for whoever comes from elsewhere: what was said of it later is looked for in what followed.
pub(super) fn page_of(entry: &Entry, world: &World<'_>) -> Page {
    let later = world.entries.iter().rev().take_while(|other| other.number > entry.number);
    let names = |other: &&Entry| match &other.body {
        Body::Voided { entry: target, .. } | Body::Amended { entry: target, .. } => *target == entry.number,
        _ => false,
    };
    let counts = |other: &&Entry| world.board.problems().iter().all(|problem| problem.number != other.number);
    page(entry, &Told::of(entry, world, later.filter(names).filter(counts)), world)
}

fn page(entry: &Entry, told: &Told, world: &World<'_>) -> Page {
    let labelled = |(label, text): &(&'static str, String)| ((*label).to_owned(), text.clone());
    let mut lines = vec![(String::new(), told.sentence.clone()), (String::new(), String::new())];
    lines.extend(told.marks.iter().chain(&told.facts).map(labelled));
    lines.extend(told::rests_on(entry, world).as_ref().map(labelled));
    let rooms = match &entry.place {
        Place::Rooms(rooms) => rooms.clone(),
        _ => vec![],
    };
    Page::labelled(told.title.clone(), lines, rooms)
}

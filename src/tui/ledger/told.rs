//! One entry in full, in words: what it says, when it happened and when it was noted, by whom and where, what came of it.

use std::collections::BTreeSet;

use chrono::TimeDelta;

use super::kind::Kind;
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Body, Entry, Number, Place};
use crate::domain::need::Evidence;
use crate::domain::record::RecordView;
use crate::domain::shift::exception_words;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::world::World;

/// Of more rooms than a large ward has, what is still asked for is not worked out here.
const MOST_ROOMS: usize = 60;

/// A label and what is to be said under it, the most important first.
pub(super) struct Told {
    pub title: String,
    pub sentence: String,
    /// What takes from the entry, or marks it: voids, problems, exceptions.
    pub marks: Vec<(&'static str, String)>,
    pub facts: Vec<(&'static str, String)>,
}

impl Told {
    /// `about`: the entries that void or amend this one.
    pub(super) fn of<'a>(entry: &Entry, world: &World<'_>, about: impl Iterator<Item = &'a Entry>) -> Self {
        let (board, kind) = (world.board, Kind::of(&entry.body));
        let when = |time| age::with_age(time, world.now, board.facility().time_zone);
        let mut marks = vec![];
        let mut amended = vec![];
        for other in about {
            match &other.body {
                Body::Voided { why, .. } => {
                    let text = format!("by entry {}, {}, {}: {why}", other.number, other.done_by, when(other.happened));
                    marks.push(("Voided", text));
                }
                _ => {
                    let text = format!("{}, {}", describe::sentence(other, board), when(other.happened));
                    amended.push(("Amended", format!("by entry {}: {text}", other.number)));
                }
            }
        }
        let label = if kind.can_fail() { "Does not count" } else { "Problem" };
        let problems = board.problems().iter().filter(|problem| problem.number == entry.number);
        marks.extend(problems.map(|problem| (label, format!("{} (rule {})", problem.text, problem.rule))));
        let fell = |room: &Code| board.room(*room).is_some_and(|room| room.has_fallen(entry.number));
        let fallen: Vec<String> = match (&marks, &entry.place) {
            // Its own void tells of it.
            (marks, _) if marks.iter().any(|(label, _)| *label == "Voided") => vec![],
            (_, Place::Hospital | Place::Unknown) => vec![],
            _ => board.rooms_of(&entry.place).into_iter().filter(fell).map(|room| room.to_string()).collect(),
        };
        if !fallen.is_empty() {
            let text =
                format!("in {}: an entry that it rests on was voided, and it is to be signed again", fallen.join(", "));
            marks.push(("Fell", text));
        }
        let exceptions = board.exceptions().iter().filter(|exception| exception.number == entry.number);
        let words = |exception| exception_words(board, world.entries, exception, world.now);
        marks.extend(exceptions.map(|exception| ("Exception", words(exception))));

        let mut facts = amended;
        facts.push(("Happened", when(entry.happened)));
        facts.push(("Noted", format!("{}, {}", late(entry), when(entry.noted))));
        if let Body::OccupancyConfirmed { occupied, empty, .. } = &entry.body {
            facts.extend(beds_of("Occupied", occupied));
            facts.extend(beds_of("Empty", empty));
        }
        facts.extend(of_record(entry, world));
        facts.extend(comes_to(entry, board));
        facts.push(("Done by", person(entry.done_by, board)));
        let at = entry.terminal_name();
        facts.push(("Noted by", format!("{}, at terminal {at}", person(entry.noted_by, board))));
        facts.extend(entry.sheet().map(|sheet| ("Sheet", format!("{sheet}, of a downtime"))));
        facts.push(("Place", place(entry, board)));
        let clean = |(label, text): (&'static str, String)| (label, shown(&text));
        Self {
            title: format!("Entry {}, {}", entry.number, kind.word()),
            sentence: shown(&describe::sentence(entry, board)),
            marks: marks.into_iter().map(clean).collect(),
            facts: facts.into_iter().map(clean).collect(),
        }
    }
}

/// What the record of a spray says, by the book of its day and with what was supplied since.
fn of_record(entry: &Entry, world: &World<'_>) -> Vec<(&'static str, String)> {
    let Body::Sprayed { product, .. } = &entry.body else { return vec![] };
    let board = world.board;
    let (person, product) = (board.person_of_day(entry.done_by, entry), board.product_of_day(*product, entry));
    let about = world.entries.iter().filter(|it| it.number > entry.number && board.tells_of_spray(it));
    let Some(record) = RecordView::read(entry, about, None, board.facility(), person, product) else { return vec![] };
    let stated = |text: &str| if text.trim().is_empty() { "not stated".to_owned() } else { text.to_owned() };
    let zones = record.zones.iter().flatten().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    let aired = [record.text.ventilation.map(|it| it.title()), record.text.window.map(|it| it.title())];
    let aired: Vec<&str> = aired.into_iter().flatten().collect();
    vec![
        ("Zones", stated(&zones)),
        ("Applicator", stated(&record.text.applicator)),
        ("Certificate", stated(&record.text.certificate)),
        ("Registration", stated(&record.registration)),
        ("Ventilation", stated(&aired.join(", "))),
    ]
}

fn beds_of(label: &'static str, beds: &[Code]) -> Option<(&'static str, String)> {
    let all = beds.iter().map(Code::to_string).collect::<Vec<_>>().join(", ");
    (!beds.is_empty()).then_some((label, all))
}

/// The entries that a return to service rests on. The board keeps what counts now, so that the entries before it are read
/// once more, up to it.
pub(super) fn rests_on(entry: &Entry, world: &World<'_>) -> Option<(&'static str, String)> {
    if !matches!(entry.body, Body::ReturnedToService { .. }) {
        return None;
    }
    let before = world.entries.partition_point(|other| other.number < entry.number);
    let board = Board::fold(world.entries.get(..before)?);
    let rooms = board.rooms_of(&entry.place);
    let met: BTreeSet<Number> =
        rooms.iter().flat_map(|room| board.evidence(*room)).filter_map(|evidence| evidence.met_by).collect();
    let told = |number: &Number| {
        let at = world.entries.iter().find(|other| other.number == *number)?;
        Some(format!("entry {number}, {}: {}", at.done_by, describe::sentence(at, world.board)))
    };
    let all: Vec<String> = met.iter().filter_map(told).collect();
    (!all.is_empty()).then(|| ("Rests on", shown(&all.join("; "))))
}

fn person(code: Code, board: &Board) -> String {
    match board.people().get(&code) {
        Some(person) => format!("{code}, {}, {}", person.name, person.role.title()),
        None => format!("{code}, not on the roster"),
    }
}

fn place(entry: &Entry, board: &Board) -> String {
    let room = |code: &Code| match board.facility().room(*code) {
        Some(plan) if !plan.name.is_empty() => format!("room {code}, {}", plan.name),
        Some(_) => format!("room {code}"),
        None => format!("{code}, which is no room now"),
    };
    match &entry.place {
        Place::Hospital => "the whole hospital".to_owned(),
        Place::Unknown => "not readable, so everywhere".to_owned(),
        Place::Ward(ward) => match board.facility().wards.get(ward) {
            Some(plan) => format!("ward {ward}, {}", plan.name),
            None => format!("{ward}, which is no ward now"),
        },
        Place::Rooms(rooms) => rooms.iter().map(room).collect::<Vec<_>>().join("; "),
    }
}

/// How long after it happened an entry was noted, in words.
pub(super) fn late(entry: &Entry) -> String {
    let late = entry.noted - entry.happened;
    if late < TimeDelta::zero() {
        format!("{} before it is said to have happened", age::length(late))
    } else if late < TimeDelta::minutes(2) {
        "when it happened".to_owned()
    } else {
        format!("{} later", age::length(late))
    }
}

/// What the entry asks for and what it meets, as far as that is still open business.
fn comes_to(entry: &Entry, board: &Board) -> Vec<(&'static str, String)> {
    if matches!(entry.place, Place::Hospital | Place::Unknown) {
        return vec![];
    }
    let rooms = board.rooms_of(&entry.place);
    if rooms.len() > MOST_ROOMS {
        return vec![];
    }
    let known = || rooms.iter().filter_map(|room| board.room(*room));
    let is_settled = known().any(|room| room.knows_closer(entry.number).is_some())
        && known().all(|room| room.unsettled_by_name(entry.number).is_none());
    let evidence: Vec<Evidence> = rooms.iter().flat_map(|room| board.evidence(*room)).collect();
    let asked: Vec<&Evidence> = evidence.iter().filter(|it| it.cause == entry.number).collect();
    let open: Vec<String> = asked.iter().filter(|it| it.met_by.is_none()).map(|it| it.need.to_string()).collect();
    let met = evidence.iter().filter(|it| it.met_by == Some(entry.number));
    let met: Vec<String> = met.map(|it| format!("entry {}", it.cause)).collect();
    let mut out = vec![];
    match (asked.len(), open.len()) {
        (0, _) if is_settled => out.push(("Closed", "nothing of it is open now".to_owned())),
        (0, _) => {}
        (all, 0) => out.push(("Closes", format!("all {all} things that it asks for were done"))),
        (all, left) => out.push(("Closes", format!("{left} of {all} things still missing: {}", open.join("; ")))),
    }
    if !met.is_empty() {
        let count = met.len();
        let mut causes = met;
        causes.dedup();
        let things = if count == 1 { "1 thing".to_owned() } else { format!("{count} things") };
        out.push(("Meets", format!("{things} asked for by {}", causes.join(", "))));
    }
    out
}

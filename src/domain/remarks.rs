//! What whoever noted an entry should know of it at once: that a load failed, a look was incomplete, a record lacks fields.
//!
//! Nothing here decides anything; it repeats what the rules have made of the entry.

use chrono::TimeDelta;

use super::board::{BedMark, Board, LoadAt, State};
use super::code::Code;
use super::describe::sentence;
use super::doubts::{Load, doubts, not_compared};
use super::entry::{BagEnd, Body, Cycle, Depth, Entry, Feel, Known, Purpose};
use super::laundry;
use super::need::Need;
use super::odd::odd;
use super::policy::{PolicyItem, Setting};
use super::record::{RecordRule, RecordView};
use super::shift::exception_words;
use super::shown::{not_shown, shown};

fn is_wet(entry: &Entry, board: &Board) -> bool {
    board.rooms_of(&entry.place).into_iter().any(|code| board.state(code) == State::TreatedWet)
}

/// How each logger's file was read: what was stated of it, and what was taken for granted.
fn read_as(cycle: &Cycle) -> Option<String> {
    let words = laundry::read_as(cycle)?;
    Some(format!("the logger's file was read so: {}", shown(&words)))
}

/// A clean inspection that began before what it was to settle.
fn too_early(entry: &Entry, board: &Board) -> Option<String> {
    let Body::Inspected { began, looks, .. } = &entry.body else { return None };
    if looks.iter().any(|look| !look.seen.is_empty()) {
        return None;
    }
    let rooms = board.rooms_of(&entry.place).into_iter().filter_map(|code| board.room(code));
    let mut asks = rooms.flat_map(|room| room.unsettled()).filter(|closer| closer.needs.contains(&Need::Inspected));
    let early = asks.find(|closer| closer.number < entry.number && closer.happened >= *began)?;
    Some(format!("it began before entry {}, so it does not settle that: look again", early.number))
}

/// What to do first with what was found.
fn keep_it(entry: &Entry, board: &Board) -> String {
    let is_confirmed = |code: Code| board.state(code) == State::Confirmed;
    let then = match board.rooms_of(&entry.place).into_iter().any(is_confirmed) {
        true => "linens and things leave the room only sealed in bags",
        false => "move no patient, bed or linens out yet",
    };
    format!("keep what was found in a closed jar; {then}; tell the housekeeping lead")
}

/// What it closes beside the room that it names, and who has to leave at once.
fn elsewhere(entry: &Entry, board: &Board) -> Vec<String> {
    let wets = matches!(
        entry.body,
        Body::Sprayed { .. } | Body::EnteredWet { .. } | Body::ThingLeft { .. } | Body::ThingArrived { .. }
    ) || matches!(entry.body, Body::Voided { really_in: Some(_), .. });
    let puts_in = matches!(
        entry.body,
        Body::Occupied { .. } | Body::PatientOut { .. } | Body::PatientMoved { .. } | Body::OccupancyConfirmed { .. }
    );
    if !wets && !puts_in {
        return vec![];
    }
    let mut rooms = board.rooms_of(&entry.place);
    if let Body::Voided { really_in: Some(really), .. } = entry.body {
        rooms.push(really);
    }
    let gone = board.things().filter(|thing| rooms.contains(&thing.from));
    let gone: Vec<Code> = gone.filter_map(|thing| thing.arrived.map(|(_, room, _)| room).or(thing.to)).collect();
    let closed = |code: &Code| board.room(*code).is_some_and(|room| room.knows_closer(entry.number).is_some());
    rooms.extend(gone.into_iter().filter(closed));
    rooms.sort();
    rooms.dedup();
    let facility = board.facility();
    let inside = |code: &Code| {
        facility.room(*code).is_some_and(|plan| plan.beds.iter().any(|bed| board.may_be_occupied(bed.code)))
    };
    let listed = |rooms: &[Code]| rooms.iter().map(Code::to_string).collect::<Vec<_>>().join(", ");
    let wet: Vec<Code> = rooms.iter().copied().filter(|code| board.state(*code) == State::TreatedWet).collect();
    let mut said: Vec<String> = wet
        .iter()
        .filter(|code| inside(code))
        .map(|code| format!("MOVE THE PATIENT OUT of {code} now, washed and changed"))
        .collect();
    if let Body::ThingLeft { to: Some(to), .. } = &entry.body
        && wet.contains(to)
    {
        said.push(format!("{to} is treated-wet by it: DO NOT ENTER"));
    }
    if puts_in {
        return said;
    }
    let mut served: Vec<Code> =
        wet.iter().filter_map(|code| facility.room(*code)).flat_map(|it| it.serves.clone()).collect();
    served.sort();
    served.dedup();
    if !served.is_empty() {
        let patients: Vec<Code> = served.iter().copied().filter(inside).collect();
        let patients = match patients.is_empty() {
            true => String::new(),
            false => format!("; the patients of {} use another one, and its door stays shut", listed(&patients)),
        };
        said.push(format!("it closes the beds of {}{patients}", listed(&served)));
    }
    said
}

/// Two notes of the same touch by the same person within so many minutes are likely one. Our assumption.
const SAME_TOUCH: TimeDelta = TimeDelta::minutes(15);

/// A dry check of zones that the same person said to have felt a moment before.
fn twin(entry: &Entry, entries: &[Entry]) -> Option<String> {
    let felt = |it: &Entry| match &it.body {
        Body::DryChecked { began, zones, .. } => {
            let mut zones = zones.clone();
            zones.sort_by_key(|(zone, feel)| (*zone, *feel == Feel::Damp));
            Some((*began, zones))
        }
        _ => None,
    };
    let (began, zones) = felt(entry)?;
    let before = entries.iter().rev().filter(|it| it.number < entry.number);
    let near = before.take_while(|it| entry.noted - it.noted <= TimeDelta::hours(24));
    let same = |it: &&Entry| {
        let at =
            felt(it).filter(|(_, other)| it.done_by == entry.done_by && it.place == entry.place && *other == zones);
        at.is_some_and(|(at, _)| (began - at).abs() <= SAME_TOUCH)
    };
    let other = near.into_iter().find(same)?;
    Some(format!(
        "entry {} says the same of the same zones, by {}: if nobody went in again in between, it is one check noted twice, and \
         this one is to be voided",
        other.number, other.done_by
    ))
}

/// Of beds that are given to somebody: what is to be known of them.
fn known_of(beds: &[Code], board: &Board, entry: &Entry) -> Vec<String> {
    let known = |bed: &Code| {
        let plan = board.facility().room_of_bed(*bed)?;
        // A closed room says more than that, elsewhere.
        let is_open = board.room_blockers(plan.code).is_empty();
        let marks = if is_open { board.marks_of_room(plan, entry.noted) } else { vec![] };
        let words: Vec<&str> = marks.into_iter().map(BedMark::words).collect();
        (!words.is_empty()).then(|| format!("know of {bed}: {}", words.join(", ")))
    };
    beds.iter().filter_map(known).collect()
}

/// What is still to be said of a patient who left.
fn still_asked(bed: Code) -> String {
    format!(
        "nobody said where the patient of {bed} went, so that the bed where they lie now is not closed: it stands on the \
         shift's page until somebody says it (move-patient {bed})"
    )
}

/// What is still to be said or noted of a patient's move.
fn where_to(entry: &Entry, board: &Board) -> Vec<String> {
    let Body::PatientMoved { beds, receiving, receiving_bed, own_bed, answers, .. } = &entry.body else {
        return vec![];
    };
    let mut said: Vec<String> =
        board.gone().filter(|it| it.number == entry.number).map(|it| still_asked(it.bed)).collect();
    if let (Some(room), None, false) = (receiving, receiving_bed, own_bed) {
        said.push(format!("now note in which bed of {room} the patient lies"));
    }
    let stays =
        |bed: &&Code| answers.is_none() && !own_bed && board.may_be_occupied(**bed) && Some(**bed) != *receiving_bed;
    said.extend(
        beds.iter().filter(stays).map(|bed| format!("bed {bed} is not empty by this note: note it empty as it is now")),
    );
    said
}

/// A sentence each, without a full stop; none if there is nothing to add. `entries`: what was noted before and with it.
pub fn remarks(entry: &Entry, board: &Board, entries: &[Entry]) -> Vec<String> {
    let mut out = match &entry.body {
        Body::Laundered { bag, cycle, .. } => {
            let verdict = laundry::judge(cycle, laundry::criterion_of(board.policy()), true);
            let fails = |failure: String| format!("bag {bag} stays outstanding: {failure}");
            let mut said: Vec<String> = verdict.failures().into_iter().map(fails).collect();
            if said.is_empty() && cycle.traces().next().is_some() {
                said.extend([verdict.hygiene.reason, verdict.insects.reason].map(|why| shown(&why)));
            }
            said.extend(cycle.traces().find_map(not_compared).map(str::to_owned));
            said.extend(read_as(cycle));
            let load = LoadAt::of(entry, *bag, cycle);
            if cycle.clock_checked {
                let doubtful = board.span_of(&load).doubtful.into_iter();
                said.extend(doubtful.map(|doubt| format!("it counts because the logger's clock was checked: {doubt}")));
            }
            said
        }
        Body::Inspected { depth: Depth::Full, looks, .. } => {
            let rooms = board.rooms_of(&entry.place).into_iter().filter_map(|code| board.facility().room(code));
            let left_out: Vec<String> = rooms
                .flat_map(|plan| plan.all_zones())
                .filter(|zone| looks.iter().all(|look| look.zone != *zone))
                .map(|zone| zone.to_string())
                .collect();
            let seen = looks.iter().flat_map(|look| &look.seen).any(|sign| sign.is_physical());
            let mut said: Vec<String> = seen.then(|| keep_it(entry, board)).into_iter().collect();
            match left_out.is_empty() {
                true => said.extend(too_early(entry, board)),
                false => {
                    said.push(format!("incomplete, so it settles nothing; not looked at: {}", left_out.join(", ")));
                }
            }
            said
        }
        Body::Sprayed { product, bags, patient_inside, .. } => {
            let in_use = bags.is_some() && *patient_inside != Known::No;
            let product = board.product_of_day(*product, entry);
            let person = board.person_of_day(entry.done_by, entry);
            let record = RecordView::read(entry, [entry], None, board.facility(), person, product);
            let missing =
                record.map(|record| record.missing_fields(RecordRule::of(board.policy()))).unwrap_or_default();
            let mut out = vec![];
            if !missing.is_empty() {
                let titles: Vec<&str> = missing.iter().map(|field| field.title()).collect();
                out.push(format!("the treatment record is incomplete; it lacks: {}", titles.join(", ")));
            }
            if in_use {
                out.push(
                    "a patient was inside, or it is not known, so linens in use were sprayed: once the patient is out, say the \
                     bags that they went into (complete-spray)"
                        .to_owned(),
                );
            }
            let rooms = board.rooms_of(&entry.place);
            let has_no_case = |code: &Code| board.room(*code).is_some_and(|room| room.open_case().is_none());
            if let (Body::Sprayed { purpose: Purpose::Infested, .. }, Some(room)) =
                (&entry.body, rooms.iter().find(|code| has_no_case(code)))
            {
                out.push(format!(
                    "no bug or sign is on record for {room}, so after its return it reads clear and is not followed up: if one \
                     was seen, note the finding"
                ));
            }
            out
        }
        Body::DryChecked { .. } => twin(entry, entries).into_iter().collect(),
        Body::Vacuumed { .. } | Body::BedMade { .. } if is_wet(entry, board) => {
            vec!["the room is still wet: what has to come after drying does not count, and nobody goes in".to_owned()]
        }
        Body::BagEnded { bag, end: BagEnd::Lost } => vec![format!(
            "bag {bag} stays outstanding, and its room closed, until it is found and laundered or destroyed before a \
             witness; what stays lost the lead and infection prevention write off, an entry each"
        )],
        Body::Finding { seen, .. } if seen.iter().any(|it| it.sign.is_physical()) => vec![keep_it(entry, board)],
        // Less than what was printed or worked out is the hospital's to choose, and to know of.
        Body::PolicySet { key, value } => {
            let setting = Setting::from_key(key)
                .filter(|it| matches!(it, Setting::ClearDays | Setting::ClearVisualChecks | Setting::ClearTrapPeriods));
            let item = setting.map(Setting::item).filter(|item| *value < item.default);
            let under = |item: &PolicyItem| {
                format!("that is under {}, {}: {}", item.show(item.default), item.mark.word(), item.source)
            };
            item.map(under).into_iter().collect()
        }
        Body::EnteredWet { .. } => {
            vec!["whoever was inside: follow the label's first aid, wash, and tell the lead".to_owned()]
        }
        Body::Promised { beds, wanted: Some(_) } => known_of(beds, board, entry),
        Body::Occupied { beds } => known_of(beds, board, entry),
        Body::PatientMoved { .. } => where_to(entry, board),
        Body::OccupancyConfirmed { gone, .. } => gone.iter().map(|bed| still_asked(*bed)).collect(),
        Body::PatientOut { receiving: Some(room), receiving_bed: None, .. } => {
            vec![format!("now note in which bed of {room} the patient lies")]
        }
        _ => vec![],
    };
    if let Some(load) = Load::of(entry) {
        let doubts = doubts(&load, entries);
        out.extend(doubts.iter().map(|doubt| format!("{} If not, void it and note it again", shown(doubt))));
    }
    out.extend(odd(entry).map(|question| format!("{question} If not, void it and note it again")));
    if let Some(other) = board.waits_for_the_other(entry.number) {
        out.push(format!("this is one of two: nothing changes until {other} says the same in an entry of their own"));
    }
    if not_shown(&sentence(entry, board)).is_some() {
        out.push("it holds a sign that no screen shows: � stands in its place everywhere".to_owned());
    }
    out.splice(..0, elsewhere(entry, board));
    let exceptions = board.exceptions().iter().filter(|exception| exception.number == entry.number);
    let words = |exception| exception_words(board, entries, exception, entry.noted);
    out.extend(exceptions.map(|exception| format!("noted as an exception: {}", words(exception))));
    out
}

//! From a target and answers to the place and body of an entry.

use super::logger::{CLOCK_CHECKED, OTHER_TRACE, TRACE};
use super::patients::{patient_found, patient_moved};
use super::read::{Reader, is_none};
use super::spraying::{IfUnknown, spray_completed, spray_corrected, sprayed, tags};
use super::{Answers, FieldError, Move, On, places, settings};
use crate::domain::airing::AirChange;
use crate::domain::board::{Board, State};
use crate::domain::code::Code;
use crate::domain::entry::{
    BagEnd, Body, Cycle, Depth, InspectionMethod, Known, LinenSource, Lost, Number, OldPart, OtherMethod, Place,
    PrepStep, Specimen, Time,
};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::measured::{LoggerIn, Measured};

/// What was typed, as an entry's place and body. `now` settles what a bare `HH:MM` means.
///
/// `target` is a code as typed; moves without a target take any text. On failure every field that is wrong is named.
pub fn build(
    mv: &'static Move,
    target: &str,
    answers: &Answers,
    board: &Board,
    now: Time,
) -> Result<(Place, Body), Vec<FieldError>> {
    build_at(mv, target, answers, board, now, None)
}

/// The same of what happened at another time: a bare `HH:MM` in it belongs to that time, and not to today.
pub fn build_at(
    mv: &'static Move,
    target: &str,
    answers: &Answers,
    board: &Board,
    now: Time,
    happened: Option<Time>,
) -> Result<(Place, Body), Vec<FieldError>> {
    let mut reader = Reader::new(mv, answers, board, now);
    reader.happened = happened;
    let built = match mv.on {
        On::Room => on_room(&mut reader, mv, target),
        On::Bed => on_bed(&mut reader, mv, target),
        On::Bag => on_bag(&mut reader, mv, target),
        On::Ward => on_ward(&mut reader, mv, target),
        On::Place => on_place(&mut reader, mv, target),
        On::Hospital | On::Named(_) => settings::build(mv, target, answers, board, now, &mut reader.errors),
    };
    match built {
        Some(built) if reader.errors.is_empty() => Ok(built),
        _ => {
            if reader.errors.is_empty() {
                reader.complain("target", format!("{} cannot be noted of this", mv.verb));
            }
            Err(reader.errors)
        }
    }
}

fn found<T>(reader: &mut Reader<'_>, found: Result<T, String>) -> Option<T> {
    found.map_err(|message| reader.complain("target", message)).ok()
}

fn on_room(reader: &mut Reader<'_>, mv: &Move, target: &str) -> Option<(Place, Body)> {
    let plan = places::room(reader.board.facility(), target);
    let plan = found(reader, plan)?;
    let spray = if mv.verb == "complete-spray" { reader.entry("spray") } else { None };
    let plan = places::room_of_spray(reader.board, plan, spray);
    let mut place = Place::room(plan.code);
    let seen = reader.board.newest_of(&place);
    let body = match mv.verb {
        "finding" => finding(reader, plan)?,
        "identify" => {
            let (specimen, identified_by) =
                (reader.word("specimen", Specimen::from_word), reader.text("identified-by"));
            Body::Identified {
                finding: reader.entry("finding"),
                specimen: specimen?,
                identified_by: identified_by?,
                seen,
            }
        }
        "inspect" => inspected(reader, plan, seen)?,
        "patient-stays" => {
            let (reason, review) = (reader.text("reason"), reader.time("review"));
            Body::PatientStays { reason: reason?, review: review? }
        }
        "prepare" => {
            let steps = reader.steps("steps", PrepStep::from_word);
            let bags = tags(reader, IfUnknown::LeaveTheStepOut);
            // Things that leave a room without a tag are tracked by nobody.
            let bagged = [PrepStep::LinensBagged, PrepStep::ClutterOut];
            let is_said = reader.errors.iter().any(|error| error.field == "bags");
            if bags.is_none()
                && !is_said
                && steps.as_ref().is_some_and(|steps| steps.iter().any(|step| bagged.contains(step)))
            {
                let text =
                    "say the tag of every bag that was filled, or `none`: a bag without a tag is tracked by nobody";
                reader.complain("bags", text.to_owned());
            }
            let bags = bags.unwrap_or_default();
            Body::Prepared { steps: steps?, bags, note: reader.text("note").unwrap_or_default() }
        }
        "spray" => sprayed(reader, plan)?,
        "complete-spray" => spray_completed(reader, plan, spray)?,
        "correct-spray" => spray_corrected(reader, plan, seen)?,
        "replace-part" => {
            let (part, by, old) = (reader.text("part"), reader.code("by"), reader.word("old", OldPart::from_word));
            let part = part.and_then(|text| match Zone::parse(text.trim()) {
                Ok(part) if part.bed.is_some() => Some(part),
                _ => {
                    reader.complain("part", "type the part of a bed, as BED/part".to_owned());
                    None
                }
            });
            let reason = reader.text("reason");
            Body::PartReplaced { part: part?, by, old: old?, reason: reason?, seen }
        }
        "write-off" => {
            let (what, tag, reason) = (reader.word("what", Lost::from_word), reader.code("tag"), reader.text("reason"));
            let (what, tag) = (what?, tag?);
            // All the rooms that wait for it, of which the target names one.
            reader.board.rooms_of_lost(what, tag).into_iter().for_each(|room| add_room(&mut place, Some(room)));
            Body::WrittenOff { what, tag, reason: reason?, seen: reader.board.newest_of(&place) }
        }
        "treat-zone" => {
            let (zones, method) = (reader.some_zones("zones", plan), reader.word("method", OtherMethod::from_word));
            Body::TreatedOtherwise { zones: zones?, method: method? }
        }
        "dry-check" => dry_checked(reader, plan)?,
        "entered-wet" => {
            let (wiping, zones) = (reader.stated("wiping"), reader.zones_or_all("wiped", plan));
            // What is not known to have been left alone was wiped.
            let wiped = match (wiping?, zones) {
                (Known::No, None) => vec![],
                (Known::No, Some(zones)) if zones.is_empty() => vec![],
                (Known::No, Some(_)) => {
                    reader
                        .complain("wiped", "nothing was wiped, and these zones were: say which of the two".to_owned());
                    return None;
                }
                (_, Some(zones)) if !zones.is_empty() => zones,
                _ => plan.all_zones().chain(places::zones_beyond_plan(reader.board, plan)).collect(),
            };
            Body::EnteredWet { wiped, note: reader.text("note").unwrap_or_default() }
        }
        "vacuum" => Body::Vacuumed { zones: reader.some_zones("zones", plan)? },
        "return" => {
            let second = reader.board.second_person_of(plan.code);
            Body::ReturnedToService { second, seen }
        }
        "second-check" => {
            let there = &RoomPlan { beds: places::beds_checked(reader.board, plan), ..plan.clone() };
            let (zones, beds) = (reader.feels("zones", plan), reader.bed_makes("beds", there));
            let (made, not_made) = beds.unwrap_or_default();
            Body::SecondChecked { zones: zones?, made, not_made, note: reader.text("note").unwrap_or_default(), seen }
        }
        "clear" => Body::Cleared { seen },
        "nothing-applied" => Body::NothingApplied { reason: reader.text("reason")?, seen },
        "out-of-service" => Body::OutOfService { reason: reader.text("reason")? },
        "in-service" => Body::InService { closing: reader.entry("closing")?, seen },
        "thing-left" => {
            let (thing, zones, to) = (reader.code("thing"), reader.zones_or_all("zones", plan), reader.room("to"));
            let outside = reader.text("place").unwrap_or_default().trim().to_owned();
            add_room(&mut place, to);
            Body::ThingLeft { thing: thing?.to_string(), zones: zones.unwrap_or_default(), to, outside }
        }
        "thing-seen" => Body::ThingSeen { thing: reader.text("thing")?.trim().to_owned() },
        "thing-arrived" => {
            // Until it is seen it may be in the room that it left, too.
            let (thing, from, wet) = (reader.code("thing"), reader.room("from"), reader.known("wet"));
            add_room(&mut place, from);
            Body::ThingArrived { thing: thing?.to_string(), from, wet }
        }
        "look" => {
            let found = reader.word("found", |word| {
                ["nothing", "something"].into_iter().find(|it| it.eq_ignore_ascii_case(word.trim()))
            });
            if found == Some("something") {
                let text = "a look that found something settles nothing, and the room stays closed: note what it was (finding, \
                            or dry check with the zone damp), which is settled in its own way";
                reader.complain("found", text.to_owned());
            }
            let (void, note) = (reader.entry("void"), reader.text("note"));
            found?;
            Body::Looked { void: void?, note: note?, seen }
        }
        "could-not" => {
            let (why, again) = (reader.text("why"), reader.time("again"));
            Body::NotPossible { why: why?, again }
        }
        "accept" => {
            let (need, cause, by) = (reader.text("need"), reader.entry("cause"), reader.person("by"));
            Body::TaskAccepted { room: plan.code, need: need?, cause: cause?, by: by? }
        }
        _ => return None,
    };
    Some((place, body))
}

/// A move that touches a second room names both.
pub(super) fn add_room(place: &mut Place, second: Option<Code>) {
    if let (Place::Rooms(rooms), Some(second)) = (place, second)
        && !rooms.contains(&second)
    {
        rooms.push(second);
    }
}

fn finding(reader: &mut Reader<'_>, plan: &RoomPlan) -> Option<Body> {
    let seen = reader.sightings("seen", plan)?;
    if seen.is_empty() && reader.errors.is_empty() {
        reader.complain("seen", "a finding names at least one sign; nothing seen is an inspection".to_owned());
    }
    let wiped_before = reader.known("wiped-before");
    Some(Body::Finding { seen, wiped_before, note: reader.text("note").unwrap_or_default() })
}

fn inspected(reader: &mut Reader<'_>, plan: &RoomPlan, seen: Number) -> Option<Body> {
    let depth = reader.word("depth", Depth::from_word);
    let method = reader.word("method", InspectionMethod::from_word).unwrap_or(InspectionMethod::Visual);
    let began = reader.time("began");
    let looks = reader.looks("looks", plan);
    let note = reader.text("note").unwrap_or_default();
    if looks.as_ref().is_some_and(Vec::is_empty) && reader.errors.is_empty() {
        reader.complain("looks", "an inspection looked at one zone at least".to_owned());
    }
    Some(Body::Inspected { depth: depth?, method, began: began?, looks: looks?, note, seen })
}

fn dry_checked(reader: &mut Reader<'_>, plan: &RoomPlan) -> Option<Body> {
    let began = reader.time("began");
    let zones = reader.feels("zones", plan);
    let ventilation = reader.text("ventilation");
    if zones.as_ref().is_some_and(Vec::is_empty) && reader.errors.is_empty() {
        reader.complain("zones", "a dry check names each zone that was felt".to_owned());
    }
    let changed = reader.word("changed", AirChange::from_word);
    Some(Body::DryChecked { began: began?, zones: zones?, ventilation: ventilation?, changed })
}

fn on_bed(reader: &mut Reader<'_>, mv: &Move, target: &str) -> Option<(Place, Body)> {
    let plan = places::room(reader.board.facility(), target);
    let plan = found(reader, plan)?;
    let mut place = Place::room(plan.code);
    let body = match mv.verb {
        "move-patient" => {
            let beds = beds_of(reader, plan, target, "beds")?;
            patient_moved(reader, &mut place, beds)
        }
        "occupied" => {
            let beds = beds_of(reader, plan, target, "beds");
            match reader.room_and_bed("from") {
                Some((_, from)) => patient_found(reader, &mut place, from, &beds?)?,
                None => Body::Occupied { beds: beds? },
            }
        }
        "promise" => {
            let (beds, wanted) = (beds_of(reader, plan, target, "beds"), reader.time("wanted"));
            Body::Promised { beds: beds?, wanted: Some(wanted?) }
        }
        "end-promise" => Body::Promised { beds: beds_of(reader, plan, target, "beds")?, wanted: None },
        "empty" => {
            let beds = beds_of(reader, plan, target, "beds")?;
            let says = ["went", "to", "place"].iter().any(|field| reader.is_stated(field));
            match says || beds.iter().any(|bed| reader.board.asks_where(*bed)) {
                true => patient_moved(reader, &mut place, beds),
                false => Body::Emptied { beds },
            }
        }
        "make-bed" => {
            let meant = Code::new(target).ok().and_then(|code| places::room_of_target(reader.board, mv.verb, code));
            let plan = meant.unwrap_or(plan);
            place = Place::room(plan.code);
            let plan = &RoomPlan { beds: places::beds_there(reader.board, plan), ..plan.clone() };
            let bed = match beds_of(reader, plan, target, "bed")?.as_slice() {
                [bed] => *bed,
                _ => {
                    reader.complain("bed", "one bed is made at a time, so that each is looked at".to_owned());
                    return None;
                }
            };
            Body::BedMade { bed, linens: linens(reader)? }
        }
        _ => return None,
    };
    Some((place, body))
}

fn beds_of(reader: &mut Reader<'_>, plan: &RoomPlan, target: &str, field: &'static str) -> Option<Vec<Code>> {
    let named = reader.beds(field, plan);
    let all: Vec<Code> = plan.beds.iter().map(|bed| bed.code).collect();
    let by_target = all.iter().copied().find(|bed| Code::new(target).is_ok_and(|code| code == *bed));
    match (named, by_target) {
        (Some(beds), None) if !beds.is_empty() => Some(beds),
        (Some(beds), Some(bed)) if beds == [bed] => Some(beds),
        (Some(_), Some(bed)) => {
            reader.complain(field, format!("the target is {bed} already: give the room as target for several beds"));
            None
        }
        (_, Some(bed)) => Some(vec![bed]),
        (_, None) if all.is_empty() => {
            reader.complain("target", format!("{} has no beds", plan.code));
            None
        }
        // Who is named by no bed may not be in one, and a bed that nobody named is not empty.
        (_, None) if all.len() == 1 => Some(all),
        (_, None) => {
            let known: Vec<&str> = all.iter().map(Code::as_str).collect();
            reader.complain(field, format!("which bed? {} has {}: name it", plan.code, known.join(", ")));
            None
        }
    }
}

fn linens(reader: &mut Reader<'_>) -> Option<LinenSource> {
    let bags = reader.codes("bags").filter(|bags| !bags.is_empty());
    let stock = reader.text("stock").filter(|text| !is_none(text));
    match (bags, stock) {
        (Some(bags), None) => Some(LinenSource::Bags(bags)),
        (None, Some(stock)) => Some(LinenSource::Stock(stock)),
        (Some(_), Some(_)) => {
            reader.complain("stock", "give bags or stock, not both: one bed is made from one source".to_owned());
            None
        }
        (None, None) => {
            reader.complain("bags", "where are the linens from? Give the bags' tags, or name the stock".to_owned());
            None
        }
    }
}

fn on_bag(reader: &mut Reader<'_>, mv: &Move, target: &str) -> Option<(Place, Body)> {
    let bag = found(reader, Code::new(target).map_err(|error| error.to_string()));
    let room = room_of_bag(reader, bag);
    let body = match mv.verb {
        "launder" => {
            let cycle = Cycle {
                wash_decicelsius: reader.celsius("wash-celsius"),
                wash_minutes: reader.number("wash-minutes"),
                detergent: reader.known("detergent"),
                dry_decicelsius: reader.celsius("dry-celsius"),
                dry_minutes: reader.number("dry-minutes"),
                small_load: reader.known("small-load"),
                mixing_minutes: reader.number("mixing-minutes"),
                ..measured(reader)
            };
            Body::Laundered { bag: bag?, cycle, slip: reader.text("slip").unwrap_or_default() }
        }
        "discard" => {
            let witness = reader.person("witness");
            let end = match reader.text("end")?.to_ascii_lowercase().as_str() {
                "destroyed" => match witness {
                    Some(witness) => BagEnd::Destroyed { witness },
                    None => {
                        reader.complain("witness", "destruction needs a witness: type their initials".to_owned());
                        return None;
                    }
                },
                "heated" => BagEnd::Heated,
                "inspected" => BagEnd::Inspected,
                "lost" => BagEnd::Lost,
                _ => {
                    reader.complain("end", "type one of destroyed, heated, inspected, lost".to_owned());
                    return None;
                }
            };
            Body::BagEnded { bag: bag?, end }
        }
        _ => return None,
    };
    Some((Place::room(room?), body))
}

/// The traces that were named, each with the machine that it is of. Whoever could read their files attached them.
fn measured(reader: &mut Reader<'_>) -> Cycle {
    let machine = reader.word("machine", LoggerIn::from_word).unwrap_or_default();
    let mut trace = |field: &'static str, machine: LoggerIn| match reader.trace(field) {
        None => None,
        Some(Some(measured)) => Some(Box::new(Measured { machine, ..measured })),
        Some(None) => {
            reader.complain(field, "its file was not read, so nothing of it can be noted".to_owned());
            None
        }
    };
    let (trace, other_trace) = (trace(TRACE, machine), trace(OTHER_TRACE, machine.other()));
    if let (Some(one), Some(other)) = (&trace, &other_trace)
        && one.file == other.file
    {
        reader.complain(OTHER_TRACE, "it is the same file: a logger writes one for each machine".to_owned());
    }
    let clock_checked = reader.yes_no(CLOCK_CHECKED).unwrap_or_default();
    Cycle { trace, other_trace, clock_checked, ..Cycle::default() }
}

fn room_of_bag(reader: &mut Reader<'_>, bag: Option<Code>) -> Option<Code> {
    let stated = reader.room("room");
    if stated.is_some() || reader.is_stated("room") {
        return stated;
    }
    let bag = bag?;
    match places::rooms_of_bag(reader.board, bag).as_slice() {
        [room] => Some(*room),
        [] => {
            reader.complain(
                "room",
                format!(
                    "no room is waiting for bag {bag}: check its tag. If it came without one, tag it, name the room, and \
                     first note it as filled there: prepare ROOM --steps linens-bagged --bags {bag}"
                ),
            );
            None
        }
        rooms => {
            let rooms: Vec<&str> = rooms.iter().map(Code::as_str).collect();
            reader.complain("room", format!("bag {bag} is outstanding from {}: say which room", rooms.join(" and ")));
            None
        }
    }
}

fn on_ward(reader: &mut Reader<'_>, mv: &Move, target: &str) -> Option<(Place, Body)> {
    let ward = places::ward(reader.board.facility(), target);
    let ward = found(reader, ward)?;
    let place = Place::Ward(ward);
    let body = match mv.verb {
        "round" => {
            let mut rooms = reader.rooms("rooms", Some(ward))?;
            // Nobody goes into a wet room for a look: all means all the others.
            if reader.says_all("rooms") {
                rooms.retain(|room| reader.board.state(*room) != State::TreatedWet);
            }
            Body::RoundLooked { rooms }
        }
        "occupancy" => {
            let (occupied, empty) = reader.bed_states("beds", ward)?;
            let gone = empty.iter().copied().filter(|bed| reader.board.asks_where(*bed)).collect();
            Body::OccupancyConfirmed { occupied, empty, gone }
        }
        "ward-walk" => ward_walked(reader, ward)?,
        _ => return None,
    };
    Some((place, body))
}

/// A walk that settles a gap says what was asked, and what was wet.
fn ward_walked(reader: &mut Reader<'_>, ward: Code) -> Option<Body> {
    let place = Place::Ward(ward);
    let words = reader.text("words");
    let rooms = reader.rooms("wet-rooms", Some(ward)).filter(|rooms| !rooms.is_empty());
    let any = reader.word("wet", |word| ["none", "some"].into_iter().find(|it| it.eq_ignore_ascii_case(word.trim())));
    let wet = match (any, rooms) {
        (Some("none"), Some(_)) => {
            reader.complain("wet-rooms", "no other room was wet, and these were: say which of the two".to_owned());
            None
        }
        (Some("some"), None) => {
            reader.complain("wet-rooms", "needed: name each room that was found wet".to_owned());
            None
        }
        (None, None) => None,
        (_, rooms) => Some(rooms.unwrap_or_default()),
    };
    if let Some(gap) = reader.board.gaps_of(&place).into_iter().max_by_key(|gap| gap.until) {
        let gap = reader.board.gap_words(gap);
        if words.is_none() && reader.errors.is_empty() {
            reader.complain("words", format!("needed: {gap}. Say who was on duty then, and what they told you"));
        }
        if wet.is_none() && reader.errors.is_empty() {
            reader.complain("wet", format!("needed: {gap}. Say none, or some and which"));
        }
    }
    Some(Body::WardWalked { words, wet, seen: reader.board.newest_of(&place) })
}

/// An entry about another stands where that one stood: all of its rooms, of which the target names one.
fn place_of_entry(reader: &Reader<'_>, target: Place, entry: Number) -> Place {
    match reader.board.place_of(entry) {
        Some(Place::Unknown) | None => target,
        Some(own) => {
            let (theirs, named) = (reader.board.rooms_of(&own), reader.board.rooms_of(&target));
            if named.iter().all(|room| theirs.contains(room)) { own } else { target }
        }
    }
}

fn on_place(reader: &mut Reader<'_>, mv: &Move, target: &str) -> Option<(Place, Body)> {
    let place = places::anywhere(reader.board.facility(), target);
    let mut place = found(reader, place)?;
    let body = match mv.verb {
        "downtime" => {
            let (from, until, sheets) = (reader.time("from"), reader.time("until"), reader.text("sheets"));
            Body::Downtime { from: from?, until: until?, sheets: sheets? }
        }
        "hand-over" => Body::HandedOver { text: reader.text("text")? },
        "which-ledger" => {
            let others = reader.board.other_files().to_vec();
            if others.is_empty() {
                let text =
                    "no other file of this ledger is known here that holds more: there is nothing to choose between";
                reader.complain("target", text.to_owned());
            }
            place = Place::Hospital;
            Body::LedgerChosen { others, words: reader.text("words")? }
        }
        "gap" => Body::Restored { reason: reader.text("reason")? },
        "amend" => {
            let (entry, field, value) = (reader.entry("entry"), reader.text("field"), reader.text("value"));
            place = place_of_entry(reader, place, entry?);
            Body::Amended { entry: entry?, field: field?, value: value? }
        }
        "void" => {
            let (entry, why, really_in) = (reader.entry("entry"), reader.text("why"), reader.room("really-in"));
            place = place_of_entry(reader, place, entry?);
            if let (Some(really), Place::Rooms(rooms)) = (really_in, &mut place)
                && !rooms.contains(&really)
            {
                rooms.push(really);
            }
            Body::Voided { entry: entry?, why: why?, really_in }
        }
        "wrong-time" => {
            let (entry, words) = (reader.entry("entry"), reader.text("words"));
            place = place_of_entry(reader, place, entry?);
            let seen = reader.board.newest_of(&place);
            Body::TimeTakenOut { entry: entry?, words: words?, seen }
        }
        "attest" | "second-attest" => {
            let (line, words) = (reader.entry("entry"), reader.text("words"));
            place = place_of_entry(reader, place, line?);
            // What closes every room is attested for the whole hospital, from whichever room it is read.
            if reader.board.everywhere().any(|closed| Some(closed.number) == line) {
                place = Place::Hospital;
            }
            let seen = reader.board.newest_of(&place);
            // A gap is attested whole.
            let gap = reader.board.everywhere().find(|closed| Some(closed.number) == line);
            let through = gap.map(|gap| gap.through).filter(|through| Some(*through) > line);
            let (line, words) = (line?, words?);
            match mv.verb {
                "attest" => {
                    let second = reader.board.second_attest(line).filter(|_| reader.board.is_attested_by_two(line));
                    Body::Attested { line, through, words, second, seen }
                }
                _ => Body::SecondAttested { line, through, words, seen },
            }
        }
        _ => return None,
    };
    Some((place, body))
}

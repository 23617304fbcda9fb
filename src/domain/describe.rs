//! One plain sentence for an entry, for timelines and the ledger's list. Says what was noted, not what it amounts to.

use super::board::Board;
use super::clock::{clock, dated};
use super::code::Code;
use super::entry::{BagEnd, Body, Cycle, Entry, Feel, Known, LinenSource, Sighting, Sign, Time, WhichClock, ZoneLook};
use super::facility::Zone;
use super::floor::m2;
use super::measured::{LoggerIn, Measured};
use super::policy::Setting;

/// Free text in it is as it was typed: whoever shows the sentence passes it through [`super::shown::shown`].
pub fn sentence(entry: &Entry, board: &Board) -> String {
    Told { board, by: entry.happened }.sentence(entry)
}

struct Told<'a> {
    board: &'a Board,
    /// When the entry happened: what its times are read against.
    by: Time,
}

impl Told<'_> {
    /// Each kind has its words: who adds one writes them here.
    fn sentence(&self, entry: &Entry) -> String {
        let second = |second: &Option<Code>| second.map(|who| format!(", second signature {who}")).unwrap_or_default();
        match &entry.body {
            Body::Finding { seen, wiped_before, note } => {
                let wiped = match wiped_before {
                    Known::Yes => "; the place had been wiped before",
                    Known::No => "; the place had not been wiped before",
                    Known::Unknown => "",
                };
                with_note(format!("finding: {}{wiped}", listed(seen.iter().map(sighting))), note)
            }
            Body::Identified { specimen, identified_by, finding, .. } => {
                let of = finding.map(|number| format!(" of entry {number}")).unwrap_or_default();
                format!("specimen{of} identified by {identified_by}: {}", specimen.title())
            }
            Body::Inspected { depth, method, began, looks, note, .. } => {
                let saw: Vec<&ZoneLook> = looks.iter().filter(|look| !look.seen.is_empty()).collect();
                let result = match saw.as_slice() {
                    [] => "nothing seen".to_owned(),
                    saw => listed(saw.iter().map(|look| {
                        let signs: Vec<&str> = look.seen.iter().map(|sign| sign.title()).collect();
                        format!("{} at {}", signs.join(" and "), look.zone)
                    })),
                };
                let (depth, method) = (depth.title(), method.title());
                let (zones, began) = (count(looks.len(), "zone"), self.clock(*began));
                with_note(format!("{depth} {method}, begun {began}, {zones}: {result}"), note)
            }
            Body::RoundLooked { rooms } => format!("daily looks, {}: nothing seen", count(rooms.len(), "room")),
            Body::EnteredWet { wiped, note } => {
                let wiped = if wiped.is_empty() { String::new() } else { format!("; wiped: {}", zones(wiped)) };
                with_note(format!("somebody was in the wet room{wiped}"), note)
            }
            Body::DryChecked { began, zones: felt, ventilation, changed } => {
                let of = |wanted: Feel| felt.iter().filter(move |(_, feel)| *feel == wanted).map(|(zone, _)| *zone);
                let damp: Vec<Zone> = of(Feel::Damp).collect();
                let dry = of(Feel::Dry).count();
                let result = match damp.as_slice() {
                    [] => format!("{} dry", count(dry, "zone")),
                    damp => format!("damp: {}; {dry} dry", zones(damp)),
                };
                let changed = changed.map(|it| format!("; {}", it.title())).unwrap_or_default();
                format!("dry check, begun {}: {result}; {ventilation}{changed}", self.clock(*began))
            }
            Body::Prepared { steps, bags, note } => {
                let done = listed(steps.iter().map(|step| step.title().to_owned()));
                let bags = if bags.is_empty() { String::new() } else { format!("; bags {}", codes(bags)) };
                with_note(format!("preparation: {done}{bags}"), note)
            }
            Body::Sprayed { .. } => self.sprayed(entry),
            Body::SprayCompleted {
                spray,
                zones: sprayed,
                finished,
                bags,
                reentry_words,
                reentry_minutes,
                amount_ml,
                patient_inside,
            } => {
                let mut parts = vec![];
                parts.extend(sprayed.as_ref().map(|it| count(it.len(), "zone")));
                parts.extend(finished.map(|at| format!("finished {}", self.clock(at))));
                parts.extend(bags.as_ref().map(|bags| bags_of(bags)));
                parts.extend(reentry_words.as_ref().map(|words| format!("label “{words}”")));
                parts.extend(reentry_minutes.map(|minutes| format!("label {minutes} min")));
                parts.extend(amount_ml.map(|amount| format!("{amount} mL")));
                parts.extend(match patient_inside {
                    Known::Yes => Some("PATIENT INSIDE".to_owned()),
                    Known::No => Some("no patient was inside".to_owned()),
                    Known::Unknown => None,
                });
                format!("spray of entry {spray} completed: {}", listed(parts.into_iter()))
            }
            Body::TreatedOtherwise { zones: treated, method } => format!("{}: {}", method.title(), zones(treated)),
            Body::Laundered { bag, cycle: run, slip } => {
                let slip = if slip.is_empty() { String::new() } else { format!("; slip {slip}") };
                // First, so that no list cuts it off.
                format!("{}bag {bag} laundered: {}{slip}", self.verdict(entry), cycle(run))
            }
            Body::BagEnded { bag, end } => match end {
                BagEnd::Destroyed { witness } => format!("bag {bag} destroyed, witness {witness}"),
                BagEnd::Heated => format!("bag {bag} heated"),
                BagEnd::Inspected => format!("bag {bag} inspected"),
                BagEnd::Lost => format!("bag {bag} cannot be found"),
            },
            Body::ThingSeen { thing } => format!("{thing} seen here"),
            Body::Vacuumed { zones: vacuumed } => format!("vacuumed: {}", zones(vacuumed)),
            Body::BedMade { bed, linens } => match linens {
                LinenSource::Bags(bags) => format!("bed {bed} made from bags {}", codes(bags)),
                LinenSource::Stock(stock) => format!("bed {bed} made from stock: {stock}"),
            },
            Body::PatientOut { beds, washed_and_changed, receiving, receiving_bed } => {
                let to = receiving_bed.or(*receiving).map(|code| format!(" to {code}")).unwrap_or_default();
                let washed = match washed_and_changed {
                    Known::Yes => "washed and changed first",
                    Known::No => "not washed and changed first",
                    Known::Unknown => "washing and changing not stated",
                };
                format!("patient out of {}{to}; {washed}", codes(beds))
            }
            Body::PatientMoved { .. } => moved(&entry.body),
            Body::PatientStays { reason, review } => {
                format!("patient stays until reviewed at {}: {reason}", self.clock(*review))
            }
            Body::Occupied { beds } => format!("occupied: {}", codes(beds)),
            Body::Emptied { beds } => format!("empty: {}", codes(beds)),
            Body::OccupancyConfirmed { occupied, empty, gone } => {
                let others = self.confirmed(&[occupied, empty]);
                let gone = match gone.is_empty() {
                    true => String::new(),
                    false => format!("; not known where the patient went: {}", codes(gone)),
                };
                format!("occupancy confirmed: {} occupied, {} empty{others}{gone}", occupied.len(), empty.len())
            }
            Body::Promised { beds, wanted: Some(at) } => format!("promised for {}: {}", self.clock(*at), codes(beds)),
            Body::Promised { beds, wanted: None } => format!("no longer promised: {}", codes(beds)),
            Body::ThingLeft { thing, zones: parts, to, outside } => {
                let what = if parts.is_empty() { String::new() } else { format!(" ({})", zones(parts)) };
                let to = match (to, outside.trim()) {
                    (Some(room), _) => format!("to {room}"),
                    (None, "") => "where to is not stated".to_owned(),
                    (None, outside) => format!("to {outside}, outside the list of rooms"),
                };
                format!("{thing}{what} left, {to}")
            }
            Body::ThingArrived { thing, from, wet } => {
                let from = from.map_or(", where from is not stated".to_owned(), |room| format!(" from {room}"));
                let wet = match wet {
                    Known::Yes => "wet",
                    Known::No => "not wet",
                    Known::Unknown => "wetness not stated",
                };
                format!("{thing} arrived{from}, {wet}")
            }
            Body::OutOfService { reason } => format!("out of service: {reason}"),
            Body::WentBack { had_seen, .. } => {
                format!("the ledger had gone back: a terminal had seen entry {had_seen}")
            }
            Body::EndLost { bytes, begins, had_seen } => {
                let begins = if begins.is_empty() {
                    "it broke off".to_owned()
                } else {
                    format!("{bytes} bytes, “{begins}”")
                };
                let had_seen = had_seen.map(|seen| format!("; a terminal had seen entry {seen}")).unwrap_or_default();
                format!("the end of the file was lost: {begins}{had_seen}")
            }
            Body::Downtime { from, until, sheets } => {
                let zone = self.board.facility().time_zone;
                let same_day = from.with_timezone(&zone).date_naive() == until.with_timezone(&zone).date_naive();
                let until = if same_day { self.clock(*until) } else { self.day(*until) };
                format!("downtime {} to {until}, sheets {sheets}", self.day(*from))
            }
            Body::Restored { reason } => format!("entries may be missing: {reason}"),
            Body::NothingApplied { reason, .. } => format!("nothing was applied: {reason}"),
            Body::ReturnedToService { second: who, .. } => format!("returned to service{}", second(who)),
            Body::Cleared { .. } => "signed clear".to_owned(),
            Body::InService { closing, .. } => format!("end of out of service, entry {closing}"),
            Body::Looked { void, note, .. } => with_note(format!("second look after void {void}"), note),
            Body::SecondChecked { zones: felt, made, not_made, note, .. } => {
                let damp = felt.iter().filter(|(_, feel)| *feel == Feel::Damp).map(|(zone, _)| zone.to_string());
                let wrong: Vec<String> = damp
                    .map(|zone| format!("{zone} damp"))
                    .chain(not_made.iter().map(|bed| format!("bed {bed} not made")))
                    .collect();
                let (dry, made) = (count(felt.len(), "zone"), count(made.len(), "bed"));
                let result = match wrong.is_empty() {
                    true => format!("{dry} dry, {made} made"),
                    false => format!("differs: {}", listed(wrong.into_iter())),
                };
                with_note(format!("second check: {result}"), note)
            }
            Body::SecondAttested { line, through, words, .. } => {
                let line = through.map_or(format!("entry {line}"), |through| format!("entries {line} to {through}"));
                format!("second person on {line}: {words}")
            }
            Body::Attested { line, through, words, second: who, .. } => {
                let line = through.map_or(format!("entry {line}"), |through| format!("entries {line} to {through}"));
                format!("{line} attested{}: {words}", second(who))
            }
            Body::WardWalked { words, wet, .. } => {
                let wet = match wet.as_deref() {
                    None => String::new(),
                    Some([]) => "; no other room wet".to_owned(),
                    Some(rooms) => format!("; found wet: {}", codes(rooms)),
                };
                format!("ward walked: nothing unrecorded{}", with_note(wet, words.as_deref().unwrap_or_default()))
            }
            Body::Amended { entry, field, value } => format!("entry {entry} amended: {field} is “{value}”"),
            Body::Voided { entry, why, really_in } => {
                let really = really_in.map(|room| format!("; really in {room}")).unwrap_or_default();
                format!("entry {entry} voided: {why}{really}")
            }
            Body::ClockSaid { wall, wrong, other, shown } => {
                let shows = shown.map(|shown| format!(", this terminal shows {}", self.day(shown))).unwrap_or_default();
                let wrong = match (wrong, other.is_empty()) {
                    (WhichClock::This, _) => "this terminal's clock was wrong".to_owned(),
                    (WhichClock::Other, false) => format!("the clock of {other} was wrong"),
                    (WhichClock::Other, true) => "the other clock was wrong".to_owned(),
                };
                format!("by the wall it is {}{shows}: {wrong}", self.day(*wall))
            }
            Body::TimeTakenOut { entry, words, .. } => {
                format!("the time of entry {entry} is that of a wrong clock: {words}")
            }
            Body::PartReplaced { part, by, old, reason, .. } => {
                let by = by.map_or("a new one".to_owned(), |tag| tag.to_string());
                format!("{part} replaced by {by}; the old one {}: {reason}", old.title())
            }
            Body::WrittenOff { what, tag, reason, .. } => {
                format!("{} {tag} given up, by one of two: {reason}", what.title())
            }
            Body::SprayCorrected { spray, zones: sprayed, finished, reentry_minutes, words, .. } => {
                let mut parts = vec![];
                parts.extend(sprayed.as_ref().map(|it| format!("only {}", zones(it))));
                parts.extend(finished.map(|at| format!("finished {}", self.clock(at))));
                parts.extend(reentry_minutes.map(|minutes| format!("label {minutes} min")));
                format!("less of the spray of entry {spray}: {}; by {words}", listed(parts.into_iter()))
            }
            Body::NotPossible { why, again } => {
                let again = again.map(|at| format!("; again {}", self.clock(at))).unwrap_or_default();
                format!("not possible: {why}{again}")
            }
            Body::HandedOver { text } => format!("handed over: {text}"),
            Body::LedgerChosen { others, words } => {
                format!("this file is the ledger, and not {}: {words}", others.join(", "))
            }
            Body::TaskAccepted { need, by, .. } => format!("{by} takes: {need}"),
            Body::Reserved { kind, .. } => format!("of a later version, and harmless: {kind}"),
            Body::Unreadable { why, .. } => format!("UNREADABLE: {why}"),
            Body::HospitalSet { name } => format!("hospital set: {name}"),
            Body::ZonesSet { kind, zones } => format!("zones of {kind} set: {}", count(zones.len(), "zone")),
            Body::WardSet { name, floor } => format!("ward set: {name}, floor {floor}"),
            Body::RoomSet { name, beds, floor_dm2, .. } => {
                let name = if name.is_empty() { String::new() } else { format!("{name}, ") };
                let floor = floor_dm2.map(|dm2| format!(", floor {} m²", m2(dm2))).unwrap_or_default();
                format!("room set: {name}{}{floor}", count(beds.len(), "bed"))
            }
            Body::PersonSet(person) => {
                let left = if person.left { ", off the roster" } else { "" };
                let acts = person
                    .acting_lead
                    .map(|(from, until)| format!(", acts as lead from {} to {}", self.day(from), self.day(until)));
                let (name, role) = (&person.name, person.role.title());
                format!("person set: {}, {name}, {role}{}{left}", person.initials, acts.unwrap_or_default())
            }
            Body::ProductSet(product) => {
                let withdrawn = if product.withdrawn { ", withdrawn" } else { "" };
                format!("product set: {}, {}{withdrawn}", product.code, product.name)
            }
            Body::PolicySet { key, value } => match Setting::from_key(key) {
                Some(setting) => format!("policy set: {key} {}", setting.item().show(*value)),
                None => format!("policy set: {key} {value}"),
            },
            Body::PinSet { person, hash: Some(_) } => format!("{person} set a PIN"),
            Body::PinSet { person, hash: None } => format!("{person} has no PIN any more"),
            Body::SignedIn { failed_before: 0 } => "signed in".to_owned(),
            Body::SignedIn { failed_before } => {
                format!("signed in after {}", count(*failed_before as usize, "wrong PIN"))
            }
        }
    }

    fn verdict(&self, load: &Entry) -> &'static str {
        let rooms = self.board.rooms_of(&load.place);
        let rooms = || rooms.iter().filter_map(|code| self.board.room(*code));
        let not_met = rooms().flat_map(|room| &room.failed_loads).any(|(number, _)| *number == load.number);
        let settles = rooms().any(|room| room.knows_fact(load.number).is_some());
        match (not_met, settles) {
            (true, false) => "failed: ",
            (true, true) => "failed for sprayed things: ",
            (false, _) => "",
        }
    }

    fn sprayed(&self, entry: &Entry) -> String {
        let Body::Sprayed { purpose, product, reentry_words, reentry_minutes, zones: sprayed, finished, .. } =
            &entry.body
        else {
            return String::new();
        };
        let Body::Sprayed { bags, patient_inside, amount_ml, record, .. } = &entry.body else { return String::new() };
        // By the list of that day: a product that has another name now was sprayed under this one.
        let on_list = self.board.product_of_day(*product, entry).or_else(|| self.board.products().get(product));
        let name = on_list.map_or_else(|| product.to_string(), |it| it.name.clone());
        let mut parts = vec![];
        parts.push(sprayed.as_ref().map_or("zones not stated".to_owned(), |it| count(it.len(), "zone")));
        parts.push(name);
        parts.extend(amount_ml.map(|amount| format!("{amount} mL")));
        let finish = finished.map_or("; end not stated".to_owned(), |at| format!("; finished {}", self.clock(at)));
        let label = match (reentry_minutes, reentry_words) {
            (Some(minutes), _) => format!("; label {minutes} min"),
            (None, Some(_)) => "; label gives no minutes".to_owned(),
            (None, None) => "; no label words".to_owned(),
        };
        let linens = bags.as_ref().map_or("linens not stated".to_owned(), |bags| bags_of(bags));
        let inside = match patient_inside {
            Known::Yes => "; PATIENT INSIDE",
            Known::No => "",
            Known::Unknown => "; whether a patient was inside is not stated",
        };
        let slip = if record.slip.is_empty() { String::new() } else { format!("; slip {}", record.slip) };
        format!("spray, {}: {}{finish}{label}; {linens}{inside}{slip}", purpose.title(), listed(parts.into_iter()))
    }

    /// Beds of the ward that are not named stay as they were noted before.
    fn confirmed(&self, named: &[&[Code]]) -> String {
        let first = named.iter().copied().flatten().next();
        let ward = first.and_then(|bed| self.board.facility().room_of_bed(*bed)).map(|plan| plan.ward);
        let plans = self.board.facility().in_walking_order().filter(|plan| Some(plan.ward) == ward);
        let all: usize = plans.map(|plan| plan.beds.len()).sum();
        match all.saturating_sub(named.iter().map(|beds| beds.len()).sum()) {
            0 => String::new(),
            1 => "; 1 other left as it was".to_owned(),
            others => format!("; {others} others left as they were"),
        }
    }

    fn day(&self, time: Time) -> String {
        dated(time, self.by, self.board.facility().time_zone)
    }

    /// With its day where that is not the entry's own.
    fn clock(&self, time: Time) -> String {
        clock(time, self.by, self.board.facility().time_zone)
    }
}

fn sighting(it: &Sighting) -> String {
    match it.zone {
        Some(zone) => format!("{} at {zone}", it.sign.title()),
        None if it.sign == Sign::ReportedBites => it.sign.title().to_owned(),
        None => format!("{}, place not stated", it.sign.title()),
    }
}

fn cycle(run: &Cycle) -> String {
    let at = |minutes: Option<u32>, heat: Option<i32>| match (minutes, heat) {
        (None, None) => None,
        (minutes, heat) => {
            let minutes = minutes.map_or("time not stated".to_owned(), |it| format!("{it} min"));
            let heat = heat.map_or("heat not stated".to_owned(), |it| format!("{} °C", tenths(it)));
            Some(format!("{heat} for {minutes}"))
        }
    };
    let trace: String = run.traces().map(|it| format!(", {}", logged(it))).collect();
    let is_logged = run.traces().any(|it| it.machine == LoggerIn::Washer);
    let unstated = if is_logged { "wash as logged" } else { "no wash stated" };
    let wash = at(run.wash_minutes, run.wash_decicelsius).map_or(unstated.to_owned(), |it| format!("wash {it}"));
    let dry = at(run.dry_minutes, run.dry_decicelsius).map(|it| format!(", dried {it}")).unwrap_or_default();
    let detergent = if run.detergent == Known::No { ", no detergent" } else { "" };
    let checked = if run.clock_checked { ", logger's clock checked" } else { "" };
    format!("{wash}{detergent}{dry}{trace}{checked}")
}

/// What its logger measured, by the sensor that saw least at each temperature, and of which file.
pub fn logged(trace: &Measured) -> String {
    let machine = match trace.machine {
        LoggerIn::Washer => "in the washer",
        LoggerIn::Dryer => "in the dryer",
        LoggerIn::Unknown => "in a machine that was not said",
    };
    let uncertain = match trace.uncertainty_decikelvin {
        Some(it) => format!("±{} °C taken off", tenths(i32::try_from(it).unwrap_or(i32::MAX))),
        None => "uncertainty not stated".to_owned(),
    };
    let kept = trace.sensors.first().map(|it| it.held.as_slice()).unwrap_or_default();
    let held =
        kept.iter().filter_map(|it| trace.least_at(it.decicelsius)).filter(|it| it.total_seconds > 0).map(|it| {
            let longest = length(it.longest_seconds);
            let all = if it.total_seconds > it.longest_seconds {
                format!(" ({} in all)", length(it.total_seconds))
            } else {
                String::new()
            };
            format!("{} °C {longest}{all}", tenths(it.decicelsius))
        });
    let held: Vec<String> = held.collect();
    let held = if held.is_empty() { "no heat that counts".to_owned() } else { format!("held {}", held.join(", ")) };
    let a0 = trace.sensors.iter().map(|it| it.a0_seconds).min().unwrap_or_default();
    let gaps = trace.sensors.iter().map(|it| it.gaps).max().unwrap_or_default();
    let gaps = match gaps {
        0 => String::new(),
        some => format!("; {} left out", count(usize::try_from(some).unwrap_or(usize::MAX), "gap")),
    };
    let sensors = count(trace.sensors.len(), "sensor");
    let read_as = if trace.read_as.is_empty() { String::new() } else { format!("; read as {}", trace.read_as) };
    format!(
        "logger {machine}: {}, {sensors}, {uncertain}; {held}; A0 {a0}{gaps}{read_as}; file sha256 {}",
        length(trace.seconds),
        trace.file
    )
}

/// `52 min`, `52 min 10 s`, `40 s`.
fn length(seconds: u32) -> String {
    match (seconds / 60, seconds % 60) {
        (0, seconds) => format!("{seconds} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

/// Tenths as a decimal, without one where it is whole.
fn tenths(value: i32) -> String {
    let (sign, value) = (if value < 0 { "-" } else { "" }, value.unsigned_abs());
    if value % 10 == 0 { format!("{sign}{}", value / 10) } else { format!("{sign}{}.{}", value / 10, value % 10) }
}

fn count(number: usize, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

fn zones(list: &[Zone]) -> String {
    listed(list.iter().map(Zone::to_string))
}

fn codes(list: &[Code]) -> String {
    listed(list.iter().map(Code::to_string))
}

fn bags_of(bags: &[Code]) -> String {
    if bags.is_empty() { "no bags".to_owned() } else { format!("bags {}", codes(bags)) }
}

fn listed(items: impl Iterator<Item = String>) -> String {
    items.collect::<Vec<_>>().join(", ")
}

fn with_note(text: String, note: &str) -> String {
    if note.is_empty() { text } else { format!("{text}; “{note}”") }
}

#[cfg(test)]
#[path = "describe_tests.rs"]
mod tests;

/// Where a patient went, with what, and what was asked.
fn moved(body: &Body) -> String {
    let Body::PatientMoved {
        beds,
        went,
        receiving,
        receiving_bed,
        outside,
        washed_and_changed,
        own_bed,
        things,
        answers,
    } = body
    else {
        return String::new();
    };
    let to = match (receiving_bed.or(*receiving), outside.trim()) {
        (Some(code), _) => format!("to {code}"),
        (None, "") => went.title().to_owned(),
        (None, outside) => format!("to {outside}, outside the list of rooms"),
    };
    let mut parts = vec![format!("patient moved from {} {to}", codes(beds))];
    parts.extend(own_bed.then(|| "in their own bed".to_owned()));
    parts.extend((!things.is_empty()).then(|| format!("with {}", things.join(", "))));
    parts.extend(match washed_and_changed {
        Known::Yes => Some("washed and changed first".to_owned()),
        Known::No => Some("not washed and changed first".to_owned()),
        Known::Unknown => None,
    });
    parts.extend(answers.map(|number| format!("said afterwards of entry {number}")));
    parts.join("; ")
}

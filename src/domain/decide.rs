//! May this be noted? First the refusals that only a plan can earn, then a trial of the fold itself.
//!
//! What happened can always be noted; only the rules decide what is open. So a closing entry is refused for its form, its
//! person, or because it is still a plan that can be put right, never because it is inconvenient.

use std::fmt;

use super::board::{Board, is_noted_whoever_did_it, permitted};
use super::code::Code;
use super::entry::{Body, CommandId, Entry, Feel, Number, Place, Time, WhichClock};
use super::need::Evidence;
use super::people::Role;
use super::policy::Setting;
use super::rule::Rule;
use super::sheet::with_sheet;
use moving::move_refusal;
use refusals::{
    ahead_refusal, bag_refusal, bed_part_refusal, beds_of_place, beds_taken_away, completion_refusal, dry_refusal,
    finding_refusal, no_tag_refusal, spray_refusal, tag_refusal, thing_refusal, void_refusal, work_refusal,
};

mod moving;
mod names;
mod refusals;
mod renamed;

/// Fields that no rule reads.
pub const AMENDABLE: [&str; 14] = [
    "note",
    "applicator",
    "certificate",
    "registration",
    "supervisor",
    "for-whom",
    "neighbours-checked",
    "active-ingredient",
    "percent",
    "rate",
    "area",
    "target-pest",
    "notice-until",
    "disposal",
];

/// Stands for a product that is on no list of the hospital's.
const UNLISTED: &str = "unlisted";

/// What somebody wants to note.
#[derive(Clone, PartialEq, Debug)]
pub struct Command {
    pub id: CommandId,
    pub place: Place,
    pub body: Body,
    /// None: now.
    pub happened: Option<Time>,
    /// None: whoever notes it.
    pub done_by: Option<Code>,
    pub terminal: String,
    /// The sheet of paper that it stands on.
    pub sheet: Option<Code>,
    /// A closing entry in the future was asked about, and is meant.
    pub future_is_meant: bool,
}

impl Command {
    pub fn new(id: CommandId, place: Place, body: Body) -> Self {
        Self {
            id,
            place,
            body,
            happened: None,
            done_by: None,
            terminal: String::new(),
            sheet: None,
            future_is_meant: false,
        }
    }
}

/// A rule's no, before anything is written: what is wrong, and what would make it right.
#[derive(Clone, PartialEq, Debug)]
pub struct Refusal {
    rule: Rule,
    text: String,
    missing: Vec<Evidence>,
    mend: Option<&'static str>,
}

impl Refusal {
    fn new(rule: Rule, text: impl Into<String>) -> Self {
        Self { rule, text: text.into(), missing: vec![], mend: None }
    }

    fn mended_by(mut self, verb: &'static str) -> Self {
        self.mend = Some(verb);
        self
    }

    pub fn rule(&self) -> Rule {
        self.rule
    }

    /// What is still open, each with the entry that asks for it.
    pub fn missing(&self) -> &[Evidence] {
        &self.missing
    }

    /// The move that makes it right, where one does.
    pub fn mend(&self) -> Option<&'static str> {
        self.mend.or_else(|| self.missing.first().map(|evidence| evidence.need.verb()))
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)?;
        let mut shown: Vec<String> = vec![];
        for text in self.missing.iter().map(|evidence| evidence.need.to_string()) {
            if !shown.contains(&text) {
                shown.push(text);
            }
        }
        match shown.is_empty() {
            true => f.write_str("."),
            false => write!(f, ": {}.", shown.join("; ")),
        }
    }
}

impl std::error::Error for Refusal {}

/// The entry that this command would write, or the rule that refuses it. Writes nothing.
pub fn decide(board: &Board, command: &Command, person: Code, now: Time) -> Result<Entry, Refusal> {
    let noter = board.people().get(&person).ok_or_else(|| {
        Refusal::new(Rule::Roster, format!("{person} is not on the roster; the lead can add a person"))
    })?;
    if noter.left {
        return Err(Refusal::new(Rule::Roster, format!("{person} has left the roster")));
    }
    if noter.role == Role::Reader {
        return Err(Refusal::new(Rule::Role, "a reader looks and notes nothing"));
    }
    let done_by = command.done_by.unwrap_or(person);
    let doer = board.people().get(&done_by).ok_or_else(|| {
        Refusal::new(Rule::Roster, format!("{done_by} is not on the roster; the lead can add a person"))
    })?;
    let happened = command.happened.unwrap_or(now);
    let mut entry = Entry {
        number: Number(board.last().map_or(1, |(number, _)| number.0 + 1)),
        noted: now,
        happened,
        done_by,
        noted_by: person,
        terminal: with_sheet(&command.terminal, command.sheet),
        command: command.id,
        place: command.place.clone(),
        body: with_label(board, command.body.clone(), happened),
    };
    if matches!(entry.body, Body::ClockSaid { .. }) {
        by_the_wall(board, &mut entry, now)?;
    } else if happened > now && !(may_lie_ahead(&command.body) && command.future_is_meant) {
        let text = match may_lie_ahead(&command.body) {
            true => "that time is in the future: is it meant? It would count at once",
            false => "that time is in the future: note it when it has happened",
        };
        return Err(Refusal::new(Rule::Future, text));
    }
    place_exists(board, &command.place, &command.body)?;
    if let Err(who) = permitted(&command.body, doer, happened, board.policy())
        && !is_noted_whoever_did_it(&command.body)
    {
        let text = format!("this is for {who}; {done_by} is {}", doer.role.title());
        return Err(match command.body {
            // Somebody without the lead is not to be left without a way to say that the record has a hole.
            Body::Downtime { .. } => {
                let text = format!("{text}. Call one of them; until then anybody notes a gap, which closes the ward");
                Refusal::new(Rule::Role, text).mended_by("gap")
            }
            _ => Refusal::new(Rule::Role, text),
        });
    }
    tag_refusal(&entry)?;
    names::shared_name_refusal(board, &entry)?;
    bed_part_refusal(board, &entry)?;
    renamed::renamed_refusal(board, &entry)?;
    plan_refusal(board, &entry)?;
    trial(board, &entry)?;
    Ok(entry)
}

/// A spray carries the label's words and minutes as they stand on the hospital's list, whatever the form still showed. Of one that
/// is noted late the can may be an older one: the longest counts that the list had since.
fn with_label(board: &Board, mut body: Body, happened: Time) -> Body {
    if let Body::Sprayed { product, reentry_words, reentry_minutes, .. } = &mut body
        && let Some(listed) = board.products().get(product)
    {
        (*reentry_words, *reentry_minutes) = (listed.reentry_words.clone(), listed.reentry_minutes);
        let since = board.listed_since(*product, happened).filter(|it| it.reentry_words.is_some());
        let longest = since.max_by_key(|it| it.reentry_minutes.unwrap_or(0));
        if let (Some(_), Some(longest)) = (&reentry_words, longest)
            && longest.reentry_minutes.unwrap_or(0) > reentry_minutes.unwrap_or(0)
        {
            (*reentry_words, *reentry_minutes) = (longest.reentry_words.clone(), longest.reentry_minutes);
        }
    }
    body
}

/// An answer about clocks is stamped by the wall, and says what the terminal's own clock showed. It must not speak against
/// itself.
fn by_the_wall(board: &Board, entry: &mut Entry, now: Time) -> Result<(), Refusal> {
    let terminal = entry.terminal_name().to_owned();
    let question = board.clock_question(&terminal, now);
    let Body::ClockSaid { wall, wrong, other, shown } = &mut entry.body else { return Ok(()) };
    *shown = Some(now - board.clock_offset(&terminal));
    if other.is_empty() {
        *other = question.and_then(|question| question.other).unwrap_or_default();
    }
    let is_right = (*wall - now).abs() <= super::board::CLOCK_TOLERANCE;
    entry.noted = if is_right { now } else { *wall };
    entry.happened = entry.noted;
    let Some((at, name)) = board.latest_noted() else { return Ok(()) };
    let is_before = at - *wall > super::board::CLOCK_TOLERANCE;
    let (at, wall) = (board.clock(at), board.clock(*wall));
    match wrong {
        WhichClock::This if is_before && *other == name => {
            let text = format!(
                "by the wall it is {wall}, and {name} has noted something at {at}: then that clock is wrong, too; say other"
            );
            Err(Refusal::new(Rule::ClockBack, text))
        }
        WhichClock::Other if !is_before && !is_right && *other == name && *other != terminal => {
            let text = format!(
                "by the wall it is {wall}, and this terminal shows {}: then it is this clock that is wrong; say this",
                board.clock(now)
            );
            Err(Refusal::new(Rule::ClockBack, text))
        }
        _ => Ok(()),
    }
}

/// A trial of the fold on a copy; its report is the refusal.
fn trial(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let mut copy = board.clone();
    let before = copy.problems().len();
    copy.apply_entry(entry, false, false);
    match copy.problems().get(before..).and_then(|new| new.iter().find(|problem| problem.number == entry.number)) {
        None => Ok(()),
        Some(problem) => Err(Refusal {
            rule: problem.rule,
            text: match (problem.rule, &entry.body) {
                // Whoever looked must not be left without a way to say so.
                (Rule::SignedNow, Body::Inspected { .. }) => format!(
                    "{}: note a clean full inspection when it ends. What was looked at before can be noted as a daily look \
                     (depth daily), within {} minutes and by whoever did it; it settles no finding, so that the room is to be \
                     inspected once more",
                    problem.text,
                    board.policy().get(Setting::LateFactMinutes)
                ),
                _ => problem.text.clone(),
            },
            missing: problem.missing.clone(),
            mend: match (problem.rule, &entry.body) {
                (Rule::SecondSignature, Body::ReturnedToService { .. }) => Some("second-check"),
                (Rule::SecondSignature, Body::Attested { .. }) => Some("second-attest"),
                (Rule::Promise, Body::Promised { wanted: Some(_), .. }) => Some("end-promise"),
                (Rule::ClockBack, _) => Some("clock"),
                _ => None,
            },
        }),
    }
}

/// Closing entries may lie ahead, once it was asked; facts and signatures never.
fn may_lie_ahead(body: &Body) -> bool {
    matches!(
        body,
        Body::Finding { .. }
            | Body::Prepared { .. }
            | Body::Sprayed { .. }
            | Body::OutOfService { .. }
            | Body::Occupied { .. }
            | Body::EnteredWet { .. }
            | Body::PatientStays { .. }
            | Body::ThingLeft { .. }
            | Body::ThingArrived { .. }
    )
}

fn place_exists(board: &Board, place: &Place, body: &Body) -> Result<(), Refusal> {
    let facility = board.facility();
    match place {
        // A setting may name a ward or a room that is new.
        Place::Ward(_) if matches!(body, Body::WardSet { .. }) => Ok(()),
        Place::Rooms(rooms) if matches!(body, Body::RoomSet { .. }) && !rooms.is_empty() => {
            match rooms.iter().skip(1).find(|room| facility.room(**room).is_none()) {
                Some(room) => Err(Refusal::new(Rule::Place, format!("there is no room {room} to serve"))),
                None => Ok(()),
            }
        }
        Place::Hospital => Ok(()),
        Place::Unknown => Err(Refusal::new(Rule::Place, "say which room it is about")),
        Place::Ward(ward) if facility.wards.contains_key(ward) => Ok(()),
        Place::Ward(ward) => Err(Refusal::new(Rule::Place, format!("there is no ward {ward}"))),
        Place::Rooms(rooms) if rooms.is_empty() => Err(Refusal::new(Rule::Place, "say which room it is about")),
        Place::Rooms(rooms) => match rooms.iter().find(|room| facility.room(**room).is_none()) {
            Some(room) => Err(Refusal::new(Rule::Place, format!("there is no room {room}"))),
            None => Ok(()),
        },
    }
}

/// What only a plan can be refused for.
fn plan_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    match &entry.body {
        Body::Unreadable { .. } | Body::Reserved { .. } => {
            Err(Refusal::new(Rule::Unreadable, "a line like this is never noted by hand"))
        }
        Body::Sprayed { .. } => spray_refusal(board, entry),
        Body::DryChecked { began, zones, .. } => {
            let dry = zones.iter().filter(|(_, feel)| *feel == Feel::Dry);
            if zones.is_empty() {
                return Err(Refusal::new(Rule::Wet, "say zone by zone what was dry and what was damp"));
            }
            dry_refusal(board, entry, *began, dry.map(|(zone, _)| *zone).collect())
        }
        Body::Vacuumed { zones } | Body::TreatedOtherwise { zones, .. } => work_refusal(board, entry, zones),
        Body::Inspected { began, looks, .. } => {
            if looks.is_empty() {
                return Err(Refusal::new(Rule::CompleteInspection, "say which zones were looked at"));
            }
            if *began > entry.happened {
                return Err(Refusal::new(Rule::Future, "the inspection began after it ended: correct its beginning"));
            }
            Ok(())
        }
        Body::Voided { entry: target, .. } => void_refusal(board, entry, *target),
        Body::Downtime { from, until, .. } if from >= until => {
            Err(Refusal::new(Rule::Future, "the downtime ended before it began: correct one of the two times"))
        }
        Body::Downtime { until, .. } if *until > entry.noted => {
            Err(Refusal::new(Rule::Future, "the downtime ends in the future: note it when it is over"))
        }
        Body::TaskAccepted { room, need, cause, by } => {
            let tasks = board.tasks_of(*room, entry.noted);
            let taken = tasks.iter().find(|task| task.cause == *cause && task.need == *need);
            if taken.is_some_and(|task| task.not_for.contains(by)) {
                return Err(Refusal::new(
                    Rule::SecondLook,
                    format!("{by} noted, did or voided it: somebody else looks"),
                ));
            }
            Ok(())
        }
        Body::PatientOut { receiving: Some(room), .. } if !board.rooms_of(&entry.place).contains(room) => Err(
            Refusal::new(Rule::Place, format!("the entry has to name room {room}, which receives the patient, too")),
        ),
        Body::PatientOut { beds, receiving: Some(room), receiving_bed, .. } => {
            let same_room = entry.place.first_room() == Some(*room);
            let same_bed = receiving_bed.is_some_and(|bed| beds.contains(&bed));
            if same_bed || (same_room && receiving_bed.is_none()) {
                let text = "the patient cannot be moved to where they came from: name another bed";
                return Err(Refusal::new(Rule::Place, text));
            }
            let lie = beds.iter().filter(|bed| board.may_be_occupied(**bed)).count();
            if receiving_bed.is_some() && lie > 1 {
                let text =
                    format!("{lie} patients do not go to one bed: note each by itself, with the bed that each left");
                return Err(Refusal::new(Rule::Place, text));
            }
            let is_used = |bed: Code| {
                board.room(*room).and_then(|it| it.beds.get(&bed)).is_some_and(super::board::BedUse::is_occupied)
            };
            match receiving_bed.filter(|bed| is_used(*bed)) {
                Some(bed) => {
                    let text =
                        format!("a patient is noted in bed {bed}: name another bed, or note that one empty first");
                    Err(Refusal::new(Rule::Occupancy, text))
                }
                None => Ok(()),
            }
        }
        Body::PatientMoved { .. } => move_refusal(board, entry),
        Body::Amended { entry: target, field, .. } => {
            if board.place_of(*target).is_none() {
                return Err(Refusal::new(Rule::Target, format!("there is no entry {target}")));
            }
            if !AMENDABLE.contains(&field.as_str()) {
                let text =
                    format!("“{field}” is read by a rule or unknown; these can be amended: {}", AMENDABLE.join(", "));
                return Err(Refusal::new(Rule::AmendField, text).mended_by("void"));
            }
            Ok(())
        }
        Body::SprayCompleted { .. } => completion_refusal(board, entry),
        Body::Promised { wanted: Some(at), .. } => {
            ahead_refusal(board, Rule::Promise, "a bed is promised for", *at, entry)
        }
        Body::NotPossible { again: Some(at), .. } => {
            ahead_refusal(board, Rule::Future, "it is tried again at", *at, entry)
        }
        Body::ThingArrived { thing, from, .. } => {
            no_tag_refusal(thing)?;
            match from.filter(|from| !board.rooms_of(&entry.place).contains(from)) {
                Some(from) => {
                    let text = format!("the entry has to name room {from}, which it came from, too");
                    Err(Refusal::new(Rule::Place, text))
                }
                None => Ok(()),
            }
        }
        Body::ThingLeft { to: Some(to), outside, .. } if !outside.trim().is_empty() => {
            let text = format!("it went to {to}, and to “{}”: say which of the two", outside.trim());
            Err(Refusal::new(Rule::Place, text))
        }
        Body::ThingLeft { thing, zones, to, .. } => thing_refusal(board, entry, thing, zones, *to),
        Body::RoundLooked { rooms } => {
            match rooms.iter().find(|room| board.state(**room) == super::board::State::TreatedWet) {
                Some(room) => {
                    let text = format!(
                        "room {room} is treated-wet, and nobody goes in for a daily look: leave it out; if somebody was inside, \
                         note that"
                    );
                    Err(Refusal::new(Rule::Wet, text).mended_by("entered-wet"))
                }
                None => Ok(()),
            }
        }
        Body::Occupied { beds } => beds_of_place(board, entry, beds),
        Body::OccupancyConfirmed { occupied, empty, .. } => {
            beds_of_place(board, entry, occupied)?;
            beds_of_place(board, entry, empty)
        }
        Body::Identified { finding: Some(finding), .. } => finding_refusal(board, entry, *finding),
        Body::PatientStays { review, .. } => {
            let confirmed = |room: &super::board::Room| {
                room.unsettled().any(|c| c.cause == super::board::Cause::Confirmed && c.voided.is_none())
            };
            match entry.place.first_room() {
                Some(code) if !board.room(code).is_some_and(confirmed) => {
                    let text = format!(
                        "room {code} is {}: that a patient stays is noted of a room with confirmed bed bugs",
                        board.state(code)
                    );
                    Err(Refusal::new(Rule::Confirmed, text))
                }
                _ => ahead_refusal(board, Rule::Future, "that the patient stays is looked at again at", *review, entry),
            }
        }
        Body::WardWalked { wet: Some(wet), .. } => {
            let rooms = board.rooms_of(&entry.place);
            match wet.iter().find(|room| !rooms.contains(room)) {
                Some(room) => Err(Refusal::new(Rule::Place, format!("room {room} is not one of those walked"))),
                None => Ok(()),
            }
        }
        Body::OutOfService { reason } if reason.trim().is_empty() => {
            Err(Refusal::new(Rule::OutOfService, "say for what reason the room is out of service"))
        }
        Body::Laundered { bag, .. } | Body::BagEnded { bag, .. } => bag_refusal(board, entry, *bag),
        Body::TimeTakenOut { entry: target, words, .. } => {
            if board.place_of(*target).is_none() {
                return Err(Refusal::new(Rule::Target, format!("there is no entry {target}")));
            }
            match words.trim().is_empty() {
                true => Err(Refusal::new(Rule::ClockBack, "say how you know that its clock was wrong")),
                false => Ok(()),
            }
        }
        Body::PartReplaced { reason, .. } if reason.trim().is_empty() => {
            Err(Refusal::new(Rule::BedWhole, "say why the part was replaced"))
        }
        Body::WrittenOff { reason, .. } if reason.trim().is_empty() => {
            Err(Refusal::new(Rule::WrittenOff, "say where it was looked for, and why it is given up"))
        }
        Body::SprayCorrected { words, .. } if words.trim().is_empty() => {
            Err(Refusal::new(Rule::SprayLess, "say off what it was read: the label, or which slip"))
        }
        Body::Attested { words, .. } | Body::SecondAttested { words, .. } if words.trim().is_empty() => {
            Err(Refusal::new(Rule::Damage, "say what the entry said, from paper or from the people"))
        }
        Body::RoomSet { beds, .. } if beds_taken_away(board, entry, beds).is_some() => {
            let bed = beds_taken_away(board, entry, beds).map(|bed| bed.to_string()).unwrap_or_default();
            let text = format!(
                "bed {bed} is still to be made or looked at there: settle that before it is taken off the room"
            );
            Err(Refusal::new(Rule::BedsMade, text))
        }
        _ if entry.body.is_setting() && entry.happened < entry.noted - super::board::CLOCK_TOLERANCE => {
            Err(Refusal::new(Rule::SignedNow, "a setting is never back-dated"))
        }
        _ => Ok(()),
    }
}

impl Board {
    /// How many people could sign a return to service now.
    pub fn leads_at(&self, now: Time) -> impl Iterator<Item = &super::people::Person> {
        self.people().values().filter(move |person| person.is_lead_at(now))
    }

    /// Whether this hospital keeps occupancy here.
    pub fn keeps_occupancy(&self) -> bool {
        self.policy().is_on(Setting::OccupancyKept)
    }
}

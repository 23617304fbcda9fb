//! The one JSON shape of `beds`, `rooms`, `tasks` and `room`, for programs that read the board.
//!
//! Every answer is one object with `as_of`, `facility`, `time_zone`, `ledger_standing`, `ledger_reason`, `meaning`, and one of
//! `beds`, `rooms`, `tasks`, `room`. Times are RFC 3339 in UTC. What is unknown is `null`, never 0 or "". Fields are only
//! ever added. `assets/json-shape.md` lists every field; a test holds the two together.

use serde::{Serialize, Serializer};

use super::records::{self, RecordRow};
use super::view::View;
use crate::domain::board::{BedMark, Blocker, DryAbout, Earliest, Found, NextStep, Task};
use crate::domain::code::Code;
use crate::domain::describe::{self, sentence};
use crate::domain::dried::dryings;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::facility::{RoomPlan, Zone, ZonePlan, ZoneTreatment};
use crate::domain::need::{Evidence, Need};
use crate::domain::shown::shown;
use crate::domain::timeline::tells_of;

/// What "open" means, and does not.
pub(super) const MEANING: &str = "open as far as bed bugs are concerned; check cleaning";

#[derive(Serialize)]
pub(super) struct Document {
    as_of: String,
    facility: String,
    time_zone: String,
    ledger_standing: &'static str,
    ledger_reason: Option<String>,
    /// A ledger for practice, no hospital's.
    practice: bool,
    not_kept: Option<String>,
    meaning: &'static str,
    /// Of the whole hospital.
    beds_total: usize,
    beds_free: usize,
    beds_promised: usize,
    #[serde(flatten)]
    part: Part,
}

/// Which question was asked.
#[derive(Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Part {
    Beds(Vec<BedRow>),
    Rooms(Vec<RoomRow>),
    Tasks(Vec<TaskRow>),
    Room(Box<RoomView>),
    Records(Vec<RecordRow>),
    Dryings(Box<DryingsView>),
}

/// What dry checks taught.
#[derive(Serialize)]
pub(super) struct DryingsView {
    pub multiplier: f64,
    /// 90 % interval.
    pub low: f64,
    pub high: f64,
    pub sigma: f64,
    pub checks: usize,
    pub dryings: usize,
    pub seen_damp: usize,
    /// Enough were seen damp and then dry for estimates to go by it.
    pub used: bool,
    pub found: Vec<FoundRow>,
}

#[derive(Serialize)]
pub(super) struct FoundRow {
    pub room: String,
    pub spray: u64,
    pub ended: String,
    pub likely_hours: f64,
    pub damp_hours: Option<f64>,
    pub dry_hours: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct BedRow {
    pub ward: String,
    pub room: String,
    /// What the bed is called within its room.
    pub bed: String,
    pub code: String,
    pub features: Vec<String>,
    pub state: &'static str,
    pub admission: &'static str,
    /// Open, and promised to nobody.
    pub free: bool,
    pub occupancy: &'static str,
    /// What is to be known of an open one; none of a closed one.
    #[serde(serialize_with = "mark_keys")]
    pub marks: Vec<BedMark>,
    pub blockers: Vec<BlockerRow>,
    pub next_step: Option<StepRow>,
    /// When somebody is expected to whom the bed is promised. It permits nothing.
    pub promised_for: Option<String>,
    /// The earliest time at which it could be open, by the label and the policy's minutes.
    pub earliest: Option<String>,
}

#[derive(Serialize)]
pub(super) struct BlockerRow {
    pub rule: &'static str,
    pub text: String,
    pub entries: Vec<u64>,
    /// The move that would settle it.
    pub verb: Option<&'static str>,
}

#[derive(Serialize)]
pub(super) struct StepRow {
    pub verb: &'static str,
    pub text: String,
}

#[derive(Serialize)]
pub(super) struct RoomRow {
    pub ward: String,
    pub room: String,
    pub name: String,
    pub kind: String,
    pub state: &'static str,
    pub headline: &'static str,
    pub who_may_enter: String,
    pub beds: usize,
    pub beds_open: usize,
    pub beds_free: usize,
    pub beds_promised: usize,
    /// What is to be known of its open beds.
    #[serde(serialize_with = "mark_keys")]
    pub marks: Vec<BedMark>,
    /// What closes every bed of the room.
    pub blockers: Vec<BlockerRow>,
    pub next_step: Option<StepRow>,
    pub dry_about: Option<DryAboutRow>,
}

/// When a wet room is probably dry. It permits nothing.
#[derive(Serialize)]
pub(super) struct DryAboutRow {
    pub from: Option<String>,
    pub likely: Option<String>,
    pub until: Option<String>,
    /// Why it does not dry within a day.
    pub never: Option<&'static str>,
}

#[derive(Serialize)]
pub(super) struct TaskRow {
    pub room: String,
    pub need: String,
    pub due: Option<String>,
    pub overdue: bool,
    /// `due` is a label's minimum: before it the rules refuse it.
    pub barred: bool,
    /// Before this the rules refuse it; a later `due` is advice.
    pub not_before: Option<String>,
    pub dry_about: Option<DryAboutRow>,
    pub role: &'static str,
    pub verb: &'static str,
    pub command: String,
    pub cause: Option<u64>,
    pub accepted_by: Option<String>,
    /// Why it could not be done, and when again, where that was noted and nobody has done it since.
    pub hindrance: Option<String>,
    /// Closed beds without a patient that wait for nothing else, and those that wait for more besides.
    pub opens: Vec<String>,
    pub nearer: Vec<String>,
    /// Known steps before the first of them opens, this one included.
    pub steps: Option<usize>,
    pub more_steps: bool,
}

#[derive(Serialize)]
pub(super) struct RoomView {
    #[serde(flatten)]
    pub row: RoomRow,
    pub bed_rows: Vec<BedRow>,
    pub zones: Vec<ZoneRow>,
    pub bags: Vec<BagRow>,
    pub evidence: Vec<EvidenceRow>,
    pub tasks: Vec<TaskRow>,
    /// One a spray, newest first.
    pub records: Vec<RecordRow>,
    /// Newest first.
    pub timeline: Vec<TimelineRow>,
}

#[derive(Serialize)]
pub(super) struct ZoneRow {
    pub zone: String,
    pub name: String,
    pub treatment: &'static str,
    /// not-dry, dry, not-treated, not-vacuumed, or null: nothing is asked of it.
    pub stands: Option<&'static str>,
    /// The entry that found it dry, where one did.
    pub met_by: Option<u64>,
}

#[derive(Serialize)]
pub(super) struct BagRow {
    pub bag: String,
    pub settled: bool,
    pub cause: u64,
    pub met_by: Option<u64>,
    /// Entries of loads that did not meet the criteria.
    pub failed_loads: Vec<u64>,
    /// What a logger measured in the load that settled it, in a sentence.
    pub trace: Option<String>,
}

#[derive(Serialize)]
pub(super) struct EvidenceRow {
    pub need: String,
    pub rule: &'static str,
    pub verb: &'static str,
    pub cause: u64,
    pub met_by: Option<u64>,
    /// Met by what may stand in its place.
    pub instead: bool,
    /// The need in words once it is met, for the text alone.
    #[serde(skip)]
    pub when_met: String,
}

#[derive(Serialize)]
pub(super) struct TimelineRow {
    pub entry: u64,
    pub happened: String,
    pub noted: String,
    pub done_by: String,
    pub noted_by: String,
    pub text: String,
    /// The sheet of paper that it was taken from, of a downtime.
    pub sheet: Option<String>,
    /// Why it does not count, or counts no more, in a sentence.
    pub problem: Option<String>,
}

pub(super) fn document(view: &View<'_>, part: Part) -> Document {
    let facility = view.board.facility();
    let count = view.count(view.rooms(None));
    Document {
        as_of: rfc3339(view.now),
        facility: facility.name.clone(),
        time_zone: facility.time_zone.to_string(),
        ledger_standing: view.standing,
        ledger_reason: view.reason.clone(),
        practice: view.practice,
        not_kept: view.not_kept.clone(),
        meaning: MEANING,
        beds_total: count.beds,
        beds_free: count.free,
        beds_promised: count.promised,
        part,
    }
}

/// Finished JSON with nothing in it that a terminal would obey: JSON itself lets some of it stand as it is. Only strings hold
/// such characters, and there the escape means the same. Ends with a line break.
pub(super) fn escaped(json: &str) -> String {
    let mut out = String::with_capacity(json.len() + 1);
    let (mut bytes, mut units) = ([0; 4], [0; 2]);
    for c in json.chars() {
        match c.is_ascii() || shown(c.encode_utf8(&mut bytes)).contains(c) {
            true => out.push(c),
            false => {
                for unit in c.encode_utf16(&mut units) {
                    out.push_str(&format!("\\u{unit:04x}"));
                }
            }
        }
    }
    out.push('\n');
    out
}

pub(super) fn rfc3339(time: Time) -> String {
    time.to_rfc3339_opts(chrono::SecondsFormat::Secs, true)
}

pub(super) fn bed_rows(view: &View<'_>, plan: &RoomPlan) -> Vec<BedRow> {
    let row = |bed: &crate::domain::facility::Bed| {
        let blockers = view.board.admission(bed.code, view.now);
        BedRow {
            ward: plan.ward.to_string(),
            room: plan.code.to_string(),
            bed: short_bed(plan, bed.code),
            code: bed.code.to_string(),
            features: bed.features.clone(),
            state: view.board.state(plan.code).word(),
            admission: if blockers.is_empty() { "open" } else { "closed" },
            free: blockers.is_empty() && view.promised(plan.code, bed.code).is_none(),
            occupancy: view.board.occupancy(bed.code, view.now).word(),
            marks: view.board.marks(bed.code, view.now),
            blockers: blockers.into_iter().map(blocker_row).collect(),
            next_step: view.board.next_step(plan.code, view.now).map(step_row),
            promised_for: view.promised(plan.code, bed.code).map(|promise| rfc3339(promise.wanted)),
            earliest: match view.board.earliest(bed.code, view.now) {
                Earliest::Now => Some(rfc3339(view.now)),
                Earliest::NotBefore(at) => Some(rfc3339(at)),
                Earliest::Unknown { .. } => None,
            },
        }
    };
    plan.beds.iter().map(row).collect()
}

/// What a bed's code adds to its room's; the whole code where it adds nothing.
fn short_bed(plan: &RoomPlan, bed: Code) -> String {
    let (whole, room) = (bed.as_str(), plan.code.as_str());
    let rest = whole.get(..room.len()).filter(|head| head.eq_ignore_ascii_case(room)).and(whole.get(room.len()..));
    let rest = rest.unwrap_or("").trim_start_matches(['-', '.', '/', '_', ' ']);
    if rest.is_empty() { whole.to_owned() } else { rest.to_owned() }
}

fn blocker_row(blocker: Blocker) -> BlockerRow {
    let entries = blocker.entries.iter().map(|number| number.0).collect();
    BlockerRow { rule: blocker.rule.code(), text: blocker.text, entries, verb: blocker.verb }
}

fn step_row(step: NextStep) -> StepRow {
    StepRow { verb: step.verb, text: step.text }
}

pub(super) fn room_row(view: &View<'_>, plan: &RoomPlan) -> RoomRow {
    let state = view.board.state(plan.code);
    let blockers = view.board.room_blockers(plan.code);
    let closed = !blockers.is_empty();
    let count = view.count([plan]);
    RoomRow {
        ward: plan.ward.to_string(),
        room: plan.code.to_string(),
        name: plan.name.clone(),
        kind: plan.kind.to_string(),
        state: state.word(),
        headline: state.headline_of(closed),
        who_may_enter: view.board.who_may_enter(plan.code, closed, view.now),
        beds: plan.beds.len(),
        beds_open: count.free + count.promised,
        beds_free: count.free,
        beds_promised: count.promised,
        marks: if count.free + count.promised > 0 { view.board.marks_of_room(plan, view.now) } else { vec![] },
        blockers: blockers.into_iter().map(blocker_row).collect(),
        next_step: view.board.next_step(plan.code, view.now).map(step_row),
        dry_about: view.board.dry_about(plan.code).map(dry_about_row),
    }
}

fn mark_keys<S: Serializer>(marks: &[BedMark], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(marks.iter().map(|mark| mark.key()))
}

pub(super) fn dryings_view(view: &View<'_>) -> DryingsView {
    let it = view.board.learned().hospital;
    let row = |found: &Found| FoundRow {
        room: found.room.to_string(),
        spray: found.spray.0,
        ended: rfc3339(found.ended),
        likely_hours: found.likely_hours,
        damp_hours: found.damp_hours,
        dry_hours: found.dry_hours,
    };
    DryingsView {
        multiplier: it.likely,
        low: it.low,
        high: it.high,
        sigma: it.sigma,
        checks: it.checks,
        dryings: it.dryings,
        seen_damp: it.seen_damp,
        used: it.is_grounded(),
        found: dryings(view.board).iter().rev().map(row).collect(),
    }
}

fn dry_about_row(about: DryAbout) -> DryAboutRow {
    match about {
        DryAbout::Between { from, likely, until } => {
            let [from, likely, until] = [from, likely, until].map(|time| Some(rfc3339(time)));
            DryAboutRow { from, likely, until, never: None }
        }
        DryAbout::Never(never) => DryAboutRow { from: None, likely: None, until: None, never: Some(never.word()) },
    }
}

pub(super) fn task_row(view: &View<'_>, task: &Task) -> TaskRow {
    let codes = |beds: &[Code]| beds.iter().map(Code::to_string).collect();
    TaskRow {
        room: task.room.to_string(),
        need: task.need.clone(),
        due: task.due.map(rfc3339),
        overdue: task.overdue,
        barred: task.not_before.is_some() && task.not_before == task.due,
        not_before: task.not_before.map(rfc3339),
        dry_about: task.dry_about.map(dry_about_row),
        role: task.role.word(),
        verb: task.verb,
        command: view.typed(&task.command),
        cause: Some(task.cause.0).filter(|number| *number > 0),
        accepted_by: task.accepted_by.map(|who| who.to_string()),
        hindrance: view.hindrance(task),
        opens: codes(&task.gives.opens),
        nearer: codes(&task.gives.nearer),
        steps: Some(task.gives.steps).filter(|steps| *steps > 0),
        more_steps: task.gives.more,
    }
}

pub(super) fn room_view(view: &View<'_>, plan: &RoomPlan) -> RoomView {
    let (evidence, maybe_wet) = (view.board.evidence(plan.code), view.board.may_be_wet(plan.code));
    RoomView {
        row: room_row(view, plan),
        bed_rows: bed_rows(view, plan),
        zones: plan.zones.iter().map(|(zone, it)| zone_row(*zone, it, &evidence, maybe_wet.contains(zone))).collect(),
        bags: bag_rows(view, plan.code, &evidence),
        evidence: evidence.iter().map(evidence_row).collect(),
        tasks: view.board.tasks_of(plan.code, view.now).iter().map(|task| task_row(view, task)).collect(),
        records: records::of_room(view, plan),
        timeline: timeline(view, plan).map(|entry| timeline_row(view, plan, entry)).collect(),
    }
}

/// `maybe_wet`: by a voided spray.
fn zone_row(zone: Zone, plan: &ZonePlan, evidence: &[Evidence], maybe_wet: bool) -> ZoneRow {
    let asked = |need: Need| evidence.iter().filter(move |it| it.need == need);
    let is_open = |need: Need| asked(need).any(|it| it.met_by.is_none());
    let stands = if maybe_wet || is_open(Need::Dry(zone)) {
        Some("not-dry")
    } else if is_open(Need::Covered(zone)) {
        Some("not-treated")
    } else if is_open(Need::Vacuumed(zone)) {
        Some("not-vacuumed")
    } else {
        asked(Need::Dry(zone)).next().map(|_| "dry")
    };
    let treatment = match plan.treatment {
        ZoneTreatment::Spray => "spray",
        ZoneTreatment::OtherMethod => "other-method",
        ZoneTreatment::InspectOnly => "inspect-only",
    };
    let met_by = asked(Need::Dry(zone)).filter_map(|it| it.met_by).max().map(|number| number.0);
    ZoneRow { zone: zone.to_string(), name: plan.name.clone(), treatment, stands, met_by }
}

fn bag_rows(view: &View<'_>, room: Code, evidence: &[Evidence]) -> Vec<BagRow> {
    let failed = view.board.room(room).map(|room| room.failed_loads.as_slice()).unwrap_or_default();
    let mut rows: Vec<BagRow> = vec![];
    let logged = |number: Number| {
        let entry = view.entries.iter().rev().find(|entry| entry.number == number)?;
        let Body::Laundered { cycle, .. } = &entry.body else { return None };
        let traces: Vec<String> = cycle.traces().map(describe::logged).collect();
        (!traces.is_empty()).then(|| traces.join(", "))
    };
    for it in evidence {
        let Need::Bag(tag) = it.need else { continue };
        let name = tag.to_string();
        match rows.iter_mut().find(|row| row.bag == name) {
            Some(row) => row.settled &= it.met_by.is_some(),
            None => rows.push(BagRow {
                bag: name,
                settled: it.met_by.is_some(),
                cause: it.cause.0,
                met_by: it.met_by.map(|number| number.0),
                failed_loads: failed.iter().filter(|(_, bag)| *bag == tag).map(|(number, _)| number.0).collect(),
                trace: it.met_by.and_then(logged),
            }),
        }
    }
    rows
}

fn evidence_row(it: &Evidence) -> EvidenceRow {
    EvidenceRow {
        need: it.need.to_string(),
        when_met: it.need.when_met(),
        rule: it.need.rule().code(),
        verb: it.need.verb(),
        cause: it.cause.0,
        met_by: it.met_by.map(|number| number.0),
        instead: it.instead,
    }
}

/// Entries about the room, newest first: its own, and what touched its whole ward.
pub(super) fn timeline<'a>(view: &View<'a>, plan: &RoomPlan) -> impl Iterator<Item = &'a Entry> {
    view.entries.iter().rev().filter(move |entry| tells_of(entry, plan))
}

fn timeline_row(view: &View<'_>, plan: &RoomPlan, entry: &Entry) -> TimelineRow {
    TimelineRow {
        entry: entry.number.0,
        happened: rfc3339(entry.happened),
        noted: rfc3339(entry.noted),
        done_by: entry.done_by.to_string(),
        noted_by: entry.noted_by.to_string(),
        text: sentence(entry, view.board),
        sheet: entry.sheet().map(str::to_owned),
        problem: view.problem(plan.code, entry),
    }
}

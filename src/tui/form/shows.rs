//! What a signature shows before it is signed: what it rests on, counted, and the entry that it is about.

use std::collections::{BTreeMap, BTreeSet};

use super::Form;
use super::asked::{entry_of, listed};
use crate::domain::board::{clear_lacks, gaps, negative_checks, quiet_days};
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Cycle, Number, Place};
use crate::domain::laundry::{self, wanted};
use crate::domain::likely::{NO_PERMISSION, odds};
use crate::domain::moves::FieldKind;
use crate::domain::need::{Evidence, Need};
use crate::domain::policy::Setting;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::world::World;

#[derive(Default)]
pub(super) struct Shows {
    pub heading: String,
    pub lines: Vec<ShownLine>,
    /// Of each of a load's traces: what a picture of it points out, in °C.
    pub asks: Vec<Vec<f64>>,
}

pub(super) struct ShownLine {
    /// None: nothing that could be missing.
    pub met: Option<bool>,
    pub text: String,
}

fn plain(text: String) -> ShownLine {
    ShownLine { met: None, text: shown(&text) }
}

impl Shows {
    pub(super) fn of(form: &Form, world: &World<'_>) -> Self {
        match form.mv.verb {
            "launder" => return load(form, world),
            "spray" => return spray(form, world),
            "dry-check" => return label_minimum(form, world),
            "clock" => return clocks(world),
            _ => {}
        }
        if !form.is_signature() && form.mv.verb != "void" {
            return Self::default();
        }
        let lines = match (form.mv.verb, form.room) {
            ("return", Some(room)) => return_rests_on(&world.board.evidence(room)),
            ("clear", Some(room)) => clear_rests_on(room, world),
            ("nothing-applied", Some(room)) => preparation(room, world),
            ("ward-walk", _) => walk(form, world),
            _ => named(form, world),
        };
        let counted = lines.iter().filter(|line| line.met.is_some()).count();
        let met = lines.iter().filter(|line| line.met == Some(true)).count();
        let heading = match (lines.is_empty(), counted) {
            (true, _) => String::new(),
            (false, 0) => "This is about:".to_owned(),
            (false, _) => format!("You sign for: {met} of {counted}"),
        };
        Self { heading, lines, asks: vec![] }
    }
}

/// Which two clocks disagree.
fn clocks(world: &World<'_>) -> Shows {
    let question = world.clock.iter().map(|question| plain(format!("{}.", question.text)));
    let lines: Vec<ShownLine> = question.collect();
    let heading = if lines.is_empty() { String::new() } else { "Clocks that disagree:".to_owned() };
    Shows { heading, lines, asks: vec![] }
}

/// What a spray leaves unsaid, and what counts until somebody says it.
fn unstated(form: &Form) -> Shows {
    let answers = form.answers();
    let counts = [
        ("zones", "zones not stated: every zone counts as wet, and none as treated"),
        ("finish", "end of spraying not stated: no clock runs, and no dry check counts"),
        ("bags", "linens not stated: they count as treated, and no bed opens"),
        ("patient-inside", "whether a patient was inside is not stated"),
    ];
    let open = counts.into_iter().filter(|(name, _)| answers.get(name).is_none());
    let lines: Vec<ShownLine> = open.map(|(_, text)| ShownLine { met: Some(false), text: text.to_owned() }).collect();
    let heading = match lines.len() {
        0 => String::new(),
        1 => "Left unstated, so the unsafe answer counts until it is supplied:".to_owned(),
        several => format!("{several} things left unstated, so the unsafe answers count until they are supplied:"),
    };
    Shows { heading, lines, asks: vec![] }
}

/// What is unstated, and when the room is probably dry by what was typed so far.
fn spray(form: &Form, world: &World<'_>) -> Shows {
    let mut shows = unstated(form);
    let likely = form.likely_of_spray(world);
    if likely.is_empty() {
        return shows;
    }
    let mut lines: Vec<ShownLine> = likely.into_iter().map(plain).collect();
    if shows.heading.is_empty() {
        shows.heading = format!("Likely ({NO_PERMISSION}):");
    } else if let Some(first) = lines.first_mut() {
        first.text = format!("Likely ({NO_PERMISSION}): {}", first.text);
    }
    shows.lines.extend(lines);
    shows
}

/// When the label first lets a check count, and of how many zones.
fn label_minimum(form: &Form, world: &World<'_>) -> Shows {
    let Some(room) = form.room.and_then(|code| world.board.room(code)) else { return Shows::default() };
    let waits = |closer: &&crate::domain::board::Closer| {
        closer.voided.is_none()
            && closer.needs.iter().any(|need| matches!(need, Need::Dry(_)) && room.met(closer, *need).is_none())
    };
    let zones: BTreeSet<Need> = room
        .unsettled()
        .filter(waits)
        .flat_map(|closer| {
            closer.needs.iter().filter(|need| matches!(need, Need::Dry(_)) && room.met(closer, **need).is_none())
        })
        .copied()
        .collect();
    if zones.is_empty() {
        return Shows::default();
    }
    let ready: Vec<_> = room.unsettled().filter(waits).map(|closer| room.ready(closer)).collect();
    let line = match ready.iter().map(|it| it.map(|ready| ready.not_before)).collect::<Option<Vec<_>>>() {
        None => ShownLine { met: Some(false), text: "no clock runs yet: the spray left something unstated".to_owned() },
        Some(times) => {
            let at = times.into_iter().max().unwrap_or(world.now);
            let text = format!(
                "a check counts from {}, not before",
                age::clock(at, world.now, world.board.facility().time_zone)
            );
            ShownLine { met: Some(at <= world.now), text }
        }
    };
    let zones = if zones.len() == 1 { "1 zone".to_owned() } else { format!("{} zones", zones.len()) };
    Shows { heading: format!("{zones} not found dry yet:"), lines: vec![line], asks: vec![] }
}

/// What the hospital asks of a load, and what the one as typed amounts to.
fn load(form: &Form, world: &World<'_>) -> Shows {
    let load = form.load(world);
    let failures = load.as_ref().map(|load| form.load_fails(load, world));
    if let (Some((_, cycle)), Some(failures)) = (&load, &failures)
        && cycle.traces().next().is_some()
    {
        return logged(cycle, failures, world);
    }
    let mut lines = vec![plain(format!("This hospital asks: {}.", wanted(world.board.policy())))];
    if let Some(failures) = failures {
        lines.push(match failures.is_empty() {
            true => ShownLine { met: Some(true), text: "as typed, this load settles the bag".to_owned() },
            false => ShownLine { met: Some(false), text: format!("as typed: {}", shown(&failures.join("; "))) },
        });
    }
    Shows { heading: "What a load has to show:".to_owned(), lines, asks: vec![] }
}

/// What a load's trace shows, criterion by criterion, and what the load amounts to with what was typed besides.
fn logged(cycle: &Cycle, failures: &[String], world: &World<'_>) -> Shows {
    let criterion = laundry::criterion_of(world.board.policy());
    let told = laundry::trace_told(cycle, criterion).into_iter();
    let mut lines: Vec<ShownLine> = told.map(|(met, text)| ShownLine { met, text: shown(&text) }).collect();
    lines.push(match failures.is_empty() {
        true => ShownLine { met: Some(true), text: "this load settles the bag".to_owned() },
        false => ShownLine { met: Some(false), text: format!("the bag stays out: {}", shown(&failures.join("; "))) },
    });
    let asks = cycle.traces().map(|trace| laundry::trace_asks(trace.machine, criterion)).collect();
    Shows { heading: String::new(), lines, asks }
}

/// Needs of one kind in one line: a room has twenty zones.
fn kind(need: Need, instead: bool) -> Option<&'static str> {
    match need {
        Need::Walked => Some("ward walked"),
        Need::Attested(_) => Some("damaged lines attested"),
        Need::Looked(_) => Some("second looks after a void"),
        Need::Inspected if instead => Some("treated whole, instead of inspected"),
        Need::Inspected => Some("full inspection, nothing seen"),
        Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => Some("spray stated whole"),
        Need::Covered(_) => Some("zones sprayed or done otherwise"),
        Need::Dry(_) => Some("zones found dry"),
        Need::Bag(_) => Some("bags laundered"),
        Need::Vacuumed(_) => Some("soft seats vacuumed"),
        Need::Made(_) => Some("beds made"),
        // The signature itself, and what it leaves as it is.
        Need::Returned | Need::InService(_) => None,
    }
}

#[derive(Default)]
struct OfKind {
    all: BTreeSet<Need>,
    missing: BTreeSet<Need>,
    by: BTreeSet<Number>,
}

fn return_rests_on(evidence: &[Evidence]) -> Vec<ShownLine> {
    let mut kinds: Vec<&'static str> = vec![];
    let mut needs: BTreeMap<&'static str, OfKind> = BTreeMap::new();
    for it in evidence {
        let Some(kind) = kind(it.need, it.instead) else { continue };
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
        let of_kind = needs.entry(kind).or_default();
        of_kind.all.insert(it.need);
        of_kind.by.extend(it.met_by);
        if it.met_by.is_none() {
            of_kind.missing.insert(it.need);
        }
    }
    let line = |kind: &'static str| {
        let OfKind { all, missing, by } = needs.get(kind)?;
        let entries = by.iter().rev().take(4).map(|it| it.to_string()).collect::<Vec<_>>().join(", ");
        let by = if entries.is_empty() { String::new() } else { format!(", by entry {entries}") };
        let text = format!("{kind}: {} of {}{by}", all.len() - missing.len(), all.len());
        Some(ShownLine { met: Some(missing.is_empty()), text })
    };
    kinds.into_iter().filter_map(line).collect()
}

fn clear_rests_on(room: Code, world: &World<'_>) -> Vec<ShownLine> {
    let board = world.board;
    let lacks = clear_lacks(board, room, world.now);
    let days = quiet_days(board, room, world.now);
    let (looks, traps) = board.room(room).map(negative_checks).unwrap_or_default();
    let wanted = |setting| board.policy().get(setting);
    let quiet = ShownLine {
        met: Some(days.counted >= wanted(Setting::ClearDays)),
        text: format!("{} of {} days without activity that count", days.counted, wanted(Setting::ClearDays)),
    };
    let enough = looks >= wanted(Setting::ClearVisualChecks) || traps >= wanted(Setting::ClearTrapPeriods);
    let checks = ShownLine { met: Some(enough), text: format!("negative inspections: {looks}; trap periods: {traps}") };
    let mut lines = vec![quiet, checks];
    lines.extend(lacks.iter().map(|(_, text)| ShownLine { met: Some(false), text: shown(text) }));
    lines.extend(odds(board, room, world.now).map(plain));
    lines
}

fn preparation(room: Code, world: &World<'_>) -> Vec<ShownLine> {
    let Some(it) = world.board.room(room) else { return vec![] };
    let begun: BTreeSet<Number> =
        it.unsettled().filter(|closer| closer.cause.is_preparation()).map(|closer| closer.number).collect();
    let entries = (world.timeline)(room);
    let of = entries.iter().filter(|entry| begun.contains(&entry.number));
    of.map(|entry| plain(format!("entry {}: {}", entry.number, describe::sentence(entry, world.board)))).collect()
}

fn walk(form: &Form, world: &World<'_>) -> Vec<ShownLine> {
    let ward = Code::new(&form.target).ok().and_then(|ward| world.board.facility().wards.get(&ward));
    let Some(ward) = ward else { return vec![] };
    let waits =
        |room: &&Code| world.board.evidence(**room).iter().any(|it| it.need == Need::Walked && it.met_by.is_none());
    let waiting: Vec<Code> = ward.rooms.iter().filter(waits).copied().collect();
    let text = match waiting.is_empty() {
        true => "no room of this ward waits for a walk".to_owned(),
        false => format!("{} of {} rooms wait for it: {}", waiting.len(), ward.rooms.len(), listed(waiting)),
    };
    let mut lines = vec![plain(text)];
    let of_ward = world.board.gaps_of(&Place::Ward(ward.code));
    lines.extend(of_ward.into_iter().map(|gap| plain(world.board.gap_words(gap))));
    lines.extend(
        gaps(world.board, world.entries)
            .map(|entry| plain(format!("since entry {}: {}", entry.number, describe::sentence(entry, world.board)))),
    );
    lines
}

/// The entries that the form names.
fn named(form: &Form, world: &World<'_>) -> Vec<ShownLine> {
    let answers = form.all_answers();
    let fields = form.mv.fields.iter().filter(|field| field.kind == FieldKind::Entry);
    let entries = fields.filter_map(|field| entry_of(answers.get(field.name), world));
    entries.map(|entry| plain(format!("entry {}: {}", entry.number, describe::sentence(entry, world.board)))).collect()
}

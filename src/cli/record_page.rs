//! The treatment records of one room as a page for an inspector: every field of every spray, and what a record lacks.

use std::fmt::Write as _;

use chrono::{DateTime, TimeDelta};

use super::days::Days;
use super::records::{self, RecordRow};
use super::show::above;
use super::text::span;
use super::view::View;
use crate::domain::facility::RoomPlan;
use crate::domain::record::WRITTEN_WITHIN_DAYS;
use crate::domain::shown::shown;

/// The records whose spray started on one of these days, newest first.
pub(super) fn rows(view: &View<'_>, plan: &RoomPlan, days: Days) -> Vec<RecordRow> {
    let zone = view.board.facility().time_zone;
    let started = |row: &RecordRow| DateTime::parse_from_rfc3339(&row.started).map(|at| at.to_utc());
    let rows = records::of_room(view, plan).into_iter();
    rows.filter(|row| started(row).is_ok_and(|at| days.holds(at, zone))).collect()
}

pub(super) fn page(view: &View<'_>, plan: &RoomPlan, days: Days) -> String {
    let facility = view.board.facility();
    let rows = rows(view, plan, days);
    let name = if plan.name.is_empty() { String::new() } else { format!(" ({})", shown(&plan.name)) };
    let count = if rows.len() == 1 { "1 record".to_owned() } else { format!("{} records", rows.len()) };
    let printed = view.now.with_timezone(&facility.time_zone).format("%Y-%m-%d %H:%M");
    let newest = view.entries.last().map_or(0, |entry| entry.number.0);
    let mut out = format!(
        "Treatment records of room {}{name}, ward {}, {}\n{count}{}, newest first; printed {printed}, after entry \
         {newest}\n",
        plan.code,
        plan.ward,
        shown(&facility.name),
        days.words(),
    );
    out.push_str(&above(view));
    for row in &rows {
        one(&mut out, row, view);
    }
    out.push_str("\n—: not stated. A voided record stands, with its void in the room's timeline.\n");
    out
}

fn one(out: &mut String, row: &RecordRow, view: &View<'_>) {
    let voided = if row.voided { ", VOIDED" } else { "" };
    let _ = writeln!(out, "\nentry {}{voided}", row.spray);
    let missing: Vec<String> = row.missing.iter().map(|it| format!("{} ({})", it.title, it.asked_by)).collect();
    let complete = match row.complete {
        _ if row.voided => "VOIDED: it is no record of a treatment here".to_owned(),
        None => "no rule was chosen, so nothing says whether it is complete (set-policy record-rule)".to_owned(),
        Some(true) => "complete".to_owned(),
        Some(false) => format!("INCOMPLETE, lacks: {}", missing.join(", ")),
    };
    let late = row.noted_minutes_late.map(TimeDelta::minutes);
    let beyond = match late.is_some_and(|it| it > TimeDelta::days(WRITTEN_WITHIN_DAYS)) {
        true if row.rule == "7-cfr-110.3" => format!(": later than the rule's {WRITTEN_WITHIN_DAYS} days"),
        _ => String::new(),
    };
    let late = late.map(|it| format!(", {} late{beyond}", span(it))).unwrap_or_default();
    let inside = match row.patient_inside {
        "yes" => "YES, A PATIENT WAS INSIDE".to_owned(),
        "no" => "no".to_owned(),
        _ => "not stated, so it counts as yes".to_owned(),
    };
    let local = |text: &String| local(text.as_str(), view);
    let unit = |value: Option<String>, unit: &str| value.map(|value| format!("{value} {unit}"));
    let text = |value: &Option<String>| value.clone();
    let word = |value: Option<&'static str>| value.map(str::to_owned);
    let others: Vec<String> = row.other_methods.iter().map(|it| format!("{}: {}", it.zone, it.method)).collect();
    let met = row.label_met.as_ref().map(|it| format!("{}, by {}, entry {}", local(&it.at), it.by, it.entry));
    let lines: [(&str, Option<String>); 36] = [
        ("rule on records", Some(row.rule.clone())),
        ("record", Some(complete)),
        ("to be kept", row.keeping.map(str::to_owned)),
        ("location", Some(row.location.clone())),
        ("started", Some(local(&row.started))),
        ("finished", row.finished.as_ref().map(local)),
        ("patient inside", Some(inside)),
        ("done by", Some(row.done_by.clone())),
        ("noted", Some(format!("{}, by {}{late}", local(&row.noted), row.noted_by))),
        ("purpose", Some(row.purpose.to_owned())),
        ("product", Some(row.product.clone())),
        ("registration number", text(&row.registration)),
        ("active ingredient", text(&row.active_ingredient)),
        ("percent", text(&row.percent)),
        ("amount of mixture", amount(row)),
        ("rate", text(&row.rate)),
        ("area treated", text(&row.area)),
        ("zones, in order", row.zones.as_ref().map(|zones| zones.join(", "))),
        ("done another way", Some(others.join(", ")).filter(|it| !it.is_empty())),
        ("target pest", text(&row.target_pest)),
        ("for whom", text(&row.for_whom)),
        ("applicator", text(&row.applicator)),
        ("certificate", text(&row.certificate)),
        ("supervisor", text(&row.supervisor)),
        ("label on re-entry", text(&row.label_words)),
        ("label's minutes", unit(row.label_minutes.map(|it| it.to_string()), "min")),
        ("label met", met),
        ("room temperature", unit(row.celsius.map(|it| it.to_string()), "°C")),
        ("room humidity", unit(row.humidity_percent.map(|it| it.to_string()), "%")),
        ("ventilation, window", both(word(row.ventilation), word(row.window))),
        (
            "outdoors",
            both(
                unit(row.outdoor_celsius.map(|it| it.to_string()), "°C"),
                unit(row.outdoor_humidity_percent.map(|it| it.to_string()), "%"),
            ),
        ),
        ("neighbours checked", text(&row.neighbours_checked)),
        ("notice until", text(&row.notice_until)),
        ("disposal", text(&row.disposal)),
        ("follow-up due", text(&row.follow_up_due)),
        ("slip", text(&row.slip)),
    ];
    for (title, value) in lines {
        let _ = writeln!(out, "  {title:<20} {}", value.map_or("—".to_owned(), |it| shown(&it)));
    }
}

/// In millilitres, and how it was counted, if that was at the pump.
fn amount(row: &RecordRow) -> Option<String> {
    let counted = match (row.strokes, row.ml_per_stroke) {
        (Some(count), Some(each)) => format!(" ({count} strokes of {each} mL)"),
        _ => String::new(),
    };
    row.amount_ml.map(|ml| format!("{ml} mL{counted}"))
}

/// Two facts on one line. None: neither is known.
fn both(one: Option<String>, other: Option<String>) -> Option<String> {
    let known: Vec<String> = [one, other].into_iter().flatten().collect();
    (!known.is_empty()).then(|| known.join(", "))
}

/// As the hospital's clock showed it.
fn local(rfc3339: &str, view: &View<'_>) -> String {
    let zone = view.board.facility().time_zone;
    let read = DateTime::parse_from_rfc3339(rfc3339);
    read.map_or_else(|_| rfc3339.to_owned(), |at| at.with_timezone(&zone).format("%Y-%m-%d %H:%M").to_string())
}

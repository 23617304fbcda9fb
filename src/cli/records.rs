//! The treatment records of a room, for its page and its JSON: every spray with what is known of it and what it lacks.

use serde::Serialize;

use super::json::rfc3339;
use super::view::View;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Ventilation, Window};
use crate::domain::facility::RoomPlan;
use crate::domain::need::Need;
use crate::domain::policy::Setting;
use crate::domain::record::{FieldName, RecordRule, RecordView};
use crate::domain::strokes::Strokes;

#[derive(Serialize)]
pub(super) struct RecordRow {
    /// Number of the spray's entry.
    pub spray: u64,
    pub voided: bool,
    /// The rule on records that the hospital chose: none, 7-cfr-110.3, 40-cfr-171.303.
    pub rule: String,
    /// By when a record is written and how long it is kept, where the rule says so.
    pub keeping: Option<&'static str>,
    /// Null: no rule was chosen, so nothing says what a complete record holds.
    pub complete: Option<bool>,
    pub missing: Vec<MissingField>,
    pub location: String,
    pub noted: String,
    pub noted_by: String,
    /// From the end of spraying, or its start where no end is known, until it was noted; null: within minutes.
    pub noted_minutes_late: Option<i64>,
    pub done_by: String,
    pub patient_inside: &'static str,
    pub started: String,
    pub finished: Option<String>,
    pub purpose: &'static str,
    pub product: String,
    pub registration: Option<String>,
    pub active_ingredient: Option<String>,
    pub percent: Option<String>,
    /// In the order sprayed; null: not stated.
    pub zones: Option<Vec<String>>,
    pub other_methods: Vec<OtherMethodRow>,
    pub amount_ml: Option<u32>,
    /// How it was counted, if that was at the pump.
    pub strokes: Option<u32>,
    pub ml_per_stroke: Option<f64>,
    pub rate: Option<String>,
    pub area: Option<String>,
    pub target_pest: Option<String>,
    pub for_whom: Option<String>,
    pub applicator: Option<String>,
    pub certificate: Option<String>,
    pub supervisor: Option<String>,
    pub label_words: Option<String>,
    pub label_minutes: Option<u32>,
    /// The dry check that met the label's condition, once nothing sprayed is left undried.
    pub label_met: Option<LabelMet>,
    pub celsius: Option<f64>,
    pub humidity_percent: Option<u32>,
    pub ventilation: Option<&'static str>,
    pub window: Option<&'static str>,
    pub outdoor_celsius: Option<f64>,
    pub outdoor_humidity_percent: Option<u32>,
    pub neighbours_checked: Option<String>,
    pub notice_until: Option<String>,
    pub disposal: Option<String>,
    pub follow_up_due: Option<String>,
    pub slip: Option<String>,
}

#[derive(Serialize)]
pub(super) struct MissingField {
    pub field: &'static str,
    pub title: &'static str,
    /// The paragraph of the rule that asks for it.
    pub asked_by: &'static str,
}

#[derive(Serialize)]
pub(super) struct OtherMethodRow {
    pub zone: String,
    pub method: &'static str,
}

#[derive(Serialize)]
pub(super) struct LabelMet {
    pub entry: u64,
    pub at: String,
    pub by: String,
}

/// One record a spray, newest first.
pub(super) fn of_room(view: &View<'_>, plan: &RoomPlan) -> Vec<RecordRow> {
    let own: Vec<&Entry> =
        view.entries.iter().filter(|entry| view.board.rooms_of(&entry.place).contains(&plan.code)).collect();
    let is_here = |entry: &&&Entry| entry.place.first_room() == Some(plan.code);
    own.iter().rev().filter(is_here).filter_map(|spray| record(view, plan.code, spray, &own)).collect()
}

fn record(view: &View<'_>, room: Code, spray: &Entry, own: &[&Entry]) -> Option<RecordRow> {
    let Body::Sprayed { product, .. } = &spray.body else { return None };
    let board = view.board;
    let met = last_dry_check(view, room, spray.number, own);
    let met = met.and_then(|number| view.entries.iter().find(|entry| entry.number == number));
    let (person, product) = (board.person_of_day(spray.done_by, spray), board.product_of_day(*product, spray));
    let record = RecordView::read(
        spray,
        own.iter().copied().filter(|it| board.tells_of_spray(it)),
        met,
        board.facility(),
        person,
        product,
    )?;
    let rule = RecordRule::of(board.policy());
    let missing = record.missing_fields(rule);
    let late = record.late();
    let text = record.text;
    Some(RecordRow {
        spray: record.spray.0,
        voided: record.voided,
        rule: board.policy().word(Setting::RecordRule).to_owned(),
        keeping: rule.keeping(),
        complete: (rule != RecordRule::None).then_some(missing.is_empty()),
        missing: missing.into_iter().filter_map(|field| missing_field(field, rule)).collect(),
        location: record.location,
        noted: rfc3339(record.noted),
        noted_by: record.noted_by.to_string(),
        noted_minutes_late: late.map(|it| it.num_minutes()),
        done_by: record.done_by.to_string(),
        patient_inside: record.patient_inside.word(),
        started: rfc3339(record.started),
        finished: record.finished.map(rfc3339),
        purpose: record.purpose.word(),
        product: record.product,
        registration: given(record.registration),
        active_ingredient: given(text.active_ingredient),
        percent: given(text.percent),
        zones: record.zones.map(|zones| zones.iter().map(|zone| zone.to_string()).collect()),
        other_methods: record
            .otherwise
            .iter()
            .map(|(zone, method)| OtherMethodRow { zone: zone.to_string(), method: method.word() })
            .collect(),
        amount_ml: record.amount_ml,
        strokes: text.strokes.map(|it| it.count),
        ml_per_stroke: text.strokes.map(Strokes::ml_each),
        rate: given(text.rate),
        area: given(text.area_treated),
        target_pest: given(text.target_pest),
        for_whom: given(text.for_whom),
        applicator: given(text.applicator),
        certificate: given(text.certificate),
        supervisor: given(text.supervisor),
        label_words: given(record.reentry_words),
        label_minutes: record.reentry_minutes,
        label_met: record.reentry_met.map(|(at, by, number)| LabelMet {
            entry: number.0,
            at: rfc3339(at),
            by: by.to_string(),
        }),
        celsius: text.decicelsius.map(|tenths| f64::from(tenths) / 10.0),
        humidity_percent: text.humidity_percent,
        ventilation: text.ventilation.map(Ventilation::word),
        window: text.window.map(Window::word),
        outdoor_celsius: text.outdoor_decicelsius.map(|tenths| f64::from(tenths) / 10.0),
        outdoor_humidity_percent: text.outdoor_humidity_percent,
        neighbours_checked: given(text.neighbours_checked),
        notice_until: given(text.notice_until),
        disposal: given(text.disposal),
        follow_up_due: given(text.follow_up_due),
        slip: given(text.slip),
    })
}

fn missing_field(field: FieldName, rule: RecordRule) -> Option<MissingField> {
    let asked_by = field.paragraph(rule)?;
    Some(MissingField { field: field.word(), title: field.title(), asked_by })
}

/// The last dry check of a spray, once every zone that it made wet was found dry.
fn last_dry_check(view: &View<'_>, room: Code, spray: Number, own: &[&Entry]) -> Option<Number> {
    let known = view.board.room(room)?;
    if let Some(closer) = known.closers().iter().find(|closer| closer.number == spray) {
        let dry = closer.needs.iter().filter(|need| matches!(need, Need::Dry(_)));
        let checks = dry.map(|need| known.met(closer, *need).map(|(number, _)| number));
        return checks.collect::<Option<Vec<Number>>>()?.into_iter().max();
    }
    // The board keeps no needs of a spray that a return to service has settled. That return rested on the room's last
    // check before it.
    let voided: Vec<Number> = own.iter().filter_map(|entry| voided_by(entry)).collect();
    let mut last = None;
    for entry in own.iter().filter(|entry| entry.number > spray && !voided.contains(&entry.number)) {
        match &entry.body {
            Body::DryChecked { .. } => last = Some(entry.number),
            Body::ReturnedToService { .. } => return last,
            _ => {}
        }
    }
    None
}

fn voided_by(entry: &Entry) -> Option<Number> {
    match entry.body {
        Body::Voided { entry, .. } => Some(entry),
        _ => None,
    }
}

/// What nobody gave is null, never "".
fn given(text: String) -> Option<String> {
    Some(text).filter(|text| !text.trim().is_empty())
}

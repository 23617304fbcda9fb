//! A spray and what completes it, from answers; and the tags of bags, which a preparation names as well.

use super::read::Reader;
use crate::domain::board::Closer;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Number, Purpose, TreatmentRecord, Ventilation, Window};
use crate::domain::facility::RoomPlan;
use crate::domain::tag::no_tag;

pub(super) fn sprayed(reader: &mut Reader<'_>, plan: &RoomPlan) -> Option<Body> {
    let purpose = reader.word("purpose", Purpose::from_word);
    let typed = reader.code("product");
    let listed = typed.and_then(|code| reader.board.products().get(&code));
    if let (Some(code), None) = (typed, listed)
        && !code.as_str().eq_ignore_ascii_case("unlisted")
    {
        let known: Vec<String> = reader.board.products().keys().map(Code::to_string).collect();
        let message = format!(
            "“{code}” is not on the hospital's list ({}): type one of these, or `unlisted`",
            if known.is_empty() { "which is empty".to_owned() } else { known.join(", ") }
        );
        reader.complain("product", message);
    }
    let zones = sprayed_zones(reader, plan);
    let scope = reader.zones("scope", plan).unwrap_or_default();
    let finished = reader.time("finish");
    let bags = tags(reader, IfUnknown::LeaveThemOut);
    let patient_inside = reader.known("patient-inside");
    let (amount_ml, strokes) = reader.amount();
    let mut text = |name: &str| reader.text(name).unwrap_or_default();
    let on_list = |stated: String, own: Option<&String>| {
        if stated.is_empty() { own.cloned().unwrap_or_default() } else { stated }
    };
    let mut record = TreatmentRecord {
        neighbours_checked: text("neighbours-checked"),
        for_whom: text("for-whom"),
        applicator: text("applicator"),
        certificate: text("certificate"),
        supervisor: text("supervisor"),
        active_ingredient: on_list(text("active-ingredient"), listed.and_then(|it| it.active_ingredient.as_ref())),
        percent: on_list(text("percent"), listed.and_then(|it| it.percent.as_ref())),
        rate: text("rate"),
        area_treated: text("area"),
        target_pest: text("target-pest"),
        notice_until: text("notice-until"),
        disposal: text("disposal"),
        follow_up_due: text("follow-up-due"),
        slip: text("slip"),
        ..TreatmentRecord::default()
    };
    record.strokes = strokes;
    record.decicelsius = reader.celsius("celsius");
    record.humidity_percent = reader.number("humidity");
    record.ventilation = reader.word("ventilation", Ventilation::from_word);
    record.window = reader.word("window", Window::from_word);
    record.outdoor_decicelsius = reader.celsius("outdoor-celsius");
    record.outdoor_humidity_percent = reader.number("outdoor-humidity");
    Some(Body::Sprayed {
        purpose: purpose?,
        product: listed.map(|it| it.code).or(typed)?,
        reentry_words: listed.and_then(|it| it.reentry_words.clone()),
        reentry_minutes: listed.and_then(|it| it.reentry_minutes),
        zones,
        scope,
        finished,
        bags,
        patient_inside,
        amount_ml,
        record: Box::new(record),
    })
}

/// What to do while the tags are not known.
#[derive(Clone, Copy)]
pub(super) enum IfUnknown {
    LeaveThemOut,
    LeaveTheStepOut,
}

/// Tags of bags; none of them a word for not knowing.
pub(super) fn tags(reader: &mut Reader<'_>, if_unknown: IfUnknown) -> Option<Vec<Code>> {
    let bags = reader.codes("bags")?;
    match bags.iter().find_map(|tag| Some((tag, no_tag(*tag)?))) {
        Some((word, why)) => {
            let text = match if_unknown {
                IfUnknown::LeaveTheStepOut => format!(
                    "“{word}” {why}: tag every bag, and say the tag of each; until that is done leave this step out, and \
                     the room stays closed"
                ),
                IfUnknown::LeaveThemOut => format!(
                    "“{word}” {why}: say the tag of every bag; if the number is not known leave it out, and it counts as \
                     unsafe"
                ),
            };
            reader.complain("bags", text);
            None
        }
        None => Some(bags),
    }
}

/// Zones in the order sprayed. "None" would say that nothing was sprayed, and is never what a spray means.
fn sprayed_zones(reader: &mut Reader<'_>, plan: &RoomPlan) -> Option<Vec<crate::domain::facility::Zone>> {
    let zones = reader.zones("zones", plan)?;
    if zones.is_empty() && reader.errors.is_empty() {
        reader.complain(
            "zones",
            "a spray covered one zone at least; leave the zones out if they are not known".to_owned(),
        );
    }
    Some(zones)
}

pub(super) fn spray_completed(reader: &mut Reader<'_>, plan: &RoomPlan, spray: Option<Number>) -> Option<Body> {
    let supplies = ["zones", "finish", "bags", "label-words", "label-minutes", "amount-ml", "patient-inside"];
    if !supplies.iter().any(|name| reader.is_stated(name)) {
        reader.complain("zones", format!("nothing is supplied: give at least one of {}", supplies.join(", ")));
    }
    let spray = spray.map(|number| spray_of(reader, plan, number));
    let zones = sprayed_zones(reader, plan);
    let (finished, bags) = (reader.time("finish"), tags(reader, IfUnknown::LeaveThemOut));
    let (reentry_words, reentry_minutes) = (reader.text("label-words"), reader.number("label-minutes"));
    let (amount_ml, patient_inside) = (reader.number("amount-ml"), reader.known("patient-inside"));
    Some(Body::SprayCompleted {
        spray: spray?,
        zones,
        finished,
        bags,
        reentry_words,
        reentry_minutes,
        amount_ml,
        patient_inside,
    })
}

pub(super) fn spray_corrected(reader: &mut Reader<'_>, plan: &RoomPlan, seen: Number) -> Option<Body> {
    let lowers = ["finish", "label-minutes", "zones"];
    if !lowers.iter().any(|name| reader.is_stated(name)) {
        reader.complain("finish", format!("nothing is lowered: give at least one of {}", lowers.join(", ")));
    }
    let spray = reader.entry("spray").map(|number| spray_of(reader, plan, number));
    let (zones, finished) = (sprayed_zones(reader, plan), reader.time("finish"));
    let (reentry_minutes, words) = (reader.number("label-minutes"), reader.text("words"));
    Some(Body::SprayCorrected { spray: spray?, zones, finished, reentry_minutes, words: words?, seen })
}

/// An entry that completed a spray and asks for more of it stands for that spray.
fn spray_of(reader: &Reader<'_>, plan: &RoomPlan, number: Number) -> Number {
    let Some(room) = reader.board.room(plan.code) else { return number };
    let asked = room.unstated().into_iter().find(|(asking, _)| *asking == number).map(|(_, spray)| spray);
    asked.or(room.knows_closer(number).map(Closer::spray)).unwrap_or(number)
}

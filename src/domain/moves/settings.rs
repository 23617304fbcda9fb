//! Builds the settings. What is not answered stays as it is; `none` takes an optional answer away.

use super::read::Reader;
use super::{Answers, FieldError, Move, Towards, places, prefill, read_time};
use crate::domain::board::{Board, CLOCK_TOLERANCE};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Place, Time, WhichClock};
use crate::domain::facility::{Bed, Neighbour, Side, ZoneGroup, ZonePlan, ZoneTreatment};
use crate::domain::people::{Person, Product, Role};
use crate::domain::policy::Setting;

pub(super) fn build(
    mv: &'static Move,
    target: &str,
    answers: &Answers,
    board: &Board,
    now: Time,
    errors: &mut Vec<FieldError>,
) -> Option<(Place, Body)> {
    // The answers are laid over what stands already, then read as if all of it had been typed.
    errors.clear();
    let code = Code::new(target);
    let mut laid = code.as_ref().map(|code| prefill::settings(mv, *code, board)).unwrap_or_default();
    // A policy item is one value: noting it without one is a slip, not "as it is".
    if mv.verb == "set-policy" {
        laid = Answers::new();
    }
    for name in answers.names() {
        laid.set(name, answers.all(name).iter().map(String::as_str));
    }
    let mut reader = Reader::new(mv, &laid, board, now);
    let code = if mv.on.word().is_none() {
        None
    } else {
        code.map_err(|error| reader.complain("target", error.to_string())).ok()
    };
    let built = read(&mut reader, mv, code);
    errors.append(&mut reader.errors);
    built
}

fn read(reader: &mut Reader<'_>, mv: &Move, code: Option<Code>) -> Option<(Place, Body)> {
    let body = match mv.verb {
        "set-hospital" => Body::HospitalSet { name: reader.text("name")? },
        "set-ward" => {
            let (name, floor) = (reader.text("name"), reader.whole("floor"));
            return Some((Place::Ward(code?), Body::WardSet { name: name?, floor: floor? }));
        }
        "set-room" => {
            let body = room(reader)?;
            let Body::RoomSet { serves, .. } = &body else { return None };
            return Some((Place::of_room_setting(code?, serves), body));
        }
        "set-zones" => Body::ZonesSet { kind: code?, zones: zone_plans(reader)? },
        "set-person" => Body::PersonSet(Box::new(person(reader, code?)?)),
        "set-product" => {
            let name = reader.text("name");
            let allowed_on = reader.codes("allowed-on").unwrap_or_default();
            let allowed_on = on_the_list(reader, allowed_on);
            let product = Product {
                code: code?,
                name: name?,
                registration: reader.text_or_none("registration"),
                active_ingredient: reader.text_or_none("active-ingredient"),
                percent: reader.text_or_none("percent"),
                reentry_words: reader.text_or_none("label-words"),
                reentry_minutes: reader.text_or_none("label-minutes").and_then(|_| reader.number("label-minutes")),
                allowed_on,
                withdrawn: reader.yes_no("withdrawn").unwrap_or(false),
            };
            Body::ProductSet(Box::new(product))
        }
        "set-policy" => policy(reader, code?)?,
        "clock" => clock(reader)?,
        _ => return None,
    };
    Some((Place::Hospital, body))
}

/// A bare HH:MM is the next after what was noted where this clock was wrong, else the nearest by this clock.
fn clock(reader: &mut Reader<'_>) -> Option<Body> {
    let (wrong, wall) = (reader.word("wrong", WhichClock::from_word), reader.text("wall"));
    let other = reader.text("other").unwrap_or_default();
    let (zone, now) = (reader.board.facility().time_zone, reader.now);
    let latest = reader.board.latest_noted().map_or(now, |(at, _)| at);
    let (wrong, wall) = (wrong?, wall?);
    let read = match wrong {
        WhichClock::This => read_time(&wall, zone, latest - CLOCK_TOLERANCE, Towards::Future),
        WhichClock::Other => {
            read_time(&wall, zone, now, Towards::Past).or_else(|_| read_time(&wall, zone, now, Towards::Future))
        }
    };
    let wall = read.map_err(|why| reader.complain("wall", why)).ok()?;
    Some(Body::ClockSaid { wall, wrong, other, shown: None })
}

/// Words that name no zone would allow nothing, and each spray of it would be an exception for ever.
fn on_the_list(reader: &mut Reader<'_>, parts: Vec<Code>) -> Vec<Code> {
    let plans: Vec<&ZonePlan> = reader.board.facility().zone_sets.values().flatten().collect();
    let mut list: Vec<&str> =
        plans.iter().filter(|it| it.treatment == ZoneTreatment::Spray).map(|it| it.part.as_str()).collect();
    list.sort_unstable();
    list.dedup();
    let unknown = parts.iter().find(|part| plans.iter().all(|it| it.part != **part));
    let sprays = |part: &Code| plans.iter().any(|it| it.part == *part && it.treatment == ZoneTreatment::Spray);
    let text = match unknown {
        Some(word) => {
            format!("“{word}” is no zone of any room here: type some of {}, or `none` for not stated", list.join(", "))
        }
        None if !parts.is_empty() && !parts.iter().any(sprays) => format!(
            "nothing of that is ever sprayed here, so the product would be allowed nowhere: type some of {}, or `none` for not \
             stated",
            list.join(", ")
        ),
        None => return parts,
    };
    reader.complain("allowed-on", text);
    parts
}

fn policy(reader: &mut Reader<'_>, key: Code) -> Option<Body> {
    let text = reader.text("value")?;
    let Some(setting) = Setting::from_key(key.as_str()) else {
        let error = crate::domain::policy::PolicyError::UnknownKey(key.to_string());
        reader.complain("target", error.to_string());
        return None;
    };
    let item = setting.item();
    let value = item.read(&text).map_err(|error| reader.complain("value", error.to_string())).ok()?;
    if !(item.least..=item.most).contains(&value) {
        reader.complain("value", format!("{value} is outside the bounds: {}", item.wanted()));
        return None;
    }
    Some(Body::PolicySet { key: item.key.to_owned(), value })
}

/// The PIN's hash is kept as it stands: this form never shows nor takes it.
fn person(reader: &mut Reader<'_>, initials: Code) -> Option<Person> {
    let (name, role) = (reader.text("name"), reader.word("role", Role::from_word));
    let from = reader.text_or_none("acting-lead-from").and_then(|_| reader.time("acting-lead-from"));
    let until = reader.text_or_none("acting-lead-until").and_then(|_| reader.time("acting-lead-until"));
    let acting_lead = match (from, until) {
        (Some(from), Some(until)) if from <= until => Some((from, until)),
        (None, None) => None,
        (Some(_), Some(_)) => {
            reader.complain("acting-lead-until", "ends before it begins".to_owned());
            None
        }
        _ => {
            reader.complain("acting-lead-until", "an acting lead has a beginning and an end: give both".to_owned());
            None
        }
    };
    let known = reader.board.people().get(&initials);
    let is_other = |old: &&Person, name: &str| !old.name.trim().eq_ignore_ascii_case(name.trim());
    let is_same = reader.yes_no("same-person").unwrap_or(false);
    if let (Some(old), false) = (known.filter(|old| name.as_deref().is_some_and(|name| is_other(old, name))), is_same)
        && reader.board.has_entries(old.initials)
    {
        // What stands under these initials would read as somebody else's.
        let text = format!(
            "entries stand under {}, by {}: give somebody else other initials; if it is the same person under a new name, say so \
             (same-person yes)",
            old.initials, old.name
        );
        reader.complain("name", text);
    }
    Some(Person {
        initials: known.map_or(initials, |person| person.initials),
        name: name?,
        role: role?,
        trained_to_inspect: reader.yes_no("trained-to-inspect").unwrap_or(false),
        trained_to_apply: reader.yes_no("trained-to-apply").unwrap_or(false),
        certificate: reader.text_or_none("certificate"),
        acting_lead,
        pin_hash: known.and_then(|person| person.pin_hash.clone()),
        left: reader.yes_no("left").unwrap_or(false),
    })
}

fn room(reader: &mut Reader<'_>) -> Option<Body> {
    let facility = reader.board.facility();
    let (name, ward, kind, order) = (
        reader.text_or_none("name").unwrap_or_default(),
        reader.ward("ward"),
        reader.code("kind"),
        reader.number("order"),
    );
    if let Some(kind) = kind.filter(|kind| !facility.zone_sets.contains_key(kind)) {
        let known: Vec<&str> = facility.zone_sets.keys().map(Code::as_str).collect();
        reader.complain("kind", format!("there is no zone set “{kind}”; there are {}", known.join(", ")));
    }
    let beds = reader.several("beds", read_bed).unwrap_or_default();
    let neighbours = reader
        .several("neighbours", |text| {
            let read = text.split_once('=').and_then(|(side, room)| {
                let side = Side::ALL.into_iter().find(|it| it.word().eq_ignore_ascii_case(side.trim()))?;
                Some((side, room))
            });
            let (side, room) =
                read.ok_or("type left=ROOM, right=ROOM, opposite=ROOM, above=ROOM or below=ROOM".to_owned())?;
            Ok(Neighbour { side, room: places::room(facility, room)?.code })
        })
        .unwrap_or_default();
    let serves = reader.rooms("serves", None).unwrap_or_default();
    let floor_dm2 = reader.floor("floor-area");
    let body = Body::RoomSet { name, ward: ward?, kind: kind?, order: order?, beds, neighbours, serves, floor_dm2 };
    Some(body)
}

fn read_bed(text: &str) -> Result<Bed, String> {
    let (code, tags) = text.split_once(':').unwrap_or((text, ""));
    let code = Code::new(code).map_err(|error| error.to_string())?;
    let features = tags.split(';').map(str::trim).filter(|tag| !tag.is_empty()).map(str::to_owned).collect();
    Ok(Bed { code, features })
}

pub(super) fn show_bed(bed: &Bed) -> String {
    if bed.features.is_empty() { bed.code.to_string() } else { format!("{}:{}", bed.code, bed.features.join(";")) }
}

fn zone_plans(reader: &mut Reader<'_>) -> Option<Vec<ZonePlan>> {
    let plans = reader.several("zones", read_zone_plan)?;
    let doubled = plans.iter().enumerate().find(|(at, plan)| plans.iter().take(*at).any(|it| it.part == plan.part));
    if let Some((_, plan)) = doubled {
        reader.complain("zones", format!("{} is there twice", plan.part));
    }
    if plans.is_empty() && reader.errors.is_empty() {
        reader.complain("zones", "a room has one zone at least".to_owned());
    }
    Some(plans)
}

const TAGS: [&str; 6] = ["per-bed", "soft-seat", "mattress", "daily", "hiding-place", "critical"];
const GROUPS: [(&str, ZoneGroup); 4] = [
    ("bed", ZoneGroup::Bed),
    ("seating", ZoneGroup::Seating),
    ("storage", ZoneGroup::Storage),
    ("room-edges", ZoneGroup::RoomEdges),
];
const TREATMENTS: [(&str, ZoneTreatment); 3] = [
    ("spray", ZoneTreatment::Spray),
    ("other-method", ZoneTreatment::OtherMethod),
    ("inspect-only", ZoneTreatment::InspectOnly),
];

fn read_zone_plan(text: &str) -> Result<ZonePlan, String> {
    let parts: Vec<&str> = text.splitn(6, ';').map(str::trim).collect();
    let [part, name, group, treatment, rest @ ..] = parts.as_slice() else {
        return Err("type PART;name;GROUP;TREATMENT;tags;caution".to_owned());
    };
    let part = Code::new(part).map_err(|error| error.to_string())?;
    let known = GROUPS.iter().find(|(word, _)| word.eq_ignore_ascii_case(group));
    let group = known.ok_or_else(|| format!("{part}: the group is bed, seating, storage or room-edges"))?.1;
    let known = TREATMENTS.iter().find(|(word, _)| word.eq_ignore_ascii_case(treatment));
    let treatment = known.ok_or_else(|| format!("{part}: the treatment is spray, other-method or inspect-only"))?.1;
    let tags: Vec<&str> = rest.first().unwrap_or(&"").split('+').map(str::trim).filter(|tag| !tag.is_empty()).collect();
    if tags.iter().any(|tag| !TAGS.iter().any(|known| known.eq_ignore_ascii_case(tag))) {
        return Err(format!("{part}: tags are {}, with + between them", TAGS.join(", ")));
    }
    let has = |tag: &str| tags.iter().any(|it| it.eq_ignore_ascii_case(tag));
    Ok(ZonePlan {
        part,
        name: (*name).to_owned(),
        group,
        per_bed: has("per-bed"),
        treatment,
        soft_seat: has("soft-seat"),
        mattress: has("mattress"),
        daily: has("daily"),
        hiding_place: has("hiding-place"),
        critical: has("critical"),
        caution: rest.get(1).copied().unwrap_or("").to_owned(),
    })
}

pub(super) fn show_zone_plan(plan: &ZonePlan) -> String {
    let word_of_group = GROUPS.iter().find(|(_, group)| *group == plan.group).map_or("", |(word, _)| word);
    let word_of_treatment = TREATMENTS.iter().find(|(_, it)| *it == plan.treatment).map_or("", |(word, _)| word);
    let has = [plan.per_bed, plan.soft_seat, plan.mattress, plan.daily, plan.hiding_place, plan.critical];
    let tags: Vec<&str> = TAGS.iter().zip(has).filter(|(_, has)| *has).map(|(tag, _)| *tag).collect();
    // A semicolon divides the fields; within a name it would not read back.
    let name = plan.name.replace(';', ",");
    [plan.part.as_str(), &name, word_of_group, word_of_treatment, &tags.join("+"), &plan.caution].join(";")
}

//! A small invented hospital as setting entries: two wards, five patient rooms, one bathroom between two of them,
//! people of every role, a product with a label minimum and one without any words on file.

use chrono::{TimeDelta, TimeZone, Utc};

use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, CommandId, Entry, Number, Place, Time};
use dryhold::domain::facility::{Bed, Neighbour, Side, ZoneGroup, ZonePlan, ZoneTreatment};
use dryhold::domain::people::{Person, Product, Role};

pub(super) const BEDS: [&str; 7] = ["101-A", "101-B", "102-A", "103-A", "201-A", "201-B", "202-A"];
pub(super) const ROOMS: [&str; 6] = ["101", "102", "103", "201", "202", "BATH"];
pub(super) const WARDS: [&str; 2] = ["W1", "W2"];
/// A lead, an acting lead for the first two days, infection prevention, a charge nurse, housekeepers (the second is
/// trained to inspect), laundry, a technician, a reader, and a lead who has left.
pub(super) const PEOPLE: [&str; 10] = ["LD", "AL", "IP", "CN", "HK", "HT", "LA", "TE", "RD", "XL"];
/// Its label gives words and 120 minutes.
pub(super) const PRODUCT_120: &str = "SPRAY-A";
/// No label words are on file.
pub(super) const PRODUCT_SILENT: &str = "SPRAY-B";

pub(super) fn code(text: &str) -> Code {
    Code::new(text).expect("a code of the test hospital")
}

/// The first moment of every history: the ledger is made.
pub(super) fn start() -> Time {
    Utc.with_ymd_and_hms(2026, 3, 2, 6, 0, 0).single().expect("a time that exists")
}

pub(super) fn minutes(count: i64) -> TimeDelta {
    TimeDelta::minutes(count)
}

/// An entry as the program itself would write it: happened when it was noted, done by who notes it.
pub(super) fn entry(number: u64, noted: Time, by: &str, place: Place, body: Body) -> Entry {
    Entry {
        number: Number(number),
        noted,
        happened: noted,
        done_by: code(by),
        noted_by: code(by),
        terminal: "test".to_owned(),
        command: CommandId(number),
        place,
        body,
    }
}

/// The ward in which a room lies.
pub(super) fn ward_of(room: &str) -> &'static str {
    if room.starts_with('2') { "W2" } else { "W1" }
}

/// The settings alone: every bed is closed until its ward was walked.
pub(super) fn settings() -> Vec<Entry> {
    let mut bodies: Vec<(Place, Body)> =
        vec![(Place::Hospital, Body::HospitalSet { name: "Invented Hospital".into() })];
    bodies.extend(people().into_iter().map(|person| (Place::Hospital, Body::PersonSet(Box::new(person)))));
    bodies.extend(products().into_iter().map(|product| (Place::Hospital, Body::ProductSet(Box::new(product)))));
    for (kind, zones) in [("patient-room", patient_room()), ("bathroom", bathroom())] {
        bodies.push((Place::Hospital, Body::ZonesSet { kind: code(kind), zones }));
    }
    for (at, ward) in WARDS.into_iter().enumerate() {
        let name = format!("Ward {}", at + 1);
        bodies.push((Place::Ward(code(ward)), Body::WardSet { name, floor: at as i16 + 1 }));
    }
    for (at, room) in ROOMS.into_iter().enumerate() {
        let body = room_set(room, at as u32 + 1);
        let Body::RoomSet { serves, .. } = &body else { continue };
        bodies.push((Place::of_room_setting(code(room), serves), body));
    }
    let numbered = bodies.into_iter().enumerate();
    numbered.map(|(at, (place, body))| entry(at as u64 + 1, start(), "LD", place, body)).collect()
}

/// The hospital at work: both wards walked, and every bed noted as empty by the charge nurse, 30 minutes after the start.
pub(super) fn opened() -> Vec<Entry> {
    let mut entries = settings();
    for ward in WARDS {
        let number = entries.len() as u64 + 1;
        let body = Body::WardWalked { words: None, wet: None, seen: Number(number - 1) };
        entries.push(entry(number, start() + minutes(20), "LD", Place::Ward(code(ward)), body));
    }
    for ward in WARDS {
        let number = entries.len() as u64 + 1;
        let empty = BEDS.into_iter().filter(|bed| ward_of(bed) == ward).map(code).collect();
        let body = Body::OccupancyConfirmed { occupied: vec![], empty, gone: vec![] };
        entries.push(entry(number, start() + minutes(30), "CN", Place::Ward(code(ward)), body));
    }
    entries
}

fn room_set(room: &str, order: u32) -> Body {
    let beds = BEDS.into_iter().filter(|bed| bed.split('-').next() == Some(room));
    let beds = beds.map(|bed| Bed { code: code(bed), features: vec![] }).collect();
    let neighbours: &[(Side, &str)] = match room {
        "101" => &[(Side::Right, "102"), (Side::Above, "201")],
        "102" => &[(Side::Left, "101"), (Side::Right, "103"), (Side::Above, "202")],
        "103" => &[(Side::Left, "102")],
        "201" => &[(Side::Right, "202"), (Side::Below, "101")],
        "202" => &[(Side::Left, "201"), (Side::Below, "102")],
        _ => &[],
    };
    Body::RoomSet {
        name: format!("Room {room}"),
        ward: code(ward_of(room)),
        kind: code(if room == "BATH" { "bathroom" } else { "patient-room" }),
        order,
        beds,
        neighbours: neighbours.iter().map(|(side, room)| Neighbour { side: *side, room: code(room) }).collect(),
        serves: if room == "BATH" { vec![code("101"), code("102")] } else { vec![] },
        floor_dm2: None,
    }
}

fn people() -> Vec<Person> {
    let person = |initials: &str, role| Person {
        initials: code(initials),
        name: format!("Invented {initials}"),
        role,
        trained_to_inspect: false,
        trained_to_apply: false,
        certificate: None,
        acting_lead: None,
        pin_hash: None,
        left: false,
    };
    vec![
        Person { trained_to_inspect: true, ..person("LD", Role::Lead) },
        Person {
            acting_lead: Some((start(), start() + TimeDelta::days(2))),
            trained_to_inspect: true,
            ..person("AL", Role::Housekeeper)
        },
        Person { trained_to_inspect: true, ..person("IP", Role::InfectionPrevention) },
        person("CN", Role::ChargeNurse),
        person("HK", Role::Housekeeper),
        Person { trained_to_inspect: true, ..person("HT", Role::Housekeeper) },
        person("LA", Role::Laundry),
        Person {
            trained_to_inspect: true,
            trained_to_apply: true,
            certificate: Some("CERT-1".into()),
            ..person("TE", Role::Technician)
        },
        person("RD", Role::Reader),
        Person { left: true, ..person("XL", Role::Lead) },
    ]
}

fn products() -> Vec<Product> {
    let product = |name: &str, words: Option<&str>, minutes| Product {
        code: code(name),
        name: format!("Invented {name}"),
        registration: Some("TEST-0001".into()),
        active_ingredient: None,
        percent: None,
        reentry_words: words.map(str::to_owned),
        reentry_minutes: minutes,
        allowed_on: vec![],
        withdrawn: false,
    };
    vec![
        product(PRODUCT_120, Some("Keep out until dry, at least 120 minutes."), Some(120)),
        product(PRODUCT_SILENT, None, None),
    ]
}

fn plan(part: &str, group: ZoneGroup, treatment: ZoneTreatment) -> ZonePlan {
    ZonePlan {
        part: code(part),
        name: part.to_owned(),
        group,
        per_bed: false,
        treatment,
        soft_seat: false,
        mattress: false,
        daily: false,
        hiding_place: false,
        critical: false,
        caution: String::new(),
    }
}

fn patient_room() -> Vec<ZonePlan> {
    let mattress = plan("mattress", ZoneGroup::Bed, ZoneTreatment::Spray);
    let chair = plan("chair", ZoneGroup::Seating, ZoneTreatment::Spray);
    let motor = plan("bed-motor", ZoneGroup::Bed, ZoneTreatment::OtherMethod);
    vec![
        ZonePlan { per_bed: true, mattress: true, daily: true, hiding_place: true, critical: true, ..mattress },
        ZonePlan { hiding_place: true, ..motor },
        ZonePlan { soft_seat: true, daily: true, hiding_place: true, ..chair },
        plan("skirting", ZoneGroup::RoomEdges, ZoneTreatment::Spray),
        plan("lamp", ZoneGroup::RoomEdges, ZoneTreatment::InspectOnly),
    ]
}

fn bathroom() -> Vec<ZonePlan> {
    let edge = plan("floor-edge", ZoneGroup::RoomEdges, ZoneTreatment::Spray);
    vec![ZonePlan { hiding_place: true, ..edge }, plan("cabinet", ZoneGroup::Storage, ZoneTreatment::Spray)]
}

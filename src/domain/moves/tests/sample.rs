//! A small hospital to try moves on: ward 4N with 4N-12 (two beds) and 4N-13 (one), made of entries as any other is.

use chrono::{TimeDelta, TimeZone, Utc};

use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Body, CommandId, Entry, Number, Place, PrepStep, Time};
use crate::domain::facility::{Bed, ZoneGroup, ZonePlan, ZoneTreatment};
use crate::domain::people::{Person, Product, Role};

pub(crate) fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

/// 10:30 in the hospital's zone.
pub(crate) fn now() -> Time {
    Utc.with_ymd_and_hms(2026, 6, 10, 8, 30, 0).unwrap()
}

/// An entry by the lead, an hour before now.
pub(crate) fn entry(number: u64, place: Place, body: Body) -> Entry {
    let noted = now() - TimeDelta::hours(1);
    Entry {
        number: Number(number),
        noted,
        happened: noted,
        done_by: code("LD"),
        noted_by: code("LD"),
        terminal: "desk".to_owned(),
        command: CommandId(number),
        place,
        body,
    }
}

fn plan(part: &str, per_bed: bool) -> ZonePlan {
    ZonePlan {
        part: code(part),
        name: part.to_owned(),
        group: ZoneGroup::Bed,
        per_bed,
        treatment: ZoneTreatment::Spray,
        soft_seat: part == "chair",
        mattress: part == "mattress",
        daily: true,
        hiding_place: true,
        critical: false,
        caution: String::new(),
    }
}

fn room(name: &str, order: u32, beds: &[&str]) -> (Place, Body) {
    let beds = beds.iter().map(|bed| Bed { code: code(bed), features: vec![] }).collect();
    let body = Body::RoomSet {
        name: name.to_owned(),
        ward: code("4N"),
        kind: code("patient-room"),
        order,
        beds,
        neighbours: vec![],
        serves: vec![],
        floor_dm2: None,
    };
    (Place::room(code(name)), body)
}

pub(crate) fn entries() -> Vec<Entry> {
    let lead = Person {
        initials: code("LD"),
        name: "Lead".to_owned(),
        role: Role::Lead,
        trained_to_inspect: true,
        trained_to_apply: false,
        certificate: Some("C-1".to_owned()),
        acting_lead: None,
        pin_hash: Some("$hash".to_owned()),
        left: false,
    };
    let product = Product {
        code: code("RSA"),
        name: "Residual spray A".to_owned(),
        registration: Some("DEMO-0001".to_owned()),
        active_ingredient: Some("substance".to_owned()),
        percent: Some("0.5 %".to_owned()),
        reentry_words: Some("Do not enter until dry".to_owned()),
        reentry_minutes: Some(120),
        allowed_on: vec![],
        withdrawn: false,
    };
    let zones = vec![plan("mattress", true), plan("headboard", true), plan("chair", false)];
    let bodies = vec![
        (Place::Hospital, Body::PersonSet(Box::new(lead))),
        (Place::Hospital, Body::HospitalSet { name: "Sample".to_owned() }),
        (Place::Hospital, Body::ZonesSet { kind: code("patient-room"), zones }),
        (Place::Ward(code("4N")), Body::WardSet { name: "Four north".to_owned(), floor: 4 }),
        room("4N-12", 1, &["4N-12-A", "4N-12-B"]),
        room("4N-13", 2, &["4N-13"]),
        (Place::Hospital, Body::ProductSet(Box::new(product))),
        (
            Place::room(code("4N-12")),
            Body::Prepared { steps: vec![PrepStep::LinensBagged], bags: vec![code("B1")], note: String::new() },
        ),
    ];
    bodies.into_iter().enumerate().map(|(at, (place, body))| entry(at as u64 + 1, place, body)).collect()
}

/// The board of [`entries`], in Paris.
pub(crate) fn board() -> Board {
    let mut board = Board::new().in_zone(chrono_tz::Europe::Paris);
    board.extend(&entries());
    board
}

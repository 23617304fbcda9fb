//! A large invented hospital whose rooms are found, prepared, sprayed, dried, laundered, made and returned, again and again.

use chrono::{TimeDelta, TimeZone, Utc};
use dryhold::domain::code::Code;
use dryhold::domain::entry::{
    Body, CommandId, Cycle, Entry, Feel, Known, LinenSource, Number, Place, Purpose, Sighting, Sign, Time,
    TreatmentRecord,
};
use dryhold::domain::facility::{Bed, Zone, ZoneGroup, ZonePlan, ZoneTreatment};
use dryhold::domain::people::{Person, Role};

/// Entries of one room's cycle.
pub(crate) const CYCLE: usize = 8;

pub(crate) fn beginning() -> Time {
    Utc.with_ymd_and_hms(2026, 3, 2, 6, 0, 0).unwrap()
}

fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

/// How many entries set up so many rooms and walk their ward.
pub(crate) fn settings(rooms: usize) -> usize {
    rooms + 5
}

struct Book {
    entries: Vec<Entry>,
    now: Time,
}

impl Book {
    fn note(&mut self, place: Place, body: Body) {
        let number = self.entries.len() as u64 + 1;
        self.entries.push(Entry {
            number: Number(number),
            noted: self.now,
            happened: self.now,
            done_by: code("LEAD"),
            noted_by: code("LEAD"),
            terminal: "bench".to_owned(),
            command: CommandId(number),
            place,
            body,
        });
    }

    /// A step of all rooms at the same time of day: what happens in a hospital is spread over its rooms.
    fn step(&mut self, rooms: &[Code], most: usize, body: impl Fn(Code, Number) -> Body) {
        for room in rooms {
            if self.entries.len() < most {
                let seen = Number(self.entries.len() as u64);
                self.note(Place::room(*room), body(*room, seen));
            }
        }
        self.now += TimeDelta::hours(3);
    }
}

pub(crate) fn entries(rooms: usize, most: usize) -> Vec<Entry> {
    let mut book = Book { entries: Vec::with_capacity(most), now: beginning() };
    let codes: Vec<Code> = (0..rooms).map(|at| code(&format!("R{at}"))).collect();
    set_up(&mut book, &codes);
    while book.entries.len() < most {
        cycle(&mut book, &codes, most);
    }
    book.entries
}

fn set_up(book: &mut Book, rooms: &[Code]) {
    book.note(Place::Hospital, Body::HospitalSet { name: "Invented hospital".to_owned() });
    let zones = ["mattress", "frame", "chair"].map(plan).to_vec();
    book.note(Place::Hospital, Body::ZonesSet { kind: code("patient-room"), zones });
    book.note(Place::Ward(code("W1")), Body::WardSet { name: "Ward 1".to_owned(), floor: 1 });
    let lead = Person {
        initials: code("LEAD"),
        name: "Person LEAD".to_owned(),
        role: Role::Lead,
        trained_to_inspect: true,
        trained_to_apply: true,
        certificate: None,
        acting_lead: None,
        pin_hash: None,
        left: false,
    };
    book.note(Place::Hospital, Body::PersonSet(Box::new(lead)));
    for (order, room) in rooms.iter().enumerate() {
        let body = Body::RoomSet {
            name: format!("Room {room}"),
            ward: code("W1"),
            kind: code("patient-room"),
            order: order as u32,
            beds: vec![Bed { code: *room, features: vec![] }],
            neighbours: vec![],
            serves: vec![],
            floor_dm2: None,
        };
        book.note(Place::room(*room), body);
    }
    let seen = Number(book.entries.len() as u64);
    book.note(Place::Ward(code("W1")), Body::WardWalked { words: None, wet: None, seen });
}

fn plan(part: &str) -> ZonePlan {
    ZonePlan {
        part: code(part),
        name: part.to_owned(),
        group: ZoneGroup::Seating,
        per_bed: false,
        treatment: ZoneTreatment::Spray,
        soft_seat: part == "chair",
        mattress: false,
        daily: false,
        hiding_place: true,
        critical: false,
        caution: String::new(),
    }
}

fn zones() -> Vec<Zone> {
    ["mattress", "frame", "chair"].map(|part| Zone { bed: None, part: code(part) }).to_vec()
}

fn cycle(book: &mut Book, rooms: &[Code], most: usize) {
    book.step(rooms, most, |_, _| {
        let seen = vec![Sighting { sign: Sign::LiveAdult, zone: None }];
        Body::Finding { seen, wiped_before: Known::Unknown, note: String::new() }
    });
    book.step(rooms, most, |room, _| Body::Prepared { steps: vec![], bags: vec![room], note: String::new() });
    let finished = book.now;
    book.step(rooms, most, |room, _| Body::Sprayed {
        purpose: Purpose::Infested,
        product: code("RSA"),
        reentry_words: Some("Keep out until spray has dried.".to_owned()),
        reentry_minutes: Some(120),
        zones: Some(zones()),
        scope: vec![],
        finished: Some(finished),
        bags: Some(vec![room]),
        patient_inside: Known::No,
        amount_ml: Some(800),
        record: Box::new(TreatmentRecord::default()),
    });
    let began = book.now - TimeDelta::minutes(1);
    book.step(rooms, most, |_, _| Body::DryChecked {
        began,
        zones: zones().into_iter().map(|zone| (zone, Feel::Dry)).collect(),
        ventilation: "on".to_owned(),
        changed: None,
    });
    book.step(rooms, most, |_, _| Body::Vacuumed { zones: zones() });
    book.step(rooms, most, |room, _| {
        let cycle =
            Cycle { wash_decicelsius: Some(720), wash_minutes: Some(30), detergent: Known::Yes, ..Cycle::default() };
        Body::Laundered { bag: room, cycle, slip: String::new() }
    });
    book.step(rooms, most, |room, _| Body::BedMade { bed: room, linens: LinenSource::Bags(vec![room]) });
    book.step(rooms, most, |_, seen| Body::ReturnedToService { second: None, seen });
}

pub(crate) fn first_spray(entries: &[Entry]) -> &Entry {
    entries.iter().find(|entry| matches!(entry.body, Body::Sprayed { .. })).unwrap()
}

/// A void of this entry, noted after all the others.
pub(crate) fn void(entries: &[Entry], target: &Entry) -> Entry {
    let mut void = entries.last().unwrap().clone();
    void.number = Number(void.number.0 + 1);
    void.place = target.place.clone();
    void.body = Body::Voided { entry: target.number, why: "a wrong key".to_owned(), really_in: None };
    void
}

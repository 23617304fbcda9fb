//! A large invented hospital whose rooms are found, prepared, sprayed, dried, laundered, made and returned, again and again.

use chrono::{TimeDelta, TimeZone, Utc};
use dryhold::domain::code::Code;
use dryhold::domain::entry::{
    Body, CommandId, Cycle, Depth, Entry, Feel, InspectionMethod, Known, LinenSource, Number, Place, Purpose, Sighting,
    Sign, Time, TreatmentRecord, ZoneLook,
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
    /// One in ten entries is noted late, and now and then a chair is lent to the next room and comes back.
    is_busy: bool,
}

/// Noted so much later than it happened: within the hour of a fact, and after the step before it.
const LATE: TimeDelta = TimeDelta::minutes(20);
/// Chairs lent after each cycle of all rooms.
const LENT: usize = 8;

impl Book {
    fn note(&mut self, place: Place, body: Body) {
        let number = self.entries.len() as u64 + 1;
        let may_be_late = matches!(
            body,
            Body::Finding { .. }
                | Body::Sprayed { .. }
                | Body::Vacuumed { .. }
                | Body::Laundered { .. }
                | Body::BedMade { .. }
        );
        // Sixteen of a hundred, of five of the eight steps of a cycle.
        let is_late = self.is_busy && may_be_late && number % 25 < 4;
        self.entries.push(Entry {
            number: Number(number),
            noted: self.now,
            happened: if is_late { self.now - LATE } else { self.now },
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
    told(rooms, most, false)
}

/// As [`entries`], with one in ten noted late and chairs that go from room to room.
pub(crate) fn busy_entries(rooms: usize, most: usize) -> Vec<Entry> {
    told(rooms, most, true)
}

fn told(rooms: usize, most: usize, is_busy: bool) -> Vec<Entry> {
    let mut book = Book { entries: Vec::with_capacity(most), now: beginning(), is_busy };
    let codes: Vec<Code> = (0..rooms).map(|at| code(&format!("R{at}"))).collect();
    set_up(&mut book, &codes);
    for round in 0.. {
        if book.entries.len() >= most {
            break;
        }
        cycle(&mut book, &codes, most);
        if is_busy {
            lend(&mut book, &codes, round, most);
        }
    }
    book.entries
}

/// A few rooms, other ones each time, lend their chair to the next one.
fn lend(book: &mut Book, rooms: &[Code], round: usize, most: usize) {
    for at in (0..LENT).map(|at| (round * LENT + at) * 2) {
        let pair = rooms.get(at % rooms.len()).zip(rooms.get((at + 1) % rooms.len()));
        let Some((home, next)) = pair.filter(|_| book.entries.len() + 2 <= most) else { return };
        for (from, to) in [(*home, *next), (*next, *home)] {
            let zones = if from == *home { vec![Zone { bed: None, part: code("chair") }] } else { vec![] };
            let left = Body::ThingLeft { thing: format!("CH-{home}"), zones, to: Some(to), outside: String::new() };
            book.note(Place::Rooms(vec![from, to]), left);
            book.now += TimeDelta::minutes(30);
        }
        // What came from a room that is watched is looked at, and so is its chair that came back.
        for room in [*home, *next] {
            if book.entries.len() >= most {
                return;
            }
            let looked = |zone| ZoneLook { zone, seen: vec![] };
            let seen = Number(book.entries.len() as u64);
            let inspected = Body::Inspected {
                depth: Depth::Full,
                method: InspectionMethod::Visual,
                began: book.now - TimeDelta::minutes(20),
                looks: zones().into_iter().map(looked).collect(),
                note: String::new(),
                seen,
            };
            book.note(Place::room(room), inspected);
        }
    }
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

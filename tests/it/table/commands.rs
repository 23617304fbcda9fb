//! One well-formed command of every kind, as a person would note it on the board at hand: it names the entries, bags and
//! lines that the board has, where it has any.

use chrono::TimeDelta;
use dryhold::domain::board::{Cause, Closer};
use dryhold::domain::entry::{
    BagEnd, Body, Cycle, Depth, Feel, InspectionMethod, Known, LinenSource, Lost, Number, OldPart, Place, Sighting,
    Sign, Specimen, Went, WhichClock, ZoneLook,
};
use dryhold::domain::measured::{FileHash, LoggerIn, Measured, SensorSeen};
use dryhold::science::trace::{LONGEST_STEP_SECONDS, Reading, Reserve, Seen};

use crate::rules::world::*;

pub(super) struct Named {
    pub(super) name: &'static str,
    pub(super) place: Place,
    pub(super) body: Body,
}

macro_rules! kinds {
    ($($kind:ident)+) => {
        /// Every kind of body there is.
        pub(super) const KINDS: &[&str] = &[$(stringify!($kind)),+];

        /// No arm for the rest: a new kind does not compile until it is named here, and then asks for a command.
        pub(super) fn kind(body: &Body) -> &'static str {
            match body {
                $(Body::$kind { .. } => stringify!($kind)),+
            }
        }
    };
}

kinds! {
    Finding Identified Inspected RoundLooked PatientOut PatientMoved Prepared Sprayed SprayCompleted OutOfService Occupied EnteredWet
    PatientStays ThingLeft ThingArrived ThingSeen WentBack EndLost Restored Downtime DryChecked TreatedOtherwise Laundered BagEnded Vacuumed BedMade Emptied
    OccupancyConfirmed Promised SecondChecked SecondAttested NothingApplied ReturnedToService Cleared InService Looked Attested WardWalked Amended Voided
    ClockSaid TimeTakenOut SprayCorrected WrittenOff PartReplaced
    TaskAccepted NotPossible HandedOver LedgerChosen HospitalSet ZonesSet WardSet RoomSet PersonSet ProductSet PolicySet PinSet SignedIn Reserved Unreadable
}

/// The closer of room 101 that fits best; else the room's newest entry, which any such command is then refused for.
fn closer(world: &World, wanted: impl Fn(&Closer) -> bool) -> Number {
    let room = world.board.room(code("101"));
    let found = room.and_then(|room| room.unsettled().find(|c| wanted(c)).map(|c| c.number));
    found.unwrap_or_else(|| world.seen("101"))
}

/// What a board holds that a command has to name.
struct Targets {
    finding: Number,
    spray: Number,
    closing: Number,
    void: Number,
    line: Number,
    newest: Number,
    seen: Number,
}

impl Targets {
    fn of(world: &World) -> Self {
        let room = world.board.room(code("101"));
        let void = room.and_then(|room| room.unsettled().find_map(|c| c.voided)).map(|void| void.number);
        let everywhere = world.board.everywhere().next().map(|closed| closed.number);
        let damage = |c: &Closer| matches!(c.cause, Cause::Damage { .. });
        let found = |c: &Closer| matches!(c.cause, Cause::Confirmed | Cause::Suspicion { .. });
        Self {
            finding: closer(world, found),
            spray: closer(world, |c| c.cause == Cause::Spray),
            closing: closer(world, |c| c.cause == Cause::OutOfService),
            void: void.unwrap_or_else(|| world.seen("101")),
            line: everywhere.unwrap_or_else(|| closer(world, damage)),
            newest: world.seen("101"),
            seen: world.seen("101"),
        }
    }
}

pub(super) fn all(world: &World) -> Vec<Named> {
    let parts = [closing(world), facts(world), signatures(world), settings(world)].into_iter().flatten();
    parts.map(|(name, (place, body))| Named { name, place, body }).collect()
}

fn here(body: Body) -> (Place, Body) {
    (Place::room(code("101")), body)
}

fn closing(world: &World) -> Vec<(&'static str, (Place, Body))> {
    let targets = Targets::of(world);
    let identified = |specimen| {
        let identified_by = "a specialist".to_owned();
        here(Body::Identified { finding: Some(targets.finding), specimen, identified_by, seen: targets.seen })
    };
    let looks_at = |depth, zone_names: &str, seen: &[Sign]| {
        let looks = zones(zone_names).into_iter().map(|zone| ZoneLook { zone, seen: seen.to_vec() }).collect();
        here(Body::Inspected {
            depth,
            method: InspectionMethod::Visual,
            began: world.now - TimeDelta::seconds(30),
            looks,
            note: String::new(),
            seen: targets.seen,
        })
    };
    let finding = |sign| {
        let seen = vec![Sighting { sign, zone: Some(zone("A/mattress")) }];
        here(Body::Finding { seen, wiped_before: Known::Unknown, note: String::new() })
    };
    let patient_out = Body::PatientOut {
        beds: vec![code("A")],
        washed_and_changed: Known::Yes,
        receiving: Some(code("102")),
        receiving_bed: None,
    };
    let patient_moved = Body::PatientMoved {
        beds: vec![code("A")],
        went: Went::Bed,
        receiving: Some(code("102")),
        receiving_bed: Some(code("C")),
        outside: String::new(),
        washed_and_changed: Known::Yes,
        own_bed: false,
        things: vec![],
        answers: None,
    };
    let thing = Body::ThingArrived { thing: "chair 4".to_owned(), from: Some(code("201")), wet: Known::No };
    let thing_left = Body::ThingLeft {
        thing: "chair-4".to_owned(),
        zones: zones("chair"),
        to: Some(code("201")),
        outside: String::new(),
    };
    let review = world.now + TimeDelta::hours(4);
    let supplied = Body::SprayCompleted {
        spray: targets.spray,
        zones: Some(zones(SPRAYED_101)),
        finished: Some(world.now),
        bags: Some(vec![code("BAG1")]),
        reentry_words: Some("Keep out until spray has dried.".to_owned()),
        reentry_minutes: Some(120),
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    let preventive = {
        let (place, mut body) = world.spray("101", "A/mattress", "BAG2");
        if let Body::Sprayed { patient_inside, .. } = &mut body {
            *patient_inside = Known::Yes;
        }
        (place, body)
    };
    let until = world.now - TimeDelta::minutes(5);
    let downtime = Body::Downtime { from: until - TimeDelta::minutes(90), until, sheets: "7 to 9".to_owned() };
    vec![
        ("finding-live-adult", finding(Sign::LiveAdult)),
        ("finding-bites", finding(Sign::ReportedBites)),
        ("identified-bed-bug", identified(Specimen::BedBug)),
        ("identified-something-else", identified(Specimen::SomethingElse)),
        ("inspected-clean", looks_at(Depth::Full, ALL_101, &[])),
        ("inspected-half", looks_at(Depth::Full, "A/mattress", &[])),
        ("inspected-with-eggs", looks_at(Depth::Full, ALL_101, &[Sign::Eggs])),
        ("looked-daily", looks_at(Depth::Daily, "A/mattress B/mattress", &[])),
        ("round-looked", (Place::Ward(code("W1")), Body::RoundLooked { rooms: vec![code("101"), code("102")] })),
        ("patient-out", (Place::Rooms(vec![code("101"), code("102")]), patient_out)),
        ("move-patient", (Place::Rooms(vec![code("101"), code("102")]), patient_moved)),
        ("prepared", world.prepare("101", "BAG2")),
        ("sprayed", world.spray("101", SPRAYED_101, "BAG2")),
        ("sprayed-on-a-patient", preventive),
        ("spray-completed", here(supplied)),
        ("out-of-service", here(Body::OutOfService { reason: "a broken lamp".to_owned() })),
        ("occupied", world.occupied("101", "B")),
        ("entered-wet", here(Body::EnteredWet { wiped: zones("chair"), note: String::new() })),
        ("patient-stays", here(Body::PatientStays { reason: "cannot be moved".to_owned(), review })),
        ("thing-left", (Place::Rooms(vec![code("101"), code("201")]), thing_left)),
        ("thing-arrived", (Place::Rooms(vec![code("101"), code("201")]), thing)),
        ("went-back", (Place::Hospital, Body::WentBack { had_seen: Number(900), kept: None, since: None })),
        (
            "end-lost",
            (Place::Hospital, Body::EndLost { bytes: 40, begins: "(9,".to_owned(), had_seen: Some(Number(900)) }),
        ),
        ("downtime", (Place::Ward(code("W1")), downtime)),
        ("restored", (Place::Hospital, Body::Restored { reason: "a copy".to_owned() })),
    ]
}

/// What a logger in a wash at 75 °C for forty minutes leaves in an entry.
fn hot_wash(uncertainty_decikelvin: Option<u32>) -> Box<Measured> {
    let readings: Vec<Reading> = (0..=80).map(|at| Reading { seconds: f64::from(at) * 30.0, celsius: 75.0 }).collect();
    let uncertainty = f64::from(uncertainty_decikelvin.unwrap_or_default()) / 10.0;
    let seen = Seen::of(&readings, Reserve { uncertainty, longest_step_seconds: LONGEST_STEP_SECONDS });
    Box::new(Measured {
        file: FileHash([7; 32]),
        machine: LoggerIn::Washer,
        uncertainty_decikelvin,
        longest_step_seconds: LONGEST_STEP_SECONDS as u32,
        began: None,
        seconds: 2400,
        sensors: vec![SensorSeen::of("drum", &seen)],
        read_as: String::new(),
    })
}

fn facts(world: &World) -> Vec<(&'static str, (Place, Body))> {
    let hygiene_alone =
        Cycle { wash_decicelsius: Some(300), wash_minutes: Some(30), detergent: Known::Yes, ..Cycle::default() };
    let traced = |uncertainty| {
        let cycle = Cycle { trace: Some(hot_wash(uncertainty)), detergent: Known::Yes, ..Cycle::default() };
        Body::Laundered { bag: code("BAG1"), cycle, slip: String::new() }
    };
    let end = |end| here(Body::BagEnded { bag: code("BAG1"), end });
    let made = |linens| here(Body::BedMade { bed: code("A"), linens });
    vec![
        ("dry-checked-dry", world.dry_check("101", SPRAYED_101, "")),
        ("dry-checked-damp", world.dry_check("101", "", "A/mattress")),
        ("treated-otherwise", world.treat("101", "monitor")),
        ("laundered", world.launder("101", "BAG1")),
        ("laundered-by-logger", here(traced(Some(5)))),
        ("laundered-logger-unsure", here(traced(None))),
        ("thing-seen", here(Body::ThingSeen { thing: "A/mattress".to_owned() })),
        ("laundered-too-cool", here(Body::Laundered { bag: code("BAG1"), cycle: hygiene_alone, slip: String::new() })),
        ("bag-destroyed", end(BagEnd::Destroyed { witness: code("NURSE") })),
        ("bag-inspected", end(BagEnd::Inspected)),
        ("bag-lost", end(BagEnd::Lost)),
        ("vacuumed", world.vacuum("101", "chair")),
        ("bed-made-from-stock", world.make("101", "A")),
        ("bed-made-from-bags", made(LinenSource::Bags(vec![code("BAG1")]))),
        ("emptied", here(Body::Emptied { beds: vec![code("A")] })),
        ("promised", here(Body::Promised { beds: vec![code("A")], wanted: Some(world.now + TimeDelta::hours(2)) })),
        ("occupancy-confirmed", world.empty("W1", "A B C")),
    ]
}

fn signatures(world: &World) -> Vec<(&'static str, (Place, Body))> {
    let Targets { finding, spray, closing, void, line, newest, seen } = Targets::of(world);
    let words = || "a daily look".to_owned();
    let attested = |place: Place| {
        let seen = world.board.newest_of(&place);
        (place, Body::Attested { line, through: None, words: words(), second: None, seen })
    };
    let second_attested = |place: Place| {
        let seen = world.board.newest_of(&place);
        (place, Body::SecondAttested { line, through: None, words: words(), seen })
    };
    let second_check = |dry: &str, damp: &str| {
        let felt = |text: &str, feel: Feel| zones(text).into_iter().map(move |zone| (zone, feel)).collect::<Vec<_>>();
        let zones = [felt(dry, Feel::Dry), felt(damp, Feel::Damp)].concat();
        let made = vec![code("A"), code("B")];
        here(Body::SecondChecked { zones, made, not_made: vec![], note: String::new(), seen })
    };
    let voids = |entry| world.void("101", entry);
    let replaced = |by| {
        let reason = "torn".to_owned();
        here(Body::PartReplaced { part: zone("A/mattress"), by, old: OldPart::Destroyed, reason, seen })
    };
    let lost = |what, tag| {
        let reason = "looked for everywhere".to_owned();
        here(Body::WrittenOff { what, tag: code(tag), reason, seen })
    };
    let less = |reentry_minutes, zones| {
        let words = "read off the can".to_owned();
        here(Body::SprayCorrected { spray, zones, finished: None, reentry_minutes, words, seen })
    };
    let clock = |wrong| {
        let body = Body::ClockSaid { wall: world.now, wrong, other: "test".to_owned(), shown: None };
        (Place::Hospital, body)
    };
    let by = code("HK");
    vec![
        ("nothing-applied", here(Body::NothingApplied { reason: "a false alarm".to_owned(), seen })),
        ("returned", world.give_back("101")),
        ("second-checked", second_check(SPRAYED_101, "")),
        ("second-checked-damp", second_check("", "A/mattress")),
        ("returned-unseen", here(Body::ReturnedToService { second: None, seen: Number(1) })),
        ("cleared", here(Body::Cleared { seen })),
        ("in-service", here(Body::InService { closing, seen })),
        ("looked", world.look("101", void)),
        ("attested-room", attested(Place::room(code("101")))),
        ("attested-ward", attested(Place::Ward(code("W1")))),
        ("attested-all", attested(Place::Hospital)),
        ("second-attested-ward", second_attested(Place::Ward(code("W1")))),
        ("second-attested-all", second_attested(Place::Hospital)),
        ("ward-walked", world.walk("W1")),
        ("amended", here(Body::Amended { entry: newest, field: "note".to_owned(), value: "clearer".to_owned() })),
        ("voided-finding", voids(finding)),
        ("voided-spray", voids(spray)),
        ("voided-newest", voids(newest)),
        ("clock-this", clock(WhichClock::This)),
        ("clock-other", clock(WhichClock::Other)),
        ("time-taken-out", here(Body::TimeTakenOut { entry: newest, words: words(), seen })),
        ("spray-less", less(Some(125), None)),
        ("spray-less-than-the-list", less(Some(30), None)),
        ("spray-less-zones", less(None, Some(zones("A/mattress")))),
        ("bag-written-off", lost(Lost::Bag, "BAG1")),
        ("thing-written-off", lost(Lost::Thing, "W-1")),
        ("part-replaced-new", replaced(None)),
        ("part-replaced-by-tag", replaced(Some(code("W-1")))),
        ("not-possible", here(Body::NotPossible { why: "asleep".to_owned(), again: None })),
        ("handed-over", here(Body::HandedOver { text: "see 101".to_owned() })),
        (
            "ledger-chosen",
            (Place::Hospital, Body::LedgerChosen { others: vec!["/copy.ron".to_owned()], words: "a drill".to_owned() }),
        ),
        (
            "task-accepted",
            here(Body::TaskAccepted { room: code("101"), need: "inspect".to_owned(), cause: newest, by }),
        ),
    ]
}

fn settings(world: &World) -> Vec<(&'static str, (Place, Body))> {
    let hospital = |body| (Place::Hospital, body);
    let facility = world.board.facility();
    let room = facility.room(code("101")).unwrap();
    let room_set = Body::RoomSet {
        name: "Renamed".to_owned(),
        ward: room.ward,
        kind: room.kind,
        order: room.order,
        beds: room.beds.clone(),
        neighbours: room.neighbours.clone(),
        serves: room.serves.clone(),
        floor_dm2: None,
    };
    let person = world.board.people().get(&code("HK")).unwrap().clone();
    let product = world.board.products().get(&code("RSA")).unwrap().clone();
    let zones = facility.zone_sets.get(&room.kind).unwrap().clone();
    vec![
        ("hospital-set", hospital(Body::HospitalSet { name: "Renamed hospital".to_owned() })),
        ("zones-set", hospital(Body::ZonesSet { kind: room.kind, zones })),
        ("ward-set", (Place::Ward(code("W1")), Body::WardSet { name: "Renamed".to_owned(), floor: 1 })),
        ("room-set", here(room_set)),
        ("person-set", hospital(Body::PersonSet(Box::new(person)))),
        ("product-set", hospital(Body::ProductSet(Box::new(product)))),
        ("policy-set", hospital(Body::PolicySet { key: "clear-days".to_owned(), value: 90 })),
        ("pin-set-of-hk", hospital(Body::PinSet { person: code("HK"), hash: None })),
        ("signed-in", hospital(Body::SignedIn { failed_before: 0 })),
        ("reserved", hospital(Body::Reserved { kind: "shift".to_owned(), raw: "(…)".to_owned() })),
        ("unreadable", here(Body::Unreadable { raw: "(…)".to_owned(), why: "damaged".to_owned() })),
    ]
}

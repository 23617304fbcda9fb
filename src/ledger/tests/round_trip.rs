//! Every entry that the program can hold reads back the same, and the whole file is one RON document.

use std::collections::BTreeSet;

use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::strategy::Union;
use ron::error::Error;

use super::*;
use crate::domain::airing::AirChange;
use crate::domain::entry::*;
use crate::domain::facility::*;
use crate::domain::measured::*;
use crate::domain::people::*;
use crate::domain::strokes::Strokes;
use crate::ledger::wire;

fn text() -> impl Strategy<Value = String> + Clone {
    vec(any::<char>(), 0..12).prop_map(String::from_iter)
}

fn some_code() -> impl Strategy<Value = Code> + Clone {
    "[!#-%'-+./0-9:;<>?@A-Z\\[\\]_`a-z{}-]{1,20}".prop_map(|text| Code::new(&text).unwrap())
}

/// A code without the stroke that parts a bed from its zone.
fn part() -> impl Strategy<Value = Code> + Clone {
    "[a-zA-Z0-9-]{1,20}".prop_map(|text| Code::new(&text).unwrap())
}

fn zone() -> impl Strategy<Value = Zone> + Clone {
    (of(some_code()), part()).prop_map(|(bed, part)| Zone { bed, part })
}

fn time() -> impl Strategy<Value = Time> + Clone {
    (0i64..4_000_000_000_000_000).prop_map(|micros| Time::from_timestamp_micros(micros).unwrap())
}

fn number() -> impl Strategy<Value = Number> + Clone {
    any::<u64>().prop_map(Number)
}

fn known() -> impl Strategy<Value = Known> + Clone {
    select(Known::ALL)
}

fn measured() -> impl Strategy<Value = Measured> {
    let held = (any::<i32>(), any::<u32>(), any::<u32>()).prop_map(|(decicelsius, longest_seconds, total_seconds)| {
        HeldFor { decicelsius, longest_seconds, total_seconds }
    });
    let sensor = (text(), any::<i32>(), vec(held, 0..4), any::<[u32; 3]>()).prop_map(
        |(name, hottest_decicelsius, held, [a0_seconds, gaps, gap_seconds])| SensorSeen {
            name,
            hottest_decicelsius,
            held,
            a0_seconds,
            gaps,
            gap_seconds,
        },
    );
    let whole = (any::<[u8; 32]>(), select(LoggerIn::ALL), of(any::<u32>()), of(time()), any::<[u32; 2]>());
    (whole, vec(sensor, 0..3), text()).prop_map(
        |((hash, machine, uncertainty_decikelvin, began, [longest_step_seconds, seconds]), sensors, read_as)| {
            Measured {
                file: FileHash(hash),
                machine,
                uncertainty_decikelvin,
                longest_step_seconds,
                began,
                seconds,
                sensors,
                read_as,
            }
        },
    )
}

fn cycle() -> impl Strategy<Value = Cycle> {
    let numbers = (of(any::<i32>()), of(any::<u32>()), of(any::<i32>()), of(any::<u32>()), of(any::<u32>()));
    let typed = (numbers, known(), known(), of(measured()), of(measured()), any::<bool>());
    typed.prop_map(|((wash, minutes, dry, dry_minutes, mixing), detergent, small_load, trace, other, clock_checked)| {
        Cycle {
            clock_checked,
            trace: trace.map(Box::new),
            other_trace: other.map(Box::new),
            wash_decicelsius: wash,
            wash_minutes: minutes,
            detergent,
            dry_decicelsius: dry,
            dry_minutes,
            small_load,
            mixing_minutes: mixing,
        }
    })
}

fn record() -> impl Strategy<Value = TreatmentRecord> {
    let climate = || (of(any::<i32>()), of(any::<u32>()));
    let strokes = (any::<u32>(), any::<u32>()).prop_map(|(count, microlitres)| Strokes { count, microlitres });
    let aired = (of(select(Ventilation::ALL)), of(select(Window::ALL)), of(strokes));
    (vec(text(), 14), climate(), climate(), aired).prop_map(
        |(texts, inside, outdoors, (ventilation, window, strokes))| {
            let mut texts = texts.into_iter();
            let mut next = || texts.next().unwrap();
            TreatmentRecord {
                neighbours_checked: next(),
                for_whom: next(),
                applicator: next(),
                certificate: next(),
                supervisor: next(),
                active_ingredient: next(),
                percent: next(),
                rate: next(),
                area_treated: next(),
                target_pest: next(),
                notice_until: next(),
                disposal: next(),
                follow_up_due: next(),
                slip: next(),
                decicelsius: inside.0,
                humidity_percent: inside.1,
                ventilation,
                window,
                outdoor_decicelsius: outdoors.0,
                outdoor_humidity_percent: outdoors.1,
                strokes,
            }
        },
    )
}

fn person() -> impl Strategy<Value = Person> {
    let flags = (any::<bool>(), any::<bool>(), any::<bool>());
    (some_code(), text(), select(&Role::ALL), flags, of(text()), of((time(), time())), of(text())).prop_map(
        |(initials, name, role, (trained_to_inspect, trained_to_apply, left), certificate, acting_lead, pin_hash)| {
            Person {
                initials,
                name,
                role,
                trained_to_inspect,
                trained_to_apply,
                certificate,
                acting_lead,
                pin_hash,
                left,
            }
        },
    )
}

fn product() -> impl Strategy<Value = Product> {
    let texts = (of(text()), of(text()), of(text()), of(text()));
    (some_code(), text(), texts, of(any::<u32>()), vec(some_code(), 0..3), any::<bool>()).prop_map(
        |(
            code,
            name,
            (registration, active_ingredient, percent, reentry_words),
            reentry_minutes,
            allowed_on,
            withdrawn,
        )| {
            Product {
                code,
                name,
                registration,
                active_ingredient,
                percent,
                reentry_words,
                reentry_minutes,
                allowed_on,
                withdrawn,
            }
        },
    )
}

fn zone_plan() -> impl Strategy<Value = ZonePlan> {
    let groups = vec![ZoneGroup::Bed, ZoneGroup::Seating, ZoneGroup::Storage, ZoneGroup::RoomEdges];
    let treatments = vec![ZoneTreatment::Spray, ZoneTreatment::OtherMethod, ZoneTreatment::InspectOnly];
    (some_code(), text(), select(groups), select(treatments), any::<[bool; 6]>(), text()).prop_map(
        |(part, name, group, treatment, [per_bed, soft_seat, mattress, daily, hiding_place, critical], caution)| {
            ZonePlan {
                part,
                name,
                group,
                per_bed,
                treatment,
                soft_seat,
                mattress,
                daily,
                hiding_place,
                critical,
                caution,
            }
        },
    )
}

macro_rules! bodies {
    ($($field:pat in $strategy:expr),* $(,)? => $body:expr) => {
        ($($strategy,)*).prop_map(|($($field,)*)| $body).boxed()
    };
}

/// One strategy for every kind of body.
fn every_body() -> Vec<BoxedStrategy<Body>> {
    let codes = || vec(some_code(), 0..3);
    let zones = || vec(zone(), 0..3);
    let sightings = || vec((select(Sign::ALL), of(zone())).prop_map(|(sign, zone)| Sighting { sign, zone }), 0..3);
    let looks = || vec((zone(), vec(select(Sign::ALL), 0..2)).prop_map(|(zone, seen)| ZoneLook { zone, seen }), 0..3);
    let beds = || vec((some_code(), vec(text(), 0..2)).prop_map(|(code, features)| Bed { code, features }), 0..3);
    let neighbours = || vec((select(&Side::ALL), some_code()).prop_map(|(side, room)| Neighbour { side, room }), 0..3);
    let ends = || {
        prop_oneof![
            some_code().prop_map(|witness| BagEnd::Destroyed { witness }),
            Just(BagEnd::Heated),
            Just(BagEnd::Inspected),
            Just(BagEnd::Lost)
        ]
    };
    let linens =
        || prop_oneof![vec(some_code(), 0..3).prop_map(LinenSource::Bags), text().prop_map(LinenSource::Stock)];
    let feels = || vec((zone(), select(Feel::ALL)), 0..3);
    vec![
        bodies!(seen in sightings(), wiped_before in known(), note in text() => Body::Finding { seen, wiped_before, note }),
        bodies!(finding in of(number()), specimen in select(Specimen::ALL), identified_by in text(), seen in number() =>
            Body::Identified { finding, specimen, identified_by, seen }),
        bodies!(depth in select(Depth::ALL), method in select(InspectionMethod::ALL), began in time(), looks in looks(),
            note in text(), seen in number() => Body::Inspected { depth, method, began, looks, note, seen }),
        bodies!(rooms in codes() => Body::RoundLooked { rooms }),
        bodies!(beds in codes(), washed_and_changed in known(), receiving in of(some_code()), receiving_bed in of(some_code()) =>
            Body::PatientOut { beds, washed_and_changed, receiving, receiving_bed }),
        bodies!(beds in codes(), went in select(Went::ALL), (receiving, receiving_bed) in (of(some_code()), of(some_code())),
        outside in text(), washed_and_changed in known(), own_bed in any::<bool>(), things in vec(text(), 0..3),
        answers in of(number()) => Body::PatientMoved {
            beds, went, receiving, receiving_bed, outside, washed_and_changed, own_bed, things, answers
        }),
        bodies!(steps in vec(select(PrepStep::ALL), 0..3), bags in codes(), note in text() =>
            Body::Prepared { steps, bags, note }),
        bodies!(
            purpose in select(Purpose::ALL), product in some_code(), (reentry_words, reentry_minutes) in (of(text()), of(any::<u32>())),
            zones in of(zones()), scope in zones(), finished in of(time()), bags in of(codes()), patient_inside in known(),
            amount_ml in of(any::<u32>()), record in record().prop_map(Box::new)
            => Body::Sprayed {
                purpose, product, reentry_words, reentry_minutes, zones, scope, finished, bags, patient_inside, amount_ml, record
            }
        ),
        bodies!(spray in number(), zones in of(zones()), finished in of(time()), bags in of(codes()),
        (reentry_words, reentry_minutes) in (of(text()), of(any::<u32>())), amount_ml in of(any::<u32>()),
        patient_inside in known()
        => Body::SprayCompleted {
            spray, zones, finished, bags, reentry_words, reentry_minutes, amount_ml, patient_inside
        }),
        bodies!(reason in text() => Body::OutOfService { reason }),
        bodies!(beds in codes() => Body::Occupied { beds }),
        bodies!(wiped in zones(), note in text() => Body::EnteredWet { wiped, note }),
        bodies!(reason in text(), review in time() => Body::PatientStays { reason, review }),
        bodies!(thing in text(), zones in zones(), to in of(some_code()), outside in text() =>
            Body::ThingLeft { thing, zones, to, outside }),
        bodies!(thing in text(), from in of(some_code()), wet in known() => Body::ThingArrived { thing, from, wet }),
        bodies!(thing in text() => Body::ThingSeen { thing }),
        bodies!(had_seen in number(), kept in of(number()), since in of(time()) => Body::WentBack { had_seen, kept, since }),
        bodies!(bytes in any::<u32>(), begins in text(), had_seen in of(number()) =>
            Body::EndLost { bytes, begins, had_seen }),
        bodies!(reason in text() => Body::Restored { reason }),
        bodies!(from in time(), until in time(), sheets in text() => Body::Downtime { from, until, sheets }),
        bodies!(began in time(), zones in feels(), ventilation in text(),
            changed in of(select(AirChange::ALL)) => Body::DryChecked { began, zones, ventilation, changed }),
        bodies!(zones in zones(), method in select(OtherMethod::ALL) => Body::TreatedOtherwise { zones, method }),
        bodies!(bag in some_code(), cycle in cycle(), slip in text() => Body::Laundered { bag, cycle, slip }),
        bodies!(bag in some_code(), end in ends() => Body::BagEnded { bag, end }),
        bodies!(zones in zones() => Body::Vacuumed { zones }),
        bodies!(bed in some_code(), linens in linens() => Body::BedMade { bed, linens }),
        bodies!(beds in codes() => Body::Emptied { beds }),
        bodies!(occupied in codes(), empty in codes(), gone in codes() => Body::OccupancyConfirmed { occupied, empty, gone }),
        bodies!(zones in feels(), made in codes(), not_made in codes(), note in text(), seen in number() =>
            Body::SecondChecked { zones, made, not_made, note, seen }),
        bodies!(line in number(), through in of(number()), words in text(), seen in number() =>
            Body::SecondAttested { line, through, words, seen }),
        bodies!(reason in text(), seen in number() => Body::NothingApplied { reason, seen }),
        bodies!(second in of(some_code()), seen in number() => Body::ReturnedToService { second, seen }),
        bodies!(seen in number() => Body::Cleared { seen }),
        bodies!(closing in number(), seen in number() => Body::InService { closing, seen }),
        bodies!(void in number(), note in text(), seen in number() => Body::Looked { void, note, seen }),
        bodies!(line in number(), through in of(number()), words in text(), second in of(some_code()), seen in number() =>
            Body::Attested { line, through, words, second, seen }),
        bodies!(words in of(text()), wet in of(codes()), seen in number() => Body::WardWalked { words, wet, seen }),
        bodies!(entry in number(), field in text(), value in text() => Body::Amended { entry, field, value }),
        bodies!(entry in number(), why in text(), really_in in of(some_code()) => Body::Voided { entry, why, really_in }),
        bodies!(wall in time(), wrong in select(WhichClock::ALL), other in text(), shown in of(time()) =>
            Body::ClockSaid { wall, wrong, other, shown }),
        bodies!(entry in number(), words in text(), seen in number() => Body::TimeTakenOut { entry, words, seen }),
        bodies!(spray in number(), zones in of(zones()), finished in of(time()), reentry_minutes in of(any::<u32>()),
            words in text(), seen in number() =>
            Body::SprayCorrected { spray, zones, finished, reentry_minutes, words, seen }),
        bodies!(what in select(Lost::ALL), tag in some_code(), reason in text(), seen in number() =>
            Body::WrittenOff { what, tag, reason, seen }),
        bodies!(part in zone(), by in of(some_code()), old in select(OldPart::ALL), reason in text(), seen in number() =>
            Body::PartReplaced { part, by, old, reason, seen }),
        bodies!(beds in codes(), wanted in of(time()) => Body::Promised { beds, wanted }),
        bodies!(room in some_code(), need in text(), cause in number(), by in some_code() =>
            Body::TaskAccepted { room, need, cause, by }),
        bodies!(why in text(), again in of(time()) => Body::NotPossible { why, again }),
        bodies!(text in text() => Body::HandedOver { text }),
        bodies!(others in vec(text(), 0..3), words in text() => Body::LedgerChosen { others, words }),
        bodies!(name in text() => Body::HospitalSet { name }),
        bodies!(kind in some_code(), zones in vec(zone_plan(), 0..3) => Body::ZonesSet { kind, zones }),
        bodies!(name in text(), floor in any::<i16>() => Body::WardSet { name, floor }),
        bodies!(name in text(), ward in some_code(), kind in some_code(), order in any::<u32>(), beds in beds(),
            neighbours in neighbours(), serves in codes(), floor_dm2 in of(any::<u32>())
            => Body::RoomSet { name, ward, kind, order, beds, neighbours, serves, floor_dm2 }),
        bodies!(person in person() => Body::PersonSet(Box::new(person))),
        bodies!(product in product() => Body::ProductSet(Box::new(product))),
        bodies!(key in text(), value in any::<i64>() => Body::PolicySet { key, value }),
        bodies!(person in some_code(), hash in of(text()) => Body::PinSet { person, hash }),
        bodies!(failed_before in any::<u32>() => Body::SignedIn { failed_before }),
        bodies!(kind in text(), raw in text() => Body::Reserved { kind, raw }),
        bodies!(raw in text(), why in text() => Body::Unreadable { raw, why }),
    ]
}

fn some_place() -> impl Strategy<Value = Place> {
    prop_oneof![
        Just(Place::Hospital),
        some_code().prop_map(Place::Ward),
        vec(some_code(), 1..4).prop_map(Place::Rooms),
        Just(Place::Unknown)
    ]
}

fn some_entry() -> impl Strategy<Value = Entry> {
    let people = (some_code(), some_code());
    (1..u64::MAX, time(), time(), people, text(), any::<u64>(), some_place(), Union::new(every_body())).prop_map(
        |(number, noted, happened, (done_by, noted_by), terminal, command, place, body)| Entry {
            number: Number(number),
            noted,
            happened,
            done_by,
            noted_by,
            terminal,
            command: CommandId(command),
            place,
            body,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    /// `line::write` refuses whatever does not read back the same, so here it must not refuse.
    #[test]
    fn every_entry_reads_back_the_same(entry in some_entry(), before in any::<u64>()) {
        let (text, value) = line::write(&entry, before).unwrap();
        prop_assert_eq!(line::verify(text.as_bytes(), entry.number.0, before), Some(value));
        prop_assert_eq!(&line::read(&text, entry.number, at(0)), &entry);
        // Nothing in a line can move a cursor or end the line, whatever was typed.
        prop_assert!(text.trim_end_matches('\n').bytes().all(|byte| byte >= b' ' && byte != 0x7f));
    }
}

#[test]
fn the_property_above_covers_every_kind() {
    let Err(Error::NoSuchEnumVariant { expected, .. }) =
        ron::from_str::<wire::Body>("Nothing()").map_err(|error| error.code)
    else {
        panic!("there is a kind called Nothing")
    };
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let made: BTreeSet<String> = every_body()
        .iter()
        .map(|strategy| {
            let body = proptest::strategy::ValueTree::current(&strategy.new_tree(&mut runner).unwrap());
            let text = ron::to_string(&<wire::Body as wire::Wire<Body>>::of(&body)).unwrap();
            text.split_once('(').unwrap().0.to_owned()
        })
        .collect();
    assert_eq!(made, expected.iter().map(|kind| (*kind).to_owned()).collect());
}

/// The whole file, read by a parser that knows nothing of lines and chains.
#[test]
fn the_whole_file_is_one_document() {
    type Line = (u64, String, String, String, String, String, u64, wire::Place, wire::Body, u64);
    #[derive(serde::Deserialize)]
    #[serde(rename = "Ledger", deny_unknown_fields)]
    struct Document {
        format: u64,
        id: u64,
        time_zone: String,
        rehearsal: bool,
        sum: u64,
        entries: Vec<Line>,
    }
    let folder = Folder::new(3);
    let (mut ledger, _) = folder.open();
    add(&mut ledger, "\u{1b}[31m ] ) \" \\ \n \u{202e} 👩‍🔬").unwrap();
    let text = String::from_utf8(folder.bytes()).unwrap();
    let document: Document = ron::from_str(&text).unwrap();
    assert_eq!((document.format, document.id, document.rehearsal), (1, 7, false));
    assert_eq!((document.time_zone.as_str(), document.sum), ("Europe/Berlin", header().sum()));
    assert_eq!(document.entries.iter().map(|entry| entry.0).collect::<Vec<_>>(), [1, 2, 3, 4]);
    assert_eq!(document.entries.last().map(|entry| entry.9), ledger.chain_at(4));
    assert!(ron::from_str::<ron::Value>(&text).is_ok());
}

/// A line as version 1 writes it, for ever. If this test fails, old ledgers are no longer read.
#[test]
fn a_line_of_the_first_version() {
    let (text, _) = line::write(&entry(1, "behind the headboard"), 0).unwrap();
    assert_eq!(
        text.rsplit_once("0x").unwrap().0,
        "(1,\"2026-03-02T08:01:00.000000Z\",\"2026-03-02T08:00:00.000000Z\",\"AB\",\"CD\",\"desk 4N\",0x0000000000001001,\
         Rooms([\"4N-12\"]),Finding(seen:[(sign:\"eggs\",zone:None)],wiped_before:\"unknown\",note:\"behind the headboard\"),"
    );
}

#[track_caller]
fn check_body(body: &str, expected: impl Fn(&Body) -> bool, place: Place) {
    let [ref one] = covered(&entries(1))[..] else { panic!() };
    let start = one.find("Finding").unwrap();
    let (text, _) = line::chained(&format!("{}{body},", &one[..start]), 0).unwrap();
    let read = line::read(&text, Number(1), at(0));
    assert!(expected(&read.body), "{:?}", read.body);
    assert_eq!((read.place, read.command, read.noted), (place, CommandId(0x1001), at(1)));
}

#[test]
fn a_body_that_is_not_understood_closes_its_place_and_keeps_its_line() {
    let room = || Place::room(code("4N-12"));
    let unreadable =
        |body: &Body| matches!(body, Body::Unreadable { raw, why } if raw.starts_with("(1,") && !why.is_empty());
    check_body("Vanished(a:1)", unreadable, room());
    check_body("WardWalked(seen:3,more:Some(Deep(x:[1,2])))", unreadable, room());
    check_body("WardWalked()", unreadable, room());
    check_body("Occupied(beds:[\"a,b\"])", unreadable, room());
    check_body("Occupied(beds:[\" A\"])", unreadable, room());
    check_body("Vacuumed(zones:[\"A/\"])", unreadable, room());
    check_body("OutOfService(reason:7)", unreadable, room());
    check_body("PatientStays(reason:\"\",review:\"yesterday\")", unreadable, room());
    check_body("PatientStays(reason:\"\",review:\"2026-03-02T08:01:00Z\")", unreadable, room());
    check_body(
        "DryChecked(began:\"2026-03-02T08:00:00.000000Z\",zones:[(zone:\"chair\",feel:\"DRY\")],ventilation:\"\")",
        unreadable,
        room(),
    );
    check_body("WardWalked(seen:3.5)", unreadable, room());
    check_body(
        "WardWalked(seen:3)",
        |body| *body == Body::WardWalked { words: None, wet: None, seen: Number(3) },
        room(),
    );
}

#[track_caller]
fn check_as_before(text: &str, body: Body) {
    check_body(text, |read| *read == body, Place::room(code("4N-12")));
    let written = line::write(&Entry { body, ..entry(1, "") }, 0).unwrap().0;
    assert!(written.contains(text), "{written}");
}

/// What a later version adds is left out while it says nothing: such a line is as an earlier version wrote it, and reads so.
#[test]
fn lines_from_before_a_field_was_there_are_read_and_written_as_they_were() {
    let room = "RoomSet(name:\"\",ward:\"4N\",kind:\"patient-room\",order:1,beds:[],neighbours:[],serves:[])";
    let (ward, kind) = (code("4N"), code("patient-room"));
    let (name, beds, neighbours, serves) = (String::new(), vec![], vec![], vec![]);
    let set = Body::RoomSet { name, ward, kind, order: 1, beds, neighbours, serves, floor_dm2: None };
    check_as_before(room, set);
    let bag = "Laundered(bag:\"B1\",cycle:(wash_minutes:Some(30)),slip:\"\")";
    let cycle = Cycle { wash_minutes: Some(30), ..Cycle::default() };
    check_as_before(bag, Body::Laundered { bag: code("B1"), cycle, slip: String::new() });
    let trace = "(file:\"0707070707070707070707070707070707070707070707070707070707070707\",machine:\"washer\",\
                 uncertainty_decikelvin:Some(5),longest_step_seconds:60,began:None,seconds:3000,sensors:[])";
    let logged = format!("Laundered(bag:\"B1\",cycle:(trace:Some({trace})),slip:\"\")");
    let measured = Measured {
        file: FileHash([7; 32]),
        machine: LoggerIn::Washer,
        uncertainty_decikelvin: Some(5),
        longest_step_seconds: 60,
        began: None,
        seconds: 3000,
        sensors: vec![],
        read_as: String::new(),
    };
    let cycle = Cycle { trace: Some(Box::new(measured)), ..Cycle::default() };
    check_as_before(&logged, Body::Laundered { bag: code("B1"), cycle, slip: String::new() });
    let back = "WentBack(had_seen:9)";
    check_as_before(back, Body::WentBack { had_seen: Number(9), kept: None, since: None });
    let check = "DryChecked(began:\"2026-03-02T08:00:00.000000Z\",zones:[],ventilation:\"on\")";
    let ventilation = "on".to_owned();
    check_as_before(check, Body::DryChecked { began: at(0), zones: vec![], ventilation, changed: None });
}

/// Written once, and read so for ever.
#[test]
fn lines_of_a_lost_end_and_of_the_file_that_is_the_ledger() {
    let back = "WentBack(had_seen:9,kept:Some(7),since:Some(\"2026-03-02T08:00:00.000000Z\"))";
    check_as_before(back, Body::WentBack { had_seen: Number(9), kept: Some(Number(7)), since: Some(at(0)) });
    let lost = "EndLost(bytes:12,begins:\"(4,\\\"2026-\",had_seen:Some(9))";
    let begins = "(4,\"2026-".to_owned();
    check_as_before(lost, Body::EndLost { bytes: 12, begins, had_seen: Some(Number(9)) });
    let chosen = "LedgerChosen(others:[\"/copies/monday.ron\"],words:\"a drill\")";
    let others = vec!["/copies/monday.ron".to_owned()];
    check_as_before(chosen, Body::LedgerChosen { others, words: "a drill".to_owned() });
}

#[test]
fn kinds_that_are_set_aside_are_read_past() {
    for kind in wire::RESERVED_KINDS {
        let text = format!("{kind}(anything:Some([1,(a:\"x\")]))");
        let expected = |body: &Body| *body == Body::Reserved { kind: kind.to_owned(), raw: text.clone() };
        check_body(&text, expected, Place::room(code("4N-12")));
    }
}

#[test]
fn a_place_that_is_not_understood_is_everything() {
    for place in ["Rooms([])", "Rooms([\"a|b\"])", "Galaxy", "Ward(4)", "Rooms([\"4N-12\" ])x"] {
        let [ref one] = covered(&entries(1))[..] else { panic!() };
        let (text, _) = line::chained(&one.replace("Rooms([\"4N-12\"])", place), 0).unwrap();
        let read = line::read(&text, Number(1), at(0));
        assert_eq!(read.place, Place::Unknown, "{place}");
        assert!(matches!(read.body, Body::Unreadable { .. }), "{place}");
    }
}

#[test]
fn what_has_no_spelling_of_its_own_is_not_written() {
    let mut odd = entry(1, "");
    odd.place = Place::Rooms(vec![]);
    assert!(matches!(line::write(&odd, 0), Err(LedgerError::Unwritable { .. })));
    // A stroke inside a part would read back as a bed's zone.
    odd = entry(1, "");
    odd.body = Body::Vacuumed { zones: vec![Zone { bed: None, part: code("a/b") }] };
    assert!(matches!(line::write(&odd, 0), Err(LedgerError::Unwritable { .. })));
    odd = entry(1, "");
    odd.noted += TimeDelta::nanoseconds(1);
    assert!(matches!(line::write(&odd, 0), Err(LedgerError::Unwritable { .. })));
}

#[test]
fn notes_of_ten_thousand_characters_fit_and_of_a_hundred_thousand_do_not() {
    for letter in ["a", "ü", "漢", "🛏"] {
        assert!(line::write(&entry(1, &letter.repeat(10_000)), 0).is_ok(), "{letter}");
    }
    let told = line::write(&entry(1, &"a".repeat(100_000)), 0).unwrap_err();
    assert!(matches!(told, LedgerError::TooLong { .. }), "{told}");
}

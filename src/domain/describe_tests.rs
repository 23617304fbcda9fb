use super::sentence;
use crate::domain::entry::{Body, Feel, Known, Number, Place};
use crate::domain::facility::Zone;
use crate::domain::moves::tests::sample::{board, code, entries, entry, now};
use crate::domain::moves::{Answers, build, find};

/// What is said of an entry, given as the command line would note it.
#[track_caller]
fn check(verb: &str, target: &str, pairs: &[(&str, &str)], said: &str) {
    let answers = pairs.iter().fold(Answers::new(), |answers, (name, value)| answers.with(name, value));
    let (place, body) = build(find(verb).unwrap(), target, &answers, &board(), now()).unwrap();
    assert_eq!(sentence(&entry(9, place, body), &board()), said);
}

#[test]
fn a_spray_says_what_how_much_and_the_label() {
    let known = [("purpose", "infested"), ("product", "RSA"), ("zones", "chair"), ("zones", "A/mattress")];
    let rest = [("finish", "10:10"), ("amount-ml", "800"), ("bags", "none"), ("patient-inside", "no")];
    check(
        "spray",
        "4N-12",
        &[known.as_slice(), &rest].concat(),
        "spray, infested room: 2 zones, Residual spray A, 800 mL; finished 10:10; label 120 min; no bags",
    );
    check(
        "spray",
        "4N-12",
        &[("purpose", "preventive"), ("product", "unlisted")],
        "spray, preventive: zones not stated, unlisted; end not stated; no label words; linens not stated; \
         whether a patient was inside is not stated",
    );
}

#[test]
fn what_was_looked_at_says_where_and_what() {
    check(
        "finding",
        "4N-12",
        &[("seen", "A/mattress=eggs"), ("seen", "reported-bites"), ("note", "seam")],
        "finding: eggs at 4N-12-A/mattress, reported bites; “seam”",
    );
    check(
        "inspect",
        "4N-13",
        &[("depth", "full"), ("began", "10:00"), ("looks", "all=nothing")],
        "full inspection by eye, begun 10:00, 3 zones: nothing seen",
    );
    check(
        "dry-check",
        "4N-13",
        &[("began", "10:00"), ("zones", "chair=damp"), ("zones", "mattress=dry"), ("ventilation", "window open")],
        "dry check, begun 10:00: damp: chair; 1 dry; window open",
    );
}

#[test]
fn a_load_says_its_heat_and_its_time() {
    check(
        "launder",
        "B1",
        &[("wash-celsius", "60.5"), ("wash-minutes", "30"), ("dry-minutes", "20"), ("detergent", "no")],
        "bag B1 laundered: wash 60.5 °C for 30 min, no detergent, dried heat not stated for 20 min",
    );
    check("launder", "B1", &[("slip", "77")], "bag B1 laundered: no wash stated; slip 77");
}

#[test]
fn a_logged_load_says_what_was_measured_and_of_which_file() {
    use crate::domain::measured::{FileHash, HeldFor, LoggerIn, Measured, SensorSeen};
    let sensor = |longest_seconds, gaps| SensorSeen {
        name: "drum".to_owned(),
        hottest_decicelsius: 745,
        held: vec![HeldFor { decicelsius: 710, longest_seconds, total_seconds: 1620 }],
        a0_seconds: longest_seconds / 3,
        gaps,
        gap_seconds: gaps * 90,
    };
    let measured = Measured {
        file: FileHash([0xab; 32]),
        machine: LoggerIn::Unknown,
        uncertainty_decikelvin: Some(5),
        longest_step_seconds: 60,
        began: None,
        seconds: 3130,
        sensors: vec![sensor(1620, 0), sensor(1570, 1)],
        read_as: "°C as its header says; times in minutes as was said".to_owned(),
    };
    let said = |measured: Measured, machine: &str| {
        let mut answers = Answers::new().with("trace", "load.csv").with("uncertainty-c", "0.5");
        answers.set("machine", [machine]);
        answers.attach("trace", measured);
        let (place, body) = build(find("launder").unwrap(), "B1", &answers, &board(), now()).unwrap();
        sentence(&entry(9, place, body), &board())
    };
    let hash = "ab".repeat(32);
    assert_eq!(
        said(measured.clone(), "washer"),
        format!(
            "bag B1 laundered: wash as logged, logger in the washer: 52 min 10 s, 2 sensors, ±0.5 °C taken off; held 71 °C \
             26 min 10 s (27 min in all); A0 523; 1 gap left out; read as °C as its header says; times in minutes as was \
             said; file sha256 {hash}"
        )
    );
    let nothing = Measured { uncertainty_decikelvin: None, sensors: vec![], read_as: String::new(), ..measured };
    assert_eq!(
        said(nothing, ""),
        format!(
            "bag B1 laundered: no wash stated, logger in a machine that was not said: 52 min 10 s, 0 sensors, uncertainty not \
             stated; no heat that counts; A0 0; file sha256 {hash}"
        )
    );
}

#[test]
fn every_entry_says_something() {
    let other = [
        Body::EndLost { bytes: 40, begins: "(9,".to_owned(), had_seen: Some(Number(9)) },
        Body::LedgerChosen { others: vec!["/copies/monday.ron".to_owned()], words: "a drill".to_owned() },
        Body::WentBack { had_seen: Number(4), kept: None, since: None },
        Body::SignedIn { failed_before: 2 },
        Body::PinSet { person: code("LD"), hash: None },
        Body::Unreadable { raw: "x".to_owned(), why: "cut".to_owned() },
        Body::Reserved { kind: "Shift".to_owned(), raw: String::new() },
        Body::EnteredWet { wiped: vec![Zone::parse("chair").unwrap()], note: String::new() },
        Body::DryChecked {
            began: now(),
            zones: vec![(Zone::parse("chair").unwrap(), Feel::Dry)],
            ventilation: "x".to_owned(),
            changed: None,
        },
        Body::Finding { seen: vec![], wiped_before: Known::No, note: String::new() },
    ];
    let other = other.into_iter().map(|body| entry(9, Place::Hospital, body));
    for entry in entries().into_iter().chain(other) {
        assert!(!sentence(&entry, &board()).is_empty(), "{entry:?}");
    }
}

/// Every kind whose sentence prints a time. Read years later, a bare 08:00 of another day would be that of the entry's.
#[test]
fn a_time_of_another_day_has_its_day_in_every_sentence() {
    let entry_of = |body: Body| entry(9, Place::room(code("4N-12")), body);
    let bodies = |at: crate::domain::entry::Time| {
        let person =
            crate::domain::people::Person { acting_lead: Some((at, at)), ..board().people()[&code("LD")].clone() };
        let (place_zones, words) = (vec![(Zone::parse("chair").unwrap(), Feel::Dry)], "x".to_owned());
        vec![
            Body::Inspected {
                depth: crate::domain::entry::Depth::Full,
                method: crate::domain::entry::InspectionMethod::Visual,
                began: at,
                looks: vec![],
                note: String::new(),
                seen: Number(0),
            },
            Body::DryChecked { began: at, zones: place_zones, ventilation: words.clone(), changed: None },
            Body::Sprayed {
                purpose: crate::domain::entry::Purpose::Infested,
                product: code("RSA"),
                reentry_words: None,
                reentry_minutes: None,
                zones: None,
                scope: vec![],
                finished: Some(at),
                bags: None,
                patient_inside: Known::Unknown,
                amount_ml: None,
                record: Box::default(),
            },
            Body::SprayCompleted {
                spray: Number(3),
                zones: None,
                finished: Some(at),
                bags: None,
                reentry_words: None,
                reentry_minutes: None,
                amount_ml: None,
                patient_inside: Known::Unknown,
            },
            Body::PatientStays { reason: words.clone(), review: at },
            Body::Promised { beds: vec![code("4N-13")], wanted: Some(at) },
            Body::NotPossible { why: words.clone(), again: Some(at) },
            Body::Downtime { from: at, until: at, sheets: words },
            Body::PersonSet(Box::new(person)),
        ]
    };
    // The sample's entries happened on 10 June 2026, at 09:30 in Paris.
    for (at, says) in [
        ("2026-06-12T06:00:00Z", "Fri 12 Jun 08:00"),
        ("2026-06-09T22:10:00Z", "00:10"),
        ("2026-06-09T20:10:00Z", "Tue 9 Jun 22:10"),
        ("2027-06-10T06:00:00Z", "10 Jun 2027 08:00"),
    ] {
        for body in bodies(at.parse().unwrap()) {
            let said = sentence(&entry_of(body), &board());
            assert!(said.contains(says), "{at}: {said}");
        }
    }
}

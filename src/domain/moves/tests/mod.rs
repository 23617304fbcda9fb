//! The table as a whole, and each way in which an answer can be wrong.

pub(crate) mod sample;

use std::collections::BTreeSet;

use chrono::{TimeZone, Utc};

use super::*;
use crate::domain::board::Board;
use crate::domain::entry::{Body, Feel, Known, LinenSource, Number, Place, Purpose, Sign, Time, ZoneLook};
use crate::domain::facility::Zone;
use crate::domain::people::Role;
use sample::{board, code, now};

fn at(hour: u32, minute: u32) -> Time {
    Utc.with_ymd_and_hms(2026, 6, 10, hour, minute, 0).unwrap()
}

fn zone(text: &str) -> Zone {
    Zone::parse(text).unwrap()
}

fn answered(pairs: &[(&str, &str)]) -> Answers {
    pairs.iter().fold(Answers::new(), |answers, (name, value)| answers.with(name, value))
}

fn try_build(verb: &str, target: &str, pairs: &[(&str, &str)]) -> Result<(Place, Body), Vec<FieldError>> {
    let mv = find(verb).unwrap();
    build(mv, target, &answered(pairs), &board(), now())
}

#[track_caller]
fn built(verb: &str, target: &str, pairs: &[(&str, &str)]) -> Body {
    try_build(verb, target, pairs).unwrap().1
}

/// The one message that a wrong answer earns, with its field.
#[track_caller]
fn wrong(verb: &str, target: &str, pairs: &[(&str, &str)]) -> (&'static str, String) {
    let errors = try_build(verb, target, pairs).unwrap_err();
    assert_eq!(errors.len(), 1, "{errors:?}");
    (errors[0].field, errors[0].message.clone())
}

/// The verb with which a person notes such an entry. None: only the program writes it.
fn verb_of(body: &Body) -> Option<&'static str> {
    Some(match body {
        Body::Finding { .. } => "finding",
        Body::Identified { .. } => "identify",
        Body::Inspected { .. } => "inspect",
        Body::RoundLooked { .. } => "round",
        Body::PatientOut { .. } | Body::PatientMoved { .. } => "move-patient",
        Body::Prepared { .. } => "prepare",
        Body::Sprayed { .. } => "spray",
        Body::SprayCompleted { .. } => "complete-spray",
        Body::OutOfService { .. } => "out-of-service",
        Body::Occupied { .. } => "occupied",
        Body::EnteredWet { .. } => "entered-wet",
        Body::PatientStays { .. } => "patient-stays",
        Body::ThingLeft { .. } => "thing-left",
        Body::ThingArrived { .. } => "thing-arrived",
        Body::ThingSeen { .. } => "thing-seen",
        Body::Downtime { .. } => "downtime",
        Body::Restored { .. } => "gap",
        Body::DryChecked { .. } => "dry-check",
        Body::TreatedOtherwise { .. } => "treat-zone",
        Body::Laundered { .. } => "launder",
        Body::BagEnded { .. } => "discard",
        Body::Vacuumed { .. } => "vacuum",
        Body::BedMade { .. } => "make-bed",
        Body::Emptied { .. } => "empty",
        Body::OccupancyConfirmed { .. } => "occupancy",
        Body::NothingApplied { .. } => "nothing-applied",
        Body::ReturnedToService { .. } => "return",
        Body::Cleared { .. } => "clear",
        Body::InService { .. } => "in-service",
        Body::Looked { .. } => "look",
        Body::SecondChecked { .. } => "second-check",
        Body::SecondAttested { .. } => "second-attest",
        Body::Promised { wanted: Some(_), .. } => "promise",
        Body::Promised { wanted: None, .. } => "end-promise",
        Body::Attested { .. } => "attest",
        Body::WardWalked { .. } => "ward-walk",
        Body::ClockSaid { .. } => "clock",
        Body::TimeTakenOut { .. } => "wrong-time",
        Body::SprayCorrected { .. } => "correct-spray",
        Body::WrittenOff { .. } => "write-off",
        Body::PartReplaced { .. } => "replace-part",
        Body::Amended { .. } => "amend",
        Body::Voided { .. } => "void",
        Body::TaskAccepted { .. } => "accept",
        Body::NotPossible { .. } => "could-not",
        Body::HandedOver { .. } => "hand-over",
        Body::LedgerChosen { .. } => "which-ledger",
        Body::HospitalSet { .. } => "set-hospital",
        Body::ZonesSet { .. } => "set-zones",
        Body::WardSet { .. } => "set-ward",
        Body::RoomSet { .. } => "set-room",
        Body::PersonSet(_) => "set-person",
        Body::ProductSet(_) => "set-product",
        Body::PolicySet { .. } => "set-policy",
        // The PIN is typed at a prompt and hashed by the desk; the others are the program's own.
        Body::PinSet { .. }
        | Body::SignedIn { .. }
        | Body::Reserved { .. }
        | Body::WentBack { .. }
        | Body::EndLost { .. }
        | Body::Unreadable { .. } => return None,
    })
}

/// An answer that fits the field, for a move with every field answered.
fn fitting(mv: &Move, field: &Field) -> Option<String> {
    let text = match (mv.verb, field.name) {
        // One source, one bed, and a target that names its bed already.
        ("make-bed", "stock") | (_, "bed") => return None,
        // A file is read by others, and what it says is attached.
        (
            "launder",
            "trace"
            | "other-trace"
            | "machine"
            | "uncertainty-c"
            | "other-uncertainty-c"
            | "unit"
            | "time"
            | "minutes"
            | "zone"
            | "clock-checked",
        ) => {
            return None;
        }
        ("move-patient" | "occupied" | "empty" | "promise" | "end-promise", "beds") => return None,
        // What they say makes another entry of it.
        ("occupied", "from") | ("empty", "went" | "to" | "place" | "washed") => return None,
        ("ward-walk", "wet") => "some",
        ("clock", "wall") => "09:00",
        ("replace-part", "part") => "4N-12-A/mattress",
        ("set-room", "kind") => "patient-room",
        // It is counted in one way.
        ("spray", "amount-ml") => return None,
        ("set-room", "serves") => "4N-13",
        _ => match field.kind {
            FieldKind::Text => "words",
            FieldKind::Words(words) | FieldKind::Steps(words) => words[0],
            FieldKind::Known | FieldKind::YesNo => "yes",
            FieldKind::Zones(_) => "A/mattress",
            FieldKind::Feels => "A/mattress=dry",
            FieldKind::Looks => "A/mattress=eggs",
            FieldKind::Sightings => "chair=eggs",
            FieldKind::Beds => "A",
            FieldKind::BedStates => "4N-12-A=empty",
            FieldKind::BedMakes => "4N-12-A=made",
            FieldKind::Bags => "B1",
            FieldKind::File => "load.csv",
            FieldKind::Tag => "B1",
            FieldKind::Room => "4N-13",
            FieldKind::Rooms => "4N-12",
            FieldKind::Ward => "4N",
            FieldKind::Product => "RSA",
            FieldKind::Person | FieldKind::Oneself => "LD",
            FieldKind::Entry => "5",
            FieldKind::Time => "10:00",
            FieldKind::TimeAhead => "12:00",
            FieldKind::Celsius | FieldKind::SquareMetres | FieldKind::PerStroke => "21.5",
            FieldKind::Minutes | FieldKind::Millilitres | FieldKind::Percent | FieldKind::Count | FieldKind::Whole => {
                "7"
            }
            FieldKind::Parts => "chair",
            FieldKind::BedPlans => "4N-12-A:window",
            FieldKind::Neighbours => "left=4N-13",
            FieldKind::ZonePlans => "chair;Chair;seating;spray;soft-seat;",
        },
    };
    Some(text.to_owned())
}

#[test]
fn verbs_and_field_names_are_unique_and_everything_is_explained() {
    let mut verbs = BTreeSet::new();
    let is_word = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
    for mv in MOVES {
        assert!(verbs.insert(mv.verb) && is_word(mv.verb), "{}", mv.verb);
        assert!(!mv.title.is_empty() && mv.about.ends_with('.'), "{}", mv.verb);
        // The command line's own options, beside the table's.
        let mut names = BTreeSet::from(["at", "done-by", "as", "ledger", "now", "help", "pin-stdin", "json"]);
        for field in mv.fields {
            assert!(is_word(field.name), "{} {}", mv.verb, field.name);
            assert!(!field.label.is_empty() && !field.help.is_empty(), "{} {}", mv.verb, field.name);
            let options = field.kind.options().iter().map(|(name, ..)| *name);
            let taken: Vec<&str> = if field.kind.options().is_empty() { vec![field.name] } else { options.collect() };
            assert!(taken.into_iter().all(|name| names.insert(name)), "{} {}", mv.verb, field.name);
        }
    }
}

/// Whoever fills in a form sees no options, and types no pairs.
#[test]
fn a_form_speaks_of_nothing_that_is_typed_on_a_command_line() {
    let words = MOVES
        .iter()
        .filter(|mv| mv.kind != MoveKind::Setting)
        .flat_map(|mv| mv.fields.iter().map(|field| (mv.verb, field.words())).chain([(mv.verb, mv.about)]));
    for (verb, text) in words {
        for odd in
            ["--", "`all`", "dryhold ", "=SIGN", "ZONE", "the target", "complete-spray", "in-service", "live-adult"]
        {
            assert!(!text.contains(odd), "{verb}: {text}");
        }
    }
}

#[test]
fn every_move_builds_its_own_kind_of_entry_and_every_kind_has_one() {
    let mut made = BTreeSet::new();
    for mv in MOVES {
        let target = match mv.on {
            On::Room | On::Place => "4N-12",
            On::Bed => "4N-12-A",
            On::Bag => "B1",
            On::Ward => "4N",
            On::Hospital => "",
            On::Named(_) if mv.verb == "set-policy" => "clear-days",
            On::Named(_) => "4N-12",
        };
        let mut answers = Answers::new();
        for field in mv.fields {
            if let Some(text) = fitting(mv, field) {
                answers.set(field.name, [if mv.verb == "set-policy" { "30".to_owned() } else { text }]);
            }
        }
        let mut board = board();
        // Which file is the ledger is said only where another one went further.
        board.set_other_files(vec!["/copies/monday.ron".to_owned()]);
        let (place, body) = build(mv, target, &answers, &board, now()).unwrap();
        assert_eq!(verb_of(&body), Some(mv.verb));
        let said = crate::domain::describe::sentence(&sample::entry(9, place, body.clone()), &board);
        assert!(said.len() > 8, "{}: {said:?}", mv.verb);
        assert_eq!(body.is_setting(), mv.kind == MoveKind::Setting, "{}", mv.verb);
        if mv.kind == MoveKind::Signature {
            assert_eq!(body.seen(), Some(Number(8)), "{} carries what its signer was shown", mv.verb);
        }
        made.insert(mv.verb);
    }
    // `verb_of` is exhaustive, so a new kind of entry asks for its move when it is compiled; the count finds one left out here.
    assert_eq!(made.len(), 54);
}

#[test]
fn a_required_field_that_is_missing_is_named_with_what_to_type() {
    for mv in MOVES {
        for field in mv.fields.iter().filter(|field| field.required && mv.kind != MoveKind::Setting) {
            let errors = build(mv, "4N-12", &Answers::new(), &board(), now()).unwrap_err();
            let told = errors.iter().find(|error| error.field == field.name);
            assert!(
                told.is_some_and(|it| it.message.contains("type") || it.message.contains("Type")),
                "{} {}",
                mv.verb,
                field.name
            );
        }
    }
}

#[test]
fn a_spray_keeps_its_order_copies_the_label_and_leaves_the_unstated_unstated() {
    let told = built(
        "spray",
        "4n-12",
        &[
            ("purpose", "infested"),
            ("product", "rsa"),
            ("zones", "chair"),
            ("zones", "B/mattress"),
            ("finish", "10:20"),
            ("bags", "none"),
            ("patient-inside", "no"),
            ("amount-ml", "800"),
            ("celsius", "21.5"),
        ],
    );
    let Body::Sprayed {
        purpose,
        product,
        reentry_words,
        reentry_minutes,
        zones,
        finished,
        bags,
        patient_inside,
        amount_ml,
        record,
        ..
    } = told
    else {
        panic!("{told:?}")
    };
    assert_eq!((purpose, product.as_str(), amount_ml), (Purpose::Infested, "RSA", Some(800)));
    assert_eq!((reentry_words.as_deref(), reentry_minutes), (Some("Do not enter until dry"), Some(120)));
    assert_eq!(zones, Some(vec![zone("chair"), zone("4N-12-B/mattress")]));
    assert_eq!((finished, bags, patient_inside), (Some(at(8, 20)), Some(vec![]), Known::No));
    assert_eq!((record.decicelsius, record.active_ingredient.as_str()), (Some(215), "substance"));

    let bare = built("spray", "4N-12", &[("purpose", "preventive"), ("product", "unlisted")]);
    let Body::Sprayed { zones, finished, bags, patient_inside, reentry_words, .. } = bare else { panic!("{bare:?}") };
    assert_eq!((zones, finished, bags, reentry_words), (None, None, None, None));
    assert_eq!(patient_inside, Known::Unknown);
}

#[test]
fn a_spray_that_names_no_zone_or_an_unlisted_product_by_mistake_is_asked_again() {
    let spray = |pair: (&'static str, &'static str)| {
        let mut pairs = vec![("purpose", "infested"), ("product", "RSA")];
        pairs.retain(|(name, _)| *name != pair.0);
        pairs.push(pair);
        wrong("spray", "4N-12", &pairs)
    };
    assert!(spray(("zones", "none")).1.contains("leave the zones out"));
    assert!(spray(("product", "RSB")).1.contains("RSA"));
    assert!(spray(("amount-ml", "8.5")).1.contains("whole number of millilitres"));
    assert!(spray(("zones", "all")).1.contains("its zones are"));
}

#[test]
fn a_spray_is_counted_in_millilitres_or_in_strokes_of_a_pump() {
    let spray = |pairs: &[(&'static str, &'static str)]| {
        let pairs = [&[("purpose", "infested"), ("product", "rsa")], pairs].concat();
        match try_build("spray", "4N-12", &pairs) {
            Ok((_, Body::Sprayed { amount_ml, record, .. })) => {
                Ok((amount_ml, record.strokes.map(|it| it.to_string())))
            }
            Ok(other) => panic!("{other:?}"),
            Err(errors) => Err(errors.into_iter().map(|it| (it.field, it.message)).collect::<Vec<_>>()),
        }
    };
    assert_eq!(spray(&[("amount-ml", "480")]), Ok((Some(480), None)));
    let counted = Ok((Some(480), Some("400 strokes of 1.2 mL".to_owned())));
    assert_eq!(spray(&[("strokes", "400"), ("ml-per-stroke", "1,2")]), counted);
    assert_eq!(spray(&[]), Ok((None, None)));
    for (pairs, field, why) in [
        (&[("strokes", "400")][..], "ml-per-stroke", "measuring jug"),
        (&[("ml-per-stroke", "1.2")], "strokes", "how many strokes"),
        (&[("strokes", "400"), ("ml-per-stroke", "1.2"), ("amount-ml", "480")], "strokes", "one of the two"),
        (&[("strokes", "0"), ("ml-per-stroke", "1.2")], "strokes", "1 to 100000"),
        (&[("strokes", "-4"), ("ml-per-stroke", "1.2")], "strokes", "whole number"),
        (&[("strokes", "400"), ("ml-per-stroke", "NaN")], "ml-per-stroke", "0.01 to 1000"),
        (&[("strokes", "400"), ("ml-per-stroke", "0")], "ml-per-stroke", "0.01 to 1000"),
    ] {
        let errors = spray(pairs).unwrap_err();
        assert!(errors.iter().any(|(at, said)| *at == field && said.contains(why)), "{pairs:?}: {errors:?}");
    }
}

#[test]
fn a_dry_check_takes_zones_by_name_only_and_no_zone_twice() {
    let check = |zones: &[&'static str]| {
        let mut pairs = vec![("began", "10:10"), ("ventilation", "window open")];
        pairs.extend(zones.iter().map(|zone| ("zones", *zone)));
        try_build("dry-check", "4N-12", &pairs)
    };
    let (_, body) = check(&["chair=dry", "4N-12-a/mattress=damp"]).unwrap();
    let wanted = vec![(zone("chair"), Feel::Dry), (zone("4N-12-A/mattress"), Feel::Damp)];
    let ventilation = "window open".to_owned();
    assert_eq!(body, Body::DryChecked { began: at(8, 10), zones: wanted, ventilation, changed: None });
    for refused in [&["all=dry"][..], &["chair=dry", "chair=damp"], &["chair=wet"], &["chair"], &["none"], &[]] {
        assert!(check(refused).is_err(), "{refused:?}");
    }
}

#[test]
fn an_unknown_zone_is_answered_with_the_zones_of_the_room() {
    let (field, message) = wrong("vacuum", "4N-12", &[("zones", "sofa")]);
    assert_eq!(field, "zones");
    assert!(message.contains("4N-12 has no zone “sofa”") && message.contains("4N-12-B/headboard, chair"), "{message}");
    let (_, message) = wrong("vacuum", "4N-12", &[("zones", "mattress")]);
    assert!(message.contains("type 4N-12-A/mattress or 4N-12-B/mattress"), "{message}");
    assert_eq!(
        built("vacuum", "4N-13", &[("zones", "mattress")]),
        Body::Vacuumed { zones: vec![zone("4N-13/mattress")] }
    );
}

#[test]
fn an_inspection_is_one_list_of_zones_in_walking_order() {
    let looks = |items: &[&'static str]| {
        let mut pairs = vec![("depth", "full"), ("began", "10:00")];
        pairs.extend(items.iter().map(|it| ("looks", *it)));
        match try_build("inspect", "4N-13", &pairs) {
            Ok((_, Body::Inspected { looks, .. })) => Ok(looks),
            other => Err(format!("{other:?}")),
        }
    };
    let clean = |text| ZoneLook { zone: zone(text), seen: vec![] };
    let all = vec![clean("4N-13/mattress"), clean("4N-13/headboard"), clean("chair")];
    assert_eq!(looks(&["all=nothing"]), Ok(all));
    let seen = ZoneLook { zone: zone("4N-13/headboard"), seen: vec![Sign::Eggs, Sign::CastSkin] };
    assert_eq!(
        looks(&["chair=nothing", "headboard=eggs", "headboard=cast-skin"]),
        Ok(vec![seen, clean("chair")]),
        "a zone that is not named was not looked at"
    );
    for refused in [&["all=eggs"][..], &["none"], &["chair=spots"], &[]] {
        assert!(looks(refused).is_err(), "{refused:?}");
    }
}

#[test]
fn of_a_room_with_several_beds_it_is_asked_which_are_occupied_or_empty() {
    let beds = |list: &[&str]| list.iter().map(|bed| code(bed)).collect::<Vec<_>>();
    assert!(
        wrong("occupied", "4N-12", &[]).1.contains("4N-12-A, 4N-12-B"),
        "left blank it means the same as of an empty bed"
    );
    assert_eq!(
        built("occupied", "4N-12", &[("beds", "A"), ("beds", "B")]),
        Body::Occupied { beds: beds(&["4N-12-A", "4N-12-B"]) }
    );
    assert_eq!(built("empty", "4n-12-a", &[]), Body::Emptied { beds: beds(&["4N-12-A"]) });
    assert_eq!(built("empty", "4N-12", &[("beds", "B")]), Body::Emptied { beds: beds(&["4N-12-B"]) });
    assert!(wrong("empty", "4N-12", &[]).1.contains("4N-12-A, 4N-12-B"));
    assert!(wrong("make-bed", "4N-12", &[("stock", "store 2")]).1.contains("which bed?"));
    // A room with one bed may have the bed's code for its own.
    assert_eq!(built("empty", "4N-13", &[]), Body::Emptied { beds: beds(&["4N-13"]) });
    assert_eq!(
        built("make-bed", "4N-13", &[("bags", "B1"), ("bags", "b1")]),
        Body::BedMade { bed: code("4N-13"), linens: LinenSource::Bags(vec![code("B1")]) }
    );
    assert_eq!(wrong("make-bed", "4N-13", &[]).0, "bags");
    assert_eq!(wrong("make-bed", "4N-13", &[("bags", "B1"), ("stock", "store")]).0, "stock");
}

#[test]
fn a_move_that_touches_two_rooms_names_both() {
    let place = |verb, pairs| try_build(verb, "4N-12-A", pairs).unwrap().0;
    let both = Place::Rooms(vec![code("4N-12"), code("4N-13")]);
    assert_eq!(place("move-patient", &[("to", "4N-13")]), both);
    // A void names the room where it really happened behind that of its entry; a target beside it is for the rules to refuse.
    let void = [("entry", "#8"), ("why", "wrong room"), ("really-in", "4N-13")];
    assert_eq!(place("void", &void), both);
    assert_eq!(try_build("void", "4N-13", &void).unwrap().0, Place::room(code("4N-13")));
    assert_eq!(place("move-patient", &[("to", "4N-12")]), Place::room(code("4N-12")));
}

#[test]
fn a_bag_finds_its_room_by_its_tag() {
    let (place, body) = try_build("launder", "b1", &[("wash-celsius", "60"), ("wash-minutes", "30")]).unwrap();
    assert_eq!(place, Place::room(code("4N-12")));
    let Body::Laundered { cycle, .. } = body else { panic!("{body:?}") };
    assert_eq!((cycle.wash_decicelsius, cycle.wash_minutes, cycle.detergent), (Some(600), Some(30), Known::Unknown));
    assert!(wrong("launder", "B9", &[]).1.contains("no room is waiting for bag B9"));
    assert_eq!(try_build("launder", "B9", &[("room", "4N-13")]).unwrap().0, Place::room(code("4N-13")));
    assert_eq!(wrong("discard", "B1", &[("end", "destroyed")]).0, "witness");
}

#[test]
fn a_ward_is_looked_at_and_confirmed_at_once() {
    assert_eq!(
        built("round", "4N", &[("rooms", "all")]),
        Body::RoundLooked { rooms: vec![code("4N-12"), code("4N-13")] }
    );
    assert_eq!(
        built("occupancy", "4n", &[("beds", "4N-12-A=occupied"), ("beds", "4N-13=empty")]),
        Body::OccupancyConfirmed { occupied: vec![code("4N-12-A")], empty: vec![code("4N-13")], gone: vec![] }
    );
    assert!(try_build("occupancy", "4N", &[("beds", "4N-13=empty"), ("beds", "4N-13=occupied")]).is_err());
    assert!(wrong("round", "5S", &[("rooms", "all")]).1.contains("the wards are 4N"));
}

#[test]
fn a_setting_changes_what_is_given_and_keeps_the_rest() {
    let Body::PersonSet(person) = built("set-person", "ld", &[("role", "reader"), ("certificate", "none")]) else {
        panic!("a person")
    };
    assert_eq!((person.initials.as_str(), person.name.as_str(), person.role), ("LD", "Lead", Role::Reader));
    assert_eq!((person.certificate.as_deref(), person.pin_hash.as_deref()), (None, Some("$hash")));
    assert!(person.trained_to_inspect);

    let Body::ProductSet(product) = built("set-product", "RSA", &[("label-minutes", "none")]) else {
        panic!("a product")
    };
    assert_eq!((product.reentry_minutes, product.reentry_words.is_some()), (None, true));
    let Body::RoomSet { beds, order, .. } = built("set-room", "4N-12", &[("beds", "4N-12-A:window;bariatric")]) else {
        panic!("a room")
    };
    assert_eq!((beds[0].features.as_slice(), order), (["window".to_owned(), "bariatric".to_owned()].as_slice(), 1));

    let floor = |text: &str| match built("set-room", "4N-12", &[("floor-area", text)]) {
        Body::RoomSet { floor_dm2, .. } => floor_dm2,
        other => panic!("{other:?}"),
    };
    assert_eq!((floor("18,5 m²"), floor("none")), (Some(1850), None));

    let mv = find("set-zones").unwrap();
    let again = build(mv, "patient-room", &Answers::new(), &board(), now()).unwrap().1;
    let set = board().facility().zone_sets[&code("patient-room")].clone();
    assert_eq!(again, Body::ZonesSet { kind: code("patient-room"), zones: set });
}

#[test]
fn settings_are_refused_with_what_there_is() {
    assert!(wrong("set-policy", "clear-days", &[("value", "1")]).1.contains("14 to 365"));
    assert!(wrong("set-policy", "colour", &[("value", "1")]).1.contains("rules --settings"));
    assert_eq!(wrong("set-policy", "clear-days", &[]).0, "value");
    assert_eq!(wrong("set-person", "LD", &[("acting-lead-from", "12:00")]).0, "acting-lead-until");
    assert!(wrong("set-room", "4N-12", &[("kind", "cellar")]).1.contains("patient-room"));
    for floor in ["0", "-3", "NaN", "501"] {
        assert!(wrong("set-room", "4N-12", &[("floor-area", floor)]).1.contains("1 to 500"), "{floor}");
    }
    assert!(wrong("set-person", "N|N", &[("name", "x"), ("role", "reader")]).1.contains("cannot"));
}

#[test]
fn hostile_answers_are_quoted_without_what_a_terminal_obeys() {
    for mv in MOVES {
        for field in mv.fields {
            let answers = Answers::new().with(field.name, "\u{1b}[2J\u{202e}x=\u{1b}]0;y\u{7}");
            for target in ["4N-12", "4N", "\u{1b}[2J"] {
                let Err(errors) = build(mv, target, &answers, &board(), now()) else {
                    continue;
                };
                let told: String = errors.iter().map(ToString::to_string).collect();
                assert!(!told.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{} {}: {told:?}", mv.verb, field.name);
            }
        }
    }
    assert!(wrong("clear", "4N-13", &[("\u{1b}[2J", "x")]).1.contains("no field"));
}

#[test]
fn no_form_opens_with_a_zone_a_bed_or_a_sign_answered() {
    let looked_at = [FieldKind::Feels, FieldKind::Looks, FieldKind::Sightings, FieldKind::BedStates, FieldKind::Beds];
    // Which bed is to be made next is a task, not something seen.
    for mv in MOVES.iter().filter(|mv| mv.kind != MoveKind::Setting && mv.verb != "make-bed") {
        let answers = prefill(mv, code("4N-12"), &board(), now());
        for field in
            mv.fields.iter().filter(|it| looked_at.contains(&it.kind) || matches!(it.kind, FieldKind::Zones(_)))
        {
            assert!(answers.get(field.name).is_none(), "{} {}", mv.verb, field.name);
        }
        assert!(answers.names().all(|name| mv.field(name).is_some()), "{}", mv.verb);
    }
}

#[test]
fn a_word_for_not_knowing_is_no_bags_tag() {
    for word in ["unknown", "?", "some", "Several", "many", "all", "??"] {
        let (field, text) = wrong("prepare", "4N-13", &[("steps", "linens-bagged"), ("bags", word)]);
        assert!(field == "bags" && text.contains("is no tag: tag every bag"), "{word}: {text}");
        let (field, text) = wrong("spray", "4N-13", &[("purpose", "infested"), ("product", "RSA"), ("bags", word)]);
        assert!(field == "bags" && text.contains("leave it out, and it counts as unsafe"), "{word}: {text}");
    }
    let mixed = [("steps", "linens-bagged"), ("bags", "B7"), ("bags", "none")];
    assert_eq!(wrong("prepare", "4N-13", &mixed).0, "bags");
    assert!(try_build("prepare", "4N-13", &[("steps", "linens-bagged"), ("bags", "none")]).is_ok());
}

#[test]
fn a_ward_walk_says_what_was_wet_where_entries_may_be_missing() {
    let walked = |pairs: &[(&str, &str)]| match try_build("ward-walk", "4N", pairs) {
        Ok((_, Body::WardWalked { words, wet, .. })) => (words, wet),
        other => panic!("{other:?}"),
    };
    assert_eq!(walked(&[]), (None, None));
    let told = ("words", "LD was on duty");
    assert_eq!(walked(&[told, ("wet", "none")]).1, Some(vec![]));
    assert_eq!(walked(&[told, ("wet-rooms", "4N-13")]).1, Some(vec![code("4N-13")]));
    assert_eq!(wrong("ward-walk", "4N", &[("wet", "some")]).0, "wet-rooms");
    assert_eq!(wrong("ward-walk", "4N", &[("wet", "none"), ("wet-rooms", "4N-13")]).0, "wet-rooms");
    let mut entries = sample::entries();
    let gap = Body::Restored { reason: "a copy".to_owned() };
    entries.push(sample::entry(entries.len() as u64 + 1, Place::Hospital, gap));
    let mut board = Board::new().in_zone(chrono_tz::Europe::Paris);
    board.extend(&entries);
    let mv = find("ward-walk").unwrap();
    for (pairs, field) in [(&[][..], "words"), (&[told][..], "wet")] {
        let errors = build(mv, "4N", &answered(pairs), &board, now()).unwrap_err();
        assert_eq!(errors[0].field, field);
        assert!(errors[0].message.contains("may be missing"), "{}", errors[0].message);
    }
}

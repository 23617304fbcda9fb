//! Missing fields by the paragraph that asks for them, and what later entries add to a record.

use super::*;
use crate::domain::entry::{CommandId, Known, Place};
use crate::domain::people::Role;

fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

fn time(text: &str) -> Time {
    text.parse().unwrap()
}

fn entry(number: u64, body: Body) -> Entry {
    Entry {
        number: Number(number),
        noted: time("2026-03-02T10:30:00Z"),
        happened: time("2026-03-02T10:00:00Z"),
        done_by: code("PT"),
        noted_by: code("PT"),
        terminal: "desk".to_owned(),
        command: CommandId(number),
        place: Place::room(code("4N-12")),
        body,
    }
}

fn spray(record: TreatmentRecord) -> Entry {
    entry(
        7,
        Body::Sprayed {
            purpose: Purpose::Infested,
            product: code("RSA"),
            reentry_words: None,
            reentry_minutes: None,
            zones: Some(vec![Zone::parse("chair").unwrap()]),
            scope: vec![],
            finished: Some(time("2026-03-02T10:20:00Z")),
            bags: Some(vec![]),
            patient_inside: Known::No,
            amount_ml: Some(900),
            record: Box::new(record),
        },
    )
}

fn technician(certificate: Option<&str>) -> Person {
    Person {
        initials: code("PT"),
        name: "P. Tomasz".to_owned(),
        role: Role::Technician,
        trained_to_inspect: true,
        trained_to_apply: true,
        certificate: certificate.map(str::to_owned),
        acting_lead: None,
        pin_hash: None,
        left: false,
    }
}

fn product() -> Product {
    Product {
        code: code("RSA"),
        name: "Residual spray A".to_owned(),
        registration: Some("DEMO-0001".to_owned()),
        active_ingredient: None,
        percent: None,
        reentry_words: None,
        reentry_minutes: None,
        allowed_on: vec![],
        withdrawn: false,
    }
}

fn view(record: TreatmentRecord, later: &[Entry], certificate: Option<&str>) -> RecordView {
    let facility = Facility::empty("Invented hospital", chrono_tz::UTC);
    let (person, product) = (technician(certificate), product());
    RecordView::read(&spray(record), later, None, &facility, Some(&person), Some(&product)).unwrap()
}

fn full() -> TreatmentRecord {
    TreatmentRecord {
        for_whom: "Invented hospital, 1 Example Street".to_owned(),
        rate: "40 ml a square metre".to_owned(),
        area_treated: "22 m²".to_owned(),
        ..TreatmentRecord::default()
    }
}

#[track_caller]
fn check_missing(view: &RecordView, rule: RecordRule, expected: &[FieldName]) {
    assert_eq!(view.missing_fields(rule), expected);
}

#[test]
fn what_7_cfr_110_3_a_asks_for_is_named_by_paragraph() {
    // 7 CFR 110.3(a): (1) product name and registration number; (2) total amount; (3) location, size of area, site;
    // (4) month, day, year; (5) name and certification number of whoever applied or supervised.
    let rule = RecordRule::Cfr7Part110;
    check_missing(&view(full(), &[], Some("C-1")), rule, &[]);
    let bare = view(TreatmentRecord::default(), &[], None);
    check_missing(&bare, rule, &[FieldName::Certificate, FieldName::Rate, FieldName::Area]);
    assert_eq!(FieldName::Registration.paragraph(rule), Some("7 CFR 110.3(a)(1)"));
    assert_eq!(FieldName::Area.paragraph(rule), Some("7 CFR 110.3(a)(3)"));
    assert_eq!(FieldName::Certificate.paragraph(rule), Some("7 CFR 110.3(a)(5)"));
    assert_eq!(FieldName::ForWhom.paragraph(rule), None);
}

#[test]
fn what_40_cfr_171_303_b_7_asks_for_includes_for_whom() {
    // 40 CFR 171.303(b)(7): as above, and name and address of the person for whom it was applied, and the time.
    let rule = RecordRule::Cfr40Part171;
    check_missing(&view(full(), &[], Some("C-1")), rule, &[]);
    let bare = view(TreatmentRecord::default(), &[], None);
    let expected = [FieldName::ForWhom, FieldName::Certificate, FieldName::Rate, FieldName::Area];
    check_missing(&bare, rule, &expected);
}

#[test]
fn no_rule_asks_for_nothing() {
    check_missing(&view(TreatmentRecord::default(), &[], None), RecordRule::None, &[]);
    assert_eq!(RecordRule::of(&Policy::default()), RecordRule::None);
}

#[test]
fn a_name_typed_instead_of_the_one_on_the_roster_does_not_borrow_its_certificate() {
    let other = TreatmentRecord { applicator: "Somebody of a contractor".to_owned(), ..full() };
    check_missing(&view(other, &[], Some("C-1")), RecordRule::Cfr7Part110, &[FieldName::Certificate]);
}

#[test]
fn a_certificate_of_nobody_asks_whose_it_is() {
    // 40 CFR 171.303(b)(7): name and certification number of the certified applicator who applied or supervised.
    let typed = TreatmentRecord { certificate: "C-9".to_owned(), ..full() };
    for rule in [RecordRule::Cfr7Part110, RecordRule::Cfr40Part171] {
        check_missing(&view(typed.clone(), &[], None), rule, &[FieldName::Supervisor]);
        let supervised = TreatmentRecord { supervisor: "S. Certified".to_owned(), ..typed.clone() };
        check_missing(&view(supervised, &[], None), rule, &[]);
        // Of somebody else who is named, or of whoever has one on the list, it is their own.
        let contractor = TreatmentRecord { applicator: "Somebody of a contractor".to_owned(), ..typed.clone() };
        check_missing(&view(contractor, &[], None), rule, &[]);
        check_missing(&view(typed.clone(), &[], Some("C-1")), rule, &[]);
    }
}

#[test]
fn what_comes_later_fills_in_and_takes_nothing_back() {
    let completed = |number, amount_ml, patient_inside| {
        entry(
            number,
            Body::SprayCompleted {
                spray: Number(7),
                zones: None,
                finished: None,
                bags: None,
                reentry_words: None,
                reentry_minutes: None,
                amount_ml,
                patient_inside,
            },
        )
    };
    let bare = |later: &[Entry]| {
        let mut spray = spray(full());
        let Body::Sprayed { amount_ml, patient_inside, .. } = &mut spray.body else { unreachable!() };
        (*amount_ml, *patient_inside) = (None, Known::Unknown);
        let facility = Facility::empty("Invented hospital", chrono_tz::UTC);
        let (person, product) = (technician(Some("C-1")), product());
        RecordView::read(&spray, later, None, &facility, Some(&person), Some(&product)).unwrap()
    };
    check_missing(&bare(&[]), RecordRule::Cfr7Part110, &[FieldName::Amount]);
    let later = [completed(8, Some(900), Known::No), completed(9, Some(700), Known::Unknown)];
    check_missing(&bare(&later), RecordRule::Cfr7Part110, &[]);
    assert_eq!((bare(&later).amount_ml, bare(&later).patient_inside), (Some(900), Known::No));
    let yes = [completed(8, None, Known::No), completed(9, None, Known::Yes), completed(10, None, Known::No)];
    assert_eq!(bare(&yes).patient_inside, Known::Yes, "late news only adds");
}

#[test]
fn a_rule_says_how_long_its_records_are_kept() {
    assert_eq!(RecordRule::None.keeping(), None);
    let kept = RecordRule::Cfr7Part110.keeping().unwrap();
    assert!(kept.contains("2 years") && kept.contains(&format!("{WRITTEN_WITHIN_DAYS} days")), "{kept}");
    assert!(RecordRule::Cfr40Part171.keeping().unwrap().contains("2 years"));
    let view = view(full(), &[], None);
    assert_eq!(view.late(), Some(TimeDelta::minutes(10)), "from the end of spraying");
}

#[test]
fn amendments_and_completions_are_read_and_a_voided_one_is_not() {
    let amend = |number, value: &str| {
        let (field, value) = ("certificate".to_owned(), value.to_owned());
        entry(number, Body::Amended { entry: Number(7), field, value })
    };
    let completed = Body::SprayCompleted {
        spray: Number(7),
        zones: None,
        finished: None,
        bags: None,
        reentry_words: Some("until dry".to_owned()),
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    let void = Body::Voided { entry: Number(9), why: "wrong number".to_owned(), really_in: None };
    let later = [amend(8, "C-2"), amend(9, "C-3"), entry(10, completed), entry(11, void)];
    let view = view(full(), &later, None);
    assert_eq!(view.text.certificate, "C-2");
    assert_eq!(view.reentry_words, "until dry");
    assert!(!view.voided);
}

#[test]
fn nothing_that_a_rule_reads_can_be_amended() {
    let mut view = view(full(), &[], None);
    for field in ["zones", "finish", "amount-ml", "product", "re-entry", "location", ""] {
        assert!(view.amendable(field).is_none(), "{field}");
    }
}

#[test]
fn what_can_be_amended_is_what_decide_lets_through() {
    let mut view = view(full(), &[], None);
    for name in FieldName::ALL {
        let lets_through = crate::domain::decide::AMENDABLE.contains(&name.word());
        assert_eq!(view.amendable(name.word()).is_some(), lets_through, "{}", name.word());
    }
}

//! What is to be known of an open bed stands beside it on every page that lists it.

use super::program::{Program, rows};

/// 4N-01 is a case; the beds of 4N-02 beside it are open, and one is promised.
fn beside() -> Program {
    let mut it = Program::walked();
    it.at("2026-03-02T08:20:00Z");
    it.note("CN", "finding 4N-01 --seen 4N-01-A/mattress=live-adult", &[]).done();
    it
}

#[test]
fn an_open_bed_beside_a_case_is_marked_on_every_page() {
    let it = beside();
    let said = it.note("CN", "promise 4N-02-A --wanted 10:30", &[]).done();
    assert!(said.contains("know of 4N-02-A: next to a case"), "{said}");
    for (question, said) in [
        ("beds", "promised for 10:30"),
        ("beds", "next to a case"),
        ("beds --open", "next to a case"),
        ("rooms", "2 of 2, 1 of them promised; next to a case"),
        ("room 4N-02", "bed 4N-02-B: open, next to a case, empty"),
        ("wall", "4N-02-A (promised, next to a case), 4N-02-B (next to a case)"),
        ("shift", "4N-02-A (promised, next to a case), 4N-02-B (next to a case)"),
        ("sheets --wards 4N", "open: 4N-02-A+ (promised),\n                                              4N-02-B+\n"),
        ("sheets --wards 4N", "+ next to a case"),
    ] {
        let text = it.run(question, &[]).done();
        assert!(text.contains(said), "{question} lacks “{said}”: {text}");
    }
    let lines = it.run_with("lines", &[], b"open 4N\nrooms\nroom 4N-02\nquit\n").done();
    for said in [
        "4N-02-B: open; next to a case",
        "2 of 2, 1 of them promised, next to a case",
        "bed 4N-02-B: open, next to a case",
    ] {
        assert!(lines.contains(said), "lines lack “{said}”: {lines}");
    }
    let beds = it.json("beds");
    let marked =
        |code: &str| rows(&beds["beds"]).iter().find(|bed| bed["code"] == code).expect("the bed")["marks"].clone();
    assert_eq!(marked("4N-02-A"), serde_json::json!(["next-to-case"]));
    assert_eq!(marked("4N-01-A"), serde_json::json!([]), "a closed bed is closed");
    assert_eq!(it.json("room 4N-02")["room"]["marks"], serde_json::json!(["next-to-case"]));
}

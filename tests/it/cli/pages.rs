//! Pages to print: paper for a downtime, the records of a room, the exceptions of some days; and what people leave for others.

use super::program::{Program, SPRAYED};

#[test]
fn paper_sheets_have_a_number_of_their_own_and_fit_the_page() {
    let it = Program::walked();
    let paper = it.run("sheets --count 2 --first 7 --wards 4N", &[]).done();
    let pages: Vec<&str> = paper.split('\x0c').collect();
    assert_eq!(pages.len(), 3, "{paper}");
    assert!(pages[0].contains("In doubt a bed is closed.") && pages[0].contains("4N-02 "), "{paper}");
    assert!(pages[1].contains("SHEET 7") && pages[2].contains("SHEET 8"), "{paper}");
    assert!(pages[1].contains("Spray;") && pages[1].contains("mattress"), "{paper}");
    for page in pages {
        assert!(page.lines().count() <= 60, "{} lines", page.lines().count());
        assert!(page.lines().all(|line| line.chars().count() <= 80), "{page}");
    }
    let no = it.run("sheets --wards 9Z", &[]);
    assert!(no.err.contains("there is no ward"), "{no}");
}

#[test]
fn the_records_of_a_room_are_a_page_with_every_field() {
    let mut it = Program::walked();
    it.at("2026-03-02T11:30:00Z");
    let zones = SPRAYED.join(",");
    let spray = ["--zones", &zones, "--finish", "12:20", "--bags", "none", "--patient-inside", "no", "--at", "12:00"];
    it.note("TE", "spray 4N-02 --purpose preventive --product RS-A", &spray).done();
    let page = it.run("record 4N-02", &[]).done();
    assert!(page.contains("Treatment records of room 4N-02") && page.contains("zones, in order"), "{page}");
    assert!(it.run("record 4N-02 --to 2026-03-01", &[]).done().contains("0 records to 2026-03-01"));
    for (words, says) in [
        ("record 4N-02 --from soon", "--from: “soon” is no date: type YYYY-MM-DD"),
        ("exceptions --from 2026-03-03 --to 2026-03-02", "is before --from"),
        ("record 4N-O2", "did you mean 4N-02?"),
    ] {
        let ended = it.run(words, &[]);
        assert!(ended.err.contains(says), "{ended}");
    }
    assert!(it.run("exceptions --from 2026-03-02", &[]).done().contains(" from 2026-03-02, noted without blame"));
}

#[test]
fn a_mistyped_word_leads_to_no_command_that_writes_a_ledger_anew() {
    let it = Program::walked();
    for word in ["repar", "restor", "report"] {
        let ended = it.run(word, &[]);
        assert!(!ended.err.contains("'repair'") && !ended.err.contains("'restore'"), "{ended}");
    }
}

#[test]
fn what_could_not_be_done_stands_beside_its_task_and_settles_nothing() {
    let it = Program::walked();
    it.note("CN", "finding 4N-02", &["--seen", "reported-bites"]).done();
    let but_why = || {
        let mut tasks = it.json("tasks")["tasks"].clone();
        for task in tasks.as_array_mut().into_iter().flatten() {
            task["hindrance"] = serde_json::Value::Null;
        }
        (it.state("4N-02"), tasks)
    };
    let before = but_why();
    it.note("HK", "could-not 4N-02", &["--reason", "asleep", "--again", "2359"]).done();
    assert_eq!(but_why(), before);
    let said = it.run_with("lines", &[], b"tasks\n4N-02\nquit\n").done();
    assert!(said.contains("; not possible ") && said.contains(": asleep; again 23:59"), "{said}");
    it.note("HK", "hand-over 4N", &["--text", "the corridor lamp is out"]).done();
    let shift = it.run("shift", &[]).done();
    assert!(shift.contains("Handed over\n  ward 4N: the corridor lamp is out, "), "{shift}");
}

//! One count of open beds everywhere: what is promised is counted apart. And reasons: each said once, where it is looked for.

use super::program::{Program, rows};

/// Two beds promised in a ward of four open ones.
fn promised() -> Program {
    let mut it = Program::walked();
    it.at("2026-03-02T08:20:00Z");
    it.note("CN", "promise 4N-02-A --wanted 10:30", &[]).done();
    it
}

#[test]
fn an_open_bed_that_is_promised_is_counted_apart_everywhere() {
    let it = promised();
    for (question, said) in [
        ("beds", "4 of 4 beds open, 1 of them promised"),
        ("rooms", "2 of 2, 1 of them promised"),
        ("wall", ": 4 of 4, 1 of them promised"),
        ("shift", "ward 4N: 4 of 4 open, 1 of them promised"),
    ] {
        let text = it.run(question, &[]).done();
        assert!(text.contains(said), "{question}: {text}");
    }
    let lines = it.run_with("lines", &[], b"open\nbeds\nrooms\nquit\n").done();
    assert_eq!(lines.matches("beds open: 4 of 4, 1 of them promised").count(), 4, "{lines}");
    assert!(lines.contains("4N-02: clear; beds open: 2 of 2, 1 of them promised"), "{lines}");
    for question in ["beds", "rooms", "tasks", "room 4N-02"] {
        let json = it.json(question);
        let of = |name: &str| json[name].as_u64();
        let counts = [of("beds_total"), of("beds_free"), of("beds_promised")];
        assert_eq!(counts, [Some(4), Some(3), Some(1)], "{question}");
    }
    let room = &it.json("room 4N-02")["room"];
    assert_eq!([&room["beds_open"], &room["beds_free"], &room["beds_promised"]], [2, 1, 1]);
    let beds = it.json("beds");
    let free = rows(&beds["beds"]).iter().filter(|bed| bed["free"] == true).count();
    assert_eq!(free, 3);
}

#[test]
fn what_closes_a_room_is_said_once_for_its_beds() {
    let mut it = promised();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "finding 4N-02 --seen 4N-02-A/mattress=live-adult", &[]).done();
    it.note("CN", "occupied 4N-02-B", &[]).done();
    let text = it.run("beds", &[]).done();
    assert_eq!(text.matches("no complete negative inspection since").count(), 1, "{text}");
    assert!(text.contains("4N    4N-02    closed"), "{text}");
    assert_eq!(text.matches("as room 4N-02 above").count(), 2, "{text}");
    assert_eq!(text.matches("a patient is in the bed").count(), 1, "{text}");
}

#[test]
fn a_task_says_why_it_could_not_be_done() {
    let mut it = promised();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "finding 4N-02 --seen 4N-02-A/mattress=live-adult", &[]).done();
    it.at("2026-03-02T09:00:00Z");
    it.note("HK", "could-not 4N-02 --again 10:40 --reason", &["patient asleep"]).done();
    let said = "not possible 10:00: patient asleep; again 10:40";
    let text = it.run("tasks", &[]).done();
    assert!(text.contains(said), "{text}");
    let tasks = it.json("tasks");
    let of_room = rows(&tasks["tasks"]).iter().find(|task| task["room"] == "4N-02").expect("a task of the room");
    assert_eq!(of_room["hindrance"], said);
    let other = rows(&tasks["tasks"]).iter().find(|task| task["room"] == "4N-01").expect("another room's");
    assert!(other["hindrance"].is_null(), "{other}");
}

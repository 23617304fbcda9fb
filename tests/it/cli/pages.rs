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

/// The command that stands behind the room's next step.
fn next_command(it: &Program, room: &str, before: &str) -> String {
    let page = it.run(&format!("{before}room {room}"), &[]).out;
    let line = page.lines().find(|line| line.starts_with("next step: ")).unwrap_or_else(|| panic!("a step: {page}"));
    let command = line.rsplit_once('(').and_then(|(_, rest)| rest.strip_suffix(')'));
    command.unwrap_or_else(|| panic!("a command: {line}")).to_owned()
}

#[test]
fn what_a_page_prints_can_be_typed_as_it_stands() {
    let mut it = Program::walked();
    let said = it.note("AB", "set-room 4N-01 --beds 4N-01-A:window,4N-01-C", &[]).done();
    assert!(said.contains("(dryhold note ward-walk 4N)"), "{said}");
    assert_eq!(next_command(&it, "4N-01", ""), "dryhold note ward-walk 4N");
    it.note("AB", "ward-walk 4N", &[]).done();
    // Another ledger than the one that the next command would take.
    std::fs::create_dir(it.path("my ward")).expect("a folder");
    std::fs::rename(it.path("ledger.ron"), it.path("my ward/it's.ron")).expect("it is moved");
    std::fs::copy(it.path("rooms.csv"), it.path("ledger.ron")).expect("something else stands there");
    let there = it.path("my ward/it's.ron");
    let flag = ["--ledger", there.to_str().expect("a path")];
    let named = format!("dryhold --ledger '{}' note ", flag[1].replace('\'', "'\\''"));
    it.at("2026-03-02T09:00:00Z");
    let said = it.run("note finding 4N-03 --seen chair=dark-spots --as HK", &flag).done();
    assert!(said.contains(&format!("({named}inspect 4N-03")), "{said}");
    for page in ["tasks", "room 4N-03"] {
        let text = it.run(page, &flag).done();
        assert!(text.contains(&format!("{named}inspect 4N-03")), "{page}: {text}");
        assert!(!text.contains("dryhold note"), "{page}: {text}");
    }
    let tasks = it.run("tasks --json", &flag).done();
    assert!(tasks.contains("dryhold --ledger ") && !tasks.contains("dryhold note"), "{tasks}");
    let refused = it.run("note return 4N-03 --as AB", &flag);
    assert!(refused.err.contains("refused (") && !refused.err.contains("dryhold note"), "{refused}");
}

#[test]
fn the_step_of_a_room_is_not_its_daily_look() {
    let mut it = Program::walked();
    it.at("2026-03-02T09:00:00Z");
    it.note("HK", "finding 4N-02 --seen chair=dark-spots", &[]).done();
    it.at("2026-03-03T12:00:00Z");
    it.note("CN", "occupancy 4N --empty 4N-01-A,4N-02-A,4N-02-B,4N-03-A", &[]).done();
    assert_eq!(next_command(&it, "4N-02", ""), "dryhold note inspect 4N-02 --depth full");
}

#[test]
fn where_two_clocks_disagree_the_step_names_the_move_alone() {
    let mut it = Program::walked();
    it.at("2026-03-02T09:00:00Z");
    it.note("HK", "finding 4N-03 --seen chair=dark-spots", &[]).done();
    it.at("2026-03-02T08:50:00Z");
    let spray = "note spray 4N-02 --purpose preventive --product RS-A --zones chair --bags none --as TE";
    it.run_in(spray, &[("DRYHOLD_TERMINAL", "slow")]).done();
    assert_eq!(next_command(&it, "4N-02", ""), "dryhold note clock");
}

#[test]
fn a_promise_that_cannot_be_kept_is_late_on_every_page() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("HK", "finding 4N-02 --seen chair=dark-spots", &[]).done();
    it.note("CN", "promise 4N-02-A --wanted 09:35", &[]).done();
    let pages = |it: &Program| {
        let lines = it.run_with("lines", &[], b"beds\nquit\n").done();
        [it.run("beds", &[]).done(), it.run("shift", &[]).done(), lines]
    };
    it.at("2026-03-02T08:25:00Z");
    for page in pages(&it) {
        assert!(!page.contains("still wanted?"), "{page}");
    }
    it.at("2026-03-02T10:00:00Z");
    for page in pages(&it) {
        assert!(page.contains("1 h 25 late: still wanted?; LATE: 11:20 at the earliest"), "{page}");
    }
}

#[test]
fn a_voided_entry_is_told_as_voided_in_the_text_too() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("HK", "finding 4N-02 --seen chair=dark-spots", &[]).done();
    let number = it.json("room 4N-02")["room"]["timeline"][0]["entry"].to_string();
    it.at("2026-03-02T08:40:00Z");
    let void = it.note("AB", &format!("void 4N-02 --why slip --entry {number}"), &[]).done();
    let void = void.trim_start_matches("noted as entry ").split(':').next().unwrap_or_default().to_owned();
    let mark = format!("voided by entry {void}");
    let text = it.run("room 4N-02", &[]).done();
    assert!(text.contains(&format!("finding: dark spots at chair [{mark}]")), "{text}");
    let lines = it.run_with("lines", &[], b"room 4N-02\nquit\n").done();
    assert!(lines.contains(&format!("; {mark}")), "{lines}");
    let row = &it.json("room 4N-02")["room"]["timeline"][1];
    assert_eq!((row["entry"].to_string(), row["problem"].as_str()), (number, Some(mark.as_str())), "{row:#}");
}

#[test]
fn the_task_of_a_bag_that_is_out_from_two_rooms_names_its_room() {
    let mut it = Program::walked();
    for room in ["4N-02", "4N-03"] {
        it.note("HK", &format!("prepare {room} --steps linens-bagged --bags L1"), &[]).done();
    }
    it.at("2026-03-02T10:00:00Z");
    let cycle = "--wash-celsius 75 --wash-minutes 40 --detergent yes";
    it.note("LA", &format!("launder L1 {cycle}"), &[]).fails(2, &["--room", "4N-02 and 4N-03"]);
    for room in ["4N-02", "4N-03"] {
        let launder = it.task(room, "launder bag L1");
        let said = it.note("LA", &format!("{launder} {cycle}"), &[]).done();
        assert!(said.contains(&format!("room {room}: ")) && !said.contains("failed"), "{said}");
    }
    let left = it.json("tasks").to_string();
    assert!(!left.contains("launder bag"), "{left}");
}

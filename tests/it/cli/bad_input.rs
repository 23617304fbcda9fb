//! Bad input: a clear sentence, the right status, nothing lost, and no bed open that cannot be proved open.

use std::fs;

use super::program::{Program, ROOMS, rows};

const SETUP: &str = "setup list.csv --rehearsal --time-zone UTC --lead AB,Lead";

/// Clears the screen, and says so in the other way that terminals know.
const HOSTILE: &str = "a\u{1b}[2Jb\u{9b}2Jc\u{202e}d\u{7}";

#[track_caller]
fn is_harmless(text: &str) {
    let obeyed =
        |c: &char| (c.is_control() && *c != '\n') || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let found = text.chars().find(obeyed);
    assert!(found.is_none(), "{found:?} reached the terminal in {text:?}");
}

#[test]
fn a_room_list_with_faults_makes_nothing_and_names_each() {
    let rows = |lines: &str| format!("ward,room,beds\n{lines}").into_bytes();
    let lists: [(Vec<u8>, &str); 7] = [
        (rows("A,1,1-A\nA,1,1-B\n"), "line 3"),
        (rows("A,1,1-A\nA,2,1-A\n"), "line 3"),
        (rows(",1,1-A\n"), "line 2"),
        (rows("A,1|2,1-A\n"), "line 2"),
        (rows(&format!("A,{HOSTILE},1-A\n")), "line 2"),
        (vec![], "empty"),
        (b"ward,room,beds\nA,1,1-\xe4\n".to_vec(), "UTF-8"),
    ];
    for (list, says) in lists {
        let it = Program::new();
        fs::write(it.path("list.csv"), list).unwrap();
        let said = it.run(SETUP, &[]).fails(1, &[says]);
        is_harmless(&said);
        assert!(!it.path("ledger.ron").exists(), "nothing is made: {said}");
    }
    Program::new().run(SETUP, &[]).fails(1, &["list.csv"]);
}

#[test]
fn line_ends_marks_and_size_of_a_room_list_do_not_matter() {
    let many: String = (0..5000).map(|n| format!("W{},R{n:04},R{n:04}-A\n", n / 50)).collect();
    let lists = [
        format!("\u{feff}{}", ROOMS.replace('\n', "\r\n")),
        ROOMS.replace("Fourth floor north", "\"Étage 4, „Nord“ 🛏\""),
        "ward,room,beds\nA,1,-\n".to_owned(),
        format!("ward,room,beds\n{many}"),
    ];
    for list in lists {
        let it = Program::new();
        fs::write(it.path("list.csv"), &list).unwrap();
        it.run(SETUP, &[]).done();
        assert!(it.open().is_empty());
        it.run("check", &[]).done();
    }
}

#[test]
fn hostile_text_is_kept_and_never_obeyed() {
    let it = Program::walked();
    let said = it.note("CN", "finding 4N-01 --seen reported-bites --note", &[HOSTILE.trim_end_matches('\u{7}')]).done();
    is_harmless(&said);
    for question in ["beds", "rooms", "tasks", "room 4N-01", "", "check"] {
        is_harmless(&it.run(question, &[]).out);
    }
    for question in ["beds", "rooms", "tasks", "room 4N-01"] {
        is_harmless(&it.run(&format!("{question} --json"), &[]).done());
    }
    let room = it.json("room 4N-01");
    let text = rows(&room["room"]["timeline"])[0]["text"].as_str().unwrap_or_default();
    assert!(text.contains("a\u{1b}[2Jb"), "nothing of what was typed is lost: {text:?}");
    for words in
        [vec!["room", HOSTILE], vec!["beds", HOSTILE], vec![HOSTILE], vec!["note", "finding", HOSTILE, "--as", "CN"]]
    {
        let said = it.run("", &words).fails(2, &[]);
        is_harmless(&said);
    }
}

#[test]
fn a_sign_that_no_screen_shows_is_said_and_one_that_a_script_needs_is_shown() {
    let it = Program::walked();
    let said = it.note("CN", "hand-over 4N --text", &["turn \u{202e}round"]).done();
    assert!(said.contains("turn \u{fffd}round") && said.contains("a sign that no screen shows"), "{said}");
    let said = it.note("CN", "hand-over 4N --text", &["می\u{200c}شود"]).done();
    assert!(said.contains("می\u{200c}شود") && !said.contains("no screen shows"), "{said}");
    let hidden = "ward,floor,room,kind,beds,room_name\n4N,4,4N-01,patient-room,4N-01-A,a\u{200d}b\n";
    fs::write(it.path("hidden.csv"), hidden).expect("a room list");
    it.run("setup hidden.csv --ledger new.ron --time-zone UTC --rehearsal --lead", &["AB,Lead"])
        .fails(1, &["hidden mark", "room_name"]);
}

#[test]
fn long_notes_are_kept_whole_or_refused_with_a_reason() {
    let it = Program::walked();
    let before = it.ledger();
    let note = "x".repeat(10_000);
    let ended = it.note("CN", "finding 4N-01 --seen reported-bites --note", &[&note]);
    match ended.status {
        Some(0) => assert!(String::from_utf8_lossy(&it.ledger()).contains(&note), "{}", ended.err),
        _ => {
            assert!(ended.err.lines().count() >= 1 && !ended.err.contains(&note), "{ended}");
            assert_eq!(it.ledger(), before);
        }
    }
    it.run("check", &[]).done();
}

#[test]
fn times_that_cannot_be_are_refused() {
    let it = Program::walked();
    let before = it.ledger();
    let bites = "finding 4N-01 --seen reported-bites";
    it.note("CN", bites, &["--at", "2026-03-03 10:00"]).refused("future");
    it.note("CN", bites, &["--at", "25:10"]).fails(2, &["--at"]);
    // The night in which the clocks go forward has no half past two.
    it.note("CN", bites, &["--at", "2025-03-30 02:30"]).fails(2, &["--at"]);
    it.note("CN", "empty 4N-01-A", &["--at", "2026-03-01 10:00"]).fails(3, &["refused ("]);
    assert_eq!(it.ledger(), before);
    it.note("CN", bites, &["--at", "2026-03-03 10:00", "--future-is-meant"]).done();
    assert_eq!(it.state("4N-01"), "suspect");
}

#[test]
fn wrong_usage_is_two_and_writes_nothing() {
    let it = Program::walked();
    let before = it.ledger();
    it.run("note finding 4N-01 --seen eggs", &[]).fails(2, &["--as"]);
    it.note("CN", "finding 4N-99 --seen eggs", &[]).fails(2, &["there is no room or bed", "--help"]);
    it.note("CN", "finding 4N-01 --seen sofa", &[]).fails(2, &["--seen"]);
    it.note("CN", "finding 4N-01", &[]).fails(2, &["--seen"]);
    it.note("CN", "dance 4N-01", &[]).fails(2, &["dance"]);
    it.run("beds --sideways", &[]).fails(2, &["--sideways"]);
    it.note("ZZ", "finding 4N-01 --seen eggs", &[]).fails(3, &["roster", "ZZ is not on the roster"]);
    assert_eq!(it.ledger(), before);
}

#[test]
fn a_missing_ledger_is_offered_to_be_made() {
    let it = Program::new();
    it.run("", &[]).fails(1, &["there is no ledger", "dryhold setup", "dryhold demo"]);
    for words in ["beds", "check", "tasks --json"] {
        it.run(words, &[]).fails(1, &["there is no ledger", "dryhold setup"]);
    }
    assert!(!it.path("ledger.ron").exists());
}

#[test]
fn a_ledger_that_is_none_is_four_and_left_as_it_is() {
    let newer =
        |ledger: Vec<u8>| String::from_utf8(ledger).unwrap().replacen("format:1,", "format:99,", 1).into_bytes();
    let it = Program::walked();
    let files = [vec![], b"<page/>\n".to_vec(), b"\0\xff\xfe binary".to_vec(), newer(it.ledger())];
    for file in files {
        fs::write(it.path("ledger.ron"), &file).unwrap();
        for words in ["beds", "note finding 4N-01 --seen eggs --as CN", "check", ""] {
            let ended = it.run(words, &[]);
            assert!(!ended.out.contains(" open "), "{ended}");
            ended.fails(4, &["ledger"]);
            assert_eq!(it.ledger(), file, "it is not touched");
        }
    }
}

#[test]
fn a_ledger_edited_by_hand_shows_every_bed_closed_and_takes_no_entry() {
    let it = Program::walked();
    assert_eq!(it.open().len(), 4);
    let whole = String::from_utf8(it.ledger()).unwrap();
    let edited = whole.replacen("4N-03-A", "4N-09-A", 1);
    assert_ne!(edited, whole);
    fs::write(it.path("ledger.ron"), &edited).unwrap();
    let beds = it.run("beds --json", &[]);
    assert_eq!(beds.status, Some(4), "{beds}");
    let answer: serde_json::Value = serde_json::from_str(&beds.out).expect("JSON");
    assert_eq!(answer["ledger_standing"], "damaged");
    assert!(!rows(&answer["beds"]).is_empty(), "the beds are still listed");
    assert!(rows(&answer["beds"]).iter().all(|bed| bed["admission"] == "closed"), "{answer:#}");
    it.note("CN", "occupied 4N-01-A", &[]).fails(4, &["damaged", "dryhold repair"]);
    it.run("check", &[]).fails(4, &[]);
    assert_eq!(it.ledger(), edited.as_bytes());
    let said = it.run("repair --to mended.ron", &[]).done();
    let mended = it.run("--ledger mended.ron beds --open", &[]).out;
    assert!(mended.contains("no bed is open"), "what the damaged line said is to be attested: {mended}");
    let number = said.split_once("attest what each said: ").and_then(|(_, rest)| rest.split_whitespace().next());
    let number = number.unwrap_or_else(|| panic!("a number to attest: {said}"));
    let attest = format!("--ledger mended.ron note --as AB attest hospital --entry {number}");
    let words = ["--words", "how room 4N-03 is laid out"];
    it.run(&attest, &words).fails(3, &["refused ("]);
    let second = attest.replace("--as AB attest", "--as CN second-attest");
    it.run(&second, &["--words", "I set that room: two beds"]).done();
    it.run(&attest, &words).done();
}

#[test]
fn a_ledger_that_lost_its_end_opens_nothing_until_it_was_walked() {
    let mut it = Program::walked();
    let earlier = it.ledger();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "finding 4N-01 --seen dark-spots", &[]).done();
    fs::write(it.path("ledger.ron"), &earlier).unwrap();
    assert!(it.open().is_empty(), "this terminal has seen more than there is");
    it.at("2026-03-02T08:40:00Z");
    let said = it.run("check", &[]);
    assert!(said.out.contains("entry 19 is missing"), "{}", said.out);
    said.fails(4, &[]);
    assert_eq!(it.ledger(), earlier, "looking and checking write nothing");
    // Whoever notes something next has the record say it to everybody.
    it.note("CN", "hand-over 4N-01 --text back", &[]).done();
    it.run("check", &[]).fails(4, &[]);
    let said = it.run("check", &[]).out;
    assert!(said.contains("the ledger had gone back") && said.contains("1 entry ("), "{said}");
    let walk = it.task("4N-01", "walk the ward and sign");
    it.note("AB", &walk, &[]).fails(2, &["--words: needed: 1 entry (", "is missing"]);
    let told = ["--words", "CN was on duty: a finding in 4N-01", "--wet", "none"];
    it.note("AB", &walk, &told).refused("label");
    it.at("2026-03-02T12:40:00Z");
    it.note("AB", &walk, &told).done();
    it.run("check", &[]).done();
    assert_eq!(it.open().len(), 4);
}

#[test]
fn a_full_disk_loses_nothing() {
    let it = Program::walked();
    let before = it.ledger();
    let blocks = before.len() / 512 + 1;
    let note = "x".repeat(3000);
    let words = "note finding 4N-01 --seen reported-bites --as CN --note";
    let ended = it.run_on_a_full_disk(blocks, words, &[&note]);
    ended.fails(1, &["nothing was noted"]);
    assert_eq!(it.ledger(), before);
    it.run("check", &[]).done();
    it.note("CN", "finding 4N-01 --seen reported-bites", &[]).done();
}

#[test]
fn the_time_is_set_only_in_a_rehearsal() {
    let it = Program::new();
    it.run("setup rooms.csv --time-zone UTC --lead AB,Lead", &[]).fails(2, &["--rehearsal"]);
    assert!(!it.path("ledger.ron").exists());
    it.run("setup rooms.csv --time-zone Nowhere/Else --rehearsal --lead AB,Lead", &[]).fails(2, &["--time-zone"]);
    it.run("setup rooms.csv --time-zone UTC --rehearsal --lead nobody", &[])
        .fails(2, &["initials, a comma and a name"]);
}

//! What the program says of a file that was cut, copied, put back or forged: nothing opens by it, and looking writes nothing.

use std::fs;

use super::program::{Ended, Program};

/// Every face that shows beds, rooms or tasks, as text.
const FACES: [&str; 6] = ["beds", "rooms", "tasks", "room 4N-01", "shift", "wall"];

impl Program {
    #[track_caller]
    fn says(&self, words: &str, wanted: &[&str]) -> Ended {
        let said = self.run(words, &[]);
        for text in wanted {
            assert!(said.out.contains(text), "{}: no “{text}”: {}", said.line, said.out);
        }
        said
    }

    /// Line mode's answers to these lines.
    fn lines(&self, typed: &str) -> String {
        self.run_with("lines", &[], format!("{typed}\nquit\n").as_bytes()).out
    }
}

#[test]
fn a_cut_end_closes_every_bed_at_every_terminal_and_is_said_until_it_was_walked() {
    for (cut, is_kept) in
        [(1, true), (3, true), (4, true), (5, true), (12, false), (150, false), (300, false), (700, false)]
    {
        let mut it = Program::walked();
        it.at("2026-03-02T08:30:00Z");
        it.note("CN", "finding 4N-01 --seen dark-spots", &[]).done();
        let whole = it.ledger();
        let broken = &whole[..whole.len() - cut];
        fs::write(it.path("ledger.ron"), broken).unwrap();
        for terminal in ["", "new"] {
            it.sits_at(terminal);
            assert!(it.open().is_empty(), "cut by {cut} at {terminal:?}");
            let beds = it.run("beds --json", &[]);
            assert_eq!(beds.status, Some(4), "{}", beds.out);
            assert!(
                beds.out.contains("\"ledger_standing\": \"damaged\"")
                    && beds.out.contains("the end of the file was lost")
            );
            for face in FACES {
                it.says(face, &["the end of the file was lost"]).fails(4, &[]);
            }
            it.says("check", &["the end of the file was lost"]).fails(4, &[]);
            assert_eq!(it.ledger(), broken, "looking and checking write nothing");
        }
        let said = it.lines("beds\nopen");
        assert!(said.contains("do not enter: any room without asking") && !said.contains("0 of 0"), "{said}");
        // Whoever notes next, or sits down to, closes everything by an entry, and goes on behind it.
        it.note("CN", "hand-over 4N --text on", &[]).done();
        let kept = it.json("room 4N-01").to_string().contains("dark spots");
        assert_eq!(kept, is_kept, "cut by {cut}");
        it.sits_at("another");
        assert!(it.open().is_empty(), "cut by {cut}");
        assert!(it.json("beds").to_string().contains("\"ledger_standing\":\"incomplete\""));
        it.says("check", &["the end of the file was lost", "not every ward"]).fails(4, &[]);
        it.at("2026-03-02T13:30:00Z");
        it.note("AB", "ward-walk 4N --wet none --words", &["CN was on duty: dark spots in 4N-01"]).done();
        it.says("check", &["the end of the file was lost", "every ward was walked since"]).done();
        it.note("CN", "occupancy 4N --empty 4N-01-A,4N-02-A,4N-02-B,4N-03-A", &[]).done();
        assert_eq!(it.open().len(), if is_kept { 3 } else { 4 }, "cut by {cut}");
    }
}

#[test]
fn a_copy_that_goes_on_takes_nothing_from_the_ledger_and_the_lead_says_which_it_is() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    let whole = it.ledger();
    fs::write(it.path("copy.ron"), &whole).unwrap();
    it.run("note --as CN finding 4N-01 --seen dark-spots --ledger copy.ron", &[]).done();
    // Looking at the ledger says what is the matter, opens nothing, and writes nothing.
    assert!(it.open().is_empty());
    let told = ["another file of this ledger went further", "copy.ron", "which-ledger"];
    for face in FACES.into_iter().chain(["check"]) {
        it.says(face, &told).fails(4, &[]);
    }
    assert!(it.json_of_any_end("beds").contains("\"ledger_standing\": \"incomplete\""));
    let said = it.lines("open");
    assert!(said.contains("went further") && said.contains("beds open: none that is known to be"), "{said}");
    assert_eq!(it.ledger(), whole);
    // Only the lead says it, once; no ward is walked for it.
    it.note("CN", "which-ledger hospital --words", &["a drill"]).refused("role");
    it.note("AB", "which-ledger hospital --words", &["CN tried something with the copy"]).done();
    assert_eq!(it.open().len(), 4);
    it.says("check", &["nothing is wrong"]).done();
    // The other one is closed now, and stays so; what goes on there concerns the ledger no more.
    let copy = it.run("beds --open --ledger copy.ron", &[]);
    assert!(copy.status == Some(4) && copy.out.contains("no bed is open"), "{}", copy.out);
    it.run("note --as CN finding 4N-02 --seen dark-spots --ledger copy.ron", &[]).done();
    assert_eq!(it.open().len(), 4);
    it.note("AB", "which-ledger hospital --words", &["again"]).fails(2, &["nothing to choose between"]);
    // A backup that is looked at is left as it is, and so is the ledger.
    fs::write(it.path("backup.ron"), &whole).unwrap();
    it.run("beds --ledger backup.ron", &[]).fails(4, &[]);
    assert_eq!(fs::read(it.path("backup.ron")).unwrap(), whole);
    assert_eq!(it.open().len(), 4);
}

#[test]
fn an_older_copy_in_its_place_is_told_by_number_and_by_the_hours_in_which_it_was_noted() {
    let mut it = Program::walked();
    let older = it.ledger();
    it.at("2026-03-02T10:10:00Z");
    it.note("CN", "finding 4N-01 --seen dark-spots", &[]).done();
    it.note("CN", "finding 4N-02 --seen dark-spots", &[]).done();
    fs::write(it.path("ledger.ron"), &older).unwrap();
    // Another computer, which had seen nothing of it, notes on.
    it.sits_at("other");
    it.at("2026-03-02T10:30:00Z");
    it.note("CN", "hand-over 4N --text on", &[]).done();
    assert_eq!(it.open().len(), 4, "nobody there can know");
    it.sits_at("");
    it.at("2026-03-02T10:40:00Z");
    let before = it.ledger();
    assert!(it.open().is_empty());
    let first = 1 + older.split(|byte| *byte == b'\n').filter(|line| line.starts_with(b"(")).count();
    let told = format!("entries {first} to {} are missing", first + 1);
    for face in FACES.into_iter().chain(["check"]) {
        it.says(face, &[&told]).fails(4, &[]);
    }
    let beds = it.json_of_any_end("beds");
    assert!(beds.contains("\"ledger_standing\": \"incomplete\"") && beds.contains(&told), "{beds}");
    assert_eq!(it.ledger(), before);
    // With the next note it is in the record, for everybody: the hours hold the time at which it was noted.
    it.note("CN", "hand-over 4N --text again", &[]).done();
    it.sits_at("other");
    let hours =
        format!("2 entries ({first} to {}), noted between Mon 2 Mar 09:05 and Mon 2 Mar 11:40, are missing", first + 1);
    it.says("check", &[&hours]).fails(4, &[]);
    let beds = it.json("beds").to_string();
    assert!(beds.contains("\"ledger_standing\":\"incomplete\"") && beds.contains("are missing"), "{beds}");
    it.says("beds", &["RECORD WENT BACK", "2 entries, "]).done();
    assert!(it.lines("rooms").contains("do not enter: any room without asking"));
}

#[test]
fn a_practice_copy_is_marked_on_every_face_and_touches_nothing() {
    let it = Program::walked();
    let whole = it.ledger();
    it.run("copy practice.ron", &[]).done();
    it.run("copy practice.ron", &[]).fails(1, &["already a file"]);
    it.run("note --as CN finding 4N-01 --seen dark-spots --ledger practice.ron", &[]).done();
    assert_eq!((it.open().len(), it.ledger()), (4, whole));
    for face in FACES.into_iter().chain(["sheets", "exceptions"]) {
        let said = it.run(&format!("{face} --ledger practice.ron"), &[]);
        assert!(said.out.contains("REHEARSAL"), "{}: {}", said.line, said.out);
    }
    assert!(it.run("beds --json --ledger practice.ron", &[]).out.contains("\"practice\": true"));
    assert!(it.lines("").contains("REHEARSAL"));
}

#[test]
fn what_cannot_be_kept_is_said_without_a_screen_too() {
    let it = Program::walked();
    let command = |words: &str| it.run_in(words, &[("XDG_STATE_HOME", "/dev/null/x")]);
    for face in FACES {
        let said = command(face);
        assert!(said.out.contains("this terminal cannot keep what it saw"), "{}: {}", said.line, said.out);
    }
    let beds = command("beds --json").out;
    assert!(beds.contains("\"not_kept\": \"this terminal cannot keep"), "{beds}");
    assert!(it.run("beds --json", &[]).out.contains("\"not_kept\": null"));
}

#[test]
fn a_repaired_ledger_is_the_same_one_and_opens_nothing_until_its_wards_are_walked() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "hand-over 4N --text harmless", &[]).done();
    let text = String::from_utf8(it.ledger()).unwrap();
    let number = text.lines().filter(|line| line.starts_with('(')).count();
    it.note("CN", "finding 4N-01 --seen dark-spots", &[]).done();
    let later = String::from_utf8(it.ledger()).unwrap();
    // A bad sector in one line, and the last line lost, of which another terminal knows nothing.
    let lost = later.lines().filter(|line| !line.starts_with(&format!("({},", number + 1))).collect::<Vec<_>>();
    fs::write(it.path("ledger.ron"), format!("{}\n", lost.join("\n")).replace("harmless", "harm#ess")).unwrap();
    assert!(it.open().is_empty());
    it.sits_at("other");
    let said = it.run("repair --to mended.ron", &[]);
    assert!(said.out.contains("closes every room until its ward was walked"), "{}", said.out);
    fs::rename(it.path("mended.ron"), it.path("ledger.ron")).unwrap();
    it.at("2026-03-02T08:40:00Z");
    let line = number.to_string();
    it.note("CN", "second-attest hospital --words x --entry", &[&line]).done();
    it.note("AB", "attest hospital --words x --entry", &[&line]).done();
    assert!(it.open().is_empty(), "what stood behind it nobody attested");
    it.sits_at("");
    assert!(it.open().is_empty());
    it.says("check", &["mended from a damaged file"]);
    it.at("2026-03-02T13:30:00Z");
    it.note("AB", "ward-walk 4N --wet none --words", &["CN was on duty: dark spots in 4N-01"]).done();
    assert_eq!(it.open().len(), 4);
}

#[test]
fn a_copy_is_restored_by_somebody_on_its_staff_list_and_a_check_obeys_nothing() {
    let it = Program::walked();
    fs::copy(it.path("ledger.ron"), it.path("copy.ron")).unwrap();
    it.run("restore copy.ron --as XX --ledger there.ron", &[]).fails(3, &["XX is not on the staff list"]);
    assert!(!it.path("there.ron").exists());
    it.run("restore copy.ron --as CN --ledger there.ron", &[]).done();
    // A kind of entry that this version does not know may be called anything.
    let text = String::from_utf8(it.ledger()).unwrap();
    let broken = text.replacen("OccupancyConfirmed(", "\u{1b}]0;title\u{7}\u{9b}31m\u{202e}(", 1);
    fs::write(it.path("ledger.ron"), broken).unwrap();
    let said = it.run("check", &[]);
    let is_obeyed = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
    assert!(!said.out.chars().any(is_obeyed), "{:?}", said.out);
    said.fails(4, &[]);
}

/// Every command that tells of the ledger, as text.
const TEXTS: [&str; 13] = [
    "beds",
    "beds --open",
    "rooms",
    "tasks",
    "room 4N-02",
    "wall",
    "shift",
    "sheets",
    "sheets --entered",
    "exceptions",
    "record 4N-02",
    "dryings",
    "rules --settings",
];

#[test]
fn practice_and_damage_stand_on_top_of_every_text() {
    let it = Program::walked();
    let on_top = |words: &str, says: &str| {
        let text = it.run(words, &[]).out;
        assert!(text.lines().take(7).any(|line| line.contains(says)), "{words} lacks “{says}”: {text}");
    };
    TEXTS.iter().for_each(|words| on_top(words, "REHEARSAL"));
    assert!(it.run("check", &[]).done().contains("REHEARSAL: it is for practice"));
    let whole = it.ledger();
    let mut flipped = whole.clone();
    flipped[whole.len() / 2] ^= 1;
    std::fs::write(it.path("ledger.ron"), flipped).expect("a ledger");
    for words in TEXTS {
        on_top(words, "REHEARSAL");
        on_top(words, "ledger damaged: entry ");
        on_top(words, "what is wet cannot be known here");
    }
    for words in ["shift", "wall"] {
        let text = it.run(words, &[]).out;
        assert!(text.contains("any room without asking: what is wet cannot be known here"), "{text}");
        assert!(!text.contains("no room is known to be wet"), "{text}");
    }
}

#[test]
fn where_entries_are_missing_no_page_says_that_every_room_may_be_entered() {
    let mut it = Program::walked();
    let earlier = it.ledger();
    it.at("2026-03-02T08:30:00Z");
    it.note("TE", "spray 4N-02 --purpose preventive --product RS-A --zones chair --bags none", &[]).done();
    std::fs::write(it.path("ledger.ron"), earlier).expect("a ledger");
    it.note("CN", "hand-over 4N --text back", &[]).done();
    for words in ["shift", "wall"] {
        let text = it.run(words, &[]).out;
        assert!(text.contains("any room without asking that was not walked since entries are missing"), "{text}");
        assert!(!text.contains("no room is known to be wet"), "{text}");
    }
}

#[test]
fn a_cut_end_names_the_entries_that_this_terminal_had_seen() {
    let it = Program::walked();
    let whole = it.ledger();
    let read = |text: &str| -> usize {
        let number = text.split(": ").nth(1).and_then(|rest| rest.split(' ').next()?.parse().ok());
        number.unwrap_or_else(|| panic!("a number: {text}"))
    };
    let said = it.run("check", &[]).done();
    let last = read(&said);
    assert!(!said.contains("missing"), "{said}");
    std::fs::write(it.path("ledger.ron"), &whole[..whole.len() - 1500]).expect("a ledger");
    let cut = it.ledger();
    let said = it.run("check", &[]);
    let missing = format!("this terminal has seen more: entries {} to {last} are missing", read(&said.out) + 1);
    assert!(said.out.contains(&missing), "{said}");
    for words in ["beds", "tasks", "rooms", "room 4N-02", "shift", "wall"] {
        let text = it.run(words, &[]).out;
        assert!(text.contains(&missing), "{words}: {text}");
    }
    let reason = it.json("beds")["ledger_reason"].to_string();
    assert!(reason.contains(&missing), "{reason}");
    assert_eq!(it.ledger(), cut, "looking writes nothing");
}

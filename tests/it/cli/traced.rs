//! Bags settled by what a logger measured: the file read once, the numbers kept, and every file that settles nothing.

use std::fmt::Write as _;
use std::fs;

use serde_json::Value;

use super::super::estimate::laundry::logged;
use super::job::{found_and_confirmed, prepared_and_sprayed};
use super::program::{Program, rows};

/// Up to 75 °C for half an hour and down again. Above 71.5 °C from minute 51.5 / 5.5 to minute 45 + 3.5 / 9: 36 minutes and a second and a half.
const HOT: [(f64, f64); 4] = [(0.0, 20.0), (10.0, 75.0), (45.0, 75.0), (50.0, 30.0)];
const WASHER: &str = "--machine washer --uncertainty-c 0.5 --detergent yes";

/// Room 4N-02 sprayed, its bags B1 and B2 filled at 11:20 of the hospital's clock; it is 15:00.
fn sprayed() -> Program {
    let mut it = Program::walked();
    it.note("CN", "occupied 4N-02-A", &[]).done();
    found_and_confirmed(&mut it);
    prepared_and_sprayed(&mut it);
    it.at("2026-03-02T14:00:00Z");
    fs::write(it.path("hot.csv"), logged(&HOT)).expect("a trace");
    it
}

fn room(it: &Program) -> Value {
    serde_json::from_str(&it.run("room 4N-02 --json --all", &[]).done()).expect("JSON")
}

fn is_settled(it: &Program, bag: &str) -> bool {
    let room = room(it);
    let bag = rows(&room["room"]["bags"]).iter().find(|row| row["bag"] == bag).unwrap_or_else(|| panic!("{room:#}"));
    bag["settled"].as_bool().expect("settled or not")
}

/// The newest entry of the room, in a sentence.
fn newest(it: &Program) -> String {
    rows(&room(it)["room"]["timeline"])[0]["text"].as_str().expect("a text").to_owned()
}

/// What was said of a file with this text, which settles nothing.
#[track_caller]
fn settles_nothing(it: &Program, text: &str, options: &str) -> String {
    fs::write(it.path("load.csv"), text).expect("a trace");
    let said = it.note("LA", &format!("launder B1 --trace load.csv {options}"), &[]).done();
    assert!(said.contains("bag B1 stays outstanding") && !is_settled(it, "B1"), "{said}");
    said
}

/// The rows of a file with dates, a reading each half minute.
fn dated(begin: &str, minutes: u32) -> String {
    let begin = chrono::NaiveDateTime::parse_from_str(begin, "%Y-%m-%d %H:%M").expect("a time");
    let mut text = "time,drum (°C)\n".to_owned();
    for half in 0..=minutes * 2 {
        let at = begin + chrono::TimeDelta::seconds(i64::from(half) * 30);
        writeln!(text, "{},75.0", at.format("%Y-%m-%d %H:%M:%S")).expect("a row");
    }
    text
}

#[test]
fn a_trace_that_meets_the_criteria_settles_its_bag_for_ever_and_without_its_file() {
    let it = sprayed();
    let said = it.note("LA", &format!("launder B1 --trace hot.csv {WASHER}"), &[]).done();
    assert!(said.contains("by the logger (drum (°C)), held 36.017 min at 71 °C, 25 are needed"), "{said}");
    assert!(is_settled(&it, "B1"));
    fs::remove_file(it.path("hot.csv")).expect("it was there");
    assert!(is_settled(&it, "B1"));
    // What sha256sum says of the file.
    let text = newest(&it);
    assert!(text.contains("logger in the washer: 50 min, 1 sensor, ±0.5 °C taken off; held 40.1 °C "), "{text}");
    assert!(text.contains("71 °C 36 min 1 s"), "{text}");
    let hash = text.rsplit("file sha256 ").next().expect("a hash");
    let bytes = logged(&HOT);
    assert_eq!(hash, sha256(bytes.as_bytes()), "{text}");
    it.run("check", &[]).done();
}

fn sha256(bytes: &[u8]) -> String {
    use sha2::Digest as _;
    sha2::Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        write!(text, "{byte:02x}").expect("a digit");
        text
    })
}

#[test]
fn the_same_file_for_another_bag_is_told_and_not_refused() {
    let it = sprayed();
    it.note("LA", &format!("launder B1 --trace hot.csv {WASHER}"), &[]).done();
    let said = it.note("LA", &format!("launder B2 --trace hot.csv {WASHER}"), &[]).done();
    assert!(said.contains("has the trace of the same file, for bag B1. Did both go through the machine"), "{said}");
    assert!(is_settled(&it, "B2"));
}

#[test]
fn the_trace_of_an_entry_is_taken_over_and_falls_with_no_void_but_its_own() {
    let it = sprayed();
    let said = it.note("LA", &format!("launder B1 --trace hot.csv {WASHER}"), &[]).done();
    let number: u32 = said.split("entry ").nth(1).and_then(|it| it.split(':').next()?.parse().ok()).expect("a number");
    let over = format!("entry {number}");
    let options = ["--trace", over.as_str()];
    it.note("LA", "launder B2 --machine washer --uncertainty-c 0.6 --detergent yes", &options)
        .fails(2, &["was read with ±0.5 °C"]);
    it.note("LA", "launder B2 --machine washer --detergent yes", &options).done();
    assert!(is_settled(&it, "B2"));
    it.note("LA", &format!("void 4N-02 --entry {number}"), &["--why", "the wrong bag"]).done();
    assert!(!is_settled(&it, "B1") && is_settled(&it, "B2"));
    it.note("LA", "launder B1 --machine washer --detergent yes", &options).fails(2, &["was voided"]);
    it.note("LA", "launder B1 --trace", &["entry 1"]).fails(2, &["entry 1 kept no logger's trace"]);
    it.note("LA", &format!("launder B1 --trace hot.csv {WASHER}"), &[]).done();
    assert!(is_settled(&it, "B1"));
}

#[test]
fn what_a_trace_fails_is_passed_by_nothing_that_was_typed() {
    let it = sprayed();
    let cool = logged(&[(0.0, 20.0), (10.0, 55.0), (70.0, 55.0)]);
    let typed = format!("{WASHER} --wash-celsius 75 --wash-minutes 60");
    let said = settles_nothing(&it, &cool, &typed);
    assert!(said.contains("longest hold at 71 °C is 0.000 min"), "{said}");
    assert!(said.contains("75 °C was typed, and the logger saw 55 °C at most"), "{said}");
    // In pieces alone.
    let pieces = logged(&[(0.0, 75.0), (20.0, 75.0), (22.0, 65.0), (24.0, 75.0), (40.0, 75.0)]);
    let said = settles_nothing(&it, &pieces, &typed);
    assert!(said.contains("a person must decide"), "{said}");
    // What no logger shows is still asked.
    let hot = logged(&HOT);
    for (options, says) in [
        ("--machine washer --uncertainty-c 0.5", "say whether there was detergent"),
        ("--machine washer --detergent yes", "say how uncertain the logger is"),
        ("--uncertainty-c 0.5 --detergent yes", "say whether the logger was in the washer or in the dryer"),
        ("--machine dryer --uncertainty-c 0.5 --small-load yes --detergent yes", "no wash is stated"),
        ("--machine washer --uncertainty-c 4.5 --detergent yes", "hygiene not met"),
    ] {
        let said = settles_nothing(&it, &hot, &format!("{options} --dry-celsius 75 --dry-minutes 45"));
        assert!(said.contains(says), "{says}: {said}");
    }
    // A reading is missing for ninety seconds, in the middle of the hold.
    let mut rows: Vec<&str> = hot.lines().collect();
    rows.drain(56..59);
    let said = settles_nothing(&it, &rows.join("\n"), WASHER);
    assert!(said.contains("nothing is counted in a gap of its readings"), "{said}");
}

/// The bag was filled at 11:20, it is 15:00: each span of a trace, what is said of it, and whether it settles the bag with and
/// without a word that the logger's clock was checked.
#[test]
fn the_span_of_a_trace_lies_between_the_bags_filling_and_now() {
    let it = sprayed();
    let launder = format!("launder B1 --trace load.csv {WASHER}");
    let checked = format!("{launder} --clock-checked yes");
    // Impossible: no word helps.
    for (begin, minutes, says) in [
        ("2026-02-27 13:00", 40, "bag B1 was filled only at 2026-03-02 11:20"),
        ("2026-03-02 09:00", 40, "the trace ends at 2026-03-02 09:40, and bag B1 was filled only at 2026-03-02 11:20"),
        ("2026-03-02 10:40", 40, "the trace ends at 2026-03-02 11:20, and bag B1"),
        ("2026-03-02 09:10", 150, "2 h 10 min before 2026-03-02 11:20"),
        ("2026-03-02 10:20", 221, "a trace of 221 min does not fit"),
        ("2026-03-02 15:03", 40, "the trace begins at 2026-03-02 15:03, which lies ahead"),
        ("2026-03-09 13:00", 40, "which lies ahead"),
        ("2027-03-02 13:00", 40, "which lies ahead"),
    ] {
        fs::write(it.path("load.csv"), dated(begin, minutes)).expect("a trace");
        let before = it.ledger();
        for words in [&launder, &checked] {
            it.note("LA", words, &[]).fails(3, &[says]);
            it.note("LA", &format!("{words} --trial"), &[]).fails(3, &[says]);
        }
        assert_eq!(it.ledger(), before, "{begin}");
    }
    // Doubtful: it needs a word of its own.
    for (begin, minutes, says) in [
        ("2026-03-02 11:19", 40, "the trace begins at 2026-03-02 11:19, before 2026-03-02 11:20"),
        ("2026-03-02 09:20", 130, "the trace begins at 2026-03-02 09:20, before 2026-03-02 11:20"),
        ("2026-03-02 14:30", 40, "the trace ends at 2026-03-02 15:10, which lies ahead"),
    ] {
        let it = sprayed();
        fs::write(it.path("load.csv"), dated(begin, minutes)).expect("a trace");
        it.note("LA", &launder, &[]).fails(3, &[says, "clock-checked: yes"]);
        assert!(!is_settled(&it, "B1"), "{begin}");
        let said = it.note("LA", &checked, &[]).done();
        assert!(said.contains("it counts because the logger's clock was checked: ") && said.contains(says), "{said}");
        assert!(is_settled(&it, "B1") && newest(&it).contains("logger's clock checked"), "{begin}");
    }
    // It fits.
    for (begin, minutes) in [("2026-03-02 11:20", 40), ("2026-03-02 11:21", 219), ("2026-03-02 14:21", 40)] {
        let it = sprayed();
        fs::write(it.path("load.csv"), dated(begin, minutes)).expect("a trace");
        let said = it.note("LA", &launder, &[]).done();
        assert!(is_settled(&it, "B1") && !said.contains("clock was checked"), "{begin}: {said}");
        assert!(said.contains("read so: °C as its header says; times with dates, by the hospital's clock, "), "{said}");
    }
    // Without dates only its length is known.
    for (minutes, fits) in [(219.0, true), (221.0, false), (1440.0, false)] {
        let it = sprayed();
        fs::write(it.path("load.csv"), logged(&[(0.0, 75.0), (minutes, 75.0)])).expect("a trace");
        match fits {
            true => drop(it.note("LA", &launder, &[]).done()),
            false => drop(it.note("LA", &checked, &[]).fails(3, &["does not fit between 2026-03-02 11:20"])),
        }
        assert_eq!(is_settled(&it, "B1"), fits, "{minutes}");
    }
}

/// Of a load of which it was said when it ended.
#[test]
fn the_time_of_a_load_and_its_trace_are_held_against_each_other() {
    let mut it = sprayed();
    let at = |it: &Program, begin: &str, at: &str, more: &str| {
        fs::write(it.path("load.csv"), dated(begin, 40)).expect("a trace");
        it.note("LA", &format!("launder B1 --trace load.csv {WASHER} --at {at} {more}"), &[])
    };
    let says = "the trace ends at 2026-03-02 14:30, 20 min after 2026-03-02 14:10";
    at(&it, "2026-03-02 13:50", "14:10", "").fails(3, &[says, "clock-checked: yes"]);
    at(&it, "2026-03-02 14:15", "14:10", "--clock-checked yes").fails(3, &["begins at 2026-03-02 14:15, after"]);
    let said = at(&it, "2026-03-02 11:21", "14:55", "").done();
    assert!(!said.contains("the trace ends") && !said.contains("no dates"), "two hours and some minutes: {said}");
    // Longer than three hours before it.
    it.at("2026-03-02T15:00:00Z");
    let says = "3 h 25 min before 2026-03-02 15:30, when the load is said to have ended";
    at(&it, "2026-03-02 11:25", "15:30", "").fails(3, &[says]);
    let said = at(&it, "2026-03-02 11:25", "15:30", "--clock-checked yes").done();
    assert!(said.contains(says), "{said}");
    let said = it.note("LA", &format!("launder B1 --trace hot.csv {WASHER}"), &[]).done();
    assert!(said.contains("no dates") && said.contains("could not be compared"), "{said}");
}

/// A trace that an entry kept, or whose file it kept, is no load of a bag that was filled afterwards.
#[test]
fn a_trace_that_was_kept_before_the_bag_was_filled_settles_it_under_no_name() {
    let mut it = sprayed();
    let said = it.note("LA", &format!("launder B1 --trace hot.csv {WASHER}"), &[]).done();
    let number: u32 = said.split("entry ").nth(1).and_then(|it| it.split(':').next()?.parse().ok()).expect("a number");
    it.at("2026-03-02T14:10:00Z");
    it.note("HK", "prepare 4N-02 --steps linens-bagged --bags B7", &[]).done();
    it.at("2026-03-02T16:00:00Z");
    let over = format!("entry {number}");
    for (words, options) in [
        ("launder B7 --machine washer --detergent yes --clock-checked yes", ["--trace", over.as_str()].as_slice()),
        (&format!("launder B7 --trace hot.csv {WASHER} --clock-checked yes"), &[]),
    ] {
        let says = format!("entry {number} kept this trace at 2026-03-02 15:00 already");
        it.note("LA", words, options).fails(3, &[&says, "name the file of this load"]);
    }
    assert!(!is_settled(&it, "B7"));
}

#[test]
fn how_a_file_was_read_is_told_and_kept_and_nothing_is_guessed() {
    let it = sprayed();
    let hot = logged(&HOT);
    let said = |text: &str, options: &str| {
        fs::write(it.path("load.csv"), text).expect("a trace");
        it.note("LA", &format!("launder B1 --trace load.csv {WASHER} {options}"), &[])
    };
    let headed = |header: &str| hot.replace("minutes,drum (°C)", header);
    for (header, options, says) in [
        ("minutes,p_C", "", "°C or °F"),
        ("minutes,C", "", "°C or °F"),
        ("time,drum (°C)", "", "--time minutes or --time seconds"),
        ("seconds,drum (°C)", "--minutes yes", "you said minutes"),
        ("Time (s),drum (°C)", "--time minutes", "you said minutes"),
        ("minutes,drum (°C)", "--time seconds", "you said seconds"),
        ("minutes,drum (°C)", "--unit f", "you said °F"),
        ("minutes,drum (°C)", "--zone UTC", "no date"),
        ("minutes,Humidity (%RH)", "--unit c", "no column of temperatures"),
    ] {
        said(&headed(header), options).fails(2, &[says]);
        assert!(!is_settled(&it, "B1"), "{header}");
    }
    let words = "°C as was said; times in minutes as was said";
    let told = said(&headed("t,p_C"), "--unit c --time minutes").done();
    assert!(told.contains(&format!("note: the logger's file was read so: {words}")), "{told}");
    assert!(is_settled(&it, "B1") && newest(&it).contains(&format!("read as {words}")), "{}", newest(&it));
    let told = it.note("LA", &format!("launder B2 --trace load.csv {WASHER} --unit c --minutes yes"), &[]).done();
    assert!(told.contains(words) && is_settled(&it, "B2"), "{told}");
}

/// Hot for 26 minutes: enough for the hygiene rule, and too short for the insects.
const SHORT_WASH: [(f64, f64); 4] = [(0.0, 20.0), (1.0, 75.0), (27.0, 75.0), (28.0, 30.0)];

#[test]
fn each_machine_of_a_load_has_a_trace_of_its_own() {
    let it = sprayed();
    fs::write(it.path("wash.csv"), logged(&SHORT_WASH)).expect("a trace");
    let dried = |most: f64| logged(&[(0.0, 20.0), (5.0, most), (45.0, most), (50.0, 25.0)]);
    fs::write(it.path("dry.csv"), dried(38.0)).expect("a trace");
    let wash = format!("launder B1 --trace wash.csv {WASHER}");
    let said = it.note("LA", &format!("{wash} --small-load yes"), &[]).done();
    assert!(said.contains("bag B1 stays outstanding") && said.contains("no hot dryer is stated"), "{said}");
    // What the dryer's logger saw counts, and nothing typed of the dryer.
    let both = format!("{wash} --other-trace dry.csv --other-uncertainty-c 1 --small-load yes");
    let said = it.note("LA", &format!("{both} --dry-celsius 75 --dry-minutes 45"), &[]).done();
    assert!(said.contains("bag B1 stays outstanding") && said.contains("in the dryer"), "{said}");
    assert!(said.contains("75 °C was typed, and the logger saw 38 °C at most"), "{said}");
    assert!(!is_settled(&it, "B1"));
    fs::write(it.path("dry.csv"), dried(55.0)).expect("a trace");
    let unsure = both.replace(" --other-uncertainty-c 1", "");
    assert!(it.note("LA", &unsure, &[]).done().contains("say how uncertain the logger is"));
    let said = it.note("LA", &both, &[]).done();
    let number: u32 = said.split("entry ").nth(1).and_then(|it| it.split(':').next()?.parse().ok()).expect("a number");
    assert!(is_settled(&it, "B1"), "{said}");
    let text = newest(&it);
    assert!(text.contains("logger in the washer: 28 min") && text.contains("logger in the dryer: 50 min"), "{text}");
    assert!(text.contains("±0.5 °C") && text.contains("±1 °C") && text.matches("file sha256").count() == 2, "{text}");
    // Both are taken over for the next bag, and neither was the other's.
    let over = format!("entry {number}");
    let again = "launder B2 --machine washer --detergent yes --small-load yes";
    it.note("LA", again, &["--trace", &over, "--other-trace", &over]).done();
    assert!(is_settled(&it, "B2"));
    it.run("check", &[]).done();
}

#[test]
fn the_two_traces_of_a_load_are_of_two_machines() {
    let it = sprayed();
    let before = it.ledger();
    let wash = format!("launder B1 --trace hot.csv {WASHER}");
    it.note("LA", &format!("{wash} --other-trace hot.csv --other-uncertainty-c 1"), &[])
        .fails(2, &["--other-trace", "it is the same file"]);
    it.note("LA", &format!("{wash} --other-trace none.csv"), &[])
        .fails(2, &["--other-trace", "none.csv: cannot be read"]);
    it.note("LA", &format!("{wash} --other-uncertainty-c 1"), &[]).fails(2, &["--other-trace", "is missing"]);
    it.note("LA", "launder B1 --other-trace hot.csv", &[]).fails(2, &["--trace", "is missing"]);
    assert_eq!(it.ledger(), before);
    // The dryer's clock says that it ran first.
    fs::write(it.path("wash.csv"), dated("2026-03-02 14:00", 40)).expect("a trace");
    fs::write(it.path("dry.csv"), dated("2026-03-02 14:20", 35)).expect("a trace");
    let both = format!("launder B1 --trace wash.csv {WASHER} --other-trace dry.csv --other-uncertainty-c 1");
    let says = "dryer's trace begins at 2026-03-02 14:20, before the washer's ends at 2026-03-02 14:40";
    it.note("LA", &both, &[]).fails(3, &[says, "clock-checked: yes"]);
    assert!(it.note("LA", &format!("{both} --clock-checked yes"), &[]).done().contains(says));
}

#[test]
fn a_file_that_cannot_be_used_says_what_is_wrong_and_notes_nothing() {
    let it = sprayed();
    let before = it.ledger();
    let header = "time,drum (°C)\n";
    let files: [(&str, &str, &[&str]); 12] = [
        ("", WASHER, &["it is empty", "export the cycle"]),
        ("time\n14:00:00\n", WASHER, &["one column", "each further one a sensor"]),
        ("14:00:30,75 (°C)\n", WASHER, &["fewer than two readings"]),
        (&format!("{header}14:00:30,75\n14:00:00,75\n"), WASHER, &["line 3", "before the one above it"]),
        (&format!("{header}14:00:30,75\n14:00:30,75\n"), WASHER, &["line 3", "the same as the one above it"]),
        (&format!("{header}14:00:00,75\n14:00:30,NaN\n"), WASHER, &["line 3", "“NaN” is no temperature"]),
        (&format!("{header}14:00:00,160\n14:00:30,160\n"), WASHER, &["160 °C is too hot", "mend the header"]),
        ("time,drum\n14:00:00,75\n14:00:30,75\n", WASHER, &["°C or °F", "--unit c or --unit f"]),
        ("time,drum (°C)\n1,75\n2,75\n", WASHER, &["bare number", "--time minutes"]),
        (&format!("{header}14:00,75\n14:01,75\n14:02,75\n"), WASHER, &["--time hh:mm or --time mm:ss"]),
        (&format!("{header}14:00:00,75\n14:05:00,75\n14:10:00,75\n"), WASHER, &["300 s apart", "set the logger"]),
        (&format!("{header}14:00:00,75\n14:00:30,75\n"), "--uncertainty-c much", &["--uncertainty-c", "0 to 10"]),
    ];
    for (text, options, says) in files {
        fs::write(it.path("load.csv"), text).expect("a trace");
        it.note("LA", &format!("launder B1 --trace load.csv {options}"), &[]).fails(2, says);
    }
    it.note("LA", &format!("launder B1 --trace none.csv {WASHER}"), &[])
        .fails(2, &["none.csv: cannot be read", "there are hot.csv, load.csv, rooms.csv"]);
    it.note("LA", &format!("launder B1 --trace . {WASHER}"), &[]).fails(2, &["it is no file", "there are hot.csv"]);
    it.note("LA", &format!("launder B1 {WASHER}"), &[]).fails(2, &["--trace", "are about a logger's file"]);
    let many: String = (0..1_000_000).map(|row| format!("{row},75\n")).collect();
    fs::write(it.path("load.csv"), format!("minutes,drum (°C)\n{many}")).expect("a trace");
    it.note("LA", &format!("launder B1 --trace load.csv {WASHER}"), &[]).fails(2, &["more than 604800 rows", "cut it"]);
    assert_eq!(it.ledger(), before);
}

#[test]
fn a_line_at_a_time_the_verdict_is_told_and_the_picture_drawn_on_a_word() {
    let it = sprayed();
    let ask =
        ["in LA", "note launder B1", "", "", "1", "", "", "", "y", "hot.csv", "1", "0.5", "", "", "", "", "", "", ""];
    let types = |rest: &[&str]| {
        let input = format!("{}\nquit\n", [ask.as_slice(), rest].concat().join("\n"));
        it.run_with("--ascii lines", &[], input.as_bytes()).done()
    };
    let said = types(&["picture", "", "y"]);
    assert!(said.contains("met: us-cdc, this hospital's rule: drum (°C): held 36.017 min at 71 °C"), "{said}");
    assert!(said.contains("met: insects-wash: drum (°C): held 39.233"), "{said}");
    assert!(said.contains("other rules: us-il met, uk-65 met, uk-71 met, de-rki NOT met"), "{said}");
    let picture: Vec<&str> = said.lines().filter(|line| line.get(5..6) == Some("|")).collect();
    assert!(picture.len() >= 15 && picture.iter().all(|line| line.is_ascii()), "{said}");
    assert!(picture.iter().any(|line| line.starts_with("   71|") && line.contains("-----")), "{said}");
    assert!(said.contains("noted as entry ") && is_settled(&it, "B1"), "{said}");
    // A wrong name is asked again.
    let again = said.replace("hot.csv", "not.csv");
    assert!(again.contains("Logger's file: not.csv"), "{again}");
    let input = [
        "in LA",
        "note launder B2",
        "",
        "",
        "1",
        "",
        "",
        "",
        "y",
        "not.csv",
        "1",
        "0.5",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "stop",
    ];
    let said = it.run_with("lines", &[], format!("{}\nquit\n", input.join("\n")).as_bytes()).done();
    assert!(said.contains("Logger's file: not.csv: cannot be read") && said.contains("Nothing was noted."), "{said}");
}

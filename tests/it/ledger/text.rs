//! Hostile text: whatever was typed is in the file as it was typed, and the file stays one document of plain lines.

use dryhold::desk::{Clock, Desk};
use dryhold::domain::entry::Body;

use super::judge::wrongs;
use super::{NOW, Place, check_ended, finding, run};

/// The note of the newest entry.
fn newest(place: &Place) -> String {
    let clock = Clock::set(NOW).expect("a time");
    let desk = Desk::open_with(&place.path(), clock, "reader".to_owned(), None).expect("a ledger");
    match desk.entries().last().map(|entry| &entry.body) {
        Some(Body::Finding { note, .. }) => note.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn whatever_is_typed_is_kept_as_it_is() {
    let place = Place::new();
    let long = |text: &str| text.chars().cycle().take(10_000).collect::<String>();
    let notes = [
        "\u{1b}[2J\u{1b}]0;x\u{7}\u{9b}31m".to_owned(),
        "\u{202e}dlo si deb\u{2066}\u{2069}\u{200f}".to_owned(),
        "👩‍🔬🛏️🏳️‍🌈 e\u{301}\u{301}\u{301}".to_owned(),
        "])\n(1,\"x\"),0x0000000000000000),\n\r\n\u{85}\u{2028}.".to_owned(),
        "\"quoted\" \\ 'single' r#\"raw\"# /* no comment // , ) ] }".to_owned(),
        "\u{feff}\u{fffe}\u{7f}\u{ad}\u{e000}\u{10ffff}".to_owned(),
        long("a"),
        long("漢字 "),
        long("🛏"),
        long("\"\\"),
    ];
    for note in &notes {
        check_ended(&run(finding(place.program(), note)), 0, &[]);
        assert_eq!(newest(&place), *note);
        let bytes = place.bytes();
        let plain = bytes.iter().all(|byte| *byte == b'\n' || (*byte >= b' ' && *byte != 0x7f));
        assert!(plain, "a byte that a terminal or editor would obey is in the file after {note:?}");
    }
    assert_eq!(wrongs(&place.path(), &[], 0), [""; 0]);
}

#[test]
fn a_note_longer_than_a_line_may_be_is_refused_with_a_reason() {
    let place = Place::new();
    let before = place.bytes();
    let note = "x".repeat(70_000);
    let ended = run(finding(place.program(), &note));
    check_ended(&ended, 1, &["shorten"]);
    assert!(ended.stderr.len() < 1000, "it does not print the note back");
    // Short to the eye, and long in the file: each is spelled out there.
    let ended = run(finding(place.program(), &"\u{202e}".repeat(10_000)));
    check_ended(&ended, 1, &["shorten"]);
    assert!(place.bytes() == before);
    check_ended(&run(finding(place.program(), "short")), 0, &[]);
    assert_eq!(wrongs(&place.path(), &[], 0), [""; 0]);
}

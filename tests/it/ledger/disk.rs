//! Disks that take no more, and places that may not be written: status 1, one clear sentence, and the file as it was.

use std::fs;
use std::process::Command;

use super::judge::{document_wrong, wrongs};
use super::{Place, check_ended, finding, run};

/// The program where no file may grow over so many blocks of 512 bytes.
fn in_blocks(place: &Place, blocks: usize) -> Command {
    let program = place.program();
    let mut command = place.in_here(Command::new("sh"));
    command.arg("-c").arg(format!("ulimit -f {blocks}; exec \"$@\"")).arg("sh").arg(program.get_program());
    command
}

/// How many bytes the ledger grows by for a note of no length.
fn overhead() -> usize {
    let place = Place::new();
    let before = place.bytes().len();
    check_ended(&run(finding(place.program(), "x")), 0, &[]);
    place.bytes().len() - before - 1
}

#[test]
fn a_disk_that_is_full_within_any_part_of_the_line_loses_nothing() {
    let overhead = overhead();
    let place = Place::new();
    let before = place.bytes();
    let blocks = before.len() / 512 + 2;
    let fitting = blocks * 512 - before.len() - overhead;
    // Only the document's end does not fit, or the line's, or most of it.
    for over in [1, 2, 3, 4, 20, 400, 9_000] {
        let ended = run(finding(in_blocks(&place, blocks), &"x".repeat(fitting + over)));
        check_ended(&ended, 1, &["nothing was noted", "ledger.ron", "Make space"]);
        assert_eq!(String::from_utf8_lossy(&ended.stderr).lines().count(), 1);
        assert!(place.bytes() == before, "{over} bytes too many changed the file");
        assert_eq!(document_wrong(&place.path()), None);
    }
    assert_eq!(place.torn(), [""; 0]);
    // To the last byte.
    check_ended(&run(finding(in_blocks(&place, blocks), &"x".repeat(fitting))), 0, &[]);
    assert_eq!(place.bytes().len(), blocks * 512);
    assert_eq!(wrongs(&place.path(), &[], 0), [""; 0]);
    // And further once there is space.
    check_ended(&run(finding(place.program(), "more space")), 0, &[]);
    assert_eq!(wrongs(&place.path(), &[], 0), [""; 0]);
}

#[test]
fn a_file_that_may_only_be_read_is_shown_and_not_written() {
    let place = Place::new();
    let before = place.bytes();
    place.as_user();
    place.set_mode("ledger.ron", 0o400);
    check_ended(&run(finding(place.as_user(), "x")), 1, &["nothing was noted", "you may not write the file"]);
    let mut beds = place.as_user();
    beds.args(["--now", super::NOW, "beds"]);
    let shown = run(beds);
    check_ended(&shown, 0, &[]);
    assert!(String::from_utf8_lossy(&shown.stdout).contains("101-A"));
    assert!(place.bytes() == before);
    place.set_mode("ledger.ron", 0o600);
    check_ended(&run(finding(place.as_user(), "x")), 0, &[]);
}

#[test]
fn a_file_that_may_not_be_read_is_said() {
    let place = Place::new();
    place.as_user();
    place.set_mode("ledger.ron", 0o000);
    let ended = run(finding(place.as_user(), "x"));
    check_ended(&ended, 4, &["ledger.ron", "cannot be read", "ermission denied"]);
    let told = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert_eq!(told.matches("ermission denied").count(), 1, "{told}");
}

/// Only an end that was lost needs the folder; until it can be put aside there, nothing is written or cut.
#[test]
fn a_folder_that_may_not_be_written_stops_only_what_needs_it() {
    let place = Place::new();
    place.as_user();
    let whole = place.bytes();
    place.set_mode(".", 0o555);
    check_ended(&run(finding(place.as_user(), "in place")), 0, &[]);
    let noted = place.bytes();
    assert_ne!(noted, whole);

    let cut = &noted[..noted.len() - 40];
    fs::write(place.path(), cut).expect("a ledger");
    let ended = run(finding(place.as_user(), "x"));
    check_ended(&ended, 1, &["nothing was noted", "unreadable end", "beside it"]);
    assert!(place.bytes() == cut);
    place.set_mode(".", 0o755);
    check_ended(&run(finding(place.as_user(), "and it goes on")), 0, &[]);
    assert_eq!(place.torn().len(), 1);
    assert_eq!(wrongs(&place.path(), &[], 0), [""; 0]);
}

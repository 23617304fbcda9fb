//! The first start, and a start as somebody: what is asked at the prompt before there is a board.

use std::fs;

use super::home;
use super::screen::{ENTER, Screen};
use crate::cli::program::Program;

const PROMPT: &str = "1, 2, 3 or q, then Enter:";

fn start(home: &tempfile::TempDir) -> Screen {
    let screen = Screen::start(80, 24, home.path(), &["--ledger", "ledger.ron"], &[]);
    screen.says("There is no ledger yet at ");
    screen.prompts(&format!("{PROMPT} "));
    screen
}

#[test]
fn the_first_start_can_be_left_and_has_made_nothing() {
    let home = home();
    let mut screen = start(&home);
    screen.keys("q\r");
    let left = screen.left();
    assert!(left.status.success() && left.restored, "{}", left.text);
    assert!(!home.path().join("ledger.ron").exists());
}

#[test]
fn the_first_start_can_look_at_an_invented_hospital_which_is_thrown_away() {
    let home = home();
    let mut screen = start(&home);
    screen.keys("2\r");
    screen.shows("[1 Board]");
    screen.shows("REHEARSAL");
    screen.keys("qq");
    assert!(screen.left().restored);
    let names: Vec<_> =
        fs::read_dir(home.path()).expect("a folder").map(|it| it.expect("a file").file_name()).collect();
    let demos = names.iter().filter(|name| name.to_string_lossy().starts_with("dryhold-demo-")).count();
    assert_eq!((demos, home.path().join("ledger.ron").exists()), (0, false), "{names:?}");
}

#[test]
fn the_first_start_makes_a_ledger_from_a_room_list_and_the_next_opens_it() {
    let home = home();
    let mut screen = start(&home);
    screen.keys("3\r");
    let left = screen.left();
    assert!(left.status.success() && left.text.contains("rooms.csv is written"), "{}", left.text);
    let mut screen = start(&home);
    screen.keys("3\r");
    assert!(!screen.left().status.success(), "a list that is there is not written over");
    let mut screen = start(&home);
    screen.keys("1\r");
    for (asked, answer) in [
        ("the room list's file:", "rooms.csv\r"),
        ("the hospital's name:", "Invented hospital\r"),
        ("the housekeeping lead, as INITIALS,NAME:", "AB,Our lead\r"),
    ] {
        screen.prompts(&format!("{asked} "));
        screen.keys(answer);
    }
    let left = screen.left();
    assert!(left.status.success(), "{}", left.text);
    assert!(left.text.contains("The ledger is "), "{}", left.text);
    let mut screen = Screen::start(80, 24, home.path(), &["--ledger", "ledger.ron", "--as", "ab"], &[]);
    screen.shows("[1 Board]");
    screen.wait("who sits here", |it| it.contents().lines().next()?.contains(" AB ").then_some(()));
    screen.keys("qq");
    assert!(screen.left().restored);
}

#[test]
fn the_first_start_says_what_was_wrong_and_makes_nothing() {
    let home = home();
    let mut screen = start(&home);
    screen.keys("1\rnowhere.csv\rInvented hospital\rAB,Our lead\r");
    let left = screen.left();
    assert_eq!(left.status.exit_code(), 1, "{}", left.text);
    assert!(left.text.contains("nowhere.csv"), "{}", left.text);
    assert!(!home.path().join("ledger.ron").exists());
}

#[test]
fn started_as_somebody_with_a_pin_the_board_asks_for_it_first() {
    let program = Program::walked();
    program.run_with("note set-pin CN --as CN --pin-stdin", &[], b"4711-long\n").done();
    let ledger = program.path("ledger.ron");
    let arguments = ["--now", &program.now, "--ledger", ledger.to_str().expect("a path in UTF-8"), "--as", "CN"];
    let mut screen = Screen::start(80, 24, &program.path(""), &arguments, &[]);
    screen.shows("PIN of CN");
    screen.keys("4711-wrong");
    screen.keys(ENTER);
    screen.shows("That is not this person's PIN");
    screen.keys("4711-long");
    screen.keys(ENTER);
    screen.shows("Signed in: CN");
    screen.keys("qq");
    let left = screen.left();
    assert!(left.restored && !left.raw.contains("4711"), "{}", left.text);
}

#[test]
fn started_as_somebody_who_is_not_on_the_roster_it_says_so() {
    let program = Program::walked();
    let ledger = program.path("ledger.ron");
    let arguments = ["--now", &program.now, "--ledger", ledger.to_str().expect("a path in UTF-8"), "--as", "ZZ"];
    let left = Screen::start(80, 24, &program.path(""), &arguments, &[]).left();
    assert_eq!(left.status.exit_code(), 2, "{}", left.text);
    assert!(left.text.contains("ZZ is not on the roster"), "{}", left.text);
}

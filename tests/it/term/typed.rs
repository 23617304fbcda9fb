//! What is typed at the real program: it outlives the session, and a burst of keys notes nothing that nobody has read.

use std::fs;

use super::screen::{ENTER, ESC, Screen};
use super::{demo, home};
use crate::cli::program::Program;

fn board(program: &Program) -> Screen {
    let ledger = program.path("ledger.ron");
    let environment = [("DRYHOLD_LEDGER", ledger.to_str().expect("a path in UTF-8"))];
    let screen = Screen::start(80, 24, &program.path(""), &["--now", "@clock"], &environment);
    screen.shows("[1 Board]");
    screen
}

fn signs_in(screen: &mut Screen, initials: &str) {
    screen.keys("s");
    screen.shows("Who are you?");
    screen.keys(initials);
    screen.keys(ENTER);
}

#[test]
fn what_was_typed_survives_a_hang_up_for_its_person_alone() {
    let program = Program::walked();
    fs::write(program.path("clock"), &program.now).expect("a clock");
    let mut screen = board(&program);
    signs_in(&mut screen, "TE");
    screen.shows("Signed in: TE");
    screen.keys("/4N-02\r");
    screen.shows("4N-02  patient room");
    screen.keys("mspray\r");
    screen.shows("Spray: 4N-02");
    screen.keys("1");
    screen.keys("  ");
    screen.shows("2 of ");
    screen.signal("HUP");
    assert!(screen.left().restored);

    let mut again = board(&program);
    signs_in(&mut again, "HK");
    again.shows("Signed in: HK");
    signs_in(&mut again, "TE");
    again.shows("Begun before, and kept: Spray 4N-02.");
    again.keys("/4N-02\r");
    again.shows("4N-02  patient room");
    again.keys("mspray\r");
    again.shows("(preventive)");
    again.shows("2 of ");
    again.keys("\x03\x03");
    assert!(again.left().restored);
    program.run("check", &[]).done();
}

#[test]
fn a_burst_of_keys_signs_nothing() {
    let home = home();
    let mut screen = demo(&home, &[]);
    signs_in(&mut screen, "LD");
    screen.shows("Signed in: LD");
    screen.keys("mward walked\r\r\r\r\r");
    screen.shows("That key came before this could be read.");
    screen.shows("[ Sign it ]");
    assert!(!screen.text().contains("Noted"), "{}", screen.text());
    screen.keys(ESC);
    screen.shows_no_more("[ Sign it ]");
    screen.keys("qq");
    assert!(screen.left().restored);
}

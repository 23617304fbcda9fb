//! The first frame: at once, without a question to the terminal, and on whatever the program is started on.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::hospital::{self, ROOMS};
use super::screen::{ESC, RIGHT, Screen, is_stopped, processor, signal};
use super::{demo, home};

/// The promise is a tenth of a second. This is for a build that is not the fastest, on a machine busy with other tests;
/// a question to a terminal that does not answer would take two seconds.
const AT_ONCE: Duration = Duration::from_millis(500);

#[test]
fn the_demo_opens_explains_itself_and_is_left() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.shows("REHEARSAL");
    screen.keys("?");
    screen.shows("Keys: the Board");
    screen.keys(ESC);
    screen.shows_no_more("Keys: the Board");
    screen.keys("2");
    screen.shows("[2 Beds]");
    screen.keys("qq");
    let left = screen.left();
    assert!(left.status.success(), "{:?}", left.status);
    assert!(!left.text.contains("[2 Beds]"), "{}", left.text);
}

#[test]
fn the_first_frame_of_two_thousand_rooms_comes_at_once() {
    let home = home();
    let path = hospital::ledger(home.path(), 10_000);
    // The least of a few: what else the machine does can only add.
    let mut all = vec![];
    while all.len() < 4 && all.iter().all(|took| *took >= AT_ONCE) {
        let screen = Screen::start(80, 24, home.path(), &["--ledger", &path], &[]);
        screen.shows("[1 Board]");
        all.push(processor(screen.process()));
        screen.shows(&format!("of {ROOMS}"));
    }
    assert!(all.iter().any(|took| *took < AT_ONCE), "{all:?}");
}

/// A question to the terminal is a control sequence that ends in `c` or `n`, or an operating system command with `?`:
/// ECMA-48 8.3.24 and 8.3.35; xterm, "Control Sequences", OSC 10 and 11.
#[test]
fn a_terminal_that_answers_nothing_is_asked_nothing_and_waited_for_never() {
    let home = home();
    is_at_once("started", || drop(demo(&home, &[])));
    let mut screen = demo(&home, &[]);
    for keys in [RIGHT, "\r", "?", "q", "\x0c", "q", "2", "1"] {
        screen.keys(keys);
    }
    screen.is_quiet_for(Duration::from_millis(100));
    is_at_once("Ctrl-L", || {
        let bytes = screen.bytes();
        screen.keys("\x0c");
        screen.frame_after(bytes);
    });
    is_at_once("continued", || {
        screen.signal("TSTP");
        screen.is_given_back();
        is_stopped(screen.process());
        let bytes = screen.bytes();
        signal(screen.process(), "CONT");
        screen.frame_after(bytes);
    });
    screen.resize(90, 30);
    screen.keys("qq");
    let left = screen.left();
    assert!(left.status.success() && left.restored, "{}", left.text);
    let mut sequences = left.raw.split("\x1b[").skip(1);
    let asks = |it: &&str| it.trim_start_matches(|c: char| !('\x40'..='\x7e').contains(&c)).starts_with(['c', 'n']);
    assert_eq!(sequences.find(asks), None);
    assert!(!left.raw.contains("\x1b]") && !left.raw.contains("\x1bP"));
}

/// The fastest of a few turns, since other tests are busy too. What waits for an answer waits each time.
#[track_caller]
fn is_at_once(what: &str, mut turn: impl FnMut()) {
    let times: Vec<Duration> = (0..5)
        .map(|_| {
            let began = Instant::now();
            turn();
            began.elapsed()
        })
        .collect();
    assert!(times.iter().min().is_some_and(|fastest| *fastest < AT_ONCE), "{what}: {times:?}");
}

#[test]
fn where_nothing_can_be_drawn_there_is_text() {
    let home = home();
    // Somebody sits there, and is asked a line at a time.
    let by_lines = |term: &str, words: &[&str]| {
        let mut screen = Screen::start(80, 24, home.path(), words, &[("TERM", term)]);
        // A terminal keeps what is typed until it is read.
        screen.keys("quit\r");
        screen.left()
    };
    let (dumb, unnamed) = (by_lines("dumb", &["demo"]), by_lines("", &["demo"]));
    let plain = by_lines("xterm-256color", &["demo", "--plain"]);
    let no_keys = ["-c", "\"$DRYHOLD\" demo </dev/null"];
    let no_keys = Screen::start_other("sh", &no_keys, home.path(), &[]).left();
    for left in [&dumb, &unnamed, &plain, &no_keys] {
        assert!(left.status.success(), "{}", left.text);
    }
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryhold"));
    command.env_clear().env("HOME", home.path()).env("TERM", "xterm-256color").current_dir(home.path());
    let piped = command.arg("demo").stdin(Stdio::null()).output().expect("it runs");
    assert!(piped.status.success());
    let piped = String::from_utf8(piped.stdout).expect("text");
    for text in [&dumb.raw, &unnamed.raw, &plain.raw, &no_keys.raw, &piped] {
        assert!(text.contains("as far as bed bugs are concerned; check cleaning"), "{text}");
        assert!(!text.contains('\x1b'), "{text}");
    }
}

/// A serial line knows no size; the smallest whole screen is drawn.
#[test]
fn a_terminal_that_does_not_know_its_size_gets_the_smallest_screen() {
    let home = home();
    let screen = Screen::start(0, 0, home.path(), &["demo"], &[]);
    screen.shows("[1 Board]");
    screen.wait("the keys on the last line", |it| it.contents_between(23, 0, 23, 80).contains("help").then_some(()));
}

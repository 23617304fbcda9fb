//! The screens of the real program in a pseudo-terminal: taken, given back, and used by keys alone.

mod job;
mod screen;

use std::process::{Command, Stdio};

use screen::{ESC, RIGHT, Screen};
use tempfile::TempDir;

fn home() -> TempDir {
    tempfile::tempdir().expect("a folder")
}

fn demo(home: &TempDir, environment: &[(&str, &str)]) -> Screen {
    let screen = Screen::start(80, 24, home.path(), &["demo"], environment);
    screen.shows("[1 Board]");
    screen
}

#[test]
fn the_demo_opens_explains_itself_and_leaves_the_terminal_as_it_was() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.shows("REHEARSAL");
    screen.wait("a screen of its own", |it| (it.alternate_screen() && it.bracketed_paste()).then_some(()));
    screen.keys("?");
    screen.shows("Keys: the Board");
    screen.keys(ESC);
    screen.shows_no_more("Keys: the Board");
    screen.keys("2");
    screen.shows("[2 Beds]");
    screen.keys("q");
    let left = screen.left();
    assert!(left.status.success(), "{:?}", left.status);
    assert!(left.restored, "{}", left.text);
    assert!(!left.text.contains("[2 Beds]"), "{}", left.text);
}

#[test]
fn ended_from_outside_it_gives_the_terminal_back() {
    for name in ["TERM", "HUP", "INT"] {
        let home = home();
        let screen = demo(&home, &[]);
        screen.signal(name);
        let left = screen.left();
        assert!(left.restored, "{name}: {}", left.text);
        assert_eq!(left.status.signal(), None, "{name}: it ended of itself");
    }
}

/// A question to the terminal is a control sequence that ends in `c` or `n`, or an operating system command with `?`:
/// ECMA-48 8.3.24 and 8.3.35; xterm, "Control Sequences", OSC 10 and 11.
#[test]
fn a_terminal_that_answers_nothing_is_asked_nothing() {
    let home = home();
    let mut screen = demo(&home, &[]);
    for keys in [RIGHT, "\r", "?", "q", "\x0c", "q", "2", "1"] {
        screen.keys(keys);
    }
    screen.resize(90, 30);
    screen.keys("q");
    let left = screen.left();
    assert!(left.status.success() && left.restored, "{}", left.text);
    let mut sequences = left.raw.split("\x1b[").skip(1);
    let asks = |it: &&str| it.trim_start_matches(|c: char| !('\x40'..='\x7e').contains(&c)).starts_with(['c', 'n']);
    assert_eq!(sequences.find(asks), None);
    assert!(!left.raw.contains("\x1b]") && !left.raw.contains("\x1bP"));
}

/// no-color.org: no colour is added; other attributes may stay, and the highlight has to.
#[test]
fn without_colour_the_chosen_room_is_still_marked() {
    let home = home();
    let screen = demo(&home, &[("NO_COLOR", "1")]);
    let inverse = |it: &vt100::Screen, line, column| it.cell(line, column).is_some_and(vt100::Cell::inverse);
    let cells = || (1..22).flat_map(|line| (0..80).map(move |column| (line, column)));
    screen.wait("a highlight", |it| cells().any(|(line, column)| inverse(it, line, column)).then_some(()));
    screen.wait("no colour", |it| {
        let plain =
            |cell: &vt100::Cell| cell.fgcolor() == vt100::Color::Default && cell.bgcolor() == vt100::Color::Default;
        cells().all(|(line, column)| it.cell(line, column).is_none_or(plain)).then_some(())
    });
}

/// A key that arrives with a change of size must neither be lost nor hide it.
#[test]
fn a_key_and_a_new_size_at_once_are_both_taken() {
    let home = home();
    let mut screen = demo(&home, &[]);
    for turn in 0..20 {
        let (columns, lines) = if turn % 2 == 0 { (100, 30) } else { (80, 24) };
        let (key, title) = if turn % 2 == 0 { ("2", "[2 Beds]") } else { ("1", "[1 Board]") };
        screen.resize(columns, lines);
        screen.keys(key);
        screen.shows(title);
        screen.wait("the keys on the last line", |it| {
            it.contents_between(lines - 1, 0, lines - 1, columns).contains("help").then_some(())
        });
    }
}

#[test]
fn a_screen_that_is_too_small_says_what_it_needs_and_obeys_nothing_but_leaving() {
    let home = home();
    let mut screen = Screen::start(79, 23, home.path(), &["demo"], &[]);
    screen.shows("needs 80 columns and 24 lines; this screen has 79 and 23.");
    screen.shows("open beds");
    screen.keys("2");
    screen.resize(80, 24);
    screen.shows("[1 Board]");
    screen.resize(20, 5);
    screen.shows_no_more("[1 Board]");
    screen.keys("q");
    assert!(screen.left().restored);
}

#[test]
fn a_terminal_that_cannot_be_drawn_on_and_a_pipe_are_given_text() {
    let home = home();
    let left = Screen::start(80, 24, home.path(), &["demo"], &[("TERM", "dumb")]).left();
    assert!(left.status.success(), "{}", left.text);
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryhold"));
    command.env_clear().env("HOME", home.path()).env("TERM", "xterm-256color").current_dir(home.path());
    let piped = command.arg("demo").stdin(Stdio::null()).output().expect("it runs");
    assert!(piped.status.success());
    let piped = String::from_utf8(piped.stdout).expect("text");
    for text in [left.raw.as_str(), piped.as_str()] {
        assert!(text.contains("beds open (open as far as bed bugs are concerned; check cleaning)"), "{text}");
        assert!(!text.contains('\x1b'), "{text}");
    }
}

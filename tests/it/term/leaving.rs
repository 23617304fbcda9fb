//! The terminal is given back as it was found, whatever ends or stops the program, and no program stays without one.

use std::fs::{self, OpenOptions};
use std::path::Path;
use std::time::Duration;

use dryhold::tui::terminal::{Guard, restore_on_panic};
use rustix::termios::{Action, tcflow};

use super::screen::{Screen, signal};
use super::{demo, home};

/// What the program promises is one second. A machine that is busy with other tests is given more.
const SOON: Duration = Duration::from_secs(4);

const PANIC_IN: &str = "TEST_PANIC_IN";

/// Starts the demo from a shell that runs this line, in which `"$@"` is the program.
fn demo_in_shell(home: &Path, line: &str) -> Screen {
    let arguments = ["-c", line, "sh", env!("CARGO_BIN_EXE_dryhold"), "demo"];
    let screen = Screen::start_other("sh", &arguments, home, &[]);
    screen.shows("[1 Board]");
    screen
}

#[test]
fn it_gives_the_terminal_back_when_it_is_left() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.wait("a screen of its own", |it| (it.alternate_screen() && it.bracketed_paste()).then_some(()));
    screen.keys("qq");
    let left = screen.left();
    assert!(left.status.success() && left.restored, "{:?}: {}", left.status, left.text);
}

#[test]
fn it_gives_the_terminal_back_when_it_is_ended_from_outside() {
    for (name, number) in [("TERM", 15), ("HUP", 1), ("INT", 2), ("QUIT", 3)] {
        let home = home();
        let screen = demo(&home, &[]);
        screen.signal(name);
        let left = screen.left();
        assert!(left.restored, "{name}: {}", left.text);
        assert_eq!(left.status.signal(), None, "{name}: it ended of itself");
        assert_eq!(left.status.exit_code(), 128 + number, "{name}: as a shell tells of it");
    }
}

/// The user's own folder cannot be written, or is on a disk that is only to be read: whatever is begun and left, the board
/// goes on, says so on each page, and gives the terminal back.
#[test]
fn a_draft_that_cannot_be_kept_ends_nothing_and_is_said_on_each_page() {
    let home = home();
    let ledger = home.path().join("ledger.ron");
    let ledger = ledger.to_str().expect("a path in UTF-8");
    let mut keep = std::process::Command::new(env!("CARGO_BIN_EXE_dryhold"));
    let made = keep.args(["demo", "--keep", ledger]).output().expect("it runs");
    assert!(made.status.success(), "{made:?}");
    let state = [("XDG_STATE_HOME", "/dev/null/x")];
    let mut screen = Screen::start(100, 30, home.path(), &["--ledger", ledger], &state);
    let told = "this terminal cannot keep what it saw";
    screen.shows(told);
    screen.keys("s6");
    screen.shows("Signed in");
    for begun in ["b1", "b2"] {
        screen.keys(begun);
        screen.shows("Finding");
        screen.keys("\x1b");
        screen.shows("kept until this program ends");
    }
    for (key, page) in
        [("2", "[2 Beds]"), ("3", "[3 Tasks]"), ("4", "[4 Bags]"), ("5", "[5 Ledger]"), ("6", "[6 Rules]")]
    {
        screen.keys(key);
        screen.shows(page);
        screen.shows(told);
    }
    screen.keys("o");
    screen.shows("Signed out");
    screen.keys("\x03\x03");
    let left = screen.left();
    assert!(left.status.success() && left.restored, "{:?}: {}", left.status, left.text);
    // On the page for a wall too, and where nothing is drawn.
    let screen = Screen::start(100, 30, home.path(), &["wall", "--ledger", ledger], &state);
    screen.shows(told);
    screen.signal("TERM");
    assert!(screen.left().restored);
}

/// The library's own guard and hook, in this test binary run again, since nothing makes the program itself panic.
#[test]
fn it_gives_the_terminal_back_when_it_panics() {
    let home = home();
    let this = std::env::current_exe().expect("this test binary");
    let this = this.to_str().expect("a path in UTF-8");
    let test = "term::leaving::what_panics_once_the_terminal_is_taken";
    for thread in ["main", "another"] {
        let arguments = ["--exact", test, "--nocapture", "--test-threads=1"];
        let left = Screen::start_other(this, &arguments, home.path(), &[(PANIC_IN, thread)]).left();
        assert_eq!(left.status.exit_code(), 101, "{thread}: {}", left.text);
        assert!(left.raw.contains("\x1b[?1049h"), "{thread}: it had the terminal: {}", left.text);
        assert!(left.restored, "{thread}: {}", left.text);
        assert!(left.text.contains("it went wrong on purpose"), "{thread}: it says why: {}", left.text);
    }
}

/// Panics only in the run that the test above starts.
#[test]
fn what_panics_once_the_terminal_is_taken() {
    let Ok(thread) = std::env::var(PANIC_IN) else { return };
    restore_on_panic();
    let _guard = Guard::enter().expect("a terminal");
    if thread == "another" {
        let other = std::thread::spawn(|| panic!("it went wrong on purpose"));
        // The hook ends the program before this could be answered.
        let _ = other.join();
    }
    panic!("it went wrong on purpose");
}

#[test]
fn it_ends_with_its_terminal() {
    let home = home();
    let took = demo(&home, &[]).close();
    assert!(took < SOON, "{took:?}");
}

/// A parent may have switched the hang-up off, as `nohup` does.
#[test]
fn it_ends_with_its_terminal_when_told_to_ignore_the_hang_up() {
    let home = home();
    let took = demo_in_shell(home.path(), "trap '' HUP; exec \"$@\"").close();
    assert!(took < SOON, "{took:?}");
}

/// Only the first process of a session is told of the hang-up. Here that is a shell that goes on waiting for the program.
#[test]
fn it_ends_with_its_terminal_when_nobody_tells_it() {
    let home = home();
    let took = demo_in_shell(home.path(), "trap '' HUP; \"$@\"; exit 0").close();
    assert!(took < SOON, "{took:?}");
}

/// A terminal that takes nothing in, as over a connection that hangs: the program waits in the middle of a frame.
#[test]
fn it_can_be_ended_while_its_terminal_takes_nothing_in() {
    let home = home();
    let mut screen = demo(&home, &[]);
    let device = OpenOptions::new().read(true).write(true).open(screen.device()).expect("the terminal");
    tcflow(&device, Action::OOff).expect("a stop");
    drop(device);
    screen.keys("\x0c");
    screen.signal("TERM");
    let left = screen.left();
    assert!(left.restored, "{}", left.text);
}

/// In a shell with job control: stopped from outside, the terminal is the shell's; in front again, the board is whole.
/// Each signal by its way: SIGTSTP lets the program tidy up first, SIGSTOP leaves that to the shell.
#[test]
fn stopped_and_continued_it_shows_the_whole_board_again() {
    for name in ["TSTP", "STOP"] {
        let home = home();
        let mut screen = Screen::start_other("bash", &["--norc", "--noprofile", "-i"], home.path(), &[("PS1", "$ ")]);
        screen.prompts("$ ");
        screen.keys("sh -c 'echo $$ >process; exec \"$DRYHOLD\" demo'\r");
        screen.shows("[1 Board]");
        let before = screen.text();
        let number = fs::read_to_string(home.path().join("process")).expect("its number");
        signal(number.trim().parse().expect("a number"), name);
        screen.says("Stopped");
        if name == "TSTP" {
            screen.prompts("$ ");
        } else {
            // The prompt stands in the middle of the board, which knows no such sign.
            screen.says("$ ");
        }
        screen.keys("fg\r");
        screen.shows("[1 Board]");
        screen.wait("the board as it was", |it| {
            (lines_but_first(&it.contents()) == lines_but_first(&before)).then_some(())
        });
        screen.keys("2");
        screen.shows("[2 Beds]");
        screen.keys("qq");
        screen.prompts("$ ");
        screen.keys("exit\r");
        assert!(screen.left().restored, "{name}");
    }
}

/// The clock stands in the first line.
fn lines_but_first(text: &str) -> Vec<&str> {
    text.lines().skip(1).collect()
}

#[test]
fn control_z_says_that_it_does_not_stop_the_board() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.keys("\x1a");
    screen.shows("Ctrl-Z does not stop the board");
    screen.keys("2");
    screen.shows("[2 Beds]");
}

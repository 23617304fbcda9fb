//! The same words for every eye and on every terminal; never colour alone, never a sound, nothing that looks like an alarm.

use std::fs;

use super::hands::OF_A_FORM;
use super::home;
use super::screen::{DOWN, ENTER, ESC, Screen};

type Environment = &'static [(&'static str, &'static str)];

const NOW: &str = "2026-06-10T09:30:00Z";

/// Keys that bring up one thing after another, with a word that each must show.
const WALK: [(&str, &str); 12] = [
    ("", "[1 Board]"),
    (DOWN, "[1 Board]"),
    ("2", "[2 Beds]"),
    ("3", "[3 Tasks]"),
    ("4", "[4 Bags]"),
    ("5", "[5 Ledger]"),
    ("6", "[6 Rules]"),
    ("?", "Keys: the Rules"),
    (ESC, "[6 Rules]"),
    ("s", "Who are you?"),
    ("cn\r", "Signed in:"),
    ("1/3N-03\rb", OF_A_FORM),
];

/// The demo at a fixed time, walked through: `look` sees every screen when it is whole. Answers all that was sent.
#[track_caller]
fn walk(arguments: &[&str], environment: &[(&str, &str)], mut look: impl FnMut(&Screen)) -> String {
    let home = home();
    let mut all = vec!["--now", NOW];
    all.extend(arguments);
    all.push("demo");
    let mut screen = Screen::start(80, 24, home.path(), &all, environment);
    for (keys, shown) in WALK {
        let bytes = screen.bytes();
        screen.keys(keys);
        if !keys.is_empty() {
            screen.frame_after(bytes);
        }
        screen.shows(shown);
        look(&screen);
    }
    screen.keys(ESC);
    screen.shows_no_more(OF_A_FORM);
    screen.keys("qqq");
    let left = screen.left();
    assert!(left.restored, "{}", left.text);
    left.raw
}

fn words(arguments: &[&str], environment: &[(&str, &str)]) -> Vec<String> {
    let mut texts = vec![];
    walk(arguments, environment, |screen| texts.push(screen.text()));
    texts
}

#[test]
fn every_terminal_is_told_the_same_words() {
    let usual = words(&[], &[]);
    let environments: [Environment; 4] = [
        &[("NO_COLOR", "1")],
        &[("TERM", "xterm")],
        &[("TERM", "xterm-direct"), ("COLORTERM", "truecolor")],
        &[("TERM", "tmux-256color")],
    ];
    for environment in environments {
        assert_eq!(words(&[], environment), usual, "{environment:?}");
    }
    for palette in ["never", "16", "light", "dark"] {
        assert_eq!(words(&["--color", palette], &[]), usual, "{palette}");
    }
}

/// A reader of braille, or of a magnified part of the screen, follows the cursor.
/// Without colour (no-color.org) other attributes may stay, and the highlight has to.
#[test]
fn what_is_chosen_is_reversed_marked_and_has_the_cursor() {
    for palette in ["never", "16", "light", "dark"] {
        walk(&["--color", palette], &[], |screen| {
            let looks = |it: &vt100::Screen| {
                let (line, column) = it.cursor_position();
                let (_, columns) = it.size();
                let reversed = |column| it.cell(line, column).is_some_and(vt100::Cell::inverse);
                let marked = it.contents_between(line, 0, line, columns.get()).contains('>');
                !it.hide_cursor() && marked && (0..columns.get()).any(reversed) && it.cell(line, column).is_some()
            };
            if !screen.text().contains("Keys: ") {
                screen.wait(&format!("a mark with {palette}"), |it| looks(it).then_some(()));
            }
        });
    }
}

#[test]
fn without_colour_there_is_none() {
    for (arguments, environment) in [(&["--color", "never"][..], &[][..]), (&[], &[("NO_COLOR", "1")])] {
        walk(arguments, environment, |screen| {
            screen.wait("no colour", |it| cells(it).all(|cell| colours(cell) == PLAIN).then_some(()));
        });
    }
}

const PLAIN: (vt100::Color, vt100::Color) = (vt100::Color::Default, vt100::Color::Default);

fn colours(cell: &vt100::Cell) -> (vt100::Color, vt100::Color) {
    (cell.fgcolor(), cell.bgcolor())
}

fn cells(screen: &vt100::Screen) -> impl Iterator<Item = &vt100::Cell> {
    let (lines, columns) = screen.size();
    (0..lines.get()).flat_map(move |line| (0..columns.get()).filter_map(move |column| screen.cell(line, column)))
}

/// Coloured text on a background that is not ours may be unreadable there: both are set, or neither.
#[test]
fn colour_comes_with_a_background_of_its_own() {
    for palette in ["16", "light", "dark"] {
        walk(&["--color", palette], &[], |screen| {
            let alone = |cell: &vt100::Cell| {
                (cell.fgcolor() == vt100::Color::Default) != (cell.bgcolor() == vt100::Color::Default)
            };
            screen.wait(&format!("whole chips with {palette}"), |it| (!cells(it).any(alone)).then_some(()));
        });
    }
}

#[test]
fn a_terminal_that_knows_only_ascii_gets_only_ascii() {
    let cases: [(&[&str], Environment); 4] = [
        (&["--ascii"], &[]),
        (&[], &[("LANG", "C")]),
        (&[], &[("LC_ALL", "de_DE.ISO-8859-1")]),
        (&[], &[("TERM", "vt220")]),
    ];
    for (arguments, environment) in cases {
        let sent = walk(arguments, environment, |_| {});
        let other: String = sent.chars().filter(|c| !c.is_ascii()).collect();
        assert_eq!(other, "", "{arguments:?} {environment:?}");
    }
}

/// The signals of alarms of medical devices: flashing, tones, `***` and `!!!`, lines wholly red, yellow or cyan
/// (IEC 60601-1-8, whose text is sold; as manuals of bedside monitors describe it).
#[test]
fn nothing_looks_or_sounds_like_an_alarm() {
    let bars = [
        vt100::Color::Idx(1),
        vt100::Color::Idx(3),
        vt100::Color::Idx(6),
        vt100::Color::Idx(9),
        vt100::Color::Idx(11),
        vt100::Color::Idx(14),
    ];
    for palette in ["16", "light", "dark"] {
        let sent = walk(&["--color", palette], &[], |screen| {
            let text = screen.text();
            assert!(!text.contains("***") && !text.contains("!!!"), "{text}");
            let barred = |it: &vt100::Screen, line| {
                let of = |column| it.cell(line, column).is_some_and(|cell| bars.contains(&cell.bgcolor()));
                (0..80).filter(|column| of(*column)).count() > 60
            };
            screen.wait("no bars", |it| (!(0..24).any(|line| barred(it, line))).then_some(()));
        });
        assert!(!sent.contains('\x07'), "a bell");
        let blinks = sent.split("\x1b[").skip(1).filter_map(|it| it.split_once('m')).any(|(numbers, _)| {
            let plain = numbers.chars().all(|c| c.is_ascii_digit() || c == ';');
            plain && !numbers.contains(['8']) && numbers.split(';').any(|it| it == "5" || it == "6")
        });
        assert!(!blinks, "{palette} blinks");
    }
    let readme = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).expect("a README");
    assert!(readme.contains("not an alarm system"));
    let home = home();
    let mut screen = super::demo(&home, &[]);
    screen.keys("?");
    screen.shows("Keys: ");
    screen.go_down_to("raises no alarm");
}

/// Text can be selected and copied as anywhere: xterm, "Control Sequences", modes 9 and 1000 to 1016.
#[test]
fn the_mouse_is_left_to_the_terminal() {
    let sent = walk(&[], &[], |_| {});
    for mode in ["9", "1000", "1001", "1002", "1003", "1005", "1006", "1015", "1016"] {
        assert!(!sent.contains(&format!("\x1b[?{mode}h")), "{mode}");
    }
}

#[test]
fn help_is_there_on_every_screen_and_lists_its_keys() {
    let home = home();
    let mut screen = super::demo(&home, &[]);
    for (key, name) in [("1", "Board"), ("2", "Beds"), ("3", "Tasks"), ("4", "Bags"), ("5", "Ledger"), ("6", "Rules")] {
        screen.keys(key);
        screen.shows(&format!("[{key} {name}]"));
        screen.keys("?");
        screen.shows(&format!("Keys: the {name}"));
        screen.keys(ESC);
        screen.shows_no_more("Keys: ");
    }
    screen.keys("1/3N-03\r");
    screen.is_in_room("3N-03");
    screen.keys("?");
    screen.shows("Keys: the Room");
    screen.keys(ENTER);
    screen.shows_no_more("Keys: ");
}

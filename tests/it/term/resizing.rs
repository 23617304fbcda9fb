//! A terminal of another size, at any moment and down to the smallest.

use super::screen::Screen;
use super::{demo, home};

/// A key that arrives with a change of size must neither be lost nor hide it.
#[test]
fn a_key_and_a_new_size_at_once_are_both_taken() {
    let home = home();
    let mut screen = demo(&home, &[]);
    for turn in 0..100 {
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
    screen.keys("qq");
    assert!(screen.left().restored);
}

#[test]
fn from_the_smallest_size_and_the_largest_the_board_comes_back_whole() {
    let home = home();
    let screen = Screen::start(80, 24, home.path(), &["--now", "2026-06-10T09:30:00Z", "demo"], &[]);
    screen.shows("[1 Board]");
    let before = screen.text();
    for (columns, lines) in [(1, 1), (2, 3), (500, 200), (80, 1), (1, 24)] {
        let bytes = screen.bytes();
        screen.resize(columns, lines);
        screen.frame_after(bytes);
        screen.resize(80, 24);
        screen.wait("the board as it was", |it| (it.contents() == before).then_some(()));
    }
}

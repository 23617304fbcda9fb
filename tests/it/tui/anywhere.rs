//! Keys that work on every screen: wherever one is, each of them does something or says why it does not.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use dryhold::tui::look::Look;
use dryhold::tui::{App, Msg};

use super::seat::Seat;
use super::{Shown, with_world};

/// Ways to every screen, list, question, form line and page.
const PLACES: [(&str, &str); 24] = [
    ("the Board", ""),
    ("the Beds", "2"),
    ("the Tasks", "3"),
    ("the Bags", "4"),
    ("the Ledger", "5"),
    ("the Rules", "6"),
    ("a Room", "/3n-07\n"),
    ("the shift", "h"),
    ("the help", "?"),
    ("the help of the shift", "h?"),
    ("an entry", "5\n"),
    ("a rule", "6\n"),
    ("the moves", "m"),
    ("the people", "s"),
    ("the book", "6e"),
    ("a line", "/"),
    ("the line of the Ledger", "5g"),
    ("a checklist", "/3n-03\nn"),
    ("a question with answers", "/3n-03\nm8"),
    ("a text", "5v"),
    ("leaving", "q"),
    ("beds of a ward", "2c"),
    ("the end of a form", "/3n-03\nn "),
    ("a question", "/3n-03\nn "),
];

const KEYS: [(KeyCode, KeyModifiers); 17] = {
    const NONE: KeyModifiers = KeyModifiers::NONE;
    const fn sign(c: char) -> (KeyCode, KeyModifiers) {
        (KeyCode::Char(c), NONE)
    }
    [
        sign('1'),
        sign('2'),
        sign('3'),
        sign('4'),
        sign('5'),
        sign('6'),
        (KeyCode::Tab, NONE),
        (KeyCode::BackTab, NONE),
        sign('/'),
        sign('h'),
        sign('b'),
        sign('u'),
        sign('s'),
        sign('o'),
        sign('?'),
        (KeyCode::F(1), NONE),
        sign('q'),
    ]
};

/// The demo's hospital at the screens anew.
fn again(it: &mut Shown, signed_in: bool, (place, keys): (&str, &str)) {
    let person = it.desk.board().people().keys().next().copied().filter(|_| signed_in);
    it.app = with_world(&it.desk, |world| App::new(Look::default(), 80, 24, person, world));
    it.presses(keys);
    if signed_in && ["the end of a form", "a question"].contains(&place) {
        it.press(KeyCode::F(2));
        if place == "a question" {
            it.presses("x");
            assert!(it.picture().contains("Throw away"), "{}", it.picture());
        }
    }
    // What was said on the way is no answer to the next key.
    it.tell(Msg::Say(String::new()));
}

#[test]
fn no_key_that_works_everywhere_is_dead_anywhere() {
    let mut it = Shown::new(80, 24);
    let mut dead = vec![];
    for (place, keys) in PLACES {
        for signed_in in [true, false] {
            again(&mut it, signed_in, (place, keys));
            let before = it.picture();
            for (key, held) in KEYS {
                // Before the first question there is none; whoever is chosen already is chosen by the number too.
                let is_form = before.contains("keep and close");
                if is_form && key == KeyCode::BackTab || before.contains("Then the form opens") {
                    continue;
                }
                again(&mut it, signed_in, (place, keys));
                let effects = it.tell(Msg::Key(KeyEvent::new(key, held)));
                if effects.is_empty() && it.picture() == before {
                    dead.push(format!("{place}, signed in {signed_in}: {key:?}"));
                }
            }
        }
    }
    assert!(dead.is_empty(), "{}", dead.join("\n"));
}

#[test]
fn the_page_for_a_wall_says_how_to_leave_it() {
    let mut it = Shown::new(80, 24);
    let app = &mut it.app;
    with_world(&it.desk, |world| app.show_wall(world));
    for (key, held) in KEYS {
        let before = it.picture();
        if matches!(key, KeyCode::Char('?' | 'q') | KeyCode::F(1)) {
            continue;
        }
        it.tell(Msg::Key(KeyEvent::new(key, held)));
        assert!(it.picture().contains("does nothing here. Esc goes back first."), "{key:?}: {}", it.picture());
        // It goes with the next turn of the page.
        it.tell(Msg::Turn);
        it.tell(Msg::Key(KeyEvent::new(KeyCode::Left, held)));
        assert!(!it.picture().contains("does nothing here"), "{before}");
    }
    it.press(KeyCode::Char('q'));
    assert!(it.picture().contains("[1 Board]"), "{}", it.picture());
}

#[test]
fn who_reads_what_a_shift_asks_first_signs_in_there_and_reads_on() {
    let mut it = Seat::demo(80, 24);
    it.keys("h");
    it.shows("This shift: anybody's");
    it.shows("s sign in");
    it.signs_in("CN");
    it.shows("This shift: CN, charge nurse");
    it.keys("o");
    it.shows("This shift: anybody's");
    it.signs_in("LD");
    it.shows("This shift: LD");
    // Another one takes over.
    it.signs_in("CN");
    it.shows("This shift: CN, charge nurse");
    it.key(KeyCode::Esc);
    it.shows("[1 Board]");
}

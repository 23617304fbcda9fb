//! What is typed and pasted: nothing of it is lost, and no burst of it does what nobody meant.

use std::time::Duration;

use super::hands::OF_A_FORM;
use super::screen::{ENTER, ESC, Screen};
use super::{demo, home};

/// Longer than the time in which an answer to a question is not taken for one.
const READ: Duration = Duration::from_millis(400);

/// As a terminal marks what is pasted: xterm, "Control Sequences", bracketed paste mode.
fn paste(text: &str) -> String {
    format!("\x1b[200~{text}\x1b[201~")
}

/// The demo with its first person signed in and a text typed into a form.
fn with_something_typed(home: &tempfile::TempDir) -> Screen {
    let mut screen = demo(home, &[]);
    screen.keys("s");
    screen.shows("Who are you?");
    screen.keys("cn");
    screen.shows("Who are you?: CN");
    screen.keys("\r");
    screen.shows("Signed in:");
    screen.keys("b");
    screen.shows(OF_A_FORM);
    screen.go_to(" Note ");
    screen.keys("zq");
    screen.on_line("[zq");
    screen
}

#[test]
fn a_paste_goes_into_a_field_as_text_and_nowhere_else() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.keys(&paste("q\r\x03s2"));
    screen.shows("A paste goes only into a field of text.");
    screen.shows("[1 Board]");
    screen.keys("/");
    screen.shows("Find a room");
    screen.keys(&paste("3\rN-\x07\t0\n3"));
    screen.on_line("3N-03");
    screen.shows("Find a room");
    screen.keys(ENTER);
    screen.is_in_room("3N-03");
    screen.shows_no_more("Find a room");
}

#[test]
fn escape_keeps_what_was_typed_and_leaving_asks_first() {
    let home = home();
    let mut screen = with_something_typed(&home);
    screen.keys(ESC);
    screen.shows("What you typed is kept");
    screen.is_quiet_for(READ);
    screen.keys("b");
    screen.shows("Here is what you had typed before.");
    screen.go_to(" Note ");
    screen.on_line("[zq");
    screen.keys("\x03");
    screen.shows("Ctrl-C once more leaves.");
    screen.keys(ESC);
    screen.shows("What you typed is kept");
    screen.keys("\x03");
    screen.shows("Ctrl-C once more leaves.");
    screen.keys("\x03");
    assert!(screen.left().restored);
}

/// Esc that comes too early leaves a text, and the hands type on: what was meant as text signs nobody in.
#[test]
fn what_is_typed_on_after_an_early_escape_does_nothing() {
    let home = home();
    let mut screen = with_something_typed(&home);
    screen.keys(ESC);
    screen.shows("What you typed is kept");
    screen.keys("os along");
    screen.shows("You typed on after leaving the text: nothing was done with it.");
    screen.is_quiet_for(READ);
    screen.keys("2");
    screen.shows("[2 Beds]");
}

/// Also where a terminal does not mark a paste: then it is keys, faster than anybody reads.
#[test]
fn a_burst_of_keys_answers_no_question_and_signs_nothing() {
    let home = home();
    let mut screen = with_something_typed(&home);
    screen.keys(ESC);
    screen.shows("What you typed is kept");
    screen.is_quiet_for(READ);
    screen.keys("qyyY");
    screen.shows("Leave?");
    screen.is_quiet_for(READ);
    screen.shows("Leave?");
    screen.keys(ENTER);
    screen.shows_no_more("Leave?");
    screen.keys("qq");
    screen.shows("Leave?");
    screen.is_quiet_for(READ);
    screen.keys("y");
    assert!(screen.left().status.success());
}

#[test]
fn small_letters_and_capitals_do_the_same() {
    let home = home();
    let mut screen = demo(&home, &[]);
    for keys in ["s", "S"] {
        screen.keys(keys);
        screen.shows("Who are you?");
        screen.keys(ESC);
        screen.shows_no_more("Who are you?");
    }
    screen.keys("QQ");
    assert!(screen.left().status.success());
}

//! Checklists and refusals, as a person meets them: nothing is ticked for them, nothing ticked is lost, and a room does not go
//! back into service because somebody says so.

use super::hands::{KEEPER, LEAD, NURSE, OF_A_FORM};
use super::job::Job;
use super::screen::ESC;

/// A job whose room is confirmed, with its keeper signed in and the room open.
fn confirmed() -> Job {
    let mut it = Job::start();
    it.program.note("HK", "finding 4N-02 --seen live-adult", &[]).done();
    it.screen.sign_in(KEEPER);
    it.screen.open_room("4N-02");
    it
}

#[test]
fn a_checklist_is_empty_at_first_and_comes_back_at_its_first_open_line() {
    let mut it = confirmed();
    it.screen.open_move("Preparation");
    assert!(it.screen.line().starts_with(">[ "), "{}", it.screen.line());
    it.screen.step(" ");
    let third = it.screen.step(" ");
    it.screen.keys(ESC);
    it.screen.shows("What you typed is kept");
    it.screen.open_move("Preparation");
    assert_eq!(it.screen.line(), third);
    it.screen.shows("2 of ");
}

#[test]
fn zones_are_marked_one_by_one_and_never_all_at_once() {
    let mut it = confirmed();
    it.screen.open_move("Spray");
    it.screen.go_to("mattress:");
    let before = it.screen.line();
    // Where an inspection marks a whole group, a spray does not.
    it.screen.keys("g");
    it.screen.step(" ");
    it.screen.keys("\x1b[A");
    it.screen.on_line("mattress:");
    assert_ne!(it.screen.line(), before);
    it.screen.shows(": 1 of ");
}

#[test]
fn a_room_goes_back_into_service_only_when_nothing_is_missing() {
    let mut it = confirmed();
    for person in [NURSE, LEAD] {
        it.screen.sign_in(person);
        it.screen.open_move("Return to service");
        it.screen.finish();
        it.screen.shows("Not noted [");
        it.screen.keys(ESC);
        it.screen.shows_no_more(OF_A_FORM);
    }
    assert_eq!(it.program.state("4N-02"), "confirmed");
    assert_eq!(it.program.open(), ["4N-01-A", "4N-03-A"]);
}

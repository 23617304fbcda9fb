//! What is to be known of an open bed is seen on every screen that shows it, with what its signs mean; and the screens agree.

use crossterm::event::KeyCode;

use dryhold::tui::Msg;

use super::seat::{Seat, code};

/// What follows this text in the picture, up to what is no digit.
fn number_after(picture: &str, text: &str) -> usize {
    let (_, after) = picture.split_once(text).unwrap_or_else(|| panic!("no {text}: {picture}"));
    after.chars().take_while(char::is_ascii_digit).collect::<String>().parse().unwrap_or_else(|_| panic!("{picture}"))
}

#[test]
fn an_open_bed_beside_a_case_is_marked_on_every_screen_and_the_sign_is_explained() {
    for (columns, lines) in [(80, 24), (100, 30), (160, 50)] {
        let mut it = Seat::demo(columns, lines);
        let bed = code("4N-03-B");
        let board = it.desk.board();
        assert!(board.marks(bed, it.desk.now()).contains(&dryhold::domain::board::BedMark::NextToCase));
        it.signs_in("CN");
        let explained = |it: &Seat| {
            let picture = it.picture();
            assert!(
                picture.contains("+ next to a case") || picture.contains("+ by a case"),
                "{columns}x{lines}: {picture}"
            );
        };
        explained(&it);
        it.shows("clear+");
        it.keys("vw");
        explained(&it);
        it.shows("B open+");
        it.keys("v2");
        explained(&it);
        it.shows(".03-B+");
        it.keys("/4n03b\n");
        it.shows("next to a case");
        it.key(KeyCode::Esc);
        it.keys("h");
        it.shows("Open beds");
        let text = it.picture();
        assert!(text.contains("(next to a case") || text.contains("next to a"), "{text}");
    }
}

#[test]
fn the_board_and_the_tasks_count_the_same_as_overdue() {
    let mut it = Seat::demo(160, 50);
    let on_board = number_after(&it.picture(), "Overdue: ");
    it.keys("3");
    assert_eq!(on_board, number_after(&it.picture(), " tasks, "), "{}", it.picture());
    it.keys("1");
    let beds = number_after(&it.picture(), "Not open, next step: ");
    it.keys("2");
    let waiting = number_after(&it.picture(), "Not open, with the earliest time (a plan, no permission): ");
    assert_eq!(
        beds,
        waiting + 1,
        "beds are counted, not lines; 3N-07-A waits among the promised ones: {}",
        it.picture()
    );
}

#[test]
fn a_bed_that_was_typed_is_the_one_that_is_noted() {
    let mut it = Seat::demo(80, 50);
    it.signs_in("CN");
    it.keys("/4n03b\nm");
    it.shows("Bed occupied: bed 4N-03-B");
    it.keys("occupied\n");
    it.shows("4N-03-B");
    it.shows_no("may be left blank");
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    // Of the room alone it is asked which one, and blank means neither none nor all.
    it.keys("/4n-03\nm");
    it.keys("occupied\n");
    it.shows("Beds: 0 of 2");
    it.shows_no("may be left blank");
}

#[test]
fn what_is_handed_over_is_of_the_room_its_ward_or_the_house() {
    let mut it = Seat::demo(80, 50);
    it.signs_in("CN");
    it.keys("/4n-03\nm");
    for place in ["room 4N-03", "ward 4N", "the whole house"] {
        it.shows(&format!("Hand over to the next shift: {place}"));
    }
    it.notes("CN", "hand-over", "4N", &[("text", "the key of 4N-W is at the desk")]);
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    it.keys("h");
    it.shows("ward 4N: the key of 4N-W is at the desk");
}

#[test]
fn pasted_lines_stay_apart_and_what_no_screen_shows_is_said() {
    let mut it = Seat::demo(100, 30);
    it.signs_in("CN");
    it.keys("/4n-03\nm");
    it.keys("hand over\n");
    it.shows("Hand");
    it.tell(Msg::Paste("first line\r\nsecond line\twith tab\n".to_owned()));
    it.shows("first line second line with tab");
    it.tell(Msg::Paste(" and \u{202e}more\u{7}".to_owned()));
    it.shows("with tab and more");
    it.shows("2 signs of what was pasted were left out");
}

#[test]
fn beds_that_nobody_confirmed_are_among_the_charge_nurses_own_tasks() {
    let mut it = Seat::demo(160, 50);
    it.signs_in("CN");
    it.at("2026-06-10T20:00:00Z");
    it.keys("1");
    let on_board = number_after(&it.picture(), "Overdue: ");
    it.keys("3f");
    let picture = it.picture();
    let own = picture.lines().filter(|line| line.contains("say whether") || line.contains("confirm")).count();
    assert!(picture.contains("may do ──") && own > 0 && on_board > 0, "{picture}");
    it.shows_no("No tasks here");
}

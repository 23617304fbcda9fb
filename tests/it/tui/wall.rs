//! The page for a screen on the wall, and the page of a shift.

use crossterm::event::KeyCode;
use dryhold::tui::Msg;

use super::seat::Seat;
use super::{Shown, check_picture, with_world};

fn on_the_wall(columns: u16, lines: u16) -> Shown {
    let mut it = Shown::new(columns, lines);
    let app = &mut it.app;
    with_world(&it.desk, |world| app.show_wall(world));
    it
}

/// Pages until the first comes again.
fn all_pages(it: &mut Shown) -> Vec<String> {
    let mut pages = vec![it.picture()];
    loop {
        it.tell(Msg::Turn);
        let page = it.picture();
        if page == pages[0] || pages.len() > 50 {
            return pages;
        }
        pages.push(page);
    }
}

#[test]
fn the_wall_shows_counts_on_every_page_and_all_that_waits_on_some() {
    for (columns, lines) in [(80, 24), (160, 50)] {
        let mut it = on_the_wall(columns, lines);
        let pages = all_pages(&mut it);
        for (at, page) in pages.iter().enumerate() {
            for text in ["12 of 70 beds open, 1 of them promised", "# 1 confirm", "newest entry 745, 11:24"] {
                assert!(page.contains(text), "no “{text}”:\n{page}");
            }
            assert!(page.contains(&format!("page {} of {}", at + 1, pages.len())), "{page}");
            // Read from afar: never more lines than a screen of 55 inches shows legibly at three metres.
            assert!(page.trim_end().lines().count() <= 23, "{page}");
        }
        let whole = pages.concat();
        for text in [
            "Do not enter  3N-07",
            "3N:  3N-05-A  3N-08-B (promised)",
            "4N-12-A and B  no time: second look",
            "Waits longest",
            "5N-02",
        ] {
            assert!(whole.contains(text), "no “{text}”:\n{whole}");
        }
        assert!(!whole.contains("C. Nadir"), "nobody is named on a wall");
    }
    check_picture("wall", 80, 24, &on_the_wall(80, 24).picture());
}

#[test]
fn the_wall_takes_any_size_turns_by_keys_and_is_left_to_the_board() {
    let mut it = on_the_wall(80, 24);
    it.check_sizes();
    let first = it.picture();
    it.press(KeyCode::Right);
    assert_ne!(it.picture(), first);
    it.press(KeyCode::Left);
    assert_eq!(it.picture(), first);
    it.press(KeyCode::Esc);
    assert!(it.picture().contains("[1 Board]"), "{}", it.picture());
}

#[test]
fn what_is_wrong_with_the_ledger_stands_on_the_wall_too() {
    let mut it = Seat::demo(80, 24);
    let app = &mut it.app;
    with_world(&it.desk, |world| {
        let world = dryhold::tui::World {
            trouble: Some("line 5 cannot be read".to_owned()),
            closed: true,
            clock: None,
            not_kept: None,
            ..*world
        };
        app.show_wall(&world);
        app.refresh(&world);
    });
    it.shows("every bed reads closed");
    it.shows("line 5 cannot be read");
}

#[test]
fn a_shift_is_told_on_one_key() {
    let mut it = Shown::new(100, 50);
    it.presses("h");
    check_picture("shift", 100, 50, &it.picture());
}

/// A page is a page from the first press on, and no line is passed over or painted over.
#[test]
fn the_page_keys_of_the_shift_pass_no_line_over() {
    let mut it = Shown::new(80, 24);
    it.presses("h");
    let body = |it: &Shown| -> Vec<String> {
        let picture = it.picture();
        let lines = picture.lines().filter(|line| line.contains('│') && !line.contains("more line"));
        lines.filter(|line| !line.contains(" above, PgUp")).map(str::to_owned).collect()
    };
    let mut pages = vec![body(&it)];
    let height = pages[0].len();
    assert!(height >= 17, "{}", it.picture());
    for _ in 0..12 {
        it.press(KeyCode::PageDown);
        pages.push(body(&it));
    }
    let last = pages.len() - 1;
    assert_eq!(pages[last], pages[last - 1], "the end stays");
    let told = |page: &[String]| -> String { page.concat().replace([' ', '│'], "") };
    let mut one = Shown::new(80, 24);
    one.presses("h");
    for _ in 0..pages.len() * height {
        one.press(KeyCode::Down);
    }
    assert_eq!(told(&body(&one)), told(&pages[last]), "line by line one comes to the same end");
    let first = &pages[1][0];
    assert!(!pages[0].contains(first), "a whole page further");
}

#[test]
fn a_line_of_the_shift_opens_its_room_and_what_is_below_is_reached() {
    let mut it = Shown::new(80, 24);
    it.presses("h");
    it.press(KeyCode::Enter);
    assert!(it.picture().contains("3N-07  patient room"), "{}", it.picture());
    it.press(KeyCode::Esc);
    it.presses("h");
    assert!(it.picture().contains("A bug was found"), "what to do with a bug is on the first page: {}", it.picture());
    for _ in 0..20 {
        it.press(KeyCode::PageDown);
    }
    let last = "Who has what";
    assert!(it.picture().contains(last), "{}", it.picture());
    it.press(KeyCode::PageUp);
    assert!(!it.picture().contains(last), "one key goes back from the end: {}", it.picture());
}

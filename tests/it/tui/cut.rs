//! On the smallest screen: whatever is cut ends in `…`, and stands in full somewhere on the same screen for the line that the
//! keys are on. No help of a form is cut at all.

use crossterm::event::KeyCode;
use dryhold::domain::moves::{self, MOVES};

use super::seat::Seat;
use super::{MOVES as MOVES_OF_A_ROOM, Shown};

/// The text with every run of spaces and line ends as one space.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Ends of what is cut on this line and stands nowhere else in the picture.
fn lost(picture: &str, line: &str) -> Vec<String> {
    let others: Vec<&str> = picture.lines().filter(|other| *other != line).collect();
    let others = flat(&others.join("\n"));
    line.match_indices('…')
        .filter_map(|(at, _)| {
            let before: Vec<char> = line[..at].chars().rev().take(14).collect();
            let tail = flat(&before.into_iter().rev().collect::<String>());
            // `ZONE,…` and `1, 2, …` are words of their own.
            let is_cut = !tail.ends_with(',') && !tail.is_empty();
            (is_cut && !others.contains(&tail)).then_some(tail)
        })
        .collect()
}

/// Goes through every question of the form that is open, and says what could not be read whole.
fn not_read_whole(it: &mut Shown) -> Vec<String> {
    let mut wrong = vec![];
    let first = it.picture();
    let title = first.lines().find(|line| line.contains("──")).unwrap_or_default().to_owned();
    let mv = MOVES.iter().filter(|mv| title.starts_with(mv.title)).max_by_key(|mv| mv.title.len());
    let Some(mv) = mv else { panic!("a form of no move: {first}") };
    // What is seldom asked too.
    it.press(KeyCode::F(2));
    it.press(KeyCode::Down);
    if it.picture().lines().any(|line| line.starts_with(">[ More")) {
        it.press(KeyCode::Enter);
    }
    it.press(KeyCode::F(2));
    it.press(KeyCode::Home);
    let mut pictures = vec![];
    for _ in 0..40 {
        let picture = it.picture();
        for line in picture.lines().filter(|line| line.starts_with('>')) {
            wrong.extend(lost(&picture, line).into_iter().map(|tail| format!("{}: {tail}…: {line}", mv.verb)));
        }
        if pictures.last() == Some(&picture) {
            break;
        }
        pictures.push(picture);
        it.press(KeyCode::Tab);
    }
    let flat_pictures: Vec<String> = pictures.iter().map(|picture| flat(picture)).collect();
    for field in mv.fields {
        let asks = |picture: &String| {
            let label = |line: &str| {
                let rest = line.trim_start_matches(['>', '*', ' ']).strip_prefix(field.label);
                rest.is_some_and(|rest| rest.starts_with("  ") || rest.starts_with(": ") || rest.starts_with(" (may"))
            };
            picture.lines().skip(1).any(label)
        };
        // What is to be typed stands in marks of its own.
        let plain = |text: &str| flat(text).replace(['`', '“', '”'], "'");
        let help = plain(field.words());
        if pictures.iter().any(asks) && !flat_pictures.iter().any(|picture| plain(picture).contains(&help)) {
            wrong.push(format!("{}, {}: not read whole: {help}", mv.verb, field.label));
        }
    }
    wrong
}

#[test]
fn every_questions_help_is_read_whole() {
    let mut it = Shown::new(80, 24);
    let mut wrong = vec![];
    it.presses("/3N-03\n");
    for at in 0..MOVES_OF_A_ROOM {
        it.open_move(at);
        wrong.extend(not_read_whole(&mut it));
        it.press(KeyCode::Esc);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_help_of_the_book_is_read_whole_too() {
    let mut it = Shown::new(80, 24);
    it.app.person = dryhold::domain::code::Code::new("LD").ok();
    it.tell(dryhold::tui::Msg::Changed);
    let (mut wrong, mut forms) = (vec![], 0);
    for shelf in 0..12 {
        for item in 0..3 {
            it.presses("6e");
            (0..shelf).for_each(|_| drop(it.press(KeyCode::Down)));
            it.press(KeyCode::Enter);
            (0..item).for_each(|_| drop(it.press(KeyCode::Down)));
            if !it.picture().contains("keep and close") {
                it.press(KeyCode::Enter);
            }
            if it.picture().contains("keep and close") {
                forms += 1;
                wrong.extend(not_read_whole(&mut it));
            }
            (0..3).for_each(|_| drop(it.press(KeyCode::Esc)));
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(forms > 12 && wrong.is_empty(), "{forms} forms\n{}", wrong.join("\n"));
}

#[test]
fn the_help_of_a_form_says_what_the_move_is_about() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    it.keys("/3n-03\nm");
    it.keys("spec\n");
    it.key(KeyCode::F(1));
    let about = moves::find("identify").expect("a move").about;
    let first: String = about.split_inclusive(". ").take(1).collect();
    let shown = it.picture().replace('│', " ");
    assert!(flat(&shown).contains(flat(&first).trim()), "{shown}");
}

#[test]
fn a_chosen_line_is_read_whole_somewhere() {
    let mut wrong = vec![];
    // In the Board's rows the foot says in other words what a row is too narrow for.
    for (screen, steps) in [
        ("", 40),
        ("2", 30),
        ("2f", 60),
        ("3", 30),
        ("4", 20),
        ("5", 40),
        ("6", 30),
        ("/3N-03\n", 60),
        ("/3N-07\n", 60),
    ] {
        let mut it = Shown::new(80, 24);
        it.presses(screen);
        for _ in 0..steps {
            let picture = it.picture();
            let chosen: Vec<&str> = picture.lines().filter(|line| line.starts_with('>')).collect();
            for line in chosen {
                wrong.extend(lost(&picture, line).into_iter().map(|tail| format!("“{screen}”: {tail}…: {line}")));
            }
            it.press(KeyCode::Down);
        }
    }
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_is_said_of_a_task_or_bag_without_space_for_it_stands_in_the_help() {
    for (screen, label) in [("3", "Rule"), ("4", "Entry 709")] {
        let mut it = Shown::new(80, 24);
        it.presses(screen);
        assert!(it.picture().contains("… ? tells all"), "{}", it.picture());
        it.press(KeyCode::Char('?'));
        let page = it.picture();
        assert!(page.contains(label) && !page.contains('…'), "{page}");
        it.press(KeyCode::Char('?'));
        assert!(!it.picture().contains("Keys: "), "{}", it.picture());
    }
}

#[test]
fn a_banner_without_space_for_it_stands_in_the_help_of_every_screen() {
    let mut it = Seat::demo(80, 24);
    let times = [("from", "10:00"), ("until", "11:00"), ("sheets", "4, 5")];
    it.notes("LD", "downtime", "4N", &times);
    for screen in ["1", "2", "3", "4", "5", "6"] {
        it.keys(screen);
        it.shows("DOWNTIME");
        it.keys("?");
        let page = flat(&it.picture().replace('│', " "));
        assert!(page.contains("Nothing was noted here from 10:00 to 11:00"), "{page}");
        assert!(page.contains("sheets 4, 5 (sheets 4, 5: nothing entered)"), "{page}");
        it.keys("?");
    }
}

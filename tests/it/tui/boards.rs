//! The Board and the Beds: what they must say, at every size of a hospital, in every look.

use chrono::TimeDelta;
use dryhold::domain::entry::Number;
use dryhold::ledger::{Header, create};
use dryhold::setup::{parse_lead, parse_rooms};
use dryhold::tui::look::{Palette, Part, chip_colours};
use ratatui::style::Modifier;

use super::seat::Seat;
use super::*;

/// A hospital of this room list, right after its lead walked nothing yet.
fn hospital(list: &str, columns: u16, lines: u16) -> Shown {
    let now: Time = "2026-06-10T09:30:00Z".parse().expect("a time");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("hospital.ron");
    let rooms = parse_rooms(list.as_bytes(), false).unwrap_or_else(|faults| panic!("{faults:?}"));
    let lead = parse_lead("LD,L. Dorn").expect("a lead");
    let settings = rooms.entries("Invented hospital", lead);
    let entries: Vec<Entry> = (1..)
        .zip(settings)
        .map(|(number, (place, body))| Entry {
            number: Number(number),
            noted: now - TimeDelta::hours(1),
            happened: now - TimeDelta::hours(1),
            done_by: Code::new("LD").expect("a code"),
            noted_by: Code::new("LD").expect("a code"),
            terminal: "setup".to_owned(),
            command: dryhold::domain::entry::CommandId(number),
            place,
            body,
        })
        .collect();
    create(&path, &Header::new(chrono_tz::Europe::Berlin, true).expect("a header"), &entries).expect("a ledger");
    let desk = Desk::open_with(&path, Clock::Set(now), "test".to_owned(), None).expect("it opens");
    let person = desk.board().people().keys().next().copied();
    let app = with_world(&desk, |world| App::new(Look::default(), columns, lines, person, world));
    Shown { app, desk, _folder: folder }
}

const HEAD: &str = "ward,ward_name,floor,room,room_name,kind,beds,opposite,serves\n";

fn buffer(it: &Shown) -> Buffer {
    let area = Rect::new(0, 0, it.app.width, it.app.height);
    let mut buffer = Buffer::empty(area);
    paint(&it.app, area, &mut buffer);
    buffer
}

/// The style of the first place where the screen says this.
fn style_of(it: &Shown, text: &str) -> ratatui::style::Style {
    let picture = it.picture();
    let (y, line) =
        picture.lines().enumerate().find(|(_, line)| line.contains(text)).unwrap_or_else(|| panic!("{picture}"));
    let x = line.split(text).next().unwrap_or_default().chars().count();
    buffer(it).cell((x as u16, y as u16)).expect("a cell").style()
}

#[track_caller]
fn check_says(it: &Shown, text: &str) {
    let picture = it.picture();
    assert!(picture.contains(text), "no “{text}” in\n{picture}");
}

#[track_caller]
fn check_says_not(it: &Shown, text: &str) {
    let picture = it.picture();
    assert!(!picture.contains(text), "“{text}” in\n{picture}");
}

#[test]
fn the_board_names_the_rooms_not_to_enter_and_since_when() {
    let narrow = Shown::new(80, 24);
    check_says(&narrow, "Do not enter  3N-07 (wet since 09:00, 2 h 30 ago)");
    let wide = Shown::new(160, 50);
    check_says(&wide, "Do not enter: 1");
    check_says(&wide, "3N-07 (wet since 09:00, 2 h 30 ago)");
    let dry = hospital(&format!("{HEAD}W1,First,1,R1,,patient-room,R1-A,,\n"), 80, 24);
    check_says_not(&dry, "Do not enter");
}

#[test]
fn the_board_names_every_state_and_the_open_beds_without_colour() {
    for (columns, lines) in [(80, 24), (160, 50)] {
        let mut it = Shown::new(columns, lines);
        it.app.look = Look { palette: Palette::Mono, ascii: true };
        for word in [". 39 cl", "? 2 sus", "# 1 conf", "~ 1 ", "= 1 tr", ": 4 mon", "O 12", "70"] {
            check_says(&it, word);
        }
        assert!(it.picture().is_ascii(), "{}", it.picture());
    }
}

#[test]
fn only_small_words_are_coloured_and_no_line_is() {
    for keys in ["", "v", "2", "2f"] {
        for (columns, lines) in [(80, 24), (160, 50)] {
            let mut it = Shown::new(columns, lines);
            it.presses(keys);
            let buffer = buffer(&it);
            for y in 0..lines {
                let coloured = (0..columns).filter(|x| {
                    buffer
                        .cell((*x, y))
                        .is_some_and(|cell| cell.style().bg.is_some_and(|bg| bg != ratatui::style::Color::Reset))
                });
                assert!(coloured.count() < usize::from(columns) * 9 / 10, "line {y} of {keys:?}");
            }
        }
    }
    let it = Shown::new(80, 24);
    let (foreground, background) = chip_colours(Palette::Sixteen, Part::No).expect("a chip");
    let style = style_of(&it, "Do not enter");
    assert_eq!((style.fg, style.bg), (Some(foreground), Some(background)));
    let style = style_of(&it, ">.01");
    assert!(style.add_modifier.contains(Modifier::REVERSED), "the chosen tile is reversed");
}

#[test]
fn at_160_columns_a_tile_says_what_is_overdue_and_no_word_is_cut() {
    let it = Shown::new(160, 50);
    check_says(&it, "overdue: daily");
    check_says(&it, "check by touch");
    let picture = it.picture();
    let tiles: Vec<&str> = picture.lines().take(38).collect();
    assert!(tiles.iter().all(|line| !line.contains('…')), "{picture}");
}

#[test]
fn places_without_beds_lie_where_the_walk_passes_them() {
    let it = Shown::new(160, 50);
    let picture = it.picture();
    let column = |line: &str, text: &str| line.split(text).next().map(|before| before.chars().count());
    let near = picture.lines().find(|line| line.contains("01") && line.contains(".B1")).expect("the one side");
    let far = picture.lines().find(|line| line.contains(".W") && line.contains(".13")).expect("the other side");
    assert!(column(near, "~07") < column(near, ".B1"), "the bathroom of 06 and 07 lies beside 07");
    assert_eq!(column(far, ".D"), column(near, ".B1"), "the walk turns there");
    assert!(column(far, ".W") < column(far, ".13"), "it ends beside the first rooms");
    assert_eq!(column(far, ".13"), column(near, ".01").or(column(near, ">.01")));
}

#[test]
fn the_board_draws_any_hospital() {
    // The longest that a room list may have.
    let (ward, room, bed) = ("WARD-OF-20-CHARACTER", "ROOM-OF-20-CHARACTER", "BED-NO-20-CHARACTERS");
    let many: String = (1..=60).map(|n| format!("W6,Sixty,1,W6-{n:02},,patient-room,W6-{n:02}-A,,\n")).collect();
    let lists = [
        "W1,First,1,R1,,patient-room,R1-A,,\n".to_owned(),
        "W1,First,1,R1,Day room,day-room,,,\n".to_owned(),
        format!("{ward},Name,1,{room},,patient-room,{bed},,\n"),
        many,
    ];
    for list in &lists {
        for keys in ["", "v", "2", "2f"] {
            for (columns, lines) in [(80, 24), (160, 50)] {
                let mut it = hospital(&format!("{HEAD}{list}"), columns, lines);
                it.presses(keys);
                let picture = it.picture();
                assert!(picture.contains("0/") || picture.contains("0 of "), "the open beds\n{picture}");
                for key in [KeyCode::Down, KeyCode::Right, KeyCode::PageDown, KeyCode::End, KeyCode::Up, KeyCode::Left]
                {
                    it.press(key);
                    let picture = it.picture();
                    assert!(picture.contains('>') || picture.contains("No beds here."), "{key:?}\n{picture}");
                }
            }
        }
    }
}

/// Before its room list was read, as another terminal could open it.
#[test]
fn a_hospital_without_rooms_says_so() {
    let now: Time = "2026-06-10T09:30:00Z".parse().expect("a time");
    let board = dryhold::domain::board::Board::new();
    let timeline = |_| vec![];
    let world = World::of(&board, now, &[], &timeline);
    for (columns, lines) in [(80, 24), (160, 50)] {
        let mut app = App::new(Look::default(), columns, lines, None, &world);
        for (keys, says) in
            [("1v", "This hospital has no rooms yet"), ("v", "has no rooms yet"), ("2f", "No beds here.")]
        {
            for key in keys.chars().chain("cwm".chars()) {
                update(&mut app, &world, Msg::Key(KeyEvent::new(KeyCode::Char(key), KeyModifiers::NONE)));
            }
            let area = Rect::new(0, 0, columns, lines);
            let mut buffer = Buffer::empty(area);
            paint(&app, area, &mut buffer);
            let text: String = buffer.content.iter().map(|cell| cell.symbol()).collect();
            assert!(text.contains(says), "{keys}: {text}");
        }
    }
}

#[test]
fn sixty_rooms_page_in_words_and_every_one_is_reached() {
    let many: String = (1..=60).map(|n| format!("W6,Sixty,1,W6-{n:02},,patient-room,W6-{n:02}-A,,\n")).collect();
    for keys in ["", "v"] {
        let mut it = hospital(&format!("{HEAD}{many}"), 80, 24);
        it.presses(keys);
        check_says(&it, "page 1 of ");
        it.press(KeyCode::PageDown);
        check_says(&it, "page 2 of ");
        it.press(KeyCode::End);
        check_says(&it, "W6-60");
    }
}

/// A nurse reads both at once: what she has, and what comes.
#[test]
fn open_beds_and_the_next_ones_are_seen_at_once() {
    let mut it = Shown::new(80, 24);
    it.presses("2");
    check_says(&it, "Open now: 12 of 70, 1 of them promised");
    check_says(&it, ">.05-A window");
    check_says(&it, "Not open, with the earliest time (a plan, no permission): 12");
    check_says(&it, "full inspection, housekeeper");
    check_says_not(&it, "3N-01-A");
    let picture = it.picture();
    let places: Vec<usize> =
        ["4N-12-A", "3N-10-A", "3N-07-B"].iter().filter_map(|bed| picture.find(&format!("\n {bed}"))).collect();
    assert!(places.is_sorted(), "nearest to opening first\n{picture}");
}

#[test]
fn a_patient_in_a_room_that_is_not_clear_has_a_line_and_others_are_counted() {
    let mut it = Shown::new(160, 50);
    it.presses("2");
    check_says(&it, "patient in a suspect room; ");
    check_says(&it, "Other beds with a patient: 42");
    check_says(&it, "3N Third floor north: medical: 12 with a patient");
    it.presses("f");
    it.press(KeyCode::End);
    check_says_not(&it, "Third floor north: medical: 12 with a patient");
    check_says(&it, "5N-13-B");
    it.presses("f");
    it.press(KeyCode::End);
    assert_eq!(it.press(KeyCode::Enter), [], "it is no form");
    check_says(&it, "5N-01-A");
}

#[test]
fn why_a_bed_is_open_is_told_with_its_entries_and_why_not_with_rule_and_step() {
    let mut it = Shown::new(160, 50);
    it.presses("2");
    check_says(&it, "Why open: 3N-05-A (window), room 3N-05, ward 3N, clear");
    check_says(&it, "Known to be empty: seen 06:30, 5 h ago, by CN (entry ");
    for _ in 0..6 {
        it.press(KeyCode::Down);
    }
    check_says(&it, "Why not open: 4N-12-A");
    check_says(&it, "[second-look]. Settled by: second look after a void, housekeeper.");
}

#[test]
fn three_times_enter_notes_that_a_patient_is_in_the_chosen_bed() {
    let mut it = Shown::new(80, 24);
    it.presses("2\n");
    check_says(&it, ">1  A patient is in it");
    it.press(KeyCode::Enter);
    check_says(&it, "Bed occupied");
    let effects = it.press(KeyCode::Enter);
    let [Effect::Note { wanted, .. }] = effects.as_slice() else { panic!("{effects:?}") };
    let noted = format!("{wanted:?}");
    assert!(noted.contains("Occupied") && noted.contains("3N-05-A") && !noted.contains("3N-05-B"), "{noted}");
}

#[test]
fn a_role_is_offered_only_what_is_its_own() {
    let mut it = Shown::new(80, 24);
    let keeper = Code::new("HK").expect("a code");
    it.app.person = Some(keeper);
    it.tell(Msg::Changed);
    it.presses("2");
    check_says_not(&it, "confirm beds");
    it.presses("c");
    check_says(&it, "is for a charge nurse or the lead");
    it.press(KeyCode::Enter);
    check_says_not(&it, "A patient is in it");
    check_says(&it, "It was made");
}

#[test]
fn a_wards_beds_are_confirmed_from_here_and_it_says_when_nobody_did() {
    let mut it = Shown::new(80, 24);
    it.presses("2");
    check_says(&it, "confirm beds");
    check_says_not(&it, "Beds not confirmed");
    it.presses("c");
    check_says(&it, "Ward's occupancy");
    let fresh = hospital(&format!("{HEAD}W1,First,1,R1,,patient-room,R1-A,,\n"), 80, 24);
    let mut fresh = fresh;
    fresh.presses("2");
    check_says(&fresh, "Beds not confirmed: W1 never");
}

#[test]
fn the_sign_of_an_unknown_bed_is_not_that_of_a_suspect_room() {
    let mut it = hospital(&format!("{HEAD}W1,First,1,R1,,patient-room,R1-A,,\n"), 160, 50);
    check_says(&it, "? 0 suspect");
    check_says(&it, "u unknown");
    it.presses("?");
    it.press(KeyCode::PageDown);
    let picture = it.picture();
    let line = picture.lines().find(|line| line.contains("not known to be empty")).expect("a line of the help");
    let sign = line.split("not known to be empty").next().expect("what stands before");
    assert!(sign.trim_end().ends_with("│u"), "{sign}");
}

/// A ledger that may lack entries says so on every screen until its wards were walked, and a walk is not signed by a bare Enter.
#[test]
fn a_gap_stands_on_top_until_the_wards_are_walked() {
    let mut it = super::seat::Seat::demo(80, 24);
    it.notes("LD", "downtime", "3N", &[("from", "02:00"), ("until", "06:00"), ("sheets", "7 to 9")]);
    for screen in ["1", "2", "3", "4", "5", "6"] {
        it.keys(screen);
        it.shows("DOWNTIME");
        it.shows("since 02:00");
        it.shows("enter");
    }
    it.signs_in("LD");
    it.keys("1/3n05\n");
    it.keys("n");
    it.shows("Ward walked: 3N");
    it.shows("sheets 7 to 9");
    // What happened then stands on paper: the walk says what was asked, and what was wet.
    it.shows("from Wed 10 Jun 02:00 to Wed 10 Jun 06:00");
    it.keys("HK and PT told\n1");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Sign that you asked everybody");
    it.keys("y");
    it.shows_no("DOWNTIME");
}

/// What has to be said still has the keys, though the bed is known already.
#[test]
fn what_is_on_another_page_of_the_board_is_counted_on_this_one() {
    let mut it = Seat::demo(80, 24);
    it.shows_no("page 1 of");
    it.notes("LD", "gap", "4N", &[("reason", "the terminals were down")]);
    it.shows("page 1 of 2, PgDn: 5N");
    // What it said of its beds and rooms while it had space.
    let line = it.picture().lines().find(|line| line.starts_with("5N ")).unwrap_or_default().to_owned();
    assert!(line.contains(" of 23 open   : 1 monitor"), "{}", it.picture());
    it.key(crossterm::event::KeyCode::PageDown);
    it.shows("page 2 of 2, PgUp: 3N, 4N");
    it.shows("3N ");
    let line = it.picture().lines().find(|line| line.starts_with("3N ")).unwrap_or_default().to_owned();
    assert!(line.contains("1 promised   ? 1 suspect  # 1 confirm  ~ 1 tr-wet  = 1 tr-dry"), "{}", it.picture());
}

#[test]
fn a_promise_of_the_chosen_bed_asks_when_it_is_wanted() {
    let mut it = Shown::new(80, 24);
    it.presses("2\n");
    check_says(&it, " 3  Promise it to somebody who is expected");
    it.presses("3");
    check_says(&it, ">*Wanted at");
    it.presses("13:00");
    it.press(KeyCode::Enter);
    let effects = it.press(KeyCode::Enter);
    let [Effect::Note { wanted, .. }] = effects.as_slice() else { panic!("{effects:?}") };
    let noted = format!("{wanted:?}");
    assert!(noted.contains("Promised") && noted.contains("3N-05-A"), "{noted}");
}

/// The band stands where somebody plans by it: on the Beds of a wet room, and at its dry check.
#[test]
fn when_a_room_is_probably_dry_is_told_on_beds_and_tasks() {
    let mut it = Seat::demo(160, 50);
    it.keys("2");
    for _ in 0..80 {
        if it.picture().contains("Why not open: 3N-07-") {
            break;
        }
        it.key(KeyCode::Down);
    }
    it.shows("at the earliest");
    it.shows("an estimate; it permits nothing");
    let mut it = Seat::demo(160, 50);
    it.keys("3");
    for _ in 0..80 {
        if it.picture().contains("Likely ") {
            break;
        }
        it.key(KeyCode::Down);
    }
    it.shows("an estimate; it permits nothing");
    it.shows("Room 3N-07: dry check");
}

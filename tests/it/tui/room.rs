//! The Room: what its lines open, and how it looks where text alone does not tell.

use crossterm::event::KeyCode;
use dryhold::tui::look::{Look, Palette};
use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};

use super::Shown;
use super::seat::Seat;

fn room(code: &str) -> Shown {
    let mut it = Shown::new(80, 24);
    it.presses(&format!("/{code}\n"));
    it
}

/// The cells of the first line that says this, from where it says it.
#[track_caller]
fn cells<'b>(buffer: &'b Buffer, text: &str) -> Vec<&'b Cell> {
    let width = usize::from(buffer.area.width);
    for line in buffer.content.chunks(width) {
        let words: Vec<&str> = line.iter().map(Cell::symbol).collect();
        let found = (0..width).find(|at| words[*at..].concat().starts_with(text));
        if let Some(at) = found {
            return line[at..at + text.chars().count()].iter().collect();
        }
    }
    panic!("nothing says “{text}”");
}

#[test]
fn do_not_enter_is_a_chip_and_words_in_every_look() {
    let mut it = room("3N-07");
    let chip = |it: &Shown| {
        let buffer = it.buffer();
        let cells = cells(&buffer, "~ treated-wet: DO NOT ENTER");
        (cells[0].fg, cells[0].bg, cells[0].modifier)
    };
    let (text, ground, _) = chip(&it);
    assert_eq!((text, ground), (Color::White, Color::Blue));
    it.app.look = Look { palette: Palette::Mono, ascii: true };
    let (text, ground, style) = chip(&it);
    assert_eq!((text, ground), (Color::Reset, Color::Reset));
    assert!(style.contains(Modifier::BOLD | Modifier::UNDERLINED));
}

#[test]
fn the_chosen_line_is_marked_and_reversed_without_colour() {
    let mut it = room("3N-07");
    it.app.look = Look { palette: Palette::Mono, ascii: true };
    it.press(KeyCode::Down);
    let buffer = it.buffer();
    assert!(cells(&buffer, ">bed A").iter().all(|cell| cell.modifier.contains(Modifier::REVERSED)));
    let reversed = buffer.content.iter().filter(|cell| cell.modifier.contains(Modifier::REVERSED));
    assert!(reversed.count() < 80, "one line, not a field");
}

#[test]
fn each_line_opens_what_it_is_about() {
    let mut it = room("3N-07");
    let opens = |it: &mut Shown, downs: usize, shows: &str| {
        it.press(KeyCode::Home);
        (0..downs).for_each(|_| drop(it.press(KeyCode::Down)));
        it.press(KeyCode::Enter);
        assert!(it.picture().contains(shows), "{shows}: {}", it.picture());
        it.press(KeyCode::Esc);
    };
    opens(&mut it, 0, "Dry check: 3N-07");
    opens(&mut it, 1, "Bed 3N-07-A");
    opens(&mut it, 3, "Dry check: 3N-07");
    opens(&mut it, 4, "3N07-C");
    opens(&mut it, 8, "Entry 738");
    opens(&mut it, 10, "Inspection: 3N-07");
    opens(&mut it, 12, "Dry check: 3N-07");
    opens(&mut it, 14, "Soft seating vacuumed: 3N-07");
    opens(&mut it, 15, "3N-07: storage");
    opens(&mut it, 17, "Entry 745");
    let mut quiet = room("4N-05");
    opens(&mut quiet, 3, "Inspection: 4N-05");
    opens(&mut quiet, 4, "Inspection: 4N-05");
    opens(&mut quiet, 5, "35 entries");
    let mut found = room("3N-03");
    opens(&mut found, 9, "Inspection: 3N-03");
    opens(&mut found, 10, "Spray: 3N-03");
}

#[test]
fn rounds_do_not_hide_what_happened() {
    for code in ["3N-01", "4N-05", "5N-02"] {
        let it = room(code);
        let rounds = it.picture().lines().filter(|line| line.contains("daily look")).count();
        assert!(rounds <= 6, "{}", it.picture());
    }
}

#[test]
fn a_closed_bed_says_that_a_patient_is_in_it() {
    // 3N-12 is suspect, and two patients lie in it.
    let it = room("3N-12");
    let lines = |text: &str| it.picture().lines().filter(|line| line.contains(text)).count();
    assert_eq!(lines("PATIENT IN IT"), 2, "{}", it.picture());
    assert!(!room("3N-07").picture().contains("PATIENT IN IT"), "both beds are empty");
}

#[test]
fn a_room_is_dry_since_the_check_that_found_the_last_of_it_dry() {
    let mut it = Seat::demo(160, 50);
    it.keys("/3n07\n");
    it.shows("treated-wet: DO NOT ENTER");
    it.at("2026-06-10T09:40:00Z");
    it.notes(
        "HK",
        "dry-check",
        "3N-07",
        &[("began", "11:38"), ("zones", "3N-07-A/mattress=dry"), ("ventilation", "on")],
    );
    let check = it.desk.entries().last().expect("the check").number;
    it.shows(&format!("since 11:40, under 1 min ago, entry {check}"));
    // The same touch noted again moves nothing: the room was dry.
    it.at("2026-06-10T09:50:00Z");
    it.notes(
        "HK",
        "dry-check",
        "3N-07",
        &[("began", "11:48"), ("zones", "3N-07-A/mattress=dry"), ("ventilation", "on")],
    );
    it.shows(&format!("since 11:40, 10 min ago, entry {check}"));
}

/// The estimate is read to its end, beside the zones' table as on a narrow screen.
#[test]
fn no_sentence_of_the_list_is_cut_off() {
    for (columns, lines) in [(80, 60), (160, 60)] {
        let mut it = Shown::new(columns, lines);
        it.presses("/3N-07\n");
        let text = it.picture();
        let likely = text.lines().skip_while(|line| !line.starts_with("Likely")).skip(1);
        let list: Vec<String> = likely.map(|line| line.chars().take(94).collect()).collect();
        let list: Vec<&String> = list.iter().take_while(|line| line.starts_with(' ')).collect();
        assert!(list.len() > 2 && list.iter().all(|line| !line.contains('…')), "{text}");
    }
}

/// What a room asks next is read whole, also where its line cuts it off.
#[test]
fn a_next_step_that_its_line_cuts_off_is_read_whole_below_it() {
    let mut it = Seat::demo(80, 24);
    it.notes("HK", "thing-left", "3N-07", &[("thing", "T1"), ("zones", "3N-07-A/mattress"), ("to", "3N-08")]);
    it.notes("HK", "thing-left", "3N-08", &[("thing", "T1"), ("zones", "3N-08-A/mattress"), ("to", "3N-D")]);
    it.keys("/3N-D\n");
    it.shows("In full: tag T1 may be on 3N-07-A/mattress of 3N-07 or ");
    it.shows(" the wrong part is voided");
}

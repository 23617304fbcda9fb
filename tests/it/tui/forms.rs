//! The forms: what they ask, where they begin and end, what they show before it is noted, and what is left of a no.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::domain::board::{Occupancy, State};
use dryhold::domain::entry::Body;
use dryhold::tui::Msg;

use super::check_picture;
use super::seat::{NOW, Seat, code};

/// Somebody in a room, by its code.
fn in_room(initials: &str, room: &str) -> Seat {
    in_room_at(80, 24, initials, room)
}

fn in_room_at(columns: u16, lines: u16, initials: &str, room: &str) -> Seat {
    let mut seat = Seat::demo(columns, lines);
    seat.signs_in(initials);
    seat.keys(&format!("/{room}\n"));
    seat
}

/// Opens a move from the numbered list, by the beginning of its title.
#[track_caller]
fn open_move(seat: &mut Seat, title: &str) {
    seat.keys("m");
    seat.keys(&title.to_lowercase());
    seat.keys("\n");
    seat.shows("keep and close");
}

/// Begun, refused, overtaken: the forms as they are met in the work.
#[test]
fn the_forms_look_as_they_did() {
    for (columns, lines) in [(80, 24), (160, 50)] {
        let at = |initials, room| in_room_at(columns, lines, initials, room);
        let check = |name: &str, seat: &Seat| check_picture(name, columns, lines, &seat.picture());
        let mut it = at("LD", "3N-03");
        it.keys("m");
        check("moves", &it);
        it.key(KeyCode::Esc);
        open_move(&mut it, "spray");
        it.keys("  ");
        check("form-spray", &it);
        let mut it = at("HK", "3N-07");
        open_move(&mut it, "dry check");
        it.keys("1");
        check("form-dry-check", &it);
        let mut it = at("HK", "3N-12");
        open_move(&mut it, "inspection");
        it.keys("1");
        it.keys("g");
        it.keys("5");
        check("form-inspect", &it);
        let mut it = at("LD", "3N-10");
        open_move(&mut it, "bag laundered");
        it.keys("75\n30\n");
        check("form-launder", &it);
        it.key(KeyCode::Esc);
        open_move(&mut it, "return");
        check("form-return", &it);
        it.keys("\n");
        check("form-refused", &it);
        let mut it = at("LD", "3N-03");
        open_move(&mut it, "spray");
        it.keys("  ");
        let mut other = it.beside();
        other.notes("CN", "finding", "3N-03", &[("seen", "chair=cast-skin")]);
        it.follows();
        it.key(KeyCode::F(2));
        check("form-overtaken", &it);
        let mut it = at("LD", "3N-13");
        open_move(&mut it, "out of");
        it.keys("flood\n\n");
        check("noted", &it);
        it.keys("uwrong room\n\n");
        check("confirm", &it);
        let mut it = at("CN", "3N-01");
        open_move(&mut it, "occupancy");
        it.keys("gg");
        check("form-occupancy", &it);
        it.key(KeyCode::Esc);
        it.key(KeyCode::Esc);
        it.keys("sl");
        check("people", &it);
    }
}

fn early(seat: &mut Seat, code: KeyCode, seen: bool) {
    seat.tell(Msg::Early { key: KeyEvent::new(code, KeyModifiers::NONE), seen });
}

#[test]
fn what_does_not_apply_is_not_asked() {
    let mut it = in_room("LD", "3N-03");
    it.app.height = 50;
    open_move(&mut it, "spray");
    it.shows("(infested)");
    it.shows_no("Scope declared");
    it.key(KeyCode::Up);
    it.key(KeyCode::Up);
    it.keys("3");
    it.shows("(re-application)");
    it.shows("Scope declared");
    it.key(KeyCode::Esc);
    open_move(&mut it, "finding");
    it.shows_no("Wiped clean before");
    it.keys("5");
    it.shows_no("Wiped clean before");
    let mut it = in_room("LD", "4N-08");
    it.app.height = 50;
    assert_eq!(it.desk.board().state(code("4N-08")), State::Monitoring);
    open_move(&mut it, "finding");
    it.shows_no("Wiped clean before");
    it.keys("5");
    it.shows("Wiped clean before");
    it.keys("5");
    it.shows_no("Wiped clean before");
}

/// An answer to a question that applies no more is kept on screen for no one, and noted nowhere.
#[test]
fn an_answer_that_does_not_apply_any_more_is_not_noted() {
    let mut it = in_room("LD", "3N-03");
    it.app.height = 60;
    open_move(&mut it, "spray");
    it.key(KeyCode::Up);
    it.key(KeyCode::Up);
    it.keys("3");
    it.keys(" ");
    it.key(KeyCode::Tab);
    it.shows("Zones in the order sprayed (may be left blank): 1 of 15");
    it.keys(" ");
    it.shows("Scope declared (may be left blank): 1 of 15");
    for _ in 0..4 {
        it.key(KeyCode::BackTab);
    }
    it.keys("2");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    let entry = it.desk.entries().last().expect("an entry");
    match &entry.body {
        Body::Sprayed { zones, scope, .. } => {
            assert_eq!(zones.as_ref().map(Vec::len), Some(1));
            assert!(scope.is_empty(), "{scope:?}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_few_answer_stands_behind_more() {
    let mut it = in_room("LD", "3N-03");
    it.app.height = 50;
    open_move(&mut it, "spray");
    it.shows_no("Contractor's slip  ");
    it.key(KeyCode::F(2));
    it.key(KeyCode::Down);
    assert!(it.line().contains("[ More: Strokes of the pump"), "{}", it.picture());
    it.keys("\n");
    assert!(it.line().contains("Strokes of the pump"), "{}", it.picture());
    it.shows_no("mL of one stroke");
    it.shows("Contractor's slip");
    it.shows_no("[ More");
}

/// While it is typed: what cannot be estimated, and why.
#[test]
fn a_spray_form_says_at_once_why_there_is_no_estimate() {
    let mut it = in_room_at(160, 60, "LD", "3N-03");
    open_move(&mut it, "spray");
    it.key(KeyCode::F(2));
    it.key(KeyCode::Down);
    it.keys("\n");
    let types = |it: &mut Seat, label: &str, text: &str| {
        it.key(KeyCode::F(2));
        let mut ups = 0;
        while !it.line().contains(label) {
            it.key(KeyCode::Up);
            ups += 1;
            assert!(ups < 100, "no line “{label}”: {}", it.picture());
        }
        (0..8).for_each(|_| it.key(KeyCode::Backspace));
        it.keys(text);
    };
    it.shows_no("mL of one stroke");
    types(&mut it, "Strokes of the pump", "400");
    it.shows("No estimate: mL of one stroke: is missing");
    types(&mut it, "mL of one stroke", "1.2");
    it.shows("Dry about");
    types(&mut it, "Relative humidity", "140");
    it.shows("No estimate: Relative humidity, %: “140” cannot be used");
    types(&mut it, "Relative humidity", "45");
    it.shows("Dry about");
    types(&mut it, "Room temperature", "90");
    it.shows("No estimate: air temperature: 90 °C is outside -60 to 60 °C");
    types(&mut it, "Room temperature", "21");
    it.shows("Dry about");
    // A bare time belongs to the day on which it happened, in the estimate too.
    types(&mut it, "Started", "2026-06-08 10:00");
    types(&mut it, "Finished", "10:20");
    it.key(KeyCode::F(2));
    it.shows("Dry about Mon 8 Jun ");
}

#[test]
fn the_sheet_of_a_downtime_is_asked_only_while_sheets_are_entered() {
    let more = |it: &mut Seat| {
        it.app.height = 50;
        open_move(it, "bed empty");
        it.key(KeyCode::Down);
        it.keys(" ");
        it.key(KeyCode::F(2));
        it.key(KeyCode::Down);
        it.keys("\n");
        it.shows("Done by");
        it.keys("10:30");
    };
    let mut it = in_room("CN", "4N-10");
    more(&mut it);
    it.shows_no("Sheet");
    let mut it = in_room("CN", "4N-10");
    it.notes("LD", "downtime", "4N", &[("from", "10:00"), ("until", "11:00"), ("sheets", "4, 5")]);
    more(&mut it);
    it.key(KeyCode::F(2));
    it.key(KeyCode::Up);
    assert!(it.line().contains("Sheet"), "{}", it.picture());
    it.keys("7");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("sheet “7” is none of those that are being entered");
    it.key(KeyCode::Backspace);
    it.keys("4");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    let entry = it.desk.entries().last().expect("an entry");
    assert_eq!((entry.sheet(), entry.terminal_name()), (Some("4"), "test"));
    it.keys("5");
    it.shows("sheet 4");
    it.keys("\n");
    it.shows("4, of a downtime");
}

#[test]
fn a_signature_shows_what_it_signs_and_no_burst_of_keys_signs_it() {
    let mut it = in_room("LD", "3N-10");
    open_move(&mut it, "return");
    it.shows("You sign for: ");
    it.shows("MISSING  bags laundered: 1 of 2");
    let entries = it.desk.entries().len();
    for seen in [false, true] {
        early(&mut it, KeyCode::Enter, seen);
        it.shows("That key came before this could be read.");
        it.shows_no("Not noted");
    }
    it.keys("\n");
    it.shows("Not noted [return]");
    assert_eq!(it.desk.entries().len(), entries);
}

#[test]
fn a_form_that_was_not_on_the_screen_yet_is_not_noted() {
    let mut it = in_room("LD", "3N-13");
    open_move(&mut it, "out of");
    it.keys("flood");
    it.keys("\n");
    early(&mut it, KeyCode::Enter, false);
    it.shows_no("Noted");
    early(&mut it, KeyCode::Enter, true);
    it.shows("Noted, entry");
}

#[test]
fn a_burst_does_not_say_yes_to_what_is_asked_once_more() {
    let mut it = in_room("LD", "3N-13");
    it.notes("LD", "out-of-service", "3N-13", &[("reason", "flood")]);
    it.keys("u");
    it.shows("Void an entry");
    it.keys("wrong room\n\n");
    it.shows("Once more");
    early(&mut it, KeyCode::Char('y'), true);
    it.shows("Once more");
    it.keys("y");
    it.shows("Noted, entry");
}

#[test]
fn a_refusal_has_numbered_ways_out_and_comes_back_with_its_answers() {
    let mut it = in_room("LD", "5N-10");
    it.notes("CN", "occupied", "5N-10-A", &[]);
    it.notes("IP", "finding", "5N-10", &[("seen", "5N-10-A/mattress=live-adult")]);
    open_move(&mut it, "spray");
    it.keys("  ");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Not noted [patient-inside]");
    it.shows("[ 1 First: Patient moved");
    it.shows("1-9 what is missing");
    it.keys("1");
    it.shows("Patient moved: 5N-10");
    it.keys(" ");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    it.shows("Spray: 5N-10");
    it.shows("Zones in the order sprayed: 2 of 15");
    it.shows_no("Not noted");
    it.shows_no("changed while this form was open");
    assert!(it.line().contains("[ Note it ]"), "{}", it.picture());
    it.keys("\n");
    it.shows("Noted, entry");
    assert_eq!(it.desk.board().state(code("5N-10")), State::TreatedWet);
}

#[test]
fn what_another_terminal_noted_meanwhile_is_shown_before_it_counts() {
    let mut it = in_room("LD", "3N-03");
    let mut other = it.beside();
    open_move(&mut it, "spray");
    it.keys("  ");
    other.notes("CN", "finding", "3N-03", &[("seen", "chair=cast-skin")]);
    it.follows();
    it.key(KeyCode::F(2));
    it.shows("The room changed while this form was open");
    it.shows("The first Enter below only says that you did.");
    it.shows("by CN: finding: cast skin");
    it.shows("Zones in the order sprayed: 2 of 15");
    it.keys("\n");
    it.shows_no("Noted, entry");
    it.shows("Enter notes yours now.");
    it.keys("\n");
    it.shows("Noted, entry");
    other.follows();
    assert_eq!(other.desk.board().state(code("3N-03")), State::TreatedWet);
}

#[test]
fn a_ward_is_confirmed_with_a_key_a_room_and_nothing_is_ticked_beforehand() {
    let mut it = in_room("CN", "3N-01");
    open_move(&mut it, "occupancy");
    it.shows("0 of 24");
    let mut keys = 0;
    while !it.line().contains("[ Note it ]") {
        it.keys("g");
        keys += 1;
        assert!(keys < 30, "{}", it.picture());
    }
    it.shows("24 of 24");
    let rooms = it.desk.board().facility().wards[&code("3N")].rooms.len();
    assert!(keys <= rooms, "{keys} keys for {rooms} rooms");
    let now = it.desk.now();
    let before = it.desk.board().occupancy(code("3N-01-A"), now);
    it.keys("\n");
    it.shows("Noted, entry");
    assert_eq!(before, Occupancy::Occupied);
    assert_eq!(it.desk.board().occupancy(code("3N-01-A"), now), before);
    assert_eq!(NOW.parse(), Ok(now));
}

#[test]
fn undo_is_offered_only_where_it_is_possible_and_says_why_it_is_not() {
    let mut it = in_room("LD", "3N-13");
    open_move(&mut it, "out of");
    it.keys("flood\n\n");
    it.shows("(u: noted in error)");
    let last = it.desk.entries().last().expect("an entry").number;
    it.keys("u");
    it.shows(&format!("[{last} "));
    it.key(KeyCode::Esc);
    // A charge nurse may not void what closed a room.
    it.signs_in("CN");
    it.keys("b");
    it.keys("5");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    it.shows_no("u: noted in error");
    it.keys("u");
    it.shows("Not undone: ");
    it.shows_no("Void an entry");
}

#[test]
fn after_noting_the_room_is_on_its_next_step() {
    let mut it = in_room("LD", "3N-03");
    for _ in 0..5 {
        it.key(KeyCode::Down);
    }
    open_move(&mut it, "out of");
    it.keys("flood\n\n");
    it.shows("Noted, entry");
    assert!(it.line().contains("Next: "), "{}", it.picture());
}

#[test]
fn the_figures_of_a_load_are_taken_over_only_on_a_key_and_only_from_ones_own() {
    let mut it = in_room("LD", "3N-03");
    let load = [("wash-celsius", "71.5"), ("wash-minutes", "30"), ("detergent", "yes"), ("dry-celsius", "75")];
    it.notes("LD", "launder", "3N03-L", &load);
    open_move(&mut it, "bag laundered");
    it.shows("Bag laundered: 3N03-C");
    it.shows("1 to choose from, Right");
    it.shows_no("[71.5 ");
    it.keys("\n");
    assert!(it.line().contains("Wash"), "another load: {}", it.picture());
    // A digit there is a figure in hand, and no choice of the other bag's.
    it.key(KeyCode::Up);
    it.keys("6");
    it.shows("[6 ");
    it.shows_no("[71.5 ");
    it.key(KeyCode::Up);
    it.key(KeyCode::Right);
    it.shows("[71.5 ");
    it.shows("(yes)");
    it.keys("\n");
    assert!(it.line().contains("Minutes of drying"), "what that load did not say is asked: {}", it.picture());
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    match &it.desk.entries().last().expect("an entry").body {
        Body::Laundered { cycle, .. } => {
            assert_eq!(
                (cycle.wash_decicelsius, cycle.dry_decicelsius, cycle.dry_minutes),
                (Some(715), Some(750), None)
            );
        }
        other => panic!("{other:?}"),
    }
    // Another person's load is no load of one's own, in a room with a bag that is still out.
    it.signs_in("HK");
    it.keys("/3n10\n");
    open_move(&mut it, "bag laundered");
    it.shows("Bag laundered: 3N10-C");
    it.shows_no("Same load as");
}

/// It happens, and can be noted; but nobody notes it by two presses of a key.
#[test]
fn a_patient_in_a_closed_bed_is_asked_about_once_more() {
    let mut it = in_room("CN", "3N-10");
    it.key(KeyCode::Down);
    it.key(KeyCode::Enter);
    it.shows("Bed 3N-10-A");
    it.keys("1");
    it.key(KeyCode::F(2));
    it.key(KeyCode::Enter);
    it.shows("Note a patient in a bed that is closed?");
    it.key(KeyCode::Enter);
    it.shows("Nothing was done.");
    it.shows_no("Noted, entry");
}

#[test]
fn a_second_enter_after_a_note_is_for_nothing_below() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("CN");
    it.keys("2");
    for _ in 0..3 {
        it.key(KeyCode::Enter);
    }
    it.shows("Noted, entry");
    early(&mut it, KeyCode::Enter, true);
    it.shows("Noted, entry");
    it.shows_no("Enter choose");
    it.key(KeyCode::Enter);
    it.shows("Enter choose");
}

#[test]
fn an_enter_too_many_signs_nobody_in() {
    let mut it = Seat::demo(80, 24);
    it.keys("2");
    it.key(KeyCode::Enter);
    it.key(KeyCode::Enter);
    it.shows("Who are you?");
    early(&mut it, KeyCode::Enter, true);
    it.shows("Who are you?");
    it.shows_no("Signed in");
    it.key(KeyCode::Enter);
    it.shows_no("Who are you?");
}

#[test]
fn who_may_not_void_an_entry_is_told_before_the_form() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("CN");
    it.keys("5v");
    it.shows("is not yours to void");
    it.shows_no("Void an entry");
}

/// What is likely a slip of the pen is asked about once, and noted if it is so.
#[test]
fn an_odd_amount_is_asked_about_and_can_be_noted() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    it.keys("/3n-03\n");
    it.keys("mspray\n");
    it.key(KeyCode::F(2));
    for _ in 0..30 {
        if it.line().contains("Amount, mL") {
            break;
        }
        it.key(KeyCode::Up);
    }
    it.keys("2900");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("2900 mL is much for one room. Is it so, and in millilitres?");
    it.keys("n");
    it.shows("Spray: 3N-03");
    it.keys("\n");
    it.keys("y");
    it.shows("Noted, entry");
}

#[test]
fn y_and_n_answer_and_a_digit_without_an_answer_says_so() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    it.keys("/3n-03\n");
    it.keys("mspray\n");
    it.key(KeyCode::F(2));
    for _ in 0..30 {
        if it.line().contains("Patient inside") {
            break;
        }
        it.key(KeyCode::Up);
    }
    it.shows("1-3 answer");
    it.keys("8");
    it.shows("There are 3 answers: 1 to 3.");
    it.keys("n");
    assert!(!it.line().contains("Patient inside"), "{}", it.picture());
    it.shows("(no)");
    it.shows_no("There are 3 answers");
}

/// Answered by one key the form goes on by itself: the Enter that hands add is not the next question's.
#[test]
fn an_enter_after_a_one_key_answer_skips_no_question() {
    let mut it = in_room("LD", "3N-10");
    open_move(&mut it, "bag laundered");
    it.keys("75\n30\ny");
    assert!(it.line().contains("Drying"), "{}", it.picture());
    it.keys("\n");
    assert!(it.line().contains("Drying"), "{}", it.picture());
    it.keys("\n");
    assert!(it.line().contains("Minutes of drying"), "left open by a second Enter: {}", it.picture());
}

/// A sentence that was meant for another field marks no zone as looked at, and one key does not walk through the room.
#[test]
fn a_text_typed_at_a_checklist_marks_nothing() {
    let mut it = in_room("HK", "3N-12");
    it.app.height = 60;
    open_move(&mut it, "inspection");
    it.shows("0 of 20");
    it.keys("patient asleep, 4 not entered; gone");
    it.shows("That is a list, not a text");
    it.shows("0 of 20");
    it.key(KeyCode::Down);
    it.keys(" ");
    it.shows("1 of 20");
    let before = it.line();
    it.key(KeyCode::Home);
    assert_ne!(it.line(), before);
}

#[test]
fn the_rest_of_a_group_asks_for_one_look_in_it_and_runs_into_no_text() {
    let mut it = in_room("HK", "3N-12");
    it.app.height = 60;
    open_move(&mut it, "inspection");
    it.keys("gggggg");
    it.shows("Look at one line of this group first");
    it.shows("0 of 20");
    it.keys(" ggg");
    it.shows("Look at one line of this group first");
    it.shows_no("0 of 20");
    it.shows_no("20 of 20");
    for _ in 0..20 {
        if !it.picture().contains(" 20 of 20") {
            it.keys(" ggg");
        }
    }
    it.shows("20 of 20");
    it.shows_no("[g");
}

#[test]
fn a_task_is_given_by_a_letter_and_undo_says_how_to_give_it_on() {
    let mut it = Seat::demo(100, 30);
    it.signs_in("LD");
    it.keys("3");
    while !it.picture().contains("Take or give a task") {
        it.key(KeyCode::Down);
        it.keys("t");
    }
    it.shows("Up, then a letter");
    it.key(KeyCode::Up);
    it.shows("A letter chooses.");
    it.keys("h");
    it.shows("(HK ");
    it.keys("h");
    it.shows("(HM ");
    it.keys("\n\n");
    it.shows("HM takes");
    it.keys("u");
    it.shows("t on the task gives it to somebody else");
}

/// The same questions wherever a patient leaves: of a clear room where to, of a case what they may have carried as well.
#[test]
fn a_move_asks_where_to_and_of_a_case_whether_the_patient_washed() {
    let mut it = in_room("CN", "3N-01");
    it.app.height = 50;
    open_move(&mut it, "patient moved");
    it.shows("Where to");
    it.shows_no("To bed or room");
    it.shows_no("Washed and changed");
    it.keys(" ");
    it.key(KeyCode::Down);
    it.keys("1");
    it.shows("(bed)");
    it.shows("To bed or room");
    it.shows("In their own bed");
    it.shows_no("To what place");
    it.key(KeyCode::Esc);
    let mut it = in_room("CN", "3N-03");
    it.app.height = 50;
    open_move(&mut it, "patient moved");
    it.shows("Washed and changed first");
}

#[test]
fn a_bed_noted_empty_in_a_room_with_a_case_asks_where_its_patient_went() {
    let mut it = in_room("CN", "3N-01");
    it.app.height = 50;
    open_move(&mut it, "bed empty");
    it.shows_no("Where to");
    it.key(KeyCode::Esc);
    it.notes("CN", "finding", "3N-01", &[("seen", "reported-bites")]);
    it.follows();
    open_move(&mut it, "bed empty");
    it.shows("Where to");
    it.keys(" \n");
    it.keys("4");
    it.shows("(unknown)");
    it.key(KeyCode::F(2));
    it.key(KeyCode::Enter);
    it.shows("Noted, entry");
    let gone: Vec<String> = it.desk.board().gone().map(|it| it.bed.to_string()).collect();
    assert!(gone.contains(&"3N-01-A".to_owned()), "{gone:?}");
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    it.keys("h");
    it.shows("Where patients went");
    it.shows("3N-01-A: the patient left it at");
    // Somebody found in a bed of the same ward may be that patient.
    it.key(KeyCode::Esc);
    it.keys("/3N-13\n");
    open_move(&mut it, "bed occupied");
    it.shows("Is this the patient from");
}

#[test]
fn a_thing_goes_to_a_place_outside_the_list_of_rooms() {
    let mut it = in_room("HK", "3N-01");
    it.app.height = 50;
    open_move(&mut it, "movable thing left");
    it.keys("CH1\n");
    it.shows("Or to what other place");
}

//! Who sits at a shared terminal: what each is offered, and what becomes of what one had begun.

use crossterm::event::KeyCode;
use dryhold::desk::hash_pin;
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId, Place};
use dryhold::tui::Msg;

use super::seat::{Seat, code};

/// Begins a spray of 3N-03 and marks two zones.
fn begins_a_spray(it: &mut Seat) {
    it.keys("/3n-03\n");
    it.keys("mspray\n");
    it.shows("Spray: 3N-03");
    it.keys("  ");
}

#[track_caller]
fn has_the_spray(it: &mut Seat) {
    it.keys("/3n-03\n");
    it.keys("m");
    it.shows("begun before");
    it.keys("spray\n");
    it.shows("2 of 15");
}

fn kept(it: &Seat) -> Vec<String> {
    let Ok(folder) = std::fs::read_dir(it.state_folder()) else { return vec![] };
    let names = folder.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    names.filter(|name| name.starts_with("drafts-")).collect()
}

#[test]
fn each_is_offered_what_they_may_do_in_the_order_of_the_work() {
    let mut it = Seat::demo(80, 50);
    it.signs_in("HM");
    it.keys("/3N-03\nm");
    let picture = it.picture();
    let at = |text: &str| picture.find(text).unwrap_or_else(|| panic!("no {text}: {picture}"));
    assert!(at("Finding") < at("Patient moved") && at("Patient moved") < at("Preparation"));
    assert!(at("Preparation") < at("Zone done another way") && at("Zone done another way") < at("Bed made"));
    it.shows_no("Return to service");
    // Nothing was sprayed here: a dry check stands with what is not for now.
    it.shows_no("Dry check");
    it.shows("more: other roles, or nothing to do here");
    it.key(KeyCode::End);
    it.keys("\n");
    it.shows("Return to service");
    it.shows("Dry check");
    it.shows("nothing to do here");
    it.shows_no("more: other roles");
    let mut it = Seat::demo(80, 50);
    it.signs_in("LD");
    it.keys("/3N-03\nm");
    assert!(it.line().contains("1  Spray") && it.line().contains("next step"), "{}", it.picture());
}

#[test]
fn nobody_signed_in_may_look_and_is_asked_before_a_form_opens() {
    let mut it = Seat::demo(80, 24);
    it.keys("2345");
    it.keys("1/3N-03\n");
    it.shows("3N-03  patient room");
    it.keys("mspray\n");
    it.shows("Who are you? Then the form opens");
    it.keys("ld");
    it.shows("Who are you? Then the form opens: LD_");
    it.keys("\n");
    it.shows("Spray: 3N-03");
    assert_eq!(it.app.person, Some(code("LD")));
}

#[test]
fn letters_narrow_the_roster_and_a_wrong_one_chooses_nobody() {
    let mut it = Seat::demo(80, 24);
    it.keys("sl");
    it.shows("L. Arden");
    it.shows("L. Dorn");
    it.shows_no("C. Nadir");
    it.keys("z");
    it.shows("Nothing begins so.");
    it.keys("\n");
    assert_eq!(it.app.person, None);
    it.key(KeyCode::Backspace);
    it.shows("L. Arden");
    it.key(KeyCode::Backspace);
    it.shows("C. Nadir");
    it.keys("moss");
    it.keys("1");
    assert_eq!(it.app.person, Some(code("HM")));
}

#[test]
fn what_was_typed_outlives_leaving_by_force_and_a_lost_session() {
    for way in ["Ctrl-C", "q", "ended from outside"] {
        let mut it = Seat::demo(80, 24);
        it.signs_in("LD");
        begins_a_spray(&mut it);
        match way {
            "Ctrl-C" => {
                it.control('c');
                it.shows("What you only typed is kept for your next sign-in.");
                it.control('c');
                assert!(it.quit);
            }
            "q" => {
                it.key(KeyCode::Esc);
                it.key(KeyCode::Esc);
                it.keys("q");
                it.shows("Nothing is lost.");
                it.keys("q");
                assert!(it.quit, "{}", it.picture());
            }
            _ => it.tell(Msg::Ending),
        }
        let mut again = it.beside();
        drop(it);
        again.signs_in("LD");
        again.shows("Begun before, and kept: Spray 3N-03.");
        has_the_spray(&mut again);
        again.key(KeyCode::F(2));
        again.keys("\n");
        again.shows("Noted, entry");
        assert!(kept(&again).is_empty(), "{way}: noted is not begun");
    }
}

#[test]
fn what_one_had_begun_is_shown_to_no_other() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    begins_a_spray(&mut it);
    it.key(KeyCode::Esc);
    it.signs_in("PT");
    it.shows_no("Begun before");
    it.keys("m");
    it.shows_no("begun before");
    it.keys("spray\n");
    it.shows("0 of 15");
    it.key(KeyCode::Esc);
    it.signs_in("LD");
    has_the_spray(&mut it);
    assert_eq!(kept(&it).len(), 1);
}

#[test]
fn a_form_that_is_open_is_put_away_when_its_person_signs_out_or_is_gone() {
    for alone in [false, true] {
        let mut it = Seat::demo(80, 24);
        it.signs_in("LD");
        begins_a_spray(&mut it);
        if alone {
            it.tell(Msg::Alone);
            it.shows("LD was signed out: no key for 10 minutes. What LD had begun is put away.");
        } else {
            it.key(KeyCode::Esc);
            it.keys("o");
        }
        assert_eq!(it.app.person, None);
        it.shows_no("Spray: 3N-03");
        it.shows("3N-03  patient room");
        it.tell(Msg::Alone);
        it.signs_in("LD");
        has_the_spray(&mut it);
    }
}

#[test]
fn an_untouched_form_is_no_draft() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    it.keys("/3N-03\nn");
    it.shows("Spray: 3N-03");
    it.key(KeyCode::Esc);
    it.shows_no("What you typed is kept");
    it.tell(Msg::Ending);
    assert!(kept(&it).is_empty());
}

#[test]
fn a_pin_that_cannot_be_checked_is_not_called_wrong() {
    let mut it = Seat::demo(80, 24);
    let pins = [("LD", hash_pin("4711").expect("a hash")), ("PT", "no hash".to_owned())];
    for (at, (who, hash)) in pins.into_iter().enumerate() {
        let body = Body::PinSet { person: Code::new(who).expect("a code"), hash: Some(hash) };
        it.desk.note(&Command::new(CommandId(2_000_000 + at as u64), Place::Hospital, body), code(who));
    }
    it.tell(Msg::Changed);
    it.keys("sld\n4712\n");
    it.shows("That is not this person's PIN.");
    it.keys("4711\n");
    assert_eq!(it.app.person, Some(code("LD")), "{}", it.picture());
    it.keys("spt\n4711\n");
    it.shows("The PIN could not be checked; it may be right.");
    assert_eq!(it.app.person, Some(code("LD")));
}

/// The book is changed in the program: each change says what it does to the beds before it is noted.
#[test]
fn the_lead_changes_the_hospitals_own_book_and_is_told_what_it_does() {
    let mut it = Seat::demo(80, 40);
    it.signs_in("CN");
    it.keys("6e");
    it.shows("is for the lead and infection prevention: call");
    it.keys("o");
    it.signs_in("LD");
    it.keys("6e");
    it.shows("The hospital's own book: what is to be changed?");
    // A new person.
    it.keys("1");
    it.key(KeyCode::End);
    it.keys("\n");
    it.keys("nw\nN. Wyler\n");
    it.keys("1");
    it.shows("(charge-nurse)");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("It opens no bed.");
    it.keys("y");
    it.shows("Noted, entry");
    assert!(it.desk.board().people().contains_key(&code("nw")), "{}", it.picture());
    // A room found by its digits; its beds are named before the change closes them.
    let open = |it: &Seat| it.desk.board().admission(code("3N-08-B"), it.desk.now()).is_empty();
    assert!(open(&it));
    it.keys("6e3");
    it.keys("08");
    it.shows("Rooms, their beds and neighbours: 08_");
    it.keys("\n");
    it.shows("Room: 3N-08");
    it.key(KeyCode::Up);
    while !it.line().contains("Name") {
        it.key(KeyCode::Up);
    }
    it.keys(" east\n");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("It closes");
    it.shows("3N-08-B");
    it.keys("n");
    assert!(open(&it), "a no notes nothing");
    it.keys("\n");
    it.keys("y");
    assert!(!open(&it), "a changed room waits for the walk of its ward: {}", it.picture());
}

/// How large a room is, in its book: it closes no bed, and the next spray's estimate goes by it.
#[test]
fn the_floor_of_a_room_is_typed_in_its_book_and_closes_nothing() {
    let mut it = Seat::demo(160, 50);
    it.signs_in("LD");
    let to_the_floor = |it: &mut Seat| {
        it.key(KeyCode::F(2));
        while !it.line().contains("Floor, m²") {
            it.key(KeyCode::Up);
        }
    };
    it.keys("6e308\n");
    it.shows("Room: 3N-08");
    to_the_floor(&mut it);
    it.keys("0");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("“0” is no floor of a room: type the floor in m², 1 to 500");
    to_the_floor(&mut it);
    it.key(KeyCode::Backspace);
    it.keys("24,5");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("It closes no");
    it.shows("It opens no bed.");
    it.keys("y");
    it.shows("Noted, entry");
    let plan = it.desk.board().facility().room(code("3N-08")).expect("the room").clone();
    assert_eq!(plan.floor_dm2, Some(2450));
    assert!(it.desk.board().admission(code("3N-08-B"), it.desk.now()).is_empty(), "{}", it.picture());
}

/// A load that was voided settles nothing: its bag says so, and no other bag is offered its figures.
#[test]
fn a_voided_load_is_marked_and_offered_no_more() {
    let mut it = Seat::demo(80, 40);
    let good = [
        ("room", "3N-07"),
        ("wash-celsius", "75"),
        ("wash-minutes", "30"),
        ("detergent", "yes"),
        ("dry-celsius", "75"),
        ("dry-minutes", "45"),
    ];
    it.notes("LD", "launder", "3N07-C", &good);
    let load = it.desk.board().last().expect("an entry").0.to_string();
    it.signs_in("LD");
    it.keys("/3n10\n");
    it.keys("mlaundered\n");
    it.shows("Same load as");
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    it.notes("LD", "void", "3N-07", &[("entry", load.as_str()), ("why", "another bag")]);
    it.keys("/3n10\n");
    it.keys("mlaundered\n");
    it.shows_no("Same load as");
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    it.keys("4");
    while !it.line().contains("3N07-C") {
        it.key(KeyCode::Down);
    }
    it.shows("VOIDED by entry");
}

#[test]
fn what_one_had_the_ledger_show_ends_with_ones_sign_out() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    it.keys("5");
    let all = it.picture().lines().nth(1).map(str::to_owned);
    it.keys("ff");
    assert_ne!(it.picture().lines().nth(1).map(str::to_owned), all);
    it.keys("o");
    assert_eq!(it.picture().lines().nth(1).map(str::to_owned), all, "{}", it.picture());
}

#[test]
fn what_was_begun_can_be_thrown_away() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LD");
    begins_a_spray(&mut it);
    it.key(KeyCode::Esc);
    it.key(KeyCode::Esc);
    assert!(!kept(&it).is_empty());
    has_the_spray(&mut it);
    it.key(KeyCode::F(2));
    it.shows("x throw away");
    it.keys("x");
    it.shows("Throw away what you typed in this form?");
    it.keys("n");
    it.shows("Spray: 3N-03");
    it.keys("xy");
    it.shows("Thrown away. Nothing was noted.");
    it.keys("m");
    it.shows_no("begun before");
    it.key(KeyCode::Esc);
    let mut again = it.beside();
    drop(it);
    again.signs_in("LD");
    again.shows_no("Begun before");
}

#[test]
fn a_charge_nurse_is_asked_once_a_shift_to_go_through_a_ward_that_nobody_confirmed() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("CN");
    it.shows_no("Beds not confirmed");
    it.keys("o");
    // The beds were confirmed at half past six: twelve hours are a shift.
    it.at("2026-06-10T18:00:00Z");
    it.signs_in("HK");
    it.shows_no("Beds not confirmed");
    it.keys("o");
    it.signs_in("CN");
    it.shows("Beds not confirmed for longer than a shift: 3N since 06:30");
    it.keys("n");
    it.shows_no("Beds not confirmed for longer");
    it.keys("o");
    it.signs_in("CN");
    it.shows_no("Beds not confirmed for longer");
    // Once more in the next shift; yes opens the ward's beds.
    it.keys("o");
    it.at("2026-06-11T07:00:00Z");
    it.signs_in("CN");
    it.keys("y");
    it.shows("Ward's occupancy: 3N");
    it.shows("room 3N-03: confirmed, response staff only");
    it.key(KeyCode::PageDown);
    it.shows("room 3N-07: treated-wet, DO NOT ENTER to look");
}

#[test]
fn a_figure_that_was_meant_for_a_form_makes_nobody_somebody_else() {
    let mut it = Seat::demo(80, 24);
    it.keys("b");
    it.shows("Who are you? Then the form opens");
    it.keys("2");
    assert_eq!(it.app.person, None);
    it.keys("\n");
    assert!(it.app.person.is_some());
}

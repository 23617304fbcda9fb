//! What people who had never seen the board stumbled over in a day and a night: each story is one of theirs.

use crossterm::event::KeyCode;
use dryhold::desk::hash_pin;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId, Place};
use dryhold::domain::moves;

use super::seat::{Seat, code};

fn felt(it: &Seat) -> usize {
    it.picture().lines().filter(|line| line.contains("[dry ]")).count()
}

/// A spray that was noted later stands where its time says.
#[test]
fn what_happened_since_stands_in_the_order_of_its_times() {
    let mut it = Seat::demo(80, 200);
    // A finding that was made earlier and noted last stands under the later one.
    let text = "4N-02: finding";
    let mut answers = moves::Answers::new();
    answers.set("seen", ["4N-02-A/mattress=dark-spots"]);
    let mv = moves::find("finding").expect("a move");
    let (place, body) =
        moves::build(mv, "4N-02", &answers, it.desk.board(), it.desk.now()).expect("answers that are understood");
    let mut command = Command::new(CommandId(4_000_000), place, body);
    command.happened = Some("2026-06-10T01:00:00Z".parse().expect("a time"));
    it.desk.note(&command, code("CN"));
    it.follows();
    it.signs_in("CN");
    it.keys("h");
    let picture = it.picture();
    let since = picture.split("Since ").nth(1).and_then(|text| text.split("Opens most").next()).unwrap_or_default();
    let last = since.rfind(": finding").expect("a finding");
    assert_eq!(since.find(text).map(|at| at + "4N-02".len()), Some(last), "{picture}");
}

/// Two people where the policy asks for them: which answers are needed is said beforehand, and a refusal goes once it is met.
#[test]
fn the_second_check_says_what_is_needed_and_its_refusal_goes_with_the_answer() {
    let mut it = Seat::demo(80, 60);
    it.notes("LD", "set-policy", "second-signature", &[("value", "yes")]);
    let wash = [
        ("room", "3N-10"),
        ("wash-celsius", "75"),
        ("wash-minutes", "30"),
        ("detergent", "yes"),
        ("dry-celsius", "75"),
        ("dry-minutes", "45"),
    ];
    it.notes("LA", "launder", "3N10-C", &wash);
    for bed in ["3N-10-A", "3N-10-B"] {
        it.notes("HK", "make-bed", bed, &[("stock", "store 3")]);
    }
    it.signs_in("CN");
    it.keys("/3n-10\n");
    it.keys("msecond c\n");
    it.shows("Second check before the return: 3N-10");
    it.shows("Beds: 0 of 2");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("still to be answered");
    // One of two is refused, and the refusal goes with the other one.
    it.key(KeyCode::Home);
    it.keys("111111111111111");
    it.shows("Zones: 15 of 15");
    it.keys("1");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Not noted");
    it.shows("3N-10-B");
    for _ in 0..60 {
        if it.line().contains("bed 3N-10-B") {
            break;
        }
        it.key(KeyCode::Up);
    }
    it.keys("1");
    it.shows("Beds: 2 of 2");
    it.shows_no("leaves out bed");
}

#[test]
fn on_the_wall_a_patient_in_a_wet_room_is_told_what_is_to_be_done() {
    let mut it = Seat::demo(80, 24);
    it.notes("CN", "occupied", "3N-07-A", &[]);
    let app = &mut it.app;
    super::with_world(&it.desk, |world| app.show_wall(world));
    it.shows("PATIENT INSIDE: move the patient out now");
}

/// The heading of the screen.
fn heading(it: &Seat) -> String {
    it.picture().lines().nth(1).unwrap_or_default().to_owned()
}

fn reaches(it: &mut Seat, text: &str) {
    it.key(KeyCode::Home);
    for _ in 0..90 {
        if it.line().contains(text) {
            return;
        }
        it.key(KeyCode::Down);
    }
    panic!("no line with “{text}”:\n{}", it.picture());
}

#[test]
fn what_was_felt_before_a_new_spray_is_no_answer_after_it() {
    for kept in ["open", "closed", "in another program"] {
        let mut it = Seat::demo(80, 40);
        it.signs_in("HK");
        it.keys("/3n-07\n");
        it.keys("mdry\n");
        it.shows("Dry check: 3N-07");
        for _ in 0..40 {
            if felt(&it) < 1 {
                it.keys(" ");
            }
        }
        if kept != "open" {
            it.key(KeyCode::Esc);
        }
        let mut other = it.beside();
        other.notes("PT", "spray", "3N-07", &[("purpose", "infested"), ("product", "unlisted")]);
        match kept {
            "open" => it.follows(),
            "closed" => {
                it.follows();
                it.keys("mdry\n");
            }
            _ => {
                it.key(KeyCode::Esc);
                it.key(KeyCode::Esc);
                it = it.beside();
                it.signs_in("HK");
                it.keys("/3n-07\n");
                it.keys("mdry\n");
            }
        }
        assert_eq!(felt(&it), 0, "{kept}: {}", it.picture());
        it.shows("here was made before entry");
        it.shows("look or feel anew");
    }
}

#[test]
fn a_finding_that_is_being_typed_keeps_its_answers_whatever_is_noted_meanwhile() {
    let mut it = Seat::demo(80, 40);
    it.signs_in("HK");
    it.keys("/3n-07\n");
    it.keys("b");
    it.key(KeyCode::Down);
    it.keys("1");
    it.shows("live adult");
    let before = it.picture().lines().filter(|line| line.contains("live adult  ]")).count();
    assert!(before > 0, "{}", it.picture());
    let mut other = it.beside();
    other.notes("CN", "finding", "3N-07", &[("seen", "chair=cast-skin")]);
    it.follows();
    assert_eq!(it.picture().lines().filter(|line| line.contains("live adult  ]")).count(), before, "{}", it.picture());
    it.key(KeyCode::F(2));
    it.shows("The room changed while this form was open");
}

#[test]
fn beds_that_were_counted_before_a_patient_came_are_counted_anew() {
    let mut it = Seat::demo(80, 40);
    it.signs_in("CN");
    it.keys("2c");
    it.shows("Ward's occupancy: 3N");
    it.keys("222222");
    let empty = |it: &Seat| it.picture().lines().filter(|line| line.contains("[ empty")).count();
    assert!(empty(&it) > 4, "{}", it.picture());
    let bed = it.picture().lines().find(|line| line.contains("[ empty")).expect("a bed").to_owned();
    let bed = bed.split("bed ").nth(1).and_then(|text| text.split_whitespace().next()).expect("a bed").to_owned();
    let before = empty(&it);
    let mut other = it.beside();
    other.notes("LD", "occupied", &bed, &[]);
    it.follows();
    assert!(empty(&it) < before, "{bed}: {}", it.picture());
    it.shows("before entry");
}

#[test]
fn a_pin_that_was_set_elsewhere_in_this_second_is_asked_for() {
    let mut it = Seat::demo(80, 24);
    let mut other = it.beside();
    let body = Body::PinSet { person: code("CN"), hash: Some(hash_pin("4711").expect("a hash")) };
    other.desk.note(&Command::new(CommandId(3_000_000), Place::Hospital, body), code("CN"));
    // Nothing was followed here yet.
    it.keys("scn\n");
    assert_eq!(it.app.person, None, "{}", it.picture());
    it.shows("PIN");
    it.keys("4711\n");
    assert_eq!(it.app.person, Some(code("CN")), "{}", it.picture());
}

#[test]
fn a_yes_or_no_of_the_book_is_a_question_and_what_is_so_already_is_not_noted() {
    let mut it = Seat::demo(80, 40);
    it.signs_in("IP");
    it.keys("6e6");
    it.keys("second p");
    it.shows("return to service needs a second person");
    it.keys("\n");
    it.shows("now no");
    assert!(it.line().contains("Value"), "it begins with the question: {}", it.picture());
    it.keys("n");
    it.key(KeyCode::F(2));
    let before = it.desk.board().last();
    it.keys("\n");
    it.shows("Nothing is changed");
    assert_eq!(it.desk.board().last(), before);
    it.keys("y");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("second-signature yes");
    it.keys("y");
    it.shows("Noted, entry");
    // A number is typed whole.
    it.keys("6e6uncon\n");
    it.shows("now 720 min");
    it.keys("480");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("480");
    it.keys("y");
    it.shows("Noted, entry");
}

#[test]
fn a_bag_that_nobody_finds_is_told_as_lost_and_a_failed_load_is_washed_again() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("LA");
    it.keys("4");
    reaches(&mut it, "failed");
    it.shows("wash again");
    it.shows_no("look for it");
    it.notes("LA", "discard", "3N10-C", &[("room", "3N-10"), ("end", "lost")]);
    assert!(it.line().contains("3N10-C") && it.line().contains("LOST 11:30, LA"), "{}", it.picture());
    it.shows("cannot be found since");
    it.shows("said LA");
}

#[test]
fn whoever_comes_next_finds_all_lines_from_the_first() {
    let mut it = Seat::demo(80, 24);
    it.signs_in("CN");
    let mut all = vec![];
    for screen in ["2", "3", "4"] {
        it.keys(screen);
        all.push(heading(&it));
        it.keys("w");
        assert_ne!(Some(&heading(&it)), all.last());
        it.key(KeyCode::End);
    }
    it.signs_in("LD");
    for (screen, all) in ["4", "2", "3"].into_iter().zip([&all[2], &all[0], &all[1]]) {
        it.keys(screen);
        assert_eq!(&heading(&it), all);
    }
    // One that walked away from the first lines is told how many are above.
    it.key(KeyCode::End);
    assert!(heading(&it).contains("more lines above)"), "{}", it.picture());
    it.keys("o");
    it.signs_in("HK");
    assert!(!heading(&it).contains("above"), "{}", it.picture());
}

#[test]
fn a_ward_of_promised_beds_keeps_its_line_and_a_scrolled_list_says_what_is_above() {
    let mut it = Seat::demo(80, 24);
    let open = |it: &Seat| -> Vec<String> {
        let board = it.desk.board();
        let beds = board.facility().rooms.values().filter(|room| room.ward == code("3N")).flat_map(|room| &room.beds);
        beds.filter(|bed| board.admission(bed.code, it.desk.now()).is_empty()).map(|bed| bed.code.to_string()).collect()
    };
    it.signs_in("CN");
    let promised = |it: &Seat, bed: &str| it.desk.board().promises().iter().any(|(of, _)| of.as_str() == bed);
    for bed in open(&it).into_iter().filter(|bed| !promised(&it, bed)).collect::<Vec<_>>() {
        it.notes("CN", "promise", &bed, &[("wanted", "18:00")]);
    }
    it.keys("2");
    it.shows("3N 2 of 24, 2 promised, below");
    it.key(KeyCode::End);
    it.shows("more above");
    let picture = it.picture();
    let at = picture.lines().position(|line| line.contains("more above")).expect("a line");
    let above = picture.lines().nth(at - 1).expect("a line");
    assert!(above.contains("   .") || above.contains(" of "), "it stands right under the open beds: {picture}");
}

#[test]
fn an_acting_lead_is_told_so() {
    let mut it = Seat::demo(80, 24);
    let acting = [
        ("name", "H. Keller"),
        ("role", "housekeeper"),
        ("acting-lead-from", "2026-06-10 10:00"),
        ("acting-lead-until", "2026-06-11 07:00"),
    ];
    it.notes("LD", "set-person", "HK", &acting);
    it.signs_in("HK");
    it.shows("Signed in: HK, housekeeper, acting lead until");
    assert!(it.picture().lines().next().is_some_and(|line| line.contains("HK acting lead 11:30")), "{}", it.picture());
    it.at("2026-06-11T06:00:00Z");
    it.keys("o");
    it.signs_in("HK");
    it.shows_no("acting lead");
}

#[test]
fn a_ward_count_names_its_beds_and_a_return_names_what_it_rests_on() {
    let mut it = Seat::demo(80, 40);
    it.notes("CN", "occupancy", "3N", &[("beds", "3N-04-A=occupied"), ("beds", "3N-04-B=empty")]);
    it.keys("5\n");
    it.shows("1 occupied, 1 empty");
    it.shows("3N-04-A");
    it.shows("3N-04-B");
    it.key(KeyCode::Esc);
    it.keys("greturned\n");
    it.keys("\n");
    it.shows("returned to service");
    it.shows("Rests on");
    it.shows("entry ");
}

#[test]
fn what_to_do_with_a_bug_stands_on_the_first_page_of_a_nurse() {
    for who in [None, Some("CN")] {
        let mut it = Seat::demo(80, 24);
        if let Some(who) = who {
            it.signs_in(who);
        }
        it.keys("h");
        it.shows("A bug was found");
    }
}

#[test]
fn a_voided_entry_is_one_short_line_of_what_happened_since() {
    let mut it = Seat::demo(80, 200);
    it.notes("CN", "finding", "4N-02", &[("seen", "4N-02-A/mattress=dark-spots")]);
    let number = it.desk.board().last().expect("an entry").0.to_string();
    it.notes("LD", "void", "4N-02", &[("entry", number.as_str()), ("why", "another room")]);
    it.signs_in("CN");
    it.keys("h");
    let picture = it.picture();
    let about: Vec<&str> = picture.lines().filter(|line| line.contains(&format!("entry {number} voided"))).collect();
    assert_eq!(about.len(), 1, "{picture}");
    let since = picture.split("Since ").nth(1).and_then(|text| text.split("May sign now").next()).unwrap_or_default();
    assert!(!since.contains("dark spots at 4N-02"), "{picture}");
}

#[test]
fn ones_own_tasks_begin_with_those_that_have_ones_name() {
    let mut it = Seat::demo(80, 40);
    it.signs_in("HK");
    it.keys("3");
    it.key(KeyCode::End);
    it.key(KeyCode::Up);
    let mut taken = false;
    for _ in 0..40 {
        it.keys("t");
        if it.picture().contains("Note it") || it.picture().contains("note it") {
            it.key(KeyCode::F(2));
            it.keys("\n");
            taken = it.picture().contains("Noted, entry");
            break;
        }
        it.key(KeyCode::Up);
    }
    assert!(taken, "{}", it.picture());
    it.keys("f");
    it.key(KeyCode::Home);
    it.shows("You have these: 1");
    assert!(it.line().contains("you have it"), "{}", it.picture());
}

#[test]
fn a_patient_who_is_to_be_moved_out_comes_before_any_bed() {
    let mut it = Seat::demo(80, 40);
    it.notes("CN", "occupied", "3N-07-A", &[]);
    it.signs_in("LD");
    it.keys("3");
    let picture = it.picture();
    let at = |text: &str| picture.find(text).unwrap_or_else(|| panic!("no {text}: {picture}"));
    assert!(at("A patient is to be moved out, before any bed") < at("Gives most beds back"), "{picture}");
    assert!(it.line().contains("3N-07"), "{picture}");
}

#[test]
fn until_when_a_patient_stays_is_read_whole_at_80_columns() {
    let mut it = Seat::demo(80, 24);
    it.notes("CN", "occupied", "3N-03-A", &[]);
    it.notes("IP", "patient-stays", "3N-03", &[("reason", "isolation"), ("review", "2026-06-11 16:00")]);
    it.keys("/3n-03\n");
    let picture = it.picture();
    let head = picture.lines().find(|line| line.contains("inside: ")).expect("a head");
    assert!(head.contains("16:00"), "{picture}");
}

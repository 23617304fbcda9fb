//! How many keys the work takes. Counted is every key but the letters of what only the person knows: bag tags, temperatures,
//! minutes, amounts, times, names.

use crossterm::event::KeyCode;
use dryhold::domain::board::State;

use super::seat::{Seat, code};

/// From a room that was confirmed until it is back in service, for a room with two beds and twenty zones.
const MOST: usize = 85;

/// From the start of the program until the nurse can say something of a bed.
const MOST_TO_A_BED: usize = 3;

struct Counted {
    seat: Seat,
    /// Each step with its keys; a word in brackets is not counted.
    steps: Vec<(&'static str, String)>,
    keys: usize,
}

impl Counted {
    fn step(&mut self, name: &'static str) {
        self.steps.push((name, String::new()));
    }

    fn say(&mut self, text: &str) {
        let (_, said) = self.steps.last_mut().expect("a step");
        if !said.is_empty() {
            said.push(' ');
        }
        said.push_str(text);
    }

    fn enter(&mut self) {
        self.keys += 1;
        self.say("Enter");
        self.seat.key(KeyCode::Enter);
    }

    fn press(&mut self, keys: &str) {
        self.keys += keys.chars().count();
        self.say(keys);
        self.seat.keys(keys);
    }

    /// Marks so many lines of a checklist, each with one key.
    #[track_caller]
    fn marks(&mut self, zones: usize) {
        for _ in 0..zones {
            assert!(self.seat.line().contains(">["), "{}", self.seat.picture());
            let before = self.seat.chosen();
            self.seat.key(KeyCode::Char(' '));
            assert!(self.seat.chosen() != before, "one key marks and moves on: {}", self.seat.picture());
        }
        self.keys += zones;
        self.say(&format!("Space×{zones}"));
    }

    /// What only she can know, and Enter.
    #[track_caller]
    fn word(&mut self, label: &str, text: &str) {
        assert!(self.seat.line().contains(label), "not at {label}: {}", self.seat.picture());
        self.say(&format!("[{text}]"));
        self.seat.keys(text);
        self.enter();
    }

    #[track_caller]
    fn answer(&mut self, label: &str, key: &str) {
        assert!(self.seat.line().contains(label), "not at {label}: {}", self.seat.picture());
        self.press(key);
    }

    #[track_caller]
    fn note(&mut self, end: &str) {
        assert!(self.seat.line().contains(end), "not at the end: {}", self.seat.picture());
        self.enter();
        self.seat.shows("Noted, entry");
    }

    #[track_caller]
    fn opens(&mut self, title: &str) {
        self.enter();
        self.seat.shows(title);
    }

    fn table(&self) -> String {
        let lines = self.steps.iter().map(|(name, keys)| format!("{name:<16} {keys}\n"));
        format!("{}{:<16} {}\n", lines.collect::<String>(), "counted", self.keys)
    }
}

/// The beds are empty, and a person who is trained to has confirmed the room. From there on all is hers.
fn confirmed() -> Counted {
    let mut seat = Seat::demo(80, 24);
    for bed in ["5N-10-A", "5N-10-B"] {
        seat.notes("CN", "empty", bed, &[]);
    }
    seat.notes("IP", "finding", "5N-10", &[("seen", "5N-10-A/mattress=live-adult")]);
    assert_eq!(seat.desk.board().state(code("5N-10")), State::Confirmed);
    Counted { seat, steps: vec![], keys: 0 }
}

#[test]
fn from_confirmed_to_returned_in_few_keys() {
    let mut it = confirmed();
    it.step("sign in");
    it.press("s6");
    it.seat.shows("Signed in: LD");
    it.step("find the room");
    it.press("/5n-10");
    it.enter();
    it.seat.shows("5N-10  patient room");

    it.step("prepare");
    it.opens("Preparation: 5N-10");
    it.marks(5);
    it.word("Bags", "L1, C1");
    it.note("Note it");

    it.seat.at("2026-06-10T11:00:00Z");
    it.step("spray");
    it.opens("Spray: 5N-10");
    it.marks(15);
    it.word("Started", "12:30");
    it.word("Finished", "12:50");
    it.answer("Patient inside", "2");
    it.word("Amount", "900");
    it.note("Note it");
    assert_eq!(it.seat.desk.board().state(code("5N-10")), State::TreatedWet);

    it.seat.at("2026-06-10T13:30:00Z");
    it.step("dry check");
    it.opens("Dry check: 5N-10");
    it.marks(15);
    it.word("Ventilation", "window open");
    it.note("Note it");
    assert_eq!(it.seat.desk.board().state(code("5N-10")), State::TreatedDry);

    it.step("other methods");
    it.opens("Zone done another way: 5N-10");
    it.marks(3);
    it.answer("Method", "2");
    it.note("Note it");
    it.step("vacuum");
    it.opens("Soft seating vacuumed: 5N-10");
    it.marks(1);
    it.note("Note it");

    it.seat.at("2026-06-10T15:30:00Z");
    launder(&mut it);
    for step in ["make bed A", "make bed B"] {
        it.step(step);
        it.opens("Bed made: 5N-10-");
        it.enter();
        it.note("Note it");
    }
    it.step("return");
    it.opens("Return to service: 5N-10");
    it.seat.shows("You sign for: ");
    it.note("Sign it");
    assert_eq!(it.seat.desk.board().state(code("5N-10")), State::Monitoring);
    let evidence = it.seat.desk.board().admission(code("5N-10-A"), it.seat.desk.now());
    assert!(evidence.is_empty(), "{evidence:?}");
    println!("{}", it.table());
    assert!(it.keys <= MOST, "{}", it.table());
}

/// 71 degrees C for 25 min: CDC, MMWR 52(RR-10), 2003. Over 40 degrees C in the dryer for 30 min: Naylor & Boase 2010.
fn launder(it: &mut Counted) {
    it.step("first bag");
    it.opens("Bag laundered: ");
    it.word("Wash", "75");
    it.word("Minutes at", "30");
    it.answer("Detergent", "1");
    it.word("Drying", "75");
    it.word("Minutes of", "45");
    it.answer("Small load", "1");
    it.note("Note it");
    it.step("second bag");
    it.opens("Bag laundered: ");
    it.answer("Same load as", " ");
    it.seat.shows("[75 ");
    it.seat.shows("[45 ");
    it.enter();
    it.note("Note it");
}

#[test]
fn the_nurse_is_at_this_bed_in_three_keys() {
    let mut it = Counted { seat: Seat::demo(80, 24), steps: vec![], keys: 0 };
    it.step("this bed");
    it.press("2");
    it.enter();
    it.seat.shows("A patient is in it");
    println!("{}", it.table());
    assert!(it.keys <= MOST_TO_A_BED, "{}", it.table());
}

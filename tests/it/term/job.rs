//! The whole job by keys alone, on the smallest screen: from the finding to the return, and a follow-up.
//!
//! The hospital is set up by command line. Its clock is a file, which moves the screens and the command lines alike.

use std::fs;

use super::screen::{DOWN, ENTER, ERASE, ESC, F2, Screen, UP};
use crate::cli::program::{Program, SPRAYED};

/// Who sits at the keyboard, by the number on the roster's list.
const LEAD: (&str, &str) = ("1", "AB");
const NURSE: (&str, &str) = ("2", "CN");
const KEEPER: (&str, &str) = ("3", "HK");
const LAUNDERER: (&str, &str) = ("4", "LA");
const TECHNICIAN: (&str, &str) = ("5", "TE");

struct Job {
    program: Program,
    screen: Screen,
}

impl Job {
    fn start() -> Self {
        let program = Program::walked();
        fs::write(program.path("clock"), &program.now).expect("a clock");
        let ledger = program.path("ledger.ron");
        let environment = [("DRYHOLD_LEDGER", ledger.to_str().expect("a path in UTF-8"))];
        let screen = Screen::start(80, 24, &program.path(""), &["--now", "@clock"], &environment);
        screen.shows("[1 Board]");
        Self { program, screen }
    }

    /// Moves the clock, and waits until the screen says so: `clock` is the same minute as the hospital reads it.
    #[track_caller]
    fn at(&mut self, now: &str, clock: &str) {
        self.program.at(now);
        fs::write(self.program.path("clock"), now).expect("a clock");
        self.screen.shows(clock);
    }

    #[track_caller]
    fn sign_in(&mut self, (number, initials): (&str, &str)) {
        self.screen.keys("s");
        self.screen.shows("Who are you?");
        self.screen.keys(number);
        self.screen.shows(&format!("Signed in: {initials}"));
    }

    #[track_caller]
    fn open_room(&mut self, room: &str) {
        self.screen.keys("/");
        self.screen.shows("Find a room");
        self.screen.keys(room);
        self.screen.keys(ENTER);
        self.screen.shows(&format!("{room}  patient room, ward 4N"));
    }

    /// Opens a move of the open room from the numbered list.
    #[track_caller]
    fn open_move(&mut self, title: &str) {
        self.screen.keys("m");
        self.screen.shows("Moves of room");
        self.go_to(title);
        self.screen.keys(ENTER);
        self.screen.shows("keep and close");
    }

    /// Walks down to the line that says this; from the end of a form up again.
    #[track_caller]
    fn go_to(&mut self, text: &str) {
        let mut key = DOWN;
        let mut line = self.screen.line();
        for _ in 0..200 {
            if line.contains(text) {
                return;
            }
            if line.contains("[ Note it ]") {
                key = UP;
            }
            line = self.screen.step(key);
        }
        panic!("no line “{text}”:\n{}", self.screen.text());
    }

    /// Types into the text field of this label, in place of what stands there.
    #[track_caller]
    fn fill(&mut self, label: &str, text: &str) {
        self.go_to(label);
        self.screen.keys(&ERASE.repeat(20));
        self.screen.keys(text);
        let wanted = format!("[{text} ");
        self.screen.on_line(&wanted);
    }

    /// Answers the question of this label by a number.
    #[track_caller]
    fn answer(&mut self, label: &str, number: &str) {
        self.go_to(label);
        self.screen.step(number);
    }

    /// Answers every line of the checklist from here on with these keys, until it ends.
    #[track_caller]
    fn answer_list(&mut self, keys: &str) {
        while self.screen.line().starts_with(">[") {
            self.screen.step(keys);
        }
    }

    #[track_caller]
    fn finish(&mut self) {
        self.screen.keys(F2);
        self.screen.wait("the end of the form", |screen| screen.contents().contains(">[ Note it ]").then_some(()));
        self.screen.keys(ENTER);
    }

    #[track_caller]
    fn note(&mut self, says: &str) {
        self.finish();
        self.screen.shows("Noted, entry");
        self.screen.shows(says);
    }
}

#[test]
fn the_whole_job_by_keys() {
    let mut it = Job::start();
    found_and_confirmed(&mut it);
    prepared_and_sprayed(&mut it);
    dried(&mut it);
    laundered_and_made(&mut it);
    returned(&mut it);
    followed_up(&mut it);
    it.screen.keys("qq");
    assert!(it.screen.left().restored);
}

fn found_and_confirmed(it: &mut Job) {
    it.at("2026-03-02T09:00:00Z", "Mon 2 Mar 10:00");
    it.sign_in(NURSE);
    it.open_room("4N-02");
    it.open_move("Finding");
    it.go_to("mattress:");
    it.screen.keys("5");
    it.note("suspect");
    assert_eq!(it.program.state("4N-02"), "suspect");
    it.at("2026-03-02T09:40:00Z", "Mon 2 Mar 10:40");
    it.sign_in(KEEPER);
    it.open_move("Inspection");
    it.answer("Depth", "1");
    it.fill("Began", "10:15");
    it.go_to("mattress:");
    it.screen.step("1");
    it.answer_list("g");
    it.note("confirmed");
    assert_eq!(it.program.state("4N-02"), "confirmed");
}

fn prepared_and_sprayed(it: &mut Job) {
    it.at("2026-03-02T10:00:00Z", "Mon 2 Mar 11:00");
    it.sign_in(NURSE);
    it.open_move("Patient out");
    it.go_to("bed 4N-02-A");
    it.screen.step(" ");
    it.answer("Washed", "1");
    it.fill("Receiving", "4N-03");
    it.note("patient");
    assert_eq!(it.program.open(), ["4N-01-A"]);
    it.at("2026-03-02T10:20:00Z", "Mon 2 Mar 11:20");
    it.sign_in(KEEPER);
    it.open_move("Preparation");
    it.answer_list(" ");
    it.fill("Bags", "B1, B2");
    it.note("B1");
    it.at("2026-03-02T11:30:00Z", "Mon 2 Mar 12:30");
    it.sign_in(TECHNICIAN);
    it.open_move("Spray");
    it.answer("Product", "1");
    it.go_to("mattress:");
    for _ in SPRAYED {
        it.screen.step(" ");
    }
    it.fill("Started", "12:00");
    it.fill("Finished", "12:20");
    it.fill("Bags", "none");
    it.answer("Patient inside", "2");
    it.fill("Amount", "900");
    it.note("spray");
    assert_eq!(it.program.state("4N-02"), "treated-wet");
}

fn dried(it: &mut Job) {
    it.at("2026-03-02T11:35:00Z", "Mon 2 Mar 12:35");
    it.sign_in(KEEPER);
    it.open_move("Zone treated by another method");
    it.answer_list(" ");
    it.answer("Method", "2");
    it.note("steamed");
    it.at("2026-03-02T12:40:00Z", "Mon 2 Mar 13:40");
    it.open_move("Dry check");
    it.go_to("mattress:");
    it.screen.step("2");
    it.answer_list("1");
    it.fill("Ventilation", "window open");
    it.note("damp");
    assert_eq!(it.program.state("4N-02"), "treated-wet", "one damp zone keeps the room wet");
    it.at("2026-03-02T13:50:00Z", "Mon 2 Mar 14:50");
    it.open_move("Dry check");
    it.go_to("mattress:");
    it.answer_list("1");
    it.fill("Ventilation", "window open");
    it.note("dry");
    assert_eq!(it.program.state("4N-02"), "treated-dry");
}

fn laundered_and_made(it: &mut Job) {
    it.at("2026-03-02T14:00:00Z", "Mon 2 Mar 15:00");
    it.sign_in(LAUNDERER);
    it.open_move("bag B1");
    launder(it, ["58", "20", "", ""]);
    it.note("bag B1 stays outstanding");
    it.at("2026-03-02T15:00:00Z", "Mon 2 Mar 16:00");
    for bag in ["bag B1", "bag B2"] {
        it.open_move(bag);
        launder(it, ["75", "30", "75", "45"]);
        it.note(bag);
    }
    it.sign_in(KEEPER);
    it.open_move("Soft seating vacuumed");
    it.answer_list(" ");
    it.note("vacuumed");
    for (bed, bag) in [("4N-02-A", "B1"), ("4N-02-B", "B2")] {
        it.open_move("Bed made");
        it.screen.shows(&format!("Bed made: {bed}"));
        it.fill("From bags", bag);
        it.note(bed);
    }
    assert_eq!(it.program.open(), ["4N-01-A"], "no bed opens before the return is signed");
}

/// 71 degrees C for 25 min: CDC, MMWR 52(RR-10), 2003. Over 40 degrees C in the dryer for 30 min: Naylor & Boase 2010.
fn launder(it: &mut Job, [wash, minutes, dry, drying]: [&str; 4]) {
    it.fill("Wash, °C", wash);
    it.fill("Minutes at", minutes);
    it.answer("Detergent", "1");
    if !dry.is_empty() {
        it.fill("Drying, °C", dry);
        it.fill("Minutes of drying", drying);
    }
}

fn returned(it: &mut Job) {
    it.at("2026-03-02T15:30:00Z", "Mon 2 Mar 16:30");
    it.open_move("Return to service");
    it.finish();
    it.screen.shows("Not noted [role]");
    it.screen.keys(ESC);
    it.screen.shows_no_more("Not noted");
    it.sign_in(LEAD);
    it.screen.keys("n");
    it.screen.shows("keep and close");
    it.note("return");
    assert_eq!(it.program.state("4N-02"), "monitoring");
    assert_eq!(it.program.open(), ["4N-01-A", "4N-02-A", "4N-02-B"]);
    it.sign_in(NURSE);
    it.go_to("bed A");
    it.screen.keys(ENTER);
    it.screen.shows(">1  A patient is in it");
    it.screen.keys(ENTER);
    it.screen.shows("keep and close");
    it.note("occupied");
    assert_eq!(it.program.open(), ["4N-01-A", "4N-02-B"]);
}

/// A room that somebody slept in proves more than an empty one: Cooper et al. 2015.
fn followed_up(it: &mut Job) {
    it.at("2026-03-16T10:00:00Z", "Mon 16 Mar 11:00");
    it.program.note("CN", "occupied 4N-02-A", &[]).done();
    it.screen.shows("11:00, under 1 min ago occupied: 4N-02-A");
    it.sign_in(KEEPER);
    it.open_move("Inspection");
    it.answer("Depth", "1");
    it.fill("Began", "10:40");
    it.go_to("bedding");
    it.answer_list("g");
    it.note("nothing seen");
    for day in ["03-29", "04-12", "04-26"] {
        it.program.at(&format!("2026-{day}T10:00:00Z"));
        it.program.note("CN", "occupied 4N-02-A", &[]).done();
        let inspect = it.program.task("4N-02", "follow-up inspection");
        let began = format!("2026-{day}T09:40:00Z");
        it.program.note("HK", &inspect, &["--began", &began, "--looked", "all"]).done();
    }
    it.at("2026-05-03T10:00:00Z", "Sun 3 May 12:00");
    it.sign_in(LEAD);
    it.open_move("Clear");
    it.note("clear");
    assert_eq!(it.program.state("4N-02"), "clear");
    it.program.run("check", &[]).done();
}

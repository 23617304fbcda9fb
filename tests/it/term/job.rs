//! The whole job by keys alone, on the smallest screen: from the finding to the return, and a follow-up.
//!
//! The hospital is set up by command line. Its clock is a file, which moves the screens and the command lines alike.

use std::fs;
use std::path::Path;

use super::hands::{KEEPER, LAUNDERER, LEAD, NURSE, OF_A_FORM, TECHNICIAN};
use super::screen::{ENTER, ESC, Screen};
use crate::cli::program::{Program, SPRAYED};

pub(super) struct Job {
    pub(super) program: Program,
    pub(super) screen: Screen,
}

impl Job {
    pub(super) fn start() -> Self {
        Self::start_in(|home, arguments, environment| Screen::start(80, 24, home, arguments, environment))
    }

    /// On a terminal that starts the program in a folder, with arguments and an environment.
    pub(super) fn start_in(terminal: impl FnOnce(&Path, &[&str], &[(&str, &str)]) -> Screen) -> Self {
        let program = Program::walked();
        fs::write(program.path("clock"), &program.now).expect("a clock");
        let ledger = program.path("ledger.ron");
        let environment = [("DRYHOLD_LEDGER", ledger.to_str().expect("a path in UTF-8"))];
        let screen = terminal(&program.path(""), &["--now", "@clock"], &environment);
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
    it.screen.keys("qqq");
    assert!(it.screen.left().restored);
}

pub(super) fn found_and_confirmed(it: &mut Job) {
    it.at("2026-03-02T09:00:00Z", "Mon 2 Mar 10:00");
    it.screen.sign_in(NURSE);
    it.screen.open_room("4N-02");
    it.screen.open_move("Finding");
    it.screen.go_to("mattress:");
    it.screen.keys("5");
    it.screen.note("suspect");
    assert_eq!(it.program.state("4N-02"), "suspect");
    it.at("2026-03-02T09:40:00Z", "Mon 2 Mar 10:40");
    it.screen.sign_in(KEEPER);
    it.screen.open_move("Inspection");
    it.screen.answer("Depth", "1");
    it.screen.fill("Began", "10:15");
    it.screen.go_to("bedding");
    it.screen.step(" ");
    it.screen.step("1");
    it.screen.answer_list(" ");
    it.screen.note("confirmed");
    assert_eq!(it.program.state("4N-02"), "confirmed");
}

pub(super) fn prepared_and_sprayed(it: &mut Job) {
    it.at("2026-03-02T10:00:00Z", "Mon 2 Mar 11:00");
    it.screen.sign_in(NURSE);
    it.screen.open_move("Patient moved");
    it.screen.go_to("bed 4N-02-A");
    it.screen.step(" ");
    it.screen.answer("Where to", "1");
    it.screen.fill("To bed", "4N-03");
    it.screen.answer("Washed", "1");
    it.screen.note("patient");
    assert_eq!(it.program.open(), ["4N-01-A"]);
    it.at("2026-03-02T10:20:00Z", "Mon 2 Mar 11:20");
    it.screen.sign_in(KEEPER);
    it.screen.open_move("Preparation");
    it.screen.answer_list(" ");
    it.screen.fill("Bags", "B1, B2");
    it.screen.note("B1");
    it.at("2026-03-02T11:30:00Z", "Mon 2 Mar 12:30");
    it.screen.sign_in(TECHNICIAN);
    it.screen.open_move("Spray");
    it.screen.answer("Product", "1");
    it.screen.go_to("mattress:");
    for _ in SPRAYED {
        it.screen.step(" ");
    }
    it.screen.fill("Started", "12:00");
    it.screen.fill("Finished", "12:20");
    it.screen.fill("Bags", "none");
    it.screen.answer("Patient inside", "2");
    it.screen.fill("Amount", "900");
    it.screen.note("spray");
    assert_eq!(it.program.state("4N-02"), "treated-wet");
}

pub(super) fn dried(it: &mut Job) {
    it.at("2026-03-02T11:35:00Z", "Mon 2 Mar 12:35");
    it.screen.sign_in(KEEPER);
    it.screen.open_move("Zone done another way");
    it.screen.answer_list(" ");
    it.screen.answer("Method", "2");
    // Somebody works in a room that is wet: asked once more.
    it.screen.finish();
    it.screen.shows("Once more");
    it.screen.reads();
    it.screen.keys("y");
    it.screen.shows("Noted, entry");
    it.at("2026-03-02T12:40:00Z", "Mon 2 Mar 13:40");
    it.screen.open_move("Dry check");
    it.screen.go_to("mattress:");
    it.screen.step("2");
    it.screen.answer_list("1");
    it.screen.fill("Ventilation", "window open");
    it.screen.note("damp");
    assert_eq!(it.program.state("4N-02"), "treated-wet", "one damp zone keeps the room wet");
    it.at("2026-03-02T13:50:00Z", "Mon 2 Mar 14:50");
    it.screen.open_move("Dry check");
    it.screen.go_to("mattress:");
    it.screen.answer_list("1");
    it.screen.fill("Ventilation", "window open");
    it.screen.note("dry");
    assert_eq!(it.program.state("4N-02"), "treated-dry");
}

pub(super) fn laundered_and_made(it: &mut Job) {
    it.at("2026-03-02T14:00:00Z", "Mon 2 Mar 15:00");
    it.screen.sign_in(LAUNDERER);
    it.screen.open_move("bag B1");
    launder(it, ["58", "20", "", ""]);
    it.screen.finish();
    it.screen.shows("Note a load that does not settle bag B1?");
    it.screen.reads();
    it.screen.keys("y");
    it.screen.shows("bag B1 stays outstanding");
    it.at("2026-03-02T15:00:00Z", "Mon 2 Mar 16:00");
    for bag in ["bag B1", "bag B2"] {
        it.screen.open_move(bag);
        launder(it, ["75", "30", "75", "45"]);
        it.screen.note(bag);
    }
    it.screen.sign_in(KEEPER);
    it.screen.open_move("Soft seating vacuumed");
    it.screen.answer_list(" ");
    it.screen.note("vacuumed");
    for (bed, bag) in [("4N-02-A", "B1"), ("4N-02-B", "B2")] {
        it.screen.open_move("Bed made");
        it.screen.shows(&format!("Bed made: {bed}"));
        it.screen.fill("From bags", bag);
        it.screen.note(bed);
    }
    assert_eq!(it.program.open(), ["4N-01-A"], "no bed opens before the return is signed");
}

/// 71 degrees C for 25 min: CDC, MMWR 52(RR-10), 2003. Over 40 degrees C in the dryer for 30 min: Naylor & Boase 2010.
fn launder(it: &mut Job, [wash, minutes, dry, drying]: [&str; 4]) {
    it.screen.fill("Wash, °C", wash);
    it.screen.fill("Minutes at", minutes);
    it.screen.answer("Detergent", "1");
    if !dry.is_empty() {
        it.screen.fill("Drying, °C", dry);
        it.screen.fill("Minutes of drying", drying);
    }
}

pub(super) fn returned(it: &mut Job) {
    it.at("2026-03-02T15:30:00Z", "Mon 2 Mar 16:30");
    it.screen.open_move("Return to service");
    it.screen.finish();
    it.screen.shows("Not noted [role]");
    it.screen.keys(ESC);
    it.screen.shows_no_more("Not noted");
    it.screen.sign_in(LEAD);
    it.screen.keys("n");
    it.screen.shows(OF_A_FORM);
    it.screen.note("return");
    assert_eq!(it.program.state("4N-02"), "monitoring");
    assert_eq!(it.program.open(), ["4N-01-A", "4N-02-A", "4N-02-B"]);
    it.screen.sign_in(NURSE);
    it.screen.go_to("bed A");
    it.screen.keys(ENTER);
    it.screen.shows(">1  A patient is in it");
    it.screen.keys(ENTER);
    it.screen.shows(OF_A_FORM);
    it.screen.note("occupied");
    assert_eq!(it.program.open(), ["4N-01-A", "4N-02-B"]);
}

/// A room that somebody slept in proves more than an empty one: Cooper et al. 2015.
fn followed_up(it: &mut Job) {
    it.at("2026-03-16T10:00:00Z", "Mon 16 Mar 11:00");
    it.program.note("CN", "occupied 4N-02-A", &[]).done();
    it.screen.keys("5");
    it.screen.shows("35 11:00      now CN");
    it.screen.open_room("4N-02");
    it.screen.sign_in(KEEPER);
    it.screen.open_move("Inspection");
    it.screen.answer("Depth", "1");
    it.screen.fill("Began", "10:40");
    it.screen.go_to("bedding");
    it.screen.answer_list(" ");
    it.screen.note("nothing seen");
    for day in ["03-29", "04-12", "04-26"] {
        it.program.at(&format!("2026-{day}T10:00:00Z"));
        it.program.note("CN", "occupied 4N-02-A", &[]).done();
        let inspect = it.program.task("4N-02", "follow-up inspection");
        let began = format!("2026-{day}T09:40:00Z");
        it.program.note("HK", &inspect, &["--began", &began, "--looked", "all"]).done();
    }
    it.at("2026-05-03T10:00:00Z", "Sun 3 May 12:00");
    it.screen.sign_in(LEAD);
    it.screen.open_move("Clear");
    it.screen.note("clear");
    assert_eq!(it.program.state("4N-02"), "clear");
    it.program.run("check", &[]).done();
}

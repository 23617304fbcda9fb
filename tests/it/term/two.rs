//! Two people at two terminals on one ledger: each sees what the other noted, and neither's entry is lost.

use std::fs;
use std::time::{Duration, Instant};

use super::hands::{LEAD, NURSE, OF_A_FORM};
use super::screen::{ENTER, F2, Screen};
use crate::cli::program::Program;

/// A second is what is promised. A machine that is busy with other tests gets more.
const SEEN: Duration = Duration::from_secs(3);

struct Ward {
    program: Program,
    nurse: Screen,
    lead: Screen,
}

impl Ward {
    fn open() -> Self {
        let program = Program::walked();
        fs::write(program.path("clock"), &program.now).expect("a clock");
        let ledger = program.path("ledger.ron");
        let ledger = ledger.to_str().expect("a path in UTF-8");
        let start = |name, person| {
            let environment = [("DRYHOLD_LEDGER", ledger), ("DRYHOLD_TERMINAL", name)];
            let mut screen = Screen::start(80, 24, &program.path(""), &["--now", "@clock"], &environment);
            screen.shows("[1 Board]");
            screen.sign_in(person);
            screen
        };
        let (nurse, lead) = (start("station", NURSE), start("office", LEAD));
        Self { program, nurse, lead }
    }
}

/// Opens a finding of the open room, and answers it up to its end.
#[track_caller]
fn begin_finding(screen: &mut Screen) {
    screen.keys("b");
    screen.shows(OF_A_FORM);
    // Reported bites, with no place.
    screen.step("8");
    screen.keys(F2);
    screen.shows(">[ Note it ]");
}

/// Notes what was begun, and answers the entry's number.
#[track_caller]
fn end_finding(screen: &mut Screen) -> u64 {
    screen.keys(ENTER);
    screen.wait("the entry's number", |it| number_in(&it.contents()))
}

fn number_in(text: &str) -> Option<u64> {
    let (_, rest) = text.split_once("Noted, entry ")?;
    rest.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

/// Waits until the ledger's screen lists this entry, each line of which begins with its number.
#[track_caller]
fn lists(screen: &Screen, entry: u64) {
    let number = entry.to_string();
    screen.wait(&format!("entry {number}"), |it| {
        let text = it.contents();
        let mut firsts = text.lines().filter_map(|line| line.trim_start_matches(['>', ' ']).split(' ').next());
        firsts.any(|first| first == number).then_some(())
    });
}

#[test]
fn each_sees_what_the_other_noted() {
    let Ward { program: _program, mut nurse, mut lead } = Ward::open();
    let mut times: Vec<Duration> = vec![];
    for _ in 0..3 {
        times.push(time_to_see(&mut nurse, &mut lead));
        times.push(time_to_see(&mut lead, &mut nurse));
    }
    times.sort();
    assert!(times.get(times.len() / 2).is_some_and(|median| *median < SEEN), "{times:?}");
}

/// From the word that an entry is noted, on one screen, to its line on the other.
#[track_caller]
fn time_to_see(writer: &mut Screen, reader: &mut Screen) -> Duration {
    writer.keys("1");
    writer.shows("[1 Board]");
    reader.keys("5");
    reader.shows("[5 Ledger]");
    begin_finding(writer);
    let entry = end_finding(writer);
    let began = Instant::now();
    lists(reader, entry);
    began.elapsed()
}

#[test]
fn what_the_other_changed_meanwhile_stands_in_the_open_form() {
    let mut it = Ward::open();
    for screen in [&mut it.nurse, &mut it.lead] {
        screen.open_room("4N-02");
        screen.keys("b");
        screen.shows(OF_A_FORM);
    }
    it.nurse.step("8");
    it.nurse.note("reported bites");
    it.lead.shows("suspect");
    it.lead.step("4");
    it.lead.keys(F2);
    it.lead.shows("changed while this form was open");
    it.lead.shows("reported bites");
    // It asks once more; then the answer goes to where it was meant.
    let bytes = it.lead.bytes();
    it.lead.keys(ENTER);
    it.lead.frame_after(bytes);
    it.lead.shows(OF_A_FORM);
    it.lead.keys(ENTER);
    it.lead.shows("Noted, entry");
    it.lead.shows("cast skin");
}

#[test]
fn what_both_note_at_once_is_kept_twice() {
    let mut it = Ward::open();
    it.nurse.open_room("4N-02");
    it.lead.open_room("4N-03");
    for _ in 0..3 {
        begin_finding(&mut it.nurse);
        begin_finding(&mut it.lead);
        it.nurse.keys(ENTER);
        let by_lead = end_finding(&mut it.lead);
        let by_nurse = it.nurse.wait("the entry's number", |it| number_in(&it.contents()));
        assert_ne!(by_lead, by_nurse);
        for screen in [&mut it.nurse, &mut it.lead] {
            screen.keys("5");
            screen.shows("[5 Ledger]");
            lists(screen, by_lead);
            lists(screen, by_nurse);
        }
        it.nurse.open_room("4N-02");
        it.lead.open_room("4N-03");
    }
    assert_eq!(it.program.state("4N-02"), "suspect");
    assert_eq!(it.program.state("4N-03"), "suspect");
    it.program.run("check", &[]).done();
}

//! A logger's file in the form of a load: named, read, drawn with its verdicts, and taken over for the next bag of the load.

use std::fs;

use crossterm::event::KeyCode;
use dryhold::domain::entry::Body;
use dryhold::tui::Msg;
use dryhold::tui::look::{Look, Palette};

use super::check_picture;
use super::seat::Seat;

/// Two sensors, a reading each half minute of the demo's morning; the colder one held 71.5 °C.
const LOAD: &str = "tests/it/tui/load.csv";

fn at_the_load(columns: u16, lines: u16, room: &str) -> Seat {
    let mut it = Seat::demo(columns, lines);
    it.signs_in("LD");
    it.keys(&format!("/{room}\nmbag laundered\n"));
    it.shows("Bag laundered: ");
    it
}

/// Behind "more" stands the file, first of what few are asked.
fn to_the_file(it: &mut Seat) {
    it.key(KeyCode::F(2));
    it.shows("[ More: Logger's file, ");
    it.key(KeyCode::Down);
    it.keys("\n");
    assert!(it.line().contains("Logger's file"), "{}", it.picture());
}

fn names_the_file(it: &mut Seat) {
    to_the_file(it);
    it.tell(Msg::Paste(LOAD.to_owned()));
    it.keys("\n");
    it.shows("read: 52 min, 2 sensors, hottest 74 °C");
    assert!(it.line().contains("Logger was in"), "{}", it.picture());
}

#[test]
fn a_loggers_file_is_read_drawn_and_settles_the_bag() {
    for (columns, lines) in [(80, 24), (160, 50)] {
        let mut it = at_the_load(columns, lines, "3N-03");
        names_the_file(&mut it);
        check_picture("form-trace-read", columns, lines, &it.picture());
        it.keys("10.5\n");
        it.key(KeyCode::F(2));
        it.shows("the bag stays out: hygiene not met: say whether there was detergent");
        for _ in 0..9 {
            it.key(KeyCode::Up);
        }
        while !it.line().contains("Detergent") {
            it.key(KeyCode::Up);
        }
        it.keys("1");
        it.key(KeyCode::F(2));
        it.shows("this load settles the bag");
        check_picture("form-trace", columns, lines, &it.picture());
        it.app.look = Look { palette: Palette::Mono, ascii: true };
        it.shows("   71|");
        assert!(it.picture().is_ascii(), "{}", it.picture());
        it.app.look = Look::default();
        it.keys("\n");
        it.shows("Noted, entry");
        let Body::Laundered { cycle, .. } = &it.desk.entries().last().expect("an entry").body else { panic!("a load") };
        let trace = cycle.trace.as_ref().expect("a trace");
        assert_eq!((trace.sensors.len(), trace.seconds, trace.uncertainty_decikelvin), (2, 3120, Some(5)));
    }
}

#[test]
fn the_next_bag_of_the_load_takes_the_trace_over_and_is_asked_nothing() {
    let mut it = at_the_load(80, 24, "3N-03");
    names_the_file(&mut it);
    it.keys("10.5\n");
    while !it.line().contains("Detergent") {
        it.key(KeyCode::Up);
    }
    it.keys("1");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    let first = it.desk.entries().last().expect("an entry").clone();
    it.keys("mbag laundered\n");
    it.shows("by logger");
    it.key(KeyCode::Right);
    it.shows(&format!("[entry {} ", first.number));
    it.key(KeyCode::F(2));
    it.shows("this load settles the bag");
    it.keys("\n");
    it.shows("Noted, entry");
    let traces = it.desk.entries().iter().rev().take(2).map(|entry| match &entry.body {
        Body::Laundered { bag, cycle, .. } => (*bag, cycle.trace.clone()),
        other => panic!("{other:?}"),
    });
    let traces: Vec<_> = traces.collect();
    assert!(traces[0].0 != traces[1].0 && traces[0].1 == traces[1].1, "{traces:?}");
}

#[test]
fn the_same_file_named_anew_is_asked_about_once_more() {
    let mut it = at_the_load(80, 24, "3N-03");
    for asked in [false, true] {
        if asked {
            it.keys("mbag laundered\n");
        }
        names_the_file(&mut it);
        it.keys("10.5\n");
        while !it.line().contains("Detergent") {
            it.key(KeyCode::Up);
        }
        it.keys("1");
        it.key(KeyCode::F(2));
        it.keys("\n");
        if asked {
            it.shows("has the trace of the same file, for bag");
            it.keys("y");
        }
        it.shows("Noted, entry");
    }
}

#[test]
fn a_file_that_cannot_be_used_stands_in_the_form_with_what_to_do() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("hot.csv");
    fs::write(&path, "time,drum\n14:00:00,75\n14:00:30,75\n").expect("a file");
    let mut it = at_the_load(160, 50, "3N-03");
    to_the_file(&mut it);
    it.tell(Msg::Paste("tests/it/tui/none.csv".to_owned()));
    it.keys("\n");
    it.shows("cannot be read");
    it.shows("there are load.csv");
    assert!(it.line().contains("Logger's file"), "it is asked again: {}", it.picture());
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows_no("Noted, entry");
    // What the command line calls by its option has the form's own name here.
    while !it.line().contains("Logger's file") {
        it.key(KeyCode::Up);
    }
    for _ in 0..30 {
        it.key(KeyCode::Backspace);
    }
    it.tell(Msg::Paste(path.display().to_string()));
    it.keys("\n");
    it.shows("it could be °C or °F");
    it.shows("say “Degrees in file”");
    it.shows_no("--unit");
    while !it.line().contains("Degrees in file") {
        it.key(KeyCode::Down);
    }
    it.keys("1");
    it.shows("read: 0 min, 1 sensor, hottest 75 °C");
}

/// A trace of the day before: the form says before it is noted that the bag stays out, and noting it is refused.
#[test]
fn a_trace_that_cannot_be_of_this_load_settles_nothing_on_the_screen() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("old.csv");
    let rows: String =
        (0..=80).map(|half| format!("2026-06-08 10:{:02}:{:02},75\n", half / 2, half % 2 * 30)).collect();
    fs::write(&path, format!("time,drum (°C)\n{rows}")).expect("a trace");
    let mut it = at_the_load(160, 50, "3N-03");
    let before = it.desk.entries().len();
    to_the_file(&mut it);
    it.tell(Msg::Paste(path.to_string_lossy().into_owned()));
    it.keys("\n");
    it.keys("10.5\n");
    while !it.line().contains("Detergent") {
        it.key(KeyCode::Up);
    }
    it.keys("1");
    it.key(KeyCode::F(2));
    it.shows("the bag stays out: the trace ends at 2026-06-08 10:40");
    it.shows_no("this load settles the bag");
    it.keys("\n");
    it.shows("the trace ends at 2026-06-08 10:40");
    it.shows_no("Noted, entry");
    assert_eq!(it.desk.entries().len(), before);
}

/// The dryer's logger of the same load: read, drawn while one is at it, told with its machine, and kept.
#[test]
fn the_other_machines_file_is_read_and_drawn_as_well() {
    let folder = tempfile::tempdir().expect("a folder");
    let dryer = folder.path().join("dryer.csv");
    let rows: String = (0..=80).map(|half| format!("10:{:02}:{:02},55\n", half / 2, half % 2 * 30)).collect();
    fs::write(&dryer, format!("time,drum (°C)\n{rows}")).expect("a trace");
    let mut it = at_the_load(160, 50, "3N-03");
    names_the_file(&mut it);
    it.keys("10.5\n");
    while !it.line().contains("Other machine's file") {
        it.key(KeyCode::Down);
    }
    it.tell(Msg::Paste(dryer.to_string_lossy().into_owned()));
    it.keys("\n");
    it.shows("read: 40 min, 1 sensor, hottest 55 °C");
    assert!(it.line().contains("Its logger ±"), "{}", it.picture());
    it.keys("1");
    it.key(KeyCode::F(2));
    it.shows("washer, us-cdc, this hospital's rule");
    it.shows("dryer, insects-dryer");
    it.shows("dryer, the logger's file has no dates");
    while !it.line().contains("Detergent") {
        it.key(KeyCode::Up);
    }
    it.keys("1");
    it.key(KeyCode::F(2));
    it.keys("\n");
    it.shows("Noted, entry");
    let Body::Laundered { cycle, .. } = &it.desk.entries().last().expect("an entry").body else { panic!("a load") };
    let kept: Vec<_> = cycle.traces().map(|it| (it.machine.word(), it.seconds, it.uncertainty_decikelvin)).collect();
    assert_eq!(kept, [("washer", 3120, Some(5)), ("dryer", 2400, Some(10))]);
}

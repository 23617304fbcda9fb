//! What the program does when nobody asks anything of it: nothing that can be measured. And what it costs when somebody does.

use std::fs;
use std::time::Duration;

use super::screen::{DOWN, LEFT, RIGHT, Screen, UP, processor};
use super::{demo, home};

/// How often the process has written to anything: proc_pid_io(5).
fn writes(process: u32) -> usize {
    let text = fs::read_to_string(format!("/proc/{process}/io")).expect("its accounts");
    let line = text.lines().find_map(|line| line.strip_prefix("syscw: "));
    line.and_then(|number| number.parse().ok()).expect("a number of writes")
}

/// The promise is a thousandth of a core; five times that is allowed here, for a build that is not the fastest.
#[test]
fn idle_it_sends_nothing_and_uses_no_processor_time_to_speak_of() {
    let home = home();
    let screen = Screen::start(80, 24, home.path(), &["--now", "2026-06-10T09:30:00Z", "demo"], &[]);
    screen.shows("[1 Board]");
    screen.is_quiet_for(Duration::from_secs(1));
    let (bytes, before) = (screen.bytes(), processor(screen.process()));
    let watched = Duration::from_secs(4);
    screen.is_quiet_for(watched);
    let used = processor(screen.process()) - before;
    assert_eq!(screen.bytes(), bytes);
    assert!(used < watched / 200, "{used:?} in {watched:?}");
}

#[test]
fn a_frame_is_one_write_and_a_key_that_changes_nothing_none() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.is_quiet_for(Duration::from_millis(100));
    let (bytes, before) = (screen.bytes(), writes(screen.process()));
    for key in [RIGHT, LEFT].into_iter().cycle().take(20) {
        let bytes = screen.bytes();
        screen.keys(key);
        screen.frame_after(bytes);
    }
    screen.keys("2");
    screen.shows("[2 Beds]");
    assert_eq!(writes(screen.process()) - before, screen.frames_since(bytes));
    // The first of the list already.
    screen.keys("\x1b[H");
    screen.is_quiet_for(Duration::from_millis(100));
    let (bytes, before) = (screen.bytes(), writes(screen.process()));
    for _ in 0..5 {
        screen.keys(UP);
        screen.is_quiet_for(Duration::from_millis(50));
    }
    assert_eq!((screen.bytes(), writes(screen.process())), (bytes, before));
}

#[test]
fn five_hundred_waiting_keys_are_a_few_frames() {
    let home = home();
    let mut screen = demo(&home, &[]);
    screen.keys("5");
    screen.shows("[5 Ledger]");
    let bytes = screen.bytes();
    screen.keys(&DOWN.repeat(500));
    // What the last key does is seen: it comes after all of them.
    screen.keys("1");
    screen.shows("[1 Board]");
    let frames = screen.frames_since(bytes);
    assert!(frames <= 20, "{frames} frames");
}

#[test]
fn the_clock_is_right_to_the_minute() {
    let home = home();
    let clock = home.path().join("clock");
    fs::write(&clock, "2026-06-10T09:30:59.900Z").expect("a clock");
    let mut screen = Screen::start(80, 24, home.path(), &["--now", "@clock", "demo"], &[]);
    screen.shows("Wed 10 Jun ");
    let before = minute(&screen);
    assert_eq!(before % 60, 30);
    // A clock is replaced, not written over: what reads it meanwhile finds one or the other.
    let next = home.path().join("next");
    fs::write(&next, "2026-06-10T09:31:00Z").expect("a clock");
    fs::rename(&next, &clock).expect("a clock");
    screen.wait("the next minute", |it| (minute_of(&it.contents()) == Some(before + 1)).then_some(()));
    screen.keys("qq");
    assert!(screen.left().restored);
}

#[track_caller]
fn minute(screen: &Screen) -> u32 {
    screen.wait("a clock", |it| minute_of(&it.contents()))
}

/// The minute of the day that stands at the end of the first line.
fn minute_of(text: &str) -> Option<u32> {
    let (hours, minutes) = text.lines().next()?.trim_end().rsplit(' ').next()?.split_once(':')?;
    Some(hours.parse::<u32>().ok()? * 60 + minutes.parse::<u32>().ok()?)
}

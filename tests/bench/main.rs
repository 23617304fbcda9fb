//! Measurements, run by hand with `cargo bench`; nothing here asserts a time.
//!
//! `cargo bench -- sums` measures the sums of science alone. Each line is a median. Times are the processor's own for this thread where the system tells them, else by the wall, so that
//! a busy machine disturbs little; what waits for the disk is always by the wall.
#![expect(clippy::unwrap_used, reason = "a measurement that cannot be set up ends")]

mod hospital;
mod sums;
mod terminal;

use std::fs::{self, OpenOptions};
use std::hint::black_box;
use std::io::Write as _;
use std::time::{Duration, Instant};

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::demo;
use dryhold::domain::board::Board;
use dryhold::domain::entry::{Body, Entry, Time};
use dryhold::ledger::{Appended, Header, Ledger, create};
use dryhold::tui::look::Look;
use dryhold::tui::{App, Msg, World, paint, update};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

const ENTRIES: usize = 1_000_000;
const ROOMS: usize = 2_000;

fn main() {
    sums::sums();
    if std::env::args().any(|it| it == "sums") {
        return;
    }
    // Before anything large is in memory: starting a program copies the tables of all that its parent holds.
    on_a_terminal(&hospital::entries(ROOMS, 10_000));
    let entries = hospital::entries(ROOMS, ENTRIES);
    let (fold, board) = once(|| Board::fold(&entries));
    assert_eq!(board.problems(), [], "every entry of the history counts");
    show(&format!("fold of {} entries", entries.len()), fold);
    let last = entries.last().unwrap();
    for (what, target) in [("the newest return", last), ("the oldest spray", hospital::first_spray(&entries))] {
        let void = hospital::void(&entries, target);
        show(&format!("void of {what} in it"), median(9, || timed(board.clone(), |mut copy| copy.apply(&void))));
    }
    drop((board, fold));
    let busy = hospital::busy_entries(ROOMS, ENTRIES);
    let (fold, board) = once(|| Board::fold(&busy));
    assert_eq!(board.problems(), [], "every entry of the history counts");
    let is_late = |entry: &&Entry| entry.happened < entry.noted;
    let late = busy.iter().filter(is_late).count();
    let moves = busy.iter().filter(|entry| matches!(entry.body, Body::ThingLeft { .. })).count();
    show(&format!("fold of {} entries, {late} late, {moves} moves", busy.len()), fold);
    drop((board, busy));
    append(entries.get(..ROOMS).unwrap());
    first_frame();
    let few = entries.iter().take(hospital::settings(ROOMS) + ROOMS * hospital::CYCLE).cloned().collect::<Vec<_>>();
    key_to_frame(&few);
    frames(&few);
}

fn show(what: &str, time: Duration) {
    println!("{what:<44} {:>12.3} ms", time.as_secs_f64() * 1000.0);
}

/// Processor time of this thread so far, where the system tells it.
fn processor() -> Option<Duration> {
    let text = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(Duration::from_nanos(text.split_whitespace().next()?.parse().ok()?))
}

fn once<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let (began, before) = (Instant::now(), processor());
    let done = work();
    let by_wall = began.elapsed();
    (processor().zip(before).map_or(by_wall, |(after, before)| after - before), done)
}

/// The wall time of something too short for the processor's own count.
fn timed<A, T>(given: A, work: impl FnOnce(A) -> T) -> Duration {
    let began = Instant::now();
    black_box(work(given));
    began.elapsed()
}

fn median(times: usize, mut measure: impl FnMut() -> Duration) -> Duration {
    let mut all: Vec<Duration> = (0..times).map(|_| measure()).collect();
    all.sort();
    *all.get(times / 2).unwrap()
}

/// An entry into the ledger, beside the bare writing and syncing of a line as long.
fn append(entries: &[Entry]) {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let path = folder.path().join("ledger.ron");
    let (set_up, more) = entries.split_at(100);
    create(&path, &Header::new(chrono_tz::UTC, true).unwrap(), set_up).unwrap();
    let (mut ledger, _) = Ledger::open(&path).unwrap();
    let before = fs::metadata(&path).unwrap().len();
    let mut next = more.iter().take(101);
    let kept = median(101, || {
        let entry = next.next().unwrap().clone();
        timed(entry, |entry| match ledger.append::<()>(|_| Ok(entry)).unwrap() {
            Appended::Done(entry) => entry,
            _ => panic!("it was not kept"),
        })
    });
    let length = (fs::metadata(&path).unwrap().len() - before) / 101;
    let line = "x".repeat(length as usize);
    let mut bare = OpenOptions::new().create(true).append(true).open(folder.path().join("bare")).unwrap();
    let plain = median(101, || {
        timed((), |()| {
            bare.write_all(line.as_bytes()).unwrap();
            bare.sync_data().unwrap();
        })
    });
    show("append of one entry, synced (by the wall)", kept);
    show("bare write and sync of as much (by the wall)", plain);
}

fn with_world<T>(board: &Board, now: Time, look: impl FnOnce(&World<'_>) -> T) -> T {
    let timeline = |_| vec![];
    look(&World::of(board, now, &[], &timeline))
}

fn first_frame() {
    let now = hospital::beginning();
    let entries = demo::entries(now, chrono_tz::UTC).unwrap();
    let area = Rect::new(0, 0, 120, 40);
    let frame = median(21, || {
        timed((), |()| {
            let board = Board::new().in_zone(chrono_tz::UTC);
            let board = entries.iter().fold(board, |mut board, entry| {
                board.apply(entry);
                board
            });
            with_world(&board, now, |world| {
                let app = App::new(Look::default(), area.width, area.height, None, world);
                let mut buffer = Buffer::empty(area);
                paint(&app, area, &mut buffer);
                buffer
            })
        })
    });
    show(&format!("first frame of the demo, {} entries", entries.len()), frame);
}

/// On every screen, and when every room was just sprayed: that is when most is due and most bags are out.
fn key_to_frame(entries: &[Entry]) {
    let sprayed = hospital::settings(ROOMS) + ROOMS * 3;
    for (when, entries) in [("at rest", entries), ("all sprayed", entries.get(..sprayed).unwrap())] {
        let board = Board::fold(entries);
        let now = entries.last().unwrap().noted;
        let area = Rect::new(0, 0, 120, 40);
        let timeline = |_| vec![];
        let world = World::of(&board, now, entries, &timeline);
        let (opening, mut app) = once(|| App::new(Look::default(), area.width, area.height, None, &world));
        show(&format!("the screens of {ROOMS} rooms, made anew, {when}"), opening);
        for (screen, name) in ('1'..='6').zip(["Board", "Beds", "Tasks", "Bags", "Ledger", "Rules"]) {
            let press = |app: &mut App, code| {
                black_box(update(app, &world, Msg::Key(KeyEvent::new(code, KeyModifiers::NONE))));
                let mut buffer = Buffer::empty(area);
                paint(app, area, &mut buffer);
                black_box(buffer);
            };
            press(&mut app, KeyCode::Char(screen));
            let mut keys =
                [KeyCode::Down, KeyCode::Right, KeyCode::Down, KeyCode::Left, KeyCode::Up].into_iter().cycle();
            let each = 50;
            let batch = median(9, || {
                let (all, ()) = once(|| (0..each).for_each(|_| press(&mut app, keys.next().unwrap())));
                all / each
            });
            show(&format!("key to frame, {name}, {when}"), batch);
        }
    }
}

fn frames(entries: &[Entry]) {
    let board = Board::fold(entries);
    let now = entries.last().unwrap().noted;
    for (columns, lines) in [(80, 24), (200, 60), (400, 100)] {
        with_world(&board, now, |world| {
            let app = App::new(Look::default(), columns, lines, None, world);
            let area = Rect::new(0, 0, columns, lines);
            let each = 100;
            let frame = median(9, || {
                let (all, ()) = once(|| {
                    for _ in 0..each {
                        let mut buffer = Buffer::empty(area);
                        paint(&app, area, &mut buffer);
                        black_box(buffer);
                    }
                });
                all / each
            });
            show(&format!("a frame of {columns}x{lines} at {ROOMS} rooms"), frame);
        });
    }
}

/// By the wall, all of it.
fn on_a_terminal(entries: &[Entry]) {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let home = folder.path();
    let demo = median(21, || terminal::first_frame(home, &["demo"]));
    show("start to first frame, the demo", demo);
    let ledger = terminal::ledger(home, entries);
    let last = entries.last().unwrap();
    let set = last.noted.to_rfc3339();
    let opened = median(21, || terminal::first_frame(home, &["--ledger", &ledger, "--now", &set]));
    show(&format!("start to first frame, {} entries", entries.len()), opened);
    let mut times = terminal::seen_by_another(home, &ledger, last, 20);
    let seen = median(times.len(), || times.pop().unwrap());
    show("an entry to its frame on another terminal", seen);
    let watched = Duration::from_secs(10);
    let idle = terminal::idle(home, &ledger, &set, watched);
    show("processor time of 10 s in which nobody asks", idle);
}

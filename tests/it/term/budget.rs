//! What a frame costs, in bytes and in time. At a slow connection a byte is time, and a board of two thousand rooms is to
//! answer a key at once.

use std::fs;
use std::hint::black_box;
use std::time::Duration;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::demo;
use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::entry::{Body, Entry, Known, Number, Place, Sighting, Sign, Time};
use dryhold::tui::look::{Look, Palette};
use dryhold::tui::sink::{Frames, Quiet};
use dryhold::tui::{App, Msg, World, paint, update};
use ratatui::Terminal;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};

use super::hospital::{ROOMS, entries};

/// Times are promised of a released program, on a machine of its own. Tests are built otherwise and do not run alone.
const LENIENT: u32 = 5;

const PALETTES: [Palette; 4] = [Palette::Mono, Palette::Sixteen, Palette::Light, Palette::Dark];

/// A board with its entries, looked at.
struct Looked {
    board: Board,
    entries: Vec<Entry>,
    now: Time,
}

impl Looked {
    fn demo() -> Self {
        let now: Time = "2026-06-10T09:30:00Z".parse().expect("a time");
        let entries = demo::entries(now, chrono_tz::UTC).expect("a demo");
        Self { board: Board::fold(&entries), entries, now }
    }

    fn two_thousand_rooms() -> Self {
        let entries = entries(ROOMS, 10_000);
        let now = entries.last().expect("an entry").noted;
        Self { board: Board::fold(&entries), entries, now }
    }

    fn with<T>(&self, look: impl FnOnce(&World<'_>) -> T) -> T {
        let timeline = |_: Code| vec![];
        let (board, entries, now) = (&self.board, self.entries.as_slice(), self.now);
        look(&World::of(board, now, entries, &timeline))
    }

    /// A finding in this room, noted by whoever noted the last entry.
    fn find(&mut self, room: &str) {
        let mut entry = self.entries.last().expect("an entry").clone();
        entry.number = Number(entry.number.0 + 1);
        entry.command.0 += 1;
        entry.place = Place::room(Code::new(room).expect("a code"));
        let seen = vec![Sighting { sign: Sign::ReportedBites, zone: None }];
        entry.body = Body::Finding { seen, wiped_before: Known::Unknown, note: String::new() };
        self.board.apply(&entry);
        self.entries.push(entry);
    }
}

/// The terminal's side: counts what is sent to it.
struct Line {
    terminal: Terminal<Quiet>,
    frames: Frames,
}

impl Line {
    fn new(columns: u16, lines: u16) -> Self {
        let frames = Frames::default();
        let terminal = Terminal::new(Quiet::of_size(frames.clone(), Size::new(columns, lines))).expect("a terminal");
        Self { terminal, frames }
    }

    /// Bytes of the next frame.
    fn draw(&mut self, app: &App) -> usize {
        let drawn = self.terminal.draw(|frame| {
            let area = frame.area();
            if let Some(cursor) = paint(app, area, frame.buffer_mut()) {
                frame.set_cursor_position(cursor);
            }
        });
        drawn.expect("a frame");
        self.frames.send(&mut vec![]).expect("it is taken")
    }
}

fn press(app: &mut App, world: &World<'_>, code: KeyCode) {
    update(app, world, Msg::Key(KeyEvent::new(code, KeyModifiers::NONE)));
}

#[test]
fn a_whole_screen_is_at_most_eight_kilobytes() {
    let it = Looked::demo();
    for palette in PALETTES {
        it.with(|world| {
            let mut app = App::new(Look { palette, ascii: false }, 80, 24, None, world);
            for key in ['1', '2', '3', '4', '5', '6', ' ', '?'] {
                press(&mut app, world, KeyCode::Char(key));
                let bytes = Line::new(80, 24).draw(&app);
                assert!(bytes <= 8_000, "{palette:?} {key}: {bytes}");
            }
        });
    }
}

#[test]
fn a_step_of_the_choice_is_at_most_three_hundred_bytes() {
    for it in [Looked::demo(), Looked::two_thousand_rooms()] {
        for palette in PALETTES {
            it.with(|world| {
                let mut app = App::new(Look { palette, ascii: false }, 80, 24, None, world);
                let mut line = Line::new(80, 24);
                line.draw(&app);
                for key in [KeyCode::Right, KeyCode::Right, KeyCode::Left, KeyCode::Down, KeyCode::Up] {
                    press(&mut app, world, key);
                    let bytes = line.draw(&app);
                    assert!(bytes <= 300, "{palette:?} {key:?}: {bytes}");
                    assert_eq!(line.draw(&app), 0, "the same again");
                }
            });
        }
    }
}

/// The room, and what is counted beside it. The room is not the chosen one, which is told about in words as well.
#[test]
fn one_room_that_changes_is_at_most_a_hundred_and_fifty_bytes() {
    for palette in PALETTES {
        let mut it = Looked::demo();
        let mut app = it.with(|world| App::new(Look { palette, ascii: false }, 80, 24, None, world));
        let mut line = Line::new(80, 24);
        line.draw(&app);
        it.find("3N-05");
        it.with(|world| update(&mut app, world, Msg::Changed));
        let bytes = line.draw(&app);
        assert!((1..=150).contains(&bytes), "{palette:?}: {bytes}");
    }
}

/// Processor time of this thread so far: proc(5), schedstat. It does not grow while others are busy.
fn processor() -> Duration {
    let text = fs::read_to_string("/proc/thread-self/schedstat").expect("its accounts");
    Duration::from_nanos(text.split_whitespace().next().and_then(|it| it.parse().ok()).expect("a number"))
}

/// The median of several turns of several each: one turn is shorter than the system's count is fine.
fn median(mut turn: impl FnMut()) -> Duration {
    const EACH: u32 = 20;
    let mut times: Vec<Duration> = (0..9)
        .map(|_| {
            let before = processor();
            for _ in 0..EACH {
                turn();
            }
            (processor() - before) / EACH
        })
        .collect();
    times.sort();
    times.get(times.len() / 2).copied().expect("a median")
}

#[test]
fn a_frame_of_two_thousand_rooms_is_drawn_within_a_millisecond_or_three() {
    let it = Looked::two_thousand_rooms();
    for (columns, lines, promised) in [(200, 60, Duration::from_millis(1)), (400, 100, Duration::from_millis(3))] {
        it.with(|world| {
            let app = App::new(Look::default(), columns, lines, None, world);
            let area = Rect::new(0, 0, columns, lines);
            let took = median(|| {
                let mut buffer = Buffer::empty(area);
                paint(&app, area, &mut buffer);
                black_box(buffer);
            });
            assert!(took <= promised * LENIENT, "{columns}x{lines}: {took:?}");
        });
    }
}

#[test]
fn a_key_among_two_thousand_rooms_is_a_frame_within_two_milliseconds() {
    let it = Looked::two_thousand_rooms();
    it.with(|world| {
        let mut app = App::new(Look::default(), 120, 40, None, world);
        let mut line = Line::new(120, 40);
        line.draw(&app);
        for screen in ['1', '2', '3', '4', '5', '6'] {
            press(&mut app, world, KeyCode::Char(screen));
            let mut keys =
                [KeyCode::Down, KeyCode::Right, KeyCode::PageDown, KeyCode::Left, KeyCode::Up].into_iter().cycle();
            let took = median(|| {
                press(&mut app, world, keys.next().expect("a key"));
                black_box(line.draw(&app));
            });
            assert!(took <= Duration::from_millis(2) * LENIENT, "screen {screen}: {took:?}");
        }
    });
}

//! The screens without a terminal: at every size, as pictures kept in files, and against keys that nobody meant.

mod anywhere;
mod boards;
mod cut;
mod day;
mod forms;
mod keys;
mod large_room;
mod lists;
mod marks;
mod people;
mod readme;
mod room;
mod seat;
mod traced;
mod wall;

use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::demo;
use dryhold::desk::{Clock, Desk};
use dryhold::domain::code::Code;
use dryhold::domain::entry::{Entry, Time};
use dryhold::tui::look::Look;
use dryhold::tui::{Answer, App, Effect, Msg, World, answered, paint, update};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use tempfile::TempDir;

/// More than there are moves on the list of a room.
const MOVES: usize = 45;

struct Shown {
    app: App,
    desk: Desk,
    _folder: TempDir,
}

impl Shown {
    /// The demo at a fixed time, with its first person signed in.
    fn new(columns: u16, lines: u16) -> Self {
        let now: Time = "2026-06-10T09:30:00Z".parse().expect("a time");
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("demo.ron");
        demo::make(&path, now, chrono_tz::Europe::Berlin).expect("a demo");
        let desk = Desk::open_with(&path, Clock::Set(now), "test".to_owned(), None).expect("it opens");
        let person = desk.board().people().keys().next().copied();
        let app = with_world(&desk, |world| App::new(Look::default(), columns, lines, person, world));
        Self { app, desk, _folder: folder }
    }

    fn tell(&mut self, msg: Msg) -> Vec<Effect> {
        let app = &mut self.app;
        with_world(&self.desk, |world| update(app, world, msg))
    }

    fn answer(&mut self, answer: Answer) {
        let app = &mut self.app;
        with_world(&self.desk, |world| drop(answered(app, world, answer)));
    }

    fn press(&mut self, code: KeyCode) -> Vec<Effect> {
        self.tell(Msg::Key(KeyEvent::new(code, KeyModifiers::NONE)))
    }

    fn presses(&mut self, keys: &str) {
        for key in keys.chars() {
            self.press(if key == '\n' { KeyCode::Enter } else { KeyCode::Char(key) });
        }
    }

    /// The so-manieth move of the chosen room, opened from the list.
    fn open_move(&mut self, at: usize) {
        self.press(KeyCode::Char('m'));
        // What is for other roles is on the last line, until it is asked for.
        self.press(KeyCode::End);
        self.press(KeyCode::Enter);
        self.press(KeyCode::Home);
        for _ in 0..at {
            self.press(KeyCode::Down);
        }
        self.press(KeyCode::Enter);
    }

    fn buffer(&self) -> Buffer {
        buffer_of(&self.app)
    }

    fn picture(&self) -> String {
        picture_of(&self.app)
    }

    fn resized(&mut self, columns: u16, lines: u16) -> String {
        self.tell(Msg::Resized(columns, lines));
        self.picture()
    }

    /// At sizes that are too small, and back.
    #[track_caller]
    fn check_sizes(&mut self) {
        let before = self.picture();
        for (columns, lines) in [(1, 1), (20, 5), (79, 23), (300, 100), (80, 200), (400, 24)] {
            let text = self.resized(columns, lines);
            assert_eq!(text.lines().count(), usize::from(lines));
        }
        assert!(self.resized(79, 23).contains("needs 80 columns and 24 lines"));
        assert_eq!(self.resized(80, 24), before, "the size comes back, and so does the picture");
    }
}

fn buffer_of(app: &App) -> Buffer {
    let area = Rect::new(0, 0, app.width, app.height);
    let mut buffer = Buffer::empty(area);
    paint(app, area, &mut buffer);
    buffer
}

pub(crate) fn picture_of(app: &App) -> String {
    let buffer = buffer_of(app);
    let area = buffer.area;
    let mut text = String::new();
    for y in 0..area.height {
        let line: String = (0..area.width).filter_map(|x| buffer.cell((x, y))).map(|cell| cell.symbol()).collect();
        writeln!(text, "{}", line.trim_end()).expect("a line");
    }
    text
}

pub(crate) fn with_world<T>(desk: &Desk, look: impl FnOnce(&World<'_>) -> T) -> T {
    let timeline = |room: Code| desk.timeline(room).collect::<Vec<&Entry>>();
    let (board, now) = (desk.board(), desk.now());
    let entries = desk.entries();
    let not_kept = desk.not_kept().map(str::to_owned);
    look(&World { not_kept, ..World::of(board, now, entries, &timeline) })
}

#[test]
fn every_screen_and_every_form_can_be_of_any_size() {
    for keys in ["", "2", "3", "4", "5", "6", " ", "2\n", "4\n", "5\n", "6\n", "u", "b", "\n", "?", "m", "s", "/3", "n"]
    {
        let mut it = Shown::new(80, 24);
        it.presses(keys);
        it.check_sizes();
    }
    let mut it = Shown::new(80, 24);
    it.presses("/3N-03\n");
    for at in 0..MOVES {
        it.open_move(at);
        assert!(it.picture().contains("keep and close"), "{}", it.picture());
        it.check_sizes();
        it.press(KeyCode::Esc);
    }
}

/// Compared with the files beside this one; `UPDATE_PICTURES=1` writes them anew.
#[test]
fn the_screens_look_as_they_did() {
    let screens = [
        ("board", ""),
        ("beds", "2"),
        ("tasks", "3"),
        ("bags", "4"),
        ("ledger", "5"),
        ("entry", "5\n"),
        ("rules", "6"),
        ("settings", "6f"),
        ("methods", "6ff"),
        ("dryings", "6fff"),
        ("cautions", "6ffff"),
        ("room-clear", "/5N-05\n"),
        ("room-suspect", "/4N-12\n"),
        ("room-confirmed", "/3N-03\n"),
        ("room-wet", "/3N-07\n"),
        ("room-dry", "/3N-10\n"),
        ("room-monitoring", "/4N-05\n"),
        ("room-without-beds", "/3N-D\n"),
        ("form", "/3N-03\nn"),
        ("help", "?"),
    ];
    for (columns, lines) in [(80, 24), (160, 50)] {
        for (name, keys) in screens {
            let mut it = Shown::new(columns, lines);
            it.presses(keys);
            check_picture(name, columns, lines, &it.picture());
        }
    }
}

#[track_caller]
fn check_picture(name: &str, columns: u16, lines: u16, picture: &str) {
    let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "tests/it/tui/pictures"].iter().collect();
    let path = path.join(format!("{name}-{columns}x{lines}.txt"));
    if std::env::var_os("UPDATE_PICTURES").is_some() {
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(&path, picture).expect("a picture");
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == picture, "{name} at {columns}x{lines} is now\n{picture}");
}

/// What is pasted is text. It never reaches a form as keys: not its end, and not a question.
#[test]
fn a_paste_notes_nothing_and_answers_no_question() {
    let burst = "\r\n\r\nyY\r\n\t\u{1b}y\r\n";
    let mut it = Shown::new(80, 24);
    it.presses("/3N-03\n");
    for at in 0..MOVES {
        it.open_move(at);
        assert_eq!(it.tell(Msg::Paste(burst.to_owned())), []);
        it.press(KeyCode::F(2));
        assert_eq!(it.tell(Msg::Paste(burst.to_owned())), []);
        assert!(it.picture().contains("A paste goes only into a field of text."), "{}", it.picture());
        it.press(KeyCode::Esc);
    }
    it.press(KeyCode::Char('q'));
    it.press(KeyCode::Char('q'));
    assert!(it.picture().contains("Leave?"), "a draft is open: {}", it.picture());
    assert_eq!(it.tell(Msg::Paste(burst.to_owned())), []);
    assert_eq!(it.press(KeyCode::Enter), [], "Enter is no");
    assert!(!it.picture().contains("Leave?"), "{}", it.picture());
}

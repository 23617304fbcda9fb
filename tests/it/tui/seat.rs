//! A person at a terminal without a terminal: keys go to the screens, and what the screens want done is done at a real
//! desk, as the program's runner does it. Two seats may share one ledger.

use std::cell::Cell;
use std::fs;
use std::path::PathBuf;
use std::rc::Rc;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::demo;
use dryhold::desk::{Clock, Desk, Outcome, PinError};
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command;
use dryhold::domain::describe::sentence;
use dryhold::domain::entry::CommandId;
use dryhold::domain::moves::{self, Answers};
use dryhold::tui::look::Look;
use dryhold::tui::{Answer, App, Effect, Filed, Filing, Msg, Noted, Pin, answered, filed, paint, update};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use tempfile::TempDir;

use super::{picture_of, with_world};

pub(super) const NOW: &str = "2026-06-10T09:30:00Z";

pub(super) fn code(text: &str) -> Code {
    Code::new(text).expect("a code")
}

pub(super) struct Seat {
    pub(super) app: App,
    pub(super) desk: Desk,
    pub(super) quit: bool,
    folder: Rc<TempDir>,
    ids: Rc<Cell<u64>>,
}

impl Seat {
    /// The demo's hospital at half past eleven by its clock, with nobody signed in.
    pub(super) fn demo(columns: u16, lines: u16) -> Self {
        let folder = Rc::new(tempfile::tempdir().expect("a folder"));
        let now = NOW.parse().expect("a time");
        demo::make(&folder.path().join("demo.ron"), now, chrono_tz::Europe::Berlin).expect("a demo");
        fs::write(folder.path().join("clock"), NOW).expect("a clock");
        Self::sits(folder, Rc::new(Cell::new(0)), columns, lines)
    }

    /// Another terminal of the same user, on the same ledger.
    pub(super) fn beside(&self) -> Self {
        Self::sits(Rc::clone(&self.folder), Rc::clone(&self.ids), self.app.width, self.app.height)
    }

    fn sits(folder: Rc<TempDir>, ids: Rc<Cell<u64>>, columns: u16, lines: u16) -> Self {
        let path = folder.path().join("demo.ron");
        let clock = Clock::set(&format!("@{}", folder.path().join("clock").display())).expect("a clock");
        let desk =
            Desk::open_with(&path, clock, "test".to_owned(), Some(folder.path().join("state"))).expect("it opens");
        let mut app = with_world(&desk, |world| App::new(Look::default(), columns, lines, None, world));
        app.keeps_drafts = desk.keeps_drafts();
        Self { app, desk, quit: false, folder, ids }
    }

    /// Another folder for what this user keeps: as if on another computer.
    pub(super) fn state_folder(&self) -> PathBuf {
        self.folder.path().join("state")
    }

    pub(super) fn at(&mut self, now: &str) {
        fs::write(self.folder.path().join("clock"), now).expect("a clock");
        self.tell(Msg::Changed);
    }

    /// What others wrote is taken in, as the runner does twice a second.
    pub(super) fn follows(&mut self) {
        self.desk.follow();
        self.tell(Msg::Changed);
    }

    fn id(&self) -> CommandId {
        self.ids.set(self.ids.get() + 1);
        CommandId(1_000_000 + self.ids.get())
    }

    pub(super) fn tell(&mut self, msg: Msg) {
        let app = &mut self.app;
        let effects = with_world(&self.desk, |world| update(app, world, msg));
        for effect in effects {
            let answer = match effect {
                Effect::Quit => {
                    self.quit = true;
                    return;
                }
                Effect::Redraw => continue,
                Effect::File(filing) => {
                    self.file(filing);
                    continue;
                }
                Effect::CheckPin { person, pin, then } => {
                    let answer = match self.desk.check_pin(person, pin.as_deref()) {
                        Ok(()) => Pin::Right,
                        Err(PinError::Wrong(_)) => Pin::Wrong,
                        Err(PinError::Wanted(_)) => Pin::Wanted,
                        Err(wait @ PinError::TooSoon(_)) => Pin::Wait(wait.to_string()),
                        Err(fault) => Pin::Fault(fault.to_string()),
                    };
                    Answer::PinChecked { person, answer, then }
                }
                Effect::ReadTrace(asked) => {
                    let read = self.desk.logged(&asked).map(Box::new);
                    Answer::TraceRead { asked, read }
                }
                Effect::Note { wanted, person } => {
                    let mut command = Command::new(self.id(), wanted.place.clone(), wanted.body.clone());
                    (command.happened, command.done_by) = (wanted.happened, wanted.done_by);
                    (command.sheet, command.future_is_meant) = (wanted.sheet, wanted.future_is_meant);
                    Answer::Noted(match self.desk.note(&command, person) {
                        Outcome::Done(entry) => {
                            Noted::Done { number: entry.number, sentence: sentence(&entry, self.desk.board()) }
                        }
                        Outcome::Refused(refusal) => Noted::Refused(Box::new(refusal)),
                        Outcome::Unsure(error) => Noted::Unsure(error.to_string()),
                        Outcome::Failed(error) => Noted::Failed(error.to_string()),
                    })
                }
            };
            self.answer(answer);
        }
    }

    pub(super) fn answer(&mut self, answer: Answer) {
        let app = &mut self.app;
        let filings = with_world(&self.desk, |world| answered(app, world, answer));
        filings.into_iter().for_each(|filing| self.file(filing));
    }

    fn file(&mut self, filing: Filing) {
        let what = match filing {
            Filing::Keep { person, text } => match self.desk.keep_drafts(person, &text) {
                Ok(()) => Filed::Well,
                Err(error) => Filed::NotKept(error.to_string()),
            },
            Filing::Recall { person } => match self.desk.drafts(person) {
                Some(text) => Filed::Recalled { person, text },
                None => Filed::Well,
            },
        };
        let app = &mut self.app;
        with_world(&self.desk, |world| filed(app, world, what));
    }

    pub(super) fn key(&mut self, code: KeyCode) {
        self.tell(Msg::Key(KeyEvent::new(code, KeyModifiers::NONE)));
    }

    /// Characters as keys; a line break is Enter.
    pub(super) fn keys(&mut self, keys: &str) {
        for key in keys.chars() {
            self.key(if key == '\n' { KeyCode::Enter } else { KeyCode::Char(key) });
        }
    }

    pub(super) fn control(&mut self, letter: char) {
        self.tell(Msg::Key(KeyEvent::new(KeyCode::Char(letter), KeyModifiers::CONTROL)));
    }

    #[track_caller]
    pub(super) fn signs_in(&mut self, initials: &str) {
        self.keys("s");
        self.keys(&initials.to_lowercase());
        self.keys("\n");
        assert_eq!(self.app.person, Some(code(initials)), "{}", self.picture());
    }

    /// Somebody notes something elsewhere, by typed answers.
    #[track_caller]
    pub(super) fn notes(&mut self, who: &str, verb: &str, target: &str, answers: &[(&str, &str)]) {
        let mut all = Answers::new();
        for (field, answer) in answers {
            all.add(field, answer);
        }
        let mv = moves::find(verb).expect("a move");
        let (place, body) =
            moves::build(mv, target, &all, self.desk.board(), self.desk.now()).expect("answers that are understood");
        let command = Command::new(self.id(), place, body);
        match self.desk.note(&command, code(who)) {
            Outcome::Done(_) => self.tell(Msg::Changed),
            other => panic!("{verb} {target}: {other:?}"),
        }
    }

    pub(super) fn picture(&self) -> String {
        picture_of(&self.app)
    }

    #[track_caller]
    pub(super) fn shows(&self, text: &str) {
        assert!(self.picture().contains(text), "no “{text}”:\n{}", self.picture());
    }

    #[track_caller]
    pub(super) fn shows_no(&self, text: &str) {
        assert!(!self.picture().contains(text), "“{text}”:\n{}", self.picture());
    }

    /// Everything that stands above the line that the keys act on: another line is chosen if that is another.
    pub(super) fn chosen(&self) -> Vec<String> {
        let picture = self.picture();
        let area = Rect::new(0, 0, self.app.width, self.app.height);
        let y = paint(&self.app, area, &mut Buffer::empty(area)).map_or(0, |at| usize::from(at.y));
        let unmarked = |line: &str| line.split(']').next_back().unwrap_or_default().to_owned();
        picture.lines().take(y + 1).skip(1).map(unmarked).collect()
    }

    /// The line that is marked as chosen.
    pub(super) fn line(&self) -> String {
        let picture = self.picture();
        let chosen = |line: &&str| line.starts_with('>') || line.contains("│>");
        picture.lines().rev().find(chosen).unwrap_or_default().to_owned()
    }
}

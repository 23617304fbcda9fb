//! Running the screens: what comes in goes to [`update`], what it wants done is done at the desk, then one frame is drawn.
//!
//! It waits; it does not poll the terminal. Twice a second it asks the ledger's file whether others wrote, and the system
//! whether the terminal is still there and of what size; once a minute the ages move on. Without a cause no frame is drawn,
//! and a frame that changed nothing sends nothing.

use std::io;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::{Duration, Instant};

use chrono::Timelike;
use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};
use ratatui::Terminal;
use ratatui::layout::Size;

use super::app::App;
use super::arrivals::{Arrival, listen};
use super::draw::paint;
use super::form::Wanted;
use super::look::Look;
use super::person::ALONE_MINUTES;
use super::sink::{Frames, Quiet, Whole};
use super::terminal::{Guard, restore_on_panic};
use super::update::{Answer, Effect, Filed, Filing, Msg, Noted, Pin, answered, filed, update};
use super::world::World;
use crate::desk::{Desk, Outcome, PinError, Standing, new_command_id};
use crate::domain::code::Code;
use crate::domain::decide::Command;
use crate::domain::describe::sentence;
use crate::domain::entry::{CommandId, Entry, Time};
use crate::domain::remarks::remarks;

/// A key that follows sooner on what was shown was pressed before it was read. Quicker than a person who reads, slower than
/// a key that bounces, a paste that arrives as keys, or Enter pressed twice.
const READING: Duration = Duration::from_millis(250);

/// Letters follow each other this fast while somebody types; a key that is meant for the screen comes later.
const STILL_TYPING: Duration = Duration::from_millis(350);
/// Esc so soon after a letter is pressed by hands that type.
const JUST_TYPED: Duration = Duration::from_millis(800);
/// How long a page of the wall stays: long enough to be read, short enough to be waited for.
const PAGE_TURNS: Duration = Duration::from_secs(16);

/// How often the ledger's file is asked whether others wrote.
const FOLLOW: Duration = Duration::from_millis(500);

/// How the screens shall look, and for whom.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    pub look: Look,
    /// Who says to sit here. Whoever has set a PIN is asked for it first.
    pub person: Option<Code>,
    /// Show the page for a wall at once.
    pub wall: bool,
}

#[derive(Debug, thiserror::Error)]
pub enum TuiError {
    #[error("the terminal cannot be used: {0}")]
    Terminal(#[from] io::Error),
    #[error("the terminal went away: {0}")]
    Gone(String),
}

/// Why the screens are over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// Somebody left them.
    ByKey,
    /// A signal of this number ended them.
    BySignal(i32),
}

/// Shows the board until somebody leaves. The terminal is given back on every way out.
pub fn run(mut desk: Desk, options: Options) -> Result<Left, TuiError> {
    restore_on_panic();
    // First: a signal that comes while the terminal is taken must find somebody who gives it back.
    let arrivals = listen()?;
    let guard = Guard::enter()?;
    let frames = Frames::default();
    let terminal = Terminal::new(Quiet::new(frames.clone()))?;
    let size = terminal.size()?;
    let has_pin = options.person.filter(|person| desk.wants_pin(*person));
    let person = options.person.filter(|_| has_pin.is_none());
    let mut app = with_world(&desk, |world| App::new(options.look, size.width, size.height, person, world));
    if options.wall {
        with_world(&desk, |world| app.show_wall(world));
    }
    if let Some(person) = has_pin {
        app.ask_pin(person);
    }
    let shown_at = desk.now();
    let now = Instant::now();
    let mut runner = Runner {
        desk,
        app,
        terminal,
        frames,
        guard,
        shown_at,
        unsure: None,
        stale: true,
        pressed: now,
        read_since: None,
        typed: None,
        typing_until: None,
    };
    runner.app.keeps_drafts = runner.desk.keeps_drafts();
    if let Some(person) = person {
        runner.file(Filing::Recall { person });
    }
    runner.draw()?;
    runner.work(&arrivals)
}

struct Runner {
    desk: Desk,
    app: App,
    terminal: Terminal<Quiet>,
    frames: Frames,
    guard: Guard,
    /// The time for which the screen was last worked out.
    shown_at: Time,
    /// A command that may or may not have been kept: tried again under the same id.
    unsure: Option<(Wanted, CommandId)>,
    /// Something came in since the last frame.
    stale: bool,
    /// When a key was pressed last.
    pressed: Instant,
    /// The line on which one key would note or sign something, and since when it is on the screen.
    read_since: Option<(String, Instant)>,
    /// When the last letter of a text was typed, and until when letters after Esc are still taken for that text's.
    typed: Option<Instant>,
    typing_until: Option<Instant>,
}

fn with_world<T>(desk: &Desk, look: impl FnOnce(&World<'_>) -> T) -> T {
    let timeline = |room: Code| desk.timeline(room).collect::<Vec<&Entry>>();
    // On a line of the screen the folder would take the place of what is wrong.
    let short = |text: String| match desk.path().file_name() {
        Some(name) => text.replace(&*desk.path().to_string_lossy(), &name.to_string_lossy()),
        None => text,
    };
    let trouble = match desk.standing() {
        Standing::Whole => desk.board().distrust().map(str::to_owned),
        Standing::ReadOnly(why) => Some(format!("this ledger can only be looked at here: {why}")),
        Standing::Untrusted(why) => Some(why.clone()),
    };
    let trouble = trouble.map(short);
    let world = World {
        board: desk.board(),
        now: desk.now(),
        entries: desk.entries(),
        timeline: &timeline,
        closed: desk.board().distrust().is_some(),
        trouble,
        clock: desk.clock_question(),
        not_kept: desk.not_kept().map(str::to_owned),
        rehearsal: desk.header().rehearsal,
    };
    look(&world)
}

impl Runner {
    fn work(&mut self, arrivals: &Receiver<Arrival>) -> Result<Left, TuiError> {
        let mut followed = Instant::now();
        let mut turned = Instant::now();
        loop {
            let wait = FOLLOW.saturating_sub(followed.elapsed());
            let mut next = match arrivals.recv_timeout(wait) {
                Ok(arrival) => Some(arrival),
                Err(RecvTimeoutError::Timeout) => None,
                Err(RecvTimeoutError::Disconnected) => {
                    return Err(TuiError::Gone("nothing can be read from it".to_owned()));
                }
            };
            // Everything that waits is taken in before one frame is drawn.
            while let Some(arrival) = next.take() {
                if let Some(left) = self.arrived(arrival)? {
                    return Ok(left);
                }
                next = arrivals.try_recv().ok();
            }
            if followed.elapsed() >= FOLLOW {
                followed = Instant::now();
                let changed = self.desk.follow();
                if changed || self.minute_passed() {
                    self.tell(Msg::Changed)?;
                }
                if self.app.is_wall() && turned.elapsed() >= PAGE_TURNS && self.pressed.elapsed() >= PAGE_TURNS {
                    turned = Instant::now();
                    self.tell(Msg::Turn)?;
                }
                if self.app.person.is_some() && self.pressed.elapsed() >= Duration::from_mins(ALONE_MINUTES) {
                    self.tell(Msg::Alone)?;
                }
            }
            self.fit()?;
            self.draw()?;
        }
    }

    fn minute_passed(&mut self) -> bool {
        let now = self.desk.now();
        let minute = |time: Time| time.with_second(0).and_then(|time| time.with_nanosecond(0));
        minute(now) != minute(self.shown_at)
    }

    /// Whether this is a letter of a text that was just left: Esc came too early, or by mistake, and the hands went on. What
    /// was meant as text must sign nobody in and open nothing.
    fn typed_on(&mut self, key: &KeyEvent, at: Instant) -> bool {
        let is_letter = matches!(key.code, KeyCode::Char(_)) && !key.modifiers.contains(KeyModifiers::CONTROL);
        if is_letter && self.typing_until.is_some_and(|until| at < until) {
            self.typing_until = Some(at + STILL_TYPING);
            return true;
        }
        let typing = self.app.is_typing();
        self.typing_until = match (typing, key.code) {
            (true, KeyCode::Esc) => self.typed.filter(|typed| at < *typed + JUST_TYPED).map(|_| at + STILL_TYPING),
            _ => None,
        };
        if typing && is_letter {
            self.typed = Some(at);
        }
        false
    }

    /// Whether the screens are over.
    fn arrived(&mut self, arrival: Arrival) -> Result<Option<Left>, TuiError> {
        let leaves = match arrival {
            Arrival::Input(Event::Key(key), at) => {
                self.pressed = at;
                if self.typed_on(&key, at) {
                    let said = "You typed on after leaving the text: nothing was done with it.".to_owned();
                    return self.tell(Msg::Say(said)).map(|leaves| leaves.then_some(Left::ByKey));
                }
                match (self.app.final_line(), &self.read_since) {
                    (None, _) => self.tell(Msg::Key(key)),
                    (Some(line), Some((shown, since))) if line == *shown => match at >= *since + READING {
                        true => self.tell(Msg::Key(key)),
                        false => {
                            let seen = at >= *since;
                            self.tell(Msg::Early { key, seen })
                        }
                    },
                    _ => self.tell(Msg::Early { key, seen: false }),
                }
            }
            Arrival::Input(Event::Paste(text), _) => self.tell(Msg::Paste(text)),
            // A change of size is seen before each frame, told of or not.
            Arrival::Input(..) => Ok(false),
            Arrival::InputEnded(why) => {
                self.tell(Msg::Ending)?;
                Err(TuiError::Gone(why))
            }
            Arrival::Terminate(signal) => {
                self.tell(Msg::Ending)?;
                return Ok(Some(Left::BySignal(signal)));
            }
            Arrival::Stop => {
                self.guard.suspend()?;
                self.redraw()?;
                Ok(false)
            }
            Arrival::Continued => {
                self.guard.retake()?;
                self.redraw()?;
                Ok(false)
            }
        };
        leaves.map(|leaves| leaves.then_some(Left::ByKey))
    }

    /// Hands a message to the screens, and does what they want done. True: leave.
    ///
    /// What an effect comes to wants at most something filed, and what filing comes to wants nothing: by their types neither
    /// can bring about another message, so that no failure goes round.
    fn tell(&mut self, msg: Msg) -> Result<bool, TuiError> {
        self.stale = true;
        if matches!(msg, Msg::Changed) {
            self.shown_at = self.desk.now();
        }
        let app = &mut self.app;
        let effects = with_world(&self.desk, |world| update(app, world, msg));
        for effect in effects {
            let answer = match effect {
                Effect::Quit => return Ok(true),
                Effect::Redraw => {
                    self.redraw()?;
                    continue;
                }
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
                Effect::Note { wanted, person } => Answer::Noted(self.note(*wanted, person)),
            };
            let app = &mut self.app;
            let filings = with_world(&self.desk, |world| answered(app, world, answer));
            filings.into_iter().for_each(|filing| self.file(filing));
        }
        Ok(false)
    }

    fn file(&mut self, filing: Filing) {
        self.stale = true;
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

    fn note(&mut self, wanted: Wanted, person: Code) -> Noted {
        // Until it is known whether it was kept, the same thing is the same command.
        let id = match &self.unsure {
            Some((before, id)) if *before == wanted => *id,
            _ => match new_command_id() {
                Ok(id) => id,
                Err(error) => return Noted::Failed(error.to_string()),
            },
        };
        let mut command = Command::new(id, wanted.place.clone(), wanted.body.clone());
        command.happened = wanted.happened;
        command.done_by = wanted.done_by;
        command.sheet = wanted.sheet;
        command.future_is_meant = wanted.future_is_meant;
        match self.desk.note(&command, person) {
            Outcome::Done(entry) => {
                self.unsure = None;
                // What it did not do comes first: the line is cut where the screen ends.
                let mut said: Vec<String> = remarks(&entry, self.desk.board(), self.desk.entries());
                said.push(sentence(&entry, self.desk.board()));
                Noted::Done { number: entry.number, sentence: said.join("; ") }
            }
            Outcome::Refused(refusal) => {
                self.unsure = None;
                Noted::Refused(Box::new(refusal))
            }
            Outcome::Unsure(error) => {
                self.unsure = Some((wanted, id));
                Noted::Unsure(error.to_string())
            }
            Outcome::Failed(error) => Noted::Failed(error.to_string()),
        }
    }

    /// The size may have changed without a word of it arriving.
    fn fit(&mut self) -> Result<(), TuiError> {
        let size = self.terminal.size()?;
        if (size.width, size.height) != (self.app.width, self.app.height) {
            self.tell(Msg::Resized(size.width, size.height))?;
        }
        Ok(())
    }

    /// Everything again, without asking the terminal anything.
    fn redraw(&mut self) -> Result<(), TuiError> {
        self.stale = true;
        let Size { width, height } = self.terminal.size()?;
        self.terminal.backend_mut().forget();
        self.terminal.resize(ratatui::layout::Rect::new(0, 0, width, height))?;
        Ok(())
    }

    fn draw(&mut self) -> Result<(), TuiError> {
        if !std::mem::take(&mut self.stale) {
            return Ok(());
        }
        let app = &self.app;
        self.terminal.draw(|frame| {
            let area = frame.area();
            if let Some(cursor) = paint(app, area, frame.buffer_mut()) {
                frame.set_cursor_position(cursor);
            }
        })?;
        // Before it is sent: whoever sees the frame sees it after this.
        let line = self.app.final_line();
        if line.as_ref() != self.read_since.as_ref().map(|(line, _)| line) {
            self.read_since = line.map(|line| (line, Instant::now()));
        }
        self.frames.send(&mut Whole)?;
        Ok(())
    }
}

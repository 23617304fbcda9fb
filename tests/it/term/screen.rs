//! The real program in a pseudo-terminal, with an emulator that shows what a person would see.
//!
//! Nothing is answered that the program might ask the terminal. A test waits for what it wants to see; it never sleeps.

use std::io::{Read as _, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// For a machine that is busy with other tests; nothing here takes a tenth of it.
const PATIENCE: Duration = Duration::from_secs(10);

pub(super) const UP: &str = "\x1b[A";
pub(super) const DOWN: &str = "\x1b[B";
pub(super) const RIGHT: &str = "\x1b[C";
pub(super) const F2: &str = "\x1bOQ";
pub(super) const ENTER: &str = "\r";
pub(super) const ERASE: &str = "\x7f";
pub(super) const ESC: &str = "\x1b";

/// With this a frame is whole; what stands before it may be half of one.
const FRAME_ENDS: &[u8] = b"\x1b[?2026l";

struct Seen {
    emulator: vt100::Parser,
    raw: Vec<u8>,
    ended: bool,
}

pub(super) struct Screen {
    seen: Arc<(Mutex<Seen>, Condvar)>,
    keyboard: Box<dyn Write + Send>,
    program: Box<dyn Child + Send + Sync>,
    terminal: Box<dyn MasterPty + Send>,
}

/// What was left behind when the program had ended.
pub(super) struct Left {
    pub(super) status: ExitStatus,
    pub(super) text: String,
    pub(super) raw: String,
    /// The terminal is as it was found: the first screen, the cursor, pastes unmarked, echo and line editing.
    pub(super) restored: bool,
}

fn count(number: u16) -> NonZeroU16 {
    NonZeroU16::new(number).expect("a screen has lines and columns")
}

fn pty_size(lines: u16, columns: u16) -> PtySize {
    PtySize { rows: lines, cols: columns, pixel_width: 0, pixel_height: 0 }
}

/// A test that failed while it looked must not hide behind the next one's lock.
fn lock(seen: &Mutex<Seen>) -> MutexGuard<'_, Seen> {
    seen.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Screen {
    /// Starts the program in `home` on a terminal of so many columns and lines, with nothing else in its environment.
    pub(super) fn start(
        columns: u16,
        lines: u16,
        home: &Path,
        arguments: &[&str],
        environment: &[(&str, &str)],
    ) -> Self {
        let pair = native_pty_system().openpty(pty_size(lines, columns)).expect("a pseudo-terminal");
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_dryhold"));
        command.env_clear();
        command.cwd(home);
        command.env("HOME", home);
        command.env("TMPDIR", home);
        for (name, value) in
            [("TERM", "xterm-256color"), ("LANG", "C.UTF-8"), ("TZ", "UTC"), ("DRYHOLD_TERMINAL", "test")]
        {
            command.env(name, value);
        }
        for (name, value) in environment {
            command.env(name, value);
        }
        command.args(arguments);
        let mut output = pair.master.try_clone_reader().expect("its output");
        let keyboard = pair.master.take_writer().expect("its input");
        let emulator = vt100::Parser::new(count(lines), count(columns), 0);
        let seen = Arc::new((Mutex::new(Seen { emulator, raw: vec![], ended: false }), Condvar::new()));
        let shared = Arc::clone(&seen);
        thread::spawn(move || {
            let mut bytes = vec![0; 65_536];
            loop {
                let read = output.read(&mut bytes).unwrap_or(0);
                let mut seen = lock(&shared.0);
                // On Linux the end of the last program is an input error.
                seen.ended = read == 0;
                seen.emulator.process(&bytes[..read]);
                seen.raw.extend_from_slice(&bytes[..read]);
                shared.1.notify_all();
                if read == 0 {
                    return;
                }
            }
        });
        let program = pair.slave.spawn_command(command).expect("the program starts");
        // As long as it is held here, its end would not be seen.
        drop(pair.slave);
        Self { seen, keyboard, program, terminal: pair.master }
    }

    #[track_caller]
    pub(super) fn keys(&mut self, keys: &str) {
        self.keyboard.write_all(keys.as_bytes()).expect("a key");
        self.keyboard.flush().expect("a key");
    }

    /// Changes the size of the terminal, as a window manager does.
    pub(super) fn resize(&self, columns: u16, lines: u16) {
        lock(&self.seen.0).emulator.screen_mut().set_size(count(lines), count(columns));
        self.terminal.resize(pty_size(lines, columns)).expect("another size");
    }

    #[track_caller]
    pub(super) fn signal(&self, name: &str) {
        let number = self.program.process_id().expect("it runs").to_string();
        let sent = std::process::Command::new("kill").args(["-s", name, &number]).status().expect("kill");
        assert!(sent.success());
    }

    /// Waits until `wanted` finds what it looks for.
    #[track_caller]
    pub(super) fn wait<T>(&self, what: &str, wanted: impl Fn(&vt100::Screen) -> Option<T>) -> T {
        let last = Instant::now() + PATIENCE;
        let mut seen = lock(&self.seen.0);
        loop {
            if seen.raw.ends_with(FRAME_ENDS)
                && let Some(found) = wanted(seen.emulator.screen())
            {
                return found;
            }
            let now = Instant::now();
            if now >= last || seen.ended {
                let (text, ended) = (seen.emulator.screen().contents(), seen.ended);
                drop(seen);
                panic!("waited for {what} (ended: {ended}):\n{text}");
            }
            seen = self.seen.1.wait_timeout(seen, last - now).unwrap_or_else(PoisonError::into_inner).0;
        }
    }

    #[track_caller]
    pub(super) fn shows(&self, text: &str) {
        self.wait(&format!("“{text}”"), |screen| screen.contents().contains(text).then_some(()));
    }

    #[track_caller]
    pub(super) fn shows_no_more(&self, text: &str) {
        self.wait(&format!("“{text}” to go"), |screen| (!screen.contents().contains(text)).then_some(()));
    }

    pub(super) fn text(&self) -> String {
        lock(&self.seen.0).emulator.screen().contents()
    }

    /// The line that the keys act on: the cursor stands in it.
    #[track_caller]
    pub(super) fn line(&self) -> String {
        self.wait("a line", |screen| Some(line_of(screen)))
    }

    /// Waits until the line that the keys act on says this.
    #[track_caller]
    pub(super) fn on_line(&self, text: &str) {
        self.wait(&format!("“{text}” on the line"), |screen| line_of(screen).contains(text).then_some(()));
    }

    /// Presses a key that moves, and waits until the line that the keys act on is another.
    #[track_caller]
    pub(super) fn step(&mut self, keys: &str) -> String {
        let place = |screen: &vt100::Screen| (screen.cursor_position().0, line_of(screen));
        let before = self.wait("a line", |screen| Some(place(screen)));
        self.keys(keys);
        self.wait("another line", |screen| Some(place(screen)).filter(|it| *it != before)).1
    }

    /// Waits for the program's end.
    #[track_caller]
    pub(super) fn left(mut self) -> Left {
        let last = Instant::now() + PATIENCE;
        let mut seen = lock(&self.seen.0);
        while !seen.ended {
            let now = Instant::now();
            if now >= last {
                let text = seen.emulator.screen().contents();
                drop(seen);
                panic!("it did not end:\n{text}");
            }
            seen = self.seen.1.wait_timeout(seen, last - now).unwrap_or_else(PoisonError::into_inner).0;
        }
        let screen = seen.emulator.screen();
        let edits = self
            .terminal
            .get_termios()
            .is_some_and(|modes| modes.local_flags.bits() & ECHO_AND_LINES == ECHO_AND_LINES);
        let restored = edits && !screen.alternate_screen() && !screen.hide_cursor() && !screen.bracketed_paste();
        let (text, raw) = (screen.contents(), String::from_utf8_lossy(&seen.raw).into_owned());
        drop(seen);
        Left { status: self.program.wait().expect("its status"), text, raw, restored }
    }
}

fn line_of(screen: &vt100::Screen) -> String {
    let (line, _) = screen.cursor_position();
    let (_, columns) = screen.size();
    screen.contents_between(line, 0, line, columns.get())
}

/// ECHO and ICANON of termios(3) on Linux.
const ECHO_AND_LINES: u32 = 0o10 | 0o2;

impl Drop for Screen {
    fn drop(&mut self) {
        // A test that failed leaves no program behind; one that ended is not there to be stopped.
        let _ = self.program.kill();
    }
}

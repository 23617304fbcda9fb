//! The real program in a pseudo-terminal, with an emulator that shows what a person would see.
//!
//! Nothing is answered that the program might ask the terminal. A test waits for what it wants to see; it never sleeps.

use std::io::{Read as _, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError, mpsc};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// For a machine that is busy with other tests; nothing here takes a tenth of it.
const PATIENCE: Duration = Duration::from_secs(30);

const PROGRAM: &str = env!("CARGO_BIN_EXE_dryhold");

/// A little longer than the program wants a signature to have been on the screen.
const READING: Duration = Duration::from_millis(300);

pub(super) const UP: &str = "\x1b[A";
pub(super) const DOWN: &str = "\x1b[B";
pub(super) const RIGHT: &str = "\x1b[C";
pub(super) const LEFT: &str = "\x1b[D";
pub(super) const HOME: &str = "\x1b[H";
pub(super) const END: &str = "\x1b[F";
pub(super) const F2: &str = "\x1bOQ";
pub(super) const ENTER: &str = "\r";
pub(super) const ERASE: &str = "\x7f";
pub(super) const ESC: &str = "\x1b";

/// Between these two lies a frame, and a new one is only begun when the last is whole.
const FRAME_BEGINS: &str = "\x1b[?2026h";
pub(super) const FRAME_ENDS: &[u8] = b"\x1b[?2026l";

struct Seen {
    emulator: vt100::Parser,
    raw: Vec<u8>,
    ended: bool,
    closing: bool,
}

pub(super) struct Screen {
    seen: Arc<(Mutex<Seen>, Condvar)>,
    keyboard: Box<dyn Write + Send>,
    program: Running,
    terminal: Box<dyn MasterPty + Send>,
    reader: JoinHandle<()>,
}

struct Running(Box<dyn Child + Send + Sync>);

/// The program in `home`, and nothing else in its environment.
fn command(program: &str, home: &Path, environment: &[(&str, &str)]) -> CommandBuilder {
    let mut command = CommandBuilder::new(program);
    command.env_clear();
    command.cwd(home);
    command.env("HOME", home);
    command.env("TMPDIR", home);
    let usual = [("TERM", "xterm-256color"), ("LANG", "C.UTF-8"), ("TZ", "UTC"), ("DRYHOLD_TERMINAL", "test")];
    for (name, value) in usual.iter().chain(environment) {
        command.env(name, value);
    }
    command
}

/// What was left behind when the program had ended.
pub(super) struct Left {
    pub(super) status: ExitStatus,
    pub(super) text: String,
    pub(super) raw: String,
    /// The terminal is as it was found: the first screen, the cursor, pastes unmarked, echo and line editing.
    pub(super) restored: bool,
}

/// Shows a screen what another emulator shows.
pub(super) struct Eye(Arc<(Mutex<Seen>, Condvar)>);

impl Eye {
    /// What the program has sent, and the picture that the other emulator made of it, where one is whole.
    pub(super) fn show(&self, sent: &[u8], picture: &[u8]) {
        let mut seen = lock(&self.0.0);
        seen.emulator.process(picture);
        seen.raw.extend_from_slice(sent);
        self.0.1.notify_all();
    }
}

/// Another program, which finds the real one's path in `DRYHOLD`.
fn other(program: &str, arguments: &[&str], home: &Path, environment: &[(&str, &str)]) -> CommandBuilder {
    let mut command = command(program, home, environment);
    command.env("DRYHOLD", PROGRAM);
    command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    command.args(arguments);
    command
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
    /// No columns and no lines: the terminal does not know its size.
    pub(super) fn start(
        columns: u16,
        lines: u16,
        home: &Path,
        arguments: &[&str],
        environment: &[(&str, &str)],
    ) -> Self {
        let mut command = command(PROGRAM, home, environment);
        command.args(arguments);
        Self::run(columns, lines, command, true)
    }

    /// Starts another program on the terminal, such as a shell, which finds the real one's path in `DRYHOLD`.
    pub(super) fn start_other(program: &str, arguments: &[&str], home: &Path, environment: &[(&str, &str)]) -> Self {
        Self::run(80, 24, other(program, arguments, home, environment), true)
    }

    /// The same where what is seen comes from elsewhere, and only the keyboard is here: another emulator.
    pub(super) fn start_elsewhere(
        program: &str,
        arguments: &[&str],
        home: &Path,
        environment: &[(&str, &str)],
    ) -> (Self, Eye) {
        let screen = Self::run(80, 24, other(program, arguments, home, environment), false);
        let eye = Eye(Arc::clone(&screen.seen));
        (screen, eye)
    }

    fn run(columns: u16, lines: u16, command: CommandBuilder, looks: bool) -> Self {
        let pair = native_pty_system().openpty(pty_size(lines, columns)).expect("a pseudo-terminal");
        let mut output = pair.master.try_clone_reader().expect("its output");
        let keyboard = pair.master.take_writer().expect("its input");
        let (lines, columns) = if (lines, columns) == (0, 0) { (24, 80) } else { (lines, columns) };
        let emulator = vt100::Parser::new(count(lines), count(columns), 0);
        let seen = Seen { emulator, raw: vec![], ended: false, closing: false };
        let seen = Arc::new((Mutex::new(seen), Condvar::new()));
        let shared = Arc::clone(&seen);
        let reader = thread::spawn(move || {
            let mut bytes = vec![0; 65_536];
            loop {
                let read = output.read(&mut bytes).unwrap_or(0);
                let mut seen = lock(&shared.0);
                // On Linux the end of the last program is an input error.
                seen.ended = read == 0;
                if looks {
                    seen.emulator.process(&bytes[..read]);
                    seen.raw.extend_from_slice(&bytes[..read]);
                }
                shared.1.notify_all();
                if read == 0 || seen.closing {
                    return;
                }
            }
        });
        let program = Running(pair.slave.spawn_command(command).expect("the program starts"));
        // As long as it is held here, its end would not be seen.
        drop(pair.slave);
        Self { seen, keyboard, program, terminal: pair.master, reader }
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
        signal(self.process(), name);
    }

    /// The number of the process that was started here.
    #[track_caller]
    pub(super) fn process(&self) -> u32 {
        self.program.0.process_id().expect("it runs")
    }

    /// The name of the terminal's device.
    pub(super) fn device(&self) -> std::path::PathBuf {
        self.terminal.tty_name().expect("a pseudo-terminal has a name")
    }

    /// Waits until `wanted` finds what it looks for in a whole frame.
    #[track_caller]
    pub(super) fn wait<T>(&self, what: &str, wanted: impl Fn(&vt100::Screen) -> Option<T>) -> T {
        self.wait_for(what, |seen| if seen.raw.ends_with(FRAME_ENDS) { wanted(seen.emulator.screen()) } else { None })
    }

    /// Waits for what another program than ours says, or ours without a screen.
    #[track_caller]
    pub(super) fn says(&self, text: &str) {
        self.wait_for(&format!("“{text}” said"), |seen| {
            seen.emulator.screen().contents().contains(text).then_some(())
        });
    }

    /// Waits until this is all that stands in the cursor's line: a prompt.
    #[track_caller]
    pub(super) fn prompts(&self, text: &str) {
        self.wait_for(&format!("the prompt “{text}”"), |seen| {
            (line_of(seen.emulator.screen()) == text).then_some(())
        });
    }

    /// Waits until the terminal is as it was found, as far as it can be seen from outside.
    #[track_caller]
    pub(super) fn is_given_back(&self) {
        self.wait_for("the terminal given back", |seen| (edits(&*self.terminal) && is_plain(seen)).then_some(()));
    }

    /// Waits for the next frame after so many bytes, and answers how many came until it was whole.
    #[track_caller]
    pub(super) fn frame_after(&self, bytes: usize) -> usize {
        self.wait_for("another frame", |seen| {
            (seen.raw.len() > bytes && seen.raw.ends_with(FRAME_ENDS)).then(|| seen.raw.len() - bytes)
        })
    }

    /// How many bytes the program has sent so far.
    pub(super) fn bytes(&self) -> usize {
        lock(&self.seen.0).raw.len()
    }

    /// How many frames the program has sent since so many bytes.
    pub(super) fn frames_since(&self, bytes: usize) -> usize {
        let seen = lock(&self.seen.0);
        String::from_utf8_lossy(seen.raw.get(bytes..).unwrap_or_default()).matches(FRAME_BEGINS).count()
    }

    /// Waits until nothing has come for so long.
    #[track_caller]
    pub(super) fn is_quiet_for(&self, time: Duration) {
        let last = Instant::now() + PATIENCE + time;
        let mut seen = lock(&self.seen.0);
        let (mut bytes, mut since) = (seen.raw.len(), Instant::now());
        while since.elapsed() < time {
            assert!(Instant::now() < last, "it is never quiet");
            let left = time.saturating_sub(since.elapsed());
            seen = self.seen.1.wait_timeout(seen, left).unwrap_or_else(PoisonError::into_inner).0;
            if seen.raw.len() != bytes {
                (bytes, since) = (seen.raw.len(), Instant::now());
            }
        }
    }

    #[track_caller]
    fn wait_for<T>(&self, what: &str, wanted: impl Fn(&Seen) -> Option<T>) -> T {
        let last = Instant::now() + PATIENCE;
        let mut seen = lock(&self.seen.0);
        loop {
            if let Some(found) = wanted(&seen) {
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

    /// Lets the time pass in which a person reads what they are about to sign.
    pub(super) fn reads(&self) {
        let until = Instant::now() + READING;
        let mut seen = lock(&self.seen.0);
        while let Some(left) = until.checked_duration_since(Instant::now()).filter(|left| !left.is_zero()) {
            seen = self.seen.1.wait_timeout(seen, left).unwrap_or_else(PoisonError::into_inner).0;
        }
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

    /// Waits for the program's end.
    #[track_caller]
    pub(super) fn left(mut self) -> Left {
        self.wait_for("its end", |seen| seen.ended.then_some(()));
        let seen = lock(&self.seen.0);
        let restored = edits(&*self.terminal) && is_plain(&seen);
        let text = seen.emulator.screen().contents();
        let raw = String::from_utf8_lossy(&seen.raw).into_owned();
        drop(seen);
        Left { status: self.program.0.wait().expect("its status"), text, raw, restored }
    }

    /// Closes the terminal, as a window or a connection is closed, and waits for the end of what was started here.
    /// Answers how long that took.
    #[track_caller]
    pub(super) fn close(mut self) -> Duration {
        lock(&self.seen.0).closing = true;
        // The reader has the terminal open too; it leaves with the next thing it reads.
        self.keys("\x0c");
        self.reader.join().expect("the reader");
        let began = Instant::now();
        drop((self.keyboard, self.terminal));
        let (tell, ended) = mpsc::channel();
        let mut program = self.program;
        thread::spawn(move || tell.send(program.0.wait().is_ok()));
        assert_eq!(ended.recv_timeout(PATIENCE), Ok(true), "it does not end");
        began.elapsed()
    }
}

#[track_caller]
pub(super) fn signal(process: u32, name: &str) {
    let sent = std::process::Command::new("kill").args(["-s", name, &process.to_string()]).status().expect("kill");
    assert!(sent.success());
}

/// Waits until the system says that the process is stopped: proc_pid_stat(5).
#[track_caller]
pub(super) fn is_stopped(process: u32) {
    let last = Instant::now() + PATIENCE;
    loop {
        let text = std::fs::read_to_string(format!("/proc/{process}/stat")).expect("it is there");
        if text.rsplit(')').next().is_some_and(|rest| rest.starts_with(" T")) {
            return;
        }
        assert!(Instant::now() < last, "it does not stop: {text}");
        thread::yield_now();
    }
}

/// Processor time of all threads of a process so far: proc(5), schedstat. It does not grow while others are busy.
pub(super) fn processor(process: u32) -> Duration {
    let threads = std::fs::read_dir(format!("/proc/{process}/task")).expect("its threads");
    let nanoseconds = threads.filter_map(|thread| {
        let text = std::fs::read_to_string(thread.ok()?.path().join("schedstat")).ok()?;
        text.split_whitespace().next()?.parse::<u64>().ok()
    });
    Duration::from_nanos(nanoseconds.sum())
}

/// Echo and line editing are on.
fn edits(terminal: &dyn MasterPty) -> bool {
    terminal.get_termios().is_some_and(|modes| modes.local_flags.bits() & ECHO_AND_LINES == ECHO_AND_LINES)
}

fn is_plain(seen: &Seen) -> bool {
    let screen = seen.emulator.screen();
    !screen.alternate_screen() && !screen.hide_cursor() && !screen.bracketed_paste()
}

pub(super) fn line_of(screen: &vt100::Screen) -> String {
    let (line, _) = screen.cursor_position();
    let (_, columns) = screen.size();
    screen.contents_between(line, 0, line, columns.get())
}

/// ECHO and ICANON of termios(3) on Linux.
const ECHO_AND_LINES: u32 = 0o10 | 0o2;

impl Drop for Running {
    fn drop(&mut self) {
        // A test that failed leaves no program behind; one that ended is not there to be stopped.
        let _ = self.0.kill();
    }
}

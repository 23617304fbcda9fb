//! The program itself on a pseudo-terminal, by the wall: what a person waits for.

use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use dryhold::desk::{Clock, Desk, Outcome, new_command_id};
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, Entry, Known, Place, Sighting, Sign};
use dryhold::ledger::{Header, create};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// With this a frame is whole.
const FRAME_ENDS: &[u8] = b"\x1b[?2026l";

struct Started {
    program: Box<dyn Child + Send + Sync>,
    output: Box<dyn Read + Send>,
    keyboard: Box<dyn Write + Send>,
    _terminal: Box<dyn MasterPty + Send>,
}

impl Started {
    fn new(home: &Path, arguments: &[&str]) -> Self {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_dryhold"));
        command.env_clear();
        command.cwd(home);
        for (name, value) in [("TERM", "xterm-256color"), ("LANG", "C.UTF-8"), ("TZ", "UTC")] {
            command.env(name, value);
        }
        for name in ["HOME", "TMPDIR"] {
            command.env(name, home);
        }
        command.args(arguments);
        let (output, keyboard) = (pair.master.try_clone_reader().unwrap(), pair.master.take_writer().unwrap());
        let program = pair.slave.spawn_command(command).unwrap();
        Self { program, output, keyboard, _terminal: pair.master }
    }

    /// Reads to the end of a frame in which this stands.
    fn frame(&mut self, text: &str) {
        let (mut bytes, mut sent) = (vec![0; 65_536], vec![]);
        while !sent.ends_with(FRAME_ENDS) || !String::from_utf8_lossy(&sent).contains(text) {
            let read = self.output.read(&mut bytes).unwrap();
            sent.extend(bytes.iter().take(read));
        }
    }
}

impl Drop for Started {
    fn drop(&mut self) {
        let _ = self.keyboard.write_all(b"\x03\x03");
        let _ = self.program.wait();
    }
}

pub(crate) fn first_frame(home: &Path, arguments: &[&str]) -> Duration {
    let began = Instant::now();
    let mut started = Started::new(home, arguments);
    started.frame("[1 Board]");
    began.elapsed()
}

pub(crate) fn ledger(home: &Path, entries: &[Entry]) -> String {
    let path = home.join(format!("ledger-{}.ron", entries.len()));
    create(&path, &Header::new(chrono_tz::UTC, true).unwrap(), entries).unwrap();
    path.to_str().unwrap().to_owned()
}

/// From an entry that is kept, by another writer, to the frame that shows it. So many times.
pub(crate) fn seen_by_another(home: &Path, ledger: &str, last: &Entry, times: usize) -> Vec<Duration> {
    let now = last.noted;
    let set = now.to_rfc3339();
    let mut reader = Started::new(home, &["--ledger", ledger, "--now", &set]);
    reader.frame("[1 Board]");
    reader.keyboard.write_all(b"5").unwrap();
    // Only cells that change are sent: the name of the screen stands there already.
    reader.frame("");
    let mut desk = Desk::open_with(Path::new(ledger), Clock::Set(now), "bench".to_owned(), None).unwrap();
    let measure = |_| {
        let seen = vec![Sighting { sign: Sign::ReportedBites, zone: None }];
        let body = Body::Finding { seen, wiped_before: Known::Unknown, note: String::new() };
        let place = Place::room(Code::new("R7").unwrap());
        let outcome = desk.note(&Command::new(new_command_id().unwrap(), place, body), last.noted_by);
        assert!(matches!(outcome, Outcome::Done(_)), "it is kept");
        let began = Instant::now();
        reader.frame("");
        began.elapsed()
    };
    (0..times).map(measure).collect()
}

/// Processor time that the program uses in so many seconds in which nobody asks anything of it, and the bytes that it sends.
pub(crate) fn idle(home: &Path, ledger: &str, now: &str, watched: Duration) -> Duration {
    let mut started = Started::new(home, &["--ledger", ledger, "--now", now]);
    started.frame("[1 Board]");
    let process = started.program.process_id().unwrap();
    let settled = Duration::from_secs(1);
    std::thread::sleep(settled);
    let before = processor(process);
    std::thread::sleep(watched);
    processor(process) - before
}

/// Of all threads: proc(5), schedstat.
fn processor(process: u32) -> Duration {
    let threads = fs::read_dir(format!("/proc/{process}/task")).unwrap();
    let nanoseconds = threads.filter_map(|thread| {
        let text = fs::read_to_string(thread.ok()?.path().join("schedstat")).ok()?;
        text.split_whitespace().next()?.parse::<u64>().ok()
    });
    Duration::from_nanos(nanoseconds.sum())
}

//! PINs: asked for without echo, or read as lines from standard input.

use std::io::{self, BufRead, IsTerminal, Write};

use anyhow::Context as _;
use rustix::termios::{LocalModes, OptionalActions, Termios, tcgetattr, tcsetattr};

use super::Stop;

pub(super) struct Secrets {
    from_input: bool,
}

impl Secrets {
    pub(super) fn new(from_input: bool) -> Self {
        Self { from_input }
    }

    /// Somebody types it, so it is worth asking twice.
    pub(super) fn is_typed(&self) -> bool {
        !self.from_input
    }

    pub(super) fn ask(&mut self, prompt: &str) -> Result<String, Stop> {
        let stdin = io::stdin();
        if !self.from_input {
            if !stdin.is_terminal() {
                return Err(Stop::Usage(
                    "a PIN is asked for, and nobody can type it here: give it with --pin-stdin".to_owned(),
                ));
            }
            eprint!("{prompt}");
            io::stderr().flush().context("asking for the PIN")?;
        }
        let quiet = (!self.from_input).then(Quiet::begin).flatten();
        let mut line = String::new();
        let read = stdin.lock().read_line(&mut line);
        if quiet.is_some() {
            eprintln!();
        }
        read.context("reading the PIN")?;
        Ok(line.trim_end_matches(['\n', '\r']).to_owned())
    }
}

/// The terminal shows nothing of what is typed until this is dropped.
struct Quiet(Termios);

impl Quiet {
    fn begin() -> Option<Self> {
        let before = tcgetattr(io::stdin()).ok()?;
        let mut quiet = before.clone();
        quiet.local_modes.remove(LocalModes::ECHO);
        quiet.local_modes.insert(LocalModes::ECHONL);
        tcsetattr(io::stdin(), OptionalActions::Flush, &quiet).ok()?;
        Some(Self(before))
    }
}

impl Drop for Quiet {
    fn drop(&mut self) {
        let _ = tcsetattr(io::stdin(), OptionalActions::Now, &self.0);
    }
}

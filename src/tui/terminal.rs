//! Taking the terminal over, and giving it back on every way out: the end of the program, an error, a panic, a signal.
//!
//! Nothing here asks the terminal a question: one that never answers must work as well as one that does.

use std::io::{self, Write};
use std::panic;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use crossterm::cursor::{Hide, Show};
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::style::force_color_output;
use crossterm::terminal::{
    EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};
use rustix::termios::{Action, QueueSelector, tcflow, tcflush};

/// While it lives the terminal is ours. Dropping it gives the terminal back.
pub struct Guard(());

impl Guard {
    /// Takes the terminal: no echo, no line editing, a screen of our own, pastes marked as pastes, the cursor hidden.
    pub fn enter() -> io::Result<Self> {
        // Colours are ours to leave out: crossterm's own switch writes resets that take the highlight with them.
        force_color_output(true);
        let guard = Self(());
        take()?;
        Ok(guard)
    }

    /// Stops the program as Ctrl-Z does, and takes the terminal again when it is continued.
    #[cfg(unix)]
    pub fn suspend(&self) -> io::Result<()> {
        give_back();
        signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP)?;
        take()
    }

    /// After the program was stopped and continued by somebody else: the terminal's modes are whatever the shell left.
    pub fn retake(&self) -> io::Result<()> {
        disable_raw_mode()?;
        take()
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        give_back();
    }
}

fn take() -> io::Result<()> {
    enable_raw_mode()?;
    execute!(io::stdout(), EnterAlternateScreen, EnableBracketedPaste, Hide)
}

/// Gives the terminal back. May be called twice, and from any thread; what fails cannot be helped any more.
pub fn give_back() {
    let mut out = io::stdout();
    let _ = queue!(out, EndSynchronizedUpdate, DisableBracketedPaste, LeaveAlternateScreen, Show);
    let _ = out.flush();
    let _ = disable_raw_mode();
}

/// Gives the terminal back although it takes nothing in: what waits there is thrown away. If it still takes nothing, it
/// does not keep the program.
#[cfg(unix)]
pub fn abandon() {
    let out = io::stdout();
    let _ = tcflow(&out, Action::OOn);
    let _ = tcflush(&out, QueueSelector::OFlush);
    let _ = disable_raw_mode();
    let (done, waits) = mpsc::channel();
    thread::spawn(move || {
        give_back();
        let _ = done.send(());
    });
    let _ = waits.recv_timeout(Duration::from_millis(500));
}

/// A panic in any thread gives the terminal back, says what happened, and ends the program with status 101.
/// A thread that lived on would go on drawing over the shell.
pub fn restore_on_panic() {
    let say = panic::take_hook();
    panic::set_hook(Box::new(move |info| {
        give_back();
        say(info);
        std::process::exit(101);
    }));
}

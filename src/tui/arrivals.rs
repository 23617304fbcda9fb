//! What comes in from outside: keys, pastes and signals, each read by a thread of its own into one queue.
//!
//! The reading is a blocking one. Asking the terminal "anything there?" without waiting never sees a thing with the
//! event source used here, and the other source loses a key that arrives together with a change of size.

use std::io;
use std::sync::mpsc::{self, Receiver};
use std::thread;
use std::time::{Duration, Instant};

use crossterm::event::{self, Event};

/// How long the main loop may take to end the program before it is taken to be stuck.
const STUCK: Duration = Duration::from_secs(2);

#[derive(Debug)]
pub enum Arrival {
    /// With the time at which it was read: what was shown only later was not seen by whoever pressed the key.
    Input(Event, Instant),
    /// The terminal is gone, with the reason in words.
    InputEnded(String),
    /// End the program: a signal of this number said so.
    Terminate(i32),
    /// Stop, as by Ctrl-Z from outside.
    Stop,
    /// The program was stopped and continued.
    Continued,
}

/// Starts both threads. They end with the program.
pub fn listen() -> io::Result<Receiver<Arrival>> {
    let (sender, receiver) = mpsc::channel();
    #[cfg(unix)]
    {
        use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP};
        let mut signals = signal_hook::iterator::Signals::new([SIGTERM, SIGHUP, SIGINT, SIGQUIT, SIGTSTP, SIGCONT])?;
        let sender = sender.clone();
        thread::Builder::new().name("signals".to_owned()).spawn(move || {
            for signal in signals.forever() {
                let arrival = match signal {
                    SIGCONT => Arrival::Continued,
                    SIGTSTP => Arrival::Stop,
                    _ => Arrival::Terminate(signal),
                };
                let ends = matches!(arrival, Arrival::Terminate(_));
                if sender.send(arrival).is_err() {
                    break;
                }
                if ends {
                    thread::sleep(STUCK);
                    if sender.send(Arrival::Terminate(signal)).is_err() {
                        break;
                    }
                    // Still at work: most likely in a write to a terminal that takes nothing in.
                    super::terminal::abandon();
                    std::process::exit(128 + signal);
                }
            }
        })?;
    }
    thread::Builder::new().name("keys".to_owned()).spawn(move || {
        loop {
            let arrival = match event::read() {
                Ok(event) => Arrival::Input(event, Instant::now()),
                Err(error) => Arrival::InputEnded(error.to_string()),
            };
            let over = matches!(arrival, Arrival::InputEnded(_));
            if sender.send(arrival).is_err() || over {
                break;
            }
        }
    })?;
    Ok(receiver)
}

//! What comes in from outside: keys, pastes and signals, each read by a thread of its own into one queue.
//!
//! The reading is a blocking one. Asking the terminal "anything there?" without waiting never sees a thing with the
//! event source used here, and the other source loses a key that arrives together with a change of size.

use std::io;
use std::sync::mpsc::{self, Receiver};
use std::thread;

use crossterm::event::{self, Event};

#[derive(Debug)]
pub enum Arrival {
    Input(Event),
    /// The terminal is gone, with the reason in words.
    InputEnded(String),
    /// End the program.
    Terminate,
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
        use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGTERM, SIGTSTP};
        let mut signals = signal_hook::iterator::Signals::new([SIGTERM, SIGHUP, SIGINT, SIGTSTP, SIGCONT])?;
        let sender = sender.clone();
        thread::Builder::new().name("signals".to_owned()).spawn(move || {
            let mut terminating = false;
            for signal in signals.forever() {
                let arrival = match signal {
                    SIGCONT => Arrival::Continued,
                    SIGTSTP => Arrival::Stop,
                    // The first asks the main loop to end; a second finds it stuck and ends the program itself.
                    _ if terminating => {
                        super::terminal::give_back();
                        std::process::exit(128 + signal);
                    }
                    _ => {
                        terminating = true;
                        Arrival::Terminate
                    }
                };
                if sender.send(arrival).is_err() {
                    break;
                }
            }
        })?;
    }
    thread::Builder::new().name("keys".to_owned()).spawn(move || {
        loop {
            let arrival = match event::read() {
                Ok(event) => Arrival::Input(event),
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

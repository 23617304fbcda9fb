//! The screens of the real program in a pseudo-terminal: taken, given back, and used by keys alone.

mod budget;
mod first_run;
mod hands;
mod hospital;
mod idle;
mod job;
mod leaving;
mod pictures;
mod resizing;
mod screen;
mod seeing;
mod starting;
mod svg;
mod tmux;
mod two;
mod typed;
mod typing;
mod working;

use screen::Screen;
use tempfile::TempDir;

fn home() -> TempDir {
    tempfile::tempdir().expect("a folder")
}

fn demo(home: &TempDir, environment: &[(&str, &str)]) -> Screen {
    let screen = Screen::start(80, 24, home.path(), &["demo"], environment);
    screen.shows("[1 Board]");
    screen
}

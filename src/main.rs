//! The program: hands the command line to the library, shows the screens where it asks for them, and ends with its status.

use std::process::ExitCode;

use dryhold::{cli, ledger, tui};

fn main() -> ExitCode {
    if let Err(error) = ledger::ignore_file_size_signal() {
        eprintln!("dryhold: signals cannot be handled here: {error}");
        return ExitCode::FAILURE;
    }
    cli::run(std::env::args_os(), &|desk, screen| {
        let palette = tui::look::Palette::named(&screen.color);
        let look = tui::look::Look::choose(palette, screen.ascii, &|name| std::env::var(name).ok());
        match tui::run(desk, tui::Options { look, person: screen.person, wall: screen.wall })? {
            tui::Left::ByKey => Ok(0),
            // As a shell tells of a program that a signal ended.
            tui::Left::BySignal(signal) => Ok(u8::try_from(128 + signal).unwrap_or(u8::MAX)),
        }
    })
}

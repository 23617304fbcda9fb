//! The program: hands the command line to the library, and ends with its status.

use std::process::ExitCode;

fn main() -> ExitCode {
    if let Err(error) = dryhold::ledger::ignore_file_size_signal() {
        eprintln!("dryhold: signals cannot be handled here: {error}");
        return ExitCode::FAILURE;
    }
    dryhold::cli::run(std::env::args_os())
}

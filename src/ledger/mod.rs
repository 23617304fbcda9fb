//! The ledger: one RON file, one entry a line, only ever added to.
//!
//! It answers: what is written, is it whole, and was this entry kept? It does not know why an entry was written, and
//! never decides what an entry means. Nothing else in the program knows the file's text.
//!
//! Read in this order: the text of the file (`chain`, `header`, `line`, `wire`), what stands in it (`scan`, `salvage`),
//! the file itself (`medium`, `lock`, `create`, `open`, `append`, `follow`), and what helps when something is wrong
//! (`check`, `repair`, `restore`, `seen`, `place`, `share`).
//!
//! What it promises: an entry that was said to be done is synced, and stays. An append that was not said to be done may
//! be there whole or not at all, never in part once the file was opened again. Nothing is ever cut that could have been
//! said to be done: such a file is damaged, is not written any more, and closes every bed.

mod append;
mod chain;
mod check;
mod create;
mod error;
mod follow;
mod header;
mod line;
mod lock;
mod medium;
mod open;
mod place;
mod repair;
mod restore;
mod salvage;
mod scan;
mod seen;
mod share;
mod wire;

#[cfg(test)]
pub(crate) mod planned;
#[cfg(test)]
mod tests;

pub use append::Appended;
pub use check::{Fault, Report, check};
pub use create::create;
pub use error::LedgerError;
pub use header::{FORMAT, Header};
pub use open::{Ledger, News, Standing};
pub use place::ledger_path;
pub use repair::{Repaired, repair};
pub use restore::restore;
pub use seen::{Mark, mark_folder};

/// Lets a write beyond the file size limit fail like any other, instead of ending the program. Called once at start.
#[cfg(unix)]
pub fn ignore_file_size_signal() -> std::io::Result<()> {
    let unread = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(false));
    signal_hook::flag::register(signal_hook::consts::SIGXFSZ, unread).map(|_| ())
}

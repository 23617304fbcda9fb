//! The ledger: one RON file, one entry a line, only ever added to.
//!
//! It answers: what is written, is it whole, and was this entry kept? It does not know why an entry was written, and
//! never decides what an entry means. Nothing else in the program knows the file's text.
//!
//! Read in this order: the text of the file (`chain`, `header`, `line`, `wire`), what stands in it (`scan`, `salvage`),
//! the file itself (`medium`, `lock`, `create`, `open`, `append`, `follow`, `recheck`), and what helps when something is wrong
//! (`lost`, `check`, `repair`, `restore`, `copy`, `seen`, `place`, `share`).
//!
//! What it promises: an entry that was said to be done is synced, and stays. An append that was not said to be done may
//! be there whole or not at all, never in part once something was noted again. Where anything is gone that could have been
//! said to be done, every bed is closed: by an entry where only the end is lost, and else by the file's not being trusted.
//! Looking writes nothing and takes no lock.

mod append;
mod chain;
mod check;
mod copy;
mod create;
mod error;
mod follow;
mod header;
mod line;
mod lock;
mod lost;
mod medium;
mod open;
mod place;
mod recheck;
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

pub use append::{Appended, NextEntry};
pub use check::{Fault, Report, check};
pub use copy::copy;
pub use create::create;
pub use error::LedgerError;
pub use header::{FORMAT, Header};
pub use lost::LostEnd;
pub use open::{Access, Ledger, News, Standing};
pub use place::ledger_path;
pub use repair::{Repaired, Repairing, repair};
pub use restore::restore;
pub use seen::{Further, Mark, Memory, mark_folder};

/// Lets a write beyond the file size limit fail like any other, instead of ending the program. Called once at start.
#[cfg(unix)]
pub fn ignore_file_size_signal() -> std::io::Result<()> {
    let unread = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(false));
    signal_hook::flag::register(signal_hook::consts::SIGXFSZ, unread).map(|_| ())
}

//! What can go wrong with the file, each said with the path, the line where there is one, and what to do.

use std::io;
use std::path::PathBuf;

#[derive(Debug, thiserror::Error)]
pub enum LedgerError {
    #[error("there is no ledger at {path}: make one with `dryhold setup`, or name another with --ledger")]
    Missing { path: PathBuf },
    #[error("{path} is not a regular file, so it cannot be a ledger: name another with --ledger")]
    NotAFile { path: PathBuf },
    #[error(
        "{path} is empty. A ledger is never empty, so its content was lost: take a copy back with `dryhold restore`, \
         after moving this file aside"
    )]
    Empty { path: PathBuf },
    #[error("{path} is not a Dryhold ledger ({why}): name another with --ledger")]
    NotALedger { path: PathBuf, why: String },
    #[error(
        "{path} was saved by a text editor ({how}), which a ledger does not survive as it is: `dryhold repair` writes a \
         good one beside it"
    )]
    Edited { path: PathBuf, how: &'static str },
    #[error("{path} is a ledger of format {found}, from a newer version of this program: use that version")]
    NewerFormat { path: PathBuf, found: u64 },
    #[error("line 1 of {path} is damaged ({why}): `dryhold repair` writes a new ledger beside it and keeps this one")]
    HeaderDamaged { path: PathBuf, why: String },
    #[error(
        "line {line} of {path} is damaged ({why}), so nothing more is written to it: `dryhold repair` writes a new \
         ledger beside it and keeps this one"
    )]
    Damaged { path: PathBuf, line: u64, why: String },
    #[error("there is already a file at {path}, and it is left as it is: move it aside first, or name another place")]
    Exists { path: PathBuf },
    #[error("{path} can only be looked at here ({why}), so nothing was noted")]
    ReadOnly { path: PathBuf, why: String },
    #[error("another program has had {path} locked for {seconds} seconds, so nothing was noted: try again")]
    Busy { path: PathBuf, seconds: u64 },
    #[error(
        "the place where {path} lies cannot lock files ({source}), so nothing is written there: move the ledger to a \
         local disk"
    )]
    CannotLock { path: PathBuf, source: io::Error },
    #[error(
        "the end of {path} was lost, so every bed is closed and nothing was noted: `dryhold check` says what is gone, and the \
         next entry goes on behind it"
    )]
    EndLost { path: PathBuf },
    #[error("{path} is now another ledger than the one that was opened: leave the program and start it again")]
    Replaced { path: PathBuf },
    #[error("nothing was noted, and {path} is as it was: {source}. Make space or mend the disk, then try again")]
    NotRecorded { path: PathBuf, source: io::Error },
    #[error(
        "{path} could not be written and read back ({source}), and it is not known whether the entry was kept: look \
         whether it is there before it is noted anew"
    )]
    Unsure { path: PathBuf, source: io::Error },
    #[error("the entry is {bytes} bytes long in the file, and {most} is the most: shorten its text")]
    TooLong { bytes: usize, most: usize },
    #[error("the entry cannot be written so that it reads back the same ({why}), so nothing was noted")]
    Unwritable { why: String },
    #[error("nothing in {path} is damaged, so there is nothing to mend")]
    NothingDamaged { path: PathBuf },
    #[error("{path} lacks more than {most} lines, too many to mend: take a copy back with `dryhold restore`")]
    TooMuchLost { path: PathBuf, most: u64 },
    #[error("line 1 of {path} is damaged, so its time zone is not known: name it with --time-zone")]
    TimeZoneLost { path: PathBuf },
    #[error("no folder for data is known for this user: name the ledger with --ledger or DRYHOLD_LEDGER")]
    Homeless,
    #[error("{path} cannot be read: {source}")]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{doing} {path}: {source}")]
    Io { doing: &'static str, path: PathBuf, source: io::Error },
}

impl LedgerError {
    /// The ledger itself cannot be trusted or read, as against a command that failed. The program then ends with status 4.
    pub fn is_damage(&self) -> bool {
        matches!(
            self,
            Self::Empty { .. }
                | Self::NotALedger { .. }
                | Self::Edited { .. }
                | Self::NewerFormat { .. }
                | Self::HeaderDamaged { .. }
                | Self::Damaged { .. }
                | Self::NotAFile { .. }
                | Self::TooMuchLost { .. }
                | Self::TimeZoneLost { .. }
                | Self::Replaced { .. }
                | Self::EndLost { .. }
                | Self::Unreadable { .. }
        )
    }

    pub(super) fn reading(path: &std::path::Path) -> impl FnOnce(io::Error) -> Self {
        move |source| Self::Unreadable { path: path.to_owned(), source }
    }

    pub(super) fn io(doing: &'static str, path: &std::path::Path) -> impl FnOnce(io::Error) -> Self {
        move |source| Self::Io { doing, path: path.to_owned(), source }
    }
}

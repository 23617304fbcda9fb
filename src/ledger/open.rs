//! Opening a ledger: which file it is, whether it may be written, what stands in it, and whether it is whole.

use std::fs::{self, File, OpenOptions};
use std::io;
use std::os::unix::fs::{MetadataExt, OpenOptionsExt};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use rustix::fs::OFlags;

use super::chain;
use super::create::folder_of;
use super::error::LedgerError;
use super::header::{Header, LONGEST_HEADER, TAIL};
use super::lock::{Held, PATIENCE, lock};
use super::medium::{Medium, put_tail, read_up_to};
use super::salvage::salvage;
use super::scan::{self, Point, Verdict, classify, walk};
use super::share;
use crate::domain::entry::{Entry, Number, Time};

/// Whether the ledger can be trusted, and whether it may be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    Whole,
    /// It can be read, but not written, for this reason.
    ReadOnly(String),
    /// From this line on it is not what was written. Nothing more is written to it.
    Damaged {
        line: u64,
        why: String,
    },
}

/// What was written since one last looked.
#[derive(Debug, Default)]
pub struct News {
    /// The file was read anew from its beginning: `entries` are all entries, and what was known before is void.
    pub from_start: bool,
    pub entries: Vec<Entry>,
}

impl News {
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty() && !self.from_start
    }
}

/// One open ledger. It holds no entries, only where it is.
#[derive(Debug)]
pub struct Ledger {
    pub(super) path: PathBuf,
    pub(super) file: Arc<File>,
    pub(super) identity: Identity,
    pub(super) header: Header,
    pub(super) standing: Standing,
    /// Sentences about the file that one should know, and that stop nothing.
    pub(super) notices: Vec<String>,
    /// Just after the last good line.
    pub(super) end: Point,
    /// The last point that this process knows to be on disk.
    pub(super) synced: Point,
    /// When the last entry was noted.
    pub(super) noted: Time,
    /// The chain's value of every good entry, in order.
    pub(super) chains: Vec<u64>,
    /// An append ended unknown: the file must be opened and read anew before anything else.
    pub(super) poisoned: bool,
    /// The disk could not put the file's end in order on opening, so it is only looked at until an append tries again.
    pub(super) unsettled: bool,
    /// Entries that were read and not yet handed over.
    pub(super) pending: News,
    /// Something unreadable behind the last good line, and since when it has been the same.
    pub(super) strange: Option<(Vec<u8>, Instant)>,
}

/// Device and number of a file: tells whether a name still stands for the same file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Identity(u64, u64);

impl Identity {
    pub(super) fn of(metadata: &fs::Metadata) -> Self {
        Self(metadata.dev(), metadata.ino())
    }
}

impl Ledger {
    /// Opens a ledger and reads it all. An unfinished append is put aside and closed; damage is only looked at.
    pub fn open(path: &Path) -> Result<(Self, Vec<Entry>), LedgerError> {
        let real = path.canonicalize().map_err(|error| missing_or(path, "opening", error))?;
        // Replaced between opening and locking: look again. Once is chance, and nobody replaces it for ever.
        for _ in 0..100 {
            let (file, read_only) = open_file(&real)?;
            let metadata = file.metadata().map_err(LedgerError::io("looking at", &real))?;
            if !metadata.is_file() {
                return Err(LedgerError::NotAFile { path: real });
            }
            let file = Arc::new(file);
            let (held, read_only) = match read_only {
                Some(why) => (None, Some(why)),
                None => match lock(&file, &real, PATIENCE) {
                    Ok(held) => (Some(held), None),
                    // It can still be looked at; an append waits for the lock again.
                    Err(LedgerError::Busy { .. }) => (None, None),
                    Err(error @ LedgerError::CannotLock { .. }) => (None, Some(error.to_string())),
                    Err(error) => return Err(error),
                },
            };
            let there = fs::symlink_metadata(&real).map_err(|error| missing_or(&real, "looking at", error))?;
            if Identity::of(&there) == Identity::of(&metadata) {
                return Self::load(real, file, &metadata, held.as_ref(), read_only);
            }
        }
        Err(LedgerError::Replaced { path: real })
    }

    fn load(
        path: PathBuf,
        file: Arc<File>,
        metadata: &fs::Metadata,
        held: Option<&Held>,
        read_only: Option<String>,
    ) -> Result<(Self, Vec<Entry>), LedgerError> {
        let reading = || LedgerError::io("reading", &path);
        let start = read_up_to(&*file, LONGEST_HEADER, 0).map_err(reading())?;
        let (header, length) = Header::read(&path, &start)?;
        let from = Point { offset: length as u64, number: 0, chain: header.sum() };
        let found = walk(&*file, from, Time::UNIX_EPOCH).map_err(reading())?;
        let verdict = classify(&found.rest, found.end.chain);
        let mut entries = found.entries;
        let standing = match (verdict, read_only) {
            (Verdict::Damaged(why), _) => {
                let all = scan::read_all(&*file).map_err(reading())?;
                let body = all.get(length..).unwrap_or_default();
                entries = salvage(&[header.sum()], body, 0).into_entries();
                Standing::Damaged { line: found.end.number + 2, why: why.to_owned() }
            }
            (_, Some(why)) => Standing::ReadOnly(why),
            (_, None) => Standing::Whole,
        };
        let mut ledger = Self {
            identity: Identity::of(metadata),
            standing,
            notices: notices(&file, metadata),
            end: found.end,
            synced: from,
            noted: entries.last().map_or(Time::UNIX_EPOCH, |entry| entry.noted),
            chains: found.chains,
            poisoned: false,
            unsettled: false,
            pending: News::default(),
            strange: None,
            path,
            file,
            header,
        };
        if verdict == Verdict::Torn {
            ledger.notices.push("the last append was interrupted and had not been said to be done".to_owned());
        }
        if held.is_some() && ledger.standing == Standing::Whole {
            ledger.settle(verdict, &found.rest);
        }
        Ok((ledger, entries))
    }

    /// Under the lock: closes an unfinished append, and makes what a killed writer left durable before anyone builds on
    /// it. If the disk refuses either, the ledger can still be looked at.
    fn settle(&mut self, verdict: Verdict, rest: &[u8]) {
        let done = match verdict {
            Verdict::Torn => self.close_torn(rest),
            _ => Medium::sync_data(&*self.file),
        };
        match done {
            Ok(()) => self.synced = self.end,
            Err(error) => {
                self.unsettled = true;
                self.standing = Standing::ReadOnly(format!("its end could not be put in order: {error}"));
            }
        }
    }

    /// Under the lock: keeps the unfinished bytes in a file of their own, then closes the document before them.
    pub(super) fn close_torn(&self, rest: &[u8]) -> io::Result<()> {
        if !TAIL.starts_with(rest) {
            keep_torn(&self.path, self.end.number + 1, rest).map_err(|error| {
                let what = "the unfinished append at its end could not be kept in a file beside it";
                io::Error::new(error.kind(), format!("{what}: {error}"))
            })?;
        }
        put_tail(&*self.file, self.end, self.end)
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    pub fn header(&self) -> &Header {
        &self.header
    }

    pub fn standing(&self) -> &Standing {
        &self.standing
    }

    pub fn notices(&self) -> &[String] {
        &self.notices
    }

    /// The number of the last entry; 0 if there is none.
    pub fn last(&self) -> Number {
        Number(self.end.number)
    }

    /// The chain's value at an entry: what a mark of it would hold.
    pub(super) fn chain_at(&self, number: u64) -> Option<u64> {
        let at = usize::try_from(number.checked_sub(1)?).ok()?;
        self.chains.get(at).copied()
    }

    /// The bytes that must stand just before `end`, if the file is still the one that was read.
    pub(super) fn last_bytes(&self) -> Vec<u8> {
        match self.end.number {
            0 => self.header.line().into_bytes(),
            _ => chain::link(self.end.chain).into_bytes(),
        }
    }
}

fn missing_or(path: &Path, doing: &'static str, error: io::Error) -> LedgerError {
    match error.kind() {
        io::ErrorKind::NotFound => LedgerError::Missing { path: path.to_owned() },
        _ => LedgerError::Io { doing, path: path.to_owned(), source: error },
    }
}

/// Opens the file for reading and writing, or for reading alone with the reason why. Never through a link, never waiting
/// (a pipe under that name), never as controlling terminal.
fn open_file(path: &Path) -> Result<(File, Option<String>), LedgerError> {
    let flags = OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::NOCTTY | OFlags::CLOEXEC;
    let mut options = OpenOptions::new();
    options.read(true).custom_flags(flags.bits() as i32);
    let refused = match options.clone().write(true).open(path) {
        Ok(file) => return Ok((file, None)),
        Err(error) => error,
    };
    let why = match refused.kind() {
        io::ErrorKind::PermissionDenied => "you may not write the file",
        io::ErrorKind::ReadOnlyFilesystem => "its disk is read-only",
        io::ErrorKind::IsADirectory => return Err(LedgerError::NotAFile { path: path.to_owned() }),
        _ => return Err(missing_or(path, "opening", refused)),
    };
    let file = options.open(path).map_err(|error| missing_or(path, "opening", error))?;
    Ok((file, Some(why.to_owned())))
}

fn notices(file: &File, metadata: &fs::Metadata) -> Vec<String> {
    let mut notices: Vec<String> = share::notice(file).into_iter().collect();
    if metadata.nlink() > 1 {
        notices
            .push("the ledger's file has a second name: a program that replaces one of them parts the two".to_owned());
    }
    if metadata.mode() & 0o002 != 0 {
        notices.push("everybody on this computer may write the ledger's file".to_owned());
    }
    notices
}

/// Saves the bytes of an unfinished append beside the ledger, under a name that no file has yet.
fn keep_torn(path: &Path, number: u64, rest: &[u8]) -> io::Result<()> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let mut kept = tempfile::Builder::new()
        .prefix(&format!("{name}.torn-{number}-"))
        .rand_bytes(6)
        .tempfile_in(folder_of(path))?;
    io::Write::write_all(&mut kept, rest)?;
    kept.as_file().sync_all()?;
    kept.keep().map_err(|failed| failed.error)?;
    Ok(())
}

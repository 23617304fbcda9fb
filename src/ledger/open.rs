//! Opening a ledger: which file it is, whether it may be written, what stands in it, and whether it is whole.

use std::fs::{self, File, OpenOptions};
use std::io;
use std::os::unix::fs::{MetadataExt, OpenOptionsExt};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use rustix::fs::OFlags;

use super::chain;
use super::error::LedgerError;
use super::header::{Header, LONGEST_HEADER};
use super::line;
use super::lock::lock;
use super::lost::{self, End, LostEnd, Owed};
use super::medium::read_up_to;
use super::recheck::Recheck;
use super::salvage::salvage;
use super::scan::{self, Point, Verdict, Walk, classify, walk};
use super::share;
use crate::domain::entry::{Entry, Number, Time};

/// Whether the ledger can be trusted, and whether it may be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    Whole,
    /// It can be read, but not written, for this reason.
    ReadOnly(String),
    /// Every line is whole, and its end was lost: what stood there must be closed before anything else is noted.
    Broken(LostEnd),
    /// From this line on it is not what was written. Nothing more is written to it.
    Damaged {
        line: u64,
        why: String,
    },
}

/// What a ledger is opened for, and where this terminal keeps what it remembers of it.
#[derive(Clone, Debug, Default)]
pub struct Access {
    /// Nothing is written, and no lock is taken.
    pub only_looks: bool,
    pub marks: Option<PathBuf>,
}

/// An end that is not as it should be and stays the same for so long is no append under way.
const STILL: Duration = Duration::from_millis(300);

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
    /// The last point that is surely on disk.
    pub(super) synced: Point,
    /// When the last entry was noted.
    pub(super) noted: Time,
    /// The chain's value of every good entry, in order.
    pub(super) chains: Vec<u64>,
    /// An append ended unknown, or a write failed: the file must be opened and read anew before anything else.
    pub(super) poisoned: bool,
    /// What stands between `synced` and `end` was made durable here. A writer that was killed, or whose disk failed, may
    /// have left it in the system's memory alone.
    pub(super) settled: bool,
    /// What stands behind `end`, where that is not what closes a document.
    pub(super) odd: Option<Vec<u8>>,
    /// The line behind `end` that is known and not whole in the file. Its entry was handed over.
    pub(super) owed: Option<Owed>,
    pub(super) only_looks: bool,
    pub(super) marks: Option<PathBuf>,
    /// Entries that were read and not yet handed over.
    pub(super) pending: News,
    /// Something unreadable behind the last good line, and since when it has been the same.
    pub(super) strange: Option<(Vec<u8>, Instant)>,
    pub(super) recheck: Recheck,
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
    /// Opens a ledger and reads it all. Nothing is written: what is wrong with its end is put right by the next append.
    pub fn open(path: &Path) -> Result<(Self, Vec<Entry>), LedgerError> {
        Self::open_for(path, Access::default())
    }

    pub fn open_for(path: &Path, access: Access) -> Result<(Self, Vec<Entry>), LedgerError> {
        let real = path.canonicalize().map_err(|error| missing_or(path, error))?;
        let (file, read_only) = open_file(&real)?;
        let metadata = file.metadata().map_err(LedgerError::reading(&real))?;
        if !metadata.is_file() {
            return Err(LedgerError::NotAFile { path: real });
        }
        Self::load(real, Arc::new(file), &metadata, access, read_only)
    }

    fn load(
        path: PathBuf,
        file: Arc<File>,
        metadata: &fs::Metadata,
        access: Access,
        read_only: Option<String>,
    ) -> Result<(Self, Vec<Entry>), LedgerError> {
        let reading = || LedgerError::reading(&path);
        let start = read_up_to(&*file, LONGEST_HEADER, 0).map_err(reading())?;
        let (header, length) = Header::read(&path, &start)?;
        let from = Point { offset: length as u64, number: 0, chain: header.sum() };
        let found = walk(&*file, from, Time::UNIX_EPOCH).map_err(reading())?;
        let Walk { mut entries, chains, end, anchor, rest } = match classify(&found.rest, found.end.chain) {
            Verdict::Clean => found,
            _ => once_nobody_writes(&file, &path, found, from, access.only_looks)?,
        };
        let mut ledger = Self {
            identity: Identity::of(metadata),
            standing: read_only.map_or(Standing::Whole, Standing::ReadOnly),
            notices: notices(&file, metadata),
            end,
            synced: anchor,
            noted: entries.last().map_or(Time::UNIX_EPOCH, |entry| entry.noted),
            chains,
            poisoned: false,
            settled: false,
            odd: None,
            owed: None,
            only_looks: access.only_looks,
            marks: access.marks,
            pending: News::default(),
            strange: None,
            recheck: Recheck::read(from, metadata),
            path,
            file,
            header,
        };
        match classify(&rest, end.chain) {
            Verdict::Clean => {}
            Verdict::Damaged(why) => {
                let all = scan::read_all(&*ledger.file).map_err(LedgerError::reading(&ledger.path))?;
                let body = all.get(length..).unwrap_or_default();
                entries = salvage(&[header.sum()], body, 0).into_entries();
                ledger.standing = Standing::Damaged { line: end.number + 2, why: why.to_owned() };
            }
            Verdict::Broken => {
                let begun = ledger.marks.as_deref().and_then(|folder| lost::begun(folder, header.id, &ledger.path));
                let (owed, is_lost) = match lost::judge(begun.as_deref(), end, &rest) {
                    End::Own(owed) => (owed, false),
                    End::Lost(owed) => (owed, true),
                };
                if let Some(owed) = &owed {
                    let entry = line::read(&owed.line, Number(end.number + 1), ledger.noted);
                    ledger.chains.push(owed.value);
                    ledger.noted = entry.noted;
                    entries.push(entry);
                }
                let after = end.number + u64::from(owed.is_some());
                let told = if owed.is_some() { &[] } else { rest.as_slice() };
                if is_lost {
                    ledger.standing = Standing::Broken(LostEnd::of(after, told));
                } else {
                    let what = "the last append of this terminal was interrupted, and is finished by the next one";
                    ledger.notices.push(what.to_owned());
                }
                (ledger.owed, ledger.odd) = (owed, Some(rest));
            }
        }
        Ok((ledger, entries))
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
        Number(self.end.number + u64::from(self.owed.is_some()))
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

/// Reads again what did not end as it should, because somebody may just have been writing: with the lock where it is free,
/// or until it has been the same for a while.
fn once_nobody_writes(
    file: &Arc<File>,
    path: &Path,
    mut found: Walk,
    from: Point,
    only_looks: bool,
) -> Result<Walk, LedgerError> {
    let again = || walk(&**file, from, Time::UNIX_EPOCH).map_err(LedgerError::reading(path));
    let mut since = Instant::now();
    while since.elapsed() < STILL {
        let held = if only_looks { None } else { lock(file, path, Duration::ZERO).ok() };
        let now = again()?;
        if held.is_some() || classify(&now.rest, now.end.chain) == Verdict::Clean {
            return Ok(now);
        }
        if (now.end, &now.rest) != (found.end, &found.rest) {
            since = Instant::now();
        }
        found = now;
        std::thread::sleep(Duration::from_millis(5));
    }
    Ok(found)
}

fn missing_or(path: &Path, source: io::Error) -> LedgerError {
    match source.kind() {
        io::ErrorKind::NotFound => LedgerError::Missing { path: path.to_owned() },
        _ => LedgerError::Unreadable { path: path.to_owned(), source },
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
        _ => return Err(missing_or(path, refused)),
    };
    let file = options.open(path).map_err(|error| missing_or(path, error))?;
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

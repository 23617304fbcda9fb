//! A new ledger's file: made whole under another name first, so that its own name never shows half of one.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::error::LedgerError;
use super::header::{Header, TAIL};
use super::line;
use crate::domain::entry::Entry;

/// Makes a ledger with its first entries. Never overwrites, and leaves nothing behind if it fails.
pub fn create(path: &Path, header: &Header, entries: &[Entry]) -> Result<(), LedgerError> {
    let mut text = header.line();
    let mut value = header.sum();
    for (at, entry) in entries.iter().enumerate() {
        if entry.number.0 != at as u64 + 1 {
            return Err(LedgerError::Unwritable { why: "its number is not the next one".to_owned() });
        }
        let (line, next) = line::write(entry, value)?;
        text.push_str(&line);
        value = next;
    }
    place_new(path, text)
}

/// Makes a ledger out of texts that the chain shall cover, in their order.
pub(super) fn create_from_texts<'a>(
    path: &Path,
    header: &Header,
    texts: impl IntoIterator<Item = &'a str>,
) -> Result<(), LedgerError> {
    let mut text = header.line();
    let mut value = header.sum();
    for covered in texts {
        let (line, next) = line::chained(covered, value)?;
        text.push_str(&line);
        value = next;
    }
    place_new(path, text)
}

fn place_new(path: &Path, mut text: String) -> Result<(), LedgerError> {
    text.push_str(&String::from_utf8_lossy(TAIL));
    let folder = folder_of(path);
    make_folder(&folder).map_err(LedgerError::io("making the folder", &folder))?;
    if fs::symlink_metadata(path).is_ok() {
        return Err(LedgerError::Exists { path: path.to_owned() });
    }
    let writing = "writing a new ledger in";
    // Readable by its user alone; whoever shares it changes that on purpose.
    let mut file = tempfile::Builder::new()
        .prefix(".new-ledger-")
        .tempfile_in(&folder)
        .map_err(LedgerError::io(writing, &folder))?;
    file.write_all(text.as_bytes()).map_err(LedgerError::io(writing, &folder))?;
    file.as_file().sync_all().map_err(LedgerError::io(writing, &folder))?;
    file.persist_noclobber(path).map_err(|failed| match failed.error.kind() {
        io::ErrorKind::AlreadyExists => LedgerError::Exists { path: path.to_owned() },
        _ => LedgerError::Io { doing: writing, path: folder.clone(), source: failed.error },
    })?;
    sync_folder(&folder).map_err(LedgerError::io(writing, &folder))
}

/// The folder in which a file lies or shall lie.
pub(super) fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Makes a folder and what is missing above it, each entered durably into the one above.
fn make_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    let above = folder_of(folder);
    make_folder(&above)?;
    match fs::create_dir(folder) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(error),
        _ => {}
    }
    sync_folder(&above)
}

/// Makes what was entered into a folder durable.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

//! The few things that are done to the file's bytes, so that a test can put a failing disk in its place.

use std::fs::File;
use std::io;
use std::os::unix::fs::FileExt;

use super::chain;
use super::header::TAIL;
use super::scan::Point;

pub(super) trait Source {
    /// Reads some of what stands there; 0 only at the end.
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<usize>;
}

pub(super) trait Medium: Source {
    fn write_at(&self, bytes: &[u8], offset: u64) -> io::Result<usize>;
    fn set_len(&self, length: u64) -> io::Result<()>;
    fn sync_data(&self) -> io::Result<()>;
}

impl Source for File {
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<usize> {
        loop {
            match FileExt::read_at(self, buffer, offset) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                done => return done,
            }
        }
    }
}

impl Medium for File {
    fn write_at(&self, bytes: &[u8], offset: u64) -> io::Result<usize> {
        #[cfg(test)]
        super::planned::before_write(bytes, offset)?;
        FileExt::write_at(self, bytes, offset)
    }
    fn set_len(&self, length: u64) -> io::Result<()> {
        #[cfg(test)]
        super::planned::before_cut(length);
        File::set_len(self, length)
    }
    fn sync_data(&self) -> io::Result<()> {
        #[cfg(test)]
        super::planned::before_sync()?;
        File::sync_data(self)
    }
}

/// Bytes that were read already.
impl Source for Vec<u8> {
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<usize> {
        let there = usize::try_from(offset).ok().and_then(|offset| self.get(offset..)).unwrap_or_default();
        io::Read::read(&mut &*there, buffer)
    }
}

/// Reads exactly so many bytes, or all that there are.
pub(super) fn read_up_to(medium: &dyn Source, length: usize, offset: u64) -> io::Result<Vec<u8>> {
    let mut bytes = vec![0; length];
    let mut done = 0;
    while let Some(left) = bytes.get_mut(done..).filter(|left| !left.is_empty()) {
        match medium.read_at(left, offset + done as u64)? {
            0 => break,
            read => done += read,
        }
    }
    bytes.truncate(done);
    Ok(bytes)
}

/// Writes it all. On failure also says how much was written.
fn write_all(medium: &dyn Medium, bytes: &[u8], offset: u64) -> Result<(), (usize, io::Error)> {
    let mut done = 0;
    while let Some(left) = bytes.get(done..).filter(|left| !left.is_empty()) {
        match medium.write_at(left, offset + done as u64) {
            Ok(0) => return Err((done, io::Error::new(io::ErrorKind::WriteZero, "the disk takes no more"))),
            Ok(written) => done += written,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err((done, error)),
        }
    }
    Ok(())
}

/// How adding a line ended.
pub(super) enum Written {
    Kept,
    /// The file is as it was before.
    Not(io::Error),
    /// It could not be undone, nor shown to be kept.
    Unknown(io::Error),
}

/// Adds a line at `end`, in place of the tail, with a new tail behind it. `synced` is the last point known to be on disk.
pub(super) fn add_line(medium: &dyn Medium, synced: Point, end: Point, line: &str) -> Written {
    let bytes = [line.as_bytes(), TAIL].concat();
    let failed = match write_all(medium, &bytes, end.offset) {
        // On a full copy-on-write disk an undo would fail as well, and there is nothing to undo.
        Err((0, error)) => return Written::Not(error),
        Err((_, error)) => error,
        Ok(()) => match read_up_to(medium, bytes.len(), end.offset) {
            Ok(there) if there == bytes => match medium.sync_data() {
                Ok(()) => return Written::Kept,
                Err(error) => error,
            },
            Ok(_) => io::Error::new(io::ErrorKind::InvalidData, "what was written does not read back the same"),
            Err(error) => error,
        },
    };
    match put_tail(medium, synced, end) {
        Ok(()) => Written::Not(failed),
        Err(_) => Written::Unknown(failed),
    }
}

/// Closes the document after `end` and cuts what follows.
pub(super) fn put_tail(medium: &dyn Medium, synced: Point, end: Point) -> io::Result<()> {
    put_end(medium, synced, end, "")
}

/// Puts these whole lines after `end` in place of what stands there, closes the document, and cuts what follows. Everything
/// since `synced` is written again, because a failed sync may have left those bytes marked as saved when they were not.
/// Doing it twice, or half, does no harm.
pub(super) fn put_end(medium: &dyn Medium, synced: Point, end: Point, lines: &str) -> io::Result<()> {
    let length = usize::try_from(end.offset - synced.offset).map_err(io::Error::other)?;
    let mut bytes = read_up_to(medium, length, synced.offset)?;
    let mut before = synced.chain;
    for whole in bytes.split_inclusive(|byte| *byte == b'\n') {
        before = match chain::split(whole) {
            Some((text, value)) if chain::value(before, text) == value => value,
            _ => return Err(io::Error::new(io::ErrorKind::InvalidData, "an earlier line has changed")),
        };
    }
    if bytes.len() != length || before != end.chain {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "earlier lines are missing"));
    }
    bytes.extend_from_slice(lines.as_bytes());
    bytes.extend_from_slice(TAIL);
    write_all(medium, &bytes, synced.offset).map_err(|(_, error)| error)?;
    medium.set_len(synced.offset + bytes.len() as u64)?;
    if read_up_to(medium, bytes.len(), synced.offset)? != bytes {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "what was written does not read back the same"));
    }
    medium.sync_data()
}

//! The lock on the ledger's file: held by whoever writes, for milliseconds. Readers take none.

use std::fs::{File, TryLockError};
use std::io;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rustix::io::Errno;

use super::error::LedgerError;

/// How long one waits for another writer.
pub(super) const PATIENCE: Duration = Duration::from_secs(10);

/// The lock, until it is dropped.
pub(super) struct Held(Arc<File>);

impl Drop for Held {
    fn drop(&mut self) {
        // Closing the file would free it too, and there is nothing to do about a failure.
        let _ = self.0.unlock();
    }
}

/// Waits for the lock, asking often at first. On a Windows share a busy lock reads as “permission denied”.
pub(super) fn lock(file: &Arc<File>, path: &Path, patience: Duration) -> Result<Held, LedgerError> {
    let began = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(Held(Arc::clone(file))),
            Err(TryLockError::WouldBlock) => {}
            Err(TryLockError::Error(error)) if is_busy(&error) => {}
            Err(TryLockError::Error(source)) => return Err(LedgerError::CannotLock { path: path.to_owned(), source }),
        }
        let waited = began.elapsed();
        if waited >= patience {
            return Err(LedgerError::Busy { path: path.to_owned(), seconds: patience.as_secs() });
        }
        let pause = if waited < Duration::from_millis(50) { 1 } else { 10 };
        std::thread::sleep(Duration::from_millis(pause));
    }
}

fn is_busy(error: &io::Error) -> bool {
    error.kind() == io::ErrorKind::Interrupted || error.raw_os_error() == Some(Errno::ACCESS.raw_os_error())
}

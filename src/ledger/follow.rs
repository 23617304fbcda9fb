//! Seeing what other writers add, without the lock and without writing.

use std::time::{Duration, Instant};

use super::error::LedgerError;
use super::open::{Ledger, News, Standing};
use super::scan::{Verdict, classify, walk};

/// Something unreadable at the end that stays the same this long is no append under way.
const STRANGE_FOR: Duration = Duration::from_secs(5);

impl Ledger {
    /// What was written since one last looked. Cheap enough to be asked several times a second.
    pub fn follow(&mut self) -> Result<News, LedgerError> {
        self.follow_with(STRANGE_FOR)
    }

    pub(super) fn follow_with(&mut self, patience: Duration) -> Result<News, LedgerError> {
        if self.poisoned || !self.is_in_place()? {
            self.reload()?;
        } else if !matches!(self.standing, Standing::Damaged { .. }) {
            self.look_behind(patience)?;
            // What was lost behind the end is judged by itself.
            if self.odd.is_none() && !matches!(self.standing, Standing::Damaged { .. }) {
                self.look_again()?;
            }
        }
        Ok(std::mem::take(&mut self.pending))
    }

    fn look_behind(&mut self, patience: Duration) -> Result<(), LedgerError> {
        let found = walk(&*self.file, self.end, self.noted).map_err(LedgerError::reading(&self.path))?;
        if let Some(odd) = &self.odd {
            // What was judged on opening is judged again once it changes.
            return if found.entries.is_empty() && found.rest == *odd { Ok(()) } else { self.reload() };
        }
        let (rest, verdict) = (found.rest.clone(), classify(&found.rest, found.end.chain));
        self.take_in(found);
        if verdict == Verdict::Clean {
            self.strange = None;
            return Ok(());
        }
        // Usually somebody is just writing. If it stays, it is read as it would be on opening.
        let since = match self.strange.take() {
            Some((before, since)) if before == rest => since,
            _ => Instant::now(),
        };
        if since.elapsed() < patience {
            self.strange = Some((rest, since));
            return Ok(());
        }
        self.reload()
    }
}

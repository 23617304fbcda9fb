//! Patients of whom nobody said where they went.

use super::Look;
use crate::domain::board::Gone;

impl Look<'_> {
    /// Patients who left a room with a case, and nobody said where to: the bed where they lie now is not closed for it.
    pub(super) fn gone(&self) -> Vec<String> {
        let line = |it: &Gone| {
            format!(
                "{}: the patient left it at {} (entry {}), and nobody said where to: home, or a bed, which is then closed \
                 until it is inspected (Patient moved, of {})",
                it.bed,
                self.clock(it.at),
                it.number,
                it.bed
            )
        };
        self.board.gone().map(line).collect()
    }
}

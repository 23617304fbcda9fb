//! Patients of whom nobody said where they went.

use super::Look;
use crate::domain::board::Gone;

impl Look<'_> {
    /// Patients who left a room with a case, and nobody said where to: the bed where they lie now is not closed for it.
    pub(super) fn gone(&self) -> Vec<String> {
        let line = |it: &Gone| {
            format!(
                "{}: the patient left it at {} (entry {}), to nobody knows where",
                it.bed,
                self.clock(it.at),
                it.number
            )
        };
        let mut lines: Vec<String> = self.board.gone().map(line).collect();
        if !lines.is_empty() {
            lines.push(
                "Say it by Patient moved, of that bed; a bed where one lies now is closed until inspected.".to_owned(),
            );
        }
        lines
    }
}

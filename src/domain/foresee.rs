//! What an entry would do to the beds, before it is noted: the fold of it on a copy, and the beds before and after.

use super::board::Board;
use super::code::Code;
use super::entry::{Entry, Time};

/// Beds that an entry would close, and beds that it would open; in the order of the walk.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Foreseen {
    pub closes: Vec<Code>,
    pub opens: Vec<Code>,
}

/// More codes than this are counted.
const MOST_NAMED: usize = 6;

/// Takes about as long as a fold of the entry and two looks at every bed.
pub fn foresee(board: &Board, entry: &Entry, now: Time) -> Foreseen {
    let mut after = board.clone();
    after.apply_entry(entry, false, false);
    let open = |board: &Board| -> Vec<Code> {
        let plans = board.facility().in_walking_order();
        let beds = plans.flat_map(|plan| plan.beds.iter().map(|bed| bed.code));
        beds.filter(|bed| board.admission(*bed, now).is_empty()).collect()
    };
    let (open_before, open_after) = (open(board), open(&after));
    let only = |some: &[Code], others: &[Code]| some.iter().copied().filter(|bed| !others.contains(bed)).collect();
    Foreseen { closes: only(&open_before, &open_after), opens: only(&open_after, &open_before) }
}

impl Foreseen {
    /// `It closes 2 beds: 4N-01-A, 4N-01-B. It opens no bed.`
    pub fn words(&self) -> String {
        format!("It closes {}. It opens {}.", named(&self.closes), named(&self.opens))
    }
}

fn named(beds: &[Code]) -> String {
    let codes = |some: &[Code]| some.iter().map(Code::as_str).collect::<Vec<_>>().join(", ");
    match beds {
        [] => "no bed".to_owned(),
        [one] => format!("1 bed: {one}"),
        several if several.len() <= MOST_NAMED => format!("{} beds: {}", several.len(), codes(several)),
        many => {
            let shown = many.get(..MOST_NAMED).unwrap_or_default();
            format!("{} beds: {}, and {} more", many.len(), codes(shown), many.len() - MOST_NAMED)
        }
    }
}

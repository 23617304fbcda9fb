//! What an open room rests on: the entries behind its last return to service, after all of them were put away.

use super::{Cause, Room, SignatureKind};
use crate::domain::code::Code;
use crate::domain::entry::Number;
use crate::domain::need::Need;

/// The newest treatment that a standing return to service ended, and what that signature rests on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proof {
    pub spray: Number,
    /// The newest check that found a sprayed zone dry.
    pub dry: Option<Number>,
    /// The entries that ended its bags, oldest first.
    pub bags: Vec<Number>,
    /// The asked-for bed was made.
    pub made: Option<Number>,
    pub returned: Number,
}

impl Room {
    /// None: never treated, or the treatment is not over.
    pub fn proof(&self, bed: Code) -> Option<Proof> {
        self.past.iter().rev().find_map(|chapter| {
            let sprays = chapter.closers.iter().filter(|c| c.cause == Cause::Spray && c.voided.is_none());
            let spray = sprays.map(|c| c.number).max()?;
            let returns = chapter.signatures.iter().filter(|s| s.stands && s.kind == SignatureKind::Returned);
            let signature = returns.filter(|s| s.settles.contains(&spray)).max_by_key(|s| s.number)?;
            let behind = |wanted: &dyn Fn(&Need) -> bool| -> Vec<Number> {
                let facts = chapter.facts.iter().filter(|f| !f.voided && signature.rests_on.contains(&f.number));
                facts.filter(|f| f.gives.iter().any(wanted)).map(|f| f.number).collect()
            };
            Some(Proof {
                spray,
                dry: behind(&|need| matches!(need, Need::Dry(_))).into_iter().max(),
                bags: behind(&|need| matches!(need, Need::Bag(_))),
                made: behind(&|need| *need == Need::Made(bed)).into_iter().max(),
                returned: signature.number,
            })
        })
    }
}

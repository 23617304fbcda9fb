//! When a form asks one of a move's questions. A question that does not apply is not asked.
//!
//! This is for forms alone. The command line takes every field of a move always: what happened can always be noted.

use super::Answers;
use crate::domain::board::Board;
use crate::domain::code::Code;

/// One condition; a question is asked when all of its conditions hold.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Asked {
    /// Another field has one of these answers, alone or as `ITEM=answer`.
    If { field: &'static str, is: &'static [&'static str] },
    /// Another field has an answer, whatever it is.
    Given { field: &'static str },
    /// Something is so of what the move is about.
    Where(Circumstance),
    /// Few answer it: it stands behind "more" until that is opened or it has an answer.
    Seldom,
}

/// What can be so of a move's target.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Circumstance {
    /// It is a room with several beds, and none of them was named.
    SeveralBeds,
    /// The room is in monitoring.
    Monitoring,
    /// Nothing tells which room the bag is from.
    BagUnknown,
    /// The entry that it names is a spray or a finding.
    OfSpray,
    /// Entries of the ward are missing, or may be.
    OfGap,
    /// The patient leaves a room with a case.
    FromCase,
    /// A patient of such a room is noted in the bed that is now empty.
    PatientThere,
    /// Nobody said yet where the patient of this bed went.
    PatientGone,
    /// Of this ward.
    GoneInWard,
    /// The room is drying, and a check has found some of it damp.
    FeltDamp,
}

/// Whether something is so of the patients of a bed, or of a room's beds.
pub fn is_so_of_patients(circumstance: Circumstance, target: &str, board: &Board) -> bool {
    let facility = board.facility();
    let Ok(code) = Code::new(target) else { return false };
    let beds: Vec<Code> = match (facility.room(code), facility.room_of_bed(code)) {
        (Some(plan), _) => plan.beds.iter().map(|bed| bed.code).collect(),
        (None, Some(_)) => vec![code],
        (None, None) => return false,
    };
    let ward = beds.first().and_then(|bed| facility.room_of_bed(*bed)).map(|plan| plan.ward);
    match circumstance {
        Circumstance::FromCase => beds.iter().any(|bed| {
            board.patient_gone_from(*bed).is_some() || board.rooms_of_bed(*bed).iter().any(|room| board.carries(*room))
        }),
        Circumstance::PatientThere => beds.iter().any(|bed| board.asks_where(*bed)),
        Circumstance::PatientGone => beds.iter().any(|bed| board.patient_gone_from(*bed).is_some()),
        Circumstance::GoneInWard => {
            board.gone().any(|it| facility.room(it.room).map(|plan| plan.ward) == ward && !beds.contains(&it.bed))
        }
        Circumstance::SeveralBeds
        | Circumstance::Monitoring
        | Circumstance::BagUnknown
        | Circumstance::OfSpray
        | Circumstance::OfGap
        | Circumstance::FeltDamp => false,
    }
}

impl Asked {
    /// Whether it holds, by what was answered so far.
    pub fn holds(self, answers: &Answers, is_so: impl Fn(Circumstance) -> bool) -> bool {
        match self {
            Self::If { field, is } => answers.all(field).iter().any(|answer| {
                let said = answer.rsplit('=').next().unwrap_or(answer);
                is.iter().any(|word| word.eq_ignore_ascii_case(said))
            }),
            Self::Given { field } => answers.get(field).is_some(),
            Self::Where(circumstance) => is_so(circumstance),
            Self::Seldom => true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::moves::{FieldKind, MOVES};

    #[test]
    fn an_answer_counts_alone_and_of_a_zone() {
        let stains = Asked::If { field: "seen", is: &["dark-spots", "dead-insect"] };
        let check = |answer: &str| stains.holds(&Answers::new().with("seen", answer), |_| false);
        assert!(check("dark-spots") && check("chair=dead-insect") && check("A/mattress=Dark-Spots"));
        assert!(!check("eggs") && !check("dark-spots=eggs"));
        assert!(!stains.holds(&Answers::new(), |_| true));
    }

    /// A condition that names another field or a word that it cannot have would hide its question for ever.
    #[test]
    fn every_condition_of_the_table_can_be_met() {
        let mut conditions = 0;
        for mv in MOVES {
            for field in mv.fields {
                for asked in field.asked {
                    if let Asked::Given { field: other } = asked {
                        assert!(mv.field(other).is_some() && !field.required, "{}: {other}", mv.verb);
                    }
                    let Asked::If { field: other, is } = asked else { continue };
                    conditions += 1;
                    let other = mv.field(other).unwrap_or_else(|| panic!("{}: {other}", mv.verb));
                    let words: Vec<&str> = match other.kind {
                        FieldKind::Words(words) => words.to_vec(),
                        FieldKind::Known => vec!["yes", "no", "unknown"],
                        FieldKind::Sightings => crate::domain::entry::Sign::ALL.iter().map(|it| it.word()).collect(),
                        kind => panic!("{} {}: {kind:?} has no few answers", mv.verb, other.name),
                    };
                    assert!(is.iter().all(|word| words.contains(word)), "{} {}: {is:?}", mv.verb, field.name);
                    assert!(!field.required, "{} {}: the command line asks for it always", mv.verb, field.name);
                }
            }
        }
        assert!(conditions >= 3);
    }
}

//! Which form to open: a move, its target, and the answers that the place it was asked from knows.

use crate::domain::board::{Board, Room, State, Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Place};
use crate::domain::moves::{self, Move, On};
use crate::domain::need::{Evidence, Need};

/// A form to open. An empty verb opens none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ask {
    pub verb: &'static str,
    pub target: String,
    /// Field and answer.
    pub known: Vec<(&'static str, String)>,
}

impl Ask {
    /// A move of this room, or of its ward or bed where the move is about those.
    pub fn of_room(board: &Board, room: Code, verb: &'static str) -> Self {
        let on = moves::find(verb).map_or(On::Room, |it: &Move| it.on);
        let plan = board.facility().room(room);
        let target = match on {
            On::Ward => plan.map_or(room, |plan| plan.ward).to_string(),
            On::Room | On::Bed | On::Place => room.to_string(),
            On::Bag | On::Hospital | On::Named(_) => String::new(),
        };
        Self { verb, target, known: vec![] }
    }

    /// That this bed, and no other of its room, is as the move says.
    pub fn of_bed(bed: Code, verb: &'static str) -> Self {
        let names = moves::find(verb).is_some_and(|mv| mv.field("beds").is_some());
        let known = if names { vec![("beds", bed.to_string())] } else { vec![] };
        Self { verb, target: bed.to_string(), known }
    }

    /// Whoever chose the line has said all that the form must know: it opens at its end.
    pub fn says_all(&self) -> bool {
        self.known.iter().any(|(field, _)| *field == "beds")
    }

    /// To void this entry, in the place that it touched.
    pub fn void(entry: &Entry) -> Self {
        let target = match &entry.place {
            Place::Rooms(rooms) => rooms.first().map(Code::to_string).unwrap_or_default(),
            Place::Ward(ward) => ward.to_string(),
            Place::Hospital | Place::Unknown => "hospital".to_owned(),
        };
        Self { verb: "void", target, known: vec![("entry", entry.number.to_string())] }
    }

    /// The move that meets a need.
    pub fn for_need(board: &Board, room: Code, need: Need, cause: Number) -> Self {
        let mut ask = Self::of_room(board, room, need.verb());
        let number = |number: Number| number.to_string();
        match need {
            Need::Bag(tag) => {
                return Self::of_bag(board, room, tag, ask.verb);
            }
            Need::Made(bed) => ask.target = bed.to_string(),
            Need::InService(closing) => ask.known.push(("closing", number(closing))),
            Need::Looked(void) => ask.known.push(("void", number(void))),
            Need::Attested(line) => {
                ask.known.push(("entry", number(line)));
                ask.target = attested_place(board, line).unwrap_or(ask.target);
            }
            Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => {
                ask.known.push(("spray", number(cause)));
            }
            Need::Inspected => ask.known.push(("depth", "full".to_owned())),
            Need::Covered(_) | Need::Dry(_) | Need::Vacuumed(_) | Need::Returned | Need::Walked => {}
        }
        ask
    }

    /// A move of this room's bag. The room is said only where the same tag is out from another room too.
    pub fn of_bag(board: &Board, room: Code, tag: Code, verb: &'static str) -> Self {
        let need = Need::Bag(tag);
        let is_out = |other: &Room| {
            other.unsettled().any(|closer| closer.needs.contains(&need) && other.met(closer, need).is_none())
        };
        let elsewhere = board.rooms().any(|(code, other)| code != room && is_out(other));
        let known = elsewhere.then(|| ("room", room.to_string())).into_iter().collect();
        Self { verb, target: tag.to_string(), known }
    }

    /// The form of exactly this task.
    pub fn for_task(board: &Board, task: &Task) -> Self {
        let mut ask = match task.asked {
            Some(need) => Self::for_need(board, task.room, need, task.cause),
            None => Self::of_room(board, task.room, task.verb),
        };
        match task.kind {
            TaskKind::Attest if board.everywhere().any(|closed| closed.number == task.cause) => {
                "hospital".clone_into(&mut ask.target);
            }
            TaskKind::DailyLook => ask.known.push(("depth", "daily".to_owned())),
            TaskKind::Neighbour | TaskKind::FollowUp | TaskKind::AfterEggs | TaskKind::AfterClear | TaskKind::Mark => {
                ask.known.push(("depth", "full".to_owned()));
            }
            _ => {}
        }
        ask
    }

    /// To take it.
    pub fn take(task: &Task) -> Self {
        let known = vec![("need", task.need.clone()), ("cause", task.cause.to_string())];
        Self { verb: "accept", target: task.room.to_string(), known }
    }

    /// The room's next step: with the target and answers of the first unmet need that the same move meets.
    pub fn next(board: &Board, room: Code, verb: &'static str, evidence: &[Evidence]) -> Self {
        let open = evidence.iter().find(|it| it.met_by.is_none() && it.need.verb() == verb);
        let mut ask =
            open.map_or_else(|| Self::of_room(board, room, verb), |it| Self::for_need(board, room, it.need, it.cause));
        if verb == "inspect" && ask.known.is_empty() && board.state(room) == State::Monitoring {
            // A follow-up is a full one.
            ask.known.push(("depth", "full".to_owned()));
        }
        ask
    }
}

/// A damaged line is attested for the place that it closes.
fn attested_place(board: &Board, line: Number) -> Option<String> {
    match board.place_of(line)? {
        Place::Rooms(rooms) => rooms.first().map(Code::to_string),
        Place::Ward(ward) => Some(ward.to_string()),
        Place::Hospital | Place::Unknown => Some("hospital".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::moves::tests::sample::{board, code};

    /// An answer under a name that the move does not ask for fills in nothing, and the form takes the first line that comes.
    #[test]
    fn what_a_form_is_told_is_asked_by_its_move() {
        let zone = crate::domain::facility::Zone::parse("chair").unwrap();
        let needs = [
            Need::Covered(zone),
            Need::Dry(zone),
            Need::Vacuumed(zone),
            Need::Bag(code("B1")),
            Need::Made(code("4N-12-A")),
            Need::InService(Number(3)),
            Need::Looked(Number(3)),
            Need::Attested(Number(3)),
            Need::ZonesNamed,
            Need::FinishNamed,
            Need::LabelNamed,
            Need::LinensNamed,
            Need::Inspected,
            Need::Returned,
            Need::Walked,
        ];
        for need in needs {
            let ask = Ask::for_need(&board(), code("4N-12"), need, Number(3));
            let asks = moves::find(ask.verb).unwrap();
            for (name, _) in &ask.known {
                assert!(asks.field(name).is_some(), "{} does not ask “{name}”", ask.verb);
            }
        }
        let attests = Ask::for_need(&board(), code("4N-12"), Need::Attested(Number(3)), Number(3));
        assert!(attests.known.contains(&("entry", "3".to_owned())), "{attests:?}");
    }
}

//! What is asked once more before it is noted: what cannot be taken back, what is likely a slip of the pen, and what nobody
//! should have done. The answer at hand is no. It refuses nothing, and holds no rule.

use super::board::{Board, Cause, Occupancy, State, permitted};
use super::code::Code;
use super::decide::{Command, decide};
use super::describe::sentence;
use super::doubts::{Load, doubts};
use super::entry::{Body, Entry, Known, Number, Place, Time};
use super::facility::Zone;
use super::foresee::foresee;
use super::laundry;
use super::need::Need;
use super::odd::{odd, unlikely};
use super::rule::Rule;
use super::shown::shown;

/// The question, with the object and the effect. None: it is noted without one. `same_load`: the load was said to be that of
/// an entry whose trace it has, and is not asked about again.
pub fn once_more(
    board: &Board,
    entries: &[Entry],
    command: &Command,
    person: Code,
    now: Time,
    same_load: bool,
) -> Option<String> {
    let asks = Asks { board, entries, now, same_load, doer: command.done_by.unwrap_or(person) };
    asks.about(&command.place, &command.body).or_else(|| asks.of_trace(command)).or_else(|| {
        // A refusal comes from the desk, and stands where it happened.
        let entry = decide(board, command, person, now).ok()?;
        let unlikely = unlikely(&entry, board);
        if !entry.body.is_setting() {
            let both = [asks.by_whom(&entry), asks.off_label(&entry), unlikely].into_iter().flatten();
            let both = both.collect::<Vec<_>>().join(" ");
            return Some(both).filter(|it| !it.is_empty()).or_else(|| odd(&entry));
        }
        let what = shown(&sentence(&entry, board));
        let unlikely = unlikely.map(|question| format!(" {question}")).unwrap_or_default();
        Some(format!("Note it in the book? {what}. {}{unlikely}", foresee(board, &entry, now).words()))
    })
}

struct Asks<'a> {
    board: &'a Board,
    entries: &'a [Entry],
    now: Time,
    same_load: bool,
    doer: Code,
}

/// The room that a thing came from, where nothing that is noted there is wet.
pub fn came_from_dry(board: &Board, tag: &str, from: Option<Code>) -> Option<Code> {
    let journey = board.thing(tag).filter(|thing| thing.arrived.is_none());
    let from = from.or(journey.map(|thing| thing.from))?;
    (!board.comes_wet(tag, Some(from))).then_some(from)
}

impl Asks<'_> {
    fn about(&self, place: &Place, body: &Body) -> Option<String> {
        match body {
            Body::Voided { entry, .. } => Some(self.void(*entry)),
            // Nothing was filled in, and everything rests on it.
            Body::WardWalked { .. } => {
                let ward = if let Place::Ward(ward) = place { ward.to_string() } else { "there".to_owned() };
                let gaps: Vec<String> =
                    self.board.gaps_of(place).into_iter().map(|gap| self.board.gap_words(gap)).collect();
                if !gaps.is_empty() {
                    return Some(format!(
                        "{}. Sign that you asked everybody who was on duty then, that what they told is noted anew, and that \
                         you walked ward {}, felt every room that could have been sprayed, and found no spray, bag or \
                         finding unrecorded?",
                        gaps.join("; "),
                        shown(&ward)
                    ));
                }
                Some(format!(
                    "Sign that you walked ward {}, room by room, and that no spray, bag or finding there is unrecorded?",
                    shown(&ward)
                ))
            }
            Body::Attested { line, .. } => Some(format!(
                "Attest entry {line}? What it closed stays closed only by what you have noted anew. An attest is not taken \
                 back."
            )),
            Body::Laundered { bag, .. } if self.settled_by(place, *bag).is_some() => {
                let (load, at) = self.settled_by(place, *bag)?;
                Some(format!(
                    "Bag {bag} was settled at {} already (entry {load}). Note another load of it? If it is another bag, \
                     look at its tag.",
                    self.board.clock(at)
                ))
            }
            Body::Laundered { bag, cycle, .. } => {
                let verdict = laundry::judge(cycle, laundry::criterion_of(self.board.policy()), true);
                let failures = verdict.failures();
                (!failures.is_empty()).then(|| {
                    let why = shown(&failures.join("; "));
                    format!(
                        "Note a load that does not settle bag {bag}? {why}. It is kept as failed, and the bag stays out."
                    )
                })
            }
            Body::Occupied { beds } => self.in_closed_bed(beds),
            // Afterwards, of a patient who lies there already.
            Body::PatientMoved { answers: Some(_), .. } => None,
            Body::PatientOut { beds, receiving, receiving_bed, .. }
            | Body::PatientMoved { beds, receiving, receiving_bed, .. } => {
                let several = self.several_out(beds);
                let to =
                    match (receiving_bed, receiving) {
                        // One question says both: that a bed is promised is not why nobody goes in.
                        (Some(bed), _) => {
                            let both = [self.in_closed_bed(&[*bed]), self.in_promised_bed(*bed)];
                            let both: Vec<String> = both.into_iter().flatten().collect();
                            (!both.is_empty()).then(|| both.join(" "))
                        }
                        (None, Some(room)) => self.board.facility().room(*room).and_then(|plan| {
                            self.in_closed_bed(&plan.beds.iter().map(|bed| bed.code).collect::<Vec<_>>())
                        }),
                        (None, None) => None,
                    };
                let all: Vec<String> = several.into_iter().chain(to).collect();
                (!all.is_empty()).then(|| all.join(" "))
            }
            Body::ThingArrived { thing, from, wet } if *wet != Known::No => self.dry_by_the_record(place, thing, *from),
            Body::Vacuumed { .. } | Body::BedMade { .. } | Body::Inspected { .. } => self.in_a_wet_room(place),
            Body::OccupancyConfirmed { occupied, empty, gone } => self.count_that_differs(place, occupied, empty, gone),
            Body::TreatedOtherwise { .. } if !self.sprays(place) => self.in_a_wet_room(place),
            Body::OutOfService { .. } => self.out_of_service_again(place),
            Body::Promised { beds, wanted: Some(_) } => self.promised_occupied(beds),
            _ => None,
        }
    }

    /// A load that would settle its bag by a trace that is doubtful.
    fn of_trace(&self, command: &Command) -> Option<String> {
        let Body::Laundered { bag, cycle, .. } = &command.body else { return None };
        let load = Load { bag: *bag, cycle, number: None, same_load: self.same_load };
        let doubts = doubts(&load, self.entries);
        (!doubts.is_empty()).then(|| format!("{} Note it?", shown(&doubts.join(" "))))
    }

    /// Done by somebody whose work it is not.
    fn by_whom(&self, entry: &Entry) -> Option<String> {
        let doer = self.board.people().get(&entry.done_by)?;
        let who = permitted(&entry.body, doer, entry.happened, self.board.policy()).err()?;
        let (did, role) = (entry.done_by, doer.role.title());
        Some(match &entry.body {
            Body::Sprayed { .. } => format!(
                "Note a spray by somebody who may not apply? {did} is {role}. The room is treated-wet from then on and \
                 nobody goes in, no zone of it counts as treated, and it is kept as an exception, without blame. Call the \
                 housekeeping lead. If somebody else sprayed, say who (done by)."
            ),
            _ => format!("Note what {did}, {role}, did? It is for {who}. It closes beds all the same."),
        })
    }

    /// Sprayed where the label, as the hospital's list has it, does not allow it, or where nothing is ever sprayed.
    fn off_label(&self, entry: &Entry) -> Option<String> {
        let Body::Sprayed { zones: Some(zones), product, .. } = &entry.body else { return None };
        let plans: Vec<_> =
            self.board.rooms_of(&entry.place).into_iter().filter_map(|code| self.board.facility().room(code)).collect();
        let wrong = |zone: &&Zone| plans.iter().any(|plan| self.board.must_not_be_sprayed(plan, **zone, *product));
        let wrong: Vec<String> = zones.iter().filter(wrong).map(|zone| shown(&zone.to_string())).collect();
        (!wrong.is_empty()).then(|| {
            format!(
                "Note a spray where it must not be? {}: neither the label, as the hospital's list has it, nor the room's plan \
                 allows it there. If it was not sprayed there, take it out; if it was, it is kept as an exception.",
                wrong.join(", ")
            )
        })
    }

    fn void(&self, number: Number) -> String {
        let what = self.entries.iter().rev().find(|entry| entry.number == number);
        let what = what.map_or(String::new(), |entry| format!(" ({})", shown(&sentence(entry, self.board))));
        format!(
            "Void entry {number}{what}? It stays written, and counts no more. What stood on it falls. A void is never voided; \
             if the entry closed the room, a second person has to look before anything opens."
        )
    }

    /// The entry that settled this bag, and when, if nothing waits for it any more.
    fn settled_by(&self, place: &Place, bag: Code) -> Option<(Number, Time)> {
        let rooms = self.board.rooms_of(place);
        let rooms = || rooms.iter().filter_map(|code| self.board.room(*code));
        let asks = rooms().flat_map(|room| room.evidence()).filter(|it| it.need == Need::Bag(bag));
        let met: Option<Vec<Number>> = asks.map(|it| it.met_by).collect();
        let newest = met?.into_iter().max()?;
        rooms().find_map(|room| room.knows_fact(newest)).map(|fact| (newest, fact.done))
    }

    fn use_of(&self, bed: Code) -> Option<&super::board::BedUse> {
        let room = self.board.facility().room_of_bed(bed)?.code;
        self.board.room(room)?.beds.get(&bed)
    }

    /// Received into a bed that is kept for somebody else.
    fn in_promised_bed(&self, bed: Code) -> Option<String> {
        let promise = self.use_of(bed)?.promised?;
        Some(format!(
            "Bed {bed} is promised for {} (by {}). Note this patient in it? That ends the promise: tell {}, or take another bed.",
            self.board.clock(promise.wanted),
            promise.by,
            promise.by
        ))
    }

    /// Said to be wet, or not known to be dry, though nothing where it came from is wet.
    fn dry_by_the_record(&self, place: &Place, tag: &str, from: Option<Code>) -> Option<String> {
        let from = came_from_dry(self.board, tag, from)?;
        let here = self.board.rooms_of(place).first().map_or("The room".to_owned(), |room| format!("Room {room}"));
        Some(format!(
            "By what is noted nothing in {from}, where {} came from, is wet. Note it as wet, or not known to be dry, all the \
             same? {here} is then treated-wet: DO NOT ENTER, until it was felt there. If it was felt and is dry, say no.",
            shown(tag)
        ))
    }

    /// Promised while somebody lies in it.
    fn promised_occupied(&self, beds: &[Code]) -> Option<String> {
        let lies = |bed: &&Code| self.board.occupancy(**bed, self.now) == Occupancy::Occupied;
        let bed = beds.iter().find(lies)?;
        let since = self.use_of(*bed).and_then(super::board::BedUse::occupied).map(|(_, at)| self.board.clock(at));
        Some(format!("A patient is in bed {bed} since {}. Promise it all the same?", since.unwrap_or_default()))
    }

    /// Each closing for another reason is ended by name.
    fn out_of_service_again(&self, place: &Place) -> Option<String> {
        let rooms = self.board.rooms_of(place);
        let held = |code: &Code| {
            let open =
                self.board.room(*code)?.unsettled().find(|c| c.cause == Cause::OutOfService && c.voided.is_none())?;
            Some((*code, open.number, open.happened, shown(&open.words)))
        };
        let (room, entry, since, words) = rooms.iter().find_map(held)?;
        Some(format!(
            "Room {room} is out of service already since {} (entry {entry}: {words}). Note another reason? Each is ended by \
             name.",
            self.board.clock(since)
        ))
    }

    /// A count that says otherwise than what was last noted: a slip of one line opens a bed with a patient in it.
    fn count_that_differs(&self, place: &Place, occupied: &[Code], empty: &[Code], gone: &[Code]) -> Option<String> {
        let now = |bed: &Code| self.board.occupancy(*bed, self.now);
        let left: Vec<Code> = empty.iter().filter(|bed| now(bed) == Occupancy::Occupied).copied().collect();
        let came: Vec<Code> = occupied.iter().filter(|bed| now(bed) == Occupancy::Empty).copied().collect();
        let promised: Vec<Code> = occupied
            .iter()
            .filter(|bed| self.use_of(**bed).is_some_and(|used| used.promised.is_some()))
            .copied()
            .collect();
        if left.is_empty() && came.is_empty() && promised.is_empty() && gone.is_empty() {
            return None;
        }
        let named = |beds: &[Code]| beds.iter().map(Code::to_string).collect::<Vec<_>>().join(", ");
        let mut parts = vec![];
        if !left.is_empty() {
            let opens = left.iter().filter(|bed| {
                let mut others = self.board.admission(**bed, self.now).into_iter();
                others.all(|blocker| blocker.rule == Rule::Occupancy)
            });
            let opens: Vec<Code> = opens.copied().collect();
            let then = if opens.is_empty() { String::new() } else { format!(" (it opens {})", named(&opens)) };
            parts.push(format!("now empty, though a patient was noted in it: {}{then}", named(&left)));
        }
        if !gone.is_empty() {
            let which = named(gone);
            parts.push(format!(
                "gone from a room with a case, and where to is asked until somebody says it (Patient moved): {which}"
            ));
        }
        if !came.is_empty() {
            let closed = came.iter().find_map(|bed| self.other_blocker(bed));
            let closed = closed.map(|why| format!(" ({why})")).unwrap_or_default();
            parts.push(format!("now with a patient, though noted empty: {}{closed}", named(&came)));
        }
        if !promised.is_empty() {
            parts.push(format!("promised, which ends by it: {}", named(&promised)));
        }
        let ward = if let Place::Ward(ward) = place { format!(" of {ward}") } else { String::new() };
        Some(format!("The count{ward} differs from what was last noted; {}. Is it so?", parts.join("; ")))
    }

    /// Why the bed is closed, for more than its patient and for more than an inspection that is owed to whoever came before.
    fn other_blocker(&self, bed: &Code) -> Option<String> {
        let blockers = self.board.admission(*bed, self.now);
        let waits_only = |rule: Rule| matches!(rule, Rule::Occupancy | Rule::Receiving | Rule::WardWalk | Rule::Damage);
        let other = blockers.into_iter().find(|blocker| !waits_only(blocker.rule))?;
        Some(format!("{bed}: {}", shown(&other.text)))
    }

    /// Nobody named the beds, or several: one patient more may go on paper than in the house.
    fn several_out(&self, beds: &[Code]) -> Option<String> {
        let noted: Vec<String> =
            beds.iter().filter(|bed| self.board.may_be_occupied(**bed)).map(Code::to_string).collect();
        (noted.len() > 1).then(|| {
            format!(
                "The patients of {} beds, {}, are out by this note. Are all of them out?",
                noted.len(),
                noted.join(", ")
            )
        })
    }

    /// A patient in a bed that is closed for more than its patient.
    fn in_closed_bed(&self, beds: &[Code]) -> Option<String> {
        let closed = |bed: &Code| self.other_blocker(bed).map(|why| format!("Bed {why}"));
        let why = beds.iter().find_map(closed)?;
        let is_wet = |bed: &Code| {
            let plan = self.board.facility().room_of_bed(*bed);
            plan.is_some_and(|plan| self.board.state(plan.code) == State::TreatedWet)
        };
        let why = if beds.iter().any(is_wet) { format!("The room is treated-wet, DO NOT ENTER. {why}") } else { why };
        Some(format!(
            "Note a patient in a bed that is closed? {why}. It is kept as an exception, without blame. If the patient is not \
             in it yet: take another bed."
        ))
    }

    /// Whoever sprays may be inside.
    fn sprays(&self, place: &Place) -> bool {
        self.board.rooms_of(place).into_iter().all(|room| self.board.sprays(room, self.doer))
    }

    /// Work in a room in which nobody should be.
    fn in_a_wet_room(&self, place: &Place) -> Option<String> {
        let wet = |code: &Code| self.board.state(*code) == State::TreatedWet;
        let room = self.board.rooms_of(place).into_iter().find(wet)?;
        Some(format!(
            "Room {room} is treated-wet: DO NOT ENTER. Note work that was done in it all the same? What has to come after \
             drying does not count, and it is kept as an exception, without blame."
        ))
    }
}

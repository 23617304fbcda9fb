//! What is asked once more before it is noted: what cannot be taken back, what is likely a slip of the pen, and what nobody
//! should have done. The answer at hand is no. It refuses nothing, and holds no rule.

use super::board::{Board, State};
use super::code::Code;
use super::decide::{Command, decide};
use super::describe::sentence;
use super::doubts::{Load, doubts};
use super::entry::{Body, Entry, Number, Place, Time};
use super::foresee::foresee;
use super::laundry;
use super::odd::odd;
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
    let asks = Asks { board, entries, now, same_load };
    let happened = command.happened.unwrap_or(now);
    asks.about(&command.place, &command.body).or_else(|| asks.of_trace(command, happened)).or_else(|| {
        // A refusal comes from the desk, and stands where it happened.
        let entry = decide(board, command, person, now).ok()?;
        if !entry.body.is_setting() {
            return odd(&entry);
        }
        let what = shown(&sentence(&entry, board));
        Some(format!("Note it in the book? {what}. {}", foresee(board, &entry, now).words()))
    })
}

struct Asks<'a> {
    board: &'a Board,
    entries: &'a [Entry],
    now: Time,
    same_load: bool,
}

impl Asks<'_> {
    fn about(&self, place: &Place, body: &Body) -> Option<String> {
        match body {
            Body::Voided { entry, .. } => Some(self.void(*entry)),
            // Nothing was filled in, and everything rests on it.
            Body::WardWalked { .. } => {
                let ward = if let Place::Ward(ward) = place { ward.to_string() } else { "there".to_owned() };
                Some(format!(
                    "Sign that you walked ward {}, room by room, and that no spray, bag or finding there is unrecorded?",
                    shown(&ward)
                ))
            }
            Body::Attested { line, .. } => Some(format!(
                "Attest entry {line}? What it closed stays closed only by what you have noted anew. An attest is not taken \
                 back."
            )),
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
            Body::PatientOut { receiving_bed: Some(bed), .. } => self.in_closed_bed(&[*bed]),
            Body::PatientOut { receiving: Some(room), .. } => {
                let plan = self.board.facility().room(*room)?;
                self.in_closed_bed(&plan.beds.iter().map(|bed| bed.code).collect::<Vec<_>>())
            }
            Body::Vacuumed { .. } | Body::BedMade { .. } => self.in_a_wet_room(place),
            _ => None,
        }
    }

    /// A load that would settle its bag by a trace that is doubtful.
    fn of_trace(&self, command: &Command, happened: Time) -> Option<String> {
        let Body::Laundered { bag, cycle, .. } = &command.body else { return None };
        let load = Load { place: &command.place, bag: *bag, cycle, happened, number: None, same_load: self.same_load };
        let doubts = doubts(&load, self.board, self.entries, self.now);
        (!doubts.is_empty()).then(|| format!("{} Note it?", shown(&doubts.join(" "))))
    }

    fn void(&self, number: Number) -> String {
        let what = self.entries.iter().rev().find(|entry| entry.number == number);
        let what = what.map_or(String::new(), |entry| format!(" ({})", shown(&sentence(entry, self.board))));
        format!(
            "Void entry {number}{what}? It stays written, and counts no more. What stood on it falls. A void is never voided; \
             if the entry closed the room, a second person has to look before anything opens."
        )
    }

    /// A patient in a bed that is closed for more than its patient.
    fn in_closed_bed(&self, beds: &[Code]) -> Option<String> {
        let closed = |bed: &Code| {
            let blockers = self.board.admission(*bed, self.now);
            let other = blockers.into_iter().find(|blocker| blocker.rule != Rule::Occupancy)?;
            Some(format!("Bed {bed}: {}", shown(&other.text)))
        };
        let why = beds.iter().find_map(closed)?;
        Some(format!(
            "Note a patient in a bed that is closed? {why}. It is kept as an exception, without blame. If the patient is not \
             in it yet: take another bed."
        ))
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

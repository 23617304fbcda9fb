//! What a patient's move can be refused for: it says where they went, once, and names every room that it may close.

use super::Refusal;
use super::refusals::{beds_of_place, no_tag_refusal};
use crate::domain::board::{BedUse, Board};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Went};
use crate::domain::rule::Rule;

pub(super) fn move_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let Body::PatientMoved { beds, went, receiving, receiving_bed, outside, own_bed, things, answers, .. } =
        &entry.body
    else {
        return Ok(());
    };
    let no = |text: String| Err(Refusal::new(Rule::Place, text));
    if beds.is_empty() {
        return no("say which bed the patient left".to_owned());
    }
    beds_of_place(board, entry, beds)?;
    match (went, receiving) {
        (Went::Bed, None) => return no("say to which bed or room the patient went".to_owned()),
        (Went::Home | Went::Elsewhere | Went::Unknown, Some(room)) => {
            return no(format!("the patient went {}, and to {room}: say which of the two", went.title()));
        }
        _ => {}
    }
    match (went, outside.trim().is_empty()) {
        (Went::Elsewhere, true) => return no("say to what place the patient went, as it is called".to_owned()),
        (Went::Bed | Went::Home | Went::Unknown, false) => {
            return no(format!("the patient went {}, and to “{}”: say which of the two", went.title(), outside.trim()));
        }
        _ => {}
    }
    if *own_bed {
        own_bed_refusal(board, beds, *went, *receiving, *receiving_bed)?;
    }
    for thing in things {
        no_tag_refusal(thing)?;
    }
    if let Some(number) = answers {
        if !board.gone().any(|it| it.number == *number && beds.contains(&it.bed)) {
            let text = format!("nobody asks where the patient went who left by entry {number}");
            return Err(Refusal::new(Rule::Target, text));
        }
        if *went == Went::Unknown {
            return Err(Refusal::new(
                Rule::Target,
                "that is what is asked: say where the patient went, once it is known",
            ));
        }
    }
    let Some(room) = *receiving else { return Ok(()) };
    if !board.rooms_of(&entry.place).contains(&room) {
        return no(format!("the entry has to name room {room}, which receives the patient, too"));
    }
    let same_room = beds.iter().any(|bed| board.rooms_of_bed(*bed) == [room]);
    let same_bed = receiving_bed.is_some_and(|bed| beds.contains(&bed));
    if same_bed || (same_room && receiving_bed.is_none()) {
        return no("the patient cannot be moved to where they came from: name another bed".to_owned());
    }
    let lie = beds.iter().filter(|bed| board.may_be_occupied(**bed)).count();
    if receiving_bed.is_some() && lie > 1 {
        return no(format!("{lie} patients do not go to one bed: note each by itself, with the bed that each left"));
    }
    let is_used = |bed: &Code| board.room(room).and_then(|it| it.beds.get(bed)).is_some_and(BedUse::is_occupied);
    // Said afterwards it is that patient who is noted there.
    match receiving_bed.filter(|bed| answers.is_none() && is_used(bed)) {
        Some(bed) => {
            let text = format!("a patient is noted in bed {bed}: name another bed, or note that one empty first");
            Err(Refusal::new(Rule::Occupancy, text))
        }
        None => Ok(()),
    }
}

fn own_bed_refusal(
    board: &Board,
    beds: &[Code],
    went: Went,
    receiving: Option<Code>,
    receiving_bed: Option<Code>,
) -> Result<(), Refusal> {
    let no = |text: String| Err(Refusal::new(Rule::Place, text));
    let [bed] = beds else {
        return no("each patient goes in their own bed: note each move by itself".to_owned());
    };
    if let Some(other) = receiving_bed {
        return no(format!(
            "the patient lies in their own bed {bed}, or in {other}: say which; where {bed} stands, name the room"
        ));
    }
    if matches!(went, Went::Home | Went::Unknown) {
        return no(format!("a bed goes to a room or a place: say where {bed} was rolled to"));
    }
    match receiving.filter(|room| board.rooms_of_bed(*bed) == [*room]) {
        Some(room) => no(format!("bed {bed} stands in {room} already")),
        None => Ok(()),
    }
}

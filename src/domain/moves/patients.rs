//! Where a patient went, as it is typed: with a move, with a bed that is noted empty, and afterwards.

use super::build::add_room;
use super::read::Reader;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Known, Place, Went};

/// A patient who left these beds. The place names first the room where their bed stands.
pub(super) fn patient_moved(reader: &mut Reader<'_>, place: &mut Place, beds: Vec<Code>) -> Body {
    let (receiving, receiving_bed) = reader.room_and_bed("to").unzip();
    let outside = reader.text("place").unwrap_or_default();
    let went = reader.word("went", Went::from_word).unwrap_or(match (receiving, outside.is_empty()) {
        (Some(_), _) => Went::Bed,
        (None, false) => Went::Elsewhere,
        (None, true) => Went::Unknown,
    });
    let washed_and_changed = reader.known("washed");
    let is_move = reader.asks("own-bed");
    let own_bed = is_move && reader.yes_no("own-bed").unwrap_or(false);
    let things = if is_move { reader.codes("things").unwrap_or_default() } else { vec![] };
    let said = if is_move { reader.entry("answers") } else { None };
    let answers = said.or_else(|| match beds.as_slice() {
        // Nobody lies in it any more: it is that patient who is meant.
        [bed] if went != Went::Unknown && !reader.board.may_be_occupied(*bed) => {
            reader.board.patient_gone_from(*bed).map(|it| it.number)
        }
        _ => None,
    });
    let mut rooms: Vec<Code> = vec![];
    for room in beds.iter().flat_map(|bed| reader.board.rooms_of_bed(*bed)) {
        if !rooms.contains(&room) {
            rooms.push(room);
        }
    }
    if !rooms.is_empty() {
        *place = Place::Rooms(rooms);
    }
    add_room(place, receiving);
    let things = things.iter().map(Code::to_string).collect();
    Body::PatientMoved {
        beds,
        went,
        receiving,
        receiving_bed: receiving_bed.flatten(),
        outside: outside.trim().to_owned(),
        washed_and_changed,
        own_bed,
        things,
        answers,
    }
}

/// Who is found in this bed is the patient who left that one, and of whom nobody said where they went.
pub(super) fn patient_found(
    reader: &mut Reader<'_>,
    place: &mut Place,
    from: Option<Code>,
    beds: &[Code],
) -> Option<Body> {
    let gone = from.and_then(|from| reader.board.patient_gone_from(from));
    let (Some(gone), [bed]) = (gone, beds) else {
        let asked: Vec<String> = reader.board.gone().map(|it| it.bed.to_string()).collect();
        let text = match (beds.len(), asked.is_empty()) {
            (0 | 1, true) => "nobody asks where a patient went: leave it out".to_owned(),
            (0 | 1, false) => format!("name the bed that the patient left: {}", asked.join(", ")),
            _ => "one patient lies in one bed: note each bed by itself".to_owned(),
        };
        reader.complain("from", text);
        return None;
    };
    let receiving = reader.board.facility().room_of_bed(*bed).map(|plan| plan.code);
    let mut rooms = vec![gone.room];
    rooms.extend(receiving.filter(|room| *room != gone.room));
    *place = Place::Rooms(rooms);
    Some(Body::PatientMoved {
        beds: vec![gone.bed],
        went: Went::Bed,
        receiving,
        receiving_bed: Some(*bed),
        outside: String::new(),
        washed_and_changed: Known::Unknown,
        own_bed: false,
        things: vec![],
        answers: Some(gone.number),
    })
}

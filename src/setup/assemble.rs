//! Rows of text to wards, rooms and beds. Every fault is collected, so that a list is mended in one go.

use std::collections::HashMap;

use super::fault::{Fault, quoted, unprintable};
use super::rows::{Column, Row};
use super::{PlannedRoom, PlannedWard};
use crate::domain::code::Code;
use crate::domain::facility::{Bed, Side};
use crate::domain::floor;

/// The longest name of a ward or room, in characters.
const LONGEST_NAME: usize = 80;

/// What stands in a neighbour's cell to say that there is none, so that none is worked out.
const NONE: &str = "-";

/// What a row says of one side of its room.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(super) enum Given {
    /// Nothing: it may be worked out.
    #[default]
    Open,
    Nobody,
    Rooms(Vec<Code>),
}

/// A room with what its row says of its five sides, in the order of [`Side::ALL`].
pub(super) struct Draft {
    pub(super) room: PlannedRoom,
    pub(super) sides: [Given; Side::ALL.len()],
}

pub(super) struct Assembled {
    pub(super) wards: Vec<PlannedWard>,
    pub(super) rooms: Vec<Draft>,
}

pub(super) fn assemble(rows: &[Row], kinds: &[Code]) -> Result<Assembled, Vec<Fault>> {
    let mut reader = Reader { kinds, faults: vec![], taken: HashMap::new(), wards: vec![], ward_at: HashMap::new() };
    let drafts: Vec<(&Row, Draft)> = rows.iter().filter_map(|row| Some((row, reader.room(row)?))).collect();
    reader.check_neighbours(rows, &drafts);
    if rows.is_empty() {
        reader.faults.push(Fault::new(
            1,
            "",
            "there are no rooms",
            "`dryhold setup --sample` prints a list to fill in",
        ));
    }
    if reader.faults.is_empty() {
        let rooms = drafts.into_iter().map(|(_, draft)| draft).collect();
        return Ok(Assembled { wards: reader.wards, rooms });
    }
    reader.faults.sort_by_key(|fault| fault.line);
    Err(reader.faults)
}

struct Reader<'a> {
    kinds: &'a [Code],
    faults: Vec<Fault>,
    /// What each code is, and in which line: one code, one thing, in the whole hospital.
    taken: HashMap<Code, (&'static str, u64)>,
    wards: Vec<PlannedWard>,
    ward_at: HashMap<Code, usize>,
}

impl Reader<'_> {
    fn fault(&mut self, row: &Row, column: Column, what: impl Into<String>, fix: impl Into<String>) {
        self.faults.push(Fault::new(row.line, column.word(), what, fix));
    }

    /// Reads a row. None if its ward or room has no usable code; the fault is kept.
    fn room(&mut self, row: &Row) -> Option<Draft> {
        let mut is_printable = true;
        for column in Column::ALL {
            if let Some(what) = unprintable(row.get(column)) {
                self.fault(row, column, format!("the text holds {what}"), "Delete it");
                is_printable = false;
            }
        }
        if !is_printable {
            return None;
        }
        let ward = self.code(row, Column::Ward, row.get(Column::Ward));
        let code = self.code(row, Column::Room, row.get(Column::Room));
        let (ward, code) = (ward?, code?);
        let order = self.ward(row, ward)?;
        self.take(row, Column::Room, code, "room");
        let name = self.name(row, Column::RoomName);
        let beds = self.beds(row);
        // A list with a fault is not used; what else is wrong in the row is said all the same.
        let kind = self.kind(row, beds.is_empty()).unwrap_or(code);
        let serves = self.codes(row, Column::Serves, true);
        let floor_dm2 = self.floor_m2(row);
        let columns = [Column::Left, Column::Right, Column::Opposite, Column::Above, Column::Below];
        let sides = columns.map(|column| match row.get(column) {
            "" => Given::Open,
            NONE => Given::Nobody,
            _ => Given::Rooms(self.codes(row, column, false)),
        });
        let room = PlannedRoom { code, name, ward, kind, order, beds, neighbours: vec![], serves, floor_dm2 };
        Some(Draft { room, sides })
    }

    /// Notes the row's ward, and answers the room's place in its walk, from 1.
    fn ward(&mut self, row: &Row, code: Code) -> Option<u32> {
        let name = self.name(row, Column::WardName);
        let floor = self.floor(row);
        if let Some(ward) = self.ward_at.get(&code).and_then(|at| self.wards.get_mut(*at)) {
            ward.rooms += 1;
            let order = ward.rooms;
            let (known_name, known_floor, first) = (ward.name.clone(), ward.floor, ward.line);
            if !name.is_empty() && name != known_name {
                let what =
                    format!("ward {code} is named {} here, and {} in line {first}", quoted(&name), quoted(&known_name));
                self.fault(row, Column::WardName, what, "Give it one name, or leave the cell empty");
            }
            if floor.is_some_and(|floor| floor != known_floor) {
                let what =
                    format!("ward {code} is on another floor here than in line {first}, which says {known_floor}");
                self.fault(row, Column::Floor, what, "Make them the same; a ward on two floors is two wards");
            }
            return Some(order);
        }
        if !self.take(row, Column::Ward, code, "ward") {
            return None;
        }
        let name = if name.is_empty() { code.to_string() } else { name };
        self.ward_at.insert(code, self.wards.len());
        self.wards.push(PlannedWard { code, name, floor: floor.unwrap_or(0), rooms: 1, line: row.line });
        Some(1)
    }

    fn floor(&mut self, row: &Row) -> Option<i16> {
        let text = row.get(Column::Floor);
        if text.is_empty() {
            return None;
        }
        let floor = text.parse().ok();
        if floor.is_none() {
            let what = format!("{} is no floor", quoted(text));
            self.fault(row, Column::Floor, what, "Write a whole number: 0 for the entrance floor, -1 for the basement");
        }
        floor
    }

    /// How large the room's floor is, in square decimetres. Not the storey.
    fn floor_m2(&mut self, row: &Row) -> Option<u32> {
        let text = row.get(Column::FloorM2);
        let read = floor::read_floor(text);
        if read.is_none() && !text.is_empty() {
            let what = format!("{} is no floor of a room", quoted(text));
            self.fault(row, Column::FloorM2, what, "Write its area in m², 1 to 500, for example 18.5");
        }
        read
    }

    fn kind(&mut self, row: &Row, has_no_beds: bool) -> Option<Code> {
        let all = self.kinds.iter().map(Code::to_string).collect::<Vec<_>>().join(", ");
        let text = match row.get(Column::Kind) {
            "" if has_no_beds => {
                let fix = format!("Write {all}; for a patient room list its beds");
                self.fault(row, Column::Kind, "a room without beds needs a kind", fix);
                return None;
            }
            "" => "patient-room",
            text => text,
        };
        let known = self.kinds.iter().find(|kind| kind.as_str().eq_ignore_ascii_case(text)).copied();
        if known.is_none() {
            self.fault(row, Column::Kind, format!("there is no kind of room {}", quoted(text)), format!("Write {all}"));
        }
        known
    }

    fn name(&mut self, row: &Row, column: Column) -> String {
        let text = row.get(column);
        if text.chars().count() > LONGEST_NAME {
            let what = format!("the name {} is longer than {LONGEST_NAME} characters", quoted(text));
            self.fault(row, column, what, "Shorten it");
        }
        text.to_owned()
    }

    fn beds(&mut self, row: &Row) -> Vec<Bed> {
        let text = row.get(Column::Beds);
        let mut beds = vec![];
        for part in text.split([' ', ';']).map(str::trim).filter(|it| !it.is_empty()) {
            let (code, features) = part.split_once(':').unwrap_or((part, ""));
            let Some(code) = self.code(row, Column::Beds, code) else { continue };
            self.take(row, Column::Beds, code, "bed");
            let features = features.split('+').map(str::trim).filter(|it| !it.is_empty()).map(str::to_owned).collect();
            beds.push(Bed { code, features });
        }
        beds
    }

    fn code(&mut self, row: &Row, column: Column, text: &str) -> Option<Code> {
        match Code::new(text) {
            Ok(code) => Some(code),
            Err(crate::domain::code::CodeError::Empty) => {
                self.fault(row, column, format!("the {} has no code", column.word()), "Type one, such as 4N-12");
                None
            }
            Err(error) => {
                let fix = "A code is at most 20 ASCII characters; the name may be anything";
                self.fault(row, column, error.to_string(), fix);
                None
            }
        }
    }

    /// Several codes: separated by semicolons, and by spaces too where `by_spaces` and there is no semicolon.
    fn codes(&mut self, row: &Row, column: Column, by_spaces: bool) -> Vec<Code> {
        let text = row.get(column);
        let spaced = by_spaces && !text.contains(';');
        let parts = text.split(|c| c == ';' || (spaced && c == ' ')).map(str::trim).filter(|it| !it.is_empty());
        let mut codes: Vec<Code> = parts.filter_map(|part| self.code(row, column, part)).collect();
        let mut seen = vec![];
        codes.retain(|code| {
            !seen.contains(code) && {
                seen.push(*code);
                true
            }
        });
        codes
    }

    /// Takes a code for one thing. Answers false, with a fault, if something else has it already.
    fn take(&mut self, row: &Row, column: Column, code: Code, what: &'static str) -> bool {
        if let Some((other, line)) = self.taken.get(&code).copied() {
            let fix = match what {
                "bed" => format!("A bed's code is used once in the hospital: write {}-{code}", row.get(Column::Room)),
                _ => "Each code is used once in the hospital, whether in capitals or not".to_owned(),
            };
            self.fault(row, column, format!("“{code}” is already the code of a {other}, in line {line}"), fix);
            return false;
        }
        self.taken.insert(code, (what, row.line));
        true
    }

    fn check_neighbours(&mut self, rows: &[Row], drafts: &[(&Row, Draft)]) {
        // A room whose own row has a fault is in the list all the same.
        let listed = |code: &Code| rows.iter().any(|row| row.get(Column::Room).eq_ignore_ascii_case(code.as_str()));
        let columns = [Column::Left, Column::Right, Column::Opposite, Column::Above, Column::Below];
        for (row, draft) in drafts {
            let given = draft.sides.iter().zip(columns).filter_map(|(given, column)| match given {
                Given::Rooms(codes) => Some((column, codes)),
                Given::Open | Given::Nobody => None,
            });
            for (column, codes) in given.chain([(Column::Serves, &draft.room.serves)]) {
                for code in codes {
                    if *code == draft.room.code {
                        self.fault(row, column, format!("room {code} names itself"), "Name the other room");
                    } else if self.taken.get(code).is_none_or(|(what, _)| *what != "room") && !listed(code) {
                        let what = format!("there is no room “{code}”");
                        self.fault(row, column, what, "Name a room of this list, or - for none");
                    }
                }
            }
        }
    }
}

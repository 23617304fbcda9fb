//! A room list written as RON: wards, each with its rooms in walking order, and zones of the hospital's own if it has them.

use serde::{Deserialize, Deserializer};

use super::fault::{Fault, quoted};
use super::rows::{Column, Row};
use super::zones::KindText;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ListText {
    wards: Vec<WardText>,
    /// Zones by kind of room, in place of those that come with the program.
    #[serde(default)]
    zones: Vec<KindText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WardText {
    code: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    floor: i16,
    rooms: Vec<RoomText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RoomText {
    code: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    kind: String,
    /// `CODE` or `CODE:feature+feature`.
    #[serde(default)]
    beds: Vec<String>,
    #[serde(default)]
    left: Vec<String>,
    #[serde(default)]
    right: Vec<String>,
    #[serde(default)]
    opposite: Vec<String>,
    #[serde(default)]
    above: Vec<String>,
    #[serde(default)]
    below: Vec<String>,
    #[serde(default)]
    serves: Vec<String>,
    /// The area of its floor.
    #[serde(default, deserialize_with = "given")]
    floor_m2: Option<f64>,
}

/// A number without `Some` around it.
fn given<'de, D: Deserializer<'de>>(number: D) -> Result<Option<f64>, D::Error> {
    f64::deserialize(number).map(Some)
}

/// The rows of the list, and the zones that it brings along.
pub(super) fn ron_rows(text: &str) -> Result<(Vec<Row>, Vec<KindText>), Vec<Fault>> {
    let list: ListText = ron::from_str(text).map_err(|error| {
        let at = error.span.start;
        let what = format!("this is not read as a room list: {}", error.code);
        let fix = "The form is (wards: [(code: \"4N\", name: \"…\", floor: 4, rooms: [(code: \"4N-01\", beds: [\"4N-01-A\"])])])";
        vec![Fault::new(at.line as u64, &at.col.to_string(), what, fix)]
    })?;
    let mut lines = Lines { text, from: 0, line: 1 };
    let (mut rows, mut faults) = (vec![], vec![]);
    for ward in list.wards {
        lines.pass_code(&ward.code);
        for room in ward.rooms {
            let mut row = Row::new(lines.pass_code(&room.code));
            if let Some(bed) = room.beds.iter().find(|bed| bed.trim().contains([' ', ';'])) {
                let what = format!("the bed {} holds a space or semicolon", quoted(bed));
                faults.push(Fault::new(row.line, Column::Beds.word(), what, "Use - instead"));
            }
            // Closed by a semicolon, so that a code with a space in it stays one.
            let several = |codes: Vec<String>| codes.into_iter().map(|code| code + ";").collect::<String>();
            row.set(Column::Ward, ward.code.clone());
            row.set(Column::WardName, ward.name.clone());
            row.set(Column::Floor, ward.floor.to_string());
            row.set(Column::Room, room.code);
            row.set(Column::RoomName, room.name);
            row.set(Column::Kind, room.kind);
            row.set(Column::Beds, several(room.beds));
            row.set(Column::Left, several(room.left));
            row.set(Column::Right, several(room.right));
            row.set(Column::Opposite, several(room.opposite));
            row.set(Column::Above, several(room.above));
            row.set(Column::Below, several(room.below));
            row.set(Column::Serves, several(room.serves));
            row.set(Column::FloorM2, room.floor_m2.map(|it| it.to_string()).unwrap_or_default());
            rows.push(row);
        }
    }
    if faults.is_empty() { Ok((rows, list.zones)) } else { Err(faults) }
}

/// Finds the line in which each code is given, in the order of the file: the reader of RON keeps no lines.
struct Lines<'a> {
    text: &'a str,
    from: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line of the next `code: "…"` with this code. If it is written in another way, the line of the one before.
    fn pass_code(&mut self, code: &str) -> u64 {
        let quoted = format!("\"{code}\"");
        let rest = self.text.get(self.from..).unwrap_or_default();
        let found = rest.match_indices(&quoted).map(|(at, _)| at).find(|at| {
            let before = rest.get(..*at).unwrap_or_default().trim_end();
            before.strip_suffix(':').is_some_and(|it| it.trim_end().ends_with("code"))
        });
        if let Some(at) = found {
            self.line += rest.get(..at).unwrap_or_default().matches('\n').count() as u64;
            self.from += at;
        }
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIST: &str = "(\n  wards: [\n    (code: \"A\", floor: 2, rooms: [\n      (code: \"1\", beds: [\"1-A:window\", \"1-B\"], right: [\"2\"]),\n      (code: \"2\", kind: \"bathroom\"),\n    ]),\n  ],\n)\n";

    #[test]
    fn rooms_are_read_with_the_lines_in_which_they_stand() {
        let (rows, zones) = ron_rows(LIST).unwrap();
        assert!(zones.is_empty());
        assert_eq!(rows.iter().map(|row| row.line).collect::<Vec<_>>(), [4, 5]);
        assert_eq!(rows[0].get(Column::Beds), "1-A:window;1-B;");
        assert_eq!(rows[1].get(Column::Floor), "2");
    }

    #[test]
    fn what_is_no_room_list_is_refused_with_line_and_column() {
        for text in ["", "(wards: 3)", "(wards: [(code: \"A\", rooms: [], colour: 1)])", "(wards: [", "hello"] {
            let faults = ron_rows(text).err().unwrap();
            assert_eq!((faults.len(), faults[0].line), (1, 1), "{text}: {faults:?}");
        }
        let wrong = LIST.replace("kind:", "kinds:");
        assert_eq!(ron_rows(&wrong).err().unwrap()[0].line, 5);
    }
}

//! A room list as rows of text, one a room, each cell still as it was typed. CSV and RON both become this, so that one
//! place alone judges what a room list says.

use super::fault::{Fault, quoted};

/// The columns of a room list. Only `ward` and `room` must be there.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Column {
    Ward,
    WardName,
    Floor,
    Room,
    RoomName,
    Kind,
    Beds,
    Left,
    Right,
    Opposite,
    Above,
    Below,
    Serves,
    FloorM2,
}

impl Column {
    pub(super) const ALL: [Self; 14] = [
        Self::Ward,
        Self::WardName,
        Self::Floor,
        Self::Room,
        Self::RoomName,
        Self::Kind,
        Self::Beds,
        Self::Left,
        Self::Right,
        Self::Opposite,
        Self::Above,
        Self::Below,
        Self::Serves,
        Self::FloorM2,
    ];

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Ward => "ward",
            Self::WardName => "ward_name",
            Self::Floor => "floor",
            Self::Room => "room",
            Self::RoomName => "room_name",
            Self::Kind => "kind",
            Self::Beds => "beds",
            Self::Left => "left",
            Self::Right => "right",
            Self::Opposite => "opposite",
            Self::Above => "above",
            Self::Below => "below",
            Self::Serves => "serves",
            Self::FloorM2 => "floor_m2",
        }
    }
}

/// One room as typed.
#[derive(Clone, Debug, Default)]
pub(super) struct Row {
    pub(super) line: u64,
    cells: [String; Column::ALL.len()],
}

impl Row {
    pub(super) fn new(line: u64) -> Self {
        Self { line, ..Self::default() }
    }

    /// The cell without spaces at its ends; empty if the column is not there.
    pub(super) fn get(&self, column: Column) -> &str {
        self.cells.get(column as usize).map_or("", |cell| cell.trim())
    }

    pub(super) fn set(&mut self, column: Column, text: String) {
        if let Some(cell) = self.cells.get_mut(column as usize) {
            *cell = text;
        }
    }
}

/// The text of a file, or the line at which it is no UTF-8. A byte order mark is dropped.
pub(super) fn text_of(bytes: &[u8]) -> Result<&str, Fault> {
    let how = "Save it as UTF-8 and try again";
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(Fault::new(1, "", "the file is UTF-16, not UTF-8", how));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text.strip_prefix('\u{feff}').unwrap_or(text)),
        Err(error) => {
            let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
            let line = 1 + good.iter().filter(|byte| **byte == b'\n').count() as u64;
            let wrong = bytes.get(error.valid_up_to()).copied().unwrap_or_default();
            Err(Fault::new(line, "", format!("the byte 0x{wrong:02x} is not UTF-8"), how))
        }
    }
}

/// Reads CSV: the first row names the columns, in any order. Commas, semicolons or tabs, whichever the first row uses.
pub(super) fn csv_rows(text: &str) -> Result<Vec<Row>, Vec<Fault>> {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let separator = [b',', b';', b'\t'].into_iter().find(|it| first.as_bytes().contains(it)).unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::None)
        .from_reader(text.as_bytes());
    let mut records = reader.records();
    let mut faults = vec![];
    let columns = match records.next() {
        None => {
            return Err(vec![Fault::new(1, "", "the file is empty", "`dryhold setup --sample` prints one to fill in")]);
        }
        Some(Err(error)) => return Err(vec![unreadable(&error)]),
        Some(Ok(header)) => header_columns(&header, &mut faults),
    };
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut lines = Lines { text, passed: 0, line: 1 };
    let mut rows = vec![];
    for record in records {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                faults.push(unreadable(&error));
                break;
            }
        };
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let line = lines.of_record_at(record.position().map_or(0, csv::Position::byte));
        if record.iter().skip(columns.len()).any(|cell| !cell.trim().is_empty()) {
            let what = format!("there are {} cells under {} columns", record.len(), columns.len());
            faults.push(Fault::new(line, "", what, "Put a text that holds a separator in double quotes"));
            continue;
        }
        let mut row = Row::new(line);
        for (column, cell) in columns.iter().zip(record.iter()) {
            row.set(*column, cell.to_owned());
        }
        rows.push(row);
    }
    if faults.is_empty() { Ok(rows) } else { Err(faults) }
}

/// Counts lines as an editor does. The reader's own count is one short after Windows line ends and blank lines: it takes
/// a record to begin where the one before it ended.
struct Lines<'a> {
    text: &'a str,
    passed: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line of the record at or after this byte. Asked in the order of the file.
    fn of_record_at(&mut self, byte: u64) -> u64 {
        let rest = self.text.as_bytes().get(self.passed..).unwrap_or_default();
        let ahead = usize::try_from(byte).unwrap_or(usize::MAX).saturating_sub(self.passed);
        let is_end = |byte: &u8| matches!(byte, b'\r' | b'\n');
        let skipped = rest.iter().skip(ahead).take_while(|byte| is_end(byte)).count();
        let upto = rest.get(..ahead.saturating_add(skipped)).unwrap_or(rest);
        self.line += upto.iter().filter(|byte| **byte == b'\n').count() as u64;
        self.passed += upto.len();
        self.line
    }
}

fn header_columns(header: &csv::StringRecord, faults: &mut Vec<Fault>) -> Vec<Column> {
    let mut columns: Vec<Column> = vec![];
    let known = || Column::ALL.map(Column::word).join(", ");
    for (at, cell) in header.iter().enumerate() {
        let name = cell.trim().replace([' ', '-'], "_");
        match Column::ALL.into_iter().find(|it| it.word().eq_ignore_ascii_case(&name)) {
            Some(column) if columns.contains(&column) => {
                faults.push(Fault::new(1, column.word(), "this column is there twice", "Leave one out"));
            }
            Some(column) => columns.push(column),
            None => {
                let (what, fix) = (format!("there is no column {}", quoted(cell)), format!("Use {}", known()));
                faults.push(Fault::new(1, &(at + 1).to_string(), what, fix));
            }
        }
    }
    for needed in [Column::Ward, Column::Room] {
        if !columns.contains(&needed) {
            let fix = format!("Name the columns in the first row: {}", known());
            faults.push(Fault::new(1, needed.word(), "this column is missing", fix));
        }
    }
    columns
}

fn unreadable(error: &csv::Error) -> Fault {
    let line = error.position().map_or(0, csv::Position::line);
    Fault::new(line, "", "the row cannot be read", "Look for a double quote that is not closed")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn fault(text: &str) -> String {
        csv_rows(text).unwrap_err().iter().map(Fault::to_string).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn semicolons_and_tabs_separate_as_well_as_commas_and_columns_come_in_any_order() {
        for text in ["room,ward\r\n1,A\r\n", "room;ward\n1;A", "Room\tWARD\n1\tA\n\n"] {
            let rows = csv_rows(text).unwrap();
            assert_eq!(rows.len(), 1, "{text:?}");
            assert_eq!((rows[0].get(Column::Ward), rows[0].get(Column::Room), rows[0].line), ("A", "1", 2), "{text:?}");
        }
    }

    #[test]
    fn quotes_keep_separators_and_line_numbers_stay_right() {
        let rows = csv_rows("ward,room,room_name\nA,1,\"x, y \"\"z\"\"\"\n\nA,2,\"a\nb\"\nA,3,\n").unwrap();
        assert_eq!(rows[0].get(Column::RoomName), "x, y \"z\"");
        assert_eq!(rows.iter().map(|row| row.line).collect::<Vec<_>>(), [2, 4, 6]);
    }

    #[test]
    fn columns_that_are_unknown_doubled_or_missing_are_named() {
        assert!(fault("ward,room,bed\n").contains("line 1, column 3: there is no column “bed”"));
        assert!(fault("ward,room,ward\n").contains("column ward: this column is there twice"));
        assert!(fault("ward,name\n").contains("column room: this column is missing"));
        assert!(fault("").contains("the file is empty"));
        assert!(fault("ward,room\nA,1,2\n").contains("line 2: there are 3 cells under 2 columns"));
    }

    #[test]
    fn a_file_that_is_no_utf_8_is_refused_with_its_line() {
        assert_eq!(text_of(b"\xef\xbb\xbfward\n").unwrap(), "ward\n");
        assert!(text_of(b"ward,room\nA,1\nA,\xe9\n").unwrap_err().to_string().starts_with("line 3: the byte 0xe9"));
        assert!(text_of(b"\xff\xfew\0").unwrap_err().to_string().contains("UTF-16"));
    }
}

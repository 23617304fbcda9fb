//! The beds in the order in which a nurse asks for them, and where each stands: open ones side by side, others a line each.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::domain::board::{BedMark, Occupancy, State};
use crate::domain::code::Code;
use crate::tui::keys::Act;
use crate::tui::paint::width;
use crate::tui::survey::{
    BedLine, BedWord, PromiseLine, RoomLine, Stands, Survey, WardFilter, WardLine, mark_signs, state_sign,
};

/// What a line is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Key {
    Bed(Code),
    /// The beds with a patient of this ward, listed or only counted.
    Fold(Code),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Line {
    pub key: Key,
    /// Places in the survey: the ward's, and the room's with the bed's place in it.
    pub ward: usize,
    pub bed: Option<(usize, usize)>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Section {
    Open,
    /// Kept for somebody who is expected, open or not.
    Promised,
    Next,
    /// A patient is in the bed, and the room is not clear.
    Staying,
    Patients,
}

/// A line of the screen.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Row {
    /// Open beds of one ward; the first such line of a ward names it.
    Open {
        ward: usize,
        first: bool,
        lines: Range<usize>,
    },
    /// A ward all of whose open beds are kept for somebody.
    Kept(usize),
    Heading(Section, usize),
    Line(usize),
    /// A ward's patients: how many.
    Fold(usize, usize),
}

#[derive(Default)]
pub(super) struct List {
    pub lines: Vec<Line>,
    pub keys: Vec<Key>,
    /// The rows of open beds, then the others.
    pub open: Vec<Row>,
    pub below: Vec<Row>,
    /// Columns before the open beds of a ward, and for each of them.
    pub ward_columns: u16,
    pub cell_columns: u16,
    pub code_columns: u16,
    pub open_beds: usize,
    /// Open, and promised to somebody.
    pub open_promised: usize,
    /// What is to be known of some of them.
    pub marks: Vec<BedMark>,
    pub beds: usize,
}

/// Nearest to opening: what has a time before what has none, the state nearest to open, the fewest things missing, the
/// soonest.
type Rank = (bool, u8, usize, i64);

impl List {
    pub(super) fn of(survey: &Survey, filter: &WardFilter, unfolded: &BTreeSet<Code>, columns: u16) -> Self {
        let mut sorted: Vec<(Section, Rank, usize, usize)> = vec![];
        for (at, room) in survey.rooms.iter().enumerate().filter(|(_, room)| filter.lists(room, survey)) {
            for (bed_at, bed) in room.beds.iter().enumerate() {
                let section = section(bed);
                sorted.push((section, rank(section, bed, room), at, bed_at));
            }
        }
        sorted.sort();
        let is_kept = |it: &&(Section, Rank, usize, usize)| {
            it.0 == Section::Promised && at(survey, it.2, it.3).is_some_and(|(_, bed)| bed.word() == BedWord::Open)
        };
        let open_promised = sorted.iter().filter(is_kept).count();
        let listed = || sorted.iter().filter_map(|it| Some(at(survey, it.2, it.3)?.1));
        let marks = BedMark::ALL.into_iter().filter(|mark| listed().any(|bed| bed.marks.contains(mark))).collect();
        let mut list = Self { beds: sorted.len(), open_promised, marks, ..Self::default() };
        list.measure(survey, &sorted, columns);
        list.put_open(survey, &sorted, columns);
        list.put_kept(survey, filter);
        for section in [Section::Promised, Section::Next, Section::Staying] {
            let of_section = || sorted.iter().filter(|it| it.0 == section);
            let count = of_section().count();
            if count > 0 || section == Section::Next {
                list.below.push(Row::Heading(section, count));
            }
            for (_, _, room, bed) in of_section() {
                list.push(survey, *room, *bed);
            }
        }
        list.put_patients(survey, &sorted, unfolded);
        list.keys = list.lines.iter().map(|line| line.key).collect();
        list
    }

    fn push(&mut self, survey: &Survey, room: usize, bed: usize) {
        self.below.push(Row::Line(self.lines.len()));
        self.lines.extend(line(survey, room, bed));
    }

    fn measure(&mut self, survey: &Survey, sorted: &[(Section, Rank, usize, usize)], columns: u16) {
        let wards = survey.wards.iter().map(|ward| width(&ward_label(survey, ward.code)));
        self.ward_columns = (wards.max().unwrap_or(0) + 2).min(columns / 3);
        let beds = || sorted.iter().filter_map(|it| Some((it.0, at(survey, it.2, it.3)?)));
        let cells =
            beds().filter(|(section, _)| *section == Section::Open).map(|(_, (room, bed))| width(&cell(room, bed)));
        let rest = columns.saturating_sub(self.ward_columns).max(1);
        self.cell_columns = (cells.max().unwrap_or(0) + 3).min(rest);
        let codes = beds().map(|(_, (_, bed))| width(bed.code.as_str()));
        self.code_columns = (codes.max().unwrap_or(0) + 1).min(columns / 4);
    }

    fn put_open(&mut self, survey: &Survey, sorted: &[(Section, Rank, usize, usize)], columns: u16) {
        let across = usize::from(columns.saturating_sub(self.ward_columns) / self.cell_columns.max(1)).max(1);
        for (_, _, room, bed) in sorted.iter().filter(|it| it.0 == Section::Open) {
            let Some(line) = line(survey, *room, *bed) else { continue };
            let at = self.lines.len();
            self.lines.push(line);
            self.open_beds += 1;
            let same = match self.open.last_mut() {
                Some(Row::Open { ward, lines, .. }) if *ward == line.ward => {
                    if lines.len() < across {
                        lines.end = at + 1;
                        continue;
                    }
                    true
                }
                _ => false,
            };
            self.open.push(Row::Open { ward: line.ward, first: !same, lines: at..at + 1 });
        }
    }

    /// A ward keeps its line, though what is open there is promised: it has no free bed, and is not left out.
    fn put_kept(&mut self, survey: &Survey, filter: &WardFilter) {
        for (at, ward) in survey.wards.iter().enumerate() {
            let listed = filter.ward().is_none_or(|only| only == ward.code);
            let has_line = |row: &Row| matches!(row, Row::Open { ward, .. } if *ward == at);
            if ward.promised == 0 || !listed || self.open.iter().any(has_line) {
                continue;
            }
            let is_later = |row: &Row| match row {
                Row::Open { ward, .. } | Row::Kept(ward) => *ward > at,
                _ => false,
            };
            let place = self.open.iter().position(is_later).unwrap_or(self.open.len());
            self.open.insert(place, Row::Kept(at));
        }
    }

    fn put_patients(&mut self, survey: &Survey, sorted: &[(Section, Rank, usize, usize)], unfolded: &BTreeSet<Code>) {
        let patients: Vec<(usize, usize)> =
            sorted.iter().filter(|it| it.0 == Section::Patients).map(|it| (it.2, it.3)).collect();
        if !patients.is_empty() {
            self.below.push(Row::Heading(Section::Patients, patients.len()));
        }
        for (at, ward) in survey.wards.iter().enumerate() {
            let here = || patients.iter().filter(|(room, _)| ward.rooms.contains(room));
            if here().next().is_none() {
                continue;
            }
            self.below.push(Row::Fold(self.lines.len(), here().count()));
            self.lines.push(Line { key: Key::Fold(ward.code), ward: at, bed: None });
            if unfolded.contains(&ward.code) {
                for (room, bed) in here() {
                    self.push(survey, *room, *bed);
                }
            }
        }
    }

    /// The line beside this one, as the arrows go.
    pub(super) fn beside(&self, from: usize, act: Act) -> Option<Key> {
        let rows = || self.open.iter().chain(&self.below).filter_map(Row::lines);
        let row = rows().position(|lines| lines.contains(&from))?;
        let column = from - rows().nth(row)?.start;
        let across = |row: Range<usize>| (row.start + column).min(row.end.saturating_sub(1));
        let to = match act {
            Act::Left => from.checked_sub(1)?,
            Act::Right => from + 1,
            Act::Up => across(rows().nth(row.checked_sub(1)?)?),
            _ => across(rows().nth(row + 1)?),
        };
        self.keys.get(to).copied()
    }
}

impl Row {
    /// The lines of the list that it shows. None: a heading.
    pub(super) fn lines(&self) -> Option<Range<usize>> {
        match self {
            Self::Open { lines, .. } => Some(lines.clone()),
            Self::Line(at) | Self::Fold(at, _) => Some(*at..*at + 1),
            Self::Heading(..) | Self::Kept(_) => None,
        }
    }
}

/// Empty beds that are not open, nearest to opening first, by room and bed.
pub(in crate::tui) fn next_to_open(survey: &Survey) -> Vec<(usize, usize)> {
    let mut next: Vec<(Rank, usize, usize)> = vec![];
    for (at, room) in survey.rooms.iter().enumerate() {
        let not_open = |bed: &BedLine| bed.word() == BedWord::Closed && bed.occupancy != Occupancy::Occupied;
        let beds = room.beds.iter().enumerate().filter(|(_, bed)| not_open(bed));
        next.extend(beds.map(|(bed_at, bed)| (rank(Section::Next, bed, room), at, bed_at)));
    }
    next.sort();
    next.into_iter().map(|(_, room, bed)| (room, bed)).collect()
}

fn line(survey: &Survey, room: usize, bed: usize) -> Option<Line> {
    let (plan, it) = at(survey, room, bed)?;
    Some(Line { key: Key::Bed(it.code), ward: plan.ward, bed: Some((room, bed)) })
}

pub(super) fn at(survey: &Survey, room: usize, bed: usize) -> Option<(&RoomLine, &BedLine)> {
    let room = survey.rooms.get(room)?;
    Some((room, room.beds.get(bed)?))
}

/// `3N 3 of 24, 1 promised`. What is promised stands under its own heading.
pub(super) fn ward_label(survey: &Survey, ward: Code) -> String {
    let line = survey.wards.iter().find(|it| it.code == ward);
    let kept = |promised: usize| if promised > 0 { format!(", {promised} promised") } else { String::new() };
    let label = |it: &WardLine| format!("{} {} of {}{}", it.code, it.open + it.promised, it.beds, kept(it.promised));
    line.map(label).unwrap_or_default()
}

/// An open bed: its room's sign, its code with the signs of what is to be known of it, what it has.
pub(super) fn cell(room: &RoomLine, bed: &BedLine) -> String {
    let mut parts = vec![format!("{}{}{}", state_sign(room.state), bed.label, mark_signs(&bed.marks))];
    parts.extend((!bed.features.is_empty()).then(|| bed.features.join(", ")));
    parts.join(" ")
}

fn section(bed: &BedLine) -> Section {
    match (bed.word(), bed.occupancy) {
        _ if bed.promised.is_some() => Section::Promised,
        (BedWord::Open, _) => Section::Open,
        (BedWord::Occupied, _) => Section::Patients,
        (_, Occupancy::Occupied) => Section::Staying,
        _ => Section::Next,
    }
}

fn rank(section: Section, bed: &BedLine, room: &RoomLine) -> Rank {
    if let Some(promise) = &bed.promised {
        return (false, 0, 0, promise.at.timestamp());
    }
    if matches!(section, Section::Open | Section::Patients) {
        return (false, 0, 0, 0);
    }
    let due = room.step.as_ref().and_then(|step| step.due);
    // Who is to say whether it is empty can do so now.
    let only_asked = is_only_asked(bed);
    (
        due.is_none() && !only_asked,
        far_from_open(room.state),
        bed.blockers.len(),
        due.filter(|_| !only_asked).map_or(i64::MIN, |due| due.timestamp()),
    )
}

/// How much of a treatment lies before a room in this state.
fn far_from_open(state: State) -> u8 {
    match state {
        State::Clear | State::Monitoring => 0,
        State::Suspect => 1,
        State::TreatedDry => 2,
        State::TreatedWet => 3,
        State::Confirmed => 4,
    }
}

/// Nothing keeps it but that nobody said whether it is empty.
pub(super) fn is_only_asked(bed: &BedLine) -> bool {
    matches!(bed.blockers.as_slice(), [only] if only.rule == "occupancy") && bed.occupancy != Occupancy::Occupied
}

/// What a promise comes to, the fullest way to say it first, with the one thing that comes first and who has it.
pub(super) fn promise_stands(room: &RoomLine, bed: &BedLine, promise: &PromiseLine) -> Vec<String> {
    let wanted = match &promise.late_by {
        Some(late) => format!("wanted {}, {late} late: still wanted?", promise.wanted),
        None => format!("wanted {}", promise.wanted),
    };
    let about = match &promise.stands {
        Stands::Open if promise.late_by.is_some() => {
            return vec![format!("{wanted} Open, kept{}", known(bed)), format!("{wanted}{}", known(bed)), wanted];
        }
        Stands::Open => {
            let known = known(bed);
            return vec![
                format!("{wanted}: open, kept for whoever comes{known}"),
                format!("{wanted}: open{known}"),
                format!("{wanted}: {}", bed.short_words()),
            ];
        }
        Stands::Occupied => return vec![format!("{wanted}: a patient is still in it"), wanted],
        Stands::InTime { earliest, begin_by: None, .. } => format!("earliest {earliest}"),
        Stands::InTime { earliest, begin_by: Some(by), late_when_due: false } => {
            format!("earliest {earliest}, begin by {by}")
        }
        // What is due later than the bed is wanted does not come in time by itself.
        Stands::InTime { earliest, begin_by: Some(by), late_when_due: true } => {
            format!("earliest {earliest}, LATE if not begun by {by}")
        }
        Stands::Late(at) => format!("LATE, earliest {at}"),
        Stands::Waits(for_what) => format!("no time: waits for {for_what}"),
    };
    let ways = first_steps(room, bed);
    let mut out: Vec<String> = ways.iter().map(|way| format!("{wanted}, {about}: {way}")).collect();
    out.push(format!("{wanted}, {about}"));
    // What is asked first is whether it is wanted still.
    out.extend(promise.late_by.is_some().then_some(wanted));
    out
}

/// `, next to a case`, after what is said of an open bed.
fn known(bed: &BedLine) -> String {
    bed.marks.iter().map(|mark| format!(", {}", mark.words())).collect()
}

/// When the bed could be open, before the one thing that comes first for it: the fullest way to say it first. The step's own
/// time stands only where there is space: it could be read as the bed's.
pub(in crate::tui) fn first_things(room: &RoomLine, bed: &BedLine) -> Vec<String> {
    let steps = first_steps(room, bed);
    let Some(earliest) = bed.earliest.as_ref().filter(|_| !is_only_asked(bed)) else { return steps };
    // Where the step is what has no time, it is not said twice.
    if let Some(waits) = earliest.strip_prefix("no time: waits for ") {
        let does = |verbs: &[&str]| room.next_verb.is_some_and(|verb| verbs.contains(&verb));
        let is_the_step = waits.starts_with("out of service")
            || (waits == "a second look" && does(&["look"]))
            || (waits == "its treatment" && does(&["move-patient", "prepare", "spray"]))
            || (waits == "a walk of its ward" && does(&["ward-walk"]))
            || (waits == "what the spray left unstated" && does(&["complete-spray"]));
        if is_the_step {
            return steps.into_iter().map(|step| format!("no time: {step}")).collect();
        }
    }
    let mark = if earliest.starts_with("no time") { "; " } else { ": " };
    let mut ways: Vec<String> = vec![];
    // A step that is due tomorrow does not make the bed wait until then.
    let tells_when = mark == "; " || room.step.as_ref().is_none_or(|step| step.overdue);
    ways.extend(steps.first().filter(|_| tells_when).map(|whole| format!("{earliest}{mark}{whole}")));
    if let Some(step) = &room.step {
        let more = match bed.blockers.len() {
            0 | 1 => String::new(),
            n => format!("; then {} more", n - 1),
        };
        for (thing, who) in [(&step.text, &step.who), (&step.short, &step.who), (&step.short, &step.who_short)] {
            ways.push(format!("{earliest}{mark}{thing}, {who}{more}"));
        }
        ways.push(format!("{earliest}{mark}{}{more}", step.short));
        ways.push(format!("{earliest}{mark}{}", step.short));
    } else {
        ways.extend(steps.iter().skip(1).map(|step| format!("{earliest}{mark}{step}")));
    }
    ways.push(earliest.clone());
    ways
}

/// The one thing that comes first for this bed, and how much comes after it: the fullest way to say it first.
fn first_steps(room: &RoomLine, bed: &BedLine) -> Vec<String> {
    let staying = match bed.occupancy {
        Occupancy::Occupied => match room.state {
            State::Clear | State::Monitoring => "patient in it; ".to_owned(),
            state => format!("patient in a {state} room; "),
        },
        _ => String::new(),
    };
    let more = match bed.blockers.len() {
        0 | 1 => String::new(),
        n => format!("; then {} more", n - 1),
    };
    if is_only_asked(bed) {
        return vec!["say whether it is empty, charge nurse".to_owned()];
    }
    // What no step in this room settles: the ledger, a bathroom next door, a time that nobody knows.
    let apart = ["ledger", "shared-space", "out-of-service"];
    let own = bed.blockers.iter().find(|blocker| blocker.rule != "occupancy");
    // Of a space that serves the room the step says more than that it is closed.
    let apart =
        if room.step.as_ref().is_some_and(|step| step.text.starts_with("shared space")) { &[][..] } else { &apart[..] };
    match (own, &room.step) {
        (Some(own), _) if apart.contains(&own.rule) => vec![format!("{staying}{}{more}", own.text)],
        (_, Some(step)) => {
            let [whole, short, shorter, off, least] = step.ways_to_say();
            vec![
                format!("{staying}{whole}{more}"),
                format!("{staying}{short}{more}"),
                format!("{staying}{shorter}{more}"),
                format!("{staying}{off}{more}"),
                format!("{staying}{least}{more}"),
                format!("{staying}{least}"),
            ]
        }
        (Some(own), None) => vec![format!("{staying}{}{more}", own.text)],
        (None, None) => vec![staying],
    }
}

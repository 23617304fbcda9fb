//! One question of a form, made from a field of the table of moves and from what the board knows.

use std::collections::BTreeSet;

use tui_input::Input;

use super::checklist::{BED_MAKES, BED_STATES, Checklist, FEELS, Kind, Mark, Row};
use crate::domain::board::{Board, Occupancy, State};
use crate::domain::code::Code;
use crate::domain::entry::{Sign, Time};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::moves::{self, Answers, Asked, Circumstance, Field, FieldKind, Move, ZoneFilter};
use crate::domain::need::Need;
use crate::domain::policy::{Setting, Unit};
use crate::domain::shown::shown;
use crate::tui::age;

pub(super) struct Question {
    pub name: &'static str,
    pub label: &'static str,
    pub help: &'static str,
    pub required: bool,
    pub answer: Answer,
    /// What the board knows that may be typed: bags, entries.
    pub known: String,
    pub asked: &'static [Asked],
    pub shown: Placed,
}

/// Whether a question is asked now.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Placed {
    Asked,
    /// Behind "more".
    Folded,
    /// It does not apply.
    NotAsked,
}

pub(super) enum Answer {
    Text(Input),
    Choice { options: Vec<Choice>, at: Option<usize> },
    List(Checklist),
}

pub(super) struct Choice {
    pub value: String,
    pub label: String,
}

/// Where the form is about: what a question can offer depends on it.
pub(super) struct Ground<'a> {
    pub board: &'a Board,
    pub room: Option<&'a RoomPlan>,
    pub ward: Option<Code>,
    pub mv: &'static Move,
    pub now: Time,
    /// The number of the hospital's book that is set.
    pub setting: Option<Setting>,
}

impl Question {
    pub(super) fn of(field: &'static Field, ground: &Ground<'_>) -> Self {
        let answer = answer(field, ground);
        Self {
            name: field.name,
            label: field.label,
            help: field.words(),
            required: field.required || field.needed_where_asked || is_whole(field, &answer) || is_which_bed(field),
            answer,
            known: known(field, ground),
            asked: field.asked,
            shown: Placed::Asked,
        }
    }

    pub(super) fn is_asked(&self) -> bool {
        self.shown == Placed::Asked
    }

    /// Takes over answers that are known already.
    pub(super) fn take(&mut self, answers: &Answers) {
        let known = answers.all(self.name);
        let Some(first) = known.first() else { return };
        match &mut self.answer {
            Answer::Text(input) => *input = Input::new(known.join(", ")),
            Answer::Choice { options, at } => {
                *at = options.iter().position(|option| option.value.eq_ignore_ascii_case(first)).or(*at);
            }
            Answer::List(list) => list.take(known),
        }
    }

    /// Writes the answer down, as the command line would have it typed.
    pub(super) fn give(&self, is_list: bool, answers: &mut Answers) {
        match &self.answer {
            Answer::Text(input) if is_list => answers.set(self.name, input.value().split(',')),
            Answer::Text(input) => answers.set(self.name, [input.value()]),
            Answer::Choice { options, at } => {
                let chosen = at.and_then(|at| options.get(at)).map(|option| option.value.clone());
                answers.set(self.name, chosen);
            }
            Answer::List(list) => list.answer(self.name, answers),
        }
    }

    pub(super) fn clear(&mut self) {
        match &mut self.answer {
            Answer::Text(input) => input.reset(),
            Answer::Choice { at, .. } => *at = None,
            Answer::List(list) => list.rows.iter_mut().for_each(|row| row.mark = Mark::Open),
        }
    }

    pub(super) fn is_touched(&self) -> bool {
        match &self.answer {
            Answer::Text(input) => !input.value().trim().is_empty(),
            Answer::Choice { at, .. } => at.is_some(),
            Answer::List(list) => list.marked() > 0,
        }
    }

    /// How many lines of the form can be walked to.
    pub(super) fn rows(&self) -> usize {
        match &self.answer {
            Answer::List(list) => list.rows.len(),
            Answer::Text(_) | Answer::Choice { .. } => 1,
        }
    }
}

/// A list of which every line has to be answered, though the move itself may have none.
fn is_whole(field: &Field, answer: &Answer) -> bool {
    field.kind == FieldKind::BedMakes && matches!(answer, Answer::List(_))
}

/// In a room with several beds a form asks which one: left blank it never means all of them, or none.
fn is_which_bed(field: &Field) -> bool {
    field.asked.contains(&Asked::Where(Circumstance::SeveralBeds))
}

fn choice(options: impl IntoIterator<Item = (String, String)>) -> Answer {
    let options = options.into_iter().map(|(value, label)| Choice { value, label }).collect();
    Answer::Choice { options, at: None }
}

fn same(words: &[&str]) -> Answer {
    choice(words.iter().map(|word| ((*word).to_owned(), (*word).to_owned())))
}

fn list(kind: Kind, rows: Vec<Row>) -> Answer {
    // A list without a line could not be answered; a text can.
    if rows.is_empty() { Answer::Text(Input::default()) } else { Answer::List(Checklist { kind, rows }) }
}

fn plain_row(item: impl Into<String>, label: impl Into<String>, remark: impl Into<String>) -> Row {
    Row { item: item.into(), label: label.into(), remark: remark.into(), ..Row::default() }
}

fn answer(field: &'static Field, ground: &Ground<'_>) -> Answer {
    let board = ground.board;
    if let Some(setting) = ground.setting.filter(|_| field.name == "value") {
        return match setting.item().unit {
            Unit::YesNo => same(&["yes", "no"]),
            Unit::Choice(words) => same(words),
            Unit::Minutes | Unit::Days | Unit::Count => Answer::Text(Input::default()),
        };
    }
    match field.kind {
        FieldKind::Words(words) => same(words),
        FieldKind::Known => same(&["yes", "no", "unknown"]),
        FieldKind::YesNo => same(&["yes", "no"]),
        FieldKind::Steps(words) => {
            let title = |word: &str| {
                crate::domain::entry::PrepStep::from_word(word).map_or(word.to_owned(), |step| step.title().to_owned())
            };
            list(Kind::Mark, words.iter().map(|word| plain_row(*word, title(word), "")).collect())
        }
        FieldKind::Zones(filter) => {
            // The order of spraying is part of its record.
            let in_order = field.name == "zones" && filter == ZoneFilter::Sprayable;
            list(if in_order { Kind::InOrder } else { Kind::Mark }, zone_rows(ground, filter))
        }
        FieldKind::Feels => list(FEELS, zone_rows(ground, ZoneFilter::All)),
        FieldKind::Looks => list(Kind::Signs { nothing: true }, zone_rows(ground, ZoneFilter::All)),
        FieldKind::Sightings => {
            let mut rows = vec![plain_row("", "somewhere in the room", "place not known; also for reported bites")];
            rows.extend(zone_rows(ground, ZoneFilter::All));
            list(Kind::Signs { nothing: false }, rows)
        }
        FieldKind::Beds => {
            let beds = ground.room.map(|plan| match field.name {
                "bed" => moves::beds_there(board, plan),
                _ => plan.beds.clone(),
            });
            let beds = beds.unwrap_or_default();
            list(
                Kind::Mark,
                beds.iter()
                    .map(|bed| {
                        let lies = match board.occupancy(bed.code, ground.now) {
                            Occupancy::Occupied => "a patient is noted in it",
                            Occupancy::Empty => "noted empty",
                            Occupancy::Unknown => "not known whether empty",
                        };
                        plain_row(bed.code.as_str(), format!("bed {}", bed.code), lies)
                    })
                    .collect(),
            )
        }
        FieldKind::BedStates => list(BED_STATES, ward_beds(ground)),
        FieldKind::BedMakes => {
            let beds = ground.room.map(|plan| board.to_check_again(plan.code).1).unwrap_or_default();
            list(BED_MAKES, beds.iter().map(|bed| plain_row(bed.as_str(), format!("bed {bed}"), "")).collect())
        }
        FieldKind::Rooms if ground.ward.is_some() => {
            let rooms = ground.ward.and_then(|ward| board.facility().wards.get(&ward)).map(|ward| ward.rooms.clone());
            let row = |code: Code| {
                let name = board.facility().room(code).map(|plan| shown(&plan.name)).unwrap_or_default();
                plain_row(code.as_str(), format!("{code} {name}"), "")
            };
            list(Kind::Mark, rooms.unwrap_or_default().into_iter().map(row).collect())
        }
        FieldKind::Ward => choice(
            board.facility().wards.values().map(|ward| (ward.code.to_string(), format!("{} {}", ward.code, ward.name))),
        ),
        FieldKind::Product => {
            let offered = board.products().values().filter(|product| !product.withdrawn);
            let listed = offered.map(|it| (it.code.to_string(), format!("{} {}", it.code, shown(&it.name))));
            choice(listed.chain([("unlisted".to_owned(), "none of these".to_owned())]))
        }
        FieldKind::Person | FieldKind::Oneself => {
            let here = board.people().values().filter(|person| !person.left);
            choice(
                here.map(|person| {
                    (person.initials.to_string(), format!("{} {}", person.initials, shown(&person.name)))
                }),
            )
        }
        _ => Answer::Text(Input::default()),
    }
}

/// Zones in the order of the walk: bed by bed, then seating, storage, edges; in a group the critical ones first.
fn zone_rows(ground: &Ground<'_>, filter: ZoneFilter) -> Vec<Row> {
    let Some(plan) = ground.room else { return vec![] };
    let zones = moves::zones_offered(ground.mv, filter, plan.code, ground.board);
    let row = |zone: Zone| {
        let it = plan.zone(zone);
        let mut remarks = vec![];
        // Only who looks or feels is told where first, and never who was where nobody should be.
        let looks = !matches!(ground.mv.verb, "entered-wet" | "thing-left");
        if looks && it.is_some_and(|it| it.critical) {
            remarks.push("look here first".to_owned());
        }
        // How a zone is sprayed matters to whoever sprays.
        let sprays = matches!(ground.mv.verb, "spray" | "complete-spray" | "treat-zone");
        let matters = |caution: &String| looks && !caution.is_empty() && (sprays || !caution.contains("spray"));
        remarks.extend(it.map(|it| shown(&it.caution)).filter(matters));
        let group = it.map_or("from elsewhere", |it| it.group.word());
        Row {
            item: zone.to_string(),
            label: it.map_or_else(|| zone.to_string(), |it| shown(&it.name)),
            group: zone.bed.map_or_else(|| group.to_owned(), |bed| format!("bed {bed}")),
            remark: remarks.join("; "),
            ..Row::default()
        }
    };
    zones.into_iter().map(row).collect()
}

/// Whoever goes through the beds of a ward is told which doors stay shut.
fn not_to_enter(board: &Board, room: Code) -> &'static str {
    match board.state(room) {
        State::TreatedWet => ": treated-wet, DO NOT ENTER to look",
        State::Confirmed => ": confirmed, response staff only",
        _ => "",
    }
}

fn ward_beds(ground: &Ground<'_>) -> Vec<Row> {
    let facility = ground.board.facility();
    let Some(ward) = ground.ward.and_then(|ward| facility.wards.get(&ward)) else { return vec![] };
    let rooms = ward.rooms.iter().filter_map(|code| facility.room(*code));
    let row = |room: &RoomPlan, bed: Code| {
        let used = ground.board.room(room.code).and_then(|it| it.beds.get(&bed));
        let last = used.and_then(|used| match (used.is_occupied(), used.empty_since(), used.occupied()) {
            (true, _, Some((_, at))) => Some((0, "occupied", at)),
            (_, Some((_, at)), _) => Some((1, "empty", at)),
            _ => None,
        });
        let noted = |(_, word, at): (usize, &str, Time)| format!("last noted {word}, {}", age::age(at, ground.now));
        Row {
            item: bed.to_string(),
            label: format!("bed {bed}"),
            group: format!(
                "{}{}",
                format!("room {} {}", room.code, shown(&room.name)).trim_end(),
                not_to_enter(ground.board, room.code)
            ),
            remark: last.map_or("never noted".to_owned(), noted),
            last: last.map(|(word, ..)| word),
            ..Row::default()
        }
    };
    rooms.flat_map(|room| room.beds.iter().map(move |bed| row(room, bed.code))).collect()
}

/// What is on the board that could be the answer; shown beside the field, never filled in.
fn known(field: &Field, ground: &Ground<'_>) -> String {
    if let Some(setting) = ground.setting.filter(|_| field.name == "value") {
        let item = setting.item();
        let bounds = match item.unit {
            Unit::YesNo | Unit::Choice(_) => String::new(),
            Unit::Minutes | Unit::Days | Unit::Count => {
                format!(", may be {} to {}", item.show(item.least), item.show(item.most))
            }
        };
        return format!("{}: now {}{bounds}", item.meaning, item.show(ground.board.policy().get(setting)));
    }
    if ground.mv.verb == "occupied" && field.name == "from" {
        let ward = ground.room.map(|plan| plan.ward);
        let here = |room: Code| ground.board.facility().room(room).map(|plan| plan.ward) == ward;
        let left = ground.board.gone().filter(|it| here(it.room)).map(|it| it.bed.to_string());
        return format!("not known where to: the patient of {}", left.collect::<Vec<_>>().join(", of "));
    }
    let Some(room) = ground.room.and_then(|plan| ground.board.room(plan.code)) else { return String::new() };
    match field.kind {
        FieldKind::Bags => {
            let bags = room.closers().iter().flat_map(|closer| &closer.needs);
            let tags: BTreeSet<Code> =
                bags.filter_map(|need| if let Need::Bag(tag) = need { Some(*tag) } else { None }).collect();
            match tags.is_empty() {
                true => String::new(),
                false => {
                    format!("bags of this room: {}", tags.iter().map(Code::to_string).collect::<Vec<_>>().join(", "))
                }
            }
        }
        _ => String::new(),
    }
}

/// The next answer after the chosen one that begins with this letter, or has a word that does: people by initials or name.
pub(super) fn beginning(options: &[Choice], at: Option<usize>, letter: char) -> Option<usize> {
    let begins = |text: &str| text.to_lowercase().starts_with(letter);
    let has_word = |option: &Choice| option.label.split(|c: char| !c.is_alphanumeric()).any(begins);
    let first: Vec<usize> =
        (0..options.len()).filter(|at| options.get(*at).is_some_and(|it| begins(&it.value))).collect();
    let any = || (0..options.len()).filter(|at| options.get(*at).is_some_and(has_word)).collect();
    let found: Vec<usize> = if first.is_empty() { any() } else { first };
    found.iter().copied().find(|index| at.is_none_or(|at| *index > at)).or(found.first().copied())
}

/// The answers with their numbers, where they do not stand beside their question.
pub(super) fn listed_answers(options: &[Choice]) -> String {
    let one = |(at, option): (usize, &Choice)| match at {
        0..9 => format!("{} {}", at + 1, option.label),
        _ => option.label.clone(),
    };
    format!(" A letter chooses. {}.", options.iter().enumerate().map(one).collect::<Vec<_>>().join(", "))
}

/// The signs with their numbers, for the line under a form.
pub(super) fn sign_legend() -> String {
    let one = |(at, sign): (usize, &Sign)| format!("{} {}", at + 1, sign.title());
    Sign::ALL.iter().enumerate().map(one).collect::<Vec<_>>().join("  ")
}

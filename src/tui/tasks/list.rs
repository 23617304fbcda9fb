//! What the Tasks list, in which order: sections by when, what opens beds on top, routine folded into one line a ward.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::whose::Whose;
use crate::domain::board::{Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::tui::survey::{Survey, WardFilter};

/// A task's identity: its room, what is to be done in words, and the entry that asks for it. Or a folded line's.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Key {
    Task(Code, u64, Number),
    Fold(Fold),
}

/// The routine of one kind in one ward and section.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Fold {
    pub section: Section,
    pub kind: TaskKind,
    pub ward: Code,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Section {
    /// Of one's own list: what one has by name.
    Given,
    /// A patient is to be moved out: no bed comes before that.
    People,
    Best,
    Overdue,
    Now,
    Coming,
    Waits,
}

impl Section {
    pub(super) const ALL: [Self; 7] =
        [Self::Given, Self::People, Self::Best, Self::Overdue, Self::Now, Self::Coming, Self::Waits];

    /// Above its lines.
    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Given => "You have these",
            Self::People => "A patient is to be moved out, before any bed",
            Self::Best => "Gives most beds back",
            Self::Overdue => "Overdue",
            Self::Now => "To do this shift",
            Self::Coming => "Coming",
            Self::Waits => "Waits for something else first",
        }
    }

    /// Said where it has no lines. None: nobody asks.
    pub(super) fn none(self) -> Option<&'static str> {
        match self {
            Self::Overdue => Some("Nothing is overdue."),
            Self::Now => Some("Nothing more is due this shift."),
            Self::Given | Self::People | Self::Best | Self::Coming | Self::Waits => None,
        }
    }
}

/// One line that can be chosen.
pub(super) struct Row {
    pub key: Key,
    pub section: Section,
    /// Its place among the survey's tasks; of a folded line the most urgent one's.
    pub task: usize,
    /// How many tasks stand in this line.
    pub count: usize,
    /// Those of a folded line.
    pub folded: Vec<usize>,
    /// One of a folded line that was opened up.
    pub inside: bool,
    pub is_open: bool,
}

impl Row {
    /// How many tasks it is: one walk or count is one, however many rooms of the ward wait for it.
    pub(super) fn tasks(&self) -> usize {
        match self.key {
            Key::Fold(fold) if fold.kind.is_of_ward() => 1,
            Key::Fold(_) | Key::Task(..) => self.count,
        }
    }
}

/// What is asked of the list.
pub(super) struct Wanted<'a> {
    pub ward: &'a WardFilter,
    pub whose: &'a Whose,
    pub opened: &'a [Fold],
    pub now: Time,
    /// Until when a task is one of this shift.
    pub shift_ends: Time,
}

pub(super) fn key(task: &Task) -> Key {
    let mut hasher = DefaultHasher::new();
    (task.kind, &task.need).hash(&mut hasher);
    Key::Task(task.room, hasher.finish(), task.cause)
}

/// The lines in the order in which they stand.
pub(super) fn rows(survey: &Survey, wanted: &Wanted<'_>) -> Vec<Row> {
    let mut single: Vec<(Section, usize)> = vec![];
    let mut folds: BTreeMap<Fold, Vec<usize>> = BTreeMap::new();
    for (at, task) in survey.tasks.iter().enumerate() {
        let Some(room) = survey.room(task.room).filter(|room| wanted.ward.lists(room, survey)) else { continue };
        if !wanted.whose.lists(task) {
            continue;
        }
        let section = section(task, wanted);
        match survey.wards.get(room.ward).filter(|_| is_folded(task.kind) && section != Section::Given) {
            Some(ward) => folds.entry(Fold { section, kind: task.kind, ward: ward.code }).or_default().push(at),
            None => single.push((section, at)),
        }
    }
    if let Some(best) = best(survey, &single, &folds, wanted.now) {
        match best {
            Best::Single(place) => {
                if let Some(line) = single.get_mut(place) {
                    line.0 = Section::Best;
                }
            }
            Best::Folded(fold) => {
                let tasks = folds.remove(&fold).unwrap_or_default();
                folds.insert(Fold { section: Section::Best, ..fold }, tasks);
            }
        }
    }
    let mut rows = vec![];
    for section in Section::ALL {
        // The survey's order is by time. What holds beds stands before the routine.
        for (_, at) in single.iter().filter(|(of, _)| *of == section) {
            let Some(task) = survey.tasks.get(*at) else { continue };
            rows.push(Row {
                key: key(task),
                section,
                task: *at,
                count: 1,
                folded: vec![],
                inside: false,
                is_open: false,
            });
        }
        let mut here: Vec<(&Fold, &Vec<usize>)> = folds.iter().filter(|(fold, _)| fold.section == section).collect();
        here.sort_by_key(|(fold, tasks)| (fold.kind, tasks.first().copied()));
        for (fold, tasks) in here {
            let Some(first) = tasks.first().copied() else { continue };
            if tasks.len() == 1 && fold.kind == TaskKind::DailyLook {
                let Some(task) = survey.tasks.get(first) else { continue };
                rows.push(Row {
                    key: key(task),
                    section,
                    task: first,
                    count: 1,
                    folded: vec![],
                    inside: false,
                    is_open: false,
                });
                continue;
            }
            let is_open = wanted.opened.contains(fold);
            rows.push(Row {
                key: Key::Fold(*fold),
                section,
                task: first,
                count: tasks.len(),
                folded: tasks.clone(),
                inside: false,
                is_open,
            });
            for at in tasks.iter().filter(|_| is_open) {
                let Some(task) = survey.tasks.get(*at) else { continue };
                rows.push(Row {
                    key: key(task),
                    section,
                    task: *at,
                    count: 1,
                    folded: vec![],
                    inside: true,
                    is_open: false,
                });
            }
        }
    }
    rows
}

/// One round, one walk does for a whole ward.
fn is_folded(kind: TaskKind) -> bool {
    kind.is_of_ward() || kind == TaskKind::DailyLook
}

fn section(task: &Task, wanted: &Wanted<'_>) -> Section {
    let moves_out = matches!(task.kind, TaskKind::PatientInTheWet | TaskKind::PatientOut);
    match task.due {
        _ if wanted.whose.gave_me(task) => Section::Given,
        Some(due) if moves_out && due <= wanted.now => Section::People,
        None => Section::Waits,
        Some(_) if task.overdue => Section::Overdue,
        Some(due) if due <= wanted.shift_ends => Section::Now,
        Some(_) => Section::Coming,
    }
}

enum Best {
    Single(usize),
    Folded(Fold),
}

/// The task that gives most beds back among those that can be done now. Of several the most urgent.
fn best(survey: &Survey, single: &[(Section, usize)], folds: &BTreeMap<Fold, Vec<usize>>, now: Time) -> Option<Best> {
    let can_be_done = |section: Section, task: &&Task| {
        let begins = survey.room(task.room).is_some_and(|room| task.can_be_done(room.state, now));
        !matches!(section, Section::Waits | Section::Given | Section::People) && begins && !task.gives.is_nothing()
    };
    let singles = single.iter().enumerate().filter_map(|(place, (section, at))| {
        let task = survey.tasks.get(*at).filter(|task| can_be_done(*section, task))?;
        Some((task, Best::Single(place)))
    });
    let folded = folds.iter().filter_map(|(fold, tasks)| {
        let task = survey.tasks.get(*tasks.first()?).filter(|task| can_be_done(fold.section, task))?;
        Some((task, Best::Folded(*fold)))
    });
    let mut best: Option<(&Task, Best)> = None;
    for (task, line) in singles.chain(folded) {
        let sooner = |known: &Task| (task.gives.worth(), known.due) > (known.gives.worth(), task.due);
        if best.as_ref().is_none_or(|(known, _)| sooner(known)) {
            best = Some((task, line));
        }
    }
    best.map(|(_, line)| line)
}

//! Bags of one machine load: what was typed for the first is taken over for the next, if its person says so.
//!
//! Nothing is assumed: the question starts open, and what it fills in can be read and changed before it is noted.

use chrono::TimeDelta;

use super::Form;
use super::question::{Answer, Choice, Placed, Question};
use crate::domain::board::Closer;
use crate::domain::clock::clock;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Cycle, Known, Number};
use crate::domain::measured::{FileHash, LoggerIn, Measured};
use crate::domain::moves::{Answers, OTHER_TRACE, TRACE, TRACES};
use crate::domain::need::Need;
use crate::tui::bags::void_of;
use crate::tui::world::World;

pub(super) const SAME_LOAD: &str = "same-load";

/// A load that went in longer ago is another one.
const LATELY: TimeDelta = TimeDelta::hours(12);

/// As many as can be told apart at a glance.
const MOST: usize = 3;

/// The figures of a load.
const OF_A_LOAD: [&str; 17] = [
    "wash-celsius",
    "wash-minutes",
    "detergent",
    "dry-celsius",
    "dry-minutes",
    "small-load",
    "mixing-minutes",
    TRACE,
    "machine",
    "uncertainty-c",
    "unit",
    "time",
    "minutes",
    "zone",
    "clock-checked",
    OTHER_TRACE,
    "other-uncertainty-c",
];

#[derive(Default)]
pub(super) struct Loads(Vec<Load>);

struct Load {
    bag: Code,
    /// On the hospital's clock.
    at: String,
    answers: Answers,
    /// The entry that keeps its traces.
    entry: Number,
    /// Of which files they are, in their order: the same files are the same load.
    files: Vec<FileHash>,
}

impl Loads {
    /// The loads that this person noted lately, newest first; of those none from before this bag was filled.
    pub(super) fn of(owner: Option<Code>, bag: &str, world: &World<'_>) -> Self {
        let asks = |closer: &&Closer| {
            closer
                .needs
                .iter()
                .any(|need| matches!(need, Need::Bag(tag) if tag.as_str().eq_ignore_ascii_case(bag.trim())))
        };
        let filled = world.board.rooms().flat_map(|(_, room)| room.unsettled().filter(asks)).map(|it| it.number).max();
        let mut loads: Vec<Load> = vec![];
        let lately = world.entries.iter().rev().take_while(|entry| entry.noted > world.now - LATELY);
        for entry in lately.filter(|entry| Some(entry.noted_by) == owner && Some(entry.number) > filled) {
            let Body::Laundered { bag, cycle, .. } = &entry.body else { continue };
            if void_of(entry.number, world).is_some() {
                continue;
            }
            let files: Vec<FileHash> = cycle.traces().map(|it| it.file).collect();
            let answers = answers(cycle);
            let is_same = |it: &Load| it.answers == answers && it.files == files;
            if loads.len() < MOST && !loads.iter().any(is_same) {
                let at = clock(entry.happened, world.now, world.board.facility().time_zone);
                loads.push(Load { bag: *bag, at, answers, entry: entry.number, files });
            }
        }
        Self(loads)
    }

    pub(super) fn question(&self) -> Option<Question> {
        let option = |Load { bag, at, answers, files, .. }: &Load| {
            let said = |name| answers.get(name).unwrap_or("-").to_owned();
            let dried = answers.get("dry-celsius").map(|it| format!("; dry {it} °C")).unwrap_or_default();
            let logged = if files.is_empty() { "" } else { "; by logger" };
            let label =
                format!("bag {bag} of {at}: {} °C {} min{dried}{logged}", said("wash-celsius"), said("wash-minutes"));
            Choice { value: bag.to_string(), label }
        };
        let options: Vec<Choice> = self.0.iter().map(option).collect();
        (!options.is_empty()).then(|| Question {
            name: SAME_LOAD,
            label: "Same load as",
            help: "If it went through the machines together with that bag: Right takes its figures over. Enter: another load, or type its figures",
            required: false,
            answer: Answer::Choice { options, at: None },
            known: String::new(),
            asked: &[],
            shown: Placed::Asked,
        })
    }
}

impl Form {
    /// Fills in the figures of the chosen load.
    pub(super) fn take_load(&mut self) {
        let chosen = self.questions.iter().find(|question| question.name == SAME_LOAD);
        let Some(Question { answer: Answer::Choice { at: Some(at), .. }, .. }) = chosen else { return };
        let Some(Load { answers, entry, files, .. }) = self.loads.0.get(*at) else { return };
        let mut answers = answers.clone();
        for (field, _) in TRACES.into_iter().zip(files) {
            answers.set(field, [format!("entry {entry}")]);
        }
        // A figure that this load does not have is taken out again: two loads are never mixed into one.
        for question in self.questions.iter_mut().filter(|question| OF_A_LOAD.contains(&question.name)) {
            question.clear();
            question.take(&answers);
        }
    }
}

/// A cycle as it was typed.
fn answers(cycle: &Cycle) -> Answers {
    let mut answers = Answers::new();
    let celsius = |tenths: Option<i32>| {
        tenths.map(|it| if it % 10 == 0 { format!("{}", it / 10) } else { format!("{:.1}", f64::from(it) / 10.0) })
    };
    let known = |it: Known| (it != Known::Unknown).then(|| it.word());
    answers.set("wash-celsius", celsius(cycle.wash_decicelsius));
    answers.set("wash-minutes", cycle.wash_minutes.map(|it| it.to_string()));
    answers.set("dry-celsius", celsius(cycle.dry_decicelsius));
    answers.set("dry-minutes", cycle.dry_minutes.map(|it| it.to_string()));
    answers.set("mixing-minutes", cycle.mixing_minutes.map(|it| it.to_string()));
    answers.set("detergent", known(cycle.detergent));
    answers.set("small-load", known(cycle.small_load));
    let uncertainty = |trace: &Measured| celsius(trace.uncertainty_decikelvin.and_then(|it| i32::try_from(it).ok()));
    if let Some(trace) = &cycle.trace {
        answers.set("machine", (trace.machine != LoggerIn::Unknown).then(|| trace.machine.word()));
        answers.set("uncertainty-c", uncertainty(trace));
    }
    answers.set("other-uncertainty-c", cycle.other_trace.as_ref().and_then(|trace| uncertainty(trace)));
    answers
}

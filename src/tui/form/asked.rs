//! Which of a form's questions are asked: by what was answered so far, and by what the board says of the move's target.

use super::Form;
use super::question::Placed;
use crate::domain::board::State;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Number, Place};
use crate::domain::moves::{Answers, Asked, Circumstance, beds_there, is_so_of_patients, rooms_of_bag};
use crate::tui::world::World;

impl Form {
    /// Looks anew which questions are asked. An answer to one that is not asked any more stays in it, and is not given.
    pub(super) fn settle(&mut self, world: &World<'_>) {
        let answers = self.all_answers();
        let places: Vec<Placed> = self
            .questions
            .iter()
            .map(|question| {
                let is_so = |it: Circumstance| self.is_so(it, &answers, world);
                let seldom = question.asked.contains(&Asked::Seldom);
                match question.asked.iter().all(|asked| asked.holds(&answers, is_so)) {
                    false => Placed::NotAsked,
                    true if seldom && !self.more && !question.is_touched() => Placed::Folded,
                    true => Placed::Asked,
                }
            })
            .collect();
        for (question, place) in self.questions.iter_mut().zip(places) {
            question.shown = place;
        }
    }

    fn is_so(&self, circumstance: Circumstance, answers: &Answers, world: &World<'_>) -> bool {
        let board = world.board;
        match circumstance {
            Circumstance::SeveralBeds => {
                let plan = self.room.and_then(|room| board.facility().room(room));
                plan.is_some_and(|plan| {
                    beds_there(board, plan).len() > 1 && self.target.eq_ignore_ascii_case(plan.code.as_str())
                })
            }
            Circumstance::Monitoring => self.room.is_some_and(|room| board.state(room) == State::Monitoring),
            // No room waits for the tag, or several do; which one was said stays said.
            Circumstance::BagUnknown => {
                let rooms = Code::new(&self.target).ok().map(|tag| rooms_of_bag(board, tag).len());
                answers.get("room").is_some() || rooms != Some(1)
            }
            Circumstance::OfGap => {
                Code::new(&self.target).is_ok_and(|ward| !board.gaps_of(&Place::Ward(ward)).is_empty())
            }
            Circumstance::FeltDamp => self.room.is_some_and(|room| board.was_felt_damp(room)),
            Circumstance::FromCase
            | Circumstance::PatientThere
            | Circumstance::PatientGone
            | Circumstance::GoneInWard => is_so_of_patients(circumstance, &self.target, board),
            Circumstance::OfSpray => entry_of(answers.get("entry"), world).is_some_and(|entry| {
                matches!(entry.body, Body::Sprayed { .. } | Body::Finding { .. } | Body::Inspected { .. })
            }),
        }
    }

    /// Every answer, asked for or not.
    pub(super) fn all_answers(&self) -> Answers {
        self.answers_where(|_| true)
    }

    /// The answers to what is asked.
    pub(super) fn answers(&self) -> Answers {
        self.answers_where(|place| place != Placed::NotAsked)
    }

    fn answers_where(&self, given: impl Fn(Placed) -> bool) -> Answers {
        let mut answers = Answers::new();
        for question in self.questions.iter().filter(|question| given(question.shown)) {
            let is_list = self.mv.field(question.name).is_some_and(|field| field.kind.is_list());
            question.give(is_list, &mut answers);
        }
        answers
    }

    /// How many questions stand behind "more".
    pub(super) fn folded(&self) -> usize {
        self.questions.iter().filter(|question| question.shown == Placed::Folded).count()
    }

    /// Asks them, and goes to the first of them.
    pub(super) fn unfold(&mut self, world: &World<'_>) {
        let first = self.questions.iter().position(|question| question.shown == Placed::Folded);
        self.more = true;
        self.settle(world);
        if let Some(question) = first {
            self.at = super::Spot { question, row: 0 };
        }
    }
}

/// The entry of this number, as typed.
pub(super) fn entry_of<'w>(number: Option<&str>, world: &World<'w>) -> Option<&'w crate::domain::entry::Entry> {
    let number = Number(number?.parse().ok()?);
    world.entries.iter().rev().find(|entry| entry.number == number)
}

/// The codes of the beds or rooms, with commas between.
pub(super) fn listed(codes: impl IntoIterator<Item = Code>) -> String {
    codes.into_iter().map(|code| code.to_string()).collect::<Vec<_>>().join(", ")
}

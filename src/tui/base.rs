//! The screens that lie below the layers, one for each question, and what all of them can do.

use ratatui::layout::Position;

use super::ask::Ask;
use super::keys::{Act, Context};
use super::page::Page;
use super::paint::Pen;
use super::survey::Survey;
use super::world::World;
use crate::domain::code::Code;

/// Which screen lies lowest.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Base {
    #[default]
    Board,
    Beds,
    Tasks,
    Bags,
    Ledger,
    Rules,
}

impl Base {
    /// In the order of their numbers.
    pub const ALL: [Self; 6] = [Self::Board, Self::Beds, Self::Tasks, Self::Bags, Self::Ledger, Self::Rules];

    /// As the line on top names it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Board => "Board",
            Self::Beds => "Beds",
            Self::Tasks => "Tasks",
            Self::Bags => "Bags",
            Self::Ledger => "Ledger",
            Self::Rules => "Rules",
        }
    }

    pub fn context(self) -> Context {
        match self {
            Self::Board => Context::Board,
            Self::Beds => Context::Beds,
            Self::Tasks => Context::Tasks,
            Self::Bags => Context::Bags,
            Self::Ledger => Context::Ledger,
            Self::Rules => Context::Rules,
        }
    }

    /// The screen so many further on, around.
    pub fn further(self, steps: usize) -> Self {
        let at = Self::ALL.iter().position(|base| *base == self).unwrap_or(0);
        Self::ALL.get((at + steps) % Self::ALL.len()).copied().unwrap_or_default()
    }
}

/// What Enter opens for the chosen line.
pub(super) enum Opens {
    Nothing,
    /// The room's next step, or the room where none is asked for or it is not this person's to do.
    NextStep(Code),
    Room(Code),
    Form(Ask),
    /// What can be noted of this bed.
    Bed(Code),
    /// The line shows more or less: it is walked with Enter.
    Folds,
    Page(Page),
}

/// One screen below the layers. It is worked out anew when the ledger, the minute or the size changed, and when it is
/// turned to; a key or a frame works nothing out.
pub(super) trait Screen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, width: u16, lines: u16);

    /// Moves the choice. True: what is listed changed, and is to be worked out anew.
    fn walk(&mut self, act: Act, survey: &Survey) -> bool;

    /// Works out what is said of the chosen line alone, after a key chose another.
    fn look_closer(&mut self, _world: &World<'_>, _survey: &Survey) {}

    /// Answers where the chosen line is.
    fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position>;

    /// The room that the keys are about.
    fn room(&self, survey: &Survey) -> Option<Code>;

    fn enter(&self, world: &World<'_>, survey: &Survey) -> Opens;

    /// All that is said of the chosen line, where there was no space for it: a short word and a text each. The help has it.
    fn in_full(&self) -> Vec<(String, String)> {
        vec![]
    }

    /// Goes to this room's first line, where it has one.
    fn choose(&mut self, _room: Code, _survey: &Survey) {}
}

/// Lines as they were broken for a screen, each label with its whole text again, under what they are about.
pub(super) fn joined<'l>(title: &str, lines: impl Iterator<Item = (&'l str, &'l str)>) -> Vec<(String, String)> {
    let mut whole = vec![("Here".to_owned(), title.to_owned())];
    for (label, text) in lines {
        match whole.last_mut() {
            Some((_, before)) if label.is_empty() => {
                before.push(' ');
                before.push_str(text);
            }
            _ => whole.push((label.to_owned(), text.to_owned())),
        }
    }
    whole
}

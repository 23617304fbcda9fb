//! Walking through a form: which line the keys act on next. The question after the last one is the form's end.

use super::question::{Answer, Question};
use super::{Form, Spot};

impl Form {
    pub(super) fn is_at_end(&self) -> bool {
        self.at.question >= self.questions.len()
    }

    fn end(&self) -> Spot {
        Spot { question: self.questions.len(), row: 0 }
    }

    fn is_asked(&self, question: usize) -> bool {
        self.questions.get(question).is_some_and(Question::is_asked)
    }

    /// The next question that is asked, or the end.
    pub(super) fn after(&self, question: usize) -> usize {
        (question + 1..self.questions.len()).find(|at| self.is_asked(*at)).unwrap_or(self.questions.len())
    }

    /// The first question that is asked.
    pub(super) fn after_start(&self) -> usize {
        (0..self.questions.len()).find(|at| self.is_asked(*at)).unwrap_or(self.questions.len())
    }

    pub(super) fn before(&self, question: usize) -> Option<usize> {
        (0..question.min(self.questions.len())).rev().find(|at| self.is_asked(*at))
    }

    /// Lines at the end: "note it", the moves that mend what is missing, and "more".
    fn end_rows(&self) -> usize {
        1 + self.mends().len() + usize::from(self.folded() > 0)
    }

    fn rows_of(&self, question: usize) -> usize {
        self.questions.get(question).map_or_else(|| self.end_rows(), Question::rows)
    }

    pub(super) fn down(&mut self) {
        if self.at.row + 1 < self.rows_of(self.at.question) {
            self.at.row += 1;
        } else if !self.is_at_end() {
            self.at = Spot { question: self.after(self.at.question), row: 0 };
        }
    }

    pub(super) fn up(&mut self) {
        if self.at.row > 0 {
            self.at.row -= 1;
        } else if let Some(question) = self.before(self.at.question) {
            self.at = Spot { question, row: self.rows_of(question).saturating_sub(1) };
        }
    }

    /// The line is answered: to the next one, and from a question's last one to where an answer is wanted next. What was
    /// known already is passed; what is needed and was passed is come back to.
    pub(super) fn go_on(&mut self) {
        if self.at.row + 1 < self.rows_of(self.at.question) {
            self.at.row += 1;
            return;
        }
        let here = self.at.question;
        let ahead = (here + 1..self.questions.len()).find(|at| self.is_asked(*at) && self.is_open(*at));
        let needed = || (0..here).find(|at| self.is_asked(*at) && self.is_open(*at) && self.is_required(*at));
        self.at = ahead.or_else(needed).map_or(self.end(), |question| Spot { question, row: 0 });
    }

    fn is_open(&self, question: usize) -> bool {
        self.questions.get(question).is_some_and(|question| !question.is_touched())
    }

    fn is_required(&self, question: usize) -> bool {
        self.questions.get(question).is_some_and(|question| question.required)
    }

    /// Where an opened form begins: at the first question of its move that nothing is known of. What the board filled in
    /// was answered by nobody here, so a form with any such question does not open on its end.
    pub(super) fn go_to_first_untouched(&mut self) {
        let first = (0..self.questions.len()).find(|at| self.is_asked(*at) && self.is_open(*at));
        self.at = first.map_or(self.end(), |question| Spot { question, row: 0 });
    }

    /// Coming back to it: to the first line that has no answer.
    pub fn go_to_first_open(&mut self) {
        let asked = self.questions.iter().enumerate().filter(|(_, question)| question.is_asked());
        for (at, question) in asked {
            match &question.answer {
                Answer::List(list) if question.required || list.marked() > 0 => {
                    if let Some(row) = list.first_open() {
                        self.at = Spot { question: at, row };
                        return;
                    }
                }
                _ if question.required && !question.is_touched() => {
                    self.at = Spot { question: at, row: 0 };
                    return;
                }
                _ => {}
            }
        }
        if self.is_touched() {
            self.at = self.end();
        } else {
            self.go_to_first_untouched();
        }
    }
}

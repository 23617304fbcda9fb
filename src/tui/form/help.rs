//! What is said to the chosen line of a form: its keys, and the help under the form.

use super::checklist;
use super::question::{self, Answer, sign_legend};
use super::{Form, loads};
use crate::domain::moves::FieldKind;

impl Form {
    /// Keys that answer the chosen line and are worth a place in the line of keys.
    pub fn keys_here(&self) -> Option<(&'static str, &'static str)> {
        match &self.questions.get(self.at.question)?.answer {
            Answer::Text(_) => None,
            Answer::Choice { options, .. } => {
                if self.questions.get(self.at.question).is_some_and(|it| it.name == loads::SAME_LOAD) {
                    return Some(("Right", "take over"));
                }
                match options.len() {
                    2 => Some(("1-2", "answer")),
                    3 => Some(("1-3", "answer")),
                    4 => Some(("1-4", "answer")),
                    5 => Some(("1-5", "answer")),
                    6 => Some(("1-6", "answer")),
                    7 => Some(("1-7", "answer")),
                    8 => Some(("1-8", "answer")),
                    _ => Some(("1-9", "answer")),
                }
            }
            Answer::List(list) if list.has_last() => Some(("g", "room as last noted")),
            Answer::List(list) if list.kind == (checklist::Kind::Signs { nothing: true }) => {
                Some(("g", "rest of group: nothing seen"))
            }
            Answer::List(list) if matches!(list.kind, checklist::Kind::Signs { .. }) => Some(("1-8", "what was seen")),
            Answer::List(_) => None,
        }
    }

    /// The line under the form: help for the question that has the keys.
    pub fn help(&self) -> String {
        let Some(question) = self.questions.get(self.at.question) else {
            return self.help_at_end();
        };
        let signs = match &question.answer {
            Answer::List(list) if matches!(list.kind, checklist::Kind::Signs { .. }) => format!(" {}", sign_legend()),
            Answer::List(list) if list.has_last() => {
                " 1 occupied, 2 empty; g: the rest of this room as last noted.".to_owned()
            }
            Answer::List(list) if matches!(list.kind, checklist::Kind::OneOf(_)) => match self.mv.verb {
                "occupancy" => " 1 occupied, 2 empty.".to_owned(),
                _ if question.name == "beds" => " 1 made, 2 not made.".to_owned(),
                _ => " 1 dry, 2 damp.".to_owned(),
            },
            _ => String::new(),
        };
        let remark = match &question.answer {
            Answer::List(list) => list.rows.get(self.at.row).map_or("", |row| &row.remark),
            _ => "",
        };
        let remark = if remark.is_empty() { String::new() } else { format!(" [{remark}]") };
        let known = if question.known.is_empty() { String::new() } else { format!(" ({})", question.known) };
        let kind = self.mv.field(question.name).map(|field| field.kind);
        let is_time = matches!(kind, Some(FieldKind::Time | FieldKind::TimeAhead));
        let as_typed = if is_time && !question.help.contains("HH:MM") { " Type it as HH:MM." } else { "" };
        let answers = match &question.answer {
            Answer::Choice { options, .. } if matches!(kind, Some(FieldKind::Person | FieldKind::Oneself)) => {
                question::listed_answers(options)
            }
            _ => String::new(),
        };
        let stop = if question.help.ends_with(['.', '?']) { "" } else { "." };
        quoted(&format!("{}{stop}{as_typed}{answers}{remark}{known}{signs}", question.help))
    }
}

/// What is to be typed stands between the marks that sentences have, not between those of a command line's help.
fn quoted(text: &str) -> String {
    let mut marks = ['“', '”'].into_iter().cycle();
    text.chars().map(|c| if c == '`' { marks.next().unwrap_or(c) } else { c }).collect()
}

//! A form that was begun, as text that can be kept and read again: which move, of what, and the answers as typed.
//!
//! A draft is nothing that happened. It is never in the ledger, and what cannot be read of it is left out.

use super::Form;
use crate::domain::code::Code;
use crate::domain::entry::Number;
use crate::domain::moves;
use crate::tui::ask::Ask;
use crate::tui::world::World;

/// The first line. Another version's drafts are not read.
const FIRST: &str = "dryhold drafts 2";

/// More than anyone has begun at once.
const MOST: usize = 50;

/// What a person had begun.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Draft {
    pub verb: &'static str,
    pub target: String,
    /// The newest entry of its place that it had taken in.
    pub taken_in: Number,
    pub answers: Vec<(String, Vec<String>)>,
}

impl Form {
    pub(crate) fn draft(&self) -> Draft {
        let answers = self.all_answers();
        let all = answers.names().map(|name| (name.to_owned(), answers.all(name).to_vec())).collect();
        Draft { verb: self.mv.verb, target: self.target.clone(), taken_in: self.taken_in, answers: all }
    }

    /// The form as it was left. Answers that can be given no more, such as a zone that is gone, are left out.
    pub(crate) fn from_draft(draft: &Draft, owner: Code, world: &World<'_>) -> Option<Self> {
        let ask = Ask { verb: draft.verb, target: draft.target.clone(), known: vec![] };
        let mut form = Self::open(&ask, Some(owner), world)?;
        let mut answers = moves::Answers::new();
        for (name, values) in &draft.answers {
            answers.set(name, values);
        }
        for question in &mut form.questions {
            question.clear();
            question.take(&answers);
        }
        form.taken_in = draft.taken_in.min(form.taken_in);
        form.settle(world);
        form.refresh(world, Some(owner));
        form.go_to_first_open();
        Some(form)
    }
}

/// One line a form, and one for each of its answers. Texts hold no line breaks and no tabs: a field takes none.
pub(crate) fn write_drafts(drafts: &[Draft]) -> String {
    let plain = |text: &str| text.replace(|c: char| c.is_control(), " ");
    let mut text = format!("{FIRST}\n");
    for draft in drafts {
        text.push_str(&format!("form\t{}\t{}\t{}\n", draft.verb, plain(&draft.target), draft.taken_in));
        for (name, values) in &draft.answers {
            let values: Vec<String> = values.iter().map(|value| plain(value)).collect();
            text.push_str(&format!("answer\t{name}\t{}\n", values.join("\t")));
        }
    }
    text
}

pub(crate) fn read_drafts(text: &str) -> Vec<Draft> {
    let mut lines = text.lines();
    let mut drafts: Vec<Draft> = vec![];
    if lines.next() != Some(FIRST) {
        return drafts;
    }
    // The answers of a form that is not known here belong to no form.
    let mut known = false;
    for line in lines {
        let mut parts = line.split('\t');
        match (parts.next(), parts.next()) {
            (Some("form"), Some(verb)) => {
                let mv = moves::find(verb).filter(|_| drafts.len() < MOST);
                known = mv.is_some();
                let target = parts.next().unwrap_or_default().to_owned();
                // Without it everything is news.
                let taken_in = Number(parts.next().and_then(|text| text.parse().ok()).unwrap_or_default());
                drafts.extend(mv.map(|mv| Draft { verb: mv.verb, target, taken_in, answers: vec![] }));
            }
            (Some("answer"), Some(name)) if known => {
                if let Some(draft) = drafts.last_mut() {
                    draft.answers.push((name.to_owned(), parts.map(str::to_owned).collect()));
                }
            }
            _ => {}
        }
    }
    drafts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draft(verb: &'static str, answers: &[(&str, &[&str])]) -> Draft {
        let all = answers
            .iter()
            .map(|(name, values)| ((*name).to_owned(), values.iter().map(|value| (*value).to_owned()).collect()));
        Draft {
            verb,
            target: "4N-02".to_owned(),
            taken_in: Number(if answers.is_empty() { 0 } else { 7 }),
            answers: all.collect(),
        }
    }

    #[test]
    fn what_was_written_is_read_again() {
        let drafts = [
            draft("spray", &[("zones", &["chair", "A/mattress"]), ("amount-ml", &["900"])]),
            draft("return", &[]),
            draft("finding", &[("note", &["“behind” the rail; 2 of 3, see 10 %"])]),
        ];
        assert_eq!(read_drafts(&write_drafts(&drafts)), drafts);
        assert_eq!(read_drafts(&write_drafts(&[])), []);
    }

    #[test]
    fn what_is_not_understood_is_left_out() {
        assert_eq!(read_drafts(""), []);
        assert_eq!(read_drafts("dryhold drafts 1\nform\tspray\t4N-02\n"), []);
        let odd =
            format!("{FIRST}\nanswer\tx\ty\nform\tgone\t4N-02\nanswer\tzones\tchair\nnoise\nform\treturn\t4N-02\n\t\n");
        assert_eq!(read_drafts(&odd), [draft("return", &[])]);
        let many = format!("{FIRST}\n{}", "form\treturn\t4N-02\n".repeat(MOST + 5));
        assert_eq!(read_drafts(&many).len(), MOST);
    }

    #[test]
    fn a_line_break_in_an_answer_begins_no_other_form() {
        let sly = draft("finding", &[("note", &["a\nform\tspray\t4N-03"])]);
        assert_eq!(read_drafts(&write_drafts(&[sly])).len(), 1);
    }
}

//! What stories met: every action, every error, and every two of them in one story.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::deeds::Deed;
use super::slips::Slip;
use super::story::Story;

#[derive(Default)]
pub(super) struct Count {
    pub(super) stories: u64,
    pub(super) notes: u64,
    pub(super) open: u64,
    pub(super) excused: [u64; 3],
    met: BTreeMap<String, u64>,
    pairs: BTreeMap<(String, String), u64>,
    pub(super) refused: BTreeMap<&'static str, u64>,
}

impl Count {
    pub(super) fn add_story(&mut self, story: &Story) {
        self.stories += 1;
        let mut met: BTreeSet<String> = BTreeSet::new();
        for step in &story.steps {
            assert!(Deed::KINDS.contains(&step.deed.kind()), "{} is no known kind", step.deed.kind());
            met.insert(step.deed.kind().to_owned());
            met.extend(step.slips.iter().map(|slip| format!("! {}", slip.name())));
        }
        if story.ahead != [0, 0] {
            met.insert("! a wrong clock".to_owned());
        }
        for a in &met {
            *self.met.entry(a.clone()).or_default() += 1;
            for b in met.iter().filter(|b| *b > a) {
                *self.pairs.entry((a.clone(), b.clone())).or_default() += 1;
            }
        }
    }

    pub(super) fn add(&mut self, other: Self) {
        self.stories += other.stories;
        self.notes += other.notes;
        self.open += other.open;
        for (into, from) in self.excused.iter_mut().zip(other.excused) {
            *into += from;
        }
        for (name, count) in other.met {
            *self.met.entry(name).or_default() += count;
        }
        for (pair, count) in other.pairs {
            *self.pairs.entry(pair).or_default() += count;
        }
        for (rule, count) in other.refused {
            *self.refused.entry(rule).or_default() += count;
        }
    }

    /// Of each, in how many stories; the pairs that no story had, and those that few had.
    pub(super) fn table(&self) -> String {
        let mut text = format!(
            "{} stories, {} notes, {} open beds judged; really unsafe while not yet noted: spray {}, move {}, wrong mark {}\n",
            self.stories, self.notes, self.open, self.excused[0], self.excused[1], self.excused[2]
        );
        for (name, count) in &self.met {
            let _ = writeln!(text, "{count:>8}  {name}");
        }
        let kinds = Deed::KINDS.into_iter().map(str::to_owned);
        let slips = Slip::NAMES.iter().map(|name| format!("! {name}"));
        let names: BTreeSet<String> = kinds.chain(slips).chain(self.met.keys().cloned()).collect();
        let names: Vec<&String> = names.iter().collect();
        let mut never = vec![];
        for (i, a) in names.iter().enumerate() {
            for b in names.iter().skip(i + 1) {
                if !self.pairs.contains_key(&((*a).clone(), (*b).clone())) {
                    never.push(format!("{a} with {b}"));
                }
            }
        }
        let _ = writeln!(text, "{} pairs met, {} never:", self.pairs.len(), never.len());
        for pair in never {
            let _ = writeln!(text, "          {pair}");
        }
        let _ = writeln!(text, "refused {:?}", self.refused);
        text
    }
}

//! The shortest story that still fails, its class, and how it reads.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::deeds::{Deed, Step};
use super::place::clock;
use super::play::play;
use super::program::Program;
use super::scene::Failure;
use super::slips::Slip;
use super::story::Story;

/// Drops steps and slips while the story still fails in the same part.
pub(super) fn shrink<P: Program>(story: &Story, failure: &Failure, program: impl Fn() -> P) -> (Story, Failure) {
    let (mut story, mut failure) = (story.clone(), failure.clone());
    let still = |other: &Story, part: char| play(other, program(), false).failure.filter(|it| it.part == part);
    loop {
        let mut is_shorter = false;
        let mut at = 0;
        while at < story.steps.len() {
            let mut other = story.clone();
            other.steps.remove(at);
            match still(&other, failure.part) {
                Some(why) => (story, failure, is_shorter) = (other, why, true),
                None => at += 1,
            }
        }
        for at in 0..story.steps.len() {
            let mut slip = 0;
            while slip < story.steps[at].slips.len() {
                let mut other = story.clone();
                if let Slip::Late { prompt } = other.steps[at].slips.remove(slip) {
                    other.steps[at].at = prompt;
                    other.steps.sort_by_key(|step| step.at);
                }
                match still(&other, failure.part) {
                    Some(why) => {
                        (story, failure, is_shorter) = (other, why, true);
                        break;
                    }
                    None => slip += 1,
                }
            }
        }
        for simplify in [with_right_clocks, with_one_room] {
            let simpler = simplify(&story);
            if !same(&simpler, &story)
                && let Some(why) = still(&simpler, failure.part)
            {
                (story, failure, is_shorter) = (simpler, why, true);
            }
        }
        if !is_shorter {
            return (story, failure);
        }
    }
}

fn with_right_clocks(story: &Story) -> Story {
    Story { ahead: [0, 0], ..story.clone() }
}

/// Rounds through one room are easier to read than through all.
fn with_one_room(story: &Story) -> Story {
    let mut other = story.clone();
    for step in &mut other.steps {
        if let Deed::Rounds { rooms } = &mut step.deed
            && rooms.len() > 1
        {
            rooms.pop();
            break;
        }
    }
    other
}

fn same(a: &Story, b: &Story) -> bool {
    let text = |story: &Story| format!("{:?} {:?}", story.ahead, story.steps);
    text(a) == text(b)
}

/// What kind of story it is: what is left in it after shrinking, and what went wrong with each note.
pub(super) fn class(story: &Story, failure: &Failure) -> String {
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    for step in &story.steps {
        let own = step.deed.key().filter(|_| step.deed.about().is_none());
        let is_routine = matches!(step.deed, Deed::Rounds { .. } | Deed::Walk { .. });
        // A note is told with what it is about.
        let about = step.deed.about();
        let is_of = |it: &Step| it.deed.about().is_none() && it.deed.key() == about;
        let is_note = about.is_some() && story.steps.iter().any(is_of);
        if is_note || (is_routine && step.slips.is_empty()) {
            continue;
        }
        let notes: Vec<&Step> = story.steps.iter().filter(|it| own.is_some() && it.deed.about() == own).collect();
        let mut words: BTreeSet<&str> = step.slips.iter().map(Slip::name).collect();
        words.extend(notes.iter().flat_map(|it| it.slips.iter().map(Slip::name)));
        words.extend(notes.iter().filter(|it| it.deed.is_besides()).map(|it| it.deed.kind()));
        let is_noted = notes.iter().any(|it| !it.deed.is_besides());
        if own.is_some() && !is_noted && !matches!(step.deed, Deed::Check { .. }) {
            words.insert("late");
        }
        let words: Vec<&str> = words.into_iter().collect();
        let kind = step.deed.kind().trim_end_matches(" of a room");
        let name = if words.is_empty() { kind.to_owned() } else { format!("{kind} ({})", words.join(", ")) };
        *kinds.entry(name).or_default() += 1;
    }
    let mut names: Vec<String> =
        kinds.into_iter().map(|(name, count)| if count > 1 { format!("{count} × {name}") } else { name }).collect();
    if story.ahead != [0, 0] {
        let ahead = story.ahead[0] + story.ahead[1];
        names.push(if ahead > 0 { "a clock ahead".to_owned() } else { "a clock behind".to_owned() });
    }
    match failure.part {
        'c' => format!("({}) {}", failure.part, failure.kind),
        part => format!("({part}) {}: {}", failure.kind, names.join(" + ")),
    }
}

/// The story as it is read: the time, who, what truly happened, and what was noted.
pub(super) fn in_words<P: Program>(story: &Story, program: P) -> String {
    let mut text = format!("seed {}", story.seed);
    if story.ahead != [0, 0] {
        let _ = write!(text, ", the terminals' clocks ahead by {:?} min", story.ahead);
    }
    text.push('\n');
    let scene = play(story, program, true);
    for line in scene.story.unwrap_or_default() {
        text.push_str(&line);
        text.push('\n');
    }
    if let Some(failure) = scene.failure {
        let _ = writeln!(text, "  => ({}) at {}: {}", failure.part, clock(failure.at), failure.why);
    }
    text
}

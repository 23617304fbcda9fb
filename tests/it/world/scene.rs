//! One story as it is played: what is true, what was said, and what the judge says after each note.

use std::collections::BTreeMap;

use super::fits;
use super::place::{BEDS, Minute, ROOMS, Room, Surface, clock};
use super::program::{No, Program};
use super::said::{Note, Say, in_words};
use super::truth::{Key, Truth};

/// What a story came to.
#[derive(Clone, Debug)]
pub(super) struct Failure {
    /// `a`, `b` or `c`.
    pub(super) part: char,
    /// What is wrong, in few words, the same for the same class.
    pub(super) kind: String,
    pub(super) why: String,
    pub(super) at: Minute,
}

pub(super) struct Scene<P> {
    pub(super) program: P,
    pub(super) truth: Truth,
    pub(super) notes: Vec<Note>,
    pub(super) now: Minute,
    /// How much is added to what each terminal's clock shows, since somebody said how wrong it is.
    pub(super) added: [Minute; 2],
    /// By how much each terminal's clock is ahead.
    pub(super) ahead: [Minute; 2],
    /// The entries that are about each thing that happened, with the rooms that they name.
    pub(super) told: BTreeMap<Key, Vec<(u64, Vec<Room>)>>,
    pub(super) failure: Option<Failure>,
    /// Open beds that were really unsafe while it was not noted yet: the spray, the move, the wrong mark.
    pub(super) excused: [u64; 3],
    pub(super) open_seen: u64,
    /// The open beds that the judge saw last.
    judged: Vec<usize>,
    /// The judge does not look on: only for a test of the judge.
    pub(super) unseen: bool,
    pub(super) refused: Vec<(&'static str, String)>,
    pub(super) story: Option<Vec<String>>,
    /// Checks that said what nobody felt.
    pub(super) false_checks: Vec<Key>,
    pub(super) damp_told: Vec<(Key, u64)>,
    pub(super) damp_noted: Vec<Surface>,
    /// What nobody could note in the end.
    pub(super) uncorrected: Vec<&'static str>,
    /// Everything is being put right: who is asked for the time answers at once.
    pub(super) puts_right: bool,
}

impl<P: Program> Scene<P> {
    pub(super) fn new(program: P, ahead: [Minute; 2], told: bool) -> Self {
        Self {
            program,
            truth: Truth::new(),
            notes: vec![],
            now: 90,
            ahead,
            added: [0, 0],
            told: BTreeMap::new(),
            failure: None,
            excused: [0; 3],
            open_seen: 0,
            judged: vec![],
            unseen: false,
            refused: vec![],
            story: told.then(Vec::new),
            false_checks: vec![],
            damp_told: vec![],
            damp_noted: vec![],
            uncorrected: vec![],
            puts_right: false,
        }
    }

    pub(super) fn log(&mut self, words: impl FnOnce(&Self) -> String) {
        if self.story.is_some() {
            let line = format!("  {} {}", clock(self.now), words(self));
            if let Some(story) = &mut self.story {
                story.push(line);
            }
        }
    }

    /// Says it, by the clock of the terminal; the first of these people whom the program lets. Then the judge looks.
    pub(super) fn tell(
        &mut self,
        people: &[&'static str],
        terminal: usize,
        happened: Minute,
        say: Say,
        key: Option<Key>,
    ) -> Result<u64, No> {
        let (said, really_happened) = (say.clone(), happened);
        let ahead = self.ahead[terminal];
        let (noted, happened) = (self.now + ahead, happened.min(self.now) + ahead);
        let mut typed = say;
        match &mut typed {
            Say::Spray { until: Some(at), .. }
            | Say::Complete { until: Some(at), .. }
            | Say::Less { until: Some(at), .. } => *at += ahead,
            Say::Check { began, .. } | Say::Inspect { began, .. } => *began += ahead,
            _ => {}
        }
        let mut last = None;
        for by in people {
            match self.program.note(by, terminal, noted, happened, &typed) {
                Ok(number) => {
                    let note = Note { number, noted, happened, terminal, say: typed };
                    let really = if let Say::Void { really, .. } = note.say { really } else { None };
                    if let Some(key) = key.filter(|_| !matches!(note.say, Say::Void { really: None, .. })) {
                        let rooms = really.map_or_else(|| rooms_of(&note.say), |room| vec![room]);
                        self.told.entry(key).or_default().push((number, rooms));
                    }
                    self.log(|_| {
                        let at = if happened == noted { String::new() } else { format!(" (of {})", clock(happened)) };
                        let desk = if terminal == 0 { "" } else { " at the other terminal" };
                        format!("  {by} notes{desk} {number}{at}: {}", in_words(&note))
                    });
                    if std::env::var("WHY").is_ok() {
                        for room in 0..4 {
                            let why = self.program.why(room);
                            self.log(|_| format!("      {} {why}", super::place::ROOMS[room]));
                        }
                    }
                    self.notes.push(note);
                    self.now += 1;
                    self.look();
                    return Ok(number);
                }
                Err(no) => last = Some(no),
            }
        }
        let no = last.unwrap_or(No { rule: "nobody", text: String::new(), mend: None });
        self.log(|_| format!("  refused ({}): {} — {typed:?}", no.rule, no.text));
        self.refused.push((no.rule, no.text.clone()));
        if no.rule == "clock-back" && std::mem::take(&mut self.puts_right) {
            let went = self.answer_for_the_clock();
            self.puts_right = true;
            if matches!(went, super::workers::Went::Noted) {
                return self.tell(people, terminal, really_happened, said, key);
            }
        }
        Err(no)
    }

    pub(super) fn last_told(&self, key: Key) -> Option<(u64, Vec<Room>)> {
        self.told.get(&key)?.last().cloned()
    }

    pub(super) fn open_beds(&self) -> Vec<usize> {
        let desks = if self.ahead[1] == self.ahead[0] { 1 } else { 2 };
        let read = |bed: usize, ahead: Minute| self.program.is_open(bed, self.now + ahead);
        let open = |bed: &usize| self.ahead.iter().take(desks).any(|ahead| read(*bed, *ahead));
        (0..BEDS.len()).filter(open).collect()
    }

    /// (a) At every moment a bed reads open only if no fitting world is unsafe.
    pub(super) fn look(&mut self) {
        if self.failure.is_some() || self.unseen {
            return;
        }
        let open = self.open_beds();
        self.open_seen += open.len() as u64;
        // What tells the judge nothing changes nothing of beds that it has just seen.
        let says_nothing = |say: &Say| {
            matches!(
                say,
                Say::Made { .. } | Say::Return { .. } | Say::Inspect { .. } | Say::Treat { .. } | Say::Empty { .. }
            )
        };
        let is_seen = self.ahead == [0, 0] && open.iter().all(|bed| self.judged.contains(bed));
        if is_seen && self.notes.last().is_some_and(|note| says_nothing(&note.say)) {
            return;
        }
        self.judged.clone_from(&open);
        if let Some(hole) = fits::hole(&self.notes, &open) {
            let why = format!("bed {} is open, and {}", BEDS[hole.bed], hole.why);
            let known: Vec<String> =
                (0..super::place::ROOMS.len()).map(|room| format!("     {}", self.program.why(room))).collect();
            self.log(|_| format!("!! {why}\n{}", known.join("\n")));
            self.failure = Some(Failure { part: 'a', kind: hole.kind, why, at: self.now });
            return;
        }
        for bed in open {
            if self.truth.danger_at(bed).is_some() {
                let untold = |key: &Key| !self.told.contains_key(key);
                let spray = self.truth.sprays.iter().any(|it| untold(&it.key))
                    || self.truth.wipings.iter().any(|it| untold(&it.key));
                let moved = self.truth.moves.iter().any(|it| untold(&it.key));
                self.excused[if spray {
                    0
                } else if moved {
                    1
                } else {
                    2
                }] += 1;
            }
        }
    }
}

/// The rooms that a note names.
fn rooms_of(say: &Say) -> Vec<Room> {
    match say {
        Say::Left { room, to, .. } => [*room].into_iter().chain(*to).collect(),
        Say::Spray { room, .. }
        | Say::Complete { room, .. }
        | Say::Check { room, .. }
        | Say::Wiped { room, .. }
        | Say::Arrived { room, .. }
        | Say::Beds { room, .. }
        | Say::Prepare { room, .. } => vec![*room],
        _ => (0..ROOMS.len()).collect(),
    }
}

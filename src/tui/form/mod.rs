//! The form of a move: the one engine that makes all of them, from the table that the command line is made from too.
//!
//! It starts with what the board knows, and ends as a command for the desk. A refusal stands in it with what is missing
//! and the move that mends it. If its room changes meanwhile it stays, says what changed, and asks once more.

mod checklist;
mod question;
mod view;

use tui_input::{Input, InputRequest};

use super::ask::Ask;
use super::keys::{Act, Context};
use super::world::World;
use crate::domain::board::State;
use crate::domain::code::Code;
use crate::domain::decide::Refusal;
use crate::domain::describe;
use crate::domain::entry::{Body, Number, Place, Time};
use crate::domain::moves::{self, Answers, Field, FieldError, FieldKind, Move, MoveKind, On, Towards};
use crate::domain::need::Need;
use crate::domain::rule::Rule;
use crate::domain::shown::shown;
use question::{Answer, Ground, Question, sign_legend};

/// The longest text that a field takes, in characters.
const LONGEST_TEXT: usize = 10_000;

static WHEN: Field = Field {
    name: "at",
    label: "When",
    help: "When it happened, as HH:MM; now where not said",
    kind: FieldKind::Time,
    required: false,
};
static STARTED: Field = Field {
    name: "at",
    label: "Started",
    help: "When spraying started, as HH:MM; now where not said",
    kind: FieldKind::Time,
    required: false,
};
static DONE_BY: Field = Field {
    name: "done-by",
    label: "Done by",
    help: "Who did it, if not yourself",
    kind: FieldKind::Person,
    required: false,
};

pub struct Form {
    pub mv: &'static Move,
    pub target: String,
    room: Option<Code>,
    questions: Vec<Question>,
    at: Spot,
    errors: Vec<(String, String)>,
    no: Option<No>,
    /// The newest entry of its room that the form has taken in.
    taken_in: Number,
    changed: Vec<String>,
    /// What changed was read: the next "note it" counts.
    changed_read: bool,
    /// A time in the future was asked about, and is meant.
    future_is_meant: bool,
    title: String,
}

/// The line that the keys act on. The question after the last one is the end of the form.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
struct Spot {
    question: usize,
    row: usize,
}

/// A refusal, as it stands in the form.
struct No {
    text: String,
    rule: Option<Rule>,
    mends: Vec<(String, Ask)>,
}

/// What a key did to the form.
#[derive(Debug, PartialEq)]
pub enum Outcome {
    Stays,
    /// Close it and keep what was typed.
    Closes,
    /// Note it.
    Notes(Box<Wanted>),
    /// Open the move that mends what is missing; this form is kept.
    Opens(Ask),
}

/// What is to be noted: a command without its number and its terminal.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    pub verb: &'static str,
    pub place: Place,
    pub body: Body,
    pub happened: Option<Time>,
    pub done_by: Option<Code>,
    pub future_is_meant: bool,
    /// For a move that is asked about once more: what it does to what.
    pub confirm: Option<String>,
}

impl Form {
    /// None: there is no such move.
    pub fn open(ask: &Ask, world: &World<'_>) -> Option<Self> {
        let mv = moves::find(ask.verb)?;
        let board = world.board;
        let room = room_of(ask, world, mv);
        let ward = Code::new(&ask.target).ok().filter(|_| mv.on == On::Ward);
        let plan = room.and_then(|room| board.facility().room(room));
        let ground = Ground { board, room: plan, ward, mv };
        let mut questions: Vec<Question> = target_question(mv, ask, &ground).into_iter().collect();
        for field in mv.fields {
            if field.name == "finish" && mv.verb == "spray" {
                questions.push(Question::of(&STARTED, &ground));
            }
            questions.push(Question::of(field, &ground));
        }
        if matches!(mv.kind, MoveKind::Closer | MoveKind::Fact) {
            if mv.verb != "spray" {
                questions.push(Question::of(&WHEN, &ground));
            }
            questions.push(Question::of(&DONE_BY, &ground));
        }
        let target = Code::new(&ask.target).ok();
        let mut known = target.map(|target| moves::prefill(mv, target, board, world.now)).unwrap_or_default();
        if mv.field("began").is_some() {
            known.set("began", [moves::show_time_to_type(world.now, board.facility().time_zone)]);
        }
        if mv.verb == "spray" && room.is_some_and(|room| board.state(room) == State::Confirmed) {
            known.set("purpose", ["infested"]);
        }
        for (field, value) in &ask.known {
            known.set(field, [value.as_str()]);
        }
        for question in &mut questions {
            question.take(&known);
        }
        let mut form = Self {
            mv,
            target: ask.target.clone(),
            room,
            questions,
            at: Spot::default(),
            errors: vec![],
            no: None,
            taken_in: newest(world, room),
            changed: vec![],
            changed_read: false,
            future_is_meant: false,
            title: String::new(),
        };
        form.title = form.heading(world);
        form.go_to_first_open();
        if form.at.question >= form.questions.len() {
            // What the board filled in was answered by nobody here: one Enter too many must not note it.
            let open = |question: &Question| mv.field(question.name).is_some() && !question.is_touched();
            form.at.question = form.questions.iter().position(open).unwrap_or(form.at.question);
        }
        Some(form)
    }

    /// The same move of the same thing: of the same task, entry or line where the move is about one.
    pub fn is_about(&self, ask: &Ask) -> bool {
        let about = |(field, value): &(&'static str, String)| {
            let names = self.mv.field(field).is_some_and(|it| it.kind == FieldKind::Entry || *field == "need");
            // The same tag may be out from two rooms.
            let names = names || (self.mv.on == On::Bag && *field == "room");
            !names || self.answers().get(field).is_some_and(|it| it.eq_ignore_ascii_case(value))
        };
        self.mv.verb == ask.verb && self.target.eq_ignore_ascii_case(&ask.target) && ask.known.iter().all(about)
    }

    /// Something was answered that would be lost.
    pub fn is_touched(&self) -> bool {
        self.questions.iter().any(|question| question.name != "began" && question.is_touched())
    }

    fn heading(&self, world: &World<'_>) -> String {
        let state = self.room.map(|room| format!(", room {room}, {}", world.board.state(room).headline()));
        let target = if self.target.is_empty() { String::new() } else { format!(": {}", self.target) };
        format!("{}{target}{}", self.mv.title, state.unwrap_or_default())
    }

    /// The board changed. The form stays, and says what happened to its room.
    pub fn refresh(&mut self, world: &World<'_>, own: Option<Code>) {
        self.title = self.heading(world);
        let newest = newest(world, self.room);
        if newest <= self.taken_in {
            return;
        }
        let entries = self.room.map(|room| (world.timeline)(room)).unwrap_or_default();
        // What one noted oneself, to mend what was missing, is no news.
        let fresh = entries.iter().rev().filter(|entry| entry.number > self.taken_in && Some(entry.noted_by) != own);
        self.changed.extend(fresh.map(|entry| {
            format!("entry {} by {}: {}", entry.number, entry.noted_by, shown(&describe::sentence(entry, world.board)))
        }));
        self.taken_in = newest;
        self.changed_read = false;
        self.no = None;
    }

    /// Coming back to it: to the first line that has no answer.
    pub fn go_to_first_open(&mut self) {
        for (at, question) in self.questions.iter().enumerate() {
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
        let first = self.questions.iter().position(|question| !question.is_touched());
        self.at = Spot {
            question: if self.is_touched() { self.questions.len() } else { first.unwrap_or(self.questions.len()) },
            row: 0,
        };
    }

    pub fn context(&self) -> Context {
        match self.questions.get(self.at.question).map(|question| &question.answer) {
            Some(Answer::Text(_)) => Context::FormText,
            Some(Answer::Choice { .. }) => Context::FormChoice,
            Some(Answer::List(_)) => Context::FormCheck,
            None => Context::FormEnd,
        }
    }

    /// Lines at the end: "note it", then the moves that mend what is missing.
    fn end_rows(&self) -> usize {
        1 + self.no.as_ref().map_or(0, |no| no.mends.len())
    }

    fn rows_of(&self, question: usize) -> usize {
        self.questions.get(question).map_or_else(|| self.end_rows(), Question::rows)
    }

    fn down(&mut self) {
        if self.at.row + 1 < self.rows_of(self.at.question) {
            self.at.row += 1;
        } else if self.at.question < self.questions.len() {
            self.at = Spot { question: self.at.question + 1, row: 0 };
        }
    }

    fn up(&mut self) {
        if self.at.row > 0 {
            self.at.row -= 1;
        } else if let Some(question) = self.at.question.checked_sub(1) {
            self.at = Spot { question, row: self.rows_of(question).saturating_sub(1) };
        }
    }

    pub fn act(&mut self, act: Act, world: &World<'_>) -> Outcome {
        match act {
            Act::Back => return Outcome::Closes,
            Act::Up => self.up(),
            Act::Down => self.down(),
            Act::PageUp => (0..8).for_each(|_| self.up()),
            Act::PageDown => (0..8).for_each(|_| self.down()),
            Act::NextField => self.at = Spot { question: (self.at.question + 1).min(self.questions.len()), row: 0 },
            Act::PreviousField => {
                self.at = Spot { question: self.at.question.saturating_sub(usize::from(self.at.row == 0)), row: 0 };
            }
            Act::ToEnd => self.at = Spot { question: self.questions.len(), row: 0 },
            Act::Go if self.at.question >= self.questions.len() => return self.finish(world),
            Act::Go => self.down(),
            _ => self.answer(act),
        }
        Outcome::Stays
    }

    fn answer(&mut self, act: Act) {
        let row = self.at.row;
        let Some(question) = self.questions.get_mut(self.at.question) else { return };
        let name = question.name;
        let goes_on = match &mut question.answer {
            Answer::Text(input) => {
                write(input, act);
                false
            }
            Answer::Choice { options, at } => choose(options.len(), at, act),
            Answer::List(list) => match act {
                Act::Mark => list.mark(row),
                Act::Unmark => {
                    list.unmark(row);
                    false
                }
                Act::Number(number) => list.number(row, number),
                Act::Left | Act::Right => {
                    list.turn(row, act == Act::Right);
                    false
                }
                Act::GroupClean => {
                    if let Some(after) = list.rest_of_group(row) {
                        if after < list.rows.len() {
                            self.at.row = after;
                        } else {
                            self.at = Spot { question: self.at.question + 1, row: 0 };
                        }
                    }
                    false
                }
                _ => false,
            },
        };
        self.errors.retain(|(field, _)| field != name);
        self.future_is_meant = false;
        if goes_on {
            self.down();
        }
    }

    /// A paste goes into the text field that has the keys, without line breaks and control characters.
    pub fn paste(&mut self, text: &str) -> bool {
        let Some(Question { answer: Answer::Text(input), .. }) = self.questions.get_mut(self.at.question) else {
            return false;
        };
        for c in text.chars().filter(|c| !c.is_control()) {
            write(input, Act::Type(c));
        }
        true
    }

    fn answers(&self) -> Answers {
        let mut answers = Answers::new();
        for question in &self.questions {
            let is_list = self.mv.field(question.name).is_some_and(|field| field.kind.is_list());
            question.give(is_list, &mut answers);
        }
        answers
    }

    /// The end line: what is still to be shown, then the command.
    fn finish(&mut self, world: &World<'_>) -> Outcome {
        if let Some(mend) = self.at.row.checked_sub(1).and_then(|at| self.no.as_ref()?.mends.get(at)) {
            return Outcome::Opens(mend.1.clone());
        }
        if !self.changed.is_empty() && !self.changed_read {
            self.changed_read = true;
            return Outcome::Stays;
        }
        match self.wanted(world) {
            Ok(wanted) => Outcome::Notes(Box::new(wanted)),
            Err(errors) => {
                self.errors = errors.into_iter().map(|error| (error.field.to_owned(), shown(&error.message))).collect();
                let wrong = |question: &Question| self.errors.iter().any(|(field, _)| field == question.name);
                if let Some(question) = self.questions.iter().position(wrong) {
                    self.at = Spot { question, row: 0 };
                }
                Outcome::Stays
            }
        }
    }

    fn wanted(&self, world: &World<'_>) -> Result<Wanted, Vec<FieldError>> {
        let answers = self.answers();
        let zone = world.board.facility().time_zone;
        let target = answers.get("target").unwrap_or(&self.target).to_owned();
        let mut errors = vec![];
        let mut happened = None;
        if let Some(text) = answers.get("at") {
            match moves::read_time(text, zone, world.now, Towards::Past) {
                Ok(time) => happened = Some(time),
                Err(message) => errors.push(FieldError { field: "at", message }),
            }
        }
        let done_by = answers.get("done-by").and_then(|text| Code::new(text).ok());
        let mut of_move = answers.clone();
        // Asked of every move, and part of the command: the move itself would not know them.
        for name in ["target", "at", "done-by"].into_iter().filter(|name| self.mv.field(name).is_none()) {
            of_move.set(name, None::<String>);
        }
        let built = moves::build(self.mv, &target, &of_move, world.board, world.now);
        match built {
            Ok((place, body)) if errors.is_empty() => {
                let confirm = self.confirm(&answers, world);
                let future_is_meant = self.future_is_meant;
                Ok(Wanted { verb: self.mv.verb, place, body, happened, done_by, future_is_meant, confirm })
            }
            Ok(_) => Err(errors),
            Err(wrong) => {
                errors.extend(wrong);
                Err(errors)
            }
        }
    }

    /// What cannot be taken back is asked about once more, with the object and the effect.
    fn confirm(&self, answers: &Answers, world: &World<'_>) -> Option<String> {
        let number = |name: &str| answers.get(name).and_then(|text| text.parse::<u64>().ok()).map(Number);
        match self.mv.verb {
            "void" => {
                let number = number("entry")?;
                let entries = self.room.map(|room| (world.timeline)(room)).unwrap_or_default();
                let what = entries.iter().find(|entry| entry.number == number);
                let what = what
                    .map_or(String::new(), |entry| format!(" ({})", shown(&describe::sentence(entry, world.board))));
                Some(format!(
                    "Void entry {number}{what}? It stays written, and counts no more. What stood on it falls. A void is \
                     never voided; if the entry closed the room, a second person has to look before anything opens."
                ))
            }
            "attest" => Some(format!(
                "Attest line {}? What it closed stays closed only by what you have noted anew. An attest is not taken back.",
                number("line")?
            )),
            _ => None,
        }
    }

    /// The desk said no. It stands in the form, with the moves that mend it.
    pub fn refused(&mut self, refusal: &Refusal, world: &World<'_>) {
        let mut mends: Vec<(String, Ask)> = vec![];
        let mut offer = |ask: Ask| {
            let known = mends.iter().any(|(_, it)| it.verb == ask.verb && it.target == ask.target);
            if let (false, Some(mv)) = (known || ask.verb == self.mv.verb, moves::find(ask.verb)) {
                let target = if ask.target.is_empty() { String::new() } else { format!(": {}", ask.target) };
                mends.push((format!("{}{target}", mv.title), ask));
            }
        };
        if let Some(room) = self.room {
            for evidence in refusal.missing() {
                if !matches!(evidence.need, Need::Returned) || self.mv.verb != "return" {
                    offer(Ask::for_need(world.board, room, evidence.need, evidence.cause));
                }
            }
            if let Some(verb) = refusal.mend() {
                offer(Ask::of_room(world.board, room, verb));
            }
        }
        mends.truncate(6);
        self.future_is_meant = refusal.rule() == Rule::Future && self.mv.kind == MoveKind::Closer;
        let text = if self.future_is_meant {
            format!("{refusal} If the time is meant, note it once more: it counts at once.")
        } else {
            refusal.to_string()
        };
        self.no = Some(No { text: shown(&text), rule: Some(refusal.rule()), mends });
        self.at = Spot { question: self.questions.len(), row: 0 };
    }

    /// It could not be written.
    pub fn failed(&mut self, text: &str) {
        self.no = Some(No { text: shown(text), rule: None, mends: vec![] });
        self.at = Spot { question: self.questions.len(), row: 0 };
    }

    /// The line under the form: help for the question that has the keys.
    fn help(&self) -> String {
        let Some(question) = self.questions.get(self.at.question) else {
            return "Enter notes it. Nothing is written before.".to_owned();
        };
        let signs = match &question.answer {
            Answer::List(list) if matches!(list.kind, checklist::Kind::Signs { .. }) => format!(" {}", sign_legend()),
            Answer::List(list) if matches!(list.kind, checklist::Kind::OneOf(_)) => " Keys 1 and 2 answer.".to_owned(),
            _ => String::new(),
        };
        let known = if question.known.is_empty() { String::new() } else { format!(" ({})", question.known) };
        format!("{}.{known}{signs}", question.help)
    }
}

fn newest(world: &World<'_>, room: Option<Code>) -> Number {
    room.map(|room| world.board.newest_of(&Place::room(room))).unwrap_or_default()
}

/// The room that a form is about. A bag's is the one that it is outstanding from.
fn room_of(ask: &Ask, world: &World<'_>, mv: &Move) -> Option<Code> {
    let facility = world.board.facility();
    let code = Code::new(&ask.target).ok()?;
    match mv.on {
        On::Ward | On::Hospital | On::Named(_) => None,
        On::Bag => {
            let named = ask.known.iter().find(|(field, _)| *field == "room");
            let named = named.and_then(|(_, room)| Code::new(room).ok()).filter(|room| facility.room(*room).is_some());
            named.or_else(|| rooms_of_bag(world, code).first().copied())
        }
        On::Room | On::Bed | On::Place => {
            facility.room(code).or_else(|| facility.room_of_bed(code)).map(|plan| plan.code)
        }
    }
}

/// A move without a target from the place where it was asked for has to be told its own.
fn target_question(mv: &Move, ask: &Ask, ground: &Ground<'_>) -> Option<Question> {
    let word = mv.on.word().filter(|_| ask.target.is_empty())?;
    let answer = Answer::Text(Input::default());
    let label = match word {
        "BAG" => "Bag",
        "PLACE" => "Place",
        "WARD" => "Ward",
        _ => "Code",
    };
    let known = ground.board.facility().wards.keys().map(Code::to_string).collect::<Vec<_>>().join(", ");
    let known = if mv.on == On::Ward { format!("wards: {known}") } else { String::new() };
    Some(Question { name: "target", label, help: mv.on.help(), required: true, answer, known })
}

fn rooms_of_bag(world: &World<'_>, tag: Code) -> Vec<Code> {
    let asks = |(code, room): (Code, &crate::domain::board::Room)| {
        room.unsettled().any(|closer| closer.needs.contains(&Need::Bag(tag))).then_some(code)
    };
    world.board.rooms().filter_map(asks).collect()
}

/// A key in a text field.
pub(super) fn write(input: &mut Input, act: Act) {
    let request = match act {
        Act::Type(_) if input.value().chars().count() >= LONGEST_TEXT => return,
        Act::Type(c) => InputRequest::InsertChar(c),
        Act::Erase => InputRequest::DeletePrevChar,
        Act::EraseAhead => InputRequest::DeleteNextChar,
        Act::Left => InputRequest::GoToPrevChar,
        Act::Right => InputRequest::GoToNextChar,
        Act::First => InputRequest::GoToStart,
        Act::Last => InputRequest::GoToEnd,
        _ => return,
    };
    input.handle(request);
}

/// A key on a question with a few answers. True: it was answered by its number, and the walk goes on.
fn choose(count: usize, at: &mut Option<usize>, act: Act) -> bool {
    let last = count.saturating_sub(1);
    match act {
        Act::Right | Act::Mark => *at = Some(at.map_or(0, |at| if at >= last { 0 } else { at + 1 })),
        Act::Left => *at = Some(at.map_or(last, |at| at.checked_sub(1).unwrap_or(last))),
        Act::Unmark => *at = None,
        Act::Number(number) if usize::from(number) <= count => {
            *at = Some(usize::from(number).saturating_sub(1));
            return true;
        }
        _ => {}
    }
    false
}

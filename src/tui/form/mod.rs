//! The form of a move: the one engine that makes all of them, from the table that the command line is made from too.
//!
//! It starts with what the board knows, and ends as a command for the desk. A refusal stands in it with what is missing
//! and the move that mends it. If its room changes meanwhile it stays, says what changed, and asks once more.

mod asked;
mod changed;
mod checklist;
mod draft;
mod end;
mod help;
mod loads;
mod logger;
mod question;
mod shows;
mod view;
mod walk;

use tui_input::{Input, InputRequest};

use super::ask::Ask;
use super::keys::{Act, Context};
use super::world::World;
use crate::domain::board::{State, is_offered, is_taken_from_anyone, who_may};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Place, Time};
use crate::domain::moves::{self, Answers, Asked, Field, FieldKind, Move, MoveKind, On, TraceAsked};
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::sheet::being_entered;
use crate::domain::shown::{one_line, shown};
use checklist::Rest;
pub(super) use draft::{Draft, read_drafts, write_drafts};
use loads::Loads;
use logger::Read;
use question::{Answer, Ground, Question};
use shows::Shows;

/// Lists of which a key answers the rest of a group.
const GROUPS: checklist::Kind = checklist::Kind::Signs { nothing: true };

const NO_TEXT_HERE: &str = "That is a list, not a text: no key marks anything now. Up or Down goes on with the list.";
const LOOK_FIRST: &str = "Look at one line of this group first: Space or a number on it. Then g marks the rest.";
const NO_GROUP_HERE: &str = "The last group is answered, and this is a text: that g is not typed into it.";
const LAST_GROUP: &str = "The last group is answered. Enter or Tab goes on.";

const NOTHING_NUMBERED: &str =
    "Nothing has that number here. Enter does the chosen line; Up goes back to the questions.";
const NO_SUCH_VALUE: &str = "No value has that number here. Space marks the line; the arrows change its value.";

/// The longest text that a field takes, in characters.
const LONGEST_TEXT: usize = 10_000;

/// Now, and oneself, is what nearly everybody means.
static WHEN: Field =
    Field::may("at", "When", FieldKind::Time, "When it happened, as HH:MM; now where not said").asked(&[Asked::Seldom]);
static STARTED: Field =
    Field::may("at", "Started", FieldKind::Time, "When spraying started, as HH:MM; now where not said");
static DONE_BY: Field =
    Field::may("done-by", "Done by", FieldKind::Person, "Who did it, if not yourself").asked(&[Asked::Seldom]);

static SHEET: Field = Field::may(
    "sheet",
    "Sheet",
    FieldKind::Text,
    "Number of the paper sheet that this stands on, or of its box, as 4 or 4.2",
)
.asked(&[Asked::Seldom]);

pub struct Form {
    pub mv: &'static Move,
    pub target: String,
    /// Whose it is: what one person began, no other is shown.
    pub owner: Option<Code>,
    room: Option<Code>,
    questions: Vec<Question>,
    at: Spot,
    /// Questions that few answer are asked too.
    more: bool,
    /// Of a bag: what the same machine load was noted with before.
    loads: Loads,
    /// Of a bag: what became of the logger's file that was named last.
    read: Vec<Read>,
    /// What it opened with: that was typed by nobody.
    opened_with: Answers,
    errors: Vec<(String, String)>,
    no: Option<No>,
    /// Of a signature: what is signed.
    shows: Shows,
    /// The newest entry of its place that the form has taken in.
    taken_in: Number,
    changed: Vec<String>,
    /// Which marks were taken away, since something that closes was noted after them. Empty: none.
    pub dropped: String,
    /// What changed was read: the next "note it" counts.
    changed_read: bool,
    /// A time in the future was asked about, and is meant.
    future_is_meant: bool,
    /// The move is for other roles than its owner's: whose, in words. Empty: it may be noted.
    not_yours: String,
    /// A key answered a question and went on by itself: an Enter right after it was meant for that question.
    went_on: bool,
    /// A text was typed at a checklist: no key marks anything until one that walks.
    strays: bool,
    /// A key went from the last line of an inspection into a text: its g is none of the text.
    left_list: bool,
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
    /// It stays, and says why the key did nothing.
    Says(&'static str),
    /// Read the logger's file that is named in it.
    Reads(Box<TraceAsked>),
}

/// What is to be noted: a command without its number and its terminal.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    pub verb: &'static str,
    pub place: Place,
    pub body: Body,
    pub happened: Option<Time>,
    pub done_by: Option<Code>,
    /// Of a downtime: the sheet that it stands on.
    pub sheet: Option<Code>,
    pub future_is_meant: bool,
    /// For a move that is asked about once more: what it does to what.
    pub confirm: Option<String>,
}

impl Form {
    /// None: there is no such move.
    pub fn open(ask: &Ask, owner: Option<Code>, world: &World<'_>) -> Option<Self> {
        let mv = moves::find(ask.verb)?;
        let board = world.board;
        let room = room_of(ask, world, mv);
        let ward = Code::new(&ask.target).ok().filter(|_| mv.on == On::Ward);
        let plan = room.and_then(|room| board.facility().room(room));
        let setting = Some(&ask.target).filter(|_| mv.verb == "set-policy").and_then(|key| Setting::from_key(key));
        let ground = Ground { board, room: plan, ward, mv, now: world.now, setting };
        let mut questions: Vec<Question> = target_question(mv, ask, &ground).into_iter().collect();
        let loads = if mv.verb == "launder" { Loads::of(owner, &ask.target, world) } else { Loads::default() };
        questions.extend(loads.question());
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
            questions.extend(sheet_question(&ground, world));
        }
        let target = Code::new(&ask.target).ok();
        let mut known = target.map(|target| moves::prefill(mv, target, board, world.now)).unwrap_or_default();
        if mv.field("began").is_some() {
            known.set("began", [moves::show_time_to_type(world.now, board.facility().time_zone)]);
        }
        if mv.verb == "spray" && room.is_some_and(|room| board.state(room) == State::Confirmed) {
            known.set("purpose", ["infested"]);
        }
        if setting.is_some() {
            // What it is now stands beside the question: a new value is said whole.
            known.set("value", None::<String>);
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
            owner,
            room,
            questions,
            at: Spot::default(),
            more: false,
            loads,
            read: vec![],
            opened_with: Answers::new(),
            errors: vec![],
            no: None,
            shows: Shows::default(),
            taken_in: Number::default(),
            changed: vec![],
            dropped: String::new(),
            changed_read: false,
            future_is_meant: false,
            not_yours: String::new(),
            went_on: false,
            strays: false,
            left_list: false,
            title: String::new(),
        };
        form.taken_in = changed::newest(world, changed::place_of(&form).as_ref());
        form.opened_with = form.all_answers();
        form.title = form.heading(world);
        form.shows = Shows::of(&form, world);
        form.not_yours = form.whose(world);
        form.settle(world);
        form.go_to_first_untouched();
        Some(form)
    }

    /// The same move of the same thing: of the same task, entry or line where the move is about one.
    pub fn is_about(&self, ask: &Ask) -> bool {
        let about = |(field, value): &(&'static str, String)| {
            let names = self.mv.field(field).is_some_and(|it| it.kind == FieldKind::Entry || *field == "need");
            // The same tag may be out from two rooms.
            let names = names || (self.mv.on == On::Bag && *field == "room");
            !names || self.all_answers().get(field).is_some_and(|it| it.eq_ignore_ascii_case(value))
        };
        self.mv.verb == ask.verb && self.target.eq_ignore_ascii_case(&ask.target) && ask.known.iter().all(about)
    }

    /// Something was answered by a person.
    pub fn is_touched(&self) -> bool {
        self.all_answers() != self.opened_with
    }

    /// Something has to be answered before it can be noted.
    pub fn lacks_an_answer(&self) -> bool {
        self.questions.iter().any(|question| question.is_asked() && question.required && !question.is_touched())
    }

    /// It settles by name what closed: whoever notes it signs.
    pub fn is_signature(&self) -> bool {
        self.mv.kind == MoveKind::Signature
    }

    fn heading(&self, world: &World<'_>) -> String {
        let state = self.room.map(|room| format!("{room}, {}", world.board.state(room).headline()));
        let of_room = self.room.is_some_and(|room| self.target.eq_ignore_ascii_case(room.as_str()));
        match state {
            Some(state) if of_room => format!("{}: {state}", self.mv.title),
            Some(state) => format!("{}: {}, room {state}", self.mv.title, self.target),
            None if self.target.is_empty() => self.mv.title.to_owned(),
            None if self.mv.verb == "set-policy" && Setting::from_key(&self.target).is_some() => {
                let item = Setting::from_key(&self.target).map(Setting::item);
                format!("{}: {}", self.mv.title, item.map_or("", |item| item.meaning))
            }
            None => format!("{}: {}", self.mv.title, self.target),
        }
    }

    /// Whose the move is, where it is not its owner's.
    fn whose(&self, world: &World<'_>) -> String {
        let Some(person) = self.owner.and_then(|owner| world.board.people().get(&owner)) else { return String::new() };
        if is_offered(self.mv.verb, person, world.now, world.board.policy()) {
            return String::new();
        }
        let (who, does) = (who_may(self.mv.verb), if self.is_signature() { "sign" } else { "note" });
        let instead = match self.questions.iter().any(|question| question.name == "done-by") {
            _ if is_taken_from_anyone(self.mv.verb) => "and noted all the same if it happened",
            true => "unless one of them did it (done by)",
            false => "so it will be refused",
        };
        format!("Not yours to {does}, {instead}: it is for {who}.")
    }

    /// What stands in it of the board, as it is now.
    fn restate(&mut self, world: &World<'_>) {
        self.title = self.heading(world);
        self.shows = Shows::of(self, world);
        self.not_yours = self.whose(world);
    }

    pub fn context(&self) -> Context {
        match self.questions.get(self.at.question).map(|question| &question.answer) {
            Some(Answer::Text(_)) => Context::FormText,
            Some(Answer::Choice { .. }) => Context::FormChoice,
            Some(Answer::List(_)) => Context::FormCheck,
            None => Context::FormEnd,
        }
    }

    pub fn act(&mut self, act: Act, world: &World<'_>) -> Outcome {
        if act == Act::Go {
            // The file may be there now, or another one under its name.
            self.forget_the_file();
        }
        if act == Act::Go
            && self.notes_now()
            && let Some(asked) = self.unread()
        {
            return Outcome::Reads(asked);
        }
        match (self.acted(act, world), self.unread()) {
            (Outcome::Stays, Some(asked)) => Outcome::Reads(asked),
            (outcome, _) => outcome,
        }
    }

    fn acted(&mut self, act: Act, world: &World<'_>) -> Outcome {
        let went_on = std::mem::take(&mut self.went_on);
        let walks = [
            Act::Back,
            Act::Up,
            Act::Down,
            Act::PageUp,
            Act::PageDown,
            Act::First,
            Act::NextField,
            Act::PreviousField,
            Act::ToEnd,
        ];
        self.strays = act == Act::Stray || (self.strays && !walks.contains(&act));
        if self.strays {
            return Outcome::Says(NO_TEXT_HERE);
        }
        if std::mem::take(&mut self.left_list) && matches!(act, Act::Type('g' | 'G')) {
            self.left_list = true;
            return Outcome::Says(NO_GROUP_HERE);
        }
        match act {
            Act::Back => return Outcome::Closes,
            Act::Up => self.up(),
            Act::Down => self.down(),
            Act::PageUp => (0..8).for_each(|_| self.up()),
            Act::PageDown => (0..8).for_each(|_| self.down()),
            Act::NextField if self.is_at_end() => self.at = Spot { question: self.after_start(), row: 0 },
            Act::NextField => self.at = Spot { question: self.after(self.at.question), row: 0 },
            Act::PreviousField if self.at.row == 0 => {
                self.at = Spot { question: self.before(self.at.question).unwrap_or(self.at.question), row: 0 };
            }
            Act::PreviousField => self.at.row = 0,
            Act::First if self.context() != Context::FormText => {
                self.at = Spot { question: self.after_start(), row: 0 };
            }
            Act::ToEnd => self.at = Spot { question: self.questions.len(), row: 0 },
            Act::Number(number) if self.is_at_end() => {
                return match self.mend(number) {
                    Outcome::Stays => Outcome::Says(NOTHING_NUMBERED),
                    opens => opens,
                };
            }
            Act::Go if self.is_at_end() => return self.finish(world),
            // Of a question that was answered by one key and is behind us already.
            Act::Go if went_on && !self.here_is_touched() => {}
            Act::Go => self.go_on(),
            _ => return self.answer(act, world),
        }
        Outcome::Stays
    }

    fn answer(&mut self, act: Act, world: &World<'_>) -> Outcome {
        // A digit there is the first of a figure that somebody has in hand, not the choice of another bag's figures.
        if let (Act::Number(number), Some(loads::SAME_LOAD)) =
            (act, self.questions.get(self.at.question).map(|it| it.name))
        {
            self.at = Spot { question: self.after(self.at.question), row: 0 };
            let digit = char::from(b'0'.saturating_add(number));
            return self.answer(Act::Type(digit), world);
        }
        let row = self.at.row;
        let Some(question) = self.questions.get_mut(self.at.question) else { return Outcome::Stays };
        let name = question.name;
        let mut group_done = None;
        let mut no_such_answer = None;
        let mut says = None;
        let goes_on = match &mut question.answer {
            Answer::Text(input) => {
                write(input, act);
                false
            }
            Answer::Choice { options, at } => match act {
                Act::Yes | Act::No => {
                    let word = if act == Act::Yes { "yes" } else { "no" };
                    let named = options.iter().position(|option| option.value == word);
                    let letter = word.chars().next().unwrap_or_default();
                    let letter = named.is_none().then(|| question::beginning(options, *at, letter)).flatten();
                    *at = named.or(letter).or(*at);
                    named.is_some()
                }
                Act::Number(number) if usize::from(number) > options.len() => {
                    no_such_answer = Some(format!("There are {0} answers: 1 to {0}.", options.len()));
                    false
                }
                Act::Type(letter) => {
                    match question::beginning(options, *at, letter) {
                        Some(found) => *at = Some(found),
                        None => no_such_answer = Some(format!("No answer begins with “{letter}”.")),
                    }
                    false
                }
                _ => choose(options.len(), at, act),
            },
            Answer::List(list) => match act {
                Act::Mark => list.mark(row),
                Act::Unmark => {
                    list.unmark(row);
                    false
                }
                Act::Number(number) => {
                    let before = list.rows.get(row).map(|row| row.mark.clone());
                    let goes_on = list.number(row, number);
                    let is_dead = !goes_on && before == list.rows.get(row).map(|row| row.mark.clone());
                    says = is_dead.then_some(NO_SUCH_VALUE);
                    goes_on
                }
                Act::Left | Act::Right => {
                    list.turn(row, act == Act::Right);
                    false
                }
                Act::GroupClean => {
                    match list.rest_of_group(row) {
                        Rest::NoSuchKey => {}
                        Rest::LookFirst => says = Some(LOOK_FIRST),
                        Rest::Before(line) => group_done = Some(line),
                        Rest::LastGroup => says = Some(LAST_GROUP),
                    }
                    false
                }
                _ => false,
            },
        };
        if name == loads::SAME_LOAD {
            self.take_load();
        }
        self.errors.retain(|(field, _)| field != name);
        self.errors.extend(no_such_answer.map(|text| (name.to_owned(), text)));
        self.future_is_meant = false;
        self.settle(world);
        self.refuse_anew(world);
        if let Some(after) = group_done {
            self.at.row = after.saturating_sub(1);
        }
        if goes_on || group_done.is_some() {
            let has_g = |it: &Question| matches!(&it.answer, Answer::List(list) if list.kind == GROUPS);
            let before = self.questions.get(self.at.question).is_some_and(has_g);
            self.go_on();
            self.left_list = before && self.context() == Context::FormText;
            self.went_on = goes_on && self.at.question < self.questions.len();
        }
        if matches!(self.mv.verb, "launder" | "spray") {
            self.shows = Shows::of(self, world);
        }
        says.map_or(Outcome::Stays, Outcome::Says)
    }

    fn here_is_touched(&self) -> bool {
        self.questions.get(self.at.question).is_some_and(Question::is_touched)
    }

    /// A paste goes into the text field that has the keys, as one line. Gives how many signs of it were left out, since no
    /// screen shows them. None: no field has the keys.
    pub fn paste(&mut self, text: &str, world: &World<'_>) -> Option<usize> {
        let Some(Question { answer: Answer::Text(input), .. }) = self.questions.get_mut(self.at.question) else {
            return None;
        };
        let (line, left_out) = one_line(text);
        for c in line.chars() {
            write(input, Act::Type(c));
        }
        self.settle(world);
        Some(left_out)
    }
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
            named.or_else(|| moves::rooms_of_bag(world.board, code).first().copied())
        }
        On::Room | On::Bed | On::Place => moves::room_of_target(world.board, mv.verb, code).map(|plan| plan.code),
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
    Some(Question {
        name: "target",
        label,
        help: mv.on.help(),
        required: true,
        answer,
        known,
        asked: &[],
        shown: question::Placed::Asked,
    })
}

/// Asked while a downtime's sheets are being entered.
fn sheet_question(ground: &Ground<'_>, world: &World<'_>) -> Option<Question> {
    let stated = |entry: &Entry| match &entry.body {
        Body::Downtime { sheets, .. } => Some(format!("entry {}: {}", entry.number, shown(sheets))),
        _ => None,
    };
    let open: Vec<String> = being_entered(world.board, world.entries).into_iter().filter_map(stated).collect();
    let known = open.join("; ");
    (!open.is_empty()).then(|| Question { known, ..Question::of(&SHEET, ground) })
}

/// A key in a text field.
pub(super) fn write(input: &mut Input, act: Act) {
    let request = match act {
        Act::Type(_) if input.value().chars().count() >= LONGEST_TEXT => return,
        Act::Type(c) => InputRequest::InsertChar(c),
        Act::Erase => InputRequest::DeletePrevChar,
        Act::EraseAhead => InputRequest::DeleteNextChar,
        Act::Empty => InputRequest::DeleteLine,
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

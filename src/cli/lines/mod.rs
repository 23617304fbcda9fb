//! The board a line at a time, for screen readers, braille, and terminals on which nothing can be drawn.
//!
//! It only ever adds lines: a fact a line, `label: value`, in the words of the screens, and nothing is drawn over. Whatever
//! the screens note is noted here by questions with numbered answers, from the same table of moves, through the same desk.

mod ask;
mod end;
mod told;

use std::io::{self, BufRead as _, IsTerminal as _, Write as _};

use anyhow::Context as _;
use unicode_width::UnicodeWidthStr as _;

use super::days::Days;
use super::{Asked, Stop, note, print, secret};
use crate::desk::{Desk, Outcome, new_command_id};
use crate::domain::board::{Task, is_offered};
use crate::domain::code::Code;
use crate::domain::decide::Command;
use crate::domain::describe::sentence;
use crate::domain::entry::{Body, Entry};
use crate::domain::moves::{self, Answers, MOVES, MoveKind, On};
use crate::domain::once_more::once_more;
use crate::domain::people::{Person, Role};
use crate::domain::shown::shown;
use ask::{Asking, Filled};

/// What the question after an n asks.
const UNNOTED: &str = "Nothing is noted. Enter keeps the answers for later, c changes them, d drops them: ";

const HELP: &str = "\
beds [WARD]: every bed, open or why not
open [WARD]: open beds only
rooms [WARD]: every room's state and next step
tasks [WARD]: what is due, numbered
bags: bags that are out
shift: what a shift asks first
wall: counts, rooms not to enter, open beds
exceptions: what happened against the rules
dryings: what dry checks taught
ledger [COUNT]: the newest entries
show ROOM: one room, with evidence and what is missing (a room's code alone does the same)
in INITIALS: sign in. out: sign out
next ROOM: note the room's next step
moves ROOM: what can be noted of a room, numbered. moves: the others
do NUMBER: note what the last numbered list has under that number
note MOVE [TARGET]: note a move by its name
undo: void your own last entry
quit: leave
In a question: Enter leaves it open, ? explains it, back goes to the one before, stop notes nothing.
The product's label and local law rule over anything here. Never name or describe a patient.";

/// What a numbered line of the last list notes: verb, target, and what is known of its answers.
type Numbered = (&'static str, String, Vec<(String, String)>);

pub(super) struct Lines {
    desk: Desk,
    person: Option<Code>,
    talk: Talk,
    list: Vec<Numbered>,
    /// Pictures are drawn in plain signs.
    ascii: bool,
    /// What was answered and not noted.
    kept: Option<Kept>,
}

/// The answers to a move's questions, of whoever is signed in.
pub(super) struct Kept {
    verb: &'static str,
    target: String,
    answers: Answers,
}

/// What became of something that was read back.
#[derive(PartialEq, Eq)]
enum End {
    Noted,
    Unnoted,
}

/// Lines in and lines out.
pub(super) struct Talk {
    /// PINs are typed without echo, or come as lines where nobody sits at a terminal.
    secrets: secret::Secrets,
}

impl Talk {
    pub(super) fn say(&mut self, text: &str) -> Result<(), Stop> {
        print(&format!("{}\n", for_terminal(text))).map(|_| ())
    }

    /// None: there is nothing more to come.
    pub(super) fn line(&mut self, prompt: &str) -> Result<Option<String>, Stop> {
        print(&for_terminal(prompt))?;
        io::stdout().flush().context("asking")?;
        let mut line = String::new();
        let read = io::stdin().lock().read_line(&mut line).context("reading the answer")?;
        if !io::stdin().is_terminal() {
            // What was typed stands in the record of a session that nobody typed.
            print(&format!("{}\n", shown(line.trim_end())))?;
        }
        Ok((read > 0).then(|| line.trim().to_owned()))
    }
}

/// On a terminal lines break between words, not inside them.
fn for_terminal(text: &str) -> String {
    if !io::stdout().is_terminal() {
        return text.to_owned();
    }
    let columns = rustix::termios::tcgetwinsize(io::stdout()).map_or(0, |size| usize::from(size.ws_col));
    wrapped(text, if columns == 0 { 80 } else { columns.max(20) })
}

/// Lines of at most so many columns, broken between words. What ends in a space, as a prompt does, still does.
fn wrapped(text: &str, columns: usize) -> String {
    let mut out = String::new();
    let mut column = 0;
    for piece in text.split_inclusive([' ', '\n']) {
        let wide = piece.trim_end().width();
        if column > 0 && column + wide > columns {
            out.truncate(out.trim_end_matches(' ').len());
            out.push('\n');
            column = 0;
        }
        out.push_str(piece);
        column = if piece.ends_with('\n') { 0 } else { column + piece.width() };
    }
    out
}

/// Works until somebody leaves.
pub(super) fn lines(asked: &Asked<'_>, desk: Desk) -> Result<u8, Stop> {
    let secrets = secret::Secrets::new(!io::stdin().is_terminal());
    let ascii = asked.matches.get_flag("ascii");
    let mut lines = Lines { desk, person: None, talk: Talk { secrets }, list: vec![], ascii, kept: None };
    lines.talk.say("Dryhold, a line at a time. help tells the words. Nothing is noted before you say y.")?;
    let head = told::head(&super::view_of(&lines.desk));
    lines.talk.say(&head)?;
    if asked.matches.get_one::<String>("as").is_some() {
        let person = asked.person()?;
        lines.sign_in(person.as_str())?;
    }
    loop {
        let who = lines.person.map(|person| format!("{person} ")).unwrap_or_default();
        let Some(line) = lines.talk.line(&format!("{who}> "))? else { return Ok(0) };
        if lines.desk.follow() {
            let news = told::head(&super::view_of(&lines.desk));
            lines.talk.say(&format!("Others noted something meanwhile.\n{news}"))?;
        }
        let line = line.strip_prefix("sign ").map_or(line.as_str(), str::trim_start);
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        if matches!(word, "quit" | "q" | "exit") {
            return Ok(0);
        }
        // A wrong word ends nothing.
        match lines.act(word, rest.trim()) {
            Ok(()) => {}
            Err(Stop::Usage(text) | Stop::Refused(text)) => lines.talk.say(&text)?,
            Err(stop) => return Err(stop),
        }
    }
}

impl Lines {
    fn act(&mut self, word: &str, rest: &str) -> Result<(), Stop> {
        let view = super::view_of(&self.desk);
        let ward = || (!rest.is_empty()).then(|| super::ward(&view, rest)).transpose();
        let careful = told::careful(&view);
        let is_told = |text: String| format!("{careful}{text}");
        let text = match word {
            "" => return Ok(()),
            "help" | "?" => HELP.to_owned(),
            "beds" => is_told(told::beds(&view, ward()?, false)),
            "open" => is_told(told::beds(&view, ward()?, true)),
            "rooms" => is_told(told::rooms(&view, ward()?)),
            "bags" => told::bags(&view),
            "shift" => super::show::shift_questions(&view, self.person),
            "wall" => super::show::wall(&view),
            "exceptions" => super::show::exceptions(&view, Days::default()),
            "dryings" => super::show::dryings(&view),
            "ledger" => told::ledger(&view, rest.parse().unwrap_or(10)),
            "rules" => super::rules::rules(),
            "show" | "room" | "why" => is_told(told::room(&view, super::room(&view, rest)?)),
            "tasks" => {
                let tasks = super::show::one_walk_a_ward(&view, super::show::tasks_of(&view, ward()?));
                let text = told::tasks(&view, &tasks);
                self.list = tasks.iter().map(|(_, task)| numbered(task)).collect();
                is_told(text)
            }
            "moves" => return self.moves(rest),
            "in" => return self.sign_in(rest),
            "out" => {
                self.person = None;
                "Signed out.".to_owned()
            }
            "next" => {
                let plan = super::room(&view, rest)?.code;
                let Some(step) = self.desk.board().next_step(plan, self.desk.now()) else {
                    return self.talk.say(&format!("Room {plan} has no next step but the daily look."));
                };
                let task =
                    self.desk.board().tasks_of(plan, self.desk.now()).into_iter().find(|it| it.verb == step.verb);
                let wanted = task.map_or_else(|| (step.verb, plan.to_string(), vec![]), |task| numbered(&task));
                return self.fill(wanted);
            }
            "do" => {
                let at = rest.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
                let Some(wanted) = at.and_then(|at| self.list.get(at)).cloned() else {
                    let text = "no such number: tasks, or moves with a room's code, makes a numbered list";
                    return Err(Stop::Usage(text.to_owned()));
                };
                return self.fill(wanted);
            }
            "note" => {
                let (verb, target) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
                let mv = moves::find(verb)
                    .ok_or_else(|| Stop::Usage(format!("there is no move “{verb}”: moves lists them")))?;
                return self.fill((mv.verb, target.trim().to_owned(), vec![]));
            }
            "undo" => return self.undo(),
            other => match super::room(&view, other) {
                Ok(plan) if rest.is_empty() => is_told(told::room(&view, plan)),
                _ => {
                    return Err(Stop::Usage(format!(
                        "“{}” is no word and no room: help tells the words",
                        shown(other)
                    )));
                }
            },
        };
        self.talk.say(text.trim_end())
    }

    fn sign_in(&mut self, typed: &str) -> Result<(), Stop> {
        let code = Code::new(typed).map_err(|error| Stop::Usage(error.to_string()))?;
        let (zone, now) = (self.desk.board().facility().time_zone, self.desk.now());
        let known = self.desk.board().people().get(&code).filter(|person| !person.left);
        let acts = |person: &Person| match person.acting_lead {
            Some((_, until)) if person.role != Role::Lead && person.is_lead_at(now) => {
                format!(", acting lead until {}", super::text::clock(until, now, zone))
            }
            _ => String::new(),
        };
        let title = |person: &Person| format!("{}{}", person.role.title(), acts(person));
        let Some(person) = known.map(|person| (person.initials, title(person))) else {
            return Err(Stop::Usage(format!("{} is not on the roster: the lead can add a person", shown(typed))));
        };
        note::sign_in(&mut self.desk, person.0, &mut self.talk.secrets)?;
        if self.person != Some(person.0) {
            self.kept = None;
        }
        self.person = Some(person.0);
        self.talk.say(&format!("Signed in: {}, {}.", person.0, person.1))
    }

    /// What can be noted of a room, or without one of everything else.
    fn moves(&mut self, typed: &str) -> Result<(), Stop> {
        let view = super::view_of(&self.desk);
        let (board, now) = (self.desk.board(), self.desk.now());
        let person = self.person.and_then(|code| board.people().get(&code));
        let may = |verb: &str| person.is_none_or(|who| is_offered(verb, who, now, board.policy()));
        let (mut list, mut text): (Vec<Numbered>, Vec<String>) = (vec![], vec![]);
        let room = if typed.is_empty() { None } else { Some(super::room(&view, typed)?.code) };
        let next = room.and_then(|room| board.next_step(room, now)).map(|step| step.verb);
        let mut offered: Vec<_> = MOVES
            .iter()
            .filter(|mv| match room {
                Some(_) => mv.kind != MoveKind::Setting && matches!(mv.on, On::Room | On::Bed | On::Place),
                None => mv.kind == MoveKind::Setting || matches!(mv.on, On::Ward | On::Bag | On::Hospital),
            })
            .filter(|mv| may(mv.verb))
            // Said only where that is the question.
            .filter(|mv| mv.verb != "which-ledger" || !board.other_files().is_empty())
            .collect();
        offered.sort_by_key(|mv| Some(mv.verb) != next);
        for mv in offered {
            list.push((mv.verb, room.map(|room| room.to_string()).unwrap_or_default(), vec![]));
            let is_next = if Some(mv.verb) == next { ", next step" } else { "" };
            text.push(format!("{}: {}{is_next}", list.len(), mv.title));
        }
        text.push("do NUMBER notes one of them.".to_owned());
        self.list = list;
        self.talk.say(&text.join("\n"))
    }

    /// Asks a move's questions, reads them back, and notes it when that is wanted.
    fn fill(&mut self, (verb, target, known): Numbered) -> Result<(), Stop> {
        let Some(person) = self.person else {
            return Err(Stop::Usage("say who you are first: in INITIALS".to_owned()));
        };
        let Some(mv) = moves::find(verb) else { return Err(Stop::Usage(format!("there is no move {verb}"))) };
        if let Some(question) = self.desk.clock_question().filter(|_| verb != "clock") {
            self.talk.say(&format!("First: {}.", shown(&question.text)))?;
            self.fill(("clock", String::new(), vec![]))?;
            if self.desk.clock_question().is_some() {
                return Ok(());
            }
        }
        let same = |kept: &Kept| kept.verb == verb && (target.is_empty() || kept.target.eq_ignore_ascii_case(&target));
        let mut kept = self.kept.take().filter(same);
        loop {
            let target = kept.as_ref().map_or(&target, |kept| &kept.target).clone();
            let mut asking = Asking { desk: &self.desk, talk: &mut self.talk, person, mv, target, ascii: self.ascii };
            let Some(filled) = asking.all(&known, kept.take().map(|kept| kept.answers))? else {
                return self.talk.say("Nothing was noted.");
            };
            let target = asking.target.clone();
            let Filled { place, body, told, answers, same_load } = filled;
            let answered = Kept { verb, target, answers };
            let mut command = Command::new(new_command_id()?, place, body);
            (command.happened, command.done_by, command.sheet) = (told.happened, told.done_by, told.sheet);
            match self.finish(&command, person, same_load) {
                Ok(End::Noted) => return Ok(()),
                Ok(End::Unnoted) => loop {
                    // Only what was read drops anything.
                    match self.talk.line(UNNOTED)?.as_deref().map(str::trim) {
                        Some("c" | "change") => {
                            kept = Some(answered);
                            break;
                        }
                        Some("" | "k" | "keep") => {
                            self.kept = Some(answered);
                            return self.talk.say("Nothing was noted. The same move brings the answers back.");
                        }
                        Some("d" | "drop") | None => return self.talk.say("Nothing was noted."),
                        Some(_) => {}
                    }
                },
                Err(stop) => {
                    self.kept = Some(answered);
                    return Err(stop);
                }
            }
        }
    }

    fn finish(&mut self, command: &Command, person: Code, same_load: bool) -> Result<End, Stop> {
        let (board, now) = (self.desk.board(), self.desk.now());
        let question = once_more(board, self.desk.entries(), command, person, now, same_load);
        let question = question.unwrap_or_else(|| "Note it?".to_owned());
        let answer = self.talk.line(&format!("{question} y or n: "))?;
        if !answer.is_some_and(|it| it.eq_ignore_ascii_case("y") || it.eq_ignore_ascii_case("yes")) {
            return Ok(End::Unnoted);
        }
        match self.desk.note(command, person) {
            Outcome::Done(entry) => {
                let said = note::said(&self.desk, &entry);
                self.talk.say(said.trim_end()).map(|()| End::Noted)
            }
            Outcome::Refused(refusal) => Err(Stop::Refused(note::refused(&self.desk, &refusal, command))),
            Outcome::Unsure(error) => Err(Stop::Failed(anyhow::anyhow!(error))),
            Outcome::Failed(error) => Err(error.into()),
        }
    }

    fn undo(&mut self) -> Result<(), Stop> {
        let Some(person) = self.person else {
            return Err(Stop::Usage("say who you are first: in INITIALS".to_owned()));
        };
        let own = |entry: &&Entry| entry.noted_by == person && !matches!(entry.body, Body::SignedIn { .. });
        let Some(entry) = self.desk.entries().iter().rev().find(own).cloned() else {
            return Err(Stop::Usage("there is no entry of yours to undo".to_owned()));
        };
        let what = shown(&sentence(&entry, self.desk.board()));
        self.talk.say(&format!("entry {}: {what}", entry.number))?;
        let help = "Why the entry is wrong. It stays in the ledger, voided. stop notes nothing.";
        let Ok(why) = self.talk.asked("What was wrong with it: ", help)? else {
            return self.talk.say("Nothing was noted.");
        };
        let body = Body::Voided { entry: entry.number, why, really_in: None };
        match self.finish(&Command::new(new_command_id()?, entry.place, body), person, false)? {
            End::Noted => Ok(()),
            End::Unnoted => self.talk.say("Nothing was noted."),
        }
    }
}

/// A task as a line of a numbered list: its command line holds what is known of it.
fn numbered(task: &Task) -> Numbered {
    let words: Vec<&str> = task.command.split_whitespace().skip(3).collect();
    let (target, options) = words.split_first().map_or(("", [].as_slice()), |(target, rest)| (*target, rest));
    let known = options.chunks_exact(2).map(|pair| (pair[0].trim_start_matches('-').to_owned(), pair[1].to_owned()));
    (task.verb, target.trim_matches('\'').to_owned(), known.collect())
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn lines_break_between_words_and_nothing_is_lost() {
        let text = "Nothing is noted before you say y.\nsecond line: ";
        for columns in 8..60 {
            let broken = wrapped(text, columns);
            assert!(broken.lines().all(|line| line.trim_end().len() <= columns), "{columns}: {broken}");
            let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            assert_eq!(words(&broken), words(text), "{columns}");
            assert!(broken.ends_with(": "), "{columns}: a prompt ends as it did");
        }
        assert_eq!(wrapped(text, 80), text);
    }
}

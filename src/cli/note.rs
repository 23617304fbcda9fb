//! `dryhold note`: what happened, from the keyboard or a script, by the same table, rules and refusals as on screen.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use anyhow::anyhow;
use clap::ArgMatches;

use super::args::{self, SET_PIN};
use super::{Asked, Stop, print, secret};
use crate::desk::{Desk, Logged, Outcome, PinError, hash_pin, new_command_id};
use crate::domain::board::{Board, TaskKind};
use crate::domain::code::Code;
use crate::domain::decide::{Command, Refusal, decide};
use crate::domain::describe::sentence;
use crate::domain::entry::{Body, Entry, Known, Place, Time};
use crate::domain::foresee::foresee;
use crate::domain::moves::{self, Answers, FieldError, Move, On, Towards};
use crate::domain::need::Need;
use crate::domain::odd::unlikely;
use crate::domain::once_more::{came_from_dry, once_more};
use crate::domain::remarks::remarks;
use crate::domain::rule::Rule;
use crate::domain::sheet::read_sheet;
use crate::domain::shown::shown;
use crate::setup::shell_word;

pub(super) fn note(asked: &Asked<'_>) -> Result<u8, Stop> {
    let Some((verb, own)) = asked.matches.subcommand() else { return Err(Stop::Usage("say what to note".to_owned())) };
    let asked = Asked { matches: own, board: asked.board };
    let person = asked.person()?;
    let mut desk = asked.desk()?;
    let mut secrets = secret::Secrets::new(own.get_flag("pin-stdin"));
    let command = match moves::find(verb) {
        Some(mv) => typed(mv, own, &desk, person)?,
        None if verb == SET_PIN => {
            sign_in(&mut desk, person, &mut secrets)?;
            return set_pin(&mut desk, own, person, &mut secrets);
        }
        None => return Err(Stop::Usage(format!("there is no move {verb}"))),
    };
    if own.get_flag("trial") {
        return tried(&desk, &command, person);
    }
    sign_in(&mut desk, person, &mut secrets)?;
    let question = unless_meant(&desk, &command, person).filter(|_| !own.get_flag("meant"));
    let look_again = came_dry(&desk, &command);
    // What closes is never held up by a question: nobody may be there to answer it.
    match question {
        Some(question) if command.body.is_setting() => {
            Err(Stop::Refused(format!("asked: {question}\n  nothing was noted; if it is so, say it with --meant")))
        }
        Some(question) => {
            let ended = finish(&mut desk, &command, person)?;
            print(&format!("Look again: {question} If not, withdraw it and note it with the right time.\n"))?;
            Ok(ended)
        }
        None => {
            let ended = finish(&mut desk, &command, person)?;
            if let Some(text) = look_again {
                print(&format!("Look again: {text}\n"))?;
            }
            Ok(ended)
        }
    }
}

/// Noted as wet, or not known to be dry, out of a room in which nothing is: a form would ask.
fn came_dry(desk: &Desk, command: &Command) -> Option<String> {
    let Body::ThingArrived { thing, from, wet } = &command.body else { return None };
    let from = came_from_dry(desk.board(), thing, *from).filter(|_| *wet != Known::No)?;
    Some(format!(
        "by what is noted nothing in {from}, where {} came from, is wet. If it was felt and is dry, have the lead void this, \
         and note it with --wet no.",
        shown(thing)
    ))
}

/// What a form would ask before it notes this, and a command line cannot.
fn unless_meant(desk: &Desk, command: &Command, person: Code) -> Option<String> {
    let entry = decide(desk.board(), command, person, desk.now()).ok()?;
    unlikely(&entry, desk.board())
}

/// What noting it would do. Nothing is noted.
fn tried(desk: &Desk, command: &Command, person: Code) -> Result<u8, Stop> {
    match decide(desk.board(), command, person, desk.now()) {
        Ok(entry) => {
            let foreseen = foresee(desk.board(), &entry, desk.now()).words();
            let what = shown(&sentence(&entry, desk.board()));
            let asks = once_more(desk.board(), desk.entries(), command, person, desk.now(), false);
            let asks = asks.filter(|_| !entry.body.is_setting());
            let asks = asks.map(|question| format!("On screen it would be asked: {question}\n")).unwrap_or_default();
            print(&format!("would be noted: {what}\n{foreseen} Nothing was noted.\n{asks}"))
        }
        Err(refusal) => Err(Stop::Refused(refused(desk, &refusal, command))),
    }
}

/// What was typed, as a command.
fn typed(mv: &'static Move, own: &ArgMatches, desk: &Desk, person: Code) -> Result<Command, Stop> {
    let (board, now) = (desk.board(), desk.now());
    let target = match mv.on.word() {
        Some(_) => own.get_one::<String>("target").map(String::as_str).unwrap_or_default(),
        None => "",
    };
    let mut answers = args::answers(mv, own, person.as_str());
    attach_traces(desk, &mut answers).map_err(|error| misread(mv, &[error]))?;
    let happened = own.get_one::<String>("at").map(|text| time(text, desk)).transpose()?;
    let built = moves::build_at(mv, target, &answers, board, now, happened);
    let (place, body) = built.map_err(|errors| misread(mv, &errors))?;
    let mut command = Command::new(new_command_id()?, place, body);
    command.happened = happened;
    command.future_is_meant = own.get_flag("future-is-meant");
    let done_by = own.get_one::<String>("done-by").map(|text| Code::new(text));
    let sheet = own.get_one::<String>("sheet").map(|text| read_sheet(text, board, desk.entries()));
    command.sheet = sheet.transpose().map_err(|why| Stop::Usage(format!("--sheet: {why}")))?;
    command.done_by = done_by.transpose().map_err(|error| Stop::Usage(format!("--done-by: {error}")))?;
    Ok(command)
}

/// Reads the loggers' traces that these answers name, in the order in which an entry keeps them.
pub(super) fn attach_traces(desk: &Desk, answers: &mut Answers) -> Result<Vec<Logged>, FieldError> {
    let mut read = vec![];
    // Other moves use the same words for other things.
    for field in moves::TRACES.into_iter().filter(|field| answers.get(field).is_some()).collect::<Vec<_>>() {
        let Some(asked) = moves::trace_asked(answers, field)? else { continue };
        let logged = desk.logged(&asked).map_err(|message| FieldError { field, message })?;
        answers.attach(field, logged.measured.clone());
        read.push(logged);
    }
    Ok(read)
}

fn time(text: &str, desk: &Desk) -> Result<Time, Stop> {
    let (zone, now) = (desk.board().facility().time_zone, desk.now());
    let sheets = || moves::sheets_tell_of(desk.entries(), now, zone);
    moves::read_time(text, zone, now, Towards::Past).map_err(|why| Stop::Usage(format!("--at: {why}{}", sheets())))
}

/// One line a wrong answer, under the option that was meant.
fn misread(mv: &Move, errors: &[FieldError]) -> Stop {
    let line = |error: &FieldError| {
        let options: Vec<String> = match mv.field(error.field).map(|field| field.kind.options()) {
            None => vec![],
            Some([]) => vec![format!("--{}", error.field)],
            Some(several) => several.iter().map(|(name, ..)| format!("--{name}")).collect(),
        };
        match options.is_empty() {
            true => format!("{}: {}", mv.on.word().unwrap_or("target"), error.message),
            false => format!("{}: {}", options.join(" or "), error.message),
        }
    };
    let lines: Vec<String> = errors.iter().map(line).collect();
    Stop::Usage(format!(
        "nothing was noted\n  {}\n`dryhold note {} --help` tells every option",
        lines.join("\n  "),
        mv.verb
    ))
}

pub(super) fn sign_in(desk: &mut Desk, person: Code, secrets: &mut secret::Secrets) -> Result<(), Stop> {
    let pin = match desk.wants_pin(person) {
        true => Some(secrets.ask(&format!("PIN of {person}: "))?),
        false => None,
    };
    desk.check_pin(person, pin.as_deref()).map_err(|error| match error {
        PinError::NotOnRoster(_) => Stop::Refused(format!("roster: {error}; the lead can add a person")),
        PinError::Wrong(_) => Stop::Refused(format!(
            "roster: {error}: type it again, or ask the lead to set a new one ({} note {SET_PIN} {})",
            super::program_for(desk.path()),
            shell_word(person.as_str())
        )),
        _ => Stop::Refused(format!("roster: {error}")),
    })
}

fn set_pin(desk: &mut Desk, own: &ArgMatches, person: Code, secrets: &mut secret::Secrets) -> Result<u8, Stop> {
    let whose = own.get_one::<String>("target").map(String::as_str).unwrap_or_default();
    let whose = Code::new(whose).map_err(|error| Stop::Usage(error.to_string()))?;
    let hash = match own.get_flag("none") {
        true => None,
        false => {
            let pin = secrets.ask(&format!("new PIN of {whose}: "))?;
            if secrets.is_typed() && pin != secrets.ask("the same again: ")? {
                return Err(Stop::Usage("the two were not the same; nothing was noted".to_owned()));
            }
            Some(hash_pin(&pin).map_err(|error| Stop::Usage(error.to_string()))?)
        }
    };
    let command = Command::new(new_command_id()?, Place::Hospital, Body::PinSet { person: whose, hash });
    finish(desk, &command, person)
}

fn finish(desk: &mut Desk, command: &Command, person: Code) -> Result<u8, Stop> {
    match desk.note(command, person) {
        Outcome::Done(entry) => print(&said(desk, &entry)),
        Outcome::Refused(refusal) => Err(Stop::Refused(refused(desk, &refusal, command))),
        Outcome::Unsure(error) => Err(Stop::Failed(anyhow!(error))),
        Outcome::Failed(error) => Err(error.into()),
    }
}

/// What was noted, what to know of it, and how its rooms stand now.
pub(super) fn said(desk: &Desk, entry: &Entry) -> String {
    let board = desk.board();
    let mut out = format!("noted as entry {}: {}\n", entry.number, shown(&sentence(entry, board)));
    for remark in remarks(entry, board, desk.entries()) {
        let _ = writeln!(out, "note: {remark}");
    }
    let Place::Rooms(rooms) = &entry.place else { return out };
    for code in rooms {
        let _ = write!(out, "room {code}: {}", board.state(*code).headline_of(!board.room_blockers(*code).is_empty()));
        match board.next_step(*code, desk.now()) {
            Some(step) => {
                let command = command_of(board, step.verb, &[*code], desk.now());
                let _ = writeln!(out, "; next: {} ({})", shown(&step.text), typed_for(desk, &command));
            }
            None => drop(writeln!(out)),
        }
    }
    out
}

/// The rule, what is missing, and the command that makes it right.
pub(super) fn refused(desk: &Desk, refusal: &Refusal, command: &Command) -> String {
    let mut out = format!("refused ({}): {refusal}", refusal.rule());
    if refusal.rule() == Rule::Role && matches!(command.body, Body::PersonSet(_) | Body::Downtime { .. }) {
        out.push_str(
            "\n  call the lead or infection prevention: either signs in at any terminal, and can appoint an acting lead\
             \n  (dryhold note set-person INITIALS --acting-lead-from HH:MM --acting-lead-until HH:MM), also beforehand.\
             \n  Until then nothing opens; anybody may note what closes: gap, out-of-service, finding, damp zones",
        );
    }
    let mut missing: BTreeMap<Need, Vec<String>> = BTreeMap::new();
    for evidence in refusal.missing() {
        missing.entry(evidence.need).or_default().push(evidence.cause.to_string());
    }
    for (need, causes) in &missing {
        let entries = if causes.len() == 1 { "entry" } else { "entries" };
        let _ = write!(out, "\n  missing: {need} (asked by {entries} {})", causes.join(", "));
    }
    if let Some(verb) = refusal.mend() {
        let _ = write!(out, "\n  first: {}", mending(desk, verb, &command.place));
    }
    out
}

/// The command line that makes it right, with what it needs.
fn mending(desk: &Desk, verb: &'static str, place: &Place) -> String {
    let board = desk.board();
    moves::usage(&typed_for(desk, &command_of(board, verb, &board.rooms_of(place), desk.now())), verb)
}

fn typed_for(desk: &Desk, command: &str) -> String {
    command.replacen("dryhold", &super::program_for(desk.path()), 1)
}

/// The command line of this move in these rooms: of their own task of that kind, which names its bag, bed, ward or entry
/// already.
pub(super) fn command_of(board: &Board, verb: &'static str, rooms: &[Code], now: Time) -> String {
    let tasks = rooms.iter().flat_map(|room| board.tasks_of(*room, now)).filter(|task| task.verb == verb);
    // The day's round is no step of a room.
    if let Some(task) = tasks.min_by_key(|task| task.kind == TaskKind::DailyLook) {
        return task.command;
    }
    let first = rooms.first().copied();
    let ward = || first.and_then(|room| Some(board.facility().room(room)?.ward));
    let target = match moves::find(verb).map(|mv| mv.on) {
        Some(On::Room | On::Bed | On::Place) => first.map(|room| shell_word(room.as_str())),
        Some(On::Ward) => ward().map(|ward| shell_word(ward.as_str())),
        Some(on) => on.word().map(str::to_owned),
        None => None,
    };
    let target = target.map(|target| format!(" {target}")).unwrap_or_default();
    format!("dryhold note {verb}{target}")
}

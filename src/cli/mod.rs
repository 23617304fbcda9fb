//! The board without a screen: the same commands, the same rules, the same refusals.
//!
//! Every command ends in one of five ways, which is the exit status.

mod args;
mod days;
mod estimate;
mod json;
mod keep;
mod lines;
mod note;
mod picture;
mod record_page;
mod records;
mod rules;
mod secret;
mod sheets;
mod show;
mod start;
mod text;
mod view;

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context as _, anyhow};
use clap::ArgMatches;

use crate::desk::{Clock, Desk, DeskError, Standing};
use crate::domain::code::Code;
use crate::domain::facility::RoomPlan;
use crate::domain::moves;
use crate::domain::shift::missing;
use crate::domain::shown::shown_lines;
use crate::ledger::{self, LedgerError};
use crate::setup::shell_word;
use days::Days;
use json::Part;
use view::View;

/// How a command ended, other than well.
#[derive(Debug)]
enum Stop {
    Failed(anyhow::Error),
    /// The command line does not make sense.
    Usage(String),
    /// A rule's no, as it shall be printed.
    Refused(String),
    /// The ledger is damaged or unreadable.
    Damaged(String),
}

impl Stop {
    fn status(&self) -> u8 {
        match self {
            Self::Failed(_) => 1,
            Self::Usage(_) => 2,
            Self::Refused(_) => 3,
            Self::Damaged(_) => 4,
        }
    }
}

impl<E: Into<anyhow::Error>> From<E> for Stop {
    fn from(error: E) -> Self {
        let error = error.into();
        let ledger = error.downcast_ref::<LedgerError>().or_else(|| match error.downcast_ref::<DeskError>() {
            Some(DeskError::Ledger(inside)) => Some(inside),
            _ => None,
        });
        match ledger.is_some_and(LedgerError::is_damage) {
            true => Self::Damaged(in_words(&error)),
            false => Self::Failed(error),
        }
    }
}

/// The error and what caused it, each cause once: many an error tells its own.
fn in_words(error: &anyhow::Error) -> String {
    error.chain().fold(String::new(), |mut said, cause| {
        let cause = cause.to_string();
        if !said.contains(&cause) {
            let between = if said.is_empty() { "" } else { ": " };
            said.push_str(between);
            said.push_str(&cause);
        }
        said
    })
}

/// What was asked for on any command: which ledger, who, and what time it shall be.
struct Asked<'a> {
    matches: &'a ArgMatches,
    board: ShowBoard<'a>,
}

/// How the screens shall be drawn, and for whom.
#[derive(Clone, Debug, PartialEq)]
pub struct Screen {
    /// `auto`, `never`, `16`, `light` or `dark`.
    pub color: String,
    pub ascii: bool,
    pub person: Option<Code>,
    /// The page for a wall, instead of the Board.
    pub wall: bool,
}

/// Draws the board until somebody leaves it, and gives the exit status. The command line does not know how.
pub type ShowBoard<'a> = &'a dyn Fn(Desk, Screen) -> anyhow::Result<u8>;

impl Asked<'_> {
    fn path(&self) -> Result<PathBuf, Stop> {
        let flag = self.matches.get_one::<PathBuf>("ledger").cloned();
        Ok(ledger::ledger_path(flag, std::env::var_os("DRYHOLD_LEDGER"))?)
    }

    fn clock(&self) -> Result<Clock, Stop> {
        match self.matches.get_one::<String>("now") {
            None => Ok(Clock::System),
            Some(text) => Clock::set(text).map_err(|error| Stop::Usage(error.to_string())),
        }
    }

    /// To show it and no more.
    fn shown(&self) -> Result<Desk, Stop> {
        Ok(Desk::look(&self.path()?, self.clock()?, terminal_name())?)
    }

    fn desk(&self) -> Result<Desk, Stop> {
        Ok(Desk::open(&self.path()?, self.clock()?, terminal_name())?)
    }

    /// Who is at the keyboard, where somebody has to be.
    fn person(&self) -> Result<Code, Stop> {
        let typed = self.matches.get_one::<String>("as");
        let typed = typed.ok_or_else(|| Stop::Usage("say who you are: --as INITIALS".to_owned()))?;
        Code::new(typed).map_err(|error| Stop::Usage(format!("--as: {error}")))
    }
}

/// Runs one command line. Prints what it has to say, and gives the exit status.
pub fn run(words: impl IntoIterator<Item = OsString>, board: ShowBoard<'_>) -> ExitCode {
    let matches = match args::command().try_get_matches_from(words) {
        Ok(matches) => matches,
        Err(mut error) => {
            if error.use_stderr() {
                args::keep_harmless(&mut error);
                // It repeats what was typed, which may have come from a file or another program.
                complain(&error.render().to_string(), "");
                return ExitCode::from(2);
            }
            // A reader who closed the pipe has read enough.
            let _ = error.print();
            return ExitCode::SUCCESS;
        }
    };
    match dispatch(&matches, board) {
        Ok(status) => ExitCode::from(status),
        Err(stop) => {
            let text = match &stop {
                Stop::Failed(error) => in_words(error),
                Stop::Usage(text) | Stop::Refused(text) | Stop::Damaged(text) => text.clone(),
            };
            complain(&text, "dryhold: ");
            ExitCode::from(stop.status())
        }
    }
}

/// Writes to standard error, cleaned. If nobody can be told, the status still tells.
fn complain(text: &str, begin: &str) {
    let mut err = io::stderr().lock();
    for (at, line) in shown_lines(text).enumerate() {
        let _ = writeln!(err, "{}{line}", if at == 0 { begin } else { "" });
    }
}

fn dispatch(matches: &ArgMatches, board: ShowBoard<'_>) -> Result<u8, Stop> {
    let Some((name, own)) = matches.subcommand() else { return start::start(&Asked { matches, board }) };
    let asked = Asked { matches: own, board };
    match name {
        "demo" => start::demo(&asked),
        "beds" | "rooms" | "tasks" | "room" | "dryings" => look(&asked, name),
        "wall" => start::wall(&asked),
        "lines" => lines::lines(&asked, asked.desk()?),
        "exceptions" => {
            let (desk, days) = (asked.shown()?, Days::asked(own)?);
            print(&show::exceptions(&view_of(&desk), days))?;
            Ok(status(&desk))
        }
        "shift" => {
            let desk = asked.shown()?;
            let person = asked.matches.get_one::<String>("as").map(|_| asked.person()).transpose()?;
            print(&show::shift_questions(&view_of(&desk), person))?;
            Ok(status(&desk))
        }
        "record" => record(&asked),
        "sheets" => paper(&asked),
        "note" => note::note(&asked),
        "setup" => keep::setup(&asked),
        "restore" => keep::restore(&asked),
        "repair" => keep::repair(&asked),
        "copy" => keep::copy(&asked),
        "check" => keep::check(&asked),
        "estimate" => estimate::estimate(own),
        "rules" => {
            let settings = own.get_flag("settings");
            let desk = if settings { asked.shown().ok() } else { None };
            let policy = desk.as_ref().map(|desk| desk.board().policy());
            let above = desk.as_ref().map(|desk| show::above(&view_of(desk))).unwrap_or_default();
            print(&if settings { above + &rules::settings(policy) } else { rules::rules() })
        }
        "completions" => completions(own),
        "man" => manual(own),
        other => Err(Stop::Usage(format!("there is no command {other}"))),
    }
}

/// Writes to standard output. A reader who closed the pipe has read enough.
fn print(text: &str) -> Result<u8, Stop> {
    match io::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(anyhow!(error).context("writing the answer").into())
        }
        _ => Ok(0),
    }
}

fn look(asked: &Asked<'_>, name: &str) -> Result<u8, Stop> {
    let desk = asked.shown()?;
    let view = view_of(&desk);
    let own = asked.matches;
    let json = own.get_flag("json");
    let ward = match name {
        "room" | "dryings" => None,
        _ => own.get_one::<String>("ward").map(|typed| ward(&view, typed)).transpose()?,
    };
    let text = match (name, json) {
        ("beds", false) => show::beds(&view, ward, own.get_flag("open")),
        ("beds", true) => {
            let only_open = own.get_flag("open");
            let rows = view.rooms(ward).flat_map(|plan| json::bed_rows(&view, plan));
            as_json(&view, Part::Beds(rows.filter(|row| !only_open || row.admission == "open").collect()))?
        }
        ("rooms", false) => show::rooms(&view, ward),
        ("rooms", true) => {
            as_json(&view, Part::Rooms(view.rooms(ward).map(|plan| json::room_row(&view, plan)).collect()))?
        }
        ("tasks", false) => show::tasks(&view, ward),
        ("tasks", true) => as_json(
            &view,
            Part::Tasks(show::tasks_of(&view, ward).iter().map(|task| json::task_row(&view, task)).collect()),
        )?,
        ("dryings", false) => show::dryings(&view),
        ("dryings", true) => as_json(&view, Part::Dryings(Box::new(json::dryings_view(&view))))?,
        (_, json) => {
            let typed = own.get_one::<String>("room").map(String::as_str).unwrap_or_default();
            let plan = room(&view, typed)?;
            match json {
                true => as_json(&view, Part::Room(Box::new(json::room_view(&view, plan))))?,
                false => show::room(&view, plan, own.get_flag("all")),
            }
        }
    };
    print(&text)?;
    Ok(status(&desk))
}

/// The treatment records of one room, as a page or as JSON.
fn record(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    let (desk, days) = (asked.shown()?, Days::asked(own)?);
    let view = view_of(&desk);
    let plan = room(&view, own.get_one::<String>("room").map(String::as_str).unwrap_or_default())?;
    print(&match own.get_flag("json") {
        true => as_json(&view, Part::Records(record_page::rows(&view, plan, days)))?,
        false => record_page::page(&view, plan, days),
    })?;
    Ok(status(&desk))
}

/// Sheets for when nothing can be noted.
fn paper(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    let desk = asked.shown()?;
    let view = view_of(&desk);
    if own.get_flag("entered") {
        let told = sheets::entered(&view, Days::default());
        let told = if told.is_empty() { "no downtime was noted\n" } else { &told };
        return print(&(show::above(&view) + told));
    }
    let named = own.get_many::<String>("wards").into_iter().flatten();
    let named = named.map(|typed| ward(&view, typed)).collect::<Result<Vec<Code>, Stop>>()?;
    let wards = if named.is_empty() { view.board.facility().wards.keys().copied().collect() } else { named };
    let number = |name: &str| own.get_one::<u32>(name).copied().unwrap_or(1);
    print(&sheets::sheets(&view, &wards, number("first"), number("count")))
}

fn as_json(view: &View<'_>, part: Part) -> Result<String, Stop> {
    let text = serde_json::to_string_pretty(&json::document(view, part)).context("writing JSON")?;
    Ok(json::escaped(&text))
}

/// 4 where the ledger cannot be trusted: what was asked for is printed all the same, with every bed closed.
fn status(desk: &Desk) -> u8 {
    if desk.board().distrust().is_some() { 4 } else { 0 }
}

fn view_of(desk: &Desk) -> View<'_> {
    let (board, entries, now) = (desk.board(), desk.entries(), desk.now());
    let gaps = missing(board, entries, now);
    let lacks = gaps.iter().any(|gap| gap.is_of_entries());
    let told = || Some(gaps.iter().map(|gap| format!("{}: {}", gap.title, gap.whole)).collect::<Vec<_>>().join(" "));
    let (standing, reason) = match (desk.standing(), board.distrust()) {
        (Standing::Whole, Some(why)) => ("incomplete", Some(why.to_owned())),
        (Standing::Whole, None) if gaps.is_empty() => ("whole", None),
        (Standing::Whole, None) => (if lacks { "incomplete" } else { "whole" }, told()),
        (Standing::ReadOnly(why), None) => ("read-only", Some(why.clone())),
        (Standing::ReadOnly(why), Some(distrust)) => ("read-only", Some(format!("{why}; {distrust}"))),
        (Standing::Untrusted(why), _) => ("damaged", Some(why.clone())),
    };
    let (practice, not_kept) = (desk.header().rehearsal, desk.not_kept().map(str::to_owned));
    View { board, entries, now, standing, reason, gaps, practice, not_kept, program: program_for(desk.path()) }
}

/// `dryhold`, and which ledger, unless it is the one that the next command takes by itself.
fn program_for(ledger: &Path) -> String {
    let whole = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let usual = crate::ledger::ledger_path(None, std::env::var_os("DRYHOLD_LEDGER"));
    match usual.is_ok_and(|usual| whole(&usual) == whole(ledger)) {
        true => "dryhold".to_owned(),
        false => format!("dryhold --ledger {}", shell_word(&whole(ledger).to_string_lossy())),
    }
}

fn ward(view: &View<'_>, typed: &str) -> Result<Code, Stop> {
    let wards = &view.board.facility().wards;
    let known = Code::new(typed).ok().and_then(|code| wards.get(&code)).map(|ward| ward.code);
    known.ok_or_else(|| {
        let all: Vec<String> = wards.keys().map(Code::to_string).collect();
        Stop::Usage(format!("there is no ward “{typed}”; the wards are {}", all.join(", ")))
    })
}

fn room<'a>(view: &'a View<'_>, typed: &str) -> Result<&'a RoomPlan, Stop> {
    let facility = view.board.facility();
    let code = Code::new(typed).ok();
    let plan = code.and_then(|code| facility.room(code).or_else(|| facility.room_of_bed(code)));
    let near = || moves::near_codes(facility, typed);
    plan.ok_or_else(|| Stop::Usage(format!("there is no room or bed “{typed}”{}; `dryhold rooms` lists them", near())))
}

fn completions(own: &ArgMatches) -> Result<u8, Stop> {
    let Some(shell) = own.get_one::<clap_complete::Shell>("shell").copied() else { return Ok(0) };
    let mut out = vec![];
    clap_complete::generate(shell, &mut args::command(), "dryhold", &mut out);
    print(&String::from_utf8_lossy(&out))
}

/// The manual page of the program, or of one command or move.
fn manual(own: &ArgMatches) -> Result<u8, Stop> {
    let mut command = args::command();
    command.build();
    let mut name = "dryhold".to_owned();
    for word in own.get_many::<String>("command").into_iter().flatten() {
        let found = command.find_subcommand(word).cloned();
        command = found.ok_or_else(|| Stop::Usage(format!("{name} has no command {word}")))?;
        name = format!("{name}-{word}");
    }
    let mut out = vec![];
    clap_mangen::Man::new(command.name(name)).render(&mut out)?;
    print(&String::from_utf8_lossy(&out))
}

/// This terminal's name in the ledger.
fn terminal_name() -> String {
    let named = std::env::var("DRYHOLD_TERMINAL").ok().filter(|name| !name.trim().is_empty());
    named.unwrap_or_else(|| rustix::system::uname().nodename().to_string_lossy().into_owned())
}

/// Whether a person sits at a terminal.
fn is_typed() -> bool {
    io::stdout().is_terminal() && io::stdin().is_terminal()
}

/// Whether that can be drawn on.
fn can_draw() -> bool {
    let dumb = std::env::var_os("TERM").is_none_or(|term| term.is_empty() || term == "dumb");
    is_typed() && !dumb
}

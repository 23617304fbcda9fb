//! `dryhold` alone, and the demo.

use std::fs;
use std::io::{self, BufRead, Write};
use std::path::PathBuf;

use anyhow::{Context as _, anyhow};

use super::keep::{self, Wanted};
use super::{Asked, Screen, Stop, can_draw, is_typed, lines, print, show, status, terminal_name, view_of};
use crate::demo;
use crate::desk::{Clock, Desk};
use crate::domain::code::Code;
use crate::ledger::LedgerError;
use crate::setup;

/// The board, or the beds and tasks as text where nothing can be drawn. Without a ledger it offers to make one.
pub(super) fn start(asked: &Asked<'_>) -> Result<u8, Stop> {
    let path = asked.path()?;
    if !path.exists() {
        let missing = LedgerError::Missing { path };
        return if is_typed() {
            first_run(asked)
        } else {
            Err(Stop::Failed(anyhow!("{missing}, or look at `dryhold demo`")))
        };
    }
    board(asked, desk_for(asked, true)?, false)
}

/// Where nobody sits at a terminal nothing can be noted.
fn desk_for(asked: &Asked<'_>, lines: bool) -> Result<Desk, Stop> {
    let is_drawn = can_draw() && !asked.matches.get_flag("plain");
    if is_drawn || (lines && is_typed()) { asked.desk() } else { asked.shown() }
}

/// The page for a screen on the wall.
pub(super) fn wall(asked: &Asked<'_>) -> Result<u8, Stop> {
    board(asked, desk_for(asked, false)?, true)
}

/// The board of an invented hospital, in a folder that goes when it is left.
pub(super) fn demo(asked: &Asked<'_>) -> Result<u8, Stop> {
    let clock = asked.clock()?;
    let zone = keep::zone(None)?;
    if let Some(path) = asked.matches.get_one::<PathBuf>("keep") {
        demo::make(path, clock.now(), zone)?;
        return print(&format!("The demo's ledger is {}: look at it with --ledger.\n", path.display()));
    }
    let folder = tempfile::Builder::new().prefix("dryhold-demo-").tempdir().context("making a folder for the demo")?;
    let path = folder.path().join("ledger.ron");
    demo::make(&path, clock.now(), zone)?;
    board(asked, Desk::open_with(&path, clock, terminal_name(), None)?, false)
}

fn board(asked: &Asked<'_>, desk: Desk, wall: bool) -> Result<u8, Stop> {
    if can_draw() && !asked.matches.get_flag("plain") {
        let person = match asked.matches.get_one::<String>("as") {
            Some(_) => Some(on_roster(&desk, asked.person()?)?),
            None => None,
        };
        let color = asked.matches.get_one::<String>("color").cloned().unwrap_or_default();
        return Ok((asked.board)(desk, Screen { color, ascii: asked.matches.get_flag("ascii"), person, wall })?);
    }
    if is_typed() && !wall {
        return lines::lines(asked, desk);
    }
    let view = view_of(&desk);
    print(&if wall { show::wall(&view) } else { show::overview(&view) })?;
    Ok(status(&desk))
}

fn on_roster(desk: &Desk, person: Code) -> Result<Code, Stop> {
    let there = desk.board().people().get(&person).filter(|it| !it.left);
    // As it stands there: a code is the same in capitals and small letters.
    there.map(|it| it.initials).ok_or_else(|| Stop::Usage(format!("{person} is not on the roster")))
}

/// What somebody sees who starts the program for the first time.
fn first_run(asked: &Asked<'_>) -> Result<u8, Stop> {
    let path = asked.path()?;
    print(&format!(
        "There is no ledger yet at {}.\n\n  1  make one from a room list (CSV or RON)\n  2  look at the board of an invented hospital first\n  \
         3  write a room list to fill in: {LIST}, in this folder\n  q  leave\n\n",
        path.display()
    ))?;
    match ask("1, 2, 3 or q, then Enter: ")?.as_str() {
        "1" => {
            let file = PathBuf::from(ask("the room list's file: ")?);
            let hospital = ask("the hospital's name: ")?;
            let lead = ask("the housekeeping lead, as INITIALS,NAME: ")?;
            let wanted = Wanted { file: &file, lead: &lead, hospital: &hospital, time_zone: None, rehearsal: false };
            print(&keep::make(asked, &path, &wanted)?)
        }
        "2" => {
            let folder =
                tempfile::Builder::new().prefix("dryhold-demo-").tempdir().context("making a folder for the demo")?;
            let path = folder.path().join("ledger.ron");
            demo::make(&path, Clock::System.now(), keep::zone(None)?)?;
            board(asked, Desk::open_with(&path, Clock::System, terminal_name(), None)?, false)
        }
        "3" => {
            // Never over a list that somebody filled in.
            let mut file = fs::File::create_new(LIST).with_context(|| format!("writing {LIST} in this folder"))?;
            file.write_all(setup::SAMPLE.as_bytes()).with_context(|| format!("writing {LIST}"))?;
            print(&format!("{LIST} is written: one line a room. Fill it in, start again, and choose 1.\n"))
        }
        _ => Ok(0),
    }
}

/// The room list that the first start writes.
const LIST: &str = "rooms.csv";

fn ask(prompt: &str) -> Result<String, Stop> {
    print(prompt)?;
    io::stdout().flush().context("asking")?;
    let mut line = String::new();
    io::stdin().lock().read_line(&mut line).context("reading the answer")?;
    Ok(line.trim().to_owned())
}

//! Making, mending and checking ledgers.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, anyhow};
use chrono_tz::Tz;

use super::{Asked, Stop, print, terminal_name};
use crate::desk::{Desk, new_command_id};
use crate::domain::board::{Board, gaps};
use crate::domain::describe::sentence;
use crate::domain::entry::Body;
use crate::ledger::{self, Header};
use crate::setup::{self, SetupError};

pub(super) fn setup(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    if own.get_flag("sample") {
        return print(setup::SAMPLE);
    }
    let text = |name: &str| own.get_one::<String>(name).map(String::as_str);
    let file = own.get_one::<PathBuf>("file");
    let file = file
        .ok_or_else(|| Stop::Usage("name the room list; `dryhold setup --sample` prints one to fill in".to_owned()))?;
    let lead =
        text("lead").ok_or_else(|| Stop::Usage("name the first housekeeping lead: --lead INITIALS,NAME".to_owned()))?;
    let wanted = Wanted {
        file,
        lead,
        hospital: text("hospital").unwrap_or("Our hospital"),
        time_zone: text("time-zone"),
        rehearsal: own.get_flag("rehearsal"),
    };
    let path = asked.path()?;
    print(&make(asked, &path, &wanted)?)
}

/// What a new ledger is made of.
pub(super) struct Wanted<'a> {
    pub(super) file: &'a Path,
    pub(super) lead: &'a str,
    pub(super) hospital: &'a str,
    pub(super) time_zone: Option<&'a str>,
    pub(super) rehearsal: bool,
}

/// Makes the ledger, and says what was made and what comes next.
pub(super) fn make(asked: &Asked<'_>, path: &Path, wanted: &Wanted<'_>) -> Result<String, Stop> {
    let usage = |error: SetupError| match error {
        error @ SetupError::Unreadable { .. } => Stop::Failed(anyhow!(error)),
        error => Stop::Usage(error.to_string()),
    };
    let lead = setup::parse_lead(wanted.lead).map_err(usage)?;
    setup::check_name(wanted.hospital).map_err(usage)?;
    let zone = zone(wanted.time_zone)?;
    let rooms = setup::read_rooms(wanted.file).map_err(|error| match error {
        error @ SetupError::Unreadable { .. } => Stop::Failed(anyhow!(error)),
        error => Stop::Failed(anyhow!("{error}")),
    })?;
    let clock = asked.clock()?;
    if clock.is_set() && !wanted.rehearsal {
        return Err(Stop::Usage("--now makes only a ledger for rehearsal: add --rehearsal".to_owned()));
    }
    let initials = lead.initials;
    let header = Header::new(zone, wanted.rehearsal)?;
    Desk::create(path, &header, rooms.entries(wanted.hospital, lead), initials, clock.now())?;
    let mut out = format!("The ledger is {} ({zone}).\n", path.display());
    for line in rooms.summary(initials, asked.matches.get_one::<PathBuf>("ledger").map(PathBuf::as_path)) {
        let _ = writeln!(out, "{line}");
    }
    Ok(out)
}

/// The zone of this name; without one, that of `TZ`, else the machine's.
pub(super) fn zone(named: Option<&str>) -> Result<Tz, Stop> {
    let variable = || std::env::var("TZ").ok().and_then(|name| name.trim_start_matches(':').parse::<Tz>().ok());
    let Some(name) = named else {
        let machine = || iana_time_zone::get_timezone().ok().and_then(|name| name.parse().ok());
        return Ok(variable().or_else(machine).unwrap_or(Tz::UTC));
    };
    name.parse().map_err(|_| {
        Stop::Usage(format!("“{name}” is no time zone: name one as the IANA does, --time-zone Europe/Paris"))
    })
}

pub(super) fn restore(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    let person = asked.person()?;
    let copy = own.get_one::<PathBuf>("file").ok_or_else(|| Stop::Usage("name the copy".to_owned()))?;
    let path = asked.path()?;
    let now = asked.clock()?.now();
    let entry = ledger::restore(copy, &path, now, person, &terminal_name(), new_command_id()?)?;
    print(&format!(
        "The ledger is {} again, taken from {}.\nEntry {} closes every room until its ward was walked: \
         `dryhold note ward-walk WARD --words … --wet none|some`, by the lead or whoever acts as lead.\nWhat happened since the copy was made has to be noted again.\n",
        path.display(),
        copy.display(),
        entry.number,
    ))
}

pub(super) fn repair(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    let old = asked.path()?;
    let new = own.get_one::<PathBuf>("to").cloned().unwrap_or_else(|| beside(&old));
    let time_zone = own.get_one::<String>("time-zone").map(|name| zone(Some(name))).transpose()?;
    let repaired = ledger::repair(&old, &new, time_zone, ledger::mark_folder().as_deref())?;
    let mut out = format!(
        "{} was written; {} is as it was. {} entries were kept word for word.\n",
        new.display(),
        old.display(),
        repaired.kept
    );
    for fault in &repaired.faults {
        let line = fault.line.map(at_line).unwrap_or_default();
        let _ = writeln!(out, "  {line}{}", fault.what);
    }
    let numbers: Vec<String> = repaired.to_attest.iter().map(|number| number.to_string()).collect();
    if !numbers.is_empty() {
        let _ = writeln!(
            out,
            "These entries close every bed until two people attest what each said: {}\n  dryhold note second-attest hospital --entry NUMBER --words … --as INITIALS\n  dryhold note attest hospital --entry NUMBER --words … --as LEAD",
            numbers.join(", ")
        );
    }
    let _ = writeln!(out, "Look at it with --ledger, then move it to the place of the old one.");
    print(&out)
}

/// The header is line 1 of the file, so that entry 1 stands in line 2.
fn at_line(line: u64) -> String {
    match line {
        0 | 1 => format!("line {line}: "),
        line => format!("line {line} of the file, entry {}: ", line - 1),
    }
}

/// `ledger.ron` is mended as `ledger.mended.ron`, or with a number if there is one.
fn beside(old: &Path) -> PathBuf {
    let stem = old.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let name = |at: u32| match at {
        1 => old.with_file_name(format!("{stem}.mended.ron")),
        at => old.with_file_name(format!("{stem}.mended-{at}.ron")),
    };
    (1..1000).map(name).find(|path| !path.exists()).unwrap_or_else(|| name(1000))
}

/// Reads everything: first the file, then what its entries add up to.
pub(super) fn check(asked: &Asked<'_>) -> Result<u8, Stop> {
    let path = asked.path()?;
    let report = ledger::check(&path)?;
    let mut out = format!("{}: {} entries can be read\n", path.display(), report.entries);
    for fault in &report.faults {
        let line = fault.line.map(at_line).unwrap_or_default();
        let _ = writeln!(out, "{line}{}", fault.what);
    }
    let desk = Desk::open_with(&path, asked.clock()?, terminal_name(), None).context("reading it as a whole")?;
    problems(desk.board(), &mut out);
    let mut wrong = !report.faults.is_empty() || !desk.board().problems().is_empty();
    for entry in gaps(desk.board(), desk.entries()) {
        let board = desk.board();
        let tells = board
            .rooms_of(&entry.place)
            .into_iter()
            .find_map(|code| board.room(code)?.unsettled_by_name(entry.number)?.gap);
        let tells = tells.map(|gap| format!("; {}", board.gap_words(gap))).unwrap_or_default();
        let what = crate::domain::shown::shown(&sentence(entry, board));
        let _ = writeln!(out, "entry {}: {what}{tells}; not every ward of it was walked since", entry.number);
        wrong |= matches!(entry.body, Body::WentBack { .. });
    }
    if !wrong {
        let has_gap = gaps(desk.board(), desk.entries()).next().is_some();
        out.push_str(if has_gap { "nothing is wrong with the file itself\n" } else { "nothing is wrong with it\n" });
    }
    for notice in desk.notices() {
        let _ = writeln!(out, "note: {notice}");
    }
    print(&out)?;
    Ok(if wrong { 4 } else { 0 })
}

fn problems(board: &Board, out: &mut String) {
    for problem in board.problems() {
        let text = crate::domain::shown::shown(&problem.text);
        let _ = writeln!(out, "entry {}: {}: {text}", problem.number, problem.rule);
    }
}

//! Making, mending and checking ledgers.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, anyhow};
use chrono_tz::Tz;

use super::{Asked, Stop, print, program_for, terminal_name};
use crate::desk::{Desk, Standing, by_the_terminal, new_command_id};
use crate::domain::board::{Board, gaps};
use crate::domain::describe::sentence;
use crate::domain::entry::Body;
use crate::domain::people::{Person, Role};
use crate::domain::shown::{PRACTICE, shown};
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
    let there = Desk::check(copy, asked.clock()?, terminal_name())?;
    let is_listed = |it: &Person| !it.left && it.role != Role::Reader;
    let Some(person) = there.board().people().get(&person).filter(|it| is_listed(it)).map(|it| it.initials) else {
        let text = format!(
            "{person} is not on the staff list of that copy: only people on it note anything. Name one of them with --as"
        );
        return Err(Stop::Refused(text));
    };
    let entry = ledger::restore(copy, &path, now, person, &terminal_name(), new_command_id()?)?;
    print(&format!(
        "The ledger is {} again, taken from {}.\nEntry {} closes every room until its ward was walked: \
         `{} note ward-walk WARD --words … --wet none|some`, by the lead or whoever acts as lead.\nWhat happened since the copy was made has to be noted again.\n",
        path.display(),
        copy.display(),
        entry.number,
        program_for(&path),
    ))
}

/// A copy for practice, with an id of its own.
pub(super) fn copy(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    let new = own.get_one::<PathBuf>("file").ok_or_else(|| Stop::Usage("name the file to make".to_owned()))?;
    let path = asked.path()?;
    ledger::copy(&path, new)?;
    print(&format!(
        "{} is a copy of {}, for practice and marked so for ever: nothing that is noted there is noted in the hospital's ledger.\nLook at it with --ledger.\n",
        new.display(),
        path.display()
    ))
}

pub(super) fn repair(asked: &Asked<'_>) -> Result<u8, Stop> {
    let own = asked.matches;
    let old = asked.path()?;
    let new = own.get_one::<PathBuf>("to").cloned().unwrap_or_else(|| beside(&old));
    let time_zone = own.get_one::<String>("time-zone").map(|name| zone(Some(name))).transpose()?;
    let marks = ledger::mark_folder();
    let how = ledger::Repairing {
        time_zone,
        marks: marks.as_deref(),
        now: asked.clock()?.now(),
        by: by_the_terminal(),
        terminal: &terminal_name(),
        command: new_command_id()?,
    };
    let repaired = ledger::repair(&old, &new, &how)?;
    let mut out = format!(
        "{} was written; {} is as it was. {} entries were kept word for word.\n",
        new.display(),
        old.display(),
        repaired.kept
    );
    for fault in &repaired.faults {
        let line = fault.line.map(at_line).unwrap_or_default();
        let _ = writeln!(out, "  {line}{}", shown(&fault.what));
    }
    let numbers: Vec<String> = repaired.to_attest.iter().map(|number| number.to_string()).collect();
    if !numbers.is_empty() {
        let _ = writeln!(
            out,
            "These entries close every bed until two people attest what each said: {}\n  dryhold note second-attest hospital --entry NUMBER --words … --as INITIALS\n  dryhold note attest hospital --entry NUMBER --words … --as LEAD",
            numbers.join(", ")
        );
    }
    let _ = writeln!(
        out,
        "Nobody knows what else stood in it, so entry {} closes every room until its ward was walked: `dryhold note ward-walk WARD --words … --wet none|some`.",
        repaired.closes
    );
    let _ = writeln!(out, "It is the same ledger. Look at it with --ledger, then move it to the place of the old one.");
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

/// Reads everything: first the file, then what its entries add up to. Writes nothing, and takes no lock.
pub(super) fn check(asked: &Asked<'_>) -> Result<u8, Stop> {
    let path = asked.path()?;
    let marks = ledger::mark_folder();
    let report = ledger::check(&path, marks.as_deref())?;
    let mut out = format!("{}: {} entries can be read\n", path.display(), report.entries);
    for fault in &report.faults {
        let line = fault.line.map(at_line).unwrap_or_default();
        let _ = writeln!(out, "{line}{}", shown(&fault.what));
    }
    let desk = Desk::check(&path, asked.clock()?, terminal_name()).context("reading it as a whole")?;
    if let Some(lacks) = desk.lacks().filter(|_| *desk.standing() != Standing::Whole) {
        let _ = writeln!(out, "this terminal has seen more: {lacks}");
    }
    if desk.header().rehearsal {
        let _ = writeln!(out, "{PRACTICE}: it is for practice, and no hospital's");
    }
    let board = desk.board();
    problems(board, &mut out);
    let mut wrong = !report.faults.is_empty() || !board.problems().is_empty();
    if let Some(why) = board.distrust().filter(|_| *desk.standing() == Standing::Whole) {
        let _ = writeln!(out, "every bed reads closed: {}", shown(why));
        wrong = true;
    }
    let waits = |number| board.rooms().find_map(|(_, room)| room.unsettled_by_name(number));
    let is_lost = |body: &Body| matches!(body, Body::WentBack { .. } | Body::EndLost { .. });
    let mut has_gap = false;
    for entry in desk.entries() {
        let closer = waits(entry.number);
        let is_open = closer.is_some() && gaps(board, std::slice::from_ref(entry)).next().is_some();
        if !is_open && !is_lost(&entry.body) {
            continue;
        }
        let tells = closer.and_then(|closer| closer.gap);
        let tells = tells.map(|gap| format!("; {}", board.gap_words(gap))).unwrap_or_default();
        let walked = if is_open { "not every ward of it was walked since" } else { "every ward was walked since" };
        let what = shown(&sentence(entry, board));
        let _ = writeln!(out, "entry {}: {what}{tells}; {walked}", entry.number);
        has_gap |= is_open;
        wrong |= is_open && is_lost(&entry.body);
    }
    if !wrong {
        out.push_str(if has_gap { "nothing is wrong with the file itself\n" } else { "nothing is wrong with it\n" });
    }
    if !desk.has_seen_it() {
        out.push_str(
            "note: this terminal had not seen this ledger before, so it would not notice if whole lines were gone at its end\n",
        );
    }
    for notice in desk.notices() {
        let _ = writeln!(out, "note: {notice}");
    }
    print(&out)?;
    Ok(if wrong { 4 } else { 0 })
}

fn problems(board: &Board, out: &mut String) {
    for problem in board.problems() {
        let text = shown(&problem.text);
        let _ = writeln!(out, "entry {}: {}: {text}", problem.number, problem.rule);
    }
}

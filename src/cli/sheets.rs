//! Sheets of paper for when nothing can be noted: how the rooms stood when they were printed, and numbered blanks.
//!
//! Plain text of 80 columns, a form feed between pages. What is written on a sheet counts for nothing until it is noted.

use std::fmt::Write as _;

use super::days::Days;
use super::text::clock;
use super::view::View;
use crate::domain::board::BedMark;
use crate::domain::code::Code;
use crate::domain::moves::{MOVES, MoveKind, On};
use crate::domain::sheet::sheets as sheets_of;
use crate::domain::shown::shown;

const COLUMNS: usize = 80;
/// Where the beds of a room stand.
const BEDS_AT: usize = 46;
/// Lines of rooms on one page, and blanks on one: with head and foot they stay within 60 lines.
const ROOMS: usize = 42;
const BLANKS: usize = 8;

/// Which sheets of each downtime of these days were entered, newest first. Empty: there was none.
pub(super) fn entered(view: &View<'_>, days: Days) -> String {
    let zone = view.board.facility().time_zone;
    let mut out = String::new();
    let all = sheets_of(view.board, view.entries);
    for it in all.iter().rev().filter(|it| days == Days::default() || days.holds(it.from, zone)) {
        let (from, until) = (clock(it.from, view.now, zone), clock(it.until, view.now, zone));
        let stated = shown(&it.stated);
        let _ = writeln!(out, "downtime {from} to {until}, entry {}, sheets {stated}:", it.downtime);
        it.words().iter().for_each(|line| _ = writeln!(out, "  {line}"));
    }
    out
}

/// For each ward its state, then `count` sheets numbered from `first` on.
pub(super) fn sheets(view: &View<'_>, wards: &[Code], first: u32, count: u32) -> String {
    let mut pages = vec![];
    let mut number = first;
    for ward in wards {
        pages.extend(states(view, *ward));
        for _ in 0..count {
            pages.push(blank(view, *ward, number));
            number = number.saturating_add(1);
        }
    }
    pages.join("\x0c")
}

fn states(view: &View<'_>, ward: Code) -> Vec<String> {
    let board = view.board;
    let rooms: Vec<_> = view.rooms(Some(ward)).collect();
    // What does not fit beside the state goes on below it: no bed and no sign is cut.
    let lines = |plan: &&crate::domain::facility::RoomPlan| -> Vec<String> {
        let state = board.state(plan.code).headline_of(!board.room_blockers(plan.code).is_empty());
        let open: Vec<String> = plan
            .beds
            .iter()
            .filter(|bed| board.admission(bed.code, view.now).is_empty())
            .map(|bed| {
                let signs: String = board.marks(bed.code, view.now).into_iter().map(BedMark::sign).collect();
                let promised = if view.promised(plan.code, bed.code).is_some() { " (promised)" } else { "" };
                format!("{}{signs}{promised}", bed.code)
            })
            .collect();
        let mut beds = match (plan.beds.is_empty(), open.is_empty()) {
            (true, _) => vec!["no beds".to_owned()],
            (false, true) => vec!["no bed open".to_owned()],
            (false, false) => vec!["open:".to_owned()],
        };
        let last = open.len().saturating_sub(1);
        for (at, bed) in open.iter().enumerate() {
            let bed = format!("{bed}{}", if at == last { "" } else { "," });
            match beds.last_mut() {
                Some(line) if line.chars().count() + 1 + bed.chars().count() <= COLUMNS - BEDS_AT => {
                    line.push(' ');
                    line.push_str(&bed);
                }
                _ => beds.push(bed),
            }
        }
        let state = shown(state);
        let name = |at: usize| if at == 0 { (plan.code.as_str(), state.as_str()) } else { ("", "") };
        let line = |(at, beds): (usize, &String)| {
            let (code, state) = name(at);
            cut(&format!("{code:<10} {state:<34} {beds}"))
        };
        beds.iter().enumerate().map(line).collect()
    };
    let page = |lines: &[String]| {
        let mut out = head(view, ward, "how the rooms stood");
        out.push_str(
            "In doubt a bed is closed. A bed that is not open below takes nobody, and opens\n\
             by no sheet: only on the board, after the ward was walked. An open one closes\n\
             with the first finding, spray or wet thing in its room. DO NOT ENTER: nobody\n\
             goes in but who sprays and, after the label's time, who checks.\n\n",
        );
        let signs = BedMark::ALL.map(|mark| format!("{} {}", mark.sign(), mark.words()));
        let _ = writeln!(out, "Open beds: {}.\n", signs.join(", "));
        let _ = writeln!(out, "{:<10} {:<34} BEDS", "ROOM", "STATE");
        for line in lines {
            let _ = writeln!(out, "{line}");
        }
        out
    };
    let all: Vec<String> = rooms.iter().flat_map(lines).collect();
    all.chunks(ROOMS).map(page).collect()
}

fn blank(view: &View<'_>, ward: Code, number: u32) -> String {
    let mut out = head(view, ward, &format!("SHEET {number}"));
    out.push_str("Never name or describe a patient. One box each, in the order of what happened.\n\n");
    for each in 1..=BLANKS {
        let _ = writeln!(
            out,
            "{number}.{each:<2} time ___:___  room/bed __________  done by ______  written by ______\n\
             \x20    what was done ____________________________________________________________\n\
             \x20    zones, bags, figures _____________________________________________________\n\
             \x20                                               noted as entry ______ by ______\n"
        );
    }
    out.push_str("What was done, by its name on the board:\n");
    let names: Vec<&str> = MOVES
        .iter()
        .filter(|mv| matches!(mv.kind, MoveKind::Closer | MoveKind::Fact))
        .filter(|mv| matches!(mv.on, On::Room | On::Bed | On::Bag))
        .map(|mv| mv.title)
        .collect();
    out.push_str(&wrapped(&names.join("; ")));
    out.push_str("Zones, with the bed's letter where each bed has its own:\n");
    let mut zones: Vec<String> = vec![];
    for plan in view.rooms(Some(ward)) {
        for zone in plan.all_zones() {
            let part = zone.part.to_string();
            if !zones.contains(&part) {
                zones.push(part);
            }
        }
    }
    out.push_str(&wrapped(&zones.join(", ")));
    out.push_str(
        "Afterwards the lead notes the downtime with the numbers of its sheets, every\n\
         box is noted in its order, with its number, and the ward is walked. A spray\n\
         without an end is wet.\n",
    );
    out
}

fn head(view: &View<'_>, ward: Code, what: &str) -> String {
    let facility = view.board.facility();
    let printed = view.now.with_timezone(&facility.time_zone).format("%a %-d %b %Y %H:%M");
    let newest = view.entries.last().map_or(0, |entry| entry.number.0);
    let title = format!("WARD {ward}, {what}");
    // What has to be known of the record stands on each sheet, in as many lines as it takes.
    let gaps = view.gaps.iter().filter_map(|gap| gap.short.get(1).cloned());
    let careful: String = super::show::warnings(view).into_iter().chain(gaps).map(|line| wrapped(&line)).collect();
    format!(
        "{}\n{}\n{careful}\n",
        cut(&format!("{title}   {}", shown(&facility.name))),
        cut(&format!("printed {printed}, after entry {newest}"))
    )
}

fn cut(line: &str) -> String {
    line.chars().take(COLUMNS).collect::<String>().trim_end().to_owned()
}

/// Lines of at most so many columns, two columns in.
fn wrapped(text: &str) -> String {
    let mut lines = vec![String::from(" ")];
    for word in shown(text).split_whitespace() {
        let full = lines.last().is_some_and(|line| line.chars().count() + 1 + word.chars().count() > COLUMNS);
        if full {
            lines.push(String::from(" "));
        }
        if let Some(line) = lines.last_mut() {
            line.push(' ');
            line.push_str(word);
        }
    }
    format!("{}\n", lines.join("\n"))
}

//! Every kind of command on every named board by every person: an entry, or the rule that refuses it.
//!
//! The answers stand in `table.txt`, so that a change of a rule shows as a change of lines that somebody reads. With
//! DRYHOLD_UPDATE set the file is written anew.
#![expect(clippy::unwrap_used, reason = "a board that cannot be built is a failed test")]

mod boards;
mod commands;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use dryhold::domain::decide::{Command, decide};
use dryhold::domain::entry::CommandId;
use dryhold::domain::rule::Rule;

use crate::rules::world::{World, code};

const PEOPLE: [&str; 8] = ["LEAD", "NURSE", "HK", "EYES", "WASH", "TECH", "IP", "READ"];

/// What a person who notes this hears: `entry`, or the code of the rule that refuses it.
fn answer(world: &World, person: &str, command: &commands::Named) -> &'static str {
    let asked = Command::new(CommandId(1_000_000), command.place.clone(), command.body.clone());
    let entry = match decide(&world.board, &asked, code(person), world.now) {
        Ok(entry) => entry,
        Err(refusal) => return refusal.rule().code(),
    };
    // What is decided is what is folded: no problem may come of it. A clock that is wrong is reported with any entry.
    let mut board = world.board.clone();
    let before = board.problems().len();
    board.apply(&entry);
    let new = board.problems().iter().skip(before).find(|problem| problem.rule != Rule::ClockBack);
    assert_eq!(new, None, "{} by {person}", command.name);
    "entry"
}

/// One line a command, the people in columns; columns as wide as their widest word.
fn section(name: &str, world: &World, out: &mut String) {
    let mut rows: Vec<Vec<&str>> = vec![[&["command"][..], &PEOPLE[..]].concat()];
    let commands = commands::all(world);
    for command in &commands {
        let answers = PEOPLE.iter().map(|person| answer(world, person, command));
        rows.push(std::iter::once(command.name).chain(answers).collect());
    }
    let closed: Vec<&str> = world.closed_by("A").into_iter().map(|rule| rule.code()).collect();
    let closed = if closed.is_empty() { "open".to_owned() } else { format!("closed by {}", closed.join(", ")) };
    writeln!(out, "\n## {name}: room 101 is {}, bed A {closed}\n", world.state("101")).unwrap();
    let widths: Vec<usize> = (0..=PEOPLE.len()).map(|at| rows.iter().map(|row| row[at].len()).max().unwrap()).collect();
    for row in rows {
        let cells: Vec<String> = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:width$}")).collect();
        writeln!(out, "{}", cells.join("  ").trim_end()).unwrap();
    }
}

#[test]
fn every_command_on_every_board_by_everybody_gets_the_answer_that_is_on_file() {
    let mut table = "# Every command on named boards, by everybody: an entry, or the rule that refuses it\n".to_owned();
    for (name, world) in boards::all() {
        section(name, &world, &mut table);
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/table/table.txt");
    if std::env::var_os("DRYHOLD_UPDATE").is_some() {
        std::fs::write(&path, &table).unwrap();
    }
    let on_file = std::fs::read_to_string(&path).unwrap_or_default();
    let mut board = "";
    let (mut now, mut then) = (table.lines(), on_file.lines());
    loop {
        let (new, old) = (now.next(), then.next());
        board = new.filter(|line| line.starts_with("##")).unwrap_or(board);
        assert_eq!(new, old, "on {board}: if this is meant, run with DRYHOLD_UPDATE=1 and read what changed");
        if new.is_none() {
            break;
        }
    }
}

#[test]
fn every_kind_of_body_has_a_command_in_the_table() {
    let world = World::open();
    let had: BTreeSet<&str> = commands::all(&world).iter().map(|command| commands::kind(&command.body)).collect();
    let missing: Vec<&&str> = commands::KINDS.iter().filter(|kind| !had.contains(**kind)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn a_reader_notes_nothing_on_any_board() {
    for (name, world) in boards::all() {
        for command in commands::all(&world) {
            assert_eq!(answer(&world, "READ", &command), "role", "{name}: {}", command.name);
        }
    }
}

/// The promise itself, one step from every board: no single command by anybody opens a bed whose room is wet, or whose
/// linens are not settled.
#[test]
fn no_single_command_opens_a_bed_of_a_wet_room_or_with_unlaundered_linens() {
    use dryhold::domain::board::State;
    use dryhold::domain::need::Need;
    for (name, world) in boards::all() {
        let unsettled = world.board.evidence(code("101")).into_iter().any(|evidence| {
            evidence.met_by.is_none() && matches!(evidence.need, Need::Bag(_) | Need::LinensNamed | Need::Made(_))
        });
        if world.state("101") != State::TreatedWet && !unsettled {
            continue;
        }
        for command in commands::all(&world) {
            for person in PEOPLE {
                let asked = Command::new(CommandId(1_000_000), command.place.clone(), command.body.clone());
                let Ok(entry) = decide(&world.board, &asked, code(person), world.now) else { continue };
                let mut after = world.clone();
                after.append(entry);
                assert!(!after.is_open("A"), "{name}: {} by {person}", command.name);
            }
        }
    }
}

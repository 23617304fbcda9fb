//! The command line's definition. `note` is made from the table of moves, so that each verb has its own options and help.

use std::path::PathBuf;

use clap::builder::NonEmptyStringValueParser;
use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};

use crate::domain::moves::{self, Answers, Field, FieldKind, MOVES, Move, MoveKind};

/// The verb that is not in the table: a PIN is typed at a prompt, never as an option that others can read.
pub(super) const SET_PIN: &str = "set-pin";

pub(super) fn command() -> Command {
    Command::new("dryhold")
        .version(env!("CARGO_PKG_VERSION"))
        .about("A board of a hospital's rooms while it finds and treats bed bugs")
        .long_about(
            "A board of a hospital's rooms while it finds and treats bed bugs. A bed is never shown open while spray in its \
             room is undried, or treated linens are not laundered, or the evidence for either is missing.\n\n\
             Without a command it opens the board; with no terminal to draw on it prints the beds and tasks as text.",
        )
        .after_help(
            "Exit status: 0 done, 1 failed, 2 wrong usage, 3 refused by a rule, 4 ledger damaged or unreadable.\n\
             The product's label and local law rule over anything here. Never name or describe a patient.",
        )
        .args([
            path("ledger", "FILE", "The ledger; else DRYHOLD_LEDGER, else one in the user's data folder").global(true),
            text("as", "INITIALS", "Who you are, by your initials on the roster").global(true),
            text("now", "TIME", "Rehearse at this time (RFC 3339), or read it anew from @FILE; writes only to a rehearsal ledger")
                .global(true),
            Arg::new("color")
                .long("color")
                .value_name("WHICH")
                .value_parser(["auto", "never", "16", "light", "dark"])
                .default_value("auto")
                .help("The screens' colours: none, the 16 of every terminal, or more for a light or dark background")
                .global(true),
            flag("ascii", "Draw the screens with ASCII alone").global(true),
            flag("plain", "Draw nothing: a line at a time, for screen readers and plain terminals").global(true),
        ]
        .map(|argument| argument.help_heading("On every command")))
        .subcommands(looking())
        .subcommand(note())
        .subcommands(keeping())
        .subcommand(super::estimate::command())
        .subcommands(about())
}

/// A mistyped word leads nobody to a command that writes a ledger anew.
pub(super) fn keep_harmless(error: &mut clap::Error) {
    use clap::error::{ContextKind, ContextValue};
    let heavy = |word: &String| matches!(word.as_str(), "restore" | "repair" | "setup" | "copy");
    let Some(suggested) = error.remove(ContextKind::SuggestedSubcommand) else { return };
    let kept = match suggested {
        ContextValue::Strings(words) => words.into_iter().filter(|word| !heavy(word)).collect::<Vec<_>>(),
        ContextValue::String(word) => Some(word).into_iter().filter(|word| !heavy(word)).collect(),
        _ => vec![],
    };
    if !kept.is_empty() {
        error.insert(ContextKind::SuggestedSubcommand, ContextValue::Strings(kept));
    }
}

fn text(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name(value).help(help).value_parser(NonEmptyStringValueParser::new())
}

fn path(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name(value).help(help).value_parser(value_parser!(PathBuf))
}

fn flag(name: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).action(ArgAction::SetTrue).help(help)
}

fn file(help: &'static str) -> Arg {
    Arg::new("file").value_name("FILE").value_parser(value_parser!(PathBuf)).help(help)
}

/// Commands that only look.
fn looking() -> Vec<Command> {
    let json = || flag("json", "The same as JSON, in the one documented shape");
    let ward = || text("ward", "WARD", "Only this ward");
    vec![
        Command::new("demo")
            .about("Look at the board of an invented hospital, in a ledger that is thrown away")
            .arg(path("keep", "FILE", "Write the demo's ledger here instead, and open nothing")),
        Command::new("beds").about("Which beds can take an admission, and why the others cannot").args([
            json(),
            ward(),
            flag("open", "Only the open ones"),
        ]),
        Command::new("rooms").about("What state every room is in, and its next step").args([json(), ward()]),
        Command::new("tasks")
            .about("What is due, overdue and coming, whose it is, and the command for it")
            .args([json(), ward()]),
        Command::new("wall")
            .about("A page for a screen on the wall: counts, rooms not to enter, open beds, what waits longest"),
        Command::new("lines").about(
            "The board a line at a time, for screen readers and plain terminals: whatever the screens do, by questions",
        ),
        Command::new("dryings")
            .about("What dry checks taught about the drying estimate: predicted against observed")
            .arg(json()),
        Command::new("exceptions")
            .about("What happened against the rules, noted without blame, newest first")
            .args(days()),
        Command::new("record")
            .about("The treatment records of one room, every field, for an inspector")
            .arg(Arg::new("room").value_name("ROOM").required(true).help("Code of the room, or of one of its beds"))
            .args(days())
            .arg(json()),
        Command::new("sheets")
            .about("Paper for when nothing can be noted: how the rooms stand, and numbered blanks, 80 columns wide")
            .args([
                text("wards", "WARD,…", "Only these wards").value_delimiter(','),
                number("first", "The number of the first sheet: no two sheets have the same").default_value("1"),
                number("count", "Blank sheets for each ward").default_value("2"),
                flag("entered", "Print no paper: say which sheets of each downtime were entered, and which were not"),
            ]),
        Command::new("shift").about(
            "What a shift asks first: what changed, what is carried over, who may sign now (--as: in your order)",
        ),
        Command::new("room").about("Why one room is as it is: beds, evidence, zones, bags, tasks, timeline").args([
            Arg::new("room").value_name("ROOM").required(true).help("Code of the room, or of one of its beds"),
            json(),
            flag("all", "The whole timeline, not only its newest entries"),
        ]),
    ]
}

/// Whole days of the hospital's calendar.
fn days() -> [Arg; 2] {
    [text("from", "DATE", "From this day on, YYYY-MM-DD"), text("to", "DATE", "Through this day, YYYY-MM-DD")]
}

fn number(name: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name("NUMBER").help(help).value_parser(value_parser!(u32).range(1..=999))
}

/// Commands that make, mend and check ledgers.
fn keeping() -> Vec<Command> {
    let zone = || text("time-zone", "ZONE", "The hospital's time zone by its IANA name, for example Europe/Paris");
    vec![
        Command::new("setup").about("Make a new ledger from a room list").args([
            file("The room list, CSV or RON"),
            flag("sample", "Print a room list to fill in"),
            text("lead", "INITIALS,NAME", "The first housekeeping lead"),
            text("hospital", "NAME", "The hospital's name"),
            zone(),
            flag("rehearsal", "Only for practice: takes --now, and is marked so for ever"),
        ]),
        Command::new("restore")
            .about("Take a copy as the ledger again: every room stays closed until its ward was walked")
            .arg(file("The copy").required(true)),
        Command::new("repair")
            .about("Write a new ledger from a damaged one, which is kept: bad lines close until attested")
            .arg(path("to", "FILE", "Where to write it; beside the damaged one where not said"))
            .arg(zone().help("The hospital's time zone, if the damaged ledger's first line lost it")),
        Command::new("copy")
            .about(
                "Make a practice copy of the ledger: the whole history, an id of its own, marked for practice for ever",
            )
            .arg(file("The file to make; never one that is there").required(true)),
        Command::new("check").about("Read the whole ledger and say what is wrong and where"),
    ]
}

fn about() -> Vec<Command> {
    vec![
        Command::new("rules")
            .about("The rules by name, with their sources")
            .arg(flag("settings", "The numbers a hospital may set, with defaults, bounds, marks and sources")),
        Command::new("completions").about("Print a shell's completions").arg(
            Arg::new("shell").value_name("SHELL").required(true).value_parser(value_parser!(clap_complete::Shell)),
        ),
        Command::new("man")
            .about("Print the manual page")
            .arg(Arg::new("command").value_name("COMMAND").num_args(0..).help("Of this command instead: `note spray`")),
    ]
}

fn note() -> Command {
    let common = || {
        [
            text(
                "at",
                "TIME",
                "When it happened, of a spray its start; now where not said. HH:MM, YYYY-MM-DD HH:MM, or RFC 3339",
            ),
            text("done-by", "INITIALS", "Who did it, if not you"),
            text(
                "sheet",
                "NUMBER",
                "While a downtime's sheets are entered: the sheet that it stands on, or its box, as 4 or 4.2",
            ),
            flag("trial", "Say what it would close and open, and note nothing"),
            flag("meant", "What a form would ask about is so: a spray whose label's time is over by now, a label of more than a week"),
            flag("future-is-meant", "The time lies ahead, and is meant: a closing entry counts at once"),
            flag("pin-stdin", "Read your PIN as a line from standard input instead of asking for it"),
        ]
        .map(|arg| arg.help_heading("Every move"))
    };
    let verbs = MOVES.iter().map(|mv| verb(mv).args(common()));
    let pin = Command::new(SET_PIN)
        .about("Set a person's PIN, or take it away")
        .long_about(
            "Set a person's PIN, or take it away. The new PIN is asked for, or read as the next line of standard input with \
             --pin-stdin: after your own, if you have one. A PIN makes initials better than a claim; it is no proof.",
        )
        .arg(Arg::new("target").value_name("INITIALS").required(true).help("Whose PIN"))
        .arg(flag("none", "Take the PIN away"))
        .args(common());
    Command::new("note")
        .about("Note what happened: the same rules and refusals as on screen")
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommand_value_name("MOVE")
        .subcommand_help_heading("Moves")
        .subcommands(verbs.chain([pin]))
}

fn verb(mv: &'static Move) -> Command {
    let kind = match mv.kind {
        // Several kinds in one: what it does hangs on what was seen.
        MoveKind::Closer if mv.verb == "inspect" => {
            "A sign seen closes beds from the moment it is noted, however late. A full inspection in which nothing was seen \
             closes nothing and is a signature: noted when it ends, never late. What was looked at earlier can be noted as a \
             daily look (--depth daily), within the policy's minutes."
        }
        MoveKind::Closer => "It closes beds from the moment it is noted.",
        MoveKind::Fact => "It meets a need. Late only by the person who did it, within the policy's minutes.",
        MoveKind::Signature => "It is a signature: never noted late.",
        MoveKind::About => "It is about another entry or a task.",
        MoveKind::Setting => "It is a setting.",
    };
    let mut command = Command::new(mv.verb).about(mv.about).long_about(format!("{}\n\n{kind}", mv.about));
    let older = moves::OLDER_VERBS.iter().filter(|(_, now)| *now == mv.verb);
    command = command.aliases(older.map(|(older, _)| *older));
    if mv.verb == "set-person" {
        command = command.visible_alias("acting-lead");
    }
    if let Some(word) = mv.on.word() {
        command = command.arg(Arg::new("target").value_name(word).required(true).help(mv.on.help()));
    }
    command.args(mv.fields.iter().flat_map(options))
}

/// The options of one field: one, or those into which its answers are taken apart.
fn options(field: &'static Field) -> Vec<Arg> {
    let option = |name: &'static str, hint: &'static str, help: String| {
        let arg = Arg::new(name).long(name).value_name(hint).help(help).action(ArgAction::Append);
        // Why something is so has one name for whoever types it.
        let arg = match name {
            "why" => arg.visible_alias("reason"),
            "reason" => arg.visible_alias("why"),
            "to" => arg.alias("receiving"),
            _ => arg,
        };
        if divides(field.kind) { arg.value_delimiter(',') } else { arg }
    };
    let needed = if field.required { " [needed]" } else { "" };
    let words = match field.kind {
        FieldKind::Words(words) => format!(": {}", words.join(", ")),
        _ => String::new(),
    };
    match field.kind.options() {
        // One bed is made at a time.
        [] if field.name == "bed" => vec![option(field.name, "BED", format!("{}{needed}", field.help))],
        [] => vec![option(field.name, field.kind.hint(), format!("{}{words}{needed}", field.help))],
        several => several
            .iter()
            .map(|(name, help, value)| {
                let hint = if value.is_some() { field.kind.hint() } else { "ZONE=SIGN,…" };
                option(name, hint, (*help).to_owned())
            })
            .collect(),
    }
}

/// Whether commas divide the answers. A zone plan holds names, which may have commas of their own.
fn divides(kind: FieldKind) -> bool {
    kind.is_list() && kind != FieldKind::ZonePlans
}

/// What was typed for a verb, as answers. `oneself` stands where a field asks for the person signed in.
pub(super) fn answers(mv: &'static Move, matches: &ArgMatches, oneself: &str) -> Answers {
    let mut answers = Answers::new();
    let typed = |name: &str| matches.get_many::<String>(name).into_iter().flatten().map(String::as_str);
    for field in mv.fields {
        match field.kind.options() {
            [] => answers.set(field.name, typed(field.name)),
            several => {
                for (name, _, value) in several {
                    for item in typed(name) {
                        let whole = value.map_or(item.to_owned(), |value| format!("{item}={value}"));
                        answers.add(field.name, &whole);
                    }
                }
            }
        }
        if field.kind == FieldKind::Oneself && answers.get(field.name).is_none() {
            answers.set(field.name, [oneself]);
        }
    }
    answers
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::entry::Time;

    fn read(verb: &'static str, line: &[&str]) -> Answers {
        let words: Vec<&str> = ["dryhold", "note", verb].iter().chain(line).copied().collect();
        let matches = command().try_get_matches_from(words).unwrap();
        let (_, note) = matches.subcommand().unwrap();
        let (_, matches) = note.subcommand().unwrap();
        answers(crate::domain::moves::find(verb).unwrap(), matches, "LD")
    }

    #[test]
    fn the_definition_holds_together() {
        command().debug_assert();
    }

    #[test]
    fn what_is_taken_apart_on_the_command_line_is_one_list_of_answers() {
        let check =
            read("dry-check", &["4N-12", "--dry", "chair,A/mattress", "--damp", "B/mattress", "--began", "10:00"]);
        assert_eq!(check.all("zones"), ["chair=dry", "A/mattress=dry", "B/mattress=damp"]);
        let looks =
            read("inspect", &["4N-12", "--looked", "all", "--seen", "A/mattress=eggs", "--seen", "chair=cast-skin"]);
        assert_eq!(looks.all("looks"), ["all=nothing", "A/mattress=eggs", "chair=cast-skin"]);
    }

    #[test]
    fn free_text_keeps_its_commas_and_lists_are_divided() {
        let spray = read("spray", &["4N-12", "--bags", "B1,B2", "--rate", "1 L, fine", "--zones", "chair"]);
        assert_eq!((spray.all("bags").len(), spray.get("rate")), (2, Some("1 L, fine")));
        let zones = read("set-zones", &["patient-room", "--zones", "chair;Chair, soft;seating;spray"]);
        assert_eq!(zones.all("zones"), ["chair;Chair, soft;seating;spray"]);
    }

    #[test]
    fn a_task_is_taken_by_oneself_where_nobody_is_named() {
        assert_eq!(read("accept", &["4N-12", "--need", "x", "--cause", "3"]).get("by"), Some("LD"));
        assert_eq!(read("accept", &["4N-12", "--by", "HK"]).get("by"), Some("HK"));
    }

    /// Reads a task's command line, and answers what was wrong with what it names already.
    fn faults(task: &crate::domain::board::Task, board: &crate::domain::board::Board, now: Time) -> Vec<String> {
        let words: Vec<&str> = task.command.split(' ').collect();
        let matches = match command().try_get_matches_from(&words) {
            Ok(matches) => matches,
            Err(error) => return vec![error.to_string()],
        };
        let (_, note) = matches.subcommand().unwrap();
        let (verb, own) = note.subcommand().unwrap();
        let mv = crate::domain::moves::find(verb).unwrap();
        let answers = answers(mv, own, "LD");
        let target = own.get_one::<String>("target").unwrap();
        let errors = crate::domain::moves::build(mv, target, &answers, board, now).err().unwrap_or_default();
        let named = |field: &str| field == "target" || answers.get(field).is_some();
        errors.iter().filter(|error| named(error.field)).map(|error| format!("{}: {error:?}", task.command)).collect()
    }

    #[test]
    fn every_task_names_a_command_line_that_can_be_typed() {
        let now = chrono::DateTime::parse_from_rfc3339("2026-06-10T09:30:00Z").unwrap().to_utc();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("ledger.ron");
        crate::demo::make(&path, now, chrono_tz::Europe::Berlin).unwrap();
        let desk = crate::desk::Desk::open_with(&path, crate::desk::Clock::Set(now), "test".to_owned(), None).unwrap();
        let tasks = desk.board().tasks(now);
        let wrong: Vec<String> = tasks.iter().flat_map(|task| faults(task, desk.board(), now)).collect();
        assert!(wrong.is_empty(), "{wrong:#?}");
        let verbs: std::collections::BTreeSet<&str> = tasks.iter().map(|task| task.verb).collect();
        for verb in ["dry-check", "in-service", "inspect", "launder", "look", "make-bed", "treat-zone", "vacuum"] {
            assert!(verbs.contains(verb), "the demo has no task for {verb}: {verbs:?}");
        }
    }
}

//! A folder with a rehearsal ledger in it, the real program, and a clock that the test moves.

use dryhold::domain::rule::Rule;
use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

pub(super) const ROOMS: &str = "\
ward,ward_name,floor,room,room_name,kind,beds
4N,Fourth floor north,4,4N-01,,patient-room,4N-01-A:window
4N,,,4N-02,,patient-room,4N-02-A 4N-02-B
4N,,,4N-03,,patient-room,4N-03-A
";

/// What 4N-02 has to spray: all but its steam heat register.
pub(crate) const SPRAYED: [&str; 14] = [
    "4N-02-A/mattress",
    "4N-02-A/bed-frame",
    "4N-02-A/headboard",
    "4N-02-B/mattress",
    "4N-02-B/bed-frame",
    "4N-02-B/headboard",
    "chair",
    "sleeper-chair",
    "cabinet",
    "wardrobe",
    "table",
    "skirting",
    "curtain-rail",
    "pictures",
];

pub(crate) struct Program {
    folder: TempDir,
    pub now: String,
    /// Whose own folder this is, beside the ledger: each remembers for itself.
    terminal: String,
}

/// How one command line ended.
pub(crate) struct Ended {
    pub line: String,
    pub status: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Program {
    /// A folder without a ledger.
    pub(crate) fn new() -> Self {
        Self::with_rooms(ROOMS)
    }

    /// The same with this room list as `rooms.csv`.
    pub(crate) fn with_rooms(rooms: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("rooms.csv"), rooms).expect("a room list");
        Self { folder, now: "2026-03-02T08:00:00Z".to_owned(), terminal: String::new() }
    }

    /// A hospital with people, a product and one walked ward; no bed is occupied.
    pub(crate) fn walked() -> Self {
        let mut it = Self::new();
        it.run("setup rooms.csv --rehearsal --hospital Invented --time-zone Europe/Berlin --lead", &["AB,Our lead"])
            .done();
        it.at("2026-03-02T08:05:00Z");
        it.note("AB", "set-person HK --role housekeeper --trained-to-inspect yes --name", &["A keeper"]).done();
        it.note("AB", "set-person CN --role charge-nurse --name", &["A nurse"]).done();
        it.note("AB", "set-person LA --role laundry --name", &["A launderer"]).done();
        it.note("AB", "set-person TE --role technician --trained-to-apply yes --name", &["A technician"]).done();
        it.note(
            "AB",
            "set-product RS-A --registration DEMO-0001 --label-minutes 60",
            &["--name", "Residual spray A", "--label-words", "Do not enter until dry"],
        )
        .done();
        it.note("AB", "ward-walk 4N", &[]).done();
        it.note("CN", "occupancy 4N --empty 4N-01-A,4N-02-A,4N-02-B,4N-03-A", &[]).done();
        it
    }

    pub(crate) fn at(&mut self, now: &str) {
        now.clone_into(&mut self.now);
    }

    /// From now on at another computer, which knows nothing of this one's.
    pub(crate) fn sits_at(&mut self, terminal: &str) {
        terminal.clone_into(&mut self.terminal);
        fs::create_dir_all(self.path(terminal)).expect("a folder");
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn ledger(&self) -> Vec<u8> {
        fs::read(self.path("ledger.ron")).expect("a ledger")
    }

    /// `words` are divided at spaces; `rest` is added as it is.
    pub(crate) fn run(&self, words: &str, rest: &[&str]) -> Ended {
        self.run_with(words, rest, b"")
    }

    pub(crate) fn run_with(&self, words: &str, rest: &[&str], input: &[u8]) -> Ended {
        let mut command = self.command();
        command.args(["--now", &self.now]).args(words.split_whitespace()).args(rest);
        let line = format!("[{}] dryhold {words} {}", self.now, rest.join(" "));
        end(line, command, input)
    }

    /// The program in the folder, knowing nothing of this computer's ledgers and people.
    fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_dryhold"));
        let home = self.folder.path().join(&self.terminal);
        command
            .current_dir(self.folder.path())
            .env_clear()
            .env("HOME", home)
            .env("DRYHOLD_LEDGER", self.path("ledger.ron"));
        command.env("DRYHOLD_TERMINAL", "test").env("TZ", "UTC");
        command
    }

    /// The same with more in its environment.
    pub(crate) fn run_in(&self, words: &str, environment: &[(&str, &str)]) -> Ended {
        let mut command = self.command();
        command.envs(environment.iter().copied()).args(["--now", &self.now]).args(words.split_whitespace());
        end(format!("{environment:?} dryhold {words}"), command, b"")
    }

    /// JSON as it stands there, however the program ended.
    pub(crate) fn json_of_any_end(&self, words: &str) -> String {
        self.run(&format!("{words} --json"), &[]).out
    }

    /// The same where no file may grow over so many blocks of 512 bytes, as on a full disk.
    pub(super) fn run_on_a_full_disk(&self, blocks: usize, words: &str, rest: &[&str]) -> Ended {
        let mut command = Command::new("sh");
        let program = self.command();
        command.current_dir(self.folder.path()).env_clear();
        command.envs(program.get_envs().filter_map(|(name, value)| value.map(|value| (name, value))));
        command.arg("-c").arg(format!("ulimit -f {blocks}; exec \"$@\"")).arg("sh").arg(program.get_program());
        command.args(["--now", &self.now]).args(words.split_whitespace()).args(rest);
        end(format!("dryhold {words}, disk full"), command, b"")
    }

    pub(crate) fn note(&self, person: &str, words: &str, rest: &[&str]) -> Ended {
        self.run(&format!("note --as {person} {words}"), rest)
    }

    /// The command line of the one task of this room that needs `need`, as the program itself prints it.
    #[track_caller]
    pub(crate) fn task(&self, room: &str, need: &str) -> String {
        let tasks = self.json("tasks");
        let found = rows(&tasks["tasks"]).iter().find(|task| task["room"] == room && task["need"] == need);
        let task = found.unwrap_or_else(|| panic!("{room} has no task “{need}”: {tasks:#}"));
        let command = task["command"].as_str().unwrap_or_default();
        command.strip_prefix("dryhold note ").unwrap_or_else(|| panic!("a command line: {command}")).to_owned()
    }

    #[track_caller]
    pub(crate) fn json(&self, words: &str) -> Value {
        let ended = self.run(&format!("{words} --json"), &[]);
        serde_json::from_str(&ended.out).unwrap_or_else(|error| panic!("{error}: {ended}"))
    }

    /// Codes of the beds that are open.
    #[track_caller]
    pub(crate) fn open(&self) -> Vec<String> {
        let beds = self.json("beds");
        let open = rows(&beds["beds"]).iter().filter(|bed| bed["admission"] == "open");
        open.map(|bed| bed["code"].as_str().unwrap_or_default().to_owned()).collect()
    }

    #[track_caller]
    pub(crate) fn state(&self, room: &str) -> String {
        self.json(&format!("room {room}"))["room"]["state"].as_str().unwrap_or_default().to_owned()
    }
}

fn end(line: String, mut command: Command, input: &[u8]) -> Ended {
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    // A program that reads nothing may have left already.
    let _ = stdin.write_all(input);
    drop(stdin);
    let Output { status, stdout, stderr } = child.wait_with_output().expect("the program ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("what is printed is UTF-8");
    Ended { line, status: status.code(), out: text(stdout), err: text(stderr) }
}

pub(crate) fn rows(value: &Value) -> &[Value] {
    value.as_array().map(Vec::as_slice).unwrap_or_default()
}

impl std::fmt::Display for Ended {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let status = self.status.map_or("a signal".to_owned(), |status| status.to_string());
        write!(f, "{}\nended with {status}\n{}{}", self.line, self.out, self.err)
    }
}

impl Ended {
    #[track_caller]
    pub(crate) fn done(self) -> String {
        assert_eq!(self.status, Some(0), "{self}");
        self.out
    }

    /// Ended with this status and said each of these on standard error.
    #[track_caller]
    pub(crate) fn fails(self, status: i32, says: &[&str]) -> String {
        assert_eq!(self.status, Some(status), "{self}");
        for text in says {
            assert!(self.err.contains(text), "“{text}” was not said\n{self}");
        }
        self.err
    }

    /// Refused by this rule.
    #[track_caller]
    pub(crate) fn refused(self, rule: &str) -> String {
        assert!(Rule::ALL.iter().any(|it| it.code() == rule), "the Rulebook has no {rule}");
        self.fails(3, &[&format!("refused ({rule})")])
    }
}

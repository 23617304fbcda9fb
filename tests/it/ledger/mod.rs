//! The ledger's file under what happens to files in use: programs that are killed in mid-write, several at once, disks that
//! take no more, places that may not be written, hostile text. After each the file is one whole document, and every entry
//! that was said to be kept is in it.

mod child;
mod crowd;
mod disk;
mod judge;
mod kill;
mod text;

use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
use std::os::unix::process::CommandExt;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

const ROOMS: &str = "ward,room,beds\nW1,101,101-A\nW1,102,102-A\n";

const NOW: &str = "2026-03-02T08:00:00Z";

/// A user and group that own nothing, in whose name a test runs that root would pass.
const NOBODY: u32 = 65534;

/// A folder with a rehearsal ledger in it, and its lead `LD`.
struct Place {
    folder: TempDir,
}

impl Place {
    fn new() -> Self {
        let place = Self { folder: tempfile::tempdir().expect("a folder") };
        fs::write(place.folder.path().join("rooms.csv"), ROOMS).expect("a room list");
        let setup = "setup rooms.csv --rehearsal --time-zone UTC --lead LD,Lead";
        let ended = place.program().args(setup.split(' ')).output().expect("the program runs");
        assert!(ended.status.success(), "{ended:?}");
        place
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("ledger.ron")
    }

    fn bytes(&self) -> Vec<u8> {
        fs::read(self.path()).expect("a ledger")
    }

    /// The names of what lies beside the ledger since an append was interrupted.
    fn torn(&self) -> Vec<String> {
        let names = fs::read_dir(self.folder.path()).expect("a folder");
        let names = names.map(|file| file.expect("a file").file_name().to_string_lossy().into_owned());
        names.filter(|name| name.contains(".torn-")).collect()
    }

    /// The program in this folder, knowing nothing of this computer's ledgers and people.
    fn program(&self) -> Command {
        self.in_here(Command::new(env!("CARGO_BIN_EXE_dryhold")))
    }

    fn in_here(&self, mut command: Command) -> Command {
        command.current_dir(self.folder.path()).env_clear().env("HOME", self.folder.path());
        command.env("DRYHOLD_LEDGER", self.path()).env("DRYHOLD_TERMINAL", "test");
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    /// The program as somebody to whom permissions apply: as itself, or, for root, as nobody, who then owns the folder.
    fn as_user(&self) -> Command {
        let copy = self.folder.path().join("program");
        if !copy.exists() {
            // Whoever makes a file owns it.
            if fs::metadata(self.folder.path()).expect("a folder").uid() != 0 {
                return self.program();
            }
            // The build's own folder may be closed to others. Copied by another process, since a file that is open for
            // writing here could be held open by a child of another test, and then does not run.
            let mut cp = Command::new("cp");
            let copied = cp.arg(env!("CARGO_BIN_EXE_dryhold")).arg(&copy).status().expect("cp runs");
            assert!(copied.success(), "{copied}");
            for file in fs::read_dir(self.folder.path()).expect("a folder") {
                let path = file.expect("a file").path();
                chown(path, Some(NOBODY), Some(NOBODY)).expect("root may");
            }
            chown(self.folder.path(), Some(NOBODY), Some(NOBODY)).expect("root may");
        }
        let mut command = self.in_here(Command::new(copy));
        command.uid(NOBODY).gid(NOBODY);
        command
    }

    fn set_mode(&self, name: &str, mode: u32) {
        let path = self.folder.path().join(name);
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("its owner may");
    }
}

/// `note finding` with this note, under the set clock.
fn finding(mut command: Command, note: &str) -> Command {
    command.args(["--now", NOW, "note", "--as", "LD", "finding", "101", "--seen", "reported-bites", "--note", note]);
    command
}

#[track_caller]
fn run(mut command: Command) -> Output {
    command.output().expect("the program runs")
}

/// Ended with this status and said each of these on standard error.
#[track_caller]
fn check_ended(ended: &Output, status: i32, says: &[&str]) {
    let told = String::from_utf8_lossy(&ended.stderr);
    let start: String = told.chars().take(400).collect();
    assert_eq!(ended.status.code(), Some(status), "{start}");
    for words in says {
        assert!(told.contains(words), "“{words}” was not said: {start}");
    }
}

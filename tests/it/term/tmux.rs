//! The whole job once more in tmux, a terminal emulator that others wrote, between the program and a keyboard.
//!
//! Without tmux on this computer the test says so and ends. Its screens are kept as text in the folder `walk`
//! beside this file, for a reader who wants to see a room's whole way; `UPDATE_PICTURES=1` writes them anew.

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use super::hands::OF_A_FORM;
use super::job::{self, Job};
use super::screen::{Eye, FRAME_ENDS, Screen};

/// No line of its own; Esc is passed on at once, as README asks for.
const SETTINGS: &str = "set -g status off\nset -s escape-time 0\nset -g default-terminal tmux-256color\n";

struct Tmux {
    socket: PathBuf,
}

impl Tmux {
    fn ask(&self, words: &[&str]) -> Option<String> {
        let mut command = Command::new("tmux");
        command.arg("-S").arg(&self.socket).args(words).stdin(Stdio::null());
        let answer = command.output().ok().filter(|answer| answer.status.success())?;
        String::from_utf8(answer.stdout).ok()
    }

    /// What stands on the pane, in control sequences that write it line by line, and the cursor last.
    fn picture(&self) -> Option<String> {
        let place = "#{e|+:#{cursor_y},1};#{e|+:#{cursor_x},1}";
        let text = self.ask(&["capture-pane", "-p", ";", "display-message", "-p", place])?;
        let mut lines: Vec<&str> = text.lines().collect();
        let cursor = lines.pop()?;
        let mut picture = "\x1b[2J".to_owned();
        for (at, line) in (1..).zip(lines) {
            picture.push_str(&format!("\x1b[{at};1H{line}"));
        }
        Some(format!("{picture}\x1b[{cursor}H"))
    }
}

impl Drop for Tmux {
    fn drop(&mut self) {
        // A test that failed leaves no server behind; otherwise it ended with its last program.
        let _ = self.ask(&["kill-server"]);
    }
}

/// Starts the program in tmux, and tmux on a terminal whose keyboard is ours.
fn start(home: &Path, arguments: &[&str], environment: &[(&str, &str)]) -> (Screen, Tmux) {
    let (settings, pipe, socket) = (home.join("tmux.conf"), home.join("pipe"), home.join("tmux"));
    fs::write(&settings, SETTINGS).expect("settings");
    assert!(Command::new("mkfifo").arg(&pipe).status().expect("mkfifo").success());
    let path = |path: &Path| path.to_str().expect("a path in UTF-8").to_owned();
    let own = [path(&socket), path(&settings)];
    let [on, settings] = &own;
    let mut words = vec!["-S", on, "-f", settings, "new-session", env!("CARGO_BIN_EXE_dryhold")];
    words.extend(arguments);
    let (mut screen, eye) = Screen::start_elsewhere("tmux", &words, home, environment);
    let tmux = Tmux { socket: socket.clone() };
    let command = format!("cat >'{}'", path(&pipe));
    let last = Instant::now() + Duration::from_secs(30);
    while tmux.ask(&["pipe-pane", &command]).is_none() {
        assert!(Instant::now() < last, "tmux does not start");
        thread::yield_now();
    }
    thread::spawn(move || show(&Tmux { socket }, &pipe, &eye));
    screen.keys("\x0c");
    (screen, tmux)
}

/// Shows what tmux shows, each time that the program has sent a whole frame. Tmux takes a frame in before it answers again.
fn show(tmux: &Tmux, pipe: &Path, eye: &Eye) {
    let mut pipe = fs::File::open(pipe).expect("the pipe");
    let mut bytes = vec![0; 65_536];
    let mut sent: Vec<u8> = vec![];
    while let Ok(read @ 1..) = pipe.read(&mut bytes) {
        sent.extend_from_slice(&bytes[..read]);
        let picture = if sent.ends_with(FRAME_ENDS) { tmux.picture() } else { None };
        eye.show(&bytes[..read], picture.unwrap_or_default().as_bytes());
    }
}

/// One part of the job.
type Stage = fn(&mut Job);

/// Compares screens with the kept ones, or keeps them.
struct Kept {
    writes: bool,
    so_far: usize,
}

impl Kept {
    fn new() -> Self {
        Self { writes: std::env::var_os("UPDATE_PICTURES").is_some(), so_far: 0 }
    }

    fn keep(&mut self, name: &str, screen: &Screen) {
        self.so_far += 1;
        let file = format!("{:02}-{name}.txt", self.so_far);
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/term/walk").join(&file);
        let shown: String = screen.text().lines().map(|line| format!("{}\n", line.trim_end())).collect();
        if self.writes {
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            fs::write(&path, &shown).expect("a screen");
        }
        let kept = fs::read_to_string(&path).unwrap_or_default();
        assert!(kept == shown, "{file} is now\n{shown}");
    }

    /// The room, then every screen, then the room again. The board is last: a room's screen lies on the board's tab,
    /// so that only from another tab it is seen that the board has come.
    #[track_caller]
    fn look_around(&mut self, stage: &str, screen: &mut Screen) {
        self.keep(&format!("{stage}-room"), screen);
        for (key, name) in [("2", "Beds"), ("3", "Tasks"), ("4", "Bags"), ("5", "Ledger"), ("1", "Board")] {
            screen.keys(key);
            screen.shows(&format!("[{key} {name}]"));
            self.keep(&format!("{stage}-{}", name.to_lowercase()), screen);
        }
        screen.open_room("4N-02");
    }
}

#[test]
fn the_whole_job_by_keys_in_tmux() {
    if Command::new("tmux").arg("-V").output().is_err() {
        eprintln!("tmux is not installed here: the job was not walked in it");
        return;
    }
    let mut tmux = None;
    let mut it = Job::start_in(|home, arguments, environment| {
        let (screen, started) = start(home, arguments, environment);
        tmux = Some(started);
        screen
    });
    let mut kept = Kept::new();
    kept.keep("begin-board", &it.screen);
    let stages: [(&str, Stage); 5] = [
        ("found", job::found_and_confirmed),
        ("sprayed", job::prepared_and_sprayed),
        ("dried", job::dried),
        ("laundered", job::laundered_and_made),
        ("returned", job::returned),
    ];
    for (name, stage) in stages {
        stage(&mut it);
        kept.look_around(name, &mut it.screen);
    }
    it.screen.keys("b");
    it.screen.shows(OF_A_FORM);
    kept.keep("a-form", &it.screen);
    it.screen.keys("\x1b");
    it.screen.shows_no_more(OF_A_FORM);
    it.screen.keys("?");
    it.screen.shows("Keys: the Room");
    kept.keep("help", &it.screen);
    it.screen.keys("qqqq");
    assert!(it.screen.left().status.success());
}

//! A writer in a process of its own: notes findings until it is stopped, and says of each that it is kept, one line each.
//!
//! It is this test binary again, told by its environment to run the one test below. It speaks on standard error, where
//! the test runner says nothing of its own.

use std::io::{self, BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use dryhold::desk::{Clock, Desk, Outcome};
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command as Wanted;
use dryhold::domain::entry::{Body, CommandId, Known, Place, Sighting, Sign};

use super::judge::{Kept, wrongs};
use super::{NOW, finding, run};

const LEDGER: &str = "TEST_LEDGER";
const ORDERS: &str = "TEST_ORDERS";

/// Longer than anything here may take; only a test that hangs meets it.
pub(super) const DEADLINE: Duration = Duration::from_secs(60);

/// The same numbers for the same seed (splitmix64, from memory; any spread will do).
pub(super) struct Dice(pub u64);

impl Dice {
    pub(super) fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    pub(super) fn below(&mut self, end: u64) -> u64 {
        self.roll() % end
    }
}

/// What a writer shall do.
#[derive(Clone, Copy)]
pub(super) struct Orders {
    pub seed: u64,
    /// So many entries; 0: without end.
    pub count: u64,
    /// Wrong on purpose: says that an entry is kept before it is.
    pub too_early: bool,
}

impl Orders {
    fn text(self) -> String {
        format!("{} {} {}", self.seed, self.count, self.too_early)
    }

    fn read(text: &str) -> Option<Self> {
        let mut words = text.split(' ');
        let mut word = || words.next();
        let (seed, count) = (word()?.parse().ok()?, word()?.parse().ok()?);
        Some(Self { seed, count, too_early: word()? == "true" })
    }
}

fn write(ledger: &Path, orders: Orders, told: &mut dyn Write) {
    let clock = Clock::set(NOW).expect("a time");
    let mut desk = Desk::open_with(ledger, clock, format!("writer {}", orders.seed), None).expect("a ledger");
    let lead = Code::new("LD").expect("initials");
    let mut dice = Dice(orders.seed);
    for turn in 1.. {
        // Mostly short; some cross pages, of which a killed write may reach the first alone.
        let length = if dice.below(4) == 0 { dice.below(12_000) } else { dice.below(200) } as usize;
        let id = dice.roll();
        let seen = vec![Sighting { sign: Sign::ReportedBites, zone: None }];
        let body = Body::Finding { seen, wiped_before: Known::Unknown, note: "x".repeat(length) };
        let command = Wanted::new(CommandId(id), Place::room(Code::new("101").expect("a code")), body);
        let mut say = |number: u64| {
            let line = Kept { number, id, length }.line();
            told.write_all(line.as_bytes()).expect("somebody listens");
        };
        if orders.too_early {
            say(desk.entries().len() as u64 + 1);
        }
        match desk.note(&command, lead) {
            Outcome::Done(entry) if !orders.too_early => say(entry.number.0),
            Outcome::Done(_) => {}
            other => panic!("not noted: {other:?}"),
        }
        if turn == orders.count {
            break;
        }
    }
}

#[test]
fn a_writer_says_what_it_kept() {
    let orders = std::env::var(ORDERS).ok().and_then(|text| Orders::read(&text));
    if let (Some(orders), Some(ledger)) = (orders, std::env::var_os(LEDGER)) {
        write(Path::new(&ledger), orders, &mut io::stderr());
        return;
    }
    let place = super::Place::new();
    let mut told = vec![];
    write(&place.path(), Orders { seed: 1, count: 3, too_early: false }, &mut told);
    let kept: Vec<Kept> = told.lines().filter_map(|line| Kept::read(&line.expect("text"))).collect();
    assert_eq!(kept.len(), 3);
    assert_eq!(wrongs(&place.path(), &kept, 0), [""; 0]);
    super::check_ended(&run(finding(place.program(), "and the program goes on")), 0, &[]);
}

/// A writer that runs, and what it said so far.
pub(super) struct Writer {
    child: Child,
    lines: Receiver<String>,
    pub kept: Vec<Kept>,
    /// What else it said: why it failed, if it did.
    said: Vec<String>,
}

impl Writer {
    pub(super) fn start(ledger: &Path, orders: Orders) -> Self {
        let test = module_path!().trim_start_matches("it::");
        let mut command = Command::new(std::env::current_exe().expect("this binary"));
        command.args(["--exact", &format!("{test}::a_writer_says_what_it_kept"), "--nocapture"]);
        command.env(LEDGER, ledger).env(ORDERS, orders.text());
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
        let mut child = command.spawn().expect("this binary runs");
        let pipe = BufReader::new(child.stderr.take().expect("a pipe"));
        let (send, lines) = channel();
        std::thread::spawn(move || {
            for line in pipe.split(b'\n').map_while(Result::ok) {
                if send.send(String::from_utf8_lossy(&line).into_owned()).is_err() {
                    break;
                }
            }
        });
        Self { child, lines, kept: vec![], said: vec![] }
    }

    /// Listens until it has kept so many entries.
    #[track_caller]
    pub(super) fn wait_for(&mut self, count: usize) {
        while self.kept.len() < count {
            match self.lines.recv_timeout(DEADLINE) {
                Ok(line) => self.hear(line),
                Err(error) => panic!("{error} after {} of {count}: {:#?}", self.kept.len(), self.said),
            }
        }
    }

    /// Listens for so long, whatever it says.
    pub(super) fn listen(&mut self, time: Duration) {
        let until = std::time::Instant::now() + time;
        loop {
            let left = until.saturating_duration_since(std::time::Instant::now());
            match self.lines.recv_timeout(left) {
                Ok(line) => self.hear(line),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    fn hear(&mut self, line: String) {
        match Kept::read(&line) {
            Some(kept) => self.kept.push(kept),
            None => self.said.push(line),
        }
    }

    /// SIGKILL. What it had said by then still counts.
    pub(super) fn kill(mut self) -> Vec<Kept> {
        self.child.kill().expect("it runs");
        self.child.wait().expect("it ends");
        self.rest()
    }

    /// Waits until it has done what was ordered.
    #[track_caller]
    pub(super) fn finish(mut self) -> Vec<Kept> {
        let status = self.child.wait().expect("it ends");
        let failed = (!status.success()).then_some(status);
        let said = std::mem::take(&mut self.said);
        let kept = self.rest();
        assert!(failed.is_none(), "{failed:?}: {said:#?}");
        kept
    }

    fn rest(mut self) -> Vec<Kept> {
        while let Ok(line) = self.lines.recv_timeout(DEADLINE) {
            self.hear(line);
        }
        self.kept
    }
}

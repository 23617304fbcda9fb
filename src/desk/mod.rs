//! One open ledger with its board, a clock and a terminal's name: what the screens and the command line share.
//!
//! A command goes one way: it is decided on the newest board, appended under the lock, and only then folded in. What other
//! writers add is followed. Whatever makes the ledger untrustworthy closes every bed, and says why. The desk draws nothing
//! and holds no rules.

mod clock;
mod drafts;
mod logger;
mod pin;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono_tz::Tz;

pub use clock::{Clock, ClockError};
pub use logger::Logged;
pub use pin::{PinError, hash_pin};

use crate::domain::board::{Board, ClockQuestion};
use crate::domain::code::Code;
use crate::domain::decide::{Command, Refusal, decide};
use crate::domain::entry::{Body, CommandId, Entry, Number, Place, Time};
use crate::domain::timeline::tells_of;
use crate::ledger::{self, Access, Appended, Header, Ledger, LedgerError, Memory, News};

/// Who signs what a terminal notes by itself. No person: its entries only ever close.
const TERMINAL: &str = "terminal";

/// How a command ended.
#[derive(Debug)]
pub enum Outcome {
    /// It is on disk, and on the board.
    Done(Box<Entry>),
    /// A rule's no. Nothing was written.
    Refused(Refusal),
    /// The disk failed, and it is not known whether it was kept. The same command again finds out, and never notes it twice.
    Unsure(LedgerError),
    /// Nothing was written.
    Failed(DeskError),
}

#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    #[error(transparent)]
    Ledger(#[from] LedgerError),
    #[error(transparent)]
    Clock(#[from] ClockError),
    #[error(
        "a set clock writes only to a ledger that is for rehearsal: leave --now away, or make one with `dryhold setup --rehearsal`"
    )]
    SetClock,
    #[error("the settings do not make a hospital: entry {number}: {why}")]
    Setup { number: Number, why: String },
    #[error("no random number could be had from the system: {0}")]
    Random(getrandom::Error),
}

/// Whether what the desk shows can be trusted, and whether it can write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    Whole,
    /// Everything is shown; nothing can be noted here, for this reason.
    ReadOnly(String),
    /// Every bed reads closed, for this reason.
    Untrusted(String),
}

pub struct Desk {
    ledger: Ledger,
    read: ReadSoFar,
    clock: Clock,
    terminal: String,
    /// Where this terminal remembers what it has seen. None: nowhere.
    marks: Option<PathBuf>,
    /// Why it cannot, where it should.
    not_kept: Option<String>,
    seen: Memory,
    /// When the folder of those memories had last changed.
    seen_at: Option<std::time::SystemTime>,
    /// It only shows: nothing is written to the ledger.
    only_looks: bool,
    standing: Standing,
    /// The command that ended unsure, and why: until it is settled, no failure of it means that nothing was noted.
    in_doubt: Option<(CommandId, String)>,
    /// Wrong PINs that could not be remembered in a file.
    failed_pins: BTreeMap<Code, u32>,
    /// When the last wrong PIN of a person was typed here.
    last_failed: BTreeMap<Code, std::time::SystemTime>,
}

/// Initials may hold what a file's name cannot.
fn in_hex(initials: Code) -> String {
    initials.as_str().bytes().map(|byte| format!("{:02x}", byte.to_ascii_uppercase())).collect()
}

/// The ledger as far as it was read: its entries, and what they add up to.
struct ReadSoFar {
    zone: Tz,
    board: Board,
    entries: Vec<Entry>,
    /// Where the entry of each command stands in `entries`.
    commands: BTreeMap<CommandId, usize>,
}

/// Why an append made no new entry.
enum Stop {
    Refused(Refusal),
    Already(Box<Entry>),
}

impl Desk {
    /// Opens a ledger, remembering what was seen of it in this user's own folder.
    pub fn open(path: &Path, clock: Clock, terminal: String) -> Result<Self, DeskError> {
        Self::for_user(path, clock, terminal, false)
    }

    /// The same to show it and no more: nothing is written to it, whatever is wrong with it, and nobody waits for a lock.
    pub fn look(path: &Path, clock: Clock, terminal: String) -> Result<Self, DeskError> {
        Self::for_user(path, clock, terminal, true)
    }

    fn for_user(path: &Path, clock: Clock, terminal: String, only_looks: bool) -> Result<Self, DeskError> {
        let folder = ledger::mark_folder();
        let is_nowhere = folder.is_none();
        let mut desk = Self::open_for(path, clock, terminal, Access { only_looks, marks: folder })?;
        if is_nowhere {
            desk.cannot_keep("no folder of this user's own is known");
        }
        desk.try_the_folder();
        desk.remember();
        Ok(desk)
    }

    /// To check it: nothing is remembered either.
    pub fn check(path: &Path, clock: Clock, terminal: String) -> Result<Self, DeskError> {
        Self::open_for(path, clock, terminal, Access { only_looks: true, marks: ledger::mark_folder() })
    }

    pub fn open_with(path: &Path, clock: Clock, terminal: String, marks: Option<PathBuf>) -> Result<Self, DeskError> {
        let mut desk = Self::open_for(path, clock, terminal, Access { only_looks: false, marks })?;
        desk.try_the_folder();
        desk.remember();
        Ok(desk)
    }

    fn open_for(path: &Path, clock: Clock, terminal: String, access: Access) -> Result<Self, DeskError> {
        let (only_looks, marks) = (access.only_looks, access.marks.clone());
        let (ledger, entries) = Ledger::open_for(path, access)?;
        let mut desk = Self {
            read: ReadSoFar::nothing(ledger.header().time_zone),
            seen: marks.as_deref().map(|folder| ledger.remembered(folder)).unwrap_or_default(),
            seen_at: None,
            only_looks,
            standing: Standing::Whole,
            in_doubt: None,
            failed_pins: BTreeMap::new(),
            last_failed: BTreeMap::new(),
            ledger,
            clock,
            terminal,
            marks,
            not_kept: None,
        };
        desk.read.take_in(News { from_start: true, entries });
        desk.settle_standing(None);
        desk.close_what_is_lost();
        Ok(desk)
    }

    /// Makes a ledger that begins with these settings, noted by the lead. Never overwrites.
    pub fn create(
        path: &Path,
        header: &Header,
        settings: Vec<(Place, Body)>,
        lead: Code,
        now: Time,
    ) -> Result<(), DeskError> {
        let mut entries = vec![];
        for (at, (place, body)) in settings.into_iter().enumerate() {
            entries.push(Entry {
                number: Number(at as u64 + 1),
                noted: now,
                happened: now,
                done_by: lead,
                noted_by: lead,
                terminal: "setup".to_owned(),
                command: new_command_id()?,
                place,
                body,
            });
        }
        let board = Board::fold(&entries);
        if let Some(problem) = board.problems().first() {
            return Err(DeskError::Setup { number: problem.number, why: problem.text.clone() });
        }
        Ok(ledger::create(path, header, &entries)?)
    }

    pub fn board(&self) -> &Board {
        &self.read.board
    }

    /// Now, by the wall: as this terminal's clock shows it, put right by what was last said of it.
    pub fn now(&self) -> Time {
        by_the_wall(&self.clock, &self.read.board, &self.terminal)
    }

    /// What this terminal has to be told before it notes anything else: its clock and another's disagree.
    pub fn clock_question(&self) -> Option<ClockQuestion> {
        self.read.board.clock_question(&self.terminal, self.now())
    }

    /// All entries, in the order of the file.
    pub fn entries(&self) -> &[Entry] {
        &self.read.entries
    }

    pub fn entry(&self, number: Number) -> Option<&Entry> {
        let at = usize::try_from(number.0.checked_sub(1)?).ok()?;
        let expected = self.read.entries.get(at).filter(|entry| entry.number == number);
        expected.or_else(|| self.read.entries.iter().find(|entry| entry.number == number))
    }

    /// What happened in this room, newest first. Settings of the hospital are left out.
    pub fn timeline(&self, room: Code) -> impl Iterator<Item = &Entry> {
        let plan = self.read.board.facility().room(room);
        let touches = move |entry: &&Entry| plan.is_some_and(|plan| tells_of(entry, plan));
        self.read.entries.iter().rev().filter(touches)
    }

    pub fn standing(&self) -> &Standing {
        &self.standing
    }

    /// Sentences about the file that stop nothing.
    pub fn notices(&self) -> &[String] {
        self.ledger.notices()
    }

    pub fn path(&self) -> &Path {
        self.ledger.path()
    }

    pub fn header(&self) -> &Header {
        self.ledger.header()
    }

    pub fn terminal(&self) -> &str {
        &self.terminal
    }

    /// Reads what other writers have added. True: something changed.
    pub fn follow(&mut self) -> bool {
        let before = (self.standing.clone(), self.read.board.distrust().map(str::to_owned));
        self.hear_of_others();
        let (changed, trouble) = match self.ledger.follow() {
            Ok(news) => {
                let changed = !news.is_empty();
                let again = news.from_start;
                self.read.take_in(news);
                self.settle_standing(None);
                if again {
                    self.close_what_is_lost();
                }
                (changed, None)
            }
            Err(error) => (false, Some(error)),
        };
        if let Some(error) = trouble {
            self.settle_standing(Some(error.to_string()));
        }
        if changed {
            self.remember();
        }
        changed || before != (self.standing.clone(), self.read.board.distrust().map(str::to_owned))
    }

    /// Another file of the ledger's id may have gone further meanwhile, by this user's own hand.
    fn hear_of_others(&mut self) {
        let Some(folder) = self.marks.as_deref() else { return };
        let changed = std::fs::metadata(folder).and_then(|folder| folder.modified()).ok();
        if changed != self.seen_at {
            self.seen_at = changed;
            self.seen.others = self.ledger.remembered(folder).others;
        }
    }

    /// Notes a command: decided on the newest board under the lock, written, synced, folded in.
    pub fn note(&mut self, command: &Command, person: Code) -> Outcome {
        if self.clock.is_set() && !self.ledger.header().rehearsal {
            return Outcome::Failed(DeskError::SetClock);
        }
        let mut command = command.clone();
        if command.terminal.is_empty() {
            command.terminal.clone_from(&self.terminal);
        }
        let made = |read: &ReadSoFar, now: Time| decide(&read.board, &command, person, now).map_err(Stop::Refused);
        let mut outcome = self.append(command.id, &made);
        if let Outcome::Unsure(error) = outcome {
            // The sync failed. Once more under the same id: either it is there, or it is written now.
            let why = std::error::Error::source(&error).map_or_else(|| error.to_string(), ToString::to_string);
            self.in_doubt = Some((command.id, why));
            outcome = self.append(command.id, &made);
        }
        match (outcome, &self.in_doubt) {
            // This attempt wrote nothing, but an earlier one may have.
            (Outcome::Failed(_), Some((id, why))) if *id == command.id => {
                let (path, source) = (self.path().to_owned(), std::io::Error::other(why.clone()));
                Outcome::Unsure(LedgerError::Unsure { path, source })
            }
            (outcome, _) => outcome,
        }
    }

    fn append(&mut self, id: CommandId, make: &dyn Fn(&ReadSoFar, Time) -> Result<Entry, Stop>) -> Outcome {
        let outcome = match self.append_once(id, make) {
            // What is lost is closed first, and then it goes on behind that.
            Outcome::Failed(DeskError::Ledger(LedgerError::EndLost { .. })) => match self.close_lost_end() {
                Ok(()) => self.append_once(id, make),
                Err(error) => Outcome::Failed(error.into()),
            },
            outcome => outcome,
        };
        self.remember();
        outcome
    }

    fn append_once(&mut self, id: CommandId, make: &dyn Fn(&ReadSoFar, Time) -> Result<Entry, Stop>) -> Outcome {
        let Self { ledger, read, clock, terminal, .. } = self;
        let mut read_anew = false;
        let appended = ledger.append(|news| {
            read_anew = news.from_start;
            read.take_in(news);
            match read.commands.get(&id).and_then(|at| read.entries.get(*at)) {
                Some(entry) => Err(Stop::Already(Box::new(entry.clone()))),
                None => make(read, by_the_wall(clock, &read.board, terminal)),
            }
        });
        let outcome = match appended {
            Ok(Appended::Done(entry)) => {
                self.read.take_in(News { from_start: false, entries: vec![entry.clone()] });
                Outcome::Done(Box::new(entry))
            }
            Ok(Appended::Refused(Stop::Already(entry))) => Outcome::Done(entry),
            Ok(Appended::Refused(Stop::Refused(refusal))) => Outcome::Refused(refusal),
            Ok(Appended::Unsure(error)) => Outcome::Unsure(error),
            Err(error) => Outcome::Failed(error.into()),
        };
        self.settle_standing(None);
        if read_anew {
            self.close_what_is_lost();
        }
        outcome
    }

    /// Says whether the ledger can be trusted, and closes every bed if it cannot.
    fn settle_standing(&mut self, lost: Option<String>) {
        let path = self.ledger.path().display();
        self.standing = match (lost, self.ledger.standing()) {
            (Some(why), _) => Standing::Untrusted(why),
            (None, ledger::Standing::Damaged { line, why }) => Standing::Untrusted(format!(
                "entry {} is damaged, in line {line} of {path} ({why}); `dryhold repair` mends it",
                line.saturating_sub(1)
            )),
            (None, ledger::Standing::Broken(lost)) => {
                let lacks = self.lacks().map(|lacks| format!("; this terminal has seen more: {lacks}"));
                Standing::Untrusted(format!("{path}: {lost}{}", lacks.unwrap_or_default()))
            }
            (None, ledger::Standing::ReadOnly(why)) => Standing::ReadOnly(why.clone()),
            (None, ledger::Standing::Whole) => Standing::Whole,
        };
        let further: Vec<_> = self
            .ledger
            .further(&self.seen)
            .into_iter()
            .filter(|other| !self.read.board.is_chosen_over(&other.path))
            .collect();
        self.read.board.set_other_files(further.iter().map(|other| other.path.clone()).collect());
        let distrust = match &self.standing {
            Standing::Untrusted(why) => Some(why.clone()),
            // It lacks what was here before, and that could not be written down, or only the looking was asked for.
            _ if self.went_back() => Some(self.went_back_words()),
            _ => further.first().map(|other| {
                format!(
                    "another file of this ledger went further: {}, to entry {}. Nobody knows which of the two is the ledger: \
                     the lead says so with `dryhold note which-ledger hospital --words …`, in the one that is",
                    other.path, other.number
                )
            }),
        };
        self.read.board.set_distrust(distrust);
    }

    fn went_back(&self) -> bool {
        self.seen.mark.as_ref().is_some_and(|mark| {
            let kept = self.ledger.kept_of(mark);
            !self.ledger.holds(mark) && self.read.tells_of_loss(mark.number, kept).is_none()
        })
    }

    fn went_back_words(&self) -> String {
        format!("the ledger is older than what this terminal has seen: {}", self.lacks().unwrap_or_default())
    }

    /// Which entries that this terminal has seen are gone. None: it holds them all.
    pub fn lacks(&self) -> Option<String> {
        let mark = self.seen.mark.as_ref().filter(|mark| !self.ledger.holds(mark))?;
        let (seen, ends) = (mark.number.0, self.ledger.last().0);
        let kept = self.ledger.kept_of(mark).map_or(ends, |kept| kept.0);
        Some(match seen.checked_sub(kept) {
            Some(1) => format!("entry {seen} is missing"),
            Some(many) if many > 1 => format!("entries {} to {seen} are missing", kept + 1),
            _ => format!("entry {seen} is not what it was"),
        })
    }

    /// Where the ledger's end was lost, or it ends before what this terminal has seen, or holds something else there, an
    /// entry closes every room and says so to every terminal.
    fn close_what_is_lost(&mut self) {
        if self.only_looks {
            return;
        }
        // Where it cannot be closed by an entry, every bed reads closed for that.
        let _ = self.close_lost_end();
        self.notice_went_back();
        self.settle_standing(match &self.standing {
            Standing::Untrusted(why) => Some(why.clone()),
            _ => None,
        });
    }

    fn close_lost_end(&mut self) -> Result<(), LedgerError> {
        let ledger::Standing::Broken(lost) = self.ledger.standing().clone() else { return Ok(()) };
        let had_seen = self.seen.mark.as_ref().filter(|mark| !self.ledger.holds(mark)).map(|mark| mark.number);
        let body = Body::EndLost { bytes: lost.bytes, begins: lost.begins.clone(), had_seen };
        let Some(entry) = self.by_the_terminal(body) else { return Ok(()) };
        let make = |number: Number| Entry { number, ..entry.clone() };
        // Where somebody else was first, what they wrote is read instead.
        match self.ledger.close_lost_end(&make).and_then(|_| self.ledger.follow()) {
            Ok(news) => {
                self.read.take_in(news);
                self.settle_standing(None);
                Ok(())
            }
            Err(error) => {
                let why = format!("{}: {lost}; {error}", self.path().display());
                self.settle_standing(Some(why));
                Err(error)
            }
        }
    }

    /// What the terminal notes, and no person: an entry that only closes needs no right to.
    fn by_the_terminal(&self, body: Body) -> Option<Entry> {
        let (by, now) = (by_the_terminal(), self.clock.now());
        Some(Entry {
            number: Number(0),
            noted: now,
            happened: now,
            done_by: by,
            noted_by: by,
            terminal: self.terminal.clone(),
            command: new_command_id().ok()?,
            place: Place::Hospital,
            body,
        })
    }

    fn notice_went_back(&mut self) {
        let is_back = self.standing == Standing::Whole && self.went_back();
        let Some(mark) = self.seen.mark.clone().filter(|_| is_back) else { return };
        let kept = self.ledger.kept_of(&mark);
        let since = kept.and_then(|kept| self.entry(kept)).map(|entry| entry.noted);
        let body = Body::WentBack { had_seen: mark.number, kept, since };
        let Some(entry) = self.by_the_terminal(body) else { return };
        self.seen.mark = None;
        let make = |read: &ReadSoFar, now: Time| {
            if let Some(entry) = read.tells_of_loss(mark.number, kept) {
                return Err(Stop::Already(Box::new(entry.clone())));
            }
            let number = Number(read.board.last().map_or(1, |(number, _)| number.0 + 1));
            Ok(Entry { number, noted: now, happened: now, ..entry.clone() })
        };
        if !matches!(self.append_once(entry.command, &make), Outcome::Done(_)) {
            self.seen.mark = Some(mark);
        }
    }

    /// Whether this terminal had seen it before it was opened here.
    pub fn has_seen_it(&self) -> bool {
        self.seen.mark.is_some()
    }

    /// What this terminal cannot remember, and why. None: it can, or it should not.
    pub fn not_kept(&self) -> Option<&str> {
        self.not_kept.as_deref()
    }

    fn cannot_keep(&mut self, why: &str) {
        self.not_kept = Some(format!(
            "this terminal cannot keep what it saw, nor what is begun here ({why}): an older copy in the ledger's place \
             would not be noticed"
        ));
    }

    fn has_kept(&mut self, done: &std::io::Result<()>) {
        match done {
            Ok(()) => self.not_kept = None,
            Err(error) => self.cannot_keep(&error.to_string()),
        }
    }

    /// Whether anything could be kept is said before something has to be.
    fn try_the_folder(&mut self) {
        let Some(folder) = self.marks.as_deref() else { return };
        let done = std::fs::create_dir_all(folder).and_then(|()| tempfile::NamedTempFile::new_in(folder).map(drop));
        self.has_kept(&done);
    }

    /// Remembers the newest entry that was read. A mark is a help, not truth: if it cannot be kept, nothing stops, and it
    /// is said on every page.
    fn remember(&mut self) {
        if self.went_back() || matches!(self.standing, Standing::Untrusted(_)) {
            return;
        }
        let mark = Some(self.ledger.mark());
        if self.seen.mark == mark {
            return;
        }
        self.seen.mark = mark;
        if let Some(folder) = &self.marks {
            let done = self.ledger.write_mark(folder);
            self.has_kept(&done);
        }
    }
}

impl ReadSoFar {
    fn nothing(zone: Tz) -> Self {
        Self { zone, board: Board::new().in_zone(zone), entries: vec![], commands: BTreeMap::new() }
    }

    /// The entry by which it was said already that what had this number is gone, if every ward still waits for the walk after
    /// it. `kept` is the newest entry that the terminal had seen and that is still there: what it had seen already tells of
    /// nothing that went since.
    fn tells_of_loss(&self, number: Number, kept: Option<Number>) -> Option<&Entry> {
        let says = |entry: &Entry| match entry.body {
            Body::WentBack { had_seen, .. } | Body::EndLost { had_seen: Some(had_seen), .. } => {
                (entry.number..=had_seen).contains(&number) && kept.is_none_or(|kept| entry.number > kept)
            }
            // Whatever is gone was gone by then.
            Body::Restored { .. } => {
                entry.number <= Number(number.0 + 1) && kept.is_some_and(|kept| entry.number > kept)
            }
            _ => false,
        };
        let tells = |entry: &&Entry| {
            says(entry) && self.board.rooms().all(|(_, room)| room.unsettled_by_name(entry.number).is_some())
        };
        self.entries.iter().rev().find(tells)
    }

    fn take_in(&mut self, news: News) {
        if news.from_start {
            *self = Self::nothing(self.zone);
        }
        self.board.extend(&news.entries);
        for entry in news.entries {
            self.commands.insert(entry.command, self.entries.len());
            self.entries.push(entry);
        }
    }
}

fn by_the_wall(clock: &Clock, board: &Board, terminal: &str) -> Time {
    let shown = clock.now();
    shown.checked_add_signed(board.clock_offset(terminal)).unwrap_or(shown)
}

/// Who notes what no person does.
pub fn by_the_terminal() -> Code {
    Code::new(TERMINAL).expect("a word is a code")
}

/// A name for one attempt to note something, which no other has.
pub fn new_command_id() -> Result<CommandId, DeskError> {
    getrandom::u64().map(CommandId).map_err(DeskError::Random)
}

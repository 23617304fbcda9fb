//! Random histories: whatever people do, in whatever order, whatever happens to the file, a bed that the fold calls open
//! is one that the oracle calls open too.

use std::collections::BTreeMap;
use std::env;
use std::fmt::Write as _;

use dryhold::domain::board::{Board, State};
use dryhold::domain::decide::decide;
use dryhold::domain::entry::{CommandId, Entry, Number, Place, Time};

use super::acts::{Act, Chance, Scene};
use super::damage;
use super::hospital::{BEDS, ROOMS, code, minutes, opened, start};
use super::oracle::closed_reasons;

const HISTORIES: u64 = 100_000;

/// So many holes of each worker are told before it stops.
const REPORTED: usize = 3;

/// The seeds of one history's steps. Dropping one leaves the others as they are.
#[derive(Clone, Debug)]
struct History {
    seed: u64,
    steps: Vec<u64>,
}

impl History {
    fn new(seed: u64) -> Self {
        let mut chance = Chance(seed);
        let length = 12 + chance.below(16);
        Self { seed, steps: (0..length).map(|_| chance.next()).collect() }
    }
}

/// What was seen on the way, so that a proof that proves nothing is noticed.
#[derive(Default)]
pub(super) struct Tally {
    open: u64,
    closed: u64,
    states: BTreeMap<&'static str, [u64; 2]>,
    reopened: u64,
    noted: u64,
    raw: u64,
    refused: BTreeMap<&'static str, u64>,
    pub(super) damaged: BTreeMap<&'static str, [u64; 2]>,
}

impl Tally {
    fn add(&mut self, other: Self) {
        self.open += other.open;
        self.closed += other.closed;
        self.reopened += other.reopened;
        self.noted += other.noted;
        self.raw += other.raw;
        for (name, count) in other.refused {
            *self.refused.entry(name).or_default() += count;
        }
        for (into, from) in [(&mut self.states, other.states), (&mut self.damaged, other.damaged)] {
            for (name, counts) in from {
                let sum = into.entry(name).or_default();
                sum[0] += counts[0];
                sum[1] += counts[1];
            }
        }
    }
}

/// The start of every history, folded once.
pub(super) struct Beginning {
    pub(super) entries: Vec<Entry>,
    board: Board,
}

impl Beginning {
    fn new() -> Self {
        let entries = opened();
        let board = Board::fold(&entries);
        Self { entries, board }
    }
}

#[test]
fn no_bed_is_open_that_the_oracle_calls_closed() {
    let wanted = env::var("DRYHOLD_HISTORIES").ok().and_then(|text| text.parse().ok()).unwrap_or(HISTORIES);
    let from: u64 = env::var("DRYHOLD_SEED").ok().and_then(|text| text.parse().ok()).unwrap_or(0);
    let beginning = Beginning::new();
    let workers = std::thread::available_parallelism().map_or(1, |count| count.get() as u64);
    let mut tally = Tally::default();
    std::thread::scope(|scope| {
        let beginning = &beginning;
        let work = move |worker| {
            move || {
                let (mut tally, mut found) = (Tally::default(), vec![]);
                for seed in (from..from + wanted).filter(|seed| seed % workers == worker) {
                    let history = History::new(seed);
                    if let Err(why) = run(beginning, &history, &mut tally) {
                        found.push(report(beginning, history, &why));
                    }
                    if found.len() == REPORTED {
                        break;
                    }
                }
                (tally, found)
            }
        };
        let running: Vec<_> = (0..workers).map(|worker| scope.spawn(work(worker))).collect();
        let mut reports = vec![];
        for worker in running {
            let (part, found) = worker.join().expect("a worker does not panic");
            tally.add(part);
            reports.extend(found);
        }
        assert!(reports.is_empty(), "{}", reports.join("\n\n"));
    });
    println!("{wanted} histories: {} open, {} closed, {} reopened", tally.open, tally.closed, tally.reopened);
    println!("noted {}, raw {}, state [closed, open] {:?}", tally.noted, tally.raw, tally.states);
    println!("refused {:?}\ndamaged [closed, open] {:?}", tally.refused, tally.damaged);
    if wanted >= 10_000 {
        tally.assert_not_vacuous(wanted);
    }
}

impl Tally {
    fn assert_not_vacuous(&self, histories: u64) {
        assert!(self.open > histories && self.closed > histories, "beds were hardly ever open, or never closed");
        assert!(self.reopened > histories / 20, "rooms hardly ever got through the whole cycle: {}", self.reopened);
        for state in
            [State::Clear, State::Suspect, State::Confirmed, State::TreatedWet, State::TreatedDry, State::Monitoring]
        {
            let [closed, open] = self.states.get(state.word()).copied().unwrap_or_default();
            assert!(closed + open > histories / 20, "hardly ever {}", state.word());
            let may_open = matches!(state, State::Clear | State::Monitoring);
            assert_eq!(open > histories / 20, may_open, "{} beds open while {}", open, state.word());
        }
        assert!(self.refused.len() >= 15, "few rules ever refused: {:?}", self.refused);
        for (damage, [closed, _]) in &self.damaged {
            assert!(*closed > histories / 50, "hardly ever {damage}");
        }
    }
}

/// Plays a history. Err: what is wrong.
fn run(beginning: &Beginning, history: &History, tally: &mut Tally) -> Result<(), String> {
    let (mut board, mut entries) = (beginning.board.clone(), beginning.entries.clone());
    let mut now = start() + minutes(40);
    let room = Chance(history.seed ^ 0x5eed).pick(&ROOMS);
    let mut was_treated = [false; BEDS.len()];
    for seed in &history.steps {
        let act = Scene { board: &board, entries: &entries, now, room, chance: Chance(*seed) }.next_act();
        now = now.max(act.wall);
        let Some(entry) = noted(&board, &entries, &act, tally) else { continue };
        board.apply(&entry);
        let place = entry.place.clone();
        entries.push(entry);
        for (at, bed) in BEDS.into_iter().enumerate() {
            let state = board.state(code(bed.split('-').next().unwrap_or(bed)));
            let open = board.admission(code(bed), now).is_empty();
            tally.states.entry(state.word()).or_default()[usize::from(open)] += 1;
            match open {
                true => tally.open += 1,
                false => tally.closed += 1,
            }
            if matches!(state, State::TreatedWet | State::TreatedDry) {
                was_treated[at] = true;
            } else if open && was_treated[at] {
                was_treated[at] = false;
                tally.reopened += 1;
            }
            if open && is_near(&place, bed) {
                agree(&entries, bed, now, "")?;
            }
        }
    }
    for bed in BEDS.into_iter().filter(|bed| board.admission(code(bed), now).is_empty()) {
        agree(&entries, bed, now, " at the end")?;
    }
    let mut chance = Chance(history.seed ^ 0xd1ce);
    digests_agree(&board, &entries, &mut chance)?;
    damage::check(beginning, &board, &entries, now, &mut chance, tally)
}

pub(super) fn agree(entries: &[Entry], bed: &str, now: Time, when: &str) -> Result<(), String> {
    match closed_reasons(entries, code(bed), now) {
        reasons if reasons.is_empty() => Ok(()),
        reasons => Err(format!("bed {bed} is open{when} at {now}, but {reasons:#?}")),
    }
}

/// Whether an entry's place can matter to the bed at once; the rest is compared at the end of the history.
fn is_near(place: &Place, bed: &str) -> bool {
    let room = bed.split('-').next().unwrap_or(bed);
    match place {
        Place::Rooms(rooms) => rooms.contains(&code(room)) || rooms.contains(&code("BATH")),
        _ => true,
    }
}

/// What the act becomes in the ledger, if anything.
fn noted(board: &Board, entries: &[Entry], act: &Act, tally: &mut Tally) -> Option<Entry> {
    if act.raw {
        tally.raw += 1;
        return Some(Entry {
            number: Number(entries.len() as u64 + 1),
            noted: act.now,
            happened: act.command.happened.unwrap_or(act.now),
            done_by: act.command.done_by.unwrap_or(act.person),
            noted_by: act.person,
            terminal: act.command.terminal.clone(),
            command: CommandId(entries.len() as u64 + 1),
            place: act.command.place.clone(),
            body: act.command.body.clone(),
        });
    }
    match decide(board, &act.command, act.person, act.now) {
        Ok(entry) => {
            tally.noted += 1;
            Some(entry)
        }
        Err(refusal) => {
            *tally.refused.entry(refusal.rule().code()).or_default() += 1;
            None
        }
    }
}

/// State and evidence of every room, as text: two boards with the same digest say the same.
pub(super) fn digest(board: &Board) -> String {
    let mut text = String::new();
    for room in ROOMS.map(code) {
        let _ = writeln!(text, "{room} {:?} {:?}", board.state(room), board.evidence(room));
    }
    text
}

/// Entry by entry, all at once, and in any order in the file: the same board.
fn digests_agree(board: &Board, entries: &[Entry], chance: &mut Chance) -> Result<(), String> {
    let mut shuffled = entries.to_vec();
    for at in (1..shuffled.len()).rev() {
        shuffled.swap(at, chance.below(at + 1));
    }
    let one_by_one = digest(board);
    for (how, other) in [("whole", digest(&Board::fold(entries))), ("shuffled", digest(&Board::fold(&shuffled)))] {
        if other != one_by_one {
            return Err(format!("folded {how}:\n{other}entry by entry:\n{one_by_one}"));
        }
    }
    Ok(())
}

/// The shortest history that still goes wrong, with its entries.
fn report(beginning: &Beginning, mut history: History, why: &str) -> String {
    let mut why = why.to_owned();
    let mut at = 0;
    while at < history.steps.len() {
        let mut shorter = history.clone();
        shorter.steps.remove(at);
        match run(beginning, &shorter, &mut Tally::default()) {
            Err(still) => (history, why) = (shorter, still),
            Ok(()) => at += 1,
        }
    }
    let mut text = format!("seed {}, shrunk to {} steps: {why}\n", history.seed, history.steps.len());
    for line in play(beginning, &history) {
        text.push_str(&line);
        text.push('\n');
    }
    text
}

/// The entries of a history beyond its beginning, a line each.
fn play(beginning: &Beginning, history: &History) -> Vec<String> {
    let (mut board, mut entries) = (beginning.board.clone(), beginning.entries.clone());
    let mut now = start() + minutes(40);
    let room = Chance(history.seed ^ 0x5eed).pick(&ROOMS);
    for seed in &history.steps {
        let act = Scene { board: &board, entries: &entries, now, room, chance: Chance(*seed) }.next_act();
        now = now.max(act.wall);
        if let Some(entry) = noted(&board, &entries, &act, &mut Tally::default()) {
            board.apply(&entry);
            entries.push(entry);
        }
    }
    let line = |e: &Entry| {
        let (noted, happened) = (e.noted.format("%d %H:%M"), e.happened.format("%d %H:%M"));
        let own = if e.done_by == e.noted_by { String::new() } else { format!(" (noted by {})", e.noted_by) };
        let body = format!("{:?}", e.body).split(", record:").next().unwrap_or_default().to_owned();
        let at = e.terminal_name();
        format!("{} noted {noted} at {at} happened {happened} by {}{own} in {:?}: {body}", e.number, e.done_by, e.place)
    };
    entries.iter().skip(beginning.entries.len()).map(line).collect()
}

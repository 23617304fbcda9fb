//! A hospital that exists: a world keeps what is physically true, people act in it and note it by the program's own commands
//! with human error, and a judge that knows surfaces, places and times, and nothing of the fold, says which open bed is a hole.
//!
//! (a) At every moment a bed reads open only if no world that fits the notes is unsafe. (b) Once all is noted and corrected,
//! only if the real world is safe. (c) Then people who follow only what the program names next open every bed.
//!
//! `DRYHOLD_STORIES=20000 cargo test --test it -- world::stories --nocapture` tells so many stories, from
//! `DRYHOLD_SEED` on. `DRYHOLD_CONTROL=1 cargo test --test it -- world::control --nocapture` goes on after a failure, shrinks
//! what fails, and names every class of hole with its shortest story: for a program that is known to have them
//! (`.ci/world-control`).
//!
//! | file | answers |
//! |---|---|
//! | `place`, `truth` | what stands where, what was sprayed, what was felt |
//! | `deeds`, `slips`, `acts`, `sprays`, `things`, `checks` | what people do and note, and what goes wrong with a note |
//! | `story`, `play`, `scene`, `workers` | a seed's story, played: its steps, everything put right, the program followed |
//! | `said`, `program`, `newer` | what is said, in plain words; the two files that know the library |
//! | `heard`, `ways`, `linens`, `fits` | the judge: what the notes tell, where a surface can have been, what is unsafe |
//! | `shrink`, `count` | the shortest story and its class; what was met |

mod acts;
mod chance;
mod checks;
mod count;
mod deeds;
mod fits;
mod heard;
mod linens;
mod newer;
mod place;
mod play;
mod program;
mod said;
mod scene;
mod shrink;
mod slips;
mod sprays;
mod story;
mod things;
mod truth;
mod ways;
mod workers;

use std::collections::BTreeMap;
use std::env;
use std::time::{Duration, Instant};

use count::Count;
use program::{Always, Dryhold};
use scene::Failure;
use story::Story;

/// Told in every run of the tests, from seed 0 on.
const STORIES: u64 = 20_000;
/// So many stories that cannot be ended are shrunk.
const ENDLESS: usize = 24;

fn number(name: &str) -> Option<u64> {
    env::var(name).ok().and_then(|text| text.parse().ok())
}

/// Tells stories on every core until they are all told, or `stop` says so. Gives what was met and what failed.
fn tell(from: u64, wanted: u64, stop: impl Fn(usize) -> bool + Sync) -> (Count, Vec<(Story, Failure)>) {
    let opened = Dryhold::opened();
    let workers = std::thread::available_parallelism().map_or(1, |count| count.get() as u64);
    let mut count = Count::default();
    let mut failed = vec![];
    std::thread::scope(|scope| {
        let (opened, stop) = (&opened, &stop);
        let work = move |worker: u64| {
            move || {
                let mut count = Count::default();
                let mut failed: Vec<(Story, Failure)> = vec![];
                for seed in (from..from + wanted).filter(|seed| seed % workers == worker) {
                    if stop(failed.len()) {
                        break;
                    }
                    let story = Story::of(seed);
                    count.add_story(&story);
                    let scene = play::play(&story, opened.clone(), false);
                    count.notes += scene.notes.len() as u64;
                    count.open += scene.open_seen;
                    for (into, from) in count.excused.iter_mut().zip(scene.excused) {
                        *into += from;
                    }
                    for (rule, _) in &scene.refused {
                        *count.refused.entry(rule).or_default() += 1;
                    }
                    if let Some(failure) = scene.failure {
                        failed.push((story, failure));
                    }
                }
                (count, failed)
            }
        };
        let running: Vec<_> = (0..workers).map(|worker| scope.spawn(work(worker))).collect();
        for worker in running {
            let (part, more) = worker.join().expect("a worker does not panic");
            count.add(part);
            failed.extend(more);
        }
    });
    failed.sort_by_key(|(story, _)| story.seed);
    (count, failed)
}

/// Shrinks each on every core; gives each class with its shortest story.
fn classes(failed: &[(Story, Failure)], deadline: Instant) -> BTreeMap<String, (usize, Story)> {
    let opened = Dryhold::opened();
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    let mut classes: BTreeMap<String, (usize, Story)> = BTreeMap::new();
    std::thread::scope(|scope| {
        let opened = &opened;
        let work = |worker: usize| {
            move || {
                let mut found: Vec<(String, Story)> = vec![];
                for (story, failure) in failed.iter().skip(worker).step_by(workers) {
                    if Instant::now() > deadline {
                        break;
                    }
                    let (short, failure) = shrink::shrink(story, failure, || opened.clone());
                    found.push((shrink::class(&short, &failure), short));
                }
                found
            }
        };
        let running: Vec<_> = (0..workers).map(|worker| scope.spawn(work(worker))).collect();
        for worker in running {
            for (class, story) in worker.join().expect("a worker does not panic") {
                let (count, shortest) = classes.entry(class).or_insert((0, story.clone()));
                *count += 1;
                if story.steps.len() < shortest.steps.len() {
                    *shortest = story;
                }
            }
        }
    });
    classes
}

#[test]
fn stories() {
    let wanted = number("DRYHOLD_STORIES").unwrap_or(STORIES);
    let from = number("DRYHOLD_SEED").unwrap_or(0);
    let (count, failed) = tell(from, wanted, |failed| failed > 0);
    println!("{}", count.table());
    if let Some((story, failure)) = failed.first() {
        let (short, failure) = shrink::shrink(story, failure, Dryhold::opened);
        panic!("{}\n{}", shrink::class(&short, &failure), shrink::in_words(&short, Dryhold::opened()));
    }
}

/// Of a program with holes: how many classes are found, and how soon.
#[test]
fn control() {
    if env::var("DRYHOLD_CONTROL").is_err() {
        return;
    }
    let began = Instant::now();
    let wanted = number("DRYHOLD_STORIES").unwrap_or(3000);
    let seconds = number("DRYHOLD_SECONDS").unwrap_or(500);
    let least = number("DRYHOLD_CLASSES").unwrap_or(15);
    let deadline = began + Duration::from_secs(seconds);
    // A slow machine tells fewer stories, and shrinks them all the same.
    let told_by = began + Duration::from_secs(seconds / 4);
    let (count, failed) = tell(number("DRYHOLD_SEED").unwrap_or(0), wanted, |_| Instant::now() > told_by);
    println!("{}", count.table());
    println!("{} of {} stories fail, in {:.1} s", failed.len(), count.stories, began.elapsed().as_secs_f64());
    for (story, failure) in &failed {
        println!("fails: {} ({}) {}", story.seed, failure.part, failure.kind);
    }
    // What cannot be ended takes long to shrink, and is mostly the same.
    let (mut failed, endless): (Vec<_>, Vec<_>) = failed.into_iter().partition(|(_, failure)| failure.part != 'c');
    println!("(c) {} stories cannot be ended; a few are shrunk", endless.len());
    failed.extend(endless.into_iter().take(ENDLESS));
    let classes = classes(&failed, deadline);
    let mut by_count: Vec<_> = classes.iter().collect();
    by_count.sort_by_key(|(name, (count, _))| (name.as_bytes().get(1).copied(), std::cmp::Reverse(*count)));
    for (class, (count, story)) in &by_count {
        println!("{count:>5} × {class}\n{}", shrink::in_words(story, Dryhold::opened()));
    }
    for part in ['a', 'b', 'c'] {
        let of_part = classes.keys().filter(|name| name.starts_with(&format!("({part})"))).count();
        println!("({part}) {of_part} classes");
    }
    println!("{} classes in {:.1} s", classes.len(), began.elapsed().as_secs_f64());
    assert!(classes.len() as u64 >= least, "too few classes: the simulator has gone blind");
}

/// A program that keeps everything closed fails (c), and one that opens everything fails (a).
#[test]
fn a_judge_that_nothing_gets_past() {
    let count = |open: bool, part: char| {
        let fails = |seed: &u64| {
            let program = Always { open, inner: Dryhold::opened() };
            play::play(&Story::of(*seed), program, false).failure.is_some_and(|it| it.part == part)
        };
        (0..60).filter(fails).count()
    };
    assert_eq!(count(false, 'c'), 60, "closed for ever, and it could be ended");
    assert!(count(true, 'a') > 30, "always open, and no world was unsafe");
}

/// Once all is noted and corrected the real world fits: what is really unsafe is unsafe to the judge. And once everything is
/// done no world is unsafe; else no program could end the story, and (c) would ask for what (a) forbids.
#[test]
fn a_judge_that_knows_what_is_true_and_can_be_content() {
    let (mut wrong, mut told, mut dangers) = (BTreeMap::new(), 0, 0);
    for seed in 0..number("DRYHOLD_STORIES").unwrap_or(400) {
        let story = Story::of(seed);
        // That one is for the program to refuse.
        if story.steps.iter().any(|step| step.deed.kind() == "thing moved under a zone's name") {
            continue;
        }
        let mut scene = play::put_right(&story, Dryhold::opened());
        // What this program refuses to take is another test's.
        let is_refused = |rule: &str| scene.refused.iter().any(|(it, _)| *it == rule);
        if !scene.uncorrected.is_empty() || is_refused("clock-back") || is_refused("future") {
            continue;
        }
        told += 1;
        let mut found: Vec<(String, String)> = vec![];
        for bed in 0..place::BEDS.len() {
            let danger = scene.truth.danger_at(bed);
            dangers += usize::from(danger.is_some());
            if let (Some(surface), None) = (danger, fits::hole(&scene.notes, &[bed])) {
                let why = format!("{} is wet at bed {}", scene.truth.what[surface].title(), place::BEDS[bed]);
                found.push(("blind".to_owned(), why));
            }
        }
        play::everything_is_done(&mut scene);
        let all: Vec<usize> = (0..place::BEDS.len()).collect();
        found.extend(fits::hole(&scene.notes, &all).map(|hole| (format!("never content: {}", hole.kind), hole.why)));
        for (kind, why) in found {
            let text = scene.story.clone().unwrap_or_default().join("\n");
            wrong.entry(kind).or_insert_with(Vec::new).push((seed, why, text));
        }
    }
    println!("{told} stories, {dangers} dangers");
    for (kind, stories) in &wrong {
        println!("{} × {kind}", stories.len());
        for (seed, why, text) in stories.iter().take(3) {
            println!("seed {seed}: {why}\n{text}\n");
        }
    }
    assert!(wrong.is_empty(), "the judge is wrong");
}

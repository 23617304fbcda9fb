//! Several writers at once: no number is given twice, nothing is lost, nobody is turned away.

use super::child::{Orders, Writer};
use super::judge::{Kept, wrongs};
use super::{Place, finding};

#[track_caller]
fn check_crowd(writers: u64, count: u64) {
    let place = Place::new();
    let start = |seed| Writer::start(&place.path(), Orders { seed, count, too_early: false });
    let running: Vec<Writer> = (31..31 + writers).map(start).collect();
    let kept: Vec<Kept> = running.into_iter().flat_map(Writer::finish).collect();
    assert_eq!(kept.len() as u64, writers * count);
    assert_eq!(wrongs(&place.path(), &kept, 0), [""; 0]);
    assert_eq!(place.torn(), [""; 0], "nobody saw another's write half done");
}

#[test]
fn two_writers_at_once() {
    check_crowd(2, 40);
}

#[test]
fn four_writers_at_once() {
    check_crowd(4, 25);
}

#[test]
fn four_programs_that_note_at_once_each_get_a_number_of_their_own() {
    let place = Place::new();
    let before = place.bytes();
    let started: Vec<_> = (0..4)
        .map(|turn| finding(place.program(), &format!("from program {turn}")).spawn().expect("the program runs"))
        .collect();
    let mut numbers: Vec<String> = vec![];
    for program in started {
        let ended = program.wait_with_output().expect("it ends");
        super::check_ended(&ended, 0, &[]);
        let said = String::from_utf8_lossy(&ended.stdout).into_owned();
        let number = said.strip_prefix("noted as entry ").and_then(|rest| rest.split(':').next());
        numbers.push(number.unwrap_or_else(|| panic!("a number: {said}")).to_owned());
    }
    numbers.sort();
    numbers.dedup();
    assert_eq!(numbers.len(), 4, "{numbers:?}");
    let text = String::from_utf8(place.bytes()).expect("text");
    assert!(text.as_bytes().starts_with(&before[..before.len() - 3]), "what was there is as it was");
    for turn in 0..4 {
        assert_eq!(text.matches(&format!("from program {turn}")).count(), 1);
    }
    assert_eq!(wrongs(&place.path(), &[], 0), [""; 0]);
}

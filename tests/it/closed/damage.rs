//! A file that lost lines: what stood on them may have been a spray, and no terminal that does not know of it opens a bed.

use std::fs;

use super::super::cli::program::Program;

const BEDS: [&str; 4] = ["4N-01-A", "4N-02-A", "4N-02-B", "4N-03-A"];

/// A note that is harmless, another one, and the mattress of 4N-01 sprayed at ten by the hospital's clock.
fn sprayed_last() -> (Program, usize) {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "hand-over 4N --text harmless", &[]).done();
    let harmless = lines(&it).iter().filter(|line| line.starts_with('(')).count();
    it.note("CN", "hand-over 4N --text second", &[]).done();
    it.at("2026-03-02T09:10:00Z");
    let spray = "spray 4N-01 --purpose re-application --scope 4N-01-A/mattress --zones 4N-01-A/mattress --product RS-A";
    it.note("TE", &format!("{spray} --patient-inside no --bags none --at 10:00 --finish 10:05"), &[]).done();
    assert_eq!(it.open(), BEDS[1..]);
    (it, harmless)
}

fn lines(it: &Program) -> Vec<String> {
    String::from_utf8(it.ledger()).expect("a ledger is text").lines().map(str::to_owned).collect()
}

/// The bed is closed at a terminal that was never used, at another one, and at the one that noted the spray: in this order, since
/// what the last one knows it may tell the others.
#[track_caller]
fn nowhere_open(it: &mut Program, when: &str) {
    for terminal in ["never-used", "other", ""] {
        it.sits_at(terminal);
        assert!(!it.open().contains(&BEDS[0].to_owned()), "{when}, at {terminal:?}");
    }
    it.sits_at("");
}

/// The lead asked everybody and walked once a spray of that hour can be felt.
#[track_caller]
fn walked(it: &mut Program) {
    // Each terminal says what it misses when it notes next, and the walk waits for the label from then on.
    it.at("2026-03-02T09:40:00Z");
    it.note("CN", "hand-over 4N --text here", &[]).done();
    it.at("2026-03-02T14:30:00Z");
    it.note("AB", "ward-walk 4N --wet none --words", &["TE was on duty: 4N-01 is dry by now"]).done();
    it.note("CN", &format!("occupancy 4N --empty {}", BEDS.join(",")), &[]).done();
}

/// The last lines are gone, these words on others are garbled.
fn loses(it: &Program, last: usize, garbled: &[(&str, &str)]) {
    let mut kept = lines(it);
    let entries: Vec<usize> = (0..kept.len()).filter(|at| kept[*at].starts_with('(')).collect();
    for at in entries.iter().rev().take(last) {
        kept.remove(*at);
    }
    let mut text = format!("{}\n", kept.join("\n"));
    for (word, broken) in garbled {
        assert!(text.contains(word), "{word}");
        text = text.replace(word, broken);
    }
    fs::write(it.path("ledger.ron"), text).expect("written");
}

fn mended_at(it: &mut Program, terminal: &str) {
    it.sits_at(terminal);
    drop(it.run("repair --to mended.ron", &[]));
    if it.path("mended.ron").exists() {
        fs::rename(it.path("mended.ron"), it.path("ledger.ron")).expect("renamed");
    }
}

fn attested(it: &Program, line: usize) {
    let number = line.to_string();
    drop(it.note("CN", "second-attest hospital --words x --entry", &[&number]));
    drop(it.note("AB", "attest hospital --words x --entry", &[&number]));
}

/// The spray was the last line, and whoever mended the file never saw it.
#[test]
fn a_file_that_is_mended_where_nobody_knows_of_its_end_opens_no_bed() {
    let (mut it, harmless) = sprayed_last();
    loses(&it, 1, &[("harmless", "harm#ess")]);
    nowhere_open(&mut it, "before it was mended");
    mended_at(&mut it, "other");
    it.at("2026-03-02T09:30:00Z");
    nowhere_open(&mut it, "mended");
    it.sits_at("other");
    attested(&it, harmless);
    nowhere_open(&mut it, "attested");
    walked(&mut it);
    assert_eq!(it.open().len(), BEDS.len());
}

/// Two lines are garbled, the spray and the line before it lost, and another line is noted in their place.
#[test]
fn a_file_that_is_mended_and_goes_on_in_the_place_of_a_spray_opens_no_bed() {
    let (mut it, harmless) = sprayed_last();
    loses(&it, 2, &[("harmless", "harm#ess"), ("A keeper", "A keep#r")]);
    mended_at(&mut it, "other");
    it.at("2026-03-02T09:30:00Z");
    it.sits_at("other");
    for text in ["one", "two", "three"] {
        drop(it.note("CN", "hand-over 4N --text", &[text]));
    }
    nowhere_open(&mut it, "gone on");
    it.sits_at("other");
    for line in 1..=harmless {
        attested(&it, line);
    }
    nowhere_open(&mut it, "attested");
}

/// The file ends in the middle of a line: nobody can read off it how many stood behind.
#[test]
fn a_torn_end_opens_no_bed_at_a_terminal_that_never_saw_it_whole() {
    for cut in [300, 700] {
        let (mut it, _) = sprayed_last();
        it.note("CN", "hand-over 4N --text third", &[]).done();
        let whole = it.ledger();
        fs::write(it.path("ledger.ron"), &whole[..whole.len() - cut]).expect("written");
        nowhere_open(&mut it, "torn");
        it.sits_at("never-used");
        it.note("CN", "hand-over 4N --text on", &[]).done();
        nowhere_open(&mut it, "gone on");
        walked(&mut it);
        assert!(it.open().contains(&BEDS[0].to_owned()), "cut by {cut}");
    }
}

/// A power cut leaves noughts, blanks or another file's bytes in place of the end.
#[test]
fn an_end_that_was_written_over_opens_no_bed_at_a_terminal_that_never_saw_it_whole() {
    for (size, filled) in [(300, b'\0'), (700, b'\0'), (300, b' '), (700, b'\n'), (512, 0xff), (300, b'x')] {
        let (mut it, _) = sprayed_last();
        it.note("CN", "hand-over 4N --text third", &[]).done();
        let mut broken = it.ledger();
        let end = broken.len() - size;
        broken[end..].fill(filled);
        fs::write(it.path("ledger.ron"), &broken).expect("written");
        nowhere_open(&mut it, "written over");
        it.sits_at("never-used");
        drop(it.note("CN", "hand-over 4N --text on", &[]));
        nowhere_open(&mut it, "gone on");
    }
}

//! Writers killed with SIGKILL at moments that a seed decides: whatever they had said to be kept is there afterwards.

use std::time::Duration;

use super::child::{Dice, Orders, Writer};
use super::judge::{Kept, wrongs};
use super::{Place, check_ended, finding, run};

/// Kills so many rounds of writers, and judges after each. The first wrongs end it.
fn kill_rounds(rounds: u64, writers: u64, too_early: bool) -> Result<(), Vec<String>> {
    let place = Place::new();
    let mut dice = Dice(0x5eed + writers);
    let mut kept: Vec<Kept> = vec![];
    let mut killed = 0;
    for round in 0..rounds {
        let seeds = (0..writers).map(|writer| round * writers + writer + 1);
        let start = |seed| Writer::start(&place.path(), Orders { seed, count: 0, too_early });
        let mut running: Vec<Writer> = seeds.map(start).collect();
        // Some rounds end while a writer still opens the ledger, most while it writes.
        let warm_up = dice.below(4) as usize;
        for writer in &mut running {
            writer.wait_for(warm_up);
        }
        for mut writer in running {
            writer.listen(Duration::from_micros(dice.below(6_000)));
            kept.extend(writer.kill());
            killed += 1;
        }
        let wrongs = wrongs(&place.path(), &kept, killed);
        if !wrongs.is_empty() {
            return Err(wrongs);
        }
    }
    assert!(kept.len() > killed, "{} entries of {killed} writers are too few to show anything", kept.len());
    check_ended(&run(finding(place.program(), "and it goes on")), 0, &[]);
    Ok(())
}

#[test]
fn a_killed_writer_loses_nothing_that_it_said_to_be_kept() {
    assert_eq!(kill_rounds(80, 1, false), Ok(()));
}

#[test]
fn three_writers_killed_one_after_the_other_lose_nothing() {
    assert_eq!(kill_rounds(20, 3, false), Ok(()));
}

#[test]
fn a_writer_that_speaks_too_early_is_caught() {
    let wrongs = kill_rounds(40, 1, true).expect_err("the rounds above would notice nothing");
    assert!(wrongs.iter().any(|wrong| wrong.starts_with("lost")), "{wrongs:?}");
}

#[test]
fn the_others_go_on_when_one_is_killed() {
    let place = Place::new();
    let start = |seed, count| Writer::start(&place.path(), Orders { seed, count, too_early: false });
    let mut victim = start(21, 0);
    let others = [start(22, 20), start(23, 20)];
    victim.wait_for(5);
    let mut kept = victim.kill();
    for other in others {
        let its = other.finish();
        assert_eq!(its.len(), 20);
        kept.extend(its);
    }
    assert_eq!(wrongs(&place.path(), &kept, 1), [""; 0]);
}

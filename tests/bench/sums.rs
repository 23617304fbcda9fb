//! The sums that run while somebody types or waits: one drying, a day of a laundry logger, and what thousands of
//! dryings teach.

use std::fmt::Write as _;
use std::fs;
use std::hint::black_box;

use dryhold::science::air::{Air, STANDARD_PRESSURE_PA};
use dryhold::science::drying::{Room, Surface, dry};
use dryhold::science::learning::{Observation, Prior, learn};
use dryhold::science::trace::{LONGEST_STEP_SECONDS, Machine, Reserve, Seen, judge};
use dryhold::trace::{self, How};

use super::{median, once, show};

pub(crate) fn sums() {
    drying();
    trace();
    learning();
}

/// Wanted: under 20 µs, which is 0.020 ms.
fn drying() {
    let air = Air::new(22.0, 0.45, STANDARD_PRESSURE_PA).unwrap();
    let room = Room { air, supply: air, air_changes_per_hour: 2.0, volume_m3: 50.0 };
    let surface = |area_m2, grams_per_m2, h_c, u_sub| Surface { area_m2, grams_per_m2, h_c, u_sub };
    // Each dries at its own time, so that all three stages are worked out.
    let surfaces = [surface(18.0, 40.0, 3.0, 5.0), surface(3.0, 40.0, 3.0, 15.0), surface(6.0, 80.0, 2.0, 1.0)];
    let each = 1000;
    let one = median(21, || {
        let (all, ()) = once(|| (0..each).for_each(|_| drop(black_box(dry(black_box(&room), &surfaces).unwrap()))));
        all / each
    });
    show("one drying with three surfaces", one);
}

/// Wanted: under 100 ms.
fn trace() {
    let mut text = String::from("time");
    (1..=8).for_each(|sensor| write!(text, ",probe {sensor} (°C)").unwrap());
    text.push('\n');
    for second in 0..86_400_u32 {
        let (hour, minute) = (second / 3600, second / 60 % 60);
        write!(text, "2026-03-02T{hour:02}:{minute:02}:{:02}", second % 60).unwrap();
        for sensor in 0..8_u32 {
            // A wash every 40 minutes: up to 75 °C and back, a little lag from one sensor to the next.
            let at = f64::from((second + 17 * sensor) % 2400) / 2400.0;
            write!(text, ",{:.2}", 20.0 + 55.0 * (4.0 * at * (1.0 - at)).sqrt()).unwrap();
        }
        text.push('\n');
    }
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let path = folder.path().join("day.csv");
    fs::write(&path, text).unwrap();
    let reserve = Reserve { uncertainty: 0.5, longest_step_seconds: LONGEST_STEP_SECONDS };
    let how = How::unsaid(LONGEST_STEP_SECONDS);
    let one = median(9, || {
        let (time, findings) = once(|| {
            let trace = trace::read(&path, how).unwrap();
            let seen: Vec<Seen> = trace.sensors.iter().map(|it| Seen::of(&it.readings, reserve)).collect();
            judge(&seen, Machine::Washer { mixing_minutes: None })
        });
        assert_eq!(findings.len(), 6, "every criterion was judged");
        time
    });
    show("a day at 1 Hz of 8 sensors, read and judged", one);
}

/// Wanted: under 50 ms.
fn learning() {
    // Spread evenly, each different: some never seen damp, some not yet dry, the rest within a third or so.
    let drying = |at: u32| {
        let part = f64::from(at) * 0.618_034 % 1.0;
        let damp_at = 0.5 + 2.5 * part + 1e-6 * f64::from(at);
        let dry_by = damp_at * (1.1 + 0.5 * (f64::from(at) * 0.414_214 % 1.0));
        match at % 10 {
            0 => Observation::new(None, Some(dry_by)),
            1 => Observation::new(Some(damp_at), None),
            _ => Observation::new(Some(damp_at), Some(dry_by)),
        }
        .unwrap()
    };
    let observations: Vec<Observation> = (0..5000).map(drying).collect();
    let one = median(21, || once(|| black_box(learn(black_box(&observations), &Prior::default()))).0);
    show("the multiplier of 5000 dryings, fitted", one);
}

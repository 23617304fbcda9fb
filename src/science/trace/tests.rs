//! Published equivalences first, then traces that were worked out by a second program from the same definitions.

use proptest::prelude::*;

use super::*;

const ANY_STEP: Reserve = Reserve { uncertainty: 0.0, longest_step_seconds: f64::INFINITY };

/// From minutes and degrees.
fn trace(points: &[(f64, f64)]) -> Vec<Reading> {
    points.iter().map(|(minutes, celsius)| Reading { seconds: 60.0 * minutes, celsius: *celsius }).collect()
}

fn t1() -> Vec<Reading> {
    trace(&[(0.0, 20.0), (20.0, 60.0), (25.0, 72.0), (51.0, 72.0), (56.0, 45.0)])
}

fn t2() -> Vec<Reading> {
    trace(&[
        (0.0, 20.0),
        (20.0, 72.0),
        (32.0, 72.0),
        (33.0, 69.0),
        (35.0, 69.0),
        (36.0, 72.0),
        (49.0, 72.0),
        (55.0, 40.0),
    ])
}

fn t3() -> Vec<Reading> {
    trace(&[(0.0, 15.0), (25.0, 65.5), (39.5, 65.5), (45.0, 50.0)])
}

fn t4() -> Vec<Reading> {
    trace(&[(0.0, 15.0), (28.0, 71.5), (34.0, 71.5), (40.0, 45.0)])
}

fn t5() -> Vec<Reading> {
    trace(&[(0.0, 15.0), (22.5, 60.0), (52.5, 60.0), (60.0, 35.0)])
}

fn t6() -> Vec<Reading> {
    trace(&[(0.0, 20.0), (35.0, 90.0), (70.0, 20.0)])
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 0.000_51, "{found} is not {wanted}");
}

/// The outcome of one criterion for these sensors.
#[track_caller]
fn outcome(sensors: &[Vec<Reading>], mixing: u32, id: &str, reserve: Reserve) -> (Outcome, usize) {
    let seen: Vec<Seen> = sensors.iter().map(|it| Seen::of(it, reserve)).collect();
    let found = judge(&seen, Machine::Washer { mixing_minutes: Some(mixing) });
    let one = found.iter().find(|it| it.id == id).unwrap_or_else(|| panic!("{id} is not judged"));
    (one.outcome, one.sensor)
}

#[track_caller]
fn check(trace: Vec<Reading>, mixing: u32, id: &str, wanted: Outcome) {
    assert_eq!(outcome(&[trace], mixing, id, ANY_STEP).0, wanted, "{id}");
}

#[test]
fn a0_of_level_holds_is_the_published_equivalence() {
    // EFHSS Q00473: 80 °C 10 min = 90 °C 1 min = 70 °C 100 min = 600. The others by the definition.
    let table = [
        (80.0, 10.0, 600.0),
        (90.0, 1.0, 600.0),
        (70.0, 100.0, 600.0),
        (90.0, 5.0, 3000.0),
        (93.0, 10.0, 11_971.574),
        (75.0, 10.0, 189.737),
        (85.0, 3.0, 569.210),
        (65.0, 10.0, 18.974),
        (65.0, 18.0, 34.153),
        (71.0, 3.0, 22.661),
        (71.0, 25.0, 188.839),
        (71.1, 25.0, 193.237),
        // Below the floor nothing counts.
        (60.0, 30.0, 0.0),
        (64.9, 600.0, 0.0),
    ];
    for (celsius, minutes, wanted) in table {
        near(a0(&trace(&[(0.0, celsius), (minutes, celsius)]), ANY_STEP), wanted);
    }
}

#[test]
fn worked_traces_have_their_holds_totals_and_a0() {
    // Worked out by a second program on straight lines: longest at 71, total at 71, longest at 65, at 60, and A0.
    let table = [
        (t1(), [26.602, 26.602, 30.213, 33.222], 267.140),
        (t2(), [13.521, 26.239, 33.005, 35.865], 279.913),
        (t3(), [0.0, 0.0, 14.925, 19.174], 31.723),
        (t4(), [6.361, 6.361, 10.693, 14.303], 71.477),
        (t5(), [0.0, 0.0, 0.0, 30.0], 0.0),
        (t6(), [19.0, 19.0, 25.0, 30.0], 2597.527),
    ];
    for (readings, [longest, total, at_65, at_60], lethality) in table {
        let at = |threshold| held(&readings, threshold, ANY_STEP);
        near(at(71.0).longest_seconds / 60.0, longest);
        near(at(71.0).total_seconds / 60.0, total);
        near(at(65.0).longest_seconds / 60.0, at_65);
        near(at(60.0).longest_seconds / 60.0, at_60);
        near(a0(&readings, ANY_STEP), lethality);
    }
}

#[test]
fn each_criterion_is_judged_by_its_own_kind_of_time() {
    use Outcome::{Met, NotMet, PersonDecides};
    check(t1(), 8, "us-cdc", Met);
    check(t2(), 8, "us-cdc", PersonDecides);
    check(t2(), 8, "us-il", Met);
    check(t3(), 4, "uk-65", Met);
    check(t3(), 8, "uk-65", NotMet);
    check(t4(), 4, "uk-71", NotMet);
    check(t4(), 4, "uk-65", NotMet);
    for id in ["us-cdc", "us-il", "uk-65", "uk-71", "de-rki"] {
        check(t5(), 4, id, NotMet);
    }
    check(t5(), 4, "insects-wash", Met);
    // A0 2597 is over 600, and that settles nothing.
    check(t6(), 4, "us-cdc", NotMet);
}

#[test]
fn the_uncertainty_comes_off_and_the_worst_sensor_decides() {
    let unsure = Reserve { uncertainty: 0.1, ..ANY_STEP };
    assert_eq!(outcome(&[t5()], 4, "insects-wash", unsure).0, Outcome::NotMet);
    assert!(a0(&t1(), unsure) < a0(&t1(), ANY_STEP));
    assert_eq!(outcome(&[t1(), t4(), t1()], 4, "us-cdc", ANY_STEP), (Outcome::NotMet, 1));
    // Time in pieces in one, and too little in the other: nobody is asked.
    assert_eq!(outcome(&[t2(), t4()], 4, "us-cdc", ANY_STEP), (Outcome::NotMet, 1));
    assert_eq!(outcome(&[t1(), t2()], 4, "us-cdc", ANY_STEP), (Outcome::PersonDecides, 1));
    assert!(judge(&[], Machine::Dryer).is_empty());
}

#[test]
fn nothing_is_counted_in_a_gap() {
    let strict = Reserve { uncertainty: 0.0, longest_step_seconds: 60.0 };
    let minutes = |from: u32, to: u32| (from..=to).map(|minute| (f64::from(minute), 72.0)).collect::<Vec<_>>();
    let whole = trace(&minutes(0, 30));
    near(held(&whole, 71.0, strict).longest_seconds / 60.0, 30.0);
    let torn = trace(&[minutes(0, 13), minutes(16, 30)].concat());
    let seen = Seen::of(&torn, strict);
    near(held(&torn, 71.0, strict).longest_seconds / 60.0, 14.0);
    near(held(&torn, 71.0, strict).total_seconds / 60.0, 27.0);
    near(seen.a0, a0(&whole, strict) * 27.0 / 30.0);
    assert_eq!(seen.gaps, [(13.0 * 60.0, 16.0 * 60.0)]);
    let found = judge(&[seen], Machine::Washer { mixing_minutes: None });
    assert!(found.iter().all(|it| it.to_string().contains("gap")), "{found:?}");
}

#[test]
fn a_dryer_is_judged_for_insects_alone() {
    // Naylor & Boase 2010: over 40 °C for 30 minutes.
    let dry = |celsius| {
        let seen = Seen::of(&trace(&[(0.0, celsius), (31.0, celsius)]), ANY_STEP);
        let found = judge(&[seen], Machine::Dryer);
        assert_eq!(found.len(), 1);
        found[0].outcome
    };
    assert_eq!((dry(40.0), dry(40.1)), (Outcome::NotMet, Outcome::Met));
}

/// Readings up to a minute apart between 40 and 95 °C.
fn readings() -> impl Strategy<Value = Vec<Reading>> {
    prop::collection::vec((1.0..60.0_f64, 40.0..95.0_f64), 2..60).prop_map(|steps| {
        let mut seconds = 0.0;
        steps
            .into_iter()
            .map(|(step, celsius)| {
                seconds += step;
                Reading { seconds, celsius }
            })
            .collect()
    })
}

proptest! {
    #[test]
    fn time_in_all_is_no_less_than_the_longest_hold(readings in readings(), threshold in 35.0..100.0) {
        let found = held(&readings, threshold, ANY_STEP);
        prop_assert!(found.total_seconds >= found.longest_seconds && found.longest_seconds >= 0.0);
        prop_assert!(found.total_seconds <= readings.last().unwrap().seconds - readings[0].seconds + 1e-9);
        let hotter = held(&readings, threshold + 0.5, ANY_STEP);
        prop_assert!(hotter.longest_seconds <= found.longest_seconds + 1e-9);
    }

    #[test]
    fn a0_adds_up_over_a_split_and_never_falls_with_heat(readings in readings(), at in 0.0..1.0_f64) {
        let whole = a0(&readings, ANY_STEP);
        // Split within a step, at a point on its line.
        let step = ((readings.len() - 1) as f64 * at) as usize;
        let (a, b) = (readings[step], readings[step + 1]);
        let part = 0.37;
        let between = Reading {
            seconds: a.seconds + part * (b.seconds - a.seconds),
            celsius: a.celsius + part * (b.celsius - a.celsius),
        };
        let first: Vec<Reading> = readings[..=step].iter().copied().chain([between]).collect();
        let second: Vec<Reading> = [between].into_iter().chain(readings[step + 1..].iter().copied()).collect();
        let sum = a0(&first, ANY_STEP) + a0(&second, ANY_STEP);
        prop_assert!((sum - whole).abs() <= 1e-9 * whole + 1e-9, "{sum} is not {whole}");
        let hotter: Vec<Reading> =
            readings.iter().map(|it| Reading { celsius: it.celsius + 1.0, ..*it }).collect();
        prop_assert!(a0(&hotter, ANY_STEP) >= whole);
    }
}

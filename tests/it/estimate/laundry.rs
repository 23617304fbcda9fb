//! `estimate laundry`: worked traces as a logger would have written them, and files that no verdict may come from.

use std::fs;

use serde_json::Value;

use super::super::cli::program::{Ended, Program, rows};

/// The straight lines between these minutes and degrees, a row each half minute.
pub(crate) fn logged(points: &[(f64, f64)]) -> String {
    let mut text = String::from("minutes,drum (°C)\n");
    for (a, b) in points.iter().zip(points.iter().skip(1)) {
        let steps = ((b.0 - a.0) * 2.0).round() as u32;
        for step in 0..steps {
            let part = f64::from(step) / f64::from(steps);
            text.push_str(&format!("{},{}\n", a.0 + part * (b.0 - a.0), a.1 + part * (b.1 - a.1)));
        }
    }
    let last = points.last().expect("points");
    text + &format!("{},{}\n", last.0, last.1)
}

fn run(file: &str, options: &str) -> Ended {
    let it = Program::new();
    fs::write(it.path("trace.csv"), file).expect("a trace");
    it.run(&format!("estimate laundry trace.csv {options}"), &[])
}

#[track_caller]
fn judged(file: &str, options: &str) -> Value {
    serde_json::from_str(&run(file, &format!("{options} --json")).done()).expect("JSON")
}

fn criterion<'a>(answer: &'a Value, id: &str) -> &'a Value {
    rows(&answer["criteria"]).iter().find(|it| it["id"] == id).unwrap_or_else(|| panic!("{id}: {answer:#}"))
}

/// Longest and total minutes at a threshold, and A0, of the first sensor.
fn seen(answer: &Value, threshold: f64) -> (f64, f64, f64) {
    let sensor = &answer["sensors"][0];
    let at = rows(&sensor["thresholds"]).iter().find(|it| it["threshold_c"] == threshold).expect("the threshold");
    let number = |it: &Value| it.as_f64().expect("a number");
    (number(&at["longest_min"]), number(&at["total_min"]), number(&sensor["a0"]))
}

const T1: [(f64, f64); 5] = [(0.0, 20.0), (20.0, 60.0), (25.0, 72.0), (51.0, 72.0), (56.0, 45.0)];
const T2: [(f64, f64); 8] =
    [(0.0, 20.0), (20.0, 72.0), (32.0, 72.0), (33.0, 69.0), (35.0, 69.0), (36.0, 72.0), (49.0, 72.0), (55.0, 40.0)];
const T5: [(f64, f64); 4] = [(0.0, 15.0), (22.5, 60.0), (52.5, 60.0), (60.0, 35.0)];

#[test]
fn worked_traces_have_their_minutes_a0_and_verdicts() {
    // Worked out by a second program on straight lines; half a unit of the last printed digit, and rounding of the rows.
    let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-3, "{found} is not {wanted}");
    let t1 = judged(&logged(&T1), "--minutes");
    let (longest, total, a0) = seen(&t1, 71.0);
    near(longest, 26.602);
    near(total, 26.602);
    near(a0, 267.140);
    assert_eq!(criterion(&t1, "us-cdc")["met"], true);
    let t2 = judged(&logged(&T2), "--minutes");
    let (longest, total, a0) = seen(&t2, 71.0);
    near(longest, 13.521);
    near(total, 26.239);
    near(a0, 279.913);
    assert_eq!(criterion(&t2, "us-cdc")["met"], false);
    let why = criterion(&t2, "us-cdc")["why"].as_str().unwrap_or_default();
    assert!(why.contains("met only cumulatively: a person must decide"), "{why}");
    assert_eq!(criterion(&t2, "us-il")["met"], true);
    let t5 = judged(&logged(&T5), "--minutes");
    assert!(rows(&t5["criteria"]).iter().all(|it| it["met"] == (it["id"] == "insects-wash")), "{t5:#}");
    let unsure = judged(&logged(&T5), "--minutes --uncertainty-k 0.5");
    assert_eq!(criterion(&unsure, "insects-wash")["met"], false);
    assert_eq!(t5["sha256"].as_str().map(str::len), Some(64));
}

#[test]
fn clocks_units_and_separators_make_no_difference_and_the_worst_sensor_decides() {
    let mut text = String::from("hh:mm;door (°F);core (°F)\n");
    for minute in 0..=40 {
        text.push_str(&format!(
            "{:02}:{:02};165,2;{}\n",
            (23 + minute / 30) % 24,
            (minute + 30) % 60,
            if minute < 10 { 140 } else { 163 }
        ));
    }
    // From 23:30 over midnight.
    let answer = judged(&text, "");
    let cdc = criterion(&answer, "us-cdc");
    assert_eq!((&cdc["met"], &cdc["sensor"]), (&true.into(), &"core (°F)".into()), "{answer:#}");
    assert_eq!(criterion(&judged(&text, "--uncertainty-k 2"), "us-cdc")["met"], false);
    let dried = judged(&text, "--dryer");
    assert_eq!(rows(&dried["criteria"]).len(), 1);
    assert_eq!(criterion(&dried, "insects-dryer")["met"], true);
}

#[test]
fn a_gap_counts_for_nothing_and_is_told() {
    let file = logged(&T1);
    let torn: Vec<&str> =
        file.lines().enumerate().filter(|(at, _)| !(70..80).contains(at)).map(|(_, line)| line).collect();
    let text = run(&torn.join("\n"), "--minutes").done();
    assert!(text.contains("Warning: drum (°C): no reading from minute 34.0 to 39.5"), "{text}");
    assert!(text.contains("us-cdc: NOT MET") && text.contains("permits nothing"), "{text}");
}

#[test]
fn files_that_cannot_be_judged_are_refused_in_one_sentence_with_their_line() {
    let mut rows_over_a_week = String::from("minutes,drum (°C)\n");
    (0..1_000_000_u32).for_each(|row| rows_over_a_week.push_str(&format!("{},20\n", f64::from(row) / 60.0)));
    let files = [
        ("", "", "empty"),
        ("minutes,drum (°C)\n0,20\n1,160\n", "--minutes", "line 3: 160 °C is too hot"),
        ("minutes,drum\n0,68\n1,160\n", "--minutes", "could be °C or °F"),
        ("minutes,drum (°C)\n0,20\n2,60\n1,60\n", "--minutes", "line 4"),
        ("minutes,drum (°C)\n0,20\n1,60\n1,60\n", "--minutes", "line 4"),
        ("minutes,drum (°C)\n0,20\n1,NaN\n", "--minutes", "line 3: “NaN” is no temperature"),
        ("time,drum (°C)\n0,20\n1,60\n", "", "--time minutes"),
        ("seconds,drum (°C)\n0,20\n1,60\n", "--minutes", "you said minutes"),
        ("seconds,drum (°C)\n0,20\n1,60\n", "--time minutes", "you said minutes"),
        ("time,A,B,C\n14:00:00,68,68,68\n14:00:30,104,104,104\n", "", "could be °C or °F"),
        ("minutes,drum (°C)\n0,20\n20,70\n40,70\n", "--minutes", "1200 s apart"),
        (&rows_over_a_week, "--minutes", "604800 rows"),
    ];
    for (file, options, says) in files {
        let said = run(file, options).fails(1, &["trace.csv", says]);
        assert_eq!(said.trim_end().lines().count(), 1, "{said}");
    }
    Program::new().run("estimate laundry nowhere.csv", &[]).fails(1, &["nowhere.csv", "cannot be read"]);
    Program::new().run("estimate laundry", &[]).fails(2, &["TRACE"]);
    run(&logged(&T1), "--minutes --uncertainty-k -1").fails(2, &["--uncertainty-k"]);
}

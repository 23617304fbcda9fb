//! Files as loggers write them, and files that cannot be read in one way alone.

use super::*;

const HOW: How = How { minutes: false, unit: None, longest_step_seconds: 60.0 };

#[track_caller]
fn good(text: &str, how: How) -> Trace {
    parse(text.as_bytes(), how).unwrap_or_else(|fault| panic!("{fault}: {text}"))
}

#[track_caller]
fn bad(text: &str, how: How, says: &[&str]) {
    let said = parse(text.as_bytes(), how).expect_err(text).to_string();
    for part in says {
        assert!(said.contains(part), "“{part}” was not said: {said}");
    }
    assert_eq!(said.lines().count(), 1, "{said}");
}

#[test]
fn three_ways_of_time_two_units_and_two_separators_are_one_trace() {
    let minutes = How { minutes: true, ..HOW };
    let traces = [
        good("t,drum (°C)\n0,20\n0.5,71.1\n1,71.1\n", minutes),
        good("minutes;drum (°C)\n0;20\n0,5;71,1\n1;71,1\n", HOW),
        good("time,drum (°C)\n23:59:30,20\n00:00:00,71.1\n00:00:30,71.1\n", HOW),
        good("time,drum (°C)\n2026-03-02 14:00:00,20\n2026-03-02 14:00:30,71.1\n2026-03-02 14:01:00,71.1\n", HOW),
        good(
            "\u{feff}time\tdrum [C]\r\n2026-03-02T14:00:00Z\t20\r\n2026-03-02T14:00:30Z\t71,1\r\n2026-03-02T15:01:00+01:00\t71,1\r\n",
            HOW,
        ),
        good("# a logger\ntime,drum_f\n14:00:00,68\n14:00:30,159.98\n14:01:00,159.98\n", HOW),
        good("0,20\n0.5,71.1\n1,71.1\n", How { unit: Some(Unit::Celsius), ..minutes }),
        good("0,20\n0.5,71.1\n1,71.1\n", minutes),
    ];
    for trace in &traces {
        assert_eq!(trace.sensors.len(), 1, "{trace:?}");
        let readings: Vec<(f64, f64)> =
            trace.sensors[0].readings.iter().map(|it| (it.seconds, (it.celsius * 10.0).round() / 10.0)).collect();
        assert_eq!(readings, [(0.0, 20.0), (30.0, 71.1), (60.0, 71.1)], "{trace:?}");
    }
    assert!(traces[7].unit_inferred && !traces[0].unit_inferred);
    assert_eq!(traces[0].sha256.len(), 64);
}

#[test]
fn several_sensors_and_missing_readings() {
    let trace = good("min,A (C),B (C)\n0,20,21\n1,,71\n2,72,72\n3,72,\n", HOW);
    let lengths: Vec<usize> = trace.sensors.iter().map(|it| it.readings.len()).collect();
    assert_eq!((lengths, trace.rows), (vec![3, 3], 4));
    assert_eq!(trace.sensors[1].name, "B (C)");
    // The third sensor is not in degrees Celsius because it is called C.
    let text = "min,sensor A,sensor B,sensor C\n0,68,68,68\n1,72,72,72\n";
    bad(text, HOW, &["°C or °F", "--unit"]);
    // A degree sign in the letters of an old system.
    let old = parse(b"min;drum \xb0C\n0;20\n1;72,5\n", HOW).unwrap();
    assert!(!old.unit_inferred);
}

#[test]
fn what_can_be_read_in_two_ways_or_none_is_refused_with_its_line() {
    let minutes = How { minutes: true, ..HOW };
    bad("", HOW, &["empty"]);
    bad("\n\n", HOW, &["empty"]);
    bad("time,drum (°C)\n", HOW, &["fewer than two"]);
    bad("time\n1\n", HOW, &["line 1", "one column"]);
    bad("min,drum (°C)\n0,20\n2,70\n1,70\n", HOW, &["line 4", "before", "order"]);
    bad("min,drum (°C)\n0,20\n1,70\n1,70\n", HOW, &["line 4", "the same"]);
    bad("time,drum (°C)\n14:00,20\n13:00,70\n", HOW, &["line 3", "before"]);
    bad("time,drum (°C)\n0,20\n1,70\n", HOW, &["line 2", "--minutes"]);
    bad("time,drum (°C)\n03/04/2026 14:00,20\n", HOW, &["line 2", "is no time"]);
    bad("time,drum (°C)\n14:00,20\n2026-03-02 14:01,20\n", HOW, &["line 3", "is no time"]);
    bad("t,drum (°C)\n0,NaN\n1,inf\n", minutes, &["line 2", "NaN", "no temperature"]);
    bad("t,drum (°C)\nNaN,20\n", minutes, &["line 2", "no time"]);
    bad("t,drum (°C)\n0,20\n1,71,3\n", minutes, &["line 3", "semicolons"]);
    bad("t,drum (°C)\n0,20\n1,160\n", minutes, &["line 3", "160 °C", "--unit f"]);
    bad("t,drum (°F)\n0,15\n1,72\n", minutes, &["line 2", "15 °F", "--unit c"]);
    bad("t,drum (°F)\n0,68\n1,160\n", How { unit: Some(Unit::Celsius), ..minutes }, &["line 1", "header says °F"]);
    bad("t,a (°C),b (°F)\n0,20,68\n1,20,68\n", minutes, &["line 1", "some in °F"]);
    bad("t,drum\n0,68\n1,160\n", minutes, &["could be °C or °F", "68 to 160"]);
    bad("t,a (°C),b (°C)\n0,20,\n1,20,\n", minutes, &["“b (°C)”", "fewer than two"]);
    bad("t,drum (°C)\n0,20\n5,70\n10,70\n15,70\n", minutes, &["300 s apart", "60 s"]);
    let nul = parse(b"a\0b", HOW).unwrap_err().to_string();
    assert!(nul.contains("plain text"), "{nul}");
    // What is hostile is shown harmless.
    bad("t,drum (°C)\n0,\u{1b}[2Jx\n", minutes, &["line 2", "�[2Jx"]);
}

#[test]
fn more_than_a_week_of_seconds_is_refused() {
    let mut text = String::from("min,drum (°C)\n");
    for row in 0..1_000_000_u32 {
        text.push_str(&format!("{},20\n", f64::from(row) / 60.0));
    }
    bad(&text, HOW, &["line 604802", "604800 rows", "one cycle"]);
}

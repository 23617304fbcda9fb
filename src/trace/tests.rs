//! Files as loggers write them, and files that cannot be read in one way alone.

use chrono::TimeZone as _;

use super::*;

const HOW: How = How { times: None, unit: None, zone: None, house: None, longest_step_seconds: 60.0 };
const MINUTES: How = How { times: Some(TimesAre::Minutes), ..HOW };

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
    let traces = [
        good("t,drum (°C)\n0,20\n0.5,71.1\n1,71.1\n", MINUTES),
        good("t [s],drum (°C)\n0,20\n30,71.1\n60,71.1\n", HOW),
        good("t,drum (°C)\n0:00,20\n0:30,71.1\n1:00.0,71.1\n", How { times: Some(TimesAre::MinutesSeconds), ..HOW }),
        good("minutes;drum (°C)\n0;20\n0,5;71,1\n1;71,1\n", HOW),
        good("time,drum (°C)\n23:59:30,20\n00:00:00,71.1\n00:00:30,71.1\n", HOW),
        good("time,drum (°C)\n2026-03-02 14:00:00,20\n2026-03-02 14:00:30,71.1\n2026-03-02 14:01:00,71.1\n", HOW),
        good(
            "\u{feff}time\tdrum [C]\r\n2026-03-02T14:00:00Z\t20\r\n2026-03-02T14:00:30Z\t71,1\r\n2026-03-02T15:01:00+01:00\t71,1\r\n",
            HOW,
        ),
        good("# a logger\ntime,drum [F]\n14:00:00,68\n14:00:30,159.98\n14:01:00,159.98\n", HOW),
        good("0,20\n0.5,71.1\n1,71.1\n", How { unit: Some(Unit::Celsius), ..MINUTES }),
    ];
    for trace in &traces {
        assert_eq!(trace.sensors.len(), 1, "{trace:?}");
        let readings: Vec<(f64, f64)> =
            trace.sensors[0].readings.iter().map(|it| (it.seconds, (it.celsius * 10.0).round() / 10.0)).collect();
        assert_eq!(readings, [(0.0, 20.0), (30.0, 71.1), (60.0, 71.1)], "{trace:?}");
    }
    assert_eq!(traces[0].read_as, "°C as its header says; times in minutes as was said");
    assert_eq!(traces[1].read_as, "°C as its header says; times in seconds as its header says");
    assert_eq!(traces[8].read_as, "°C as was said; times in minutes as was said");
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
    assert!(old.read_as.starts_with("°C as its header says"));
}

#[test]
fn what_can_be_read_in_two_ways_or_none_is_refused_with_its_line() {
    bad("", HOW, &["empty"]);
    bad("\n\n", HOW, &["empty"]);
    bad("time,drum (°C)\n", HOW, &["fewer than two"]);
    bad("time\n1\n", HOW, &["line 1", "one column"]);
    bad("min,drum (°C)\n0,20\n2,70\n1,70\n", HOW, &["line 4", "before", "order"]);
    bad("min,drum (°C)\n0,20\n1,70\n1,70\n", HOW, &["line 4", "the same"]);
    bad("time,drum (°C)\n14:00:00,20\n13:00:00,70\n", HOW, &["line 3", "before"]);
    bad("time,drum (°C)\n0,20\n1,70\n", HOW, &["line 2", "--time minutes or --time seconds"]);
    bad("time,drum (°C)\n03/04/2026 14:00,20\n", HOW, &["line 2", "is no time"]);
    bad("time,drum (°C)\n14:00:00,20\n2026-03-02 14:01,20\n", HOW, &["line 3", "is no time"]);
    bad("time,drum (°C)\n2026-03-02T14:00:00Z,20\n2026-03-02 14:01,20\n", HOW, &["line 3", "is no time"]);
    bad("t,drum (°C)\n0,NaN\n1,inf\n", MINUTES, &["line 2", "NaN", "no temperature"]);
    bad("t,drum (°C)\nNaN,20\n", MINUTES, &["line 2", "no time"]);
    bad("t,drum (°C)\n0,20\n1,71,3\n", MINUTES, &["line 3", "semicolons"]);
    bad("t,drum (°C)\n0,20\n1,160\n", MINUTES, &["line 3", "160 °C", "writes °F, mend the header"]);
    bad("t,drum\n0,20\n1,160\n", How { unit: Some(Unit::Celsius), ..MINUTES }, &["line 3", "160 °C", "--unit f"]);
    bad("t,drum (°F)\n0,15\n1,72\n", MINUTES, &["line 2", "15 °F", "writes °C, mend the header"]);
    bad("t,drum (°F)\n0,68\n1,160\n", How { unit: Some(Unit::Celsius), ..MINUTES }, &["line 1", "header says °F"]);
    bad("t,a (°C),b (°F)\n0,20,68\n1,20,68\n", MINUTES, &["line 1", "some in °F"]);
    bad("t,drum\n0,68\n1,160\n", MINUTES, &["could be °C or °F", "68 to 160"]);
    bad("t,a (°C),b (°C)\n0,20,\n1,20,\n", MINUTES, &["“b (°C)”", "fewer than two"]);
    bad("t,drum (°C)\n0,20\n5,70\n10,70\n15,70\n", MINUTES, &["300 s apart", "60 s"]);
    let nul = parse(b"a\0b", HOW).unwrap_err().to_string();
    assert!(nul.contains("plain text"), "{nul}");
    // What is hostile is shown harmless.
    bad("t,drum (°C)\n0,\u{1b}[2Jx\n", MINUTES, &["line 2", "�[2Jx"]);
}

#[test]
fn more_than_a_week_of_seconds_is_refused() {
    let mut text = String::from("min,drum (°C)\n");
    for row in 0..1_000_000_u32 {
        text.push_str(&format!("{},20\n", f64::from(row) / 60.0));
    }
    bad(&text, HOW, &["line 604802", "604800 rows", "one cycle"]);
}

/// One minute at 75 °C a row, the first cold.
fn rows(times: &[&str], columns: usize) -> String {
    times.iter().enumerate().fold(String::new(), |text, (at, time)| {
        let degrees = if at == 0 { ",40" } else { ",75" };
        text + time + &degrees.repeat(columns) + "\n"
    })
}

const NO_UNIT: &str = "could be °C or °F";
const DIFFER: &str = "and you said";

/// Headers of the sensors, what may be said of them, and what becomes of it. A unit that is not certain gives no trace.
#[test]
fn degrees_are_read_by_a_sign_a_bracket_or_a_word_and_else_asked_for() {
    use Unit::{Celsius, Fahrenheit};
    let certain = [
        ("drum °C", Celsius),
        ("drum ° c", Celsius),
        ("drum ºC", Celsius),
        ("℃", Celsius),
        ("drum (C)", Celsius),
        ("drum [ c ]", Celsius),
        ("{C} drum", Celsius),
        ("drum in Celsius", Celsius),
        ("deg C", Celsius),
        ("temp degC", Celsius),
        ("drum, degrees c", Celsius),
        ("RH drum (°C)", Celsius),
        ("drum °F", Fahrenheit),
        ("℉", Fahrenheit),
        ("drum (F)", Fahrenheit),
        ("[F]", Fahrenheit),
        ("FAHRENHEIT", Fahrenheit),
        ("deg. F", Fahrenheit),
    ];
    let uncertain = [
        "C",
        "F",
        "c",
        "drum C",
        "C drum",
        "x_c",
        "T_F",
        "sensor_c",
        "p_C",
        "T/C",
        "drum-F",
        "1C",
        "Chamber",
        "drum",
        "°",
        "°Channel",
        "(Core)",
        "[cold]",
        "(C1)",
        "deg",
        "Celsius2",
        "°C/°F",
        "Celsius/F",
        "temp_degC",
        "(C) or (F)",
        "temp",
    ];
    let with = |unit| How { unit, ..MINUTES };
    let file = |header: &str| format!("t;{header}\n") + &rows(&["0", "1", "2"], 1).replace(',', ";");
    let as_read = |unit: Unit| (unit.celsius(40.0), unit.celsius(75.0));
    for (header, unit) in certain {
        for said in [None, Some(unit)] {
            let readings = &good(&file(header), with(said)).sensors[0].readings;
            assert_eq!((readings[0].celsius, readings[1].celsius), as_read(unit), "{header}");
        }
        bad(&file(header), with(Some(unit.other())), &["line 1", "the header says", DIFFER]);
    }
    for header in uncertain {
        bad(&file(header), with(None), &[NO_UNIT, "--unit c or --unit f"]);
        for unit in [Celsius, Fahrenheit] {
            let readings = &good(&file(header), with(Some(unit))).sensors[0].readings;
            assert_eq!((readings[0].celsius, readings[1].celsius), as_read(unit), "{header}");
        }
    }
    // Of several columns each says it, or somebody does.
    let several = |header: &str, said| {
        let columns = header.split(',').count();
        parse((format!("t,{header}\n") + &rows(&["0", "1", "2"], columns)).as_bytes(), with(said))
            .map(|trace| trace.sensors[0].readings[1].celsius)
            .map_err(|fault| fault.to_string())
    };
    for (header, said, wanted) in [
        ("A,B,C", None, Err(NO_UNIT)),
        ("A,B,C", Some(Fahrenheit), Ok(Fahrenheit)),
        ("A,B,C (°C)", None, Err("the column “A” could be °C or °F: only the others say °C")),
        ("A,B,C (°C)", Some(Celsius), Ok(Celsius)),
        ("A,B,C (°C)", Some(Fahrenheit), Err(DIFFER)),
        ("A (C),B (C)", None, Ok(Celsius)),
        ("A (C),B (F)", None, Err("some columns are in °C and some in °F")),
        ("A (C),B (F)", Some(Celsius), Err("some columns are in °C and some in °F")),
        ("(A),(B),(C)", None, Err("the column “(A)” could be")),
    ] {
        match (several(header, said), wanted) {
            (Ok(found), Ok(unit)) => assert_eq!(found, unit.celsius(75.0), "{header}"),
            (Err(why), Err(says)) => assert!(why.contains(says), "{header}: {why}"),
            (found, _) => panic!("{header} {said:?}: {found:?}"),
        }
    }
}

/// No header and no readings, however cold, make up for a unit that nobody stated.
#[test]
fn no_readings_tell_the_unit() {
    for degrees in (-40..=220).step_by(3) {
        let text = format!("t,drum\n0,{degrees}\n1,{}\n2,{}\n", degrees + 1, f64::from(degrees) * 1.5);
        bad(&text, MINUTES, &[NO_UNIT]);
    }
}

#[test]
fn what_is_no_thermometer_is_left_out_and_told() {
    for header in ["Humidity (%RH)", "RH %", "%RH", "Relative humidity", "humidity", "Dew Point (°C)", "dewpoint"] {
        let text = format!("min,drum (°C),{header},door (°C)\n0,20,99,21\n1,75,low,76\n2,75,,76\n");
        let trace = good(&text, HOW);
        let names: Vec<&str> = trace.sensors.iter().map(|it| it.name.as_str()).collect();
        assert_eq!(names, ["drum (°C)", "door (°C)"], "{header}");
        assert_eq!(trace.sensors[1].readings[1].celsius, 76.0);
        assert!(trace.assumed.iter().any(|it| it.contains(header)) && trace.read_as.contains(header), "{header}");
        bad(&format!("min,{header}\n0,20\n1,75\n"), HOW, &["line 1", "no column of temperatures"]);
        bad(&format!("min,{header}\n0,20\n1,75\n"), How { unit: Some(Unit::Celsius), ..HOW }, &["no column"]);
    }
    for header in ["RH", "RH drum", "T/RH (°C) (%)"] {
        let said = How { unit: Some(Unit::Celsius), ..HOW };
        bad(&format!("min,{header}\n0,20\n1,75\n"), said, &["line 1", "may be a temperature or a humidity"]);
    }
}

/// Headers of the time, what may be said of it, rows, and how long the file is then. What is not certain gives no trace.
#[test]
fn times_are_read_as_the_header_or_somebody_says_and_else_asked_for() {
    use TimesAre::{HoursMinutes, HoursMinutesSeconds, Minutes, MinutesSeconds, Seconds};
    let counted = ["0", "1", "2"];
    let short = ["0:00", "0:01", "0:02"];
    let uneven = ["00:10", "00:11", "00:13"];
    let long = ["0:00:00", "0:00:30", "0:01:00"];
    let dated = ["2026-03-02 14:00", "2026-03-02 14:01", "2026-03-02 14:02"];
    let seconds = "say which: --time minutes or --time seconds";
    let colons = "say which: --time hh:mm or --time mm:ss";
    type Row<'a> = (&'a str, Option<TimesAre>, &'a [&'a str], Result<f64, &'a str>);
    let table: &[Row<'_>] = &[
        ("time", None, &counted, Err(seconds)),
        ("t", None, &counted, Err(seconds)),
        ("No.", None, &counted, Err(seconds)),
        ("s", None, &counted, Err(seconds)),
        ("t_s", None, &counted, Err(seconds)),
        ("x_min", None, &counted, Err(seconds)),
        ("min/s", None, &counted, Err(seconds)),
        ("minutes (h)", None, &counted, Err(seconds)),
        ("min sec", None, &counted, Err(seconds)),
        ("Time (s)", None, &counted, Ok(2.0)),
        ("t [s]", None, &counted, Ok(2.0)),
        ("sec", None, &counted, Ok(2.0)),
        ("Seconds", None, &counted, Ok(2.0)),
        ("minutes", None, &counted, Ok(120.0)),
        ("Time (min)", None, &counted, Ok(120.0)),
        ("time", Some(Minutes), &counted, Ok(120.0)),
        ("time", Some(Seconds), &counted, Ok(2.0)),
        ("min sec", Some(Seconds), &counted, Ok(2.0)),
        ("seconds", Some(Minutes), &counted, Err(DIFFER)),
        ("Time (s)", Some(Minutes), &counted, Err(DIFFER)),
        ("minutes", Some(Seconds), &counted, Err(DIFFER)),
        ("hours", None, &counted, Err("the header says that its times are hours")),
        ("Time (h)", Some(Minutes), &counted, Err(DIFFER)),
        ("Time (ms)", Some(Seconds), &counted, Err(DIFFER)),
        ("time", None, &short, Err(colons)),
        ("time", None, &uneven, Err(colons)),
        ("time", Some(HoursMinutes), &short, Ok(120.0)),
        ("time", Some(MinutesSeconds), &short, Ok(2.0)),
        ("time", Some(MinutesSeconds), &uneven, Ok(3.0)),
        ("mm:ss", None, &short, Ok(2.0)),
        ("Time (min:sec)", None, &short, Ok(2.0)),
        ("mm:ss", Some(HoursMinutes), &short, Err(DIFFER)),
        ("h:mm", None, &short, Ok(120.0)),
        ("h:mm", Some(MinutesSeconds), &short, Err(DIFFER)),
        ("minutes", None, &short, Err("is no time in minutes, as its header says")),
        ("time", Some(Seconds), &short, Err("is no time in seconds, as was said")),
        ("time", Some(HoursMinutesSeconds), &short, Err("is no time in hh:mm:ss")),
        ("time", None, &long, Ok(60.0)),
        ("time", Some(HoursMinutesSeconds), &long, Ok(60.0)),
        ("time", Some(HoursMinutes), &long, Err("is no time in hh:mm")),
        ("time", Some(MinutesSeconds), &long, Err("is no time in mm:ss")),
        ("seconds", None, &long, Err("is no time in seconds")),
        ("time", None, &dated, Ok(120.0)),
        ("yyyy-mm-dd hh:mm", None, &dated, Ok(120.0)),
        ("time", Some(HoursMinutes), &dated, Ok(120.0)),
        ("time", Some(MinutesSeconds), &dated, Err("has a date")),
        ("seconds", None, &dated, Err("has a date")),
    ];
    for (header, times, cells, wanted) in table {
        let text = format!("{header},drum (°C)\n") + &rows(cells, 1);
        match (parse(text.as_bytes(), How { times: *times, ..HOW }), wanted) {
            (Ok(trace), Ok(seconds)) => assert_eq!(trace.seconds, *seconds, "{header} {times:?} {cells:?}"),
            (Err(why), Err(says)) => assert!(why.to_string().contains(says), "{header} {times:?} {cells:?}: {why}"),
            (found, _) => panic!("{header} {times:?} {cells:?}: {found:?}"),
        }
    }
}

/// A trace that was given says of its degrees and of its times who said so, and no combination gives one of which nobody did.
#[test]
fn whatever_is_read_was_stated_by_the_header_or_by_somebody() {
    let of_time = ["t", "C", "time", "s", "minutes", "Time (s)", "mm:ss", "h", "min/s", "x_min"];
    let of_sensor = ["a", "C", "F", "x_c", "T_F", "a (C)", "b °F", "a Celsius", "RH", "Humidity %", "", "°", "a/b"];
    let cells: [&[&str]; 4] =
        [&["0", "1", "2"], &["0:00", "0:01", "0:02"], &["0:00:00", "0:00:30", "0:01:00"], &["7", "7.5", "8"]];
    let times = std::iter::once(None).chain(TimesAre::ALL.map(Some));
    let mut headers = vec![];
    for time in of_time {
        for one in of_sensor {
            headers.extend(of_sensor.map(|other| (time, one, other)));
        }
    }
    let (mut read, mut refused) = (0, 0);
    for times in times {
        for unit in [None, Some(Unit::Celsius), Some(Unit::Fahrenheit)] {
            for (time, one, other) in &headers {
                for cells in cells {
                    let text = format!("{time},{one},{other}\n") + &rows(cells, 2);
                    let Ok(trace) = parse(text.as_bytes(), How { times, unit, ..HOW }) else {
                        refused += 1;
                        continue;
                    };
                    read += 1;
                    let (degrees, of_times) = trace.read_as.split_once("; ").unwrap();
                    let certain = |name: &str| ["a (C)", "b °F", "a Celsius"].contains(&name);
                    let by_header = trace.sensors.iter().all(|it| certain(&it.name));
                    assert_eq!(degrees.ends_with(BY_HEADER), by_header, "{text}: {}", trace.read_as);
                    assert!(by_header || unit.is_some(), "{text}: {}", trace.read_as);
                    let three = cells[0].split(':').count() == 3;
                    let header = matches!(*time, "minutes" | "Time (s)" | "mm:ss");
                    assert!(three || header || times.is_some(), "{text}: {}", trace.read_as);
                    assert!(three || of_times.contains(BY_HEADER) || of_times.contains(BY_OPTION), "{}", trace.read_as);
                }
            }
        }
    }
    assert!(read > 1000 && refused > 1000, "{read} {refused}");
}

/// A reading each half minute from an instant on, as a logger by this clock writes it.
fn by_clock(from: &str, minutes: u32, zone: impl chrono::TimeZone<Offset: std::fmt::Display>) -> String {
    let from: DateTime<Utc> = from.parse().unwrap();
    let row = |half: u32| {
        let at = (from + chrono::TimeDelta::seconds(i64::from(half) * 30)).with_timezone(&zone);
        format!("{},75\n", at.format("%Y-%m-%d %H:%M:%S"))
    };
    (0..=minutes * 2).map(row).fold("time,drum (°C)\n".to_owned(), |text, row| text + &row)
}

#[test]
fn a_night_on_which_clocks_are_changed_is_told_and_never_guessed_over() {
    use chrono_tz::Europe::Berlin;
    let house = How { house: Some(Berlin), ..HOW };
    let said = |zone: &str| How { zone: Some(LoggerZone::read(zone).unwrap()), ..house };
    let is_whole = |trace: &Trace, minutes: f64| {
        let readings = &trace.sensors[0].readings;
        trace.seconds == minutes * 60.0 && readings.windows(2).all(|pair| pair[1].seconds - pair[0].seconds == 30.0)
    };
    // Put forward at 01:00 UTC: no gap by the clock of the house.
    let spring = by_clock("2026-03-29T00:30:00Z", 60, Berlin);
    let trace = good(&spring, house);
    assert!(is_whole(&trace, 60.0), "{trace:?}");
    assert_eq!(trace.began, Some(Utc.with_ymd_and_hms(2026, 3, 29, 0, 30, 0).unwrap()));
    assert!(trace.assumed[0].contains("the hospital's clock, Europe/Berlin"), "{trace:?}");
    assert!(good(&spring, said("Europe/Berlin")).assumed.is_empty());
    assert!(good(&spring, HOW).is_by_an_unknown_clock && good(&spring, HOW).began.is_none());
    // A logger whose clock nobody puts forward shows an hour that never was.
    let winter = by_clock("2026-03-29T00:30:00Z", 60, chrono::FixedOffset::east_opt(3600).unwrap());
    bad(&winter, house, &["put forward in Europe/Berlin", "--zone"]);
    assert!(is_whole(&good(&winter, said("+01:00")), 60.0));
    // Put back at 01:00 UTC: two hours that look alike.
    let autumn = by_clock("2026-10-24T23:30:00Z", 180, Berlin);
    bad(&autumn, house, &["put back in Europe/Berlin", "came twice", "--zone", "UTC"]);
    bad(&autumn, HOW, &["as if the clock was put back there", "--zone Europe/Berlin", "UTC"]);
    let trace = good(&autumn, said("Europe/Berlin"));
    assert!(is_whole(&trace, 180.0));
    assert_eq!(trace.began, Some(Utc.with_ymd_and_hms(2026, 10, 24, 23, 30, 0).unwrap()));
    // Within the two hours: going back shows which is which, and nothing else does.
    let across = by_clock("2026-10-25T00:10:00Z", 80, Berlin);
    assert!(is_whole(&good(&across, said("Europe/Berlin")), 80.0));
    for (from, minutes) in [("2026-10-25T00:10:00Z", 40), ("2026-10-25T01:10:00Z", 40), ("2026-10-25T01:10:00Z", 90)] {
        let inside = by_clock(from, minutes, Berlin);
        bad(&inside, house, &["came twice"]);
        bad(&inside, said("Europe/Berlin"), &["came twice", "say which of the two"]);
        for (zone, hour) in [("+02:00", 0), ("+01:00", 1)] {
            let began = good(&inside, said(zone)).began;
            assert_eq!(began, Some(Utc.with_ymd_and_hms(2026, 10, 25, hour, 10, 0).unwrap()));
        }
    }
    let utc = by_clock("2026-10-24T23:30:00Z", 180, Utc);
    assert!(is_whole(&good(&utc, said("UTC")), 180.0));
    // Times of day have no date by which to know.
    let of_day: String = autumn.lines().map(|line| line.trim_start_matches("2026-10-25 ").to_owned() + "\n").collect();
    bad(&of_day, house, &["as if the clock was put back there"]);
}

#[test]
fn a_zone_stands_in_the_header_in_the_times_or_is_said_and_they_agree() {
    let house = How { house: Some(chrono_tz::Europe::Berlin), ..HOW };
    let said = How { zone: Some(LoggerZone::read("+01:00").unwrap()), ..house };
    let file = |header: &str, end: &str| {
        format!("{header};drum (°C)\n2026-06-10T10:00:00{end};75\n2026-06-10T10:01:00{end};75\n")
    };
    let began = |text: &str, how| good(text, how).began.unwrap().format("%R").to_string();
    for (header, end, how, wanted) in [
        ("time", "", house, "08:00"),
        ("time", "", said, "09:00"),
        ("time", "Z", house, "10:00"),
        ("time (UTC)", "", house, "10:00"),
        ("time, GMT+05:00", "", house, "05:00"),
        ("time gmt-2", "", house, "12:00"),
        ("utctime", "", house, "08:00"),
        ("time UTC+1", "", said, "09:00"),
    ] {
        assert_eq!(began(&file(header, end), how), wanted, "{header}");
    }
    bad(&file("time (UTC)", ""), said, &["line 1", "by UTC, and you said UTC+01:00"]);
    bad(&file("time", "Z"), said, &["line 2", "a zone of its own", "leave out --zone"]);
    bad("time,drum (°C)\n10:00:00,75\n10:01:00,75\n", said, &["line 2", "no date", "leave out --zone"]);
}

#[test]
fn a_logger_of_one_minute_that_slips_or_rounds_is_read_and_a_slower_one_is_not() {
    let tenths: String = (0..60).map(|row| format!("{row}.1,75\n")).collect();
    let slips: String = (0..60).map(|row| format!("{},75\n", row * 60 + row / 7)).collect();
    let rounds: String = (0..60).map(|row| format!("{:.1},75\n", f64::from(row) * 60.4 / 60.0)).collect();
    let gaps = |header: &str, rows: &str| {
        let trace = good(&format!("{header},drum (°C)\n{rows}"), HOW);
        let reserve = Reserve { uncertainty: 0.0, longest_step_seconds: 60.0 };
        crate::science::trace::Seen::of(&trace.sensors[0].readings, reserve).gaps.len()
    };
    assert_eq!((gaps("min", &tenths), gaps("seconds", &slips), gaps("min", &rounds)), (0, 0, 0));
    assert_eq!(gaps("min", &tenths.replace("30.1,75\n", "")), 1);
    let slow: String = (0..60).map(|row| format!("{},75\n", row * 67)).collect();
    bad(&format!("seconds,drum (°C)\n{slow}"), HOW, &["67 s apart", "60 s or less"]);
}

//! `estimate heat`, `eggs`, `clearance` and `mix`.

use serde_json::Value;

use super::super::cli::program::{Program, rows};
use super::{ask, close, refuses};

#[track_caller]
fn stages(words: &str, wanted: [&str; 3]) {
    let answer = ask(words);
    let found: Vec<&str> = rows(&answer["stages"]).iter().filter_map(|it| it["verdict"].as_str()).collect();
    assert_eq!(found, wanted, "{words}: {answer:#}");
    assert!(rows(&answer["stages"]).iter().all(|it| it["basis"].as_str().is_some_and(|basis| !basis.is_empty())));
}

#[test]
fn heat_and_cold_are_told_by_stage() {
    // Kells & Goblirsch 2011; Olson et al. 2013. Adults, nymphs, eggs.
    stages("heat --core-c 45 --minutes 95", ["shown-dead", "not-shown", "shown-alive"]);
    stages("heat --core-c 50 --minutes 30", ["shown-dead", "not-shown", "not-shown"]);
    stages("heat --core-c 48 --minutes 95", ["shown-dead", "shown-dead", "shown-dead"]);
    stages("heat --core-c 54.8 --minutes 1", ["shown-dead", "shown-dead", "shown-dead"]);
    stages("heat --core-c -17 --minutes 120", ["not-shown", "not-shown", "not-shown"]);
    stages("heat --core-c -21 --minutes 2880", ["shown-dead", "shown-dead", "shown-dead"]);
    refuses("heat --core-c 130 --minutes 30", &["core temperature", "130 °C", "Celsius"]);
    refuses("heat --core-c 50 --minutes -1", &["minutes", "-1"]);
    refuses("heat --core-c NaN --minutes 1", &["--core-c", "NaN"]);
}

#[test]
fn eggs_have_days_within_the_range_and_words_outside() {
    close(&ask("eggs --temp-c 22")["days"], 105.0 / 9.0, 1e-9);
    for (celsius, words) in [("15", "slow, unknown"), ("13", "not proved dead"), ("31", "outside")] {
        let answer = ask(&format!("eggs --temp-c {celsius}"));
        assert_eq!(answer["days"], Value::Null);
        assert!(answer["words"].as_str().is_some_and(|it| it.contains(words)), "{answer}");
    }
    assert_eq!(ask("eggs --temp-c 18")["checks_on_days"], serde_json::json!([14, 21]));
    refuses("eggs --temp-c 72", &["room temperature", "72 °C", "Celsius"]);
    refuses("eggs --temp-c warm", &["--temp-c", "“warm”"]);
}

#[test]
fn clearance_has_the_odds_and_their_warnings() {
    // From 50 %, by Bayes' rule: 7.3 % after two visual checks, 1.2 % after two trap periods.
    let visual = ask("clearance --prior 0.5 --method visual --checks 2");
    close(&visual["still_infested"], 0.073, 1e-2);
    close(&ask("clearance --prior 50 --method traps --checks 2")["still_infested"], 0.012, 1e-2);
    assert!(visual["warnings"].to_string().contains("independent"), "{visual}");
    assert!(ask("clearance --method staff --checks 1")["warnings"].to_string().contains("no figure was published"));
    let certain = Program::new().run("estimate clearance --prior 50 --method traps --checks 40", &[]).done();
    assert!(certain.contains("still infested with under 0.01 %"), "never nothing: {certain}");
    refuses("clearance --method visual --checks 2 --finds 100", &["--finds", "99.9 % at most"]);
    refuses("clearance --prior 120 --method visual --checks 2", &["--prior", "120"]);
    refuses("clearance --method visual --checks 1.5", &["--checks", "whole"]);
    refuses("clearance --method visual --checks -1", &["--checks"]);
    Program::new().run("estimate clearance --method smell --checks 1", &[]).fails(2, &["smell", "visual"]);
}

#[test]
fn mixing_follows_the_manuals_and_supplies_no_number() {
    // UNHCR 1997, annexes 6 and 7: 100 L of 2.5 % from 50 %: 5 L and 95 L, 19 parts to one.
    let mix = ask("mix --concentrate-percent 50 --finished-percent 2.5 --finished-litres 100");
    close(&mix["concentrate_litres"], 5.0, 1e-9);
    close(&mix["water_litres"], 95.0, 1e-9);
    close(&mix["parts_of_water"], 19.0, 1e-9);
    // WHO 1997, ch. 9: 25 % liquid, 1 g/m² at 40 mL/m², so 100 mL a litre; 25 m² take a litre.
    let dose = ask("mix --concentrate-percent 25 --grams-per-m2 1 --ml-per-m2 40 --area-m2 25");
    close(&dose["finished_litres"], 1.0, 1e-9);
    close(&dose["concentrate_litres"], 0.1, 1e-9);
    close(&ask("mix --area-m2 25 --ml-per-m2 40")["finished_litres"], 1.0, 1e-9);
    refuses("mix", &["label"]);
    refuses("mix --area-m2 25", &["--area-m2", "--ml-per-m2"]);
    refuses("mix --concentrate-percent 2.5 --finished-percent 50 --finished-litres 1", &["strength wanted", "50 %"]);
    refuses("mix --area-m2 0 --ml-per-m2 40", &["area", "0 m²"]);
}

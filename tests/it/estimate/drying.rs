//! `estimate drying`: the worked examples of `science::drying`, asked for by name.

use super::super::cli::program::Program;
use super::{ask, close, refuses};

const W1: &str = "drying --temp-c 22 --rh 45 --supply-temp-c 22 --supply-rh 45 --air-changes 2 --volume-m3 50";

#[test]
fn worked_examples_have_their_hours() {
    // Closed form and scipy 1.17.1 `solve_ivp` agree; hours and humidity printed to four decimals.
    let table = [
        ("22 45 22 45 2 50", "25,40,3,5", 1.2332, 0.7845, 0.62516, 2076.3),
        ("22 20 -5 80 2 50", "25,40,3,5", 0.7094, 0.6446, 0.62516, 1736.8),
        ("24 60 26 70 2 50", "25,40,3,5", 2.8686, 0.9157, 0.60054, 2733.5),
        ("22 45 22 45 0.3 50", "25,40,2,5", 4.0979, 0.9371, 0.69834, 2478.3),
        ("22 45 22 45 2 50", "6,80,3,1", 1.7220, 0.5828, 0.53916, 1545.0),
        ("23 40 23 40 6 60", "20,40,5,15", 0.4214, 0.6200, 0.64292, 1753.7),
    ];
    for (room, surface, hours, humidity, factor, p_inf) in table {
        let numbers: Vec<&str> = room.split(' ').collect();
        let names = ["--temp-c", "--rh", "--supply-temp-c", "--supply-rh", "--air-changes", "--volume-m3"];
        let options: Vec<String> = names.iter().zip(numbers).map(|(name, it)| format!("{name} {it}")).collect();
        let drying = ask(&format!("drying {} --surface {surface}", options.join(" ")));
        assert_eq!(drying["never"], false);
        let one = &drying["surfaces"][0];
        close(&one["hours"], hours, 1.5e-4);
        close(&one["rh_at_end"], humidity, 1e-4);
        close(&one["surface_factor"], factor, 2e-5);
        close(&drying["p_inf_pa"], p_inf, 3e-5);
        assert!(drying["capacity_litres"].is_null());
        close(&drying["slow_hours"], 2.4 * hours, 1.5e-4);
    }
}

#[test]
fn several_surfaces_are_each_told_and_the_slowest_sets_the_check() {
    let drying = ask(&format!("{W1} --surface 6,80,2,1 --surface 18,40,3,5 --surface 3,40,3,5"));
    close(&drying["surfaces"][0]["hours"], 2.98070, 1e-5);
    close(&drying["surfaces"][1]["hours"], 1.23015, 1e-5);
    close(&drying["likely_hours"], 2.98070, 1e-5);
}

#[test]
fn never_is_told_with_its_cause_and_what_helps() {
    let sealed = ask("drying --temp-c 22 --rh 45 --air-changes 0 --volume-m3 50 --surface 25,40,2,5");
    assert_eq!((&sealed["never"], &sealed["cause"]), (&true.into(), &"sealed".into()));
    assert!(sealed["surfaces"][0]["hours"].is_null() && sealed["likely_hours"].is_null());
    close(&sealed["capacity_litres"], 0.5339, 1e-4);
    let words =
        "estimate drying --temp-c 22 --rh 80 --supply-temp-c 22 --supply-rh 100 --air-changes 2 --surface 25,40,3,5";
    let text = Program::new().run(words, &[]).done();
    for part in ["will not dry like this", "saturated", "What would help: close the window", "wets this room"] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
}

#[test]
fn litres_and_area_are_enough_and_all_else_is_listed_as_assumed() {
    let drying = ask("drying --litres 1 --area-m2 25");
    // W1 by the defaults.
    close(&drying["surfaces"][0]["hours"], 1.2332, 1.5e-4);
    assert!(drying["assumed"].as_array().is_some_and(|it| it.len() >= 7), "{drying}");
    let heavy = ask("drying --litres 3 --area-m2 25 --ventilation fan --surface-class soft");
    assert!(heavy["warnings"][0].as_str().is_some_and(|it| it.contains("120 mL")), "{heavy}");
}

#[test]
fn the_label_is_never_shortened() {
    close(&ask("drying --litres 1 --area-m2 25 --label-minutes 240")["first_check_hours"], 4.0, 1e-9);
    close(&ask("drying --litres 1 --area-m2 25 --label-minutes 30")["first_check_hours"], 1.2332, 1.5e-4);
}

#[test]
fn rooms_and_sprays_that_cannot_be_are_refused_in_one_sentence() {
    refuses(&format!("{W1} --surface 0,40,3,5"), &["surface area", "0 m²"]);
    refuses(&format!("{W1} --surface 25,0,3,5"), &["water on a surface"]);
    refuses(&format!("{W1} --surface 25,40,3"), &["--surface", "four numbers"]);
    refuses(&format!("{W1} --surface 25,NaN,3,5"), &["NaN", "no number"]);
    refuses("drying --litres 0 --area-m2 25", &["--litres", "0 L"]);
    refuses("drying --litres 1 --area-m2 0", &["--area-m2", "0 m²"]);
    refuses("drying --litres 1", &["--area-m2"]);
    refuses("drying --litres 1 --area-m2 25 --surface 1,1,3,5", &["not both"]);
    refuses("drying --litres 1 --area-m2 25 --temp-c 72", &["72 °C", "Celsius"]);
    refuses("drying --litres 1 --area-m2 25 --temp-c 45", &["45 °C", "10 to 35"]);
    refuses("drying --litres 1 --area-m2 25 --rh -5", &["--rh", "-5"]);
    refuses("drying --litres 1 --area-m2 25 --supply-rh 50", &["--supply-temp-c", "together"]);
    refuses("drying --litres 1 --area-m2 25 --air-changes -1", &["air changes", "-1"]);
    refuses("drying --litres 1 --area-m2 25 --volume-m3 0", &["room volume"]);
}

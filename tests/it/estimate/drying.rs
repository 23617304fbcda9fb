//! `estimate drying`: the worked examples of `science::drying`, asked for by name.

use serde_json::Value;

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
    let drying = ask("drying --litres 1 --area-m2 25 --volume-m3 50");
    // W1 by the defaults.
    close(&drying["surfaces"][0]["hours"], 1.2332, 1.5e-4);
    assert!(drying["assumed"].as_array().is_some_and(|it| it.len() >= 7), "{drying}");
    let heavy = ask("drying --litres 3 --area-m2 25 --ventilation fan --surface-class soft");
    assert!(heavy["warnings"][0].as_str().is_some_and(|it| it.contains("120 mL")), "{heavy}");
}

#[track_caller]
fn assumed(drying: &Value) -> Vec<String> {
    let all = drying["assumed"].as_array().expect("what was assumed");
    all.iter().map(|it| it.as_str().expect("a sentence").to_owned()).collect()
}

#[track_caller]
fn assumes(drying: &Value, text: &str) {
    assert!(assumed(drying).iter().any(|it| it.contains(text)), "{text} is not among {:#?}", assumed(drying));
}

#[test]
fn a_housekeeper_says_strokes_and_zones_and_is_told_what_was_assumed() {
    let drying = ask("drying --strokes 400 --ml-per-stroke 1.2 --zones mattress,bed-frame,skirting");
    close(&drying["litres"], 0.48, 1e-12);
    // 2 + 1.5 + 2 m², evenly.
    close(&drying["surfaces"][0]["grams_per_m2"], 480.0 / 5.5, 1e-12);
    let zones: Vec<&str> = (0..3).filter_map(|at| drying["surfaces"][at]["zone"].as_str()).collect();
    assert_eq!(zones, ["mattress", "bed-frame", "skirting"]);
    assert_eq!((&drying["surfaces"][0]["class"], &drying["surfaces"][1]["class"]), (&"soft".into(), &"board".into()));
    // What lies flat and soft has still air over it.
    assert_eq!((&drying["surfaces"][0]["h_c"], &drying["surfaces"][0]["u_sub"]), (&2.0.into(), &1.0.into()));
    assert_eq!(drying["room_kind"], "patient-room");
    for text in [
        "a patient-room (--room-kind)",
        "15 m² of floor",
        "2.7 m from floor to ceiling",
        "mattress: 2 m², soft (--zones mattress=AREA_M2:CLASS)",
        "one bed (--beds)",
        "spread evenly over the zones' 5.5 m²",
        "h_c 2 W/(m² K) for still air, U_sub 1",
        "ventilation on (--ventilation)",
        "2 air changes an hour",
        "the window closed (--window)",
        "22 °C in the room",
        "45 % relative humidity",
    ] {
        assumes(&drying, text);
    }
    let text = Program::new().run("estimate drying --litres 0.3 --zones all --room-kind bathroom", &[]).done();
    for part in ["skirting, 1 m² with", "Assumed: hamper: 0.5 m², board", "Assumed: 4.5 m² of floor in a bathroom"] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
}

#[test]
fn everything_that_was_assumed_can_be_said() {
    // Two beds, one zone of the room: 2 · 2.0 + 2.0 m².
    let beds = ask("drying --litres 0.3 --zones mattress,skirting --beds 2");
    close(&beds["surfaces"][0]["area_m2"], 4.0, 1e-12);
    close(&beds["surfaces"][1]["area_m2"], 2.0, 1e-12);
    let said = ask("drying --room-kind day-room --floor-m2 60 --height-m 3 --temp-c 21 --rh 50 --pressure-pa 101325 \
                    --ventilation off --air-changes 0.5 --supply-temp-c 21 --supply-rh 40 \
                    --window open --window-changes 3 --outdoor-temp-c 5 --outdoor-rh 85 \
                    --litres 0.5 --zones sofa=3:soft,floor=9:massive --label-minutes 60");
    close(&said["volume_m3"], 180.0, 1e-12);
    close(&said["air_changes"], 3.5, 1e-12);
    close(&said["surfaces"][1]["u_sub"], 15.0, 1e-12);
    let left = assumed(&said);
    assert_eq!(left.len(), 3, "what spreads and what flows has no option but --surface: {left:#?}");
}

#[test]
fn an_open_window_helps_with_dry_air_and_harms_with_wet_air() {
    let closed = "drying --litres 1 --area-m2 25";
    let hours = |more: &str| ask(&format!("{closed} {more}"))["likely_hours"].as_f64();
    let shut = hours("--window closed").expect("it dries");
    assert!(hours("--window open --outdoor-temp-c -5 --outdoor-rh 80").expect("it dries") < shut);
    // 28 °C 75 % is 1.0726 of what a room at 22 °C can hold.
    let wet = ask(&format!("{closed} --window open --window-changes 10 --outdoor-temp-c 28 --outdoor-rh 75"));
    assert!(wet["warnings"][0].as_str().is_some_and(|it| it.contains("close the window")), "{wet}");
    assert!(wet["likely_hours"].as_f64().is_none_or(|it| it > shut), "{wet}");
    let unsaid = ask(&format!("{closed} --window open"));
    assert!(unsaid["warnings"][0].as_str().is_some_and(|it| it.contains("nobody said")), "{unsaid}");
    // By the balance itself: two changes of 1190.139 Pa (22 °C 45 %) and two of 337 or 321 Pa over ice are four of their mean.
    let mixed =
        ask(&format!("{W1} --surface 25,40,3,5 --window open --window-changes 2 --outdoor-temp-c 0 --outdoor-rh 90"));
    let (a, supply) = (3.1176, (1190.139 + 550.04) / 2.0);
    close(&mixed["p_inf_pa"], (4.0 * supply + a * 2644.753) / (4.0 + a), 1e-4);
}

#[test]
fn the_label_is_never_shortened() {
    close(&ask("drying --litres 1 --area-m2 25 --label-minutes 240")["first_check_hours"], 4.0, 1e-9);
    close(
        &ask("drying --litres 1 --area-m2 25 --volume-m3 50 --label-minutes 30")["first_check_hours"],
        1.2332,
        1.5e-4,
    );
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
    refuses("drying --litres 1 --area-m2 25 --volume-m3 50 --floor-m2 20", &["not both"]);
    refuses("drying --litres 1 --area-m2 25 --floor-m2 0", &["--floor-m2", "0 m²"]);
    refuses("drying --strokes 100 --area-m2 25", &["--ml-per-stroke", "together", "measuring jug"]);
    refuses("drying --strokes 0 --ml-per-stroke 1 --area-m2 25", &["--strokes", "0"]);
    refuses("drying --strokes 100 --ml-per-stroke 1 --litres 1 --area-m2 25", &["not both"]);
    refuses("drying --litres 1 --area-m2 25 --zones mattress", &["not both"]);
    refuses("drying --litres 1 --zones mattress,mattress", &["mattress", "twice"]);
    refuses("drying --litres 1 --zones sofa", &["patient-room has no “sofa”", "mattress", "AREA_M2:CLASS"]);
    refuses("drying --litres 1 --zones mattress=0", &["area of a zone", "0 m²"]);
    refuses("drying --litres 1 --zones mattress:wool", &["massive, board or soft"]);
    refuses("drying --litres 1 --zones mattress --beds 1.5", &["--beds", "1.5"]);
    refuses("drying --litres 1 --zones mattress --surface-class soft", &["--surface-class"]);
    // Never sprayed: no time is told for it, whatever its area.
    refuses("drying --litres 1 --zones electronics=1:board", &["electronics", "never sprayed"]);
    refuses("drying --litres 1 --zones bedding", &["bedding", "not sprayed"]);
    refuses("drying --litres 1 --area-m2 25 --outdoor-temp-c 5 --outdoor-rh 80", &["--window open"]);
    refuses("drying --litres 1 --area-m2 25 --window open --outdoor-temp-c 5", &["--outdoor-rh", "together"]);
}

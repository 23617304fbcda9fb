//! `estimate air`.

use super::super::cli::program::Program;
use super::{ask, close, refuses};

#[test]
fn air_has_the_numbers_of_the_reference_library() {
    // psychrolib 2.5.0 at 101 325 Pa, 22 °C, 45 %; tolerances as in `science::air`.
    for humidity in ["45", "0.45"] {
        let air = ask(&format!("air --temp-c 22 --rh {humidity} --pressure-pa 101325"));
        close(&air["saturation_pa"], 2644.753, 1e-6);
        close(&air["humidity_ratio"], 0.0073920, 1e-5);
        close(&air["dew_point_c"], 9.5335, 1e-3);
        close(&air["wet_bulb_c"], 14.6722, 1e-3);
        close(&air["vapour_density_g_m3"], 8.7370, 1e-5);
    }
    // The same at 84 500 Pa.
    close(&ask("air --temp-c 22 --rh 45 --pressure-pa 84500")["humidity_ratio"], 0.0088849, 1e-5);
    let winter = ask("air --temp-c -5 --rh 80");
    close(&winter["vapour_pa"], 321.41, 1e-4);
    assert!(winter["warnings"][0].as_str().is_some_and(|it| it.contains("over ice")), "{winter}");
    assert_eq!(ask("air --temp-c 22 --rh 0")["dew_point_c"], serde_json::Value::Null);
}

/// The Rulebook says that it answers this. 698.0 Pa of vapour against 2644.753 Pa at 22 °C.
#[test]
fn outdoor_air_has_its_humidity_once_it_is_brought_indoors() {
    close(&ask("air --temp-c 5 --rh 80 --indoors-c 22")["indoors"]["relative_humidity"], 0.26391, 1e-4);
    assert_eq!(ask("air --temp-c 5 --rh 80")["indoors"], serde_json::Value::Null);
    let text = |words: &str| Program::new().run(&format!("estimate {words}"), &[]).done();
    assert!(text("air --temp-c 5 --rh 80 --indoors-c 22").contains("Brought indoors at 22 °C: 26.4 % relative"));
    assert!(text("air --temp-c 30 --rh 90 --indoors-c 22").contains("it wets the room"));
    refuses("air --temp-c 5 --rh 80 --indoors-c 700", &["room temperature", "700"]);
}

#[test]
fn as_text_it_names_its_source_and_what_was_assumed() {
    let text = Program::new().run("estimate air --temp-c 22 --rh 45", &[]).done();
    for part in ["9.53 °C", "Assumed: air pressure 101325 Pa", "Source: Hyland & Wexler", "permits nothing"] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
}

#[test]
fn air_that_cannot_be_is_refused_in_one_sentence() {
    refuses("air --temp-c 22 --rh 101", &["--rh", "101", "percent"]);
    refuses("air --temp-c 22 --rh -3", &["--rh", "-3"]);
    refuses("air --temp-c NaN --rh 45", &["--temp-c", "NaN"]);
    refuses("air --temp-c inf --rh 45", &["--temp-c", "inf"]);
    refuses("air --temp-c 22,5 --rh 45", &["--temp-c", "22,5", "22.5"]);
    refuses("air --temp-c 720 --rh 45", &["720 °C", "-60 to 60"]);
    refuses("air --temp-c 22 --rh 45 --pressure-pa 0", &["air pressure", "0 Pa"]);
    Program::new().run("estimate air --rh 45", &[]).fails(2, &["--temp-c"]);
    Program::new().run("estimate", &[]).fails(2, &["air"]);
}

//! The JSON shape of `estimate`: every field that is printed is documented, and every documented field is printed.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use super::super::cli::program::Program;
use super::super::cli::shape::paths;
use super::{ask, cited};

#[test]
fn the_page_and_the_estimates_name_the_same_fields() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/estimate-shape.md");
    let page = fs::read_to_string(page).expect("the page on the shape of estimates");
    let first_cell = |line: &str| line.strip_prefix("| `")?.split_once('`').map(|(path, _)| path.to_owned());
    let documented: BTreeSet<String> = page.lines().filter_map(first_cell).collect();
    let mut printed = BTreeSet::new();
    for words in [
        "air --temp-c 5 --rh 80 --indoors-c 22",
        "drying --litres 1 --area-m2 25",
        "heat --core-c 50 --minutes 30",
        "eggs --temp-c 22",
        "clearance --method visual --checks 1",
        "mix --area-m2 25 --ml-per-m2 40",
    ] {
        paths(&ask(words), "", &mut printed);
    }
    let it = Program::new();
    let gap = "minutes,drum (°C)\n0,20\n1,20\n2,20\n9,20\n10,20\n11,20\n";
    fs::write(it.path("trace.csv"), gap).expect("a trace");
    for words in ["estimate laundry trace.csv --minutes", "estimate laundry trace.csv --minutes --dryer"] {
        let answer = it.json(words);
        cited(&answer);
        paths(&answer, "", &mut printed);
    }
    let missing: Vec<_> = printed.difference(&documented).collect();
    assert!(missing.is_empty(), "printed, not documented: {missing:?}");
    let invented: Vec<_> = documented.difference(&printed).collect();
    assert!(invented.is_empty(), "documented, never printed: {invented:?}");
}

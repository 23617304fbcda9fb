//! What estimates are made of, from the command line: the hospital's own floors, strokes of a pump, air that no estimate is
//! made for, and a fan that was brought.

use super::job::{found_and_confirmed, prepared_and_sprayed};
use super::program::{Program, SPRAYED};

const SPRAY: &str = "spray 4N-02 --purpose infested --product RS-A --bags none --patient-inside no";

/// Room 4N-02 confirmed and ready to be sprayed; it is 12:30 of the hospital's clock.
fn confirmed() -> Program {
    let mut it = Program::walked();
    found_and_confirmed(&mut it);
    it.note("CN", "move-patient 4N-02-A --washed yes", &[]).done();
    it.at("2026-03-02T11:30:00Z");
    it
}

/// Sprayed from 12:00 to 12:20, with these options besides.
fn sprayed(it: &Program, options: &str) {
    let zones = SPRAYED.join(",");
    it.note("TE", &format!("{SPRAY} {options} --zones {zones}"), &["--at", "12:00", "--finish", "12:20"]).done();
}

/// The line of the room's page on what was taken for the estimate.
fn taken(it: &Program) -> String {
    let page = it.run("room 4N-02", &[]).done();
    page.lines().find(|line| line.contains("Taken: ")).unwrap_or_else(|| panic!("{page}")).to_owned()
}

#[test]
fn the_floor_of_a_room_is_set_without_closing_it_and_its_estimate_goes_by_it() {
    let mut it = Program::walked();
    let open = it.open();
    for wrong in ["0", "-4", "NaN", "501", "large"] {
        it.note("AB", "set-room 4N-02", &[&format!("--floor-area={wrong}")]).fails(2, &["--floor-area", "1 to 500"]);
    }
    let said = it.note("AB", "set-room 4N-02 --floor-area 32.5", &[]).done();
    assert!(said.contains("floor 32.5 m²"), "{said}");
    assert_eq!(it.open(), open, "how large it is closes nothing");
    it.note("CN", "occupied 4N-02-A", &[]).done();
    found_and_confirmed(&mut it);
    prepared_and_sprayed(&mut it);
    assert!(taken(&it).contains("32.5 m² of floor, as the hospital's book has it"), "{}", taken(&it));
}

#[test]
fn a_floor_in_the_room_list_is_in_the_book_from_the_first_day() {
    let list = super::program::ROOMS.replace(",kind,beds", ",kind,beds,floor_m2");
    let it = Program::with_rooms(&list.replace("4N-02-A 4N-02-B", "4N-02-A 4N-02-B,24"));
    let options = "setup rooms.csv --rehearsal --hospital Invented --time-zone Europe/Berlin --lead";
    it.run(options, &["AB,Our lead"]).done();
    let ledger = String::from_utf8(it.ledger()).expect("text");
    assert_eq!(ledger.matches("floor_dm2:Some(2400)").count(), 1);
    assert_eq!(ledger.matches("floor_dm2").count(), 1, "a room of which nobody said it has no such field");
    let it = Program::with_rooms(&list.replace("4N-02-A 4N-02-B", "4N-02-A 4N-02-B,NaN"));
    it.run(options, &["AB,Our lead"]).fails(1, &["line 3, column floor_m2", "“NaN” is no floor of a room", "1 to 500"]);
}

#[test]
fn strokes_of_a_pump_are_kept_as_millilitres_and_as_they_were_counted() {
    let it = confirmed();
    it.note("TE", &format!("{SPRAY} --strokes 400"), &[]).fails(2, &["--ml-per-stroke", "measuring jug"]);
    sprayed(&it, "--strokes 750 --ml-per-stroke 1.2");
    let record = it.json("room 4N-02")["room"]["records"][0].clone();
    assert_eq!((&record["amount_ml"], &record["strokes"]), (&900.into(), &750.into()), "{record:#}");
    let page = it.run("record 4N-02", &[]).done();
    assert!(page.contains("900 mL (750 strokes of 1.2 mL)"), "{page}");
    assert!(!taken(&it).contains("nobody said how much"), "{}", taken(&it));
}

#[test]
fn a_spray_with_impossible_air_says_why_there_is_no_estimate() {
    let it = confirmed();
    it.note("TE", &format!("{SPRAY} --humidity 140"), &[]).fails(2, &["--humidity", "0 to 100"]);
    sprayed(&it, "--celsius 90 --humidity 45");
    let page = it.run("room 4N-02", &[]).done();
    assert!(page.contains("No estimate of when it is dry, by entry "), "{page}");
    assert!(page.contains("air temperature: 90 °C is outside -60 to 60 °C"), "{page}");
    assert_eq!(it.state("4N-02"), "treated-wet");
}

#[test]
fn a_drying_during_which_a_fan_was_brought_teaches_nothing() {
    let mut it = confirmed();
    sprayed(&it, "--amount-ml 900");
    it.at("2026-03-02T12:40:00Z");
    let all = SPRAYED.join(",");
    let aired = ["--ventilation", "on"];
    it.note("HK", &format!("dry-check 4N-02 --began 13:30 --damp {}", SPRAYED[0]), &aired).done();
    it.at("2026-03-02T13:50:00Z");
    let check = format!("dry-check 4N-02 --began 14:40 --dry {all}");
    it.note("HK", &format!("{check} --changed soon"), &aired).fails(2, &["--changed", "fan-brought, window-opened"]);
    let said = it.note("HK", &format!("{check} --changed fan-brought"), &aired).done();
    assert!(said.contains("14 zones dry; on; a fan brought since"), "{said}");
    assert_eq!(it.state("4N-02"), "treated-dry");
    let said = it.run("dryings", &[]).done();
    assert!(said.contains("No drying teaches anything yet") && said.contains("Left out: 1 drying"), "{said}");
}

//! The whole job by the command line alone: from a room list to a room that is proved clear.

use super::program::{Program, SPRAYED, rows};

/// A cycle that meets the default criteria: CDC, MMWR 52(RR-10), 2003, for hygiene (71 °C for 25 min with detergent);
/// Naylor & Boase, J. Econ. Entomol. 103:136-139, 2010, for insects (60 °C wash; over 40 °C in the dryer for 30 min).
const GOOD_CYCLE: &str = "--wash-celsius 75 --wash-minutes 30 --detergent yes --dry-celsius 75 --dry-minutes 45";

#[test]
fn a_new_hospital_opens_after_its_walk_and_not_before() {
    let mut it = Program::new();
    let line = "setup rooms.csv --rehearsal --hospital Invented --time-zone Europe/Berlin --lead";
    let said = it.run(line, &["AB,Our lead"]).done();
    assert!(said.contains("1 ward, 3 rooms and 4 beds"), "{said}");
    assert!(said.contains("dryhold note ward-walk 4N --as AB"), "{said}");
    assert!(it.open().is_empty());
    it.at("2026-03-02T08:05:00Z");
    it.note("AB", "ward-walk 4N", &[]).done();
    assert!(it.open().is_empty(), "nobody has said which beds are empty");
    it.note("AB", "occupancy 4N --occupied 4N-02-A --empty 4N-01-A,4N-02-B,4N-03-A", &[]).done();
    assert_eq!(it.open(), ["4N-01-A", "4N-02-B", "4N-03-A"]);
    it.run(line, &["AB,Our lead"]).fails(1, &["there is already a file"]);
}

#[test]
fn the_whole_job() {
    let mut it = Program::walked();
    it.note("CN", "occupied 4N-02-A", &[]).done();
    found_and_confirmed(&mut it);
    prepared_and_sprayed(&mut it);
    dried(&mut it);
    laundered_and_made(&mut it);
    returned(&mut it);
    cleared(&mut it);
}

pub(super) fn found_and_confirmed(it: &mut Program) {
    it.at("2026-03-02T09:00:00Z");
    it.note("CN", "finding 4N-02 --seen 4N-02-A/mattress=dark-spots", &[]).done();
    assert_eq!(it.state("4N-02"), "suspect");
    assert_eq!(it.open(), ["4N-01-A", "4N-03-A"]);
    it.at("2026-03-02T09:40:00Z");
    let inspect = it.task("4N-02", "full inspection");
    it.note("HK", &inspect, &["--began", "10:15", "--looked", "all", "--seen", "4N-02-A/mattress=live-adult"]).done();
    assert_eq!(it.state("4N-02"), "confirmed");
}

pub(super) fn prepared_and_sprayed(it: &mut Program) {
    it.at("2026-03-02T10:00:00Z");
    it.note("CN", "move-patient 4N-02-A --washed yes --receiving 4N-03", &[]).done();
    assert_eq!(it.open(), ["4N-01-A"], "the receiving room waits for its inspection");
    it.at("2026-03-02T10:20:00Z");
    let steps = "specimen-kept,linens-bagged,clutter-out,insects-vacuumed,door-sign-up";
    it.note("HK", &format!("prepare 4N-02 --steps {steps} --bags B1,B2"), &[]).done();
    it.at("2026-03-02T11:30:00Z");
    let spray = "spray 4N-02 --purpose infested --product RS-A --bags none --patient-inside no --amount-ml 900";
    it.note("TE", &format!("{spray} --zones {}", SPRAYED.join(",")), &["--at", "12:00", "--finish", "12:20"]).done();
    assert_eq!(it.state("4N-02"), "treated-wet");
    it.at("2026-03-02T11:35:00Z");
    let treat = it.task("4N-02", "treat what is left to treat");
    it.note(
        "HK",
        &treat,
        &["--zones", "4N-02-A/bed-base,4N-02-B/bed-base,electronics,register", "--method", "steamed"],
    )
    .done();
    it.note("HK", "entered-wet 4N-02 --wiping no", &[]).done();
}

fn dried(it: &mut Program) {
    let all = SPRAYED.join(",");
    it.at("2026-03-02T12:00:00Z");
    let check = it.task("4N-02", "dry check");
    let aired = ["--ventilation", "window open"];
    it.note("HK", &format!("{check} --began 12:55 --dry {all}"), &aired).refused("label");
    it.at("2026-03-02T12:40:00Z");
    let (damp, dry) = (SPRAYED[0], SPRAYED[1..].join(","));
    it.note("HK", &format!("{check} --began 13:25 --dry {dry} --damp {damp}"), &aired).done();
    assert_eq!(it.state("4N-02"), "treated-wet", "one damp zone keeps the room wet");
    it.note("HK", "make-bed 4N-02-A --bags B1", &[]).refused("linens");
    it.at("2026-03-02T13:50:00Z");
    it.note("HK", &format!("{check} --began 14:40 --dry {all}"), &aired).done();
    assert_eq!(it.state("4N-02"), "treated-dry");
}

fn laundered_and_made(it: &mut Program) {
    it.at("2026-03-02T14:00:00Z");
    let launder = it.task("4N-02", "launder bag B1");
    let said = it.note("LA", &format!("{launder} --wash-celsius 58 --wash-minutes 20 --detergent yes"), &[]).done();
    assert!(said.contains("bag B1 stays outstanding: hygiene not met"), "{said}");
    let refused = it.note("AB", "return 4N-02", &[]).refused("return");
    for missing in
        ["bag B1 not laundered", "bag B2 not laundered", "bed 4N-02-A not made", "sleeper-chair not vacuumed"]
    {
        assert!(refused.contains(&format!("missing: {missing}")), "{refused}");
    }
    // The command that is named first can be typed as it stands.
    let first = refused.lines().find_map(|line| line.trim().strip_prefix("first: dryhold note "));
    let first = first.unwrap_or_else(|| panic!("a command: {refused}"));
    it.at("2026-03-02T15:00:00Z");
    it.note("LA", &format!("{first} {GOOD_CYCLE}"), &[]).done();
    let launder = it.task("4N-02", "launder bag B2");
    it.note("LA", &format!("{launder} {GOOD_CYCLE}"), &[]).done();
    let vacuum = it.task("4N-02", "vacuum the sprayed soft seats");
    it.note("HK", &format!("{vacuum} --zones sleeper-chair"), &[]).done();
    for (bed, bag) in [("4N-02-A", "B1"), ("4N-02-B", "B2")] {
        let make = it.task("4N-02", &format!("make bed {bed}"));
        it.note("HK", &format!("{make} --bags {bag}"), &[]).done();
    }
    assert_eq!(it.open(), ["4N-01-A"], "no bed opens before the return is signed");
}

fn returned(it: &mut Program) {
    it.at("2026-03-02T15:30:00Z");
    let sign = it.task("4N-02", "sign the return to service");
    it.note("HK", &sign, &[]).refused("role");
    it.note("AB", &sign, &[]).done();
    assert_eq!(it.state("4N-02"), "monitoring");
    assert_eq!(it.open(), ["4N-01-A", "4N-02-A", "4N-02-B"]);
    let inspect = it.task("4N-03", "full inspection");
    it.at("2026-03-02T15:50:00Z");
    it.note("HK", &inspect, &["--began", "16:40", "--looked", "all"]).done();
    assert_eq!(it.open(), ["4N-01-A", "4N-02-A", "4N-02-B"], "the patient who came may lie in that bed");
    it.note("CN", "empty 4N-03-A", &[]).done();
    assert_eq!(it.open(), ["4N-01-A", "4N-02-A", "4N-02-B", "4N-03-A"]);
    it.note("CN", "occupied 4N-02-A", &[]).done();
    let records = it.json("room 4N-02")["room"]["records"].clone();
    assert_eq!(records[0]["label_met"]["by"], "HK", "{records:#}");
    assert_eq!(
        (&records[0]["complete"], &records[0]["amount_ml"]),
        (&serde_json::Value::Null, &900.into()),
        "{records:#}"
    );
}

/// 60 days: StopPests in Housing, Northeastern IPM Center. An empty room proves nothing: Cooper et al. 2015.
fn cleared(it: &mut Program) {
    it.at("2026-03-03T09:00:00Z");
    let refused = it.note("AB", "clear 4N-02", &[]).refused("clear-days");
    assert!(refused.contains("of 60 days"), "{refused}");
    for day in ["03-16", "03-29", "04-12", "04-26"] {
        it.at(&format!("2026-{day}T10:00:00Z"));
        it.note("CN", "occupied 4N-02-A", &[]).done();
        let inspect = it.task("4N-02", "follow-up inspection");
        it.note("HK", &inspect, &["--began", &format!("2026-{day}T09:40:00Z"), "--looked", "all"]).done();
    }
    it.at("2026-05-03T10:00:00Z");
    let sign = it.task("4N-02", "sign the room clear");
    it.note("AB", &sign, &[]).done();
    assert_eq!(it.state("4N-02"), "clear");
    it.run("check", &[]).done();
}

#[test]
fn time_alone_clears_no_confirmed_room() {
    let mut it = Program::walked();
    it.note("HK", "finding 4N-01 --seen chair=live-adult", &[]).done();
    assert_eq!(it.state("4N-01"), "confirmed");
    it.at("2026-06-30T10:00:00Z");
    it.note("AB", "clear 4N-01", &[]).fails(3, &["refused ("]);
    assert_eq!(it.state("4N-01"), "confirmed");
}

#[test]
fn a_pin_is_asked_of_whoever_set_one_and_of_nobody_else() {
    let it = Program::walked();
    it.run_with("note set-pin CN --as CN --pin-stdin", &[], b"4711-long\n").done();
    it.note("CN", "occupied 4N-01-A", &[]).fails(2, &["--pin-stdin"]);
    it.run_with("note occupied 4N-01-A --as CN --pin-stdin", &[], b"wrong\n").fails(3, &["roster"]);
    assert_eq!(it.open().len(), 4, "nothing was noted");
    it.run_with("note occupied 4N-01-A --as CN --pin-stdin", &[], b"4711-long\n").done();
    it.note("HK", "finding 4N-03 --seen reported-bites", &[]).done();
    let ledger = String::from_utf8(it.ledger()).expect("text");
    assert!(!ledger.contains("4711-long"), "only a hash is kept");
}

#[test]
fn second_looks_closings_and_attestations_are_done_by_the_command_lines_of_their_tasks() {
    let mut it = Program::walked();
    it.note("AB", "out-of-service 4N-01 --reason", &["a leaking tap"]).done();
    it.note("HK", "finding 4N-03 --seen chair=dark-spots", &[]).done();
    it.at("2026-03-02T08:20:00Z");
    let timeline = it.json("room 4N-03");
    let finding = rows(&timeline["room"]["timeline"])[0]["entry"].to_string();
    it.note("AB", &format!("void 4N-03 --entry {finding} --why mistaken"), &[]).done();
    assert_eq!(it.open(), ["4N-02-A", "4N-02-B"], "a void opens nothing");
    let lift = it.task("4N-01", &task_beginning(&it, "4N-01", "end out of service"));
    it.note("AB", &lift, &[]).done();
    let look = it.task("4N-03", &task_beginning(&it, "4N-03", "second look"));
    it.note("AB", &look, &["--found", "nothing", "--note", "nothing there"]).fails(3, &["refused ("]);
    it.note("AB", "set-person IP --role infection-prevention --name", &["Prevention"]).done();
    it.note("IP", &look, &["--found", "nothing", "--note", "nothing there"]).done();
    assert_eq!(it.open().len(), 4);
}

/// The whole need of the task that begins so: the number of its entry stands at its end.
#[track_caller]
fn task_beginning(it: &Program, room: &str, beginning: &str) -> String {
    let tasks = it.json("tasks");
    let needs =
        rows(&tasks["tasks"]).iter().filter(|task| task["room"] == room).filter_map(|task| task["need"].as_str());
    let mut found = needs.filter(|need| need.starts_with(beginning));
    found.next().unwrap_or_else(|| panic!("no “{beginning}” in {tasks:#}")).to_owned()
}

#[test]
fn the_program_explains_itself() {
    let it = Program::new();
    let rules = it.run("rules", &[]).done();
    assert!(rules.contains("ward-walk") && rules.contains("source: "), "{rules}");
    assert!(it.run("rules --settings", &[]).done().contains("clear-days"));
    assert!(it.run("note spray --help", &[]).done().contains("--finish"));
    assert!(it.run("man note spray", &[]).done().contains(".TH"));
    for shell in ["bash", "zsh", "fish"] {
        assert!(it.run("completions", &[shell]).done().contains("dryhold"), "{shell}");
    }
    it.run("setup --sample", &[]).done();
    assert!(it.run("--version", &[]).done().starts_with("dryhold "));
}

#[test]
fn without_a_command_and_without_a_screen_beds_and_tasks_are_printed() {
    let it = Program::walked();
    let text = it.run("", &[]).done();
    assert!(text.contains("4 of 4 beds open (open as far as bed bugs are concerned; check cleaning)"), "{text}");
    assert!(text.contains("daily look") && text.contains("dryhold note inspect"), "{text}");
}

#[test]
fn a_trial_says_what_would_close_and_notes_nothing() {
    let it = Program::walked();
    let before = it.ledger();
    let said = it.note("AB", "set-room 4N-02 --name East --trial", &[]).done();
    for text in ["would be noted", "It closes 2 beds: 4N-02-A, 4N-02-B. It opens no bed.", "Nothing was noted."] {
        assert!(said.contains(text), "{said}");
    }
    it.note("CN", "set-room 4N-02 --name East --trial", &[]).refused("role");
    assert_eq!(it.ledger(), before);
}

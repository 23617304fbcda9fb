//! A line at a time: the whole job by questions and numbers, from a finding to beds that open.

use dryhold::domain::moves::{MOVES, On};

use super::program::{Program, SPRAYED};

/// What the program said to these lines, all of which somebody typed.
#[track_caller]
fn types(it: &Program, lines: &[&str]) -> String {
    let input = format!("{}\nquit\n", lines.join("\n"));
    it.run_with("lines", &[], input.as_bytes()).done()
}

/// The same, of something that is noted at the end.
#[track_caller]
fn notes(it: &Program, lines: &[&str]) -> String {
    let said = types(it, lines);
    assert!(said.contains("noted as entry "), "{said}");
    said
}

#[test]
fn the_whole_job_a_line_at_a_time() {
    let mut it = Program::walked();
    notes(&it, &["in CN", "note occupied 4N-02-A", "", "y"]);
    it.at("2026-03-02T08:30:00Z");
    let said = notes(&it, &["in CN", "note finding 4N-02", "5", "1", "", "", "", "y"]);
    assert!(said.contains("keep what was found in a closed jar"), "{said}");
    assert_eq!(it.state("4N-02"), "suspect");
    it.at("2026-03-02T09:40:00Z");
    // Full, begun at 10:15, a live adult in the first zone, nothing in the rest of that bed and in each other group.
    let looks = ["in HK", "next 4N-02", "1", "10:15", "", "1", "g", "g", "g", "g", "g"];
    let said = types(&it, &[looks.as_slice(), &["stop"]].concat());
    assert!(said.contains(" looked at") && said.contains("Nothing was noted."), "{said}");
    notes(&it, &[looks.as_slice(), &["", "", "y"]].concat());
    assert_eq!(it.state("4N-02"), "confirmed");
    it.at("2026-03-02T10:00:00Z");
    notes(&it, &["in CN", "note move-patient 4N-02", "1", "1", "4N-03", "2", "1", "", "", "y"]);
    it.at("2026-03-02T10:20:00Z");
    notes(&it, &["in HK", "note prepare 4N-02", "1,2,3,4,5", "B1,B2", "", "", "y"]);
    it.at("2026-03-02T11:30:00Z");
    let sprayed = SPRAYED.join(",");
    let spray = ["in TE", "note spray 4N-02", "infested", "1", &sprayed, "12:20", "none", "2", "900", ""];
    notes(&it, &[spray.as_slice(), &["at 12:00", "", "y"]].concat());
    assert_eq!(it.state("4N-02"), "treated-wet");
    let said = types(&it, &["wall", "exceptions", "4N-02"]);
    assert!(said.contains("DO NOT ENTER: 4N-02") && said.contains("state: treated-wet: DO NOT ENTER"), "{said}");
    it.at("2026-03-02T11:35:00Z");
    notes(&it, &["in HK", "note treat-zone 4N-02", "1,2,3,4", "2", "", "y"]);
    it.at("2026-03-02T13:50:00Z");
    let dry = vec!["1"; SPRAYED.len()];
    let check = ["in HK", "next 4N-02", "14:40"];
    let said = notes(&it, &[check.as_slice(), &dry, &["window open", "", "y"]].concat());
    assert!(said.contains(&format!("{0} of {0} answered", SPRAYED.len())), "{said}");
    assert_eq!(it.state("4N-02"), "treated-dry");
    it.at("2026-03-02T15:00:00Z");
    let failing = ["in LA", "note launder B1", "58", "20", "1", "", "", "", "", "", "n", "d"];
    let said = types(&it, &failing);
    assert!(said.contains("Note a load that does not settle bag B1?") && said.contains("Nothing was noted."), "{said}");
    for bag in ["note launder B1", "note launder B2"] {
        notes(&it, &["in LA", bag, "75", "30", "1", "75", "45", "1", "", "", "y"]);
    }
    notes(&it, &["in HK", "note vacuum 4N-02", "1", "", "y"]);
    notes(&it, &["in HK", "note make-bed 4N-02-A", "B1", "", "", "y"]);
    notes(&it, &["in HK", "note make-bed 4N-02-B", "B2", "", "", "y"]);
    it.at("2026-03-02T15:30:00Z");
    let refused = types(&it, &["in HK", "next 4N-02", "y"]);
    assert!(refused.contains("refused (role)"), "{refused}");
    let said = notes(&it, &["in AB", "next 4N-02", "y"]);
    assert!(said.contains("requirements met: "), "{said}");
    assert_eq!(it.open(), ["4N-01-A", "4N-02-A", "4N-02-B"]);
}

#[test]
fn every_move_can_be_asked_for_by_its_name_and_left_again() {
    let it = Program::walked();
    let before = it.ledger();
    for mv in MOVES {
        let target = match mv.on {
            On::Room | On::Place => "4N-02",
            On::Bed => "4N-02-A",
            On::Bag => "B1",
            On::Ward => "4N",
            On::Hospital => "",
            On::Named(_) => "X1",
        };
        let said = types(&it, &["in AB", &format!("note {} {target}", mv.verb), "?", "stop", "n"]);
        assert!(said.contains(mv.title), "{}: {said}", mv.verb);
        assert!(!said.contains("noted as entry"), "{}: {said}", mv.verb);
    }
    assert_eq!(it.ledger(), before, "nothing was noted");
}

#[test]
fn it_only_adds_lines_of_plain_text() {
    let it = Program::walked();
    let said = types(
        &it,
        &[
            "help",
            "beds",
            "open",
            "rooms",
            "tasks",
            "bags",
            "shift",
            "wall",
            "exceptions",
            "ledger 3",
            "moves 4N-02",
            "moves",
        ],
    );
    assert!(!said.contains('\x1b') && !said.contains(['│', '─', '┌']), "{said}");
    assert!(said.contains("4N-02-A: open") && said.contains("do NUMBER notes one of them."), "{said}");
    for (typed, answer) in [
        ("nonsense", "is no word and no room"),
        ("do 99", "no such number"),
        ("show 9Z-99", "there is no room or bed"),
        ("note nothing", "there is no move"),
        ("next 4N-02", "has no next step but the daily look"),
        ("note empty 4N-01-A", "say who you are first"),
        ("in ZZ", "is not on the roster"),
        ("undo", "say who you are first"),
    ] {
        let said = types(&it, &[typed]);
        assert!(said.contains(answer), "{typed}: {said}");
    }
}

#[test]
fn ones_own_entry_is_undone_a_line_at_a_time() {
    let it = Program::walked();
    notes(&it, &["in CN", "note empty 4N-01-A", "", "y"]);
    let said = notes(&it, &["in CN", "undo", "the wrong bed", "y"]);
    assert!(said.contains("Void entry") && said.contains("voided: the wrong bed"), "{said}");
}

/// What cannot be read and is not asked ends the questions; it never asks for ever.
#[test]
fn a_bag_that_nobody_knows_is_asked_for_its_room_and_ends_without_one() {
    let it = Program::walked();
    let load = ["in LA", "note launder NOPE", "75", "30", "1", "75", "45", "1", ""];
    let said = types(&it, &[load.as_slice(), &["", "stop"]].concat());
    assert!(said.contains("Room") && said.contains("Nothing was noted."), "{said}");
    assert!(said.len() < 8_000, "{} bytes: {said}", said.len());
    let said = types(&it, &[load.as_slice(), &["4N-02", "", "y"]].concat());
    assert!(said.contains("refused (") || said.contains("noted as entry"), "{said}");
}

#[test]
fn stop_is_stop_in_every_question_and_answers_outlive_a_no() {
    let it = Program::walked();
    notes(&it, &["in CN", "note empty 4N-01-A", "", "y"]);
    let said = types(&it, &["sign in CN", "undo", "stop"]);
    assert!(said.contains("Signed in: CN") && !said.contains("Void entry"), "{said}");
    assert!(said.contains("What was wrong with it: stop\nNothing was noted."), "{said}");
    let said = types(&it, &["in CN", "note empty", "stop"]);
    assert!(said.contains("Nothing was noted."), "{said}");
    let reason = ["in CN", "note out-of-service 4N-02", "a flood", "", "n", "", "note out-of-service 4N-02"];
    let said = notes(&it, &[reason.as_slice(), &["", "", "y"]].concat());
    assert!(said.contains("Your answers are back") && said.contains("out of service: a flood"), "{said}");
}

#[test]
fn zones_of_one_kind_are_one_line() {
    let it = Program::walked();
    let sprayed = SPRAYED.join(",");
    let spray = ["in TE", "note spray 4N-02", "preventive", "1", &sprayed, "09:00", "none", "2", "900", ""];
    notes(&it, &[spray.as_slice(), &["at 08:50", "", "y"]].concat());
    let said = types(&it, &["4N-02"]);
    let lines: Vec<&str> = said.lines().filter(|line| line.contains("not found dry, asked by entry ")).collect();
    assert_eq!(lines.len(), 1, "{said}");
    assert!(lines[0].starts_with(&format!("missing: {} zones ", SPRAYED.len())), "{said}");
}

#[test]
fn only_a_d_drops_what_was_answered() {
    let it = Program::walked();
    let form = ["in CN", "note finding 4N-02", "5", "1", "", "", "", "n"];
    // A second n is no d; the same move brings the answers back, and they are noted then.
    let said = types(&it, &[form.as_slice(), &["n", "", "note finding 4N-02", "", "", "", "y"]].concat());
    assert_eq!(said.matches("d drops them").count(), 2, "{said}");
    assert!(said.contains("The same move brings the answers back."), "{said}");
    assert!(said.contains("Your answers are back") && said.contains("noted as entry "), "{said}");
}

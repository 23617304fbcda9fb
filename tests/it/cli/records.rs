//! Records of the past from the command line: by the book of their day, completed later, and the times that are typed.

use serde_json::Value;

use super::program::{Program, SPRAYED};

fn record(it: &Program) -> Value {
    it.json("record 4N-02")["records"][0].clone()
}

/// Sprayed at noon of the hospital's clock, and noted at 14:40.
fn sprayed_and_noted_late(rest: &[&str]) -> Program {
    let mut it = Program::walked();
    it.note("AB", "set-policy record-rule --value 7-cfr-110.3", &[]).done();
    it.note("AB", "set-person TE --certificate CERT-1", &[]).done();
    it.at("2026-03-02T13:40:00Z");
    let zones = SPRAYED.join(",");
    let spray = ["--zones", &zones, "--finish", "12:20", "--bags", "none", "--at", "12:00", "--meant"];
    it.note("TE", "spray 4N-02 --purpose preventive --product RS-A --rate 1 --area 20", &[&spray, rest].concat())
        .done();
    it
}

#[test]
fn a_record_goes_by_the_book_of_its_day() {
    let mut it = sprayed_and_noted_late(&["--amount-ml", "900"]);
    let before = record(&it);
    assert_eq!((&before["complete"], &before["certificate"]), (&true.into(), &"CERT-1".into()), "{before:#}");
    it.at("2026-03-09T09:00:00Z");
    it.note("AB", "set-product RS-A --registration DEMO-0002 --active-ingredient other", &["--name", "Another name"])
        .done();
    it.note("AB", "set-person TE --certificate CERT-2", &[]).done();
    assert_eq!(record(&it), before, "renewed and renamed since");
    it.note("AB", "set-person TE --certificate none", &[]).done();
    assert_eq!(record(&it), before, "taken off since");
    let timeline = it.run("room 4N-02 --all", &[]).done();
    assert!(timeline.contains("Residual spray A, 900 mL"), "{timeline}");
    // What was not on the list that day is amended, and not read off a later list.
    let spray = before["spray"].to_string();
    it.note("AB", "amend 4N-02 --field registration --value DEMO-9 --entry", &[&spray]).done();
    assert_eq!(record(&it)["registration"], "DEMO-9");
}

#[test]
fn initials_with_entries_are_not_given_to_somebody_else() {
    let it = sprayed_and_noted_late(&[]);
    it.note("AB", "set-person TE --name", &["Somebody else"])
        .fails(2, &["other initials", "same-person", "A technician"]);
    it.note("AB", "set-person TE --same-person yes --name", &["A technician-Smith"]).done();
    assert_eq!(record(&it)["applicator"], "A technician");
    // Nothing stands under these yet.
    it.note("AB", "set-person LA --name", &["Another launderer"]).done();
}

#[test]
fn what_a_record_lacks_is_supplied_without_withdrawing_it() {
    let mut it = sprayed_and_noted_late(&[]);
    let row = record(&it);
    assert_eq!(row["missing"][0]["field"], "amount-ml", "{row:#}");
    assert_eq!((&row["noted_by"], &row["noted_minutes_late"]), (&"TE".into(), &140.into()), "{row:#}");
    let page = it.run("record 4N-02", &[]).done();
    for says in
        ["by TE, 2 h 20 late", "not stated, so it counts as yes", "within 14 days", "kept for 2 years", "INCOMPLETE"]
    {
        assert!(page.contains(says), "{says}: {page}");
    }
    let spray = row["spray"].to_string();
    it.at("2026-03-02T14:00:00Z");
    it.note("TE", "complete-spray 4N-02 --amount-ml 0 --spray", &[&spray]).fails(2, &["1 at least"]);
    it.note("TE", "complete-spray 4N-02 --amount-ml 900 --patient-inside yes --spray", &[&spray]).done();
    let row = record(&it);
    assert_eq!(
        (&row["amount_ml"], &row["complete"], &row["patient_inside"]),
        (&900.into(), &true.into(), &"yes".into())
    );
    assert!(it.run("record 4N-02", &[]).done().contains("YES, A PATIENT WAS INSIDE"));
    it.note("AB", "set-policy record-rule --value none", &[]).done();
    assert_eq!(record(&it)["complete"], Value::Null, "no rule says what is complete");
    let page = it.run("record 4N-02", &[]).done();
    assert!(page.contains("no rule was chosen") && !page.contains(" complete\n"), "{page}");
    assert!(it.run("room 4N-02", &[]).done().contains("no rule on records was chosen"));
}

#[test]
fn a_bare_time_belongs_to_the_day_on_which_it_happened() {
    let mut it = Program::walked();
    it.at("2026-03-05T08:00:00Z");
    let looks = ["--looked", "all", "--seen", "chair=cast-skin"];
    let inspect = |at: &str, began: &str| {
        let rest = ["--at", at, "--began", began];
        it.note("HK", "inspect 4N-01 --depth full", &[&looks[..], &rest[..]].concat())
    };
    let said = inspect("2026-03-03 10:30", "10:00").done();
    assert!(said.contains("begun 10:00"), "{said}");
    inspect("2026-03-03 10:30", "10:45").fails(2, &["--began", "later than 2026-03-03 10:30"]);
    let zones = SPRAYED.join(",");
    let spray = ["--zones", &zones, "--at", "2026-03-03 10:30", "--finish", "10:50", "--meant"];
    let said = it.note("TE", "spray 4N-02 --purpose preventive --product RS-A --bags none", &spray).done();
    assert!(said.contains("finished 10:50"), "{said}");
}

#[test]
fn what_a_form_would_ask_the_command_line_says_or_wants_said() {
    let mut it = Program::walked();
    it.at("2026-03-02T13:00:00Z");
    let spray = ["--zones", "chair", "--bags", "none", "--patient-inside", "no", "--at", "2:40"];
    let typed = "spray 4N-02 --purpose preventive --product RS-A";
    // What closes is noted all the same: nobody may be there to answer.
    let said = it.note("TE", typed, &spray).done();
    assert!(said.contains("Look again") && said.contains("11 h 20 ago"), "{said}");
    assert_eq!(it.state("4N-02"), "treated-wet");
    let said = it.note("TE", &format!("{typed} --meant"), &spray).done();
    assert!(!said.contains("Look again"), "{said}");
    let label = "set-product RS-A --label-minutes";
    it.note("AB", label, &["4294967295"]).fails(2, &["525600"]);
    it.note("AB", label, &["20160"]).fails(3, &["14 days", "--meant"]);
    it.note("AB", &format!("{label} 20160 --meant"), &[]).done();
    let said = it.note("AB", "set-policy clear-days --value 14", &[]).done();
    assert!(said.contains("under 60 d, published: StopPests in Housing"), "{said}");
    it.note("CN", "promise 4N-01-A --wanted", &["9999-12-31 23:59"]).fails(3, &["31 Dec 9999 23:59", "30 days"]);
    it.note("CN", "promise 4N-01-A --wanted", &["2025-01-01 10:00"]).fails(3, &["1 Jan 2025 10:00", "still to come"]);
}

#[test]
fn a_product_is_allowed_on_zones_that_there_are() {
    let mut it = Program::walked();
    it.note("AB", "set-product RS-A --allowed-on everything", &[]).fails(2, &["“everything” is no zone", "mattress"]);
    for nothing in ["bedding", "electronics,bedding", "4N-02-A/bed-base"] {
        let said = it.note("AB", "set-product RS-A --allowed-on", &[nothing]);
        assert!(said.err.contains("allowed nowhere") || said.err.contains("is no zone"), "{said}");
        said.fails(2, &["--allowed-on"]);
    }
    it.note("AB", "set-product RS-A --allowed-on chair", &[]).done();
    it.at("2026-03-02T11:30:00Z");
    let spray = ["--zones", "chair,table", "--bags", "none", "--patient-inside", "no", "--trial"];
    let said = it.note("TE", "spray 4N-02 --purpose preventive --product RS-A", &spray).done();
    assert!(said.contains("On screen it would be asked: Note a spray where it must not be? table"), "{said}");
    let spray = &spray[..spray.len() - 1];
    let said = it.note("TE", "spray 4N-02 --purpose preventive --product RS-A", spray).done();
    assert!(said.contains("noted as an exception: sprayed where it must not be: table"), "{said}");
    let number = said.split("entry ").nth(1).and_then(|rest| rest.split(':').next()).unwrap_or_default().to_owned();
    it.note("AB", "void 4N-02 --why slip --entry", &[&number]).done();
    let said = it.run("exceptions", &[]).done();
    assert!(said.contains("over: it was noted as sprayed where it must not be: table"), "{said}");
}

#[test]
fn an_inspection_that_is_noted_late_is_told_the_way_out() {
    let mut it = Program::walked();
    it.at("2026-03-02T11:30:00Z");
    let late = ["--began", "12:00", "--looked", "all", "--at", "12:10"];
    it.note("HK", "inspect 4N-02 --depth full", &late).fails(3, &["never noted late", "daily look (depth daily)"]);
    it.note("HK", "inspect 4N-02 --depth daily", &late).done();
    let help = it.run("note inspect --help", &[]).done();
    assert!(!help.contains("It closes beds from the moment it is noted.") && help.contains("--depth daily"), "{help}");
}

#[test]
fn a_floor_that_is_set_again_closes_nothing() {
    let it = Program::walked();
    let open = it.open();
    for floor in ["24", "24", "none"] {
        it.note("AB", "set-room 4N-02 --floor-area", &[floor]).done();
        assert_eq!(it.open(), open, "{floor}");
    }
    it.note("AB", "set-room 4N-02", &[]).done();
    assert_eq!(it.open(), open, "nothing was changed");
}

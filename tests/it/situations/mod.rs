//! What really happens on a ward, told from the entries to what every command and every screen then says. The hospital is
//! invented: two rooms that share a bathroom, a room with two beds, and one more.

mod hospital;

use hospital::{Hospital, SPRAYED_07};

/// Everything dry at half past eleven but one mattress: the room is wet as a whole, and says which thing keeps it so.
#[test]
fn one_damp_mattress_keeps_the_whole_room_wet() {
    let mut it = Hospital::sprayed("L1,L2");
    it.at("11:30");
    let dry = SPRAYED_07.into_iter().filter(|zone| *zone != "4N-07-B/mattress").collect::<Vec<_>>().join(",");
    it.note("HK", &format!("dry-check 4N-07 --began 11:20 --dry {dry} --damp 4N-07-B/mattress --ventilation fan"));
    it.at("11:31");
    it.state_is("4N-07", "treated-wet");
    it.are_closed(&["4N-07-A", "4N-07-B"], "wet: not found dry: 4N-07-B/mattress");
    let said = it.everything("LD", "4N-07");
    said.says("beds", "wet: not found dry: 4N-07-B/mattress");
    said.says("rooms", "check by touch, gloved: 1 zone not found dry");
    said.says("tasks", "12:30, in 59 min");
    said.says("room", "who may be inside: who sprays; after label time, who checks");
    said.says("Board", "Do not enter");
    said.says("Board", "4N-07 (wet since 08:40");
    said.says("Beds", "look about 12:30");
    said.says("Tasks", "look about 12:30");
    said.says("Room", "B mattress");
    said.says("Room", "DO NOT ENTER");
    said.nowhere("4N-07-A open");
    // An hour is advice after a damp check: an earlier check by touch counts.
    it.at("12:00");
    it.note("HK", "dry-check 4N-07 --began 11:55 --dry 4N-07-B/mattress --ventilation fan");
    it.state_is("4N-07", "treated-dry");
}

/// A patient came at ten; at eleven a spray of ten past nine is noted.
#[test]
fn a_spray_noted_after_the_patient_came_makes_an_occupied_wet_room() {
    let mut it = Hospital::open();
    it.at("10:00");
    it.note("CN", "occupied 4N-07-A");
    it.at("11:00");
    it.note("TE", &Hospital::spray("09:10", "09:30", "--bags none --patient-inside unknown"));
    it.at("11:01");
    it.state_is("4N-07", "treated-wet");
    it.are_closed(&["4N-07-A", "4N-07-B"], "wet");
    let said = it.everything("CN", "4N-07");
    said.says("rooms", "move the patient out now, washed and changed");
    said.says("room", "what became of the linens was not stated");
    said.says("room", "beds-made: not made since: bed 4N-07-A, bed 4N-07-B");
    said.says("Board", "move the patient out");
    said.says("Board", "4N-07 (PATIENT INSIDE");
    said.says("Beds", "move the patient out");
    said.says("Room", "DO NOT ENTER");
    said.says("Room", "Exception, entry 23: bed 4N-07-A is occupied and the room is WET: move the patient now");
    // It is marked for ever: also after the patient was moved.
    it.at("11:05");
    it.note("CN", "move-patient 4N-07 --beds 4N-07-A --washed yes --receiving 4N-08");
    let said = it.everything("CN", "4N-07");
    said.says("Room", "Exception, entry 23: bed 4N-07-A was occupied while the room was wet; patient out 11:05");
    it.are_closed(&["4N-08-A"], "receiving");
}

/// Three bags went out, two came back on the laundry's slips: the room is not given back, and the third is looked for.
#[test]
fn a_bag_that_is_missing_keeps_the_room_closed_and_is_looked_for() {
    let mut it = Hospital::dried("L1,L2,L3");
    for (bag, slip) in [("L1", "S1"), ("L2", "S2")] {
        it.note("LA", &format!("launder {bag} {} --slip {slip}", Hospital::CYCLE));
    }
    it.paid_but_for_linens();
    it.at("12:50");
    let refused = it.refuses("LD", "return 4N-07", "return");
    assert!(refused.contains("bag L3 not laundered"), "{refused}");
    let said = it.everything("LD", "4N-07");
    said.says("rooms", "treated-dry: NOT OPEN");
    said.says("beds", "bags: not laundered yet: bag L3");
    said.says("room", "bag L3");
    said.says("Bags", "L3");
    said.says("Room", "treated-dry: NOT OPEN");
    said.says("Room", "bag L3 laundered");
    it.are_closed(&["4N-07-A", "4N-07-B"], "bags: not laundered yet: bag L3");
    // A shift later it is overdue.
    it.at("21:00");
    let said = it.everything("LD", "4N-07");
    said.says("tasks", "OVERDUE 20:20");
    let line = said.text("tasks").lines().find(|line| line.contains("launder bag L3")).unwrap_or_default().to_owned();
    assert!(line.contains("housekeeping lead"), "it is the lead's to look for: {line}");
    said.says("shift", "4N-07: launder bag L3, due since 20:20; housekeeping lead");
    said.says("Tasks", "overdue");
    said.says("Bags", "overdue");
}

/// A bathroom that two rooms share is sprayed: they keep their state, and all their beds are closed for the one reason.
#[test]
fn a_shared_bathroom_that_is_wet_closes_the_beds_of_both_rooms() {
    let mut it = Hospital::open();
    it.at("10:00");
    it.note(
        "TE",
        "spray 4N-B --purpose preventive --product RS-A --at 09:30 --finish 09:45 --bags none --patient-inside no",
    );
    it.state_is("4N-B", "treated-wet");
    for (room, bed) in [("4N-05", "4N-05-A"), ("4N-06", "4N-06-A")] {
        it.state_is(room, "clear");
        it.are_closed(&[bed], "shared-space: shared space 4N-B (Shared bathroom): is treated-wet");
        it.has_reasons(bed, 1);
    }
    it.are_open(&["4N-07-A", "4N-07-B", "4N-08-A"]);
    let said = it.everything("CN", "4N-05");
    said.says("rooms", "treated-wet: DO NOT ENTER");
    said.says("Board", "4N-B (wet since");
    said.says("Beds", "4N-B");
    said.says("Room", "shared space 4N-B");
}

/// The recliner of a monitored room is sprayed again with the patient inside.
#[test]
fn a_recliner_sprayed_again_beside_the_patient_starts_the_follow_up_anew() {
    let mut it = Hospital::returned();
    it.at("13:30");
    it.note("CN", "occupied 4N-07-A");
    it.on("2026-03-04", "09:00");
    it.note("HK", "inspect 4N-07 --depth full --began 08:40 --looked all");
    assert!(it.everything("LD", "4N-07").text("Room").contains("1 of "), "one negative check counts");
    it.on("2026-03-05", "10:00");
    let again = "spray 4N-07 --purpose re-application --scope sleeper-chair --product RS-A --zones sleeper-chair";
    it.refuses("TE", &format!("{again} --bags none --patient-inside no"), "patient-inside");
    it.note("TE", &format!("{again} --at 09:50 --finish 09:55 --bags none --patient-inside yes"));
    it.state_is("4N-07", "treated-wet");
    let said = it.everything("LD", "4N-07");
    said.says("Room", "sprayed with a patient inside");
    said.says("rooms", "move the patient out now");
    it.at("10:05");
    it.note("CN", "move-patient 4N-07 --beds 4N-07-A --washed yes");
    it.note("HK", "prepare 4N-07 --steps linens-bagged --bags L9");
    it.at("11:10");
    let supply = it.task("4N-07", "supply what the spray left unstated");
    it.note("LD", &format!("{supply} --bags L9"));
    it.at("12:20");
    it.note("HK", "dry-check 4N-07 --began 12:10 --dry sleeper-chair --ventilation window");
    it.state_is("4N-07", "treated-dry");
    it.note("LA", &format!("launder L9 {}", Hospital::CYCLE));
    it.note("HK", "vacuum 4N-07 --zones sleeper-chair");
    for bed in ["4N-07-A", "4N-07-B"] {
        it.note("HK", &format!("make-bed {bed} --bags L9"));
    }
    it.note("LD", "return 4N-07");
    it.state_is("4N-07", "monitoring");
    let refused = it.refuses("LD", "clear 4N-07", "clear-days");
    assert!(refused.contains("0 of "), "the count starts again: {refused}");
}

/// All is done but a repair; at two in the night the acting lead gives the room back.
#[test]
fn an_acting_lead_returns_at_night_a_room_that_only_a_repair_keeps() {
    let mut it = Hospital::dried("L1");
    it.note("LA", &format!("launder L1 {}", Hospital::CYCLE));
    it.paid_but_for_linens();
    it.beds_made("L1");
    it.note("LD", "out-of-service 4N-07 --reason tap-repair");
    it.at("17:00");
    // Before her time she is a housekeeper.
    it.refuses("AL", "return 4N-07", "role");
    it.on("2026-03-03", "02:00");
    it.note("AL", "return 4N-07");
    it.state_is("4N-07", "monitoring");
    it.note("CN", "occupancy 4N --empty 4N-05-A,4N-06-A,4N-07-A,4N-07-B,4N-08-A");
    it.are_closed(&["4N-07-A", "4N-07-B"], "out-of-service: out of service: tap-repair");
    it.has_reasons("4N-07-A", 1);
    let said = it.everything("AL", "4N-07");
    said.says("Beds", "tap-repair");
    said.says("Room", "monitoring: NOT OPEN");
    said.says("tasks", "opens 2 beds");
    let lift = it.task("4N-07", "end out of service, entry");
    it.note("AL", &lift);
    it.are_open(&["4N-07-A", "4N-07-B"]);
    // After it she is a housekeeper again.
    it.on("2026-03-04", "08:30");
    it.refuses("AL", "ward-walk 4N", "role");
}

/// A live bug at two in the night, no lead and nobody acting: what a nurse alone can do, and what she is told.
#[test]
fn a_nurse_alone_at_night_closes_the_room_and_is_told_who_signs() {
    let mut it = Hospital::open();
    it.on("2026-03-05", "02:00");
    it.note("CN", "finding 4N-07 --seen 4N-07-A/mattress=live-adult");
    it.note("CN", "move-patient 4N-07 --beds 4N-07-A --washed yes --receiving 4N-08");
    it.are_closed(&["4N-07-A", "4N-07-B"], "suspect");
    it.are_closed(&["4N-08-A"], "receiving");
    for (words, who) in [
        ("treat-zone 4N-07 --zones 4N-07-A/mattress --method steamed", "a housekeeper, technician or the lead"),
        ("return 4N-07", "the housekeeping lead or an acting lead"),
        ("ward-walk 4N", "the housekeeping lead or an acting lead"),
    ] {
        let refused = it.refuses("CN", words, "role");
        assert!(refused.contains(who), "{refused}");
    }
    // A room that must not be used for another reason she closes herself; opening it again is the lead's.
    it.note("CN", "out-of-service 4N-05 --reason flooded");
    it.are_closed(&["4N-05-A"], "out-of-service");
    let entry = it.task("4N-05", "end out of service, entry");
    it.refuses("CN", &entry, "role");
    let said = it.everything("CN", "4N-07");
    said.says("Room", "suspect: bed bugs");
    said.says("Room", "not yours to note");
    said.says("Beds", "4N-07");
}

/// What a shift asks first, in the order of each role, with nothing that it would have to look for.
#[test]
fn each_shift_is_told_first_what_it_asks_first() {
    let mut it = Hospital::sprayed("L1,L2");
    it.at("12:00");
    let said = it.everything("CN", "4N-07");
    let nurse = said.text("shift").to_owned();
    let at = |text: &str, what: &str| text.find(what).unwrap_or_else(|| panic!("no “{what}”:\n{text}"));
    assert!(
        at(&nurse, "Do not enter\n  4N-07: wet, nobody goes in but who sprays or checks; check by touch")
            < at(&nurse, "Since 00:00"),
        "{nurse}"
    );
    for what in [
        "4N-07: spray, infested room: 14 zones",
        "open beds read unknown: 3 beds in 4N after 20:01",
        "(one shift back, to the full hour;",
        "and routine: ",
        "LD The lead, housekeeping lead",
        "AL Acting, acts as lead from 18:00 to Wed 4 Mar 08:00: not yet",
        "Exceptions\n  none since then",
    ] {
        at(&nurse, what);
    }
    said.says("Shift", "This shift: CN, charge nurse");
    said.says("Shift", "Keep it: in a closed jar or bag");
    let lead = it.everything("LD", "4N-07").text("shift").to_owned();
    assert!(at(&lead, "Oldest bags\n  4N-07: launder bag L1") < at(&lead, "Since "), "{lead}");
    // Nobody is sent into a wet room but whoever checks it by touch.
    at(
        &lead,
        "Can be worked on\n  4N-07: dry check, by touch, gloved, launder bag L1 if it is out of the room, launder bag L2",
    );
    assert!(!lead.contains("4N-07: dry check, treat"), "{lead}");
}

/// What was found in the night is on the page of whoever comes, however much routine came after it, and stays under what is
/// carried over until it is settled.
#[test]
fn a_live_bug_of_the_night_is_handed_over() {
    let mut it = Hospital::open();
    it.on("2026-03-05", "02:00");
    it.note("CN", "finding 4N-07 --seen 4N-07-A/mattress=live-adult");
    it.note("CN", "out-of-service 4N-05 --reason call-button");
    for minute in 10..30 {
        it.at(&format!("03:{minute}"));
        it.note("CN", "occupancy 4N --empty 4N-05-A,4N-06-A");
    }
    it.at("07:20");
    for who in ["CN", "LD"] {
        let shift = it.everything(who, "4N-07").text("shift").to_owned();
        for what in [
            "Since Wed 4 Mar 19:00\n  (one shift back",
            "newest first)\n  4N-07: finding: live adult at 4N-07-A/mattress, 02:00 by CN",
            "and routine: 20 notes of occupancy",
            "Carried over\n  4N-07: suspect; finding: live adult at 4N-07-A/mattress, 02:00",
            "4N-05: out of service since 02:00: call-button",
        ] {
            assert!(shift.contains(what), "no “{what}” for {who}:\n{shift}");
        }
    }
}

/// What may be missing in the record stands before everything that is read from it.
#[test]
fn what_the_record_may_lack_is_the_first_line_of_the_wall_and_of_the_shift() {
    let mut it = Hospital::open();
    it.at("12:00");
    it.note("LD", "downtime 4N --from 10:30 --until 11:30 --sheets 7-9");
    let wall = it.prints("wall");
    assert!(wall.starts_with("DOWNTIME: Nothing was noted here from 10:30 to 11:30"), "{wall}");
    assert!(wall.contains("ask before you enter a room of 4N"), "{wall}");
    assert_eq!(wall.matches("walk the ward and sign").count(), 1, "one walk a ward:\n{wall}");
    let said = it.everything("CN", "4N-07");
    said.says("shift", "First of all\n  DOWNTIME. Nothing was noted here from 10:30 to 11:30");
    said.says("Board", "DOWNTIME");
    assert_eq!(said.text("tasks").matches("walk the ward and sign").count(), 1, "{}", said.text("tasks"));
    let walk = "ward-walk 4N --words asked --wet none";
    it.refuses("LD", walk, "label");
    it.at("15:29");
    it.refuses("LD", walk, "label");
    it.at("15:30");
    it.note("LD", walk);
    let wall = it.prints("wall");
    assert!(!wall.contains("DOWNTIME"), "{wall}");
}

/// A bed that is promised while its room is wet: every screen says what is wanted, the present earliest time or why there is
/// none, and what comes first; nothing of it opens the bed.
#[test]
fn a_promised_bed_is_told_against_the_present_earliest_time() {
    let mut it = Hospital::sprayed("L1,L2");
    it.at("12:00");
    it.note("CN", "promise 4N-07-A --wanted 13:00");
    it.are_closed(&["4N-07-A"], "wet");
    it.refuses("CN", "promise 4N-07-A --wanted 15:00", "promise");
    let said = it.everything("CN", "4N-07");
    said.says("Beds", "wanted 13:00, no time: waits for bag L1");
    said.says("shift", "4N-07-A: wanted 13:00, promised by CN; no time: it waits for bag L1; next: ");
    said.says("beds", "promised for 13:00");
    it.note("LA", "launder L1 --wash-celsius 75 --wash-minutes 30 --detergent yes");
    it.note("LA", "launder L2 --wash-celsius 75 --wash-minutes 30 --detergent yes");
    let said = it.everything("CN", "4N-07");
    said.says("shift", "LATE: ");
    said.says("Beds", "LATE, earliest ");
    it.note("CN", "end-promise 4N-07-A");
    assert!(!it.everything("CN", "4N-07").text("Beds").contains("wanted"));
}

/// Two sign: what the second one is asked, what a difference does, and that initials alone are nothing.
#[test]
fn where_two_sign_the_second_one_is_asked_for_before_the_lead() {
    let mut it = Hospital::dried("L1");
    it.note("LA", &format!("launder L1 {}", Hospital::CYCLE));
    it.paid_but_for_linens();
    it.beds_made("L1");
    it.note("LD", "set-policy second-signature --value 1");
    it.at("13:00");
    let said = it.everything("LD", "4N-07");
    said.says("Room", "a second person checks the room, then the lead signs");
    said.says("tasks", "dryhold note second-check 4N-07");
    it.refuses("LD", "return 4N-07", "second-signature");
    // Whoever noted what is checked is not the second one, and a zone left out is no check.
    let dry = SPRAYED_07.join(",");
    let made = "--made 4N-07-A,4N-07-B";
    it.refuses("HK", &format!("second-check 4N-07 --dry {dry} {made}"), "second-signature");
    it.refuses("CN", &format!("second-check 4N-07 --dry {} {made}", SPRAYED_07[0]), "second-signature");
    // She finds a damp spot that the first one did not: the room is wet again.
    let (damp, rest) = (SPRAYED_07[0], SPRAYED_07[1..].join(","));
    it.note("CN", &format!("second-check 4N-07 --dry {rest} --damp {damp} {made}"));
    it.state_is("4N-07", "treated-wet");
    it.everything("LD", "4N-07").says("Room", "treated-wet: DO NOT ENTER");
}

//! A patient's move by the command line, and where one went of whom nobody said it.

use super::program::Program;

#[test]
fn a_patient_moves_and_is_asked_about_until_somebody_says_where_to() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "occupied 4N-01-A", &[]).done();
    it.at("2026-03-02T08:40:00Z");
    // Of a clear room nothing closes; the verb and the option of before are still taken.
    it.note("CN", "patient-out 4N-01-A --receiving 4N-03-A", &[]).done();
    assert_eq!(it.open(), ["4N-01-A", "4N-02-A", "4N-02-B"]);
    it.note("CN", "finding 4N-03 --seen reported-bites", &[]).done();
    it.at("2026-03-02T09:00:00Z");
    let said = it.note("CN", "empty 4N-03-A", &[]).done();
    assert!(said.contains("nobody said where the patient of 4N-03-A went"), "{said}");
    let shift = it.run("shift", &[]).done();
    assert!(shift.contains("Where patients went") && shift.contains("4N-03-A: the patient left it"), "{shift}");
    let wrong = it.note("CN", "move-patient 4N-03-A --went home --to 4N-02-B", &[]);
    assert!(wrong.err.contains("say which of the two"), "{wrong}");
    it.note("CN", "move-patient 4N-03-A --to 4N-02-B", &[]).done();
    assert_eq!(it.open(), ["4N-01-A"], "the room where that patient lies waits for its inspection");
    assert!(!it.run("shift", &[]).done().contains("Where patients went"));
    let left = it.note("CN", "thing-left 4N-01 --thing CH1 --zones chair", &["--place", "the store"]).done();
    assert!(left.contains("CH1 (chair) left, to the store, outside the list of rooms"), "{left}");
    assert!(it.run("shift", &[]).done().contains("to the store, outside the list of rooms"));
}

#[test]
fn a_thing_whose_leaving_is_known_is_not_called_of_unknown_origin() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("HK", "thing-left 4N-01 --thing CH1 --zones chair --to 4N-03", &[]).done();
    it.at("2026-03-02T08:35:00Z");
    let said = it.note("HK", "thing-arrived 4N-03 --thing CH1", &["--trial"]).done();
    assert!(said.contains("CH1 arrived, where from is not stated, wetness not stated"), "{said}");
    let said = it.note("HK", "thing-arrived 4N-03 --thing CH1", &[]).done();
    assert!(said.contains("Look again: by what is noted nothing in 4N-01, where CH1 came from, is wet"), "{said}");
    assert!(!said.contains("unknown room"), "{said}");
    // What is known to be dry, or came out of a wet room, is asked nothing.
    for (tag, wet) in [("CH2", "no"), ("CH3", "yes")] {
        let room = if wet == "no" { "4N-01" } else { "4N-02" };
        if wet == "yes" {
            let spray = ["--zones", "chair", "--bags", "none", "--patient-inside", "no"];
            it.note("TE", "spray 4N-02 --purpose preventive --product RS-A", &spray).done();
        }
        it.note("HK", &format!("thing-left {room} --thing {tag} --zones chair --to 4N-03"), &[]).done();
        let said = it.note("HK", &format!("thing-arrived 4N-03 --thing {tag} --wet {wet}"), &[]).done();
        assert!(!said.contains("Look again"), "{said}");
    }
}

//! What was kept on paper while nothing could be noted: each entry may say its sheet, and sheets without an entry are named.

use super::program::Program;

/// A downtime of which sheets 1 to 3 tell.
fn after_a_downtime() -> Program {
    let mut it = Program::walked();
    it.at("2026-03-02T12:00:00Z");
    it.note("AB", "downtime 4N --from 11:00 --until 12:30 --sheets 1-3", &[]).done();
    it
}

#[test]
fn an_entry_says_its_sheet_and_a_sheet_without_one_is_named() {
    let it = after_a_downtime();
    let text = it.run("sheets --entered", &[]).done();
    assert!(text.contains("  sheets 1, 2, 3: nothing entered\n"), "{text}");
    it.note("CN", "occupied 4N-01-A --at 11:10 --sheet 1", &[]).done();
    it.note("HK", "finding 4N-02 --seen 4N-02-A/mattress=live-adult --at 11:20 --sheet 1.2", &[]).done();
    it.note("CN", "occupied 4N-03-A --at 11:30 --sheet 3", &[]).done();
    // One that names no sheet is no sheet's.
    it.note("CN", "occupied 4N-02-B --at 11:40", &[]).done();
    for question in ["sheets --entered", "exceptions"] {
        let text = it.run(question, &[]).done();
        for line in ["  sheet 1: entries 20, 21\n", "  sheet 3: entry 22\n", "  sheet 2: nothing entered\n"] {
            assert!(text.contains(line), "{question}: {text}");
        }
    }
    let shift = it.run("shift", &[]).done();
    assert!(shift.contains("sheets 1-3 (sheet 2: nothing entered)"), "{shift}");
    let lines = it.run_with("lines", &[], b"ledger 4\nquit\n").done();
    assert!(lines.contains("by HK, sheet 1.2"), "{lines}");
}

#[test]
fn a_sheet_is_taken_only_while_it_is_being_entered() {
    let mut it = Program::walked();
    let said = it.note("CN", "occupied 4N-01-A --sheet 1", &[]);
    said.fails(2, &["--sheet: no downtime's sheets are being entered"]);
    it = after_a_downtime();
    let said = it.note("CN", "occupied 4N-01-A --at 11:10 --sheet 4", &[]);
    said.fails(2, &["sheet “4” is none of those that are being entered: entry 19 states 1-3"]);
    it.at("2026-03-02T16:30:00Z");
    it.note("AB", "ward-walk 4N --words asked --wet none", &[]).done();
    let said = it.note("CN", "occupied 4N-01-A --sheet 1", &[]);
    said.fails(2, &["no downtime's sheets are being entered"]);
    // Of an old downtime of which no entry names a sheet nothing is claimed.
    let text = it.run("sheets --entered", &[]).done();
    assert!(text.contains("no entry says from which sheet it is"), "{text}");
}

#[test]
fn line_mode_takes_the_sheet_at_the_end_of_a_move() {
    let it = after_a_downtime();
    let said =
        it.run_with("lines", &[], b"in CN\nnote occupied 4N-01-A\nat 11:10\nsheet 9\nsheet 2\n\ny\nledger 1\nquit\n");
    let said = said.done();
    assert!(said.contains("sheet “9” is none of those"), "{said}");
    assert!(said.contains("done by CN, sheet 2"), "{said}");
    assert!(said.contains("noted as entry ") && said.contains("by CN, sheet 2\n"), "{said}");
}

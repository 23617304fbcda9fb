//! What the Ledger lists and says, on ledgers made by hand: also on damaged ones, and on long ones.

use chrono::TimeDelta;

use super::*;
use crate::domain::board::Board;
use crate::domain::entry::{CommandId, Known, Sighting, Sign, Time};
use crate::tui::survey::Survey;

fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

fn at(minutes: i64) -> Time {
    "2026-06-10T06:00:00Z".parse::<Time>().unwrap() + TimeDelta::minutes(minutes)
}

fn entry(number: u64, place: Place, body: Body) -> Entry {
    let minutes = i64::try_from(number).unwrap();
    Entry {
        number: Number(number),
        noted: at(minutes),
        happened: at(minutes),
        done_by: code("HK"),
        noted_by: code("HK"),
        terminal: "test".to_owned(),
        command: CommandId(number),
        place,
        body,
    }
}

fn finding(number: u64, room: &str, note: &str) -> Entry {
    let seen = vec![Sighting { sign: Sign::ReportedBites, zone: None }];
    let body = Body::Finding { seen, wiped_before: Known::Unknown, note: note.to_owned() };
    entry(number, Place::room(code(room)), body)
}

fn void(number: u64, of: u64) -> Entry {
    let body = Body::Voided { entry: Number(of), why: "the wrong room".to_owned(), really_in: None };
    entry(number, Place::room(code("A-1")), body)
}

fn setting(number: u64) -> Entry {
    entry(number, Place::Hospital, Body::PolicySet { key: "clear-days".to_owned(), value: 60 })
}

fn empty(number: u64) -> Entry {
    entry(number, Place::room(code("A-1")), Body::Emptied { beds: vec![code("A-1-A")] })
}

fn with<T>(entries: &[Entry], look: impl FnOnce(&World<'_>, &Survey) -> T) -> T {
    let board = Board::fold(entries);
    let now = at(24 * 60);
    let timeline = |_| vec![];
    let world = World::of(&board, now, entries, &timeline);
    look(&world, &Survey::of(&board, now))
}

/// The numbers seen, the chosen one marked.
fn seen(screen: &LedgerScreen) -> String {
    let word = |row: &Row| match row {
        Row::Day(_) => "|".to_owned(),
        Row::Entry(line) if Some(line.place) == screen.chosen => format!(">{}", line.number),
        Row::Entry(line) => line.number.to_string(),
    };
    screen.rows.iter().map(word).collect::<Vec<_>>().join(" ")
}

fn press(screen: &mut LedgerScreen, act: Act, world: &World<'_>, survey: &Survey) {
    if screen.walk(act, survey) {
        screen.refresh(world, survey, 80, 21);
    }
}

#[test]
fn the_filter_turns_through_what_matters_ones_own_trouble_and_settings() {
    let mut other = finding(2, "A-1", "");
    other.noted_by = code("CN");
    let entries = [setting(1), other, empty(3), finding(4, "A-1", "")];
    with(&entries, |world, survey| {
        let mut screen = LedgerScreen::default();
        screen.read_by(Some(code("CN")));
        screen.refresh(world, survey, 80, 21);
        assert_eq!(seen(&screen), "| >4 3 2 1");
        let mut turned = vec![];
        for _ in 0..5 {
            press(&mut screen, Act::Filter, world, survey);
            turned.push(seen(&screen));
        }
        // No such room and no such people are known, so every entry but the settings has a problem.
        assert_eq!(turned[0], "| >4 2");
        assert_eq!(turned[1], "| >2");
        assert!(turned[2].contains('4') && turned[2].contains('2'), "{}", turned[2]);
        assert_eq!(turned[3], "| >1");
        assert_eq!(turned[4], "| >4 3 2 1");
    });
}

#[test]
fn a_number_is_gone_to_and_a_room_initials_or_a_word_narrows_the_list() {
    let entries = [setting(1), finding(2, "A-1", "under the lamp"), empty(3), finding(4, "B-2", "")];
    with(&entries, |world, survey| {
        let mut screen = LedgerScreen::default();
        screen.refresh(world, survey, 80, 21);
        let mut find = |text: &str| {
            let said = screen.find(text, world, survey);
            screen.refresh(world, survey, 80, 21);
            (seen(&screen), said)
        };
        assert_eq!(find("2").0, "| 4 3 >2 1");
        assert_eq!(find("#3").0, "| 4 >3 2 1");
        assert_eq!(find("LAMP").0, "| >2");
        assert_eq!(find("b-2").0, "| >4");
        assert_eq!(find("no such thing").0, "");
        assert_eq!(find("9"), ("| >4 3 2 1".to_owned(), "There is no entry 9 here.".to_owned()));
        assert_eq!(find("").0, "| >4 3 2 1");
    });
}

#[test]
fn in_a_damaged_ledger_a_line_is_never_another_entrys() {
    let mut twin = finding(2, "B-2", "the second of two");
    twin.command = CommandId(99);
    let entries = [setting(1), finding(2, "A-1", "the first of two"), twin, finding(7, "A-1", "after a gap")];
    with(&entries, |world, survey| {
        let mut screen = LedgerScreen::default();
        screen.refresh(world, survey, 80, 21);
        assert_eq!(seen(&screen), "| >7 2 2 1");
        for (words, room) in [("after a gap", "A-1"), ("the second of two", "B-2"), ("the first of two", "A-1")] {
            let told = screen.told.as_ref().unwrap();
            assert!(told.sentence.contains(words), "{}", told.sentence);
            assert_eq!(screen.room, Some(code(room)));
            press(&mut screen, Act::Down, world, survey);
        }
        press(&mut screen, Act::Up, world, survey);
        let told = screen.told.as_ref().unwrap();
        assert!(told.marks.iter().any(|(_, text)| text.contains("stands twice")), "{:?}", told.marks);
        assert!(screen.void(world).unwrap_err().contains("stands twice"));
        assert!(screen.find("2", world, survey).contains("stands 2 times"));
        assert!(screen.find("5", world, survey).contains("no entry 5"));
    });
}

#[test]
fn a_void_that_does_not_count_takes_nothing_and_late_noting_is_said_in_words() {
    let mut late = void(3, 2);
    late.happened = at(3 - 80);
    let entries = [setting(1), finding(2, "A-1", ""), late];
    with(&entries, |world, survey| {
        let mut screen = LedgerScreen::default();
        screen.refresh(world, survey, 80, 21);
        // Nobody is on this roster, so the void does not count, and takes nothing from the entry.
        let flags = |screen: &LedgerScreen| -> Vec<String> {
            screen
                .rows
                .iter()
                .filter_map(|row| if let Row::Entry(line) = row { Some(line) } else { None })
                .map(|line| format!("{} {}", line.number, line.flags.join(", ")))
                .collect()
        };
        let shown = flags(&screen);
        assert!(shown[0].starts_with("3 does not count"), "{shown:?}");
        assert!(!shown[1].contains("voided"), "{shown:?}");
        let told = screen.told.as_ref().unwrap();
        assert!(told.facts.iter().any(|(label, text)| *label == "Noted" && text.starts_with("1 h 20 later, ")));
    });
}

#[test]
fn the_list_grows_with_the_file_and_the_choice_stays_on_its_entry() {
    let mut entries = vec![setting(1), finding(2, "A-1", ""), empty(3), finding(4, "A-1", "")];
    let mut screen = LedgerScreen::default();
    with(&entries, |world, survey| {
        screen.refresh(world, survey, 80, 21);
        press(&mut screen, Act::Filter, world, survey);
        press(&mut screen, Act::Down, world, survey);
        assert_eq!(seen(&screen), "| 4 >2");
    });
    entries.extend([empty(5), finding(6, "A-1", "")]);
    with(&entries, |world, survey| {
        screen.refresh(world, survey, 80, 21);
        assert_eq!(seen(&screen), "| 6 4 >2");
    });
    // Another file in its place: restored, or mended.
    let other = [setting(1), finding(2, "B-2", "of another file")];
    with(&other, |world, survey| {
        screen.refresh(world, survey, 80, 21);
        assert_eq!(screen.told.as_ref().unwrap().sentence, "finding: reported bites; “of another file”");
    });
    with(&[], |world, survey| {
        screen.refresh(world, survey, 80, 21);
        assert_eq!((seen(&screen), screen.room), (String::new(), None));
        assert!(screen.void(world).is_err());
    });
}

#[test]
fn the_chosen_entry_is_seen_wherever_one_walks() {
    // Every entry on a day of its own: as many headings as entries.
    let mut entries: Vec<Entry> = (1..=60).map(|number| finding(number, "A-1", "")).collect();
    for (days, entry) in (0..).zip(&mut entries) {
        entry.noted = at(0) - TimeDelta::days(60 - days);
        entry.happened = entry.noted;
    }
    with(&entries, |world, survey| {
        let mut screen = LedgerScreen::default();
        screen.refresh(world, survey, 80, 21);
        let walk = std::iter::repeat_n(Act::Down, 61).chain([Act::First, Act::PageDown, Act::Last, Act::PageUp]);
        for act in walk {
            press(&mut screen, act, world, survey);
            assert!(seen(&screen).contains('>'), "{act:?}: {}", seen(&screen));
        }
    });
}

#[test]
fn a_spray_in_full_says_what_its_record_says() {
    use crate::domain::entry::{Purpose, TreatmentRecord, Ventilation};
    use crate::domain::facility::Zone;
    let record = TreatmentRecord {
        applicator: "Somebody".to_owned(),
        certificate: "C-1".to_owned(),
        ventilation: Some(Ventilation::On),
        ..TreatmentRecord::default()
    };
    let spray = Body::Sprayed {
        purpose: Purpose::Infested,
        product: code("RSA"),
        reentry_words: None,
        reentry_minutes: None,
        zones: Some(vec![Zone::parse("chair").unwrap(), Zone::parse("table").unwrap()]),
        scope: vec![],
        finished: None,
        bags: None,
        patient_inside: Known::Unknown,
        amount_ml: None,
        record: Box::new(record),
    };
    let entries = [entry(1, Place::room(code("A-1")), spray)];
    let told = with(&entries, |world, _| told::Told::of(&entries[0], world, std::iter::empty()));
    let fact = |label: &str| told.facts.iter().find(|(it, _)| *it == label).map(|(_, text)| text.as_str());
    assert_eq!(fact("Zones"), Some("chair, table"));
    assert_eq!((fact("Applicator"), fact("Certificate")), (Some("Somebody"), Some("C-1")));
    assert_eq!((fact("Registration"), fact("Ventilation")), (Some("not stated"), Some("ventilation on")));
}

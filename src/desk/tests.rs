use std::path::PathBuf;

use chrono::{TimeDelta, TimeZone, Utc};

use super::*;
use crate::domain::people::{Person, Role};
use crate::domain::rule::Rule;
use crate::ledger::planned::{FAILS, WORKS, are_unsaved, plan};
use crate::setup::parse_rooms;

const ROOMS: &str = "ward,ward_name,floor,room,room_name,kind,beds\nW1,Ward one,1,101,Room 101,patient-room,101-A\n";

struct Place1 {
    folder: tempfile::TempDir,
}

impl Place1 {
    fn new(rehearsal: bool) -> Self {
        let place = Self { folder: tempfile::tempdir().unwrap() };
        let lead = Person {
            initials: code("LD"),
            name: "L. Dorn".to_owned(),
            role: Role::Lead,
            trained_to_inspect: true,
            trained_to_apply: true,
            certificate: None,
            acting_lead: None,
            pin_hash: None,
            left: false,
        };
        let settings = parse_rooms(ROOMS.as_bytes(), false).unwrap().entries("Invented hospital", lead);
        let header = Header::new(chrono_tz::Europe::Berlin, rehearsal).unwrap();
        Desk::create(&place.path(), &header, settings, code("LD"), at(0)).unwrap();
        place
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("ledger.ron")
    }

    fn desk(&self, minute: i64) -> Desk {
        let marks = self.folder.path().join("marks");
        Desk::open_with(&self.path(), Clock::Set(at(minute)), "test".to_owned(), Some(marks)).unwrap()
    }
}

fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

fn at(minute: i64) -> Time {
    Utc.with_ymd_and_hms(2026, 3, 2, 6, 0, 0).unwrap() + TimeDelta::minutes(minute)
}

fn out_of_service() -> Command {
    let body = Body::OutOfService { reason: "a leak".to_owned() };
    Command::new(new_command_id().unwrap(), Place::room(code("101")), body)
}

fn walk(desk: &Desk) -> Command {
    let place = Place::Ward(code("W1"));
    let seen = desk.board().newest_of(&place);
    Command::new(new_command_id().unwrap(), place, Body::WardWalked { words: None, wet: None, seen })
}

#[track_caller]
fn done(outcome: Outcome) -> Entry {
    match outcome {
        Outcome::Done(entry) => *entry,
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_desks_on_one_ledger_see_each_other_and_decide_on_the_newest() {
    let place = Place1::new(true);
    let (mut lead, mut other) = (place.desk(10), place.desk(11));
    let shown = walk(&other);
    done(lead.note(&out_of_service(), code("LD")));
    // What the other desk was shown is no longer the newest: decided again under the lock, and refused.
    match other.note(&shown, code("LD")) {
        Outcome::Refused(refusal) => assert_eq!(refusal.rule(), Rule::Seen),
        outcome => panic!("{outcome:?}"),
    }
    assert_eq!(other.entries().len(), lead.entries().len());
    done(other.note(&walk(&other), code("LD")));
    assert!(lead.follow());
    assert!(!lead.follow());
    assert_eq!(lead.board().evidence(code("101")), other.board().evidence(code("101")));
}

#[test]
fn the_same_command_is_never_noted_twice() {
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    let command = out_of_service();
    let first = done(desk.note(&command, code("LD")));
    let again = done(place.desk(12).note(&command, code("LD")));
    assert_eq!(first, again);
}

#[test]
fn a_set_clock_writes_only_to_a_rehearsal() {
    let place = Place1::new(false);
    let mut desk = place.desk(10);
    assert!(matches!(desk.note(&out_of_service(), code("LD")), Outcome::Failed(DeskError::SetClock)));
}

#[test]
fn a_ledger_brought_back_from_an_old_copy_closes_every_bed_and_says_so() {
    let place = Place1::new(true);
    let old = std::fs::read(place.path()).unwrap();
    let mut desk = place.desk(10);
    done(desk.note(&walk(&desk), code("LD")));
    let before = desk.board().evidence(code("101"));
    assert!(before.is_empty(), "{before:?}");
    // In place, while it is open.
    std::fs::write(place.path(), &old).unwrap();
    desk.follow();
    assert!(matches!(desk.entries().last().map(|e| &e.body), Some(Body::WentBack { .. })), "{:?}", desk.standing());
    assert!(!desk.board().evidence(code("101")).is_empty());
    // A walk that says nothing of what is missing settles nothing, and none is sooner than the longest label.
    let mut desk = place.desk(10 + 240);
    assert!(matches!(desk.note(&walk(&desk), code("LD")), Outcome::Refused(_)));
    // And again while it is closed, under another file.
    let mut told = walk(&desk);
    if let Body::WardWalked { words, wet, .. } = &mut told.body {
        (*words, *wet) = (Some("LD was alone: nothing was sprayed".to_owned()), Some(vec![]));
    }
    done(desk.note(&told, code("LD")));
    std::fs::remove_file(place.path()).unwrap();
    std::fs::write(place.path(), &old).unwrap();
    let desk = place.desk(20);
    assert!(matches!(desk.entries().last().map(|e| &e.body), Some(Body::WentBack { .. })));
}

#[test]
fn two_terminals_that_see_the_same_loss_say_it_once() {
    let place = Place1::new(true);
    let old = std::fs::read(place.path()).unwrap();
    let (mut one, mut other) = (place.desk(10), place.desk(10));
    done(one.note(&walk(&one), code("LD")));
    other.follow();
    std::fs::write(place.path(), &old).unwrap();
    one.follow();
    other.follow();
    let told = |desk: &Desk| desk.entries().iter().filter(|it| matches!(it.body, Body::WentBack { .. })).count();
    assert_eq!((told(&one), told(&other)), (1, 1));
    assert_eq!(*other.standing(), Standing::Whole);
    // What was noted after that is lost anew, and is said anew.
    let kept = std::fs::read(place.path()).unwrap();
    done(other.note(&out_of_service(), code("LD")));
    one.follow();
    std::fs::write(place.path(), &kept).unwrap();
    one.follow();
    assert_eq!(told(&one), 2);
}

/// How many entries of this command stand in the file.
fn times_noted(place: &Place1, command: &Command) -> usize {
    place.desk(90).entries().iter().filter(|entry| entry.command == command.id).count()
}

#[test]
fn an_entry_whose_sync_and_undoing_failed_is_noted_once() {
    // Taken back in the file, but not known to be: the second attempt writes it.
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    done(desk.note(&out_of_service(), code("LD")));
    let command = out_of_service();
    plan(&[], &[FAILS, FAILS]);
    let entry = done(desk.note(&command, code("LD")));
    assert_eq!((desk.entries().last(), times_noted(&place, &command)), (Some(&entry), 1));
    assert!(!are_unsaved());
    // Left standing in the file: the second attempt finds it.
    let command = out_of_service();
    plan(&[WORKS, FAILS], &[FAILS]);
    let entry = done(desk.note(&command, code("LD")));
    assert_eq!((desk.entries().last(), times_noted(&place, &command)), (Some(&entry), 1));
    assert!(!are_unsaved(), "what is said to be noted is on the disk, and not in the system's memory alone");
}

#[track_caller]
fn check_in_doubt(outcome: &Outcome) {
    let Outcome::Unsure(told) = outcome else { panic!("{outcome:?}") };
    let told = told.to_string();
    assert!(told.contains("the disk is gone") && told.contains("it is not known"), "{told}");
    assert!(!told.contains("nothing was noted"), "{told}");
}

#[test]
fn an_entry_in_doubt_is_never_called_not_noted_and_the_same_command_settles_it() {
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    done(desk.note(&out_of_service(), code("LD")));
    let command = out_of_service();
    // It stands in the file, unsynced, and the file cannot be read anew with a working sync either.
    plan(&[WORKS, FAILS], &[FAILS, FAILS]);
    check_in_doubt(&desk.note(&command, code("LD")));
    plan(&[], &[FAILS]);
    check_in_doubt(&desk.note(&command, code("LD")));
    done(desk.note(&command, code("LD")));
    assert!(!are_unsaved());
    assert_eq!(times_noted(&place, &command), 1);
    assert_eq!(desk.standing(), &Standing::Whole);
}

#[test]
fn an_entry_that_was_taken_back_is_said_not_to_be_noted() {
    let place = Place1::new(true);
    let before = std::fs::read(place.path()).unwrap();
    let mut desk = place.desk(10);
    let command = out_of_service();
    plan(&[], &[FAILS]);
    match desk.note(&command, code("LD")) {
        Outcome::Failed(told) => assert!(told.to_string().contains("nothing was noted"), "{told}"),
        outcome => panic!("{outcome:?}"),
    }
    assert_eq!(std::fs::read(place.path()).unwrap(), before);
    assert!(desk.board().evidence(code("101")).iter().all(|evidence| evidence.cause.0 <= desk.entries().len() as u64));
    done(desk.note(&command, code("LD")));
    assert_eq!(times_noted(&place, &command), 1);
}

#[test]
fn a_ledger_that_went_back_on_a_failing_disk_closes_every_bed_though_nobody_can_note_it() {
    let place = Place1::new(true);
    let old = std::fs::read(place.path()).unwrap();
    let mut desk = place.desk(10);
    done(desk.note(&walk(&desk), code("LD")));
    std::fs::write(place.path(), &old).unwrap();
    plan(&[], &[FAILS]);
    let desk = place.desk(20);
    assert!(desk.board().distrust().is_some());
    // The mark was not moved back: the next opening notices too, and can say so to everybody.
    let desk = place.desk(30);
    assert!(matches!(desk.entries().last().map(|e| &e.body), Some(Body::WentBack { .. })));
}

#[test]
fn another_ledger_in_its_place_closes_every_bed_and_takes_no_entry() {
    let (place, other) = (Place1::new(true), Place1::new(true));
    let mut desk = place.desk(10);
    std::fs::rename(other.path(), place.path()).unwrap();
    let there = std::fs::read(place.path()).unwrap();
    assert!(desk.follow());
    assert!(
        matches!(desk.standing(), Standing::Untrusted(why) if why.contains("another ledger")),
        "{:?}",
        desk.standing()
    );
    assert!(desk.board().distrust().is_some());
    assert!(matches!(desk.note(&out_of_service(), code("LD")), Outcome::Failed(_)));
    assert_eq!(std::fs::read(place.path()).unwrap(), there);
}

#[test]
fn a_damaged_ledger_closes_every_bed_and_is_not_written() {
    let place = Place1::new(true);
    let mut text = std::fs::read_to_string(place.path()).unwrap();
    let at_name = text.find("Room 101").unwrap();
    text.replace_range(at_name..at_name + 4, "Rume");
    std::fs::write(place.path(), &text).unwrap();
    let mut desk = place.desk(10);
    assert!(matches!(desk.standing(), Standing::Untrusted(_)));
    assert!(desk.board().distrust().is_some());
    assert!(matches!(desk.note(&out_of_service(), code("LD")), Outcome::Failed(_)));
    assert_eq!(std::fs::read_to_string(place.path()).unwrap(), text);
}

#[test]
fn a_ledger_that_vanishes_closes_every_bed_until_it_is_back() {
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    let aside = place.folder.path().join("aside");
    std::fs::rename(place.path(), &aside).unwrap();
    assert!(desk.follow());
    assert!(matches!(desk.standing(), Standing::Untrusted(_)));
    assert!(desk.board().distrust().is_some());
    std::fs::rename(&aside, place.path()).unwrap();
    assert!(desk.follow());
    assert_eq!((desk.standing(), desk.board().distrust()), (&Standing::Whole, None));
}

#[test]
fn a_pin_is_asked_for_and_wrong_ones_are_noted_with_the_next_success() {
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    assert_eq!(desk.check_pin(code("LD"), None), Ok(()));
    assert_eq!(hash_pin("123"), Err(PinError::Length));
    let hash = Some(hash_pin("2468").unwrap());
    let body = Body::PinSet { person: code("LD"), hash };
    done(desk.note(&Command::new(new_command_id().unwrap(), Place::Hospital, body), code("LD")));
    assert_eq!(desk.check_pin(code("LD"), None), Err(PinError::Wanted(code("LD"))));
    assert_eq!(desk.check_pin(code("LD"), Some("1111")), Err(PinError::Wrong(code("LD"))));
    assert_eq!(desk.check_pin(code("LD"), Some("2468")), Ok(()));
    assert!(matches!(desk.entries().last().map(|e| &e.body), Some(Body::SignedIn { failed_before: 1 })));
    assert_eq!(desk.check_pin(code("XX"), Some("2468")), Err(PinError::NotOnRoster(code("XX"))));
}

#[test]
fn wrong_pins_are_remembered_for_whoever_opens_the_ledger_next() {
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    let body = Body::PinSet { person: code("LD"), hash: Some(hash_pin("2468").unwrap()) };
    done(desk.note(&Command::new(new_command_id().unwrap(), Place::Hospital, body), code("LD")));
    let last = |desk: &Desk| desk.entries().last().map(|entry| entry.body.clone());
    // Each in a desk of its own, as `note` on the command line is; initials are the same in capitals or not.
    assert_eq!(place.desk(11).check_pin(code("LD"), Some("1111")), Err(PinError::Wrong(code("LD"))));
    assert_eq!(place.desk(12).check_pin(code("ld"), Some("1112")), Err(PinError::Wrong(code("ld"))));
    assert_eq!(desk.check_pin(code("LD"), Some("1113")), Err(PinError::Wrong(code("LD"))));
    // A disk that fails loses none of them.
    let mut right = place.desk(13);
    plan(&[], &[FAILS]);
    assert_eq!(right.check_pin(code("LD"), Some("2468")), Ok(()));
    assert!(matches!(last(&right), Some(Body::PinSet { .. })));
    let mut right = place.desk(14);
    assert_eq!(right.check_pin(code("LD"), Some("2468")), Ok(()));
    assert!(matches!(last(&right), Some(Body::SignedIn { failed_before: 3 })), "{:?}", last(&right));
    let noted = right.entries().len();
    assert_eq!(place.desk(15).check_pin(code("LD"), Some("2468")), Ok(()));
    desk.follow();
    assert_eq!(desk.check_pin(code("LD"), Some("2468")), Ok(()));
    assert_eq!(desk.entries().len(), noted, "noted once");
}

#[test]
fn after_several_wrong_pins_the_next_waits_and_nobody_is_locked_out() {
    let place = Place1::new(true);
    let mut desk = place.desk(10);
    let body = Body::PinSet { person: code("LD"), hash: Some(hash_pin("2468").unwrap()) };
    done(desk.note(&Command::new(new_command_id().unwrap(), Place::Hospital, body), code("LD")));
    for _ in 0..4 {
        assert_eq!(desk.check_pin(code("LD"), Some("1111")), Err(PinError::Wrong(code("LD"))));
    }
    // Also in a program that is started anew, and for the right one.
    for mut desk in [place.desk(11), desk] {
        let answer = desk.check_pin(code("LD"), Some("2468"));
        assert!(matches!(answer, Err(PinError::TooSoon(1..=2))), "{answer:?}");
    }
    std::thread::sleep(std::time::Duration::from_millis(2050));
    assert_eq!(place.desk(12).check_pin(code("LD"), Some("2468")), Ok(()));
    assert_eq!(place.desk(13).check_pin(code("LD"), Some("2468")), Ok(()));
}

#[test]
fn a_clock_in_a_file_is_read_again_at_each_look() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("now");
    std::fs::write(&path, "2026-03-02T09:10:00Z\n").unwrap();
    let clock = Clock::set(&format!("@{}", path.display())).unwrap();
    assert_eq!(clock.now(), at(190));
    std::fs::write(&path, "2026-03-02T10:12:00+01:00").unwrap();
    assert_eq!(clock.now(), at(192));
    std::fs::write(&path, "rubbish").unwrap();
    assert_eq!(clock.now(), at(192));
    assert!(
        matches!(Clock::set("rubbish\u{1b}[31m"), Err(ClockError::Unreadable { text }) if !text.contains('\u{1b}'))
    );
}

#[test]
fn what_was_begun_is_kept_for_its_person_and_read_by_this_user_alone() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place1::new(false);
    place.desk(1).keep_drafts(code("LD"), "begun\n").unwrap();
    let mut desk = place.desk(2);
    assert!(desk.keeps_drafts());
    assert_eq!(desk.drafts(code("LD")).as_deref(), Some("begun\n"));
    assert_eq!(desk.drafts(code("ld")).as_deref(), Some("begun\n"), "initials have no case");
    assert_eq!(desk.drafts(code("LDX")), None);
    let folder = place.folder.path().join("marks");
    let drafts = || {
        let files = std::fs::read_dir(&folder).unwrap().map(|file| file.unwrap().path());
        files.filter(|path| path.to_string_lossy().contains("drafts-")).collect::<Vec<PathBuf>>()
    };
    let file = drafts().pop().unwrap();
    assert_eq!(std::fs::metadata(file).unwrap().permissions().mode() & 0o077, 0);
    let ledger = std::fs::read(place.path()).unwrap();
    desk.keep_drafts(code("LD"), "begun\nmore\n").unwrap();
    assert_eq!(desk.drafts(code("LD")).as_deref(), Some("begun\nmore\n"));
    desk.keep_drafts(code("LD"), "").unwrap();
    desk.keep_drafts(code("LD"), "").unwrap();
    assert_eq!((desk.drafts(code("LD")), drafts().len()), (None, 0));
    assert!(std::fs::read(place.path()).unwrap() == ledger, "nothing of it is in the ledger");
}

#[test]
fn drafts_that_cannot_be_kept_say_so_and_a_demo_keeps_none() {
    let place = Place1::new(true);
    let mut demo = Desk::open_with(&place.path(), Clock::Set(at(1)), "test".to_owned(), None).unwrap();
    assert!(!demo.keeps_drafts());
    demo.keep_drafts(code("LD"), "begun\n").unwrap();
    assert_eq!(demo.drafts(code("LD")), None);
    let taken = place.folder.path().join("a-file");
    std::fs::write(&taken, "").unwrap();
    let mut desk = Desk::open_with(&place.path(), Clock::Set(at(1)), "test".to_owned(), Some(taken)).unwrap();
    assert!(desk.keep_drafts(code("LD"), "begun\n").is_err());
    assert_eq!(desk.drafts(code("LD")), None);
}

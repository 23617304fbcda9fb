//! Making and opening: each wrong file is said for what it is, and none is touched.

use std::os::unix::fs::{PermissionsExt, symlink};

use super::*;
use crate::ledger::{Standing, check};

#[test]
fn a_new_ledger_holds_its_first_entries_and_is_its_owners_alone() {
    let folder = Folder::new(3);
    let (ledger, found) = folder.open();
    assert_eq!((found, ledger.last(), ledger.header()), (entries(3), Number(3), &header()));
    assert_eq!(fs::metadata(&folder.path).unwrap().permissions().mode() & 0o777, 0o600);
    assert_eq!(folder.names(), ["ledger.ron"]);
    assert_eq!(about_the_file(&ledger), 0, "{:?}", ledger.notices());
}

/// How many notices there are, but for the one of the disk on which these tests happen to run.
fn about_the_file(ledger: &Ledger) -> usize {
    ledger.notices().iter().filter(|notice| !notice.starts_with("the ledger lies on ")).count()
}

#[test]
fn a_ledger_is_made_in_folders_that_are_not_there_yet() {
    let folder = Folder::new(0);
    let path = folder.folder.path().join("a/b/c.ron");
    create(&path, &header(), &[]).unwrap();
    assert_eq!(Ledger::open(&path).unwrap().1, []);
}

#[test]
fn nothing_is_ever_overwritten() {
    let folder = Folder::new(2);
    let before = folder.bytes();
    assert!(matches!(create(&folder.path, &header(), &[]), Err(LedgerError::Exists { .. })));
    let dangling = folder.folder.path().join("link.ron");
    symlink(folder.folder.path().join("nowhere"), &dangling).unwrap();
    assert!(matches!(create(&dangling, &header(), &[]), Err(LedgerError::Exists { .. })));
    assert_eq!(folder.bytes(), before);
    assert_eq!(folder.names(), ["ledger.ron", "link.ron"]);
}

#[track_caller]
fn check_refused(bytes: &[u8], words: &str) {
    let folder = Folder::new(1);
    folder.put(bytes);
    let told = Ledger::open(&folder.path).unwrap_err();
    assert!(told.to_string().contains(words), "{told}");
    assert!(told.to_string().contains("ledger.ron") && told.is_damage(), "{told}");
    assert!(check(&folder.path, None).is_err());
    assert_eq!((folder.bytes(), folder.names()), (bytes.to_vec(), vec!["ledger.ron".to_owned()]));
}

#[test]
fn what_is_no_ledger_is_refused_with_a_sentence_and_left_alone() {
    let whole = String::from_utf8(Folder::new(2).bytes()).unwrap();
    check_refused(b"", "never empty");
    check_refused(b"name,amount\n", "not a Dryhold ledger");
    check_refused(&[0; 5000], "not a Dryhold ledger");
    check_refused(whole.replacen("format:1", "format:2", 1).as_bytes(), "newer version");
    check_refused(whole.replacen("format:1", "format:10", 1).as_bytes(), "newer version");
    check_refused(whole.replacen("rehearsal:false", "rehearsal:true", 1).as_bytes(), "check sum");
    check_refused(whole.replacen("Berlin", "Berlan", 1).as_bytes(), "line 1");
    check_refused(&whole.as_bytes()[..30], "line 1");
    check_refused(format!("\u{feff}{whole}").as_bytes(), "byte order mark");
    check_refused(whole.replace('\n', "\r\n").as_bytes(), "Windows");
    check_refused(&whole.encode_utf16().flat_map(u16::to_le_bytes).collect::<Vec<_>>(), "not a Dryhold ledger");
}

#[test]
fn a_missing_file_and_a_folder_are_not_damage_of_a_ledger() {
    let folder = Folder::new(0);
    let missing = Ledger::open(&folder.folder.path().join("none.ron")).unwrap_err();
    assert!(matches!(missing, LedgerError::Missing { .. }) && !missing.is_damage());
    assert!(matches!(Ledger::open(folder.folder.path()), Err(LedgerError::NotAFile { .. })));
}

#[test]
fn a_pipe_under_that_name_is_refused_at_once() {
    let folder = Folder::new(0);
    let pipe = folder.folder.path().join("pipe.ron");
    let mode = rustix::fs::Mode::RUSR | rustix::fs::Mode::WUSR;
    rustix::fs::mknodat(rustix::fs::CWD, &pipe, rustix::fs::FileType::Fifo, mode, 0).unwrap();
    assert!(matches!(Ledger::open(&pipe), Err(LedgerError::NotAFile { .. })));
}

#[test]
fn a_link_is_followed_once_on_opening() {
    let folder = Folder::new(2);
    let link = folder.folder.path().join("link.ron");
    symlink(&folder.path, &link).unwrap();
    let (mut ledger, _) = Ledger::open(&link).unwrap();
    add(&mut ledger, "through the link").unwrap();
    assert_eq!(folder.open().1.len(), 3);
}

#[test]
fn a_file_that_others_may_write_or_that_has_two_names_is_said() {
    let folder = Folder::new(1);
    fs::set_permissions(&folder.path, fs::Permissions::from_mode(0o666)).unwrap();
    fs::hard_link(&folder.path, folder.folder.path().join("second.ron")).unwrap();
    assert_eq!(about_the_file(&folder.open().0), 2);
}

#[test]
fn a_ledger_that_may_only_be_read_is_looked_at_and_not_closed() {
    let folder = Folder::new(2);
    let mut bytes = folder.bytes();
    bytes.truncate(bytes.len() - 3);
    bytes.extend(b"(3,\"20");
    folder.put(&bytes);
    fs::set_permissions(&folder.path, fs::Permissions::from_mode(0o400)).unwrap();
    if fs::OpenOptions::new().write(true).open(&folder.path).is_ok() {
        // Root may write everything: there is nothing to be seen here.
        return;
    }
    let (mut ledger, found) = folder.open();
    assert_eq!(found, entries(2));
    assert!(matches!(ledger.standing(), Standing::ReadOnly(_)));
    let told = add(&mut ledger, "x").unwrap_err();
    assert!(matches!(&told, LedgerError::ReadOnly { .. }) && told.to_string().contains("nothing was noted"));
    assert_eq!((folder.bytes(), folder.names().len()), (bytes, 1));
    assert!(ledger.follow().unwrap().is_empty());
}

//! A ledger of two thousand rooms: the one that is measured with, in a file.

use std::path::Path;

use dryhold::ledger::{Header, create};

#[expect(dead_code, clippy::unwrap_used, reason = "made for measurements, which also void entries")]
#[path = "../../bench/hospital.rs"]
mod entries;

pub(super) use entries::entries;

pub(super) const ROOMS: usize = 2_000;

/// Writes so many entries into a new ledger, and answers its path.
pub(super) fn ledger(folder: &Path, most: usize) -> String {
    let path = folder.join("two-thousand.ron");
    let header = Header::new(chrono_tz::UTC, true).expect("a header");
    create(&path, &header, &entries(ROOMS, most)).expect("a ledger");
    path.to_str().expect("a path in UTF-8").to_owned()
}

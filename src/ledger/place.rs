//! Where the ledger lies, if nobody says otherwise.

use std::ffi::OsString;
use std::path::PathBuf;

use directories::ProjectDirs;

use super::error::LedgerError;

/// The flag, else the environment, else the user's data folder.
pub fn ledger_path(flag: Option<PathBuf>, environment: Option<OsString>) -> Result<PathBuf, LedgerError> {
    flag.or_else(|| environment.filter(|named| !named.is_empty()).map(PathBuf::from))
        .or_else(|| project().map(|project| project.data_dir().join("ledger.ron")))
        .ok_or(LedgerError::Homeless)
}

pub(super) fn project() -> Option<ProjectDirs> {
    ProjectDirs::from("", "", "dryhold")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_flag_comes_before_the_environment_and_an_empty_one_counts_as_none() {
        let path = |flag: Option<&str>, environment: Option<&str>| {
            ledger_path(flag.map(PathBuf::from), environment.map(OsString::from)).unwrap()
        };
        assert_eq!(path(Some("a"), Some("b")), PathBuf::from("a"));
        assert_eq!(path(None, Some("b")), PathBuf::from("b"));
        assert!(path(None, Some("")).ends_with("ledger.ron"));
    }
}

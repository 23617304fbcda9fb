//! Whether the ledger lies on another computer's disk, or behind a program that plays a disk.
//!
//! Locks and syncs there are as good as that other program makes them, which cannot be seen from here. So it is said, and
//! nothing is refused: a place that cannot lock at all is refused where the lock is taken.

use std::fs::File;

/// What one should know of the disk under this file. A disk that cannot be asked is taken for a local one.
#[cfg(target_os = "linux")]
pub(super) fn notice(file: &File) -> Option<String> {
    let kind = kind(rustix::fs::fstatfs(file).ok()?.f_type as u32)?;
    Some(format!(
        "the ledger lies on {kind}: what other terminals note may show late, and a power cut there may cost what was \
         said to be done here; a local disk is safer"
    ))
}

/// Elsewhere the system's numbers mean something else.
#[cfg(not(target_os = "linux"))]
pub(super) fn notice(_file: &File) -> Option<String> {
    None
}

/// Numbers as in Linux's header `linux/magic.h`.
#[cfg(any(target_os = "linux", test))]
fn kind(magic: u32) -> Option<&'static str> {
    match magic {
        0x6969 => Some("a network disk (NFS)"),
        0x517b | 0xff53_4d42 | 0xfe53_4d42 => Some("a network disk (SMB)"),
        0x6573_5546 => Some("a disk that a program plays (FUSE)"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn network_disks_are_told_from_local_ones() {
        assert_eq!(kind(0x6969), Some("a network disk (NFS)"));
        // The first four bytes of its messages: 0xff or 0xfe, then “SMB”, the lowest byte last.
        for first in [0xff, 0xfe] {
            assert_eq!(kind(u32::from_be_bytes([first, b'S', b'M', b'B'])), Some("a network disk (SMB)"));
        }
        // ext2 to ext4, XFS, btrfs, tmpfs.
        for local in [0xef53, 0x5846_5342, 0x9123_683e, 0x0102_1994] {
            assert_eq!(kind(local), None);
        }
    }
}

//! Files that a run keeps in the output folder while it writes: names, moves and digests.

use std::{
    fs,
    fs::File,
    io,
    path::{Path, PathBuf},
};

use sha2::{Digest, Sha256};
use tempfile::TempPath;

/// Start of the names of all files that are gone when a run has ended.
pub(super) const PREFIX: &str = ".gripwright-";
/// End of the name of a new file that is not yet in its place.
pub(super) const PARTIAL: &str = ".partial";

/// True if there is something at a path, be it a link to nowhere.
pub(super) fn is_there(path: &Path) -> bool {
    path.symlink_metadata().is_ok()
}

/// Returns the SHA-256 of a regular file, hexadecimal; `None` if there is none, or a link, a folder, a device.
pub(super) fn file_digest(path: &Path) -> io::Result<Option<String>> {
    if !path.symlink_metadata().is_ok_and(|kind| kind.is_file()) {
        return Ok(None);
    }
    let mut digest = Sha256::new();
    io::copy(&mut File::open(path)?, &mut digest)?;
    Ok(Some(format!("{:x}", digest.finalize())))
}

/// Returns the SHA-256 of some bytes, hexadecimal.
pub(super) fn digest(bytes: &[u8]) -> String {
    format!("{:x}", Sha256::digest(bytes))
}

/// Renames a file unless there is one of the new name, in one step.
pub(super) fn move_new(from: &Path, to: &Path) -> io::Result<()> {
    TempPath::try_from_path(from)?.persist_noclobber(to).map_err(|refused| {
        // A path that is dropped removes its file.
        let _ = refused.path.keep();
        refused.error
    })
}

/// Removes what runs that were killed while they wrote new files have left. The caller holds the folder's lock, so that
/// no such file has an owner.
pub(super) fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(PREFIX) && name.ends_with(PARTIAL) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Makes the names in a folder survive a loss of power, where the system can.
pub(super) fn sync_names(folder: &Path) {
    // Windows opens no folder as a file.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// Returns a name that nothing has yet, for a file that must not be lost: `name.kept`, `name.kept-2`, …
pub(super) fn kept_name(target: &Path, number: usize) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    let end = if number == 1 { String::new() } else { format!("-{number}") };
    target.with_file_name(format!("{name}.kept{end}"))
}

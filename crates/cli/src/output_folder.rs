//! Writing of output folders: the files of a run appear together or not at all.

use std::{
    fs, io,
    io::Write,
    path::{Path, PathBuf},
    thread,
};

use gripwright::OutputFile;

/// Number of threads that sync files at a time; they mostly wait for the disk.
const SYNC_THREADS: usize = 6;

/// Error of a folder that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("cannot {action} `{}`: {cause}", path.display())]
pub(crate) struct WriteError {
    /// Action that failed, as an imperative.
    pub action: &'static str,
    /// Path of the file or folder.
    pub path: PathBuf,
    /// Error of the system.
    pub cause: io::Error,
}

fn failed(action: &'static str, path: &Path) -> impl FnOnce(io::Error) -> WriteError {
    let path = path.to_path_buf();
    move |cause| WriteError { action, path, cause }
}

/// Writes all `files` into `folder`, making it when needed, and removes `stale` files of an earlier run.
///
/// Every file is first written whole to a temporary neighbour and synced; only when all are there are they renamed.
/// On an error the temporary files and the folders made for them are removed again.
pub(crate) fn write(folder: &Path, files: &[OutputFile], stale: &[String]) -> Result<(), WriteError> {
    let made = make_folder(folder)?;
    let outcome = stage_and_rename(folder, files);
    if outcome.is_err() {
        // Innermost first; a folder that someone else filled meanwhile stays.
        for path in made.iter().rev() {
            let _ = fs::remove_dir(path);
        }
        return outcome;
    }
    for name in stale {
        let path = folder.join(name);
        match fs::remove_file(&path) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => {
                return Err(WriteError { action: "remove the outdated", path, cause });
            }
            _ => {}
        }
    }
    Ok(())
}

/// Writes one file that must not exist yet.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    if path.exists() {
        let cause = io::Error::new(io::ErrorKind::AlreadyExists, "it exists already");
        return Err(WriteError { action: "write", path: path.to_path_buf(), cause });
    }
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    write(folder, &[OutputFile { name, bytes: bytes.to_vec() }], &[])
}

/// Makes the folder; returns the parts of the path that were missing, outermost first.
fn make_folder(folder: &Path) -> Result<Vec<PathBuf>, WriteError> {
    let missing: Vec<PathBuf> =
        folder.ancestors().take_while(|p| !p.as_os_str().is_empty() && !p.exists()).map(Path::to_path_buf).collect();
    let mut made = Vec::new();
    for path in missing.into_iter().rev() {
        if let Err(cause) = fs::create_dir(&path) {
            for made in made.iter().rev() {
                let _ = fs::remove_dir(made);
            }
            return Err(WriteError { action: "make the folder", path, cause });
        }
        made.push(path);
    }
    if folder.is_dir() {
        return Ok(made);
    }
    let cause = io::Error::new(io::ErrorKind::NotADirectory, "it is not a folder");
    Err(WriteError { action: "write into", path: folder.to_path_buf(), cause })
}

fn stage_and_rename(folder: &Path, files: &[OutputFile]) -> Result<(), WriteError> {
    // A disk takes its time to sync a file, and hardly more to sync several at once.
    let share = files.len().div_ceil(SYNC_THREADS).max(1);
    let staged: Vec<_> = thread::scope(|scope| {
        let stage_all =
            |some: &[OutputFile]| some.iter().map(|file| stage(folder, file)).collect::<Result<Vec<_>, _>>();
        let threads: Vec<_> = files.chunks(share).map(|some| scope.spawn(move || stage_all(some))).collect();
        let stopped = || failed("write into", folder)(io::Error::other("a thread stopped"));
        threads.into_iter().map(|thread| thread.join().unwrap_or_else(|_| Err(stopped()))).collect()
    });
    let mut all = Vec::with_capacity(files.len());
    for some in staged {
        all.extend(some?);
    }
    rename_all(all)
}

/// Writes a file whole under a name of its own.
fn stage(folder: &Path, file: &OutputFile) -> Result<(tempfile::NamedTempFile, PathBuf), WriteError> {
    let target = folder.join(&file.name);
    // A rename over a folder would fail when others are already in place.
    if target.is_dir() {
        let cause = io::Error::new(io::ErrorKind::IsADirectory, "a folder of that name is in the way");
        return Err(WriteError { action: "write", path: target, cause });
    }
    let mut temporary = temporary_in(folder).map_err(failed("write into", folder))?;
    temporary.write_all(&file.bytes).map_err(failed("write", &target))?;
    temporary.as_file().sync_all().map_err(failed("write", &target))?;
    Ok((temporary, target))
}

/// Renames are the last and briefest step; should one fail all the same, the new files before it go again.
fn rename_all(staged: Vec<(tempfile::NamedTempFile, PathBuf)>) -> Result<(), WriteError> {
    let mut appeared = Vec::new();
    for (temporary, target) in staged {
        let new = !target.exists();
        if let Err(error) = temporary.persist(&target) {
            for path in &appeared {
                let _ = fs::remove_file(path);
            }
            return Err(WriteError { action: "write", path: target, cause: error.error });
        }
        if new {
            appeared.push(target);
        }
    }
    Ok(())
}

fn temporary_in(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".gripwright-").suffix(".partial");
    #[cfg(unix)]
    {
        // A private temporary file would stay private after the rename; the user's mask shall decide instead.
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str, text: &str) -> OutputFile {
        OutputFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() }
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    #[test]
    fn files_replace_earlier_ones_and_stale_ones_go() {
        let root = tempfile::tempdir().unwrap();
        let folder = root.path().join("a/b");
        write(&folder, &[file("one", "1"), file("two", "2")], &[]).unwrap();
        write(&folder, &[file("one", "11")], &["two".to_owned(), "never".to_owned()]).unwrap();
        assert_eq!(names(&folder), ["one"]);
        assert_eq!(fs::read(folder.join("one")).unwrap(), b"11");
    }

    #[test]
    fn a_failure_leaves_nothing_behind() {
        let root = tempfile::tempdir().unwrap();
        fs::write(root.path().join("plain"), "file").unwrap();
        assert!(write(&root.path().join("plain/x"), &[file("one", "1")], &[]).is_err());
        assert!(write(&root.path().join("plain"), &[file("one", "1")], &[]).is_err());
        // A name that no file can have fails after the folder was made.
        assert!(write(&root.path().join("deep/er"), &[file("one", "1"), file("no/such/place", "2")], &[]).is_err());
        assert_eq!(names(root.path()), ["plain"]);
    }

    #[test]
    fn a_new_file_is_never_overwritten() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("spec.toml");
        write_new(&path, b"first").unwrap();
        assert!(write_new(&path, b"second").is_err());
        assert_eq!(fs::read(&path).unwrap(), b"first");
    }
}

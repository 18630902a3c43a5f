//! Lock of an output folder: one run at a time writes into it.

use std::{
    env,
    fs::{self, File, OpenOptions, TryLockError},
    io::{self, ErrorKind, Read, Write},
    path::{Path, PathBuf},
    process, thread,
    time::{Duration, Instant},
};

use super::{hidden_files::is_there, write_error::WriteError};

/// Name of the file that is locked.
const LOCK: &str = ".gripwright-lock";
/// Time between two tries.
const PAUSE: Duration = Duration::from_millis(20);
/// Longest description of another run that is shown, bytes.
const LONGEST_HOLDER: u64 = 200;

/// A locked folder. The lock ends with the process, however that ends.
#[derive(Debug)]
pub(super) struct FolderLock {
    path: PathBuf,
    file: File,
}

impl FolderLock {
    /// Locks a folder; waits at most `patience` for another run.
    pub(super) fn take(folder: &Path, patience: Duration) -> Result<Self, WriteError> {
        let path = folder.join(LOCK);
        let failed = || WriteError::system("lock", folder);
        let end = Instant::now() + patience;
        loop {
            let file = open(&path).map_err(failed())?;
            match file.try_lock() {
                Ok(()) if is_named(&file, &path) => return Ok(Self::described(path, file)),
                // The run before has removed the file that was just locked.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) if Instant::now() < end => thread::sleep(PAUSE),
                Err(TryLockError::WouldBlock) => {
                    return Err(WriteError::InUse { folder: folder.to_path_buf(), holder: holder(&path) });
                }
                // Some network folders know no locks.
                Err(TryLockError::Error(cause)) if cause.kind() == ErrorKind::Unsupported => {
                    return Ok(Self::described(path, file));
                }
                Err(TryLockError::Error(cause)) => return Err(failed()(cause)),
            }
        }
    }

    fn described(path: PathBuf, mut file: File) -> Self {
        let command: Vec<String> = env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned()).collect();
        // The description only helps people: on a full disk there is none.
        let _ = file.set_len(0);
        let _ = write!(file, "process {}, `gripwright {}`", process::id(), command.join(" "));
        Self { path, file }
    }
}

impl Drop for FolderLock {
    fn drop(&mut self) {
        // Windows removes no open file: there, the file stays.
        let _ = fs::remove_file(&self.path);
        let _ = self.file.unlock();
    }
}

/// Opens the file, unless something else has its name: opening a link would write elsewhere.
fn open(path: &Path) -> io::Result<File> {
    if is_there(path) && !path.symlink_metadata()?.is_file() {
        return Err(io::Error::new(ErrorKind::AlreadyExists, format!("`{LOCK}` is not a file of this program")));
    }
    OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)
}

/// True if an open file still has its name.
#[cfg(unix)]
fn is_named(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let place = |data: fs::Metadata| (data.dev(), data.ino());
    file.metadata().ok().map(place) == path.symlink_metadata().ok().map(place)
}

/// True: an open file keeps its name.
#[cfg(not(unix))]
fn is_named(_: &File, _: &Path) -> bool {
    true
}

fn holder(path: &Path) -> String {
    let mut text = String::new();
    let read = File::open(path).and_then(|file| file.take(LONGEST_HOLDER).read_to_string(&mut text));
    if read.is_err() || text.is_empty() { "another run".to_owned() } else { text }
}

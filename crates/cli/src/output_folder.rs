//! Writing of output folders: the files of a run appear together or not at all, and files of people stay.
//!
//! A file is the program's if a sealed document of the folder lists it with the digest that it has, or if it has a seal
//! of its own. Everything else belongs to somebody, and is neither replaced nor removed.

mod folder_lock;
mod hidden_files;
mod journal;
mod write_error;

use std::{
    collections::BTreeMap,
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
    thread,
    time::Duration,
};

use gripwright::{DESIGN_DOCUMENT, MOULD_DOCUMENT, OutputFile, is_sealed, listed_files};
use tempfile::TempPath;

pub(crate) use write_error::WriteError;

use crate::regular_file::read_at_most;
use folder_lock::FolderLock;
use hidden_files::{PARTIAL, PREFIX, digest, file_digest, is_there};
use journal::{Change, Hidden};

/// Number of threads that sync files at a time; they mostly wait for the disk.
const SYNC_THREADS: usize = 6;
/// Longest time to wait for another run.
const PATIENCE: Duration = Duration::from_secs(10);
/// Documents that list files, in the order in which they come last.
const DOCUMENTS: [&str; 2] = [MOULD_DOCUMENT, DESIGN_DOCUMENT];
/// Longest sealed file that is read, bytes: a design of 1,000 tools takes a few million.
const LONGEST_DOCUMENT: usize = 64 << 20;

/// An output folder that no other run writes into.
#[derive(Debug)]
pub(crate) struct OutputFolder {
    path: PathBuf,
    /// Parts of the path that this run has made, outermost first.
    made: Vec<PathBuf>,
    lock: Option<FolderLock>,
}

impl OutputFolder {
    /// Makes the folder when needed, waits for another run that writes into it, and settles one that was interrupted.
    pub(crate) fn open(path: &Path) -> Result<Self, WriteError> {
        let made = make_folder(path)?;
        let mut folder = Self { path: path.to_path_buf(), made, lock: None };
        folder.lock = Some(FolderLock::take(path, PATIENCE)?);
        journal::settle(path)?;
        Ok(folder)
    }

    /// True if a file of this name may be written: there is none, or an earlier run wrote it.
    pub(crate) fn is_free(&self, name: &str) -> bool {
        let path = self.path.join(name);
        let found = || file_digest(&path).ok().flatten();
        !is_there(&path) || is_ours(&path, found().as_ref(), self.listed(&DOCUMENTS).get(name))
    }

    /// Reads a file of the folder up to `most_bytes`; `None` if there is no such text.
    pub(crate) fn read_text(&self, name: &str, most_bytes: usize) -> Option<String> {
        String::from_utf8(read_at_most(&self.path.join(name), most_bytes).ok()?).ok()
    }

    /// Writes all `files`, and removes those that one of `documents` lists and that are not among them. Returns the
    /// names of files that went.
    pub(crate) fn write(mut self, files: &[OutputFile], documents: &[&str]) -> Result<Vec<String>, WriteError> {
        let mut files: Vec<&OutputFile> = files.iter().collect();
        files.sort_by_key(|file| DOCUMENTS.iter().position(|document| *document == file.name));
        let staged = self.stage_all(&files)?;
        let outdated = self.outdated(&files, documents);
        let removed = outdated.iter().map(|change| change.name.clone()).collect();
        let changes: Vec<Change> =
            outdated.into_iter().chain(staged.iter().map(|(change, _)| change.clone())).collect();
        if !changes.is_empty() {
            let made = journal::make_changes(&self.path, &changes);
            if let Err(WriteError::Interrupted { .. }) = &made {
                // The next run needs them.
                for (_, path) in staged {
                    let _ = path.keep();
                }
            }
            made?;
        }
        self.made.clear();
        Ok(removed)
    }

    /// Files that sealed documents list, the documents among them, with their digests.
    fn listed(&self, documents: &[&str]) -> BTreeMap<String, String> {
        let mut all = BTreeMap::new();
        for document in documents {
            let path = self.path.join(document);
            let Some(bytes) = read_sealed(&path) else { continue };
            all.extend(listed_files(&bytes).unwrap_or_default());
        }
        // A document that somebody else made must not reach outside of the folder.
        all.retain(|name, _| Path::new(name).file_name().is_some_and(|plain| plain == name.as_str()));
        all
    }

    /// Returns the removals of files that earlier runs wrote and this run does not.
    fn outdated(&self, files: &[&OutputFile], documents: &[&str]) -> Vec<Change> {
        let mut listed = self.listed(documents);
        listed.retain(|name, sha256| {
            let found = || file_digest(&self.path.join(name)).ok().flatten();
            files.iter().all(|file| file.name != *name) && found().as_ref() == Some(sha256)
        });
        let change = |(number, (name, sha256))| {
            let old = Hidden { name: format!("{PREFIX}{number}.outdated"), sha256 };
            Change { name, new: None, old: Some(old) }
        };
        listed.into_iter().enumerate().map(change).collect()
    }

    /// Writes the files that differ from those in the folder under hidden names.
    fn stage_all(&self, files: &[&OutputFile]) -> Result<Vec<(Change, TempPath)>, WriteError> {
        let files: Vec<_> = files.iter().copied().zip(self.own_digests(files)?).collect();
        // A disk takes its time to sync a file, and hardly more to sync several at once.
        let share = files.len().div_ceil(SYNC_THREADS).max(1);
        let staged: Vec<_> = thread::scope(|scope| {
            let stage_some = |some: &[(&OutputFile, Option<String>)]| {
                some.iter()
                    .filter_map(|(file, old)| self.stage(file, old.as_ref()).transpose())
                    .collect::<Result<Vec<_>, _>>()
            };
            let threads: Vec<_> = files.chunks(share).map(|some| scope.spawn(move || stage_some(some))).collect();
            let stopped = || WriteError::system("write into", &self.path)(io::Error::other("a thread stopped"));
            threads.into_iter().map(|thread| thread.join().unwrap_or_else(|_| Err(stopped()))).collect()
        });
        let staged = staged.into_iter().collect::<Result<Vec<_>, _>>()?;
        Ok(staged.into_iter().flatten().collect())
    }

    /// Returns the digests of the earlier files of the same names. Refuses files of somebody else.
    fn own_digests(&self, files: &[&OutputFile]) -> Result<Vec<Option<String>>, WriteError> {
        let listed = self.listed(&DOCUMENTS);
        let (mut digests, mut foreign) = (Vec::new(), Vec::new());
        for file in files {
            let path = self.path.join(&file.name);
            if path.is_dir() {
                let cause = io::Error::new(io::ErrorKind::IsADirectory, "a folder of that name is in the way");
                return Err(WriteError::System { action: "write", path, cause });
            }
            let found = file_digest(&path).map_err(WriteError::system("read", &path))?;
            let same = found.as_ref() == Some(&digest(&file.bytes));
            if is_there(&path) && !same && !is_ours(&path, found.as_ref(), listed.get(&file.name)) {
                foreign.push(path);
            }
            digests.push(found);
        }
        if foreign.is_empty() { Ok(digests) } else { Err(WriteError::NotOurs(foreign)) }
    }

    /// Writes a file whole under a hidden name. Returns nothing if the folder has it already.
    fn stage(&self, file: &OutputFile, old: Option<&String>) -> Result<Option<(Change, TempPath)>, WriteError> {
        let (target, sha256) = (self.path.join(&file.name), digest(&file.bytes));
        if old == Some(&sha256) {
            return Ok(None);
        }
        let mut temporary = temporary_in(&self.path).map_err(WriteError::system("write into", &self.path))?;
        temporary.write_all(&file.bytes).map_err(WriteError::system("write", &target))?;
        temporary.as_file().sync_all().map_err(WriteError::system("write", &target))?;
        let path = temporary.into_temp_path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let old = old.cloned().map(|sha256| Hidden { name: format!("{name}.replaced"), sha256 });
        Ok(Some((Change { name: file.name.clone(), new: Some(Hidden { name, sha256 }), old }, path)))
    }
}

impl Drop for OutputFolder {
    fn drop(&mut self) {
        self.lock = None;
        // Innermost first; a folder that someone else filled meanwhile stays.
        for path in self.made.iter().rev() {
            let _ = fs::remove_dir(path);
        }
    }
}

/// True if a file has the digest that a document lists, or an unbroken seal.
fn is_ours(path: &Path, found: Option<&String>, listed: Option<&String>) -> bool {
    found.is_some_and(|found| listed == Some(found)) || read_sealed(path).is_some()
}

/// Returns the contents of a regular file with an unbroken seal.
fn read_sealed(path: &Path) -> Option<Vec<u8>> {
    if !path.symlink_metadata().ok()?.is_file() {
        return None;
    }
    read_at_most(path, LONGEST_DOCUMENT).ok().filter(|bytes| is_sealed(bytes))
}

/// Settles an interrupted run into the folder of a file that is to be read. Reading goes on if that cannot be done.
pub(crate) fn settle_beside(path: &Path) {
    let folder = folder_of(path);
    if journal::is_interrupted(folder)
        && let Ok(_lock) = FolderLock::take(folder, PATIENCE)
    {
        let _ = journal::settle(folder);
    }
}

/// Writes one file that must not exist yet.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    if is_there(path) {
        let cause = io::Error::new(io::ErrorKind::AlreadyExists, "it exists already");
        return Err(WriteError::System { action: "write", path: path.to_path_buf(), cause });
    }
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    OutputFolder::open(folder_of(path))?.write(&[OutputFile { name, bytes: bytes.to_vec() }], &[])?;
    Ok(())
}

/// Returns the folder of a file.
pub(crate) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Makes the folder; returns the parts of the path that were missing, outermost first.
fn make_folder(folder: &Path) -> Result<Vec<PathBuf>, WriteError> {
    let missing: Vec<PathBuf> =
        folder.ancestors().take_while(|p| !p.as_os_str().is_empty() && !p.exists()).map(Path::to_path_buf).collect();
    let mut made = Vec::new();
    for path in missing.into_iter().rev() {
        if let Err(cause) = fs::create_dir(&path) {
            // Another run may have made it a moment ago, and `..` behind a new folder is there by now.
            if path.is_dir() {
                continue;
            }
            for made in made.iter().rev() {
                let _ = fs::remove_dir(made);
            }
            return Err(WriteError::System { action: "make the folder", path, cause });
        }
        made.push(path);
    }
    if folder.is_dir() {
        return Ok(made);
    }
    let cause = io::Error::new(io::ErrorKind::NotADirectory, "it is not a folder");
    Err(WriteError::System { action: "write into", path: folder.to_path_buf(), cause })
}

fn temporary_in(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(PARTIAL);
    #[cfg(unix)]
    {
        // A private temporary file would stay private after the rename; the user's mask shall decide instead.
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

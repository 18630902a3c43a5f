//! Journal of the moves of a run, so that whoever comes next completes the run or takes it back.
//!
//! New files are staged under hidden names. Then the journal is written. Then files of earlier runs are set aside under
//! hidden names, and the new ones take their places. No move replaces a file: what somebody writes meanwhile stays.
//! Once all are in place the journal gets the name that says so, and what was set aside is removed.

use std::{
    fs,
    io::{ErrorKind, Write},
    path::{Path, PathBuf},
};

use serde::{Deserialize, Serialize};

use super::{
    hidden_files::{PARTIAL, PREFIX, file_digest, is_there, kept_name, move_new, sweep, sync_names},
    write_error::WriteError,
};

/// Journal of a run that may be half-way.
const UNDER_WAY: &str = ".gripwright-journal";
/// Journal of a run whose files are all in place.
const IN_PLACE: &str = ".gripwright-journal-in-place";
/// Names that a kept file tries.
const MOST_KEPT: usize = 1000;

/// Contents of a file under its hidden name.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub(super) struct Hidden {
    /// Name within the folder.
    pub name: String,
    /// Digest of the contents.
    pub sha256: String,
}

/// What happens to one name of the folder.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub(super) struct Change {
    /// Name within the folder.
    pub name: String,
    /// The new file; `None` if the name goes.
    pub new: Option<Hidden>,
    /// Place of the earlier file while the run is under way; `None` if there was none.
    pub old: Option<Hidden>,
}

impl Change {
    fn target(&self, folder: &Path) -> PathBuf {
        folder.join(&self.name)
    }

    /// True if all names are plain, and the hidden ones those of a run.
    fn is_sound(&self) -> bool {
        let plain = |name: &str| Path::new(name).file_name().is_some_and(|file| file == name);
        let hidden = |hidden: &Hidden| plain(&hidden.name) && hidden.name.starts_with(PREFIX);
        plain(&self.name) && self.new.as_ref().is_none_or(hidden) && self.old.as_ref().is_none_or(hidden)
    }
}

/// Makes all changes, or none.
pub(super) fn make_changes(folder: &Path, changes: &[Change]) -> Result<(), WriteError> {
    write_journal(folder, changes)?;
    complete_or_take_back(folder, changes)
}

/// True if a run into a folder was interrupted.
pub(super) fn is_interrupted(folder: &Path) -> bool {
    is_there(&folder.join(UNDER_WAY)) || is_there(&folder.join(IN_PLACE))
}

/// Completes an interrupted run or takes it back, and removes what killed runs have left. The caller holds the lock.
pub(super) fn settle(folder: &Path) -> Result<(), WriteError> {
    if is_there(&folder.join(IN_PLACE)) {
        discard(folder, &read_journal(folder, IN_PLACE)?)?;
    }
    if is_there(&folder.join(UNDER_WAY)) {
        let changes = read_journal(folder, UNDER_WAY)?;
        match complete_or_take_back(folder, &changes) {
            // Taken back: the folder is whole.
            Ok(()) | Err(WriteError::System { .. } | WriteError::WrittenMeanwhile(_)) => {}
            Err(error) => return Err(error),
        }
    }
    sweep(folder);
    Ok(())
}

fn write_journal(folder: &Path, changes: &[Change]) -> Result<(), WriteError> {
    let path = folder.join(UNDER_WAY);
    let failed = |action| WriteError::system(action, &path);
    let mut file =
        tempfile::Builder::new().prefix(PREFIX).suffix(PARTIAL).tempfile_in(folder).map_err(failed("write"))?;
    let text = serde_json::to_vec(changes).map_err(|error| failed("write")(error.into()))?;
    file.write_all(&text).map_err(failed("write"))?;
    file.as_file().sync_all().map_err(failed("write"))?;
    file.persist_noclobber(&path).map_err(|refused| failed("write")(refused.error))?;
    sync_names(folder);
    Ok(())
}

fn read_journal(folder: &Path, name: &str) -> Result<Vec<Change>, WriteError> {
    let path = folder.join(name);
    let failed = || WriteError::system("read", &path);
    let text = fs::read(&path).map_err(failed())?;
    let changes: Vec<Change> = serde_json::from_slice(&text).map_err(|error| failed()(error.into()))?;
    if changes.iter().all(Change::is_sound) {
        return Ok(changes);
    }
    Err(failed()(std::io::Error::new(ErrorKind::InvalidData, "it is not the journal of a run")))
}

fn complete_or_take_back(folder: &Path, changes: &[Change]) -> Result<(), WriteError> {
    let Err(failure) = complete(folder, changes) else {
        // The run stands; what cannot be removed now goes with the next run.
        let _ = discard(folder, changes);
        return Ok(());
    };
    match take_back(folder, changes) {
        Ok(()) => Err(failure),
        Err(undo) => Err(WriteError::Interrupted { failure: Box::new(failure), undo: Box::new(undo) }),
    }
}

/// Moves everything that is not yet in its place. The last file is the one by which a reader knows the others: it goes
/// first and comes last.
fn complete(folder: &Path, changes: &[Change]) -> Result<(), WriteError> {
    for change in changes.iter().rev() {
        set_aside(folder, change)?;
    }
    for change in changes {
        put_in_place(folder, change)?;
    }
    sync_names(folder);
    let (under_way, in_place) = (folder.join(UNDER_WAY), folder.join(IN_PLACE));
    move_new(&under_way, &in_place).map_err(WriteError::system("rename", &under_way))
}

fn set_aside(folder: &Path, change: &Change) -> Result<(), WriteError> {
    let Some(old) = &change.old else { return Ok(()) };
    let (target, aside) = (change.target(folder), folder.join(&old.name));
    if !is_there(&aside) {
        match move_new(&target, &aside) {
            Ok(()) => {}
            // Somebody has removed it: so be it.
            Err(cause) if cause.kind() == ErrorKind::NotFound => return Ok(()),
            Err(cause) => return Err(WriteError::system("replace", &target)(cause)),
        }
    }
    if is_same(&aside, &old.sha256)? { Ok(()) } else { Err(WriteError::WrittenMeanwhile(target)) }
}

fn put_in_place(folder: &Path, change: &Change) -> Result<(), WriteError> {
    let Some(new) = &change.new else { return Ok(()) };
    let (target, staged) = (change.target(folder), folder.join(&new.name));
    match move_new(&staged, &target) {
        Ok(()) => Ok(()),
        // An interrupted run had it in place already.
        Err(cause) if cause.kind() == ErrorKind::NotFound && is_there(&target) => Ok(()),
        Err(cause) if cause.kind() == ErrorKind::AlreadyExists => Err(WriteError::WrittenMeanwhile(target)),
        Err(cause) => Err(WriteError::system("write", &target)(cause)),
    }
}

/// Moves everything back to where it was.
fn take_back(folder: &Path, changes: &[Change]) -> Result<(), WriteError> {
    for change in changes.iter().rev() {
        let Some(new) = &change.new else { continue };
        let (target, staged) = (change.target(folder), folder.join(&new.name));
        if !is_there(&staged) && is_same(&target, &new.sha256)? {
            move_new(&target, &staged).map_err(WriteError::system("take back", &target))?;
        }
    }
    for change in changes {
        let Some(old) = &change.old else { continue };
        let (target, aside) = (change.target(folder), folder.join(&old.name));
        if is_there(&aside) {
            give_back(&aside, &target, &old.sha256)?;
        }
    }
    let path = folder.join(UNDER_WAY);
    fs::remove_file(&path).map_err(WriteError::system("remove", &path))?;
    for new in changes.iter().filter_map(|change| change.new.as_ref()) {
        let _ = fs::remove_file(folder.join(&new.name));
    }
    Ok(())
}

/// Puts a file back into its place. If somebody has written another one there, that one stays.
fn give_back(aside: &Path, target: &Path, sha256: &str) -> Result<(), WriteError> {
    match move_new(aside, target) {
        Err(cause) if cause.kind() == ErrorKind::AlreadyExists => remove_or_keep(aside, target, sha256),
        done => done.map_err(WriteError::system("put back", target)),
    }
}

/// Removes what was set aside, now that all new files are in place.
fn discard(folder: &Path, changes: &[Change]) -> Result<(), WriteError> {
    for change in changes {
        let Some(old) = &change.old else { continue };
        let aside = folder.join(&old.name);
        if is_there(&aside) {
            remove_or_keep(&aside, &change.target(folder), &old.sha256)?;
        }
    }
    let path = folder.join(IN_PLACE);
    fs::remove_file(&path).map_err(WriteError::system("remove", &path))
}

/// True if there is a file with a digest.
fn is_same(path: &Path, sha256: &str) -> Result<bool, WriteError> {
    let found = file_digest(path).map_err(WriteError::system("read", path))?;
    Ok(found.as_deref() == Some(sha256))
}

/// Removes a file that a run wrote. If somebody has changed it since, it gets a name beside `target`.
fn remove_or_keep(aside: &Path, target: &Path, sha256: &str) -> Result<(), WriteError> {
    if is_same(aside, sha256)? {
        return fs::remove_file(aside).map_err(WriteError::system("remove the outdated", target));
    }
    let mut names = (1..=MOST_KEPT).map(|number| kept_name(target, number));
    let free = names.find(|name| !is_there(name)).unwrap_or_else(|| kept_name(target, MOST_KEPT));
    move_new(aside, &free).map_err(WriteError::system("keep", target))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::output_folder::hidden_files::digest;

    /// Contents of a folder by name.
    type Contents = BTreeMap<String, String>;

    /// A file that is replaced, one that is new, one that goes.
    fn prepared(folder: &Path) -> Vec<Change> {
        let hidden = |name: &str, text: &str| Some(Hidden { name: name.to_owned(), sha256: digest(text.as_bytes()) });
        for (name, text) in [("a", "old a"), ("c", "old c"), (".gripwright-1", "new a"), (".gripwright-2", "new b")] {
            fs::write(folder.join(name), text).unwrap();
        }
        vec![
            Change { name: "c".to_owned(), new: None, old: hidden(".gripwright-3", "old c") },
            Change {
                name: "a".to_owned(),
                new: hidden(".gripwright-1", "new a"),
                old: hidden(".gripwright-4", "old a"),
            },
            Change { name: "b".to_owned(), new: hidden(".gripwright-2", "new b"), old: None },
        ]
    }

    /// All moves of a run in their order.
    const MOVES: [[&str; 2]; 5] = [
        ["a", ".gripwright-4"],
        ["c", ".gripwright-3"],
        [".gripwright-1", "a"],
        [".gripwright-2", "b"],
        [UNDER_WAY, IN_PLACE],
    ];

    fn contents(folder: &Path) -> Contents {
        let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
        entries.map(|e| (e.file_name().into_string().unwrap(), fs::read_to_string(e.path()).unwrap())).collect()
    }

    fn expected(files: &[(&str, &str)]) -> Contents {
        files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    /// A folder in which a run was killed after some of its moves.
    fn killed_after(moves: usize) -> (tempfile::TempDir, Vec<Change>) {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path().to_path_buf();
        let changes = prepared(&at);
        write_journal(&at, &changes).unwrap();
        for [from, to] in &MOVES[..moves] {
            fs::rename(at.join(from), at.join(to)).unwrap();
        }
        (folder, changes)
    }

    #[test]
    fn the_next_run_completes_a_killed_one_from_wherever_it_was() {
        for moves in 0..=MOVES.len() {
            let (folder, _) = killed_after(moves);
            settle(folder.path()).unwrap();
            assert_eq!(contents(folder.path()), expected(&[("a", "new a"), ("b", "new b")]), "after {moves} moves");
        }
    }

    #[test]
    fn a_file_written_meanwhile_stays_and_the_rest_is_taken_back() {
        for (moves, name) in [(0, "a"), (0, "b"), (0, "c"), (2, "a"), (2, "b"), (3, "b")] {
            let (folder, _) = killed_after(moves);
            fs::write(folder.path().join(name), "mine").unwrap();
            settle(folder.path()).unwrap();
            let mut whole = expected(&[("a", "old a"), ("c", "old c")]);
            whole.insert(name.to_owned(), "mine".to_owned());
            assert_eq!(contents(folder.path()), whole, "`{name}` after {moves} moves");
        }
    }

    #[test]
    fn a_file_written_while_it_is_set_aside_is_kept_beside() {
        let (folder, changes) = killed_after(5);
        fs::write(folder.path().join(".gripwright-4"), "mine").unwrap();
        discard(folder.path(), &changes).unwrap();
        let whole = [("a", "new a"), ("b", "new b"), ("a.kept", "mine")];
        assert_eq!(contents(folder.path()), expected(&whole));
    }

    #[test]
    fn a_move_that_fails_takes_everything_back() {
        let folder = tempfile::tempdir().unwrap();
        let changes = prepared(folder.path());
        fs::create_dir(folder.path().join("b")).unwrap();
        assert!(matches!(make_changes(folder.path(), &changes), Err(WriteError::WrittenMeanwhile(_))));
        fs::remove_dir(folder.path().join("b")).unwrap();
        assert_eq!(contents(folder.path()), expected(&[("a", "old a"), ("c", "old c")]));
    }

    #[test]
    fn a_journal_that_no_run_wrote_is_refused() {
        for text in [
            "",
            "[",
            r#"[{"name":"../x","new":null,"old":null}]"#,
            r#"[{"name":"x","new":null,"old":{"name":"y","sha256":""}}]"#,
        ] {
            let folder = tempfile::tempdir().unwrap();
            fs::write(folder.path().join(UNDER_WAY), text).unwrap();
            assert!(settle(folder.path()).is_err(), "{text}");
            assert_eq!(contents(folder.path()), expected(&[(UNDER_WAY, text)]));
        }
    }
}

//! Runs the program as a user would, in a temporary folder.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

/// Root folder of the project.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Path of a demo spec.
pub(crate) fn demo(name: &str) -> String {
    root().join("demo-specs").join(format!("{name}.toml")).display().to_string()
}

/// Text of a demo spec without the table of its mould, which comes last.
pub(crate) fn demo_without_mould(name: &str) -> String {
    let text = fs::read_to_string(demo(name)).expect("the demo can be read");
    text.split("\n[casting]").next().unwrap_or_default().to_owned()
}

/// Names of all demo specs.
pub(crate) const DEMOS: [&str; 10] = [
    "dispensing-arm",
    "inspection-arm",
    "wire-cutter",
    "seatpost-lamps",
    "round-cells",
    "marker-rail",
    "layout-compass",
    "magnifier-arm",
    "hot-air-grip",
    "bench-lamp-arm",
];

/// A temporary working folder, removed when dropped.
pub(crate) struct WorkFolder {
    folder: tempfile::TempDir,
}

/// Exit code and output of one run.
pub(crate) struct RunResult {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl WorkFolder {
    pub(crate) fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("the system gives a temporary folder") }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        fs::write(self.path(name), bytes).expect("the temporary folder takes files");
        name.to_owned()
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> RunResult {
        RunResult::from(self.command(arguments).output().expect("the program starts"))
    }

    /// Runs as in a terminal of a width.
    pub(crate) fn run_in_columns(&self, columns: usize, arguments: &[&str]) -> RunResult {
        let mut command = self.command(arguments);
        RunResult::from(command.env("COLUMNS", columns.to_string()).output().expect("the program starts"))
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_gripwright"));
        command.args(arguments).current_dir(self.folder.path());
        command.env_remove("SOURCE_DATE_EPOCH").env_remove("COLUMNS");
        command
    }

    /// Runs with a limit of `blocks` of 512 bytes on file sizes, which looks like a full disk to the program.
    pub(crate) fn run_on_full_disk(&self, blocks: u32, arguments: &[&str]) -> RunResult {
        let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
        let mut command = Command::new("sh");
        command.args(["-c", &script, env!("CARGO_BIN_EXE_gripwright")]).args(arguments);
        RunResult::from(command.current_dir(self.folder.path()).output().expect("sh starts"))
    }

    /// Starts a run and kills it after `wait_ms`, unless it has ended before.
    pub(crate) fn kill_after(&self, wait_ms: u64, arguments: &[&str]) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_gripwright"));
        let mut child = command.args(arguments).current_dir(self.folder.path()).spawn().expect("the program starts");
        std::thread::sleep(std::time::Duration::from_millis(wait_ms));
        let _ = child.kill();
        child.wait().expect("the program ends");
    }

    /// All files and folders below the working folder, sorted.
    pub(crate) fn all_paths(&self) -> Vec<String> {
        let mut found = Vec::new();
        walk(self.folder.path(), self.folder.path(), &mut found);
        found.sort();
        found
    }
}

impl From<Output> for RunResult {
    fn from(output: Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program speaks UTF-8");
        Self { code: output.status.code().unwrap_or(-1), out: text(output.stdout), err: text(output.stderr) }
    }
}

fn walk(root: &Path, folder: &Path, found: &mut Vec<String>) {
    for entry in fs::read_dir(folder).expect("the folder can be listed") {
        let path = entry.expect("the entry can be read").path();
        found.push(path.strip_prefix(root).expect("it lies below the root").display().to_string());
        if path.is_dir() {
            walk(root, &path, found);
        }
    }
}

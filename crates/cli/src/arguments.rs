//! Arguments of the command line.

use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand, builder::PossibleValuesParser};
use clap_complete::Shell;
use gripwright::input::MaterialLibrary;

use crate::second_mesher::SecondMesher;

/// Exit codes of the program and their meaning.
pub(crate) const EXIT_CODES: [(u8, &str); 6] = [
    (0, "done"),
    (1, "the spec or another input file is bad; every problem is listed with its place"),
    (2, "wrong use of the command line"),
    (3, "the spec is sound but no design meets it; the limit that binds is named"),
    (4, "files could not be written; those of earlier runs are as they were"),
    (5, "a part failed the second mesher; nothing was written"),
];

/// Sizes and draws the adapter that lets one device carry a family of round tools.
#[derive(Debug, Parser)]
#[command(name = "gripwright", version, after_help = exit_code_list(), arg_required_else_help = true)]
pub(crate) struct Arguments {
    /// Command to run.
    #[command(subcommand)]
    pub command: Command,
}

/// Commands of the program.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a commented starter spec
    New {
        /// File to write; it must not exist yet
        file: PathBuf,
        /// Say nothing when it went well
        #[arg(long)]
        quiet: bool,
    },
    /// Validate a spec, size the holder and print the fit table; writes no file
    #[command(after_help = exit_code_list())]
    Check {
        /// The spec, a TOML file
        spec: PathBuf,
        #[command(flatten)]
        output: OutputMode,
    },
    /// Make everything the spec asks for: holders and coupon set
    #[command(after_help = exit_code_list())]
    Make(Run),
    /// Make the fit-test coupons alone
    #[command(after_help = exit_code_list())]
    Coupons {
        #[command(flatten)]
        run: Run,
        /// Make the plate that teaches most after the trials so far, instead of the spec's own steps
        #[arg(long)]
        next: bool,
        /// Most coupons on that plate
        #[arg(long, value_name = "N", default_value_t = 7, requires = "next", value_parser = clap::value_parser!(u8).range(1..=40))]
        most: u8,
    },
    /// Plan the mould of a cast part: masters, box, vents, bench sheet
    #[command(after_help = exit_code_list())]
    Mould(MouldRun),
    /// Learn from trials of coupons: writes a calibration for the spec to name
    #[command(after_help = exit_code_list())]
    Calibrate {
        /// The spec, a TOML file
        spec: PathBuf,
        /// Trials files, filled in: CSV or TOML
        #[arg(required = true)]
        trials: Vec<PathBuf>,
        /// Folder for the calibration; without it, where the spec looks for it, or beside the spec
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Leave the rows of an earlier calibration out
        #[arg(long)]
        afresh: bool,
        /// Let a file replace more rows of an earlier file of its name than it has itself
        #[arg(long)]
        replace: bool,
        #[command(flatten)]
        output: OutputMode,
    },
    /// List the classes of the material library, or all figures of one with their sources
    Materials {
        /// Key of one class
        #[arg(value_parser = material_keys())]
        key: Option<String>,
        /// Print one machine-readable JSON document instead of text
        #[arg(long)]
        json: bool,
        /// Print the class as the library has it, to copy into a file of your own
        #[arg(long, requires = "key", conflicts_with = "json")]
        toml: bool,
    },
    /// Print the JSON Schema of the spec
    Schema,
    /// Print a script that completes commands, options and file names in a shell
    Completions {
        /// The shell that will read the script
        shell: Shell,
    },
    /// Print the manual page, for `man -l`
    Manual,
}

/// A run that writes files.
#[derive(Args, Debug)]
pub(crate) struct Run {
    /// The spec, a TOML file
    pub spec: PathBuf,
    /// Folder for the files; without it, `out/` and the name of the spec file
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Mesh every part a second time, by truck, and compare before anything is written
    #[cfg(feature = "truck")]
    #[arg(long)]
    pub verify: bool,
    /// Output options.
    #[command(flatten)]
    pub output: OutputMode,
}

/// A run that writes the files of a mould.
#[derive(Args, Debug)]
pub(crate) struct MouldRun {
    /// The spec, a TOML file with a table for the casting
    pub spec: PathBuf,
    /// Folder for the files; without it, `out/` and the name of the spec file
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Output options.
    #[command(flatten)]
    pub output: OutputMode,
}

impl MouldRun {
    /// Returns the folder for the files.
    pub(crate) fn folder(&self) -> PathBuf {
        folder_of(self.out.as_deref(), &self.spec)
    }
}

/// Folder for the files of a spec.
fn folder_of(out: Option<&Path>, spec: &Path) -> PathBuf {
    out.map_or_else(
        || PathBuf::from("out").join(spec.file_stem().map_or_else(|| "holder".into(), ToOwned::to_owned)),
        Path::to_path_buf,
    )
}

/// Output options.
#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct OutputMode {
    /// Print one machine-readable JSON document instead of text
    #[arg(long)]
    pub json: bool,
    /// Print nothing but problems
    #[arg(long)]
    pub quiet: bool,
}

impl Run {
    /// Returns the second mesher that the run asks for.
    #[cfg(feature = "truck")]
    pub(crate) fn second_mesher(&self) -> SecondMesher {
        if self.verify { SecondMesher::Truck } else { SecondMesher::Unused }
    }

    /// Returns that the run has no second mesher.
    #[cfg(not(feature = "truck"))]
    #[expect(clippy::unused_self, reason = "with the feature truck, the run has an option")]
    pub(crate) fn second_mesher(&self) -> SecondMesher {
        SecondMesher::Unused
    }

    /// Returns the folder for the files.
    pub(crate) fn folder(&self) -> PathBuf {
        folder_of(self.out.as_deref(), &self.spec)
    }
}

/// Returns the keys of the built-in library, which completions offer.
fn material_keys() -> PossibleValuesParser {
    PossibleValuesParser::new(MaterialLibrary::built_in_keys())
}

/// Returns the exit codes as they end the help texts.
fn exit_code_list() -> String {
    let lines = EXIT_CODES.iter().map(|(code, meaning)| format!("\n  {code}  {meaning}"));
    format!("Exit codes:{}", lines.collect::<String>())
}

//! Command line of gripwright: reads a spec, runs the steps of the library, writes the files and prints the results.

mod arguments;
mod calibrate;
mod calibration_table;
mod cautions;
mod failure;
mod fit_rows;
mod fit_table;
mod input_files;
mod keep_out_table;
mod make;
mod manual;
mod material_table;
mod mould;
mod mould_table;
mod output_folder;
mod planned_mould;
mod regular_file;
mod second_mesher;
mod sleeve_table;
mod terminal;
mod text_report;
mod trials_files;

use std::{
    fmt::Write as _,
    io::{self, Write},
    path::Path,
    process::ExitCode,
};

use clap::{CommandFactory, Parser};
use clap_complete::Shell;
use gripwright::{
    Outputs, STARTER_SPEC,
    input::{MaterialLibrary, render_diagnostic},
    material_document,
};
use serde_json::Value;

use crate::{
    arguments::{Arguments, Command, MouldRun, OutputMode, Run},
    calibrate::CalibrateArguments,
    failure::Failure,
    make::Outcome,
    terminal::{print_stderr, visible},
};

/// Next step after `check`, in lines of the terminal's width.
const AFTER_CHECK: &str = "Next: `gripwright coupons SPEC` makes the coupons, to print and try first;\n\
                           `gripwright make SPEC` makes everything.\n";
/// Output of commands that print one text.
const TEXT: OutputMode = OutputMode { json: false, quiet: false };

/// Runs the command line of this process and returns its exit code.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let (result, output) = match arguments.command {
        Command::New { file, quiet } => (new_spec(&file, quiet), OutputMode { json: false, quiet }),
        Command::Materials { key, json, toml } => {
            (materials(key.as_deref(), json, toml), OutputMode { json, quiet: false })
        }
        Command::Schema => (print_data(&pretty(&gripwright::input::schema())), TEXT),
        Command::Completions { shell } => (print_data(&completions(shell)), TEXT),
        Command::Manual => (print_data(&manual::manual_page()), TEXT),
        Command::Check { spec, output } => (check(&spec, output), output),
        Command::Make(run) => (make(&run, Outputs::Everything), run.output),
        Command::Coupons { run, next: false, .. } => (make(&run, Outputs::CouponsOnly), run.output),
        Command::Coupons { run, next: true, most } => (make_next_plate(&run, most), run.output),
        Command::Mould(run) => (mould(&run), run.output),
        Command::Calibrate { spec, trials, out, afresh, replace, output } => {
            let arguments = CalibrateArguments { spec: &spec, trials: &trials, out: out.as_deref(), afresh, replace };
            (calibrate(&arguments, output), output)
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            // With --json, the report is the output of the program, so it goes to stdout even on failure.
            let printed = output.json && print_data(&pretty(&failure.document())).is_ok();
            if !printed {
                print_stderr(&failure.text());
            }
            ExitCode::from(failure.exit_code())
        }
    }
}

fn new_spec(file: &Path, quiet: bool) -> Result<(), Failure> {
    output_folder::write_new(file, STARTER_SPEC.as_bytes())
        .map_err(|error| Failure::Unwritable { error, hint: "give the spec another name or folder" })?;
    let shown = file.display();
    if !quiet {
        let text = format!("wrote {shown}; fill in your measurements, then `gripwright check {shown}`\n");
        print_data(&visible(&text))?;
    }
    Ok(())
}

fn materials(key: Option<&str>, json: bool, toml: bool) -> Result<(), Failure> {
    let library = MaterialLibrary::built_in();
    if toml {
        return print_data(key.and_then(MaterialLibrary::built_in_text).unwrap_or_default());
    }
    let one = key.and_then(|key| library.get(key));
    let text = match (json, one) {
        (true, Some(material)) => pretty(&material_document([material])),
        (true, None) => pretty(&material_document(library.materials())),
        (false, Some(material)) => material_table::all_figures(material),
        (false, None) => material_table::all_classes(&library),
    };
    print_data(&text)
}

/// Returns the script that completes the command line in a shell.
fn completions(shell: Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "gripwright", &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

fn check(spec: &Path, output: OutputMode) -> Result<(), Failure> {
    let outcome = make::check(spec, output)?;
    print_outcome(&outcome, output, &text_report::folded_to_terminal(AFTER_CHECK))
}

fn make(run: &Run, outputs: Outputs) -> Result<(), Failure> {
    let folder = run.folder();
    let outcome = make::make(&run.spec, &folder, outputs, run.second_mesher())?;
    print_outcome_with_files(&outcome, run.output, &folder)
}

fn mould(run: &MouldRun) -> Result<(), Failure> {
    let folder = run.folder();
    let outcome = mould::mould(&run.spec, &folder)?;
    print_outcome_with_files(&outcome, run.output, &folder)
}

fn make_next_plate(run: &Run, most: u8) -> Result<(), Failure> {
    let folder = run.folder();
    let outcome = make::make_next_plate(&run.spec, &folder, usize::from(most), run.second_mesher())?;
    if outcome.files.is_empty() {
        print_outcome(&outcome, run.output, "")
    } else {
        print_outcome_with_files(&outcome, run.output, &folder)
    }
}

fn calibrate(arguments: &CalibrateArguments<'_>, output: OutputMode) -> Result<(), Failure> {
    let calibrated = calibrate::calibrate(arguments)?;
    print_stderr(&calibrated.warnings);
    if output.json {
        return print_data(&pretty(&calibrated.document));
    }
    if !output.quiet {
        let files: Vec<String> = calibrated.files.iter().map(|file| format!("  {}\n", file.display())).collect();
        let text = format!("{}Files\n{}{}", calibrated.table, files.concat(), calibrated.usage_hint);
        return print_data(&visible(&text));
    }
    Ok(())
}

fn print_outcome_with_files(outcome: &Outcome, output: OutputMode, folder: &Path) -> Result<(), Failure> {
    let mut tail = String::from("Files\n");
    for file in &outcome.files {
        let _ = writeln!(tail, "  {}", folder.join(file).display());
    }
    tail.push('\n');
    if !outcome.removed.is_empty() {
        tail.push_str(&text_report::folded_to_terminal("Removed, since this run does not make them\n"));
        for file in &outcome.removed {
            let _ = writeln!(tail, "  {}", folder.join(file).display());
        }
        tail.push('\n');
    }
    tail.push_str(&next_file(&outcome.files, folder));
    tail.push_str(&outcome.cautions);
    print_outcome(outcome, output, &tail)
}

/// Returns a line on the page to open first: on coupons, which come before the parts, else on the work at the bench.
fn next_file(files: &[String], folder: &Path) -> String {
    let page = ["coupons-card.html", "bench-sheet.html"].into_iter().find(|page| files.iter().any(|file| file == page));
    page.map_or(String::new(), |page| format!("Next: open {} and work through it\n\n", folder.join(page).display()))
}

fn print_outcome(outcome: &Outcome, output: OutputMode, tail: &str) -> Result<(), Failure> {
    for warning in &outcome.warnings {
        print_stderr(&(render_diagnostic(warning, &outcome.spec_text) + "\n"));
    }
    if output.json {
        return print_data(&pretty(&outcome.document));
    }
    if output.quiet {
        return Ok(());
    }
    let verification = outcome.verification.map_or_else(String::new, |report| report.text());
    print_data(&visible(&format!("{}{verification}{tail}", outcome.table)))
}

fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

/// Prints data and results. Lost output is a failure, be the disk full or the standard output closed. A reader that closes the pipe
/// early, as `head` does, is none.
fn print_data(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(cause) if cause.kind() != io::ErrorKind::BrokenPipe => Err(Failure::Unprintable(cause)),
        _ => Ok(()),
    }
}

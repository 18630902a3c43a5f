//! The gripwright command line: reads a spec, runs the stages, writes the files, says what happened.

mod arguments;
mod calibrate;
mod calibration_table;
mod document;
mod failure;
mod fit_table;
mod folder;
mod keep_outs;
mod learnt;
mod load;
mod make;
mod measured;
mod plate_files;
mod sleeve_table;
mod trial_sheet;

use std::{
    fmt::Write as _,
    io::{self, Write},
    path::Path,
    process::ExitCode,
};

use clap::Parser;
use gripwright::cautions;
use gripwright_input::{STARTER, render};
use serde_json::Value;

use crate::{
    arguments::{Arguments, Command, Run, Talk},
    calibrate::Asked,
    failure::Failure,
    make::{Extent, Outcome},
};

/// Runs the command line of this process and gives its exit code.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let (outcome, talk) = match arguments.command {
        Command::New { file, quiet } => (start(&file, quiet), Talk { json: false, quiet }),
        Command::Schema => {
            say(&pretty(&gripwright_input::schema()));
            (Ok(()), Talk { json: false, quiet: false })
        }
        Command::Check { spec, talk } => (check(&spec, talk), talk),
        Command::Make(run) => (produce(&run, Extent::Everything), run.talk),
        Command::Coupons { run, next: false, .. } => (produce(&run, Extent::CouponsOnly), run.talk),
        Command::Coupons { run, next: true, most } => (next_plate(&run, most), run.talk),
        Command::Calibrate { spec, trials, out, afresh, talk } => {
            let asked = Asked { spec: &spec, trials: &trials, out: out.as_deref(), afresh };
            (learn(&asked, talk), talk)
        }
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            // With --json the document is the answer, so it goes to stdout even when the answer is no.
            if talk.json {
                say(&pretty(&failure.document()));
            } else {
                complain(&failure.text());
            }
            ExitCode::from(failure.exit_code())
        }
    }
}

fn start(file: &Path, quiet: bool) -> Result<(), Failure> {
    folder::write_new(file, STARTER.as_bytes())?;
    let shown = file.display();
    if !quiet {
        say(&format!("wrote {shown}; fill in your measurements, then `gripwright check {shown}`\n"));
    }
    Ok(())
}

fn check(spec: &Path, talk: Talk) -> Result<(), Failure> {
    let outcome = make::design(spec)?;
    answer(&outcome, talk, "");
    Ok(())
}

fn produce(run: &Run, extent: Extent) -> Result<(), Failure> {
    let folder = run.folder();
    let outcome = make::make(&run.spec, &folder, extent)?;
    answer_with_files(&outcome, run.talk, &folder);
    Ok(())
}

fn next_plate(run: &Run, most: u8) -> Result<(), Failure> {
    let folder = run.folder();
    let outcome = make::next(&run.spec, &folder, usize::from(most))?;
    if outcome.files.is_empty() {
        answer(&outcome, run.talk, "");
    } else {
        answer_with_files(&outcome, run.talk, &folder);
    }
    Ok(())
}

fn learn(asked: &Asked<'_>, talk: Talk) -> Result<(), Failure> {
    let found = calibrate::calibrate(asked)?;
    complain(&found.warnings);
    if talk.json {
        say(&pretty(&found.document));
    } else if !talk.quiet {
        let files: Vec<String> = found.files.iter().map(|file| format!("  {}\n", file.display())).collect();
        say(&format!("{}Files\n{}{}", found.table, files.concat(), found.how_to_use));
    }
    Ok(())
}

fn answer_with_files(outcome: &Outcome, talk: Talk, folder: &Path) {
    let mut tail = String::from("Files\n");
    for file in &outcome.files {
        let _ = writeln!(tail, "  {}", folder.join(file).display());
    }
    tail.push('\n');
    tail.push_str(&cautions::text());
    answer(outcome, talk, &tail);
}

fn answer(outcome: &Outcome, talk: Talk, tail: &str) {
    for warning in &outcome.warnings {
        complain(&(render(warning, &outcome.spec_text) + "\n"));
    }
    if talk.json {
        say(&pretty(&outcome.document));
    } else if !talk.quiet {
        say(&format!("{}{tail}", outcome.table));
    }
}

fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

/// Data and results go to stdout. A reader that hangs up early is no failure of ours.
fn say(text: &str) {
    let _ = io::stdout().lock().write_all(text.as_bytes());
}

/// Talk about problems goes to stderr.
fn complain(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

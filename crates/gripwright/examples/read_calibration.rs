//! Fits trials of coupons, and sizes the spec with the calibration. The outcomes are invented.

use std::{collections::BTreeMap, io::Write as _};

use gripwright::{Project, input::TrialRound};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let project: Project = gripwright::STARTER_SPEC.parse()?;
    let untried = project.design_without_trials()?;

    // A person fills in the blank sheet. Here every coupon of size A held well but the loosest, which was loose.
    let filled: String = untried
        .trials_sheet()
        .lines()
        .enumerate()
        .map(|(row, line)| match line.split_once(",,") {
            Some((first, rest)) if row > 0 && first.starts_with('A') => {
                let outcome = if first.starts_with("A+0.2") { "loose" } else { "good" };
                format!("{first},{outcome},{rest}\n")
            }
            _ => format!("{line}\n"),
        })
        .collect();
    let trials = untried.read_trials(filled.as_bytes(), "trials.csv")?;
    let run = untried.calibrate(vec![TrialRound { file: "trials.csv".to_owned(), rows: trials.rows }])?;

    // The spec names the calibration; its bytes come from the map.
    let files = untried.calibration_files(&run, "calibration.toml", "calibration");
    let files: BTreeMap<String, Vec<u8>> = files.into_iter().map(|file| (file.name, file.bytes)).collect();
    let spec = gripwright::STARTER_SPEC.replace("[printer]", "[printer]\ncalibration = \"calibration.toml\"");
    let project = Project::read(spec.as_bytes(), "holder.toml", &files)?;
    let design = project.design()?;
    let mut out = std::io::stdout();
    writeln!(out, "bore error {:+.3} mm", run.calibration.bore_error.after.median)?;
    for size in &design.design().sizes {
        writeln!(out, "size {}: drawn {:+.3} mm wider", size.letter, size.drawn_wider_mm)?;
    }
    Ok(())
}

//! Sizes and makes holders of random layouts; counts those made by their features and those refused by the reason.
//!
//!     cargo run --release -p gripwright-tests --example random_layouts -- 500 [FIRST]
//!
//! Fails at the first holder that is invalid or whose draft or name differs from the spec, and at the first refusal without
//! advice.

use std::{collections::BTreeMap, error::Error};

use gripwright::solids::{Part, holders};
use gripwright_export::{StepHeader, StepPart, step};
use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{Design, size};
use gripwright_tests::random_layout;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let wanted: u64 = arguments.next().ok_or("usage: random_layouts COUNT [FIRST]")?.parse()?;
    let first: u64 = arguments.next().map_or(Ok(0), |text| text.parse())?;
    let materials = MaterialLibrary::built_in();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for seed in first..first + wanted {
        let found = outcome(seed, &materials).map_err(|e| format!("seed {seed}: {e}"))?;
        for what in found {
            *counts.entry(what).or_default() += 1;
        }
        if (seed + 1 - first).is_multiple_of(REPORT_INTERVAL) || seed + 1 == first + wanted {
            report(seed + 1 - first, &counts);
        }
    }
    Ok(())
}

/// Number of layouts between two reports.
const REPORT_INTERVAL: u64 = 100;

#[expect(clippy::print_stdout, reason = "this program prints counts")]
fn report(after: u64, counts: &BTreeMap<String, usize>) {
    println!("after {after}");
    for (what, count) in counts {
        println!("{count:>5}  {what}");
    }
}

/// Outcomes of one layout, in words.
fn outcome(seed: u64, materials: &MaterialLibrary) -> Result<Vec<String>, Box<dyn Error>> {
    let loaded = match read_spec(&random_layout(seed), "layout.toml", materials) {
        Ok(loaded) => loaded,
        Err(problems) => {
            let first = problems.first().ok_or("a refusal without a reason")?;
            require_advice(first.allowed.is_some() || !first.hints.is_empty())?;
            return Ok(vec![format!("refused by the spec: {}", first.code)]);
        }
    };
    let design = match size(&loaded.spec) {
        Ok(design) => design,
        Err(problems) => {
            let first = problems.first().ok_or("a refusal without a reason")?;
            require_advice(first.allowed.is_some() || first.hint.is_some())?;
            return Ok(vec![format!("refused by the design: {}", first.code)]);
        }
    };
    let parts = holders(&design, loaded.spec.printer.least_wall_mm)?;
    check_against_spec(&loaded.spec, &design, &parts)?;
    Ok(features(&loaded.spec, &design).into_iter().map(|what| format!("made: {what}")).collect())
}

fn require_advice(has_advice: bool) -> Result<(), &'static str> {
    if has_advice { Ok(()) } else { Err("refused without advice") }
}

/// Checks that names, unit and draft are those of the spec.
fn check_against_spec(spec: &Spec, design: &Design, parts: &[Part]) -> Result<(), Box<dyn Error>> {
    let listed: Vec<StepPart<'_>> =
        parts.iter().map(|p| StepPart { name: p.solid.name(), brep: p.solid.brep() }).collect();
    let header = StepHeader {
        file_name: "random.step".to_owned(),
        description: "random layout".to_owned(),
        time_stamp: "1970-01-01T00:00:00".to_owned(),
        originating_system: "gripwright".to_owned(),
    };
    let text = step(&listed, &header)?;
    if !text.contains("SI_UNIT(.MILLI.,.METRE.)") {
        return Err("the file is not in millimetres".into());
    }
    for (plan, part) in design.holders.iter().zip(parts) {
        if part.solid.name() != format!("{} {}", spec.name, plan.letter) || !text.contains(part.solid.name()) {
            return Err(format!("the part is named {}", part.solid.name()).into());
        }
        if (plan.draft_rad - spec.finish.draft_rad).abs() > 0.0 {
            return Err("the draft is not the spec's".into());
        }
    }
    Ok(())
}

fn features(spec: &Spec, design: &Design) -> Vec<&'static str> {
    let layout = &spec.layout;
    let windows = design.holders.iter().any(|h| !h.windows.is_empty());
    let has = [
        (true, "all"),
        (layout.pitch_rad.abs() > 0.0, "pitched"),
        (layout.stations_mm.len() > 1, "several clips"),
        (layout.stop_at_mm.is_some(), "stop"),
        (spec.finish.draft_rad > 0.0, "draft"),
        (!design.mount.taper.is_none(), "tapered"),
        (windows, "windows"),
        (layout.sway_at_most_mm.is_some(), "limited sway"),
    ];
    has.into_iter().filter(|(there, _)| *there).map(|(_, what)| what).collect()
}

//! Sizes the same tools for a family of bodies on all cores, and prints the push that each mount needs.

use gripwright::{Error, Project};
use rayon::prelude::*;

/// Widths of the bodies, mm: invented.
const WIDTHS_MM: [f64; 4] = [22.0, 24.0, 26.0, 28.0];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let sized: Vec<Result<String, Error>> = WIDTHS_MM.par_iter().map(|width_mm| line(*width_mm)).collect();
    for line in sized {
        std::io::Write::write_all(&mut std::io::stdout(), line?.as_bytes())?;
    }
    Ok(())
}

/// Sizes the starter spec on a body of another width.
fn line(width_mm: f64) -> Result<String, Error> {
    let spec = gripwright::STARTER_SPEC.replace("width = 24.0", &format!("width = {width_mm:.1}"));
    let project: Project = spec.parse()?;
    let design = project.design()?;
    let mount = &design.design().mount_fit;
    Ok(format!("body {width_mm} mm wide: the mount snaps on with at most {:.1} N\n", mount.snap_in_n.greatest))
}

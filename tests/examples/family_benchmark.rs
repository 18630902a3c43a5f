//! Sizes families of a growing number of tools and prints the times.
//!
//! The tools are invented: diameters evenly distributed between 8 and 24 mm, 20 g, 1 N along and across.

use std::{error::Error, fmt::Write as _, io::Write as _, time::Instant};

use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::size;

fn main() -> Result<(), Box<dyn Error>> {
    let mut before: Option<(f64, f64)> = None;
    for count in [125_u32, 250, 500, 1000] {
        let spec = read_spec(&family(count), "family.toml", &MaterialLibrary::built_in())
            .map_err(|_| "the benchmark's own spec is invalid")?
            .spec;
        let start = Instant::now();
        let design = size(&spec).map_err(|problems| format!("no design: {problems:?}"))?;
        let seconds = start.elapsed().as_secs_f64();
        let n = f64::from(count);
        let growth = before.map_or(String::new(), |(m, t)| {
            format!(
                ", {:.2} times as long for twice the tools (n log n: {:.2})",
                seconds / t,
                n * n.ln() / (m * m.ln())
            )
        });
        writeln!(std::io::stdout(), "{count} tools in {} sizes: {seconds:.2} s{growth}", design.sizes.len())?;
        before = Some((n, seconds));
    }
    Ok(())
}

/// Text of a spec with `count` tools.
fn family(count: u32) -> String {
    let mut text = String::from(
        "[holder]\nname = \"Invented family\"\n\n[body]\nprofile = { shape = \"circle\", diameter = 25.0 }\n\
         mount_length = 20.0\n\n[layout]\noffset = 60.0\n\n[fit]\nload_path = \"report\"\n\n[material]\nprint = \"petg\"\n\n",
    );
    for i in 0..count {
        // Multiples of the golden ratio distribute any number of diameters evenly, unsorted.
        let position = (f64::from(i) * 0.618_033_988_749_895).fract();
        let _ = write!(
            text,
            "[[tools]]\nname = \"tool {i}\"\ndiameter = {:.3}\nmass = \"20 g\"\n\
             working_load = {{ along = \"1 N\", across = \"1 N\" }}\n\n",
            8.0 + 16.0 * position
        );
    }
    text
}

//! Makes holders whose web has a pocket for a random lever, writes them as STL, and prints their data for the outside
//! checks: one JSON document per line.
//!
//!     keep_out_dump FOLDER COUNT

use std::{error::Error, fs, path::Path};

use gripwright::solids::holders;
use gripwright_export::stl;
use gripwright_input::{KeepOutShape, MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{Design, size};
use gripwright_tests::random_sweep;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(count)) = (arguments.next(), arguments.next()) else {
        return Err("usage: keep_out_dump FOLDER COUNT".into());
    };
    let count: usize = count.parse()?;
    fs::create_dir_all(&folder)?;
    let materials = MaterialLibrary::built_in();
    let (mut made, mut refused) = (0, 0);
    for seed in 0..4 * count as u64 {
        if made >= count {
            break;
        }
        let loaded = read_spec(&random_sweep(seed), "sweep.toml", &materials)
            .map_err(|problems| format!("seed {seed}: {}", problems[0]))?;
        match size(&loaded.spec) {
            Ok(design) => {
                let name = format!("sweep-{seed}.stl");
                let parts = holders(&design, loaded.spec.printer.least_wall_mm)?;
                fs::write(Path::new(&folder).join(&name), stl(&[&parts[0].mesh])?)?;
                made += 1;
                print_line(&entry(&name, &loaded.spec, &design));
            }
            Err(problems) => {
                refused += 1;
                print_line(&format!("{{\"refused\":\"{}\",\"seed\":{seed}}}", problems[0].code));
            }
        }
    }
    print_line(&format!("{{\"made\":{made},\"refused\":{refused}}}"));
    Ok(())
}

#[expect(clippy::print_stdout, reason = "this program prints a document")]
fn print_line(line: &str) {
    println!("{line}");
}

/// The lever as in the spec and its clearance as in the design. Names need no escapes.
fn entry(name: &str, spec: &Spec, design: &Design) -> String {
    let (keep_out, found) = (&spec.keep_outs[0], &design.holders[0].keep_outs[0]);
    let KeepOutShape::Sweep { pivot_mm, reach_mm, thickness_mm, width_mm, across_mm, from_rad, to_rad } =
        keep_out.shape
    else {
        return String::new();
    };
    format!(
        "{{\"path\":\"{name}\",\"pivot_mm\":{pivot_mm:?},\"reach_mm\":{reach_mm},\"thickness_mm\":{thickness_mm},\
         \"width_mm\":{width_mm},\"across_mm\":{across_mm},\"from_deg\":{},\"to_deg\":{},\"clearance_mm\":{},\
         \"relieved\":{},\"before_mm\":{},\"after_mm\":{},\"part\":\"{}\",\"web_width_mm\":{},\"windows\":{}}}",
        from_rad.to_degrees(),
        to_rad.to_degrees(),
        keep_out.clearance_mm,
        found.relieved,
        found.before.distance_mm,
        found.after.distance_mm,
        found.after.part.word(),
        design.holders[0].web.width_mm,
        design.holders[0].windows.len(),
    )
}

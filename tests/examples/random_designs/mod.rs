//! Designs of random specs, and their parts as files, for the programs that outside checks start.

mod part_file;

use std::{error::Error, fs, path::Path};

use gripwright_input::{LoadedSpec, MaterialLibrary, read_spec};
use gripwright_sizing::{Design, size};
use gripwright_tests::{random_layout, random_spec};

pub(crate) use part_file::write_step;

/// Specs that are tried for each that is wanted.
const TRIES: u64 = 20;

/// Prints a JSON list with one entry for each of the random specs that have a design, as many as the command line asks
/// for. `make_entry` takes the folder of the command line, the number of the spec, the spec and its design.
pub(crate) fn print_entries(
    program: &str,
    make_entry: impl Fn(&Path, u64, &LoadedSpec, &Design) -> Result<String, Box<dyn Error>>,
) -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(count)) = (arguments.next(), arguments.next()) else {
        return Err(format!("usage: {program} FOLDER COUNT").into());
    };
    let count: usize = count.parse()?;
    fs::create_dir_all(&folder)?;
    let materials = MaterialLibrary::built_in();
    let mut entries = Vec::new();
    for seed in 0..TRIES * count as u64 {
        if entries.len() >= count {
            break;
        }
        // Every other spec has a layout.
        let text = if entries.len() % 2 == 0 { random_spec(seed) } else { random_layout(seed) };
        let Ok(loaded) = read_spec(&text, "random.toml", &materials) else { continue };
        let Ok(design) = size(&loaded.spec) else { continue };
        entries.push(make_entry(Path::new(&folder), seed, &loaded, &design)?);
    }
    #[expect(clippy::print_stdout, reason = "this program prints a document")]
    {
        println!("[{}]", entries.join(",\n"));
    }
    Ok(())
}

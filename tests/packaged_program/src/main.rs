//! Reads the spec at the first argument, designs its holders and writes their STEP files into the folder at the second.

use std::{env, error::Error, fs, path::Path};

use gripwright::{FileOptions, Outputs, Project};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [spec, folder] = arguments.as_slice() else { return Err("usage: packaged-program SPEC FOLDER".into()) };
    let project: Project = fs::read_to_string(spec)?.parse()?;
    let design = project.design()?;
    let parts = design.parts(Outputs::Everything)?;
    let made = design.files(&parts, &FileOptions::default())?;
    for file in made.files.iter().filter(|file| file.name.ends_with(".step")) {
        fs::write(Path::new(folder).join(&file.name), &file.bytes)?;
    }
    Ok(())
}

//! Makes the files of one spec in memory, and lists their names and sizes.

use gripwright::{FileOptions, Outputs, Project};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let project: Project = gripwright::STARTER_SPEC.parse()?;
    let design = project.design()?;
    let parts = design.parts(Outputs::Everything)?;
    let made = design.files(&parts, &FileOptions::default())?;
    let lines = made.files.iter().map(|file| format!("{:8} bytes  {}\n", file.bytes.len(), file.name));
    write_out(&lines.collect::<String>())
}

fn write_out(text: &str) -> Result<(), Box<dyn std::error::Error>> {
    Ok(std::io::Write::write_all(&mut std::io::stdout(), text.as_bytes())?)
}

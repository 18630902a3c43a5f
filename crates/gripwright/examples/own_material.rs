//! Sizes a spec in a material of one's own. Its figures are invented: take those of a data sheet.

use std::collections::BTreeMap;

use gripwright::Project;

const MATERIALS: &str = r#"
[workshop-plastic]
title = "Workshop plastic"
modulus = { least = 1900, greatest = 2100, source = "invented for this example" }
poisson = { value = 0.38, source = "invented for this example" }
strain_single = { value = 0.03, source = "invented for this example" }
strain_repeated = { value = 0.018, source = "invented for this example" }
friction = { least = 0.20, greatest = 0.30, source = "invented for this example" }
density = { value = 1.2, source = "invented for this example" }
grip_after_1000_h = { least = 0.5, greatest = 0.7, source = "invented for this example" }
across_layers = { value = 0.5, source = "invented for this example" }
"#;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let material = "print = \"workshop-plastic\"\nlibrary = \"mine.toml\"";
    let spec = gripwright::STARTER_SPEC.replace("print = \"petg\"", material);
    // The spec names the file; its bytes come from here, as would those of a drawing or a scan.
    let files = BTreeMap::from([("mine.toml".to_owned(), MATERIALS.as_bytes().to_vec())]);
    let project = Project::read(spec.as_bytes(), "holder.toml", &files)?;
    let design = project.design()?;
    for size in &design.design().sizes {
        let text = format!("size {}: margin {:.2} by {}\n", size.letter, size.margin.ratio, size.margin.limit.word());
        std::io::Write::write_all(&mut std::io::stdout(), text.as_bytes())?;
    }
    Ok(())
}

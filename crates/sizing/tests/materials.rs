//! Every class of the material library has a spec with a design. The body, the tool and its loads are invented.

use gripwright_input::{Material, MaterialLibrary, read_spec};
use gripwright_sizing::{Design, size};

/// Classes softer than this, MPa, carry a small tool, with room for thick walls.
const SOFT_MPA: f64 = 200.0;
/// Mounts of classes that bear less at rest are taken off between uses.
const BRITTLE_AT_REST: f64 = 0.004;

fn spec_text(material: &Material) -> String {
    let soft = material.modulus_mpa.least < SOFT_MPA;
    let (mass_g, load_n, offset_mm) = if soft { (3, 0.05, 28) } else { (8, 0.3, 24) };
    let uses = if material.strain_at_rest < BRITTLE_AT_REST { "repeated" } else { "left-on" };
    format!(
        "[holder]\nname = \"Bench holder\"\n\
         [body]\nprofile = {{ shape = \"rounded-rectangle\", width = 24.0, height = 16.0, corner = 5.0 }}\n\
         spread = 0.03\nmount_length = 30.0\nuses = \"{uses}\"\n\
         [[tools]]\nname = \"Tool\"\ndiameter = {{ min = 11.9, max = 12.0 }}\nmass = {mass_g}\n\
         working_load = {{ along = {load_n}, across = {load_n} }}\n\
         [layout]\noffset = {offset_mm}\n\
         [fit]\nload_path = \"limit\"\nsnap_on = {{ at_most = 90 }}\nhold = {{ safety = 1.5 }}\n\
         [material]\nprint = \"{}\"\n",
        material.key
    )
}

#[test]
fn every_class_has_a_spec_with_a_design() {
    let library = MaterialLibrary::built_in();
    let mut without = Vec::new();
    for material in library.materials() {
        let text = spec_text(material);
        let spec = read_spec(&text, "bench.toml", &library).expect("the spec is sound").spec;
        match size(&spec) {
            Ok(design) => {
                let margins = design.fit.iter().map(|row| &row.figures).chain([&design.mount_fit]);
                assert!(margins.map(|figures| figures.margin).all(|margin| margin.is_kept()), "{}", material.key);
            }
            Err(problems) => without.push(format!("{}: {problems:#?}", material.key)),
        }
    }
    assert!(without.is_empty(), "classes without a design: {}", without.join("\n"));
}

/// The design of a bench holder, with a line under `[fit]`.
fn warm_design(key: &str, line: &str) -> Design {
    let library = MaterialLibrary::built_in();
    let text =
        spec_text(library.get(key).expect("it is in the library")).replace("[fit]\n", &format!("[fit]\n{line}\n"));
    let spec = read_spec(&text, "bench.toml", &library).expect("the spec is sound").spec;
    size(&spec).unwrap_or_else(|problems| panic!("{key}, {line}: {problems:#?}"))
}

/// What a material declares makes the warm holder hold at less stiffness; what it does not declare changes nothing but a
/// note.
#[test]
fn warmth_takes_what_the_material_declares_and_says_what_it_does_not() {
    let [cool, warm] = ["", "temperature = 60"].map(|line| warm_design("pp", line));
    let softest = |design: &Design| design.fit[0].figures.snap_in_n.least / design.fit[0].figures.snap_in_n.greatest;
    assert!(softest(&warm) < 0.7 * softest(&cool), "{} against {}", softest(&warm), softest(&cool));
    let note = |design: &Design| design.notes.iter().find(|note| note.contains("snapped on, and")).cloned();
    assert_eq!(note(&cool), None);
    let said = note(&warm).expect("there is a note");
    assert!(said.contains("stiffness 58 % of that at 23 °C"), "{said}");
    assert!(said.contains("relaxation not declared"), "{said}");

    let [cool, warm] = ["", "temperature = 45"].map(|line| warm_design("petg", line));
    assert_eq!((&cool.sizes, &cool.fit, &cool.mount), (&warm.sizes, &warm.fit, &warm.mount));
    let said = note(&warm).expect("there is a note");
    assert!(said.contains("stiffness not declared") && said.contains("serves up to 60 °C"), "{said}");
}

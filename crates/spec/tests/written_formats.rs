//! The files in `specs/` agree with the code.

use gripwright_spec::{MaterialLibrary, STARTER, read, schema};

#[test]
fn the_starter_spec_passes_without_a_warning() {
    let loaded = read(STARTER, "starter.toml", &MaterialLibrary::built_in());
    assert_eq!(loaded.map(|loaded| loaded.warnings), Ok(Vec::new()));
}

/// Written by `gripwright schema`; when this fails, write it again and look at what changed.
#[test]
fn the_schema_file_is_the_schema_of_the_program() {
    let written = include_str!("../../../specs/gripwright.schema.json");
    let expected = serde_json::to_string_pretty(&schema()).unwrap_or_default();
    assert!(written.trim_end() == expected, "specs/gripwright.schema.json should read:\n{expected}");
}

#[test]
fn every_figure_of_the_library_has_its_source() {
    for material in MaterialLibrary::built_in().materials() {
        let named: Vec<&str> =
            material.sources.iter().filter_map(|source| source.split_once(": ")).map(|(figure, _)| figure).collect();
        let figures = ["modulus", "poisson", "strain_single", "strain_repeated", "friction", "density"];
        assert_eq!(named, figures, "{}", material.key);
    }
}

/// The rule that the head of the library states: 60 % of the single value for repeated snapping.
#[test]
fn strains_follow_the_rule_of_repeated_snapping() {
    for material in MaterialLibrary::built_in().materials() {
        let share = material.strain_repeated / material.strain_single;
        assert!((share - 0.6).abs() < 1e-12, "{}: {share}", material.key);
    }
}

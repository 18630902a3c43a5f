//! The files in `specs/` agree with the code.

use gripwright_input::{FigureBounds, MaterialLibrary, STARTER_SPEC, read_spec, schema};
use serde_json::Value;

#[test]
fn the_starter_spec_passes_without_a_warning() {
    let loaded = read_spec(STARTER_SPEC, "starter.toml", &MaterialLibrary::built_in());
    assert_eq!(loaded.map(|loaded| loaded.warnings), Ok(Vec::new()));
}

/// `gripwright schema` writes this file. If this fails, write it again and review the difference.
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
        let figures = [
            "modulus",
            "poisson",
            "strain_single",
            "strain_repeated",
            "strain_at_rest",
            "strain_yield",
            "friction",
            "density",
            "grip_after_1000_h",
            "across_layers",
        ];
        let (always, sometimes) = named.split_at(figures.len().min(named.len()));
        assert_eq!(always, figures, "{}", material.key);
        let others = [
            "service_temperature",
            "modulus_by_temperature",
            "strain_by_temperature",
            "grip_by_temperature",
            "moisture",
            "cracks_with",
        ];
        assert!(sometimes.iter().all(|figure| others.contains(figure)), "{}: {named:?}", material.key);
        assert!(material.service_temperature_c.is_some(), "{}", material.key);
        assert!(material.process.is_some(), "{}", material.key);
        // No built-in material relies on a default.
        assert!(material.sources.iter().all(|source| !source.contains("taken as usual")), "{}", material.key);
    }
}

/// Rule in the head of the library: 60 % of the single value for repeated snapping.
#[test]
fn strains_follow_the_rule_of_repeated_snapping() {
    for material in MaterialLibrary::built_in().materials() {
        let share = material.strain_repeated / material.strain_single;
        assert!((share - 0.6).abs() < 1e-12, "{}: {share}", material.key);
    }
}

/// A class is narrow enough to design with, or names classes that are.
#[test]
fn wide_classes_name_narrower_ones() {
    let library = MaterialLibrary::built_in();
    for material in library.materials() {
        let FigureBounds { least, greatest } = material.modulus_mpa;
        let wide = greatest > 2.5 * least;
        assert_eq!(wide, !material.narrower.is_empty(), "{}: {least} to {greatest} MPa", material.key);
        for key in &material.narrower {
            let narrower = library.get(key).expect("a narrower class is in the library");
            let span = |bounds: FigureBounds| bounds.greatest / bounds.least;
            assert!(span(narrower.modulus_mpa) <= 2.0, "{key}");
        }
        assert!(material.strain_yield >= material.strain_single, "{}", material.key);
    }
}

/// What the shares by temperature reach covers the temperature of service: no warmth that serves is left undeclared.
#[test]
fn declared_shares_reach_the_service_temperature() {
    let mut declared = 0;
    for material in MaterialLibrary::built_in().materials() {
        let service = material.service_temperature_c.expect("every class has one");
        let shares = [&material.modulus_by_temperature, &material.strain_by_temperature, &material.grip_by_temperature];
        for shares in shares.into_iter().flatten() {
            assert!(shares.at(service).is_some_and(|share| share < 1.0), "{}", material.key);
            declared += 1;
        }
    }
    assert!(declared >= 3, "{declared}");
}

/// The only relaxation figure with a published source lies within its range: polycarbonate, 30 of 36 MPa from 1 h to 1,000 h.
#[test]
fn polycarbonate_relaxes_as_published() {
    let left = MaterialLibrary::built_in().get("pc").map(|pc| pc.grip_after_1000_h);
    assert!(left.is_some_and(|left| left.least < 30.0 / 36.0 && 30.0 / 36.0 < left.greatest), "{left:?}");
}

/// The key table of `specs/README.md` is generated from the schema.
#[test]
fn the_readme_lists_every_key() {
    let mut rows = vec!["| key | what it is | default |".to_owned(), "|---|---|---|".to_owned()];
    list_keys(&schema(), "", &mut rows);
    assert!(rows.len() > 40, "the schema has only {} keys", rows.len());
    let readme = include_str!("../../../specs/README.md");
    let listed: Vec<&str> = readme.lines().filter(|line| line.starts_with('|')).collect();
    assert!(listed == rows, "the key table of specs/README.md should read:\n{}", rows.join("\n"));
}

/// Adds the keys of a table and of the tables in it.
fn list_keys(table: &Value, path: &str, rows: &mut Vec<String>) {
    // Shapes of a profile have keys of the same name that mean different things.
    let shape = table["properties"]["shape"]["const"].as_str();
    for (key, form) in table["properties"].as_object().into_iter().flatten() {
        let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        let about = form["description"].as_str().unwrap_or("");
        let about = shape.map_or(about.to_owned(), |shape| format!("`\"{shape}\"`: {about}"));
        let default = form.get("default").map(|default| format!("`{default}`")).unwrap_or_default();
        let row = format!("| `{path}` | {about} | {default} |");
        if form["description"].is_string() && !rows.contains(&row) {
            rows.push(row);
        }
        // The second section has the keys of the first, which are listed there.
        if path == "body.far.profile" {
            continue;
        }
        list_keys(form, &path, rows);
        list_keys(&form["items"], &path, rows);
        for choice in ["oneOf", "anyOf"] {
            for inner in form[choice].as_array().into_iter().flatten() {
                list_keys(inner, &path, rows);
            }
        }
    }
}

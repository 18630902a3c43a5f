//! Bounds of the work before a refusal: numbers of sizings, so that the same spec always gives the same answer.

use gripwright_input::{BodyProfile, Spec, ToolSection};

/// Work of one sizing over that of one round tool on a round bar.
///
/// Source: own runs, processor time of `check` on ten demos and five other bodies. A measured outline has sharp rounds, which
/// take many points of contact on both arms; a hexagon is solved in two attitudes, a tapering body at both ends.
pub(crate) fn sizing_work(spec: &Spec) -> usize {
    let measured = matches!(spec.body.profile, BodyProfile::Measured(_) | BodyProfile::Surveyed(_));
    let hexagons = spec.tools.iter().filter(|tool| matches!(tool.section, ToolSection::Hexagon { .. })).count();
    let body = if measured { 6 } else { 1 };
    let tapers = if spec.body.far.is_some() { 2 } else { 1 };
    body * tapers + hexagons + spec.tools.len() / 2
}

/// Number of sizings that take as much work as `round` sizings of a round tool on a round bar; `least` at least.
pub(crate) fn bounded_sizings(spec: &Spec, round: usize, least: usize) -> usize {
    (round / sizing_work(spec)).max(least)
}

#[cfg(test)]
mod tests {
    use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec};

    use super::*;

    #[test]
    fn heavier_specs_are_sized_less_often() {
        let mut spec = read_spec(STARTER_SPEC, "starter.toml", &MaterialLibrary::built_in()).expect("it is sound").spec;
        let plain = bounded_sizings(&spec, 60, 4);
        spec.tools[0].section = ToolSection::Hexagon { corner_mm: 0.5 };
        assert!(bounded_sizings(&spec, 60, 4) < plain);
        assert_eq!(bounded_sizings(&spec, 1, 4), 4);
    }
}

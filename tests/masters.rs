//! Masters against the holders that are cast from them, through the public library: a finished master, shrunk, is the holder.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::collections::BTreeMap;

use gripwright::{
    CastKind, Outputs, Project,
    casting::{AirLimits, Opening, find_pockets},
};
use gripwright_solid::{Brep, Surface};

/// Net shrinkage and primer of the spec below.
const SHRINKAGE: f64 = 0.004;
const PRIMER_MM: f64 = 0.05;

fn project(demo: &str, changes: &[(&str, &str)]) -> Project {
    let path = format!("{}/../demo-specs/{demo}.toml", env!("CARGO_MANIFEST_DIR"));
    // The mould comes last in a demo; the one of this test takes its place.
    let mut spec = std::fs::read_to_string(path).unwrap().split("\n[casting]").next().unwrap().to_owned();
    for (from, to) in changes {
        assert!(spec.contains(from), "{from}");
        spec = spec.replace(from, to);
    }
    let casting = "\n[casting]\nprimer = { thickness = 0.05 }\n[casting.resin]\n\
                   net_shrinkage = { mean = \"0.4 %\", spread = \"0.1 %\" }\n";
    Project::read((spec + casting).as_bytes(), demo, &BTreeMap::<String, Vec<u8>>::new()).unwrap()
}

/// Radii of the cylinders of a boundary, ascending, each once.
fn radii(brep: &Brep) -> Vec<f64> {
    let round = brep.faces.iter().filter_map(|face| match face.surface {
        Surface::Cylinder { radius, .. } => Some(radius),
        _ => None,
    });
    let mut radii: Vec<f64> = round.collect();
    radii.sort_by(f64::total_cmp);
    radii.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    radii
}

#[test]
fn a_finished_master_shrinks_to_its_holder() {
    for (demo, changes) in [
        ("dispensing-arm", &[][..]),
        ("dispensing-arm", &[("draft = \"1.5 deg\"", "draft = 0"), ("chamfer = 0.4", "chamfer = 0.3")][..]),
    ] {
        let project = project(demo, changes);
        let design = project.design().unwrap();
        let holders = design.parts(Outputs::Everything).unwrap().holders;
        let mould = design.mould().unwrap();
        let masters: Vec<_> = mould.masters.iter().filter(|master| master.kind == CastKind::Holder).collect();
        assert_eq!(masters.len(), holders.len());
        for (holder, master) in holders.iter().zip(masters) {
            let [wanted, drawn] =
                [&holder.solid, &master.part.solid].map(|solid| solid.brep().bounds().unwrap().size_mm());
            // Along the axis and across, the outermost faces carry primer; along y both ends are masked lips.
            for (axis, layers) in [(0, 2.0), (1, 0.0), (2, 2.0)] {
                let cast = (drawn[axis] + layers * PRIMER_MM) * (1.0 - SHRINKAGE);
                assert!((cast - wanted[axis]).abs() < 2e-3, "{demo} {axis}: {cast} for {}", wanted[axis]);
            }
            // The seat, which is masked, is a cylinder in both.
            let seat_mm = holder.seat_radius_mm.unwrap();
            let found = radii(master.part.solid.brep());
            assert!(
                found.iter().any(|radius| (radius * (1.0 - SHRINKAGE) - seat_mm).abs() < 1e-9),
                "{seat_mm}: {found:?}"
            );
            // Volume: the coat lies on less than the whole surface.
            let growth = 1.0 / (1.0 - SHRINKAGE);
            let bare = holder.mass.volume_mm3 * growth.powi(3);
            let taken = bare - master.part.mass.volume_mm3;
            assert!(taken > 0.2 * PRIMER_MM * holder.mass.area_mm2 && taken < PRIMER_MM * holder.mass.area_mm2 * 1.02);
        }
    }
}

/// Pockets are looked for anew in every master, in the attitude in which it stands in the box, with its openings alone.
#[test]
fn with_the_proposed_vents_no_air_is_left() {
    let design_of = |changes: &[(&str, &str)]| project("dispensing-arm", changes);
    for project in [design_of(&[]), design_of(&[("draft = \"1.5 deg\"", "draft = 0")])] {
        let mould = project.design().unwrap().mould().unwrap();
        assert!(mould.vents.iter().any(|plan| !plan.pockets_without_vents.is_empty()));
        assert!(mould.vents.iter().all(|plan| plan.pockets_left.is_empty()));
        for place in &mould.layout.places {
            let (plan, mesh) = (&mould.vents[place.kind], &mould.masters[place.kind].part.mesh);
            let openings: Vec<Opening> =
                std::iter::once(&plan.sprue).chain(&plan.vents).map(|planned| planned.opening).collect();
            let [x, y, z] = mould.attitude.up;
            let (sin, cos) = place.turn_rad.sin_cos();
            let up = [x * cos + y * sin, y * cos - x * sin, z];
            let found = find_pockets(mesh, up, &openings, &AirLimits::default()).unwrap();
            assert_eq!(found.pockets, [], "{} at {:.0}°", mould.masters[place.kind].name, place.turn_rad.to_degrees());
        }
    }
}

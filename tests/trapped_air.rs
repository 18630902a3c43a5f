//! Trapped air and vents of the demos' holders against a flood in small cubes.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

#[path = "../crates/casting/tests/voxel_flood/mod.rs"]
mod voxel_flood;

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

use gripwright::{Project, solids::holders};
use gripwright_casting::{Attitude, DEFAULT_TILT_RAD, Opening, SurfacePoint};
use gripwright_section::{Curve, Point};
use gripwright_solid::Mesh;
use voxel_flood::VoxelCavity;

/// Distance from the outlines of gripping faces within which no opening may stand, mm.
const KEPT_FREE_MM: f64 = 0.5;

/// Holder of a demo.
struct DemoHolder {
    name: String,
    mesh: Mesh,
    /// Outline of the mount's seat and lips.
    seat: Vec<Curve>,
}

/// Holders are poured with their lower end up, with openings on faces that look up, or lying with the mount down and openings
/// everywhere but on the mount's seat.
#[test]
fn holders_of_the_demos_are_vented() {
    let holders = demo_holders();
    assert!(holders.len() >= 10, "{} holders", holders.len());
    let mut pockets = 0;
    for DemoHolder { name, mesh, seat } in &holders {
        let [turned, lying] =
            [[0.0, 0.0, -1.0], [0.0, 1.0, 0.0]].map(|up| Attitude::candidates(up, DEFAULT_TILT_RAD, 8));
        let low = mesh.vertices.iter().min_by(|a, b| a[1].total_cmp(&b[1])).unwrap();
        let cavity = VoxelCavity::new(mesh);
        for up in [turned[3].up, lying[3].up] {
            pockets += cavity.compare(name, up, &[Opening { at_mm: *low, radius_mm: 1.2 }]);
        }
        let is_free = |p: &SurfacePoint| {
            let at = Point::new(p.at_mm[0], p.at_mm[1]);
            seat.iter().all(|curve| curve.nearest(at).point.distance(at) > KEPT_FREE_MM)
        };
        cavity.assert_vented(name, &turned, &|p| p.normal[2] < -0.9);
        cavity.assert_vented(name, &lying, &is_free);
    }
    assert!(pockets >= 15, "{pockets} pockets");
}

fn demo_holders() -> Vec<DemoHolder> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-specs");
    let files = |path: &Path| {
        let mut files: Vec<PathBuf> = fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        files
    };
    let name = |path: &Path| path.file_name().unwrap().to_string_lossy().into_owned();
    let drawings: BTreeMap<String, Vec<u8>> = files(&folder.join("drawings"))
        .iter()
        .map(|path| (format!("drawings/{}", name(path)), fs::read(path).unwrap()))
        .collect();
    let mut found = Vec::new();
    for path in files(&folder).iter().filter(|path| path.extension().is_some_and(|e| e == "toml")) {
        let project = Project::read(&fs::read(path).unwrap(), &name(path), &drawings).unwrap();
        let design = project.design().unwrap_or_else(|e| panic!("{e}"));
        let part = holders(design.design(), 0.1).unwrap_or_else(|e| panic!("{e}")).swap_remove(0);
        let mount = &design.design().holders[0].mount_outline;
        let seat = mount.segments().iter().filter(|s| s.role.grips()).map(|s| s.curve).collect();
        found.push(DemoHolder { name: name(path), mesh: part.mesh, seat });
    }
    found
}

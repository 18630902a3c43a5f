//! Conversion to truck, and comparison with its mesher: parts of all sizes agree, damaged ones are refused.
#![cfg(feature = "truck")]

mod common;

use common::{PAD, assert_second_mesh_agrees, clip_outline, drafted, sample_holder, uneven_ends};
use gripwright_section::{Mount, Outline, SplitRing, circle, ellipse, rounded_rectangle};
use gripwright_solid::{
    Brep, EdgeCurve, Mesh, MeshDisagreement, Mesher, Motion, PrismSpec, ShellError, SleeveSpec, Solid, Surface,
    TruckError, compare_with_truck, mass_properties, prism, sleeve, to_truck_solid, triangulate,
    triangulate_with_truck,
};

const TOLERANCE_MM: f64 = 0.01;

fn assert_meshers_agree(solid: &Solid) {
    let mesh = triangulate(solid.brep(), TOLERANCE_MM).expect("its faces can be cut");
    assert_second_mesh_agrees(solid, &mesh, TOLERANCE_MM);
}

fn large_mount(body: Outline, half_wrap_rad: f64) -> Solid {
    let mount = Mount { body, gap_mm: 0.1, wall_mm: 6.0, half_wrap_rad, lead_in: None, back: PAD };
    prism("mount", &drafted(mount.outline().expect("drawn"), 40.0)).expect("it can be made")
}

fn large_sleeve(bore_radius_mm: f64, half_wrap_rad: f64) -> Solid {
    let spec = SleeveSpec {
        ring: SplitRing { bore_radius_mm, wall_mm: 3.0, half_wrap_rad, edge_mm: 0.5 },
        between_mm: 30.0,
        collar_mm: 0.8,
        rim_mm: 1.2,
        chamfer_mm: 0.3,
        pockets: Vec::new(),
    };
    sleeve("sleeve", &spec).expect("it can be made")
}

/// Mount of oblique cones.
fn uneven_mount(width_mm: f64) -> Solid {
    let near = ellipse(width_mm, 0.7 * width_mm, 1e-3).expect("drawn");
    let far = rounded_rectangle(0.9 * width_mm, 0.6 * width_mm, 0.2 * width_mm).expect("drawn");
    let [lower, upper] = uneven_ends(&near, &far, [0.1, 0.8]);
    prism("uneven", &PrismSpec { upper: Some(upper), ..PrismSpec::plain(lower, 9.0) }).expect("it can be made")
}

/// Specs allow bodies of 300 mm and barrels of 120 mm.
#[test]
fn meshers_agree_at_the_largest_sizes() {
    for diameter in [100.0, 121.0, 140.0, 160.0, 200.0, 251.0, 300.0] {
        assert_meshers_agree(&large_mount(circle(diameter).expect("drawn"), 1.9));
    }
    assert_meshers_agree(&large_mount(ellipse(300.0, 150.0, 1e-3).expect("drawn"), 1.8));
    assert_meshers_agree(&large_mount(rounded_rectangle(300.0, 200.0, 40.0).expect("drawn"), 1.9));
    for width in [60.0, 150.0, 300.0] {
        assert_meshers_agree(&uneven_mount(width));
    }
    for radius in [30.0, 47.0, 60.0, 80.0, 150.0] {
        for half_wrap_deg in [150.0_f64, 165.0, 174.0, 179.0] {
            assert_meshers_agree(&large_sleeve(radius, half_wrap_deg.to_radians()));
        }
    }
}

#[test]
fn a_part_may_stand_anywhere() {
    let turned = Motion::turn([1.0, 2.0, 3.0], 0.7, [310.0, -40.0, 7.0]);
    assert_meshers_agree(&sample_holder().moved(&turned));
    assert_meshers_agree(&large_sleeve(60.0, 2.9).moved(&turned));
}

/// Truck's own check finds every edge on the surfaces of both its faces. It recursed without end for generators of the
/// kind `Line`.
#[test]
fn truck_finds_the_geometry_consistent() {
    for solid in [sample_holder(), large_sleeve(80.0, 2.9), uneven_mount(30.0)] {
        let converted = to_truck_solid(solid.brep()).expect("it can be converted");
        assert!(converted.is_geometric_consistent());
        assert_eq!(converted.face_iter().count(), solid.brep().faces.len());
        assert_eq!(converted.vertex_iter().count(), 2 * solid.brep().edges.len());
    }
}

/// All round faces of this tile are outside, so its meshes are too small, by less and less.
#[test]
fn finer_tolerances_come_nearer_to_the_exact_volume() {
    let outline = rounded_rectangle(40.0, 20.0, 8.0).expect("drawn");
    let solid = prism("tile", &PrismSpec::plain(outline, 2.0)).expect("it can be made");
    let exact = mass_properties(solid.brep()).expect("it encloses a volume").volume_mm3;
    let missing = [0.1, 0.01, 0.001, 1e-4].map(|tolerance| {
        let second = triangulate_with_truck(solid.brep(), tolerance).expect("it is converted");
        assert_eq!(second.faces_without_mesh, Vec::<usize>::new());
        exact - second.mesh.volume_mm3()
    });
    assert!(missing.windows(2).all(|pair| pair[1] > 0.0 && pair[1] < 0.3 * pair[0]), "{missing:?}");
}

/// Disagreement after a change of the boundary and of its mesh.
fn refused(change: impl FnOnce(&mut Brep, &mut Mesh)) -> MeshDisagreement {
    let solid = prism("clip", &drafted(clip_outline(), 6.0)).expect("it can be made");
    let mut brep = solid.brep().clone();
    let mut mesh = triangulate(&brep, TOLERANCE_MM).expect("its faces can be cut");
    change(&mut brep, &mut mesh);
    compare_with_truck("clip", &brep, &mesh, TOLERANCE_MM).expect_err("the part is damaged")
}

#[test]
fn an_unchanged_part_agrees_with_little_of_its_limits() {
    let solid = prism("clip", &drafted(clip_outline(), 6.0)).expect("it can be made");
    let mesh = triangulate(solid.brep(), TOLERANCE_MM).expect("its faces can be cut");
    let agreement = compare_with_truck("clip", solid.brep(), &mesh, TOLERANCE_MM).expect("it is sound");
    assert!(agreement.second_triangles > 200);
    assert!(agreement.volume_mm3.share() < 0.5 && agreement.centroid_mm.share() < 0.5, "{agreement:?}");
    assert!(agreement.greatest_share() <= 1.0 && agreement.greatest_share() > 0.5, "{agreement:?}");
}

#[test]
fn a_damaged_mesh_is_refused() {
    let moved = refused(|_, mesh| mesh.vertices[0] = mesh.vertices[0].map(|x| x + 0.03));
    assert!(matches!(&moved, MeshDisagreement::Distance { part, .. } if part == "clip"), "{moved}");
    let missing = refused(|_, mesh| mesh.triangles.truncate(mesh.triangles.len() - 1));
    assert!(matches!(missing, MeshDisagreement::Open { mesher: Mesher::Own, open_sides: 3, .. }), "{missing}");
    let aside = refused(|_, mesh| {
        // One triangle that shares no vertex with its neighbours any more.
        let last = mesh.triangles.len() - 1;
        let first = u32::try_from(mesh.vertices.len()).expect("few vertices");
        let corners = mesh.triangles[last].map(|i| mesh.vertices[i as usize]);
        mesh.vertices.extend(corners.map(|p| [p[0], p[1], p[2] + 1e-3]));
        mesh.triangles[last] = [first, first + 1, first + 2];
    });
    assert!(matches!(aside, MeshDisagreement::Open { mesher: Mesher::Own, open_sides: 6, .. }), "{aside}");
    let turned = refused(|_, mesh| mesh.triangles[0].swap(0, 1));
    assert!(matches!(turned, MeshDisagreement::Open { mesher: Mesher::Own, .. }), "{turned}");
    let inside_out = refused(|_, mesh| mesh.triangles.iter_mut().for_each(|t| t.swap(0, 1)));
    assert!(matches!(inside_out, MeshDisagreement::Volume { .. }), "{inside_out}");
    let shifted = refused(|_, mesh| mesh.vertices.iter_mut().for_each(|v| v[2] += 0.2));
    assert!(matches!(shifted, MeshDisagreement::Centroid { .. }), "{shifted}");
    let coarse = refused(|brep, mesh| *mesh = triangulate(brep, 0.03).expect("it is cut"));
    assert!(matches!(coarse, MeshDisagreement::Distance { .. }), "{coarse}");
    let none = refused(|_, mesh| *mesh = Mesh::default());
    assert!(matches!(none, MeshDisagreement::Volume { .. }), "{none}");
    let unknown = refused(|_, mesh| mesh.vertices[0][1] = f64::NAN);
    assert!(matches!(unknown, MeshDisagreement::Volume { .. }), "{unknown}");
}

/// Our mesher reads edges alone. The second one reads the surfaces, too.
#[test]
fn a_boundary_with_a_wrong_surface_is_refused() {
    let face_of = |brep: &Brep, wanted: fn(&Surface) -> bool| {
        brep.faces.iter().position(|face| wanted(&face.surface)).expect("there is one")
    };
    let wrong_cylinder = refused(|brep, mesh| {
        let face = face_of(brep, |s| matches!(s, Surface::Cylinder { .. }));
        if let Surface::Cylinder { radius, .. } = &mut brep.faces[face].surface {
            *radius += 1e-3;
        }
        assert_eq!(&triangulate(brep, TOLERANCE_MM).expect("it is cut"), mesh);
    });
    assert!(
        matches!(&wrong_cylinder, MeshDisagreement::FacesWithoutMesh { without_mesh, .. } if without_mesh.len() == 1),
        "{wrong_cylinder}"
    );
    let wrong_cone = refused(|brep, _| {
        let face = face_of(brep, |s| matches!(s, Surface::Cone { .. }));
        if let Surface::Cone { half_angle, .. } = &mut brep.faces[face].surface {
            *half_angle += 1e-3;
        }
    });
    assert!(matches!(wrong_cone, MeshDisagreement::FacesWithoutMesh { .. }), "{wrong_cone}");
    let wrong_plane = refused(|brep, _| {
        let face = face_of(brep, |s| matches!(s, Surface::Plane { .. }));
        if let Surface::Plane { frame } = &mut brep.faces[face].surface {
            frame.origin = frame.world([0.0, 0.0, 1e-3]);
        }
    });
    assert!(matches!(wrong_plane, MeshDisagreement::FacesWithoutMesh { .. }), "{wrong_plane}");
    let wrong_arc = refused(|brep, _| {
        let arc = brep.edges.iter_mut().find_map(|edge| match &mut edge.curve {
            EdgeCurve::Arc { radius, .. } => Some(radius),
            EdgeCurve::Line => None,
        });
        *arc.expect("there is one") += 1e-3;
    });
    assert!(matches!(wrong_arc, MeshDisagreement::FacesWithoutMesh { .. }), "{wrong_arc}");
    let wrong_sense = refused(|brep, _| {
        let face = face_of(brep, |s| matches!(s, Surface::Cylinder { .. }));
        brep.faces[face].same_sense = !brep.faces[face].same_sense;
    });
    assert!(!matches!(wrong_sense, MeshDisagreement::Conversion { .. }), "{wrong_sense}");
}

#[test]
fn boundaries_that_are_no_solid_are_errors() {
    let solid = prism("clip", &PrismSpec::plain(clip_outline(), 6.0)).expect("it can be made");
    let changed = |change: fn(&mut Brep)| {
        let mut brep = solid.brep().clone();
        change(&mut brep);
        to_truck_solid(&brep).expect_err("it is no solid")
    };
    assert_eq!(changed(|brep| brep.faces.truncate(5)), TruckError::Shell(ShellError::OpenShell));
    assert!(matches!(changed(|brep| brep.vertices.truncate(3)), TruckError::Dangling(_)));
    let split = |brep: &mut Brep| {
        for face in &mut brep.faces {
            if matches!(face.surface, Surface::Cylinder { .. }) {
                face.loops.push(Vec::new());
            }
        }
    };
    assert!(matches!(changed(split), TruckError::NotAStrip { .. }));
    for tolerance in [0.0, -1.0, 1e-6, f64::NAN, f64::INFINITY] {
        let error = triangulate_with_truck(solid.brep(), tolerance).expect_err("no such tolerance");
        assert!(matches!(error, TruckError::Tolerance { .. }));
    }
}

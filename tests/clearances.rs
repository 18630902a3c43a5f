//! Clearances to keep-outs against the triangles of the parts that are made.

use gripwright::{Project, solids::Outputs};

/// Chord error of the triangles, and rounding, mm.
const TOLERANCE_MM: f64 = 0.02;

/// Corners of a box off the end of the clip, so that its nearest point lies on the rim of the end face.
const FROM_MM: [f64; 3] = [18.0, 59.0, 9.5];
const TO_MM: [f64; 3] = [28.0, 61.0, 60.0];

/// An invented holder with much draft and large chamfers, and a box off one end of its clip.
fn spec(draft_deg: f64) -> String {
    format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"circle\", diameter = 22.0 }}\nmount_length = 20.0\n\
         [[tools]]\nname = \"rod\"\ndiameter = {{ min = 29.9, max = 30.1 }}\n\
         working_load = {{ along = \"1.5 N\", across = \"1.5 N\" }}\n[layout]\noffset = 60.0\nstations = [0.0]\n\
         lengths = [16.0]\n\
         [[keep_out]]\nname = \"block\"\nbox = {{ from = {FROM_MM:?}, to = {TO_MM:?} }}\n\
         clearance = 0.2\n[fit]\nload_path = \"report\"\nsnap_on = {{ at_most = \"150 N\" }}\nhold = {{ safety = 1.2 }}\n\
         [material]\nprint = \"pa12\"\n[printer]\nleast_wall = 2.0\n\
         [finish]\ndraft = \"{draft_deg} deg\"\nchamfer = 1.0\ngripping_faces = \"drafted\"\n"
    )
}

/// Distance from the box to the nearest vertex of a part, mm.
fn distance_to_box(vertices: &[[f64; 3]], from: [f64; 3], to: [f64; 3]) -> f64 {
    let outside = |v: f64, low: f64, high: f64| (low - v).max(v - high).max(0.0);
    vertices
        .iter()
        .map(|v| (0..3).map(|i| outside(v[i], from[i], to[i]).powi(2)).sum::<f64>().sqrt())
        .fold(f64::INFINITY, f64::min)
}

/// The draft ends where a chamfer begins, in the solid as in the clearance.
#[test]
fn a_chamfered_drafted_end_is_as_far_from_a_keep_out_as_its_clearance_says() {
    for draft_deg in [0.0, 3.0] {
        let project: Project = spec(draft_deg).parse().unwrap_or_else(|e| panic!("{e}"));
        let design = project.design().unwrap_or_else(|e| panic!("{e}"));
        let parts = design.parts(Outputs::Everything).unwrap_or_else(|e| panic!("{e}"));
        let found = &design.design().holders[0].keep_outs[0].after;
        let made = distance_to_box(&parts.holders[0].mesh.vertices, FROM_MM, TO_MM);
        assert!(
            (found.distance_mm - made).abs() < TOLERANCE_MM,
            "{draft_deg} deg: {} against {made}",
            found.distance_mm
        );
    }
}

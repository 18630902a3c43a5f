//! Holder with one clip: a mount and a clip back to back, joined at their pads by a web.
//!
//! No boolean operation is needed: the faces of both pads are left out, and plane faces join the two openings corner by
//! corner. Mount and clip share the width of the pad, and draft never moves a pad, so that every face of the web is plane.

use crate::{
    brep::{Brep, EdgeCurve, EdgeUse},
    brep_builder::{backward, forward},
    holder_error::{HolderError, HolderPart},
    motion::Motion,
    pad_opening::{Opening, Pad, check_same_pads, opening, pad},
    prism::{PartingPlane, PrismPlacement, PrismSpec, open_prism},
    side_surface::plane_through,
    solid::Solid,
};

/// Least distance (mm) between the pads: files and kernels drop features shorter than a micrometre.
const LEAST_WEB_MM: f64 = 1e-3;

/// Least distance of the axes (mm) at which [`holder`] can join a mount and a clip.
pub fn least_offset_mm(mount: &PrismSpec, clip: &PrismSpec) -> Result<f64, HolderError> {
    let (a, b) = (pad(HolderPart::Mount, mount)?, pad(HolderPart::Clip, clip)?);
    Ok(LEAST_WEB_MM - a.y - b.y)
}

/// Joins a mount and a clip to a holder.
///
/// Both outlines are given in their own drawing: axis at the origin, mouth toward +y, one pad at the bottom. In the
/// holder, the mount's axis is the origin and its mouth opens toward −y. The clip's axis is `offset_mm` above it and its
/// mouth opens toward +y. The middle of the mount is at z = 0. Mount and clip have one parting plane: it goes through the
/// middle of both, or both lower ends lie in it. The half heights may differ.
pub fn holder(name: &str, mount: &PrismSpec, clip: &PrismSpec, offset_mm: f64) -> Result<Solid, HolderError> {
    let (mount_pad, clip_pad) = (pad(HolderPart::Mount, mount)?, pad(HolderPart::Clip, clip)?);
    let least_offset_mm = least_offset_mm(mount, clip)?;
    if !offset_mm.is_finite() || offset_mm < least_offset_mm {
        return Err(HolderError::Collide { offset_mm, least_offset_mm });
    }
    check_same_pads(mount, mount_pad, clip, clip_pad)?;
    if mount.parting != clip.parting {
        return Err(HolderError::Parting);
    }
    // Lower ends in the plane z = 0 are exactly flush, whatever the half heights round to.
    let [mount_lift, clip_lift] = match mount.parting {
        PartingPlane::Middle => [0.0; 2],
        PartingPlane::LowerEnd => [mount.half_height_mm, clip.half_height_mm],
    };
    let open = |part, spec, pad: Pad| {
        open_prism(spec, &[pad.segment], PrismPlacement::of(spec)).map_err(|cause| HolderError::Prism { part, cause })
    };
    let (mount, clip) = (open(HolderPart::Mount, mount, mount_pad)?, open(HolderPart::Clip, clip, clip_pad)?);
    let (below, above) = (opening(&mount, mount_pad.segment), opening(&clip, clip_pad.segment));

    let mut brep = Brep::default();
    let below = below.shifted(brep.append(&mount.brep, &Motion::half_turn([0.0, 0.0, mount_lift])));
    let above = above.shifted(brep.append(&clip.brep, &Motion::shift([0.0, offset_mm, clip_lift])));
    add_web(&mut brep, &below, &above)?;
    let levels = mount.levels.into_iter().chain(clip.levels).collect();
    let solid = Solid::from_faces(name, brep, levels)?;
    Ok(if mount_lift > 0.0 { solid.moved(&Motion::shift([0.0, 0.0, -mount_lift])) } else { solid })
}

/// Adds the web between two openings: at each level an edge on either side, a face for each interval, and a face at each
/// cap.
fn add_web(brep: &mut Brep, mount: &Opening, clip: &Opening) -> Result<(), HolderError> {
    let edges = |brep: &mut Brep, from: &[usize], to: &[usize]| -> Vec<usize> {
        from.iter().zip(to).map(|(&a, &b)| brep.add_edge(a, b, EdgeCurve::Line)).collect()
    };
    // The half turn has exchanged the start and the end of the mount's pad.
    let right = edges(brep, &mount.starts, &clip.ends);
    let left = edges(brep, &clip.starts, &mount.ends);
    let top = right.len() - 1;
    let mut faces: Vec<[EdgeUse; 4]> = Vec::with_capacity(2 * top + 2);
    for k in 0..top {
        faces.push([
            forward(right[k]),
            forward(clip.end_slants[k]),
            backward(right[k + 1]),
            backward(mount.start_slants[k]),
        ]);
        faces.push([
            forward(left[k]),
            forward(mount.end_slants[k]),
            backward(left[k + 1]),
            backward(clip.start_slants[k]),
        ]);
    }
    faces.push([forward(clip.caps[0]), backward(right[0]), forward(mount.caps[0]), backward(left[0])]);
    faces.push([backward(clip.caps[1]), forward(left[top]), backward(mount.caps[1]), forward(right[top])]);
    for (face, uses) in faces.into_iter().enumerate() {
        let corners = uses.map(|u| {
            let edge = brep.edges[u.edge];
            brep.vertices[if u.forward { edge.from } else { edge.to }]
        });
        let plane = plane_through(&corners).ok_or(HolderError::CurvedWeb { face })?;
        brep.add_face(plane, true, vec![uses.to_vec()]);
    }
    Ok(())
}

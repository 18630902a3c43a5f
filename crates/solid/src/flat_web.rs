//! The web of a drafted holder with several clips: plane faces alone, leaning from the parting plane z = 0 on either
//! side of it.
//!
//! The pads of all clips lie in one plane, which goes on between the clips. At every level one rail leads from the mount
//! to an outermost end, and one in the parting plane parts the leaning sides.

use crate::{
    brep::{Brep, EdgeCurve, EdgeUse, Frame, Point3, Surface},
    brep_builder::{backward, forward},
    holder::{HolderError, Opening},
    vector::{add, cross, length, sub, unit},
};

/// Heights this near to the parting plane (mm) lie in it.
const IN_PLANE_MM: f64 = 1e-9;
/// How far (mm) the corners of a face may lie off its plane.
const FIT_MM: f64 = 1e-9;

/// Parts of a unit normal smaller than this are rounding.
const SQUARE: f64 = 1e-9;

/// The boundary between web and clips on one side of the web, upward: corners, and the edges from each to the next.
struct Chain {
    corners: Vec<usize>,
    edges: Vec<usize>,
}

impl Chain {
    /// Index of the corner in the parting plane.
    fn middle(&self, brep: &Brep) -> Option<usize> {
        self.corners.iter().position(|&v| brep.vertices[v][2].abs() <= IN_PLANE_MM)
    }
}

/// Adds the web between the openings of a mount and of clips in ascending order.
pub(crate) fn add_flat_web(brep: &mut Brep, mount: &Opening, clips: &[Opening]) -> Result<(), HolderError> {
    let mut faces: Vec<Vec<EdgeUse>> = Vec::new();
    let top = mount.starts.len() - 1;
    let middle = top / 2;
    let [half_width, _, height] = brep.vertices[mount.starts[middle]];
    if height.abs() > IN_PLANE_MM {
        // Without draft a mount has no level in its parting plane.
        return Err(HolderError::PadsApart);
    }
    level_pads(brep, clips)?;
    let (right, left) = chains(brep, clips, half_width, &mut faces);
    // Levels below the middle with a rail of their own: the end, and where the chamfer begins.
    let ends = middle;
    let (Some(right_middle), Some(left_middle)) = (right.middle(brep), left.middle(brep)) else {
        return Err(HolderError::PadsApart);
    };
    let last = right.corners.len() - 1;
    // Corner of a chain that belongs to a level of the mount.
    let corner = |level: usize, in_middle: usize| match level {
        k if k < ends => k,
        k if k > top - ends => last - (top - k),
        _ => in_middle,
    };
    let levels: Vec<usize> = (0..ends).chain([middle]).chain(top + 1 - ends..=top).collect();
    let mut rails = Vec::with_capacity(levels.len());
    for &k in &levels {
        // The half turn has exchanged the mount's start and end.
        let to_clip = brep.add_edge(mount.starts[k], right.corners[corner(k, right_middle)], EdgeCurve::Line);
        let to_mount = brep.add_edge(left.corners[corner(k, left_middle)], mount.ends[k], EdgeCurve::Line);
        rails.push((to_clip, to_mount));
    }
    for (i, pair) in levels.windows(2).enumerate() {
        let (low, high) = (pair[0], pair[1]);
        let (from, to) = (corner(low, right_middle), corner(high, right_middle));
        let mut side = vec![forward(rails[i].0)];
        side.extend(right.edges[from..to].iter().map(|&e| forward(e)));
        side.push(backward(rails[i + 1].0));
        side.extend((low..high).rev().map(|k| backward(mount.start_slants[k])));
        faces.push(side);
        let (from, to) = (corner(low, left_middle), corner(high, left_middle));
        let mut side = vec![forward(rails[i].1)];
        side.extend((low..high).map(|k| forward(mount.end_slants[k])));
        side.push(backward(rails[i + 1].1));
        side.extend(left.edges[from..to].iter().rev().map(|&e| backward(e)));
        faces.push(side);
    }
    let (first, end) = (&clips[0], &clips[clips.len() - 1]);
    let (low, high) = (rails[0], rails[rails.len() - 1]);
    faces.push(vec![forward(first.caps[0]), backward(low.0), forward(mount.caps[0]), backward(low.1)]);
    faces.push(vec![backward(end.caps[1]), forward(high.1), backward(mount.caps[1]), forward(high.0)]);
    for (face, uses) in faces.into_iter().enumerate() {
        let plane = plane_of(brep, &uses).ok_or(HolderError::CurvedWeb { face })?;
        brep.add_face(plane, true, vec![uses]);
    }
    Ok(())
}

/// Puts the corners of all pads in one plane, from which rounding alone may have moved them.
fn level_pads(brep: &mut Brep, clips: &[Opening]) -> Result<(), HolderError> {
    let height = brep.vertices[clips[0].starts[0]][1];
    for &corner in clips.iter().flat_map(|clip| clip.starts.iter().chain(&clip.ends)) {
        if (brep.vertices[corner][1] - height).abs() > FIT_MM {
            return Err(HolderError::PadsApart);
        }
        brep.vertices[corner][1] = height;
    }
    Ok(())
}

/// The right and the left chain. Between two clips a straight edge leads on; where it crosses the parting plane it gets a
/// corner there. The faces between the clips are added to `faces`.
fn chains(brep: &mut Brep, clips: &[Opening], half_width: f64, faces: &mut Vec<Vec<EdgeUse>>) -> (Chain, Chain) {
    let mut right = Chain { corners: clips[0].ends.clone(), edges: clips[0].end_slants.clone() };
    let mut left = Chain { corners: clips[0].starts.clone(), edges: clips[0].start_slants.clone() };
    for pair in clips.windows(2) {
        let (below, above) = (&pair[0], &pair[1]);
        let ends = |list: [&Vec<usize>; 2]| [list[0][list[0].len() - 1], list[1][0]];
        let across = [
            bridge(brep, ends([&below.ends, &above.ends]), half_width),
            bridge(brep, ends([&below.starts, &above.starts]), -half_width),
        ];
        let mut floor = vec![backward(below.caps[1])];
        floor.extend(across[1].1.iter().map(|&e| forward(e)));
        floor.push(forward(above.caps[0]));
        floor.extend(across[0].1.iter().rev().map(|&e| backward(e)));
        faces.push(floor);
        for ((chain, (corners, edges)), (starts, slants)) in [&mut right, &mut left]
            .into_iter()
            .zip(across)
            .zip([(&above.ends, &above.end_slants), (&above.starts, &above.start_slants)])
        {
            chain.corners.extend(corners);
            chain.corners.extend(starts);
            chain.edges.extend(edges);
            chain.edges.extend(slants);
        }
    }
    (right, left)
}

/// Straight edges from one corner to another further up, and the corner between them in the parting plane, which is as
/// far out as `x` says.
fn bridge(brep: &mut Brep, [from, to]: [usize; 2], x: f64) -> (Vec<usize>, Vec<usize>) {
    let (low, high) = (brep.vertices[from], brep.vertices[to]);
    if low[2] >= -IN_PLANE_MM || high[2] <= IN_PLANE_MM {
        return (Vec::new(), vec![brep.add_edge(from, to, EdgeCurve::Line)]);
    }
    let middle = brep.add_vertex([x, low[1], 0.0]);
    (vec![middle], vec![brep.add_edge(from, middle, EdgeCurve::Line), brep.add_edge(middle, to, EdgeCurve::Line)])
}

/// The plane of a face whose corners run counter-clockwise about its normal, or nothing when they do not lie in one.
fn plane_of(brep: &Brep, uses: &[EdgeUse]) -> Option<Surface> {
    let corner = |u: &EdgeUse| {
        let edge = brep.edges[u.edge];
        brep.vertices[if u.forward { edge.from } else { edge.to }]
    };
    let corners: Vec<Point3> = uses.iter().map(corner).collect();
    let origin = *corners.first()?;
    let next = |i: usize| corners[(i + 1) % corners.len()];
    let area =
        (0..corners.len()).fold([0.0; 3], |sum, i| add(sum, cross(sub(corners[i], origin), sub(next(i), origin))));
    // The sides stand exactly upright over the pads, whose corners then lie exactly on one line of the face.
    let normal = unit(area).map(|part| if part.abs() < SQUARE { 0.0 } else { part });
    let upright = [0.0, 1.0, 0.0];
    let sides = (0..corners.len()).map(|i| sub(next(i), corners[i]));
    let longest = sides.max_by(|a, b| length(*a).total_cmp(&length(*b)))?;
    let x = unit(if normal[1] == 0.0 { cross(upright, normal) } else { longest });
    let z = unit(cross(x, cross(normal, x)));
    let surface = Surface::Plane { frame: Frame { origin, x, z } };
    (length(z) > 0.5 && corners.iter().all(|c| surface.signed_distance(*c).abs() <= FIT_MM)).then_some(surface)
}

//! Web of a drafted holder with several clips: plane faces that lean from the parting plane z = 0 on both sides.
//!
//! The pads of all clips lie in one plane, which continues between the clips. At every level, an edge (a rail) runs from
//! the mount to an outermost end. A rail in the parting plane divides the leaning sides.

use crate::{
    brep::{Brep, EdgeCurve, EdgeUse, Frame, Point3, Surface},
    brep_builder::{backward, forward},
    holder_error::HolderError,
    pad_opening::Opening,
    vector::{add, cross, length, sub, unit},
};

/// Heights this close to the parting plane (mm) lie in it.
const IN_PLANE_MM: f64 = 1e-9;
/// Greatest distance (mm) of the corners of a face from its plane.
const FIT_MM: f64 = 1e-9;

/// Components of a unit normal smaller than this are rounding.
const NEGLIGIBLE_COMPONENT: f64 = 1e-9;

/// Boundary between web and clips on one side of the web, upward: corners, and the edges between them.
struct Chain {
    corners: Vec<usize>,
    edges: Vec<usize>,
}

impl Chain {
    /// Appends a bridge and the side of the next clip.
    fn extend(&mut self, bridge: Self, corners: &[usize], slants: &[usize]) {
        self.corners.extend(bridge.corners);
        self.corners.extend(corners);
        self.edges.extend(bridge.edges);
        self.edges.extend(slants);
    }

    /// Index of the corner in the parting plane.
    fn middle(&self, brep: &Brep) -> Option<usize> {
        self.corners.iter().position(|&v| brep.vertices[v][2].abs() <= IN_PLANE_MM)
    }
}

/// Edges of the web at one level, on either side.
#[derive(Clone, Copy)]
struct Rails {
    to_clip: usize,
    to_mount: usize,
}

/// Adds the web between the openings of a mount and of clips in ascending order.
pub(crate) fn add_flat_web(brep: &mut Brep, mount: &Opening, clips: &[Opening]) -> Result<(), HolderError> {
    let mut faces: Vec<Vec<EdgeUse>> = Vec::new();
    let top = mount.starts.len() - 1;
    let middle = top / 2;
    let [half_width, _, height] = brep.vertices[mount.starts[middle]];
    if height.abs() > IN_PLANE_MM {
        // Without draft, a mount has no level in its parting plane.
        return Err(HolderError::PadsApart);
    }
    level_pads(brep, clips)?;
    let Chains { right, left } = chains(brep, clips, half_width, &mut faces);
    // Number of levels below the middle with rails: the end, and the start of the chamfer.
    let ends = middle;
    let (Some(right_middle), Some(left_middle)) = (right.middle(brep), left.middle(brep)) else {
        return Err(HolderError::PadsApart);
    };
    let last = right.corners.len() - 1;
    // Corner of a chain at a level of the mount.
    let corner = |level: usize, in_middle: usize| match level {
        k if k < ends => k,
        k if k > top - ends => last - (top - k),
        _ => in_middle,
    };
    let levels: Vec<usize> = (0..ends).chain([middle]).chain(top + 1 - ends..=top).collect();
    let mut rails = Vec::with_capacity(levels.len());
    for &k in &levels {
        // The half turn has exchanged the start and the end of the mount's pad.
        let to_clip = brep.add_edge(mount.starts[k], right.corners[corner(k, right_middle)], EdgeCurve::Line);
        let to_mount = brep.add_edge(left.corners[corner(k, left_middle)], mount.ends[k], EdgeCurve::Line);
        rails.push(Rails { to_clip, to_mount });
    }
    for (i, pair) in levels.windows(2).enumerate() {
        let (low, high) = (pair[0], pair[1]);
        let (from, to) = (corner(low, right_middle), corner(high, right_middle));
        let mut side = vec![forward(rails[i].to_clip)];
        side.extend(right.edges[from..to].iter().map(|&e| forward(e)));
        side.push(backward(rails[i + 1].to_clip));
        side.extend((low..high).rev().map(|k| backward(mount.start_slants[k])));
        faces.push(side);
        let (from, to) = (corner(low, left_middle), corner(high, left_middle));
        let mut side = vec![forward(rails[i].to_mount)];
        side.extend((low..high).map(|k| forward(mount.end_slants[k])));
        side.push(backward(rails[i + 1].to_mount));
        side.extend(left.edges[from..to].iter().rev().map(|&e| backward(e)));
        faces.push(side);
    }
    let (first, end) = (&clips[0], &clips[clips.len() - 1]);
    let (low, high) = (rails[0], rails[rails.len() - 1]);
    faces.push(vec![forward(first.caps[0]), backward(low.to_clip), forward(mount.caps[0]), backward(low.to_mount)]);
    faces.push(vec![backward(end.caps[1]), forward(high.to_mount), backward(mount.caps[1]), forward(high.to_clip)]);
    for (face, uses) in faces.into_iter().enumerate() {
        let plane = plane_of(brep, &uses).ok_or(HolderError::CurvedWeb { face })?;
        brep.add_face(plane, true, vec![uses]);
    }
    Ok(())
}

/// Moves the corners of all pads into one plane. Only rounding may have moved them out of it.
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

/// Boundaries between web and clips on both sides of the web.
struct Chains {
    right: Chain,
    left: Chain,
}

/// Builds both chains. Between two clips, a straight edge continues the chain; if it crosses the parting plane, it gets a
/// corner there. The faces between the clips are added to `faces`.
fn chains(brep: &mut Brep, clips: &[Opening], half_width: f64, faces: &mut Vec<Vec<EdgeUse>>) -> Chains {
    let mut right = Chain { corners: clips[0].ends.clone(), edges: clips[0].end_slants.clone() };
    let mut left = Chain { corners: clips[0].starts.clone(), edges: clips[0].start_slants.clone() };
    for pair in clips.windows(2) {
        let (below, above) = (&pair[0], &pair[1]);
        let last = |vertices: &[usize]| vertices[vertices.len() - 1];
        let right_bridge = bridge(brep, last(&below.ends), above.ends[0], half_width);
        let left_bridge = bridge(brep, last(&below.starts), above.starts[0], -half_width);
        let mut floor = vec![backward(below.caps[1])];
        floor.extend(left_bridge.edges.iter().map(|&e| forward(e)));
        floor.push(forward(above.caps[0]));
        floor.extend(right_bridge.edges.iter().rev().map(|&e| backward(e)));
        faces.push(floor);
        right.extend(right_bridge, &above.ends, &above.end_slants);
        left.extend(left_bridge, &above.starts, &above.start_slants);
    }
    Chains { right, left }
}

/// Straight edges between two corners, and the corner between them where they cross the parting plane at `x`.
fn bridge(brep: &mut Brep, from: usize, to: usize, x: f64) -> Chain {
    let (low, high) = (brep.vertices[from], brep.vertices[to]);
    if low[2] >= -IN_PLANE_MM || high[2] <= IN_PLANE_MM {
        return Chain { corners: Vec::new(), edges: vec![brep.add_edge(from, to, EdgeCurve::Line)] };
    }
    let middle = brep.add_vertex([x, low[1], 0.0]);
    let edges = vec![brep.add_edge(from, middle, EdgeCurve::Line), brep.add_edge(middle, to, EdgeCurve::Line)];
    Chain { corners: vec![middle], edges }
}

/// Plane of a face whose corners run counter-clockwise about its normal, or `None` if the corners do not lie in one plane.
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
    // The sides are exactly perpendicular to the pads, so the corners of the pads lie exactly on a line of the face.
    let normal = unit(area).map(|part| if part.abs() < NEGLIGIBLE_COMPONENT { 0.0 } else { part });
    let upright = [0.0, 1.0, 0.0];
    let sides = (0..corners.len()).map(|i| sub(next(i), corners[i]));
    let longest = sides.max_by(|a, b| length(*a).total_cmp(&length(*b)))?;
    let x = unit(if normal[1] == 0.0 { cross(upright, normal) } else { longest });
    let z = unit(cross(x, cross(normal, x)));
    let surface = Surface::Plane { frame: Frame { origin, x, z } };
    (length(z) > 0.5 && corners.iter().all(|c| surface.signed_distance(*c).abs() <= FIT_MM)).then_some(surface)
}

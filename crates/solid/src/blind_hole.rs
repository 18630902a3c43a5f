//! Blind holes in a finished solid, from a level face that looks down.
//!
//! A holder ends in several plane faces side by side: mount, web and clip. A hole may cross the edges between them, so these
//! faces are joined to one first.

use gripwright_section::{Curve, Outline, OutlineError, Point, Role, Segment};

use crate::{
    brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Surface},
    brep_builder::level_plane,
    pocket::{Cap, Pocket, add_pocket},
    shell::ShellError,
    solid::Solid,
};

/// Faces this close to a height (mm) lie at it, and components of a normal below it are rounding.
const LEVEL: f64 = 1e-9;

/// Reason why a hole cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BlindHoleError {
    /// The hole does not lie inside a level face that looks down, or touches another opening in it.
    #[error("the hole does not lie inside a level face at a height of {height_mm} mm that looks down")]
    Outside {
        /// Height asked for, mm.
        height_mm: f64,
    },
    /// The boundary of the level face is no closed line.
    #[error(transparent)]
    Boundary(#[from] OutlineError),
    /// The outline of the hole runs clockwise, or its depth is not greater than zero.
    #[error("a hole needs an outline that runs counter-clockwise, and a depth greater than zero")]
    Shape,
    /// The faces do not form a solid.
    #[error(transparent)]
    Shell(#[from] ShellError),
}

impl Solid {
    /// The solid with a straight hole of a depth (mm) from the level face at `height_mm` upward. The outline is drawn in the
    /// solid's own x and y, counter-clockwise. The caller sees to it that there is material all round its walls and floor.
    pub fn with_blind_hole(&self, outline: &Outline, height_mm: f64, depth_mm: f64) -> Result<Self, BlindHoleError> {
        if !(outline.area_mm2() > 0.0 && depth_mm > 0.0 && depth_mm.is_finite()) {
            return Err(BlindHoleError::Shape);
        }
        let outside = BlindHoleError::Outside { height_mm };
        let mut brep = self.brep().clone();
        for group in level_groups(&brep, height_mm) {
            let loops = joined_loops(&brep, &group).ok_or_else(|| outside.clone())?;
            if !leaves_room(&brep, &loops, outline)? {
                continue;
            }
            let mut loops = loops;
            let pocket = Pocket { outlines: vec![outline.clone()], depth_mm, cap: Cap::Lower };
            add_pocket(&mut brep, &pocket, height_mm, &mut loops).map_err(|_| BlindHoleError::Shape)?;
            for face in group.iter().rev() {
                brep.faces.remove(*face);
            }
            brep.add_face(level_plane(height_mm, false), true, loops);
            let levels = self.levels().to_vec();
            return Ok(Self::from_faces(self.name(), without_spare_edges(brep), levels)?.with_tunnels(self.tunnels()));
        }
        Err(outside)
    }
}

/// Level faces that look down at a height, in groups that share edges; the faces of a group are in ascending order.
fn level_groups(brep: &Brep, height_mm: f64) -> Vec<Vec<usize>> {
    let is_level = |face: &Face| {
        let Surface::Plane { frame } = face.surface else { return false };
        let [x, y, z] = frame.z;
        (frame.origin[2] - height_mm).abs() < LEVEL && x.hypot(y) < LEVEL && (z < 0.0) == face.same_sense
    };
    let touches = |one: usize, other: usize| {
        let edges = |face: usize| brep.faces[face].loops.iter().flatten().map(|u| u.edge);
        edges(one).any(|edge| edges(other).any(|e| e == edge))
    };
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for face in (0..brep.faces.len()).filter(|face| is_level(&brep.faces[*face])) {
        let joins = |group: &Vec<usize>| group.iter().any(|other| touches(face, *other));
        let (joined, mut apart): (Vec<_>, Vec<_>) = groups.into_iter().partition(joins);
        apart.push(joined.into_iter().flatten().chain([face]).collect());
        groups = apart;
    }
    for group in &mut groups {
        group.sort_unstable();
    }
    groups
}

/// Loops around faces that are joined: edges between two of them are left out. `None` if the rest does not close.
fn joined_loops(brep: &Brep, group: &[usize]) -> Option<Vec<Vec<EdgeUse>>> {
    let all: Vec<EdgeUse> = group.iter().flat_map(|face| brep.faces[*face].loops.iter().flatten().copied()).collect();
    let is_inner = |u: &EdgeUse| all.contains(&EdgeUse { forward: !u.forward, ..*u });
    let mut rest: Vec<EdgeUse> = all.iter().filter(|u| !is_inner(u)).copied().collect();
    let ends = |u: EdgeUse| {
        let Edge { from, to, .. } = brep.edges[u.edge];
        if u.forward { [from, to] } else { [to, from] }
    };
    let mut loops = Vec::new();
    while !rest.is_empty() {
        let first = rest.remove(0);
        let mut chain = vec![first];
        let mut at = ends(first)[1];
        while at != ends(first)[0] {
            let next = rest.iter().position(|u| ends(*u)[0] == at)?;
            let edge_use = rest.remove(next);
            at = ends(edge_use)[1];
            chain.push(edge_use);
        }
        loops.push(chain);
    }
    // The outer loop comes first: it encloses the greatest area.
    let area = |uses: &Vec<EdgeUse>| section_of(brep, uses).map_or(0.0, |outline| outline.area_mm2().abs());
    let outer = (0..loops.len()).max_by(|a, b| area(&loops[*a]).total_cmp(&area(&loops[*b])))?;
    loops.swap(0, outer);
    Some(loops)
}

/// True if an outline lies inside the first loop and outside all others, and touches none.
fn leaves_room(brep: &Brep, loops: &[Vec<EdgeUse>], outline: &Outline) -> Result<bool, OutlineError> {
    let start = outline.segments()[0].curve.start();
    for (index, uses) in loops.iter().enumerate() {
        // As seen from above, the outer loop of a face that looks down runs clockwise, and its openings do not.
        let around = section_of(brep, uses)?;
        let around = if around.area_mm2() < 0.0 { around.reversed() } else { around };
        let is_inside = around.encloses(start);
        let holds_it = !is_inside && outline.encloses(around.segments()[0].curve.start());
        if is_inside != (index == 0) || holds_it || around.contact_with(outline).is_some() {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Outline of a level loop, as seen from above.
fn section_of(brep: &Brep, uses: &[EdgeUse]) -> Result<Outline, OutlineError> {
    let curve = |edge_use: &EdgeUse| {
        let edge = brep.edges[edge_use.edge];
        let curve = match edge.curve {
            EdgeCurve::Line => {
                let [start, end] = [edge.from, edge.to].map(|v| Point::new(brep.vertices[v][0], brep.vertices[v][1]));
                Curve::line(start, end)
            }
            EdgeCurve::Arc { frame, radius, sweep } => Curve::Arc {
                centre: Point::new(frame.origin[0], frame.origin[1]),
                radius,
                start_angle: frame.x[1].atan2(frame.x[0]),
                sweep: if frame.z[2] < 0.0 { -sweep } else { sweep },
            },
        };
        if edge_use.forward { curve } else { curve.reversed() }
    };
    Outline::new(uses.iter().map(|u| Segment::new(curve(u), Role::Body)).collect())
}

/// The boundary without edges that no face uses.
fn without_spare_edges(mut brep: Brep) -> Brep {
    let mut number: Vec<Option<usize>> = vec![None; brep.edges.len()];
    for edge_use in brep.faces.iter().flat_map(|face| face.loops.iter().flatten()) {
        number[edge_use.edge] = Some(0);
    }
    for (k, number) in number.iter_mut().flatten().enumerate() {
        *number = k;
    }
    let mut kept = number.iter().map(Option::is_some);
    brep.edges.retain(|_| kept.next().unwrap_or(false));
    for edge_use in brep.faces.iter_mut().flat_map(|face| face.loops.iter_mut().flatten()) {
        edge_use.edge = number[edge_use.edge].unwrap_or(edge_use.edge);
    }
    brep
}

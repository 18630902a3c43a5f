//! Boundary representation of a solid as plain data, for writers, checks and meshes.

/// Point or vector in space, mm.
pub type Point3 = [f64; 3];

/// Right-handed frame: origin, and perpendicular unit vectors x and z; y = z × x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Origin, mm.
    pub origin: Point3,
    /// Unit x direction.
    pub x: Point3,
    /// Unit z direction.
    pub z: Point3,
}

/// Curve of an edge from its first to its last vertex.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EdgeCurve {
    /// Straight line.
    Line,
    /// Circular arc that starts on the frame's x axis and turns counter-clockwise about its z axis.
    Arc {
        /// Centre, start direction and axis.
        frame: Frame,
        /// Radius, mm.
        radius: f64,
        /// Angle of the arc, rad, in (0, 2π).
        sweep: f64,
    },
}

/// Edge between two vertices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Index of the first vertex.
    pub from: usize,
    /// Index of the last vertex.
    pub to: usize,
    /// Curve between the two.
    pub curve: EdgeCurve,
}

/// Surface of a face. Its own normal is the frame's z for a plane, and points away from the axis otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Surface {
    /// Plane through the frame's origin, normal to its z.
    Plane {
        /// Placement.
        frame: Frame,
    },
    /// Cylinder about the frame's z axis.
    Cylinder {
        /// Placement.
        frame: Frame,
        /// Radius, mm.
        radius: f64,
    },
    /// Cone about the frame's z axis, opening along +z.
    Cone {
        /// Placement.
        frame: Frame,
        /// Radius at the frame's origin, mm, zero or more.
        radius: f64,
        /// Half angle, rad, in (0, π/2).
        half_angle: f64,
    },
    /// Oblique cone or cylinder between two arcs. Its sections perpendicular to the frame's z are arcs whose centres and
    /// radii change linearly with the height. The arcs start along the frame's x and turn counter-clockwise about z.
    Oblique {
        /// Placement; its origin is the centre of the lower arc.
        frame: Frame,
        /// Radius of the lower arc, mm.
        radius: f64,
        /// Radius of the upper arc, mm.
        upper_radius: f64,
        /// Centre of the upper arc in the frame: along x and y, mm.
        shift: [f64; 2],
        /// Height of the upper arc over the lower one, mm.
        height: f64,
        /// Angle of both arcs, rad, in (0, 2π).
        sweep: f64,
    },
}

/// Use of an edge in a loop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgeUse {
    /// Index of the edge.
    pub edge: usize,
    /// True if the loop runs along the edge from its first to its last vertex.
    pub forward: bool,
}

/// Face: a part of a surface, bounded by loops that keep it on their left as seen from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Surface on which the face lies.
    pub surface: Surface,
    /// True if the outward normal of the solid is the surface's own normal.
    pub same_sense: bool,
    /// Outer loop, counter-clockwise about the outward normal, followed by the holes.
    pub loops: Vec<Vec<EdgeUse>>,
}

/// Boundary of one solid: one closed shell with outward orientation.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Brep {
    /// Vertices, mm.
    pub vertices: Vec<Point3>,
    /// Edges, each used by exactly two loops, once in each direction.
    pub edges: Vec<Edge>,
    /// Faces.
    pub faces: Vec<Face>,
}

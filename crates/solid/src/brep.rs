//! The finished boundary of a solid as plain data: what writers, checks and meshes read.

/// A point or vector in space, mm.
pub type Point3 = [f64; 3];

/// A right-handed frame: origin, x and z directions (unit, perpendicular). y = z × x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Origin, mm.
    pub origin: Point3,
    /// Unit x direction.
    pub x: Point3,
    /// Unit z direction.
    pub z: Point3,
}

/// Curve of an edge, travelled from its first to its last vertex.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EdgeCurve {
    /// Straight.
    Line,
    /// Circular: starts on the frame's x axis and turns counter-clockwise about its z axis.
    Arc {
        /// Centre, start direction, axis.
        frame: Frame,
        /// Radius, mm.
        radius: f64,
        /// Angle travelled, rad, in (0, 2π).
        sweep: f64,
    },
}

/// An edge between two vertices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Index of the first vertex.
    pub from: usize,
    /// Index of the last vertex.
    pub to: usize,
    /// The curve between them.
    pub curve: EdgeCurve,
}

/// Surface of a face. Its own normal is the frame's z for a plane, and away from the axis otherwise.
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
    /// An oblique cone or cylinder: arcs in planes square to the frame's z whose centres and radii move evenly with the
    /// height. It ends at its two arcs, which start along the frame's x and turn counter-clockwise about z.
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

/// An edge as a loop uses it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgeUse {
    /// Index of the edge.
    pub edge: usize,
    /// Whether the loop travels it from its first to its last vertex.
    pub forward: bool,
}

/// A face: a piece of surface bounded by loops, counter-clockwise about the outward normal; the first is the outer one.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Where it lies.
    pub surface: Surface,
    /// Whether the outward normal of the solid is the surface's own normal.
    pub same_sense: bool,
    /// Outer loop first, then holes.
    pub loops: Vec<Vec<EdgeUse>>,
}

/// Boundary of one solid: one closed, outward oriented shell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Brep {
    /// Vertices, mm.
    pub vertices: Vec<Point3>,
    /// Edges, each used by exactly two loops, once in each direction.
    pub edges: Vec<Edge>,
    /// Faces.
    pub faces: Vec<Face>,
}

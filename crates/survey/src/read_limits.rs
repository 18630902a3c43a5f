//! Limits of what is read from drawings and scans. Each reader counts while it reads, so that a small file cannot ask for much
//! memory or time.

/// Largest drawing or scan, bytes.
pub const MOST_BYTES: usize = 20_000_000;
/// Most points of a drawing once its curves are points, and most triangles in the section of a scan.
pub const MOST_POINTS: usize = 400_000;
/// Most entities in a DXF file.
pub const MOST_DXF_ENTITIES: usize = 200_000;
/// Most entities with those of blocks, counted wherever a block is placed.
pub const MOST_PLACED_ENTITIES: usize = 1_000_000;
/// Most blocks that are placed.
pub const MOST_INSERTS: usize = 10_000;
/// Greatest depth of blocks in each other.
pub const DEEPEST_INSERT: usize = 8;
/// Most control points of a spline.
pub const MOST_CONTROLS: usize = 50_000;
/// Highest degree of a spline.
pub const HIGHEST_DEGREE: usize = 11;
/// Most elements and attributes of an SVG.
pub const MOST_SVG_NODES: u32 = 500_000;
/// Most attributes of one element.
pub const MOST_ATTRIBUTES: usize = 2_000;
/// Greatest depth of groups in each other.
pub const DEEPEST_GROUP: usize = 200;

//! Pockets: closed outlines that are engraved in a cap, with straight walls and a flat floor.

use std::fmt;

use gripwright_section::{Contact, Outline};

use crate::{
    brep::{Brep, EdgeUse},
    brep_builder::level_plane,
    side_walls::{CurvedSide, add_walls, straight_stack},
};

/// Flat end of a prism.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cap {
    /// End at −z.
    Lower,
    /// End at +z.
    Upper,
}

/// Outlines that are engraved in a cap to one depth. They lie inside the cap and touch neither its edge nor each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// Engraved areas, each counter-clockwise, in the drawing of the prism's outline.
    pub outlines: Vec<Outline>,
    /// Depth below the cap, mm.
    pub depth_mm: f64,
    /// Engraved cap.
    pub cap: Cap,
}

/// Reason why a pocket does not fit.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PocketError {
    /// The pockets leave no material between their floors.
    #[error("pockets {depth_mm} mm deep in all do not fit a height of {height_mm} mm")]
    Depth {
        /// Depth of the pocket plus the depth of the deepest opposite pocket, mm.
        depth_mm: f64,
        /// Height of the prism, mm.
        height_mm: f64,
    },
    /// A pocket outline runs clockwise.
    #[error("outline {outline} of pocket {pocket} runs clockwise")]
    Clockwise {
        /// Index of the pocket.
        pocket: usize,
        /// Index of its outline.
        outline: usize,
    },
    /// A pocket outline reaches the edge of the cap.
    #[error("outline {outline} of pocket {pocket} is not inside the cap")]
    Outside {
        /// Index of the pocket.
        pocket: usize,
        /// Index of its outline.
        outline: usize,
    },
    /// Two pocket outlines touch.
    #[error("outlines {first} and {second} (pocket, outline) touch near ({x_mm:.3}, {y_mm:.3}) mm")]
    Touching {
        /// One outline.
        first: PocketOutline,
        /// The other outline.
        second: PocketOutline,
        /// Place of contact: x coordinate, mm.
        x_mm: f64,
        /// Place of contact: y coordinate, mm.
        y_mm: f64,
    },
}

/// An outline among those of all pockets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PocketOutline {
    /// Index of the pocket.
    pub pocket: usize,
    /// Index of the outline in the pocket.
    pub outline: usize,
}

impl fmt::Display for PocketOutline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "({}, {})", self.pocket, self.outline)
    }
}

/// Checks the depths, directions and positions of all pockets of a prism with the given half height and the outlines of its
/// lower and its upper cap, which differ where the draft runs one way or the body tapers.
pub(crate) fn check_pockets(
    pockets: &[Pocket],
    half_height_mm: f64,
    [lower, upper]: [&Outline; 2],
) -> Result<(), PocketError> {
    let height_mm = 2.0 * half_height_mm;
    for (pocket, p) in pockets.iter().enumerate() {
        let cap = if p.cap == Cap::Lower { lower } else { upper };
        let opposite = pockets.iter().filter(|q| q.cap != p.cap).map(|q| q.depth_mm).fold(0.0, f64::max);
        let depth_mm = p.depth_mm + opposite;
        if !(p.depth_mm > 0.0 && depth_mm < height_mm) {
            return Err(PocketError::Depth { depth_mm, height_mm });
        }
        for (outline, o) in p.outlines.iter().enumerate() {
            if o.area_mm2() <= 0.0 {
                return Err(PocketError::Clockwise { pocket, outline });
            }
            let inside = cap.encloses(o.segments()[0].curve.start()) && cap.contact_with(o).is_none();
            if !inside {
                return Err(PocketError::Outside { pocket, outline });
            }
        }
    }
    check_apart(pockets)
}

/// Checks that no two pocket outlines in the same cap touch.
fn check_apart(pockets: &[Pocket]) -> Result<(), PocketError> {
    let all: Vec<_> = pockets
        .iter()
        .enumerate()
        .flat_map(|(i, p)| {
            p.outlines
                .iter()
                .enumerate()
                .map(move |(j, o)| (PocketOutline { pocket: i, outline: j }, p.cap, o, o.bounds()))
        })
        .collect();
    for (i, &(first, cap, a, bounds)) in all.iter().enumerate() {
        if let Some(Contact { point, .. }) = a.self_contact() {
            return Err(PocketError::Touching { first, second: first, x_mm: point.x, y_mm: point.y });
        }
        for &(second, _, b, _) in all[i + 1..].iter().filter(|o| o.1 == cap && bounds.near(o.3, 0.0)) {
            let start = a.segments()[0].curve.start();
            let nested = b.encloses(start) || a.encloses(b.segments()[0].curve.start());
            let contact = a.contact_with(b).map(|c| c.point).or(nested.then_some(start));
            if let Some(point) = contact {
                return Err(PocketError::Touching { first, second, x_mm: point.x, y_mm: point.y });
            }
        }
    }
    Ok(())
}

/// Adds the walls and floors of a pocket below the cap at `height`, and its openings to the loops of that cap.
pub(crate) fn add_pocket(
    brep: &mut Brep,
    pocket: &Pocket,
    height: f64,
    cap_loops: &mut Vec<Vec<EdgeUse>>,
) -> Result<(), CurvedSide> {
    let faces_up = pocket.cap == Cap::Upper;
    let floor = if faces_up { height - pocket.depth_mm } else { height + pocket.depth_mm };
    let heights = if faces_up { [floor, height] } else { [height, floor] };
    for outline in &pocket.outlines {
        // A reversed outline has the material on its left, like the outline of a prism.
        let walls = add_walls(brep, &straight_stack(&outline.reversed(), heights), &[])?;
        let (low, high) = (&walls.rings[0], &walls.rings[1]);
        let (opening, floor_loop) = if faces_up {
            (high.forward_loop(), low.backward_loop())
        } else {
            (low.backward_loop(), high.forward_loop())
        };
        cap_loops.push(opening);
        brep.add_face(level_plane(floor, faces_up), true, vec![floor_loop]);
    }
    Ok(())
}

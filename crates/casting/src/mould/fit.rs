//! Limits of printer and vessel: by how much a mould is too large for them.

use super::{
    layout::MouldLayout,
    request::{MouldFigures, MouldLimits, Parting},
};

/// A limit that a mould does not keep.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Misfit {
    /// A part is larger than the printer's bed, turned the better way.
    #[error("{part} is {:.1} × {:.1} mm too large for the printer's bed", .over_mm[0], .over_mm[1])]
    Bed {
        /// Name of the part.
        part: &'static str,
        /// Excess along its longer and its shorter side, mm; zero where it fits.
        over_mm: [f64; 2],
    },
    /// The box is wider than the vessel.
    #[error("the box is {over_mm:.1} mm wider across its corners than the vessel")]
    VesselDiameter {
        /// Excess of the diagonal, mm.
        over_mm: f64,
    },
    /// The box is higher than the vessel.
    #[error("the box is {over_mm:.1} mm higher than the vessel")]
    VesselHeight {
        /// Excess, mm.
        over_mm: f64,
    },
}

/// Outer sizes of the box.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct BoxSize {
    /// Width and depth with the walls, mm.
    pub outer_mm: [f64; 2],
    /// Height of the walls, mm.
    pub wall_height_mm: f64,
    /// Height with the floor, mm.
    pub height_mm: f64,
}

impl BoxSize {
    /// Size of the box of a layout.
    pub fn new(layout: &MouldLayout, figures: &MouldFigures) -> Self {
        Self::around(layout.inner_mm, layout.below_mm + layout.above_mm, layout.parting, figures)
    }

    /// Size of the box around a room between the walls, for rubber of a height.
    pub(crate) fn around(inner_mm: [f64; 2], rubber_mm: f64, parting: Parting, figures: &MouldFigures) -> Self {
        let outer_mm = inner_mm.map(|s| s + 2.0 * figures.wall_mm);
        // The step of the floor fills part of the room of the lid. A block needs all of its height.
        let step = match parting {
            Parting::End | Parting::Middle => 0.0,
            Parting::Cut => figures.floor_mm,
        };
        let wall_height_mm = rubber_mm + step;
        Self { outer_mm, wall_height_mm, height_mm: wall_height_mm + figures.floor_mm }
    }
}

/// All limits that a mould does not keep.
pub fn misfits(layout: &MouldLayout, figures: &MouldFigures, limits: &MouldLimits) -> Vec<Misfit> {
    box_misfits(&BoxSize::new(layout, figures), limits)
}

/// All limits that a box does not keep.
pub(crate) fn box_misfits(size: &BoxSize, limits: &MouldLimits) -> Vec<Misfit> {
    let [width, depth] = size.outer_mm;
    let parts = [
        ("the floor", [width, depth]),
        ("a long wall", [width.max(depth), size.wall_height_mm]),
        ("a short wall", [width.min(depth), size.wall_height_mm]),
    ];
    let long_first = |[a, b]: [f64; 2]| [a.max(b), a.min(b)];
    let mut found = Vec::new();
    if let Some(bed) = limits.bed_mm.map(long_first) {
        for (part, extent) in parts {
            let extent = long_first(extent);
            let over_mm = [0, 1].map(|i| (extent[i] - bed[i]).max(0.0));
            if over_mm.iter().any(|over| *over > 0.0) {
                found.push(Misfit::Bed { part, over_mm });
            }
        }
    }
    if let Some([diameter, height]) = limits.vessel_mm {
        let over = |value: f64, limit: f64| Some(value - limit).filter(|over| *over > 0.0);
        found.extend(over(width.hypot(depth), diameter).map(|over_mm| Misfit::VesselDiameter { over_mm }));
        found.extend(over(size.height_mm, height).map(|over_mm| Misfit::VesselHeight { over_mm }));
    }
    found
}

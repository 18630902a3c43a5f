//! Limits of printer and vessel: by how much a mould is too large for them.

use gripwright_solid::{
    Point3,
    vector::{dot, length},
};

use super::{
    layout::MouldLayout,
    request::{MouldFigures, MouldLimits, Parting},
};

/// A limit that a mould does not keep.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Misfit {
    /// A part is larger than the printer's bed, however it is turned.
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
    /// The box fits the vessel while it stands level, but not in the attitude in which the resin gels.
    #[error("tilted for the resin, the box is {} than the vessel", excess_text(.over_mm))]
    Tilted {
        /// Excess of width and height, mm; zero where it fits.
        over_mm: [f64; 2],
    },
}

/// Excess of width and height in words, as far as there is one.
fn excess_text(over_mm: &[f64; 2]) -> String {
    let excess = over_mm.iter().zip(["wider", "higher"]).filter(|(over, _)| **over > 0.0);
    excess.map(|(over, word)| format!("{over:.1} mm {word}")).collect::<Vec<_>>().join(" and ")
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

    /// Diameter and height of the smallest upright cylinder around the box, mm, if `up` points against gravity; a unit
    /// vector in the coordinates of the box.
    pub fn in_attitude_mm(&self, up: Point3) -> [f64; 2] {
        let [x, y, z] = [self.outer_mm[0], self.outer_mm[1], self.height_mm].map(|size| 0.5 * size);
        // Opposite corners are as high above the middle as below it.
        let corners = [[x, y, z], [-x, y, z], [x, -y, z], [x, y, -z]];
        let heights = corners.map(|corner| dot(corner, up).abs());
        let least = heights.into_iter().fold(f64::INFINITY, f64::min);
        let greatest = heights.into_iter().fold(0.0, f64::max);
        let reach = length(corners[0]);
        [2.0 * (reach * reach - least * least).max(0.0).sqrt(), 2.0 * greatest]
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
            if turn_on_bed_rad(extent, bed).is_none() {
                let extent = long_first(extent);
                found.push(Misfit::Bed { part, over_mm: [0, 1].map(|i| (extent[i] - bed[i]).max(0.0)) });
            }
        }
    }
    if let Some([diameter, height]) = limits.vessel_mm {
        let over = |value: f64, limit: f64| Some(value - limit).filter(|over| *over > 0.0);
        let level: Vec<Misfit> = over(width.hypot(depth), diameter)
            .map(|over_mm| Misfit::VesselDiameter { over_mm })
            .into_iter()
            .chain(over(size.height_mm, height).map(|over_mm| Misfit::VesselHeight { over_mm }))
            .collect();
        let [across_mm, tall_mm] = limits.up.map_or([0.0; 2], |up| size.in_attitude_mm(up));
        let over_mm = [across_mm - diameter, tall_mm - height].map(|over| over.max(0.0));
        if !level.is_empty() {
            found.extend(level);
        } else if over_mm.iter().any(|over| *over > 0.0) {
            found.push(Misfit::Tilted { over_mm });
        }
    }
    found
}

/// Turn (rad) by which a rectangle fits on a printer's bed: none, a quarter, or the least in between. `None` if it does not
/// fit in any.
pub fn turn_on_bed_rad(extent_mm: [f64; 2], bed_mm: [f64; 2]) -> Option<f64> {
    let [a, b] = extent_mm;
    let fits = |turn: f64| {
        let (sin, cos) = turn.sin_cos();
        let hair = 1e-9;
        a * cos + b * sin <= bed_mm[0] + hair && a * sin + b * cos <= bed_mm[1] + hair
    };
    // Beyond the first of these turns a cos t + b sin t keeps the width, beyond the second a sin t + b cos t the depth.
    let (diagonal, lean) = (a.hypot(b), b.atan2(a));
    let reach = |bed: f64| (bed / diagonal).min(1.0).acos();
    let quarter = std::f64::consts::FRAC_PI_2;
    let mut between = [lean + reach(bed_mm[0]), quarter - lean + reach(bed_mm[1])];
    between.sort_by(f64::total_cmp);
    let turns = [0.0, quarter, between[0], between[1]];
    turns.into_iter().find(|turn| (0.0..=quarter).contains(turn) && fits(*turn))
}

//! Section of a barrel at one size, and its orientations in a clip.
//!
//! A hexagon may be put in turned any way. By its symmetry the two orientations with a flat or a corner at the bottom
//! are the extremes: between them its width across the mouth falls steadily from that over corners to that over flats.
//! A limit must be kept in both.

use gripwright_input::ToolSection;
use gripwright_mechanics::{InsertionOutcome, RigidSection};
use gripwright_section::{HexagonOrientation, across_corners_mm, hexagon};

/// cos 30°: width over flats over width over corners, apart from the rounding.
const FLATS_OVER_CORNERS: f64 = 0.866_025_403_784_438_6;
/// Greatest rounding of a hexagon, over half its size. Sampled sizes may be smaller than any measured one, and a
/// hexagon must keep its flats.
const MOST_ROUNDED: f64 = 0.98;

/// Outcome for a barrel without a size.
pub(crate) const NO_BARREL: InsertionOutcome = InsertionOutcome::Jams { axis_mm: 0.0 };

/// Section of a barrel at one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BarrelSection {
    pub(crate) section: ToolSection,
    /// Diameter, or size across flats, mm.
    pub(crate) size_mm: f64,
}

/// Section of a barrel in one orientation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OrientedBarrel {
    pub(crate) section: BarrelSection,
    /// Absent for a round section.
    pub(crate) attitude: Option<HexagonOrientation>,
}

impl BarrelSection {
    /// Greatest width, mm; also the diameter of the largest round seat that it fills.
    pub(crate) fn widest_mm(&self) -> f64 {
        match self.section {
            ToolSection::Round => self.size_mm,
            ToolSection::Hexagon { corner_mm } => across_corners_mm(self.size_mm, self.rounding_mm(corner_mm)),
        }
    }

    /// The same section at the size that has this greatest width, mm.
    pub(crate) fn as_wide_as(&self, widest_mm: f64) -> Self {
        let size_mm = match self.section {
            ToolSection::Round => widest_mm,
            ToolSection::Hexagon { corner_mm } => {
                let corner_mm = corner_mm.min(0.5 * MOST_ROUNDED * widest_mm);
                2.0 * ((0.5 * widest_mm - corner_mm) * FLATS_OVER_CORNERS + corner_mm)
            }
        };
        Self { size_mm, ..*self }
    }

    /// Derivative of the greatest width with respect to the size.
    pub(crate) fn widest_per_size(&self) -> f64 {
        match self.section {
            ToolSection::Round => 1.0,
            ToolSection::Hexagon { .. } => 1.0 / FLATS_OVER_CORNERS,
        }
    }

    /// Orientations that decide, the widest first and the loosest last.
    pub(crate) fn orientations(&self) -> Vec<OrientedBarrel> {
        let turned = |attitude| OrientedBarrel { section: *self, attitude };
        match self.section {
            ToolSection::Round => vec![turned(None)],
            ToolSection::Hexagon { .. } => {
                vec![turned(Some(HexagonOrientation::FlatDown)), turned(Some(HexagonOrientation::CornerDown))]
            }
        }
    }

    pub(crate) fn is_hexagon(&self) -> bool {
        matches!(self.section, ToolSection::Hexagon { .. })
    }

    fn rounding_mm(&self, corner_mm: f64) -> f64 {
        corner_mm.min(0.5 * MOST_ROUNDED * self.size_mm)
    }
}

impl OrientedBarrel {
    /// The rigid section; `None` when it has no size.
    pub(crate) fn rigid(&self) -> Option<RigidSection> {
        let BarrelSection { section, size_mm } = self.section;
        match (section, self.attitude) {
            (ToolSection::Hexagon { corner_mm }, Some(attitude)) => {
                let outline = hexagon(size_mm, self.section.rounding_mm(corner_mm), attitude).ok()?;
                RigidSection::from_outline(&outline).ok()
            }
            _ => (size_mm > 0.0).then(|| RigidSection::round(0.5 * size_mm)),
        }
    }
}

/// Solves a section in each orientation and returns the worst result.
pub(crate) fn worst_orientation<T>(
    section: &BarrelSection,
    solved: impl Fn(&RigidSection) -> Result<T, InsertionOutcome>,
    worse: impl Fn(T, T) -> T,
) -> Result<T, InsertionOutcome> {
    let mut worst: Option<T> = None;
    for barrel in section.orientations() {
        let found = solved(&barrel.rigid().ok_or(NO_BARREL)?)?;
        worst = Some(match worst {
            Some(before) => worse(before, found),
            None => found,
        });
    }
    worst.ok_or(NO_BARREL)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PENCIL: BarrelSection = BarrelSection { section: ToolSection::Hexagon { corner_mm: 0.4 }, size_mm: 7.0 };

    #[test]
    fn sizes_and_widths_lead_to_each_other() {
        for size_mm in [6.0, 7.0, 7.2] {
            let bar = BarrelSection { size_mm, ..PENCIL };
            assert!((PENCIL.as_wide_as(bar.widest_mm()).size_mm - size_mm).abs() < 1e-12);
        }
        let wider = BarrelSection { size_mm: 7.1, ..PENCIL };
        assert!((wider.widest_mm() - PENCIL.widest_mm() - 0.1 * PENCIL.widest_per_size()).abs() < 1e-12);
    }

    /// The claim on which the two orientations rest: half the width across the mouth falls steadily on the turn of 30°.
    /// The width of a turned hexagon is taken from its corners, each a circle (geometry).
    #[test]
    fn between_the_two_orientations_the_width_falls_steadily() {
        let (flats, corner) = (7.0_f64, 0.4_f64);
        let reach = (0.5 * flats - corner) / FLATS_OVER_CORNERS;
        let width = |turn_deg: f64| {
            let corners = (0..6).map(|i| (f64::from(60 * i) + turn_deg).to_radians().cos() * reach + corner);
            corners.fold(0.0, f64::max)
        };
        let widths: Vec<f64> = (0..=30).map(|deg| width(f64::from(deg))).collect();
        assert!(widths.windows(2).all(|w| w[1] < w[0]));
        let [flat_down, corner_down] = [0, 1].map(|i| PENCIL.orientations()[i].rigid().unwrap().half_opening_mm(0.0));
        assert!((flat_down - widths[0]).abs() < 1e-9 && (corner_down - widths[30]).abs() < 1e-9);
    }
}

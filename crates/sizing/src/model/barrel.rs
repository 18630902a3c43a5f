//! Barrel prepared for closed-form estimates.

use std::f64::consts::FRAC_PI_2;

use gripwright_input::ToolSection;
use gripwright_mechanics::{LipContact, RigidSection};
use gripwright_section::{HexagonOrientation, LipRound, Point};

use crate::limits::barrel_section::OrientedBarrel;

/// A barrel prepared for estimates.
#[derive(Clone, Debug)]
pub(crate) struct PreparedBarrel {
    /// Half its greatest width, mm.
    pub(crate) radius_mm: f64,
    pub(crate) rigid: RigidSection,
    /// True if it rests as a round barrel of that radius would: on the edges of the floor.
    pub(crate) rests_like_round: bool,
    /// Bits of all numbers that determine its estimates, as a key for caches.
    pub(crate) key: [u64; 3],
}

impl PreparedBarrel {
    /// Returns `None` if the section cannot be drawn. A hexagon with a flat down rests on two corners, where a round barrel
    /// over its corners would rest.
    pub(crate) fn new(barrel: &OrientedBarrel) -> Option<Self> {
        let radius_mm = 0.5 * barrel.section.widest_mm();
        let rests_like_round = barrel.attitude != Some(HexagonOrientation::CornerDown);
        let corner_mm = match barrel.section.section {
            ToolSection::Round => f64::NAN,
            ToolSection::Hexagon { corner_mm } => corner_mm,
        };
        let key = [barrel.section.size_mm.to_bits(), corner_mm.to_bits(), u64::from(rests_like_round)];
        Some(Self { radius_mm, rigid: barrel.rigid()?, rests_like_round, key })
    }

    /// Extent of the section from its axis along a normal (rad from −y), mm.
    fn reach_mm(&self, normal_rad: f64) -> f64 {
        let normal = LipContact::new(Point::ORIGIN, normal_rad).normal;
        self.rigid.contacts().iter().map(|c| c.point.dot(normal)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Radius of the round barrel whose axis has the same height in a vee, mm.
    pub(crate) fn round_radius_in_vee_mm(&self, flank_rad: f64) -> f64 {
        if self.rests_like_round && self.rigid.is_round() { self.radius_mm } else { self.reach_mm(flank_rad) }
    }

    /// Interference with a free lip (mm) and the contact normal (rad), with the barrel's axis at `height_mm`. A convex
    /// section is as far from a point as the farthest of its tangent lines.
    pub(crate) fn lip_interference(&self, height_mm: f64, lip: LipRound) -> (f64, f64) {
        let LipRound { centre, radius_mm: radius } = lip;
        let place = centre - Point::new(0.0, height_mm);
        if self.rigid.is_round() {
            return (self.radius_mm + radius - place.length(), place.angle() + FRAC_PI_2);
        }
        let distance = |c: &LipContact| (place - c.point).dot(c.normal);
        let nearest = self.rigid.contacts().iter().max_by(|a, b| distance(a).total_cmp(&distance(b)));
        nearest.map_or((0.0, FRAC_PI_2), |c| (radius - distance(c), c.normal_rad))
    }
}

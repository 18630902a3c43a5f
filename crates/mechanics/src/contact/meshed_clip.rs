//! Clips divided into elements for the contact solver.

use std::f64::consts::FRAC_PI_2;

use gripwright_section::{Curve, LipRound, Point, RoundClip, VeeClip};

use super::arm_mesh::{ArmMesh, MeshPlan, USUAL_ELEMENTS};
use crate::arm::{ArmError, STRAIN_FROM_EDGE, clamp_into_pad, curvature};

/// Default number of contact points on the inner face of each element.
const USUAL_POINTS: usize = 6;

/// Geometry of one arm: its inner face from the middle of the floor, its wall, its pad and its lip.
#[derive(Clone, Copy)]
pub struct ArmGeometry<'a> {
    /// Inner face from the middle of the floor to the beginning of the lip circle, the cavity on its left.
    pub inner_face: &'a [Curve],
    /// Wall (mm) by the index of the curve and the fraction of its length.
    pub wall: &'a dyn Fn(usize, f64) -> f64,
    /// End of the pad that holds the outer face: length of inner face from the middle of the floor, mm.
    pub pad_mm: f64,
    /// Lip circle.
    pub lip: LipRound,
}

/// Density of the mesh of an arm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MeshDensity {
    /// Number of elements of an arm.
    pub elements: usize,
    /// Number of contact points on the inner face of each element.
    pub points_per_element: usize,
}

impl MeshDensity {
    /// Density for searching, which takes two thirds of the usual time. Forces and strain of round clips are within 1 %
    /// of a fine run, as a rule within 0.5 %.
    pub const FAST: Self = Self { elements: 12, points_per_element: USUAL_POINTS };
}

impl Default for MeshDensity {
    fn default() -> Self {
        Self { elements: USUAL_ELEMENTS, points_per_element: USUAL_POINTS }
    }
}

/// The meshed arms of a clip, each with the share of the clip's length that it represents.
///
/// A symmetric clip counts one arm twice; a drafted clip has an arm for each level. All arms meet the same rigid
/// section at the same time.
#[derive(Clone, Debug)]
pub struct MeshedClip {
    pub(crate) arms: Vec<MeshedArm>,
}

/// The mesh of one arm with the width that it represents, relative to the clip's length.
#[derive(Clone, Debug)]
pub(crate) struct MeshedArm {
    pub(crate) mesh: ArmMesh,
    pub(crate) width: f64,
}

/// One level of a drafted clip.
#[derive(Clone, Debug)]
pub struct ClipLevel {
    /// Clip with the section of this level.
    pub clip: MeshedClip,
    /// Share of the length.
    pub share: f64,
}

impl MeshedClip {
    /// Returns a clip whose left arm mirrors the right one.
    pub fn symmetric(arm: &ArmGeometry<'_>, density: MeshDensity) -> Result<Self, ArmError> {
        Ok(Self { arms: vec![MeshedArm { mesh: arm.mesh(density)?, width: 2.0 }] })
    }

    /// Returns a clip with two different arms; the left one is described mirrored.
    pub fn from_arms(right: &ArmGeometry<'_>, left: &ArmGeometry<'_>, density: MeshDensity) -> Result<Self, ArmError> {
        let mut left = left.mesh(density)?;
        left.mirrored = true;
        let right = right.mesh(density)?;
        Ok(Self { arms: [right, left].map(|mesh| MeshedArm { mesh, width: 1.0 }).into() })
    }

    /// Returns a round clip of uniform wall with half-round lips.
    ///
    /// `half_wrap_rad` is half the angle embraced; the pad holds the outer face up to `pad_rad`. Both are measured from
    /// the middle of the floor.
    pub fn round(seat_radius_mm: f64, wall_mm: f64, half_wrap_rad: f64, pad_rad: f64) -> Result<Self, ArmError> {
        let lip = Point::unit(half_wrap_rad - FRAC_PI_2) * (seat_radius_mm + 0.5 * wall_mm);
        let inner_face = [Curve::arc(Point::ORIGIN, seat_radius_mm, -FRAC_PI_2, half_wrap_rad)];
        let pad_mm = seat_radius_mm * pad_rad;
        let arm = ArmGeometry {
            inner_face: &inner_face,
            wall: &|_, _| wall_mm,
            pad_mm,
            lip: LipRound { centre: lip, radius_mm: 0.5 * wall_mm },
        };
        Self::symmetric(&arm, MeshDensity::default())
    }

    /// Returns the clip of a round section. The pad holds its outer face up to `pad_rad` (from the middle of the
    /// floor).
    ///
    /// `inset` moves the faces of the seat and of the back into the material (mm), as draft does at some level.
    pub fn from_round_clip(
        clip: &RoundClip,
        pad_rad: f64,
        inset: [f64; 2],
        density: MeshDensity,
    ) -> Result<Self, ArmError> {
        let LipRound { centre, radius_mm: radius } = clip.lip_round().map_err(|_| ArmError::Empty)?;
        let [seat_inset, back_inset] = inset;
        let seat = clip.seat_radius_mm + seat_inset;
        let mut inner_face = vec![Curve::arc(Point::ORIGIN, seat, -FRAC_PI_2, clip.half_wrap_rad)];
        let end_wall = clip.wall_at_mm(clip.half_wrap_rad) - seat_inset - back_inset;
        if let Some(flare) = clip.lead_in {
            let along = Point::unit(clip.half_wrap_rad - FRAC_PI_2);
            let flare_centre = along * (clip.seat_radius_mm + flare.radius_mm);
            let start = clip.half_wrap_rad + FRAC_PI_2;
            inner_face.push(Curve::arc(flare_centre, flare.radius_mm - seat_inset, start, -flare.angle_rad));
        }
        let flare_wall = 2.0 * radius - seat_inset - back_inset;
        // The seat's wall runs into the flare's over the last part of the seat, where the fillet between them lies.
        let wall = |index: usize, t: f64| match index {
            0 => clip.wall_at_mm(t * clip.half_wrap_rad) - seat_inset - back_inset,
            _ => flare_wall.min(end_wall),
        };
        // The lip's contact face moves with the seat's faces.
        let lip = LipRound { centre, radius_mm: radius - seat_inset };
        let arm = ArmGeometry { inner_face: &inner_face, wall: &wall, pad_mm: seat * pad_rad, lip };
        Self::symmetric(&arm, density)
    }

    /// Returns the clip of a vee section. `inset` moves the faces of the seat and of the back into the material (mm),
    /// as draft does at some level.
    pub fn from_vee_clip(clip: &VeeClip, inset: [f64; 2], density: MeshDensity) -> Result<Self, ArmError> {
        let LipRound { centre, radius_mm: radius } = clip.lip_round().map_err(|_| ArmError::Empty)?;
        let face = clip.inner_face().map_err(|_| ArmError::Empty)?;
        let held_mm = clip.backed_length_mm().map_err(|_| ArmError::Empty)?;
        let [seat_inset, back_inset] = inset;
        let moved = |curve: Curve| match curve {
            Curve::Line { start, end } => {
                let out = curve.tangent(0.0).turned_left() * -seat_inset;
                Curve::line(start + out, end + out)
            }
            Curve::Arc { centre, radius, start_angle, sweep } => {
                Curve::arc(centre, radius + seat_inset, start_angle, sweep)
            }
        };
        let mut inner_face = face.map(moved).to_vec();
        if let Some(flare) = clip.lead_in {
            let along = Point::unit(clip.half_wrap_rad - FRAC_PI_2);
            let end = face[2].end();
            let start = clip.half_wrap_rad + FRAC_PI_2;
            let flare_radius = flare.radius_mm - seat_inset;
            inner_face.push(Curve::arc(end + along * flare.radius_mm, flare_radius, start, -flare.angle_rad));
        }
        let wall = |index: usize, t: f64| {
            let drawn = if index < 3 { clip.wall_at_mm(index, t) } else { 2.0 * radius };
            drawn - seat_inset - back_inset
        };
        // Round root and closing arc grow with the inset, and the length that is held with them.
        let grown: f64 = inner_face.iter().take(2).zip(&face).map(|(new, old)| new.length() - old.length()).sum();
        let lip = LipRound { centre, radius_mm: radius - seat_inset };
        Self::symmetric(&ArmGeometry { inner_face: &inner_face, wall: &wall, pad_mm: held_mm + grown, lip }, density)
    }

    /// True if one arm stands for both.
    pub fn is_symmetric(&self) -> bool {
        !self.arms.iter().any(|arm| arm.mesh.mirrored)
    }

    /// Returns the clip with both arms of each level; of a symmetric clip the left arm copies the right one.
    #[must_use]
    pub(crate) fn with_both_arms(&self) -> Self {
        if !self.is_symmetric() {
            return self.clone();
        }
        let side = |arm: &MeshedArm, mirrored| MeshedArm {
            mesh: ArmMesh { mirrored, ..arm.mesh.clone() },
            width: 0.5 * arm.width,
        };
        Self { arms: self.arms.iter().flat_map(|arm| [side(arm, false), side(arm, true)]).collect() }
    }

    /// Returns the levels of a drafted clip side by side, each with its share of the length.
    #[must_use]
    pub fn from_levels(levels: Vec<ClipLevel>) -> Self {
        let arms = levels
            .into_iter()
            .flat_map(|ClipLevel { clip, share }| {
                clip.arms.into_iter().map(move |arm| MeshedArm { width: arm.width * share, ..arm })
            })
            .collect();
        Self { arms }
    }
}

impl ArmGeometry<'_> {
    fn mesh(&self, density: MeshDensity) -> Result<ArmMesh, ArmError> {
        let (index, t) = self.place(self.pad_mm);
        let wall = (self.wall)(index, t);
        let inner = self.inner_face.get(index).map_or(0.0, curvature);
        // A length of inner face for a length of centreline.
        let shrink = 1.0 / (1.0 + 0.5 * wall * inner);
        ArmMesh::new(&MeshPlan {
            inner_face: self.inner_face,
            wall: self.wall,
            clamp_mm: (self.pad_mm - clamp_into_pad(wall * inner) * wall * shrink).max(0.0),
            strain_from_mm: self.pad_mm + STRAIN_FROM_EDGE * wall * shrink,
            lip: self.lip,
            elements: density.elements.max(2),
            points_per_element: density.points_per_element.max(1),
        })
    }

    /// Index of the curve, and fraction of its length, at a length of inner face.
    fn place(&self, length_mm: f64) -> (usize, f64) {
        let mut left = length_mm;
        for (index, curve) in self.inner_face.iter().enumerate() {
            let length = curve.length();
            if left <= length || index + 1 == self.inner_face.len() {
                return (index, (left / length).clamp(0.0, 1.0));
            }
            left -= length;
        }
        (0, 0.0)
    }
}

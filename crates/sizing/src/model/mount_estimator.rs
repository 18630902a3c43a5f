//! Mount prepared for closed-form estimates.

use std::f64::consts::FRAC_PI_2;

use gripwright_mechanics::{
    Arm, CLAMP_INTO_PAD, ClipSide, ElasticMaterial, Estimate, STRAIN_FROM_EDGE, SeatRest, WidthRegime, estimate,
};
use gripwright_section::{Curve, Point};

use crate::{
    limits::design_limits::DesignLimits,
    shape::body_section::{BodySection, OffsetBody},
    shape::curve_chain::{length_up_to, moved_outward, without_start},
    shape::mount_shape::MountShape,
};

/// A mount prepared for estimates.
#[derive(Clone, Debug)]
pub(crate) struct MountEstimator {
    /// The arms, each with the length along it from which its strain counts, mm.
    arms: Vec<(Arm, f64)>,
    shape: MountShape,
    gap_mm: f64,
    /// Radius of a round body, and the angle up to which its seat is held by the pad, rad.
    round: Option<(f64, f64)>,
    radius_mm: f64,
    strain_factor: f64,
}

impl MountEstimator {
    /// `None` when the mount cannot be drawn.
    pub(crate) fn new(
        shape: &MountShape,
        body_section: &BodySection,
        pad_half_width_mm: f64,
        length_mm: f64,
        limits: &DesignLimits,
    ) -> Option<Self> {
        let mount = shape.mount(body_section, pad_half_width_mm);
        mount.outline().ok()?;
        let tapers = body_section.taper.end_mm(length_mm);
        if tapers > 0.0 {
            body_section.taper.check_mount(&mount, length_mm).ok()?;
        }
        let inset = 0.5 * limits.end_inset_mm(length_mm);
        let seat_inset = inset * (limits.drafted_faces() - 1.0);
        let mean = Mean { wall_mm: shape.wall_mm - inset * limits.drafted_faces(), seat_inset, full: shape.wall_mm };
        let root = mount.right_root().ok()?;
        let mut arms = vec![mean.arm(&mount.right_arm().ok()?, root)?];
        if !body_section.symmetric {
            arms.push(mean.arm(&mount.left_arm().ok()?, mount.left_root().ok()?)?);
        }
        Some(Self {
            arms,
            shape: *shape,
            gap_mm: shape.gap_mm + seat_inset,
            round: body_section.round_radius_mm.map(|radius| (radius, root.angle() + FRAC_PI_2)),
            radius_mm: body_section.mean_radius_mm,
            strain_factor: (shape.wall_mm + tapers) / mean.wall_mm,
        })
    }

    /// Estimates for a body. `None` when it cannot snap on.
    pub(crate) fn estimate(&self, body: &OffsetBody, length_mm: f64, material: &ElasticMaterial) -> Option<Estimate> {
        let over_mm = body.over_mm;
        if body.sides.len() != self.arms.len() {
            return None;
        }
        let rest = match self.round {
            Some((radius, pad_rad)) => SeatRest::round(radius + self.gap_mm, radius + over_mm, pad_rad),
            None => SeatRest::with_clearance(self.gap_mm - over_mm),
        };
        let sides: Vec<ClipSide<'_>> = self
            .arms
            .iter()
            .zip(&body.sides)
            .map(|((arm, strain_from_mm), rigid)| ClipSide {
                arm,
                rigid,
                wrap_rad: self.shape.half_wrap_rad,
                strain_from_mm: *strain_from_mm,
                rest,
            })
            .collect();
        let regime = WidthRegime::from_dimensions(length_mm, self.radius_mm, self.shape.wall_mm);
        let mut found = estimate(&sides, material, regime).ok()?;
        found.strain_peak *= self.strain_factor;
        found.strain_at_rest *= self.strain_factor;
        Some(found)
    }
}

/// Walls half way between parting plane and ends, mm.
struct Mean {
    wall_mm: f64,
    seat_inset: f64,
    full: f64,
}

impl Mean {
    /// The arm beyond its clamp, and the length along it from which strain counts, mm.
    ///
    /// The rules for clamp and strain site come from round clips; on other floors they are taken along the wall:
    /// the clamp before the root, the site beyond it.
    fn arm(&self, inner: &[Curve], root: Point) -> Option<(Arm, f64)> {
        let site = length_up_to(inner, root);
        let clamp = (site - CLAMP_INTO_PAD * self.wall_mm).max(0.0);
        let bent: Vec<Curve> =
            without_start(inner, clamp).into_iter().map(|c| moved_outward(c, -self.seat_inset)).collect();
        let arm = Arm::from_inner_face(&bent, |_, _| self.wall_mm).ok()?;
        let lip = inner.last()?;
        let centre = lip.end() - lip.tangent(1.0).turned_left() * (0.5 * self.full);
        let arm = arm.with_lip(centre, 0.5 * self.full - self.seat_inset);
        Some((arm, site - clamp + STRAIN_FROM_EDGE * self.wall_mm))
    }
}

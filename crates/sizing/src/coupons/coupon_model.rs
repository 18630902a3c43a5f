//! Coupon prepared for the contact solver: a slice of a clip or mount, with the walls and step that it is printed with.

use gripwright_mechanics::{Interval, RigidSection, SnapRun, WidthRegime};
use gripwright_section::Mount;

use crate::{
    coupons::coupon_brief::CouponBrief,
    design::coupon::{Coupon, CouponShape, MOUNT_LETTER},
    design::sizes::Size,
    limits::design_limits::DesignLimits,
    model::clip_model::ClipModel,
    model::mount_model::MountModel,
    model::response::{ForceScale, Response, respond, unit_run},
    model::solver_cache::SolverCache,
    model::solver_clip::SolverClip,
    shape::body_section::BodySection,
    shape::clip_geometry::ClipGeometry,
    shape::mount_shape::MountShape,
};

/// A coupon before its walls and step are chosen, and the barrels or bodies that it is tried on.
#[derive(Clone, Debug)]
pub(crate) struct CouponModel<'a> {
    /// Letter of the size, or M.
    pub(crate) letter: char,
    origin: CutFrom<'a>,
    /// The least and the greatest that it must take.
    rigids: [RigidSection; 2],
    length_mm: f64,
}

#[derive(Clone, Debug)]
enum CutFrom<'a> {
    Clip { form: ClipGeometry, seat_radius_mm: f64 },
    Mount { shape: MountShape, body_section: &'a BodySection, pad_half_width_mm: f64 },
}

/// A coupon with its walls and its step.
#[derive(Clone, Debug)]
pub(crate) struct PreparedCoupon {
    clip: SolverClip,
    scale: ForceScale,
    rigids: [RigidSection; 2],
}

impl<'a> CouponModel<'a> {
    /// A coupon of a size.
    pub(crate) fn for_size(size: &Size, length_mm: f64) -> Self {
        let range_mm = Interval { least: size.least_mm, greatest: size.greatest_mm };
        Self::for_clip(size.letter, size.clip, size.seat_radius_mm, range_mm, length_mm)
    }

    /// A coupon of the mount. `None` when the body's outline is none.
    pub(crate) fn for_mount(drawn: &Mount, brief: &CouponBrief<'_>, body_section: &'a BodySection) -> Option<Self> {
        let shape = MountShape { gap_mm: drawn.gap_mm, wall_mm: drawn.wall_mm, half_wrap_rad: drawn.half_wrap_rad };
        let spread = brief.body_spread_mm;
        let body = body_section.rigid()?;
        Some(Self {
            letter: MOUNT_LETTER,
            origin: CutFrom::Mount { shape, body_section, pad_half_width_mm: drawn.back.neck_half_width_mm() },
            rigids: [-spread, spread].map(|over| body.clone().grown(over)),
            length_mm: brief.coupons.length_mm,
        })
    }

    /// A coupon of the set, as it is drawn.
    pub(crate) fn for_coupon(coupon: &Coupon, brief: &CouponBrief<'_>, body_section: &'a BodySection) -> Option<Self> {
        match &coupon.shape {
            CouponShape::Clip(form) => {
                let range_mm = coupon.range_mm?;
                Some(Self::for_clip(coupon.letter, *form, 0.5 * coupon.seat_mm, range_mm, coupon.length_mm))
            }
            CouponShape::Mount(mount) => Self::for_mount(mount, brief, body_section),
        }
    }

    fn for_clip(letter: char, form: ClipGeometry, seat_radius_mm: f64, range_mm: Interval, length_mm: f64) -> Self {
        let rigids = [range_mm.least, range_mm.greatest].map(|diameter| RigidSection::round(0.5 * diameter));
        Self { letter, origin: CutFrom::Clip { form, seat_radius_mm }, rigids, length_mm }
    }
}

impl CouponModel<'_> {
    /// Walls at root and lip, mm.
    pub(crate) fn walls_mm(&self) -> [f64; 2] {
        match &self.origin {
            CutFrom::Clip { form, .. } => [form.root_wall_mm(), form.lip_wall_mm()],
            CutFrom::Mount { shape, .. } => [shape.wall_mm; 2],
        }
    }

    /// Radius of what it grips, mm: for a body the mean half extent.
    pub(crate) fn radius_mm(&self) -> f64 {
        match &self.origin {
            CutFrom::Clip { seat_radius_mm, .. } => *seat_radius_mm,
            CutFrom::Mount { body_section, .. } => body_section.mean_radius_mm,
        }
    }

    /// The coupon with other walls and its seat changed by `step_mm` over both sides. `None` when that cannot be drawn.
    pub(crate) fn prepared(&self, walls_mm: [f64; 2], step_mm: f64, limits: &DesignLimits) -> Option<PreparedCoupon> {
        let opened = 0.5 * step_mm;
        let rigids = self.rigids.clone();
        match &self.origin {
            CutFrom::Clip { form, seat_radius_mm } => {
                let form = form.with_walls(walls_mm).with_seat_and_back(opened, *form.back());
                form.outline().ok()?;
                let solved = ClipModel::from_geometry(&form, seat_radius_mm + opened, self.length_mm, limits)?;
                Some(PreparedCoupon { clip: solved.clip().clone(), scale: *solved.scale(), rigids })
            }
            CutFrom::Mount { shape, body_section, pad_half_width_mm } => {
                let shape = MountShape { gap_mm: shape.gap_mm + opened, wall_mm: walls_mm[0], ..*shape };
                let solved = MountModel::new(&shape, body_section, *pad_half_width_mm, self.length_mm, limits)?;
                Some(PreparedCoupon { clip: solved.clip().clone(), scale: *solved.scale(), rigids })
            }
        }
    }

    /// Modulus in the plane of the section in the middle of a material's range, MPa.
    ///
    /// The regime of width is that of the part's own wall, whatever wall the slice has. Otherwise the result would jump
    /// where the regime changes.
    pub(crate) fn middle_modulus_mpa(&self, limits: &DesignLimits) -> f64 {
        let regime = WidthRegime::from_dimensions(self.length_mm, self.radius_mm(), self.walls_mm()[0]);
        limits.elastic.modulus_mpa.middle() * regime.modulus_factors(limits.elastic.poisson).middle()
    }
}

impl PreparedCoupon {
    /// Runs on the least and the greatest of what it must take, in N/mm; `None` when one does not go in.
    pub(crate) fn runs(&self, friction: f64, plane_modulus_mpa: f64, limits: &DesignLimits) -> Option<[SnapRun; 2]> {
        let run = |rigid: &RigidSection| {
            let run = unit_run(&self.clip, rigid, friction, limits);
            run.outcome.reaches_seat().then(|| run.scaled(plane_modulus_mpa))
        };
        let [least, greatest] = &self.rigids;
        let on_least = run(least)?;
        // A size for barrels of one diameter has but one to be tried.
        let on_greatest = if greatest == least { on_least.clone() } else { run(greatest)? };
        Some([on_least, on_greatest])
    }

    /// The same over the ranges of the material: on the least and on the greatest.
    pub(crate) fn responses(&self, limits: &DesignLimits, cache: &SolverCache) -> [Option<Response>; 2] {
        let [least, greatest] = &self.rigids;
        let on_least = respond(&self.clip, least, &self.scale, limits, cache).ok();
        // A size for barrels of one diameter has but one to be tried.
        let on_greatest = if greatest == least {
            on_least.clone()
        } else {
            respond(&self.clip, greatest, &self.scale, limits, cache).ok()
        };
        [on_least, on_greatest]
    }
}
